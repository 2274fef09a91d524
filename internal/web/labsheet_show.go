package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/people"
	"wormyard/journal"
)

// LabSheetPage takes a laboratory's sheet: what it is, what its columns mean, what
// would be written down.
type LabSheetPage struct {
	Frame
	Heading, Under, BackTo, BackName string
	Action, Read                     string // where a file goes, and where it is read again
	Fault, Limit                     string
	Seen                             *LabSeen
}

// LabSeen is a sheet that was read.
type LabSeen struct {
	Title, Token, Digest string
	Say                  string
	Head                 []string
	Rows                 [][]string
	Problems             []ImportRow
	Notes                []string
	Hidden               []Field // what the form carries along
	Columns, More        []Field
	Samples, Tests       []Field
	MoreTests            []Field
	Results              []LabLine
	Doubts               bool
	Yes, Save            string
}

// LabLine is one result as it stood and as it would be written down.
type LabLine struct {
	Row, Of, Stood, Kept string
	Says                 []string
}

func labSheetTo(name string) string { return lotTo(name) + "/sheet" }

func (s *Server) labSheetPage(r *http.Request, p person) (LabSheetPage, error) {
	name := r.PathValue("name")
	if _, ok := s.Farm.State().Lot(name); !ok {
		return LabSheetPage{}, missing{p.Say("fault.nolot", name)}
	}
	page := LabSheetPage{Frame: s.frame(r, p, p.Say("labsheet.title"), "more"), Heading: p.Say("labsheet.title"), Under: p.Say("labsheet.under", name), BackTo: lotTo(name), BackName: p.Say("lot.title", name),
		Action: labSheetTo(name), Read: labSheetTo(name) + "/read", Limit: p.Say("import.limit", mostFile>>20)}
	page.One = true
	return page, nil
}

func (s *Server) labSheetShow(w http.ResponseWriter, r *http.Request, p person) error {
	page, err := s.labSheetPage(r, p)
	if err != nil {
		return err
	}
	return s.draw(w, "labsheet", http.StatusOK, page)
}

// labSheetTry takes a file and shows how it would be read.
func (s *Server) labSheetTry(w http.ResponseWriter, r *http.Request, p person) error {
	page, err := s.labSheetPage(r, p)
	if err != nil {
		return err
	}
	name, path, fault, err := s.received(w, r, p)
	if err != nil {
		return err
	}
	if fault != "" {
		page.Fault = fault
		return s.draw(w, "labsheet", http.StatusUnprocessableEntity, page)
	}
	return s.labSheetWith(w, r, p, page, s.tries.put(name, path))
}

// labSheetRead reads a file again as it was said, and writes it down when that is
// what was seen.
func (s *Server) labSheetRead(w http.ResponseWriter, r *http.Request, p person) error {
	page, err := s.labSheetPage(r, p)
	if err != nil {
		return err
	}
	return s.labSheetWith(w, r, p, page, r.PostForm.Get("token"))
}

// labAsk reads what was said of a sheet; nil where nothing was said yet.
func labAsk(r *http.Request, p person, lot, token string) app.LabAsk {
	ask := app.LabAsk{Subject: "lot " + lot, Who: p.Who, Device: deviceOf(p), Salt: token, Samples: map[string]string{}}
	if r.PostForm == nil || r.PostForm.Get("do") == "" && r.PostForm.Get("yes") == "" {
		return ask
	}
	ask.Tab = r.PostForm.Get("tab")
	ask.Again = r.PostForm.Get("again") == "again"
	if day, err := time.ParseInLocation(journal.DayLayout, typed(r, "day"), p.Zone); err == nil {
		if ask.Day = day.Add(12 * time.Hour); ask.Day.After(p.Now) && day.Before(p.Now) {
			ask.Day = p.Now
		}
	}
	if r.PostForm.Get("do") == "tab" { // another sheet has other columns
		return ask
	}
	m := app.LabMap{Columns: map[string]string{}, Tests: map[string]string{}, Comma: r.PostForm.Get("comma"), Dates: r.PostForm.Get("dates"), Basis: r.PostForm.Get("basis"), Laboratory: typed(r, "laboratory")}
	for i := 0; r.PostForm.Has(fmt.Sprint("h", i)); i++ {
		m.Columns[r.PostForm.Get(fmt.Sprint("h", i))] = r.PostForm.Get(fmt.Sprint("c", i))
	}
	for i := 0; r.PostForm.Has(fmt.Sprint("n", i)); i++ {
		if v := r.PostForm.Get(fmt.Sprint("t", i)); v != "" {
			m.Tests[r.PostForm.Get(fmt.Sprint("n", i))] = v
		}
	}
	for i := 0; r.PostForm.Has(fmt.Sprint("p", i)); i++ {
		if v := r.PostForm.Get(fmt.Sprint("s", i)); v != "" {
			ask.Samples[r.PostForm.Get(fmt.Sprint("p", i))] = v
		}
	}
	ask.Map = &m
	return ask
}

