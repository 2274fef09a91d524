package web

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"wormyard/journal"
)

// signal is the farm as a phone reaches it, with what can go wrong on the way.
type signal struct {
	*httptest.Server
	server  atomic.Pointer[Server]
	answer  atomic.Int64 // a status that all sending is answered with; 0 none
	lose    atomic.Int64 // so many answers are lost after the farm has written
	posts   atomic.Int64
	under   atomic.Int64
	most    atomic.Int64 // of sendings under way at once
	slowing atomic.Int64 // milliseconds
	down    atomic.Bool  // nothing gets through
	asked   sync.Map     // *http.Request: when it came, of those under way
}

// underWay says what the farm has not answered yet.
func (x *signal) underWay() string {
	var said []string
	x.asked.Range(func(r, at any) bool {
		said = append(said, fmt.Sprintf("%s %s for %.1f s", r.(*http.Request).Method, r.(*http.Request).URL, time.Since(at.(time.Time)).Seconds()))
		return true
	})
	return strings.Join(said, ", ")
}

func newSignal(t *testing.T, s *Server) *signal {
	x := &signal{}
	x.server.Store(s)
	x.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		x.asked.Store(r, time.Now())
		defer x.asked.Delete(r)
		if x.down.Load() {
			panic(http.ErrAbortHandler)
		}
		if r.URL.Path == axeAt {
			w.Header().Set("Content-Type", "text/javascript")
			w.Header().Set("Cache-Control", "max-age=3600")
			_, _ = w.Write(axeScript())
			return
		}
		if r.URL.Path == "/outbox" && r.Method == "POST" {
			x.posts.Add(1)
			n := x.under.Add(1)
			defer x.under.Add(-1)
			for m := x.most.Load(); n > m && !x.most.CompareAndSwap(m, n); m = x.most.Load() {
			}
			if d := x.slowing.Load(); d > 0 {
				select {
				case <-time.After(time.Duration(d) * time.Millisecond):
				case <-r.Context().Done():
				}
			}
			if code := x.answer.Load(); code != 0 {
				w.WriteHeader(int(code))
				return
			}
			if x.lose.Add(-1) >= 0 {
				x.server.Load().ServeHTTP(httptest.NewRecorder(), r)
				panic(http.ErrAbortHandler)
			}
		}
		x.server.Load().ServeHTTP(w, r)
	}))
	x.Config.ErrorLog = nil
	t.Cleanup(x.Close)
	return x
}

// phone is one browser with a profile on disk.
type phone struct {
	t    *testing.T
	at   *signal
	ctx  context.Context
	stop func()
}

func openPhone(t *testing.T, at *signal, profile string) *phone {
	t.Helper()
	return ownBrowser(t, at, chromedp.UserDataDir(profile))
}

// tab opens another tab of the same phone.
func (p *phone) tab() *phone {
	p.t.Helper()
	ctx, cancel := chromedp.NewContext(p.ctx)
	q := &phone{t: p.t, at: p.at, ctx: ctx, stop: cancel}
	if err := chromedp.Do(ctx); err != nil {
		p.t.Fatal(err)
	}
	q.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	if _, err := chromedp.Call(q.ctx, network.Enable, network.EnableParams{}); err != nil {
		p.t.Fatal(err)
	}
	return q
}

// longest is how long a step may take on a machine that does other work.
const longest = time.Minute

func (p *phone) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, longest)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		p.t.Fatalf("%v\non the page: %s", err, p.text())
	}
}

func (p *phone) text() string {
	ctx, cancel := context.WithTimeout(p.ctx, 3*time.Second)
	defer cancel()
	s, err := chromedp.Run(ctx, chromedp.Evaluate[string](stillJS, chromedp.EvalAwaitPromise))
	return fmt.Sprintf("%s\nof the page: %v\nthe farm is still at: %s", s, err, p.at.underWay())
}

