package season

import (
	"math"
	"slices"

	"wormyard/program"
)

// model is a farm as a programme, with where each thing stands in it.
type model struct {
	farm    Farm
	periods []Period
	problem program.Problem

	start   [][]int // mix, period
	harvest [][]int
	begun   [][]int // begun until the end of a period
	taken   [][]int // harvested until then
	collect [][]int // feedstock, period
	lies    [][]int // feedstock in store at the end of a period
	sell    [][]int // product, period
	short   [][]int
	worms   []int // at the end of a period
	stock   []int
	over    []int

	heat   [][]int   // way of heating, period; -1 where it brings nothing
	kinds  []kind    // bins that were or may be begun alike
	split  [][]int   // kind, period; -1 where none of it can be
	parted []int     // kind: all that are split of it; -1 where none can be
	early  [][]early // kind: periods in which heat makes them ripe
	first  int       // period in which the farm begins

	sums   []total
	limits []limit
	last   *Last // that changes are priced against; nil for none
}

// limit is what holds a plan back: rows and columns that are watched for being at
// their upper bound, and what one more of it adds to bounds.
type limit struct {
	name, unit string
	kind       Kind
	of         string
	watch      []bound
	more       []bound
}

// bound is the upper bound of a row or a column in a period, and by how much one
// more of a limit raises it.
type bound struct {
	row, column int // -1 for the other
	period      int
	by          float64
}

// total is a column that is a sum of others. A sum over all periods until now stands once,
// carried from period to period, and not in each row that needs it: a quarter of the
// coefficients, and the search is several times as fast.
type total struct {
	column int
	terms  []program.Term
}

// total adds a column that is the sum of terms.
func (m *model) total(terms ...program.Term) int {
	c := m.problem.Add(program.Column{High: inf})
	m.sums = append(m.sums, total{c, terms})
	m.problem.Hold(program.Row{Terms: append(slices.Clone(terms), program.Term{Column: c, Coefficient: -1})})
	return c
}

// running gives the columns of what is done of something until the end of each period.
func (m *model) running(done []int) (out []int) {
	for t, c := range done {
		terms := []program.Term{{Column: c, Coefficient: 1}}
		if t > 0 {
			terms = append(terms, program.Term{Column: out[t-1], Coefficient: 1})
		}
		out = append(out, m.total(terms...))
	}
	return out
}

// weighed is the sum over periods of what is done times a weight, of what is done until
// the end of each: terms stand only where the weight changes.
func weighed(until []int, last int, weight func(s int) float64) (terms []program.Term) {
	for s := 0; s <= last; s++ {
		w := weight(s)
		if s < last {
			w -= weight(s + 1)
		}
		if math.Abs(w) > 1e-12 {
			terms = append(terms, program.Term{Column: until[s], Coefficient: w})
		}
	}
	return terms
}

var inf = math.Inf(1)

// build writes a farm down as a programme. model.md (V2 to V5, V16).
func build(f Farm) *model {
	m := &model{farm: f, periods: Periods(f.Weeks)}
	m.problem.Maximize = true
	for m.first < len(m.periods)-1 && m.periods[m.first].From < f.Begins {
		m.first++
	}
	m.columns()
	m.heating()
	m.splitting()
	m.bins()
	m.feed()
	m.stockOfWorms()
	m.castings()
	m.crew()
	m.cash()
	return m
}

