package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

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
	file, err := os.Open(b.File)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
		return cannotOpen(b.File, err)
	}
	if err != nil {
		return err
	}
	defer file.Close()
	form, found, err := app.ReadFirst(file)
	if err != nil {
		return err
	}
	if len(found) > 0 {
		return &figure.Refusal{Problems: b.told(found)}
	}
	a, store, err := openFarm(c)
	if err != nil {
		return err
	}
	saved, found, err := a.Begin(c, form, b.Who, b.Yes)
	if err = errors.Join(err, store.Close()); err != nil {
		return inWords(err)
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
		if p.Row > 0 {
			f.Field = fmt.Sprintf("%s line %d", b.File, p.Row)
		}
		if p.Doubt {
			f.Try += " (To say yes to all: --yes.)"
		}
		out = append(out, f)
	}
	return out
}
