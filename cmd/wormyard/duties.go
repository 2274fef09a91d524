package main

import (
	"fmt"
	"io"
	"text/tabwriter"

	"wormyard/internal/app"
)

// dutiesCommand shows the calendar of duties.
type dutiesCommand struct {
	All bool `help:"Also those that are not due again."`
}

// Run shows what the farm must do by a day.
func (x *dutiesCommand) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	got := app.Duties(a.State(), a.Now(), x.All)
	return c.Print(got, func(w io.Writer) error { return dutiesInWords(w, got) })
}

func dutiesInWords(w io.Writer, x app.DutyList) error {
	if len(x.Duties) == 0 {
		_, err := fmt.Fprintln(w, "No duties are written down. Enter one as: kind duty, with duty, what and due.")
		return err
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "Due\tduty\twhat\tagain every\thours\tlast done")
	for _, d := range x.Duties {
		due, again, hours, last := d.Due, "-", "-", "-"
		switch {
		case due == "":
			due = "over"
		case d.Overdue:
			due += ", overdue"
		}
		if d.Every > 0 {
			again = fmt.Sprintf("%d %s", d.Every, d.Period)
		}
		if d.Hours > 0 {
			hours = fmt.Sprintf("%.4g", d.Hours)
		}
		if d.Last != nil {
			last = d.Last.Format("2006-01-02")
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", due, d.Duty, d.What, again, hours, last)
	}
	return t.Flush()
}
