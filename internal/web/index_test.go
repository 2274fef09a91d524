package web

import (
	"fmt"
	"testing"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// TestTheIndexFindsWhatTheJournalHolds compares every search with a walk over
// the whole journal (farm.State.Search), before and after entries come late
// and are struck, which moves the places that the index keeps.
func TestTheIndexFindsWhatTheJournalHolds(t *testing.T) {
	s, f, _ := sample(t)
	compare := func(when string) {
		t.Helper()
		state := f.State()
		for _, q := range []farm.Search{
			{Struck: true, Limit: 7}, {Struck: true, Limit: 7, Skip: 20}, {Limit: 7, Skip: 3}, {Struck: true, Limit: 7, Skip: 100000},
			{Subject: "bin B10", Limit: 50}, {Subject: "bin B10", Struck: true, Limit: 2, Skip: 1}, {Subject: "batch 41", Limit: 5}, {Subject: "bin none", Limit: 5},
			{Subject: "bin B10", Kind: "water", Limit: 5}, {Kind: "feed", Limit: 5, Skip: 2}, {Who: "CREW 1", Limit: 5},
			{Text: "B10 water", Limit: 50}, {Text: "zebra", Limit: 5}, {Subject: "bin B10", Text: "fed", Struck: true, Limit: 50},
			{From: f.now.AddDate(0, 0, -20), To: f.now.AddDate(0, 0, -3), Limit: 9}, {Subject: "bin B10", From: f.now.AddDate(0, 0, -20), Limit: 9},
		} {
			want, wantMore := state.Search(q, qty.US)
			got, more := s.search(state, q, qty.US)
			if more != wantMore || fmt.Sprint(idsOf(got)) != fmt.Sprint(idsOf(want)) {
				t.Errorf("%s, %+v: found %v (more: %t), the journal holds %v (more: %t)", when, q, idsOf(got), more, idsOf(want), wantMore)
			}
		}
		var strikes journal.Strikes
		for _, e := range state.Journal() {
			strikes.Add(e)
		}
		for _, e := range state.Journal() {
			wantCounts := !strikes.Struck(e.ID)
			if got, counts, found := s.entry(e.ID); !found || got != e || counts != wantCounts {
				t.Errorf("%s: entry %s is found %t, counts %t, want %t", when, e.ID, found, counts, wantCounts)
			}
		}
	}
	compare("at first")
	f.write(5, "crew 1", &journal.Water{Bins: []string{"B10"}, Kg: 4})
	f.flush()
	compare("after one of five days ago")
	list := f.State().Journal()
	struck := list[len(list)/2].ID
	if w := post(t, s, "/journal/"+struck+"/strike", "why=wrong bin"); w.Code != 303 {
		t.Fatalf("%d", w.Code)
	}
	compare("after one was struck")
	f.write(0, "crew 2", &journal.Water{Bins: []string{"B10"}, Kg: 4})
	f.flush()
	compare("after one of now")
	if _, _, found := s.entry("none"); found {
		t.Error("an entry that is not there is found")
	}
}

// idsOf gives the ids of lines, a star on those struck.
func idsOf(lines []farm.Line) []string {
	var out []string
	for _, l := range lines {
		id := l.Entry.ID[len(l.Entry.ID)-6:]
		if l.Struck {
			id += "*"
		}
		out = append(out, id)
	}
	return out
}

// TestAFormSentAgainIsAskedAbout: a person goes back in the browser, changes the
// number and sends the same form once more.
func TestAFormSentAgainIsAskedAbout(t *testing.T) {
	s, f, _ := sample(t)
	id := "id=" + formID(t, s, "/bin/B10/water")
	if w := post(t, s, "/bin/B10/water", id, "bins=B10", "kg=2"); w.Code != 303 {
		t.Fatalf("%d", w.Code)
	}
	before := len(f.book.entries)
	w := post(t, s, "/bin/B10/water", id, "bins=B10", "kg=3")
	n := doc(t, w)
	if w.Code != 422 || len(all(n, ".doubt button[name=yes]")) != 1 || len(f.book.entries) != before {
		t.Fatalf("sent again with another number: %d, %s", w.Code, textOf(n, "main"))
	}
	for range 2 { // the button is pressed twice
		if w := post(t, s, "/bin/B10/water", id, "bins=B10", "kg=3", "yes="+attr(all(n, ".doubt button[name=yes]")[0], "value")); w.Code != 303 || len(f.book.entries) != before+1 {
			t.Errorf("after yes: %d, %d entries more", w.Code, len(f.book.entries)-before)
		}
	}
}
