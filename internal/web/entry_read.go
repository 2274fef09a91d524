package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// bodyOf reads the boxes of a kind from a form. What cannot be read is left out
// of the body and told; the rest is checked as well, so that all comes at once.
func (s *Server) bodyOf(r *http.Request, p person, kind journal.Kind) (body any, v values, problems []app.Problem) {
	v = values{"id": r.PostForm.Get("id"), "at": typed(r, "at"), "who": typed(r, "who")}
	m := map[string]any{}
	if kind.Name == "microscope" {
		table := typed(r, "fields")
		problems = s.gatherSeen(r, p, kind, v)
		defer func() { v["fields"] = table }() // the boxes are drawn again, not what came of them
	}
	if kind.Name == "assay" {
		asPrinted := typed(r, "value")
		signed(r)
		defer func() { v["value"] = asPrinted }()
	}
	for _, k := range kind.Fields {
		text := typed(r, k.Key)
		if text == "" && rowed(k) {
			rows, ps := s.setsOf(r, p, k, v)
			if problems = append(problems, ps...); len(rows) > 0 {
				m[k.Key] = rows
			}
			continue
		}
		if text == "" {
			continue
		}
		v[k.Key] = text
		got, ps := s.fieldOf(p, k, text)
		problems = append(problems, ps...)
		if got != nil {
			m[k.Key] = got
		}
	}
	raw, err := json.Marshal(m)
	if err != nil {
		return nil, v, append(problems, app.Problem{Say: p.Say("form.unread"), Try: p.Say("form.unreadtry")})
	}
	unread := keysOf(problems)
	body, ps := journal.Decode(kind.Name, raw)
	for _, x := range ps {
		if !told(kind, unread, x.Field) {
			problems = append(problems, app.Problem{Field: x.Field, Say: x.Say, Try: x.Try, Doubt: x.Level == journal.Doubtful})
		}
	}
	return body, v, problems
}

// signed parts the sign off a result as laboratories print it, "<3" or ">1600", into
// how it is meant.
func signed(r *http.Request) {
	text := typed(r, "value")
	for sign, reads := range map[string]string{"<": journal.ReadsLess, ">": journal.ReadsMore} {
		if rest, ok := strings.CutPrefix(text, sign); ok && typed(r, "reads") == "" {
			r.PostForm.Set("value", strings.TrimSpace(strings.TrimPrefix(rest, "=")))
			r.PostForm.Set("reads", reads)
		}
	}
}

// keysOf gives the fields that problems are about.
func keysOf(problems []app.Problem) []string {
	var out []string
	for _, p := range problems {
		out = append(out, p.Field)
	}
	return out
}

// told says whether a problem with a field is only the echo of another box that
// could not be read: the field itself, or one of a group of which either would do.
func told(kind journal.Kind, unread []string, field string) bool {
	for _, u := range unread {
		if u == field {
			return true
		}
		for _, g := range kind.OneOf {
			if slices.Contains(g.Keys, u) && slices.Contains(g.Keys, field) {
				return true
			}
		}
	}
	return false
}

// fieldOf turns what was typed into the value of one field.
func (s *Server) fieldOf(p person, k journal.Field, text string) (any, []app.Problem) {
	switch k.Type {
	case journal.Number:
		n, ps := s.number(p, k, text)
		if ps != nil {
			return nil, ps
		}
		return n, nil
	case journal.Whole:
		n, ok := qty.Number(text)
		if !ok || n != float64(int64(n)) {
			return nil, []app.Problem{{Field: k.Key, Say: p.Say("form.whole", k.Label, text), Try: p.Say("form.wholetry")}}
		}
		return n, nil
	case journal.Flag:
		return text == "yes", nil
	case journal.Names:
		if k.Of == "bin" && !k.Makes {
			return s.binNames(k, text)
		}
		return listed(text, true), nil
	case journal.Name:
		if k.Of == "bin" && !k.Makes {
			name, e := s.Farm.State().BinCalled(text)
			if e != nil {
				return nil, []app.Problem{{Field: k.Key, Say: e.Say, Try: e.Try}}
			}
			return name, nil
		}
		return text, nil
	case journal.Slots:
		return listed(text, false), nil
	case journal.Choices:
		return strings.Split(text, "\n"), nil
	case journal.Numbers:
		var out []float64
		for _, t := range listed(text, true) {
			n, ok := qty.Number(t)
			if !ok {
				return nil, []app.Problem{{Field: k.Key, Say: p.Say("form.nonumber", k.Label, t), Try: p.Say("form.nonumbertry", "18")}}
			}
			out = append(out, n)
		}
		return out, nil
	case journal.Sides:
		var out [][]string
		var problems []app.Problem
		for _, l := range strings.Split(text, "\n") {
			if strings.TrimSpace(l) == "" {
				continue
			}
			names, wrong := s.Farm.State().Places().Select(l)
			for _, e := range wrong {
				problems = append(problems, app.Problem{Field: k.Key, Say: e.Say, Try: e.Try})
			}
			out = append(out, names)
		}
		if len(problems) > 0 {
			return nil, problems
		}
		return out, nil
	case journal.Table:
		return s.table(p, k, text)
	case journal.Any:
		var any any
		if json.Unmarshal([]byte(text), &any) != nil {
			return text, nil
		}
		return any, nil
	}
	if what, name, ok := strings.Cut(text, " "); k.Key == "subject" && ok && strings.EqualFold(what, "bin") {
		called, e := s.Farm.State().BinCalled(name)
		if e != nil {
			return nil, []app.Problem{{Field: k.Key, Say: e.Say, Try: e.Try}}
		}
		return "bin " + called, nil
	}
	return text, nil
}

