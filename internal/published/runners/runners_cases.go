package runners

import (
	"fmt"
	"math"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/nature"
	"wormyard/internal/published"
	"wormyard/qty"
)

const casesFile = "reference_computed_cases"

// cases computes the worked cases that no single figure answers: each runs the
// figures and functions that the bed runs, several times or one after another.
func cases() []Runner {
	return []Runner{
		{casesFile, "2a", with(breathing)},
		{casesFile, "2c", dyingAway},
		{casesFile, "2, heat of burning", burning},
		{casesFile, "3c", firstLoss},
		{casesFile, "3d", yearly},
		{casesFile, "3f, in a bed", rotting},
		{casesFile, "3, ammonia in water and air", with(solubility)},
		{casesFile, "4a, 4b", reach},
		{casesFile, "5f, in a bed", rotting},
		{casesFile, "5h", carrying},
		{casesFile, "6d, first root", firstRoot},
		{casesFile, "6h", wave},
		{casesFile, "6i", boxCooling},
		{casesFile, "6l", feedingItself},
		{casesFile, "8a, 8b, season", season},
		{casesFile, "grid", grid},
		{"iapws_if97", "saturation beyond the formula", with(func(_ *nature.Numbers, in map[string]float64) map[string]float64 {
			return map[string]float64{"saturation_pa": climate.SaturationPa(in["temp_c"])}
		})},
	}
}

// with makes a Compute of a function of the parameters and of plain numbers.
func with(f func(n *nature.Numbers, in map[string]float64) map[string]float64) published.Compute {
	return func(in map[string]any) (map[string]any, error) {
		n, err := numbers()
		if err != nil {
			return nil, err
		}
		return published.Numbers(func(in map[string]float64) map[string]float64 { return f(&n, in) })(in)
	}
}

// breathing carries a measured breath to another temperature by the worms'
// curve and turns it into the heat of a bed.
func breathing(n *nature.Numbers, in map[string]float64) map[string]float64 {
	w := n.Worm
	w.BreathQ10 = in["q10"]
	ul := in["ul_g_h"] * w.Breath(in["temp_c"]) / w.Breath(in["measured_c"])
	density := bed.OxygenInAir(in["temp_c"], climate.StandardPressure, 1)
	oxygen := ul * 1e-6 * density * in["kg_m2"] // [kg/(m2 h)]
	return map[string]float64{"ul_g_h": ul, "oxygen_kg_m3": density, "oxygen_g_m2_h": 1e3 * oxygen, "heat_w_m2": oxygen * n.Bed.OxygenHeat * 1e6 / 3600}
}

func solubility(_ *nature.Numbers, in map[string]float64) map[string]float64 {
	const litreAtmospheres = 0.0820573661 // gas constant [L atm/(mol K)]
	henry := bed.AmmoniaHenry(in["temp_c"])
	return map[string]float64{"henry_mol_kg_atm": henry, "water_over_air": henry * litreAtmospheres * (in["temp_c"] + 273.15)}
}

// number reads an output of a figure by its path.
func number(out map[string]any, path string) (float64, error) {
	v, ok := published.At(out, path)
	x, isNumber := v.(float64)
	if !ok || !isNumber {
		return 0, fmt.Errorf("the figure gives no number %s", path)
	}
	return x, nil
}

// closed is a face that no heat passes, held one that has a temperature.
var closed = map[string]any{"closed": true}

func held(tempC float64) map[string]any { return map[string]any{"temp_c": tempC} }

// dyingAway follows heat that dies away, an hour at a time.
func dyingAway(in map[string]any) (map[string]any, error) {
	heat, dies, temp := in["heat_w_m3"].(float64), in["dies_per_day"].(float64), 0.0
	column, err := figureOf("bed.heat_column")
	if err != nil {
		return nil, err
	}
	for hour := range int(in["days"].(float64) * 24) {
		from, to := float64(hour)/24, float64(hour+1)/24
		mean := heat * (math.Exp(-dies*from) - math.Exp(-dies*to)) / (dies * (to - from))
		out, err := column(map[string]any{
			"layers": []any{map[string]any{"thickness_m": 0.5, "conductivity_w_mk": 0.4, "capacity_j_m3k": in["capacity_j_m3k"], "heat_w_m3": mean, "temp_c": temp}},
			"top":    closed, "bottom": closed, "hours": []any{1}, "cells": 10,
		})
		if err != nil {
			return nil, err
		}
		if temp, err = number(out, "times[0].mean_c"); err != nil {
			return nil, err
		}
	}
	return map[string]any{"rise_c": temp}, nil
}

