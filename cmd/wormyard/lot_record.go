package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"wormyard/figure"
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
	how := os.O_CREATE | os.O_WRONLY | os.O_EXCL
	if l.Replace {
		how = os.O_CREATE | os.O_WRONLY | os.O_TRUNC
	}
	f, err := os.OpenFile(out.File, how, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return figure.Refuse("file", fmt.Sprintf("A file %s is there already.", out.File), "Give another name with --file, or write over it with --replace.")
	}
	if err != nil {
		return figure.Refuse("file", fmt.Sprintf("The file %s cannot be written: %v.", out.File, err), "Give another place with --file.")
	}
	if _, err := f.Write(b.Bytes()); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return err
	}
	return c.Print(out, func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "The record of lot %s is in %s. It rests on %s; the newest is number %d, hash %s.\n", x.Lot, out.File, plural(x.Journal.Entries, "entry", "entries"), x.Journal.Newest, x.Journal.Hash)
		return err
	})
}
