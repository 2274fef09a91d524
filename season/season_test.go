package season_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"wormyard/bench/solvers"
	"wormyard/figure"
	"wormyard/internal/highs"
	"wormyard/program"
	"wormyard/season"
)

func solver(t testing.TB) program.Solver {
	s := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	t.Cleanup(func() { _ = s.Close() })
	return s.Solve
}

// small is one bin that is ripe after a week and gives a cubic metre, sold for
// 100 with no cure, no worms and no feed to be had.
func small(weeks int) season.Farm {
	demand := make([]float64, weeks)
	for i := range demand {
		demand[i] = 10
	}
	none := 0.0
	return season.Farm{
		Weeks: weeks, Bins: 1, StoreM3: 10, Crew: []float64{10},
		Mixes:    []season.Mix{{Name: "everyday", RipeWeeks: 1, CastingsM3: 1, FeedM3Week: 0.1}},
		Worms:    season.Worms{MostKg: 10, EndKg: &none},
		Products: []season.Product{{Name: "cubic metre", CastingsM3: 1, Price: 100, Demand: demand}},
		Hours:    season.Hours{Start: 1, Feed: 0.1, Harvest: 1},
	}
}

// Plans that are worked by hand.
func TestByHand(t *testing.T) {
	solve := solver(t)
	for _, c := range []struct {
		name string
		farm season.Farm
		want float64
	}{
		// begun in week 0, ripe at 1, harvested and sold there: once
		{"one bin, two weeks", small(2), 100},
		// harvested in week 1 the bin is begun anew in week 2: sold in 1 and 3
		{"one bin, four weeks", small(4), 200},
		{"no demand", with(small(4), func(f *season.Farm) { f.Products[0].Demand = nil }), 0},
		{"no bins", with(small(4), func(f *season.Farm) { f.Bins = 0 }), 0},
		// what is harvested must be sold in the same week: the store has no room, and needs none
		{"store of zero", with(small(2), func(f *season.Farm) { f.StoreM3 = 0 }), 100},
		// with a week of cure it needs room and does not find it
		{"store of zero and a cure", with(small(3), func(f *season.Farm) { f.StoreM3, f.CureWeeks = 0, 1 }), 0},
		{"a cure", with(small(3), func(f *season.Farm) { f.CureWeeks = 1 }), 100},
		// bins must hold 5 kg and there are none
		{"no worms", with(small(4), func(f *season.Farm) { f.Mixes[0].WormsKg = 5 }), 0},
		// half an hour short of a harvest: near by no bin is harvested in parts
		{"little crew", with(small(2), func(f *season.Farm) { f.Crew = []float64{1.1, 0.5} }), 0},
		{"crew for one of two", with(small(2), func(f *season.Farm) { f.Bins, f.Crew = 2, []float64{2.2, 1.5} }), 100},
		{"overtime", with(small(2), func(f *season.Farm) { f.Crew, f.Overtime, f.OverPrice = []float64{1.1, 0.5}, 1, 20 }), 90},
		// feed of 0.1 m3 costs 50 a m3; in its store it loses a tenth a week
		{"feed bought", with(small(2), func(f *season.Farm) {
			f.Feedstocks = []season.Feedstock{{Name: "solids", Arrives: []float64{1}, StoreM3: 5, Cost: 50}}
			f.Mixes[0].Parts = []season.Part{{Feedstock: "solids", Share: 1}}
		}), 95},
		// two bins, one of which must hold a bed after the third week: the last of three harvests is left
		{"a bed at the end", with(small(2), func(f *season.Farm) { f.Bins, f.EndBins = 2, 1 }), 100},
		{"beds at the end", with(small(2), func(f *season.Farm) { f.Bins, f.EndBins = 2, 2 }), 0},
		// the bed takes 0.4 m3 at 50 besides the 0.1 that it eats
		{"bedding bought", with(small(2), func(f *season.Farm) {
			f.Feedstocks = []season.Feedstock{{Name: "solids", Arrives: []float64{1}, StoreM3: 5, Cost: 50}}
			f.Mixes[0].Parts, f.Mixes[0].StartM3 = []season.Part{{Feedstock: "solids", Share: 1}}, 0.4
		}), 75},
		// a second product of 2 kg live worms at 30: 10 kg grow by half in the week, 5 must be left
		{"worms sold", with(small(1), func(f *season.Farm) {
			end := 5.0
			f.Bins, f.Running = 2, []season.Running{{Mix: "everyday", Bins: 2, RipeIn: 9}}
			f.Worms = season.Worms{StartKg: 10, Growth: []float64{0.5}, MostKg: 10, EndKg: &end}
			f.Products = []season.Product{{Name: "pound", WormsKg: 2, Price: 30, Demand: []float64{100}}}
			f.Mixes[0].WormsKg = 1
		}), 150},
		// two promised at a penalty of 40 each, one can be had: 100 - 40
		{"promised", with(small(2), func(f *season.Farm) {
			f.Products[0].Demand, f.Products[0].Promised, f.Products[0].Penalty = nil, []float64{0, 2}, 40
		}), 60},
		// a bin costs 60 to begin: 59 do not begin it, nor do 69 of which 10 are spent in the week
		{"money short", with(small(2), func(f *season.Farm) { f.Mixes[0].StartCost, f.Cash = 60, &season.Cash{Start: 59} }), 0},
		{"money enough", with(small(2), func(f *season.Farm) { f.Mixes[0].StartCost, f.Cash = 60, &season.Cash{Start: 60} }), 40},
		{"money spent", with(small(2), func(f *season.Farm) { f.Mixes[0].StartCost, f.Cash = 60, &season.Cash{Start: 69, Spent: 10} }), 0},
		{"money for the week", with(small(2), func(f *season.Farm) { f.Mixes[0].StartCost, f.Cash = 60, &season.Cash{Start: 70, Spent: 10} }), 40},
		// of two bins one can be begun; what its castings bring begins both in week 2
		{"money that comes", with(small(4), func(f *season.Farm) {
			f.Bins, f.Mixes[0].StartCost, f.Cash = 2, 60, &season.Cash{Start: 80}
		}), 3 * 40},
		// what it costs to begin is more than its castings bring: not for money, twice for castings
		{"for money", with(small(4), func(f *season.Farm) { f.Mixes[0].StartCost = 150 }), 0},
		{"for castings", with(small(4), func(f *season.Farm) { f.Mixes[0].StartCost, f.Aim = 150, season.AimCastings }), -100},
		// as many castings from either mix, and one costs less
		{"for castings at less", with(small(2), func(f *season.Farm) {
			f.Mixes[0].StartCost, f.Aim = 150, season.AimCastings
			other := f.Mixes[0]
			other.Name, other.StartCost = "cheap", 120
			f.Mixes = append(f.Mixes, other)
		}), -20},
	} {
		p, err := season.Solve(context.Background(), c.farm, solve, 1e-6)
		if err != nil || p.Status != program.Optimal {
			t.Errorf("%s: %v %v", c.name, p.Status, err)
			continue
		}
		if math.Abs(p.Value-c.want) > 1e-6 {
			t.Errorf("%s: worth %g, by hand %g: %+v", c.name, p.Value, c.want, p.Steps)
		}
	}
}

