package season

import (
	"cmp"
	"math"
	"slices"
)

// greedy is a plan that is put together act by act, without a solver: it goes
// through the periods, and in each takes the act that earns most by the bin as long
// as one earns anything, then the next. What follows from the acts (feed collected
// as late as it can be, overtime, what is sold of what there is, dearest first) is
// reckoned for each. It neither heats, unless it is told to, nor splits. model.md (V10).
type greedy struct {
	m       *model
	t       int           // periods
	eats    [][][]float64 // weeks at a pace of 1: mix, begun in (the last for running), period
	curedIn []int         // period in which what is harvested in a period can be sold; t for none
	classes []class       // what can be sold, dearest first
	growth  []float64     // of the worms over a period, as a factor
	crew    []float64     // hours of a period
	arrives [][]float64   // feedstock, period
	keeps   [][]float64   // of a feedstock over a period
	ages    []float64     // of castings over a period
	groups  []group
	most    []float64 // bins to be had in a period

	start, harvest [][]float64
	use            []float64   // bins
	hold           []float64   // worms that they must hold [kg]
	eaten          [][]float64 // feedstock, period [m3]
	hours          []float64
	cured, cures   []float64 // castings that come to be sold, and that lie and cure [m3]
	paid           float64   // for starts
}

// group is bins of a mix that are not harvested yet.
type group struct {
	mix, ripe int // ripe from that period on
	bins      float64
}

// class is what can be sold of a product for one worth: what is promised, or the rest.
type class struct {
	product int
	worth   float64
	pieces  []float64 // by period
}

// reckoned is what a plan's acts come to.
type reckoned struct {
	value, broken float64 // money, and by how much limits are broken
	collect, lies [][]float64
	sell          [][]float64
	worms, stock  []float64
	over          []float64
}

func newGreedy(m *model) *greedy {
	f, n := &m.farm, len(m.periods)
	g := &greedy{m: m, t: n, hours: make([]float64, n), use: make([]float64, n), hold: make([]float64, n), cured: make([]float64, n), cures: make([]float64, n)}
	grid := func(rows int) [][]float64 {
		out := make([][]float64, rows)
		for i := range out {
			out[i] = make([]float64, n)
		}
		return out
	}
	g.start, g.harvest = grid(len(f.Mixes)), grid(len(f.Mixes))
	g.eaten, g.arrives, g.keeps = grid(len(f.Feedstocks)), grid(len(f.Feedstocks)), grid(len(f.Feedstocks))
	for t, at := range m.periods {
		g.growth = append(g.growth, m.grows(at, f.Worms.Growth))
		g.crew = append(g.crew, at.in(f.Crew, true))
		g.ages = append(g.ages, math.Pow(1-f.AgesPer, at.Weeks))
		bins, comes := f.Bins, 1.0
		if t < m.first {
			bins, comes = 0, 0
		}
		g.most = append(g.most, bins)
		for k, x := range f.Feedstocks {
			g.arrives[k][t] = comes * at.in(x.Arrives, true)
			g.keeps[k][t] = math.Pow(1-x.Spoils, at.Weeks)
		}
		in := n
		for u := t; u < n; u++ {
			if at.From+f.CureWeeks <= m.periods[u].From+1e-9 {
				in = u
				break
			}
		}
		g.curedIn = append(g.curedIn, in)
	}
	for i, mix := range f.Mixes {
		eats := grid(n)
		for s := range n {
			begin := f.done(m.periods[s].From)
			for t := s; t < n; t++ {
				eats[s][t] = m.ate(m.periods[t], begin, begin+mix.RipeWeeks)
			}
		}
		g.eats = append(g.eats, eats)
		for _, r := range f.Running {
			if r.Mix != mix.Name {
				continue
			}
			ripe := n
			for t, at := range m.periods {
				if r.RipeIn <= f.done(at.From)+1e-9 {
					ripe = t
					break
				}
			}
			g.groups = append(g.groups, group{i, ripe, r.Bins})
			for t, at := range m.periods {
				g.run(i, t, r.Bins, m.ate(at, 0, r.RipeIn))
			}
		}
	}
	for i, x := range f.Products {
		promised, rest := class{i, x.Price + x.Penalty, nil}, class{i, x.Price, nil}
		for _, at := range m.periods {
			p := at.in(x.Promised, false)
			promised.pieces = append(promised.pieces, p)
			rest.pieces = append(rest.pieces, math.Max(0, at.in(x.Demand, false)-p))
		}
		g.classes = append(g.classes, promised, rest)
	}
	each := func(c class) float64 {
		x := f.Products[c.product]
		if x.CastingsM3 > 0 {
			return c.worth / x.CastingsM3
		}
		return c.worth / math.Max(x.WormsKg, 1e-9)
	}
	slices.SortStableFunc(g.classes, func(a, b class) int { return -cmp.Compare(each(a), each(b)) })
	return g
}

