package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/shopspring/decimal"

	"wormyard/cost"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/qty"
)

// costsCommand tells what castings cost.
type costsCommand struct {
	Wage  string  `help:"Try this wage for an hour of one of the crew."`
	Truck string  `help:"Try this price for an hour of loader or forklift."`
	Power string  `help:"Try this price for a kWh."`
	Bag   string  `help:"Try this price for an empty bag."`
	Tote  string  `help:"Try this price for an empty tote."`
	Haul  string  `help:"Try what was paid for haulage so many times, such as 1.2."`
	Times string  `help:"Try the selling prices so many times, such as 1.1."`
	Yield float64 `help:"Try this share of what is harvested as what can be sold, 0 to 1; 0 leaves what was written."`
}

// Run tells what castings cost, by lot, month and product.
func (x *costsCommand) Run(c *Context) error {
	try, err := x.whatIf()
	if err != nil {
		return err
	}
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	got, err := app.Costs(a.State(), a.Now(), try)
	if err != nil {
		return err
	}
	return c.Print(got, func(w io.Writer) error { return costsInWords(w, got, c.Units()) })
}

func (x *costsCommand) whatIf() (app.WhatIf, error) {
	var out app.WhatIf
	for _, p := range []struct {
		name, text string
		to         **decimal.Decimal
	}{{"wage", x.Wage, &out.Wage}, {"truck", x.Truck, &out.Truck}, {"power", x.Power, &out.Power}, {"bag", x.Bag, &out.Bag}, {"tote", x.Tote, &out.Tote}, {"haul", x.Haul, &out.Haul}, {"times", x.Times, &out.Times}} {
		if p.text == "" {
			continue
		}
		d, ok := app.Price(p.text)
		if !ok {
			return out, figure.Refuse(p.name, fmt.Sprintf("%q is no price.", p.text), "Type a number of 0 or more, such as 18.50.")
		}
		*p.to = &d
	}
	if x.Yield < 0 || x.Yield > 1 {
		return out, figure.Refuse("yield", fmt.Sprintf("The yield is %g.", x.Yield), "It is a share: type a number between 0 and 1.")
	}
	if x.Yield > 0 {
		out.Yield = &x.Yield
	}
	return out, nil
}

func costsInWords(w io.Writer, x app.CostAnswer, u qty.System) error {
	per, size := "m3", 1.0
	if u == qty.US {
		per, size = "yd3", qty.M3PerCubicYard
	}
	fmt.Fprintf(w, "In all %s %s were spent, of which %s wait in yard and beds or are of no one lot.\n", x.Currency, spanInWords(x.All.Sum.Total), spanInWords(x.Waiting.Sum.Total))
	if len(x.NoPrice) > 0 {
		fmt.Fprintf(w, "Left out, as nobody said what they cost: %s.\n", strings.Join(x.NoPrice, ", "))
	}
	for _, n := range x.Unknown {
		fmt.Fprintf(w, "Left out, as nobody wrote what it cost: %s, %s (%s).\n", n.Kind, n.What, n.Of)
	}
	if m := x.Mean; m != nil {
		fmt.Fprintf(w, "In the mean of %s a %s costs %s.\n", plural(m.Lots, "lot", "lots"), per, spanInWords(m.Per.Times(decimal.NewFromFloat(size))))
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, part := range []struct {
		head string
		rows []app.CostRow
	}{{"Lot", x.Lots}, {"Month", x.Months}} {
		fmt.Fprintf(t, "\n%s\tspent\ta %s\twithout\n", part.head, per)
		for _, r := range part.rows {
			each := "-"
			if r.PerM3 != nil {
				each = spanInWords(r.Per.Times(decimal.NewFromFloat(size)))
			}
			fmt.Fprintf(t, "%s\t%s\t%s\t%s\n", r.Name, spanInWords(r.Sum.Total), each, strings.Join(r.Without, ", "))
		}
	}
	if len(x.Products) > 0 {
		fmt.Fprintf(t, "\nProduct\tsold for\tcost\tleft\tsales without a price\n")
	}
	for _, p := range x.Products {
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%d\n", productName(p, u), p.Revenue, spanInWords(p.Costs), spanInWords(p.Margins), p.Unpriced)
	}
	return t.Flush()
}

func productName(p app.ProductRow, u qty.System) string {
	if p.SizeM3 > 0 {
		return p.Product + " of " + u.Volume(qty.CubicMetre(p.SizeM3))
	}
	return p.Product
}

// spanInWords prints money with its range.
func spanInWords(s cost.Span) string {
	if !s.Ranged() {
		return s.Best.StringFixed(2)
	}
	return fmt.Sprintf("%s (%s to %s)", s.Best.StringFixed(2), s.Low.StringFixed(2), s.High.StringFixed(2))
}
