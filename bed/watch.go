package bed

// daily gathers what a Day tells, for each m2 where not said.
type daily struct {
	hours, empty       float64
	meanC, surfaceC    float64 // times hours
	maxC, maxAtM, minC float64
	wormsMaxC          float64
	oxygenMin          float64
	ammonia            float64
	drained            float64
	evaporated         float64
	eaten              float64
	released           float64 // [J/m2]
	left               float64 // live mass gone, whole bin [kg]
	fed, fedHours      float64
	refugeM            float64
	sour               bool
	stress             [Stresses]float64
}

func (d *daily) reset() {
	*d = daily{maxC: -1e9, minC: 1e9, wormsMaxC: -1e9, oxygenMin: oxygenOfAir, refugeM: 1e9}
}

// ramp goes from 0 at from to 1 at full, either way round.
func ramp(x, from, full float64) float64 {
	y := (x - from) / (full - from)
	if !(y > 0) {
		return 0
	}
	if y > 1 {
		return 1
	}
	return y
}

// Refuge says whether worms can live in a layer of a temperature [C] with so much
// oxygen in its pores [m3/m3]. model.md (B37)
func (c *Column) Refuge(tempC, oxygen float64) bool {
	return tempC < c.RefugeC && tempC > 0 && oxygen > c.RefugeOxygen
}

// hungriest is the stress of worms with nothing at all to eat: it weakens them
// and does not kill within a day.
const hungriest = 0.5

// watch notes after a step what the day wants to know. model.md (B37)
func (r *Runner) watch(s *State, hours float64) {
	p, w, u, d := &r.p.Column, &r.p.Worm, &r.u, &r.day
	mean, depth, refuge := 0.0, 0.0, 0.0
	var stress [Stresses]float64
	for i := u.n - 1; i >= 0; i-- {
		l := &s.Layers[u.at[i]]
		dz := l.DepthM
		mean += (l.TempC - 0.5*l.Trend*hours) * dz // of the step, not at its end
		if l.TempC > d.maxC {
			d.maxC, d.maxAtM = l.TempC, depth+dz/2
		}
		if l.TempC < d.minC {
			d.minC = l.TempC
		}
		depth += dz
		if l.Oxygen < d.oxygenMin {
			d.oxygenMin = l.Oxygen
		}
		if l.Oxygen < p.SourOxygen && l.Quick > 0.05*u.dry[i] {
			d.sour = true
		}
		if p.Refuge(l.TempC, l.Oxygen) {
			refuge += dz
		}
		if share := l.Worms; share > 0 {
			if share >= 0.1 && l.TempC > d.wormsMaxC {
				d.wormsMaxC = l.TempC
			}
			wet := u.wet[i]
			stress[Hot] += share * ramp(l.TempC, p.RefugeC, w.HeatFullC)
			stress[Cold] += share * ramp(l.TempC, max(w.GrowthColdC, w.ColdFromC), w.ColdFullC)
			stress[Dry] += share * ramp(wet, w.MoistMid, w.DryFull)
			stress[Wet] += share * ramp(wet, w.WetFull, w.WetNone)
			stress[Airless] += share * ramp(l.Oxygen, w.OxygenFrom, 0)
			stress[Sharp] += share * ramp(u.amm[i], w.AvoidMgG, w.AmmoniaLC)
			stress[Corrosive] += share * w.Corrosive(l.PH)
			stress[Salty] += share * ramp(l.Salt/u.dry[i], w.SaltLeave, w.SaltFull)
		}
	}
	for i, x := range stress {
		if x > d.stress[i] {
			d.stress[i] = x
		}
	}
	if refuge < d.refugeM {
		d.refugeM = refuge
	}
	if a := r.top.ammonia; a > d.ammonia {
		d.ammonia = a
	}
	d.hours += hours
	if depth > 0 {
		d.meanC += mean / depth * hours
	}
	d.surfaceC += r.top.surface * hours
}

