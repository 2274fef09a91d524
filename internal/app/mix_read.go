package app

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/mix"
	"wormyard/qty"
)

// Resolve turns a typed part into one of the core, without its amount: the
// material from the library or a blank one, with the typed properties in front.
// Problems carry the field under at ("parts[1]").
func (m *Mixer) Resolve(in MixPart, at string) (mix.Part, []figure.Problem) {
	var problems []figure.Problem
	tell := func(field, say, try string) {
		problems = append(problems, figure.Problem{Field: at + "." + field, Say: say, Try: try})
	}
	part := mix.Part{Name: strings.TrimSpace(in.Name)}
	if in.Material != "" {
		material, err := m.Library.Find(in.Material)
		var name *feedstock.NameError
		if errors.As(err, &name) {
			tell("material", name.Say(), name.Try())
		} else if err != nil {
			tell("material", err.Error(), "")
		}
		part.Material = material
	} else {
		part.Material = m.Library.Blank(part.Name)
	}
	for _, name := range []string{part.Material.Name, strings.TrimSpace(in.Material)} {
		if part.Name == "" {
			part.Name = name
		}
	}
	if in.Material == "" && part.Name == "" {
		tell("material", "Neither a material nor a name is given.", `Name a material of the library, or give a name and its own moisture and analyses.`)
	}
	if in.Volatile != nil && in.Ash != nil {
		tell("volatile_frac_dry", "Both volatile matter and ash are given; one is what the other leaves.", "Give one of the two.")
	}
	if in.Density != nil && in.Weighed != nil {
		tell("density", "The density is given twice.", "Give one of density and density_kg_m3_wet.")
	}
	water := in.Water
	if in.OfDry != nil {
		if in.Water != nil {
			tell("water_frac_dry", "Moisture is given on both bases.", "Give one of water_frac_wet and water_frac_dry.")
		}
		wet := func(d float64) float64 { return float64(qty.WaterOfDry(d).OfWet()) }
		e := in.OfDry.Estimate()
		n := contract.Number{Best: wet(e.Best), Low: wet(e.Low), High: wet(e.High), Known: e.Known}
		water = &n
	}
	var own []feedstock.Assay
	for _, g := range []struct {
		key   string
		value *contract.Number
	}{
		{feedstock.KeyWater, water}, {feedstock.KeyNitrogen, in.Nitrogen}, {feedstock.KeyCarbon, in.Carbon}, {feedstock.KeyCN, in.CN},
		{feedstock.KeyVolatile, in.Volatile}, {feedstock.KeyAsh, in.Ash}, {feedstock.KeyDensity, in.Density}, {feedstock.KeyLignin, in.Lignin},
		{feedstock.KeySalts, in.Salts}, {feedstock.KeyPH, in.PH}, {feedstock.KeyAmmonia, in.Ammonia},
	} {
		if g.value != nil {
			own = append(own, feedstock.Assay{Key: g.key, Value: g.value.Estimate()})
		}
	}
	if in.Weighed != nil {
		own = append(own, feedstock.Assay{Key: feedstock.KeyDensity, Value: qty.Exactly(in.Weighed.Value)})
	}
	if len(problems) == 0 || in.Material == "" {
		material, err := part.Material.Override(own...)
		var refusal *figure.Refusal
		switch {
		case errors.As(err, &refusal):
			for _, p := range refusal.Problems {
				tell(p.Field, p.Say, p.Try)
			}
		case err != nil:
			tell("", err.Error(), "")
		default:
			part.Material = material
		}
	}
	if in.CostPerM3 != nil {
		c := qty.Money(*in.CostPerM3)
		part.CostPerM3 = &c
	}
	if in.Available != nil {
		v := qty.CubicMetre(*in.Available)
		part.Available = &v
	}
	return part, problems
}

