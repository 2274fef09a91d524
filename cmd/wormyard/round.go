package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/job"
	"wormyard/internal/web"
	webwords "wormyard/internal/web/words"
	"wormyard/round"
)

type roundCommand struct {
	Day  string `help:"The day, YYYY-MM-DD; only today can be computed." placeholder:"DAY"`
	Anew bool   `help:"Compute it again even where today's is there."`
	Try  bool   `help:"Also print what else was tried for each line."`
}

// Run prints today's list, computing it first where there is none yet.
func (r *roundCommand) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	if today := a.Now().Format(time.DateOnly); r.Day != "" && r.Day != today {
		return figure.Refuse("day", fmt.Sprintf("A round can be computed for today, %s, and not for %s.", today, r.Day), "Leave --day out.")
	}
	if len(a.State().Living()) == 0 {
		return figure.Refuse("", "There is no bin with a bed yet, so there is nothing to do today.", "Set the farm up first: wormyard begin FILE.csv, or run wormyard serve and open its page.")
	}
	t, err := newTwins(c, a, store)
	if err != nil {
		return err
	}
	if r.Anew || t.Stale(c) {
		var meter job.Meter
		if _, err := t.MakeRound(c, func(step string, done, of int) {
			left, known := meter.Left(time.Now(), done, of)
			if !c.JSON && of > 0 {
				fmt.Fprintf(c.Stderr, "\r%-70s", progressBar(step, done, of, left, known))
			}
		}); err != nil {
			return err
		}
		if !c.JSON {
			fmt.Fprintf(c.Stderr, "\r%70s\r", "")
		}
	}
	words := round.Words{Units: c.Units(), Zone: a.State().Zone()}
	l, _, err := t.List(c, words)
	if err != nil {
		return err
	}
	l, left, err := web.Aside(a.State(), l, webwords.English(), words.Units, a.Now())
	if err != nil {
		return err
	}
	items := []round.Item{}
	for _, n := range l.Lines {
		items = append(items, n.Items...)
	}
	if c.NoWorking {
		for i := range l.Lines {
			l.Lines[i].Items = slices.Clone(l.Lines[i].Items)
			withoutWorking(l.Lines[i].Items)
		}
		withoutWorking(items)
	}
	return c.Print(struct {
		Contract int          `json:"contract"`
		Items    []round.Item `json:"items"`
		round.List
	}{1, items, l}, func(w io.Writer) error { return r.words(w, l, words, left) })
}

func (r *roundCommand) words(w io.Writer, l round.List, words round.Words, left map[string][]string) error {
	day, _ := time.Parse(time.DateOnly, l.Day)
	took := "about " + minutes(l.Minutes)
	if due := l.Due(); due > 0 && due < l.Minutes {
		took = fmt.Sprintf("about %s today, %s more this week", minutes(due), minutes(l.Minutes-due))
	}
	fmt.Fprintf(w, "%s. %s, %s. %d of %s left as they are.\n", day.Format("Monday 2 January 2006"), plural(len(l.Lines), "line", "lines"), took, l.Resting, plural(l.Bins, "bin", "bins"))
	for _, p := range l.Weather {
		fmt.Fprintln(w, words.Text(p))
	}
	if len(l.Visits) > 0 {
		fmt.Fprintf(w, "\nVisits with the truck\n")
	}
	for _, v := range l.Visits {
		fmt.Fprintln(w, "  [ ] "+v.Text)
	}
	head := ""
	for _, n := range inOrder(l.Lines) {
		at := "Yard"
		switch {
		case n.Act == round.Mend || n.Act == round.Helped:
			at = "Against troubles"
		case n.Urgency == round.Now:
			at = "First"
		case n.Barn != "":
			at = n.Barn + ", row " + n.Row
		}
		if at != head {
			fmt.Fprintf(w, "\n%s\n", at)
			head = at
		}
		when := string(n.Urgency)
		if n.Minutes > 0 {
			when += ", " + minutes(n.Minutes)
		}
		fmt.Fprintf(w, "  [ ] %s (%s)\n", n.Say, when)
		if len(n.Items) > 4 {
			fmt.Fprintln(w, "      "+placesOf(n))
		}
		for _, s := range append([]string{n.Reason, n.Sure}, left[n.Key]...) {
			if s != "" {
				fmt.Fprintln(w, "      "+s)
			}
		}
		if n.Caution != "" {
			fmt.Fprintln(w, "      ! "+n.Caution)
		}
		if r.Try {
			for _, t := range n.Items[0].Tried {
				mark := " "
				if t.Chosen {
					mark = "*"
				}
				fmt.Fprintf(w, "      %s %-34s left %2.0f%%  too warm %2.0f%%  sour %2.0f%%  dry %2.0f%%  castings %s\n", mark, t.Say, 100*t.Left, 100*t.TooWarm, 100*t.Sour, 100*t.Dry, words.Units.Mass(t.CastingsKg))
			}
		}
	}
	if len(l.Notes) > 0 {
		fmt.Fprintln(w)
	}
	for _, p := range l.Notes {
		fmt.Fprintln(w, "note: "+words.Text(p))
	}
	return nil
}

