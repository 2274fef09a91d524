package round

import (
	"slices"
	"testing"

	"wormyard/twin"
)

// Every second member tells and has no part in choosing.
func TestHalvesOfTheMembers(t *testing.T) {
	h := part(twin.Members)
	for i := range 16 {
		if h.choose[i] != 2*i || h.tell[i] != 2*i+1 {
			t.Fatalf("%v choose, %v tell", h.choose, h.tell)
		}
	}
	if want := []int{0, 4, 8, 12, 16, 20, 24, 28}; !slices.Equal(h.screen, want) {
		t.Errorf("%v screen, want %v", h.screen, want)
	}
}
