package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"wormyard/figure"
	"wormyard/harvest"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// harvestCommand says which bins are ripe, or what a harvest would do.
type harvestCommand struct {
	File   string `arg:"" optional:"" help:"File with the body of a harvest entry as a JSON object (docs/contracts/entry), - for standard input; left out, the bins that are ripe are listed."`
	Bin    string `help:"Only this bin, as painted or by its place." placeholder:"BIN"`
	Record bool   `help:"Write the entry down."`
	Yes    bool   `help:"Write it down although something is unusual."`
	Who    string `help:"Who harvested."`
}

// Run lists ripe bins, or says what a harvest would do and writes it down when
// asked to.
func (x *harvestCommand) Run(c *Context) error {
	if x.File == "" && x.Record {
		return figure.Refuse("record", "There is no harvest to write down.", "Name the file with its body, or - for standard input.")
	}
	var body any
	if x.File != "" {
		data, err := c.bytes(x.File)
		if err != nil {
			return err
		}
		if body, err = app.Body("harvest", data); err != nil {
			return err
		}
	}
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	screens, err := app.NewScreens()
	if err != nil {
		return err
	}
	t, err := newTwins(c, a, store)
	if err != nil {
		return err
	}
	if body == nil {
		return x.ripe(c, a, t, screens)
	}
	b := body.(*journal.Harvest)
	look := map[string]*app.Outlook{}
	for _, name := range b.Bins {
		if look[name], err = t.Outlook(c, name); err != nil {
			return err
		}
	}
	now := c.Now()
	e := journal.Entry{ID: newID(now), Kind: "harvest", At: now, Who: x.Who, Device: "command", Body: body}
	answer, err := screens.HarvestSaid(a, b, look, &e)
	if err != nil {
		return err
	}
	if x.Record {
		if answer.Recorded, err = c.record(a, e, x.Yes); err != nil {
			return err
		}
	}
	return c.Print(answer, func(w io.Writer) error { return harvestInWords(w, answer, c.Units()) })
}

func (x *harvestCommand) ripe(c *Context, a *app.App, t *app.Twins, screens *app.Screens) error {
	s := a.State()
	only := ""
	if x.Bin != "" {
		name, e := s.BinCalled(x.Bin)
		if e != nil {
			return figure.Refuse("bin", e.Say, e.Try)
		}
		only = name
	}
	var all []*app.Outlook
	for _, b := range s.Living() {
		if only != "" && b.Name != only {
			continue
		}
		o, err := t.Outlook(c, b.Name)
		if err != nil {
			return err
		}
		all = append(all, o)
	}
	list := screens.RipeBins(s, all, a.Now())
	return c.Print(list, func(w io.Writer) error { return ripeInWords(w, list, c.Units(), s.Zone(), only) })
}

// ripeShown is how many bins are printed for a person.
const ripeShown = 20

