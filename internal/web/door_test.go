package web

import (
	"context"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/people"
	"wormyard/internal/sqlite"
	"wormyard/journal"
)

const goodPassword = "three wet gloves"

// gated is a server with a door on the sample farm.
type gated struct {
	*Server
	farm *paper
	desk *desk
	now  time.Time
	log  *strings.Builder
	t    testing.TB
}

func newGated(t testing.TB, trust *Trust) *gated {
	t.Helper()
	store, err := sqlite.Open(filepath.Join(t.TempDir(), "farm"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	g := &gated{farm: sampleFarm(t), now: sampleNow, log: &strings.Builder{}, t: t}
	g.desk = sampleDesk(t, g.farm)
	door := people.New(store.People(), func() time.Time { return g.now })
	door.Cost = people.Cost{Time: 1, Memory: 8, Lanes: 1}
	mixer, err := app.NewMixer(noSolver)
	if err != nil {
		t.Fatal(err)
	}
	g.Server, err = New(Config{Workshop: workshopOf(t, mixer), Farm: g.farm, NewID: g.farm.newID, Start: g.farm, Figures: app.Figures, Mix: mixer, Rounds: g.desk, Work: g.desk, Door: door, Trust: trust, Log: slog.New(slog.NewTextHandler(g.log, nil))})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// browser is one device with its cookies.
type browser struct {
	g       *gated
	cookies map[string]*http.Cookie
	scheme  string
	from    string
	agent   string
	accept  string
}

func (g *gated) browser() *browser {
	return &browser{g: g, cookies: map[string]*http.Cookie{}, scheme: "http", from: "127.0.0.1:40000"}
}

func (b *browser) do(method, path string, pairs ...string) *httptest.ResponseRecorder {
	b.g.t.Helper()
	v := url.Values{}
	for _, p := range pairs {
		k, x, _ := strings.Cut(p, "=")
		v.Add(k, x)
	}
	var body io.Reader
	if method == http.MethodPost {
		body = strings.NewReader(v.Encode())
	}
	r := httptest.NewRequest(method, b.scheme+"://barn.local"+path, body)
	r.RemoteAddr = b.from
	r.Header.Set("User-Agent", b.agent)
	if b.accept != "" {
		r.Header.Set("Accept", b.accept)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	for _, c := range b.cookies {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	b.g.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		if c.MaxAge < 0 {
			delete(b.cookies, c.Name)
		} else {
			b.cookies[c.Name] = c
		}
	}
	return w
}

func (b *browser) get(path string) *httptest.ResponseRecorder {
	b.g.t.Helper()
	return b.do(http.MethodGet, path)
}
func (b *browser) post(path string, pairs ...string) *httptest.ResponseRecorder {
	b.g.t.Helper()
	return b.do(http.MethodPost, path, pairs...)
}

func wants(t testing.TB, w *httptest.ResponseRecorder, status int, to string) {
	t.Helper()
	if w.Code != status || to != "" && w.Header().Get("Location") != to {
		t.Fatalf("%d to %q, want %d to %q: %s", w.Code, w.Header().Get("Location"), status, to, textOf(doc(t, w), "main"))
	}
}

// owner makes the first owner, Ana.
func (g *gated) owner() *browser {
	g.t.Helper()
	b := g.browser()
	wants(g.t, b.post("/first-owner", "name=Ana", "password="+goodPassword, "again="+goodPassword, "device=Desk"), 303, "/people")
	return b
}

// invited lets somebody in by a link, on a browser of their own.
func (g *gated) invited(by *browser, name, role string) *browser {
	g.t.Helper()
	w := by.post("/people/invite", "name="+name, "role="+role)
	wants(g.t, w, 200, "")
	link, err := url.Parse(textOf(doc(g.t, w), "#link .link"))
	if err != nil || link.Path != "/join" {
		g.t.Fatalf("the link is %v", link)
	}
	b := g.browser()
	b.from = "192.168.1.30:40000"
	wants(g.t, b.get(link.RequestURI()), 200, "")
	wants(g.t, b.post("/join", "t="+link.Query().Get("t"), "password="+goodPassword, "again="+goodPassword, "device="+name+"'s phone"), 303, "/me?new=yes")
	return b
}

// Every address of the program stands in the table of roles, and every address
// of the table is one of the program.
func TestEveryAddressHasARole(t *testing.T) {
	g := newGated(t, nil)
	listed := map[string]int{}
	for _, rule := range doorRules {
		for _, at := range rule.routes {
			listed[at]++
		}
	}
	there := map[string]bool{}
	for _, at := range g.gated() {
		there[at] = true
		if listed[at] != 1 {
			t.Errorf("%s stands %d times in the table of roles (doorRules)", at, listed[at])
		}
	}
	for at := range listed {
		if !there[at] {
			t.Errorf("%s stands in the table of roles and is no address", at)
		}
	}
}

func (g *gated) gated() []string { return g.Server.gated }

// filled gives an address of the sample farm for a pattern.
func filled(pattern string) (method, path string) {
	method, path, ok := strings.Cut(pattern, " ")
	if !ok {
		method, path = http.MethodGet, "/nowhere/at/all"
	}
	return method, strings.NewReplacer("{$}", "", "{key}", "none", "{pile}", "none", "{batch}", "none", "{id}", "none", "{kind}", "feed", "{part}", "none", "{file}", "none", "{name}", "none", "{act}", "none", "{mark}", "none").Replace(path)
}

// Over the real mux, address by address: who stands outside is asked to sign in,
// a role that is not enough is told so, and one that is enough gets past the door.
func TestRolesAddressByAddress(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	who := map[people.Role]*browser{people.Owner: ana, people.Crew: g.invited(ana, "Ben", "crew"), people.Reader: g.invited(ana, "Cy", "reader")}
	out := g.browser()
	outPost := regexpRefusal(t)
	for _, rule := range doorRules {
		for _, at := range rule.routes {
			method, path := filled(at)
			if at == "POST /me/out" || at == "POST /me/everywhere" { // they end the session that the next line needs
				continue
			}
			w := out.do(method, path)
			outside := w.Code == 303 && strings.HasPrefix(w.Header().Get("Location"), "/sign-in") || w.Code == 401
			if outside != (rule.least != people.Nobody) && path != "/switch" {
				t.Errorf("%s, not signed in: %d to %q", at, w.Code, w.Header().Get("Location"))
			}
			for role, b := range who {
				w := b.do(method, path)
				stopped := w.Code == 403 && outPost(w)
				if stopped == role.May(rule.least) {
					t.Errorf("%s as %s: %d", at, role, w.Code)
				}
				if w.Code == 401 || w.Code == 303 && strings.HasPrefix(w.Header().Get("Location"), "/sign-in") && path != "/switch" {
					t.Errorf("%s as %s is asked to sign in", at, role)
				}
			}
		}
	}
	if !strings.Contains(words1(doc(t, out.get("/sign-in"))), "Sign in") {
		t.Error("no page to sign in")
	}
}

// regexpRefusal knows the pages by which the door says that a role is not enough.
func regexpRefusal(t *testing.T) func(*httptest.ResponseRecorder) bool {
	return func(w *httptest.ResponseRecorder) bool {
		h := textOf(doc(t, w), "h1")
		return h == "For owners" || h == "For the crew"
	}
}

// Until there is an owner only this machine is served, and there without signing in.
func TestBeforeThereIsAnOwner(t *testing.T) {
	g := newGated(t, nil)
	here, there := g.browser(), g.browser()
	there.from = "192.168.1.30:40000"
	wants(t, here.get("/round"), 200, "")
	for _, path := range []string{"/round", "/first-owner", "/sign-in", "/farm"} {
		w := there.get(path)
		if w.Code != 403 || !strings.Contains(words1(doc(t, w)), "no owner yet") {
			t.Errorf("%s from another machine: %d", path, w.Code)
		}
	}
	wants(t, there.post("/first-owner", "name=Eve", "password="+goodPassword, "again="+goodPassword), 403, "")
	if has, _ := g.Door.HasOwner(context.Background()); has {
		t.Fatal("another machine made itself the owner")
	}
	if n := len(all(doc(t, here.get("/more")), "a[href='/first-owner']")); n != 1 {
		t.Errorf("%d ways to become the owner on the page More", n)
	}
	wants(t, here.get("/people"), 303, "/first-owner")
	w := here.post("/first-owner", "name=", "password=short", "again=short")
	if w.Code != 422 || len(all(doc(t, w), ".badsay")) != 2 {
		t.Errorf("%d", w.Code)
	}
	ana := g.owner()
	wants(t, ana.get("/people"), 200, "")
	wants(t, here.get("/round"), 303, "/sign-in")
	wants(t, here.get("/first-owner"), 403, "")
	wants(t, here.post("/first-owner", "name=Eve", "password="+goodPassword, "again="+goodPassword), 403, "")
	e := last(g.farm)
	if s, ok := e.Body.(*journal.Setting); !ok || s.Key != farm.KeyPerson+"Ana" || e.Who != "Ana" {
		t.Errorf("the journal says %+v of her", e)
	}
}

func TestSigningIn(t *testing.T) {
	g := newGated(t, nil)
	g.owner()
	b := g.browser()
	b.agent = "Mozilla/5.0 (iPhone; CPU iPhone OS 19_0 like Mac OS X)"
	w := b.get("/bin/B10?x=1")
	wants(t, w, 303, "/sign-in?to="+url.QueryEscape("/bin/B10?x=1"))
	n := doc(t, b.get(w.Header().Get("Location")))
	if value(n, "to") != "/bin/B10?x=1" || value(n, "device") != "iPhone" || len(all(n, "nav.pages a")) != 0 {
		t.Errorf("the form carries %q and the device %q", value(n, "to"), value(n, "device"))
	}
	for _, e := range all(n, "input[type=password]") {
		if attr(e, "value") != "" || attr(e, "autocomplete") != "current-password" {
			t.Error("the box for the password")
		}
	}
	w = b.post("/sign-in", "name=Ana", "password=wrong", "to=/bin/B10")
	n = doc(t, w)
	if w.Code != 422 || value(n, "name") != "Ana" || value(n, "password") != "" || !strings.Contains(textOf(n, ".wrong"), "do not fit together") {
		t.Errorf("%d %s", w.Code, textOf(n, ".wrong"))
	}
	unknown := doc(t, b.post("/sign-in", "name=Nobody", "password=wrong", "to=/bin/B10"))
	if textOf(n, ".wrong") != textOf(unknown, ".wrong") {
		t.Error("it tells which names there are")
	}
	wants(t, b.post("/sign-in", "name= ana ", "password="+goodPassword, "to=/bin/B10", "device=Pocket"), 303, "/bin/B10")
	wants(t, b.get("/bin/B10"), 200, "")
	for _, to := range []string{"https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example", "javascript:alert(1)", "/sign-in?to=/sign-in", "/x\r\nSet-Cookie: a=b", ""} {
		if w := g.browser().post("/sign-in", "name=Ana", "password="+goodPassword, "to="+to); w.Code != 303 || w.Header().Get("Location") != "/round" {
			t.Errorf("to %q it goes to %q", to, w.Header().Get("Location"))
		}
	}
}

func TestCookies(t *testing.T) {
	g := newGated(t, nil)
	g.owner()
	for scheme, prefix := range map[string]string{"http": "", "https": "__Host-"} {
		b := g.browser()
		b.scheme = scheme
		b.cookies[prefix+sessionCookie] = &http.Cookie{Name: prefix + sessionCookie, Value: strings.Repeat("A", 43)} // planted
		w := b.post("/sign-in", "name=Ana", "password="+goodPassword)
		wants(t, w, 303, "")
		for _, name := range []string{sessionCookie, deviceCookie} {
			c := b.cookies[prefix+name]
			if c == nil || c.Value == strings.Repeat("A", 43) || len(c.Value) != 43 || !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Path != "/" || c.Domain != "" || c.Secure != (scheme == "https") || c.MaxAge <= 0 {
				t.Errorf("%s: the cookie %s is %+v", scheme, name, c)
			}
		}
		wants(t, b.get("/round"), 200, "")
		if scheme == "https" { // a cookie from plain http is none of ours there
			plain := g.browser()
			plain.scheme = "https"
			plain.cookies[sessionCookie] = &http.Cookie{Name: sessionCookie, Value: b.cookies[prefix+sessionCookie].Value}
			wants(t, plain.get("/round"), 303, "/sign-in")
		}
		first := b.cookies[prefix+sessionCookie].Value
		wants(t, b.post("/sign-in", "name=Ana", "password="+goodPassword), 303, "")
		if again := b.cookies[prefix+sessionCookie].Value; again == first {
			t.Error("the token stays the same over a sign-in")
		}
		old := g.browser()
		old.scheme = scheme
		old.cookies[prefix+sessionCookie] = &http.Cookie{Name: prefix + sessionCookie, Value: first}
		wants(t, old.get("/round"), 303, "/sign-in")
		wants(t, b.post("/me/out"), 303, "/sign-in")
		if b.cookies[prefix+sessionCookie] != nil {
			t.Error("the cookie stays after signing out")
		}
		wants(t, b.get("/round"), 303, "/sign-in")
	}
}

// Who wrote an entry and on which device comes from the session, whatever the
// form or a cookie says.
func TestEntriesCarryTheSession(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	ben := g.invited(ana, "Ben", "crew")
	ben.cookies["who"] = &http.Cookie{Name: "who", Value: "owner"}
	n := doc(t, ben.get("/bin/B10/feed"))
	if len(all(n, "[name=who]")) != 0 || !strings.Contains(words1(n), "Now, by Ben") {
		t.Error("the form asks who it is")
	}
	id := value(n, "id")
	w := ben.post("/bin/B10/feed", "id="+id, "back=/bin/B10", "depth_m=1.5", "batch=41", "bins=B10", "who=Ana")
	wants(t, w, 303, "/bin/B10?said="+id)
	if e := last(g.farm); e.Who != "Ben" || e.Device != "Ben's phone" {
		t.Errorf("%s on %s", e.Who, e.Device)
	}
	wants(t, ben.post("/journal/"+id+"/strike", "why=wrong bin"), 303, "")
	if e := last(g.farm); e.Kind != "strike" || e.Who != "Ben" || e.Device != "Ben's phone" {
		t.Errorf("%+v", e)
	}
	key := url.PathEscape(lineKey(t, g.desk, "feed", ""))
	before := len(g.farm.book.entries)
	w = ben.post("/round/"+key+"/answer", "id="+g.farm.newID(g.farm.now))
	if len(g.farm.book.entries) == before {
		t.Fatalf("nothing was written: %d", w.Code)
	}
	for _, e := range g.farm.book.entries[before:] {
		if e.Who != "Ben" || e.Device != "Ben's phone" {
			t.Errorf("%s on %s", e.Who, e.Device)
		}
	}
}

// Settings are the owner's, by whatever form they come, and so is striking them.
func TestSettingsAreTheOwners(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	ben := g.invited(ana, "Ben", "crew")
	wants(t, ana.post("/farm/name", "id="+g.farm.newID(g.farm.now), "farm=Owl Slough", "units=us", "zone=America/Los_Angeles"), 303, "")
	e := last(g.farm)
	var named journal.Entry
	for _, x := range g.farm.book.entries {
		if s, ok := x.Body.(*journal.Setting); ok && s.Key == farm.KeyFarm {
			named = x
		}
	}
	if e.Who != "Ana" || e.Device != "Desk" || g.farm.State().Settings.Name != "Owl Slough" {
		t.Fatalf("%+v %s", e, g.farm.State().Settings.Name)
	}
	before := len(g.farm.book.entries)
	wants(t, ben.post("/farm/name", "farm=Mine"), 403, "")
	if w := ben.post("/journal/"+named.ID+"/strike", "why=mine"); w.Code != 422 || !strings.Contains(words1(doc(t, w)), "Only an owner") {
		t.Errorf("%d", w.Code)
	}
	if w := ben.post("/enter/setting", "id="+g.farm.newID(g.farm.now), "key=farm", `value="Mine"`); w.Code == 303 {
		t.Error("a setting came in by another form")
	}
	if len(g.farm.book.entries) != before {
		t.Errorf("%d entries were written", len(g.farm.book.entries)-before)
	}
}

// The session ends while a form is filled in: the person signs in and finds the
// form as it was typed; nothing is saved until it is sent again, and then once.
func TestAFormSurvivesTheEndOfASession(t *testing.T) {
	g := newGated(t, nil)
	b := g.owner()
	id := value(doc(t, b.get("/bin/B10/feed")), "id")
	wants(t, b.do(http.MethodPost, "/me/out"), 303, "")
	before := len(g.farm.book.entries)
	w := b.post("/bin/B10/feed", "id="+id, "back=/bin/B10", "depth_m=1.5", "batch=41", "bins=B10", "note=wet & cold 雨")
	n := doc(t, w)
	if w.Code != 401 || !strings.Contains(words1(n), "what you typed comes back") {
		t.Fatalf("%d %s", w.Code, textOf(n, "main"))
	}
	kept, to := value(n, "kept"), value(n, "to")
	w = b.post("/sign-in", "name=Ana", "password=not it", "kept="+kept, "to="+to) // a slip does not lose it
	if n = doc(t, w); w.Code != 422 || value(n, "kept") != kept {
		t.Fatalf("%d, it carries %q", w.Code, value(n, "kept"))
	}
	w = b.post("/sign-in", "name=Ana", "password="+goodPassword, "kept="+kept, "to="+to)
	if w.Code != 303 || !strings.HasPrefix(w.Header().Get("Location"), "/again/") {
		t.Fatalf("%d to %q", w.Code, w.Header().Get("Location"))
	}
	again := w.Header().Get("Location")
	for range 2 { // a reload changes nothing
		w = b.get(again)
		n = doc(t, w)
		if value(n, "depth_m") != "1.5" || value(n, "batch") != "41" || value(n, "id") != id || value(n, "note") != "wet & cold 雨" || !strings.Contains(textOf(n, ".wrong"), "send it again") {
			t.Fatalf("the form came back as %d: %s", w.Code, textOf(n, "main"))
		}
		if len(g.farm.book.entries) != before {
			t.Fatal("it was written by itself")
		}
	}
	if at := attr(all(n, "form.form")[0], "action"); at != "/bin/B10/feed" {
		t.Errorf("it goes to %q", at)
	}
	other := g.invited(b, "Ben", "crew")
	wants(t, other.get(again), 404, "") // nobody else sees it
	before = len(g.farm.book.entries)
	wants(t, b.post("/bin/B10/feed", "id="+id, "back=/bin/B10", "depth_m=1.5", "batch=41", "bins=B10", "note=wet"), 303, "")
	if len(g.farm.book.entries) != before+1 {
		t.Errorf("%d entries", len(g.farm.book.entries)-before)
	}
	g.now = g.now.Add(2 * time.Hour)
	wants(t, b.get(again), 404, "")
}

// No form that is carried writes anything when it comes back.
func TestNothingIsWrittenByComingBack(t *testing.T) {
	g := newGated(t, nil)
	b := g.owner()
	entries, asked := len(g.farm.book.entries), g.desk.asked
	for _, at := range g.gated() {
		if !carries(at) {
			continue
		}
		_, path := filled(at)
		path = strings.NewReplacer("/bin/none/none", "/bin/B10/water", "/round/none", "/round/"+url.PathEscape(lineKey(t, g.desk, "feed", "")), "/farm/none", "/farm/people", "/journal/none", "/journal/"+g.farm.book.entries[20].ID, "/pile/none/none", "/pile/rabbit%203/tend").Replace(path)
		form := url.Values{"id": {g.farm.newID(g.farm.now)}, "kg": {"5"}, "bins": {"B10"}, "batch": {"41"}, "depth_m": {"1"}, "why": {"because"}, "people": {"Zoe"}, "farm": {"Mine"}, "act": {"turned"}, "do": {"save"}, "pile": {"solids 7"}, "material": {"wood chips, hardwood"}, "volume_m3": {"2 yd3"}, "save": {"yes"}}
		id := g.kept.put(b.account(), path, form.Encode(), g.now)
		if w := b.get("/again/" + id); w.Code >= 500 {
			t.Errorf("%s comes back as %d", at, w.Code)
		}
		if n := len(g.farm.book.entries) - entries; n != 0 || g.desk.asked != asked {
			t.Fatalf("%s wrote %d entries by coming back", at, n)
		}
	}
}

func (b *browser) account() string {
	w, ok, err := b.g.Door.Who(context.Background(), b.cookies[sessionCookie].Value)
	if !ok || err != nil {
		b.g.t.Fatal(ok, err)
	}
	return w.Account.ID
}

func TestTooManyTriesAreToldInWords(t *testing.T) {
	g := newGated(t, nil)
	g.owner()
	b := g.browser()
	for range 30 {
		w := b.post("/sign-in", "name=Ana", "password=wrong")
		if w.Code == 422 {
			continue
		}
		n := doc(t, w)
		if w.Code != 429 || w.Header().Get("Retry-After") == "" || !strings.Contains(textOf(n, ".wrong"), "Too many tries. Wait ") {
			t.Errorf("%d %q %s", w.Code, w.Header().Get("Retry-After"), textOf(n, ".wrong"))
		}
		return
	}
	t.Error("thirty guesses went through")
}

// One phone, two people: the PIN changes who writes.
func TestChangeOfPerson(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	phone := g.invited(ana, "Ben", "crew")
	wants(t, phone.post("/me/pin", "old="+goodPassword, "pin=2580"), 303, "/me?pin=set")
	if w := phone.post("/me/pin", "old=wrong", "pin=1111"); w.Code != 422 || len(all(doc(t, w), ".badsay")) != 2 {
		t.Errorf("%d", w.Code)
	}
	wants(t, phone.post("/sign-in", "name=Ana", "password="+goodPassword), 303, "")
	wants(t, phone.post("/me/pin", "old="+goodPassword, "pin=7319"), 303, "")
	n := doc(t, phone.get("/switch"))
	ids := map[string]string{}
	for _, o := range all(n, "input[name=account]") {
		ids[words1(o.Parent)] = attr(o, "value")
	}
	if len(ids) != 2 {
		t.Fatalf("the phone offers %v", ids)
	}
	if w := phone.post("/switch", "account="+ids["Ben"], "pin=7319"); w.Code != 422 || !strings.Contains(textOf(doc(t, w), ".wrong"), "4 tries are left") {
		t.Errorf("%d", w.Code)
	}
	wants(t, phone.post("/switch", "account="+ids["Ben"], "pin=2580"), 303, "/round")
	if got := words1(doc(t, phone.get("/me"))); !strings.Contains(got, "You are crew, on: Ben's phone") || !strings.Contains(got, "(by PIN)") {
		t.Error(got)
	}
	wants(t, phone.post("/switch", "account="+ids["Ana"], "pin=7319"), 303, "/round")
	w := phone.get("/people") // an owner by PIN is crew
	if w.Code != 403 || !strings.Contains(words1(doc(t, w)), "needs your password") {
		t.Errorf("%d", w.Code)
	}
	n = doc(t, phone.post("/farm/people", "people=Zoe")) // and what they typed goes along
	wants(t, phone.get("/round"), 200, "")
	w = phone.post("/sign-in", "name=Ana", "password="+goodPassword, "kept="+value(n, "kept"), "to="+value(n, "to"))
	wants(t, w, 303, "")
	if n = doc(t, phone.get(w.Header().Get("Location"))); value(n, "people") != "Zoe" {
		t.Errorf("it came back as %q", value(n, "people"))
	}
	stranger := g.browser()
	if n := doc(t, stranger.get("/switch")); len(all(n, "input[name=account]")) != 0 || strings.Contains(words1(n), "Ben") {
		t.Error("a device that nobody signed in on is told who is here")
	}
	wants(t, stranger.post("/switch", "account="+ids["Ben"], "pin=2580"), 422, "")
}

func TestPeople(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	ben := g.invited(ana, "Ben", "crew")
	n := doc(t, ana.get("/people"))
	if got := words1(n); !strings.Contains(got, "Ben") || !strings.Contains(got, "Ben's phone") {
		t.Error(got)
	}
	to := func(act string) string {
		for _, f := range all(doc(t, ana.get("/people")), "form") {
			if a := attr(f, "action"); strings.HasSuffix(a, "/"+act) && strings.Contains(a, ben.account2(t, ana)) {
				return a
			}
		}
		t.Fatalf("no way to %s", act)
		return ""
	}
	wants(t, ana.post(to("role"), "role=reader"), 303, "/people")
	wants(t, ben.post("/bin/B10/feed"), 403, "")
	wants(t, ana.post(to("role"), "role=king"), 422, "")
	wants(t, ana.post(to("end")), 303, "/people?ended=1")
	wants(t, ben.get("/round"), 303, "/sign-in")
	w := ana.post(to("renew"))
	wants(t, w, 200, "")
	link, _ := url.Parse(textOf(doc(t, w), "#link .link"))
	n = doc(t, ben.get(link.RequestURI()))
	if !strings.Contains(textOf(n, "h1"), "New password for Ben") {
		t.Error(textOf(n, "h1"))
	}
	wants(t, ben.post("/join", "t="+link.Query().Get("t"), "password=a password anew", "again=a password anew"), 303, "/me?new=yes")
	w = ben.get(link.RequestURI())
	if w.Code != 410 || !strings.Contains(words1(doc(t, w)), "used up") {
		t.Errorf("%d", w.Code)
	}
	wants(t, ana.post(to("shut")), 303, "/people")
	wants(t, ben.get("/round"), 303, "/sign-in")
	wants(t, ben.post("/sign-in", "name=Ben", "password=a password anew"), 422, "")
	w = ana.post("/people/invite", "name=Ben", "role=crew")
	if w.Code != 422 || !strings.Contains(textOf(doc(t, w), ".wrong"), "has this name already") {
		t.Errorf("%d", w.Code)
	}
	reopen := ""
	for _, f := range all(doc(t, ana.get("/people")), "form") {
		if a := attr(f, "action"); strings.HasSuffix(a, "/reopen") {
			reopen = a
		}
	}
	wants(t, ana.post(reopen), 303, "/people")
	wants(t, ben.post("/sign-in", "name=Ben", "password=a password anew"), 303, "/round")
	if w := ana.post("/people/"+ana.account()+"/role", "role=crew"); w.Code != 422 || !strings.Contains(words1(doc(t, w)), "A farm needs an owner") {
		t.Errorf("%d", w.Code)
	}
	w = ana.post("/people/invite", "name=Di", "role=crew")
	hash := ""
	for _, e := range all(doc(t, ana.get("/people")), "#invited input[name=hash]") {
		hash = attr(e, "value")
	}
	link, _ = url.Parse(textOf(doc(t, w), "#link .link"))
	wants(t, ana.post("/people/withdraw", "hash="+hash), 303, "/people")
	wants(t, g.browser().get(link.RequestURI()), 410, "")
}

// account2 gives the id of Ben's account as the owner's page has it.
func (b *browser) account2(t *testing.T, by *browser) string {
	t.Helper()
	list, _, err := b.g.Door.People(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range list {
		if p.Name == "Ben" {
			return p.ID
		}
	}
	t.Fatal("no Ben")
	return ""
}

func TestOwnPassword(t *testing.T) {
	g := newGated(t, nil)
	desk := g.owner()
	phone := g.browser()
	wants(t, phone.post("/sign-in", "name=Ana", "password="+goodPassword), 303, "")
	w := desk.post("/me/password", "old=wrong", "password=short", "again=short")
	if n := doc(t, w); w.Code != 422 || len(all(n, "#password .badsay")) != 2 || value(n, "old") != "" {
		t.Errorf("%d", w.Code)
	}
	wants(t, desk.post("/me/password", "old="+goodPassword, "password=seven dry boots", "again=seven dry boots"), 303, "/me?password=set")
	wants(t, desk.get("/round"), 200, "")
	wants(t, phone.get("/round"), 303, "/sign-in")
	wants(t, phone.post("/sign-in", "name=Ana", "password=seven dry boots"), 303, "/round")
	wants(t, desk.post("/me/everywhere"), 303, "/me?ended=1")
	wants(t, phone.get("/round"), 303, "/sign-in")
}

// A script gets the same answers as JSON.
func TestScriptsAreToldInJSON(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	reader := g.invited(ana, "Cy", "reader")
	out := g.browser()
	for status, b := range map[int]*browser{401: out, 403: reader} {
		b.accept = "application/json"
		w := b.post("/bin/B10/feed", "depth_m=1")
		var said struct{ Problems []struct{ Say, Try string } }
		if err := json.Unmarshal(w.Body.Bytes(), &said); err != nil || w.Code != status || len(said.Problems) != 1 || said.Problems[0].Say == "" || said.Problems[0].Try == "" {
			t.Errorf("%d, want %d: %s", w.Code, status, w.Body)
		}
	}
}

func TestOtherSitesSendNothing(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	r := httptest.NewRequest("POST", "http://barn.local/people/invite", strings.NewReader("name=Eve&role=owner"))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	for _, c := range ana.cookies {
		r.AddCookie(c)
	}
	w := httptest.NewRecorder()
	g.ServeHTTP(w, r)
	if _, invites, _ := g.Door.People(context.Background()); w.Code != 403 || len(invites) != 0 {
		t.Errorf("%d, %d invitations", w.Code, len(invites))
	}
}

// The pages of the door say no key, forbid nothing they use, and label each box.
func TestDoorPagesAreDrawn(t *testing.T) {
	g := newGated(t, &Trust{Certificate: []byte("der"), Name: "Wormyard on shed", Fingerprint: "AA:BB", Base: "https://192.168.1.20:8484", Plain: "http://192.168.1.20:8485"})
	check := func(what string, w *httptest.ResponseRecorder) *html.Node {
		t.Helper()
		n := doc(t, w)
		x := words1(n)
		if strings.Contains(x, "«") || strings.Contains(x, "%!") {
			t.Errorf("%s says %s", what, x)
		}
		for range all(n, "[style],[onclick]") {
			t.Errorf("%s has something the policy forbids", what)
		}
		for _, e := range all(n, "input:not([type=hidden]):not([type=radio]):not([type=checkbox]),select,textarea") {
			if id := attr(e, "id"); len(all(n, "label[for='"+id+"']")) == 0 {
				t.Errorf("%s: the box %q has no label", what, attr(e, "name"))
			}
		}
		seen := map[string]bool{}
		for _, e := range all(n, "[id]") {
			if seen[attr(e, "id")] {
				t.Errorf("%s has the id %q twice", what, attr(e, "id"))
			}
			seen[attr(e, "id")] = true
		}
		if p := w.Header().Get("Content-Security-Policy"); !strings.Contains(p, "default-src 'none'") || strings.Contains(p, "unsafe") {
			t.Errorf("%s has the policy %q", what, p)
		}
		return n
	}
	b := g.browser()
	for _, path := range []string{"/first-owner", "/sign-in", "/more", "/farm", "/trust"} {
		check(path, b.get(path))
	}
	ana := g.owner()
	g.invited(ana, "Ben", "crew")
	ana.post("/people/invite", "name=Cy", "role=reader")
	ana.post("/me/pin", "old="+goodPassword, "pin=2580")
	for _, path := range []string{"/me", "/me?new=1", "/me?ended=2", "/people", "/people?ended=1", "/more", "/farm", "/switch", "/sign-in", "/trust"} {
		check(path, ana.get(path))
	}
	n := check("a link", ana.post("/people/invite", "name=Di", "role=crew"))
	if link := textOf(n, "#link .link"); !strings.HasPrefix(link, "https://192.168.1.20:8484/join?t=") || len(all(n, "figure.doorcode svg path")) != 2 || textOf(n, "#trust .link") != "http://192.168.1.20:8485" {
		t.Errorf("the link is %q", link)
	}
	check("out", b.get("/sign-in"))
	check("expired", b.post("/bin/B10/feed", "depth_m=1"))
	check("lost", b.post("/round/make"))
	check("gone", b.get("/join?t=x"))
	roles := textOf(doc(t, ana.get("/farm")), "#roles ~ dl")
	for _, want := range []string{"reader, crew and owner", "crew and owner", "invite people"} {
		if !strings.Contains(roles, want) {
			t.Errorf("the page Farm says of roles: %s", roles)
		}
	}
}

// On plain http there is trust and nothing else.
func TestPlain(t *testing.T) {
	g := newGated(t, &Trust{Certificate: []byte("der"), Name: "Wormyard on shed", Fingerprint: "AA:BB", Base: "https://192.168.1.20:8484", Plain: "http://192.168.1.20:8485"})
	g.owner()
	plain := g.Plain()
	ask := func(method, path, agent string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, "http://192.168.1.20:8485"+path, nil)
		r.Header.Set("User-Agent", agent)
		w := httptest.NewRecorder()
		plain.ServeHTTP(w, r)
		return w
	}
	for agent, title := range map[string]string{"(iPhone; x)": "iPhone and iPad", "(iPad; x)": "iPhone and iPad", "(Linux; Android 14)": "Android", "(Windows NT 10.0)": "Windows", "(Macintosh; x)": "Mac", "(X11; Linux x86_64)": "Linux, and Chrome anywhere", "": ""} {
		n := doc(t, ask("GET", "/", agent))
		if got := textOf(n, "details[open] summary"); got != title {
			t.Errorf("for %q it opens %q", agent, got)
		}
		if len(all(n, "details")) != 6 || !strings.Contains(words1(n), "AA BB") || len(all(n, "a[href='/trust/authority.crt']")) != 1 || len(all(n, "nav.pages a")) != 0 {
			t.Error("the page about trust lacks something")
		}
	}
	if w := ask("GET", "/trust/authority.crt", ""); w.Code != 200 || w.Header().Get("Content-Type") != "application/x-x509-ca-cert" || w.Body.String() != "der" {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	for _, x := range [][2]string{{"GET", "/round"}, {"GET", "/sign-in"}, {"POST", "/sign-in"}, {"GET", "/journal"}, {"POST", "/first-owner"}} {
		if w := ask(x[0], x[1], ""); w.Code != 404 && w.Code != 405 {
			t.Errorf("%s %s: %d", x[0], x[1], w.Code)
		}
	}
}

// Nothing that opens a door comes into the journal or the log.
func TestNoSecretsInJournalOrLog(t *testing.T) {
	g := newGated(t, nil)
	ana := g.owner()
	w := ana.post("/people/invite", "name=Ben", "role=crew")
	link, _ := url.Parse(textOf(doc(t, w), "#link .link"))
	ben := g.browser()
	ben.get(link.RequestURI())
	ben.post("/join", "t="+link.Query().Get("t"), "password="+goodPassword, "again="+goodPassword)
	ben.post("/me/pin", "old="+goodPassword, "pin=25807314")
	ben.post("/sign-in", "name=Ben", "password=a wrong secret")
	g.Figures = nil
	ben.get("/working")
	var text strings.Builder
	text.WriteString(g.log.String())
	for i := range g.farm.book.entries {
		text.Write(g.farm.book.entries[i].AppendContent(nil))
	}
	for _, secret := range []string{goodPassword, "a wrong secret", "25807314", link.Query().Get("t"), ana.cookies[sessionCookie].Value, ana.cookies[deviceCookie].Value, "argon2id", people.Fold("three wet")} {
		if strings.Contains(text.String(), secret) {
			t.Errorf("%q is in the journal or the log", secret)
		}
	}
}
