package web

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/round"
)

// The desk of the tests keeps the one round it has.

func (d *desk) KeepSheet(_ context.Context, mends []app.SheetMend) (app.Sheet, bool, error) {
	if d.made == nil {
		return app.Sheet{}, false, nil
	}
	d.printed = true
	if mends != nil {
		d.mends = mends
	}
	return app.Sheet{Code: app.SheetCode(d.made), Day: d.made.Day, Made: d.made.At, Mends: d.mends}, true, nil
}

func (d *desk) Sheets(ctx context.Context) ([]app.Sheet, error) {
	if !d.printed {
		return nil, nil
	}
	x, _, err := d.KeepSheet(ctx, nil)
	return []app.Sheet{x}, err
}

func (d *desk) SheetList(ctx context.Context, code string, w round.Words) (round.List, bool, error) {
	if !d.printed || code != app.SheetCode(d.made) {
		return round.List{}, false, nil
	}
	return d.List(ctx, w)
}

// postForm sends a form that has several values under one name.
func postForm(t *testing.T, s *Server, path string, v url.Values) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(v.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// lineNo gives the number on paper of the first line of an act in a row.
func lineNo(t *testing.T, d *desk, act round.Act, most int) (int, round.Line) {
	t.Helper()
	in := d.made.Made
	in.Items = d.made.Items
	for n, l := range d.params.Write(in).Lines {
		if l.Act == act && len(l.Items) > most {
			return n + 1, l
		}
	}
	t.Fatalf("the sheet has no line to %s", act)
	return 0, round.Line{}
}

func TestSheetTypedBack(t *testing.T) {
	s, f, d := sample(t)
	if w := get(t, s, "/round/sheet"); !strings.Contains(textOf(doc(t, w), "main"), "No round has been printed") {
		t.Error("a sheet stands there that was never printed")
	}
	printed := doc(t, get(t, s, "/round/print"))
	back := doc(t, get(t, s, "/round/sheet"))
	paper, boxes := all(printed, ".sheet-line .say"), all(back, "fieldset.sheet-back legend")
	if len(paper) == 0 || len(paper) != len(boxes) {
		t.Fatalf("%d lines on paper, %d to type", len(paper), len(boxes))
	}
	for i := range paper {
		if words1(paper[i]) != words1(boxes[i]) {
			t.Errorf("on paper %q, on the page %q", words1(paper[i]), words1(boxes[i]))
		}
	}
	if w := get(t, s, "/s/"+app.SheetCode(d.made)); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/round/sheet?of="+app.SheetCode(d.made) {
		t.Errorf("the code leads to %d %s", w.Code, w.Header().Get("Location"))
	}
	fedNo, fed := lineNo(t, d, round.Feed, 3)
	lookNo, look := lineNo(t, d, round.Look, 0)
	waterNo, water := lineNo(t, d, round.Water, 0)
	v := url.Values{"of": {app.SheetCode(d.made)}, "began": {f.now.Format("2006-01-02T15:04:05Z07:00")}, "step": {"look"}}
	set := func(name string, no int, value string) { v.Set(name+fmt.Sprint(no), value) }
	set("a", fedNo, "other")
	set("but", fedNo, fed.Items[0].Bin+", B9999")
	set("a", lookNo, "done")
	set("a", waterNo, "not")
	n := len(f.book.list())
	w := postForm(t, s, "/round/sheet", v)
	said := textOf(doc(t, w), ".wrong")
	if w.Code != http.StatusUnprocessableEntity {
		t.Errorf("%d", w.Code)
	}
	for _, want := range []string{fmt.Sprintf("Line %d: ", fedNo), "B9999", fmt.Sprintf("Line %d: nothing says what was seen", lookNo), fmt.Sprintf("Line %d: Nothing says why", waterNo)} {
		if !strings.Contains(said, want) {
			t.Errorf("not told: %s in %s", want, said)
		}
	}
	set("but", fedNo, fed.Items[0].Bin+" "+strings.ToLower(fed.Items[1].Bin))
	set("amount", fedNo, "1")
	set("why", fedNo, "lid stuck")
	set("squeeze", lookNo, "few drops")
	set("why", waterNo, "no water")
	w = postForm(t, s, "/round/sheet", v)
	over := doc(t, w)
	if w.Code != http.StatusOK || len(all(over, "ol.do-list li")) != 4 {
		t.Fatalf("%d: %s", w.Code, textOf(over, "main"))
	}
	if len(f.book.list()) != n {
		t.Fatal("something was written before the look over")
	}
	v.Set("step", "write")
	for i := range 3 { // pressed twice, and typed back once more later on
		if i == 2 {
			v.Set("began", f.now.Add(90*time.Minute).Format("2006-01-02T15:04:05Z07:00"))
		}
		if w = postForm(t, s, "/round/sheet", v); w.Code != http.StatusSeeOther {
			t.Fatalf("%d: %s", w.Code, textOf(doc(t, w), "main"))
		}
	}
	got := f.book.list()[n:]
	if len(got) != 4 {
		t.Fatalf("%d entries", len(got))
	}
	b := got[slices.IndexFunc(got, func(e journal.Entry) bool { return e.Kind == "feed" })].Body.(*journal.Feed)
	if len(b.Bins) != len(fed.Items)-2 || slices.Contains(b.Bins, fed.Items[0].Bin) || float64(*b.DepthM) != 1*in {
		t.Errorf("fed %v by %v", b.Bins, *b.DepthM)
	}
	for _, e := range got {
		switch x := e.Body.(type) {
		case *journal.Look:
			if x.Squeeze != "few drops" || x.Bins[0] != look.Items[0].Bin {
				t.Errorf("%+v", x)
			}
		case *journal.Left:
			if x.Act == "feed" && (x.Why != "lid stuck" || len(x.Bins) != 2) || x.Act == "water" && (x.Why != "no water" || len(x.Bins) != len(water.Items)) {
				t.Errorf("%+v", x)
			}
		}
	}
}

