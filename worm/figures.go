package worm

import (
	"math"

	"wormyard/figure"
)

type tempIn struct {
	TempC float64 `json:"temp_c" unit:"C" low:"-40" high:"60"`
}

type growthOut struct {
	Factor float64 `json:"factor" unit:"-" doc:"1 at 25 C"`
}

type incubationIn struct {
	TempC float64  `json:"temp_c" unit:"C" low:"-40" high:"60"`
	Day   *float64 `json:"day" unit:"day" low:"0" high:"10000" doc:"days since laying, for hatched_frac"`
}

type incubationOut struct {
	MeanDays *float64 `json:"mean_days" unit:"day" doc:"null where none hatch"`
	CV       float64  `json:"cv" unit:"-" doc:"spread of single cocoons"`
	Hatched  *float64 `json:"hatched_frac" unit:"-" doc:"of the cocoons that hatch at all; null without day"`
	Success  float64  `json:"success_frac" unit:"-" doc:"cocoons that hatch at all"`
}

type maturationOut struct {
	Days *float64 `json:"days" unit:"day" doc:"hatching to maturity, well fed; null where nothing grows"`
}

type layingIn struct {
	TempC   float64 `json:"temp_c" unit:"C" low:"-40" high:"60"`
	Water   float64 `json:"water_frac_wet" unit:"-" low:"0" high:"1" default:"0.8" doc:"of the bed"`
	Density float64 `json:"density_kg_m2" unit:"kg/m2" low:"0" high:"100" default:"0" doc:"live worms on an area of bed"`
	Fed     float64 `json:"fed_frac" unit:"-" low:"0" high:"1" default:"1" doc:"feed eaten over feed wanted"`
}

type layingOut struct {
	Cocoons float64 `json:"cocoons_per_adult_day" unit:"1/day"`
}

type lifeIn struct {
	Incubation float64 `json:"incubation_days" unit:"day" low:"0" high:"1000" doc:"laying to hatching"`
	Maturity   float64 `json:"maturity_days" unit:"day" low:"0" high:"2000" doc:"hatching to the first cocoon"`
	Young      float64 `json:"young_per_adult_day" unit:"1/day" low:"0" high:"100" doc:"cocoons a day times young that hatch of each laid"`
	Survival   float64 `json:"survival_frac" unit:"-" low:"0" high:"1" default:"1" doc:"of young to maturity"`
	Laying     float64 `json:"laying_days" unit:"day" low:"0" high:"10000" default:"530" doc:"for how long an adult lays"`
}

type lifeOut struct {
	Growth   *float64 `json:"growth_per_day" unit:"1/day" doc:"r of the stock; null when there are no young"`
	Doubling *float64 `json:"doubling_days" unit:"day" doc:"null when the stock does not grow"`
	R0       float64  `json:"r0" unit:"-" doc:"young that mature for each adult in its life"`
}

type doseIn struct {
	MgG  float64 `json:"ammonia_mg_g" unit:"mg/g" low:"0" high:"100" doc:"ammonium hydroxide by dry soil, as in the trials"`
	Days float64 `json:"days" unit:"day" low:"0" high:"1000" default:"28"`
}

type doseOut struct {
	Survival  float64 `json:"survival_frac" unit:"-"`
	Avoidance float64 `json:"avoidance_frac" unit:"-" doc:"seek to leave"`
}

// LifeTable solves Euler's equation for a stock that matures at incubation plus
// maturity [day] and then has young each day for laying days: it gives the
// growth of the stock r [1/day] and the young of a life, survival counted in.
// r is minus infinity without any young. model.md (W17)
func LifeTable(incubation, maturity, youngPerDay, survival, laying float64) (r, r0 float64) {
	b := youngPerDay * survival
	r0 = b * laying
	if !(r0 > 0) {
		return math.Inf(-1), 0
	}
	start := incubation + maturity
	excess := func(r float64) float64 {
		mean := laying
		if r != 0 {
			mean = -math.Expm1(-r*laying) / r
		}
		return b*math.Exp(-r*start)*mean - 1
	}
	lo, hi := -1.0, 1.0
	for excess(lo) < 0 {
		lo *= 2
	}
	for excess(hi) > 0 {
		hi *= 2
	}
	for hi-lo > 1e-14 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if excess(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, r0
}

func finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}

