package twin_test

import (
	"bytes"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/twin"
)

const seed = 7

// bench is a made-up bin and what runs its twins, for tests only.
type bench struct {
	t     testing.TB
	n     nature.Numbers
	p     twin.Parameters
	draws []bed.Parameters
	knobs []twin.Knob
	begin int64
	feed  feedstock.Matter // of one cubic metre
}

func open(t testing.TB) *bench {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	var p twin.Parameters
	if err := source.Load("twin", &p); err != nil {
		t.Fatal(err)
	}
	lib, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{t: t, n: n, p: p, begin: time.Date(2025, 4, 1, 7, 0, 0, 0, time.UTC).Unix() / 3600}
	for _, part := range []struct {
		name  string
		share qty.CubicMetre
	}{{"leaves, loose dry", 0.4}, {"horse manure with bedding", 0.4}, {"wood chips, hardwood", 0.2}} {
		m, err := lib.Find(part.name)
		if err != nil {
			t.Fatal(err)
		}
		a, _, err := m.Amount(feedstock.Quantity{Volume: part.share})
		if err != nil {
			t.Fatal(err)
		}
		b.feed = b.feed.Plus(a)
	}
	b.feed.Water = qty.WaterKg(3 * float64(b.feed.Dry)) // wetted to 75 %
	knob := func(name string, f func(*bed.Parameters) *float64) twin.Knob {
		v := *f(&n.Bed)
		return twin.Knob{Name: name, Range: qty.Estimate{Best: v, Low: v / 1.5, High: v * 1.5}, Field: f}
	}
	b.knobs = []twin.Knob{
		knob("slow", func(p *bed.Parameters) *float64 { return &p.SlowRate }),
		knob("leak", func(p *bed.Parameters) *float64 { return &p.CoverLeak }),
		knob("air", func(p *bed.Parameters) *float64 { return &p.AirH }),
		knob("holds", func(p *bed.Parameters) *float64 { return &p.HoldsFibre }),
		knob("intake", func(p *bed.Parameters) *float64 { return &p.Worm.IntakePerDay }),
	}
	b.draws = twin.Draws(&n.Bed, b.knobs, seed)
	return b
}

func (b *bench) crew() *twin.Crew { return twin.NewCrew(b.p, b.draws, seed) }

func (b *bench) air() climate.Series {
	s := climate.Series{Start: b.begin - 48}
	for i := range 24 * 120 {
		s.Hours = append(s.Hours, climate.Hour{TempC: 13 + 4*math.Sin(2*math.Pi*float64(i-9)/24), RH: 0.75})
	}
	return s
}

// history is a bed of six inches with 7 kg of worms, fed 2 in each week and
// watered with it, for some weeks.
func (b *bench) history(weeks int, looks ...twin.Look) twin.History {
	cloth, _ := b.n.Bed.Cover("cloth")
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, HolesM2: 0.006, Under: bed.UnderFloor}
	h := twin.History{Bin: "B12", Box: box, Looks: looks, Start: twin.Start{
		Hour: b.begin, Matter: b.feed.Times(0.15 * 1.44), DepthM: 0.15, TempC: 15, Layer: 1, Cover: cloth,
		StockKg: qty.Estimate{Best: 7, Low: 4, High: 11},
	}}
	for w := range weeks {
		at := b.begin + int64(w)*168 + 51
		h.Acts = append(h.Acts,
			bed.Act{Hour: at, Kind: bed.Feed, Matter: b.feed.Times(0.05 * 1.44), DepthM: 0.05, TempC: math.NaN(), Layer: uint64(10 + w)},
			bed.Act{Hour: at, Kind: bed.Water, WaterKg: 4, TempC: math.NaN()})
	}
	return h
}

func (b *bench) run(c *twin.Crew, h twin.History, days int) *twin.Ensemble {
	b.t.Helper()
	e := c.Begin(h, b.air())
	b.to(c, e, h, days*24)
	return e
}

func (b *bench) to(c *twin.Crew, e *twin.Ensemble, h twin.History, hours int) {
	b.t.Helper()
	if err := c.Advance(e, h, b.air(), b.begin+int64(hours), nil); err != nil {
		b.t.Fatal(err)
	}
}

