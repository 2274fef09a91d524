// Package drawing makes working drawings of wooden bins: plan, elevations,
// section, exploded view, corner and cut list, to scale and with dimensions in
// inches and millimetres.
//
// A View is lines and words on a sheet 360 units wide, which a page, a file of
// SVG (svg.go) and a paper (internal/paper) print alike. Wood that is cut is
// drawn with its two diagonals, as carpenters draw it; nothing is told by colour.
// Words come in ready to print.
//
// What it leaves out: grain, knots, and anything that is not sawn.
package drawing

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"wormyard/carpentry"
)

// Wide is the width of every view in its own units.
const Wide = 360.0

// The heights of letters in the same units.
const (
	Letters = 13.0
	Small   = 11.5
)

// Point is a place on a view, from its left top corner.
type Point struct{ X, Y float64 }

// Pen is how a line is drawn.
type Pen int

// The pens.
const (
	Edge    Pen = iota // what is seen
	Heavy              // what is cut
	Thin               // joints between boards, diagonals
	Dashed             // what is hidden
	Measure            // of a dimension
	None
)

// Fill is what an outline is filled with.
type Fill int

// The fills.
const (
	Clear Fill = iota
	Sheet      // as the sheet itself, to hide what lies behind
	Wood
	Shade // wood that is turned from the light
	Bed   // what is in the bin
)

// Shape is a line, an outline or, with a Radius, a circle around its one point.
type Shape struct {
	Points []Point
	Closed bool
	Radius float64
	Pen    Pen
	Fill   Fill
}

// Align is where a text stands by its place.
type Align int

// Where a text stands by its place.
const (
	Middle Align = iota
	Start
	End
)

// Text is words on a view. Turned ones read from below.
type Text struct {
	At     Point
	Say    string
	Align  Align
	Turned bool
	Small  bool
}

// View is one drawing.
type View struct {
	Title  string
	High   float64 // in units
	Shapes []Shape
	Texts  []Text
}

func (v *View) shape(pen Pen, fill Fill, closed bool, points ...Point) {
	v.Shapes = append(v.Shapes, Shape{Points: points, Closed: closed, Pen: pen, Fill: fill})
}

func (v *View) line(pen Pen, points ...Point) { v.shape(pen, Clear, false, points...) }

func (v *View) rect(pen Pen, fill Fill, x, y, w, h float64) {
	v.shape(pen, fill, true, Point{x, y}, Point{x + w, y}, Point{x + w, y + h}, Point{x, y + h})
}

// cut draws wood that is cut through: heavy, with its diagonals.
func (v *View) cut(x, y, w, h float64) {
	v.rect(Heavy, Wood, x, y, w, h)
	v.line(Thin, Point{x, y}, Point{x + w, y + h})
	v.line(Thin, Point{x, y + h}, Point{x + w, y})
}

func (v *View) circle(pen Pen, fill Fill, x, y, r float64) {
	v.Shapes = append(v.Shapes, Shape{Points: []Point{{x, y}}, Radius: r, Pen: pen, Fill: fill})
}

func (v *View) text(x, y float64, align Align, say string) {
	v.Texts = append(v.Texts, Text{At: Point{x, y}, Say: say, Align: align})
}

func (v *View) small(x, y float64, align Align, say string) {
	v.Texts = append(v.Texts, Text{At: Point{x, y}, Say: say, Align: align, Small: true})
}

// across draws a dimension from x to x2 on a line at y, led down or up to it
// from what it measures.
func (v *View) across(x, x2, from, y float64, say string) {
	for _, at := range []float64{x, x2} {
		v.line(Measure, Point{at, from}, Point{at, y + math.Copysign(4, y-from)})
		v.line(Measure, Point{at - 3, y + 3}, Point{at + 3, y - 3})
	}
	v.line(Measure, Point{x, y}, Point{x2, y})
	if x2-x < float64(len([]rune(say)))*letter {
		v.text(x2+7, y+Letters*0.35, Start, say)
		return
	}
	v.text((x+x2)/2, y-4, Middle, say)
}

// letter is how wide a letter is about, in units.
const letter = 6.6

