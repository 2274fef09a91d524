package demo

import (
	"math"
	"math/rand/v2"

	"wormyard/qty"
)

// dice are one stream of chance, named so that streams do not hang on each other.
type dice struct{ *rand.Rand }

func newDice(seed uint64, name string, n int) dice {
	h := uint64(14695981039346656037) // FNV-1a
	for i := range len(name) {
		h = (h ^ uint64(name[i])) * 1099511628211
	}
	return dice{rand.New(rand.NewPCG(seed^h, uint64(n)))}
}

func (d dice) chance(p float64) bool          { return d.Float64() < p }
func (d dice) norm(mean, sd float64) float64  { return mean + sd*d.NormFloat64() }
func (d dice) off(sd float64) float64         { return math.Exp(sd * d.NormFloat64()) } // a factor about 1
func (d dice) between(a, b float64) float64   { return a + (b-a)*d.Float64() }
func (d dice) whole(a, b int) int             { return a + d.IntN(b-a+1) }
func (d dice) one(words ...string) string     { return words[d.IntN(len(words))] }
func (d dice) about(v, share float64) float64 { return v * (1 + share*(2*d.Float64()-1)) }
func (d dice) poisson(mean float64) (n int) {
	if mean > 60 {
		return max(0, int(math.Round(d.norm(mean, math.Sqrt(mean)))))
	}
	for l, p := math.Exp(-mean), d.Float64(); p > l; p *= d.Float64() {
		n++
	}
	return n
}

// z90 is the 95th percentile of the standard normal.
const z90 = 1.6448536269514722

// drawn gives the value of an estimate at z standard deviations, log-normal by
// halves where all is positive, else normal by halves, never outside its range.
func drawn(e qty.Estimate, z float64) float64 {
	if !e.Spread() {
		return e.Best
	}
	v := e.Best + z/z90*(e.High-e.Best)
	switch {
	case e.Low > 0 && z < 0:
		v = e.Best * math.Exp(z/z90*math.Log(e.Best/e.Low))
	case e.Low > 0:
		v = e.Best * math.Exp(z/z90*math.Log(e.High/e.Best))
	case z < 0:
		v = e.Best + z/z90*(e.Best-e.Low)
	}
	return min(max(v, e.Low), e.High)
}

// step rounds to a multiple.
func step(v, by float64) float64 { return math.Round(v/by) * by }
