package main

import (
	"bytes"
	"fmt"
	"sort"
	"strconv"
	"strings"

	"wormyard/internal/source"
)

var howWords = []string{"found", "memory", "measured", "derived", "assumed"}

func parameters(_ string, out pages) error {
	refs, err := source.Refs()
	if err != nil {
		return err
	}
	var tables bytes.Buffer
	total := map[string]int{}
	for _, name := range source.Names() {
		list, err := source.Parameters(name)
		if err != nil {
			return err
		}
		fmt.Fprintf(&tables, "## %s\n\n", name)
		counts := map[string]int{}
		tables.WriteString("| name | value | low | high | unit | how | from | at, note |\n|---|---|---|---|---|---|---|---|\n")
		for _, p := range list {
			counts[p.How]++
			total[p.How]++
			from := p.Ref
			if p.Where != "" {
				from = strings.TrimPrefix(from+", "+p.Where, ", ")
			}
			var said []string
			for _, s := range []string{p.At, p.Note} {
				if s != "" {
					said = append(said, s)
				}
			}
			fmt.Fprintf(&tables, "| `%s` | %s | %s | %s | %s | %s | %s | %s |\n", p.Name, valueOf(p), optional(p.Low), optional(p.High), cell(p.Unit), p.How, cell(from), cell(strings.Join(said, "; ")))
		}
		fmt.Fprintf(&tables, "\n%d numbers: %s.\n\n", len(list), tally(counts))
	}
	materials, err := materialTable()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.WriteString("<!-- Made by go run ./internal/docgen from internal/source/data. Change those. -->\n\n# Parameters\n\n")
	b.WriteString("Every number that describes nature or trade, with its range and where it comes from. Low and high are the ends of the central 90 %. How it is known: *found*, read by us in the source; *memory*, from a named source as recalled, not read; *measured*, on a farm; *assumed*, a judgement, with the reason in the note.\n\n")
	fmt.Fprintf(&b, "In all, without the materials: %s.\n\n", tally(total))
	b.Write(tables.Bytes())
	b.WriteString(materials)
	b.WriteString("## References\n\n| key | work | its text |\n|---|---|---|\n")
	keys := make([]string, 0, len(refs))
	for k := range refs {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	for _, k := range keys {
		r := refs[k]
		text := r.How
		if r.Note != "" {
			text += ": " + r.Note
		}
		fmt.Fprintf(&b, "| `%s` | %s | %s |\n", k, cell(r.String()), cell(text))
	}
	out["parameters.md"] = b.Bytes()
	return nil
}

func tally(counts map[string]int) string {
	var said []string
	for _, h := range howWords {
		if counts[h] > 0 {
			said = append(said, fmt.Sprintf("%d %s", counts[h], h))
		}
	}
	return strings.Join(said, ", ")
}

func valueOf(p source.Parameter) string {
	if p.Value != nil {
		return number(*p.Value)
	}
	var all []string
	for _, v := range p.Values {
		all = append(all, number(v))
	}
	return strings.Join(all, ", ")
}

func optional(v *float64) string {
	if v == nil {
		return ""
	}
	return number(*v)
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
