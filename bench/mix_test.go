package bench

import (
	"context"
	"os"
	"slices"
	"testing"
	"time"

	"wormyard/feedstock"
	"wormyard/internal/highs"
	"wormyard/internal/source"
	"wormyard/mix"
	"wormyard/qty"
)

// yardMix is a mix of six materials of the library, all with their ranges, to
// be found for a feed of 8 m3 at least cost.
func yardMix(t testing.TB) (mix.Parameters, mix.Wanted) {
	t.Helper()
	var p mix.Parameters
	if err := source.Load("mix", &p); err != nil {
		t.Fatal(err)
	}
	library, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	w := mix.Wanted{FreeWater: true, Target: p.Windows(mix.Feed), TotalVolume: 8, Least: mix.Cost}
	for i, name := range []string{"dairy solids, separated", "horse manure with bedding", "leaves, loose dry", "wood chips, hardwood", "corrugated cardboard", "spent mushroom compost"} {
		m, err := library.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		w.Parts = append(w.Parts, mix.Part{Name: name, Material: m, Amount: feedstock.Quantity{Volume: 1}, CostPerM3: ptr(qty.Money(i))})
		w.Free = append(w.Free, true)
	}
	w.Shrink = qty.Estimate{Best: 0.1, Low: 0.05, High: 0.25}
	return p, w
}

// median runs do n times and gives the middle time.
func median(n int, do func()) time.Duration {
	took := make([]time.Duration, n)
	for i := range took {
		began := time.Now()
		do()
		took[i] = time.Since(began)
	}
	slices.Sort(took)
	return took[n/2]
}

// TestMixSpeed times solving and drawing in one run and prints them with what
// they are compared to. The bounds are those of the design, with room for a
// machine that has other things to do; the ratios are what to look at.
func TestMixSpeed(t *testing.T) {
	p, w := yardMix(t)
	ctx := t.Context()
	solve := func(s *highs.Solver, w mix.Wanted) func() {
		return func() {
			if _, err := mix.Solve(context.WithoutCancel(ctx), s.Solve, p, w); err != nil {
				t.Fatal(err)
			}
		}
	}
	compiled := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer compiled.Close()
	interpreted := highs.Open(highs.Options{Interpret: true})
	defer interpreted.Close()
	for _, s := range []*highs.Solver{compiled, interpreted} {
		if err := s.Ready(ctx); err != nil {
			t.Fatal(err)
		}
		solve(s, w)()
	}
	buckets := w
	buckets.Bucket = 0.5
	blocked := w
	blocked.Target = []mix.Window{{Output: mix.CN, Low: 15, High: 16}, {Output: mix.Ash, Low: 0, High: 0.05}}

	plain := median(21, solve(compiled, w))
	byBucket := median(21, solve(compiled, buckets))
	explained := median(21, solve(compiled, blocked))
	slow := median(5, solve(interpreted, w))
	draws := median(7, func() {
		if _, err := mix.Chance(p, w.Recipe, w.Target, 1, mix.Draws); err != nil {
			t.Fatal(err)
		}
	})
	// The plain way to 10,000 draws is to blend as often.
	const few = 200
	blends := median(5, func() {
		for range few {
			if _, err := mix.Forward(p, w.Recipe); err != nil {
				t.Fatal(err)
			}
		}
	}) * (mix.Draws / few)

	t.Logf("mix solved in %v, by buckets in %v, explained when it cannot be in %v", plain, byBucket, explained)
	t.Logf("interpreted it takes %v, %.0f times as long", slow, float64(slow)/float64(plain))
	t.Logf("%d draws with chances, ranges and the next test in %v; blending as often takes %v, %.1f times as long", mix.Draws, draws, blends, float64(blends)/float64(draws))
	if os.Getenv("WORMYARD_BENCH") == "" { // a busy machine is no fault of the code
		return
	}
	for what, c := range map[string][2]time.Duration{
		"a mix":            {plain, 10 * time.Millisecond},
		"a mix in buckets": {byBucket, 10 * time.Millisecond},
		"the draws":        {draws, 50 * time.Millisecond},
	} {
		if c[0] > 3*c[1] {
			t.Errorf("%s takes %v; asked is %v", what, c[0], c[1])
		}
	}
}

func BenchmarkMixSolve(b *testing.B) {
	p, w := yardMix(b)
	s := highs.Open(highs.Options{CacheDir: highs.CacheDir()})
	defer s.Close()
	if err := s.Ready(b.Context()); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := mix.Solve(b.Context(), s.Solve, p, w); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMixDraws(b *testing.B) {
	p, w := yardMix(b)
	for b.Loop() {
		if _, err := mix.Chance(p, w.Recipe, w.Target, 1, mix.Draws); err != nil {
			b.Fatal(err)
		}
	}
}
