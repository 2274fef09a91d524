package twin

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wormyard/bed"
	"wormyard/chance"
)

// News is what one thing found did to the twins of a bin.
type News struct {
	Found
	Bin      string
	Expected []float64 // by member before, in the measure in which it was taken in: of gases, worms and air for smells the natural log
	Told     float64   // the same of what was found; of a word, what a number would be that says as much
	SD       float64   // its error, with that of the one place for the whole
	Believed bool      // false where it lies so far off that something must be wrong with it
	Before   Range     // what the members said of it,
	After    Range     // and what they say after it
}

// Lesson gives what the news teaches of nature; false where it teaches nothing. Of
// a temperature or a moisture it matters how deep it was read, to ten centimetres.
func (n *News) Lesson() (Lesson, bool) {
	what := string(n.Kind)
	if n.Kind == Temperature || n.Kind == Moisture {
		what = fmt.Sprintf("%s, %d", n.Kind, int(n.DepthM*10))
	}
	return Lesson{Bin: n.Bin, Hour: n.Hour, What: what, Expected: n.Expected, Told: n.Told, SD: n.SD}, n.Believed && !math.IsInf(n.SD, 1)
}

// FarFetched says whether what was found lies so far from what the members expected
// that it counted only in part. docs/model.md (T6).
func (n *News) FarFetched() bool {
	noise := square(n.SD)
	return newUpdate(n.Expected, n.Told, noise).noise > noise
}

// Watch has the crew tell of everything found that it takes in; nil ends it.
func (c *Crew) Watch(to func(News)) { c.told = to }

// sight is one thing found as the filter takes it in.
type sight struct {
	of       func(m *Member) float64
	told     float64
	variance float64   // of the error
	bounds   []float64 // of the classes, for a word
	class    int
	depth    float64 // below the surface; NaN where it is of the whole bed
}

// take takes one thing found in: each part of it moves the members. docs/model.md (T5) to (T7).
func (c *Crew) take(e *Ensemble, box bed.Box, f Found) {
	switch f.Kind {
	case Unremarked:
		c.unremarked(e, box, Visiting(f.Word))
		return
	case Unfelt:
		c.unfelt(e, box, Visiting(f.Word))
		return
	}
	if f.Kind == Weighed && c.weighedFirst(e, box, f.Value) {
		return
	}
	for _, s := range c.sights(e, box, f) {
		before := e.each(s.of)
		mean, variance := moments(before)
		if !(variance > 0) || math.IsNaN(mean) || math.IsInf(mean, 0) || math.IsNaN(s.told) {
			continue
		}
		news := News{Found: f, Bin: e.Bin, Expected: before, Told: s.told, SD: math.Sqrt(s.variance), Believed: true, Before: RangeOf(slices.Clone(before))}
		if s.bounds != nil {
			news.Told, news.SD, news.Believed = asNumber(mean, variance, s, c.P.Broken)
		} else {
			news.Believed = math.Abs(s.told-mean) < c.P.Broken*math.Sqrt(variance+s.variance)
		}
		if news.Believed && news.SD < math.Inf(1) {
			moved := c.move(e, box, f.Kind, before, news.Told, square(news.SD), s.depth)
			if f.Kind == Temperature {
				c.rewarm(e, moved)
			}
		}
		if c.told != nil {
			news.After = e.Over(s.of)
			c.told(news)
		}
	}
}

// weighedFirst has the first weighing of a bin tell what it weighs without its bed.
func (c *Crew) weighedFirst(e *Ensemble, box bed.Box, kg float64) bool {
	first := false
	for m := range e.Members {
		if b := &e.Members[m]; math.IsNaN(b.Tare) {
			b.Tare, first = kg-weight(&b.State)*box.Area(), true
		}
	}
	return first
}

// weight gives the wet mass of a bed [kg/m2].
func weight(s *bed.State) float64 {
	var kg float64
	for i := range s.Layers {
		kg += s.Layers[i].Dry() + s.Layers[i].Water + s.Layers[i].Ice
	}
	return kg
}

