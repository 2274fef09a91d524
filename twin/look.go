package twin

import (
	"math"
	"math/rand/v2"
	"slices"

	"wormyard/bed"
)

// Look is what hand, eye and nose found at an hour; an empty word says nothing.
// The words are those of the journal's kind look.
type Look struct {
	Hour     int64
	Squeeze  string
	FeedLeft string
	Worms    string
	Where    string
	Smell    string
}

// Signs are what a member would show to somebody who opens its bin.
type Signs struct {
	Water   float64 // of the upper third, where a hand squeezes [kg/kg wet]
	Left    float64 // of the last feeding, the share that lies unworked
	KgM2    float64 // worms under a square metre [kg live]
	Oxygen  float64 // lowest in the upper half
	Ammonia float64 // [ppm]
}

// SignsOf reads what a member would show to somebody who opens the bin.
// docs/model.md (T4).
func (c *Crew) SignsOf(m *Member, box bed.Box) Signs {
	s := &m.State
	out := Signs{Oxygen: 0.2095, KgM2: (s.Worms.AdultKg + s.Worms.JuvenileKg) / box.Area()}
	var deep, wet, water float64
	for i := range s.Layers {
		deep += s.Layers[i].DepthM
	}
	var below float64
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		if below < deep/3 {
			w := l.Water + l.Ice
			water, wet = water+w, wet+w+l.Dry()
		}
		if below < deep/2 {
			out.Oxygen = math.Min(out.Oxygen, l.Oxygen)
		}
		below += l.DepthM
	}
	if wet > 0 {
		out.Water = water / wet
	}
	out.Left = LeftOfLast(s)
	for _, p := range c.Profile(m, box) {
		out.Ammonia = math.Max(out.Ammonia, p.Ammonia)
	}
	return out
}

// LeftOfLast gives how much of the newest feeding's edible matter is unworked, 0 to 1.
// docs/model.md (T4).
func LeftOfLast(s *bed.State) float64 {
	var newest int64 = math.MinInt64
	for i := range s.Layers {
		if s.Layers[i].Feed && s.Layers[i].Laid > newest {
			newest = s.Layers[i].Laid
		}
	}
	return LeftSince(s, newest)
}

// Chance gives how likely a look is to be said of a member with these signs: a
// probit for each ordered word, their product taken as if the words came
// independently (docs/model.md (T5)).
func (p *Parameters) Chance(l Look, s Signs) float64 {
	f := 1.0
	if i := slices.Index(squeezes, l.Squeeze); i >= 0 {
		f *= between(s.Water, p.SqueezeSD, i, p.squeezeEnds()...)
	}
	if i := slices.Index([]string{"gone", "some", "most"}, l.FeedLeft); i >= 0 {
		f *= between(s.Left, p.FeedSD, i, p.FeedGone, p.FeedSome)
	}
	if i := slices.Index([]string{"few", "usual", "many"}, l.Worms); i >= 0 {
		f *= between(math.Log(math.Max(s.KgM2, 1e-3)), p.WormsSD, i, math.Log(p.WormsFew), math.Log(p.WormsMany))
	}
	airless := phi((math.Log(p.SourOxygen) - math.Log(math.Max(s.Oxygen, 1e-4))) / p.SmellSD)
	rotten := phi((math.Log(p.RottenOxygen) - math.Log(math.Max(s.Oxygen, 1e-4))) / p.SmellSD)
	sharp := phi((math.Log(math.Max(s.Ammonia, 1e-3)) - math.Log(p.AmmoniaPPM)) / p.SmellSD)
	switch l.Smell {
	case "none", "earth":
		f *= (1 - airless) * (1 - sharp)
	case "sour":
		f *= airless
	case "rotten":
		f *= rotten
	case "ammonia":
		f *= sharp
	}
	switch l.Where {
	case "lid", "sides": // they leave what they cannot bear
		f *= 0.2 + 0.8*math.Max(airless, sharp)
	}
	return f + 1e-6 // a look may be wrong outright
}

var squeezes = []string{"dry", "crumbly", "few drops", "drips", "runs"}

// squeezeEnds gives the bounds between the words of a squeeze [kg/kg wet].
func (p *Parameters) squeezeEnds() []float64 {
	return []float64{p.SqueezeDry, p.SqueezeCrumb, p.SqueezeDrops, p.SqueezeDrips}
}

