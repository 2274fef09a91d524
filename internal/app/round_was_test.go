package app

import (
	"context"
	"testing"

	"wormyard/journal"
	"wormyard/round"
)

// What a bin was told goes into the next round until something is written of it,
// until the numbers change, or until it is older than bins go without a visit.
func TestWhatWasToldIsHeardUntilNews(t *testing.T) {
	f := smallFarm(t)
	first := f.make()
	for _, it := range first.Items {
		if it.Was != nil || it.RestsOn == "" {
			t.Errorf("before the first round %s was told %+v", it.Bin, it.Was)
		}
	}
	told := f.twins.round.Told(round.Made{Items: first.Items})
	f.now = f.now.AddDate(0, 0, 1)
	f.write(f.now, "look", &journal.Look{Bins: []string{"B2"}, Squeeze: "few drops"})
	for _, it := range f.make().Items {
		switch {
		case it.Bin == "B2" && it.Was != nil:
			t.Errorf("looked at, and it still goes by %+v", it.Was)
		case it.Bin != "B2" && (it.Was == nil || *it.Was != told[it.Bin]):
			t.Errorf("%s was told %+v and goes by %+v", it.Bin, told[it.Bin], it.Was)
		}
	}
	ctx := context.Background()
	if s, err := f.twins.saidBefore(ctx, f.now.AddDate(0, 0, 8)); err != nil || s.advice != nil {
		t.Errorf("after eight days it is still heard: %v %v", s, err)
	}
	f.twins.kind.Load().rounds = "of other numbers"
	if s, err := f.twins.saidBefore(ctx, f.now); err != nil || s.advice != nil {
		t.Errorf("of other numbers and still heard: %v %v", s, err)
	}
}
