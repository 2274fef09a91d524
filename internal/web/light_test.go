package web

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"slices"
	"testing"

	"golang.org/x/net/html"
)

// mostBytes is what a page may weigh on a first visit, packed as it is sent,
// with its style sheet, its scripts, the scripts that those load at once, and
// its icon.
const mostBytes = 100_000

var loadedAtOnce = regexp.MustCompile(`(?:from|import)\s*"(\./[^"]+\.js)"`)

// TestEveryPageIsLight weighs each page of the sample farm, or those of a farm
// that is open already (WORMYARD_ADDR), which it then lists.
func TestEveryPageIsLight(t *testing.T) {
	s, _, d := sample(t)
	base, paths := os.Getenv("WORMYARD_ADDR"), []string{"/start"}
	if base == "" {
		srv := httptest.NewServer(s)
		defer srv.Close()
		base = srv.URL
		for path := range everyPage(t, d) {
			paths = append(paths, path)
		}
	} else {
		for _, x := range shotsOf(t, base) {
			paths = append(paths, x.path)
		}
	}
	slices.Sort(paths)
	files := map[string]sent{}
	for _, path := range slices.Compact(paths) {
		w := weigh(t, base, path, files)
		if w.all() > mostBytes {
			t.Errorf("%s weighs %d bytes on a first visit, of which %d are the page; %d is the most", path, w.all(), w.page, mostBytes)
		}
		if w.scripts == 0 {
			t.Errorf("%s loads no script: nothing was weighed", path)
		}
		t.Logf("%-60s %4.1f kB: page %4.1f, style %4.1f, scripts %4.1f", path, float64(w.all())/1e3, float64(w.page)/1e3, float64(w.style)/1e3, float64(w.scripts)/1e3)
	}
}

type weight struct{ page, style, scripts, icon int }

func (w weight) all() int { return w.page + w.style + w.scripts + w.icon }

// weigh gets a page and what it links as a browser does that has nothing of it
// yet. Files met before are in files and count again without being fetched.
func weigh(t *testing.T, base, path string, files map[string]sent) weight {
	t.Helper()
	body := fetched(t, base+path)
	w := weight{page: body.packed}
	doc, err := html.Parse(bytes.NewReader(body.plain))
	if err != nil {
		t.Fatal(err)
	}
	file := func(at string) sent {
		if _, ok := files[at]; !ok {
			files[at] = fetched(t, at)
		}
		return files[at]
	}
	seen := map[string]bool{}
	var script func(at string) int
	script = func(at string) int {
		if seen[at] {
			return 0
		}
		seen[at] = true
		f := file(at)
		sum := f.packed
		for _, m := range loadedAtOnce.FindAllSubmatch(f.plain, -1) {
			sum += script(beside(t, at, string(m[1])))
		}
		return sum
	}
	for _, e := range all(doc, "link[rel=stylesheet]") {
		w.style += file(beside(t, base+path, attr(e, "href"))).packed
	}
	for _, e := range all(doc, "script[src]") {
		w.scripts += script(beside(t, base+path, attr(e, "src")))
	}
	for _, e := range all(doc, "link[rel=icon]") {
		w.icon += file(beside(t, base+path, attr(e, "href"))).packed
	}
	return w
}

func beside(t *testing.T, at, to string) string {
	t.Helper()
	u, err := url.Parse(at)
	if err != nil {
		t.Fatal(err)
	}
	if u, err = u.Parse(to); err != nil {
		t.Fatal(err)
	}
	return u.String()
}

// sent is what an address answered, and how many bytes went over the line.
type sent struct {
	plain  []byte
	packed int
}

func fetched(t *testing.T, at string) sent {
	t.Helper()
	ask, err := http.NewRequestWithContext(t.Context(), http.MethodGet, at, nil)
	if err != nil {
		t.Fatal(err)
	}
	ask.Header.Set("Accept-Encoding", "gzip") // asked for by hand, so that it comes packed
	r, err := http.DefaultClient.Do(ask)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = r.Body.Close() }()
	raw, err := io.ReadAll(r.Body)
	if err != nil || r.StatusCode >= http.StatusInternalServerError {
		t.Fatalf("%s: %s %v", at, r.Status, err)
	}
	if r.Header.Get("Content-Encoding") != "gzip" {
		return sent{raw, len(raw)}
	}
	z, err := gzip.NewReader(bytes.NewReader(raw))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return sent{plain, len(raw)}
}
