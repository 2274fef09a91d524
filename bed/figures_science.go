package bed

import (
	"fmt"
	"math"
	"strings"

	"wormyard/climate"
	"wormyard/figure"
)

type curveIn struct {
	Curve string   `json:"curve" choice:"rosso,kirschbaum,exponential_pair,century,rothc" doc:"which response"`
	MinC  *float64 `json:"min_c" unit:"C" low:"-50" high:"100" doc:"rosso: none below"`
	BestC *float64 `json:"best_c" unit:"C" low:"-50" high:"120" doc:"rosso: 1 here"`
	MaxC  *float64 `json:"max_c" unit:"C" low:"-50" high:"150" doc:"rosso: none above"`
}

// with gives the constants of r laid over by those given, and what was taken.
func (c curveIn) with(r Responses) (Responses, []string, error) {
	if Curve(c.Curve) != Rosso {
		if c.MinC != nil || c.BestC != nil || c.MaxC != nil {
			return r, nil, figure.Refuse("curve", "min_c, best_c and max_c belong to the curve rosso.", "Leave them out, or choose rosso.")
		}
		return r, nil, nil
	}
	var notes []string
	for _, v := range []struct {
		name  string
		given *float64
		here  *float64
	}{{"min_c", c.MinC, &r.RossoMin}, {"best_c", c.BestC, &r.RossoBest}, {"max_c", c.MaxC, &r.RossoMax}} {
		if v.given != nil {
			*v.here = *v.given
		} else {
			notes = append(notes, fmt.Sprintf("%s was not given; %g of hot compost is taken.", v.name, *v.here))
		}
	}
	if !(r.RossoMin < r.RossoBest && r.RossoBest < r.RossoMax) {
		return r, nil, figure.Refuse("best_c", "The three temperatures must rise: min_c, best_c, max_c.", "Check their order.")
	}
	if !(r.RossoBest > (r.RossoMin+r.RossoMax)/2) {
		return r, nil, figure.Refuse("best_c", "This curve holds only when best_c lies above the middle of min_c and max_c.", "Raise best_c, or lower max_c.")
	}
	return r, notes, nil
}

func curveNotes(c Curve, tempC float64) []string {
	switch {
	case c == Kirschbaum && (tempC < 0 || tempC > 37):
		return []string{"Kirschbaum's curve was fitted from 0 to 37 C; this lies outside."}
	case c == Exponential && tempC > 60:
		return []string{"As written this curve still rises at 70 C; it sets no upper limit for a worm bed."}
	}
	return nil
}

type responseIn struct {
	curveIn
	TempC float64 `json:"temp_c" unit:"C" low:"-60" high:"120"`
}

type rateIn struct {
	curveIn
	PerDay      float64 `json:"rate_per_day" unit:"1/day" low:"0" high:"100" doc:"as measured"`
	MeasuredAtC float64 `json:"measured_at_c" unit:"C" low:"-60" high:"120" doc:"temperature of the measurement"`
	TempC       float64 `json:"temp_c" unit:"C" low:"-60" high:"120"`
}

type rateOut struct {
	PerDay float64 `json:"rate_per_day" unit:"1/day"`
}

type factorOut struct {
	Factor float64 `json:"factor" unit:"-"`
}

type moistIn struct {
	Water float64 `json:"water_frac_wet" unit:"-" low:"0" high:"1"`
}

type airIn struct {
	Air float64 `json:"air_filled_frac" unit:"-" low:"0" high:"1"`
}

type oxygenIn struct {
	Oxygen float64 `json:"oxygen_frac" unit:"-" low:"0" high:"1" doc:"by volume in the pore air"`
}

type decayIn struct {
	Pools  []Pool  `json:"pools" doc:"shares of dry matter with their rates"`
	Inert  float64 `json:"inert_frac" unit:"-" low:"0" high:"1" default:"0" doc:"share that does not decay"`
	Factor float64 `json:"factor" unit:"-" low:"0" high:"100" default:"1" doc:"on all rates"`
	Days   float64 `json:"days" unit:"day" low:"0" high:"100000"`
}

