package fraternal

import "math"

// heat lets heat flow for an hour in the cross-section: up and down in every
// column at once (implicit), from column to column and through the walls by what
// was there at its begin. It gives what the bed lost to the barn [J] and what
// evaporated [kg].
func (b *bin) heat(f *Farm) (lost, vapour float64) {
	const dt = 3600.0
	k := len(b.rows)
	air := f.barn.at(b.level) + b.offAir
	about := func(o *bin, share float64) float64 {
		if o == nil || o.rows == nil {
			return air
		}
		return air + share*(o.tempAt(o.deep()/2)-air)
	}
	west, east := about(b.left, 0.45), about(b.right, 0.45)
	over, under := air, 0.45*air+0.55*f.barn.slab
	uTop, uBase := b.topLoss(), 2.2
	if b.above != nil {
		over = about(b.above, 0.35)
		uTop = 1 / (1/uTop + 0.15)
	}
	if b.below != nil {
		under = about(b.below, 0.35)
	}
	wall := b.n.wall

	var deep, cond [64]float64
	for i := range k {
		r := &b.rows[i]
		deep[i] = max(r.deep(), 2e-3)
		v := deep[i] * area
		// Water carries most of it, solids some; vapour adds in warm beds.
		c := 0.04 + 0.50*min(1, (r.water+r.frozen()*3)/1000/v) + 0.25*r.dry()/1500/v
		if m := r.t[columns/2]; m > 25 {
			c *= 1 + 0.012*(m-25)
		}
		cond[i] = c * b.n.conduct
	}
	const dx = side / columns
	var flow [64][columns]float64 // [W] into each cell from the sides
	for i := range k {
		r := &b.rows[i]
		g := cond[i] * deep[i] * side / dx
		for x := 0; x+1 < columns; x++ {
			q := g * (r.t[x] - r.t[x+1])
			flow[i][x] -= q
			flow[i][x+1] += q
		}
		half := dx / 2 / cond[i]
		u := 1 / (1/wall + half) * deep[i] * side
		ends := 2 * 1 / (1/wall + side/8/cond[i]) * deep[i] * dx // the walls before and behind
		q := u * (west - r.t[0])
		flow[i][0] += q
		lost -= q * dt
		q = u * (east - r.t[columns-1])
		flow[i][columns-1] += q
		lost -= q * dt
		for x := range r.t {
			q := ends * (air - r.t[x])
			flow[i][x] += q
			lost -= q * dt
		}
	}

	vapour = b.dries(f, over) * dt
	latent := vapour * vaporing / columns / dt
	if k > 0 && vapour > 0 {
		r := &b.rows[0]
		for x := range r.t {
			b.book.heatOut += vapour / columns * waterHeat * r.t[x]
		}
		r.water -= vapour
		b.book.waterOut += vapour
		b.book.heatOut += vapour * vaporing
	}

	var lo, di, up, rh [64]float64
	hot := math.Inf(-1)
	for x := range columns {
		for i := range k {
			r := &b.rows[i]
			s := r.store(x) / dt
			lo[i], up[i] = 0, 0
			di[i] = s
			rh[i] = s*r.t[x] + flow[i][x]
		}
		rh[0] -= latent
		for i := 0; i+1 < k; i++ {
			g := area / columns / (deep[i]/2/cond[i] + deep[i+1]/2/cond[i+1])
			di[i] += g
			di[i+1] += g
			up[i], lo[i+1] = -g, -g
		}
		top := area / columns / (1/uTop + deep[0]/2/cond[0])
		base := area / columns / (1/uBase + deep[k-1]/2/cond[k-1])
		di[0] += top
		rh[0] += top * over
		di[k-1] += base
		rh[k-1] += base * under
		thomas(lo[:k], di[:k], up[:k], rh[:k])
		lost += top*(rh[0]-over)*dt + base*(rh[k-1]-under)*dt
		for i := range k {
			b.rows[i].t[x] = rh[i]
			hot = max(hot, rh[i])
		}
	}
	b.book.heatOut += lost
	cool := b.freeze(deep[:k])
	b.hotC, b.dayHot = max(b.hotC, hot), max(b.dayHot, hot)
	b.refuge, b.dayRefuge = min(b.refuge, cool), min(b.dayRefuge, cool)
	return lost, vapour
}

