package journal

import (
	"fmt"
	"time"
)

// Conflict is the refusal of an entry whose id is taken by one with another content.
type Conflict struct{ Kept, Given *Entry }

// Error tells both contents, so that a person can see what differs.
func (c *Conflict) Error() string {
	return fmt.Sprintf("Entry %s is in the journal already and says something else. It says %s; now it was to say %s. Give the new entry an id of its own, or strike the old one.",
		c.Given.ID, c.Kept.AppendContent(nil), c.Given.AppendContent(nil))
}

// Unwritable is the refusal of an entry that cannot be kept as it is.
type Unwritable struct {
	ID       string
	Problems []Problem
}

// Error tells the first problem.
func (u *Unwritable) Error() string {
	if len(u.Problems) == 0 {
		return "Entry " + u.ID + " cannot be kept."
	}
	return "Entry " + u.ID + ": " + u.Problems[0].Say + " " + u.Problems[0].Try
}

// Audit rechecks a chain link by link. The zero value stands before the first link.
type Audit struct {
	Entries  int       `json:"entries"`
	Links    int       `json:"links"`
	Readings int       `json:"readings"` // entries that stand in blocks
	Kinds    int       `json:"kinds"`
	Struck   int       `json:"struck"` // entries that do not count, filled by Finish
	First    time.Time `json:"first"`  // earliest At
	Last     time.Time `json:"last"`   // latest At
	Head     Hash      `json:"-"`
	Broken   *Break    `json:"broken,omitempty"`

	kinds   map[string]bool
	strikes Strikes
	ids     map[string]bool // targets and strikers, to count what is struck
	last    int64
}

// Break is the first place where the chain does not hold.
type Break struct {
	Seq int64  `json:"seq"`
	ID  string `json:"id"`
	Say string `json:"say"`
}

// Link rechecks one link, the entries it holds and the hash kept with it. After
// a break it only counts.
func (a *Audit) Link(kept Hash, entries ...*Entry) {
	if len(entries) == 0 {
		return
	}
	if a.kinds == nil {
		a.kinds, a.ids = map[string]bool{}, map[string]bool{}
	}
	a.Links++
	for _, e := range entries {
		a.Entries++
		a.kinds[e.Kind] = true
		if len(entries) > 1 {
			a.Readings++
		}
		if a.First.IsZero() || e.At.Before(a.First) {
			a.First = e.At
		}
		if e.At.After(a.Last) {
			a.Last = e.At
		}
		if a.strikes.Add(e) {
			a.ids[e.Strikes] = true
		}
		if e.Seq != a.last+1 {
			a.broken(e, fmt.Sprintf("After entry %d comes entry %d; what stood between is gone.", a.last, e.Seq))
		}
		a.last = e.Seq
	}
	a.Kinds = len(a.kinds)
	want := Link(a.Head, entries[0].Recorded, entries...)
	if want != kept {
		a.broken(entries[0], "The entry, or the order of the entries before it, was changed after the journal took it.")
	}
	a.Head = kept
}

// Finish compares the end of the chain with what the store says it is.
func (a *Audit) Finish(seq int64, head Hash) {
	for id := range a.ids {
		if a.strikes.Struck(id) {
			a.Struck++
		}
	}
	if a.last != seq || a.Head != head {
		a.broken(&Entry{Seq: a.last}, fmt.Sprintf("The journal ends at entry %d; it was last written at entry %d. What came after is gone.", a.last, seq))
	}
}

func (a *Audit) broken(e *Entry, say string) {
	if a.Broken == nil {
		a.Broken = &Break{Seq: e.Seq, ID: e.ID, Say: say}
	}
}
