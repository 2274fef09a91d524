package farm

import "time"

// Apart says until when the bed of a bin is kept apart because bought worms went
// into it: from the last of them on, for as many days as is usual
// (Usual.QuarantineDays). It is false once they are over, and for a bed that got
// none.
func (s *State) Apart(b *Bin, now time.Time) (since, until time.Time, ok bool) {
	if b == nil || b.Bed == nil {
		return since, until, false
	}
	for _, a := range b.Bed.Acts {
		if a.Kind == ActStock && a.Bought && a.At.After(since) {
			since = a.At
		}
	}
	if since.IsZero() {
		return since, until, false
	}
	until = since.Add(time.Duration(s.usual.QuarantineDays * 24 * float64(time.Hour)))
	return since, until, now.Before(until)
}
