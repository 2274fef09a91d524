package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/ids"
	"wormyard/internal/sheet"
	"wormyard/journal"
)

// A laboratory's sheet: tests of one lot or of several, one row a test or one
// column a test, in the words of the laboratory. What the columns and the tests of
// a sheet mean is kept under the mark of its header row (docs/adr/0066).

// LabColumns are what a column of a laboratory's sheet may be: each is a column
// that is a test by itself, - is left out.
var LabColumns = []string{"sample", "test", "result", "sign", "unit", "basis", "limit", "method", "day", "laboratory", "each", "-"}

// What the name of a test may be read as, beside a test that we know.
const (
	LabAsIs = "="
	LabOut  = "-"
)

// LabMap says what a laboratory's sheet means.
type LabMap struct {
	Columns    map[string]string `json:"columns"`              // header -> one of LabColumns
	Tests      map[string]string `json:"tests,omitempty"`      // name of a test -> test of docs/entries.md, = as it is, - left out
	Comma      string            `json:"comma,omitempty"`      // "tenths" or "thousands", where the sheet does not show it
	Dates      string            `json:"dates,omitempty"`      // "mdy" or "dmy"
	Basis      string            `json:"basis,omitempty"`      // wet or dry: of rows that do not say
	Laboratory string            `json:"laboratory,omitempty"` // of rows that do not say
}

// amiss tells what in a mapping does not hold together.
func (m LabMap) amiss() (ps []Problem) {
	ps = columnsAmiss(m.Columns, LabColumns)
	for _, x := range []struct {
		field, value string
		of           []string
	}{{"comma", m.Comma, []string{"", "tenths", "thousands"}}, {"dates", m.Dates, []string{"", "mdy", "dmy"}}, {"basis", m.Basis, []string{"", "wet", "dry"}}} {
		if !slices.Contains(x.of, x.value) {
			ps = append(ps, Problem{Field: x.field, Say: fmt.Sprintf("%s is %q.", x.field, x.value), Try: "Use " + strings.Join(x.of[1:], " or ") + ", or leave it out."})
		}
	}
	return ps
}

// LabAsk is what is said with a laboratory's sheet.
type LabAsk struct {
	Subject string            // of rows that name no sample, as "lot 25-20"
	Map     *LabMap           // nil: as remembered for such a sheet, or guessed from its headers
	Samples map[string]string // sample as on the sheet -> "lot 25-20", "-" left out
	Tab     string            // of a workbook
	Day     time.Time         // of rows that do not say; now when zero
	Again   bool              // results that stand in the journal are tests made again
	Who     string
	Device  string
	Salt    string // makes the ids of the entries: the same twice gives the same entries
}

// LabSheet is what a laboratory's sheet says, read and not yet kept.
type LabSheet struct {
	Mark     string      `json:"mark"` // of its header row
	Known    bool        `json:"remembered"`
	Tabs     []string    `json:"tabs,omitempty"`
	Tab      string      `json:"tab,omitempty"`
	Header   []string    `json:"header"`
	Row      int         `json:"header_row"`
	First    [][]string  `json:"-"` // the first rows as they stand
	Map      LabMap      `json:"map"`
	Samples  []LabSample `json:"samples"`
	Tests    []LabTest   `json:"tests"`
	Results  []LabResult `json:"results"`
	Empty    int         `json:"not_tested"` // cells of tests that were not made
	Already  int         `json:"already"`    // results that stand in the journal
	Problems []Problem   `json:"problems"`   // what cannot be taken, or is to be answered
	Notes    []string    `json:"notes"`      // of the sheet as a whole

	entries []journal.Entry
}

// LabSheetAnswer is the answer of wormyard lot assay.
type LabSheetAnswer struct {
	File    string `json:"file"`
	Written int    `json:"written"` // results
	LabSheet
}

// LabSample is a sample of a sheet and what it was taken of.
type LabSample struct {
	Sample  string `json:"sample"`
	Subject string `json:"subject"` // empty: not known yet
	Rows    int    `json:"results"`
}

// LabTest is a test as a sheet calls it and as the journal does.
type LabTest struct {
	Name    string `json:"name"`
	Analyte string `json:"analyte"` // empty: left out
	Known   bool   `json:"known"`
}

// LabResult is one result of a sheet, as it stood and as it would be written down.
type LabResult struct {
	Row     int           `json:"row"`
	Sample  string        `json:"sample,omitempty"`
	Test    string        `json:"test"`
	Cell    string        `json:"cell"` // as it stood, with its unit
	At      time.Time     `json:"at"`
	Entry   journal.Assay `json:"entry"`
	ID      string        `json:"id,omitempty"` // once it is written down
	Steps   []string      `json:"steps,omitempty"`
	Notes   []string      `json:"notes,omitempty"`
	Already bool          `json:"already,omitempty"`
}

// Refused says whether something stands in the way that no yes helps.
func (l LabSheet) Refused() bool {
	return slices.ContainsFunc(l.Problems, func(p Problem) bool { return !p.Doubt })
}

// mostLabRows is the most rows of a laboratory's sheet.
const mostLabRows = 5000

