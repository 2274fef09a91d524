package yard_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
	"wormyard/yard"
)

// Fresh stall manure is hot within a week, has cooled enough to lay within the 9
// to 21 days that are typical of precomposting (memory), and may not be laid
// fresh.
func TestStallManureHeatsAndCools(t *testing.T) {
	p := parameters(t)
	m := matter(t, "horse manure with bedding", 2)
	at := func(day float64) yard.Status {
		s, b := follow(t, p, steady(12), day, received(m))
		return s.Status(p, b)
	}
	if st := at(1); st.Use != yard.CoolNo {
		t.Errorf("after a day it may be laid: %+v", st)
	}
	if st := at(7); !st.Hot {
		t.Errorf("after a week the core is at %g C", st.Core.Best)
	}
	first := 0.0
	for day := 1.0; day < 60; day++ {
		if float64(at(day).Laid) <= p.CoolC {
			first = day
			break
		}
	}
	if first < 5 || first > 21 {
		t.Errorf("it lies cool when thin from day %g", first)
	}
	if st := at(120); st.Hot || st.Use != yard.CoolYes {
		t.Errorf("after four months: %+v", st)
	}
}

// Limits: nothing, water, stone, dry cardboard, frost.
func TestLimits(t *testing.T) {
	p := parameters(t)
	if s, b := follow(t, p, steady(10), 10); s.Matter.Wet() != 0 || len(s.Advise(p, b, qty.US)) != 0 || s.Status(p, b).Use != yard.CoolNo {
		t.Error("no pile is a pile")
	}
	for _, c := range []struct {
		name string
		air  float64
	}{{"water", 10}, {"rock dust", 10}, {"corrugated cardboard", 20}, {"horse manure with bedding", -15}} {
		m := matter(t, c.name, 5)
		s, b := follow(t, p, steady(c.air), 60, received(m))
		if s.TempC > c.air+1 || math.IsNaN(s.TempC) {
			t.Errorf("%s in air of %g C is at %g C", c.name, c.air, s.TempC)
		}
		if float64(b.DryLost) > .002*float64(m.Dry) {
			t.Errorf("%s lost %g of %g kg", c.name, b.DryLost, m.Dry)
		}
		if st := s.Status(p, b); st.Hot || st.Turn || (c.name != "horse manure with bedding" && st.Wet) {
			t.Errorf("%s: %+v", c.name, st)
		}
	}
	// so wet that no air is left: no heat
	m := matter(t, "horse manure with bedding", 5)
	m.Water += 3000
	if s, _ := follow(t, p, steady(15), 30, received(m)); s.TempC > 17 {
		t.Errorf("a drowned pile is at %g C", s.TempC)
	}
	// all of it taken
	s, b := follow(t, p, steady(15), 30, received(matter(t, "grass clippings, loose", 5)), yard.Event{Hour: 100, Kind: yard.Taken, Part: 1})
	if s.Matter.Wet() != 0 || len(s.Advise(p, b, qty.US)) != 0 {
		t.Errorf("an empty pile wants something: %+v", s)
	}
}