type decayOut struct {
	Left float64 `json:"left_frac" unit:"-" doc:"of the dry matter at the start"`
	Lost float64 `json:"lost_per_day_frac" unit:"1/day" doc:"at the start"`
}

type demandIn struct {
	C float64 `json:"c" unit:"-" low:"0" high:"100000" doc:"atoms of carbon"`
	H float64 `json:"h" unit:"-" low:"0" high:"100000" doc:"atoms of hydrogen"`
	O float64 `json:"o" unit:"-" low:"0" high:"100000" doc:"atoms of oxygen"`
	N float64 `json:"n" unit:"-" low:"0" high:"100000" default:"0" doc:"atoms of nitrogen"`
}

type demandOut struct {
	Oxygen        float64 `json:"oxygen_kg_kg" unit:"kg/kg"`
	CarbonDioxide float64 `json:"carbon_dioxide_kg_kg" unit:"kg/kg"`
	Water         float64 `json:"water_kg_kg" unit:"kg/kg"`
	Ammonia       float64 `json:"ammonia_kg_kg" unit:"kg/kg"`
}

type turnoverIn struct {
	Substrate  float64 `json:"cn_substrate" unit:"-" low:"1" high:"10000" doc:"carbon to nitrogen of what decays"`
	Microbe    float64 `json:"cn_microbe" unit:"-" low:"1" high:"100" doc:"carbon to nitrogen of microbes"`
	Efficiency float64 `json:"efficiency" unit:"-" low:"0" high:"1" doc:"share of carbon built into microbes"`
}

type turnoverOut struct {
	Critical *float64 `json:"critical_cn" unit:"-" doc:"neither freed nor taken up; null when nothing is built in"`
	Freed    float64  `json:"nitrogen_mg_per_g_carbon" unit:"mg/g" doc:"freed for each gram of carbon decomposed; below 0 taken up"`
}

type ammoniaIn struct {
	TempC    float64 `json:"temp_c" unit:"C" low:"-5" high:"80"`
	PH       float64 `json:"ph" unit:"pH" low:"0" high:"14"`
	AmmoniaN float64 `json:"ammonia_n_mg_l" unit:"mg/L" low:"0" high:"100000" default:"0" doc:"ammoniacal nitrogen in the pore water"`
}

type ammoniaOut struct {
	PKa   float64 `json:"pka" unit:"-"`
	Free  float64 `json:"free_frac" unit:"-" doc:"share that is unionised"`
	FreeN float64 `json:"free_n_mg_l" unit:"mg/L"`
	Gas   float64 `json:"gas_ppm" unit:"ppm" doc:"in pore air at balance, 101325 Pa"`
}

type diffusivityIn struct {
	TempC      float64 `json:"temp_c" unit:"C" low:"-60" high:"120"`
	PressurePa float64 `json:"pressure_pa" unit:"Pa" low:"1000" high:"1000000" default:"101325"`
	Air        float64 `json:"air_filled_frac" unit:"-" low:"0" high:"1"`
	Porosity   float64 `json:"porosity_frac" unit:"-" low:"0" high:"1"`
	Model      string  `json:"model" choice:"moldrup2000,mq1961,mq1960,penman,marshall,square,penman_mq" default:"moldrup2000"`
	Gas        string  `json:"gas" choice:"oxygen,vapour,ammonia,carbon dioxide" default:"oxygen"`
}

type diffusivityOut struct {
	Free      float64 `json:"free_m2_s" unit:"m2/s"`
	Relative  float64 `json:"relative" unit:"-"`
	Effective float64 `json:"effective_m2_s" unit:"m2/s" doc:"per bulk area of bed"`
}

type evaporationIn struct {
	SurfaceC float64 `json:"surface_c" unit:"C" low:"-30" high:"90" doc:"of the wet surface"`
	AirC     float64 `json:"air_c" unit:"C" low:"-50" high:"80"`
	RH       float64 `json:"rh_frac" unit:"-" low:"0" high:"1"`
	H        float64 `json:"h_w_m2k" unit:"W/(m2 K)" low:"0.1" high:"100" doc:"heat transfer by convection, without radiation"`
	Cover    *struct {
		Perm        *float64 `json:"perm" unit:"US perm" low:"0" high:"100000" doc:"give one"`
		Permeance   *float64 `json:"permeance" unit:"ng/(s m2 Pa)" low:"0" high:"10000000" doc:"give one"`
		PermeanceNg *float64 `json:"permeance_ng_s_m2_pa" unit:"ng/(s m2 Pa)" low:"0" high:"10000000" doc:"give one"`
		GapM        float64  `json:"gap_m" unit:"m" low:"0" high:"10" default:"0" doc:"still air under it"`
	} `json:"cover" doc:"none when absent"`
}

