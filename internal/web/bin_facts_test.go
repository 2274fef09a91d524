package web

import (
	"strings"
	"testing"

	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/twin"
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

// So few worms that nobody would find one are none, and not a number with zeros.
func TestHardlyAnyWorms(t *testing.T) {
	for _, c := range []struct {
		r    twin.Range
		want string
	}{
		{twin.Range{High: 2.8e-31}, "none, or hardly any"},
		{twin.Range{High: 0.004}, "none, or hardly any"},
		{twin.Range{High: 2}, "not known: none to 2 kg; a look would tell"},
		{twin.Range{Low: 1, Mid: 2, High: 3}, "2 kg (1 to 3)"},
	} {
		if got := strings.ReplaceAll(Worms(c.r, words.English(), qty.Metric), "\u00a0", " "); got != c.want {
			t.Errorf("%+v is %q, want %q", c.r, got, c.want)
		}
	}
}

// What the twins take for granted stands on the page of the bin, not only behind
// its numbers.
func TestAssumedOnTheBinPage(t *testing.T) {
	s, _, d := sample(t)
	d.outlooks["B10"].Says = []string{"By what was written down, this bed is far deeper than its box; write down how deep it lies."}
	for cookie, want := range map[string]string{"": "far deeper than its box", "lang=es": "mucho más honda que su caja"} {
		got := textOf(doc(t, get(t, s, "/bin/B10", cookie)), "h2#assumed + p")
		if !strings.Contains(got, want) {
			t.Errorf("%q says %q", cookie, got)
		}
	}
	if got := textOf(doc(t, get(t, s, "/bin/B11")), "#assumed"); got != "" {
		t.Errorf("of a bin with nothing assumed: %q", got)
	}
}

// A forecast that was held against one reading was held against one.
func TestAgainstOneReading(t *testing.T) {
	for _, c := range []struct {
		words *words.Catalogue
		n     int
		want  string
	}{{words.English(), 1, "on one reading: off by 50 % less"}, {words.English(), 1200, "on 1,200 readings: off by 50 % less"}, {words.Spanish(), 1, "con una lectura: fallaron 50 % menos"}} {
		p := person{Words: c.words}
		if got := strings.ReplaceAll(p.plainly(&againstSeason, "", &app.Against{N: c.n, CRPS: 1, Plain: 2}), "\u00a0", " "); !strings.Contains(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
