package bed

import (
	"math"

	"wormyard/feedstock"
)

// Responses holds the constants of the published curves by which decay answers
// to temperature, moisture, air and oxygen. Each curve has its own temperature
// at which it is 1; rates are therefore never multiplied by a curve directly but
// through RateAt, which normalises at the temperature of measurement. The values
// are data, file response.json; a larger parameter struct holds it by pointer.
type Responses struct {
	RossoMin  float64 `param:"rosso_min_c" unit:"C"`  // no decay below [C]
	RossoBest float64 `param:"rosso_best_c" unit:"C"` // decay is quickest [C]
	RossoMax  float64 `param:"rosso_max_c" unit:"C"`  // no decay above [C]

	PairRise  float64 `param:"pair_rise" unit:"-"`     // base of the rising term of the exponential pair
	PairFall  float64 `param:"pair_fall" unit:"-"`     // base of the falling term
	PairRiseC float64 `param:"pair_rise_c" unit:"C"`   // where the rising term is 1
	PairFallC float64 `param:"pair_fall_c" unit:"C"`   // where the falling term is 1
	KirschA   float64 `param:"kirsch_a" unit:"-"`      // Kirschbaum's alpha
	KirschB   float64 `param:"kirsch_b" unit:"1/C"`    // Kirschbaum's beta
	KirschC   float64 `param:"kirsch_best_c" unit:"C"` // Kirschbaum's optimum

	CenturyScale float64 `param:"century_scale" unit:"-"`
	CenturyBest  float64 `param:"century_best_c" unit:"C"`
	CenturyMax   float64 `param:"century_max_c" unit:"C"`
	CenturyLeft  float64 `param:"century_left" unit:"-"`  // exponent of the ratio
	CenturyRight float64 `param:"century_right" unit:"-"` // exponent inside

	RothTop   float64 `param:"roth_top" unit:"-"`
	RothSlope float64 `param:"roth_slope" unit:"C"`
	RothC0    float64 `param:"roth_shift_c" unit:"C"`

	MoistSlope float64 `param:"moist_slope" unit:"-"` // logistic in water_frac_wet
	MoistStart float64 `param:"moist_start" unit:"-"`
	AirSlope   float64 `param:"air_slope" unit:"-"` // logistic in air_filled_frac
	AirStart   float64 `param:"air_start" unit:"-"`
	OxygenHalf float64 `param:"oxygen_half" unit:"-"` // oxygen fraction at which decay halves
}

// Curve names a temperature response.
type Curve string

// The curves known.
const (
	Rosso       Curve = "rosso"            // cardinal temperatures with inflection
	Kirschbaum  Curve = "kirschbaum"       // soil organic matter, 1 at 36.9 C
	Exponential Curve = "exponential_pair" // 1.066^(T-20) - 1.21^(T-60), near 1 at 20 C
	Century     Curve = "century"          // daily CENTURY
	RothC       Curve = "rothc"            // Rothamsted carbon model
)

// Curves lists the known curves in the order in which they are named to people.
func Curves() []Curve { return []Curve{Rosso, Kirschbaum, Exponential, Century, RothC} }

// Factor gives a curve at a temperature [C] with the constants of r.
func (r *Responses) Factor(c Curve, tempC float64) float64 {
	switch c {
	case Rosso:
		return feedstock.Cardinal(tempC, r.RossoMin, r.RossoBest, r.RossoMax)
	case Kirschbaum:
		return r.KirschbaumFactor(tempC)
	case Exponential:
		return r.ExponentialFactor(tempC)
	case Century:
		return r.CenturyFactor(tempC)
	case RothC:
		return r.RothFactor(tempC)
	}
	return math.NaN()
}

// KirschbaumFactor is Kirschbaum's 1995 curve: 1 at 36.9 C, for 0 to 37 C; it
// falls again beyond. model.md (B41)
func (r *Responses) KirschbaumFactor(tempC float64) float64 {
	return math.Exp(r.KirschA + r.KirschB*tempC*(1-0.5*tempC/r.KirschC))
}

// ExponentialFactor is the pair of exponentials quoted from Haug 1993: near 1 at
// 20 C. It still rises at 70 C, so it sets no upper limit of its own; it is 0
// where the falling term passes the rising one (near 80 C).
// model.md (B42)
func (r *Responses) ExponentialFactor(tempC float64) float64 {
	f := math.Pow(r.PairRise, tempC-r.PairRiseC) - math.Pow(r.PairFall, tempC-r.PairFallC)
	return max(0, f)
}

// CenturyFactor is the daily CENTURY curve: near its greatest at 35 C, 0 from
// 45 C. model.md (B43)
func (r *Responses) CenturyFactor(tempC float64) float64 {
	x := (r.CenturyMax - tempC) / (r.CenturyMax - r.CenturyBest)
	if !(x > 0) {
		return 0
	}
	return r.CenturyScale * math.Exp(r.CenturyLeft/r.CenturyRight*(1-math.Pow(x, r.CenturyRight))) * math.Pow(x, r.CenturyLeft)
}

// RothFactor is the curve of the Rothamsted carbon model; 0 at and below
// -18.27 C. model.md (B44)
func (r *Responses) RothFactor(tempC float64) float64 {
	if !(tempC+r.RothC0 > 0) {
		return 0
	}
	return r.RothTop / (1 + math.Exp(r.RothSlope/(tempC+r.RothC0)))
}

// RateAt carries a first-order rate [1/day] measured at one temperature to
// another along a curve: rate f(temp)/f(measured). NaN when the curve is 0
// where the rate was measured. model.md (B45)
func (r *Responses) RateAt(perDay, measuredAtC float64, c Curve, tempC float64) float64 {
	at := r.Factor(c, measuredAtC)
	if !(at > 0) {
		return math.NaN()
	}
	return perDay * r.Factor(c, tempC) / at
}

// MoistureFactor is the logistic answer to water [kg/kg wet], rising, for 0.2
// to 0.8. model.md (B46)
func (r *Responses) MoistureFactor(waterFracWet float64) float64 {
	return 1 / (1 + math.Exp(-r.MoistSlope*waterFracWet+r.MoistStart))
}

// AirFactor is the logistic answer to air-filled space [m3/m3].
// model.md (B47)
func (r *Responses) AirFactor(airFilledFrac float64) float64 {
	return 1 / (1 + math.Exp(-r.AirSlope*airFilledFrac+r.AirStart))
}

// OxygenFactor is the Monod answer to oxygen in the pore air [m3/m3].
// model.md (B48)
func (r *Responses) OxygenFactor(oxygenFrac float64) float64 {
	if !(oxygenFrac > 0) {
		return 0
	}
	return oxygenFrac / (r.OxygenHalf + oxygenFrac)
}
