package season

import (
	"math"
	"math/rand/v2"
	"slices"
)

// A Promise is how much of a product may be sold for a period and be there.
type Promise struct {
	Product  string  `json:"product"`
	Week     float64 `json:"week" doc:"the period begins, from now"`
	Weeks    float64 `json:"weeks"`
	Promised float64 `json:"promised" doc:"already, in the period"`
	More     float64 `json:"more" doc:"that may be promised besides, this alone"`
	Kept     float64 `json:"kept_frac" doc:"of the years that were drawn in which all of it is there"`
}

// fine is how close the most that may be promised is sought: a two hundredth of what
// is looked through.
const fine = 200

// Promisable gives how much more of a product may be promised for the period that a
// week is in, so that it is there in so large a part of the worlds, often, and no
// promise that was kept as often before is kept less often for it; and so that, one year
// in twenty aside, worms are left for the bins of the plan and for its end, or as many
// as without it. The plan is not
// made anew: what it would sell without a promise gives way. Each answer is for one
// promise; after it was given ask again. Pieces are rounded down to whole ones where
// there are ten or more. False where the farm has no such product or the plan no such
// week. model.md (V14).
func Promisable(f Farm, p Plan, worlds []World, product string, week float64, often float64) (Promise, bool) {
	i := slices.IndexFunc(f.Products, func(x Product) bool { return x.Name == product })
	periods := Periods(f.Weeks)
	t := slices.IndexFunc(periods, func(at Period) bool { return at.From <= week && week < at.From+at.Weeks })
	if i < 0 || t < 0 || t >= len(p.Steps) || len(worlds) == 0 {
		return Promise{}, false
	}
	was, stand := replayed(f, p, worlds, 0, nil, t)
	return promisable(f, p, worlds, was, stand, i, t, often), true
}

// Promises asks that of every product and of each of the weeks that the plan reaches.
func Promises(f Farm, p Plan, worlds []World, weeks []float64, often float64) (out []Promise) {
	if len(worlds) == 0 || len(p.Steps) == 0 {
		return nil
	}
	byProduct := make([][]Promise, len(f.Products))
	for t, at := range Periods(f.Weeks) {
		if !slices.ContainsFunc(weeks, func(w float64) bool { return at.From <= w && w < at.From+at.Weeks }) {
			continue
		}
		was, stand := replayed(f, p, worlds, 0, nil, t)
		for i := range f.Products {
			byProduct[i] = append(byProduct[i], promisable(f, p, worlds, was, stand, i, t, often))
		}
	}
	return slices.Concat(byProduct...)
}

// promisable asks it of product i and period t, when each world stands so; before it
// nothing is otherwise for what is promised in it.
func promisable(f Farm, p Plan, worlds []World, was Replay, stand []lived, i, t int, often float64) Promise {
	x, at := f.Products[i], Periods(f.Weeks)[t]
	out := Promise{Product: x.Name, Week: at.From, Weeks: at.Weeks, Promised: at.in(x.Promised, false), Kept: 1}
	for _, k := range was.Kept {
		if k.Product == x.Name && k.Week == at.From {
			out.Kept = k.Often
		}
	}
	// kept is how often it is there with so much more, or less than nothing where
	// another promise or the worms suffer.
	kept := func(more float64) float64 {
		r, _ := replayed(f.promising(i, int(at.From), more), p, worlds, t, stand, -1)
		for t := t; t < len(r.Worms); t++ {
			if x.WormsKg > 0 && r.Worms[t][0] < math.Min(was.Worms[t][0], f.wormsAfter(p, t))-1e-6 {
				return -1
			}
		}
		all := 1.0
		for _, k := range r.Kept {
			if k.Product == x.Name && k.Week == at.From {
				all = k.Often
				continue
			}
			for _, b := range was.Kept {
				if b.Product == k.Product && b.Week == k.Week && k.Often < math.Min(b.Often, often)-1e-9 {
					return -1
				}
			}
		}
		return all
	}
	low, high := 0.0, f.atMost(p, worlds, x)
	if high <= 0 || out.Kept < often-1e-9 {
		return out // what is promised is not sure itself
	}
	for step := high / fine; high-low > step; {
		mid := (low + high) / 2
		if k := kept(mid); k >= often-1e-9 {
			low, out.Kept = mid, k
		} else {
			high = mid
		}
	}
	if out.More = low; low >= 10 {
		for out.More = math.Floor(low); ; out.More++ { // the next whole one may still be kept
			k := kept(out.More + 1)
			if k < often-1e-9 {
				break
			}
		}
		out.Kept = kept(out.More)
	}
	return out
}

