package job

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"
)

func board(t *testing.T) *Board {
	b := New(time.Now)
	t.Cleanup(b.Close)
	return b
}

func wait(t *testing.T, b *Board, n Name) Status {
	t.Helper()
	for end := time.Now().Add(5 * time.Second); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if s := b.Status(n); s.State == Done || s.State == Failed {
			return s
		}
	}
	t.Fatal("the job did not end")
	return Status{}
}

// What is asked of a job while it runs is not lost: it runs once more, and once
// only, however often it was asked.
func TestAJobFollowsItself(t *testing.T) {
	b, n := board(t), Name{Kind: "news"}
	begun, gate := make(chan struct{}, 9), make(chan struct{})
	work := func(context.Context, Progress) error { begun <- struct{}{}; <-gate; return nil }
	b.Follow(n, work)
	<-begun
	for range 5 {
		b.Follow(n, work)
	}
	gate <- struct{}{}
	<-begun
	gate <- struct{}{}
	wait(t, b, n)
	if len(begun) != 0 {
		t.Error("it ran a third time")
	}
}

func TestAJobAskedForTwiceRunsOnce(t *testing.T) {
	b, n := board(t), Name{"round", "farm", "2026-03-03"}
	gate, runs := make(chan struct{}), 0
	work := func(context.Context, Progress) error { <-gate; runs++; return nil }
	if !b.Ask(n, work) || b.Ask(n, work) {
		t.Fatal("the first asking must take, the second must not")
	}
	close(gate)
	wait(t, b, n)
	if runs != 1 {
		t.Fatalf("ran %d times", runs)
	}
	if !b.Ask(n, work) {
		t.Fatal("after its end it may be asked for again")
	}
	wait(t, b, n)
}

func TestProgressShowsWhileItRuns(t *testing.T) {
	b, n := board(t), Name{Kind: "round"}
	half, resume := make(chan struct{}), make(chan struct{})
	b.Ask(n, func(_ context.Context, say Progress) error { say("bins", 3, 6); close(half); <-resume; return nil })
	<-half
	if s := b.Status(n); s.State != Running || s.Frac() != 0.5 || s.Doing != "bins" {
		t.Fatalf("%+v", s)
	}
	close(resume)
	if s := wait(t, b, n); s.Frac() != 1 {
		t.Fatalf("%+v", s)
	}
}

func TestAFailureIsKeptAndTheNextJobRuns(t *testing.T) {
	b, bad, worse, good := board(t), Name{Kind: "a"}, Name{Kind: "b"}, Name{Kind: "c"}
	why := errors.New("no air")
	b.Ask(bad, func(context.Context, Progress) error { return why })
	b.Ask(worse, func(context.Context, Progress) error { panic("bottom fell out") })
	b.Ask(good, func(context.Context, Progress) error { return nil })
	if s := wait(t, b, bad); !errors.Is(s.Err, why) || s.State != Failed {
		t.Fatalf("%+v", s)
	}
	if s := wait(t, b, worse); s.State != Failed {
		t.Fatalf("%+v", s)
	}
	if s := wait(t, b, good); s.State != Done {
		t.Fatalf("%+v", s)
	}
}

func TestCloseEndsTheJobAtHand(t *testing.T) {
	b := New(time.Now)
	var once sync.Once
	running := make(chan struct{})
	b.Ask(Name{Kind: "long"}, func(ctx context.Context, _ Progress) error {
		once.Do(func() { close(running) })
		<-ctx.Done()
		return ctx.Err()
	})
	<-running
	b.Close()
	if s := b.Status(Name{Kind: "long"}); s.State != Failed {
		t.Fatalf("%+v", s)
	}
}

// A job that is stopped ends, whether it runs or waits; what is asked for afterwards is
// another one, and the end of the first says nothing of it.
func TestAJobIsStopped(t *testing.T) {
	b, n, other := board(t), Name{Kind: "season"}, Name{Kind: "round"}
	begun, gate := make(chan struct{}, 2), make(chan struct{})
	b.Ask(n, func(ctx context.Context, _ Progress) error {
		begun <- struct{}{}
		<-ctx.Done()
		<-gate
		return ctx.Err()
	})
	<-begun
	b.Ask(other, func(context.Context, Progress) error { t.Error("ran though it was stopped"); return nil })
	b.Stop(other)
	b.Stop(n)
	if x, y := b.Status(n).State, b.Status(other).State; x != Stopped || y != Stopped {
		t.Fatalf("%s and %s", x, y)
	}
	if !b.Ask(n, func(context.Context, Progress) error { begun <- struct{}{}; return nil }) {
		t.Fatal("a stopped job may be asked for again")
	}
	close(gate)
	<-begun
	if s := wait(t, b, n); s.State != Done || s.Err != nil {
		t.Errorf("%+v", s)
	}
	b.Stop(n)
	if s := b.Status(n); s.State != Done {
		t.Errorf("an ended job was stopped: %+v", s)
	}
}
