package lab

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wormyard/chance"
	"wormyard/qty"
)

// A Result is one value of a laboratory, or the limit under which it lies.
type Result struct {
	Value    float64 `json:"value" unit:"as given" low:"0" high:"1e15" doc:"the value, or the limit it lies under"`
	LessThan bool    `json:"less_than"`
}

// Censored is what values say of which some lie under limits.
type Censored struct {
	Geometric float64 // geometric mean
	LogSD     float64 // standard deviation of the logarithms
	Mean      float64
	Median    float64
	Low, High float64 // interval of the geometric mean; equal to it when it has none
	HasLimits bool
}

// GeometricMean of values over 0. model.md (L30).
func GeometricMean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += math.Log(v)
	}
	return math.Exp(sum / float64(len(values)))
}

// Likely fits a log-normal by the largest likelihood, values under limits
// counted as the chance of being there; two different values at least are no
// less-thans. The interval of the geometric mean is by t and the curvature of
// the likelihood. model.md (L31).
func Likely(results []Result, confidence float64) Censored {
	m, s := startOf(results)
	n := float64(len(results))
	// Expected and maximised in turn: each turn cannot lower the likelihood.
	for range 20000 {
		var sum, sq float64
		for _, r := range results {
			x := math.Log(r.Value)
			if !r.LessThan {
				sum += x
				sq += x * x
				continue
			}
			z := (x - m) / s
			h := hazardBelow(z)
			e := m - s*h
			sum += e
			sq += e*e + s*s*(1-z*h-h*h)
		}
		m2 := sum / n
		s2 := math.Sqrt(max(sq/n-m2*m2, 1e-24))
		done := math.Abs(m2-m)+math.Abs(s2-s) < 1e-13*(1+math.Abs(m)+s)
		m, s = m2, s2
		if done {
			break
		}
	}
	out := Censored{Geometric: math.Exp(m), LogSD: s, Mean: math.Exp(min(700, m+s*s/2)), Median: math.Exp(m), Low: math.Exp(m), High: math.Exp(m)}
	if v, ok := varianceOfMean(results, m, s); ok {
		f := stretch(chance.TwoSided(confidence, n-1) * math.Sqrt(v*n/(n-1)))
		out.Low, out.High, out.HasLimits = out.Geometric/f, out.Geometric*f, true
	}
	return out
}

// hazardBelow is the density of a standard normal over its part below z.
func hazardBelow(z float64) float64 {
	if z < -30 {
		return -z + 1/z // far out, to the second term of its series
	}
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / chance.NormalLower(z)
}

func startOf(results []Result) (m, s float64) {
	var logs []float64
	for _, r := range results {
		x := math.Log(r.Value)
		if r.LessThan {
			x -= math.Ln2
		}
		logs = append(logs, x)
	}
	m, v := meanVariance(logs)
	return m, max(math.Sqrt(v), 1e-3)
}

// varianceOfMean inverts the information of mean and log sd at the maximum.
func varianceOfMean(results []Result, m, s float64) (float64, bool) {
	var a, b, d float64 // minus second derivatives by m m, m s, s s
	for _, r := range results {
		z := (math.Log(r.Value) - m) / s
		if !r.LessThan {
			a += 1 / (s * s)
			b += 2 * z / (s * s)
			d += (3*z*z - 1) / (s * s)
			continue
		}
		h := hazardBelow(z)
		g := h * (z + h) // minus the slope of h
		a += g / (s * s)
		b += (z*g - h) / (s * s)
		d += (z*z*g - 2*z*h) / (s * s)
	}
	det := a*d - b*b
	if !(det > 0) || !(d > 0) {
		return 0, false
	}
	return d / det, true
}

