package web

import (
	"strings"
	"testing"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/lot"
	"wormyard/qty"
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

// Where the journal settles all that a rule asks, no evidence is asked for, no key is
// shown, and a lot that does not keep the rule can be held from there.
func TestReleaseThatIsBlocked(t *testing.T) {
	s := withLot(t)
	eleven := 11
	write(t, s, journal.Entry{Kind: "microscope", Body: &journal.Microscope{Lot: "L 1", Fields: []journal.FieldCount{{Bacteria: &eleven}}}},
		journal.Entry{Kind: "assay", Body: &journal.Assay{Subject: "lot L 1", Analyte: "fecal_coliform", Value: 5000, Unit: "MPN/g", Basis: "dry"}})
	n := doc(t, get(t, s, "/lot/L%201/release"))
	page := textOf(n, "main")
	if !strings.Contains(page, "Blocked under") || strings.Contains(page, "fecal_coliform") {
		t.Errorf("the page says %s", page)
	}
	if len(all(n, "main [name^='shown.']")) != 0 {
		t.Errorf("evidence is asked for: %s", textOf(n, "form[data-kind=release]"))
	}
	if len(all(n, "main a[href='/lot/L%201/hold']")) != 1 {
		t.Error("there is no way to hold it")
	}
}

// What a rule asks a word for is chosen from what is on record of the lot, its beds and
// its piles; anything else may be typed, and an empty answer is none.
func TestReleaseOffersWhatIsOnRecord(t *testing.T) {
	s := withLot(t)
	write(t, s, journal.Entry{Kind: "assay", Body: &journal.Assay{Subject: "lot L 1", Analyte: "ph", Value: 7.1}})
	n := doc(t, get(t, s, "/lot/L%201/release"))
	if got := all(n, "input[type=radio][name='shown.0.what']"); len(got) != 1 || !strings.Contains(attr(got[0], "value"), "7.1") || len(all(n, "input[name='shown.0.key'][value=counted]")) != 1 || len(all(n, ".sets")) != 0 {
		t.Fatalf("the test of the lot is not offered for the count: %s", textOf(n, "form[data-kind=release]"))
	}
	const at = "/lot/L%201/release?rule=us_organic_vermicompost"
	n = doc(t, get(t, s, at))
	form := []string{"by=owner", "id=" + s.NewID(s.Farm.Now())}
	var chosen string
	for _, k := range all(n, "input[type=hidden]") {
		name, ok := strings.CutSuffix(attr(k, "name"), ".key")
		if !ok || !strings.HasPrefix(name, "shown.") {
			continue
		}
		form = append(form, name+".key="+attr(k, "value"), name+".asked=1")
		if radios := all(n, "input[type=radio][name='"+name+".what']"); chosen == "" && len(radios) > 0 {
			chosen = attr(radios[0], "value")
			form = append(form, name+".what="+chosen)
		} else if len(radios) > 0 {
			form = append(form, name+".what_other=the binder in the office")
		} else {
			form = append(form, name+".what=the binder in the office")
		}
	}
	if chosen == "" || strings.ContainsAny(chosen, "\u2068\u2069") {
		t.Fatalf("%q of what is on record is offered", chosen)
	}
	if w := post(t, s, at, form[:4]...); w.Code != 422 || !strings.Contains(w.Body.String(), "nothing shows") {
		t.Errorf("questions left open are answered with %d", w.Code)
	}
	w := post(t, s, at, form...)
	n = doc(t, w)
	if w.Code != 422 || len(all(n, "input[type=radio][checked]")) == 0 || len(all(n, "button[name=yes]")) != 1 {
		t.Fatalf("a rule that is only recalled is answered with %d: %s", w.Code, textOf(n, ".wrong,.doubt"))
	}
	if w = post(t, s, at, append(form, "yes="+attr(all(n, "button[name=yes]")[0], "value"))...); w.Code != 303 {
		t.Fatalf("after the yes: %d", w.Code)
	}
	list := s.Farm.State().Journal()
	b, ok := list[len(list)-1].Body.(*journal.Release)
	if !ok || len(b.Shown) < 4 || b.Shown[0].Key == "" {
		t.Fatalf("%+v is written down", list[len(list)-1].Body)
	}
	var said []string
	for _, x := range b.Shown {
		said = append(said, x.What)
	}
	if all := strings.Join(said, "|"); !strings.Contains(all, chosen) || !strings.Contains(all, "the binder in the office") {
		t.Errorf("what shows it is kept as %q", said)
	}
	// Chosen from the journal it has the ids, typed it has none; the entry, the trace and a
	// page opened before ids were kept open them or do without.
	var pointed string
	for _, x := range b.Shown {
		if x.What == chosen && len(x.Entries) == 1 {
			pointed = x.Entries[0]
		}
		if x.What == "the binder in the office" && len(x.Entries) > 0 {
			t.Errorf("what was typed points at %q", x.Entries)
		}
	}
	if e, counts, ok := s.entry(pointed); !ok || !counts || !strings.Contains(chosen, plainText.Replace(person{Words: s.words[0], Units: qty.US, Zone: s.Farm.State().Zone()}.sentence(e))) {
		t.Fatalf("%q points at %q", chosen, pointed)
	}
	release := list[len(list)-1].ID
	for _, to := range []string{"/journal/" + release, "/trace?of=lot+L+1&way=back"} {
		if links := all(doc(t, get(t, s, to)), "main a[href='/journal/"+pointed+"']"); len(links) == 0 {
			t.Errorf("%s has no way to the entry that shows it", to)
		}
	}
	if facts := textOf(doc(t, get(t, s, "/journal/"+release)), ".opened dl.facts"); strings.Contains(facts, "moisture_log") || !strings.Contains(facts, "Moisture of 70 to 90 % throughout") {
		t.Errorf("the entry of a release tells its evidence as %s", facts)
	}
	old := journal.Entry{ID: s.NewID(s.Farm.Now()), At: s.Farm.Now(), Kind: "release", Who: "owner", Body: &journal.Release{Lot: "L 1", Rule: "our own words", Shown: []journal.Evidence{{Key: "counted", What: "the binder"}}}}
	if ack, err := s.Farm.Record(t.Context(), old, true); err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	if page := saidOn(t, s, "/journal/"+old.ID); !strings.Contains(page, "the binder") || strings.Contains(page, "What it was released on") {
		t.Errorf("a release without ids is told as %s", page)
	}
	for _, x := range [][]string{{"0197-nothing"}, {pointed}} {
		e := journal.Entry{ID: s.NewID(s.Farm.Now()), At: s.Farm.Now(), Kind: "release", Who: "owner", Body: &journal.Release{Lot: "L 1", Rule: "our own words", Shown: []journal.Evidence{{Key: "counted", What: "it", Entries: x}}}}
		if x[0] == pointed {
			write(t, s, journal.Entry{Kind: "strike", Strikes: pointed, Body: &journal.Strike{Why: "a slip"}})
		}
		if ack, err := s.Farm.Record(t.Context(), e, true); err != nil || ack.Saved {
			t.Errorf("evidence of entry %q, which does not count, is taken: %v", x[0], err)
		}
	}
}

// The piles of which most went into the lot are offered first, and those beyond five
// stand under a fold.
func TestPilesAreOfferedByShare(t *testing.T) {
	part := func(x float64) *float64 { return &x }
	var list []app.PileHeat
	for i, x := range []*float64{part(0.1), nil, part(0.4), part(0), part(0.2), part(0.15), part(0.05)} {
		list = append(list, app.PileHeat{Pile: string(rune('A' + i)), Share: x, Readings: 3, Entries: []string{"e"}})
	}
	list = append(list, app.PileHeat{Pile: "cold", Share: part(0.9)})
	s := withLot(t)
	p := person{Words: s.words[0], Units: qty.US, Zone: s.Farm.State().Zone()}
	box := s.shownBox(p, s.Farm.State(), nil, app.ReleaseAnswer{Heat: list}, app.ReleaseLine{Line: lot.Line{Key: "heat_still"}}, shownOffered)
	names := ""
	for _, o := range append(box.options, box.rest...) {
		names += strings.TrimSuffix(strings.TrimPrefix(o.Value, "Heat of pile "), o.Value[len("Heat of pile X"):])
	}
	if names != "CEFAGDB" || len(box.options) != shownOffered || len(box.rest) != 2 {
		t.Errorf("%d are offered and %d under the fold, in the order %s", len(box.options), len(box.rest), names)
	}
}

// In another language than English too a bag is told as on its label, a test by its
// name, and what ties sales together is left out.
func TestTradeIsToldInSpanish(t *testing.T) {
	s := withLot(t)
	write(t, s, journal.Entry{Kind: "bag", Body: &journal.Bag{Lot: "L 1", SizeM3: 28.316846592e-3, Number: 2}},
		journal.Entry{Kind: "assay", Body: &journal.Assay{Subject: "lot L 1", Analyte: "bioassay", Value: 1}})
	text := textOf(doc(t, get(t, s, "/lot/L%201", "lang=es", "units=us")), "main")
	for _, want := range []string{"tamaño de la bolsa 1 ft³", "qué se midió Prueba de frijol y chícharo", "Análisis: lote L 1"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q: %s", want, text)
		}
	}
}

// A material that the farm calls by another name than the library has the library's in
// Spanish; what the library does not have stays as it was typed.
func TestMaterialsAreToldByTheLibrary(t *testing.T) {
	s := withLot(t)
	for _, c := range s.words {
		p := person{Words: c}
		lime, own := p.material("lime"), p.material("Joe's secret dust")
		if c.Lang == "es" && (lime != p.Words.Material("lime, calcium carbonate") || lime == "lime") || c.Lang == "en" && lime != "lime" || own != "Joe's secret dust" {
			t.Errorf("in %s: %q and %q", c.Lang, lime, own)
		}
	}
}
