// Package solvers holds the season's programme against two other solvers, GLPK
// and CBC, which are written by others: the same optimum on generated farms, and
// the time that each takes on a farm at size. bench/solvers/run does it; it needs
// the Debian packages glpk-utils and coinor-cbc.
package solvers

import (
	"fmt"
	"math"
	"math/rand/v2"

	"wormyard/season"
)

// Big is a farm of 240 bins over 78 weeks with two mixes, six products and a peak
// in spring: the size that a plan is made for.
func Big() season.Farm {
	f := season.Farm{
		Weeks: 78, Bins: 240, StoreM3: 150, StockM3: 20, CureWeeks: 4, AgesPer: 0.005, Crew: []float64{120}, Overtime: 20, OverPrice: 35,
		Hours: season.Hours{Start: 1.5, Feed: 0.15, Harvest: 1},
		Mixes: []season.Mix{
			{Name: "everyday", RipeWeeks: 20, CastingsM3: 0.35, FeedM3Week: 0.04, WormsKg: 3, StartCost: 5, Parts: []season.Part{{Feedstock: "solids", Share: 0.6}, {Feedstock: "leaves", Share: 0.4}}},
			{Name: "woody", RipeWeeks: 26, CastingsM3: 0.4, FeedM3Week: 0.035, WormsKg: 3, StartCost: 4, Parts: []season.Part{{Feedstock: "solids", Share: 0.4}, {Feedstock: "leaves", Share: 0.6}}},
		},
		Feedstocks: []season.Feedstock{{Name: "solids", Arrives: []float64{12}, StoreM3: 40, StartM3: 10, Spoils: 0.03, Cost: 6}, {Name: "leaves", StoreM3: 300, StartM3: 60, Spoils: 0.004, Cost: 2}},
		Worms:      season.Worms{StartKg: 900, MostKg: 9},
		Running:    []season.Running{{Mix: "everyday", Bins: 80, RipeIn: 6}, {Mix: "everyday", Bins: 60, RipeIn: 14}},
	}
	for w := range 78 {
		leaves := 0.0
		if w%52 >= 44 && w%52 < 50 {
			leaves = 40
		}
		f.Feedstocks[1].Arrives = append(f.Feedstocks[1].Arrives, leaves)
		f.Worms.Growth = append(f.Worms.Growth, 0.03+0.03*math.Sin(2*math.Pi*(float64(w)-10)/52))
	}
	for i, name := range []string{"bag", "tote", "yard", "bulk", "pound of worms", "kit"} {
		x := season.Product{Name: name, Price: []float64{14, 180, 260, 190, 34, 60}[i], CastingsM3: []float64{0.028, 0.5, 0.765, 0.765, 0, 0.03}[i], WormsKg: []float64{0, 0, 0, 0, 0.45, 0.45}[i], Penalty: 20}
		for w := range 78 {
			spring := math.Max(0, math.Sin(2*math.Pi*(float64(w%52)-4)/52))
			x.Demand = append(x.Demand, math.Round([]float64{30, 1, 2, 2, 12, 5}[i]*(0.3+1.5*spring)))
		}
		x.Promised = make([]float64, 30)
		x.Promised[20] = []float64{20, 1, 2, 0, 0, 0}[i]
		f.Products = append(f.Products, x)
	}
	return f
}

// BigWithChoices is Big in a cold winter, with two ways of heating and with bins that
// are split by hand.
func BigWithChoices() season.Farm {
	f := Big()
	f.Split = &season.Split{Hours: 1, Back: 2}
	f.Heat = []season.Heat{{Degrees: 4}, {Degrees: 8}}
	for w := range 78 {
		cold := 0.5 + 0.5*math.Cos(2*math.Pi*float64(w-6)/52) // 1 in the sixth week, 0 half a year on
		f.Pace = append(f.Pace, 1-0.6*cold)
		for i, part := range []float64{0.4, 0.7} {
			h := &f.Heat[i]
			h.Pace = append(h.Pace, 1-0.6*cold*(1-part))
			h.Growth = append(h.Growth, f.Worms.Growth[w]+0.01*cold*part)
			h.Cost = append(h.Cost, 20*h.Degrees)
		}
	}
	return f
}

