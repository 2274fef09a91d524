package twin

import (
	"math"

	"wormyard/bed"
	"wormyard/climate"
)

// Mark is a measured height of a bed.
type Mark struct {
	Hour   int64
	DepthM float64
}

// Errors are how far what is measured may lie from what a twin says.
type Errors struct{ TempC, DepthM float64 }

// Evidence gives the log of how likely the members make what was found of a bed
// from an hour on, up to another: looks, temperatures and heights, each taken as if it came
// independently, the members' chances averaged. Looks before that hour are taken
// in as ever. It leaves e as it is. docs/model.md (H6).
func (c *Crew) Evidence(e *Ensemble, h History, air climate.Series, from, until int64, marks []Mark, sd Errors) (float64, error) {
	var found []Look
	early := h
	early.Looks = nil
	for _, l := range h.Looks {
		switch {
		case l.Hour < from:
			early.Looks = append(early.Looks, l)
		case l.Hour <= until:
			found = append(found, l)
		}
	}
	logs := make([]float64, Members)
	e = e.Clone()
	for at := from; at <= until; at++ {
		due := func(hour int64) bool { return hour == at }
		var looks []Look
		for _, l := range found {
			if due(l.Hour) {
				looks = append(looks, l)
			}
		}
		var reads []Reading
		for _, r := range h.Readings {
			if due(r.Hour) && !math.IsNaN(r.TempC) {
				reads = append(reads, r)
			}
		}
		var tall []Mark
		for _, m := range marks {
			if due(m.Hour) {
				tall = append(tall, m)
			}
		}
		if len(looks)+len(reads)+len(tall) == 0 {
			continue
		}
		if err := c.Advance(e, early, air, at, nil); err != nil {
			return 0, err
		}
		for m := range e.Members {
			b := &e.Members[m]
			for _, l := range looks {
				logs[m] += math.Log(c.P.Chance(l, c.SignsOf(b, h.Box)))
			}
			for _, r := range reads {
				logs[m] -= square((r.TempC-TempAt(&b.State, r.DepthM))/sd.TempC) / 2
			}
			for _, k := range tall {
				logs[m] -= square((k.DepthM-height(&b.State))/sd.DepthM) / 2
			}
		}
	}
	most := math.Inf(-1)
	for _, l := range logs {
		most = math.Max(most, l)
	}
	var sum float64
	for _, l := range logs {
		sum += math.Exp(l - most)
	}
	return most + math.Log(sum/Members), nil
}

// Expected gives the range of the temperature at a depth and an hour.
func (c *Crew) Expected(e *Ensemble, h History, air climate.Series, hour int64, depthM float64) (Range, error) {
	e = e.Clone()
	if err := c.Advance(e, h, air, hour, nil); err != nil {
		return Range{}, err
	}
	return e.Over(func(m *Member) float64 { return TempAt(&m.State, depthM) }), nil
}

func square(x float64) float64 { return x * x }

// height gives the depth of a bed [m].
func height(s *bed.State) float64 {
	var d float64
	for i := range s.Layers {
		d += s.Layers[i].DepthM
	}
	return d
}
