package web

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"wormyard/internal/app"
	"wormyard/internal/highs"
	"wormyard/internal/people"
)

// sawyer solves cut lists in tests; it starts with the first bin.
var sawyer = sync.OnceValue(func() *highs.Solver {
	dir := highs.CacheDir()
	return highs.Open(highs.Options{CacheDir: dir, Interpret: !highs.Cached(dir)})
})

func workshopOf(t testing.TB, m *app.Mixer) *app.Workshop {
	t.Helper()
	w, err := app.NewWorkshop(m, sawyer().Solve)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// The page begins with the farm's bin, and says whether it holds before it shows
// how.
func TestWorkshopBeginsWithTheFarmsBin(t *testing.T) {
	s, f, _ := sample(t)
	n := doc(t, get(t, s, "/workshop"))
	in, err := app.FarmBox(f.State())
	if err != nil {
		t.Fatal(err)
	}
	// the sample's bins are 1.2 m and 0.6 m inside by the usual bin: 47.2 in and boards
	// and posts of 1.5 in on either side
	if got := attr(all(n, "#f-length-i")[0], "value"); got != "53 1/4 in" || in.Length != 53.25 {
		t.Errorf("the length is %q, the farm's bin %g in", got, in.Length)
	}
	if got := attr(all(n, "#f-high-i")[0], "value"); got != "3" {
		t.Errorf("the stacks of the farm are 3 high, the box says %q", got)
	}
	if got := textOf(n, ".stands b"); got != "It holds." {
		t.Errorf("it says %q", got)
	}
	if list := all(n, ".care li"); len(list) < 4 || !strings.Contains(words1(list[0]), "licensed engineer") {
		t.Error("the cautions are missing")
	}
	if list := all(n, "figure.wview"); len(list) != 7 {
		t.Errorf("%d drawings", len(list))
	}
}

// A bin that fails says what of, opened factor by factor; the truck is looked at
// when its plate is typed.
func TestWorkshopFails(t *testing.T) {
	s, _, _ := sample(t)
	n := doc(t, get(t, s, "/workshop?truck=800+lb&center=24+in&posts=inside&fastener=nail&thick=0.131+in&joint=1"))
	if got := textOf(n, ".stands b"); got != "It fails: wall fasteners and truck." {
		t.Errorf("it says %q", got)
	}
	table := textOf(n, "#result details table")
	for _, want := range []string{"fasteners 1", "of its point in the wood 1 1/2 in"} {
		if !strings.Contains(table, want) {
			t.Errorf("the first failing check lacks %q: %s", want, table)
		}
	}
	metric := doc(t, get(t, s, "/workshop?truck=360+kg", "units=metric"))
	if x := words1(metric); !strings.Contains(x, "load on the plate 360 kg") || strings.Contains(x, " psi") || strings.Contains(x, " lb ") {
		t.Error("a metric reader gets pounds")
	}
}

// Everything that is wrong is told at once, with its box marked and what was
// typed kept.
func TestWorkshopTellsAllThatIsWrong(t *testing.T) {
	s, _, _ := sample(t)
	w := get(t, s, "/workshop?length=48+in&width=4+lb&high=ten&bins=0&stock-2x6=8+ft+x")
	n := doc(t, w)
	for _, id := range []string{"f-width-i", "f-high-i", "f-bins-i", "f-stock-2x6-i"} {
		if attr(all(n, "#"+id)[0], "aria-invalid") != "true" {
			t.Errorf("%s is not marked", id)
		}
	}
	if got := attr(all(n, "#f-width-i")[0], "value"); got != "4 lb" {
		t.Errorf("what was typed is %q", got)
	}
	if len(all(n, "figure.wview")) > 0 {
		t.Error("a bin is drawn that cannot be read")
	}
	// what the core refuses: a stack of ten, a post that touches one side, and
	// boards shorter than the bin
	for path, want := range map[string]string{"/workshop?high=10": "A stack of 10 bins", "/workshop?post=4x4": "do not touch the boards of both sides", "/workshop?stock-2x6=3+ft": "the longest 2x6 on the list is 36 in", "/workshop?material=plutonium": "plutonium"} {
		if x := textOf(doc(t, get(t, s, path)), ".wrong"); !strings.Contains(x, want) {
			t.Errorf("%s: %s", path, x)
		}
	}
}

// Two builds stand side by side on what a farmer chooses by; prices make a cost.
func TestWorkshopSideBySide(t *testing.T) {
	s, _, _ := sample(t)
	prices := "&stock-2x6=16+ft+10&stock-2x4=16+ft+8&stock-4x4=16+ft+20&linercost=0.1&fastcost=0.05"
	n := doc(t, get(t, s, "/workshop?beside=lining"+prices))
	rows := map[string][]string{}
	for _, r := range all(n, "#result .wide:first-of-type tbody tr") {
		if cells := all(r, "td"); len(cells) == 2 {
			rows[words1(all(r, "th")[0])] = []string{words1(cells[0]), words1(cells[1])}
		}
	}
	for _, want := range []string{"Cost", "Weight, full", "Warmth lost", "Wood lasts"} {
		if len(rows[want]) != 2 {
			t.Fatalf("no row %q: %v", want, rows)
		}
	}
	if rows["Wood lasts"][0] == rows["Wood lasts"][1] || rows["Cost"][0] == rows["Cost"][1] {
		t.Errorf("lined and bare are told alike: %v", rows)
	}
	// what is bought adds up
	sum, total := 0.0, 0.0
	for _, r := range all(n, "#result table") {
		if !strings.Contains(words1(r), "Together") {
			continue
		}
		for _, row := range all(r, "tbody tr") {
			cells := all(row, "td")
			v, err := strconv.ParseFloat(strings.ReplaceAll(words1(cells[len(cells)-1]), ",", ""), 64)
			if err != nil {
				t.Fatal(err)
			}
			if len(all(row, "th")) > 0 {
				total = v
			} else {
				sum += v
			}
		}
	}
	if total <= 0 || math.Abs(sum-total) > 0.02 {
		t.Errorf("the parts cost %.2f, together %.2f", sum, total)
	}
}

// The prices of one wood are not those of another.
func TestWorkshopPricesAreOfOneWood(t *testing.T) {
	s, _, _ := sample(t)
	n := doc(t, get(t, s, "/workshop?beside=redwood&stock-2x6=16+ft+10&stock-2x4=16+ft+8&stock-4x4=16+ft+20&linercost=0.1&fastcost=0.05"))
	for _, r := range all(n, "#result .wide:first-of-type tbody tr") {
		if cells := all(r, "td"); words1(all(r, "th")[0]) == "Cost" {
			if a, b := words1(cells[0]), words1(cells[1]); !strings.ContainsAny(a, "123456789") || strings.ContainsAny(b, "123456789") {
				t.Errorf("spruce costs %q, redwood %q", a, b)
			}
			return
		}
	}
	t.Error("no cost stands beside another")
}

// A build is kept in the journal under a name, opened, compared with, and taken
// off again.
func TestWorkshopKeepsBuilds(t *testing.T) {
	s, f, _ := sample(t)
	if w := post(t, s, "/workshop", "do=keep", "name="); w.Code != 422 || !strings.Contains(w.Body.String(), "The build has no name.") {
		t.Errorf("a build without a name: %d", w.Code)
	}
	w := post(t, s, "/workshop", "do=keep", "name=tall, bare", "length=40 in", "width=40 in", "height=36 in", "liner=none", "stock-2x6=16 ft 10; 8 ft 6")
	if w.Code != 303 {
		t.Fatalf("keeping: %d %s", w.Code, textOf(doc(t, w), ".wrong"))
	}
	kept := app.KeptBoxes(f.State())
	if len(kept) != 1 || kept[0].Name != "tall, bare" || kept[0].Box.Length != 40 || kept[0].Box.Build.Lined || kept[0].Box.Stock[0].Price != 10 {
		t.Fatalf("kept %+v", kept)
	}
	n := doc(t, get(t, s, w.Header().Get("Location")))
	if got := attr(all(n, "#f-length-i")[0], "value"); got != "40 in" {
		t.Errorf("opened with a length of %q", got)
	}
	if got := attr(all(n, "#f-stock-2x6-i")[0], "value"); got != "16 ft 10; 8 ft 6" {
		t.Errorf("opened with lengths and prices %q", got)
	}
	if x := textOf(doc(t, get(t, s, "/workshop?beside=kept+tall,+bare")), "#result .wide"); !strings.Contains(x, "tall, bare") {
		t.Errorf("side by side: %s", x)
	}
	if w := post(t, s, "/workshop", "do=drop", "open=tall, bare"); w.Code != 303 || len(app.KeptBoxes(f.State())) != 0 {
		t.Errorf("taking it off: %d, %+v", w.Code, app.KeptBoxes(f.State()))
	}
}

// The drawings leave as files; what they say is read back out of the PDF, and
// each of its pages is looked at: white margins, something drawn.
func TestWorkshopFiles(t *testing.T) {
	s, _, _ := sample(t)
	w := get(t, s, "/workshop/drawing.svg?length=48+in&width=48+in&height=28+in")
	if w.Code != 200 || w.Header().Get("Content-Type") != "image/svg+xml" || !strings.Contains(w.Body.String(), "48 in · 1219 mm") || !strings.Contains(w.Header().Get("Content-Disposition"), "bin-42-by-42.svg") {
		t.Errorf("the SVG: %d %v", w.Code, w.Header())
	}
	if w := get(t, s, "/workshop/drawing.pdf?high=40"); w.Code != 422 {
		t.Errorf("a stack of 40 is drawn: %d", w.Code)
	}
	for _, tool := range []string{"pdftotext", "pdftoppm"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip(tool + " is not here; ./check installs poppler-utils")
		}
	}
	for lang, want := range map[string][]string{"en": {"48 in · 1219 mm", "16 1/2 in · 419 mm", "Taken apart", "licensed engineer", "No cut list does it for less", "DO NOT BUILD"}, "es": {"48 in · 1219 mm", "Despiezada", "ingeniero con licencia", "viga: flexión", "NO SE HAGA"}} {
		w := get(t, s, "/workshop/drawing.pdf?truck=500+lb&length=48+in&width=48+in&height=28+in", "lang="+lang)
		file := filepath.Join(t.TempDir(), "bin.pdf")
		if err := os.WriteFile(file, w.Body.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		said := strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(string(text), "\u2011", "-")), " "))
		for _, x := range want {
			if !strings.Contains(said, strings.ToLower(x)) {
				t.Errorf("%s lacks %q: %s", lang, x, said)
			}
		}
		pages, err := exec.Command("pdftoppm", "-r", "40", "-gray", file).Output()
		if err != nil {
			t.Fatal(err)
		}
		whitePaper(t, "workshop "+lang, string(pages))
	}
}

