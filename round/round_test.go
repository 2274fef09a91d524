package round_test

import (
	"math"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
)

// farm is a made-up bin of the usual make, for tests only.
type farm struct {
	t     testing.TB
	n     nature.Numbers
	crew  *twin.Crew
	p     round.Parameters
	begin int64
	now   int64
}

// Seeds and members are those of the program; the knobs are three.
func open(t testing.TB, begin time.Time, days int) *farm {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	var p twin.Parameters
	if err := source.Load("twin", &p); err != nil {
		t.Fatal(err)
	}
	f := &farm{t: t, n: n, begin: begin.Unix() / 3600}
	if err := source.Load("round", &f.p); err != nil {
		t.Fatal(err)
	}
	knobs := []twin.Knob{
		{Name: "quick", Range: qty.Estimate{Best: n.Bed.QuickRate, Low: n.Bed.QuickRate / 1.6, High: n.Bed.QuickRate * 1.6}, Field: func(p *bed.Parameters) *float64 { return &p.QuickRate }},
		{Name: "slow", Range: qty.Estimate{Best: n.Bed.SlowRate, Low: n.Bed.SlowRate / 1.6, High: n.Bed.SlowRate * 1.6}, Field: func(p *bed.Parameters) *float64 { return &p.SlowRate }},
		{Name: "intake", Range: qty.Estimate{Best: n.Bed.Worm.IntakePerDay, Low: n.Bed.Worm.IntakePerDay / 1.5, High: n.Bed.Worm.IntakePerDay * 1.5}, Field: func(p *bed.Parameters) *float64 { return &p.Worm.IntakePerDay }},
	}
	f.crew = twin.NewCrew(p, twin.Draws(&n.Bed, knobs, 1), 1)
	f.now = f.begin + int64(days)*24
	return f
}

// library reads the materials once for all tests.
var library = sync.OnceValues(func() (*feedstock.Library, error) {
	all, err := source.Materials()
	if err != nil {
		return nil, err
	}
	return feedstock.NewLibrary(all)
})

func (f *farm) matter(m3 float64, parts ...any) feedstock.Matter {
	f.t.Helper()
	lib, err := library()
	if err != nil {
		f.t.Fatal(err)
	}
	var sum feedstock.Matter
	var shares float64
	for i := 1; i < len(parts); i += 2 {
		shares += parts[i].(float64)
	}
	for i := 0; i < len(parts); i += 2 {
		m, err := lib.Find(parts[i].(string))
		if err != nil {
			f.t.Fatal(err)
		}
		a, missing, err := m.Amount(feedstock.Quantity{Volume: qty.CubicMetre(m3 * parts[i+1].(float64) / shares)})
		if err != nil {
			f.t.Fatal(err, missing)
		}
		sum = sum.Plus(a)
	}
	return sum
}

// The everyday feed and a fresh hot one, by volume.
func (f *farm) everyday(m3 float64) feedstock.Matter {
	m := f.matter(m3, "leaves, loose dry", 1.0, "horse manure with bedding", 1.0, "wood chips, hardwood", 0.5)
	m.Water = qty.WaterKg(float64(m.Dry) * 0.75 / 0.25)
	return m
}

func (f *farm) fresh(m3 float64) feedstock.Matter {
	return f.matter(m3, "dairy solids, separated", 1.0)
}

func (f *farm) air(mean, swing, humid float64) climate.Series {
	s := climate.Series{Start: f.begin - 48}
	for i := range 24 * 120 {
		s.Hours = append(s.Hours, climate.Hour{TempC: mean + swing*math.Sin(2*math.Pi*float64(i-9)/24), RH: humid})
	}
	return s
}

// history is a bin bedded with six inches, stocked with 7 kg, fed 1½ in of the
// everyday feed each fourth day, watered a gallon with it, until the last days.
func (f *farm) history(until int) twin.History {
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, HolesM2: 0.006, Under: bed.UnderFloor}
	cloth, _ := f.n.Bed.Cover("cloth")
	h := twin.History{Bin: "B1", Box: box, Start: twin.Start{
		Hour: f.begin, Matter: f.everyday(0.1524 * 1.44), DepthM: 0.1524, TempC: 15, Layer: 1, Cover: cloth,
		AgeDays: qty.Estimate{Best: 40, Low: 20, High: 60}, StockKg: qty.Estimate{Best: 7, Low: 5, High: 9},
	}}
	for d := 2; d < until; d += 4 {
		at := f.begin + int64(d)*24 + 10
		h.Acts = append(h.Acts,
			bed.Act{Hour: at, Kind: bed.Feed, Matter: f.everyday(0.0381 * 1.44), DepthM: 0.0381, TempC: math.NaN(), Layer: uint64(10 + d)},
			bed.Act{Hour: at, Kind: bed.Water, WaterKg: 3.785, TempC: math.NaN()})
	}
	return h
}

