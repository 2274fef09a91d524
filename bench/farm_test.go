package bench

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"runtime"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/source"
	"wormyard/journal"
	"wormyard/qty"
)

func ptr[T any](v T) *T { return &v }

// million makes a journal of n decoded entries: 500 bins in two barns, five
// years, feedings by the row, looks, waterings, moves, harvests and readings,
// in the order in which they happened.
func million(n int) []journal.Entry {
	const bins = 500
	name := make([]string, bins)
	for i := range name {
		name[i] = fmt.Sprintf("B%d", i+1)
	}
	at := time.Date(2021, 1, 1, 6, 0, 0, 0, time.UTC)
	step := 5 * 365 * 24 * time.Hour / time.Duration(n)
	out := make([]journal.Entry, 0, n)
	add := func(kind string, body any) {
		i := len(out)
		out = append(out, journal.Entry{ID: fmt.Sprintf("019a%04x-%04x-7000-8000-%012d", i>>16, i&0xffff, i), Kind: kind, At: at, Who: "crew 1", Body: body})
		at = at.Add(step)
	}
	for i := 0; i < bins; i += 10 {
		b := &journal.Build{Bins: name[i : i+10]}
		for j := range 10 {
			b.Slots = append(b.Slots, fmt.Sprintf("%s/%d/%d/%d", []string{"North", "South"}[i/250], i/50+1, i%50/3+1, j%3+1))
		}
		add("build", b)
	}
	add("receive", &journal.Receive{Pile: "solids", Material: "dairy solids, separated", VolumeM3: ptr(qty.CubicMetre(1e6))})
	add("blend", &journal.Blend{Batch: "1", Parts: []journal.BlendPart{{Pile: "solids", VolumeM3: ptr(qty.CubicMetre(100))}}})
	for i := 0; i < bins; i += 10 {
		add("bed", &journal.Bed{Bins: name[i : i+10], Batch: "1", DepthM: 0.15})
		add("stock", &journal.Stock{Bins: name[i : i+10], Kg: 5})
	}
	batch := 1
	for k := 0; len(out) < n; k++ {
		i := k * 7 % bins
		switch k % 20 {
		case 0:
			if k%400 == 0 {
				batch++
				add("blend", &journal.Blend{Batch: fmt.Sprint(batch), Parts: []journal.BlendPart{{Pile: "solids", VolumeM3: ptr(qty.CubicMetre(60))}}, WaterKg: ptr(qty.WaterKg(100))})
				continue
			}
			add("move", &journal.Move{Bin: name[i], To: fmt.Sprintf("North/1/%d/%d", i%20+1, i%3+1)})
		case 1, 2, 3, 4, 5:
			add("feed", &journal.Feed{Bins: name[i/10*10 : i/10*10+10], Batch: fmt.Sprint(batch), DepthM: ptr(qty.Metre(0.05))})
		case 6, 7:
			add("water", &journal.Water{Bins: name[i/10*10 : i/10*10+10], Kg: 4})
		case 8, 9:
			add("look", &journal.Look{Bins: name[i : i+1], Squeeze: "few drops", FeedLeft: "some"})
		case 10:
			if k%500 == 10 { // each bin about once in fifteen months
				i := k / 500 % bins
				add("harvest", &journal.Harvest{Bins: name[i : i+1], MassKgWet: ptr(qty.WetKg(300)), Lot: fmt.Sprintf("L%d", k/20000), EndsBed: true})
				add("bed", &journal.Bed{Bins: name[i : i+1], Batch: fmt.Sprint(batch), DepthM: 0.15})
				continue
			}
			add("depth", &journal.Depth{Bins: name[i : i+1], DepthM: 0.3})
		default:
			add("reading", &journal.Reading{Bin: name[i], TempC: ptr(qty.Celsius(18 + float64(k%9))), DepthM: ptr(qty.Metre(0.1)), Probe: "logger"})
		}
	}
	return out[:n]
}

// TestFold folds a journal of decoded entries and reports the time, beside the
// time to read the same entries from their JSON in the same run. FOLD_ENTRIES
// sets their number, and then the best of three must keep its share of 4 s for a
// million; a machine busy with other tests is not held to it.
func TestFold(t *testing.T) {
	n, asked := 100_000, os.Getenv("FOLD_ENTRIES") != ""
	if asked {
		if _, err := fmt.Sscan(os.Getenv("FOLD_ENTRIES"), &n); err != nil {
			t.Fatal(err)
		}
	}
	entries := million(n)
	library, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	trade := farm.Trade{Library: library, Usual: farm.Usual{BoxLength: 1.2, BoxWidth: 1.2, BoxDepth: 0.6, StockTypedRange: 1.5}, Decode: json.Unmarshal, Zone: time.LoadLocation}

	var f *farm.Farm
	var state *farm.State
	fold := time.Duration(math.MaxInt64)
	tries := 1
	if asked {
		tries = 3
	}
	for range tries {
		f, state = nil, nil
		runtime.GC()
		began := time.Now()
		f = farm.New(trade)
		f.Apply(entries)
		state = f.State()
		fold = min(fold, time.Since(began))
	}
	if state.Entries != n || len(state.Bins()) != 500 {
		t.Fatalf("folded %d entries into %d bins, want %d and 500", state.Entries, len(state.Bins()), n)
	}

	raw := make([][]byte, 0, n/10)
	for i := 0; i < n; i += 10 {
		b, err := journal.Encode(entries[i].Body)
		if err != nil {
			t.Fatal(err)
		}
		raw = append(raw, b)
	}
	began := time.Now()
	for i, b := range raw {
		if _, err := journal.Read(entries[i*10].Kind, b); err != nil {
			t.Fatal(err)
		}
	}
	decode := time.Since(began) * 10

	late := entries[n-200]
	late.ID, late.At = "019affff-ffff-7000-8000-000000000000", late.At.Add(time.Millisecond)
	began = time.Now()
	f.Apply([]journal.Entry{late})
	f.State()
	today := time.Since(began)
	last := entries[n-1]
	began = time.Now()
	for i := range 100 {
		last.ID, last.At = fmt.Sprintf("019affff-ffff-7001-8000-%012d", i), last.At.Add(time.Second)
		f.Apply([]journal.Entry{last})
		f.State()
	}
	one := time.Since(began) / 100
	t.Logf("fold of %d decoded entries: %v (%.2f µs an entry); reading them from JSON: %v, ratio %.2f; a late entry of today: %v; one entry and its picture: %v",
		n, fold.Round(time.Millisecond), float64(fold.Microseconds())/float64(n), decode.Round(time.Millisecond), float64(decode)/float64(fold), today, one)
	if asked && fold > 4*time.Second*time.Duration(n)/1_000_000 {
		t.Errorf("the fold took %v, more than its share of 4 s for a million", fold)
	}
}
