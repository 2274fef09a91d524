package main

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"

	"wormyard/internal/calibrate"
)

// unmet is the error in the logarithm beyond which a series counts as not met.
const unmet = 0.35

// whyNot says of each series that is not met what differs and what would be next.
var whyNot = map[string]string{
	"tsukamoto_1977, 25 C":          "these went from 62 to 447 mg in 29 days, a spurt that no curve through their slow first weeks and the cooler pots of the study has; four points. Next: a scale that is free by temperature, were there a second study to tell it",
	"gunadi_2002, fed once":         "they grew twice as quickly as ours to 0.45 g by day 45 and then no more, as if the best of the feed were gone; ours eat evenly until nothing is left. Next: feed of two qualities in the pot, as the bed has it",
	"venter_1988, day 60 and 90":    "two points, of worms that hardly grew on 320 g in 60 days and then put on half a gram in 30; that a second 320 g was given is our reading. Next: the growth of the same worms between these days, from the paper",
	"reinecke_1985, mass on day 30": "ours are two to four times too light between 50 and 60 % of water, in pots that dried and were wetted again and of which one mean moisture is told. Next: follow the wetting and drying",
	"neuhauser_1980, greatest mass": "a single worm grew to 1.9 g and sixteen to 0.4 on one meal; ours come to one mass until the feed is gone. Next: crowding in a pot by the feed it holds and not by its floor",
	"neuhauser_1980, 16 worms":      "ours outgrow them while there is feed and shrink when it is gone; theirs held their mass for months on a spent meal. Next: castings as poor feed in the pot",
}

// axes names what goes across and up in the picture of a kind.
var axes = map[string][2]string{
	calibrate.Mass: {"day", "mg a worm"}, calibrate.Cocoons: {"day", "cocoons since the point before"}, calibrate.ByMoisture: {"water of wet mass", "mg a worm"},
	calibrate.Peak: {"worms in the pot", "greatest mg a worm"}, calibrate.Incubation: {"C", "days to hatch"}, calibrate.Maturity: {"C", "days to maturity"}, calibrate.Laying: {"C", "cocoons a worm and week"},
}

var unfit = regexp.MustCompile("[^a-z0-9]+")

// calibration writes docs/calibration.md from the fit that is kept.
func calibration(_ string, out pages) error {
	r, err := calibrate.Kept()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.WriteString("<!-- Made by go run ./internal/docgen from internal/calibrate/result.json. -->\n\n# Calibration of the worms\n\n")
	b.WriteString("`wormyard calibrate --write internal/calibrate/result.json` fits the worms' numbers to all published series of internal/calibrate/growth.json at once, from the beliefs in priors.json. `wormyard calibrate --series FILE` sets the numbers as they are against other series, with one scale a series or, with `--scale none`, without.\n\n")
	b.WriteString("Each study has one scale on how good its feed is: growth is v (q - (l/L)^b). Errors are in the logarithm of the mass, by Student's law. A curve counts as five points at most. Ranges are the central 90 %, from the slopes at the best fit, ")
	fmt.Fprintf(&b, "%.3g times as wide as a model that met the series would have them.\n\n", r.Widened)
	table := func(title, say string, rows []calibrate.Fitted) {
		fmt.Fprintf(&b, "## %s\n\n%s\n\n| | fit | range | before |\n|---|---|---|---|\n", title, say)
		for _, f := range rows {
			fmt.Fprintf(&b, "| `%s` | %.3g | %.3g to %.3g | %.3g to %.3g |\n", f.Name, f.Value, f.Low, f.High, f.PriorLow, f.PriorHigh)
		}
		b.WriteString("\n")
	}
	table("Numbers", "The values and ranges in use (docs/parameters.md) are these, and the twins differ in them as the correlation says (docs/model.md, T1).", r.Fitted)
	b.WriteString("Correlation, in the same order:\n\n|")
	for _, f := range r.Fitted {
		fmt.Fprintf(&b, " `%s` |", f.Name)
	}
	b.WriteString("\n|")
	for range r.Fitted {
		b.WriteString("---|")
	}
	b.WriteString("\n")
	for _, row := range r.Correlation {
		b.WriteString("|")
		for _, v := range row {
			fmt.Fprintf(&b, " %+.2f |", v)
		}
		b.WriteString("\n")
	}
	b.WriteString("\n")
	table("How far the series pull at what is held", "Numbers that figures print are held. Fitted together with the rest they would be these; where the range is that of before, no series tells anything: so it is with the upkeep of a hungry worm, which therefore stands as assumed.", r.Pulled)
	table("Scales of the studies", "1 is feed as in the numbers above.", r.Scales)
	b.WriteString("## Series\n\nErrors in the logarithm, ours over print. Beyond 0.35 (a factor of 1.4) a series counts as not met.\n\n| series | points | mean | root mean square | |\n|---|---|---|---|---|\n")
	for _, m := range r.Series {
		not := ""
		if m.RMS > unmet {
			why := whyNot[m.Study+", "+m.Name]
			if why == "" {
				return fmt.Errorf("%s, %s is not met and nobody says why: see whyNot", m.Study, m.Name)
			}
			not = "not met: " + why
		}
		fmt.Fprintf(&b, "| %s, %s | %d | %+.2f | %.2f | %s |\n", m.Study, m.Name, m.Points, m.Mean, m.RMS, not)
	}
	b.WriteString("\n## Pictures\n\nPoints are print, the line is the model with the numbers in use, at the scale of the study. Of other species the growth is fitted to their own curves alone, without a scale (`wormyard calibrate --species veneta`); what is held there is in docs/parameters.md.\n\n")
	curves, err := calibrate.Curves()
	if err != nil {
		return err
	}
	for i := range curves {
		c := &curves[i]
		name := "calibration/" + strings.Trim(unfit.ReplaceAllString(strings.ToLower(c.Of.Key()), "_"), "_") + ".svg"
		p := plot{title: fmt.Sprintf("%s (error %.2f)", c.Of.Key(), c.How.RMS), line: c.Line}
		p.x, p.y = axes[c.Of.Kind][0], axes[c.Of.Kind][1]
		for j := range c.Of.X {
			p.points = append(p.points, [2]float64{c.Of.X[j], c.Of.Y[j]})
		}
		out[name] = p.svg()
		fmt.Fprintf(&b, "![%s, %s](%s)\n", c.Of.Species, c.Of.Key(), name)
	}
	b.WriteString("\n## What a stock does with it\n\nNo series tells how a bed doubles. Two settings stand side by side at W15 of docs/model.md: with the death of young of a field model, which is measured, a bed doubles sooner than the 60 to 90 days of trade experience; with the death of young that is in use, set by that experience, within them. The fitted numbers moved neither by more than a day.\n\nNot made yet: a check of the ranges by profile, priors on which the studies of other species lean.\n")
	out["calibration.md"] = b.Bytes()
	return nil
}
