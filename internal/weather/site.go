package weather

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"wormyard/climate"
)

// Site is what a farm has of its weather. The zero Site is answered by the
// normals of the nearest record.
type Site struct {
	Place       climate.Place // zero takes the place of the nearest record
	Source      string        // "" or "normals"; "monthly"; SeattleDaily
	MonthLowC   []float64     // twelve, for "monthly"
	MonthHighC  []float64
	Own         []climate.Day  // own record, days
	OwnHours    climate.Series // own record, hours; they stand as they are
	Typed       []climate.Day  // lows and highs typed by hand, and outlook days, by Origin
	ShiftYears  int            // for SeattleDaily: the record moved on, a multiple of four
	RecordUntil int64          // for SeattleDaily: days from here on are not known yet; 0 knows all
}

// Answer is the outside air of a stretch of time and where it comes from.
type Answer struct {
	Air      climate.Series
	Days     []climate.Day
	Warnings []climate.Warning
	Notes    []string // which serves, in words
}

// margin is how many days are drawn before and after those asked for, so that
// the ends are as good as the middle.
const margin = 2

// Air gives hourly air for the hours from up to but not including to, counted
// since 1970-01-01T00Z, with a note of what serves. The error names a source
// that is not known or twelve months that are not there.
func (s Site) Air(p *climate.Parameters, from, to int64) (Answer, error) {
	place := s.Place
	if place == (climate.Place{}) {
		place = SeattlePlace
	}
	first := climate.DayOf(from+place.ClockH) - margin
	last := climate.DayOf(to+place.ClockH) + margin + 1
	base, name, err := s.base(first, last)
	if err != nil {
		return Answer{}, err
	}
	own, record, err := s.known()
	if err != nil {
		return Answer{}, err
	}
	days := climate.Blend(p, base, own)
	air := climate.Hourly(p, place, days)
	for i, h := range s.OwnHours.Hours {
		if at := s.OwnHours.Start + int64(i) - air.Start; at >= 0 && at < int64(len(air.Hours)) {
			air.Hours[at] = h
		}
	}
	a := Answer{
		Air: climate.Series{Start: from, Hours: air.Hours[from-air.Start : max(from, to)-air.Start],
			Off: climate.Off(p, days)[from-air.Start : max(from, to)-air.Start], Lasts: p.BlendDays},
		Days: days[margin : len(days)-margin],
	}
	a.Warnings = climate.Warnings(p, a.Days)
	a.Notes = notes(p, a.Days, name, record)
	return a, nil
}

// base gives a usual year for the days, and its name.
func (s Site) base(first, last int64) ([]climate.Day, string, error) {
	switch s.Source {
	case "monthly":
		if len(s.MonthLowC) != 12 || len(s.MonthHighC) != 12 {
			return nil, "", fmt.Errorf("the site wants twelve monthly lows and twelve highs, and has %d and %d", len(s.MonthLowC), len(s.MonthHighC))
		}
		return climate.Monthly([12]float64(s.MonthLowC), [12]float64(s.MonthHighC), first, last), "the site's twelve monthly lows and highs", nil
	case "", "normals", SeattleDaily, "own record", "typed":
		days, err := Normals(first, last)
		return days, "the normals of the nearest record (Seattle)", err
	}
	return nil, "", fmt.Errorf("weather %q is not known; known are normals, monthly and %s", s.Source, SeattleDaily)
}

