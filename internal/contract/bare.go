package contract

import (
	"fmt"
	"reflect"
	"strings"

	"wormyard/figure"
	"wormyard/qty"
)

// unitOf gives the dimension of a key by the unit at its end, the longest first.
var unitOf = []struct {
	end string
	of  qty.Dimension
}{
	{"_kg_m3_wet", qty.Density}, {"_kg_m3_dry", qty.Density}, {"_kg_m3", qty.Density},
	{"_kg_wet", qty.Mass}, {"_kg_dry", qty.Mass}, {"_kg", qty.Mass},
	{"_m3", qty.Volume}, {"_m2", qty.Area}, {"_m", qty.Length}, {"_c", qty.Temperature},
}

// bareName gives the key without its unit, under which a person may type the
// quantity with one ("temp":"68 F" for temp_c), and its dimension; "" for a key
// that has none.
func (f field) bareName() (string, qty.Dimension) {
	t := f.typ
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Float64 && t != numberType && t != estimateType {
		return "", 0
	}
	for _, u := range unitOf {
		name, ok := strings.CutSuffix(f.name, u.end)
		if !ok {
			continue
		}
		if contains(compound, name[strings.LastIndexByte(name, '_')+1:]) {
			return "", 0
		}
		return name, u.of
	}
	return "", 0
}

// compound are words before a unit that make it part of another one, as in
// heat_w_m3, ec_ds_m, cost_per_m3.
var compound = []string{"", "per", "w", "j", "kj", "kg", "g", "mg", "ng", "lb", "m", "m2", "m3", "ds", "pa", "l"}

// bareNames gives for each bare name that is no key itself the fields it may mean.
func (s shape) bareNames() map[string][]field {
	out := map[string][]field{}
	for _, f := range s.fields {
		if name, _ := f.bareName(); name != "" {
			out[name] = append(out[name], f)
		}
	}
	for _, f := range s.fields {
		delete(out, f.name)
	}
	return out
}

// typedFor reads a text with a unit under a bare name as the number of the key
// that it stands for, nil on a problem.
func (d *decoder) typedFor(n *node, path, bare string, means []field, given []string) (*node, string) {
	if len(means) > 1 {
		keys := make([]string, len(means))
		for i, f := range means {
			keys[i] = f.name
		}
		d.note(join(path, bare), "This can be read in more than one way.", "Give "+spoken(keys)+".")
		return nil, ""
	}
	f := means[0]
	if contains(given, f.name) {
		d.note(join(path, bare), "This is also given as "+f.name+".", "Give one of the two.")
		return nil, ""
	}
	_, dim := f.bareName()
	if n.kind == isNumber {
		d.note(join(path, bare), fmt.Sprintf("%s has no unit.", clip(n.text)), fmt.Sprintf("Write the unit too, such as %s, or give the number as %q.", typedExample[dim], f.name))
		return nil, ""
	}
	x, ok := d.parsed(n, join(path, bare), dim)
	if !ok {
		return nil, ""
	}
	return &node{kind: isNumber, num: x, text: n.text, raw: n.raw}, f.name
}

// parsed reads a text with a unit of a dimension.
func (d *decoder) parsed(n *node, path string, dim qty.Dimension) (float64, bool) {
	if n.kind != isText {
		d.wrong(n, path, "a text with a unit", "Write the unit too, in quotation marks, such as "+typedExample[dim]+".")
		return 0, false
	}
	x, err := qty.Parse(n.text, dim)
	if err != nil {
		p := figure.Problem{Field: path, Say: err.Error()}
		if pe, ok := err.(*qty.ParseError); ok {
			p.Say, p.Try = pe.Say, pe.Try
		}
		d.problems = append(d.problems, p)
		return 0, false
	}
	return x, true
}
