package web

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/season"
)

// SeasonSaid prints the answer of wormyard season: a plan by the period in SI units, then
// what holds it back and what it came to in drawn years.
func SeasonSaid(w io.Writer, a *app.SeasonAnswer, c *words.Catalogue) error {
	say := func(key string, values ...any) { fmt.Fprintln(w, c.Say(key, values...)) }
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, c.Say("plan.heads"))
	for i, s := range a.Plan {
		fmt.Fprintf(t, "%.0f\t%s\t%s\t%s\t%s\t%.0f\t%.0f\t%.1f\t%.0f\n", s.Week+1, byName(s.Start), byName(s.Harvest), byName(s.Collect), byName(s.Sell), s.Bins, a.Worms[i], s.StockM3, s.CrewHours)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, s := range a.Plan {
		when := weeksSaid(c, s.Week, s.Weeks)
		for _, h := range s.Heat {
			say("plan.heat", heatedSaid(c, h.Barn), three(h.Degrees), when)
		}
		for _, x := range s.Splits {
			which := c.Say("plan.begun", whole(x.Begun+1))
			if x.Begun < 0 {
				which = c.Say("plan.runs", three(x.RipeIn))
			}
			say("plan.split", three(x.Bins), x.Mix, which, when)
		}
	}
	fmt.Fprintln(w)
	say("plan.worth", whole(a.Value), whole(a.Bound))
	if a.Rules {
		say("plan.rules")
	} else if a.Simple != nil {
		say("plan.simple", whole(*a.Simple))
	}
	for _, x := range a.Heat {
		say("plan.brings", heatedSaid(c, x.Barn), weeksSaid(c, x.Week, x.Weeks), whole(x.Cost), whole(x.Brings))
	}
	if len(a.Heat) > 0 {
		say("plan.heatworth", whole(a.Worth))
	}
	if len(a.Changes) > 0 {
		fmt.Fprintln(w)
		say("plan.changes")
		for _, x := range a.Changes {
			fmt.Fprintln(w, changeSaid(c, x.Change))
		}
		fmt.Fprintln(w)
	}
	for _, x := range a.Tight {
		fmt.Fprintln(w, tightSaid(c, x.Tight))
	}
	for _, x := range a.Unmet {
		say("plan.unmet", three(x.Pieces), x.Product, whole(x.Week+1))
	}
	if a.Replay != nil {
		if err := yearsSaid(w, a, c); err != nil {
			return err
		}
	}
	for _, n := range a.Notes {
		fmt.Fprintln(w, c.Told(n))
	}
	return nil
}

// yearsSaid prints what the plan came to in drawn years and what may be promised.
func yearsSaid(w io.Writer, a *app.SeasonAnswer, c *words.Catalogue) error {
	say := func(key string, values ...any) { fmt.Fprintln(w, c.Say(key, values...)) }
	v := a.Replay.Value
	fmt.Fprintln(w)
	say("plan.years", a.Replay.Worlds, whole(v[1]), whole(v[0]), whole(v[2]))
	for _, k := range a.Replay.Kept {
		if k.Often < 1 {
			say("plan.kept", three(k.Promised), k.Product, whole(k.Week+1), whole(100*k.Often))
		}
	}
	if len(a.Promise) == 0 {
		return nil
	}
	fmt.Fprintln(w)
	say("plan.besides")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, c.Say("plan.besidesheads"))
	for _, p := range a.Promise {
		when := whole(p.Week + 1)
		if p.Weeks > 1 {
			when = c.Say("plan.to", when, whole(p.Week+p.Weeks))
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\n", p.Product, when, three(p.Promised), three(p.More), whole(100*p.Kept))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w)
	return nil
}

func three(v float64) string { return fmt.Sprintf("%.3g", v) }

func weeksSaid(c *words.Catalogue, from, weeks float64) string {
	if weeks > 1 {
		return c.Say("plan.inweeks", whole(from+1), whole(from+weeks))
	}
	return c.Say("plan.inweek", whole(from+1))
}

// heatedSaid names a barn that is heated; a plan for one barn alone gives none.
func heatedSaid(c *words.Catalogue, name string) string {
	if name == "" {
		return c.Say("plan.thebarn")
	}
	return barnSaid(c, name)
}

// changeSaid tells of a change from the last plan; of a barn whether it is heated.
func changeSaid(c *words.Catalogue, x season.Change) string {
	key := "plan.changed." + x.What
	if x.What == season.ChangedHeat {
		if x.After < x.Before {
			key = "plan.changed.cold"
		}
		return c.Say(key, sentence(weeksSaid(c, x.Week, x.Weeks)), heatedSaid(c, x.Of))
	}
	return c.Say(key, sentence(weeksSaid(c, x.Week, x.Weeks)), three(x.After), x.Of, three(x.Before))
}

// tightSaid tells of a limit.
func tightSaid(c *words.Catalogue, t season.Tight) string {
	name := c.Say("plan.limit."+strings.ReplaceAll(string(t.Kind), " ", ""), t.Of)
	if t.Of == "" {
		name = c.Say("plan.limit." + strings.ReplaceAll(string(t.Kind), " ", ""))
	}
	when := c.Say("plan.inweek", whole(t.Weeks[0]+1))
	if n := len(t.Weeks); n > 1 {
		when = c.Say("plan.periods", n, whole(t.Weeks[0]+1), whole(t.Weeks[n-1]+1))
	}
	return c.Say("plan.tight", name, when, c.Say("plan.unit."+strings.ReplaceAll(string(t.Kind), " ", "")), t.WorthSaid())
}

func byName(of map[string]float64) string {
	var out []string
	for _, name := range slices.Sorted(maps.Keys(of)) {
		out = append(out, three(of[name])+" "+name)
	}
	if len(out) == 0 {
		return "-"
	}
	return strings.Join(out, ", ")
}
