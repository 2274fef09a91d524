package weather_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"wormyard/climate"
	"wormyard/figure"
	"wormyard/internal/source"
	"wormyard/internal/weather"
)

func parameters(t testing.TB) climate.Parameters {
	t.Helper()
	var p climate.Parameters
	if err := source.Load("climate", &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func hours(y, m, d int) int64 { return climate.DayNumber(y, m, d) * 24 }

// The counts and extremes were read off the files before they were converted.
func TestTheDailyRecordIsWhole(t *testing.T) {
	days, err := weather.Daily(0)
	if err != nil {
		t.Fatal(err)
	}
	if len(days) != 1461 {
		t.Fatalf("%d days, not 1461", len(days))
	}
	low, high, rain := math.Inf(1), math.Inf(-1), 0.0
	for i, d := range days {
		if d.Day != days[0].Day+int64(i) {
			t.Fatalf("a day is missing before row %d", i)
		}
		if d.LowC > d.HighC {
			t.Errorf("day %d has its low above its high", d.Day)
		}
		low, high, rain = math.Min(low, d.LowC), math.Max(high, d.HighC), math.Max(rain, d.RainMM)
	}
	if low != -7.1 || high != 35.6 || rain != 55.9 {
		t.Errorf("extremes %v, %v and %v, not -7.1, 35.6 and 55.9", low, high, rain)
	}
}

func TestTheRecordMovesByFoursOnly(t *testing.T) {
	days, err := weather.Daily(12)
	if err != nil {
		t.Fatal(err)
	}
	if days[0].Day != climate.DayNumber(2024, 1, 1) || days[59].Day != climate.DayNumber(2024, 2, 29) || days[1460].Day != climate.DayNumber(2027, 12, 31) {
		t.Error("the moved record does not keep its dates")
	}
	if _, err := weather.Daily(3); err == nil {
		t.Error("a shift of three years loses leap days and must be refused")
	}
}

// Without anything the normals serve and the answer says so; what is known comes
// before what is usual, and days apart from it fall back to the usual.
func TestWhatServes(t *testing.T) {
	p := parameters(t)
	from, to := hours(2026, 1, 10)+8, hours(2026, 1, 30)+8
	plain, err := weather.Site{}.Air(&p, from, to)
	if err != nil {
		t.Fatal(err)
	}
	if len(plain.Air.Hours) != int(to-from) || plain.Air.Start != from {
		t.Fatalf("%d hours from %d", len(plain.Air.Hours), plain.Air.Start)
	}
	if !strings.Contains(plain.Notes[0], "normals") || strings.Contains(plain.Notes[0], "typed") {
		t.Errorf("the note says %q", plain.Notes[0])
	}
	day := climate.DayNumber(2026, 1, 15)
	site := weather.Site{Typed: []climate.Day{
		{Day: day, LowC: -9, HighC: -2, DewC: math.NaN(), RainMM: math.NaN()},
		{Day: day + 3, LowC: -12, HighC: math.NaN(), DewC: math.NaN(), RainMM: math.NaN(), Origin: climate.Outlook},
	}}
	cold, err := site.Air(&p, from, to)
	if err != nil {
		t.Fatal(err)
	}
	origin := map[int64]climate.Origin{}
	shift := map[int64]float64{}
	for i, d := range cold.Days {
		origin[d.Day] = d.Origin
		shift[d.Day] = d.LowC - plain.Days[i].LowC
	}
	if origin[day] != climate.Typed || origin[day+3] != climate.Outlook || origin[day+1] != climate.Blended {
		t.Errorf("origins %v", origin)
	}
	if !(shift[day+1] < -2 && shift[day+1] > shift[day]) {
		t.Errorf("the day after a typed frost is moved by %.1f C", shift[day+1])
	}
	if math.Abs(shift[day+14]) > 0.2*math.Abs(shift[day]) {
		t.Errorf("two weeks on the usual is still moved by %.1f C, the typed day by %.1f", shift[day+14], shift[day])
	}
	frost := 0
	for _, w := range cold.Warnings {
		if w.Kind == "hard frost" && w.Day == day {
			frost++
		}
	}
	if frost != 1 {
		t.Errorf("the typed frost is not warned of: %v", cold.Warnings)
	}
	if !strings.Contains(cold.Notes[0], "typed by hand") || !strings.Contains(cold.Notes[0], "outlook") {
		t.Errorf("the note says %q", cold.Notes[0])
	}
}

func TestTheRecordIsNotKnownAhead(t *testing.T) {
	p := parameters(t)
	day := climate.DayNumber(2026, 1, 15)
	a, err := weather.Site{Source: weather.SeattleDaily, ShiftYears: 12, RecordUntil: day}.Air(&p, (day-5)*24, (day+5)*24)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range a.Days {
		if (d.Origin == climate.Measured) != (d.Day < day) {
			t.Errorf("day %+d is %s", d.Day-day, d.Origin)
		}
	}
}

func TestTwelveMonthsAreTheLeast(t *testing.T) {
	p := parameters(t)
	low := []float64{-12, -10, -4, 2, 8, 13, 16, 15, 10, 4, -2, -9}
	high := []float64{-3, 0, 6, 14, 20, 25, 28, 27, 22, 15, 6, -1}
	a, err := weather.Site{Source: "monthly", MonthLowC: low, MonthHighC: high}.Air(&p, hours(2025, 1, 1)+8, hours(2026, 1, 1)+8)
	if err != nil {
		t.Fatal(err)
	}
	var sum, n [12]float64
	for _, d := range a.Days {
		y, m, _ := climate.Civil(d.Day)
		if y == 2025 {
			sum[m-1] += d.LowC
			n[m-1]++
		}
	}
	for m := range sum {
		if got := sum[m] / n[m]; math.Abs(got-low[m]) > 0.01 {
			t.Errorf("month %d has a mean low of %.3f C, typed was %v", m+1, got, low[m])
		}
	}
	if _, err := (weather.Site{Source: "monthly", MonthLowC: low[:11], MonthHighC: high}).Air(&p, 0, 24); err == nil {
		t.Error("eleven months must be refused")
	}
	if _, err := (weather.Site{Source: "almanac"}).Air(&p, 0, 24); err == nil {
		t.Error("an unknown source must be refused")
	}
}

func TestReadRecordDays(t *testing.T) {
	r, err := weather.ReadRecord(strings.NewReader("\ufeffdate;low (f);high (f)\n2024-02-28;32,0;50\n2024-02-29;14;\n"), climate.Place{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Days) != 2 || r.Days[0].LowC != 0 || r.Days[0].HighC != 10 || r.Days[1].LowC != -10 || !math.IsNaN(r.Days[1].HighC) {
		t.Errorf("%+v", r.Days)
	}
}

func TestReadRecordHours(t *testing.T) {
	r, err := weather.ReadRecord(strings.NewReader("time,temp_c,rh\n2024-01-01 00:00,4,90\n2024-01-01 01:00,5,80\n2024-01-01 03:00,7,60\n"), climate.Place{ClockH: -8, SolarNoonH: 12})
	if err != nil {
		t.Fatal(err)
	}
	if r.Hours.Start != hours(2024, 1, 1)+8 || len(r.Hours.Hours) != 4 || r.Hours.Hours[2].TempC != 6 || math.Abs(r.Hours.Hours[2].RH-0.7) > 1e-12 {
		t.Errorf("%+v", r.Hours)
	}
}

func TestReadRecordSaysEverythingWrongAtOnce(t *testing.T) {
	_, err := weather.ReadRecord(strings.NewReader("day,low_c,high_c\n2023-02-29,1,2\n2024-03-01,9,2\n2024-03-02,abc,2\n2024-03-03,1,200\n2024-03-04,1,2\n2024-03-04,1,2\n"), climate.Place{})
	var refusal *figure.Refusal
	if !errors.As(err, &refusal) || len(refusal.Problems) != 5 {
		t.Fatalf("%v: %+v", err, refusal)
	}
	for i, row := range []string{"row 2", "row 3", "row 4", "row 5", "row 7"} {
		if !strings.HasPrefix(refusal.Problems[i].Field, row) {
			t.Errorf("problem %d is at %q, not %q", i, refusal.Problems[i].Field, row)
		}
	}
	if _, err := weather.ReadRecord(strings.NewReader(""), climate.Place{}); err == nil {
		t.Error("an empty file must be refused")
	}
}

func TestYearsHoldTheDay(t *testing.T) {
	for _, y := range []int{1999, 2008, 2011, 2012, 2015, 2016, 2026, 2027, 2028} {
		day := climate.DayNumber(y, 7, 1)
		n := weather.Years(day)
		days, err := weather.Daily(n)
		if err != nil || days[0].Day > day || days[len(days)-1].Day < day {
			t.Errorf("%d is not within the record moved by %d years: %v", y, n, err)
		}
	}
}

// A barn of plywood and sheet metal with the heat of 120 bins through the two
// winters of the record: warmer than outside on the mean, calmer by day, and
// every joule and gram of two years accounted for.
func TestBarnThroughTheRecord(t *testing.T) {
	p := parameters(t)
	a, err := weather.Site{Source: weather.SeattleDaily}.Air(&p, hours(2012, 6, 1), hours(2014, 6, 1))
	if err != nil {
		t.Fatal(err)
	}
	b := climate.Barn{Parts: []climate.Part{{U: 3.9, Area: 260}, {U: 7.3, Area: 288}}, SlabWMK: 1.2, PerimeterM: 72, VolumeM3: 1037, AirChanges: 1.5}
	in, flow := b.Air(&p, a.Air, func(int64, climate.Hour) (float64, float64) { return 120 * 25, 120 * 1.5e-5 })
	var out, inside, swingOut, swingIn float64
	coldest := math.Inf(1)
	for d := 0; d+24 <= len(in.Hours); d += 24 {
		lo, hi, l, h := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for i := d; i < d+24; i++ {
			o, n := a.Air.Hours[i].TempC, in.Hours[i].TempC
			out, inside = out+o, inside+n
			lo, hi, l, h = math.Min(lo, o), math.Max(hi, o), math.Min(l, n), math.Max(h, n)
		}
		swingOut, swingIn, coldest = swingOut+hi-lo, swingIn+h-l, math.Min(coldest, l)
	}
	n := float64(len(in.Hours))
	t.Logf("mean %.2f C outside, %.2f inside; a day swings %.1f K outside, %.1f inside; coldest hour inside %.1f C; %.0f kg condensed", out/n, inside/n, swingOut/n*24, swingIn/n*24, coldest, flow.CondensedKg)
	lift := 120 * 25 / (b.Transmission() + b.Infiltration())
	if math.Abs(inside/n-out/n-lift) > 0.05 {
		t.Errorf("the bins lift the barn by %.3f C on the mean, at rest it would be %.3f", inside/n-out/n, lift)
	}
	if !(swingIn < swingOut) {
		t.Error("a barn must swing less than the air outside")
	}
	if e := math.Abs(flow.HeaterJ+flow.BinsJ-flow.LostJ-flow.StoredJ) / flow.BinsJ; e > 1e-9 {
		t.Errorf("heat of two years is out by %.2g", e)
	}
	if e := math.Abs(flow.EvaporatedKg-flow.CarriedKg-flow.CondensedKg-flow.StoredKg) / flow.EvaporatedKg; e > 1e-9 {
		t.Errorf("water of two years is out by %.2g", e)
	}
}

func BenchmarkTwoYears(b *testing.B) {
	p := parameters(b)
	for b.Loop() {
		if _, err := (weather.Site{Source: weather.SeattleDaily}).Air(&p, hours(2012, 6, 1), hours(2014, 6, 1)); err != nil {
			b.Fatal(err)
		}
	}
}
