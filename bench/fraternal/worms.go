package fraternal

import "math"

// stock is the worms of a bin: cohorts that hatched together, and cocoons.
type stock struct {
	cohorts []cohort
	cocoons []clutch
	gain    float64 // young waiting to be a cohort of their own
	breath  float64 // oxygen used [m3/s]
	dead    float64 // live mass died since the bin was made [kg]
}

// cohort are worms of one age.
type cohort struct {
	n     float64
	g     float64 // mass of one
	best  float64 // the most it has weighed
	lived float64 // age [days at 25 C]
}

// clutch are cocoons of one week, in three parts that need less and more warmth.
type clutch struct {
	n    [3]float64
	warm float64 // [C day] over 5.13
}

// Masses of worms: a hatchling weighs 4 mg, a cocoon 14 mg (V&R88); a sixth of a
// worm and a fifth of a cocoon is dry.
const (
	newbornG  = 0.004
	cocoonG   = 0.0143
	wormDry   = 0.17
	cocoonDry = 0.20
	grownG    = 0.25 // mass at maturity (J14)
	grownAge  = 42   // days at 25 C
	hatchSum  = 421  // [C day] over hatchFrom
	hatchFrom = 5.13
)

func (s *stock) live() float64 {
	sum := 0.0
	for _, c := range s.cohorts {
		sum += c.n * c.g
	}
	return sum / 1000
}

func (s *stock) eggs() float64 {
	sum := 0.0
	for _, c := range s.cocoons {
		sum += c.n[0] + c.n[1] + c.n[2]
	}
	return sum
}

// dry is the dry matter of all [kg].
func (s *stock) dry() float64 { return s.live()*wormDry + s.eggs()*cocoonG/1000*cocoonDry }

// water is that of all [kg].
func (s *stock) water() float64 {
	return s.live()*(1-wormDry) + s.eggs()*cocoonG/1000*(1-cocoonDry)
}

// put brings worms in, mixed as in a bed that does well.
func (b *bin) put(kg float64) {
	was, wet := b.worms.dry(), b.worms.water()
	for _, c := range []struct{ share, g, age float64 }{{0.08, 0.06, 20}, {0.22, 0.2, 40}, {0.4, 0.42, 90}, {0.3, 0.55, 200}} {
		b.worms.cohorts = append(b.worms.cohorts, cohort{kg * 1000 * c.share / c.g, c.g, c.g, c.age})
	}
	b.book.dryIn += b.worms.dry() - was
	b.book.waterIn += b.worms.water() - wet
}

// part takes a share of the worms and another of the cocoons out.
func (s *stock) part(worms, eggs float64) stock {
	var out stock
	for i := range s.cohorts {
		c := s.cohorts[i]
		c.n *= worms
		s.cohorts[i].n -= c.n
		out.cohorts = append(out.cohorts, c)
	}
	for i := range s.cocoons {
		c := s.cocoons[i]
		for j := range c.n {
			c.n[j] *= eggs
			s.cocoons[i].n[j] -= c.n[j]
		}
		out.cocoons = append(out.cocoons, c)
	}
	return out
}

// place is how worms find the bed: where they are, by row, and what that is like.
type place struct {
	at     []float64 // share in each row
	c      float64   // temperature lived at
	alive  float64   // speed of life against 25 C
	laying float64
	moist  float64 // 0 to 1
	air    float64 // 0 to 1
	feed   float64 // what can be eaten there [kg dry]
	rich   float64 // its quality
	heat   float64 // hazard [1/day]
}

// settle places worms where it is mild, moist and fed.
func (b *bin) settle() place {
	p := place{at: make([]float64, len(b.rows))}
	sum := 0.0
	b.edibleNow = b.edibleNow[:0]
	for i := range b.rows {
		r := &b.rows[i]
		e := r.om * r.edible()
		b.edibleNow = append(b.edibleNow, e)
		wet := r.wet()
		moist := 1 / (1 + math.Exp(-(wet-0.63)/0.045)) * min(1, max(0, (0.96-wet)/0.08))
		air := r.oxygen / (r.oxygen + 0.02)
		d := r.deep()
		likes, speed, lay, warm, hazard := 0.0, 0.0, 0.0, 0.0, 0.0
		for x := range r.t {
			c := r.t[x]
			y := (c - 21) / 7
			l := math.Exp(-y*y/2) + 1e-4*math.Exp(-math.Abs(y))
			if r.ice[x] > 0 {
				l *= 0.02
			}
			likes += l
			speed += l * lively(c)
			lay += l * amorous(c)
			warm += l * c
			hazard += l * deadly(c, r.ice[x] > 0)
		}
		q := r.quality()
		fresh := e * q * q * q // they follow fresh feed
		food := 0.06 + fresh/(fresh+0.6+0.2*b.worms.live())
		w := d * likes * (0.02 + moist*moist) * (0.02 + air*air) * food
		p.at[i] = w
		sum += w
		p.c += w * warm / likes
		p.alive += w * speed / likes
		p.laying += w * lay / likes
		p.heat += w * hazard / likes
		p.moist += w * moist
		p.air += w * air
	}
	for _, v := range []*float64{&p.c, &p.alive, &p.laying, &p.moist, &p.air, &p.heat} {
		*v /= sum
	}
	for i := range b.rows {
		p.at[i] /= sum
		reach := b.reach(&p, i)
		p.feed += b.edibleNow[i] * reach
		p.rich += b.edibleNow[i] * reach * math.Sqrt(min(1, b.rows[i].quality()))
	}
	if p.feed > 0 {
		p.rich /= p.feed
	}
	return p
}