// Generated is a farm drawn by a seed, the same for the same one: of 12 to 32 weeks
// and up to 40 bins, on which every limit of the programme binds now and then. Some
// leave no plan at all.
func Generated(seed uint64) season.Farm {
	r := rand.New(rand.NewPCG(seed, 65))
	between := func(low, high float64) float64 { return math.Round(1000*(low+(high-low)*r.Float64())) / 1000 }
	whole := func(low, high int) float64 { return float64(low + r.IntN(high-low+1)) }
	f := season.Farm{
		Weeks: int(whole(12, 32)), Bins: whole(4, 40), CureWeeks: whole(0, 4), AgesPer: between(0, 0.02),
		Overtime: whole(0, 10), OverPrice: whole(15, 40),
		Hours: season.Hours{Start: between(0.5, 2), Feed: between(0.05, 0.3), Harvest: between(0.5, 1.5)},
		Worms: season.Worms{MostKg: between(6, 12)},
	}
	f.Crew = []float64{math.Round(f.Bins * between(0.25, 0.8))}
	f.StoreM3 = math.Round(f.Bins*between(0.1, 0.6)) + 1
	f.StockM3 = between(0, 0.5) * f.StoreM3
	for w := range f.Weeks {
		f.Pace = append(f.Pace, math.Round(1000*(0.8+0.3*math.Sin(2*math.Pi*(float64(w)+10*float64(seed%5))/52)))/1000)
		f.Worms.Growth = append(f.Worms.Growth, between(0, 0.06))
	}
	for i := range int(whole(1, 3)) {
		x := season.Feedstock{Name: fmt.Sprintf("feedstock %d", i+1), StoreM3: math.Round(f.Bins * between(0.3, 1)), Spoils: between(0, 0.05), Cost: whole(0, 12)}
		x.StartM3 = math.Round(x.StoreM3 * between(0.3, 1))
		for range f.Weeks {
			x.Arrives = append(x.Arrives, f.Bins*between(0, 0.08))
		}
		f.Feedstocks = append(f.Feedstocks, x)
	}
	for i := range int(whole(1, 2)) {
		m := season.Mix{Name: fmt.Sprintf("mix %d", i+1), RipeWeeks: whole(4, 12), CastingsM3: between(0.2, 0.5), FeedM3Week: between(0.02, 0.05), StartM3: between(0, 0.15), WormsKg: between(2, 4), StartCost: whole(0, 8)}
		left := 1.0
		for k, x := range f.Feedstocks {
			share := left
			if k < len(f.Feedstocks)-1 {
				share = math.Round(left*1000*r.Float64()) / 1000
			}
			left = math.Round(1000*(left-share)) / 1000
			m.Parts = append(m.Parts, season.Part{Feedstock: x.Name, Share: share})
		}
		f.Mixes = append(f.Mixes, m)
	}
	if r.IntN(4) > 0 {
		n := math.Floor(f.Bins * between(0.2, 0.7))
		f.Running = []season.Running{{Mix: "mix 1", Bins: n, RipeIn: whole(0, 8)}}
		f.EndBins = math.Floor(n * between(0, 0.8))
	}
	f.Worms.StartKg = math.Round(f.Bins * between(1.5, 4))
	end := math.Round(f.Worms.StartKg * between(0, 0.8))
	if seed%8 == 7 { // more than grow in so many weeks, or than there is room for
		end *= between(2, 8)
	}
	f.Worms.EndKg = &end
	for i := range int(whole(1, 4)) {
		x := season.Product{Name: fmt.Sprintf("product %d", i+1), Price: whole(20, 300), CastingsM3: between(0.03, 1), Penalty: whole(0, 100)}
		if i == 2 {
			x.CastingsM3, x.WormsKg = 0, between(0.2, 1)
		}
		for range f.Weeks {
			x.Demand = append(x.Demand, whole(0, 6))
			x.Promised = append(x.Promised, math.Max(0, whole(-6, 3)))
		}
		f.Products = append(f.Products, x)
	}
	if seed%4 == 2 {
		f.Cash = &season.Cash{Start: 100 * whole(2, 40), Spent: whole(0, 40)}
	}
	if seed%3 == 1 {
		f.Split = &season.Split{Hours: between(0.3, 1.5), Back: whole(0, 3)}
	}
	if seed%3 == 2 {
		h := season.Heat{Degrees: whole(2, 8), Cost: []float64{whole(5, 60)}}
		for w := range f.Weeks {
			h.Pace = append(h.Pace, f.Pace[w]+between(0, 0.4))
			h.Growth = append(h.Growth, f.Worms.Growth[w]+between(0, 0.02))
		}
		f.Heat = []season.Heat{h}
	}
	return f
}
