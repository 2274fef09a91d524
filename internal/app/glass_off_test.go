package app

import (
	"math"
	"testing"

	"wormyard/climate"
)

// How far the air of a barn may be off: as far as the outside where that comes in
// whole, not at all where a heater holds it, not at all on a day that was read, and
// after one by the algebra of T18. Numbers are made up.
func TestHowFarTheAirOfABarnMayBeOff(t *testing.T) {
	w := &Twins{}
	w.numbers.Climate = climate.Parameters{NormalSDC: 3, BlendDays: 4}
	w.params.BarnDaySD = 1
	const hours = 6 * 24
	outside := climate.Steady(0, hours, climate.Hour{TempC: 5, RH: 0.8})
	for range hours {
		outside.Off = append(outside.Off, 2)
	}
	inside := climate.Steady(0, hours, climate.Hour{TempC: 8, RH: 0.8})
	warmer := climate.Steady(0, hours, climate.Hour{TempC: 11, RH: 0.8})
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	near("nobody reads it", w.offInside(outside, inside, warmer, nil)[50], 2)
	near("its heater holds it", w.offInside(outside, inside, inside, nil)[50], 0)
	off := w.offInside(outside, inside, warmer, []glassDay{{from: 48, to: 72}})
	near("before it was read", off[40], math.Hypot(2, 1))
	near("on the day it was read", off[60], 0)
	gone := 1 - math.Exp(-2*(24.0/24)/4)
	near("a day after", off[95], math.Sqrt(gone*(9+1)))
	gone = 1 - math.Exp(-2*(72.0/24)/4)
	near("three days after, when the outside is known better", off[143], math.Sqrt(4+gone))
}
