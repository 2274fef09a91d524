package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// countCommand says what a count says: of worms in a bin, or of a slide of a lot.
type countCommand struct {
	File   string `arg:"" optional:"" help:"File with the body of a count or microscope entry as a JSON object (docs/contracts/entry); standard input when left out."`
	Record bool   `help:"Write the entry down."`
	Yes    bool   `help:"Write it down although something is unusual."`
	Who    string `help:"Who counted."`
}

// Run says what a count says, and writes it down when asked to.
func (x *countCommand) Run(c *Context) error {
	data, err := c.bytes(x.File)
	if err != nil {
		return err
	}
	kind, body, err := app.CountBody(data)
	if err != nil {
		return err
	}
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	now := c.Now()
	e := journal.Entry{ID: newID(now), Kind: kind, At: now, Who: x.Who, Device: "command", Body: body}
	answer, err := app.CountSaid(a.State(), kind, body, e.ID, now)
	if err != nil {
		return err
	}
	if x.Record {
		if answer.Recorded, err = c.record(a, e, x.Yes); err != nil {
			return err
		}
	}
	return c.Print(answer, func(w io.Writer) error { return countInWords(w, answer) })
}

func countInWords(w io.Writer, a app.CountAnswer) error {
	fmt.Fprintf(w, "Counted of %s; this speaks for the %s alone.\n", a.Of, a.SpeaksFor)
	t := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	say := func(v float64) string { return qty.Figures(app.Round2(v)) }
	for _, x := range a.Counted {
		if x.None {
			fmt.Fprintf(t, "  %s\tnone seen\tunder %s %s\n", x.What, say(x.High), x.Unit)
			continue
		}
		more := ""
		if x.Whole != nil {
			more = "about " + say(*x.Whole) + " in the bin, were it alike all over"
		}
		if x.MassUg != nil {
			more = "about " + say(*x.MassUg) + " µg dry in a gram"
		}
		if x.Low == x.High {
			fmt.Fprintf(t, "  %s\t%s weighed\t%s %s\t%s\n", x.What, qty.Figures(x.Seen), say(x.Rate), x.Unit, more)
			continue
		}
		fmt.Fprintf(t, "  %s\t%s seen\t%s %s, likely %s to %s\t%s\n", x.What, qty.Figures(x.Seen), say(x.Rate), x.Unit, say(x.Low), say(x.High), more)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if r := a.Ratio; r != nil && r.Low != nil && r.High != nil {
		fmt.Fprintf(w, "Fungi to bacteria by dry mass: %s to 1, likely %s to %s.\n", say(r.Ratio), say(*r.Low), say(*r.High))
	} else if r != nil {
		fmt.Fprintf(w, "Fungi to bacteria by dry mass: %s to 1; no limits can be given.\n", say(r.Ratio))
	}
	for _, d := range a.Doubts {
		fmt.Fprintf(w, "Look at: %s %s\n", d.Say, d.Try)
	}
	if a.Recorded != "" {
		fmt.Fprintf(w, "Written down as %s.\n", a.Recorded)
	}
	return nil
}
