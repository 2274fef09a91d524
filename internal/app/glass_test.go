package app

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"wormyard/climate"
	"wormyard/farm"
	"wormyard/qty"
)

// leaning gives twins whose barns are off by made-up numbers: 2 C for good, 1 C a
// day, and a weather of 3 C that lasts four days.
func leaning() *Twins {
	w := &Twins{}
	w.numbers.Climate = climate.Parameters{NormalSDC: 3, BlendDays: 4}
	w.params.BarnDaySD, w.params.BarnAirSD, w.params.BarnAirDays = 1, 2, 1e9
	return w
}

// The air of a barn is what was read in it on the days on which somebody did;
// beside them what stands and what goes with the weather, by Kalman's rule worked
// out by hand for one reading. Days and values are made up: the reckoned air swings
// from 8 to 12 C.
func TestAirByTheGlass(t *testing.T) {
	w := leaning()
	zone := time.FixedZone("there", -8*3600)
	first := time.Date(2026, 1, 1, 0, 0, 0, 0, zone)
	air := climate.Series{Start: first.Unix() / 3600}
	for i := range 40 * 24 {
		air.Hours = append(air.Hours, climate.Hour{TempC: 10 + 2*math.Sin(2*math.Pi*float64(i)/24), RH: 0.8})
	}
	outside := climate.Series{Start: air.Start, Hours: air.Hours, Off: []float64{3}}
	glass := func(day int, low, high float64) farm.Weather {
		l, h := qty.Celsius(low), qty.Celsius(high)
		return farm.Weather{Day: first.AddDate(0, 0, day).Format(time.DateOnly), Low: &l, High: &h}
	}
	outlook := glass(15, -20, -10)
	outlook.Outlook = true
	days := readGlass([]farm.Weather{glass(10, 20, 20), glass(10, 5, 9), glass(20, 2, 6), {Day: "someday"}, glass(-5, 0, 0), glass(90, 0, 0), outlook}, zone, air)
	if len(days) != 2 || math.Abs(days[0].off+3) > 1e-9 || math.Abs(days[1].off+6) > 1e-9 {
		t.Fatalf("%+v", days)
	}
	got, off := w.byGlass(outside, air, warmed(air, 3), days)
	at := func(day, hour int) float64 {
		h := air.Start + int64(day*24+hour)
		return got.At(h).TempC - air.At(h).TempC
	}
	for _, hour := range []int{0, 13, 23} {
		if a, b := at(10, hour), at(20, hour); math.Abs(a+3) > 1e-9 || math.Abs(b+6) > 1e-9 || off[10*24+hour] != 0 {
			t.Errorf("hour %d of the days read is %.2f and %.2f C off, want -3 and -6 without doubt", hour, a, b)
		}
	}
	// One reading of -3, variances 4 (stands), 9 (weather) and 1 (the day) of 14: the
	// parts are -3 times 4/14 and 9/14; nine days later the weather's is e^(-9/4) of it.
	const stands, goes = -3 * 4.0 / 14, -3 * 9.0 / 14
	if a, want := at(19, 12), stands+goes*math.Exp(-9.0/4); math.Abs(a-want) > 1e-6 {
		t.Errorf("nine days after the first reading %.4f C, want %.4f", a, want)
	}
	if a, b, c := at(21, 1), at(23, 1), at(39, 1); !(a < b && b < c && c < stands) {
		t.Errorf("after the day that was read %.2f, %.2f, %.2f", a, b, c)
	}
	h := air.Start + 10*24 + 6
	before, after := air.At(h), got.At(h)
	if a, b := before.RH*climate.SaturationDensity(before.TempC), after.RH*climate.SaturationDensity(after.TempC); after.RH < 1 && math.Abs(a-b) > 1e-12 {
		t.Errorf("vapour %.6f became %.6f", a, b)
	}
	// What is read later leaves what was reckoned before it.
	early, _ := w.byGlass(outside, air, warmed(air, 3), days[:1])
	for i := 10 * 24; i < 20*24; i++ {
		if early.Hours[i] != got.Hours[i] {
			t.Fatalf("hour %d moved from %v to %v by what was read later", i, early.Hours[i], got.Hours[i])
		}
	}
	if same, _ := w.byGlass(outside, air, warmed(air, 3), nil); &same.Hours[0] != &air.Hours[0] {
		t.Error("a barn that nobody reads has another air than the one reckoned")
	}
}

// Read again and again, a barn that is always 2 C colder than reckoned is known to
// be: what stands comes to it, whatever the weather did, and its doubt falls. The
// weather here is drawn as T9 has it; a mean over many barns is held, since one is
// off by what weather leaves.
func TestWhatStandsInABarnIsLearned(t *testing.T) {
	w := leaning()
	w.params.BarnAirSD = 1.5
	r := rand.New(rand.NewPCG(7, 7))
	const barns, every, reads = 200, 3, 60
	var sum, sq, said float64
	for range barns {
		l, u := w.newLean(), r.NormFloat64()
		for k := range reads {
			from := int64(k * every * 24)
			l.read(w, glassDay{from: from, to: from + 24, off: -2 + 3*u + r.NormFloat64()}, inflow{1, 3})
			keep := math.Exp(-every / 4.0)
			u = keep*u + math.Sqrt(1-keep*keep)*r.NormFloat64()
		}
		sum, sq, said = sum+l.stands/barns, sq+square(l.stands+2)/barns, said+l.vStands/barns
	}
	// Six months of weather leave a doubt of about 9/(180/8) = 0.4 C2, of 2.25 at first.
	if math.Abs(sum+2) > 0.4 || sq > 0.6 || said < 0.2 || said > 0.6 {
		t.Errorf("what stands is %.2f C (want -2), off by %.2f C2 where %.2f is said", sum, sq, said)
	}
}

// A barn that is 45 C colder than anybody told is believed to be so from the first
// days read, and not taken for weather that goes again.
func TestABarnThatIsQuiteAnother(t *testing.T) {
	w := leaning()
	l := w.newLean()
	for k := range int64(3) {
		l.read(w, glassDay{from: k * 24, to: k*24 + 24, off: -45}, inflow{1, 3})
	}
	if l.stands > -40 {
		t.Errorf("after three days read what stands is %.1f C, want about -45", l.stands)
	}
	if mean, _ := l.at(w, 30*24, inflow{1, 3}, true); mean > -40 {
		t.Errorf("four weeks later the air is taken to be %.1f C off, want about -45", mean)
	}
}
