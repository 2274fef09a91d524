package contract

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"wormyard/figure"
	"wormyard/qty"
)

// Decode reads one JSON value into what into points at and returns every
// problem found, none when all is well. On problems, into holds what could be
// read. Fields that are absent take their defaults.
func Decode(data []byte, into any) []figure.Problem {
	v := reflect.ValueOf(into)
	if v.Kind() != reflect.Pointer || v.IsNil() {
		panic("contract: Decode needs a pointer")
	}
	if len(data) > MaxBytes {
		return []figure.Problem{tooLarge()}
	}
	root, problems := parse(data)
	if root == nil {
		return problems
	}
	d := decoder{problems: problems}
	d.value(root, v.Elem(), "", "", rule{low: math.Inf(-1), high: math.Inf(1)})
	return d.problems
}

type decoder struct{ problems []figure.Problem }

func (d *decoder) note(path, say, try string) {
	d.problems = append(d.problems, figure.Problem{Field: path, Say: say, Try: try})
}

// value reads n into v, which was found at path under the key name.
func (d *decoder) value(n *node, v reflect.Value, path, name string, r rule) {
	if n.kind == isBad {
		return
	}
	switch v.Type() {
	case estimateType, numberType:
		d.estimate(n, v, path, r)
		return
	case typedType:
		d.typed(n, v, path, r)
		return
	case timeType:
		d.time(n, v, path)
		return
	}
	if v.CanAddr() && v.Kind() != reflect.Pointer {
		if u, ok := v.Addr().Interface().(json.Unmarshaler); ok {
			d.own(n, u, path)
			return
		}
	}
	switch v.Kind() {
	case reflect.Pointer:
		if n.kind == isNull {
			v.SetZero()
			return
		}
		fresh := reflect.New(v.Type().Elem())
		d.value(n, fresh.Elem(), path, name, r)
		v.Set(fresh)
	case reflect.Interface:
		v.SetZero()
		if plain := plainValue(n); plain != nil {
			v.Set(reflect.ValueOf(plain))
		}
	case reflect.Struct:
		d.object(n, v, path)
	case reflect.Slice:
		if n.kind == isNull {
			v.SetZero()
			return
		}
		if n.kind != isList {
			d.wrong(n, path, "a list [...]", "Put it in square brackets, also when there is only one.")
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), len(n.items), len(n.items)))
		for i, item := range n.items {
			d.value(item, v.Index(i), fmt.Sprintf("%s[%d]", path, i), name, r)
		}
	case reflect.Array:
		if n.kind != isList || len(n.items) != v.Len() {
			d.wrong(n, path, fmt.Sprintf("a list of %d", v.Len()), "")
			return
		}
		for i, item := range n.items {
			d.value(item, v.Index(i), fmt.Sprintf("%s[%d]", path, i), name, r)
		}
	case reflect.Map:
		d.named(n, v, path, r)
	case reflect.String:
		d.text(n, v, path, r)
	case reflect.Bool:
		if n.kind != isBool {
			d.wrong(n, path, "true or false", "")
			return
		}
		v.SetBool(n.flag)
	case reflect.Float64, reflect.Float32:
		if r.quantity != "" {
			if q, ok := d.quantity(n, path, r); ok {
				v.SetFloat(q)
			}
			return
		}
		if d.number(n, path) && d.within(n.num, path, name, r) {
			v.SetFloat(n.num)
		}
	case reflect.Int, reflect.Int64, reflect.Int32, reflect.Int16, reflect.Int8:
		if d.number(n, path) && d.within(n.num, path, name, r) {
			if n.num != math.Trunc(n.num) || v.OverflowInt(int64(n.num)) || math.Abs(n.num) > 1<<53 {
				d.note(path, fmt.Sprintf("%s is not a whole number that we can count with.", clip(n.text)), "Type a whole number.")
				return
			}
			v.SetInt(int64(n.num))
		}
	case reflect.Uint, reflect.Uint64, reflect.Uint32, reflect.Uint16, reflect.Uint8:
		if d.number(n, path) && d.within(n.num, path, name, r) {
			u, err := strconv.ParseUint(n.text, 10, 64)
			if err != nil || v.OverflowUint(u) {
				d.note(path, fmt.Sprintf("%s is not a whole number that we can count with.", clip(n.text)), "Type a whole number, 0 or more.")
				return
			}
			v.SetUint(u)
		}
	default:
		panic(fmt.Sprintf("contract: a %s cannot be read", v.Type()))
	}
}

