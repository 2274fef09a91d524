package farm

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// Unbelieved is what one probe said of a bed, or of the air of a barn, that is not
// believed, for one cause.
type Unbelieved struct {
	Cause       twin.Cause
	Air         bool
	N           int
	First, Last *Reading
	Other       *Reading    // the last it is against, where two probes disagree
	Far         bool        // Last lies farther than Other from what else was read about then
	As, Expect  qty.Celsius // of Last: in the other scale, and what was read about then, NaN where nothing was
}

// Unbelieved gives what probes said of the bed that is in a bin and what is not
// believed of it, in the order of when it was last said. docs/model.md (P1 to P6).
func (s *State) Unbelieved(name string) []Unbelieved {
	b := s.bins[name]
	if b == nil || b.Bed == nil {
		return nil
	}
	return byProbe(b.Bed.Readings, s.doubted(b))
}

// Aired gives the readings of the air of a barn that are believed, and what is not.
// docs/model.md (P1).
func (s *State) Aired(name string) ([]*Reading, []Unbelieved) {
	b := s.barns[name]
	if b == nil {
		return nil, nil
	}
	w := late{s: s}
	doubts := twin.AirDoubts(s.limits, w.heard(b.Readings))
	not := byProbe(b.Readings, doubts)
	for i := range not {
		not[i].Air = true
	}
	return without(b.Readings, doubts), not
}

// byProbe puts doubts of readings together by probe and cause.
func byProbe(all []*Reading, doubts []twin.Doubt) []Unbelieved {
	type group struct {
		cause    twin.Cause
		kind, id string
	}
	at := map[group]*Unbelieved{}
	var order []group
	for _, d := range doubts {
		r := all[d.Of]
		g := group{d.Cause, r.Probe, r.ProbeID}
		x := at[g]
		if x == nil {
			x = &Unbelieved{Cause: d.Cause, First: r}
			at[g] = x
		}
		for i, k := range order {
			if k == g {
				order = append(order[:i], order[i+1:]...)
				break
			}
		}
		order = append(order, g)
		x.N++
		x.Last, x.Far, x.As, x.Expect = r, d.Far, qty.Celsius(d.AsC), qty.Celsius(d.ExpectC)
		if d.Other >= 0 {
			x.Other = all[d.Other]
		}
	}
	out := make([]Unbelieved, len(order))
	for i, g := range order {
		out[i] = *at[g]
	}
	return out
}

// believed gives the readings of a bed that are believed, and how many are not.
func (s *State) believed(b *Bin) ([]*Reading, int) {
	doubts := s.doubted(b)
	return without(b.Bed.Readings, doubts), len(doubts)
}

// Believed gives the readings of the bed that is in a bin that are believed, in
// their order. docs/model.md (P1 to P6).
func (s *State) Believed(name string) []*Reading {
	b := s.bins[name]
	if b == nil || b.Bed == nil {
		return nil
	}
	read, _ := s.believed(b)
	return read
}

// without leaves out the readings that are doubted, each once and in their order.
func without(all []*Reading, doubts []twin.Doubt) []*Reading {
	if len(doubts) == 0 {
		return all
	}
	out := make([]*Reading, 0, len(all))
	for i, r := range all {
		if len(doubts) > 0 && doubts[0].Of == i {
			doubts = doubts[1:]
			continue
		}
		out = append(out, r)
	}
	return out
}

func (s *State) doubted(b *Bin) []twin.Doubt {
	var air, days []twin.Heard
	w := late{s: s}
	if barn := s.barns[b.Slot.Barn]; barn != nil && len(b.Bed.Readings) > 0 {
		air = w.heard(Since(barn.Readings, b.Bed.At))
	}
	heard := w.heard(b.Bed.Readings)
	for i := range heard {
		if heard[i].TempC < s.limits.UsualLow { // only then is it asked for
			days = s.typedAir(b.Slot.Barn)
			break
		}
	}
	return twin.Doubts(s.limits, heard, air, days)
}

// typedAir gives the lows and highs that were typed of a barn and of outside, as
// of the middle of their days.
func (s *State) typedAir(barn string) (out []twin.Heard) {
	add := func(typed []Weather) {
		for i := range typed {
			w := &typed[i]
			day, err := time.ParseInLocation(time.DateOnly, w.Day, s.Zone())
			if err != nil || w.Outlook {
				continue
			}
			for _, t := range [...]*qty.Celsius{w.Low, w.High} {
				if t != nil {
					out = append(out, twin.Heard{Reading: twin.Reading{Hour: hour(day) + 12, TempC: float64(*t)}})
				}
			}
		}
	}
	add(s.site)
	if b := s.barns[barn]; b != nil {
		add(b.Weather)
	}
	slices.SortStableFunc(out, func(a, b twin.Heard) int { return cmp.Compare(a.Hour, b.Hour) })
	return out
}

