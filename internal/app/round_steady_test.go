package app_test

import (
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/demo"
	"wormyard/internal/sqlite"
	"wormyard/journal"
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

// said gives why an item asks for what it does.
func said(it round.Item) string {
	var out []string
	for _, x := range it.Why {
		out = append(out, round.Words{}.Text(x))
	}
	return strings.Join(out, " ")
}

// openCopy opens a copy of a farm.
func openCopy(t *testing.T, path string, clock func() time.Time) (*app.App, *sqlite.Store) {
	t.Helper()
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
	a, store, err := app.OpenFile(context.Background(), at, clock)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	return a, store
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
	var now time.Time
	a, store := openCopy(t, path, func() time.Time { return now })
	now = demo.Now()
	if days := os.Getenv("WORMYARD_FEED_DAYS"); days != "" { // "tuesday,friday"
		value, err := json.Marshal(farm.HabitSetup{FeedDepthM: 0.0381, FeedDays: strings.Split(days, ","), FeedMostM: 0.0254})
		if err != nil {
			t.Fatal(err)
		}
		if ack, err := a.Record(ctx, journal.Entry{Kind: "setting", At: now, Body: &journal.Setting{Key: farm.KeyHabits, Value: value}}, true); err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
	}
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
		for _, x := range l.Notes {
			t.Log(round.Words{}.Text(x))
		}
		for _, n := range l.Lines {
			if n.Act == round.Ask {
				t.Logf("%s %s %s", n.Say, n.Reason, n.Sure)
			}
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
				t.Logf("%s: %+v > %+v, %.2f > %.2f kg: %s > %s", bin, before[bin], next[bin], kept[bin].Value, it.Value, said(kept[bin]), said(it))
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
