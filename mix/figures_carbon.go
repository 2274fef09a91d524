package mix

import (
	"fmt"
	"math"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

type carbonIn struct {
	Nitrogen float64 `json:"nitrogen_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	CN       float64 `json:"cn" unit:"-" low:"0" high:"5000"`
}

type carbonOut struct {
	Carbon float64 `json:"carbon_frac_dry" unit:"kg/kg dry"`
}

// carbonFigure is model.md (M8).
func carbonFigure(in carbonIn) (carbonOut, []string, error) {
	m := feedstock.Material{Nitrogen: own(in.Nitrogen), CN: own(in.CN)}
	c := float64(m.Values(feedstock.Best).Carbon)
	if c > 1 {
		return carbonOut{}, nil, figure.Refuse("cn", fmt.Sprintf("Carbon would be %.0f %% of dry matter.", 100*c), "Look again at the two; nitrogen of 1.6 % is 0.016.")
	}
	return carbonOut{c}, nil, nil
}

// own is a property that was given.
func own(v float64) feedstock.Property {
	e := qty.Exactly(v)
	e.Known = "measured"
	return feedstock.Property{Estimate: e, Own: true}
}

type carbonPart struct {
	Wet      *float64 `json:"mass_kg_wet" unit:"kg" low:"0"`
	Water    *float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1" doc:"0 when carbon and nitrogen are of the mass as it lies"`
	Carbon   *float64 `json:"carbon_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	Nitrogen *float64 `json:"nitrogen_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	CN       *float64 `json:"cn" unit:"-" low:"0" high:"5000" doc:"in place of carbon_frac_dry"`
	CarbonKg *float64 `json:"carbon_kg" unit:"kg" low:"0" doc:"in place of the five above"`
	NKg      *float64 `json:"nitrogen_kg" unit:"kg" low:"0" doc:"with carbon_kg"`
}

type carbonToNitrogenIn struct {
	Parts []carbonPart `json:"parts"`
}

type carbonToNitrogenOut struct {
	Carbon   float64 `json:"carbon_kg" unit:"kg"`
	Nitrogen float64 `json:"nitrogen_kg" unit:"kg"`
	CN       float64 `json:"cn" unit:"-"`
}

// carbonToNitrogenFigure is model.md (M9).
func carbonToNitrogenFigure(in carbonToNitrogenIn) (out carbonToNitrogenOut, notes []string, err error) {
	total := none()
	var wrong []figure.Problem
	for i, q := range in.Parts {
		switch {
		case q.CarbonKg != nil && q.NKg != nil:
			total.carbon += *q.CarbonKg
			total.nitrogen += *q.NKg
		case q.Wet != nil && q.Water != nil && q.Nitrogen != nil && (q.Carbon != nil || q.CN != nil):
			m := feedstock.Material{Water: own(*q.Water), Nitrogen: own(*q.Nitrogen)}
			if q.Carbon != nil {
				m.Carbon = own(*q.Carbon)
			} else {
				m.CN = own(*q.CN)
			}
			v := m.Values(feedstock.Best)
			s := sumsOf(&v, feedstock.Quantity{Wet: qty.WetKg(*q.Wet)})
			total.add(&s)
		default:
			wrong = append(wrong, figure.Problem{Field: fmt.Sprintf("parts[%d]", i), Say: "Its carbon and nitrogen cannot be found.",
				Try: "Give carbon_kg and nitrogen_kg, or mass_kg_wet, water_frac_wet, nitrogen_frac_dry and one of carbon_frac_dry and cn."})
		}
	}
	if len(wrong) > 0 {
		return out, nil, &figure.Refusal{Problems: wrong}
	}
	if total.nitrogen == 0 {
		return out, nil, figure.Refuse("parts", "There is no nitrogen in it, so there is no ratio.", "Give at least one part with nitrogen.")
	}
	return carbonToNitrogenOut{total.carbon, total.nitrogen, ratio(total.carbon, total.nitrogen)}, nil, nil
}

type known struct {
	Wet      float64 `json:"mass_kg_wet" unit:"kg" low:"0"`
	Water    float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Carbon   float64 `json:"carbon_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	Nitrogen float64 `json:"nitrogen_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
}

type unknown struct {
	Water    float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Carbon   float64 `json:"carbon_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	Nitrogen float64 `json:"nitrogen_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
}

// excess is the carbon beyond a C:N in a kilogram as it lies.
func (u unknown) excess(cn float64) float64 { return (1 - u.Water) * (u.Carbon - cn*u.Nitrogen) }

type massForCNIn struct {
	First  known   `json:"first"`
	Second unknown `json:"second"`
	Target float64 `json:"target_cn" unit:"-" low:"0" high:"5000"`
}

// massForCNFigure is model.md (M10).
func massForCNFigure(in massForCNIn) (massOut, []string, error) {
	first := unknown{in.First.Water, in.First.Carbon, in.First.Nitrogen}
	a, b := first.excess(in.Target), in.Second.excess(in.Target)
	if a*b > 0 || b == 0 {
		return massOut{}, nil, figure.Refuse("target_cn", fmt.Sprintf("No mix of the two has a C:N of %g: it must lie between %s and %s.", in.Target,
			qty.Figures(ratio(in.First.Carbon, in.First.Nitrogen)), qty.Figures(ratio(in.Second.Carbon, in.Second.Nitrogen))), "Choose a target between them or another material.")
	}
	return massOut{-in.First.Wet * a / b}, nil, nil
}

type twoTargetsIn struct {
	Known   []known   `json:"known"`
	Unknown []unknown `json:"unknown" doc:"two materials, or three with a total; water is water_frac_wet 1 and carbon and nitrogen 0"`
	Water   float64   `json:"target_water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	CN      float64   `json:"target_cn" unit:"-" low:"0" high:"5000"`
	Total   *float64  `json:"total_kg_wet" unit:"kg" low:"0" doc:"with three unknown materials"`
}

type twoTargetsOut struct {
	Mass []float64 `json:"mass_kg_wet" unit:"kg"`
}

// twoTargetsFigure is model.md (M11): two linear equations, three with a total.
func twoTargetsFigure(in twoTargetsIn) (out twoTargetsOut, notes []string, err error) {
	n := 2
	if in.Total != nil {
		n = 3
	}
	if len(in.Unknown) != n {
		return out, nil, figure.Refuse("unknown", fmt.Sprintf("There are %d materials whose mass is to be found.", len(in.Unknown)), "Give two, or three together with total_kg_wet.")
	}
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, n+1)
	}
	for j, u := range in.Unknown {
		a[0][j] = u.Water - in.Water
		a[1][j] = u.excess(in.CN)
	}
	for _, k := range in.Known {
		a[0][n] -= (k.Water - in.Water) * k.Wet
		a[1][n] -= k.Wet * unknown{k.Water, k.Carbon, k.Nitrogen}.excess(in.CN)
	}
	if n == 3 {
		a[2][3] = *in.Total
		for j := range in.Unknown {
			a[2][j] = 1
		}
		for _, k := range in.Known {
			a[2][3] -= k.Wet
		}
	}
	x, ok := eliminate(a)
	if !ok {
		return out, nil, figure.Refuse("unknown", "These materials are too alike: no one mix, or every mix, meets both targets.", "Choose materials that differ in moisture and in C:N.")
	}
	var wrong []figure.Problem
	for j, v := range x {
		if v < 0 {
			wrong = append(wrong, figure.Problem{Field: fmt.Sprintf("unknown[%d]", j), Say: fmt.Sprintf("No such mix: %s kg of it would have to be taken away.", qty.Figures(-v)), Try: "Change a target or choose another material."})
		}
	}
	if len(wrong) > 0 {
		return out, nil, &figure.Refusal{Problems: wrong}
	}
	return twoTargetsOut{x}, nil, nil
}

// eliminate solves the rows of a, whose last column is the right side, by
// Gaussian elimination with pivoting; false when they do not fix one answer.
func eliminate(a [][]float64) ([]float64, bool) {
	n := len(a)
	for i := range a {
		top := 0.0
		for _, v := range a[i][:n] {
			top = math.Max(top, math.Abs(v))
		}
		if top == 0 {
			return nil, false
		}
		for j := range a[i] {
			a[i][j] /= top
		}
	}
	for i := range n {
		p := i
		for r := i + 1; r < n; r++ {
			if math.Abs(a[r][i]) > math.Abs(a[p][i]) {
				p = r
			}
		}
		if math.Abs(a[p][i]) < 1e-12 {
			return nil, false
		}
		a[i], a[p] = a[p], a[i]
		for r := range n {
			if r != i {
				f := a[r][i] / a[i][i]
				for c := i; c <= n; c++ {
					a[r][c] -= f * a[i][c]
				}
			}
		}
	}
	x := make([]float64, n)
	for i := range x {
		x[i] = a[i][n] / a[i][i]
	}
	return x, true
}

type partIn struct {
	Wet      *float64 `json:"mass_kg_wet" unit:"kg" low:"0" doc:"one of the three amounts"`
	Dry      *float64 `json:"mass_kg_dry" unit:"kg" low:"0"`
	Volume   *float64 `json:"volume_m3" unit:"m3" low:"0"`
	Density  *float64 `json:"density_kg_m3_wet" unit:"kg/m3" low:"1" high:"3000"`
	Water    float64  `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Carbon   *float64 `json:"carbon_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	Nitrogen *float64 `json:"nitrogen_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
}

type partOut struct {
	Wet      float64  `json:"mass_kg_wet" unit:"kg"`
	Dry      float64  `json:"mass_kg_dry" unit:"kg"`
	Water    float64  `json:"water_kg" unit:"kg"`
	Volume   *float64 `json:"volume_m3" unit:"m3"`
	Carbon   *float64 `json:"carbon_kg" unit:"kg"`
	Nitrogen *float64 `json:"nitrogen_kg" unit:"kg"`
}

// partFigure is model.md (M8), (M12) and (M16).
func partFigure(in partIn) (out partOut, notes []string, err error) {
	m := feedstock.Material{Water: own(in.Water)}
	for _, g := range []struct {
		to   *feedstock.Property
		from *float64
	}{{&m.Density, in.Density}, {&m.Carbon, in.Carbon}, {&m.Nitrogen, in.Nitrogen}} {
		if g.from != nil {
			*g.to = own(*g.from)
		}
	}
	var q feedstock.Quantity
	if in.Wet != nil {
		q.Wet = qty.WetKg(*in.Wet)
	}
	if in.Dry != nil {
		q.Dry = qty.DryKg(*in.Dry)
	}
	if in.Volume != nil {
		q.Volume = qty.CubicMetre(*in.Volume)
	}
	v := m.Values(feedstock.Best)
	if _, _, err := v.Of("the material", q); err != nil {
		return out, nil, err
	}
	s := sumsOf(&v, q)
	return partOut{s.wet, s.dry, s.water, known64(s.volume), known64(s.carbon), known64(s.nitrogen)}, nil, nil
}

// known64 is nil for a number that is not known.
func known64(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

type nitrogenIn struct {
	Carbon   float64 `json:"carbon_kg" unit:"kg" low:"0"`
	Nitrogen float64 `json:"nitrogen_kg" unit:"kg" low:"0"`
	Target   float64 `json:"target_cn" unit:"-" low:"1" high:"5000"`
	Fraction float64 `json:"product_nitrogen_frac" unit:"kg/kg" low:"0.001" high:"1" default:"0.46" doc:"of the product; urea 0.46"`
}

type nitrogenOut struct {
	Need    float64 `json:"nitrogen_needed_kg" unit:"kg" doc:"in all"`
	Add     float64 `json:"nitrogen_to_add_kg" unit:"kg" doc:"below 0: there is more than enough"`
	Product float64 `json:"product_kg" unit:"kg"`
	Low     float64 `json:"apply_low_kg" unit:"kg" doc:"what to apply of it at most at first"`
	High    float64 `json:"apply_high_kg" unit:"kg"`
}

// nitrogenFigure is model.md (M13).
func (p Parameters) nitrogenFigure(in nitrogenIn) (nitrogenOut, []string, error) {
	need := in.Carbon / in.Target
	add := need - in.Nitrogen
	product := math.Max(0, add) / in.Fraction
	out := nitrogenOut{need, add, product, p.ApplyLow * product, p.ApplyHigh * product}
	return out, []string{"Straight nitrogen is freed faster than carbon: apply only the lower amounts, split. It is not for worm feed, where it turns to ammonia and salt."}, nil
}
