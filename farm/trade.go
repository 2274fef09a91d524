package farm

import (
	"wormyard/feedstock"
	"wormyard/qty"
)

// Trade is what the fold must know beyond the journal: the library of
// materials, and what is usual where nobody wrote it down.
type Trade struct {
	// Find gives a material by name, or an error with the nearest names.
	Find func(name string) (feedstock.Material, error)
	// Amount gives the matter in a volume, or in a wet mass when volume is 0,
	// with a pile's own analyses in place of the library's values, and the
	// names of what is not known of it.
	Amount func(m feedstock.Material, volume qty.CubicMetre, mass qty.WetKg, own Own) (feedstock.Matter, []string)
	// Box is taken for a bin that nobody measured.
	Box Box
}

// Own is what was measured of one pile: the newest assay of each analyte by
// its name, such as "water_frac_wet".
type Own map[string]float64
