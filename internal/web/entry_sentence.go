package web

import (
	"strings"
	"unicode"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/journal"
)

// sentence tells an entry in the person's language. Package farm has whole
// sentences in English; another language gets the kind with what was filled in,
// each under its label, since a sentence put together from pieces would be
// wrong in half of its cases.
func (p person) sentence(e *journal.Entry) string {
	if say := p.remedySentence(e); say != "" {
		return say
	}
	if b, ok := e.Body.(*journal.Release); ok { // under its name, which package farm does not know
		return p.Say("release.told", b.Lot, p.ruleNamed(b.Rule))
	}
	kind, ok := p.kindNamed(e.Kind)
	if !ok || !p.Words.Has("kind."+e.Kind) {
		return farm.Sentence(e, p.Units)
	}
	var said []string
	for _, f := range entryFacts(p, e) {
		switch {
		case f.Working == "bins":
			said = append(said, barn.Spoken(strings.Split(f.Value, p.Say("list.comma"))))
		case f.Working == "bin" || f.Working == "subject" || f.Working == "note" || f.Working == "key":
			said = append(said, f.Value)
		case f.Working == "value" && e.Kind == "setting":
		case e.Kind == "sell" && (f.Working == "order" || f.Working == "line" || f.Working == "delivery"): // what the program ties sales together by
		default:
			said = append(said, p.Say("entry.field", lowered(f.Name), f.Value))
		}
	}
	if len(said) == 0 {
		return p.Say("entry.plain", kind.Words)
	}
	return p.Say("entry.line", kind.Words, strings.Join(said, p.Say("list.semicolon")))
}

// lowered begins a label small within a line, unless it is a short form: "pH".
func lowered(label string) string {
	r := []rune(label)
	if len(r) > 1 && unicode.IsUpper(r[1]) {
		return label
	}
	return strings.ToLower(string(r[:1])) + string(r[1:])
}