// close makes the Day of what was gathered and of the state at its end.
func (d *daily) close(r *Runner, s *State) Day {
	p, a := &r.p.Column, r.area
	day := Day{Hour: s.Hour, WormsKg: s.Worms.LiveKg(), Adults: s.Worms.Adults, Juveniles: s.Worms.Juveniles(), Cocoons: s.Worms.Cocoons}
	day.DrainedKg, day.EvaporatedKg = d.drained*a, d.evaporated*a
	day.EatenKg, day.Stress = d.eaten*a, d.stress
	day.OxygenMin, day.AmmoniaPPM = d.oxygenMin, d.ammonia
	var dry, water, ice, carbon, nitrogen, castings, castWet, topWater, topMass, refuge float64
	mean := 0.0
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		m := l.Dry()
		if m < thinnest {
			continue
		}
		if day.DepthM < topSkin {
			f := 1.0
			if l.DepthM > topSkin-day.DepthM {
				f = (topSkin - day.DepthM) / l.DepthM
			}
			topWater += f * (l.Water + l.Ice)
			topMass += f * (m + l.Water + l.Ice)
		}
		mean += l.TempC * l.DepthM
		if p.Refuge(l.TempC, l.Oxygen) {
			refuge += l.DepthM
		}
		day.DepthM += l.DepthM
		dry += m
		water += l.Water
		ice += l.Ice
		carbon += l.Carbon
		nitrogen += l.Nitrogen + l.Ammonia + l.Nitrate
		c := l.castings()
		castings += c
		castWet += c * (1 + (l.Water+l.Ice)/m)
		if l.Feed {
			day.FeedLeftKg += l.left() * a
		}
	}
	if d.hours > d.empty {
		day.MeanC = d.meanC / (d.hours - d.empty)
		day.SurfaceC = d.surfaceC / (d.hours - d.empty)
		day.MaxC, day.MaxAtM, day.MinC, day.WormsMaxC, day.RefugeM = d.maxC, d.maxAtM, d.minC, d.wormsMaxC, d.refugeM
	} else if day.DepthM > 0 {
		day.MeanC, day.RefugeM = mean/day.DepthM, refuge
		day.MaxC, day.MinC, day.SurfaceC, day.WormsMaxC = day.MeanC, day.MeanC, day.MeanC, day.MeanC
	}
	if day.WormsMaxC < -1e8 {
		day.WormsMaxC = day.MeanC
	}
	if d.hours > 0 {
		day.HeatW = d.released * a / (d.hours * 3600)
	}
	if d.fedHours > 0 {
		day.Stress[Hungry] = hungriest * (1 - d.fed/d.fedHours)
	}
	day.DryKg = dry * a
	day.CastingsKg = castWet * a
	if dry > 0 {
		day.CastingsOfDry = castings / dry
		day.WaterOfWet = (water + ice) / (dry + water + ice)
	}
	if topMass > 0 {
		day.TopWater = topWater / topMass
	}
	if nitrogen > 0 {
		day.CN = carbon / nitrogen
	}
	if water+ice > 0 {
		day.FrozenOfWater = ice / (water + ice)
	}
	if dry > 0 {
		day.Noticed[Heating] = day.MaxC > p.AlarmC
		day.Noticed[Drying] = day.TopWater < p.DryTop
		day.Noticed[Souring] = d.sour
		day.Noticed[Frozen] = day.FrozenOfWater > p.FrozenWater
		day.Noticed[Heaped] = r.box.DepthM > 0 && day.DepthM > r.box.DepthM
	}
	if day.LeftKg = d.left; d.left > 0 && d.hours > 0 {
		day.Noticed[Leaving] = d.left*24/d.hours > p.LeavingDay*(day.WormsKg+d.left)
	}
	return day
}

// topSkin is how deep the water of the top is told [m].
const topSkin = 0.05

// Profile gives the layers from the top down; layers without matter are left
// out.
func (r *Runner) Profile(box Box, s *State) []Slice {
	p, a := &r.p.Column, box.Area()
	out := make([]Slice, 0, len(s.Layers))
	depth := 0.0
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		dry := l.Dry()
		if dry < thinnest {
			continue
		}
		water := l.Water + l.Ice
		x := Slice{
			ID: l.ID, Part: l.Part, Feed: l.Feed, Laid: l.Laid, TopM: depth, DepthM: l.DepthM, TempC: l.TempC,
			WaterOfWet: water / (dry + water), Oxygen: l.Oxygen, Castings: l.castings() / dry,
			AirFilled: max(0, 1-l.Volatile()/(p.OrganicDensity*l.DepthM)-l.Ash/(p.AshDensity*l.DepthM)-l.Water/(waterMass*l.DepthM)-l.Ice/(iceMass*l.DepthM)),
			DryKg:     dry * a, FeedLeftKg: l.left() * a, WormsKg: s.Worms.LiveKg() * l.Worms, PH: l.PH,
		}
		if h := p.holds(l); h > 0 {
			x.Saturation = l.Water / h
		}
		if l.Ammonia > 0 && l.Water > 0 {
			x.Ammonia = AmmoniaGasPPM(l.TempC, l.PH, l.Ammonia/l.Water*1e6)
		}
		if n := l.Nitrogen + l.Ammonia + l.Nitrate; n > 0 {
			x.CN = l.Carbon / n
		}
		depth += l.DepthM
		out = append(out, x)
	}
	return out
}
