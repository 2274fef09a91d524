package twin

import (
	"math"
	"slices"
)

// Foretold is what a forecast expects somebody to read: equally likely values of the
// bed, each read with a normal error. The error is reckoned with and not drawn, so
// that a score does not depend on a draw. docs/model.md (T16).
type Foretold struct {
	values []float64 // sorted
	sd     float64   // of the reading
}

// Foretell gives the forecast of a reading whose error is sd, 0 for the truth
// itself, from the members' values; those that are not finite are left out.
func Foretell(values []float64, sd float64) Foretold {
	v := slices.DeleteFunc(slices.Clone(values), func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
	slices.Sort(v)
	return Foretold{v, sd}
}

// Any says whether there is a forecast at all.
func (s Foretold) Any() bool { return len(s.values) > 0 }

// CRPS gives the continuous ranked probability score against what was read, in the
// unit of both; NaN of no forecast. docs/model.md (T16).
func (s Foretold) CRPS(read float64) float64 {
	n := float64(len(s.values))
	apart := s.apart() + n*meanAbs(0, s.sd*math.Sqrt2)
	return s.far(read) - apart/(2*n*n)
}

// far gives how far from what was read the forecast expects readings to be.
func (s Foretold) far(read float64) float64 {
	var sum float64
	for _, x := range s.values {
		sum += meanAbs(x-read, s.sd)
	}
	return sum / float64(len(s.values))
}

// apart gives the sum over ordered pairs of different members of how far apart
// their readings are expected to be.
func (s Foretold) apart() float64 {
	var sum float64
	for i, x := range s.values {
		for _, y := range s.values[:i] {
			sum += 2 * meanAbs(x-y, s.sd*math.Sqrt2)
		}
	}
	return sum
}

// meanAbs gives the mean of the absolute value of a normal of a mean and a spread.
func meanAbs(mean, sd float64) float64 {
	if !(sd > 0) {
		return math.Abs(mean)
	}
	z := mean / sd
	return 2*sd*math.Exp(-z*z/2)/math.Sqrt(2*math.Pi) + mean*math.Erf(z/math.Sqrt2)
}

// Below gives the chance that a reading lies under the one that was read, 0 to 1:
// with right forecasts all chances come up alike. Without an error of the reading
// it is the place among the members that T8 gives them. docs/model.md (T17).
func (s Foretold) Below(read float64) float64 {
	n := float64(len(s.values))
	if s.sd > 0 {
		var sum float64
		for _, x := range s.values {
			sum += 0.5 * math.Erfc((x-read)/(s.sd*math.Sqrt2))
		}
		return sum / n
	}
	from, found := slices.BinarySearch(s.values, read)
	if found {
		to := from
		for to < len(s.values) && s.values[to] == read {
			to++
		}
		return (float64(from+to) + 1) / 2 / (n + 1)
	}
	if from == 0 || from == len(s.values) {
		return (float64(from) + 0.5) / (n + 1)
	}
	within := (read - s.values[from-1]) / (s.values[from] - s.values[from-1])
	return (float64(from) + within) / (n + 1)
}

// Quantile gives what readings lie under with chance q. docs/model.md (T17).
func (s Foretold) Quantile(q float64) float64 {
	if !(s.sd > 0) || !s.Any() {
		return quantile(s.values, q)
	}
	low, high := s.values[0]-8*s.sd, s.values[len(s.values)-1]+8*s.sd
	for range 60 { // halved until doubles end
		mid := low + (high-low)/2
		if s.Below(mid) < q {
			low = mid
		} else {
			high = mid
		}
	}
	return low + (high-low)/2
}

// Within gives the share of chances (Below) that the central range of a share
// held: 0.9 for the range from 5 to 95 %. NaN of none. docs/model.md (T17).
func Within(below []float64, share float64) float64 {
	n := 0
	for _, x := range below {
		if math.Abs(x-0.5) <= share/2 {
			n++
		}
	}
	return float64(n) / float64(len(below))
}

// Parts gives the share of chances (Below) in each of n equal parts from 0 to 1,
// which are alike where forecasts are right. docs/model.md (T17).
func Parts(below []float64, n int) []float64 {
	out := make([]float64, n)
	for _, x := range below {
		out[min(max(int(x*float64(n)), 0), n-1)] += 1 / float64(len(below))
	}
	return out
}
