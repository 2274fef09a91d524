package web

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
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
	p.until("document.readyState==='complete'&&document.querySelector('.things a')&&document.querySelector('[name=seen_bacteria]')")
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

// twoLots is withLot with a second lot; both are counted, and the second has a report.
func twoLots(t *testing.T) *Server {
	t.Helper()
	s := withLot(t)
	kg := qty.WetKg(40)
	at := s.Farm.Now().Add(-5 * time.Hour)
	if ack, err := s.Farm.Record(t.Context(), journal.Entry{ID: s.NewID(at), Kind: "harvest", At: at, Who: "owner", Body: &journal.Harvest{Bins: []string{"B10"}, MassKgWet: &kg, Lot: "L 2"}}, true); err != nil || !ack.Saved {
		t.Fatalf("%v %v", err, ack.Problems)
	}
	for _, x := range []struct{ lot, handful, seen string }{{"L%201", "1", "40 42 39 41"}, {"L%201", "2", "38 40 43 39"}, {"L%201", "3", "41 40 40 39"}, {"L%202", "1", "10 12 9 11"}, {"L%202", "2", "11 8 10 12"}, {"L%202", "3", "9 10 11 10"}} {
		if w := post(t, s, "/lot/"+x.lot+"/bench", append(formOf(optics, "do=save", "sub_sample="+x.handful, "slide=1", "seen_bacteria="+x.seen, "seen_length=120 0 85 40", "seen_width=3"), "id="+s.NewID(s.Farm.Now()))...); w.Code != 303 {
			t.Fatalf("%d %s", w.Code, textOf(doc(t, w), ".wrong"))
		}
	}
	return s
}

// The pages of the bench are for every reader, as the others are.
func TestBenchForEveryReaderAxe(t *testing.T) {
	needChromium(t)
	s := twoLots(t)
	post(t, s, "/lot/L%202/report", "id="+s.NewID(s.Farm.Now()), "r_bacteria=400 million", "r_fungi=210", "u_fungi=ug_g", "verdict=excellent", "basis=wet")
	at := newSignal(t, s)
	walkAxe(t, at, []string{"/bench?group=bacteria", "/lot/L%201/bench", "/lot/L%202/report"}, newPhone(t, at))
	p := newPhone(t, at)
	p.open("/bench?group=bacteria")
	p.until("document.querySelector('svg .d-read')")
	for i, wide := range []int64{390, 1280} {
		p.do(chromedp.EmulateViewport(wide, 844))
		if x := p.eval("document.documentElement.scrollWidth<=innerWidth"); x != "true" {
			t.Errorf("at %d the page is wider than the window", wide)
		}
		p.eval("(document.querySelector('svg .d-read').scrollIntoView({block:'center'}),1)")
		p.picture([]string{"benches", "benches-desk"}[i])
	}
	p.open("/lot/L%201/bench")
	p.picture("bench-desk")
}
