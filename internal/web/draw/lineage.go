package draw

import (
	"fmt"
	"math"
)

// Kin is one thing in a drawing of where matter came from and went.
type Kin struct {
	ID, Label, Note string
	Here            bool // the one that was asked about
}

// KinFlow is what went from one thing into another, both by ID.
type KinFlow struct {
	From, To string
	Part     float64 // of the widest, 0 to 1
	Known    bool    // else it is dashed
}

// Lineage is a drawing in columns from the yard to the customer.
type Lineage struct {
	Width, Height, ViewBox, Label string
	Heads                         []KinText
	Flows                         []KinLine
	Boxes                         []KinBox
}

// KinText is a word at a place.
type KinText struct{ X, Y, Text string }

// KinLine is a drawn flow.
type KinLine struct {
	D, Width string
	Dashed   bool
}

// KinBox is a drawn thing.
type KinBox struct {
	X, Y, Width, Height, TextX, TextY, NoteY string
	Label, Note                              string
	Here                                     bool
}

// The drawing's measures, in points of the page.
const (
	kinWide, kinHigh = 126.0, 46.0
	kinAside         = 27.0 // between columns
	kinBelow         = 10.0
	kinTop           = 30.0
	kinLetters       = 15
)

// NewLineage draws columns of things with the flows between them; heads stand over
// the columns. A flow whose ends are not drawn is left out.
func NewLineage(heads []string, columns [][]Kin, flows []KinFlow, label string) Lineage {
	rows := 1
	for _, c := range columns {
		rows = max(rows, len(c))
	}
	width := float64(len(columns))*(kinWide+kinAside) - kinAside + 4
	height := kinTop + float64(rows)*(kinHigh+kinBelow) + 4
	out := Lineage{Width: coordinate(width), Height: coordinate(height), ViewBox: "0 0 " + coordinate(width) + " " + coordinate(height), Label: label}
	type place struct{ x, y float64 }
	at := map[string]place{}
	for i, c := range columns {
		x := 2 + float64(i)*(kinWide+kinAside)
		out.Heads = append(out.Heads, KinText{coordinate(x), "18", heads[i]})
		down := kinTop + float64(rows-len(c))*(kinHigh+kinBelow)/2
		for j, k := range c {
			y := down + float64(j)*(kinHigh+kinBelow)
			at[k.ID] = place{x, y + kinHigh/2}
			out.Boxes = append(out.Boxes, KinBox{X: coordinate(x), Y: coordinate(y), Width: coordinate(kinWide), Height: coordinate(kinHigh), TextX: coordinate(x + 7), TextY: coordinate(y + 19),
				NoteY: coordinate(y + 37), Label: cut(k.Label), Note: cut(k.Note), Here: k.Here})
		}
	}
	for _, f := range flows {
		a, ok := at[f.From]
		b, ok2 := at[f.To]
		if !ok || !ok2 {
			continue
		}
		x1, x2 := a.x+kinWide, b.x
		bend := math.Max(18, (x2-x1)/2)
		d := fmt.Sprintf("M%s %sC%s %s %s %s %s %s", coordinate(x1), coordinate(a.y), coordinate(x1+bend), coordinate(a.y), coordinate(x2-bend), coordinate(b.y), coordinate(x2), coordinate(b.y))
		out.Flows = append(out.Flows, KinLine{D: d, Width: coordinate(1.2 + 6*math.Sqrt(math.Max(0, math.Min(1, f.Part)))), Dashed: !f.Known})
	}
	return out
}

func cut(s string) string {
	if r := []rune(s); len(r) > kinLetters {
		return string(r[:kinLetters-1]) + "…"
	}
	return s
}
