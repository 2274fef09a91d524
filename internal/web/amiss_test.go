package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"image/jpeg"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"wormyard/internal/people"
	"wormyard/journal"
)

// What goes amiss in a barn, and what becomes of it: the table stands in
// docs/offline.md, and names these tests and those beside the things themselves.

// signsIn types a name and the password.
func (p *phone) signsIn(name string) {
	p.t.Helper()
	p.open("/sign-in")
	p.eval(fmt.Sprintf("(()=>{const f=document.querySelector('form:has([name=password])');f.querySelector('[name=name]').value=%q;f.querySelector('[name=password]').value=%q;f.requestSubmit();return 1})()", name, goodPassword))
	p.until("location.pathname==='/round'&&document.documentElement.dataset.who===" + fmt.Sprintf("%q", name))
}

// A form with a photo is left open until its session has ended. It is filled in
// the next morning: nothing is lost, the phone says why it waits, and after
// signing in it is in the journal once, with its photo, of the person it was of.
func TestAFormLeftOpenOvernight(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	g := newGated(t, nil)
	g.Patience = longest
	g.NewID = safely(g.NewID)
	pictures := &shelf{album: album{}}
	g.Photos = pictures
	ana := g.owner()
	g.invited(ana, "Ben", "crew")
	at := newSignal(t, g.Server)
	p := newPhone(t, at)
	p.signsIn("Ben")
	p.eval("localStorage.setItem('wormyard-keep',Date.now())")
	p.openNow("/bin/B10/sighting")
	p.until("customElements.get('outbox-bar')&&document.querySelector('photo-box input')")
	id := p.eval("document.querySelector('form.form').elements.namedItem('id').value")
	for _, f := range all(doc(t, ana.get("/people")), "form") { // the night
		if a := attr(f, "action"); strings.HasSuffix(a, "/end") && strings.Contains(a, ana.account2(t, ana)) {
			wants(t, ana.post(a), 303, "")
		}
	}
	before := len(g.farm.book.list())
	picture := filepath.Join(t.TempDir(), "lid.jpg")
	writePicture(t, picture, 1200, 900)
	p.do(chromedp.SetUploadFiles(chromedp.CSS("photo-box input"), []string{picture}))
	p.until("document.querySelector('photo-box img').src.startsWith('blob:')&&document.querySelector('photo-box img').complete")
	p.eval("(document.querySelector('[name=what]').value='mites 🪱 שער 7',document.querySelector('form.form').requestSubmit(),1)")
	p.until("document.querySelector('outbox-bar').innerText.includes('signed out')")
	p.count("waiting", 1)
	if n := len(g.farm.book.list()); n != before {
		t.Errorf("%d entries without a session", n-before)
	}
	p.signsIn("Ben")
	p.count("waiting", 0)
	p.count("sent", 1)
	list := g.farm.book.list()[before:]
	if len(list) != 1 || list[0].ID != id || list[0].Who != "Ben" || list[0].Photo == "" {
		t.Fatalf("kept %+v, wanted one of the id %s", list, id)
	}
	if b, ok := list[0].Body.(*journal.Sighting); !ok || b.What != "mites 🪱 שער 7" {
		t.Errorf("it says %+v", list[0].Body)
	}
	data, _, _, _, _ := pictures.Photo(context.Background(), list[0].Photo)
	if size, err := jpeg.DecodeConfig(bytes.NewReader(data)); err != nil || size.Width != 1200 {
		t.Errorf("its photo is %d px wide, %v", size.Width, err)
	}
}

