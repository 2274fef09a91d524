package feedstock_test

import (
	"math"
	"testing"

	"wormyard/feedstock"
	"wormyard/internal/source"
)

// The curve of hot compost, 5, 58.6 and 71.6 C, as computed by an independent
// program.
func TestCardinal(t *testing.T) {
	for c, want := range map[float64]float64{10: 0.0140967, 20: 0.122920, 30: 0.326395, 40: 0.596782, 50: 0.873560, 58.6: 1, 65: 0.852206, 5: 0, 71.6: 0} {
		if got := feedstock.Cardinal(c, 5, 58.6, 71.6); math.Abs(got-want) > 1e-6 {
			t.Errorf("at %g C the factor is %g, want %g", c, got, want)
		}
	}
}

// From 1 to 20 C decay runs with the Rothamsted curve, which its lowest constant
// was set by, and rises from 10 to 20 C by 2 to 3; it is 1 where rates are given
// and nothing in frost and above the heat that microbes bear.
func TestSpeed(t *testing.T) {
	var w feedstock.Warmth
	if err := source.Load("warmth", &w); err != nil {
		t.Fatal(err)
	}
	// Coleman and Jenkinson's rate modifying factor.
	roth := func(c float64) float64 { return 47.91 / (1 + math.Exp(106.06/(c+18.27))) }
	for c := 1.0; c <= 20; c++ {
		if got, want := w.Speed(c), roth(c)/roth(25); math.Abs(got/want-1) > 0.06 {
			t.Errorf("at %g C decay goes at %.3f of that at 25 C, by the Rothamsted curve at %.3f", c, got, want)
		}
	}
	if rise := w.Speed(20) / w.Speed(10); rise < 2 || rise > 3 {
		t.Errorf("from 10 to 20 C decay rises by %.2f", rise)
	}
	if w.Speed(0) != 0 || w.Speed(72) != 0 || math.Abs(w.Speed(25)-1) > 1e-12 {
		t.Error("not 0 when frozen or burnt, or not 1 where rates are given")
	}
}
