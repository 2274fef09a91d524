package main

import (
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/journal"
)

type verifyCommand struct{}

// verifyAnswer is what verify prints.
type verifyAnswer struct {
	Farm string `json:"farm"`
	journal.Audit
	Photos int    `json:"photos"`
	Bins   int    `json:"bins"`
	Piles  int    `json:"piles"`
	Same   bool   `json:"folds_agree"` // folded in order and with the older half late, the farm is the same
	Head   string `json:"head"`        // the last link of the chain
	Broken bool   `json:"is_broken"`   // the chain, or a photo
}

// Run rechecks the farm: the file, the chain, the photos, and that the fold of
// the journal gives the same farm in whatever order the entries came.
func (v *verifyCommand) Run(c *Context) error {
	store, err := c.openStore()
	if err != nil {
		return err
	}
	defer store.Close()
	audit, err := store.Verify(c)
	if err != nil {
		return err
	}
	wrong, photos, err := store.VerifyPhotos(c)
	if err != nil {
		return err
	}
	answer := verifyAnswer{Farm: c.Farm, Audit: audit, Head: audit.Head.String(), Photos: photos, Broken: audit.Broken != nil || len(wrong) > 0}
	entries, err := store.Load(c, 0)
	if err != nil {
		return err
	}
	trade, err := app.Trade()
	if err != nil {
		return err
	}
	once := farm.New(trade)
	once.Apply(entries)
	first, err := farmHash(once.State())
	if err != nil {
		return err
	}
	answer.Bins, answer.Piles = len(once.State().Bins()), len(once.State().Piles())
	late := farm.New(trade) // the older half comes after the newer one
	late.Apply(entries[len(entries)/2:])
	late.Apply(entries[:len(entries)/2])
	second, err := farmHash(late.State())
	if err != nil {
		return err
	}
	answer.Same = first == second
	err = c.Print(answer, func(w io.Writer) error {
		fmt.Fprintf(w, "%s: %s in %s of the chain, %s from probes in blocks, %s struck.\n", c.Farm,
			plural(audit.Entries, "entry", "entries"), plural(audit.Links, "link", "links"), grouped(audit.Readings), grouped(audit.Struck))
		if audit.Entries > 0 {
			fmt.Fprintf(w, "From %s to %s. Last link %s.\n", audit.First.Format("2 January 2006"), audit.Last.Format("2 January 2006"), answer.Head[:16])
		}
		if audit.Broken == nil {
			fmt.Fprintln(w, "The chain holds.")
		}
		if photos > 0 && len(wrong) == 0 {
			fmt.Fprintf(w, "%s as put away.\n", plural(photos, "photo", "photos"))
		}
		if answer.Same {
			fmt.Fprintf(w, "Folded twice, in order and with the older half coming late, the farm is the same: %s, %s.\n", plural(answer.Bins, "bin", "bins"), plural(answer.Piles, "pile", "piles"))
		}
		return nil
	})
	if err != nil {
		return err
	}
	var problems []figure.Problem
	if b := audit.Broken; b != nil {
		problems = append(problems, figure.Problem{Field: fmt.Sprintf("entry %d %s", b.Seq, b.ID), Say: "The chain breaks here. " + b.Say,
			Try: "Restore the last backup under another name and compare it (journal export of both); keep this file."})
	}
	for _, say := range wrong {
		problems = append(problems, figure.Problem{Field: "photo", Say: say, Try: "The journal is not touched by it. Look for the photo in the last backup."})
	}
	if !answer.Same {
		problems = append(problems, figure.Problem{Say: "The fold of the journal depends on the order in which entries came. That is our fault.", Try: "Send us the export of the journal (journal export)."})
	}
	for _, p := range problems {
		fmt.Fprintf(c.Stderr, "%s %s\n  try: %s\n", p.Field, p.Say, p.Try)
	}
	if len(problems) > 0 {
		return errors.New("verify found the farm amiss, as told above")
	}
	return nil
}

// farmHash gives a hash of all that a farm says of itself.
func farmHash(s *farm.State) (sum [32]byte, err error) {
	h := sha256.New()
	enc := json.NewEncoder(h)
	for _, part := range []any{s.Entries, s.Last, s.LastID, s.Settings, s.Barns(), s.Bins(), s.Piles(), s.Batches(), s.Lots(), s.Orders(), s.Trials(), s.Weather(), s.Seen(), s.Doubts()} {
		if err := enc.Encode(part); err != nil {
			return sum, fmt.Errorf("hashing the farm: %w", err)
		}
	}
	return [32]byte(h.Sum(nil)), nil
}