// ByOrder fits the logarithms of the values against where they stand among all,
// and fills in those under limits from the line (regression on order
// statistics, several limits). model.md (L32).
func ByOrder(results []Result) Censored {
	limits, exceed := exceedance(results)
	type placed struct{ x, p float64 }
	var seen []placed
	var filled []float64
	var positions []float64
	for j := range limits {
		var above []float64
		under := 0
		for _, r := range results {
			at := limitOf(limits, r)
			switch {
			case r.LessThan && r.Value == limits[j]:
				under++
			case !r.LessThan && at == j:
				above = append(above, r.Value)
			}
		}
		next := 0.0
		if j+1 < len(limits) {
			next = exceed[j+1]
		}
		slices.Sort(above)
		for i, v := range above {
			p := (1 - exceed[j]) + float64(i+1)/float64(len(above)+1)*(exceed[j]-next)
			seen = append(seen, placed{math.Log(v), p})
		}
		for i := range under {
			positions = append(positions, float64(i+1)/float64(under+1)*(1-exceed[j]))
		}
	}
	var mx, mz float64
	for _, s := range seen {
		mx += s.x / float64(len(seen))
		mz += chance.NormalQuantile(s.p) / float64(len(seen))
	}
	var xy, zz float64
	for _, s := range seen {
		z := chance.NormalQuantile(s.p)
		xy += (z - mz) * (s.x - mx)
		zz += (z - mz) * (z - mz)
	}
	slope := xy / zz
	for _, s := range seen {
		filled = append(filled, s.x)
	}
	for _, p := range positions {
		filled = append(filled, mx+slope*(chance.NormalQuantile(p)-mz))
	}
	return ofLogs(filled)
}

// limitOf is the place of the highest limit at or below a value.
func limitOf(limits []float64, r Result) int {
	at := 0
	for j, l := range limits {
		if r.Value >= l {
			at = j
		}
	}
	return at
}

// exceedance gives the limits, 0 before the first, and the chance of lying at
// or above each, from the highest down. model.md (L32).
func exceedance(results []Result) (limits, chance []float64) {
	limits = []float64{0}
	for _, r := range results {
		if r.LessThan {
			limits = append(limits, r.Value)
		}
	}
	slices.Sort(limits)
	limits = slices.Compact(limits)
	chance = make([]float64, len(limits))
	next := 0.0
	for j := len(limits) - 1; j >= 0; j-- {
		var above, below float64 // seen from this limit to the next, and all known to lie under it
		for _, r := range results {
			switch {
			case !r.LessThan && limitOf(limits, r) == j:
				above++
			case r.Value <= limits[j] && (r.LessThan || r.Value < limits[j]):
				below++
			}
		}
		chance[j] = next
		if above+below > 0 {
			chance[j] = next + above/(above+below)*(1-next)
		}
		next = chance[j]
	}
	chance[0] = 1
	return limits, chance
}

func ofLogs(logs []float64) Censored {
	m, v := meanVariance(logs)
	out := Censored{Geometric: math.Exp(m), LogSD: math.Sqrt(v)}
	values := make([]float64, len(logs))
	for i, x := range logs {
		values[i] = math.Exp(x)
	}
	out.Mean, _ = meanVariance(values)
	out.Median = chance.Median(values)
	out.Low, out.High = out.Geometric, out.Geometric
	return out
}

// ProductLimit gives the mean and the median of values of which some lie under
// limits without any shape assumed (Kaplan and Meier, turned about): what lies
// under the least value seen is put at its limit, so the mean is not too low.
// The median is NaN when half of them lie under limits. model.md (L33).
func ProductLimit(results []Result) (mean, median float64) {
	sorted := slices.Clone(results)
	// From the largest down; at a tie values come before less-thans.
	slices.SortStableFunc(sorted, func(a, b Result) int {
		if c := cmp.Compare(b.Value, a.Value); c != 0 {
			return c
		}
		if a.LessThan == b.LessThan {
			return 0
		}
		if a.LessThan {
			return 1
		}
		return -1
	})
	below := 1.0 // chance of lying under what has been passed
	median = math.NaN()
	left := float64(len(sorted))
	least := 0.0
	for i := 0; i < len(sorted); {
		j := i
		seen := 0.0
		for j < len(sorted) && sorted[j].Value == sorted[i].Value {
			if !sorted[j].LessThan {
				seen++
			}
			j++
		}
		if seen > 0 {
			down := below * (1 - seen/left)
			mean += (below - down) * sorted[i].Value
			if math.IsNaN(median) && down < 0.5-1e-12 {
				median = sorted[i].Value
			}
			below = down
		}
		least = sorted[i].Value
		left -= float64(j - i)
		i = j
	}
	return mean + below*least, median
}