// A crew member sees the workshop and does not write builds down.
func TestWorkshopIsTheOwnersToWrite(t *testing.T) {
	for at, want := range map[string]people.Role{"GET /workshop": people.Reader, "GET /workshop/drawing.pdf": people.Reader, "POST /workshop": people.Owner} {
		if got, known := leastRole(at); !known || got != want {
			t.Errorf("%s is for %v", at, got)
		}
	}
}

// A bin does not just hold where the truck was not looked at; the plate that the farm
// wrote down is taken, at the height of the top bin, and one of nothing is refused.
func TestWorkshopTruck(t *testing.T) {
	s, _, _ := sample(t)
	const notSeen = "Whether the truck may lift it was not looked at"
	if x := textOf(doc(t, get(t, s, "/workshop")), ".stands"); !strings.Contains(x, notSeen) {
		t.Errorf("it says %q", x)
	}
	if x := textOf(doc(t, get(t, s, "/workshop?truck=0+lb")), ".wrong"); !strings.Contains(x, "Load on the truck's plate is 0 lb. It must lie from 100 lb") {
		t.Errorf("a plate of nothing: %q", x)
	}
	if w := post(t, s, "/farm/truck", "load_1=1500", "height_1=30", "load_2=900", "height_2=120", "each=26", "reach_up=0", "spots=1", "trucks=1"); w.Code != 303 {
		t.Fatal(w.Code)
	}
	n := doc(t, get(t, s, "/workshop?high=3"))
	if got := attr(all(n, "#f-truck-i")[0], "value"); got != "900 lb" {
		t.Errorf("the farm's plate allows 900 lb at 120 in, the box says %q", got)
	}
	if x := textOf(n, ".stands"); strings.Contains(x, notSeen) {
		t.Errorf("it says %q", x)
	}
}

