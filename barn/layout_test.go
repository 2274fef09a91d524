package barn

import (
	"slices"
	"testing"
)

func TestStrays(t *testing.T) {
	p := twoBarns() // two rows of four stacks, three high; C1 on "staging"
	if got := p.Strays("North", []Extent{{"1", 4, 3}, {"2", 4, 3}}, nil); got != nil {
		t.Errorf("a layout with a place for each bin: %v", got)
	}
	got := p.Strays("North", []Extent{{"1", 3, 2}}, []string{"staging"})
	want := []Stray{
		{Lack: NoLevel, Extent: Extent{"1", 3, 2}, Bins: []string{"B3", "B6", "B9"}},
		{Lack: NoStack, Extent: Extent{"1", 3, 2}, Bins: []string{"B10", "B11", "B12"}},
		{Lack: NoRow, Extent: Extent{Row: "2"}, Bins: []string{"B13", "B14", "B15", "B16", "B17", "B18", "B19", "B20", "B21", "B22", "B23", "B24"}},
		{Lack: NoSpot, Spot: "staging", Bins: []string{"C1"}},
	}
	if !slices.EqualFunc(got, want, func(a, b Stray) bool {
		return a.Lack == b.Lack && a.Extent == b.Extent && a.Spot == b.Spot && slices.Equal(a.Bins, b.Bins)
	}) {
		t.Errorf("strays: %v", got)
	}
	if got := p.Strays("East", nil, nil); got != nil {
		t.Errorf("a barn without bins: %v", got)
	}
}
