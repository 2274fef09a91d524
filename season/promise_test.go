package season_test

import (
	"context"
	"math"
	"testing"

	"wormyard/bench/solvers"
	"wormyard/season"
)

// tenYears give a tenth, two tenths ... of the castings that were planned with.
func tenYears() (out []season.World) {
	for i := range 10 {
		out = append(out, season.World{Yield: float64(i+1) / 10, Came: []float64{1}})
	}
	return out
}

// One bin gives a cubic metre in the second week, and a tenth of it to all of it in
// ten years: two tenths are there in nine of them. What is promised already takes of
// it, in the same week, later, and of another product; earlier it cannot be had.
func TestPromisableByHand(t *testing.T) {
	solve := solver(t)
	for _, c := range []struct {
		name string
		week float64
		farm season.Farm
		more float64
	}{
		{"nothing promised", 1, small(3), 0.2},
		{"before the harvest", 0, small(3), 0},
		{"later", 2, small(3), 0.2},
		{"some promised", 1, with(small(3), func(f *season.Farm) { f.Products[0].Promised = []float64{0, 0.15} }), 0.05},
		{"another promised in the same week", 1, with(small(3), func(f *season.Farm) {
			f.Products = append(f.Products, season.Product{Name: "bag", CastingsM3: 0.1, Price: 9, Promised: []float64{0, 1}})
		}), 0.1},
		{"another promised later", 1, with(small(3), func(f *season.Farm) {
			f.Products = append(f.Products, season.Product{Name: "bag", CastingsM3: 0.1, Price: 9, Promised: []float64{0, 0, 1}})
		}), 0.1},
		// what was promised is kept in 8 of 10 years itself: nothing more
		{"more promised than is sure", 1, with(small(3), func(f *season.Farm) { f.Products[0].Promised = []float64{0, 0.3} }), 0},
		// 10 kg of worms do not grow; the bin holds a bed in the second week and must hold 5
		{"worms", 1, with(small(3), func(f *season.Farm) {
			end := 4.0
			f.Mixes[0].WormsKg, f.Worms = 5, season.Worms{StartKg: 10, MostKg: 10, EndKg: &end}
			f.Products[0].CastingsM3, f.Products[0].WormsKg = 0, 1
		}), 5},
		// in every year half a metre lies there besides
		{"stock", 0, with(small(3), func(f *season.Farm) { f.StockM3 = 0.5 }), 0.5},
	} {
		c.farm.Products[0].Demand = nil
		c.farm.EndBins = 0
		p, err := season.Solve(context.Background(), c.farm, solve, 1e-6)
		if err != nil || len(p.Steps) == 0 {
			t.Fatalf("%s: %v", c.name, err)
		}
		// nobody asks for anything but what is promised: the bin is harvested all the same
		p.Steps[0].Start = map[string]float64{"everyday": 1}
		p.Steps[1].Harvest = map[string]float64{"everyday": 1}
		for i := range p.Steps[2:] {
			p.Steps[2+i].Start, p.Steps[2+i].Harvest = nil, nil
		}
		got, ok := season.Promisable(c.farm, p, tenYears(), "cubic metre", c.week, 0.9)
		if !ok || got.More > c.more+1e-9 || got.More < c.more-1.6/200 {
			t.Errorf("%s: %+v, by hand %g", c.name, got, c.more)
		}
		if got.More > 0 && got.Kept < 0.9 {
			t.Errorf("%s: kept in %g of the years", c.name, got.Kept)
		}
	}
	if _, ok := season.Promisable(small(3), season.Plan{}, tenYears(), "hay", 1, 0.9); ok {
		t.Error("a product that is not there may be promised")
	}
}

// On a farm at size what is said to be safe is kept as often as said when it is
// promised, whole pieces where there are many, and half as much again is not.
func TestPromisesHold(t *testing.T) {
	f := solvers.Big()
	p, err := season.Solve(context.Background(), f, solver(t), 0.01)
	if err != nil {
		t.Fatal(err)
	}
	worlds := season.WorldsAbout(f, season.Spread{Years: 16, Pace: 0.1, Stays: 0.6, Yield: 0.12, Came: 0.4}, 1)
	got := season.Promises(f, p, worlds, []float64{8, 26}, 0.9)
	if len(got) != 2*len(f.Products) {
		t.Fatalf("%d answers", len(got))
	}
	some := 0
	for _, x := range got {
		if x.More >= 10 && x.More != math.Floor(x.More) {
			t.Errorf("%+v is no whole number", x)
		}
		if x.More == 0 {
			continue
		}
		some++
		for _, times := range []float64{1, 1.5} {
			g := f
			g.Products = append([]season.Product(nil), f.Products...)
			for i := range g.Products {
				if g.Products[i].Name == x.Product {
					list := make([]float64, f.Weeks)
					copy(list, g.Products[i].Promised)
					list[int(x.Week)] += x.More * times
					g.Products[i].Promised = list
				}
			}
			before, after := season.Replayed(f, p, worlds), season.Replayed(g, p, worlds)
			last := len(p.Steps) - 1
			often, worse := 1.0, after.Worms[last][0] < math.Min(before.Worms[last][0], f.Worms.StartKg)-1e-6
			for _, k := range after.Kept {
				if k.Product == x.Product && k.Week == x.Week {
					often = k.Often
				}
				for _, b := range before.Kept {
					worse = worse || b.Product == k.Product && b.Week == k.Week && k.Week != x.Week && k.Often < math.Min(b.Often, 0.9)-1e-9
				}
			}
			if safe := often >= 0.9-1e-9 && !worse; safe != (times == 1) && (times == 1 || x.Product != "pound of worms" && x.Product != "kit") {
				t.Errorf("%+v: %g times as much is kept in %.2f of the years", x, times, often)
			}
		}
	}
	if some < 4 {
		t.Errorf("only %d of %d may be promised at all", some, len(got))
	}
	t.Logf("%+v", got)
}