// known gives the days that are more than normals, one for each date: the own
// record before what was typed, typed before an outlook, later before earlier;
// and the name of the record if one serves.
func (s Site) known() ([]climate.Day, string, error) {
	byDay := map[int64]climate.Day{}
	put := func(days []climate.Day, origin climate.Origin) {
		for _, d := range days {
			if d.Origin == "" {
				d.Origin = origin
			}
			old, ok := byDay[d.Day]
			if !ok || rank(d.Origin) <= rank(old.Origin) {
				byDay[d.Day] = d
			}
		}
	}
	record := "the site's own record"
	if s.Source == SeattleDaily {
		days, err := Daily(s.ShiftYears)
		if err != nil {
			return nil, "", err
		}
		if s.RecordUntil != 0 {
			days = slices.DeleteFunc(days, func(d climate.Day) bool { return d.Day >= s.RecordUntil })
		}
		put(days, climate.Measured)
		record = "the daily record of Seattle"
		switch {
		case s.ShiftYears > 0:
			record = fmt.Sprintf("the daily record of Seattle, moved on by %d years", s.ShiftYears)
		case s.ShiftYears < 0:
			record = fmt.Sprintf("the daily record of Seattle, moved back by %d years", -s.ShiftYears)
		}
	}
	put(s.Typed, climate.Typed)
	put(s.Own, climate.Measured)
	put(daysOf(s.OwnHours, s.Place), climate.Measured)
	out := make([]climate.Day, 0, len(byDay))
	for _, d := range byDay {
		out = append(out, d)
	}
	slices.SortFunc(out, func(a, b climate.Day) int { return int(a.Day - b.Day) })
	return out, record, nil
}

func rank(o climate.Origin) int {
	return slices.Index([]climate.Origin{climate.Measured, climate.Typed, climate.Outlook}, o)
}

// daysOf gives low, high and mean dew point of the days that an hourly record
// covers in full.
func daysOf(s climate.Series, place climate.Place) []climate.Day {
	if place == (climate.Place{}) {
		place = SeattlePlace
	}
	var out []climate.Day
	for i := 0; i+24 <= len(s.Hours); {
		hour := s.Start + int64(i) + place.ClockH
		if past := hour - climate.DayOf(hour)*24; past != 0 {
			i += int(24 - past)
			continue
		}
		d := climate.Day{Day: climate.DayOf(hour), LowC: math.Inf(1), HighC: math.Inf(-1), RainMM: math.NaN(), Origin: climate.Measured}
		vapour := 0.0
		for _, h := range s.Hours[i : i+24] {
			d.LowC, d.HighC = math.Min(d.LowC, h.TempC), math.Max(d.HighC, h.TempC)
			vapour += h.RH * climate.SaturationPa(h.TempC) / 24
		}
		d.DewC = climate.DewPointC(vapour)
		out = append(out, d)
		i += 24
	}
	return out
}

func notes(p *climate.Parameters, days []climate.Day, base, record string) []string {
	count := map[climate.Origin]int{}
	dew := 0
	shift := 0.0
	for _, d := range days {
		count[d.Origin]++
		if math.IsNaN(d.DewC) {
			dew++
		}
		shift += d.Offset
	}
	var parts []string
	say := func(o climate.Origin, what string) {
		switch n := count[o]; {
		case n == 1:
			parts = append(parts, fmt.Sprintf("Weather of one day is taken from %s.", what))
		case n > 1:
			parts = append(parts, fmt.Sprintf("Weather of %d days is taken from %s.", n, what))
		}
	}
	say(climate.Measured, record)
	say(climate.Typed, "lows and highs typed by hand")
	say(climate.Outlook, "the outlook")
	say(climate.Blended, fmt.Sprintf("%s, moved towards the days around them", base))
	say(climate.Normal, base)
	out := []string{strings.Join(parts, " ")}
	if moved := shift / float64(max(1, count[climate.Blended]+count[climate.Normal])); math.Abs(moved) >= 0.1 {
		out = append(out, fmt.Sprintf("The site's own days lay off the usual ones; the others were moved by %.1f C on the mean.", moved))
	}
	if dew > 0 {
		out = append(out, fmt.Sprintf("Days of which no humidity is known: %d. Their dew point is taken as the low of the day less %g C, which is too moist in dry country.", dew, p.DewBelowLowC))
	}
	out = append(out, "Hours are drawn between each day's low at dawn and high after noon (Parton and Logan 1981).")
	return out
}
