package web

import (
	"bytes"
	"encoding/json"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	screen "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"wormyard/internal/app"
	"wormyard/journal"
)

// labelForm is what the form of labels sends, with changes "key=value".
func labelForm(changes ...string) []string {
	v := map[string]string{"size": "1 ft3", "number": "3", "from": "1", "paper": "4x6", "product": "Worm castings", "code": "text", "base": "http://192.168.1.20:8484", "lang": "en"}
	for _, c := range changes {
		k, x, _ := strings.Cut(c, "=")
		v[k] = x
	}
	var out []string
	for k, x := range v {
		out = append(out, k+"="+x)
	}
	return out
}

// pdfText reads the text of an answer that must be a PDF.
func pdfText(t *testing.T, w *httptest.ResponseRecorder) string {
	t.Helper()
	if w.Code != 200 || !bytes.HasPrefix(w.Body.Bytes(), []byte("%PDF")) {
		t.Fatalf("no PDF but %d: %s", w.Code, textOf(doc(t, w), "main"))
	}
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not here; ./check installs poppler-utils")
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(file, w.Body.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(string(out)), " ")
}

// released is withLot with the lot tested and released under a rule.
func released(t *testing.T, rule string) *Server {
	t.Helper()
	s := withLot(t)
	write(t, s, journal.Entry{Kind: "assay", Body: &journal.Assay{Subject: "lot L 1", Analyte: "water_frac_wet", Value: 0.48, Laboratory: "County Lab"}},
		journal.Entry{Kind: "assay", Body: &journal.Assay{Subject: "lot L 1", Analyte: "nitrogen_frac_dry", Value: 0.015}},
		journal.Entry{Kind: "release", Body: &journal.Release{Lot: "L 1", Rule: rule, By: "owner"}})
	return s
}

func write(t *testing.T, s *Server, entries ...journal.Entry) {
	t.Helper()
	at := s.Farm.Now().Add(-time.Hour)
	for _, e := range entries {
		if e.At.IsZero() {
			e.At, at = at, at.Add(time.Minute)
		}
		e.ID, e.Who = s.NewID(e.At), "owner"
		if ack, err := s.Farm.Record(t.Context(), e, true); err != nil || !ack.Saved {
			t.Fatalf("%s: %v %v", e.Kind, err, ack.Problems)
		}
	}
}

// The net contents of the bags are 1 ft³, exactly 28.316846592 L; 28.3 L of three
// figures. Shares are those of the two beds, and the mass is 500 kg/m³, weighed and
// measured of one harvest: 14.158 kg or 31.2 lb, of which two figures are said.
func TestLabelsOfALot(t *testing.T) {
	s := released(t, "farm house rule")
	w := post(t, s, "/lot/L%201/labels", labelForm("tests=water_frac_wet")...)
	text := pdfText(t, w)
	for _, want := range []string{"Worm castings", "Lot L 1", "NET 1 ft³ (28.3 L)", "about 31 lb (14 kg) when packed", "Bag 1", "Bag 3", "Packed", "Made from", "Moisture 48 % as it lies", "County Lab", "Not to be eaten", "Check " + app.LotMark(s.Farm.State(), "L 1")} {
		if !strings.Contains(text, want) {
			t.Errorf("the labels do not say %q: %s", want, text)
		}
	}
	for _, never := range []string{"HELD", "Nitrogen", "organic", "pathogen", "pest", "sanit", "Bag 4"} {
		if strings.Contains(text, never) {
			t.Errorf("the labels say %q: %s", never, text)
		}
	}
	if again := post(t, s, "/lot/L%201/labels", labelForm("tests=water_frac_wet")...); !bytes.Equal(again.Body.Bytes(), w.Body.Bytes()) {
		t.Error("the same labels gave other bytes")
	}
	if text := pdfText(t, post(t, s, "/lot/L%201/labels", labelForm("lang=es", "mass=40 lb")...)); !strings.Contains(text, "CONT. NETO 1 ft³ (28.3 L)") || !strings.Contains(text, "pesó 40 lb (18.1 kg) al envasar") || !strings.Contains(text, "Lote L 1") {
		t.Errorf("the labels in Spanish: %s", text)
	}
}

