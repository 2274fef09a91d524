package twin

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// limits are round numbers, so that what they say can be worked out by hand.
var limits = Limits{BedLow: -30, BedHigh: 80, AirLow: -45, AirHigh: 55, WaterLow: 0.05, WaterHigh: 0.97,
	StuckHours: 48, StuckUnseen: 120, StuckAir: 4, StuckLeast: 8, SpikeC: 6, SpikeBack: 2, SpikeHours: 8,
	ApartC: 16.6, AboutM: 0.06, AboutHours: 1, CheckedC: 4, CheckedHours: 36, UnitDays: 4, UnitOff: 12, UnitFits: 6, UsualLow: 2, UsualHigh: 37,
	ClockDays: 3, PromptDays: 3}

func heard(kind, id string, hour int64, depth, c float64) Heard {
	return Heard{Reading: Reading{Hour: hour, DepthM: depth, TempC: c, Water: math.NaN(), Probe: kind, ProbeID: id}, OtherDays: math.NaN()}
}

// logged gives hourly readings that swing by a degree over the day.
func logged(id string, from, hours int64, c float64) []Heard {
	var out []Heard
	for h := range hours {
		out = append(out, heard("logger", id, from+h, 0.15, c+math.Sin(2*math.Pi*float64(h)/24)))
	}
	return out
}

func causes(t *testing.T, found []Doubt, want map[int]Cause) {
	t.Helper()
	got := map[int]Cause{}
	for _, d := range found {
		if _, twice := got[d.Of]; twice {
			t.Errorf("reading %d is doubted twice", d.Of)
		}
		got[d.Of] = d.Cause
	}
	if len(got) != len(want) {
		t.Errorf("doubted %v, want %v", got, want)
		return
	}
	for i, c := range want {
		if got[i] != c {
			t.Errorf("reading %d: %q, want %q", i, got[i], c)
		}
	}
}

func TestNothingIsDoubtedOfWhatCanBe(t *testing.T) {
	causes(t, Doubts(limits, logged("a", 0, 24*30, 20), nil, nil), nil)
	warming := logged("a", 0, 24*4, 20) // fresh feed: 1 C an hour up, and down again over days
	for i := 40; i < len(warming); i++ {
		warming[i].TempC += math.Min(float64(i-40), 20) * math.Exp(-math.Max(0, float64(i-60))/30)
	}
	causes(t, Doubts(limits, warming, nil, nil), nil)
	var winter []Heard // a frozen bed, by dial, all alike: what would be in Celsius is no news
	for d := range int64(20) {
		winter = append(winter, heard("dial", "", 24*d, 0.1, -4))
	}
	causes(t, Doubts(limits, winter, nil, nil), nil)
	causes(t, Doubts(Limits{}, []Heard{heard("dial", "", 0, 0.1, 500)}, nil, nil), nil)
}

func TestImpossible(t *testing.T) {
	all := logged("a", 0, 24, 20)
	all[3].TempC, all[7].TempC, all[9].TempC = -127, 85, math.Inf(1)
	all[12].Water = 1.4
	causes(t, Doubts(limits, all, nil, nil), map[int]Cause{3: Impossible, 7: Impossible, 9: Impossible, 12: Impossible})
	air := []Heard{heard("dial", "", 0, 0, 20), heard("dial", "", 1, 0, 60), heard("dial", "", 2, 0, -50)}
	causes(t, AirDoubts(limits, air), map[int]Cause{1: Impossible, 2: Impossible})
}

func TestStuck(t *testing.T) {
	air := func(swing float64) []Heard {
		var out []Heard
		for h := int64(0); h < 24*10; h += 6 {
			out = append(out, heard("other", "", h, 0, 10+swing/2*math.Sin(2*math.Pi*float64(h)/24)))
		}
		return out
	}
	stuck := func(hours int64) []Heard {
		all := logged("a", 0, 24*9, 20)
		for i := int64(24); i <= 24+hours; i++ {
			all[i].TempC = 20.4
		}
		return all
	}
	want := map[int]Cause{}
	for i := 25; i <= 24+60; i++ {
		want[i] = Stuck
	}
	causes(t, Doubts(limits, stuck(60), air(6), nil), want)
	causes(t, Doubts(limits, stuck(60), air(3), nil), nil) // the air stood still as well
	causes(t, Doubts(limits, stuck(60), nil, nil), nil)    // nobody knows
	causes(t, Doubts(limits, stuck(40), air(6), nil), nil)
	for i := 85; i <= 24+130; i++ {
		want[i] = Stuck
	}
	causes(t, Doubts(limits, stuck(130), nil, nil), want)
	dial := stuck(130)
	for i := range dial { // people round
		dial[i].Probe = "dial"
	}
	causes(t, Doubts(limits, dial, nil, nil), nil)
}

