package web

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"wormyard/journal"
)

// A driver steps through the lifts, ticks some with signal and some without, and the
// journal has each once, in the order in which bins were set down.
func TestLiftsAreDrivenWithoutSignal(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, f, _ := sample(t)
	s.Patience = longest
	oneByOne(s)
	at := newSignal(t, s)
	p := newPhone(t, at)
	step := func(n int) string { return fmt.Sprintf("/moves/drive?at=%d", n) }
	is := func(path string) {
		t.Helper()
		p.until(fmt.Sprintf("location.pathname+location.search===%q&&document.readyState==='complete'&&customElements.get('outbox-bar')", path))
	}

	p.open("/moves/drive")
	first := p.eval("document.querySelector('.drive .say').innerText")
	p.tap("a[href='/moves/drive?at=1']")
	is(step(1))
	if second := p.eval("document.querySelector('.drive .say').innerText"); second == first {
		t.Errorf("the step after %q is the same", first)
	}
	p.tap("a[href='/moves/drive?at=0']")
	is(step(0))
	if again := p.eval("document.querySelector('.drive .say').innerText"); again != first {
		t.Errorf("the step before is %q, it was %q", again, first)
	}

	moved := func(since int) (out []journal.Move) {
		for _, e := range f.book.list()[since:] {
			if m, ok := e.Body.(*journal.Move); ok {
				out = append(out, *m)
			}
		}
		return out
	}
	start := len(f.book.list())
	p.tap(".walk button.do")
	p.count("waiting", 0)
	p.until("!document.querySelector('form[data-gone]')&&document.querySelector('.drive')")
	if got := moved(start); len(got) != 1 || !strings.Contains(first, got[0].Bin) {
		t.Fatalf("with signal %q was ticked, and the journal has %v", first, got)
	}

	// the list goes on from where bins stand now; the phone gets its steps
	p.openNow("/moves/drive")
	p.until("navigator.serviceWorker.controller")
	page, _, _, err := s.movesPage(httptest.NewRequest("GET", "/moves/drive", nil), s.person(httptest.NewRequest("GET", "/moves/drive", nil)))
	if err != nil {
		t.Fatal(err)
	}
	steps := page.steps()
	if len(steps) < 5 {
		t.Fatalf("%d steps are left", len(steps))
	}
	for n := range 5 {
		says := steps[n].Say[:min(len(steps[n].Say), 12)]
		p.until(fmt.Sprintf("caches.match(%q,{ignoreVary:true}).then(r=>r?.text()).then(x=>x?.includes(%q))", step(n), says))
	}
	start = len(f.book.list())
	p.online(false)
	var wanted []string
	for n := range 4 {
		p.open(step(n))
		p.until("document.documentElement.dataset.kept&&customElements.get('outbox-bar')&&document.querySelector('.walk .do')")
		if !steps[n].Tick {
			p.tap(".walk a.do")
		} else {
			p.tap(".walk button.do")
			wanted = append(wanted, steps[n].Bin+" to "+steps[n].ToAt)
			p.count("waiting", len(wanted))
		}
		is(step(n + 1))
	}
	if len(wanted) == 0 || len(moved(start)) != 0 {
		t.Fatalf("%d lifts ticked without signal, and the farm has %d", len(wanted), len(moved(start)))
	}
	at.lose.Store(1) // and the first answer is lost
	p.online(true)
	p.count("waiting", 0)
	var got []string
	for _, m := range moved(start) {
		got = append(got, m.Bin+" to "+m.To)
		if b, _ := f.State().Bin(m.Bin); b == nil {
			t.Errorf("%s is not on the farm", m.Bin)
		}
	}
	if strings.Join(got, "\n") != strings.Join(wanted, "\n") {
		t.Errorf("in the journal:\n%s\nwanted:\n%s", strings.Join(got, "\n"), strings.Join(wanted, "\n"))
	}
	for _, m := range moved(start) {
		if b, _ := f.State().Bin(m.Bin); b.Slot.String() != m.To && m == lastOf(moved(start), m.Bin) {
			t.Errorf("%s stands in %s, ticked %s", m.Bin, b.Slot, m.To)
		}
	}
}

func lastOf(list []journal.Move, bin string) (out journal.Move) {
	for _, m := range list {
		if m.Bin == bin {
			out = m
		}
	}
	return out
}
