package app

import (
	"cmp"
	"context"
	"math"
	"slices"

	"wormyard/feedstock"
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
	odds   mix.Odds
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
	seed, draws := in.Seed, cmp.Or(in.Draws, mix.Draws)
	few := min(mendDraws, draws)
	now, err := m.drawn.Odds(m.Parameters, recipe, windows, seed, few)
	if err != nil {
		return nil, err
	}
	wanting := func(i int) bool { return now.Chance[i] < mendSure } // not of a number that is not known
	if !slices.ContainsFunc(indices(windows), wanting) {
		return nil, nil
	}
	var outcomes []mendTry
	for _, x := range m.mendTries(recipe, may) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if x.odds, err = m.drawn.Odds(m.Parameters, x.recipe, windows, seed, few); err != nil {
			continue // what cannot be mixed mends nothing
		}
		outcomes = append(outcomes, x)
	}
	told := map[*mendTry]mix.Odds{}
	var out []MixMend
	for i, w := range windows {
		if !wanting(i) {
			continue
		}
		best := bestMend(outcomes, now, w, i)
		if best == nil {
			continue
		}
		then, known := told[best]
		if !known {
			if then, err = m.drawn.Odds(m.Parameters, best.recipe, windows, seed, draws); err != nil {
				return nil, err
			}
			told[best] = then
		}
		mend := best.MixMend
		mend.Window, mend.Value = w.Output.Key(), then.Numbers[w.Output]
		mend.Chance, mend.All = number(then.Chance[i]), number(then.All)
		out = append(out, mend)
	}
	return out, nil
}

// bestMend gives the change that mends the i-th window best, nil when none does.
func bestMend(outcomes []mendTry, now mix.Odds, w mix.Window, i int) *mendTry {
	var best *mendTry
	for j := range outcomes {
		x := &outcomes[j]
		if !(x.odds.Chance[i] >= now.Chance[i]+mendGain) || !(x.odds.All >= now.All-mendLoss) {
			continue
		}
		if best == nil || x.odds.All > best.odds.All+mendLoss || x.odds.All > best.odds.All-mendLoss && (x.odds.Chance[i] > best.odds.Chance[i]+mendLoss || x.odds.Chance[i] > best.odds.Chance[i]-mendLoss && x.size < best.size) {
			best = x
		}
	}
	if best != nil {
		return best
	}
	gap := mendNear * missed(w, now.Numbers[w.Output]) // far off: the change that comes nearest
	for j := range outcomes {
		x := &outcomes[j]
		if g := missed(w, x.odds.Numbers[w.Output]); g < gap && x.odds.All >= now.All-mendLoss {
			best, gap = x, g
		}
	}
	return best
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
func (m *Mixer) mendTries(recipe mix.Recipe, may MixMending) []mendTry {
	var out []mendTry
	add := func(t MixMend, r mix.Recipe, size float64) {
		out = append(out, mendTry{MixMend: t, recipe: r, size: size})
	}
	var others []mix.Part
	for _, p := range may.Others {
		part, problems := m.Resolve(p, "parts")
		known := slices.ContainsFunc(recipe.Parts, func(x mix.Part) bool { return x.Name == part.Name })
		if len(problems) == 0 && !known {
			others = append(others, part)
		}
	}
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
		for _, p := range others {
			if p.Available != nil && change > float64(*p.Available)*(1+1e-9) {
				continue
			}
			r := recipe
			p.Amount = feedstock.Quantity{Volume: qty.CubicMetre(change)}
			r.Parts = append(slices.Clone(recipe.Parts), p)
			add(MixMend{Part: p.Name, Buckets: n}, r, n)
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
