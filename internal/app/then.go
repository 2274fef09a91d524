package app

import (
	"context"
	"slices"
	"time"

	"wormyard/farm"
	"wormyard/journal"
)

// then is the farm as it was known at times of the past: folded from what the
// journal had taken by then, going forward.
type then struct {
	waiting []journal.Entry // in the order in which the journal took them
	farm    *farm.Farm
}

// then begins before the first entry of the journal.
func (a *App) then(ctx context.Context) (*then, error) {
	all, err := a.Journal.Load(ctx, 0)
	if err != nil {
		return nil, err
	}
	for i := range all {
		all[i].Raw = nil // the body says the same
	}
	slices.SortStableFunc(all, func(a, b journal.Entry) int { return a.Recorded.Compare(b.Recorded) })
	return &then{waiting: all, farm: farm.New(a.trade)}, nil
}

// first gives when the journal took its first entry; zero while it is empty.
func (h *then) first() time.Time {
	if len(h.waiting) == 0 {
		return time.Time{}
	}
	return h.waiting[0].Recorded
}

// at gives the farm as known at a time, not before one asked for already.
func (h *then) at(t time.Time) *farm.State {
	n := 0
	for n < len(h.waiting) && !h.waiting[n].Recorded.After(t) {
		n++
	}
	h.farm.Apply(h.waiting[:n:n])
	h.waiting = h.waiting[n:]
	return h.farm.State()
}
