package journal

import (
	"slices"
	"strings"
)

// An Ending is what the end of the name of a test says of its value, as in
// copper_mg_kg_dry: times the value is in the unit, of matter as it lies (wet),
// of its dry matter, or of neither.
type Ending struct {
	End   string
	Unit  string // empty for what has none
	Basis string // "wet", "dry" or empty
	Times float64
}

// endings are the units that the name of a test of the farm's own may end in.
var endings = []Ending{
	{"_frac_wet", "%", "wet", 100}, {"_frac_dry", "%", "dry", 100}, {"_mg_kg_dry", "mg/kg", "dry", 1}, {"_mg_kg_wet", "mg/kg", "wet", 1}, {"_mg_l", "mg/L", "", 1}, {"_kg_m3_wet", "kg/m3", "wet", 1},
	{"_per_g_wet", "1/g", "wet", 1}, {"_per_g_dry", "1/g", "dry", 1}, {"_ug_g_wet", "ug/g", "wet", 1}, {"_ug_g_dry", "ug/g", "dry", 1}, {"_m_g_wet", "m/g", "wet", 1},
	{"_ds_m", "dS/m", "", 1}, {"_ppm", "ppm", "", 1}, {"_c", "°C", "", 1}, {"_ratio", "", "", 1}, {"_score", "", "", 1},
}

// EndingOf parts the name of a test from the ending that says its unit.
func EndingOf(analyte string) (base string, e Ending, ok bool) {
	i := slices.IndexFunc(endings, func(e Ending) bool { return strings.HasSuffix(analyte, e.End) && len(analyte) > len(e.End) })
	if i < 0 {
		return analyte, Ending{Times: 1}, false
	}
	return strings.TrimSuffix(analyte, endings[i].End), endings[i], true
}

// EndingFor gives the ending for a unit and a basis.
func EndingFor(unit, basis string) (e Ending, ok bool) {
	i := slices.IndexFunc(endings, func(e Ending) bool { return e.Unit == unit && e.Basis == basis && unit != "" })
	if i < 0 {
		return e, false
	}
	return endings[i], true
}
