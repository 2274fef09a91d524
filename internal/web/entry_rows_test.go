package web

import (
	"fmt"
	"strings"
	"testing"

	"wormyard/journal"
)

// Decks are rows that buttons add and take off without a script, with nothing written
// down; what is wrong is told on the box of its row, empty rows are left out, and lines
// with commas, as pages of before sent them, are read as ever.
func TestDecksAreRows(t *testing.T) {
	s := withLot(t)
	const at = "/lot/L%201/screen"
	entries := func() int { return s.Farm.State().Entries }
	before := entries()
	n := doc(t, get(t, s, at))
	if len(all(n, ".setrow")) != 1 || len(all(n, "input[name='decks.0.opening_mm'][value='1/4']")) != 1 || len(all(n, "input[name='decks.0.type'][value=flat][checked]")) != 1 {
		t.Errorf("the deck that was asked about does not stand in the first row")
	}
	if first := all(n, "form[data-kind=screen] button"); attr(first[0], "name") != "" {
		t.Error("the return key presses a button of a row")
	}
	w := post(t, s, at, "decks.0.opening_mm=1/2 in", "decks.0.over_kg=12", "rows=+decks")
	n = doc(t, w)
	if w.Code != 200 || len(all(n, ".setrow")) != 2 || len(all(n, "input[name='decks.0.opening_mm'][value='1/2 in']")) != 1 || entries() != before {
		t.Fatalf("a row more gives %d and %d rows", w.Code, len(all(n, ".setrow")))
	}
	n = doc(t, post(t, s, at, "decks.0.opening_mm=1/2 in", "decks.1.opening_mm=6 mm", "decks.1.type=drum", "rows=-decks.0"))
	if len(all(n, ".setrow")) != 1 || len(all(n, "input[name='decks.0.opening_mm'][value='6 mm']")) != 1 || len(all(n, "input[name='decks.0.type'][value=drum][checked]")) != 1 {
		t.Errorf("a row less: %s", words1(n))
	}
	id := "id=" + s.NewID(s.Farm.Now())
	w = post(t, s, at, "decks.0.opening_mm=1/2 in", "decks.2.opening_mm=wide", "decks.2.over_kg=9", "decks.3.through_kg=", id)
	n = doc(t, w)
	if w.Code != 422 || len(all(n, "[id='f-decks.1.opening_mm'].bad")) != 1 || len(all(n, ".setrow .field.bad")) != 1 || !strings.Contains(words1(n), "Decks, row 2, Opening") {
		t.Errorf("a bad opening gives %d: %s", w.Code, textOf(n, ".wrong"))
	}
	w = post(t, s, at, "decks.0.opening_mm=1/2 in", "decks.0.over_kg=5 kg", "decks.2.opening_mm=1/4 in", "decks.2.type=drum", "decks.2.rate_frac=150", "decks.2.over_kg=3 kg", "water_frac_wet=44", "overs_to=feed", id)
	if w.Code != 303 || entries() != before+1 {
		t.Fatalf("two decks give %d: %s", w.Code, textOf(doc(t, w), ".wrong,.doubt"))
	}
	last := func() *journal.Screen {
		l, _ := s.Farm.State().Lot("L 1")
		x := l.Screens[len(l.Screens)-1]
		for _, e := range s.Farm.State().Journal() {
			if e.ID == x.Entry {
				return e.Body.(*journal.Screen)
			}
		}
		return nil
	}
	b := last()
	if len(b.Decks) != 2 || b.Decks[0].OpeningMM != 12.7 || b.Decks[1].Type != "drum" || b.Decks[1].RateFrac == nil || *b.Decks[1].RateFrac != 1.5 {
		t.Errorf("kept: %+v", b)
	}
	w = post(t, s, at, "decks=6 mm, , 2 kg\n3 mm", "overs_to=feed", "id="+s.NewID(s.Farm.Now()))
	if b = last(); w.Code != 303 || len(b.Decks) != 2 || b.Decks[1].OpeningMM != 3 {
		t.Errorf("lines with commas give %d: %+v", w.Code, b)
	}
}

// An entry with more rows than a form is given by its buttons comes back whole.
func TestManyRowsComeBack(t *testing.T) {
	s := withLot(t)
	const many = 75
	form := []string{"bins=nowhere", "mass_kg_wet=10"}
	for i := range many {
		form = append(form, fmt.Sprintf("worms_to.%d.bin=B20", i), fmt.Sprintf("worms_to.%d.kg=%d", i, i+1))
	}
	w := post(t, s, "/enter/harvest", form...)
	n := doc(t, w)
	if rows := all(n, ".sets[data-list=worms_to] .setrow"); w.Code != 422 || len(rows) != many || len(all(n, fmt.Sprintf("input[name='worms_to.%d.kg'][value='%d']", many-1, many))) != 1 {
		t.Errorf("it is answered with %d and %d rows of %d", w.Code, len(rows), many)
	}
}