// run lets n bins of a mix hold a bed in a period in which they eat for so long.
func (g *greedy) run(mix, t int, n, eats float64) {
	f := &g.m.farm
	x := &f.Mixes[mix]
	g.use[t] += n
	g.hold[t] += n * x.WormsKg
	g.hours[t] += n * eats * f.Hours.Feed
	g.feed(mix, t, n*eats*x.FeedM3Week)
}

// feed takes so much of a mix in a period [m3].
func (g *greedy) feed(mix, t int, m3 float64) {
	for _, q := range g.m.farm.Mixes[mix].Parts {
		for k := range g.m.farm.Feedstocks {
			if g.m.farm.Feedstocks[k].Name == q.Feedstock {
				g.eaten[k][t] += m3 * q.Share
			}
		}
	}
}

// begin starts n bins of a mix in a period; n below nothing takes them back.
func (g *greedy) begin(mix, s int, n float64) {
	f := &g.m.farm
	x := &f.Mixes[mix]
	g.start[mix][s] += n
	g.hours[s] += n * f.Hours.Start
	g.paid += n * x.StartCost
	g.feed(mix, s, n*x.StartM3)
	for t := s; t < g.t; t++ {
		g.run(mix, t, n, g.eats[mix][s][t])
	}
}

// take harvests n bins of a mix in a period; n below nothing puts them back.
func (g *greedy) take(mix, h int, n float64) {
	f := &g.m.farm
	x := &f.Mixes[mix]
	g.harvest[mix][h] += n
	g.hours[h] += n * f.Hours.Harvest
	for t := h + 1; t < g.t; t++ {
		g.use[t] -= n
		g.hold[t] -= n * x.WormsKg
	}
	in := g.curedIn[h]
	for t := h; t < in; t++ {
		g.cures[t] += n * x.CastingsM3
	}
	if in < g.t {
		g.cured[in] += n * x.CastingsM3
	}
}

// reckon gives what the acts so far come to. It stops where more limits are broken
// than worst, which no sale mends. model.md (V10).
func (g *greedy) reckon(worst float64) reckoned {
	f, n := &g.m.farm, g.t
	r := reckoned{value: -g.paid}
	for t, at := range g.m.periods {
		r.broken += math.Max(0, g.use[t]-g.most[t])
		over := math.Max(0, g.hours[t]-g.crew[t])
		r.broken += math.Max(0, over-f.Overtime*at.Weeks)
		r.over = append(r.over, over)
		r.value -= over * f.OverPrice
	}
	left := g.use[n-1]
	for i := range f.Mixes {
		left -= g.harvest[i][n-1]
	}
	r.broken += math.Max(0, f.EndBins-left)
	for k := range f.Feedstocks {
		collect, lies := g.collect(k, &r)
		r.collect, r.lies = append(r.collect, collect), append(r.lies, lies)
	}
	need := g.wormsNeeded(make([]float64, n))
	lies := f.Worms.StartKg
	r.broken += math.Max(0, g.hold[g.m.first]-lies)
	for t := g.m.first; t < n; t++ {
		lies = math.Min(lies*g.growth[t], f.Worms.MostKg*g.use[t])
		r.broken += math.Max(0, need[t]-lies)
	}
	if r.broken > worst+1e-9 {
		r.value = math.Inf(-1)
		return r
	}
	g.sellAll(&r)
	return r
}

