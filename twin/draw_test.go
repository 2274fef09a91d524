package twin

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wormyard/bed"
	"wormyard/feedstock"
	"wormyard/qty"
)

// Of 12,400 draws a share f falls below its percentile to within four standard
// errors of a share, 4 sqrt(f(1-f)/n), by the binomial distribution.
func TestDrawsHaveTheStatedPercentiles(t *testing.T) {
	knobs := []Knob{
		{Name: "skewed", Range: qty.Estimate{Best: 2, Low: 1, High: 8}, Field: func(p *bed.Parameters) *float64 { return &p.QuickRate }},
		{Name: "from nothing", Range: qty.Estimate{Best: 3, Low: 0, High: 5}, Field: func(p *bed.Parameters) *float64 { return &p.SlowRate }},
	}
	const seeds = 400
	below := [2][3]float64{}
	n := 0.0
	for seed := range uint64(seeds) {
		for _, d := range Draws(&bed.Parameters{}, knobs, seed)[1:] {
			n++
			for k, v := range []float64{d.QuickRate, d.SlowRate} {
				r := knobs[k].Range
				for q, at := range []float64{r.Low, r.Best, r.High} {
					if v <= at {
						below[k][q]++
					}
				}
			}
		}
	}
	for k := range knobs {
		for q, f := range []float64{0.05, 0.5, 0.95} {
			if got, far := below[k][q]/n, 4*math.Sqrt(f*(1-f)/n); math.Abs(got-f) > far {
				t.Errorf("%s: %.4f of the draws lie below the value that %.2f should", knobs[k].Name, got, f)
			}
		}
	}
}

// Three numbers with given correlations: by Fisher's transform the one of n draws lies
// within four times 1/sqrt(n-3) of it. What has none is drawn as if alone.
func TestDrawsAreCorrelatedAsTheKnobsSay(t *testing.T) {
	want := map[[2]int]float64{{0, 1}: -0.58, {0, 2}: 0.69, {1, 2}: -0.2, {0, 3}: 0, {2, 3}: 0}
	knobs := []Knob{{Name: "a"}, {Name: "b", With: map[string]float64{"a": -0.58}}, {Name: "c", With: map[string]float64{"a": 0.69, "b": -0.2}}, {Name: "d"}}
	var v [4][]float64
	for seed := range uint64(300) {
		for _, z := range DeviatesOf(knobs, seed)[1:] {
			for k := range v {
				v[k] = append(v[k], z[k])
			}
		}
	}
	n := float64(len(v[0]))
	for at, r := range want {
		m0, v0 := moments(v[at[0]])
		m1, v1 := moments(v[at[1]])
		both := 0.0
		for i := range v[0] {
			both += (v[at[0]][i] - m0) * (v[at[1]][i] - m1) / (n - 1)
		}
		if got := both / math.Sqrt(v0*v1); math.Abs(math.Atanh(got)-math.Atanh(r)) > 4/math.Sqrt(n-3) {
			t.Errorf("%d and %d: correlation %.3f, want %.2f", at[0], at[1], got, r)
		}
		if far := 4 * math.Sqrt(2/n); math.Abs(v0-1) > far || math.Abs(v1-1) > far {
			t.Errorf("variances %.3f and %.3f, want 1", v0, v1)
		}
	}
	alone := Deviates(4, 7)
	if got := DeviatesOf(knobs, 7); got[5][0] != alone[5][0] || got[5][3] != alone[5][3] {
		t.Error("a number that hangs on no other moved")
	}
}

func TestTheFirstDrawHasTheBestValues(t *testing.T) {
	base := bed.Parameters{}
	base.QuickRate, base.SlowRate = 0.1, 0.02
	knobs := []Knob{{Name: "quick", Range: qty.Estimate{Best: 0.1, Low: 0.05, High: 0.3}, Field: func(p *bed.Parameters) *float64 { return &p.QuickRate }}}
	d := Draws(&base, knobs, 1)
	if len(d) != Members || d[0] != base {
		t.Fatalf("%d draws, the first %+v", len(d), d[0])
	}
	if d[1].SlowRate != base.SlowRate || d[1].QuickRate == base.QuickRate {
		t.Error("a draw moves what has a range and nothing else")
	}
}

func TestAnEstimateWithoutSpreadIsItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, z := rapid.Float64Range(0, 1e6).Draw(t, "value"), rapid.Float64Range(-4, 4).Draw(t, "z")
		if got := draw(qty.Exactly(v), z); got != v {
			t.Fatalf("%g became %g", v, got)
		}
	})
}

