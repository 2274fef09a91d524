package web

import (
	"strings"
	"testing"

	"wormyard/journal"
)

// A lot that nobody counted is not released under the house rule, and the page says
// what is missing and who decides; on hold it is not bagged without a reason.
func TestReleaseAsksTheRule(t *testing.T) {
	s := withLot(t)
	page := saidOn(t, s, "/lot/L%201/release")
	for _, want := range []string{"Evidence is missing under: The farm's own house rule", "Counted under the microscope", "Count a sample of the lot", "certifier or the inspector, decide"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q: %s", want, page)
		}
	}
	if page := saidOn(t, s, "/lot/L%201/release?rule=us_503_class_a"); !strings.Contains(page, "as recalled and was not read") {
		t.Errorf("a recalled rule does not say so: %s", page)
	}
	if w := get(t, s, "/lot/L%201/release?rule=nothing"); w.Code != 404 {
		t.Errorf("a rule that is not there gives %d", w.Code)
	}
	w := post(t, s, "/lot/L%201/release?rule=farm_house", "by=owner", "id="+s.NewID(s.Farm.Now()))
	if w.Code != 422 || !strings.Contains(w.Body.String(), "is not released under The farm&#39;s own house rule") {
		t.Errorf("a release without evidence gives %d: %s", w.Code, w.Body.String())
	}
	e := journal.Entry{ID: s.NewID(s.Farm.Now()), At: s.Farm.Now(), Kind: "hold", Who: "owner", Body: &journal.Hold{Lot: "L 1", Why: "weed seeds"}}
	if ack, err := s.Farm.Record(t.Context(), e, true); err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	w = post(t, s, "/lot/L%201/bag", "size_m3=10 L", "number=1", "id="+s.NewID(s.Farm.Now()))
	if w.Code != 422 || !strings.Contains(w.Body.String(), "the reason stays on record") {
		t.Errorf("bagging a lot on hold gives %d", w.Code)
	}
	id := "id=" + s.NewID(s.Farm.Now())
	w = post(t, s, "/lot/L%201/bag", "size_m3=10 L", "number=1", "note=for the second sample", id)
	if w.Code != 422 || strings.Contains(w.Body.String(), "the reason stays on record") || !strings.Contains(w.Body.String(), "is on hold since") {
		t.Errorf("bagging with a reason is not asked about: %d", w.Code)
	}
}
