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
	heat := p.OxygenHeat * 1e6 * p.OxygenPerVolatile * r.warms
	sideways := r.box.WallU * r.box.PerimeterM() / r.area * (1 - r.box.Hidden)
	temps := r.temps[:c]
	released := 0.0
	melting := false
	for i := 0; i < c; i++ {
		r.latent[i] = 0
		l := &s.Layers[u.at[i]]
		h.cap[i] = p.heatCap(l)
		if l.Ice > 0 && l.Water > 0 { // held near 0 C while it freezes or thaws (B8)
			p.freeze(l, h.cap[i]*l.TempC)
			turns := l.Ice
			if l.Trend < 0 {
				turns = l.Water
			}
			h.cap[i] = p.heatCap(l)
			if l.TempC == 0 {
				r.latent[i], melting = fusion*turns, true
				h.cap[i] += r.latent[i] / meltSpan
			}
		}
		temps[i] = l.TempC
		h.source[i] = heat * (u.gone[i] + u.resp[i]) / dt
		u.more[i] = 0
		h.side[i] = sideways * u.dz[i]
		if i > 0 {
			h.link[i] = 2 / (u.dz[i-1]/u.k[i-1] + u.dz[i]/u.k[i])
		}
	}
	heater := s.HeatW / r.area * (1 - ramp(temps[0], matFrom, matFull))
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
	stride := int64(1) // ticks that the heat is stepped at once: an hour where the step allows
	if n%ticksPerHour == 0 && tick%ticksPerHour == 0 && !r.frosty {
		stride = ticksPerHour
	}
	each := float64(stride) * r.tick
	h.factor(each)
	if melting {
		r.melt(s, r.box.At(air.At(floorDiv(tick, finer))), per)
	}

	half, watts := each/7200, heat/dt
	var topJ, baseJ, sideJ, latentJ, surface float64
	hour, w := int64(math.MinInt64), weather{}
	for k := int64(0); k < n; k += stride {
		if now := floorDiv(tick+k, finer); now != hour {
			hour = now
			w = r.weather(r.box.At(air.At(hour)), per)
		}
		for i := range temps {
			l := &s.Layers[u.at[i]]
			more := 1 + u.steep[i]*(temps[i]+l.Trend*half-u.mid[i])
			more = min(max(more, 0), u.most[i])
			u.more[i] += more
			h.source[i] = watts * (u.gone[i]*more + u.resp[i])
		}
		h.source[0] += heater
		f := h.step(temps, r.below(s, w), w.outside, w.airC)
		skin := w.outside + f.last/t.beyond
		latent := per * (t.slope*skin + t.fixed - w.vapour)
		latentJ += latent * each
		topJ += (f.last - latent) * each
		baseJ += f.first * each
		sideJ += f.sides * each
		surface += skin
		r.floor(s, w.airC, each)
	}
	t.surface = surface * float64(stride) / float64(n)
	t.evap = latentJ / t.latent
	s.Drying = t.evap / dt * 3600
	hours := dt / 3600
	for i := 0; i < c; i++ {
		l := &s.Layers[u.at[i]]
		l.Trend = (temps[i] - l.TempC) / hours
		u.more[i] *= float64(stride) / float64(n)
		q := heat * (u.gone[i]*u.more[i] + u.resp[i])
		released += q
		l.Warming = q / hours / h.cap[i]
		if temps[i] < 0 && l.Water > 0 || l.Ice > 0 {
			p.freeze(l, p.heatCap(l)*l.TempC+h.cap[i]*(temps[i]-l.TempC))
			continue
		}
		l.TempC = temps[i]
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
	m.OxygenKg += released / (p.OxygenHeat * 1e6 * r.warms)
	m.HeaterJ += heaterJ
	m.TopJ += topJ
	m.BaseJ += baseJ
	m.SidesJ += sideJ
	m.LatentJ += latentJ
	r.day.released += released
}

// matFrom and matFull are where a heater under a bed gives way and is off [C], an
// end for the arithmetic: no mat for a bed boils it.
const (
	matFrom = 65
	matFull = 85
)

// mostMore bounds how much more than expected may rot in a step.
const mostMore = 2

// weather is the air of an hour as the surface meets it.
type weather struct {
	airC    float64
	vapour  float64 // [kg/m3]
	outside float64 // temperature that stands for air and evaporation together [C]
}

// weather gives the air of an hour for a surface that evaporates per watts for
// each kg/m3 of vapour. model.md (B6)
func (r *Runner) weather(a climate.Hour, per float64) weather {
	t := &r.top
	v := a.RH * r.table.saturated(a.TempC)
	return weather{a.TempC, v, (t.u*a.TempC - per*(t.fixed-v)) / t.beyond}
}

// below gives the temperature under the base.
func (r *Runner) below(s *State, w weather) float64 {
	if r.box.Under == UnderFloor {
		return s.FloorC
	}
	return w.airC
}

// melt finds, for the layers that freeze or thaw, the heat capacity over a step
// that holds just the latent heat of what they have left to thaw, or to freeze, when
// all of it is used up, by trying the step. model.md (B8)
func (r *Runner) melt(s *State, a climate.Hour, per float64) {
	h, u := r.heat, &r.u
	w := r.weather(a, per)
	for range 12 {
		copy(r.trial[:u.n], r.temps[:u.n])
		h.step(r.trial[:u.n], r.below(s, w), w.outside, w.airC)
		again := false
		for i := 0; i < u.n; i++ {
			if r.latent[i] == 0 {
				continue
			}
			l := &s.Layers[u.at[i]]
			turns := l.Ice
			if r.trial[i] < r.temps[i] { // the other way than it went before, perhaps
				turns = l.Water
			}
			r.latent[i] = fusion * turns
			fits := r.p.heatCap(l) + r.latent[i]/max(meltSpan, math.Abs(r.trial[i]-r.temps[i]))
			if math.Abs(fits-h.cap[i]) > 1e-3*h.cap[i] {
				h.cap[i], again = fits, true
			}
		}
		if !again {
			return
		}
		h.factor(h.dt)
	}
}

// meltSpan is the temperature over which a layer of water and ice takes up its
// latent heat inside a step [C]; what it really turned is settled after it.
const meltSpan = 0.5

// freeze turns water into ice or back where a layer has passed 0 C, keeping its
// heat [J/m2] above 0 C without the ice's own: the layer stays at 0 C until all
// is turned. model.md (B8)
func (c *Column) freeze(l *Layer, heat float64) {
	turned := -heat / fusion // to ice, below 0 to water
	if turned > l.Water {
		turned = l.Water
	}
	if turned < -l.Ice {
		turned = -l.Ice
	}
	l.Water -= turned
	l.Ice += turned
	l.TempC = (heat + turned*fusion) / c.heatCap(l)
}

// floor lets the slab under the bin follow the air. model.md (B7)
func (r *Runner) floor(s *State, airC, seconds float64) {
	s.FloorC += (airC - s.FloorC) * seconds / (r.p.FloorDays*86400 + seconds)
}
