package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/program"
	"wormyard/season"
)

// SeasonRequest is what a season is planned for, docs/contracts/season.
type SeasonRequest struct {
	season.Farm
	Gap   float64      `json:"gap_frac" low:"0" high:"0.5" default:"0.01" doc:"how far from the best a plan may be"`
	Years *SeasonYears `json:"years" doc:"years that the plan is lived in; none when left out"`
	Last  *season.Last `json:"last" doc:"a plan that was made before, from which the new one departs no more than it is worth"`
}

// SeasonYears are the years that a plan is lived in, and for which weeks it is asked
// how much more may be promised.
type SeasonYears struct {
	season.Spread
	Weeks []float64 `json:"promise_weeks" unit:"week" doc:"from now, for which it is asked what may be promised; 4, 8, 13 and 26 when left out"`
	Often float64   `json:"promise_frac" low:"0.5" high:"1" default:"0.9" doc:"of the years in which a promise must be kept"`
}

// SeasonTight is a limit that holds a plan back, in words too.
type SeasonTight struct {
	season.Tight
	Say string `json:"say"`
}

// SeasonChange is where a plan departs from the last one, in words too.
type SeasonChange struct {
	season.Change
	Say string `json:"say"`
}

// SeasonAnswer is the answer of wormyard season.
type SeasonAnswer struct {
	Plan    []season.Step    `json:"plan"`
	Worms   []float64        `json:"worms_kg" unit:"kg" doc:"at the end of each step: in the middle of the drawn years where there are some, else those that the plan keeps for what it needs"`
	Value   float64          `json:"value" doc:"what the plan earns over what it costs, in the farm's money"`
	Bound   float64          `json:"bound" doc:"no plan earns more"`
	Gap     float64          `json:"gap_frac"`
	Simple  *float64         `json:"simple_value" doc:"what a plan by simple rules earns, from which the search begins; none where the rules found none"`
	Rules   bool             `json:"by_rules" doc:"the search was stopped before it had a better plan than that of the rules"`
	Changes []SeasonChange   `json:"changes" doc:"from the last plan"`
	Heat    []season.Warmed  `json:"heat" doc:"stretches in which a barn is heated, with what each costs and brings"`
	Worth   float64          `json:"heat_worth" doc:"what the plan earns more than one that heats nothing, the fuel paid"`
	Tight   []SeasonTight    `json:"tight"`
	Unmet   []season.Unmet   `json:"unmet"`
	Replay  *season.Replay   `json:"years" doc:"what the plan came to in years that were drawn"`
	Promise []season.Promise `json:"promise" doc:"what may be promised besides, each alone"`
	Seconds float64          `json:"seconds" unit:"s"`
	Notes   []string         `json:"notes"`
}

// Season reads a farm and plans it. The error is a *figure.Refusal with all that
// is wrong, one that says that the limits leave no plan, or that of the solver.
func Season(ctx context.Context, data []byte, solve program.Solver, now func() time.Time) (*SeasonAnswer, error) {
	var in SeasonRequest
	if problems := contract.Decode(data, &in); len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	if in.Years != nil {
		var bad figure.Problems
		for i, w := range in.Years.Weeks {
			if w < 0 || w >= float64(in.Farm.Weeks) {
				bad.Add(fmt.Sprintf("years.promise_weeks[%d]", i), fmt.Sprintf("It is asked what may be promised for week %.4g, and the plan has weeks 0 to %d.", w, in.Farm.Weeks-1), "Ask for a week of the plan, counted from now.")
			}
		}
		if err := bad.Refuse(); err != nil {
			return nil, err
		}
	}
	begin := now()
	var p season.Plan
	var changes []season.Change
	var err error
	if in.Last != nil {
		p, changes, err = season.Replan(ctx, in.Farm, *in.Last, solve, in.Gap)
	} else {
		p, err = season.Solve(ctx, in.Farm, solve, in.Gap)
	}
	if err != nil {
		return nil, err
	}
	if len(p.Steps) == 0 {
		return nil, noPlan(p.Status)
	}
	out := &SeasonAnswer{Plan: p.Steps, Value: p.Value, Bound: p.Bound, Gap: p.Gap, Simple: p.Simple, Rules: p.Rules, Changes: []SeasonChange{}, Unmet: append([]season.Unmet{}, p.Unmet...), Heat: append([]season.Warmed{}, p.Warmed...), Worth: p.HeatWorth, Tight: []SeasonTight{}, Promise: []season.Promise{}, Notes: []string{
		"What is to come is taken as given: weather, buyers and worms may do otherwise. Look at it again each week.",
		"Bins are begun whole in the first thirteen weeks and harvested whole in the first four; later it may be parts of a bin.",
	}}
	if slices.ContainsFunc(p.Steps, func(s season.Step) bool { return s.HeatK > 0 }) {
		out.Notes = append(out.Notes, season.HeatCaution)
	}
	for _, t := range p.Tight {
		out.Tight = append(out.Tight, SeasonTight{Tight: t, Say: t.Say()})
	}
	if y := in.Years; y != nil && y.Years > 0 {
		worlds := season.WorldsAbout(in.Farm, y.Spread, seasonSeed)
		r := season.Replayed(in.Farm, p, worlds)
		out.Replay = &r
		weeks := y.Weeks
		if len(weeks) == 0 {
			weeks = []float64{4, 8, 13, 26}
		}
		out.Promise = append(out.Promise, season.Promises(in.Farm, p, worlds, weeks, y.Often)...)
	}
	if out.Worms = wormsKg(p.Steps, out.Replay); out.Replay == nil {
		out.Notes = append(out.Notes, "Worms are as many as the plan keeps for what it needs, and there may be more: live it in drawn years (years) to see.")
	}
	out.Seconds = now().Sub(begin).Seconds()
	for _, c := range changes {
		out.Changes = append(out.Changes, SeasonChange{Change: c, Say: c.Say()})
	}
	return out, nil
}

func noPlan(s program.Status) error {
	if s == program.Infeasible {
		return figure.Refuse("", "No plan keeps to these limits: feed or crew for the bins that run already, room for the worms, or worms left at the end are missing.", "Look at feedstock, crew_hours and running, or ask for fewer worms at the end (end_kg).")
	}
	return NoPlanInTime()
}

// NoPlanInTime refuses a plan that took too long.
func NoPlanInTime() error {
	return figure.Refuse("", "No plan was found in the time there is.", "Allow a wider gap (gap_frac), or fewer weeks.")
}
