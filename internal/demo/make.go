package demo

import (
	"context"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"time"

	"wormyard/internal/sheet"
	"wormyard/internal/sqlite"
	"wormyard/journal"
	"wormyard/qty"
)

// file is one CSV file that is read in at a time of the farm's own clock.
type file struct {
	name string
	read time.Time
	data []byte
}

// make lives the plan through and reads in what was written, day by day, each
// day with the farm's clock of that day, so that what was typed late is late.
func (p plan) make(ctx context.Context, path string, progress Progress) (err error) {
	if progress == nil {
		progress = func(string, int, int) {}
	}
	if _, err := upToDate(ctx, path); err != nil {
		return err // never over a farm that is not the demo
	}
	dir, err := os.MkdirTemp(filepath.Dir(path), "heron-slough-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	fresh := filepath.Join(dir, "farm.wormyard")
	store, err := sqlite.Open(fresh)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	files := make(chan file, 8)
	lived := make(chan error, 1)
	go func() {
		defer close(files)
		_, err := p.live(ctx, func(f file) error {
			select {
			case files <- f:
				return nil
			case <-ctx.Done():
				return ctx.Err()
			}
		}, progress)
		lived <- err
	}()
	err = readIn(ctx, store, dir, files)
	cancel()
	for range files {
	}
	if other := <-lived; err == nil {
		err = other
	}
	if shut := store.Close(); err == nil {
		err = shut
	}
	if err != nil {
		return err
	}
	for _, rest := range []string{"-wal", "-shm"} {
		if err := os.Remove(path + rest); err != nil && !os.IsNotExist(err) {
			return err
		}
	}
	return os.Rename(fresh, path)
}

// readIn imports files in order. Nothing may be refused; what is unusual is
// said to be right, as the crew does.
func readIn(ctx context.Context, store *sqlite.Store, dir string, files <-chan file) error {
	var past recent
	for f := range files {
		path := filepath.Join(dir, f.name)
		if err := os.WriteFile(path, f.data, 0o644); err != nil {
			return err
		}
		opened, err := sheet.Open(path, sheet.Options{Zone: f.read.Location(), Device: "desk"})
		if err != nil {
			return err
		}
		store.Now = func() time.Time { return f.read }
		batch := kept{past: &past}
		report, err := opened.Import(ctx, &past, sheet.How{
			Now: f.read, Units: qty.US, Yes: true,
			Begin: func(ctx context.Context) (sheet.Batch, error) {
				b, err := store.Begin(ctx)
				batch.Batch = b
				return &batch, err
			},
		})
		if err != nil {
			return fmt.Errorf("%s: %w", f.name, err)
		}
		if report.Written != report.Rows {
			return fmt.Errorf("%s: of %d rows %d were written: %v", f.name, report.Rows, report.Written, report.Problems[:min(5, len(report.Problems))])
		}
		if err := os.Remove(path); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// recent is what the journal holds so far of the kinds that tell what there is,
// kept at hand so that it need not be read from the store every day.
type recent struct{ entries []journal.Entry }

// Entries implements sheet.Journal.
func (r *recent) Entries(context.Context, int64) iter.Seq2[journal.Entry, error] {
	return func(yield func(journal.Entry, error) bool) {
		for _, e := range r.entries {
			if !yield(e, nil) {
				return
			}
		}
	}
}

// kept is a batch of the store whose telling entries are kept at hand too.
type kept struct {
	*sqlite.Batch
	past *recent
}

// Append implements sheet.Batch.
func (k *kept) Append(entries []journal.Entry) ([]journal.Entry, error) {
	taken, err := k.Batch.Append(entries)
	if err != nil {
		return taken, err
	}
	for _, e := range taken {
		switch e.Body.(type) {
		case *journal.Build, *journal.Bed, *journal.Harvest, *journal.Receive, *journal.Blend, *journal.Setting, *journal.Strike:
			k.past.entries = append(k.past.entries, e)
		}
	}
	return taken, nil
}
