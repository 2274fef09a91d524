package mix

import (
	"wormyard/figure"
)

// Figures gives the figures of mixing, in the order of docs/model.md.
func Figures(p Parameters) []figure.Figure {
	of := func(name string) figure.Figure {
		f := formulas[name]
		return figure.Figure{Name: name, Title: f.title, Equation: f.equation, Formula: f.text, Source: f.source}
	}
	return []figure.Figure{
		figure.Of(of("mix.moisture"), moistureFigure),
		figure.Of(of("mix.basis"), basisFigure),
		figure.Of(of("mix.blend_moisture"), blendMoistureFigure),
		figure.Of(of("mix.mass_for_moisture"), massForMoistureFigure),
		figure.Of(of("mix.water_to_add"), waterToAddFigure),
		figure.Of(of("mix.volumetric_water"), volumetricFigure),
		figure.Of(of("mix.carbon"), carbonFigure),
		figure.Of(of("mix.carbon_to_nitrogen"), carbonToNitrogenFigure),
		figure.Of(of("mix.mass_for_cn"), massForCNFigure),
		figure.Of(of("mix.two_targets"), twoTargetsFigure),
		figure.Of(of("mix.part"), partFigure),
		figure.Of(of("mix.nitrogen_to_add"), p.nitrogenFigure),
		figure.Of(of("mix.carbon_from_ash"), p.carbonFromAshFigure),
		figure.Of(of("mix.organic_matter"), p.organicMatterFigure),
		figure.Of(of("mix.density"), densityFigure),
		figure.Of(of("mix.blend_density"), blendDensityFigure),
		figure.Of(of("mix.bucket"), bucketFigure),
		figure.Of(of("mix.density_units"), densityUnitsFigure),
		figure.Of(of("mix.expansion"), expansionFigure),
		figure.Of(of("mix.air_filled"), p.airFilledFigure),
		figure.Of(of("mix.air_by_filling"), airByFillingFigure),
		figure.Of(of("mix.compaction"), compactionFigure),
		figure.Of(of("mix.dry_mean"), dryMeanFigure),
		figure.Of(of("mix.ash_balance"), ashBalanceFigure),
		figure.Of(of("mix.degradable"), degradableFigure),
	}
}