// Whatever is done to whatever pile, dry matter, ash, water, carbon, nitrogen
// and heat are all accounted for.
func TestBalance(t *testing.T) {
	p := parameters(t)
	names := []string{"horse manure with bedding", "dairy solids, separated", "grass clippings, loose", "leaves, loose dry", "laying hen manure", "wood chips, hardwood", "apple pomace", "water", "food waste", "rock dust"}
	rapid.Check(t, func(rt *rapid.T) {
		events := []yard.Event{received(matter(t, rapid.SampledFrom(names).Draw(rt, "first"), qty.CubicMetre(rapid.Float64Range(.05, 60).Draw(rt, "m3"))))}
		for range rapid.IntRange(0, 6).Draw(rt, "events") {
			e := yard.Event{Hour: rapid.Int64Range(0, 24*60).Draw(rt, "hour"), Kind: rapid.SampledFrom([]yard.Kind{yard.Received, yard.Taken, yard.Turned, yard.Wetted, yard.Covered, yard.Uncovered}).Draw(rt, "kind")}
			switch e.Kind {
			case yard.Received:
				e.Matter = matter(t, rapid.SampledFrom(names).Draw(rt, "more"), qty.CubicMetre(rapid.Float64Range(.05, 20).Draw(rt, "m3 more")))
			case yard.Taken:
				e.Part = qty.Fraction(rapid.Float64Range(0, 1).Draw(rt, "part"))
			case yard.Wetted:
				e.Water = qty.WaterKg(rapid.Float64Range(0, 3000).Draw(rt, "water"))
			}
			events = append(events, e)
		}
		rain := func(h int64) float64 {
			if h%50 == 0 {
				return 2
			}
			return 0
		}
		air := climate.Series{Hours: make([]climate.Hour, 24*70)}
		for i := range air.Hours {
			air.Hours[i] = climate.Hour{TempC: 8 + 9*math.Sin(float64(i)/24*2*math.Pi), RH: .8}
		}
		s, b, err := yard.Follow(p, air, rain, events, 24*70)
		if err != nil {
			rt.Fatal(err)
		}
		m := s.Matter
		for _, c := range []struct {
			what          string
			in, out, left float64
		}{
			{"dry matter", float64(b.In.Dry), float64(b.Out.Dry + b.DryLost), float64(m.Dry)},
			{"ash", float64(b.In.Ash), float64(b.Out.Ash), float64(m.Ash)},
			{"water", float64(b.In.Water + b.WaterAdded + b.WaterMade), float64(b.Out.Water + b.Evaporated + b.Drained), float64(m.Water)},
			{"carbon", float64(b.In.Carbon), float64(b.Out.Carbon + b.CarbonLost), float64(m.Carbon)},
			{"nitrogen", float64(b.In.TotalNitrogen()), float64(b.Out.TotalNitrogen() + b.NitrogenLost), float64(m.TotalNitrogen())},
			{"pools", float64(m.Dry), 0, float64(m.Quick + m.Slow + m.Woody + m.Cast + m.Ash)},
		} {
			if d := math.Abs(c.in - c.out - c.left); d > 1e-9*max(c.in, 1e-3) {
				rt.Fatalf("%s: in %g, out %g, left %g, missing %g", c.what, c.in, c.out, c.left, d)
			}
		}
		if e := b.HeatError(); e > 1e-9 {
			rt.Fatalf("heat is off by %g of %g J", e, b.HeatMade)
		}
		if m.Dry < 0 || m.Water < 0 || m.Nitrogen < 0 || m.Ammonia < 0 || m.Carbon < -1e-9 || s.Oxygen < 0 || s.Oxygen > .2096 || s.TempC < -5 || s.TempC > 75 {
			rt.Fatalf("cannot be: %+v", s)
		}
		if st := s.Status(p, b); st.Core.Low > st.Core.Best || st.Core.Best > st.Core.High || st.AirFilled < 0 || st.AirFilled > 1 {
			rt.Fatalf("%+v", st)
		}
	})
}

// Colder air, more wood, less air space and less time are never faster; a
// larger pile is never cooler at its peak.
func TestMonotone(t *testing.T) {
	p := parameters(t)
	lost := func(air, days float64, m feedstock.Matter) float64 {
		_, b := follow(t, p, steady(air), days, received(m))
		return float64(b.DryLost) / float64(m.Dry)
	}
	m := matter(t, "dairy solids, separated", 3)
	last := -1.0
	for _, air := range []float64{-5, 0, 5, 10, 15, 20, 25} {
		if l := lost(air, 5, m); l < last {
			t.Errorf("five days in air of %g C lose less (%g) than colder (%g)", air, l, last)
		} else {
			last = l
		}
	}
	last = -1
	for days := 0.0; days < 100; days += 5 {
		if l := lost(15, days, m); l < last {
			t.Errorf("after %g days less has gone than before", days)
		} else {
			last = l
		}
	}
	tough := m
	tough.Woody += tough.Quick
	tough.Quick = 0
	if lost(15, 20, tough) >= lost(15, 20, m) {
		t.Error("without quick matter it rots no slower")
	}
	packed := m
	packed.Volume *= .62
	if lost(15, 4, packed) >= lost(15, 4, m) {
		t.Error("packed airless it rots no slower")
	}
	peak := 0.0
	for _, v := range []qty.CubicMetre{.1, .3, 1, 3, 10} {
		s, _ := follow(t, p, steady(15), 40, received(matter(t, "dairy solids, separated", v)))
		if s.PeakC < peak-.5 {
			t.Errorf("a pile of %g m3 peaks at %g C, a smaller one at %g C", v, s.PeakC, peak)
		}
		peak = s.PeakC
	}
}

func TestDeterministicAndLateEntriesSort(t *testing.T) {
	p := parameters(t)
	a := received(matter(t, "horse manure with bedding", 4))
	b := yard.Event{Hour: 24 * 6, Kind: yard.Turned}
	c := yard.Event{Hour: 24 * 9, Kind: yard.Wetted, Water: 200}
	s1, b1 := follow(t, p, steady(12), 20, a, b, c)
	s2, b2 := follow(t, p, steady(12), 20, c, b, a)
	if s1 != s2 || b1 != b2 {
		t.Error("the order in which entries arrive changes the pile")
	}
	// stopping on the way and going on is the same as not stopping
	s3, b3 := follow(t, p, steady(12), 10, a, b, c)
	s3.Run(p, steady(12), nil, 24*20, &b3)
	if s3 != s1 || b3 != b1 {
		t.Error("a pile that was looked at on day 10 differs on day 20")
	}
}

