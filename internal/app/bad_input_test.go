package app

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
)

// told records an entry whatever is doubtful about it; what is refused is no news
// for the twins and is left out.
func (f *small) told(at time.Time, kind string, body any) {
	f.t.Helper()
	if _, err := f.app.Record(context.Background(), journal.Entry{Kind: kind, Who: "crew 1", At: at, Body: body}, true); err != nil {
		f.t.Fatal(err)
	}
}

// sane fails where an outlook says what no bin can be. The bounds are those of
// matter: water ends at 100 %, wet matter does not boil in a box, nothing is less
// than none.
func sane(t *testing.T, what string, v *Outlook) {
	t.Helper()
	within := func(name string, r twin.Range, low, high float64) {
		t.Helper()
		const rounding = 1e-9 // of kilograms and shares that end at none
		if !(r.Low >= low-rounding && r.Low <= r.Mid && r.Mid <= r.High && r.High <= high+rounding) {
			t.Errorf("%s: %s is %+v, not within %g to %g", what, name, r, low, high)
		}
	}
	if said := strings.Contains(strings.Join(v.Says, " "), tooDeep); said != (v.Depth.Mid > 1.3*0.6) { // of the usual box
		t.Errorf("%s: %+v deep and %q", what, v.Depth, v.Says)
	}
	within("depth", v.Depth, 0, 10)
	within("warmest", v.Warmest, -60, 95)
	within("water", v.Water, 0, 1)
	within("left", v.Left, 0, 1)
	within("worms", v.Worms, 0, 200)
	within("cocoons", v.Cocoons, 0, 1e7)
	within("castings", v.Cast, 0, 1)
	within("oxygen", v.Oxygen, 0, 0.2096)
	if len(v.Ahead) < horizon-2 {
		t.Errorf("%s: %d days ahead", what, len(v.Ahead))
	}
	if gone := strings.Contains(strings.Join(v.Says, " "), nothingLeft); gone != (len(v.Layers) == 0) {
		t.Errorf("%s: %d layers and %q", what, len(v.Layers), v.Says)
	}
	for _, d := range v.Ahead {
		within("warmest "+d.Day.Format(time.DateOnly), d.Warmest, -60, 95)
		within("water "+d.Day.Format(time.DateOnly), d.Water, 0, 1)
		within("worms "+d.Day.Format(time.DateOnly), d.Worms, 0, 200)
		if math.IsNaN(d.EatenKg+d.CastKg) || d.EatenKg < -1e-9 {
			t.Errorf("%s: eaten %g, castings %g", what, d.EatenKg, d.CastKg)
		}
	}
}

// written has the round of the farm told in both languages, and gives what is
// said for each bin.
func (f *small) written() map[string]round.Item {
	f.t.Helper()
	made := f.make()
	if _, err := json.Marshal(made); err != nil {
		f.t.Fatal(err)
	}
	items := map[string]round.Item{}
	for _, it := range made.Items {
		items[it.Bin] = it
	}
	for _, c := range []*words.Catalogue{words.English(), words.Spanish()} {
		l, ok, err := f.twins.List(context.Background(), round.Words{Zone: f.app.State().Zone(), Catalogue: func(key string) string {
			if c.Has(key) {
				return c.Say(key)
			}
			return ""
		}})
		if err != nil || !ok {
			f.t.Fatal(err)
		}
		for _, n := range l.Lines {
			for _, s := range []string{n.Say, n.Reason, n.Sure, n.Caution} {
				if strings.Contains(s, "NaN") || strings.Contains(s, "Inf") || strings.Contains(s, "%!") {
					f.t.Errorf("a line says %q", s)
				}
			}
		}
	}
	return items
}

