package harvest

import "wormyard/figure"

// Figures gives the figures of screens and of ripeness, in the order of
// docs/model/harvest.md.
func Figures(p Parameters) []figure.Figure {
	of := func(name, equation, title, formula, source string) figure.Figure {
		return figure.Figure{Name: name, Title: title, Equation: equation, Formula: formula, Source: source}
	}
	return []figure.Figure{
		figure.Of(of("screen.open_area", "S1", "Open part of a mesh", "(w/(w + wire))2", "geometry"), openFigure),
		figure.Of(of("screen.drum_speed", "S3", "Speed of a drum", "60/(2 pi) sqrt(2 g/D)", "an engineering page on trommels"), p.drumFigure),
		figure.Of(of("screen.partition", "S4", "Chance to stay on top", "1/(1 + exp(-ln3 (x - d50)/Ep))", "logistic partition curve"), partitionFigure),
		figure.Of(of("screen.split", "S6", "What goes through", "sum of classes x mean of S4", "balance; curve assumed, S5"), p.splitFigure),
		figure.Of(of("screen.cocoons", "S9", "Cocoons that go through", "free Phi((opening - width)/sd)", "geometry; widths as told"), p.cocoonsFigure),
		figure.Of(of("screen.one_hole", "S11", "One grain at one hole", "((a - d)/(a + w))2; 1 - (1 - p)^n", "Gaudin"), holeFigure),
		figure.Of(of("screen.efficiency", "S12", "Efficiency of a deck", "U/F = (f - o)/(u - o)", "balance"), efficiencyFigure),
		figure.Of(of("screen.learn", "S13", "A farm's own curve", "logistic by largest likelihood with the assumption as pseudo-screenings", "logistic regression"), p.learnFigure),
		figure.Of(of("screen.cut", "S16", "What a deck does with a heap of castings", "S6 over assumed sizes", "balance; sizes and curve assumed"), p.cutFigure),
		figure.Of(of("harvest.ripe", "S14", "Is a bin ripe", "worked >= limit and feed <= limit", "common practice, no source"), p.ripeFigure),
		figure.Of(of("harvest.side", "S15", "Days of side feeding", "(1 - stay)(1 - exp(-k t))", "common practice, no source"), p.sideFigure),
	}
}
