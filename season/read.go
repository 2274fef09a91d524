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
			if l.kind == OfCrew {
				r := m.problem.Rows[l.watch[t].row]
				s.CrewHours = at.in(f.Crew, true) - r.High + sum(r.Terms, v) + v[m.over[t]]
			}
		}
		m.chosen(v, t, &s)
		steps = append(steps, s)
		for i, x := range f.Products {
			// by what is sold: where nothing is paid for it, the column may say anything
			if n := at.in(x.Promised, false) - v[m.sell[i][t]]; n > dust {
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

// tight gives a plan the limits that it reaches and of which one more is worth
// something, by solving once more with bins in parts and one more of each, heated as
// the plan heats; and what its heating is worth, likewise without it. What a
// plan earns is concave in its limits, so that one more is worth no more than its
// dual price; where that is nothing it is not solved for. What it returns is what the
// plan with bins in parts is worth, which none with whole ones passes; infinity
// where there was no time for it. model.md (V6).
func (m *model) tight(ctx context.Context, solve program.Solver, v []float64, plan *Plan) (float64, error) {
	relaxed := func(more []bound, as map[int]float64) (program.Solution, error) {
		p := m.inParts(m.problem, as)
		p.Rows = slices.Clone(p.Rows)
		for _, b := range more {
			if b.column >= 0 {
				p.Columns[b.column].High += b.by
			} else {
				p.Rows[b.row].High += b.by
			}
		}
		return solve(ctx, p)
	}
	decided := map[int]float64{}
	for _, c := range m.decided() {
		decided[c] = math.Round(v[c])
	}
	first, err := relaxed(nil, decided)
	if err != nil || first.Status != program.Optimal {
		return inf, err
	}
	base := first.Objective
	free := base
	if len(decided) > 0 {
		all, err := relaxed(nil, nil)
		if err != nil {
			return inf, err
		}
		if free = inf; all.Status == program.Optimal {
			free = all.Objective
		}
		if err := m.warmed(base, decided, plan, func(as map[int]float64) (program.Solution, error) { return relaxed(nil, as) }); err != nil {
			return inf, err
		}
	}
	little := 1e-6 * math.Max(1, math.Abs(base))
	out := &plan.Tight
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
		if first.RowWorth != nil && l.price(first) <= little {
			continue
		}
		with, err := relaxed(l.more, decided)
		if err != nil {
			return inf, err
		}
		if with.Status != program.Optimal { // time is up
			break
		}
		if x.Worth = with.Objective - base; x.Worth > little {
			*out = append(*out, x)
		}
	}
	slices.SortStableFunc(*out, func(a, b Tight) int {
		switch {
		case a.Worth > b.Worth:
			return -1
		case a.Worth < b.Worth:
			return 1
		}
		return 0
	})
	return free, nil
}

// price is the sum of the dual prices of a limit's bounds, by as much as one more
// raises each.
func (l *limit) price(s program.Solution) float64 {
	sum := 0.0
	for _, b := range l.more {
		if b.column >= 0 {
			sum += b.by * math.Max(0, s.ColumnWorth[b.column])
		} else {
			sum += b.by * math.Max(0, s.RowWorth[b.row])
		}
	}
	return sum
}
