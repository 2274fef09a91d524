package climate_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wormyard/climate"
)

var lowland = climate.Place{LatitudeDeg: 47.4, SolarNoonH: 12.15, ClockH: -8}

// Dates agree with the standard library's calendar.
func TestCalendar(t *testing.T) {
	for _, from := range []int{-800000, -1, 0, 11016, 19782, 20000, 500000} {
		for n := int64(from); n < int64(from)+800; n++ {
			at := time.Unix(n*86400, 0).UTC()
			y, m, d := climate.Civil(n)
			if y != at.Year() || m != int(at.Month()) || d != at.Day() || climate.DayNumber(y, m, d) != n {
				t.Fatalf("day %d is %v, not %d-%d-%d", n, at, y, m, d)
			}
		}
	}
	for h, want := range map[int64]int64{0: 0, 23: 0, 24: 1, -1: -1, -24: -1, -25: -2} {
		if got := climate.DayOf(h); got != want {
			t.Errorf("hour %d is of day %d, not %d", h, got, want)
		}
	}
}

// Day lengths at 47.4 degrees north by the geometry of Cooper's declination:
// arccos(-tan(lat) tan(23.45)) at midsummer, equal day and night in March.
func TestDayLength(t *testing.T) {
	for _, c := range []struct {
		day  int
		want float64
	}{{172, 15.76}, {355, 8.24}, {81, 12.0}} {
		if got := climate.DayLength(47.4, c.day); math.Abs(got-c.want) > 0.02 {
			t.Errorf("day %d has %.3f h of day, not %.2f", c.day, got, c.want)
		}
	}
	if climate.DayLength(80, 172) != 24 || climate.DayLength(80, 355) != 0 {
		t.Error("beyond the circle the sun stays up or down")
	}
}

// Drawn hours stay between the lows and highs around them and come, by day,
// within 3 % of the day's range of its high.
func TestHoursMeetTheDaysLowAndHigh(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		start := climate.DayNumber(2024, 1, 1) + int64(rapid.IntRange(0, 365).Draw(t, "start"))
		var days []climate.Day
		low := rapid.Float64Range(-10, 15).Draw(t, "low")
		for i := range int64(12) {
			low += rapid.Float64Range(-3, 3).Draw(t, "step")
			high := low + rapid.Float64Range(2, 15).Draw(t, "range")
			days = append(days, climate.Day{Day: start + i, LowC: low, HighC: high, DewC: math.NaN()})
		}
		s := climate.Hourly(&p, lowland, days)
		if len(s.Hours) != 24*len(days) || s.Start != start*24+8 {
			t.Fatalf("%d hours from %d", len(s.Hours), s.Start)
		}
		for d := 1; d < len(days)-1; d++ {
			least, most := math.Inf(1), math.Inf(-1)
			for h := range 24 {
				v := s.Hours[d*24+h]
				least, most = min(least, v.TempC), max(most, v.TempC)
				if !(v.RH > 0 && v.RH <= 1) {
					t.Fatalf("humidity %v", v.RH)
				}
			}
			lowest := min(days[d-1].LowC, min(days[d].LowC, days[d+1].LowC))
			highest := max(days[d].HighC, max(days[d-1].HighC, days[d+1].LowC))
			if least < lowest-1e-9 || most > highest+1e-9 {
				t.Fatalf("day %d goes from %.2f to %.2f outside %.2f to %.2f", d, least, most, lowest, highest)
			}
			noon := math.Inf(-1)
			for h := 11; h <= 17; h++ {
				noon = max(noon, s.Hours[d*24+h].TempC)
			}
			if math.Abs(noon-days[d].HighC) > 0.03*(days[d].HighC-days[d].LowC)+1e-9 {
				t.Fatalf("day %d reaches %.2f by day, not its high %.2f", d, noon, days[d].HighC)
			}
		}
	})
}

// Unchanging days without a range give unchanging air.
func TestFlatDaysStayFlat(t *testing.T) {
	p := parameters(t)
	var days []climate.Day
	for i := range int64(5) {
		days = append(days, climate.Day{Day: i, LowC: 8, HighC: 8, DewC: 8})
	}
	for _, h := range climate.Hourly(&p, lowland, days).Hours {
		if math.Abs(h.TempC-8) > 1e-12 || math.Abs(h.RH-1) > 1e-9 {
			t.Fatalf("%+v", h)
		}
	}
}

