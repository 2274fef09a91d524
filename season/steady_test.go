package season_test

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/bench/solvers"
	"wormyard/figure"
	"wormyard/season"
)

// early is one bin, ripe after a week, of which the castings can be sold in the
// second week for 100 or in the third for so much.
func earlyOrLate(late float64) season.Farm {
	f := small(3)
	f.StoreM3 = 0 // what is harvested is sold in its week
	f.Products = []season.Product{
		{Name: "early", CastingsM3: 1, Price: 100, Demand: []float64{0, 1, 0}},
		{Name: "late", CastingsM3: 1, Price: late, Demand: []float64{0, 0, 1}},
	}
	return f
}

// The last plan begins in the first week, harvests and sells in the second. Waiting
// a week with the harvest and selling late changes two harvests and two sales. A bin
// is worth the mean of both prices, p, so that with late at 100 + d the changes cost
// 0.005 · (2p + 100 + 100 + d) = 0.005 · (400 + 2d): for d = 1.9 that is 2.02, more
// than 1.9, and the plan stays; for d = 2.1 it is 2.02, less, and it goes.
func TestLeastChangeByHand(t *testing.T) {
	solve := solver(t)
	last := season.Last{Steps: []season.Step{
		{Week: 0, Weeks: 1, Start: map[string]float64{"everyday": 1}},
		{Week: 1, Weeks: 1, Harvest: map[string]float64{"everyday": 1}, Sell: map[string]float64{"early": 1}},
		{Week: 2, Weeks: 1},
	}}
	for _, c := range []struct {
		late, want float64
		changes    []season.Change
	}{
		{100, 100, nil},
		{101.9, 100, nil},
		{102.1, 102.1, []season.Change{
			{What: "harvest", Of: "everyday", Week: 1, Weeks: 1, Before: 1},
			{What: "sell", Of: "early", Week: 1, Weeks: 1, Before: 1},
			{What: "harvest", Of: "everyday", Week: 2, Weeks: 1, After: 1},
			{What: "sell", Of: "late", Week: 2, Weeks: 1, After: 1},
		}},
	} {
		p, changes, err := season.Replan(context.Background(), earlyOrLate(c.late), last, solve, 1e-6)
		if err != nil || math.Abs(p.Value-c.want) > 1e-6 {
			t.Fatalf("late at %g: worth %g, wanted %g; %v", c.late, p.Value, c.want, err)
		}
		if p.Bound < math.Max(100, c.late)-1e-6 {
			t.Errorf("late at %g: no plan is worth more than %g, it says", c.late, p.Bound)
		}
		for i := range changes {
			changes[i].Before, changes[i].After = math.Round(changes[i].Before*1e6)/1e6, math.Round(changes[i].After*1e6)/1e6
		}
		if !slices.Equal(changes, c.changes) {
			t.Errorf("late at %g: changes %+v", c.late, changes)
		}
	}
}

// A plan of a week ago: its second week is this one. What its later step has over
// four weeks is one a week.
func TestChangesByHand(t *testing.T) {
	last := season.Last{Ago: 1, Steps: []season.Step{
		{Week: 0, Weeks: 1, Start: map[string]float64{"a": 9}},
		{Week: 1, Weeks: 1, Start: map[string]float64{"a": 2}},
		{Week: 2, Weeks: 4, Start: map[string]float64{"a": 4}, Sell: map[string]float64{"bag": 100}},
	}}
	got := season.Changes(last, []season.Step{
		{Week: 0, Weeks: 1, Start: map[string]float64{"a": 2, "b": 1}},
		{Week: 1, Weeks: 1, Start: map[string]float64{"a": 1}, Sell: map[string]float64{"bag": 26}}, // 25 and a twentieth is 26.3
		{Week: 2, Weeks: 3, Start: map[string]float64{"a": 3}, Sell: map[string]float64{"bag": 90}},
		{Week: 5, Weeks: 4, Start: map[string]float64{"a": 7}}, // after the last plan's end
	})
	want := []season.Change{{What: "start", Of: "b", Weeks: 1, After: 1}, {What: "sell", Of: "bag", Week: 2, Weeks: 3, Before: 75, After: 90}}
	if !slices.Equal(got, want) {
		t.Errorf("got %+v", got)
	}
	if say := got[1].Say(); say != "In weeks 3 to 5 sell 90 of bag and not 75." {
		t.Error(say)
	}
}

// A farm at size a week on, with a little less of everything that was lying: the new
// plan is worth nearly the best and departs less from the last than the best does.
func TestReplanAtSize(t *testing.T) {
	solve := solver(t)
	f := solvers.Big()
	first, err := season.Solve(context.Background(), f, solve, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	f.StockM3 -= 2
	for i := range f.Running {
		f.Running[i].RipeIn--
	}
	for i := range f.Products {
		x := &f.Products[i]
		x.Demand, x.Promised = x.Demand[1:], x.Promised[1:]
	}
	f.Feedstocks[1].Arrives = f.Feedstocks[1].Arrives[1:]
	f.Worms.Growth = f.Worms.Growth[1:]
	last := season.Last{Steps: first.Steps, Ago: 1}
	best, err := season.Solve(context.Background(), f, solve, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	p, changes, err := season.Replan(context.Background(), f, last, solve, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	took := time.Since(began)
	free := season.Changes(last, best.Steps)
	if len(changes) >= len(free) {
		t.Errorf("%d changes, the plan made anew has %d", len(changes), len(free))
	}
	if p.Value < best.Bound*(1-0.01-Steady) || p.Bound < best.Value-1e-6*best.Value || p.Value > p.Bound {
		t.Errorf("worth %g of %g; made anew %g of %g", p.Value, p.Bound, best.Value, best.Bound)
	}
	t.Logf("%d changes in %v, worth %.0f; made anew %d changes, worth %.0f", len(changes), took, p.Value, len(free), best.Value)
}

// Steady is how much of its worth a plan gives up at most for staying as it is, by
// and large: each act is priced at so much of its worth, and is moved away from and to.
const Steady = 2 * season.Steady

func TestLastPlanThatCannotBe(t *testing.T) {
	for want, last := range map[string]season.Last{
		"weeks ago":          {Ago: -1},
		"the one before it":  {Steps: []season.Step{{Week: 3, Weeks: 1}, {Week: 2, Weeks: 1}}},
		"has -1 of everyday": {Steps: []season.Step{{Weeks: 1, Start: map[string]float64{"everyday": -1}}}},
	} {
		_, _, err := season.Replan(context.Background(), small(2), last, nil, 0.01)
		var r *figure.Refusal
		if !errors.As(err, &r) || !strings.Contains(r.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}
