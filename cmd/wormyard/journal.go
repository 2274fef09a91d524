package main

import (
	"fmt"
	"iter"
	"slices"
	"strings"
	"time"

	"wormyard/barn"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/journal"
)

type journalCommand struct {
	Import journalImport `cmd:"" help:"Take in a table or a JSON file of entries: all rows or none. The same file twice changes nothing."`
	Export journalExport `cmd:"" help:"Write the journal as CSV, JSON or XLSX, to be imported again or worked on elsewhere."`
	List   journalList   `cmd:"" help:"Show entries, the newest last."`
	Strike journalStrike `cmd:"" help:"Cancel an entry, with a reason. Both stay readable."`
}

// filter says which entries are wanted.
type filter struct {
	Bin  string `help:"Only entries that name this bin, or these: B12, 12, B12-B18."`
	Kind string `help:"Only entries of this kind."`
	From string `help:"From this day on, such as 2026-03-01." placeholder:"DAY"`
	To   string `help:"Up to this day, the day included." placeholder:"DAY"`
	Text string `help:"Only entries that hold this text."`
}

// wanted gives the test of the filter in a zone. The journal says which bins there
// are, so that one is found however it is written.
func (f filter) wanted(zone *time.Location, entries iter.Seq2[journal.Entry, error]) (func(*journal.Entry) bool, error) {
	var problems []figure.Problem
	var bins []string
	if f.Bin != "" {
		names, err := binsBuilt(entries)
		if err != nil {
			return nil, err
		}
		var e *barn.SelectError
		if bins, e = names.Read(f.Bin); e != nil {
			problems = append(problems, figure.Problem{Field: "--bin", Say: e.Say, Try: e.Try})
		}
	}
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
			if r.Of == "bin" && slices.Contains(bins, r.Name) {
				return true
			}
		}
		return false
	}, contract.Refuse(problems)
}

// binsBuilt gathers the names of all bins that were ever built.
func binsBuilt(entries iter.Seq2[journal.Entry, error]) (*barn.Names, error) {
	var facts journal.Facts
	for e, err := range entries {
		if err != nil {
			return nil, err
		}
		facts.Add(&e)
	}
	return barn.NewNames(facts.Names("bin")), nil
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
