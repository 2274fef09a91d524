package app

import (
	"context"
	"testing"

	"wormyard/internal/nature"
	"wormyard/journal"
)

// The farm says that it keeps other worms: the round is out of date, the next one
// runs with their numbers and no stored state of the first is read; and back.
func TestTwinsTakeTheFarmsWorms(t *testing.T) {
	f := smallFarm(t)
	ctx := context.Background()
	f.make()
	first := f.twins.kind.Load()
	if f.twins.Stale(ctx) {
		t.Fatal("a round just made is out of date")
	}
	f.write(f.now, "setting", &journal.Setting{Key: "worms", Value: []byte(`"veneta"`)})
	if !f.twins.Stale(ctx) {
		t.Error("other worms leave the round as it was")
	}
	f.make()
	veneta, err := nature.Worms("veneta")
	if err != nil {
		t.Fatal(err)
	}
	now := f.twins.kind.Load()
	if now.draws[0].Worm != veneta || now.version == first.version || f.twins.Stale(ctx) {
		t.Errorf("the twins run with %+v", now.draws[0].Worm)
	}
	f.restart()
	if f.twins.kind.Load().version != now.version {
		t.Error("a restart forgot which worms the farm keeps")
	}
	f.write(f.now, "setting", &journal.Setting{Key: "worms", Value: []byte(`"fetida"`)})
	f.make()
	if f.twins.kind.Load().version != first.version {
		t.Error("the first worms are not what they were")
	}
	ack, err := f.app.Record(ctx, journal.Entry{Kind: "setting", Who: "crew 1", At: f.now, Body: &journal.Setting{Key: "worms", Value: []byte(`"terrestris"`)}}, true)
	if err != nil || ack.Saved {
		t.Error("worms nobody has numbers for were taken", err)
	}
}