// recipe turns the typed parts into those of the core and finds which are free.
func (m *Mixer) recipe(in MixRequest) (r mix.Recipe, free []bool, freeWater bool, problems []figure.Problem) {
	tell := func(field, say, try string) {
		problems = append(problems, figure.Problem{Field: field, Say: say, Try: try})
	}
	if len(in.Parts) == 0 {
		tell("parts", "There are no parts.", "Name at least one material and how much of it.")
	}
	r.Water = qty.WaterKg(in.WaterKg)
	if in.Shrink != nil {
		r.Shrink = in.Shrink.Estimate()
	}
	r.Method = mix.Method(in.Method)
	seen := map[string]int{}
	var names []string
	for i, p := range in.Parts {
		part, wrong := m.Resolve(p, fmt.Sprintf("parts[%d]", i))
		problems = append(problems, wrong...)
		if first, twice := seen[part.Name]; twice && part.Name != "" {
			tell(fmt.Sprintf("parts[%d].name", i), fmt.Sprintf("%q is also the name of part %d.", part.Name, first+1), "Give each part a name of its own.")
		}
		seen[part.Name] = i
		names = append(names, part.Name)
		r.Parts = append(r.Parts, part)
	}
	free = make([]bool, len(in.Parts))
	if in.Solve != nil {
		for k, f := range in.Solve.Free {
			i, ok := seen[strings.TrimSpace(f)]
			if !ok {
				// A part may be named as its material was typed.
				i = slices.IndexFunc(in.Parts, func(p MixPart) bool { return p.Material != "" && p.Material == f })
				ok = i >= 0
			}
			switch {
			case ok:
				free[i] = true
			case strings.EqualFold(strings.TrimSpace(f), "water"):
				freeWater = true
			default:
				try := "Parts here: " + strings.Join(names, ", ") + ", water."
				if near := contract.Nearest(f, append(slices.Clone(names), "water")); len(near) > 0 {
					try = "Did you mean " + strings.Join(near, " or ") + "?"
				}
				tell(fmt.Sprintf("solve.free[%d]", k), fmt.Sprintf("%q is no part of this mix.", f), try)
			}
		}
	}
	problems = append(problems, amounts(in, &r, free)...)
	return r, free, freeWater, problems
}

// amounts fills in how much of each part there is.
func amounts(in MixRequest, r *mix.Recipe, free []bool) []figure.Problem {
	var problems []figure.Problem
	tell := func(i int, field, say, try string) {
		problems = append(problems, figure.Problem{Field: fmt.Sprintf("parts[%d].%s", i, field), Say: say, Try: try})
	}
	shares, others, sum := 0, 0, 0.0
	for i, p := range in.Parts {
		var given []string
		q := &r.Parts[i].Amount
		for _, g := range []struct {
			key string
			has bool
			set func()
		}{
			{"mass_kg_wet", p.WetKg != nil, func() { q.Wet = qty.WetKg(*p.WetKg) }},
			{"mass_kg_dry", p.DryKg != nil, func() { q.Dry = qty.DryKg(*p.DryKg) }},
			{"volume_m3", p.VolumeM3 != nil, func() { q.Volume = qty.CubicMetre(*p.VolumeM3) }},
			{"mass", p.Mass != nil, func() { q.Wet = qty.WetKg(p.Mass.Value) }},
			{"volume", p.Volume != nil, func() { q.Volume = qty.CubicMetre(p.Volume.Value) }},
			{"share", p.Share != nil, func() { q.Volume = qty.CubicMetre(*p.Share) }},
		} {
			if g.has {
				given = append(given, g.key)
				g.set()
			}
		}
		switch {
		case len(given) > 1:
			tell(i, given[0], fmt.Sprintf("The amount of %s is given as %s.", r.Parts[i].Name, strings.Join(given, " and ")), "Give one of them.")
		case len(given) == 0 && !free[i]:
			tell(i, "volume", fmt.Sprintf("No amount of %s is given.", r.Parts[i].Name), `Give a volume ("2 yd3"), a mass ("500 lb") or a share, or name it in solve.free.`)
		}
		if p.Share != nil {
			shares++
			sum += *p.Share
		} else if len(given) > 0 {
			others++
		}
	}
	if shares > 0 && (others > 0 || shares+others < len(in.Parts)) {
		for i, p := range in.Parts {
			if p.Share == nil && (!free[i] || others > 0) {
				tell(i, "share", fmt.Sprintf("Other parts are given by share and %s is not.", r.Parts[i].Name), "Give all parts by share, or none.")
			}
		}
	}
	if in.Total != "" && shares == 0 && in.Solve == nil {
		problems = append(problems, figure.Problem{Field: "total", Say: "A total is given, but the parts have amounts of their own.", Try: "Give the parts by share, or leave the total out."})
	}
	total := in.Total
	if total == "" && in.Solve != nil {
		total = in.Solve.Total
	}
	if shares == 0 || total == "" || len(problems) > 0 {
		return problems
	}
	// One share is a cubic metre until a total says otherwise.
	volume, mass, wrong := parseTotal("total", total)
	if len(wrong) > 0 {
		if in.Total == "" {
			return nil // told where the solve reads it
		}
		return wrong
	}
	if sum == 0 {
		return []figure.Problem{{Field: "parts", Say: "All shares are 0.", Try: "Give at least one above 0."}}
	}
	k := float64(volume) / (sum * (1 - r.Shrink.Best))
	if mass > 0 {
		weight := 0.0
		for i := range r.Parts {
			weight += float64(r.Parts[i].Amount.Volume) * r.Parts[i].Material.Density.Best
		}
		if k = (float64(mass) - float64(r.Water)) / weight; !(k > 0) {
			return []figure.Problem{{Field: "total", Say: "The water alone weighs as much as the total.", Try: "Give a larger total or less water."}}
		}
	}
	for i := range r.Parts {
		r.Parts[i].Amount.Volume *= qty.CubicMetre(k)
	}
	return nil
}