// stillJS is where a page stands: what it shows, its forms on their way, who
// holds and who waits for the outbox, and what is in it.
const stillJS = `(async()=>{
	const soon=p=>Promise.race([p,new Promise(r=>setTimeout(()=>r('no answer'),700))]).catch(e=>String(e));
	const locks=await soon(navigator.locks?.query());
	const box=await soon(new Promise((ok,no)=>{const r=indexedDB.open("wormyard");r.onerror=no;r.onsuccess=()=>{const g=r.result.transaction("outbox").objectStore("outbox").getAll();g.onsuccess=()=>{r.result.close();ok(g.result.map(i=>i.kind+' '+i.state))};g.onerror=no}}));
	return location.pathname+location.search+' '+document.readyState+' '+document.visibilityState+' '+document.body.innerText.replace(/\s+/g,' ').slice(0,700)+
	'\nforms: '+Array.from(document.querySelectorAll('form[data-kind]'),f=>JSON.stringify({...f.dataset,facts:undefined})).join(' ')+
	'\nlocks: '+JSON.stringify(locks)+'\noutbox: '+JSON.stringify(box)+'\nworker: '+navigator.serviceWorker?.controller?.state+' just '+sessionStorage.getItem('wormyard-just')})()`

func (p *phone) eval(js string) string {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, longest)
	defer cancel()
	s, err := chromedp.Run(ctx, chromedp.Evaluate[string]("(async()=>String(await("+js+")))()", chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: %v", js, err)
	}
	return s
}

// until waits for an expression to be true.
func (p *phone) until(js string) {
	p.t.Helper()
	end := time.Now().Add(longest)
	for {
		ctx, cancel := context.WithTimeout(p.ctx, 5*time.Second)
		ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("(async()=>Boolean(await("+js+")))()", chromedp.EvalAwaitPromise))
		cancel()
		if err == nil && ok {
			return
		}
		if time.Now().After(end) {
			p.t.Fatalf("never came true: %s (%v)\non the page: %s", js, err, p.text())
		}
		time.Sleep(25 * time.Millisecond)
	}
}

// open goes to a page, as a person does who sees that a form has gone: while it
// is on its way its page goes elsewhere by itself, and may do so after the page
// that was asked for. Where that way wins all the same, it goes once more.
func (p *phone) open(path string) {
	p.t.Helper()
	p.settled()
	for try := 0; ; try++ {
		ctx, cancel := context.WithTimeout(p.ctx, longest)
		err := chromedp.Do(ctx, chromedp.Navigate(p.at.URL+path))
		cancel()
		if err == nil {
			return
		}
		if try == 3 || !strings.Contains(err.Error(), "ERR_ABORTED") {
			p.t.Fatalf("%v\non the page: %s", err, p.text())
		}
	}
}

// settled waits until no form is on its way; one that is put away and stays on
// its page is not.
func (p *phone) settled() {
	p.t.Helper()
	p.until("!document.querySelector('form[data-gone=\"\"]')")
}

// openNow goes to a page as the farm draws it now: a farm that is slow at the
// moment gives way to the page that was kept.
func (p *phone) openNow(path string) {
	p.t.Helper()
	for range 5 {
		p.open(path)
		if p.eval("document.documentElement.dataset.kept??''") == "" {
			return
		}
	}
	p.t.Fatalf("%s comes only as it was kept", path)
}

// tap presses a thing once it is there, and counts.
func (p *phone) tap(selector string) {
	p.t.Helper()
	p.until(fmt.Sprintf("document.readyState==='complete'&&document.querySelector(%q)?.offsetParent", selector))
	p.eval(fmt.Sprintf("(document.querySelector(%q).scrollIntoView({block:'center'}),1)", selector))
	// a finger comes down where the thing stands still
	p.until(fmt.Sprintf("(async()=>{const at=()=>JSON.stringify(document.querySelector(%q).getBoundingClientRect());const a=at();await new Promise(r=>setTimeout(r,150));return a===at()})()", selector))
	// and presses again where the browser took no notice: on a busy machine a
	// touch gets lost on its way to the page
	for range 4 {
		p.eval(fmt.Sprintf("(window.pressed='no',document.querySelector(%q).addEventListener('click',()=>window.pressed='yes',{once:true,capture:true}),1)", selector))
		p.do(chromedp.Tap(chromedp.CSS(selector)))
		for range 120 {
			// a page that is on its way to the next one answers with an error
			if heard, err := chromedp.Run(p.ctx, chromedp.Evaluate[string]("window.pressed??'gone'")); err != nil || heard != "no" {
				return
			}
			time.Sleep(25 * time.Millisecond)
		}
	}
	p.t.Fatalf("%s does not take a touch\non the page: %s", selector, p.text())
}

