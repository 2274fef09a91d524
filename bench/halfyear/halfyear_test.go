package main

import (
	"context"
	"io"
	"testing"
)

// A few weeks of a small farm under every way of working. What the round asks for
// is done and written, so that the beds of the farm are not the same afterwards
// as under a custom; who does better is measured over half a year, not here.
func TestWaysOfWorking(t *testing.T) {
	came := map[string]Came{}
	for _, p := range policies {
		c, err := live(context.Background(), 3, 2, 11, p, io.Discard)
		if err != nil {
			t.Fatal(p, err)
		}
		t.Logf("%+v", c)
		if c.CastingsKg <= 0 || c.Worms <= 0.2 || c.Worms > 3 || c.Minutes <= 0 {
			t.Errorf("%s: %+v", p, c)
		}
		came[p] = c
	}
	if r := came["round"]; r.Seconds <= 0 || r.FedKg+r.Minutes == came[twoInches].FedKg+came[twoInches].Minutes {
		t.Errorf("no round was made or done: %+v", r)
	}
	for act, n := range came["round"].Left {
		t.Errorf("this crew does not know what to do with %s, %d times", act, n)
	}
	again, err := live(context.Background(), 3, 2, 11, twoInches, nil)
	if err != nil || again.CastingsKg != came[twoInches].CastingsKg {
		t.Errorf("the same farm under the same custom came to something else: %+v %v", again, err)
	}
}

// By hand: 100 kg of castings, less 100 minutes at 0.3 and 200 kg of feed at 0.15.
func TestWorth(t *testing.T) {
	c := Came{CastingsKg: 100, Minutes: 100, FedKg: 200}
	if got := c.worth(price{0.3, 0.15}); got < 40-1e-9 || got > 40+1e-9 {
		t.Errorf("worth %g, by hand 40", got)
	}
}
