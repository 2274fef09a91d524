package web

import (
	"strings"
	"testing"

	"wormyard/internal/app"
)

// A recall is written down as a drill by one button, once however often it is
// pressed: what was asked, what was found and what to mend stand on the page of the
// recall, on Trace and in the record of the lot.
func TestRecallDrill(t *testing.T) {
	s := withLot(t)
	n := doc(t, get(t, s, "/trace?of=lot+L+1&way=forward"))
	if len(all(doc(t, get(t, s, "/trace?of=lot+L+1&way=back")), "form[action='/trace/drill']")) != 0 {
		t.Error("a trace back can be written down as a recall drill")
	}
	form := all(n, "form[action='/trace/drill']")
	if len(form) != 1 {
		t.Fatal("the recall has no button for a drill")
	}
	id := "id=" + attr(all(form[0], "input[name=id]")[0], "value")
	for range 2 {
		if w := post(t, s, "/trace/drill", id, "of=lot L 1", "mend=C-2 has no telephone number"); w.Code != 303 {
			t.Fatalf("a drill gives %d: %s", w.Code, w.Body.String())
		}
	}
	list := s.Farm.State().Drills()
	if len(list) != 1 || list[0].Bags == nil || *list[0].Bags != 10 || *list[0].Customers != 2 || list[0].Seconds == nil {
		t.Fatalf("kept: %+v", list)
	}
	for _, path := range []string{"/trace", "/trace?of=lot+L+1&way=forward"} {
		if page := saidOn(t, s, path); !strings.Contains(page, "Recall of lot L 1: 10 bags, 2 customers, in") || !strings.Contains(page, "C-2 has no telephone number") {
			t.Errorf("%s: %s", path, page)
		}
	}
	if page := saidOn(t, s, "/trace?of=bin+B10&way=forward"); strings.Contains(page, "Recalls tried out") {
		t.Errorf("the drill of a lot stands on a bin: %s", page)
	}
	if x, ok := app.RecordOf(s.Farm.State(), "L 1"); !ok || len(x.Drills) != 1 || x.Drills[0].Mend == "" {
		t.Errorf("the record of the lot: %+v", x.Drills)
	}
	long := strings.Repeat("the telephone of C-2 was off; ", 400)
	if w := post(t, s, "/trace/drill", "id="+s.NewID(s.Farm.Now()), "of=lot L 1", "mend="+long); w.Code != 422 || !strings.Contains(w.Body.String(), strings.TrimSpace(long)) || len(all(doc(t, w), "details[open] form[action='/trace/drill'] .badsay")) == 0 {
		t.Errorf("a drill that says too much gives %d: %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	if w := post(t, s, "/trace/drill", "id="+s.NewID(s.Farm.Now()), "of=lot none"); w.Code != 404 {
		t.Errorf("a drill of nothing gives %d", w.Code)
	}
}
