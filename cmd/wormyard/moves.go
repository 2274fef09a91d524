package main

import (
	"fmt"
	"io"
	"time"

	"wormyard/barn"
	"wormyard/internal/app"
)

type movesCommand struct {
	File string `arg:"" optional:"" help:"File with the stacks and who is wanted as a JSON object (docs/contracts); standard input when left out."`
}

// Run finds the lifts that reach bins.
func (m *movesCommand) Run(c *Context) error {
	data, err := c.bytes(m.File)
	if err != nil {
		return err
	}
	answer, err := app.Moves(c, data, time.Now)
	if err != nil {
		return err
	}
	return c.Print(answer, func(w io.Writer) error { return movesInWords(w, answer) })
}

func movesInWords(w io.Writer, a *app.MovesAnswer) error {
	works := a.Works
	work := func(lifts int) error {
		for ; len(works) > 0 && works[0].After <= lifts; works = works[1:] {
			if x := works[0]; x.At != barn.AtWork && x.At != barn.Out {
				if _, err := fmt.Fprintf(w, "     work on %s at %s, forks down\n", x.Bin, placeSay(x.At)); err != nil {
					return err
				}
			}
		}
		return nil
	}
	if err := work(0); err != nil {
		return err
	}
	for n, m := range a.Moves {
		say := fmt.Sprintf("%s from %s to %s", m.Bin, placeSay(m.From), placeSay(m.To))
		switch {
		case m.To == barn.Out:
			say = fmt.Sprintf("%s out from %s", m.Bin, placeSay(m.From))
		case m.To == barn.AtWork:
			say = fmt.Sprintf("%s down from %s, to be worked on", m.Bin, placeSay(m.From))
		case m.From == barn.AtWork:
			say = fmt.Sprintf("%s up on %s", m.Bin, placeSay(m.To))
		}
		if _, err := fmt.Fprintf(w, "%3d  %s\n", n+1, say); err != nil {
			return err
		}
		if err := work(n + 1); err != nil {
			return err
		}
	}
	said := fmt.Sprintf("%d lifts. At least %d are needed; whether fewer than these would do is not known.", a.Lifts, a.Bound)
	if a.Proved {
		said = fmt.Sprintf("%d lifts. Fewer cannot do it.", a.Lifts)
	}
	if a.Metres > 0 {
		said += fmt.Sprintf("\n%.0f m along the aisle; no order of these lifts has less than %.0f m. That is %.0f m less than in the list found first.", a.Metres, a.Least, a.Saved)
	}
	_, err := fmt.Fprintf(w, "%s\n%s\n", said, a.Caution)
	return err
}

// placeSay is a place as a driver calls it.
func placeSay(place string) string {
	if place != "" && place[0] >= '0' && place[0] <= '9' {
		return "stack " + place
	}
	return place
}
