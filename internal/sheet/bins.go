package sheet

import (
	"fmt"
	"strings"

	"wormyard/barn"
	"wormyard/journal"
)

// binReader finds the bins that the rows of a file mean, by all the ways in which
// a crew writes a painted name. Places are not taken: a bin moves, and a file
// tells of days on which another one stood there.
type binReader struct {
	facts *journal.Facts
	names *barn.Names
	read  map[string]found
}

type found struct {
	bins []string
	e    *barn.SelectError
}

func newBinReader(facts *journal.Facts) *binReader {
	return &binReader{facts: facts, names: barn.NewNames(facts.Names("bin")), read: map[string]found{}}
}

// put puts the painted names into an entry, and says which names are not clear, by
// the fields they stand in. A name that no bin has is left to the check of the
// entry, unless it is a place.
func (b *binReader) put(e *journal.Entry) map[string]journal.Problem {
	var out map[string]journal.Problem
	journal.Rename(e, func(field, name string, many bool) []string {
		if b.facts.Has("bin", name) {
			return nil
		}
		f, ok := b.read[name]
		if !ok {
			f.bins, f.e = b.names.Read(name)
			b.read[name] = f
		}
		p := journal.Problem{Field: field, Level: journal.Refused}
		switch {
		case f.e == nil && (many || len(f.bins) == 1):
			return f.bins
		case f.e == nil:
			p.Say, p.Try = fmt.Sprintf("%q is %d bins; one is wanted here.", name, len(f.bins)), "Write a row for each bin."
		case f.e.Clear():
			p.Say, p.Try = f.e.Say, f.e.Try
		case isPlace(name):
			p.Say, p.Try = fmt.Sprintf("%q is a place, and bins move.", name), "Write the name that is painted on the bin."
		default:
			return nil
		}
		if out == nil {
			out = map[string]journal.Problem{}
		}
		out[field] = p
		return nil
	})
	return out
}

// isPlace says whether a name reads as row, stack and level: "3-4-2", "3-4 top".
func isPlace(name string) bool {
	words := strings.Fields(barn.Key(name))
	if len(words) < 2 {
		return false
	}
	switch words[len(words)-1] {
	case "top", "mid", "low":
		return true
	}
	digits := 0
	for _, w := range words {
		if w[0] >= '0' && w[0] <= '9' {
			digits++
		}
	}
	return digits > 1
}