// reach is how much of what can be eaten in a row is within reach: where worms
// are thin, little is.
func (b *bin) reach(p *place, i int) float64 {
	x := p.at[i] * float64(len(b.rows))
	return x * x / (x*x + 0.5)
}

// deadly is the hazard of a temperature [1/day]: life lies between about 34 and
// 98 F (common practice, no source), freezing kills.
func deadly(c float64, ice bool) float64 {
	h := 0.0
	if c > 32 {
		h += min(20, 0.01*math.Expm1((c-32)/1.1))
	}
	if c < 1.5 {
		h += 0.01 * (1.5 - c)
	}
	if ice {
		h += 0.1
	}
	return h
}

// day is a day of the worms of a bin.
func (s *stock) day(b *bin) {
	if len(b.rows) == 0 {
		return
	}
	n := &b.n
	p := b.settle()
	wasDry, wasWater := s.dry(), s.water()
	stockM2 := s.live() / area
	fit := math.Min(p.moist/0.9, 1) * math.Min(p.air/0.8, 1)

	// Eating: what they want, against what there is.
	want := 0.0
	for _, c := range s.cohorts {
		want += c.n * n.eats * math.Pow(c.g, 2.0/3) / 1000
	}
	want *= p.alive * fit
	share := 0.0
	if want > 0 {
		share = p.feed / (p.feed + 0.30*s.live() + 0.15)
		share = min(share, 0.25*p.feed/want)
	}
	eaten := want * share

	// Living: upkeep first, then cocoons, then growth (energy as in J14, by the gram).
	upkeep := math.Exp(0.6 / boltzmann * (1/293.15 - 1/(p.c+273.15)))
	laid, dead := 0.0, 0.0
	for i := range s.cohorts {
		c := &s.cohorts[i]
		if c.n <= 0 {
			continue
		}
		ate := n.eats * math.Pow(c.g, 2.0/3) * p.alive * fit * share // [g/day]
		power := ate * 10.6 * 0.32 * p.rich                          // [kJ/day]
		power -= 0.048 * math.Pow(c.g, 0.75) * upkeep
		c.lived += p.alive
		hazard := n.death * (0.35 + p.alive) * (1 + stockM2/12)
		if c.g < 0.1 {
			hazard = n.infant * (0.25 + p.alive) * (1 + stockM2/5)
		}
		if power < 0 {
			c.g += power / 7
		} else {
			if c.g >= grownG && c.lived >= grownAge {
				most := n.lays * p.laying * fit / (1 + math.Pow(stockM2/n.crowd, 2))
				cost := cocoonG * 10.6
				m := min(most, power*0.5/cost)
				laid += c.n * m
				power -= m * cost
			}
			grow := n.gains * p.alive * fit * (math.Cbrt(n.largest)*math.Pow(c.g, 2.0/3) - c.g) / (1 + stockM2/25)
			c.g += min(max(grow, 0), power/10.6)
		}
		c.best = max(c.best, c.g)
		if c.g < 0.6*c.best {
			hazard += 0.06 * (0.6 - c.g/c.best) / 0.1
			c.g = max(c.g, 0.25*c.best)
		}
		hazard += p.heat
		if p.moist < 0.3 {
			hazard += 0.05 * (0.3 - p.moist)
		}
		if p.air < 0.4 {
			hazard += 0.15 * (0.4 - p.air) * (0.1 + p.alive)
		}
		gone := c.n * -math.Expm1(-hazard)
		c.n -= gone
		dead += gone * c.g / 1000
		if p.c > 25 { // the hazard of temperature is that of heat, not of frost
			b.f.Tally.HeatDeadKg += gone * c.g / 1000 * p.heat / hazard
		}
	}
	s.dead += dead
	s.breed(laid, n.hatch, p)

	s.breath = s.live() * 0.2e-3 / 3600 * 1000 / 1.33 / 1000 * p.alive // 0.2 mg O2 a gram and hour

	// The books: castings are most of what was eaten; the rest is worm and gas.
	lumps := 0.0
	for i := range b.rows {
		lumps += b.edibleNow[i] * b.reach(&p, i)
	}
	grown := s.dry() - wasDry + dead*wormDry
	worked := min(0.86*eaten, max(0, eaten-grown))
	for i := range b.rows {
		r := &b.rows[i]
		if lumps <= 0 || r.om <= 0 {
			continue
		}
		e := min(eaten*b.edibleNow[i]*b.reach(&p, i)/lumps, r.om)
		ash := r.ash * e / r.om
		c := e * worked / max(eaten, 1e-12)
		r.castLate = (r.cast*r.castLate + c*r.late) / max(r.cast+c, 1e-12)
		b.shift(r, -e, c)
		r.ash -= ash
		r.cash += ash
		b.worked += c + ash
	}
	top := &b.rows[0]
	for i := range b.rows { // the dead lie where most were
		if p.at[i] > p.at[0] {
			top = &b.rows[i]
			break
		}
	}
	b.shift(top, dead*wormDry, 0)
	gas := eaten - worked - grown
	b.book.gas += gas
	b.warm(p.at, max(0, gas)*n.heatKg)
	b.pass(top, wasWater-s.water())
}

