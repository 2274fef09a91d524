// Package job runs long work beside the pages: one thing at a time, with its
// progress to look at. A job is named by kind, subject and day; asking for one
// that waits or runs changes nothing, so that a page may ask on every visit. How
// a job ended, and why it failed, stays until it is run again. A request never
// runs long work itself.
package job

import (
	"context"
	"fmt"
	"log"
	"runtime/debug"
	"slices"
	"sync"
	"time"
)

// Name says which job: a kind of work, on what, for which day.
type Name struct{ Kind, Subject, Day string }

// State is where a job stands.
type State string

// The states of a job.
const (
	Unknown State = ""
	Waiting State = "waiting"
	Running State = "running"
	Done    State = "done"
	Failed  State = "failed"
	Stopped State = "stopped" // by somebody who asked for it
)

// Status is what a page shows of a job.
type Status struct {
	State   State
	Part    int       // done
	Of      int       // in all; 0 when not known
	Doing   string    // key of the step at hand, for the catalogue
	Started time.Time // zero until it runs
	Ended   time.Time // zero until it ended
	Err     error     // why it failed

	Left  time.Duration // it still takes, where Known
	Known bool

	meter Meter
	after Work // to be run once this has ended
}

// Frac gives the done part, 0 to 1.
func (s Status) Frac() float64 {
	if s.State == Done {
		return 1
	}
	if s.Of == 0 {
		return 0
	}
	return min(1, float64(s.Part)/float64(s.Of))
}

// Progress is called by a job to say how far it is.
type Progress func(doing string, part, of int)

// Work is what a job does. It returns soon after ctx ends.
type Work func(ctx context.Context, say Progress) error

// Board keeps the jobs. The zero Board is not usable; make one with New.
type Board struct {
	// Watch is what the time that is left is reckoned by; the clock that New was given,
	// unless set before the first job. The clock of a farm may stand still.
	Watch func() time.Time

	clock  func() time.Time
	mu     sync.Mutex
	status map[Name]*Status
	queue  []queued
	wake   chan struct{}
	stop   context.CancelFunc
	end    func() // ends the job at hand
	ended  chan struct{}
}

type queued struct {
	name Name
	work Work
	at   *Status // of this asking: a later one has its own
}

// Follow puts a job in the queue unless it waits already: one that runs is run
// once more afterwards, for what it does may not have seen what it is asked for.
func (b *Board) Follow(name Name, work Work) {
	b.mu.Lock()
	if s := b.status[name]; s != nil && s.State == Running {
		s.after = work
		b.mu.Unlock()
		return
	}
	b.mu.Unlock()
	b.Ask(name, work)
}

// New starts a board with one worker. Close ends it.
func New(clock func() time.Time) *Board {
	ctx, stop := context.WithCancel(context.Background())
	b := &Board{Watch: clock, clock: clock, status: map[Name]*Status{}, wake: make(chan struct{}, 1), stop: stop, ended: make(chan struct{})}
	go b.serve(ctx)
	return b
}

// Ask puts a job in the queue, unless it waits or runs already. It reports
// whether it did.
func (b *Board) Ask(name Name, work Work) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if s := b.status[name]; s != nil && (s.State == Waiting || s.State == Running) {
		return false
	}
	b.status[name] = &Status{State: Waiting}
	b.queue = append(b.queue, queued{name, work, b.status[name]})
	select {
	case b.wake <- struct{}{}:
	default:
	}
	return true
}

// Stop takes a job out of the queue, or ends it where it runs. What it would be run once
// more for is dropped with it.
func (b *Board) Stop(name Name) {
	b.mu.Lock()
	defer b.mu.Unlock()
	s := b.status[name]
	if s == nil || s.State != Waiting && s.State != Running {
		return
	}
	if s.State == Running {
		b.end()
	}
	b.queue = slices.DeleteFunc(b.queue, func(q queued) bool { return q.name == name })
	s.State, s.Ended, s.after = Stopped, b.clock(), nil
}

// Status gives where a job stands.
func (b *Board) Status(name Name) Status {
	b.mu.Lock()
	defer b.mu.Unlock()
	if s := b.status[name]; s != nil {
		return *s
	}
	return Status{}
}

// Close ends the job at hand and waits for it; jobs that wait are dropped.
func (b *Board) Close() {
	b.stop()
	<-b.ended
}

func (b *Board) serve(ctx context.Context) {
	defer close(b.ended)
	for {
		select {
		case <-ctx.Done():
			return
		case <-b.wake:
		}
		for {
			of, end := context.WithCancel(ctx)
			q, ok := b.next(end)
			if !ok || ctx.Err() != nil {
				end()
				break
			}
			err := run(of, q.work, func(doing string, part, of int) {
				b.change(q.at, func(s *Status) {
					s.Doing, s.Part, s.Of = doing, part, of
					s.Left, s.Known = s.meter.Left(b.Watch(), part, of)
				})
			})
			end()
			var after Work
			b.change(q.at, func(s *Status) {
				if s.State == Stopped {
					return
				}
				after, s.after = s.after, nil
				s.State, s.Ended, s.Err = Done, b.clock(), err
				if err != nil {
					s.State = Failed
					log.Printf("job %s %s %s: %v", q.name.Kind, q.name.Subject, q.name.Day, err)
				}
			})
			if after != nil {
				b.Ask(q.name, after)
			}
		}
	}
}

func (b *Board) next(end func()) (queued, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.queue) == 0 {
		return queued{}, false
	}
	q := b.queue[0]
	b.queue = b.queue[1:]
	b.end = end
	*q.at = Status{State: Running, Started: b.clock()}
	return q, true
}

func (b *Board) change(at *Status, how func(*Status)) {
	b.mu.Lock()
	defer b.mu.Unlock()
	how(at)
}

// run does the work; one that breaks down has failed and takes nothing with it.
func run(ctx context.Context, work Work, say Progress) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("broke down: %v\n%s", r, debug.Stack())
		}
	}()
	return work(ctx, say)
}