// A lot that is not released, or is on hold again, says so across its labels and in
// no words that it is released.
func TestLabelsOfAHeldLot(t *testing.T) {
	s := withLot(t)
	if text := pdfText(t, post(t, s, "/lot/L%201/labels", labelForm()...)); strings.Count(text, "HELD: NOT FOR SALE") != 3 || strings.Contains(strings.ToLower(text), "released") {
		t.Errorf("labels of a lot that is not released: %s", text)
	}
	if page := saidOn(t, s, "/lot/L%201/labels"); !strings.Contains(page, "This lot is not released") {
		t.Errorf("the page: %s", page)
	}
	s = released(t, "farm house rule")
	if text := pdfText(t, post(t, s, "/lot/L%201/labels", labelForm()...)); strings.Contains(text, "HELD") {
		t.Errorf("labels of a released lot: %s", text)
	}
	write(t, s, journal.Entry{Kind: "hold", At: s.Farm.Now(), Body: &journal.Hold{Lot: "L 1", Why: "a customer saw mold"}})
	if text := pdfText(t, post(t, s, "/lot/L%201/labels", labelForm()...)); strings.Count(text, "HELD: NOT FOR SALE") != 3 {
		t.Errorf("labels of a lot on hold again: %s", text)
	}
}

// What may not stand on a label is refused, what needs proof is asked about, and all
// that is wrong is told at once with what was typed kept.
func TestLabelsRefused(t *testing.T) {
	s := released(t, "farm house rule")
	for _, c := range []struct {
		change []string
		say    []string
	}{
		{[]string{"number=0"}, []string{`"0" is no number of labels`, "1 or more"}},
		{[]string{"number=-3"}, []string{"is no number of labels"}},
		{[]string{"number=100,000"}, []string{"100,000 labels are too many", "2,000"}},
		{[]string{"number=many", "size=", "paper=letter7", "product="}, []string{"is no number of labels", "Choose one of the list", "does not say what is in the bag"}},
		{[]string{"size=3 lb"}, []string{"lb"}},
		{[]string{"size=0 L"}, []string{"cannot be printed"}},
		{[]string{"own=Kills pests and prevents disease."}, []string{"kills pests", "prevents disease", "registered"}},
		{[]string{"product=Disease suppressive castings"}, []string{"disease suppressive"}},
		{[]string{"own=Full of beneficial microbes"}, []string{"beneficial microbes", "Yes, that is right"}},
		{[]string{"own=1-0-0"}, []string{"fertiliser"}},
		{[]string{"tests=nitrogen_frac_dry"}, []string{"Nitrogen on a label makes the bag a fertilizer"}},
		{[]string{"goods=4006381333932"}, []string{"the last figure is 2; by the others it would be 1"}},
		{[]string{"goods=12345"}, []string{"is no number of goods"}},
		{[]string{"own=蚯蚓粪"}, []string{"The letters 蚯蚓粪 cannot be printed"}},
		{[]string{"code=page", "base=barn"}, []string{"is not an address"}},
		{[]string{"paper=3x2", "own=" + strings.Repeat("many words here ", 60)}, []string{"do not fit that label"}},
	} {
		w := post(t, s, "/lot/L%201/labels", labelForm(c.change...)...)
		page := textOf(doc(t, w), "main")
		if w.Code != 422 {
			t.Errorf("%v gives %d", c.change, w.Code)
		}
		for _, say := range c.say {
			if !strings.Contains(page, say) {
				t.Errorf("%v does not say %q: %s", c.change, say, page)
			}
		}
		for _, x := range c.change {
			if k, v, _ := strings.Cut(x, "="); k == "own" && v != "" && !strings.Contains(page, strings.TrimSpace(v)) {
				t.Errorf("%q was typed and is lost", v)
			}
		}
	}
	if w := get(t, s, "/lot/none/labels"); w.Code != 404 {
		t.Errorf("labels of a lot that is not there give %d", w.Code)
	}
	// A claim that is asked about goes through after a yes to just that.
	n := doc(t, post(t, s, "/lot/L%201/labels", labelForm("own=Full of beneficial microbes")...))
	yes := attr(all(n, "button[name=yes]")[0], "value")
	if text := pdfText(t, post(t, s, "/lot/L%201/labels", labelForm("own=Full of beneficial microbes", "yes="+yes)...)); !strings.Contains(text, "beneficial microbes") {
		t.Errorf("after the yes: %s", text)
	}
	if w := post(t, s, "/lot/L%201/labels", labelForm("own=Full of beneficial microbes, kills pests", "yes="+yes)...); w.Code != 422 {
		t.Error("the yes to one claim lets another through")
	}
}

