package web

import (
	"encoding/json"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/journal"
	"wormyard/round"
)

// remedyBegun is the sample farm where a bin was said to be overfed, after a sighting.
func remedyBegun(t *testing.T) (s *Server, f *paper, d *desk, page string) {
	t.Helper()
	s, f, d = sample(t)
	id := f.newID(f.now)
	w := post(t, s, "/bin/B20/sighting", "id="+id, "back=/bin/B20", "signs=red mites", "severity=some")
	page = w.Header().Get("Location")
	form := causeForm(t, s, page, "overfed", "begin")
	was := len(f.book.list())
	wants(t, sendForm(t, s, form, all(form, "button")[0]), 303, "")
	got := f.book.list()[was:]
	if len(got) != 2 {
		t.Fatalf("%d entries", len(got))
	}
	r, ok := got[0].Body.(*journal.Remedy)
	if !ok || r.Cause != "overfed" || r.Sighting != id || !slices.Equal(r.Bins, []string{"B20"}) || !slices.Contains(r.Steps, "lift sour") {
		t.Errorf("%+v", got[0].Body)
	}
	if h, ok := got[1].Body.(*journal.Hold); !ok || h.Bin != "B20" || h.Why == "" {
		t.Errorf("%+v", got[1].Body)
	}
	if again := sendForm(t, s, form, all(form, "button")[0]); again.Code != 303 || len(f.book.list()) != was+2 {
		t.Error("pressed twice, written twice")
	}
	return s, f, d, page
}

// causeForm gives the form on a page of a trouble that says something of a cause.
func causeForm(t *testing.T, s *Server, page, cause, do string) *html.Node {
	t.Helper()
	for _, form := range all(doc(t, get(t, s, page)), "form[action$='/trouble']") {
		if attr(all(form, "input[name=cause]")[0], "value") == cause && attr(all(form, "input[name=do]")[0], "value") == do {
			return form
		}
	}
	t.Fatalf("no form says %s of %s", do, cause)
	return nil
}

// helpForms are the forms of the answers to whether a remedy helped.
func helpForms(t *testing.T, s *Server) []*html.Node {
	t.Helper()
	return all(doc(t, get(t, s, "/round")), ".list article[data-act=helped] form")
}

// A remedy that was begun stands on the round step by step, with its reason, and
// on the pages of its bin; a tick takes a step away once and the rest stays.
func TestARemedyStandsOnTheRound(t *testing.T) {
	s, f, d, page := remedyBegun(t)
	b, _ := f.State().Bin("B20")
	if b.Bed.Rest == nil {
		t.Error("the bin is still to be fed")
	}
	n := doc(t, get(t, s, "/round"))
	lines := all(n, ".list article[data-act=mend]")
	if len(lines) != 4 { // stop feed is kept to by the round, look again is in two days
		t.Fatalf("%d steps: %s", len(lines), words1(n))
	}
	if why := textOf(lines[0], ".why"); !strings.Contains(why, "red mites") || !strings.Contains(why, "More feed than they eat") {
		t.Errorf("because %q", why)
	}
	if say := textOf(lines[0], ".say"); !strings.Contains(say, "Lift off the sour feed") {
		t.Errorf("first comes %q", say)
	}
	form := all(lines[0], "form")[0]
	was := len(f.book.list())
	wants(t, sendForm(t, s, form, all(form, "button")[0]), 303, "")
	if o, ok := last(f).Body.(*journal.Outcome); !ok || len(f.book.list()) != was+1 || o.Said != "done" || !slices.Equal(o.Steps, []string{"lift sour"}) || !slices.Equal(o.Bins, []string{"B20"}) {
		t.Errorf("%+v", last(f).Body)
	}
	n = doc(t, get(t, s, "/round"))
	if done, open := len(all(n, ".list article[data-act=mend].done")), len(all(n, ".list article[data-act=mend] form")); done != 1 || open != 3 {
		t.Errorf("%d done and %d open", done, open)
	}
	if x := words1(doc(t, get(t, s, "/bin/B20"))); !strings.Contains(x, "2 of 6 steps done") {
		t.Errorf("the bin says %s", x)
	}
	if x := words1(doc(t, get(t, s, page))); !strings.Contains(x, "2 of 6 steps done") {
		t.Errorf("the diagnosis says %s", x)
	}
	// A round that is made anew does not have what was done before it.
	next := *d.made
	next.At = f.now.Add(time.Minute)
	next.Made.At = next.At
	d.made = &next
	if n := doc(t, get(t, s, "/round")); len(all(n, ".list article[data-act=mend]")) != 3 {
		t.Error("what was done stands on a new round")
	}
	// What is given up leaves it.
	drop := causeForm(t, s, page, "overfed", "dropped")
	wants(t, sendForm(t, s, drop, all(drop, "button")[0]), 303, "")
	if n := doc(t, get(t, s, "/round")); len(all(n, ".list article[data-act=mend]")) != 0 {
		t.Error("it was given up and stands on the round")
	}
	if x := words1(doc(t, get(t, s, page))); !strings.Contains(x, "given up") {
		t.Errorf("the diagnosis says %s", x)
	}
}

