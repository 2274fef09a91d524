// Package chance holds the distributions of chance that more than one part of the
// core reckons with: gamma, beta, normal, binomial and how many ways there are, and the
// median of what was seen.
package chance

import (
	"math"
	"slices"
)

// Median is the middle one of values, of an even number the mean of the two in the
// middle; 0 of none. It leaves their order as it is.
func Median(v []float64) float64 {
	n := len(v)
	if n == 0 {
		return 0
	}
	v = slices.Clone(v)
	slices.Sort(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}

// GammaUpper is the part of a gamma distribution of shape a above x, for a over
// 0 and x from 0: series below the mean, Lentz's continued fraction above it.
// model.md (L1).
func GammaUpper(a, x float64) float64 {
	switch {
	case x <= 0:
		return 1
	case x < a+1:
		return 1 - gammaSeries(a, x)
	}
	return gammaFraction(a, x)
}

// GammaLower is the part of a gamma distribution of shape a up to x.
func GammaLower(a, x float64) float64 {
	switch {
	case x <= 0:
		return 0
	case x < a+1:
		return gammaSeries(a, x)
	}
	return 1 - gammaFraction(a, x)
}

const (
	most = 100000 // terms; the square root of the largest count, many times over
	tiny = 1e-300
)

func gammaHead(a, x float64) float64 {
	l, _ := math.Lgamma(a)
	return math.Exp(a*math.Log(x) - x - l)
}

func gammaSeries(a, x float64) float64 {
	term, sum := 1/a, 1/a
	for n := 1.0; n < most; n++ {
		term *= x / (a + n)
		sum += term
		if term < sum*1e-16 {
			break
		}
	}
	return min(1, sum*gammaHead(a, x))
}

func gammaFraction(a, x float64) float64 {
	b := x + 1 - a
	c, d := 1/tiny, 1/b
	h := d
	for n := 1.0; n < most; n++ {
		an := -n * (n - a)
		b += 2
		d = 1 / away(an*d+b)
		c = away(b + an/c)
		h *= d * c
		if math.Abs(d*c-1) < 1e-15 {
			break
		}
	}
	return h * gammaHead(a, x)
}

func away(x float64) float64 {
	if math.Abs(x) < tiny {
		return tiny
	}
	return x
}

// ChiQuantile is the value below which a chi-squared of df degrees lies with
// chance p.
func ChiQuantile(p, df float64) float64 {
	if p <= 0 {
		return 0
	}
	f := func(x float64) float64 { return GammaLower(df/2, x/2) - p }
	if p > 0.5 {
		f = func(x float64) float64 { return (1 - p) - GammaUpper(df/2, x/2) }
	}
	high := df + 1
	for f(high) < 0 {
		high *= 2
	}
	return Root(f, 0, high)
}

// BetaLower is the part of a beta distribution of shapes a and b up to x.
// model.md (L1).
func BetaLower(a, b, x float64) float64 {
	switch {
	case x <= 0:
		return 0
	case x >= 1:
		return 1
	}
	la, _ := math.Lgamma(a)
	lb, _ := math.Lgamma(b)
	lab, _ := math.Lgamma(a + b)
	head := math.Exp(lab - la - lb + a*math.Log(x) + b*math.Log1p(-x))
	if x < (a+1)/(a+b+2) {
		return head * betaFraction(a, b, x) / a
	}
	return 1 - head*betaFraction(b, a, 1-x)/b
}

func betaFraction(a, b, x float64) float64 {
	c, d := 1.0, 1/away(1-(a+b)*x/(a+1))
	h := d
	step := func(coef float64) float64 {
		d = 1 / away(1+coef*d)
		c = away(1 + coef/c)
		h *= d * c
		return d * c
	}
	for m := 1.0; m < most; m++ {
		step(m * (b - m) * x / ((a + 2*m - 1) * (a + 2*m)))
		if math.Abs(step(-(a+m)*(a+b+m)*x/((a+2*m)*(a+2*m+1)))-1) < 1e-15 {
			break
		}
	}
	return h
}

// BetaQuantile is the value below which a beta of shapes a and b lies with chance p.
func BetaQuantile(p, a, b float64) float64 {
	return Root(func(x float64) float64 { return BetaLower(a, b, x) - p }, 0, 1)
}

// NormalQuantile is the value below which a standard normal lies with chance p.
func NormalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// NormalLower is the chance of a standard normal up to z.
func NormalLower(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// TwoSided is how many standard errors reach out to both sides at a confidence,
// by Student's t, or by the normal when df is infinite.
func TwoSided(confidence, df float64) float64 {
	p := (1 + confidence) / 2
	if math.IsInf(df, 1) {
		return NormalQuantile(p)
	}
	// P(|T| > t) is BetaLower(df/2, 1/2, df/(df + t^2)).
	x := BetaQuantile(1-confidence, df/2, 0.5)
	return math.Sqrt(df * (1 - x) / x)
}

// StudentTwoSided is the chance of a t of df degrees at least as far from 0.
func StudentTwoSided(t, df float64) float64 {
	if math.IsInf(df, 1) {
		return 2 * NormalLower(-math.Abs(t))
	}
	return BetaLower(df/2, 0.5, df/(df+t*t))
}

// Root finds where a rising function passes 0 between low and high, by halving
// until the two are neighbours.
func Root(f func(float64) float64, low, high float64) float64 {
	for range 2000 {
		mid := low + (high-low)/2
		if mid <= low || mid >= high {
			return mid
		}
		if f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return low + (high-low)/2
}

// BinomialLog is the logarithm of the chance of x of n, each with chance p.
func BinomialLog(x, n, p float64) float64 {
	switch {
	case p <= 0 && x == 0, p >= 1 && x == n:
		return 0
	case p <= 0 || p >= 1:
		return math.Inf(-1)
	}
	return WaysLog(n, x) + x*math.Log(p) + (n-x)*math.Log1p(-p)
}

// WaysLog is the logarithm of the number of ways to take k of n.
func WaysLog(n, k float64) float64 {
	a, _ := math.Lgamma(n + 1)
	b, _ := math.Lgamma(k + 1)
	c, _ := math.Lgamma(n - k + 1)
	return a - b - c
}
