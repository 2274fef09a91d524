package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"iter"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"syscall"
	"text/tabwriter"
	"time"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/contract"
	"wormyard/internal/sheet"
	"wormyard/internal/sqlite"
	"wormyard/journal"
)

type journalCommand struct {
	Import journalImport `cmd:"" help:"Take in a table or a JSON file of entries: all rows or none. The same file twice changes nothing."`
	Export journalExport `cmd:"" help:"Write the journal as CSV, JSON or XLSX, to be imported again or worked on elsewhere."`
	List   journalList   `cmd:"" help:"Show entries, the newest last."`
	Strike journalStrike `cmd:"" help:"Cancel an entry, with a reason. Both stay readable."`
}

// openFarm opens the farm's file, which is made when there is none.
func openFarm(c *Context) (*app.App, *sqlite.Store, error) {
	if c.Demo {
		return openDemo(c)
	}
	a, store, err := app.OpenFile(c, c.Farm, c.Now)
	return a, store, inWords(err)
}

// openStore opens a farm that must be there.
func openStore(c *Context) (*sqlite.Store, error) {
	if c.Demo {
		_, store, err := openDemo(c)
		return store, err
	}
	store, err := sqlite.OpenToRead(c.Farm)
	return store, inWords(err)
}

// inWords turns what a person can mend into a refusal.
func inWords(err error) error {
	var trouble *sqlite.Trouble
	var unreadable *sheet.Unreadable
	var conflict *journal.Conflict
	switch {
	case errors.As(err, &trouble):
		return figure.Refuse("", trouble.Say, trouble.Try)
	case errors.As(err, &unreadable):
		return figure.Refuse("", unreadable.Say, unreadable.Try)
	case errors.As(err, &conflict):
		return figure.Refuse("id", conflict.Error(), "")
	}
	return err
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return grouped(n) + " " + many
}

