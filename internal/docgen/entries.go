package main

import (
	"bytes"
	"fmt"
	"strings"

	"wormyard/internal/contract"
	"wormyard/journal"
)

// entries gives the page of entry kinds and a schema for the body of each.
func entries(_ string, out pages) error {
	var b bytes.Buffer
	b.WriteString("<!-- Made by go run ./internal/docgen from the descriptors of journal. Change those. -->\n\n# Entries\n\nWhat the journal holds: one section a kind, with the columns that a sheet for `wormyard journal import` may have. A number outside the first range cannot be true and is not kept; outside the second it is kept after a yes.\n\n")
	for _, k := range journal.Kinds() {
		fmt.Fprintf(&b, "## %s\n\n%s: %s\n\n", k.Name, k.Words, k.Help)
		if note := entryNotes[k.Name]; note != "" {
			b.WriteString(note + "\n\n")
		}
		if len(k.Also) > 0 {
			fmt.Fprintf(&b, "A sheet may also call it %s.\n\n", strings.Join(k.Also, ", "))
		}
		b.WriteString("| column | what | unit | must | possible | usual | words | headers also taken |\n|---|---|---|---|---|---|---|---|\n")
		for _, f := range k.Fields {
			must := ""
			if f.Required {
				must = "yes"
			}
			name := "`" + f.Key + "`"
			if f.Bare != "" {
				name += " or `" + f.Bare + "` with its unit"
			}
			fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s | %s | %s |\n", name, cell(firstOf(f.Label, f.Help)), f.Unit, must, span(f.Refused), span(f.Doubtful), cell(strings.Join(f.Choices, ", ")), cell(strings.Join(f.Also, ", ")))
		}
		b.WriteByte('\n')
		for _, g := range k.OneOf {
			how := "one of"
			if g.Many {
				how = "one or more of"
			}
			if g.None {
				how = "none or " + how
			}
			fmt.Fprintf(&b, "Of %s, %s %s.\n\n", g.What, how, strings.Join(g.Keys, ", "))
		}
		out["contracts/entry/"+strings.ReplaceAll(k.Name, " ", "_")+".schema.json"] = contract.Schema("entry of kind "+k.Name, k.New())
	}
	out["entries.md"] = b.Bytes()
	return nil
}

// entryNotes say of a kind what who reads or writes its entries elsewhere must know.
var entryNotes = map[string]string{
	"move":    "A lift that is ticked on the page Truck moves is one of these. A place is BARN/ROW/STACK/LEVEL, or the name of a spot: `aisle North-3` is on the floor of the aisle of row 3, `aisle North-3 #2` the second up there, `harvest` where ripe bins go.",
	"setting": "Of the fork truck, key `truck`: the lines of its plate (`plate`, each `height_m` and `load_kg`), its load center (`centre_m`), what a bin adds to a stack (`each_m`), a full bin (`full_kg`), the highest level worked on where it stands (`reach_up`), places on the floor of an aisle (`spots`), trucks at work (`trucks`).",
}

func span(l *journal.Limits) string {
	switch {
	case l == nil:
		return ""
	case l.Open:
		return fmt.Sprintf("over %s to %s", number(l.Low), number(l.High))
	}
	return fmt.Sprintf("%s to %s", number(l.Low), number(l.High))
}
