package sheet

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"wormyard/internal/sqlite"
	"wormyard/journal"
)

var now = time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)

// pacific has summer time; its rules of 2026 are: forward on 8 March, back on 1
// November, both at 2:00 (US Energy Policy Act of 2005).
func pacific(t *testing.T) *time.Location {
	z, err := time.LoadLocation("America/Los_Angeles")
	if err != nil {
		t.Fatal(err)
	}
	return z
}

func write(t *testing.T, name, data string) string {
	t.Helper()
	p := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(p, []byte(data), 0o644); err != nil {
		t.Fatal(err)
	}
	return p
}

func rows(t *testing.T, path string, opt Options) (entries []*journal.Entry, problems, notes []Problem) {
	t.Helper()
	f, err := Open(path, opt)
	if err != nil {
		t.Fatal(err)
	}
	for r, err := range f.Rows() {
		if err != nil {
			t.Fatal(err)
		}
		if r.Entry != nil {
			entries = append(entries, r.Entry)
		}
		problems = append(problems, r.Problems...)
		notes = append(notes, r.Notes...)
	}
	return entries, problems, notes
}

// lines gives entries as text: kind, time in the zone, body.
func lines(entries []*journal.Entry, zone *time.Location) []string {
	var out []string
	for _, e := range entries {
		out = append(out, fmt.Sprintf("%s %s %s %s", e.Kind, e.At.In(zone).Format("2006-01-02 15:04"), e.Who, e.Raw))
	}
	return out
}

const plainSheet = `Date,Time,What,Bin,How much,Unit,Mix,Who,Note
3/25/2026,7:30 am,Built,"A1, A2",,,,owner,
3/25/2026,,bedding,A1 A2,6,in,,owner,
26 March 2026,14:05,Fed,A1,1½,in,41,crew 1,"left half, dry"
2026-03-26,,watered,A1;A2,5 gal,,,crew 2,
`

var plainWant = []string{
	`build 2026-03-25 07:30 owner {"bins":["A1","A2"]}`,
	`bed 2026-03-25 12:00 owner {"bins":["A1","A2"],"depth_m":0.1524}`,
	`feed 2026-03-26 14:05 crew 1 {"bins":["A1"],"batch":"41","depth_m":0.0381,"note":"left half, dry"}`,
	`water 2026-03-26 12:00 crew 2 {"bins":["A1","A2"],"kg":18.92705892}`, // 5 x 3.785411784 L
}