// freeze turns water into ice and back in every cell, heat kept, and gives the
// share of the bed between freezing and 30 C.
func (b *bin) freeze(deep []float64) float64 {
	var good, all float64
	for i := range b.rows {
		r := &b.rows[i]
		for x := range r.t {
			if r.t[x] < 0 && r.water > 0.15*r.dry() {
				m := min(-r.t[x]*r.store(x)/melting, r.water/columns*0.2)
				b.melt(r, x, m)
			} else if r.t[x] > 0 && r.ice[x] > 0 {
				b.melt(r, x, -min(r.t[x]*r.store(x)/melting, r.ice[x]))
			}
			all += deep[i]
			if r.t[x] > 0.5 && r.t[x] < 30 {
				good += deep[i]
			}
		}
	}
	return good / all
}

// melt freezes m kg in a column of a row, or melts them where m is less than 0.
// Heat is counted from water at 0 C. The water of a row is shared by its columns:
// what one freezes, all give.
func (b *bin) melt(r *row, x int, m float64) {
	var was [columns]float64
	for y := range r.t {
		was[y] = r.store(y) * r.t[y]
	}
	was[x] += m * melting
	r.water -= m
	r.ice[x] += m
	for y := range r.t {
		r.t[y] = was[y] / r.store(y)
	}
}

// topLoss is the conductance over the bed [W/m2 K].
func (b *bin) topLoss() float64 {
	switch b.cover {
	case "film":
		return b.n.cloth * 0.72
	case "board":
		return b.n.cloth * 0.65
	case "none":
		return b.n.cloth * 1.6
	}
	return b.n.cloth
}

// dries gives what evaporates from the top [kg/s].
func (b *bin) dries(f *Farm, over float64) float64 {
	if len(b.rows) == 0 {
		return 0
	}
	r := &b.rows[0]
	speed := b.n.dryingMS
	switch b.cover {
	case "film":
		speed *= 0.12
	case "board":
		speed *= 0.4
	case "none":
		speed *= 2.2
	}
	if b.above != nil {
		speed *= 0.6
	}
	w := r.wet()
	wetness := min(1, max(0, (w-0.2)/0.4))
	c := r.mean()
	if c <= 0 || r.water < 0.3*r.dry() {
		return 0
	}
	e := speed * area * (wetness*steam(c) - f.barn.vapour)
	_ = over
	return min(max(e, 0), r.water*0.02/3600)
}

// steam is the density of saturated vapour [kg/m3], by Magnus.
func steam(c float64) float64 {
	return 610.94 * math.Exp(17.625*c/(c+243.04)) / (461.5 * (c + 273.15))
}

// seep moves water for some days: what a row cannot hold runs down, what is wetter
// against what it holds shares with its neighbours, and what the lowest cannot
// hold runs out of the bed.
func (b *bin) seep(f *Farm, days float64) {
	n := &b.n
	k := len(b.rows)
	for i := range k {
		r := &b.rows[i]
		if spare := r.water - r.holds(n); spare > 0 {
			go_ := spare * -math.Expm1(-3*days)
			c := r.mean()
			b.drop(r, go_)
			if i+1 < k {
				b.rows[i+1].pour(go_, c)
				b.book.heatIn += go_ * waterHeat * c
			} else {
				b.book.waterOut += go_
			}
		}
		if i+1 < k {
			o := &b.rows[i+1]
			a, c := r.water/r.holds(n), o.water/o.holds(n)
			m := (a - c) / (1/r.holds(n) + 1/o.holds(n)) * -math.Expm1(-0.25*days)
			from, to := r, o
			if m < 0 {
				from, to, m = o, r, -m
			}
			t := from.mean()
			b.drop(from, m)
			to.pour(m, t)
			b.book.heatIn += m * waterHeat * t
		}
	}
}

// drop takes water out of a row; each column loses what is as warm as itself.
func (b *bin) drop(r *row, kg float64) {
	b.book.heatOut += kg * waterHeat * r.mean()
	r.water -= kg
}

// store is the heat of a bed, from water at 0 C [J].
func (b *bin) store() float64 {
	sum := 0.0
	for i := range b.rows {
		r := &b.rows[i]
		for x := range r.t {
			sum += r.store(x)*r.t[x] - r.ice[x]*melting
		}
	}
	return sum
}
