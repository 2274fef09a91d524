package app

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/mix"
	"wormyard/qty"
)

// solve finds the free parts and writes down what blocks.
func (m *Mixer) solve(ctx context.Context, in MixRequest, recipe mix.Recipe, free []bool, freeWater bool, windows []mix.Window, units qty.System, out *MixAnswer) (mix.Recipe, qty.CubicMetre, error) {
	var problems []figure.Problem
	w := mix.Wanted{Recipe: recipe, Free: free, FreeWater: freeWater, Target: windows, Units: units, Least: mix.Least(in.Solve.Least), Candidates: m.candidates()}
	total, field := in.Solve.Total, "solve.total"
	if total == "" {
		total, field = in.Total, "total"
	}
	if total != "" {
		w.TotalVolume, w.TotalMass, problems = parseTotal(field, total)
	}
	if in.Solve.BucketM3 != nil && in.Solve.Bucket != nil {
		problems = append(problems, figure.Problem{Field: "solve.bucket", Say: "The bucket is given twice.", Try: "Give one of bucket and bucket_m3."})
	}
	if in.Solve.BucketM3 != nil {
		w.Bucket = qty.CubicMetre(*in.Solve.BucketM3)
	}
	if in.Solve.Bucket != nil {
		w.Bucket = qty.CubicMetre(in.Solve.Bucket.Value)
	}
	if in.Solve.Step != nil {
		w.Steps = []float64{*in.Solve.Step}
	}
	if w.Least == "" {
		w.Least = mix.Cost
		for i, f := range free {
			if f && recipe.Parts[i].CostPerM3 == nil {
				w.Least = mix.Change
			}
		}
	}
	found, err := mix.Solve(ctx, m.Solver, m.Parameters, w)
	var refusal *figure.Refusal
	if errors.As(err, &refusal) {
		problems = append(problems, refusal.Problems...)
		err = nil
	}
	if len(problems) > 0 {
		return recipe, 0, contract.Refuse(problems)
	}
	if err != nil {
		return recipe, 0, err
	}
	for _, s := range found.Skipped {
		if len(in.Target) > 0 && s.Output != mix.PHLow && s.Output != mix.PHHigh {
			problems = append(problems, figure.Problem{Field: "target." + s.Output.Key(), Say: fmt.Sprintf("This cannot be aimed at, since what it rests on (%s) is not known of every part.", s.Output.Words()), Try: "Give it for the parts, or leave this target out."})
			continue
		}
		out.Notes = append(out.Notes, fmt.Sprintf("Not aimed at, since it is not known of every part or no sum: %s.", s.Output.Words()))
	}
	if len(problems) > 0 {
		return recipe, 0, contract.Refuse(problems)
	}
	out.Possible = &found.Possible
	if w.Bucket > 0 {
		b := float64(w.Bucket)
		out.Bucket = &b
		if found.Step > 0 {
			out.BucketStep = &found.Step
		}
	}
	out.Notes = append(out.Notes, found.Notes...)
	if found.Possible {
		out.Notes = append(out.Notes, leastWords[w.Least])
	}
	for _, b := range found.Blocked {
		out.Blocked = append(out.Blocked, MixBlocked{b.Window.Output.Key(), number(b.Best), b.Needs})
	}
	return found.Recipe, w.Bucket, nil
}

var leastWords = map[mix.Least]string{
	mix.Cost:      "Of all mixes that meet the windows this costs the least.",
	mix.Change:    "Of all mixes that meet the windows this moves the least volume away from the amounts given.",
	mix.LeastPour: "Of all mixes that meet the windows this takes the least water.",
}

// candidates are the materials named when a mix cannot be made: all that may go
// to worms without a hold.
func (m *Mixer) candidates() []mix.Part {
	var out []mix.Part
	for _, material := range m.Library.Materials() {
		if material.Group == "mineral" || material.Group == "other" || material.Group == "water" || material.Group == "castings" {
			continue
		}
		if slices.ContainsFunc(material.Hazards, func(h feedstock.Hazard) bool {
			return h.Level == feedstock.LevelRefuse && h.Declared == "" && h.Fact == ""
		}) {
			continue
		}
		// What would bring ammonia or salt of its own is no help.
		if material.Ammonia.Best > m.Parameters.AmmoniaMax || material.Salts.Best > m.Parameters.SaltsMax {
			continue
		}
		out = append(out, mix.Part{Name: material.Name, Material: material})
	}
	return out
}