// wormsAfter are those that the plan's next bins must hold after a period, or that
// must be left at its end [kg].
func (f Farm) wormsAfter(p Plan, t int) float64 {
	if t == len(p.Steps)-1 {
		if f.Worms.EndKg != nil {
			return *f.Worms.EndKg
		}
		return f.Worms.StartKg
	}
	each := 0.0
	for _, m := range f.Mixes {
		each = math.Max(each, m.WormsKg)
	}
	return p.Steps[t+1].Bins * each
}

// promising is the farm with more of a product promised in a week.
func (f Farm) promising(i, week int, more float64) Farm {
	f.Products = slices.Clone(f.Products)
	x := &f.Products[i]
	list := make([]float64, max(len(x.Promised), week+1))
	copy(list, x.Promised)
	list[week] += more
	x.Promised = list
	return f
}

// atMost is more of a product than can be there in any of the worlds: of all castings
// that lie and are harvested, and of all worms that there is room for.
func (f Farm) atMost(p Plan, worlds []World, x Product) float64 {
	most := math.Inf(1)
	if x.CastingsM3 > 0 {
		yield, m3 := 0.0, f.StockM3
		for _, w := range worlds {
			yield = math.Max(yield, w.Yield)
		}
		for _, s := range p.Steps {
			for name, n := range s.Harvest {
				m3 += n * f.mix(name).CastingsM3 * yield
			}
		}
		most = m3 / x.CastingsM3
	}
	if x.WormsKg > 0 {
		most = math.Min(most, math.Max(f.Bins*f.Worms.MostKg, f.Worms.StartKg)/x.WormsKg)
	}
	if math.IsInf(most, 1) {
		return 0
	}
	return most
}

// A Spread is how years differ where nothing is known of their warmth.
type Spread struct {
	Years int     `json:"draws" low:"0" high:"1000" default:"64" doc:"years that are drawn"`
	Pace  float64 `json:"pace_spread" low:"0" high:"1" default:"0.1" doc:"of a week's pace and growth about those given, as a part of them (common practice, no source)"`
	Stays float64 `json:"stays" low:"0" high:"0.99" default:"0.6" doc:"correlation of a week with the next"`
	Yield float64 `json:"yield_spread" low:"0" high:"1" default:"0.12" doc:"of the castings of a year, in the logarithm (common practice, no source)"`
	Came  float64 `json:"came_spread" low:"0" high:"2" default:"0.4" doc:"of what is delivered in a week, in the logarithm (common practice, no source)"`
}

// WorldsAbout draws years about the pace and growth that a farm is planned with, the
// same for the same seed. Where the warmth of the weeks is known, Worlds says more.
// model.md (V8).
func WorldsAbout(f Farm, s Spread, seed uint64) []World {
	out := make([]World, s.Years)
	for i := range out {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		w := World{Yield: math.Exp(s.Yield * r.NormFloat64())}
		off := r.NormFloat64()
		for k := range f.Weeks {
			if k > 0 {
				off = s.Stays*off + math.Sqrt(1-s.Stays*s.Stays)*r.NormFloat64()
			}
			part := math.Max(0, 1+s.Pace*off)
			w.Pace = append(w.Pace, part*of(f.Pace, k, 1))
			w.Growth = append(w.Growth, part*of(f.Worms.Growth, k, 0))
			w.Came = append(w.Came, math.Exp(s.Came*r.NormFloat64()))
		}
		out[i] = w
	}
	return out
}
