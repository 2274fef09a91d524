package lab

import (
	"fmt"

	"wormyard/figure"
)

// Masses of a mole [g].
const (
	carbonMole = 12.011
	oxygenMole = 31.998
)

// Germination gives the germination index [%]: seeds that came up and length of
// their roots, each against the control. model.md (L37).
func Germination(seeds, of, controlSeeds, controlOf, root, controlRoot float64) float64 {
	return 100 * (seeds / of) / (controlSeeds / controlOf) * root / controlRoot
}

// RespirationPerOrganic refers a carbon loss of dry matter to organic matter.
// model.md (L38).
func RespirationPerOrganic(perDry, organicOfDry float64) float64 { return perDry / organicOfDry }

// CarbonOfOxygen turns an oxygen uptake [mmol/kg OM/h] into a carbon loss
// [mg CO2-C/g OM/day], mole for mole. model.md (L39).
func CarbonOfOxygen(uptake float64) float64 { return uptake * 24 * carbonMole / 1000 }

// ClassOf gives how many limits a value reaches or passes, 0 when it lies under
// all.
func ClassOf(value float64, limits []float64) int {
	n := 0
	for _, l := range limits {
		if value >= l {
			n++
		}
	}
	return n
}

func word(words []string, class int) string { return words[min(class, len(words)-1)] }

var (
	respirationWords = []string{"very stable", "stable", "moderately unstable", "unstable", "raw"}
	heatingWords     = []string{"V", "IV", "III", "II", "I"}
	germinationWords = []string{"high", "moderate", "none"}
	nitrogenWords    = []string{"very mature", "mature", "immature"}
)

type germinationIn struct {
	Seeds        float64 `json:"seeds_up" unit:"-" low:"0" high:"1e5"`
	Of           float64 `json:"seeds" unit:"-" low:"1" high:"1e5"`
	ControlSeeds float64 `json:"control_seeds_up" unit:"-" low:"0" high:"1e5"`
	ControlOf    float64 `json:"control_seeds" unit:"-" low:"1" high:"1e5"`
	Root         float64 `json:"root_mm" unit:"mm" low:"0" high:"1000" doc:"mean length"`
	ControlRoot  float64 `json:"control_root_mm" unit:"mm" low:"0" high:"1000"`
}

type germinationOut struct {
	Index    float64 `json:"germination_index" unit:"%"`
	Toxicity string  `json:"toxicity" doc:"none, moderate or high"`
}

func (par Parameters) germinationFigure(in germinationIn) (out germinationOut, notes []string, err error) {
	var p problems
	for _, x := range []struct {
		key    string
		up, of float64
	}{{"seeds_up", in.Seeds, in.Of}, {"control_seeds_up", in.ControlSeeds, in.ControlOf}} {
		p.count(x.key, "The number of seeds", x.up)
		if x.up > x.of {
			p.Add(x.key, fmt.Sprintf("%g of %g seeds came up.", x.up, x.of), "Look whether the two were swapped.")
		}
	}
	p.Over0("seeds", "The number of seeds", in.Of)
	p.Over0("control_seeds", "The number of seeds", in.ControlOf)
	if in.ControlSeeds == 0 || !(in.ControlRoot > 0) {
		p.Add("control_seeds_up", "Nothing grew in the control, so the test says nothing.", "Repeat it with fresh seed.")
	}
	p.Between("root_mm", "The length of the roots", in.Root, 0, 1000)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	out.Index = Germination(in.Seeds, in.Of, in.ControlSeeds, in.ControlOf, in.Root, in.ControlRoot)
	if out.Index > 1e6 {
		return out, nil, figure.Refuse("control_root_mm", "The control hardly grew, so the test says nothing.", "Repeat it.")
	}
	out.Toxicity = word(germinationWords, ClassOf(out.Index, par.GerminationLimits))
	return out, []string{"Keep seed, extract and days beside it: by other methods the index is another."}, nil
}