// binNames reads which bins a crew means: names, runs, rows with exceptions.
func (s *Server) binNames(k journal.Field, text string) (any, []app.Problem) {
	bins, wrong := s.Farm.State().Places().Select(strings.ReplaceAll(text, "\n", ", "))
	if len(wrong) == 0 {
		return bins, nil
	}
	var out []app.Problem
	for _, e := range wrong {
		out = append(out, app.Problem{Field: k.Key, Say: e.Say, Try: e.Try})
	}
	return nil, out
}

// number reads a quantity; without a unit it is in the person's own.
func (s *Server) number(p person, k journal.Field, text string) (float64, []app.Problem) {
	if k.Dim == nil {
		n, ok := qty.Number(text)
		if !ok {
			return 0, []app.Problem{{Field: k.Key, Say: p.Say("form.nonumber", k.Label, text), Try: p.Say("form.nonumbertry", strings.TrimSpace("12 "+k.Unit))}}
		}
		return n, nil
	}
	full := text
	if bare(text) {
		full = text + " " + reader(k, p.Units)
	}
	n, err := k.Typed(full)
	if err != nil {
		say, try := p.Say("form.nonumber", k.Label, text), p.Say("form.nonumbertry", "2 "+reader(k, p.Units))
		if k.Water {
			say, try = p.Say("form.nowater", k.Label, text), p.Say("form.nowatertry", "2 "+reader(k, p.Units))
		} else if pe, ok := err.(*qty.ParseError); ok && !bare(text) {
			say, try = k.Label+": "+pe.Say, pe.Try
		}
		return 0, []app.Problem{{Field: k.Key, Say: say, Try: try}}
	}
	return n, nil
}

// table reads rows, one a line, columns parted by commas in the order of the
// kind's fields.
func (s *Server) table(p person, k journal.Field, text string) (any, []app.Problem) {
	var out []map[string]any
	var problems []app.Problem
	for i, l := range strings.Split(text, "\n") {
		if l = strings.TrimSpace(l); l == "" {
			continue
		}
		row := map[string]any{}
		for j, cell := range strings.Split(l, ",") {
			if cell = strings.TrimSpace(cell); cell == "" {
				continue
			}
			if j >= len(k.Item) {
				problems = append(problems, app.Problem{Field: k.Key, Say: p.Say("form.columns", i+1, k.Label, len(k.Item)), Try: p.Say("form.columnstry")})
				break
			}
			item := k.Item[j]
			item.Label = fmt.Sprintf("%s, %s", p.Say("form.line", i+1), item.Label)
			v, ps := s.fieldOf(p, item, cell)
			for n := range ps {
				ps[n].Field = k.Key + "[" + strconv.Itoa(i) + "]." + k.Item[j].Key
			}
			problems = append(problems, ps...)
			if v != nil {
				row[k.Item[j].Key] = v
			}
		}
		out = append(out, row)
	}
	return out, problems
}

// listed parts names by commas, semicolons, line breaks and, where names have
// no blanks, by blanks.
func listed(text string, blanks bool) []string {
	return strings.FieldsFunc(text, func(r rune) bool {
		return r == ',' || r == ';' || r == '\n' || r == '\r' || blanks && (r == ' ' || r == '\t')
	})
}
