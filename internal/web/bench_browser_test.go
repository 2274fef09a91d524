package web

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"

	"wormyard/internal/app"
	"wormyard/journal"
)

// A slide counted by keys and by thumb in a browser: what was tapped outlives a page
// that the phone let go of, is told by the farm, and is written down as it was seen.
func TestBenchByKeysAndThumb(t *testing.T) {
	s := withLot(t)
	p := newPhone(t, newSignal(t, s))
	p.open("/lot/L%201/bench")
	p.until("document.querySelector('.tally button')")
	for _, key := range strings.Split("bbbb", "") {
		p.press(key)
	}
	p.press(kb.Enter) // 4
	p.press("b")
	p.press("b")
	p.press(kb.Backspace)
	p.press(kb.Enter) // 1
	p.press("b")
	p.press("b")
	p.eval("(location.reload(),1)") // the phone slept, and lost the page
	p.until("document.querySelector('bench-tally .told')&&document.querySelector('.tally button b').textContent==='2'")
	if x := p.eval("document.querySelector('[name=seen_bacteria]').value"); x != "4 1" {
		t.Errorf("after the page was lost the fields are %q", x)
	}
	p.tap(".tally button")
	p.eval(`(document.querySelector('[name=objective_x]').value='40',document.querySelector('[name=field_number_mm]').value='20',document.querySelector('[name=cover_mm]').value='20 20',document.querySelector('[name=drop_ml]').value='0.05',document.querySelector('[name=dilution]').value='1000',1)`)
	p.tap("bench-tally .row-of-b .do") // 3
	p.until("document.querySelector('#made').innerText.includes('8 seen in 3 fields')")
	p.picture("bench")
	p.tap("#benchform button[value=save]")
	p.until("document.querySelector('.things a')")
	list := app.Glasses(s.Farm.State(), "L 1")
	if len(list) != 1 {
		t.Fatalf("%d slides are written down", len(list))
	}
	e, _, _ := s.Farm.State().Entry(list[0].Entry)
	var got []int
	for _, f := range e.Body.(*journal.Microscope).Fields {
		got = append(got, *f.Bacteria)
	}
	if len(got) != 3 || got[0] != 4 || got[1] != 1 || got[2] != 3 {
		t.Errorf("the fields written down are %v, want 4, 1, 3", got)
	}
	if x := p.eval("document.querySelector('[name=seen_bacteria]').value+Object.keys(localStorage).filter(k=>k.startsWith('wormyard-bench ')).join()"); x != "" {
		t.Errorf("what was written down still stands on the page: %q", x)
	}
}