func (m *model) columns() {
	f := m.farm
	p := &m.problem
	grid := func(n int, add func(i int, t int, at Period) program.Column) [][]int {
		out := make([][]int, n)
		for i := range out {
			for t, at := range m.periods {
				out[i] = append(out[i], p.Add(add(i, t, at)))
			}
		}
		return out
	}
	row := func(add func(t int, at Period) program.Column) (out []int) {
		for t, at := range m.periods {
			out = append(out, p.Add(add(t, at)))
		}
		return out
	}
	begun := func(t int, high float64) float64 { // nothing is done before the farm begins
		if t < m.first {
			return 0
		}
		return high
	}
	m.start = grid(len(f.Mixes), func(i, t int, at Period) program.Column {
		return program.Column{Cost: -f.Mixes[i].StartCost, High: begun(t, inf), Whole: at.Weeks == 1 && len(m.periods) > 1}
	})
	m.harvest = grid(len(f.Mixes), func(_, t int, at Period) program.Column {
		return program.Column{High: inf, Whole: at.Weeks == 1 && t-m.first < wholeBins && len(m.periods) > 1}
	})
	for i := range f.Mixes {
		m.begun, m.taken = append(m.begun, m.running(m.start[i])), append(m.taken, m.running(m.harvest[i]))
	}
	m.collect = grid(len(f.Feedstocks), func(i, t int, at Period) program.Column {
		return program.Column{Cost: -f.Feedstocks[i].Cost, High: begun(t, at.in(f.Feedstocks[i].Arrives, true))}
	})
	m.lies = grid(len(f.Feedstocks), func(i, _ int, _ Period) program.Column { return program.Column{High: f.Feedstocks[i].StoreM3} })
	m.sell = grid(len(f.Products), func(i, t int, at Period) program.Column {
		x := f.Products[i]
		return program.Column{Cost: x.Price, High: begun(t, 1) * math.Max(at.in(x.Demand, false), at.in(x.Promised, false))}
	})
	m.short = grid(len(f.Products), func(i, _ int, at Period) program.Column {
		x := f.Products[i]
		return program.Column{Cost: -x.Penalty, High: at.in(x.Promised, false)}
	})
	m.worms = row(func(int, Period) program.Column { return program.Column{High: inf} })
	m.stock = row(func(int, Period) program.Column { return program.Column{High: inf} })
	m.over = row(func(_ int, at Period) program.Column {
		return program.Column{Cost: -f.OverPrice, High: f.Overtime * at.Weeks}
	})
	for i, x := range f.Products {
		for t, at := range m.periods {
			m.cap(OfDemand, x.Name, "demand for "+x.Name, "piece a week", t, m.sell[i][t], at.Weeks)
			m.problem.Hold(program.Row{Low: at.in(x.Promised, false), High: inf, Terms: []program.Term{{Column: m.sell[i][t], Coefficient: 1}, {Column: m.short[i][t], Coefficient: 1}}})
		}
	}
}

// limit gives the limit of that kind and thing, and makes it. Its name is not enough: a
// feedstock may be called castings.
func (m *model) limit(kind Kind, of, name, unit string) *limit {
	for i := range m.limits {
		if m.limits[i].kind == kind && m.limits[i].of == of {
			return &m.limits[i]
		}
	}
	m.limits = append(m.limits, limit{name: name, unit: unit, kind: kind, of: of})
	return &m.limits[len(m.limits)-1]
}

// hold adds a row that is watched as a limit; one more of it raises the row's
// bound by that much, 0 for not at all.
func (m *model) hold(kind Kind, name, unit string, t int, by float64, r program.Row) {
	l := m.limit(kind, "", name, unit)
	b := bound{row: len(m.problem.Rows), column: -1, period: t, by: by}
	l.watch = append(l.watch, b)
	if by != 0 {
		l.more = append(l.more, b)
	}
	m.problem.Hold(r)
}

// cap watches a column as a limit, of which one more raises its bound.
func (m *model) cap(kind Kind, of, name, unit string, t, column int, by float64) {
	l := m.limit(kind, of, name, unit)
	b := bound{row: -1, column: column, period: t, by: by}
	l.watch = append(l.watch, b)
	l.more = append(l.more, b)
}

// ripe says whether a bin begun in period s is ripe when period t begins.
func (m *model) ripe(mix, s, t int) bool {
	return m.farm.done(m.periods[s].From)+m.farm.Mixes[mix].RipeWeeks <= m.farm.done(m.periods[t].From)+1e-9
}

// before are the bins of a mix that run already, ripe by the beginning of t or
// all of them.
func (m *model) before(mix, t int, ripe bool) float64 {
	n := 0.0
	for _, r := range m.farm.Running {
		if r.Mix == m.farm.Mixes[mix].Name && (!ripe || r.RipeIn <= m.farm.done(m.periods[t].From)+1e-9) {
			n += r.Bins
		}
	}
	return n
}

// inUse are the bins that hold a bed in a period, as terms and those from before:
// all begun until then, without those harvested before it, each as much as its mix
// counts. One harvested in the period is begun anew in the next.
func (m *model) inUse(t int, counts func(Mix) float64) (terms []program.Term, from float64) {
	for i, mix := range m.farm.Mixes {
		each := counts(mix)
		from += m.before(i, t, false) * each
		terms = append(terms, program.Term{Column: m.begun[i][t], Coefficient: each})
		if t > 0 {
			terms = append(terms, program.Term{Column: m.taken[i][t-1], Coefficient: -each})
		}
	}
	return terms, from
}

// one counts every bin once.
func one(Mix) float64 { return 1 }

