package web

import (
	"math"
	"net/http"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
	"wormyard/twin"
)

// What is ripe stands on Castings with what it holds, and on its own page with the
// days and the ways; a bin that is not ripe soon stands on neither.
func TestRipeBins(t *testing.T) {
	s, _, d := sample(t)
	for name, o := range d.outlooks {
		o.Ripe = nil
		if name == "B10" {
			o.Ripe, o.CastKg = &twin.Range{Low: 0, Mid: 0, High: 0}, spread(210, 180, 260)
			o.Ready = &app.Ready{Chance: 0.9, Worked: spread(.93, .9, .96), Feed: spread(.03, .01, .05), Depth: spread(.3, .2, .36)}
		}
	}
	page := doc(t, get(t, s, "/castings", "units=metric"))
	if n := all(page, `a[href$="#harvest"]`); len(n) != 1 || !strings.Contains(strings.Join(shown(n[0]), " "), "210 kg") {
		t.Errorf("%d bins are said to be ripe, want B10 alone with its castings", len(n))
	}
	if n := all(page, `.acted a[href="/bin/B10/harvest"]`); len(n) != 1 || !strings.Contains(attr(n[0], "aria-label"), "B10") {
		t.Errorf("%d ways lead to the form of its harvest", len(n))
	}
	said := saidOn(t, s, "/bin/B10", "units=metric")
	for _, want := range []string{"Stop feeding", "side feeding", "cocoa-coloured", "Table and light", "93 (90", "cocoons got back"} {
		if !strings.Contains(said, want) {
			t.Errorf("the page of a ripe bin does not say %q: %s", want, said)
		}
	}
	lines := all(doc(t, get(t, s, "/bin/B10")), ".harvestline li")
	if len(lines) != 5 {
		t.Errorf("%d lines of time, want the bed and four steps", len(lines))
	}
	for _, l := range lines {
		if d := all(l, "svg path"); len(d) < 2 || len(strings.Join(shown(l), " ")) < 10 {
			t.Errorf("a line of time without drawing or words: %q", shown(l))
		}
	}
	if strings.Contains(saidOn(t, s, "/bin/B20"), "cocoa-coloured") {
		t.Error("a bin that is not ripe is said how to take")
	}
	if said := saidOn(t, s, "/bin/B10", "lang=es"); !strings.Contains(said, "color cacao") {
		t.Errorf("in Spanish: %s", said)
	}
}

// By hand: 20 and 22 against 15 and 17 on one day are 5 apart, each side with a
// variance of 2: 2.92 times the root of 2 on either side.
func TestTrialOnItsPage(t *testing.T) {
	s, f, _ := sample(t)
	if said := saidOn(t, s, "/trials"); !strings.Contains(said, "No trial is written down") {
		t.Errorf("no trial: %s", said)
	}
	at := f.Now().Add(-3 * time.Hour)
	day := []journal.Entry{{Kind: "trial", Body: &journal.Trial{Name: "covers", Question: "Do boards keep beds warmer?", Sides: [][]string{{"B1", "B2"}, {"B3", "B4"}}}}}
	for i, c := range []qty.Celsius{20, 22, 15, 17} {
		day = append(day, journal.Entry{Kind: "reading", Body: &journal.Reading{Bin: []string{"B1", "B2", "B3", "B4"}[i], TempC: &c}})
	}
	for i, e := range day {
		e.ID, e.At, e.Who = f.newID(at), at.Add(time.Duration(i)*time.Minute), "owner"
		if ack, err := f.Record(t.Context(), e, true); err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
	}
	said := saidOn(t, s, "/trials", "units=metric")
	for _, want := range []string{"Do boards keep beds warmer?", "temperature, on 1 day", "21 °C (2 bins)", "−5 (−9.1 to −0.9) °C", "less"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said: %s", want, said)
		}
	}
	if said := saidOn(t, s, "/trials", "lang=es"); !strings.Contains(said, "temperatura, en 1 día") {
		t.Errorf("in Spanish: %s", said)
	}
}

// Before the crew starts the page says what the deck does; what cannot be read is
// said at its box, and the form below is kept.
func TestDeckBeforeScreening(t *testing.T) {
	s := withLot(t)
	fine := saidOn(t, s, "/lot/L%201/screen?opening=1/8+in&water=40", "units=metric")
	for _, want := range []string{"breaks fungal threads", "hold the fines 42 days", "goes through", "nobody is known to have measured"} {
		if !strings.Contains(fine, want) {
			t.Errorf("a fine deck: %q is not said: %s", want, fine)
		}
	}
	if wet := saidOn(t, s, "/lot/L%201/screen?opening=1/4+in&water=65"); !strings.Contains(wet, "makes balls") || strings.Contains(wet, "goes back") {
		t.Errorf("too wet: %s", wet)
	}
	if coarse := saidOn(t, s, "/lot/L%201/screen?opening=12&water=40", "units=metric"); strings.Contains(coarse, "breaks fungal threads") {
		t.Errorf("a coarse deck is said to break threads: %s", coarse)
	}
	for _, bad := range []string{"opening=many", "opening=-3", "opening=6", "opening=3+in", "water=wet", "water=140", "chips=99", "rate=0"} {
		page := get(t, s, "/lot/L%201/screen?"+bad)
		body := doc(t, page)
		if marked, boxes := len(all(body, ".field.bad")), len(all(body, `[name="decks.0.opening_mm"]`)); page.Code != 200 || marked != 1 || boxes == 0 {
			t.Errorf("%s: %d, %d boxes marked, %d boxes for the decks in the form below", bad, page.Code, marked, boxes)
		}
	}
}

