package main

import (
	"fmt"
	"io"

	"wormyard/internal/sqlite"
)

type backupCommand struct {
	File    string `arg:"" help:"Where to write the copy, best on another disk."`
	Replace bool   `help:"Write over a file that is there."`
}

// Run writes a checked copy of the farm while others work with it.
func (b *backupCommand) Run(c *Context) error {
	store, err := c.openStore()
	if err != nil {
		return err
	}
	defer store.Close()
	audit, err := store.Backup(c, b.File, b.Replace)
	if err != nil {
		return err
	}
	return c.Print(struct {
		File    string `json:"file"`
		Entries int    `json:"entries"`
		Head    string `json:"head"`
	}{b.File, audit.Entries, audit.Head.String()}, func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "%s copied to %s and rechecked.\n", plural(audit.Entries, "entry", "entries"), b.File)
		return err
	})
}

type restoreCommand struct {
	File    string `arg:"" help:"The backup."`
	Replace bool   `help:"Put it in place of a farm that is there; the old one is kept beside it."`
}

// Run makes the farm from a backup.
func (r *restoreCommand) Run(c *Context) error {
	done, err := sqlite.Restore(c, r.File, c.Farm, r.Replace, c.Now().Format("20060102-150405"))
	if err != nil {
		return err
	}
	return c.Print(struct {
		Farm    string `json:"farm"`
		Entries int    `json:"entries"`
		Head    string `json:"head"`
		Aside   string `json:"old_farm_kept_as,omitempty"`
	}{c.Farm, done.Audit.Entries, done.Audit.Head.String(), done.Aside}, func(w io.Writer) error {
		fmt.Fprintf(w, "%s rechecked and restored to %s.\n", plural(done.Audit.Entries, "entry", "entries"), c.Farm)
		if done.Aside != "" {
			fmt.Fprintf(w, "The farm that was there is kept as %s.\n", done.Aside)
		}
		return nil
	})
}
