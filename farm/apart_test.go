package farm

import (
	"fmt"
	"testing"
	"time"

	"wormyard/journal"
)

// Bought worms are kept apart for as long as is usual, from the last of them on;
// worms of the farm's own are not.
func TestBoughtWormsAreKeptApart(t *testing.T) {
	day := func(n int) time.Time { return time.Date(2026, 3, n, 8, 0, 0, 0, time.UTC) }
	n := 0
	entry := func(at time.Time, kind string, body any) journal.Entry {
		n++
		return journal.Entry{ID: fmt.Sprintf("0195f1d2-0000-7000-8000-%012d", n), Kind: kind, At: at, Seq: int64(n), Body: body}
	}
	f := New(Trade{Usual: Usual{QuarantineDays: 30, BoxLength: 1.2, BoxWidth: 1.2, BoxDepth: 0.6}})
	f.Apply([]journal.Entry{
		entry(day(1), "build", &journal.Build{Bins: []string{"B1", "B2", "B3"}}),
		entry(day(1), "bed", &journal.Bed{Bins: []string{"B1", "B2"}, Material: "cardboard", DepthM: 0.15}),
		entry(day(2), "stock", &journal.Stock{Bins: []string{"B1"}, Kg: 3, Bought: true}),
		entry(day(3), "stock", &journal.Stock{Bins: []string{"B2"}, Kg: 3}),
		entry(day(5), "stock", &journal.Stock{Bins: []string{"B1"}, Kg: 1, Bought: true}),
	})
	s := f.State()
	for _, c := range []struct {
		bin  string
		at   time.Time
		want bool
	}{
		{"B1", day(6), true}, {"B1", day(5).AddDate(0, 0, 29), true}, {"B1", day(5).AddDate(0, 0, 30), false}, {"B2", day(6), false}, {"B3", day(6), false},
	} {
		b, _ := s.Bin(c.bin)
		since, until, got := s.Apart(b, c.at)
		if got != c.want {
			t.Errorf("%s on %s: %v", c.bin, c.at.Format("2 January"), got)
		}
		if got && (!since.Equal(day(5)) || !until.Equal(day(5).AddDate(0, 0, 30))) {
			t.Errorf("%s is apart from %s to %s", c.bin, since, until)
		}
	}
	if _, _, got := s.Apart(nil, day(6)); got {
		t.Error("no bin is kept apart")
	}
}
