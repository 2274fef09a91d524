package farm

import (
	"time"

	"wormyard/journal"
)

// LeftWork is work of a round that somebody left undone, and why.
type LeftWork struct {
	Noted
	Bin, Pile string // where, one of the two
	Act       string // one of journal.RoundActs
	How       string // skipped, could not, or empty
	Why       string
	Step      string // of a remedy, empty for other work
}

// LeftSince gives the work left undone at a time or later, the last first: of
// one act at one place only what was said last. Struck entries do not count.
func (s *State) LeftSince(from time.Time) []LeftWork {
	type place struct{ bin, pile, act, step string }
	seen := map[place]bool{}
	var out []LeftWork
	for i := len(s.journal) - 1; i >= 0 && !s.journal[i].At.Before(from); i-- {
		e := s.journal[i]
		b, ok := e.Body.(*journal.Left)
		if !ok {
			continue
		}
		if _, counts, _ := s.Entry(e.ID); !counts {
			continue
		}
		add := func(at place) {
			if !seen[at] {
				seen[at] = true
				out = append(out, LeftWork{Noted: noted(e), Bin: at.bin, Pile: at.pile, Act: b.Act, How: b.How, Why: b.Why, Step: b.Step})
			}
		}
		for _, bin := range b.Bins {
			add(place{bin, "", b.Act, b.Step})
		}
		if b.Pile != "" {
			add(place{"", b.Pile, b.Act, b.Step})
		}
	}
	return out
}
