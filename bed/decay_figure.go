package bed

import "math"

// Pool is a share of dry matter that decays at its own first-order rate.
type Pool struct {
	Frac   float64 `json:"frac" unit:"1" low:"0" high:"1" doc:"share of the dry matter"`
	PerDay float64 `json:"rate_per_day" unit:"1/day" low:"0" high:"10" doc:"first-order rate"`
}

// PoolsLeft gives the share of dry matter left after a time [day] and the share
// lost per day at the start, with one factor on all rates.
// model.md (B66)
func PoolsLeft(pools []Pool, inert, factor, days float64) (left, lostPerDay float64) {
	left = inert
	for _, p := range pools {
		left += p.Frac * math.Exp(-p.PerDay*factor*days)
		lostPerDay += p.Frac * p.PerDay * factor
	}
	return left, lostPerDay
}

// Atomic masses [g/mol], IUPAC 2021 abridged.
const (
	massC = 12.011
	massH = 1.008
	massO = 15.999
	massN = 14.007
)

// Oxidised is what becomes of a kilogram of organic matter [kg/kg].
type Oxidised struct{ Oxygen, CarbonDioxide, Water, Ammonia float64 }

// Oxidise gives the oxygen needed and the products of full oxidation of matter
// with c, h, o and n atoms, nitrogen leaving as ammonia.
// model.md (B67)
func Oxidise(c, h, o, n float64) Oxidised {
	m := c*massC + h*massH + o*massO + n*massN
	return Oxidised{
		Oxygen:        (4*c + h - 2*o - 3*n) / 4 * 2 * massO / m,
		CarbonDioxide: c * (massC + 2*massO) / m,
		Water:         (h - 3*n) / 2 * (2*massH + massO) / m,
		Ammonia:       n * (massN + 3*massH) / m,
	}
}