// Figures gives the figures of the worms.
func Figures(p Parameters) []figure.Figure {
	return []figure.Figure{
		figure.Of(figure.Figure{
			Name: "worm.growth_rate", Title: "How quickly worms grow by temperature", Equation: "W1",
			Formula: "B(T)/B(25); B = T (T - 4.574) sqrt(38.057 - T), 0 outside",
			Source:  "Briere curve fitted by us to Tsukamoto and Watanabe 1977 and Tripathi and Bhardwaj 2004",
		}, func(in tempIn) (growthOut, []string, error) {
			notes := []string{"Good to a quarter at any one temperature. Single worms: a stock of worms hardly breeds above 30 C."}
			if in.TempC > 35 {
				notes = append(notes, "Nothing was measured above 35 C; worms begin to die there.")
			}
			return growthOut{p.Growth(in.TempC)}, notes, nil
		}),
		figure.Of(figure.Figure{
			Name: "worm.incubation", Title: "When cocoons hatch", Equation: "W3",
			Formula: "mean = 421/(T - 5.13) days, T held at 30 C above it, none below 6 C; hatched by day: gamma with spread 0.25",
			Source:  "Degree-days fitted by us to 8 mean times, among them Venter and Reinecke 1988; spread from their Figure 4",
		}, func(in incubationIn) (incubationOut, []string, error) {
			o := incubationOut{CV: p.HatchCV, Success: p.HatchSuccess(in.TempC)}
			var notes []string
			if h := p.Hatching(in.TempC); h > 0 {
				o.MeanDays = finite(1 / h)
			} else {
				o.Success = 0
				notes = append(notes, "No cocoon hatches at this temperature.")
			}
			if in.Day != nil {
				o.Hatched = finite(p.Hatched(in.TempC, *in.Day))
			}
			if in.TempC > 30 {
				notes = append(notes, "Above 30 C fewer cocoons hatch, none from 36 C: assumed, not measured.")
			}
			return o, notes, nil
		}),
		figure.Of(figure.Figure{
			Name: "worm.maturation", Title: "From hatching to maturity", Equation: "W5",
			Formula: "44/g(T) days", Source: "Shape of growth, scale fitted by us to 8 times at 15 to 25 C",
		}, func(in tempIn) (maturationOut, []string, error) {
			return maturationOut{finite(p.Maturation(in.TempC))}, []string{"Good to a quarter; well fed, moist and not crowded."}, nil
		}),
		figure.Of(figure.Figure{
			Name: "worm.laying", Title: "Cocoons laid", Equation: "W6",
			Formula: "0.36 c(T)/c(25) moist crowd spare; c = T (T + 2.2) sqrt(32 - T), 0 below 5 C",
			Source:  "Level: Venter and Reinecke 1988, Reinecke and Viljoen 1990; cold side: Butt 1997 on another species; hot side assumed",
		}, func(in layingIn) (layingOut, []string, error) {
			return layingOut{p.Laying(in.TempC, in.Water, in.Density, in.Fed)}, []string{"Good to 40 %; only 20 and 25 C are measured."}, nil
		}),
		figure.Of(figure.Figure{
			Name: "worm.life_table", Title: "How quickly a stock can grow", Equation: "W17",
			Formula: "1 = b l integral over the laying days of exp(-r age)", Source: "Euler and Lotka's equation",
		}, func(in lifeIn) (lifeOut, []string, error) {
			r, r0 := LifeTable(in.Incubation, in.Maturity, in.Young, in.Survival, in.Laying)
			o := lifeOut{Growth: finite(r), R0: r0}
			if r > 0 {
				o.Doubling = finite(math.Ln2 / r)
			}
			return o, []string{"Without crowding, hunger and death of adults; beds are far slower."}, nil
		}),
		figure.Of(figure.Figure{
			Name: "worm.ammonia_response", Title: "What ammonia does to worms", Equation: "W13",
			Formula: "survival = 1/(1 + (c/L)^8), L = 0.8212/(1 - exp(-0.11 days)); avoidance = 1/(1 + (0.05/c)^2)",
			Source:  "Fitted by us to the lethal levels of Zeguerrou and others 2019 (abstracts)",
		}, func(in doseIn) (doseOut, []string, error) {
			return doseOut{p.SurviveAmmonia(in.MgG, in.Days), p.Avoid(in.MgG)}, []string{"Soil with ammonium hydroxide, read by dry mass; 1 mg of it holds 0.40 mg of nitrogen. Worms begin to leave at a sixteenth of the deadly level."}, nil
		}),
	}
}
