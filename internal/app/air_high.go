package app

import (
	"fmt"

	"wormyard/climate"
	"wormyard/qty"
)

// highM is from where on it is said that beds are reckoned in the air of sea level
// [m]: a tenth of the pressure is gone there (docs/model.md (C8)).
const highM = 900

// highUp says what is not reckoned with on a farm far above the sea. Gases and
// vapour spread faster in thinner air, in proportion, and there is less oxygen in
// it in the same proportion, so that air in the bed is about the same and only
// drying is not.
func highUp(altitudeM float64, u qty.System) []string {
	if altitudeM < highM {
		return nil
	}
	height := qty.Figures(altitudeM) + " m"
	if u == qty.US {
		height = qty.Figures(altitudeM/qty.MetrePerFoot) + " ft"
	}
	faster := climate.StandardPressure/float64(climate.Pressure(qty.Metre(altitudeM))) - 1
	return []string{fmt.Sprintf("The farm lies %s above the sea, and beds are reckoned as at the sea: up there they may dry faster, by up to %s.", height, qty.Percent100(faster))}
}
