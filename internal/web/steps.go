package web

import (
	"net/http"
	"slices"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// amountsOf are the kinds whose amounts a device fills in as they were written
// last. What is measured it never fills in: only the first press of a stepper
// begins there.
var amountsOf = []string{"feed", "water"}

// steps puts the buttons beside a number, and says under what a device
// remembers it.
func steps(p person, sh slip, k journal.Field, f *Field) {
	if k.Type != journal.Number && k.Type != journal.Whole {
		return
	}
	f.Step = stepOf(p, k)
	if f.Step == "" {
		return
	}
	f.Less, f.Greater = p.Say("step.less", k.Label), p.Say("step.more", k.Label)
	f.Below = k.Dim != nil && *k.Dim == qty.Temperature
	f.Last, f.Fill = sh.kind+"."+k.Key+"."+unitsName(p.Units), slices.Contains(amountsOf, sh.kind)
}

// stepOf gives by how much one press changes a number, in the person's units.
func stepOf(p person, k journal.Field) string {
	us := p.Units == qty.US
	switch {
	case k.Type == journal.Whole:
		return "1"
	case k.Water:
		return "0.5"
	case k.Dim == nil:
		return map[string]string{"ppm": "5", "kg/m³": "10", "dS/m": "0.1"}[k.Unit]
	}
	switch *k.Dim {
	case qty.Temperature, qty.Percent:
		return "1"
	case qty.Mass:
		return pick(p.Units, "5", "2")
	case qty.Volume:
		return "0.5"
	case qty.Length:
		switch {
		case us && k.Unit == "mm": // parts of an inch
			return ""
		case us:
			return "0.5"
		}
		return "1"
	case qty.Duration:
		return "1"
	}
	return ""
}

// along gives the amounts that the ticks beside a feeding stand for.
func along(l round.Line) []Field {
	first := l.Items[0]
	return []Field{
		{Name: "along_water_kg", Value: plainNumber(first.WaterKg), Hidden: true}, {Name: "along_cover", Value: first.Cover, Hidden: true},
	}
}

// roundLines gives the lines of today's round, for a device to keep.
func (s *Server) roundLines(r *http.Request, p person) ([]round.Line, bool, error) {
	list, made, err := s.list(r.Context(), p)
	return list.Lines, made, err
}
