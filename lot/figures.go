package lot

import (
	"fmt"
	"math"
	"strings"
	"time"

	"wormyard/figure"
	"wormyard/qty"
)

// Figures gives the figures of lots and papers, in the order of
// docs/model/lot.md.
func Figures() []figure.Figure {
	of := func(name, equation, title, formula, source string) figure.Figure {
		return figure.Figure{Name: name, Title: title, Equation: equation, Formula: formula, Source: source}
	}
	return []figure.Figure{
		figure.Of(of("lot.heat_time", "Q2", "Time at a temperature", "131700000/10^(0.14 t) days, at least 20 min", "40 CFR 503.32 as recalled"), heatTimeFigure),
		figure.Of(of("lot.plan", "Q3", "Plan of samples", "any over M, or more than c over m: refused", "n, c, m, M plans"), planFigure),
		figure.Of(of("lot.metal_rate", "Q4", "Yearly rate by metals", "least of T4/(C 0.001)", "40 CFR 503, appendix A as recalled"), metalFigure),
		figure.Of(of("lot.volatile_loss", "Q5", "Loss of volatile matter", "(Vi - Vf)/(Vi - Vi Vf)", "Van Kleeck, ash conserved"), volatileFigure),
		figure.Of(of("lot.manure_wait", "Q6", "Wait after raw manure", "90 or 120 days", "7 CFR 205.203(c)(1)"), manureFigure),
		figure.Of(of("lot.dry_to", "Q7", "Mass dried to a moisture", "m0 (1 - w0)/(1 - w1)", "dry matter is kept"), dryFigure),
		figure.Of(of("lot.bag_moisture", "Q8", "Moisture of a bag that dries", "(m w - L)/(m - L)", "dry matter is kept"), bagFigure),
		figure.Of(of("label.check_digit", "Q9", "Check digit", "10 - sum of weights 3, 1 from the right, mod 10", "GS1 general specifications as recalled"), digitFigure),
		figure.Of(of("lot.net_content", "Q10", "Net content of a bag", "single bag: 5 % under the label at most", "NIST HB 133 as recalled"), netFigure),
	}
}

type heatTimeIn struct {
	Temp float64 `json:"temp_c" unit:"C" low:"50" high:"120"`
}

type heatTimeOut struct {
	Days    float64 `json:"days" unit:"day"`
	Minutes float64 `json:"minutes" unit:"min"`
}

func heatTimeFigure(in heatTimeIn) (heatTimeOut, []string, error) {
	var p figure.Problems
	p.Between("temp_c", "The temperature", in.Temp, 50, 120)
	d := HeatDays(qty.Celsius(in.Temp))
	return heatTimeOut{d, d * 24 * 60}, []string{"The text is as recalled; every particle must have been that hot for so long."}, p.Refuse()
}

type planIn struct {
	Results []float64 `json:"results" unit:"as given" low:"0" high:"1e15"`
	N       float64   `json:"n" unit:"-" low:"1" high:"1000"`
	C       float64   `json:"c" unit:"-" low:"0" high:"1000"`
	Low     float64   `json:"m" unit:"as given" low:"0" high:"1e15"`
	High    float64   `json:"big_m" unit:"as given" low:"0" high:"1e15"`
}

type planOut struct {
	State string `json:"state"`
	Over  int    `json:"over_m"`
}

