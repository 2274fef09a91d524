package runners

import (
	"fmt"

	"wormyard/trouble"
)

// troubles computes the checks of the diagnosis: a book of one sign and two
// causes, told by somebody who hardly ever slips.
func troubles() []Runner {
	return []Runner{{File: "eddy_1982", Check: "screening", Compute: func(in map[string]any) (map[string]any, error) {
		prior, ok1 := in["prior"].(float64)
		with, ok2 := in["with"].(float64)
		without, ok3 := in["without"].(float64)
		if !ok1 || !ok2 || !ok3 {
			return nil, fmt.Errorf("the row lacks prior, with or without")
		}
		point := func(v float64) trouble.Range { return trouble.Range{Low: v, Best: v, High: v} }
		const sure = 1 - 1e-9
		b, err := trouble.New(
			[]trouble.Cause{{Key: "it", Prior: point(prior)}, {Key: trouble.Else, Prior: point(1 - prior)}},
			[]trouble.Look{{Key: "sign", Usual: "no", Asked: true, Answers: []trouble.Answer{{Is: "yes", Base: without, Speaks: []trouble.Ratio{{Cause: "it", Of: point(with / without)}}}}}},
			trouble.Trust{Seen: sure, Hand: sure, Probe: sure, Journal: sure, Twin: sure})
		if err != nil {
			return nil, err
		}
		f, err := b.Weigh([]trouble.Message{trouble.Says("sign", "yes", trouble.Seen)})
		if err != nil {
			return nil, err
		}
		for _, c := range f.Causes {
			if c.Cause.Key == "it" {
				return map[string]any{"chance": c.Chance.Best}, nil
			}
		}
		return nil, fmt.Errorf("the cause is gone")
	}}}
}
