package harvest

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"wormyard/chance"
	"wormyard/figure"
	"wormyard/mix"
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

// A Cut is what a deck is likely to do with a heap; ranges are the central 90 %.
type Cut struct {
	Through   qty.Estimate // part of the heap that goes through
	Fine      float64      // part of it finer than the opening
	Recovered float64      // part of the fine that goes through
	Kept      float64      // part of the coarse that stays
	Cocoons   qty.Estimate // part of all cocoons that stays
	Worms     qty.Estimate // part of the grown worms that stays
	Threads   qty.Estimate // part of the length of fungal threads that stays whole
	Balls     bool         // too wet to be screened
}

// Efficiency is the part of the fine recovered times the part of the coarse kept.
func (c Cut) Efficiency() float64 { return c.Recovered * c.Kept }

// through is the part of a heap that goes through by a curve.
func (c Curve) through(heap []Class) (sum float64) {
	t, _ := c.Split(heap)
	for _, m := range t {
		sum += float64(m)
	}
	return sum
}

// curveAt is the curve of a deck whose d50 lies by a factor beside the assumed one.
func (par Parameters) curveAt(d Deck, shift float64) (c Curve, balls bool) {
	c, balls = par.CurveOf(d)
	c.D50 *= shift
	return c, balls
}

// CutOf is what a deck is likely to do with a heap a part of which is chips; shift
// is the farm's own cut against the assumed one (Shift), 1 where it has none. The
// ranges carry what is not known of the deck, the run and the heap. model.md (S6,
// S12, S16, S20).
func (par Parameters) CutOf(d Deck, chips, shift qty.Estimate) Cut {
	heap := par.Heap(1, chips.Best)
	mid, balls := par.curveAt(d, shift.Best)
	out := Cut{Balls: balls}
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
	par.ranges(&out, par.partsOf(d, d, chips.Best, shift.Best), d, chips, shift)
	return out
}

// parts are the parts that a deck lets through or keeps, of which there is a range:
// of the heap, cocoons, grown worms and threads.
type parts [4]float64

// partsOf gives them; the curve is that of one deck and the holes are those of the
// other, since a farm's own cut has the error of its opening in it.
func (par Parameters) partsOf(curve, holes Deck, chips, shift float64) parts {
	c, _ := par.curveAt(curve, shift)
	return parts{c.through(par.Heap(1, chips)), 1 - CocoonsThrough(par.CocoonWidth.Best, par.CocoonSD, holes.Opening, par.CocoonFree.Best, c), par.adultsHeld(holes.Opening), par.ThreadsKept(holes.Opening)}
}

// runs is how many runs a range is made of.
const runs = 1000

// ranges gives the central 90 % of the parts over runs in which everything that is
// not known is drawn at once: each input by its two-piece distribution (M34), in a
// Latin hypercube with fixed orders, so that the same question has the same answer.
// Best stays what the best of all gives. model.md (S20).
func (par Parameters) ranges(out *Cut, best parts, d Deck, chips, shift qty.Estimate) {
	own := shift.Spread() // the farm's own screenings say how far it may be off
	var each [len(best)][]float64
	orders := strata(doubtful)
	for i := range runs {
		n := 0
		next := func(e qty.Estimate, fraction bool) float64 {
			z := chance.NormalQuantile((float64(orders[n][i]) + 0.5) / runs)
			n++
			return mix.Draw(e, fraction, z)
		}
		m, run := par, d
		for _, e := range []*qty.Estimate{&m.Steepness, &m.CocoonWidth, &m.WetFlat, &m.RateFlat, &m.DrumFactor, &m.FineDeck} {
			*e = qty.Exactly(next(*e, false))
		}
		m.CocoonFree, m.FineShare = qty.Exactly(next(par.CocoonFree, true)), qty.Exactly(next(par.FineShare, true))
		z := chance.NormalQuantile((float64(orders[n][i]) + 0.5) / runs)
		n++
		m.AdultHeld = make([]float64, len(par.AdultHeld))
		for k := range m.AdultHeld { // one doubt for all openings: how easily worms come through
			m.AdultHeld[k] = mix.Draw(qty.Estimate{Best: par.AdultHeld[k], Low: par.AdultLow[k], High: par.AdultHigh[k]}, true, z)
		}
		w := float64(d.Water)
		run.Water = qty.WaterOfWet(next(qty.Estimate{Best: w, Low: max(0, w+par.WaterOff.Low), High: min(1, w+par.WaterOff.High)}, true))
		run.Rate = d.Rate * next(par.RateSaid, false)
		holes := run
		holes.Opening = d.Opening * next(par.OpeningSaid, false)
		curve, at := holes, shift.Best
		cut, off := next(par.CutOff, false), next(shift, false)
		if own {
			curve, at = run, off
		} else {
			m.CutOff = qty.Exactly(cut)
		}
		for k, v := range m.partsOf(curve, holes, next(chips, true), at) {
			each[k] = append(each[k], v)
		}
	}
	for k, e := range []*qty.Estimate{&out.Through, &out.Cocoons, &out.Worms, &out.Threads} {
		slices.Sort(each[k])
		*e = qty.Estimate{Best: best[k], Low: min(best[k], ends(each[k], 0.05)), High: max(best[k], ends(each[k], 0.95))}
	}
}

