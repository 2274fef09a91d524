package climate

import (
	"math"
	"slices"
)

// Origin says where a day's air comes from.
type Origin string

// The origins, from the best known to the least.
const (
	Measured Origin = "measured" // the site's own record
	Typed    Origin = "typed"    // a low and high typed by hand
	Outlook  Origin = "outlook"  // a forecast, typed or imported
	Blended  Origin = "blended"  // between typed days and the normals
	Normal   Origin = "normal"   // what the day is in a usual year
)

// Day is the air of one day at a place. Missing values are NaN.
type Day struct {
	Day    int64   // days since 1970-01-01
	LowC   float64 // [C]
	HighC  float64 // [C]
	DewC   float64 // dew point [C]; NaN when not measured, then taken from the low
	RainMM float64 // [mm]
	Origin Origin
	Offset float64 // typed days around it moved its normals by this [C]
}

// DayOf gives the day of an hour, both counted since 1970-01-01T00Z.
func DayOf(hour int64) int64 {
	if hour < 0 {
		return -((-hour + 23) / 24)
	}
	return hour / 24
}

// DewPointOf gives the dew point of a day: the measured one, else the low less
// what the site's air stays below it. In a wet climate the night cools the air
// to its dew point and no further; in dry air the true dew point lies lower and
// the humidity is taken too high. model.md (C9)
func (d Day) DewPointOf(p *Parameters) float64 {
	if !math.IsNaN(d.DewC) {
		return min(d.DewC, d.HighC)
	}
	return d.LowC - p.DewBelowLowC
}

// Spread gives how far a day's temperatures may lie from what is taken [C, one
// standard deviation], for a day as many days ahead of today as said.
func (o Origin) Spread(p *Parameters, daysAhead float64) float64 {
	switch o {
	case Measured, Typed:
		return p.TypedSDC
	case Outlook:
		return min(p.NormalSDC, p.OutlookSDC*(1+max(0, daysAhead)/3))
	case Blended:
		return (p.TypedSDC + p.NormalSDC) / 2
	}
	return p.NormalSDC
}

// Place is where the sun is looked for, and the clock that its days are kept
// by.
type Place struct {
	LatitudeDeg float64 // north positive
	SolarNoonH  float64 // clock time of solar noon [h]; 12 in solar time
	ClockH      int64   // standard time less universal time [h]; -8 on the Pacific coast
}

// DayLength gives the hours between sunrise and sunset for a day of the year
// from 1; 0 and 24 beyond the polar circles. Declination by Cooper 1969.
// model.md (C10)
func DayLength(latitudeDeg float64, yearDay int) float64 {
	decl := 23.45 * math.Pi / 180 * math.Sin(2*math.Pi*(284+float64(yearDay))/365)
	x := -math.Tan(latitudeDeg*math.Pi/180) * math.Tan(decl)
	return 24 / math.Pi * math.Acos(max(-1, min(1, x)))
}

// yearDay gives the day of the year from 1, of days since 1970-01-01, by
// Hinnant's civil calendar counted from March.
func yearDay(day int64) int {
	y, _, _ := Civil(day)
	return int(day-DayNumber(y, 1, 1)) + 1
}

// DayNumber gives days since 1970-01-01 in the Gregorian calendar.
func DayNumber(year, month, day int) int64 {
	y := int64(year)
	if month <= 2 {
		y--
	}
	era := floorDiv(y, 400)
	yoe := y - era*400
	m := int64(month)
	if m > 2 {
		m -= 3
	} else {
		m += 9
	}
	doy := (153*m+2)/5 + int64(day) - 1
	return era*146097 + yoe*365 + yoe/4 - yoe/100 + doy - 719468
}

