package fraternal

import "math"

// Physics, by handbook.
const (
	waterHeat = 4186.0  // [J/kg K]
	iceHeat   = 2100.0  // [J/kg K]
	dryHeat   = 1500.0  // of organic solids, the middle of printed values [J/kg K]
	melting   = 334e3   // [J/kg]
	vaporing  = 2.47e6  // at 10 to 20 C [J/kg]
	boltzmann = 8.62e-5 // [eV/K]
)

const inch = 0.0254

// Boxes: four feet square inside, nearly, and two feet deep.
const (
	side    = 1.2 // [m]
	area    = side * side
	high    = 0.6 // [m]
	columns = 6   // of the cross-section
)

// nature is what holds on one farm: typical values of the papers, moved by what
// farms differ in. They stand here and not among the tool's numbers, so that
// neither is made to fit the other.
type nature struct {
	dairy, horse material

	energy    float64 // activation of rot [eV]; printed values of soils and composts lie about 0.65
	breaksC   float64 // where half of the rotters are put out [C]; mesophiles give way to few in a thin bed
	slowWet   float64 // moisture under which rot slows [of wet]
	heatKg    float64 // of dry matter gone [J/kg]; 15 to 20 MJ/kg printed
	settleDay float64 // rate at which rotters settle on fresh feed [1/day]
	castRate  float64 // rot of castings against what they were made of; calm within two weeks (HH81)
	conduct   float64 // factor on the conductivity of the bed
	breathe   float64 // factor on the diffusion of oxygen
	cloth     float64 // conductance of the top under cloth [W/m2 K]
	dryingMS  float64 // of vapour through cloth [m/s]
	wall      float64 // conductance of a board wall with its films [W/m2 K]; an inch of softwood gives about 2.1
	holds     float64 // water that unworked feed holds against its weight [kg/kg dry]
	castHolds float64 // the same of castings

	eats    float64 // dry feed of a worm of a gram at 25 C [g/day]; half its weight of wet feed and more
	gains   float64 // growth constant [1/day] (J14: 0.177)
	largest float64 // mass to which worms grow [g]
	lays    float64 // cocoons of an adult at its best [1/day]; 0.29 to 0.54 printed
	hatch   float64 // young of a cocoon laid; 0.73 times 2.7 (V&R88)
	infant  float64 // deaths of the young [1/day]
	crowd   float64 // stock at which laying is half [kg/m2]
	death   float64 // of adults [1/day]
}

// material is what a supplier brings.
type material struct {
	name  string
	wet   float64 // [kg/m3]
	water float64 // of wet
	ash   float64 // of dry
	nu    float64 // shape of the rates: less is woodier
	late  float64 // age at which it is fed [days at 25 C], weeks in a pile among it; nu/late is its first rate
}

// draw gives the nature of a farm.
func draw(seed uint64) nature {
	d := newDice(seed, "nature")
	n := nature{
		dairy: material{"dairy solids, separated", 650 * d.times(0.08), d.about(0.77, 0.015), d.about(0.13, 0.015), d.about(0.36, 0.03), 30 * d.times(0.2)},
		horse: material{"horse manure with bedding", 818 * d.times(0.08), d.about(0.71, 0.02), d.about(0.20, 0.02), d.about(0.31, 0.03), 26 * d.times(0.2)},

		energy: d.about(0.63, 0.06), breaksC: d.about(52, 2), slowWet: d.about(0.58, 0.02), heatKg: 17e6 * d.times(0.06),
		settleDay: 1.6 * d.times(0.25), castRate: 0.16 * d.times(0.2), conduct: d.times(0.15), breathe: d.times(0.25),
		cloth: 5.0 * d.times(0.12), dryingMS: 0.0019 * d.times(0.25), wall: 2.1 * d.times(0.12), holds: 3.6 * d.times(0.07), castHolds: 2.3 * d.times(0.07),

		eats: 0.15 * d.times(0.15), gains: 0.165 * d.times(0.1), largest: 0.62 * d.times(0.1), lays: 0.33 * d.times(0.15), hatch: 1.97 * d.times(0.1),
		infant: 0.021 * d.times(0.25), crowd: 3.2 * d.times(0.2), death: 0.0022 * d.times(0.2),
	}
	return n
}

// own moves a nature a little further, for one bin.
func (n nature) own(d dice) nature {
	n.conduct *= d.times(0.06)
	n.breathe *= d.times(0.1)
	n.cloth *= d.times(0.08)
	n.dryingMS *= d.times(0.15)
	n.wall *= d.times(0.06)
	n.eats *= d.times(0.06)
	n.infant *= d.times(0.12)
	n.crowd *= d.times(0.08)
	return n
}

// Mix is a batch as it is, by the cubic metre.
type Mix struct {
	Batch string
	dry   float64 // [kg/m3]
	water float64 // [kg/m3]
	ash   float64 // of dry
	nu    float64
	late  float64
	made  int     // day
	left  float64 // [m3]
	warm  float64 // degrees above the air at which it is spread
}

// blend throws volumes of two materials together; five parts of a hundred are
// lost to settling among each other.
func blend(a, b material, va, vb float64, d dice) *Mix {
	am, bm := va*a.wet*d.times(0.05), vb*b.wet*d.times(0.05)
	ad, bd := am*(1-d.about(a.water, 0.01)), bm*(1-d.about(b.water, 0.01))
	v, dry := (va+vb)*0.95, ad+bd
	return &Mix{dry: dry / v, water: (am + bm - dry) / v, ash: (ad*a.ash + bd*b.ash) / dry,
		nu: (ad*a.nu + bd*b.nu) / dry, late: (ad*a.late + bd*b.late) / dry * d.times(0.08), left: v, warm: max(0, d.about(6, 3))}
}

// warmth gives the speed of rot against 25 C: Arrhenius with a loss of rotters
// on the hot side (Sharpe and Schoolfield), and nothing in frozen water.
func (n *nature) warmth(c float64) float64 {
	if c <= -1 {
		return 0
	}
	k, ref := c+273.15, 298.15
	f := math.Exp(n.energy / boltzmann * (1/ref - 1/k))
	const hot = 3.0 // [eV]
	f /= 1 + math.Exp(hot/boltzmann*(1/(n.breaksC+273.15)-1/k))
	return f * min(1, c+1)
}

// lively gives the speed of worms against 25 C: the square-root law of
// Ratkowsky, fitted to growth at 10 to 35 C (T&W77, T&B04).
func lively(c float64) float64 {
	const low, high, steep = 0.73, 39.2, 0.259
	if c <= low || c >= high {
		return 0
	}
	root := func(c float64) float64 { return (c - low) * (1 - math.Exp(steep*(c-high))) }
	r := root(c) / root(25)
	return r * r
}

// amorous gives laying against its best, at 23 C: a bell that is a sixth at 10 C
// and nothing under 5 and over 33.
func amorous(c float64) float64 {
	if c < 5 || c > 33 {
		return 0
	}
	x := (c - 23) / 6.8
	return math.Exp(-x * x / 2)
}
