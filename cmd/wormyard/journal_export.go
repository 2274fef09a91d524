package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/sheet"
)

type journalExport struct {
	File string `arg:"" optional:"" help:"Where to write: .csv, .json or .xlsx; CSV on standard output when left out."`
	filter
	Replace bool `help:"Write over a file that is there."`
}

// Run exports the journal.
func (j *journalExport) Run(c *Context) error {
	store, err := c.openStore()
	if err != nil {
		return err
	}
	defer store.Close()
	want, err := j.wanted(time.UTC, store.Entries(c, 0))
	if err != nil {
		return err
	}
	entries := some(store.Entries(c, 0), want)
	write := func(w io.Writer) (int, error) { return sheet.ExportCSV(w, entries) }
	switch ext := strings.ToLower(filepath.Ext(j.File)); ext {
	case "":
		if j.File == "" && c.JSON {
			write = func(w io.Writer) (int, error) { return sheet.ExportJSON(w, contract.Version, entries) }
		} else if j.File != "" {
			return figure.Refuse("", fmt.Sprintf("The name %s does not say what to write.", j.File), "Let it end in .csv, .json or .xlsx.")
		}
	case ".csv":
	case ".json":
		write = func(w io.Writer) (int, error) { return sheet.ExportJSON(w, contract.Version, entries) }
	case ".xlsx":
		write = func(w io.Writer) (int, error) { return sheet.ExportXLSX(w, entries) }
	default:
		return figure.Refuse("", fmt.Sprintf("A %s file cannot be written.", ext), "Let the name end in .csv, .json or .xlsx.")
	}
	if j.File == "" {
		_, err := write(c.Stdout)
		return err
	}
	if _, err := os.Stat(j.File); err == nil && !j.Replace {
		return figure.Refuse("", fmt.Sprintf("There is a file %s already.", j.File), "Name another one, or say --replace.")
	}
	part := j.File + ".part"
	out, err := os.Create(part)
	if err != nil {
		return figure.Refuse("", fmt.Sprintf("%s cannot be written.", j.File), "See that the folder is there and that your user may write in it.")
	}
	defer os.Remove(part)
	n, err := write(out)
	if err = errors.Join(err, out.Close()); errors.Is(err, syscall.ENOSPC) {
		return figure.Refuse("", fmt.Sprintf("The disk that holds %s is full. Nothing was written.", j.File), "Make room, or name a file on another disk.")
	} else if err != nil {
		return err
	}
	if err := os.Rename(part, j.File); err != nil {
		return err
	}
	return c.Print(struct {
		File    string `json:"file"`
		Entries int    `json:"entries"`
	}{j.File, n}, func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "%s written to %s.\n", plural(n, "entry", "entries"), j.File)
		return err
	})
}
