// Package storetest is one suite of tests for every store of the journal.
package storetest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"iter"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"wormyard/internal/ids"
	"wormyard/journal"
	"wormyard/qty"
)

// Store is what every store of the journal does.
type Store interface {
	Append(ctx context.Context, entries []journal.Entry) ([]journal.Entry, error)
	Entries(ctx context.Context, after int64) iter.Seq2[journal.Entry, error]
	Load(ctx context.Context, after int64) ([]journal.Entry, error)
	Entry(ctx context.Context, id string) (journal.Entry, error)
	Verify(ctx context.Context) (journal.Audit, error)
	Close() error
}

// Start is the time of the first sample entry.
var Start = time.Date(2026, 3, 1, 16, 0, 0, 0, time.UTC)

// Ptr gives a pointer to v, for optional fields.
func Ptr[T any](v T) *T { return &v }

// Samples gives entries of many kinds, the same every time: n of them, with
// readings in runs, a replaced entry, a strike and a strike of a strike.
func Samples(n int) []journal.Entry {
	out := make([]journal.Entry, 0, n)
	add := func(kind string, body any) *journal.Entry {
		at := Start.Add(time.Duration(len(out)) * time.Minute)
		out = append(out, journal.Entry{ID: ids.FromContent(at, []byte(kind), len(out)), Kind: kind, At: at, Who: "crew 1", Device: "phone", Body: body})
		return &out[len(out)-1]
	}
	for i := 0; len(out) < n; i++ {
		bin := fmt.Sprintf("B%d", i%40)
		switch i % 9 {
		case 0:
			add("build", &journal.Build{Bins: []string{bin}, DepthM: Ptr(qty.Metre(0.6)), Note: "a <b> & \"c\" é \t"})
		case 1:
			add("feed", &journal.Feed{Bins: []string{bin, "B41"}, Batch: "41", DepthM: Ptr(qty.Metre(0.0508))}).Confirmed = []string{"depth_m"}
		case 2, 3, 4:
			for j := range 3 {
				add("reading", &journal.Reading{Bin: bin, TempC: Ptr(qty.Celsius(float64(i) / 7)), DepthM: Ptr(qty.Metre(0.1 * float64(j))), Probe: "logger", ProbeID: "L1"})
			}
		case 5:
			add("water", &journal.Water{Bins: []string{bin}, Kg: 9.5})
		case 6:
			e := add("strike", &journal.Strike{Why: "wrong bin"})
			e.Strikes = out[len(out)-2].ID
		case 7:
			e := add("strike", &journal.Strike{Why: "it was right"})
			e.Strikes = out[len(out)-2].ID
		case 8:
			e := add("feed", &journal.Feed{Bins: []string{bin}, Batch: "42", MassKgWet: Ptr(qty.WetKg(20))})
			e.Strikes, e.Photo = out[max(0, len(out)-12)].ID, "p1.jpg"
		}
	}
	return out[:n]
}

// Collect reads every entry after a sequence number.
func Collect(t *testing.T, s Store, after int64) []journal.Entry {
	t.Helper()
	var out []journal.Entry
	for e, err := range s.Entries(context.Background(), after) {
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, e)
	}
	return out
}

func contents(list []journal.Entry) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = string(list[i].AppendContent(nil))
	}
	return out
}