// collect takes a feedstock as late as it can be, so that least of it spoils.
func (g *greedy) collect(k int, r *reckoned) (collect, lies []float64) {
	x, n := &g.m.farm.Feedstocks[k], g.t
	want := make([]float64, n) // in store at the end of a period
	for t := n - 1; t >= 0; t-- {
		before := math.Max(0, g.eaten[k][t]+want[t]-g.arrives[k][t])
		if keeps := g.keeps[k][t]; keeps > 0 {
			before /= keeps
		} else if before > 1e-12 {
			r.broken += before
			before = 0
		}
		room := x.StoreM3
		if t == 0 {
			room = x.StartM3
		}
		r.broken += math.Max(0, before-room)
		if t > 0 {
			want[t-1] = math.Min(before, room)
		}
	}
	have := x.StartM3
	for t := range n {
		have *= g.keeps[k][t]
		c := math.Min(math.Max(0, want[t]+g.eaten[k][t]-have), g.arrives[k][t])
		have += c - g.eaten[k][t]
		collect, lies = append(collect, c), append(lies, have)
		r.value -= c * x.Cost
	}
	return collect, lies
}

// wormsNeeded are the worms that must be left at the end of each period for what
// comes, with so many sold in each [kg].
func (g *greedy) wormsNeeded(sold []float64) []float64 {
	need := make([]float64, g.t)
	last := g.m.endKg()
	for t := g.t - 1; t >= g.m.first; t-- {
		need[t] = last
		if t > g.m.first {
			last = math.Max(g.hold[t], (last+sold[t])/g.growth[t])
		}
	}
	return need
}

// sellAll sells what is dearest first, each as soon as it is wanted, as far as what
// is sold already is not missed later.
func (g *greedy) sellAll(r *reckoned) {
	f, n := &g.m.farm, g.t
	r.sell = make([][]float64, len(f.Products))
	for i := range r.sell {
		r.sell[i] = make([]float64, n)
	}
	r.stock = make([]float64, n)
	have := f.StockM3
	for t := range n {
		if t > 0 {
			have *= g.ages[t]
		}
		have += g.cured[t]
		r.stock[t] = have
	}
	sold := make([]float64, n) // worms [kg]
	worms := func() []float64 {
		out, have := make([]float64, n), f.Worms.StartKg
		for t := g.m.first; t < n; t++ {
			have = math.Min(have*g.growth[t]-sold[t], f.Worms.MostKg*g.use[t])
			out[t] = have
		}
		return out
	}
	for _, c := range g.classes {
		x := &f.Products[c.product]
		for t, pieces := range c.pieces {
			if pieces <= 0 {
				continue
			}
			if x.CastingsM3 > 0 {
				lasts := 1.0
				for u := t; u < n; u++ {
					if u > t {
						lasts *= g.ages[u]
					}
					if lasts > 0 {
						pieces = math.Min(pieces, r.stock[u]/lasts/x.CastingsM3)
					}
				}
			}
			if x.WormsKg > 0 {
				before := f.Worms.StartKg
				if t > g.m.first {
					before = worms()[t-1]
				}
				pieces = math.Min(pieces, (before*g.growth[t]-sold[t]-g.wormsNeeded(sold)[t])/x.WormsKg)
			}
			if pieces <= 1e-9 {
				continue
			}
			lasts := pieces * x.CastingsM3
			for u := t; u < n && lasts > 0; u++ {
				if u > t {
					lasts *= g.ages[u]
				}
				r.stock[u] -= lasts
			}
			sold[t] += pieces * x.WormsKg
			r.sell[c.product][t] += pieces
			r.value += pieces * x.Price
		}
	}
	for i, x := range f.Products {
		for t, at := range g.m.periods {
			r.value -= x.Penalty * math.Max(0, at.in(x.Promised, false)-r.sell[i][t])
		}
	}
	r.worms = worms()
	for t := range n {
		r.broken += math.Max(0, r.stock[t]+g.cures[t]-f.StoreM3)
	}
}

// act is one thing that the plan may do in a period: take bins of a group, begin
// some of a mix and take those later, or both in a row.
type act struct {
	group         int // -1 for none
	mix, from, to int // mix -1 for none; to t for never
}

func (g *greedy) do(a act, t int, n float64) {
	if a.group >= 0 {
		g.take(g.groups[a.group].mix, t, n)
		g.groups[a.group].bins -= n
	}
	if a.mix >= 0 {
		g.begin(a.mix, a.from, n)
		if a.to < g.t {
			g.take(a.mix, a.to, n)
		}
	}
}