// What was fed differs from what was written by the error of the bin and that of
// the day, both log-normal: ln of their product has the variance of the sum.
func TestAmountsDoneSpreadAsStated(t *testing.T) {
	p := Parameters{AmountSD: 0.15, AmountBiasSD: 0.1, WaterSD: 0.25}
	c := NewCrew(p, make([]bed.Parameters, Members), 5)
	h := History{Bin: "B1", Box: bed.Box{LengthM: 1, WidthM: 1, DepthM: 1}}
	written := bed.Act{Kind: bed.Feed, Matter: feedstock.Matter{Dry: 1, Quick: 1}, DepthM: 0.05}
	poured := bed.Act{Kind: bed.Water, WaterKg: 2}
	var fed, water []float64
	for layer := range uint64(300) {
		for m := 1; m < Members; m++ {
			b := Member{Draw: m, Amount: 1, Wet: 1, Fresh: 1}
			a := written
			a.Layer, a.Hour = layer, int64(layer)*7
			done := c.asDone(&b, h.Bin, 1, a)
			fed = append(fed, math.Log(float64(done.Matter.Dry)))
			if math.Abs(done.DepthM/0.05-float64(done.Matter.Dry)) > 1e-12 {
				t.Fatal("depth and matter of one feeding must differ alike")
			}
			w := poured
			w.Layer, w.Hour = layer, int64(layer)*7
			water = append(water, math.Log(c.asDone(&b, h.Bin, 1, w).WaterKg/2))
			if again := c.asDone(&b, h.Bin, 1, a); again != done {
				t.Fatal("the same act of the same member was done otherwise the second time")
			}
		}
	}
	for _, x := range []struct {
		what string
		v    []float64
		sd   float64
	}{{"feed", fed, 0.15}, {"water", water, 0.25}} {
		n := float64(len(x.v))
		var mean, square float64
		for _, v := range x.v {
			mean += v / n
		}
		for _, v := range x.v {
			square += (v - mean) * (v - mean) / (n - 1)
		}
		if math.Abs(mean) > 4*x.sd/math.Sqrt(n) || math.Abs(math.Sqrt(square)-x.sd) > 4*x.sd/math.Sqrt(2*n) {
			t.Errorf("%s: ln differs by %.4f on the mean, standard deviation %.4f, want 0 and %.2f", x.what, mean, math.Sqrt(square), x.sd)
		}
	}
	plain := Member{Draw: 0, Amount: 1, Wet: 1, Fresh: 1}
	written.ToldM = written.DepthM
	if c.asDone(&plain, h.Bin, 1, written) != written {
		t.Error("the plain member does what was written")
	}
}

// By algebra: with a third of the dry matter woody, castings that are 0.4 of all
// are 0.6 of what worms can eat and its ash.
func TestCastingsOfWhatCanBeEaten(t *testing.T) {
	m := feedstock.Matter{Dry: 9, Quick: 1, Slow: 4, Woody: 3, Ash: 1}
	for share, want := range map[float64]float64{0.4: 0.6, 0: 0, 0.9: 1} {
		if got := ofEdible(m, share); math.Abs(got-want) > 1e-12 {
			t.Errorf("castings %.1f of all: %.3f, want %.3f", share, got, want)
		}
	}
	if ofEdible(feedstock.Matter{}, 0.5) != 0 {
		t.Error("of nothing, nothing")
	}
}

// The percentiles of the places that 19 even draws take on the mean, 1/20 to 19/20,
// are the percentiles themselves; beyond the ends of few values there is nothing.
func TestRange(t *testing.T) {
	v := []float64{math.NaN(), math.Inf(1)}
	for i := 19; i >= 1; i-- {
		v = append(v, float64(i)/20)
	}
	if got := RangeOf(slices.Clone(v)); math.Abs(got.Low-0.05) > 1e-15 || math.Abs(got.Mid-0.5) > 1e-15 || math.Abs(got.High-0.95) > 1e-15 {
		t.Errorf("%v", got)
	}
	if got := HalfOf(slices.Clone(v)); math.Abs(got.Low-0.25) > 1e-15 || math.Abs(got.High-0.75) > 1e-15 {
		t.Errorf("%v", got)
	}
	if RangeOf(nil) != (Range{}) || RangeOf([]float64{4}) != (Range{4, 4, 4}) || RangeOf([]float64{0, 1}) != (Range{0, 0.5, 1}) {
		t.Error("none is nothing, one is itself, two are the ends")
	}
}

// A truth that is drawn as the members are lies in the 90 % range in 90 of 100, and
// in that of half of them in 50.
func TestRangesHoldWhatTheySay(t *testing.T) {
	const n = 20000
	r := rand.New(rand.NewPCG(4, 7))
	in90, in50 := 0.0, 0.0
	for range n {
		v := make([]float64, Members)
		for i := range v {
			v[i] = r.NormFloat64()
		}
		x := r.NormFloat64()
		if g := RangeOf(v); g.Low <= x && x <= g.High {
			in90++
		}
		if g := HalfOf(v); g.Low <= x && x <= g.High {
			in50++
		}
	}
	if math.Abs(in90/n-0.9) > 0.01 || math.Abs(in50/n-0.5) > 0.015 { // four standard errors, and what interpolation bends
		t.Errorf("%.3f and %.3f of the truths lie in ranges of 0.9 and 0.5", in90/n, in50/n)
	}
}
