package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// screenCommand foretells a screening, or says what the entry of one would do.
type screenCommand struct {
	File    string  `arg:"" optional:"" help:"File with the body of a screen entry as a JSON object (docs/contracts/entry), - for standard input; left out, a deck is foretold from what is said here."`
	Lot     string  `help:"The lot that is to be screened; without it only shares are told, of a heap as is usual." placeholder:"LOT"`
	Opening string  `help:"Opening of the deck, such as \"1/4 in\" or \"6 mm\"." placeholder:"LENGTH"`
	Water   float64 `help:"Moisture of what is screened, per cent of its wet mass." default:"45" placeholder:"PERCENT"`
	Rate    float64 `help:"How quickly it is fed, per cent of what is usual." default:"100" placeholder:"PERCENT"`
	Drum    bool    `help:"A drum, not a flat deck."`
	Chips   float64 `help:"Unworked chips in the heap, per cent; 0 for what is usual." placeholder:"PERCENT"`
	Record  bool    `help:"Write the entry down."`
	Yes     bool    `help:"Write it down although something is unusual."`
	Who     string  `help:"Who screened."`
}

// Run foretells a deck, or says what the entry of a screening would do and writes
// it down when asked to.
func (x *screenCommand) Run(c *Context) error {
	asked, err := x.asked(c.Units())
	if err != nil {
		return err
	}
	screens, err := app.NewScreens()
	if err != nil {
		return err
	}
	if x.File == "" && x.Lot == "" {
		return x.print(c, screens.Foretell(nil, nil, asked))
	}
	var body any
	if x.File != "" {
		data, err := c.bytes(x.File)
		if err != nil {
			return err
		}
		if body, err = app.Body("screen", data); err != nil {
			return err
		}
	}
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	if body == nil {
		l, ok := a.State().Lot(x.Lot)
		if !ok {
			_, near := app.ThingNamed(a.State(), x.Lot)
			return noThing("lot", x.Lot, near)
		}
		return x.print(c, screens.Foretell(a.State(), l, asked))
	}
	now := c.Now()
	e := journal.Entry{ID: newID(now), Kind: "screen", At: now, Who: x.Who, Device: "command", Body: body}
	answer, err := screens.ScreenSaid(a, body.(*journal.Screen), asked, &e)
	if err != nil {
		return err
	}
	if x.Record {
		if answer.Recorded, err = c.record(a, e, x.Yes); err != nil {
			return err
		}
	}
	return x.print(c, answer)
}

// asked reads the flags, and tells all that is wrong with them.
func (x *screenCommand) asked(u qty.System) (app.ScreenAsked, error) {
	var p figure.Problems
	p.Between("water", "The moisture, in per cent,", x.Water, 0, 95)
	p.Between("rate", "The rate, in per cent of the usual,", x.Rate, 1, 1000)
	p.Between("chips", "The part that is chips, in per cent,", x.Chips, 0, 95)
	in := app.ScreenAsked{Water: qty.WaterOfWet(x.Water / 100), Rate: x.Rate / 100, Drum: x.Drum, Chips: x.Chips / 100}
	switch {
	case x.Opening != "":
		m, err := qty.Parse(x.Opening, qty.Length)
		if err != nil {
			p.Add("opening", fmt.Sprintf("%q is no opening.", x.Opening), `Write it with its unit, such as "1/4 in" or "6 mm".`)
			break
		}
		in.Opening = m * 1000
		if !(in.Opening >= leastOpeningMM && in.Opening <= mostOpeningMM) {
			p.Add("opening", fmt.Sprintf("The opening is %s.", openingInWords(u, in.Opening)), fmt.Sprintf("Give one from %s to %s.", openingInWords(u, leastOpeningMM), openingInWords(u, mostOpeningMM)))
		}
	case x.File == "":
		p.Add("opening", "It is not said which deck.", `Add --opening "1/4 in", or name a file with the entry of a screening.`)
	}
	if x.File == "" && x.Record {
		p.Add("record", "There is no screening to write down.", "Name the file with its body, or - for standard input.")
	}
	return in, p.Refuse()
}

