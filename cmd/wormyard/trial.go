package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"wormyard/internal/app"
	"wormyard/qty"
)

// trialCommand tells what trials say so far.
type trialCommand struct {
	Name string `arg:"" optional:"" help:"Name of the trial; all of them when left out."`
}

// Run tells what trials say so far.
func (x *trialCommand) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	list := app.Trials(a.State(), a.Now())
	if x.Name != "" {
		if list, err = app.TrialNamed(list, x.Name); err != nil {
			return err
		}
	}
	return c.Print(list, func(w io.Writer) error {
		if len(list.Trials) == 0 {
			fmt.Fprintln(w, "No trial is written down. Mark matched bins as sides of one, with the question asked.")
			return nil
		}
		for _, t := range list.Trials {
			fmt.Fprintf(w, "%s, since %s. %s\n", t.Name, day(t.Since, a.State().Zone()), t.Question)
			if t.What != "" {
				fmt.Fprintf(w, "What differs: %s\n", t.What)
			}
			for i, side := range t.Sides {
				fmt.Fprintf(w, "  side %d: %s\n", i+1, strings.Join(side, ", "))
			}
			if err := measuresInWords(w, t, c.Units()); err != nil {
				return err
			}
		}
		fmt.Fprintln(w, "A bin counts once, however often it was read; ranges hold in 9 of 10 such trials. With few bins only large differences are seen, and other things may differ too.")
		return nil
	})
}

// measured gives what a thing is called, and how its values and differences print.
func measured(key string, u qty.System) (name string, value, difference func(float64) string) {
	switch key {
	case "temp_c":
		per := 1.0
		unit := "°C"
		if u == qty.US {
			per, unit = 1.8, "°F"
		}
		return "temperature read", func(v float64) string { return u.Temperature(qty.Celsius(v)) }, func(v float64) string { return fmt.Sprintf("%+.1f %s", per*v, unit) }
	case "water_frac_wet":
		return "moisture read", qty.Percent100, func(v float64) string { return fmt.Sprintf("%+.1f points of 100", 100*v) }
	case "fed_kg_wet":
		return "fed", u.Mass, signedMass(u)
	case "castings_kg_wet":
		return "castings taken", u.Mass, signedMass(u)
	}
	return "worms counted on a square metre", func(v float64) string { return fmt.Sprintf("%.0f", v) }, func(v float64) string { return fmt.Sprintf("%+.0f", v) }
}

func signedMass(u qty.System) func(float64) string {
	return func(v float64) string {
		if v < 0 {
			return "-" + u.Mass(-v)
		}
		return "+" + u.Mass(v)
	}
}

func measuresInWords(w io.Writer, t app.TrialAnswer, u qty.System) error {
	if len(t.Measures) == 0 {
		fmt.Fprintln(w, "  Nothing was read or done on both sides yet.")
		return nil
	}
	out := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	for _, m := range t.Measures {
		name, value, difference := measured(m.Key, u)
		var sides []string
		for _, s := range m.Sides {
			if s.Mean == nil {
				sides = append(sides, fmt.Sprintf("side %d not known", s.Side))
				continue
			}
			sides = append(sides, fmt.Sprintf("side %d %s (%s)", s.Side, value(*s.Mean), plural(s.Bins, "bin", "bins")))
		}
		for i, p := range m.Pairs {
			if i > 0 {
				name, sides = "", nil
			}
			says := "no range: too few bins, or all alike"
			if p.Low != nil {
				says = fmt.Sprintf("%s to %s: %s", difference(*p.Low), difference(*p.High), map[string]string{"more": "more", "less": "less", "cannot tell": "cannot be told apart"}[p.Verdict])
			}
			fmt.Fprintf(out, "  %s\t%s\tside %d less side 1: %s\t%s\n", name, strings.Join(sides, ", "), p.Side, difference(p.Difference), says)
		}
	}
	return out.Flush()
}
