package harvest

import (
	"fmt"
	"math"

	"wormyard/figure"
	"wormyard/qty"
)

// Heap gives the size classes of castings as they come out of a bed, for a mass
// [kg] with a part of it unworked chips. Nobody is known to have sieved a heap of
// castings in print, so the shares are assumed. model.md (S16).
func (par Parameters) Heap(mass, chips float64) []Class {
	out := make([]Class, len(par.SizeCastings))
	for i := range out {
		share := (1-chips)*par.SizeCastings[i] + chips*par.SizeChips[i]
		out[i] = Class{par.SizeMM[i], par.SizeMM[i+1], mass * share}
	}
	return out
}

// A Cut is what a deck is likely to do with a heap.
type Cut struct {
	Through   qty.Estimate // part of the heap that goes through
	Fine      float64      // part of it finer than the opening
	Recovered float64      // part of the fine that goes through
	Kept      float64      // part of the coarse that stays
	Cocoons   float64      // part of all cocoons that goes through
	Worms     float64      // part of the grown worms that goes through
	Threads   float64      // part of the length of fungal threads that stays whole
	Balls     bool         // too wet to be screened
}

// Efficiency is the part of the fine recovered times the part of the coarse kept.
func (c Cut) Efficiency() float64 { return c.Recovered * c.Kept }

// CutOf is what a deck is likely to do with a heap a part of which is chips; shift
// is the farm's own cut against the assumed one (Shift), 1 where it has none. The
// range is that of the assumed curve. model.md (S6, S12, S16).
func (par Parameters) CutOf(d Deck, chips float64, shift qty.Estimate) Cut {
	heap := par.Heap(1, chips)
	curve, balls := par.CurveOf(d)
	through := func(c Curve) (sum float64) {
		t, _ := c.Split(heap)
		for _, m := range t {
			sum += float64(m)
		}
		return sum
	}
	of := func(d50, shift float64) Curve { return Curve{d50 * d.Opening * shift, curve.Ep} }
	mid := of(par.CutOff.Best, shift.Best)
	low, high := of(par.CutOff.Low, shift.Best), of(par.CutOff.High, shift.Best)
	if shift.Spread() { // the farm's own screenings say how far it may be off
		low, high = of(par.CutOff.Best, shift.Low), of(par.CutOff.Best, shift.High)
	}
	out := Cut{Through: qty.Estimate{Best: through(mid), Low: through(low), High: through(high)}, Balls: balls}
	var fineThrough, coarseOver, coarse float64
	for _, k := range heap {
		part := min(1, max(0, (d.Opening-k.Low)/(k.High-k.Low)))
		under, over := Class{k.Low, k.Low + part*(k.High-k.Low), k.Mass * part}, Class{k.Low + part*(k.High-k.Low), k.High, k.Mass * (1 - part)}
		out.Fine += under.Mass
		coarse += over.Mass
		if under.Mass > 0 {
			fineThrough += under.Mass * (1 - mid.mean(under.Low, under.High))
		}
		if over.Mass > 0 {
			coarseOver += over.Mass * mid.mean(over.Low, over.High)
		}
	}
	if out.Fine > 0 {
		out.Recovered = fineThrough / out.Fine
	}
	if coarse > 0 {
		out.Kept = coarseOver / coarse
	}
	out.Cocoons = CocoonsThrough(par.CocoonWidth, par.CocoonSD, d.Opening, par.CocoonFree.Best, mid)
	out.Worms = 1 - par.adultsHeld(d.Opening)
	out.Threads = par.ThreadsKept(d.Opening)
	return out
}

// Sticks says whether castings of a moisture stick to a deck, Dusty whether they
// are too dry.
func (par Parameters) Sticks(w qty.WaterOfWet) bool { return float64(w) >= par.Sticky }

// IsDusty says whether castings of a moisture make dust on a deck.
func (par Parameters) IsDusty(w qty.WaterOfWet) bool { return float64(w) < par.Dusty }

// A Weighing is a screening of which only what went through and what stayed was
// weighed, as crews do.
type Weighing struct {
	Opening       float64 // [mm]
	Water         qty.WaterOfWet
	Drum          bool
	Through, Over float64 // [kg]
}

// Shift is by how much a farm's own cut lies above the assumed one, from its
// weighings: the factor on d50 under which the assumed heap would have parted as
// it did, the mean of the logarithms, the assumption weighing LearnedLots
// weighings and as uncertain as CutOff. Heaps coarser than assumed and a lower cut
// look alike in such weighings; for what goes through it does not matter which it
// is. Wet runs teach nothing. model.md (S17).
func (par Parameters) Shift(runs []Weighing, chips float64) (shift qty.Estimate, used int) {
	var sum, squares float64
	for _, r := range runs {
		if par.Sticks(r.Water) || !(r.Through > 0) || !(r.Over > 0) || !(r.Opening > 0) {
			continue
		}
		ln := par.shiftOf(r, chips)
		used++
		sum += ln
		squares += ln * ln
	}
	if used == 0 {
		return qty.Exactly(1), 0
	}
	n := float64(used)
	prior := (math.Log(par.CutOff.High) - math.Log(par.CutOff.Low)) / 2 / 1.645 // ends of the range are 5 and 95 of 100
	mean := sum / (n + par.LearnedLots)
	spread := (par.LearnedLots*(prior*prior+mean*mean) + squares - 2*mean*sum + n*mean*mean) / (n + par.LearnedLots)
	off := 1.645 * math.Sqrt(spread)
	return qty.Estimate{Best: math.Exp(mean), Low: math.Exp(mean - off), High: math.Exp(mean + off)}, used
}

