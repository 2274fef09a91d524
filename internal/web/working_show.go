package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"net/http"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/contract"
	"wormyard/qty"
)

// WorkingPage shows how a number came about.
type WorkingPage struct {
	Frame
	BackTo, BackName string
	Heading, Under   string
	Says             []string
	Formula, Source  string
	Action           string
	Problems         []Complaint
	Form             []Field
	Out, Assumed     []Fact
	AssumedTitle     string
	Notes            []string
	Layers           *TriedTable
	Steps            []StepShown
	Tables           []TriedTable
}

func (s *Server) readFigures() ([]figure.Figure, error) {
	if s.Figures == nil {
		return nil, nil
	}
	return s.Figures()
}

// workingList lists every figure.
func (s *Server) workingList(w http.ResponseWriter, r *http.Request, p person) error {
	list, err := s.figures()
	if err != nil {
		return err
	}
	page := ThingsPage{Frame: s.frame(r, p, p.Say("working.title"), "more"), Heading: p.Say("working.title"), Under: p.Say("working.under")}
	page.One = true
	for _, f := range list {
		noun, _, _ := strings.Cut(f.Name, ".")
		if n := len(page.Groups); n == 0 || page.Groups[n-1].Title != sentence(noun) {
			page.Groups = append(page.Groups, ThingGroup{Title: sentence(noun)})
		}
		g := &page.Groups[len(page.Groups)-1]
		g.Things = append(g.Things, Link{To: "/working/figure/" + f.Name, Name: f.Title, Note: f.Name})
	}
	return s.draw(w, "things", http.StatusOK, page)
}

// workingFigure shows one figure, and computes it with what was typed.
func (s *Server) workingFigure(w http.ResponseWriter, r *http.Request, p person) error {
	list, err := s.figures()
	if err != nil {
		return err
	}
	name := r.PathValue("name")
	i := slices.IndexFunc(list, func(f figure.Figure) bool { return f.Name == name })
	if i < 0 {
		return missing{p.Say("fault.nofigure", name)}
	}
	f := list[i]
	page := WorkingPage{Frame: s.frame(r, p, f.Title, "more"), BackTo: "/working", BackName: p.Say("working.title"), Heading: f.Title, Formula: f.Formula, Source: f.Source, Action: "/working/figure/" + f.Name}
	page.One = true
	page.Under = p.Say("working.name", f.Name, f.Equation)
	q := r.URL.Query()
	fields := inputsOf(reflectIn(f))
	var problems []app.Problem
	m := map[string]any{}
	for _, x := range fields {
		text := strings.TrimSpace(q.Get(x.key))
		value := text
		if value == "" && x.def != "" && len(q) == 0 {
			value = x.def
		}
		b := textField(x.key, x.label(), value)
		b.Short, b.Unit, b.Help = true, x.unit, x.doc
		switch x.kind {
		case "number":
			b.Mode = "decimal"
		case "choice":
			b = selectField(x.key, x.label(), value, plainOptions(append([]string{""}, x.choices...)...))
			b.Help = x.doc
		case "json":
			b = areaField(x.key, x.label(), value)
			b.Help = strings.TrimSpace(x.doc + " " + p.Say("working.json"))
		}
		page.Form = append(page.Form, b)
		if text == "" {
			continue
		}
		switch x.kind {
		case "number":
			v, ok := qty.Number(text)
			if !ok {
				problems = append(problems, app.Problem{Field: x.key, Say: p.Say("form.nonumber", x.label(), text), Try: p.Say("form.nonumbertry", strings.TrimSpace("12 "+x.unit))})
				continue
			}
			m[x.key] = v
		case "json":
			var any any
			if json.Unmarshal([]byte(text), &any) != nil {
				problems = append(problems, app.Problem{Field: x.key, Say: p.Say("working.badjson", x.label()), Try: p.Say("working.badjsontry")})
				continue
			}
			m[x.key] = any
		case "flag":
			m[x.key] = text == "yes" || text == "true"
		default:
			m[x.key] = text
		}
	}
	status := http.StatusOK
	if len(q) > 0 {
		out, notes, ps, err := s.runFigure(f, m)
		if err != nil {
			return err
		}
		problems = append(problems, ps...)
		if len(problems) > 0 {
			status = http.StatusUnprocessableEntity
			page.Problems = mark(problems, page.Form)
		} else {
			page.Out, page.Notes = out, notes
		}
	}
	return s.draw(w, "working", status, page)
}

