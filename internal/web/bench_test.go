package web

import (
	"strings"
	"testing"

	"wormyard/internal/app"
	"wormyard/journal"
)

// optics is how the slides of these tests are looked at: a field of 0.5 mm, a cover
// of 20 by 20 mm, a drop of 0.05 mL of one part in a thousand. One seen a field is
// then 400/(pi 0.25^2)/0.05 x 1000, or 40.7 million in a gram.
const optics = "objective_x=40&field_number_mm=20&cover_mm=20+20&drop_ml=0.05&dilution=1000"

func formOf(parts ...string) []string {
	var out []string
	for _, p := range parts {
		for _, x := range strings.Split(p, "&") {
			out = append(out, strings.ReplaceAll(x, "+", " "))
		}
	}
	return out
}

func TestBenchCountsAndSaysWhatItIs(t *testing.T) {
	s := withLot(t)
	see := post(t, s, "/lot/L%201/bench", formOf(optics, "do=see", "sub_sample=1", "slide=1", "seen_bacteria=12 9 15 11 8 14 10 13", "seen_flagellates=0 0 0 0")...)
	page := strings.Join(shown(doc(t, see)), " ")
	for _, want := range []string{"470 million in a gram", "92 seen in 8 fields", "One slide speaks only for itself", "None seen: fewer than"} {
		if see.Code != 200 || !strings.Contains(page, want) {
			t.Errorf("the bench gives %d and does not say %q: %s", see.Code, want, textOf(doc(t, see), "form"))
		}
	}
	if n := len(app.Glasses(s.Farm.State(), "L 1")); n != 0 {
		t.Fatalf("looking wrote %d slides down", n)
	}
	for _, slide := range []string{"sub_sample=1&slide=1&seen_bacteria=12 9 15 11", "sub_sample=2&slide=1&seen_bacteria=14, 10, 13, -, 9&seen_length=120+85 0 40 0&seen_width=3"} {
		form := append(formOf(optics, "do=save", strings.ReplaceAll(slide, "120+85", "120%2B85")), "id="+s.NewID(s.Farm.Now()))
		for i := range form {
			form[i] = strings.ReplaceAll(form[i], "%2B", "+")
		}
		if w := post(t, s, "/lot/L%201/bench", form...); w.Code != 303 {
			t.Fatalf("a slide is not written down: %d %s", w.Code, strings.Join(shown(doc(t, w)), " "))
		}
	}
	list := app.Glasses(s.Farm.State(), "L 1")
	if len(list) != 2 {
		t.Fatalf("%d slides are written down", len(list))
	}
	e, _, _ := s.Farm.State().Entry(list[1].Entry)
	b := e.Body.(*journal.Microscope)
	if len(b.Fields) != 5 || b.Fields[3].Bacteria != nil || *b.Fields[4].Bacteria != 9 || *b.Fields[0].LengthUM != 205 || *b.Fields[0].DiameterUM != 3 {
		t.Errorf("the fields of the second slide: %+v", b.Fields)
	}
	page = saidOn(t, s, "/lot/L%201/bench")
	for _, want := range []string{"2 slides", "The handfuls speak for the lot", "too few a field", "Handful 2, slide 1", "Fungi to bacteria"} {
		if !strings.Contains(page, want) {
			t.Errorf("the bench does not say %q", want)
		}
	}
	next := doc(t, get(t, s, "/lot/L%201/bench"))
	if x := all(next, `input[name=slide][value="2"]`); len(x) != 1 {
		t.Error("the next slide of the handful is not number 2")
	}
	if x := readsEnglish(shown(doc(t, get(t, s, "/lot/L%201/bench", "lang=es")))); len(x) > 0 {
		t.Errorf("in English: %q", x)
	}
}

