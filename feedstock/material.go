// Package feedstock describes what a worm farm is given: kinds of material with
// the ranges of their properties, the hazards they may bring and what clears
// them, and amounts of matter that can be added and divided.
//
// The properties of a named material differ twofold between honest sources;
// the library is for first guesses, keeps every source's value beside the one
// used, and says how each is known. A pile's own analyses override the library
// and both are kept. Values are data (internal/source), never code. The
// equations that turn properties into an amount of matter are M8 and M14 to
// M16 of docs/model.md.
package feedstock

import "wormyard/qty"

// Property is one property of a material: the range used and every source's
// value, disagreements kept. When a pile has its own analysis, that stands in
// the Estimate and as the first claim, and the library's claims follow.
type Property struct {
	qty.Estimate
	Own    bool   // the range used is the pile's own analysis
	Note   string // on the range used
	Claims []Claim
}

// Has says whether anything is known of the property.
func (p Property) Has() bool { return len(p.Claims) > 0 || p.Known != "" }

// Claim is what one source says.
type Claim struct {
	Low, Best, High float64 // 0 where the source gives none
	Ref             string  // key of the reference, or "own" for the pile's own analysis
	Where           string  // table or page of the source
	How             string  // "found", "memory", "assumed", "measured", "derived" (arithmetic from other claims)
	Note            string
}

// Material is a kind of feedstock.
type Material struct {
	Name  string   // as the trade says it: "horse manure with bedding"
	Also  []string // other names people type
	Group string   // "manure", "leaf", "wood", "paper", "straw", "food", "compost", "mineral"

	Water    Property // water_frac_wet
	Nitrogen Property // nitrogen_frac_dry
	CN       Property // carbon to nitrogen by mass
	Carbon   Property // carbon_frac_dry, where measured or not from C:N
	Density  Property // density_kg_m3_wet, as received
	Ash      Property // ash_frac_dry
	Lignin   Property // lignin_frac_dry
	Salts    Property // ec_ds_m, of a 1:5 extract unless a claim notes otherwise
	PH       Property // pH
	Ammonia  Property // ammonia_n_mg_kg_dry

	// How the volatile matter divides for decay, fractions of volatile solids
	// that add to 1. docs/model/yard.md Y13. Worked is what worms have already
	// worked, not known and 0 for all but castings.
	Quick, Slow, Woody, Worked Property

	Note string

	Hazards []Hazard
}
