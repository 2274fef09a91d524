package app

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/source"
	"wormyard/mix"
	"wormyard/program"
	"wormyard/qty"
	"wormyard/twin"
)

// Mixer answers questions about mixes: forward, backward and under uncertainty.
// It is safe for use by many goroutines.
type Mixer struct {
	Library    *feedstock.Library
	Parameters mix.Parameters
	Solver     program.Solver

	drawn mix.Kept
	eyes  twin.Parameters // what a hand tells
	usual farm.Usual
}

// NewMixer gives a Mixer with the library and the parameters of the program.
// The solver may be nil where nothing is ever solved for.
func NewMixer(solver program.Solver) (*Mixer, error) {
	library, err := source.Library()
	if err != nil {
		return nil, err
	}
	m := &Mixer{Library: library, Solver: solver}
	if err := source.Load("mix", &m.Parameters); err != nil {
		return nil, err
	}
	if err := source.Load("twin", &m.eyes); err != nil {
		return nil, err
	}
	if err := source.Load("farm", &m.usual); err != nil {
		return nil, err
	}
	return m, nil
}

// Squeeze says what a handful of this moisture most likely does in the hand, in
// the words of a look: dry, crumbly, few drops, drips, runs.
func (m *Mixer) Squeeze(w qty.WaterOfWet) string { return m.eyes.Squeeze(float64(w)) }

// Mix reads a request and answers it; a MixRequest that is already in hand goes
// to Answer. The error is a *figure.Refusal with every problem, or ours.
func (m *Mixer) Mix(ctx context.Context, data []byte, units qty.System) (*MixAnswer, error) {
	var in MixRequest
	problems := contract.Decode(data, &in)
	if len(problems) > 0 {
		explainMoisture(data, problems)
		return nil, contract.Refuse(append(problems, m.furtherProblems(in, problems)...))
	}
	return m.Answer(ctx, in, units)
}

// furtherProblems finds what else is wrong with a request that could be read in
// part only. What may merely follow from a problem told already is left out:
// all but the name of the material in a part that has one.
func (m *Mixer) furtherProblems(in MixRequest, told []figure.Problem) []figure.Problem {
	_, _, _, found := m.recipe(in)
	_, more := m.windows(in)
	head := func(field string) string {
		part, _, _ := strings.Cut(field, ".")
		return part
	}
	var out []figure.Problem
	for _, p := range append(found, more...) {
		near := slices.ContainsFunc(told, func(t figure.Problem) bool {
			return t.Field == "" || t.Field == "parts" || head(t.Field) == head(p.Field) && head(p.Field) != "target" || t.Field == p.Field
		})
		if !near || strings.HasSuffix(p.Field, ".material") {
			out = append(out, p)
		}
	}
	return out
}

// explainMoisture says of a refused moisture how it may have been meant.
func explainMoisture(data []byte, problems []figure.Problem) {
	var loose struct {
		Parts []map[string]json.RawMessage `json:"parts"`
	}
	if json.Unmarshal(data, &loose) != nil {
		return
	}
	for i := range problems {
		var part int
		if n, err := fmt.Sscanf(problems[i].Field, "parts[%d].water_frac_wet", &part); n != 1 || err != nil || part < 0 || part >= len(loose.Parts) {
			continue
		}
		v, err := strconv.ParseFloat(string(loose.Parts[part]["water_frac_wet"]), 64)
		if err != nil || v <= 1 || v > 1000 {
			continue
		}
		var said []string
		percent := v
		if v < 5 {
			percent = 100 * v
		} else if v <= 100 {
			said = append(said, fmt.Sprintf("if you meant %g %%, type %g", v, v/100))
		}
		dry := percent / 100
		said = append(said, fmt.Sprintf("if %g %% is water for 100 of dry matter, type %.3g, or give water_frac_dry %.4g", percent, float64(qty.WaterOfDry(dry).OfWet()), dry))
		problems[i].Say = fmt.Sprintf("A moisture of %g is more water than there is mass.", v)
		problems[i].Try = "It must be between 0 and 1: " + strings.Join(said, "; ") + "."
	}
}

// Answer computes a mix. The error is a *figure.Refusal with every problem, or
// ours.
func (m *Mixer) Answer(ctx context.Context, in MixRequest, units qty.System) (*MixAnswer, error) {
	recipe, free, freeWater, problems := m.recipe(in)
	windows, more := m.windows(in)
	problems = append(problems, more...)
	if len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	out := &MixAnswer{
		Purpose: in.Purpose, Parts: []MixTaken{}, Windows: []MixHeld{}, Chance: map[string]*float64{},
		Hazards: []MixHazard{}, Blocked: []MixBlocked{}, Missing: []string{}, Notes: []string{},
	}
	var bucket qty.CubicMetre
	if in.Solve != nil {
		var err error
		if recipe, bucket, err = m.solve(ctx, in, recipe, free, freeWater, windows, units, out); err != nil {
			return nil, err
		}
	}
	result, err := mix.Forward(m.Parameters, recipe)
	if err != nil {
		return nil, err
	}
	seed, draws := in.Seed, cmp.Or(in.Draws, mix.Draws)
	outlook, err := m.drawn.Chance(m.Parameters, recipe, windows, seed, draws)
	if err != nil {
		return nil, err
	}
	out.Recipe, out.Matter, out.Working = recipe, result.Matter, result.Working
	out.Mix = numbers(result)
	out.Notes = append(out.Notes, result.Notes...)
	for _, miss := range result.Missing {
		out.Missing = append(out.Missing, miss.String())
	}
	out.Unknown = mix.Unknown(result.Missing)
	m.taken(in, recipe, result, free, bucket, out)
	m.judge(result, windows, outlook, out)
	m.pour(in, recipe, result, windows, freeWater, out)
	for i, p := range in.Parts {
		if result.Parts[i].Wet <= 0 {
			continue
		}
		facts := feedstock.Facts{AgeDays: p.AgeDays, ShareOfMix: number(float64(result.Parts[i].Share))}
		for _, h := range feedstock.Screen(recipe.Parts[i].Material, p.Declared, facts) {
			out.Hazards = append(out.Hazards, MixHazard{recipe.Parts[i].Name, h.What, string(h.Level), h.Why, h.Clears})
		}
	}
	return out, nil
}