func (f *farm) ask(h twin.History, air climate.Series) round.Item {
	f.t.Helper()
	c := f.asked(h, air)
	trier := round.Trier{P: f.p, Crew: f.crew}
	it, err := trier.Bin(c)
	if err != nil {
		f.t.Fatal(err)
	}
	f.t.Log(spoken(it))
	return it
}

// asked is the bin on the day of the round.
func (f *farm) asked(h twin.History, air climate.Series) round.Case {
	f.t.Helper()
	e := f.crew.Begin(h, air)
	if err := f.crew.Advance(e, h, air, f.now, nil); err != nil {
		f.t.Fatal(err)
	}
	c := round.Case{
		Bin: "B1", Place: "3-4 top", Barn: "1", Row: "3", Stack: 4, Level: 3, History: h, Ensemble: e, Air: air,
		Now: f.now, Visit: f.now + 4*24, Due: true, EveryDays: 4,
		Mixes: []round.Mix{{Batch: "41", PerM3: f.everyday(1), LeftM3: 10}},
	}
	for _, a := range h.Acts {
		if a.Kind == bed.Feed {
			c.LastFed, c.LastDepthM = a.Hour, a.DepthM
		}
	}
	return c
}

// spoken gives an item as a line of its own.
func spoken(it round.Item) string {
	l := round.List{Lines: []round.Line{{Act: it.Act, Head: it.Head, Items: []round.Item{it}}}}
	l.Speak(round.Words{Zone: time.UTC})
	n := l.Lines[0]
	return strings.Join([]string{n.Say + ".", n.Reason, n.Sure, n.Caution}, " ")
}

var spring = time.Date(2025, 12, 20, 0, 0, 0, 0, time.UTC)

func TestAHungryBinIsFed(t *testing.T) {
	f := open(t, spring, 40)
	it := f.ask(f.history(34), f.air(18, 3, 0.75))
	if it.Act != round.Feed || it.DepthM <= 0 || it.Mix != "41" || it.Urgency != round.Today {
		t.Errorf("asked for %s of %.3f m of mix %s", it.Act, it.DepthM, it.Mix)
	}
	if halves := it.DepthM / 0.0127; math.Abs(halves-math.Round(halves)) > 1e-9 || it.DepthM > 0.1016 {
		t.Errorf("%.4f m is no half inches up to four", it.DepthM)
	}
	for _, w := range it.Working { // by algebra: a chance is its members over those asked
		if p, ok := w.Outputs["chance"]; ok && p != w.Inputs["with_it"]/w.Inputs["members"] {
			t.Errorf("%+v", w)
		}
	}
	if len(it.Tried) < 4 || len(it.Working) != len(it.Chances)+1 || len(it.Chances) == 0 || len(it.Why) == 0 || len(it.Sureness) == 0 || len(it.Care) == 0 {
		t.Errorf("tried %d, chances %d, why %d, how sure %d, care %d", len(it.Tried), len(it.Chances), len(it.Why), len(it.Sureness), len(it.Care))
	}
}

func TestAFedBinRests(t *testing.T) {
	f := open(t, spring, 40)
	h := f.history(36) // the last feeding on day 34
	h.Acts = append(h.Acts, bed.Act{Hour: f.now - 30, Kind: bed.Feed, Matter: f.everyday(0.0508 * 1.44), DepthM: 0.0508, TempC: math.NaN(), Layer: 800})
	c := f.asked(h, f.air(12, 3, 0.75))
	c.Due = false
	trier := round.Trier{P: f.p, Crew: f.crew}
	it, err := trier.Bin(c)
	if err != nil || it.Act != round.Rest {
		t.Errorf("asked for %s, %v", spoken(it), err)
	}
}

