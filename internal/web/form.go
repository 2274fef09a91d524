package web

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"wormyard/internal/app"
)

// Form is a form ready to print, with what was typed and what is wrong with it.
type Form struct {
	Action, Back, ID string
	Kind             string // of the entry it makes; a device may keep it until there is signal
	Stop, Next       string // of the round that it settles, and where one goes then without signal
	Since            int64  // when that round was made
	Problems, Doubts []Complaint
	Yes              string // what the yes button sends
	Fields           []Field
	More             []Field // folded away
	MoreLabel        string
	MoreOpen         bool
	When             []Field // time and person, folded away
	WhenLabel        string
	WhenOpen         bool
	Care             string
	Submit, Cancel   string
	Listed           bool // it has rows, whose buttons must not be the first
}

// Complaint is one problem with the place of its box.
type Complaint struct{ Anchor, Say, Try string }

// Field is one box of a form.
type Field struct {
	ID, Name, Label, Help, Unit, Value, Type, Mode string
	Bad                                            string
	Short, Hidden                                  bool
	Area, Select                                   bool
	Chips, Many, Grid                              bool
	Options                                        []Option
	Rest                                           []Option // choices under a fold, which is called
	RestLabel                                      string
	Other, OtherValue                              string // a box beside the chips
	List                                           []string
	Step, Less, Greater                            string // of the buttons beside a number
	Below                                          bool   // the number may lie under nothing
	Last                                           string // under what a device remembers what was written last
	Fill                                           bool   // and fills it in where nothing is said
	Rows                                           bool   // each choice is a line of its own, with headings
	Sets                                           []Set  // rows of boxes, which are added and taken off
	Must, MustTry                                  string // what is said before it is put away with nothing in it
}

// RestOpen says whether something under the fold is chosen.
func (f Field) RestOpen() bool {
	return slices.ContainsFunc(f.Rest, func(o Option) bool { return o.On })
}

// Option is one choice.
type Option struct {
	Value, Label string
	On           bool
	Head         string // over it and those after it, where each is a line
}

// Set is one row of boxes of a list.
type Set struct {
	Head, Drop string // what it is called, and what the button sends that takes it off
	Fields     []Field
	More       []Field // seldom filled in, under a fold of that name
	MoreLabel  string
}

// MoreOpen says whether something stands under the fold, or is wrong there.
func (s Set) MoreOpen() bool {
	return slices.ContainsFunc(s.More, func(f Field) bool { return f.Value != "" || f.Bad != "" })
}

// Builders of the boxes that are used all over.

func textField(name, label, value string) Field {
	return Field{ID: "f-" + name, Name: name, Label: label, Value: value, Type: "text"}
}

func numberField(name, label, unit, value string) Field {
	return Field{ID: "f-" + name, Name: name, Label: label, Unit: unit, Value: value, Type: "text", Mode: "decimal", Short: true}
}

func areaField(name, label, value string) Field {
	return Field{ID: "f-" + name, Name: name, Label: label, Value: value, Area: true}
}

func chipsField(name, label, value string, options []Option) Field {
	return choose(Field{ID: "f-" + name, Name: name, Label: label, Chips: true, Options: options, Value: value})
}

func selectField(name, label, value string, options []Option) Field {
	return choose(Field{ID: "f-" + name, Name: name, Label: label, Select: true, Options: options, Value: value})
}

// choose marks the options that a field's value names; several values are
// parted by line breaks.
func choose(f Field) Field {
	values := strings.Split(f.Value, "\n")
	marked := func(list []Option) []Option {
		options := append([]Option(nil), list...)
		for i := range options {
			options[i].On = false
			for _, v := range values {
				if v == options[i].Value && (v != "" || f.Value == "") {
					options[i].On = true
				}
			}
		}
		return options
	}
	f.Options, f.Rest = marked(f.Options), marked(f.Rest)
	return f
}

func plainOptions(list ...string) []Option {
	out := make([]Option, len(list))
	for i, w := range list {
		out[i] = Option{Value: w, Label: w}
	}
	return out
}

// typed gives what a person typed in a box: the other box beside chips first,
// several ticks joined by line breaks.
func typed(r *http.Request, name string) string {
	if o := strings.TrimSpace(r.PostForm.Get(name + "_other")); o != "" {
		return o
	}
	var out []string
	for _, v := range r.PostForm[name] {
		if v = strings.TrimSpace(v); v != "" {
			out = append(out, v)
		}
	}
	return strings.Join(out, "\n")
}

// bare says whether a text is a number without a unit.
func bare(s string) bool {
	for _, r := range s {
		if unicode.IsLetter(r) || r == '%' || r == '°' || r == '"' || r == '\'' || r == '″' || r == '′' || r == '#' {
			return false
		}
	}
	return s != ""
}

