package farm

import (
	"time"

	"wormyard/journal"
)

// Answered is what somebody said of a feeding that nobody wrote down.
type Answered struct {
	Noted
	Day  string // YYYY-MM-DD
	Said string // fed, not fed, not known
}

// AnsweredSince gives by bin what was answered at a time or later about feedings
// that nobody wrote down. Struck entries do not count.
func (s *State) AnsweredSince(from time.Time) map[string][]Answered {
	out := map[string][]Answered{}
	for i := len(s.journal) - 1; i >= 0 && !s.journal[i].At.Before(from); i-- {
		e := s.journal[i]
		b, ok := e.Body.(*journal.Answer)
		if !ok {
			continue
		}
		if _, counts, _ := s.Entry(e.ID); !counts {
			continue
		}
		for _, bin := range b.Bins {
			out[bin] = append(out[bin], Answered{noted(e), b.Day, b.Said})
		}
	}
	return out
}
