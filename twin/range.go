package twin

import (
	"cmp"
	"math"
	"slices"
)

// Range is the spread of a quantity over the members.
type Range struct {
	Low  float64 `json:"p05"`
	Mid  float64 `json:"p50"`
	High float64 `json:"p95"`
}

// RangeOf gives the 5th, 50th and 95th percentile of values, which it sorts;
// values that are not finite are left out, and of none the range is zero.
// docs/model.md (T8).
func RangeOf(v []float64) Range {
	v = slices.DeleteFunc(v, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
	slices.Sort(v)
	return Range{quantile(v, 0.05), quantile(v, 0.5), quantile(v, 0.95)}
}

// Half is the range that half of the members lie in.
type Half struct {
	Low  float64 `json:"p25"`
	High float64 `json:"p75"`
}

// HalfOf gives the 25th and 75th percentile of values, as RangeOf does.
// docs/model.md (T8).
func HalfOf(v []float64) Half {
	v = slices.DeleteFunc(v, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
	slices.Sort(v)
	return Half{quantile(v, 0.25), quantile(v, 0.75)}
}

// quantile interpolates between the sorted values so that one more value of their
// kind lies below it with chance q: the i-th of n is at i/(n+1). Beyond the smallest
// and the largest it is these.
func quantile(v []float64, q float64) float64 {
	if len(v) == 0 {
		return 0
	}
	at := q*float64(len(v)+1) - 1
	if at <= 0 {
		return v[0]
	}
	i := int(at)
	if i+1 >= len(v) {
		return v[len(v)-1]
	}
	return v[i] + (at-float64(i))*(v[i+1]-v[i])
}

// Over gives the range of what read gives for each member.
func (e *Ensemble) Over(read func(*Member) float64) Range {
	return RangeBy(e.each(read), e.Weights)
}

// RangeBy gives the range of values that are likely by weights; with nil all are
// alike, as RangeOf has it. Values may be reordered. docs/model.md (T10)
func RangeBy(v, weights []float64) Range {
	if weights == nil {
		return RangeOf(v)
	}
	of := weighed(v, weights)
	return Range{of.quantile(0.05), of.quantile(0.5), of.quantile(0.95)}
}

// HalfBy gives the half of values that are likely by weights, as RangeBy does.
func HalfBy(v, weights []float64) Half {
	if weights == nil {
		return HalfOf(v)
	}
	of := weighed(v, weights)
	return Half{of.quantile(0.25), of.quantile(0.75)}
}

// stand is a value and the chance that one more of its kind lies below it.
type stand struct{ v, at float64 }

type stands []stand

// weighed sorts finite values of members in two branches that are drawn alike, so
// that each pair of them counts as one: with all weights equal and every value
// there once, the i-th of n would be at i/(n+1), as in quantile. docs/model.md (T10)
func weighed(v, weights []float64) stands {
	var out stands
	all := 0.0
	for i, x := range v {
		if !math.IsNaN(x) && !math.IsInf(x, 0) && weights[i] > 0 {
			out = append(out, stand{x, weights[i]})
			all += weights[i]
		}
	}
	slices.SortStableFunc(out, func(a, b stand) int { return cmp.Compare(a.v, b.v) })
	n := float64(len(out)) / 2
	below := 0.0
	for i := range out {
		w := out[i].at / all
		out[i].at = 0.5 + (below+w/2-0.5)*n/(n+1)
		below += w
	}
	return out
}

// quantile interpolates between values; beyond the smallest and the largest it is
// these.
func (s stands) quantile(q float64) float64 {
	if len(s) == 0 {
		return 0
	}
	i, _ := slices.BinarySearchFunc(s, q, func(x stand, q float64) int { return cmp.Compare(x.at, q) })
	switch {
	case i == 0:
		return s[0].v
	case i == len(s):
		return s[len(s)-1].v
	}
	a, b := s[i-1], s[i]
	return a.v + (b.v-a.v)*(q-a.at)/(b.at-a.at)
}
