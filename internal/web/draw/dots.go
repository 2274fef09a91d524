package draw

import "math"

// Dots is values with their ranges on a scale of powers of ten: lots in the order
// they were counted, or against something else that is known of them.
type Dots struct {
	Places []Dot
	// Limits, when there are any, are one for each place; Center is the line between.
	Limits []Range
	Center float64
	Heads  []string // under the places, where those are named; one for each number of X from 0
	Across func(float64) string
	Up     func(float64) string
	Left   string // what the way across is
}

// Range is a least and a most.
type Range struct{ Low, High float64 }

// Dot is one value. Where none was seen High is the limit under which it lies.
type Dot struct {
	X, Value, Low, High float64
	None, Told          bool // Told is from a report
	Out                 bool
	Label, To           string
}

// Dotted is drawn dots.
type Dotted struct {
	ViewBox, Base, Center string
	Limits                string
	Grid                  []DottedGrid
	Dots                  []DottedDot
	Marks                 []Mark
	Across                Mark
}

// DottedGrid is a line with what it stands for.
type DottedGrid struct{ Path, X, Y, Label string }

// DottedDot is one value with its range; a square is a report, an arrow none seen.
type DottedDot struct{ Path, Range, Class, Label, To string }

// NewDots draws dots on a phone's width.
func NewDots(d Dots) Dotted {
	const left, right, top, bottom = 96.0, 350.0, 14.0, 196.0
	low, high := math.Inf(1), 0.0
	least, most := math.Inf(1), math.Inf(-1)
	for _, p := range d.Places {
		v := p.Value
		if p.None {
			v = p.High
		}
		if v > 0 {
			low, high = min(low, v), max(high, v)
		}
		least, most = min(least, p.X), max(most, p.X)
	}
	if len(d.Heads) > 0 {
		least, most = -0.5, float64(len(d.Heads))-0.5
	}
	out := Dotted{ViewBox: "0 0 360 236"}
	if high == 0 {
		return out
	}
	// The values stand in the middle, with room for a range of three either way.
	from, to := math.Floor(math.Log10(low/3)), math.Ceil(math.Log10(high*3))
	y := func(v float64) float64 {
		t := math.Log10(max(v, 1e-300))
		return scale{from, to, bottom, top}.at(min(to, max(from, t)))
	}
	x := scale{least, most, left + 16, right - 12}
	for e := from; e <= to; e++ {
		v := math.Pow(10, e)
		out.Grid = append(out.Grid, DottedGrid{"M" + coordinate(left) + " " + coordinate(y(v)) + "H" + coordinate(right), coordinate(left - 6), coordinate(y(v) + 4), d.Up(v)})
	}
	if len(d.Limits) == len(d.Places) && len(d.Limits) > 0 {
		step := (right - left - 28) / float64(max(1, len(d.Places)-1)) / 2
		for i, l := range d.Limits {
			a, b := max(left, x.at(d.Places[i].X)-step), min(right, x.at(d.Places[i].X)+step)
			for _, v := range []float64{l.Low, l.High} {
				if v > 0 {
					out.Limits += "M" + coordinate(a) + " " + coordinate(y(v)) + "H" + coordinate(b)
				}
			}
		}
		out.Center = "M" + coordinate(left) + " " + coordinate(y(d.Center)) + "H" + coordinate(right)
	}
	for _, p := range d.Places {
		at := x.at(p.X)
		dot := DottedDot{Class: "d-read", Label: p.Label, To: p.To}
		if p.Out {
			dot.Class = "d-read d-out"
		}
		if p.None {
			h := y(p.High)
			dot.Path = "M" + coordinate(at-6) + " " + coordinate(h) + "h12l-6 10z"
		} else {
			dot.Range = "M" + coordinate(at) + " " + coordinate(y(p.Low)) + "V" + coordinate(y(p.High))
			v := y(p.Value)
			dot.Path = "M" + coordinate(at-5) + " " + coordinate(v) + "a5 5 0 1 0 10 0a5 5 0 1 0 -10 0z"
			if p.Told {
				dot.Path = "M" + coordinate(at-5) + " " + coordinate(v-5) + "h10v10h-10z"
			}
		}
		out.Dots = append(out.Dots, dot)
	}
	out.Base = "M" + coordinate(left) + " " + coordinate(bottom) + "H" + coordinate(right)
	switch {
	case len(d.Heads) > 0:
		for i, h := range d.Heads {
			out.Marks = append(out.Marks, Mark{X: coordinate(x.at(float64(i))), Y: coordinate(bottom + 16), Label: h})
		}
	case d.Across != nil && most > least:
		out.Marks = append(out.Marks, Mark{X: coordinate(x.at(least)), Y: coordinate(bottom + 16), Label: d.Across(least)}, Mark{X: coordinate(x.at(most)), Y: coordinate(bottom + 16), Label: d.Across(most)})
	case d.Across != nil:
		out.Marks = append(out.Marks, Mark{X: coordinate(x.at(least)), Y: coordinate(bottom + 16), Label: d.Across(least)})
	}
	out.Across = Mark{X: coordinate((left + right) / 2), Y: coordinate(bottom + 36), Label: d.Left}
	return out
}