// grouped prints a count with thousands marks.
func grouped(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

type journalImport struct {
	File     string `arg:"" help:"The table (.csv, .tsv, .xlsx) or the JSON file (.json, .jsonl)."`
	DryRun   bool   `name:"dry-run" help:"Only check, and list every problem."`
	Yes      bool   `help:"What is doubtful is right: keep it, and keep this answer with it."`
	KeepGood bool   `name:"keep-good" help:"Keep the good rows and leave the bad ones."`
	Dates    string `enum:",mdy,dmy" default:"" help:"How dates such as 3/4/2026 are meant: mdy or dmy."`
	Kind     string `help:"Kind of all the rows, when no column says."`
	Map      string `help:"A mapping file for headers and words of your own (docs/import.md)." placeholder:"FILE"`
	Sheet    string `help:"The sheet of a workbook." placeholder:"NAME"`
	Zone     string `help:"Zone of times without one, such as America/Los_Angeles; the farm's when left out." placeholder:"ZONE"`
	Who      string `help:"Who did it, when no column says."`
}

// importAnswer is what journal import prints.
type importAnswer struct {
	File   string `json:"file"`
	DryRun bool   `json:"dry_run"`
	sheet.Report
}

// Run imports a file.
func (j *journalImport) Run(c *Context) error {
	how := app.ImportHow{DryRun: j.DryRun, Yes: j.Yes, KeepGood: j.KeepGood,
		Sheet: sheet.Options{Dates: j.Dates, Kind: j.Kind, Tab: j.Sheet, Who: j.Who}}
	if j.Kind != "" {
		if _, ok := journal.KindNamed(j.Kind); !ok {
			return figure.Refuse("--kind", fmt.Sprintf("%q is not a kind of entry.", j.Kind), "Use one of "+strings.Join(journal.KindNames(), ", ")+".")
		}
	}
	if j.Zone != "" {
		z, err := time.LoadLocation(j.Zone)
		if err != nil {
			return figure.Refuse("--zone", fmt.Sprintf("The zone %q is not known.", j.Zone), "Choose one such as America/Los_Angeles.")
		}
		how.Sheet.Zone = z
	}
	if j.Map != "" {
		m, problems, err := sheet.ReadMap(j.Map)
		if err != nil {
			return inWords(err)
		}
		if len(problems) > 0 {
			var out []figure.Problem
			for _, p := range problems {
				out = append(out, figure.Problem{Field: j.Map + ", " + p.Field, Say: p.Say, Try: p.Try})
			}
			return contract.Refuse(out)
		}
		how.Sheet.Map = m
	}
	if j.DryRun { // looking at a file must not make a farm
		if _, err := os.Stat(c.Farm); errors.Is(err, os.ErrNotExist) {
			dir, err := os.MkdirTemp("", "wormyard")
			if err != nil {
				return err
			}
			defer os.RemoveAll(dir)
			c.Farm = filepath.Join(dir, "empty.wormyard")
		}
	}
	a, store, err := openFarm(c)
	if err != nil {
		return err
	}
	defer store.Close()
	if info, ok := c.Stderr.(*os.File); ok && isTerminal(info) {
		how.Progress = func(pass string, part, of int64) {
			fmt.Fprintf(c.Stderr, "\r%s %3.0f %%  ", pass, 100*float64(part)/float64(max(of, 1)))
		}
	}
	report, err := a.Import(c, j.File, how)
	if how.Progress != nil {
		fmt.Fprint(c.Stderr, "\r                    \r")
	}
	if err != nil {
		return inWords(err)
	}
	if j.Zone == "" && how.Sheet.Map.Zone == "" && a.State().Settings.Zone == "" {
		report.Notes = append(report.Notes, sheet.Problem{Problem: journal.Problem{Field: "zone", Say: "The farm has no zone yet, so times were read as UTC. Say --zone, or set the farm's zone first."}})
	}
	if report.Problems == nil {
		report.Problems = []sheet.Problem{}
	}
	answer := importAnswer{j.File, j.DryRun, report}
	if err := c.Print(answer, func(w io.Writer) error { return answer.words(w, j) }); err != nil {
		return err
	}
	if c.JSON {
		tellProblems(c.Stderr, report)
	}
	switch {
	case len(report.Problems) == 0:
		return nil
	case j.KeepGood && report.Written+report.Already > 0:
		return &contract.Partly{Say: fmt.Sprintf("%s left out.", plural(report.Refused+report.Doubtful, "row was", "rows were"))}
	}
	store.Close()
	panic(ended(exitRefused)) // everything is told; only the exit code is left to give
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// tellProblems prints the problems of a file; rows with the same one share a line.
func tellProblems(w io.Writer, r sheet.Report) {
	type key struct{ column, say, try string }
	rows := map[key][]int{}
	var order []key
	doubtful := false
	for _, p := range r.Problems {
		k := key{p.Column, p.Say, p.Try}
		if rows[k] == nil {
			order = append(order, k)
		}
		rows[k] = append(rows[k], p.Row)
		doubtful = doubtful || p.Level == journal.Doubtful
	}
	for _, k := range order {
		list := rows[k]
		where := fmt.Sprintf("row %d", list[0])
		if n := len(list); n > 1 {
			shown := make([]string, 0, 8)
			for _, row := range list[:min(n, 8)] {
				shown = append(shown, fmt.Sprint(row))
			}
			where = "rows " + strings.Join(shown, ", ")
			if n > 8 {
				where += fmt.Sprintf(" and %s more", grouped(n-8))
			}
		}
		if k.column != "" {
			where += ", " + k.column
		}
		fmt.Fprintf(w, "%s: %s\n", where, k.say)
		if k.try != "" {
			fmt.Fprintf(w, "  try: %s\n", k.try)
		}
	}
	if r.More > 0 {
		fmt.Fprintf(w, "and %s more problems.\n", grouped(r.More))
	}
	if doubtful {
		fmt.Fprintln(w, "  try: say --yes if all that is doubtful is right.")
	}
}

func (a importAnswer) words(w io.Writer, j *journalImport) error {
	r := a.Report
	tellProblems(w, r)
	for _, n := range r.Notes[:min(len(r.Notes), 20)] {
		if n.Row > 0 {
			fmt.Fprintf(w, "note: row %d: %s\n", n.Row, n.Say)
		} else {
			fmt.Fprintf(w, "note: %s\n", n.Say)
		}
	}
	if len(r.Notes) > 20 {
		fmt.Fprintf(w, "note: and %s more rows have notes of this sort.\n", grouped(len(r.Notes)-20))
	}
	kinds := make([]string, 0, len(r.Kinds))
	for k := range r.Kinds {
		kinds = append(kinds, k)
	}
	sort.Slice(kinds, func(i, k int) bool {
		return r.Kinds[kinds[i]] > r.Kinds[kinds[k]] || r.Kinds[kinds[i]] == r.Kinds[kinds[k]] && kinds[i] < kinds[k]
	})
	parts := make([]string, len(kinds))
	for i, k := range kinds {
		parts[i] = grouped(r.Kinds[k]) + " " + k
	}
	fmt.Fprintf(w, "%s: %s", filepath.Base(j.File), plural(r.Rows, "entry", "entries"))
	if len(parts) > 0 {
		fmt.Fprintf(w, " (%s)", strings.Join(parts, ", "))
	}
	fmt.Fprint(w, ".")
	if r.Refused > 0 {
		fmt.Fprintf(w, " %s cannot be right.", plural(r.Refused, "row", "rows"))
	}
	if r.Doubtful > 0 {
		fmt.Fprintf(w, " %s unusual.", plural(r.Doubtful, "row is", "rows are"))
	}
	switch {
	case j.DryRun:
		fmt.Fprintln(w, " Nothing was written: this was a dry run.")
	case r.Written == 0 && r.Already > 0:
		fmt.Fprintf(w, " All of them were in the journal already; nothing changed.\n")
	case r.Written == 0:
		fmt.Fprintln(w, " Nothing was written.")
	case r.Already > 0:
		fmt.Fprintf(w, " %s written; %s there already.\n", plural(r.Written, "was", "were"), grouped(r.Already))
	default:
		fmt.Fprintf(w, " %s written.\n", plural(r.Written, "was", "were"))
	}
	return nil
}

// filter says which entries are wanted.
type filter struct {
	Bin  string `help:"Only entries that name this bin."`
	Kind string `help:"Only entries of this kind."`
	From string `help:"From this day on, such as 2026-03-01." placeholder:"DAY"`
	To   string `help:"Up to this day, the day included." placeholder:"DAY"`
	Text string `help:"Only entries that hold this text."`
}

// wanted gives the test of the filter in a zone.
func (f filter) wanted(zone *time.Location) (func(*journal.Entry) bool, error) {
	var problems []figure.Problem
	day := func(flag, s string) time.Time {
		if s == "" {
			return time.Time{}
		}
		t, err := time.ParseInLocation(journal.DayLayout, s, zone)
		if err != nil {
			problems = append(problems, figure.Problem{Field: flag, Say: fmt.Sprintf("%q is not a day.", s), Try: "Write it as 2026-03-01."})
		}
		return t
	}
	from, to := day("--from", f.From), day("--to", f.To)
	if !to.IsZero() {
		to = to.AddDate(0, 0, 1)
	}
	if f.Kind != "" {
		if _, ok := journal.KindNamed(f.Kind); !ok {
			try := "Use one of " + strings.Join(journal.KindNames(), ", ") + "."
			if near := journal.Nearest(f.Kind, journal.KindNames()); len(near) > 0 {
				try = "Did you mean " + strings.Join(near, " or ") + "?"
			}
			problems = append(problems, figure.Problem{Field: "--kind", Say: fmt.Sprintf("%q is not a kind of entry.", f.Kind), Try: try})
		}
	}
	text := strings.ToLower(f.Text)
	return func(e *journal.Entry) bool {
		switch {
		case f.Kind != "" && e.Kind != f.Kind, !from.IsZero() && e.At.Before(from), !to.IsZero() && !e.At.Before(to):
			return false
		case text != "" && !strings.Contains(strings.ToLower(string(e.AppendContent(nil))), text):
			return false
		case f.Bin == "":
			return true
		}
		for _, r := range journal.References(e) {
			if r.Of == "bin" && strings.EqualFold(r.Name, f.Bin) {
				return true
			}
		}
		return false
	}, contract.Refuse(problems)
}

// some gives the entries that pass a test.
func some(entries iter.Seq2[journal.Entry, error], want func(*journal.Entry) bool) iter.Seq2[journal.Entry, error] {
	return func(yield func(journal.Entry, error) bool) {
		for e, err := range entries {
			if (err != nil || want(&e)) && !yield(e, err) {
				return
			}
		}
	}
}

type journalExport struct {
	File string `arg:"" optional:"" help:"Where to write: .csv, .json or .xlsx; CSV on standard output when left out."`
	filter
	Replace bool `help:"Write over a file that is there."`
}

// Run exports the journal.
func (j *journalExport) Run(c *Context) error {
	store, err := openStore(c)
	if err != nil {
		return err
	}
	defer store.Close()
	want, err := j.wanted(time.UTC)
	if err != nil {
		return err
	}
	entries := some(store.Entries(c, 0), want)
	write := func(w io.Writer) (int, error) { return sheet.ExportCSV(w, entries) }
	switch ext := strings.ToLower(filepath.Ext(j.File)); ext {
	case "":
		if j.File == "" && c.JSON {
			write = func(w io.Writer) (int, error) { return sheet.ExportJSON(w, contract.Version, entries) }
		} else if j.File != "" {
			return figure.Refuse("", fmt.Sprintf("The name %s does not say what to write.", j.File), "Let it end in .csv, .json or .xlsx.")
		}
	case ".csv":
	case ".json":
		write = func(w io.Writer) (int, error) { return sheet.ExportJSON(w, contract.Version, entries) }
	case ".xlsx":
		write = func(w io.Writer) (int, error) { return sheet.ExportXLSX(w, entries) }
	default:
		return figure.Refuse("", fmt.Sprintf("A %s file cannot be written.", ext), "Let the name end in .csv, .json or .xlsx.")
	}
	if j.File == "" {
		_, err := write(c.Stdout)
		return inWords(err)
	}
	if _, err := os.Stat(j.File); err == nil && !j.Replace {
		return figure.Refuse("", fmt.Sprintf("There is a file %s already.", j.File), "Name another one, or say --replace.")
	}
	part := j.File + ".part"
	out, err := os.Create(part)
	if err != nil {
		return figure.Refuse("", fmt.Sprintf("%s cannot be written.", j.File), "See that the folder is there and that your user may write in it.")
	}
	defer os.Remove(part)
	n, err := write(out)
	if err = errors.Join(err, out.Close()); errors.Is(err, syscall.ENOSPC) {
		return figure.Refuse("", fmt.Sprintf("The disk that holds %s is full. Nothing was written.", j.File), "Make room, or name a file on another disk.")
	} else if err != nil {
		return inWords(err)
	}
	if err := os.Rename(part, j.File); err != nil {
		return err
	}
	return c.Print(struct {
		File    string `json:"file"`
		Entries int    `json:"entries"`
	}{j.File, n}, func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "%s written to %s.\n", plural(n, "entry", "entries"), j.File)
		return err
	})
}

