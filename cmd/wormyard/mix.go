package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"sort"
	"strings"
	"text/tabwriter"

	"wormyard/internal/app"
	"wormyard/internal/highs"
	mixing "wormyard/mix"
	linear "wormyard/program"
	"wormyard/qty"
)

type mixCommand struct {
	File string `arg:"" optional:"" help:"File with the parts as a JSON object (docs/contracts); standard input when left out."`
}

// Run blends, or finds the parts of a blend.
func (m *mixCommand) Run(c *Context) error {
	data, err := c.bytes(m.File)
	if err != nil {
		return err
	}
	solver, done := onceSolver()
	defer done()
	mixer, err := app.NewMixer(solver)
	if err != nil {
		return err
	}
	answer, err := mixer.Mix(c, data, c.Units())
	if err != nil {
		return err
	}
	if c.NoWorking {
		answer.Working = nil
	}
	return c.Print(answer, func(w io.Writer) error { return mixInWords(w, answer, c.Units(), !c.NoWorking) })
}

// onceSolver gives a solver for one question. Compiling it takes seconds and
// pays only where the result is kept, so without a kept one it is interpreted.
func onceSolver() (linear.Solver, func()) {
	var s *highs.Solver
	return func(ctx context.Context, p linear.Problem) (linear.Solution, error) {
			if s == nil {
				dir := highs.CacheDir()
				s = highs.Open(highs.Options{CacheDir: dir, Interpret: !highs.Cached(dir)})
			}
			return s.Solve(ctx, p)
		}, func() {
			if s != nil {
				_ = s.Close()
			}
		}
}

