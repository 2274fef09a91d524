package main

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"
	"time"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/trace"
)

// lotCommand asks about castings that left the beds.
type lotCommand struct {
	List    lotList    `cmd:"" help:"All lots, the newest first: how far they are and what is left."`
	Show    lotShow    `cmd:"" default:"withargs" help:"One lot: what went in by share, what came out, tests and balance."`
	Release lotRelease `cmd:"" help:"Hold a lot against a rule: what is met, missing or blocked, and how surely its text is known."`
	Rules   lotRules   `cmd:"" help:"The rules that a lot may be held against."`
	Assay   lotAssay   `cmd:"" help:"A laboratory's sheet (CSV, XLSX): what it says of each lot, every conversion shown; written down when asked to."`
	Record  lotRecord  `cmd:"" help:"The record of a lot as PDF: all that is written down of it, with the hash of the journal."`
	Trace   lotTrace   `cmd:"" help:"Where a lot, a pile, a delivery, a batch, a bin or a sale came from, or what it went into."`
}

type lotList struct{}

// Run lists the lots.
func (*lotList) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	list := app.Lots(a.State())
	return c.Print(list, func(w io.Writer) error {
		if len(list.Lots) == 0 {
			fmt.Fprintln(w, "No harvest went into a lot yet.")
			return nil
		}
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, l := range list.Lots {
			left := "left not known"
			if l.Sure {
				left = "about " + c.Units().Mass(l.LeftKgWet) + " left"
			}
			bags := ""
			if l.Bagged > 0 {
				bags = fmt.Sprintf("%s, %s sold", plural(l.Bagged, "bag", "bags"), grouped(l.Sold))
			}
			fmt.Fprintf(t, "%s\t%s\t%s\t%s in\t%s\t%s\n", l.Lot, l.State, day(l.Since, a.State().Zone()), c.Units().Mass(l.InKgWet), left, strings.TrimSpace(bags+" "+l.Why))
		}
		return t.Flush()
	})
}

func day(t time.Time, zone *time.Location) string { return t.In(zone).Format(time.DateOnly) }

type lotShow struct {
	Lot string `arg:"" help:"Name of the lot."`
}

// Run shows one lot.
func (l *lotShow) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	x, ok := app.LotShown(a.State(), l.Lot)
	if !ok {
		_, near := app.ThingNamed(a.State(), l.Lot)
		return noThing("lot", l.Lot, near)
	}
	u := c.Units()
	return c.Print(x, func(w io.Writer) error {
		fmt.Fprintf(w, "Lot %s, %s, since %s.\n", x.Lot, x.State, day(x.Since, a.State().Zone()))
		if x.Why != "" {
			fmt.Fprintf(w, "On hold: %s\n", x.Why)
		}
		for _, d := range x.Doubts {
			fmt.Fprintf(w, "Look at: %s\n", d)
		}
		fmt.Fprintln(w, "\nMade of:")
		if err := things(w, x.Made, u, a.State().Zone(), false); err != nil {
			return err
		}
		fmt.Fprintln(w, "\nOut of beds:")
		if err := things(w, x.Beds, u, a.State().Zone(), false); err != nil {
			return err
		}
		fmt.Fprintf(w, "\n%s bagged, %s of them sold.\n", plural(x.Bagged, "bag", "bags"), grouped(x.Sold))
		balanced(w, x.Balance, u)
		how := "what is usual, since no harvest was both weighed and measured"
		if x.Measured {
			how = "as this farm's harvests were weighed and measured"
		}
		fmt.Fprintf(w, "Volumes count at %s, %s.\n", u.Density(qty.KgPerM3Wet(x.Density)), how)
		return nil
	})
}

func noThing(field, name string, near []string) error {
	try := "See wormyard lot list for the names."
	if len(near) > 0 {
		try = "Did you mean " + strings.Join(near, ", ") + "?"
	}
	return figure.Refuse(field, fmt.Sprintf("Nothing is called %q in the journal.", name), try)
}