// sights gives the parts of what was found. docs/model.md (T5).
func (c *Crew) sights(e *Ensemble, box bed.Box, f Found) []sight {
	p := &c.P
	ln := func(v, least float64) float64 { return math.Log(math.Max(v, least)) }
	whole := math.NaN()
	signs := func(of func(s Signs) float64) func(*Member) float64 {
		return func(m *Member) float64 { return of(seen(&m.State, box)) }
	}
	air := signs(func(s Signs) float64 { return ln(s.Oxygen, 1e-4) })
	sharp := func(m *Member) float64 { return ln(c.sharpest(m, box), 1e-3) }
	word := func(words []string, of func(*Member) float64, sd, depth float64, bounds ...float64) []sight {
		i := slices.Index(words, f.Word)
		if i < 0 {
			return nil
		}
		return []sight{{of: of, variance: square(sd), bounds: bounds, class: i, depth: depth}}
	}
	deep := e.mean(func(m *Member) float64 { return height(&m.State) })
	switch f.Kind {
	case Temperature:
		of := func(m *Member) float64 {
			return Through(&m.State, f.DepthM, func(l *bed.Layer) float64 { return l.TempC })
		}
		slope := e.mean(func(m *Member) float64 { return steepness(&m.State, f.DepthM) })
		sd := cmp.Or(f.SD, p.ProbeSD)
		return []sight{{of: of, told: f.Value, variance: square(sd) + square(p.SpotC) + square(slope*p.DepthSD), depth: f.DepthM}}
	case Moisture:
		of := func(m *Member) float64 { return Through(&m.State, f.DepthM, (*bed.Layer).WaterOfWet) }
		return []sight{{of: of, told: f.Value, variance: square(cmp.Or(f.SD, p.ProbeWaterSD)) + square(p.SpotWater), depth: f.DepthM}}
	case Oxygen:
		of := func(m *Member) float64 {
			return ln(Through(&m.State, f.DepthM, func(l *bed.Layer) float64 { return l.Oxygen }), 1e-4)
		}
		return []sight{{of: of, told: ln(f.Value, 1e-4), variance: square(p.GasSD), depth: f.DepthM}}
	case Ammonia:
		return []sight{{of: sharp, told: ln(f.Value, 1e-3), variance: square(p.GasSD), depth: f.DepthM}}
	case Height:
		return []sight{{of: func(m *Member) float64 { return height(&m.State) }, told: f.Value, variance: 2 * square(p.DepthSD), depth: whole}}
	case Weighed:
		of := func(m *Member) float64 { return m.Tare + weight(&m.State)*box.Area() }
		return []sight{{of: of, told: f.Value, variance: square(p.WeightSD * f.Value), depth: whole}}
	case WormsKg:
		of := signs(func(s Signs) float64 { return ln(s.KgM2, 1e-3) })
		return []sight{{of: of, told: ln(f.Value, 1e-3), variance: square(p.CountSD), depth: whole}}
	case WormsNumber:
		of := func(m *Member) float64 {
			return ln((m.State.Worms.Adults+m.State.Worms.Juveniles())/box.Area(), 1)
		}
		if f.Word != "" { // who counts is no broken instrument: it is taken as far off as anything is
			mean, variance := moments(e.each(of))
			farthest := mean - unlikely*math.Sqrt(variance+square(p.CountSD))
			return word([]string{NoneFound}, of, p.CountSD, whole, math.Max(ln(f.Value, 1), farthest))
		}
		return []sight{{of: of, told: ln(f.Value, 1), variance: square(p.CountSD), depth: whole}}
	case Squeezed:
		return word(squeezes, signs(func(s Signs) float64 { return s.Water }), p.SqueezeSD, deep/6, p.squeezeEnds()...)
	case FeedLeft:
		return word([]string{"gone", "some", "most"}, func(m *Member) float64 { return LeftOfLast(&m.State) }, p.FeedSD, deep/6, p.FeedGone, p.FeedSome)
	case WormsSeen:
		return word([]string{"few", "usual", "many"}, signs(func(s Signs) float64 { return ln(s.KgM2, 1e-3) }), p.WormsSD, whole, math.Log(p.WormsFew), math.Log(p.WormsMany))
	case Smell:
		sour, rotten, bites := []float64{math.Log(p.SourOxygen)}, []float64{math.Log(p.RottenOxygen)}, []float64{math.Log(p.AmmoniaPPM)}
		v := square(p.SmellSD)
		switch f.Word {
		case "none", "earth":
			return []sight{{of: air, variance: v, bounds: sour, class: 1, depth: whole}, {of: sharp, variance: v, bounds: bites, class: 0, depth: whole}}
		case "sour":
			return []sight{{of: air, variance: v, bounds: sour, class: 0, depth: whole}}
		case "rotten":
			return []sight{{of: air, variance: v, bounds: rotten, class: 0, depth: whole}}
		case "ammonia":
			return []sight{{of: sharp, variance: v, bounds: bites, class: 1, depth: whole}}
		}
	case Where:
		if f.Word == "lid" || f.Word == "sides" { // they leave what they cannot bear
			return []sight{{of: air, variance: square(p.WhereSD), bounds: []float64{math.Log(p.SourOxygen)}, class: 0, depth: whole}}
		}
	}
	return nil
}

