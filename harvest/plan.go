package harvest

import (
	"math"

	"wormyard/qty"
)

// A Step is what is done on the way to a harvest.
type Step string

// The steps of a harvest, in the order in which most farms take them.
const (
	FeedOneSide Step = "feed one side" // where worms are drawn over; other ways leave it out
	StopFeeding Step = "stop feeding"
	LetDry      Step = "let dry"
	Take        Step = "take"
)

// Planned is a step with the days until it, 0 for now. The range is that of when
// the bin is ripe with that of how long the step takes.
type Planned struct {
	Step Step
	Days qty.Estimate // [day]
}

// MostMoved is the part of the worms that is called most. Common practice, no source.
const MostMoved = 0.7

// Plan gives the steps of a harvest from the days until a bin is ripe: each so long
// before it as it takes, and none before today. The castings are not taken before
// they are ripe; what should have begun by now begins now, and whoever takes them
// ripe but fed or wet does so knowing it. model.md (S19).
func (par Parameters) Plan(ripe qty.Estimate) []Planned {
	side := qty.Estimate{
		Best: SideDays(MostMoved, par.SideRate.Best, par.SideStay.Best),
		Low:  SideDays(MostMoved, par.SideRate.High, par.SideStay.Low),
		High: SideDays(MostMoved, par.SideRate.Low, par.SideStay.High),
	}
	before := func(lead qty.Estimate) qty.Estimate {
		sub := func(a, b float64) float64 {
			if math.IsInf(b, 1) { // so many never go: it cannot begin early enough
				return 0
			}
			return max(a-b, 0)
		}
		return qty.Estimate{Best: sub(ripe.Best, lead.Best), Low: sub(ripe.Low, lead.High), High: sub(ripe.High, lead.Low)}
	}
	out := []Planned{{FeedOneSide, before(side)}, {StopFeeding, before(qty.Exactly(par.StopFeed))}, {LetDry, before(par.Dry)}, {Take, before(qty.Exactly(0))}}
	return out
}