func things(w io.Writer, list []app.TraceThing, u qty.System, zone *time.Location, forward bool) error {
	t := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	for _, f := range list {
		share := "share not known"
		if f.Share != nil {
			share = shareInWords(*f.Share)
		}
		about := " "
		if f.Guessed && f.Share != nil {
			about = "about "
		}
		more := f.What
		if f.Number > 0 {
			more = strings.TrimSpace(more + ", " + plural(f.Number, "bag", "bags"))
		}
		mass := ""
		if forward && f.Mass != nil {
			mass = u.Mass(*f.Mass)
		}
		when := ""
		if !f.At.IsZero() {
			when = day(f.At, zone)
		}
		fmt.Fprintf(t, "  %s%s\t%s\t%s\t%s\t%s\n", about, share, mass, f.ID, when, strings.Trim(more, ", "))
	}
	if len(list) == 0 {
		fmt.Fprintln(t, "  nothing that is written down")
	}
	return t.Flush()
}

// shareInWords prints a share so that little is never nothing.
func shareInWords(s float64) string {
	if s > 0 && s < 0.001 {
		return "under 0.1 %"
	}
	return fmt.Sprintf("%.1f %%", 100*s)
}

func balanced(w io.Writer, b app.BalanceAnswer, u qty.System) {
	parts := []string{u.Mass(b.In) + " in"}
	if b.Water != 0 {
		parts = append(parts, u.Mass(b.Water)+" of water besides")
	}
	parts = append(parts, u.Mass(b.Out)+" out")
	if b.Left != nil {
		parts = append(parts, u.Mass(*b.Left)+" left")
	}
	fmt.Fprintf(w, "Balance: %s; %s not explained.", strings.Join(parts, ", "), u.Mass(b.Unexplained))
	if !b.Sure {
		fmt.Fprint(w, " Some masses are not known, so this counts only those that are.")
	}
	if b.Guessed {
		fmt.Fprint(w, " Some masses are made of volumes.")
	}
	fmt.Fprintln(w)
}

type lotTrace struct {
	Of      string `arg:"" help:"A lot, or \"pile hay\", \"delivery hay 2026-05-03\", \"batch 41\", \"bin B12\", \"customer C-03\"."`
	Back    bool   `xor:"way" help:"What it was made of; this is so when neither is said."`
	Forward bool   `xor:"way" help:"What it went into, for a recall."`
	Drill   bool   `help:"A recall tried out before one is needed: forward, and written down with the time that it took."`
	Mend    string `help:"Of --drill: what was missing or took long, so that it can be mended." placeholder:"TEXT"`
	By      string `help:"Of --drill: who tried it."`
}

// Run traces one thing.
func (l *lotTrace) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	switch {
	case l.Drill && l.Back:
		return figure.Refuse("drill", "A recall drill asks what a thing went into, not what it was made of.", "Leave --back out.")
	case !l.Drill && l.Mend+l.By != "":
		return figure.Refuse("drill", "--mend and --by belong to a recall drill.", "Add --drill, or leave them out.")
	}
	l.Forward = l.Forward || l.Drill
	way := trace.Back
	if l.Forward {
		way = trace.Forward
	}
	began := time.Now()
	group, near := app.ThingNamed(a.State(), l.Of)
	if group == "" {
		return noThing("of", l.Of, near)
	}
	x, ok := app.TraceOf(a.State(), group, way)
	if !ok {
		return noThing("of", l.Of, near)
	}
	x.Seconds = time.Since(began).Seconds()
	if l.Drill {
		body := app.Drilled(x, math.Round(x.Seconds*1000)/1000, l.Mend)
		if x.Drill, err = c.record(a, journal.Entry{Kind: "recall drill", Who: l.By, Device: "command", Body: body}, true); err != nil {
			return err
		}
	}
	u := c.Units()
	return c.Print(x, func(w io.Writer) error {
		if len(x.Loop) > 0 {
			fmt.Fprintf(w, "Look at: %s would be made of themselves; their shares are not known.\n", strings.Join(x.Loop, ", "))
		}
		if r := x.Recall; r != nil {
			fmt.Fprintf(w, "Can contain %s: %s in %s, %s of them sold; %s; %s. %.2f s.\n", x.Of, plural(r.Bags, "bag", "bags"), plural(r.Lots, "lot", "lots"), grouped(r.BagsSold),
				plural(r.Sales, "sale", "sales"), plural(len(r.Customers), "customer", "customers"), x.Seconds)
		} else {
			fmt.Fprintf(w, "%s was made of:\n", strings.ToUpper(x.Of[:1])+x.Of[1:])
		}
		if err := things(w, x.Found, u, a.State().Zone(), l.Forward); err != nil {
			return err
		}
		balanced(w, x.Balance, u)
		if x.Drill != "" {
			fmt.Fprintln(w, "Written down as a recall drill.")
		}
		return nil
	})
}
