package bed

import (
	"math"

	"wormyard/climate"
)

// warm moves the temperatures through the step with the heat of decay and worms
// spread evenly over it, evaporates from the surface, and freezes or thaws.
// model.md (B2 to B8)
func (r *Runner) warm(s *State, air climate.Series, tick, n, finer int64) {
	p, u, h, t := &r.p.Column, &r.u, r.heat, &r.top
	c := u.n
	h.n = c
	dt := float64(n) * r.tick
	heat := p.OxygenHeat * 1e6 * p.OxygenPerVolatile
	sideways := r.box.WallU * r.box.PerimeterM() / r.area * (1 - r.box.Hidden)
	temps := r.temps[:c]
	released := 0.0
	for i := 0; i < c; i++ {
		l := &s.Layers[u.at[i]]
		temps[i] = l.TempC
		h.cap[i] = p.heatCap(l)
		q := heat * (u.gone[i] + u.resp[i])
		released += q
		h.source[i] = q / dt
		h.side[i] = sideways * u.dz[i]
		if i > 0 {
			h.link[i] = 2 / (u.dz[i-1]/u.k[i-1] + u.dz[i]/u.k[i])
		}
	}
	heater := s.HeatW / r.area
	h.source[0] += heater
	under := p.FloorU
	switch r.box.Under {
	case UnderBin:
		under = p.UnderBinU
	case UnderAir:
		under = p.UnderAirU
	}
	h.link[0] = 1 / (1/under + u.dz[0]/(2*u.k[0]))

	// The most that could evaporate must not use up the top layer's water.
	top := &s.Layers[u.at[c-1]]
	if most := t.g * t.wet * dt * (t.fixed + t.slope*(u.mid[c-1]+5)); most > 0.3*top.Water {
		t.wet *= 0.3 * top.Water / most
	}
	per := t.latent * t.g * t.wet // [W/m2] for a kg/m3 of vapour
	t.beyond = t.u + per*t.slope
	t.link = 1 / (1/t.beyond + u.dz[c-1]/(2*u.k[c-1]))
	h.link[c] = t.link
	h.factor(r.tick)

	var topJ, baseJ, sideJ, latentJ, surface float64
	hour, a := int64(math.MinInt64), climate.Hour{}
	vapour := 0.0
	for k := int64(0); k < n; k++ {
		if now := floorDiv(tick+k, finer); now != hour {
			hour = now
			a = air.At(hour)
			vapour = a.RH * climate.SaturationDensity(a.TempC)
		}
		outside := (t.u*a.TempC - per*(t.fixed-vapour)) / t.beyond
		below := a.TempC
		if r.box.Under == UnderFloor {
			below = s.FloorC
		}
		f := h.step(temps, below, outside, a.TempC)
		skin := outside + f.last/t.beyond
		latent := per * (t.slope*skin + t.fixed - vapour)
		latentJ += latent * r.tick
		topJ += (f.last - latent) * r.tick
		baseJ += f.first * r.tick
		sideJ += f.sides * r.tick
		surface += skin
		r.floor(s, a.TempC, r.tick)
	}
	t.surface = surface / float64(n)
	t.evap = latentJ / t.latent
	hours := dt / 3600
	for i := 0; i < c; i++ {
		l := &s.Layers[u.at[i]]
		l.Trend = (temps[i] - l.TempC) / hours
		l.TempC = temps[i]
		if l.TempC < 0 && l.Water > 0 || l.TempC > 0 && l.Ice > 0 {
			p.freeze(l, h.cap[i])
		}
	}
	heaterJ := heater * dt
	r.in.heat += released + heaterJ
	for _, v := range [...]float64{topJ, baseJ, sideJ, latentJ} {
		if v > 0 {
			r.out.heat += v
		} else {
			r.in.heat -= v
		}
	}
	m := &r.money
	m.ReleasedJ += released
	m.OxygenKg += released / (p.OxygenHeat * 1e6)
	m.HeaterJ += heaterJ
	m.TopJ += topJ
	m.BaseJ += baseJ
	m.SidesJ += sideJ
	m.LatentJ += latentJ
	r.day.released += released
}

// freeze turns water into ice or back where a layer has passed 0 C, keeping its
// heat: the layer stays at 0 C until all is turned. capacity is that of the
// layer as it was. model.md (B8)
func (c *Column) freeze(l *Layer, capacity float64) {
	heat := capacity * l.TempC // above 0 C, without the ice's own
	turned := -heat / fusion   // to ice, below 0 to water
	if turned > l.Water {
		turned = l.Water
	}
	if turned < -l.Ice {
		turned = -l.Ice
	}
	l.Water -= turned
	l.Ice += turned
	heat += turned * fusion
	l.TempC = heat / c.heatCap(l)
}

// floor lets the slab under the bin follow the air. model.md (B7)
func (r *Runner) floor(s *State, airC, seconds float64) {
	s.FloorC += (airC - s.FloorC) * seconds / (r.p.FloorDays*86400 + seconds)
}
