package words

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"

	"wormyard/journal"
	"wormyard/round"
)

// sources is every sentence that Spanish must have, in English: the catalogue,
// the phrases of a round and the words of the kinds.
func sources() map[string]string {
	out := maps.Clone(English().say)
	maps.Copy(out, round.English())
	for key, s := range kindSources() {
		out[key] = s
	}
	return out
}

// kindSources gives the English words of kinds under the keys of the catalogue.
// A key of one kind alone serves before that of every kind.
func kindSources() map[string]string {
	out := map[string]string{}
	put := func(kind, key, english string) {
		if english == "" {
			return
		}
		if _, ok := spanishKinds["kind."+kind+"."+key]; !ok {
			kind = "any"
			key = key[strings.LastIndex(strings.TrimSuffix(key, ".help"), ".")+1:]
		}
		out["kind."+kind+"."+key] = english
	}
	var fields func(kind, before string, list []journal.Field)
	fields = func(kind, before string, list []journal.Field) {
		for _, f := range list {
			put(kind, before+f.Key, f.Label)
			put(kind, before+f.Key+".help", f.Help)
			for _, c := range f.Choices {
				out["choice."+f.Key+"."+c] = c
			}
			fields(kind, before+f.Key+".", f.Item)
		}
	}
	for _, k := range journal.Kinds() {
		out["kind."+k.Name], out["kind."+k.Name+".help"] = k.Words, k.Help
		fields(k.Name, "", k.Fields)
	}
	return out
}

// alike are sentences that are the same in both languages: names, units, signs.
var alike = regexp.MustCompile(`^(?:[\s\d.,:;()/%+°–²³×-]|%0?2?\w|%\[\d\]\w|\{\d\}|pH|PIN|min|h|cm|mm|in|kg|mg|m|yd|dS/m|kWh|kW|Btu|therms?|W|yd3|id|JSON|CSV|iPhone|iPad|Android|Windows|Mac|Chromebook|Firefox|wormyard|kind|no|Material)*$`)

func TestSpanishIsWhole(t *testing.T) {
	want, have := sources(), Spanish()
	for _, key := range slices.Sorted(maps.Keys(want)) {
		es, ok := have.say[key]
		switch {
		case !ok && strings.HasSuffix(key, ".one") && have.Has(strings.TrimSuffix(key, ".one")):
		case !ok:
			t.Errorf("Spanish lacks %q: %s", key, want[key])
		case es == "" && want[key] != "":
			t.Errorf("%q is empty in Spanish", key)
		case es == want[key] && !alike.MatchString(es):
			t.Errorf("%q is still English: %s", key, es)
		}
	}
	for _, key := range have.Keys() {
		if _, ok := want[key]; !ok && !want1(want, key) {
			t.Errorf("Spanish has %q, which English lacks", key)
		}
	}
}

// want1 says whether a key is the sentence for one thing of a phrase of a round
// that English says alike for one and many.
func want1(want map[string]string, key string) bool {
	many, one := strings.CutSuffix(key, ".one")
	return one && strings.HasPrefix(key, "round.") && want[many] != ""
}

var (
	verbs  = regexp.MustCompile(`%(?:\[(\d+)\])?([a-zA-Z0-9.]*[a-zA-Z]|%)`)
	places = regexp.MustCompile(`\{\d\}`)
)

// valuesOf lists what a sentence takes: verbs by their place, and places in braces.
func valuesOf(s string) []string {
	out := slices.Compact(slices.Sorted(slices.Values(places.FindAllString(s, -1))))
	n := 0
	for _, m := range verbs.FindAllStringSubmatch(strings.ReplaceAll(s, "%%", ""), -1) {
		n++
		place := fmt.Sprint(n)
		if m[1] != "" {
			place = m[1]
		}
		out = append(out, place+m[2])
	}
	slices.Sort(out)
	return out
}

// TestSpanishTakesTheSameValues compares verb by verb, in any order; a plural
// of one thing may leave its number out.
func TestSpanishTakesTheSameValues(t *testing.T) {
	have := Spanish()
	for key, en := range sources() {
		es, ok := have.say[key]
		if !ok {
			continue
		}
		if a, b := valuesOf(en), valuesOf(es); !slices.Equal(a, b) {
			t.Errorf("%q takes %v in English and %v in Spanish: %s", key, a, b, es)
		}
	}
}

// TestSpanishSpeaksSoftly holds the rules of the English.
func TestSpanishSpeaksSoftly(t *testing.T) {
	for key, s := range Spanish().say {
		if strings.ContainsAny(s, "!¡") {
			t.Errorf("%q raises its voice: %s", key, s)
		}
		if strings.Contains(strings.ToLower(s), "inválid") {
			t.Errorf("%q says what is wrong with a word that does not help: %s", key, s)
		}
		if strings.Contains(s, "?") != strings.Contains(s, "¿") {
			t.Errorf("%q lacks a question mark at one end: %s", key, s)
		}
	}
}

// TestNoKeyTwice sees that no part of a catalogue says what another part says.
func TestNoKeyTwice(t *testing.T) {
	for lang, parts := range map[string][]map[string]string{
		"English": {english, englishDoor, englishLabel, englishTrouble, englishBarn, englishWalk, englishHabits, round.English()},
		"Spanish": {spanish, spanishPages, spanishDoor, spanishLabel, spanishTrouble, spanishBarn, spanishWalk, spanishRound, spanishKinds, spanishHabits},
	} {
		seen := map[string]bool{}
		for _, p := range parts {
			for key := range p {
				if seen[key] {
					t.Errorf("%s has %q twice", lang, key)
				}
				seen[key] = true
			}
		}
	}
}

func TestChoose(t *testing.T) {
	all := Languages()
	for _, x := range []struct{ chosen, accept, want string }{
		{"", "", "en"}, {"es", "", "es-US"}, {"en", "es-MX,es;q=0.9", "en"}, {"", "es-MX,es;q=0.9,en;q=0.8", "es-US"},
		{"", "fr,en;q=0.7,es;q=0.8", "es-US"}, {"", "de", "en"}, {"xx", "es", "es-US"}, {"", "es;q=0", "en"}, {"", "es;q=much, en", "en"}, {"", "*", "en"},
	} {
		if got := Choose(all, x.chosen, x.accept).Lang; got != x.want {
			t.Errorf("chosen %q, asked %q: %s, not %s", x.chosen, x.accept, got, x.want)
		}
	}
}
