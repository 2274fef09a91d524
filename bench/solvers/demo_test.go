package solvers

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/demo"
	"wormyard/internal/highs"
	"wormyard/program"
	"wormyard/qty"
	"wormyard/season"
)

// The time of a plan of the demo farm and of farms at size, and of the same a week later
// near the last plan, in the processor, everything counted: searches, what each limit is
// worth and what each fire brings. The demo farm must have been made before; its journal is
// left as it is.
func TestTimeOfPlans(t *testing.T) {
	needed(t)
	s := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer s.Close()
	if err := s.Ready(t.Context()); err != nil {
		t.Fatal(err)
	}
	searches := 0
	solve := func(ctx context.Context, p program.Problem) (program.Solution, error) {
		searches++
		return s.Solve(ctx, p)
	}
	plan := func(name string, now, later season.Farm) {
		tell := func(what string, before time.Duration, p season.Plan) {
			t.Logf("%s%s: %.2f s of processor, %d searches, %v, earns %.0f of at most %.0f", name, what, (processor(t) - before).Seconds(), searches, p.Status, p.Value, p.Bound)
			searches = 0
		}
		before := processor(t)
		first, err := season.Solve(t.Context(), now, solve, 0.01)
		if err != nil {
			t.Fatal(err)
		}
		tell("", before, first)
		before = processor(t)
		again, _, err := season.Replan(t.Context(), later, season.Last{Steps: first.Steps, Ago: 1}, solve, 0.01)
		if err != nil {
			t.Fatal(err)
		}
		tell(", a week later", before, again)
	}
	farms := demoFarms(t)
	for i, name := range []string{"demo", "demo, heated", "demo, heated and split"} {
		plan(name, farms[i][0], farms[i][1])
	}
	one := BigWithChoices()
	one.Heat, one.Split = one.Heat[:1], nil
	plan("at size", Big(), Big())
	plan("at size, one way of heating", one, one)
	plan("at size, two ways of heating and splitting", BigWithChoices(), BigWithChoices())
}

// demoFarms are the demo farm as it is, with propane, and with bins that are split too,
// each now and a week later.
func demoFarms(t *testing.T) (out [3][2]season.Farm) {
	if _, err := os.Stat(demo.Path()); errors.Is(err, fs.ErrNotExist) {
		t.Skip("the demo farm was not made yet: wormyard --demo verify makes it")
	}
	a, store, err := demo.Open(t.Context(), demo.Path(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	clock, price := a.Clock, qty.Money(0.6)
	for week := range 2 {
		a.Clock = func() time.Time { return clock().AddDate(0, 0, 7*week) }
		for i := range out {
			twins, err := app.NewTwins(a, app.KeepIn{Store: store})
			if err != nil {
				t.Fatal(err)
			}
			twins.Site = demo.Site()
			said := &a.State().Settings.Season
			if said.Heat, said.Split = nil, nil; i > 0 {
				said.Heat = &farm.SeasonHeat{With: farm.HeatPropane, Price: &price}
			}
			if i > 1 {
				said.Split = &farm.SeasonSplit{}
			}
			got, err := twins.SeasonFarm(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			out[i][week] = got.Farm
		}
	}
	return out
}
