package calibrate

import (
	"math"
	"testing"
)

// The worms' numbers may be rounded or older than the fit, not beside it.
func TestTheWormsNumbersLieWithinTheFit(t *testing.T) {
	kept, err := Kept()
	if err != nil || len(kept.Fitted) == 0 {
		t.Fatalf("no fit is kept: %v", err)
	}
	p, err := Worms()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range kept.Fitted {
		if v := *number(&p, f.Name); v < f.Low || v > f.High {
			t.Errorf("%s is %g, fitted %g to %g", f.Name, v, f.Low, f.High)
		}
	}
}

// From a start one standard deviation of each prior away the fit comes to rest
// within a tenth of the kept range.
func TestTheFitDoesNotHangOnItsStart(t *testing.T) {
	if testing.Short() {
		t.Skip("a fit takes some seconds")
	}
	book, err := Book()
	if err != nil {
		t.Fatal(err)
	}
	f, err := newFit(book, false)
	if err != nil {
		t.Fatal(err)
	}
	kept, err := Kept()
	if err != nil {
		t.Fatal(err)
	}
	u := f.start()
	for i := range f.numbers {
		u[i] += float64(1 - 2*(i%2))
	}
	got, err := f.solve(u)
	if err != nil {
		t.Fatal(err)
	}
	for i, k := range kept.Fitted {
		if math.Abs(got.Fitted[i].Value-k.Value) > 0.1*(k.High-k.Low) {
			t.Errorf("%s comes to %g, kept is %g (%g to %g)", k.Name, got.Fitted[i].Value, k.Value, k.Low, k.High)
		}
	}
}

// By algebra: the growth of W2 on feed q times as good is v (q - (l/L)^b), three
// times l squared of it for the mass.
func TestBetterFeed(t *testing.T) {
	p, err := Worms()
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []float64{0.6, 1, 1.4} {
		better := On(p, q)
		const m = 0.1
		l := math.Cbrt(m)
		want := 3 * l * l * p.GrowthSpeed * (q - math.Pow(l/math.Cbrt(p.GrownG), p.GrowthBend))
		if got := better.Gain(m, 25); math.Abs(got-want) > 1e-12 {
			t.Errorf("on feed %g: %g g/day, want %g", q, got, want)
		}
	}
}

// The inverse of [[4 2] [2 3]] is [[3 -2] [-2 4]]/8.
func TestInverse(t *testing.T) {
	got, ok := invert([][]float64{{4, 2}, {2, 3}})
	want := [][]float64{{0.375, -0.25}, {-0.25, 0.5}}
	for i := range want {
		for k := range want {
			if !ok || math.Abs(got[i][k]-want[i][k]) > 1e-15 {
				t.Fatalf("%v, want %v", got, want)
			}
		}
	}
	if _, ok := invert([][]float64{{1, 1}, {1, 1}}); ok {
		t.Error("a matrix without an inverse was inverted")
	}
}
