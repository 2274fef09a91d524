package feedstock

import (
	"fmt"
	"math"
	"slices"

	"wormyard/figure"
	"wormyard/qty"
)

// Names of the properties outside Go.
const (
	KeyWater    = "water_frac_wet"
	KeyNitrogen = "nitrogen_frac_dry"
	KeyCarbon   = "carbon_frac_dry"
	KeyCN       = "cn"
	KeyDensity  = "density_kg_m3_wet"
	KeyAsh      = "ash_frac_dry"
	KeyLignin   = "lignin_frac_dry"
	KeySalts    = "ec_ds_m"
	KeyPH       = "ph"
	KeyAmmonia  = "ammonia_n_mg_kg_dry"
	KeyQuick    = "quick_frac_volatile"
	KeySlow     = "slow_frac_volatile"
	KeyWoody    = "woody_frac_volatile"
	KeyWorked   = "worked_frac_volatile"
)

type keyed struct {
	key   string
	value *Property
}

// properties lists the properties with their names, in a fixed order.
func (m *Material) properties() []keyed {
	return []keyed{
		{KeyWater, &m.Water}, {KeyNitrogen, &m.Nitrogen}, {KeyCN, &m.CN}, {KeyCarbon, &m.Carbon},
		{KeyDensity, &m.Density}, {KeyAsh, &m.Ash}, {KeyLignin, &m.Lignin}, {KeySalts, &m.Salts},
		{KeyPH, &m.PH}, {KeyAmmonia, &m.Ammonia},
		{KeyQuick, &m.Quick}, {KeySlow, &m.Slow}, {KeyWoody, &m.Woody}, {KeyWorked, &m.Worked},
	}
}

// Keys lists the names of the properties outside Go, in a fixed order.
func Keys() []string {
	var out []string
	for _, p := range (&Material{}).properties() {
		out = append(out, p.key)
	}
	return out
}

// Property gives the property with that name outside Go ("water_frac_wet"), or
// nil when there is none. The result points into m.
func (m *Material) Property(key string) *Property {
	for _, p := range m.properties() {
		if p.key == key {
			return p.value
		}
	}
	return nil
}

// Quantity is how much was given: one of the three is above 0.
type Quantity struct {
	Wet    qty.WetKg
	Dry    qty.DryKg
	Volume qty.CubicMetre
}

// Assay is one own analysis of a pile.
type Assay struct {
	Key   string // name of the property outside Go: "water_frac_wet", "cn", "volatile_frac_dry", ...
	Value qty.Estimate
	Ref   string // where it is from: laboratory, journal entry; "own" when empty
	Note  string
}

// KeyVolatile is understood by Override and stored as ash.
const KeyVolatile = "volatile_frac_dry"

// Values are the properties of a material, one number each. NaN is not known.
type Values struct {
	Water    qty.WaterOfWet
	Nitrogen qty.NitrogenOfDry // all nitrogen, ammonia included
	Carbon   qty.CarbonOfDry
	Density  qty.KgPerM3Wet
	Ash      qty.AshOfDry
	Lignin   qty.LigninOfDry
	Salts    qty.Decisiemens
	PHLow    qty.PH
	PHHigh   qty.PH
	Ammonia  qty.MgPerKgDry
	Quick    qty.Fraction // of volatile matter
	Slow     qty.Fraction // of volatile matter
	Woody    qty.Fraction // of volatile matter
	Worked   qty.Fraction // of volatile matter; NaN counts as 0
	Fibrous  bool         // lignin alone guards what is woody, and not the size of its pieces
}

// Best picks the median of a property.
func Best(_ string, p Property) float64 { return p.Best }

// Values gives one number for each property, chosen by pick from its name and
// range (Best, or a draw). Carbon follows the order of model M8 and M14: the
// pile's own carbon; its own C:N times nitrogen; its own ash; the library's
// carbon; the library's C:N times the library's nitrogen (so that an own
// nitrogen does not move carbon); the library's ash.
func (m Material) Values(pick func(key string, p Property) float64) Values {
	nan := math.NaN()
	of := func(key string, p Property) float64 {
		if !p.Has() {
			return nan
		}
		return pick(key, p)
	}
	v := Values{
		Water:    qty.WaterOfWet(of(KeyWater, m.Water)),
		Nitrogen: qty.NitrogenOfDry(of(KeyNitrogen, m.Nitrogen)),
		Density:  qty.KgPerM3Wet(of(KeyDensity, m.Density)),
		Ash:      qty.AshOfDry(of(KeyAsh, m.Ash)),
		Lignin:   qty.LigninOfDry(of(KeyLignin, m.Lignin)),
		Salts:    qty.Decisiemens(of(KeySalts, m.Salts)),
		PHLow:    qty.PH(nan), PHHigh: qty.PH(nan),
		Ammonia: qty.MgPerKgDry(of(KeyAmmonia, m.Ammonia)),
		Quick:   qty.Fraction(of(KeyQuick, m.Quick)),
		Slow:    qty.Fraction(of(KeySlow, m.Slow)),
		Woody:   qty.Fraction(of(KeyWoody, m.Woody)),
		Worked:  qty.Fraction(of(KeyWorked, m.Worked)),
		Fibrous: m.fibrous(),
	}
	if m.PH.Has() {
		v.PHLow, v.PHHigh = qty.PH(m.PH.Low), qty.PH(m.PH.High)
	}
	v.Carbon = qty.CarbonOfDry(m.carbon(of, float64(v.Nitrogen), float64(v.Ash)))
	return v
}

