package bed

import (
	"wormyard/climate"
)

// surface is the top of the bed and what lies on it, as a step sees it.
type surface struct {
	u       float64 // from the surface to the air above [W/(m2 K)]
	g       float64 // exchange of vapour with the air above [m/s]
	oxygen  float64 // of oxygen [m/s]
	fumes   float64 // of ammonia [m/s]
	wet     float64 // share of free evaporation
	latent  float64 // heat of evaporation [J/kg]
	slope   float64 // of saturated vapour density at the surface [kg/(m3 K)]
	fixed   float64 // the tangent of saturated vapour density at 0 C [kg/m3]
	link    float64 // from the middle of the top cell through the surface [W/(m2 K)]
	beyond  float64 // u + heat of evaporation for a kelvin [W/(m2 K)]
	surface float64 // mean temperature of the surface over the step [C]
	evap    float64 // evaporated in the step [kg/m2]
	ammonia float64 // in the air under the cover [ppm]
}

// diffuse gives the free diffusivity relative to that at 20 C, by a short series
// of the power of temperature; within 1e-3 from -10 to 70 C.
func diffuse(tempC, exponent float64) float64 {
	x := (tempC - 20) / (zeroKelvin + 20)
	return 1 + exponent*x*(1+(exponent-1)/2*x*(1+(exponent-2)/3*x))
}

// air sets the top of the bed and finds the oxygen in the pores for the decay
// that the layers could have and for what the worms would breathe.
// model.md (B5, B9 to B12)
func (r *Runner) air(s *State, airC, dt float64) {
	p, d, u := &r.p.Column, &r.p.Diffusivity, &r.u
	r.open(s, dt)
	n := u.n
	g := r.gas
	g.n = n
	free := d.Oxygen * r.warmth
	half := r.p.Responses.OxygenHalf / oxygenOfAir
	perDay := 1.0 / 86400
	holes := 0.0
	if r.box.HolesM2 > 0 && u.depM > 0 {
		holes = r.box.HolesM2 * free / (p.HolePathM * r.area * u.depM)
	}
	before := 0.0 // resistance of the upper half of the cell below [m2 s/kg]
	rising := 0.0 // air that rises out of the cell below, as oxygen at 1 [kg/(m2 s)]
	for i := 0; i < n; i++ {
		l := &s.Layers[u.at[i]]
		// Oxygen at 1 and its diffusivity at the layer's temperature.
		atm := r.open20 * (zeroKelvin + 20) / (zeroKelvin + u.mid[i])
		quick := diffuse(u.mid[i], d.Exponent)
		move := atm * quick
		u.way[i] = u.dz[i] / (2 * quick * throughPores(u.eps[i]))
		halfway := u.way[i] / (free * atm)
		if i == 0 {
			g.link[0] = 0
			if r.box.Under != UnderFloor && p.BaseG > 0 {
				g.link[0] = 1 / (halfway + 1/(atm*p.BaseG))
			}
		} else {
			g.link[i] = 1 / (before + halfway)
		}
		before = halfway
		g.rise[i] = rising
		rises := atm * r.draft(u.eps[i], u.mid[i]-airC)
		g.side[i] = move*holes*u.dz[i] + max(0, rises-rising)
		rising = rises
		u.base[i] = r.readiness(l, i)
		want := u.base[i] * perDay * (p.QuickRate*l.Quick + p.SlowRate*l.Slow + p.WoodyRate*l.Woody + p.CastRate*l.Cast) * p.OxygenPerVolatile
		want += u.resp[i] / dt * p.OxygenPerVolatile
		g.first[i] = 0
		g.most[i] = want * (1 + half)
		g.half[i] = half
		g.c[i] = l.Oxygen / oxygenOfAir
	}
	g.link[n] = 1 / (before + 1/(r.top.oxygen*AtmosphericOxygen(u.mid[n-1])))
	g.solve(8, closeEnough)
	for i := 0; i < n; i++ {
		u.oxy[i] = g.c[i] / (half + g.c[i]) * (1 + half)
		s.Layers[u.at[i]].Oxygen = g.c[i] * oxygenOfAir
	}
}

// closeEnough is the change of a pass of Newton's method, in shares of open air,
// after which the next would move the answer by its square or so.
const closeEnough = 5e-3

// throughPores gives diffusivity in the bed over that in free air: the square of
// the air space, the rule for compost. model.md (B51)
func throughPores(air float64) float64 { return air * air }

// draft gives the air that rises through a layer because it is warmer than the
// air outside [m/s], as much as the cover lets by. model.md (B11)
func (r *Runner) draft(air, warmer float64) float64 {
	if warmer <= 0 {
		return 0
	}
	p := &r.p.Column
	solid := 1 - air
	permeability := p.PoreGrainM * p.PoreGrainM * air * air * air / (kozeny * solid * solid)
	v := p.DraftShare * permeability * lift * warmer
	return v * r.top.oxygen / (v + r.top.oxygen)
}

const (
	kozeny = 180.0 // of the law of Kozeny and Carman for a bed of grains
	// lift is what drives air for each kelvin that it is warmer, over its
	// viscosity [1/(m s K)]: air of 1.204 kg/m3 and 1.81e-5 Pa s at 20 C.
	lift = 1.204 * gravity / (zeroKelvin + 20) / 1.81e-5
)

// open sets the way from the surface to the air above: film of air, cover with
// the still air under it, and the share of it left under another bin.
// model.md (B5, B12, B13)
func (r *Runner) open(s *State, dt float64) {
	p, d, u, t := &r.p.Column, &r.p.Diffusivity, &r.u, &r.top
	n := u.n
	top := &s.Layers[u.at[n-1]]
	barrier := Barrier{Convection: p.AirH}
	heat := 1 / p.AirU
	leak := 0.0
	if s.Cover.Permeance > 0 {
		barrier.GapM, barrier.Permeance, barrier.Covered = p.CoverGapM, s.Cover.Permeance, true
		leak = p.CoverLeak
		if p.CoverGapM > 0 {
			heat += 1 / (stillAir/p.CoverGapM + skyless)
		}
		if s.Cover.U > 0 {
			heat += 1 / s.Cover.U
		}
	}
	t.u = 1 / heat
	vapour := 1 / barrier.Resistance(d, u.mid[n-1], atmosphere)
	t.g = vapour + leak
	t.oxygen = vapour*d.Oxygen/d.Vapour + leak
	t.fumes = vapour*d.Ammonia/d.Vapour + leak
	if r.box.Over {
		t.u *= p.OverShare
		t.g *= p.OverShare
		t.oxygen *= p.OverShare
		t.fumes *= p.OverShare
	}
	// Evaporation falls with the saturation of the top layer below DrySurface and
	// can never take more than a part of its water in a step.
	t.wet = 0
	if hold := p.holds(top); hold > 0 {
		mid := max(0, top.Water-0.5*s.Drying*dt/3600) // at the middle of the step
		t.wet = min(1, mid/(hold*p.DrySurface))
	}
	t.latent = climate.LatentHeat(u.mid[n-1])
	const h = 0.5
	lo, hi := r.table.saturated(u.mid[n-1]-h), r.table.saturated(u.mid[n-1]+h)
	t.slope = (hi - lo) / (2 * h)
	t.fixed = r.table.saturated(u.mid[n-1]) - t.slope*u.mid[n-1]
}

const (
	stillAir = 0.026 // heat conductivity of the air under a cover [W/(m K)]
	skyless  = 5.1   // radiation between near surfaces at 15 C, emissivity 0.9 [W/(m2 K)]
)