func TestThermometerCorrects(t *testing.T) {
	p := parameters(t)
	m := received(matter(t, "horse manure with bedding", 4))
	free, freeBudget := follow(t, p, steady(12), 8, m)
	cold := yard.Event{Hour: 24 * 8, Kind: yard.Measured, TempC: 25}
	read, readBudget := follow(t, p, steady(12), 8, m, cold)
	st := read.Status(p, readBudget)
	if read.TempC != 25 || st.Core.Known != "measured" || st.Core.High-st.Core.Low > 2*1.6449*p.ProbeC+1e-9 {
		t.Errorf("%+v", st.Core)
	}
	if wide := free.Status(p, freeBudget).Core; wide.High-wide.Low < 3*(st.Core.High-st.Core.Low) {
		t.Errorf("not measured it is as narrow: %+v", wide)
	}
	if read.Active >= 1 || read.Active < .5 {
		t.Errorf("a pile found colder is taught as %g", read.Active)
	}
	later, laterBudget := follow(t, p, steady(12), 30, m, cold)
	if w := later.Status(p, laterBudget).Core; w.High-w.Low <= st.Core.High-st.Core.Low {
		t.Error("three weeks later it is as sure as on the day")
	}
	hot, _ := follow(t, p, steady(12), 1, received(matter(t, "corrugated cardboard", 4)), yard.Event{Hour: 24, Kind: yard.Measured, TempC: 50})
	if hot.Active <= 1 {
		t.Errorf("a pile found hot that should be cold is taught as %g", hot.Active)
	}
}

func TestTurningCoolsAndAirs(t *testing.T) {
	p := parameters(t)
	m := received(matter(t, "horse manure with bedding", 10))
	before, _ := follow(t, p, steady(12), 9, m)
	after, b := follow(t, p, steady(12), 9, m, yard.Event{Hour: 24 * 9, Kind: yard.Turned})
	if after.TempC >= before.TempC-10 || after.Oxygen <= before.Oxygen || after.Matter.Volume <= before.Matter.Volume || after.Turns != 1 {
		t.Errorf("before %+v after %+v", before, after)
	}
	if st := after.Status(p, b); st.Turn {
		t.Error("just turned, it wants turning")
	}
}

func TestRainAndCover(t *testing.T) {
	p := parameters(t)
	rain := func(int64) float64 { return .5 }
	m := received(matter(t, "leaves, loose dry", 10))
	open, bo, _ := yard.Follow(p, steady(5), rain, []yard.Event{m}, 240)
	under, bu, _ := yard.Follow(p, steady(5), rain, []yard.Event{m, {Kind: yard.Covered}}, 240)
	if bu.WaterAdded != 0 || bo.WaterAdded <= 0 || open.Matter.WaterContent() <= under.Matter.WaterContent() {
		t.Errorf("open %g, covered %g", open.Matter.WaterContent(), under.Matter.WaterContent())
	}
}

func acts(a []yard.Advice) string {
	var out []string
	for _, x := range a {
		out = append(out, x.Act)
	}
	return strings.Join(out, ", ")
}

func TestAdvice(t *testing.T) {
	p := parameters(t)
	day := func(d float64) int64 { return int64(d * 24) }
	measured := func(d, c float64) yard.Event {
		return yard.Event{Hour: day(d), Kind: yard.Measured, TempC: qty.Celsius(c)}
	}
	stall := received(matter(t, "horse manure with bedding", 10))
	for _, c := range []struct {
		why     string
		days    float64
		events  []yard.Event
		first   string
		urgency yard.Urgency
		caution string
	}{
		{"smoulders", 20, []yard.Event{stall, measured(19, 90)}, "call for help", yard.Now, "fire service"},
		{"hotter than life", 20, []yard.Event{stall, measured(19, 79)}, "spread", yard.Now, "fire"},
		{"at the top", 20, []yard.Event{stall, measured(19, 72)}, "turn", yard.Today, "fire"},
		{"hot and airless", 8, []yard.Event{stall}, "turn", yard.Week, "Hot"},
		{"just turned, not measured", 8, []yard.Event{stall, {Hour: day(7), Kind: yard.Turned}}, "measure", yard.Week, ""},
		{"dry leaves in store", 30, []yard.Event{received(matter(t, "leaves, loose dry", 2))}, "", "", ""},
		{"old and cool", 300, []yard.Event{received(matter(t, "horse manure with bedding", 2))}, "", "", ""},
	} {
		s, b := follow(t, p, steady(12), c.days, c.events...)
		got := s.Advise(p, b, qty.US)
		if c.first == "" {
			if len(got) != 0 {
				t.Errorf("%s: %+v", c.why, got)
			}
			continue
		}
		if len(got) == 0 || got[0].Act != c.first || got[0].Urgency != c.urgency || !strings.Contains(got[0].Caution, c.caution) {
			t.Errorf("%s: %+v", c.why, got)
		}
		for _, a := range got {
			if a.Reason == "" || strings.ContainsAny(a.Reason+a.Caution, "!") || strings.Contains(a.Reason, "NaN") {
				t.Errorf("%s: %+v", c.why, a)
			}
		}
	}
	// a danger that was read stays until it is read again or turned, though the model has cooled
	s, b := follow(t, p, steady(12), 40, stall, measured(19, 79))
	if got := s.Advise(p, b, qty.US); len(got) == 0 || got[0].Act != "spread" {
		t.Errorf("the danger was forgotten: %s", acts(got))
	}
	s, b = follow(t, p, steady(12), 40, stall, measured(19, 79), yard.Event{Hour: day(20), Kind: yard.Turned}, measured(39, 40))
	if got := s.Advise(p, b, qty.US); len(got) > 0 && got[0].Urgency == yard.Now {
		t.Errorf("turned and read cooler it still alarms: %s", acts(got))
	}
}

