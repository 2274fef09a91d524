package draw

import "math"

// StripAxis is one axis of time under several strips: what lies behind takes the
// first part of it and what is ahead the rest, since a bed lies for months and is
// taken within days. Days are from now.
type StripAxis struct {
	First, Last float64 // First at most 0, Last above it
}

// Strip is one line of a drawing over an axis of time that stands beside its words,
// so that the words grow with the letters and the drawing with the page.
type Strip struct {
	ViewBox, Base, Today string
	Band, Bar, Line      string // the range of the day, from the likely day on, the likely day
	Bed                  string // a bed that lies there
	Events               []Event
	Shape                string
}

// StripSpan is what a strip shows.
type StripSpan struct {
	Low, Best, High float64   // the day it begins
	Until           float64   // and goes on to; Best where it is a day
	Done            []float64 // days on which something was done
	Since           bool      // it began at Best and goes on
}

const (
	stripWide, stripHigh = 360.0, 26.0
	stripEdge            = 5.0
	stripBehind          = 0.36 // of the width, for what lies behind; .timeaxis in look.css has it too
	eventApart           = 9.0
)

// x gives the place of a day.
func (a StripAxis) x(day float64) float64 {
	wide := stripWide - 2*stripEdge
	today := stripEdge + stripBehind*wide
	if day <= 0 {
		if a.First >= 0 {
			return today
		}
		return today - stripBehind*wide*math.Min(1, day/a.First)
	}
	return today + (1-stripBehind)*wide*math.Min(1, day/math.Max(a.Last, 1))
}

// Strip draws one line.
func (a StripAxis) Strip(s StripSpan) Strip {
	box := func(from, to, top, bottom float64) string {
		return "M" + coordinate(from) + " " + coordinate(top) + "H" + coordinate(to) + "V" + coordinate(bottom) + "H" + coordinate(from) + "Z"
	}
	mid := stripHigh / 2
	out := Strip{ViewBox: "0 0 " + coordinate(stripWide) + " " + coordinate(stripHigh), Shape: shapes["fed"],
		Base: "M" + coordinate(stripEdge) + " " + coordinate(stripHigh-2) + "H" + coordinate(stripWide-stripEdge), Today: "M" + coordinate(a.x(0)) + " 0V" + coordinate(stripHigh)}
	if s.Since {
		out.Bed = box(a.x(s.Best), a.x(0), 4, stripHigh-2)
	} else {
		if s.High > s.Low {
			out.Band = box(a.x(s.Low), a.x(s.High), 3, stripHigh-2)
		}
		if s.Until > s.Best {
			out.Bar = box(a.x(s.Best), a.x(s.Until), mid-5, mid+5)
		}
		out.Line = "M" + coordinate(a.x(s.Best)) + " 2V" + coordinate(stripHigh-2)
	}
	last := math.Inf(-1)
	for _, d := range s.Done {
		if x := a.x(d); x >= last+eventApart {
			out.Events, last = append(out.Events, Event{X: coordinate(x), Y: coordinate(mid + 1)}), x
		}
	}
	return out
}