func TestSeries(t *testing.T) {
	s := climate.Series{Start: 100, Hours: []climate.Hour{{TempC: 1}, {TempC: 2}, {TempC: 3}}}
	for hour, want := range map[int64]float64{0: 1, 100: 1, 101: 2, 102: 3, 500: 3} {
		if got := s.At(hour).TempC; got != want {
			t.Errorf("hour %d is %v C, not %v", hour, got, want)
		}
	}
	if s.Shift(10).At(110).TempC != 1 || s.End() != 103 {
		t.Error("a shifted series keeps its air")
	}
}

// With every day known, blending gives the days back; with none, the normals.
func TestBlendKeepsWhatIsKnown(t *testing.T) {
	p := parameters(t)
	normals := climate.Monthly([12]float64{1, 2, 3, 5, 8, 11, 13, 13, 11, 7, 4, 2}, [12]float64{8, 10, 12, 15, 19, 21, 25, 25, 22, 16, 11, 8}, 20000, 20060)
	for i, d := range climate.Blend(&p, normals, nil) {
		if d.LowC != normals[i].LowC || d.Origin != climate.Normal {
			t.Fatalf("%+v", d)
		}
	}
	var own []climate.Day
	for i := range normals {
		own = append(own, climate.Day{Day: normals[i].Day, LowC: float64(i), HighC: float64(i) + 9, DewC: math.NaN(), Origin: climate.Measured})
	}
	for i, d := range climate.Blend(&p, normals, own) {
		if d.LowC != float64(i) || math.Abs(d.HighC-float64(i)-9) > 1e-12 || d.Origin != climate.Measured {
			t.Fatalf("%+v", d)
		}
	}
}

// A day that becomes known moves the days near it and those to come, and none that
// lies further back, once a few are known.
func TestBlendLeavesThePastAlone(t *testing.T) {
	p := parameters(t)
	normals := climate.Monthly([12]float64{1, 2, 3, 5, 8, 11, 13, 13, 11, 7, 4, 2}, [12]float64{8, 10, 12, 15, 19, 21, 25, 25, 22, 16, 11, 8}, 20000, 20120)
	var own []climate.Day
	for i := 20; i < 80; i += 2 {
		n := normals[i]
		own = append(own, climate.Day{Day: n.Day, LowC: n.LowC + 3, HighC: n.HighC + 2, DewC: math.NaN(), Origin: climate.Typed})
	}
	before := climate.Blend(&p, normals, own)
	n := normals[81]
	after := climate.Blend(&p, normals, append(own, climate.Day{Day: n.Day, LowC: n.LowC - 9, HighC: n.HighC - 9, DewC: math.NaN(), Origin: climate.Typed}))
	const near = 15 // 3.9 times the 3.7 days of blend_days
	for i := range before {
		same := before[i].LowC == after[i].LowC && before[i].HighC == after[i].HighC
		if i < 81-near && !same {
			t.Errorf("day %d was %v to %v and is %v to %v", i, before[i].LowC, before[i].HighC, after[i].LowC, after[i].HighC)
		}
		if i > 80 && same {
			t.Errorf("day %d does not heed what became known", i)
		}
	}
	if d := before[0].LowC - normals[0].LowC; d < 1 || d > 2 { // 14 days of +3 against 14 of doubt
		t.Errorf("the days before the first known one are moved by %v, want half of 3", d)
	}
}

func TestWarnings(t *testing.T) {
	p := parameters(t)
	got := climate.Warnings(&p, []climate.Day{{Day: 1, LowC: -1, HighC: 5}, {Day: 2, LowC: -8, HighC: -1}, {Day: 3, LowC: 15, HighC: 35}, {Day: 4, LowC: 5, HighC: 20}})
	if len(got) != 3 || got[0].Kind != "frost" || got[1].Kind != "hard frost" || got[2].Kind != "heat" {
		t.Errorf("%+v", got)
	}
}
