package harvest_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wormyard/harvest"
	"wormyard/internal/published"
	"wormyard/internal/source"
	"wormyard/qty"
)

func parameters(t testing.TB) harvest.Parameters {
	t.Helper()
	var p harvest.Parameters
	if err := source.Load("harvest", &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func run(t *testing.T, name string, in map[string]any) (map[string]any, error) {
	t.Helper()
	for _, f := range harvest.Figures(parameters(t)) {
		if f.Name == name {
			return published.ByFigure(f)(in)
		}
	}
	t.Fatalf("there is no figure %s", name)
	return nil, nil
}

func TestPublished_ReferenceComputedScreens(t *testing.T) {
	published.RunFigures(t, published.Open(t, "reference_computed_screens"), harvest.Figures(parameters(t)))
}

// The series is from coarse to fine without a size twice, and a sieve is found
// however its name is written.
func TestSieves(t *testing.T) {
	all := harvest.Sieves()
	for i := 1; i < len(all); i++ {
		if all[i].Opening >= all[i-1].Opening {
			t.Errorf("%s comes after %s", all[i].Name, all[i-1].Name)
		}
	}
	// Numbered sieves go by the fourth root of two, rounded: within 3 %.
	for _, c := range [][2]string{{"No. 4", "No. 5"}, {"No. 5", "No. 6"}, {"No. 6", "No. 7"}, {"No. 7", "No. 8"}, {"No. 8", "No. 10"}} {
		a, _ := harvest.SieveNamed(c[0])
		b, _ := harvest.SieveNamed(c[1])
		if ratio := a.Opening / b.Opening; math.Abs(ratio/math.Sqrt(math.Sqrt(2))-1) > 0.03 {
			t.Errorf("%s over %s is %.3f", c[0], c[1], ratio)
		}
	}
	for _, name := range []string{"1/4 in", "¼\"", "#4", "no. 10"} {
		if _, ok := harvest.SieveNamed(name); !ok {
			t.Errorf("%q is not found", name)
		}
	}
}

// Whatever is screened, what goes through and what stays come to what was fed,
// class by class, and a wider deck lets no less through.
func TestSplitBalances(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		var classes []harvest.Class
		low := 0.0
		for range rapid.IntRange(1, 6).Draw(t, "classes") {
			high := low + rapid.Float64Range(0, 30).Draw(t, "width")
			classes = append(classes, harvest.Class{Low: low, High: high, Mass: rapid.Float64Range(0, 1e4).Draw(t, "kg")})
			low = high
		}
		deck := harvest.Deck{Opening: rapid.Float64Range(.5, 50).Draw(t, "opening"), Water: .4, Rate: 1}
		narrow, _ := p.CurveOf(deck)
		deck.Opening *= 1.5
		wide, _ := p.CurveOf(deck)
		through, over := narrow.Split(classes)
		more, _ := wide.Split(classes)
		var sum, sumMore float64
		for i, c := range classes {
			if through[i] < 0 || over[i] < 0 || math.Abs(float64(through[i]+over[i])-c.Mass) > 1e-9*(1+c.Mass) {
				t.Fatalf("%+v: %g through and %g over", c, through[i], over[i])
			}
			sum += float64(through[i])
			sumMore += float64(more[i])
		}
		if sumMore < sum-1e-6*(1+sum) {
			t.Fatalf("a wider deck lets %g through, a narrower one %g", sumMore, sum)
		}
	})
}

// A class that is hardly a class goes by the size it has: the fewer digits are left
// of its width, the more the integral's would be lost.
func TestThinClass(t *testing.T) {
	c := harvest.Curve{D50: 4, Ep: .5}
	for _, size := range []float64{0.1, 3.9, 4, 9} {
		for _, width := range []float64{0, 1e-12, 2.3e-9, 1e-6, 1e-4} {
			_, over := c.Split([]harvest.Class{{Low: size, High: size + width, Mass: 1}})
			if want := c.Over(size + width/2); math.Abs(float64(over[0])-want) > 1e-9 {
				t.Errorf("%g mm, %g wide: %.12f stays on top, wanted %.12f", size, width, over[0], want)
			}
		}
	}
}

// The mean over a class is the integral of the curve: against Simpson's rule.
func TestClassMeanIsTheIntegral(t *testing.T) {
	c := harvest.Curve{D50: 4, Ep: .5}
	_, over := c.Split([]harvest.Class{{Low: 2, High: 6.5, Mass: 1}})
	const n = 2000
	sum := 0.0
	for i := range n + 1 {
		w := 2.0
		if i == 0 || i == n {
			w = 1
		} else if i%2 == 1 {
			w = 4
		}
		sum += w * c.Over(2+4.5*float64(i)/n)
	}
	if want := sum / (3 * n); math.Abs(float64(over[0])-want) > 1e-9 {
		t.Errorf("%.12f, by Simpson %.12f", over[0], want)
	}
}

