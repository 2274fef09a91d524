package words

import (
	"strings"
	"unicode"
)

// Marks of Unicode's bidirectional algorithm (UAX 9): the beginning of a piece
// whose own first letter says in which direction it runs, and the end of one.
const (
	isolateLeft  = '\u2066'
	isolateRight = '\u2067'
	isolateFirst = '\u2068'
	isolateEnd   = '\u2069'
)

// Isolated gives text that people typed so that its direction of writing stays
// with it: a name in Arabic does not turn the number after it round, and a mark
// that turns what follows ends with the text. Text that runs from left to right
// stays as it is, and so does a sentence whose pieces are isolated already.
func Isolated(s string) string {
	if strings.IndexFunc(s, turns) < 0 {
		return s
	}
	var out strings.Builder
	open, outside := 0, false
	for _, r := range s {
		switch {
		case r == isolateLeft || r == isolateRight || r == isolateFirst:
			open++
		case r == isolateEnd && open == 0:
			continue // would end what is not its own
		case r == isolateEnd:
			open--
		case open == 0 && turns(r):
			outside = true
		}
		out.WriteRune(r)
	}
	whole := out.String() + strings.Repeat(string(isolateEnd), open)
	if !outside {
		return whole
	}
	return string(isolateFirst) + whole + string(isolateEnd)
}

// turns says whether a letter or a mark runs from right to left or changes the
// direction of what stands beside it.
func turns(r rune) bool {
	if r < 0x0590 { // the first letter that does (Unicode, Hebrew)
		return false
	}
	return unicode.In(r, unicode.Bidi_Control, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko, unicode.Samaritan, unicode.Mandaic, unicode.Adlam, unicode.Mende_Kikakui, unicode.Hanifi_Rohingya)
}

// isolated gives the values of a sentence with what was typed in them isolated.
func isolated(values []any) []any {
	for i, v := range values {
		s, ok := v.(string)
		if !ok {
			continue
		}
		if t := Isolated(s); t != s {
			values = append([]any(nil), values...) // the caller's stay as they are
			values[i] = t
		}
	}
	return values
}
