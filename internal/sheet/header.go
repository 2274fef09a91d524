package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"wormyard/journal"
	"wormyard/qty"
)

// role is what a column says of an entry, besides the fields of its body.
type role string

const (
	roleField     role = ""
	roleKind      role = "kind"
	roleAt        role = "at"
	roleTime      role = "time"
	roleWho       role = "who"
	roleUnit      role = "unit"
	roleID        role = "id"
	roleDevice    role = "device"
	roleStrikes   role = "strikes"
	rolePhoto     role = "photo"
	roleConfirmed role = "confirmed"
	roleIgnored   role = "-"
)

// roleWords are the headers of a role, the surest first; the first column with
// the surest word is taken, the others may still be fields.
var roleWords = []struct {
	role  role
	words []string
}{
	{roleKind, []string{"kind", "what was done", "activity", "task", "event", "action", "entry", "job", "type", "what"}},
	{roleAt, []string{"at", "date and time", "datetime", "timestamp", "date time", "date", "when", "day"}},
	{roleTime, []string{"time", "time of day", "clock", "hour"}},
	{roleWho, []string{"who", "person", "crew", "worker", "initials", "done by", "by"}},
	{roleUnit, []string{"unit", "units"}},
	{roleID, []string{"id", "entry id"}},
	{roleDevice, []string{"device"}},
	{roleStrikes, []string{"strikes"}},
	{rolePhoto, []string{"photo", "picture"}},
	{roleConfirmed, []string{"confirmed"}},
	{roleIgnored, []string{"recorded", "seq", "hash"}},
}

// column is one column of a table.
type column struct {
	at     int
	header string // as typed
	role   role
	key    string           // field that a map names, else ""
	unit   string           // unit of the numbers under it, "" when not said
	fields map[string][]int // kind -> fields it may be
	whole  map[string]bool  // kinds for which the header, whole, is a field's key: the unit is the stored one
}

// plainHeader brings a header to small words with single blanks, and gives
// apart what stands in brackets.
func plainHeader(s string) (name, bracket string) {
	s = strings.ToLower(strings.TrimSpace(s))
	if open := strings.IndexAny(s, "(["); open >= 0 {
		if end := strings.IndexAny(s[open:], ")]"); end > 0 {
			bracket = strings.TrimSpace(s[open+1 : open+end])
			s = s[:open] + " " + s[open+end+1:]
		}
	}
	s = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r), r == '%', r == '°', r == '#', r == ':', r == '/':
			return r
		}
		return ' '
	}, s)
	return strings.Join(strings.Fields(s), " "), bracket
}

// fieldWords gives, for every kind, the headers that name its fields.
var fieldWords = func() map[string]map[string][]int {
	all := map[string]map[string][]int{}
	for _, k := range journal.Kinds() {
		words := map[string][]int{}
		for i, f := range k.Fields {
			for _, w := range append([]string{f.Key, f.Bare, f.Label}, f.Also...) {
				if n, _ := plainHeader(w); n != "" && !slices.Contains(words[n], i) {
					words[n] = append(words[n], i)
				}
			}
		}
		for i, f := range k.Fields { // a key always means its own field
			n, _ := plainHeader(f.Key)
			words[n] = []int{i}
		}
		all[k.Name] = words
	}
	return all
}()

// kindWords gives the kind for what a person calls it.
var kindWords = func() map[string]string {
	m := map[string]string{}
	for _, k := range journal.Kinds() {
		for _, w := range append([]string{k.Name, k.Words}, k.Also...) {
			if _, taken := m[strings.ToLower(w)]; !taken {
				m[strings.ToLower(w)] = k.Name
			}
		}
	}
	for _, k := range journal.Kinds() { // a stored name always means itself
		m[k.Name] = k.Name
	}
	return m
}()

// splits gives the ways to read a header as a name and a unit.
func splits(header string) (out [][2]string) {
	name, bracket := plainHeader(header)
	if bracket != "" {
		if u, ok := unitWord(bracket); ok {
			out = append(out, [2]string{name, u})
		} else {
			out = append(out, [2]string{name + " " + bracket, ""})
		}
		out = append(out, [2]string{name, ""})
	} else {
		out = append(out, [2]string{name, ""})
	}
	words := strings.Fields(name)
	for n := 1; n <= 2 && n < len(words); n++ {
		if u, ok := unitWord(strings.Join(words[len(words)-n:], " ")); ok {
			out = append(out, [2]string{strings.Join(words[:len(words)-n], " "), u})
		}
	}
	return out
}

func unitWord(s string) (string, bool) {
	if _, ok := qty.Named(s); ok || s == "tons" || s == "ton" || s == "t" || s == "yards" || s == "qt" {
		return s, true
	}
	return "", false
}

