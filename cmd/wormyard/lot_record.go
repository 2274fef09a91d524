package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"wormyard/internal/app"
	"wormyard/internal/web"
	"wormyard/internal/web/words"
)

type lotRecord struct {
	Lot      string `arg:"" help:"Name of the lot."`
	File     string `help:"Where to write it; lot-NAME.pdf here when it is not said." placeholder:"FILE"`
	Language string `help:"en or es." default:"en" enum:"en,es"`
	Replace  bool   `help:"Write over a file that is there."`
}

// Run writes the record of one lot.
func (l *lotRecord) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	x, ok := app.RecordOf(a.State(), l.Lot)
	if !ok {
		_, near := app.ThingNamed(a.State(), l.Lot)
		return noThing("lot", l.Lot, near)
	}
	out := app.LotRecordWritten{File: l.File, LotRecord: x}
	if out.File == "" {
		out.File = "lot-" + strings.NewReplacer("/", "_", "\\", "_", ":", "_", " ", "_").Replace(l.Lot) + ".pdf"
	}
	var b bytes.Buffer
	if err := web.LotRecord(&b, x, a.State(), words.Choose(words.Languages(), l.Language, ""), c.Units()); err != nil {
		return err
	}
	if err := writeNew("file", out.File, l.Replace, b.Bytes()); err != nil {
		return err
	}
	return c.Print(out, func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "The record of lot %s is in %s. It rests on %s; the newest is number %d, hash %s.\n", x.Lot, out.File, plural(x.Journal.Entries, "entry", "entries"), x.Journal.Newest, x.Journal.Hash)
		return err
	})
}
