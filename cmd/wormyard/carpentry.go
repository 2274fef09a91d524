package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"wormyard/internal/app"
	"wormyard/internal/web"
	"wormyard/internal/web/words"
)

type carpentryCommand struct {
	File     string `arg:"" optional:"" help:"File with the bin as a JSON object (docs/contracts); standard input when left out."`
	SVG      string `name:"svg" help:"Write the drawings into this file as SVG." placeholder:"FILE"`
	PDF      string `name:"pdf" help:"Write drawings, cut list, checks and what to buy into this file as PDF." placeholder:"FILE"`
	Language string `help:"Of the drawings: en or es." default:"en" enum:"en,es"`
	Replace  bool   `help:"Write over files that are there."`
}

// Run works a wooden bin out, and draws it where that is asked for.
func (b *carpentryCommand) Run(c *Context) error {
	data, err := c.bytes(b.File)
	if err != nil {
		return err
	}
	solver, done := onceSolver()
	defer done()
	mixer, err := app.NewMixer(solver)
	if err != nil {
		return err
	}
	workshop, err := app.NewWorkshop(mixer, solver)
	if err != nil {
		return err
	}
	answer, err := workshop.Read(c, data)
	if err != nil {
		return err
	}
	if err := b.draw(c, answer); err != nil {
		return err
	}
	return c.Print(answer, func(w io.Writer) error { return boxInWords(w, answer) })
}

// draw writes the files of drawings that were asked for.
func (b *carpentryCommand) draw(c *Context, a *app.BoxAnswer) error {
	speak := words.Choose(words.Languages(), b.Language, "")
	if b.SVG != "" {
		var out bytes.Buffer
		if err := web.BoxSVG(&out, a, speak, c.Units()); err != nil {
			return err
		}
		if err := writeNew("svg", b.SVG, b.Replace, out.Bytes()); err != nil {
			return err
		}
	}
	if b.PDF == "" {
		return nil
	}
	var out bytes.Buffer
	if err := web.BoxPDF(&out, a, speak, c.Units(), c.Now()); err != nil {
		return err
	}
	return writeNew("pdf", b.PDF, b.Replace, out.Bytes())
}

// boxInWords prints a bin for the workshop: what it holds, what fails, what to
// cut from what.
func boxInWords(w io.Writer, a *app.BoxAnswer) error {
	fmt.Fprintf(w, "A bin %.4g in high, inside %.4g by %.4g by %.4g in: %.3g ft3, %.0f lb full (%.0f lb of it wood).\n", a.Stands, a.Inside[0], a.Inside[1], a.Inside[2], a.FillFt3, a.BoxLb, a.WoodLb)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, c := range a.Checks {
		said := "holds"
		if !c.OK {
			said = "FAILS"
		}
		fmt.Fprintf(t, "%s\t%s\t%.4g of %.4g %s\t%.0f %%\n", said, c.Name, c.Value, c.Allowed, c.Unit, 100*c.Ratio)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w, "\nCut list")
	t = tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, c := range a.Cuts {
		var pieces []string
		for _, p := range c.Pieces {
			pieces = append(pieces, fmt.Sprintf("%.4g", p))
		}
		fmt.Fprintf(t, "%d x\t%s of %.4g in\t%s in\t%.4g in left\n", c.Times, c.Stick, c.Stock, strings.Join(pieces, " + "), c.Waste)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	cost := ""
	if a.Cost != nil {
		cost = fmt.Sprintf(", %.2f in money", *a.Cost)
	}
	fmt.Fprintf(w, "%.0f ft bought%s, %.0f %% left over. %d fasteners. Wood lasts about %.2g to %.2g years (common practice, no source).\n", a.BoughtIn/12, cost, 100*a.WasteFrac, a.Fasteners, a.Life[0], a.Life[1])
	if h := a.Holes; h != nil {
		if m := h.Model; m != nil {
			fmt.Fprintf(w, "By the bed model the bed has %.1f %% of oxygen where it has least without holes, %.1f %% with these; %.0f %% is wanted. %.2g lb of water a day leaves through the top.\n", 100*m.Without, 100*m.With, 100*m.Wanted, m.TopLbDay)
		}
		fmt.Fprintf(w, "%d holes (rows in a side: %d), %d in each long side and %d in each short one, %.3g in apart; they dry the bed by about %.2g lb a day.\n", h.Count, h.Rows, h.PerSide[0], h.PerSide[2], h.ApartIn, h.DryingLbD)
	}
	fmt.Fprintf(w, "Sides and floor lose %.3g W for each degree C that the bed is warmer than the barn.\n", a.Warmth.Sides+a.Warmth.Floor)
	for _, n := range append(a.Notes, a.Cautions...) {
		fmt.Fprintln(w, n)
	}
	return nil
}
