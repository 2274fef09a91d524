package bed

import "math"

// share gives 1 - exp(-x), what a first-order loss takes; quick, and within 1e-5
// of it, for the losses of a usual step.
func share(x float64) float64 {
	if x < 0.003 {
		return x * (1 - 0.5*x)
	}
	if x < 0.3 {
		return x / (1 + x*(0.5+x/12))
	}
	return -math.Expm1(-x)
}

// readiness gives the factor on the rates of decay of a layer before oxygen's:
// temperature (1 at RateAtC), moisture and nitrogen. model.md (B18)
func (r *Runner) readiness(l *Layer, i int) float64 {
	f := r.u.row[i][decays]
	if f <= 0 || l.Ice > l.Water {
		return 0
	}
	return f * r.u.damp[i] * r.p.plenty(l)
}

// lack gives how much nitrogen is wanting to rot the matter that is not woody:
// 0 at and under the critical C:N, towards 1 far above it.
func (c *Column) lack(l *Layer) float64 {
	carbon, organic := c.open(l)
	critical := CriticalCN(c.MicrobeCN, c.MicrobeEfficiency)
	if carbon <= critical*organic {
		return 0
	}
	return 1 - critical*organic/carbon
}

// open gives the carbon that microbes can reach, that of all volatile matter
// but the woody, and the organic nitrogen [kg/m2].
func (c *Column) open(l *Layer) (carbon, organic float64) {
	vol := l.Volatile()
	if vol <= 0 {
		return 0, l.Nitrogen
	}
	return l.Carbon * (vol - l.Woody) / vol, l.Nitrogen
}

// plenty is the answer of decay to nitrogen: 1 where matter brings enough of its
// own or mineral nitrogen is at hand, NitrogenLack where neither.
// model.md (B19)
func (c *Column) plenty(l *Layer) float64 {
	lack := c.lack(l)
	if lack == 0 {
		return 1
	}
	mineral := (l.Ammonia + l.Nitrate) / l.Dry() * 1e3
	return 1 - (1-c.NitrogenLack)*lack*c.MineralHalf/(c.MineralHalf+mineral)
}

// rots is what rots of each pool of a layer in a step at the temperature
// expected [kg/m2].
type rots struct{ quick, slow, woody, cast float64 }

func (r *rots) all() float64 { return r.quick + r.slow + r.woody + r.cast }

// plan finds what rots in the step at the temperatures expected. What really
// does goes with the temperatures that the step brings (warm). model.md (B17)
func (r *Runner) plan(s *State, dt float64) {
	p, u := &r.p.Column, &r.u
	days := dt / 86400
	for i := 0; i < u.n; i++ {
		l := &s.Layers[u.at[i]]
		r.respire(l, i)
		f := u.base[i] * u.oxy[i] * days
		if f <= 0 {
			u.rots[i], u.gone[i], u.most[i] = rots{}, 0, mostMore
			continue
		}
		quick, slow, woody, cast := share(p.QuickRate*f), share(p.SlowRate*f), share(p.WoodyRate*f), share(p.CastRate*f)
		u.rots[i] = rots{l.Quick * quick, l.Slow * slow, l.Woody * woody, l.Cast * cast}
		u.most[i] = min(mostMore, mostOfPool/max(quick, slow, woody, cast))
		u.gone[i] = u.rots[i].all()
	}
}

// mostOfPool is the most of what rots of one kind that may be gone in a step, so
// that a bed hotter than expected never takes more than there is.
const mostOfPool = 0.95

// rot takes out what rots in the step, with its carbon, turns its nitrogen over
// and makes its water. model.md (B17, B20 to B24)
func (r *Runner) rot(s *State, dt float64) {
	u := &r.u
	days := dt / 86400
	drift := days / (r.p.PHDays + days)
	for i := 0; i < u.n; i++ {
		l := &s.Layers[u.at[i]]
		if gone := u.gone[i] * u.more[i]; gone > 0 {
			of, k := &u.rots[i], u.more[i]
			per := l.Carbon / l.Volatile()
			carbon, woody := per*gone, of.woody*k
			r.turnover(l, per*(gone-woody))
			if woody > 0 {
				l.Lignin -= l.Lignin * woody / l.Woody
			}
			l.Quick -= of.quick * k
			l.Slow -= of.slow * k
			l.Woody -= woody
			l.Cast -= of.cast * k
			l.Carbon -= carbon
			r.breathe(l, gone, carbon)
		}
		r.nitrify(l, u.row[i][nitrifies], days)
		r.sour(l, i, drift)
	}
}

// respire takes out of the castings of a layer what its worms breathe in the
// step with the oxygen there is. model.md (B29, B30)
func (r *Runner) respire(l *Layer, i int) {
	u := &r.u
	breathed := min(u.resp[i]*u.oxy[i], l.Cast)
	u.resp[i] = breathed
	if breathed <= 0 {
		return
	}
	of := breathed / l.Volatile()
	carbon, nitrogen := l.Carbon*of, l.Nitrogen*of
	l.Cast -= breathed
	l.Carbon -= carbon
	l.Nitrogen -= nitrogen
	l.Ammonia += nitrogen
	r.breathe(l, breathed, carbon)
}

