package lab

import (
	"fmt"
	"math"

	"wormyard/chance"
	"wormyard/figure"
)

// Clumps are how unevenly counts lie over fields.
type Clumps struct {
	Fields         int
	Mean, Variance float64  // [1/field], [1/field^2]
	Dispersion     float64  // (n - 1) s^2 / m, chi-squared with n - 1 when nothing clumps
	Clumped        float64  // chance of as large a dispersion without clumping
	TooEven        float64  // chance of as small a one when counts are independent
	K              *float64 // of the negative binomial by moments; nil when it is not wider than Poisson
	KLight         *float64 // less biased for few fields
	KLikely        *float64 // of largest likelihood
	Interval       Bounds   // of the mean, allowing for clumping
}

// ClumpsOf tests counts for clumping and gives an interval of their mean that
// allows for it; at least two fields. model.md (L5).
func ClumpsOf(fields []float64, confidence float64) Clumps {
	n := float64(len(fields))
	m, v := meanVariance(fields)
	c := Clumps{Fields: len(fields), Mean: m, Variance: v, Clumped: 1, TooEven: 1}
	if m == 0 {
		c.Interval = Poisson(0, confidence).times(1 / n)
		return c
	}
	c.Dispersion = (n - 1) * v / m
	c.Clumped = chance.GammaUpper((n-1)/2, c.Dispersion/2)
	c.TooEven = chance.GammaLower((n-1)/2, c.Dispersion/2)
	if v > m {
		c.K = ptr(m * m / (v - m))
		if light := (m*m - v/n) / (v - m); light > 0 {
			c.KLight = &light
		}
		if k, ok := likelyK(fields, m); ok {
			c.KLikely = &k
		}
	}
	c.Interval = clumpedMean(m*n, n, v, confidence)
	return c
}

// clumpedMean is an interval of the mean of n fields with a total and a sample
// variance: Student's t on the logarithm, and never narrower than that of
// counts that do not clump. model.md (L6).
func clumpedMean(total, n, variance, confidence float64) Bounds {
	m := total / n
	exact := Poisson(total, confidence).times(1 / n)
	if variance <= m || n < 2 {
		return exact
	}
	f := stretch(chance.TwoSided(confidence, n-1) * math.Sqrt(variance/n) / m)
	return Bounds{min(exact.Low, m/f), max(exact.High, m*f)}
}

// stretch is the factor of a distance on the logarithm, kept within what can be
// printed.
func stretch(s float64) float64 { return math.Exp(min(600, s)) }

// likelyK finds the k of largest likelihood with the mean as it is; none when
// the counts are not wider than Poisson. model.md (L7).
func likelyK(fields []float64, m float64) (float64, bool) {
	// The slope of the likelihood times k, which ends above 0 where no k is best.
	slope := func(u float64) float64 {
		k := math.Exp(u)
		sum := -float64(len(fields)) * math.Log1p(m/k)
		for _, x := range fields {
			sum += harmonic(k, x)
		}
		return -sum
	}
	const low, high = -14, 14
	if slope(low) > 0 || slope(high) < 0 {
		return 0, false
	}
	return math.Exp(chance.Root(slope, low, high)), true
}

// harmonic is 1/k + 1/(k+1) + ... + 1/(k+x-1).
func harmonic(k, x float64) float64 {
	sum := 0.0
	for j := x - 1; j >= 0; j-- {
		sum += 1 / (k + j)
	}
	return sum
}

func meanVariance(v []float64) (m, s2 float64) {
	n := float64(len(v))
	for _, x := range v {
		m += x / n
	}
	for _, x := range v {
		s2 += (x - m) * (x - m)
	}
	if n > 1 {
		s2 /= n - 1
	}
	return m, s2
}