type lessThanIn struct {
	Results    []Result `json:"results"`
	Method     string   `json:"method" choice:"likelihood,order,product_limit" default:"likelihood"`
	Confidence float64  `json:"confidence" unit:"-" low:"0.5" high:"0.9999" default:"0.95"`
}

type lessThanOut struct {
	Geometric *float64 `json:"geometric_mean" unit:"as given"`
	LogSD     *float64 `json:"log_sd" unit:"-" doc:"of the natural logarithms"`
	Mean      *float64 `json:"mean" unit:"as given"`
	Median    *float64 `json:"median" unit:"as given"`
	Low       *float64 `json:"low" unit:"as given" doc:"of the geometric mean"`
	High      *float64 `json:"high" unit:"as given"`
	Under     int      `json:"less_thans"`
	Shown     string   `json:"shown"`
}

func lessThanFigure(in lessThanIn) (out lessThanOut, notes []string, err error) {
	var p problems
	p.confidence(in.Confidence)
	if len(in.Results) == 0 || len(in.Results) > 100000 {
		p.Add("results", fmt.Sprintf("%d results are given.", len(in.Results)), "Give at least one.")
	}
	top := 0.0
	var seen []float64
	for i, r := range in.Results {
		if !(r.Value > 0 && r.Value <= 1e15) {
			p.Add(fmt.Sprintf("results[%d].value", i), fmt.Sprintf("Result %d is %g.", i+1, r.Value), "A laboratory never finds 0: give the limit it lies under, with less_than.")
		}
		top = max(top, r.Value)
		if r.LessThan {
			out.Under++
		} else {
			seen = append(seen, r.Value)
		}
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	if len(seen) == 0 {
		out.Shown = "<" + qty.Figures(top)
		return out, []string{"All lie under their limits, so nothing but the limit can be said."}, nil
	}
	if in.Method == "product_limit" {
		mean, median := ProductLimit(in.Results)
		out.Mean = &mean
		if !math.IsNaN(median) {
			out.Median = &median
		}
		out.Shown = qty.Figures(mean)
		if out.Under > 0 {
			notes = append(notes, "What lies under the least value seen is put at its limit, so the mean is rather too high than too low.")
		}
		return out, notes, nil
	}
	if slices.Min(seen) == slices.Max(seen) {
		if out.Under == 0 {
			g := seen[0]
			out.Geometric, out.Mean, out.Median, out.Shown = &g, &g, &g, qty.Figures(g)
			return out, []string{"All results are alike, so their spread cannot be told."}, nil
		}
		out.Shown = "<=" + qty.Figures(top)
		return out, []string{"Too few values were found to tell what lies under the limits."}, nil
	}
	c := Likely(in.Results, in.Confidence)
	if in.Method == "order" {
		c = ByOrder(in.Results)
	}
	out.Geometric, out.LogSD, out.Median, out.Shown = &c.Geometric, &c.LogSD, &c.Median, qty.Figures(c.Geometric)
	if !math.IsInf(c.Mean, 0) && !math.IsNaN(c.Mean) {
		out.Mean = &c.Mean
	}
	if c.HasLimits {
		out.Low, out.High = &c.Low, &c.High
		out.Shown = fmt.Sprintf("%s (%s to %s)", qty.Figures(c.Geometric), qty.Figures(c.Low), qty.Figures(c.High))
	}
	if len(seen) < 3 || 2*out.Under > len(in.Results) {
		notes = append(notes, "Most of it lies under limits, or few values were found: the answer leans on the shape that is assumed.")
	}
	return out, notes, nil
}
