package sheet

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/ids"
	"wormyard/journal"
	"wormyard/qty"
)

// cell is one cell of a table.
type cell struct {
	text   string
	serial bool // a plain number of a workbook, which may be a day
}

// reader turns the rows of one table into entries.
type reader struct {
	opt      Options
	cols     []column
	comma    bool // numbers of this file have a decimal comma
	from1904 bool
	seen     map[uint64]int // how often the same content was met
}

// entry reads one row.
func (r *reader) entry(number int, cells []cell) Row {
	row := Row{Number: number}
	get := func(ro role) (string, column, cell) {
		for _, c := range r.cols {
			if c.role == ro && c.at < len(cells) {
				if t := strings.TrimSpace(cells[c.at].text); t != "" {
					return t, c, cells[c.at]
				}
			}
		}
		return "", column{}, cell{}
	}
	refuse := func(col, field, say, try string) {
		row.Problems = append(row.Problems, Problem{number, col, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Refused}})
	}
	e := &journal.Entry{Device: r.opt.Device, Who: r.opt.Who}

	kindText, kindCol, _ := get(roleKind)
	kind, ok := r.kind(kindText)
	if !ok {
		_, ps := journal.Decode(kindText, []byte("{}"))
		refuse(kindCol.header, "kind", ps[0].Say, ps[0].Try)
	}
	e.Kind = kind

	if w, _, _ := get(roleWho); w != "" {
		e.Who = unguard(w)
	}
	if d, _, _ := get(roleDevice); d != "" {
		e.Device = unguard(d)
	}
	e.ID, _, _ = get(roleID)
	e.Strikes, _, _ = get(roleStrikes)
	e.Photo, _, _ = get(rolePhoto)
	e.Photo = unguard(e.Photo)
	if c, _, _ := get(roleConfirmed); c != "" {
		e.Confirmed = list(c)
	}
	r.when(&row, e, get)

	body := map[string]any{}
	if ok {
		unit, _, _ := get(roleUnit)
		r.body(&row, e, kind, unit, cells, body)
	}
	if len(row.Problems) > 0 {
		return row
	}
	raw, err := json.Marshal(body)
	if err != nil {
		refuse("", "body", "The row holds a number that cannot be kept.", "Look at the numbers again.")
		return row
	}
	typed, ps := journal.Decode(kind, raw)
	for _, p := range ps {
		row.Problems = append(row.Problems, Problem{number, r.columnOf(kind, p.Field), p})
	}
	if len(ps) > 0 {
		return row
	}
	e.Body = typed
	r.finish(&row, e)
	return row
}

// finish seals an entry and gives it its id.
func (r *reader) finish(row *Row, e *journal.Entry) {
	if err := e.Seal(); err != nil {
		row.Problems = append(row.Problems, Problem{row.Number, "", journal.Problem{Field: "body", Say: err.Error() + ".", Level: journal.Refused}})
		return
	}
	if e.ID == "" {
		content := rowContent(e)
		n := r.seen[hash64(content)]
		r.seen[hash64(content)]++
		e.ID = ids.FromContent(e.At, content, n)
	}
	row.Entry = e
}

// rowContent is what makes a row the same row: kind, time, person, body and
// what it strikes; not the device, nor what was confirmed.
func rowContent(e *journal.Entry) []byte {
	b := make([]byte, 0, 64+len(e.Raw))
	for _, s := range []string{e.Kind, e.Who, e.Strikes, e.Photo} {
		b = append(append(b, s...), 0)
	}
	b = append(journal.AppendTime(b, e.At), 0)
	return append(b, e.Raw...)
}

// hash64 is FNV-1a (Fowler, Noll, Vo; 64 bits).
func hash64(b []byte) uint64 {
	h := uint64(14695981039346656037)
	for _, c := range b {
		h = (h ^ uint64(c)) * 1099511628211
	}
	return h
}

func (r *reader) kind(word string) (string, bool) {
	if word == "" {
		return r.opt.Kind, r.opt.Kind != ""
	}
	low := strings.ToLower(strings.Join(strings.Fields(word), " "))
	for w, k := range r.opt.Map.Kinds {
		if strings.EqualFold(strings.TrimSpace(w), low) {
			return k, true
		}
	}
	k, ok := kindWords[low]
	return k, ok
}

