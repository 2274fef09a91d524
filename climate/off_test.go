package climate

import (
	"math"
	"testing"
)

// How far air may be off, by the algebra of an autoregression with a memory of T
// days about a normal with a spread s: nothing on a day that was read, s
// sqrt(1 - exp(-2k/T)) k days after it, s where none was read, and the error of an
// outlook where that is less.
func TestHowFarAirMayBeOff(t *testing.T) {
	p := Parameters{NormalSDC: 3, BlendDays: 4, OutlookSDC: 1.5}
	origins := []Origin{Normal, Normal, Measured, Blended, Normal, Normal, Typed, Outlook, Outlook, Normal}
	days := make([]Day, len(origins))
	for i, o := range origins {
		days[i] = Day{Day: int64(100 + i), Origin: o}
	}
	after := func(k float64) float64 { return 3 * math.Sqrt(1-math.Exp(-2*k/4)) }
	last := math.Sqrt(4 + (9-4)*(1-math.Exp(-2.0/4))) // a day after an error of 2
	want := []float64{3, 3, 0, after(1), after(2), after(3), 0, 1.5, 2, last}
	got := Off(&p, days)
	if len(got) != 24*len(days) {
		t.Fatalf("%d hours of %d days", len(got), len(days))
	}
	for i, w := range want {
		if g := got[24*i+12]; math.Abs(g-w) > 1e-12 {
			t.Errorf("at noon of day %d (%s) it is %v, want %v", i, origins[i], g, w)
		}
	}
	if g := got[24*3]; math.Abs(g-after(1)/2) > 1e-12 {
		t.Errorf("at midnight between 0 and %v it is %v", after(1), g)
	}
	s := Series{Start: 50, Hours: make([]Hour, 3), Off: []float64{1, 2, 3}}
	for hour, w := range map[int64]float64{40: 1, 51: 2, 60: 3} {
		if g := s.OffAt(hour); g != w {
			t.Errorf("at hour %d it is %v, want %v", hour, g, w)
		}
	}
}