// The way back after saving leads to a fresh form: sent again it is another
// entry, with what was chosen now, and the first stays as it was.
func TestTheWayBackAfterSaving(t *testing.T) {
	needBrowser(t)
	t.Parallel()
	s, f, _ := sample(t)
	s.NewID = safely(s.NewID)
	s.Patience = longest
	p := newPhone(t, newSignal(t, s))
	p.open("/bin/B10")
	p.eval("localStorage.setItem('wormyard-keep',Date.now())")
	before := len(f.book.list())
	var first string
	for n, depth := range []string{"1", "2"} {
		if n == 0 {
			p.open("/bin/B10/feed")
		} else {
			p.eval("(history.back(),1)")
		}
		p.until("location.pathname==='/bin/B10/feed'&&document.readyState==='complete'&&customElements.get('outbox-bar')&&document.querySelector('form.form button.do')&&!document.querySelector('form.form button.do').disabled&&!('gone' in document.querySelector('form.form').dataset)")
		id := p.eval("document.querySelector('form.form').elements.namedItem('id').value")
		if n == 0 {
			first = id
		} else if id == first {
			t.Error("the form has the id of the entry that was saved")
		}
		p.eval(fmt.Sprintf("(()=>{const f=document.querySelector('form.form');f.querySelector('[name=batch]').checked=true;f.querySelector('[name=depth_m][value=%q]').checked=true;f.requestSubmit();f.requestSubmit();return 1})()", depth))
		p.until("location.pathname==='/bin/B10'&&document.querySelector('.said')")
	}
	p.count("waiting", 0)
	list := f.book.list()[before:]
	if len(list) != 2 || list[0].ID != first {
		t.Fatalf("kept %d entries", len(list))
	}
	for i, want := range []float64{0.0254, 0.0508} {
		if b := list[i].Body.(*journal.Feed); b.DepthM == nil || float64(*b.DepthM) < want-1e-9 || float64(*b.DepthM) > want+1e-9 {
			t.Errorf("entry %d is %+v", i, b)
		}
	}
}

// Without scripts a browser may show the old form on the way back. The same
// thing sent again is the same entry; another thing under its id is asked about,
// with what was typed still there, and is one more entry after a yes.
func TestAnOldFormSentAgain(t *testing.T) {
	s, f, _ := sample(t)
	id := value(doc(t, get(t, s, "/bin/B10/feed")), "id")
	before := len(f.book.list())
	for range 2 {
		if w := post(t, s, "/bin/B10/feed", "id="+id, "back=/bin/B10", "bins=B10", "batch=41", "depth_m=1"); w.Code != 303 {
			t.Fatalf("%d", w.Code)
		}
	}
	w := post(t, s, "/bin/B10/feed", "id="+id, "back=/bin/B10", "bins=B10", "batch=41", "depth_m=2", "note=the gate")
	n := doc(t, w)
	if w.Code != 422 || value(n, "depth_m") != "2" || value(n, "note") != "the gate" || !strings.Contains(textOf(n, ".doubt"), "written down already: Fed 1 in of batch 41 to B10") {
		t.Errorf("another feeding under the id: %d to %q: %s", w.Code, w.Header().Get("Location"), textOf(n, "main"))
	}
	if got := len(f.book.list()) - before; got != 1 {
		t.Errorf("%d entries", got)
	}
	yes := all(n, "button[name=yes]")
	if len(yes) != 1 {
		t.Fatal("no way to say yes")
	}
	w = post(t, s, "/bin/B10/feed", "id="+value(n, "id"), "back=/bin/B10", "bins=B10", "batch=41", "depth_m=2", "note=the gate", "yes="+attr(yes[0], "value"))
	if got := len(f.book.list()) - before; w.Code != 303 || got != 2 {
		t.Errorf("after a yes: %d, %d entries", w.Code, got)
	}
}