func (r *reader) when(row *Row, e *journal.Entry, get func(role) (string, column, cell)) {
	refuse := func(col string, f *fault) {
		row.Problems = append(row.Problems, Problem{row.Number, col, journal.Problem{Field: "at", Say: f.say, Try: f.try, Level: journal.Refused}})
	}
	text, col, at := get(roleAt)
	if text == "" {
		for _, c := range r.cols {
			if c.role == roleAt {
				col = c
			}
		}
		refuse(col.header, &fault{"The day is missing.", "Say when it happened."})
		return
	}
	var d day
	var c clock
	if v, err := strconv.ParseFloat(text, 64); err == nil && at.serial && v >= 1 && v < 2_958_466 { // up to 9999-12-31
		d, c = serialDay(v, r.from1904)
	} else {
		var f *fault
		var exact = e.At
		d, c, exact, f = parseWhen(text, r.opt.Dates)
		if f != nil {
			refuse(col.header, f)
			return
		}
		if !exact.IsZero() {
			e.At = exact
			return
		}
	}
	if text, timeCol, cell := get(roleTime); text != "" {
		if c.said {
			refuse(timeCol.header, &fault{"The time of the day stands in two columns.", "Keep it in one of them."})
			return
		}
		if v, err := strconv.ParseFloat(text, 64); err == nil && cell.serial && v >= 0 && v < 1 {
			_, c = serialDay(v+1, r.from1904)
			c.said = true
		} else {
			var f *fault
			if c, f = parseClock(text); f != nil {
				refuse(timeCol.header, f)
				return
			}
		}
	}
	t, note, f := localTime(d, c, e.Kind, r.opt.Zone)
	if f != nil {
		refuse(col.header, f)
		return
	}
	if note != "" {
		row.Notes = append(row.Notes, Problem{row.Number, col.header, journal.Problem{Field: "at", Say: note}})
	}
	e.At = t
}

// body reads the fields of one kind from a row.
func (r *reader) body(row *Row, e *journal.Entry, kindName, unitColumn string, cells []cell, body map[string]any) {
	kind, _ := journal.KindNamed(kindName)
	from := map[string]string{} // key -> column that filled it
	for _, c := range r.cols {
		candidates := c.fields[kindName]
		if c.at >= len(cells) {
			continue
		}
		text := strings.TrimSpace(cells[c.at].text)
		if text == "" || c.role != roleField && !(c.role == roleUnit && len(candidates) > 0) {
			continue
		}
		tell := func(field, say, try string) {
			row.Problems = append(row.Problems, Problem{row.Number, c.header, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Refused}})
		}
		if len(candidates) == 0 {
			tell("", fmt.Sprintf("A %s entry has no place for %q under %s.", kindName, text, c.header), "Leave the cell empty, or write it under Note.")
			continue
		}
		unit := c.unit
		if unit == "" && !c.whole[kindName] {
			unit = unitColumn
		}
		f, v, fl := r.pick(kind, candidates, text, unit, c.whole[kindName], cells[c.at].serial)
		if fl != nil {
			tell(f.Key, fl.say, fl.try)
			continue
		}
		if first, twice := from[f.Key]; twice {
			tell(f.Key, fmt.Sprintf("%s stands in two columns, %s and %s.", f.Label, first, c.header), "Keep one of them.")
			continue
		}
		from[f.Key] = c.header
		body[f.Key] = v
	}
	for _, f := range kind.Fields { // what was seen may stand under Note
		if _, there := body[f.Key]; !there && f.Required && slices.Contains(f.Also, "note") && body["note"] != nil {
			body[f.Key] = body["note"]
			delete(body, "note")
		}
	}
}

// pick chooses among the fields a column may be by the unit of the number, and reads the cell.
func (r *reader) pick(kind journal.Kind, candidates []int, text, unit string, whole, serial bool) (journal.Field, any, *fault) {
	first := kind.Fields[candidates[0]]
	if len(candidates) == 1 {
		v, f := r.value(first, text, unit, whole, serial)
		return first, v, f
	}
	var firstFault *fault
	for _, i := range candidates {
		f := kind.Fields[i]
		v, fl := r.value(f, text, unit, whole, serial)
		if fl == nil {
			return f, v, nil
		}
		if firstFault == nil {
			firstFault = fl
		}
	}
	return first, nil, firstFault
}

// columnOf gives the header under which a field of the body was typed.
func (r *reader) columnOf(kindName, field string) string {
	kind, ok := journal.KindNamed(kindName)
	key, _, _ := strings.Cut(field, "[")
	if !ok {
		return ""
	}
	for _, c := range r.cols {
		for _, i := range c.fields[kindName] {
			if kind.Fields[i].Key == key && c.role == roleField {
				return c.header
			}
		}
	}
	for _, c := range r.cols {
		if string(c.role) == key && key != "" {
			return c.header
		}
	}
	return ""
}

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
		case "yes", "y", "true", "1", "x", "on", "ja", "✓":
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
			return nil, &fault{fmt.Sprintf("%s: %q is not a number.", f.Label, text), "Type a plain number" + inUnit(f.Unit) + "."}
		}
		return v, nil
	}
	if r.comma {
		text = strings.Replace(text, ",", ".", 1)
	}
	return withUnit(f, text)
}

func inUnit(u string) string {
	if u == "" || u == "fraction" {
		return ""
	}
	return " in " + u
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

// guard keeps a text from being taken for a formula by a spreadsheet; unguard
// takes the mark away again.
func guard(s string) string {
	if s != "" && strings.ContainsAny(s[:1], "=+-@'\t\r") {
		return "'" + s
	}
	return s
}

func unguard(s string) string {
	if len(s) > 1 && s[0] == '\'' && strings.ContainsAny(s[1:2], "=+-@'\t\r") {
		return s[1:]
	}
	return s
}