// A bin under others waits for the truck, unless it is in danger.
func TestABinUnderOthersWaits(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(18, 3, 0.75))
	c.Above, c.Waits = 2, f.now+48
	trier := round.Trier{P: f.p, Crew: f.crew}
	it, err := trier.Bin(c)
	if err != nil || it.Act != round.Rest || !strings.Contains(spoken(it), "waits for the truck") {
		t.Errorf("%s %v", spoken(it), err)
	}
	c.Waits = 0
	it, err = trier.Bin(c)
	if err != nil || it.Act != round.Feed || it.Lift != 2 {
		t.Errorf("%s lifts %d %v", spoken(it), it.Lift, err)
	}
}

// Worms of a young bed that was never fed live on their bedding: a foreman calls
// none of them hungry, whether it is fed today or waits for the truck.
func TestAYoungBedIsNotHungry(t *testing.T) {
	f := open(t, spring, 6)
	h := f.history(-1)
	h.Start.AgeDays, h.Start.StockKg = qty.Estimate{}, qty.Estimate{Best: 7, Low: 5, High: 9}
	h.Acts = nil
	c := f.asked(h, f.air(18, 3, 0.75))
	c.LastFed, c.LastDepthM = 0, 0
	trier := round.Trier{P: f.p, Crew: f.crew}
	for _, waits := range []int64{0, f.now + 48} {
		c.Waits = waits
		if waits > 0 {
			c.Above = 2
		}
		it, err := trier.Bin(c)
		if got := spoken(it); err != nil || strings.Contains(strings.ToLower(got), "hungry") || waits > 0 && !strings.Contains(got, "live on their bedding") {
			t.Errorf("waits %d: %q %v", waits, got, err)
		}
	}
}

// Three faults, each put into the same bin, must each change what the round asks.
func TestFaultsChangeTheRound(t *testing.T) {
	f := open(t, spring, 40)
	t.Run("fed far too deep", func(t *testing.T) {
		f := *f
		f.t = t
		h := f.history(36)
		h.Acts = append(h.Acts, bed.Act{Hour: f.now - 30, Kind: bed.Feed, Matter: f.fresh(0.25 * 1.44), DepthM: 0.25, TempC: 25, Layer: 900})
		if it := f.ask(h, f.air(20, 3, 0.75)); it.Act != round.Open || it.Urgency != round.Now || !strings.Contains(spoken(it), "Ammonia") {
			t.Errorf("asked for %s, %s", it.Act, it.Urgency)
		}
	})
	t.Run("left dry", func(t *testing.T) {
		f := *f
		f.t = t
		h := f.history(30)
		h.Acts = slices.DeleteFunc(h.Acts, func(a bed.Act) bool { return a.Kind == bed.Water })
		h.Start.Cover = bed.Cover{Name: "none"}
		if it := f.ask(h, f.air(22, 4, 0.4)); it.WaterKg <= 0 || it.Cover != "cloth" {
			t.Errorf("asked for %s of %.1f kg under %s", it.Act, it.WaterKg, it.Cover)
		}
	})
	t.Run("frozen", func(t *testing.T) {
		f := *f
		f.t = t
		if it := f.ask(f.history(36), f.air(-12, 2, 0.8)); it.Act != round.Warm && it.Act != round.Cover || it.Urgency != round.Today {
			t.Errorf("asked for %s in hard frost", it.Act)
		}
	})
}

// One hot member of eight is no danger of today.
func TestOneHotMemberOpensNoBin(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(18, 3, 0.75))
	for i := range c.Ensemble.Members[8].State.Layers {
		c.Ensemble.Members[8].State.Layers[i].TempC = 45
	}
	trier := round.Trier{P: f.p, Crew: f.crew}
	if it, err := trier.Bin(c); err != nil || it.Act == round.Open {
		t.Errorf("%s %v", spoken(it), err)
	}
	for _, m := range []int{0, 1, 2, 3, 4, 5, 6, 7, 12, 13, 16, 17} {
		for i := range c.Ensemble.Members[m].State.Layers {
			c.Ensemble.Members[m].State.Layers[i].TempC = 45
		}
	}
	if it, err := trier.Bin(c); err != nil || it.Act != round.Open {
		t.Errorf("a third of the members at 45 C: %s %v", spoken(it), err)
	}
}

