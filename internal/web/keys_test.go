package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"golang.org/x/net/html"

	"wormyard/journal"
)

// focusJS tells of what has the focus: where it is, whether it is on the screen
// and not under something, and whether one sees that it has the focus.
const focusJS = `(()=>{const e=document.activeElement;if(!e||e===document.body)return "nowhere";
const shown=e.matches(".chip input")?e.nextElementSibling:e.matches("photo-box input")?e.closest("label"):e,s=getComputedStyle(shown),r=shown.getClientRects()[0]||shown.getBoundingClientRect();
const x=Math.min(innerWidth-2,Math.max(1,r.left+r.width/2)),y=Math.min(innerHeight-2,Math.max(1,r.top+Math.min(r.height/2,40))),top=document.elementFromPoint(x,y);
const faults=[];
if(s.outlineStyle==="none"||parseFloat(s.outlineWidth)<2)faults.push("no outline");
if(r.bottom<1||r.top>innerHeight-1||r.right<1||r.left>innerWidth-1)faults.push("off the screen");
else if(top&&!e.contains(top)&&!shown.contains(top)&&!top.contains(e))faults.push("under "+top.tagName);
return faults.join(", ")})()`

// press presses a key.
func (p *phone) press(key string) {
	p.t.Helper()
	p.do(chromedp.KeyEvent(key))
}

// tabTo goes on by Tab until something has the focus, and demands of each stop
// on the way that one can see it.
func (p *phone) tabTo(selector string, most int) int {
	p.t.Helper()
	for n := 1; n <= most; n++ {
		p.press(kb.Tab)
		if faults := p.eval(focusJS); faults != "" && faults != "nowhere" {
			p.t.Errorf("%s, stop %d: %s: %s", p.eval("location.pathname"), n, faults, p.eval("document.activeElement.outerHTML.slice(0,160)"))
		}
		if p.eval(fmt.Sprintf("document.activeElement.matches(%q)", selector)) == "true" {
			return n
		}
	}
	p.t.Fatalf("no Tab of %d comes to %s\non the page: %s", most, selector, p.text())
	return 0
}

// still has pages scroll at once, as people may ask of their device, in a window
// that lies in front.
func (p *phone) still() {
	p.t.Helper()
	if _, err := chromedp.Call(p.ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
		p.t.Fatal(err)
	}
	if _, err := chromedp.Call(p.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}}); err != nil {
		p.t.Fatal(err)
	}
}

// tapPlain presses a thing on a page whose scripts, timers too, do not run.
func (p *phone) tapPlain(selector string) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.readyState==='complete'&&document.querySelector(%q)?.offsetParent", selector))
	p.eval(fmt.Sprintf("(document.querySelector(%q).scrollIntoView({block:'center'}),1)", selector))
	p.do(chromedp.Tap(chromedp.CSS(selector)))
}

// TestRoundByKeys walks the round with Tab, Enter and Space alone.
func TestRoundByKeys(t *testing.T) {
	needChromium(t)
	t.Parallel()
	s, f, _ := sample(t)
	at := newSignal(t, s)
	p := newPhone(t, at)
	p.still()
	for _, screen := range []struct {
		name string
		view chromedp.Action[chromedp.Void]
	}{{"desk", chromedp.EmulateViewport(1280, 800)}, {"phone", chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile)}} {
		t.Run(screen.name, func(t *testing.T) {
			p.t = t
			p.do(screen.view)
			p.open("/round")
			p.eval("localStorage.setItem('wormyard-keep',Date.now())")
			p.until("customElements.get('outbox-bar')&&document.readyState==='complete'")

			// the first stop leads past everything else
			p.press(kb.Tab)
			if got := p.eval("document.activeElement.className+' '+(document.activeElement.getBoundingClientRect().left>=0)"); got != "skip true" {
				t.Fatalf("the first stop is %q", got)
			}
			p.press(kb.Enter)
			p.until("location.hash==='#main'&&document.activeElement.id==='main'")
			n := len(f.book.list())
			stops := p.tabTo(".list article[data-act=feed] .acts form button[value=done]", 60)
			line := p.eval("document.activeElement.closest('article').id")
			p.press(kb.Enter)
			p.until("document.querySelector('.said')&&document.readyState==='complete'")
			if got := len(f.book.list()); got == n {
				t.Fatal("nothing was written down")
			}
			// the focus is at the line that was ticked, and goes on from there
			p.until("document.activeElement.id===" + fmt.Sprintf("%q", line))
			if faults := p.eval(focusJS); faults != "" {
				t.Errorf("after the tick: %s", faults)
			}
			p.press(kb.Tab)
			if p.eval(fmt.Sprintf("Boolean(document.activeElement.closest('#'+CSS.escape(%q)))", line)) != "true" {
				t.Errorf("from the line on, Tab goes to %s", p.eval("document.activeElement.outerHTML.slice(0,120)"))
			}
			t.Logf("%d stops to the first tick", stops)
		})
	}
	// the form of another amount: chips by arrows, a box unticked by Space, saved by Enter
	t.Run("another amount", func(t *testing.T) {
		p.t = t
		p.do(chromedp.EmulateViewport(1280, 800))
		p.open("/bin/B10/feed")
		p.until("customElements.get('outbox-bar')&&document.readyState==='complete'")
		p.tabTo("input[name=depth_m]", 40)
		p.press(kb.ArrowRight)
		want := p.eval("document.querySelector('input[name=depth_m]:checked').value")
		n := len(f.book.list())
		p.tabTo("form.form button.b.do", 40)
		p.press(kb.Enter)
		p.until("document.querySelector('.said')")
		if list := f.book.list(); len(list) != n+1 {
			t.Fatalf("%d entries", len(list)-n)
		} else if b, ok := list[n].Body.(*journal.Feed); !ok || len(b.Bins) != 1 || b.Bins[0] != "B10" {
			t.Errorf("written: %+v", list[n].Body)
		} else {
			t.Logf("fed %s: %v m", want, *b.DepthM)
		}
	})
}