func (s *Server) labSheetWith(w http.ResponseWriter, r *http.Request, p person, page LabSheetPage, token string) error {
	f, fault, err := s.atHand(p, token)
	if err != nil {
		return err
	}
	if fault != "" {
		page.Fault = fault
		return s.draw(w, "labsheet", http.StatusUnprocessableEntity, page)
	}
	name := r.PathValue("name")
	ask := labAsk(r, p, name, token)
	read, err := s.Import.LabSheet(f.path, ask)
	if fault := s.unread(p, token, f, err); fault != "" {
		page.Fault = fault
		return s.draw(w, "labsheet", http.StatusUnprocessableEntity, page)
	}
	if err != nil {
		return err
	}
	_, doubtful := split(read.Problems)
	seen := labDigest(read)
	do, yes := r.PostForm.Get("do"), r.PostForm.Get("yes")
	if (do == "save" || yes != "") && seen == r.PostForm.Get("seen") && !read.Refused() && (len(doubtful) == 0 || yes == digest(doubtful)) {
		entries, err := read.Entries(s.Farm.State(), s.Farm.Now(), p.In.may(people.Owner))
		if err != nil {
			return err
		}
		acks, err := s.Farm.RecordAll(r.Context(), entries, true)
		if err != nil {
			return err
		}
		if more := app.ProblemsOf(acks); len(more) > 0 {
			read.Problems = append(read.Problems, more...)
		} else {
			s.tries.drop(token)
			_ = os.RemoveAll(filepath.Dir(f.path))
			seeOther(w, r, lotTo(name)+"?tests="+strconv.Itoa(len(read.Results)))
			return nil
		}
	}
	page.Seen = s.labSeen(p, f.name, name, token, read, ask)
	page.Seen.Digest = seen
	if do == "save" && seen != r.PostForm.Get("seen") {
		page.Seen.Say = p.Say("labsheet.changed")
	}
	status := http.StatusOK
	if read.Refused() {
		status = http.StatusUnprocessableEntity
	}
	return s.draw(w, "labsheet", status, page)
}

// labDigest names what was shown of a sheet, so that a save counts only for that.
func labDigest(l app.LabSheet) string {
	var list []app.Problem
	for _, x := range l.Results {
		raw, _ := json.Marshal(x.Entry)
		list = append(list, app.Problem{Field: fmt.Sprint(x.Row, x.Already), Say: string(raw)})
	}
	return digest(append(list, l.Problems...))
}

func hidden(name, value string) Field {
	return Field{ID: "f-" + name, Name: name, Value: value, Hidden: true}
}

func (s *Server) labSeen(p person, file, lot, token string, l app.LabSheet, ask app.LabAsk) *LabSeen {
	d := &LabSeen{Title: p.Say("labsheet.found", file), Token: token, Head: l.Header, Rows: l.First}
	if l.Known {
		d.Say = p.Say("labsheet.known")
	}
	for _, x := range l.Problems {
		row := ImportRow{Column: x.Column, Say: p.Told(sentence(x.Say)), Try: p.Told(x.Try), Doubt: x.Doubt}
		if x.Row > 0 {
			row.Row = strconv.Itoa(x.Row)
		}
		d.Problems = append(d.Problems, row)
	}
	for _, n := range l.Notes {
		d.Notes = append(d.Notes, p.Told(n))
	}
	s.labColumns(p, d, l, ask)
	s.labNames(p, d, lot, l, ask)
	for _, x := range l.Results {
		e := x.Entry
		line := LabLine{Row: strconv.Itoa(x.Row), Of: printable(p.subject(e.Subject)), Stood: x.Test + p.Say("list.comma") + x.Cell, Kept: sentence(p.analyte(e.Analyte)) + " " + p.testAmount(app.LotTest{Analyte: e.Analyte, Value: e.Value, Unit: e.Unit, Basis: e.Basis, Reads: e.Reads})}
		for _, n := range slices.Concat(x.Steps, x.Notes) {
			line.Says = append(line.Says, printable(p.Told(n)))
		}
		if x.Already {
			line.Says = append(line.Says, p.Say("labsheet.already"))
		}
		d.Results = append(d.Results, line)
	}
	_, doubtful := split(l.Problems)
	if fresh := len(l.Results) - l.Already; !l.Refused() {
		if ask.Again {
			fresh = len(l.Results)
		}
		d.Doubts, d.Yes, d.Save = len(doubtful) > 0, digest(doubtful), p.Count("labsheet.save", fresh)
	}
	return d
}

