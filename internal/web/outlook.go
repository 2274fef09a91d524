package web

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/round"
)

// Rounds gives what was worked out in the background: the newest round and what
// is likely in each bin. No request runs a twin.
type Rounds interface {
	// Last gives the newest round, nil when none was made yet.
	Last(ctx context.Context) (*app.Made, error)
	// List gives it in a reader's words; false when none was made yet.
	List(ctx context.Context, w round.Words) (round.List, bool, error)
	// Outlook gives nil when nothing has been worked out for the bin yet.
	Outlook(ctx context.Context, bin string) (*app.Outlook, error)
	// Paces gives how long acts take on the farm, Taken what work since a time took
	// and is reckoned at [min].
	Paces(s *farm.State, now time.Time) []round.Pace
	Taken(s *farm.State, from time.Time) (took, reckoned float64)
	// KeepSheet keeps the newest round as it is printed; false when there is none.
	KeepSheet(ctx context.Context, mends []app.SheetMend) (app.Sheet, bool, error)
	// Sheets gives the printed rounds that are kept, the newest first.
	Sheets(ctx context.Context) ([]app.Sheet, error)
	// SheetList gives a printed round in a reader's words; false when it is not kept.
	SheetList(ctx context.Context, code string, w round.Words) (round.List, bool, error)
}

// Work is the background work that makes rounds.
type Work interface {
	// Progress tells of the round that is being made.
	Progress() Progress
	// Make begins a new one; nothing happens when one is being made already.
	Make()
}

// Progress is how far background work is.
type Progress struct {
	Running     bool
	Done, Total int
	Doing       string        // key of the step at hand
	Left        time.Duration // it still takes, where LeftKnown
	LeftKnown   bool
	Failed      bool // the last try went wrong; the log says why
	FailedAt    time.Time
}

// spoken says who reads the sentences of a round.
func (p person) spoken() round.Words {
	return round.Words{Units: p.Units, Zone: p.Zone, Catalogue: func(key string) string {
		if p.Words.Has(key) {
			return p.Say(key)
		}
		return ""
	}}
}

// spokenList keeps the newest list in a reader's words, so that it is put into
// words once and not at every visit.
type spokenList struct {
	mutex sync.Mutex
	of    *app.Made
	list  map[string]round.List
}

// list gives the newest list in the person's words and units.
func (s *Server) list(ctx context.Context, p person) (round.List, bool, error) {
	if s.Rounds == nil {
		return round.List{}, false, nil
	}
	made, err := s.Rounds.Last(ctx)
	if err != nil || made == nil {
		return round.List{}, false, err
	}
	key := fmt.Sprint(p.Words.Lang, p.Units, p.Zone)
	c := &s.spoken
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if c.of != made {
		c.of, c.list = made, map[string]round.List{}
	}
	if l, ok := c.list[key]; ok {
		l, err = withRemedies(p, s.Farm.State(), l)
		return l, true, err
	}
	l, ok, err := s.Rounds.List(ctx, p.spoken())
	if err != nil || !ok {
		return l, ok, err
	}
	if l.Day == made.Day {
		l.Made = made.At // its lines are written anew with every news; what was done since the round began stays done
	}
	printableList(&l)
	p.tellList(&l)
	c.list[key] = l
	l, err = withRemedies(p, s.Farm.State(), l)
	return l, true, err
}

// printableList makes the sentences of a list ready for a page.
func printableList(l *round.List) {
	l.Lines = slices.Clone(l.Lines)
	for i := range l.Lines {
		x := &l.Lines[i]
		x.Say, x.Reason, x.Sure = printable(x.Say), printable(x.Reason), printable(x.Sure)
		x.Items = slices.Clone(x.Items)
		for n := range x.Items {
			y := &x.Items[n]
			y.Say, y.Reason, y.Sure = printable(y.Say), printable(y.Reason), printable(y.Sure)
		}
	}
}

func (s *Server) outlook(ctx context.Context, bin string) (*app.Outlook, error) {
	if s.Rounds == nil {
		return nil, nil
	}
	return s.Rounds.Outlook(ctx, bin)
}
