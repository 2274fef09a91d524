package bed

// halfOf is the share of the floor that a side is.
const halfOf = 0.5

// draw moves the worms between the halves of the bin towards where more of the
// pull is, and gives where those of each half would be: the wanted share of the
// bed's worms by cell, from the pulls of cells. What lies on one half only worms
// of that half reach. model.md (B71)
func (r *Runner) draw(s *State, pull *[MaxLayers]float64, sum, days float64) {
	u := &r.u
	var by [3]float64
	for i := 0; i < u.n; i++ {
		by[s.Layers[u.at[i]].Side] += pull[i]
	}
	if by[Left] == 0 && by[Right] == 0 && s.Drawn == 0 {
		for i := 0; i < u.n; i++ {
			pull[i] /= sum
		}
		return
	}
	left, right := by[Whole]+by[Left], by[Whole]+by[Right]
	s.Drawn += ((left-right)/(left+right) - s.Drawn) * share(days/r.p.SideDays)
	var each [3]float64 // worms for each pull
	if left > 0 {
		each[Left] = (1 + s.Drawn) / 2 / left
	}
	if right > 0 {
		each[Right] = (1 - s.Drawn) / 2 / right
	}
	each[Whole] = each[Left] + each[Right]
	for i := 0; i < u.n; i++ {
		pull[i] *= each[s.Layers[u.at[i]].Side]
	}
}

// removeSide takes out what lies on one half, up to a volume that would be so
// deep over the whole bin, 0 for all of it, with the worms that are there; what is
// left is spread over the whole floor. model.md (B71)
func (r *Runner) removeSide(s *State, depthM float64, side Side) {
	c := &r.p.Column
	there := func(l *Layer) float64 {
		switch l.Side {
		case Whole:
			return halfOf
		case side:
			return 1
		}
		return 0
	}
	deep, whole, own, all, cocoons, haveC := 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
	for i := range s.Layers {
		l := &s.Layers[i]
		f := there(l)
		deep += f * l.DepthM
		all += l.Worms
		haveC += l.Cocoons
		cocoons += f * l.Cocoons
		switch l.Side {
		case Whole:
			whole += l.Worms
		case side:
			own += l.Worms
		}
	}
	if deep <= 0 {
		return
	}
	f := 1.0
	if depthM > 0 && depthM < deep {
		f = depthM / deep
	}
	drawn := s.Drawn
	if side == Right {
		drawn = -drawn
	}
	stay := min(max(all*(1+drawn)/2-own, 0), whole) // of the side, in what lies on both
	if whole > 0 {
		stay /= whole
	}
	worms := 0.0
	for i := range s.Layers {
		l := &s.Layers[i]
		out := f * there(l)
		gone := out
		if l.Side == Whole {
			gone = f * stay
		}
		r.out.plus(c.of(l, out))
		worms += gone * l.Worms
		l.Worms *= 1 - gone
		l.Cocoons *= 1 - out
		l.keep(1 - out)
		l.Side = Whole
	}
	if all > 0 {
		worms /= all
	}
	if haveC > 0 {
		cocoons = f * cocoons / haveC
	} else {
		cocoons = worms
	}
	r.withdraw(s, worms, cocoons)
	s.Drawn = 0
	if left := (1 - f) * (1 + drawn) / 2; f < 1 && left+(1-drawn)/2 > 0 {
		s.Drawn = (left - (1-drawn)/2) / (left + (1-drawn)/2)
		if side == Right {
			s.Drawn = -s.Drawn
		}
	}
}
