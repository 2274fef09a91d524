package farm

import (
	"slices"
	"time"

	"wormyard/barn"
	"wormyard/journal"
)

type doubtKey struct{ about, kind string }

// raise keeps a doubt, or makes the one of the same kind about the same thing newer.
func (s *State) raise(e *journal.Entry, about, kind, say, try string) {
	k := doubtKey{about, kind}
	d := Doubt{About: about, Kind: kind, Say: say, Try: try, Noted: noted(e), Times: 1}
	if old := s.doubts[k]; old != nil {
		d.Times += old.Times
	}
	s.doubts[k] = &d
}

// settle drops a doubt that a later entry answers.
func (s *State) settle(about, kind string) { delete(s.doubts, doubtKey{about, kind}) }

// Doubts gives what does not fit in the journal, newest first.
func (s *State) Doubts() []Doubt {
	out := make([]Doubt, 0, len(s.doubts))
	for _, d := range s.doubts {
		out = append(out, *d)
	}
	slices.SortFunc(out, func(a, b Doubt) int {
		if c := b.At.Compare(a.At); c != 0 {
			return c
		}
		if c := barn.Natural(a.About, b.About); c != 0 {
			return c
		}
		return barn.Natural(a.Kind, b.Kind)
	})
	return out
}

func noted(e *journal.Entry) Noted {
	return Noted{Entry: e.ID, At: e.At, Who: e.Who, Words: words(e.Body) != ""}
}

// words gives the note of an act on a bed or of a look into it.
func words(body any) string {
	switch b := body.(type) {
	case *journal.Feed:
		return b.Note
	case *journal.Water:
		return b.Note
	case *journal.Turn:
		return b.Note
	case *journal.Look:
		return b.Note
	}
	return ""
}

// date prints a day as people say it: "3 March 2026".
func (s *State) date(t time.Time) string { return t.In(s.Zone()).Format("2 January 2006") }
