package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/qty"
)

// ordersCommand shows the order book, or takes orders in from a sheet.
type ordersCommand struct {
	All bool `help:"Also those that are delivered or cancelled."`
	ordersSheet
}

// Run shows the order book, and what is still to be delivered by week; or it takes a
// sheet in.
func (x *ordersCommand) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	if x.Sheet != "" {
		return x.take(c, a)
	}
	got := app.Orders(a.State(), a.Now(), x.All)
	return c.Print(got, func(w io.Writer) error { return ordersInWords(w, got, c.Units()) })
}

func ordersInWords(w io.Writer, x app.OrderAnswer, u qty.System) error {
	fmt.Fprintf(w, "%s in the book.\n", plural(len(x.Orders), "order is", "orders are"))
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	if len(x.Orders) > 0 {
		fmt.Fprintf(t, "\nDue\tcustomer\twhat\tleft\tstate\tworth\n")
	}
	for _, o := range x.Orders {
		for i, l := range o.Lines {
			customer := o.Customer
			if i > 0 {
				customer = "  and"
			}
			due, worth := l.Due, "-"
			if l.Overdue {
				due += ", overdue"
			}
			if due == "" {
				due = "-"
			}
			if l.Worth != nil {
				worth = fmt.Sprintf("%.2f", *l.Worth)
			}
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", due, customer, orderAmount(l, l.Wanted, u), orderAmount(l, l.Left, u), orderState(l.State), worth)
		}
	}
	if len(x.Weeks) > 0 {
		fmt.Fprintf(t, "\nWeek of\tstill to be delivered\n")
	}
	for _, week := range x.Weeks {
		var parts []string
		for _, p := range week.Products {
			parts = append(parts, openInWords(p, u))
		}
		name := week.Week
		if name == "" {
			name = "no day"
		}
		fmt.Fprintf(t, "%s\t%s\n", name, strings.Join(parts, "; "))
	}
	return t.Flush()
}

func orderState(state string) string {
	if state == string(farm.OrderPart) {
		return "partly delivered"
	}
	if state == string(farm.OrderDone) {
		return "delivered"
	}
	return state
}

func orderAmount(o app.OrderedProduct, amount float64, u qty.System) string {
	switch o.Count {
	case farm.CountPieces:
		return qty.Figures(amount) + " x " + o.What
	case farm.CountVolume:
		return u.Volume(qty.CubicMetre(amount)) + " " + o.What
	case farm.CountMass:
		return u.Mass(amount) + " " + o.What
	}
	return o.What
}

func openInWords(p app.OpenProduct, u qty.System) string {
	switch {
	case p.Pieces > 0:
		return qty.Figures(p.Pieces) + " x " + p.Product
	case p.VolumeM3 > 0:
		return u.Volume(qty.CubicMetre(p.VolumeM3)) + " " + p.Product
	case p.MassKg > 0:
		return u.Mass(p.MassKg) + " " + p.Product
	}
	return p.Product
}
