// Package source holds the numbers that describe nature and trade as data, and
// brings them into the tagged structs of the core.
//
// A parameter is one entry of a file in data/: name, value, unit, low, high,
// ref (key of a reference), where (table, page, equation), how it is known,
// at (conditions) and note. A struct of the core names what it takes:
//
//	Conductivity float64 `param:"conductivity" unit:"W/(m K)"`
//
// Load fills such a struct and refuses, all at once, a name that is missing on
// either side, a unit that differs, a missing source and a value outside its
// own range. References come from the files refs_*.json, one an owner, merged.
// A farm's own values are laid over the file with their date, data and person
// (Own) and never written into it. The materials are read by materials.go.
package source

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"path"
	"reflect"
	"slices"
	"sort"
	"strings"

	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/qty"
)

//go:embed data
var files embed.FS

// Parameter is one number with where it comes from.
type Parameter struct {
	Name   string    `json:"name" doc:"name, as in the tag of the struct"`
	Value  *float64  `json:"value" doc:"the value used"`
	Values []float64 `json:"values" doc:"in place of value, for a table"`
	Unit   string    `json:"unit" doc:"unit, - when it has none"`
	Low    *float64  `json:"low" doc:"low end of the central 90 %"`
	High   *float64  `json:"high" doc:"high end of the central 90 %"`
	Ref    string    `json:"ref,omitempty" doc:"key of the reference"`
	Where  string    `json:"where,omitempty" doc:"table, page or equation"`
	How    string    `json:"how" choice:"found,memory,measured,assumed"`
	At     string    `json:"at,omitempty" doc:"conditions for which it holds"`
	Note   string    `json:"note,omitempty"`
}

// Estimate gives the value with its range.
func (p Parameter) Estimate() qty.Estimate {
	e := qty.Estimate{Known: map[string]string{"measured": "measured", "assumed": "assumed"}[p.How]}
	if e.Known == "" {
		e.Known = "handbook"
	}
	if p.Value != nil {
		e.Best, e.Low, e.High = *p.Value, *p.Value, *p.Value
	}
	if p.Low != nil && p.High != nil {
		e.Low, e.High = *p.Low, *p.High
	}
	return e
}

// Ref is a work that a number comes from.
type Ref struct {
	Key       string `json:"key"`
	Author    string `json:"author,omitempty"`
	Year      int    `json:"year,omitempty"`
	Title     string `json:"title"`
	Published string `json:"published,omitempty" doc:"journal, publisher, number"`
	How       string `json:"how" choice:"found,memory,measured,assumed" doc:"how its text is known to us"`
	Note      string `json:"note,omitempty"`
}

// String gives the reference in one line.
func (r Ref) String() string {
	s := r.Title
	if r.Author != "" {
		head := r.Author
		if r.Year != 0 {
			head += fmt.Sprintf(" %d", r.Year)
		}
		s = head + ", " + s
	}
	if r.Published != "" {
		s += ", " + r.Published
	}
	return s
}