type respirationIn struct {
	PerDry  *float64 `json:"co2_c_mg_g_dry_day" unit:"mg CO2-C/g dry/day" low:"0" high:"1000"`
	Organic *float64 `json:"organic_frac_dry" unit:"kg/kg dry" low:"0" high:"1"`
	Oxygen  *float64 `json:"oxygen_mmol_kg_om_h" unit:"mmol O2/kg OM/h" low:"0" high:"10000"`
}

type respirationOut struct {
	Carbon float64  `json:"co2_c_mg_g_om_day" unit:"mg CO2-C/g OM/day"`
	Oxygen *float64 `json:"oxygen_mg_g_om_h" unit:"mg O2/g OM/h"`
	Class  string   `json:"class" doc:"very stable, stable, moderately unstable, unstable or raw"`
}

func (par Parameters) respirationFigure(in respirationIn) (out respirationOut, notes []string, err error) {
	var p problems
	switch {
	case in.Oxygen != nil && in.PerDry != nil:
		p.Add("oxygen_mmol_kg_om_h", "Carbon and oxygen are both given.", "Give one of them.")
	case in.Oxygen != nil:
		p.Between("oxygen_mmol_kg_om_h", "The oxygen uptake", *in.Oxygen, 0, 10000)
	case in.PerDry == nil:
		p.Add("co2_c_mg_g_dry_day", "Nothing is given.", "Give co2_c_mg_g_dry_day with organic_frac_dry, or oxygen_mmol_kg_om_h.")
	case in.Organic == nil || !(*in.Organic >= 0.001 && *in.Organic <= 1):
		p.Add("organic_frac_dry", "The organic part of the dry matter is missing or not a part over 0 to 1.", "Give it: 0.52 for 52 %.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	if in.Oxygen != nil {
		out.Carbon = CarbonOfOxygen(*in.Oxygen)
		out.Oxygen = ptr(*in.Oxygen * oxygenMole / 1000)
		notes = append(notes, "One mole of carbon dioxide is taken for each of oxygen.")
	} else {
		out.Carbon = RespirationPerOrganic(*in.PerDry, *in.Organic)
	}
	out.Class = word(respirationWords, ClassOf(out.Carbon, par.RespirationLimits))
	return out, notes, nil
}

type maturityIn struct {
	Rise     *float64 `json:"self_heating_k" unit:"K" low:"0" high:"80" doc:"rise above the air in a closed flask"`
	Ammonium *float64 `json:"ammonium_n_mg_kg" unit:"mg/kg dry" low:"0" high:"100000"`
	Nitrate  *float64 `json:"nitrate_n_mg_kg" unit:"mg/kg dry" low:"0" high:"100000"`
}

type maturityOut struct {
	Heating  string   `json:"self_heating_class" doc:"V finished to I raw"`
	Ratio    *float64 `json:"ammonium_to_nitrate" unit:"-"`
	Nitrogen string   `json:"nitrogen_class" doc:"very mature, mature or immature"`
}

// maturityFigure is model.md (L40).
func (par Parameters) maturityFigure(in maturityIn) (out maturityOut, notes []string, err error) {
	var p problems
	if in.Rise == nil && (in.Ammonium == nil || in.Nitrate == nil) {
		p.Add("self_heating_k", "Nothing is given that can be judged.", "Give self_heating_k, or ammonium_n_mg_kg and nitrate_n_mg_kg.")
	}
	if in.Ammonium != nil && in.Nitrate != nil && !(*in.Nitrate >= 0.001) {
		p.Add("nitrate_n_mg_kg", "There is no nitrate to compare with.", "Give the limit that the laboratory names in place of 0: the ratio is then at least that.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	if in.Rise != nil {
		out.Heating = word(heatingWords, ClassOf(*in.Rise, par.HeatingLimits))
	}
	if in.Ammonium != nil && in.Nitrate != nil {
		out.Ratio = ptr(*in.Ammonium / *in.Nitrate)
		out.Nitrogen = word(nitrogenWords, ClassOf(*out.Ratio, par.NitrogenLimits))
	}
	return out, []string{"The classes are as recalled from the methods."}, nil
}
