package twin

import (
	"cmp"
	"math"
	"slices"

	"wormyard/chance"
)

// Limits say when what a probe said is not believed. Values are data
// (internal/source/data/doubt.json); of limits that are all 0 nothing is doubted.
type Limits struct {
	BedLow       float64 `param:"bed_low_c" unit:"C"`           // colder no bed is
	BedHigh      float64 `param:"bed_high_c" unit:"C"`          // nor hotter
	AirLow       float64 `param:"air_low_c" unit:"C"`           // colder no air is
	AirHigh      float64 `param:"air_high_c" unit:"C"`          // nor hotter
	WaterLow     float64 `param:"water_low_frac_wet" unit:"-"`  // drier no bed is
	WaterHigh    float64 `param:"water_high_frac_wet" unit:"-"` // nor wetter
	StuckHours   float64 `param:"stuck_hours" unit:"h"`         // that a logger may say the same while the air moves
	StuckUnseen  float64 `param:"stuck_unseen_hours" unit:"h"`  // where nobody reads the air
	StuckAir     float64 `param:"stuck_air_c" unit:"C"`         // that the air must move
	StuckLeast   float64 `param:"stuck_readings" unit:"-"`      // that must be alike
	SpikeC       float64 `param:"spike_c" unit:"C"`             // of a jump
	SpikeBack    float64 `param:"spike_back_c" unit:"C"`        // to which it comes back
	SpikeHours   float64 `param:"spike_hours" unit:"h"`         // within which it does
	ApartC       float64 `param:"apart_c" unit:"C"`             // that two probes may not be apart
	AboutM       float64 `param:"about_m" unit:"m"`             // at about one depth
	AboutHours   float64 `param:"about_hours" unit:"h"`         // and hour
	CheckedC     float64 `param:"checked_c" unit:"C"`           // as near as this a third probe says which is right
	CheckedHours float64 `param:"checked_hours" unit:"h"`       // within this
	UnitDays     float64 `param:"unit_days" unit:"day"`         // within which others say what is to be expected
	UnitOff      float64 `param:"unit_off_c" unit:"C"`          // farther off it may be of the other scale
	UnitFits     float64 `param:"unit_fits_c" unit:"C"`         // nearer it fits in the other scale
	UsualLow     float64 `param:"usual_low_c" unit:"C"`         // of a bed of which nothing is known
	UsualHigh    float64 `param:"usual_high_c" unit:"C"`        //
	ClockDays    float64 `param:"clock_days" unit:"day"`        // by which a whole year late may be missed
	PromptDays   float64 `param:"prompt_days" unit:"day"`       // late at most, a device that writes at once
}

// Heard is a reading with what tells whether it can be believed.
type Heard struct {
	Reading           // of a depth that nobody said, NaN
	Sure      bool    // somebody was asked about its temperature and said that it is right
	Dated     bool    // the same of its day
	LateDays  float64 // from when it is said to be of until it was written down [day]
	OtherDays float64 // the same of what else the device wrote down then, NaN where nothing [day]
}

// Cause is why a reading is not believed.
type Cause string

// The causes.
const (
	Impossible Cause = "impossible" // outside what a bed or the air can be
	WrongYear  Cause = "clock"      // of a clock that is wrong by whole years
	Stuck      Cause = "stuck"      // the same for longer than can be
	Spike      Cause = "spike"      // a jump that came back
	OtherUnit  Cause = "unit"       // it fits only in the other scale
	Apart      Cause = "apart"      // another probe says something else altogether
)

// Doubt is that a reading is not believed.
type Doubt struct {
	Of    int   // the reading
	Cause Cause // the first that holds, in the order above
	Other int   // Apart: the reading it is against, -1 otherwise
	Far   bool  // Apart: of the two it lies farther from what else was read about then

	AsC     float64 // OtherUnit: what it would be in the other scale [C]
	ExpectC float64 // OtherUnit: what was read about then [C], NaN where nothing was
}

