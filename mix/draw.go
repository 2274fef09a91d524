package mix

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"wormyard/feedstock"
	"wormyard/qty"
)

// normal95 is the 95th percentile of the standard normal distribution.
const normal95 = 1.6448536269514722

// Draw gives the value of e at a standard normal deviate z: a two-piece normal
// about the best as median, on the logit for fractions and on the log for other
// positive quantities, low to high being the central 90 %. Where an end is 0 or
// 1, that has no logit or log, that side is spread on the value itself.
// docs/model.md (M34).
func Draw(e qty.Estimate, fraction bool, z float64) float64 {
	c := curveOf(e, fraction)
	return c.at(z)
}

// curve is an estimate made ready for many draws.
type curve struct {
	fraction bool
	best     float64
	middle   float64 // of the scale on which the pieces are normal
	low      piece
	high     piece
}

// piece is one side of the median.
type piece struct {
	step   float64 // of the scale for one standard deviation
	scaled bool    // on the logit or log; else on the value itself
}

func curveOf(e qty.Estimate, fraction bool) curve {
	scale := math.Log
	if fraction {
		scale = func(x float64) float64 { return math.Log(x / (1 - x)) }
	}
	c := curve{fraction: fraction, best: e.Best}
	inside := func(x float64) bool { return x > 0 && (!fraction || x < 1) }
	if inside(e.Best) {
		c.middle = scale(e.Best)
	}
	side := func(end float64) piece {
		if inside(e.Best) && inside(end) {
			return piece{math.Abs(scale(end)-c.middle) / normal95, true}
		}
		return piece{math.Abs(end-e.Best) / normal95, false}
	}
	c.low, c.high = side(e.Low), side(e.High)
	return c
}

func (c *curve) at(z float64) float64 {
	p := &c.high
	if z < 0 {
		p = &c.low
	}
	switch {
	case p.step == 0 || z == 0:
		return c.best
	case !p.scaled && c.fraction:
		return min(max(c.best+z*p.step, 0), 1)
	case !p.scaled:
		return max(c.best+z*p.step, 0)
	case c.fraction:
		return 1 / (1 + math.Exp(-(c.middle + z*p.step)))
	}
	return math.Exp(c.middle + z*p.step)
}

// drawn is one uncertain property of one part, or the shrink (part -1).
type drawn struct {
	part     int
	key      string
	fraction bool
	of       qty.Estimate
	stream   uint64
	classes  []uint8 // of the standard normal deviates, see class
	values   []float64
}

func (d *drawn) draw(seed uint64, n int) {
	source := rand.New(rand.NewPCG(seed, d.stream))
	c := curveOf(d.of, d.fraction)
	d.classes, d.values = make([]uint8, n), make([]float64, n)
	for i := range d.values {
		z := source.NormFloat64()
		d.classes[i] = class(z)
		d.values[i] = c.at(z)
	}
}

// keyIndex numbers the properties that a mix rests on, so that each has a
// random stream of its own: a change in one part leaves the others' draws.
var keyIndex = []string{
	feedstock.KeyWater, feedstock.KeyNitrogen, feedstock.KeyCN, feedstock.KeyCarbon, feedstock.KeyDensity,
	feedstock.KeyAsh, feedstock.KeyLignin, feedstock.KeySalts, feedstock.KeyAmmonia,
}

func fractional(key string) bool { return strings.Contains(key, "_frac") }

// Drawn gives the material with its ranges drawn once: each property that a mix
// rests on becomes one value (M34), the others stay. A given source of standard
// normal deviates gives the same material; one deviate is taken for each
// property, drawn or not, so that a range more does not move the others.
func Drawn(m feedstock.Material, deviate func() float64) feedstock.Material {
	for _, key := range keyIndex {
		z := deviate()
		p := m.Property(key)
		if p == nil || !p.Has() || !p.Spread() {
			continue
		}
		v := Draw(p.Estimate, fractional(key), z)
		p.Estimate = qty.Estimate{Best: v, Low: v, High: v, Known: p.Known}
	}
	// Nitrogen and C:N drawn apart can pass what a kilogram holds.
	if v := m.Values(feedstock.Best); v.Carbon > 1 {
		most := 1 / float64(v.Nitrogen)
		m.CN.Estimate = qty.Estimate{Best: most, Low: most, High: most, Known: m.CN.Known}
	}
	return m
}

// Drawn gives the recipe with the ranges of its parts and of its loss of volume
// drawn once, see the function of the same name.
func (r Recipe) Drawn(deviate func() float64) Recipe {
	r.Parts = slices.Clone(r.Parts)
	for i := range r.Parts {
		r.Parts[i].Material = Drawn(r.Parts[i].Material, deviate)
	}
	r.Shrink = qty.Exactly(Draw(r.Shrink, true, deviate()))
	return r
}
