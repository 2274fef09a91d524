package round

import "wormyard/chance"

// Tick is work that somebody wrote down, and how long it took: the minutes since
// the same person wrote something before.
type Tick struct {
	Acts    []Act // done at once
	Bins    int
	Minutes float64
}

// Pace is how long an act takes on a farm.
type Pace struct {
	Act      Act
	Reckoned float64 // for one bin, where nothing is known of the farm [min]
	Minutes  float64 // for one bin here [min]
	Ticks    int     // that tell
}

// minutes points at the minutes that an act is reckoned at for one bin.
func (p *Parameters) minutes(a Act) *float64 {
	switch a {
	case Feed:
		return &p.FeedMinutes
	case Water:
		return &p.WaterMin
	case Open:
		return &p.OpenMinutes
	case Look:
		return &p.LookMinutes
	case Cover:
		return &p.CoverMin
	case Harvest:
		return &p.HarvestMin
	}
	return nil
}

// reckoned gives what a tick is reckoned at; zero where an act of it has no
// minutes.
func (p *Parameters) reckoned(t *Tick) float64 {
	var sum float64
	for _, a := range t.Acts {
		m := p.minutes(a)
		if m == nil {
			return 0
		}
		sum += *m
	}
	return sum * float64(t.Bins)
}

// Taken gives what ticks took and what they were reckoned at [min], without those
// that tell nothing: after a pause, and written down later in one go.
// docs/model.md (H7).
func (p *Parameters) Taken(ticks []Tick) (took, reckoned float64) {
	for i := range ticks {
		if p.tells(&ticks[i]) {
			took, reckoned = took+ticks[i].Minutes, reckoned+p.reckoned(&ticks[i])
		}
	}
	return took, reckoned
}

func (p *Parameters) tells(t *Tick) bool {
	r := p.reckoned(t)
	return r > 0 && t.Minutes <= p.PacePause*r && t.Minutes*2*p.PacePause >= r
}

// Paces gives how long acts take on a farm, by the ticks that tell of one act
// alone; acts of which none does are left out. docs/model.md (H7).
func (p *Parameters) Paces(ticks []Tick) (out []Pace) {
	for _, a := range []Act{Feed, Water, Cover, Look, Open, Harvest} {
		var each []float64
		for i := range ticks {
			if t := &ticks[i]; len(t.Acts) == 1 && t.Acts[0] == a && p.tells(t) {
				each = append(each, t.Minutes/float64(t.Bins))
			}
		}
		if len(each) == 0 {
			continue
		}
		n, k, was := float64(len(each)), p.PaceTicks, *p.minutes(a)
		middle := chance.Median(each)
		out = append(out, Pace{Act: a, Reckoned: was, Minutes: (k*was + n*middle) / (k + n), Ticks: len(each)})
	}
	return out
}

// Paced gives the parameters with the minutes that acts take on a farm.
func (p Parameters) Paced(paces []Pace) Parameters {
	for _, x := range paces {
		if m := p.minutes(x.Act); m != nil {
			*m = x.Minutes
		}
	}
	return p
}