// After the days that the cause names the round asks whether it helped; what is
// answered is kept, shown at the bin, and told at the next diagnosis.
func TestARemedyIsAskedAbout(t *testing.T) {
	daysAgo := func(days int) (*Server, *paper) {
		s, f, _ := sample(t)
		f.keep(journal.Entry{ID: f.newID(f.now), Kind: "remedy", At: f.now.AddDate(0, 0, -days), Who: "crew 2",
			Body: &journal.Remedy{Bins: []string{"B20"}, Cause: "overfed", Steps: []string{"stop feed", "lime", "look again"}}})
		return s, f
	}
	s, _ := daysAgo(1)
	if x := words1(doc(t, get(t, s, "/round"))); strings.Contains(x, "Look whether it got better.") || !strings.Contains(x, "limestone") {
		t.Errorf("on the next day: %s", x)
	}
	s, _ = daysAgo(6)
	if len(helpForms(t, s)) != 0 {
		t.Error("asked a day too soon")
	}
	if x := words1(doc(t, get(t, s, "/round"))); !strings.Contains(x, "Look whether it got better.") {
		t.Error("nobody looks again")
	}
	for said, shown := range map[string]string{"gone": "it was gone afterwards", "better": "It was better", "same": "no change", "worse": "worse afterwards"} {
		s, f := daysAgo(7)
		forms := helpForms(t, s)
		if len(forms) != 4 {
			t.Fatalf("%d answers", len(forms))
		}
		was := len(f.book.list())
		for _, form := range forms {
			if b := all(form, "button")[0]; attr(b, "value") == said {
				wants(t, sendForm(t, s, form, b), 303, "")
				wants(t, sendForm(t, s, form, b), 303, "")
			}
		}
		if o, ok := last(f).Body.(*journal.Outcome); !ok || len(f.book.list()) != was+1 || o.Said != said || o.Cause != "overfed" {
			t.Fatalf("%s: %+v", said, last(f).Body)
		}
		if len(helpForms(t, s)) != 0 {
			t.Errorf("%s: it still asks", said)
		}
		for _, at := range []string{"/bin/B20/trouble?is=mites:red+mites", "/bin/B20"} {
			if x := words1(doc(t, get(t, s, at))); !strings.Contains(x, shown) {
				t.Errorf("%s: %s does not say %q: %s", said, at, shown, x)
			}
		}
		wants(t, post(t, s, "/round/"+url.PathEscape("helped/overfed")+"/answer", "id=018e04e2-db9e-765c-abab-4d5bd3e69aae", "answer=perhaps"), 404, "")
		s.Farm = laterFarm{s.Farm, f.now.AddDate(0, 0, 7)}
		if asks := len(helpForms(t, s)) > 0; asks != (said == "better") {
			t.Errorf("%s: a week later it asks: %v", said, asks)
		}
	}
}

