package chance_test

import (
	"math"
	"testing"

	"wormyard/chance"
)

// By algebra: a gamma of whole shape is a sum of Poisson chances, a beta of whole
// shapes a sum of binomial ones; both sides of each switch of method are met.
func TestByAlgebra(t *testing.T) {
	same := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-13*math.Max(1, math.Abs(want)) { // some hundred roundings
			t.Errorf("%s is %.17g, by algebra %.17g", what, got, want)
		}
	}
	for _, shape := range []int{1, 3, 16, 40} {
		for _, x := range []float64{0.01, 0.5, 2, 15, 17.5, 39, 60} {
			term, upper := math.Exp(-x), 0.0
			for i := range shape {
				upper += term
				term *= x / float64(i+1)
			}
			same("the upper part of a gamma", chance.GammaUpper(float64(shape), x), upper)
			same("the lower part of a gamma", chance.GammaLower(float64(shape), x), 1-upper)
		}
	}
	for _, p := range []float64{0, 0.02, 0.3, 0.5, 0.97, 1} {
		const n = 12
		sum := 0.0
		for x := n; x > 0; x-- {
			sum += math.Exp(chance.BinomialLog(float64(x), n, p))
			same("the lower part of a beta", chance.BetaLower(float64(x), float64(n-x+1), p), sum)
		}
		same("all chances of a binomial", sum+math.Exp(chance.BinomialLog(0, n, p)), 1)
	}
	same("ways to take 2 of 5", chance.WaysLog(5, 2), math.Log(10))
	same("a normal at its middle", chance.NormalLower(0), 0.5)
	same("both sides of a normal", chance.NormalLower(-1.7)+chance.NormalLower(1.7), 1)
	same("a normal and its quantile", chance.NormalLower(chance.NormalQuantile(0.8)), 0.8)
	same("t of one degree, the tangent", chance.TwoSided(0.9, 1), math.Tan(0.45*math.Pi))
}

func TestMedian(t *testing.T) {
	v := []float64{3, -1, 2}
	for _, x := range []struct {
		of   []float64
		want float64
	}{{nil, 0}, {[]float64{7}, 7}, {v, 2}, {[]float64{4, 1, 3, 100}, 3.5}} {
		if got := chance.Median(x.of); got != x.want {
			t.Errorf("the median of %v is %g, want %g", x.of, got, x.want)
		}
	}
	if v[0] != 3 || v[1] != -1 {
		t.Errorf("the values stand in another order: %v", v)
	}
}