// runFigure calls a figure with named numbers.
func (s *Server) runFigure(f figure.Figure, m map[string]any) ([]Fact, []string, []app.Problem, error) {
	raw, err := json.Marshal(m)
	if err != nil {
		return nil, nil, nil, err
	}
	in := f.In()
	if problems := contract.Decode(raw, in); len(problems) > 0 {
		var out []app.Problem
		for _, x := range problems {
			out = append(out, app.Problem{Field: x.Field, Say: x.Say, Try: x.Try})
		}
		return nil, nil, out, nil
	}
	out, notes, err := f.Run(in)
	var no *figure.Refusal
	if errors.As(err, &no) {
		var problems []app.Problem
		for _, x := range no.Problems {
			problems = append(problems, app.Problem{Field: x.Field, Say: x.Say, Try: x.Try})
		}
		return nil, nil, problems, nil
	}
	if err != nil {
		return nil, nil, nil, err
	}
	return outputsOf(out), notes, nil, nil
}

// input is one box of a figure's form.
type input struct {
	key, unit, doc, def, kind string
	choices                   []string
}

func (x input) label() string { return sentence(strings.ReplaceAll(x.key, "_", " ")) }

// reflectIn gives the type of the struct that a figure takes.
func reflectIn(f figure.Figure) reflect.Type { return reflect.TypeOf(f.In()).Elem() }

// inputsOf reads the tags of an input struct.
func inputsOf(t reflect.Type) []input {
	var out []input
	for i := range t.NumField() {
		f := t.Field(i)
		key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous && key == "" && f.Type.Kind() == reflect.Struct {
			out = append(out, inputsOf(f.Type)...)
			continue
		}
		if key == "" || key == "-" {
			continue
		}
		x := input{key: key, unit: f.Tag.Get("unit"), doc: f.Tag.Get("doc"), def: f.Tag.Get("default")}
		ft := f.Type
		for ft.Kind() == reflect.Pointer {
			ft = ft.Elem()
		}
		switch ft.Kind() {
		case reflect.Float64, reflect.Int, reflect.Int64, reflect.Uint64:
			x.kind = "number"
		case reflect.Bool:
			x.kind = "flag"
		case reflect.String:
			x.kind = "text"
			if c := f.Tag.Get("choice"); c != "" {
				x.kind, x.choices = "choice", strings.Split(c, ",")
			}
		default:
			x.kind = "json"
		}
		out = append(out, x)
	}
	return out
}

// outputsOf prints the outputs of a figure.
func outputsOf(out any) []Fact {
	raw, err := json.Marshal(out)
	if err != nil {
		return []Fact{{Value: fmt.Sprint(out)}}
	}
	var m map[string]any
	if json.Unmarshal(raw, &m) != nil {
		return []Fact{{Value: string(raw)}}
	}
	var facts []Fact
	for _, key := range slices.Sorted(maps.Keys(m)) {
		facts = append(facts, Fact{Name: strings.ReplaceAll(key, "_", " "), Value: anySay(m[key])})
	}
	return facts
}

func anySay(v any) string {
	switch x := v.(type) {
	case float64:
		return number5(x)
	case string:
		return x
	case nil:
		return "–"
	}
	raw, err := json.Marshal(v)
	if err != nil {
		return fmt.Sprint(v)
	}
	return string(raw)
}

// number5 prints five figures, enough to check by hand.
func number5(v float64) string {
	if v != 0 && (math.Abs(v) < 1e-4 || math.Abs(v) >= 1e9) {
		return strconv.FormatFloat(v, 'g', 5, 64)
	}
	s := strconv.FormatFloat(v, 'f', max(0, 4-int(math.Floor(math.Log10(math.Max(math.Abs(v), 1e-9))))), 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// stepsShown prints the steps of a working.
func stepsShown(p person, steps []figure.Step) []StepShown {
	var out []StepShown
	for _, st := range steps {
		x := StepShown{Title: p.Say("working.step", sentence(st.Figure), st.Equation), How: sentence(st.How), Source: st.Source}
		q := url.Values{}
		for _, key := range slices.Sorted(maps.Keys(st.Inputs)) {
			x.Rows = append(x.Rows, Fact{Name: strings.ReplaceAll(key, "_", " "), Value: number5(st.Inputs[key]), Note: p.Say("working.isin")})
			q.Set(key, plainNumber(st.Inputs[key]))
		}
		for _, key := range slices.Sorted(maps.Keys(st.Outputs)) {
			x.Rows = append(x.Rows, Fact{Name: strings.ReplaceAll(key, "_", " "), Value: number5(st.Outputs[key]), Note: p.Say("working.isout")})
		}
		if st.Figure != "" {
			x.To = "/working/figure/" + url.PathEscape(st.Figure)
			if !slices.ContainsFunc(slices.Collect(maps.Keys(st.Inputs)), func(k string) bool { return strings.ContainsAny(k, "[.") }) {
				x.To += "?" + q.Encode()
			}
		}
		out = append(out, x)
	}
	return out
}