// A dial thermometer far from all that is expected asks for a look, and where the
// bed would stay that warm to open it; a logger and an old stab do not.
func TestAnOddReadingWantsALook(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(14, 3, 0.75))
	trier := round.Trier{P: f.p, Crew: f.crew}
	for _, x := range []struct {
		r    twin.Reading
		want bool
	}{
		{twin.Reading{Hour: f.now - 1, DepthM: 0.1, TempC: 38, Probe: "dial"}, true},
		{twin.Reading{Hour: f.now - 1, DepthM: 0.1, TempC: 38, Probe: "logger"}, false},
		{twin.Reading{Hour: f.now - 50, DepthM: 0.1, TempC: 38, Probe: "dial"}, false},
		{twin.Reading{Hour: f.now - 1, DepthM: 0.1, TempC: 21, Probe: "dial"}, false},
	} {
		c.History.Readings = []twin.Reading{x.r}
		it, err := trier.Bin(c)
		if err != nil {
			t.Fatal(err)
		}
		if odd := (it.Act == round.Look || it.Act == round.Open) && strings.Contains(spoken(it), "It read 100"); odd != x.want {
			t.Errorf("%+v: %s", x.r, spoken(it))
		}
	}
}

// A stab of which nobody said the depth is held against the bed as deep as stabs
// usually go, and not against its surface.
func TestAnOddReadingOfNoDepth(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(14, 3, 0.75))
	trier := round.Trier{P: f.p, Crew: f.crew}
	said := map[float64]string{}
	for _, deep := range []float64{0, f.crew.P.UsualStab} {
		c.History.Readings = []twin.Reading{{Hour: f.now - 1, DepthM: deep, TempC: 38, Probe: "dial"}}
		it, err := trier.Bin(c)
		if err != nil {
			t.Fatal(err)
		}
		said[deep] = spoken(it)
	}
	if said[0] != said[f.crew.P.UsualStab] || !strings.Contains(said[0], "It read 100 °F at 4 in") {
		t.Errorf("without a depth %s; at the usual one %s", said[0], said[f.crew.P.UsualStab])
	}
}

// Where heat alone keeps feed from a hungry bed and no thermometer was in it for a
// week, it asks for one; not after one was in, and not under other bins.
func TestHeatThatNobodyReadWantsAThermometer(t *testing.T) {
	f := open(t, spring, 90)
	f.p.HungryDays, f.p.MinuteKg = 14, 0.02 // so that little feed is hunger, and little gain is worth a minute
	h, air := f.history(34), f.air(25.5, 3, 0.75)
	for _, x := range []struct {
		ago   int64 // days since a thermometer was in, 0 for never
		above int
		want  bool
	}{{0, 0, true}, {8, 0, true}, {3, 0, false}, {0, 1, false}} {
		c := f.asked(h, air)
		c.Above = x.above
		for m := range c.Ensemble.Members { // of every second pair a bed at 28 C, too warm for feed
			if m%4 < 2 {
				continue
			}
			for i := range c.Ensemble.Members[m].State.Layers {
				c.Ensemble.Members[m].State.Layers[i].TempC = 28
			}
		}
		if x.ago > 0 {
			c.History.Readings = []twin.Reading{{Hour: f.now - 24*x.ago, DepthM: 0.1, TempC: 25, Probe: "dial"}}
		}
		trier := round.Trier{P: f.p, Crew: f.crew}
		it, err := trier.Bin(c)
		if err != nil {
			t.Fatal(err)
		}
		made := f.p.Write(round.Made{At: time.Unix(f.now*3600, 0), Items: []round.Item{it}})
		if asks := len(made.Lines) == 1 && made.Lines[0].Act == round.Look && made.Lines[0].Head.Key == "probe"; asks != x.want {
			t.Errorf("read %d days ago, under %d bins: %s (%+v)", x.ago, x.above, spoken(it), made.Lines)
		}
	}
}