func (d *decoder) object(n *node, v reflect.Value, path string) {
	s := shapeOf(v.Type())
	as := map[kind]string{isText: "word", isList: "list", isNumber: "number"}[n.kind]
	if f, ok := s.other[as]; ok {
		d.value(n, v.FieldByIndex(f.index), path, f.name, f.rule)
		return
	}
	if n.kind != isObject {
		want := "an object {...}"
		for _, form := range []string{"word", "list", "number"} {
			if f, ok := s.other[form]; ok {
				want += map[string]string{"word": " or a word", "list": " or a list [...]", "number": " or a number"}[form]
				if len(f.choice) > 0 {
					want += " (" + spoken(f.choice) + ")"
				}
			}
		}
		d.wrong(n, path, want, "")
		return
	}
	known := make([]string, 0, len(s.fields))
	for _, f := range s.fields {
		known = append(known, f.name)
	}
	bare := s.bareNames()
	typed := map[string]*node{} // what was typed with a unit under a bare name, by the key it stands for
	for i, key := range n.keys {
		if means, ok := bare[key]; ok && n.items[i].kind != isBad {
			for _, f := range means {
				typed[f.name] = &node{kind: isBad} // told below when it cannot be read
			}
			if x, name := d.typedFor(n.items[i], path, key, means, n.keys); x != nil {
				typed[name] = x
			}
			continue
		}
		if (path == "" && key == "contract") || contains(known, key) {
			if key == "contract" && !contains(known, key) && (n.items[i].kind != isNumber || n.items[i].num != Version) {
				d.note("contract", "This program reads contract 1 only.", `Write "contract": 1 or leave it out.`)
			}
			continue
		}
		d.note(join(path, key), fmt.Sprintf("%q is not a key known here.", clip(key)), instead(key, known))
	}
	for _, f := range s.fields {
		if x, ok := typed[f.name]; ok && !contains(n.keys, f.name) {
			d.value(x, v.FieldByIndex(f.index), join(path, f.name), f.name, f.rule)
			continue
		}
		d.member(n, f, v, path)
	}
}

// member reads one field of an object, or gives it its default.
func (d *decoder) member(n *node, f field, v reflect.Value, path string) {
	here, target := join(path, f.name), v.FieldByIndex(f.index)
	for i, key := range n.keys {
		if key != f.name {
			continue
		}
		if n.items[i].kind == isNull && (f.required || f.preset != "") {
			break
		}
		d.value(n.items[i], target, here, f.name, f.rule)
		return
	}
	if f.preset != "" {
		d.preset(f, target, here)
		return
	}
	if !f.required {
		return
	}
	if t := f.typ; t.Kind() == reflect.Struct && t != estimateType && t != numberType && t != typedType && t != timeType && len(shapeOf(t).other) == 0 {
		d.object(&node{kind: isObject}, target, here)
		return
	}
	d.note(here, fmt.Sprintf("%q is missing.", f.name), wanted(f))
}

// preset gives a field its default by reading the tag as if it had been typed.
func (d *decoder) preset(f field, v reflect.Value, path string) {
	n := &node{kind: isText, text: f.preset}
	t := f.typ
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch {
	case t.Kind() == reflect.Bool:
		n = &node{kind: isBool, flag: f.preset == "true"}
	case t.Kind() != reflect.String && t != typedType && t != timeType && f.quantity == "":
		if x, err := strconv.ParseFloat(f.preset, 64); err == nil {
			n = &node{kind: isNumber, num: x, text: f.preset}
		}
	}
	d.value(n, v, path, f.name, f.rule)
}