// unitBeside is the unit that stands beside a box.
func unitBeside(n *html.Node) string {
	for n != nil && attr(n, "class") != "box" {
		n = n.Parent
	}
	return textOf(n, ".unit")
}

// Openings are shown and typed in the farm's units, cloth by parts of an inch; the
// journal keeps millimetres.
func TestOpeningsInTheFarmsUnits(t *testing.T) {
	s := withLot(t)
	for units, want := range map[string][2]string{"us": {"1/4", "in"}, "metric": {"6.35", "mm"}} {
		body := doc(t, get(t, s, "/lot/L%201/screen", "units="+units))
		for _, box := range []string{"opening", "decks.0.opening_mm"} {
			got := all(body, `[name="`+box+`"]`)
			if len(got) != 1 || attr(got[0], "value") != want[0] || unitBeside(got[0]) != want[1] {
				t.Errorf("%s: the box %s is not filled with %s %s", units, box, want[0], want[1])
			}
		}
	}
	for typed, mm := range map[string]float64{"1/4": 6.35, "3/8 in": 9.525, "6 mm": 6} {
		r := post(t, s, "/lot/L%201/screen", "decks.0.opening_mm="+typed, "decks.0.through_kg=10", "decks.0.over_kg=1", "id="+s.NewID(s.Farm.Now()))
		if r.Code != http.StatusSeeOther {
			t.Fatalf("%s: %d", typed, r.Code)
		}
		l, _ := s.Farm.State().Lot("L 1")
		if got := l.Screens[len(l.Screens)-1].Decks[0].OpeningMM; math.Abs(got-mm) > 1e-9 {
			t.Errorf("%s is kept as %g mm, want %g", typed, got, mm)
		}
	}
	if said := saidOn(t, s, "/journal?q=screened"); !strings.Contains(said, "over 3/8 in (9.525 mm)") || !strings.Contains(said, "over 0.236 in (6 mm)") {
		t.Errorf("the journal says %s", said)
	}
}

// More over the deck than lies there, and more worms given away than were got, are
// asked about and nothing is saved.
func TestHarvestAndScreenThatDoNotAddUp(t *testing.T) {
	s := withLot(t)
	kg := func(m float64) *qty.WetKg { v := qty.WetKg(m); return &v }
	f := s.Farm.(*paper)
	at := f.Now().Add(-2 * 3600e9)
	live := qty.LiveKg(3)
	for _, e := range []journal.Entry{
		{Kind: "screen", Body: &journal.Screen{Lot: "L 1", Decks: []journal.Deck{{OpeningMM: 6, ThroughKg: kg(400), OverKg: kg(20)}}}},
		{Kind: "harvest", Body: &journal.Harvest{Bins: []string{"B10"}, WormsKg: &live, WormsTo: []journal.WormsTo{{Bin: "B20", Kg: 5}}}},
	} {
		e.ID, e.At, e.Who = f.newID(at), at, "owner"
		ack, err := f.Record(t.Context(), e, false)
		if err != nil || ack.Saved || len(ack.Problems) == 0 {
			t.Fatalf("%s: %v, saved %v", e.Kind, err, ack.Saved)
		}
		said := ack.Problems[0].Say
		for _, l := range words.Languages() {
			if l.Lang != "en" && l.Told(said) == said {
				t.Errorf("%q is not told in %s", said, l.Lang)
			}
		}
	}
}

// Of worms of which the range reaches from none to many nobody is told a middle;
// a bin of which nothing is asked says why.
func TestWhatNobodyKnowsOfWorms(t *testing.T) {
	s, _, d := sample(t)
	d.outlooks["B10"].Worms = twin.Range{Low: 0, Mid: 6.2, High: 6.8}
	d.outlooks["B20"].Worms = twin.Range{Low: 3, Mid: 6.2, High: 6.8}
	if said := saidOn(t, s, "/bin/B10"); !strings.Contains(said, "not known: none to 15 lb; a look would tell") || strings.Contains(said, "13.7 lb") {
		t.Errorf("nobody knows: %s", said)
	}
	if said := saidOn(t, s, "/bin/B20"); strings.Contains(said, "not known") || !strings.Contains(said, "13.7 lb (6.6 to 15)") {
		t.Errorf("known: %s", said)
	}
	if said := saidOn(t, s, "/bin/B10", "lang=es"); !strings.Contains(said, "no se sabe: de ninguna a 15 lb") {
		t.Errorf("in Spanish: %s", said)
	}
	last := *d.made
	last.Day = s.Farm.Now().Format("2006-01-02")
	last.Items = append([]round.Item{}, last.Items...)
	found := false
	for i := range last.Items {
		if last.Items[i].Act == round.Rest {
			found = true
			last.Items[i].Why = []round.Phrase{{Key: "why.bedding"}}
			d.made = &last
			if said := saidOn(t, s, "/bin/"+last.Items[i].Bin); !strings.Contains(said, "Nothing to do today. Until it is fed the worms live on their bedding.") {
				t.Errorf("a bin that rests: %s", said)
			}
			break
		}
	}
	if !found {
		t.Error("no bin of the sample rests")
	}
}
