package mix

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"wormyard/feedstock"
	"wormyard/qty"
)

// ranged is a property given as a range.
func ranged(low, best, high float64) feedstock.Property {
	return feedstock.Property{Estimate: qty.Estimate{Low: low, Best: best, High: high, Known: "measured"}, Own: true}
}

// The ends of a range are its 5th and 95th percentile, by the definition of M34.
func TestDrawKeepsItsRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		fraction := rapid.Bool().Draw(t, "fraction")
		top := 1000.0
		if fraction {
			top = 0.999
		}
		a := rapid.Float64Range(.001, top).Draw(t, "a")
		b := rapid.Float64Range(.001, top).Draw(t, "b")
		c := rapid.Float64Range(.001, top).Draw(t, "c")
		low, high := math.Min(a, math.Min(b, c)), math.Max(a, math.Max(b, c))
		e := qty.Estimate{Low: low, Best: a + b + c - low - high, High: high}
		for z, want := range map[float64]float64{-normal95: e.Low, 0: e.Best, normal95: e.High} {
			if got := Draw(e, fraction, z); math.Abs(got-want) > 1e-9*want {
				t.Fatalf("%+v at %v: %v, want %v", e, z, got, want)
			}
		}
		y := rapid.Float64Range(-6, 6).Draw(t, "y")
		z := rapid.Float64Range(-6, 6).Draw(t, "z")
		if Draw(e, fraction, math.Min(y, z)) > Draw(e, fraction, math.Max(y, z))*(1+1e-12) {
			t.Fatalf("%+v is not rising between %v and %v", e, y, z)
		}
		if v := Draw(e, fraction, z); v < 0 || (fraction && v > 1) {
			t.Fatalf("%+v at %v leaves its kind: %v", e, z, v)
		}
	})
}

// An end of 0 or 1 has no logit; that side is spread on the value itself.
func TestDrawAtTheEnds(t *testing.T) {
	e := qty.Estimate{Low: 0, Best: .02, High: .05}
	if got := Draw(e, true, -normal95); got != 0 {
		t.Errorf("low end %v, want 0", got)
	}
	if got := Draw(e, true, -3); got != 0 {
		t.Errorf("below the low end %v, want 0", got)
	}
	near(t, "high end", Draw(e, true, normal95), .05, 1e-12)
	full := qty.Estimate{Low: .9, Best: 1, High: 1}
	near(t, "low end of full", Draw(full, true, -normal95), .9, 1e-12)
	near(t, "above full", Draw(full, true, 2), 1, 0)
}

// normalCDF is the standard normal distribution function, from math.Erf.
func normalCDF(z float64) float64 { return (1 + math.Erf(z/math.Sqrt2)) / 2 }

// A mix of one part has the part's own distribution, so its chances and
// percentiles have closed forms.
func TestChanceAgainstClosedForm(t *testing.T) {
	p := parameters(t)
	m := made("solids", map[string]float64{feedstock.KeyNitrogen: .0145, feedstock.KeyDensity: 650})
	m.Water, m.CN = ranged(.70, .77, .82), ranged(18, 23, 30)
	r := Recipe{Parts: []Part{{Name: "solids", Material: m, Amount: feedstock.Quantity{Volume: 2}}}}
	got, err := Chance(p, r, []Window{{Output: Water, Low: .72, High: .80}, {Output: CN, Low: math.Inf(-1), High: 25}}, 1, Draws)
	if err != nil {
		t.Fatal(err)
	}
	logit := func(x float64) float64 { return math.Log(x / (1 - x)) }
	below := func(v, low, best, high float64, scale func(float64) float64) float64 {
		end := high
		if v < best {
			end = low
		}
		sd := math.Abs(scale(end)-scale(best)) / normal95
		return normalCDF((scale(v) - scale(best)) / sd)
	}
	water := below(.80, .70, .77, .82, logit) - below(.72, .70, .77, .82, logit)
	cn := below(25, 18, 23, 30, math.Log)
	// Four standard errors of 10,000 draws.
	error4 := func(c float64) float64 { return 4 * math.Sqrt(c*(1-c)/Draws) }
	near(t, "chance of moisture", got.Chance[0], water, error4(water))
	near(t, "chance of C:N", got.Chance[1], cn, error4(cn))
	near(t, "chance of both", got.All, water*cn, error4(water*cn))
	for o, want := range map[Output][3]float64{Water: {.70, .77, .82}, CN: {18, 23, 30}} {
		for k, w := range want {
			near(t, o.Key(), got.Range[o][k], w, .012*w)
		}
	}
	if r := got.Range[MassWet]; r[0] != 1300 || r[2] != 1300 {
		t.Errorf("2 m3 at 650 kg/m3 weigh %v", r)
	}
}