// WithCarbon gives the material with its carbon, when no source gives that, from
// nitrogen times C:N (M8). Its range is that of carbon in volatile matter,
// 0.45 to 0.60 about 1/1.8 (M14), and at most 0.60 of dry matter: nitrogen and
// C:N must not be drawn apart from each other, for their product would not be
// carbon.
func (m Material) WithCarbon() Material {
	if m.Carbon.Has() || !m.Nitrogen.Has() || !m.CN.Has() {
		return m
	}
	best := m.Nitrogen.Best * m.CN.Best
	low, high := best*0.45/carbonOfVolatile, max(best, min(best*0.60/carbonOfVolatile, 0.60))
	m.Carbon = Property{Estimate: qty.Estimate{Low: low, Best: best, High: high, Known: m.CN.Known},
		Claims: []Claim{{Low: low, Best: best, High: high, Ref: m.CN.Claims[0].Ref, How: "derived", Note: "typical nitrogen times typical C:N"}}}
	return m
}

// carbonOfVolatile is 1/1.8, model M14: Adams et al. 1951 as printed by the
// Cornell Waste Management Institute, "Estimating carbon content".
const carbonOfVolatile = 1 / 1.8

func (m Material) carbon(of func(string, Property) float64, nitrogen, ash float64) float64 {
	switch {
	case m.Carbon.Own:
		return of(KeyCarbon, m.Carbon)
	case m.CN.Own && !math.IsNaN(nitrogen):
		return of(KeyCN, m.CN) * nitrogen
	case m.Ash.Own:
		return (1 - ash) * carbonOfVolatile
	case m.Carbon.Has():
		return of(KeyCarbon, m.Carbon)
	case m.Ash.Has():
		return (1 - ash) * carbonOfVolatile
	}
	return math.NaN()
}

// Amount gives the quantity of the material at the median of its properties,
// own analyses first, and the names of the properties that are not known: what
// rests on them is not known either, and is 0 in the matter. A *figure.Refusal
// comes back when moisture is not known, when a volume is given and density is
// not known, or when the quantity or an analysis cannot be.
func (m Material) Amount(q Quantity, own ...Assay) (Matter, []string, error) {
	if len(own) > 0 {
		var err error
		if m, err = m.Override(own...); err != nil {
			return Matter{}, nil, err
		}
	}
	return m.Values(Best).Of(m.Name, q)
}

// Of gives the quantity of matter with these values. See Material.Amount.
func (v Values) Of(name string, q Quantity) (Matter, []string, error) {
	var wrong []figure.Problem
	tell := func(field, say, try string) { wrong = append(wrong, figure.Problem{Field: field, Say: say, Try: try}) }
	given := 0
	for _, g := range []struct {
		key   string
		value float64
	}{{"mass_kg_wet", float64(q.Wet)}, {"mass_kg_dry", float64(q.Dry)}, {"volume_m3", float64(q.Volume)}} {
		if g.value < 0 || math.IsNaN(g.value) || math.IsInf(g.value, 0) {
			tell(g.key, fmt.Sprintf("The amount of %s is %g.", name, g.value), "Give an amount of 0 or more.")
		}
		if g.value != 0 {
			given++
		}
	}
	if given > 1 {
		tell("mass_kg_wet", fmt.Sprintf("The amount of %s is given in more than one way.", name), "Give one of wet mass, dry mass or volume.")
	}
	if math.IsNaN(float64(v.Water)) {
		tell(KeyWater, fmt.Sprintf("The moisture of %s is not known, so its dry matter cannot be computed.", name), "Weigh, dry and weigh again, and give water_frac_wet.")
	} else if v.Water < 0 || v.Water > 1 || (v.Water == 1 && q.Dry > 0) {
		tell(KeyWater, fmt.Sprintf("The moisture of %s is %g. It must be between 0 and 1.", name, float64(v.Water)), "Give the water as a fraction of the mass as it lies.")
	}
	if q.Volume > 0 && !(v.Density > 0) {
		tell(KeyDensity, fmt.Sprintf("The density of %s is not known, so a volume cannot be turned into a mass.", name), "Weigh a full bucket and give density_kg_m3_wet, or give a mass.")
	}
	if len(wrong) > 0 {
		return Matter{}, nil, &figure.Refusal{Problems: wrong}
	}
	wet := q.Wet
	switch {
	case q.Dry > 0:
		wet = q.Dry.Wet(v.Water)
	case q.Volume > 0:
		wet = q.Volume.Mass(v.Density)
	}
	return v.matter(wet, q.Volume)
}

