package farm

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"wormyard/feedstock"
	"wormyard/journal"
	"wormyard/qty"
)

// library is two made-up materials with round numbers.
func library(t interface{ Fatal(...any) }) *feedstock.Library {
	p := func(v float64) feedstock.Property {
		return feedstock.Property{Estimate: qty.Exactly(v), Claims: []feedstock.Claim{{Best: v, Ref: "test", How: "assumed"}}}
	}
	material := func(name string, water, density, nitrogen, cn float64) feedstock.Material {
		return feedstock.Material{Name: name, Water: p(water), Density: p(density), Nitrogen: p(nitrogen), CN: p(cn), Carbon: p(cn * nitrogen), Ash: p(0.1),
			Lignin: p(0.1), Salts: p(1), PH: p(7), Ammonia: p(0), Quick: p(0.2), Slow: p(0.5), Woody: p(0.3)}
	}
	l, err := feedstock.NewLibrary([]feedstock.Material{material("manure", 0.75, 800, 0.02, 20), material("chips", 0.4, 250, 0.001, 400), material(Overs, 0.6, 450, 0.01, 40)})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func trade(t interface{ Fatal(...any) }) Trade {
	return Trade{Library: library(t), Usual: Usual{BoxLength: 1.2, BoxWidth: 1.2, BoxDepth: 0.6, StockTypedRange: 1.5, FirstDepth: 0.3, FeedEvery: 20, FeedEveryRange: 2},
		Zone: time.LoadLocation, Decode: json.Unmarshal}
}

func ptr[T any](v T) *T { return &v }

var start = time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)

func id(n int) string { return fmt.Sprintf("019a0000-0000-7000-8000-%012d", n) }

