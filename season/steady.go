package season

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"wormyard/program"
)

// A Last is a plan that was made before, from which a new one departs no more than
// it is worth.
type Last struct {
	Steps []Step  `json:"plan" doc:"as it was printed"`
	Ago   float64 `json:"weeks_ago" unit:"week" low:"0" high:"104" default:"0" doc:"when it was made"`
}

// Steady is the price of a change, as a part of what the bins or pieces are worth
// that are begun, harvested or sold otherwise. Our choice: below the gap to which a
// plan is searched, so that it decides among plans that are as good, and no others.
const Steady = 0.005

// What a plan may do otherwise than the one before.
const (
	ChangedStart   = "start"   // bins of a mix
	ChangedHarvest = "harvest" // bins of a mix
	ChangedSale    = "sell"    // pieces of a product
	ChangedHeat    = "heat"    // a barn: 1 all through the weeks, 0 not at all
)

// A Change is where a plan departs from the one before it.
type Change struct {
	What   string  `json:"what" doc:"start, harvest, sell or heat"`
	Of     string  `json:"of" doc:"the mix, product or barn"`
	Week   float64 `json:"week" doc:"from now"`
	Weeks  float64 `json:"weeks"`
	Before float64 `json:"before" doc:"bins or pieces; of a barn the part of the weeks in which it is heated"`
	After  float64 `json:"after"`
}

// Say is a change in words.
func (c Change) Say() string {
	if c.What == ChangedHeat {
		barn, do := "the barn", "heat"
		switch {
		case strings.Contains(strings.ToLower(c.Of), "barn"):
			barn = c.Of
		case c.Of != "":
			barn = "barn " + c.Of
		}
		if c.After < c.Before {
			do = "do not heat"
		}
		return fmt.Sprintf("%s %s %s.", c.when(), do, barn)
	}
	what := map[string]string{ChangedStart: "begin", ChangedHarvest: "harvest", ChangedSale: "sell"}[c.What]
	return fmt.Sprintf("%s %s %.3g of %s and not %.3g.", c.when(), what, c.After, c.Of, c.Before)
}

func (c Change) when() string {
	if c.Weeks > 1 {
		return fmt.Sprintf("In weeks %.0f to %.0f", c.Week+1, c.Week+c.Weeks)
	}
	return fmt.Sprintf("In week %.0f", c.Week+1)
}

// Replan is Solve with a small price on each bin that is begun or harvested and each
// piece that is sold otherwise than the last plan had it, so that of plans that are
// worth nearly the same the one is taken that changes least. Value is without that
// price; no plan is worth more than Bound. What is asked of the weeks after the last
// plan's end has no price. The changes are those that a crew would see. model.md (V11).
func Replan(ctx context.Context, f Farm, last Last, solve program.Solver, gap float64) (Plan, []Change, error) {
	if err := f.sound(); err != nil {
		return Plan{}, nil, err
	}
	if err := last.sound(&f); err != nil {
		return Plan{}, nil, err
	}
	m := build(f)
	m.problem.Gap = math.Min(gap, Steady/10) // else the gap and not the price would decide
	if len(f.Heat) > 0 {
		m.problem.Gap = math.Min(gap, Steady) // closer it does not come in time
	}
	m.last = &last
	p, err := m.solve(ctx, solve)
	if err != nil || len(p.Steps) == 0 {
		return p, nil, err
	}
	return p, Changes(last, p.Steps), nil
}

// in is what the last plan has in a period of the new one, farther steps taken as
// even over their weeks; false where it does not reach so far.
func (l Last) in(at Period, acts func(Step) float64) (sum float64, reaches bool) {
	covered := 0.0
	for _, s := range l.Steps {
		from := s.Week - l.Ago
		if both := math.Min(from+s.Weeks, at.From+at.Weeks) - math.Max(from, at.From); both > 1e-9 {
			sum += acts(s) * both / s.Weeks
			covered += both
		}
	}
	return sum, covered >= at.Weeks-1e-9
}

