package bench

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"sync"
	"testing"
	"time"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// inMemory is a journal and a place for what is computed, without a disk.
type inMemory struct {
	mutex   sync.Mutex
	entries []journal.Entry
	snaps   map[string]app.Snap
	results map[string][]byte
	version string
}

func (m *inMemory) Append(_ context.Context, e []journal.Entry) ([]journal.Entry, error) {
	m.entries = append(m.entries, e...)
	return e, nil
}

func (m *inMemory) Load(_ context.Context, after int64) ([]journal.Entry, error) {
	if after > 0 {
		return nil, nil
	}
	out := make([]journal.Entry, len(m.entries))
	for i := range m.entries {
		out[i] = m.entries[i]
		out[i].Seq = int64(i + 1)
	}
	return out, nil
}

func (m *inMemory) Snapshot(_ context.Context, key, _, version string) ([]byte, bool, error) {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	s, ok := m.snaps[key]
	return s.Data, ok && version == m.version, nil
}

func (m *inMemory) PutSnapshots(_ context.Context, version string, snaps []app.Snap) error {
	m.mutex.Lock()
	defer m.mutex.Unlock()
	m.version = version
	for _, s := range snaps {
		m.snaps[s.Key] = s
	}
	return nil
}

func (m *inMemory) Result(_ context.Context, kind, subject string) ([]byte, time.Time, bool, error) {
	data, ok := m.results[kind+"/"+subject]
	return data, time.Time{}, ok, nil
}

func (m *inMemory) PutResults(_ context.Context, kind, _ string, _ time.Time, by map[string][]byte) error {
	for s, data := range by {
		m.results[kind+"/"+s] = data
	}
	return nil
}

// season is a farm of 240 bins in stacks of three over half a year: bedded in the
// first two months, fed an inch and a half each week, watered with it.
func season() []journal.Entry {
	const bins, days = 240, 180
	begin := time.Date(2025, 9, 4, 16, 0, 0, 0, time.UTC)
	var out []journal.Entry
	add := func(at time.Time, kind string, body any) {
		out = append(out, journal.Entry{ID: fmt.Sprintf("019a0000-0000-7000-8000-%012d", len(out)), Kind: kind, At: at, Who: "crew 1", Body: body})
	}
	name := func(i int) string { return fmt.Sprintf("B%d", i+1) }
	add(begin, "setting", &journal.Setting{Key: "zone", Value: []byte(`"America/Los_Angeles"`)})
	for i := range bins {
		add(begin, "build", &journal.Build{Bins: []string{name(i)}, Slots: []string{fmt.Sprintf("%d/%d/%d/%d", i/120+1, i/30+1, i%30/3+1, i%3+1)},
			LengthM: ptr(qty.Metre(1.2)), WidthM: ptr(qty.Metre(1.2)), DepthM: ptr(qty.Metre(0.6)), HolesM2: ptr(qty.SquareMetre(0.006)), Cover: "cloth"})
	}
	for _, p := range []struct{ pile, material string }{{"manure", "horse manure with bedding"}, {"leaves", "leaves, loose dry"}, {"chips", "wood chips, hardwood"}} {
		add(begin, "receive", &journal.Receive{Pile: p.pile, Material: p.material, VolumeM3: ptr(qty.CubicMetre(1000))})
	}
	part := func(pile string, m3 float64) journal.BlendPart {
		return journal.BlendPart{Pile: pile, VolumeM3: ptr(qty.CubicMetre(m3))}
	}
	for b := range 26 {
		add(begin.AddDate(0, 0, b*7), "blend", &journal.Blend{Batch: fmt.Sprint(b + 1), Purpose: "feed", Parts: []journal.BlendPart{part("manure", 8), part("leaves", 8), part("chips", 4)}, WaterFracWet: ptr(qty.WaterOfWet(0.72))})
	}
	for d := range days {
		at := begin.AddDate(0, 0, d)
		for i := range bins {
			first := i % 60
			switch {
			case d == first:
				add(at, "bed", &journal.Bed{Bins: []string{name(i)}, Batch: "1", DepthM: 0.15})
				add(at, "stock", &journal.Stock{Bins: []string{name(i)}, Kg: 6})
			case d > first && (d-first)%7 == 0:
				add(at, "feed", &journal.Feed{Bins: []string{name(i)}, Batch: fmt.Sprint(d/7 + 1), DepthM: ptr(qty.Metre(0.0381))})
				add(at, "water", &journal.Water{Bins: []string{name(i)}, Kg: 4})
			}
		}
	}
	return out
}

// TestRound makes the round of 240 bins: the first ever, which lets every bed
// live from its bedding, that of the next day, which goes on from stored states,
// and the start of a program, which only reads. The first must take under two
// minutes on two cores.
func TestRound(t *testing.T) {
	if os.Getenv("WORMYARD_BENCH") == "" {
		t.Skip("by bench/run")
	}
	ctx := context.Background()
	m := &inMemory{entries: season(), snaps: map[string]app.Snap{}, results: map[string][]byte{}}
	now := time.Date(2026, 3, 3, 15, 40, 0, 0, time.UTC)
	open := func() *app.Twins {
		a, err := app.Open(ctx, m, func() time.Time { return now })
		if err != nil {
			t.Fatal(err)
		}
		tw, err := app.NewTwins(a, m)
		if err != nil {
			t.Fatal(err)
		}
		return tw
	}
	tw := open()
	var bins int
	measure := func(what string) (took time.Duration) {
		began, cpu := time.Now(), processor()
		made, err := tw.MakeRound(ctx, func(string, int, int) {})
		if err != nil {
			t.Fatal(err)
		}
		wall := time.Since(began)
		took, bins = processor()-cpu, len(made.Items)
		var mem runtime.MemStats
		runtime.ReadMemStats(&mem)
		t.Logf("round of %d bins, %s: %.1f s (%.1f s of processor time), %.1f bins a second, %d MB from the system", bins, what,
			wall.Seconds(), took.Seconds(), float64(bins)/wall.Seconds(), mem.Sys>>20)
		if mem.Sys > 1<<30 {
			t.Errorf("%d MB are more than a gigabyte", mem.Sys>>20)
		}
		return took
	}
	if took := measure("from the bedding of each"); took > 4*time.Minute { // of a processor: a busy machine has less of it a minute
		t.Errorf("%.0f s of processor time are more than two minutes of two cores", took.Seconds())
	}
	now = now.AddDate(0, 0, 1)
	measure("a day later")
	began := time.Now()
	tw = open()
	if made, err := tw.Last(ctx); err != nil || len(made.Items) != bins {
		t.Fatal(err)
	}
	t.Logf("start: journal of %d entries folded and last round read: %.2f s", len(m.entries), time.Since(began).Seconds())
}
