package draw

import (
	"math"
	"strconv"
)

// Layer is one layer of a bed as it lies, for drawing.
type Layer struct {
	Texture string  // feed, bedding, chips, castings, water: a class of the style sheet
	Thick   float64 // in the reader's unit of depth
	Worms   float64 // worms to draw in it, for the eye
	Label   string  // what it is, for the list beside the drawing and for screen readers
}

// Profile is a quantity by depth with its range.
type Profile struct {
	Depths         []float64 // from the surface down, in the reader's unit
	Low, Mid, High []float64
	Readings       []DepthReading
	Title          string  // with the unit
	Limit          float64 // drawn dashed when LimitLabel is not empty
	LimitLabel     string
	Least, Most    float64 // the axis covers at least this
}

// DepthReading is a probe value at a depth.
type DepthReading struct {
	Depth, Value float64
	Label        string
}

// Bed is what a section shows.
type Bed struct {
	Layers   []Layer // from the top down
	Box      float64 // inside depth of the box, in the reader's unit
	DepthBy  float64 // distance of marks on the depth axis
	Unit     string  // "inches"
	Covered  bool
	Profiles []Profile // one or two
}

// Section is a cut through a bed, ready to print. Everything shares one depth
// axis, so that a warm place is seen beside the layer that heats.
type Section struct {
	ViewBox            string
	Box                string // path of the walls and floor
	Cover              string // path of the cover, "" without
	Air                string // label place unused space
	Layers             []Slab
	Worms              []Mark
	DepthTicks         []Tick
	Unit               Mark
	Panels             []Panel
	WallX, InnerX      string
	Width, InnerHeight string
}

// Slab is one drawn layer.
type Slab struct{ Y, Height, X, Width, Texture, Label string }

// Tick is a short line with a number.
type Tick struct{ X1, X2, Y, LabelX, LabelY, Label string }

// Panel is one profile beside the section.
type Panel struct {
	Title    Mark
	Band     string
	Line     string
	Readings []Reading
	Marks    []Mark // value axis
	Ticks    []Tick // vertical grid: X1 is x, Y from LabelY
	Limit    string // path
	LimitAt  Mark
	Frame    string
	Class    string
	Leads    []Lead
}

// Lead is the thin line from a reading to its label.
type Lead struct{ Path, X, Y, Label string }

const (
	sectionTop    = 56.0
	sectionBottom = 316.0
	boxLeft       = 34.0
	boxRight      = 158.0
	panelLeft     = 178.0
	panelRight    = 356.0
)

// NewSection draws a bed. The box is drawn to its true depth; a bed that stands
// higher than its box stands out of it.
func NewSection(b Bed) Section {
	total := 0.0
	for _, l := range b.Layers {
		total += l.Thick
	}
	deep := math.Max(b.Box, total)
	if deep <= 0 {
		deep = 1
	}
	y := scale{0, deep, sectionBottom, sectionTop} // height above the floor
	surface := y.at(total)
	s := Section{ViewBox: "0 0 360 350", InnerX: coordinate(boxLeft), Width: coordinate(boxRight - boxLeft)}
	rim := y.at(math.Min(b.Box, deep))
	if b.Box <= 0 {
		rim = sectionTop
	}
	s.Box = line([]Point{{boxLeft - 3, rim}, {boxLeft - 3, sectionBottom + 3}, {boxRight + 3, sectionBottom + 3}, {boxRight + 3, rim}})
	if b.Covered {
		c := math.Min(surface, rim) - 8
		s.Cover = "M" + coordinate(boxLeft-9) + " " + coordinate(c) + "Q" + coordinate((boxLeft+boxRight)/2) + " " + coordinate(c-10) + " " + coordinate(boxRight+9) + " " + coordinate(c)
	}
	above, crawling := 0.0, 0.0
	for n, l := range b.Layers {
		top, bottom := y.at(total-above), y.at(total-above-l.Thick)
		s.Layers = append(s.Layers, Slab{Y: coordinate(top), Height: coordinate(bottom - top), X: coordinate(boxLeft), Width: coordinate(boxRight - boxLeft), Texture: l.Texture, Label: l.Label})
		crawling += l.Worms
		here := int(math.Round(crawling)) - len(s.Worms) // few in each of many layers are some in all
		s.Worms = append(s.Worms, worms(n, here, top, bottom)...)
		above += l.Thick
	}
	by := b.DepthBy
	if by <= 0 {
		by = deep / 4
	}
	for y.at(0)-y.at(by) < textHigh { // of a bed far deeper than its box
		by *= 2
	}
	for d := 0.0; d <= total+1e-9; d += by {
		at := y.at(total - d)
		s.DepthTicks = append(s.DepthTicks, Tick{X1: coordinate(boxLeft - 14), X2: coordinate(boxLeft - 7), Y: coordinate(at), LabelX: coordinate(boxLeft - 17), LabelY: coordinate(at + 5), Label: strconv.FormatFloat(d, 'f', -1, 64)})
	}
	s.Unit = Mark{X: coordinate(boxLeft - 30), Y: "340", Label: b.Unit}
	s.InnerHeight = coordinate(sectionBottom - surface)
	n := float64(len(b.Profiles))
	for i, p := range b.Profiles {
		wide := (panelRight - panelLeft - 14*(n-1)) / math.Max(n, 1)
		left := panelLeft + float64(i)*(wide+14)
		s.Panels = append(s.Panels, panel(p, left, left+wide, surface, func(depth float64) float64 { return y.at(total - depth) }))
	}
	return s
}

