package web

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/app"
	"wormyard/journal"
)

// Lists of an entry are rows of boxes called decks.0.opening_mm. They are added and
// taken off by buttons of the form, which write nothing down (docs/adr/0071).

// rowButton is the name of these buttons; they send "+decks" or "-decks.0".
const rowButton = "rows"

// rowAsked marks a row that the form itself brought, as a question.
const rowAsked = "asked"

// mostSets is how many rows a list is given by its buttons; of more that came otherwise
// all are shown.
const mostSets = 1000

// rowed says whether the list of a field is laid out as rows. Fields of view and marks
// on a photo are too many, and have pages of their own.
func rowed(k journal.Field) bool {
	return k.Type == journal.Table && k.Key != "fields" && k.Key != "traces"
}

func setBox(list string, i int, key string) string { return fmt.Sprintf("%s.%d.%s", list, i, key) }

// setCount is under what the values of a form keep how many rows a list has.
func setCount(list string) string { return list + ".rows" }

// sets lays out the rows of a list: those that are filled in, at least one.
func (s *Server) sets(p person, sh slip, k journal.Field, v values, f *Field) {
	own := values{}
	for key, text := range v {
		own[key] = text
	}
	n, _ := strconv.Atoi(own[setCount(k.Key)])
	if n == 0 && f.Value != "" { // as lines with commas between, the way they are preset
		for _, l := range strings.Split(f.Value, "\n") {
			for j, cell := range strings.Split(l, ",") {
				if j < len(k.Item) {
					own[setBox(k.Key, n, k.Item[j].Key)] = strings.TrimSpace(cell)
				}
			}
			n++
		}
	}
	f.Value = ""
	for i := range max(n, 1) {
		row := Set{Head: p.Say("form.row", i+1), Drop: fmt.Sprintf("-%s.%d", k.Key, i)}
		for _, item := range k.Item {
			key := item.Key
			if k.Key == "shown" && key == "entries" { // they follow from what is chosen
				continue
			}
			item.Key = setBox(k.Key, i, key)
			b := s.box(p, slip{kind: sh.kind}, item, own)
			if item.Type == journal.Choice {
				b.Options = choose(Field{Value: own[item.Key], Options: p.choices(journal.Field{Key: key, Choices: item.Choices})}).Options
			}
			b.Must, b.MustTry, b.Last = "", "", "" // what is missing in a row is told with its row
			if own[item.Key] != "" {
				f.Value = own[item.Key]
			}
			row.Fields = append(row.Fields, b)
		}
		f.Sets = append(f.Sets, row)
	}
}

var rowBox = regexp.MustCompile(`^(\w+)\.(\d{1,4})\.(\w+)$`)

// typedRows gives the rows of a list in a form, in order, without those in which
// nothing was typed.
func typedRows(form url.Values, k journal.Field) (out []map[string]string) {
	rows := map[int]map[string]string{}
	for name := range form {
		m := rowBox.FindStringSubmatch(name)
		text := strings.TrimSpace(form.Get(name))
		if m == nil || m[1] != k.Key || text == "" {
			continue
		}
		i, _ := strconv.Atoi(m[2])
		if rows[i] == nil {
			rows[i] = map[string]string{}
		}
		rows[i][m[3]] = text
	}
	for i, row := range rows {
		if o := row["what_other"]; o != "" { // typed beside what is on record
			row["what"] = o
		}
		if delete(row, "what_other"); row[rowAsked] != "" && row["what"] == "" { // a question that nobody answered
			delete(rows, i)
		}
		delete(row, rowAsked)
	}
	var order []int
	for i := range rows {
		order = append(order, i)
	}
	slices.Sort(order)
	for _, i := range order {
		out = append(out, rows[i])
	}
	return out
}

// setsOf reads the rows of a list, and keeps in the values what stands in each box.
func (s *Server) setsOf(r *http.Request, p person, k journal.Field, v values) (out []map[string]any, problems []app.Problem) {
	rows := typedRows(r.PostForm, k)
	if len(rows) > mostSets {
		problems = append(problems, app.Problem{Field: k.Key, Say: p.Say("form.rowsmany", k.Label, len(rows), mostSets), Try: p.Say("form.rowsmanytry")})
	}
	v[setCount(k.Key)] = strconv.Itoa(len(rows))
	for i, cells := range rows {
		row := map[string]any{}
		for _, item := range k.Item {
			text := cells[item.Key]
			if text == "" {
				continue
			}
			v[setBox(k.Key, i, item.Key)] = text
			named := item
			named.Label = fmt.Sprintf("%s, %s", p.Say("form.rowof", k.Label, i+1), item.Label)
			got, ps := s.fieldOf(p, named, text)
			for n := range ps {
				ps[n].Field = fmt.Sprintf("%s[%d].%s", k.Key, i, item.Key)
			}
			problems = append(problems, ps...)
			if got != nil {
				row[item.Key] = got
			}
		}
		out = append(out, row)
	}
	return out, problems
}

// changeRows does what a button of a list asks for: a row more, or one less.
func (v values) changeRows(kind journal.Kind, button string) {
	for _, k := range kind.Fields {
		n, _ := strconv.Atoi(v[setCount(k.Key)])
		if button == "+"+k.Key {
			v[setCount(k.Key)] = strconv.Itoa(max(n, min(max(n, 1)+1, mostSets)))
			return
		}
	}
}

// dropTyped takes the row out of a form that a button says to take off.
func dropTyped(form url.Values, button string) {
	row, ok := strings.CutPrefix(button, "-")
	for name := range form {
		if ok && strings.HasPrefix(name, row+".") {
			form.Del(name)
		}
	}
}
