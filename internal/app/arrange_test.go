package app

import (
	"testing"

	"wormyard/barn"
)

// A change that is made for warmth stands where its gain puts it, and not behind all
// that save lifts.
func TestChangesOfPlacesTheBestFirst(t *testing.T) {
	x := farmAisle{stacks: []barn.Slot{{Barn: "N", Row: "1", Stack: 1}, {Barn: "N", Row: "1", Stack: 2}}}
	y := barn.Standing{Stacks: [][]string{{"A", "B"}, {"C", "D"}}, Stays: map[string]barn.Stay{}, WarmK: func(level, levels int) float64 { return float64(level) }}
	var list []SlotChange
	for _, c := range []barn.Change{
		{Stacks: []int{0}, After: [][]string{{"B", "A"}}, Swap: [2]string{"A", "B"}, Lifts: 4, Saves: 5},
		{Stacks: []int{1}, After: [][]string{{"D", "C"}}, Swap: [2]string{"C", "D"}, Lifts: 4, Warmth: 9.2},
		{Stacks: []int{1}, After: [][]string{{"D", "C"}}, Swap: [2]string{"C", "D"}, Lifts: 4, Saves: 9.2004},
	} {
		list = append(list, x.change(&y, c, 4))
	}
	bestFirst(list)
	if list[0].Saves != 9.2004/4 || list[1].Saves != 0 || list[2].Saves != 1.25 {
		t.Errorf("%+v", list)
	}
}
