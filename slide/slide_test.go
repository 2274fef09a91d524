package slide_test

import (
	"math"
	"testing"

	"wormyard/internal/nature"
	"wormyard/lab"
	"wormyard/slide"
)

func numbers(t *testing.T) slide.Parameters {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	return n.Slide
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s is %g, want %g", what, got, want)
	}
}

// optics is the setting of the worked cases: a field of 0.5 mm, a cover of 20 by 20
// mm, a drop of 0.05 mL.
func optics(dilution float64) *lab.Slide {
	return &lab.Slide{FieldNumber: 20, Objective: 40, Tube: 1, Cover: []float64{20, 20}, Drop: 0.05, Dilution: dilution}
}

// one is what one seen a field stands for, by hand: 400 mm2 over the field's circle,
// over the drop, times the dilution.
func one(dilution float64) float64 { return 400 / (math.Pi * 0.25 * 0.25) / 0.05 * dilution }

func TestOneSlideSpeaksForItself(t *testing.T) {
	par := numbers(t)
	a := par.Say([]slide.Count{{Handful: "1", Slide: "1", Optics: optics(1000), Seen: map[slide.Group][]float64{slide.Bacteria: {12, 9, 15, 11, 8, 14, 10, 13}}}})
	k, ok := a.Of(slide.Bacteria)
	if !ok || k.SpeaksFor != "slide" || k.Fields != 8 || k.Seen != 92 {
		t.Fatalf("%+v", k)
	}
	near(t, "a field", k.PerField, 11.5, 1e-12)
	near(t, "a gram", k.PerGram, 11.5*one(1000), 1e-12)
	// The interval of 92 counted (L2); the fields are evener than chance makes them, and narrow nothing.
	b := lab.Poisson(92, 0.95)
	near(t, "low", k.Low, b.Low/8*one(1000), 1e-12)
	near(t, "high", k.High, b.High/8*one(1000), 1e-12)
	if k.Clumped < 0.5 {
		t.Errorf("counts that lie evenly are said to clump: %g", k.Clumped)
	}
}

func TestHandfulsSpeakForTheLot(t *testing.T) {
	par := numbers(t)
	of := func(h, s string, x ...float64) slide.Count {
		return slide.Count{Handful: h, Slide: s, Optics: optics(1000), Seen: map[slide.Group][]float64{slide.Bacteria: x}}
	}
	for want, counts := range map[string][]slide.Count{
		"sub-sample": {of("1", "1", 10, 12), of("1", "2", 20, 22)},
		"lot":        {of("1", "1", 10, 12), of("2", "1", 20, 22)},
		"slide":      {of("1", "1", 10, 12), of("1", "1", 20, 22)},
	} {
		k, _ := par.Say(counts).Of(slide.Bacteria)
		if k.SpeaksFor != want || k.Fields != 4 {
			t.Errorf("%d fields are said to speak for %s, want %s", k.Fields, k.SpeaksFor, want)
		}
		near(t, "the mean", k.PerField, 16, 1e-12)
	}
	// Two handfuls of 11 and 21: s.e. 5, one degree, t 12.706; on the logarithm.
	k, _ := par.Say([]slide.Count{of("1", "1", 10, 12), of("2", "1", 20, 22)}).Of(slide.Bacteria)
	near(t, "high", k.FieldHigh, 16*math.Exp(12.7062*5/16), 1e-4)
}

// The mass of a group is no surer than its number: two handfuls that differ by half
// have Student's t of one degree, 6.314 at 90 %, times 20 % of error.
func TestMassIsNoSurerThanTheNumber(t *testing.T) {
	par := numbers(t)
	of := func(handful string, x ...float64) slide.Count {
		return slide.Count{Handful: handful, Slide: "1", Optics: optics(1000), CellLength: 1, CellWidth: 1, Seen: map[slide.Group][]float64{slide.Bacteria: x}}
	}
	k, _ := par.Say([]slide.Count{of("1", 8, 8, 8, 8), of("2", 12, 12, 12, 12)}).Of(slide.Bacteria)
	near(t, "error", k.SE/k.PerGram, .2, 1e-9)
	density := math.Log(par.Lab.CellDensity.High/par.Lab.CellDensity.Low) / 2
	near(t, "range", math.Log(k.Mass.High/k.MassBest), math.Hypot(6.313752*.2, density), 1e-5)
}