// resolve says what a column may be; ok is false when the header is not known.
func resolve(header string, m Map) (c column, ok bool) {
	c = column{header: strings.TrimSpace(header), fields: map[string][]int{}, whole: map[string]bool{}}
	for h, key := range m.Columns {
		if strings.EqualFold(strings.TrimSpace(h), c.header) {
			c.key = key
			if key == "-" {
				c.role = roleIgnored
			}
			for _, r := range roleWords {
				if key == r.words[0] || key == string(r.role) {
					c.role = r.role
				}
			}
			for h, u := range m.Units {
				if strings.EqualFold(strings.TrimSpace(h), c.header) {
					c.unit = u
				}
			}
			for kind, words := range fieldWords {
				n, _ := plainHeader(key)
				if list := words[n]; len(list) > 0 {
					c.fields[kind] = list
					c.whole[kind] = c.unit == "" && isKey(kind, list, n)
				}
			}
			return c, c.role != roleField || len(c.fields) > 0
		}
	}
	for kind, words := range fieldWords {
		for _, s := range splits(header) {
			list := words[s[0]]
			if len(list) == 0 {
				continue
			}
			c.fields[kind] = list
			c.whole[kind] = isKey(kind, list, s[0]) && s[1] == ""
			if s[1] != "" {
				c.unit = s[1]
			}
			break
		}
	}
	if c.unit == "" { // the header may carry a unit beside a role-like word: "How much (in)"
		if _, bracket := plainHeader(header); bracket != "" {
			if u, ok := unitWord(bracket); ok {
				c.unit = u
			}
		}
	}
	for h, u := range m.Units {
		if strings.EqualFold(strings.TrimSpace(h), c.header) {
			c.unit = u
		}
	}
	name, _ := plainHeader(header)
	isRole := slices.ContainsFunc(roleWords, func(r struct {
		role  role
		words []string
	}) bool {
		return slices.Contains(r.words, name)
	})
	return c, isRole || len(c.fields) > 0
}

func isKey(kind string, list []int, name string) bool {
	k, _ := journal.KindNamed(kind)
	return slices.ContainsFunc(list, func(i int) bool {
		n, _ := plainHeader(k.Fields[i].Key)
		return n == name && k.Fields[i].Key != k.Fields[i].Bare
	})
}

// columns reads a header row. Unknown headers over filled columns are told.
func columns(cells []cell, m Map, fixedKind bool) (cols []column, unknown []column, known int) {
	for i, c := range cells {
		if strings.TrimSpace(c.text) == "" {
			continue
		}
		col, ok := resolve(c.text, m)
		col.at = i
		if ok {
			known++
			cols = append(cols, col)
		} else {
			unknown = append(unknown, col)
		}
	}
	taken := map[int]bool{}
	for i := range cols {
		taken[i] = cols[i].role != roleField
	}
	for _, r := range roleWords {
		if slices.ContainsFunc(cols, func(c column) bool { return c.role == r.role && r.role != roleIgnored }) {
			continue
		}
		if r.role == roleKind && fixedKind {
			continue
		}
	words:
		for _, w := range r.words {
			for i := range cols {
				if name, _ := plainHeader(cols[i].header); name == w && !taken[i] && cols[i].key == "" {
					taken[i] = true
					cols[i].role = r.role
					break words
				}
			}
		}
	}
	return cols, unknown, known
}

// missingColumns says what a header row lacks.
func missingColumns(cols []column, opt Options) []journal.Problem {
	has := func(r role) bool { return slices.ContainsFunc(cols, func(c column) bool { return c.role == r }) }
	var ps []journal.Problem
	if !has(roleKind) && opt.Kind == "" {
		ps = append(ps, journal.Problem{Field: "kind", Level: journal.Refused, Say: "No column says what was done.",
			Try: `Add a column "What" with words such as fed, watered, reading; or say --kind feed if all rows are feedings.`})
	}
	if !has(roleAt) {
		ps = append(ps, journal.Problem{Field: "at", Level: journal.Refused, Say: "No column says when.", Try: `Add a column "Date".`})
	}
	return ps
}

func unknownColumn(c column) journal.Problem {
	var words []string
	for _, list := range fieldWords {
		for w := range list {
			words = append(words, w)
		}
	}
	for _, r := range roleWords {
		words = append(words, r.words...)
	}
	slices.Sort(words)
	name, _ := plainHeader(c.header)
	try := "If it can be left out, say yes; else name it in a mapping file (--map)."
	if near := journal.Nearest(name, slices.Compact(words)); len(near) > 0 {
		try = fmt.Sprintf("Did you mean %s? ", strings.Join(near, " or ")) + try
	}
	return journal.Problem{Field: c.header, Level: journal.Doubtful, Say: fmt.Sprintf("We do not know what the column %q means; it would be left out.", c.header), Try: try}
}
