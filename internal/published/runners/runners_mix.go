package runners

import (
	"fmt"
	"sync"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/published"
	"wormyard/mix"
	"wormyard/qty"
)

// mixing computes the checks of mixes that no single figure answers: each runs
// a figure of mixing, or a whole mix.
func mixing() []Runner {
	return []Runner{
		{"briggs_conversion_factors", "compaction", compaction},
		{"briggs_conversion_factors", "expansion_factors", ofFactor},
		{"briggs_conversion_factors", "solid_of_a_unit", ofFactor},
		{"briggs_conversion_factors", "voids", ofFactor},
		{"barker_duck_litter", "volatile", forward},
		{"barker_duck_litter", "ammonia", forward},
		{"fidanza_mushroom_compost", "organic_matter", forward},
		{"mix_by_hand", "ph", acidity},
	}
}

// figures gives the figures of the core by name.
var figures = sync.OnceValues(func() (map[string]figure.Figure, error) {
	n, err := numbers()
	byName := map[string]figure.Figure{}
	for _, f := range n.Figures() {
		byName[f.Name] = f
	}
	return byName, err
})

// figureOf gives a figure of the core as a computation.
func figureOf(name string) (published.Compute, error) {
	all, err := figures()
	if err != nil {
		return nil, err
	}
	f, ok := all[name]
	if !ok {
		return nil, fmt.Errorf("there is no figure %q", name)
	}
	return published.ByFigure(f), nil
}

// call runs a figure of the core.
func call(name string, in map[string]any) (map[string]any, error) {
	f, err := figureOf(name)
	if err != nil {
		return nil, err
	}
	return f(in)
}

// compaction is the expansion factor of loose chips over that of compacted ones.
func compaction(in map[string]any) (map[string]any, error) {
	factor := func(density string) (float64, error) {
		out, err := call("mix.expansion", map[string]any{"solid_density_ratio": in["solid_density_ratio"], "density_kg_m3_dry": in[density]})
		if err != nil {
			return 0, err
		}
		return out["expansion_factor"].(float64), nil
	}
	loose, err := factor("loose_kg_m3_dry")
	if err != nil {
		return nil, err
	}
	compacted, err := factor("compacted_kg_m3_dry")
	return map[string]any{"compaction": loose / compacted}, err
}

// ofFactor turns an expansion factor round: wood as dense as water, spread out
// by it.
func ofFactor(in map[string]any) (map[string]any, error) {
	out, err := call("mix.expansion", map[string]any{"solid_density_ratio": 1, "density_kg_m3_dry": 1000 / in["expansion_factor"].(float64)})
	if err != nil {
		return nil, err
	}
	out["solid_ft3_in_200"] = 200 * out["solid_frac"].(float64)
	return out, nil
}

// material is one of the checks, with what the row gives of it.
func material(in map[string]any) feedstock.Material {
	number := func(key string) feedstock.Property {
		v, ok := in[key].(float64)
		if !ok {
			return feedstock.Property{}
		}
		return property(v, v)
	}
	m := feedstock.Material{Water: number("water_frac_wet"), Ash: number("ash_frac_dry"), Nitrogen: number("nitrogen_frac_dry"), Ammonia: number("ammonia_n_mg_kg_dry")}
	if low, ok := in["ph_low"].(float64); ok {
		m.PH = property(low, in["ph_high"].(float64))
	}
	return m
}

func property(low, high float64) feedstock.Property {
	return feedstock.Property{Estimate: qty.Estimate{Best: (low + high) / 2, Low: low, High: high, Known: "measured"}, Own: true}
}

// forward is a mix of one part, of which ammonia may be given as a share of the
// nitrogen.
func forward(in map[string]any) (map[string]any, error) {
	n, err := numbers()
	if err != nil {
		return nil, err
	}
	m := material(in)
	if share, ok := in["ammonia_of_nitrogen"].(float64); ok {
		of := share * in["nitrogen_frac_dry"].(float64) * 1e6
		m.Ammonia = property(of, of)
	}
	r, err := mix.Forward(n.Mix, mix.Recipe{Parts: []mix.Part{{Name: "it", Material: m, Amount: feedstock.Quantity{Wet: qty.WetKg(in["mass_kg_wet"].(float64))}}}})
	if err != nil {
		return nil, err
	}
	dry := r.Numbers[mix.MassDry]
	return map[string]any{"volatile_kg": dry * (1 - r.Numbers[mix.Ash]), "ammonia_n_kg": dry * r.Numbers[mix.Ammonia] / 1e6}, nil
}

// acidity is the range that a mix shows for its pH.
func acidity(in map[string]any) (map[string]any, error) {
	n, err := numbers()
	if err != nil {
		return nil, err
	}
	var r mix.Recipe
	for i, p := range in["parts"].([]any) {
		part := p.(map[string]any)
		m := material(part)
		m.Water = property(.7, .7)
		r.Parts = append(r.Parts, mix.Part{Name: fmt.Sprint(i), Material: m, Amount: feedstock.Quantity{Wet: qty.WetKg(part["mass_kg_wet"].(float64))}})
	}
	got, err := mix.Forward(n.Mix, r)
	if err != nil {
		return nil, err
	}
	return map[string]any{"ph_low": got.Numbers[mix.PHLow], "ph_high": got.Numbers[mix.PHHigh]}, nil
}