func TestAFarmersSheet(t *testing.T) {
	z := pacific(t)
	with := func(comma rune) string {
		recs, err := csv.NewReader(strings.NewReader(plainSheet)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		var b strings.Builder
		w := csv.NewWriter(&b)
		w.Comma = comma
		if err := w.WriteAll(recs); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	variants := map[string]string{
		"commas.csv":     plainSheet,
		"bom.csv":        "\ufeff" + plainSheet,
		"crlf.csv":       strings.ReplaceAll(plainSheet, "\n", "\r\n"),
		"semicolons.csv": with(';'),
		"tabs.tsv":       with('\t'),
		"title.csv":      "Heron Slough\n\nBarn book 2026,,,\n" + plainSheet,
	}
	utf16 := []byte{0xff, 0xfe}
	for _, r := range plainSheet {
		utf16 = append(utf16, byte(r), byte(r>>8))
	}
	variants["utf16.csv"] = string(utf16)
	latin := strings.ReplaceAll(plainSheet, "½", "\xbd")
	variants["latin1.csv"] = latin
	var ids []string
	for name, data := range variants {
		entries, problems, _ := rows(t, write(t, name, data), Options{Zone: z})
		if len(problems) > 0 {
			t.Errorf("%s: %+v", name, problems)
			continue
		}
		if d := cmp.Diff(plainWant, lines(entries, z)); d != "" {
			t.Errorf("%s: %s", name, d)
			continue
		}
		var got []string
		for _, e := range entries {
			if !journal.IsID(e.ID) {
				t.Errorf("%s: id %q", name, e.ID)
			}
			got = append(got, e.ID)
		}
		if ids == nil {
			ids = got
		}
		if d := cmp.Diff(ids, got); d != "" {
			t.Errorf("%s: the same rows have other ids: %s", name, d)
		}
	}
}

func TestAWorkbook(t *testing.T) {
	z := pacific(t)
	book := excelize.NewFile()
	set := func(cell string, v any) {
		if err := book.SetCellValue("Sheet1", cell, v); err != nil {
			t.Fatal(err)
		}
	}
	set("A1", "Barn book of Heron Slough")
	if err := book.MergeCell("Sheet1", "A1", "I1"); err != nil {
		t.Fatal(err)
	}
	for i, h := range []string{"Date", "Time", "What", "Bin", "How much", "Unit", "Mix", "Who", "Note", "Moisture"} {
		set(fmt.Sprintf("%c3", 'A'+i), h)
	}
	set("A4", time.Date(2026, 3, 25, 7, 30, 0, 0, time.UTC)) // a true date cell
	set("C4", "Built")
	set("D4", "A1, A2")
	set("H4", "owner")
	set("A5", time.Date(2026, 3, 25, 0, 0, 0, 0, time.UTC))
	set("C5", "bedding")
	set("D5", "A1 A2")
	set("E5", 6)
	set("F5", "in")
	set("H5", "owner")
	set("A6", "26 March 2026")
	set("B6", 0.586805555555556) // 14:05 as part of a day
	set("C6", "Fed")
	set("D6", "A1")
	set("E6", "1½")
	set("F6", "in")
	set("G6", 41)
	set("H6", "crew 1")
	set("I6", "left half, dry")
	set("A7", "2026-03-26")
	set("C7", "watered")
	set("D7", "A1;A2")
	set("E7", "5 gal")
	set("H7", "crew 2")
	set("A8", 46107) // 26 March 2026 as a bare number: LibreOffice says =DATE(2026;3;26) is 46107
	set("C8", "reading")
	set("D8", "A1")
	set("J8", 0.724)
	style, err := book.NewStyle(&excelize.Style{NumFmt: 9}) // 0 %
	if err != nil {
		t.Fatal(err)
	}
	if err := book.SetCellStyle("Sheet1", "J8", "J8", style); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "book.xlsx")
	if err := book.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	entries, problems, notes := rows(t, path, Options{Zone: z})
	if len(problems) > 0 {
		t.Fatalf("%+v", problems)
	}
	want := append(append([]string{}, plainWant...), `reading 2026-03-26 12:00  {"bin":"A1","water_frac_wet":0.724}`)
	if d := cmp.Diff(want, lines(entries, z)); d != "" {
		t.Fatal(d)
	}
	if len(notes) != 1 || !strings.Contains(notes[0].Say, "Row 3 is the header row") {
		t.Fatalf("%+v", notes)
	}
}

func TestDaysAndTimes(t *testing.T) {
	z := pacific(t)
	for typed, want := range map[string]string{
		"2026-03-01":                "2026-03-01 12:00",
		"2026-03-01 07:30":          "2026-03-01 07:30",
		"2026-03-01T07:30":          "2026-03-01 07:30",
		"2026-03-01T16:00:00Z":      "2026-03-01 08:00",
		"2026-03-01T08:00:00-08:00": "2026-03-01 08:00",
		"3/25/2026":                 "2026-03-25 12:00",
		"25.3.2026":                 "2026-03-25 12:00",
		"25/3/26 6 pm":              "2026-03-25 18:00",
		"3/3/2026":                  "2026-03-03 12:00",
		"March 5, 2026":             "2026-03-05 12:00",
		"5-Mar-26":                  "2026-03-05 12:00",
		"Thu, 5 March 2026 7:05 PM": "2026-03-05 19:05",
		"5th March 2026":            "2026-03-05 12:00",
		"2/29/2024":                 "2024-02-29 12:00",
		"2/29/2025":                 "2025 has no 29 February. Type 28 February or 1 March.",
		"2025-02-29":                "2025 has no 29 February. Type 28 February or 1 March.",
		"4/31/2026":                 "April has no day 31.",
		"3/4/2026":                  `"3/4/2026" can be 4 March 2026 or 3 April 2026. Say --dates mdy`,
		"3.4.2026":                  `can be 4 March 2026 or 3 April 2026`,
		"13/13/2026":                `is not a day`,
		"soon":                      `"soon" is not a day.`,
		"2026-03-01 25:00":          `"25:00" is not a time of the day.`,
		"2026-03-08 02:30":          "On 8 March 2026 the clocks went forward; there was no 2:30. Type 01:30 or 03:30.",
		"2026-11-01 01:30":          "2026-11-01 01:30 note On 1 November 2026 the clocks went back and 1:30 came twice; the first was taken.",
		"2026-11-01 02:30":          "2026-11-01 02:30",
		"2026-03-08 03:00":          "2026-03-08 03:00",
		"2026-03-08 01:59":          "2026-03-08 01:59",
	} {
		entries, problems, notes := rows(t, write(t, "d.csv", "Date,What,Bin,Water\n\""+typed+"\",watered,A1,5 gal\n"), Options{Zone: z})
		got := ""
		for _, e := range entries {
			got += e.At.In(z).Format("2006-01-02 15:04")
		}
		for _, p := range problems {
			got += p.Say + " " + p.Try
			if p.Row != 2 || p.Column != "Date" {
				t.Errorf("%s: told at row %d, %q", typed, p.Row, p.Column)
			}
		}
		for _, p := range notes {
			got += " note " + p.Say
		}
		if got != want && (len(problems) == 0 || !strings.Contains(got, want)) {
			t.Errorf("%s: %s, want %s", typed, got, want)
		}
	}
	// The first of the doubled hour is summer time, 8:30 UTC.
	entries, _, _ := rows(t, write(t, "d.csv", "Date,What,Bin,Water\n2026-11-01 1:30,watered,A1,5 gal\n"), Options{Zone: z})
	if got := entries[0].At.Format("15:04"); got != "08:30" {
		t.Error(got)
	}
	for order, want := range map[string]string{"mdy": "2026-03-04", "dmy": "2026-04-03"} {
		entries, problems, _ := rows(t, write(t, "d.csv", "Date,What,Bin,Water\n3/4/2026,watered,A1,5 gal\n"), Options{Zone: z, Dates: order})
		if len(problems) > 0 || entries[0].At.In(z).Format("2006-01-02") != want {
			t.Errorf("%s: %v", order, problems)
		}
	}
}

func TestHeadersAndCells(t *testing.T) {
	for name, c := range map[string]struct {
		csv  string
		opt  Options
		want string // body, or part of what is said
	}{
		"unit in brackets":         {"Date,What,Bin,Depth (in),Mix\n2026-03-01,feed,A1,2,41\n", Options{}, `{"bins":["A1"],"batch":"41","depth_m":0.0508}`},
		"unit at the end":          {"at,kind,bins,depth_in,batch\n2026-03-01,feed,A1,2,41\n", Options{}, `{"bins":["A1"],"batch":"41","depth_m":0.0508}`},
		"key in stored units":      {"at,kind,bins,depth_m,batch\n2026-03-01,feed,A1,0.05,41\n", Options{}, `{"bins":["A1"],"batch":"41","depth_m":0.05}`},
		"key with a typed unit":    {"at,kind,bins,depth_m,batch\n2026-03-01,feed,A1,2 in,41\n", Options{}, `{"bins":["A1"],"batch":"41","depth_m":0.0508}`},
		"mass by its unit":         {"Date,What,Bin,How much,Mix\n2026-03-01,fed,A1,20 kg,41\n", Options{}, `{"bins":["A1"],"batch":"41","mass_kg_wet":20}`},
		"no unit":                  {"Date,What,Bin,How much,Mix\n2026-03-01,fed,A1,2,41\n", Options{}, `"2" has no unit.`},
		"a temperature":            {"Date,What,Bin,Temp F\n2026-03-01,reading,A1,68\n", Options{}, `{"bin":"A1","temp_c":20}`},
		"moisture in per cent":     {"Date,What,Bin,Moisture\n2026-03-01,reading,A1,72\n", Options{}, `{"bin":"A1","water_frac_wet":0.72}`},
		"moisture of two readings": {"Date,What,Bin,Moisture\n2026-03-01,reading,A1,0.72\n", Options{}, `Moisture of the bed is 0.72, which can be 0.72 % or 72 %.`},
		"decimal comma":            {"Date;What;Bin;How much;Mix\n2026-03-01;fed;A1;1,5 in;41\n2026-03-01;fed;A2;2,5 in;41\n", Options{}, `{"bins":["A1"],"batch":"41","depth_m":0.0381}`},
		"comma or thousands":       {"Date;What;Bin;Weight kg\n2026-03-01;weighed;A1;250,5\n2026-03-01;weighed;A2;1.250\n", Options{}, `"1.250" can be 1250 or 1,250`},
		"thousands":                {"Date,What,Bin,Weight lb\n2026-03-01,weighed,A1,\"1,000\"\n", Options{}, `{"bin":"A1","mass_kg":453.59237}`},
		"a word of choice":         {"Date,What,Bin,Cover\n2026-03-01,cover,A1,Cloth\n", Options{}, `{"bins":["A1"],"cover":"cloth"}`},
		"look in words":            {"Date,What,Bin,Squeeze,Feed left,Smell\n2026-03-01,looked,A1,few drops,Gone,earth\n", Options{}, `{"bins":["A1"],"squeeze":"few drops","feed_left":"gone","smell":"earth"}`},
		"a run of bins":            {"Date,What,Bin,Water\n2026-03-01,water,A08 to A11,5 L\n", Options{}, `{"bins":["A08","A09","A10","A11"],"kg":5}`},
		"the word bin":             {"Date,What,Bin,Water\n2026-03-01,water,Bin A1,5 L\n", Options{}, `{"bins":["A1"],"kg":5}`},
		"a mix in words":           {"Date,What,Batch,Parts\n2026-03-01,mixed,41,dairy solids 2 yd3; chips: 40 kg\n", Options{}, `{"batch":"41","parts":[{"pile":"dairy solids","volume_m3":1.529109715968},{"pile":"chips","mass_kg_wet":40}]}`}, // 2 x 0.764554857984
		"a number of a laboratory": {"Date,What,Of,Measured,Result,Unit\n2026-03-01,test,pile rabbit,Moisture,72,%\n", Options{}, `{"subject":"pile rabbit","analyte":"water_frac_wet","value":0.72}`},
		"one kind for all":         {"Date,Bin,Temp F\n2026-03-01,A1,68\n", Options{Kind: "reading"}, `{"bin":"A1","temp_c":20}`},
		"no kind":                  {"Date,Bin,Temp F\n2026-03-01,A1,68\n", Options{}, `No column says what was done.`},
		"no date":                  {"What,Bin,Temp F\nreading,A1,68\n", Options{}, `No column says when.`},
		"an unknown word":          {"Date,What,Bin\n2026-03-01,fedd,A1\n", Options{}, `"fedd" is not a kind of entry. Did you mean feed?`},
		"an unknown column":        {"Date,What,Bin,Cover,Moonn\n2026-03-01,cover,A1,none,full\n", Options{}, `We do not know what the column "Moonn" means`},
		"a cell with no place":     {"Date,What,Bin,Cover,Temp F\n2026-03-01,cover,A1,none,68\n", Options{}, `has no place for "68" under Temp F`},
		"a guarded text":           {"Date,What,Bin,Note\n2026-03-01,turned,A1,'=1+1\n", Options{}, `{"bins":["A1"],"note":"=1+1"}`},
		"a map": {"Wann,Was,Kiste,Dicke,Mischung\n2026-03-01,gefüttert,A1,5,41\n", Options{Map: Map{Columns: map[string]string{"Wann": "at", "Was": "kind", "Kiste": "bins", "Dicke": "depth_m", "Mischung": "batch"},
			Units: map[string]string{"Dicke": "cm"}, Kinds: map[string]string{"gefüttert": "feed"}}}, `{"bins":["A1"],"batch":"41","depth_m":0.05}`},
		"a map that drops a column": {"Date,What,Bin,Moonn,Cover\n2026-03-01,cover,A1,full,none\n", Options{Map: Map{Columns: map[string]string{"Moonn": "-"}}}, `{"bins":["A1"],"cover":"none"}`},
	} {
		t.Run(name, func(t *testing.T) {
			entries, problems, _ := rows(t, write(t, "t.csv", c.csv), c.opt)
			got := ""
			for _, e := range entries {
				got += string(e.Raw) + "\n"
			}
			for _, p := range problems {
				got += p.Say + " " + p.Try + "\n"
			}
			if !strings.Contains(got, c.want) {
				t.Fatalf("got %s\nwant %s", got, c.want)
			}
			if strings.HasPrefix(c.want, "{") && len(problems) > 0 {
				t.Fatalf("%+v", problems)
			}
		})
	}
}

func TestFilesThatCannotBeRead(t *testing.T) {
	for name, c := range map[string][2]string{
		"empty.csv":  {"", "is empty"},
		"plain.csv":  {"hello\nworld\n", "no header row that we know"},
		"zip.csv":    {"PK\x03\x04abc", "workbook, not a CSV"},
		"binary.csv": {"Date,What\x00\x01", "not a text file"},
		"long.csv":   {"Date,What,Bin\n" + strings.Repeat("x", 3<<20), "longer than 1 MB"},
		"bad.xlsx":   {"no workbook", "as a workbook"},
		"bad.json":   {`[{"kind":`, "cannot be read as JSON"},
		"empty.json": {"", "is empty"},
		"cut.json":   {`[{"kind":"note","at":"2026-03-01","bins":"A1"}`, "cut off"},
		"twice.json": {`[{"kind":"note","at":"2026-03-01","bins":"A1"}] [{}]`, "Something follows after the end"},
		"more.json":  {`{"entries":[{"kind":"note","at":"2026-03-01","bins":"A1"}],"contract":1} x`, "Something follows after the end"},
		"none.json":  {`{"a":1}`, "no list of entries"},
		"one.json":   {`3`, "no list of entries"},
	} {
		f, err := Open(write(t, name, c[0]), Options{})
		if err == nil {
			for _, e := range f.Rows() {
				if e != nil {
					err = e
				}
			}
		}
		if u, ok := err.(*Unreadable); !ok || !strings.Contains(u.Error(), c[1]) || u.Try == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, p := range []string{"none.csv", "table.ods", "table"} {
		if _, err := Open(filepath.Join(t.TempDir(), p), Options{}); err == nil {
			t.Errorf("%s was opened", p)
		}
	}
}

func TestJSONForms(t *testing.T) {
	entry := `{"kind":"water","at":"2026-03-01T16:00:00Z","body":{"bins":["A1"],"kg":5}}`
	flat := `{"date":"2026-03-01T16:00:00Z","what":"watered","bin":["A1"],"water_kg":"5 kg"}`
	for name, data := range map[string]string{
		"list.json": "[" + entry + "]", "object.json": `{"contract":1,"entries":[` + entry + "]}", "lines.jsonl": entry + "\n\n", "bom.json": "\ufeff[" + entry + "]",
		"flat.json": "[" + strings.Replace(flat, "water_kg", "water", 1) + "]",
	} {
		entries, problems, _ := rows(t, write(t, name, data), Options{})
		if len(problems) > 0 || len(entries) != 1 || string(entries[0].Raw) != `{"bins":["A1"],"kg":5}` {
			t.Errorf("%s: %v %v", name, lines(entries, time.UTC), problems)
		}
	}
	_, problems, _ := rows(t, write(t, "bad.json", `[`+entry+`,{"kind":"water","at":"x","body":{"bins":["A1"],"kgg":5}},4]`), Options{})
	if len(problems) != 4 || problems[0].Row != 2 || problems[3].Row != 3 {
		t.Errorf("%+v", problems)
	}
}

func open(t *testing.T) *sqlite.Store {
	t.Helper()
	s, err := sqlite.Open(filepath.Join(t.TempDir(), "farm.wormyard"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func importFile(t *testing.T, s *sqlite.Store, path string, how How, opt Options) Report {
	t.Helper()
	f, err := Open(path, opt)
	if err != nil {
		t.Fatal(err)
	}
	how.Begin = func(ctx context.Context) (Batch, error) { return s.Begin(ctx) }
	if how.Now.IsZero() {
		how.Now = now
	}
	r, err := f.Import(context.Background(), s, how)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func all(t *testing.T, s *sqlite.Store) []journal.Entry {
	t.Helper()
	list, err := s.Load(context.Background(), 0)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func TestAllRowsOrNone(t *testing.T) {
	s := open(t)
	good := write(t, "good.csv", `Date,What,Bin,How much,Mix
2026-03-01,built,A1,,
2026-03-01,bedded,A1,6 in,
2026-03-02,mixed,,,41
2026-03-03,fed,A1,2 in,41
2026-03-03,fed,A1,2 in,41
`)
	good2 := write(t, "good.csv", strings.Replace(readFile(t, good), "2026-03-02,mixed,,,41\n", "", 1))
	bad := write(t, "bad.csv", readFile(t, good2)+"2026-03-04,fed,A9,2 in,41\n2026-03-05,fed,A1,200 in,41\n2025-03-05,fed,A1,2 in,41\n2026-03-06,harvest,A1,20 kg,\n")
	opt := Options{Zone: pacific(t)}

	r := importFile(t, s, bad, How{Yes: true}, opt)
	if r.Rows != 8 || r.Refused != 3 || r.Written != 0 || len(all(t, s)) != 0 {
		t.Fatalf("%+v", r)
	}
	for i, want := range []struct {
		row    int
		column string
		say    string
	}{{6, "Bin", "There is no bin A9"}, {7, "How much", "200 in"}, {8, "Bin", "was built on 1 March 2026"}} {
		if p := r.Problems[i]; p.Row != want.row || p.Column != want.column || !strings.Contains(p.Say, want.say) {
			t.Errorf("%+v, want %+v", p, want)
		}
	}
	r = importFile(t, s, good2, How{}, opt) // batch 41 was not written down: doubtful
	if r.Doubtful != 2 || r.Written != 0 {
		t.Fatalf("%+v", r)
	}
	r = importFile(t, s, good2, How{DryRun: true, Yes: true}, opt)
	if r.Good != 4 || r.Written != 0 || len(all(t, s)) != 0 {
		t.Fatalf("%+v", r)
	}
	r = importFile(t, s, good2, How{Yes: true}, opt)
	if r.Written != 4 || len(all(t, s)) != 4 {
		t.Fatalf("%+v", r)
	}
	if e := all(t, s)[3]; len(e.Confirmed) != 1 || e.Confirmed[0] != "batch" {
		t.Fatalf("the yes is not kept: %+v", e.Confirmed)
	}
	r = importFile(t, s, good2, How{}, opt) // what was answered is not asked again
	if r.Written != 0 || r.Already != 4 || len(all(t, s)) != 4 {
		t.Fatalf("%+v", r)
	}
	r = importFile(t, s, bad, How{Yes: true, KeepGood: true}, opt)
	if r.Written != 1 || r.Already != 4 || r.Refused != 3 || len(all(t, s)) != 5 {
		t.Fatalf("%+v", r)
	}
	if a, err := s.Verify(context.Background()); err != nil || a.Broken != nil {
		t.Fatal(a.Broken, err)
	}
}

func readFile(t *testing.T, p string) string {
	t.Helper()
	b, err := os.ReadFile(p)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestALargeFileIsReadAgainAndSaysTheSame(t *testing.T) {
	var b strings.Builder
	b.WriteString("Date,What,Bin,How much,Mix,Temp F,Depth (in)\n2026-01-01,built,B1 to B9,,,,\n2026-01-02,bedded,B1 to B9,6 in,,,\n2026-01-03,received,,,,,\n")
	for i := range 600 {
		fmt.Fprintf(&b, "2026-02-%02d %d:%02d,reading,B%d,,,%d,6\n2026-02-%02d,fed,B%d,1 in,41,,\n", i%28+1, i/60%24, i%60, i%9+1, 60+i%20, i%28+1, i%9+1)
	}
	path := write(t, "large.csv", b.String())
	var reports []Report
	for _, hold := range []int64{holdBytes, 0} {
		for _, how := range []How{{}, {Yes: true}, {Yes: true, KeepGood: true}, {Yes: true, KeepGood: true}} {
			s := open(t)
			f, err := Open(path, Options{})
			if err != nil {
				t.Fatal(err)
			}
			f.hold = hold
			how.Begin, how.Now = func(ctx context.Context) (Batch, error) { return s.Begin(ctx) }, now
			r, err := f.Import(context.Background(), s, how)
			if err != nil || r.Written != len(all(t, s)) {
				t.Fatal(r.Written, err)
			}
			reports = append(reports, r)
		}
	}
	half := len(reports) / 2
	if d := cmp.Diff(reports[:half], reports[half:]); d != "" {
		t.Fatal(d)
	}
	// One row is short of pile and material; 600 feedings are of a batch nobody wrote down.
	if r := reports[0]; r.Rows != 1203 || r.Refused != 1 || r.Doubtful != 600 || r.Written != 0 {
		t.Fatalf("%+v", r.Kinds)
	}
	if r := reports[2]; r.Written != 1202 {
		t.Fatalf("%d written", r.Written)
	}
}

func TestAnIDThatSaysSomethingElseIsShown(t *testing.T) {
	s := open(t)
	id := "019caa20-c400-7000-8000-000000000001"
	table := "id,at,kind,bins,note\n" + id + ",2026-03-01T16:00:00Z,build,A1,%s\n"
	if r := importFile(t, s, write(t, "a.csv", fmt.Sprintf(table, "one")), How{}, Options{}); r.Written != 1 {
		t.Fatalf("%+v", r)
	}
	r := importFile(t, s, write(t, "a.csv", fmt.Sprintf(table, "two")), How{}, Options{})
	if r.Written != 0 || r.Refused != 1 || !strings.Contains(r.Problems[0].Say, `"note":"one"`) {
		t.Fatalf("%+v", r)
	}
	two := "id,at,kind,bins,note\n" + id[:35] + "2,2026-03-01T16:00:00Z,build,A1,x\n" + id[:35] + "2,2026-03-01T16:00:00Z,build,A1,y\n"
	if r := importFile(t, s, write(t, "a.csv", two), How{}, Options{}); r.Written != 0 || r.Refused != 1 || r.Problems[0].Row != 3 {
		t.Fatalf("%+v", r)
	}
}

func TestExportReadsBackToTheSameFarm(t *testing.T) {
	list := drawn(t)
	s := open(t)
	if _, err := s.Append(context.Background(), list); err != nil {
		t.Fatal(err)
	}
	want := all(t, s)
	each := func() iter.Seq2[journal.Entry, error] { return s.Entries(context.Background(), 0) }
	var table, js, xlsx bytes.Buffer
	for _, export := range []func() (int, error){
		func() (int, error) { return ExportCSV(&table, each()) },
		func() (int, error) { return ExportJSON(&js, 1, each()) },
		func() (int, error) { return ExportXLSX(&xlsx, each()) },
	} {
		if n, err := export(); err != nil || n != len(want) {
			t.Fatal(n, err)
		}
	}
	for name, data := range map[string]string{"x.csv": table.String(), "x.json": js.String(), "x.xlsx": xlsx.String()} {
		entries, problems, _ := rows(t, write(t, name, data), Options{Zone: pacific(t)})
		if len(problems) > 0 {
			t.Fatalf("%s: %+v", name, problems[:min(3, len(problems))])
		}
		if len(entries) != len(want) {
			t.Fatalf("%s: %d entries, want %d", name, len(entries), len(want))
		}
		for i, e := range entries {
			if !journal.Same(e, &want[i]) {
				t.Fatalf("%s:\n%s\n%s", name, e.AppendContent(nil), want[i].AppendContent(nil))
			}
		}
		r := importFile(t, s, write(t, name, data), How{Yes: true, KeepGood: true}, Options{})
		if r.Written != 0 {
			t.Fatalf("%s: %d entries were written again", name, r.Written)
		}
	}
}

// A field with quotes, a comma or a line break is written as RFC 4180 says (Q9.7 of
// docs/validation.md).
func TestQuotedField(t *testing.T) {
	e := journal.Entry{ID: "0199b1f0-0000-7000-8000-000000000001", Kind: "build", At: time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC), Body: &journal.Build{Bins: []string{"A1"}, Note: `5" mesh, wet`}}
	var out bytes.Buffer
	if _, err := ExportCSV(&out, func(yield func(journal.Entry, error) bool) { yield(e, nil) }); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), `,"5"" mesh, wet"`) || !strings.HasSuffix(out.String(), "\r\n") {
		t.Errorf("%q", out.String())
	}
}
