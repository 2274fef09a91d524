package farm

import (
	"slices"
	"strings"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// Search asks the journal. Everything that is given must hold.
type Search struct {
	Text    string    // words, each somewhere in the entry's sentence, kind, names or writer
	Kind    string    // of entry
	Subject string    // "bin B12", "pile chips", "batch 41", "lot 7", "barn North"
	Who     string    //
	From    time.Time // happened at or after; zero is always
	To      time.Time // happened before; zero is always
	Struck  bool      // struck entries and strikes too
	Skip    int       // how many to leave out, for the next page
	Limit   int       // how many to give, 0 for 100
}

// Line is one entry of the journal as a person reads it.
type Line struct {
	Entry  *journal.Entry // read only
	Say    string
	Struck bool // it does not count
}

// Search gives the entries that fit, the newest first, and whether there are more.
func (s *State) Search(q Search, u qty.System) ([]Line, bool) {
	limit := q.Limit
	if limit <= 0 {
		limit = 100
	}
	words := strings.Fields(strings.ToLower(q.Text))
	what, name, _ := strings.Cut(q.Subject, " ")
	var out []Line
	skip := q.Skip
	last := len(s.journal)
	if !q.To.IsZero() {
		last, _ = slices.BinarySearchFunc(s.journal, q.To, func(e *journal.Entry, t time.Time) int { return e.At.Compare(t) })
	}
	for i := last - 1; i >= 0; i-- {
		e := s.journal[i]
		if !q.From.IsZero() && e.At.Before(q.From) {
			break
		}
		struck := s.struck[e.ID]
		if !q.Admits(e, struck) || q.Subject != "" && !is(e, what, name) {
			continue
		}
		say := ""
		if len(words) > 0 {
			say = Sentence(e, u)
			if !HoldsAll(SearchText(e, say), words) {
				continue
			}
		}
		if skip > 0 {
			skip--
			continue
		}
		if len(out) == limit {
			return out, true
		}
		if say == "" {
			say = Sentence(e, u)
		}
		out = append(out, Line{e, say, struck})
	}
	return out, false
}

// Admits says whether an entry is of the kind, by the writer and in the standing
// that are asked for. Times, subject and words are not looked at.
func (q *Search) Admits(e *journal.Entry, struck bool) bool {
	return (q.Struck || !struck && e.Kind != "strike") && (q.Kind == "" || e.Kind == q.Kind) && (q.Who == "" || strings.EqualFold(e.Who, q.Who))
}

// SearchText gives what the words of a search are looked for in, of an entry and
// its sentence, in lower case.
func SearchText(e *journal.Entry, say string) string {
	return strings.ToLower(say + " " + e.Kind + " " + e.Who + " " + strings.Join(Subjects(e), " ") + " " + e.ID)
}

// HoldsAll says whether every word stands somewhere in a text.
func HoldsAll(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// Timeline tells what happened to a bin, the newest first.
func (s *State) Timeline(bin string, u qty.System, limit int) []Line {
	lines, _ := s.Search(Search{Subject: "bin " + bin, Limit: limit}, u)
	return lines
}

// Entry gives an entry by its id, and whether it counts.
func (s *State) Entry(id string) (e *journal.Entry, counts, found bool) {
	if s.known == nil {
		return nil, false, false
	}
	if e = s.known.find(id); e == nil {
		return nil, false, false
	}
	if _, here := slices.BinarySearchFunc(s.journal, e, order); !here { // it came after the picture
		return nil, false, false
	}
	return e, !s.struck[id], true
}

// Struck says whether an entry does not count because it was struck.
func (s *State) Struck(id string) bool { return s.struck[id] }

// StrikersOf gives the entries that strike an entry, struck themselves or not,
// the newest first.
func (s *State) StrikersOf(id string) []*journal.Entry {
	var out []*journal.Entry
	for i := len(s.journal) - 1; i >= 0; i-- {
		if s.journal[i].Strikes == id {
			out = append(out, s.journal[i])
		}
	}
	return out
}

// Journal gives all entries in the order of happening, struck ones too. Read only.
func (s *State) Journal() []*journal.Entry { return s.journal }

// Link says that one thing went into another: "pile chips" into "batch 41",
// "batch 41" into "bed B12 2025-03-01", that into "lot 7".
type Link struct{ From, To string }

// Links gives the genealogy of all lots, beds and batches as a graph.
func (s *State) Links() []Link {
	var out []Link
	for _, b := range s.Batches() {
		seen := map[string]bool{}
		for _, p := range b.Parts {
			if !seen[p.Pile] {
				seen[p.Pile] = true
				out = append(out, Link{"pile " + p.Pile, "batch " + b.Name})
			}
		}
	}
	bed := func(id string, batches, lots []string) {
		for _, b := range batches {
			out = append(out, Link{"batch " + b, "bed " + id})
		}
		for _, l := range lots {
			out = append(out, Link{"bed " + id, "lot " + l})
		}
	}
	for _, b := range s.Bins() {
		for _, p := range b.Past {
			bed(p.ID, p.Batches, p.Lots)
		}
		if b.Bed != nil {
			bed(b.Bed.ID, b.Bed.batches, b.Bed.lots)
		}
	}
	return out
}

// Back gives everything that went into a thing ("lot 7"), over any number of
// steps, in the order of Links; Forward everything it went into.
func (s *State) Back(of string) []string { return walk(s.Links(), of, true) }

// Forward gives everything that a thing went into, over any number of steps.
func (s *State) Forward(of string) []string { return walk(s.Links(), of, false) }

func walk(links []Link, of string, back bool) []string {
	var out []string
	seen := map[string]bool{of: true}
	for todo := []string{of}; len(todo) > 0; todo = todo[1:] {
		for _, l := range links {
			from, to := l.From, l.To
			if back {
				from, to = to, from
			}
			if from == todo[0] && !seen[to] {
				seen[to] = true
				out, todo = append(out, to), append(todo, to)
			}
		}
	}
	return out
}
