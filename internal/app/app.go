// Package app holds the use cases of a farm: what a page, a command or a file
// asks for, each as one method that reads the current picture of the farm,
// changes it by entries in the journal, or both. It knows nothing of HTTP or of
// the terminal, and it declares the small stores it needs.
//
// One writer at a time: Record, Strike and Import wait for each other. Readers
// take the current farm.State, which never changes, and are not held up.
package app

import (
	"context"
	"iter"
	"sync"
	"sync/atomic"
	"time"

	"wormyard/farm"
	"wormyard/journal"
)

// Journal is where entries are kept; internal/sqlite is one.
type Journal interface {
	// Append keeps entries for ever, all or none, and gives them as taken.
	Append(ctx context.Context, entries []journal.Entry) ([]journal.Entry, error)
	// Entries gives every entry taken after the one with sequence number after, in that order.
	Entries(ctx context.Context, after int64) iter.Seq2[journal.Entry, error]
}

// App is one open farm.
type App struct {
	Journal Journal
	Clock   func() time.Time // the farm's now; frozen for the demo
	NewID   func(at time.Time) string

	writing sync.Mutex
	farm    *farm.Farm
	state   atomic.Pointer[farm.State]
}

// State gives the farm as of now. It never changes; ask again for a newer one.
func (a *App) State() *farm.State { return a.state.Load() }

// Now gives the farm's time in the farm's zone.
func (a *App) Now() time.Time { return a.Clock().In(a.State().Zone()) }

// A Problem is one thing wrong or odd with what was typed.
type Problem struct {
	Field string `json:"field"`         // key of the body, "at", "bins[2]"
	Row   int    `json:"row,omitempty"` // of a file, the header being row 1
	Say   string `json:"say"`
	Try   string `json:"try"`
	Doubt bool   `json:"doubtful,omitempty"` // may be saved after "yes, that is right"
}

// Ack says what became of an entry.
type Ack struct {
	Entry    journal.Entry
	Saved    bool
	Problems []Problem // all that is refused or doubtful; empty when saved without question
	Undo     string    // id to strike to undo it, empty when not saved
}

// Record checks an entry by its kind and by what the farm knows, and when
// nothing is refused, and nothing doubtful or confirmed is true, keeps it. An
// entry without id or time gets a new id and now. The error is ours only; what
// is wrong with the entry is in the Ack.
func (a *App) Record(ctx context.Context, e journal.Entry, confirmed bool) (Ack, error) {
	return Ack{}, nil
}

// Strike cancels an entry, with a reason. Striking a strike lets the struck
// entry live again.
func (a *App) Strike(ctx context.Context, id, who, why string) (Ack, error) { return Ack{}, nil }