// Doubts gives which readings of a bed are not believed, in their order, each
// once. Heard, air, the readings of the air about the bed, and days, lows and highs
// of days that somebody typed of that air or of outside, are each in the order of
// their hours. docs/model.md (P1 to P6).
func Doubts(l Limits, heard, air, days []Heard) []Doubt {
	if l == (Limits{}) {
		return nil
	}
	d := doubting{Limits: l, heard: heard, air: air, days: days, not: make([]Cause, len(heard))}
	d.impossible()
	d.clocks()
	for _, of := range d.byProbe() {
		d.stuck(of)
		d.spikes(of)
	}
	d.units()
	d.apart()
	slices.SortStableFunc(d.found, func(a, b Doubt) int { return cmp.Compare(a.Of, b.Of) })
	return d.found
}

// AirDoubts gives which readings of the air of a barn are not believed.
// docs/model.md (P1).
func AirDoubts(l Limits, air []Heard) []Doubt {
	var out []Doubt
	for i := range air {
		if t := air[i].TempC; l != (Limits{}) && (t < l.AirLow || t > l.AirHigh) {
			out = append(out, Doubt{Of: i, Cause: Impossible, Other: -1})
		}
	}
	return out
}

type doubting struct {
	Limits
	heard, air, days []Heard
	not              []Cause
	found            []Doubt
}

func (d *doubting) doubt(x Doubt) {
	if d.not[x.Of] != "" {
		return
	}
	d.not[x.Of] = x.Cause
	d.found = append(d.found, x)
}

// warm says whether a reading has a temperature that nothing speaks against yet.
func (d *doubting) warm(i int) bool { return d.not[i] == "" && !math.IsNaN(d.heard[i].TempC) }

// impossible finds what no bed can be. docs/model.md (P1).
func (d *doubting) impossible() {
	for i := range d.heard {
		r := &d.heard[i]
		if r.TempC < d.BedLow || r.TempC > d.BedHigh || r.Water < d.WaterLow || r.Water > d.WaterHigh || math.IsInf(r.TempC, 0) || r.DepthM < 0 {
			d.doubt(Doubt{Of: i, Cause: Impossible, Other: -1})
		}
	}
}

// YearOff says whether what was written down so many days late has the wrong
// year, where what else the device wrote down then was otherDays late.
// docs/model.md (P2).
func (l Limits) YearOff(lateDays, otherDays float64) bool {
	years, off := WholeYears(lateDays)
	return l.ClockDays > 0 && years != 0 && off <= l.ClockDays && math.Abs(otherDays) <= l.PromptDays
}

// WholeYears gives how many years so many days come to, to the nearest, and how far
// they are off those [day].
func WholeYears(days float64) (years int, off float64) {
	const year = 365.25
	n := math.Round(days / year)
	return int(n), math.Abs(days - n*year)
}

func (d *doubting) clocks() {
	for i := range d.heard {
		if r := &d.heard[i]; !r.Sure && !r.Dated && d.YearOff(r.LateDays, r.OtherDays) {
			d.doubt(Doubt{Of: i, Cause: WrongYear, Other: -1})
		}
	}
}

// probe is what readings of one probe have in common.
type probe struct {
	kind, id string
	deep     int // depth in centimetres
}

func (h *Heard) probe() probe {
	p := h.instrument()
	if !math.IsNaN(h.DepthM) {
		p.deep = int(math.Round(100 * h.DepthM))
	}
	return p
}

// instrument is a probe wherever it is put.
func (h *Heard) instrument() probe { return probe{kind: h.Probe, id: h.ProbeID} }

