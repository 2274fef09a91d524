package round

import "wormyard/twin"

// halves are the members that screen, those that choose among the best few, and
// those that tell the chances and have no part in choosing. Those that screen
// choose as well.
type halves struct{ screen, choose, tell []int }

// part divides so many members: every other one tells the chances, so that nobody
// judges what it chose. docs/model.md (R3).
func part(members int) halves {
	var h halves
	if more := members - twin.Members; more > 0 { // of two branches the same of each
		h = part(twin.Members)
		for _, of := range []*[]int{&h.screen, &h.choose, &h.tell} {
			for _, m := range *of {
				if m < more {
					*of = append(*of, m+twin.Members)
				}
			}
		}
		return h
	}
	for m := range members {
		if m%2 == 0 {
			h.choose = append(h.choose, m)
		} else {
			h.tell = append(h.tell, m)
		}
	}
	every := max(1, len(h.choose)/8)
	for i := 0; i < len(h.choose) && len(h.screen) < 8; i += every {
		h.screen = append(h.screen, h.choose[i])
	}
	return h
}