// doubtful is how many inputs of a run are drawn.
const doubtful = 15

// strata gives for each input an order of the runs.
func strata(inputs int) [][]int {
	out := make([][]int, inputs)
	for k := range out {
		out[k] = rand.New(rand.NewPCG(20, uint64(k))).Perm(runs)
	}
	return out
}

// ends is the value under which a share of sorted values lies.
func ends(sorted []float64, share float64) float64 {
	at := share*float64(len(sorted)) - 0.5
	i := int(at)
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
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
	Rate          float64 // of the usual; 0 where nobody said, which is as usual
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
	heap := par.Heap(1, chips)
	for range 60 {
		mid := (low + high) / 2
		c, _ := par.curveAt(Deck{r.Opening, r.Water, cmp.Or(r.Rate, 1), r.Drum}, math.Exp(mid))
		if c.through(heap) < want {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// usualWater is the moisture at which castings are screened when nobody says: the
// middle of the 40 to 50 % that is aimed at. Common practice, no source.
const usualWater = 0.45

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
		c := par.CutOf(Deck{Opening: opening, Water: usualWater, Rate: 1}, par.Chips, qty.Exactly(1))
		return Parted{c.Worms, c.Cocoons}
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
	Through     float64 `json:"through_frac" unit:"-"`
	Low         float64 `json:"through_low_frac" unit:"-"`
	High        float64 `json:"through_high_frac" unit:"-"`
	Fine        float64 `json:"fine_frac" unit:"-" doc:"part of the heap finer than the opening"`
	Efficiency  float64 `json:"efficiency" unit:"-"`
	Cocoons     float64 `json:"cocoons_through_frac" unit:"-"`
	CocoonsLow  float64 `json:"cocoons_through_low_frac" unit:"-"`
	CocoonsHigh float64 `json:"cocoons_through_high_frac" unit:"-"`
	Worms       float64 `json:"worms_through_frac" unit:"-"`
	WormsLow    float64 `json:"worms_through_low_frac" unit:"-"`
	WormsHigh   float64 `json:"worms_through_high_frac" unit:"-"`
	Threads     float64 `json:"threads_kept_frac" unit:"-"`
	ThreadsLow  float64 `json:"threads_kept_low_frac" unit:"-"`
	ThreadsHigh float64 `json:"threads_kept_high_frac" unit:"-"`
	Runs        bool    `json:"can_be_screened"`
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
	c := par.CutOf(Deck{in.Opening, qty.WaterOfWet(in.Water), in.Rate, in.Kind == "drum"}, qty.Exactly(in.Chips), qty.Exactly(in.Shift))
	return cutOut{c.Through.Best, c.Through.Low, c.Through.High, c.Fine, c.Efficiency(), 1 - c.Cocoons.Best, 1 - c.Cocoons.High, 1 - c.Cocoons.Low, 1 - c.Worms.Best, 1 - c.Worms.High, 1 - c.Worms.Low, c.Threads.Best, c.Threads.Low, c.Threads.High, !c.Balls},
		[]string{fmt.Sprintf("The sizes in the heap are assumed: %s of castings lies under %s mm.", percent(par.SizeCastings[0]+par.SizeCastings[1]+par.SizeCastings[2]), qty.Figures(par.SizeMM[3]))}, nil
}
