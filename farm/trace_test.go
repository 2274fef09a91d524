package farm

import (
	"strings"
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/trace"
)

// sold is a farm of one hay pile of two loads, two batches, two beds and one lot
// that was bagged and sold. All masses are told, so that the shares can be worked
// out by hand.
func sold(t *testing.T) *book {
	b := newBook(t)
	kg := func(m float64) *qty.WetKg { return ptr(qty.WetKg(m)) }
	b.write("receive", &journal.Receive{Pile: "hay", Material: "manure", MassKgWet: kg(600)})
	b.write("blend", &journal.Blend{Batch: "1", Parts: []journal.BlendPart{{Pile: "hay", MassKgWet: kg(300)}}})
	b.at = start.AddDate(0, 0, 1)
	b.write("receive", &journal.Receive{Pile: "hay", Material: "manure", MassKgWet: kg(100)})
	b.write("receive", &journal.Receive{Pile: "chips", Material: "chips", MassKgWet: kg(400)})
	b.write("blend", &journal.Blend{Batch: "2", Parts: []journal.BlendPart{{Pile: "hay", MassKgWet: kg(200)}, {Pile: "chips", MassKgWet: kg(100)}}})
	b.write("build", &journal.Build{Bins: []string{"A", "B"}})
	b.write("bed", &journal.Bed{Bins: []string{"A", "B"}, DepthM: 0.1, Material: "chips"})
	b.write("feed", &journal.Feed{Bins: []string{"A"}, Batch: "1", MassKgWet: kg(60)})
	b.write("feed", &journal.Feed{Bins: []string{"B"}, Batch: "2", MassKgWet: kg(40)})
	b.at = start.AddDate(0, 3, 0)
	b.write("harvest", &journal.Harvest{Bins: []string{"A"}, MassKgWet: kg(75), Lot: "L1", EndsBed: true})
	b.write("feed", &journal.Feed{Bins: []string{"B"}, Batch: "1", MassKgWet: kg(10)}) // before B is harvested
	b.write("harvest", &journal.Harvest{Bins: []string{"B"}, MassKgWet: kg(25), VolumeM3: ptr(qty.CubicMetre(0.05)), Lot: "L1"})
	b.write("feed", &journal.Feed{Bins: []string{"B"}, Batch: "2", MassKgWet: kg(500)}) // after it, so not in the lot
	b.write("screen", &journal.Screen{Lot: "L1", OversTo: "chips pile", Decks: []journal.Deck{{OpeningMM: 6, ThroughKg: kg(80), OverKg: kg(20)}}})
	b.write("release", &journal.Release{Lot: "L1", Rule: "house rule"})
	b.write("bag", &journal.Bag{Lot: "L1", SizeM3: 0.01, Number: 10})
	b.write("sell", &journal.Sell{Lot: "L1", Customer: "C-1", Bags: ptr(4)})
	b.write("sell", &journal.Sell{Lot: "L1", Customer: "C-2", Bags: ptr(3)})
	return b
}

func share(t *testing.T, g *trace.Graph, of string, way trace.Way, in string) float64 {
	t.Helper()
	tr, ok := g.Trace(of, way)
	if !ok {
		t.Fatalf("there is no %s", of)
	}
	for _, f := range tr.Found {
		if f.Group == in {
			return f.Share
		}
	}
	t.Fatalf("%s does not lead %s to %s", of, way, in)
	return 0
}

func TestTraceThroughTheJournal(t *testing.T) {
	b := sold(t)
	g := b.farm.State().Trace()
	bedding := float64(b.bin("B").Bed.Start.Matter.Wet()) // 0.1 m of chips in the usual box
	if bedding <= 0 {
		t.Fatal("the bedding weighs nothing")
	}
	inA, inB1, inB2 := 0.75*60/(60+bedding), 0.25*10/(50+bedding), 0.25*40/(50+bedding)
	day1, day2 := "delivery hay 2026-03-01", "delivery hay 2026-03-02"
	b.same("bed A", share(t, g, "lot L1", trace.Back, "bed "+bedOf(t, g, "A")), 0.75)
	b.same("batch 1", share(t, g, "lot L1", trace.Back, "batch 1"), inA+inB1)
	b.same("batch 2", share(t, g, "lot L1", trace.Back, "batch 2"), inB2)
	// Batch 1 is all of the first load; the second came onto 300 kg of the first.
	b.same("the first load", share(t, g, "lot L1", trace.Back, day1), inA+inB1+inB2*2/3*0.75)
	b.same("the second load", share(t, g, "lot L1", trace.Back, day2), inB2*2/3*0.25)
	b.same("the second load in batch 2", share(t, g, day2, trace.Forward, "batch 2"), 2./3*0.25)
	r, _ := g.Recall(day2)
	if r.Bagged != 10 || r.Sold != 7 || len(r.Customers) != 2 || len(r.Batches) != 1 || len(r.Lots) != 1 {
		t.Errorf("recall of the second load: %d bags, %d sold, %d customers, %d batches; want 10, 7, 2, 1", r.Bagged, r.Sold, len(r.Customers), len(r.Batches))
	}
	// 75 and 25 kg in, 20 kg of overs, ten bags of 10 L at the 500 kg/m3 of its own harvest.
	x, _ := g.Balance("lot L1")
	if x.In != 100 || x.Out != 70 || x.Unexplained != 30 || !x.Sure || !x.Guessed {
		t.Errorf("the lot: %+v, want 100 in, 70 out", x)
	}
	if x, _ = g.Balance("bags L1"); x.In != 50 || x.Out != 35 || x.Left != 15 || x.Unexplained != 0 {
		t.Errorf("the bags: %+v, want 50 in, 35 sold, 15 left", x)
	}
	if x, _ = g.Balance("pile hay"); x.In != 700 || x.Out != 500 || x.Unexplained > 1e-9 || x.Unexplained < -1e-9 {
		t.Errorf("the pile: %+v, want 700 in, 500 out, 200 left", x)
	}
	if s := b.doubts("lot L1"); s != "" {
		t.Errorf("nothing is wrong with the lot: %s", s)
	}
}

