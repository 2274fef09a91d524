package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wormyard/journal"
)

// list splits a cell at commas and semicolons; quotation marks hold a part together.
func list(text string) []string {
	var out []string
	var b strings.Builder
	quoted := false
	flush := func() {
		if s := strings.TrimSpace(b.String()); s != "" {
			out = append(out, s)
		}
		b.Reset()
	}
	for _, c := range text {
		switch {
		case c == '"':
			quoted = !quoted
		case (c == ',' || c == ';' || c == '\n') && !quoted:
			flush()
		default:
			b.WriteRune(c)
		}
	}
	flush()
	return out
}

func anyList(s []string) []any {
	out := make([]any, len(s))
	for i := range s {
		out[i] = s[i]
	}
	return out
}

func name(f journal.Field, text string) string {
	if len(text) > 1 && strings.HasPrefix(text, `"`) && strings.HasSuffix(text, `"`) {
		return strings.Trim(text, `"`)
	}
	if f.Of == "bin" {
		return withoutWord(text)
	}
	return text
}

// withoutWord drops "bin" or "bins" before a name.
func withoutWord(s string) string {
	for _, w := range []string{"bins ", "bin "} {
		if len(s) > len(w) && strings.EqualFold(s[:len(w)], w) {
			return strings.TrimSpace(s[len(w):])
		}
	}
	return s
}

// names reads a list of names. Without commas, blanks divide names that all
// hold a digit ("A1 A2 A3"); "A1 to A12" names them all.
func (r *reader) names(f journal.Field, text string) []string {
	quoted := strings.Contains(text, `"`)
	parts := list(text)
	var out []string
	for _, p := range parts {
		if f.Of == "bin" && !quoted {
			p = withoutWord(p)
		}
		if run := span(p); run != nil && !quoted {
			out = append(out, run...)
			continue
		}
		words := strings.Fields(p)
		if !quoted && len(words) > 1 && !slices.ContainsFunc(words, func(w string) bool { return !strings.ContainsAny(w, "0123456789") }) {
			out = append(out, words...)
			continue
		}
		out = append(out, p)
	}
	return out
}

// span reads "A1 to A12" and "A1..A12".
func span(s string) []string {
	from, to, ok := strings.Cut(s, "..")
	if !ok {
		from, to, ok = strings.Cut(s, " to ")
	}
	if !ok {
		return nil
	}
	from, to = strings.TrimSpace(from), strings.TrimSpace(to)
	head := strings.TrimRight(from, "0123456789")
	a, b := from[len(head):], strings.TrimPrefix(to, head)
	if a == "" || !strings.HasPrefix(to, head) && strings.Trim(to, "0123456789") != "" {
		return nil
	}
	x, errX := strconv.Atoi(a)
	y, errY := strconv.Atoi(b)
	if errX != nil || errY != nil || y < x || y-x > 5000 {
		return nil
	}
	var out []string
	for n := x; n <= y; n++ {
		out = append(out, fmt.Sprintf("%s%0*d", head, len(a), n))
	}
	return out
}

// rowsInWords reads a table in one cell: "solids 3 yd3; chips 120 kg".
func (r *reader) rowsInWords(f journal.Field, text string) (any, *fault) {
	how := fmt.Sprintf("Write each as a name, an amount and a unit, with a semicolon between, such as %q.", "solids 3 yd3; chips 2 yd3")
	var nameKey string
	for _, item := range f.Item {
		if item.Type == journal.Name {
			nameKey = item.Key
		}
	}
	if nameKey == "" {
		return nil, &fault{f.Label + " cannot be read.", "Write it as JSON, as docs/entries.md shows."}
	}
	var out []any
	for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c == ';' || c == '+' || c == '\n' }) {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		row := map[string]any{}
		words := strings.Fields(strings.Replace(part, ":", " ", 1))
		var firstFault *fault
		for cut := 1; cut < len(words) && len(row) == 0; cut++ {
			amount := strings.Join(words[cut:], " ")
			if !strings.ContainsAny(amount[:1], "0123456789.½¼¾") {
				continue
			}
			for _, item := range f.Item {
				if item.Dim == nil {
					continue
				}
				v, err := item.Typed(amount)
				if err == nil {
					row[nameKey], row[item.Key] = strings.Join(words[:cut], " "), v
					break
				}
				if firstFault == nil {
					firstFault = typedFault(item, err)
				}
			}
		}
		if len(row) == 0 {
			if firstFault != nil {
				return nil, &fault{fmt.Sprintf("%s: %q. %s", f.Label, part, firstFault.say), how}
			}
			return nil, &fault{fmt.Sprintf("%s: %q has no amount.", f.Label, part), how}
		}
		out = append(out, row)
	}
	return out, nil
}
