package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// A slip says how the form of one kind is laid out: what stands open, what is
// filled in and kept out of sight, what is offered. Everything else about the
// fields comes from the kind itself.
type slip struct {
	kind   string
	action string
	back   string
	open   []string            // keys shown first; the others are folded away
	only   bool                // the others are left out
	fixed  map[string]string   // keys with a given value, not shown
	preset map[string]string   // keys with a value that may be changed
	offer  map[string][]Option // keys with choices made for this place
	pick   string              // key shown as a grid of boxes to tick
	care   string
	submit string
}

// layouts say which fields of a kind stand open on the form.
var layouts = map[string][]string{
	"feed": {"bins", "batch", "depth_m"}, "water": {"bins", "kg"}, "look": {"bins", "squeeze", "feed_left", "worms", "where", "smell"},
	"reading": {"bin", "temp_c", "depth_m", "water_frac_wet"}, "depth": {"bins", "depth_m"}, "sighting": {"bin", "what", "severity"},
	"cover": {"bins", "cover"}, "receive": {"pile", "material", "volume_m3", "declared"}, "tend": {"pile", "act", "temp_c", "water_kg"},
	"assay": {"subject", "analyte", "value", "unit"}, "harvest": {"bins", "how", "mass_kg_wet", "volume_m3", "lot", "ends_bed"},
	"stock": {"bins", "kg", "from_bin", "bought"}, "bed": {"bins", "batch", "material", "depth_m"}, "move": {"bin", "to"}, "weigh": {"bin", "mass_kg"},
	"turn": {"bins", "what"}, "site": {"place", "low_c", "high_c", "outlook"}, "count": {"bin", "mass_kg_wet", "adults", "juveniles", "cocoons"},
	"build": {"bins", "length_m", "width_m", "depth_m", "slots", "state"}, "hold": {"lot", "pile", "why"},
}

// cautions stand on the forms of work that can hurt.
var cautions = map[string]string{
	"move": "care.truck", "harvest": "care.harvest", "screen": "care.dust", "tend": "care.pile", "receive": "care.receive", "weigh": "care.lift", "bed": "care.manure", "blend": "care.dust",
}

// reader tells how a person types a field: the unit that is taken when none is
// typed, and the symbol that is shown.
func reader(f journal.Field, sys qty.System) (symbol string) {
	if f.Water {
		return pick(sys, "gal", "L")
	}
	if f.Dim == nil {
		return f.Unit
	}
	switch *f.Dim {
	case qty.Temperature:
		return pick(sys, "°F", "°C")
	case qty.Mass:
		return pick(sys, "lb", "kg")
	case qty.Volume:
		return pick(sys, "yd3", "m3")
	case qty.Length:
		if f.Unit == "mm" {
			return "mm"
		}
		return pick(sys, "in", "cm")
	case qty.Area:
		return pick(sys, "ft2", "m2")
	case qty.Percent:
		return "%"
	case qty.Duration:
		return f.Unit
	}
	return f.Unit
}

func pick(sys qty.System, us, metric string) string {
	if sys == qty.US {
		return us
	}
	return metric
}

// printable gives a text as it is written on a page: raised figures, and names of
// places that do not break.
func printable(text string) string {
	return hyphened.ReplaceAllString(raised.Replace(text), "$1\u2011$2")
}

var (
	raised   = strings.NewReplacer("/m3", "/m³", "yd3", "yd³", "ft3", "ft³", " m3", " m³", " m2", " m²", "ft2", "ft²", " °", "\u00a0°")
	hyphened = regexp.MustCompile(`([0-9])-([A-Z]*[0-9])`) // a place or a run of bins stays on one line
)

// values is what stands in the boxes of a form.
type values map[string]string

