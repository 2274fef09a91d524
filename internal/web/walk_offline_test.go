package web

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/round"
)

// The first ten stops of a round are walked without signal, each in its way,
// and all that was written is in the journal once, in the order of the walk.
func TestWalkWithoutSignal(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, f, d := sample(t)
	s.Patience = longest
	oneByOne(s)
	at := newSignal(t, s)
	p := newPhone(t, at)
	list, _, err := d.List(t.Context(), round.Words{})
	if err != nil {
		t.Fatal(err)
	}
	who := s.person(httptest.NewRequest("GET", "/round/walk", nil))
	stops := s.stops(who, list)
	p.open("/round/walk")
	p.until("navigator.serviceWorker.controller")
	for n := range 11 {
		p.ready(walkAt(n))
	}
	for _, x := range stops[:10] {
		if s.exceptSheet(who, x.line).kind != "" {
			p.ready(changedAt(x))
		}
	}
	before := len(f.book.list())
	p.online(false)
	at.lose.Store(1)
	var wanted []string
	changed := false
	for n, x := range stops[:10] {
		p.open(walkAt(n))
		p.until("document.querySelector('outbox-bar')?.offsetHeight>0&&parseFloat(document.documentElement.style.getPropertyValue('--bar'))===document.querySelector('outbox-bar').offsetHeight") // what it moves stands still
		bodies := app.Answer(x.line, app.Done, "")
		switch {
		case n == 3 || len(bodies) == 0:
			p.eval("(()=>{const w=document.querySelectorAll('details')[1];w.open=true;w.querySelector('button[name=why]').click();return 1})()")
			wanted = append(wanted, "left could not "+x.about())
		case n == 5:
			p.eval("(()=>{const w=document.querySelector('details');w.open=true;w.querySelector('input[type=text]').value='the gate 🚪 is shut / \u05e9\u05e2\u05e8';[...w.querySelectorAll('button')].at(-1).click();return 1})()")
			wanted = append(wanted, "left skipped "+x.about())
		case !changed && x.line.Act == round.Feed:
			changed = true
			p.tap(".walk a.b[href^='/round/walk/changed']")
			p.until("location.pathname==='/round/walk/changed'&&customElements.get('outbox-bar')")
			p.eval("(()=>{const f=document.querySelector('form.form');f.querySelector('[name=depth_m_other]').value='1.25';f.requestSubmit();return 1})()")
			wanted = append(wanted, "feed 0.03175 "+x.about())
		default:
			p.tap("button[value=done]")
			for _, b := range bodies {
				wanted = append(wanted, app.KindOf(b.Body)+" "+x.about())
			}
		}
		p.count("waiting", n+1)
		p.until(fmt.Sprintf("location.pathname+location.search===%q&&document.documentElement.dataset.kept", walkAt(n+1)))
	}
	if !changed {
		t.Error("no amount was changed")
	}
	for _, other := range []string{"/round/walk/changed?about=B231", "/round/walk?at=80"} { // not kept: nothing stands for it
		p.open(other)
		p.until("customElements.get('outbox-bar')")
		if n := p.eval("document.querySelectorAll('main form').length"); n != "0" {
			t.Errorf("%s shows the form of another", other)
		}
	}
	p.open("/round/walk") // what was settled here counts, and the walk goes on where it is open
	p.until(fmt.Sprintf("location.pathname+location.search===%q&&document.querySelector('[data-live=progress] h2').innerText.startsWith('10 of ')", walkAt(10)))
	p.until("(()=>{const b=document.querySelector('outbox-bar'),m=document.querySelector('main');return b.children.length>0&&b.children.length<3&&b.offsetHeight<130&&parseFloat(getComputedStyle(m).paddingBottom)>=b.offsetHeight+56})()")
	p.open(walkAt(0)) // who goes back sees what waits, and cannot tick it twice
	p.until("document.querySelector('[data-stop-is] .waitmark')?.innerText.includes('waiting')&&!document.querySelector('button[value=done]')?.offsetParent")
	p.picture("walk-waits")
	p.online(true)
	p.count("waiting", 0)
	var got []string
	for _, e := range f.book.list()[before:] {
		switch b := e.Body.(type) {
		case *journal.Left:
			got = append(got, "left "+b.How+" "+strings.Join(b.Bins, "")+b.Pile)
			if b.How == "skipped" && b.Why != "the gate 🚪 is shut / \u05e9\u05e2\u05e8" {
				t.Errorf("the reason is %q", b.Why)
			}
		case *journal.Feed:
			if len(got) < len(wanted) && b.DepthM != nil && strings.HasPrefix(wanted[len(got)], "feed 0") {
				got = append(got, fmt.Sprintf("feed %.5f %s", float64(*b.DepthM), b.Bins[0]))
				continue
			}
			got = append(got, "feed "+b.Bins[0])
		case *journal.Tend:
			got = append(got, "tend "+b.Pile)
		default:
			got = append(got, e.Kind+" "+strings.Join(binsOfBody(e.Body), ""))
		}
	}
	if strings.Join(got, "\n") != strings.Join(wanted, "\n") {
		t.Errorf("in the journal:\n%s\nwanted:\n%s", strings.Join(got, "\n"), strings.Join(wanted, "\n"))
	}

	t.Run("what was seen without signal leads to its causes", func(t *testing.T) {
		p.t = t
		p.open("/bin/B10/sighting")
		p.until("customElements.get('outbox-bar')")
		p.online(false)
		p.eval("(document.querySelector('[name=what]').value='mites on the lid',document.querySelector('form.form').requestSubmit(),1)")
		p.count("waiting", 1)
		p.online(true)
		p.count("waiting", 0)
		p.open("/round")
		p.until("document.querySelector('outbox-bar').innerText.includes('Look at what it may be')")
		p.picture("lookat")
		p.tap("outbox-bar a[href^='/bin/B10/trouble?sighting=']")
		p.until("location.pathname==='/bin/B10/trouble'&&document.querySelector('outbox-bar')&&!document.querySelector('outbox-bar').innerText.includes('Look at what it may be')")
	})
}