// TestBadInput writes what no farm should write, a trouble a bin, and wants a
// round, an outlook with numbers of a bed, and a sentence that says what was
// assumed.
func TestBadInput(t *testing.T) {
	f := smallFarm(t)
	bins := []string{}
	for _, b := range f.app.State().Living() {
		bins = append(bins, b.Name)
	}
	if len(bins) != 6 {
		t.Fatal(bins)
	}
	began := f.now
	f.now = began.AddDate(0, 0, 150)
	day := func(n int) time.Time { return began.AddDate(0, 0, n) }
	deep := qty.Metre(24 * 0.0254)
	all, castings := qty.LiveKg(500), qty.WetKg(5)
	f.feed(day(3), bins[0]) // then nothing for months
	f.feed(day(140), bins[0])
	f.told(day(120), "feed", &journal.Feed{Bins: bins[1:2], Batch: "41", DepthM: &deep})
	f.told(day(130), "water", &journal.Water{Bins: bins[2:3], Kg: 700})
	f.told(day(131), "water", &journal.Water{Bins: bins[2:3], Kg: 700})
	f.told(day(100), "harvest", &journal.Harvest{Bins: bins[3:4], How: "table", MassKgWet: &castings, WormsKg: &all})
	f.feed(day(146), bins[3])
	for i := range 1000 { // in one day, by a logger that dies in it
		c := 18 + math.Sin(float64(i)/160)
		if i > 800 {
			c = 85
		}
		at := day(148).Add(time.Duration(i) * 86 * time.Second)
		f.told(at, "reading", reading(bins[4], c, 0.1, "logger"))
	}
	f.told(day(148).Add(10*time.Hour), "reading", reading(bins[4], 37, 0.11, "dial")) // 30 °F from the logger
	for i := range 6 {
		f.told(day(141+i), "reading", reading(bins[4], 19, 0.1, "dial"))
	}
	items := f.written()
	says := map[int]string{0: "Nobody wrote down anything of this bed from 5 June 2025 to 20 October 2025", 1: "It was fed 24 in at once", 2: "at once, more than a bed takes up",
		3: "more worms were taken out on", 4: "readings of probes cannot be believed", 5: "Nobody wrote down anything of this bed since 2 June 2025"}
	for i, bin := range bins {
		v := f.outlook(bin)
		sane(t, fmt.Sprintf("bin %d", i), v)
		if _, ok := items[bin]; !ok {
			t.Errorf("bin %d is not on the round", i)
		}
		if got := strings.Join(v.Says, " | "); !strings.Contains(got, says[i]) {
			t.Errorf("bin %d says %q, want %q", i, got, says[i])
		}
	}
	if v := f.outlook(bins[3]); v.Worms.High > 0.5 {
		t.Errorf("all worms were removed, and there are %+v kg", v.Worms)
	}
	causes := map[twin.Cause]bool{}
	for _, x := range f.app.State().Unbelieved(bins[4]) {
		causes[x.Cause] = true
	}
	if !causes[twin.Impossible] || !causes[twin.Apart] {
		t.Errorf("not believed: %v", causes)
	}
	// A start that is struck takes its bed with it.
	var start string
	for _, e := range f.app.State().Journal() {
		if b, ok := e.Body.(*journal.Bed); ok && len(b.Bins) == 1 && b.Bins[0] == bins[5] || ok && start == "" {
			start = e.ID
		}
	}
	if start != "" {
		if ack, err := f.app.Strike(context.Background(), start, "owner", "never laid"); err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
		if items := f.written(); len(items) > len(bins) {
			t.Errorf("%d items", len(items))
		}
	}
}

