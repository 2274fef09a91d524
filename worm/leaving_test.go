package worm_test

import (
	"math"
	"testing"

	"wormyard/worm"
)

// Worms flee ammonia before it kills them: from where half would go next door on,
// faster than they die up to where it is deadly; 1 % a day by algebra a tenth of
// the way. Below that they go elsewhere in the bed and do not leave it.
func TestFlightComesBeforeDeath(t *testing.T) {
	p := parameters(t)
	at := func(mgG float64) worm.Place {
		return worm.Place{TempC: 20, Water: 0.75, Oxygen: 0.2, PH: 7, AmmoniaMgG: mgG}
	}
	for _, mgG := range []float64{0, 0.02, p.AvoidMgG} {
		if x := at(mgG); p.Leaving(x) != 0 {
			t.Errorf("at %g mg/g %g a day leave", mgG, p.Leaving(x))
		}
	}
	tenth := p.AvoidMgG + 0.01/p.LeavePerDay*(p.AmmoniaLC-p.AvoidMgG)
	if got := p.Leaving(at(tenth)); math.Abs(got-0.01) > 1e-12 {
		t.Errorf("a tenth of the way %g a day leave", got)
	}
	for mgG := 1.1 * p.AvoidMgG; mgG < 0.8*p.AmmoniaLC; mgG *= 1.1 {
		if x := at(mgG); p.Leaving(x) <= p.Death(x)[worm.Ammonia] {
			t.Errorf("at %.3f mg/g %.4f a day leave and %.4f die", mgG, p.Leaving(x), p.Death(x)[worm.Ammonia])
		}
	}
}
