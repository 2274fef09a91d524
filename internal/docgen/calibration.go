package main

import (
	"bytes"
	"fmt"

	"wormyard/internal/calibrate"
)

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
	table("Numbers", "The values in use (docs/parameters.md) lie within these ranges and are not yet these values.", r.Fitted)
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
	table("How far the series pull at what is held", "Numbers that figures print are held. Fitted together with the rest they would be these; where the range is that of before, no series tells anything.", r.Pulled)
	table("Scales of the studies", "1 is feed as in the numbers above.", r.Scales)
	b.WriteString("## Series\n\nErrors in the logarithm, ours over print. Beyond 0.35 a series counts as not met.\n\n| series | points | mean | root mean square | |\n|---|---|---|---|---|\n")
	for _, m := range r.Series {
		not := ""
		if m.RMS > 0.35 {
			not = "not met"
		}
		fmt.Fprintf(&b, "| %s, %s | %d | %+.2f | %.2f | %s |\n", m.Study, m.Name, m.Points, m.Mean, m.RMS, not)
	}
	b.WriteString("\nSeries of other species are in growth.json for comparison and are not fitted. Not made yet: pictures of the series, a check of the ranges by profile, draws of the twins that are correlated as above.\n")
	out["calibration.md"] = b.Bytes()
	return nil
}
