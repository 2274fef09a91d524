package climate

import (
	"math"

	"wormyard/figure"
	"wormyard/qty"
)

// Physical constants of moist air. Values as in ASHRAE Handbook of
// Fundamentals (2017), chapter 1, unless another source is named.
const (
	StandardPressure = 101325.0 // sea level [Pa]
	vapourGas        = 461.52   // gas constant of water vapour [J/(kg K)]
	dryGas           = 287.042  // gas constant of dry air [J/(kg K)]
	massRatio        = 0.621945 // molar mass of water over that of dry air
	dryHeat          = 1.006    // heat capacity of dry air [kJ/(kg K)]
	vapourHeat       = 1.86     // heat capacity of vapour [kJ/(kg K)]
	vapourLatent     = 2501.0   // latent heat at 0 C [kJ/kg]
	zeroKelvin       = 273.15
	lowestC          = -100.0 // range of Hyland and Wexler's formulas [C]
	highestC         = 200.0
)

// SaturationPa gives the saturation vapour pressure [Pa] of water, over ice
// below 0 C, for -100 to 200 C. Hyland and Wexler 1983 in the form of ASHRAE
// Fundamentals chapter 1, equations 5 and 6. model.md (C1)
func SaturationPa(tempC float64) float64 {
	t := tempC + zeroKelvin
	if tempC < 0 {
		return math.Exp(-5.6745359e3/t + 6.3925247 + t*(-9.677843e-3+t*(6.2215701e-7+t*(2.0747825e-9-t*9.484024e-13))) + 4.1635019*math.Log(t))
	}
	return math.Exp(-5.8002206e3/t + 1.3914993 + t*(-4.8640239e-2+t*(4.1764768e-5-t*1.4452093e-8)) + 6.5459673*math.Log(t))
}

// Range of the quick form [C]; outside it SaturationPa is called.
const (
	quickLow  = -60
	quickHigh = 120
	quickPerK = 2 // cubics for each kelvin
)

var quick = cubics()

// cubics fits a cubic through value and slope of SaturationPa at both ends of
// every half kelvin. 0 C is an end, so the kink between ice and water is kept.
func cubics() (table [(quickHigh - quickLow) * quickPerK][4]float64) {
	const h = 1.0 / quickPerK
	for i := range table {
		a := quickLow + float64(i)*h
		b := a + h
		inside := 1e-9 // keeps the slope at 0 C on its own side
		f0, f1 := SaturationPa(a), SaturationPa(b-inside)
		d0 := h * slope(a, 1)
		d1 := h * slope(b-inside, -1)
		table[i] = [4]float64{f0, d0, 3*(f1-f0) - 2*d0 - d1, 2*(f0-f1) + d0 + d1}
	}
	return table
}

// slope gives dp/dT by a one-sided difference of fourth order.
func slope(t, side float64) float64 {
	h := side * 1e-3
	f := SaturationPa
	return (-25*f(t) + 48*f(t+h) - 36*f(t+2*h) + 16*f(t+3*h) - 3*f(t+4*h)) / (12 * h)
}

// QuickSaturationPa gives SaturationPa within 1e-6 of its value [Pa], several times
// quicker, for hot loops. model.md (C1)
func QuickSaturationPa(tempC float64) float64 {
	x := (tempC - quickLow) * quickPerK
	if !(x >= 0 && x < (quickHigh-quickLow)*quickPerK) {
		return SaturationPa(tempC)
	}
	i := int(x)
	x -= float64(i)
	c := &quick[i]
	return c[0] + x*(c[1]+x*(c[2]+x*c[3]))
}

// VapourDensity gives the density of water vapour [kg/m3] at a partial
// pressure [Pa]. model.md (C2)
func VapourDensity(tempC, vapourPa float64) float64 {
	return vapourPa / (vapourGas * (tempC + zeroKelvin))
}

// SaturationDensity gives the density of saturated vapour [kg/m3], by the quick
// saturation pressure. model.md (C2)
func SaturationDensity(tempC float64) float64 {
	return QuickSaturationPa(tempC) / (vapourGas * (tempC + zeroKelvin))
}

// LatentHeat gives the heat to evaporate water [J/kg]; near its value in the
// steam tables within 0.2 % from 0 to 60 C. model.md (C3)
func LatentHeat(tempC float64) float64 { return (2501 - 2.361*tempC) * 1e3 }

