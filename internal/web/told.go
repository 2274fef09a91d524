package web

import (
	"strings"

	"wormyard/internal/source"
	"wormyard/round"
)

// What the core says in English is told in the reader's language here and by
// "told" in the templates (docs/adr/0030).

// material names a material in the reader's language: by what the library calls it, and as
// it was typed where that is nothing of it.
func (p person) material(typed string) string {
	library, err := source.Library()
	if err != nil {
		return typed
	}
	m, err := library.Find(typed)
	if err != nil {
		return typed
	}
	if say := p.Words.Material(m.Name); say != m.Name {
		return say
	}
	return typed
}

// about gives what a doubt is about, "Bin B12": the word and the painted name.
func (p person) about(s string) string {
	word, name, _ := strings.Cut(s, " ")
	return strings.TrimSpace(sentence(p.Told(word)) + " " + name)
}

// tellList puts into the reader's language what a list has from the core in
// English: advice on piles.
func (p person) tellList(l *round.List) {
	for i := range l.Lines {
		x := &l.Lines[i]
		x.Reason, x.Caution = p.Told(x.Reason), p.Told(x.Caution)
		for n := range x.Items {
			y := &x.Items[n]
			y.Reason, y.Caution = p.Told(y.Reason), p.Told(y.Caution)
		}
	}
}

// tell puts what is wrong with an entry into the reader's language.
func (o *outboxResult) tell(p person) {
	for i := range o.Problems {
		x := &o.Problems[i]
		x.Say, x.Try = p.Told(x.Say), p.Told(x.Try)
	}
}