// A link of a bin that is out of use opens it with what can still be known; one
// of a bin that never was says so and what to do. Neither takes an entry.
func TestALinkOfABinThatIsGone(t *testing.T) {
	s, f, _ := sample(t)
	retire(f, "B60")
	before := len(f.book.list())
	n := doc(t, get(t, s, "/bin/B60"))
	if !strings.Contains(textOf(n, "main"), "This bin is retired.") || len(all(n, ".opened button[value=done],.opened form[data-facts]")) > 0 || !strings.Contains(textOf(n, "main"), "Fed 1½ in of batch 41") {
		t.Errorf("out of use: %s", textOf(n, "main"))
	}
	for path, want := range map[string]int{"/bin/none": 404, "/bin/none/feed": 404, "/bin/none/trouble": 404, "/yard/pile/none": 404, "/journal/none": 404, "/round/none": 404} {
		w := get(t, s, path)
		n := doc(t, w)
		if w.Code != want || textOf(n, "h1") == "" || len(all(n, "main a[href]")) == 0 {
			t.Errorf("%s: %d: %s", path, w.Code, textOf(n, "main"))
		}
	}
	for _, path := range []string{"/bin/B60/feed", "/bin/none/feed"} {
		bin := strings.Split(path, "/")[2]
		if w := post(t, s, path, "id="+f.newID(f.now), "bins="+bin, "batch=41", "depth_m=1"); w.Code == 303 || w.Code >= 500 {
			t.Errorf("%s takes a feeding: %d", path, w.Code)
		}
	}
	if got := len(f.book.list()) - before; got != 0 {
		t.Errorf("%d entries", got)
	}
}

// An invitation opens the door once, and for three days.
func TestAnInvitationOpensOnce(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	invite := func(name string) *url.URL {
		link, err := url.Parse(textOf(doc(t, ana.post("/people/invite", "name="+name, "role=crew")), "#link .link"))
		if err != nil {
			t.Fatal(err)
		}
		return link
	}
	closed := func(what string, link *url.URL) {
		t.Helper()
		b := g.browser()
		b.from = "192.168.1.31:40000"
		for _, w := range []*httptest.ResponseRecorder{b.get(link.RequestURI()), b.post("/join", "t="+link.Query().Get("t"), "password="+goodPassword, "again="+goodPassword, "device=x")} {
			n := doc(t, w)
			if w.Code != 410 || !strings.Contains(words1(n), "used up") || len(b.cookies) > 0 && b.cookies[sessionCookie] != nil {
				t.Errorf("%s: %d: %s", what, w.Code, textOf(n, "main"))
			}
		}
	}
	link := invite("Ben")
	b := g.browser()
	wants(t, b.get(link.RequestURI()), 200, "") // looking uses nothing up
	if w := b.post("/join", "t="+link.Query().Get("t"), "password=short", "again=short"); w.Code != 422 {
		t.Errorf("a short password: %d", w.Code)
	}
	wants(t, b.post("/join", "t="+link.Query().Get("t"), "password="+goodPassword, "again="+goodPassword, "device=x"), 303, "/me?new=yes")
	closed("used", link)
	late := invite("Cy")
	g.now = g.now.Add(people.InviteLasts + time.Second)
	closed("too old", late)
	closed("of nobody", &url.URL{Path: "/join", RawQuery: "t=" + strings.Repeat("A", 43)})
}

// Five wrong PINs lock it on this phone, in words that say what helps; the
// password opens it again.
func TestFiveWrongPINs(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	phone := g.invited(ana, "Ben", "crew")
	wants(t, phone.post("/me/pin", "old="+goodPassword, "pin=2580"), 303, "/me?pin=set")
	account := phone.account()
	for left := people.MostPINTries - 1; left >= 0; left-- {
		w := phone.post("/switch", "account="+account, "pin=1379")
		said := textOf(doc(t, w), ".wrong")
		if want := fmt.Sprintf("%d tries are left", left); w.Code != 422 || left > 1 && !strings.Contains(said, want) || said == "" {
			t.Errorf("%d: %s", w.Code, said)
		}
	}
	w := phone.post("/switch", "account="+account, "pin=2580")
	if said := textOf(doc(t, w), ".wrong"); w.Code != 422 || !strings.Contains(said, "password") {
		t.Errorf("the right one after five wrong: %d: %s", w.Code, said)
	}
	wants(t, phone.post("/sign-in", "name=Ben", "password="+goodPassword), 303, "/round")
	wants(t, phone.post("/switch", "account="+account, "pin=2580"), 303, "/round")
}