// Wetter is never a sharper cut, and the crew hears of balls, cocoons and
// threads before it starts.
func TestMoistureAndWarnings(t *testing.T) {
	p := parameters(t)
	last := 0.0
	for w := 0.3; w < 0.8; w += 0.02 {
		wet, _ := p.CurveOf(harvest.Deck{Opening: 6.3, Rate: 1, Water: qty.WaterOfWet(w)})
		if wet.Ep < last {
			t.Errorf("at %.2f the cut is sharper than drier", w)
		}
		last = wet.Ep
	}
	out, err := run(t, "screen.split", map[string]any{"classes": []map[string]any{{"low_mm": 0, "high_mm": 3, "kg": 70}, {"low_mm": 3, "high_mm": 20, "kg": 30}}, "opening_mm": 3.18, "water_frac_wet": .65})
	if err != nil {
		t.Fatal(err)
	}
	said := ""
	for _, w := range out["warnings"].([]any) {
		said += w.(string) + "\n"
	}
	for _, want := range []string{"balls", "cocoons", "68 °F", "threads"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q does not speak of %s", said, want)
		}
	}
	if out["can_be_screened"].(bool) {
		t.Error("balls are said to be screened")
	}
	coarse, err := run(t, "screen.split", map[string]any{"classes": []map[string]any{{"low_mm": 0, "high_mm": 3, "kg": 70}}, "opening_mm": 12.5, "water_frac_wet": .4})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range coarse["warnings"].([]any) {
		if strings.Contains(w.(string), "threads") {
			t.Errorf("a coarse deck is said to break threads: %q", w)
		}
	}
}

// Without screenings the curve is the assumed one; with many of a known curve
// it becomes that one; wet runs teach nothing.
func TestLearn(t *testing.T) {
	p := parameters(t)
	assumed, used := p.Learn(nil)
	if used != 0 || math.Abs(assumed.D50-p.CutOff.Best) > 1e-9 || math.Abs(assumed.Ep-p.Steepness.Best) > 1e-9 {
		t.Errorf("%+v from nothing", assumed)
	}
	truth := harvest.Curve{D50: 1.1, Ep: .2} // of the opening
	runOf := func(water float64) harvest.Screening {
		s := harvest.Screening{Opening: 6, Water: qty.WaterOfWet(water)}
		for low := 0.0; low < 12; low += 1 {
			s.Classes = append(s.Classes, harvest.Weighed{Low: low, High: low + 1, Fed: 10, Over: 10 * truth.Over((low+.5)/6)})
		}
		return s
	}
	var many []harvest.Screening
	for range 3000 {
		many = append(many, runOf(.4))
	}
	// 3 pseudo-screenings beside 3000: within 1 %.
	if c, _ := p.Learn(many); math.Abs(c.D50/truth.D50-1) > .01 || math.Abs(c.Ep/truth.Ep-1) > .01 {
		t.Errorf("%+v learned from %+v", c, truth)
	}
	one, _ := p.Learn(many[:1])
	if !(one.D50 > assumed.D50 && one.D50 < truth.D50) {
		t.Errorf("one screening moves the cut from %g to %g, not between it and %g", assumed.D50, one.D50, truth.D50)
	}
	if wet, used := p.Learn([]harvest.Screening{runOf(.62)}); used != 0 || wet != assumed {
		t.Errorf("a wet run taught %+v", wet)
	}
}

func TestRipeness(t *testing.T) {
	p := parameters(t)
	ripe := harvest.Layer{Thickness: .1, Dry: 10, Worked: .95, Feed: .01}
	raw := harvest.Layer{Thickness: .1, Dry: 10, Worked: .2, Feed: .7}
	r := p.Ripeness([]harvest.Layer{ripe, ripe, raw, ripe})
	if r.Ripe || math.Abs(float64(r.Depth)-.2) > 1e-12 || r.Dry != 20 || len(r.Wanted) != 2 {
		t.Errorf("%+v: the ripe part ends under the raw layer", r)
	}
	if got, want := float64(r.Worked), (3*.95+.2)/4; math.Abs(got-want) > 1e-12 {
		t.Errorf("worked %g, by hand %g", got, want)
	}
	if all := p.Ripeness([]harvest.Layer{ripe, ripe}); !all.Ripe || len(all.Wanted) != 0 {
		t.Errorf("%+v", all)
	}
	if c := harvest.ChanceRipe([]harvest.Ripeness{{Ripe: true}, {}, {}, {}}); c != .25 {
		t.Errorf("chance %g of one in four", c)
	}
	if _, err := run(t, "harvest.ripe", map[string]any{"layers": []map[string]any{{"thickness_m": .1, "dry_kg": 1, "worked_frac": .8, "feed_frac": .5}}}); err == nil || !strings.Contains(err.Error(), "more than all") {
		t.Errorf("%v", err)
	}
}

// The days until a part has gone over are those after which that part has.
func TestSideDaysInvert(t *testing.T) {
	for _, part := range []float64{0, .1, .5, .85} {
		if got := harvest.SideMoved(harvest.SideDays(part, .09, .1), .09, .1); math.Abs(got-part) > 1e-12 {
			t.Errorf("%g have gone over, wanted %g", got, part)
		}
	}
}