// DryAirDensity gives the density of dry air [kg/m3]. model.md (C2)
func DryAirDensity(tempC, pressurePa float64) float64 {
	return pressurePa / (dryGas * (tempC + zeroKelvin))
}

// HumidityRatioOf gives kg of vapour for each kg of dry air.
// model.md (C4)
func HumidityRatioOf(vapourPa, pressurePa float64) float64 {
	return massRatio * vapourPa / (pressurePa - vapourPa)
}

// VapourOf gives the vapour pressure [Pa] of a humidity ratio.
// model.md (C4)
func VapourOf(ratio, pressurePa float64) float64 { return ratio * pressurePa / (massRatio + ratio) }

// DewPointC gives the temperature at which vapour of a given pressure
// saturates [C]; for 0.0014 Pa (-100 C) to 1.5 MPa (200 C), the nearer end
// outside. model.md (C5)
func DewPointC(vapourPa float64) float64 {
	lo, hi := lowestC, highestC
	if vapourPa <= SaturationPa(lo) {
		return lo
	}
	if vapourPa >= SaturationPa(hi) {
		return hi
	}
	for hi-lo > 1e-10 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if SaturationPa(mid) < vapourPa {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Pressure gives the pressure of the standard atmosphere [Pa] at an altitude
// [m], -5000 to 11000. model.md (C8)
func Pressure(altitude qty.Metre) qty.Pascal {
	return qty.Pascal(StandardPressure * math.Pow(1-2.25577e-5*float64(altitude), 5.2559))
}

// Air is moist air: its state and what follows from it.
type Air struct {
	Temp       qty.Celsius
	Pressure   qty.Pascal
	RH         qty.Fraction // relative humidity, vapour over saturation pressure
	WetBulb    qty.Celsius
	DewPoint   qty.Celsius // frost point below 0 C
	Ratio      qty.Ratio   // humidity ratio [kg vapour/kg dry air]
	Enthalpy   float64     // [kJ/kg dry air], 0 for dry air at 0 C
	Volume     float64     // [m3/kg dry air]
	Vapour     qty.Pascal
	Saturation qty.Pascal
	VapourGM3  float64 // [g vapour/m3]
}

// FromRH gives the state of air of a relative humidity from 0 to 1. It refuses
// air that cannot be.
func FromRH(temp qty.Celsius, pressure qty.Pascal, rh qty.Fraction) (Air, error) {
	if err := holds(temp, pressure); err != nil {
		return Air{}, err
	}
	if !(rh >= 0 && rh <= 1) {
		return Air{}, figure.Refuse("rh_frac", "Relative humidity lies between 0 and 1.", "Type 0.8 for 80 percent.")
	}
	return fromVapour(temp, pressure, float64(rh)*SaturationPa(float64(temp)))
}

// FromDewPoint gives the state of air whose dew point is known. It refuses a
// dew point above the air's temperature.
func FromDewPoint(temp qty.Celsius, pressure qty.Pascal, dew qty.Celsius) (Air, error) {
	if err := holds(temp, pressure); err != nil {
		return Air{}, err
	}
	if !(float64(dew) >= lowestC) {
		return Air{}, figure.Refuse("dew_point_c", "The dew point is below -100 C, colder than the vapour formulas reach.", "Check the reading.")
	}
	if !(dew <= temp) {
		return Air{}, figure.Refuse("dew_point_c", "The dew point is above the temperature of the air; such air would rain out.", "Check which of the two was read, and the units.")
	}
	return fromVapour(temp, pressure, SaturationPa(float64(dew)))
}

// FromRatio gives the state of air whose humidity ratio is known. It refuses
// more vapour than the air can hold.
func FromRatio(temp qty.Celsius, pressure qty.Pascal, ratio qty.Ratio) (Air, error) {
	if err := holds(temp, pressure); err != nil {
		return Air{}, err
	}
	v := VapourOf(float64(ratio), float64(pressure))
	if !(ratio >= 0 && v <= SaturationPa(float64(temp))*(1+1e-9)) {
		return Air{}, figure.Refuse("humidity_ratio", "The humidity ratio is below nothing or more than air of this temperature can hold.", "It is kg of vapour for each kg of dry air, about 0.01 for mild air.")
	}
	return fromVapour(temp, pressure, v)
}

// FromWetBulb gives the state of air whose wet bulb temperature is known. It
// refuses a wet bulb above the dry one, or one so low that the air would hold
// less than no vapour. model.md (C6)
func FromWetBulb(temp qty.Celsius, pressure qty.Pascal, wet qty.Celsius) (Air, error) {
	if err := holds(temp, pressure); err != nil {
		return Air{}, err
	}
	if !(float64(wet) >= lowestC && wet <= temp) {
		return Air{}, figure.Refuse("wet_bulb_c", "The wet bulb cannot be warmer than the dry one.", "Check that the two readings are not exchanged.")
	}
	w := ratioOfWetBulb(float64(temp), float64(wet), float64(pressure))
	if w < 0 {
		return Air{}, figure.Refuse("wet_bulb_c", "The wet bulb is lower than even perfectly dry air would show at this temperature.", "Check that the wick was wet and both readings are in degrees C.")
	}
	return fromVapour(temp, pressure, VapourOf(w, float64(pressure)))
}

func holds(temp qty.Celsius, pressure qty.Pascal) error {
	var bad []figure.Problem
	if !(float64(temp) >= lowestC && float64(temp) <= highestC) {
		bad = append(bad, figure.Problem{Field: "temp_c", Say: "Moist air is computed from -100 to 200 C.", Try: "Check the temperature and its unit."})
	}
	if !(pressure > 0 && !math.IsInf(float64(pressure), 0)) {
		bad = append(bad, figure.Problem{Field: "pressure_pa", Say: "The pressure must be above 0 Pa.", Try: "Leave it out for sea level, 101325 Pa."})
	} else if len(bad) == 0 && SaturationPa(float64(temp)) >= float64(pressure) {
		bad = append(bad, figure.Problem{Field: "pressure_pa", Say: "At this temperature water boils under this pressure.", Try: "Check the pressure; sea level is 101325 Pa."})
	}
	if bad != nil {
		return &figure.Refusal{Problems: bad}
	}
	return nil
}

func fromVapour(temp qty.Celsius, pressure qty.Pascal, v float64) (Air, error) {
	t, p := float64(temp), float64(pressure)
	s := SaturationPa(t)
	w := HumidityRatioOf(v, p)
	return Air{
		Temp: temp, Pressure: pressure,
		RH:         qty.Fraction(min(1, v/s)),
		WetBulb:    qty.Celsius(wetBulb(t, w, p)),
		DewPoint:   qty.Celsius(min(t, DewPointC(v))),
		Ratio:      qty.Ratio(w),
		Enthalpy:   Enthalpy(t, w),
		Volume:     dryGas * (t + zeroKelvin) * (1 + w/massRatio) / p, // model.md (C7)
		Vapour:     qty.Pascal(v),
		Saturation: qty.Pascal(s),
		VapourGM3:  1e3 * VapourDensity(t, v),
	}, nil
}

// Enthalpy gives the heat content of moist air [kJ/kg dry air], 0 for dry air
// at 0 C. model.md (C7)
func Enthalpy(tempC, ratio float64) float64 {
	return dryHeat*tempC + ratio*(vapourLatent+vapourHeat*tempC)
}

// ratioOfWetBulb is the energy balance of the wet wick, water above 0 C and ice
// below. model.md (C6)
func ratioOfWetBulb(t, wet, p float64) float64 {
	s := SaturationPa(wet)
	if s >= p {
		return math.Inf(1)
	}
	ws := HumidityRatioOf(s, p)
	if wet >= 0 {
		return ((2501-2.326*wet)*ws - 1.006*(t-wet)) / (2501 + 1.86*t - 4.186*wet)
	}
	return ((2830-0.24*wet)*ws - 1.006*(t-wet)) / (2830 + 1.86*t - 2.1*wet)
}

// wetBulb finds the wet bulb by halving; between -100 C and the dry bulb
// ratioOfWetBulb rises with the wet bulb, with a small step at 0 C.
func wetBulb(t, w, p float64) float64 {
	lo, hi := lowestC, t
	for hi-lo > 1e-10 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if ratioOfWetBulb(t, mid, p) < w {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}
