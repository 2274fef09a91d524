package twin

import (
	"cmp"
	"math"
	"slices"
)

// Reading is what a probe said. Numbers that it did not read are NaN, or 0 for
// the gases and the errors.
type Reading struct {
	Hour    int64
	DepthM  float64 // below the surface; 0 where nobody said
	TempC   float64
	Water   float64 // of wet
	Oxygen  float64 // of the pore air, by volume; 0 when not read
	Ammonia float64 // [ppm]; 0 when not read
	Probe   string  // its kind: dial, logger, other
	ProbeID string  // its name, where it has one
	TempSD  float64 // error of the probe [C]; 0 for one that nobody knows
	WaterSD float64 // of wet; 0 for one that nobody knows
}

// Mark is a measured height of a bed.
type Mark struct {
	Hour   int64
	DepthM float64
}

// Weight is what a bin weighed with its bed.
type Weight struct {
	Hour int64
	Kg   float64
}

// Count is worms picked from a sample, for each square metre of bed; 0 for what
// was not counted.
type Count struct {
	Hour   int64
	KgM2   float64 // live
	Number float64 // young and grown
	Below  float64 // where none were found: as many as would hardly have been missed
}

// Kind is what kind of thing was found.
type Kind string

// The kinds, in the order in which those of one hour are taken in.
const (
	Unremarked  Kind = "nothing said of the worms"
	Unfelt      Kind = "nothing said of heat"
	Temperature Kind = "temperature"
	Moisture    Kind = "moisture"
	Oxygen      Kind = "oxygen"
	Ammonia     Kind = "ammonia"
	Height      Kind = "height"
	Weighed     Kind = "weight"
	WormsKg     Kind = "worms by weight"
	WormsNumber Kind = "worms by number"
	Squeezed    Kind = "squeeze"
	FeedLeft    Kind = "feed left"
	WormsSeen   Kind = "worms seen"
	Smell       Kind = "smell"
	Where       Kind = "where the worms are"
)

// Silent says whether it is that nothing was said. docs/model.md (T23)
func (k Kind) Silent() bool { return k == Unremarked || k == Unfelt }

// wets says whether a thing found tells of water: where it does not, what it seems to
// say of it is chance among few members, or an error of something else, and would
// add up from one to the next. Bad air is wet more often than not. docs/model.md (T6)
func (k Kind) wets() bool {
	switch k {
	case Moisture, Squeezed, Weighed, Oxygen, Ammonia, Smell, Where:
		return true
	}
	return false
}

// NoneFound is the word of a sample in which there was no worm; the value beside it
// is what would hardly have been missed.
const NoneFound = "none"

// Found is one thing found of a bed: a number, or a word of a look.
type Found struct {
	Hour   int64
	Kind   Kind
	Value  float64 // in the unit of its kind
	Word   string  // instead of a number, but for NoneFound
	DepthM float64 // below the surface, where it has one
	SD     float64 // error of what it was found with, in the unit of Value; 0 for the usual one
	Probe  string
}

// Found gives what was found of the bed, in the order in which it is taken in.
// Of a probe at one depth that is read again within AgainHours only the first
// tells something: what makes it differ from the bed is the same. docs/model.md (T5).
func (p *Parameters) Found(h *History) []Found {
	out := p.silences(h)
	type place struct {
		kind  Kind
		probe string
		depth int
	}
	last := map[place]int64{}
	for _, r := range h.Readings {
		add := func(f Found) {
			f.Hour, f.DepthM, f.Probe = r.Hour, p.Deep(&r), cmp.Or(r.ProbeID, r.Probe)
			at := place{f.Kind, f.Probe, int(math.Round(r.DepthM / sameDepth))}
			if was, seen := last[at]; seen && float64(r.Hour-was) < p.AgainHours {
				return
			}
			last[at] = r.Hour
			out = append(out, f)
		}
		if !math.IsNaN(r.TempC) {
			add(Found{Kind: Temperature, Value: r.TempC, SD: r.TempSD})
		}
		if !math.IsNaN(r.Water) && r.Water > 0 {
			add(Found{Kind: Moisture, Value: r.Water, SD: r.WaterSD})
		}
		if r.Oxygen > 0 {
			add(Found{Kind: Oxygen, Value: r.Oxygen})
		}
		if r.Ammonia > 0 {
			add(Found{Kind: Ammonia, Value: r.Ammonia})
		}
	}
	for _, m := range h.Marks {
		if m.DepthM > 0 {
			out = append(out, Found{Hour: m.Hour, Kind: Height, Value: m.DepthM})
		}
	}
	for _, w := range h.Weights {
		if w.Kg > 0 {
			out = append(out, Found{Hour: w.Hour, Kind: Weighed, Value: w.Kg})
		}
	}
	for _, n := range h.Counts {
		switch {
		case n.KgM2 > 0:
			out = append(out, Found{Hour: n.Hour, Kind: WormsKg, Value: n.KgM2})
		case n.Number > 0:
			out = append(out, Found{Hour: n.Hour, Kind: WormsNumber, Value: n.Number})
		case n.Below > 0:
			out = append(out, Found{Hour: n.Hour, Kind: WormsNumber, Value: n.Below, Word: NoneFound})
		}
	}
	for _, l := range h.Looks {
		for _, w := range []Found{{Kind: Squeezed, Word: l.Squeeze}, {Kind: FeedLeft, Word: l.FeedLeft}, {Kind: WormsSeen, Word: l.Worms}, {Kind: Smell, Word: l.Smell}, {Kind: Where, Word: l.Where}} {
			if w.Word != "" {
				w.Hour = l.Hour
				out = append(out, w)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Found) int { return cmp.Compare(a.Hour, b.Hour) })
	return out
}

// Deep gives the depth at which a reading is taken in, that of a usual stab where
// nobody said it [m]. docs/model.md (T5).
func (p *Parameters) Deep(r *Reading) float64 {
	if r.DepthM > 0 {
		return r.DepthM
	}
	return p.UsualStab
}

// sameDepth is how near two readings count as of one depth [m].
const sameDepth = 0.05
