package web

import (
	"bytes"
	"context"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"wormyard/internal/app"
	"wormyard/journal"
)

// badText is what is typed into every box of a form in turn: an unreadable
// text, a number that cannot be, one that is huge, and a name nobody knows.
var badText = []string{"xyzzy qwop", "-7", "99999999", ""}

// formsOf gives the forms of a page that a person fills in, each with its address.
func formsOf(n *html.Node) map[string]*html.Node {
	out := map[string]*html.Node{}
	for _, f := range all(n, "form[method=post]") {
		to := attr(f, "action")
		if to != "/choose" && to != "/round/make" && len(all(f, "input:not([type=hidden]),select,textarea")) > 0 && len(all(f, "input[type=file]")) == 0 {
			out[to] = f
		}
	}
	return out
}

// filledWith gives what a form sends when every box that takes text holds the
// same: the first of each choice, and what is hidden as it is.
func filledWith(f *html.Node, text string) url.Values {
	v := url.Values{}
	for _, e := range all(f, "input,select,textarea") {
		name := attr(e, "name")
		switch kind := attr(e, "type"); {
		case name == "" || kind == "submit" || name == "yes":
		case e.Data == "select":
			if o := all(e, "option"); len(o) > 0 {
				v.Add(name, attr(o[len(o)-1], "value"))
			}
		case kind == "radio" || kind == "checkbox":
			if !v.Has(name) && text != "" {
				v.Set(name, attr(e, "value"))
			}
		case kind == "hidden":
			v.Add(name, attr(e, "value"))
		default:
			v.Add(name, text)
		}
	}
	for _, b := range all(f, "button[name]") {
		if v.Get(attr(b, "name")) == "" && attr(b, "name") != "yes" {
			v.Set(attr(b, "name"), attr(b, "value"))
		}
	}
	return v
}

// sendSpanish posts a form as a browser that asks for Spanish.
func sendSpanish(s http.Handler, to string, v url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", to, strings.NewReader(v.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Accept-Language", "es-MX")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// TestEveryFormRefusesInSpanish fills every form of the farm, kind by kind and
// page by page, with what cannot be, and reads what comes back.
func TestEveryFormRefusesInSpanish(t *testing.T) {
	s, _, d := sample(t)
	pages := []string{"/start"}
	for _, k := range journal.Kinds() {
		pages = append(pages, "/enter/"+url.PathEscape(k.Name))
	}
	for path := range everyPage(t, d) {
		pages = append(pages, path)
	}
	slices.Sort(pages)
	done, refused, seen := map[string]bool{}, 0, map[string]bool{}
	for _, path := range pages {
		w := get(t, s, path, "lang=es")
		if w.Code != http.StatusOK {
			continue
		}
		for to, f := range formsOf(doc(t, w)) {
			if done[to] {
				continue
			}
			done[to] = true
			for _, text := range badText {
				v := filledWith(f, text)
				w := sendSpanish(s, to, v)
				if w.Code < 400 && w.Code != http.StatusOK {
					continue // taken: nothing was wrong with it
				}
				if w.Code >= 500 {
					t.Errorf("%s with %q fails: %d", to, v, w.Code)
				}
				refused++
				for _, x := range readsEnglish(shown(doc(t, w))) {
					if !seen[x] {
						seen[x] = true
						t.Errorf("%s with %q: %q", to, text, x)
					}
				}
			}
		}
	}
	if len(done) < 40 || refused < 100 {
		t.Errorf("only %d forms were filled in and %d refused", len(done), refused)
	}
}

// TestBeforeTheDoorOneChoosesALanguage takes Spanish on each page that is seen
// without signing in, and comes back to the same page.
func TestBeforeTheDoorOneChoosesALanguage(t *testing.T) {
	g := newGated(t, nil)
	g.owner()
	for _, path := range []string{"/sign-in", "/sign-in?to=%2Fround", "/join?key=none", "/nowhere"} {
		b := g.browser()
		w := b.get(path)
		if w.Code == http.StatusSeeOther {
			path = w.Header().Get("Location")
			w = b.get(path)
		}
		n := doc(t, w)
		if got := attr(all(n, "html")[0], "lang"); got != "en" {
			t.Errorf("%s speaks %q to begin with", path, got)
		}
		e := all(n, "form[action='/choose'] button[value=es]")
		if len(e) != 1 || attr(e[0], "lang") != "es" || words1(e[0]) != "Español" {
			t.Fatalf("%s offers no Spanish", path)
		}
		back := attr(all(n, "form[action='/choose'] input[name=back]")[0], "value")
		w = b.post("/choose", "lang=es", "back="+back)
		wants(t, w, http.StatusSeeOther, path)
		n = doc(t, b.get(path))
		if got := attr(all(n, "html")[0], "lang"); got != "es-US" {
			t.Errorf("%s speaks %q when Spanish was chosen", path, got)
		}
		if bad := readsEnglish(shown(n)); len(bad) > 0 {
			t.Errorf("%s is in English: %q", path, bad)
		}
	}
}

// TestASheetIsReadInSpanish sends files that cannot be, and reads what is said
// of their rows and cells.
func TestASheetIsReadInSpanish(t *testing.T) {
	a, store, err := app.OpenFile(context.Background(), filepath.Join(t.TempDir(), "farm.wormyard"), func() time.Time { return sampleNow })
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	s, err := New(Config{Farm: a, Import: a, NewID: func(time.Time) string { return "1" }})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for name, text := range map[string]string{
		"cells.csv": "Act,Date,Time,Bin,How much,Mix,Zzzzzzzz\nfed,2026-02-30,,A1,2 in,41,red\nfed,soon,7:99,A1,2,41,\nfed,3/4/26,,A1 to A3,1.250 in,41,\nflown,2026-03-01,,A1,,,\nreading,2026-03-01,,North/1/2/3,400 F,,\n",
		"head.csv":  "a,b,c\n1,2,3\n", "kinds.csv": "Date,Bin,Temp F\n2026-03-01,A1,68\n", "days.csv": "Act,Bin,Temp F\nreading,A1,68\n", "empty.csv": "\n",
		"quote.csv": "What,Date,Bin\nfed,\"2026-03-01,A1\n", "one.json": "{\"entries\":[1]}", "cut.json": "[{\"kind\":", "book.xlsx": "no workbook", "none.json": "{}",
	} {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		part, err := m.CreateFormFile("file", name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := part.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if err := m.Close(); err != nil {
			t.Fatal(err)
		}
		r := httptest.NewRequest("POST", "/import", &b)
		r.Header.Set("Content-Type", m.FormDataContentType())
		r.Header.Set("Sec-Fetch-Site", "same-origin")
		r.Header.Set("Accept-Language", "es-MX")
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		n := doc(t, w)
		if len(all(n, ".wrong, .wide td")) == 0 {
			t.Errorf("nothing is said of %s: %d", name, w.Code)
		}
		for _, e := range all(n, "details table") { // what headers may be called
			e.Parent.RemoveChild(e)
		}
		for _, x := range shown(n) {
			if strings.Contains(x, "wormyard-import") {
				t.Errorf("%s is called by where it lies: %q", name, x)
			}
		}
		for _, x := range readsEnglish(shown(n)) {
			t.Errorf("%s: %q", name, x)
		}
	}
}
