package twin

import (
	"wormyard/bed"
	"wormyard/climate"
)

// Epoch is the numbers of nature that the members run with from an hour on
// [hours since 1970-01-01T00Z], a whole block of six.
type Epoch struct {
	From    int64
	Numbers []bed.Parameters // by draw
	HeatLn  float64          // how much more heat than as drawn usually stays in the beds of the farm, natural log
	Name    string           // of what the numbers are
}

// epoch is one with the runners that were needed of it so far.
type epoch struct {
	Epoch
	runners []*bed.Runner
}

// Turn tells the crew from when on which numbers hold, in order of hour, the
// first of them from the beginning of time. What it knew before is forgotten.
// docs/model.md (T15).
func (c *Crew) Turn(epochs []Epoch) {
	old := c.epochs
	c.epochs = make([]epoch, len(epochs))
	for i, e := range epochs {
		c.epochs[i] = epoch{Epoch: e}
		if i < len(old) && old[i].From == e.From && len(e.Numbers) > 0 && &old[i].Numbers[0] == &e.Numbers[0] {
			c.epochs[i].runners = old[i].runners
		} else {
			c.epochs[i].runners = make([]*bed.Runner, len(e.Numbers))
		}
	}
}

// at gives the epoch of an hour, and the hour at which the next one begins.
func (c *Crew) at(hour int64) (*epoch, int64) {
	i := len(c.epochs) - 1
	for i > 0 && c.epochs[i].From > hour {
		i--
	}
	if i+1 < len(c.epochs) {
		return &c.epochs[i], c.epochs[i+1].From
	}
	return &c.epochs[i], never
}

const never = int64(1) << 62

// runner gives the runner of a member from an hour on.
func (e *epoch) runner(draw int) *bed.Runner {
	if e.runners[draw] == nil {
		e.runners[draw] = bed.NewRunner(&e.Numbers[draw])
	}
	return e.runners[draw]
}

// live runs the bed of a member, or a copy of it, to an hour, through the acts
// before that hour and the epochs and ends of weeks that lie between.
// docs/model.md (T15), (T22).
func (c *Crew) live(b *Member, box bed.Box, s *bed.State, air climate.Series, until int64, acts []bed.Act, day func(bed.Day)) error {
	for s.Hour < until {
		e, next := c.at(s.Hour)
		to := min(until, next, weekAfter(s.Hour))
		n := len(acts)
		for n > 0 && acts[n-1].Hour >= to {
			n--
		}
		if _, err := e.runner(b.Draw).Run(box, s, air, to, acts[:n], day); err != nil {
			return err
		}
		acts = acts[n:]
		if to == weekAfter(to-1) {
			c.P.settle(b, s, e.HeatLn)
		}
	}
	return nil
}

// Named names the numbers that held from one hour until before another, beside
// those of the first epoch.
func (c *Crew) Named(from, until int64) []string {
	var out []string
	for i := range c.epochs {
		if i == 0 || c.epochs[i].From >= until {
			continue
		}
		if c.epochs[i].From <= from { // the ones before it never held
			out = out[:0]
		}
		out = append(out, c.epochs[i].Name)
	}
	return out
}