// A slide at 1 to 1000 and one at 1 to 2000 of the same lot are one mean of a gram.
func TestDilutionsMeetInAGram(t *testing.T) {
	par := numbers(t)
	a := par.Say([]slide.Count{
		{Handful: "1", Slide: "1", Optics: optics(1000), Seen: map[slide.Group][]float64{slide.Bacteria: {20, 20, 20}}},
		{Handful: "2", Slide: "1", Optics: optics(2000), Seen: map[slide.Group][]float64{slide.Bacteria: {10, 10, 10}}},
	})
	k, _ := a.Of(slide.Bacteria)
	near(t, "a gram", k.PerGram, 20*one(1000), 1e-12)
	if !a.Mixed {
		t.Error("nobody is told that the slides differ")
	}
	if floor := lab.Poisson(60, 0.95); k.High < floor.High/6*one(2000)*(1-1e-9) {
		t.Errorf("the interval ends at %g, narrower than that of 60 counted", k.High)
	}
}

func TestThreads(t *testing.T) {
	par := numbers(t)
	a := par.Say([]slide.Count{{Handful: "1", Slide: "1", Optics: optics(5), Width: 3, Seen: map[slide.Group][]float64{slide.Threads: {100, 0, 300, 0}, slide.Bacteria: {0, 0, 0, 0}}}})
	k, _ := a.Of(slide.Threads)
	near(t, "metres", k.PerGram, 100*one(5)*1e-6, 1e-12)
	near(t, "mass", k.MassBest, k.PerGram*math.Pi*9/4*par.Lab.HyphaDensity.Best, 1e-12)
	if k.Mass.Low >= k.MassBest || k.Mass.High <= k.MassBest {
		t.Errorf("mass %g in %v", k.MassBest, *k.Mass)
	}
	b, _ := a.Of(slide.Bacteria)
	if !b.None || b.Mass != nil || a.Ratio != nil {
		t.Errorf("no bacteria seen: %+v, ratio %v", b, a.Ratio)
	}
	near(t, "limit of none", b.High, -math.Log(0.05)/4*one(5), 1e-12)
	// Threads not seen: pieces of pi/4 of a field of 500 um, the rule of three.
	none := par.Say([]slide.Count{{Optics: optics(5), Seen: map[slide.Group][]float64{slide.Threads: {0, 0, 0, 0}}}})
	k, _ = none.Of(slide.Threads)
	near(t, "limit of no thread", k.High, -math.Log(0.05)/4*math.Pi/4*500*one(5)*1e-6, 1e-12)
}

// The ratio by Fieller's own formula from means and errors of the fields.
func TestRatioOfFungiToBacteria(t *testing.T) {
	par := numbers(t)
	a := par.Say([]slide.Count{{Handful: "1", Slide: "1", Optics: optics(100), Width: 3, CellLength: 1, CellWidth: 1, Seen: map[slide.Group][]float64{
		slide.Threads: {900, 1100, 1000, 1200, 800}, slide.Bacteria: {18, 22, 20, 25, 15},
	}}})
	f, _ := a.Of(slide.Threads)
	b, _ := a.Of(slide.Bacteria)
	if a.Ratio == nil || !a.Ratio.Finite {
		t.Fatalf("%+v", a.Ratio)
	}
	near(t, "ratio", a.Ratio.Best, f.MassBest/b.MassBest, 1e-12)
	perBacterium := math.Pi / 6 * 1e-6 * par.Lab.CellDensity.Best
	near(t, "bacteria", b.MassBest, 20*one(100)*perBacterium, 1e-12)
	// Errors: of 2.547 pieces a field no less than sqrt(2.547/5), of bacteria sqrt(20/5).
	pieces := 1000 / (math.Pi / 4 * 500)
	ra, rb, tt := math.Sqrt(pieces/5)/pieces, math.Sqrt(20./5)/20, 2.776445
	g := tt * tt * rb * rb
	half := tt * math.Sqrt(ra*ra+rb*rb-g*ra*ra)
	near(t, "low", a.Ratio.Low, max(0, a.Ratio.Best*(1-half)/(1-g)), 1e-5)
	near(t, "high", a.Ratio.High, a.Ratio.Best*(1+half)/(1-g), 1e-5)
	few := par.Say([]slide.Count{{Optics: optics(100), Width: 3, Seen: map[slide.Group][]float64{slide.Threads: {900, 1100, 1000}, slide.Bacteria: {0, 1, 0}}}})
	if few.Ratio == nil || few.Ratio.Finite {
		t.Errorf("one bacterium in all gives a ratio with limits: %+v", few.Ratio)
	}
}

