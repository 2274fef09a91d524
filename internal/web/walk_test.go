package web

import (
	"fmt"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// sendForm sends a form of a page as a browser without scripts does, by the
// button given.
func sendForm(t *testing.T, s *Server, form *html.Node, button *html.Node, more ...string) *httptest.ResponseRecorder {
	t.Helper()
	v := url.Values{}
	for _, e := range all(form, "input[type=hidden]") {
		v.Set(attr(e, "name"), attr(e, "value"))
	}
	if button != nil && attr(button, "name") != "" {
		v.Set(attr(button, "name"), attr(button, "value"))
	}
	for _, x := range more {
		k, y, _ := strings.Cut(x, "=")
		v.Set(k, y)
	}
	r := httptest.NewRequest("POST", attr(form, "action"), strings.NewReader(v.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// laterFarm is a farm on another day.
type laterFarm struct {
	Farm
	now time.Time
}

func (f laterFarm) Now() time.Time { return f.now }

// TestWalk goes from stop to stop: done, left for a reason tapped, for one that
// was typed, and at the end what was left stands there with its reason.
func TestWalk(t *testing.T) {
	s, f, d := sample(t)
	var first, second string
	page := func() *html.Node { return doc(t, get(t, s, "/round/walk")) }
	n := page()
	first = textOf(n, "h1")
	if !strings.HasPrefix(first, "1‑2 low") && !strings.HasPrefix(first, "1-2 low") {
		t.Errorf("what cannot wait comes first, not %s", first)
	}
	if !strings.Contains(words1(n), "0 of ") || len(all(n, "progress")) != 1 {
		t.Errorf("no progress: %s", words1(n))
	}
	was := len(f.book.list())
	form := all(n, "form[action='/round/walk']")[0]
	w := sendForm(t, s, form, all(form, "button")[0])
	wants(t, w, 303, "")
	if !strings.HasPrefix(w.Header().Get("Location"), "/round/walk?from=") || len(f.book.list()) == was {
		t.Fatalf("to %s, %d entries", w.Header().Get("Location"), len(f.book.list())-was)
	}
	now := len(f.book.list())
	if again := sendForm(t, s, form, all(form, "button")[0]); again.Code != 303 || len(f.book.list()) != now {
		t.Error("pressed twice, written twice")
	}
	n = page()
	if second = textOf(n, "h1"); second == first {
		t.Fatalf("it does not go on from %s", first)
	}

	// left without a reason is asked again, at the same stop
	ways := all(n, "details form")
	if len(ways) != 2 {
		t.Fatalf("%d ways to leave a stop", len(ways))
	}
	w = sendForm(t, s, ways[1], nil)
	if bad := doc(t, w); w.Code != 422 || textOf(bad, "h1") != second || len(all(bad, "details[open]")) != 1 || !strings.Contains(textOf(bad, ".wrong"), "why") {
		t.Errorf("%d %s", w.Code, textOf(bad, "main"))
	}
	// could not, by a tap on a reason
	reason := all(ways[1], "button[name=why]")[0]
	wants(t, sendForm(t, s, ways[1], reason), 303, "")
	e := last(f)
	b, ok := e.Body.(*journal.Left)
	if !ok || e.Kind != "left" || b.How != "could not" || b.Why != attr(reason, "value") || len(b.Bins) != 1 {
		t.Fatalf("written: %s %+v", e.Kind, e.Body)
	}
	n = page()
	third := textOf(n, "h1")
	if third == second || !strings.Contains(textOf(n, ".do-list"), b.Why) || !strings.Contains(words1(n), "2 of ") {
		t.Errorf("what is left is not listed: %s", words1(n))
	}
	// skipped, by a typed reason
	wants(t, sendForm(t, s, all(n, "details form")[0], nil, "why=the aisle is full"), 303, "")
	if b := last(f).Body.(*journal.Left); b.How != "skipped" || b.Why != "the aisle is full" {
		t.Errorf("%+v", b)
	}

	// struck, it is open again
	id := last(f).ID
	if _, err := s.Farm.Strike(t.Context(), id, "owner", "wrong"); err != nil {
		t.Fatal(err)
	}
	if got := textOf(page(), "h1"); got != third {
		t.Errorf("after the strike it stands at %s, not %s", got, third)
	}

	// the next day's round tells why it was left
	s.Farm = laterFarm{s.Farm, f.now.Add(20 * time.Hour)}
	made := *d.made
	made.At = s.Farm.Now().Add(-time.Hour)
	made.Made.At = made.At
	d.made = &made
	n = doc(t, get(t, s, "/round"))
	found := false
	for _, l := range all(n, "article.line") {
		if x := words1(l); strings.Contains(x, "was left yesterday") && strings.Contains(x, b.Why) {
			found = true
		}
	}
	if !found {
		t.Errorf("the round does not say what was left yesterday: %s", textOf(n, ".list"))
	}
	if got := textOf(page(), "h1"); got == "" || strings.Contains(words1(page()), "2 of ") {
		t.Errorf("yesterday's stops are settled today: %s", words1(page()))
	}
}

// TestWalkAnotherAmount writes down another amount for one bin of a line.
func TestWalkAnotherAmount(t *testing.T) {
	s, f, _ := sample(t)
	for at := range 60 {
		n := doc(t, get(t, s, walkAt(at)))
		links := all(n, ".walk a.b")
		if len(links) == 0 || textOf(n, ".walk a.b") != "Changed" || len(all(n, "article[data-act=feed]")) == 0 {
			continue
		}
		form := doc(t, get(t, s, attr(links[0], "href")))
		w := sendForm(t, s, all(form, "form.form")[0], nil, "depth_m_other=1.25", "batch=41")
		wants(t, w, 303, "")
		b, ok := last(f).Body.(*journal.Feed)
		if !ok || len(b.Bins) != 1 || *b.DepthM < 0.0317 || *b.DepthM > 0.0318 { // 1.25 in = 0.03175 m
			t.Fatalf("%+v", last(f).Body)
		}
		return
	}
	t.Fatal("no stop to feed")
}

// actsAnswered are the acts of a round that an entry settles.
var actsAnswered = []round.Act{round.Open, round.Feed, round.Water, round.Cover, round.Warm, round.Look, round.Harvest, round.Split, round.Blend, round.Turn, round.Wet, round.Measure, round.Ask, round.Mend, round.Helped}

// TestRoundActs holds the works that may be left together with those that are
// asked for and answered.
func TestRoundActs(t *testing.T) {
	for _, act := range actsAnswered {
		if act != round.Blend && act != round.Ask && act != round.Helped && !slices.Contains(journal.RoundActs, string(act)) {
			t.Errorf("%s cannot be left", act)
		}
	}
	for _, act := range journal.RoundActs {
		if len(round.Act(act).Kinds()) == 0 {
			t.Errorf("nothing answers %s", act)
		}
	}
}

// Minutes are those between a person's ticks, pauses left out, against those
// reckoned; the Farm page tells what work takes here.
func TestMinutesOfTheWalk(t *testing.T) {
	s, f, d := sample(t)
	depth := qty.Metre(1.5 * in)
	at := d.made.At.Add(time.Minute)
	for i, after := range []time.Duration{0, 3, 3, 50, 3} { // three minutes a bin, and a pause
		at = at.Add(after * time.Minute)
		f.keep(journal.Entry{ID: f.newID(at), Kind: "feed", At: at, Who: "crew 1", Device: "phone", Body: &journal.Feed{Bins: []string{fmt.Sprint("B2", i)}, Batch: "41", DepthM: &depth}})
	}
	s.Farm = laterFarm{s.Farm, at.Add(time.Minute)}
	if x := words1(doc(t, get(t, s, "/round/walk"))); !strings.Contains(x, "So far it took 9 min, pauses left out. That work was reckoned at 12 min.") {
		t.Errorf("the walk says %s", x)
	}
	if x := words1(doc(t, get(t, s, "/farm"))); !strings.Contains(x, "a bin here, by 3 entries. Before they told, it was reckoned at 4 min.") {
		t.Errorf("the farm says %s", x)
	}
}
