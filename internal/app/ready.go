package app

import (
	"cmp"
	"math"
	"slices"
	"time"

	"wormyard/bed"
	"wormyard/harvest"
	"wormyard/qty"
	"wormyard/twin"
)

// Ready is how far a bed is on its way to castings, over the members of its twin.
type Ready struct {
	Chance float64    `json:"chance"`       // that it is ripe now, as the round has it
	Worked twin.Range `json:"worked_frac"`  // of what worms can work, by dry mass; wood is screened out
	Feed   twin.Range `json:"feed_frac"`    // of the dry matter that is feed not worked
	Depth  twin.Range `json:"ripe_depth_m"` // from the bottom up
}

// ready judges each member by docs/model.md (S14); ripe holds the days until each
// is, as the round has it.
func ready(p *harvest.Parameters, profiles [][]bed.Slice, weights, ripe []float64) *Ready {
	worked, feed, depth := make([]float64, len(profiles)), make([]float64, len(profiles)), make([]float64, len(profiles))
	var out Ready
	for m, slices := range profiles {
		var layers []harvest.Layer
		for i := len(slices) - 1; i >= 0; i-- {
			layers = append(layers, layerOf(&slices[i]))
		}
		r := p.Ripeness(layers)
		worked[m], feed[m], depth[m] = float64(r.Worked), float64(r.Feed), float64(r.Depth)
		if ripe[m] == 0 {
			if weights != nil {
				out.Chance += weights[m]
			} else {
				out.Chance += 1 / float64(len(profiles))
			}
		}
	}
	out.Worked, out.Feed, out.Depth = twin.RangeBy(worked, weights), twin.RangeBy(feed, weights), twin.RangeBy(depth, weights)
	return &out
}

// layerOf is a layer for S14: of the matter that worms can work.
func layerOf(s *bed.Slice) harvest.Layer {
	cast := s.Castings * s.DryKg
	l := harvest.Layer{Thickness: qty.Metre(s.DepthM), Dry: qty.DryKg(cast + s.FeedLeftKg)}
	if all := cast + s.FeedLeftKg; all > 0 {
		l.Worked = qty.Fraction(cast / all)
		if s.Feed {
			l.Feed = qty.Fraction(s.FeedLeftKg / all)
		}
	}
	return l
}

// Ripening is a bin that is ripe, or soon is.
type Ripening struct {
	Outlook *Outlook
	Days    twin.Range // until it is ripe, 0 for now
}

// RipeningOf gives the bins of which at least half of the members are ripe within
// the days that were looked ahead, the ripest first, of those with most castings
// first.
func RipeningOf(all []*Outlook) (out []Ripening) {
	for _, o := range all {
		if o != nil && o.Ripe != nil {
			out = append(out, Ripening{o, *o.Ripe})
		}
	}
	slices.SortStableFunc(out, func(a, b Ripening) int {
		return cmp.Or(cmp.Compare(math.Round(a.Days.Mid), math.Round(b.Days.Mid)), cmp.Compare(b.Outlook.CastKg.Mid, a.Outlook.CastKg.Mid))
	})
	return out
}

// Got is what a way of harvesting is likely to give of a bin: castings [kg wet] with
// what they hold, worms [kg] and cocoons got back.
type Got struct {
	Way                      harvest.Way
	Days                     float64 // it takes until most worms are out of the way, 0 where none
	Worms, Cocoons, Castings twin.Range
}

// quarterInch is the deck that a bin is taken over when nobody says which [mm].
const quarterInch = 6.35

// Ways gives the ways to take a bin, each with what it is likely to give. Ranges
// add as if bin and way erred alike, which is the wider of what may be.
func (p *Screens) Ways(o *Outlook) (out []Got) {
	for _, w := range []harvest.Way{harvest.Side, harvest.Table, harvest.Screen} {
		g := Got{Way: w, Castings: o.CastKg}
		if w == harvest.Side {
			g.Days = harvest.SideDays(harvest.MostMoved, p.par.SideRate.Best, p.par.SideStay.Best)
		}
		x := p.par.PartedBy(w, g.Days, quarterInch)
		times := func(r twin.Range, low, mid, high float64) twin.Range {
			return twin.Range{Low: r.Low * low, Mid: r.Mid * mid, High: r.High * high}
		}
		g.Worms = times(o.Worms, x.Worms.Low, x.Worms.Best, x.Worms.High)
		g.Cocoons = times(o.Cocoons, x.Cocoons.Low, x.Cocoons.Best, x.Cocoons.High)
		if w == harvest.Screen {
			c := p.par.CutOf(harvest.Deck{Opening: quarterInch, Rate: 1, Water: 0}, qty.Exactly(0), qty.Exactly(1))
			g.Castings = times(o.CastKg, c.Through.Low, c.Through.Best, c.Through.High)
		}
		out = append(out, g)
	}
	return out
}

// PlannedStep is a step of a harvest with the day for it and the earliest and latest
// that may be; now where that is past.
type PlannedStep struct {
	Step harvest.Step `json:"step"`
	Days float64      `json:"lead_days"` // before the harvest
	At   time.Time    `json:"at"`
	Low  time.Time    `json:"earliest"`
	High time.Time    `json:"latest"`
}

// Plan gives the steps of the harvest of a bin, in order; nil of one that is not
// ripe as far as was looked ahead.
func (p *Screens) Plan(o *Outlook, now time.Time) (out []PlannedStep) {
	if o.Ripe == nil {
		return nil
	}
	day := func(days float64) time.Time {
		at := o.Made.Add(time.Duration(days * 24 * float64(time.Hour)))
		if at.Before(now) {
			return now
		}
		return at
	}
	leads := p.par.Plan(qty.Exactly(1000)) // far ahead, so that nothing is cut off
	for i, x := range p.par.Plan(qty.Estimate{Best: o.Ripe.Mid, Low: o.Ripe.Low, High: o.Ripe.High}) {
		out = append(out, PlannedStep{Step: x.Step, Days: 1000 - leads[i].Days.Best, At: day(x.Days.Best), Low: day(x.Days.Low), High: day(x.Days.High)})
	}
	return out
}
