package worm

import "math"

// Juveniles gives the number of juveniles.
func (s *Stock) Juveniles() float64 {
	n := 0.0
	for _, v := range s.Young {
		n += v
	}
	return n
}

// LiveKg gives the live mass of worms without cocoons [kg].
func (s *Stock) LiveKg() float64 { return s.AdultKg + s.JuvenileKg }

// MassKg gives the live mass of worms and cocoons [kg].
func (s *Stock) MassKg(p *Parameters) float64 { return s.LiveKg() + s.Cocoons*p.CocoonG*1e-3 }

// Settle fills what a Stock written with its first three fields leaves open: a
// usual spread of ages, and adults midway between just mature and fully grown.
func (s *Stock) Settle(p *Parameters) {
	if s.AdultKg > 0 && s.Adults <= 0 {
		s.Adults = s.AdultKg * 1e3 / ((p.MatureG + p.GrownG) / 2)
	}
	if s.JuvenileKg > 0 && s.Juveniles() <= 0 {
		from, to := math.Cbrt(p.HatchlingG), math.Cbrt(p.MatureG)
		const thin = 0.9 // each step a tenth fewer, as in a stock that grows and dies
		n, kg := 1.0, 0.0
		for i := range s.Young {
			c := from + (to-from)*(float64(i)+0.5)/youngSteps
			s.Young[i] = n
			s.YoungKg[i] = n * c * c * c * 1e-3
			kg += s.YoungKg[i]
			n *= thin
		}
		for i := range s.Young {
			s.Young[i] *= s.JuvenileKg / kg
			s.YoungKg[i] *= s.JuvenileKg / kg
		}
	}
	if s.Cocoons > 0 {
		n := 0.0
		for _, v := range s.Cocoon {
			n += v
		}
		if n <= 0 {
			for i := range s.Cocoon {
				s.Cocoon[i] = s.Cocoons / cocoonSteps
			}
		}
	}
}

// Add puts the worms of o into s.
func (s *Stock) Add(p *Parameters, o Stock) {
	s.Settle(p)
	o.Settle(p)
	s.AdultKg += o.AdultKg
	s.JuvenileKg += o.JuvenileKg
	s.Cocoons += o.Cocoons
	s.Adults += o.Adults
	for i := range s.Young {
		s.Young[i] += o.Young[i]
		s.YoungKg[i] += o.YoungKg[i]
	}
	for i := range s.Cocoon {
		s.Cocoon[i] += o.Cocoon[i]
	}
}

// Times gives a share of the worms and a share of the cocoons of s.
func (s Stock) Times(worms, cocoons float64) Stock {
	s.AdultKg *= worms
	s.JuvenileKg *= worms
	s.Adults *= worms
	s.Cocoons *= cocoons
	for i := range s.Young {
		s.Young[i] *= worms
		s.YoungKg[i] *= worms
	}
	for i := range s.Cocoon {
		s.Cocoon[i] *= cocoons
	}
	return s
}

// movesPerDay is how finely the chains of development are moved on, so that the
// spread of hatching does not hang on the length of the step.
const movesPerDay = 4

// Step carries a stock through one step, at most a day, and gives what happened.
// Mass is kept: the mass with cocoons after is that before plus Grown less
// Shrunk, Left, Died and CocoonsDied. model.md (W16)
func Step(p *Parameters, s *Stock, c Conditions) Flows {
	var f Flows
	s.Settle(p)
	before := s.LiveKg()
	f.Crowding = 1
	if !(c.Days > 0) {
		return f
	}
	if c.AreaM2 > 0 {
		f.Crowding = p.Crowding(before / c.AreaM2)
	}
	f.Fed = 1
	if c.WantedKgWet > 0 {
		f.Fed = min(1, c.EatenKgWet/c.WantedKgWet)
	}
	if before+s.Cocoons == 0 {
		return f
	}

	var growth, laying, pace, hatching, success, live, stay, hold float64
	var died [causes]float64
	for i := range c.Places {
		at := &c.Places[i]
		if at.Share > 0 {
			suits := p.Moisture(at.Water) * p.Oxygen(at.Oxygen)
			growth += at.Share * p.Growth(at.TempC) * suits
			laying += at.Share * p.LayingFactor(at.TempC) * suits
			pace += at.Share * p.pace(at.TempC)
			rates := p.Death(*at)
			sum := 0.0
			for _, r := range rates {
				sum += r
			}
			alive := 1.0
			if sum > 0 {
				alive = math.Exp(-sum * c.Days)
			}
			live += at.Share * alive
			stay += at.Share * alive * math.Exp(-p.Leaving(*at)*c.Days)
			if sum > 0 {
				for k, r := range rates {
					died[k] += at.Share * (1 - alive) * r / sum
				}
			}
		}
		if at.CocoonShare > 0 {
			h := p.Hatching(at.TempC)
			hatching += at.CocoonShare * h
			success += at.CocoonShare * h * p.HatchSuccess(at.TempC)
			hold += at.CocoonShare * math.Exp(-p.deathOfCocoons(*at)*c.Days)
		}
	}
	if hatching > 0 {
		success /= hatching
	}

	spare := p.Spare(f.Fed)
	s.grow(p, &f, c, p.GrowthPerDay*growth*spare*f.Crowding*c.Days, p.LayingPerDay*laying*spare*f.Crowding*c.Days)
	if hungry := 1 - ramp(f.Fed, 0, p.Maintenance); hungry > 0 {
		s.shrink(&f, math.Exp(-p.ShrinkPerDay*pace*hungry*c.Days))
	}
	s.lose(p, &f, c.Days, pace, live, stay, hold, &died)
	s.moveOn(p, &f, c.Days, hatching, success, growth)
	return f
}

