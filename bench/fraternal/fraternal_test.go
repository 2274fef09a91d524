package fraternal

import (
	"bytes"
	"context"
	"go/parser"
	"go/token"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/internal/app"
	"wormyard/journal"
)

func farm(t *testing.T, seed uint64, p Plan) *Farm {
	t.Helper()
	f, err := New(seed, p)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// idle is a crew that does nothing.
type idle struct{}

func (idle) Work(*Farm) {}

// alone is a single bed on the floor of its barn, freshly laid and stocked.
func alone(t *testing.T, from time.Month, depthM, wormsKg float64, cover string) (*Farm, *bin) {
	t.Helper()
	f := farm(t, 3, Plan{Bins: 1, Kind: Poor, Days: 700, From: time.Date(2024, from, 1, 0, 0, 0, 0, time.UTC)})
	f.Crew = idle{}
	f.n = draw(3)
	b := f.bins[0]
	m := f.batches[0]
	b.rows, b.worms, b.book, b.cover = nil, stock{}, book{}, cover
	b.lay(m, depthM, 12)
	b.put(wormsKg)
	return f, b
}

// Dry matter, water and heat: what is there is what came in, less what went out.
func TestBalance(t *testing.T) {
	f, b := alone(t, time.March, 0.3, 5, "cloth")
	mix := f.batches[0]
	water := func() float64 {
		sum := b.worms.water()
		for i := range b.rows {
			sum += b.rows[i].water + b.rows[i].frozen()
		}
		return sum
	}
	dry := func() float64 {
		sum := b.worms.dry()
		for i := range b.rows {
			sum += b.rows[i].dry()
		}
		return sum
	}
	var moved float64
	for day := range 400 {
		if day%9 == 4 {
			f.Feed(b.name, mix, 1.5*inch, 600)
		}
		if day%30 == 11 {
			f.Water(b.name, 8, 640)
		}
		if day == 200 {
			f.TakeOff(b.name, 0.05)
		}
		f.Step()
		b.fed = f.Day
		moved = max(moved, math.Abs(b.book.heatOut))
	}
	k := b.book
	// The sums of some hundred thousand steps round at 1e-16 each.
	if off := k.dryIn - k.dryOut - k.gas - dry(); math.Abs(off) > 1e-6*k.dryIn {
		t.Errorf("dry matter is off by %g of %g kg", off, k.dryIn)
	}
	// Water that worms hold counts as the bed's; what is born of rot comes in.
	if off := k.waterIn + k.ofRot - k.waterOut - water(); math.Abs(off) > 1e-6*k.waterIn {
		t.Errorf("water is off by %g of %g kg", off, k.waterIn)
	}
	if off := k.heatIn + k.heatOfRot - k.heatOut - b.store(); math.Abs(off) > 1e-6*moved {
		t.Errorf("heat is off by %g of %g J", off, moved)
	}
	if k.gas < 20 || k.heatOfRot < 3e8 || k.waterOut < 20 {
		t.Errorf("next to nothing happened: %+v", k)
	}
}

// Common practice, no source: a stock doubles in 60 to 90 days when kept well.
// The bed is held at 21 C, fed as its worms eat; half as fast and a third faster
// are let pass, since farms differ.
func TestStockDoubles(t *testing.T) {
	f, b := alone(t, time.May, 0.25, 3.6, "cloth")
	began, day := b.worms.live(), 0
	for ; day < 250 && b.worms.live() < 2*began; day++ {
		if b.feed() < 12 && b.deep() < 0.5 {
			b.lay(f.batches[0], 1.5*inch, 21)
		}
		for i := range b.rows {
			r := &b.rows[i]
			for x := range r.t {
				r.t[x] = 21
			}
			r.water = 0.85 * r.holds(&b.n)
			r.oxygen = 0.19
		}
		for range 8 {
			b.rot(step / 24.0)
			b.tidy()
		}
		b.worms.day(b)
	}
	t.Logf("doubled in %d days", day)
	if day < 45 || day > 125 {
		t.Errorf("it doubled in %d days, wanted 45 to 125", day)
	}
}

// Common practice, no source: best in the 60s and 70s F, little in the 40s, life
// between about 34 and 98 F.
func TestWarmthOfLife(t *testing.T) {
	f := func(f float64) float64 { return (f - 32) * 5 / 9 }
	if a, b := amorous(f(70)), amorous(f(45)); b > 0.2*a || b <= 0 {
		t.Errorf("laying at 45 F is %.3f of that at 70 F, wanted hardly any", b/a)
	}
	if amorous(f(95)) > 0 || lively(f(45)) > 0.15 {
		t.Error("worms breed at 95 F or feed in the 40s as if it were warm")
	}
	for _, c := range []struct {
		f    float64
		dies bool
	}{{34, false}, {50, false}, {88, false}, {100, true}} {
		week := 1 - math.Exp(-7*deadly(f(c.f), false))
		if dies := week > 0.5; dies != c.dies || !c.dies && week > 0.1 {
			t.Errorf("at %.0f F %.0f %% die in a week", c.f, 100*week)
		}
	}
}

// Common practice, no source: winter in a cold barn stops production without
// killing a covered, deep bed.
func TestWinter(t *testing.T) {
	f, b := alone(t, time.August, 0.45, 6, "cloth")
	made, wormsThen := 0.0, 0.0
	autumn := 0.0
	for f.Day < 190 {
		if f.Day == 90 {
			b.cover = "film"
		}
		if f.Day%10 == 3 && b.deep() < 0.5 {
			f.Feed(b.name, f.batches[0], 1.5*inch, 600)
		}
		was := b.worked
		f.Step()
		switch {
		case f.Day > 20 && f.Day <= 50:
			autumn += b.worked - was
		case f.Day > 130 && f.Day <= 160:
			made += b.worked - was
		}
		if f.Day == 120 {
			wormsThen = b.worms.live()
		}
	}
	if made > 0.35*autumn {
		t.Errorf("%.1f kg of castings in 30 days of winter, %.1f kg in those of autumn", made, autumn)
	}
	if kept := b.worms.live() / wormsThen; kept < 0.7 {
		t.Errorf("%.0f %% of the worms lived through the winter", 100*kept)
	}
}

func TestRates(t *testing.T) {
	// The part of a gamma distribution of shape 1 above x is exp(-x); of shape 1/2
	// it is erfc(sqrt(x)).
	for _, x := range []float64{0.01, 0.3, 1, 4} {
		if got := above(1, x); math.Abs(got-math.Exp(-x)) > 1e-12 {
			t.Errorf("above(1, %g) = %g", x, got)
		}
		if got := above(0.5, x); math.Abs(got-math.Erfc(math.Sqrt(x))) > 1e-9 {
			t.Errorf("above(1/2, %g) = %g", x, got)
		}
	}
	// Cellar-warm feed without worms follows (late/(late+t))^nu once its rotters have settled.
	r := row{om: 10, ash: 1, water: 30, nu: 0.45, late: 30, first: 0.015, castLate: 30, settled: 1, loose: 1 / 170.0, oxygen: 0.2}
	b := &bin{n: draw(1), rows: []row{r}}
	b.rows[0].t = [columns]float64{25, 25, 25, 25, 25, 25}
	lived := 0.0
	for range 800 {
		b.rows[0].oxygen, b.rows[0].water = 0.2, 30
		b.rows[0].t = [columns]float64{25, 25, 25, 25, 25, 25}
		was := b.rows[0].late
		b.rot(0.125)
		lived += b.rows[0].late - was
	}
	// Steps of an eighth of a day lag behind by less than their share of the age.
	if want := 10 * math.Pow(30/(30+lived), 0.45); math.Abs(b.rows[0].om-want) > 0.01*want {
		t.Errorf("%g kg are left, wanted %g", b.rows[0].om, want)
	}
}

func TestSameSeedSameJournal(t *testing.T) {
	text := func(seed uint64) (string, string) {
		f := farm(t, seed, Plan{Bins: 9, Kind: Rich, Days: 60})
		f.Run()
		var a, b bytes.Buffer
		if err := f.WriteJournal(&a); err != nil {
			t.Fatal(err)
		}
		if err := f.WriteAnswers(&b); err != nil {
			t.Fatal(err)
		}
		return a.String(), b.String()
	}
	j, a := text(5)
	j2, a2 := text(5)
	if j != j2 || a != a2 {
		t.Error("the same seed gave another journal or other answers")
	}
	if other, _ := text(6); other == j {
		t.Error("another seed gave the same journal")
	}
}

// Every entry is one that the app would take, with nothing refused.
func TestJournalIsTaken(t *testing.T) {
	for _, kind := range []Kind{Rich, Poor} {
		f := farm(t, 4, Plan{Bins: 11, Kind: kind, Days: 300, Counts: 1})
		f.Run()
		facts := new(journal.Facts)
		kinds := map[string]int{}
		for i := range f.Entries() {
			e := &f.Entries()[i]
			kinds[e.Kind]++
			for _, p := range journal.Check(e, journal.Known{Now: e.Recorded, Facts: facts, Zone: f.Zone}) {
				if p.Level == journal.Refused {
					t.Errorf("%s of %s: %s", e.Kind, e.At, p.Say)
				}
			}
			facts.Add(e)
			if i > 0 && e.Recorded.Before(f.Entries()[i-1].Recorded) {
				t.Fatalf("entry %d was recorded before the one before", i)
			}
		}
		j := &memory{entries: f.Entries()}
		a, err := app.Open(context.Background(), j, func() time.Time { return f.Morning() })
		if err != nil {
			t.Fatal(err)
		}
		if n := len(a.State().Living()); n != 11 {
			t.Errorf("%s: %d bins have a bed, wanted 11", kind, n)
		}
		for _, k := range []string{"feed", "look", "reading", "site", "harvest", "bed", "stock", "blend", "count"} {
			if kinds[k] == 0 {
				t.Errorf("%s: nobody wrote a %s", kind, k)
			}
		}
		t.Log(kind, kinds)
	}
}

type memory struct{ entries []journal.Entry }

func (m *memory) Append(context.Context, []journal.Entry) ([]journal.Entry, error) { return nil, nil }
func (m *memory) Load(_ context.Context, after int64) ([]journal.Entry, error) {
	out := append([]journal.Entry(nil), m.entries[after:]...)
	for i := range out {
		out[i].Seq = after + int64(i) + 1
	}
	return out, nil
}

// Two years of a farm stay within what beds are: nothing is not a number, worms
// and feed are where a farm has them, and the winter is cold.
func TestTwoYears(t *testing.T) {
	f := farm(t, 1, Plan{Bins: 18, Kind: Poor, Days: 730})
	worms, n := 0.0, 0
	coldest, warmest := math.Inf(1), math.Inf(-1)
	for f.Day < f.Days {
		f.Step()
		for _, b := range f.bins {
			x := b.truth()
			for _, v := range []float64{x.MidC, x.WaterOfWet, x.FeedKg, x.WormKg, x.MadeKg} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("day %d: %+v", f.Day, x)
				}
			}
			if x.WaterOfWet < 0.45 || x.WaterOfWet > 0.85 || x.DepthM > high+0.01 {
				t.Fatalf("day %d, %s: %+v", f.Day, b.name, x)
			}
			coldest, warmest = min(coldest, x.MidC), max(warmest, x.MidC)
			worms, n = worms+x.WormKg, n+1
		}
	}
	t.Logf("%.1f kg of worms in a bin; middles from %.1f to %.1f C; %+v; %d entries", worms/float64(n), coldest, warmest, f.Tally, len(f.entries))
	if kg := worms / float64(n) / area; kg < 2 || kg > 12 {
		t.Errorf("%.1f kg of worms under a square metre, wanted 2 to 12", kg)
	}
	if coldest > 6 || warmest < 25 {
		t.Errorf("beds lay between %.1f and %.1f C", coldest, warmest)
	}
}

