package web

import (
	"encoding/json"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/round"
)

// A line that was ticked is done from then on, also when the list is written anew
// after news of other bins and still advises it; a second tick writes nothing.
func TestATickStaysThoughTheListIsWrittenAnew(t *testing.T) {
	s, f, d := sample(t)
	var key string
	list, _, err := d.List(t.Context(), round.Words{})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range list.Lines {
		if l.Act == round.Feed {
			key = l.Key
		}
	}
	press := func() int {
		was := len(f.book.list())
		post(t, s, lineTo(round.Line{Key: key}, "/answer"), "id="+f.newID(f.now), "answer=done", "back=/round")
		return len(f.book.list()) - was
	}
	if n := press(); n == 0 {
		t.Fatal("nothing was written by a tick")
	}
	again := *d.made // another bin was worked out since, and the list written anew
	again.Made.At = f.now.Add(time.Minute)
	d.made = &again
	n := doc(t, get(t, s, "/round"))
	line := all(n, "#"+anchorOf(round.Line{Key: key}))
	if len(line) == 0 || len(all(line[0], ".donesay")) != 1 || len(all(line[0], "form")) != 0 {
		t.Errorf("the ticked line: %s", textOf(n, "#"+anchorOf(round.Line{Key: key})))
	}
	if n := press(); n != 0 {
		t.Errorf("a second tick wrote %d entries", n)
	}
	if walk := words1(doc(t, get(t, s, "/round/walk"))); strings.Contains(walk, " 0 of ") {
		t.Errorf("the walk counts nothing as settled: %s", walk)
	}
}

// Whoever settles a stop goes on at the next one that is open, not at the first.
func TestTheWalkGoesOnWhereOneIs(t *testing.T) {
	s, _, _ := sample(t)
	at := doc(t, get(t, s, walkAt(4)))
	next := textOf(doc(t, get(t, s, walkAt(5))), "h1")
	way := all(at, "details form")[0]
	w := sendForm(t, s, way, all(way, "button[name=why]")[0])
	wants(t, w, 303, "")
	if got := textOf(doc(t, get(t, s, w.Header().Get("Location"))), "h1"); got != next {
		t.Errorf("after the fifth stop comes %q, wanted %q", got, next)
	}
	if got := textOf(doc(t, get(t, s, "/round/walk?from=nothing")), "h1"); got != textOf(doc(t, get(t, s, walkAt(0))), "h1") {
		t.Errorf("from a stop that is gone the walk begins at %q", got)
	}
}

type keptList struct {
	Pages []keptPage `json:"pages"`
	Ready bool       `json:"ready"`
	Mark  string     `json:"mark"`
}

func keptNow(t *testing.T, s *Server) (out keptList) {
	t.Helper()
	if err := json.Unmarshal(get(t, s, "/keep.json").Body.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// A phone keeps the round and its walk before anything else, knows when the round
// is under way, and sees by the mark and the tags what has become old.
func TestAPhoneKeepsTheWalkFirst(t *testing.T) {
	s, f, d := sample(t)
	at := func(l keptList, page string) int {
		return slices.IndexFunc(l.Pages, func(p keptPage) bool { return p.At == page })
	}
	l := keptNow(t, s)
	walk, line, bin := at(l, walkAt(3)), slices.IndexFunc(l.Pages, func(p keptPage) bool {
		return strings.HasSuffix(p.At, "/except") && p.Tag != ""
	}), at(l, "/bin/B10")
	if !l.Ready || at(l, "/round") != 0 || walk < 0 || line < walk || bin < line {
		t.Errorf("ready %t: round %d, walk %d, line %d, bin %d", l.Ready, at(l, "/round"), walk, line, bin)
	}
	tag := func(l keptList, n int) string { return l.Pages[at(l, walkAt(n))].Tag }
	if again := keptNow(t, s); tag(again, 3) != tag(l, 3) || again.Mark != l.Mark {
		t.Error("a page that did not change has another tag")
	}
	d.progress.Running = true
	if under := keptNow(t, s); under.Ready || under.Mark == l.Mark {
		t.Error("a round under way is called ready")
	}
	d.progress.Running = false
	f.keep(journal.Entry{ID: f.newID(f.now), Kind: "truck check", At: f.now, Who: "owner", Body: &journal.TruckCheck{Truck: "1", Fit: true}})
	if checked := keptNow(t, s); tag(checked, 0) == tag(l, 0) || checked.Mark == l.Mark {
		t.Error("the page that asks for a look at the truck is not fetched again after it")
	}
	if page := get(t, s, "/round").Body.String(); !strings.Contains(page, `data-mark="`+keptNow(t, s).Mark+`"`) {
		t.Error("a page does not say the mark of the farm")
	}
	d.made = nil
	if none := keptNow(t, s); none.Ready || at(none, walkAt(0)) >= 0 {
		t.Error("without a round a phone is called ready")
	}
}

// What is written most stands first on the page of all entries, every kind once,
// and the truck is ticked where it is read.
func TestEntriesAreGroupedAndTheTruckIsTickedWhereItIsRead(t *testing.T) {
	s, _, _ := sample(t)
	n := doc(t, get(t, s, "/enter"))
	first := all(n, "ul.things")[0]
	for _, kind := range []string{"feed", "look", "harvest", "sighting"} {
		if len(all(first, "a[href='/enter/"+kind+"']")) != 1 {
			t.Errorf("%s is not in the first group", kind)
		}
	}
	for _, k := range journal.Kinds() {
		want := 1
		if slices.Contains(notByForm, k.Name) {
			want = 0
		}
		if got := len(all(n, "ul.things a[href='/enter/"+k.Name+"'],ul.things a[href='/enter/"+strings.ReplaceAll(k.Name, " ", "%20")+"']")); got != want {
			t.Errorf("%s stands there %d times", k.Name, got)
		}
	}
	for _, j := range all(n, "a[href^='#']:not(.skip)") {
		if len(all(n, attr(j, "href"))) != 1 {
			t.Errorf("%s leads nowhere", attr(j, "href"))
		}
	}
	truck := doc(t, get(t, s, "/truck"))
	ticks := all(truck, "label.tick")
	if len(ticks) < 15 || !strings.Contains(words1(ticks[0]), "Capacity plate and markings") || len(all(ticks[0], "input[name=wrong][type=checkbox]")) != 1 {
		t.Errorf("%d ticks, the first %s", len(ticks), words1(ticks[0]))
	}
	if must := all(truck, ".field[data-must=fit]"); len(must) != 1 || !strings.Contains(attr(must[0], "data-mustsay"), "may be used") {
		t.Error("the truck's sheet may be put away without an answer")
	}
	b := &farm.Bin{Name: "B1"}
	acts, _ := binActs(s.person(httptest.NewRequest("GET", "/bin/B1", nil)), b)
	if !slices.ContainsFunc(acts, func(l Link) bool { return strings.HasSuffix(l.To, "/sighting") }) {
		t.Error("a sighting is folded away on the page of a bin")
	}
}