func TestTwoPeopleOnASlide(t *testing.T) {
	par := numbers(t)
	of := func(who string, x ...float64) slide.Count {
		return slide.Count{Handful: "1", Slide: "1", Who: who, Optics: optics(1000), Seen: map[slide.Group][]float64{slide.Bacteria: x}}
	}
	a := par.Say([]slide.Count{of("Ana", 20, 30, 25, 28), of("Bo", 10, 14, 12, 15)})
	if len(a.People) != 1 || a.People[0].Verdict != "more" || !a.People[0].SameFields {
		t.Fatalf("%+v", a.People)
	}
	if k, _ := a.Of(slide.Bacteria); k.Fields != 4 || k.Seen != 103 {
		t.Errorf("the second count went into the lot: %+v", k)
	}
	if same := par.Say([]slide.Count{of("Ana", 20, 30, 25), of("Ana", 22, 24)}); len(same.People) != 0 {
		t.Errorf("who goes on counting is compared with himself: %+v", same.People)
	}
}

func TestTwoLots(t *testing.T) {
	par := numbers(t)
	lot := func(fields ...[]float64) slide.Known {
		var counts []slide.Count
		for i, x := range fields {
			counts = append(counts, slide.Count{Handful: string(rune('1' + i)), Optics: optics(1000), Seen: map[slide.Group][]float64{slide.Bacteria: x}})
		}
		k, _ := par.Say(counts).Of(slide.Bacteria)
		return k
	}
	few := lot([]float64{10, 11, 9}, []float64{12, 10, 9}, []float64{10, 8, 11})
	many := lot([]float64{40, 41, 39}, []float64{42, 38, 39}, []float64{40, 43, 41})
	v, ok := par.Compare(many, few)
	if !ok || v.Verdict != "more" || v.Slides {
		t.Errorf("four times as many: %+v", v)
	}
	near(t, "ratio", *v.Ratio, many.PerGram/few.PerGram, 1e-12)
	if v, _ := par.Compare(lot([]float64{40, 10, 39}), lot([]float64{12, 30, 9})); v.Verdict != "cannot tell" || !v.Slides {
		t.Errorf("two slides that clump: %+v", v)
	}
	if v, ok := par.Compare(lot([]float64{12, 10, 11}), lot([]float64{0, 0, 0})); !ok || v.Verdict != "more" || v.High != nil {
		t.Errorf("against none: %+v", v)
	}
	if _, ok := par.Compare(lot([]float64{0}), lot([]float64{0})); ok {
		t.Error("none and none are compared")
	}
}

// Lots that differ by more than counting makes widen the limits; one far off is out.
func TestLotsInARow(t *testing.T) {
	par := numbers(t)
	var lots []slide.Known
	for _, x := range []float64{100, 110, 95, 105, 98, 107, 101, 96, 104, 99, 103, 97, 106, 100, 102, 98, 105, 99, 101, 100, 300} {
		k, _ := par.Say([]slide.Count{{Optics: optics(1000), Seen: map[slide.Group][]float64{slide.Bacteria: {x}}}}).Of(slide.Bacteria)
		lots = append(lots, k)
	}
	r := par.RunOf(lots)
	if r.Baseline != 20 || len(r.Out) != 1 || r.Out[0] != 20 {
		t.Errorf("baseline %d, out %v", r.Baseline, r.Out)
	}
	near(t, "value", r.Values[0], 100*one(1000), 1e-12)
	if r := par.RunOf(lots[:3]); r.Baseline != 0 || len(r.Values) != 3 {
		t.Errorf("three lots have limits: %+v", r)
	}
}
