package mix

import (
	"context"
	"fmt"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/program"
	"wormyard/qty"
)

// Least is what a solve makes as small as it can.
type Least string

// What can be least.
const (
	Cost      Least = "cost"   // the price of the free parts
	Change    Least = "change" // the loose volume moved away from the amounts given, water included
	LeastPour Least = "water"  // the water poured on
)

// Wanted is a mix to be found. The parts that are free, and water when it is,
// are changed; all else stays as the recipe has it.
type Wanted struct {
	Recipe
	Free      []bool // one a part
	FreeWater bool
	Target    []Window

	TotalVolume qty.CubicMetre // after shrink; 0 for none
	TotalMass   qty.WetKg      // 0 for none
	Bucket      qty.CubicMetre // loader bucket; 0 for amounts of any size
	Steps       []float64      // parts of a bucket to try, the coarsest first; nil is whole, half, quarter
	Least       Least
	Candidates  []Part     // materials that might unblock a mix that cannot be made
	Units       qty.System // in which sentences are said
}

// Found is the answer of a solve. When Possible is false the recipe is the one
// nearest to the windows and Blocked says what stands in the way.
type Found struct {
	Possible bool
	Recipe   Recipe
	Step     float64 // part of a bucket to which the free parts are rounded; 0 for amounts of any size
	Blocked  []Blocked
	Skipped  []Window // windows that could not be held, since what they rest on is not known
	Notes    []string
	Solves   int // programmes solved on the way
}

// Blocked is a window that no mix of these parts reaches.
type Blocked struct {
	Window Window
	Best   float64 // the nearest that can be reached while the other windows are kept
	Needs  string  // what would unblock it
}

// Solve finds the amounts of the free parts by a linear programme, with whole
// numbers when a bucket is given. Windows on ratios are linear in the amounts
// once the denominator is moved across (M30), and so is air-filled space by
// either method (M31). The pH of a mix is no sum and is not held. An impossible
// mix is an answer, not an error; a *figure.Refusal lists what is missing.
func Solve(ctx context.Context, solver program.Solver, p Parameters, w Wanted) (Found, error) {
	if problems := w.problems(); len(problems) > 0 {
		return Found{}, &figure.Refusal{Problems: problems}
	}
	m, skipped := w.model(&p)
	found := Found{Skipped: skipped}
	m.solver, m.found = solver, &found

	if w.Bucket > 0 {
		if len(w.Steps) == 0 {
			w.Steps = []float64{1, 0.5, 0.25}
		}
		for _, s := range w.Steps {
			whole, err := m.best(ctx, s)
			if err != nil {
				return Found{}, err
			}
			if whole != nil {
				found.Possible, found.Step = true, s
				found.Recipe = m.recipe(whole)
				return found, nil
			}
		}
	}
	plan, err := m.best(ctx, 0)
	switch {
	case err != nil:
		return Found{}, err
	case plan == nil:
		return found, m.explain(ctx)
	case w.Bucket > 0:
		return found, m.explainBuckets(ctx, plan, w.Steps)
	}
	found.Possible = true
	found.Recipe = m.recipe(plan)
	return found, nil
}

func (w *Wanted) problems() []figure.Problem {
	all := w.amiss()
	tell := func(field, say, try string) { all = append(all, figure.Problem{Field: field, Say: say, Try: try}) }
	free, fixed := w.FreeWater, false
	for i := range w.Parts {
		part := &w.Parts[i]
		if i >= len(w.Free) || !w.Free[i] {
			fixed = fixed || part.Amount != feedstock.Quantity{}
			continue
		}
		free = true
		v := part.Values(feedstock.Best)
		if !(v.Density > 0) && v.Water < 1 && (w.Bucket > 0 || w.TotalVolume > 0 || part.Available != nil || part.CostPerM3 != nil) {
			tell(fmt.Sprintf("parts[%d].density_kg_m3_wet", i), fmt.Sprintf("The density of %s is not known, so its volume cannot be counted.", part.Name), "Weigh a full bucket and give density_kg_m3_wet.")
		}
		if w.Least == Cost && part.CostPerM3 == nil {
			tell(fmt.Sprintf("parts[%d].cost_per_m3", i), fmt.Sprintf("The least cost is asked for and %s has no price.", part.Name), `Give cost_per_m3 (0 when it is free), or ask for the least "change" or "water".`)
		}
		if part.CostPerM3 != nil && *part.CostPerM3 < 0 && w.TotalVolume == 0 && w.TotalMass == 0 && part.Available == nil {
			tell(fmt.Sprintf("parts[%d].cost_per_m3", i), fmt.Sprintf("%s is paid for by the one who brings it and nothing limits it.", part.Name), "Give available_m3 or a total.")
		}
	}
	if !free {
		tell("solve.free", "Nothing is left to be found.", `Name at least one part, or "water".`)
	}
	if free && !fixed && w.TotalVolume == 0 && w.TotalMass == 0 {
		tell("solve.total", "All parts are free and no total is given, so nothing says how much to make.", `Give solve.total ("10 yd3"), or keep one part as given.`)
	}
	if len(w.Target) == 0 {
		tell("target", "There is nothing to aim at.", "Give a purpose or a target.")
	}
	for _, t := range w.Target {
		if !(t.Low <= t.High) {
			tell("target."+t.Output.Key(), fmt.Sprintf("The window runs from %g to %g.", t.Low, t.High), "Give min below max.")
		}
	}
	return all
}
