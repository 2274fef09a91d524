package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"wormyard/internal/app"
	"wormyard/internal/contract"
)

// sections are what docs/model.md is made of, in order; a section is the file
// of its name and those that begin with it and "_".
var sections = []string{"0-intro", "mix", "climate", "bed", "worm", "yard", "trouble", "doubt", "twin", "round", "trace", "lab", "slide", "harvest", "lot", "carpentry", "work", "reach", "season", "cost"}

func model(docs string, out pages) error {
	var b bytes.Buffer
	b.WriteString("<!-- Made by go run ./internal/docgen from docs/model/*.md and the registry of figures. Change those. -->\n\n")
	for _, s := range sections {
		more, err := filepath.Glob(filepath.Join(docs, "model", s+"_*.md"))
		if err != nil {
			return err
		}
		for _, file := range append([]string{filepath.Join(docs, "model", s+".md")}, more...) {
			text, err := os.ReadFile(file)
			if err != nil {
				return err
			}
			b.Write(bytes.TrimSpace(text))
			b.WriteString("\n\n")
		}
	}
	figures, err := app.Figures()
	if err != nil {
		return err
	}
	b.WriteString("## Figures\n\nWhat `wormyard figure NAME` computes: the equation, what goes in, what comes out.\n\n| figure | equation | in | out | source |\n|---|---|---|---|---|\n")
	for _, f := range figures {
		fmt.Fprintf(&b, "| `%s` | %s | %s | %s | %s |\n", f.Name, f.Equation, strings.Join(contract.Keys(f.In()), ", "), strings.Join(contract.Keys(f.Out()), ", "), cell(f.Source))
	}
	out["model.md"] = b.Bytes()
	return nil
}

// cell makes a text fit for one cell of a table.
func cell(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, "|", "\\|")), " ")
}
