package web

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/internal/app"
	"wormyard/internal/ids"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// boxed is a form as a phone sends it, with what somebody typed in place of what
// stood in it.
func boxed(f *paper, form *html.Node, typed ...string) outboxEntry {
	e := outboxEntry{ID: ids.FromContent(f.now, []byte("phone"), len(f.book.list())), Kind: attr(form, "data-kind"), Made: f.now.UnixMilli(), Units: "us"}
	if stop := attr(form, "data-stop"); stop != "" {
		e.Stops = []string{stop}
	}
	set := map[string]bool{}
	for _, x := range typed {
		k, v, _ := strings.Cut(x, "=")
		set[k] = true
		e.Form = append(e.Form, [2]string{k, v})
	}
	for _, i := range all(form, "input") {
		name, value := attr(i, "name"), attr(i, "value")
		on := slices.ContainsFunc(i.Attr, func(a html.Attribute) bool { return a.Key == "checked" })
		if kind := attr(i, "type"); (kind == "radio" || kind == "checkbox") && !on || set[name] || value == "" || slices.Contains([]string{"id", "back", "yes"}, name) {
			continue
		}
		e.Form = append(e.Form, [2]string{name, value})
	}
	return e
}

// since is when the round of a form was made.
func since(t *testing.T, form *html.Node) int64 {
	t.Helper()
	at, err := strconv.ParseInt(attr(form, "data-since"), 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// ticking is a tick of a form as a phone sends it.
func ticking(t *testing.T, f *paper, form *html.Node) outboxEntry {
	t.Helper()
	e := outboxEntry{ID: ids.FromContent(f.now, []byte("tick"), len(f.book.list())), Kind: "facts", Made: f.now.UnixMilli(), Since: since(t, form)}
	if err := json.Unmarshal([]byte(attr(form, "data-facts")), &e.Facts); err != nil {
		t.Fatal(err)
	}
	e.Stops = strings.Split(attr(form, "data-stops"), "\n")
	if stop := attr(form, "data-stop"); stop != "" && attr(form, "data-stops") == "" {
		e.Stops = []string{stop}
	}
	return e
}

func one(t *testing.T, s *Server, e outboxEntry) outboxResult {
	t.Helper()
	return sendBox(t, s, outboxSent{Format: 1, Device: "a1b2c3", Entries: []outboxEntry{e}}).Results[0]
}

// A feeding that was made otherwise than asked about answers the question from a
// phone as well, once.
func TestOtherwiseAnswersFromAPhone(t *testing.T) {
	s, f, bins, day := asking(t)
	to := attr(all(doc(t, get(t, s, "/round")), "article[data-act=ask] a.b[href$='/except']")[0], "href")
	form := all(doc(t, get(t, s, to)), "form.form")[0]
	was := len(f.book.list())
	e := boxed(f, form, "bins="+bins[0], "depth_m=1", "at="+day+"T09:30")
	for range 2 { // the first answer was lost
		if got := one(t, s, e); got.State != "saved" {
			t.Fatalf("%+v", got)
		}
	}
	got := f.book.list()[was:]
	if len(got) != 3 {
		t.Fatalf("%d entries", len(got))
	}
	for i, want := range []string{"fed " + bins[0], "not fed " + bins[1]} {
		if a, ok := got[i+1].Body.(*journal.Answer); !ok || a.Said+" "+strings.Join(a.Bins, " ") != want || a.Day != day {
			t.Errorf("%+v, wanted %s", got[i+1].Body, want)
		}
	}
	if n := doc(t, get(t, s, "/round")); len(all(n, "article[data-act=ask] form")) != 0 {
		t.Error("it still asks")
	}
}

// What goes with an entry is told when it is refused, and nothing is written then.
func TestWhatGoesAlongIsNotLost(t *testing.T) {
	s, f, _ := sample(t)
	was := len(f.book.list())
	e := feeding(f, f.now.Add(-time.Hour), "B10", "1.5")
	e.Form = append(e.Form, [2]string{"also", "cover"}, [2]string{"along_cover", "tin"})
	if got := one(t, s, e); got.State != "refused" || len(got.Problems) == 0 || len(f.book.list()) != was {
		t.Errorf("from a phone: %+v, %d entries", got, len(f.book.list())-was)
	}
	w := post(t, s, "/bin/B10/feed", "id="+formID(t, s, "/bin/B10/feed"), "bins=B10", "batch=41", "depth_m=1.5 in", "also=cover", "along_cover=tin")
	if w.Code != http.StatusUnprocessableEntity || len(f.book.list()) != was {
		t.Errorf("by form: %d, %d entries", w.Code, len(f.book.list())-was)
	}
	e.ID = f.newID(f.now)
	e.Form[len(e.Form)-1][1] = "board"
	if got := one(t, s, e); got.State != "saved" || len(f.book.list()) != was+2 {
		t.Errorf("%+v, %d entries", got, len(f.book.list())-was)
	}
}

// stopOfFeeding is the first stop of the walk that advises to feed, with its form.
func stopOfFeeding(t *testing.T, s *Server) (to string, form *html.Node, bin string) {
	t.Helper()
	for at := range 200 {
		n := doc(t, get(t, s, walkAt(at)))
		for _, x := range all(n, "form[data-facts]") {
			if strings.Contains(attr(x, "data-facts"), `"kind":"feed"`) && len(all(x, "button[value=done]")) == 1 {
				return walkAt(at), x, attr(all(x, "input[name=about]")[0], "value")
			}
		}
	}
	t.Fatal("no stop to feed")
	return
}

// A tick takes back all that it stood for, from a phone and on the plain way.
func TestUndoTakesBackAllOfATick(t *testing.T) {
	s, f, d := sample(t)
	it := &d.made.Items[slices.IndexFunc(d.made.Items, func(i round.Item) bool { return i.Act == round.Feed })]
	it.WaterKg, it.Cover, it.Urgency = 4, "board", round.Now
	counting := func() (out int) {
		for _, e := range f.State().Journal() {
			if e.Kind != "strike" && !f.State().Struck(e.ID) {
				out++
			}
		}
		return out
	}
	was := counting()
	_, form, _ := stopOfFeeding(t, s)
	e := ticking(t, f, form)
	if got := one(t, s, e); got.State != "saved" || counting() != was+3 {
		t.Fatalf("%+v, %d count", got, counting()-was)
	}
	undo := outboxEntry{ID: f.newID(f.now), Kind: "strike", Strikes: e.ID, Made: f.now.UnixMilli()}
	for range 2 {
		if got := one(t, s, undo); got.State != "saved" || counting() != was {
			t.Fatalf("%+v, %d are left", got, counting()-was)
		}
	}
	_, form, _ = stopOfFeeding(t, s)
	wants(t, sendForm(t, s, form, all(form, "button")[0]), 303, "")
	id := attr(all(form, "input[name=id]")[0], "value")
	if counting() != was+3 {
		t.Fatalf("%d count", counting()-was)
	}
	wants(t, post(t, s, "/journal/"+id+"/undo", "id="+f.newID(f.now)), 303, "")
	if counting() != was {
		t.Errorf("%d are left", counting()-was)
	}
}

// A tick made on a page that did not know that somebody else was there is asked
// about, and so are a reason and a form; with a yes it is written down.
func TestATickOfASettledStopIsAskedAbout(t *testing.T) {
	s, f, _ := sample(t)
	to, form, bin := stopOfFeeding(t, s)
	page := doc(t, get(t, s, to))
	skip := all(page, "form[data-kind=left]")[0]
	changed := all(doc(t, get(t, s, attr(all(page, "a.b[href^='/round/walk/changed']")[0], "href"))), "form.form")[0]
	writes(f, &journal.Feed{Bins: []string{bin}, Batch: "41", DepthM: ptr(qty.Metre(1.5 * in))})
	was := len(f.book.list())
	f.now = f.now.Add(time.Minute)
	tick := ticking(t, f, form)
	reason, other := boxed(f, skip, "why=gate is shut"), boxed(f, changed)
	other.ID = f.newID(f.now)
	reason.Since, other.Since = since(t, skip), since(t, changed)
	for _, e := range []outboxEntry{tick, reason, other} {
		got := one(t, s, e)
		if got.State != "doubtful" || got.Yes == "" || !strings.Contains(got.Problems[0].Say, "crew 2") || len(f.book.list()) != was {
			t.Errorf("%s: %+v, %d entries", e.Kind, got, len(f.book.list())-was)
		}
	}
	tick.Yes = one(t, s, tick).Yes
	for range 2 {
		if got := one(t, s, tick); got.State != "saved" {
			t.Errorf("after a yes: %+v", got)
		}
	}
	if len(f.book.list()) == was {
		t.Error("a yes writes nothing")
	}
}

// Without scripts who comes second is told so, with the reason that was typed.
func TestASettledStopTellsWhatWasPressed(t *testing.T) {
	s, f, _ := sample(t)
	to, form, bin := stopOfFeeding(t, s)
	skip := all(doc(t, get(t, s, to)), "form[data-kind=left]")[0]
	writes(f, &journal.Feed{Bins: []string{bin}, Batch: "41", DepthM: ptr(qty.Metre(1.5 * in))})
	was := len(f.book.list())
	w := post(t, s, "/round/walk", "id="+f.newID(f.now), "line="+attr(all(skip, "input[name=line]")[0], "value"), "about="+bin, "how=skipped", "why=gate is shut")
	if text := words1(doc(t, w)); w.Code != http.StatusUnprocessableEntity || !strings.Contains(text, "gate is shut") || !strings.Contains(text, "crew 2") {
		t.Errorf("%d: %s", w.Code, text)
	}
	if w := sendForm(t, s, form, all(form, "button")[0]); w.Code != http.StatusUnprocessableEntity || !strings.Contains(words1(doc(t, w)), "crew 2") {
		t.Errorf("the tick: %d", w.Code)
	}
	if len(f.book.list()) != was {
		t.Error("it was written down")
	}
}

// A tick on the page of a bin is of that bin alone, and one of a line leaves out
// what others did.
func TestATickIsOfWhatIsOpen(t *testing.T) {
	s, f, d := sample(t)
	key := lineKey(t, d, "feed", "")
	bins := binsOf(t, d, key)
	if len(bins) < 2 {
		t.Fatalf("one bin: %v", bins)
	}
	form := all(doc(t, get(t, s, binTo(bins[0]))), "form[action='"+lineTo(round.Line{Key: key}, "/answer?bin="+bins[0])+"']")[0]
	was := len(f.book.list())
	wants(t, sendForm(t, s, form, all(form, "button")[0]), 303, "")
	if b, ok := f.book.list()[was].Body.(*journal.Feed); !ok || !same(b.Bins, bins[:1]) {
		t.Fatalf("%+v", f.book.list()[was].Body)
	}
	f.now = f.now.Add(time.Minute)
	var facts string
	for _, x := range all(doc(t, get(t, s, "/round")), "form[action='"+lineTo(round.Line{Key: key}, "/answer")+"']") {
		form, facts = x, attr(x, "data-facts")
	}
	if strings.Contains(facts, `"`+bins[0]+`"`) || !strings.Contains(facts, `"`+bins[1]+`"`) {
		t.Errorf("a phone ticks %s", facts)
	}
	was = len(f.book.list())
	wants(t, sendForm(t, s, form, all(form, "button")[0]), 303, "")
	for _, e := range f.book.list()[was:] {
		if b, ok := e.Body.(*journal.Feed); ok && slices.Contains(b.Bins, bins[0]) {
			t.Errorf("%s is fed twice", bins[0])
		}
	}
}

// Two phones at one stop: what one settles takes the buttons off the other's page;
// a reason that is being typed there stays, and is asked about.
func TestTwoPhonesAtOneStop(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, f, _ := sample(t)
	s.liveEvery = 20 * time.Millisecond
	s.Patience = longest
	oneByOne(s)
	at := newSignal(t, s)
	to, _, bin := stopOfFeeding(t, s)
	p, q := newPhone(t, at), newPhone(t, at)
	for _, x := range []*phone{p, q} {
		x.open(to)
		x.until("customElements.get('live-round')")
	}
	q.eval("(()=>{const w=[...document.querySelectorAll('details')][0];w.open=true;const i=w.querySelector('input[type=text]');i.value='gate is shut';i.dispatchEvent(new Event('input',{bubbles:true}));return 1})()")
	writes(f, &journal.Feed{Bins: []string{bin}, Batch: "41", DepthM: ptr(qty.Metre(1.5 * in))})
	for _, x := range []*phone{p, q} {
		x.until("document.querySelector('[data-live=stop] .donesay')?.innerText.includes('crew 2')")
		x.until("!document.querySelector('[data-live=stop] button[value=done]')")
	}
	p.until("!document.querySelector('[data-live=stop] form')")
	if got := q.eval("[...document.querySelectorAll('details input[type=text]')].at(-1).value"); got != "gate is shut" {
		t.Errorf("what was typed is %q", got)
	}
	was := len(f.book.list())
	q.eval("(()=>{const f=document.querySelector('[data-live=stop] form');[...f.querySelectorAll('button')].at(-1).click();return 1})()")
	q.until("document.querySelector('.doubt')?.innerText.includes('crew 2')")
	if len(f.book.list()) != was {
		t.Error("it was written down without a word")
	}
}

// The two ways to an answer make the same entries.
func TestAnswersAreTheSameEverywhere(t *testing.T) {
	s, _, d := sample(t)
	list, _, err := d.List(t.Context(), round.Words{})
	if err != nil {
		t.Fatal(err)
	}
	p := s.person(httptest.NewRequest("GET", "/round", nil))
	for _, x := range s.stops(p, list) {
		facts := app.Answer(x.line, app.Done, "")
		if len(facts) == 0 {
			continue
		}
		text := factsOf(facts)
		if text == "" || strings.Count(text, `"kind":"`) != len(facts) {
			t.Errorf("%s: %s", x.key(), text)
		}
		if stop, ok := app.ParseStop(x.key()); !ok || stop.String() != x.key() || stop.About != x.about() {
			t.Errorf("%s is read as %+v", x.key(), stop)
		}
	}
}
