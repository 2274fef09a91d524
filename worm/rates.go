package worm

import (
	"math"

	"wormyard/chance"
)

const (
	referenceC = 25.0   // where growth, laying and intake factors are 1 [C]
	openAir    = 0.2095 // oxygen in open air [m3/m3]
)

// briere is Briere's first rate curve without its scale: 0 at and beyond cold
// and hot.
func briere(t, cold, hot float64) float64 {
	if !(t > cold && t < hot && t > 0) {
		return 0
	}
	return t * (t - cold) * math.Sqrt(hot-t)
}

// ramp goes from 0 at from to 1 at full, either way round.
func ramp(x, from, full float64) float64 {
	switch y := (x - from) / (full - from); {
	case y <= 0:
		return 0
	case y >= 1:
		return 1
	default:
		return y
	}
}

// Growth gives how quickly single worms grow and mature against 25 C, where it
// is 1. Its optimum lies near 31 C, which is not where a population thrives.
// Good to 25 % at one temperature. model.md (W1)
func (p *Parameters) Growth(tempC float64) float64 {
	return briere(tempC, p.GrowthColdC, p.GrowthHotC) / briere(referenceC, p.GrowthColdC, p.GrowthHotC)
}

// Gain gives the growth of one worm of mass m [g] that is fed all it wants
// [g/day]; none at and above the grown mass. model.md (W2)
func (p *Parameters) Gain(m, tempC float64) float64 {
	c, rate, _ := p.stretch(m)
	return 3 * c * c * rate * p.Growth(tempC)
}

// stretch gives the cube root of a mass m [g], how quickly it grows at 25 C, full
// fed [g^(1/3)/day], and by how much that rate falls for each g^(1/3) grown
// [1/day]. model.md (W2)
func (p *Parameters) stretch(m float64) (c, rate, slows float64) {
	if m <= 0 {
		return 0, 0, 0
	}
	part := math.Log(m/p.GrownG) / 3
	c = math.Cbrt(p.GrownG) * math.Exp(part)
	if part >= 0 {
		return c, 0, 0
	}
	near := math.Exp(p.GrowthBend * part)
	return c, p.GrowthSpeed * (1 - near), p.GrowthSpeed * p.GrowthBend * near / c
}

// grown gives the mass of a worm of mass m [g] after as much growth as the days
// of it at 25 C, full fed: second order in the days. model.md (W2)
func (p *Parameters) grown(m, days float64) float64 {
	c, rate, slows := p.stretch(m)
	c += days * rate * max(0, 1-days*slows/2)
	return c * c * c
}

// Hatching gives the development of a cocoon [1/day]; it takes the inverse to
// hatch. Held at its value at HatchFallC above it. model.md (W3)
func (p *Parameters) Hatching(tempC float64) float64 {
	if tempC < p.HatchLeastC {
		return 0
	}
	return (min(tempC, p.HatchFallC) - p.HatchColdC) / p.HatchDegDays
}

// HatchSuccess gives the share of cocoons that hatch. model.md (W3)
func (p *Parameters) HatchSuccess(tempC float64) float64 {
	return p.HatchFrac * (1 - ramp(tempC, p.HatchFallC, p.HatchNoneC))
}

// Hatched gives the share of the cocoons that will hatch which has hatched by
// a day after laying: a gamma distribution with the mean of Hatching and the
// spread HatchCV. model.md (W4)
func (p *Parameters) Hatched(tempC, day float64) float64 {
	rate := p.Hatching(tempC)
	if rate <= 0 || day <= 0 {
		return 0
	}
	k := 1 / (p.HatchCV * p.HatchCV)
	return chance.GammaLower(k, k*day*rate)
}

// Maturation gives the time from hatching to maturity of a well fed worm [day];
// infinite where nothing grows. model.md (W5)
func (p *Parameters) Maturation(tempC float64) float64 { return p.MaturationDay / p.Growth(tempC) }

// LayingFactor gives laying against 25 C. Only 20 and 25 C are measured for
// these worms: the cold side leans on another species, the hot side is assumed.
// model.md (W6)
func (p *Parameters) LayingFactor(tempC float64) float64 {
	if tempC < p.LayingLeastC {
		return 0
	}
	return briere(tempC, p.LayingColdC, p.LayingHotC) / briere(referenceC, p.LayingColdC, p.LayingHotC)
}