func burning(in map[string]any) (map[string]any, error) {
	out, err := call("bed.oxygen_demand", map[string]any{"c": in["c"], "h": in["h"], "o": in["o"], "n": in["n"]})
	if err != nil {
		return nil, err
	}
	need, err := number(out, "oxygen_kg_kg")
	return map[string]any{"mj_kg": need * in["mj_kg_oxygen"].(float64)}, err
}

func firstLoss(in map[string]any) (map[string]any, error) {
	out, err := call("bed.decay", map[string]any{"pools": in["pools"], "inert_frac": in["inert_frac"], "days": 0})
	if err != nil {
		return nil, err
	}
	lost, err := number(out, "lost_per_day_frac")
	return map[string]any{"oxygen_mg_g_h": lost * in["oxygen_kg_kg"].(float64) * 1e3 / 24, "heat_w_kg": lost * in["mj_kg"].(float64) * 1e6 / 86400}, err
}

func yearly(in map[string]any) (map[string]any, error) {
	out, err := call("bed.temperature_response", map[string]any{"curve": "rothc", "temp_c": in["temp_c"]})
	if err != nil {
		return nil, err
	}
	factor, err := number(out, "factor")
	rate := in["rate_per_year"].(float64) / 365.25 * factor
	return map[string]any{"rate_per_day": rate, "half_days": math.Ln2 / rate}, err
}

// rotting lets matter lie in a bin without worms and holds what is left against
// what the run says went.
func rotting(in map[string]any) (map[string]any, error) {
	n, err := numbers()
	if err != nil {
		return nil, err
	}
	const dry = 30.0
	m := feedstock.Matter{Dry: dry, Water: 70, Volume: 0.2, Quick: 6, Slow: 12, Woody: 9, Ash: 3, Carbon: 14}
	m.Nitrogen = qty.NitrogenKg(float64(m.Carbon) / in["cn"].(float64))
	air := climate.Hour{TempC: in["temp_c"].(float64), RH: 0.8}
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, Under: bed.UnderFloor}
	hours := int64(in["days"].(float64) * 24)
	s := bed.Start(&n.Bed, box, []bed.Laid{{Matter: m, DepthM: 0.14, TempC: air.TempC, Layer: 1}}, air, 0)
	var last bed.Day
	b, err := bed.Run(&n.Bed, box, s, climate.Steady(0, int(hours), air), hours, nil, func(d bed.Day) { last = d })
	if err != nil {
		return nil, err
	}
	carbonLost, nitrogenLost := b.Carbon.Out/b.Carbon.Start, b.Nitrogen.Out/b.Nitrogen.Start
	water := b.Water.Start - b.EvaporatedKg - b.DrainedKg + n.Bed.MetabolicWater*b.Dry.Out
	return map[string]any{
		"cn_differs":      math.Abs(last.CN - in["cn"].(float64)*(1-carbonLost)/(1-nitrogenLost)),
		"carbon_lost":     carbonLost > 0.05,
		"water_differs":   math.Abs(b.Water.Stored/water - 1),
		"metabolic_kg_kg": n.Bed.MetabolicWater,
	}, nil
}

// reach carries matter from its pores and uptake to the depth that oxygen
// reaches.
func reach(in map[string]any) (map[string]any, error) {
	n, err := numbers()
	if err != nil {
		return nil, err
	}
	pores, err := call("bed.diffusivity", map[string]any{"temp_c": in["temp_c"], "air_filled_frac": in["air_filled_frac"], "porosity_frac": in["porosity_frac"], "model": "moldrup2000"})
	if err != nil {
		return nil, err
	}
	out, err := call("bed.oxygen_column", map[string]any{
		"layers":        []any{map[string]any{"thickness_m": in["bed_m"], "diffusivity_m2_s": pores["effective_m2_s"], "uptake_kg_m3_s": in["uptake_kg_m3_s"]}},
		"surface_kg_m3": bed.AtmosphericOxygen(in["temp_c"].(float64)),
	})
	if err != nil {
		return nil, err
	}
	out["effective_m2_s"] = pores["effective_m2_s"]
	out["heat_w_m3"] = in["uptake_kg_m3_s"].(float64) * n.Bed.OxygenHeat * 1e6
	return out, nil
}

