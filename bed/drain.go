package bed

// Drained gives the water that runs off [kg] when water is added to matter that
// holds a given mass of water for each kilogram of dry matter.
// model.md (B65)
func Drained(dryKg, holdsKgKg, waterKg, addedKg float64) float64 {
	over := waterKg + addedKg - holdsKgKg*dryKg
	if over < 0 {
		return 0
	}
	return over
}