// grow makes worm out of feed, limited by what a kilogram of feed can become.
func (s *Stock) grow(p *Parameters, f *Flows, c Conditions, by, lay float64) {
	top := math.Cbrt(p.GrownG)
	var young [youngSteps]float64
	sum := 0.0
	for i, n := range s.Young {
		if n > 0 {
			m := s.YoungKg[i] * 1e3 / n
			young[i] = n * max(0, by*gain(m, top)) * 1e-3
			sum += young[i]
		}
	}
	adult := 0.0
	if s.Adults > 0 {
		m := s.AdultKg * 1e3 / s.Adults
		adult = s.Adults * max(0, by*gain(m, top)) * 1e-3
		lay *= ramp(m, 0.6*p.MatureG, p.MatureG) * s.Adults
	} else {
		lay = 0
	}
	cocoons := lay * p.CocoonG * 1e-3
	sum += adult + cocoons
	if sum <= 0 {
		return
	}
	part := min(1, p.TissueYield*c.EatenKgDry/(sum*p.DryFrac))
	for i := range young {
		s.YoungKg[i] += young[i] * part
		s.JuvenileKg += young[i] * part
	}
	s.AdultKg += adult * part
	f.Laid = lay * part
	s.Cocoon[0] += f.Laid
	s.Cocoons += f.Laid
	f.Grown = sum * part
}

func (s *Stock) shrink(f *Flows, keep float64) {
	f.Shrunk = s.LiveKg() * (1 - keep)
	s.AdultKg *= keep
	s.JuvenileKg = 0
	for i := range s.YoungKg {
		s.YoungKg[i] *= keep
		s.JuvenileKg += s.YoungKg[i]
	}
}

// lose takes out what died and what left. Deaths of old or young age fall on
// what the places have left alive; the young die at the pace at which they live.
func (s *Stock) lose(p *Parameters, f *Flows, days, pace, live, stay, hold float64, died *[causes]float64) {
	adult := math.Exp(-p.AdultDeath * days)
	child := math.Exp(-p.YoungDeath * pace * days)
	all := s.LiveKg()
	for k := range died {
		f.Died[k] = all * died[k]
	}
	f.Died[Age] = live * (s.AdultKg*(1-adult) + s.JuvenileKg*(1-child))
	f.Left = (live - stay) * (s.AdultKg*adult + s.JuvenileKg*child)
	s.AdultKg *= stay * adult
	s.Adults *= stay * adult
	s.JuvenileKg = 0
	for i := range s.Young {
		s.Young[i] *= stay * child
		s.YoungKg[i] *= stay * child
		s.JuvenileKg += s.YoungKg[i]
	}
	f.CocoonsDied = s.Cocoons * (1 - hold) * p.CocoonG * 1e-3
	s.Cocoons = 0
	for i := range s.Cocoon {
		s.Cocoon[i] *= hold
		s.Cocoons += s.Cocoon[i]
	}
}

// moveOn moves cocoons and juveniles along their steps of development, the last
// first, so that none takes two in one move. A juvenile matures when its time
// is up and it weighs enough; what a hatching cocoon holds beyond its young is
// lost.
func (s *Stock) moveOn(p *Parameters, f *Flows, days, hatching, success, growth float64) {
	moves := int(math.Ceil(days * movesPerDay))
	dt := days / float64(moves)
	hatch := min(1, hatching*cocoonSteps*dt)
	mature := min(1, growth/p.MaturationDay*youngSteps*dt)
	const last = youngSteps - 1
	for range moves {
		if s.Young[last] > 0 {
			m := s.YoungKg[last] * 1e3 / s.Young[last]
			ready := mature * ramp(m, 0.8*p.MatureG, p.MatureG)
			n, kg := s.Young[last]*ready, s.YoungKg[last]*ready
			s.Young[last] -= n
			s.YoungKg[last] -= kg
			s.Adults += n
			s.AdultKg += kg
			f.Matured += n
		}
		for i := last; i > 0; i-- {
			n, kg := s.Young[i-1]*mature, s.YoungKg[i-1]*mature
			s.Young[i-1] -= n
			s.YoungKg[i-1] -= kg
			s.Young[i] += n
			s.YoungKg[i] += kg
		}
		out := s.Cocoon[cocoonSteps-1] * hatch
		s.Cocoon[cocoonSteps-1] -= out
		for i := cocoonSteps - 1; i > 0; i-- {
			n := s.Cocoon[i-1] * hatch
			s.Cocoon[i-1] -= n
			s.Cocoon[i] += n
		}
		young := out * success * p.YoungPer
		kg := min(young*p.HatchlingG, out*p.CocoonG) * 1e-3
		s.Young[0] += young
		s.YoungKg[0] += kg
		f.Hatched += young
		f.CocoonsDied += out*p.CocoonG*1e-3 - kg
	}
	s.JuvenileKg, s.Cocoons = 0, 0
	for _, kg := range s.YoungKg {
		s.JuvenileKg += kg
	}
	for _, n := range s.Cocoon {
		s.Cocoons += n
	}
}
