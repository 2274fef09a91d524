package app

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/source"
	lots "wormyard/lot"
	"wormyard/qty"
)

// HouseRuleOf gives the farm's own rule: as it set it, or as it came with the program.
func HouseRuleOf(s *farm.State) (lots.Rule, error) {
	r, _, _, err := RuleNamed(s, HouseRule)
	return r, err
}

// HouseRuleKey is the key of the setting that holds it.
const HouseRuleKey = keyRule + HouseRule

// KnownNeeds gives the pieces of evidence that some rule asks for by name, without
// those that are a record of heat: what a house rule may ask for as well, so that
// what shows it in the journal shows it here.
func KnownNeeds() ([]lots.Need, error) {
	all, err := builtIn()
	if err != nil {
		return nil, err
	}
	var out []lots.Need
	for _, r := range all {
		for _, n := range r.Evidence {
			if n.Heat == nil && !slices.ContainsFunc(out, func(x lots.Need) bool { return x.Key == n.Key }) {
				out = append(out, lots.Need{Key: n.Key, Say: n.Say, Try: n.Try})
			}
		}
	}
	slices.SortFunc(out, func(a, b lots.Need) int { return strings.Compare(a.Key, b.Key) })
	return out, nil
}

// heatKey begins the key of evidence that is a record of heat.
const heatKey = "heat_"

// HeatNeed is evidence that a pile was so hot [°C] for so many days in one piece, or
// while it was turned so often.
func HeatNeed(low qty.Celsius, days float64, turns int) lots.Need {
	h := &lots.Heat{Low: low, Hours: 24 * days, Kind: "any", Gap: usualGap, Turns: turns, Consecutive: turns == 0}
	c, f, d := qty.Figures(float64(low)), qty.Figures(float64(low)*1.8+32), qty.Figures(days)
	n := lots.Need{Key: heatKey + "own", Say: fmt.Sprintf("%s °C (%s °F) for %s days in one piece", c, f, d), Try: "Keep a heat log of the pile.", Heat: h}
	if turns > 0 {
		h.Kind = "turned"
		n.Say, n.Try = fmt.Sprintf("%s °C (%s °F) for %s days, turned %d times meanwhile", c, f, d, turns), "Keep a heat log and write down each turning."
	}
	return n
}

// usualGap is how far apart readings of a place may lie [h]: once a day and a little,
// as in the rules that we know. Our choice.
const usualGap = 26

// OwnTry is what to do when evidence that the farm made up itself is missing.
const OwnTry = "Say at the release what shows it, and keep the paper."

// HouseRuleWrong tells all that is wrong with a rule of the farm's own on a day; the
// field of a problem is that of the rule, such as "limits[0].unit".
func HouseRuleWrong(r lots.Rule, today time.Time) []Problem {
	var out []Problem
	for _, p := range r.Check() {
		out = append(out, houseProblem(r, p))
	}
	if review, err := time.Parse(time.DateOnly, r.Review); err == nil && today.After(review) {
		out = append(out, Problem{Field: "review", Say: "The day by which the rule is to be looked at again is past.", Try: "Give a day to come: from then on no lot is released under it until it was looked at."})
	}
	return out
}

// houseProblem tells a problem of a rule with the field that it is about; an analyte
// that is not known with those like it.
func houseProblem(r lots.Rule, p figure.Problem) Problem {
	at := strings.TrimPrefix(strings.TrimPrefix(p.Field, r.Key), " ")
	for i, l := range r.Limits {
		if near := contract.Nearest(l.Analyte, lots.Analytes()); at == fmt.Sprintf("limits[%d].analyte", i) && len(near) > 0 {
			p.Try = "Did you mean " + strings.Join(near, ", ") + "?"
		}
	}
	return Problem{Field: at, Say: p.Say, Try: p.Try}
}

// houseRuleAmiss tells all that is wrong with a rule of the farm's own before it is
// kept: a bad one would refuse every release.
func houseRuleAmiss(text []byte) []Problem {
	rule, err := source.ReadRule("", text)
	var no *figure.Refusal
	switch {
	case errors.As(err, &no):
	case err != nil:
		return []Problem{{Say: "The rule cannot be read.", Try: "Leave the rule as it was, and ask whoever wrote the new one."}}
	case rule.Key != HouseRule:
		return []Problem{{Field: "key", Say: fmt.Sprintf("The key of the rule is %q.", rule.Key), Try: "Write " + HouseRule + "."}}
	default:
		return nil
	}
	var read lots.Rule
	if len(contract.Decode(text, &read)) > 0 {
		read = lots.Rule{}
	}
	var out []Problem
	for _, p := range no.Problems {
		out = append(out, houseProblem(read, p))
	}
	return out
}
