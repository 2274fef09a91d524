package web

import (
	"net/http"
	"strings"

	"wormyard/feedstock"
	"wormyard/qty"
)

// workingPile shows how what is left of a pile adds up, and what its material
// is taken to be.
func (s *Server) workingPile(w http.ResponseWriter, r *http.Request, p person) error {
	x, ok := s.Farm.State().Pile(r.PathValue("name"))
	if !ok {
		return missing{p.Say("fault.nopile", r.PathValue("name"))}
	}
	page := WorkingPage{Frame: s.frame(r, p, p.Say("pile.title", x.Name), "yard"), BackTo: pileTo(x.Name), BackName: p.Say("pile.title", x.Name), Heading: p.Say("working.pile", x.Name), Under: p.Say("working.pileunder")}
	page.One = true
	page.Steps = append(page.Steps, StepShown{Title: p.Say("working.left"), How: p.Say("working.lefthow"), Rows: []Fact{
		{Name: p.Say("working.came"), Value: loadOf(p, x.Got)}, {Name: p.Say("working.went"), Value: loadOf(p, x.Used)}, {Name: p.Say("pile.left1"), Value: loadOf(p, x.Left())}}})
	page.Steps = append(page.Steps, matterStep(p, x.Left()))
	for _, h := range x.Holds {
		page.Steps = append(page.Steps, materialStep(p, h.Material))
	}
	if len(x.Missing) > 0 {
		page.Notes = append(page.Notes, p.Say("pile.unknown", p.Words.List(x.Missing)))
	}
	return s.draw(w, "working", http.StatusOK, page)
}

func (s *Server) workingBatch(w http.ResponseWriter, r *http.Request, p person) error {
	b, ok := s.Farm.State().Batch(r.PathValue("name"))
	if !ok {
		return missing{p.Say("fault.nobatch", r.PathValue("name"))}
	}
	page := WorkingPage{Frame: s.frame(r, p, batchName(p, b), "yard"), BackTo: batchTo(b.Name), BackName: batchName(p, b), Heading: p.Say("working.batch", b.Name), Under: p.Say("working.batchunder")}
	page.One = true
	for _, x := range b.Parts {
		st := matterStep(p, x.Matter)
		st.Title = p.Say("working.part", x.Pile)
		page.Steps = append(page.Steps, st)
	}
	st := matterStep(p, b.Made)
	st.Title, st.How = p.Say("working.sum"), p.Say("working.sumhow", percentNumber(float64(b.Shrink)))
	page.Steps = append(page.Steps, st)
	return s.draw(w, "working", http.StatusOK, page)
}

// matterStep lays out an amount of matter so that every ratio can be redone.
func matterStep(p person, m feedstock.Matter) StepShown {
	kg := func(v float64) string { return number5(v) + " kg" }
	st := StepShown{Title: p.Say("working.matter"), How: p.Say("working.matterhow"), Rows: []Fact{
		{Name: p.Say("working.dry"), Value: kg(float64(m.Dry))}, {Name: p.Say("working.water"), Value: kg(float64(m.Water))},
		{Name: p.Say("working.carbon"), Value: kg(float64(m.Carbon))}, {Name: p.Say("working.nitrogen"), Value: kg(float64(m.TotalNitrogen()))},
		{Name: p.Say("working.volume"), Value: number5(float64(m.Volume)) + " m³"},
		{Name: p.Say("matter.water"), Value: number5(100*float64(m.WaterContent())) + " %", Note: p.Say("working.waterof")},
		{Name: p.Say("matter.cn"), Value: number5(float64(m.CN())), Note: p.Say("working.cnof")},
		{Name: p.Say("matter.density"), Value: number5(float64(m.Density())) + " kg/m³", Note: p.Say("working.densityof")},
	}}
	return st
}

// materialStep lists the properties of a material with where each comes from.
func materialStep(p person, m feedstock.Material) StepShown {
	st := StepShown{Title: p.Say("working.material", m.Name), How: p.Say("working.materialhow")}
	for _, x := range []struct {
		key  string
		prop feedstock.Property
	}{{"water_frac_wet", m.Water}, {"nitrogen_frac_dry", m.Nitrogen}, {"cn", m.CN}, {"carbon_frac_dry", m.Carbon}, {"density_kg_m3_wet", m.Density}, {"ash_frac_dry", m.Ash}, {"lignin_frac_dry", m.Lignin}, {"ec_ds_m", m.Salts}, {"ph", m.PH}} {
		if !x.prop.Has() {
			continue
		}
		var from []string
		for _, c := range x.prop.Claims {
			from = append(from, p.Say("working.claim", c.Ref, c.How))
		}
		note := strings.Join(from, "; ")
		if note == "" {
			note = x.prop.Known
		}
		st.Rows = append(st.Rows, Fact{Name: windowName(p, x.key), Value: p.Say("range.short", outputNumber(person{Units: qty.Metric, Words: p.Words}, x.key, x.prop.Best), outputNumber(person{Units: qty.Metric, Words: p.Words}, x.key, x.prop.Low), outputNumber(person{Units: qty.Metric, Words: p.Words}, x.key, x.prop.High)), Note: note})
	}
	return st
}
