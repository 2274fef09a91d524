package app

import (
	"time"

	"wormyard/farm"
	"wormyard/round"
)

// piles follows every pile in the yard from its deliveries and gives what each
// asks for.
func (t *Twins) piles(s *farm.State, air *Air, now time.Time) []round.Pile {
	var out []round.Pile
	for _, p := range s.Lying() {
		if heap, ok := t.heaps(s, air).Pile(p.Name, now.Unix()/3600); ok {
			out = append(out, round.Pile{Name: p.Name, Advice: heap.Advise(&t.numbers.Yard, heap.Through, s.Settings.Units)})
		}
	}
	return out
}