func (d *decoder) named(n *node, v reflect.Value, path string, r rule) {
	if n.kind == isNull {
		v.SetZero()
		return
	}
	if n.kind != isObject {
		d.wrong(n, path, "an object {...}", "")
		return
	}
	v.Set(reflect.MakeMapWithSize(v.Type(), len(n.keys)))
	for i, key := range n.keys {
		if len(r.choice) > 0 && !contains(r.choice, key) {
			d.note(join(path, key), fmt.Sprintf("%q is not a key known here.", clip(key)), instead(key, r.choice))
			continue
		}
		item := reflect.New(v.Type().Elem()).Elem()
		inner := ruleOf(key, "")
		if !math.IsInf(r.low, 0) || !math.IsInf(r.high, 0) {
			inner.low, inner.high = r.low, r.high
		}
		d.value(n.items[i], item, join(path, key), key, inner)
		v.SetMapIndex(reflect.ValueOf(key).Convert(v.Type().Key()), item)
	}
}

func (d *decoder) text(n *node, v reflect.Value, path string, r rule) {
	if n.kind != isText {
		try := ""
		if n.kind == isNumber {
			try = fmt.Sprintf("Write %q with quotation marks.", clip(n.text))
		}
		if len(r.choice) > 0 {
			try = "Choose one of " + spoken(r.choice) + "."
		}
		d.wrong(n, path, "a text", try)
		return
	}
	if len(r.choice) > 0 && !contains(r.choice, n.text) {
		d.note(path, fmt.Sprintf("%q is not one of the words known here.", clip(n.text)), choose(n.text, r.choice))
		return
	}
	if letters := utf8.RuneCountInString(n.text); letters > longestText {
		d.note(path, fmt.Sprintf("This text has %s characters.", written(float64(letters))), fmt.Sprintf("Shorten it to %s.", written(longestText)))
		return
	}
	v.SetString(n.text)
}

// longestText is the longest text that is read [characters]: none of ours is a
// letter, and what is longer comes from a file of another kind.
const longestText = 2000

// number tells whether n is a number and complains when it is not.
func (d *decoder) number(n *node, path string) bool {
	if n.kind == isNumber {
		return true
	}
	if n.kind == isText {
		if x, ok := qty.Number(n.text); ok {
			d.note(path, fmt.Sprintf("%q is a text; a number is wanted.", clip(n.text)), fmt.Sprintf("Write %s without quotation marks.", strconv.FormatFloat(x, 'g', -1, 64)))
			return false
		}
		switch strings.ToLower(strings.TrimLeft(n.text, "+-")) {
		case "nan", "inf", "infinity":
			d.note(path, fmt.Sprintf("%q is not an amount.", n.text), "Leave the key out when the value is not known.")
			return false
		}
		d.note(path, fmt.Sprintf("%q is a text; a number is wanted.", clip(n.text)), "Write a plain number; the unit is in the name of the key.")
		return false
	}
	d.wrong(n, path, "a number", "")
	return false
}

// within tells whether x is in its range and complains when it is not.
func (d *decoder) within(x float64, path, name string, r rule) bool {
	if x >= r.low && x <= r.high {
		return true
	}
	unit := ""
	if r.unit != "" && r.unit != "-" {
		unit = " " + r.unit
	}
	shown, low, high := written(x), written(r.low), written(r.high)
	var must, try string
	switch {
	case math.IsInf(r.high, 1):
		must = fmt.Sprintf("must be %s%s or more", low, unit)
	case math.IsInf(r.low, -1):
		must = fmt.Sprintf("must be %s%s or less", high, unit)
	default:
		must = fmt.Sprintf("must be between %s and %s%s", low, high, unit)
	}
	try = "Check the number and its unit."
	if r.low == 0 && r.high == 1 && x > 1 && x <= 100 {
		try = fmt.Sprintf("A fraction is part of one: for %s %% type %s.", shown, strconv.FormatFloat(math.Round(x*1e10)/1e12, 'g', -1, 64))
		if strings.HasPrefix(name, "water_frac_wet") && x < 10 {
			try += " Water for each part of dry matter goes in water_frac_dry."
		}
	} else if x < 0 && r.low == 0 {
		try = "Leave the minus sign out, or leave the key out when the value is not known."
	}
	d.note(path, fmt.Sprintf("%s%s is out of range: it %s.", shown, unit, must), try)
	return false
}

