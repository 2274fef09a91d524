package farm

import (
	"cmp"
	"slices"
	"sort"
	"strings"

	"wormyard/journal"
)

// Farm takes the entries of a journal and keeps the State they add up to. It is
// not safe for use by several goroutines at once; the State it gives is.
//
// Entries are folded in the order of when they happened. One that happened
// before others already folded sets the farm back to the nearest mark before it
// and folds the rest again, so the order of arrival never shows. Marks are
// states kept on the way, dense near now and sparse in the past; they share all
// that did not change between them.
type Farm struct {
	trade   Trade
	known   *index
	strikes journal.Strikes
	struck  map[string]bool  // ids that do not count, shared with pictures
	entries []*journal.Entry // in the order of happening
	work    *State
	shown   *State // the last picture given, until the next change
	marks   []mark
	every   int // least number of entries between marks
}

// mark is the state before entry n.
type mark struct {
	n     int
	state *State
}

// markEvery is the least number of entries between marks: the most that a late
// entry of today makes us fold again.
const markEvery = 512

// New gives a farm of which nothing is known yet.
func New(trade Trade) *Farm {
	return &Farm{
		trade: trade, every: markEvery, known: new(index), struck: map[string]bool{},
		work: &State{
			barns: map[string]*Barn{}, bins: map[string]*Bin{}, piles: map[string]*Pile{},
			batches: map[string]*Batch{}, lots: map[string]*Lot{}, doubts: map[doubtKey]*Doubt{}, usual: trade.Usual, limits: trade.Limits, epoch: 1,
		},
	}
}

// Apply folds entries, in any order and any number of times: an entry whose id
// is known changes nothing. The slice and the bodies are kept and must not be
// changed afterwards.
func (f *Farm) Apply(entries []journal.Entry) {
	fresh := make([]*journal.Entry, 0, len(entries))
	from := len(f.entries)
	f.known.add(entries, func(e *journal.Entry) {
		fresh = append(fresh, e)
		f.strikes.Add(e)
	})
	if len(fresh) == 0 {
		return
	}
	f.shown = nil
	for _, e := range f.restrike(fresh) {
		if i, ok := slices.BinarySearchFunc(f.entries, e, order); ok {
			from = min(from, i)
		}
	}
	if !slices.IsSortedFunc(fresh, order) {
		slices.SortFunc(fresh, order)
	}
	first, _ := slices.BinarySearchFunc(f.entries, fresh[0], order)
	from = min(from, first)
	if first == len(f.entries) {
		f.entries = append(f.entries, fresh...)
	} else {
		f.entries = merged(f.entries, fresh, first)
	}
	f.back(from)
	f.forward()
}

// merged gives old and fresh in one order, in memory that no picture shares;
// all of fresh comes at or after old[first].
func merged(old, fresh []*journal.Entry, first int) []*journal.Entry {
	all := make([]*journal.Entry, 0, len(old)+len(fresh)+len(old)/8)
	all = append(all, old[:first]...)
	i, j := first, 0
	for i < len(old) && j < len(fresh) {
		if order(old[i], fresh[j]) <= 0 {
			all = append(all, old[i])
			i++
		} else {
			all = append(all, fresh[j])
			j++
		}
	}
	return append(append(all, old[i:]...), fresh[j:]...)
}

// restrike settles anew which entries count after fresh ones came, and gives
// those of which it changed. One entry strikes at most one other, so what it
// may change is a chain.
func (f *Farm) restrike(fresh []*journal.Entry) []*journal.Entry {
	var changed []*journal.Entry
	var set map[string]bool // a copy, since pictures share the old one
	for _, e := range fresh {
		if e.Strikes == "" && !f.strikes.Struck(e.ID) {
			continue
		}
		for seen := map[string]bool{}; e != nil && !seen[e.ID]; e = f.known.of[e.Strikes] {
			seen[e.ID] = true
			was, is := f.struck[e.ID], f.strikes.Struck(e.ID)
			if set != nil {
				was = set[e.ID]
			}
			if was == is {
				continue
			}
			if set == nil {
				set = make(map[string]bool, len(f.struck)+8)
				for id := range f.struck {
					set[id] = true
				}
			}
			if is {
				set[e.ID] = true
			} else {
				delete(set, e.ID)
			}
			changed = append(changed, e)
		}
	}
	if set != nil {
		f.struck = set
	}
	return changed
}

