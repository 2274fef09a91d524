package climate

import (
	"fmt"

	"wormyard/figure"
	"wormyard/qty"
)

const airSource = "ASHRAE Handbook of Fundamentals 2017, chapter 1; saturation by Hyland and Wexler 1983"

type stateIn struct {
	TempC      float64  `json:"temp_c" unit:"C" low:"-100" high:"200" doc:"dry bulb temperature"`
	PressurePa float64  `json:"pressure_pa" unit:"Pa" low:"1000" high:"1000000" default:"101325" doc:"pressure of the air"`
	RH         *float64 `json:"rh_frac" unit:"-" low:"0" high:"1" doc:"relative humidity; give one of the four"`
	WetBulbC   *float64 `json:"wet_bulb_c" unit:"C" low:"-100" high:"200" doc:"temperature of a wet wick in moving air; give one of the four"`
	DewPointC  *float64 `json:"dew_point_c" unit:"C" low:"-100" high:"200" doc:"dew or frost point; give one of the four"`
	RatioKgKg  *float64 `json:"humidity_ratio" unit:"kg/kg" low:"0" high:"1" doc:"vapour for each kg of dry air; give one of the four"`
}

type stateOut struct {
	TempC      float64 `json:"temp_c" unit:"C"`
	PressurePa float64 `json:"pressure_pa" unit:"Pa"`
	RH         float64 `json:"rh_frac" unit:"-"`
	WetBulbC   float64 `json:"wet_bulb_c" unit:"C"`
	DewPointC  float64 `json:"dew_point_c" unit:"C"`
	Ratio      float64 `json:"humidity_ratio" unit:"kg/kg"`
	Enthalpy   float64 `json:"enthalpy_kj_kg" unit:"kJ/kg" doc:"for each kg of dry air, 0 for dry air at 0 C"`
	Volume     float64 `json:"volume_m3_kg" unit:"m3/kg" doc:"for each kg of dry air"`
	Vapour     float64 `json:"vapour_pa" unit:"Pa"`
	Saturation float64 `json:"saturation_pa" unit:"Pa"`
	VapourGM3  float64 `json:"vapour_g_m3" unit:"g/m3"`
}

func state(in stateIn) (stateOut, []string, error) {
	t, p := qty.Celsius(in.TempC), qty.Pascal(in.PressurePa)
	given := 0
	for _, v := range []*float64{in.RH, in.WetBulbC, in.DewPointC, in.RatioKgKg} {
		if v != nil {
			given++
		}
	}
	if given != 1 {
		say := "How moist the air is was not given."
		if given > 1 {
			say = fmt.Sprintf("How moist the air is was given in %d ways.", given)
		}
		return stateOut{}, nil, figure.Refuse("rh_frac", say, "Give one of rh_frac, wet_bulb_c, dew_point_c and humidity_ratio.")
	}
	var a Air
	var err error
	switch {
	case in.RH != nil:
		a, err = FromRH(t, p, qty.Fraction(*in.RH))
	case in.WetBulbC != nil:
		a, err = FromWetBulb(t, p, qty.Celsius(*in.WetBulbC))
	case in.DewPointC != nil:
		a, err = FromDewPoint(t, p, qty.Celsius(*in.DewPointC))
	default:
		a, err = FromRatio(t, p, qty.Ratio(*in.RatioKgKg))
	}
	if err != nil {
		return stateOut{}, nil, err
	}
	notes := []string{"Ideal gases: printed tables of saturated air lie about 0.45 % higher in humidity ratio."}
	if a.Temp < 0 {
		notes = append(notes, "Below 0 C saturation is over ice and the dew point is a frost point.")
	}
	return stateOut{
		float64(a.Temp), float64(a.Pressure), float64(a.RH), float64(a.WetBulb), float64(a.DewPoint),
		float64(a.Ratio), a.Enthalpy, a.Volume, float64(a.Vapour), float64(a.Saturation), a.VapourGM3,
	}, notes, nil
}

type pressureIn struct {
	AltitudeM float64 `json:"altitude_m" unit:"m" low:"-5000" high:"11000" doc:"height above the sea"`
}

type pressureOut struct {
	PressurePa float64 `json:"pressure_pa" unit:"Pa"`
}

type partIn struct {
	U    float64 `json:"u_w_m2k" unit:"W/(m2 K)" low:"0" high:"50" doc:"heat transfer through it"`
	Area float64 `json:"area_m2" unit:"m2" low:"0" high:"1000000"`
}

