package farm

import (
	"fmt"
	"slices"

	"wormyard/journal"
)

// remedy begins one. One against the same cause that is under way ends with it.
func (f *folding) remedy(e *journal.Entry, b *journal.Remedy) {
	for _, name := range b.Bins {
		bin := f.bin(e, name)
		if bin == nil {
			continue
		}
		if r := ownRemedy(bin, b.Cause); r != nil {
			r.Ended = &RemedyHeard{noted(e), "anew"}
		}
		bin.Remedies = append(bin.Remedies, Remedy{Noted: noted(e), Cause: b.Cause, Steps: b.Steps, Sighting: b.Sighting})
	}
}

// outcome tells of the remedy under way against a cause. Better leaves it under
// way; gone, the same and worse end it, as does giving it up.
func (f *folding) outcome(e *journal.Entry, b *journal.Outcome) {
	for _, name := range b.Bins {
		bin := f.bin(e, name)
		if bin == nil {
			continue
		}
		r := ownRemedy(bin, b.Cause)
		if r == nil {
			f.raise(e, "bin "+name, "no remedy", fmt.Sprintf("It was told on %s what became of a remedy in bin %s, and the journal knows of none that was under way.", f.date(e.At), name),
				"Write down the remedy with its day, or strike what was told.")
			continue
		}
		heard := RemedyHeard{noted(e), b.Said}
		switch b.Said {
		case "done":
			for _, step := range b.Steps {
				r.Done = append(slices.Clip(r.Done), RemedyDone{noted(e), step})
			}
			continue
		case "gone", "better", "same", "worse":
			r.Said = append(slices.Clip(r.Said), heard)
		}
		if b.Said != "better" {
			r.Ended = &heard
		}
	}
}

// ownRemedy gives the remedy under way against a cause to change, nil when there
// is none. The list is made anew, since pictures of the farm share it.
func ownRemedy(bin *Bin, cause string) *Remedy {
	bin.Remedies = slices.Clone(bin.Remedies)
	for i := len(bin.Remedies) - 1; i >= 0; i-- {
		if r := &bin.Remedies[i]; r.Cause == cause && bin.ended(r) == nil {
			return r
		}
	}
	return nil
}
