package app

import (
	"fmt"
	"math"
	"time"

	"wormyard/climate"
	"wormyard/internal/weather"
	"wormyard/qty"
)

// place makes the hourly air, by the clock of the place.
func (b *bedder) place() {
	i := b.in.Place
	given := 0
	for _, g := range []bool{i.Air != nil, len(i.Series) > 0, i.Weather != ""} {
		if g {
			given++
		}
	}
	if given == 0 && b.amiss("place.") {
		return // what was given could not be read, and that is told
	}
	if given != 1 {
		b.tell("place", "The air around the bin must be told in one way.", `Give one of "air":{"temp_c":15,"rh_frac":0.8}, "series":[...] or "weather":"seattle-daily".`)
		return
	}
	hours := min(max(b.in.Days, 1), 3660) * 24
	switch {
	case i.Air != nil:
		rh := usualRH
		if i.Air.RH != nil {
			rh = *i.Air.RH
		} else {
			b.notes = append(b.notes, fmt.Sprintf("The humidity was not told; %g %% is taken.", 100*usualRH))
		}
		b.air = climate.Steady(b.from, hours, climate.Hour{TempC: i.Air.TempC, RH: rh})
	case len(i.Series) > 0:
		b.series(hours)
	default:
		b.weather(hours)
	}
	if i.Barn == nil || len(b.air.Hours) == 0 {
		return
	}
	barn := climate.Barn{VolumeM3: i.Barn.VolumeM3, AirChanges: i.Barn.AirChanges, HeaterW: i.Barn.HeaterW, HeaterSetC: i.Barn.HeaterSetC}
	for _, p := range i.Barn.Parts {
		barn.Parts = append(barn.Parts, climate.Part{U: p.U, Area: p.AreaM2})
	}
	if s := i.Barn.Slab; s != nil {
		barn.SlabWMK, barn.PerimeterM = s.WMK, s.PerimeterM
	}
	heat := i.Barn.Bins * i.Barn.HeatPerBin
	b.air, _ = barn.Air(&b.numbers.Climate, b.air, func(int64, climate.Hour) (float64, float64) { return heat, 0 })
	b.notes = append(b.notes, "The bin stands in the barn told; the air given is that outside it.")
	if i.Barn.InsideC != nil || i.Barn.OutsideC != nil {
		b.notes = append(b.notes, "inside_c and outside_c of the barn are not used: outside is the air of the place, inside is what the run finds.")
	}
}

// usualRH is the humidity of a barn that tells none. Common practice, no source.
const usualRH = 0.75

func (b *bedder) series(hours int) {
	type point struct {
		hour  float64
		temp  float64
		rh    float64
		moist bool
	}
	var points []point
	dry := false
	for k, s := range b.in.Place.Series {
		field := fmt.Sprintf("place.series[%d]", k)
		p := point{temp: s.TempC}
		switch {
		case s.At != "" && s.Day != nil:
			b.tell(field, "The time is given twice.", "Give one of at and day.")
			continue
		case s.Day != nil:
			p.hour = *s.Day * 24
		default:
			at, err := time.Parse(time.RFC3339, s.At)
			if err != nil {
				if at, err = time.Parse("2006-01-02", s.At); err != nil {
					b.tell(field+".at", fmt.Sprintf("%q is not a time.", s.At), `Write it as 2013-03-01T06:00:00Z, or give "day".`)
					continue
				}
			}
			p.hour = at.Sub(time.Unix(b.from*3600, 0)).Hours()
		}
		if len(points) > 0 && p.hour <= points[len(points)-1].hour {
			b.tell(field, "This time is not after the one before it.", "Put the series in order of time.")
			continue
		}
		if s.RH != nil {
			p.rh, p.moist = *s.RH, true
		} else {
			dry = true
		}
		points = append(points, p)
	}
	if len(points) == 0 {
		return
	}
	b.patchy(len(points), func(k int) float64 { return points[k].hour }, float64(hours))
	out := climate.Series{Start: b.from, Hours: make([]climate.Hour, hours)}
	k := 0
	for h := range out.Hours {
		at := float64(h) + 0.5
		for k+1 < len(points) && points[k+1].hour <= at {
			k++
		}
		p := points[k]
		out.Hours[h] = climate.Hour{TempC: p.temp, RH: p.rh}
		if k+1 < len(points) && at > p.hour {
			q := points[k+1]
			x := (at - p.hour) / (q.hour - p.hour)
			out.Hours[h] = climate.Hour{TempC: p.temp + x*(q.temp-p.temp), RH: p.rh + x*(q.rh-p.rh)}
		}
	}
	if dry { // the dew point of each day from its low
		c := &b.numbers.Climate
		for d := 0; d < hours; d += 24 {
			low := math.Inf(1)
			for h := d; h < min(d+24, hours); h++ {
				low = math.Min(low, out.Hours[h].TempC)
			}
			dew := climate.Day{LowC: low, HighC: low, DewC: math.NaN()}.DewPointOf(c)
			for h := d; h < min(d+24, hours); h++ {
				out.Hours[h].RH = math.Min(1, climate.SaturationPa(dew)/climate.SaturationPa(out.Hours[h].TempC))
			}
		}
		b.notes = append(b.notes, "Humidity is not told everywhere, so each day's dew point is taken from its low.")
	}
	b.air = out
}

// patchyDays is from how many days without air on that it is said.
const patchyDays = 2

// patchy says where n points at hours from the start leave days of a run without air.
func (b *bedder) patchy(n int, at func(k int) float64, hours float64) {
	day := func(hour float64) string { return qty.Figures(math.Round(hour/2.4) / 10) }
	if first := at(0); first > patchyDays*24 {
		b.notes = append(b.notes, fmt.Sprintf("The series begins on day %s; before it the air is taken as it was then.", day(first)))
	}
	longest, from := 0.0, 0.0
	for k := 1; k < n; k++ {
		if gap := math.Min(at(k), hours) - math.Max(at(k-1), 0); gap > longest {
			longest, from = gap, math.Max(at(k-1), 0)
		}
	}
	if longest > patchyDays*24 {
		b.notes = append(b.notes, fmt.Sprintf("The series tells nothing of the air from day %s to day %s (its longest gap); a straight line is taken.", day(from), day(from+longest)))
	}
	if last := at(n - 1); hours-last > patchyDays*24 {
		b.notes = append(b.notes, fmt.Sprintf("The series ends on day %s of %s; after it the air is taken as it was then.", day(math.Max(last, 0)), day(hours)))
	}
}

func (b *bedder) weather(hours int) {
	site := weather.Site{Source: ""}
	if b.in.Place.Weather == "seattle-daily" {
		site.Source = weather.SeattleDaily
		site.ShiftYears = weather.Years(b.from / 24)
	}
	clock := weather.SeattlePlace.ClockH
	answer, err := site.Air(&b.numbers.Climate, b.from-clock, b.from-clock+int64(hours))
	if err != nil {
		b.tell("place.weather", err.Error(), "Choose another start, or give the air as a series.")
		return
	}
	b.air = answer.Air.Shift(clock)
	b.notes = append(b.notes, answer.Notes...)
	b.notes = append(b.notes, "The record has no humidity, so the dew point of each day is taken from its low.", weather.Citation)
}

// matter turns a typed part into matter for the bin; an amount in the part wins
