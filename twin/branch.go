package twin

// Either gives the twins of a bin of which it is not known whether something was
// done to it: the members of the branch in which it was not, and behind them those
// of the branch in which it was, with its chance, 0 to 1. No two members are mixed.
// Both branches are at the same hour; what they share from there on is run on
// them as on any twins. docs/model.md (T10)
func Either(without, with *Ensemble, chance float64) *Ensemble {
	e := without.Clone()
	e.Members = append(e.Members, with.Clone().Members...)
	e.Weights = make([]float64, len(e.Members))
	n := len(without.Members)
	for m := range e.Weights {
		if m < n {
			e.Weights[m] = (1 - chance) / float64(n)
		} else {
			e.Weights[m] = chance / float64(len(e.Members)-n)
		}
	}
	return e
}

// Weight gives how likely a member is, of all of 1.
func (e *Ensemble) Weight(m int) float64 {
	if e.Weights == nil {
		return 1 / float64(len(e.Members))
	}
	return e.Weights[m]
}

// Share gives how likely something is of the bed, 0 to 1.
func (e *Ensemble) Share(is func(*Member) bool) float64 {
	if e.Weights == nil { // whole numbers first, so that half of the members are just half
		n := 0
		for m := range e.Members {
			if is(&e.Members[m]) {
				n++
			}
		}
		return float64(n) / float64(len(e.Members))
	}
	sum := 0.0
	for m := range e.Members {
		if is(&e.Members[m]) {
			sum += e.Weights[m]
		}
	}
	return sum
}
