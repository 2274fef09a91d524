package season

import "testing"

// A farm that reckons with half has half of the castings and of the growth, heated and
// not, and the farm that it was made from is as it was.
func TestTimes(t *testing.T) {
	f := Farm{
		Mixes: []Mix{{Name: "everyday", CastingsM3: 0.4}},
		Worms: Worms{Growth: []float64{0.04, 0.02}},
		Heat:  []Heat{{Degrees: 5, Pace: []float64{1}, Growth: []float64{0.06}, Cost: []float64{30}}},
	}
	half := f.times(0.5)
	if half.Mixes[0].CastingsM3 != 0.2 || half.Worms.Growth[0] != 0.02 || half.Worms.Growth[1] != 0.01 || half.Heat[0].Growth[0] != 0.03 {
		t.Errorf("half is %+v", half)
	}
	if half.Heat[0].Pace[0] != 1 || half.Heat[0].Cost[0] != 30 {
		t.Errorf("pace or fuel has changed: %+v", half.Heat[0])
	}
	if f.Mixes[0].CastingsM3 != 0.4 || f.Worms.Growth[0] != 0.04 || f.Heat[0].Growth[0] != 0.06 {
		t.Errorf("the farm itself has changed: %+v", f)
	}
}
