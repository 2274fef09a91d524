package twin

import "math"

// update is what a measured number does to everything that goes with what the
// members expected of it: Whitaker and Hamill's serial square-root update.
// docs/model.md (T6), (T15).
type update struct {
	around   []float64 // by member, what was expected less its mean
	variance float64   // of that
	noise    float64   // variance of the error of what was found
	gap      float64   // what was found less what was expected
	alpha    float64   // by how much a deviation shrinks, of the gain
}

// newUpdate gives the update by a number told with an error of variance noise; an
// outlier counts as if its error were greater.
func newUpdate(expected []float64, told, noise float64) update {
	mean, variance := moments(expected)
	u := update{around: make([]float64, len(expected)), variance: variance, noise: noise, gap: told - mean}
	if far := math.Abs(u.gap) / math.Sqrt(variance+noise); far > farFetched {
		u.noise = square(u.gap/farFetched) - variance
	}
	u.alpha = 1 / (1 + math.Sqrt(u.noise/(variance+u.noise)))
	for m := range expected {
		u.around[m] = expected[m] - mean
	}
	return u
}

// move moves a quantity of the members, as much of it as is near; false where
// nothing says that it goes with what was found.
func (u *update) move(v []float64, near float64) bool {
	b := near * regression(v, u.around, u.variance) * u.variance / (u.variance + u.noise)
	if b == 0 {
		return false
	}
	for m := range v {
		v[m] += b * (u.gap - u.alpha*u.around[m])
	}
	return true
}

// farFetched is how many standard deviations a number may lie from what was
// expected at its full weight.
const farFetched = 2.5

// regression gives the slope of v over what deviates by around, of variance,
// shrunk by what so many members show of a correlation by chance alone: the share
// of r² above 1/(n-1), its mean where there is none. docs/model.md (T15).
func regression(v, around []float64, variance float64) float64 {
	n := float64(len(v))
	mean, of := moments(v)
	if !(of > 0) {
		return 0
	}
	var cov float64
	for m := range v {
		cov += (v[m] - mean) * around[m] / (n - 1)
	}
	r2 := cov * cov / (of * variance)
	chance := 1 / (n - 1)
	if r2 <= chance {
		return 0
	}
	return cov / variance * (r2 - chance) / (r2 * (1 - chance))
}
