package web

import (
	"bytes"
	"context"
	"fmt"
	"mime/multipart"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"wormyard/internal/app"
)

// upload sends a file.
func upload(t testing.TB, s *Server, to, name, content string) *httptest.ResponseRecorder {
	t.Helper()
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	part, err := m.CreateFormFile("file", name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := part.Write([]byte(content)); err != nil {
		t.Fatal(err)
	}
	if err := m.Close(); err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest("POST", to, &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func TestImport(t *testing.T) {
	a, store, err := app.OpenFile(context.Background(), filepath.Join(t.TempDir(), "farm.wormyard"), func() time.Time { return sampleNow })
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	n := 0
	s, err := New(Config{Farm: a, Import: a, NewID: func(time.Time) string { n++; return fmt.Sprint(n) }})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	const head = "kind,date,bins,length,width,depth,slots\n"
	// a byte-order mark, one good row and two that cannot be
	w := upload(t, s, "/import", "bins.csv", "\ufeff"+head+"build,2026-03-01,B1,48 in,48 in,24 in,1/1/1/1\nbuild,2026-03-01,B2,-48 in,48 in,24 in,1/1/1/2\nbuild,2026-02-30,B3,48 in,48 in,24 in,1/1/1/3\n")
	page := doc(t, w)
	rows := all(page, ".wide tbody tr")
	if w.Code != 422 || len(rows) != 2 {
		t.Fatalf("%d, %d problems: %s", w.Code, len(rows), textOf(page, "main"))
	}
	for i, row := range []string{"3", "4"} {
		if got := textOf(rows[i], "td"); got != row {
			t.Errorf("problem %d is of row %q, wanted %q", i, got, row)
		}
	}
	if a.State().Entries != 0 {
		t.Fatal("a look kept something")
	}
	// the good one alone
	token := attr(all(page, "input[name=token]")[0], "value")
	if w := post(t, s, "/import/save", "token="+token, "do=good"); w.Code != 303 || a.State().Entries != 1 {
		t.Fatalf("the good row: %d, %d entries", w.Code, a.State().Entries)
	}
	if w := post(t, s, "/import/save", "token="+token, "do=good"); w.Code != 422 || a.State().Entries != 1 {
		t.Errorf("the same file pressed twice: %d, %d entries", w.Code, a.State().Entries)
	}
	// all good
	w = upload(t, s, "/import", "more.csv", head+"build,2026-03-01,B2,48 in,48 in,24 in,1/1/1/2\n")
	page = doc(t, w)
	if w.Code != 200 || len(all(page, "input[name=token]")) != 1 {
		t.Fatalf("a good file: %d: %s", w.Code, textOf(page, "main"))
	}
	if w := post(t, s, "/import/save", "token="+attr(all(page, "input[name=token]")[0], "value"), "do=all"); w.Code != 303 || a.State().Entries != 2 {
		t.Errorf("a good file: %d, %d entries", w.Code, a.State().Entries)
	}
	for _, c := range []struct{ name, content, say string }{
		{"notes.docx", "x", "CSV, XLSX or JSON"}, {"empty.csv", "", "is empty"}, {"sheet.xlsx", "not a workbook at all", "sheet.xlsx"}, {"blob.csv", "\x00\x01\x02\x03", "blob.csv"},
	} {
		w := upload(t, s, "/import", c.name, c.content)
		if say := textOf(doc(t, w), ".wrong"); w.Code != 422 || !strings.Contains(say, c.say) {
			t.Errorf("%s: %d %q", c.name, w.Code, say)
		}
	}
	if w := post(t, s, "/import/save", "token=none", "do=all"); w.Code != 422 {
		t.Errorf("a file that is gone: %d", w.Code)
	}
	// larger than is taken: read away and told
	r := httptest.NewRequest("POST", "/import", strings.NewReader("x"))
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	r.ContentLength = 100 << 20
	w = httptest.NewRecorder()
	s.ServeHTTP(w, r)
	if say := textOf(doc(t, w), "main"); w.Code != 413 || !strings.Contains(say, "48 MB") {
		t.Errorf("100 MB: %d %q", w.Code, say)
	}
}

// A first morning through the form, as a person would, then the round's page.
func TestFirstMorning(t *testing.T) {
	f := newPaper(t, sampleNow)
	d := &desk{}
	s := serverOf(t, f, d)
	typed := []string{"id=" + f.newID(f.now), "units=us", "zone=America/Los_Angeles", "weather=normals", "barns[0].name=1", "barns[0].rows=5", "barns[0].stacks=8", "barns[0].high=3", "length=48", "width=48", "deep=24", "depth=12", "material=horse manure with bedding", "age=4 months", "last_fed=6", "fed_depth=1.5", "stock=middle", "cover=cloth", "except=row 3: age 2 months", "piles[0].name=solids", "piles[0].material=dairy solids, separated", "piles[0].amount=20", "piles[0].age=3 weeks", "mixes[0].name=41", "mixes[0].parts=4 yd3 solids", "farm=Otter Bend", "people=owner\ncrew 1"}
	w := post(t, s, "/start", append([]string{"do=see"}, typed...)...)
	if sum := textOf(doc(t, w), "#sum"); w.Code != 200 || !strings.Contains(sum, "120 bins") || f.State().Entries != 0 {
		t.Fatalf("a look: %d %q", w.Code, sum)
	}
	bad := append([]string{"do=save"}, typed...)
	for i, x := range bad {
		switch {
		case strings.HasPrefix(x, "barns[0].rows"):
			bad[i] = "barns[0].rows=-5"
		case strings.HasPrefix(x, "except"):
			bad[i] = "except=row 99: age 2 months"
		case strings.HasPrefix(x, "piles[0].material"):
			bad[i] = "piles[0].material=moon dust"
		}
	}
	w = post(t, s, "/start", bad...)
	page := doc(t, w)
	if w.Code != 422 || len(all(page, ".field.bad")) < 2 || value(page, "farm") != "Otter Bend" || f.State().Entries != 0 {
		t.Errorf("slips: %d, %d boxes: %s", w.Code, len(all(page, ".field.bad")), textOf(page, ".wrong"))
	}
	w = post(t, s, "/start", append([]string{"do=save"}, typed...)...)
	if w.Code != 303 || w.Header().Get("Location") != "/round" || len(f.State().Living()) != 120 || d.asked != 1 {
		t.Fatalf("%d, %d beds, %d rounds asked for: %s", w.Code, len(f.State().Living()), d.asked, textOf(doc(t, w), ".wrong, .doubt"))
	}
	if w := post(t, s, "/start", append([]string{"do=save"}, typed...)...); w.Code != 303 || len(f.State().Living()) != 120 {
		t.Errorf("pressed twice: %d, %d beds", w.Code, len(f.State().Living()))
	}
	for _, path := range []string{"/round", "/barn", "/bin/B1", "/yard", "/farm"} {
		if w := get(t, s, path); w.Code != 200 {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

// TestAFirstMorningComesFromAFile: the file fills the boxes of the form, and the
// form as it comes back is what would be saved.
func TestAFirstMorningComesFromAFile(t *testing.T) {
	s := serverOf(t, newPaper(t, sampleNow), &desk{})
	csv := "what,of,value\nfarm,,Otter Bend\nbarn,North,\"2 rows, 3 stacks, 2 high\"\nages,,4 months\npile,chips,\"wood chips, hardwood; 5 yd3; 3 weeks\"\nmonths low,,\"35 F; 36 F\"\nliner,,felt\n"
	w := upload(t, s, "/start/file", "first.csv", csv)
	n := doc(t, w)
	if w.Code != 422 || !strings.Contains(textOf(n, ".wrong"), "Line 4") {
		t.Errorf("a line that says nothing known: %d, %s", w.Code, textOf(n, ".wrong"))
	}
	for box, want := range map[string]string{"farm": "Otter Bend", "barns[0].name": "North", "barns[0].rows": "2", "piles[0].material": "wood chips, hardwood", "month_low": "35F 36F", "liner": "felt"} {
		if got := value(n, box); got != want {
			t.Errorf("the box %s holds %q, the file says %q", box, got, want)
		}
	}
	if w := upload(t, s, "/import", "first.csv", csv); w.Code != 422 || len(all(doc(t, w), ".wrong a[href='/start']")) != 1 {
		t.Errorf("import does not send a first morning on: %d", w.Code)
	}
}