// mark puts problems on the boxes they belong to and gives the list for the
// top of the form. Problems of no box stay in the list alone.
func mark(problems []app.Problem, groups ...[]Field) []Complaint {
	var out []Complaint
	for _, p := range problems {
		c := Complaint{Say: sentence(p.Say), Try: p.Try}
		key, _, _ := strings.Cut(p.Field, "[")
		key, _, _ = strings.Cut(key, ".")
		box := strings.NewReplacer("[", ".", "]", "").Replace(p.Field)
		for _, g := range groups {
			for i := range g {
				if at := g[i].markSet(box, c.Say); at != "" {
					c.Anchor = at
					continue
				}
				if g[i].Name == key || g[i].Name == p.Field || g[i].ID == "f-"+p.Field {
					c.Anchor = g[i].ID
					if g[i].Bad == "" {
						g[i].Bad = c.Say
					}
				}
			}
		}
		out = append(out, c)
	}
	return out
}

// markSet puts what is wrong on a box of a row, and gives its place; none where the
// rows have no such box.
func (f *Field) markSet(name, say string) string {
	for _, s := range f.Sets {
		for _, boxes := range [][]Field{s.Fields, s.More} {
			for i := range boxes {
				if b := &boxes[i]; b.Name == name {
					if b.Bad == "" {
						b.Bad = say
					}
					return b.ID
				}
			}
		}
	}
	return ""
}

// sentence gives a text a capital letter, unless it begins with a short form: "pH".
func sentence(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if next, _ := utf8.DecodeRuneInString(s[n:]); !unicode.IsLower(r) || unicode.IsUpper(next) {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// split parts what is refused from what is doubtful.
func split(problems []app.Problem) (refused, doubtful []app.Problem) {
	for _, p := range problems {
		if p.Doubt {
			doubtful = append(doubtful, p)
		} else {
			refused = append(refused, p)
		}
	}
	return refused, doubtful
}

// digest names a set of doubts, so that a yes counts only for what was shown.
func digest(problems []app.Problem) string {
	h := sha256.New()
	for _, p := range problems {
		h.Write([]byte(p.Field + "\x00" + p.Say + "\x00"))
	}
	return hex.EncodeToString(h.Sum(nil)[:8])
}

const momentLayout = "2006-01-02T15:04"

// moment reads a typed time in the farm's zone. An empty one is the zero time,
// meaning now.
func moment(p person, s string) (time.Time, []app.Problem) {
	if s == "" {
		return time.Time{}, nil
	}
	wrong := func(say, try string) (time.Time, []app.Problem) {
		return time.Time{}, []app.Problem{{Field: "at", Say: say, Try: try}}
	}
	for _, layout := range []string{momentLayout, "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02"} {
		t, err := time.ParseInLocation(layout, s, p.Zone)
		if err != nil {
			continue
		}
		if t.Format(layout) != s {
			typed, _ := time.Parse(layout, s)
			return wrong(p.Say("when.skipped", p.Words.Clock(typed), p.Words.Date(typed)), p.Say("when.skippedtry"))
		}
		return t, nil
	}
	if last, year, day, ok := pastMonthEnd(s); ok {
		return wrong(p.Say("when.noday", year, day, p.Words.Month(last)), p.Say("when.nodaytry", p.Words.Short(last), p.Words.Short(last.AddDate(0, 0, 1))))
	}
	return wrong(p.Say("when.bad", s), p.Say("when.badtry", p.Now.Format(momentLayout)))
}

// pastMonthEnd says whether a text begins with a day that its month does not
// have, such as 29 February, and gives the month's last day.
func pastMonthEnd(s string) (last time.Time, year, day int, ok bool) {
	var month int
	if n, err := fmt.Sscanf(s, "%4d-%2d-%2d", &year, &month, &day); n != 3 || err != nil || month < 1 || month > 12 {
		return last, 0, 0, false
	}
	last = time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC)
	return last, year, day, day > last.Day() && day <= 31
}

// when gives the boxes for time and person and their one-line summary.
func (s *Server) when(p person, at, who string) (fields []Field, label string, open bool) {
	state := s.Farm.State()
	if who == "" {
		who = p.Who
	}
	f := textField("at", p.Say("when.at"), at)
	f.Type, f.Help = "datetime-local", p.Say("when.help")
	fields = append(fields, f)
	if p.In.Guarded {
		who = p.Who
	} else if people := state.Settings.People; len(people) > 0 {
		fields = append(fields, chipsField("who", p.Say("when.who"), who, plainOptions(people...)))
	} else {
		fields = append(fields, textField("who", p.Say("when.who"), who))
	}
	name := who
	if name == "" {
		name = p.Say("when.nobody")
	}
	if at == "" {
		return fields, p.Say("when.now", name), false
	}
	return fields, p.Say("when.then", strings.Replace(at, "T", " ", 1), name), true
}
