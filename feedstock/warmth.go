package feedstock

// Warmth is how decay answers to temperature, the same in a bed and in a pile.
// The values are data, file warmth.json.
type Warmth struct {
	RateAtC    float64 `param:"rate_at_c" unit:"C"`    // at which rates of decay are given
	DecayMinC  float64 `param:"decay_min_c" unit:"C"`  // constant of the curve: it would be 0 here
	DecayBestC float64 `param:"decay_best_c" unit:"C"` // quickest
	DecayMaxC  float64 `param:"decay_max_c" unit:"C"`  // none above
}

// Speed gives the rate of decay at a temperature [C] over that at RateAtC. In
// frozen matter, at and under 0 C, nothing rots. model.md (B49, Y3)
func (w *Warmth) Speed(tempC float64) float64 {
	if tempC <= 0 {
		return 0
	}
	return Cardinal(tempC, w.DecayMinC, w.DecayBestC, w.DecayMaxC) / Cardinal(w.RateAtC, w.DecayMinC, w.DecayBestC, w.DecayMaxC)
}

// Cardinal is the cardinal temperature curve with inflection: 0 at and beyond
// minC and maxC, 1 at bestC, which must lie above the middle of the two.
// Rosso, Lobry and Flandrois 1993. model.md (B40)
func Cardinal(tempC, minC, bestC, maxC float64) float64 {
	if !(tempC > minC && tempC < maxC) {
		return 0
	}
	a, b := bestC-minC, tempC-minC
	return max(0, (tempC-maxC)*b*b/(a*(a*(tempC-bestC)-(bestC-maxC)*(bestC+minC-2*tempC))))
}
