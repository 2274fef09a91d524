package round

import (
	"cmp"
	"slices"

	"wormyard/twin"
)

// halves are the members that screen, those that choose among the best few, and
// those that tell the chances and have no part in choosing. Those that screen
// choose as well.
type halves struct{ screen, choose, tell []int }

// leastTell is how few members may tell the chances before a family is parted
// for it.
const leastTell = 8

// part divides the members of an ensemble. Those that come from one member of
// the beginning, as copies of it after looks, stay on one side, so that nobody
// judges what a copy chose; the largest families are placed first, each on the
// side that has fewer. Only where one family is nearly all there is, it stands
// on both sides. docs/model.md (R3).
func part(members []twin.Member) halves {
	families := map[int][]int{}
	var roots []int
	for m := range members {
		root := members[m].Root
		if families[root] == nil {
			roots = append(roots, root)
		}
		families[root] = append(families[root], m)
	}
	slices.SortStableFunc(roots, func(a, b int) int { return cmp.Compare(len(families[b]), len(families[a])) })
	var h halves
	for _, root := range roots {
		if len(h.tell) < len(h.choose) {
			h.tell = append(h.tell, families[root]...)
		} else {
			h.choose = append(h.choose, families[root]...)
		}
	}
	for _, side := range []*[]int{&h.choose, &h.tell} {
		slices.Sort(*side)
	}
	for len(h.tell) < leastTell && len(h.choose) > leastTell {
		n := len(h.choose) - 1
		h.tell, h.choose = append(h.tell, h.choose[n]), h.choose[:n]
	}
	every := max(1, len(h.choose)/8)
	for i := 0; i < len(h.choose) && len(h.screen) < 8; i += every {
		h.screen = append(h.screen, h.choose[i])
	}
	return h
}
