package mix

import (
	"fmt"
	"math"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

type moistureIn struct {
	Wet float64 `json:"wet_kg" unit:"kg" low:"0" doc:"mass as it was, net of the pan"`
	Dry float64 `json:"dry_kg" unit:"kg" low:"0" doc:"mass after drying, net of the pan"`
}

type moistureOut struct {
	OfWet float64  `json:"water_frac_wet" unit:"kg/kg wet"`
	OfDry *float64 `json:"water_frac_dry" unit:"kg/kg dry"`
}

// moistureFigure is model.md (M1).
func moistureFigure(in moistureIn) (out moistureOut, notes []string, err error) {
	if in.Wet == 0 {
		return out, nil, figure.Refuse("wet_kg", "The sample weighs nothing.", "Give its mass as it was, less the pan.")
	}
	if in.Dry > in.Wet {
		return out, nil, figure.Refuse("dry_kg", fmt.Sprintf("It weighs more dry (%g kg) than wet (%g kg).", in.Dry, in.Wet), "Look whether the two were swapped, or the pan was taken off one of them only.")
	}
	out.OfWet = ratio(in.Wet-in.Dry, in.Wet)
	return basis(out.OfWet)
}

func basis(ofWet float64) (moistureOut, []string, error) {
	out := moistureOut{OfWet: ofWet}
	if ofWet == 1 {
		return out, []string{"All of it is water, so there is no dry matter to refer to."}, nil
	}
	d := float64(qty.WaterOfWet(ofWet).OfDry())
	out.OfDry = &d
	return out, nil, nil
}

type basisIn struct {
	OfDry *float64 `json:"water_frac_dry" unit:"kg/kg dry" low:"0" high:"1e6" doc:"one of the two"`
	OfWet *float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1" doc:"one of the two"`
}

// basisFigure is model.md (M2).
func basisFigure(in basisIn) (moistureOut, []string, error) {
	switch {
	case in.OfDry != nil && in.OfWet != nil:
		return moistureOut{}, nil, figure.Refuse("water_frac_dry", "Moisture is given on both bases.", "Give one of water_frac_dry and water_frac_wet.")
	case in.OfDry != nil:
		d := *in.OfDry
		return moistureOut{OfWet: float64(qty.WaterOfDry(d).OfWet()), OfDry: &d}, nil, nil
	case in.OfWet != nil:
		return basis(*in.OfWet)
	}
	return moistureOut{}, nil, figure.Refuse("water_frac_dry", "No moisture is given.", "Give one of water_frac_dry and water_frac_wet.")
}

type wetPart struct {
	Wet   float64 `json:"mass_kg_wet" unit:"kg" low:"0"`
	Water float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
}

type blendMoistureIn struct {
	Parts  []wetPart `json:"parts"`
	Poured float64   `json:"water_kg" unit:"kg" low:"0" default:"0" doc:"water poured on"`
}

type blendMoistureOut struct {
	Wet   float64 `json:"mass_kg_wet" unit:"kg"`
	Dry   float64 `json:"mass_kg_dry" unit:"kg"`
	Water float64 `json:"water_kg" unit:"kg"`
	OfWet float64 `json:"water_frac_wet" unit:"kg/kg wet"`
}

// blendMoistureFigure is model.md (M3).
func blendMoistureFigure(in blendMoistureIn) (out blendMoistureOut, notes []string, err error) {
	total := none()
	for _, q := range in.Parts {
		s := sumsOf(&feedstock.Values{Water: qty.WaterOfWet(q.Water)}, feedstock.Quantity{Wet: qty.WetKg(q.Wet)})
		total.add(&s)
	}
	total.wet += in.Poured
	total.water += in.Poured
	if total.wet == 0 {
		return out, nil, figure.Refuse("parts", "The mix weighs nothing.", "Give at least one mass.")
	}
	return blendMoistureOut{total.wet, total.dry, total.water, ratio(total.water, total.wet)}, nil, nil
}

type massForMoistureIn struct {
	Wet    float64 `json:"mass_kg_wet" unit:"kg" low:"0" doc:"of the first material"`
	Water  float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Other  float64 `json:"other_water_frac_wet" unit:"kg/kg wet" low:"0" high:"1" doc:"of the second material"`
	Target float64 `json:"target_water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
}

type massOut struct {
	Other float64 `json:"other_mass_kg_wet" unit:"kg" doc:"of the second material"`
}

// massForMoisture is model.md (M4).
func massForMoisture(mass, water, other, target float64) float64 {
	return mass * (target - water) / (other - target)
}

func massForMoistureFigure(in massForMoistureIn) (massOut, []string, error) {
	if (in.Target-in.Water)*(in.Other-in.Target) < 0 || in.Other == in.Target {
		return massOut{}, nil, figure.Refuse("target_water_frac_wet", fmt.Sprintf("No mix of the two has a moisture of %g %%: it must lie between %g and %g %%.", 100*in.Target, 100*math.Min(in.Water, in.Other), 100*math.Max(in.Water, in.Other)), "Choose a target between them or another material.")
	}
	return massOut{massForMoisture(in.Wet, in.Water, in.Other, in.Target)}, nil, nil
}

type waterToAddIn struct {
	Wet    float64 `json:"mass_kg_wet" unit:"kg" low:"0"`
	Water  float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
	Target float64 `json:"target_water_frac_wet" unit:"kg/kg wet" low:"0" high:"1"`
}

type waterToAddOut struct {
	Water float64 `json:"water_kg" unit:"kg" doc:"to pour on; below 0, to lose"`
}

// WaterToAdd gives the water to pour on a mass for a moisture, below zero when
// it must dry; target below 1. model.md (M5), (M6).
func WaterToAdd(mass qty.WetKg, water, target qty.WaterOfWet) qty.WaterKg {
	return qty.WaterKg(massForMoisture(float64(mass), float64(water), 1, float64(target)))
}

func waterToAddFigure(in waterToAddIn) (waterToAddOut, []string, error) {
	if in.Target == 1 && in.Water < 1 {
		return waterToAddOut{}, nil, figure.Refuse("target_water_frac_wet", "No amount of water makes it all water.", "Give a target below 1.")
	}
	if in.Target == 1 {
		return waterToAddOut{}, nil, nil
	}
	w := float64(WaterToAdd(qty.WetKg(in.Wet), qty.WaterOfWet(in.Water), qty.WaterOfWet(in.Target)))
	var notes []string
	if w < 0 {
		notes = []string{fmt.Sprintf("It is wetter than wanted: %s kg of water must go.", qty.Figures(-w))}
	}
	return waterToAddOut{w}, notes, nil
}

type volumetricIn struct {
	OfDry   float64 `json:"water_frac_dry" unit:"kg/kg dry" low:"0" high:"1e6"`
	Density float64 `json:"density_kg_m3_dry" unit:"kg/m3" low:"0" high:"3000"`
}

type volumetricOut struct {
	OfVolume float64 `json:"water_frac_volume" unit:"m3/m3"`
}

// volumetricFigure is model.md (M7).
func volumetricFigure(in volumetricIn) (volumetricOut, []string, error) {
	out := volumetricOut{in.OfDry * in.Density / waterDensity}
	var notes []string
	if out.OfVolume > 1 {
		notes = []string{"More water than room: one of the two numbers is off."}
	}
	return out, notes, nil
}