// fed are the weeks in which bins eat in a period, at a pace of 1, as terms and
// those of bins from before, each week as much as its mix counts.
func (m *model) fed(t int, counts func(Mix) float64) (terms []program.Term, from float64) {
	at := m.periods[t]
	for i, mix := range m.farm.Mixes {
		each := counts(mix)
		if each == 0 {
			continue
		}
		terms = append(terms, weighed(m.begun[i], t, func(s int) float64 {
			begin := m.farm.done(m.periods[s].From)
			return each * m.ate(at, begin, begin+mix.RipeWeeks)
		})...)
		for _, b := range m.farm.Running {
			if b.Mix == mix.Name {
				from += b.Bins * m.ate(at, 0, b.RipeIn) * each
			}
		}
	}
	return terms, from
}

// bins holds what runs to the bins there are, and what is harvested to what is
// ripe. model.md (V2).
func (m *model) bins() {
	for t := range m.periods {
		terms, from := m.inUse(t, one)
		if t == len(m.periods)-1 && m.farm.EndBins > 0 { // those harvested in it hold none after it
			left := slices.Clone(terms)
			for i := range m.farm.Mixes {
				left = append(left, program.Term{Column: m.harvest[i][t], Coefficient: -1})
			}
			m.problem.Hold(program.Row{Low: m.farm.EndBins - from, High: inf, Terms: left})
		}
		m.hold(OfBins, "bins", "bin", t, 1, program.Row{Low: -inf, High: m.farm.Bins - from, Terms: terms})
	}
	for i := range m.farm.Mixes {
		for t := range m.periods {
			r := program.Row{Low: -inf, High: m.before(i, t, true), Terms: []program.Term{{Column: m.taken[i][t], Coefficient: 1}}}
			for s := t; s >= 0; s-- {
				if m.ripe(i, s, t) {
					r.Terms = append(r.Terms, program.Term{Column: m.begun[i][s], Coefficient: -1})
					break
				}
			}
			r.Terms = append(r.Terms, m.sooner(i, t)...)
			r.Terms = append(r.Terms, m.later(i, t)...)
			m.problem.Hold(r)
		}
	}
}

// ate is for how many weeks, at a pace of 1, a bin eats in a period that begins and
// is ripe when so much is done.
func (m *model) ate(at Period, from, ripe float64) float64 {
	return math.Max(0, math.Min(m.farm.done(at.From+at.Weeks), ripe)-math.Max(m.farm.done(at.From), from))
}

// feed keeps the stores. model.md (V3).
func (m *model) feed() {
	f := m.farm
	for k, x := range f.Feedstocks {
		for t, at := range m.periods {
			keeps := math.Pow(1-x.Spoils, at.Weeks)
			r := program.Row{Terms: []program.Term{{Column: m.lies[k][t], Coefficient: 1}, {Column: m.collect[k][t], Coefficient: -1}}}
			if t > 0 {
				r.Terms = append(r.Terms, program.Term{Column: m.lies[k][t-1], Coefficient: -keeps})
			} else {
				r.Low = x.StartM3 * keeps
			}
			eaten, running := m.fed(t, func(mix Mix) (week float64) {
				for _, q := range mix.Parts {
					if q.Feedstock == x.Name {
						week += mix.FeedM3Week * q.Share
					}
				}
				return week
			})
			r.Terms = append(r.Terms, eaten...)
			for i, mix := range f.Mixes {
				for _, q := range mix.Parts {
					if q.Feedstock == x.Name && mix.StartM3 > 0 {
						r.Terms = append(r.Terms, program.Term{Column: m.start[i][t], Coefficient: mix.StartM3 * q.Share})
					}
				}
			}
			r.Low -= running
			r.High = r.Low
			m.problem.Hold(r)
			m.cap(OfFeed, x.Name, x.Name+" to be had", "m3 a week", t, m.collect[k][t], at.Weeks)
			m.cap(OfFeedStore, x.Name, "store of "+x.Name, "m3", t, m.lies[k][t], 1)
		}
	}
}

