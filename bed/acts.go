package bed

import (
	"fmt"
	"math"

	"wormyard/climate"
	"wormyard/worm"
)

// do does one act, at the start of its hour.
func (r *Runner) do(s *State, a *Act, air climate.Hour) error {
	c := &r.p.Column
	temp := a.TempC
	if math.IsNaN(temp) {
		temp = air.TempC
	}
	switch a.Kind {
	case Bedding, Feed:
		m := &a.Matter
		if float64(m.Quick+m.Slow+m.Woody+m.Cast+m.Ash) < thinnest*r.area {
			// Nothing but water: poured, but the layer keeps its place in the bed.
			water := float64(m.Water)
			empty := a.Matter.Times(0)
			s.lay(c, r.area, empty, a.DepthM, a.ToldM, temp, a.Layer, a.Kind == Feed, a.Side, a.Hour)
			r.water(s, water, temp)
			return nil
		}
		r.in.plus(s.lay(c, r.area, a.Matter, a.DepthM, a.ToldM, temp, a.Layer, a.Kind == Feed, a.Side, a.Hour))
	case Water:
		r.water(s, a.WaterKg, temp)
	case Covered:
		s.Cover = a.Cover
	case Heat:
		s.HeatW = a.Watts
	case Turn:
		r.turn(s, a.DepthM)
	case Stock:
		before := s.Worms.MassKg(&r.p.Worm)
		live := s.Worms.LiveKg()
		s.Worms.Add(&r.p.Worm, a.Worms)
		if after := s.Worms.LiveKg(); after > 0 { // strewn over both halves
			s.Drawn *= live / after
		}
		in := r.body((s.Worms.MassKg(&r.p.Worm) - before) / r.area)
		in.heat = 0
		r.in.plus(in)
	case Take:
		if a.Side != Whole {
			r.removeSide(s, a.DepthM, a.Side)
			break
		}
		r.remove(s, a.DepthM, a.From)
	case Out:
		r.thin(s, a.Worms.LiveKg())
	default:
		return fmt.Errorf("a bed knows no act %q", a.Kind)
	}
	return nil
}

// water pours water of the whole bin over the bed; onto an empty floor it runs
// off.
func (r *Runner) water(s *State, kg, tempC float64) {
	w := kg / r.area
	r.in.water += w
	r.in.heat += w * waterContent(tempC)
	for i := len(s.Layers) - 1; i >= 0; i-- {
		if l := &s.Layers[i]; l.Dry() >= thinnest {
			r.p.pour(l, w, tempC)
			// Poured water runs on through layers that have no room.
			for j := i; j >= 0; j-- {
				l := &s.Layers[j]
				if l.Dry() < thinnest {
					continue
				}
				over := l.Water - max(r.p.holds(l), l.Water-w)
				if over <= 0 {
					break
				}
				k := j - 1
				for k >= 0 && s.Layers[k].Dry() < thinnest {
					k--
				}
				if k < 0 {
					break
				}
				l.Water -= over
				r.p.pour(&s.Layers[k], over, l.TempC)
				w = over
			}
			return
		}
	}
	r.out.water += w
	r.out.heat += w * waterContent(tempC)
	r.money.DrainedKg += w
	r.day.drained += w
	s.DrainedKg += w * r.area
}

// turn mixes the layers down to a depth, 0 for all, and loosens them. The layers
// keep their identity; each ends with the like share of everything.
func (r *Runner) turn(s *State, depthM float64) {
	c := &r.p.Column
	from, depth := len(s.Layers), 0.0
	for from > 0 && (depthM <= 0 || depth < depthM) {
		from--
		depth += s.Layers[from].DepthM
	}
	var all Layer
	heat, cap, mass, ph := 0.0, 0.0, 0.0, 0.0
	worms, cocoons := 0.0, 0.0
	turned := s.Layers[from:]
	for i := range turned {
		l := &turned[i]
		k := c.heatCap(l)
		heat += k * l.TempC
		cap += k
		mass += l.Dry()
		ph += l.Dry() * l.PH
		worms += l.Worms
		cocoons += l.Cocoons
		all.add(l, 1)
	}
	if mass < thinnest || cap <= 0 {
		return
	}
	for i := range turned {
		l := &turned[i]
		f := l.Dry() / mass
		l.keep(0)
		l.DepthM = depth * f * (1 + c.TurnLoosens)
		l.add(&all, f)
		l.TempC, l.PH, l.Trend, l.Oxygen = heat/cap, ph/mass, 0, oxygenOfAir
		l.Worms, l.Cocoons, l.Side = worms*f, cocoons*f, Whole
	}
	if from == 0 {
		s.Drawn = 0
	}
}

// remove takes matter out of the bed down or up to a depth, with the worms that
// are in it. Layers taken whole stay as empty ones, so that all runs of a bin
// keep the same layers.
func (r *Runner) remove(s *State, depthM float64, from End) {
	c := &r.p.Column
	left := depthM
	worms, cocoons, haveW, haveC := 0.0, 0.0, 0.0, 0.0
	for i := range s.Layers {
		haveW += s.Layers[i].Worms
		haveC += s.Layers[i].Cocoons
	}
	for k := range s.Layers {
		i := k
		if from != FromBottom {
			i = len(s.Layers) - 1 - k
		}
		l := &s.Layers[i]
		if left <= 0 {
			break
		}
		f := 1.0
		if l.DepthM > left {
			f = left / l.DepthM
		}
		left -= l.DepthM * f
		r.out.plus(c.of(l, f))
		worms += f * l.Worms
		cocoons += f * l.Cocoons
		l.Worms *= 1 - f
		l.Cocoons *= 1 - f
		l.keep(1 - f)
	}
	if haveW > 0 {
		worms /= haveW
	}
	if haveC > 0 {
		cocoons /= haveC
	} else {
		cocoons = worms
	}
	r.withdraw(s, worms, cocoons)
}

// withdraw takes shares of the worms and of the cocoons out of the bin.
func (r *Runner) withdraw(s *State, worms, cocoons float64) {
	taken := s.Worms.Times(worms, cocoons)
	before := s.Worms.MassKg(&r.p.Worm)
	s.Worms = s.Worms.Times(1-worms, 1-cocoons)
	out := r.body((before - s.Worms.MassKg(&r.p.Worm)) / r.area)
	out.heat = 0
	r.out.plus(out)
	r.taken.Add(&r.p.Worm, taken)
}

// thin takes worms out of the bed by live mass, young and grown alike, from all
// layers; the cocoons stay. No more go than there are.
func (r *Runner) thin(s *State, kg float64) {
	live := s.Worms.LiveKg()
	if live <= 0 || kg <= 0 {
		return
	}
	r.withdraw(s, min(1, kg/live), 0)
}

// Taken gives the worms that Take and Out acts of the last run took out.
func (r *Runner) Taken() worm.Stock { return r.taken }