func TestSameHistoryAndSeedGiveTheSameBits(t *testing.T) {
	b := open(t)
	h := b.history(3, twin.Look{Hour: b.begin + 12*24 + 5, Squeeze: "dry"})
	one, two := b.run(b.crew(), h, 21), b.run(b.crew(), h, 21)
	if !bytes.Equal(one.AppendBinary(nil), two.AppendBinary(nil)) {
		t.Error("two runs of one history differ")
	}
	other := b.run(twin.NewCrew(b.p, b.draws, seed+1), h, 21)
	if bytes.Equal(one.AppendBinary(nil), other.AppendBinary(nil)) {
		t.Error("another seed must draw other members")
	}
	h.Bin = "B13"
	if e := b.run(b.crew(), h, 21); e.Members[1].Amount == one.Members[1].Amount {
		t.Error("two bins must not share the errors of one")
	}
}

// The plain member is the bed itself, run with the best values and what was
// written, without any ensemble.
func TestThePlainMemberIsTheBedAsWritten(t *testing.T) {
	b := open(t)
	h := b.history(3)
	e := b.run(b.crew(), h, 20)
	m := e.Members[0]
	if m.Amount != 1 || m.Air != 0 || m.Wet != 1 || m.Stock != 1 || m.Draw != 0 {
		t.Fatalf("the plain member errs: %+v", m)
	}
	air := b.air()
	for i := range h.Acts { // the middle of how much of the fibre is as good as wood
		h.Acts[i].Matter = h.Acts[i].Matter.Opened(b.n.Bed.Guarded)
	}
	laid := []bed.Laid{{Matter: h.Start.Matter.Opened(b.n.Bed.Guarded), DepthM: h.Start.DepthM, TempC: h.Start.TempC, Layer: h.Start.Layer}}
	s := bed.Start(&b.n.Bed, h.Box, laid, air.At(h.Start.Hour), h.Start.Hour)
	s.Cover = h.Start.Cover
	s.Worms = m.State.Worms.Times(0, 0)
	s.Worms.AdultKg, s.Worms.JuvenileKg = 7*2.0/3, 7.0/3
	s.Worms.Cocoons = 7 * 2.0 / 3 / (b.n.Bed.Worm.MatureG * 2e-3) * 1.5
	if _, err := bed.Run(&b.n.Bed, h.Box, s, air, e.Hour, h.Acts, nil); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(s.AppendBinary(nil), m.State.AppendBinary(nil)) {
		t.Errorf("alone %.6f kg of worms and %d layers, as a member %.6f and %d", s.Worms.LiveKg(), len(s.Layers), m.State.Worms.LiveKg(), len(m.State.Layers))
	}
}

// Wherever a run is stopped, stored, read back and taken up again, it goes on to
// the same bits, over acts and looks.
func TestAStoredEnsembleGoesOnToTheSameBits(t *testing.T) {
	b := open(t)
	looks := []twin.Look{
		{Hour: b.begin + 24 + 1, Worms: "usual"},
		{Hour: b.begin + 2*24 + 10, Squeeze: "runs", FeedLeft: "most"},
		{Hour: b.begin + 2*24 + 11, Smell: "earth"},
	}
	h := b.history(1, looks...)
	c := b.crew()
	const end = 3 * 24
	want := b.run(c, h, 3).AppendBinary(nil)
	rapid.Check(t, func(t *rapid.T) {
		e := c.Begin(h, b.air())
		stops := rapid.SliceOfN(rapid.IntRange(0, end), 1, 3).Draw(t, "stops")
		for _, hours := range stops {
			b.to(c, e, h, hours)
			back, err := twin.Decode(e.AppendBinary(nil))
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(back.AppendBinary(nil), e.AppendBinary(nil)) {
				t.Fatal("what was stored was read back otherwise")
			}
			e = back
		}
		b.to(c, e, h, end)
		if !bytes.Equal(e.AppendBinary(nil), want) {
			t.Fatalf("stopped at %v hours it went another way", stops)
		}
	})
}