func TestSameSeedSameAnswer(t *testing.T) {
	p, r := parameters(t), yardful(t)
	windows := p.Windows(Feed)
	one, err := Chance(p, r, windows, 7, 2000)
	if err != nil {
		t.Fatal(err)
	}
	two, err := Chance(p, r, windows, 7, 2000)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(one, two) {
		t.Error("the same seed gave two answers")
	}
	three, err := Chance(p, r, windows, 8, 2000)
	if err != nil {
		t.Fatal(err)
	}
	if reflect.DeepEqual(one.Range, three.Range) {
		t.Error("another seed gave the same draws")
	}
}

// The quick way of drawing gives the values of the plain one.
func TestQuickDrawsArePlainOnes(t *testing.T) {
	r := yardful(t)
	all, by := r.random()
	for _, d := range all {
		d.draw(1, 50)
	}
	quick := 0
	for i := range r.Parts {
		part := &r.Parts[i]
		x := part.pour(by[i])
		if x.direct {
			quick++
		}
		for d := range 50 {
			v := x.at(d)
			want := part.Values(func(key string, prop feedstock.Property) float64 {
				for _, x := range by[i] {
					if x.key == key {
						return x.values[d]
					}
				}
				return prop.Best
			})
			if a, b := sumsOf(v, part.Amount), sumsOf(&want, part.Amount); a != b && !math.IsNaN(a.ash+b.ash+a.salt+a.lignin+a.ammonia+a.phLow) {
				t.Errorf("%s draw %d: %+v, want %+v", part.Name, d, a, b)
			}
		}
	}
	if quick == 0 {
		t.Error("no part takes the quick way, so nothing was compared")
	}
}

func TestNothingToDraw(t *testing.T) {
	p := parameters(t)
	r := Recipe{Parts: []Part{kilos("manure", 100, 72, 48, 1.6)}}
	got, err := Chance(p, r, []Window{{Output: Water, Low: .7, High: .8}, {Output: CN, Low: 10, High: 20}}, 1, Draws)
	if err != nil {
		t.Fatal(err)
	}
	if got.Draws != 1 || got.Range != nil || got.Next != nil || got.Chance[0] != 1 || got.Chance[1] != 0 || got.All != 0 {
		t.Errorf("%+v", got)
	}
}

// Of y = a u + b v with u and v standard normal, u settles a2/(a2+b2).
func TestSettledAgainstAlgebra(t *testing.T) {
	source := rand.New(rand.NewPCG(1, 2))
	u, v, classes := make([]float64, Draws), make([]float64, Draws), make([]uint8, Draws)
	for d := range u {
		u[d], v[d] = source.NormFloat64(), source.NormFloat64()
		classes[d] = class(u[d])
	}
	for _, c := range [][2]float64{{1, 0}, {1, 1}, {1, 3}, {0, 1}} {
		y := make([]float64, Draws)
		for d := range y {
			y[d] = c[0]*u[d] + c[1]*v[d]
		}
		// Classes a fifth of a deviation wide lose about two percent of it, the
		// open ends a little more.
		mean, whole := variation(y)
		near(t, "settled", settled(classes, y, mean, whole), c[0]*c[0]/(c[0]*c[0]+c[1]*c[1]), .04)
	}
}

// The test that is named is the one that narrows most: here the bucket, since
// all else is known.
func TestNextTestIsTheBucket(t *testing.T) {
	p := parameters(t)
	wet := made("dairy solids", map[string]float64{feedstock.KeyWater: .85, feedstock.KeyCN: 23, feedstock.KeyNitrogen: .0145})
	wet.Density = ranged(350, 650, 900)
	dry := made("leaves", map[string]float64{feedstock.KeyCN: 54, feedstock.KeyNitrogen: .009, feedstock.KeyDensity: 119})
	dry.Water = ranged(.36, .38, .40)
	r := Recipe{Parts: []Part{
		{Name: "dairy solids", Material: wet, Amount: feedstock.Quantity{Volume: 1}},
		{Name: "leaves", Material: dry, Amount: feedstock.Quantity{Volume: 2}},
	}}
	base, err := Forward(p, r)
	if err != nil {
		t.Fatal(err)
	}
	// The window's edge lies where the mix stands, so that the doubt is largest.
	got, err := Chance(p, r, []Window{{Output: Water, Low: base.Numbers[Water], High: 1}}, 1, Draws)
	if err != nil {
		t.Fatal(err)
	}
	if got.Next == nil || got.Next.Key != feedstock.KeyDensity || got.Next.What != "Weigh a bucket of the dairy solids." || got.Next.Settle < .5 {
		t.Errorf("%+v", got.Next)
	}
}

