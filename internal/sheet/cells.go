package sheet

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/ids"
	"wormyard/journal"
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
	unknown  []column       // left out, as nobody knows what they are
	width    int            // cells of the header row
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
