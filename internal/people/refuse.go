package people

import (
	"fmt"
	"time"
)

// Why names a reason; the words for it are in the catalogue of the pages.
type Why string

// The reasons.
const (
	WrongName     Why = "wrong"     // name and password do not fit
	WrongPIN      Why = "pin"       // the PIN does not fit; N tries are left
	PINLocked     Why = "locked"    // too many wrong PINs here
	Wait          Why = "wait"      // too many tries; After says how long
	NoName        Why = "noname"    //
	LongName      Why = "longname"  // more than N letters
	TakenName     Why = "taken"     //
	ShortPassword Why = "short"     // fewer than N characters
	LongPassword  Why = "long"      // more than N characters
	EasyPassword  Why = "easy"      // the first that is guessed
	Differ        Why = "differ"    // typed twice, not the same
	OddPIN        Why = "oddpin"    // not N to M digits
	EasyPIN       Why = "easypin"   //
	NoRole        Why = "norole"    //
	LastOwner     Why = "lastowner" //
	HasOwner      Why = "hasowner"  // there is an owner already
	NoInvite      Why = "noinvite"  // used, withdrawn, too old or never there
	Gone          Why = "gone"      // no such person
)

// Problem is one thing that is refused.
type Problem struct {
	Field string // name, password, again, pin, role
	Why   Why
	N, M  int
}

// Refusal is everything that is refused at once.
type Refusal struct {
	Problems []Problem
	After    time.Duration // when it may be tried again, with Wait
}

// Error is for the log; a person reads the words of the catalogue.
func (r *Refusal) Error() string { return fmt.Sprintf("people: refused: %v", r.Problems) }

// Has says whether a refusal has a reason.
func (r *Refusal) Has(why Why) bool {
	for _, p := range r.Problems {
		if p.Why == why {
			return true
		}
	}
	return false
}

func refuse(field string, why Why) *Refusal {
	return &Refusal{Problems: []Problem{{Field: field, Why: why}}}
}

func wait(d time.Duration) *Refusal {
	return &Refusal{Problems: []Problem{{Why: Wait}}, After: d}
}

// sum gives a refusal of several problems, nil for none.
func sum(list []Problem) error {
	if len(list) == 0 {
		return nil
	}
	return &Refusal{Problems: list}
}