// mixInWords prints a mix as a foreman would say it.
func mixInWords(w io.Writer, a *app.MixAnswer, u qty.System, working bool) error {
	if a.Possible != nil && !*a.Possible {
		fmt.Fprintln(w, "No mix of these parts meets the target. Nearest:")
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	for _, p := range a.Parts {
		cells := []string{}
		if a.Bucket != nil {
			cells = append(cells, "")
			if p.Buckets != nil {
				cells[0] = buckets(*p.Buckets)
			}
		}
		volume := "volume not known"
		if p.Volume != nil {
			volume = u.Volume(qty.CubicMetre(*p.Volume))
		}
		share := ""
		if p.Share != nil {
			share = qty.Percent100(*p.Share) + " of the volume"
		}
		cells = append(cells, volume, u.Mass(p.MassWet), share)
		fmt.Fprintf(t, "  %s\t%s\t\n", strings.Join(cells, "\t"), p.Name)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if poured := float64(a.Recipe.Water); poured > 0 {
		fmt.Fprintf(w, "  and %s of water\n", u.Water(qty.WaterKg(poured)))
	}
	if a.Bucket != nil {
		fmt.Fprintf(w, "  by a bucket of %s\n", u.Volume(qty.CubicMetre(*a.Bucket)))
	}
	fmt.Fprintln(w)
	mixNumbersInWords(w, a, u)
	mixJudgedInWords(w, a, u)
	if working && len(a.Working) > 0 {
		fmt.Fprintln(w, "\nWorking:")
		for _, s := range a.Working {
			fmt.Fprintf(w, "  %s %s: %s\n    %s\n    gives %s\n", s.Equation, s.Figure, s.How, pairs(s.Inputs), pairs(s.Outputs))
		}
	}
	return nil
}

// mixNumbersInWords prints what the mix is, a line a number, with its range.
func mixNumbersInWords(w io.Writer, a *app.MixAnswer, u qty.System) {
	percent := func(v float64) string { return qty.Figures(100*v) + " %" }
	plain := qty.Figures
	n := a.Mix
	if n.MassWet != nil && n.Volume != nil {
		fmt.Fprintf(w, "It makes %s, %s.\n", u.Volume(qty.CubicMetre(*n.Volume)), u.Mass(*n.MassWet))
	} else if n.MassWet != nil {
		fmt.Fprintf(w, "It makes %s; the volume is not known.\n", u.Mass(*n.MassWet))
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, l := range []struct {
		name, key string
		value     *float64
		print     func(float64) string
		after     string
	}{
		{"moisture", "water_frac_wet", n.Water, percent, ""},
		{"carbon to nitrogen", "cn", n.CN, plain, ""},
		{"nitrogen of dry matter", "nitrogen_frac_dry", n.Nitrogen, percent, ""},
		{"bulk density", "density_kg_m3_wet", n.Density, func(v float64) string { return u.Density(qty.KgPerM3Wet(v)) }, ""},
		{"air-filled space", "air_filled_frac", n.AirFilled, percent, airMethod(n.AirMethod)},
		{"ash of dry matter", "ash_frac_dry", n.Ash, percent, ""},
		{"salts", "ec_ds_m", n.Salts, func(v float64) string { return plain(v) + " dS/m" }, "estimate"},
		{"ammonia nitrogen", "ammonia_n_mg_kg_dry", n.Ammonia, func(v float64) string { return plain(v) + " mg/kg of dry matter" }, ""},
		{"lignin of dry matter", "lignin_frac_dry", n.Lignin, percent, ""},
	} {
		if l.value == nil {
			continue
		}
		said := l.print(*l.value)
		if r, ok := a.Range[l.key]; ok && r.P05 != r.P95 {
			said += fmt.Sprintf("\t%s to %s in 9 of 10", l.print(r.P05), l.print(r.P95))
		} else {
			said += "\t"
		}
		if l.after != "" {
			said += "\t" + l.after
		}
		fmt.Fprintf(t, "  %s\t%s\n", l.name, said)
	}
	if n.PHLow != nil && n.PHHigh != nil {
		fmt.Fprintf(t, "  pH of the parts\t%s to %s\t\ttest the mix\n", plain(*n.PHLow), plain(*n.PHHigh))
	}
	_ = t.Flush() // the writer below reports its own errors
}

func airMethod(m *string) string {
	if m == nil {
		return ""
	}
	return map[string]string{"volumes": "from the volumes of water and solids", "linear": "from bulk density alone"}[*m]
}

// mixJudgedInWords prints the windows, what to add, hazards, and what to do next.
func mixJudgedInWords(w io.Writer, a *app.MixAnswer, u qty.System) {
	for _, h := range a.Windows {
		if h.Met == nil {
			continue
		}
		chance := ""
		if c := a.Chance[h.Window]; c != nil && len(a.Range) > 0 {
			chance = fmt.Sprintf(" (%.0f in 100)", 100**c)
		}
		verdict := "inside"
		if !*h.Met {
			verdict = "OUTSIDE"
		}
		fmt.Fprintf(w, "  %-8s %s%s\n", verdict, windowInWords(h), chance)
		if !*h.Met && h.Why != "" {
			fmt.Fprintf(w, "           %s\n", h.Why)
		}
	}
	if a.ChanceAll != nil && len(a.Range) > 0 && len(a.Windows) > 1 {
		fmt.Fprintf(w, "  all at once: %.0f in 100\n", 100**a.ChanceAll)
	}
	if a.Possible == nil && a.WaterToAdd != nil {
		switch kg := *a.WaterToAdd; {
		case kg > 0 && a.WaterMiddle != nil:
			fmt.Fprintf(w, "Add %s of water to come into the window, %s to its middle.\n", u.Water(qty.WaterKg(kg)), u.Water(qty.WaterKg(*a.WaterMiddle)))
		case kg > 0:
			fmt.Fprintf(w, "Add %s of water.\n", u.Water(qty.WaterKg(kg)))
		case kg < 0:
			fmt.Fprintf(w, "It is too wet by %s of water; mix in something dry.\n", u.Water(qty.WaterKg(-kg)))
		}
	}
	if a.Cost != nil && *a.Cost > 0 {
		fmt.Fprintf(w, "The parts cost %s.\n", qty.Figures(*a.Cost))
	}
	for _, b := range a.Blocked {
		best := ""
		if b.Best != nil {
			best = fmt.Sprintf(" The nearest is %s.", windowValue(b.Window, *b.Best))
		}
		fmt.Fprintf(w, "Blocked by %s.%s %s\n", windowName(b.Window), best, b.Needs)
	}
	for _, h := range a.Hazards {
		fmt.Fprintf(w, "%s %s: %s. %s %s\n", map[string]string{"refuse": "Do not use", "hold": "Hold", "warn": "Mind"}[h.Level], h.Material, h.What, h.Why, h.Clears)
	}
	if a.NextTest != nil {
		fmt.Fprintf(w, "Next: %s %s\n", a.NextTest.What, a.NextTest.Why)
	}
	for _, u := range a.Unknown {
		fmt.Fprintln(w, u)
	}
	for _, n := range a.Notes {
		fmt.Fprintf(w, "Note: %s\n", n)
	}
}

func windowName(key string) string {
	if o, ok := mixing.OutputOf(key); ok {
		return o.Words()
	}
	return key
}

func windowValue(key string, v float64) string {
	if strings.Contains(key, "_frac") {
		return qty.Figures(100*v) + " %"
	}
	return qty.Figures(v)
}

func windowInWords(h app.MixHeld) string {
	name, value := windowName(h.Window), ""
	if h.Value != nil {
		value = " is " + windowValue(h.Window, *h.Value)
	}
	switch {
	case h.Min != nil && h.Max != nil && *h.Min == *h.Max:
		return fmt.Sprintf("%s%s, wanted %s", name, value, windowValue(h.Window, *h.Min))
	case h.Min != nil && h.Max != nil && *h.Min > 0:
		return fmt.Sprintf("%s%s, wanted %s to %s", name, value, windowValue(h.Window, *h.Min), windowValue(h.Window, *h.Max))
	case h.Max != nil:
		return fmt.Sprintf("%s%s, wanted at most %s", name, value, windowValue(h.Window, *h.Max))
	case h.Min != nil:
		return fmt.Sprintf("%s%s, wanted at least %s", name, value, windowValue(h.Window, *h.Min))
	}
	return name + value
}

// buckets prints a count of buckets with quarters: "3½ buckets".
func buckets(n float64) string {
	whole, part := math.Modf(n)
	mark, ok := map[float64]string{0: "", 0.25: "¼", 0.5: "½", 0.75: "¾"}[part]
	if !ok {
		return qty.Figures(n) + " buckets"
	}
	switch {
	case whole == 0 && mark != "":
		return mark + " bucket"
	case whole == 1 && mark == "":
		return "1 bucket"
	}
	return fmt.Sprintf("%.0f%s buckets", whole, mark)
}

// pairs prints inputs or outputs of a step in a fixed order.
func pairs(m map[string]float64) string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for i, k := range keys {
		keys[i] = fmt.Sprintf("%s %.6g", k, m[k])
	}
	return strings.Join(keys, ", ")
}
