package draw

import (
	"math"
	"slices"
	"strconv"
)

// Series is a quantity over time: what was, then what is likely, with range.
// Time is in days from the start of the drawing.
type Series struct {
	Days                      []float64
	Low, LowMid, Mid, HighMid []float64 // LowMid and HighMid may be nil
	High                      []float64
	From                      float64 // the time axis begins here when it is before the first day
	Today                     float64 // where the forecast begins
	Readings                  []TimeReading
	Events                    []TimeEvent
	Limits                    []ValueLimit
	Marks                     []TimeMark
	Unit                      string
	TodayLabel                string
	Least, Most               float64 // the axis covers at least this
	Height                    float64 // of the drawing, 200 when 0
	Foot                      float64 // room below the plot, 34 when 0
	low, high                 float64 // of the axis, as drawn
	steps                     []Grade
}

// Grade is a value of an axis with its label.
type Grade struct {
	At  float64 `json:"at"`
	Say string  `json:"say"`
}

// TimeReading is a measured value.
type TimeReading struct {
	Day, Value float64
	Off        float64 // how far it may be off, 0 when nobody knows
	Label      string
}

// TimeEvent is something that was done: a feeding, a watering.
type TimeEvent struct {
	Day          float64
	Class, Label string
}

// TimeMark is a label of the time axis.
type TimeMark struct {
	Day   float64 `json:"day"`
	Label string  `json:"say"`
}

// ValueLimit is a value that matters, with its reason.
type ValueLimit struct {
	Value float64 `json:"at"`
	Label string  `json:"say"`
}

// Fan is a drawn series.
type Fan struct {
	ViewBox             string
	Band, Inner         string // 90 % and 50 %
	Past, Line          string // likely line before and after today
	Today               string // path of the upright line
	TodayAt             Mark
	Readings            []Reading
	Events              []Event
	Limits              []Limit
	Grid                []Tick
	Marks               []Mark
	Base                string
	Left, Right         string
	EventsAt            string
	HasPast             bool
	HasReadings         bool
	HasEvents           bool
	PlotTop, PlotBottom string
}

// Event is a drawn act.
type Event struct{ X, Y, Class, Label string }

// nearer says whether the band comes nearer to a value in its first days than
// in its last, so that the value's label stands clearer at the end.
func (s Series) nearer(value float64) bool {
	near := func(from, to int) float64 {
		least := math.Inf(1)
		for i := from; i < to; i++ {
			least = math.Min(least, math.Max(0, math.Max(s.Low[i]-value, value-s.High[i])))
		}
		return least
	}
	n := len(s.Days)
	return n > 4 && near(0, n*2/5) < near(n-n*2/5, n)
}

// textHigh is how far apart lines of writing must stand.
const textHigh = 15.0

// NewFan draws a series on a phone's width.
func NewFan(s Series) Fan { return newFan(&s) }

// Where a plot lies on a phone's width.
const (
	plotLeft, plotRight = 44.0, 354.0
	plotTop             = 22.0
)

