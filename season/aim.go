package season

import (
	"context"
	"slices"

	"wormyard/program"
)

// What a plan is for.
const (
	AimMoney    = "money"    // the one that earns most
	AimCastings = "castings" // of those that make nearly the most castings, the one that earns most
)

// nearly is the part of the most castings that a plan for castings makes at least. Our
// choice: the gap to which a plan is searched, so that what earns more decides among
// plans that are as good.
const nearly = 0.99

// aimed holds a plan that is for castings to nearly the most that the bins can give,
// and begins the search from one that gives them. The solution says where there is none.
// model.md (V15).
func (m *model) aimed(ctx context.Context, solve program.Solver) (program.Solution, error) {
	p := m.problem
	p.Columns = slices.Clone(p.Columns)
	for i := range p.Columns {
		p.Columns[i].Cost = 0
	}
	var made []program.Term
	for i, mix := range m.farm.Mixes {
		for _, c := range m.harvest[i] {
			p.Columns[c].Cost = mix.CastingsM3
			made = append(made, program.Term{Column: c, Coefficient: mix.CastingsM3})
		}
	}
	got, err := m.search(ctx, solve, p)
	if err != nil || got.Values == nil {
		return got, err
	}
	m.problem.Start = got.Values
	m.problem.Hold(program.Row{Low: nearly * sum(made, got.Values), High: inf, Terms: made})
	return got, nil
}

// Cash is the money at hand, which must not run out.
type Cash struct {
	Start float64 `json:"start" low:"-1000000000" high:"1000000000" doc:"now"`
	Spent float64 `json:"spent_week" low:"0" high:"10000000" default:"0" doc:"in each week on what the plan does not reckon: wages, rent, the owner"`
}

// cash keeps the money at hand from running out: what a period earns and costs is paid in
// it, and there must be enough at its end. model.md (V16).
func (m *model) cash() {
	c := m.farm.Cash
	if c == nil {
		return
	}
	paid := slices.Concat(m.start, m.collect, m.sell, m.short, [][]int{m.over}, m.heat)
	var earned int // until the end of a period
	for t, at := range m.periods {
		var terms []program.Term
		for _, of := range paid {
			if k := of[t]; k >= 0 && m.problem.Columns[k].Cost != 0 {
				terms = append(terms, program.Term{Column: k, Coefficient: m.problem.Columns[k].Cost})
			}
		}
		if t > 0 {
			terms = append(terms, program.Term{Column: earned, Coefficient: 1})
		}
		earned = m.total(terms...)
		m.problem.Columns[earned].Low = -inf
		m.hold(OfCash, "cash at hand", "unit of money", t, 1, program.Row{Low: -inf, High: c.Start - c.Spent*(at.From+at.Weeks), Terms: []program.Term{{Column: earned, Coefficient: -1}}})
	}
}
