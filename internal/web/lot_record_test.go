package web

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"wormyard/internal/app"
	papers "wormyard/internal/paper"
	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/qty"
)

// The record says all that was written of a lot, with sums that algebra gives: 100
// kg harvested, 20 screened out, ten bags of 10 L at 500 kg/m³ (weighed and measured
// of one harvest), so 30 kg lie there or were lost.
func TestRecordOfALot(t *testing.T) {
	s := released(t, "farm house rule")
	n, eleven, long := 7, 11, 59.0
	write(t, s, journal.Entry{Kind: "cure", Body: &journal.Cure{Lot: "L 1", Place: "bay 3"}},
		journal.Entry{Kind: "microscope", Body: &journal.Microscope{Lot: "L 1", Group: "nematodes", Fields: []journal.FieldCount{{Count: &n}, {Count: &n}}}},
		journal.Entry{Kind: "microscope", Body: &journal.Microscope{Lot: "L 1", Fields: []journal.FieldCount{{Bacteria: &eleven, LengthUM: &long}, {Bacteria: &eleven, Amoebae: &n}, {Bacteria: &eleven}}}})
	w := get(t, s, "/lot/L%201/record.pdf", "units=metric")
	text := pdfText(t, w)
	for _, want := range []string{"Record of lot L 1", "Heron Slough", "Loads that came", "dairy solids, separated", "solids 7", "measured", "51 °C", "Batches", "B10", "75 kg", "25 kg", "6 mm", "80 kg", "20 kg", "bay 3", "nematodes",
		"Moisture 48 % as it lies", "Nitrogen 1.5 % of dry matter", "County Lab", "Under farm house rule, signed by owner", "0.353 ft³", "10 L", "C-1", "C-2", "Went in 100 kg", "Lies there still, or was lost 30 kg", "500 kg/m³", "page 1 of 2", "page 2 of 2", "Hash at that entry"} {
		if !strings.Contains(text, want) {
			t.Errorf("the record does not say %q: %s", want, text)
		}
	}
	for _, want := range []string{"nematodes 2 14", "Bacteria 3 33", "Threads of fungi 1 59 µm long", "Amoebae 1 7"} { // fields, and what was counted in them
		if !strings.Contains(text, want) {
			t.Errorf("the counts do not say %q: %s", want, text)
		}
	}
	for _, never := range []string{"HELD", "pathogen", "sanit", "certified", "pest"} {
		if strings.Contains(text, never) {
			t.Errorf("the record says %q", never)
		}
	}
	if again := get(t, s, "/lot/L%201/record.pdf", "units=metric"); !bytes.Equal(again.Body.Bytes(), w.Body.Bytes()) {
		t.Error("the same record gave other bytes")
	}
	write(t, s, journal.Entry{Kind: "look", Body: &journal.Look{Bins: []string{"B10"}, Smell: "earth"}})
	if later := get(t, s, "/lot/L%201/record.pdf", "units=metric"); bytes.Equal(later.Body.Bytes(), w.Body.Bytes()) {
		t.Error("the journal went on and the record says nothing of it")
	}
	if w := get(t, s, "/lot/none/record.pdf"); w.Code != 404 || !strings.Contains(textOf(doc(t, w), "main"), "There is no lot none") {
		t.Errorf("the record of a lot that is not there: %d", w.Code)
	}
}

// A lot that is not released says so on each page of its record, and no more.
func TestRecordOfAHeldLot(t *testing.T) {
	s := withLot(t)
	text := pdfText(t, get(t, s, "/lot/L%201/record.pdf"))
	if strings.Count(text, "HELD: NOT FOR SALE") != 2 || strings.Contains(text, "signed by") || strings.Contains(text, "Released") {
		t.Errorf("the record: %s", text)
	}
}

func TestPapersInSpanish(t *testing.T) {
	s := released(t, "norma propia")
	state := s.Farm.State()
	x, _ := app.RecordOf(state, "L 1")
	var b bytes.Buffer
	k := recordPaper{person: person{Units: qty.Metric, Words: words.Spanish(), Zone: state.Zone()}, x: x, state: state}
	texts := documentTexts(k.document())
	l, _ := state.Lot("L 1")
	note, _ := app.NoteOf(state, l.Sales[0].Entry)
	texts = append(texts, documentTexts(k.note(note, state))...)
	if len(texts) < 100 {
		t.Fatalf("only %d texts", len(texts))
	}
	for _, x := range readsEnglish(texts) {
		t.Errorf("in English: %q", x)
	}
	for _, x := range texts {
		if strings.ContainsAny(x, "«»") || strings.Contains(x, "%!") {
			t.Errorf("%q", x)
		}
	}
	if err := LotRecord(&b, x, state, words.Spanish(), qty.Metric); err != nil || b.Len() < 10000 {
		t.Errorf("%v, %d bytes", err, b.Len())
	}
}

func documentTexts(d papers.Document) (out []string) {
	out = append(out, d.Title, d.Under, d.Banner, d.Foot)
	for _, p := range d.Parts {
		out = append(append(append(out, p.Head), p.Says...), p.Lines...)
		for _, f := range p.Facts {
			out = append(out, f.Name, f.Value)
		}
		if p.Table != nil {
			for _, c := range p.Table.Columns {
				out = append(out, c.Head)
			}
			for _, r := range p.Table.Rows {
				out = append(out, r...)
			}
		}
	}
	return out
}