// OtherScale prints a temperature as it was typed, "16 °F", and what was meant if
// it is so much in the other scale: "16 °C".
func OtherScale(c, as qty.Celsius) (typed, meant string) {
	typed, number, scale := qty.US.Temperature(c), float64(c)*1.8+32, "°C"
	if meantC, meantF := twin.InOther(float64(c)); math.Abs(float64(as)-meantC) > math.Abs(float64(as)-meantF) {
		typed, number, scale = qty.Metric.Temperature(c), float64(c), "°F"
	}
	return typed, qty.Figures(math.Round(number*10)/10) + " " + scale
}

// Meant prints what was meant in the other scale as OtherScale does, with the same
// in a reader's units beside it where those are others: "16 °C (61 °F)".
func Meant(u qty.System, meant string, as qty.Celsius) string {
	in := u.Temperature(as)
	if strings.HasSuffix(meant, "F") == strings.HasSuffix(in, "F") {
		return meant
	}
	return meant + " (" + in + ")"
}

// AirAbout gives what was read and typed of the air of a barn, and typed of that
// outside, about a time [C].
func (s *State) AirAbout(barn string, at time.Time, within time.Duration) (out []float64) {
	if b := s.barns[barn]; b != nil {
		for _, r := range Since(b.Readings, at.Add(-within)) {
			if r.At.After(at.Add(within)) {
				break
			}
			if r.Temp != nil {
				out = append(out, float64(*r.Temp))
			}
		}
	}
	near := int64(within / time.Hour)
	for _, t := range s.typedAir(barn) {
		if t.Hour >= hour(at)-near && t.Hour <= hour(at)+near {
			out = append(out, t.TempC)
		}
	}
	return out
}

// late tells how late readings were written down, beside what else their devices
// wrote down then.
type late struct {
	s    *State
	days map[late1]float64
}

type late1 struct {
	device string
	day    int64
}

const dayLong = 24 * time.Hour

func (w *late) heard(all []*Reading) []twin.Heard {
	out := make([]twin.Heard, len(all))
	for i, r := range all {
		out[i] = twin.Heard{Reading: twin.Reading{Hour: hour(r.At), DepthM: float64(or(r.Depth, qty.Metre(math.NaN()))), TempC: float64(or(r.Temp, qty.Celsius(math.NaN()))),
			Water: float64(or(r.Water, qty.WaterOfWet(math.NaN()))), Probe: r.Probe, ProbeID: r.ProbeID}, Sure: r.Sure, Dated: r.Dated, OtherDays: math.NaN()}
		e, _, found := w.s.Entry(r.Entry)
		if !found || e.Recorded.IsZero() {
			continue
		}
		out[i].LateDays = e.Recorded.Sub(e.At).Hours() / 24
		if math.Abs(out[i].LateDays) > halfYear { // only then is it asked for
			out[i].OtherDays = w.others(e)
		}
	}
	return out
}

const (
	halfYear = 180 // [day]
	offYear  = 30  // from the whole years that a wrong clock is off, what is of another time [day]
)

// others gives the least that anything else was late which the device of an entry
// wrote down on the same day, in size; NaN where it wrote nothing else, and where it
// wrote down things of all times, as who copies a journal does.
func (w *late) others(e *journal.Entry) float64 {
	k := late1{e.Device, e.Recorded.Unix() / 86400}
	if days, known := w.days[k]; known {
		return days
	}
	least := math.NaN()
	for _, x := range w.s.Journal() {
		if x.Device == e.Device && x.Recorded.Sub(e.Recorded).Abs() <= dayLong {
			days := math.Abs(x.Recorded.Sub(x.At).Hours() / 24)
			if _, off := twin.WholeYears(days); off > offYear {
				least = math.NaN()
				break
			}
			if days < halfYear && !(days > least) {
				least = days
			}
		}
	}
	if w.days == nil {
		w.days = map[late1]float64{}
	}
	w.days[k] = least
	return least
}

// leftOut says that readings are not believed; empty where none are.
func leftOut(n int) string {
	switch n {
	case 0:
		return ""
	case 1:
		return "One reading of a probe cannot be believed, so the twin runs as if it had not been taken."
	}
	return fmt.Sprintf("%d readings of probes cannot be believed, so the twin runs as if they had not been taken.", n)
}
