package bed

import (
	"fmt"
	"math"

	"wormyard/climate"
	"wormyard/figure"
)

type layerIn struct {
	Density  float64 `json:"density_kg_m3_wet" unit:"kg/m3" low:"1" high:"3000" doc:"bulk density as it lies"`
	Water    float64 `json:"water_frac_wet" unit:"-" low:"0" high:"0.999" doc:"of the wet mass"`
	Volatile float64 `json:"volatile_frac_dry" unit:"-" low:"0" high:"1" doc:"of the dry mass"`
}

type layerOut struct {
	Porosity     float64 `json:"porosity_frac" unit:"m3/m3"`
	Air          float64 `json:"air_filled_frac" unit:"m3/m3"`
	Water        float64 `json:"water_frac_volume" unit:"m3/m3"`
	Saturation   float64 `json:"saturation_frac" unit:"-" doc:"water in the pores"`
	Capacity     float64 `json:"capacity_j_m3k" unit:"J/(m3 K)"`
	Conductivity float64 `json:"conductivity_w_mk" unit:"W/(m K)"`
}

// layerFigure gives a layer of a metre by the very functions of the step.
// model.md (B1, B4)
func (c Column) layerFigure(in layerIn) (layerOut, []string, error) {
	dry := in.Density * (1 - in.Water)
	l := Layer{DepthM: 1, Slow: dry * in.Volatile, Ash: dry * (1 - in.Volatile), Water: in.Density * in.Water}
	phi, eps, water, ice := c.space(&l, l.Volatile())
	if eps < 0 {
		return layerOut{}, nil, figure.Refuse("density_kg_m3_wet", fmt.Sprintf("Water and solids would fill %.0f %% of the room.", 100*(1-eps)), "Look again at density and moisture.")
	}
	out := layerOut{Porosity: phi, Air: eps, Water: water, Capacity: c.heatCap(&l), Conductivity: c.conductivity(phi, eps, water, ice)}
	if phi > 0 {
		out.Saturation = water / phi
	}
	return out, nil, nil
}

// airViscosity is that of dry air as the criterion of convection takes it, near 25 C [Pa s].
const airViscosity = 1.85e-5

// Rayleigh gives the Rayleigh number of a bed that is warmer below: permeability
// [m2], depth [m], heat conductivity [W/(m K)]. Above 4 pi^2 the air in a bed
// shut on all sides turns over. model.md (B68)
func Rayleigh(permeability, warmerC, depthM, conductivity, meanC float64) float64 {
	rho := climate.DryAirDensity(meanC, atmosphere)
	return rho * rho * airHeat * gravity / (meanC + zeroKelvin) * permeability * warmerC * depthM / (airViscosity * conductivity)
}

type rayleighIn struct {
	Permeability float64 `json:"permeability_m2" unit:"m2" low:"1e-15" high:"1e-3" doc:"moist castings 1e-11 to 1e-9, chips and straw 1e-8 to 1e-6"`
	WarmerC      float64 `json:"warmer_c" unit:"K" low:"0" high:"80" doc:"base over top"`
	DepthM       float64 `json:"depth_m" unit:"m" low:"0.01" high:"5"`
	Conductivity float64 `json:"conductivity_w_mk" unit:"W/(m K)" low:"0.01" high:"3"`
	MeanC        float64 `json:"mean_c" unit:"C" low:"-30" high:"90" default:"20"`
}

type rayleighOut struct {
	Rayleigh float64 `json:"rayleigh" unit:"-"`
	Critical float64 `json:"critical" unit:"-"`
}

// LayerFigures gives the figures of what a layer of the bed is.
func LayerFigures(c Column) []figure.Figure {
	return []figure.Figure{
		figure.Of(figure.Figure{
			Name: "bed.layer", Title: "What fills a layer, what heat it holds and how it carries it", Equation: "B4",
			Formula: "air = 1 - rho (w/1000 + (1-w)(v/1600 + (1-v)/2500)); C = rho (w 4186 + (1-w) 1480); k = 0.59 theta_w + 0.25 theta_s + 0.025 air",
			Source:  "Volumes add; component conductivities of de Vries 1963 (from memory)",
		}, c.layerFigure),
		figure.Of(figure.Figure{
			Name: "bed.rayleigh", Title: "Whether warm air rises through the bed", Equation: "B68",
			Formula: "Ra = rho^2 cp g K dT L/(T mu k); air turns over where Ra > 4 pi^2",
			Source:  "Horton and Rogers 1945; Lapwood 1948 (from memory)",
		}, func(in rayleighIn) (rayleighOut, []string, error) {
			o := rayleighOut{Rayleigh(in.Permeability, in.WarmerC, in.DepthM, in.Conductivity, in.MeanC), 4 * math.Pi * math.Pi}
			if o.Rayleigh > o.Critical {
				return o, []string{"Air turns over even when the bed is shut on all sides."}, nil
			}
			return o, []string{"Shut on all sides, the air in it stays where it is; through open sides warm air still rises (B11)."}, nil
		}),
	}
}