// Overs are weighed off their lot onto a pile, are feedstock there as moist as they
// were, and carry what they are of into the beds and lots that they go into.
func TestOversComeBack(t *testing.T) {
	b := sold(t)
	kg := func(m float64) *qty.WetKg { return ptr(qty.WetKg(m)) }
	was := share(t, b.farm.State().Trace(), "lot L1", trace.Back, "delivery hay 2026-03-01")
	b.write("screen", &journal.Screen{Lot: "L1", OversPile: "overs", WaterFracWet: ptr(qty.WaterOfWet(0.5)), Decks: []journal.Deck{{OpeningMM: 6, ThroughKg: kg(40), OverKg: kg(16)}, {OpeningMM: 3, ThroughKg: kg(36), OverKg: kg(4)}}})
	pile, ok := b.farm.State().Pile("overs")
	if !ok || pile.Material != Overs || len(pile.Loads) != 1 || pile.Loads[0].Lot != "L1" {
		t.Fatalf("the overs are no pile: %+v", pile)
	}
	b.same("overs on the pile", float64(pile.Left().Wet()), 20)
	b.same("water in them", float64(pile.Left().Water), 10)
	if !pile.Came.Equal(b.at.Add(-time.Hour)) {
		t.Errorf("they are as old as %s, want the day of the screening", pile.Came)
	}
	area := float64(b.bin("A").Box.Area())
	b.write("bed", &journal.Bed{Bins: []string{"A"}, Pile: "overs", DepthM: qty.Metre(float64(pile.Left().Volume) / 2 / area)})
	b.write("blend", &journal.Blend{Batch: "9", Parts: []journal.BlendPart{{Pile: "overs", MassKgWet: kg(4)}, {Pile: "chips", MassKgWet: kg(12)}}})
	b.write("harvest", &journal.Harvest{Bins: []string{"A"}, MassKgWet: kg(8), Lot: "L2", EndsBed: true})
	g := b.farm.State().Trace()
	b.same("all of the lot came by the overs", share(t, g, "lot L2", trace.Back, "overs L1"), 1)
	b.same("the hay in it", share(t, g, "lot L2", trace.Back, "delivery hay 2026-03-01"), was)
	b.same("a quarter of the batch", share(t, g, "batch 9", trace.Back, "overs L1"), 0.25)
	if r, _ := g.Recall("delivery hay 2026-03-02"); len(r.Lots) != 2 || len(r.Loop) != 0 {
		t.Errorf("recall: %d lots, loop %v; want both lots and no loop", len(r.Lots), r.Loop)
	}
	// 20 kg onto the first heap of overs, 20 onto the pile: half of that in the bed, 4 kg in the batch.
	if x, _ := g.Balance("pile overs"); x.In != 20 || x.Out < 14-1e-9 || x.Out > 14+1e-9 || x.Unexplained > 1e-9 || x.Unexplained < -1e-9 {
		t.Errorf("the pile: %+v, want 20 in, 14 out and nothing unexplained", x)
	}
	if x, _ := g.Balance("overs L1"); x.In != 40 || x.Out != 20 {
		t.Errorf("the overs: %+v, want 40 off the decks and 20 onto the pile", x)
	}
	if x, _ := g.Balance("lot L1"); x.In != 100 || x.Out != 90 {
		t.Errorf("the lot: %+v, want 100 in, 90 out", x)
	}
	b.write("bed", &journal.Bed{Bins: []string{"A"}, Pile: "overs", DepthM: 0.5})
	if s := b.doubts("pile overs"); !strings.Contains(s, "The bed of bin A took more from pile overs") {
		t.Errorf("taken beyond what lay there, told: %q", s)
	}
}

