package app

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// piles reads what lies in the yard and since when.
func (m *morning) piles() ([]*journal.Receive, []time.Time) {
	var out []*journal.Receive
	var at []time.Time
	seen := map[string]bool{}
	for i, p := range m.form.Piles {
		field := func(k string) string { return fmt.Sprintf("piles[%d].%s", i, k) }
		name := strings.TrimSpace(p.Name)
		if name == "" {
			name = strings.TrimSpace(p.Material)
		}
		if name == "" || seen[name] {
			m.refuse(field("name"), fmt.Sprintf("The name of pile %d, %q, is empty or taken.", i+1, name), "Give each pile a name of its own.")
		}
		seen[name] = true
		if err := m.material(p.Material); err != nil {
			m.refuse(field("material"), err.Error(), "Name the material of the library that comes nearest.")
		}
		r := &journal.Receive{Pile: name, Material: strings.TrimSpace(p.Material)}
		if v, err := qty.Parse(p.Amount, qty.Volume); err == nil && v > 0 {
			r.VolumeM3 = point(qty.CubicMetre(v))
		} else if w, err2 := qty.Parse(p.Amount, qty.Mass); err2 == nil && w > 0 {
			r.MassKgWet = point(qty.WetKg(w))
		} else {
			m.refuse(field("amount"), fmt.Sprintf("The amount of pile %s, %q, is not a volume or a mass.", name, p.Amount), `Type one such as "30 yd3" or "500 lb".`)
		}
		for _, d := range strings.FieldsFunc(p.Declared, func(r rune) bool { return r == ',' || r == ';' }) {
			r.Declared = append(r.Declared, strings.ToLower(strings.TrimSpace(d)))
		}
		age, _ := m.spanOr(field("age"), p.Age, 0)
		out = append(out, r)
		at = append(at, m.now.Add(-time.Duration(float64(age)*24*float64(time.Hour))-2*time.Hour).Truncate(time.Minute))
	}
	return out, at
}

func point[T any](v T) *T { return &v }

// mixes enters the batches that lie ready, taken from the piles.
func (m *morning) mixes(piles []*journal.Receive) {
	for i, x := range m.form.Mixes {
		field := func(k string) string { return fmt.Sprintf("mixes[%d].%s", i, k) }
		b := &journal.Blend{Batch: strings.TrimSpace(x.Name), Purpose: said(strings.TrimSpace(x.Purpose), "feed")}
		if b.Batch == "" {
			m.refuse(field("name"), fmt.Sprintf("Mix %d has no name.", i+1), "Give it the number painted on its board, such as 41.")
		}
		for _, part := range strings.FieldsFunc(x.Parts, func(r rune) bool { return r == ',' || r == ';' }) {
			part = strings.TrimSpace(part)
			at := slices.IndexFunc(piles, func(p *journal.Receive) bool {
				return len(part) > len(p.Pile) && strings.EqualFold(part[len(part)-len(p.Pile):], p.Pile) && part[len(part)-len(p.Pile)-1] == ' '
			})
			if at < 0 {
				m.refuse(field("parts"), fmt.Sprintf("%q does not end in the name of a pile.", part), `Write each part as an amount and a pile, such as "2 yd3 solids, 1 yd3 chips".`)
				continue
			}
			amount := strings.TrimSuffix(strings.TrimSpace(part[:len(part)-len(piles[at].Pile)]), " of")
			p := journal.BlendPart{Pile: piles[at].Pile}
			if v, err := qty.Parse(amount, qty.Volume); err == nil && v > 0 {
				p.VolumeM3 = point(qty.CubicMetre(v))
			} else if w, err := qty.Parse(amount, qty.Mass); err == nil && w > 0 {
				p.MassKgWet = point(qty.WetKg(w))
			} else {
				m.refuse(field("parts"), fmt.Sprintf("The amount %q of pile %s is not a volume or a mass.", amount, p.Pile), `Write each part as an amount and a pile, such as "2 yd3 solids, 1 yd3 chips".`)
				continue
			}
			b.Parts = append(b.Parts, p)
		}
		if strings.TrimSpace(x.Parts) == "" {
			m.refuse(field("parts"), fmt.Sprintf("What mix %s is made of is not told.", b.Batch), `Write each part as an amount and a pile, such as "2 yd3 solids, 1 yd3 chips".`)
		}
		m.add("blend", m.now.Add(-time.Hour), b)
	}
	if len(m.form.Mixes) == 0 && len(piles) > 0 {
		m.doubt("mixes", "No mix lies ready, so the round cannot say how much to feed.", "Tell the mix that you feed now, such as 41: 2 yd3 solids, 1 yd3 chips; or say yes and mix one later.")
	}
}

func said(text, other string) string {
	if text == "" {
		return other
	}
	return text
}