// Changes are where new steps depart from the last plan by what a crew would see:
// half a bin, or a twentieth of the pieces. Use it for any two plans. model.md (V11).
func Changes(last Last, steps []Step) (out []Change) {
	for _, s := range steps {
		at := Period{s.Week, s.Weeks}
		for _, k := range []struct {
			what string
			acts func(Step) map[string]float64
		}{
			{ChangedStart, func(s Step) map[string]float64 { return s.Start }},
			{ChangedHarvest, func(s Step) map[string]float64 { return s.Harvest }},
			{ChangedSale, func(s Step) map[string]float64 { return s.Sell }},
			{ChangedHeat, Step.heatedWeeks},
		} {
			for _, name := range last.names(k.acts, s) {
				before, reaches := last.in(at, func(s Step) float64 { return k.acts(s)[name] })
				after := k.acts(s)[name]
				least := 0.5
				if k.what == ChangedSale {
					least = math.Max(0.05, math.Max(before, after)/20)
				}
				if k.what == ChangedHeat {
					before, after = before/s.Weeks, after/s.Weeks
				}
				if reaches && math.Abs(after-before) >= least-1e-9 {
					out = append(out, Change{k.what, name, s.Week, s.Weeks, before, after})
				}
			}
		}
	}
	return out
}

// names are those that either plan has an act for in a step, each once, in order.
func (l Last) names(acts func(Step) map[string]float64, s Step) []string {
	has := map[string]bool{}
	for name := range acts(s) {
		has[name] = true
	}
	for _, b := range l.Steps {
		if from := b.Week - l.Ago; from < s.Week+s.Weeks && from+b.Weeks > s.Week {
			for name := range acts(b) {
				has[name] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(has))
}

// steady is the programme with a price on each departure from the last plan.
func (m *model) steady() program.Problem {
	f := &m.farm
	p := m.problem
	p.Columns, p.Rows, p.Start = slices.Clone(p.Columns), slices.Clone(p.Rows), slices.Clone(p.Start)
	worth, n := 0.0, 0.0 // of a cubic metre of castings
	for _, x := range f.Products {
		if x.CastingsM3 > 0 {
			worth, n = worth+x.Price/x.CastingsM3, n+1
		}
	}
	worth /= math.Max(n, 1)
	hold := func(column int, at Period, price float64, acts func(Step) float64) {
		was, reaches := m.last.in(at, acts)
		if !reaches || price <= 0 {
			return
		}
		off := p.Add(program.Column{Cost: -price * Steady, High: inf})
		p.Hold(program.Row{Low: -was, High: inf, Terms: []program.Term{{Column: off, Coefficient: 1}, {Column: column, Coefficient: -1}}})
		p.Hold(program.Row{Low: was, High: inf, Terms: []program.Term{{Column: off, Coefficient: 1}, {Column: column, Coefficient: 1}}})
		if p.Start != nil {
			p.Start = append(p.Start, math.Abs(p.Start[column]-was))
		}
	}
	for t, at := range m.periods {
		for i, mix := range f.Mixes {
			hold(m.start[i][t], at, mix.CastingsM3*worth, func(s Step) float64 { return s.Start[mix.Name] })
			hold(m.harvest[i][t], at, mix.CastingsM3*worth, func(s Step) float64 { return s.Harvest[mix.Name] })
		}
		for l, h := range f.Heat {
			if c := m.heat[l][t]; c >= 0 {
				part := func(s Step) float64 {
					if s.heatedBy(h.Barn) > 0 && m.nearest(h.Barn, t, s.heatedBy(h.Barn)) == c {
						return s.Weeks / at.Weeks
					}
					return 0
				}
				hold(c, at, at.in(h.Cost, true), part)
			}
		}
		for i, x := range f.Products {
			hold(m.sell[i][t], at, x.Price, func(s Step) float64 { return s.Sell[x.Name] })
		}
	}
	return p
}
