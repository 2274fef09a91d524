package main

import (
	"context"
	"errors"
	"log/slog"
	"sync"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/job"
	"wormyard/internal/web"
	"wormyard/journal"
	milp "wormyard/program"
)

// work is the long work beside the pages: the round of the day, and single bins
// after news of them.
type work struct {
	app   *app.App
	twins *app.Twins
	board *job.Board
	log   *slog.Logger

	mutex sync.Mutex
	news  map[string]bool // bins written about since they were worked out
	stop  context.CancelFunc

	week func(context.Context) // looked at with the round
}

// manyBins is from how many bins with news on the whole round is made anew.
const manyBins = 60

func beginWork(a *app.App, t *app.Twins, log *slog.Logger) *work {
	w := &work{app: a, twins: t, board: job.New(a.Clock), log: log, news: map[string]bool{}}
	w.board.Watch = time.Now
	a.Written = w.written
	return w
}

func (w *work) round() job.Name {
	return job.Name{Kind: "round", Subject: "farm", Day: w.app.Now().Format(journal.DayLayout)}
}

// begin makes the round when the newest is of another day, now and from then on
// as the days go by.
func (w *work) begin() {
	ctx, stop := context.WithCancel(context.Background())
	w.stop = stop
	w.look(ctx)
	go func() {
		tick := time.NewTicker(10 * time.Minute)
		defer tick.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case <-tick.C:
				w.look(ctx)
			}
		}
	}()
}

func (w *work) look(ctx context.Context) {
	if len(w.app.State().Living()) > 0 && w.twins.Stale(ctx) && w.board.Status(w.round()).State != job.Failed {
		w.Make()
	}
	if w.week != nil {
		w.week(ctx)
	}
}

// Make implements web.Work.
func (w *work) Make() {
	if len(w.app.State().Living()) == 0 {
		return
	}
	w.board.Ask(w.round(), func(ctx context.Context, say job.Progress) error {
		w.take()
		if _, err := w.twins.MakeRound(ctx, say); err != nil {
			return err
		}
		w.score(app.NightScores)
		return nil
	})
}

// atOnce is how many readings are scored before news have their turn.
const atOnce = 40

// score holds forecasts against what was read, some at a time, until so many were or
// none is left.
func (w *work) score(most int) {
	name := job.Name{Kind: "scores", Subject: "farm", Day: w.app.Now().Format(journal.DayLayout)}
	w.board.Follow(name, func(ctx context.Context, say job.Progress) error {
		left, err := w.twins.Score(ctx, atOnce, say)
		if err == nil && left > 0 && most > atOnce {
			w.score(most - atOnce)
		}
		return err
	})
}

// Progress implements web.Work.
func (w *work) Progress() web.Progress {
	s := w.board.Status(w.round())
	p := web.Progress{Running: s.State == job.Waiting || s.State == job.Running, Doing: s.Doing, Done: s.Part, Total: s.Of, Left: s.Left, LeftKnown: s.Known}
	if s.State == job.Failed && s.Err != nil {
		p.Failed, p.FailedAt = true, s.Ended
	}
	return p
}

// written takes note of news. It returns at once; the bins are worked out when
// the board comes to it.
func (w *work) written(entries []journal.Entry) {
	state := w.app.State()
	w.mutex.Lock()
	defer w.mutex.Unlock()
	for i := range entries {
		of := &entries[i]
		if of.Strikes != "" {
			if struck, _, found := state.Entry(of.Strikes); found {
				w.note(struck)
			}
		}
		w.note(of)
	}
	if len(w.news) > 0 {
		w.board.Follow(job.Name{Kind: "news", Subject: "farm"}, w.again)
	}
}

func (w *work) note(e *journal.Entry) {
	switch e.Body.(type) {
	case *journal.Left, *journal.Remedy, *journal.Outcome: // nothing of it is in a bed
		return
	}
	for _, of := range farm.Subjects(e) {
		if len(of) > 4 && of[:4] == "bin " {
			w.news[of[4:]] = true
		}
	}
}

// take gives the bins with news and forgets them.
func (w *work) take() []string {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	var out []string
	for b := range w.news {
		out = append(out, b)
	}
	clear(w.news)
	return out
}

func (w *work) again(ctx context.Context, say job.Progress) error {
	made, err := w.twins.Last(ctx)
	if err != nil || made == nil {
		return err
	}
	bins := w.take()
	if len(bins) >= manyBins {
		w.Make()
		return nil
	}
	left, err := w.twins.RemakeBins(ctx, bins, func(part, of int) { say("bins", part, of) })
	w.mutex.Lock()
	defer w.mutex.Unlock()
	for _, b := range left { // with the next news
		w.news[b] = true
	}
	return err
}

func (w *work) close() {
	if w.stop != nil {
		w.stop()
	}
	w.board.Close()
}

// yearOf plans the year beside the pages: web.Seasons.
type yearOf struct {
	*work
	solve milp.Solver
}

// planLimit is how long a plan of the year may take.
const planLimit = 10 * time.Minute

func (y yearOf) name() job.Name { return job.Name{Kind: "season", Subject: "farm"} }

// Years implements web.Seasons.
func (y yearOf) Years(ctx context.Context) (newest, before *app.Year) { return y.twins.Years(ctx) }

// Plan implements web.Seasons.
func (y yearOf) Plan() {
	y.board.Ask(y.name(), func(ctx context.Context, say job.Progress) error {
		limited, end := context.WithTimeout(ctx, planLimit)
		defer end()
		_, err := y.twins.MakeYear(limited, y.solve, say)
		if errors.Is(err, context.DeadlineExceeded) {
			return app.NoPlanInTime()
		}
		return err
	})
}

// Stop implements web.Seasons.
func (y yearOf) Stop() { y.board.Stop(y.name()) }

// week plans the year anew in a new week, where it was planned before.
func (y yearOf) week(ctx context.Context) {
	if !y.twins.YearDue(ctx) {
		return
	}
	s := y.board.Status(y.name())
	if amiss := s.State == job.Failed || s.State == job.Stopped; amiss && y.app.Now().Sub(s.Ended) < 24*time.Hour {
		return
	}
	y.Plan()
}

// Planning implements web.Seasons. Of a plan that waits for the round it tells how far
// that is.
func (y yearOf) Planning() (web.Progress, error) {
	s := y.board.Status(y.name())
	p := web.Progress{Running: s.State == job.Waiting || s.State == job.Running, Doing: s.Doing, Done: s.Part, Total: s.Of, Left: s.Left, LeftKnown: s.Known}
	if round := y.board.Status(y.round()); s.State == job.Waiting && round.State == job.Running {
		p.Doing, p.Done, p.Total, p.Left, p.LeftKnown = web.PlanAfterRound, round.Part, round.Of, round.Left, round.Known
	}
	return p, s.Err
}
