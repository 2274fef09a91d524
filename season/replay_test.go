package season_test

import (
	"context"
	"math"
	"testing"

	"wormyard/season"
)

// year is a farm of a quarter, with two mixes' worth of everything that a plan
// may run against.
func quarter() season.Farm {
	end := 300.0
	weeks := 13
	demand, promised := make([]float64, weeks), make([]float64, weeks)
	for i := range weeks {
		demand[i] = 2
		if i >= 8 {
			promised[i] = 1
		}
	}
	return season.Farm{
		Weeks: weeks, Bins: 40, StoreM3: 20, StockM3: 2, CureWeeks: 2, AgesPer: 0.01, Crew: []float64{30}, Overtime: 10, OverPrice: 20,
		Running:    []season.Running{{Mix: "everyday", Bins: 10, RipeIn: 2}, {Mix: "everyday", Bins: 20, RipeIn: 6}},
		Mixes:      []season.Mix{{Name: "everyday", RipeWeeks: 6, CastingsM3: 0.6, FeedM3Week: 0.05, StartM3: 0.1, WormsKg: 5, StartCost: 5, Parts: []season.Part{{Feedstock: "solids", Share: 0.7}, {Feedstock: "leaves", Share: 0.3}}}},
		Feedstocks: []season.Feedstock{{Name: "solids", Arrives: []float64{2}, StartM3: 5, StoreM3: 10, Spoils: 0.02, Cost: 4}, {Name: "leaves", Arrives: []float64{1}, StartM3: 8, StoreM3: 10, Cost: 2}},
		Worms:      season.Worms{StartKg: 250, Growth: []float64{0.05}, MostKg: 12, EndKg: &end},
		Products:   []season.Product{{Name: "cubic metre", CastingsM3: 1, Price: 300, Demand: demand, Promised: promised, Penalty: 100}},
		Hours:      season.Hours{Start: 1, Feed: 0.2, Harvest: 1},
	}
}

// A year that comes as it was planned with earns what the plan says and keeps every
// promise: the replay and the programme are two ways to the same sums.
func TestReplayedAsPlanned(t *testing.T) {
	f := quarter()
	f.Pace = []float64{1, 0.8, 0.9}
	p, err := season.Solve(context.Background(), f, solver(t), 0)
	if err != nil {
		t.Fatal(err)
	}
	w := season.World{Yield: 1, Pace: f.Pace, Growth: f.Worms.Growth, Came: []float64{1}}
	got := season.Replayed(f, p, []season.World{w})
	if math.Abs(got.Value[1]-p.Value) > 1e-6*math.Abs(p.Value) {
		t.Errorf("the year earns %.6f, the plan says %.6f", got.Value[1], p.Value)
	}
	for i, s := range p.Steps {
		if math.Abs(got.Stock[i][1]-s.StockM3) > 1e-6 || got.Worms[i][1] < s.WormsKg-1e-6 {
			t.Errorf("week %g ends with %g m3 and %g kg, planned %g and %g", s.Week, got.Stock[i][1], got.Worms[i][1], s.StockM3, s.WormsKg)
		}
	}
	for _, k := range got.Kept {
		if k.Often != 1 {
			t.Errorf("%+v was planned and not kept", k)
		}
	}
}

// Half of the castings leaves promises unkept; twice as many changes none for the
// worse.
func TestReplayedOtherYears(t *testing.T) {
	f := quarter()
	p, err := season.Solve(context.Background(), f, solver(t), 0)
	if err != nil {
		t.Fatal(err)
	}
	often := func(yield, pace float64) (kept, value float64) {
		r := season.Replayed(f, p, []season.World{{Yield: yield, Pace: []float64{pace}, Growth: f.Worms.Growth, Came: []float64{1}}})
		for _, k := range r.Kept {
			kept += k.Often
		}
		return kept, r.Value[1]
	}
	as, v := often(1, 1)
	for _, c := range []struct {
		what        string
		yield, pace float64
	}{{"half the castings", 0.3, 1}, {"bins at half the pace", 1, 0.3}} {
		if n, less := often(c.yield, c.pace); n > as || less >= v {
			t.Errorf("%s keep %g promises and earn %g; as planned %g and %g", c.what, n, less, as, v)
		}
	}
	if n, _ := often(0.1, 1); n >= as {
		t.Errorf("a tenth of the castings keeps %g promises of %g", n, as)
	}
	if n, more := often(2, 1); n < as || more < v-1e-6 {
		t.Errorf("twice the castings keep %g promises and earn %g", n, more)
	}
}