// parseTotal reads a total, which is a volume or a mass.
func parseTotal(field, text string) (qty.CubicMetre, qty.WetKg, []figure.Problem) {
	v, asVolume := qty.Parse(text, qty.Volume)
	if asVolume != nil {
		kg, asMass := qty.Parse(text, qty.Mass)
		if asMass != nil {
			var p *qty.ParseError
			problem := figure.Problem{Field: field, Say: asVolume.Error(), Try: `Type a volume ("10 yd3") or a mass ("2 tonnes").`}
			if errors.As(asMass, &p) && strings.Contains(p.Say, "two ways") {
				problem.Say, problem.Try = p.Say, p.Try
			} else if errors.As(asVolume, &p) {
				problem.Say = p.Say
			}
			return 0, 0, []figure.Problem{problem}
		}
		v = kg
		asVolume = nil
		if v > 0 && v <= 1e7 {
			return 0, qty.WetKg(v), nil
		}
	} else if v > 0 && v <= 1e5 {
		return qty.CubicMetre(v), 0, nil
	}
	return 0, 0, []figure.Problem{{Field: field, Say: fmt.Sprintf("A total of %s cannot be.", text), Try: "Give more than 0 and no more than a yard holds (100,000 m3, 10,000 tonnes)."}}
}

// windows gives the target, or the windows of the purpose when there is none.
func (m *Mixer) windows(in MixRequest) ([]mix.Window, []figure.Problem) {
	if len(in.Target) == 0 {
		return m.Parameters.Windows(mix.Purpose(in.Purpose)), nil
	}
	var out []mix.Window
	var problems []figure.Problem
	for _, o := range mix.Outputs() {
		w, ok := in.Target[o.Key()]
		if !ok {
			continue
		}
		tell := func(say, try string) {
			problems = append(problems, figure.Problem{Field: "target." + o.Key(), Say: say, Try: try})
		}
		t := mix.Window{Output: o, Low: math.Inf(-1), High: math.Inf(1)}
		switch {
		case w.Is != nil && (w.Min != nil || w.Max != nil):
			tell("Both an exact value and a range are given.", "Give is alone, or min and max.")
			continue
		case w.Is == nil && w.Min == nil && w.Max == nil:
			tell("No value is given.", "Give min, max or both, or is.")
			continue
		case w.Is != nil:
			t.Low, t.High = *w.Is, *w.Is
		}
		if w.Min != nil {
			t.Low = *w.Min
		}
		if w.Max != nil {
			t.High = *w.Max
		}
		if t.Low > t.High {
			tell(fmt.Sprintf("The window runs from %g to %g.", t.Low, t.High), "Give min below max.")
			continue
		}
		top := math.Inf(1)
		if strings.Contains(o.Key(), "_frac") {
			top = 1
		}
		for _, v := range []*float64{w.Min, w.Max, w.Is} {
			if v != nil && (*v < 0 || *v > top || math.IsNaN(*v)) {
				try := "Give 0 or more."
				if top == 1 {
					try = "Give a fraction between 0 and 1."
					if *v > 1 && *v <= 100 {
						try = fmt.Sprintf("Give a fraction between 0 and 1; %g %% is %g.", *v, *v/100)
					}
				}
				tell(fmt.Sprintf("%g is no %s that can be.", *v, o.Words()), try)
			}
		}
		out = append(out, t)
	}
	return out, problems
}