// inOrder puts the lines of remedies after what cannot wait.
func inOrder(lines []round.Line) []round.Line {
	rank := func(l round.Line) int {
		switch {
		case l.Act == round.Mend || l.Act == round.Helped:
			return 1
		case l.Urgency == round.Now:
			return 0
		}
		return 2
	}
	out := slices.Clone(lines)
	slices.SortStableFunc(out, func(a, b round.Line) int { return rank(a) - rank(b) })
	return out
}

func withoutWorking(items []round.Item) {
	for i := range items {
		items[i].Working = nil
	}
}

// placesOf names the bins of a line that is too long to name them itself.
func placesOf(l round.Line) string {
	out := make([]string, len(l.Items))
	for i, it := range l.Items {
		out[i] = it.Place
	}
	return strings.Join(out, ", ")
}

func minutes(m float64) string {
	if m < 60 {
		return fmt.Sprintf("%.0f min", math.Ceil(m))
	}
	return fmt.Sprintf("%d h %02d min", int(m)/60, int(m)%60)
}

type binCommand struct {
	Name string `arg:"" help:"The bin as painted, or its place, such as 3-4-2."`
	At   string `help:"Not now but then: a day since the bedding, or a day and a time, such as \"2026-03-01 08:00\"." placeholder:"TIME"`
}

// Run prints what is likely in a bin now and in the coming days.
func (b *binCommand) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	s := a.State()
	name, e := s.BinCalled(b.Name)
	if e != nil {
		return figure.Refuse("bin", e.Say, e.Try)
	}
	bin, _ := s.Bin(name)
	if bin.Bed == nil {
		return figure.Refuse("bin", fmt.Sprintf("Bin %s holds no bed now.", bin.Name), "Enter the bedding, or ask for another bin.")
	}
	t, err := newTwins(c, a, store)
	if err != nil {
		return err
	}
	at, err := b.time(a, bin)
	if err != nil {
		return err
	}
	v, err := t.OutlookAt(c, bin.Name, at)
	if err != nil {
		return err
	}
	return c.Print(struct {
		Contract int    `json:"contract"`
		Place    string `json:"place"`
		*app.Outlook
	}{1, s.Called(bin), v}, func(w io.Writer) error { return binInWords(w, c, s.Called(bin), v, a) })
}

// time reads --at in the farm's zone; now without it.
func (b *binCommand) time(a *app.App, bin *farm.Bin) (time.Time, error) {
	now := a.Now()
	if b.At == "" {
		return now, nil
	}
	const layout = "2006-01-02 15:04"
	for _, l := range []string{time.RFC3339, layout, "2006-01-02T15:04", time.DateOnly} {
		at, err := time.ParseInLocation(l, b.At, a.State().Zone())
		if err != nil {
			continue
		}
		switch {
		case at.After(now):
			return at, figure.Refuse("at", fmt.Sprintf("%s is still to come.", at.Format(layout)), "Leave --at out: what is ahead is shown with it.")
		case at.Before(bin.Bed.At):
			return at, figure.Refuse("at", fmt.Sprintf("The bed of bin %s is there since %s.", bin.Name, bin.Bed.At.In(a.State().Zone()).Format(layout)), "Ask for a later time.")
		}
		return at, nil
	}
	return now, figure.Refuse("at", fmt.Sprintf("%q is not a time.", b.At), "Write it as 2026-03-01 or \"2026-03-01 08:00\".")
}

