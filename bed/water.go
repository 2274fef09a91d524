package bed

// soak takes out what evaporated, lets water above what the layers hold run
// down and out, and spreads the rest from wet to dry. model.md (B14 to
// B16)
func (r *Runner) soak(s *State, dt float64) {
	p, u := &r.p.Column, &r.u
	n := u.n
	top := &s.Layers[u.at[n-1]]
	evap := r.top.evap
	if evap > top.Water {
		evap = top.Water
	}
	top.Water -= evap
	if evap >= 0 {
		r.out.water += evap
		r.out.heat += evap * waterContent(top.TempC)
	} else {
		r.in.water -= evap
		r.in.heat -= evap * waterContent(top.TempC)
	}
	r.money.EvaporatedKg += evap
	r.day.evaporated += evap

	for i := 0; i < n; i++ {
		l := &s.Layers[u.at[i]]
		u.hold[i] = p.holds(l)
		u.cap[i] = p.heatCap(l)
	}
	r.drain(s, dt)
	r.spread(s, dt)
}

// drain lets water above what a layer holds run down in proportion to it; what
// comes from above over the step is taken to come evenly, so that the answer is
// that of the linear cascade. What has no room at all runs down at once.
// model.md (B15)
func (r *Runner) drain(s *State, dt float64) {
	p, u := &r.p.Column, &r.u
	tau := p.DrainHours * 3600
	runs := share(dt / tau)
	even := 1 - runs*tau/dt // of what comes evenly, the share that has left again
	in, inC := 0.0, 0.0
	for i := u.n - 1; i >= 0; i-- {
		l := &s.Layers[u.at[i]]
		over := l.Water - u.hold[i]
		if in > 0 {
			r.run(l, i, in, inC)
		}
		down := 0.0
		switch {
		case over >= 0:
			down = over*runs + in*even
		case in+over > 0: // the first of it fills the layer
			rest := in + over
			left := dt * rest / in
			down = rest * (1 - share(left/tau)*tau/left)
		}
		if room := p.room(l, p.AirLeast); l.Water-down > room {
			down = l.Water - room
		}
		if down <= 0 {
			in = 0
			continue
		}
		part := down / l.Water
		nitrate, salt := part*l.Nitrate, part*l.Salt
		l.Water -= down
		u.cap[i] -= down * waterHeat
		l.Nitrate -= nitrate
		l.Salt -= salt
		if i > 0 {
			in, inC = down, l.TempC
			b := &s.Layers[u.at[i-1]]
			b.Nitrate += nitrate
			b.Salt += salt
			continue
		}
		r.out.water += down
		r.out.nitrogen += nitrate
		r.out.heat += down * waterContent(l.TempC)
		r.money.DrainedKg += down
		r.day.drained += down
		s.DrainedKg += down * r.area
	}
}

// pour adds water of a temperature to a layer, mixing the heat.
func (c *Column) pour(l *Layer, water, tempC float64) {
	before := c.heatCap(l)
	l.Water += water
	l.TempC = (before*l.TempC + water*waterHeat*tempC) / (before + water*waterHeat)
}

// run lets water of a temperature into cell i, mixing the heat.
func (r *Runner) run(l *Layer, i int, water, tempC float64) {
	before := r.u.cap[i]
	after := before + water*waterHeat
	l.Water += water
	l.TempC += water * waterHeat * (tempC - l.TempC) / after
	r.u.cap[i] = after
}

// spread moves water by suction towards equal saturation, implicitly; it slows
// with the square of the saturation, so that a dry crust keeps what is below.
// model.md (B16)
func (r *Runner) spread(s *State, dt float64) {
	p, u := &r.p.Column, &r.u
	n := u.n
	if n < 2 || p.Spread <= 0 {
		return
	}
	days := dt / 86400
	var sat, link, pivot [MaxLayers]float64
	for i := 0; i < n; i++ {
		l := &s.Layers[u.at[i]]
		if u.hold[i] > 0 {
			sat[i] = l.Water / u.hold[i]
		}
	}
	for i := 1; i < n; i++ {
		if u.hold[i] <= 0 || u.hold[i-1] <= 0 {
			continue
		}
		a, b := sat[i-1], sat[i]
		if a > 1 {
			a = 1
		}
		if b > 1 {
			b = 1
		}
		mean := 0.5 * (a + b)
		link[i] = p.Spread * mean * mean * days / (0.5 * (u.dz[i-1] + u.dz[i])) // [kg/m2] for a difference of 1
		if s.Layers[u.at[i]].Ice > 0 || s.Layers[u.at[i-1]].Ice > 0 {
			link[i] = 0
		}
	}
	// Thomas elimination of (hold + links) x = hold sat, x the new saturation.
	x := sat
	for i := 0; i < n; i++ {
		h := u.hold[i]
		if h <= 0 {
			h = 1e-9
		}
		up := 0.0
		if i+1 < n {
			up = link[i+1]
		}
		d, q := h+link[i]+up, h*sat[i]
		if i > 0 {
			m := link[i] * pivot[i-1]
			d -= m * link[i]
			q += m * x[i-1]
		}
		pivot[i] = 1 / d
		x[i] = q
	}
	for i := n - 1; i >= 0; i-- {
		if i+1 < n {
			x[i] += link[i+1] * x[i+1]
		}
		x[i] *= pivot[i]
	}
	for i := 1; i < n; i++ {
		down := link[i] * (x[i] - x[i-1]) // from i to i-1
		a, b := &s.Layers[u.at[i]], &s.Layers[u.at[i-1]]
		if down > 0 {
			if down > a.Water {
				down = a.Water
			}
			a.Water -= down
			u.cap[i] -= down * waterHeat
			r.run(b, i-1, down, a.TempC)
		} else if down < 0 {
			up := -down
			if up > b.Water {
				up = b.Water
			}
			b.Water -= up
			u.cap[i-1] -= up * waterHeat
			r.run(a, i, up, b.TempC)
		}
	}
}
