package nature

import (
	"slices"

	"wormyard/bed"
	"wormyard/carpentry"
	"wormyard/climate"
	"wormyard/figure"
	"wormyard/harvest"
	"wormyard/lab"
	"wormyard/lot"
	"wormyard/mix"
	"wormyard/work"
	"wormyard/worm"
	"wormyard/yard"
)

// Figures gives every figure of the core with these numbers behind it, in the
// order of docs/model.md.
func (n Numbers) Figures() []figure.Figure {
	return slices.Concat(
		mix.Figures(n.Mix),
		climate.Figures(n.Climate),
		bed.ColumnFigures(),
		bed.LayerFigures(n.Bed.Column),
		bed.ScienceFigures(n.Bed.Responses, n.Bed.Diffusivity),
		worm.Figures(n.Worm),
		yard.Figures(n.Yard),
		lab.Figures(n.Lab),
		harvest.Figures(n.Harvest),
		lot.Figures(),
		carpentry.Figures(n.Wood),
		work.Figures(n.Work),
	)
}