type journalList struct {
	filter
	Limit int  `default:"50" help:"At most this many, the newest; 0 for all."`
	Live  bool `help:"Only entries that count: not struck, and no strikes."`
}

// listed is an entry as journal list prints it.
type listed struct {
	*journal.Entry
	Struck bool
	By     []string
}

// MarshalJSON adds to an entry what became of it.
func (l listed) MarshalJSON() ([]byte, error) {
	raw, err := journal.Encode(*l.Entry)
	if err != nil {
		return nil, err
	}
	more, err := journal.Encode(struct {
		Struck bool     `json:"struck"`
		By     []string `json:"struck_by,omitempty"`
	}{l.Struck, l.By})
	if err != nil {
		return nil, err
	}
	return append(append(raw[:len(raw)-1], ','), more[1:]...), nil
}

// Run lists entries.
func (j *journalList) Run(c *Context) error {
	store, err := openStore(c)
	if err != nil {
		return err
	}
	defer store.Close()
	zone, strikes, err := zoneAndStrikes(c, store)
	if err != nil {
		return err
	}
	want, err := j.wanted(zone)
	if err != nil {
		return err
	}
	var list []listed
	total := 0
	for e, err := range some(store.Entries(c, 0), want) {
		if err != nil {
			return inWords(err)
		}
		struck := strikes.Struck(e.ID)
		if j.Live && (struck || e.Kind == "strike") {
			continue
		}
		total++
		list = append(list, listed{&e, struck, strikes.By(e.ID)})
		if j.Limit > 0 && len(list) > 4*j.Limit+1000 {
			list = newest(list, j.Limit)
		}
	}
	list = newest(list, j.Limit)
	return c.Print(struct {
		Total   int      `json:"total"`
		Entries []listed `json:"entries"`
	}{total, append([]listed{}, list...)}, func(w io.Writer) error {
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, l := range list {
			kind, _ := journal.KindNamed(l.Kind)
			mark := ""
			switch {
			case l.Struck:
				mark = "[struck] "
			case l.Strikes != "" && l.Kind != "strike":
				mark = "[replaces " + l.Strikes + "] "
			case l.Strikes != "":
				mark = "[strikes " + l.Strikes + "] "
			}
			fmt.Fprintf(t, "%s\t%s\t%s\t%s%s\t%s\n", l.At.In(zone).Format("2006-01-02 15:04"), kind.Words, l.Who, mark, journal.Brief(l.Entry, c.Units()), l.ID)
		}
		if err := t.Flush(); err != nil {
			return err
		}
		if total > len(list) {
			fmt.Fprintf(w, "%s of %s. Say --limit 0 for all.\n", grouped(len(list)), plural(total, "entry", "entries"))
		} else {
			fmt.Fprintf(w, "%s.\n", plural(total, "entry", "entries"))
		}
		return nil
	})
}