// The simulator shares no process with what it is to test.
func TestSharesNoProcess(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) < 8 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		syntax, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range syntax.Imports {
			path := strings.Trim(i.Path.Value, `"`)
			if strings.HasPrefix(path, "wormyard/") && !slices.Contains([]string{"wormyard/journal", "wormyard/qty", "wormyard/internal/ids", "wormyard/internal/weather"}, path) {
				t.Errorf("%s imports %s", name, path)
			}
		}
	}
}

// What is mixed in the morning stands in the journal in the same morning, so that
// a list made anew knows of it; what is measured is typed by the next.
func TestABatchMixedIsKnownAtOnce(t *testing.T) {
	f, err := New(5, Plan{Bins: 3, Kind: Poor, Days: 10})
	if err != nil {
		t.Fatal(err)
	}
	f.Step()
	count := func(kind string) (n int) {
		for _, e := range f.Entries() {
			if e.Kind == kind {
				n++
			}
		}
		return n
	}
	had, minutes, mixed := len(f.batches), f.Tally.Minutes, count("blend")
	f.Blend()
	if len(f.batches) != had+1 || count("blend") != mixed+1 || f.Tally.Minutes != minutes+60 {
		t.Errorf("%d batches of %d, %d blends of %d, %g minutes", len(f.batches), had+1, count("blend"), mixed+1, f.Tally.Minutes-minutes)
	}
	if m := f.Batch(); m.Batch != f.batches[had].Batch {
		t.Errorf("batch %s is fed and not the one just mixed", m.Batch)
	}
}
