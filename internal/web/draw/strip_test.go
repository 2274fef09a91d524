package draw

import (
	"strconv"
	"strings"
	"testing"
)

// What lies behind and what is ahead have scales of their own that meet at today;
// later is further right, and nothing leaves the drawing.
func TestStripAxis(t *testing.T) {
	a := StripAxis{First: -200, Last: 20}
	if got := a.x(0) - stripEdge; got != stripBehind*(stripWide-2*stripEdge) {
		t.Errorf("today stands at %g", got)
	}
	last := 0.0
	for _, day := range []float64{-300, -200, -100, -1, 0, 1, 10, 20, 50} {
		x := a.x(day)
		if x < last || x < stripEdge || x > stripWide-stripEdge {
			t.Errorf("day %g stands at %g, the one before at %g", day, x, last)
		}
		last = x
	}
	for _, at := range []StripAxis{{}, {First: 0, Last: 14}, {First: -1e-9, Last: 0.1}} {
		if x := at.x(0); x < stripEdge || x > stripWide {
			t.Errorf("%v: today stands at %g", at, x)
		}
	}
	s := a.Strip(StripSpan{Low: 2, Best: 5, High: 9, Until: 12, Done: []float64{-150, -149.9, -20, -3}})
	if s.Band == "" || s.Bar == "" || s.Line == "" || s.Bed != "" {
		t.Errorf("a step is drawn as %+v", s)
	}
	if len(s.Events) != 3 { // two of one day are one shape
		t.Errorf("%d shapes, want 3", len(s.Events))
	}
	for _, e := range s.Events {
		if x, err := strconv.ParseFloat(e.X, 64); err != nil || x > a.x(0) {
			t.Errorf("what was done stands at %s, right of today", e.X)
		}
	}
	if bed := a.Strip(StripSpan{Best: -200, Since: true}); bed.Bed == "" || bed.Band != "" || !strings.HasPrefix(bed.Bed, "M5 ") {
		t.Errorf("a bed is drawn as %+v", bed)
	}
}