// Four bags of 10 L are 40 L, 1.41 ft³ (1.4126), and a note of a lot that is not
// released says so.
func TestDeliveryNote(t *testing.T) {
	s := released(t, "farm house rule")
	l, _ := s.Farm.State().Lot("L 1")
	at := "/sale/" + l.Sales[0].Entry + "/note.pdf"
	w := get(t, s, at)
	text := pdfText(t, w)
	for _, want := range []string{"Delivery note", "Heron Slough", "To C-1", "L 1 · " + app.LotMark(s.Farm.State(), "L 1"), "Bags 4", "One bag 0.353 ft³ (10 L)", "Volume in all 1.41 ft³ (40 L)", "under farm house rule by owner", "Made from", "Given by", "Taken by"} {
		if !strings.Contains(text, want) {
			t.Errorf("the note does not say %q: %s", want, text)
		}
	}
	if strings.Contains(text, "HELD") || !bytes.Equal(get(t, s, at).Body.Bytes(), w.Body.Bytes()) {
		t.Error("the note says held, or comes out otherwise the second time")
	}
	if page := doc(t, get(t, s, "/journal/"+l.Sales[0].Entry)); len(all(page, `a[href="`+at+`"]`)) == 0 {
		t.Error("the entry of the sale does not lead to its note")
	}
	s = withLot(t)
	l, _ = s.Farm.State().Lot("L 1")
	if text := pdfText(t, get(t, s, "/sale/"+l.Sales[1].Entry+"/note.pdf")); !strings.Contains(text, "HELD: NOT FOR SALE") || strings.Contains(text, "Released") {
		t.Errorf("the note of a lot that is not released: %s", text)
	}
	v := qty.CubicMetre(1.529109715968)
	write(t, s, journal.Entry{Kind: "order", Body: &journal.Order{Customer: "Сад у Ω", What: "castings, loose", VolumeM3: &v, Due: "2026-04-01"}})
	orders := s.Farm.State().Orders()
	text = pdfText(t, get(t, s, "/sale/"+orders[len(orders)-1].Entry+"/note.pdf"))
	for _, want := range []string{"To Сад у Ω", "Ordered.", "castings, loose", "2 yd³ (1.52 m³)", "1 Apr 2026"} {
		if !strings.Contains(text, want) {
			t.Errorf("the note of an order does not say %q: %s", want, text)
		}
	}
	for _, no := range []string{"none", l.From[0].Entry} {
		if w := get(t, s, "/sale/"+no+"/note.pdf"); w.Code != 404 {
			t.Errorf("a note of %q gives %d", no, w.Code)
		}
	}
}

// Names as long as the journal takes them, in letters that no font here has, and a
// hundred bags of sales run over pages and lose nothing else.
func TestLongRecord(t *testing.T) {
	s := released(t, "farm house rule")
	one, many, size := 1, 70, qty.CubicMetre(0.01)
	write(t, s, journal.Entry{Kind: "bag", At: s.Farm.Now().Add(-2 * time.Minute), Body: &journal.Bag{Lot: "L 1", Number: many, SizeM3: size}})
	for i := range 60 {
		write(t, s, journal.Entry{Kind: "sell", At: s.Farm.Now().Add(-time.Duration(60-i) * time.Second), Body: &journal.Sell{Lot: "L 1", Customer: fmt.Sprintf("%s %d", strings.Repeat("Долгое имя ", 8), i), Bags: &one, Note: "on the word of the owner"}})
	}
	write(t, s, journal.Entry{Kind: "sell", Body: &journal.Sell{Lot: "L 1", Customer: "蚯蚓 farm", Bags: &one, Note: "on the word of the owner"}})
	text := pdfText(t, get(t, s, "/lot/L%201/record.pdf"))
	for _, want := range []string{"имя 0", "имя 59", "?? farm", "page 4 of"} {
		if !strings.Contains(text, want) {
			t.Errorf("the record does not say %q: %s", want, text)
		}
	}
}

// What a rule says is told line by line, with whether its text was read; nothing that
// is missing is told as there.
func TestRecordTellsTheRule(t *testing.T) {
	s := released(t, "farm house rule")
	state := s.Farm.State()
	x, _ := app.RecordOf(state, "L 1")
	rule, _, ok, err := app.RuleNamed(state, "us_organic_vermicompost")
	if !ok || err != nil {
		t.Fatal(ok, err)
	}
	answer, err := app.Judged(state, "L 1", rule, nil, "owner", s.Farm.Now())
	if err != nil || answer.State != "missing evidence" {
		t.Fatalf("%v %v", answer.State, err)
	}
	k := recordPaper{person: person{Words: words.English(), Zone: state.Zone()}, x: x, state: state, answers: []app.ReleaseAnswer{answer}}
	text := strings.Join(documentTexts(k.document()), " ")
	for _, want := range []string{"What the rule asks, and what the lot has", "missing evidence", "recalled", answer.Citation, answer.Lines[0].Asked} {
		if !strings.Contains(text, want) {
			t.Errorf("the record does not say %q: %s", want, text)
		}
	}
}
