// Package carpentry is the wooden box that a bed lives in: whether its boards,
// posts, runners and fasteners carry wet castings in a stack, what a fork truck
// may lift, how it tips, where its air comes in, and how it is cut from stock
// with least waste.
//
// Strength is by the allowable stress method with the reference values of graded
// lumber 2 to 4 inches thick. Lengths are inches and forces pounds here, as
// lumber, its tables and its factors are; a board 6 inches wide by name is 5.5.
//
// Left out: joints in shear and racking of the box, impact beyond one factor,
// earthquakes, and knots at a place of their own. A licensed engineer and the
// local code decide.
//
// The equations are in docs/model/carpentry.md (K1 to K15), the numbers in
// internal/source/data/carpentry.json and lumber.json.
package carpentry

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"wormyard/figure"
	"wormyard/qty"
)

// Parameters are the factors behind every check; values, ranges and sources are
// in internal/source/data/carpentry.json. Grades come from lumber.json.
type Parameters struct {
	SizeIn          []float64 `param:"size_nominal_in" unit:"in"`
	SizeBending     []float64 `param:"size_bending" unit:"-"`
	SizeCompression []float64 `param:"size_compression" unit:"-"`
	FlatUse         []float64 `param:"flat_use" unit:"-"`

	WetBending         float64 `param:"wet_bending" unit:"-"`
	WetBendingFree     float64 `param:"wet_bending_free_psi" unit:"psi"`
	WetShear           float64 `param:"wet_shear" unit:"-"`
	WetBearing         float64 `param:"wet_bearing" unit:"-"`
	WetCompression     float64 `param:"wet_compression" unit:"-"`
	WetCompressionFree float64 `param:"wet_compression_free_psi" unit:"psi"`
	WetStiffness       float64 `param:"wet_stiffness" unit:"-"`

	ColumnC float64 `param:"column_c" unit:"-"`
	Buckles float64 `param:"column_buckling" unit:"-"`
	Creep   float64 `param:"creep_wet" unit:"-"`

	Nail        float64 `param:"nail_withdrawal" unit:"lb/in2"`
	Screw       float64 `param:"screw_withdrawal" unit:"lb/in2"`
	Lag         float64 `param:"lag_withdrawal" unit:"-"`
	NailCycled  float64 `param:"nail_cycled" unit:"-"`
	ScrewCycled float64 `param:"screw_cycled" unit:"-"`

	Pressure   qty.Estimate `param:"pressure_ratio" unit:"-"`
	Castings   qty.Estimate `param:"castings_lb_ft3" unit:"lb/ft3"`
	Water      float64      `param:"water_lb_ft3" unit:"lb/ft3"`
	Impact     float64      `param:"lift_impact" unit:"-"`
	SagLimit   float64      `param:"sag_limit" unit:"-"`
	StackRatio float64      `param:"stack_to_base" unit:"-"`
	StackMost  float64      `param:"stack_most" unit:"-"`
	ForkClear  float64      `param:"fork_clear_in" unit:"in"`
	WetWood    float64      `param:"wet_wood" unit:"-"`

	LifePlain     qty.Estimate `param:"life_plain_years" unit:"year"`
	LifeResistant qty.Estimate `param:"life_resistant_years" unit:"year"`
	LifeLined     qty.Estimate `param:"life_lined" unit:"-"`

	Oxygen float64 `param:"oxygen_m2_s" unit:"m2/s"`
	Vapour float64 `param:"vapour_m2_s" unit:"m2/s"`

	WoodHeat        float64      `param:"wood_heat_w_mk" unit:"W/(m K)"`
	WoodHeatGravity float64      `param:"wood_heat_gravity" unit:"W/(m K)"`
	WoodHeatWater   float64      `param:"wood_heat_water" unit:"W/(m K)"`
	WoodWaterBare   float64      `param:"wood_water_bare_pct" unit:"%"`
	WoodWaterLined  float64      `param:"wood_water_lined_pct" unit:"%"`
	FilmSide        float64      `param:"film_side_m2k_w" unit:"m2 K/W"`
	FilmDown        float64      `param:"film_down_m2k_w" unit:"m2 K/W"`
	LinerFilm       float64      `param:"liner_film_m2k_w" unit:"m2 K/W"`
	LinerBubble     qty.Estimate `param:"liner_bubble_m2k_w" unit:"m2 K/W"`
	LinerFoam       float64      `param:"liner_foam_m2k_w" unit:"m2 K/W"`

	Grades []Grade // of lumber.json
}

// A Grade is one row of reference design values [psi], before any factor.
type Grade struct {
	Species        string  `json:"species"`
	Grade          string  `json:"grade"`
	Bending        float64 `json:"bending_psi"`
	Tension        float64 `json:"tension_psi"`
	Shear          float64 `json:"shear_psi"`
	Bearing        float64 `json:"bearing_psi"`     // across the grain
	Compression    float64 `json:"compression_psi"` // along it
	Stiffness      float64 `json:"stiffness_psi"`
	LeastStiffness float64 `json:"least_stiffness_psi"` // for buckling
	Gravity        float64 `json:"gravity"`             // specific gravity, oven-dry
	Resistant      bool    `json:"resistant"`           // its heartwood to decay
	Known          string  `json:"how"`
}