// shift changes the organic matter of a row at its own warmth.
func (b *bin) shift(r *row, om, cast float64) {
	b.book.heatIn += (om + cast) * dryHeat * r.mean()
	r.om += om
	r.cast += cast
}

// pass gives water to a row, or takes it, at its own warmth.
func (b *bin) pass(r *row, kg float64) {
	b.book.heatIn += kg * waterHeat * r.mean()
	r.water += kg
}

// warm spreads heat over the rows by shares.
func (b *bin) warm(at []float64, j float64) {
	for i := range b.rows {
		r := &b.rows[i]
		for x := range r.t {
			r.t[x] += j * at[i] / columns / r.store(x)
		}
	}
	b.book.heatOfRot += j
}

// breed lays cocoons and lets them hatch.
func (s *stock) breed(laid, hatch float64, p place) {
	k := len(s.cocoons)
	if k == 0 || s.cocoons[k-1].warm > 60 {
		s.cocoons = append(s.cocoons, clutch{})
		k++
	}
	young := &s.cocoons[k-1]
	for j, part := range []float64{0.3, 0.4, 0.3} {
		young.n[j] += laid * part
	}
	kept := s.cocoons[:0]
	for _, c := range s.cocoons {
		was := c.warm
		if p.c > 6 {
			c.warm += min(p.c, 30) - hatchFrom
		}
		for j, at := range []float64{0.72, 1, 1.28} {
			if sum := at * hatchSum; was < sum && c.warm >= sum {
				s.gain += c.n[j] * hatch
				c.n[j] = 0
			}
			if p.c > 33 || p.c < -3 {
				c.n[j] *= 0.95
			}
		}
		if c.n[0]+c.n[1]+c.n[2] > 1e-9 || c.warm < hatchSum {
			kept = append(kept, c)
		}
	}
	s.cocoons = kept
	if s.gain > 1e-9 {
		if m := len(s.cohorts); m > 0 && s.cohorts[m-1].lived < 4 && s.cohorts[m-1].g < 0.008 {
			c := &s.cohorts[m-1]
			c.g = (c.n*c.g + s.gain*newbornG) / (c.n + s.gain)
			c.n += s.gain
			c.best = max(c.best, c.g)
		} else {
			s.cohorts = append(s.cohorts, cohort{s.gain, newbornG, newbornG, 0})
		}
		s.gain = 0
	}
	s.merge()
}

// merge joins the oldest while there are more cohorts than thirty, and drops those
// that are gone.
func (s *stock) merge() {
	kept := s.cohorts[:0]
	for _, c := range s.cohorts {
		if c.n > 1e-6 {
			kept = append(kept, c)
		}
	}
	s.cohorts = kept
	for len(s.cohorts) > 30 {
		a, b := s.cohorts[0], s.cohorts[1]
		n := a.n + b.n
		s.cohorts[1] = cohort{n, (a.n*a.g + b.n*b.g) / n, (a.n*a.best + b.n*b.best) / n, (a.n*a.lived + b.n*b.lived) / n}
		s.cohorts = append(s.cohorts[:0], s.cohorts[1:]...)
	}
}
