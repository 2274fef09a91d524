package main

import (
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/ids"
	"wormyard/internal/sheet"
	"wormyard/qty"
)

type lotAssay struct {
	File     string            `arg:"" help:"The sheet of the laboratory (.csv, .tsv, .xlsx)."`
	Of       string            `help:"What rows that name no sample are of, such as \"lot 25-20\"." placeholder:"LOT"`
	Sample   map[string]string `help:"A sample as the sheet calls it, and what it was taken of: A-113=lot 25-20; - leaves it out." placeholder:"SAMPLE=LOT" sep:"none" mapsep:"none"`
	Map      string            `help:"A file that says what the columns and tests mean (docs/import.md); else it is remembered, or guessed from the headers." placeholder:"FILE"`
	Sheet    string            `help:"The sheet of a workbook." placeholder:"NAME"`
	Day      string            `help:"Day of rows that have none." placeholder:"2026-11-25"`
	Record   bool              `help:"Write the results down, all of them or none."`
	Yes      bool              `help:"What is doubtful is right; results that stand in the journal are left out."`
	Again    bool              `help:"Results that stand in the journal are tests made again."`
	Remember bool              `help:"Keep what the columns mean for the next sheet with these headers." default:"true" negatable:""`
	By       string            `help:"Who writes it down."`
}

// Run reads a sheet and, when asked to, writes it down.
func (l *lotAssay) Run(c *Context) error {
	a, store, err := c.openFarm()
	if err != nil {
		return err
	}
	defer store.Close()
	ask := app.LabAsk{Subject: l.Of, Samples: l.Sample, Tab: l.Sheet, Again: l.Again, Who: l.By, Device: "command"}
	if _, ok := a.State().Lot(l.Of); ok {
		ask.Subject = "lot " + l.Of
	}
	ask.Samples = maps.Clone(l.Sample)
	for k, v := range ask.Samples {
		if _, ok := a.State().Lot(v); ok {
			ask.Samples[k] = "lot " + v
		}
	}
	if ask.Salt, err = ids.New(); err != nil {
		return err
	}
	if l.Day != "" {
		t, err := time.ParseInLocation(time.DateOnly, l.Day, a.State().Zone())
		if err != nil {
			return figure.Refuse("day", fmt.Sprintf("%q is no day.", l.Day), "Write it as 2026-11-25.")
		}
		ask.Day = t.Add(12 * time.Hour)
	}
	if l.Map != "" {
		data, err := os.ReadFile(l.Map)
		if err != nil {
			return figure.Refuse("map", fmt.Sprintf("The file %s cannot be read: %v.", l.Map, err), "Look at the name and the folder.")
		}
		var m app.LabMap
		d := json.NewDecoder(strings.NewReader(string(data)))
		d.DisallowUnknownFields()
		if err := d.Decode(&m); err != nil {
			return figure.Refuse("map", fmt.Sprintf("The file %s cannot be read: %v.", l.Map, err), `Write it as {"columns":{"Parameter":"test","Result":"result"}}.`)
		}
		ask.Map = &m
	}
	read, err := a.LabSheet(l.File, ask)
	if err != nil {
		return err
	}
	answer := app.LabSheetAnswer{File: l.File, LabSheet: read}
	doubtful := slices.ContainsFunc(read.Problems, func(p app.Problem) bool { return p.Doubt })
	stopped := read.Refused() || doubtful && !l.Yes
	if l.Record && !stopped {
		ps, err := a.KeepLabSheet(c, &read, l.Remember)
		if err != nil {
			return err
		}
		answer.Problems = append(answer.Problems, ps...)
		stopped = len(ps) > 0
		for _, x := range read.Results {
			if !stopped && (!x.Already || l.Again) {
				answer.Written++
			}
		}
	}
	if answer.Written == 0 {
		for i := range answer.Results {
			answer.Results[i].ID = ""
		}
	}
	var told []sheet.Problem
	for _, p := range answer.Problems {
		if p.Doubt && l.Yes {
			continue
		}
		x := sheet.Problem{Row: p.Row, Column: p.Column}
		x.Say, x.Try = p.Say, p.Try
		told = append(told, x)
	}
	if err := c.Print(answer, func(w io.Writer) error { return labSheetWords(w, answer, told, doubtful && !l.Yes) }); err != nil {
		return err
	}
	if c.JSON {
		tellProblems(c.Stderr, sheet.Report{Problems: told})
	}
	if stopped {
		return errTold
	}
	return nil
}

func labSheetWords(w io.Writer, a app.LabSheetAnswer, told []sheet.Problem, doubtful bool) error {
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, x := range a.Results {
		e := x.Entry
		amount := strings.TrimSpace(qty.Figures(e.Value) + " " + e.Unit + " " + e.Basis)
		if e.Reads != "" {
			amount = e.Reads + " " + amount
		}
		there := ""
		if x.Already {
			there = "there already"
		}
		fmt.Fprintf(t, "row %d\t%s\t%s\t%s\t%s\t%s\t%s\n", x.Row, e.Subject, x.Test, x.Cell, e.Analyte, amount, there)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, x := range a.Results {
		for _, s := range append(slices.Clone(x.Steps), x.Notes...) {
			fmt.Fprintf(w, "row %d, %s: %s\n", x.Row, x.Test, s)
		}
	}
	for _, n := range a.Notes {
		fmt.Fprintln(w, n)
	}
	tellProblems(w, sheet.Report{Problems: told})
	if doubtful {
		fmt.Fprintln(w, "  try: say --yes if all that is doubtful is right.")
	}
	switch {
	case a.Written > 0:
		fmt.Fprintf(w, "%s written down.\n", plural(a.Written, "result was", "results were"))
	default:
		fmt.Fprintln(w, "Nothing was written.")
	}
	return nil
}