// scribble draws an entry about a small farm: names that exist and names that
// do not, several entries at one instant, strikes and strikes of strikes.
func scribble(t *rapid.T, n int) journal.Entry {
	pick := func(label string, of ...string) string { return rapid.SampledFrom(of).Draw(t, label) }
	bin := func() string { return pick("bin", "B1", "B2", "B3", "B4") }
	bins := func() []string {
		return slices.Compact(slices.Sorted(slices.Values([]string{bin(), bin(), bin()})))
	}
	pile := func() string { return pick("pile", "P1", "P2") }
	batch := func() string { return pick("batch", "41", "42") }
	lot := func() string { return pick("lot", "L1", "L2") }
	amount := func() float64 { return float64(rapid.IntRange(1, 40).Draw(t, "amount")) / 8 }
	e := journal.Entry{ID: id(n), At: start.Add(time.Duration(rapid.IntRange(0, 40).Draw(t, "at")) * time.Hour), Who: "crew 1"}
	e.Kind = pick("kind", "receive", "receive", "blend", "blend", "build", "build", "bed", "bed", "feed", "feed", "feed", "feed", "water", "cover", "heat", "turn", "stock",
		"reading", "look", "depth", "weigh", "count", "move", "harvest", "harvest", "tend", "assay", "site", "sighting", "hold", "release", "screen", "sell", "sell", "bag", "join", "join", "setting", "order", "trial", "strike", "strike", "strike")
	switch e.Kind {
	case "receive":
		b := &journal.Receive{Pile: pile(), Material: pick("material", "manure", "chips", "moon dust"), Declared: []string{pick("declared", "none", "dye")}}
		if rapid.Bool().Draw(t, "by volume") {
			b.VolumeM3 = ptr(qty.CubicMetre(amount()))
		} else {
			b.MassKgWet = ptr(qty.WetKg(300 * amount()))
		}
		e.Body = b
	case "blend":
		b := &journal.Blend{Batch: batch(), WaterKg: ptr(qty.WaterKg(amount()))}
		for range rapid.IntRange(1, 3).Draw(t, "parts") {
			b.Parts = append(b.Parts, journal.BlendPart{Pile: pile(), VolumeM3: ptr(qty.CubicMetre(amount() / 4))})
		}
		if rapid.Bool().Draw(t, "measured") {
			b.WaterFracWet = ptr(qty.WaterOfWet(0.7))
		}
		e.Body = b
	case "build":
		b := &journal.Build{Bins: bins(), Cover: pick("cover", "", "cloth")}
		if rapid.Bool().Draw(t, "sized") {
			b.LengthM = ptr(qty.Metre(amount()))
		}
		for i := range b.Bins {
			b.Slots = append(b.Slots, fmt.Sprintf("North/1/%d/1", i+1))
		}
		b.State = pick("state", "", "built", "repaired", "retired")
		e.Body = b
	case "bed":
		b := &journal.Bed{Bins: bins(), DepthM: 0.15}
		switch rapid.IntRange(0, 3).Draw(t, "of") {
		case 0:
			b.Batch = batch()
		case 1:
			b.Material = "manure"
		case 2:
			b.Pile = pile()
		case 3:
			b.Batch, b.AgeDays = batch(), ptr(qty.Days(60))
		}
		e.Body = b
	case "feed":
		b := &journal.Feed{Bins: bins(), Batch: batch(), Side: pick("side", "", "left")}
		if rapid.Bool().Draw(t, "by depth") {
			b.DepthM = ptr(qty.Metre(amount() / 100))
		} else {
			b.MassKgWet = ptr(qty.WetKg(amount()))
		}
		e.Body = b
	case "water":
		e.Body = &journal.Water{Bins: bins(), Kg: qty.WaterKg(amount())}
	case "cover":
		e.Body = &journal.Cover{Bins: bins(), Cover: pick("cover", "none", "film")}
	case "heat":
		e.Body = &journal.Heat{Bins: bins(), Barn: pick("barn", "", "North"), Watts: ptr(qty.Watt(50))}
	case "turn":
		e.Body = &journal.Turn{Bins: bins()}
	case "stock":
		e.Body = &journal.Stock{Bins: bins(), Kg: qty.LiveKg(amount()), FromBin: pick("from", "", "B4")}
	case "reading":
		e.Body = &journal.Reading{Bin: bin(), TempC: ptr(qty.Celsius(amount()))}
	case "look":
		e.Body = &journal.Look{Bins: bins(), Squeeze: "drips"}
	case "depth":
		e.Body = &journal.Depth{Bins: bins(), DepthM: 0.2}
	case "weigh":
		e.Body = &journal.Weigh{Bin: bin(), MassKg: 300}
	case "count":
		e.Body = &journal.Count{Bin: bin(), AreaM2: ptr(qty.SquareMetre(0.1)), Adults: ptr(12)}
	case "move":
		e.Body = &journal.Move{Bin: bin(), From: pick("from", "", "North/1/1/1"), To: pick("to", "North/1/2/1", "staging", "North/x")}
	case "bag":
		e.Body = &journal.Bag{Lot: lot(), SizeM3: 0.03, Number: rapid.IntRange(1, 9).Draw(t, "bags")}
	case "join":
		e.Body = &journal.Join{Lot: lot(), Parts: []journal.JoinPart{{Lot: lot(), MassKgWet: ptr(qty.WetKg(amount()))}}}
	case "harvest":
		b := &journal.Harvest{Bins: bins(), MassKgWet: ptr(qty.WetKg(80)), Lot: pick("lot", "", "L1", "L2"), EndsBed: rapid.Bool().Draw(t, "ends"), WormsKg: ptr(qty.LiveKg(1))}
		b.WormsTo = []journal.WormsTo{{Bin: bin(), Kg: 1}}
		e.Body = b
	case "tend":
		e.Body = &journal.Tend{Pile: pile(), Act: "wetted", WaterKg: ptr(qty.WaterKg(10))}
	case "assay":
		e.Body = &journal.Assay{Subject: pick("subject", "pile P1", "pile P2", "batch 41", "bin B1", "lot L1"), Analyte: pick("analyte", "water_frac_wet", "nitrogen_frac_dry", "cn"), Value: amount() / 6}
	case "site":
		e.Body = &journal.Site{Place: pick("place", "outside", "barn North"), LowC: ptr(qty.Celsius(1))}
	case "sighting":
		e.Body = &journal.Sighting{Bin: bin(), Pile: pick("pile", "", "P1"), What: "mites"}
	case "hold":
		e.Body = &journal.Hold{Pile: pile(), Why: "bioassay running"}
	case "release":
		e.Body = &journal.Release{Lot: lot(), Rule: "house"}
	case "screen":
		e.Body = &journal.Screen{Lot: lot(), OversPile: pick("overs", "", "P1", "back"), Decks: []journal.Deck{{OpeningMM: 6, OverKg: ptr(qty.WetKg(20))}}}
	case "sell":
		e.Body = &journal.Sell{Lot: lot(), Bags: ptr(3)}
	case "setting":
		key := pick("key", "farm", "zone", "units", "barn/North", "person/crew 1", "habits", "odd")
		value := map[string]string{"farm": `"Test yard"`, "zone": `"America/New_York"`, "units": `"metric"`, "barn/North": `{"length_m":20}`,
			"person/crew 1": `{}`, "habits": `{"feed_depth_m":0.05}`, "odd": `17`}[key]
		e.Body = &journal.Setting{Key: key, Value: json.RawMessage(value)}
	case "order":
		e.Body = &journal.Order{Customer: "garden shop", What: "bags"}
	case "trial":
		e.Body = &journal.Trial{Name: "cover", Sides: [][]string{{"B1"}, {"B2"}}}
	case "strike":
		e.Strikes = id(rapid.IntRange(0, n+3).Draw(t, "strikes"))
		e.Body = &journal.Strike{Why: "wrong"}
	}
	if e.Kind != "strike" && rapid.IntRange(0, 9).Draw(t, "replaces") == 0 {
		e.Strikes = id(rapid.IntRange(0, n+3).Draw(t, "struck"))
	}
	return e
}