func with(f season.Farm, change func(*season.Farm)) season.Farm {
	change(&f)
	return f
}

// One more bin is worth another 100, as everything else is plenty; one more
// worm, hour or metre of store nothing. So a limit's worth is a difference of
// plans, and it is named with the weeks in which it binds.
func TestWhatIsTight(t *testing.T) {
	p, err := season.Solve(context.Background(), small(2), solver(t), 1e-6)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Tight) != 1 || p.Tight[0].Limit != "bins" || math.Abs(p.Tight[0].Worth-100) > 1e-6 {
		t.Errorf("%+v", p.Tight)
	}
	f := small(2)
	f.Mixes[0].WormsKg, f.Worms.StartKg = 10, 5
	f.Running = nil
	if p, err = season.Solve(context.Background(), f, solver(t), 1e-6); err != nil {
		t.Fatal(err)
	}
	// half a bin could be begun with 5 kg, but near by bins are whole: none is
	if p.Value != 0 || len(p.Tight) == 0 || p.Tight[0].Limit != "worms" || math.Abs(p.Tight[0].Worth-10) > 1e-6 {
		t.Errorf("%g %+v", p.Value, p.Tight)
	}
}

// Money at hand that runs out is a limit as others are: of a bin that costs 60 and brings
// 100 one more of it begins a sixtieth.
func TestMoneyIsTight(t *testing.T) {
	f := with(small(2), func(f *season.Farm) { f.Bins, f.Mixes[0].StartCost, f.Cash = 2, 60, &season.Cash{Start: 60} })
	p, err := season.Solve(context.Background(), f, solver(t), 1e-6)
	if err != nil || len(p.Tight) == 0 {
		t.Fatal(err, p.Tight)
	}
	if x := p.Tight[0]; x.Kind != season.OfCash || math.Abs(x.Worth-40.0/60) > 1e-6 {
		t.Errorf("%+v", p.Tight)
	}
	f.Cash = &season.Cash{Start: 30, Spent: 20} // gone in week 1, and nothing can come before
	if p, err = season.Solve(context.Background(), f, solver(t), 1e-6); err != nil || p.Status != program.Infeasible || len(p.Steps) != 0 {
		t.Errorf("%v %v", p.Status, err)
	}
	f.Cash, f.Aim = &season.Cash{Spent: -1}, "fame"
	var refused *figure.Refusal
	if _, err = season.Solve(context.Background(), f, solver(t), 1e-6); !errors.As(err, &refused) || len(refused.Problems) != 2 {
		t.Errorf("%v", err)
	}
}

