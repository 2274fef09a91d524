package farm

import (
	"testing"
	"time"

	"wormyard/journal"
)

// What was said last of an act at a place stands; what was struck, and what is
// older, does not.
func TestLeftSince(t *testing.T) {
	at := func(hour int) time.Time { return time.Date(2026, 3, 3, hour, 0, 0, 0, time.UTC) }
	id := func(n string) string { return "019cb45d-0000-7000-8000-0000000000" + n }
	entry := func(n string, hour int, b *journal.Left) journal.Entry {
		e := journal.Entry{ID: id(n), Kind: "left", At: at(hour), Who: "crew 1", Device: "test", Body: b}
		if err := e.Seal(); err != nil {
			t.Fatal(err)
		}
		return e
	}
	f := New(trade(t))
	f.Apply([]journal.Entry{
		entry("01", 5, &journal.Left{Bins: []string{"B1"}, Act: "feed", Why: "too early to count"}),
		entry("02", 8, &journal.Left{Bins: []string{"B1", "B2"}, Act: "feed", How: "could not", Why: "no feed mixed"}),
		entry("03", 9, &journal.Left{Bins: []string{"B2"}, Act: "feed", How: "skipped", Why: "no time"}),
		entry("04", 10, &journal.Left{Pile: "chips", Act: "turn", Why: "struck again"}),
		entry("05", 11, &journal.Left{Pile: "solids", Act: "turn", Why: "no loader"}),
		{ID: id("06"), Kind: "strike", At: at(12), Who: "crew 1", Device: "test", Strikes: id("04"), Body: &journal.Strike{Why: "it was turned"}},
	})
	got := f.State().LeftSince(at(8))
	want := []LeftWork{
		{Pile: "solids", Act: "turn", Why: "no loader"}, {Bin: "B2", Act: "feed", How: "skipped", Why: "no time"}, {Bin: "B1", Act: "feed", How: "could not", Why: "no feed mixed"},
	}
	if len(got) != len(want) {
		t.Fatalf("%d left, not %d: %+v", len(got), len(want), got)
	}
	for i, w := range want {
		g := got[i]
		if g.Who != "crew 1" || g.At.IsZero() || g.Entry == "" {
			t.Errorf("%d: who and when are missing: %+v", i, g)
		}
		g.Noted = Noted{}
		if g != w {
			t.Errorf("%d: %+v, not %+v", i, g, w)
		}
	}
}
