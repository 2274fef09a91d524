package web

import (
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// englishWord is words that English sentences can hardly do without and Spanish
// ones have not.
var englishWord = regexp.MustCompile(`(?i)\b(?:the|of|and|is|are|with|this|that|which|from|was|were|has|have|than|it|been|there|what|when|not|must|than|between|about|give|type|choose|look)\b`)

// typedText is what people of the sample farm typed, titles of sources, and what is to be typed in
// English since it is matched letter by letter.
var typedText = regexp.MustCompile(`(?i)\w* ?mites on the lid|wrong bin, it was B2|^Fuentes: .*|.*, texto (?:solo recordado|leído); hay que leerlo otra vez antes.*|"[^"]*"|«[^»]*»|rabbit manure with bedding|^kind: look\.|What \(qué\)|of \(de qué\)|\(zip: [^)]*\)|\bwhat, of y value\b`)

// readsEnglish gives the texts of a page in which an English word stands.
func readsEnglish(texts []string) []string {
	var out []string
	for _, x := range texts {
		if englishWord.MatchString(typedText.ReplaceAllString(x, "")) {
			out = append(out, x)
		}
	}
	return out
}

// notTold are pages whose texts are partly English for a reason: equations stand
// with their names in the core.
var notTold = []string{"/working"}

// TestCrawlInSpanish reads every page of the sample farm and finds no English
// sentence, whoever made it.
func TestCrawlInSpanish(t *testing.T) {
	s, _, d := sample(t)
	seen := map[string]bool{}
	for path := range everyPage(t, d) {
		skip := false
		for _, x := range notTold {
			skip = skip || strings.HasPrefix(path, x)
		}
		if skip {
			continue
		}
		n := doc(t, get(t, s, path, "lang=es"))
		for _, e := range all(n, "details section.part, details details table") { // equations stand with their names in the core, headers as they are matched
			e.Parent.RemoveChild(e)
		}
		for _, x := range readsEnglish(shown(n)) {
			if !seen[x] {
				seen[x] = true
				t.Errorf("%s is in English: %q", path, x)
			}
		}
	}
	if n := len(readsEnglish(shown(doc(t, get(t, s, "/yard/pile/solids%207", "lang=en"))))); n < 3 {
		t.Errorf("only %d English texts are found on an English page", n)
	}
}

// TestRefusedInSpanish sends forms that are refused or doubtful.
func TestRefusedInSpanish(t *testing.T) {
	s, _, _ := sample(t)
	for _, x := range []struct{ path, form string }{
		{"/bin/B10/feed", "depth_m=40+in&batch=41"},
		{"/bin/B10/feed", "depth_m=&batch=nobody"},
		{"/bin/B10/water", "kg=3+buckets"},
		{"/bin/B10/water", "kg=lots"},
		{"/bin/B10/reading", "temp_c=400+F"},
		{"/bin/B10/reading", "temp_c=hot"},
		{"/bin/B10/depth", "depth_m=5"},
		{"/bin/B10/depth", "depth_m=-5"},
		{"/enter/feed", "bins=B999&depth_m=2&batch=41"},
		{"/enter/feed", "bins=&depth_m=2&batch=41"},
		{"/enter/harvest", "bins=B10&mass_kg_wet=1000000"},
		{"/enter/move", "bin=B10&to=nowhere%2F1"},
		{"/enter/stock", "bins=B10&kg=900"},
		{"/enter/site", "place=moon&low_c=200&high_c=20"},
		{"/yard/receive", "pile=&material=rabit&volume_m3=3"},
	} {
		v, err := url.ParseQuery(x.form)
		if err != nil {
			t.Fatal(err)
		}
		r := httptest.NewRequest("POST", x.path, strings.NewReader(v.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Accept-Language", "es-MX")
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		n := doc(t, w)
		if len(all(n, ".wrong li, .doubt li")) == 0 {
			t.Errorf("%s with %s is not refused: %d", x.path, x.form, w.Code)
		}
		for _, e := range all(n, ".wrong, .doubt, .badsay") {
			for _, text := range readsEnglish(shown(e)) {
				t.Errorf("%s with %s: %q", x.path, x.form, text)
			}
		}
	}
}
