package work_test

import (
	"math"
	"testing"

	"wormyard/internal/nature"
	"wormyard/work"
)

func parameters(t testing.TB) work.Parameters {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	return n.Work
}

// Nearer, less often and straight is never worse, and nothing may be lifted from
// beyond the reach of the equation. The worked lifts are in
// internal/published/data/reference_computed_wood.json.
func TestEasierIsNeverLess(t *testing.T) {
	p := parameters(t)
	limit := func(change func(*work.Lift)) float64 {
		l := work.Lift{Horizontal: 40, Vertical: 40, Travel: 60, Angle: 30, Frequency: 0.7, Coupling: "poor"}
		change(&l)
		kg, _ := p.Limit(l)
		return kg
	}
	base := limit(func(*work.Lift) {})
	for name, easier := range map[string]func(*work.Lift){
		"nearer":      func(l *work.Lift) { l.Horizontal = 30 },
		"higher":      func(l *work.Lift) { l.Vertical = 75 },
		"shorter":     func(l *work.Lift) { l.Travel = 30 },
		"straight":    func(l *work.Lift) { l.Angle = 0 },
		"less often":  func(l *work.Lift) { l.Frequency = 0.9 },
		"better grip": func(l *work.Lift) { l.Coupling = "good" },
	} {
		if got := limit(easier); got <= base {
			t.Errorf("%s: %g kg beside %g", name, got, base)
		}
	}
	for name, beyond := range map[string]func(*work.Lift){
		"arm's length": func(l *work.Lift) { l.Horizontal = 64 },
		"overhead":     func(l *work.Lift) { l.Vertical = 176 },
		"behind":       func(l *work.Lift) { l.Angle = 136 },
	} {
		if got := limit(beyond); got != 0 {
			t.Errorf("%s: %g kg", name, got)
		}
	}
	if got := limit(func(l *work.Lift) {
		*l = work.Lift{Horizontal: 25, Vertical: 75, Travel: 25, Frequency: 1, Coupling: "good"}
	}); math.Abs(got-23) > 1e-9 {
		t.Errorf("the best lift is %g kg", got)
	}
}

func TestOftenFallsAndGoesStraight(t *testing.T) {
	p := parameters(t)
	for _, hours := range []float64{1, 2, 8} {
		for _, vertical := range []float64{40, 75} {
			last := math.Inf(1)
			for n := 0.0; n <= 20; n += 0.25 {
				f := p.Often(n, hours, vertical)
				if f > last || f < 0 || f > 1 {
					t.Fatalf("%g a minute over %g h: %g after %g", n, hours, f, last)
				}
				last = f
			}
		}
	}
	if got, want := p.Often(0.75, 1, 40), (0.97+0.94)/2; math.Abs(got-want) > 1e-12 {
		t.Errorf("between rows %g, want %g", got, want)
	}
}