func TestSpike(t *testing.T) {
	all := logged("a", 0, 48, 20)
	all[10].TempC += 9
	all[30].TempC, all[31].TempC, all[32].TempC = all[30].TempC-8, all[31].TempC-11, all[32].TempC-8
	causes(t, Doubts(limits, all, nil, nil), map[int]Cause{10: Spike, 30: Spike, 31: Spike, 32: Spike})
	all[10].Sure = true
	causes(t, Doubts(limits, all, nil, nil), map[int]Cause{30: Spike, 31: Spike, 32: Spike})
	long := logged("a", 0, 72, 20) // up for twelve hours is a bed that was warm
	for i := 20; i < 32; i++ {
		long[i].TempC += 8
	}
	causes(t, Doubts(limits, long, nil, nil), nil)
}

// 72 F is 22.2 C: typed as it stands on a dial of the other scale it is 22 F, or
// -5.6 C; and 72 C.
func TestOtherUnit(t *testing.T) {
	if as, is := limits.Mistaken(-5.6, 18, 24); !is || math.Abs(as-21.92) > 0.01 {
		t.Errorf("22 F is read as %.2f C, %t", as, is)
	}
	if as, is := limits.Mistaken(72, 18, 24); !is || math.Abs(as-22.22) > 0.01 {
		t.Errorf("72 C is read as %.2f C, %t", as, is)
	}
	for _, c := range []float64{8, 30, 50, -20} { // odd, but no odder than in the other scale
		if as, is := limits.Mistaken(c, 18, 24); is {
			t.Errorf("%.0f C is taken for %.1f C", c, as)
		}
	}
	var all []Heard
	for d := range int64(8) {
		all = append(all, heard("dial", "", 24*d, 0.1, 21+float64(d%3)))
	}
	all[4].TempC = -5.6
	all[6].TempC = 72
	causes(t, Doubts(limits, all, nil, nil), map[int]Cause{4: OtherUnit, 6: OtherUnit})
	all[4].Sure = true
	causes(t, Doubts(limits, all, nil, nil), map[int]Cause{6: OtherUnit})
	var two []Heard // a logger that was read in the other scale throughout, and a dial now and then
	want := map[int]Cause{}
	for h := int64(0); h < 96; h++ {
		if h%24 == 8 {
			two = append(two, heard("dial", "", h, 0.15, 20.5))
		}
		want[len(two)] = OtherUnit
		two = append(two, heard("logger", "a", h, 0.15, (20-32)/1.8+0.1*float64(h%5)))
	}
	causes(t, Doubts(limits, two, nil, nil), want)
}

// 16 F is -8.9 C and 16 C is 61 F: of a bed of which little was read it is asked
// about, and frost in the air, somebody's word, and a thermometer that always says
// so where nobody read the air, speak for it.
func TestOtherUnitOfFewReadings(t *testing.T) {
	const typed, bed = (16 - 32) / 1.8, 16.0
	dial := func(hour int64, c float64) Heard { return heard("dial", "", hour, 0.1, c) }
	air := func(c float64) []Heard { return []Heard{heard("other", "", 90, 0, c)} }
	lone := []Heard{dial(100, typed)}
	found := Doubts(limits, lone, nil, nil)
	causes(t, found, map[int]Cause{0: OtherUnit})
	if len(found) == 1 && (math.Abs(found[0].AsC-bed) > 1e-9 || !math.IsNaN(found[0].ExpectC)) {
		t.Errorf("%+v", found[0])
	}
	found = Doubts(limits, []Heard{dial(60, bed), dial(100, typed)}, nil, nil)
	causes(t, found, map[int]Cause{1: OtherUnit})
	if len(found) == 1 && found[0].ExpectC != bed {
		t.Errorf("%+v", found[0])
	}
	causes(t, Doubts(limits, []Heard{dial(60, typed), dial(100, bed)}, nil, nil), map[int]Cause{0: OtherUnit})
	causes(t, Doubts(limits, lone, air(8), nil), map[int]Cause{0: OtherUnit})
	causes(t, Doubts(limits, lone, nil, air(8)), map[int]Cause{0: OtherUnit})
	causes(t, Doubts(limits, lone, air(-10), nil), nil)
	causes(t, Doubts(limits, lone, nil, air(-10)), nil)
	sure := []Heard{dial(60, typed), dial(100, typed)}
	causes(t, Doubts(limits, sure, nil, nil), map[int]Cause{0: OtherUnit, 1: OtherUnit})
	sure[0].Sure = true
	causes(t, Doubts(limits, sure, nil, nil), nil)
	var always []Heard
	all := map[int]Cause{}
	for d := range int64(6) {
		all[len(always)] = OtherUnit
		always = append(always, dial(24*d, typed))
	}
	causes(t, Doubts(limits, always, nil, nil), nil)
	causes(t, Doubts(limits, always, air(-10), nil), nil)
	causes(t, Doubts(limits, always, []Heard{heard("other", "", 40, 0, 9), heard("other", "", 90, 0, 12)}, nil), all)
	causes(t, Doubts(limits, []Heard{dial(100, 60)}, nil, nil), nil) // hot feed, for all we know
}

