package bed

import (
	"wormyard/feedstock"
)

const (
	waterHeat   = 4186.0 // specific heat of liquid water [J/(kg K)], as the reference values have it
	iceHeat     = 2100.0 // specific heat of ice near 0 C [J/(kg K)]
	fusion      = 334e3  // latent heat of melting [J/kg]
	waterMass   = 1000.0 // density of water [kg/m3]
	iceMass     = 917.0  // density of ice [kg/m3]
	coldest     = -50.0  // where the heat content of ice and dry matter is called 0 [C]
	liquidAbove = fusion - iceHeat*coldest
	thinnest    = 1e-4 // dry matter below which a layer is kept but not stepped [kg/m2]
	loosest     = 20.0 // lowest dry bulk density we believe [kg/m3]
	densest     = 1000.0
)

// heatCap gives the heat capacity of a layer [J/(m2 K)].
func (c *Column) heatCap(l *Layer) float64 {
	return l.Dry()*c.DryHeat + l.Water*waterHeat + l.Ice*iceHeat
}

// space gives porosity, air space and the volumes of water and ice of a layer
// with so much volatile matter [kg/m2], all in the bulk [m3/m3].
func (c *Column) space(l *Layer, volatile float64) (phi, eps, water, ice float64) {
	dz := l.DepthM
	solid := volatile/c.OrganicDensity + l.Ash/c.AshDensity
	phi = 1 - solid/dz
	water, ice = l.Water/(waterMass*dz), l.Ice/(iceMass*dz)
	return phi, phi - water - ice, water, ice
}

// conductivity gives how well a layer carries heat [W/(m K)], a share of the
// parallel bound. model.md (B4)
func (c *Column) conductivity(phi, eps, water, ice float64) float64 {
	return c.ConductivityShare * (water*waterK + ice*iceK + (1-phi)*organicK + eps*airK)
}

// Heat contents [J/kg] above everything frozen at coldest.
func (c *Column) dryContent(tempC float64) float64 { return c.DryHeat * (tempC - coldest) }
func waterContent(tempC float64) float64           { return waterHeat*tempC + liquidAbove }
func iceContent(tempC float64) float64             { return iceHeat * (tempC - coldest) }

// content gives the heat in a layer [J/m2]. model.md (B1)
func (c *Column) content(l *Layer) float64 {
	return l.Dry()*c.dryContent(l.TempC) + l.Water*waterContent(l.TempC) + l.Ice*iceContent(l.TempC)
}

// holds gives the water a layer holds against drainage [kg/m2]: what its matter
// holds, or what its pores have room for with the air that a drained layer
// keeps, whichever is less. model.md (B15)
func (c *Column) holds(l *Layer) float64 {
	h := (l.Quick+l.Slow)*c.HoldsFibre + l.Woody*c.HoldsWoody + l.Cast*c.HoldsCast + l.Ash*c.HoldsAsh
	if room := c.room(l, c.AirDrained); room < h {
		h = room
	}
	return h
}

// room gives the water for which the pores have room beside some air [kg/m2].
func (c *Column) room(l *Layer, air float64) float64 {
	free := l.DepthM*(1-air) - l.Volatile()/c.OrganicDensity - l.Ash/c.AshDensity - l.Ice/iceMass
	if free < 0 {
		return 0
	}
	return free * waterMass
}

// Worked gives the share of the edible matter that worms have worked; the ash
// is taken to be worked alike. model.md (B31)
func (l *Layer) Worked() float64 {
	edible := l.Quick + l.Slow + l.Cast
	if edible <= 0 {
		return 0
	}
	return l.Cast / edible
}

// castings gives the dry mass of castings, ash included [kg/m2].
func (l *Layer) castings() float64 { return l.Cast + l.Ash*l.Worked() }

// left gives the dry mass neither worked nor woody, ash included [kg/m2].
func (l *Layer) left() float64 { return l.Quick + l.Slow + l.Ash*(1-l.Worked()) }

// parts is into how many layers an act is laid, by the depth it was laid at.
func parts(depthM float64) int {
	switch {
	case depthM < 0.03:
		return 1
	case depthM < 0.09:
		return 2
	case depthM < 0.13:
		return 3
	case depthM < 0.25:
		return 4
	case depthM < 0.4:
		return 5
	}
	return 6
}