// A sample without a worm says that there are fewer, and more of them say so more;
// more worms than a bed keeps, and than a bin has, are asked about.
func TestNoWormInASample(t *testing.T) {
	f := smallFarm(t)
	bins := f.app.State().Living()
	f.now = f.now.AddDate(0, 0, 20)
	zero := 0
	none := func(bin string, days int, side float64) {
		area := qty.SquareMetre(side * side)
		f.write(f.now.AddDate(0, 0, -days), "count", &journal.Count{Bin: bin, Adults: &zero, Juveniles: &zero, AreaM2: &area})
	}
	none(bins[0].Name, 1, 0.3) // a foot
	for day := range 4 {
		none(bins[1].Name, 1+3*day, 0.3)
	}
	f.written()
	untouched, once, often := f.outlook(bins[2].Name).Worms, f.outlook(bins[0].Name).Worms, f.outlook(bins[1].Name).Worms
	if once.Mid > 0.8*untouched.Mid || often.Mid > 0.4*untouched.Mid {
		t.Errorf("no count %+v kg, none found once %+v, four times %+v", untouched, once, often)
	}
	if l := f.outlook(bins[0].Name).Learned; len(l) != 1 || !l[0].Believed || l[0].Word != twin.NoneFound || l[0].After.Mid >= l[0].Before.Mid {
		t.Errorf("told is %+v", l)
	}
	sane(t, "none", f.outlook(bins[1].Name))

	ask := func(b *journal.Stock) []Problem {
		ack, err := f.app.Record(context.Background(), journal.Entry{Kind: "stock", Who: "crew 1", At: f.now, Body: b}, false)
		if err != nil || ack.Saved == (len(ack.Problems) > 0) {
			t.Fatal(err, ack)
		}
		return ack.Problems
	}
	// 20 kg on a square metre are the rare most in print (stocking_manual), 28.8 of the usual box.
	if ps := ask(&journal.Stock{Bins: []string{bins[3].Name}, Kg: 40}); len(ps) != 1 || ps[0].Field != "kg" || !strings.Contains(ps[0].Say, "holds 63.5 lb at the very most") {
		t.Errorf("%+v", ps)
	}
	if ps := ask(&journal.Stock{Bins: []string{bins[3].Name}, Kg: 20, FromBin: bins[1].Name}); len(ps) != 1 || ps[0].Field != "from_bin" || !ps[0].Doubt {
		t.Errorf("%+v", ps)
	}
	if ps := ask(&journal.Stock{Bins: []string{bins[3].Name}, Kg: 0.5, FromBin: bins[2].Name}); len(ps) != 0 {
		t.Errorf("%+v", ps)
	}
}

// TestFrozenSolid keeps a barn far below freezing for a month: no bed is warm, and
// ice is no refuge.
func TestFrozenSolid(t *testing.T) {
	f := smallFarm(t)
	barn := f.app.State().Living()[0].Slot.Barn
	for n := range 30 {
		low, high := qty.Celsius(-35), qty.Celsius(-25)
		day := f.now.AddDate(0, 0, n)
		f.told(day.Add(time.Hour), "site", &journal.Site{Place: "barn " + barn, Day: day.Format(time.DateOnly), LowC: &low, HighC: &high})
	}
	f.now = f.now.AddDate(0, 0, 30)
	f.written()
	for _, b := range f.app.State().Living() {
		v := f.outlook(b.Name)
		sane(t, b.Name, v)
		if v.Warmest.Mid > 5 {
			t.Errorf("bin %s is at %+v after a month at -30 C", b.Name, v.Warmest)
		}
		if v.Warmest.Mid < 0 && v.Refuge.Mid > 0 {
			t.Errorf("bin %s is frozen through, and worms are said to live in %+v of it", b.Name, v.Refuge)
		}
	}
}