// online gives or takes the signal: nothing reaches the farm, for pages and for
// a service worker that wakes alike, and the browser is told that it has none. It
// is not given back while a form is on its way: with signal that would end
// elsewhere, at times after the next page was asked for.
func (p *phone) online(on bool) {
	p.t.Helper()
	if on {
		p.settled()
	}
	p.at.down.Store(!on)
	if _, err := chromedp.Call(p.ctx, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: !on, DownloadThroughput: -1, UploadThroughput: -1}); err != nil {
		p.t.Fatal(err)
	}
}

// boxJS gives the entries of the device in one state.
func boxJS(state string) string {
	return `new Promise((ok,no)=>{const r=indexedDB.open("wormyard");r.onerror=no;r.onsuccess=()=>{const g=r.result.transaction("outbox").objectStore("outbox").getAll();g.onsuccess=()=>{r.result.close();ok(g.result.filter(i=>i.state==="` + state + `").length)};g.onerror=no}})`
}

func (p *phone) count(state string, n int) {
	p.t.Helper()
	p.until(fmt.Sprintf("(await %s)===%d", boxJS(state), n))
}

// ready waits until the phone has what a barn without signal needs.
func (p *phone) ready(pages ...string) {
	p.t.Helper()
	for _, path := range pages {
		p.until(fmt.Sprintf("caches.match(%q,{ignoreVary:true})", path))
	}
}

// feed fills in a feeding by taps: the page of the bin, the depth, the button.
func (p *phone) feed(bin, depth string) {
	p.t.Helper()
	p.open("/bin/" + bin + "/feed")
	p.until("customElements.get('outbox-bar')&&document.querySelector('form.form[data-kind=feed]')")
	p.eval(fmt.Sprintf("(document.querySelector('input[name=depth_m][value=%q]').checked=true,document.querySelector('input[name=batch]').checked=true,1)", depth))
	p.eval("(document.querySelector('form.form button.do').click(),1)")
}

func fedSince(f *paper, n int) (bins []string, live int) {
	list := f.book.list()[n:]
	for _, e := range list {
		if b, ok := e.Body.(*journal.Feed); ok {
			bins = append(bins, b.Bins...)
			if _, counts, _ := f.State().Entry(e.ID); counts {
				live++
			}
		}
	}
	return bins, live
}

// oneByOne lets ids of the sample be asked for by several phones at once.
func oneByOne(s *Server) {
	newID := s.NewID
	var mutex sync.Mutex
	s.NewID = func(at time.Time) string {
		mutex.Lock()
		defer mutex.Unlock()
		return newID(at)
	}
}

