package web

import (
	"encoding/json"
	"fmt"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// axeRules are the rules that must hold: WCAG 2.0, 2.1 and 2.2, A and AA.
// axe leaves the size of targets out unless it is asked for.
const (
	axeRules   = `{runOnly:["wcag2a","wcag2aa","wcag21a","wcag21aa","wcag22a","wcag22aa"],rules:{"target-size":{enabled:true}},resultTypes:["violations"]}`
	axeColours = `{runOnly:{type:"rule",values:["color-contrast","link-in-text-block"]},resultTypes:["violations"]}`
)

// violation is a rule that a page breaks, and where.
type violation struct {
	ID, Help string
	Nodes    []string
}

// axe checks the page that is open, with axe-core 4.14.1 (third_party/axe-core).
func (p *phone) axe(rules string) (out []violation, passed int) {
	p.t.Helper()
	if p.eval("typeof axe") == "undefined" {
		p.eval("new Promise((ok,no)=>{const s=document.createElement('script');s.src='" + axeAt + "';s.onload=ok;s.onerror=no;document.head.append(s)})")
	}
	var got struct {
		Found  []violation
		Passed int
	}
	raw := p.eval(`axe.run(document,` + rules + `).then(r=>JSON.stringify({Passed:r.passes.length,Found:r.violations.map(v=>({ID:v.id,Help:v.help,Nodes:v.nodes.map(n=>n.html.slice(0,160)+" | "+n.failureSummary.slice(0,220))}))}))`)
	if err := json.Unmarshal([]byte(raw), &got); err != nil {
		p.t.Fatalf("axe said %.200s", raw)
	}
	return got.Found, got.Passed
}

// axeAt is where a signal gives the script; the program itself has no such address.
const axeAt = "/axe-of-the-tests.js"

// axeScript reads it.
var axeScript = sync.OnceValue(func() []byte {
	data, err := os.ReadFile(filepath.Join("third_party", "axe-core", "axe.min.js"))
	if err != nil {
		panic(err)
	}
	return data
})

// walkAxe checks pages as a phone and as a desk shows them, on paper and on soil,
// with as many phones as are given. A page is opened on the phone and turned into
// that of the desk: how wide a page is drawn is a matter of its style alone. The
// themes differ in nothing but colours (TestContrast reads them), so that the
// second is put to the rules that look at colours. What makes pages light and
// keeps them without signal is left out on the way; it has tests of its own.
func walkAxe(t *testing.T, at *signal, paths []string, phones ...*phone) {
	next := make(chan string, len(paths))
	for _, path := range paths {
		next <- path
	}
	close(next)
	var said sync.Map
	for i, p := range phones {
		t.Run(fmt.Sprint("phone ", i+1), func(t *testing.T) {
			t.Parallel()
			p.t = t
			if _, err := chromedp.Call(p.ctx, network.SetBypassServiceWorker, network.SetBypassServiceWorkerParams{Bypass: true}); err != nil {
				t.Fatal(err)
			}
			for path := range next {
				p.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
				p.open(path)
				p.until("document.readyState==='complete'")
				p.eval("localStorage.setItem('wormyard-keep',Date.now())") // nothing is fetched behind the page's back
				for _, x := range []struct{ screen, theme, rules string }{{"phone", "paper", axeRules}, {"phone", "soil", axeColours}, {"desk", "soil", axeColours}, {"desk", "paper", axeRules}} {
					if x.screen == "desk" && x.theme == "soil" {
						p.do(chromedp.EmulateViewport(1280, 800))
					}
					p.eval("(document.documentElement.dataset.theme='" + x.theme + "',1)")
					// Bars that stay in sight cover now this, now that as a page is scrolled: they are looked at where they stand in it.
					p.eval("(()=>{for(const e of document.querySelectorAll('body *'))if(['sticky','fixed'].includes(getComputedStyle(e).position))e.style.position='static';return 1})()")
					found, passed := p.axe(x.rules)
					if x.theme == "paper" && passed < 10 {
						t.Errorf("%s: only %d rules had something to look at", path, passed)
					}
					for _, v := range found {
						for _, n := range v.Nodes {
							if _, known := said.LoadOrStore(v.ID+n, true); !known {
								t.Errorf("%s, %s, %s: %s (%s)\n%s", path, x.screen, x.theme, v.Help, v.ID, n)
							}
						}
					}
				}
			}
		})
	}
}

// TestEveryPageForEveryReader finds no breach of WCAG 2.2 AA, as far as a program
// sees one, on any page of the farm.
func TestEveryPageForEveryReader(t *testing.T) {
	needChromium(t)
	t.Parallel()
	s, _, d := sample(t)
	at := newSignal(t, s)
	paths := slices.Collect(maps.Keys(everyPage(t, d)))
	paths = append(paths, "/outbox", "/bin/B10?said=none", "/bin/none", "/nowhere", "/start")
	paths = append(paths, mustList(t, s)...)
	slices.Sort(paths)
	paths = slices.Compact(paths)
	// the pages are walked by two at once, as a machine has two cores
	t.Run("pages", func(t *testing.T) { walkAxe(t, at, paths, newPhone(t, at), newPhone(t, at)) })
	p := newPhone(t, at)

	// a form that comes back with what is wrong
	p.open("/bin/B10/reading")
	p.eval("(document.querySelector('main form.form').submit(),1)")
	p.until("document.querySelector('.wrong')")
	found, _ := p.axe(axeRules)
	for _, v := range found {
		t.Errorf("a refused form: %s %s", v.Help, v.Nodes)
	}
	// axe does find what it should: a page made worse is told
	p.open("/bin/B10/feed")
	p.eval(`(document.querySelector('main').insertAdjacentHTML('beforeend','<a href=/x style="display:inline-block;width:9px;height:9px">a</a><a href=/y style="display:inline-block;width:9px;height:9px">b</a>'),document.querySelectorAll('label').forEach(l=>l.remove()),document.querySelector('h1').style.cssText='color:#777;background:#888',document.documentElement.removeAttribute('lang'),1)`)
	found, _ = p.axe(axeRules)
	var ids []string
	for _, v := range found {
		ids = append(ids, v.ID)
	}
	for _, want := range []string{"label", "color-contrast", "html-has-lang", "target-size"} {
		if !slices.Contains(ids, want) {
			t.Errorf("on a page made worse it does not find %s, only %v", want, ids)
		}
	}
}

// TestTheDoorForEveryReader does the same with the pages of the door.
func TestTheDoorForEveryReader(t *testing.T) {
	needChromium(t)
	t.Parallel()
	g := newGated(t, nil)
	at := newSignal(t, g.Server)
	walk := func(name string, paths []string, before func(*phone)) {
		t.Run(name, func(t *testing.T) {
			p := newPhone(t, at)
			before(p)
			walkAxe(t, at, paths, p)
		})
	}
	walk("first", []string{"/first-owner"}, func(*phone) {})
	ana := g.owner()
	g.invited(ana, "Ben", "crew")
	walk("outside", []string{"/sign-in", "/join", "/trust"}, func(*phone) {})
	walk("inside", []string{"/me", "/people", "/switch", "/farm", "/more"}, func(p *phone) {
		for _, c := range ana.cookies {
			if _, err := chromedp.Call(p.ctx, network.SetCookie, network.SetCookieParams{Name: c.Name, Value: c.Value, URL: at.URL}); err != nil {
				t.Fatal(err)
			}
		}
		if p.open("/people"); !strings.Contains(p.text(), "Ben") {
			t.Errorf("not signed in: %s", p.text())
		}
	})
}

// TestAxeStaysOutside sees that no file of the program embeds or reads axe-core.
func TestAxeStaysOutside(t *testing.T) {
	list, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range list {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range f.Comments {
			for _, x := range c.List {
				if strings.HasPrefix(x.Text, "//go:embed") && strings.Contains(x.Text, "third_party") {
					t.Errorf("%s embeds files of others: %s", name, x.Text)
				}
			}
		}
	}
	s, _, _ := sample(t)
	for name, f := range s.static.files {
		if strings.Contains(string(f.plain), "axe v4") {
			t.Errorf("%s has axe-core in it", name)
		}
	}
}

// needChromium skips a test where there is no browser or no time for one.
func needChromium(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("a browser takes its time")
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "headless-shell"} {
		if _, err := exec.LookPath(name); err == nil {
			return
		}
	}
	t.Skip("there is no Chromium; ./check tests installs one")
}

// mustList gives the addresses of one line of each act on the round.
func mustList(t *testing.T, s *Server) []string {
	var out []string
	seen := map[string]bool{}
	for _, e := range all(doc(t, get(t, s, "/round")), "article.line") {
		act := attr(e, "data-act")
		if a := all(e, ".say a"); len(a) > 0 && !seen[act] {
			seen[act] = true
			out = append(out, attr(a[0], "href"))
		}
	}
	if len(out) < 3 {
		t.Fatalf("the round has only %s", fmt.Sprint(out))
	}
	return out
}