// TestAnyJournal writes entries at random, in any order, some struck again, and
// wants numbers of a bed of every bin.
func TestAnyJournal(t *testing.T) {
	seeds := 3
	if testing.Short() {
		seeds = 1
	}
	for seed := range seeds {
		f := smallFarm(t)
		r := rand.New(rand.NewPCG(uint64(seed), 7))
		bins := f.app.State().Living()
		began := f.now
		f.now = began.AddDate(0, 0, 40)
		var ids []string
		for i := range 120 {
			bin := []string{bins[r.IntN(len(bins))].Name}
			at := began.Add(time.Duration(r.Float64() * 40 * 24 * float64(time.Hour)))
			large := math.Exp(3 * r.NormFloat64())
			depth := qty.Metre(0.03 * large)
			var kind string
			var body any
			switch r.IntN(9) {
			case 0:
				kind, body = "feed", &journal.Feed{Bins: bin, Batch: "41", DepthM: &depth}
			case 1:
				kind, body = "water", &journal.Water{Bins: bin, Kg: qty.WaterKg(5 * large)}
			case 2:
				kind, body = "cover", &journal.Cover{Bins: bin, Cover: []string{"none", "cloth", "board", "film"}[r.IntN(4)]}
			case 3:
				kind, body = "turn", &journal.Turn{Bins: bin}
			case 4:
				kind, body = "stock", &journal.Stock{Bins: bin, Kg: qty.LiveKg(5 * large)}
			case 5:
				kind, body = "reading", reading(bin[0], 15+25*r.NormFloat64(), 0.4*r.Float64(), []string{"dial", "logger", "other"}[r.IntN(3)])
			case 6:
				kind, body = "look", &journal.Look{Bins: bin, Squeeze: []string{"dry", "drips", ""}[r.IntN(3)], FeedLeft: []string{"gone", "most", ""}[r.IntN(3)], Worms: []string{"few", "many", ""}[r.IntN(3)]}
			case 7:
				mass := qty.WetKg(20 * large)
				kind, body = "harvest", &journal.Harvest{Bins: bin, MassKgWet: &mass, How: "table"}
			case 8:
				kind, body = "depth", &journal.Depth{Bins: bin, DepthM: depth}
			}
			ack, err := f.app.Record(context.Background(), journal.Entry{ID: fmt.Sprintf("01a21806-39c3-7349-8015-%06x%06x", seed, i), Kind: kind, Who: "crew 1", At: at, Body: body}, true)
			if err != nil {
				t.Fatal(err)
			}
			if ack.Saved {
				ids = append(ids, ack.Undo)
			}
		}
		for range 12 {
			if _, err := f.app.Strike(context.Background(), ids[r.IntN(len(ids))], "crew 1", "a slip"); err != nil {
				t.Fatal(err)
			}
		}
		f.written()
		for _, b := range f.app.State().Living() {
			sane(t, fmt.Sprintf("seed %d, bin %s", seed, b.Name), f.outlook(b.Name))
		}
		f.store.Close()
	}
}

// More than a bin can hold, hold up or carry is written down and confirmed: the
// twins take what there can be, and say so.
func TestMoreThanABinHolds(t *testing.T) {
	f := smallFarm(t)
	var bins []string
	for _, b := range f.app.State().Living() {
		bins = append(bins, b.Name)
	}
	began := f.now
	f.now = began.AddDate(0, 0, 20)
	at := began.AddDate(0, 0, 12)
	heap, stone := qty.WetKg(1e8), qty.WetKg(50000)
	watts, on := qty.Watt(1e7), true
	f.told(at, "stock", &journal.Stock{Bins: bins[0:1], Kg: 99999})
	f.told(at, "feed", &journal.Feed{Bins: bins[1:2], Batch: "41", MassKgWet: &heap})
	f.told(at, "heat", &journal.Heat{Bins: bins[2:3], Watts: &watts, On: &on})
	f.told(at, "weigh", &journal.Weigh{Bin: bins[3], MassKg: stone})
	f.written()
	for i, want := range []string{"220,000 lb of worms were put in, and a bed of its size holds 63.5 lb at the very most", "More was fed at once than lies on the bin, so the twin takes 47 in of it",
		"stronger than any; the twin takes 1,440 W", "110,000 lb, more than if it were full of stone"} {
		v := f.outlook(bins[i])
		sane(t, fmt.Sprintf("bin %d", i), v)
		if got := strings.Join(v.Says, " | "); !strings.Contains(got, want) {
			t.Errorf("bin %d says %q, want %q", i, got, want)
		}
	}
	if v := f.outlook(bins[0]); v.Worms.High > 63.5*qty.KgPerPound*2 {
		t.Errorf("%+v kg of worms", v.Worms)
	}
	if h, _, _ := f.app.State().History(bins[3], &f.twins.numbers.Bed); len(h.Weights) != 0 {
		t.Errorf("the twins go by %+v", h.Weights)
	}
}
