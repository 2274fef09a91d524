package main

import (
	"bytes"
	"fmt"
	"strings"

	"wormyard/feedstock"
	"wormyard/internal/source"
)

// materialTable gives the library of feedstocks: for each property the range
// used, and under it what every source says.
func materialTable() (string, error) {
	materials, err := source.Materials()
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	claims := map[string]int{}
	b.WriteString("## materials\n\nFirst guesses for a pile without tests; a pile's own analyses stand in front. Each number as low / best / high of the range used, then each source's own (low / typical / high, where it gives them). Sources differ twofold on some; that is kept.\n\n")
	for _, m := range materials {
		fmt.Fprintf(&b, "### %s\n\n", m.Name)
		fmt.Fprintf(&b, "Kind: %s.", m.Group)
		if len(m.Also) > 0 {
			fmt.Fprintf(&b, " Also: %s.", cell(strings.Join(m.Also, ", ")))
		}
		b.WriteString("\n\n| property | used | known | sources |\n|---|---|---|---|\n")
		for _, p := range properties(m) {
			if !p.Has() {
				continue
			}
			var said []string
			for _, c := range p.Claims {
				claims[c.How]++
				said = append(said, fmt.Sprintf("%s %s (%s)", three(c.Low, c.Best, c.High), c.Ref, c.How)+noted(c.Note))
			}
			fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", p.name, three(p.Low, p.Best, p.High), p.Known, cell(strings.Join(said, "; ")))
		}
		if len(m.Hazards) > 0 {
			b.WriteString("\n| hazard | level | why | what clears it | from |\n|---|---|---|---|---|\n")
			for _, h := range m.Hazards {
				what := h.What
				if h.Declared != "" {
					what += " (when declared: " + h.Declared + ")"
				}
				fmt.Fprintf(&b, "| %s | %s | %s | %s | %s (%s) |\n", cell(what), h.Level, cell(h.Why), cell(h.Clears), h.Ref, h.How)
			}
		}
		b.WriteByte('\n')
	}
	fmt.Fprintf(&b, "%d materials; values of sources: %s.\n\n", len(materials), tally(claims))
	return b.String(), nil
}

type property struct {
	name string
	feedstock.Property
}

func properties(m feedstock.Material) []property {
	return []property{
		{"water_frac_wet", m.Water}, {"nitrogen_frac_dry", m.Nitrogen}, {"cn", m.CN}, {"carbon_frac_dry", m.Carbon},
		{"density_kg_m3_wet", m.Density}, {"ash_frac_dry", m.Ash}, {"lignin_frac_dry", m.Lignin}, {"ec_ds_m", m.Salts},
		{"ph", m.PH}, {"ammonia_n_mg_kg_dry", m.Ammonia},
		{"quick, part of volatile", m.Quick}, {"slow, part of volatile", m.Slow}, {"woody, part of volatile", m.Woody},
	}
}

// three prints low / best / high, leaving out what a source does not give.
func three(low, best, high float64) string {
	var said []string
	for _, v := range []float64{low, best, high} {
		if v != 0 {
			said = append(said, number(v))
		}
	}
	if low == best && best == high || len(said) == 0 {
		return number(best)
	}
	return strings.Join(said, " / ")
}

func noted(note string) string {
	if note == "" {
		return ""
	}
	return ": " + strings.TrimSuffix(note, ".")
}
