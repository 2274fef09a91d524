package twin

import (
	"math"

	"wormyard/bed"
)

// Week is how many hours a farm learns from at once.
const Week = 7 * 24

// firstMonday is the first of 1970, in hours from its first day.
const firstMonday = 4 * 24

// WeekEnd gives the last end of a week at or before an hour since 1970-01-01T00Z,
// Sunday 24:00 UTC.
func WeekEnd(hour int64) int64 { return hour - ((hour-firstMonday)%Week+Week)%Week }

// weekAfter gives the first end of a week after an hour.
func weekAfter(hour int64) int64 { return WeekEnd(hour) + Week }

// settle lets the heat that stays in a bed go back a week's way to what it was
// drawn with about what is usual on the farm. docs/model.md (T22).
func (p *Parameters) settle(b *Member, s *bed.State, usual float64) {
	if p.HeatBack > 0 {
		home := heatOf(b.Home + usual)
		s.HeatLn = home + (s.HeatLn-home)*math.Exp(-7/p.HeatBack)
	}
}

// heatOf keeps the natural log of the heat that stays to less than a bed can keep.
func heatOf(ln float64) float64 { return min(ln, math.Log(mostHeat*0.99)) }

// Warmer gives how much more heat stays in a bed than its members were drawn
// with, natural log.
func (e *Ensemble) Warmer() float64 {
	return e.mean(func(m *Member) float64 { return m.State.HeatLn - m.Home })
}

// UsualHeat gives anew how much more heat than as drawn usually stays in the beds
// of a farm, by that of the beds whose warmth was read in a week (Warmer), both
// natural log. What was held usual weighs as HeatBeds beds. docs/model.md (T22).
func (p *Parameters) UsualHeat(usual float64, beds []float64) float64 {
	var sum float64
	for _, b := range beds {
		sum += b - usual
	}
	return usual + sum/(float64(len(beds))+p.HeatBeds)
}
