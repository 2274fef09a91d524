package bed

// settle lets each layer lose room with the matter it lost and pack towards the
// density that its matter has under the load above it; worked matter packs
// tighter than fibre. Nothing swells back, except that a layer always keeps room
// for its solids and ice and a little air. model.md (B36)
func (r *Runner) settle(s *State, dt float64) {
	p, u := &r.p.Column, &r.u
	load := 0.0 // [Pa]
	pack := share(dt / (p.SettleDays * 86400))
	for i := u.n - 1; i >= 0; i-- {
		l := &s.Layers[u.at[i]]
		dry := l.Dry()
		weight := (dry + l.Water + l.Ice) * gravity
		if dry <= 0 {
			continue
		}
		deep := l.DepthM
		if dry < u.dry[i] {
			deep *= dry / u.dry[i]
		}
		settled := dry / p.bulk(l, load+weight/2)
		if settled < deep {
			deep += (settled - deep) * pack
		}
		solids := l.Volatile()/p.OrganicDensity + l.Ash/p.AshDensity + l.Ice/iceMass
		if least := solids / (1 - 2*p.AirLeast); deep < least {
			deep = least
		}
		l.DepthM = deep
		load += weight
	}
}

const gravity = 9.80665 // standard [m/s2]

// bulk gives the settled dry bulk density of a layer under a load [kg/m3].
// model.md (B36)
func (c *Column) bulk(l *Layer, load float64) float64 {
	dry := l.Dry()
	cast := l.castings()
	volume := (dry-cast-l.Woody)/c.FibreBulk + l.Woody/c.WoodyBulk + cast/c.CastBulk
	if volume <= 0 {
		return c.FibreBulk
	}
	return dry / volume * (1 + load/c.SettleLoad)
}
