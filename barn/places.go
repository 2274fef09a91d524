package barn

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"sync"
)

// Places says which bin stands where.
type Places struct {
	at    map[Slot][]string // bins in a slot; more than one only by a slip of the pen
	slots map[string]Slot   // by bin
	high  map[Slot]int      // top level that holds a bin, by stack

	mutex sync.Mutex
	found *index // nil after a bin has moved
}

// NewPlaces gives barns with nothing in them.
func NewPlaces() *Places {
	return &Places{at: map[Slot][]string{}, slots: map[string]Slot{}, high: map[Slot]int{}}
}

// Put stands a bin in a slot. A bin that stood elsewhere leaves there.
func (p *Places) Put(bin string, s Slot) {
	p.Take(bin)
	p.found = nil
	p.slots[bin] = s
	p.at[s] = append(p.at[s], bin)
	slices.SortFunc(p.at[s], Natural)
	if s.InRow() {
		p.high[s.StackKey()] = max(p.high[s.StackKey()], s.Level)
	}
}

// Take takes a bin away.
func (p *Places) Take(bin string) {
	s, ok := p.slots[bin]
	if !ok {
		return
	}
	p.found = nil
	delete(p.slots, bin)
	p.at[s] = slices.DeleteFunc(p.at[s], func(b string) bool { return b == bin })
	if len(p.at[s]) == 0 {
		delete(p.at, s)
	}
	if !s.InRow() {
		return
	}
	top := 0
	for l := 1; l <= p.high[s.StackKey()]; l++ {
		at := s
		if at.Level = l; len(p.at[at]) > 0 {
			top = l
		}
	}
	p.high[s.StackKey()] = top
}

// Slot gives where a bin stands.
func (p *Places) Slot(bin string) (Slot, bool) {
	s, ok := p.slots[bin]
	return s, ok
}

// At gives the bin in a slot, "" when it is free.
func (p *Places) At(s Slot) string {
	if b := p.at[s]; len(b) > 0 {
		return b[0]
	}
	return ""
}

// Stack gives the bins of the stack that a slot is in, from the floor up.
func (p *Places) Stack(s Slot) []string {
	if !s.InRow() {
		return nil
	}
	key, out := s.StackKey(), []string(nil)
	top := p.high[key]
	for l := 1; l <= top; l++ {
		key.Level = l
		out = append(out, p.at[key]...)
	}
	return out
}

// Above gives the bins that stand on a bin, the nearest first: what the truck
// lifts off before it can be looked into.
func (p *Places) Above(bin string) []string {
	s, ok := p.slots[bin]
	if !ok || !s.InRow() {
		return nil
	}
	var out []string
	for l, top := s.Level+1, p.high[s.StackKey()]; l <= top; l++ {
		s.Level = l
		out = append(out, p.at[s]...)
	}
	return out
}

// Below gives the bins under a bin, the nearest first.
func (p *Places) Below(bin string) []string {
	s, ok := p.slots[bin]
	if !ok || !s.InRow() {
		return nil
	}
	var out []string
	for l := s.Level - 1; l >= 1; l-- {
		s.Level = l
		out = append(out, p.at[s]...)
	}
	return out
}

// Bins lists the bins as a crew walks.
func (p *Places) Bins() []string {
	out := slices.Collect(maps.Keys(p.slots))
	slices.SortFunc(out, func(a, b string) int {
		if c := p.slots[a].Compare(p.slots[b]); c != 0 {
			return c
		}
		return Natural(a, b)
	})
	return out
}

// Crowded lists the slots in which more than one bin stands by the journal, and
// those bins.
func (p *Places) Crowded() map[Slot][]string {
	out := map[Slot][]string{}
	for s, bins := range p.at {
		if s.InRow() && len(bins) > 1 {
			out[s] = slices.Clone(bins)
		}
	}
	return out
}

// Called gives what a crew calls a slot: "3-4 top". The words count the bins
// that stand in that stack: low and top of two, low, mid and top of three, low,
// 2nd, 3rd and top of four. A place of a stack of one is "3-4"; a spot off the
// rows has its own name.
func (p *Places) Called(s Slot) string {
	if !s.InRow() {
		return s.Spot
	}
	return s.Called(max(p.high[s.StackKey()], s.Level))
}

// Called gives what a crew calls a slot of a stack with that many levels.
func (s Slot) Called(high int) string {
	if !s.InRow() {
		return s.Spot
	}
	place := s.Row + "-" + strconv.Itoa(s.Stack)
	if high <= 1 {
		return place
	}
	switch {
	case s.Level == high:
		return place + " top"
	case s.Level == 1:
		return place + " low"
	case high == 3:
		return place + " mid"
	case s.Level == 2:
		return place + " 2nd"
	case s.Level == 3:
		return place + " 3rd"
	}
	return fmt.Sprintf("%s %dth", place, s.Level)
}
