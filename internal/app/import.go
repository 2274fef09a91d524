package app

import (
	"context"
	"errors"
	"iter"
	"time"

	"wormyard/internal/sheet"
	"wormyard/internal/sqlite"
	"wormyard/journal"
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
	})
	if how.DryRun {
		return report, err
	}
	return report, errors.Join(err, a.catchUp(ctx))
}