// TestWholeRowExcept feeds a row from the entry page, all except two bins.
func TestWholeRowExcept(t *testing.T) {
	s, f, _ := sample(t)
	page := doc(t, get(t, s, "/enter/feed"))
	to := ""
	for _, a := range all(page, "details a.b") {
		if strings.Contains(attr(a, "href"), url.QueryEscape("row 3 of 1")) {
			to = attr(a, "href")
		}
	}
	row := doc(t, get(t, s, to))
	ticks := all(row, ".pick input[name=bins]")
	if len(ticks) < 10 {
		t.Fatalf("%q offers %d bins", to, len(ticks))
	}
	form := all(row, "form.form")[0]
	v := url.Values{"id": {attr(all(form, "input[name=id]")[0], "value")}, "depth_m": {"1.5"}, "batch": {"41"}}
	for i, x := range ticks {
		if len(all(row, ".pick input[name=bins][checked]")) != len(ticks) {
			t.Fatal("not all are ticked")
		}
		if i != 1 && i != 4 {
			v.Add("bins", attr(x, "value"))
		}
	}
	n := len(f.book.list())
	w := postForm(t, s, attr(form, "action"), v)
	got := f.book.list()[n:]
	if w.Code != http.StatusSeeOther || len(got) != 1 {
		t.Fatalf("%d, %d entries", w.Code, len(got))
	}
	if b := got[0].Body.(*journal.Feed); !slices.Equal(b.Bins, v["bins"]) {
		t.Errorf("fed %v", b.Bins)
	}
}

// secondsTap is what a scan or a tap takes with gloves: our own assumption, as
// docs/benchmarks.md states it.
const secondsTap = 3

// TestFeedingsByTaps feeds eight bins one by one on the phone, one of them by
// another depth than advised, counts the taps, and holds three times as many, a
// day's 24 feedings, to five minutes.
func TestFeedingsByTaps(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, f, d := sample(t)
	s.NewID = safely(s.NewID)
	at := newSignal(t, s)
	p := newPhone(t, at)
	const eight, day = 8, 24
	var bins []string
	for _, i := range d.made.Items {
		if i.Act == round.Feed && len(bins) < eight {
			bins = append(bins, i.Bin)
		}
	}
	if len(bins) != eight {
		t.Fatalf("the round feeds %d bins", len(bins))
	}
	n, taps, waits, waited := len(f.book.list()), 0, 0, time.Duration(0)
	for i, b := range bins {
		began := time.Now()
		p.open("/bin/" + b) // what scanning opens
		waits++
		steps := []string{"form[data-facts] button.do"}
		if i == eight-1 { // another depth than advised
			steps = []string{"a.b[href='/bin/" + b + "/feed']", "label.chip:has(input[name=depth_m][value='1'])", "form.form button.do"}
		}
		for _, x := range steps {
			p.until(fmt.Sprintf("document.readyState==='complete'&&customElements.get('outbox-bar')&&document.querySelector(%q)", x))
			waited += time.Since(began)
			p.eval(fmt.Sprintf("(document.querySelector(%q).click(),1)", x))
			taps++
			began = time.Now()
			if strings.HasPrefix(x, "a") || strings.HasPrefix(x, "form") {
				waits++ // for a page
			}
		}
		p.until("document.querySelector('.said')")
		waited += time.Since(began)
	}
	if fed, _ := fedSince(f, n); !slices.Equal(fed, bins) {
		t.Errorf("fed %v", fed)
	}
	taps, waits = taps*day/eight, waits*day/eight
	took := float64(taps+day) * secondsTap
	t.Logf("%d feedings: as many scans and %d taps, %.0f s at %d s each, and %d waits for a page, %.2f s each on this machine now", day, taps, took, secondsTap, waits, waited.Seconds()*day/eight/float64(waits))
	if took > 300 {
		t.Errorf("%.0f s; five minutes are promised", took)
	}
}