// The printed chances come from members that have no part in choosing: with
// three times the worms in all odd members the advice stays and the chances turn.
func TestThePrintedChancesAreOfMembersThatDidNotChoose(t *testing.T) {
	f := open(t, spring, 40)
	air := f.air(18, 3, 0.75)
	chance := func(it round.Item, of string) float64 {
		for _, c := range it.Chances {
			if c.Of == of {
				if c.N != 16 {
					t.Errorf("%s rests on %d members", of, c.N)
				}
				return c.Frac
			}
		}
		t.Fatalf("no chance of %s", of)
		return 0
	}
	trier := round.Trier{P: f.p, Crew: f.crew}
	c := f.asked(f.history(34), air)
	plain, err := trier.Bin(c)
	if err != nil {
		t.Fatal(err)
	}
	for m := 1; m < twin.Members; m += 2 {
		s := &c.Ensemble.Members[m].State
		s.Worms = s.Worms.Times(3, 3)
	}
	crowded, err := trier.Bin(c)
	if err != nil {
		t.Fatal(err)
	}
	if crowded.Act != plain.Act || crowded.DepthM != plain.DepthM || crowded.Mix != plain.Mix {
		t.Errorf("members that tell chose: %s against %s", spoken(crowded), spoken(plain))
	}
	if len(crowded.Tried) != len(plain.Tried) {
		t.Errorf("%d tried against %d", len(crowded.Tried), len(plain.Tried))
	}
	if a, b := chance(plain, "hungry"), chance(crowded, "hungry"); b < a+0.15 { // more than two of sixteen
		t.Errorf("hungry %.2f, and with more worms in those that tell %.2f", a, b)
	}
}

// A farmer who does what the round says at 60 to 70 F feeds two to three inches
// of everyday feed a week to 7 kg of worms (common practice, no source; an inch
// of slack either way, as the numbers of nature are drawn).
func TestAFarmThatFollowsTheRound(t *testing.T) {
	if testing.Short() {
		t.Skip("half a minute")
	}
	f := open(t, spring, 0)
	h := f.history(0)
	air := f.air(17, 3, 0.75)
	e := f.crew.Begin(h, air)
	trier := round.Trier{P: f.p, Crew: f.crew}
	var fed float64
	var last int64
	const from, until = 14, 56
	for d := 2; d < until; d++ {
		f.now = f.begin + int64(d)*24 + 15
		if err := f.crew.Advance(e, h, air, f.now, nil); err != nil {
			t.Fatal(err)
		}
		due := f.now-last >= 4*24
		if !due {
			continue
		}
		it, err := trier.Bin(round.Case{Bin: "B1", History: h, Ensemble: e, Air: air, Now: f.now, Visit: f.now + 4*24, Due: true, EveryDays: 4,
			LastFed: last, Mixes: []round.Mix{{Batch: "41", PerM3: f.everyday(1), LeftM3: 10}}})
		if err != nil {
			t.Fatal(err)
		}
		if it.Act == round.Open || it.Act == round.Warm {
			t.Fatalf("day %d: %s", d, spoken(it))
		}
		if it.Act == round.Feed {
			h.Acts = append(h.Acts, bed.Act{Hour: f.now, Kind: bed.Feed, Matter: f.everyday(it.DepthM * 1.44), DepthM: it.DepthM, TempC: math.NaN(), Layer: uint64(100 + d)})
			last = f.now
			if d >= from {
				fed += it.DepthM
			}
		}
		if it.WaterKg > 0 {
			h.Acts = append(h.Acts, bed.Act{Hour: f.now, Kind: bed.Water, WaterKg: it.WaterKg, TempC: math.NaN()})
		}
	}
	if week := fed / 0.0254 / (until - from) * 7; week < 1 || week > 4 {
		t.Errorf("%.1f in a week", week)
	} else {
		t.Logf("%.1f in a week", week)
	}
}

// Of a hot bed that was never fed no new feed comes off; where it may get hotter
// than any worm lives through, that is said, and not only how warm they have it.
func TestAHotBedThatWasNeverFed(t *testing.T) {
	f := open(t, spring, 40)
	h := f.history(34)
	h.Acts = nil
	c := f.asked(h, f.air(18, 3, 0.75))
	for m := range c.Ensemble.Members {
		for i := range c.Ensemble.Members[m].State.Layers {
			c.Ensemble.Members[m].State.Layers[i].TempC = 60
		}
	}
	trier := round.Trier{P: f.p, Crew: f.crew}
	it, err := trier.Bin(c)
	said := spoken(it)
	tops := 0
	for _, x := range it.Tried {
		if strings.HasPrefix(x.Option.Key, "open.top") {
			tops++
		}
		said += " " + x.Option.Key
	}
	if err != nil || it.Act != round.Open || tops == 0 || strings.Contains(said, "feed") || strings.Contains(said, "open.both") || !strings.Contains(said, "where the worms are now, and none lives through that") {
		t.Errorf("%s %v", said, err)
	}
}
