package contract

import (
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"

	"wormyard/qty"
)

// field is one key of a struct, as its tags describe it.
type field struct {
	name     string
	index    []int
	typ      reflect.Type
	required bool
	rule
}

// rule is what a value must obey beyond its type.
type rule struct {
	unit, preset, doc string
	choice            []string
	quantity          string
	low, high         float64 // infinite when open
}

// shape is a struct as an object and, where it may be given otherwise, the
// fields that take the word, the list or the number.
type shape struct {
	fields []field
	other  map[string]field
}

var (
	estimateType = reflect.TypeFor[qty.Estimate]()
	numberType   = reflect.TypeFor[Number]()
	typedType    = reflect.TypeFor[Typed]()
	timeType     = reflect.TypeFor[time.Time]()
)

func shapeOf(t reflect.Type) shape {
	s := shape{other: map[string]field{}}
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous && name == "" && f.Type.Kind() == reflect.Struct {
			inner := shapeOf(f.Type)
			for _, g := range inner.fields {
				g.index = append([]int{i}, g.index...)
				s.fields = append(s.fields, g)
			}
			continue
		}
		if !f.IsExported() {
			continue
		}
		out := field{name: name, index: []int{i}, typ: f.Type, rule: ruleOf(name, f.Tag)}
		if as := f.Tag.Get("as"); as != "" {
			s.other[as] = out
			continue
		}
		if name == "-" {
			continue
		}
		if name == "" {
			out.name = f.Name
			out.rule = ruleOf(f.Name, f.Tag)
		}
		out.required = required(f.Type) && out.preset == "" && !strings.Contains(options, "omitempty") && !strings.Contains(options, "omitzero")
		s.fields = append(s.fields, out)
	}
	return s
}

func required(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Map, reflect.Interface, reflect.Bool:
		return false
	}
	return true
}

func ruleOf(name string, tag reflect.StructTag) rule {
	r := rule{
		unit: tag.Get("unit"), preset: tag.Get("default"), doc: tag.Get("doc"), quantity: tag.Get("quantity"),
		low: math.Inf(-1), high: math.Inf(1),
	}
	if c := tag.Get("choice"); c != "" {
		for _, w := range strings.Split(c, ",") {
			r.choice = append(r.choice, strings.TrimSpace(w))
		}
	}
	low, hasLow := limit(tag, "low")
	high, hasHigh := limit(tag, "high")
	if !hasLow && !hasHigh {
		low, high = limitsByName(name)
	} else {
		if !hasLow {
			low = math.Inf(-1)
		}
		if !hasHigh {
			high = math.Inf(1)
		}
	}
	r.low, r.high = low, high
	return r
}

func limit(tag reflect.StructTag, key string) (float64, bool) {
	s, ok := tag.Lookup(key)
	if !ok {
		return 0, false
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		panic("contract: tag " + key + ":" + strconv.Quote(s) + " is not a number")
	}
	return v, true
}

// limitsByName gives the range that the unit at the end of a key implies.
func limitsByName(name string) (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	base := strings.TrimSuffix(strings.TrimSuffix(strings.TrimSuffix(name, "_low"), "_high"), "_best")
	for _, part := range []string{"_frac", "_frac_wet", "_frac_dry"} {
		if strings.HasSuffix(base, part) || base == strings.TrimPrefix(part, "_") {
			if strings.HasSuffix(base, "water_frac_dry") {
				return 0, high
			}
			return 0, 1
		}
	}
	for _, unit := range []string{"_kg", "_kg_wet", "_kg_dry", "_m3", "_m2", "_m", "_mm", "_kg_m3", "_kg_m3_wet", "_kg_m3_dry", "_pa", "_ppm", "_mg_l", "_per_day", "_days", "_hours"} {
		if strings.HasSuffix(base, unit) {
			return 0, high
		}
	}
	return low, high
}

var dimensions = map[string]qty.Dimension{
	"mass": qty.Mass, "volume": qty.Volume, "length": qty.Length, "depth": qty.Length, "temp": qty.Temperature, "temperature": qty.Temperature,
	"area": qty.Area, "density": qty.Density, "time": qty.Duration, "percentage": qty.Percent,
}

// Keys gives the keys of the struct v, or of what it points at, in their
// written order.
func Keys(v any) []string {
	t := reflect.TypeOf(v)
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	var out []string
	for _, f := range shapeOf(t).fields {
		out = append(out, f.name)
	}
	return out
}
