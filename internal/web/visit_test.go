package web

import (
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/journal"
	"wormyard/round"
)

// visitSample puts the two lower bins of stack 4 in row 3 under others, both to be
// reached today.
func visitSample(t *testing.T) (*Server, *paper, *desk, []string) {
	t.Helper()
	s, f, d := sample(t)
	made := *d.made
	made.Items = slices.Clone(made.Items)
	var bins []string
	for i := range made.Items {
		if it := &made.Items[i]; it.Row == "3" && it.Stack == 4 && it.Level < 3 {
			it.Above, it.Lift, it.Urgency = 3-it.Level, 3-it.Level, round.Now
			bins = append(bins, it.Bin)
		}
	}
	if len(bins) != 2 {
		t.Fatalf("the sample has %v there", bins)
	}
	d.made = &made
	return s, f, d, bins
}

// TestAWholeVisitIsLeft leaves by one tap all that the truck would have reached in
// a stack; the bins' pages and the next visit tell it.
func TestAWholeVisitIsLeft(t *testing.T) {
	s, f, d, bins := visitSample(t)
	var form *html.Node
	for at := range 60 {
		n := doc(t, get(t, s, walkAt(at)))
		if whole := all(n, "input[name=all]"); len(whole) == 1 {
			if x := words1(n); !strings.Contains(x, "It stands under") || !strings.Contains(x, "Do it before the first lift") {
				t.Errorf("nothing of the truck: %s", x)
			}
			form = whole[0].Parent
			break
		}
	}
	if form == nil {
		t.Fatal("no stop offers to leave the whole visit")
	}
	was := len(f.book.list())
	if w := sendForm(t, s, form, nil); w.Code != 422 || len(f.book.list()) != was {
		t.Errorf("left without a reason: %d", w.Code)
	}
	wants(t, sendForm(t, s, form, all(form, "button[name=why]")[0]), 303, "")
	var left []string
	for _, e := range f.book.list()[was:] {
		b, ok := e.Body.(*journal.Left)
		if !ok || b.Why != "the truck is out of service" {
			t.Fatalf("written: %s %+v", e.Kind, e.Body)
		}
		left = append(left, b.Bins...)
	}
	slices.Sort(left)
	slices.Sort(bins)
	if !slices.Equal(left, bins) {
		t.Fatalf("left %v of %v", left, bins)
	}
	wants(t, sendForm(t, s, form, all(form, "button[name=why]")[0]), 303, "")
	if n := len(f.book.list()) - was; n != 2 {
		t.Errorf("pressed twice: %d entries", n)
	}
	// the next day one of them is put off and has no line; its reason is not lost
	s.Farm = laterFarm{s.Farm, f.now.Add(20 * time.Hour)}
	made := *d.made
	made.At = s.Farm.Now().Add(-time.Hour)
	made.Made.At, made.Items = made.At, slices.Clone(made.Items)
	for i := range made.Items {
		if it := &made.Items[i]; it.Bin == bins[0] {
			it.Act, it.Lift, it.Head = round.Rest, 0, phrase("rest")
		}
	}
	d.made = &made
	if x := words1(doc(t, get(t, s, binTo(bins[0])))); !strings.Contains(x, "was left yesterday") || !strings.Contains(x, "the truck is out of service") {
		t.Errorf("the bin's page does not tell it: %s", x)
	}
	if n := doc(t, get(t, s, "/round")); !strings.Contains(textOf(n, ".visits"), "the truck is out of service") {
		t.Errorf("the visit does not tell it: %s", textOf(n, ".visits"))
	}
	if n := doc(t, get(t, s, "/round/print")); !strings.Contains(textOf(n, ".sheet"), "Take down row 3 stack 4") {
		t.Errorf("the sheet tells no visit: %s", textOf(n, ".sheet"))
	}
}

// Without signal a whole visit is left by one tap as well: what it reached waits
// as one, and comes once.
func TestAVisitIsLeftWithoutSignal(t *testing.T) {
	needBrowser(t)
	s, f, _, bins := visitSample(t)
	s.Patience = longest
	oneByOne(s)
	sig := newSignal(t, s)
	p := openPhone(t, sig, t.TempDir())
	at := 0
	for ; at < 60 && len(all(doc(t, get(t, s, walkAt(at))), "input[name=all]")) == 0; at++ {
	}
	p.open("/round/walk")
	p.until("navigator.serviceWorker.controller")
	p.ready(walkAt(at))
	p.ready(walkAt(at + 2))
	was := len(f.book.list())
	p.online(false)
	p.open(walkAt(at))
	p.until("customElements.get('outbox-bar')")
	p.eval("(()=>{const f=document.querySelector('input[name=all]').form;f.closest('details').open=true;f.requestSubmit([...f.querySelectorAll('button')].at(-1));return 1})()")
	p.until("document.querySelector('.wrong')?.innerText.includes('Nothing says why')")
	p.eval("(()=>{const f=document.querySelector('input[name=all]').form;f.querySelector('input[type=text]').value='ice on the ramp';f.requestSubmit([...f.querySelectorAll('button')].at(-1));return 1})()")
	p.count("waiting", 1)
	p.until("location.pathname==='/round/walk'&&!document.querySelector('input[name=all]')")
	p.open(walkAt(at)) // one stop of the visit, and it shows that it waits
	p.until("document.querySelector('[data-stop-is] .waitmark')?.innerText.includes('ice on the ramp')")
	p.online(true)
	p.count("waiting", 0)
	var left []string
	for _, e := range f.book.list()[was:] {
		b, ok := e.Body.(*journal.Left)
		if !ok || b.Why != "ice on the ramp" || b.How != "could not" {
			t.Fatalf("%s %+v", e.Kind, e.Body)
		}
		left = append(left, b.Bins...)
	}
	slices.Sort(left)
	slices.Sort(bins)
	if !slices.Equal(left, bins) {
		t.Errorf("left %v of %v", left, bins)
	}
}
