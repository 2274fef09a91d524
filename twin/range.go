package twin

import (
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
	v := make([]float64, len(e.Members))
	for m := range e.Members {
		v[m] = read(&e.Members[m])
	}
	return RangeOf(v)
}
