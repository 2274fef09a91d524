package sheet

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wormyard/journal"
	"wormyard/qty"
)

// number reads a number as this file writes numbers.
func (r *reader) number(s string) (float64, *fault) {
	if r.comma {
		whole := strings.TrimLeft(s, "+-")
		if strings.Count(whole, ".") == 1 && !strings.Contains(whole, ",") {
			head, tail, _ := strings.Cut(whole, ".")
			if len(tail) == 3 && strings.Trim(head, "0") != "" && len(head) <= 3 {
				return 0, &fault{fmt.Sprintf("%q can be %s or %s,%s, for this file writes decimals with a comma.", s, head+tail, head, tail), fmt.Sprintf("Type %s or %s,%s.", head+tail, head, tail)}
			}
		}
		if strings.Count(whole, ",") == 1 && strings.Count(whole, ".") == 0 {
			s = strings.Replace(s, ",", ".", 1)
		}
	}
	v, ok := qty.Number(s)
	if !ok {
		return 0, &fault{fmt.Sprintf("%q is not a number.", s), "Type a number."}
	}
	return v, nil
}

// plainNumber says whether s is nothing but a number.
func plainNumber(s string) bool {
	return s != "" && strings.Trim(s, "0123456789.,+-eE") == "" && strings.ContainsAny(s, "0123456789")
}

// value reads a cell as one field.
func (r *reader) value(f journal.Field, text, unit string, whole, serial bool) (any, *fault) {
	text = r.mapped(f.Key, text)
	switch f.Type {
	case journal.Number:
		return r.quantity(f, text, unit, whole)
	case journal.Whole:
		v, fl := r.number(strings.ReplaceAll(text, " ", ""))
		if fl != nil {
			return nil, &fault{f.Label + ": " + fl.say, fl.try}
		}
		return v, nil
	case journal.Flag:
		switch strings.ToLower(text) {
		case "yes", "y", "true", "1", "x", "on", "sí", "si", "ja", "✓":
			return true, nil
		case "no", "n", "false", "0", "off", "-":
			return false, nil
		}
		return nil, &fault{fmt.Sprintf("%s is %q.", f.Label, text), "Write yes or no."}
	case journal.Choice:
		return oneOf(f, text), nil
	case journal.Choices:
		var out []any
		for _, s := range list(text) {
			out = append(out, oneOf(f, s))
		}
		return out, nil
	case journal.Names:
		return anyList(r.names(f, text)), nil
	case journal.Slots:
		return anyList(list(text)), nil
	case journal.Name:
		return name(f, text), nil
	case journal.Day:
		if v, err := strconv.ParseFloat(text, 64); err == nil && serial && v >= 1 && v < 2_958_466 {
			d, _ := serialDay(v, r.from1904)
			return d.String(), nil
		}
		d, fl := parseDay(text, r.opt.Dates)
		if fl != nil {
			return nil, fl
		}
		return d.String(), nil
	case journal.Numbers:
		if strings.HasPrefix(text, "[") {
			return asJSON(f, text)
		}
		var out []any
		for _, s := range strings.FieldsFunc(text, func(c rune) bool { return c == 'x' || c == '×' || c == ';' || c == ' ' }) {
			v, fl := r.number(s)
			if fl != nil {
				return nil, &fault{f.Label + ": " + fl.say, "Write it as 22 x 22."}
			}
			out = append(out, v)
		}
		return out, nil
	case journal.Sides:
		if strings.HasPrefix(text, "[") {
			return asJSON(f, text)
		}
		var out []any
		for _, side := range strings.Split(text, "|") {
			out = append(out, anyList(r.names(f, side)))
		}
		return out, nil
	case journal.Table:
		if strings.HasPrefix(text, "[") {
			return asJSON(f, text)
		}
		return r.rowsInWords(f, text)
	case journal.Any:
		var v any
		if json.Unmarshal([]byte(text), &v) == nil {
			return json.RawMessage(text), nil
		}
		return text, nil
	}
	return unguard(text), nil
}

func (r *reader) mapped(key, text string) string {
	for word, v := range r.opt.Map.Values[key] {
		if strings.EqualFold(strings.TrimSpace(word), text) {
			return v
		}
	}
	return text
}

// quantity reads a number with the unit of its cell, else of its column, else
// of the unit column. A key with its unit in its name takes plain numbers.
func (r *reader) quantity(f journal.Field, text, unit string, whole bool) (any, *fault) {
	if strings.Trim(text, "0123456789/ ½¼¾⅓⅔⅛⅜⅝⅞") == "" && !plainNumber(text) { // 1½, 1 1/2
		if v, err := qty.Parse(text+" kg", qty.Mass); err == nil {
			text = strconv.FormatFloat(v, 'f', -1, 64)
		}
	}
	bare := plainNumber(text)
	if bare {
		v, fl := r.number(text)
		if fl != nil {
			return nil, &fault{f.Label + ": " + fl.say, fl.try}
		}
		if f.Dim == nil || whole {
			return v, nil
		}
		if unit == "" {
			if *f.Dim == qty.Percent {
				return percent(f, v)
			}
			_, err := f.Typed(text)
			return nil, typedFault(f, err)
		}
		return withUnit(f, strconv.FormatFloat(v, 'f', -1, 64)+" "+unit)
	}
	if f.Dim == nil {
		if v, fl := r.number(strings.TrimSpace(strings.TrimSuffix(strings.ToLower(text), strings.ToLower(f.Unit)))); fl == nil {
			return v, nil
		}
		v, fl := r.number(strings.TrimLeft(text, "$€£ ")) // a price
		if fl != nil || f.Key != "price" {
			return nil, &fault{fmt.Sprintf("%s: %q is not a number.", f.Label, text), plainIn(f.Unit)}
		}
		return v, nil
	}
	if r.comma {
		text = strings.Replace(text, ",", ".", 1)
	}
	return withUnit(f, text)
}

// plainIn says what to type where no unit is taken.
func plainIn(u string) string {
	if u == "" || u == "fraction" {
		return "Type a plain number."
	}
	return fmt.Sprintf("Type a plain number in %s.", u)
}

func withUnit(f journal.Field, text string) (any, *fault) {
	v, err := f.Typed(text)
	if err != nil {
		return nil, typedFault(f, err)
	}
	return v, nil
}

func typedFault(f journal.Field, err error) *fault {
	var p *qty.ParseError
	if errors.As(err, &p) {
		return &fault{f.Label + ": " + p.Say, p.Try}
	}
	return &fault{f.Label + " cannot be read.", "Type an amount and its unit."}
}

// percent reads a bare number under a header that is a part of a whole: above 1
// it can only be per cent; from 0 to 1 it can be read two ways.
func percent(f journal.Field, v float64) (any, *fault) {
	if v > 1 || v <= 0 {
		return v / 100, nil
	}
	text := strconv.FormatFloat(v, 'f', -1, 64)
	of := strconv.FormatFloat(v*100, 'f', -1, 64)
	return nil, &fault{fmt.Sprintf("%s is %s, which can be %s %% or %s %%.", f.Label, text, text, of), fmt.Sprintf("Type %s %% or %s %%.", text, of)}
}

func oneOf(f journal.Field, text string) string {
	low := strings.ToLower(strings.Join(strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == '_' }), " "))
	if slices.Contains(f.Choices, low) {
		return low
	}
	return text
}

func asJSON(f journal.Field, text string) (any, *fault) {
	var v any
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		return nil, &fault{fmt.Sprintf("%s cannot be read as JSON.", f.Label), "See docs/entries.md for how it is written."}
	}
	return v, nil
}