type evaporationOut struct {
	KgDay   float64 `json:"kg_m2_day" unit:"kg/(m2 day)" doc:"below 0 dew falls"`
	LatentW float64 `json:"latent_w_m2" unit:"W/m2"`
}

type drainIn struct {
	DryKg float64 `json:"dry_kg" unit:"kg" low:"0" high:"1000000"`
	Holds float64 `json:"holds_kg_kg" unit:"kg/kg" low:"0" high:"50" doc:"water held for each kg of dry matter"`
	Water float64 `json:"water_kg" unit:"kg" low:"0" high:"10000000" doc:"held before"`
	Added float64 `json:"added_kg" unit:"kg" low:"0" high:"10000000"`
}

type drainOut struct {
	Drained float64 `json:"drained_kg" unit:"kg"`
}

func evaporationFigure(d Diffusivity) func(evaporationIn) (evaporationOut, []string, error) {
	return func(in evaporationIn) (evaporationOut, []string, error) {
		b := Barrier{Convection: in.H}
		if c := in.Cover; c != nil {
			var given []string
			if c.Perm != nil {
				given, b.Permeance = append(given, "perm"), *c.Perm*PermSI
			}
			if c.Permeance != nil {
				given, b.Permeance = append(given, "permeance"), *c.Permeance*1e-12
			}
			if c.PermeanceNg != nil {
				given, b.Permeance = append(given, "permeance_ng_s_m2_pa"), *c.PermeanceNg*1e-12
			}
			if len(given) > 1 {
				return evaporationOut{}, nil, figure.Refuse("cover", "What the cover lets through is given more than once: "+strings.Join(given, ", ")+".", "Keep one.")
			}
			b.Covered, b.GapM = len(given) == 1, c.GapM
		}
		kg := Evaporation(in.SurfaceC, in.AirC, in.RH, b.Resistance(&d, (in.SurfaceC+in.AirC)/2, climate.StandardPressure))
		var notes []string
		if kg < 0 {
			notes = append(notes, "The air is moister than the surface: dew falls on it.")
		}
		return evaporationOut{kg * 86400, kg * climate.LatentHeat(in.SurfaceC)}, notes, nil
	}
}