// needBrowser leaves a test out where there is no Chromium.
func needBrowser(t *testing.T) {
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

// TestBarnWithoutSignal walks a phone through the barn in a real Chromium.
func TestBarnWithoutSignal(t *testing.T) {
	whole := t
	needBrowser(t)
	t.Parallel()
	s, f, d := sample(t)
	oneByOne(s)
	pictures := &shelf{album: album{}}
	s.Photos = pictures
	s.Patience = longest // a busy machine is not a barn without signal
	at := newSignal(t, s)
	profile := t.TempDir()
	p := openPhone(t, at, profile)
	kept := func() int { return len(f.book.list()) }

	p.open("/round")
	p.until("navigator.serviceWorker.controller")
	p.ready("/round", "/outbox", "/enter/feed", "/bin/B10", "/barn", "/bin/B131")

	t.Run("nothing moves while a page comes", func(t *testing.T) {
		p.t = t
		for _, path := range []string{"/round", "/bin/B10", "/bin/B10/feed", "/enter/reading"} {
			p.open(path)
			p.until("customElements.get('step-box')")
			time.Sleep(150 * time.Millisecond)
			moved := p.eval(`new Promise(ok=>{const moved=[];new PerformanceObserver(l=>{for(const e of l.getEntries())for(const s of e.sources)moved.push((s.node?.tagName??s.node?.nodeName??"gone")+" "+(s.node?.className??"")+" from "+s.previousRect.y+" to "+s.currentRect.y)}).observe({type:"layout-shift",buffered:true});setTimeout(()=>ok(moved.join(", ")),80)})`)
			if moved != "" {
				t.Errorf("on %s moves %s", path, moved)
			}
		}
	})

	t.Run("a feeding in three taps, and undone", func(t *testing.T) {
		p.t = t
		n := kept()
		p.open("/bin/B10")
		p.tap("a.b[href='/bin/B10/feed']")
		p.tap("label.chip:has(input[name=depth_m][value='1.5'])")
		p.tap("form.form button.do")
		p.until("document.querySelector('.said')")
		if bins, _ := fedSince(f, n); len(bins) != 1 || bins[0] != "B10" {
			t.Fatalf("fed %v", bins)
		}
		if e := f.book.list()[n]; !strings.HasPrefix(e.Device, "phone ") {
			t.Errorf("written on %q", e.Device)
		}
		p.tap(".said [data-undo] button")
		p.until("document.querySelector('.said')?.innerText.includes('Struck')")
		if _, live := fedSince(f, n); live != 0 {
			t.Error("the feeding still counts")
		}
	})

	t.Run("steppers remember", func(t *testing.T) {
		p.t = t
		n := kept()
		p.open("/bin/B11/water")
		plus := "#f-kg step-box button[data-by='1']"
		for range 3 {
			p.tap(plus)
		}
		if v := p.eval("document.querySelector('#f-kg-o').value"); v != "1.5" {
			t.Errorf("three presses of half a gallon give %q", v)
		}
		box := p.eval("(r=>Math.min(r.width,r.height))(document.querySelector(\"" + plus + "\").getBoundingClientRect())")
		if box < "56" || len(box) > 3 && !strings.HasPrefix(box, "5") {
			t.Errorf("a button of %s px", box)
		}
		p.tap("form.form button.do")
		p.until("document.querySelector('.said')")
		p.open("/bin/B11/water")
		p.until("document.querySelector('input[name=kg][value=\"1.5\"]').checked||document.querySelector('#f-kg-o').value==='1.5'")
		p.open("/bin/B11/reading")
		p.until("customElements.get('step-box')")
		if v := p.eval("document.querySelector('#f-temp_c-i').value"); v != "" {
			t.Errorf("a reading that nobody took is filled in: %q", v)
		}
		if kept() != n+1 {
			t.Errorf("%d entries", kept()-n)
		}
	})

	t.Run("two taps are one entry", func(t *testing.T) {
		p.t = t
		n := kept()
		p.open("/bin/B12/feed")
		p.until("customElements.get('outbox-bar')")
		p.eval("(()=>{const f=document.querySelector('form.form');f.querySelector('[name=depth_m][value=\"1\"]').checked=true;f.requestSubmit();f.requestSubmit();return 1})()")
		p.until("document.querySelector('.said')")
		if kept() != n+1 {
			t.Errorf("%d entries", kept()-n)
		}
	})

	thirty := kept()
	var wanted []string
	t.Run("thirty entries without signal", func(t *testing.T) {
		p.t = t
		posts := at.posts.Load()
		p.online(false)
		for i := range 30 {
			bin := fmt.Sprintf("B%d", 67+i%20+22*(i/20))
			wanted = append(wanted, bin)
			p.feed(bin, "1")
			p.until("location.pathname==='/bin/" + bin + "'&&document.readyState==='complete'")
			p.count("waiting", i+1)
		}
		p.until("location.pathname==='/bin/B98'&&document.querySelector('outbox-bar').innerText.includes('30 entries wait')")
		p.until("document.querySelector('outbox-bar').innerText.includes('No signal, page of')")
		p.until("[...document.querySelectorAll('li.waits')].some(l=>l.innerText.includes('waiting for signal'))")
		if at.posts.Load() != posts || kept() != thirty {
			t.Fatal("something was sent without signal")
		}
		p.picture("waiting")
	})

	t.Run("a tick of the round without signal", func(t *testing.T) {
		p.t = t
		p.open("/round")
		p.tap("article[data-act=water] .acts form[data-facts] button")
		p.count("waiting", 31)
		p.until("document.querySelector('article[data-act=water] .waitmark')?.innerText.includes('waiting')")
		p.picture("ticked")
		p.open("/outbox")
		p.until("document.querySelectorAll('.waitrow[data-state=waiting]').length===31")
		p.picture("outbox")
		p.eval("([...document.querySelectorAll('.waitrow[data-state=waiting]')].at(-1).querySelector('.acts button').click(),1)") // undone while it waits
		p.count("waiting", 30)
	})

	t.Run("closed, opened and sent once, in order", func(t *testing.T) {
		p.t = t
		p.stop()
		p = openPhone(whole, at, profile)
		p.t = t
		p.online(false)
		p.open("/round")
		p.until("document.querySelector('outbox-bar')?.innerText.includes('30 entries wait')")
		at.lose.Store(1) // the first answer does not come
		p.online(true)
		p.count("waiting", 0)
		bins, live := fedSince(f, thirty)
		if strings.Join(bins, " ") != strings.Join(wanted, " ") || live != 30 {
			t.Fatalf("%d entries: %v", live, bins)
		}
		p.until("!document.querySelector('outbox-bar').innerText.includes('wait')")
	})

	t.Run("refused and mended", func(t *testing.T) {
		p.t = t
		n := kept()
		p.online(false)
		wrong := func(bin, depth string) {
			p.open("/enter/feed")
			p.until("customElements.get('outbox-bar')")
			p.eval(fmt.Sprintf("(()=>{const f=document.querySelector('form.form');f.bins.value=%q;f.querySelector('[name=depth_m][value=%q]').checked=true;f.querySelector('[name=batch]').checked=true;f.requestSubmit();return 1})()", bin, depth))
			p.settled()
		}
		wrong("X99", "2")
		p.count("waiting", 1)
		p.feed("B14", "1")
		p.count("waiting", 2)
		wrong("X98", "1")
		p.count("waiting", 3)
		p.online(true)
		p.count("refused", 2)
		p.count("waiting", 0)
		if kept() != n+1 {
			t.Errorf("%d entries", kept()-n)
		}
		p.open("/outbox")
		p.until("document.querySelectorAll('.waitrow[data-state=refused]').length===2&&document.querySelector('outbox-bar').innerText.includes('2 entries came back')")
		for i, want := range []string{"Feeding · X99 · Depth of the feed: 2 in", "Feeding · X98 · Depth of the feed: 1 in"} { // each is told apart from the other
			row := fmt.Sprintf("document.querySelectorAll('.waitrow')[%d]", i)
			if got := p.eval(row + ".querySelector('b').textContent"); got != want {
				t.Errorf("it is headed %q, want %q", got, want)
			}
			if got, bin := p.eval(row+".innerText.replace(/\\s+/g,' ')"), strings.Fields(want)[2]; !strings.Contains(got, "Typed ") || !strings.Contains(got, `Not taken, because: No bin is called "`+bin+`"`) {
				t.Errorf("it says %s", got)
			}
		}
		// a page that is gone since gives way to the plain form
		p.open("/bin/X98/feed" + p.eval("new URL(document.querySelectorAll('.waitrow')[1].querySelector('a.b').href).hash"))
		p.until("location.pathname==='/enter/feed'&&document.querySelector('.wrong')?.innerText.includes('X98')&&document.querySelector('form.form').bins.value==='X98'&&document.querySelector('[name=depth_m][value=\"1\"]').checked")
		p.open("/outbox")
		p.until("document.querySelectorAll('.waitrow').length>=2")
		p.eval("([...document.querySelectorAll('.waitrow')[1].querySelectorAll('button')].at(-1).click(),1)")
		p.until("document.querySelectorAll('.waitrow')[1].querySelectorAll('.acts button').length===1")
		p.eval("(document.querySelectorAll('.waitrow')[1].querySelector('.acts button').click(),1)")
		p.count("refused", 1)
		p.until("document.querySelector('.waitrow')?.innerText.includes('X99')&&document.querySelector('outbox-bar').innerText.includes('Came back: Feeding · X99')")
		p.picture("refused")
		p.tap(".waitrow a.b")
		p.until("document.querySelector('.wrong')?.innerText.includes('X99')&&document.querySelector('form.form').bins.value==='X99'&&document.querySelector('#f-bins.bad')&&document.querySelector('[name=depth_m][value=\"2\"]').checked")
		p.picture("mend")
		p.eval("(()=>{const f=document.querySelector('form.form');f.bins.value='B15';f.requestSubmit();return 1})()")
		p.count("refused", 0)
		p.until("document.querySelector('.said')")
		if bins, _ := fedSince(f, n); strings.Join(bins, " ") != "B14 B15" {
			t.Errorf("fed %v", bins)
		}
	})

	t.Run("doubtful is asked", func(t *testing.T) {
		p.t = t
		n := kept()
		p.open("/bin/B16/feed")
		p.until("customElements.get('outbox-bar')")
		p.eval("(()=>{const f=document.querySelector('form.form');f.querySelector('[name=depth_m_other]').value='9';f.requestSubmit();return 1})()")
		p.until("document.querySelector('.doubt button[name=yes]')")
		if kept() != n {
			t.Error("kept without a yes")
		}
		p.eval("(document.querySelector('.doubt button[name=yes]').click(),1)")
		p.until("document.querySelector('.said')")
		if e := f.book.list(); len(e) != n+1 || len(e[n].Confirmed) == 0 {
			t.Errorf("%d entries", len(e)-n)
		}
	})

	t.Run("signed out, and the farm in trouble", func(t *testing.T) {
		p.t = t
		n := kept()
		at.answer.Store(401)
		p.feed("B17", "1")
		p.until("document.querySelector('outbox-bar').innerText.includes('signed out')")
		p.count("waiting", 1)
		at.answer.Store(500)
		p.open("/outbox")
		p.until("document.querySelector('outbox-bar').innerText.includes('tried again')&&document.querySelector('#waiting button')")
		at.answer.Store(0)
		p.eval("([...document.querySelectorAll('#waiting button')].at(-1).click(),1)")
		p.count("waiting", 0)
		if kept() != n+1 {
			t.Errorf("%d entries", kept()-n)
		}
	})

	t.Run("two tabs", func(t *testing.T) {
		p.t = t
		n := kept()
		q := p.tab()
		p.open("/bin/B18")
		q.open("/bin/B19")
		p.online(false)
		q.online(false)
		for i := range 4 {
			p.feed(fmt.Sprintf("B%d", 50+2*i), "1")
			p.count("waiting", 2*i+1)
			p.until("/^.bin.B\\d+$/.test(location.pathname)")
			q.feed(fmt.Sprintf("B%d", 51+2*i), "1")
			q.count("waiting", 2*i+2)
			q.until("/^.bin.B\\d+$/.test(location.pathname)")
		}
		at.most.Store(0)
		at.slowing.Store(150)
		p.online(true)
		q.online(true)
		p.count("waiting", 0)
		at.slowing.Store(0)
		bins, live := fedSince(f, n)
		if strings.Join(bins, " ") != "B50 B51 B52 B53 B54 B55 B56 B57" || live != 8 || at.most.Load() != 1 {
			t.Errorf("fed %v, %d at once", bins, at.most.Load())
		}
		q.stop()
	})

	t.Run("a photo waits and goes", func(t *testing.T) {
		p.t = t
		n := kept()
		big := filepath.Join(t.TempDir(), "big.jpg")
		writePicture(t, big, 7300, 5500) // 40 megapixels
		p.open("/bin/B10/sighting")
		p.until("document.querySelector('photo-box input')")
		p.online(false)
		p.do(chromedp.SetUploadFiles(chromedp.CSS("photo-box input"), []string{big}))
		p.until("document.querySelector('photo-box img').src.startsWith('blob:')&&document.querySelector('photo-box img').complete")
		p.eval("(document.querySelector('[name=what]').value='mites on the lid',document.querySelector('form.form').requestSubmit(),1)")
		p.count("waiting", 1)
		p.online(true)
		p.count("waiting", 0)
		e := f.book.list()[n:]
		if len(e) != 1 || e[0].Photo == "" {
			t.Fatalf("kept %+v", e)
		}
		data, _, _, _, _ := pictures.Photo(context.Background(), e[0].Photo)
		size, err := jpeg.DecodeConfig(bytes.NewReader(data))
		if err != nil || size.Width != 1600 || size.Height != 1205 {
			t.Errorf("%d by %d, %d kB, %v", size.Width, size.Height, len(data)/1024, err)
		}
		p.open("/journal/" + e[0].ID)
		p.until("document.querySelector('img.shot')?.complete&&document.querySelector('img.shot').naturalWidth===1600")
	})

	t.Run("a full phone", func(t *testing.T) {
		p.t = t
		n := kept()
		p.open("/bin/B10/feed")
		p.until("customElements.get('outbox-bar')")
		p.online(false)
		// the error that a full device gives; the browser's own limit does not bind for so little
		p.eval("(window.put=IDBObjectStore.prototype.put,IDBObjectStore.prototype.put=function(){throw new DOMException('','QuotaExceededError')},1)")
		p.eval("(()=>{const f=document.querySelector('form.form');f.querySelector('[name=depth_m][value=\"3\"]').checked=true;f.requestSubmit();return 1})()")
		p.until("document.querySelector('.wrong')?.innerText.includes('no room left')")
		p.picture("full")
		if on := p.eval("document.querySelector('[name=depth_m][value=\"3\"]').checked&&location.pathname"); on != "/bin/B10/feed" {
			t.Errorf("what was typed is gone: %s", on)
		}
		p.eval("(IDBObjectStore.prototype.put=window.put,1)")
		p.eval("(document.querySelector('form.form').requestSubmit(),1)")
		p.count("waiting", 1)
		p.online(true)
		p.count("waiting", 0)
		if kept() != n+1 {
			t.Errorf("%d entries", kept()-n)
		}
	})

	t.Run("a newer program", func(t *testing.T) {
		p.t = t
		newer := serverOf(t, f, d)
		newer.NewID, newer.Photos, newer.Patience, newer.program = s.NewID, pictures, s.Patience, "newer0000000"
		p.openNow("/bin/B10/feed")
		p.until("customElements.get('outbox-bar')")
		p.eval("(document.querySelector('[name=depth_m_other]').value='1',document.querySelector('[name=depth_m_other]').dispatchEvent(new Event('input',{bubbles:true})),1)")
		q := p.tab()
		q.open("/bin/B11/feed")
		at.server.Store(newer)
		q.feed("B11", "1")
		q.until("document.querySelector('.said')")
		p.until("document.querySelector('outbox-bar').innerText.includes('program is newer')") // what is typed is not thrown away
		p.open("/outbox")
		p.until("document.documentElement.dataset.program==='newer0000000'")
		q.stop()
	})
}

// picture keeps what a phone shows, for people to look at.
func (p *phone) picture(name string) {
	to := os.Getenv("WORMYARD_SCREENS")
	if to == "" {
		return
	}
	if to == "1" {
		to = filepath.Join("..", "..", "docs", "screens")
	}
	if err := os.MkdirAll(to, 0o755); err != nil {
		p.t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(p.ctx, longest)
	defer cancel()
	data, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(filepath.Join(to, "phone-"+name+".png"), smaller(p.t, data), 0o644)
	}
	if err != nil {
		p.t.Errorf("%s: %v", name, err)
	}
}

// shelf is an album that several may use.
type shelf struct {
	mutex sync.Mutex
	album album
}

func (s *shelf) KeepPhoto(ctx context.Context, data []byte, w, h int) (string, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.album.KeepPhoto(ctx, data, w, h)
}

func (s *shelf) Photo(ctx context.Context, name string) ([]byte, int, int, bool, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	data, _, _, ok, err := s.album.Photo(ctx, name)
	size, _ := jpeg.DecodeConfig(bytes.NewReader(data))
	return data, size.Width, size.Height, ok, err
}

func writePicture(t *testing.T, path string, w, h int) {
	t.Helper()
	img := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	for y := range h {
		for x := range w {
			img.Y[img.YOffset(x, y)] = uint8(x/16 + y/8)
		}
	}
	out, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer out.Close()
	if err := jpeg.Encode(out, img, &jpeg.Options{Quality: 70}); err != nil {
		t.Fatal(err)
	}
}