// A bin works at the pace of its weeks: at half of it a bin that is ripe after one
// week is so after two.
func TestPace(t *testing.T) {
	f := small(3)
	f.Pace = []float64{0.5}
	p, err := season.Solve(context.Background(), f, solver(t), 0)
	if err != nil || math.Abs(p.Value-100) > 1e-6 || p.Steps[2].Harvest["everyday"] < 1-1e-6 {
		t.Errorf("%+v %v, wanted one harvest, in the third week", p, err)
	}
}

// Drawn years have the spread and the memory that they were asked to have, and are
// the same again for the same seed.
func TestWorlds(t *testing.T) {
	bed := make([]float64, 52)
	c := season.Climate{BedC: bed, SDC: 2, Stays: 0.6}
	n := season.Nature{Pace: func(c float64) float64 { return c + 100 }, Warm: 0, Doubling: [3]float64{60, 66, 90}, YieldSpread: 0.1, CameSpread: 0.2}
	worlds := season.Worlds(4000, 1, c, n)
	again := season.Worlds(10, 1, c, n)
	var sum, sq, lag, count float64
	for i, w := range worlds {
		if i < 10 && (w.Yield != again[i].Yield || w.Pace[51] != again[i].Pace[51]) {
			t.Fatal("another year for the same seed")
		}
		for k := range w.Pace {
			x := (w.Pace[k] - 1) * 100
			sum, sq, count = sum+x, sq+x*x, count+1
			if k > 0 {
				lag += x * (w.Pace[k-1] - 1) * 100
			}
		}
	}
	mean, sd := sum/count, math.Sqrt(sq/count)
	if math.Abs(mean) > 0.05 || math.Abs(sd-2) > 0.05 || math.Abs(lag/sq*52/51-0.6) > 0.02 {
		t.Errorf("mean %.3f, spread %.3f, correlation %.3f; wanted 0, 2, 0.6", mean, sd, lag/sq*52/51)
	}
}

// A stock doubles in the days it is said to.
func TestGrows(t *testing.T) {
	n := 1.0
	for range 10 {
		n *= 1 + season.Grows(70, 1)
	}
	if math.Abs(n-2) > 1e-9 {
		t.Errorf("after 70 days there are %g times as many", n)
	}
}

// What drawn weeks were made with is found again in them.
func TestFitWeeks(t *testing.T) {
	n := season.Nature{Pace: func(c float64) float64 { return c + 100 }, Doubling: [3]float64{60, 66, 90}}
	var off []float64
	for _, w := range season.Worlds(200, 3, season.Climate{BedC: make([]float64, 52), SDC: 2, Stays: 0.6}, n) {
		for _, p := range w.Pace {
			off = append(off, (p-1)*100)
		}
		off = append(off, math.NaN())
	}
	sd, stays := season.FitWeeks(off)
	if math.Abs(sd-2) > 0.06 || math.Abs(stays-0.6) > 0.03 {
		t.Errorf("spread %.3f and correlation %.3f, made with 2 and 0.6", sd, stays)
	}
}

// Farther on a plan takes what is begun and harvested over four weeks as if it were at
// their beginning; lived week by week such a year earns no more, and less by at most two
// in a hundred. A cure of as many weeks as a period has costs least of it.
func TestReplayedAsPlannedFarOut(t *testing.T) {
	for _, cure := range []float64{0, 2, 4} {
		f := quarter()
		f.Weeks, f.CureWeeks = 53, cure
		x := &f.Products[0]
		x.Demand, x.Promised = make([]float64, f.Weeks), make([]float64, f.Weeks)
		for w := range f.Weeks {
			if x.Demand[w] = 2; w >= 8 {
				x.Promised[w] = 1
			}
		}
		p, err := season.Solve(context.Background(), f, solver(t), 1e-3)
		if err != nil {
			t.Fatal(err)
		}
		got := season.Replayed(f, p, []season.World{{Yield: 1, Pace: []float64{1}, Growth: f.Worms.Growth, Came: []float64{1}}})
		if off := got.Value[1]/p.Value - 1; off > 1e-6 || off < -0.02 {
			t.Errorf("cure of %g weeks: the year earns %.0f, the plan says %.0f", cure, got.Value[1], p.Value)
		}
		for _, k := range got.Kept {
			if k.Often != 1 {
				t.Errorf("%+v was planned and not kept", k)
			}
		}
	}
}
