package app

import (
	"context"
	"strings"
	"testing"
	"time"

	"wormyard/season"
)

// A year in which nothing can be begun or sold is refused with what is missing.
func TestNothingToPlan(t *testing.T) {
	sells := []season.Product{{Name: Loose, CastingsM3: 1, Demand: []float64{0, 2}}}
	for name, c := range map[string]struct {
		farm season.Farm
		say  string
	}{
		"no bins":             {season.Farm{Products: sells}, "no bins"},
		"no worms":            {season.Farm{Bins: 4, Products: sells}, "No bin holds a bed with worms"},
		"no demand":           {season.Farm{Bins: 4, Running: []season.Running{{Bins: 2}}, Products: []season.Product{{Name: Loose, Demand: []float64{0, 0}}}}, "not known what could be sold"},
		"nothing on the list": {season.Farm{Bins: 4, Running: []season.Running{{Bins: 2}}}, "not known what could be sold"},
		"castings to sell":    {season.Farm{Bins: 4, StockM3: 1, Products: sells}, ""},
		"only promised":       {season.Farm{Bins: 4, Running: []season.Running{{Bins: 2}}, Products: []season.Product{{Name: Loose, Promised: []float64{1}}}}, ""},
	} {
		err := nothingToPlan(&c.farm)
		if (err == nil) != (c.say == "") || err != nil && !strings.Contains(err.Error(), c.say) {
			t.Errorf("%s: %v, wanted %q", name, err, c.say)
		}
	}
}

// What leaves no plan is named alone where it is one thing, and a farm that is paid to
// take feed is not paid for as much as it likes.
func TestEasings(t *testing.T) {
	turns := easingsInTurn()
	if len(turns) != 2*len(easings) || len(turns[0]) != 0 || len(turns[1]) != 1 || len(turns[len(turns)-1]) != len(easings) {
		t.Fatalf("%v", turns)
	}
	f := season.Farm{Feedstocks: []season.Feedstock{{Name: "cardboard", Cost: -2.5, StoreM3: 3}}, Mixes: []season.Mix{{WormsKg: 4}}}
	eased := copiedFarm(f)
	for _, x := range easings {
		x.ease(&eased)
	}
	if x := eased.Feedstocks[0]; x.Cost != 0 || x.StoreM3 < 1e4 {
		t.Errorf("%+v", x)
	}
	if f.Feedstocks[0].Cost != -2.5 || f.Mixes[0].WormsKg != 4 {
		t.Errorf("the farm itself was changed: %+v", f)
	}
}

// Where time is up at once the first month is asked of whole, of every product, and that
// later ones were not is kept; with time all are asked, and one who gives up gets no more.
func TestPromisesInTime(t *testing.T) {
	sells := func(name string) season.Product {
		return season.Product{Name: name, CastingsM3: 1, Price: 10, Demand: make([]float64, 8), Promised: make([]float64, 8)}
	}
	year := func() *Year {
		y := &Year{Began: time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC), Weeks: 8}
		y.Farm = season.Farm{Weeks: 8, StoreM3: 10, StockM3: 6, Products: []season.Product{sells("sack"), sells("tote")}}
		for _, at := range season.Periods(8) {
			y.Plan.Steps = append(y.Plan.Steps, season.Step{Week: at.From, Weeks: at.Weeks})
		}
		return y
	}
	ask := func(ctx context.Context, limit time.Duration) *Year {
		y := year()
		y.promises(ctx, season.WorldsAbout(y.Farm, season.Spread{Years: 4}, 1), time.UTC, limit, func(float64) {})
		return y
	}
	short := ask(t.Context(), 0)
	if len(short.Promises) != 2 || !short.Unasked || short.Promises[0].More < 5.9 || short.Promises[1].Product != "tote" {
		t.Errorf("%+v, told of %v", short.Promises, short.Unasked)
	}
	if all := ask(t.Context(), time.Minute); len(all.Promises) != 4 || all.Unasked {
		t.Errorf("%+v, told of %v", all.Promises, all.Unasked)
	}
	gone, end := context.WithCancel(t.Context())
	end()
	if none := ask(gone, time.Minute); len(none.Promises) != 0 {
		t.Errorf("%+v", none.Promises)
	}
}