// LabSheet reads a laboratory's sheet and writes nothing down. A file that cannot be
// read at all gives a *sheet.Unreadable.
func (a *App) LabSheet(path string, ask LabAsk) (LabSheet, error) {
	file, err := sheet.Open(path, sheet.Options{Tab: ask.Tab, Zone: a.State().Zone()})
	if err != nil {
		return LabSheet{}, err
	}
	table, err := file.Plain(mostLabRows)
	if err != nil {
		return LabSheet{}, err
	}
	if ask.Day.IsZero() {
		ask.Day = a.Now()
	}
	r := labReader{state: a.State(), ask: ask, table: table}
	out := r.read()
	if table.More {
		out.Problems = append(out.Problems, Problem{Say: fmt.Sprintf("The sheet has more than %d rows.", mostLabRows), Try: "Part it into several files."})
	}
	entries := make([]journal.Entry, len(out.Results))
	for i := range out.Results {
		x := &out.Results[i]
		body := x.Entry
		entries[i] = journal.Entry{Kind: "assay", At: x.At.UTC(), Who: ask.Who, Device: ask.Device, Body: &body}
		entries[i].ID = ids.FromContent(x.At, []byte(fmt.Sprint(ask.Salt, " ", x.Row, " ", body.Subject, " ", body.Analyte)), i)
	}
	for i, ps := range a.look(entries) {
		x := out.Results[i]
		for _, p := range ps {
			p.Row, p.Column = x.Row, x.Test
			out.Problems = append(out.Problems, p)
		}
	}
	for i, x := range out.Results {
		if !x.Already || ask.Again {
			out.entries = append(out.entries, entries[i])
			out.Results[i].ID = entries[i].ID
		}
	}
	if out.Already > 0 && !ask.Again {
		say := fmt.Sprintf("%d of %d results of this sheet stand in the journal already.", out.Already, len(out.Results))
		if len(out.entries) == 0 {
			out.Problems = append(out.Problems, Problem{Field: "again", Say: say, Try: "There is nothing to write down, unless the tests were made again."})
		} else {
			out.Problems = append(out.Problems, Problem{Field: "again", Say: say, Try: "Say yes to leave them out and write down the others, or say that the tests were made again.", Doubt: true})
		}
	}
	if len(out.Results) == 0 && !out.Refused() {
		out.Problems = append(out.Problems, Problem{Say: "There is no result on this sheet.", Try: "See which column is the test and which the result, or give another sheet of the workbook."})
	}
	slices.SortStableFunc(out.Problems, func(x, y Problem) int { return x.Row - y.Row })
	return out, nil
}

// Entries gives what a sheet says as entries to be written down together; with
// remember also what its columns and tests mean. There are none while something is
// refused.
func (l LabSheet) Entries(s *farm.State, now time.Time, remember bool) ([]journal.Entry, error) {
	if l.Refused() || len(l.entries) == 0 {
		return nil, nil
	}
	entries := slices.Clone(l.entries)
	if !remember {
		return entries, nil
	}
	b, fresh, err := toRemember(s, keyLabMap, l.Mark, l.Map)
	if err == nil && fresh {
		e := entries[0]
		entries = append(entries, journal.Entry{ID: ids.FromContent(now, append([]byte(e.ID), b.Value...), 0), Kind: "setting", At: now.UTC(), Who: e.Who, Device: e.Device, Body: b})
	}
	return entries, err
}

// KeepLabSheet writes down what a sheet says, all of it or nothing. Problems are those
// that came up since it was read.
func (a *App) KeepLabSheet(ctx context.Context, l *LabSheet, remember bool) ([]Problem, error) {
	if l.Refused() {
		return l.Problems, nil
	}
	entries, err := l.Entries(a.State(), a.Now(), remember)
	if err != nil || len(entries) == 0 {
		return nil, err
	}
	acks, err := a.RecordAll(ctx, entries, true)
	if err != nil {
		return nil, err
	}
	return ProblemsOf(acks), nil
}

// look tells what is wrong or odd with entries that might be written down.
func (a *App) look(entries []journal.Entry) [][]Problem {
	a.writing.Lock()
	defer a.writing.Unlock()
	now := a.Clock()
	out := make([][]Problem, len(entries))
	for i := range entries {
		out[i] = problems(a.amiss(&entries[i], now, a.facts))
	}
	return out
}

// labSubject finds what a sample was taken of by what a sheet calls it.
func labSubject(s *farm.State, text string) string {
	plain := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if plain == "" {
		return ""
	}
	for _, what := range []string{"lot", "pile", "batch", "bin"} {
		if name, ok := strings.CutPrefix(plain, what+" "); ok {
			for _, n := range s.Names(what) {
				if strings.EqualFold(n, name) {
					return what + " " + n
				}
			}
		}
	}
	var in []string
	for _, l := range s.Lots() {
		switch name := strings.ToLower(l.Name); {
		case name == plain:
			return "lot " + l.Name
		case slices.Contains(strings.FieldsFunc(plain, func(r rune) bool { return strings.ContainsRune(" ,;:()/_#", r) }), name):
			in = append(in, "lot "+l.Name)
		}
	}
	if len(in) == 1 {
		return in[0]
	}
	return ""
}

// testsOf gives the tests of a thing that are in the journal.
func testsOf(s *farm.State, subject string) []farm.Test {
	what, name, _ := strings.Cut(subject, " ")
	switch what {
	case "lot":
		if l, ok := s.Lot(name); ok {
			return l.Tests
		}
	case "pile":
		if p, ok := s.Pile(name); ok {
			return p.Tests
		}
	case "batch":
		if b, ok := s.Batch(name); ok {
			return b.Tests
		}
	}
	return nil
}