// Lumber finds a grade by its names, however they are written. The error is a
// *figure.Refusal that names those there are.
func (p Parameters) Lumber(species, grade string) (Grade, error) {
	var all, grades []string
	for _, g := range p.Grades {
		if !same(g.Species, species) {
			all = withNew(all, g.Species)
			continue
		}
		if same(g.Grade, grade) {
			return g, nil
		}
		grades = append(grades, g.Grade)
	}
	if len(grades) > 0 {
		return Grade{}, figure.Refuse("grade", fmt.Sprintf("There are no strength values for %s, grade %q.", species, grade), "Known of it: "+strings.Join(grades, ", ")+".")
	}
	return Grade{}, figure.Refuse("species", fmt.Sprintf("There are no strength values for %q.", species), "Known: "+strings.Join(all, ", ")+".")
}

func same(a, b string) bool {
	plain := func(s string) string {
		return strings.NewReplacer(" ", "", "-", "", ".", "", "number", "no", "#", "no").Replace(strings.ToLower(s))
	}
	return plain(a) == plain(b)
}

// withNew is a list with a name added that it lacks.
func withNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// Duration is how long the heaviest load stays, in the words of the figure.
type Duration string

// durations are the load duration factors of the specification; for longer than
// ten years and for impact as an engineering page has them.
var durations = map[Duration]float64{
	"permanent": 0.9, "10 years": 1, "1 year": 1.075, "2 months": 1.15, "7 days": 1.25, "10 minutes": 1.6, "impact": 2,
}

// Factor is the load duration factor; an unknown word gives that of a load that
// stays.
func (d Duration) Factor() float64 {
	if f, ok := durations[d]; ok {
		return f
	}
	return durations["permanent"]
}

// nominal is the index in the size tables of the dressed width given [in].
func (p Parameters) nominal(dressed float64) int {
	for i, n := range p.SizeIn {
		if dressed <= n {
			return i
		}
	}
	return len(p.SizeIn) - 1
}

// A Section is a stick by its dressed size [in]: Width across the load, Depth
// along it.
type Section struct {
	Width float64 `json:"width_in"`
	Depth float64 `json:"depth_in"`
}

// Area is the area of the cross section [in2].
func (s Section) Area() float64 { return s.Width * s.Depth }

// Modulus is the section modulus [in3].
func (s Section) Modulus() float64 { return s.Width * s.Depth * s.Depth / 6 }

// Inertia is the moment of inertia [in4].
func (s Section) Inertia() float64 { return s.Width * s.Depth * s.Depth * s.Depth / 12 }

func (s Section) flat() bool    { return s.Width > s.Depth }
func (s Section) face() float64 { return math.Max(s.Width, s.Depth) }

// thin says that the values of dimension lumber do not stand for it: boards
// under 2 inches by name are graded by other rules.
func (s Section) thin() bool { return math.Min(s.Width, s.Depth) < 1.5 }

// Allowed are the adjusted design values [psi]. model.md (K1).
type Allowed struct {
	Bending        float64
	Shear          float64
	Bearing        float64
	Compression    float64 // of a short post
	Stiffness      float64
	LeastStiffness float64
}

// Allow adjusts the reference values for size, flat use, wet service and how
// long the load stays. model.md (K1).
func (p Parameters) Allow(g Grade, s Section, wet bool, d Duration) Allowed {
	f := p.adjust(g, s, wet, d)
	return Allowed{
		Bending: g.Bending * f.sizeBending * f.wetBending * f.flat * f.long, Shear: g.Shear * f.wetShear * f.long, Bearing: g.Bearing * f.wetBearing,
		Compression: g.Compression * f.sizeCompression * f.wetCompression * f.long, Stiffness: g.Stiffness * f.wetStiffness, LeastStiffness: g.LeastStiffness * f.wetStiffness,
	}
}

// adjustments are the factors on the reference values, one by one.
type adjustments struct {
	sizeBending, sizeCompression, flat, long                       float64
	wetBending, wetShear, wetBearing, wetCompression, wetStiffness float64
}

// adjust gives the factors for a stick in use; 1 for what does not apply.
func (p Parameters) adjust(g Grade, s Section, wet bool, d Duration) adjustments {
	i := p.nominal(s.face())
	f := adjustments{sizeBending: p.SizeBending[i], sizeCompression: p.SizeCompression[i], flat: 1, long: d.Factor(), wetBending: 1, wetShear: 1, wetBearing: 1, wetCompression: 1, wetStiffness: 1}
	if s.flat() {
		f.flat = p.FlatUse[i]
	}
	if !wet {
		return f
	}
	f.wetShear, f.wetBearing, f.wetStiffness = p.WetShear, p.WetBearing, p.WetStiffness
	if g.Bending*f.sizeBending > p.WetBendingFree {
		f.wetBending = p.WetBending
	}
	if g.Compression*f.sizeCompression > p.WetCompressionFree {
		f.wetCompression = p.WetCompression
	}
	return f
}
