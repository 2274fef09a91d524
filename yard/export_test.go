package yard

import "wormyard/climate"

// RunFine is Run with every hour cut into so many steps.
func (s *Pile) RunFine(p *Parameters, air climate.Series, until int64, parts int, b *Budget) {
	for ; s.Hour < until; s.Hour++ {
		for range parts {
			s.step(p, air.At(s.Hour), 0, 3600/float64(parts), b)
		}
	}
}
