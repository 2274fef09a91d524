package mix

import (
	"fmt"
	"math"

	"wormyard/figure"
)

// formula says which equation a figure is and where it comes from.
type formula struct{ title, equation, text, source string }

var formulas = map[string]formula{
	"mix.moisture":           {"Moisture from a dried sample", "M1", "water_frac_wet = (wet - dry)/wet, water_frac_dry = (wet - dry)/dry", "Cornell Waste Management Institute, Moisture content"},
	"mix.basis":              {"Moisture from one basis to the other", "M2", "wet = dry_basis/(1 + dry_basis), dry_basis = wet/(1 - wet)", "Briggs, Forest Products Measurements and Conversion Factors, ch. 1"},
	"mix.blend_moisture":     {"Moisture of a mix", "M3", "G = sum(Q M)/sum(Q)", "Cornell Waste Management Institute, Moisture content"},
	"mix.mass_for_moisture":  {"Mass of a second material for a moisture", "M4", "Q_B = Q_A (G - M_A)/(M_B - G)", "Cornell Waste Management Institute, Moisture content"},
	"mix.water_to_add":       {"Water to add, or to lose, for a moisture", "M5", "W = Q (G - M)/(1 - G)", "derived from M4 with water as the second material"},
	"mix.volumetric_water":   {"Water as a part of the volume", "M7", "theta = water_frac_dry B_dry/1000", "derived"},
	"mix.carbon":             {"Carbon from nitrogen and C:N", "M8", "C = N R", "Cornell Waste Management Institute, C/N ratio"},
	"mix.carbon_to_nitrogen": {"C:N of a mix", "M9", "R = sum(D C)/sum(D N)", "Cornell Waste Management Institute, C/N ratio; layout from memory"},
	"mix.mass_for_cn":        {"Mass of a second material for a C:N", "M10", "Q_B = Q_A (1 - M_A)(R N_A - C_A)/[(1 - M_B)(C_B - R N_B)]", "derived from M9; layout of Cornell from memory"},
	"mix.two_targets":        {"Two masses for a moisture and a C:N at once", "M11", "sum((M - G) Q) = 0 and sum((1 - M)(C - R N) Q) = 0", "Cornell Waste Management Institute, Solving the moisture and C/N equations simultaneously; layout derived"},
	"mix.part":               {"What an amount of a material holds", "M12", "Q = V B; D = Q (1 - M); carbon = D C; nitrogen = D N", "on-farm composting handbooks, from memory; derived"},
	"mix.nitrogen_to_add":    {"Straight nitrogen for a C:N", "M13", "need = C/R - N; product = need/fraction", "Cornell Waste Management Institute, Use of fertilizer nitrogen to balance C/N"},
	"mix.carbon_from_ash":    {"Carbon from ash", "M14", "C = (1 - ash)/divisor", "Cornell Waste Management Institute, Estimating carbon content, after Adams et al. 1951"},
	"mix.organic_matter":     {"Organic matter from carbon", "M15", "OM = C divisor", "van Bemmelen factor, from memory"},
	"mix.density":            {"Bulk density as it lies from the dry one", "M16", "B_wet = B_dry/(1 - M)", "Briggs, Forest Products Measurements and Conversion Factors, ch. 7"},
	"mix.blend_density":      {"Volume and bulk density of a mix", "M17", "V = (1 - s) sum(V), B = sum(Q)/V", "derived"},
	"mix.bucket":             {"Bulk density from a weighed bucket", "M18", "B = (full - empty)/volume", "common bucket test of composters"},
	"mix.density_units":      {"Bulk density in the three units of the trade", "M19", "1 lb/yd3 = 0.593276 kg/m3", "exact definitions of pound, yard and foot"},
	"mix.expansion":          {"Expansion of chips over solid wood", "M20", "solid = B_dry/(1000 SG), expansion = 1/solid, voids = 1 - solid", "Briggs, Forest Products Measurements and Conversion Factors, ch. 7"},
	"mix.air_filled":         {"Air-filled space", "M21", "volumes: 1 - B [m/1000 + (1-m) v/organic + (1-m)(1-v)/ash]; linear: 1 - slope B/100", "Richard, Veeken and Hamelers 2004 from memory; Su, McCartney and Wang, abstract"},
	"mix.air_by_filling":     {"Air-filled space by filling the pores with water", "M23", "air = water added/vessel volume", "Cooperband 2002, from memory"},
	"mix.compaction":         {"Air-filled space after settling", "M24", "air_new = (air - c)/(1 - c); diffusion goes with the square of air", "derived from Cornell Waste Management Institute, Inadequate porosity, citing Papendick and Campbell 1981"},
	"mix.dry_mean":           {"Mean over a mix by dry mass", "M26", "mean = sum(D x)/sum(D)", "derived for ash, lignin and ammonia; an estimate for salts"},
	"mix.ash_balance":        {"Dry matter lost, from ash", "M28", "left = ash_before/ash_after; lost = 1 - (1 - ash_after) ash_before/[(1 - ash_before) ash_after]", "Cornell Waste Management Institute, from memory; derived"},
	"mix.degradable":         {"Volatile matter that rots, from lignin", "M29", "Bf = 0.830 - 0.028 X, X lignin in percent of volatile matter", "Chandler et al. 1980, from memory"},
}