// lay puts matter of the whole bin on top as new layers, as many as the depth
// that was told gives, 0 for that it was laid at. It returns what came [for each
// m2]: dry, water, carbon, nitrogen and heat.
func (s *State) lay(c *Column, area float64, m feedstock.Matter, depthM, toldM, tempC float64, id uint64, feed bool, side Side, laid int64) flow {
	if toldM <= 0 {
		toldM = depthM
	}
	if side != Whole {
		depthM, toldM = depthM*halfOf, toldM*halfOf
	}
	n := parts(toldM)
	s.makeRoom(c, n, laid)
	dry := float64(m.Quick + m.Slow + m.Woody + m.Cast + m.Ash)
	share := 1 / (area * float64(n))
	if depthM <= 0 {
		depthM = float64(m.Volume) / area
	}
	if toldM <= 0 {
		toldM = depthM
	}
	deep := depthM
	least, most := dry/area/densest, dry/area/loosest
	deep = min(max(deep, least), most)
	l := Layer{
		ID: id, Feed: feed, Side: side, Laid: laid, LaidM: toldM / float64(n), DepthM: deep / float64(n),
		Quick: float64(m.Quick) * share, Slow: float64(m.Slow) * share, Woody: float64(m.Woody) * share,
		Cast: float64(m.Cast) * share, Ash: float64(m.Ash) * share, Lignin: float64(m.Lignin) * share,
		Carbon: float64(m.Carbon) * share, Nitrogen: float64(m.Nitrogen) * share,
		Ammonia: float64(m.Ammonia) * share, Nitrate: float64(m.Nitrate) * share,
		Salt: m.Salt * share, PH: c.RipePH, Water: float64(m.Water) * share, TempC: tempC,
		Oxygen: oxygenOfAir,
	}
	if m.PHLow > 0 {
		l.PH = (float64(m.PHLow) + float64(m.PHHigh)) / 2
	}
	var in flow
	for i := 0; i < n; i++ {
		l.Part = uint8(i)
		s.Layers = append(s.Layers, l)
		in.dry += l.Dry()
		in.water += l.Water
		in.carbon += l.Carbon
		in.nitrogen += l.Nitrogen + l.Ammonia + l.Nitrate
		in.heat += c.content(&l)
	}
	return in
}

// restDays is how long a layer lies before it may merge.
const restDays = 14

// makeRoom merges layers until n more can be laid. Which pair merges is settled
// by what the acts said (when laid, how deep, feed or bedding) and never by what
// became of the layers, so that all runs of one bin merge alike: of the pairs of
// one sort that have rested, the one laid thinnest together, the lowest of
// equals. model.md (B34)
func (s *State) makeRoom(c *Column, n int, now int64) {
	for len(s.Layers)+n > MaxLayers && len(s.Layers) > 1 {
		best, bestM, bestRank := -1, 0.0, 3
		for i := 0; i+1 < len(s.Layers); i++ {
			a, b := &s.Layers[i], &s.Layers[i+1]
			rank := 0
			if now-b.Laid < restDays*24 || now-a.Laid < restDays*24 {
				rank = 1
			}
			if a.Feed != b.Feed || a.Side != b.Side {
				rank = 2
			}
			if m := a.LaidM + b.LaidM; rank < bestRank || rank == bestRank && m < bestM {
				best, bestM, bestRank = i, m, rank
			}
		}
		s.merge(c, best)
	}
}

// merge puts layer i+1 into layer i, keeping mass and heat.
func (s *State) merge(c *Column, i int) {
	a, b := &s.Layers[i], &s.Layers[i+1]
	wa, wb := a.Dry()+a.Water+a.Ice, b.Dry()+b.Water+b.Ice
	f := 0.5
	if wa+wb > 0 {
		f = wb / (wa + wb)
	}
	if ca, cb := c.heatCap(a), c.heatCap(b); ca+cb > 0 {
		a.TempC = (ca*a.TempC + cb*b.TempC) / (ca + cb)
	}
	a.PH += f * (b.PH - a.PH)
	a.Oxygen += f * (b.Oxygen - a.Oxygen)
	a.Trend += f * (b.Trend - a.Trend)
	if b.Laid < a.Laid {
		a.Laid = b.Laid
	}
	a.Feed = a.Feed || b.Feed
	if a.Side != b.Side {
		a.Side = Whole
	}
	a.LaidM += b.LaidM
	a.DepthM += b.DepthM
	a.Worms += b.Worms
	a.Cocoons += b.Cocoons
	a.add(b, 1)
	s.Layers = append(s.Layers[:i+1], s.Layers[i+2:]...)
}

// add takes share f of the matter of b into a; temperatures are the caller's.
func (a *Layer) add(b *Layer, f float64) {
	a.Quick += f * b.Quick
	a.Slow += f * b.Slow
	a.Woody += f * b.Woody
	a.Cast += f * b.Cast
	a.Ash += f * b.Ash
	a.Lignin += f * b.Lignin
	a.Carbon += f * b.Carbon
	a.Nitrogen += f * b.Nitrogen
	a.Ammonia += f * b.Ammonia
	a.Nitrate += f * b.Nitrate
	a.Salt += f * b.Salt
	a.Water += f * b.Water
	a.Ice += f * b.Ice
}

// keep leaves share f of a layer.
func (l *Layer) keep(f float64) {
	l.add(l, f-1)
	l.DepthM *= f
}

// flow is an amount of everything that is balanced, for each m2.
type flow struct{ dry, water, carbon, nitrogen, heat float64 }

func (f *flow) plus(o flow) {
	f.dry += o.dry
	f.water += o.water
	f.carbon += o.carbon
	f.nitrogen += o.nitrogen
	f.heat += o.heat
}

// of gives everything in share f of a layer.
func (c *Column) of(l *Layer, f float64) flow {
	return flow{f * l.Dry(), f * (l.Water + l.Ice), f * l.Carbon, f * (l.Nitrogen + l.Ammonia + l.Nitrate), f * c.content(l)}
}
