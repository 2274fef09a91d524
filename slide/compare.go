package slide

import (
	"math"

	"wormyard/chance"
	"wormyard/lab"
)

// Versus is how a lot compares with another.
type Versus struct {
	lab.TwoRates
	Slides bool // at least one of the two is known from one slide or handful only
}

// Compare holds a group of one lot against that of another: on the logarithm with
// the errors of both, as unequal as they are, and no surer than counting alone
// allows. False where neither saw any. model.md (E5).
func (par Parameters) Compare(a, b Known) (Versus, bool) {
	v := Versus{Slides: a.SpeaksFor != "lot" || b.SpeaksFor != "lot"}
	x, y := math.Round(a.Units), math.Round(b.Units)
	if x+y == 0 {
		return v, false
	}
	v.TwoRates = lab.CompareRates(x, a.Looked, y, b.Looked, par.Lab.Confidence, par.Lab.Doubt, false)
	if a.SE == 0 || b.SE == 0 || a.None || b.None {
		return v, true
	}
	ra, rb := a.SE/a.PerGram, b.SE/b.PerGram
	se := math.Hypot(ra, rb)
	df := math.Pow(se, 4) / (math.Pow(ra, 4)/a.DF + math.Pow(rb, 4)/b.DF)
	ratio := a.PerGram / b.PerGram
	f := math.Exp(min(600, chance.TwoSided(par.Lab.Confidence, df)*se))
	low, high := ratio/f, ratio*f
	v.Ratio = &ratio
	v.Low = min(v.Low, low)
	if v.High != nil {
		high = max(high, *v.High)
	}
	v.High = &high
	v.P = max(v.P, chance.StudentTwoSided(math.Log(ratio)/se, df))
	v.Verdict = "cannot tell"
	if v.P < par.Lab.Doubt && ratio > 1 {
		v.Verdict = "more"
	} else if v.P < par.Lab.Doubt {
		v.Verdict = "fewer"
	}
	return v, true
}

// Run is a group over the lots in the order they were counted.
type Run struct {
	lab.Chart
	Values   []float64 // [1/g wet], threads [m/g wet]
	Baseline int       // how many lots from the start set the limits; 0 where they are too few
}

// RunOf draws the limits of a group from the first lots, widened by how much lots
// differ beyond what counting makes. model.md (E6).
func (par Parameters) RunOf(lots []Known) Run {
	var r Run
	var counts, exposures []float64
	var seen, units float64
	for _, k := range lots {
		counts, exposures = append(counts, k.Units), append(exposures, k.Looked)
		seen, units = seen+k.Seen, units+k.Units
	}
	one := 1.0
	if len(lots) > 0 && lots[0].Group == Threads && units > 0 {
		one = 1e-6 * seen / units // metres of a piece
	}
	for i := range lots {
		r.Values = append(r.Values, counts[i]/exposures[i]*one)
	}
	if float64(len(lots)) < par.Enough || units == 0 {
		return r
	}
	r.Baseline = min(len(lots), int(par.Lab.Baseline))
	r.Chart = lab.ChartOf(counts, exposures, r.Baseline, par.Lab.Sigmas, true)
	r.Center *= one
	for i, b := range r.Limits {
		r.Limits[i] = lab.Bounds{Low: b.Low * one, High: b.High * one}
	}
	return r
}
