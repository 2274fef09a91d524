package farm

import "time"

// Remedy is what was decided against a trouble in a bin, and what became of it.
type Remedy struct {
	Noted
	Cause    string // one of journal.Causes
	Steps    []string
	Sighting string        // entry that it began with, empty for none
	Done     []RemedyDone  // steps, as somebody ticked them
	Said     []RemedyHeard // whether it helped, in order
	Ended    *RemedyHeard  // nil while it is under way
}

// RemedyDone is a step of a remedy that was done.
type RemedyDone struct {
	Noted
	Step string
}

// RemedyHeard is what somebody said of a remedy: dropped, gone, better, same,
// worse; "anew" where the same was begun once more, "emptied" where its bed ended.
type RemedyHeard struct {
	Noted
	Said string
}

// ended says how a remedy ended, with the bed that it was for at the latest.
func (b *Bin) ended(r *Remedy) *RemedyHeard {
	switch {
	case r.Ended != nil:
		return r.Ended
	case b.Bed == nil || b.Bed.At.After(r.At) && !b.Bed.Start.FirstMorning:
		end := RemedyHeard{Said: "emptied"}
		for _, x := range b.Past {
			if x.Until.After(r.At) {
				end.At = x.Until
				break
			}
		}
		return &end
	}
	return nil
}

// End tells how a remedy of the bin ended; nil while it is under way.
func (b *Bin) End(r *Remedy) *RemedyHeard { return b.ended(r) }

// Written gives the first entry of a kind about the bed at a time or later, for
// the kinds that a remedy's step is written down as; false when there is none.
func (b *Bin) Written(kind string, from time.Time) (Noted, bool) {
	if b.Bed == nil {
		return Noted{}, false
	}
	if act, ok := writtenAs[kind]; ok {
		for _, x := range b.Bed.Acts {
			if x.Kind == act && !x.At.Before(from) {
				return x.Noted, true
			}
		}
		return Noted{}, false
	}
	var all []Noted
	switch kind {
	case "look":
		for _, x := range b.Bed.Looks {
			all = append(all, x.Noted)
		}
	case "reading":
		for _, x := range b.Bed.Readings {
			all = append(all, x.Noted)
		}
	case "count":
		for _, x := range b.Bed.Counts {
			all = append(all, x.Noted)
		}
	case "assay":
		for _, x := range b.Tests {
			all = append(all, x.Noted)
		}
	}
	for _, x := range all {
		if !x.At.Before(from) {
			return x, true
		}
	}
	return Noted{}, false
}

var writtenAs = map[string]ActKind{
	"turn": ActTurn, "cover": ActCover, "water": ActWater, "move": ActMove, "feed": ActFeed, "stock": ActStock, "harvest": ActTake,
}