// Limits whose dual price is nothing are not solved for: a solver that gives no
// prices names the same limits with the same worth.
func TestTightWithoutPrices(t *testing.T) {
	solve := solver(t)
	solves := 0
	count := func(ctx context.Context, p program.Problem) (program.Solution, error) {
		solves++
		return solve(ctx, p)
	}
	blind := func(ctx context.Context, p program.Problem) (program.Solution, error) {
		got, err := count(ctx, p)
		got.RowWorth, got.ColumnWorth = nil, nil
		return got, err
	}
	for _, seed := range []uint64{3, 4} {
		f := solvers.Generated(seed)
		a, err := season.Solve(context.Background(), f, count, 1e-4)
		if err != nil {
			t.Fatal(err)
		}
		few := solves
		solves = 0
		b, err := season.Solve(context.Background(), f, blind, 1e-4)
		if err != nil {
			t.Fatal(err)
		}
		if few > solves || len(a.Tight) != len(b.Tight) {
			t.Fatalf("farm %d: %d limits in %d solves, without prices %d in %d", seed, len(a.Tight), few, len(b.Tight), solves)
		}
		for i := range a.Tight {
			if a.Tight[i].Limit != b.Tight[i].Limit || math.Abs(a.Tight[i].Worth-b.Tight[i].Worth) > 1e-6*math.Abs(a.Value) {
				t.Errorf("farm %d: %+v, without prices %+v", seed, a.Tight[i], b.Tight[i])
			}
		}
		solves = 0
	}
}

func TestPeriods(t *testing.T) {
	for weeks, n := range map[int]int{1: 1, 13: 13, 14: 14, 17: 14, 18: 15, 78: 30, 104: 36} {
		p := season.Periods(weeks)
		sum := 0.0
		for _, x := range p {
			if x.From != sum {
				t.Errorf("%d weeks: a period begins at %g, the one before ends at %g", weeks, x.From, sum)
			}
			sum += x.Weeks
		}
		if len(p) != n || sum != float64(weeks) {
			t.Errorf("%d weeks: %d periods over %g weeks, want %d", weeks, len(p), sum, n)
		}
	}
}

// A farm at size: the plan keeps its limits when it is carried out with a
// reckoning of its own, is no better than its bound and close to it.
func TestAYearAtSize(t *testing.T) {
	f := solvers.Big()
	p, err := season.Solve(context.Background(), f, solver(t), 0.02)
	if err != nil || len(p.Steps) == 0 {
		t.Fatalf("%v %v", p.Status, err)
	}
	if p.Value > p.Bound*(1+1e-9) || p.Gap > 0.0201 {
		t.Errorf("worth %g, bound %g, gap %g", p.Value, p.Bound, p.Gap)
	}
	begun, taken, ripe := 140.0, 0.0, 0.0
	for i, s := range p.Steps {
		for _, n := range s.Start {
			begun += n
		}
		if begun-taken > f.Bins+1e-4 {
			t.Fatalf("week %g: %g bins in use", s.Week, begun-taken)
		}
		for _, n := range s.Harvest {
			taken += n
		}
		ripe = 0
		for _, r := range f.Running {
			if r.RipeIn <= s.Week {
				ripe += r.Bins
			}
		}
		for _, before := range p.Steps[:i] {
			if before.Week+20 <= s.Week {
				ripe += before.Start["everyday"]
			}
			if before.Week+26 <= s.Week {
				ripe += before.Start["woody"]
			}
		}
		if taken > ripe+1e-4 {
			t.Fatalf("week %g: %g harvested, %g ripe", s.Week, taken, ripe)
		}
		if s.CrewHours > 140*s.Weeks+1e-4 || s.StockM3 > f.StoreM3+1e-4 {
			t.Errorf("%+v", s)
		}
		if i < 13 {
			for _, n := range s.Start {
				if math.Abs(n-math.Round(n)) > 1e-5 {
					t.Errorf("week %g: %g bins", s.Week, n)
				}
			}
		}
	}
	t.Logf("worth %.0f, bound %.0f, gap %.2f %%, %d unmet, tight %+v", p.Value, p.Bound, 100*p.Gap, len(p.Unmet), p.Tight)
}

