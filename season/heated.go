package season

import (
	"context"
	"maps"
	"math"
	"slices"

	"wormyard/program"
)

// inParts is a programme with bins in parts, heated in a way; nil for in any.
func (m *model) inParts(p program.Problem, way map[int]float64) program.Problem {
	p = m.held(p, way)
	for i := range p.Columns {
		p.Columns[i].Whole = false
	}
	return p
}

// held is a programme that is heated in a way. With it stands which bins are ripe by heat:
// else a plan in parts would take them for ripe in part with half the heat.
func (m *model) held(p program.Problem, way map[int]float64) program.Problem {
	p.Start, p.Columns = nil, slices.Clone(p.Columns)
	if way == nil {
		return p
	}
	for c, at := range way {
		p.Columns[c].Low, p.Columns[c].High = at, at
	}
	for _, list := range m.early {
		for _, e := range list {
			brings := 0.0
			for _, w := range e.warmed {
				brings += w.Coefficient * p.Columns[w.Column].Low
			}
			if brings < e.lacks-1e-9 {
				p.Columns[e.is].High = 0
			}
		}
	}
	return p
}

// settledGap is how close a plan is sought of which the heating is settled: it closes at
// once, and what is heated would be weighed by where the search happened to stop.
const settledGap = 1e-4

func (m *model) settled(p program.Problem, way map[int]float64) program.Problem {
	p = m.held(p, way)
	p.Gap = math.Min(p.Gap, settledGap)
	return p
}

// search solves a programme. What may be heated makes most of the time, and where it is
// settled the rest closes at once. So plans heated in a few ways are found first: not at
// all, as the last plan had it, and as the programme in parts says. The search for all
// begins from the best of them, and is left out where none can be better by more than the
// gap.
// model.md (V12).
func (m *model) search(ctx context.Context, solve program.Solver, asked program.Problem) (program.Solution, error) {
	open := slices.DeleteFunc(m.decided(), func(c int) bool { return asked.Columns[c].Low == asked.Columns[c].High })
	if len(open) == 0 {
		return solve(ctx, asked)
	}
	loose, err := solve(ctx, m.inParts(asked, nil))
	if err != nil || loose.Status == program.Infeasible {
		return loose, err
	}
	var best program.Solution
	if asked.Start != nil {
		best = program.Solution{Status: program.Stopped, Values: asked.Start, Objective: asked.Objective(asked.Start)}
	}
	ways := []map[int]float64{as(open, nil), m.heatedAs(m.last, open), as(open, loose.Values)}
	for i, way := range ways {
		if slices.ContainsFunc(ways[:i], func(other map[int]float64) bool { return maps.Equal(way, other) }) {
			continue
		}
		got, err := solve(ctx, m.settled(asked, way))
		if err != nil {
			return got, err
		}
		if got.Values != nil && (best.Values == nil || got.Objective > best.Objective) {
			best = got
		}
	}
	got := best
	if best.Values != nil && loose.Status == program.Optimal && loose.Objective-best.Objective <= asked.Gap*math.Abs(best.Objective) {
		got.Status, got.Bound = program.Optimal, loose.Objective
	} else {
		asked.Start = best.Values
		if got, err = solve(ctx, asked); err != nil {
			return got, err
		}
		if got.Status == program.Stopped && best.Values != nil && (got.Values == nil || got.Objective < best.Objective) {
			got.Values, got.Objective = best.Values, best.Objective
		}
	}
	if got.Values == nil {
		return got, nil
	}
	out, err := m.trimmed(ctx, solve, asked, open, got)
	out.Status, out.Bound = got.Status, got.Bound
	return out, err
}

// trimmed leaves out what a plan heats and is not worth its fuel: a search ends within its
// gap, and a farmer would see a fire that brings nothing. Whole stretches first, then
// single periods, each where the plan in parts earns more without it.
func (m *model) trimmed(ctx context.Context, solve program.Solver, asked program.Problem, open []int, best program.Solution) (program.Solution, error) {
	way := as(open, best.Values)
	var stretches, single [][]int
	for _, barn := range m.farm.heatable() {
		last := -2
		for t := range m.periods {
			for l, h := range m.farm.Heat {
				c := m.heat[l][t]
				if h.Barn != barn || c < 0 || way[c] < 1 {
					continue
				}
				if t > last+1 {
					stretches = append(stretches, nil)
				}
				end := &stretches[len(stretches)-1]
				*end, single, last = append(*end, c), append(single, []int{c}), t
			}
		}
	}
	if len(single) == 0 {
		return best, nil
	}
	now, err := solve(ctx, m.inParts(asked, way))
	if err != nil || now.Status != program.Optimal {
		return best, err
	}
	changed := false
	for _, columns := range slices.Concat(stretches, single) {
		if way[columns[0]] < 1 {
			continue
		}
		without := maps.Clone(way)
		for _, c := range columns {
			without[c] = 0
		}
		got, err := solve(ctx, m.inParts(asked, without))
		if err != nil {
			return best, err
		}
		if got.Status == program.Optimal && got.Objective > now.Objective {
			now, way, changed = got, without, true
		}
	}
	if !changed {
		return best, nil
	}
	got, err := solve(ctx, m.settled(asked, way))
	if err != nil || got.Values == nil || got.Objective < best.Objective {
		return best, err
	}
	return got, nil
}