// back sets the work back so that no more than the first n entries are folded.
func (f *Farm) back(n int) {
	if f.work.folded <= n {
		return
	}
	i := sort.Search(len(f.marks), func(i int) bool { return f.marks[i].n > n })
	epoch := f.work.epoch
	if i == 0 {
		f.work = New(f.trade).work
	} else {
		f.work = f.marks[i-1].state.thaw()
	}
	clear(f.marks[i:])
	f.marks = f.marks[:i]
	f.work.epoch, f.work.branch = epoch+1, epoch
}

// forward folds what is not folded yet.
func (f *Farm) forward() {
	fold := folding{State: f.work, trade: &f.trade}
	last := 0
	if len(f.marks) > 0 {
		last = f.marks[len(f.marks)-1].n
	}
	for i := f.work.folded; i < len(f.entries); i++ {
		if i-last >= f.every && i-last >= (len(f.entries)-i)/4 {
			f.marks = append(f.marks, mark{i, f.work.freeze()})
			last = i
		}
		if e := f.entries[i]; !f.struck[e.ID] {
			fold.apply(e)
		}
		f.work.folded = i + 1
	}
	f.thin()
}

// thin drops marks of the past that stand closer than a quarter of their
// distance from now.
func (f *Farm) thin() {
	kept, next := len(f.marks), len(f.entries)
	for i := len(f.marks) - 1; i >= 0; i-- {
		m := f.marks[i]
		far := len(f.entries) - m.n
		if kept < len(f.marks) && next-m.n < far/8 && i > 0 {
			continue
		}
		kept--
		f.marks[kept] = m
		next = m.n
	}
	n := copy(f.marks, f.marks[kept:])
	clear(f.marks[n:])
	f.marks = f.marks[:n]
}

// Entry gives an entry by its id, and whether it counts.
func (f *Farm) Entry(id string) (e *journal.Entry, counts, found bool) {
	e, found = f.known.of[id]
	return e, found && !f.struck[id], found
}

// State gives the farm as of all that was applied. The picture never changes.
func (f *Farm) State() *State {
	if f.shown == nil {
		f.shown = f.work.freeze()
		f.shown.journal, f.shown.struck, f.shown.lay = slices.Clip(f.entries), f.struck, new(layout)
		f.shown.graph, f.shown.book = new(graph), new(ledger)
		f.shown.known = f.known
	}
	return f.shown
}

// order is the order of folding: by when it happened, then at one instant by
// what must be there first, then by id. Entries of a sheet often bear only
// their day, so that a bin is built, bedded, stocked and fed at one instant;
// the ids of an import say nothing of which came first.
func order(a, b *journal.Entry) int {
	if c := a.At.Compare(b.At); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(rank(a), rank(b)), strings.Compare(a.ID, b.ID))
}

// rank places a kind among those of one instant: a harvest empties a bin before
// it is bedded anew, and what is done to a bed comes after it was laid.
func rank(e *journal.Entry) int {
	switch b := e.Body.(type) {
	case *journal.Setting:
		return 0
	case *journal.Build:
		if b.State == "retired" {
			return 14
		}
		return 1
	case *journal.Receive:
		return 2
	case *journal.Assay:
		return 3
	case *journal.Tend:
		return 4
	case *journal.Blend:
		return 5
	case *journal.Harvest:
		return 6
	case *journal.Move:
		return 7
	case *journal.Bed:
		return 8
	case *journal.Stock:
		return 9
	case *journal.Screen, *journal.Cure, *journal.Release:
		return 11
	case *journal.Bag:
		return 12
	case *journal.Sell, *journal.WormsSold, *journal.DutyDone:
		return 13
	}
	return 10
}
