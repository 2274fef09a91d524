package app

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// TestTogether lets several people write while others read: every entry is
// there once, and no picture is seen half changed.
func TestTogether(t *testing.T) {
	a, ctx := openTest(t), context.Background()
	if _, ps, err := a.Begin(ctx, readSample(t), "owner", false); err != nil || len(ps) > 0 {
		t.Fatal(err, ps)
	}
	before := a.State().Entries
	const people, each = 4, 25
	var writers, readers sync.WaitGroup
	done := make(chan struct{})
	for range 2 {
		readers.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
				}
				s := a.State()
				b, _ := s.Bin("B1")
				var sum float64
				for _, act := range b.Bed.Acts {
					sum += float64(act.Water)
				}
				if n := s.Entries - before; n < 0 || n > people*each || sum > float64(n) {
					t.Errorf("a picture of %d entries holds %g kg of water", n, sum)
					return
				}
				s.Search(farm.Search{Subject: "bin B1", Limit: 3}, qty.US)
				s.Places().Above("B1")
			}
		})
	}
	for p := range people {
		writers.Go(func() {
			for i := range each {
				e := journal.Entry{Kind: "water", Who: fmt.Sprint("crew ", p), At: monday.Add(time.Duration(-i) * time.Millisecond), Body: &journal.Water{Bins: []string{"B1"}, Kg: 1}}
				if ack, err := a.Record(ctx, e, true); err != nil || !ack.Saved {
					t.Error(err, ack.Problems)
					return
				}
			}
		})
	}
	writers.Wait()
	close(done)
	readers.Wait()
	b, _ := a.State().Bin("B1")
	waters := 0
	for _, act := range b.Bed.Acts {
		if act.Kind == farm.ActWater {
			waters++
		}
	}
	if waters != people*each {
		t.Errorf("%d waterings are there, want %d", waters, people*each)
	}
}

// TestTwoPrograms holds that what another program wrote to the same file is
// taken in before the next entry, not lost.
func TestTwoPrograms(t *testing.T) {
	a, ctx := openTest(t), context.Background()
	if _, ps, err := a.Begin(ctx, readSample(t), "owner", false); err != nil || len(ps) > 0 {
		t.Fatal(err, ps)
	}
	other, err := Open(ctx, a.Journal, a.Clock)
	if err != nil {
		t.Fatal(err)
	}
	var told int
	a.Written = func(entries []journal.Entry) { told += len(entries) }
	water := func(a *App, bin string) {
		t.Helper()
		if ack, err := a.Record(ctx, journal.Entry{Kind: "water", Body: &journal.Water{Bins: []string{bin}, Kg: 2}}, false); err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
	}
	water(other, "B1")
	water(a, "B2")
	b, _ := a.State().Bin("B1")
	if n := len(b.Bed.Acts); b.Bed.Acts[n-1].Kind != farm.ActWater {
		t.Error("the watering of the other program is not there")
	}
	if told != 2 {
		t.Errorf("told of %d entries, want 2", told)
	}
	water(other, "B3")
	if err := a.Refresh(ctx); err != nil {
		t.Fatal(err)
	}
	if got, want := a.State().Entries, other.State().Entries; got != want || told != 3 {
		t.Errorf("after a refresh %d entries, told of %d; want %d and 3", got, told, want)
	}
}

func TestRecordAll(t *testing.T) {
	a, ctx := openTest(t), context.Background()
	build := journal.Entry{Kind: "build", Body: &journal.Build{Bins: []string{"X1"}}}
	stray := journal.Entry{Kind: "water", Body: &journal.Water{Bins: []string{"X2"}, Kg: 2}}
	acks, err := a.RecordAll(ctx, []journal.Entry{build, stray}, true)
	if err != nil || acks[0].Saved || acks[1].Saved || len(acks[1].Problems) == 0 || len(a.State().Journal()) != 0 {
		t.Errorf("all or none: %+v %v", acks, err)
	}
	bed := journal.Entry{Kind: "bed", Body: &journal.Bed{Bins: []string{"X1"}, Material: "leaves, loose dry", DepthM: 0.15}}
	acks, err = a.RecordAll(ctx, []journal.Entry{build, bed}, false)
	if err != nil || !acks[0].Saved || !acks[1].Saved {
		t.Errorf("an entry on the one before it: %+v %v", acks, err)
	}
}
