package web

import (
	"net/http"
	"slices"
	"strings"
)

// MeasurePage measures and counts on a photo of one field.
type MeasurePage struct {
	Frame
	Heading, Under, BackTo, BackName string
	Form                             Form
	Seen                             []Field
	Setting                          []Field
	Groups                           string // what may be marked, for the script
}

// measured are the boxes that measuring fills in, beside what was seen.
var measured = []string{"um_per_px", "field_area_mm2", "traces"}

func (s *Server) measureShow(w http.ResponseWriter, r *http.Request, p person) error {
	name := r.PathValue("name")
	if _, ok := s.Farm.State().Lot(name); !ok {
		return missing{p.Say("fault.nolot", name)}
	}
	sh := slip{kind: "microscope", action: benchTo(name) + "/photo", back: benchTo(name), preset: s.nextSlide(name), submit: p.Say("bench.save"),
		open:  append([]string{"sub_sample", "slide", "dilution", "drop_ml", "cover_mm"}, measured...),
		fixed: map[string]string{"lot": name, "bin": "", "group": "", "objective_x": "", "field_number_mm": ""}}
	page := MeasurePage{Frame: s.frame(r, p, p.Say("measure.title", name), "more"), Heading: p.Say("measure.title", name), Under: p.Say("measure.under"), BackTo: benchTo(name), BackName: p.Say("bench.of", name)}
	status := http.StatusOK
	f, err := s.formOf(p, sh, values{})
	if err != nil {
		return err
	}
	if r.Method == http.MethodPost {
		got, err := s.keep(r, p, sh)
		if err != nil {
			return err
		}
		if got.saved != "" {
			seeOther(w, r, withSaid(benchTo(name), got.saved))
			return nil
		}
		f, status = got.form, http.StatusUnprocessableEntity
	}
	page.Form = f
	page.Form.Fields = nil
	for _, x := range f.Fields {
		switch {
		case x.Hidden:
			page.Form.Fields = append(page.Form.Fields, x)
		case strings.HasPrefix(x.Name, "seen_") || slices.Contains(measured, x.Name):
			page.Seen = append(page.Seen, x)
		default:
			page.Setting = append(page.Setting, x)
		}
	}
	page.Groups = tallyOf(p)
	return s.draw(w, "measure", status, page)
}