// as says yes to those columns that are half or more in what was found; to none without it.
func as(open []int, values []float64) map[int]float64 {
	out := map[int]float64{}
	for _, c := range open {
		if out[c] = 0; values != nil && values[c] >= 0.5 {
			out[c] = 1
		}
	}
	return out
}

// heatedAs says for each of the columns whether a plan heats so; where it does not reach
// as far, nothing is heated.
func (m *model) heatedAs(last *Last, open []int) map[int]float64 {
	out := as(open, nil)
	if last == nil {
		return out
	}
	for t, at := range m.periods {
		for _, barn := range m.farm.heatable() {
			weeks, _ := last.in(at, func(s Step) float64 { return s.heatedWeeks()[barn] })
			degrees, _ := last.in(at, func(s Step) float64 { return s.heatedWeeks()[barn] * s.heatedBy(barn) })
			if weeks < at.Weeks/2 {
				continue
			}
			if c := m.nearest(barn, t, degrees/weeks); c >= 0 && slices.Contains(open, c) {
				out[c] = 1
			}
		}
	}
	return out
}

// nearest is the column of the way to heat a barn in a period that is nearest to so many
// degrees; -1 for none.
func (m *model) nearest(barn string, t int, degrees float64) int {
	out, off := -1, inf
	for l, h := range m.farm.Heat {
		if d := math.Abs(h.Degrees - degrees); h.Barn == barn && m.heat[l][t] >= 0 && d < off {
			out, off = m.heat[l][t], d
		}
	}
	return out
}

// heatedWeeks are the weeks of a step in which each barn is heated.
func (s Step) heatedWeeks() map[string]float64 {
	out := map[string]float64{}
	for _, h := range s.Heat {
		out[h.Barn] = s.Weeks
	}
	return out
}

// heatedBy is by how much a barn is heated in a step [K].
func (s Step) heatedBy(barn string) float64 {
	for _, h := range s.Heat {
		if h.Barn == barn {
			return h.Degrees
		}
	}
	return 0
}

// heatedLike settles that all is heated as a plan heats.
func (m *model) heatedLike(steps []Step) {
	for l, h := range m.farm.Heat {
		for t, c := range m.heat[l] {
			if c < 0 {
				continue
			}
			at := 0.0
			if t < len(steps) && slices.Contains(steps[t].Heat, h.is()) {
				at = 1
			}
			m.problem.Columns[c].Low, m.problem.Columns[c].High = at, at
		}
	}
}

// warmed gives a plan the stretches in which a barn is heated, with what each costs and
// brings, and what all of it is worth. model.md (V12).
func (m *model) warmed(base float64, decided map[int]float64, plan *Plan, relaxed func(map[int]float64) (program.Solution, error)) error {
	f := &m.farm
	without := func(off map[int]float64) (float64, bool, error) {
		as := maps.Clone(decided)
		maps.Copy(as, off)
		got, err := relaxed(as)
		return base - got.Objective, err == nil && got.Status == program.Optimal, err
	}
	all := map[int]float64{}
	for _, barn := range f.heatable() {
		var at *Warmed
		off := map[int]float64{}
		end := func() error {
			if at == nil {
				return nil
			}
			less, known, err := without(off)
			if known {
				at.Brings = less + at.Cost
			}
			plan.Warmed = append(plan.Warmed, *at)
			at, off = nil, map[int]float64{}
			return err
		}
		for t, period := range m.periods {
			on := false
			for l, h := range f.Heat {
				c := m.heat[l][t]
				if h.Barn != barn || c < 0 || decided[c] < 1 {
					continue
				}
				on = true
				if at == nil {
					at = &Warmed{Barn: barn, Week: period.From}
				}
				at.Weeks += period.Weeks
				at.Cost += period.in(h.Cost, true)
				off[c], all[c] = 0, 0
			}
			if !on {
				if err := end(); err != nil {
					return err
				}
			}
		}
		if err := end(); err != nil {
			return err
		}
	}
	if len(all) == 0 {
		return nil
	}
	less, known, err := without(all)
	if known {
		plan.HeatWorth = less
	}
	return err
}
