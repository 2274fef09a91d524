package app

import (
	"math"
	"time"

	"wormyard/bed"
	"wormyard/chance"
	"wormyard/twin"
)

// Learned is one thing found of a bin and what it did to its twins. Numbers are in
// the unit of the kind; worms are those of the whole bin.
type Learned struct {
	At       time.Time  `json:"at"`
	Kind     twin.Kind  `json:"kind"`
	Word     string     `json:"word,omitempty"` // of a look, instead of a number
	Value    float64    `json:"value,omitempty"`
	DepthM   float64    `json:"depth_m,omitempty"`
	Before   twin.Range `json:"expected"`
	After    twin.Range `json:"after"`
	Believed bool       `json:"believed"`          // false where it lay too far off to move anything
	InPart   bool       `json:"in_part,omitempty"` // it lay so far off that it counted only in part
}

// learnedShown is how many of the last are told, learnedDays how old they are at
// most, and learnedLeast by how much of the range the middle moved at least.
const (
	learnedShown = 3
	learnedDays  = 14
	learnedLeast = 0.1
)

// listener gathers what was learned of a bin while its twins are brought to now.
type listener struct{ all []heard }

// heard is a piece of news with whether it counted only in part.
type heard struct {
	twin.News
	far bool
}

func (l *listener) hear(n twin.News) {
	far := n.FarFetched()
	n.Expected = nil // not told here
	l.all = append(l.all, heard{n, far})
}

// last gives what moved the twins last, the newest first.
func (l *listener) last(box bed.Box, hour int64) []Learned {
	var out []Learned
	for i := len(l.all) - 1; i >= 0 && len(out) < learnedShown; i-- {
		n := &l.all[i]
		if n.Hour < hour-learnedDays*24 || n.Hour > hour {
			break
		}
		if n.Believed && math.Abs(n.After.Mid-n.Before.Mid) < learnedLeast*(n.Before.High-n.Before.Low) {
			continue
		}
		to := func(v float64) float64 { return v }
		value := n.Value
		switch n.Kind {
		case twin.Oxygen, twin.Ammonia, twin.Smell, twin.Where:
			continue // the twins have no air of their own that is moved
		case twin.WormsKg, twin.WormsNumber:
			to, value = func(v float64) float64 { return math.Exp(v) * box.Area() }, n.Value*box.Area()
		case twin.WormsSeen:
			to = func(v float64) float64 { return math.Exp(v) * box.Area() }
		}
		of := func(r twin.Range) twin.Range { return twin.Range{Low: to(r.Low), Mid: to(r.Mid), High: to(r.High)} }
		out = append(out, Learned{At: time.Unix(n.Hour*3600, 0).UTC(), Kind: n.Kind, Word: n.Word, Value: value, DepthM: n.DepthM,
			Before: of(n.Before), After: of(n.After), Believed: n.Believed, InPart: n.Believed && n.far})
	}
	return out
}

// corrected gives what findings have put into the bed of the middle member since it
// was laid [kg, J].
func corrected(e *twin.Ensemble) bed.Contents {
	of := func(read func(*bed.Contents) float64) float64 {
		v := make([]float64, 0, len(e.Members))
		for m := range e.Members {
			v = append(v, read(&e.Members[m].Moved))
		}
		return chance.Median(v)
	}
	return bed.Contents{
		Dry: of(func(c *bed.Contents) float64 { return c.Dry }), Water: of(func(c *bed.Contents) float64 { return c.Water }),
		Carbon: of(func(c *bed.Contents) float64 { return c.Carbon }), Nitrogen: of(func(c *bed.Contents) float64 { return c.Nitrogen }),
		Heat: of(func(c *bed.Contents) float64 { return c.Heat }),
	}
}
