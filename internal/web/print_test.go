package web

import (
	"bytes"
	"context"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	printer "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"wormyard/internal/app"
	"wormyard/twin"
)

// Past implements Pasts for the sample farm.
func (d *desk) Past(context.Context) (*app.Past, error) {
	p := &app.Past{Made: sampleNow}
	for i := 20; i > 0; i-- {
		day := sampleNow.AddDate(0, 0, -i)
		p.Days = append(p.Days, app.PastDay{Day: day, Beds: 60, Worms: twin.Range{Low: 300, Mid: 400 + float64(i), High: 500}, EatenKg: 90, MadeKg: 12})
	}
	air := app.PastAir{Barn: "1", From: sampleNow.AddDate(0, 0, -20)}
	for range 20 {
		air.LowC, air.Mean, air.High = append(air.LowC, 3), append(air.Mean, 7), append(air.High, 11)
	}
	p.Air = []app.PastAir{air}
	for i := 6; i > 0; i-- {
		p.Weeks = append(p.Weeks, app.PastWeek{From: sampleNow.AddDate(0, 0, -7*i), Minutes: 900})
	}
	return p, nil
}

// TestPagesOnPaper prints pages as a person does, to letter paper, and reads
// what came out with poppler: the words are there, nothing stands over the
// edge, what is pressed stays away, and there are as many sheets as one would
// carry.
func TestPagesOnPaper(t *testing.T) {
	needChromium(t)
	for _, tool := range []string{"pdftotext", "pdfinfo", "pdftoppm"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip(tool + " is not here; ./check installs poppler-utils")
		}
	}
	s, _, _ := sample(t)
	srv := httptest.NewServer(s)
	defer srv.Close()
	ctx, cancel := newProfile(t)
	defer cancel()
	folder := t.TempDir()
	for _, x := range []struct {
		name, path string
		sheets     int // at most
		words      []string
		not        []string // buttons and other pages
	}{
		{"sheet", "/round/print", 6, []string{"Heron Slough, printed", "Feed 1½ in"}, []string{"Type a ticked sheet back"}},
		{"bin", "/bin/B12", 3, []string{"Heron Slough, printed", "Three weeks back, two ahead", "warmest", "fed"}, []string{"Row 3, seen from the aisle", "Layer by layer"}},
		{"farm", "/farm", 6, []string{"Heron Slough, printed", "How the farm has been", "Worms in all beds", "Hours of work a week"}, []string{"Save"}},
		{"moves", "/moves/print", 5, []string{"Heron Slough, Truck moves", "Gloves, and wash before you eat", "28. "}, []string{"Set down", "Find the lifts", "More bins"}},
		{"mix", "/mix?from=41", 5, []string{"Heron Slough, printed", "rabbit 3"}, []string{"See what it makes"}},
	} {
		if err := chromedp.Do(ctx, chromedp.Navigate(srv.URL+x.path)); err != nil {
			t.Fatal(err)
		}
		got, err := chromedp.Call(ctx, printer.PrintToPDF, printer.PrintToPDFParams{PreferCSSPageSize: new(true)})
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(folder, x.name+".pdf")
		if err := os.WriteFile(file, got.Data, 0o644); err != nil {
			t.Fatal(err)
		}
		if to := os.Getenv("WORMYARD_PRINTS"); to != "" { // to look at
			_ = os.WriteFile(filepath.Join(to, x.name+".pdf"), got.Data, 0o644)
		}
		run := func(tool string, more ...string) string {
			out, err := exec.Command(tool, more...).Output()
			if err != nil {
				t.Fatal(tool, err)
			}
			return string(out)
		}
		text := strings.Join(strings.Fields(run("pdftotext", "-layout", file, "-")), " ")
		text = strings.ReplaceAll(text, "\u2011", "-")
		for _, w := range x.words {
			if !strings.Contains(text, w) {
				t.Errorf("%s on paper does not say %q", x.name, w)
			}
		}
		for _, w := range x.not {
			if strings.Contains(text, w) {
				t.Errorf("%s on paper says %q, which is for the screen", x.name, w)
			}
		}
		m := regexp.MustCompile(`Pages: +(\d+)`).FindStringSubmatch(run("pdfinfo", file))
		if m == nil {
			t.Fatalf("%s: pdfinfo tells no pages", x.name)
		}
		if n, _ := strconv.Atoi(m[1]); n < 1 || n > x.sheets {
			t.Errorf("%s takes %d sheets, at most %d", x.name, n, x.sheets)
		}
		whitePaper(t, x.name, run("pdftoppm", "-r", "40", "-gray", file))
	}
}

// whitePaper demands of each page, in grey, that something is on it, that the
// margins are white, and that most of it is (a black page empties a printer).
func whitePaper(t *testing.T, name, pages string) {
	t.Helper()
	data := []byte(pages)
	n := 0
	for len(data) > 0 {
		n++
		var w, h int
		head := 0
		for line := 0; line < 3; line++ { // P5, size, 255
			end := bytes.IndexByte(data[head:], '\n')
			if end < 0 {
				t.Fatalf("%s: page %d has no head", name, n)
			}
			f := strings.Fields(string(data[head : head+end]))
			if line == 1 && len(f) == 2 {
				w, _ = strconv.Atoi(f[0])
				h, _ = strconv.Atoi(f[1])
			}
			head += end + 1
		}
		if w == 0 || len(data) < head+w*h {
			t.Fatalf("%s: page %d cannot be read", name, n)
		}
		ink, edge := 0, 0
		for y := range h {
			for x := range w {
				if data[head+y*w+x] > 200 {
					continue
				}
				ink++
				if x < w/50 || x >= w-w/50 {
					edge++
				}
			}
		}
		if ink == 0 {
			t.Errorf("%s: page %d is empty", name, n)
		}
		if edge > 0 {
			t.Errorf("%s: page %d reaches over the edge of the paper", name, n)
		}
		if ink > w*h/4 {
			t.Errorf("%s: a quarter of page %d is dark", name, n)
		}
		data = data[head+w*h:]
	}
}

// TestPictureOverTime reads days off a picture by keys, as a person does who
// does not use a pointer, and sees that nothing on the page moves when the
// canvas takes the drawing's place.
func TestPictureOverTime(t *testing.T) {
	needChromium(t)
	s, _, _ := sample(t)
	srv := httptest.NewServer(s)
	defer srv.Close()
	p := newPhone(t, nil)
	if err := chromedp.Do(p.ctx, chromedp.Navigate(srv.URL+"/bin/B12")); err != nil {
		t.Fatal(err)
	}
	p.until(`!!document.querySelector("time-chart.drawn canvas")`)
	if got := p.eval(`(()=>{const s=document.querySelector("time-chart svg").getBoundingClientRect(),b=document.querySelector(".timebox").getBoundingClientRect();return s.width===b.width&&Math.abs(s.height-b.height)<1})()`); got != "true" {
		t.Error("the canvas is not as large as the drawing")
	}
	p.eval(`document.querySelector(".timebox").focus()`)
	p.press(kb.End)
	last := p.eval(`document.querySelector(".timebox").getAttribute("aria-valuetext")`)
	if said := p.eval(`document.querySelector(".timesaid").textContent`); said != last || !strings.Contains(last, "°F") {
		t.Errorf("the last day is told as %q and written as %q", last, said)
	}
	rows := p.eval(`document.querySelectorAll(".times+details tbody tr").length`)
	if most := p.eval(`String(Number(document.querySelector(".timebox").getAttribute("aria-valuenow"))+1)`); most != rows {
		t.Errorf("the picture ends at day %s, the table has %s", most, rows)
	}
}
