package bed

import (
	"math"

	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/qty"
)

// Laid is one layer that a bed starts with. Amounts are for the whole bin.
type Laid struct {
	Matter   feedstock.Matter // as it was when fresh, when AgeDays is above 0
	DepthM   float64          // as it lies now; 0 to take it from the volume
	TempC    float64          // NaN for that of the air
	AgeDays  float64          // how long it has lain there with worms in it; 0 for fresh
	Castings float64          // worked share of the edible matter now, where known; below 0 to guess it from the age
	Layer    uint64
	Feed     bool
}

// Start gives a bed from the layers in it, from the floor up, at an hour,
// without worms and without cover. The slab has the temperature of the air.
func Start(p *Parameters, box Box, layers []Laid, air climate.Hour, hour int64) *State {
	s := &State{Hour: hour, Stirred: hour, FloorC: air.TempC, Layers: make([]Layer, 0, MaxLayers+8)}
	for i := range layers {
		l := &layers[i]
		m := l.Matter
		depth := l.DepthM
		if l.AgeDays > 0 || l.Castings > 0 {
			m = Aged(p, m, qty.Days(l.AgeDays), l.Castings)
			if depth > 0 {
				m = fit(p, m, depth*box.Area())
			}
		}
		temp := l.TempC
		if math.IsNaN(temp) {
			temp = air.TempC
		}
		s.lay(&p.Column, box.Area(), m, depth, 0, temp, l.Layer, l.Feed, Whole, hour-int64(l.AgeDays*24))
	}
	return s
}

// Aged guesses what matter has become that lay in a bed for a time: each pool
// decays at RipeC with nothing wanting, worms work what is left with the time
// constant RipeDays, carbon goes with the matter, ammonia fades, other nitrogen
// stays. A castings share from 0 to 1 replaces the guess of what was worked.
// It is a first guess with a wide error, for beds that were there before the
// first entry. model.md (B38)
func Aged(p *Parameters, m feedstock.Matter, age qty.Days, castings float64) feedstock.Matter {
	c := &p.Column
	days := float64(age)
	f := p.Speed(c.RipeC) * days
	before := m.Quick + m.Slow + m.Woody + m.Cast
	m.Quick *= qty.DryKg(math.Exp(-c.QuickRate * f))
	m.Slow *= qty.DryKg(math.Exp(-c.SlowRate * f))
	woody := qty.DryKg(math.Exp(-c.WoodyRate * f))
	m.Woody *= woody
	m.Fibre *= woody
	m.Lignin *= woody
	m.Cast *= qty.DryKg(math.Exp(-c.CastRate * f))
	worked := 1 - math.Exp(-days/c.RipeDays)
	if castings > 0 {
		worked = min(1, castings)
		all := m.Quick + m.Slow + m.Cast
		m.Quick, m.Slow, m.Cast = m.Quick+m.Cast/2, m.Slow+m.Cast/2, 0
		if q := m.Quick + m.Slow; q > 0 {
			m.Quick, m.Slow = m.Quick/q*all, m.Slow/q*all
		}
	}
	m.Cast += (m.Quick + m.Slow) * qty.DryKg(worked)
	m.Quick *= qty.DryKg(1 - worked)
	m.Slow *= qty.DryKg(1 - worked)
	after := m.Quick + m.Slow + m.Woody + m.Cast
	if before > 0 {
		m.Carbon *= qty.CarbonKg(after / before)
	}
	fade := qty.NitrogenKg(math.Exp(-days / ammoniaFades))
	m.Nitrogen += m.Ammonia * (1 - fade) / 2
	m.Ammonia *= fade
	dry := after + m.Ash
	if m.Dry > 0 { // as wet as it was, or as wet as it holds
		water := float64(m.Water) / float64(m.Dry) * float64(dry)
		hold := float64(m.Quick+m.Slow)*c.HoldsFibre + float64(m.Woody)*c.HoldsWoody + float64(m.Cast)*c.HoldsCast + float64(m.Ash)*c.HoldsAsh
		m.Water = qty.WaterKg(min(water, hold))
		m.Volume *= qty.CubicMetre(float64(dry) / float64(m.Dry))
	}
	m.Dry = dry
	if days > 0 && m.PHLow > 0 {
		keep := qty.PH(math.Exp(-days / c.PHDays))
		ripe := qty.PH(c.RipePH)
		m.PHLow, m.PHHigh = ripe+(m.PHLow-ripe)*keep, ripe+(m.PHHigh-ripe)*keep
	}
	return m
}

// ammoniaFades is a time constant of ammonia in a bed [day], for Aged only: half
// of what fades is lost, half taken up. Common practice, no source.
const ammoniaFades = 10.0

// fit scales matter so that, settled, it fills a volume [m3].
func fit(p *Parameters, m feedstock.Matter, volume float64) feedstock.Matter {
	l := Layer{Quick: float64(m.Quick), Slow: float64(m.Slow), Woody: float64(m.Woody), Cast: float64(m.Cast), Ash: float64(m.Ash)}
	dry := l.Dry()
	if dry < thinnest*volume { // next to nothing is no matter to fill it with
		return m
	}
	m = m.Times(volume * p.bulk(&l, 0) / dry)
	m.Volume = qty.CubicMetre(volume)
	return m
}

// Castings gives a volume of castings as a material with the parameters' values.
// model.md (B39)
func Castings(p *Parameters, volume qty.CubicMetre) feedstock.Matter {
	c := &p.Column
	dry := float64(volume) * c.CastingsBulk
	vol := dry * (1 - c.CastingsAsh)
	carbon := vol * c.CastingsCarbon
	return feedstock.Matter{
		Dry: qty.DryKg(dry), Cast: qty.DryKg(vol), Ash: qty.DryKg(dry - vol),
		Water:  qty.WaterKg(dry * c.CastingsWater / (1 - c.CastingsWater)),
		Carbon: qty.CarbonKg(carbon), Nitrogen: qty.NitrogenKg(carbon / c.CastingsCN),
		Volume: volume, PHLow: qty.PH(c.RipePH), PHHigh: qty.PH(c.RipePH),
	}
}