// Questions and remedies stand on the sheet and are typed back by it: an answer
// with the bins it is not true of, a step done, one left with its reason, and
// whether a remedy helped. A remedy that is over keeps its number free.
func TestASheetAnswersQuestionsAndRemedies(t *testing.T) {
	s, f, _, _ := asking(t)
	d := s.Rounds.(*desk)
	f.keep(journal.Entry{ID: f.newID(f.now), Kind: "remedy", At: f.now.AddDate(0, 0, -7), Who: "crew 2",
		Body: &journal.Remedy{Bins: []string{"B20"}, Cause: "overfed", Steps: []string{"stop feed", "lime", "bait", "look again"}}})
	twins := d.params.Write(func() round.Made { in := d.made.Made; in.Items = d.made.Items; return in }()).Lines
	n := doc(t, get(t, s, "/round/print"))
	if x := words1(n); !strings.Contains(x, fmt.Sprint(len(twins)+1, ". ")) || !strings.Contains(x, "limestone") || !strings.Contains(x, "Gone / better") {
		t.Fatalf("the sheet lacks remedies: %s", x)
	}
	ask := slices.IndexFunc(twins, func(l round.Line) bool { return l.Act == round.Ask && len(l.Items) > 1 }) + 1
	if ask == 0 {
		t.Fatal("no question about two bins")
	}
	asked := twins[ask-1]
	no := map[string]int{}
	for i, m := range d.mends {
		no[m.Key] = len(twins) + 1 + i
	}
	if len(no) != 4 {
		t.Fatalf("%v", no)
	}
	box := func(name string, n int) string { return fmt.Sprint(name, n) }
	v := url.Values{"of": {app.SheetCode(d.made)}, "step": {"write"}, "began": {f.now.Format("2006-01-02T15:04:05.999999999Z07:00")},
		box("a", ask): {"fed"}, box("but", ask): {asked.Items[1].Bin},
		box("a", no["mend/overfed/lime"]): {"done"}, box("a", no["mend/overfed/bait"]): {"not"}, box("why", no["mend/overfed/bait"]): {"no melon"},
		box("a", no["helped/overfed"]): {"same"}}
	was := len(f.book.list())
	if w := postForm(t, s, "/round/sheet", v); w.Code != http.StatusSeeOther {
		t.Fatalf("%d: %s", w.Code, words1(doc(t, w)))
	}
	var got []string
	for _, e := range f.book.list()[was:] {
		switch b := e.Body.(type) {
		case *journal.Feed:
			if e.At.Unix() != asked.Items[0].Asked.Hour*3600 {
				t.Errorf("fed at %v", e.At)
			}
			got = append(got, "feed "+strings.Join(b.Bins, " "))
		case *journal.Answer:
			got = append(got, b.Said+" "+strings.Join(b.Bins, " "))
		case *journal.Left:
			got = append(got, "left "+b.Act+" "+b.Step+": "+b.Why)
		case *journal.Outcome:
			got = append(got, b.Said+" "+strings.Join(b.Steps, " "))
		}
	}
	want := []string{"feed " + asked.Items[0].Bin, "fed " + asked.Items[0].Bin, "not fed " + asked.Items[1].Bin, "done lime", "left mend bait: no melon", "same "}
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("written %q, wanted %q", got, want)
	}
	if x := words1(doc(t, get(t, s, "/round/sheet"))); !strings.Contains(x, "no longer under way") {
		t.Errorf("what is over takes answers: %s", x)
	}
}

// The desk of the tests reckons as a farm's does.

func (d *desk) Paces(s *farm.State, now time.Time) []round.Pace {
	return d.params.Paces(app.Ticks(s, now.AddDate(0, 0, -90)))
}

func (d *desk) Taken(s *farm.State, from time.Time) (took, reckoned float64) {
	return d.params.Taken(app.Ticks(s, from))
}