func (x *screenCommand) print(c *Context, a app.ScreenForetold) error {
	return c.Print(a, func(w io.Writer) error { return screenInWords(w, a, c.Units()) })
}

func screenInWords(w io.Writer, x app.ScreenForetold, u qty.System) error {
	percent := func(v *float64) string { return fmt.Sprintf("%.0f %%", 100**v) }
	span := func(r twin.Range) string {
		return fmt.Sprintf("%.0f %% (%.0f to %.0f)", 100*r.Mid, 100*r.Low, 100*r.High)
	}
	what := "a heap of castings"
	if x.Lot != "" {
		what = "lot " + x.Lot
	}
	fmt.Fprintf(w, "%s over a %s of %s at %.0f %% moisture.\n", capital(what), map[string]string{"flat": "flat deck", "drum": "drum"}[x.Kind], openingInWords(u, x.Opening), 100*x.Water)
	for _, s := range x.Warnings {
		fmt.Fprintf(w, "Look at: %s\n", s)
	}
	if x.Runs {
		t := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
		through, over := span(*x.Share), ""
		if x.Through != nil {
			through, over = massSpan(u, *x.Through)+", "+through, massSpan(u, *x.Over)
		}
		fmt.Fprintf(t, "  goes through\t%s\n", through)
		if over != "" {
			fmt.Fprintf(t, "  stays on top\t%s\n", over)
		}
		fmt.Fprintf(t, "  efficiency\t%s: %s of the fine goes through, %s of the coarse stays\n", percent(x.Efficient), percent(x.Recovered), percent(x.Kept))
		fmt.Fprintf(t, "  stays with the overs\t%s of cocoons, %s of grown worms\n", span(*x.CocoonsRange), span(*x.WormsRange))
		fmt.Fprintf(t, "  fungal threads whole\t%s\n", span(*x.ThreadsRange))
		if err := t.Flush(); err != nil {
			return err
		}
	}
	if x.Own > 0 {
		fmt.Fprintf(w, "By the farm's own cut, learned from %s.\n", plural(x.Own, "screening", "screenings"))
	} else {
		fmt.Fprintln(w, "The cut is assumed; no screening of worm castings was found in print. Weigh what passes and what stays, and it learns yours.")
	}
	if len(x.Beside) > 0 {
		fmt.Fprintln(w, "\nOther openings for the same heap:")
		t := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
		for _, b := range x.Beside {
			fmt.Fprintf(t, "  %s\tthrough %s\tkept: cocoons %s\tworms %s\tthreads whole %s\n", openingInWords(u, b.Opening), span(b.Share), span(b.CocoonsRange), span(b.WormsRange), span(b.ThreadsRange))
		}
		if err := t.Flush(); err != nil {
			return err
		}
	}
	if s := x.Said; s != nil {
		fmt.Fprintln(w, "\nThe entry:")
		if s.Over != nil {
			fmt.Fprintf(w, "  kept back %s; lot %s before, %s after\n", u.Mass(*s.Over), u.Mass(s.LotBefore), u.Mass(s.LotAfter))
		}
		if s.Unexplained != nil {
			fmt.Fprintf(w, "  %s of the lot is neither through nor over: dried, left lying or weighed otherwise\n", u.Mass(*s.Unexplained))
		}
		if s.Pile != "" {
			fmt.Fprintf(w, "  overs onto pile %s: %s before, %s after\n", s.Pile, u.Mass(s.PileBefore), u.Mass(s.PileAfter))
		}
	}
	return afterwards(w, x.Doubts, x.Recorded)
}

func openingInWords(u qty.System, mm float64) string { return u.Opening(qty.Metre(mm / 1000)) }

// What decks can be foretold of [mm].
const (
	leastOpeningMM = 0.5
	mostOpeningMM  = 50
)

func capital(s string) string {
	return string(s[0]-'a'+'A') + s[1:]
}
