package farm

import (
	"testing"
	"time"

	"wormyard/journal"
)

// A remedy is under way until it is dropped or said to be gone, the same or worse;
// better leaves it under way. What is struck is as if it had not been said, and the
// order in which entries come makes no difference.
func TestRemedies(t *testing.T) {
	at := func(day int) time.Time { return time.Date(2026, 3, day, 8, 0, 0, 0, time.UTC) }
	id := func(n string) string { return "019cb45d-0000-7000-8000-0000000000" + n }
	entry := func(n, kind string, day int, body any) journal.Entry {
		e := journal.Entry{ID: id(n), Kind: kind, At: at(day), Who: "crew 1", Device: "test", Body: body}
		if err := e.Seal(); err != nil {
			t.Fatal(err)
		}
		return e
	}
	one, two := []string{"B1"}, []string{"B1", "B2"}
	depth := entry("02", "bed", 1, &journal.Bed{Bins: two, Material: "leaves", DepthM: 0.3})
	list := []journal.Entry{
		entry("01", "build", 1, &journal.Build{Bins: two}), depth,
		entry("03", "remedy", 3, &journal.Remedy{Bins: two, Cause: "overfed", Steps: []string{"stop feed", "lime"}, Sighting: id("90")}),
		entry("04", "outcome", 4, &journal.Outcome{Bins: one, Cause: "overfed", Said: "done", Steps: []string{"lime"}}),
		entry("05", "outcome", 9, &journal.Outcome{Bins: one, Cause: "overfed", Said: "better"}),
		entry("06", "outcome", 10, &journal.Outcome{Bins: []string{"B2"}, Cause: "overfed", Said: "dropped"}),
		entry("07", "outcome", 12, &journal.Outcome{Bins: one, Cause: "overfed", Said: "gone"}),
		entry("08", "remedy", 20, &journal.Remedy{Bins: one, Cause: "dry", Steps: []string{"water slow"}}),
		entry("09", "water", 21, &journal.Water{Bins: one, Kg: 4}),
	}
	for _, order := range [][]int{{0, 1, 2, 3, 4, 5, 6, 7, 8}, {8, 6, 0, 4, 2, 3, 7, 5, 1}} {
		f := New(trade(t))
		for _, i := range order {
			f.Apply([]journal.Entry{list[i]})
		}
		before := f.State()
		b1, _ := before.Bin("B1")
		b2, _ := before.Bin("B2")
		if len(b1.Remedies) != 2 || len(b2.Remedies) != 1 {
			t.Fatalf("%d and %d remedies", len(b1.Remedies), len(b2.Remedies))
		}
		r := &b1.Remedies[0]
		if r.Cause != "overfed" || r.Sighting != id("90") || len(r.Done) != 1 || r.Done[0].Step != "lime" || len(r.Said) != 2 || r.Said[0].Said != "better" || b1.End(r) == nil || b1.End(r).Said != "gone" {
			t.Errorf("B1: %+v", r)
		}
		if end := b2.End(&b2.Remedies[0]); end == nil || end.Said != "dropped" || len(b2.Remedies[0].Done) != 0 {
			t.Errorf("B2: %+v", b2.Remedies[0])
		}
		dry := &b1.Remedies[1]
		if b1.End(dry) != nil {
			t.Errorf("against dry: %+v", dry)
		}
		if x, ok := b1.Written("water", dry.At); !ok || x.Entry != id("09") {
			t.Errorf("the watering is %+v", x)
		}
		if _, ok := b1.Written("water", at(22)); ok {
			t.Error("watered after it was watered")
		}
		// struck: B1 is better, and its remedy under way again; the picture from before stays as it was
		f.Apply([]journal.Entry{{ID: id("10"), Kind: "strike", At: at(23), Who: "crew 1", Device: "test", Strikes: id("07"), Body: &journal.Strike{Why: "it was another bin"}}})
		now, _ := f.State().Bin("B1")
		if now.End(&now.Remedies[0]) != nil || len(now.Remedies[0].Said) != 1 {
			t.Errorf("struck: %+v", now.Remedies[0])
		}
		if b1.End(&b1.Remedies[0]) == nil {
			t.Error("an older picture of the farm changed")
		}
		// begun once more, the one before ends with it; an outcome of nothing is a doubt
		f.Apply([]journal.Entry{
			entry("11", "remedy", 24, &journal.Remedy{Bins: one, Cause: "overfed"}),
			entry("12", "outcome", 25, &journal.Outcome{Bins: one, Cause: "salts", Said: "gone"}),
		})
		now, _ = f.State().Bin("B1")
		if end := now.End(&now.Remedies[0]); end == nil || end.Said != "anew" {
			t.Errorf("%+v", now.Remedies[0])
		}
		doubted := false
		for _, d := range f.State().Doubts() {
			doubted = doubted || d.About == "bin B1" && d.At.Equal(at(25))
		}
		if !doubted {
			t.Errorf("no doubt about an outcome of nothing: %+v", f.State().Doubts())
		}
	}
}
