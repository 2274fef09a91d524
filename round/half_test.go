package round

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wormyard/twin"
)

// Nobody judges what a copy chose: copies of one member stand on one side, all
// members stand on one, and enough of them tell.
func TestFamiliesStayTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		members := make([]twin.Member, twin.Members)
		roots := rapid.IntRange(1, twin.Members).Draw(t, "roots")
		size := map[int]int{}
		for m := range members {
			members[m].Root = rapid.IntRange(0, roots-1).Draw(t, "root")
			size[members[m].Root]++
		}
		h := part(members)
		if all := slices.Sorted(slices.Values(slices.Concat(h.choose, h.tell))); len(all) != twin.Members || all[0] != 0 || len(slices.Compact(all)) != twin.Members {
			t.Fatalf("%v choose, %v tell", h.choose, h.tell)
		}
		if len(h.tell) < leastTell || len(h.choose) < leastTell {
			t.Fatalf("%d choose, %d tell", len(h.choose), len(h.tell))
		}
		for _, m := range h.screen {
			if !slices.Contains(h.choose, m) {
				t.Fatalf("member %d screens and does not choose", m)
			}
		}
		if len(h.screen) != min(8, len(h.choose)) {
			t.Fatalf("%d screen", len(h.screen))
		}
		torn := map[int]bool{}
		for _, m := range h.choose {
			for _, k := range h.tell {
				if members[m].Root == members[k].Root {
					torn[members[m].Root] = true
				}
			}
		}
		for root := range torn {
			if size[root] <= twin.Members-leastTell {
				t.Fatalf("%d copies of member %d stand on both sides", size[root], root)
			}
		}
	})
}

// Where nobody has looked yet every second member tells.
func TestHalvesOfMembersThatAreNoCopies(t *testing.T) {
	members := make([]twin.Member, twin.Members)
	for m := range members {
		members[m].Root = m
	}
	h := part(members)
	for i := range 16 {
		if h.choose[i] != 2*i || h.tell[i] != 2*i+1 {
			t.Fatalf("%v choose, %v tell", h.choose, h.tell)
		}
	}
	if want := []int{0, 4, 8, 12, 16, 20, 24, 28}; !slices.Equal(h.screen, want) {
		t.Errorf("%v screen, want %v", h.screen, want)
	}
}