func TestApart(t *testing.T) {
	base := logged("a", 0, 48, 20)
	both := append([]Heard{}, base[:30]...)
	both = append(both, heard("dial", "", 29, 0.13, 38), base[30])
	found := Doubts(limits, both, nil, nil)
	// The logger says 20 or so for hours, and each of its readings within an hour is as far from the dial.
	want := map[int]Cause{28: Apart, 29: Apart, 30: Apart, 31: Apart}
	causes(t, found, want)
	for _, d := range found {
		if far := both[d.Of].Probe == "dial"; d.Far != far {
			t.Errorf("reading %d is the farther: %t", d.Of, d.Far)
		}
	}
	third := append([]Heard{}, both...)
	third = append(third, heard("other", "x", 33, 0.15, 21))
	causes(t, Doubts(limits, third, nil, nil), map[int]Cause{30: Apart})
	said := append([]Heard{}, both...)
	said[30].Sure = true
	causes(t, Doubts(limits, said, nil, nil), map[int]Cause{28: Apart, 29: Apart, 31: Apart})
	deeper := append([]Heard{}, both...)
	deeper[30].DepthM = 0.3
	causes(t, Doubts(limits, deeper, nil, nil), nil)
}

func TestWrongYear(t *testing.T) {
	all := logged("a", 0, 24, 20)
	for i := range all {
		all[i].LateDays, all[i].OtherDays = 0.1, 0.1
	}
	all[5].LateDays = 365.2
	all[6].LateDays = 300                               // merely late
	all[7].LateDays, all[7].OtherDays = 365.2, 200      // so is all of the file
	all[8].LateDays, all[8].OtherDays = 366, math.NaN() // nothing to compare with
	causes(t, Doubts(limits, all, nil, nil), map[int]Cause{5: WrongYear})
}

// Whatever probes say, nothing breaks down, each reading is doubted once at most,
// and what is not a number of a bed is always doubted.
func TestDoubtsOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		var all []Heard
		hour := int64(0)
		for range rapid.IntRange(0, 300).Draw(t, "n") {
			hour += int64(r.IntN(4))
			h := heard([]string{"dial", "logger", "other", ""}[r.IntN(4)], []string{"", "a", "b"}[r.IntN(3)], hour, r.Float64(), r.NormFloat64()*30+15)
			switch r.IntN(12) {
			case 0:
				h.TempC = math.NaN()
			case 1:
				h.TempC = math.Inf(-1)
			case 2:
				h.Water = r.Float64() * 1.5
			case 3:
				h.LateDays, h.OtherDays = 365, 0
			}
			all = append(all, h)
		}
		seen := map[int]bool{}
		for _, d := range Doubts(limits, all, all[:len(all)/2], nil) {
			if seen[d.Of] || d.Of < 0 || d.Of >= len(all) || d.Other >= len(all) || (d.Cause == Apart) != (d.Other >= 0) {
				t.Fatalf("%+v", d)
			}
			seen[d.Of] = true
		}
		for i, h := range all {
			if bad := math.IsInf(h.TempC, 0) || h.TempC < -30 || h.TempC > 80 || h.Water > 0.97; bad && !seen[i] {
				t.Fatalf("believed: %+v", h)
			}
		}
	})
}