func (d *decoder) estimate(n *node, v reflect.Value, path string, r rule) {
	var e qty.Estimate
	switch n.kind {
	case isObject:
		var o struct {
			Best  *float64 `json:"best"`
			Low   *float64 `json:"low"`
			High  *float64 `json:"high"`
			Known string   `json:"known,omitempty" choice:"measured,handbook,assumed"`
		}
		before := len(d.problems)
		d.object(n, reflect.ValueOf(&o).Elem(), path)
		for _, part := range []struct {
			key string
			at  **float64
		}{{"best", &o.Best}, {"low", &o.Low}, {"high", &o.High}} {
			if *part.at == nil {
				if len(d.problems) == before || !mentions(d.problems[before:], join(path, part.key)) {
					d.note(join(path, part.key), fmt.Sprintf("%q is missing.", part.key), `A range is {"best":..,"low":..,"high":..}; give a plain number when there is no range.`)
				}
				continue
			}
			d.within(**part.at, join(path, part.key), path, r)
		}
		if len(d.problems) > before {
			return
		}
		if *o.Low > *o.Best || *o.Best > *o.High {
			d.note(path, fmt.Sprintf("low %g, best %g and high %g are not in order.", *o.Low, *o.Best, *o.High), "Low is the smallest, high the largest.")
			return
		}
		e = qty.Estimate{Best: *o.Best, Low: *o.Low, High: *o.High, Known: o.Known}
	case isNumber:
		if !d.within(n.num, path, path[strings.LastIndexAny(path, ".")+1:], r) {
			return
		}
		e = qty.Exactly(n.num)
	default:
		if n.kind == isText {
			d.number(n, path)
			return
		}
		d.wrong(n, path, `a number or a range {"best","low","high"}`, "")
		return
	}
	v.Set(reflect.ValueOf(e).Convert(v.Type()))
}

func mentions(problems []figure.Problem, path string) bool {
	for _, p := range problems {
		if p.Field == path {
			return true
		}
	}
	return false
}

func (d *decoder) typed(n *node, v reflect.Value, path string, r rule) {
	if x, ok := d.quantity(n, path, r); ok {
		v.Set(reflect.ValueOf(Typed{Text: n.text, Value: x}))
	}
}

// quantity reads a text with a unit.
func (d *decoder) quantity(n *node, path string, r rule) (float64, bool) {
	dim, ok := dimensions[r.quantity]
	if !ok {
		panic("contract: quantity:" + strconv.Quote(r.quantity) + " is not a dimension")
	}
	x, ok := d.parsed(n, path, dim)
	if !ok {
		return 0, false
	}
	low := r.low
	if math.IsInf(low, -1) && dim != qty.Temperature {
		low = 0
	}
	if x < low || x > r.high {
		d.note(path, fmt.Sprintf("%q is out of range.", clip(n.text)), bounds(low, r.high, storedUnit[dim]))
		return 0, false
	}
	return x, true
}

var typedExample = map[qty.Dimension]string{
	qty.Mass: `"500 lb"`, qty.Volume: `"2 yd3"`, qty.Length: `"2 in"`, qty.Temperature: `"68 F"`, qty.Area: `"16 ft2"`,
	qty.Density: `"1000 lb/yd3"`, qty.Duration: `"30 min"`, qty.Percent: `"70 %"`,
}

var storedUnit = map[qty.Dimension]string{
	qty.Mass: "kg", qty.Volume: "m3", qty.Length: "m", qty.Temperature: "°C", qty.Area: "m2", qty.Density: "kg/m3", qty.Duration: "h", qty.Percent: "(of one)",
}

func bounds(low, high float64, unit string) string {
	if math.IsInf(high, 1) {
		return fmt.Sprintf("It must be %s %s or more.", written(low), unit)
	}
	return fmt.Sprintf("It must be between %s and %s %s.", written(low), written(high), unit)
}

