package twin

import (
	"cmp"
	"math"
	"slices"

	"wormyard/bed"
	"wormyard/chance"
)

// Measure is something that a person can do to learn more of a bed.
type Measure string

// The measures.
const (
	Stab     Measure = "stab"  // a thermometer
	Glance   Measure = "look"  // squeeze, feed left, worms seen
	Rule     Measure = "depth" // the height of the bed
	Counting Measure = "count" // worms of one sample, weighed
)

// Deciding is what decides a round.
type Deciding string

// What decides.
const (
	LeftNow    Deciding = "feed left"
	WarmestNow Deciding = "warmest"
	WormsNow   Deciding = "worms"
)

// Help is what one measure on a bed is expected to tell.
type Help struct {
	What    Measure  `json:"what"`
	DepthM  float64  `json:"depth_m,omitempty"` // of a stab
	Minutes float64  `json:"minutes"`
	Worth   float64  `json:"worth"`  // sum over what decides of the spread it takes away, in parts of what matters
	Of      Deciding `json:"of"`     // what it tells most of
	Before  float64  `json:"before"` // standard deviation of that: of a share, in C, of the natural log
	After   float64  `json:"after"`  // expected after it
}

// PerMinute gives the worth for each minute.
func (h *Help) PerMinute() float64 {
	if !(h.Minutes > 0) {
		return 0
	}
	return h.Worth / h.Minutes
}

// Minutes is how long each measure takes at one bin [min].
type Minutes map[Measure]float64

// stabDepths are how deep a stab is tried [m]: four, eight and twelve inches.
var stabDepths = []float64{0.1016, 0.2032, 0.3048}

// Helps gives what each measure is expected to tell of a bed now, that which tells
// most in a minute first; what tells nothing is left out. Dial is the error of the
// thermometer [C]. docs/model.md (T21).
func (c *Crew) Helps(e *Ensemble, box bed.Box, dial float64, takes Minutes) []Help {
	deep := e.mean(func(m *Member) float64 { return height(&m.State) })
	decides := c.decides(e)
	var out []Help
	try := func(what Measure, depth float64, found ...Found) {
		h := c.help(e, box, decides, found)
		h.What, h.DepthM, h.Minutes = what, depth, takes[what]
		if h.Worth > 0 && h.Minutes > 0 {
			out = append(out, h)
		}
	}
	for _, depth := range stabDepths {
		if depth < deep {
			try(Stab, depth, Found{Kind: Temperature, DepthM: depth, SD: dial})
		}
	}
	try(Glance, 0, Found{Kind: Squeezed, Word: squeezes[0]}, Found{Kind: FeedLeft, Word: "gone"}, Found{Kind: WormsSeen, Word: "few"})
	try(Rule, 0, Found{Kind: Height})
	try(Counting, 0, Found{Kind: WormsKg})
	slices.SortStableFunc(out, func(a, b Help) int { return cmp.Compare(b.PerMinute(), a.PerMinute()) })
	seen := map[Measure]bool{}
	return slices.DeleteFunc(out, func(h Help) bool { was := seen[h.What]; seen[h.What] = true; return was })
}

// deciding is something that decides a round, as the members have it.
type deciding struct {
	what     Deciding
	matters  float64 // by how much it must differ
	values   []float64
	variance float64
}

// decides gives what decides a round where the members differ in it.
func (c *Crew) decides(e *Ensemble) []deciding {
	var out []deciding
	add := func(what Deciding, matters float64, of func(*Member) float64) {
		d := deciding{what: what, matters: matters, values: e.each(of)}
		if _, d.variance = moments(d.values); d.variance > 0 && !math.IsInf(d.variance, 0) {
			out = append(out, d)
		}
	}
	add(LeftNow, c.P.MattersFeed, func(m *Member) float64 { return LeftOfLast(&m.State) })
	add(WarmestNow, c.P.MattersC, func(m *Member) float64 { return Warmest(&m.State) })
	add(WormsNow, c.P.MattersWorms, func(m *Member) float64 { return math.Log(math.Max(m.State.Worms.LiveKg(), 1e-3)) })
	return out
}

// help gives what things found together are expected to tell, each as if it were
// alone. docs/model.md (T21).
func (c *Crew) help(e *Ensemble, box bed.Box, decides []deciding, found []Found) Help {
	left := make([]float64, len(decides)) // of the variance
	for i := range left {
		left[i] = 1
	}
	for _, f := range found {
		for _, s := range c.sights(e, box, f) {
			seen := e.each(s.of)
			for i := range decides {
				left[i] *= 1 - c.tells(s, seen, decides[i].values)
			}
		}
	}
	var out Help
	most := 0.0
	for i, d := range decides {
		before := math.Sqrt(d.variance)
		after := before * math.Sqrt(left[i])
		worth := (before - after) / d.matters
		out.Worth += worth
		if worth > most {
			most = worth
			out.Of, out.Before, out.After = d.what, before, after
		}
	}
	return out
}

// tells gives the share of the variance of v that one sight, of which the members
// have seen, is expected to take away, by Kalman's rule. docs/model.md (T21).
func (c *Crew) tells(s sight, seen, v []float64) float64 {
	mean, variance := moments(seen)
	if !(variance > 0) || math.IsNaN(mean) || math.IsInf(variance, 0) {
		return 0
	}
	around := make([]float64, len(seen))
	for m := range seen {
		around[m] = seen[m] - mean
	}
	_, of := moments(v)
	slope := regression(v, around, variance)
	shared := slope * slope * variance / of // what a sight without error would take away
	if s.bounds == nil {
		return shared * variance / (variance + s.variance)
	}
	var sum float64
	all := math.Sqrt(variance + s.variance)
	for class := 0; class <= len(s.bounds); class++ {
		low, high := 0.0, 1.0
		if class > 0 {
			low = chance.NormalLower((s.bounds[class-1] - mean) / all)
		}
		if class < len(s.bounds) {
			high = chance.NormalLower((s.bounds[class] - mean) / all)
		}
		s.class = class
		if _, sd, ok := asNumber(mean, variance, s, c.P.Broken); ok && sd < math.Inf(1) {
			sum += (high - low) * variance / (variance + square(sd))
		}
	}
	return shared * sum
}

// Warmest gives the temperature of the warmest layer [C]; NaN of a bed without any.
func Warmest(s *bed.State) float64 {
	most := math.NaN()
	for i := range s.Layers {
		if l := &s.Layers[i]; l.Dry() > 0 && !(l.TempC <= most) {
			most = l.TempC
		}
	}
	return most
}
