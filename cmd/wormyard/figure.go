package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"sort"
	"strings"
	"text/tabwriter"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/contract"
)

type figureCommand struct {
	List bool   `help:"List every figure with its equation."`
	Name string `arg:"" optional:"" help:"Name of the figure, such as mix.moisture."`
	File string `arg:"" optional:"" help:"File with the inputs as a JSON object; standard input when left out."`
}

// figureAnswer is what figure NAME --json prints.
type figureAnswer struct {
	Figure   string   `json:"figure"`
	Outputs  any      `json:"outputs"`
	Equation string   `json:"equation"`
	Formula  string   `json:"formula"`
	Source   string   `json:"source"`
	Notes    []string `json:"notes"`
}

type figureLine struct {
	Figure   string   `json:"figure"`
	Title    string   `json:"title"`
	Equation string   `json:"equation"`
	Inputs   []string `json:"inputs"`
	Outputs  []string `json:"outputs"`
	Source   string   `json:"source"`
}

// Run computes a figure or lists them.
func (f *figureCommand) Run(c *Context) error {
	figures, err := app.Figures()
	if err != nil {
		return err
	}
	if f.List || f.Name == "" {
		return listFigures(c, figures)
	}
	one, err := findFigure(figures, f.Name)
	if err != nil {
		return err
	}
	in := one.In()
	if err := c.Input(f.File, in); err != nil {
		return err
	}
	out, notes, err := one.Run(in)
	if err != nil {
		return err
	}
	if _, err := json.Marshal(out); err != nil {
		var beyond *json.UnsupportedValueError
		if errors.As(err, &beyond) {
			return figure.Refuse("", "With these inputs the answer is beyond any number.", "Look for an input that is zero or far out of the ordinary.")
		}
		return err
	}
	if notes == nil {
		notes = []string{}
	}
	answer := figureAnswer{one.Name, out, one.Equation, one.Formula, one.Source, notes}
	return c.Print(answer, func(w io.Writer) error { return answer.words(w, one.Title) })
}

func findFigure(figures []figure.Figure, name string) (figure.Figure, error) {
	names := make([]string, 0, len(figures))
	for _, g := range figures {
		if g.Name == name {
			return g, nil
		}
		names = append(names, g.Name)
	}
	try := "Type wormyard figure --list to see all."
	if near := contract.Nearest(name, names); len(near) > 0 {
		try = "Did you mean " + strings.Join(near, " or ") + "?"
	}
	return figure.Figure{}, figure.Refuse("figure", fmt.Sprintf("There is no figure %q.", name), try)
}

func listFigures(c *Context, figures []figure.Figure) error {
	lines := make([]figureLine, 0, len(figures))
	for _, g := range figures {
		lines = append(lines, figureLine{g.Name, g.Title, g.Equation, contract.Keys(g.In()), contract.Keys(g.Out()), g.Source})
	}
	return c.Print(struct {
		Figures []figureLine `json:"figures"`
	}{lines}, func(w io.Writer) error {
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for _, l := range lines {
			fmt.Fprintf(t, "%s\t%s\t%s\n", l.Figure, l.Equation, l.Title)
		}
		return t.Flush()
	})
}

// words prints an answer for a person: one line an output, then the equation.
func (a figureAnswer) words(w io.Writer, title string) error {
	fmt.Fprintf(w, "%s (%s)\n", title, a.Figure)
	data, err := json.Marshal(a.Outputs)
	if err != nil {
		return err
	}
	var object map[string]json.RawMessage
	if err := json.Unmarshal(data, &object); err != nil {
		return err
	}
	keys := contract.Keys(a.Outputs)
	rest := make([]string, 0, len(object))
	for k := range object {
		rest = append(rest, k)
	}
	sort.Strings(rest)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, k := range keys {
		if v, ok := object[k]; ok {
			fmt.Fprintf(t, "  %s\t%s\n", k, v)
		}
	}
	if reflect.ValueOf(a.Outputs).Kind() == reflect.Map {
		for _, k := range rest {
			fmt.Fprintf(t, "  %s\t%s\n", k, object[k])
		}
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(w, "  %s  %s\n  source: %s\n", a.Equation, a.Formula, a.Source)
	for _, n := range a.Notes {
		fmt.Fprintf(w, "  note: %s\n", n)
	}
	return nil
}