// formOf lays out the form of a kind with the values given.
func (s *Server) formOf(p person, sh slip, v values) (Form, error) {
	kind, ok := journal.KindNamed(sh.kind)
	if !ok {
		return Form{}, fmt.Errorf("there is no kind %q", sh.kind)
	}
	open := sh.open
	if open == nil {
		open = layouts[sh.kind]
	}
	f := Form{Action: sh.action, Back: sh.back, ID: v["id"], Submit: sh.submit, Cancel: sh.back, MoreLabel: p.Say("form.more")}
	if f.ID == "" {
		f.ID = s.NewID(p.Now)
	}
	if f.Submit == "" {
		f.Submit = p.Say("form.save")
	}
	if key := cautions[sh.kind]; key != "" {
		f.Care = p.Say(key)
	}
	if sh.care != "" {
		f.Care = sh.care
	}
	var fields []journal.Field
	for _, key := range open {
		if k, ok := kind.Field(key); ok {
			fields = append(fields, k)
		}
	}
	for _, k := range fields {
		f.Fields = append(f.Fields, s.box(p, sh, k, v))
	}
	for _, k := range kind.Fields {
		if slices.Contains(open, k.Key) {
			continue
		}
		b := s.box(p, sh, k, v)
		switch {
		case b.Hidden:
			f.Fields = append(f.Fields, b)
		case len(open) == 0:
			f.Fields = append(f.Fields, b)
		case !sh.only:
			f.More = append(f.More, b)
			f.MoreOpen = f.MoreOpen || b.Value != ""
		}
	}
	f.When, f.WhenLabel, f.WhenOpen = s.when(p, v["at"], v["who"])
	return f, nil
}

// box lays out one field of a kind.
func (s *Server) box(p person, sh slip, k journal.Field, v values) Field {
	if fixed, ok := sh.fixed[k.Key]; ok {
		return Field{ID: "f-" + k.Key, Name: k.Key, Value: fixed, Hidden: true}
	}
	value, given := v[k.Key]
	if !given {
		value = sh.preset[k.Key]
	}
	f := textField(k.Key, k.Label, value)
	f.Help = k.Help
	if offer := sh.offer[k.Key]; offer != nil {
		f.Chips, f.Options, f.Grid, f.Many = true, offer, sh.pick == k.Key, sh.pick == k.Key
		if k.Dim != nil {
			f.Unit, f.Other = printable(reader(k, p.Units)), p.Say("form.other")
			if value != "" && !slices.ContainsFunc(offer, func(o Option) bool { return o.Value == value }) {
				f.OtherValue, f.Value = value, ""
			}
		}
		if f.Grid {
			f.Help = ""
		}
		return choose(f)
	}
	switch k.Type {
	case journal.Number, journal.Whole:
		f.Unit, f.Mode, f.Short = printable(reader(k, p.Units)), "decimal", true
	case journal.Choice, journal.Choices:
		f.Chips, f.Many, f.Options = true, k.Type == journal.Choices, plainOptions(k.Choices...)
		return choose(f)
	case journal.Flag:
		f.Chips, f.Options = true, []Option{{Value: "yes", Label: p.Say("form.yesword")}, {Value: "no", Label: p.Say("form.noword")}}
		return choose(f)
	case journal.Day:
		f.Type = "date"
	case journal.Table:
		f.Area = true
		var columns []string
		for _, item := range k.Item {
			columns = append(columns, item.Label)
		}
		f.Help = p.Say("form.table", strings.Join(columns, ", "))
	case journal.Slots, journal.Sides, journal.Numbers, journal.Any:
		f.Area = true
	case journal.Name:
		f.List = s.names(k)
	case journal.Text:
		if k.Key == "material" {
			f.List = s.Materials
		}
		if k.Key == "note" || k.Key == "why" {
			f.Area = true
		}
	}
	return f
}

// names lists what a field may name, for the browser to offer.
func (s *Server) names(k journal.Field) []string {
	state := s.Farm.State()
	var out []string
	switch k.Of {
	case "pile":
		for _, x := range state.Piles() {
			out = append(out, x.Name)
		}
	case "batch":
		for _, x := range state.Batches() {
			out = append(out, x.Name)
		}
	case "lot":
		for _, x := range state.Lots() {
			out = append(out, x.Name)
		}
	case "barn":
		for _, x := range state.Barns() {
			out = append(out, x.Name)
		}
	}
	if len(out) > 60 {
		out = out[len(out)-60:]
	}
	return out
}

