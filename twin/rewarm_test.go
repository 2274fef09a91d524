package twin

import (
	"math"
	"math/rand/v2"
	"testing"

	"wormyard/bed"
)

// Corrections of one sign add up, alike in all members and the way they point, and
// one alone is bounded: where readings move a bed by as much a day as its matter
// warms it in HeatDays, ln H moves by the share 1/HeatDays of that (T19), as long as
// H is about what is usual.
func TestStandingErrorOfHeat(t *testing.T) {
	c, e, _ := somewhere(rand.New(rand.NewPCG(3, 1)))
	c.P.HeatDays, c.P.HeatLeast = 10, 1
	for m := range e.Members {
		s := &e.Members[m].State
		s.HeatLn = 0
		for i := range s.Layers {
			s.Layers[i].Warming = 4.0 / 24
		}
	}
	heat := func() float64 { return e.mean(func(m *Member) float64 { return m.State.HeatLn }) }
	c.rewarm(e, -1)
	if got, want := heat(), -1.0/(10*4); math.Abs(got-want) > 0.02*math.Abs(want) { // the logit bends by half a step's square
		t.Errorf("ln H moved by %v, want %v", got, want)
	}
	c.rewarm(e, 1)
	if got := heat(); math.Abs(got) > 1e-9 {
		t.Errorf("there and back it is %v, want 0", got)
	}
	c.rewarm(e, -400)
	if got := heat(); got < -1.2*mostStep || got > -0.8*mostStep {
		t.Errorf("a reading from nowhere moved ln H by %v, want about %v", got, -mostStep)
	}
	for range 500 {
		c.rewarm(e, 50)
	}
	if got := math.Exp(heat()); !(got < mostHeat) || got < 0.9*mostHeat {
		t.Errorf("H went to %v, want nearly %v", got, mostHeat)
	}
	if k := warming(&bed.State{}); k != 0 {
		t.Errorf("nothing warms itself by %v", k)
	}
}