// shiftOf finds the logarithm of the factor by halving; it is cut off at a third
// and at three, where a weighing says more of itself than of the deck.
func (par Parameters) shiftOf(r Weighing, chips float64) float64 {
	want := r.Through / (r.Through + r.Over)
	low, high := -math.Log(3), math.Log(3)
	for range 60 {
		mid := (low + high) / 2
		c := par.CutOf(Deck{r.Opening, r.Water, 1, r.Drum}, chips, qty.Exactly(math.Exp(mid)))
		if c.Through.Best < want {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// A Way is how worms and castings are parted.
type Way string

// The ways of a harvest.
const (
	Side   Way = "side feeding"
	Table  Way = "table"
	Screen Way = "screening"
	Whole  Way = "whole"
)

// Parted is what a way of harvesting gets back of what lives in a bin.
type Parted struct{ Worms, Cocoons qty.Estimate }

// PartedBy gives the parts of the worms and cocoons that are got back: by side
// feeding after so many days, by table and light, or on a deck of an opening [mm].
// Cocoons do not move, so that side feeding gets none. model.md (S18).
func (par Parameters) PartedBy(w Way, days, opening float64) Parted {
	switch w {
	case Side:
		return Parted{Worms: qty.Estimate{
			Best: SideMoved(days, par.SideRate.Best, par.SideStay.Best), Low: SideMoved(days, par.SideRate.Low, par.SideStay.High), High: SideMoved(days, par.SideRate.High, par.SideStay.Low)},
			Cocoons: qty.Exactly(0)}
	case Table:
		return Parted{par.TableFound, par.TableCocoons}
	case Screen:
		curve := Curve{par.CutOff.Best * opening, par.Steepness.Best * opening}
		kept := func(free float64) float64 {
			return 1 - CocoonsThrough(par.CocoonWidth, par.CocoonSD, opening, free, curve)
		}
		return Parted{qty.Exactly(par.adultsHeld(opening)), qty.Estimate{Best: kept(par.CocoonFree.Best), Low: min(kept(par.CocoonFree.Low), kept(par.CocoonFree.High)), High: max(kept(par.CocoonFree.Low), kept(par.CocoonFree.High))}}
	}
	return Parted{qty.Exactly(0), qty.Exactly(0)}
}

type cutIn struct {
	Opening float64 `json:"opening_mm" unit:"mm" low:"0.5" high:"50"`
	Water   float64 `json:"water_frac_wet" unit:"kg/kg wet" low:"0" high:"1" default:"0.45"`
	Rate    float64 `json:"rate_of_usual" unit:"-" low:"0.01" high:"20" default:"1"`
	Kind    string  `json:"kind" choice:"flat,drum" default:"flat"`
	Chips   float64 `json:"chips_frac" unit:"-" low:"0" high:"1" default:"0.15" doc:"part of the heap that is unworked chips"`
	Shift   float64 `json:"shift" unit:"-" low:"0.3" high:"3" default:"1" doc:"the farm's own cut against the assumed one"`
}

type cutOut struct {
	Through    float64 `json:"through_frac" unit:"-"`
	Low        float64 `json:"through_low_frac" unit:"-"`
	High       float64 `json:"through_high_frac" unit:"-"`
	Fine       float64 `json:"fine_frac" unit:"-" doc:"part of the heap finer than the opening"`
	Efficiency float64 `json:"efficiency" unit:"-"`
	Cocoons    float64 `json:"cocoons_through_frac" unit:"-"`
	Worms      float64 `json:"worms_through_frac" unit:"-"`
	Threads    float64 `json:"threads_kept_frac" unit:"-"`
	Runs       bool    `json:"can_be_screened"`
}

func (par Parameters) cutFigure(in cutIn) (out cutOut, notes []string, err error) {
	var p figure.Problems
	p.Between("opening_mm", "The opening", in.Opening, 0.5, 50)
	p.Between("water_frac_wet", "The moisture", in.Water, 0, 1)
	p.Between("rate_of_usual", "The rate", in.Rate, 0.01, 20)
	p.Between("chips_frac", "The part that is chips", in.Chips, 0, 1)
	p.Between("shift", "The shift", in.Shift, 0.3, 3)
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	c := par.CutOf(Deck{in.Opening, qty.WaterOfWet(in.Water), in.Rate, in.Kind == "drum"}, in.Chips, qty.Exactly(in.Shift))
	return cutOut{c.Through.Best, c.Through.Low, c.Through.High, c.Fine, c.Efficiency(), c.Cocoons, c.Worms, c.Threads, !c.Balls},
		[]string{fmt.Sprintf("The sizes in the heap are assumed: %s of castings lies under %s mm.", percent(par.SizeCastings[0]+par.SizeCastings[1]+par.SizeCastings[2]), qty.Figures(par.SizeMM[3]))}, nil
}