type slabIn struct {
	WMK        float64 `json:"w_mk" unit:"W/(m K)" low:"0" high:"10" doc:"loss at the edge of the floor"`
	PerimeterM float64 `json:"perimeter_m" unit:"m" low:"0" high:"100000"`
}

type heatIn struct {
	Parts       []partIn `json:"parts" doc:"walls, roof, doors"`
	Slab        *slabIn  `json:"slab" doc:"edge of the floor"`
	VolumeM3    float64  `json:"volume_m3" unit:"m3" low:"0" high:"10000000" doc:"air in the barn"`
	AirChanges  float64  `json:"air_changes_per_h" unit:"1/h" low:"0" high:"200" doc:"outside air let in, volumes each hour"`
	InsideC     float64  `json:"inside_c" unit:"C" low:"-60" high:"80" default:"10" doc:"temperature wished for, for load_w"`
	OutsideC    float64  `json:"outside_c" unit:"C" low:"-60" high:"60"`
	Bins        float64  `json:"bins" unit:"-" low:"0" high:"100000" default:"0" doc:"how many"`
	HeatWPerBin float64  `json:"heat_w_per_bin" unit:"W" low:"-1000" high:"10000" default:"0" doc:"given off by one bin"`
}

type heatOut struct {
	UA           float64 `json:"ua_w_k" unit:"W/K" doc:"through walls, roof and floor edge"`
	Infiltration float64 `json:"infiltration_w_k" unit:"W/K" doc:"with outside air let in"`
	Total        float64 `json:"total_w_k" unit:"W/K" doc:"both"`
	LoadW        float64 `json:"load_w" unit:"W" doc:"to hold inside_c against outside_c, heat of the bins not taken off"`
	BinsW        float64 `json:"bins_w" unit:"W" doc:"heat of all bins"`
	HeaterW      float64 `json:"heater_w" unit:"W" doc:"load less the heat of the bins, not below 0"`
	FloatingC    float64 `json:"floating_c" unit:"C" doc:"at rest without a heater"`
}

func barnHeat(in heatIn) (heatOut, []string, error) {
	b := Barn{VolumeM3: in.VolumeM3, AirChanges: in.AirChanges}
	for _, p := range in.Parts {
		b.Parts = append(b.Parts, Part(p))
	}
	if in.Slab != nil {
		b.SlabWMK, b.PerimeterM = in.Slab.WMK, in.Slab.PerimeterM
	}
	o := heatOut{UA: b.Transmission(), Infiltration: b.Infiltration(), BinsW: in.Bins * in.HeatWPerBin}
	o.Total = o.UA + o.Infiltration
	if !(o.Total > 0) {
		return heatOut{}, nil, figure.Refuse("parts", "The barn loses no heat at all: no wall, no floor edge and no outside air is given.", "Give at least one part with its area, or the volume and air changes.")
	}
	o.LoadW = o.Total * (in.InsideC - in.OutsideC)
	o.HeaterW = max(0, o.LoadW-o.BinsW)
	o.FloatingC = b.Floating(in.OutsideC, o.BinsW)
	return o, []string{"At rest, without sun and without what the floor stores."}, nil
}

// Figures gives the figures of air and barn.
func Figures(p Parameters) []figure.Figure {
	return []figure.Figure{
		figure.Of(figure.Figure{
			Name: "air.state", Title: "State of moist air", Equation: "C1",
			Formula: "ln p_ws = C8/T + C9 + C10 T + C11 T^2 + C12 T^3 + C13 ln T; W = 0.621945 p/(P - p); h = 1.006 t + W(2501 + 1.86 t); v = 287.042 T (1 + 1.607858 W)/P",
			Source:  airSource,
		}, state),
		figure.Of(figure.Figure{
			Name: "air.pressure", Title: "Pressure of the air by altitude", Equation: "C8",
			Formula: "P = 101325 (1 - 2.25577e-5 z)^5.2559",
			Source:  "ASHRAE Handbook of Fundamentals 2017, chapter 1, equation 3 (standard atmosphere)",
		}, func(in pressureIn) (pressureOut, []string, error) {
			return pressureOut{float64(Pressure(qty.Metre(in.AltitudeM)))}, nil, nil
		}),
		figure.Of(figure.Figure{
			Name: "barn.heat", Title: "Heat that a barn loses and where it floats", Equation: "C15",
			Formula: "UA = sum(U A) + F P; infiltration = 1207.2 n V/3600; load = (UA + infiltration)(inside - outside); floating = outside + bins/(UA + infiltration)",
			Source:  "Heat balance of a building; heat of air 1207.2 J/(m3 K) near 20 C at sea level",
		}, barnHeat),
	}
}
