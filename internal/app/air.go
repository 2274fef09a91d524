package app

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"math"
	"slices"
	"time"

	"wormyard/climate"
	"wormyard/farm"
	"wormyard/internal/weather"
	"wormyard/qty"
)

// Air is the air of a stretch of time, outside and in every barn by level.
type Air struct {
	From, To int64 // hours since 1970-01-01T00Z
	Outside  weather.Answer
	Yard     climate.Series // outside too, from as long before as the heaps lay that beds were fed from
	Notes    []string       // what serves and what was assumed of the barns, in words; more of the weather in Outside

	barns map[string][]climate.Series // by level, from 1
	read  map[string]bool             // barns whose air somebody reads
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
	Own        []climate.Day  // a record of days
	OwnHours   climate.Series // a record of hours
}

// air follows the outside air and that of the barns from one hour to another.
// What was typed, the record and the normals serve as weather.Site says; each
// barn is a heat balance of its walls, its leaks and its bins.
func (t *Twins) air(s *farm.State, from, to int64, now time.Time) (*Air, error) {
	site := weather.Site{Source: s.Settings.Site.Source, ShiftYears: t.Site.ShiftYears, Own: slices.Clone(t.Site.Own), OwnHours: t.Site.OwnHours}
	zone := s.Zone()
	site.Place = weather.SeattlePlace
	site.Place.ClockH = standardH(zone, now.Year())
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
		d, ok := typedDay(w)
		if !ok || w.Place != "" && w.Place != "outside" {
			continue
		}
		if site.Source == ownRecord && !w.Outlook { // written down day by day, it is the record
			d.Origin = climate.Measured
			site.Own = append(site.Own, d)
			continue
		}
		site.Typed = append(site.Typed, d)
	}
	yardFrom := heapsFrom(s, from)
	living := livingIn(s)
	type shed struct {
		name  string
		house climate.Barn
		bins  *lived
		glass []farm.Weather
	}
	var sheds []shed
	var notes []string
	key := sha256.New()
	fmt.Fprintf(key, "%d %d %d %+v", from, yardFrom, to, site)
	for _, b := range s.Barns() {
		house, told := barnOf(b, living[b.Name].most(), t.params.BarnBinM3, s.Settings.Units)
		notes = append(notes, told...)
		sheds = append(sheds, shed{b.Name, house, living[b.Name], b.Weather})
		fmt.Fprintf(key, "|%s %+v %+v", b.Name, house, living[b.Name])
		for _, w := range b.Weather {
			fmt.Fprintf(key, " %s %s %s", w.Day, degrees(w.Low), degrees(w.High))
		}
	}
	notes = append(notes, highUp(s.Settings.Site.AltitudeM, s.Settings.Units)...)
	name := string(key.Sum(nil))
	t.mu.Lock()
	if t.aired.air != nil && t.aired.key == name {
		defer t.mu.Unlock()
		return t.aired.air, nil
	}
	t.mu.Unlock()
	outside, err := site.Air(&t.numbers.Climate, from, to)
	if err != nil {
		return nil, err
	}
	yard, err := site.Air(&t.numbers.Climate, yardFrom, to)
	if err != nil {
		return nil, err
	}
	a := &Air{From: from, To: to, Outside: outside, Yard: yard.Air, Notes: slices.Concat(outside.Notes[:min(1, len(outside.Notes))], notes), barns: map[string][]climate.Series{}, read: map[string]bool{}}
	for _, x := range sheds {
		bins := func(hour int64, in climate.Hour) (float64, float64) {
			n := x.bins.at(hour) * t.alive(in.TempC)
			return n * t.params.BinHeatW, n * t.params.BinWaterKgDay / 86400
		}
		inside, _ := x.house.Air(&t.numbers.Climate, outside.Air, bins)
		warmer, _ := x.house.Air(&t.numbers.Climate, warmed(outside.Air, t.numbers.Climate.NormalSDC), bins)
		days := readGlass(x.glass, zone, inside)
		inside, off := t.byGlass(outside.Air, inside, warmer, days)
		a.read[x.name] = len(days) >= enoughGlass
		for level := 1; level <= mostLevels; level++ {
			hours := make([]climate.Hour, len(inside.Hours))
			for i, h := range inside.Hours {
				hours[i] = climate.AtLevel(&t.numbers.Climate, h, level)
			}
			a.barns[x.name] = append(a.barns[x.name], climate.Series{Start: inside.Start, Hours: hours, Off: off, Lasts: outside.Air.Lasts})
		}
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	t.aired = keptAir{name, a}
	return a, nil
}

