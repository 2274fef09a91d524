package qty

// PerGramWet is a number in a gram of matter as it lies [1/g wet].
type PerGramWet float64

// PerGramDry is a number in a gram of dry matter [1/g dry].
type PerGramDry float64

// Dry refers the number to dry matter; dry is the dry part of the wet mass,
// over 0 to 1.
func (n PerGramWet) Dry(dry Fraction) PerGramDry { return PerGramDry(float64(n) / float64(dry)) }

// Wet refers the number to the mass as it lies; dry is the dry part of the wet
// mass, 0 to 1.
func (n PerGramDry) Wet(dry Fraction) PerGramWet { return PerGramWet(float64(n) * float64(dry)) }