// each gives a value of every member.
func (e *Ensemble) each(of func(*Member) float64) []float64 {
	out := make([]float64, len(e.Members))
	for m := range e.Members {
		out[m] = of(&e.Members[m])
	}
	return out
}

// mean gives the mean over the members.
func (e *Ensemble) mean(of func(*Member) float64) float64 {
	var sum float64
	for m := range e.Members {
		sum += of(&e.Members[m])
	}
	return sum / float64(len(e.Members))
}

// Through gives a quantity of the layers at a depth below the surface, straight
// between the middles of the layers; beyond the outermost it is theirs, NaN of an
// empty bed.
func Through(s *bed.State, depthM float64, of func(*bed.Layer) float64) float64 {
	var top, lastAt float64
	last, any := math.NaN(), false
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		if l.DepthM <= 0 || l.Dry() <= 0 {
			continue
		}
		at, v := top+l.DepthM/2, of(l)
		if at >= depthM {
			if !any {
				return v
			}
			return last + (v-last)*(depthM-lastAt)/(at-lastAt)
		}
		last, lastAt, any = v, at, true
		top += l.DepthM
	}
	return last
}

// steepness gives how the temperature changes with depth at one [K/m].
func steepness(s *bed.State, depthM float64) float64 {
	const d = 0.025
	temp := func(l *bed.Layer) float64 { return l.TempC }
	g := (Through(s, depthM+d, temp) - Through(s, math.Max(depthM-d, 0), temp)) / (2 * d)
	if math.IsNaN(g) {
		return 0
	}
	return g
}

// asNumber gives the measured number, with its error, that tells as much of a
// normal quantity as a word does: the one after which mean and variance are those
// that the word's class, a probit, leaves. A word that is most unlikely counts as
// the bound of its class; one beyond so many spreads as are broken is not believed.
// docs/model.md (T5).
func asNumber(mean, variance float64, s sight, broken float64) (told, sd float64, believed bool) {
	all := math.Sqrt(variance + s.variance)
	low, high := math.Inf(-1), math.Inf(1)
	if s.class > 0 {
		low = (s.bounds[s.class-1] - mean) / all
	}
	if s.class < len(s.bounds) {
		high = (s.bounds[s.class] - mean) / all
	}
	switch {
	case !(low < broken && high > -broken):
		return mean, math.Inf(1), false
	case low > unlikely:
		return mean + low*all, math.Sqrt(s.variance), true
	case high < -unlikely:
		return mean + high*all, math.Sqrt(s.variance), true
	}
	z := chance.NormalLower(high) - chance.NormalLower(low)
	if !(z > 0) {
		return mean, math.Inf(1), true
	}
	at := func(x float64) (density, times float64) {
		if math.IsInf(x, 0) {
			return 0, 0
		}
		d := math.Exp(-x*x/2) / math.Sqrt(2*math.Pi)
		return d, x * d
	}
	dl, xl := at(low)
	dh, xh := at(high)
	shift := (dl - dh) / z
	spread := 1 + (xl-xh)/z - shift*shift
	gain := variance / all
	after := variance - square(gain)*(1-spread)
	if after >= variance*(1-1e-9) {
		return mean, math.Inf(1), true
	}
	after = math.Max(after, 1e-6*variance)
	noise := variance * after / (variance - after)
	return mean + gain*shift*(variance+noise)/variance, math.Sqrt(noise), true
}

