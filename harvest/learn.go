package harvest

import (
	"fmt"
	"math"

	"wormyard/figure"
	"wormyard/qty"
)

// A Screening is what a farm weighed of one run over a deck: for each class of
// sizes what was fed and what stayed on top.
type Screening struct {
	Opening float64        `json:"opening_mm" unit:"mm" low:"0.05" high:"200"`
	Water   qty.WaterOfWet `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Kind    string         `json:"kind" choice:"flat,drum" default:"flat"`
	Classes []Weighed      `json:"classes"`
}

// Weighed is one class of sizes of a screening.
type Weighed struct {
	Low  float64 `json:"low_mm" unit:"mm" low:"0" high:"10000"`
	High float64 `json:"high_mm" unit:"mm" low:"0" high:"10000"`
	Fed  float64 `json:"fed_kg" unit:"kg" low:"0" high:"1e7"`
	Over float64 `json:"over_kg" unit:"kg" low:"0" high:"1e7"`
}

type point struct{ x, over, weight float64 }

// Learn gives a farm's own curve as parts of the opening from its screenings:
// the assumed curve counts as much as Parameters.LearnedLots screenings. Runs at
// moistures that stick are left out, as they say more of the moisture than of
// the deck. model.md (S13).
func (par Parameters) Learn(runs []Screening) (c Curve, used int) {
	assumed := Curve{par.CutOff.Best, par.Steepness.Best}
	var points []point
	for i := -2; i <= 2; i++ {
		x := assumed.D50 + float64(i)*assumed.Ep
		points = append(points, point{x, assumed.Over(x), par.LearnedLots / 5})
	}
	for _, r := range runs {
		fed := 0.0
		for _, k := range r.Classes {
			fed += k.Fed
		}
		if float64(r.Water) >= par.Sticky || fed == 0 {
			continue
		}
		used++
		for _, k := range r.Classes {
			if k.Fed > 0 {
				points = append(points, point{(k.Low + k.High) / 2 / r.Opening, k.Over / k.Fed, k.Fed / fed})
			}
		}
	}
	a, b := logistic(points, -ln3*assumed.D50/assumed.Ep, ln3/assumed.Ep)
	return Curve{-a / b, ln3 / b}, used
}

// logistic fits over = 1/(1 + exp(-(a + b x))) by largest likelihood, from a
// start, with steps that are halved until the likelihood rises.
func logistic(points []point, a, b float64) (float64, float64) {
	likelihood := func(a, b float64) float64 {
		sum := 0.0
		for _, p := range points {
			u := a + b*p.x
			// ln(1 + e^u) without overflow
			soft := max(u, 0) + math.Log1p(math.Exp(-math.Abs(u)))
			sum += p.weight * (p.over*u - soft)
		}
		return sum
	}
	at := likelihood(a, b)
	for range 200 {
		var ga, gb, haa, hab, hbb float64
		for _, p := range points {
			f := 1 / (1 + math.Exp(-(a + b*p.x)))
			r, w := p.weight*(p.over-f), p.weight*f*(1-f)
			ga += r
			gb += r * p.x
			haa += w
			hab += w * p.x
			hbb += w * p.x * p.x
		}
		det := haa*hbb - hab*hab
		if !(det > 0) {
			return a, b
		}
		da, db := (hbb*ga-hab*gb)/det, (haa*gb-hab*ga)/det
		step := 1.0
		for step > 1e-9 && (b+step*db <= 0 || likelihood(a+step*da, b+step*db) < at) {
			step /= 2
		}
		if step <= 1e-9 {
			return a, b
		}
		a, b = a+step*da, b+step*db
		at = likelihood(a, b)
		if math.Abs(step*da) < 1e-12*(1+math.Abs(a)) && math.Abs(step*db) < 1e-12*(1+b) {
			return a, b
		}
	}
	return a, b
}

type learnIn struct {
	Runs []Screening `json:"screenings"`
}

type learnOut struct {
	D50  float64 `json:"d50_of_opening" unit:"-"`
	Ep   float64 `json:"ep_of_opening" unit:"-"`
	Used int     `json:"screenings_used"`
}

func (par Parameters) learnFigure(in learnIn) (out learnOut, notes []string, err error) {
	var p figure.Problems
	if len(in.Runs) > 10000 {
		p.Add("screenings", "More screenings than anyone runs.", "Give the newer ones.")
	}
	for i, r := range in.Runs {
		at := fmt.Sprintf("screenings[%d].", i)
		p.Between(at+"opening_mm", "The opening", r.Opening, 0.05, 200)
		for j, k := range r.Classes {
			here := fmt.Sprintf("%sclasses[%d].", at, j)
			p.Between(here+"fed_kg", "What was fed", k.Fed, 0, 1e7)
			if k.Over > k.Fed || k.Over < 0 {
				p.Add(here+"over_kg", fmt.Sprintf("%g kg stayed on top of %g kg fed.", k.Over, k.Fed), "Look at the weights again.")
			}
			if k.High < k.Low {
				p.Add(here+"high_mm", fmt.Sprintf("The class runs from %g to %g mm.", k.Low, k.High), "Give the smaller number first.")
			}
		}
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	c, used := par.Learn(in.Runs)
	if used < len(in.Runs) {
		notes = append(notes, fmt.Sprintf("%d of %d screenings were left out: too wet, or nothing weighed.", len(in.Runs)-used, len(in.Runs)))
	}
	return learnOut{c.D50, c.Ep, used}, notes, nil
}
