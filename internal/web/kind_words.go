package web

import (
	"slices"

	"wormyard/journal"
)

// The words of kinds stand in package journal in English. Another language has
// them in its catalogue: "kind.feed", "kind.feed.depth_m", "choice.side.left".

// kindNamed finds a kind with its words in the person's language.
func (p person) kindNamed(name string) (journal.Kind, bool) {
	k, ok := journal.KindNamed(name)
	if !ok {
		return k, false
	}
	return p.spokenKind(k), true
}

// kinds gives every kind with its words in the person's language.
func (p person) kinds() []journal.Kind {
	all := journal.Kinds()
	for i, k := range all {
		all[i] = p.spokenKind(k)
	}
	return all
}

func (p person) spokenKind(k journal.Kind) journal.Kind {
	at := "kind." + k.Name
	if !p.Words.Has(at) {
		return k
	}
	k.Words, k.Help = p.wordOr(k.Words, at), p.wordOr(k.Help, at+".help")
	k.Fields = p.spokenFields(at+".", k.Fields)
	return k
}

func (p person) spokenFields(at string, list []journal.Field) []journal.Field {
	out := slices.Clone(list)
	for i, f := range out {
		out[i].Label = p.wordOr(f.Label, at+f.Key, "kind.any."+f.Key)
		if f.Help != "" {
			out[i].Help = p.wordOr(f.Help, at+f.Key+".help", "kind.any."+f.Key+".help")
		}
		out[i].Item = p.spokenFields(at+f.Key+".", f.Item)
	}
	return out
}

// choice says what a choice of a field is called; what is stored stays as it is.
func (p person) choice(field, stored string) string {
	return p.wordOr(stored, "choice."+field+"."+stored)
}

// declared says the treatments that a pile was declared to have had.
func (p person) declared(stored []string) []string {
	out := make([]string, len(stored))
	for i, d := range stored {
		out[i] = p.choice("declared", d)
	}
	return out
}

// choices are the options of a field that takes one or several of a list.
func (p person) choices(f journal.Field) []Option {
	out := plainOptions(f.Choices...)
	for i, o := range out {
		out[i].Label = p.choice(f.Key, o.Value)
	}
	return out
}

// wordOr gives the sentence of the first key that the catalogue has.
func (p person) wordOr(otherwise string, keys ...string) string {
	for _, key := range keys {
		if p.Words.Has(key) {
			return p.Say(key)
		}
	}
	return otherwise
}
