package web

import (
	"encoding/csv"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// withLot is the sample farm after a harvest that was screened, bagged and sold: 75
// kg of one bin and 25 kg of another.
func withLot(t *testing.T) *Server {
	t.Helper()
	s, f, _ := sample(t)
	at := f.Now().Add(-10 * time.Hour)
	kg := func(m float64) *qty.WetKg { v := qty.WetKg(m); return &v }
	n := func(v int) *int { return &v }
	m3 := qty.CubicMetre(0.05)
	for _, e := range []journal.Entry{
		{Kind: "harvest", Body: &journal.Harvest{Bins: []string{"B10"}, MassKgWet: kg(75), Lot: "L 1"}},
		{Kind: "harvest", Body: &journal.Harvest{Bins: []string{"B20"}, MassKgWet: kg(25), VolumeM3: &m3, Lot: "L 1"}},
		{Kind: "screen", Body: &journal.Screen{Lot: "L 1", OversTo: "feed", Decks: []journal.Deck{{OpeningMM: 6, ThroughKg: kg(80), OverKg: kg(20)}}}},
		{Kind: "bag", Body: &journal.Bag{Lot: "L 1", SizeM3: 0.01, Number: 10}},
		{Kind: "sell", Body: &journal.Sell{Lot: "L 1", Customer: "C-1", Bags: n(4)}},
		{Kind: "sell", Body: &journal.Sell{Lot: "L 1", Customer: "C-2", Bags: n(3)}},
	} {
		e.ID, e.At, e.Who, at = f.newID(at), at, "owner", at.Add(time.Hour)
		if ack, err := f.Record(t.Context(), e, true); err != nil || !ack.Saved {
			t.Fatalf("%s: %v %v", e.Kind, err, ack.Problems)
		}
	}
	return s
}

// Overs that went onto a pile are told on their lot with what lies there, and the
// pile is in the yard; the form of a screening has its title before the deck.
func TestOversOnThePageOfALot(t *testing.T) {
	s := withLot(t)
	f := s.Farm.(*paper)
	at := f.Now().Add(-time.Hour)
	kg := func(m float64) *qty.WetKg { v := qty.WetKg(m); return &v }
	e := journal.Entry{ID: f.newID(at), At: at, Who: "owner", Kind: "screen", Body: &journal.Screen{Lot: "L 1", OversPile: "overs", Decks: []journal.Deck{{OpeningMM: 6, ThroughKg: kg(60), OverKg: kg(12)}}}}
	if ack, err := f.Record(t.Context(), e, true); err != nil || !ack.Saved {
		t.Fatal(err, ack.Problems)
	}
	if said := saidOn(t, s, "/lot/L%201", "units=metric"); !strings.Contains(said, "Overs lie on") || !strings.Contains(said, "12 kg there now") {
		t.Errorf("the lot: %s", said)
	}
	if n := len(all(doc(t, get(t, s, "/lot/L%201")), `.facts a[href="/yard/pile/overs"]`)); n != 1 {
		t.Errorf("%d ways from the lot to the pile of its overs, want 1", n)
	}
	if said := saidOn(t, s, "/yard/pile/overs", "lang=es"); !strings.Contains(said, "rechazo de la criba") {
		t.Errorf("the pile in Spanish: %s", said)
	}
	if said := saidOn(t, s, "/trace?of=lot+L+1&way=forward"); !strings.Contains(said, "Pile overs") {
		t.Errorf("forward from the lot: %s", said)
	}
	said := saidOn(t, s, "/lot/L%201/screen")
	if title, deck := strings.Index(said, "A lot goes through the decks"), strings.Index(said, "Before the crew starts"); title < 0 || deck < title {
		t.Errorf("the page of a screening begins with its deck: %s", said)
	}
}

func saidOn(t *testing.T, s *Server, path string, cookies ...string) string {
	t.Helper()
	return strings.Join(shown(doc(t, get(t, s, path, cookies...))), " ")
}

func TestCastingsLotAndTrace(t *testing.T) {
	s := withLot(t)
	if n := all(doc(t, get(t, s, "/castings")), `a.heap[href="/lot/L%201"] svg`); len(n) != 1 {
		t.Errorf("the lot stands %d times on the page Castings, want once", len(n))
	}
	page := saidOn(t, s, "/lot/L%201", "units=metric")
	for _, want := range []string{"Harvested 100 kg", "Screened out 20 kg", "Bagged 50 kg", "10 bags filled, 7 sold", "Lies there still, or was lost 30 kg", "500 kg/m"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page of the lot does not say %q: %s", want, page)
		}
	}
	back := doc(t, get(t, s, "/trace?of=L+1&way=back"))
	if n := all(back, "svg.kin rect.k-here"); len(n) != 1 {
		t.Errorf("%d boxes of the drawing are the lot, want one", len(n))
	}
	if page := saidOn(t, s, "/trace?of=L+1&way=back"); !strings.Contains(page, "75 %") || !strings.Contains(page, "25 %") {
		t.Errorf("the shares of the two beds are not told: %s", page)
	}
	page = saidOn(t, s, "/trace?of=bin+B10&way=forward")
	for _, want := range []string{"10 bags, 2 customers", "7 of the bags are sold, 3 are still here", "went to: feed"} {
		if !strings.Contains(page, want) {
			t.Errorf("the recall does not say %q: %s", want, page)
		}
	}
	if page := saidOn(t, s, "/trace?of=bin+B10&way=forward", "lang=es"); !strings.Contains(page, "10 bolsas, 2 clientes") {
		t.Errorf("the recall in Spanish: %s", page)
	}
	if w := get(t, s, "/trace?of=nothing+such"); w.Code != 404 || !strings.Contains(w.Body.String(), "Nothing is called") {
		t.Errorf("a thing that is not there gives %d", w.Code)
	}
	if w := get(t, s, "/lot/none"); w.Code != 404 {
		t.Errorf("a lot that is not there gives %d", w.Code)
	}
	rows, err := csv.NewReader(get(t, s, "/trace.csv?of=L+1&way=back").Body).ReadAll()
	if err != nil || len(rows) < 3 || rows[0][6] != "share" {
		t.Fatalf("the sheet: %v %v", rows, err)
	}
	found := false
	for _, r := range rows[1:] {
		found = found || r[2] == "bed" && r[6] == "0.75"
	}
	if !found {
		t.Errorf("the sheet has no bed with a share of 0.75: %v", rows)
	}
	for _, act := range lotActs {
		if w := get(t, s, "/lot/L%201/"+act); w.Code != 200 {
			t.Errorf("the form %s of a lot gives %d", act, w.Code)
		}
	}
}