type clumpingIn struct {
	Fields     []float64 `json:"fields" unit:"1/field" low:"0" high:"1e5" doc:"count of each field"`
	Confidence float64   `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type clumpingOut struct {
	Mean       float64  `json:"mean" unit:"1/field"`
	Variance   float64  `json:"variance" unit:"1/field2"`
	Dispersion float64  `json:"dispersion" unit:"-"`
	Clumped    float64  `json:"p_clumped" unit:"-"`
	TooEven    float64  `json:"p_too_even" unit:"-"`
	K          *float64 `json:"k" unit:"-"`
	KLight     *float64 `json:"k_light" unit:"-" doc:"less biased for few fields"`
	KLikely    *float64 `json:"k_likely" unit:"-" doc:"of largest likelihood"`
	Low        float64  `json:"low" unit:"1/field"`
	High       float64  `json:"high" unit:"1/field"`
}

const mostFields = 2500 // more fields than lie under a large cover glass at 400 times, and still quick to add up

func (p *problems) fields(field string, counts []float64) {
	if len(counts) > mostFields {
		p.Add(field, fmt.Sprintf("%d fields are given; %d is the most that is taken.", len(counts), mostFields), "Split them by slide.")
		return
	}
	for i, x := range counts {
		at := fmt.Sprintf("%s[%d]", field, i)
		p.count(at, fmt.Sprintf("Field %d", i+1), x)
		if x > mostInField {
			p.Add(at, fmt.Sprintf("Field %d holds %g, more than anyone counts in one field.", i+1, x), fmt.Sprintf("Dilute until a field holds some tens; at most %g is taken.", float64(mostInField)))
		}
	}
}

const mostInField = 2000

func (par Parameters) clumpingFigure(in clumpingIn) (out clumpingOut, notes []string, err error) {
	var p problems
	p.fields("fields", in.Fields)
	p.confidence(in.Confidence)
	if len(in.Fields) < 2 {
		p.Add("fields", "One field cannot tell whether the counts clump.", "Count at least two fields, better ten.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	c := ClumpsOf(in.Fields, in.Confidence)
	out = clumpingOut{c.Mean, c.Variance, c.Dispersion, c.Clumped, c.TooEven, c.K, c.KLight, c.KLikely, c.Interval.Low, c.Interval.High}
	switch {
	case c.Mean == 0:
		notes = []string{"Nothing was seen in any field, so clumping cannot be told."}
	case c.Clumped < par.Doubt:
		notes = []string{"They lie in clumps: a plain count would make the interval too narrow, so this one is wider."}
	case c.TooEven < par.Doubt:
		notes = []string{"The counts are more even than chance makes them. Were the fields chosen, or one field counted again?"}
	}
	return out, notes, nil
}

type fieldsIn struct {
	Mean   float64  `json:"mean_per_field" unit:"1/field" low:"0" high:"1e5"`
	K      *float64 `json:"k" unit:"-" low:"0" high:"1e9" doc:"of clumping; absent when they do not clump"`
	Wanted float64  `json:"wanted_se_frac" unit:"-" low:"0" high:"10" doc:"standard error wanted, as a part of the mean"`
}

type fieldsOut struct {
	Fields float64 `json:"fields" unit:"fields"`
	Exact  float64 `json:"fields_exact" unit:"fields"`
}

// FieldsFor gives how many fields bring the standard error to a part of the
// mean; k is infinite when nothing clumps. model.md (L8).
func FieldsFor(mean, k, wanted float64) float64 { return (1/mean + 1/k) / (wanted * wanted) }

// FieldsStill gives how many more fields like those counted bring the half width of
// the interval, as it is shown (L2, L6), to half of the mean, 0 when that is reached;
// ok is false while nothing was seen. L8 alone would stop too early, as it knows of
// no Student's t. model.md (L8).
func FieldsStill(fields []float64, half, confidence float64) (still int, ok bool) {
	if len(fields) < 2 {
		return 0, false
	}
	c := ClumpsOf(fields, confidence)
	if c.Mean == 0 {
		return 0, false
	}
	wide := func(n float64) bool {
		b := clumpedMean(c.Mean*n, n, c.Variance, confidence)
		return b.High-b.Low > 2*half*c.Mean
	}
	low, high := 1.0, float64(len(fields))
	for wide(high) && high < mostStill {
		low, high = high, 2*high
	}
	for high-low > 1 { // the width falls with every field
		if mid := math.Floor((low + high) / 2); wide(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return max(0, int(high)-len(fields)), true
}

const mostStill = 1e6 // fields, more than anyone counts

func fieldsFigure(in fieldsIn) (out fieldsOut, notes []string, err error) {
	var p problems
	p.Over0("mean_per_field", "The mean of a field", in.Mean)
	p.Over0("wanted_se_frac", "The standard error wanted", in.Wanted)
	k := math.Inf(1)
	if in.K != nil {
		k = *in.K
		p.Over0("k", "k", k)
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	out.Exact = FieldsFor(in.Mean, k, in.Wanted)
	if math.IsInf(out.Exact, 0) {
		return out, nil, figure.Refuse("wanted_se_frac", "No number of fields reaches that.", "Ask for less.")
	}
	out.Fields = math.Ceil(out.Exact - 1e-9)
	return out, nil, nil
}

// NegativeBinomialQuantile is the least count that has at least chance p at or
// below it, for a mean and a k over 0. model.md (L9).
func NegativeBinomialQuantile(p, mean, k float64) float64 {
	term := math.Exp(k * (math.Log(k) - math.Log(k+mean)))
	q := mean / (mean + k)
	sum := term
	x := 0.0
	for sum < p && x < 1e6 {
		term *= (k + x) / (x + 1) * q
		x++
		sum += term
	}
	return x
}

type limitsIn struct {
	Mean float64  `json:"mean" unit:"-" low:"0" high:"10000"`
	K    *float64 `json:"k" unit:"-" low:"0.01" high:"1e6" doc:"of clumping; absent when they do not clump"`
	Tail float64  `json:"tail_frac" unit:"-" low:"0.0001" high:"0.4" default:"0.00135" doc:"share beyond each limit"`
}

type limitsOut struct {
	Low  float64 `json:"low" unit:"-"`
	High float64 `json:"high" unit:"-"`
}

func limitsFigure(in limitsIn) (out limitsOut, notes []string, err error) {
	var p problems
	p.Over0("mean", "The mean", in.Mean)
	p.Between("tail_frac", "The share beyond", in.Tail, 0.0001, 0.4)
	if in.K != nil {
		p.Over0("k", "k", *in.K)
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	q := func(at float64) float64 {
		if in.K != nil {
			return NegativeBinomialQuantile(at, in.Mean, *in.K)
		}
		return poissonQuantile(at, in.Mean)
	}
	return limitsOut{q(in.Tail), q(1 - in.Tail)}, nil, nil
}

func poissonQuantile(p, mean float64) float64 {
	x := 0.0
	for chance.GammaUpper(x+1, mean) < p { // the chance of x or fewer
		x++
	}
	return x
}
