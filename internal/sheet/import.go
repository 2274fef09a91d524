package sheet

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// Journal is what an import needs of the store.
type Journal interface {
	Entries(ctx context.Context, after int64) iter.Seq2[journal.Entry, error]
}

// Batch is a number of appends that are kept together or not at all.
type Batch interface {
	Append(entries []journal.Entry) ([]journal.Entry, error)
	Kept(id string) (e journal.Entry, ok bool, err error) // what the journal holds under an id
	New() int                                             // how many entries were not there before
	Commit() error
	Rollback()
}

// How says how an import is to be done.
type How struct {
	Begin    func(ctx context.Context) (Batch, error)
	Now      time.Time
	Units    qty.System
	DryRun   bool                              // only check
	Yes      bool                              // doubtful things are right
	KeepGood bool                              // write the good rows and leave the bad ones
	Progress func(pass string, part, of int64) // may be nil

	// Odd says whether an entry is one of those for which the whole file has to be
	// seen, and Ask, which is called where there are some, what is to be asked about
	// by the id of the entry, of rows in their order with bins as painted. Odd and
	// Ask may be nil.
	Odd func(e *journal.Entry) bool
	Ask func(rows iter.Seq[*journal.Entry]) map[string][]journal.Problem
}

// MostProblems is how many problems a report keeps; the rest are counted.
const MostProblems = 20_000

// Report is what an import found and did.
type Report struct {
	Rows     int            `json:"rows"`     // entries in the file
	Good     int            `json:"good"`     // rows that can be kept
	Refused  int            `json:"refused"`  // rows that cannot be true or cannot be read
	Doubtful int            `json:"doubtful"` // rows that are unusual and were not confirmed
	Written  int            `json:"written"`  // rows that are in the journal now and were not before
	Already  int            `json:"already"`  // rows that were in the journal before
	Kinds    map[string]int `json:"kinds"`    // rows a kind
	Problems []Problem      `json:"problems"`
	More     int            `json:"more,omitempty"` // problems beyond those listed
	Notes    []Problem      `json:"notes,omitempty"`
}

func (r *Report) tell(ps []Problem) {
	for _, p := range ps {
		if len(r.Problems) < MostProblems {
			r.Problems = append(r.Problems, p)
		} else {
			r.More++
		}
	}
}

// batchRows is how many entries are handed to the store at a time.
const batchRows = 1000

// holdBytes is the size of the largest file whose rows are held in memory [byte].
const holdBytes = 16 << 20

// verdict is what the check of a row came to.
type verdict byte

const (
	leave   verdict = iota
	take            // nothing is wrong
	confirm         // doubtful, and said to be right
)

// progressRows is how often progress is told.
const progressRows = 2000

