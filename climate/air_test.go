package climate_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wormyard/climate"
	"wormyard/figure"
	"wormyard/qty"
)

// The quick form is stated to lie within 1e-6 of the full one, over its whole
// range and across the kink at 0 C.
func TestQuickSaturationKeepsItsStatedError(t *testing.T) {
	worst := 0.0
	for i := -70 * 997; i <= 130*997; i++ {
		x := float64(i) / 997
		e := math.Abs(climate.QuickSaturationPa(x)/climate.SaturationPa(x) - 1)
		if e > worst {
			worst = e
		}
	}
	t.Logf("worst relative error %.2g", worst)
	if worst > 1e-6 {
		t.Errorf("worst relative error %.2g, stated 1e-6", worst)
	}
	if !math.IsNaN(climate.QuickSaturationPa(math.NaN())) {
		t.Error("no number must stay no number")
	}
}

func TestSaturationRises(t *testing.T) {
	before := 0.0
	for x := -100.0; x <= 200; x += 0.25 {
		p := climate.SaturationPa(x)
		if !(p > before) {
			t.Fatalf("saturation does not rise at %v C", x)
		}
		before = p
	}
}

// However the moisture is given, the same air comes back.
func TestStatesAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		temp := qty.Celsius(rapid.Float64Range(-30, 60).Draw(t, "temp"))
		rh := qty.Fraction(rapid.Float64Range(0.02, 1).Draw(t, "rh"))
		p := qty.Pascal(rapid.Float64Range(60000, 105000).Draw(t, "pressure"))
		a, err := climate.FromRH(temp, p, rh)
		if err != nil {
			t.Fatal(err)
		}
		for name, b := range map[string]func() (climate.Air, error){
			"dew point": func() (climate.Air, error) { return climate.FromDewPoint(temp, p, a.DewPoint) },
			"ratio":     func() (climate.Air, error) { return climate.FromRatio(temp, p, a.Ratio) },
			"wet bulb":  func() (climate.Air, error) { return climate.FromWetBulb(temp, p, a.WetBulb) },
		} {
			// At the kink of the wick between ice and water one ratio has two
			// wet bulbs; what comes back then differs by that step.
			if name == "wet bulb" && math.Abs(float64(a.WetBulb)) < 1e-6 {
				continue
			}
			got, err := b()
			if err != nil {
				t.Fatalf("by %s: %v", name, err)
			}
			if math.Abs(float64(got.RH-a.RH)) > 1e-6 {
				t.Fatalf("by %s relative humidity is %v, was %v", name, got.RH, a.RH)
			}
		}
		if a.DewPoint > a.WetBulb+1e-6 && a.Temp > 0 && a.DewPoint > 0 || a.WetBulb > a.Temp {
			t.Fatalf("dew point %v, wet bulb %v and dry bulb %v are out of order", a.DewPoint, a.WetBulb, a.Temp)
		}
	})
}

func TestAirThatCannotBeIsRefused(t *testing.T) {
	for name, f := range map[string]func() (climate.Air, error){
		"rh":       func() (climate.Air, error) { return climate.FromRH(20, 101325, 1.2) },
		"nan":      func() (climate.Air, error) { return climate.FromRH(qty.Celsius(math.NaN()), 101325, 0.5) },
		"dew":      func() (climate.Air, error) { return climate.FromDewPoint(10, 101325, 12) },
		"wet":      func() (climate.Air, error) { return climate.FromWetBulb(10, 101325, 12) },
		"too dry":  func() (climate.Air, error) { return climate.FromWetBulb(40, 101325, 5) },
		"ratio":    func() (climate.Air, error) { return climate.FromRatio(10, 101325, 0.02) },
		"pressure": func() (climate.Air, error) { return climate.FromRH(20, 0, 0.5) },
		"boiling":  func() (climate.Air, error) { return climate.FromRH(120, 101325, 0.5) },
	} {
		_, err := f()
		var refusal *figure.Refusal
		if !errors.As(err, &refusal) || refusal.Problems[0].Try == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func BenchmarkSaturation(b *testing.B) {
	x, s := 0.0, 0.0
	for b.Loop() {
		s += climate.SaturationPa(x)
		x = math.Mod(x+0.37, 40)
	}
	_ = s
}

func BenchmarkQuickSaturation(b *testing.B) {
	x, s := 0.0, 0.0
	for b.Loop() {
		s += climate.QuickSaturationPa(x)
		x = math.Mod(x+0.37, 40)
	}
	_ = s
}
