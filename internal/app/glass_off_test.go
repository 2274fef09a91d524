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
	w := leaning()
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
	offOf := func(warmer climate.Series, days []glassDay) []float64 {
		_, off := w.byGlass(outside, inside, warmer, days)
		return off
	}
	near("nobody reads it", offOf(warmer, nil)[50], 2)
	near("its heater holds it", offOf(inside, nil)[50], 0)
	off := offOf(warmer, []glassDay{{from: 48, to: 72}})
	near("before it was read", off[40], math.Hypot(2, 1))
	near("on the day it was read", off[60], 0)
	// The outside is off by 2 of 3 C: 4/3 C of what comes in go as the weather does,
	// the rest of 2 C and the day's own 1 C alone. A day after noon of the day read
	// that is a variance of 4/3 squared times what Kalman's rule leaves of 1.
	const by, alone, stands = 4.0 / 3, 4*(1-4.0/9) + 1, 4.0
	left := 1 - by*by/(stands+by*by+alone)
	goes := 1 + (left-1)*math.Exp(-2*24.0/24/4)
	near("a day after, what stands not counted", off[84], math.Sqrt(by*by*goes+alone))
	five := offOf(warmer, []glassDay{{from: 0, to: 24}, {from: 24, to: 48}, {from: 48, to: 72}, {from: 72, to: 96}, {from: 96, to: 120}})
	if a, b := five[132], math.Sqrt(by*by+alone+stands); !(a > math.Sqrt(alone) && a < b) {
		t.Errorf("after five days read it may be %v C off, want between %v and %v", a, math.Sqrt(alone), b)
	}
}
