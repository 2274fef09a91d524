package season

import (
	"context"
	"math"
	"slices"

	"wormyard/program"
)

// read turns what was solved back into what is done.
func (m *model) read(v []float64) (steps []Step, unmet []Unmet) {
	f := m.farm
	const dust = 1e-6
	named := func(names func(int) string, columns [][]int, t int) map[string]float64 {
		out := map[string]float64{}
		for i := range columns {
			if x := v[columns[i][t]]; x > dust {
				out[names(i)] = x
			}
		}
		return out
	}
	mix := func(i int) string { return f.Mixes[i].Name }
	for t, at := range m.periods {
		s := Step{
			Week: at.From, Weeks: at.Weeks, Start: named(mix, m.start, t), Harvest: named(mix, m.harvest, t),
			Collect: named(func(i int) string { return f.Feedstocks[i].Name }, m.collect, t),
			Sell:    named(func(i int) string { return f.Products[i].Name }, m.sell, t),
			WormsKg: v[m.worms[t]], StockM3: v[m.stock[t]], Overtime: v[m.over[t]],
		}
		use, from := m.inUse(t, one)
		s.Bins = from + sum(use, v)
		for _, l := range m.limits {
			if l.name == "crew" {
				r := m.problem.Rows[l.watch[t].row]
				s.CrewHours = at.in(f.Crew, true) - r.High + sum(r.Terms, v) + v[m.over[t]]
			}
		}
		steps = append(steps, s)
		for i, x := range f.Products {
			if n := v[m.short[i][t]]; n > dust {
				unmet = append(unmet, Unmet{Product: x.Name, Week: at.From, Pieces: n})
			}
		}
	}
	return steps, unmet
}

func sum(terms []program.Term, v []float64) float64 {
	out := 0.0
	for _, x := range terms {
		out += x.Coefficient * v[x.Column]
	}
	return out
}

// tight are the limits that the plan reaches and of which one more is worth
// something, by solving once more with bins in parts and one more of each.
// model.md (V6).
func (m *model) tight(ctx context.Context, solve program.Solver, v []float64) ([]Tight, error) {
	relaxed := func(more []bound) (float64, error) {
		p := m.problem
		p.Columns = slices.Clone(p.Columns)
		p.Rows = slices.Clone(p.Rows)
		for i := range p.Columns {
			p.Columns[i].Whole = false
		}
		for _, b := range more {
			if b.column >= 0 {
				p.Columns[b.column].High += b.by
			} else {
				p.Rows[b.row].High += b.by
			}
		}
		got, err := solve(ctx, p)
		if err != nil || got.Values == nil {
			return math.NaN(), err
		}
		return got.Objective, nil
	}
	base, err := relaxed(nil)
	if err != nil || math.IsNaN(base) {
		return nil, err
	}
	var out []Tight
	for _, l := range m.limits {
		x := Tight{Limit: l.name, Kind: l.kind, Of: l.of, Unit: l.unit}
		for _, b := range l.watch {
			at, high := 0.0, 0.0
			if b.column >= 0 {
				at, high = v[b.column], m.problem.Columns[b.column].High
			} else {
				r := m.problem.Rows[b.row]
				at, high = sum(r.Terms, v), r.High
			}
			if high-at <= 1e-6*math.Max(1, math.Abs(high)) && (b.column < 0 || high > 0) {
				x.Weeks = append(x.Weeks, m.periods[b.period].From)
			}
		}
		if len(x.Weeks) == 0 {
			continue
		}
		with, err := relaxed(l.more)
		if err != nil {
			return nil, err
		}
		if x.Worth = with - base; x.Worth > 1e-6*math.Max(1, math.Abs(base)) {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b Tight) int {
		switch {
		case a.Worth > b.Worth:
			return -1
		case a.Worth < b.Worth:
			return 1
		}
		return 0
	})
	return out, nil
}
