package twin

import (
	"math"

	"wormyard/bed"
)

// coordinate is a quantity of all members in a form without bounds.
type coordinate struct {
	by    []float64 // by member
	depth float64   // of its layer below the surface, on the mean of the members; NaN of the whole bed
}

// coordinates are what a measurement may move: of each layer that all members
// have, temperature, moisture, the share that is worked, depth, matter and how
// quick it is; of the bed its worms; of the bin what feeding and air are off by. Numbers of nature
// are not among them. docs/model.md (T6).
type coordinates struct {
	of     []coordinate
	layers [][]int // of each shared layer, its place by member
}

// of a layer, in order
const (
	tempC = iota
	wet
	worked
	depthLn
	matterLn
	quick
	ofLayer
)

// of the bed and the bin, in order
const (
	wormsLn = iota
	amountLn
	airC
	wetLn
	stockLn
	freshLn
	unwritten
	heat
	ofBin
)

// read fills the coordinates from the members.
func (x *coordinates) read(e *Ensemble) {
	n := len(e.Members)
	x.share(e)
	want := len(x.layers)*ofLayer + ofBin
	for len(x.of) < want {
		x.of = append(x.of, coordinate{})
	}
	x.of = x.of[:want]
	for k := range x.of {
		if len(x.of[k].by) != n {
			x.of[k].by = make([]float64, n)
		}
		x.of[k].depth = math.NaN()
	}
	for i, at := range x.layers {
		var depth float64
		for m := range e.Members {
			s := &e.Members[m].State
			l := &s.Layers[at[m]]
			for q, v := range ofOne(l) {
				x.of[i*ofLayer+q].by[m] = v
			}
			depth += below(s, at[m]) / float64(n)
		}
		for q := range ofLayer {
			x.of[i*ofLayer+q].depth = depth
		}
	}
	bin := x.of[len(x.layers)*ofLayer:]
	for m := range e.Members {
		b := &e.Members[m]
		worms := math.Log(math.Max(b.State.Worms.LiveKg(), fewestKg))
		for q, v := range [ofBin]float64{worms, math.Log(b.Amount), b.Air, math.Log(b.Wet), math.Log(b.Stock), math.Log(b.Fresh), logit(b.Unwritten / mostUnwritten), logit(math.Exp(b.State.HeatLn) / mostHeat)} {
			bin[q].by[m] = v
		}
	}
}

// water says whether a coordinate is of water, in a layer or in what is laid.
func (x *coordinates) water(k int) bool {
	of := len(x.layers) * ofLayer
	return k < of && k%ofLayer == wet || k-of == wetLn
}

// ofOne gives the coordinates of one layer.
func ofOne(l *bed.Layer) [ofLayer]float64 {
	return [ofLayer]float64{l.TempC, logit(l.WaterOfWet()), logit(l.Worked()), math.Log(l.DepthM), math.Log(l.Dry()), logit(quickShare(l))}
}

// quickShare gives how much of what rots without worms does so quickly: what
// makes a layer hot, and the next day hot again.
func quickShare(l *bed.Layer) float64 {
	if rots := l.Quick + l.Slow; rots > 0 {
		return l.Quick / rots
	}
	return 0
}

// fewestKg is the least stock that a measurement moves [kg]; a member with less, as
// after its worms died, stands there, and gets a stock of mixed ages where what was
// found says that there is one.
const fewestKg = 0.05

// share finds the layers that all members have, by the act that laid them.
func (x *coordinates) share(e *Ensemble) {
	x.layers = x.layers[:0]
	first := &e.Members[0].State
	for i := range first.Layers {
		at := make([]int, len(e.Members))
		ok := true
		for m := range e.Members {
			at[m] = findLayer(&e.Members[m].State, first.Layers[i].ID, first.Layers[i].Part, i)
			ok = ok && at[m] >= 0
		}
		if ok {
			x.layers = append(x.layers, at)
		}
	}
}

// findLayer gives the place of a layer with matter, likely the one guessed; -1
// when there is none.
func findLayer(s *bed.State, id uint64, part uint8, guess int) int {
	is := func(i int) bool {
		l := &s.Layers[i]
		return l.ID == id && l.Part == part && l.DepthM > 0 && l.Dry() > thinLayer
	}
	if guess < len(s.Layers) && is(guess) {
		return guess
	}
	for i := range s.Layers {
		if is(i) {
			return i
		}
	}
	return -1
}

// thinLayer is the least dry matter of a layer that a measurement moves [kg/m2].
const thinLayer = 1e-3

// below gives how deep the middle of a layer lies below the surface [m].
func below(s *bed.State, at int) float64 {
	d := s.Layers[at].DepthM / 2
	for i := at + 1; i < len(s.Layers); i++ {
		d += s.Layers[i].DepthM
	}
	return d
}

// write puts the coordinates back into the members, and books what that adds to
// their beds.
func (x *coordinates) write(c *Crew, e *Ensemble, box bed.Box) {
	bin := x.of[len(x.layers)*ofLayer:]
	for m := range e.Members {
		b := &e.Members[m]
		now, _ := c.at(b.State.Hour)
		r := now.runner(b.Draw)
		before := r.Contents(box, &b.State)
		for i, at := range x.layers {
			l := &b.State.Layers[at[m]]
			var is [ofLayer]float64
			for q := range is {
				is[q] = x.of[i*ofLayer+q].by[m]
			}
			was := ofOne(l)
			if is == was {
				continue
			}
			share := func(q int, before float64) float64 {
				if is[q] == was[q] {
					return before
				}
				return expit(is[q])
			}
			now.Numbers[b.Draw].Correct(l, most(is[matterLn]-was[matterLn]), most(is[depthLn]-was[depthLn]), share(wet, l.WaterOfWet()), share(worked, l.Worked()), is[tempC])
			if rots := l.Quick + l.Slow; is[quick] != was[quick] {
				l.Quick = rots * expit(is[quick])
				l.Slow = rots - l.Quick
			}
		}
		if has, want := b.State.Worms.LiveKg(), bin[wormsLn].by[m]; has > fewestKg {
			f := most(want - math.Log(has))
			b.State.Worms = b.State.Worms.Times(f, f)
		} else if want > math.Log(fewestKg)+1 {
			b.State.Worms = usual(&now.Numbers[b.Draw], math.Min(math.Exp(want), c.P.WormsMany*box.Area()))
		}
		b.Amount, b.Air, b.Wet, b.Stock, b.Fresh = math.Exp(bin[amountLn].by[m]), bin[airC].by[m], math.Exp(bin[wetLn].by[m]), math.Exp(bin[stockLn].by[m]), math.Exp(bin[freshLn].by[m])
		b.Unwritten = mostUnwritten * expit(bin[unwritten].by[m])
		b.State.HeatLn = math.Log(mostHeat * expit(bin[heat].by[m]))
		b.Moved = b.Moved.Plus(r.Contents(box, &b.State).Less(before))
	}
}

// most gives the factor of a step in natural log, which no single measurement
// makes more than about threefold.
func most(step float64) float64 { return math.Exp(min(max(step, -1), 1)) }

// logit takes a share from 0 to 1 to a number without bounds; the outermost
// thousandths count as one.
func logit(share float64) float64 {
	share = min(max(share, 1e-3), 1-1e-3)
	return math.Log(share / (1 - share))
}

func expit(x float64) float64 { return 1 / (1 + math.Exp(-x)) }