// worms places n squiggles in a layer, always at the same places.
func worms(layer, n int, top, bottom float64) []Mark {
	var out []Mark
	if bottom-top < 7 {
		return nil
	}
	for i := 0; i < n; i++ {
		fx := math.Mod(0.137+0.618034*float64(i)+0.31*float64(layer), 1)
		fy := math.Mod(0.29+0.754878*float64(i), 1)
		out = append(out, Mark{X: coordinate(boxLeft + 4 + fx*(boxRight-boxLeft-26)), Y: coordinate(top + 5 + fy*math.Max(bottom-top-9, 0))})
	}
	return out
}

func panel(p Profile, left, right, surface float64, at func(float64) float64) Panel {
	low, high := p.Least, p.Most
	grow := func(v float64) { low, high = math.Min(low, v), math.Max(high, v) }
	for i := range p.Depths {
		grow(p.Low[i])
		grow(p.High[i])
	}
	for _, r := range p.Readings {
		grow(r.Value)
	}
	x := scale{low, high, left + 2, right - 2}
	out := Panel{Title: Mark{X: coordinate(left), Y: coordinate(surface - 12), Label: p.Title}}
	out.Frame = line([]Point{{left, surface}, {left, sectionBottom + 3}, {right, sectionBottom + 3}})
	var lows, mids, highs []Point
	for i, d := range p.Depths {
		lows = append(lows, Point{x.at(p.Low[i]), at(d)})
		mids = append(mids, Point{x.at(p.Mid[i]), at(d)})
		highs = append(highs, Point{x.at(p.High[i]), at(d)})
	}
	out.Band, out.Line = band(lows, highs), line(mids)
	steps := Steps(low, high, 3)
	for len(steps) > 3 {
		var fewer []float64
		for i := 0; i < len(steps); i += 2 {
			fewer = append(fewer, steps[i])
		}
		steps = fewer
	}
	lastMark := 0.0
	for _, v := range steps {
		label := strconv.FormatFloat(v, 'f', -1, 64)
		px := x.at(v)
		if at := math.Min(math.Max(px, left+10), right-8); len(out.Marks) == 0 || at-lastMark > 24 {
			out.Marks = append(out.Marks, Mark{X: coordinate(at), Y: "340", Label: label})
			lastMark = at
		}
		out.Ticks = append(out.Ticks, Tick{X1: coordinate(px), Y: coordinate(sectionBottom + 3), LabelY: coordinate(sectionBottom + 9)})
	}
	if p.LimitLabel != "" && p.Limit >= low && p.Limit <= high {
		out.Limit = line([]Point{{x.at(p.Limit), surface}, {x.at(p.Limit), sectionBottom}})
		out.LimitAt = Mark{X: coordinate(x.at(p.Limit) - 4), Y: coordinate(sectionBottom - 8), Label: p.LimitLabel}
	}
	for _, r := range p.Readings {
		px, py := x.at(r.Value), at(r.Depth)
		out.Readings = append(out.Readings, Reading{X: coordinate(px), Y: coordinate(py), Label: r.Label})
	}
	return out
}