// unlikely is how many spreads from what is expected a class begins that counts as
// its bound.
const unlikely = 3.5

// move takes a measured number in: every coordinate of the members moves by its
// regression on what the members expected of the number, as far as that is more
// than chance among so few, less with the distance in depth; its spread falls as
// Kalman's rule says, and a part of what it lost is given back. It gives by how much
// the mean of what was expected moves. docs/model.md (T6), (T7).
func (c *Crew) move(e *Ensemble, box bed.Box, kind Kind, expected []float64, told, noise, depth float64) float64 {
	u := newUpdate(expected, told, noise)
	x := &c.space
	x.read(e)
	for k := range x.of {
		if x.water(k) && !kind.wets() {
			continue
		}
		v := x.of[k].by
		near := 1.0
		if !math.IsNaN(depth) && !math.IsNaN(x.of[k].depth) {
			near = taper(math.Abs(x.of[k].depth-depth), c.P.Reach)
		}
		_, before := moments(v)
		if !u.move(v, near) {
			continue
		}
		middle, after := moments(v)
		if after > 0 && after < before {
			wider := 1 + c.P.Relax*(math.Sqrt(before/after)-1)
			if least := c.P.least(k-len(x.layers)*ofLayer) / math.Sqrt(after); wider < least {
				wider = math.Min(least, math.Sqrt(before/after))
			}
			for m := range v {
				v[m] = middle + (v[m]-middle)*wider
			}
		}
	}
	x.write(c, e, box)
	return u.gap * u.variance / (u.variance + u.noise)
}

// rewarm takes a part of what a reading moved the temperature by [K] for a standing
// error of the heat that stays in the bed: as much as would make that up in
// HeatDays at what its matter warms it by now. All members move alike; day after
// day corrections of one sign add up, where the spread of the members, which each
// of them takes down, would no more tell it. docs/model.md (T19).
func (c *Crew) rewarm(e *Ensemble, moved float64) {
	perDay := 24 * e.mean(func(m *Member) float64 { return warming(&m.State) })
	step := moved / (c.P.HeatDays * math.Max(perDay, c.P.HeatLeast))
	step = min(max(step, -mostStep), mostStep)
	for m := range e.Members {
		s := &e.Members[m].State
		share := math.Exp(s.HeatLn) / mostHeat
		s.HeatLn = math.Log(mostHeat * expit(logit(share)+step/(1-usualHeat/mostHeat)))
	}
}

const (
	mostStep  = 0.1 // of the heat that stays in a bed that one reading moves, natural log
	usualHeat = 1.0 // about which a step in natural log is one
)

// warming gives by how much the heat of what rots warms a bed, loss left out [K/h].
func warming(s *bed.State) float64 {
	var sum, deep float64
	for i := range s.Layers {
		l := &s.Layers[i]
		sum, deep = sum+l.Warming*l.DepthM, deep+l.DepthM
	}
	if deep <= 0 {
		return 0
	}
	return sum / deep
}

// least gives the spread that a number of the bin keeps at least, whatever was
// found; 0 of what moves by itself and parts the members again. docs/model.md (T7).
func (p *Parameters) least(number int) float64 {
	switch number {
	case amountLn:
		return p.LeastSpread * p.AmountBiasSD
	case airC:
		return p.LeastSpread * p.AirSD
	case wetLn:
		return p.LeastSpread * p.MoistureSD
	case stockLn:
		return p.LeastSpread * p.StockSD
	case freshLn:
		return p.LeastSpread * math.Log(p.FreshHigh/p.FreshLow) / (2 * z90)
	case unwritten, heat:
		return p.LeastSpread // of the logit, which was drawn with about one, or a little less
	}
	return 0
}

// taper is the fifth-order function of Gaspari and Cohn (1999), equation 4.10: 1
// at no distance, 0 from reach on. docs/model.md (T6).
func taper(distance, reach float64) float64 {
	r := distance / (reach / 2)
	switch {
	case r <= 1:
		return 1 + r*r*(-5.0/3+r*(5.0/8+r*(0.5-0.25*r)))
	case r < 2:
		return math.Max(0, 4-2/(3*r)+r*(-5+r*(5.0/3+r*(5.0/8+r*(-0.5+r/12)))))
	}
	return 0
}
