package web

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// labServer is a farm with two lots that takes files.
func labServer(t *testing.T) (*Server, *app.App) {
	t.Helper()
	a, store, err := app.OpenFile(context.Background(), filepath.Join(t.TempDir(), "farm.wormyard"), func() time.Time { return sampleNow })
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	s, err := New(Config{Farm: a, Import: a, NewID: func(time.Time) string { n++; return fmt.Sprint("id-", n) }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close(); store.Close() })
	mass := qty.WetKg(60)
	at := sampleNow.AddDate(0, 0, -20)
	for i, body := range []any{&journal.Build{Bins: []string{"B1", "B2"}}, &journal.Bed{Bins: []string{"B1", "B2"}, Material: "leaves, loose dry", DepthM: 0.1}, &journal.Harvest{Bins: []string{"B1"}, MassKgWet: &mass, Lot: "26-01"}, &journal.Harvest{Bins: []string{"B2"}, MassKgWet: &mass, Lot: "26-02"}} {
		e := journal.Entry{Kind: []string{"build", "bed", "harvest", "harvest"}[i], At: at.Add(time.Duration(i) * time.Hour), Who: "owner", Body: body}
		if ack, err := a.Record(context.Background(), e, true); err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
	}
	return s, a
}

// boxes gives what a form would send, with some of it changed.
func boxes(page *html.Node, form string, change ...string) (pairs []string) {
	v := map[string]string{}
	for _, x := range all(page, form+" input") {
		if t := attr(x, "type"); t != "radio" && t != "checkbox" && t != "file" || hasAttr(x, "checked") {
			v[attr(x, "name")] = attr(x, "value")
		}
	}
	for _, x := range all(page, form+" select") {
		v[attr(x, "name")] = ""
		for _, o := range all(x, "option[selected]") {
			v[attr(x, "name")] = attr(o, "value")
		}
	}
	for _, c := range change {
		k, x, _ := strings.Cut(c, "=")
		v[k] = x
	}
	for k, x := range v {
		pairs = append(pairs, k+"="+x)
	}
	return pairs
}

// A sheet of two lots with strange samples is refused until it is said what they are
// of; what is shown is what is written, all of it or nothing; the same sheet is asked
// about, and its headers are known the next time.
func TestALaboratorysSheetOnThePageOfALot(t *testing.T) {
	s, a := labServer(t)
	const sheet = "Client Sample ID,Parameter,Result,Units,Date sampled\nA-1,Salmonella,<3,MPN/4g TS,2026-02-20\nA-1,Copper,80.5,mg/kg dry,2026-02-20\nA-2,Boron,12,mg/kg dry,2026-02-20\nA-2,E. coli,TNTC,CFU/g,2026-02-20\n"
	before := len(a.State().Journal())
	w := upload(t, s, "/lot/26-01/sheet", "lab.csv", sheet)
	page := doc(t, w)
	said := words1(page)
	if w.Code != 422 || !strings.Contains(said, `Sample "A-1" names no lot`) || len(all(page, "select[name=s0]")) != 1 || len(all(page, "button[value=save]")) != 0 {
		t.Fatalf("%d: %s", w.Code, said)
	}
	const form = "form[action='/lot/26-01/sheet/read']"
	w = post(t, s, "/lot/26-01/sheet/read", boxes(page, form, "s0=lot 26-01", "s1=lot 26-02", "do=read")...)
	page = doc(t, w)
	said = words1(page)
	for _, want := range []string{"<3 is read as below 3 MPN/4 g.", "Salmonella less than 3 MPN/4 g of dry matter", "Copper 80.5 mg/kg of dry matter", `"Boron" is no test that we know`, "boron 12 mg/kg of dry matter", "too many to count", "Write down 4 results"} {
		if !strings.Contains(strings.ToLower(said), strings.ToLower(want)) {
			t.Errorf("the page does not say %q: %s", want, said)
		}
	}
	// what was changed and not looked at is shown again and not written
	w = post(t, s, "/lot/26-01/sheet/read", boxes(page, form, "s1=lot 26-01", "do=save")...)
	if w.Code != 200 || !strings.Contains(w.Body.String(), "look through it, then write it down") || len(a.State().Journal()) != before {
		t.Errorf("a change that nobody saw gives %d and %d entries", w.Code, len(a.State().Journal()))
	}
	w = post(t, s, "/lot/26-01/sheet/read", boxes(page, form, "do=save")...)
	if w.Code != 303 || w.Header().Get("Location") != "/lot/26-01?tests=4" || len(a.State().Journal()) != before+5 {
		t.Fatalf("%d to %s, %d entries: %s", w.Code, w.Header().Get("Location"), len(a.State().Journal()), w.Body.String())
	}
	if said := saidOn(t, s, "/lot/26-01?tests=4"); !strings.Contains(said, "4 results of the laboratory's sheet are written down") || !strings.Contains(said, "less than 3 MPN/4 g of dry matter") {
		t.Errorf("the page of the lot: %s", said)
	}
	l, _ := a.State().Lot("26-02")
	if len(l.Tests) != 2 || l.Tests[1].Reads != journal.ReadsTooMany && l.Tests[0].Reads != journal.ReadsTooMany {
		t.Errorf("lot 26-02 has %+v", l.Tests)
	}
	page = doc(t, upload(t, s, "/lot/26-01/sheet", "lab.csv", sheet))
	if said := words1(page); !strings.Contains(said, "taken in before") {
		t.Errorf("the headers are not known again: %s", said)
	}
	page = doc(t, post(t, s, "/lot/26-01/sheet/read", boxes(page, form, "s0=lot 26-01", "s1=lot 26-02", "do=read")...))
	if said := words1(page); !strings.Contains(said, "4 of 4 results of this sheet stand in the journal already") || len(all(page, "button[value=save]")) != 0 {
		t.Errorf("the same sheet twice: %s", said)
	}
	q := url.Values{}
	for _, x := range boxes(page, form, "do=read") {
		k, v, _ := strings.Cut(x, "=")
		q.Add(k, v)
	}
	r := httptest.NewRequest("POST", "/lot/26-01/sheet/read", strings.NewReader(q.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	r.AddCookie(&http.Cookie{Name: "lang", Value: "es"})
	w = httptest.NewRecorder()
	s.ServeHTTP(w, r)
	es := strings.Join(shown(doc(t, w)), " ")
	for _, english := range []string{"stand in the journal", "is read as below", "no test that we know"} {
		if strings.Contains(es, english) {
			t.Errorf("the Spanish page says %q", english)
		}
	}
	if !strings.Contains(es, "se lee como menos de 3 MPN/4") {
		t.Errorf("the Spanish page: %s", es)
	}
}

// What is no table, and a file that nobody keeps any more, are told in words.
func TestALaboratorysSheetThatIsNone(t *testing.T) {
	s, _ := labServer(t)
	if w := upload(t, s, "/lot/26-01/sheet", "lab.pdf", "x"); w.Code != 422 {
		t.Errorf("a PDF gives %d", w.Code)
	}
	if w := upload(t, s, "/lot/26-01/sheet", "lab.csv", "\n\n"); w.Code != 422 {
		t.Errorf("an empty sheet gives %d", w.Code)
	}
	if w := post(t, s, "/lot/26-01/sheet/read", "token="+url.QueryEscape("gone"), "do=save"); w.Code != 422 {
		t.Errorf("a file that is gone gives %d", w.Code)
	}
	if w := get(t, s, "/lot/none/sheet"); w.Code != 404 {
		t.Errorf("a lot that is not there gives %d", w.Code)
	}
}
