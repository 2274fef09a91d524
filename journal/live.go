package journal

import "slices"

// Strikes keeps who struck whom, and answers whether an entry counts. A strike
// that is itself struck does nothing, so its target counts again. The answer
// does not depend on the order in which the entries were added. An entry may be
// struck before it arrives. Entries that strike one another in a ring, which
// no honest device can write, do nothing to one another.
type Strikes struct {
	target map[string]string   // striker -> struck
	by     map[string][]string // struck -> strikers
	known  map[string]bool     // answers so far; emptied by Add
}

// Add takes note of an entry. It reports whether the entry strikes another, in
// which case what counts may have changed.
func (s *Strikes) Add(e *Entry) bool {
	if e.Strikes == "" || e.Strikes == e.ID {
		return false
	}
	if s.target == nil {
		s.target, s.by = map[string]string{}, map[string][]string{}
	}
	if _, again := s.target[e.ID]; again {
		return false
	}
	s.target[e.ID] = e.Strikes
	s.by[e.Strikes] = append(s.by[e.Strikes], e.ID)
	s.known = nil
	return true
}

// Struck says whether the entry with this id is struck by one that counts.
func (s *Strikes) Struck(id string) bool {
	by := s.by[id]
	if len(by) == 0 {
		return false
	}
	if v, ok := s.known[id]; ok {
		return v
	}
	ring := s.ring(id)
	struck := false
	for _, striker := range by {
		if ring[striker] && ring[id] {
			continue
		}
		if !s.Struck(striker) {
			struck = true
			break
		}
	}
	if s.known == nil {
		s.known = map[string]bool{}
	}
	s.known[id] = struck
	return struck
}

// By gives the ids of the entries that strike id, struck themselves or not, in id order.
func (s *Strikes) By(id string) []string { return slices.Sorted(slices.Values(s.by[id])) }

// ring gives the entries of the ring that id lies on, or nil. Each entry
// strikes at most one other, so there is at most one way to walk.
func (s *Strikes) ring(id string) map[string]bool {
	if _, strikes := s.target[id]; !strikes {
		return nil
	}
	seen := map[string]bool{id: true}
	for at := s.target[id]; at != ""; at = s.target[at] {
		if at == id {
			return seen
		}
		if seen[at] {
			return nil
		}
		seen[at] = true
	}
	return nil
}

// Live gives the entries that count, in the order of folding: those not struck,
// without the plain strikes, which say nothing of the farm. Any order of the
// same entries gives the same answer; an entry given twice counts once.
func Live(entries []Entry) []*Entry {
	var s Strikes
	for i := range entries {
		s.Add(&entries[i])
	}
	out := make([]*Entry, 0, len(entries))
	for i := range entries {
		if e := &entries[i]; e.Kind != "strike" && !s.Struck(e.ID) {
			out = append(out, e)
		}
	}
	slices.SortFunc(out, Compare)
	return slices.CompactFunc(out, func(a, b *Entry) bool { return a.ID == b.ID })
}