// labColumns makes the boxes for what the columns mean.
func (s *Server) labColumns(p person, d *LabSeen, l app.LabSheet, ask app.LabAsk) {
	var roles []Option
	for _, c := range app.LabColumns {
		key := c
		if c == "-" {
			key = "out"
		}
		roles = append(roles, Option{Value: c, Label: p.Say("labsheet.col." + key)})
	}
	n := 0
	for _, h := range l.Header {
		if h == "" {
			continue
		}
		d.Hidden = append(d.Hidden, hidden(fmt.Sprint("h", n), h))
		role := l.Map.Columns[h]
		if role == "" {
			role = "-"
		}
		d.Columns = append(d.Columns, selectField(fmt.Sprint("c", n), h, role, roles))
		n++
	}
	if len(l.Tabs) > 1 {
		d.Columns = append([]Field{selectField("tab", p.Say("labsheet.tab"), l.Tab, plainOptions(l.Tabs...))}, d.Columns...)
	}
	day := textField("day", p.Say("labsheet.day"), "")
	if !ask.Day.IsZero() {
		day.Value = ask.Day.Format(journal.DayLayout)
	}
	day.Type, day.Help = "date", p.Say("labsheet.dayhelp")
	basis := chipsField("basis", p.Say("labsheet.basis"), l.Map.Basis, []Option{{Value: "", Label: p.Say("labsheet.notsaid")}, {Value: "dry", Label: p.Say("report.dry")}, {Value: "wet", Label: p.Say("report.wet")}})
	d.More = []Field{basis,
		chipsField("comma", p.Say("labsheet.comma"), l.Map.Comma, []Option{{Value: "", Label: p.Say("labsheet.seen")}, {Value: "tenths", Label: p.Say("labsheet.tenths")}, {Value: "thousands", Label: p.Say("labsheet.thousands")}}),
		chipsField("dates", p.Say("labsheet.dates"), l.Map.Dates, []Option{{Value: "", Label: p.Say("labsheet.seen")}, {Value: "mdy", Label: p.Say("labsheet.mdy")}, {Value: "dmy", Label: p.Say("labsheet.dmy")}}),
		textField("laboratory", p.Say("labsheet.lab"), l.Map.Laboratory), day}
	if l.Already > 0 {
		again := ""
		if ask.Again {
			again = "again"
		}
		d.Columns = append(d.Columns, chipsField("again", p.Say("labsheet.again"), again, []Option{{Value: "", Label: p.Say("labsheet.leave")}, {Value: "again", Label: p.Say("labsheet.madeagain")}}))
	}
}

// labNames makes the boxes for samples and names of tests.
func (s *Server) labNames(p person, d *LabSeen, lot string, l app.LabSheet, ask app.LabAsk) {
	things := []Option{{Value: "", Label: p.Say("labsheet.choose")}, {Value: "-", Label: p.Say("labsheet.leave")}, {Value: "lot " + lot, Label: p.Say("lot.title", lot)}}
	for _, x := range app.Lots(s.Farm.State()).Lots {
		if x.Lot != lot && len(things) < 80 {
			things = append(things, Option{Value: "lot " + x.Lot, Label: p.Say("lot.title", x.Lot)})
		}
	}
	for i, x := range l.Samples {
		options := things
		if x.Subject != "" && !slices.ContainsFunc(things, func(o Option) bool { return o.Value == x.Subject }) {
			options = append(slices.Clone(things), Option{Value: x.Subject, Label: p.subject(x.Subject)})
		}
		label := p.Say("labsheet.sample", x.Sample)
		if x.Sample == "" {
			label = p.Say("labsheet.nosample")
		}
		d.Hidden = append(d.Hidden, hidden(fmt.Sprint("p", i), x.Sample))
		d.Samples = append(d.Samples, selectField(fmt.Sprint("s", i), label, x.Subject, options))
	}
	tests := []Option{{Value: "", Label: p.Say("labsheet.asread")}, {Value: app.LabAsIs, Label: p.Say("labsheet.asis")}, {Value: app.LabOut, Label: p.Say("labsheet.leave")}}
	keys := journal.Analytes()
	slices.SortFunc(keys, func(a, b string) int {
		return strings.Compare(strings.ToLower(p.analyte(a)), strings.ToLower(p.analyte(b)))
	})
	for _, k := range keys {
		tests = append(tests, Option{Value: k, Label: sentence(p.analyte(k))})
	}
	for i, x := range l.Tests {
		f := selectField(fmt.Sprint("t", i), x.Name, l.Map.Tests[x.Name], tests)
		d.Hidden = append(d.Hidden, hidden(fmt.Sprint("n", i), x.Name))
		if x.Known && l.Map.Tests[x.Name] == "" {
			d.MoreTests = append(d.MoreTests, f)
		} else {
			d.Tests = append(d.Tests, f)
		}
	}
}

// subject names what was tested.
func (p person) subject(text string) string {
	if lot, ok := strings.CutPrefix(text, "lot "); ok {
		return p.Say("lot.title", lot)
	}
	return sentence(p.Told(text))
}