// heapsFrom gives the hour from which heaps are followed: that of the oldest of
// them, but no more than heapDays before that of the air of the barns. It moves in
// steps, since what a batch is made of is reckoned anew when it does.
func heapsFrom(s *farm.State, from int64) int64 {
	first := from
	for _, p := range s.Piles() {
		first = min(first, p.Since.At.Unix()/3600)
	}
	const step = 90 * 24
	first = max(first, from-heapDays*24)
	return (first/step - 1) * step
}

// heapDays is how long before the oldest bed a heap is followed; an older one has
// long settled.
const heapDays = 400

// heaps follows what lies in heaps on the farm, as known from its state.
func (t *Twins) heaps(s *farm.State, air *Air) *farm.Heaps {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.heaped.of == nil || t.heaped.state != s || t.heaped.air != air {
		t.heaped.state, t.heaped.air = s, air
		t.heaped.of = s.Heaps(&t.numbers.Yard, t.numbers.Bed.Lying, air.Yard)
	}
	return t.heaped.of
}

// alive gives how much a bed in air of a temperature gives off against one in
// air of bin_heat_full_c and above, where the cooling by what evaporates keeps up
// with it.
func (t *Twins) alive(tempC float64) float64 {
	return math.Min(1, t.numbers.Bed.Speed(tempC)/t.numbers.Bed.Speed(t.params.BinHeatFullC))
}

// degrees prints a temperature that may be missing.
func degrees(c *qty.Celsius) string {
	if c == nil {
		return "-"
	}
	return fmt.Sprint(float64(*c))
}

// keptAir is the air worked out last, and of what: news of a bin leaves it as it is.
type keptAir struct {
	key string
	air *Air
}

// ownRecord is the site's word for lows and highs that the farm writes down
// itself, day by day.
const ownRecord = "own record"

// standardH gives the standard time of a zone less universal time [h]: the
// lesser of its offsets in a year, since clocks are put forward in summer. An
// odd half hour is dropped.
func standardH(zone *time.Location, year int) int64 {
	_, january := time.Date(year, 1, 1, 12, 0, 0, 0, zone).Zone()
	_, july := time.Date(year, 7, 1, 12, 0, 0, 0, zone).Zone()
	return int64(math.Floor(float64(min(january, july)) / 3600))
}

// lived is how many bins of a barn held a bed, from one hour to the next change.
// Bins count where they stand now.
type lived struct{ changes []change }

// change is how many there are from an hour on.
type change struct {
	hour int64
	by   int
}

// livingIn counts the beds of each barn over time.
func livingIn(s *farm.State) map[string]*lived {
	out := map[string]*lived{}
	for _, b := range s.Bins() {
		l := out[b.Slot.Barn]
		if l == nil {
			l = new(lived)
			out[b.Slot.Barn] = l
		}
		for _, p := range b.Past {
			l.changes = append(l.changes, change{p.Since.Unix() / 3600, 1}, change{p.Until.Unix() / 3600, -1})
		}
		if b.Bed != nil {
			l.changes = append(l.changes, change{b.Bed.At.Unix() / 3600, 1})
		}
	}
	for _, l := range out {
		slices.SortStableFunc(l.changes, func(a, b change) int { return cmp.Compare(a.hour, b.hour) })
		n, kept := 0, l.changes[:0]
		for _, c := range l.changes {
			n += c.by
			if k := len(kept); k > 0 && kept[k-1].hour == c.hour {
				kept[k-1].by = n
				continue
			}
			kept = append(kept, change{c.hour, n})
		}
		l.changes = kept
	}
	return out
}

// at gives the number of an hour. A journal that begins with beds found had them
// before.
func (l *lived) at(hour int64) float64 {
	if l == nil || len(l.changes) == 0 {
		return 0
	}
	i, _ := slices.BinarySearchFunc(l.changes, hour+1, func(c change, h int64) int { return cmp.Compare(c.hour, h) })
	return float64(l.changes[max(i-1, 0)].by)
}

// most gives the greatest number.
func (l *lived) most() int {
	n := 0
	if l != nil {
		for _, c := range l.changes {
			n = max(n, c.by)
		}
	}
	return n
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
func barnOf(b *farm.Barn, bins int, binM3 float64, units qty.System) (climate.Barn, []string) {
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
		size := fmt.Sprintf("%.0f × %.0f m", length, width)
		if units == qty.US {
			size = fmt.Sprintf("%.0f × %.0f ft", length/qty.MetrePerFoot, width/qty.MetrePerFoot)
		}
		notes = append(notes, fmt.Sprintf("Nobody measured barn %s: a floor of %s is assumed.", b.Name, size))
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
		notes = append(notes, fmt.Sprintf("Barn %s is taken as a bare shed of boards and sheet metal.", b.Name))
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
