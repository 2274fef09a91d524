package twin

import (
	"math"
	"testing"
)

// The weather of members has over many days the mean, the spread and the memory
// that an autoregression of first order has: 0, 1 and exp(-1/lasts) from day to
// day. Member 0 has what is told, pairs are opposite, and a day is the same
// whichever was asked for first.
func TestWeatherOfMembers(t *testing.T) {
	const lasts, days = 3.7, 4000
	k := skies{seed: 5}
	var sum, square, lagged, n float64
	for d := range int64(days) {
		v, w := k.day(d, lasts), k.day(d+1, lasts)
		if v[0] != 0 {
			t.Fatalf("member 0 on day %d: %v", d, v[0])
		}
		var spread float64
		for m := 1; m < Members; m++ {
			sum, square, lagged, n = sum+v[m], square+v[m]*v[m], lagged+v[m]*w[m], n+1
			spread += v[m] * v[m] / (Members - 1)
		}
		for m := 1; m+1 < Members; m += 2 {
			if math.Abs(v[m]+v[m+1]) > 1e-12 {
				t.Fatalf("members %d and %d on day %d: %v and %v", m, m+1, d, v[m], v[m+1])
			}
		}
		// Fifteen pairs that differ by chance only in what came before the day.
		if spread < 0.2 || spread > 3 {
			t.Errorf("on day %d the members' variance is %v", d, spread)
		}
	}
	// 4000 days of which each counts as a half, times 15 pairs: 1 % and less; the
	// middles of sixteenths lack 2 % of the variance in the tails.
	if mean := sum / n; math.Abs(mean) > 0.02 {
		t.Errorf("the mean is %v, want 0", mean)
	}
	if v := square / n; math.Abs(v-0.98) > 0.03 {
		t.Errorf("the variance is %v, want nearly 1", v)
	}
	if r, want := lagged/square, math.Exp(-1/lasts); math.Abs(r-want) > 0.02 {
		t.Errorf("from day to day %v is kept, want %v", r, want)
	}
	again := skies{seed: 5}
	if a, b := again.of(7, 2400*24+5, lasts), k.of(7, 2400*24+5, lasts); a != b {
		t.Errorf("asked alone it is %v, after others %v", a, b)
	}
	if got, want := k.of(3, 100*24+12, lasts), k.day(100, lasts)[3]; got != want {
		t.Errorf("at noon it is %v, want that of the day, %v", got, want)
	}
}