// On the walk a step is a stop: done, left with its reason without taking the
// others along, or settled by the entry that writes it down.
func TestARemedyOnTheWalk(t *testing.T) {
	s, f, _, _ := remedyBegun(t)
	stops := func(act string) (out []*html.Node) {
		seen := map[string]bool{}
		for at := range 300 {
			n := doc(t, get(t, s, walkAt(at)))
			if x := all(n, "article[data-act="+act+"]"); len(x) == 1 && !seen[textOf(x[0], ".say")] {
				seen[textOf(x[0], ".say")] = true
				out = append(out, n)
			}
		}
		return out
	}
	list := stops("mend")
	if len(list) != 4 {
		t.Fatalf("%d stops", len(list))
	}
	tick := all(list[0], ".walk form[data-kind=facts]")[0]
	var facts []outboxFact
	if err := json.Unmarshal([]byte(attr(tick, "data-facts")), &facts); err != nil || len(facts) != 1 || facts[0].Kind != "outcome" {
		t.Fatalf("%v %s", err, attr(tick, "data-facts"))
	}
	out := sendBox(t, s, outboxSent{Format: 1, Entries: []outboxEntry{{ID: f.newID(f.now), Kind: "facts", Facts: facts, Made: f.now.UnixMilli()}}})
	if len(out.Results) != 1 || out.Results[0].State != "saved" {
		t.Fatalf("%+v", out.Results)
	}
	leave := all(list[1], "details form[data-kind=left]")[0]
	wants(t, sendForm(t, s, leave, all(leave, "button[name=why]")[0]), 303, "")
	left, ok := last(f).Body.(*journal.Left)
	if !ok || left.Act != "mend" || left.Step == "" || !slices.Equal(left.Bins, []string{"B20"}) {
		t.Fatalf("%+v", last(f).Body)
	}
	open, settled := 0, 0
	for _, n := range stops("mend") {
		if len(all(n, ".donesay")) > 0 {
			settled++
		} else {
			open++
		}
	}
	if open != 2 || settled != 2 {
		t.Errorf("%d open and %d settled", open, settled)
	}
	// Tomorrow what was left comes again, with why.
	s.Farm = laterFarm{s.Farm, f.now.AddDate(0, 0, 1)}
	if x := words1(doc(t, get(t, s, "/round"))); !strings.Contains(x, left.Why) {
		t.Errorf("why it was left is not told: %s", x)
	}
	if act := round.Mend; !slices.Contains(journal.RoundActs, string(act)) {
		t.Error("a step cannot be left")
	}
}

// What is written down by its own form settles the step as well.
func TestAStepIsDoneByItsEntry(t *testing.T) {
	s, f, _ := sample(t)
	form := causeForm(t, s, "/bin/B20/trouble?is=wetness:dry", "dry", "begin")
	wants(t, sendForm(t, s, form, all(form, "button")[0]), 303, "")
	f.keep(journal.Entry{ID: f.newID(f.now), Kind: "water", At: f.now.Add(time.Second), Who: "crew 2", Body: &journal.Water{Bins: []string{"B20"}, Kg: 4}})
	n := doc(t, get(t, s, "/round"))
	if done := all(n, ".list article[data-act=mend].done"); len(done) != 1 || !strings.Contains(textOf(done[0], ".say"), "Water slowly") {
		t.Errorf("%d steps are done: %s", len(done), words1(n))
	}
}

// A cause that is none, and a bin without a bed, are told.
func TestARemedyOfNothing(t *testing.T) {
	s, f, _ := sample(t)
	was := len(f.book.list())
	wants(t, post(t, s, "/bin/B20/trouble", "id=018e04e2-db9e-765c-abab-4d5bd3e69aad", "cause=witchcraft", "do=begin"), 404, "")
	wants(t, post(t, s, "/bin/B20/trouble", "id=018e04e2-db9e-765c-abab-4d5bd3e69aad", "cause=overfed", "do=pray"), 404, "")
	if len(f.book.list()) != was {
		t.Error("something was written")
	}
}
