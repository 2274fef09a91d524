package web

import (
	"encoding/json"
	"fmt"
	"strings"

	"wormyard/journal"
	"wormyard/qty"
)

// EntryLine is one entry in a list.
type EntryLine struct {
	To, Say, When, Note string
	Struck, Here        bool
}

// rawOf gives the body of an entry as the journal keeps it.
func rawOf(e *journal.Entry) []byte {
	if e.Raw != nil {
		return e.Raw
	}
	raw, err := journal.Encode(e.Body)
	if err != nil {
		return nil
	}
	return raw
}

// entryFacts gives every filled field of an entry; Working holds the key.
func entryFacts(p person, e *journal.Entry) []Fact {
	kind, ok := p.kindNamed(e.Kind)
	if !ok {
		return nil
	}
	var m map[string]any
	if json.Unmarshal(rawOf(e), &m) != nil {
		return nil
	}
	var out []Fact
	for _, k := range kind.Fields {
		v, ok := m[k.Key]
		if !ok || v == nil {
			continue
		}
		out = append(out, Fact{Name: k.Label, Value: valueSay(p, k, v), Working: k.Key})
	}
	return out
}

func valueSay(p person, k journal.Field, v any) string {
	switch x := v.(type) {
	case float64:
		if k.Key == "size_m3" { // a bag is told as on its label
			return printable(boxVolume(p.Units, qty.CubicMetre(x)))
		}
		return printable(k.Show(x, p.Units))
	case string:
		if k.Key == "material" { // a name of the library has one in the reader's language
			return p.material(x)
		}
		if k.Key == "subject" { // "lot 25-03", "pile hay"
			return lowered(p.about(x))
		}
		if k.Key == "analyte" {
			return p.analyte(x)
		}
		if k.Key == "rule" {
			return p.ruleNamed(x)
		}
		return p.choice(k.Key, x)
	case bool:
		if x {
			return p.Say("form.yesword")
		}
		return p.Say("form.noword")
	case []any:
		var out []string
		for _, item := range x {
			if m, ok := item.(map[string]any); ok {
				var cells []string
				for _, c := range k.Item {
					if cv, ok := m[c.Key]; ok && c.Key != "entries" { // these are opened, not read
						cells = append(cells, valueSay(p, c, cv))
					}
				}
				out = append(out, strings.Join(cells, " "))
				continue
			}
			out = append(out, valueSay(p, journal.Field{Key: k.Key, Type: k.Type, Unit: k.Unit, Dim: k.Dim, Water: k.Water}, item))
		}
		return strings.Join(out, p.Say("list.comma"))
	}
	raw, err := json.Marshal(v)
	if err != nil {
		return fmt.Sprint(v)
	}
	return string(raw)
}
