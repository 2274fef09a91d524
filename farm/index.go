package farm

import (
	"sync"

	"wormyard/journal"
)

// index finds entries by id. A farm shares it with its pictures, which are asked
// while the farm takes in more.
type index struct {
	mu sync.RWMutex
	of map[string]*journal.Entry
}

// add takes in entries and calls with those whose id is new.
func (x *index) add(entries []journal.Entry, fresh func(*journal.Entry)) {
	x.mu.Lock()
	defer x.mu.Unlock()
	if x.of == nil {
		x.of = make(map[string]*journal.Entry, len(entries))
	}
	for i := range entries {
		e := &entries[i]
		if x.of[e.ID] == nil {
			x.of[e.ID] = e
			fresh(e)
		}
	}
}

// find gives the entry of an id, nil when there is none.
func (x *index) find(id string) *journal.Entry {
	x.mu.RLock()
	defer x.mu.RUnlock()
	return x.of[id]
}