var compare = cmp.Options{
	cmp.AllowUnexported(State{}, Bin{}, Bed{}, Barn{}, Pile{}, Batch{}, Lot{}, doubtKey{}, lain{}, blending{}, BatchPart{}, early{}, Start{}, Laid{}),
	cmpopts.IgnoreFields(State{}, "epoch", "branch", "lay", "graph", "book", "zone", "known"),
	cmpopts.IgnoreFields(Bin{}, "epoch"), cmpopts.IgnoreFields(Bed{}, "epoch"), cmpopts.IgnoreFields(Barn{}, "epoch"),
	cmpopts.IgnoreFields(Pile{}, "epoch"), cmpopts.IgnoreFields(Batch{}, "epoch"), cmpopts.IgnoreFields(Lot{}, "epoch"),
	cmpopts.EquateEmpty(),
}

// TestAnyOrder holds that entries that arrive in any order, one by one or in
// heaps, once or twice, add up to the farm of the sorted journal, and that
// pictures given on the way never change.
func TestAnyOrder(t *testing.T) {
	tr := trade(t)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 70).Draw(t, "entries")
		entries := make([]journal.Entry, n)
		for i := range entries {
			entries[i] = scribble(t, i)
		}
		straight := New(tr)
		straight.Apply(entries)
		want := straight.State()

		arrive := rapid.Permutation(entries).Draw(t, "arrival")
		f := New(tr)
		f.every = rapid.IntRange(1, 8).Draw(t, "marks")
		type kept struct {
			n     int
			state *State
		}
		var pictures []kept
		for i := 0; i < n; {
			k := min(i+rapid.IntRange(1, 12).Draw(t, "heap"), n)
			f.Apply(arrive[i:k])
			if rapid.IntRange(0, 3).Draw(t, "again") == 0 {
				f.Apply(arrive[:k])
			}
			if len(pictures) < 2 && rapid.Bool().Draw(t, "look") {
				pictures = append(pictures, kept{k, f.State()})
			}
			i = k
		}
		if got := f.State(); !cmp.Equal(want, got, compare) {
			d := cmp.Diff(want, got, compare)
			t.Fatalf("another farm by another order of arrival (-sorted +arrived):\n%s", d)
		}
		for _, p := range pictures {
			g := New(tr)
			g.Apply(arrive[:p.n])
			if fresh := g.State(); !cmp.Equal(fresh, p.state, compare) {
				d := cmp.Diff(fresh, p.state, compare)
				t.Fatalf("a picture changed after it was given (-fresh +kept):\n%s", d)
			}
		}
	})
}

// TestPictureKept holds that a picture keeps its lists when a late entry makes
// the farm fold again from a mark whose lists had room to spare.
func TestPictureKept(t *testing.T) {
	f := New(trade(t))
	f.every = 3
	at := func(n int, hours float64, kind string, body any) journal.Entry {
		return journal.Entry{ID: id(n), Kind: kind, At: start.Add(time.Duration(hours * float64(time.Hour))), Body: body}
	}
	f.Apply([]journal.Entry{
		at(1, 0, "build", &journal.Build{Bins: []string{"B1"}}),
		at(2, 1, "bed", &journal.Bed{Bins: []string{"B1"}, Material: "manure", DepthM: 0.15}),
	})
	for n := range 60 {
		f.Apply([]journal.Entry{at(10+n, float64(2+n), "water", &journal.Water{Bins: []string{"B1"}, Kg: qty.WaterKg(n)})})
	}
	for late := range 12 {
		before := f.State()
		bin, _ := before.Bin("B1")
		acts := slices.Clone(bin.Bed.Acts)
		f.Apply([]journal.Entry{at(100+late, 57.5-4*float64(late), "turn", &journal.Turn{Bins: []string{"B1"}})})
		for i := range acts {
			if bin.Bed.Acts[i] != acts[i] && *bin.Bed.Acts[i] != *acts[i] {
				t.Fatalf("late entry %d changed act %d of a picture from %v to %v", late, i, acts[i].Kind, bin.Bed.Acts[i].Kind)
			}
		}
		now, _ := f.State().Bin("B1")
		if len(now.Bed.Acts) != len(acts)+1 {
			t.Fatalf("after late entry %d the bed has %d acts, want %d", late, len(now.Bed.Acts), len(acts)+1)
		}
	}
}
