package season

import (
	"math"
	"slices"

	"wormyard/program"
)

// HeatCaution is said wherever a plan heats. Common practice, no source.
const HeatCaution = "Heat safely: no flame and no hot flue near straw, sacks and dust; burned gas goes outside through a flue, with an alarm for carbon monoxide in the barn; cables and heaters stay dry and on their own fuse; let in the air that worms and people need, and watch for ammonia in a barn that is shut."

// kind is bins that were or may be begun alike: those of a mix begun in a period, or
// a group that runs already.
type kind struct {
	mix   int
	begun int     // period; -1 for those that run
	run   Running // those
	from  float64 // done when they are begun, in weeks at a pace of 1
	ripe  float64 // done when they are ripe
}

// early says that a kind is ripe by a period, if it is heated enough before.
type early struct {
	period int
	column int            // bins that are so
	is     int            // column: that there is heat enough
	lacks  float64        // what they lack without heat, in weeks at a pace of 1
	warmed []program.Term // what heat brings of it
}

// bins are the bins of a kind, as a term, or those that run.
func (m *model) of(k kind, coefficient float64) (terms []program.Term, run float64) {
	if k.begun < 0 {
		return nil, coefficient * k.run.Bins
	}
	return []program.Term{{Column: m.start[k.mix][k.begun], Coefficient: coefficient}}, 0
}

// list gives every kind of bins.
func (m *model) list() {
	f := &m.farm
	for i, mix := range f.Mixes {
		for _, r := range f.Running {
			if r.Mix == mix.Name {
				m.kinds = append(m.kinds, kind{mix: i, begun: -1, run: r, ripe: r.RipeIn})
			}
		}
		for s := m.first; s < len(m.periods); s++ {
			from := f.done(m.periods[s].From)
			m.kinds = append(m.kinds, kind{mix: i, begun: s, from: from, ripe: from + mix.RipeWeeks})
		}
	}
}

// warmer is by how much more a bin does in a period that is heated so, in weeks at a
// pace of 1.
func (m *model) warmer(h Heat, at Period) float64 {
	with, without := at.in(h.Pace, true), at.Weeks
	if len(m.farm.Pace) > 0 {
		without = at.in(m.farm.Pace, true)
	}
	return with - without
}

// is names a way of heating.
func (h Heat) is() Heated { return Heated{h.Barn, h.Degrees} }

// heating lets barns be heated by the period: each in a way or not, all through it. Bins
// are ripe by a period if heat has brought what they lacked. model.md (V12).
func (m *model) heating() {
	m.list()
	f, p := &m.farm, &m.problem
	m.early = make([][]early, len(m.kinds))
	if len(f.Heat) == 0 {
		return
	}
	most := make([]float64, len(m.periods)) // what heat of all barns brings at most
	m.heat = make([][]int, len(f.Heat))
	for l, h := range f.Heat {
		for t, at := range m.periods {
			more := m.warmer(h, at)
			grows := len(h.Growth) > 0 && m.grows(at, h.Growth) > m.grows(at, f.Worms.Growth)+1e-12
			if t < m.first || more <= 1e-9 && !grows {
				m.heat[l] = append(m.heat[l], -1)
				continue
			}
			m.heat[l] = append(m.heat[l], p.Add(program.Column{Cost: -at.in(h.Cost, true), High: 1, Whole: true}))
		}
	}
	for _, barn := range f.heatable() {
		for t, at := range m.periods {
			r := program.Row{Low: -inf, High: 1}
			brings := 0.0
			for l, h := range f.Heat {
				if c := m.heat[l][t]; c >= 0 && h.Barn == barn {
					r.Terms = append(r.Terms, program.Term{Column: c, Coefficient: 1})
					brings = math.Max(brings, m.warmer(h, at))
				}
			}
			most[t] += brings
			if len(r.Terms) > 1 {
				p.Hold(r)
			}
		}
	}
	for k, x := range m.kinds {
		var warmed []program.Term
		brings := 0.0
		for t := max(x.begun, m.first); t < len(m.periods)-1; t++ {
			brings += most[t]
			for l, h := range f.Heat {
				if c := m.heat[l][t]; c >= 0 {
					warmed = append(warmed, program.Term{Column: c, Coefficient: m.warmer(h, m.periods[t])})
				}
			}
			lacks := x.ripe - f.done(m.periods[t+1].From)
			if lacks <= 1e-9 {
				break
			}
			if brings < lacks-1e-9 {
				continue
			}
			is := p.Add(program.Column{High: 1, Whole: true})
			most := m.mostOf(x)
			bins := p.Add(program.Column{High: most})
			enough := program.Row{Low: 0, High: inf, Terms: []program.Term{{Column: is, Coefficient: -lacks}}}
			for _, w := range warmed { // one period that brings all that they lack brings no more than that
				enough.Terms = append(enough.Terms, program.Term{Column: w.Column, Coefficient: math.Min(w.Coefficient, lacks)})
			}
			p.Hold(enough)
			p.Hold(program.Row{Low: -inf, High: 0, Terms: []program.Term{{Column: bins, Coefficient: 1}, {Column: is, Coefficient: -most}}})
			there, run := m.of(x, -1)
			p.Hold(program.Row{Low: -inf, High: -run, Terms: append(there, program.Term{Column: bins, Coefficient: 1})})
			m.early[k] = append(m.early[k], early{t + 1, bins, is, lacks, enough.Terms[1:]})
		}
	}
	m.inTurn()
}

