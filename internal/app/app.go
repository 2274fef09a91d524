// Package app holds the use cases of a farm: what a page, a command or a file
// asks for, each as one method that reads the current picture of the farm,
// changes it by entries in the journal, or both. It knows nothing of HTTP or of
// the terminal, and it declares the small stores it needs.
//
// One writer at a time: Record, Strike, Import and FirstMorning wait for each
// other. Readers take the current farm.State, which never changes, and are not
// held up.
package app

import (
	"context"
	"encoding/json"
	"errors"
	"sync"
	"sync/atomic"
	"time"
	_ "time/tzdata" // zones on machines that have none

	"wormyard/farm"
	"wormyard/internal/ids"
	"wormyard/internal/source"
	"wormyard/internal/sqlite"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// Journal is where entries are kept; internal/sqlite is one.
type Journal interface {
	// Append keeps entries for ever, all or none, and gives them as taken.
	Append(ctx context.Context, entries []journal.Entry) ([]journal.Entry, error)
	// Load gives every entry taken after the one with that sequence number, in that order.
	Load(ctx context.Context, after int64) ([]journal.Entry, error)
}

// App is one open farm. Make one with Open or OpenFile.
type App struct {
	Journal Journal
	Clock   func() time.Time // the farm's now; frozen for the demo
	// Written is called after entries were kept and folded, with what they are;
	// it must return soon. Set it before the app is used, or leave it nil.
	Written func(entries []journal.Entry)
	// Expect tells what a probe is likely to say. Set it before the app is used, or
	// leave it nil.
	Expect Expecting
	// ExpectWorms tells how many worms a bin is likely to have [kg live]; false where
	// nothing was worked out of late. As Expect.
	ExpectWorms func(bin string) (twin.Range, bool)

	trade   farm.Trade
	newID   func() (string, error) // of an entry; in tests the same in every run, as the twins' draws hang on it
	writing sync.Mutex
	farm    *farm.Farm
	facts   *journal.Facts
	seq     int64 // of the newest entry folded
	state   atomic.Pointer[farm.State]
}

// Open folds a journal and gives the farm. The clock is the farm's now. The
// error is the store's, or ours when the built-in data is amiss.
func Open(ctx context.Context, j Journal, clock func() time.Time) (*App, error) {
	trade, err := Trade()
	if err != nil {
		return nil, err
	}
	a := &App{Journal: j, Clock: clock, trade: trade, newID: ids.New, farm: farm.New(trade), facts: &journal.Facts{}}
	a.state.Store(a.farm.State())
	return a, a.catchUp(ctx)
}

// OpenFile opens the farm in a file, which is made when there is none, and gives
// the file to close.
func OpenFile(ctx context.Context, path string, clock func() time.Time) (*App, *sqlite.Store, error) {
	store, err := sqlite.Open(path)
	if err != nil {
		return nil, nil, err
	}
	a, err := Open(ctx, store, clock)
	if err != nil {
		return nil, nil, errors.Join(err, store.Close())
	}
	return a, store, nil
}

// Trade gives what the fold knows beyond the journal: the library of materials
// and what is usual, from the built-in data.
func Trade() (farm.Trade, error) {
	t := farm.Trade{Decode: json.Unmarshal, Zone: time.LoadLocation}
	err := source.Load("farm", &t.Usual)
	err2 := source.Load("doubt", &t.Limits)
	library, err3 := source.Library()
	t.Library = library
	return t, errors.Join(err, err2, err3)
}

// State gives the farm as of now. It never changes; ask again for a newer one.
func (a *App) State() *farm.State { return a.state.Load() }

// Now gives the farm's time in the farm's zone.
func (a *App) Now() time.Time { return a.Clock().In(a.State().Zone()) }

// Usual gives what is taken where nobody said.
func (a *App) Usual() farm.Usual { return a.trade.Usual }

// NewID makes the id of an entry.
func (a *App) NewID() (string, error) { return a.newID() }

// Refresh takes in what another program wrote to the same journal.
func (a *App) Refresh(ctx context.Context) error {
	a.writing.Lock()
	defer a.writing.Unlock()
	return a.catchUp(ctx)
}

// catchUp folds what the journal holds beyond what is folded.
func (a *App) catchUp(ctx context.Context) error {
	fresh, err := a.Journal.Load(ctx, a.seq)
	if err != nil {
		return err
	}
	a.fold(fresh)
	return nil
}

// fold takes in entries that are kept.
func (a *App) fold(fresh []journal.Entry) {
	if len(fresh) == 0 {
		return
	}
	for i := range fresh {
		e := &fresh[i]
		e.Raw = nil // the body says the same
		a.facts.Add(e)
		a.seq = max(a.seq, e.Seq)
	}
	a.farm.Apply(fresh)
	a.state.Store(a.farm.State())
	if a.Written != nil {
		a.Written(fresh)
	}
}

// A Problem is one thing wrong or odd with what was typed.
type Problem struct {
	Field  string `json:"field"`            // key of the body, "at", "bins[2]"
	Row    int    `json:"row,omitempty"`    // of a file, as a spreadsheet counts
	Column string `json:"column,omitempty"` // of a file
	Say    string `json:"say"`
	Try    string `json:"try"`
	Doubt  bool   `json:"doubtful,omitempty"` // may be saved after "yes, that is right"
}

func problems(list []journal.Problem) []Problem {
	out := make([]Problem, 0, len(list))
	for _, p := range list {
		out = append(out, Problem{Field: p.Field, Say: p.Say, Try: p.Try, Doubt: p.Level == journal.Doubtful})
	}
	return out
}

// Ack says what became of an entry.
type Ack struct {
	Entry    journal.Entry
	Saved    bool
	Problems []Problem // all that is refused or doubtful; empty when saved without question
	Undo     string    // id to strike to undo it, empty when not saved
}

// Refused says whether something cannot be true, so that asking again is no use.
func (a Ack) Refused() bool {
	for _, p := range a.Problems {
		if !p.Doubt {
			return true
		}
	}
	return false
}

// units gives the units of messages: the farm's.
func (a *App) units() qty.System { return a.State().Settings.Units }
