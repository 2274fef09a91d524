package feedstock

import (
	"math"

	"wormyard/qty"
)

// Lying are the numbers by which the twins doubt what lay in heaps: values are
// data, file lying.json.
type Lying struct {
	HeapPace   float64 `param:"heap_pace" unit:"-"`     // how fast what lies in a heap ages, against what the yard reckons
	UntoldDays float64 `param:"untold_days" unit:"day"` // how long matter had lain of which nobody wrote down when it came
	UntoldM3   float64 `param:"untold_m3" unit:"m3"`    // size of the heap in which it is taken to have lain
}

// Fibre is how far the division of what is laid may be off: values are data, file
// fibre.json.
type Fibre struct {
	Guarded float64 `param:"fibre_guarded" unit:"-"` // of the fibre that its lignin counts as wood, what is wood to rot and worms
}

// Lain says what lying in heaps has left of matter: of each pool the share of
// what came, and how wet it is by dry mass against then. The zero Lain is of
// matter that is as it came.
type Lain struct {
	Quick, Slow, Woody float64  // shares left, 0 to 1
	Ammonia            float64  // share left; above 1 where rotting set more free than went
	Water              float64  // water by dry mass over that when it came
	Days               qty.Days // since it came, mean by dry mass
	Untold             bool     // nobody wrote down when it came: Days are assumed
}

// LainOf compares matter with what came to make it.
func LainOf(came, lies Matter) Lain {
	share := func(is, was float64) float64 {
		if was <= 0 {
			return 1
		}
		return max(is/was, leastLeft)
	}
	l := Lain{Quick: share(float64(lies.Quick), float64(came.Quick)), Slow: share(float64(lies.Slow), float64(came.Slow)),
		Woody: share(float64(lies.Woody), float64(came.Woody)), Ammonia: share(float64(lies.Ammonia), float64(came.Ammonia)), Water: 1}
	if came.Dry > 0 && lies.Dry > 0 {
		l.Water = share(float64(lies.Water/qty.WaterKg(lies.Dry)), float64(came.Water/qty.WaterKg(came.Dry)))
	}
	return l
}

// leastLeft is the least share that is told apart from nothing.
const leastLeft = 1e-9

// Fresh says whether nothing has become of it.
func (l *Lain) Fresh() bool { return l.Quick == 0 }

// Pace gives matter that lay so, as it would be had it aged e times as far: each
// share left to the power of e. Its dry mass and its room stay, since they are
// what was laid. docs/model.md (Y15)
func (l *Lain) Pace(m Matter, e float64) Matter {
	before := m.Quick + m.Slow + m.Woody + m.Cast
	if l.Fresh() || e <= 0 || e == 1 || m.Dry <= 0 || before <= 0 {
		return m
	}
	f := func(share float64) float64 { return math.Pow(share, e-1) }
	dry := m.Dry
	m.Quick *= qty.DryKg(f(l.Quick))
	m.Slow *= qty.DryKg(f(l.Slow))
	woody := qty.DryKg(f(l.Woody))
	m.Woody *= woody
	m.Fibre *= woody
	m.Lignin *= woody
	after := m.Quick + m.Slow + m.Woody + m.Cast
	m.Carbon *= qty.CarbonKg(after / before)
	m.Dry = after + m.Ash
	m.Ammonia *= qty.NitrogenKg(f(l.Ammonia))
	volume, water := m.Volume, m.Water*qty.WaterKg(f(l.Water))
	m = m.Times(float64(dry / m.Dry))
	m.Volume, m.Water = volume, water
	return m
}
