package web

import (
	"testing"

	"wormyard/internal/web/words"
	"wormyard/qty"
)

// What was fed says how long it lay, in days up to two weeks and then in weeks,
// and nothing where nobody knows.
func TestHowLongFeedLay(t *testing.T) {
	of := func(days float64) *qty.Days { d := qty.Days(days); return &d }
	en, es := person{Words: words.English()}, person{Words: words.Spanish()}
	for _, c := range []struct {
		age    *qty.Days
		en, es string
	}{
		{nil, "", ""},
		{of(0.3), "", ""},
		{of(1), "(one day in the heap)", "(un día en el montón)"},
		{of(13), "(13 days in the heap)", "(13 días en el montón)"},
		{of(14), "(2 weeks in the heap)", "(2 semanas en el montón)"},
		{of(36), "(5 weeks in the heap)", "(5 semanas en el montón)"},
	} {
		if got := lainSay(en, c.age); got != c.en {
			t.Errorf("%q, want %q", got, c.en)
		}
		if got := lainSay(es, c.age); got != c.es {
			t.Errorf("%q, want %q", got, c.es)
		}
	}
}