// breathe books dry matter that turned to gas and water: out go the matter, its
// carbon and its heat content, in comes the water formed.
func (r *Runner) breathe(l *Layer, gone, carbon float64) {
	p := &r.p.Column
	formed := gone * p.MetabolicWater
	l.Water += formed
	r.out.dry += gone
	r.out.carbon += carbon
	r.out.heat += gone * p.dryContent(l.TempC)
	r.in.water += formed
	r.in.heat += formed * waterContent(l.TempC)
}

// turnover moves nitrogen between organic and mineral for carbon lost as gas:
// microbes built efficiency of what they decomposed into themselves, so the
// carbon decomposed is lost/(1-efficiency). model.md (B21)
func (r *Runner) turnover(l *Layer, lost float64) {
	p := &r.p.Column
	carbon, organic := p.open(l)
	if lost <= 0 || carbon <= 0 {
		return
	}
	decomposed := lost / (1 - p.MicrobeEfficiency)
	freed := decomposed * (organic/carbon - p.MicrobeEfficiency/p.MicrobeCN)
	if freed >= 0 {
		if freed > l.Nitrogen {
			freed = l.Nitrogen
		}
		l.Nitrogen -= freed
		l.Ammonia += freed
		return
	}
	wanted := -freed
	mineral := l.Ammonia + l.Nitrate
	if mineral <= 0 {
		return
	}
	// Never more than a part of what is at hand, smoothly.
	taken := mineral * share(wanted/mineral)
	part := taken / mineral
	l.Nitrogen += taken
	l.Ammonia -= part * l.Ammonia
	l.Nitrate -= part * l.Nitrate
}

// nitrify turns ammonium into nitrate; warm is the answer to temperature.
// model.md (B23)
func (r *Runner) nitrify(l *Layer, warm, days float64) {
	p := &r.p.Column
	if l.Ammonia <= 0 || warm <= 0 {
		return
	}
	if l.Oxygen < p.NitrifyOxygen {
		warm *= l.Oxygen / p.NitrifyOxygen
	}
	if l.PH < p.NitrifyPH {
		warm *= ramp(l.PH, p.NitrifyEndPH, p.NitrifyPH)
	}
	turned := l.Ammonia * share(p.NitrifyRate*warm*days)
	l.Ammonia -= turned
	l.Nitrate += turned
}

// sour moves the acidity of a layer by what became of its nitrogen in the step
// and lets it drift to that of a ripe bed. model.md (B69)
func (r *Runner) sour(l *Layer, i int, drift float64) {
	p, u := &r.p.Column, &r.u
	bound := l.Ammonia - l.Nitrate - u.charge[i] // nitrogen that holds an acid each [kg/m2]
	l.PH += bound / (nitrogenMolar * p.Buffer * u.dry[i])
	l.PH += (p.RipePH - l.PH) * drift
	l.PH = min(max(l.PH, mostSour), mostBitter)
}

// mostSour and mostBitter are ends for the arithmetic: no bed of manure or
// leaves was found beyond them.
const (
	mostSour   = 3.5
	mostBitter = 10.5
)

// fume lets ammonia out through the layers above and the cover, and finds how
// much of it hangs under the cover. model.md (B25)
func (r *Runner) fume(s *State, dt float64) {
	d, u := &r.p.Diffusivity, &r.u
	still := 1 / (d.Ammonia * r.warmth)
	way := 1 / r.top.fumes // resistance to the air above [s/m]
	lost := 0.0
	for i := u.n - 1; i >= 0; i-- {
		l := &s.Layers[u.at[i]]
		half := u.way[i] * still
		way += half
		if u.free[i] > 0 && l.Ammonia > 0 && l.Water > bone*u.dry[i] {
			c := l.Ammonia / l.Water * u.free[i] * u.row[i][fumes] // model.md (B24)
			gone := l.Ammonia * share(c/(way*l.Ammonia)*dt)
			l.Ammonia -= gone
			lost += gone
		}
		way += half
	}
	r.out.nitrogen += lost
	r.money.AmmoniaKg += lost
	r.top.ammonia = ppmOf(lost/(dt*r.top.fumes), u.mid[u.n-1])
}

// nitrogenOfHydroxide is the mass of N in NH4OH over that of NH4OH.
const nitrogenOfHydroxide = massN / (massN + 5*massH + massO)

// ppmOf gives ammonia in air by volume [ppm] from its nitrogen [kg/m3], at most all of it.
func ppmOf(nitrogen, tempC float64) float64 {
	return min(1e6, 1e6*nitrogen/nitrogenMolar*gasConstant*(tempC+zeroKelvin)/atmosphere)
}
