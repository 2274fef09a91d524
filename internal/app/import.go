package app

import (
	"context"
	"errors"
	"iter"
	"math"
	"time"

	"wormyard/farm"
	"wormyard/internal/sheet"
	"wormyard/internal/sqlite"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// ErrNoImport is given for a journal that cannot take a file in one piece.
var ErrNoImport = errors.New("this journal takes no files")

// ImportHow says how far an import goes.
type ImportHow struct {
	Sheet    sheet.Options // zone and writer are filled from the farm when empty
	DryRun   bool          // only look
	Yes      bool          // doubtful rows are right
	KeepGood bool          // keep the good rows and leave the bad ones
	Progress func(pass string, part, of int64)
}

// Import takes entries from a farmer's own file (CSV, XLSX, JSON), all rows or
// none. The same file twice changes nothing. What is wrong is in the report, by
// row and column; a file that cannot be read at all gives a *sheet.Unreadable.
func (a *App) Import(ctx context.Context, path string, how ImportHow) (sheet.Report, error) {
	store, ok := a.Journal.(interface {
		Entries(ctx context.Context, after int64) iter.Seq2[journal.Entry, error]
		Begin(ctx context.Context) (*sqlite.Batch, error)
	})
	if !ok {
		return sheet.Report{}, ErrNoImport
	}
	opt := how.Sheet
	if opt.Zone == nil && opt.Map.Zone == "" {
		opt.Zone = a.State().Zone()
	} else if opt.Zone == nil {
		z, err := time.LoadLocation(opt.Map.Zone)
		if err != nil {
			return sheet.Report{}, &sheet.Unreadable{Say: "The zone " + opt.Map.Zone + " of the mapping file is not known.", Try: "Choose one such as America/Los_Angeles."}
		}
		opt.Zone = z
	}
	file, err := sheet.Open(path, opt)
	if err != nil {
		return sheet.Report{}, err
	}
	a.writing.Lock()
	defer a.writing.Unlock()
	report, err := file.Import(ctx, store, sheet.How{
		Begin: func(ctx context.Context) (sheet.Batch, error) { return store.Begin(ctx) },
		Now:   a.Clock(), Units: a.units(), DryRun: how.DryRun, Yes: how.Yes, KeepGood: how.KeepGood, Progress: how.Progress,
		Odd: a.oddReading, Ask: a.readingsOf,
	})
	if how.DryRun {
		return report, err
	}
	return report, errors.Join(err, a.catchUp(ctx))
}

// oddReading says whether a reading of a bed is such as no living bed has.
func (a *App) oddReading(e *journal.Entry) bool {
	r, ok := e.Body.(*journal.Reading)
	if !ok || r.Bin == "" || r.TempC == nil {
		return false
	}
	return a.odd(float64(*r.TempC))
}

// odd says whether no living bed has a temperature, and some have it in the other
// scale.
func (a *App) odd(c float64) bool {
	low, high := a.trade.Limits.Usual()
	_, odd := a.trade.Limits.Mistaken(c, low, high)
	return odd
}

// readingsOf asks about the readings of a file that fit only in the other scale, as
// the farm would be once the file is in it. docs/model.md (P5).
func (a *App) readingsOf(rows iter.Seq[*journal.Entry]) map[string][]journal.Problem {
	with := farm.New(a.trade)
	var all []journal.Entry
	for _, e := range a.State().Journal() {
		all = append(all, *e)
	}
	var odd []journal.Entry
	known := journal.Known{Units: a.units(), Zone: a.State().Zone(), Now: a.Clock()}
	for e := range rows {
		if journal.Worst(journal.Check(e, known)) == journal.Refused {
			continue
		}
		all = append(all, *e)
		if a.oddReading(e) {
			odd = append(odd, *e)
		}
	}
	with.Apply(all)
	s := with.State()
	out := map[string][]journal.Problem{}
	type place struct { // and day, of which the air was looked up
		barn string
		day  int64
	}
	usual := map[place]twin.Range{}
	for i := range odd {
		e := &odd[i]
		r := e.Body.(*journal.Reading)
		b, ok := s.Bin(r.Bin)
		if !ok {
			continue
		}
		at := place{b.Slot.Barn, e.At.Unix() / 86400}
		x, seen := usual[at]
		if !seen {
			x = a.usualOf(s, b, e.At)
			usual[at] = x
		}
		if as, is := a.trade.Limits.Mistaken(float64(*r.TempC), x.Low, x.High); is {
			out[e.ID] = []journal.Problem{otherScale(s.Settings.Units, *r.TempC, qty.Celsius(as), qty.Celsius(math.NaN()))}
		}
	}
	return out
}
