package twin

import (
	"math"
	"slices"

	"wormyard/bed"
	"wormyard/climate"
)

// Evidence gives the log of how likely the members make what was found of a bed
// from an hour on, up to another, each taken as if it came independently, the
// members' chances averaged. What was found before that hour is taken in as ever.
// It leaves e as it is. docs/model.md (H6).
func (c *Crew) Evidence(e *Ensemble, h History, air climate.Series, from, until int64) (float64, error) {
	logs := make([]float64, Members)
	var values [Members]float64
	e = e.Clone()
	if err := c.Advance(e, h.Before(from), air, from, nil); err != nil { // with what was found before
		return 0, err
	}
	for _, f := range c.P.Found(&h) {
		if f.Hour < from || f.Hour > until {
			continue
		}
		if err := c.run(e, h, air, f.Hour, nil); err != nil {
			return 0, err
		}
		for _, s := range c.sights(e, h.Box, f) {
			for m := range e.Members {
				values[m] = s.of(&e.Members[m])
			}
			wide := apart(values[:])
			for m, v := range values {
				logs[m] += s.chance(v, wide)
			}
		}
	}
	most := slices.Max(logs)
	var sum float64
	for _, l := range logs {
		sum += math.Exp(l - most)
	}
	return most + math.Log(sum/Members), nil
}

// apart gives how far apart values of the members stand for what lies between
// them: the width of Silverman's rule for a density drawn from few values, so that
// a find in a gap between two members is not held against all. docs/model.md (H6)
func apart(v []float64) float64 {
	n, mean, ss := 0.0, 0.0, 0.0
	for _, x := range v {
		if !math.IsNaN(x) && !math.IsInf(x, 0) {
			n++
			d := x - mean
			mean += d / n
			ss += d * (x - mean)
		}
	}
	if n < 2 {
		return 0
	}
	return math.Sqrt(ss/(n-1)) * math.Pow(4/(3*n), 0.2)
}

// chance gives the log of how likely a thing is found where a member has a value and
// stands for those so wide about it; whatever is found may be wrong outright. The
// first weighing of a bin tells what it weighs empty, and speaks for no member.
func (s *sight) chance(v, wide float64) float64 {
	const wrong = 1e-6
	if math.IsNaN(v) {
		return 0
	}
	sharp := math.Sqrt(s.variance)
	sd := math.Hypot(sharp, wide)
	if s.bounds != nil {
		return math.Log(between(v, sd, s.class, s.bounds...) + wrong)
	}
	return math.Log(sharp/sd*math.Exp(-square((s.told-v)/sd)/2) + wrong)
}

// Before gives the history with nothing found at or after an hour.
func (h History) Before(hour int64) History {
	h.Looks = h.Looks[:count(h.Looks, func(l Look) bool { return l.Hour < hour })]
	h.Readings = h.Readings[:count(h.Readings, func(r Reading) bool { return r.Hour < hour })]
	h.Marks = h.Marks[:count(h.Marks, func(m Mark) bool { return m.Hour < hour })]
	h.Weights = h.Weights[:count(h.Weights, func(w Weight) bool { return w.Hour < hour })]
	h.Counts = h.Counts[:count(h.Counts, func(n Count) bool { return n.Hour < hour })]
	h.Visits = h.Visits[:count(h.Visits, func(v Visit) bool { return v.Hour < hour })]
	return h
}

// count gives how many of the first of a list are such.
func count[T any](list []T, such func(T) bool) int {
	n := 0
	for n < len(list) && such(list[n]) {
		n++
	}
	return n
}

// Expected gives the range of the temperature at a depth and an hour.
func (c *Crew) Expected(e *Ensemble, h History, air climate.Series, hour int64, depthM float64) (Range, error) {
	e = e.Clone()
	if err := c.Advance(e, h, air, hour, nil); err != nil {
		return Range{}, err
	}
	return e.Over(func(m *Member) float64 { return TempAt(&m.State, depthM) }), nil
}

func square(x float64) float64 { return x * x }

// height gives the depth of a bed [m].
func height(s *bed.State) float64 {
	var d float64
	for i := range s.Layers {
		d += s.Layers[i].DepthM
	}
	return d
}