// A sale that does not fit is asked about with the box it is in, and a lot made of
// itself is refused.
func TestLotForms(t *testing.T) {
	s := withLot(t)
	w := post(t, s, "/lot/L%201/sell", "bags=9", "customer=C-3", "id="+s.NewID(s.Farm.Now()))
	for _, want := range []string{"9 bags are sold of lot L 1, and 3 of it are filled and not sold", "Lot L 1 was not released"} {
		if w.Code != 422 || !strings.Contains(w.Body.String(), want) {
			t.Errorf("a sale of more bags than there are gives %d and does not say %q", w.Code, want)
		}
	}
	w = post(t, s, "/lot/L%201/join", "lot=L 1", "parts=L 1, , 5 kg", "id="+s.NewID(s.Farm.Now()))
	if w.Code != 422 || !strings.Contains(w.Body.String(), "Lot L 1 would be made of itself") {
		t.Errorf("a lot made of itself gives %d", w.Code)
	}
}

// A harvest is put into a lot by one tap: those that are open and a new one stand to be
// chosen. A new name that somebody else took meanwhile is asked about.
func TestTheLotOfAHarvestIsChosen(t *testing.T) {
	s := withLot(t)
	form := func() []*html.Node {
		return all(doc(t, get(t, s, "/bin/B10/harvest")), "form[data-kind=harvest] input[type=radio][name=lot]")
	}
	write(t, s, journal.Entry{Kind: "harvest", Body: &journal.Harvest{Bins: []string{"B20"}, MassKgWet: ptr(qty.WetKg(30)), Lot: "26-07"}})
	var got []string
	for _, x := range form() {
		got = append(got, attr(x, "value"))
	}
	if strings.Join(got, ",") != "26-07,26-08" { // L 1 is screened
		t.Fatalf("the lots %v are offered", got)
	}
	send := func(more ...string) *httptest.ResponseRecorder {
		return post(t, s, "/bin/B10/harvest", append([]string{"bins=B10", "mass_kg_wet=100", "lot=26-08", "newlot=26-08"}, more...)...)
	}
	none := post(t, s, "/bin/B10/harvest", "bins=B10", "mass_kg_wet=100", "newlot=26-08", "id="+s.NewID(s.Farm.Now()))
	if asked := textOf(doc(t, none), ".doubt"); none.Code != 422 || !strings.Contains(asked, "go into no lot") || !strings.Contains(asked, "26-08") {
		t.Fatalf("a harvest into no lot: %d %s", none.Code, asked)
	}
	entries := s.Farm.State().Entries
	if w := send("id=" + s.NewID(s.Farm.Now())); w.Code != http.StatusSeeOther {
		t.Fatalf("a new lot: %d %s", w.Code, textOf(doc(t, w), ".wrong,.doubt"))
	}
	id := "id=" + s.NewID(s.Farm.Now())
	w := send(id)
	body := doc(t, w)
	if w.Code != 422 || s.Farm.State().Entries != entries+1 || !strings.Contains(textOf(body, ".doubt"), "Lot 26-08 was begun meanwhile") || !strings.Contains(textOf(body, ".doubt"), "26-09") {
		t.Fatalf("a name that was taken: %d %s", w.Code, textOf(body, ".wrong,.doubt"))
	}
	if on := all(body, "input[name=lot][value='26-08'][checked]"); len(on) != 1 {
		t.Error("the lot that was chosen does not stand any more")
	}
	if w = send(id, "yes="+attr(all(body, "button[name=yes]")[0], "value")); w.Code != http.StatusSeeOther {
		t.Fatalf("after a yes: %d %s", w.Code, textOf(doc(t, w), ".wrong,.doubt"))
	}
	if l, _ := s.Farm.State().Lot("26-08"); len(l.From) != 2 {
		t.Errorf("lot 26-08 is of %d harvests", len(l.From))
	}
}

// A release is told by the name of its rule, in both languages.
func TestAReleaseIsToldByItsRule(t *testing.T) {
	s := withLot(t)
	e := &journal.Entry{Kind: "release", Body: &journal.Release{Lot: "L 1", Rule: app.HouseRule, By: "owner"}}
	other := &journal.Entry{Kind: "release", Body: &journal.Release{Lot: "L 1", Rule: "the county's letter"}}
	for lang, want := range map[string][2]string{"en": {"Lot L 1 released under: The farm's own house rule.", "Lot L 1 released under: the county's letter."}, "es": {"Lote L 1 autorizado según: La regla de la casa.", "Lote L 1 autorizado según: the county's letter."}} {
		r := httptest.NewRequest("GET", "/journal", nil)
		r.AddCookie(&http.Cookie{Name: langCookie, Value: lang})
		p := s.person(r)
		bare := strings.NewReplacer("\u2068", "", "\u2069", "") // what isolates typed text
		if got := [2]string{bare.Replace(p.sentence(e)), bare.Replace(p.sentence(other))}; got != want {
			t.Errorf("%s: it is told as %q", lang, got)
		}
	}
}