func (v Values) matter(wet qty.WetKg, volume qty.CubicMetre) (Matter, []string, error) {
	var missing []string
	known := func(key string, x float64) float64 {
		if math.IsNaN(x) {
			missing = append(missing, key)
			return 0
		}
		return x
	}
	var m Matter
	m.Water = wet.Water(v.Water)
	m.Dry = wet.Dry(v.Water)
	if volume == 0 {
		if d := known(KeyDensity, float64(v.Density)); d > 0 {
			volume = wet.Volume(v.Density)
		}
	}
	m.Volume = volume
	if m.Dry == 0 { // water has no other properties to miss
		return m, slices.DeleteFunc(missing, func(k string) bool { return k != KeyDensity }), nil
	}
	d := float64(m.Dry)
	m.Carbon = qty.CarbonKg(d * known(KeyCarbon, float64(v.Carbon)))
	all := d * known(KeyNitrogen, float64(v.Nitrogen))
	ammonia := d * 1e-6 * known(KeyAmmonia, float64(v.Ammonia))
	if !math.IsNaN(float64(v.Nitrogen)) {
		ammonia = min(ammonia, all)
	}
	m.Ammonia = qty.NitrogenKg(ammonia)
	m.Nitrogen = qty.NitrogenKg(max(all-ammonia, 0))
	ash := known(KeyAsh, float64(v.Ash))
	if math.IsNaN(float64(v.Ash)) { // M14 read backwards; the missing list says so
		ash = 1 - min(1, float64(v.Carbon)/carbonOfVolatile)
		if math.IsNaN(ash) {
			ash = 0
		}
	}
	m.Ash = qty.DryKg(d * ash)
	volatile := d - float64(m.Ash)
	m.Lignin = qty.DryKg(d * known(KeyLignin, float64(v.Lignin)))
	quick, slow, woody, worked, whole := v.split()
	if !whole {
		missing = append(missing, KeySlow)
	}
	m.Quick = qty.DryKg(volatile * quick)
	m.Slow = qty.DryKg(volatile * slow)
	m.Woody = qty.DryKg(volatile * woody)
	if v.Fibrous {
		m.Fibre = m.Woody
	}
	m.Cast = qty.DryKg(volatile * worked)
	m.Salt = d * known(KeySalts, float64(v.Salts))
	if math.IsNaN(float64(v.PHLow)) {
		missing = append(missing, KeyPH)
	} else {
		m.PHLow, m.PHHigh = v.PHLow, v.PHHigh
	}
	return m, missing, nil
}

// split gives the parts of volatile matter, which add to 1. When they are not
// known, all of it is called slow and the missing list says so; a material of
// one's own that starts from Library.Blank has them.
func (v Values) split() (quick, slow, woody, worked float64, known bool) {
	quick, slow, woody, worked = float64(v.Quick), float64(v.Slow), float64(v.Woody), float64(v.Worked)
	if math.IsNaN(worked) {
		worked = 0
	}
	if sum := quick + slow + woody + worked; sum > 0 { // false for NaN
		return quick / sum, slow / sum, woody / sum, worked / sum, true
	}
	return 0, 1, 0, 0, false
}

// fibrous says that lignin alone guards what is woody in a material: chips, bark and
// peat are guarded by the size of their pieces or by what they have gone through.
func (m *Material) fibrous() bool {
	switch m.Group {
	case "wood", "peat", "compost", "castings", "mineral":
		return false
	}
	return true
}

// Degradable gives the part of volatile matter that rots, from its lignin as a
// fraction of volatile matter, held to 0.02 to 0.83: 0.830 - 2.8 lignin
// (Chandler et al. 1980, as quoted in handbooks; from memory).
// docs/model/yard.md Y13.
func Degradable(ligninOfVolatile float64) float64 {
	return min(max(0.830-2.8*ligninOfVolatile, 0.02), 0.83)
}
