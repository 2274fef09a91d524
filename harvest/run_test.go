package harvest_test

import (
	"math"
	"testing"

	"wormyard/harvest"
	"wormyard/qty"
)

// The assumed shares of sizes are shares of one, and a heap comes to its mass.
func TestHeapIsWhole(t *testing.T) {
	p := parameters(t)
	for _, chips := range []float64{0, .15, 1} {
		sum := 0.0
		for _, c := range p.Heap(300, chips) {
			sum += c.Mass
		}
		if math.Abs(sum-300) > 1e-9 {
			t.Errorf("with %g chips the classes of 300 kg come to %g", chips, sum)
		}
	}
}

// Everything of a heap goes somewhere: through is what is recovered of the fine
// and what slips of the coarse.
func TestCutBalances(t *testing.T) {
	p := parameters(t)
	last := 0.0
	for _, mm := range []float64{1, 2, 3.18, 4.75, 6.3, 9.5, 12.5, 25} {
		c := p.CutOf(harvest.Deck{Opening: mm, Water: .42, Rate: 1}, qty.Exactly(.15), qty.Exactly(1))
		if got := c.Fine*c.Recovered + (1-c.Fine)*(1-c.Kept); math.Abs(got-c.Through.Best) > 1e-9 {
			t.Errorf("%g mm: %g by parts, %g through", mm, got, c.Through.Best)
		}
		if c.Through.Best < last || c.Through.Low > c.Through.Best || c.Through.High < c.Through.Best {
			t.Errorf("%g mm: %+v after %g", mm, c.Through, last)
		}
		last = c.Through.Best
	}
	if wet := p.CutOf(harvest.Deck{Opening: 6.3, Water: .65, Rate: 1}, qty.Exactly(.15), qty.Exactly(1)); !wet.Balls {
		t.Error("at 65 % it does not ball")
	}
}

// Weighings made with a known shift give it back, as far as the assumption lets
// them; wet runs and runs of which nothing was weighed teach nothing.
func TestShift(t *testing.T) {
	p := parameters(t)
	run := func(shift, water float64) harvest.Weighing {
		d := harvest.Deck{Opening: 6.3, Water: qty.WaterOfWet(water), Rate: 1}
		c := p.CutOf(d, qty.Exactly(.15), qty.Exactly(shift))
		return harvest.Weighing{Opening: 6.3, Water: d.Water, Through: 100 * c.Through.Best, Over: 100 - 100*c.Through.Best}
	}
	if s, used := p.Shift([]harvest.Weighing{run(1.2, .62), {Opening: 6.3, Water: .4}}, .15); used != 0 || s.Best != 1 {
		t.Errorf("%+v from runs that say nothing", s)
	}
	for _, n := range []int{1, 3, 30} {
		var runs []harvest.Weighing
		for range n {
			runs = append(runs, run(1.2, .4))
		}
		// By hand: n times ln 1.2 over n and the pseudo-runs.
		want := math.Exp(float64(n) * math.Log(1.2) / (float64(n) + p.LearnedLots))
		if s, used := p.Shift(runs, .15); used != n || math.Abs(s.Best-want) > 1e-6 || !(s.Low < s.Best && s.Best < s.High) {
			t.Errorf("%d runs: %+v, by hand %g", n, s, want)
		}
	}
}

// Cocoons do not move and do not sit on a coarse deck; a fine one keeps all grown
// worms.
func TestPartedBy(t *testing.T) {
	p := parameters(t)
	if x := p.PartedBy(harvest.Side, 21, 0); x.Cocoons.Best != 0 || !(x.Worms.Low < x.Worms.Best && x.Worms.Best < x.Worms.High) {
		t.Errorf("side feeding: %+v", x)
	}
	fine, coarse := p.PartedBy(harvest.Screen, 0, 2), p.PartedBy(harvest.Screen, 0, 12.5)
	if fine.Worms.Best != 1 || !(coarse.Cocoons.Best < fine.Cocoons.Best) {
		t.Errorf("2 mm %+v, 12.5 mm %+v", fine, coarse)
	}
}

// By hand: half of a day in ten goes over, so 0.7 of those that all go are over after
// ln(1/0.3)/0.09 = 13.4 days; feeding stops 14 and water 7 days before.
func TestPlanOnPaper(t *testing.T) {
	par := parameters(t)
	par.SideRate, par.SideStay, par.StopFeed = qty.Exactly(0.09), qty.Exactly(0), 14
	par.Dry = qty.Estimate{Best: 7, Low: 3, High: 14}
	plan := par.Plan(qty.Estimate{Best: 30, Low: 20, High: 50})
	want := map[harvest.Step]qty.Estimate{
		harvest.FeedOneSide: {Best: 30 - math.Log(1/0.3)/0.09, Low: 20 - math.Log(1/0.3)/0.09, High: 50 - math.Log(1/0.3)/0.09},
		harvest.StopFeeding: {Best: 16, Low: 6, High: 36},
		harvest.LetDry:      {Best: 23, Low: 6, High: 47},
		harvest.Take:        {Best: 30, Low: 20, High: 50},
	}
	if len(plan) != len(want) {
		t.Fatalf("%d steps, want %d", len(plan), len(want))
	}
	for _, p := range plan {
		w := want[p.Step]
		for _, d := range [][2]float64{{p.Days.Best, w.Best}, {p.Days.Low, w.Low}, {p.Days.High, w.High}} {
			if math.Abs(d[0]-d[1]) > 1e-9 {
				t.Errorf("%s in %v days, want %v", p.Step, p.Days, w)
			}
		}
	}
	// What should have begun begins now; nothing lies behind, and no step after the harvest.
	for _, ripe := range []float64{0, 1, 9, 13.5, 40} {
		take := par.Plan(qty.Exactly(ripe))[3].Days.Best
		for _, p := range par.Plan(qty.Exactly(ripe)) {
			if p.Days.Low < 0 || p.Days.Low > p.Days.Best || p.Days.Best > p.Days.High || p.Days.Best > take {
				t.Errorf("ripe in %g: %s in %v", ripe, p.Step, p.Days)
			}
		}
	}
	// So many stay that 0.7 never go: it cannot begin early enough.
	par.SideStay = qty.Exactly(0.5)
	if d := par.Plan(qty.Exactly(30))[0].Days; d.Best != 0 {
		t.Errorf("side feeding of worms that never go begins in %v days", d)
	}
}
