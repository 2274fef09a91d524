package web

import (
	"slices"
	"strings"
	"sync"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// texts keeps what a search by words looks through: the sentence of every entry
// in lower case, made once for each system of units, in the order of the
// journal. A state's entries are shared between states, so that only new ones
// are put into words.
type texts struct {
	mutex   sync.Mutex
	made    [2]map[*journal.Entry]string
	ordered [2][]string
	of      [2][]*journal.Entry // the journal that ordered goes with
	strikes journal.Strikes
	known   map[string]bool
}

// refresh gives the texts in the order of the state's journal. The slice is not
// changed afterwards. The lock is held.
func (x *texts) refresh(state *farm.State, units qty.System) []string {
	list := state.Journal()
	if was := x.of[units]; len(was) == len(list) && (len(list) == 0 || &was[0] == &list[0]) {
		return x.ordered[units]
	}
	m := x.made[units]
	if m == nil {
		m = make(map[*journal.Entry]string, len(list))
		x.made[units] = m
	}
	if x.known == nil {
		x.known = map[string]bool{}
	}
	out := make([]string, len(list))
	for i, e := range list {
		text, ok := m[e]
		if !ok {
			text = strings.ToLower(farm.Sentence(e, units) + " " + e.Kind + " " + e.Who + " " + strings.Join(farm.Subjects(e), " ") + " " + e.ID)
			m[e] = text
			if !x.known[e.ID] {
				x.known[e.ID] = true
				x.strikes.Add(e)
			}
		}
		out[i] = text
	}
	x.ordered[units], x.of[units] = out, list
	return out
}

func (x *texts) struck(id string) bool {
	x.mutex.Lock()
	defer x.mutex.Unlock()
	return x.strikes.Struck(id)
}

// search is farm.State.Search, with the sentences of entries at hand where
// words are looked for.
func (s *Server) search(state *farm.State, q farm.Search, units qty.System) ([]farm.Line, bool) {
	words := strings.Fields(strings.ToLower(q.Text))
	if len(words) == 0 {
		return state.Search(q, units)
	}
	x := &s.texts
	x.mutex.Lock()
	lines := x.refresh(state, units)
	x.mutex.Unlock()
	list := state.Journal()
	var out []farm.Line
	skip := q.Skip
next:
	for i := len(list) - 1; i >= 0; i-- {
		e := list[i]
		if q.Kind != "" && e.Kind != q.Kind || !q.To.IsZero() && !e.At.Before(q.To) {
			continue
		}
		if !q.From.IsZero() && e.At.Before(q.From) {
			break
		}
		text := lines[i]
		for _, w := range words {
			if !strings.Contains(text, w) {
				continue next
			}
		}
		struck := x.struck(e.ID)
		if !q.Struck && (struck || e.Kind == "strike") || q.Who != "" && !strings.EqualFold(e.Who, q.Who) || q.Subject != "" && !slices.Contains(farm.Subjects(e), q.Subject) {
			continue
		}
		if skip > 0 {
			skip--
			continue
		}
		if len(out) == q.Limit {
			return out, true
		}
		out = append(out, farm.Line{Entry: e, Say: farm.Sentence(e, units), Struck: struck})
	}
	return out, false
}

// Warm reads what the first search and the first working would wait for.
func (s *Server) Warm() {
	state := s.Farm.State()
	s.texts.mutex.Lock()
	s.texts.refresh(state, state.Settings.Units)
	s.texts.mutex.Unlock()
	if _, err := s.figures(); err != nil {
		s.Log.Error("the figures cannot be read", "error", err.Error())
	}
}
