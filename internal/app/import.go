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
		Odd: a.oddRow, Ask: a.rowsOf,
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

// oddRow says whether of a row of a file more has to be asked than it tells by
// itself: a reading that no living bed has, or one that is whole years old.
func (a *App) oddRow(e *journal.Entry) bool { return a.oddReading(e) || a.yearsOld(e) }

// yearsOld says whether a reading is so old, to a few days, as a clock with the
// wrong year would make one of these days. docs/model.md (P2).
func (a *App) yearsOld(e *journal.Entry) bool {
	_, ok := e.Body.(*journal.Reading)
	return ok && a.trade.Limits.YearOff(a.Clock().Sub(e.At).Hours()/24, 0)
}

// odd says whether no living bed has a temperature, and some have it in the other
// scale.
func (a *App) odd(c float64) bool {
	low, high := a.trade.Limits.Usual()
	_, odd := a.trade.Limits.Mistaken(c, low, high)
	return odd
}

// rowsOf asks about the readings of a file that its rows together throw doubt on:
// those that fit only in the other scale, and those of a thermometer that ends whole
// years ago.
func (a *App) rowsOf(rows iter.Seq[*journal.Entry]) map[string][]journal.Problem {
	var good []journal.Entry
	known := journal.Known{Units: a.units(), Zone: a.State().Zone(), Now: a.Clock()}
	for e := range rows {
		if journal.Worst(journal.Check(e, known)) != journal.Refused {
			good = append(good, *e)
		}
	}
	out := map[string][]journal.Problem{}
	a.otherScales(good, out)
	a.oldClocks(good, out)
	return out
}

// otherScales asks about the readings of a file that fit only in the other scale,
// as the farm would be once the file is in it. docs/model.md (P5).
func (a *App) otherScales(rows []journal.Entry, out map[string][]journal.Problem) {
	var odd []*journal.Entry
	for i := range rows {
		if a.oddReading(&rows[i]) {
			odd = append(odd, &rows[i])
		}
	}
	if len(odd) == 0 {
		return
	}
	with := farm.New(a.trade)
	var all []journal.Entry
	for _, e := range a.State().Journal() {
		all = append(all, *e)
	}
	with.Apply(append(all, rows...))
	s := with.State()
	type place struct { // and day, of which the air was looked up
		barn string
		day  int64
	}
	usual := map[place]twin.Range{}
	for _, e := range odd {
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
			out[e.ID] = append(out[e.ID], otherScale(s.Settings.Units, *r.TempC, qty.Celsius(as), qty.Celsius(math.NaN())))
		}
	}
}
