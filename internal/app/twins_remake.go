package app

import (
	"context"
	"slices"

	"wormyard/barn"
	"wormyard/round"
)

// RemakeBins computes the items and the outlooks of some bins again, after news of
// them, and shows each as soon as it is there: the air of the barns, the mixes
// and what was said before are gathered once for all. It does nothing when no
// round was made yet. The bins that were not come to are given with the error.
func (t *Twins) RemakeBins(ctx context.Context, names []string, say func(part, of int)) (left []string, err error) {
	last, err := t.Last(ctx)
	if err != nil {
		return names, err
	}
	if last == nil {
		return nil, nil
	}
	s, now := t.App.State(), t.App.Now()
	air, err := t.airFor(s, now)
	if err != nil {
		return names, err
	}
	before, err := t.saidBefore(ctx, now)
	if err != nil {
		return names, err
	}
	mixes, held := t.mixes(s, air, now)
	suspects := t.suspects(s, now)
	frame := t.frame(s, air, now, mixes, held)
	c := t.borrow()
	defer t.giveBack(c)
	for i, name := range names {
		if say != nil {
			say(i, len(names))
		}
		if last, err = t.Last(ctx); err != nil { // a round may have been made meanwhile
			return names[i:], err
		}
		made := *last
		made.Items = slices.DeleteFunc(slices.Clone(made.Items), func(it round.Item) bool { return it.Bin == name })
		views := map[string]*Outlook{}
		if b, ok := s.Bin(name); ok && b.Bed != nil {
			item, view, snaps, err := t.bin(ctx, c, s, b, air, now, mixes, before, &besides{suspect: suspects[name]})
			if err != nil {
				return names[i:], err
			}
			if err := t.Kept.PutSnapshots(ctx, t.kind.Load().version, snaps); err != nil {
				return names[i:], err
			}
			made.Items, views[name] = append(made.Items, item), view
			slices.SortFunc(made.Items, func(a, b round.Item) int { return barn.Natural(a.Bin, b.Bin) })
		}
		piles := made.Made.Piles // news of a bin is none of a pile
		made.Made = frame
		made.Made.Notes = append(HabitCosts(s, made.Priced), frame.Notes...)
		made.Made.Piles = piles
		if err := t.keep(ctx, &made, views, false); err != nil {
			return names[i:], err
		}
	}
	return nil, nil
}
