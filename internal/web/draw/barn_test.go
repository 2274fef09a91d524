package draw

import (
	"strconv"
	"testing"
)

func TestTwoLines(t *testing.T) {
	for _, x := range []struct{ say, one, two string }{
		{"rests", "rests", ""},
		{"feed 1½ in", "feed 1½ in", ""},
		{"feed at the truck", "feed at the", "truck"},
		{"regar y mirar después de mañana", "regar y mirar", "después…"},
		{"", "", ""},
	} {
		if one, two := twoLines(x.say, 15, 9); one != x.one || two != x.two {
			t.Errorf("%q is broken into %q and %q", x.say, one, two)
		}
	}
}

// TestElevation holds that each box is drawn once, inside its part, and that the
// parts side by side are as wide as the row.
func TestElevation(t *testing.T) {
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	var boxes []SlotBox
	for stack := 1; stack <= 19; stack++ {
		for level := 1; level <= 4; level++ {
			boxes = append(boxes, SlotBox{Stack: stack, Level: level, Name: strconv.Itoa(100*stack + level)})
		}
	}
	e := NewElevation(boxes, 1, 1) // laid out smaller than it is: nothing is left out
	drawn, wide := map[string]bool{}, 0.0
	for _, part := range e.Parts {
		w, h := number(part.Width), number(part.Height)
		wide += w
		for _, b := range part.Boxes {
			if drawn[b.Name] {
				t.Errorf("%s is drawn twice", b.Name)
			}
			drawn[b.Name] = true
			if x, y := number(b.X), number(b.Y); x < 0 || y < 0 || x+number(b.Width) > w || y+number(b.Height) > h || y+number(b.Height) > number(part.FloorY) {
				t.Errorf("%s is at %g, %g in a part of %g by %g", b.Name, x, y, w, h)
			}
		}
	}
	if len(drawn) != len(boxes) || wide != 19*(boxWide+boxGap) {
		t.Errorf("%d boxes of %d, %g wide", len(drawn), len(boxes), wide)
	}
}

// TestPlan holds that rows do not overlap and that one back to back has no aisle.
func TestPlan(t *testing.T) {
	rows := []PlanRow{{Name: "1", Stacks: make([]PlanStack, 3)}, {Name: "2", Against: true, Stacks: make([]PlanStack, 9)}, {Name: "3", Stacks: make([]PlanStack, 1)}}
	p := NewPlan(rows, []PlanSpot{{Name: "a"}, {Name: "b"}}, "aisle", "doors south")
	if len(p.Aisles) != 2 || len(p.Spots) != 2 || p.Doors == nil || p.DoorGap == "" {
		t.Errorf("aisles %v, spots %v, doors %v", p.Aisles, p.Spots, p.Doors)
	}
	y := func(i int) float64 { v, _ := strconv.ParseFloat(p.Rows[i].Y, 64); return v }
	if y(1)-y(0) != planRow || y(2)-y(1) != planRow+planAisle {
		t.Errorf("rows at %g, %g, %g", y(0), y(1), y(2))
	}
}