// A number of twelve figures, as printed in North America, is taken with the zero
// that stands before it: 036000291452, whose check digit is Q9.2.
func TestNumberOfGoods(t *testing.T) {
	s := released(t, "farm house rule")
	if text := pdfText(t, post(t, s, "/lot/L%201/labels", labelForm("goods=0 36000 29145 2")...)); !strings.Contains(text, "0036000291452") {
		t.Errorf("the bars: %s", text)
	}
}

// The code on a label opens the lot, and no other.
func TestLotLabelOpens(t *testing.T) {
	s := withLot(t)
	mark := app.LotMark(s.Farm.State(), "L 1")
	for _, c := range []struct {
		path, to, say string
		code          int
	}{
		{"/l/" + url.PathEscape("L 1") + "/" + mark, "/lot/L%201", "", 303},
		{"/L/" + url.PathEscape("L 1") + "/" + strings.ToLower(mark), "/lot/L%201", "", 303},
		{"/l/" + url.PathEscape("L 2") + "/" + mark, "", "do not fit its name", 404},
		{"/l/" + url.PathEscape("L 1") + "/" + "22222", "", "", 404},
	} {
		w := get(t, s, c.path)
		if w.Code != c.code || w.Header().Get("Location") != c.to || c.say != "" && !strings.Contains(textOf(doc(t, w), "main"), c.say) {
			t.Errorf("%s gives %d to %q", c.path, w.Code, w.Header().Get("Location"))
		}
	}
}

// Every claim of the list is told in Spanish.
func TestClaimsInSpanish(t *testing.T) {
	s := released(t, "farm house rule")
	for _, own := range []string{"mata plagas", "previene enfermedades", "estéril", "micorrizas", "libre de malezas", "sin lombrices", "orgánico", "fertilizante", "garantizado", "1-0-0"} {
		r := httptest.NewRequest("POST", "/lot/L%201/labels", strings.NewReader(url.Values{"size": {"25 L"}, "number": {"2"}, "from": {"1"}, "paper": {"4x6"}, "product": {"Humus"}, "own": {own}, "lang": {"es"}}.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Accept-Language", "es")
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		n := doc(t, w)
		if w.Code != 422 || !strings.Contains(textOf(n, "main"), own) {
			t.Errorf("%s: %d", own, w.Code)
		}
		for _, x := range readsEnglish(shown(n)) {
			t.Errorf("%s: %q", own, x)
		}
	}
}

// The page breaks no rule of WCAG 2.2 AA that a program sees, and is whole with
// letters twice as large; a refused form likewise.
func TestLabelsPageForEveryReader(t *testing.T) {
	needChromium(t)
	t.Parallel()
	at := newSignal(t, released(t, "farm house rule"))
	p := newPhone(t, at)
	t.Run("pages", func(t *testing.T) { walkAxe(t, at, []string{"/lot/L%201/labels", "/lot/L%201"}, p) })
	p.open("/lot/L%201/labels")
	p.eval("(document.querySelector('input[name=number]').value='0',document.querySelector('textarea[name=own]').value='kills pests',document.querySelector('main form.form').submit(),1)")
	p.until("document.querySelector('.wrong')")
	found, _ := p.axe(axeRules)
	for _, v := range found {
		t.Errorf("a refused form: %s %s", v.Help, v.Nodes)
	}
	p = newPhone(t, at) // the other one was made a desk
	if _, err := chromedp.Call(p.ctx, screen.SetFontSizes, screen.SetFontSizesParams{FontSizes: &screen.FontSizes{Standard: 32, Fixed: 26}}); err != nil {
		t.Fatal(err)
	}
	p.open("/lot/L%201/labels")
	p.until("document.readyState==='complete'")
	var cut []string
	if err := json.Unmarshal([]byte(p.eval(cutJS)), &cut); err != nil {
		t.Fatal(err)
	}
	for _, x := range cut {
		t.Error(x)
	}
}