// ripeIn is the first period in which a bin begun in s is ripe.
func (g *greedy) ripeIn(mix, s int) int {
	for t := s + 1; t < g.t; t++ {
		if g.m.ripe(mix, s, t) {
			return t
		}
	}
	return g.t
}

// acts are those that can begin in a period.
func (g *greedy) acts(t int) (out []act) {
	begins := func(group, s int) {
		if s >= g.t {
			return
		}
		for i := range g.m.farm.Mixes {
			out = append(out, act{group, i, s, g.t})
			wait := 0
			for h := g.ripeIn(i, s); h < g.t; h += wait {
				out = append(out, act{group, i, s, h})
				wait = max(1, 2*wait)
			}
		}
	}
	for k, x := range g.groups {
		if x.ripe <= t && x.bins >= 1e-9 {
			out = append(out, act{k, -1, 0, 0})
			begins(k, t+1)
		}
	}
	if g.m.farm.Split == nil || len(g.m.farm.Running) == 0 && t == g.m.first {
		begins(-1, t)
	}
	return out
}

// plan puts the acts together and gives a value for each column of the programme,
// or nil where it found no plan that keeps to all of it. model.md (V10).
func (g *greedy) plan() []float64 {
	const price = 1e6 // of a unit by which limits are broken: more than any act earns
	now := g.reckon(math.Inf(1))
	for t := g.m.first; t < g.t; t++ {
		for range 2 * (len(g.groups) + len(g.m.farm.Mixes)) {
			var best act
			most, many := 1e-6, 0.0
			try := func(a act, n float64) float64 {
				g.do(a, t, n)
				r := g.reckon(now.broken)
				g.do(a, t, -n)
				return r.value - now.value - price*(r.broken-now.broken)
			}
			for _, a := range g.acts(t) {
				limit := math.Floor(g.most[t])
				if a.group >= 0 {
					limit = g.groups[a.group].bins
				} else {
					for u := a.from; u < min(a.to+1, g.t); u++ {
						limit = math.Min(limit, math.Floor(g.most[u]-g.use[u]+1e-9))
					}
				}
				if a.mix >= 0 {
					limit = math.Floor(limit + 1e-9)
				}
				one := math.Min(1, limit)
				if one <= 0 {
					continue
				}
				if gain := try(a, one) / one; gain > most {
					best, most, many = a, gain, limit
				}
			}
			if many == 0 {
				break
			}
			n, gained := 0.0, 0.0
			for k := many; ; k = math.Floor(k / 2) {
				if k < 1 {
					k = math.Min(1, many)
				}
				if gain := try(best, k); gain > gained {
					n, gained = k, gain
				}
				if k <= 1 {
					break
				}
			}
			if n == 0 {
				break
			}
			g.do(best, t, n)
			if best.mix >= 0 && best.to == g.t { // they may be taken when they are ripe
				g.groups = append(g.groups, group{best.mix, g.ripeIn(best.mix, best.from), n})
			}
			now = g.reckon(math.Inf(1))
		}
	}
	return g.values(now)
}

// values writes the plan down as the programme has it.
func (g *greedy) values(r reckoned) []float64 {
	m := g.m
	v := make([]float64, len(m.problem.Columns))
	for t, at := range m.periods {
		for i := range m.farm.Mixes {
			v[m.start[i][t]], v[m.harvest[i][t]] = g.start[i][t], g.harvest[i][t]
		}
		for k := range m.farm.Feedstocks {
			v[m.collect[k][t]], v[m.lies[k][t]] = r.collect[k][t], math.Max(0, r.lies[k][t])
		}
		for i, x := range m.farm.Products {
			v[m.sell[i][t]] = r.sell[i][t]
			v[m.short[i][t]] = math.Max(0, at.in(x.Promised, false)-r.sell[i][t])
		}
		v[m.worms[t]], v[m.stock[t]], v[m.over[t]] = math.Max(0, r.worms[t]), math.Max(0, r.stock[t]), r.over[t]
	}
	for _, c := range m.decided() { // where it is settled already what is heated
		v[c] = m.problem.Columns[c].Low
	}
	for _, x := range m.sums {
		v[x.column] = sum(x.terms, v)
	}
	size := 1.0
	for _, x := range v {
		size = math.Max(size, x)
	}
	if m.problem.Violation(v) > 1e-7*size {
		return nil
	}
	return v
}
