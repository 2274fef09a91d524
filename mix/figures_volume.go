package mix

import (
	"fmt"

	"wormyard/figure"
	"wormyard/qty"
)

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