func binsOfBody(body any) []string {
	switch b := body.(type) {
	case *journal.Water:
		return b.Bins
	case *journal.Cover:
		return b.Bins
	case *journal.Look:
		return b.Bins
	case *journal.Turn:
		return b.Bins
	}
	return nil
}

// What one person's phone kept is nobody else's: it goes when they sign out and
// when another takes the phone over, and what waits stays theirs.
func TestKeptPagesGoWithThePerson(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	g := newGated(t, nil)
	g.Patience = longest
	newID := g.NewID
	var mutex sync.Mutex
	g.NewID = func(at time.Time) string {
		mutex.Lock()
		defer mutex.Unlock()
		return newID(at)
	}
	ana := g.owner()
	g.invited(ana, "Ben", "crew")
	at := newSignal(t, g.Server)
	p := newPhone(t, at)
	in := func(name string) {
		p.open("/sign-in")
		p.eval(fmt.Sprintf("(()=>{const f=document.querySelector('form:has([name=password])');f.querySelector('[name=name]').value=%q;f.querySelector('[name=password]').value=%q;f.requestSubmit();return 1})()", name, goodPassword))
		p.until("location.pathname==='/round'&&document.documentElement.dataset.who===" + fmt.Sprintf("%q", name))
	}
	pin := func(code string) {
		p.open("/me")
		p.eval(fmt.Sprintf("(()=>{const f=document.querySelector('form:has([name=pin])');f.querySelector('[name=old]').value=%q;f.querySelector('[name=pin]').value=%q;f.requestSubmit();return 1})()", goodPassword, code))
		p.until("location.search==='?pin=set'")
	}
	of := func(who string) string {
		return fmt.Sprintf(`(async()=>{let n=0;for(const k of await caches.keys())if(k.startsWith('pages'))for(const q of await(await caches.open(k)).keys())if((await(await caches.match(q,{ignoreVary:true}))?.text()??'').includes('data-who="%s"'))n++;return n})()`, who)
	}
	in("Ana")
	pin("7319")
	in("Ben")
	pin("2580")
	p.open("/round")
	p.until("navigator.serviceWorker.controller")
	p.open("/bin/B10/feed")
	p.until("(await " + of("Ben") + ")>0")

	// an entry of Ben's waits while Ana takes the phone
	n := len(g.farm.book.list())
	at.answer.Store(500)
	p.feed("B10", "1")
	p.count("waiting", 1)
	p.open("/switch")
	p.eval("(()=>{const f=document.querySelector('form:has([name=account])');for(const i of f.querySelectorAll('[name=account]'))if(i.closest('label').textContent.includes('Ana'))i.checked=true;f.querySelector('[name=pin]').value='7319';f.requestSubmit();return 1})()")
	p.until("location.pathname==='/round'&&document.documentElement.dataset.who==='Ana'")
	at.answer.Store(0)
	p.until("(await " + of("Ben") + ")===0")
	p.until("document.querySelector('outbox-bar').innerText.includes('wait')")
	p.open("/outbox")
	p.until("document.querySelectorAll('.waitrow[data-state=waiting]').length===1")
	if len(g.farm.book.list()) != n {
		t.Error("an entry was sent as somebody else")
	}
	in("Ben")
	p.count("waiting", 0)
	if list := g.farm.book.list(); len(list) != n+1 || list[n].Who != "Ben" {
		t.Errorf("%d entries", len(list)-n)
	}
	p.open("/me")
	p.eval("(document.querySelector('form[action=\"/me/out\"]').requestSubmit(),1)")
	p.until("(await " + of("Ben") + ")===0")
}
