package runners

import (
	"fmt"

	"wormyard/qty"
)

// house computes the checks of quantities.
func house() []Runner {
	dimensions := map[string]qty.Dimension{"mass": qty.Mass, "volume": qty.Volume, "length": qty.Length, "temperature": qty.Temperature}
	return []Runner{{File: "nist_hb44_appendix_c", Check: "units", Compute: func(in map[string]any) (map[string]any, error) {
		v, err := qty.Parse(fmt.Sprint(in["text"]), dimensions[fmt.Sprint(in["of"])])
		return map[string]any{"stored": v}, err
	}}}
}
