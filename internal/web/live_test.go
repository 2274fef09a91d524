package web

import (
	"bufio"
	"context"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/ids"
	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// listen opens the way by which a page hears of news, and gives its marks.
func listen(t *testing.T, ctx context.Context, base string) (<-chan string, *http.Response) {
	t.Helper()
	ask, err := http.NewRequestWithContext(ctx, http.MethodGet, base+"/round/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	return listening(t, ask)
}

func listenBy(t *testing.T, ask *http.Request) <-chan string {
	t.Helper()
	marks, r := listening(t, ask)
	if r.StatusCode != http.StatusOK {
		t.Fatalf("it may not listen: %s", r.Status)
	}
	return marks
}

func listening(t *testing.T, ask *http.Request) (<-chan string, *http.Response) {
	t.Helper()
	ask.Header.Set("Accept", "text/event-stream")
	ask.Header.Set("Accept-Encoding", "gzip")
	r, err := http.DefaultClient.Do(ask)
	if err != nil {
		t.Fatal(err)
	}
	marks := make(chan string, 16)
	go func() {
		defer close(marks)
		defer func() { _ = r.Body.Close() }()
		for lines := bufio.NewScanner(r.Body); lines.Scan(); {
			if mark, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				marks <- mark
			}
		}
	}()
	return marks, r
}

func heard(t *testing.T, marks <-chan string) string {
	t.Helper()
	select {
	case m := <-marks:
		return m
	case <-time.After(longest):
		t.Fatal("nothing was heard")
		return ""
	}
}

// writes has somebody else write something down now.
func writes(f *paper, body any) {
	id := ids.FromContent(f.now, []byte("crew 2"), len(f.book.list()))
	f.keep(journal.Entry{ID: id, Kind: app.KindOf(body), At: f.now, Who: "crew 2", Device: "test", Body: body})
}

// What is written down is told to pages that listen, with the mark that the
// page then carries; they are sent home at the end, and nobody has too many.
func TestPagesHearOfNews(t *testing.T) {
	s, f, _ := sample(t)
	s.liveEvery = time.Millisecond
	srv := httptest.NewServer(s)
	defer srv.Close()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	marks, r := listen(t, ctx, srv.URL)
	if k := r.Header.Get("Content-Type"); k != "text/event-stream" || r.Header.Get("Content-Encoding") != "" {
		t.Fatalf("%s %s", k, r.Header.Get("Content-Encoding"))
	}
	onPage := func() string { return attr(all(doc(t, get(t, s, "/round")), "live-round")[0], "data-mark") }
	first := heard(t, marks)
	if first != onPage() {
		t.Errorf("told %s, the page has %s", first, onPage())
	}
	writes(f, &journal.Water{Bins: []string{"B20"}, Kg: 4})
	if second := heard(t, marks); second == first || second != onPage() {
		t.Errorf("after an entry %s, the page has %s", second, onPage())
	}
	var more []<-chan string
	for range mostLive - 1 {
		m, _ := listen(t, ctx, srv.URL)
		heard(t, m)
		more = append(more, m)
	}
	if _, r := listen(t, ctx, srv.URL); r.StatusCode != http.StatusNoContent {
		t.Errorf("one too many: %s", r.Status)
	}
	s.EndLive()
	for _, m := range append(more, marks) {
		for range m { // ends
		}
	}
}

// binsOf gives the bins of a line of the round.
func binsOf(t *testing.T, d *desk, key string) []string {
	t.Helper()
	l, _, err := d.List(t.Context(), round.Words{})
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range l.Lines {
		if x.Key == key {
			return x.Bins()
		}
	}
	t.Fatalf("no line %s", key)
	return nil
}

// Two people on one round: what one ticks stands on the other's page, which
// keeps what is being typed and where its person is.
func TestTwoOnOneRound(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, f, d := sample(t)
	s.liveEvery = 20 * time.Millisecond
	s.Patience = longest
	at := newSignal(t, s)
	p := newPhone(t, at)
	key := lineKey(t, d, "water", "")
	p.open("/round")
	p.until("customElements.get('live-round')")
	bins := binsOf(t, d, key)
	p.eval("(document.querySelector('article[data-act=water] .acts button').focus(),1)")
	writes(f, &journal.Water{Bins: bins, Kg: 8})
	p.until("document.querySelector('article[data-act=water] .donesay')?.innerText.includes('crew 2')")
	p.until("document.querySelector('live-round [aria-live=polite]').textContent.includes('crew 2')")
	p.until("document.activeElement===document.querySelector('article[data-act=water]')")

	// what somebody types in the walk stays, until the stop itself is settled
	p.open("/round/walk")
	p.until("customElements.get('live-round')")
	p.eval("(()=>{const w=[...document.querySelectorAll('details')].at(-1);w.open=true;const i=w.querySelector('input[type=text]');i.focus();i.value='gate is loc';i.dispatchEvent(new Event('input',{bubbles:true}));return 1})()")
	was := p.eval("document.querySelector('[data-live=progress] h2').innerText")
	other := lineKey(t, d, "feed", "")
	writes(f, &journal.Feed{Bins: binsOf(t, d, other), Batch: "41", DepthM: ptr(qty.Metre(1.5 * in))})
	p.until("document.querySelector('[data-live=progress] h2').innerText!==" + strconv.Quote(was))
	if got := p.eval("[...document.querySelectorAll('details input[type=text]')].at(-1).value"); got != "gate is loc" {
		t.Errorf("what was typed is %q", got)
	}
}

// A page hears no more once its session has ended: by signing out, by being
// signed out everywhere from another device, by an owner. The others go on.
func TestListeningEndsWithTheSession(t *testing.T) {
	g := newGated(t, nil)
	g.liveEvery, g.liveBeat = time.Millisecond, 2*time.Millisecond
	desk := g.owner()
	phone, tablet := g.browser(), g.browser()
	for _, b := range []*browser{phone, tablet} {
		wants(t, b.post("/sign-in", "name=Ana", "password="+goodPassword), 303, "/round")
	}
	ben := g.invited(desk, "Ben", "crew")
	srv := httptest.NewServer(g)
	defer srv.Close()
	defer g.EndLive()
	hears := map[*browser]<-chan string{}
	for _, b := range []*browser{desk, phone, tablet, ben} {
		ask, err := http.NewRequestWithContext(t.Context(), http.MethodGet, srv.URL+"/round/events", nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range b.cookies {
			ask.AddCookie(c)
		}
		hears[b] = listenBy(t, ask)
		heard(t, hears[b])
	}
	ends := func(what string, b *browser) {
		t.Helper()
		for {
			select {
			case _, on := <-hears[b]:
				if !on {
					return
				}
			case <-time.After(longest):
				t.Fatalf("%s: it listens on", what)
			}
		}
	}
	stays := func(b *browser) {
		t.Helper()
		writes(g.farm, &journal.Water{Bins: []string{"B20"}, Kg: 4})
		if _, on := <-hears[b]; !on {
			t.Error("another's session has ended too")
		}
	}
	wants(t, tablet.post("/me/out"), 303, "")
	ends("signed out", tablet)
	stays(phone)
	wants(t, desk.post("/me/everywhere"), 303, "/me?ended=1")
	ends("signed out everywhere", phone)
	stays(desk)
	stays(ben)
	for _, f := range all(doc(t, desk.get("/people")), "form") {
		if a := attr(f, "action"); strings.HasSuffix(a, "/shut") && strings.Contains(a, ben.account2(t, desk)) {
			wants(t, desk.post(a), 303, "/people")
		}
	}
	ends("account shut", ben)
	stays(desk)
}

// Fifty pages that listen cost little: each looks at a mark once a second, and
// none is left behind.
func TestFiftyPagesListen(t *testing.T) {
	g := newGated(t, nil)
	g.liveEvery = time.Millisecond
	ana := g.owner()
	srv := httptest.NewServer(g)
	defer srv.Close()
	const pages = 50
	var hears []<-chan string
	for len(hears) < pages {
		b := g.browser()
		wants(t, b.post("/sign-in", "name=Ana", "password="+goodPassword), 303, "/round")
		for range min(mostLive, pages-len(hears)) {
			ask, err := http.NewRequestWithContext(t.Context(), http.MethodGet, srv.URL+"/round/events", nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range b.cookies {
				ask.AddCookie(c)
			}
			hears = append(hears, listenBy(t, ask))
		}
	}
	first := heard(t, hears[0])
	for _, h := range hears[1:] {
		if m := heard(t, h); m != first {
			t.Errorf("told %s and %s", first, m)
		}
	}
	writes(g.farm, &journal.Water{Bins: []string{"B20"}, Kg: 4})
	begun := time.Now()
	for _, h := range hears {
		if heard(t, h) == first {
			t.Error("the mark is as it was")
		}
	}
	t.Logf("%d pages heard of it within %v", pages, time.Since(begun).Round(time.Millisecond))
	wants(t, ana.get("/round"), 200, "") // and pages are drawn beside them
	g.EndLive()
	for _, h := range hears {
		for range h { // ends
		}
	}
	g.live.mu.Lock()
	if n := len(g.live.of); n != 0 {
		t.Errorf("%d sessions are still counted", n)
	}
	g.live.mu.Unlock()
	// a look is a few numbers put beside each other: fifty in a second are
	// nothing; the bound is a hundredth of one core
	look := testing.Benchmark(func(b *testing.B) {
		for b.Loop() {
			g.liveMark()
		}
	})
	t.Logf("a look takes %v", time.Duration(look.NsPerOp()))
	if look.NsPerOp()*pages > int64(10*time.Millisecond) {
		t.Errorf("fifty looks take %v", time.Duration(look.NsPerOp()*pages))
	}
}

// How far a round is stands in what it is at: weeks are no bins, and before anything
// is known there is no number.
func TestHowFarARoundIs(t *testing.T) {
	for _, c := range []struct {
		at   Progress
		last bool
		want string
	}{
		{Progress{Running: true}, true, "The round is being worked out. What you see is the last one."},
		{Progress{Running: true, Doing: "weeks", Done: 3, Total: 64}, false, "The round is being worked out: 3 of 64 weeks learned from, then come the bins. It is the first and takes a minute or two; the page follows by itself."},
		{Progress{Running: true, Doing: "bins", Done: 40, Total: 230, Left: 3 * time.Minute, LeftKnown: true}, true, "The round is being worked out: 40 of 230 bins done. What you see is the last one. About 3 minutes left."},
	} {
		p := person{Words: words.English()}
		if got := strings.ReplaceAll(p.making(c.at, c.last), "\u00a0", " "); got != c.want {
			t.Errorf("%+v: %q", c.at, got)
		}
	}
}