// byProbe gives the believed temperatures of each probe at each depth in order.
func (d *doubting) byProbe() [][]int {
	at := map[probe]int{}
	var out [][]int
	for i := range d.heard {
		if !d.warm(i) {
			continue
		}
		p := d.heard[i].probe()
		k, ok := at[p]
		if !ok {
			k = len(out)
			at[p], out = k, append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// stuck finds a logger that says the same for too long: all of it but the first.
// docs/model.md (P3).
func (d *doubting) stuck(of []int) {
	if d.heard[of[0]].Probe != "logger" {
		return
	}
	const same = 0.005 // no logger shows hundredths of a degree
	for from := 0; from < len(of); {
		until := from + 1
		for until < len(of) && math.Abs(d.heard[of[until]].TempC-d.heard[of[from]].TempC) < same {
			until++
		}
		a, b := d.heard[of[from]].Hour, d.heard[of[until-1]].Hour
		if hours := float64(b - a); until-from >= int(d.StuckLeast) && hours >= d.StuckHours {
			if moved, read := d.airMoved(a, b); read && moved >= d.StuckAir || !read && hours >= d.StuckUnseen {
				for _, i := range of[from+1 : until] {
					d.doubt(Doubt{Of: i, Cause: Stuck, Other: -1})
				}
			}
		}
		from = until
	}
}

// airMoved gives how far the air went up and down from one hour to another [C];
// false where it was not read often enough to say: twice a day.
func (d *doubting) airMoved(from, until int64) (float64, bool) {
	i, _ := slices.BinarySearchFunc(d.air, from, func(h Heard, hour int64) int { return cmp.Compare(h.Hour, hour) })
	low, high, n := math.Inf(1), math.Inf(-1), 0
	for ; i < len(d.air) && d.air[i].Hour <= until; i++ {
		if t := d.air[i].TempC; t >= d.AirLow && t <= d.AirHigh {
			low, high, n = math.Min(low, t), math.Max(high, t), n+1
		}
	}
	return high - low, float64(n)*12 >= float64(until-from)
}

// spikes finds jumps that came back. docs/model.md (P4).
func (d *doubting) spikes(of []int) {
	t := func(k int) float64 { return d.heard[of[k]].TempC }
	for a := 0; a+2 < len(of); a++ {
		if d.not[of[a]] != "" || math.Abs(t(a+1)-t(a)) < d.SpikeC {
			continue
		}
		up := t(a+1) > t(a)
		for b := a + 2; b < len(of) && float64(d.heard[of[b]].Hour-d.heard[of[a]].Hour) <= d.SpikeHours; b++ {
			if math.Abs(t(b)-t(a)) <= d.SpikeBack {
				for k := a + 1; k < b; k++ {
					if !d.heard[of[k]].Sure {
						d.doubt(Doubt{Of: of[k], Cause: Spike, Other: -1})
					}
				}
				break
			}
			if math.Abs(t(b)-t(a)) < d.SpikeC || t(b) > t(a) != up {
				break
			}
		}
	}
}

// InOther gives what a temperature would be had its number been of the other
// scale: a number of Fahrenheit that was meant in Celsius, and one of Celsius
// that was meant in Fahrenheit [C].
func InOther(c float64) (meantC, meantF float64) { return c*1.8 + 32, (c - 32) / 1.8 }

// Mistaken says whether a temperature fits what is to be expected, low to high,
// only in the other scale, and what it would be then [C]. docs/model.md (P5).
func (l Limits) Mistaken(c, low, high float64) (float64, bool) {
	if !(low <= high) || l.UnitOff == 0 || math.Abs(c-(low+high)/2) < l.UnitOff || c >= low-l.UnitFits && c <= high+l.UnitFits {
		return 0, false
	}
	a, b := InOther(c)
	for _, as := range [...]float64{a, b} {
		if as >= low-l.UnitFits && as <= high+l.UnitFits {
			return as, true
		}
	}
	return 0, false
}

// Usual gives what is to be expected of a bed of which nothing else is known, as
// the range that Mistaken takes: what beds are, and as cold and as warm as the air
// about it was [C]. docs/model.md (P5).
func (l Limits) Usual(air ...float64) (low, high float64) {
	low, high = l.UsualLow+l.UnitOff, l.UsualHigh-l.UnitOff
	for _, t := range air {
		if t >= l.AirLow && t <= l.AirHigh {
			low, high = math.Min(low, t), math.Max(high, t)
		}
	}
	return low, high
}

// units finds what fits only in the other scale. docs/model.md (P5).
func (d *doubting) units() {
	var found []Doubt
	for i := range d.heard {
		c := d.heard[i].TempC
		if !d.warm(i) || d.heard[i].Sure || !d.maybeOther(c) {
			continue
		}
		near := d.about(i, d.UnitDays*24)
		as, is := d.Mistaken(c, near.mid, near.mid)
		if few := near.own < fewOwn; !near.others && (few || !is) {
			// What beds are decides, and the air; against a thermometer that always says
			// so only where the air was read. Of heat it is better to be warned for
			// nothing.
			if near.sure || !(c < d.UsualLow) {
				continue
			}
			air := d.airAbout(d.heard[i].Hour)
			if !few && len(air) == 0 {
				continue
			}
			if !is {
				near.mid = math.NaN()
			}
			low, high := d.Usual(air...)
			as, is = d.Mistaken(c, low, high)
		}
		if is {
			found = append(found, Doubt{Of: i, Cause: OtherUnit, Other: -1, AsC: as, ExpectC: near.mid})
		}
	}
	for _, x := range found { // once all are known, so that their order tells nothing
		d.doubt(x)
	}
}

// airAbout gives what was read and typed of the air within unit_days [C].
func (d *doubting) airAbout(hour int64) (out []float64) {
	within := int64(d.UnitDays * 24)
	for _, of := range [...][]Heard{d.air, d.days} {
		i, _ := slices.BinarySearchFunc(of, hour-within, func(h Heard, hour int64) int { return cmp.Compare(h.Hour, hour) })
		for ; i < len(of) && of[i].Hour <= hour+within; i++ {
			if !math.IsNaN(of[i].TempC) {
				out = append(out, of[i].TempC)
			}
		}
	}
	return out
}

// maybeOther says whether a temperature would be one of a living bed in the
// other scale.
func (d *doubting) maybeOther(c float64) bool {
	a, b := InOther(c)
	return a >= d.UsualLow && a <= d.UsualHigh || b >= d.UsualLow && b <= d.UsualHigh
}

// Bounds on work where probes speak by the minute.
const (
	nearest    = 24  // readings on each side that say what was to be expected
	mostPairs  = 4   // readings that one is set against
	mostBeside = 300 // on each side among which a third probe is looked for
)

// fewOwn is how many other readings of a probe say by themselves what was to be
// expected.
const fewOwn = 3

// nearby is what was read about the time of a reading.
type nearby struct {
	mid    float64 // the middle [C], NaN where nothing was read
	others bool    // by other instruments; else by its own
	own    int     // how many by its own
	sure   bool    // somebody was asked about one of its own that says about the same, and said that it is right
}

// about gives the middle of the other readings about one's time: of other
// instruments where there are any, else of its own.
func (d *doubting) about(i int, within float64) nearby {
	var others, own []float64
	me := d.heard[i].instrument()
	near := nearby{mid: math.NaN()}
	take := func(k int) bool {
		if math.Abs(float64(d.heard[k].Hour-d.heard[i].Hour)) > within {
			return false
		}
		if d.warm(k) {
			if d.heard[k].instrument() == me {
				own = append(own, d.heard[k].TempC)
				near.sure = near.sure || d.heard[k].Sure && math.Abs(d.heard[k].TempC-d.heard[i].TempC) <= d.UnitFits
			} else {
				others = append(others, d.heard[k].TempC)
			}
		}
		return true
	}
	for k := i - 1; k >= max(0, i-nearest) && take(k); k-- {
	}
	for k := i + 1; k < min(len(d.heard), i+1+nearest) && take(k); k++ {
	}
	near.own, near.others = len(own), len(others) > 0
	switch {
	case near.others:
		near.mid = chance.Median(others)
	case near.own > 0:
		near.mid = chance.Median(own)
	}
	return near
}

// apart finds two probes that cannot both be right. Neither is believed unless
// somebody was asked about one of them, or a third probe says about the same.
// docs/model.md (P6).
func (d *doubting) apart() {
	type pair struct{ a, b int }
	var pairs []pair
	for i := range d.heard {
		if !d.warm(i) {
			continue
		}
		for k, n := i+1, 0; k < len(d.heard) && n < mostPairs && float64(d.heard[k].Hour-d.heard[i].Hour) <= d.AboutHours; k++ {
			a, b := &d.heard[i], &d.heard[k]
			if d.warm(k) && a.instrument() != b.instrument() && math.Abs(a.DepthM-b.DepthM) <= d.AboutM && math.Abs(a.TempC-b.TempC) >= d.ApartC {
				pairs = append(pairs, pair{i, k})
				n++
			}
		}
	}
	right := make([][2]bool, len(pairs))
	far := make([]int, len(pairs))
	for n, p := range pairs { // before any is doubted, so that their order tells nothing
		right[n] = [2]bool{d.checked(p.a, p.b), d.checked(p.b, p.a)}
		far[n] = -1
		if mid, ok := d.beside(p.a, p.b); ok {
			if far[n] = p.a; math.Abs(d.heard[p.b].TempC-mid) > math.Abs(d.heard[p.a].TempC-mid) {
				far[n] = p.b
			}
		}
	}
	for n, p := range pairs {
		if !right[n][0] {
			d.doubt(Doubt{Of: p.a, Cause: Apart, Other: p.b, Far: far[n] == p.a})
		}
		if !right[n][1] {
			d.doubt(Doubt{Of: p.b, Cause: Apart, Other: p.a, Far: far[n] == p.b})
		}
	}
}

// checked says whether somebody said that a reading is right, or a third probe
// about its depth says the same soon before or after.
func (d *doubting) checked(i, against int) bool {
	a := &d.heard[i]
	if a.Sure {
		return true
	}
	for _, step := range [...]int{-1, 1} {
		for k := i + step; k >= 0 && k < len(d.heard) && (k-i)*step <= mostBeside && math.Abs(float64(d.heard[k].Hour-a.Hour)) <= d.CheckedHours; k += step {
			b := &d.heard[k]
			if d.warm(k) && b.instrument() != a.instrument() && b.instrument() != d.heard[against].instrument() &&
				math.Abs(b.DepthM-a.DepthM) <= d.AboutM && math.Abs(b.TempC-a.TempC) <= d.CheckedC {
				return true
			}
		}
	}
	return false
}

// beside gives the middle of what the other probes said about the time of two
// that disagree; where there are none, of what both said before; false where
// nothing tells.
func (d *doubting) beside(i, k int) (float64, bool) {
	var others, before []float64
	within := d.UnitDays * 24
	for _, step := range [...]int{-1, 1} {
		for n, seen := i+step, 0; n >= 0 && n < len(d.heard) && seen < nearest && math.Abs(float64(d.heard[n].Hour-d.heard[i].Hour)) <= within; n += step {
			if !d.warm(n) || n == k {
				continue
			}
			seen++
			switch in := d.heard[n].instrument(); {
			case in != d.heard[i].instrument() && in != d.heard[k].instrument():
				others = append(others, d.heard[n].TempC)
			case d.heard[n].Hour < d.heard[i].Hour:
				before = append(before, d.heard[n].TempC)
			}
		}
	}
	if len(others) > 0 {
		return chance.Median(others), true
	}
	if len(before) > 0 {
		return chance.Median(before), true
	}
	return 0, false
}
