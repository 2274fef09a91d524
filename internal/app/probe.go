package app

import (
	"wormyard/qty"
)

// Probes says how far the probes of a farm may be off. Values are data.
type Probes struct {
	Dial   float64 `param:"dial_c" unit:"C" json:"dial_c"`
	Logger float64 `param:"logger_c" unit:"C" json:"logger_c"`
	Other  float64 `param:"other_c" unit:"C" json:"other_c"`
	Water  float64 `param:"water_frac_wet" unit:"-" json:"water_frac_wet"`
}

// Temp gives how far a temperature by a kind of probe may be off [C].
func (p Probes) Temp(probe string) qty.Celsius {
	switch probe {
	case "dial":
		return qty.Celsius(p.Dial)
	case "logger":
		return qty.Celsius(p.Logger)
	}
	return qty.Celsius(p.Other)
}
