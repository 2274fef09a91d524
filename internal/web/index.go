package web

import (
	"strings"
	"sync"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// index finds entries of the journal without walking it: by what they are about,
// and by the words of their sentence in lower case. Pictures of the
// farm share their entries, so that only new ones are looked at; one that
// comes late moves the others, and the places are numbered anew.
type index struct {
	mutex    sync.Mutex
	of       []*journal.Entry             // the journal that the places below go with
	subjects map[string][]int32           // places in the journal of what is about a bin, pile, batch
	made     [2]map[*journal.Entry]string // texts in each system of units
	texts    [2][]string                  // the same in the order of the journal
	textsOf  [2][]*journal.Entry
}

// refresh takes the places of a state's journal in. The lock is held.
func (x *index) refresh(state *farm.State) {
	list := state.Journal()
	from := len(x.of)
	if x.subjects == nil || len(list) < from || from > 0 && (&list[0] != &x.of[0] || list[from-1] != x.of[from-1]) {
		from, x.subjects = 0, map[string][]int32{}
	}
	for i := from; i < len(list); i++ {
		for _, subject := range farm.Subjects(list[i]) {
			x.subjects[subject] = append(x.subjects[subject], int32(i))
		}
	}
	x.of = list
}

// spoken gives the texts of a state's journal in its order. The slice is not
// changed afterwards. The lock is held.
func (x *index) spoken(state *farm.State, units qty.System) []string {
	list := state.Journal()
	if was := x.textsOf[units]; len(was) == len(list) && (len(list) == 0 || &was[0] == &list[0]) {
		return x.texts[units]
	}
	m := x.made[units]
	if m == nil {
		m = make(map[*journal.Entry]string, len(list))
		x.made[units] = m
	}
	out := make([]string, len(list))
	for i, e := range list {
		text, ok := m[e]
		if !ok {
			text = farm.SearchText(e, farm.Sentence(e, units))
			m[e] = text
		}
		out[i] = text
	}
	x.texts[units], x.textsOf[units] = out, list
	return out
}

// entry gives an entry by its id, and whether it counts.
func (s *Server) entry(id string) (e *journal.Entry, counts, found bool) {
	return s.Farm.State().Entry(id)
}

// search is farm.State.Search by way of the index: only what is about the
// subject is looked at, and a page far down is gone to at once where nothing
// is left out on the way.
func (s *Server) search(state *farm.State, q farm.Search, units qty.System) ([]farm.Line, bool) {
	x := &s.index
	list := state.Journal()
	words := strings.Fields(strings.ToLower(q.Text))
	var texts []string
	x.mutex.Lock()
	x.refresh(state)
	places := x.subjects[q.Subject]
	if len(words) > 0 {
		texts = x.spoken(state, units)
	}
	x.mutex.Unlock()
	n, place := len(list), func(i int) int { return i }
	if q.Subject != "" {
		n, place = len(places), func(i int) int { return int(places[i]) }
	}
	skip := q.Skip
	if len(words) == 0 && q.Kind == "" && q.Who == "" && q.Struck && q.To.IsZero() {
		n, skip = max(0, n-skip), 0
	}
	var out []farm.Line
	for i := n - 1; i >= 0; i-- {
		e := list[place(i)]
		if !q.From.IsZero() && e.At.Before(q.From) {
			break
		}
		struck := state.Struck(e.ID)
		if !q.Admits(e, struck) || !q.To.IsZero() && !e.At.Before(q.To) || len(words) > 0 && !farm.HoldsAll(texts[place(i)], words) {
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
	s.index.mutex.Lock()
	s.index.refresh(state)
	s.index.spoken(state, state.Settings.Units)
	s.index.mutex.Unlock()
	if _, err := s.figures(); err != nil {
		s.Log.Error("the figures cannot be read", "error", err.Error())
	}
}
