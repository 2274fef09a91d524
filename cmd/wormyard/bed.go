package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"wormyard/bed"
	"wormyard/internal/app"
	"wormyard/qty"
)

type bedCommand struct {
	File string `arg:"" optional:"" help:"File with the bed as a JSON object (docs/contracts); standard input when left out."`
}

// Run runs one bed from a stated start.
func (b *bedCommand) Run(c *Context) error {
	data, err := c.bytes(b.File)
	if err != nil {
		return err
	}
	mixer, err := app.NewMixer(nil)
	if err != nil {
		return err
	}
	solver, done := onceSolver()
	defer done()
	mixer.Solver = solver
	answer, err := mixer.Bed(c, data, c.Units())
	if err != nil {
		return err
	}
	return c.Print(answer, func(w io.Writer) error { return bedInWords(w, answer, c.Units()) })
}

// bedInWords prints a run as a foreman would tell it: what came of the bed, what
// was noticed, a table by the week and what lies in it now.
func bedInWords(w io.Writer, a *app.BedAnswer, u qty.System) error {
	if len(a.Series) == 0 {
		fmt.Fprintln(w, "Nothing was run.")
		return nil
	}
	last := a.Series[len(a.Series)-1].Best()
	var hot, cold *bed.Day // of the days on which there was a bed
	eaten := 0.0
	span := 1.0
	if len(a.Series) > 1 {
		span = a.Series[1].Day - a.Series[0].Day
	}
	for _, r := range a.Series {
		d := r.Best()
		eaten += d.EatenKg
		if d.DryKg <= 0 {
			continue
		}
		if hot == nil || d.MaxC > hot.MaxC {
			hot = &d
		}
		if cold == nil || d.MinC < cold.MinC {
			cold = &d
		}
	}
	temp := func(v float64) string { return u.Temperature(qty.Celsius(v)) }
	if last.DryKg > 0 {
		fmt.Fprintf(w, "After %.0f days the bed is %s deep at %s, %s water, with %s of worms.\n", a.Series[len(a.Series)-1].Day,
			u.Depth(qty.Metre(last.DepthM)), temp(last.MeanC), qty.Percent100(last.WaterOfWet), u.Mass(last.WormsKg))
		fmt.Fprintf(w, "The worms ate %s; %s of castings are in it, %s of the dry matter.\n", u.Mass(eaten), u.Mass(last.CastingsKg), qty.Percent100(last.CastingsOfDry))
	} else {
		fmt.Fprintf(w, "After %.0f days the bin holds no bed. The worms ate %s before.\n", a.Series[len(a.Series)-1].Day, u.Mass(eaten))
	}
	if died, when := diedOut(a.Series); died {
		fmt.Fprintf(w, "No worm is left in it from day %.0f on: they died or left.\n", when)
	}
	if last.FeedLeftKg > 0 {
		fmt.Fprintf(w, "Of the feed %s (dry) is neither eaten nor rotted; C:N of all that is left is %.0f.\n", u.Mass(last.FeedLeftKg), last.CN)
	}
	if hot != nil {
		fmt.Fprintf(w, "Coldest %s, hottest %s.", temp(cold.MinC), temp(hot.MaxC))
		if hot.MaxC > 35 {
			fmt.Fprintf(w, " That is too hot for worms: keep feed layers thin, and keep %s of bed below under %s.", u.Depth(0.1), temp(30))
		}
		fmt.Fprint(w, "\n")
	}
	if len(a.Events) > 0 {
		fmt.Fprintln(w, "\nNoticed:")
		for i, e := range a.Events {
			if i == 20 {
				fmt.Fprintf(w, "  and %d more\n", len(a.Events)-i)
				break
			}
			chance := ""
			if e.Chance < 1 {
				chance = fmt.Sprintf(" (%.0f in 100)", 100*e.Chance)
			}
			fmt.Fprintf(w, "  day %.0f: %s%s\n", e.Day, e.What, chance)
		}
	}
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "day\tdepth\tmean\thottest\twater\tair\tfeed left\tcastings\tworms\teaten a day\trefuge\tstress\t")
	step := 1
	if n := len(a.Series); n > 20 {
		step = (n + 19) / 20
	}
	for i, r := range a.Series {
		if i%step != 0 && i != len(a.Series)-1 {
			continue
		}
		d := r.Best()
		if d.DryKg <= 0 {
			fmt.Fprintf(t, "%.0f\t-\t-\t-\t-\t-\t-\t-\t%s\t-\t-\tno bed\t\n", r.Day, u.Mass(d.WormsKg))
			continue
		}
		worst, which := 0.05, "-"
		for c := range bed.Stresses {
			if d.Stress[c] > worst {
				worst, which = d.Stress[c], fmt.Sprintf("%s %.1f", c, d.Stress[c])
			}
		}
		fmt.Fprintf(t, "%.0f\t%s\t%s\t%s\t%s\t%.1f %%\t%s\t%s\t%s\t%s\t%s\t%s\t\n", r.Day, u.Depth(qty.Metre(d.DepthM)), temp(d.MeanC), temp(d.MaxC), qty.Percent100(d.WaterOfWet),
			100*d.OxygenMin, u.Mass(d.FeedLeftKg), u.Mass(d.CastingsKg), u.Mass(d.WormsKg), u.Mass(d.EatenKg/span), u.Depth(qty.Metre(d.RefugeM)), which)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w, "  air: least oxygen in the pores; open air has 20.9 %")
	if len(a.Layers) > 0 {
		fmt.Fprintln(w, "\nWhat lies in it, from the top:")
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
		for _, l := range a.Layers {
			fmt.Fprintf(t, "  %s\t%s of %s\t%s\t%s water\t%s castings\t%s worms\t\n", u.Depth(qty.Metre(l.DepthM)), l.Kind, l.Laid, temp(l.TempC), qty.Percent100(l.Water), qty.Percent100(l.Castings), u.Mass(l.WormsKg))
		}
		if err := t.Flush(); err != nil {
			return err
		}
	}
	b := a.Budget
	fmt.Fprintf(w, "\nBalance: dry matter %s in, %s out, %s there; off by %.0e. Worst of water, carbon, nitrogen and heat: %.0e.\n", u.Mass(b.Dry.In), u.Mass(b.Dry.Out), u.Mass(b.Dry.Stored), b.Dry.Error,
		max(b.Water.Error, b.Carbon.Error, b.Nitrogen.Error, b.Energy.Error))
	for _, n := range a.Notes {
		fmt.Fprintf(w, "Note: %s\n", strings.TrimSpace(n))
	}
	return nil
}

// fewestKg is less than one grown worm [kg].
const fewestKg = 2e-4

// diedOut tells whether worms that were there are gone at the end, and the first
// day from which on there were none.
func diedOut(series []app.BedRow) (bool, float64) {
	i := len(series)
	for i > 0 && series[i-1].Best().WormsKg < fewestKg && series[i-1].Best().DryKg > 0 {
		i--
	}
	if i == len(series) || i == 0 {
		return false, 0
	}
	return true, series[i].Day
}
