package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/journal"
)

type lotRules struct{}

// Run lists the rules.
func (*lotRules) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	list, err := app.RulesListed(a.State(), a.Now())
	if err != nil {
		return err
	}
	return c.Print(list, func(w io.Writer) error {
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, r := range list.Rules {
			due := ""
			if r.Due {
				due = "overdue"
			}
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\tread again by %s %s\n", r.Rule, r.Title, r.Citation, knownInWords(r.Known), r.Review, due)
		}
		return t.Flush()
	})
}

// knownInWords says how a text is known.
func knownInWords(how string) string {
	switch how {
	case "found":
		return "read"
	case "memory":
		return "as recalled"
	}
	return "the farm's own"
}

type lotRelease struct {
	Lot    string   `arg:"" help:"Name of the lot."`
	Rule   string   `required:"" help:"Key of the rule, as wormyard lot rules lists them."`
	Shown  []string `sep:"none" help:"Evidence that the journal does not hold, on the word of who signs: feedstocks_listed=\"list of 3 May, in the blue folder\"." placeholder:"KEY=TEXT"`
	Record bool     `help:"Write the release down; only when the rule lets it."`
	By     string   `help:"Who signs."`
	Yes    bool     `help:"The text of the rule was read and is as recalled."`
	Note   string   `help:"Note with it."`
}

// Run holds a lot against a rule.
func (l *lotRelease) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	if _, ok := a.State().Lot(l.Lot); !ok {
		_, near := app.ThingNamed(a.State(), l.Lot)
		return noThing("lot", l.Lot, near)
	}
	rule, near, ok, err := app.RuleNamed(a.State(), l.Rule)
	if err != nil {
		return err
	}
	if !ok {
		return figure.Refuse("rule", fmt.Sprintf("There is no rule %q.", l.Rule), "Use one of "+strings.Join(near, ", ")+".")
	}
	var shown []journal.Evidence
	for _, x := range l.Shown {
		key, what, ok := strings.Cut(x, "=")
		if !ok || strings.TrimSpace(what) == "" {
			return figure.Refuse("shown", fmt.Sprintf("%q does not say what shows it.", x), "Write it as feedstocks_listed=\"list of 3 May\".")
		}
		shown = append(shown, journal.Evidence{Key: strings.TrimSpace(key), What: strings.TrimSpace(what)})
	}
	answer, err := app.Judged(a.State(), l.Lot, rule, shown, l.By, a.Now())
	if err != nil {
		return err
	}
	if l.Record {
		if strings.TrimSpace(l.By) == "" {
			return figure.Refuse("by", "Nobody signs the release.", "Give the name with --by.")
		}
		ack, err := a.Record(c, journal.Entry{Kind: "release", Who: l.By, Device: "command", Body: &journal.Release{Lot: l.Lot, Rule: rule.Key, By: l.By, Shown: shown, Note: l.Note}}, l.Yes)
		if err != nil {
			return err
		}
		if !ack.Saved {
			var all []error
			for _, p := range ack.Problems {
				all = append(all, figure.Refuse(p.Field, p.Say, p.Try))
			}
			return errors.Join(all...)
		}
		answer.Recorded = ack.Entry.ID
	}
	return c.Print(answer, func(w io.Writer) error {
		fmt.Fprintf(w, "Lot %s under %s (%s, %s, %s): %s.\n", answer.Lot, answer.Title, answer.Citation, answer.Jurisdiction, knownInWords(answer.Known), answer.State)
		if answer.Held != "" {
			fmt.Fprintf(w, "On hold: %s\n", answer.Held)
		}
		fmt.Fprintln(w, answer.AnimalWhy)
		for _, x := range answer.Lines {
			either := ""
			if x.Either != "" {
				either = " (one of those marked " + x.Either + " is enough)"
			}
			fmt.Fprintf(w, "\n%s: %s%s\n  %s\n", x.State, x.Asked, either, x.Has)
			if x.Try != "" {
				fmt.Fprintf(w, "  %s\n", x.Try)
			}
			fmt.Fprintf(w, "  %s, %s.\n", x.Citation, knownInWords(x.Known))
		}
		fmt.Fprintln(w)
		for _, x := range answer.Caution {
			fmt.Fprintln(w, x)
		}
		if answer.Recorded != "" {
			fmt.Fprintf(w, "Released by %s; entry %s.\n", l.By, answer.Recorded)
		}
		return nil
	})
}