func TestBrokenBytesAreRefused(t *testing.T) {
	b := open(t)
	good := b.run(b.crew(), b.history(1), 3).AppendBinary(nil)
	if _, err := twin.Decode(good); err != nil {
		t.Fatal(err)
	}
	if _, err := twin.Decode(append(bytes.Clone(good), 0)); err == nil {
		t.Error("a byte too many was taken")
	}
	if _, err := twin.Decode(nil); err == nil {
		t.Error("nothing was taken for an ensemble")
	}
	older := bytes.Clone(good)
	older[0]++
	if _, err := twin.Decode(older); err == nil {
		t.Error("another version was taken")
	}
	rapid.Check(t, func(t *rapid.T) {
		if n := rapid.IntRange(0, len(good)-1).Draw(t, "cut"); true {
			if _, err := twin.Decode(good[:n]); err == nil {
				t.Fatalf("cut at %d of %d bytes it was taken", n, len(good))
			}
		}
		bad := bytes.Clone(good)
		for range rapid.IntRange(1, 8).Draw(t, "hits") {
			bad[rapid.IntRange(0, len(bad)-1).Draw(t, "at")] ^= byte(rapid.IntRange(1, 255).Draw(t, "bits"))
		}
		_, _ = twin.Decode(bad) // may be read as another ensemble; must not break down
	})
}

// A bed found on the first morning: as deep as was said, its castings as many as
// were said, its worms within the range that was given.
func TestABedFoundOnTheFirstMorning(t *testing.T) {
	b := open(t)
	h := b.history(0)
	h.Start.DepthM, h.Start.Matter = 0.3, b.feed.Times(0.3*1.44)
	h.Start.AgeDays = qty.Estimate{Best: 90, Low: 45, High: 180}
	h.Start.Worked = qty.Estimate{Best: 0.3, Low: 0.2, High: 0.45}
	h.Start.LastFeed, h.Start.FeedDepth, h.Start.FeedDays = b.feed.Times(0.04*1.44), 0.04, 5
	// Half of it is left where it is gone after ten days; after five, next to
	// nothing, and after twenty three quarters.
	h.Start.FeedGone = qty.Estimate{Best: 10, Low: 5, High: 20}
	e := b.crew().Begin(h, b.air())
	deep := func(feed bool) func(m *twin.Member) float64 {
		return func(m *twin.Member) float64 {
			var d float64
			for i := range m.State.Layers {
				if m.State.Layers[i].Feed == feed {
					d += m.State.Layers[i].DepthM
				}
			}
			return d
		}
	}
	all := e.Over(func(m *twin.Member) float64 { return deep(true)(m) + deep(false)(m) })
	if math.Abs(all.Low-0.3) > 1e-6 || math.Abs(all.High-0.3) > 1e-6 {
		t.Errorf("the bed lies %v m deep, said was 0.3", all)
	}
	if plain := deep(true)(&e.Members[0]); math.Abs(plain-0.02) > 1e-9 {
		t.Errorf("%.4f m of feed is left in the plain member, want 0.02", plain)
	}
	if left := e.Over(deep(true)); left.Low > 0.008 || left.Low <= 0 || left.High < 0.025 || left.High > 0.033 {
		t.Errorf("%+v m of feed are left", left)
	}
	long := h
	long.Start.FeedDays = 20 // gone in any case
	if left := b.crew().Begin(long, b.air()).Over(deep(true)); left.High != 0 {
		t.Errorf("%+v m of feed are left after twenty days", left)
	}
	under := func(m *twin.Member) float64 {
		var cast, dry float64
		for i := range m.State.Layers {
			if l := &m.State.Layers[i]; !l.Feed {
				cast += l.Cast + l.Ash*l.Cast/(l.Cast+l.Quick+l.Slow)
				dry += l.Dry()
			}
		}
		return cast / dry
	}
	worked := e.Over(under)
	// Woody matter rots before the share is taken, a few per cent of the dry matter.
	if plain := under(&e.Members[0]); math.Abs(plain-0.3) > 0.03 {
		t.Errorf("castings of the plain member %.3f, said was 0.3", plain)
	}
	if worked.Low < 0.15 || worked.High > 0.55 || worked.High-worked.Low < 0.1 {
		t.Errorf("castings from %.2f to %.2f, said was 0.2 to 0.45", worked.Low, worked.High)
	}
	kg := e.Over(func(m *twin.Member) float64 { return m.State.Worms.LiveKg() })
	if kg.Low < 3 || kg.High > 14 || kg.High-kg.Low < 3 {
		t.Errorf("worms from %.1f to %.1f kg, said was 4 to 11", kg.Low, kg.High)
	}
	if left := twin.LeftOfLast(&e.Members[0].State); left < 0.3 {
		t.Errorf("of the last feeding, five days old, %.2f is left", left)
	}
}

