package words

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"wormyard/journal"
)

// Sentences of the core come in English, as the command line and the contracts
// print them: problems, advice, hazards, names of materials. A page tells them
// by Told, which finds the format that a sentence was made from, takes out what
// was filled in, and fills it into the format of the reader's language
// (docs/adr/0030).

// told is a format of the core, ready to be found.
type told struct {
	form    *regexp.Regexp
	last    *regexp.Regexp // the same with as much in its first place as can be
	format  string
	say     string
	letters int
	piece   string // the longest of its own, looked for first since that is quick
}

// A hole in a format, with its number where it has one.
var hole = regexp.MustCompile(`%(?:\[(\d+)\])?([.\d]*[a-z])|%%`)

// fewLetters is a format of which so little is its own that only a trade word
// in its first place makes it certain: "%s is %s."
const fewLetters = 8

var spanishForms = sync.OnceValue(func() []told { return forms(spanishTold) })

func forms(say map[string]string) []told {
	out := make([]told, 0, len(say))
	for format, s := range say {
		var b strings.Builder
		b.WriteString("(?s)^")
		at, letters, piece := 0, 0, ""
		keep := func(own string) {
			if len(own) > len(piece) {
				piece = own
			}
		}
		for _, m := range hole.FindAllStringSubmatchIndex(format, -1) {
			plain := format[at:m[0]]
			keep(plain)
			letters += len(strings.ReplaceAll(plain, " ", ""))
			b.WriteString(regexp.QuoteMeta(plain))
			at = m[1]
			switch verb := format[m[0]:m[1]]; {
			case verb == "%%":
				b.WriteByte('%')
			case verb == "%q":
				b.WriteString(`("(?:[^"\\]|\\.)*")`)
			case verb == "%d" || strings.HasSuffix(verb, "f") || strings.HasSuffix(verb, "g"):
				b.WriteString(`([-+\d.e]+)`)
			default:
				b.WriteString(`(.+?)`)
			}
		}
		keep(format[at:])
		letters += len(strings.ReplaceAll(format[at:], " ", ""))
		b.WriteString(regexp.QuoteMeta(format[at:]) + "$")
		form := regexp.MustCompile(b.String())
		last := form
		if letters < fewLetters {
			last = regexp.MustCompile(strings.Replace(b.String(), "(.+?)", "(.+)", 1))
		}
		out = append(out, told{form, last, format, s, letters, piece})
	}
	slices.SortFunc(out, func(a, b told) int {
		if a.letters != b.letters {
			return b.letters - a.letters
		}
		return strings.Compare(a.format, b.format)
	})
	return out
}

// Told gives sentences of the core in the catalogue's language. One that it
// does not have stays as it is.
func (c *Catalogue) Told(s string) string {
	if c.Language() != "es" || s == "" {
		return s
	}
	return c.told(s, 3)
}

// Material gives the name of a material of the library in the catalogue's language,
// and a name that the farm typed as it is.
func (c *Catalogue) Material(name string) string {
	if _, known := spanishMaterials[name]; !known {
		return name
	}
	return c.Told(name)
}

func (c *Catalogue) told(s string, deep int) string {
	if deep == 0 {
		return s
	}
	if out, ok := c.one(s, deep); ok {
		return out
	}
	if m := labelled.FindStringSubmatch(s); m != nil {
		if out := c.told(m[2], deep-1); out != m[2] {
			return c.filled(m[1], 0) + ": " + out
		}
	}
	parts := sentencesOf(s)
	for i := 0; i < len(parts); i++ {
		for j := len(parts); j > i; j-- {
			if i == 0 && j == len(parts) {
				continue
			}
			if out, ok := c.one(strings.Join(parts[i:j], " "), deep); ok {
				parts = slices.Replace(parts, i, j, out)
				break
			}
		}
	}
	return strings.Join(parts, " ")
}

// one tells a text that was made from one format.
func (c *Catalogue) one(s string, deep int) (string, bool) {
	if es, ok := spanishTold[s]; ok {
		return es, true
	}
	if es, ok := c.trade(s); ok {
		return es, true
	}
	for _, f := range spanishForms() {
		if !strings.Contains(s, f.piece) {
			continue
		}
		m := f.form.FindStringSubmatch(s)
		if m == nil || slices.ContainsFunc(m[1:], runsOn) {
			continue
		}
		if f.letters < fewLetters && strings.HasPrefix(f.format, "%") {
			if _, ok := c.trade(m[1]); !ok { // "Share that is castings is 7 %."
				if m = f.last.FindStringSubmatch(s); m == nil {
					continue
				}
				if _, ok := c.trade(m[1]); !ok {
					continue
				}
			}
		}
		values, n := m[1:], 0
		return hole.ReplaceAllStringFunc(f.say, func(v string) string {
			if v == "%%" {
				return "%"
			}
			at := n
			if g := hole.FindStringSubmatch(v); g[1] != "" {
				at = int(g[1][0] - '1')
			}
			n++
			return c.filled(values[at], deep-1)
		}), true
	}
	return "", false
}

// runsOn says whether what would be filled in holds the end of a sentence and
// the beginning of the next, so that the format is not the right one.
func runsOn(s string) bool {
	return !strings.HasPrefix(s, `"`) && len(sentencesOf(s)) > 1
}

