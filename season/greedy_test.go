package season_test

import (
	"context"
	"math"
	"testing"
	"time"

	"wormyard/bench/solvers"
	"wormyard/program"
	"wormyard/season"
)

// stopped is a solver that ran out of time before it found anything.
func stopped(context.Context, program.Problem) (program.Solution, error) {
	return program.Solution{Status: program.Stopped, Bound: math.Inf(1)}, nil
}

// Without a solver that answers there is the plan of simple rules, which keeps to
// the same programme, is worth no more than the best and says what it is.
func TestRules(t *testing.T) {
	solve := solver(t)
	found, plans := 0, 0
	try := func(name string, f season.Farm) {
		p, err := season.Programme(f)
		if err != nil {
			t.Fatal(err)
		}
		began := time.Now()
		got, err := season.Solve(context.Background(), f, func(_ context.Context, q program.Problem) (program.Solution, error) {
			if q.Start != nil && p.Violation(q.Start) > 1e-4 {
				t.Errorf("%s: the plan breaks a row by %g", name, p.Violation(q.Start))
			}
			return stopped(context.Background(), q)
		}, 0.01)
		took := time.Since(began)
		if err != nil {
			t.Fatal(err)
		}
		best, err := season.Solve(context.Background(), f, solve, 1e-3)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Steps) > 0 {
			if found++; !got.Rules || got.Status != program.Stopped || got.Simple == nil || math.Abs(*got.Simple-got.Value) > 1e-9 {
				t.Errorf("%s: not told as the plan of rules: %+v", name, got)
			}
			if len(best.Steps) == 0 {
				t.Fatalf("%s: a plan by rules and none by the solver", name)
			}
			if got.Value > best.Bound+1e-6*math.Abs(best.Bound) || got.Value > got.Bound {
				t.Errorf("%s: rules earn %g, no plan earns more than %g or %g", name, got.Value, best.Bound, got.Bound)
			}
		}
		if len(best.Steps) > 0 {
			plans++
		}
		t.Logf("%s: rules %.0f in %v, best %.0f", name, got.Value, took, best.Value)
	}
	try("big", solvers.Big())
	for seed := range uint64(5) {
		try(string(rune('a'+seed)), solvers.Generated(seed))
	}
	if found < plans-1 {
		t.Errorf("rules found a plan for %d of the %d farms that have one", found, plans)
	}
}

// Who gives up before the search began has the plan of simple rules, with a bound.
func TestGivenUp(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p, err := season.Solve(ctx, solvers.Big(), solver(t), 0.01)
	if err != nil || len(p.Steps) == 0 || p.Status != program.Stopped || !p.Rules {
		t.Fatalf("%v, %d steps, %v", p.Status, len(p.Steps), err)
	}
	if p.Value <= 0 || p.Bound < p.Value || math.IsInf(p.Bound, 0) || p.Gap <= 0 {
		t.Errorf("worth %g, bound %g, gap %g", p.Value, p.Bound, p.Gap)
	}
	t.Logf("worth %.0f, bound %.0f", p.Value, p.Bound)
}
