package bed

import (
	"math"

	"wormyard/climate"
)

// Vapour constants: ASHRAE Handbook of Fundamentals (2017) chapter 1 for the gas
// constants, heat capacity of air and Lewis number as commonly taken for water
// vapour in air near 20 C.
const (
	vapourGas = 461.52  // [J/(kg K)]
	dryGas    = 287.042 // [J/(kg K)]
	airHeat   = 1006.0  // [J/(kg K)]
	lewis     = 0.865   // thermal over vapour diffusivity
	// PermSI is one US perm [kg/(s m2 Pa)]: a grain an hour through a square foot
	// for each inch of mercury.
	PermSI = 57.2135e-12
)

// FilmConductance gives the vapour conductance of an air film [m/s] from its
// heat transfer by convection [W/(m2 K)], by the analogy of Lewis.
// model.md (B60)
func FilmConductance(convection, tempC, pressurePa float64) float64 {
	return convection / (climate.DryAirDensity(tempC, pressurePa) * airHeat * lewisPower)
}

var lewisPower = math.Pow(lewis, 2.0/3)

// Barrier is what water vapour passes from the bed's surface to the air: a
// still gap under the cover, the cover, the film above.
type Barrier struct {
	GapM       float64 // still air under the cover [m]
	Permeance  float64 // of the cover [kg/(s m2 Pa)]; 0 with Covered is tight
	Covered    bool
	Convection float64 // film on the air side [W/(m2 K)]
}

// Resistance gives the resistance to vapour [s/m] at a mean temperature [C].
// model.md (B61)
func (b Barrier) Resistance(d *Diffusivity, meanC, pressurePa float64) float64 {
	r := 1 / FilmConductance(b.Convection, meanC, pressurePa)
	if b.GapM > 0 {
		r += b.GapM / d.Free(VapourGas, meanC, pressurePa)
	}
	if b.Covered {
		if !(b.Permeance > 0) {
			return math.Inf(1)
		}
		r += 1 / (b.Permeance * vapourGas * (meanC + zeroKelvin))
	}
	return r
}

// Evaporation gives the water that leaves a wet surface [kg/(m2 s)], below 0
// where dew falls on it. model.md (B62)
func Evaporation(surfaceC, airC, rh, resistance float64) float64 {
	return (climate.SaturationDensity(surfaceC) - rh*climate.SaturationDensity(airC)) / resistance
}