func binInWords(w io.Writer, c *Context, place string, v *app.Outlook, a *app.App) error {
	u := c.Units()
	fmt.Fprintf(w, "%s (%s), %s\n", v.Bin, place, v.Made.In(a.State().Zone()).Format("Monday 2 January 2006 15:04"))
	fmt.Fprintf(w, "  depth    %s (%s to %s)\n", depth(u, v.Depth.Mid), depth(u, v.Depth.Low), depth(u, v.Depth.High))
	fmt.Fprintf(w, "  warmest  %s (%s to %s), %s down\n", temp(u, v.Warmest.Mid), temp(u, v.Warmest.Low), temp(u, v.Warmest.High), depth(u, v.WarmAt.Mid))
	fmt.Fprintf(w, "  water    %.0f %% (%.0f to %.0f) in the middle\n", 100*v.Water.Mid, 100*v.Water.Low, 100*v.Water.High)
	fmt.Fprintf(w, "  feed     %.0f %% of the last feeding left (%.0f to %.0f)\n", 100*v.Left.Mid, 100*v.Left.Low, 100*v.Left.High)
	fmt.Fprintf(w, "  worms    %s\n", web.Worms(v.Worms, webwords.English(), u))
	fmt.Fprintf(w, "  castings %s (%s to %s)\n", u.Mass(v.CastKg.Mid), u.Mass(v.CastKg.Low), u.Mass(v.CastKg.High))
	fmt.Fprintln(w, "\n  the next days, left alone: warmest, water, feed left, worms")
	for _, d := range v.Ahead {
		fmt.Fprintf(w, "  %s  %s (%s to %s)  %.0f %%  %s  %s\n", d.Day.In(a.State().Zone()).Format("Mon 2 Jan"), temp(u, d.Warmest.Mid), temp(u, d.Warmest.Low), temp(u, d.Warmest.High),
			100*d.Water.Mid, u.Mass(d.Left.Mid), u.Mass(math.Round(d.Worms.Mid*1e3)/1e3)) // to a worm or two
	}
	if n := len(v.Readings); n > 0 {
		fmt.Fprintln(w, "\n  last readings")
		for _, r := range v.Readings {
			fmt.Fprintf(w, "  %s\n", r.Say(u, a.State().Zone()))
		}
	}
	if moved := web.Learned(v.Learned, webwords.English(), u, a.State().Zone(), a.Now()); len(moved) > 0 {
		fmt.Fprintln(w, "\n  what moved the estimate last")
		for _, n := range moved {
			fmt.Fprintln(w, "  "+n)
		}
	}
	for _, n := range v.Says {
		fmt.Fprintln(w, "note: "+n)
	}
	if doubted := web.Unbelieved(a.State(), v.Bin, webwords.English(), u, a.Now()); len(doubted) > 0 {
		fmt.Fprintln(w, "\n  readings to check")
		for _, n := range doubted {
			fmt.Fprintln(w, "  "+n)
		}
	}
	return nil
}

// progressBar says how far the round is: "[######......] 24 of 48 bins, about 40 s left".
func progressBar(step string, done, of int, left time.Duration, known bool) string {
	const wide = 24
	full := wide * done / max(of, 1)
	parts := "bins"
	switch step {
	case "weeks":
		parts = "weeks learned from"
	case app.StepFarm, app.StepSearch, app.StepYears, app.StepSurer, app.StepPromises:
		parts = "hundredths of the plan"
	case "scores":
		parts = "days of forecasts held against readings"
	}
	say := fmt.Sprintf("[%s%s] %d of %d %s", strings.Repeat("#", full), strings.Repeat(".", wide-full), done, of, parts)
	switch s := left.Seconds(); {
	case !known || done == of:
	case s < 90:
		say += fmt.Sprintf(", about %.0f s left", math.Ceil(s/5)*5)
	default:
		say += fmt.Sprintf(", about %.0f min left", math.Ceil(s/60))
	}
	return say
}
