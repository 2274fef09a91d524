package web

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	keyboard "github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"wormyard/round"
)

// What a key takes one who types with few fingers and reads each line of the
// paper: our own assumption, on the slow side, as docs/benchmarks.md states it.
const (
	secondsKey   = 0.8
	secondsLine  = 3   // to find the next line on the paper and read it
	promised     = 180 // for a sheet of twenty lines
	linesOfSheet = 20
)

// key presses one key as a keyboard does.
func (p *phone) key(name, text string, code int64) {
	p.t.Helper()
	for _, kind := range []keyboard.DispatchKeyEventType{keyboard.DispatchKeyEventTypeRawKeyDown, keyboard.DispatchKeyEventTypeChar, keyboard.DispatchKeyEventTypeKeyUp} {
		x := keyboard.DispatchKeyEventParams{Type: kind, Key: name, WindowsVirtualKeyCode: code, NativeVirtualKeyCode: code}
		if kind == keyboard.DispatchKeyEventTypeChar {
			x.Text = text
		}
		if _, err := chromedp.Call(p.ctx, keyboard.DispatchKeyEvent, x); err != nil {
			p.t.Fatalf("%s: %v\non the page: %s", name, err, p.text())
		}
	}
}

// TestSheetByKeys types a ticked sheet back by keys alone in a real browser, and
// holds a sheet of twenty lines to three minutes.
func TestSheetByKeys(t *testing.T) {
	needChromium(t)
	t.Parallel()
	s, f, d := sample(t)
	s.NewID = safely(s.NewID)
	p := newPhone(t, newSignal(t, s))
	p.still()
	p.do(chromedp.EmulateViewport(1280, 800))
	p.open("/round/print")
	p.open("/round/sheet")
	in := d.made.Made
	in.Items = d.made.Items
	lines := d.params.Write(in).Lines
	n, keys, answered := len(f.book.list()), 0, 0
	text := func(words string) {
		for _, r := range words {
			p.key(string(r), string(r), int64(strings.ToUpper(string(r))[0]))
			keys++
		}
	}
	enter := func() {
		p.key("Enter", "\r", 13)
		keys++
	}
	for i, l := range lines {
		ways := sheetWays(l.Act)
		if len(ways) == 0 {
			continue
		}
		p.until(fmt.Sprintf("document.activeElement.name==='a%d'", i+1))
		answered++
		switch {
		case l.Act == round.Look:
			text("13") // done; the third of the list of squeezes
		case !slices.Contains(ways, sheetDone) && slices.Contains(ways, sheetNot):
			text("1no time")
		case l.Act == round.Feed && len(l.Items) > 3 && answered%2 == 0:
			text("1-" + strings.ToLower(l.Items[0].Bin))
		case l.Act == round.Water && answered%3 == 0:
			text("21")
		default:
			text("1")
		}
		enter()
	}
	p.until("document.activeElement.value==='look'")
	enter()
	p.until("document.activeElement.value==='write'")
	enter()
	p.until("location.pathname==='/round'&&document.querySelector('.said')")
	if got := len(f.book.list()) - n; got < answered {
		t.Errorf("%d entries of %d lines", got, answered)
	}
	per := float64(keys) / float64(answered)
	took := linesOfSheet * (per*secondsKey + secondsLine)
	t.Logf("%d lines answered with %d keys, %.1f a line: %d lines take %.0f s at %g s a key and %d s a line to read", answered, keys, per, linesOfSheet, took, secondsKey, secondsLine)
	if took > promised {
		t.Errorf("%.0f s; three minutes are promised", took)
	}
}

// glovesJS lists what is smaller than a size on the shown page: what one presses
// or types into.
const glovesJS = `(px=>[...document.querySelectorAll("main button,main a.b,main .chip span,main .step,main summary,main input:not([type=hidden]):not([type=radio]):not([type=checkbox]):not(.unseen),main select")].filter(e=>e.offsetParent&&!e.closest("details:not([open]) > :not(summary)")).filter(e=>{const r=e.getBoundingClientRect();return r.height<px-.5||r.width<48}).map(e=>e.outerHTML.slice(0,90)+" "+Math.round(e.getBoundingClientRect().width)+"x"+Math.round(e.getBoundingClientRect().height)).join("\n"))(%d)`

// TestMadeForGloves holds everything that is pressed on the pages of quick entry
// to 48 pixels, and to 56 where it is done in the barn: the walk and the amounts.
// A stepper begins where the same person ended, and a box can be typed into.
func TestMadeForGloves(t *testing.T) {
	needChromium(t)
	t.Parallel()
	s, f, _ := sample(t)
	s.NewID = safely(s.NewID)
	p := newPhone(t, newSignal(t, s))
	for path, px := range map[string]int{"/round/walk": 56, "/bin/B10/feed": 56, "/bin/B10/water": 56, "/bin/B10": 48, "/scan": 48, "/b": 48, "/round/sheet": 48, "/round": 48} {
		p.open(path)
		p.until("document.readyState==='complete'&&customElements.get('step-box')")
		if small := p.eval(fmt.Sprintf(glovesJS, px)); small != "" {
			t.Errorf("%s, smaller than %d px:\n%s", path, px, small)
		}
	}
	water := func(bin string) {
		p.open("/bin/" + bin + "/water")
		p.until("document.readyState==='complete'&&customElements.get('step-box')")
	}
	box := "(document.querySelector('[name=kg]:checked')??document.querySelector('[name=kg_other]')).value"
	water("B10")
	p.eval("(document.querySelector('[name=kg_other]').value='',document.querySelector('[name=kg_other]').focus(),1)")
	p.still()
	p.key("2", "2", '2')
	p.key(".", ".", 190)
	p.key("7", "7", '7')
	n := len(f.book.list())
	p.eval("(document.querySelector('form.form').requestSubmit(),1)")
	p.until("document.querySelector('.said')")
	if len(f.book.list()) != n+1 {
		t.Fatal("what was typed is not written down")
	}
	water("B11")
	if got := p.eval(box); got != "2.7" {
		t.Errorf("another bin begins at %q", got)
	}
	p.eval("(document.querySelector('[name=kg_other]').closest('step-box').querySelector('[data-by=\"1\"]').click(),1)")
	if got := p.eval(box); got != "3" {
		t.Errorf("one press more is %q", got)
	}
	p.eval("(document.cookie='who=crew 2;path=/',1)")
	water("B12")
	if got := p.eval("document.documentElement.dataset.who+': '+" + box); got != "crew 2: " {
		t.Errorf("another person begins at %q", got)
	}
}