// stockOfWorms lets worms grow as far as there is room, and holds bins to what
// they must hold. model.md (V4).
func (m *model) stockOfWorms() {
	f := m.farm
	for t, at := range m.periods {
		grows := m.grows(at, f.Worms.Growth)
		r := program.Row{Low: -inf, Terms: []program.Term{{Column: m.worms[t], Coefficient: 1}}}
		switch {
		case t > m.first:
			r.Terms = append(r.Terms, program.Term{Column: m.worms[t-1], Coefficient: -grows})
		case t == m.first:
			r.High = f.Worms.StartKg * grows
		}
		r.Terms = append(r.Terms, m.warmGrowth(t, grows)...)
		for i, x := range f.Products {
			if x.WormsKg > 0 {
				r.Terms = append(r.Terms, program.Term{Column: m.sell[i][t], Coefficient: x.WormsKg})
			}
		}
		if t == m.first {
			m.limit(OfWorms, "", "worms", "kg at the beginning").more = []bound{{row: len(m.problem.Rows), column: -1, by: grows}}
		}
		m.problem.Hold(r)

		// room: bins in use hold most_kg_bin each at most
		use, from := m.inUse(t, func(Mix) float64 { return -f.Worms.MostKg })
		m.problem.Hold(program.Row{Low: -inf, High: -from, Terms: append(use, program.Term{Column: m.worms[t], Coefficient: 1})})

		// stock: what runs holds what it must, from the worms at the beginning
		hold, held := m.inUse(t, func(mix Mix) float64 { return mix.WormsKg })
		need := program.Row{Low: -inf, High: -held, Terms: hold}
		switch {
		case t > m.first:
			need.Terms = append(need.Terms, program.Term{Column: m.worms[t-1], Coefficient: -1})
		case t == m.first:
			need.High += f.Worms.StartKg
		}
		m.hold(OfWorms, "worms", "kg at the beginning", t, 0, need)
		if t == m.first {
			l := m.limit(OfWorms, "", "worms", "")
			l.more = append(l.more, bound{row: len(m.problem.Rows) - 1, column: -1, by: 1})
		}
	}
	m.problem.Hold(program.Row{Low: m.endKg(), High: inf, Terms: []program.Term{{Column: m.worms[len(m.periods)-1], Coefficient: 1}}})
}

// grows is the factor by which worms grow over a period.
func (m *model) grows(at Period, growth []float64) float64 {
	out := 1.0
	for w := range int(at.Weeks) {
		out *= 1 + Period{at.From + float64(w), 1}.in(growth, true)
	}
	return out
}

// endKg are the worms that must be left.
func (m *model) endKg() float64 {
	if m.farm.Worms.EndKg != nil {
		return *m.farm.Worms.EndKg
	}
	return m.farm.Worms.StartKg
}

// castings are harvested, cured, kept and sold. model.md (V5).
func (m *model) castings() {
	f := m.farm
	for t, at := range m.periods {
		r := program.Row{Terms: []program.Term{{Column: m.stock[t], Coefficient: 1}}}
		room := program.Row{Low: -inf, High: f.StoreM3, Terms: []program.Term{{Column: m.stock[t], Coefficient: 1}}}
		if t > 0 {
			r.Terms = append(r.Terms, program.Term{Column: m.stock[t-1], Coefficient: -math.Pow(1-f.AgesPer, at.Weeks)})
		} else {
			r.Low = f.StockM3
		}
		for i, mix := range f.Mixes {
			// to be sold from the first period that begins with the cure over
			cured := func(s, t int) bool { return m.periods[s].From+f.CureWeeks <= m.periods[t].From+1e-9 }
			room.Terms = append(room.Terms, weighed(m.taken[i], t, func(s int) float64 {
				if cured(s, t) {
					return 0
				}
				return mix.CastingsM3
			})...)
			r.Terms = append(r.Terms, weighed(m.taken[i], t, func(s int) float64 {
				if cured(s, t) && (s == t || !cured(s, t-1)) {
					return -mix.CastingsM3
				}
				return 0
			})...)
		}
		for i, x := range f.Products {
			if x.CastingsM3 > 0 {
				r.Terms = append(r.Terms, program.Term{Column: m.sell[i][t], Coefficient: x.CastingsM3})
			}
		}
		r.High = r.Low
		m.problem.Hold(r)
		m.hold(OfStore, "store of castings", "m3", t, 1, room)
	}
}

// crew holds the hours. model.md (V6).
func (m *model) crew() {
	f := m.farm
	for t, at := range m.periods {
		r := program.Row{Low: -inf, High: at.in(f.Crew, true), Terms: []program.Term{{Column: m.over[t], Coefficient: -1}}}
		for i := range f.Mixes {
			r.Terms = append(r.Terms, program.Term{Column: m.start[i][t], Coefficient: f.Hours.Start}, program.Term{Column: m.harvest[i][t], Coefficient: f.Hours.Harvest})
		}
		feeding, running := m.fed(t, func(Mix) float64 { return f.Hours.Feed })
		r.Terms = append(r.Terms, feeding...)
		r.High -= running
		if f.Split != nil {
			for k := range m.kinds {
				if c := m.split[k][t]; c >= 0 {
					r.Terms = append(r.Terms, program.Term{Column: c, Coefficient: f.Split.Hours})
				}
			}
		}
		m.hold(OfCrew, "crew", "hour a week", t, at.Weeks, r)
	}
}
