package app

import (
	"math"
	"time"

	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/journal"
	"wormyard/round"
	"wormyard/yard"
)

// pileDays is how far back a pile is followed; an older one has long settled.
const pileDays = 400

// piles follows every pile in the yard from its deliveries and gives what each
// asks for.
func (t *Twins) piles(s *farm.State, air *Air, now time.Time) []round.Pile {
	var out []round.Pile
	for _, p := range s.Lying() {
		heap, budget, ok := t.Heap(s, p, air, now)
		if !ok {
			continue
		}
		out = append(out, round.Pile{Name: p.Name, Advice: heap.Advise(&t.numbers.Yard, budget, s.Settings.Units)})
	}
	return out
}

// Heap gives a pile as the yard's model has it now: its heat, its water and what
// rotted. It is false for a pile of which no delivery is known.
func (t *Twins) Heap(s *farm.State, p *farm.Pile, air *Air, now time.Time) (yard.Pile, yard.Budget, bool) {
	hour := now.Unix() / 3600
	from := hour - pileDays*24
	var events []yard.Event
	add := func(e yard.Event) {
		if e.Hour < air.From { // the air is not known further back
			e.Hour = air.From
		}
		if e.Hour >= from {
			events = append(events, e)
		}
	}
	about, _ := s.Search(farm.Search{Subject: "pile " + p.Name, To: now.Add(time.Second), Limit: math.MaxInt}, s.Settings.Units)
	for _, line := range about {
		e := line.Entry
		at := e.At.Unix() / 3600
		switch b := e.Body.(type) {
		case *journal.Receive:
			if b.Pile == p.Name {
				if m, ok := delivered(p, b); ok {
					add(yard.Event{Hour: at, Kind: yard.Received, Matter: m})
				}
			}
		case *journal.Blend:
			for _, part := range b.Parts {
				if part.Pile != p.Name {
					continue
				}
				take := yard.Event{Hour: at, Kind: yard.Taken}
				if part.VolumeM3 != nil {
					take.Volume = *part.VolumeM3
				}
				if part.MassKgWet != nil {
					take.Wet = *part.MassKgWet
				}
				add(take)
			}
		}
	}
	for _, d := range p.Tended {
		if e, ok := farm.Laboured(d); ok {
			add(e)
		}
	}
	heap, budget, err := yard.Follow(&t.numbers.Yard, air.Outside.Air, nil, events, hour)
	if err != nil || heap.Matter.Dry <= 0 {
		return heap, budget, false
	}
	return heap, budget, true
}

// delivered gives what one delivery brought, by the material that the pile holds
// under its name; false when that material is not in the library.
func delivered(p *farm.Pile, b *journal.Receive) (feedstock.Matter, bool) {
	for _, h := range p.Holds {
		if !h.Found || len(p.Holds) > 1 && h.Material.Name != b.Material {
			continue
		}
		var q feedstock.Quantity
		switch {
		case b.VolumeM3 != nil:
			q.Volume = *b.VolumeM3
		case b.MassKgWet != nil:
			q.Wet = *b.MassKgWet
		}
		m, _, err := h.Material.Amount(q, p.Own()...)
		return m, err == nil
	}
	return feedstock.Matter{}, false
}
