// Package demo makes Heron Slough, an invented castings farm in a wet lowland
// with mild winters: 240 bins in two barns, a crew of three, two years of
// journal up to a fixed day, which is "today" whenever the demo is opened.
//
// The journal is not invented line by line. A truth run lets every bed live
// through the two years with the engine of package bed, hour by hour, under
// numbers of nature that differ from those the twins start with, in barns that
// leak more than their owner says. A crew works on the truth by simple habits,
// sees it with a noisy eye and a dial thermometer, and writes down most of what
// it does. Only what was written goes into the farm, as CSV files through the
// import that every farm uses; what was true stays outside (Answers), so that
// what the tool learns can be scored.
//
// Left out: people who quit, prices that move, bins that break under the truck.
// How it is made, and what it is not, is told in docs/demo.md.
package demo

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
	_ "time/tzdata" // the farm's zone, on machines that have none

	"wormyard/internal/app"
	"wormyard/internal/sqlite"
	"wormyard/journal"
)

// Edition counts the makes of the demo: a farm file of another edition is made
// anew. The farm keeps it as the setting "demo", among its first entries.
const Edition = 22

// Zone is the farm's time zone.
const Zone = "America/Los_Angeles"

// ShiftYears is how far the weather record is moved on.
const ShiftYears = 12

const keyEdition = "demo"

// Now gives the frozen clock of the demo: Tuesday 3 March 2026, 07:40 farm time.
func Now() time.Time { return time.Date(2026, 3, 3, 15, 40, 0, 0, time.UTC) }

// Site gives where the demo's weather comes from, for app.Twins.
func Site() app.Site { return app.Site{ShiftYears: ShiftYears} }

// Path gives the usual place of the demo farm: in the user's folder for things
// that can be made again, or in the working folder where there is none.
func Path() string {
	const name = "heron-slough.wormyard"
	dir, err := os.UserCacheDir()
	if err != nil {
		return name
	}
	dir = filepath.Join(dir, "wormyard")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return name
	}
	return filepath.Join(dir, name)
}

// Progress is told what is being done and how far it is.
type Progress func(step string, done, of int)

// Open opens the demo farm at path with its frozen clock. It is made first when
// it is missing or of another edition. The store is to be closed.
func Open(ctx context.Context, path string, progress Progress) (*app.App, *sqlite.Store, error) {
	return heronSlough().open(ctx, path, progress)
}

func (p plan) open(ctx context.Context, path string, progress Progress) (*app.App, *sqlite.Store, error) {
	fresh, err := upToDate(ctx, path)
	if err != nil {
		return nil, nil, err
	}
	if !fresh {
		if err := p.make(ctx, path, progress); err != nil {
			return nil, nil, err
		}
	}
	a, store, err := app.OpenFile(ctx, path, Now)
	if err != nil {
		return nil, nil, err
	}
	store.Now = Now
	return a, store, nil
}

// upToDate says whether the file is a demo farm of this edition. A farm that is
// no demo is an error, so that nobody's journal is made anew.
func upToDate(ctx context.Context, path string) (bool, error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	store, err := sqlite.OpenExisting(path)
	if err != nil {
		return false, err
	}
	defer store.Close()
	n := 0
	for e, err := range store.Entries(ctx, 0) {
		if err != nil {
			return false, err
		}
		if b, ok := e.Body.(*journal.Setting); ok && b.Key == keyEdition {
			var made int
			return json.Unmarshal(b.Value, &made) == nil && made == Edition, nil
		}
		if n++; n == 1000 { // it is among the first
			break
		}
	}
	if n == 0 {
		return false, nil
	}
	return false, &sqlite.Trouble{Path: path, Say: fmt.Sprintf("%s is a farm, but not the demo farm. It was not changed.", path), Try: "Name another file for the demo with --farm, or leave --farm out."}
}

// Make makes the demo farm at path, in place of a demo farm that was there. It
// takes up to a minute; progress may be nil. The same seed gives the same
// entries bit for bit on amd64.
func Make(ctx context.Context, path string, progress Progress) error {
	return heronSlough().make(ctx, path, progress)
}
