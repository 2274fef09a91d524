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
	if s.Adults > 0 && s.Aged == [adultSteps]float64{} {
		const thin = 0.6 // about a stock that doubles in half a year
		n, all := 1.0, 0.0
		for i := range s.Aged {
			s.Aged[i] = n
			all += n
			n *= thin
		}
		for i := range s.Aged {
			s.Aged[i] *= s.Adults / all
		}
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
	for i := range s.Aged {
		s.Aged[i] += o.Aged[i]
	}
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
	for i := range s.Aged {
		s.Aged[i] *= worms
	}
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

// Step carries a stock through one step, at most a day, and gives what happened.
// Mass is kept: the mass with cocoons after is that before plus Grown less
// Shrunk, Left, Died and CocoonsDied. Development and losses are taken in halves
// about growth, so that the result hangs little on the length of the step.
// model.md (W16)
func Step(p *Parameters, s *Stock, c Conditions) Flows {
	f := Flows{Crowding: 1, Fed: 1}
	s.Settle(p)
	if c.WantedKgWet > 0 {
		f.Fed = min(1, c.EatenKgWet/c.WantedKgWet)
	}
	if !(c.Days > 0) || s.LiveKg()+s.Cocoons == 0 {
		return f
	}
	m := p.meet(&c, c.Days/2)
	s.develop(p, &f, &m)
	s.lose(p, &f, &m)
	if c.AreaM2 > 0 {
		f.Crowding = p.Crowding(s.LiveKg() / c.AreaM2)
	}
	s.grow(p, &f, &c, m.growth*f.Crowding*p.Over(f.Fed)*c.Days, p.LayingPerDay*m.laying*f.Crowding*p.Spare(f.Fed)*c.Days)
	if hungry := 1 - ramp(f.Fed, 0, p.Upkeep); hungry > 0 {
		s.shrink(&f, math.Exp(-p.ShrinkPerDay*m.pace*hungry*c.Days))
	}
	s.lose(p, &f, &m)
	s.develop(p, &f, &m)
	return f
}

// met is what the places of a step do to the stock together: growth and laying as
// factors, the rest over half the step.
type met struct {
	growth, laying, pace float64
	live, stay, hold     float64 // shares alive, alive and still there, of cocoons alive
	died                 [causes]float64
	success              float64 // of the cocoons that are through
	adult, child         float64 // shares not dead of mishap
	cocoon, young, age   passing
}

// meet sums the places by the shares of worms and cocoons in them.
func (p *Parameters) meet(c *Conditions, days float64) met {
	var m met
	hatching := 0.0
	dies, hold := -1.0, 0.0 // of the cocoons of the place before, and what is alive: most places are alike
	for i := range c.Places {
		at := &c.Places[i]
		if at.Share > 0 {
			suits := p.Moisture(at.Water) * p.Oxygen(at.Oxygen)
			m.growth += at.Share * p.Growth(at.TempC) * suits
			m.laying += at.Share * p.LayingFactor(at.TempC) * suits
			m.pace += at.Share * p.pace(at.TempC)
			rates := p.Death(*at)
			sum := 0.0
			for _, r := range rates {
				sum += r
			}
			alive := 1.0
			if sum > 0 {
				alive = math.Exp(-sum * days)
				for k, r := range rates {
					m.died[k] += at.Share * (1 - alive) * r / sum
				}
			}
			m.live += at.Share * alive
			stay := 1.0
			if leave := p.Leaving(*at); leave > 0 {
				stay = math.Exp(-leave * days)
			}
			m.stay += at.Share * alive * stay
		}
		if at.CocoonShare > 0 {
			h := p.Hatching(at.TempC)
			hatching += at.CocoonShare * h
			m.success += at.CocoonShare * h * p.HatchSuccess(at.TempC)
			if die := p.deathOfCocoons(*at); die != dies {
				dies, hold = die, math.Exp(-die*days)
			}
			m.hold += at.CocoonShare * hold
		}
	}
	if hatching > 0 {
		m.success /= hatching
	}
	m.adult, m.child = math.Exp(-p.AdultDeath*days), math.Exp(-p.YoungDeath*m.pace*days)
	m.cocoon.set(hatching * cocoonSteps * days)
	m.young.set(m.growth / p.MaturationDay * youngSteps * days)
	m.age.set(adultSteps / p.LifeDays * days)
	return m
}

// passing is the law by which single ones pass the steps of a chain: at a steady
// rate the number of steps passed is Poisson's, whatever the length of time.
type passing struct {
	mean float64              // steps passed on average
	part [cocoonSteps]float64 // shares that pass none, one, two
	most int                  // no more than so many are passed by any that count
}

func (w *passing) set(mean float64) {
	w.mean = mean
	w.part[0] = math.Exp(-mean)
	for k := 1; k < len(w.part); k++ {
		w.part[k] = w.part[k-1] * mean / float64(k)
		if w.part[k] < 1e-20 {
			w.part[k] = 0
			break
		}
		w.most = k
	}
}

// move carries numbers along a chain and gives how many came out of its end.
func (w *passing) move(chain []float64) float64 {
	before, after := 0.0, 0.0
	for j := len(chain) - 1; j >= 0; j-- {
		v := 0.0
		for k := 0; k <= min(j, w.most); k++ {
			v += w.part[k] * chain[j-k]
		}
		before += chain[j]
		chain[j] = v
		after += v
	}
	return max(0, before-after)
}

// grow makes worm out of feed, limited by what a kilogram of feed can become: by
// is growth as days of it at 25 C, lay the cocoons of each adult.
func (s *Stock) grow(p *Parameters, f *Flows, c *Conditions, by, lay float64) {
	var young [youngSteps]float64
	sum := 0.0
	for i, n := range s.Young {
		young[i] = p.heavier(n, s.YoungKg[i], by)
		sum += young[i]
	}
	adult := p.heavier(s.Adults, s.AdultKg, by)
	if s.Adults > 0 {
		lay *= ramp(s.AdultKg*1e3/s.Adults, 0.6*p.MatureG, p.MatureG) * s.Adults
	} else {
		lay = 0
	}
	sum += adult + lay*p.CocoonG*1e-3
	if sum <= 0 {
		return
	}
	part := 1.0
	if c.AreaM2 > 0 && f.Crowding > 0 { // as crowded as they are midway
		midway := p.Crowding((s.LiveKg() + sum/2) / c.AreaM2)
		part, f.Crowding = midway/f.Crowding, midway
	}
	part = min(part, p.TissueYield*c.EatenKgDry/(sum*p.DryFrac))
	for i := range young {
		s.YoungKg[i] += young[i] * part
	}
	s.AdultKg += adult * part
	f.Laid = lay * part
	s.Cocoon[0] += f.Laid
	f.Grown = sum * part
	s.sum()
}

// heavier gives what n worms of a mass together [kg] would put on [kg].
func (p *Parameters) heavier(n, kg, by float64) float64 {
	if n <= 0 || kg <= 0 || by <= 0 {
		return 0
	}
	m := kg * 1e3 / n
	return max(0, n*(p.grown(m, by)-m)*1e-3)
}

func (s *Stock) shrink(f *Flows, keep float64) {
	f.Shrunk = s.LiveKg() * (1 - keep)
	s.AdultKg *= keep
	for i := range s.YoungKg {
		s.YoungKg[i] *= keep
	}
	s.sum()
}

// lose takes out what died and what left. Deaths of mishap fall on what the
// places have left alive; the young die at the pace at which they live.
func (s *Stock) lose(p *Parameters, f *Flows, m *met) {
	all := s.LiveKg()
	for k := range m.died {
		f.Died[k] += all * m.died[k]
	}
	f.Died[Age] += m.live * (s.AdultKg*(1-m.adult) + s.JuvenileKg*(1-m.child))
	f.Left += (m.live - m.stay) * (s.AdultKg*m.adult + s.JuvenileKg*m.child)
	f.CocoonsDied += s.Cocoons * (1 - m.hold) * p.CocoonG * 1e-3
	s.AdultKg *= m.stay * m.adult
	for i := range s.Aged {
		s.Aged[i] *= m.stay * m.adult
	}
	for i := range s.Young {
		s.Young[i] *= m.stay * m.child
		s.YoungKg[i] *= m.stay * m.child
	}
	for i := range s.Cocoon {
		s.Cocoon[i] *= m.hold
	}
	s.sum()
}

// develop moves cocoons, juveniles and adults along their steps. A juvenile at the
// last step matures when it weighs enough; an adult past its last step dies of
// age; what a hatching cocoon holds beyond its young is lost.
func (s *Stock) develop(p *Parameters, f *Flows, m *met) {
	if s.Adults > 0 {
		old := m.age.move(s.Aged[:])
		kg := min(1, old/s.Adults) * s.AdultKg
		s.AdultKg -= kg
		f.Died[Age] += kg
	}
	s.mature(p, f, m.young.mean/2)
	const last = youngSteps - 1
	n, kg := m.young.move(s.Young[:]), m.young.move(s.YoungKg[:])
	s.Young[last] += n // they wait there until they weigh enough
	s.YoungKg[last] += kg
	s.mature(p, f, m.young.mean/2)

	out := m.cocoon.move(s.Cocoon[:])
	young := out * m.success * p.YoungPer
	kg = min(young*p.HatchlingG, out*p.CocoonG) * 1e-3
	s.Young[0] += young
	s.YoungKg[0] += kg
	f.Hatched += young
	f.CocoonsDied += out*p.CocoonG*1e-3 - kg
	s.sum()
}

// weighs gives the share of young of a mean mass [g] that weigh as much as an
// adult must. model.md (W5)
func (p *Parameters) weighs(m float64) float64 {
	if m <= 0 {
		return 0
	}
	return 1 / (1 + math.Pow(p.MatureG/m, massShape))
}

// massShape is of a log-logistic spread of masses of alike young by a quarter
// (pi/(0.25 sqrt 3) = 7.3, as growth itself is good to a quarter).
const massShape = 7.3

// mature makes adults of those at the last step of the young that weigh enough, at
// the rate of the chain.
func (s *Stock) mature(p *Parameters, f *Flows, steps float64) {
	const last = youngSteps - 1
	if s.Young[last] <= 0 {
		return
	}
	ready := -math.Expm1(-steps * p.weighs(s.YoungKg[last]*1e3/s.Young[last]))
	n, kg := s.Young[last]*ready, s.YoungKg[last]*ready
	s.Young[last] -= n
	s.YoungKg[last] -= kg
	s.Aged[0] += n
	s.AdultKg += kg
	f.Matured += n
}

// sum brings what adds up of single steps.
func (s *Stock) sum() {
	s.JuvenileKg, s.Cocoons, s.Adults = 0, 0, 0
	for _, kg := range s.YoungKg {
		s.JuvenileKg += kg
	}
	for _, n := range s.Cocoon {
		s.Cocoons += n
	}
	for _, n := range s.Aged {
		s.Adults += n
	}
}