func bedOf(t *testing.T, g *trace.Graph, bin string) string {
	t.Helper()
	for _, n := range g.Groups(trace.Bed) {
		if n.What == bin {
			return n.Name
		}
	}
	t.Fatalf("bin %s has no bed", bin)
	return ""
}

// A struck entry is as if it had not been.
func TestTraceLeavesOutWhatIsStruck(t *testing.T) {
	b := sold(t)
	b.n++
	b.farm.Apply([]journal.Entry{{ID: id(b.n), Kind: "strike", At: b.at, Strikes: id(3), Body: &journal.Strike{Why: "was another farm's"}}})
	g := b.farm.State().Trace()
	if g.Has("delivery hay 2026-03-02") || !g.Has("delivery hay 2026-03-01") {
		t.Error("the struck load is still there, or the other is not")
	}
	tr, _ := g.Trace("lot L1", trace.Back)
	for _, f := range tr.Found {
		if strings.HasSuffix(f.Group, "2026-03-02") && f.Kind == trace.Delivery && strings.Contains(f.Group, "hay") {
			t.Errorf("%s is still in the lot", f.Group)
		}
	}
}

func TestLotsThatDoNotFit(t *testing.T) {
	kg := func(m float64) *qty.WetKg { return ptr(qty.WetKg(m)) }
	for name, c := range map[string]struct {
		write func(b *book)
		want  string
	}{
		"bags sold twice":    {func(b *book) { b.write("sell", &journal.Sell{Lot: "L1", Customer: "C-1", Bags: ptr(4)}) }, "Of lot L1 11 bags were sold"},
		"more out than in":   {func(b *book) { b.write("bag", &journal.Bag{Lot: "L1", SizeM3: 0.01, Number: 20}) }, "went into it by the journal"},
		"within the density": {func(b *book) { b.write("bag", &journal.Bag{Lot: "L1", SizeM3: 0.01, Number: 11}) }, ""}, // 125 of 100 kg, by volume
		"sold while held": {func(b *book) {
			b.write("hold", &journal.Hold{Lot: "L1", Why: "weeds"})
			b.write("sell", &journal.Sell{Lot: "L1", Bags: ptr(1)})
		}, "on hold"},
		"made of itself": {func(b *book) {
			b.write("join", &journal.Join{Lot: "L1", Parts: []journal.JoinPart{{Lot: "L1", MassKgWet: kg(5)}}})
		}, "made of that before"},
		"made of itself by a": {func(b *book) {
			b.write("join", &journal.Join{Lot: "L2", Parts: []journal.JoinPart{{Lot: "L1", MassKgWet: kg(5)}}})
			b.write("join", &journal.Join{Lot: "L1", Parts: []journal.JoinPart{{Lot: "L2", MassKgWet: kg(5)}}})
		}, "made of that before"},
	} {
		b := sold(t)
		c.write(b)
		got := b.doubts("lot L1")
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s: the farm says %q, want %q", name, got, c.want)
		}
	}
	// A lot sold before any was ever released is not asked about afterwards: the farm does not release.
	b := newBook(t)
	b.yard()
	b.write("harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: kg(75), Lot: "L1", EndsBed: true})
	b.write("sell", &journal.Sell{Lot: "L1", MassKgWet: kg(7)})
	if got := b.doubts("lot L1"); got != "" {
		t.Errorf("the farm says %q", got)
	}
	if l, _ := b.farm.State().Lot("L1"); l != nil {
		if say, _ := b.farm.State().Unreleased(l, b.at); !strings.Contains(say, "was not released") {
			t.Errorf("at the sale it is said %q", say)
		}
	}
}

// Joined lots hold what their parts held.
func TestJoinedLots(t *testing.T) {
	b := sold(t)
	kg := func(m float64) *qty.WetKg { return ptr(qty.WetKg(m)) }
	b.at = b.at.Add(24 * time.Hour)
	b.write("harvest", &journal.Harvest{Bins: []string{"B"}, MassKgWet: kg(40), Lot: "L2", EndsBed: true})
	b.write("join", &journal.Join{Lot: "L3", Parts: []journal.JoinPart{{Lot: "L1", MassKgWet: kg(10)}, {Lot: "L2", MassKgWet: kg(30)}}})
	g := b.farm.State().Trace()
	b.same("lot L1 in L3", share(t, g, "lot L3", trace.Back, "lot L1"), 0.25)
	b.same("bed A in L3", share(t, g, "lot L3", trace.Back, "bed "+bedOf(t, g, "A")), 0.25*0.75)
	if l, _ := b.farm.State().Lot("L1"); b.farm.State().Amounts(l).Given != 10 {
		t.Error("what went from lot L1 to L3 is not taken from it")
	}
}