// What fails stands open with what to change, all words of it in both languages; what
// holds is told with the one that is nearest to failing, and words that say what is wrong
// stand where the page is opened.
func TestWorkshopSaysWhatToChange(t *testing.T) {
	s, _, _ := sample(t)
	n := doc(t, get(t, s, "/workshop?truck=800+lb&high=5"))
	open := ""
	for _, d := range all(n, "#result details[open]") {
		open += words1(d)
	}
	for _, want := range []string{"Build it smaller or fill it less", "Stack fewer bins."} {
		if !strings.Contains(open, want) {
			t.Errorf("%q is not said: %.400s", want, open)
		}
	}
	for _, box := range []string{`{"length_in":48,"width_in":48,"height_in":28,"truck":{"rated_lb":800}}`, `{"length_in":48,"width_in":48,"height_in":28,"build":{"posts_inside":true}}`} {
		in, err := app.ReadBox([]byte(box))
		if err != nil {
			t.Fatal(err)
		}
		a, err := s.Workshop.Answer(t.Context(), in)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range a.Checks {
			if mendOf(c.Name) == "" {
				t.Errorf("nothing is said to change where %q fails", c.Name)
			}
		}
	}
	if x := textOf(doc(t, get(t, s, "/workshop")), "#result"); !strings.Contains(x, "18 checks, in per cent of what is allowed. Nearest to it: ") {
		t.Errorf("it is not said how much holds: %.300s", x)
	}
	wrong := doc(t, get(t, s, "/workshop?high=10"))
	if len(all(wrong, "#result")) != 1 || len(all(wrong, "#result .wrong")) != 1 {
		t.Error("the page is not opened at what is wrong")
	}
}

// A material that nobody knows is told once, not for each feeding.
func TestWorkshopTellsAMaterialOnce(t *testing.T) {
	s, _, _ := sample(t)
	if x := textOf(doc(t, get(t, s, "/workshop?material=plutonium")), ".wrong"); strings.Count(x, "is not a material") != 1 {
		t.Errorf("%s", x)
	}
}

// A bed that is fed so that it heats beyond what worms live in is told so.
func TestWorkshopTooHot(t *testing.T) {
	s, _, _ := sample(t)
	const hot = "That is too hot for worms"
	if x := textOf(doc(t, get(t, s, "/workshop?hole=1+in&feed=4+in&every=3")), "#result"); !strings.Contains(x, hot) {
		t.Error("a bed that is fed 4 in every 3 days is not said to be too hot")
	}
	if x := textOf(doc(t, get(t, s, "/workshop?hole=1+in&feed=0.5+in&every=7")), "#result"); strings.Contains(x, hot) {
		t.Error("a bed that is fed half an inch a week is said to be too hot")
	}
}
