package mix

import (
	"testing"
)

// Reference case 20, constructed: manure with vegetable waste and water.
func TestSolveTwoTargetsWithWater(t *testing.T) {
	p := parameters(t)
	w := Wanted{
		Recipe:    Recipe{Parts: []Part{kilos("manure", 1000, 72, 48, 1.6), kilos("vegetables", 0, 87, 51.3, 2.7)}},
		Free:      []bool{false, true},
		FreeWater: true,
		Target:    []Window{{Output: Water, Low: .78, High: .78}, {Output: CN, Low: 27, High: 27}},
		Least:     LeastPour,
	}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if !got.Possible {
		t.Fatalf("%+v", got.Blocked)
	}
	near(t, "vegetables", float64(got.Recipe.Parts[1].Amount.Wet), 478.63, .01)
	near(t, "water", float64(got.Recipe.Water), 76.92, .01)
}

// Reference case 21, constructed: no mix of the three meets both.
func TestSolveSaysWhichWindowBlocks(t *testing.T) {
	p := parameters(t)
	w := Wanted{
		Recipe: Recipe{Parts: []Part{kilos("vegetables", 1000, 87, 51.3, 2.7), kilos("leaves", 0, 38, 48.6, .9), kilos("cardboard", 0, 8, 56.3, .1)}},
		Free:   []bool{false, true, true},
		Target: []Window{{Output: Water, Low: .75, High: .75}, {Output: CN, Low: 25, High: 25}},
	}
	got, err := Solve(t.Context(), solver.Solve, p, w)
	if err != nil {
		t.Fatal(err)
	}
	if got.Possible || len(got.Blocked) != 2 {
		t.Fatalf("%+v", got)
	}
	// Each window alone gives way to what leaves alone reach: 130.14 kg for the
	// C:N and 324.32 kg for the moisture.
	near(t, "moisture", got.Blocked[0].Best, .814, .001)
	near(t, "C:N", got.Blocked[1].Best, 30.9, .05)
	t.Log(got.Blocked[0].Needs, got.Blocked[1].Needs, got.Solves)
}
