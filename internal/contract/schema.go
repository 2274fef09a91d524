package contract

import (
	"bytes"
	"encoding"
	"encoding/json"
	"math"
	"reflect"
	"sort"
	"strconv"
	"strings"
)

// Schema gives the JSON Schema (draft 2020-12) of what is printed as the struct
// v. The same struct gives the same bytes.
func Schema(title string, v any) []byte { return schema(title, v, false) }

// InputSchema gives the JSON Schema of what Decode reads into the struct v: as
// Schema, and each quantity also by its bare name as it is typed with a unit.
func InputSchema(title string, v any) []byte { return schema(title, v, true) }

func schema(title string, v any, typed bool) []byte {
	t := reflect.TypeOf(v)
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	w := schemaWriter{defs: map[string]any{}, busy: map[reflect.Type]bool{}, typed: typed}
	root := w.object(t)
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["title"] = title
	if properties, ok := root["properties"].(map[string]any); ok {
		properties["contract"] = map[string]any{"const": Version}
	}
	if len(w.defs) > 0 {
		root["$defs"] = w.defs
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(root); err != nil {
		panic(err)
	}
	return out.Bytes()
}

// schemaWriter puts structs that contain themselves under $defs.
type schemaWriter struct {
	defs map[string]any
	busy map[reflect.Type]bool
	// typed says that quantities may be given by their bare names.
	typed bool
}

func (w *schemaWriter) of(t reflect.Type, r rule) map[string]any {
	s := map[string]any{}
	switch t {
	case estimateType, numberType:
		number := map[string]any{"type": "number"}
		limitSchema(number, r)
		s["anyOf"] = []any{number, map[string]any{
			"type": "object", "required": []string{"best", "low", "high"}, "additionalProperties": false,
			"properties": map[string]any{"best": number, "low": number, "high": number, "known": map[string]any{"enum": []string{"measured", "handbook", "assumed"}}},
		}}
		return w.more(s, r)
	case typedType:
		s["type"] = "string"
		return w.more(s, r)
	case timeType:
		s["type"] = "string"
		s["description"] = "a date or a time of RFC 3339"
		return w.more(s, r)
	}
	if t.Kind() != reflect.Pointer && t.Kind() != reflect.Interface {
		switch reflect.New(t).Interface().(type) {
		case json.Unmarshaler, json.Marshaler: // writes and reads itself
			return w.more(s, r)
		case encoding.TextMarshaler:
			s["type"] = "string"
			return w.more(s, r)
		}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return orNull(w.of(t.Elem(), r))
	case reflect.Struct:
		if w.busy[t] {
			return map[string]any{"$ref": "#/$defs/" + w.define(t)}
		}
		s = w.object(t)
	case reflect.Slice, reflect.Array:
		inner := r
		inner.preset, inner.doc = "", ""
		s["type"] = "array"
		s["items"] = w.of(t.Elem(), inner)
		return w.more(s, rule{doc: r.doc, low: math.Inf(-1), high: math.Inf(1)})
	case reflect.Map:
		s["type"] = "object"
		s["additionalProperties"] = w.of(t.Elem(), ruleOf("", ""))
		if len(r.choice) > 0 {
			s["propertyNames"] = map[string]any{"enum": r.choice}
			r.choice = nil
		}
	case reflect.String:
		s["type"] = "string"
	case reflect.Bool:
		s["type"] = "boolean"
	case reflect.Float64, reflect.Float32:
		if r.quantity != "" {
			s["type"] = "string"
		} else {
			s["type"] = "number"
			limitSchema(s, r)
		}
	case reflect.Interface:
	default:
		s["type"] = "integer"
		limitSchema(s, r)
	}
	return w.more(s, r)
}

// orNull lets null stand for a value that is not known or not given.
func orNull(s map[string]any) map[string]any {
	null := map[string]any{"type": "null"}
	switch kind := s["type"].(type) {
	case string:
		s["type"] = []string{kind, "null"}
		if words, ok := s["enum"].([]string); ok {
			all := []any{nil}
			for _, w := range words {
				all = append(all, w)
			}
			s["enum"] = all
		}
		return s
	case nil:
		if forms, ok := s["anyOf"].([]any); ok {
			s["anyOf"] = append(forms, null)
			return s
		}
		if s["$ref"] != nil {
			return map[string]any{"anyOf": []any{s, null}}
		}
	}
	return s
}

func limitSchema(s map[string]any, r rule) {
	if !math.IsInf(r.low, 0) {
		s["minimum"] = r.low
	}
	if !math.IsInf(r.high, 0) {
		s["maximum"] = r.high
	}
}

// more adds words, unit, default and description.
func (w *schemaWriter) more(s map[string]any, r rule) map[string]any {
	if len(r.choice) > 0 {
		s["enum"] = r.choice
	}
	var said []string
	if r.doc != "" {
		said = append(said, strings.TrimSuffix(r.doc, "."))
	}
	if r.unit != "" && r.unit != "-" {
		said = append(said, "["+r.unit+"]")
	}
	if r.quantity != "" {
		said = append(said, r.quantity+" with its unit, such as "+typedExample[dimensions[r.quantity]])
	}
	if len(said) > 0 {
		s["description"] = strings.Join(said, " ")
	}
	if r.preset != "" {
		if x, err := strconv.ParseFloat(r.preset, 64); err == nil && s["type"] != "string" {
			s["default"] = x
		} else {
			s["default"] = r.preset
		}
	}
	return s
}

func (w *schemaWriter) define(t reflect.Type) string {
	name := t.Name()
	if _, ok := w.defs[name]; !ok {
		w.defs[name] = map[string]any{}
		outer := w.busy
		w.busy = map[reflect.Type]bool{}
		w.defs[name] = w.object(t)
		w.busy = outer
	}
	return name
}

func (w *schemaWriter) object(t reflect.Type) map[string]any {
	if t.Kind() != reflect.Struct {
		return w.of(t, ruleOf("", ""))
	}
	w.busy[t] = true
	defer delete(w.busy, t)
	sh := shapeOf(t)
	properties, must := map[string]any{}, []string{}
	stands := map[string]string{} // key: the bare name that may stand for it
	if w.typed {
		for name, means := range sh.bareNames() {
			if len(means) == 1 {
				_, dim := means[0].bareName()
				properties[name] = map[string]any{"type": "string", "description": means[0].name + " as typed with its unit, such as " + typedExample[dim]}
				stands[means[0].name] = name
			}
		}
	}
	either := []any{}
	for _, f := range sh.fields {
		properties[f.name] = w.of(f.typ, f.rule)
		if !f.required {
			continue
		}
		if bare, ok := stands[f.name]; ok {
			either = append(either, map[string]any{"anyOf": []any{map[string]any{"required": []string{f.name}}, map[string]any{"required": []string{bare}}}})
			continue
		}
		must = append(must, f.name)
	}
	s := map[string]any{"type": "object", "properties": properties, "additionalProperties": false}
	if len(either) > 0 {
		s["allOf"] = either
	}
	if len(must) > 0 {
		sort.Strings(must)
		s["required"] = must
	}
	if len(sh.other) == 0 {
		return s
	}
	forms := []any{s}
	for _, form := range []string{"word", "list", "number"} {
		if f, ok := sh.other[form]; ok {
			forms = append(forms, w.of(f.typ, f.rule))
		}
	}
	return map[string]any{"anyOf": forms}
}