// carrying gives the dry air that takes a kilogram of water away.
func carrying(in map[string]any) (map[string]any, error) {
	ratio := func(temp, rh any) (float64, error) {
		out, err := call("air.state", map[string]any{"temp_c": temp, "rh_frac": rh})
		if err != nil {
			return 0, err
		}
		return number(out, "humidity_ratio")
	}
	enters, err := ratio(in["in_c"], in["in_rh"])
	if err != nil {
		return nil, err
	}
	leaves, err := ratio(in["out_c"], 1)
	return map[string]any{"dry_air_kg": 1 / (leaves - enters)}, err
}

// film is a face behind a conductance.
func film(u, airC float64) map[string]any { return map[string]any{"u_w_m2k": u, "air_c": airC} }

// firstRoot reads z from how the middle of a slab dies away at last, as
// exp(-z^2 Fo).
func firstRoot(in map[string]any) (map[string]any, error) {
	k, c, half := in["conductivity_w_mk"].(float64), in["capacity_j_m3k"].(float64), in["half_m"].(float64)
	u := in["biot"].(float64) * k / half
	hours := half * half * c / k / 3600 // Fourier number 1
	out, err := call("bed.heat_column", map[string]any{
		"layers": []any{map[string]any{"thickness_m": 2 * half, "conductivity_w_mk": k, "capacity_j_m3k": c, "temp_c": 1}},
		"top":    film(u, 0), "bottom": film(u, 0), "hours": []any{2 * hours, 3 * hours}, "depths_m": []any{half},
	})
	if err != nil {
		return nil, err
	}
	before, err := number(out, "times[0].at[0].temp_c")
	if err != nil {
		return nil, err
	}
	after, err := number(out, "times[1].at[0].temp_c")
	return map[string]any{"root": math.Sqrt(math.Log(before / after))}, err
}

// wave starts on the wave of a day and follows it for two days, a quarter of an
// hour at a time; the second day gives height and lag at the depths.
func wave(in map[string]any) (map[string]any, error) {
	const (
		cells, dz = 100, 0.008
		k, c      = 0.40, 2.5e6
		quarters  = 96
	)
	omega := 2 * math.Pi / 86400
	d := math.Sqrt(2 * k / c / omega)
	temps, mids := make([]float64, cells), make([]any, cells)
	for i := range temps {
		x := (float64(i) + 0.5) * dz
		temps[i], mids[i] = math.Exp(-x/d)*math.Cos(x/d), x
	}
	column, err := figureOf("bed.heat_column")
	if err != nil {
		return nil, err
	}
	depths := list(in["depths_m"])
	cosine, sine := make([]float64, len(depths)), make([]float64, len(depths))
	for step := range 2 * quarters {
		layers := make([]any, cells)
		for i, t := range temps {
			layers[i] = map[string]any{"thickness_m": dz, "conductivity_w_mk": k, "capacity_j_m3k": c, "temp_c": t}
		}
		out, err := column(map[string]any{
			"layers": layers, "top": held(math.Cos(omega * (float64(step) + 0.5) * 900)), "bottom": closed,
			"hours": []any{0.25}, "depths_m": mids, "cells": 10,
		})
		if err != nil {
			return nil, err
		}
		for i := range temps {
			if temps[i], err = number(out, fmt.Sprintf("times[0].at[%d].temp_c", i)); err != nil {
				return nil, err
			}
		}
		if step >= quarters {
			at := omega * float64(step+1) * 900
			for i, depth := range depths {
				t := temps[int(depth/dz)]
				cosine[i] += t * math.Cos(at) / (quarters / 2)
				sine[i] += t * math.Sin(at) / (quarters / 2)
			}
		}
	}
	amplitudes, lags := make([]any, len(depths)), make([]any, len(depths))
	for i := range depths {
		lag := math.Atan2(sine[i], cosine[i])
		if lag < 0 {
			lag += 2 * math.Pi
		}
		amplitudes[i], lags[i] = math.Hypot(cosine[i], sine[i]), lag/omega/3600
	}
	return map[string]any{"amplitude": amplitudes, "lag_h": lags}, nil
}

