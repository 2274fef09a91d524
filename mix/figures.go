package mix

import (
	"fmt"
	"math"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

// Figures gives the figures of mixing, in the order of docs/model.md.
func Figures(p Parameters) []figure.Figure {
	of := func(name string) figure.Figure {
		f := formulas[name]
		return figure.Figure{Name: name, Title: f.title, Equation: f.equation, Formula: f.text, Source: f.source}
	}
	return []figure.Figure{
		figure.Of(of("mix.moisture"), moistureFigure),
		figure.Of(of("mix.basis"), basisFigure),
		figure.Of(of("mix.blend_moisture"), blendMoistureFigure),
		figure.Of(of("mix.mass_for_moisture"), massForMoistureFigure),
		figure.Of(of("mix.water_to_add"), waterToAddFigure),
		figure.Of(of("mix.volumetric_water"), volumetricFigure),
		figure.Of(of("mix.carbon"), carbonFigure),
		figure.Of(of("mix.carbon_to_nitrogen"), carbonToNitrogenFigure),
		figure.Of(of("mix.mass_for_cn"), massForCNFigure),
		figure.Of(of("mix.two_targets"), twoTargetsFigure),
		figure.Of(of("mix.part"), partFigure),
		figure.Of(of("mix.nitrogen_to_add"), p.nitrogenFigure),
		figure.Of(of("mix.carbon_from_ash"), p.carbonFromAshFigure),
		figure.Of(of("mix.organic_matter"), p.organicMatterFigure),
		figure.Of(of("mix.density"), densityFigure),
		figure.Of(of("mix.blend_density"), blendDensityFigure),
		figure.Of(of("mix.bucket"), bucketFigure),
		figure.Of(of("mix.density_units"), densityUnitsFigure),
		figure.Of(of("mix.expansion"), expansionFigure),
		figure.Of(of("mix.air_filled"), p.airFilledFigure),
		figure.Of(of("mix.air_by_filling"), airByFillingFigure),
		figure.Of(of("mix.compaction"), compactionFigure),
		figure.Of(of("mix.dry_mean"), dryMeanFigure),
		figure.Of(of("mix.ash_balance"), ashBalanceFigure),
		figure.Of(of("mix.degradable"), degradableFigure),
	}
}

type moistureIn struct {
	Wet float64 `json:"wet_kg" unit:"kg" low:"0" doc:"mass as it was, net of the pan"`
	Dry float64 `json:"dry_kg" unit:"kg" low:"0" doc:"mass after drying, net of the pan"`
}

type moistureOut struct {
	OfWet float64  `json:"water_frac_wet" unit:"kg/kg wet"`
	OfDry *float64 `json:"water_frac_dry" unit:"kg/kg dry"`
}

// moistureFigure is model.md (M1).
func moistureFigure(in moistureIn) (out moistureOut, notes []string, err error) {
	if in.Wet == 0 {
		return out, nil, figure.Refuse("wet_kg", "The sample weighs nothing.", "Give its mass as it was, less the pan.")
	}
	if in.Dry > in.Wet {
		return out, nil, figure.Refuse("dry_kg", fmt.Sprintf("It weighs more dry (%g kg) than wet (%g kg).", in.Dry, in.Wet), "Look whether the two were swapped, or the pan was taken off one of them only.")
	}
	out.OfWet = ratio(in.Wet-in.Dry, in.Wet)
	return basis(out.OfWet)
}

func basis(ofWet float64) (moistureOut, []string, error) {
	out := moistureOut{OfWet: ofWet}
	if ofWet == 1 {
		return out, []string{"All of it is water, so there is no dry matter to refer to."}, nil
	}
	d := float64(qty.WaterOfWet(ofWet).OfDry())
	out.OfDry = &d
	return out, nil, nil
}

type basisIn struct {
	OfDry *float64 `json:"water_frac_dry" unit:"kg/kg dry" low:"0" high:"1e6" doc:"one of the two"`
	OfWet *float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1" doc:"one of the two"`
}

// basisFigure is model.md (M2).
func basisFigure(in basisIn) (moistureOut, []string, error) {
	switch {
	case in.OfDry != nil && in.OfWet != nil:
		return moistureOut{}, nil, figure.Refuse("water_frac_dry", "Moisture is given on both bases.", "Give one of water_frac_dry and water_frac_wet.")
	case in.OfDry != nil:
		d := *in.OfDry
		return moistureOut{OfWet: float64(qty.WaterOfDry(d).OfWet()), OfDry: &d}, nil, nil
	case in.OfWet != nil:
		return basis(*in.OfWet)
	}
	return moistureOut{}, nil, figure.Refuse("water_frac_dry", "No moisture is given.", "Give one of water_frac_dry and water_frac_wet.")
}

type wetPart struct {
	Wet   float64 `json:"mass_kg_wet" unit:"kg" low:"0"`
	Water float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
}

type blendMoistureIn struct {
	Parts  []wetPart `json:"parts"`
	Poured float64   `json:"water_kg" unit:"kg" low:"0" default:"0" doc:"water poured on"`
}

type blendMoistureOut struct {
	Wet   float64 `json:"mass_kg_wet" unit:"kg"`
	Dry   float64 `json:"mass_kg_dry" unit:"kg"`
	Water float64 `json:"water_kg" unit:"kg"`
	OfWet float64 `json:"water_frac_wet" unit:"kg/kg wet"`
}

// blendMoistureFigure is model.md (M3).
func blendMoistureFigure(in blendMoistureIn) (out blendMoistureOut, notes []string, err error) {
	total := none()
	for _, q := range in.Parts {
		s := sumsOf(&feedstock.Values{Water: qty.WaterOfWet(q.Water)}, feedstock.Quantity{Wet: qty.WetKg(q.Wet)})
		total.add(&s)
	}
	total.wet += in.Poured
	total.water += in.Poured
	if total.wet == 0 {
		return out, nil, figure.Refuse("parts", "The mix weighs nothing.", "Give at least one mass.")
	}
	return blendMoistureOut{total.wet, total.dry, total.water, ratio(total.water, total.wet)}, nil, nil
}

type massForMoistureIn struct {
	Wet    float64 `json:"mass_kg_wet" unit:"kg" low:"0" doc:"of the first material"`
	Water  float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Other  float64 `json:"other_water_frac_wet" unit:"kg/kg wet" low:"0" high:"1" doc:"of the second material"`
	Target float64 `json:"target_water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
}

type massOut struct {
	Other float64 `json:"other_mass_kg_wet" unit:"kg" doc:"of the second material"`
}

// massForMoisture is model.md (M4).
func massForMoisture(mass, water, other, target float64) float64 {
	return mass * (target - water) / (other - target)
}

func massForMoistureFigure(in massForMoistureIn) (massOut, []string, error) {
	if (in.Target-in.Water)*(in.Other-in.Target) < 0 || in.Other == in.Target {
		return massOut{}, nil, figure.Refuse("target_water_frac_wet", fmt.Sprintf("No mix of the two has a moisture of %g %%: it must lie between %g and %g %%.", 100*in.Target, 100*math.Min(in.Water, in.Other), 100*math.Max(in.Water, in.Other)), "Choose a target between them or another material.")
	}
	return massOut{massForMoisture(in.Wet, in.Water, in.Other, in.Target)}, nil, nil
}

type waterToAddIn struct {
	Wet    float64 `json:"mass_kg_wet" unit:"kg" low:"0"`
	Water  float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Target float64 `json:"target_water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
}

type waterToAddOut struct {
	Water float64 `json:"water_kg" unit:"kg" doc:"to pour on; below 0, to lose"`
}

// WaterToAdd gives the water to pour on a mass for a moisture, below zero when
// it must dry; target below 1. model.md (M5), (M6).
func WaterToAdd(mass qty.WetKg, water, target qty.WaterOfWet) qty.WaterKg {
	return qty.WaterKg(massForMoisture(float64(mass), float64(water), 1, float64(target)))
}

func waterToAddFigure(in waterToAddIn) (waterToAddOut, []string, error) {
	if in.Target == 1 && in.Water < 1 {
		return waterToAddOut{}, nil, figure.Refuse("target_water_frac_wet", "No amount of water makes it all water.", "Give a target below 1.")
	}
	if in.Target == 1 {
		return waterToAddOut{}, nil, nil
	}
	w := float64(WaterToAdd(qty.WetKg(in.Wet), qty.WaterOfWet(in.Water), qty.WaterOfWet(in.Target)))
	var notes []string
	if w < 0 {
		notes = []string{fmt.Sprintf("It is wetter than wanted: %s kg of water must go.", qty.Figures(-w))}
	}
	return waterToAddOut{w}, notes, nil
}

type volumetricIn struct {
	OfDry   float64 `json:"water_frac_dry" unit:"kg/kg dry" low:"0" high:"1e6"`
	Density float64 `json:"density_kg_m3_dry" unit:"kg/m3" low:"0" high:"3000"`
}

type volumetricOut struct {
	OfVolume float64 `json:"water_frac_volume" unit:"m3/m3"`
}

// volumetricFigure is model.md (M7).
func volumetricFigure(in volumetricIn) (volumetricOut, []string, error) {
	out := volumetricOut{in.OfDry * in.Density / waterDensity}
	var notes []string
	if out.OfVolume > 1 {
		notes = []string{"More water than room: one of the two numbers is off."}
	}
	return out, notes, nil
}

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

type carbonFromAshIn struct {
	Ash     float64  `json:"ash_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	Divisor *float64 `json:"divisor" unit:"-" low:"1" high:"4" doc:"1.8 when left out"`
}

type carbonFromAshOut struct {
	Carbon  float64 `json:"carbon_frac_dry" unit:"kg/kg dry"`
	Divisor float64 `json:"divisor" unit:"-"`
}

// carbonFromAshFigure is model.md (M14).
func (p Parameters) carbonFromAshFigure(in carbonFromAshIn) (carbonFromAshOut, []string, error) {
	d := orElse(in.Divisor, p.CarbonDivisor)
	return carbonFromAshOut{(1 - in.Ash) / d, d}, nil, nil
}

func orElse(v *float64, other float64) float64 {
	if v != nil {
		return *v
	}
	return other
}

type organicMatterIn struct {
	Carbon  float64  `json:"carbon_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	Divisor *float64 `json:"divisor" unit:"-" low:"1" high:"4" doc:"1.724 when left out; laboratories of compost often take 1.85"`
}

type organicMatterOut struct {
	Organic float64 `json:"organic_frac_dry" unit:"kg/kg dry"`
	Divisor float64 `json:"divisor" unit:"-"`
}

// organicMatterFigure is model.md (M15).
func (p Parameters) organicMatterFigure(in organicMatterIn) (organicMatterOut, []string, error) {
	d := orElse(in.Divisor, p.OrganicDivisor)
	out := organicMatterOut{in.Carbon * d, d}
	var notes []string
	if out.Organic > 1 {
		notes = []string{"More organic matter than dry matter: the carbon or the divisor is off."}
	}
	return out, notes, nil
}

type densityIn struct {
	Dry   float64 `json:"density_kg_m3_dry" unit:"kg/m3" low:"0" high:"3000"`
	Water float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"0.9999"`
}

type densityOut struct {
	Wet float64 `json:"density_kg_m3_wet" unit:"kg/m3"`
}

// densityFigure is model.md (M16).
func densityFigure(in densityIn) (densityOut, []string, error) {
	return densityOut{float64(qty.KgPerM3Dry(in.Dry).Wet(qty.WaterOfWet(in.Water)))}, nil, nil
}

type blendDensityPart struct {
	Wet    float64 `json:"mass_kg_wet" unit:"kg" low:"0"`
	Volume float64 `json:"volume_m3" unit:"m3" low:"0"`
}

type blendDensityIn struct {
	Parts  []blendDensityPart `json:"parts"`
	Water  float64            `json:"water_kg" unit:"kg" low:"0" default:"0" doc:"poured on; fills pores"`
	Shrink float64            `json:"shrink_frac" unit:"m3/m3" low:"0" high:"0.99" default:"0"`
}

type blendDensityOut struct {
	Volume  float64 `json:"volume_m3" unit:"m3"`
	Density float64 `json:"density_kg_m3_wet" unit:"kg/m3"`
}

// blendDensityFigure is model.md (M17).
func blendDensityFigure(in blendDensityIn) (out blendDensityOut, notes []string, err error) {
	total := sums{wet: in.Water}
	for _, q := range in.Parts {
		total.wet += q.Wet
		total.volume += q.Volume
	}
	if total.volume == 0 {
		return out, nil, figure.Refuse("parts", "The mix has no volume.", "Give at least one volume.")
	}
	v := total.volume * (1 - in.Shrink)
	return blendDensityOut{v, ratio(total.wet, v)}, nil, nil
}

type bucketIn struct {
	Volume float64 `json:"bucket_volume_m3" unit:"m3" low:"0.0001" high:"100"`
	Empty  float64 `json:"empty_kg" unit:"kg" low:"0"`
	Full   float64 `json:"full_kg" unit:"kg" low:"0"`
}

// bucketFigure is model.md (M18).
func bucketFigure(in bucketIn) (densityOut, []string, error) {
	if in.Full < in.Empty {
		return densityOut{}, nil, figure.Refuse("full_kg", fmt.Sprintf("The bucket weighs less full (%g kg) than empty (%g kg).", in.Full, in.Empty), "Look whether the two were swapped.")
	}
	return densityOut{(in.Full - in.Empty) / in.Volume}, []string{"Fill a third, drop the bucket ten times from 6 in, again at two thirds and when full, then top up without dropping. Other protocols drop it from 1 ft or tap five times; keep to one."}, nil
}

type densityUnitsIn struct {
	Metric *float64 `json:"density_kg_m3" unit:"kg/m3" low:"0" high:"30000" doc:"one of the three"`
	Yard   *float64 `json:"density_lb_yd3" unit:"lb/yd3" low:"0" high:"60000"`
	Foot   *float64 `json:"density_lb_ft3" unit:"lb/ft3" low:"0" high:"2000"`
}

type densityUnitsOut struct {
	Metric float64 `json:"density_kg_m3" unit:"kg/m3"`
	Yard   float64 `json:"density_lb_yd3" unit:"lb/yd3"`
	Foot   float64 `json:"density_lb_ft3" unit:"lb/ft3"`
}

// densityUnitsFigure is model.md (M19).
func densityUnitsFigure(in densityUnitsIn) (out densityUnitsOut, notes []string, err error) {
	const yard, foot = qty.KgPerPound / qty.M3PerCubicYard, qty.KgPerPound / qty.M3PerCubicFoot
	given := 0
	for _, g := range []struct {
		value  *float64
		factor float64
	}{{in.Metric, 1}, {in.Yard, yard}, {in.Foot, foot}} {
		if g.value != nil {
			given++
			out.Metric = *g.value * g.factor
		}
	}
	if given != 1 {
		return densityUnitsOut{}, nil, figure.Refuse("density_kg_m3", fmt.Sprintf("%d densities are given.", given), "Give one of density_kg_m3, density_lb_yd3 and density_lb_ft3.")
	}
	out.Yard, out.Foot = out.Metric/yard, out.Metric/foot
	return out, nil, nil
}

type expansionIn struct {
	Solid float64 `json:"solid_density_ratio" unit:"-" low:"0.01" high:"3" doc:"specific gravity of the solid wood, dry mass over green volume"`
	Dry   float64 `json:"density_kg_m3_dry" unit:"kg/m3" low:"0.1" high:"3000"`
}

type expansionOut struct {
	Factor float64 `json:"expansion_factor" unit:"-"`
	Solid  float64 `json:"solid_frac" unit:"m3/m3"`
	Void   float64 `json:"void_frac" unit:"m3/m3" doc:"between particles"`
}

// expansionFigure is model.md (M20).
func expansionFigure(in expansionIn) (expansionOut, []string, error) {
	solid := in.Dry / (waterDensity * in.Solid)
	if solid > 1 {
		return expansionOut{}, nil, figure.Refuse("density_kg_m3_dry", fmt.Sprintf("Loose, it would be denser (%g kg/m3) than the solid wood (%g kg/m3).", in.Dry, waterDensity*in.Solid), "Look again at the two; the density must be of dry matter.")
	}
	return expansionOut{1 / solid, solid, 1 - solid}, nil, nil
}

type airFilledIn struct {
	Density  float64  `json:"density_kg_m3_wet" unit:"kg/m3" low:"0" high:"3000"`
	Water    *float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1" doc:"for the method volumes"`
	Volatile *float64 `json:"volatile_frac_dry" unit:"kg/kg dry" low:"0" high:"1" doc:"for the method volumes"`
	Method   string   `json:"method" choice:"volumes,linear" default:"volumes"`
	Organic  *float64 `json:"organic_kg_m3" unit:"kg/m3" low:"500" high:"3000" doc:"of organic matter without pores; 1600 when left out"`
	Ash      *float64 `json:"ash_kg_m3" unit:"kg/m3" low:"1000" high:"5000" doc:"of ash without pores; 2500 when left out"`
	Slope    *float64 `json:"slope" unit:"% m3/kg" low:"0.01" high:"0.2" doc:"for the method linear; 0.09 (pycnometer) when left out, 0.096 by particle density"`
}

type airFilledOut struct {
	Air    float64 `json:"air_filled_frac" unit:"m3/m3"`
	Method string  `json:"method"`
}

// airFilledFigure is model.md (M21) and (M22).
func (p Parameters) airFilledFigure(in airFilledIn) (out airFilledOut, notes []string, err error) {
	out.Method = in.Method
	if Method(in.Method) == Linear {
		out.Air = airByDensity(in.Density, orElse(in.Slope, p.SlopePycno))
	} else {
		var wrong []figure.Problem
		for _, g := range []struct {
			key   string
			value *float64
		}{{"water_frac_wet", in.Water}, {"volatile_frac_dry", in.Volatile}} {
			if g.value == nil {
				wrong = append(wrong, figure.Problem{Field: g.key, Say: "The method volumes needs it.", Try: `Give it, or choose the method "linear", which needs bulk density only.`})
			}
		}
		if len(wrong) > 0 {
			return out, nil, &figure.Refusal{Problems: wrong}
		}
		dry := in.Density * (1 - *in.Water)
		out.Air = airByVolumes(in.Density**in.Water, dry**in.Volatile, dry*(1-*in.Volatile), 1, orElse(in.Organic, p.OrganicDensity), orElse(in.Ash, p.AshDensity))
	}
	if out.Air < 0 {
		notes = append(notes, fmt.Sprintf("It comes out as %.1f %%, which cannot be: no air is left, and a density or moisture may be off. 0 is given.", 100*out.Air))
		out.Air = 0
	}
	return out, notes, nil
}

type airByFillingIn struct {
	Water  float64 `json:"water_m3" unit:"m3" low:"0" doc:"poured in until it stands level"`
	Vessel float64 `json:"vessel_m3" unit:"m3" low:"0.00001" high:"100"`
}

// airByFillingFigure is model.md (M23).
func airByFillingFigure(in airByFillingIn) (airFilledOut, []string, error) {
	if in.Water > in.Vessel {
		return airFilledOut{}, nil, figure.Refuse("water_m3", "More water went in than the vessel holds.", "Look again at the two volumes.")
	}
	return airFilledOut{in.Water / in.Vessel, "filling"}, nil, nil
}

type compactionIn struct {
	Air  float64 `json:"air_filled_frac" unit:"m3/m3" low:"0" high:"1"`
	Lost float64 `json:"volume_lost_frac" unit:"m3/m3" low:"0" high:"0.99"`
}

type compactionOut struct {
	Air       float64  `json:"air_filled_frac" unit:"m3/m3"`
	Diffusion *float64 `json:"diffusion_ratio" unit:"-" doc:"of oxygen, after over before"`
}

// compactionFigure is model.md (M24).
func compactionFigure(in compactionIn) (compactionOut, []string, error) {
	if in.Lost > in.Air {
		return compactionOut{}, nil, figure.Refuse("volume_lost_frac", "More volume would be lost than there is air; solids and water do not give way.", fmt.Sprintf("It must be %g or less.", in.Air))
	}
	air := (in.Air - in.Lost) / (1 - in.Lost)
	return compactionOut{air, known64(ratio(air*air, in.Air*in.Air))}, nil, nil
}

type dryMeanPart struct {
	Dry   float64 `json:"mass_kg_dry" unit:"kg" low:"0"`
	Value float64 `json:"value" unit:"any, of dry matter" low:"0"`
}

type dryMeanIn struct {
	Parts []dryMeanPart `json:"parts"`
}

type dryMeanOut struct {
	Mean float64 `json:"mean" unit:"as the values"`
}

// dryMeanFigure is model.md (M26).
func dryMeanFigure(in dryMeanIn) (out dryMeanOut, notes []string, err error) {
	sum, dry := 0.0, 0.0
	for _, q := range in.Parts {
		sum += q.Dry * q.Value
		dry += q.Dry
	}
	if dry == 0 {
		return out, nil, figure.Refuse("parts", "There is no dry matter.", "Give at least one mass.")
	}
	return dryMeanOut{ratio(sum, dry)}, []string{"For salts this is an estimate: it holds only when all values are of one kind of extract."}, nil
}

type ashBalanceIn struct {
	Before float64 `json:"ash_frac_dry_before" unit:"kg/kg dry" low:"0" high:"1"`
	After  float64 `json:"ash_frac_dry_after" unit:"kg/kg dry" low:"0" high:"1"`
}

type ashBalanceOut struct {
	Left float64 `json:"dry_left_frac" unit:"kg/kg"`
	Lost float64 `json:"volatile_lost_frac" unit:"kg/kg"`
}

// ashBalanceFigure is model.md (M28).
func ashBalanceFigure(in ashBalanceIn) (out ashBalanceOut, notes []string, err error) {
	if in.Before == 0 || in.After == 0 || in.Before == 1 {
		return out, nil, figure.Refuse("ash_frac_dry_before", "Without ash on both sides, or without volatile matter before, there is nothing to compare.", "Give ash above 0, and below 1 before.")
	}
	out.Left = in.Before / in.After
	out.Lost = 1 - (1-in.After)*in.Before/((1-in.Before)*in.After)
	if out.Left > 1 {
		notes = []string{"There is less ash than before, so soil, grit or another batch came between, or a sample was not alike."}
	}
	return out, notes, nil
}

type degradableIn struct {
	Lignin float64 `json:"lignin_frac_volatile" unit:"kg/kg volatile" low:"0" high:"1"`
}

type degradableOut struct {
	Fraction float64 `json:"degradable_frac_volatile" unit:"kg/kg volatile"`
}

// degradableFigure is model.md (M29).
func degradableFigure(in degradableIn) (degradableOut, []string, error) {
	f := feedstock.Degradable(in.Lignin)
	var notes []string
	if f <= feedstock.Degradable(1) {
		notes = []string{"Beyond the lignin for which the line was drawn; its least value is given."}
	}
	return degradableOut{f}, notes, nil
}
