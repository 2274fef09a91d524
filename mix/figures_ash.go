package mix

import (
	"wormyard/feedstock"
	"wormyard/figure"
)

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