// boxCooling multiplies three slabs.
func boxCooling(in map[string]any) (map[string]any, error) {
	slab := func(depth float64) (center, mean float64, err error) {
		out, err := call("bed.heat_column", map[string]any{
			"layers": []any{map[string]any{"thickness_m": depth, "conductivity_w_mk": 0.40, "capacity_j_m3k": 2.5e6, "temp_c": 1}},
			"top":    film(5, 0), "bottom": film(5, 0), "hours": []any{24 * in["days"].(float64)}, "depths_m": []any{depth / 2},
		})
		if err != nil {
			return 0, 0, err
		}
		if center, err = number(out, "times[0].at[0].temp_c"); err != nil {
			return 0, 0, err
		}
		mean, err = number(out, "times[0].mean_c")
		return center, mean, err
	}
	longCenter, longMean, err := slab(1.2)
	if err != nil {
		return nil, err
	}
	shortCenter, shortMean, err := slab(0.6)
	return map[string]any{"center_c": 5 + 30*longCenter*longCenter*shortCenter, "mean_c": 5 + 30*longMean*longMean*shortMean}, err
}

// feedingItself solves for steady heat, sets the heat by the temperatures found
// and solves again until they hold.
func feedingItself(in map[string]any) (map[string]any, error) {
	const layersOf, q0, beta, k = 100, 100.0, 0.065, 0.40
	depth := in["depth_m"].(float64)
	dz := depth / layersOf
	temps, depths := make([]float64, layersOf), make([]any, layersOf+1)
	for i := range temps {
		depths[i] = (float64(i) + 0.5) * dz
	}
	depths[layersOf] = depth / 2
	column, err := figureOf("bed.heat_column")
	if err != nil {
		return nil, err
	}
	for center := 0.0; ; {
		layers := make([]any, layersOf)
		for i, t := range temps {
			layers[i] = map[string]any{"thickness_m": dz, "conductivity_w_mk": k, "heat_w_m3": q0 * (1 + beta*t)}
		}
		out, err := column(map[string]any{"layers": layers, "top": held(0), "bottom": held(0), "hours": "steady", "depths_m": depths, "cells": 100})
		if err != nil {
			return nil, err
		}
		for i := range temps {
			if temps[i], err = number(out, fmt.Sprintf("times[0].at[%d].temp_c", i)); err != nil {
				return nil, err
			}
		}
		now, err := number(out, fmt.Sprintf("times[0].at[%d].temp_c", layersOf))
		if err != nil {
			return nil, err
		}
		if math.Abs(now-center) < 1e-9*now {
			return map[string]any{"center_c": now}, nil
		}
		if now > 1e3 {
			return nil, fmt.Errorf("no steady state is found")
		}
		center = now
	}
}

// season multiplies the loss of a shed by degree days.
func season(in map[string]any) (map[string]any, error) {
	shed := map[string]any{"outside_c": 0}
	for k, v := range in {
		if k != "degree_days_c" {
			shed[k] = v
		}
	}
	out, err := call("barn.heat", shed)
	if err != nil {
		return nil, err
	}
	loss, err := number(out, "total_w_k")
	return map[string]any{"mwh": loss * 24 * in["degree_days_c"].(float64) / 1e6}, err
}

// grid runs a case on finer and finer grids and gives how the error falls.
func grid(in map[string]any) (map[string]any, error) {
	var falls []any
	last := 0.0
	for _, cells := range list(in["cells"]) {
		given := map[string]any{"cells": cells}
		for k, v := range in["case"].(map[string]any) {
			given[k] = v
		}
		out, err := call(in["figure"].(string), given)
		if err != nil {
			return nil, err
		}
		got, err := number(out, in["output"].(string))
		if err != nil {
			return nil, err
		}
		miss := math.Abs(got - in["exact"].(float64))
		if last > 0 {
			falls = append(falls, last/miss)
		}
		last = miss
	}
	return map[string]any{"falls": falls}, nil
}