// TestScriptsOff uses the pages in a real browser that runs no scripts.
func TestScriptsOff(t *testing.T) {
	needChromium(t)
	t.Parallel()
	s, f, _ := sample(t)
	at := newSignal(t, s)
	p := newPhone(t, at)
	p.still()
	if _, err := chromedp.Call(p.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	kept := func() []journal.Entry { return f.book.list() }
	p.open("/round")
	if got := p.eval("document.querySelector('outbox-bar').childElementCount+' '+Boolean(customElements.get('outbox-bar'))"); got != "0 false" {
		t.Fatalf("a script has run: %s", got)
	}
	// what only scripts can do is not shown
	p.open("/bin/B10/water")
	if got := p.eval("[...document.querySelectorAll('.step,photo-box')].filter(e=>e.offsetParent).length"); got != "0" {
		t.Errorf("%s things are shown that do nothing", got)
	}
	// a tick
	n := len(kept())
	p.open("/round")
	p.tapPlain("article[data-act=water] .acts form[data-facts] button")
	p.until("document.querySelector('.said')")
	if len(kept()) == n || kept()[n].Kind != "water" || kept()[n].Device != "page" {
		t.Fatalf("the tick wrote %+v", kept()[n:])
	}
	// a form: refused with what is wrong, put right, saved, struck again
	n = len(kept())
	p.open("/bin/B11/reading")
	p.tapPlain("form.form button.do")
	p.until("document.querySelector('.wrong')")
	if len(kept()) != n {
		t.Fatal("an empty reading was written down")
	}
	p.do(chromedp.SendKeys(chromedp.CSS("#f-temp_c-i"), "68"))
	p.tapPlain("form.form button.do")
	p.until("document.querySelector('.said')")
	if len(kept()) != n+1 || kept()[n].Kind != "reading" {
		t.Fatalf("written: %+v on the page %s", kept()[n:], p.text())
	}
	p.tapPlain(".said [data-undo] button")
	p.until("document.querySelector('.said')?.innerText.includes('Struck')")
	// all except one, by unticking its box
	n = len(kept())
	p.open("/round")
	p.tapPlain("article[data-act=feed] .acts a[href$='/except']")
	p.until("document.querySelector('.pick .chip')")
	left := p.eval("document.querySelector('.pick .chip input:checked').value")
	p.tapPlain(".pick .chip:has(input:checked)")
	p.tapPlain("form.form button.do")
	p.until("document.querySelector('.said')")
	if b, ok := kept()[n].Body.(*journal.Feed); !ok || strings.Contains(" "+strings.Join(b.Bins, " ")+" ", " "+left+" ") {
		t.Errorf("all except %s: %+v", left, kept()[n].Body)
	}
	// finding, choosing
	p.open("/more")
	p.tapPlain("form[action='/choose'] button[value=soil]")
	p.until("document.documentElement.dataset.theme==='soil'")
}

// TestEveryFormIsAnswered sends every form of every page as it stands, without
// scripts: each gets an answer of ours, be it that something is missing.
func TestEveryFormIsAnswered(t *testing.T) {
	s, _, d := sample(t)
	sent := 0
	for path := range everyPage(t, d) {
		for _, form := range all(doc(t, get(t, s, path)), "form") {
			method, action := strings.ToUpper(attr(form, "method")), attr(form, "action")
			if attr(form, "enctype") != "" {
				continue // a file: import_test.go
			}
			action, _, _ = strings.Cut(action, "#")
			if action == "" {
				action = path
			}
			if len(all(form, "button:not([type=button])")) == 0 {
				t.Errorf("%s: the form to %s has no button", path, action)
			}
			v := url.Values{}
			for _, e := range all(form, "input,textarea") {
				kind := attr(e, "type")
				if (kind == "radio" || kind == "checkbox") && !has(e, "checked") || kind == "file" || attr(e, "name") == "" {
					continue
				}
				v.Add(attr(e, "name"), attr(e, "value"))
			}
			for _, e := range all(form, "select") {
				if o := all(e, "option[selected]"); len(o) > 0 {
					v.Add(attr(e, "name"), attr(o[0], "value"))
				}
			}
			r := httptest.NewRequest(http.MethodGet, action, nil)
			if method == http.MethodPost {
				r = httptest.NewRequest(http.MethodPost, action, strings.NewReader(v.Encode()))
				r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
				r.Header.Set("Sec-Fetch-Site", "same-origin")
			}
			w := httptest.NewRecorder()
			s.ServeHTTP(w, r)
			sent++
			if w.Code != 200 && w.Code != 303 && w.Code != 422 {
				t.Errorf("%s: the form to %s %s is answered by %d: %s", path, method, action, w.Code, textOf(doc(t, w), "main"))
			}
		}
	}
	if sent < 30 {
		t.Errorf("only %d forms were sent", sent)
	}
}

func has(n *html.Node, key string) bool {
	for _, a := range n.Attr {
		if a.Key == key {
			return true
		}
	}
	return false
}