// Import checks every row of a file against what the journal and the file itself
// say of the farm, and then keeps all rows or none, or with KeepGood the good
// ones. The same file twice changes nothing. A large file is read three times, for
// what it says of bins and beds, to check, and to write, and once more where some
// of it is odd; no more than a batch of it is held at once.
func (f *File) Import(ctx context.Context, j Journal, how How) (Report, error) {
	report := Report{Kinds: map[string]int{}}
	var facts journal.Facts
	there := map[uint64]struct{}{} // hashes of the ids in the journal
	for e, err := range j.Entries(ctx, 0) {
		if err != nil {
			return report, err
		}
		facts.Add(&e)
		there[hash64([]byte(e.ID))] = struct{}{}
	}
	known := journal.Known{Units: how.Units, Zone: f.opt.Zone, Now: how.Now, Facts: &facts}
	total := 0 // rows, once they are held
	tick := func(pass string, n int) error {
		if n%progressRows == 0 {
			switch {
			case how.Progress == nil:
			case total > 0:
				how.Progress(pass, int64(n), int64(total))
			default:
				how.Progress(pass, f.read, f.size)
			}
			return ctx.Err()
		}
		return nil
	}

	// A small file is read once and held; a large one is read again for each pass.
	var held []Row
	var late []*journal.Entry
	hold := f.size <= f.hold
	pass := f.Rows()
	n, odd := 0, false
	for row, err := range pass {
		if err != nil {
			return report, err
		}
		if hold {
			held = append(held, row)
		}
		if n++; row.Entry != nil {
			odd = odd || how.Odd != nil && how.Odd(row.Entry)
			switch row.Entry.Body.(type) {
			case *journal.Bed, *journal.Harvest: // of bins that a later row may build
				late = append(late, row.Entry)
			default:
				facts.Add(row.Entry)
			}
		}
		if err := tick("reading", n); err != nil {
			return report, err
		}
	}
	bins := newBinReader(&facts)
	for _, e := range late {
		bins.put(e)
		facts.Add(e)
	}
	if hold {
		total = len(held)
		pass = func(yield func(Row, error) bool) {
			for i := range held {
				if !yield(held[i], nil) {
					return
				}
			}
		}
	}

	var asked map[string][]journal.Problem
	if odd {
		var broke error
		asked = how.Ask(func(yield func(*journal.Entry) bool) {
			for row, err := range pass {
				if broke = err; err != nil {
					return
				}
				if row.Entry == nil {
					continue
				}
				if len(bins.put(row.Entry)) == 0 && !yield(row.Entry) {
					return
				}
			}
		})
		if broke != nil {
			return report, broke
		}
	}

	// good says whether a row may be kept, and confirms it when that was said. A
	// row that is in the journal already was judged when it came.
	good := func(row *Row) bool {
		ps := row.Problems
		if row.Entry != nil {
			unclear := bins.put(row.Entry)
			if _, already := there[hash64([]byte(row.Entry.ID))]; already && len(ps) == 0 {
				return true
			}
			for _, p := range journal.Check(row.Entry, known) {
				if better, ok := unclear[p.Field]; ok {
					p = better
				}
				ps = append(ps, Problem{row.Number, f.ColumnOf(row.Entry.Kind, p.Field), p})
			}
			for _, p := range asked[row.Entry.ID] {
				if !slices.Contains(row.Entry.Confirmed, p.Field) {
					ps = append(ps, Problem{row.Number, f.ColumnOf(row.Entry.Kind, p.Field), p})
				}
			}
		}
		row.Problems = ps
		switch journal.Worst(levels(ps)) {
		case journal.Refused:
			if how.Yes {
				row.Problems = slices.DeleteFunc(ps, func(p Problem) bool { return p.Level == journal.Doubtful })
			}
			return false
		case journal.Doubtful:
			if !how.Yes {
				return false
			}
			if row.Entry != nil {
				row.Entry.Confirm(levels(ps))
			}
		}
		return true
	}
	n = 0
	headBad := false
	var verdicts []verdict // a row, in the order of the file
	for row, err := range pass {
		if err != nil {
			return report, err
		}
		report.Notes = append(report.Notes, row.Notes[:min(len(row.Notes), MostProblems-min(MostProblems, len(report.Notes)))]...)
		isEntry := row.Entry != nil || len(row.Problems) > 0
		header := f.isTable() && n == 0
		n++
		ok := good(&row)
		switch {
		case !ok || row.Entry == nil:
			verdicts = append(verdicts, leave)
		case len(row.Problems) > 0:
			verdicts = append(verdicts, confirm)
		default:
			verdicts = append(verdicts, take)
		}
		if header {
			headBad = !ok
			if !ok || !how.Yes {
				report.tell(row.Problems)
			}
			continue
		}
		if !isEntry {
			continue
		}
		report.Rows++
		if row.Entry != nil {
			report.Kinds[row.Entry.Kind]++
		}
		switch {
		case ok:
			report.Good++
		case journal.Worst(levels(row.Problems)) == journal.Refused:
			report.Refused++
		default:
			report.Doubtful++
		}
		if !ok {
			report.tell(row.Problems)
		}
		if err := tick("checking", n); err != nil {
			return report, err
		}
	}
	bad := report.Refused + report.Doubtful
	if how.DryRun || headBad || bad > 0 && !how.KeepGood || report.Good == 0 {
		return report, nil
	}

	batch, err := how.Begin(ctx)
	if err != nil {
		return report, err
	}
	defer batch.Rollback()
	var rows []Row
	conflicts := 0
	clash := func(row *Row, kept *journal.Entry) {
		if sameRow(kept, row.Entry) {
			report.Already++
			return
		}
		conflicts++
		report.tell([]Problem{{row.Number, f.ColumnOf(row.Entry.Kind, "id"), conflict(&journal.Conflict{Kept: kept, Given: row.Entry})}})
	}
	flush := func() error {
		entries := make([]journal.Entry, len(rows))
		for i := range rows {
			entries[i] = *rows[i].Entry
		}
		_, err := batch.Append(entries)
		var c *journal.Conflict
		if !errors.As(err, &c) {
			rows = rows[:0]
			return err
		}
		// Some id is taken by another content: each row is looked up, those that
		// are free go again.
		first := map[string]*journal.Entry{}
		entries = entries[:0]
		for i := range rows {
			e := rows[i].Entry
			kept, ok, err := batch.Kept(e.ID)
			if err != nil {
				return err
			}
			if ok {
				clash(&rows[i], &kept)
			} else if twin := first[e.ID]; twin != nil {
				clash(&rows[i], twin)
			} else {
				first[e.ID] = e
				entries = append(entries, *e)
			}
		}
		rows = rows[:0]
		_, err = batch.Append(entries)
		return err
	}
	n = 0
	for row, err := range pass {
		if err != nil {
			return report, err
		}
		if n >= len(verdicts) {
			return report, &Unreadable{fmt.Sprintf("%s was changed while it was read.", f.path), "Do it again."}
		}
		n++
		if verdicts[n-1] == leave || row.Entry == nil || verdicts[n-1] == confirm && !good(&row) {
			continue
		}
		if rows = append(rows, row); len(rows) == batchRows {
			if err := flush(); err != nil {
				return report, err
			}
		}
		if err := tick("writing", n); err != nil {
			return report, err
		}
	}
	if err := flush(); err != nil {
		return report, err
	}
	report.Refused += conflicts
	report.Good -= conflicts
	if conflicts > 0 && !how.KeepGood {
		report.Already = 0
		return report, nil
	}
	if err := batch.Commit(); err != nil {
		return report, err
	}
	report.Written = batch.New()
	report.Already = report.Good - report.Written
	return report, nil
}

// sameRow says whether two entries under one id are the same row, read with
// another answer to what was doubtful or on another device.
func sameRow(a, b *journal.Entry) bool {
	x, y := *a, *b
	for _, e := range []*journal.Entry{&x, &y} {
		e.Confirmed, e.Device = nil, ""
		if e.Seal() != nil {
			return false
		}
	}
	return journal.Same(&x, &y)
}

func conflict(c *journal.Conflict) journal.Problem {
	return journal.Problem{Field: "id", Level: journal.Refused,
		Say: fmt.Sprintf("Entry %s is in the journal already and says something else there: %s.", c.Given.ID, c.Kept.AppendContent(nil)),
		Try: "Leave the id empty for a new entry, or strike the old one and write this one without id."}
}

func (f *File) isTable() bool { return f.format == "csv" || f.format == "xlsx" }

// ColumnOf gives the header of a field of a kind in the table read last.
func (f *File) ColumnOf(kind, field string) string {
	if f.last == nil {
		return ""
	}
	return f.last.columnOf(kind, field)
}