func TestFarmsThatCannotBe(t *testing.T) {
	for want, bad := range map[string]func(*season.Farm){
		"over 400 weeks":      func(f *season.Farm) { f.Weeks = 400 },
		"no feedstock of the": func(f *season.Farm) { f.Mixes[0].Parts = []season.Part{{Feedstock: "hay", Share: 1}} },
		"make 0.5 and not 1": func(f *season.Farm) {
			f.Feedstocks = []season.Feedstock{{Name: "hay"}}
			f.Mixes[0].Parts = []season.Part{{Feedstock: "hay", Share: 0.5}}
		},
		"and the farm has 1":            func(f *season.Farm) { f.Running = []season.Running{{Mix: "everyday", Bins: 3}} },
		"no mix of the plan":            func(f *season.Farm) { f.Running = []season.Running{{Mix: "other", Bins: 1}} },
		"crew's hours are -1":           func(f *season.Farm) { f.Crew = []float64{-1} },
		"hours are 5000 in week 1":      func(f *season.Farm) { f.Crew = []float64{5000} },
		"after the 2 weeks":             func(f *season.Farm) { f.Products[0].Demand = make([]float64, 9) },
		"and the farm begins in week 2": func(f *season.Farm) { f.Begins = 1 },
		"and the plan ends with week 2": func(f *season.Farm) { f.Begins = 2 },
		"Bins run already, and the farm begins": func(f *season.Farm) {
			f.Begins, f.Running = 1, []season.Running{{Mix: "everyday", Bins: 1}}
		},
		"has 400 hours in week 1, overtime included, and is 1": func(f *season.Farm) { f.Crew, f.People = []float64{400}, 1 },
		"has no pace of the bins":                              func(f *season.Farm) { f.Heat = []season.Heat{{Degrees: 3}} },
		"Two ways of heating": func(f *season.Farm) {
			f.Heat = []season.Heat{{Degrees: 3, Pace: []float64{1}, Cost: []float64{1}}, {Degrees: 3, Pace: []float64{1}, Cost: []float64{1}}}
		},
		"is ripe after 0": func(f *season.Farm) { f.Mixes[0].RipeWeeks = 0 },
		`"" is no name`:   func(f *season.Farm) { f.Products[0].Name = "" },
		"another name":    func(f *season.Farm) { f.Products = append(f.Products, f.Products[0]) },
		"2 bins must hold a bed at the end, and the farm has 1": func(f *season.Farm) { f.EndBins = 2 },
		"lie in a store for 1": func(f *season.Farm) { f.Feedstocks = []season.Feedstock{{Name: "hay", StartM3: 2, StoreM3: 1}} },
	} {
		f := small(2)
		bad(&f)
		_, err := season.Solve(context.Background(), f, nil, 0.01)
		var r *figure.Refusal
		if !errors.As(err, &r) || !strings.Contains(r.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
}

// What a feedstock is called does not mix its limits with those of the castings.
func TestLimitsOfLikeNames(t *testing.T) {
	worth := func(name string) map[season.Kind]float64 {
		f := quarter()
		f.StoreM3, f.AgesPer = 2.5, 0
		f.Feedstocks[0].Name, f.Mixes[0].Parts[0].Feedstock = name, name
		f.Feedstocks[0].Arrives, f.Feedstocks[0].StoreM3 = []float64{2, 0}, 5
		p, err := season.Solve(context.Background(), f, solver(t), 0)
		if err != nil || len(p.Steps) == 0 {
			t.Fatalf("%+v %v", p, err)
		}
		out := map[season.Kind]float64{}
		for _, x := range p.Tight {
			out[x.Kind] += x.Worth
		}
		return out
	}
	plain, like := worth("solids"), worth("castings")
	if plain[season.OfStore] <= 0 {
		t.Errorf("the store is not reached: %v", plain)
	}
	for _, kind := range []season.Kind{season.OfStore, season.OfFeedStore} {
		if math.Abs(plain[kind]-like[kind]) > 1e-4 {
			t.Errorf("one more of %s is worth %g, and %g where a feedstock is called castings (%v, %v)", kind, plain[kind], like[kind], plain, like)
		}
	}
}
