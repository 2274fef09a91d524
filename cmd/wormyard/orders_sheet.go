package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/sheet"
	"wormyard/journal"
	"wormyard/qty"
)

// ordersSheet says how a sheet of orders is taken in.
type ordersSheet struct {
	Sheet    string `help:"Take orders in from a sheet (.csv, .tsv, .xlsx), all of it or none." placeholder:"FILE"`
	DryRun   bool   `name:"dry-run" help:"Of --sheet: only look, and tell what would change."`
	Yes      bool   `help:"Of --sheet: what is doubtful is right."`
	Same     string `enum:",replace,add,leave" default:"" help:"Of --sheet: orders that are in the book and say something else there are replaced, are other ones (add), or are left as they are in the book."`
	Dates    string `enum:",mdy,dmy" default:"" help:"Of --sheet: how dates such as 3/4/2026 are meant: mdy or dmy."`
	Map      string `help:"Of --sheet: a file that says what the columns mean (docs/import.md); else it is remembered, or guessed from the headers." placeholder:"FILE"`
	Remember bool   `help:"Of --sheet: keep what the columns mean for the next sheet with these headers." default:"true" negatable:""`
	By       string `help:"Of --sheet: who writes it down, when no column says."`
}

// take takes a sheet of orders in, or tells what stands in the way.
func (o *ordersSheet) take(c *Context, a *app.App) error {
	how := app.OrderHow{Name: filepath.Base(o.Sheet), Dry: o.DryRun, Yes: o.Yes, Else: o.Same, Remember: o.Remember, Sheet: sheet.Options{Dates: o.Dates, Who: o.By}}
	how.Gone, how.Anew = fmt.Sprintf("Not on the sheet %s any more.", how.Name), "The order was written anew since."
	if o.Map != "" {
		data, err := os.ReadFile(o.Map)
		if err != nil {
			return figure.Refuse("map", fmt.Sprintf("The file %s cannot be read: %v.", o.Map, err), "Look at the name and the folder.")
		}
		var m app.OrderMap
		d := json.NewDecoder(strings.NewReader(string(data)))
		d.DisallowUnknownFields()
		if err := d.Decode(&m); err != nil {
			return figure.Refuse("map", fmt.Sprintf("The file %s cannot be read: %v.", o.Map, err), `Write it as {"columns":{"Their PO":"ref","Item":"what"}}.`)
		}
		if how.Sheet.Map.Columns = m.Columns; how.Sheet.Dates == "" {
			how.Sheet.Dates = m.Dates
		}
	}
	got, err := a.ImportOrders(c, o.Sheet, how)
	if err != nil {
		return err
	}
	var told []sheet.Problem
	doubtful := false
	for _, p := range got.Problems {
		if p.Doubt && o.Yes {
			continue
		}
		x := sheet.Problem{Row: p.Row, Column: p.Column, Problem: journal.Problem{Say: p.Say, Try: p.Try}}
		doubtful = doubtful || p.Doubt
		told = append(told, x)
	}
	if err := c.Print(got, func(w io.Writer) error { return o.inWords(w, got, told, doubtful, c.Units()) }); err != nil {
		return err
	}
	if c.JSON {
		tellProblems(c.Stderr, sheet.Report{Problems: told})
	}
	if len(told) > 0 || got.Asked > 0 && !o.DryRun {
		return errTold
	}
	return nil
}

func (o *ordersSheet) inWords(w io.Writer, x app.OrderSheet, told []sheet.Problem, doubtful bool, u qty.System) error {
	for _, n := range x.Notes {
		fmt.Fprintln(w, n)
	}
	for _, s := range x.Same {
		name := "Order " + s.Ref + " of " + s.Customer
		if s.Ref == "" {
			name = "The order of " + s.Customer + " from " + day(s.At, s.At.Location())
		}
		fmt.Fprintf(w, "row %d: %s is in the book (%s), and the sheet says something else:\n", s.Row, name, orderState(s.State))
		for _, c := range s.Changes {
			switch c.Change {
			case app.OrderAdded:
				fmt.Fprintf(w, "  new: %s\n", amountInWords(c.What, c.Is, u))
			case app.OrderGone:
				kept := ""
				if c.Delivered {
					kept = "; what was delivered of it stays, and the rest is cancelled"
				}
				fmt.Fprintf(w, "  gone: %s%s\n", amountInWords(c.What, c.Was, u), kept)
			case app.OrderChanged:
				fmt.Fprintf(w, "  changed: %s, now %s\n", amountInWords(c.What, c.Was, u), amountInWords(c.What, c.Is, u))
			case app.OrderNote:
				fmt.Fprintf(w, "  note: %q, now %q\n", c.Note[0], c.Note[1])
			}
		}
	}
	tellProblems(w, sheet.Report{Problems: told})
	if doubtful {
		fmt.Fprintln(w, "  try: say --yes if all that is doubtful is right.")
	}
	if x.Asked > 0 {
		fmt.Fprintln(w, "  try: --same replace puts the sheet's in place of those in the book, which keep what was delivered of them; --same add takes them as other orders; --same leave leaves the book as it is. A cancelled one cannot be replaced.")
	}
	fmt.Fprintf(w, "%s read, %s in the book already", plural(x.Rows, "row was", "rows were"), grouped(x.Already))
	if x.Left > 0 {
		fmt.Fprintf(w, ", %s left out", grouped(x.Left))
	}
	if x.Written > 0 {
		fmt.Fprintf(w, "; %s written down.\n", plural(x.Written, "order was", "orders were"))
		return nil
	}
	fmt.Fprintln(w, "; nothing was written.")
	return nil
}

func amountInWords(what string, a *app.OrderAmount, u qty.System) string {
	out := what
	switch {
	case a.Number > 0:
		out = fmt.Sprintf("%d x %s", a.Number, what)
	case a.VolumeM3 > 0:
		out = u.Volume(a.VolumeM3) + " " + what
	case a.MassKg > 0:
		out = u.Mass(a.MassKg) + " " + what
	}
	if a.Due != "" {
		out += " by " + a.Due
	}
	if a.Price != nil {
		out += fmt.Sprintf(" for %.2f", float64(*a.Price))
	}
	return out
}
