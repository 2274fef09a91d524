package app_test

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/demo"
	"wormyard/round"
)

// asked is what a crew would do differently: the act and its amounts.
type asked struct {
	act          round.Act
	depth, water float64
	cover, mix   string
}

func askedOf(l round.List) map[string]asked {
	out := map[string]asked{}
	for _, n := range l.Lines {
		for _, it := range n.Items {
			if it.Bin != "" {
				out[it.Bin] = asked{it.Act, it.DepthM, it.WaterKg, it.Cover, it.Mix}
			}
		}
	}
	return out
}

// TestSteadyAdvice makes the round of the demo farm and that of the days after
// with no word from the barn in between, and counts the bins whose advice
// changed. What a bin's day of the habit or of the truck brings was announced the
// day before and is counted apart.
func TestSteadyAdvice(t *testing.T) {
	path := os.Getenv("WORMYARD_DEMO")
	if path == "" {
		t.Skip("measured on a demo farm: WORMYARD_DEMO=FILE")
	}
	ctx := context.Background()
	at := filepath.Join(t.TempDir(), "farm.wormyard")
	from, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	to, err := os.Create(at)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(to, from); err != nil {
		t.Fatal(err)
	}
	from.Close()
	to.Close()
	var now time.Time
	a, store, err := app.OpenFile(ctx, at, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	now = demo.Now()
	twins, err := app.NewTwins(a, app.KeepIn{Store: store})
	if err != nil {
		t.Fatal(err)
	}
	twins.Site = demo.Site()
	var before map[string]asked
	var kept map[string]round.Item
	for day := range 3 {
		made, err := twins.MakeRound(ctx, func(string, int, int) {})
		if err != nil {
			t.Fatal(err)
		}
		l, _, err := twins.List(ctx, round.Words{})
		if err != nil {
			t.Fatal(err)
		}
		next, items := askedOf(l), map[string]round.Item{}
		for _, it := range made.Items {
			items[it.Bin] = it
		}
		if day > 0 {
			changed, announced, kinds := 0, 0, map[string]int{}
			for bin, it := range items {
				if next[bin] == before[bin] {
					continue
				}
				if waited := slices.ContainsFunc(kept[bin].Why, func(p round.Phrase) bool { return p.Key == "why.waits" }); it.Due && (waited || !kept[bin].Due) {
					announced++
					continue
				}
				changed++
				kinds[string(before[bin].act)+" > "+string(next[bin].act)]++
				t.Logf("%s: %+v > %+v, %.2f > %.2f kg", bin, before[bin], next[bin], kept[bin].Value, it.Value)
			}
			share := float64(changed) / float64(len(items))
			t.Logf("day %d: %d of %d bins are asked for something else without news (%.1f %%): %v; %d more because their day came; %.0f s", day, changed, len(items), 100*share, kinds, announced, made.Seconds)
			if share >= 0.05 {
				t.Errorf("the advice of %.1f %% of the bins changed without news, wanted under 5", 100*share)
			}
		}
		before, kept = next, items
		now = now.Add(24 * time.Hour)
	}
}
