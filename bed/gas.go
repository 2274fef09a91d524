package bed

import "math"

// Gas constants and masses are exact or CODATA; the composition of dry air is
// that of the US Standard Atmosphere 1976.
const (
	gasConstant   = 8.314462618 // [J/(mol K)]
	oxygenMolar   = 0.0319988   // [kg/mol]
	oxygenOfAir   = 0.2095      // by volume, rounded as the check values have it
	nitrogenMolar = 0.0140067   // [kg/mol]
	atmosphere    = 101325.0    // [Pa]
	zeroKelvin    = 273.15      // 0 C [K]
	litre         = 1e-3        // [m3]
)

// Gas is one of the gases that move through the pores.
type Gas int

// The gases.
const (
	OxygenGas Gas = iota
	VapourGas
	AmmoniaGas
	CarbonDioxideGas
)

// Diffusivity holds the free-air diffusivities at 0 C and 101325 Pa and the
// exponent of temperature, after Massman 1998. The values are data, file
// diffusivity.json.
type Diffusivity struct {
	Oxygen        float64 `param:"oxygen_diffusivity_m2_s" unit:"m2/s"`
	Vapour        float64 `param:"vapour_diffusivity_m2_s" unit:"m2/s"`
	Ammonia       float64 `param:"ammonia_diffusivity_m2_s" unit:"m2/s"`
	CarbonDioxide float64 `param:"carbon_dioxide_diffusivity_m2_s" unit:"m2/s"`
	Exponent      float64 `param:"diffusivity_exponent" unit:"-"`
}

// Free gives the diffusivity in free air [m2/s] at a temperature [C] and a
// pressure [Pa]. model.md (B50)
func (d *Diffusivity) Free(g Gas, tempC, pressurePa float64) float64 {
	at0 := d.Oxygen
	switch g {
	case VapourGas:
		at0 = d.Vapour
	case AmmoniaGas:
		at0 = d.Ammonia
	case CarbonDioxideGas:
		at0 = d.CarbonDioxide
	}
	return at0 * math.Pow((tempC+zeroKelvin)/zeroKelvin, d.Exponent) * atmosphere / pressurePa
}

// Pores names a model of how much slower gas moves through a bed than in free
// air. The two models of Millington and Quirk differ three- to fivefold at an
// air-filled space of 0.2 to 0.3; the bed uses the square.
type Pores string

// The models, all per bulk area of bed.
const (
	Moldrup2000 Pores = "moldrup2000" // air^2.5 / porosity^0.5
	MQ1961      Pores = "mq1961"      // air^(10/3) / porosity^2
	MQ1960      Pores = "mq1960"      // air^2 / porosity^(2/3)
	Penman      Pores = "penman"      // 0.66 air
	Marshall    Pores = "marshall"    // air^1.5
	Square      Pores = "square"      // air^2, compost rule of thumb
	PenmanMQ    Pores = "penman_mq"   // 0.66 porosity (air/porosity)^2, between Penman's and Millington and Quirk's
)

// Relative gives diffusivity in the bed over that in free air for an air-filled
// space and a total porosity [m3/m3]. model.md (B51)
func (p Pores) Relative(air, porosity float64) float64 {
	if !(air > 0) {
		return 0
	}
	switch p {
	case Moldrup2000:
		return air * air * math.Sqrt(air/porosity)
	case MQ1961:
		return math.Pow(air, 10.0/3) / (porosity * porosity)
	case MQ1960:
		return air * air / math.Cbrt(porosity*porosity)
	case Penman:
		return 0.66 * air
	case Marshall:
		return air * math.Sqrt(air)
	case Square:
		return air * air
	case PenmanMQ: // exponent (12 - m)/3 with m = 6
		return 0.66 * air * air / porosity
	}
	return math.NaN()
}

// OxygenInAir gives the oxygen in a cubic metre of air [kg/m3] for a volume
// fraction. model.md (B52)
func OxygenInAir(tempC, pressurePa, frac float64) float64 {
	return frac * pressurePa * oxygenMolar / (gasConstant * (tempC + zeroKelvin))
}

// AtmosphericOxygen gives the oxygen in open air at sea level [kg/m3].
// model.md (B52)
func AtmosphericOxygen(tempC float64) float64 { return OxygenInAir(tempC, atmosphere, oxygenOfAir) }
