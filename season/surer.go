package season

import (
	"context"
	"slices"

	"wormyard/program"
)

// cautions are the parts of castings and growth that surer plans reckon with.
var cautions = []float64{1, 0.95, 0.9, 0.85, 0.8, 0.7, 0.6}

// A Surer is a plan that keeps its promises more often, by reckoning with less.
type Surer struct {
	Plan   Plan
	Replay Replay
	Part   float64 // of the castings and the growth that it reckons with
	Costs  float64 // what the middle year earns less than with the plan that earns most
	Enough bool    // every promise is kept as often as was wanted
}

// MakeSurer gives the first plan, of those that reckon with ever less, of which every
// promise is kept in so large a part of the worlds; where none is, the one whose
// rarest promise is kept most often. best is the plan that earns most, was what it
// came to. said is called with how many were tried. model.md (V9).
func MakeSurer(ctx context.Context, f Farm, best Plan, was Replay, solve program.Solver, gap float64, worlds []World, often float64, said func(done, of int)) (Surer, error) {
	out := Surer{Plan: best, Replay: was, Part: 1, Enough: was.Rarest() >= often}
	for i, part := range cautions {
		said(i, len(cautions))
		if out.Enough {
			break
		}
		if part == 1 {
			continue
		}
		less := f.times(part)
		if err := less.sound(); err != nil {
			return out, err
		}
		m := build(less)
		m.problem.Gap = gap
		m.heatedLike(best.Steps) // what is heated stays as it is, and the rest is found at once
		p, err := m.solve(ctx, solve)
		if err != nil {
			return out, err
		}
		if len(p.Steps) == 0 {
			break // with so little no plan keeps to the limits
		}
		r := Replayed(f, p, worlds)
		if rarest := r.Rarest(); rarest > out.Replay.Rarest() {
			out.Plan, out.Replay, out.Part, out.Enough = p, r, part, rarest >= often
		}
	}
	out.Costs = was.Value[1] - out.Replay.Value[1]
	return out, nil
}

// Rarest is how often the promise that is kept least is kept; 1 where nothing is
// promised.
func (r Replay) Rarest() float64 {
	least := 1.0
	for _, k := range r.Kept {
		least = min(least, k.Often)
	}
	return least
}

// times is the farm with so large a part of its castings and the growth of its worms.
func (f Farm) times(part float64) Farm {
	mixes := make([]Mix, len(f.Mixes))
	for i, m := range f.Mixes {
		m.CastingsM3 *= part
		mixes[i] = m
	}
	less := func(growth []float64) []float64 {
		out := make([]float64, len(growth))
		for i, g := range growth {
			out[i] = g * part
		}
		return out
	}
	f.Heat = slices.Clone(f.Heat)
	for i := range f.Heat {
		f.Heat[i].Growth = less(f.Heat[i].Growth)
	}
	f.Mixes, f.Worms.Growth = mixes, less(f.Worms.Growth)
	return f
}
