package app

import (
	"fmt"
	"math"
	"time"

	"wormyard/climate"
	"wormyard/farm"
	"wormyard/internal/weather"
)

// Air is the air of a stretch of time, outside and in every barn by level.
type Air struct {
	From, To int64 // hours since 1970-01-01T00Z
	Outside  weather.Answer
	Notes    []string // what was assumed, in words

	barns map[string][]climate.Series // by level, from 1
}

// mostLevels is how high stacks are reckoned with.
const mostLevels = 6

// At gives the air around a bin at a place; a bin off the rows, or in a barn
// nobody described, gets that of the first level.
func (a *Air) At(barn string, level int) climate.Series {
	levels, ok := a.barns[barn]
	if !ok {
		return a.Outside.Air
	}
	return levels[min(max(level, 1), len(levels))-1]
}

// Site is where the weather comes from beyond the journal: the demo's record
// moved on by whole fourfold years, or nothing.
type Site struct {
	ShiftYears int
	Own        []climate.Day
}

// air follows the outside air and that of the barns from one hour to another.
// What was typed, the record and the normals serve as weather.Site says; each
// barn is a heat balance of its walls, its leaks and its bins.
func (t *Twins) air(s *farm.State, from, to int64, now time.Time) (*Air, error) {
	site := weather.Site{Source: s.Settings.Site.Source, ShiftYears: t.Site.ShiftYears, Own: t.Site.Own}
	zone := s.Zone()
	_, offset := now.In(zone).Zone()
	site.Place = weather.SeattlePlace
	site.Place.ClockH = int64(offset / 3600)
	if site.Source == weather.SeattleDaily {
		y, m, d := now.In(zone).Date()
		site.RecordUntil = climate.DayNumber(y, int(m), d)
	}
	for i := range s.Settings.Site.MonthLow {
		site.MonthLowC = append(site.MonthLowC, float64(s.Settings.Site.MonthLow[i]))
	}
	for i := range s.Settings.Site.MonthHigh {
		site.MonthHighC = append(site.MonthHighC, float64(s.Settings.Site.MonthHigh[i]))
	}
	for _, w := range s.Weather() {
		if d, ok := typedDay(w); ok && (w.Place == "" || w.Place == "outside") {
			site.Typed = append(site.Typed, d)
		}
	}
	outside, err := site.Air(&t.numbers.Climate, from, to)
	if err != nil {
		return nil, err
	}
	a := &Air{From: from, To: to, Outside: outside, Notes: outside.Notes, barns: map[string][]climate.Series{}}
	living := map[string]int{}
	for _, b := range s.Living() {
		living[b.Slot.Barn]++
	}
	for _, b := range s.Barns() {
		house, notes := barnOf(b, living[b.Name], t.params.BarnBinM3)
		a.Notes = append(a.Notes, notes...)
		w := float64(living[b.Name]) * t.params.BinHeatW
		water := float64(living[b.Name]) * t.params.BinWaterKgDay / 86400
		inside, _ := house.Air(&t.numbers.Climate, outside.Air, func(int64, climate.Hour) (float64, float64) { return w, water })
		for level := 1; level <= mostLevels; level++ {
			hours := make([]climate.Hour, len(inside.Hours))
			for i, h := range inside.Hours {
				hours[i] = climate.AtLevel(&t.numbers.Climate, h, level)
			}
			a.barns[b.Name] = append(a.barns[b.Name], climate.Series{Start: inside.Start, Hours: hours})
		}
	}
	return a, nil
}

func typedDay(w farm.Weather) (climate.Day, bool) {
	day, err := time.Parse(time.DateOnly, w.Day)
	if err != nil || w.Low == nil && w.High == nil {
		return climate.Day{}, false
	}
	d := climate.Day{Day: day.Unix() / 86400, LowC: math.NaN(), HighC: math.NaN(), DewC: math.NaN(), RainMM: math.NaN(), Origin: climate.Typed}
	if w.Outlook {
		d.Origin = climate.Outlook
	}
	if w.Low != nil {
		d.LowC = float64(*w.Low)
	}
	if w.High != nil {
		d.HighC = float64(*w.High)
	}
	if w.RainMM != nil {
		d.RainMM = *w.RainMM
	}
	return d, true
}

// The usual barn where nobody described one: walls of half-inch boards, a sheet
// metal roof, an open-edged slab and two changes of air an hour (case 8a of the
// reference building).
const (
	usualWallU, usualRoofU, usualSlab, usualChanges, usualHeight = 3.9, 7.3, 1.2, 2.0, 3.6
)

// barnOf gives the heat balance of a barn from what the owner said. What was not
// said is a usual barn with room for its bins, and is told.
func barnOf(b *farm.Barn, bins int, binM3 float64) (climate.Barn, []string) {
	s := b.Setup
	var notes []string
	house := climate.Barn{SlabWMK: s.SlabWMK, PerimeterM: s.PerimeterM, VolumeM3: s.VolumeM3, AirChanges: s.AirChanges, HeaterW: s.HeaterW}
	height := s.HeightM
	if height <= 0 {
		height = usualHeight
	}
	length, width := s.LengthM, s.WidthM
	if length <= 0 || width <= 0 {
		floor := house.VolumeM3 / height
		if floor <= 0 {
			floor = math.Max(40, float64(bins)*binM3/height)
		}
		width = math.Sqrt(floor / 2)
		length = 2 * width
		notes = append(notes, fmt.Sprintf("Nobody measured %s: a floor of %.0f by %.0f m is assumed.", b.Name, length, width))
	}
	if house.VolumeM3 <= 0 {
		house.VolumeM3 = length * width * height
	}
	if house.PerimeterM <= 0 {
		house.PerimeterM = 2 * (length + width)
	}
	if house.SlabWMK <= 0 {
		house.SlabWMK = usualSlab
	}
	if house.AirChanges <= 0 {
		house.AirChanges = usualChanges
	}
	for _, p := range s.Parts {
		house.Parts = append(house.Parts, climate.Part{U: p.UWM2K, Area: p.AreaM})
	}
	if len(house.Parts) == 0 {
		house.Parts = []climate.Part{{U: usualWallU, Area: house.PerimeterM * height}, {U: usualRoofU, Area: length * width}}
		notes = append(notes, fmt.Sprintf("%s is taken as a bare shed of boards and sheet metal.", b.Name))
	}
	if s.SetC != nil {
		house.HeaterSetC = *s.SetC
	}
	for _, h := range b.Heat { // the last word on the heater counts
		if h.Watts > 0 {
			house.HeaterW = float64(h.Watts)
		}
		if h.SetC != nil {
			house.HeaterSetC = float64(*h.SetC)
		}
		if !h.On {
			house.HeaterW = 0
		}
	}
	return house, notes
}

// dayNumber gives the day of a time in its zone, since 1970-01-01.
func dayNumber(t time.Time) int64 {
	y, m, d := t.Date()
	return climate.DayNumber(y, int(m), d)
}