// Civil gives the date of days since 1970-01-01 in the Gregorian calendar.
func Civil(number int64) (year, month, day int) {
	z := number + 719468
	era := floorDiv(z, 146097)
	doe := z - era*146097
	yoe := (doe - doe/1460 + doe/36524 - doe/146096) / 365
	doy := doe - (365*yoe + yoe/4 - yoe/100)
	mp := (5*doy + 2) / 153
	d := doy - (153*mp+2)/5 + 1
	m := mp + 3
	y := yoe + era*400
	if m > 12 {
		m -= 12
		y++
	}
	return int(y), int(m), int(d)
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// Hourly draws the hours of consecutive days from their lows and highs: a sine
// from sunrise to sunset, an exponential fall through the night, after Parton
// and Logan 1981, so that every day's low is met at dawn and its high after
// noon. A day runs from midnight to midnight of the place's standard time. Humidity follows from the dew point, which goes in a straight line from
// noon to noon. The days must be in order without gaps.
// model.md (C11)
func Hourly(p *Parameters, at Place, days []Day) Series {
	if len(days) == 0 {
		return Series{}
	}
	s := Series{Start: days[0].Day*24 - at.ClockH, Hours: make([]Hour, 24*len(days))}
	for i := range s.Hours {
		t := drawn(p, at, days, i)
		s.Hours[i] = Hour{TempC: t, RH: humidity(t, dewAt(p, days, i))}
	}
	return s
}

func humidity(t, dew float64) float64 {
	return max(0.05, min(1, SaturationPa(dew)/SaturationPa(t)))
}

// dewAt goes straight between the dew points at noon of neighbouring days.
func dewAt(p *Parameters, days []Day, i int) float64 {
	d := i / 24
	x := (float64(i%24) - 12) / 24
	other := d + 1
	if x < 0 {
		other, x = d-1, -x
	}
	here := days[d].DewPointOf(p)
	if other < 0 || other >= len(days) {
		return here
	}
	return here + x*(days[other].DewPointOf(p)-here)
}

func drawn(p *Parameters, at Place, days []Day, i int) float64 {
	d, h := i/24, float64(i%24)
	today := arc(p, at, days, d)
	switch {
	case h < today.dawn:
		y := arc(p, at, days, d-1)
		return night(p, y.set, y.dusk-24, today.low, today.dawn, h)
	case h <= today.dusk:
		return today.at(h)
	}
	next := arc(p, at, days, d+1)
	return night(p, today.set, today.dusk, next.low, next.dawn+24, h)
}

// shape is one day's arc from dawn to dusk.
type shape struct {
	dawn, dusk, low, high, width, set float64
}

func (s shape) at(h float64) float64 {
	return s.low + (s.high-s.low)*math.Sin(math.Pi*(h-s.dawn)/s.width)
}

func arc(p *Parameters, at Place, days []Day, d int) shape {
	day := days[max(0, min(d, len(days)-1))]
	length := max(4, min(20, DayLength(at.LatitudeDeg, yearDay(day.Day))))
	s := shape{
		dawn: at.SolarNoonH - length/2 + p.DailyLowHour,
		dusk: at.SolarNoonH + length/2,
		low:  day.LowC, high: day.HighC,
		width: length - p.DailyLowHour + 2*p.DailyHighHour,
	}
	s.set = s.at(s.dusk)
	return s
}

// night falls from what dusk left to the low of the next dawn, exactly.
func night(p *Parameters, set, dusk, low, dawn, h float64) float64 {
	x := (h - dusk) / (dawn - dusk)
	end := math.Exp(-p.NightFall)
	return low + (set-low)*(math.Exp(-p.NightFall*x)-end)/(1-end)
}

// Monthly gives 365 or 366 days of a usual year from twelve monthly mean lows
// and highs: straight between the middles of the months, lifted so that each
// month keeps its mean within a hundredth of a degree.
// model.md (C12)
func Monthly(lows, highs [12]float64, from, to int64) []Day {
	low, high := lifted(lows), lifted(highs)
	var out []Day
	for d := from; d < to; d++ {
		out = append(out, Day{Day: d, LowC: between(low, d), HighC: max(between(low, d), between(high, d)), DewC: math.NaN(), RainMM: math.NaN(), Origin: Normal})
	}
	return out
}

var monthDays = [12]int64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// lifted moves the knots until the months' means are those asked for.
func lifted(want [12]float64) [12]float64 {
	knots := want
	for range 40 {
		for m := range knots {
			first := DayNumber(2001, m+1, 1)
			n := monthDays[m]
			sum := 0.0
			for d := first; d < first+n; d++ {
				sum += between(knots, d)
			}
			knots[m] += want[m] - sum/float64(n)
		}
	}
	return knots
}

// between goes straight from the middle of one month to that of the next.
func between(knots [12]float64, day int64) float64 {
	y, m, _ := Civil(day)
	mid := func(y, m int) float64 {
		y, m = y+(m+11)/12-1, (m+11)%12+1
		ny, nm := y, m+1
		if nm == 13 {
			ny, nm = y+1, 1
		}
		return float64(DayNumber(y, m, 1)+DayNumber(ny, nm, 1)-1) / 2
	}
	x := float64(day)
	if x < mid(y, m) {
		m--
	}
	a, b := mid(y, m), mid(y, m+1)
	f := (x - a) / (b - a)
	return knots[(m+11)%12]*(1-f) + knots[m%12]*f
}

// Warning is weather that wants an act.
type Warning struct {
	Day    int64
	Kind   string // "frost", "hard frost", "heat"
	TempC  float64
	Origin Origin
}

// Warnings gives the frost and heat in days, as they come.
// model.md (C13)
func Warnings(p *Parameters, days []Day) []Warning {
	var out []Warning
	for _, d := range days {
		switch {
		case d.LowC <= p.HardFrostC:
			out = append(out, Warning{d.Day, "hard frost", d.LowC, d.Origin})
		case d.LowC <= p.FrostC:
			out = append(out, Warning{d.Day, "frost", d.LowC, d.Origin})
		}
		if d.HighC >= p.HeatC {
			out = append(out, Warning{d.Day, "heat", d.HighC, d.Origin})
		}
	}
	return out
}

// Blend lays a site's own days over the normals of a record. A day that the
// site has is taken as it is. A day between or after them is the normal, moved
// by how far the site's days around it lay from their normals, each weighing
// exp(-days apart/BlendDays) and pulled to nothing where none is near: a site's
// standing difference from the record is learned over its days and kept. What
// becomes known later never moves a day that lies further back than days are near,
// once a few days are known: what was reckoned with the air then stands.
// Own days may lack a low or a high (NaN), and then take the other's shift.
// Both lists must be in order; normals without gaps. model.md (C14)
func Blend(p *Parameters, normals, own []Day) []Day {
	out := slices.Clone(normals)
	if len(out) == 0 {
		return out
	}
	first := out[0].Day
	type shift struct {
		day       int64
		low, high float64
	}
	var shifts []shift
	stands := []shift{{}} // sums over the first days that were read
	taken := map[int64]Day{}
	for _, o := range own {
		i := o.Day - first
		if i < 0 || i >= int64(len(normals)) {
			continue
		}
		base := normals[i]
		low, high := o.LowC-base.LowC, o.HighC-base.HighC
		if math.IsNaN(low) {
			low = high
		}
		if math.IsNaN(high) {
			high = low
		}
		if math.IsNaN(low) {
			continue
		}
		o.LowC, o.HighC = base.LowC+low, max(base.LowC+low, base.HighC+high)
		taken[o.Day] = o
		if o.Origin != Outlook {
			sum := stands[len(stands)-1]
			stands = append(stands, shift{o.Day, sum.low + low, sum.high + high})
		}
		shifts = append(shifts, shift{o.Day, low, high})
	}
	// Days after which half of a standing difference is believed: the square of
	// a day's spread (2.8 C) over that of sites about their record (about 2 C),
	// times the seven days that near days are worth as one.
	const unsure = 14
	const near = 0.02 // the least weight that counts
	reach := int64(-math.Log(near) * p.BlendDays)
	known := 0
	for i := range out {
		d := &out[i]
		if o, ok := taken[d.Day]; ok {
			out[i] = o
			continue
		}
		for known+1 < len(stands) && (known < unsure || stands[known+1].day <= d.Day+reach) {
			known++
		}
		n := float64(known)
		standLow, standHigh := stands[known].low/(n+unsure), stands[known].high/(n+unsure)
		var low, high, weight float64
		for _, s := range shifts {
			w := math.Exp(-math.Abs(float64(d.Day-s.day)) / p.BlendDays)
			if w < near {
				continue
			}
			low, high, weight = low+w*(s.low-standLow), high+w*(s.high-standHigh), weight+w
		}
		// One day far off pulls little; many near ones pull all the way.
		pull := 1 / (1 + weight)
		low, high = standLow+low*pull, standHigh+high*pull
		if low == 0 && high == 0 {
			continue
		}
		d.LowC += low
		d.HighC = max(d.LowC, d.HighC+high)
		d.DewC += low
		d.Offset = (low + high) / 2
		if weight > near {
			d.Origin = Blended
		}
	}
	return out
}