func newFan(s *Series) Fan {
	const left, right, top = plotLeft, plotRight, plotTop
	height, foot := s.Height, s.Foot
	if height == 0 {
		height = 200
	}
	if foot == 0 {
		foot = 34
	}
	bottom := height - foot
	low, high := s.Least, s.Most
	grow := func(v float64) { low, high = math.Min(low, v), math.Max(high, v) }
	for i := range s.Days {
		grow(s.Low[i])
		grow(s.High[i])
	}
	for _, r := range s.Readings {
		grow(r.Value - r.Off)
		grow(r.Value + r.Off)
	}
	s.low, s.high = low, high
	first, last := 0.0, 1.0
	if len(s.Days) > 0 {
		first, last = math.Min(s.From, s.Days[0]), s.Days[len(s.Days)-1]
	}
	x, y := scale{first, last, left, right}, scale{low, high, bottom, top}
	var f Fan
	f.ViewBox = "0 0 360 " + coordinate(height)
	f.Left, f.Right = coordinate(left), coordinate(right)
	f.PlotTop, f.PlotBottom = coordinate(top), coordinate(bottom)
	var lo, hi, li, hm, past, next []Point
	for i, d := range s.Days {
		px := x.at(d)
		lo, hi = append(lo, Point{px, y.at(s.Low[i])}), append(hi, Point{px, y.at(s.High[i])})
		if s.LowMid != nil {
			li, hm = append(li, Point{px, y.at(s.LowMid[i])}), append(hm, Point{px, y.at(s.HighMid[i])})
		}
		m := Point{px, y.at(s.Mid[i])}
		if d <= s.Today {
			past = append(past, m)
		}
		if d >= s.Today || (i+1 < len(s.Days) && s.Days[i+1] > s.Today) {
			next = append(next, m)
		}
	}
	f.Band, f.Inner, f.Past, f.Line = band(lo, hi), band(li, hm), line(past), line(next)
	f.HasPast = len(past) > 1
	if s.Today > first && s.TodayLabel != "" {
		tx := x.at(s.Today)
		f.Today = line([]Point{{tx, top - 6}, {tx, bottom}})
		f.TodayAt = Mark{X: coordinate(tx), Y: coordinate(top - 9), Label: s.TodayLabel}
	}
	for _, r := range s.Readings {
		if r.Day < first || r.Day > last {
			continue
		}
		at := Reading{X: coordinate(x.at(r.Day)), Y: coordinate(y.at(r.Value)), Label: r.Label}
		if r.Off > 0 {
			at.Stroke = line([]Point{{x.at(r.Day), y.at(r.Value - r.Off)}, {x.at(r.Day), y.at(r.Value + r.Off)}})
		}
		f.Readings = append(f.Readings, at)
	}
	for _, e := range s.Events {
		if e.Day < first || e.Day > last {
			continue
		}
		f.Events = append(f.Events, Event{X: coordinate(x.at(e.Day)), Y: coordinate(bottom), Class: e.Class, Label: e.Label})
	}
	f.HasReadings, f.HasEvents = len(f.Readings) > 0, len(f.Events) > 0
	taken := []float64{top - 9} // by the title and by today
	for _, l := range s.Limits {
		if l.Value < low || l.Value > high {
			continue
		}
		ly := y.at(l.Value)
		limit := Limit{Y: coordinate(ly), LabelX: coordinate(left + 6), Label: l.Label}
		if s.nearer(l.Value) {
			limit.LabelX, limit.End = f.Right, true
		}
		crowded := func(at float64) bool {
			return slices.ContainsFunc(taken, func(y float64) bool { return math.Abs(at-y) < textHigh })
		}
		at := ly - 5 // over its line, or under it where something is written already
		if crowded(at) {
			for at = ly + 15; crowded(at); at++ {
			}
		}
		limit.LabelY, taken = coordinate(at), append(taken, at)
		f.Limits = append(f.Limits, limit)
	}
	steps := Steps(low, high, 4)
	for i, v := range steps {
		label := strconv.FormatFloat(v, 'f', -1, 64)
		if i == len(steps)-1 {
			label += s.Unit
		}
		s.steps = append(s.steps, Grade{v, label})
		f.Grid = append(f.Grid, Tick{X1: f.Left, X2: f.Right, Y: coordinate(y.at(v)), LabelX: coordinate(left - 5), LabelY: coordinate(y.at(v) + 5), Label: label})
	}
	f.Base = line([]Point{{left, bottom}, {right, bottom}})
	for _, m := range s.Marks {
		if m.Day < first || m.Day > last {
			continue
		}
		f.Marks = append(f.Marks, Mark{X: coordinate(math.Min(x.at(m.Day), right-16)), Y: coordinate(height - 10), Label: m.Label})
	}
	return f
}