// A window that cannot be judged for want of a property asks for it first.
func TestNextTestIsWhatLacks(t *testing.T) {
	p := parameters(t)
	m := made("dairy solids", map[string]float64{feedstock.KeyCN: 23, feedstock.KeyNitrogen: .0145})
	m.Water = ranged(.7, .77, .82)
	r := Recipe{Parts: []Part{{Name: "dairy solids", Material: m, Amount: feedstock.Quantity{Wet: 100}}}}
	got, err := Chance(p, r, []Window{{Output: AirFilled, Low: .3, High: 1}}, 1, 1000)
	if err != nil {
		t.Fatal(err)
	}
	if !math.IsNaN(got.Chance[0]) || got.Next == nil || got.Next.Key != feedstock.KeyDensity {
		t.Errorf("chance %v, next %+v", got.Chance, got.Next)
	}
}

func TestPercentilesAgainstSorting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.SliceOfN(rapid.Float64Range(-5, 5), 1, 60).Draw(t, "v")
		rank := func(q float64) (want float64) { // by counting, without sorting
			at := q * float64(len(v)-1)
			nth := func(k int) float64 {
				for _, x := range v {
					below, same := 0, 0
					for _, y := range v {
						if y < x {
							below++
						} else if y == x {
							same++
						}
					}
					if below <= k && k < below+same {
						return x
					}
				}
				return math.NaN()
			}
			i := int(at)
			low := nth(i)
			if i+1 >= len(v) {
				return low
			}
			return low + (at-float64(i))*(nth(i+1)-low)
		}
		want := [3]float64{rank(.05), rank(.5), rank(.95)}
		got := percentiles(append([]float64(nil), v...))
		for k := range want {
			if math.Abs(got[k]-want[k]) > 1e-12 {
				t.Fatalf("%v: %v, want %v", v, got, want)
			}
		}
	})
}

// A store of draws changes no answer: neither when it holds them, nor when it
// holds more or fewer, nor when it had to make room.
func TestKeptDrawsChangeNothing(t *testing.T) {
	p, r := parameters(t), yardful(t)
	windows := p.Windows(Feed)
	var kept Kept
	for n, draws := range []int{400, 2000, 400, 2000} {
		r.Parts[0].Amount.Volume += qty.CubicMetre(n)
		want, err := Chance(p, r, windows, 1, draws)
		if err != nil {
			t.Fatal(err)
		}
		got, err := kept.Chance(p, r, windows, 1, draws)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%d draws kept: %+v, anew %+v", draws, got, want)
		}
		odds, err := kept.Odds(p, r, windows, 1, draws)
		if err != nil {
			t.Fatal(err)
		}
		base, err := Forward(p, r)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(odds.Chance, want.Chance) || odds.All != want.All || !reflect.DeepEqual(odds.Numbers, base.Numbers) {
			t.Errorf("odds %+v, outlook %+v of %+v", odds, want, base.Numbers)
		}
	}
	for seed := range uint64(60) {
		if _, err := kept.Odds(p, r, windows, seed+2, 5000); err != nil {
			t.Fatal(err)
		}
	}
	if kept.size > mostKept {
		t.Errorf("%d values are kept, at most %d may be", kept.size, mostKept)
	}
}

// What is drawn of a part follows from its name: the order of the parts, and
// another part, leave it alone.
func TestDrawsGoWithThePart(t *testing.T) {
	r := yardful(t)
	of := func(r Recipe, name string) []float64 {
		random, _ := r.random()
		for _, d := range random {
			if d.part >= 0 && r.Parts[d.part].Name == name && d.key == feedstock.KeyWater {
				d.draw(1, 50)
				return d.values
			}
		}
		t.Fatalf("nothing is drawn of %s", name)
		return nil
	}
	name := r.Parts[2].Name
	turned := r
	turned.Parts = append([]Part{r.Parts[2]}, r.Parts[:2]...)
	if a, b := of(r, name), of(turned, name); !reflect.DeepEqual(a, b) {
		t.Errorf("in another place %v is drawn, not %v", b[:3], a[:3])
	}
	twice := r
	twice.Parts = append([]Part{r.Parts[2]}, r.Parts...)
	random, _ := twice.random()
	seen := map[uint64]bool{}
	for _, d := range random {
		if seen[d.stream] {
			t.Fatalf("two properties share a stream: part %d, %s", d.part, d.key)
		}
		seen[d.stream] = true
	}
}