// Squeeze says what a handful of a moisture [kg/kg wet] most likely does in the
// hand, in the words of a look.
func (p *Parameters) Squeeze(water float64) string {
	class := 0
	for _, end := range p.squeezeEnds() {
		if water >= end {
			class++
		}
	}
	return squeezes[class]
}

// between gives the chance that a value seen with error sd falls in class i of
// the classes that the bounds part.
func between(v, sd float64, i int, bounds ...float64) float64 {
	low, high := 0.0, 1.0
	if i > 0 {
		low = phi((bounds[i-1] - v) / sd)
	}
	if i < len(bounds) {
		high = phi((bounds[i] - v) / sd)
	}
	return math.Max(high-low, 0)
}

// phi is the standard normal distribution.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// weigh takes a look in: members are drawn anew by how well they explain it.
func (c *Crew) weigh(e *Ensemble, box bed.Box, l Look) {
	n := len(e.Members)
	w := make([]float64, n)
	for m := range e.Members {
		w[m] = math.Log(c.P.Chance(l, c.SignsOf(&e.Members[m], box)))
	}
	w = Tempered(w, c.P.LeastMembers)
	c.redraw(e, w, rand.New(rand.NewPCG(c.seed^hash(e.Bin)^0x6c6f6f6b, uint64(l.Hour)<<8|uint64(e.Looks&0xff))))
}

// Tempered gives weights that add to 1, from logs, raised to the greatest power
// of at most 1 that leaves the wanted number of members effective (1 over the
// sum of squares). docs/model.md (T6).
func Tempered(logs []float64, least float64) []float64 {
	most := slices.Max(logs)
	w := make([]float64, len(logs))
	at := func(power float64) float64 {
		var sum, square float64
		for i, l := range logs {
			w[i] = math.Exp(power * (l - most))
			sum += w[i]
		}
		for i := range w {
			w[i] /= sum
			square += w[i] * w[i]
		}
		return 1 / square
	}
	if at(1) >= least {
		return w
	}
	low, high := 0.0, 1.0
	for range 50 {
		mid := (low + high) / 2
		if at(mid) >= least {
			low = mid
		} else {
			high = mid
		}
	}
	at(low)
	return w
}

// redraw replaces the members by a systematic sample of them. A member that is
// drawn once stays as it is; its further copies are shaken, so that they part.
// What a shake changes in worms and water is a correction and not a flow.
// docs/model.md (T7).
func (c *Crew) redraw(e *Ensemble, w []float64, r *rand.Rand) {
	take := systematic(w, r.Float64())
	old := e.Clone().Members
	for k, m := range take {
		e.Members[k] = old[m]
		e.Members[k].State = *old[m].State.Clone()
		if k > 0 && take[k-1] == m {
			c.shake(&e.Members[k], r)
		}
	}
}

// systematic draws as many places as there are weights, which add to 1: those on
// which the marks (u + k)/n fall, u from 0 to 1. A weight w is drawn n w times,
// rounded down or up, and n w times on the mean over u.
func systematic(w []float64, u float64) []int {
	n := len(w)
	take := make([]int, n)
	sum, m := 0.0, 0
	for k := range n {
		at := (u + float64(k)) / float64(n)
		for m < n-1 && sum+w[m] <= at {
			sum += w[m]
			m++
		}
		take[k] = m
	}
	return take
}

// anotherDraw is how often a copy takes another set of nature's numbers and
// another share of feed unwritten, so that a look does not settle them for good.
const anotherDraw = 0.25

// shake moves a member by a part of the spreads that it was drawn with.
func (c *Crew) shake(b *Member, r *rand.Rand) {
	j := c.P.JitterSD
	b.Amount *= math.Exp(j * c.P.AmountBiasSD * r.NormFloat64())
	b.Air += j * c.P.AirSD * r.NormFloat64()
	b.Wet *= math.Exp(j * c.P.MoistureSD * r.NormFloat64())
	f := math.Exp(j * c.P.StockSD * r.NormFloat64())
	b.Stock *= f
	b.State.Worms = b.State.Worms.Times(f, f)
	wet := math.Exp(j * c.P.MoistureSD * r.NormFloat64())
	for i := range b.State.Layers {
		b.State.Layers[i].Water *= wet
	}
	if r.Float64() < anotherDraw {
		b.Draw = r.IntN(len(c.epochs[0].Numbers))
		b.Unwritten = min(draw(c.P.unwritten(), r.NormFloat64()), mostUnwritten)
	}
}