// Own is a farm's own value of a parameter.
type Own struct {
	Name   string  `json:"name"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Date   string  `json:"date" doc:"day on which it was settled"`
	Data   string  `json:"data" doc:"what it was learned from"`
	Person string  `json:"person" doc:"who settled it"`
}

type parameterFile struct {
	DefaultOf  string      `json:"default_of,omitempty"`
	Note       string      `json:"note,omitempty"`
	Parameters []Parameter `json:"parameters"`
}

type refFile struct {
	Refs []Ref `json:"refs"`
}

// Load fills the tagged struct into with the parameters of data/NAME.json, laid
// over by a farm's own values. The error lists everything that is wrong.
func Load(name string, into any, own ...Own) error {
	parameters, err := Parameters(name)
	if err != nil {
		return err
	}
	return contract.Refuse(fill(name, parameters, into, own))
}

// LoadOver is Load with the entries of data/OVER.json in place of those of
// data/NAME.json that have their names; an empty over changes nothing.
func LoadOver(name, over string, into any) error {
	parameters, err := Over(name, over)
	if err != nil {
		return err
	}
	return contract.Refuse(fill(name, parameters, into, nil))
}

// Over gives the entries of data/NAME.json with those of data/OVER.json in place of
// the ones that have their names. The error lists entries that replace nothing.
func Over(name, over string) ([]Parameter, error) {
	base, err := Parameters(name)
	if err != nil || over == "" {
		return base, err
	}
	others, err := Parameters(over)
	if err != nil {
		return nil, err
	}
	var problems []figure.Problem
	for _, p := range others {
		i := slices.IndexFunc(base, func(b Parameter) bool { return b.Name == p.Name })
		if i < 0 {
			problems = append(problems, figure.Problem{Field: over + ".json " + p.Name, Say: "It is in place of a number that " + name + ".json does not have.", Try: "Give it the name that it has there."})
			continue
		}
		base[i] = p
	}
	return base, contract.Refuse(problems)
}

// Parameters gives the entries of data/NAME.json in their written order.
func Parameters(name string) ([]Parameter, error) {
	data, err := files.ReadFile("data/" + name + ".json")
	if err != nil {
		near := contract.Nearest(name, Names())
		return nil, fmt.Errorf("no parameters are kept under %q; near it: %s", name, strings.Join(near, ", "))
	}
	refs, err := Refs()
	if err != nil {
		return nil, err
	}
	return parse(name, data, refs)
}

// Names gives the parameter files, in order.
func Names() []string {
	all, err := fs.Glob(files, "data/*.json")
	if err != nil {
		panic(err) // the pattern is constant
	}
	var out []string
	for _, f := range all {
		name := strings.TrimSuffix(path.Base(f), ".json")
		data, err := files.ReadFile(f)
		var head map[string]json.RawMessage
		if err == nil && json.Unmarshal(data, &head) == nil && head["parameters"] != nil {
			out = append(out, name)
		}
	}
	return out
}

// Refs gives all references by key, from every refs_*.json. The error lists
// keys with two meanings and entries that lack something.
func Refs() (map[string]Ref, error) {
	all, err := fs.Glob(files, "data/refs_*.json")
	if err != nil {
		return nil, err
	}
	out, from := map[string]Ref{}, map[string]string{}
	var problems []figure.Problem
	for _, f := range all {
		data, err := files.ReadFile(f)
		if err != nil {
			return nil, err
		}
		var in refFile
		problems = append(problems, within(path.Base(f), contract.Decode(data, &in))...)
		for _, r := range in.Refs {
			if old, ok := out[r.Key]; ok && old != r {
				problems = append(problems, figure.Problem{
					Field: path.Base(f) + " " + r.Key,
					Say:   fmt.Sprintf("%s also gives %q, with other words.", from[r.Key], r.Key),
					Try:   "Make the two alike or give one another key.",
				})
			}
			out[r.Key], from[r.Key] = r, path.Base(f)
		}
	}
	return out, contract.Refuse(problems)
}

func within(file string, problems []figure.Problem) []figure.Problem {
	for i := range problems {
		problems[i].Field = strings.TrimSpace(file + " " + problems[i].Field)
	}
	return problems
}

// parse reads one parameter file and checks every entry by itself.
func parse(name string, data []byte, refs map[string]Ref) ([]Parameter, error) {
	var f parameterFile
	problems := within(name+".json", contract.Decode(data, &f))
	seen := map[string]bool{}
	for _, p := range f.Parameters {
		add := func(say, try string) {
			problems = append(problems, figure.Problem{Field: name + ".json " + p.Name, Say: say, Try: try})
		}
		if seen[p.Name] {
			add("It stands twice.", "Keep one.")
		}
		seen[p.Name] = true
		switch {
		case p.Value == nil && p.Values == nil:
			add("It has no value.", `Give "value", or "values" for a table.`)
		case p.Value != nil && p.Values != nil:
			add("It has both value and values.", "Keep one.")
		}
		if p.Unit == "" {
			add("It has no unit.", `Give "unit"; "-" when it has none.`)
		}
		if (p.Low == nil) != (p.High == nil) {
			add("It has one end of a range only.", "Give low and high.")
		}
		if p.Low != nil && p.High != nil {
			for _, v := range append(slices.Clone(p.Values), one(p.Value)...) {
				if v < *p.Low || v > *p.High {
					add(fmt.Sprintf("%g is outside its own range, %g to %g.", v, *p.Low, *p.High), "Mend the value or the range.")
				}
			}
		}
		if p.Ref == "" && (p.How == "found" || p.How == "memory") {
			add(fmt.Sprintf("It is %s but names no reference.", p.How), `Give "ref", or how: "assumed" with a note.`)
		}
		if p.Ref == "" && p.Note == "" {
			add("It has neither reference nor note.", "Say in a note what it rests on.")
		}
		if _, ok := refs[p.Ref]; p.Ref != "" && !ok {
			add(fmt.Sprintf("Reference %q is in no refs file.", p.Ref), "Near it: "+strings.Join(contract.Nearest(p.Ref, keys(refs)), ", ")+".")
		}
	}
	return f.Parameters, contract.Refuse(problems)
}

func one(v *float64) []float64 {
	if v == nil {
		return nil
	}
	return []float64{*v}
}

func keys(refs map[string]Ref) []string {
	out := make([]string, 0, len(refs))
	for k := range refs {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// slot is a tagged field of a struct of the core.
type slot struct {
	unit  string
	value reflect.Value
}

func slots(v reflect.Value, out map[string]slot) {
	t := v.Type()
	for i := range t.NumField() {
		f := t.Field(i)
		if name := f.Tag.Get("param"); name != "" {
			out[name] = slot{f.Tag.Get("unit"), v.Field(i)}
		} else if f.Type.Kind() == reflect.Struct && f.IsExported() {
			slots(v.Field(i), out)
		}
	}
}

// fill lays parameters and a farm's own values into the struct.
func fill(name string, parameters []Parameter, into any, own []Own) []figure.Problem {
	want := map[string]slot{}
	slots(reflect.ValueOf(into).Elem(), want)
	var problems []figure.Problem
	say := func(field, what, try string) {
		problems = append(problems, figure.Problem{Field: name + ".json " + field, Say: what, Try: try})
	}
	known := make([]string, 0, len(want))
	for n := range want {
		known = append(known, n)
	}
	sort.Strings(known)
	have := map[string]Parameter{}
	for _, p := range parameters {
		have[p.Name] = p
		s, ok := want[p.Name]
		if !ok {
			say(p.Name, fmt.Sprintf("Nothing in %T takes it.", into), "Near it: "+strings.Join(contract.Nearest(p.Name, known), ", ")+".")
			continue
		}
		if s.unit != p.Unit {
			say(p.Name, fmt.Sprintf("The file says unit %q, the struct %q.", p.Unit, s.unit), "Make them alike.")
			continue
		}
		if !put(s.value, p) {
			say(p.Name, fmt.Sprintf("It does not fit a %s.", s.value.Type()), `Use "value" for a number, "values" for a list.`)
		}
	}
	for _, n := range known {
		if _, ok := have[n]; !ok {
			say(n, "The struct asks for it, the file has none.", "Add an entry.")
		}
	}
	for _, o := range own {
		p, ok := have[o.Name]
		s, fits := want[o.Name]
		switch {
		case !ok || !fits:
			say(o.Name, "The farm has its own value for a number that is not used.", "Near it: "+strings.Join(contract.Nearest(o.Name, known), ", ")+".")
		case o.Unit != p.Unit:
			say(o.Name, fmt.Sprintf("The farm's own value is in %q, ours in %q.", o.Unit, p.Unit), "Give it in our unit.")
		case o.Date == "" || o.Data == "" || o.Person == "":
			say(o.Name, "The farm's own value lacks its date, data or person.", "Say when, from what and by whom it was settled.")
		case o.Low > o.Value || o.Value > o.High || math.IsNaN(o.Value+o.Low+o.High):
			say(o.Name, fmt.Sprintf("The farm's own value %g is outside its own range, %g to %g.", o.Value, o.Low, o.High), "Mend the value or the range.")
		default:
			p.Value, p.Values, p.Low, p.High, p.How = &o.Value, nil, &o.Low, &o.High, "measured"
			if !put(s.value, p) {
				say(o.Name, "A table cannot be replaced by one value.", "Leave it out.")
			}
		}
	}
	return problems
}

// put writes a parameter into a field of a float, estimate or list type.
func put(v reflect.Value, p Parameter) bool {
	switch {
	case v.Type() == reflect.TypeFor[qty.Estimate]():
		if p.Value == nil {
			return false
		}
		v.Set(reflect.ValueOf(p.Estimate()))
	case v.Kind() == reflect.Float64:
		if p.Value == nil {
			return false
		}
		v.SetFloat(*p.Value)
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Float64:
		if p.Values == nil {
			return false
		}
		list := reflect.MakeSlice(v.Type(), len(p.Values), len(p.Values))
		for i, x := range p.Values {
			list.Index(i).SetFloat(x)
		}
		v.Set(list)
	case v.Kind() == reflect.Array && v.Type().Elem().Kind() == reflect.Float64:
		if len(p.Values) != v.Len() {
			return false
		}
		for i, x := range p.Values {
			v.Index(i).SetFloat(x)
		}
	default:
		return false
	}
	return true
}
