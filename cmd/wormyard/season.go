package main

import (
	"errors"
	"fmt"
	"io"
	"time"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/job"
	"wormyard/internal/web"
	webwords "wormyard/internal/web/words"
)

type seasonCommand struct {
	File string `arg:"" optional:"" help:"File with the farm and what it can sell as a JSON object (docs/contracts); standard input when left out."`
	Mine bool   `help:"Plan the year of the farm as its journal has it, in place of a file."`

	Language string `help:"Of the answer in words: en or es." default:"en" enum:"en,es"`
}

// Run plans a season.
func (s *seasonCommand) Run(c *Context) error {
	speak := webwords.Choose(webwords.Languages(), s.Language, "")
	if s.Mine {
		return told(c, s.mine(c, speak), speak)
	}
	return told(c, s.plan(c, speak), speak)
}

// told puts a refusal in the language that was asked for; JSON has the words of the
// contract.
func told(c *Context, err error, speak *webwords.Catalogue) error {
	var why *figure.Refusal
	if c.JSON || !errors.As(err, &why) {
		return err
	}
	out := &figure.Refusal{}
	for _, p := range why.Problems {
		out.Problems = append(out.Problems, figure.Problem{Field: p.Field, Say: speak.Told(p.Say), Try: speak.Told(p.Try)})
	}
	return out
}

// plan plans a season from a file.
func (s *seasonCommand) plan(c *Context, speak *webwords.Catalogue) error {
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
	return c.Print(answer, func(w io.Writer) error { return web.SeasonSaid(w, answer, speak) })
}

// mine plans the year of this farm.
func (s *seasonCommand) mine(c *Context, speak *webwords.Catalogue) error {
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
	return c.Print(y.Answer(), func(w io.Writer) error {
		for _, line := range web.YearSaid(y, speak, c.Units(), a.State().Zone(), a.Now(), a.State().Settings.Money.Currency) {
			fmt.Fprintln(w, line)
		}
		return nil
	})
}