// inTurn says what follows of the heat: bins that are ripe by it in a period are so in the
// next, and so are those of their mix that were begun before them, or lacked no more. No
// plan is less for it, and the search has less to try. model.md (V12).
func (m *model) inTurn() {
	then := func(is, too int) {
		m.problem.Hold(program.Row{Low: -inf, High: 0, Terms: []program.Term{{Column: is, Coefficient: 1}, {Column: too, Coefficient: -1}}})
	}
	before := map[[2]int]early{} // by mix and period
	for k, x := range m.kinds {
		for i, e := range m.early[k] {
			if i > 0 {
				then(m.early[k][i-1].is, e.is)
			}
			at := [2]int{x.mix, e.period}
			if b, some := before[at]; some && b.lacks <= e.lacks+1e-9 {
				then(e.is, b.is)
			}
			before[at] = e
		}
	}
}

// mostOf is how many bins of a kind there can be at most.
func (m *model) mostOf(x kind) float64 {
	f := &m.farm
	if x.begun < 0 {
		return math.Min(x.run.Bins, f.Bins)
	}
	at := m.periods[x.begun]
	if f.Hours.Start <= 0 {
		return f.Bins
	}
	return math.Min(f.Bins, (at.in(f.Crew, true)+f.Overtime*at.Weeks)/f.Hours.Start)
}

// sooner are the bins of a mix that are ripe by a period because it was heated.
func (m *model) sooner(mix, t int) (terms []program.Term) {
	for k, x := range m.kinds {
		for _, e := range m.early[k] {
			if x.mix == mix && e.period == t {
				terms = append(terms, program.Term{Column: e.column, Coefficient: -1})
			}
		}
	}
	return terms
}

// heatable names the barns that have a way of heating, each once.
func (f *Farm) heatable() (out []string) {
	for _, h := range f.Heat {
		if !slices.Contains(out, h.Barn) {
			out = append(out, h.Barn)
		}
	}
	return out
}

// warmGrowth is what worms grow more in a period that is heated, as terms: at most by
// the difference for those there are, and nothing where it is not heated. model.md (V12).
func (m *model) warmGrowth(t int, grows float64) (terms []program.Term) {
	f, p := &m.farm, &m.problem
	for l, h := range f.Heat {
		c := m.heat[l][t]
		if c < 0 || len(h.Growth) == 0 {
			continue
		}
		more := m.grows(m.periods[t], h.Growth) - grows
		if more <= 1e-12 {
			continue
		}
		kg := p.Add(program.Column{High: more * math.Max(f.Worms.MostKg*f.Bins, f.Worms.StartKg)})
		p.Hold(program.Row{Low: -inf, High: 0, Terms: []program.Term{{Column: kg, Coefficient: 1}, {Column: c, Coefficient: -p.Columns[kg].High}}})
		if t > m.first {
			p.Hold(program.Row{Low: -inf, High: 0, Terms: []program.Term{{Column: kg, Coefficient: 1}, {Column: m.worms[t-1], Coefficient: -more}}})
		} else {
			p.Columns[kg].High = more * f.Worms.StartKg
		}
		terms = append(terms, program.Term{Column: kg, Coefficient: -1})
	}
	return terms
}

// wholeBins is in how many periods whole bins are harvested and split; later ones are
// planned anew before they come, and the search is quicker with parts.
const wholeBins = 4

// splitting lets a bin be begun only with the worms of one that was harvested before
// or that is split; each is split once, before it is ripe. Where nothing runs, the
// worms of the beginning are at hand in the first period. model.md (V13).
func (m *model) splitting() {
	f, p := &m.farm, &m.problem
	if f.Split == nil {
		return
	}
	m.split = make([][]int, len(m.kinds))
	in := make([][]program.Term, len(m.periods)) // split in a period
	for k, x := range m.kinds {
		var each []program.Term
		for t, at := range m.periods {
			c := -1
			if t > x.begun && t >= m.first && f.done(at.From) < x.ripe-1e-9 {
				c = p.Add(program.Column{High: f.Bins, Whole: t-m.first < wholeBins && len(m.periods) > 1})
				each = append(each, program.Term{Column: c, Coefficient: 1})
				in[t] = append(in[t], program.Term{Column: c, Coefficient: 1})
			}
			m.split[k] = append(m.split[k], c)
		}
		m.parted = append(m.parted, -1)
		if len(each) == 0 {
			continue
		}
		m.parted[k] = m.total(each...)
		once, run := m.of(x, -1)
		once = append(once, program.Term{Column: m.parted[k], Coefficient: 1})
		p.Hold(program.Row{Low: -inf, High: -run, Terms: once})
		for _, e := range m.early[k] { // what was split is not taken the sooner
			p.Hold(program.Row{Low: -inf, High: -run, Terms: append([]program.Term{{Column: e.column, Coefficient: 1}}, once...)})
		}
	}
	until := -1 // split until the end of the period before
	for t := m.first; t < len(m.periods); t++ {
		r := program.Row{Low: -inf}
		now := program.Row{Low: -inf, Terms: slices.Clone(in[t])} // what is split off is begun at once
		for i := range f.Mixes {
			now.Terms = append(now.Terms, program.Term{Column: m.start[i][t], Coefficient: -1})
			r.Terms = append(r.Terms, program.Term{Column: m.begun[i][t], Coefficient: 1})
			if len(f.Running) == 0 {
				r.Terms = append(r.Terms, program.Term{Column: m.begun[i][m.first], Coefficient: -1})
			}
			if t > 0 {
				r.Terms = append(r.Terms, program.Term{Column: m.taken[i][t-1], Coefficient: -1})
			}
		}
		if until >= 0 {
			in[t] = append(in[t], program.Term{Column: until, Coefficient: 1})
		}
		if until = m.total(in[t]...); len(in[t]) > 0 {
			r.Terms = append(r.Terms, program.Term{Column: until, Coefficient: -1})
		}
		p.Hold(r)
		p.Hold(now)
	}
}

