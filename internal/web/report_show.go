package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/ids"
	"wormyard/journal"
	"wormyard/qty"
)

// ReportPage takes a consultant's report on a lot as it is.
type ReportPage struct {
	Frame
	Heading, Under, BackTo, BackName string
	Form                             Form
}

// reportGroups are what such reports give, with the units they come in, as the ends
// of analytes.
var reportGroups = []struct {
	name  string
	units []string
}{
	{"bacteria", []string{"per_g", "ug_g"}}, {"fungi", []string{"ug_g", "m_g"}}, {"fungi_bacteria", nil},
	{"flagellates", []string{"per_g"}}, {"amoebae", []string{"per_g"}}, {"ciliates", []string{"per_g"}}, {"nematodes", []string{"per_g"}},
}

func (s *Server) reportShow(w http.ResponseWriter, r *http.Request, p person) error {
	name := r.PathValue("name")
	if _, ok := s.Farm.State().Lot(name); !ok {
		return missing{p.Say("fault.nolot", name)}
	}
	page := ReportPage{Frame: s.frame(r, p, p.Say("report.title", name), "more"), Heading: p.Say("report.title", name), Under: p.Say("report.under"), BackTo: lotTo(name), BackName: p.Say("lot.title", name)}
	page.Form = Form{Action: lotTo(name) + "/report", Back: lotTo(name), ID: r.PostForm.Get("id"), Submit: p.Say("report.save"), Cancel: lotTo(name)}
	if page.Form.ID == "" {
		page.Form.ID = s.NewID(p.Now)
	}
	page.Form.Fields = reportFields(p, r)
	if r.Method != http.MethodPost {
		return s.draw(w, "report", http.StatusOK, page)
	}
	entries, problems := s.reportEntries(r, p, name, page.Form.ID)
	if len(problems) == 0 {
		_, ps, err := s.writeAll(r, entries, r.PostForm.Get("yes"))
		if err != nil {
			return err
		}
		if len(ps) == 0 {
			seeOther(w, r, withSaid(benchesOf(name), entries[0].ID))
			return nil
		}
		problems = ps
	}
	refused, doubtful := split(problems)
	page.Form.Problems, page.Form.Doubts, page.Form.Yes = mark(refused, page.Form.Fields), mark(doubtful, page.Form.Fields), digest(doubtful)
	return s.draw(w, "report", http.StatusUnprocessableEntity, page)
}

func reportFields(p person, r *http.Request) []Field {
	var out []Field
	for _, g := range reportGroups {
		f := textField("r_"+g.name, p.Say("report.group."+g.name), typed(r, "r_"+g.name))
		f.Short = true
		out = append(out, f)
		if len(g.units) > 1 {
			var options []Option
			for _, u := range g.units {
				options = append(options, Option{Value: u, Label: p.Say("report.unit." + u)})
			}
			unit := typed(r, "u_"+g.name)
			if unit == "" {
				unit = g.units[0]
			}
			out = append(out, choose(Field{ID: "f-u_" + g.name, Name: "u_" + g.name, Label: p.Say("report.unitof", p.Say("report.group."+g.name)), Chips: true, Value: unit, Options: options}))
		}
	}
	out[0].Help = p.Say("report.numberhelp")
	basis := typed(r, "basis")
	if basis == "" {
		basis = "wet"
	}
	day := textField("day", p.Say("report.day"), typed(r, "day"))
	day.Type = "date"
	verdict := areaField("verdict", p.Say("report.verdict"), typed(r, "verdict"))
	verdict.Help = p.Say("report.verdicthelp")
	return append(out,
		choose(Field{ID: "f-basis", Name: "basis", Label: p.Say("report.basis"), Chips: true, Value: basis, Options: []Option{{Value: "wet", Label: p.Say("report.wet")}, {Value: "dry", Label: p.Say("report.dry")}}}),
		textField("laboratory", p.Say("report.from"), typed(r, "laboratory")), textField("method", p.Say("report.method"), typed(r, "method")), day, verdict)
}

// sizes are words of size behind a number.
var sizes = map[string]float64{"thousand": 1e3, "mil": 1e3, "k": 1e3, "million": 1e6, "millions": 1e6, "millón": 1e6, "millones": 1e6, "m": 1e6, "billion": 1e9}

// reportNumber reads a value of a report: a number, "3 million", "<100".
func reportNumber(text string) (v float64, less, ok bool) {
	text, less = strings.CutPrefix(strings.TrimSpace(text), "<")
	by := 1.0
	words := strings.Fields(text)
	for len(words) > 1 {
		size, known := sizes[strings.ToLower(words[len(words)-1])]
		if !known {
			break
		}
		by, words = by*size, words[:len(words)-1]
	}
	v, ok = qty.Number(strings.Join(words, ""))
	return v * by, less, ok && v >= 0
}

// reportEntries makes an assay of each value.
func (s *Server) reportEntries(r *http.Request, p person, lot, id string) (entries []journal.Entry, problems []app.Problem) {
	at := p.Now
	if day := typed(r, "day"); day != "" {
		t, err := time.ParseInLocation(journal.DayLayout, day, p.Zone)
		if err != nil {
			problems = append(problems, app.Problem{Field: "day", Say: p.Say("report.noday", day), Try: p.Say("report.nodaytry")})
		} else if at = t.Add(12 * time.Hour); at.After(p.Now) {
			at = p.Now
		}
	}
	method := typed(r, "method")
	if method == "" {
		method = "not told"
	}
	for _, g := range reportGroups {
		text := typed(r, "r_"+g.name)
		if text == "" {
			continue
		}
		v, less, ok := reportNumber(text)
		if !ok {
			problems = append(problems, app.Problem{Field: "r_" + g.name, Say: p.Say("report.nonumber", p.Say("report.group."+g.name), text), Try: p.Say("report.nonumbertry")})
			continue
		}
		analyte := g.name + "_ratio"
		if len(g.units) > 0 {
			unit := typed(r, "u_"+g.name)
			if !slices.Contains(g.units, unit) {
				unit = g.units[0]
			}
			basis := "wet"
			if typed(r, "basis") == "dry" && unit != "m_g" {
				basis = "dry"
			}
			analyte = g.name + "_" + unit + "_" + basis
		}
		b := &journal.Assay{Subject: "lot " + lot, Analyte: analyte, Value: v, Method: method, Laboratory: typed(r, "laboratory")}
		if less {
			b.Value, b.DetectionLimit = 0, &v
		}
		if len(entries) == 0 {
			b.Note = typed(r, "verdict")
		}
		e := journal.Entry{ID: id, Kind: "assay", At: at.UTC(), Who: p.Who, Device: deviceOf(p), Body: b}
		if len(entries) > 0 {
			e.ID = ids.FromContent(at, []byte(id+" "+analyte), 0)
		}
		entries = append(entries, e)
	}
	if len(entries) == 0 && len(problems) == 0 {
		problems = append(problems, app.Problem{Field: "r_bacteria", Say: p.Say("report.nothing"), Try: p.Say("report.nothingtry")})
	}
	return entries, problems
}
