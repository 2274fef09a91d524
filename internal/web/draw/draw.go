// Package draw turns numbers into the geometry of our drawings: a cut through
// a bed, a profile by depth, a forecast fan, piles in the yard, buckets of a
// mix. It gives paths, positions and labels as text ready to print in an SVG;
// the templates of internal/web print them. No colours here: a drawing names
// a class and the style sheet knows the class.
//
// What it assumes: labels come in the reader's language and units. What it
// leaves out: anything that moves.
package draw

import (
	"math"
	"strconv"
	"strings"
)

// Point is a place on a drawing.
type Point struct{ X, Y float64 }

// coordinate prints a length on a drawing to a tenth of a pixel.
func coordinate(v float64) string {
	s := strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// line gives the path through points.
func line(points []Point) string {
	var b strings.Builder
	for i, p := range points {
		if i == 0 {
			b.WriteByte('M')
		} else {
			b.WriteByte('L')
		}
		b.WriteString(coordinate(p.X))
		b.WriteByte(' ')
		b.WriteString(coordinate(p.Y))
	}
	return b.String()
}

// band gives the closed path between two lines that run the same way.
func band(low, high []Point) string {
	back := make([]Point, 0, len(low)+len(high))
	back = append(back, high...)
	for i := len(low) - 1; i >= 0; i-- {
		back = append(back, low[i])
	}
	if len(back) == 0 {
		return ""
	}
	return line(back) + "Z"
}

// scale maps values from low..high to from..to.
type scale struct{ low, high, from, to float64 }

func (s scale) at(v float64) float64 {
	if s.high == s.low {
		return (s.from + s.to) / 2
	}
	return s.from + (v-s.low)/(s.high-s.low)*(s.to-s.from)
}

// Steps gives round values that divide low..high in about n parts, ends
// included where they are round.
func Steps(low, high float64, n int) []float64 {
	if !(high > low) || n < 1 {
		return nil
	}
	raw := (high - low) / float64(n)
	mag := math.Pow(10, math.Floor(math.Log10(raw)))
	step := 10 * mag
	for _, m := range []float64{1, 2, 2.5, 5} {
		if raw <= m*mag*1.0001 {
			step = m * mag
			break
		}
	}
	var out []float64
	for v := math.Ceil(low/step-1e-9) * step; v <= high+step*1e-9; v += step {
		out = append(out, math.Round(v/step)*step+0) // minus nothing is nothing
	}
	return out
}

// Mark is a labelled place on an axis.
type Mark struct{ X, Y, Label string }

// Reading is an open circle: something that was measured, with a stroke from
// the least to the most it may have been.
type Reading struct{ X, Y, Label, Stroke string }

// Limit is a dashed line with its reason on it.
type Limit struct {
	Y, LabelX, LabelY, Label string
	End                      bool // the label ends at its place
}