func step(name, how string, in, out map[string]float64) figure.Step {
	f := formulas[name]
	return figure.Step{Figure: name, Equation: f.equation, Inputs: in, Outputs: out, Source: f.source, How: how}
}

// keep drops what is not known, so that a step holds numbers only.
func keep(m map[string]float64) map[string]float64 {
	for k, v := range m {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			delete(m, k)
		}
	}
	return m
}

// working writes down every number of a result so that it can be redone by hand.
func working(p Parameters, r Recipe, total *sums, out Result) []figure.Step {
	var steps []figure.Step
	moisture, carbon, density := map[string]float64{"water_kg": float64(r.Water)}, map[string]float64{}, map[string]float64{}
	means := map[Output]map[string]float64{Ash: {}, Lignin: {}, Salts: {}, Ammonia: {}, Carbon: {}, Nitrogen: {}}
	for i, t := range out.Parts {
		v := &t.Values
		in := map[string]float64{
			"water_frac_wet": float64(v.Water), "carbon_frac_dry": float64(v.Carbon), "nitrogen_frac_dry": float64(v.Nitrogen),
		}
		how := "from the wet mass given"
		switch q := r.Parts[i].Amount; {
		case q.Volume > 0:
			in["volume_m3"], in["density_kg_m3_wet"] = float64(q.Volume), float64(v.Density)
			how = "wet mass is volume times density"
		case q.Dry > 0:
			in["mass_kg_dry"], in["density_kg_m3_wet"] = float64(q.Dry), float64(v.Density)
			how = "wet mass is dry mass over one less moisture"
		default:
			in["mass_kg_wet"], in["density_kg_m3_wet"] = float64(q.Wet), float64(v.Density)
		}
		s := sumsOf(v, r.Parts[i].Amount)
		steps = append(steps, step("mix.part", fmt.Sprintf("%s: %s; %s", t.Name, how, carbonFrom(&r.Parts[i])), keep(in), keep(map[string]float64{
			"mass_kg_wet": s.wet, "mass_kg_dry": s.dry, "water_kg": s.water, "volume_m3": s.volume, "carbon_kg": s.carbon, "nitrogen_kg": s.nitrogen,
		})))
		at := func(key string) string { return fmt.Sprintf("parts[%d].%s", i, key) }
		moisture[at("mass_kg_wet")], moisture[at("water_frac_wet")] = s.wet, float64(v.Water)
		carbon[at("carbon_kg")], carbon[at("nitrogen_kg")] = s.carbon, s.nitrogen
		density[at("mass_kg_wet")], density[at("volume_m3")] = s.wet, s.volume
		if s.dry > 0 {
			for o, x := range map[Output]float64{Ash: float64(v.Ash), Lignin: float64(v.Lignin), Salts: float64(v.Salts), Ammonia: float64(v.Ammonia), Carbon: float64(v.Carbon), Nitrogen: float64(v.Nitrogen)} {
				means[o][at("mass_kg_dry")], means[o][at("value")] = s.dry, x
			}
		}
	}
	n := out.Numbers
	add := func(o Output, name, how string, in, result map[string]float64) {
		if n.Known(o) {
			steps = append(steps, step(name, how, keep(in), keep(result)))
		}
	}
	add(Water, "mix.blend_moisture", "water poured on counts as mass and as water", moisture,
		map[string]float64{"mass_kg_wet": n[MassWet], "water_kg": n[WaterMass], "mass_kg_dry": n[MassDry], "water_frac_wet": n[Water]})
	for _, o := range []Output{Carbon, Nitrogen, Ash} {
		add(o, "mix.dry_mean", o.Key()+" of the mix", means[o], map[string]float64{"mean": n[o]})
	}
	add(CN, "mix.carbon_to_nitrogen", "from the sums of carbon and nitrogen, never from a mean of ratios", carbon,
		map[string]float64{"carbon_kg": total.carbon, "nitrogen_kg": total.nitrogen, "cn": n[CN]})
	density["water_kg"], density["shrink_frac"] = float64(r.Water), r.Shrink.Best
	how := "loose volumes add, then a part of the volume is lost on mixing"
	if r.Shrink.Best == 0 {
		how = "loose volumes add; no loss of volume on mixing was given, 0 was taken"
	}
	add(Density, "mix.blend_density", how, density, map[string]float64{"volume_m3": n[Volume], "density_kg_m3_wet": n[Density]})
	switch out.Method {
	case Volumes:
		add(AirFilled, "mix.air_filled", "method volumes: what water, organic matter and ash leave of the volume", map[string]float64{
			"density_kg_m3_wet": n[Density], "water_frac_wet": n[Water], "volatile_frac_dry": 1 - n[Ash],
			"organic_kg_m3": p.OrganicDensity, "ash_kg_m3": p.AshDensity,
		}, map[string]float64{"air_filled_frac": n[AirFilled]})
	case Linear:
		add(AirFilled, "mix.air_filled", "method linear: from bulk density alone", map[string]float64{
			"density_kg_m3_wet": n[Density], "slope": p.SlopePycno,
		}, map[string]float64{"air_filled_frac": n[AirFilled]})
	}
	for _, o := range []Output{Salts, Ammonia, Lignin} {
		add(o, "mix.dry_mean", o.Key()+" of the mix", means[o], map[string]float64{"mean": n[o]})
	}
	return steps
}

// carbonFrom says in words what the carbon of a part rests on.
func carbonFrom(part *Part) string {
	m := &part.Material
	switch {
	case m.Carbon.Own:
		return "carbon as measured"
	case m.CN.Own && m.Nitrogen.Has():
		return fmt.Sprintf("carbon is nitrogen times C:N %g (M8)", m.CN.Best)
	case m.Ash.Own:
		return "carbon from ash (M14)"
	case m.Carbon.Has():
		return "carbon of the library's material"
	case m.Ash.Has():
		return "carbon from the library's ash (M14)"
	}
	return "carbon not known"
}

// WaterStep is the working of WaterToAdd.
func WaterStep(mass, water, target, add float64) figure.Step {
	return step("mix.water_to_add", "to the near end of the moisture window",
		map[string]float64{"mass_kg_wet": mass, "water_frac_wet": water, "target_water_frac_wet": target}, map[string]float64{"water_kg": add})
}
