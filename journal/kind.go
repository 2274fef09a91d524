package journal

import (
	"maps"
	"slices"
	"wormyard/qty"
)

// Kind describes one kind of entry. It is the single source for validation,
// import, forms and docs.
type Kind struct {
	Name   string   // as stored: "feed"
	Words  string   // as a person says it: "Feeding"
	Help   string   // one sentence
	Also   []string // what a farmer's own sheet may call it
	Fields []Field
	OneOf  []Group // groups of fields of which one, or at least one, must be there
	New    func() any
}

// A Group is fields that belong together.
type Group struct {
	Keys []string
	Many bool   // more than one may be given
	None bool   // none may be given
	What string // in words: "how much was fed"
}

// Type is what a field holds.
type Type int

// The types of field.
const (
	Text    Type = iota // words
	Name                // the name of one thing; Field.Of says which
	Names               // a list of names
	Number              // a number, in Field.Unit
	Whole               // a whole number
	Flag                // yes or no
	Choice              // one of Field.Choices
	Choices             // several of Field.Choices
	Day                 // a day, 2026-03-01
	Slot                // BARN/ROW/STACK/LEVEL, or a staging spot
	Slots               // a list of them
	Numbers             // a list of numbers
	Sides               // a list of lists of bins
	Table               // a list of rows; Field.Item describes a row
	Any                 // any JSON
)

// Field describes one field of a body.
type Field struct {
	Key      string // JSON key, with unit and basis
	Label    string // of the form and of messages: "Depth of the feed"
	Help     string
	Type     Type
	Unit     string         // stored unit as printed: "m", "kg", "°C"; "" for a plain number
	Dim      *qty.Dimension // set when a person may type a unit
	Bare     string         // key under which a typed quantity with unit is taken: "depth" for depth_m
	Water    bool           // an amount of water: may be typed by volume too
	Of       string         // what a Name names: "bin", "pile", "batch", "lot", "barn", "subject", "place"; "" for ids of entries
	Makes    bool           // the entry makes the named thing, so it need not exist before
	Required bool
	Refused  *Limits // outside: cannot be true, not saved
	Doubtful *Limits // outside: unusual, saved after yes
	Choices  []string
	Also     []string // headers a farmer's own sheet may use
	Item     []Field
}

// Limits is the range a number may lie in, both ends included unless Open.
type Limits struct {
	Low, High float64
	Open      bool   // Low itself lies outside
	Why       string // where the limit comes from
}

// holds says whether v lies in the range.
func (l *Limits) holds(v float64) bool {
	if l == nil {
		return true
	}
	if l.Open && v <= l.Low {
		return false
	}
	return v >= l.Low && v <= l.High
}

// Level is how a problem is taken.
type Level string

// The levels.
const (
	Refused  Level = "refused"  // cannot be true, not saved
	Doubtful Level = "doubtful" // unusual, saved after "yes, that is right"
)

// Problem is one thing wrong with an entry, in words a farmer reads.
type Problem struct {
	Field string `json:"field"`
	Say   string `json:"say"`
	Try   string `json:"try,omitempty"`
	Level Level  `json:"level"`
}

// Kinds gives the descriptors in the order of a farmer's day. The slice is
// fresh; the descriptors must not be changed.
func Kinds() []Kind { return append([]Kind(nil), kinds...) }

// KindNamed finds a descriptor by its stored name.
func KindNamed(name string) (Kind, bool) {
	i, ok := kindIndex[name]
	if !ok {
		return Kind{}, false
	}
	return kinds[i], true
}

// Field finds a field of the kind by its key.
func (k Kind) Field(key string) (Field, bool) {
	for _, f := range k.Fields {
		if f.Key == key {
			return f, true
		}
	}
	return Field{}, false
}

var kindIndex = func() map[string]int {
	m := make(map[string]int, len(kinds))
	for i, k := range kinds {
		m[k.Name] = i
	}
	return m
}()

// KindNames lists the stored names of the kinds, sorted.
func KindNames() []string { return slices.Sorted(maps.Keys(kindIndex)) }
