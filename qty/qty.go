// Package qty holds the quantities of the trade, each as a type that names its
// unit and its basis, so that a wet mass cannot be passed where a dry one is
// meant.
//
// Inside the program one system is used: kilograms, metres, degrees Celsius,
// days or seconds as stated, fractions from 0 to 1. Pounds, cubic yards,
// gallons and degrees Fahrenheit exist only where a person reads or types
// (Parse, System). Changing the basis of a quantity (wet to dry, water of wet
// to water of dry) is a named method here and nowhere else.
//
// Conversion factors are exact by the 1959 international yard and pound
// agreement and US legal definitions (NIST Handbook 44, appendix C).
package qty

// Masses, volumes and lengths.
type (
	WetKg       float64 // mass as it lies, water included [kg]
	DryKg       float64 // mass without water [kg]
	WaterKg     float64 // mass of water [kg]
	CarbonKg    float64 // mass of carbon [kg]
	NitrogenKg  float64 // mass of nitrogen [kg]
	LiveKg      float64 // live mass of worms, gut and water included [kg]
	CubicMetre  float64 // loose volume as it lies [m3]
	SquareMetre float64 // area [m2]
	Metre       float64 // length or depth [m]
)

// Fractions, 0 to 1, each naming what it is a part of.
type (
	WaterOfWet    float64 // water in the mass as it lies [kg/kg wet]
	WaterOfDry    float64 // water for each kilogram of dry matter [kg/kg dry], may pass 1
	CarbonOfDry   float64 // carbon in dry matter [kg/kg dry]
	NitrogenOfDry float64 // nitrogen in dry matter [kg/kg dry]
	AshOfDry      float64 // ash in dry matter [kg/kg dry]
	VolatileOfDry float64 // volatile solids in dry matter [kg/kg dry]
	LigninOfDry   float64 // lignin in dry matter [kg/kg dry]
	AirOfVolume   float64 // air-filled space in the bulk volume [m3/m3]
	OxygenOfAir   float64 // oxygen in air by volume [m3/m3]
	Fraction      float64 // a part of a whole that the context names
)

// Densities, rates, temperatures and the rest.
type (
	KgPerM3Wet  float64 // bulk density as it lies [kg/m3]
	KgPerM3Dry  float64 // dry mass in the bulk volume [kg/m3]
	Ratio       float64 // a plain ratio such as carbon to nitrogen [-]
	Celsius     float64 // temperature [C]
	PerDay      float64 // first-order rate [1/day]
	Days        float64 // time [day]
	Hours       float64 // time [h]
	Pascal      float64 // pressure [Pa]
	Watt        float64 // heat or power [W]
	WattPerM2K  float64 // heat transfer coefficient [W/(m2 K)]
	WattPerMK   float64 // heat conductivity [W/(m K)]
	JoulePerM3K float64 // volumetric heat capacity [J/(m3 K)]
	M2PerSecond float64 // diffusivity [m2/s]
	MetrePerSec float64 // conductance or speed [m/s]
	Permeance   float64 // water vapour permeance [kg/(s m2 Pa)]
	Decisiemens float64 // electrical conductivity [dS/m]
	PH          float64 // acidity [pH]
	PartsPerM   float64 // by volume in air [ppm]
	MgPerKgDry  float64 // a trace in dry matter [mg/kg dry]
	Money       float64 // the farm's currency
)

// Dry gives the dry part of a wet mass whose water content is w.
func (m WetKg) Dry(w WaterOfWet) DryKg { return DryKg(float64(m) * (1 - float64(w))) }

// Water gives the water held in a wet mass whose water content is w.
func (m WetKg) Water(w WaterOfWet) WaterKg { return WaterKg(float64(m) * float64(w)) }

// Wet gives the mass as it lies of dry matter whose water content is w; w below 1.
func (m DryKg) Wet(w WaterOfWet) WetKg { return WetKg(float64(m) / (1 - float64(w))) }

// With gives the wet mass of dry matter and its water.
func (m DryKg) With(water WaterKg) WetKg { return WetKg(float64(m) + float64(water)) }

// Carbon gives the carbon in a dry mass.
func (m DryKg) Carbon(c CarbonOfDry) CarbonKg { return CarbonKg(float64(m) * float64(c)) }

// Nitrogen gives the nitrogen in a dry mass.
func (m DryKg) Nitrogen(n NitrogenOfDry) NitrogenKg { return NitrogenKg(float64(m) * float64(n)) }

// OfDry turns a water content on wet basis into one on dry basis; w below 1.
func (w WaterOfWet) OfDry() WaterOfDry { return WaterOfDry(float64(w) / (1 - float64(w))) }

// OfWet turns a water content on dry basis into one on wet basis.
func (w WaterOfDry) OfWet() WaterOfWet { return WaterOfWet(float64(w) / (1 + float64(w))) }

// Wet turns a dry bulk density into the one as it lies; w below 1.
func (d KgPerM3Dry) Wet(w WaterOfWet) KgPerM3Wet { return KgPerM3Wet(float64(d) / (1 - float64(w))) }

// Dry turns a bulk density as it lies into the dry one.
func (d KgPerM3Wet) Dry(w WaterOfWet) KgPerM3Dry { return KgPerM3Dry(float64(d) * (1 - float64(w))) }

// Mass gives the wet mass of a volume at density d.
func (v CubicMetre) Mass(d KgPerM3Wet) WetKg { return WetKg(float64(v) * float64(d)) }

// Volume gives the volume of a wet mass at density d; d above 0.
func (m WetKg) Volume(d KgPerM3Wet) CubicMetre { return CubicMetre(float64(m) / float64(d)) }

// Volatile gives what is not ash.
func (a AshOfDry) Volatile() VolatileOfDry { return VolatileOfDry(1 - float64(a)) }

// Ash gives what is not volatile.
func (v VolatileOfDry) Ash() AshOfDry { return AshOfDry(1 - float64(v)) }

// Kelvin gives the absolute temperature [K].
func (t Celsius) Kelvin() float64 { return float64(t) + 273.15 }

// Estimate is a value known only within a range: Low to High is the central
// 90 %, Best the median. Known says how: "measured", "handbook" or "assumed".
// An Estimate with Low equal to High is a plain number.
type Estimate struct {
	Best  float64 `json:"best"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Known string  `json:"known,omitempty"`
}

// Exactly gives an Estimate without spread.
func Exactly(v float64) Estimate { return Estimate{Best: v, Low: v, High: v} }

// Spread says whether e is a range rather than a plain number.
func (e Estimate) Spread() bool { return e.Low != e.High }