// newest keeps the last n by time, all when n is 0.
func newest(list []listed, n int) []listed {
	sort.SliceStable(list, func(i, k int) bool { return journal.Before(list[i].Entry, list[k].Entry) })
	if n > 0 && len(list) > n {
		list = list[len(list)-n:]
	}
	return list
}

// zoneAndStrikes reads once through the journal for the farm's zone and for
// what is struck.
func zoneAndStrikes(ctx context.Context, store *sqlite.Store) (*time.Location, *journal.Strikes, error) {
	var facts journal.Facts
	var strikes journal.Strikes
	for e, err := range store.Entries(ctx, 0) {
		if err != nil {
			return nil, nil, inWords(err)
		}
		strikes.Add(&e)
		if e.Kind == "setting" || e.Strikes != "" {
			facts.Add(&e)
		}
	}
	zone := time.UTC
	if value, ok := facts.Setting("zone", time.Unix(1<<40, 0)); ok {
		if z, err := time.LoadLocation(strings.Trim(value, `"`)); err == nil {
			zone = z
		}
	}
	return zone, &strikes, nil
}

type journalStrike struct {
	ID  string `arg:"" help:"Id of the entry, as journal list shows it."`
	Why string `required:"" help:"The reason, for those who read the journal later."`
	Who string `help:"Who strikes it."`
}

// Run strikes an entry.
func (j *journalStrike) Run(c *Context) error {
	store, err := openStore(c)
	if err != nil {
		return err
	}
	defer store.Close()
	a, err := app.Open(c, store, c.Now)
	if err != nil {
		return inWords(err)
	}
	ack, err := a.Strike(c, j.ID, j.Who, j.Why)
	if err != nil {
		return inWords(err)
	}
	if !ack.Saved {
		var out []figure.Problem
		for _, p := range ack.Problems {
			out = append(out, figure.Problem{Field: p.Field, Say: p.Say, Try: p.Try})
		}
		return contract.Refuse(out)
	}
	return c.Print(struct {
		Struck string `json:"struck"`
		By     string `json:"by"`
	}{j.ID, ack.Entry.ID}, func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "Struck. To let it count again, strike %s.\n", ack.Entry.ID)
		return err
	})
}
