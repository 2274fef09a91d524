package main

import (
	"fmt"
	"io"

	"wormyard/figure"
	"wormyard/internal/contract"
)

type journalStrike struct {
	ID  string `arg:"" help:"Id of the entry, as journal list shows it."`
	Why string `required:"" help:"The reason, for those who read the journal later."`
	Who string `help:"Who strikes it."`
}

// Run strikes an entry.
func (j *journalStrike) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	ack, err := a.Strike(c, j.ID, j.Who, j.Why)
	if err != nil {
		return err
	}
	if !ack.Saved {
		var out []figure.Problem
		for _, p := range ack.Problems {
			out = append(out, figure.Problem{Field: p.Field, Say: p.Say, Try: p.Try})
		}
		return contract.Refuse(out)
	}
	return c.Print(struct {
		Struck string `json:"struck"`
		By     string `json:"by"`
	}{j.ID, ack.Entry.ID}, func(w io.Writer) error {
		_, err := fmt.Fprintf(w, "Struck. To let it count again, strike %s.\n", ack.Entry.ID)
		return err
	})
}
