package mix

import (
	"context"
	"testing"

	"wormyard/feedstock"
	"wormyard/qty"
)

// yardful is a mix of six of the library's materials, all with ranges.
func yardful(t testing.TB) Recipe {
	l := library(t)
	var r Recipe
	for _, g := range []struct {
		name   string
		volume float64
	}{{"dairy solids, separated", 2}, {"horse manure with bedding", 1}, {"leaves, loose dry", 2}, {"wood chips, hardwood", .5}, {"corrugated cardboard", .5}, {"spent mushroom compost", .5}} {
		m, err := l.Find(g.name)
		if err != nil {
			t.Fatal(err)
		}
		price := qty.Money(g.volume)
		r.Parts = append(r.Parts, Part{Name: g.name, Material: m, Amount: feedstock.Quantity{Volume: qty.CubicMetre(g.volume)}, CostPerM3: &price})
	}
	r.Shrink = qty.Estimate{Best: .1, Low: .05, High: .25}
	return r
}

func BenchmarkDraws(b *testing.B) {
	p, r := parameters(b), yardful(b)
	windows := p.Windows(Feed)
	for b.Loop() {
		if _, err := Chance(p, r, windows, 1, Draws); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkForward(b *testing.B) {
	p, r := parameters(b), yardful(b)
	for b.Loop() {
		if _, err := Forward(p, r); err != nil {
			b.Fatal(err)
		}
	}
}

func benchmarkSolve(b *testing.B, change func(*Wanted)) {
	p := parameters(b)
	w := Wanted{Recipe: yardful(b), Free: []bool{true, true, true, true, true, true}, FreeWater: true, Target: p.Windows(Feed), TotalVolume: 8, Least: Cost}
	change(&w)
	if _, err := Solve(b.Context(), solver.Solve, p, w); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Solve(context.Background(), solver.Solve, p, w); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSolve(b *testing.B) { benchmarkSolve(b, func(*Wanted) {}) }

func BenchmarkSolveBuckets(b *testing.B) {
	benchmarkSolve(b, func(w *Wanted) { w.Bucket = .5 })
}

func BenchmarkSolveBlocked(b *testing.B) {
	benchmarkSolve(b, func(w *Wanted) {
		w.Target = []Window{{Output: CN, Low: 15, High: 16}, {Output: Ash, Low: 0, High: .05}}
	})
}
