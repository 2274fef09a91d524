package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/job"
	"wormyard/internal/web"
	webwords "wormyard/internal/web/words"
)

type seasonCommand struct {
	File string `arg:"" optional:"" help:"File with the farm and what it can sell as a JSON object (docs/contracts); standard input when left out."`
	Mine bool   `help:"Plan the year of the farm as its journal has it, in place of a file."`
}

// Run plans a season.
func (s *seasonCommand) Run(c *Context) error {
	if s.Mine {
		return s.mine(c)
	}
	data, err := c.bytes(s.File)
	if err != nil {
		return err
	}
	solver, done := onceSolver()
	defer done()
	answer, err := app.Season(c, data, solver, time.Now)
	if err != nil {
		return err
	}
	return c.Print(answer, func(w io.Writer) error { return seasonInWords(w, answer) })
}

// mine plans the year of this farm.
func (s *seasonCommand) mine(c *Context) error {
	a, store, t, err := c.openTwins()
	if err != nil {
		return err
	}
	defer store.Close()
	solver, done := onceSolver()
	defer done()
	var meter job.Meter
	y, err := t.MakeYear(c, solver, func(step string, done, of int) {
		left, known := meter.Left(time.Now(), done, of)
		if !c.JSON {
			fmt.Fprintf(c.Stderr, "\r%-70s", progressBar(step, 100*done/of, 100, left, known))
		}
	})
	if !c.JSON {
		fmt.Fprintf(c.Stderr, "\r%70s\r", "")
	}
	if err != nil {
		return err
	}
	return c.Print(y, func(w io.Writer) error {
		for _, line := range web.YearSaid(y, webwords.English(), c.Units(), a.State().Zone(), a.Now(), a.State().Settings.Money.Currency) {
			fmt.Fprintln(w, line)
		}
		return nil
	})
}

// seasonInWords prints a plan by the period, then what holds it back.
func seasonInWords(w io.Writer, a *app.SeasonAnswer) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "week\tstart\tharvest\tcollect m3\tsell\tbins\tworms kg\tcured m3\tcrew h")
	for _, s := range a.Plan {
		fmt.Fprintf(t, "%.0f\t%s\t%s\t%s\t%s\t%.0f\t%.0f\t%.1f\t%.0f\n", s.Week+1, byName(s.Start), byName(s.Harvest), byName(s.Collect), byName(s.Sell), s.Bins, s.WormsKg, s.StockM3, s.CrewHours)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, s := range a.Plan {
		when := inWeeks(s.Week, s.Weeks)
		for _, h := range s.Heat {
			fmt.Fprintf(w, "Heat %s by %.3g degrees C in %s.\n", barnNamed(h.Barn), h.Degrees, when)
		}
		for _, x := range s.Splits {
			which := fmt.Sprintf("begun in week %.0f", x.Begun+1)
			if x.Begun < 0 {
				which = fmt.Sprintf("that run already, to be ripe in %.3g weeks", x.RipeIn)
			}
			fmt.Fprintf(w, "Split %.3g bins of %s (%s) in %s.\n", x.Bins, x.Mix, which, when)
		}
	}
	fmt.Fprintf(w, "\nWorth %.0f; no plan is worth more than %.0f.\n", a.Value, a.Bound)
	if a.Rules {
		fmt.Fprintln(w, "The search was stopped before it had a better plan: this one is by simple rules.")
	} else if a.Simple != nil {
		fmt.Fprintf(w, "A plan by simple rules is worth %.0f.\n", *a.Simple)
	}
	for _, x := range a.Heat {
		fmt.Fprintf(w, "Heat of %s in %s costs %.0f and brings %.0f.\n", barnNamed(x.Barn), inWeeks(x.Week, x.Weeks), x.Cost, x.Brings)
	}
	if len(a.Heat) > 0 {
		fmt.Fprintf(w, "With it the plan is worth %.0f more than with none, the fuel paid.\n", a.Worth)
	}
	if len(a.Changes) > 0 {
		fmt.Fprintln(w, "\nOtherwise than in the last plan:")
		for _, x := range a.Changes {
			fmt.Fprintln(w, x.Say)
		}
		fmt.Fprintln(w)
	}
	for _, x := range a.Tight {
		fmt.Fprintln(w, x.Say)
	}
	for _, x := range a.Unmet {
		fmt.Fprintf(w, "Promised and not there: %.3g of %s in week %.0f.\n", x.Pieces, x.Product, x.Week+1)
	}
	if a.Replay != nil {
		if err := inYears(w, a); err != nil {
			return err
		}
	}
	for _, n := range a.Notes {
		fmt.Fprintln(w, n)
	}
	return nil
}

func inWeeks(from, weeks float64) string {
	if weeks > 1 {
		return fmt.Sprintf("weeks %.0f to %.0f", from+1, from+weeks)
	}
	return fmt.Sprintf("week %.0f", from+1)
}

func barnNamed(name string) string {
	if name == "" {
		return "the barn"
	}
	return "barn " + name
}

// inYears prints what the plan came to in drawn years and what may be promised.
func inYears(w io.Writer, a *app.SeasonAnswer) error {
	v := a.Replay.Value
	fmt.Fprintf(w, "\nIn %d drawn years it earns %.0f in the middle one, and %.0f to %.0f in nine of ten.\n", a.Replay.Worlds, v[1], v[0], v[2])
	for _, k := range a.Replay.Kept {
		if k.Often < 1 {
			fmt.Fprintf(w, "%.3g of %s, promised for week %.0f, are there in %.0f of 100 years.\n", k.Promised, k.Product, k.Week+1, 100*k.Often)
		}
	}
	if len(a.Promise) == 0 {
		return nil
	}
	fmt.Fprintln(w, "\nWhat may be promised besides, each alone:")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "product\tweek\tpromised\tmore\tkept in 100 years")
	for _, p := range a.Promise {
		when := fmt.Sprintf("%.0f", p.Week+1)
		if p.Weeks > 1 {
			when = fmt.Sprintf("%.0f to %.0f", p.Week+1, p.Week+p.Weeks)
		}
		fmt.Fprintf(t, "%s\t%s\t%.3g\t%.3g\t%.0f\n", p.Product, when, p.Promised, p.More, 100*p.Kept)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w)
	return nil
}

func byName(of map[string]float64) string {
	var out []string
	for _, name := range slices.Sorted(maps.Keys(of)) {
		out = append(out, fmt.Sprintf("%.3g %s", of[name], name))
	}
	if len(out) == 0 {
		return "-"
	}
	return strings.Join(out, ", ")
}
