package app

import (
	"math"
	"testing"
	"time"

	"wormyard/climate"
	"wormyard/farm"
	"wormyard/qty"
)

// The air of a barn is what was read in it on the days on which somebody did,
// and beside them what those days have in common. Days and values are made up:
// the reckoned air swings from 8 to 12 C, read are lows and highs 3 C below.
func TestAirByTheGlass(t *testing.T) {
	zone := time.FixedZone("there", -8*3600)
	first := time.Date(2026, 1, 1, 0, 0, 0, 0, zone)
	air := climate.Series{Start: first.Unix() / 3600}
	for i := range 40 * 24 {
		air.Hours = append(air.Hours, climate.Hour{TempC: 10 + 2*math.Sin(2*math.Pi*float64(i)/24), RH: 0.8})
	}
	glass := func(day int, low, high float64) farm.Weather {
		l, h := qty.Celsius(low), qty.Celsius(high)
		return farm.Weather{Day: first.AddDate(0, 0, day).Format(time.DateOnly), Low: &l, High: &h}
	}
	read := []farm.Weather{glass(10, 20, 20), glass(10, 5, 9), glass(12, 5, 9), glass(20, 2, 6), {Day: "someday"}, glass(-5, 0, 0), glass(90, 0, 0)}
	outlook := glass(15, -20, -10)
	outlook.Outlook = true
	days := readGlass(append(read, outlook), zone, air)
	if len(days) != 3 || math.Abs(days[0].off+3) > 1e-9 || math.Abs(days[2].off+6) > 1e-9 {
		t.Fatalf("%+v", days)
	}
	got := byGlass(air, days)
	at := func(day, hour int) float64 {
		h := air.Start + int64(day*24+hour)
		return got.At(h).TempC - air.At(h).TempC
	}
	for _, x := range []struct {
		day  int
		want float64
		why  string
	}{
		{10, -3, "the last word of that day"}, {20, -6, "that day"}, {0, -4, "the mean of all days read"}, {39, -4, "the mean of all days read"},
	} {
		for _, hour := range []int{0, 13, 23} {
			if off := at(x.day, hour); math.Abs(off-x.want) > 1e-9 {
				t.Errorf("day %d hour %d is %.2f C off, want %.0f: %s", x.day, hour, off, x.want, x.why)
			}
		}
	}
	if a, b, c := at(21, 1), at(22, 1), at(23, 1); !(a < b && b < c && c < -4+1e-9) {
		t.Errorf("after the day that was read %.2f, %.2f, %.2f", a, b, c)
	}
	h := air.Start + 10*24 + 6
	before, after := air.At(h), got.At(h)
	if a, b := before.RH*climate.SaturationDensity(before.TempC), after.RH*climate.SaturationDensity(after.TempC); after.RH < 1 && math.Abs(a-b) > 1e-12 {
		t.Errorf("vapour %.6f became %.6f", a, b)
	}
	if same := byGlass(air, nil); &same.Hours[0] != &air.Hours[0] {
		t.Error("a barn that nobody reads has another air than the one reckoned")
	}
}