// A trial changes nothing, sees nothing but its members, and answers alike
// whatever was tried before.
func TestATrialLeavesTheEnsembleAsItIs(t *testing.T) {
	b := open(t)
	h := b.history(2)
	c := b.crew()
	e := b.run(c, h, 16)
	before := e.AppendBinary(nil)
	now := b.begin + 16*24 + 2
	feed := func(m float64) twin.Trial {
		return twin.Trial{Soon: now + 72, Visit: now + 96, Until: now + 14*24, Acts: []bed.Act{{Hour: now, Kind: bed.Feed,
			Matter: b.feed.Times(m * 1.44), DepthM: m, TempC: math.NaN(), Layer: math.MaxUint64}}}
	}
	some := []int{0, 5, 9}
	try := func(tr twin.Trial) []twin.Outcome {
		out, err := c.Try(e, some, h, b.air(), tr, nil)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	thin := try(feed(0.02))
	deep := try(feed(0.1))
	if again := try(feed(0.02)); len(again) != 3 || again[0] != thin[0] || again[2] != thin[2] {
		t.Error("the same trial told something else the second time")
	}
	if !bytes.Equal(before, e.AppendBinary(nil)) {
		t.Error("a trial changed the ensemble")
	}
	for i, m := range some {
		if thin[i].Member != m {
			t.Errorf("outcome %d is of member %d", i, thin[i].Member)
		}
		if deep[i].LeftKg <= thin[i].LeftKg || deep[i].DepthM <= thin[i].DepthM {
			t.Errorf("member %d: four inches leave %.2f kg and %.3f m, under an inch %.2f and %.3f", m, deep[i].LeftKg, deep[i].DepthM, thin[i].LeftKg, thin[i].DepthM)
		}
		if thin[i].SoonC > thin[i].WormsMaxC || thin[i].SoonM < thin[i].RefugeM {
			t.Errorf("member %d: what comes soon is worse than all that comes", m)
		}
	}
}

// A forecast tells of the same members as a run that really goes on.
func TestAForecastIsTheRunToCome(t *testing.T) {
	b := open(t)
	h := b.history(2)
	c := b.crew()
	e := b.run(c, h, 14)
	last := map[int]float64{}
	if err := c.Forecast(e, h, b.air(), e.Hour+5*24, func(m int, s *bed.State, d bed.Day) {
		if d.WormsKg != s.Worms.LiveKg() {
			t.Errorf("member %d tells of %.3f kg of worms and holds %.3f", m, d.WormsKg, s.Worms.LiveKg())
		}
		last[m] = d.WormsKg
	}); err != nil {
		t.Fatal(err)
	}
	b.to(c, e, h, 19*24)
	for m := range e.Members {
		if e.Members[m].State.Worms.LiveKg() != last[m] {
			t.Errorf("member %d was forecast to hold %.6f kg of worms and holds %.6f", m, last[m], e.Members[m].State.Worms.LiveKg())
		}
	}
}

// An act that no bed knows is an error that names the bin.
func TestAnActThatCannotBeDone(t *testing.T) {
	b := open(t)
	h := b.history(1)
	h.Acts = append(h.Acts, bed.Act{Hour: b.begin + 60, Kind: "sing"})
	c := b.crew()
	if err := c.Advance(c.Begin(h, b.air()), h, b.air(), b.begin+100, nil); err == nil || !bytes.Contains([]byte(err.Error()), []byte("B12")) {
		t.Errorf("%v", err)
	}
}

// Bedding that lay for ten days by what was written is as hot as its age leaves it
// where nobody put worms into it; into what burns the hand nobody puts any. After
// half a year there is nothing left to tell apart.
func TestBeddingThatGotWormsHasCooled(t *testing.T) {
	b := open(t)
	quick := func(days, stock float64) (kg float64) {
		h := b.history(0)
		h.Start.AgeDays = qty.Estimate{Best: days, Low: days, High: days}
		h.Start.StockKg = qty.Estimate{Best: stock, Low: stock, High: stock}
		e := b.crew().Begin(h, b.air())
		for m := 1; m < len(e.Members); m++ { // the plain one has it as written
			for _, l := range e.Members[m].State.Layers {
				kg += l.Quick
			}
		}
		return kg
	}
	with, without := quick(10, 7), quick(10, 0)
	t.Logf("quick matter with worms %.3g of that without", with/without)
	if !(with < 0.95*without) || !(with > 0.3*without) {
		t.Errorf("with worms %g, without %g", with, without)
	}
	if with, without := quick(180, 7), quick(180, 0); math.Abs(with-without) > 1e-9*without+1e-12 {
		t.Errorf("after half a year with worms %g, without %g", with, without)
	}
}