func TestBenchRefusesWhatCannotBe(t *testing.T) {
	s := withLot(t)
	many := strings.TrimSpace(strings.Repeat("3 ", 4000))
	for name, x := range map[string]struct{ form, want, box string }{
		"4,000 fields":          {"seen_bacteria=" + many, "4000 fields are said to have been counted", "seen_bacteria"},
		"4,000 in a field":      {"seen_bacteria=12 4000 9", "4,000", "seen_bacteria"},
		"a negative dilution":   {"seen_bacteria=3&dilution=-5", "Dilution is −5", "dilution"},
		"a word for a count":    {"seen_bacteria=3 many 4", `field 2: "many" is not a whole number`, "seen_bacteria"},
		"half a bacterium":      {"seen_bacteria=3.5", `"3.5" is not a whole number`, "seen_bacteria"},
		"fewer than none":       {"seen_amoebae=-3 4", "−3", "seen_amoebae"},
		"a length in words":     {"seen_length=long", "is not a length", "seen_length"},
		"a huge objective":      {"seen_bacteria=3&objective_x=4000", "Objective is 4,000", "objective_x"},
		"a round cover":         {"seen_bacteria=3&cover_mm=18", "The cover glass has 1 measures", "cover_mm"},
		"a rod wider than long": {"seen_bacteria=3&cell_length_um=1&cell_width_um=2", "shorter", "cell_length_um"},
	} {
		given := map[string]string{}
		for _, part := range append(formOf(optics), strings.Split(x.form, "&")...) {
			key, value, _ := strings.Cut(part, "=")
			given[key] = value
		}
		form := []string{"do=save", "id=" + s.NewID(s.Farm.Now())}
		for key, value := range given {
			form = append(form, key+"="+value)
		}
		w := post(t, s, "/lot/L%201/bench", form...)
		n := doc(t, w)
		page := strings.Join(shown(n), " ")
		if w.Code != 422 || !strings.Contains(page, x.want) {
			t.Errorf("%s gives %d without %q: %s", name, w.Code, x.want, textOf(n, ".wrong"))
		}
		if len(all(n, "#f-"+x.box+".bad")) != 1 {
			t.Errorf("%s marks no box %s", name, x.box)
		}
		typed := strings.SplitN(x.form, "&", 2)[0]
		key, value, _ := strings.Cut(typed, "=")
		if len(all(n, `input[name=`+key+`][value="`+value+`"]`)) != 1 {
			t.Errorf("%s: what was typed is lost", name)
		}
		if list := app.Glasses(s.Farm.State(), "L 1"); len(list) != 0 {
			t.Fatalf("%s was written down", name)
		}
	}
	// One field is kept, and told what it is.
	w := post(t, s, "/lot/L%201/bench", formOf(optics, "do=see", "seen_bacteria=7")...)
	if page := strings.Join(shown(doc(t, w)), " "); w.Code != 200 || !strings.Contains(page, "One field says little") {
		t.Errorf("one field: %d %s", w.Code, page)
	}
}

// Two lots that were counted and one report stand side by side.
func TestLotsSideBySideAndAReport(t *testing.T) {
	s := twoLots(t)
	page := saidOn(t, s, "/bench?group=bacteria&one=L+1&other=L+2")
	for _, want := range []string{"Lot L 1 has more than lot L 2 of bacteria: 3.9 times", "From 5 lots on, limits are drawn", "none of this says what made the difference"} {
		if !strings.Contains(page, want) {
			t.Errorf("the lots side by side do not say %q", want)
		}
	}
	if n := all(doc(t, get(t, s, "/bench?group=bacteria")), "figure:first-of-type svg .d-read"); len(n) < 2 {
		t.Errorf("%d lots are drawn", len(n))
	}
	w := post(t, s, "/lot/L%202/report", "id="+s.NewID(s.Farm.Now()), "r_bacteria=400 million", "u_bacteria=per_g", "r_fungi=lots", "basis=wet")
	if n := doc(t, w); w.Code != 422 || !strings.Contains(textOf(n, ".wrong"), `"lots" cannot be read`) || len(all(n, `input[name=r_bacteria][value="400 million"]`)) != 1 || len(app.Glasses(s.Farm.State(), "L 2")) != 3 {
		t.Errorf("a report that cannot be read: %d %s", w.Code, textOf(n, ".wrong"))
	}
	id := s.NewID(s.Farm.Now())
	for range 2 { // sent twice is written once
		if w := post(t, s, "/lot/L%202/report", "id="+id, "r_bacteria=400 million", "u_bacteria=per_g", "r_fungi=210", "u_fungi=ug_g", "r_ciliates=<50", "laboratory=A consultant", "verdict=excellent", "basis=wet"); w.Code != 303 {
			t.Fatalf("a report: %d %s", w.Code, textOf(doc(t, w), ".wrong")+textOf(doc(t, w), ".doubt"))
		}
	}
	list, err := app.ReportsOf(s.Farm.State(), "L 2")
	if err != nil || len(list) != 3 || list[0].Value != 4e8 || list[0].High != 12e8 || list[0].Method != "not told" {
		t.Errorf("the report as it is kept: %v %+v", err, list)
	}
	page = saidOn(t, s, "/bench?group=bacteria")
	for _, want := range []string{"400 million in a gram, likely 130 million to 1.2 billion", "None seen: fewer than 50", "They said: excellent", "A consultant"} {
		if !strings.Contains(page, want) {
			t.Errorf("the report is not told as %q", want)
		}
	}
	if n := all(doc(t, get(t, s, "/bench?group=bacteria&lang=en")), `svg path[d*="h10v10"]`); len(n) == 0 {
		t.Error("the report is not drawn beside the counts")
	}
	for _, path := range []string{"/bench?group=bacteria", "/lot/L%202/report"} {
		if x := readsEnglish(shown(doc(t, get(t, s, path, "lang=es")))); len(x) > 0 {
			t.Errorf("%s in English: %q", path, x)
		}
	}
}
