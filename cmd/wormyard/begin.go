package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"wormyard/figure"
	"wormyard/internal/app"
)

type beginCommand struct {
	File string `arg:"" help:"The first morning as a CSV of three columns: what, of, value (docs/first_morning.md)."`
	Yes  bool   `help:"What was not told and is taken as usual is right."`
	Who  string `default:"owner" help:"Who tells it."`
}

// Run makes a new farm from one file that tells it.
func (b *beginCommand) Run(c *Context) error {
	data, err := c.bytes(b.File)
	if err != nil {
		return err
	}
	form, found, err := app.ReadFirst(bytes.NewReader(data))
	if err != nil {
		return err
	}
	if len(found) > 0 {
		return &figure.Refusal{Problems: b.told(found)}
	}
	a, store, err := c.makeFarm()
	if err != nil {
		return err
	}
	saved, found, err := a.Begin(c, form, b.Who, b.Yes)
	if err = errors.Join(err, store.CloseUnused()); err != nil {
		return err
	}
	if saved == 0 {
		return &figure.Refusal{Problems: b.told(found)}
	}
	s := a.State()
	answer := struct {
		Contract int    `json:"contract"`
		Farm     string `json:"farm"`
		Entries  int    `json:"entries"`
		Bins     int    `json:"bins"`
		Beds     int    `json:"beds"`
		Piles    int    `json:"piles"`
	}{1, c.Farm, saved, len(s.Bins()), len(s.Living()), len(s.Lying())}
	return c.Print(answer, func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "%s: %s in %s, %s with a bed, %s in the yard, in %s.\nNow: wormyard round --farm %s\n", c.Farm,
			plural(answer.Bins, "bin", "bins"), plural(len(s.Barns()), "barn", "barns"), grouped(answer.Beds), plural(answer.Piles, "pile", "piles"),
			plural(saved, "entry", "entries"), c.Farm)
		return err
	})
}

// told gives problems as refusals; what is only asked says how to answer yes.
func (b *beginCommand) told(list []app.Problem) []figure.Problem {
	out := make([]figure.Problem, 0, len(list))
	for _, p := range list {
		f := figure.Problem{Field: p.Field, Say: p.Say, Try: p.Try}
		switch {
		case p.Row > 0:
			f.Field = fmt.Sprintf("%s line %d", b.File, p.Row)
		case p.Field == "file":
			f.Field = b.File
		}
		if p.Doubt {
			f.Try += " (To say yes to all: --yes.)"
		}
		out = append(out, f)
	}
	return out
}