// A reader writes nothing, whatever they send to whatever address.
func TestAReaderWritesNothing(t *testing.T) {
	g := newGated(t, nil)
	g.Photos = album{}
	ana := g.owner()
	reader := g.invited(ana, "Cy", "reader")
	before, asked := len(g.farm.book.list()), g.desk.asked
	form := []string{"kg=5", "bins=B10", "bin=B10", "batch=41", "depth_m=1", "why=because", "people=Zoe", "farm=Mine", "act=turned", "do=save", "save=yes", "yes=yes", "pile=solids 7", "material=wood chips, hardwood", "volume_m3=2 yd3", "what=mites", "severity=slight", "name=Eve", "role=owner"}
	sent := 0
	for _, rule := range doorRules {
		for _, at := range rule.routes {
			method, path := filled(at)
			if method != http.MethodPost || rule.least == people.Nobody || strings.HasPrefix(path, "/me/") || path == "/switch" {
				continue
			}
			path = strings.NewReplacer("/bin/none/none", "/bin/B10/water", "/round/none", "/round/"+url.PathEscape(lineKey(t, g.desk, "feed", "")), "/journal/none", "/journal/"+g.farm.book.entries[20].ID, "/pile/none/none", "/pile/rabbit%203/tend").Replace(path)
			reader.post(path, append([]string{"id=" + g.farm.newID(g.farm.now)}, form...)...)
			sent++
		}
	}
	raw, err := json.Marshal(outboxSent{Format: 1, DeviceNow: g.farm.now.UnixMilli(), Entries: []outboxEntry{feeding(g.farm, g.farm.now, "B10", "1")}})
	if err != nil {
		t.Fatal(err)
	}
	for path, data := range map[string][]byte{"/outbox": raw, "/photo": []byte("x")} {
		r := httptest.NewRequest(http.MethodPost, path, io.NopCloser(bytes.NewReader(data)))
		r.Header.Set("Accept", "application/json")
		r.Header.Set("Sec-Fetch-Site", "same-origin")
		for _, c := range reader.cookies {
			r.AddCookie(c)
		}
		w := httptest.NewRecorder()
		g.ServeHTTP(w, r)
		if w.Code != 403 || !strings.Contains(w.Body.String(), "try") {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
	if n := len(g.farm.book.list()) - before; n != 0 || g.desk.asked != asked || sent < 20 {
		t.Errorf("%d entries and %d rounds by %d forms of a reader", n, g.desk.asked-asked, sent)
	}
	if list, invites, err := g.Door.People(context.Background()); err != nil || len(list) != 2 || len(invites) != 0 {
		t.Errorf("%d people, %d invitations, %v", len(list), len(invites), err)
	}
}

// Every test that the table of what goes amiss names is there.
func TestTheTableOfWhatGoesAmiss(t *testing.T) {
	table, err := os.ReadFile(filepath.Join("..", "..", "docs", "offline.md"))
	if err != nil {
		t.Fatal(err)
	}
	var code strings.Builder
	for _, where := range []string{"*_test.go", "words/*_test.go", "../people/*_test.go", "../../cmd/wormyard/*_test.go"} {
		names, err := filepath.Glob(where)
		if err != nil || len(names) == 0 {
			t.Fatalf("%s: %v", where, err)
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			code.Write(data)
		}
	}
	named := regexp.MustCompile(`Test\w+`).FindAllString(string(table), -1)
	for _, name := range named {
		if !strings.Contains(code.String(), "func "+name+"(t *testing.T)") {
			t.Errorf("there is no %s", name)
		}
	}
	parts := regexp.MustCompile(`"([^"]+)"\*`).FindAllStringSubmatch(string(table), -1)
	for _, p := range parts {
		if !strings.Contains(code.String(), `t.Run("`+p[1]+`"`) {
			t.Errorf("no test has a part %q", p[1])
		}
	}
	if len(named) < 20 || len(parts) < 5 {
		t.Errorf("the table names only %d tests and %d parts", len(named), len(parts))
	}
}