// written prints a number as a person writes one, in digits as far as they can
// be read at a glance.
func written(x float64) string {
	if a := math.Abs(x); a >= 1e4 && a < 1e12 && x == math.Trunc(x) {
		s := strconv.FormatFloat(a, 'f', 0, 64)
		for i := len(s) - 3; i > 0; i -= 3 {
			s = s[:i] + "," + s[i:]
		}
		if x < 0 {
			s = "-" + s
		}
		return s
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

func (d *decoder) time(n *node, v reflect.Value, path string) {
	if n.kind != isText {
		d.wrong(n, path, "a date or time", `Write "2026-03-31" or "2026-03-31T07:30:00Z".`)
		return
	}
	for _, layout := range []string{time.RFC3339Nano, time.DateOnly} {
		if t, err := time.Parse(layout, n.text); err == nil {
			v.Set(reflect.ValueOf(t))
			return
		}
	}
	d.note(path, fmt.Sprintf("%q is not a day or time of the calendar.", clip(n.text)), `Write "2026-03-31" or "2026-03-31T07:30:00Z".`)
}

// own lets a type read itself; its problems are put under path.
func (d *decoder) own(n *node, u json.Unmarshaler, path string) {
	raw := n.raw
	if raw == nil {
		raw, _ = json.Marshal(n.text)
	}
	err := u.UnmarshalJSON(raw)
	if err == nil {
		return
	}
	var refusal *figure.Refusal
	if errors.As(err, &refusal) {
		for _, p := range refusal.Problems {
			if p.Field == "" {
				p.Field = path
			} else {
				p.Field = join(path, p.Field)
			}
			d.problems = append(d.problems, p)
		}
		return
	}
	d.note(path, err.Error(), "")
}

func (d *decoder) wrong(n *node, path, want, try string) {
	if try == "" {
		try = "Give " + want + "."
	}
	d.note(path, fmt.Sprintf("This is %s; %s is wanted.", kindWords[n.kind], want), try)
}

// plainValue gives n as the values of encoding/json.
func plainValue(n *node) any {
	switch n.kind {
	case isBool:
		return n.flag
	case isNumber:
		return n.num
	case isText:
		return n.text
	case isList:
		out := []any{}
		for _, i := range n.items {
			out = append(out, plainValue(i))
		}
		return out
	case isObject:
		out := map[string]any{}
		for i, k := range n.keys {
			out[k] = plainValue(n.items[i])
		}
		return out
	}
	return nil
}

func wanted(f field) string {
	s := fmt.Sprintf("Give %q", f.name)
	if f.doc != "" {
		s += ": " + strings.TrimSuffix(f.doc, ".")
	}
	if f.unit != "" && f.unit != "-" {
		s += " [" + f.unit + "]"
	}
	if len(f.choice) > 0 {
		s += ", one of " + spoken(f.choice)
	}
	return s + "."
}

func instead(word string, known []string) string {
	if near := Nearest(word, known); len(near) > 0 {
		return "Did you mean " + spoken(near) + "?"
	}
	if len(known) == 0 {
		return "Leave it out; nothing is asked for here."
	}
	return "Known here: " + listed(known, 12) + "."
}

func choose(word string, known []string) string {
	if near := Nearest(word, known); len(near) > 0 && len(known) > 6 {
		return "Did you mean " + spoken(near) + "?"
	}
	return "Choose one of " + spoken(known) + "."
}

func spoken(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = strconv.Quote(w)
	}
	if len(quoted) < 2 {
		return strings.Join(quoted, "")
	}
	return strings.Join(quoted[:len(quoted)-1], ", ") + " or " + quoted[len(quoted)-1]
}

func listed(words []string, most int) string {
	if len(words) > most {
		return strings.Join(words[:most], ", ") + " and others"
	}
	return strings.Join(words, ", ")
}

func contains(words []string, w string) bool {
	for _, x := range words {
		if x == w {
			return true
		}
	}
	return false
}