// ScienceFigures gives the figures of the closed forms that a bed's step is
// made of.
func ScienceFigures(r Responses, d Diffusivity) []figure.Figure {
	gases := map[string]Gas{"oxygen": OxygenGas, "vapour": VapourGas, "ammonia": AmmoniaGas, "carbon dioxide": CarbonDioxideGas}
	return []figure.Figure{
		figure.Of(figure.Figure{
			Name: "bed.temperature_response", Title: "How decay answers to temperature", Equation: "B40",
			Formula: "rosso: (T-max)(T-min)^2/((best-min)((best-min)(T-best)-(best-max)(best+min-2T))); kirschbaum: exp(-3.764+0.204 T(1-0.5 T/36.9)); exponential_pair: 1.066^(T-20)-1.21^(T-60)",
			Source:  "Rosso, Lobry and Flandrois 1993; Kirschbaum 1995; Haug 1993 (from memory); Adair and others 2008 (century); Coleman and Jenkinson (rothc)",
		}, func(in responseIn) (factorOut, []string, error) {
			r, notes, err := in.with(r)
			if err != nil {
				return factorOut{}, nil, err
			}
			return factorOut{r.Factor(Curve(in.Curve), in.TempC)}, append(notes, curveNotes(Curve(in.Curve), in.TempC)...), nil
		}),
		figure.Of(figure.Figure{
			Name: "bed.rate_at", Title: "A decay rate carried to another temperature", Equation: "B45",
			Formula: "rate(T) = rate f(T)/f(measured at)",
			Source:  "Normalisation of a response curve at the temperature of measurement",
		}, func(in rateIn) (rateOut, []string, error) {
			r, notes, err := in.with(r)
			if err != nil {
				return rateOut{}, nil, err
			}
			rate := r.RateAt(in.PerDay, in.MeasuredAtC, Curve(in.Curve), in.TempC)
			if math.IsNaN(rate) {
				return rateOut{}, nil, figure.Refuse("measured_at_c", "On this curve nothing decays at the temperature of the measurement, so the rate cannot be carried to another.", "Choose another curve, or check measured_at_c.")
			}
			return rateOut{rate}, append(notes, curveNotes(Curve(in.Curve), in.TempC)...), nil
		}),
		figure.Of(figure.Figure{
			Name: "bed.moisture_response", Title: "How decay answers to moisture", Equation: "B46",
			Formula: "1/(1 + exp(-17.684 w + 7.0622))", Source: "Haug 1993 (from memory)",
		}, func(in moistIn) (factorOut, []string, error) {
			var notes []string
			if in.Water < 0.2 || in.Water > 0.8 {
				notes = []string{"The curve was given for 20 to 80 % water; above that want of air is what slows decay."}
			}
			return factorOut{r.MoistureFactor(in.Water)}, notes, nil
		}),
		figure.Of(figure.Figure{
			Name: "bed.air_response", Title: "How decay answers to air-filled space", Equation: "B47",
			Formula: "1/(1 + exp(-23.675 a + 3.4945))", Source: "Haug 1993 (from memory)",
		}, func(in airIn) (factorOut, []string, error) { return factorOut{r.AirFactor(in.Air)}, nil, nil }),
		figure.Of(figure.Figure{
			Name: "bed.oxygen_response", Title: "How decay answers to oxygen", Equation: "B48",
			Formula: "x/(0.02 + x)", Source: "Haug 1993 (from memory); half-saturation of -0.7 to 1.7 % found by Richard, Walker and Gossett 2006",
		}, func(in oxygenIn) (factorOut, []string, error) { return factorOut{r.OxygenFactor(in.Oxygen)}, nil, nil }),
		figure.Of(figure.Figure{
			Name: "bed.decay", Title: "What is left of pools that decay", Equation: "B66",
			Formula: "left = inert + sum(frac exp(-rate factor days))", Source: "First-order decay",
		}, func(in decayIn) (decayOut, []string, error) {
			sum := in.Inert
			for _, p := range in.Pools {
				sum += p.Frac
			}
			if sum > 1+1e-9 {
				return decayOut{}, nil, figure.Refuse("pools", fmt.Sprintf("The pools and the inert share add to %.4g, more than the whole.", sum), "Shares of dry matter add to 1.")
			}
			var notes []string
			if sum < 1-1e-6 {
				notes = []string{fmt.Sprintf("The pools and the inert share add to %.4g; the rest is left out of left_frac.", sum)}
			}
			left, lost := PoolsLeft(in.Pools, in.Inert, in.Factor, in.Days)
			return decayOut{left, lost}, notes, nil
		}),
		figure.Of(figure.Figure{
			Name: "bed.oxygen_demand", Title: "Oxygen that a formula needs to burn to the end", Equation: "B67",
			Formula: "C_a H_b O_c N_d + (4a+b-2c-3d)/4 O2 -> a CO2 + (b-3d)/2 H2O + d NH3", Source: "Balance of atoms; atomic masses IUPAC 2021",
		}, func(in demandIn) (demandOut, []string, error) {
			if in.C+in.H+in.O+in.N <= 0 {
				return demandOut{}, nil, figure.Refuse("c", "There is no matter in this formula.", "Give the atoms of carbon, hydrogen and oxygen, as 6, 10 and 5 for cellulose.")
			}
			x := Oxidise(in.C, in.H, in.O, in.N)
			var notes []string
			if x.Oxygen < 0 || x.Water < 0 {
				notes = []string{"The formula holds more oxygen or nitrogen than it can burn with; a number below 0 means it gives some off."}
			}
			return demandOut(x), notes, nil
		}),
		figure.Of(figure.Figure{
			Name: "bed.nitrogen_turnover", Title: "Nitrogen freed or taken up by decay", Equation: "B55",
			Formula: "freed = 1000 (1/CN_substrate - e/CN_microbe); critical CN = CN_microbe/e", Source: "Balance of carbon and nitrogen through microbes",
		}, func(in turnoverIn) (turnoverOut, []string, error) {
			o := turnoverOut{Freed: 1e3 * Turnover(in.Substrate, in.Microbe, in.Efficiency)}
			if in.Efficiency > 0 {
				c := CriticalCN(in.Microbe, in.Efficiency)
				o.Critical = &c
			}
			return o, nil, nil
		}),
		figure.Of(figure.Figure{
			Name: "bed.ammonia", Title: "Ammonia set free from pore water", Equation: "B56",
			Formula: "pKa = 0.09018 + 2729.92/T; free = 1/(1 + 10^(pKa - pH)); ln K_H = -8.09694 + 3917.507/T - 0.00314 T",
			Source:  "Emerson, Russo, Lund and Thurston 1975; Clegg and Brimblecombe 1989",
		}, func(in ammoniaIn) (ammoniaOut, []string, error) {
			free := FreeAmmonia(in.TempC, in.PH)
			var notes []string
			if in.TempC < 0 || in.TempC > 40 {
				notes = append(notes, "The solubility of ammonia was fitted from 0 to 40 C, its pKa from 0 to 50 C.")
			}
			gas := AmmoniaGasPPM(in.TempC, in.PH, in.AmmoniaN)
			if gas > 25 {
				notes = append(notes, "Ammonia at this level stings eyes and throat and drives worms out: air the place before you work over it.")
			}
			return ammoniaOut{AmmoniaPKa(in.TempC), free, free * in.AmmoniaN, gas}, notes, nil
		}),
		figure.Of(figure.Figure{
			Name: "bed.diffusivity", Title: "How quickly a gas spreads through the pores", Equation: "B51",
			Formula: "D = D0 (T/273.15)^1.81 (101325/P); moldrup2000 a^2.5/phi^0.5; mq1961 a^(10/3)/phi^2; mq1960 a^2/phi^(2/3); penman 0.66 a; marshall a^1.5; square a^2; penman_mq 0.66 phi (a/phi)^2",
			Source:  "Massman 1998; Moldrup and others 2000; Millington and Quirk 1960, 1961; Penman; Marshall; Papendick and Campbell 1981 (square)",
		}, func(in diffusivityIn) (diffusivityOut, []string, error) {
			if in.Air > in.Porosity {
				return diffusivityOut{}, nil, figure.Refuse("air_filled_frac", "There is more air in the pores than pores.", "air_filled_frac is at most porosity_frac.")
			}
			if in.Porosity <= 0 {
				return diffusivityOut{}, nil, figure.Refuse("porosity_frac", "Without pores no gas moves.", "Give the share of pores, 0.6 to 0.9 in a bed.")
			}
			o := diffusivityOut{Free: d.Free(gases[in.Gas], in.TempC, in.PressurePa), Relative: Pores(in.Model).Relative(in.Air, in.Porosity)}
			o.Effective = o.Free * o.Relative
			return o, []string{"The models differ up to fivefold; this is " + in.Model + "."}, nil
		}),
		figure.Of(figure.Figure{
			Name: "bed.evaporation", Title: "Water that leaves a wet surface", Equation: "B62",
			Formula: "E = (rho_sat(surface) - RH rho_sat(air))/R; R = gap/D_v + 1/(permeance R_v T) + rho c_p Le^(2/3)/h",
			Source:  "Analogy of heat and vapour transfer (Lewis), Lewis number 0.865; one US perm is 57.2135 ng/(s m2 Pa)",
		}, evaporationFigure(d)),
		figure.Of(figure.Figure{
			Name: "bed.drain", Title: "Water that runs off", Equation: "B65",
			Formula: "drained = max(0, water + added - holds dry)", Source: "Balance of water against what the matter holds",
		}, func(in drainIn) (drainOut, []string, error) {
			return drainOut{Drained(in.DryKg, in.Holds, in.Water, in.Added)}, nil, nil
		}),
	}
}
