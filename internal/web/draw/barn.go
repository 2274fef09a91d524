package draw

import "strings"

// Sizes of a barn's drawing in pixels. A box is large enough for a thumb in a
// wet glove, and two short lines of words go into it.
const (
	boxWide, boxHigh = 124.0, 78.0
	boxGap           = 10.0 // between stacks
	lineLetters      = 15   // that go into a box
	planStack        = 26.0
	planRow          = 50.0
	planAisle        = 26.0
	planEdge         = 14.0
	planName         = 84.0 // for the names of rows
	planSpot         = 132.0
)

// SlotBox is one box of a row, or a place without one.
type SlotBox struct {
	Stack, Level     int
	Act              string // texture; "empty" for a box without a bed
	Place, Name, Say string
	Range            string // goes on a line of its own under what is said
	To, ID, Label    string
	Here, Faint      bool
	Vacant           bool // no box stands here
	Double           bool // a double frame: danger
}

// DrawnBox is a box ready to print.
type DrawnBox struct {
	SlotBox
	X, Y, Width, Height string
	TextX, TextEnd      string
	PlaceY, SayY, MoreY string
	More                string // the second line of what is said
	Whole               string // the label, where not all that is said goes into the box
	InX, InY, InW, InH  string // of the inner frame
}

// Elevation is a row seen from its aisle, in parts of some stacks, so that a
// browser need not draw the parts that are off the screen.
type Elevation struct{ Parts []ElevationPart }

// partStacks is how many stacks a part has; its size before it is drawn stands
// in the style sheet (.mappart).
const partStacks = 8

// ElevationPart is some stacks of a row.
type ElevationPart struct {
	Boxes                    []DrawnBox
	ViewBox                  string
	Width, Height            string
	FloorX1, FloorX2, FloorY string
	StackNames               []Mark
}

// NewElevation draws a row of so many stacks, each at least so high.
func NewElevation(boxes []SlotBox, stacks, high int) Elevation {
	for _, b := range boxes {
		stacks, high = max(stacks, b.Stack), max(high, b.Level)
	}
	var out Elevation
	for first := 1; first <= stacks; first += partStacks {
		out.Parts = append(out.Parts, newPart(boxes, first, min(first+partStacks-1, stacks), high))
	}
	return out
}

func newPart(boxes []SlotBox, first, last, high int) ElevationPart {
	floor := 10 + float64(high)*(boxHigh+4)
	wide := float64(last-first+1) * (boxWide + boxGap)
	out := ElevationPart{Width: coordinate(wide), Height: coordinate(floor + 30), FloorX1: "0", FloorX2: coordinate(wide), FloorY: coordinate(floor)}
	out.ViewBox = "0 0 " + out.Width + " " + out.Height
	left := func(stack int) float64 { return boxGap/2 + float64(stack-first)*(boxWide+boxGap) }
	for _, b := range boxes {
		if b.Stack < first || b.Stack > last {
			continue
		}
		x, y := left(b.Stack), floor-2-float64(b.Level)*(boxHigh+4)+4
		d := DrawnBox{SlotBox: b, X: coordinate(x), Y: coordinate(y), Width: coordinate(boxWide), Height: coordinate(boxHigh),
			TextX: coordinate(x + 9), TextEnd: coordinate(x + boxWide - 9), PlaceY: coordinate(y + 25), SayY: coordinate(y + 46), MoreY: coordinate(y + 65),
			InX: coordinate(x + 5), InY: coordinate(y + 5), InW: coordinate(boxWide - 10), InH: coordinate(boxHigh - 10)}
		if d.More = b.Range; b.Range == "" {
			d.Say, d.More = twoLines(b.Say, lineLetters, lineLetters-1-len([]rune(b.Name)))
			if strings.HasSuffix(d.More, "…") {
				d.Whole = b.Label
			}
		}
		out.Boxes = append(out.Boxes, d)
	}
	for s := first; s <= last; s++ {
		out.StackNames = append(out.StackNames, Mark{X: coordinate(left(s) + boxWide/2), Y: coordinate(floor + 20), Label: coordinate(float64(s))})
	}
	return out
}

// twoLines breaks words between two lines of so many letters, the second beside
// the painted number; what does not go into them is left to the label of the box,
// which has all of it.
func twoLines(s string, first, second int) (string, string) {
	var lines [2]string
	n := 0
	for _, w := range strings.Fields(s) {
		long := len([]rune(lines[n])) + 1 + len([]rune(w))
		if n == 0 && lines[0] != "" && long > first {
			n = 1
			long = len([]rune(w))
		}
		if n == 1 && long > second {
			lines[1] += "…"
			break
		}
		if lines[n] != "" {
			lines[n] += " "
		}
		lines[n] += w
	}
	return lines[0], lines[1]
}