func ripeInWords(w io.Writer, x app.RipeList, u qty.System, zone *time.Location, only string) error {
	if x.Known == 0 {
		fmt.Fprintln(w, "Nothing was worked out yet of what lies in the bins.\n  try: wormyard round, which works it out.")
		return nil
	}
	if len(x.Bins) == 0 {
		if only != "" {
			fmt.Fprintf(w, "Bin %s is not ripe as far as was looked ahead.\n", only)
			return nil
		}
		fmt.Fprintf(w, "None of %s is ripe, or will be as far as was looked ahead.\n", plural(x.Known, "bin", "bins"))
		return nil
	}
	mass := func(r twin.Range) string { return massSpan(u, r) }
	if only == "" {
		fmt.Fprintf(w, "%s ripe as likely as not: %s of castings with %s of worms. %s not ripe as far as was looked ahead.\n\n", isAre(x.All.Bins), mass(x.All.Castings), mass(x.All.Worms), isAre(x.Later))
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "bin\tplace\tripe\tcastings\tworms\tcocoons\tstop feeding\ttake")
	for i, b := range x.Bins {
		if i == ripeShown {
			fmt.Fprintf(t, "and %d more; --json lists them all\n", len(x.Bins)-ripeShown)
			break
		}
		stop, take := "", ""
		for _, s := range b.Steps {
			switch s.Step {
			case harvest.StopFeeding:
				stop = dayOrNow(s.At, x.Made, zone)
			case harvest.Take:
				take = dayOrNow(s.At, x.Made, zone)
			}
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", b.Bin, b.Place, ripeDays(b.Ripe), mass(b.Castings), mass(b.Worms), countSpan(b.Cocoons), stop, take)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	if len(x.Bins) == 1 || only != "" {
		fmt.Fprintln(w, "\nHow to take it, and what is got back:")
		return waysInWords(w, x.Bins[0], u)
	}
	fmt.Fprintln(w, "\nHow a bin is best taken: wormyard harvest --bin NAME. Screening of dry castings makes dust: damp them down and wear a mask.")
	return nil
}

func waysInWords(w io.Writer, b app.RipeBin, u qty.System) error {
	t := tabwriter.NewWriter(w, 2, 0, 2, ' ', 0)
	for _, g := range b.Ways {
		days := "at once"
		if g.Days > 0 {
			days = fmt.Sprintf("about %.0f days until most worms have moved", g.Days)
		}
		fmt.Fprintf(t, "  %s\t%s\tcastings %s\tworms %s\tcocoons %s\n", g.Way, days, massSpan(u, g.Castings), massSpan(u, g.Worms), countSpan(g.Cocoons))
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w, "The times and shares are common practice, no source; your own harvests say better.")
	return nil
}

func isAre(n int) string {
	if n == 1 {
		return "1 bin is"
	}
	return fmt.Sprintf("%s bins are", grouped(n))
}

func massSpan(u qty.System, r twin.Range) string {
	if r.Low == r.High {
		return u.Mass(r.Mid)
	}
	return fmt.Sprintf("%s (%s to %s)", u.Mass(r.Mid), u.Mass(r.Low), u.Mass(r.High))
}

func countSpan(r twin.Range) string {
	say := func(v float64) string { return grouped(int(app.Round2(v))) }
	if r.Low == r.High {
		return say(r.Mid)
	}
	return fmt.Sprintf("%s (%s to %s)", say(r.Mid), say(r.Low), say(r.High))
}

func ripeDays(r twin.Range) string {
	if r.Mid < 0.5 {
		return "now"
	}
	return fmt.Sprintf("in %.0f days (%.0f to %.0f)", r.Mid, r.Low, r.High)
}

func dayOrNow(t, now time.Time, zone *time.Location) string {
	if t.Sub(now) < 12*time.Hour {
		return "now"
	}
	return day(t, zone)
}

func harvestInWords(w io.Writer, x app.HarvestSaid, u qty.System) error {
	fmt.Fprintf(w, "Harvest of %s.\n", strings.Join(x.Bins, ", "))
	taken := "nobody said how much"
	if x.Taken != nil {
		taken = u.Mass(*x.Taken)
		if x.Guessed {
			taken += ", made of the volume"
		}
	}
	fmt.Fprintf(w, "  castings taken: %s", taken)
	if x.There != nil {
		fmt.Fprintf(w, "; likely there: %s", massSpan(u, *x.There))
	}
	fmt.Fprintln(w)
	if m := x.Worms; m != nil {
		fmt.Fprintf(w, "  worms likely there: %s", massSpan(u, m.There))
		if m.Ought != nil {
			fmt.Fprintf(w, "; likely got back by %s: %s", x.How, massSpan(u, *m.Ought))
		}
		fmt.Fprintln(w)
		if m.Back != nil {
			fmt.Fprintf(w, "  worms got back: %s; returned to bins: %s; %s not said where to\n", u.Mass(*m.Back), u.Mass(m.To), u.Mass(*m.Rest))
		}
	}
	if x.Cocoons != nil {
		fmt.Fprintf(w, "  cocoons that go out with the castings: %s\n", countSpan(*x.Cocoons))
	}
	if l := x.Lot; l != nil {
		how := fmt.Sprintf("  lot %s: %s in before, %s after", l.Lot, u.Mass(l.Before), u.Mass(l.After))
		if l.Began {
			how = fmt.Sprintf("  lot %s begins with %s", l.Lot, u.Mass(l.After))
		}
		if !l.Sure {
			how += ", as far as masses are known"
		}
		fmt.Fprintln(w, how)
	}
	if x.Ends {
		fmt.Fprintln(w, "  the bed ends with it")
	}
	if len(x.Unreckoned) > 0 {
		fmt.Fprintf(w, "  nothing was worked out of %s\n", strings.Join(x.Unreckoned, ", "))
	}
	return afterwards(w, x.Doubts, x.Recorded)
}

// afterwards says what is unusual about an entry, and whether it was written down.
func afterwards(w io.Writer, doubts []figure.Problem, id string) error {
	for _, d := range doubts {
		fmt.Fprintf(w, "Look at: %s %s\n", d.Say, d.Try)
	}
	if id != "" {
		fmt.Fprintf(w, "Written down as %s.\n", id)
	}
	return nil
}
