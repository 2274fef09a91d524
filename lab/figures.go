package lab

import "wormyard/figure"

// Figures gives the figures of counts and assays, in the order of
// docs/model/lab.md.
func Figures(p Parameters) []figure.Figure {
	of := func(name, equation, title, formula, source string) figure.Figure {
		return figure.Figure{Name: name, Title: title, Equation: equation, Formula: formula, Source: source}
	}
	return []figure.Figure{
		figure.Of(of("lab.interval", "L2", "Interval of a count", "chi2(a/2, 2x)/2 to chi2(1 - a/2, 2x + 2)/2, over exposure", "Garwood 1936"), intervalFigure),
		figure.Of(of("lab.share", "L4", "Interval of a share", "beta(a/2, x, n - x + 1) to beta(1 - a/2, x + 1, n - x)", "Clopper and Pearson 1934"), shareFigure),
		figure.Of(of("lab.clumping", "L5", "Do the counts clump", "D = (n - 1) s2/m; k = m2/(s2 - m)", "Fisher's index of dispersion; moments of the negative binomial"), p.clumpingFigure),
		figure.Of(of("lab.fields_needed", "L8", "Fields to count", "n = (1/m + 1/k)/E2", "variance of a negative binomial mean"), fieldsFigure),
		figure.Of(of("lab.count_limits", "L9", "Limits of counts", "quantiles of the negative binomial or of Poisson", "definition"), limitsFigure),
		figure.Of(of("lab.field_area", "L10", "What an eyepiece shows", "d = field number/objective/tube; A = pi d2/4", "geometry"), areaFigure),
		figure.Of(of("lab.per_gram", "L11", "Count to a gram", "count/fields x cover/field area/drop x dilution", "geometry"), p.perGramFigure),
		figure.Of(of("lab.hypha_length", "L11", "Threads of fungi", "m/g as counts; ug/g = m/g pi d2/4 rho; R = pi N A/(2 H)", "geometry; Newman 1966"), p.hyphaFigure),
		figure.Of(of("lab.cell_mass", "L15", "Mass of cells", "pi w2 (l - w)/4 + pi w3/6", "geometry"), p.cellsFigure),
		figure.Of(of("lab.funnel", "L16", "Nematodes of a funnel", "count/(mass x yield)", "definition"), funnelFigure),
		figure.Of(of("lab.nested", "L17", "Fields, slides, sub-samples, lot", "mean of sub-samples; variance parted by level", "analysis of variance by moments, unequal numbers"), nestedFigure),
		figure.Of(of("lab.ratio", "L19", "A ratio with its interval", "[r -+ t/b sqrt(sa2 + r2 sb2 - g sa2)]/(1 - g), g = (t sb/b)2", "Fieller 1954"), ratioFigure),
		figure.Of(of("lab.compare", "L21", "Two lots", "x1 of x1 + x2 is binomial with t1 R/(t1 R + t2)", "conditional test of two Poisson rates"), p.compareFigure),
		figure.Of(of("lab.difference", "L41", "Two sides of a trial", "mean a - mean b -+ t sqrt(va/na + vb/nb)", "Welch 1947"), differenceFigure),
		figure.Of(of("lab.two_people", "L22", "Two people on the same fields", "shares of field sums; chi2/(n - 1) widens", "conditional test, quasi-likelihood"), p.peopleFigure),
		figure.Of(of("lab.chart", "L23", "Run chart of lots", "u -+ 3 s_z sqrt(u/n)", "Shewhart u chart; Laney 2002"), p.chartFigure),
		figure.Of(of("lab.tubes", "L24", "Dilution tubes", "sum x z/(1 - exp(-L z)) = sum n z", "likelihood of dilution series; Blodgett"), p.tubesFigure),
		figure.Of(of("lab.plate_count", "L28", "Plate count", "sum C/sum of sample on the plates", "US FDA BAM, chapter 3"), p.plateFigure),
		figure.Of(of("lab.less_than", "L31", "Values under limits", "log-normal by likelihood, by order, or product limit", "Helsel 2012; Kaplan and Meier 1958"), lessThanFigure),
		figure.Of(of("lab.convert", "L34", "Units and basis", "value x factor; wet/dry part = dry", "definition"), convertFigure),
		figure.Of(of("lab.grabs", "L36", "Grabs for a composite", "n = (z s/h)2", "standard error of a mean"), p.grabsFigure),
		figure.Of(of("lab.germination", "L37", "Germination index", "100 (Gs/Gc)(Ls/Lc)", "willow sawdust bioassay, abstract"), p.germinationFigure),
		figure.Of(of("lab.respiration", "L38", "Stability by respiration", "per organic matter; 24 x 12.011/1000 for oxygen", "TMECC 05.08 as recalled"), p.respirationFigure),
		figure.Of(of("lab.maturity", "L40", "Maturity by heating and nitrogen", "classes", "self-heating classes and maturity index as recalled"), p.maturityFigure),
	}
}