// upright draws a dimension from y to y2 on a line at x, its words turned.
func (v *View) upright(y, y2, from, x float64, say string) {
	for _, at := range []float64{y, y2} {
		v.line(Measure, Point{from, at}, Point{x + math.Copysign(4, x-from), at})
		v.line(Measure, Point{x - 3, at + 3}, Point{x + 3, at - 3})
	}
	v.line(Measure, Point{x, y}, Point{x, y2})
	v.Texts = append(v.Texts, Text{At: Point{x - 4, (y + y2) / 2}, Say: say, Turned: true, Small: math.Abs(y2-y) < float64(len([]rune(say)))*letter})
}

// chain draws dimensions one under another along x, their words beside it, each
// on a line of its own. The places go down; words has one less.
func (v *View) chain(places []float64, from, x float64, words []string) {
	at := make([]float64, len(words))
	for i := range words {
		at[i] = (places[i] + places[i+1]) / 2
	}
	const apart = Letters + 2
	for range 4 * len(at) { // push apart what stands too near
		for i := 1; i < len(at); i++ {
			if d := apart - (at[i] - at[i-1]); d > 1e-9 {
				at[i-1] -= d / 2
				at[i] += d / 2
			}
		}
	}
	for _, y := range places {
		v.line(Measure, Point{from, y}, Point{x + 4, y})
		v.line(Measure, Point{x - 3, y + 3}, Point{x + 3, y - 3})
	}
	v.line(Measure, Point{x, places[0]}, Point{x, places[len(places)-1]})
	for i, w := range words {
		middle := (places[i] + places[i+1]) / 2
		v.line(Measure, Point{x, middle}, Point{x + 8, at[i]})
		v.text(x+10, at[i]+Letters*0.35, Start, w)
	}
}

// Both prints a length [in] in inches and in millimetres.
func (w Words) Both(v float64) string {
	return fmt.Sprintf("%s %s · %.0f mm", carpentry.Inches(v), w.Inch, v*25.4)
}

// Sold prints a length that is sold [in] in feet, where it is whole ones, and in
// millimetres.
func (w Words) Sold(v float64) string {
	if ft := v / 12; math.Abs(ft-math.Round(ft)) < 1e-9 {
		return fmt.Sprintf("%.0f %s · %.0f mm", ft, w.Foot, v*25.4)
	}
	return w.Both(v)
}

// number prints a place on a view.
func number(v float64) string {
	s := strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// D is the path of a shape.
func (s Shape) D() string {
	var b strings.Builder
	if s.Radius > 0 {
		p, r := s.Points[0], s.Radius
		return fmt.Sprintf("M%s %sa%s %s 0 1 0 %s 0a%s %s 0 1 0 -%s 0Z", number(p.X-r), number(p.Y), number(r), number(r), number(2*r), number(r), number(r), number(2*r))
	}
	for i, p := range s.Points {
		if i == 0 {
			b.WriteByte('M')
		} else {
			b.WriteByte('L')
		}
		b.WriteString(number(p.X) + " " + number(p.Y))
	}
	if s.Closed {
		b.WriteByte('Z')
	}
	return b.String()
}

var penNames = map[Pen]string{Edge: "w-edge", Heavy: "w-heavy", Thin: "w-thin", Dashed: "w-dashed", Measure: "w-measure", None: "w-none"}
var fillNames = map[Fill]string{Clear: "w-clear", Sheet: "w-sheet", Wood: "w-wood", Shade: "w-shade", Bed: "w-bed"}

// Class is what the style sheet of the pages knows a shape by.
func (s Shape) Class() string { return penNames[s.Pen] + " " + fillNames[s.Fill] }

// Class is what the style sheet knows a text by.
func (t Text) Class() string {
	c := map[Align]string{Middle: "mid", Start: "", End: "end"}[t.Align]
	if t.Small {
		c = strings.TrimSpace(c + " w-small")
	}
	return c
}

// X is the place of a text across.
func (t Text) X() string { return number(t.At.X) }

// Y is the place of its foot.
func (t Text) Y() string { return number(t.At.Y) }

// Turn is how a text is turned, "" for not.
func (t Text) Turn() string {
	if !t.Turned {
		return ""
	}
	return fmt.Sprintf("rotate(-90 %s %s)", t.X(), t.Y())
}

// Box is the window of the view.
func (v View) Box() string { return "0 0 " + number(Wide) + " " + number(v.High) }