// Laying gives cocoons for each adult and day. fed is feed eaten over wanted.
// model.md (W6)
func (p *Parameters) Laying(tempC, waterFracWet, densityKgM2, fed float64) float64 {
	return p.LayingPerDay * p.LayingFactor(tempC) * p.Moisture(waterFracWet) * p.Crowding(densityKgM2) * p.Spare(fed)
}

// Moisture gives the answer of growth, laying and intake to water [kg/kg wet].
// model.md (W7)
func (p *Parameters) Moisture(waterFracWet float64) float64 {
	w := waterFracWet
	dry := 1 / (1 + math.Exp(-(w-p.MoistMid)/p.MoistWidth))
	switch {
	case w <= p.WetFull:
		return dry
	case w <= p.WetLess:
		return dry * (1 - 0.3*(w-p.WetFull)/(p.WetLess-p.WetFull))
	case w < p.WetNone:
		return dry * 0.7 * (p.WetNone - w) / (p.WetNone - p.WetLess)
	}
	return 0
}

// Oxygen gives the answer to oxygen in the pore air [m3/m3], 1 in open air.
// model.md (W8)
func (p *Parameters) Oxygen(frac float64) float64 {
	if !(frac > 0) {
		return 0
	}
	return min(1, frac/(p.OxygenHalf+frac)*(p.OxygenHalf+openAir)/openAir)
}

// Crowding gives the brake on laying and growth from the live mass on an area
// [kg/m2]: 1 up to CrowdFrom, 0 from CrowdFull. model.md (W9)
func (p *Parameters) Crowding(densityKgM2 float64) float64 {
	return 1 - ramp(densityKgM2, p.CrowdFrom, p.CrowdFull)
}

// Spare gives what is left for laying of feed eaten over wanted, once the worm's
// own needs are met. model.md (W10)
func (p *Parameters) Spare(fed float64) float64 { return ramp(fed, p.Maintenance, 1) }

// Over gives what a meal brings a worm beyond its upkeep, of feed eaten over
// wanted: 1 for all it wants, 0 when it grows and shrinks no more. model.md (W10)
func (p *Parameters) Over(fed float64) float64 { return ramp(fed, p.Upkeep, 1) }

// Appetite gives the wet feed that a kilogram of live worms of IntakeAtG each
// would eat in a place [kg/(kg day)]. Ammonia that drives them off does not spoil
// it: growth was as ever at ten times the level they avoid. model.md (W11)
func (p *Parameters) Appetite(at Place) float64 {
	return p.IntakePerDay * p.Growth(at.TempC) * p.Moisture(at.Water) * p.Oxygen(at.Oxygen)
}

// Hunger gives the mass of worms of IntakeAtG each that would eat as much as the
// stock does [kg]: what a worm takes in goes with its mass to the power of two
// thirds. model.md (W11)
func (s *Stock) Hunger(p *Parameters) float64 {
	at := p.IntakeAtG * 1e-3
	sum := eats(s.Adults, s.AdultKg, at)
	young := 0.0
	for i, n := range s.Young {
		young += eats(n, s.YoungKg[i], at)
	}
	if sum+young == 0 { // not settled yet
		return s.LiveKg()
	}
	return sum + young
}

func eats(n, kg, at float64) float64 {
	if n <= 0 || kg <= 0 {
		return 0
	}
	return kg * math.Cbrt(at*n/kg)
}

// Wanted gives the wet feed a stock would eat in a number of days [kg].
// model.md (W11)
func (p *Parameters) Wanted(s *Stock, places []Place, days float64) float64 {
	s.Settle(p)
	sum := 0.0
	for i := range places {
		if places[i].Share > 0 {
			sum += places[i].Share * p.Appetite(places[i])
		}
	}
	return sum * s.Hunger(p) * days
}

// Breath gives the oxygen that live worms use [kg/(kg s)].
// model.md (W12)
func (p *Parameters) Breath(tempC float64) float64 {
	return p.BreathMgGH * 1e-3 / 3600 * p.pace(tempC)
}

// paceC is where the pace of life is 1 [C].
const paceC = 20

// pace gives how fast worms live, by their breath against 20 C.
// model.md (W12)
func (p *Parameters) pace(tempC float64) float64 {
	return math.Exp(math.Log(p.BreathQ10) / 10 * (tempC - paceC))
}