// Run puts a store through the suite. Open opens the farm of that name and
// makes it when there is none; the same name twice is the same farm.
func Run(t *testing.T, open func(t *testing.T, path string) Store) {
	ctx := context.Background()
	fresh := func(t *testing.T) (Store, string) {
		path := filepath.Join(t.TempDir(), "farm 1#x.wormyard")
		return open(t, path), path
	}

	t.Run("empty", func(t *testing.T) {
		s, _ := fresh(t)
		defer s.Close()
		if got := Collect(t, s, 0); len(got) != 0 {
			t.Fatalf("an empty farm holds %d entries", len(got))
		}
		a, err := s.Verify(ctx)
		if err != nil || a.Broken != nil || a.Entries != 0 {
			t.Fatalf("%+v %v", a, err)
		}
		if _, err := s.Entry(ctx, ids.FromContent(Start, nil, 0)); !errors.Is(err, sql.ErrNoRows) {
			t.Fatalf("got %v", err)
		}
	})

	t.Run("what goes in comes out, also after closing", func(t *testing.T) {
		s, path := fresh(t)
		in := Samples(400)
		for i := 0; i < len(in); i += 7 {
			if _, err := s.Append(ctx, in[i:min(i+7, len(in))]); err != nil {
				t.Fatal(err)
			}
		}
		want := Samples(400)
		for i := range want {
			if err := want[i].Seal(); err != nil {
				t.Fatal(err)
			}
		}
		check := func(s Store) {
			t.Helper()
			got := Collect(t, s, 0)
			if d := cmp.Diff(contents(want), contents(got)); d != "" {
				t.Fatal(d)
			}
			for i, e := range got {
				if e.Seq != int64(i+1) || e.Recorded.IsZero() || e.Hash == (journal.Hash{}) {
					t.Fatalf("entry %d: seq %d recorded %v", i, e.Seq, e.Recorded)
				}
				if i > 0 && e.Hash != got[i-1].Hash && e.Prev != got[i-1].Hash {
					t.Fatalf("entry %d does not hang on the one before", i)
				}
				if d := cmp.Diff(want[i].Body, e.Body); d != "" {
					t.Fatal(d)
				}
			}
			a, err := s.Verify(ctx)
			if err != nil || a.Broken != nil || a.Entries != 400 || a.Head != got[399].Hash {
				t.Fatalf("%+v %v", a, err)
			}
			for _, after := range []int64{1, 2, 5, 199, 399} {
				rest := Collect(t, s, after)
				if d := cmp.Diff(got[after:], rest); d != "" {
					t.Fatalf("after %d: %s", after, d)
				}
			}
			for after := int64(0); after < 400; after += 13 { // all at once says the same, but for Raw
				whole, err := s.Load(ctx, after)
				if err != nil || len(whole) != len(got[after:]) {
					t.Fatal(len(whole), err)
				}
				for i := range whole {
					e := got[int(after)+i]
					e.Raw = nil
					if d := cmp.Diff(e, whole[i]); d != "" {
						t.Fatalf("after %d: %s", after, d)
					}
				}
			}
			for i := range got {
				one, err := s.Entry(ctx, got[i].ID)
				if err != nil {
					t.Fatal(err)
				}
				if d := cmp.Diff(got[i], one); d != "" {
					t.Fatal(d)
				}
			}
		}
		check(s)
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		s = open(t, path)
		defer s.Close()
		check(s)
	})

	t.Run("the same entry twice is one", func(t *testing.T) {
		s, _ := fresh(t)
		defer s.Close()
		in := Samples(60)
		first, err := s.Append(ctx, in)
		if err != nil {
			t.Fatal(err)
		}
		second, err := s.Append(ctx, slices.Concat(in[10:20], in[10:20]))
		if err != nil {
			t.Fatal(err)
		}
		for i, e := range second {
			if want := first[10+i%10]; e.Seq != want.Seq || e.Hash != want.Hash || e.Prev != want.Prev || !e.Recorded.Equal(want.Recorded) {
				t.Fatalf("entry %d was taken as %d, now as %d", i, want.Seq, e.Seq)
			}
		}
		if got := Collect(t, s, 0); len(got) != 60 {
			t.Fatalf("%d entries", len(got))
		}
	})

	t.Run("the same id with another content is refused, and nothing of the call is kept", func(t *testing.T) {
		s, _ := fresh(t)
		defer s.Close()
		in := Samples(30)
		if _, err := s.Append(ctx, in[:20]); err != nil {
			t.Fatal(err)
		}
		for i := range 20 {
			other := in[i]
			other.Who = "crew 2"
			_, err := s.Append(ctx, []journal.Entry{in[25], other})
			var c *journal.Conflict
			if !errors.As(err, &c) || c.Kept.Who != "crew 1" || c.Given.Who != "crew 2" {
				t.Fatalf("entry %d: %v", i, err)
			}
		}
		other := in[26]
		other.Device = "desk"
		if _, err := s.Append(ctx, []journal.Entry{in[26], other}); err == nil {
			t.Fatal("two contents under one id in one call were taken")
		}
		bad := in[27]
		bad.ID = "12"
		if _, err := s.Append(ctx, []journal.Entry{bad}); err == nil {
			t.Fatal("an id that is no UUIDv7 was taken")
		}
		if got := Collect(t, s, 0); len(got) != 20 {
			t.Fatalf("%d entries", len(got))
		}
	})

	t.Run("many writers and readers at once", func(t *testing.T) {
		s, path := fresh(t)
		defer s.Close()
		other := open(t, path)
		defer other.Close()
		in := Samples(240)
		var wg sync.WaitGroup
		for w := range 4 {
			wg.Go(func() {
				to := s
				if w%2 == 1 {
					to = other
				}
				for i := w; i < len(in); i += 4 {
					if _, err := to.Append(ctx, in[i:i+1]); err != nil {
						t.Error(err)
						return
					}
				}
			})
			wg.Go(func() {
				seen := int64(0)
				for range 10 {
					for e, err := range s.Entries(ctx, seen) {
						if err != nil || e.Seq != seen+1 {
							t.Errorf("after %d came %d: %v", seen, e.Seq, err)
							return
						}
						seen = e.Seq
					}
					if a, err := other.Verify(ctx); err != nil || a.Broken != nil {
						t.Errorf("%+v %v", a.Broken, err)
					}
				}
			})
		}
		wg.Wait()
		got := Collect(t, s, 0)
		a, err := s.Verify(ctx)
		if len(got) != len(in) || err != nil || a.Broken != nil {
			t.Fatalf("%d entries, %+v %v", len(got), a.Broken, err)
		}
	})

	t.Run("a given-up call keeps nothing", func(t *testing.T) {
		s, _ := fresh(t)
		defer s.Close()
		gone, cancel := context.WithCancel(ctx)
		cancel()
		if _, err := s.Append(gone, Samples(5)); err == nil {
			t.Fatal("no error")
		}
		if _, err := s.Append(ctx, Samples(5)); err != nil {
			t.Fatal(err)
		}
		if got := Collect(t, s, 0); len(got) != 5 {
			t.Fatalf("%d entries", len(got))
		}
	})
}