// A warm pile that has dried is told to be wetted with the water that brings it
// to the moisture aimed at, and in the state in which piles catch fire at once.
func TestWetting(t *testing.T) {
	p := parameters(t)
	m := matter(t, "rabbit manure with straw", 10)
	m.Water = qty.WaterKg(.40 / .60 * float64(m.Dry))
	s, b := follow(t, p, steady(15), 4, received(m))
	st := s.Status(p, b)
	if !st.Wet || !st.Hot {
		t.Fatalf("%+v", st)
	}
	after := s
	after.Do(p, steady(15), yard.Event{Hour: s.Hour, Kind: yard.Wetted, Water: st.Water}, &b)
	if w := float64(after.Matter.WaterContent()); math.Abs(w-p.WetTo) > 1e-9 {
		t.Errorf("the water advised brings it to %g, aimed at %g", w, p.WetTo)
	}
	i := slices.IndexFunc(s.Advise(p, b, qty.Metric), func(a yard.Advice) bool { return a.Act == "wet" })
	if i < 0 {
		t.Fatal("not advised")
	}
	if a := s.Advise(p, b, qty.Metric)[i]; a.Urgency != yard.Today || !strings.Contains(a.Caution, "fire") {
		t.Errorf("%+v", a)
	}
}

func TestEventsThatCannotBe(t *testing.T) {
	_, _, err := yard.Follow(parameters(t), steady(10), nil, []yard.Event{
		{Kind: yard.Wetted, Water: -5}, {Kind: yard.Taken, Part: 2}, {Kind: "burnt"}, {Kind: yard.Measured, TempC: qty.Celsius(math.NaN())}, {Kind: yard.Received, Matter: feedstock.Matter{Dry: -1}},
	}, 10)
	var r *figure.Refusal
	if !errors.As(err, &r) || len(r.Problems) != 5 {
		t.Errorf("%v", err)
	}
}

// Steps of an hour against steps eight times finer: within 1 C of the core while
// it races upward, 0.3 C after, and 1 % of what is left.
func TestStepIsFineEnough(t *testing.T) {
	p := parameters(t)
	air := climate.Series{Hours: make([]climate.Hour, 24*60)}
	for i := range air.Hours {
		air.Hours[i] = climate.Hour{TempC: 12 + 6*math.Sin(float64(i)/24*2*math.Pi), RH: .75}
	}
	for _, c := range []struct {
		name   string
		volume qty.CubicMetre
	}{{"horse manure with bedding", 4}, {"grass clippings, loose", .5}, {"rabbit manure with straw", 10}} {
		coarse, cb := follow(t, p, air, 0, received(matter(t, c.name, c.volume)))
		fine, fb := coarse, cb
		for day := int64(1); day <= 60; day++ {
			coarse.Run(p, air, nil, 24*day, &cb)
			fine.RunFine(p, air, 24*day, 8, &fb)
			limit := .3
			if day < 10 {
				limit = 1
			}
			if d := math.Abs(coarse.TempC - fine.TempC); d > limit {
				t.Errorf("%s, day %d: core %.2f C, fine %.2f C", c.name, day, coarse.TempC, fine.TempC)
			}
		}
		if d := math.Abs(float64(coarse.Matter.Dry - fine.Matter.Dry)); d > .01*float64(fine.Matter.Dry) {
			t.Errorf("%s: dry %g and %g kg", c.name, coarse.Matter.Dry, fine.Matter.Dry)
		}
	}
}

func BenchmarkPileYear(b *testing.B) {
	p := parameters(b)
	m := received(matter(b, "horse manure with bedding", 10))
	air := steady(12)
	for b.Loop() {
		if _, _, err := yard.Follow(p, air, nil, []yard.Event{m}, 24*365); err != nil {
			b.Fatal(err)
		}
	}
}