// LethalAmmonia gives the ammonia at which half the worms are dead after a
// time [mg/g]: a lethal level that is neared as the worm takes it up.
// model.md (W13)
func (p *Parameters) LethalAmmonia(days float64) float64 {
	if days <= 0 {
		return math.Inf(1)
	}
	return p.AmmoniaLC / -math.Expm1(-p.AmmoniaPerDay*days)
}

// SurviveAmmonia gives the share alive after a time in ammonia [mg/g].
// model.md (W13)
func (p *Parameters) SurviveAmmonia(mgG, days float64) float64 {
	if mgG <= 0 || days <= 0 {
		return 1
	}
	return 1 / (1 + math.Pow(mgG/p.LethalAmmonia(days), p.AmmoniaShape))
}

// Avoid gives the share of worms that seek to leave ammonia [mg/g], at about
// a sixteenth of the deadly level. model.md (W14)
func (p *Parameters) Avoid(mgG float64) float64 {
	if mgG <= 0 {
		return 0
	}
	return 1 / (1 + math.Pow(p.AvoidMgG/mgG, p.AvoidShape))
}

// deathDays is the time over which the ammonia curve is read as a daily rate.
const deathDays = 28

// noDeath is the share of the lethal level below which no worm is counted dead:
// by the curve fewer than one in a million would be in four weeks.
const noDeath = 0.15

// Death gives the daily rates at which worms of a place die, by cause; the
// first is young's or adults' own. model.md (W15)
func (p *Parameters) Death(at Place) (rates [causes]float64) {
	rates[Heat] = p.LethalPerDay * square(ramp(at.TempC, p.HeatFromC, p.HeatFullC))
	rates[Cold] = p.LethalPerDay * square(ramp(at.TempC, p.ColdFromC, p.ColdFullC))
	rates[Drought] = p.DryPerDay * ramp(at.Water, p.DryFrom, p.DryFull)
	rates[NoAir] = p.OxygenDeath * ramp(at.Oxygen, p.OxygenFrom, 0)
	if at.AmmoniaMgG > noDeath*p.AmmoniaLC {
		x := math.Pow(at.AmmoniaMgG/p.LethalAmmonia(deathDays), p.AmmoniaShape)
		rates[Ammonia] = min(p.LethalPerDay, math.Log1p(x)/deathDays)
	}
	rates[Acid] = p.PHPerDay * p.Corrosive(at.PH)
	rates[Salts] = p.SaltPerDay * ramp(at.SaltDSm, p.SaltFrom, p.SaltFull)
	return rates
}

// Corrosive gives how far a pH lies outside what worms stand: 0 within, 1 where it
// kills in days; 0 where it is not known. model.md (W15)
func (p *Parameters) Corrosive(pH float64) float64 {
	if pH <= 0 {
		return 0
	}
	return max(ramp(pH, p.SourFrom, p.SourFull), ramp(pH, p.BitterFrom, p.BitterFull))
}

// deathOfCocoons gives the daily rate at which cocoons die; they stand more cold
// than worms. model.md (W15)
func (p *Parameters) deathOfCocoons(at Place) float64 {
	return p.CocoonDeath +
		p.LethalPerDay*square(ramp(at.TempC, p.HeatFromC, p.HeatFullC)) +
		p.LethalPerDay*square(ramp(at.TempC, p.CocoonColdC, p.CocoonFrostC)) +
		p.DryPerDay*ramp(at.Water, p.DryFrom, p.DryFull)
}

// Leaving gives the share of the worms of a place that would crawl out of the
// bed each day: from heat, want of air, drought, ammonia, a pH they cannot stand or
// salts, whichever drives most. model.md (W14)
func (p *Parameters) Leaving(at Place) float64 {
	drive := ramp(at.AmmoniaMgG, p.AvoidMgG, p.AmmoniaLC) // next door is the air of a barn, not clean soil
	drive = max(drive, ramp(at.TempC, p.LeaveHeatC, p.LeaveHeatAllC))
	drive = max(drive, ramp(at.Oxygen, p.OxygenFrom, 0))
	drive = max(drive, ramp(at.Water, p.DryFrom, p.DryFull))
	drive = max(drive, p.Corrosive(at.PH), ramp(at.SaltDSm, p.SaltLeave, p.SaltFrom))
	return p.LeavePerDay * drive
}

func square(x float64) float64 { return x * x }