var (
	labelled = regexp.MustCompile(`(?s)^([^":.?]{1,40}): (.+)$`) // what a sentence is about before it
	dated    = regexp.MustCompile(`^(\d{1,2}) ([A-Z][a-z]+)( \d{4})?$`)
	counted  = regexp.MustCompile(`^(about )?([-\d.,½¼¾]+) ([a-z]+)$`)
	amount   = regexp.MustCompile(`^([\d.,½¼¾]+ [a-zA-Z]+\d?) of (.+)$`)
	listed   = regexp.MustCompile(`^(.+) (and|or) ("?[^ ].*)$`)
)

// filled tells a value: a trade word, an amount, a date, a list of these, or a
// sentence of its own. Names stay as they are painted.
func (c *Catalogue) filled(s string, deep int) string {
	if es, ok := c.trade(s); ok {
		return es
	}
	if es, ok := spanishTold[s]; ok { // what limits are about: "enterococci"
		return es
	}
	if m := dated.FindStringSubmatch(s); m != nil {
		if i := slices.Index(English().months[:], m[2]); i >= 0 {
			s = m[1] + " de " + c.months[i]
			if m[3] != "" {
				s += " de" + m[3]
			}
			return s
		}
	}
	if m := counted.FindStringSubmatch(s); m != nil {
		if es, ok := c.trade(m[3]); ok {
			about := ""
			if m[1] != "" {
				about = "unos "
			}
			return about + m[2] + " " + es
		}
	}
	if m := amount.FindStringSubmatch(s); m != nil && !strings.Contains(s, " and ") && !strings.Contains(s, " in place ") {
		return m[1] + " de " + c.filled(m[2], deep)
	}
	if m := listed.FindStringSubmatch(s); m != nil && !strings.Contains(s, ". ") {
		word := " y "
		if m[2] == "or" {
			word = " o "
		}
		if first := c.filled(m[1], 0); first != m[1] { // a name may hold a comma itself
			return first + word + c.filled(m[3], 1)
		}
		before := strings.Split(m[1], ", ")
		for i, x := range before {
			before[i] = c.filled(x, 1)
		}
		return strings.Join(before, ", ") + word + c.filled(m[3], 1)
	}
	if strings.ContainsRune(s, ' ') && !strings.HasPrefix(s, `"`) && deep > 0 {
		return c.told(s, deep)
	}
	return s
}

// trade gives a word of the trade, with a capital letter where it had one.
func (c *Catalogue) trade(s string) (string, bool) {
	es, ok := spanishTrade()[strings.ToLower(s)]
	if !ok {
		return "", false
	}
	r, n := utf8.DecodeRuneInString(es)
	if first, _ := utf8.DecodeRuneInString(s); unicode.IsUpper(first) {
		return string(unicode.ToUpper(r)) + es[n:], true
	}
	if _, known := spanishWords[strings.ToLower(s)]; known {
		return es, true
	}
	return string(unicode.ToLower(r)) + es[n:], true
}

// spanishTrade is every word of the trade by its English in small letters: those
// of spanishWords, materials, and the labels, choices and helps of fields.
var spanishTrade = sync.OnceValue(func() map[string]string {
	out, say := map[string]string{}, Spanish().say
	var fields func(kind, before string, list []journal.Field)
	fields = func(kind, before string, list []journal.Field) {
		for _, f := range list {
			for _, key := range []string{"kind." + kind + "." + before + f.Key, "kind.any." + f.Key} {
				if es, ok := say[key]; ok {
					out[strings.ToLower(f.Label)] = es
					break
				}
			}
			for _, key := range []string{"kind." + kind + "." + before + f.Key + ".help", "kind.any." + f.Key + ".help"} {
				if es, ok := say[key]; ok && f.Help != "" {
					out[strings.ToLower(f.Help)] = es
					break
				}
			}
			for _, choice := range f.Choices {
				if es, ok := say["choice."+f.Key+"."+choice]; ok {
					out[choice] = es
				}
			}
			fields(kind, before+f.Key+".", f.Item)
		}
	}
	for _, k := range journal.Kinds() {
		fields(k.Name, "", k.Fields)
		if es, ok := say["kind."+k.Name]; ok {
			out[strings.ToLower(k.Words)] = es
		}
	}
	for _, m := range []map[string]string{spanishMaterials, spanishWords} {
		for en, es := range m {
			out[strings.ToLower(en)] = es
		}
	}
	return out
})

// short is the end of a text that may be a short form with a number behind it: "No. 3".
var short = regexp.MustCompile(`(?:^|[^\pL\d])[\pL\d]{1,3}$`)

// sentencesOf parts a text where a sentence ends and another begins.
func sentencesOf(s string) []string {
	var out []string
	at, quoted := 0, false
	for i := 0; i < len(s); i++ {
		if s[i] == '"' {
			quoted = !quoted
		}
		if !quoted && (s[i] == '.' || s[i] == '?') && i+2 < len(s) && s[i+1] == ' ' {
			r, _ := utf8.DecodeRuneInString(s[i+2:])
			if unicode.IsUpper(r) || r == '"' || unicode.IsDigit(r) && !short.MatchString(s[at:i]) {
				out = append(out, s[at:i+1])
				at = i + 2
			}
		}
	}
	return append(out, s[at:])
}
