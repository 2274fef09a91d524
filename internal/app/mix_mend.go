package app

import (
	"context"
	"math"
	"slices"

	"wormyard/internal/contract"
	"wormyard/mix"
	"wormyard/qty"
)

// MixMend is one change of a mix that brings a window nearer, and what it makes
// of it.
type MixMend struct {
	Window  string
	Part    string   // "" is water
	Buckets float64  // of the loader, below 0 is less
	WaterKg float64  // poured on, below 0 is less [kg]
	Value   float64  // of the window's number afterwards
	Chance  *float64 // that the window is met afterwards
	All     *float64 // that all windows are met afterwards
}

// MixMending says what may be changed to mend a mix.
type MixMending struct {
	Bucket qty.CubicMetre // of the loader
	Water  qty.WaterKg    // the least water poured on or left out at once
	Others []MixPart      // what lies in the yard and is not in the mix
}

const (
	mendDraws = 400 // to choose; what is told is drawn as the mix itself is
	mendSure  = 0.8 // what is met so often needs no mending
	mendGain  = 0.1 // less gain than this is not worth a bucket
	mendLoss  = 0.02
	mendNear  = 0.85 // of the way to a window that must be left, for a change worth telling
)

// mendTry is a mix changed in one thing.
type mendTry struct {
	MixMend
	recipe mix.Recipe
	size   float64
}

// Mends tries a mix with half a bucket and a bucket more and less of each part,
// a bucket of each other pile, and more and less water, and gives for each
// window that is not surely met the change that makes all windows likeliest, or
// from far off the one that comes nearest. A window that no single change
// brings nearer has none. The error is a
// *figure.Refusal, as of Answer, or ours.
func (m *Mixer) Mends(ctx context.Context, in MixRequest, may MixMending) ([]MixMend, error) {
	recipe, _, _, problems := m.recipe(in)
	windows, more := m.windows(in)
	if problems = append(problems, more...); len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	now, err := mix.Chance(m.Parameters, recipe, windows, in.Seed, mendDraws)
	if err != nil {
		return nil, err
	}
	here, err := mix.Forward(m.Parameters, recipe)
	if err != nil {
		return nil, err
	}
	wanting := func(i int) bool { return now.Chance[i] < mendSure } // not of a number that is not known
	if !slices.ContainsFunc(indices(windows), wanting) {
		return nil, nil
	}
	tries := m.mendTries(in, recipe, may)
	type outcome struct {
		mix.Outlook
		*mendTry
	}
	var outcomes []outcome
	for i := range tries {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		then, err := mix.Chance(m.Parameters, tries[i].recipe, windows, in.Seed, mendDraws)
		if err != nil {
			continue // what cannot be mixed mends nothing
		}
		outcomes = append(outcomes, outcome{then, &tries[i]})
	}
	draws := in.Draws
	if draws == 0 {
		draws = mix.Draws
	}
	var out []MixMend
	for i, w := range windows {
		if !wanting(i) {
			continue
		}
		var best *outcome
		for j := range outcomes {
			x := &outcomes[j]
			if !(x.Chance[i] >= now.Chance[i]+mendGain) || !(x.All >= now.All-mendLoss) {
				continue
			}
			if best == nil || x.All > best.All+mendLoss || x.All > best.All-mendLoss && (x.Chance[i] > best.Chance[i]+mendLoss || x.Chance[i] > best.Chance[i]-mendLoss && x.size < best.size) {
				best = x
			}
		}
		if best == nil { // far off: the change that comes nearest
			gap := mendNear * missed(w, here.Numbers[w.Output])
			for j := range outcomes {
				x := &outcomes[j]
				then, err := mix.Forward(m.Parameters, x.recipe)
				if err != nil {
					return nil, err
				}
				if g := missed(w, then.Numbers[w.Output]); g < gap && x.All >= now.All-mendLoss {
					best, gap = x, g
				}
			}
		}
		if best == nil {
			continue
		}
		result, err := mix.Forward(m.Parameters, best.recipe)
		if err != nil {
			return nil, err
		}
		then, err := mix.Chance(m.Parameters, best.recipe, windows, in.Seed, draws)
		if err != nil {
			return nil, err
		}
		mend := best.MixMend
		mend.Window, mend.Value = w.Output.Key(), result.Numbers[w.Output]
		mend.Chance, mend.All = number(then.Chance[i]), number(then.All)
		out = append(out, mend)
	}
	return out, nil
}

// missed is how far a number lies outside of a window.
func missed(w mix.Window, v float64) float64 { return max(0, w.Low-v, v-w.High) }

func indices[T any](s []T) []int {
	out := make([]int, len(s))
	for i := range out {
		out[i] = i
	}
	return out
}

// mendTries lists the mixes that differ from a recipe in one thing.
func (m *Mixer) mendTries(in MixRequest, recipe mix.Recipe, may MixMending) []mendTry {
	var out []mendTry
	add := func(t MixMend, r mix.Recipe, size float64) { out = append(out, mendTry{t, r, size}) }
	for _, n := range []float64{-1, -0.5, 0.5, 1} {
		change := n * float64(may.Bucket)
		for i, p := range recipe.Parts {
			v := float64(p.Amount.Volume) + change
			if p.Amount.Volume <= 0 || v < -1e-9 || n > 0 && p.Available != nil && v > float64(*p.Available)*(1+1e-9) {
				continue
			}
			r := recipe
			r.Parts = slices.Clone(recipe.Parts)
			r.Parts[i].Amount.Volume = qty.CubicMetre(math.Max(0, v))
			if v < 1e-9 {
				r.Parts = slices.Delete(r.Parts, i, i+1)
			}
			add(MixMend{Part: p.Name, Buckets: n}, r, math.Abs(n))
		}
		if n < 0 {
			continue
		}
		for _, p := range may.Others {
			if p.Available != nil && change > *p.Available*(1+1e-9) {
				continue
			}
			with := in
			p.VolumeM3 = &change
			with.Parts = append(slices.Clone(in.Parts), p)
			if r, _, _, problems := m.recipe(with); len(problems) == 0 {
				add(MixMend{Part: p.Name, Buckets: n}, r, n)
			}
		}
	}
	for _, n := range []float64{-8, -4, -2, -1, 1, 2, 4, 8} {
		r := recipe
		kg := float64(may.Water) * n
		if float64(recipe.Water)+kg < -1e-9 || may.Water <= 0 {
			continue
		}
		r.Water = qty.WaterKg(math.Max(0, float64(recipe.Water)+kg))
		add(MixMend{WaterKg: kg}, r, math.Abs(n)/8)
	}
	return out
}