// later are the bins of a mix that were split and so are not ripe yet in a period in
// which they would be. model.md (V13).
func (m *model) later(mix, t int) (terms []program.Term) {
	f := &m.farm
	if f.Split == nil {
		return nil
	}
	done := f.done(m.periods[t].From)
	for k, x := range m.kinds {
		if x.mix != mix || done < x.ripe-1e-9 || done >= x.ripe+f.Split.Back-1e-9 {
			continue
		}
		if c := m.parted[k]; c >= 0 {
			terms = append(terms, program.Term{Column: c, Coefficient: 1})
		}
	}
	return terms
}

// chosen reads what was heated and split in a period.
func (m *model) chosen(v []float64, t int, s *Step) {
	const half, dust = 0.5, 1e-6
	for l, h := range m.farm.Heat {
		if c := m.heat[l][t]; c >= 0 && v[c] > half {
			s.HeatK = math.Max(s.HeatK, h.Degrees)
			s.Heat = append(s.Heat, h.is())
		}
	}
	if m.farm.Split == nil {
		return
	}
	for k, x := range m.kinds {
		if c := m.split[k][t]; c >= 0 && v[c] > dust {
			one := Splitting{Mix: m.farm.Mixes[x.mix].Name, Begun: -1, RipeIn: x.run.RipeIn, Bins: v[c]}
			if x.begun >= 0 {
				one.Begun = m.periods[x.begun].From
			}
			s.Splits = append(s.Splits, one)
		}
	}
}

// decided are the columns that say yes or no: kept as they are where it is asked what
// one more of a limit is worth.
func (m *model) decided() (out []int) {
	for _, list := range m.heat {
		for _, c := range list {
			if c >= 0 {
				out = append(out, c)
			}
		}
	}
	return out
}

// Keep gives the way of keeping a barn at a warmth [°C] from the air in it hour by hour,
// from the beginning of the plan on: of each week the mean of what the air lacks warms the
// beds, and the sum of it, hour by hour, takes fuel. bedC is the usual warmth of the beds
// in that barn, of which it holds so large a part of the farm's; pace and growth are those
// of the farm without heat. The second is what the heater must give in the coldest of the
// hours [kW]. False where the air is never colder, so that there is nothing to heat.
// model.md (V12).
func Keep(barn string, atC float64, airC, bedC []float64, part float64, f Farm, n Nature, lossWK, kwhPrice float64) (h Heat, kW float64, any bool) {
	h.Barn = barn
	for w, c := range bedC {
		lacks, hours := 0.0, 0.0
		for k := w * 168; k < min((w+1)*168, len(airC)); k++ {
			d := math.Max(0, atC-airC[k])
			lacks, hours = lacks+d, hours+1
			kW = math.Max(kW, lossWK*d/1000)
		}
		k := lacks / math.Max(hours, 1)
		more := part * (n.PaceAt(c+k) - n.PaceAt(c))
		h.Degrees = math.Max(h.Degrees, k)
		h.Pace = append(h.Pace, math.Max(0, of(f.Pace, w, 1)+more))
		h.Growth = append(h.Growth, math.Max(0, of(f.Worms.Growth, w, 0)+part*(Grows(n.Doubling[1], n.PaceAt(c+k))-Grows(n.Doubling[1], n.PaceAt(c)))))
		h.Cost = append(h.Cost, HeatCost(lossWK, k, kwhPrice))
	}
	return h, kW, h.Degrees >= 0.1
}

// HeatCost is what it costs to keep a barn of that loss [W/K] so many degrees warmer
// for a week, at so much a kilowatt-hour of heat, the loss of the heater included:
// loss · degrees · 168 h. The loss is that of docs/model.md C (walls, roof, slab and
// air); what more air the heat drives is left out. model.md (V12).
func HeatCost(lossWK, degrees, kwhPrice float64) float64 {
	return lossWK * degrees * 168 / 1000 * kwhPrice
}