// bodyOf reads the boxes of a kind from a form. What cannot be read is left out
// of the body and told; the rest is checked as well, so that all comes at once.
func (s *Server) bodyOf(r *http.Request, p person, kind journal.Kind) (body any, v values, problems []app.Problem) {
	v = values{"id": r.PostForm.Get("id"), "at": typed(r, "at"), "who": typed(r, "who")}
	m := map[string]any{}
	for _, k := range kind.Fields {
		text := typed(r, k.Key)
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
		for _, l := range strings.Split(text, "\n") {
			if names := listed(l, true); len(names) > 0 {
				out = append(out, names)
			}
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

// answer is what became of a form that was sent.
type answer struct {
	saved string // id of the entry, empty when not saved
	form  Form
}

// keep reads a form, writes the entry, and when it is refused or doubtful gives
// the form back as typed with everything that is wrong marked.
func (s *Server) keep(r *http.Request, p person, sh slip) (answer, error) {
	kind, ok := journal.KindNamed(sh.kind)
	if !ok {
		return answer{}, missing{p.Say("fault.nokind", html.UnescapeString(sh.kind))}
	}
	for key, fixed := range sh.fixed {
		r.PostForm.Set(key, fixed)
	}
	body, v, problems := s.bodyOf(r, p, kind)
	at, ps := moment(p, v["at"])
	problems = append(problems, ps...)
	who := v["who"]
	if who == "" {
		who = p.Who
	}
	var ack app.Ack
	if body != nil {
		e := journal.Entry{ID: v["id"], Kind: kind.Name, At: at.UTC(), Who: who, Device: "page", Body: body}
		if at.IsZero() {
			e.At = p.Now.UTC()
		}
		if len(problems) > 0 { // something could not be read: only ask what else is wrong
			unread := keysOf(problems)
			for _, x := range journal.Check(&e, journal.Known{Units: p.Units, Zone: p.Zone, Now: p.Now}) {
				if told(kind, unread, x.Field) {
					continue
				}
				problems = append(problems, app.Problem{Field: x.Field, Say: x.Say, Try: x.Try, Doubt: x.Level == journal.Doubtful})
			}
		} else {
			if x, sent := s.sentBefore(p, e); sent { // kept by the browser and sent again with something else in it
				if r.PostForm.Get("yes") == digest(x) {
					e.ID = s.NewID(p.Now)
					v["id"] = e.ID
				} else {
					problems = x
				}
			}
			if len(problems) == 0 {
				var err error
				if ack, err = s.write(r, e); err != nil {
					return answer{}, err
				}
				problems = ack.Problems
			}
		}
	}
	if ack.Saved {
		return answer{saved: ack.Entry.ID}, nil
	}
	f, err := s.formOf(p, sh, v)
	if err != nil {
		return answer{}, err
	}
	refused, doubtful := split(problems)
	f.Problems = mark(refused, f.Fields, f.More, f.When)
	f.Doubts = mark(doubtful, f.Fields, f.More, f.When)
	f.Yes = digest(doubtful)
	for _, x := range f.More {
		f.MoreOpen = f.MoreOpen || x.Bad != ""
	}
	for _, x := range f.When {
		f.WhenOpen = f.WhenOpen || x.Bad != ""
	}
	return answer{form: f}, nil
}

// sentBefore asks about a form that was written down already and now says
// something else: a person went back to it in the browser.
func (s *Server) sentBefore(p person, e journal.Entry) ([]app.Problem, bool) {
	known, _, found := s.Farm.State().Entry(e.ID)
	if !found || known.Kind == e.Kind && sameBody(known.Body, e.Body) {
		return nil, false
	}
	return []app.Problem{{Doubt: true, Say: p.Say("form.again", printable(farm.Sentence(known, p.Units))), Try: p.Say("form.againtry")}}, true
}

// write records an entry. What is only doubtful is kept when the person has
// said yes to exactly these doubts. The same form sent twice is one entry.
func (s *Server) write(r *http.Request, e journal.Entry) (app.Ack, error) {
	if known, _, found := s.Farm.State().Entry(e.ID); found && known.Kind == e.Kind && sameBody(known.Body, e.Body) {
		return app.Ack{Saved: true, Entry: *known}, nil
	}
	ack, err := s.Farm.Record(r.Context(), e, false)
	if err != nil || ack.Saved {
		return ack, err
	}
	refused, doubtful := split(ack.Problems)
	if len(refused) == 0 && len(doubtful) > 0 && r.PostForm.Get("yes") == digest(doubtful) {
		return s.Farm.Record(r.Context(), e, true)
	}
	return ack, nil
}

func sameBody(a, b any) bool {
	x, errX := journal.Encode(a)
	y, errY := journal.Encode(b)
	return errX == nil && errY == nil && bytes.Equal(x, y)
}