// PlanRow is a row seen from above.
type PlanRow struct {
	Name, To, Label string
	Against         bool // it stands against the row before, without an aisle between
	Stacks          []PlanStack
}

// PlanStack is a stack seen from above: what is most urgent in it, and how many
// of its boxes need something.
type PlanStack struct {
	Act    string
	Count  string
	Vacant bool
	Double bool // a double frame: danger
}

// PlanSpot is a staging spot.
type PlanSpot struct{ Name, Say, To, Label string }

// Plan is a barn seen from above.
type Plan struct {
	ViewBox, Width, Height string
	Wall                   string
	Rows                   []DrawnPlanRow
	Aisles                 []Mark
	Spots                  []DrawnPlanSpot
	Doors                  *Mark
	DoorGap                string
}

// DrawnPlanRow is a row ready to print.
type DrawnPlanRow struct {
	PlanRow
	X, Y, Width, Height string
	NameX, NameY        string
	Drawn               []DrawnPlanStack
}

// DrawnPlanStack is a stack ready to print.
type DrawnPlanStack struct {
	PlanStack
	X, Y, Width, Height, CountX, CountY string
	InX, InY, InW, InH                  string // of the inner frame
}

// DrawnPlanSpot is a staging spot ready to print.
type DrawnPlanSpot struct {
	PlanSpot
	X, Y, Width, Height, TextX, NameY, SayY string
}

// NewPlan draws a barn from above. The measures between rows are not known, so
// that the drawing keeps their order and not their distance.
func NewPlan(rows []PlanRow, spots []PlanSpot, aisle, doors string) Plan {
	stacks := 1
	for _, r := range rows {
		stacks = max(stacks, len(r.Stacks))
	}
	right := planEdge + planName + float64(stacks)*planStack + 10
	for i := range spots {
		right = max(right, planEdge+10+float64(i+1)*(planSpot+8))
	}
	right = max(right, 330)
	var out Plan
	y := planEdge
	for _, r := range rows {
		if !r.Against {
			out.Aisles = append(out.Aisles, Mark{X: coordinate(planEdge + planName), Y: coordinate(y + 18), Label: aisle})
			y += planAisle
		}
		d := DrawnPlanRow{PlanRow: r, X: coordinate(planEdge + 4), Y: coordinate(y), Width: coordinate(planName + float64(len(r.Stacks))*planStack), Height: coordinate(planRow), NameX: coordinate(planEdge + 12), NameY: coordinate(y + planRow/2 + 6)}
		for i, s := range r.Stacks {
			x := planEdge + planName + float64(i)*planStack
			d.Drawn = append(d.Drawn, DrawnPlanStack{PlanStack: s, X: coordinate(x + 1), Y: coordinate(y + 4), Width: coordinate(planStack - 2), Height: coordinate(planRow - 8), CountX: coordinate(x + planStack/2), CountY: coordinate(y + planRow/2 + 6),
				InX: coordinate(x + 5), InY: coordinate(y + 8), InW: coordinate(planStack - 10), InH: coordinate(planRow - 16)})
		}
		out.Rows = append(out.Rows, d)
		y += planRow
	}
	y += 10
	for i, s := range spots {
		if i == 0 {
			y += 8
		}
		x := planEdge + 10 + float64(i)*(planSpot+8)
		out.Spots = append(out.Spots, DrawnPlanSpot{PlanSpot: s, X: coordinate(x), Y: coordinate(y), Width: coordinate(planSpot), Height: coordinate(planRow + 4), TextX: coordinate(x + 8), NameY: coordinate(y + 23), SayY: coordinate(y + 43)})
	}
	if len(spots) > 0 {
		y += planRow + 14
	}
	bottom := y
	high := bottom + 8
	if doors != "" {
		out.Doors = &Mark{X: coordinate(planEdge + planName + 72), Y: coordinate(bottom + 22), Label: doors}
		out.DoorGap = line([]Point{{planEdge + planName, bottom}, {planEdge + planName + 60, bottom}})
		high += 24
	}
	out.Wall = line([]Point{{4, 6}, {right, 6}, {right, bottom}, {4, bottom}}) + "Z"
	out.Width, out.Height = coordinate(right+6), coordinate(high)
	out.ViewBox = "0 0 " + out.Width + " " + out.Height
	return out
}
