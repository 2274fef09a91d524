package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"time"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/contract"
	"wormyard/internal/sheet"
	"wormyard/journal"
)

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
			return err
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
	a, store, err := c.makeFarm()
	if err != nil {
		return err
	}
	defer store.CloseUnused() // a file that is only looked at, or refused, makes no farm
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
		return err
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
	return errTold
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
		if list[0] == 0 {
			where = "the file"
		}
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
