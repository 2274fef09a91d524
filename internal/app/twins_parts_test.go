package app

import (
	"context"
	"encoding/json"
	"os"
	"testing"
)

// A round that is stopped halfway goes on after a restart with what is missing,
// and is the same as one that was never stopped.
func TestRoundGoesOnAfterARestart(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(0, 0, 10)
	if err := f.store.Close(); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(f.path)
	if err != nil {
		t.Fatal(err)
	}
	whole := &small{t: t, path: f.path + ".whole", now: f.now}
	if err := os.WriteFile(whole.path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	f.open()
	whole.open()
	ctx, stop := context.WithCancel(context.Background())
	if _, err := f.twins.MakeRound(ctx, func(step string, done, _ int) {
		if step == "bins" && done == 3 {
			stop()
		}
	}); err == nil {
		t.Fatal("the round was not stopped")
	}
	f.restart()
	first, heard := -1, -1
	made, err := f.twins.MakeRound(context.Background(), func(step string, done, of int) {
		if step == "air" {
			heard = done
		}
		if step == "bins" && first < 0 {
			first = done
			if of != 6 {
				t.Errorf("%d bins in all", of)
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if heard != first {
		t.Errorf("%d bins are done when it begins and %d with the first: the time that is left would be reckoned by what was done before", heard, first)
	}
	if first < 3 || f.twins.runs > 6-first {
		t.Errorf("it went on from bin %d, and %d beds were run from their start", first, f.twins.runs)
	}
	want := whole.make()
	made.Seconds, want.Seconds = 0, 0
	a, _ := json.Marshal(made)
	b, _ := json.Marshal(want)
	if string(a) != string(b) {
		t.Errorf("a round that was stopped differs: %d and %d bytes", len(a), len(b))
	}
	if f.make(); len(made.Items) != 6 {
		t.Errorf("%d items", len(made.Items))
	}
	again := -1
	if _, err := f.twins.MakeRound(context.Background(), func(step string, done, _ int) {
		if step == "bins" && again < 0 {
			again = done
		}
	}); err != nil || again != 0 {
		t.Errorf("a round that is asked for anew begins at bin %d: %v", again, err)
	}
}