func planFigure(in planIn) (out planOut, notes []string, err error) {
	var p figure.Problems
	if in.High < in.Low {
		p.Add("big_m", fmt.Sprintf("M is %g, under m, %g.", in.High, in.Low), "Look whether the two were swapped.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	for _, v := range in.Results {
		if v > in.Low {
			out.Over++
		}
	}
	if float64(len(in.Results)) < in.N {
		out.State = string(Missing)
		return out, nil, nil
	}
	state, _ := Limit{Most: &in.High, Within: &in.Low, Over: int(in.C), Samples: int(in.N), Of: "each"}.hold(in.Results, make([]bool, len(in.Results)))
	out.State = string(state)
	return out, nil, nil
}

// A Metal is one metal of a lot and what may be laid on a hectare in a year.
type Metal struct {
	Name string  `json:"name"`
	In   float64 `json:"mg_kg_dry" unit:"mg/kg dry" low:"0" high:"1e6"`
	Year float64 `json:"kg_ha_year" unit:"kg/(ha year)" low:"0" high:"1e6"`
}

// MetalRate is the dry mass for a hectare and year [t/ha] that the tightest metal
// allows, and which that is; infinite without any. model.md (Q4).
func MetalRate(metals []Metal) (rate float64, by string) {
	rate = math.Inf(1)
	for _, m := range metals {
		if m.In > 0 && m.Year/(m.In*0.001) < rate {
			rate, by = m.Year/(m.In*0.001), m.Name
		}
	}
	return rate, by
}

type metalIn struct {
	Metals []Metal `json:"metals"`
}

type metalOut struct {
	Rate float64 `json:"t_ha_year_dry" unit:"t dry/(ha year)"`
	By   string  `json:"by"`
}

func metalFigure(in metalIn) (out metalOut, notes []string, err error) {
	var p figure.Problems
	for i, m := range in.Metals {
		p.Over0(fmt.Sprintf("metals[%d].kg_ha_year", i), "What may be laid on a hectare", m.Year)
	}
	rate, by := MetalRate(in.Metals)
	if math.IsInf(rate, 0) {
		p.Add("metals", "No metal with an amount in it is given.", "Give name, mg_kg_dry and kg_ha_year of each.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	return metalOut{rate, by}, []string{"The formula and the yearly amounts of the rule are as recalled."}, nil
}

// VolatileLoss is the part of the volatile matter that is gone, from its parts of
// the dry matter before and after, with ash kept. model.md (Q5).
func VolatileLoss(before, after float64) float64 {
	return (before - after) / (before - before*after)
}

type volatileIn struct {
	Before float64 `json:"volatile_frac_dry_before" unit:"kg/kg dry" low:"0" high:"1"`
	After  float64 `json:"volatile_frac_dry_after" unit:"kg/kg dry" low:"0" high:"1"`
	Asked  float64 `json:"asked_frac" unit:"-" low:"0" high:"1" default:"0.38"`
}

type volatileOut struct {
	Lost float64 `json:"lost_frac" unit:"-"`
	Met  bool    `json:"met"`
}

func volatileFigure(in volatileIn) (out volatileOut, notes []string, err error) {
	var p figure.Problems
	if !(in.After < 1 && in.Before > 0 && in.After <= in.Before) {
		p.Add("volatile_frac_dry_after", fmt.Sprintf("Volatile matter goes from %g to %g of the dry matter.", in.Before, in.After), "It falls while matter rots, and some ash is always there: look whether the two were swapped.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	out.Lost = VolatileLoss(in.Before, in.After)
	out.Met = out.Lost >= in.Asked
	return out, nil, nil
}

// ManureWait is the first day of harvest after raw manure was worked in: 120 days
// when what is eaten touches the soil, else 90. model.md (Q6).
func ManureWait(applied time.Time, touches bool) time.Time {
	if touches {
		return applied.AddDate(0, 0, 120)
	}
	return applied.AddDate(0, 0, 90)
}

type manureIn struct {
	Applied string `json:"applied" doc:"day, as 2026-03-01"`
}

type manureOut struct {
	NoTouch string `json:"harvest_from" doc:"when what is eaten does not touch the soil"`
	Touches string `json:"harvest_from_touching" doc:"when it does"`
}

func manureFigure(in manureIn) (out manureOut, notes []string, err error) {
	day, err := time.Parse(time.DateOnly, in.Applied)
	if err != nil {
		return out, nil, figure.Refuse("applied", fmt.Sprintf("%q is no day.", in.Applied), "Write it as 2026-03-01.")
	}
	return manureOut{ManureWait(day, false).Format(time.DateOnly), ManureWait(day, true).Format(time.DateOnly)}, nil, nil
}

// DryTo is the mass after drying from one moisture to another. model.md (Q7).
func DryTo(mass qty.WetKg, water, target qty.WaterOfWet) qty.WetKg {
	return qty.WetKg(float64(mass) * (1 - float64(water)) / (1 - float64(target)))
}

type dryIn struct {
	Mass   float64 `json:"mass_kg_wet" unit:"kg" low:"0" high:"1e9"`
	Water  float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Target float64 `json:"target_water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
}

type dryOut struct {
	Mass float64 `json:"mass_kg_wet" unit:"kg"`
}

func dryFigure(in dryIn) (out dryOut, notes []string, err error) {
	if in.Target == 1 {
		return out, nil, figure.Refuse("target_water_frac_wet", "All of it water leaves no castings.", "Give a moisture below 1.")
	}
	if in.Target > in.Water {
		notes = []string{"That is wetter than it is: water is added, not lost."}
	}
	return dryOut{float64(DryTo(qty.WetKg(in.Mass), qty.WaterOfWet(in.Water), qty.WaterOfWet(in.Target)))}, notes, nil
}

// BagMoisture is the moisture after a bag has lost water. model.md (Q8).
func BagMoisture(mass qty.WetKg, water qty.WaterOfWet, lost qty.WaterKg) qty.WaterOfWet {
	return qty.WaterOfWet((float64(mass)*float64(water) - float64(lost)) / (float64(mass) - float64(lost)))
}

type bagIn struct {
	Mass  float64 `json:"mass_kg_wet" unit:"kg" low:"0" high:"1e6"`
	Water float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Loses float64 `json:"loses_kg_day" unit:"kg/day" low:"0" high:"1e4"`
	Days  float64 `json:"days" unit:"day" low:"0" high:"10000"`
}

type bagOut struct {
	Water float64 `json:"water_frac_wet" unit:"kg/kg wet"`
	Mass  float64 `json:"mass_kg_wet" unit:"kg"`
}

func bagFigure(in bagIn) (out bagOut, notes []string, err error) {
	lost := in.Loses * in.Days
	if in.Mass == 0 || lost > in.Mass*in.Water || lost == in.Mass {
		return out, nil, figure.Refuse("loses_kg_day", fmt.Sprintf("The bag would lose %g kg of water and holds %g.", lost, in.Mass*in.Water), "Look at the mass, the days and the loss; it slows as the bag dries.")
	}
	return bagOut{float64(BagMoisture(qty.WetKg(in.Mass), qty.WaterOfWet(in.Water), qty.WaterKg(lost))), in.Mass - lost}, nil, nil
}

type digitIn struct {
	Digits string `json:"digits" doc:"without the check digit"`
}

type digitOut struct {
	Check int    `json:"check"`
	Full  string `json:"full"`
}

func digitFigure(in digitIn) (out digitOut, notes []string, err error) {
	digits := strings.ReplaceAll(in.Digits, " ", "")
	check, ok := CheckDigit(digits)
	if !ok || len(digits) > 30 {
		return out, nil, figure.Refuse("digits", fmt.Sprintf("%q is not a row of digits.", in.Digits), "Type the number without its last digit.")
	}
	return digitOut{check, digits + fmt.Sprint(check)}, nil, nil
}

// SingleBagAllowance is how far under the label one bag may be. model.md (Q10).
func SingleBagAllowance(labelled float64) float64 { return 0.05 * labelled }

type netIn struct {
	Labelled float64   `json:"labelled" unit:"ft3 or L" low:"0" high:"1e5"`
	Found    []float64 `json:"found" unit:"as labelled" low:"0" high:"1e5"`
}

type netOut struct {
	Allowance float64  `json:"allowance" unit:"as labelled"`
	Mean      *float64 `json:"mean" unit:"as labelled"`
	MeanMet   bool     `json:"mean_met"`
	Beyond    int      `json:"bags_beyond" doc:"further under the label than one bag may be"`
	MayPass   int      `json:"bags_that_may" doc:"about one of twelve"`
	Met       bool     `json:"met"`
}

func netFigure(in netIn) (out netOut, notes []string, err error) {
	var p figure.Problems
	p.Over0("labelled", "The content on the label", in.Labelled)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	out.Allowance = SingleBagAllowance(in.Labelled)
	sum := 0.0
	for _, v := range in.Found {
		sum += v
		// A bag that is short by the allowance to the last bit is not beyond it.
		if in.Labelled-v > out.Allowance*(1+1e-9) {
			out.Beyond++
		}
	}
	out.MayPass = len(in.Found) / 12
	if len(in.Found) > 0 {
		mean := sum / float64(len(in.Found))
		out.Mean, out.MeanMet = &mean, mean >= in.Labelled*(1-1e-12)
	}
	out.Met = out.MeanMet && out.Beyond <= out.MayPass
	return out, []string{"The handbook is as recalled; the inspector's edition decides."}, nil
}
