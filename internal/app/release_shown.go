package app

import (
	"slices"
	"strings"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/trace"
)

// shownBy are the kinds of entries that may show that a demand of a rule is met, by the
// key of the demand; how a lot was judged by hand may rest on any of otherwise.
var (
	shownBy = map[string][]string{
		"counted": {"microscope", "assay"}, "screened": {"screen"}, "layers": {"feed"}, "moisture_log": {"reading"}, "air": {"look", "turn"},
		"long_enough": {"cure", "harvest"}, "feedstocks_listed": {"receive"}, "net_check": {"bag"}, "equal_process": {"tend", "assay"},
	}
	otherwise = []string{"assay", "microscope", "screen", "cure", "kept sample"}
)

// OnRecord gives entries about a lot, its beds and its piles that whoever releases it
// may point at for a demand of a rule, the newest first and at most so many. Records of
// heat are told by pile, in ReleaseAnswer.
func OnRecord(s *farm.State, l *farm.Lot, key string, most int) (out []*journal.Entry) {
	kinds, ok := shownBy[key]
	if !ok {
		kinds = otherwise
	}
	bins, piles := map[string]farm.LotSource{}, map[string]bool{}
	for _, x := range l.From {
		bins[x.Bin] = x
	}
	t, _ := s.Trace().Trace("lot "+l.Name, trace.Back)
	for _, f := range t.Found {
		if f.Kind == trace.Pile && key != "counted" { // what a pile was is no count of the lot
			piles[f.Name] = true
		}
	}
	list := s.Journal()
	for i := len(list) - 1; i >= 0 && len(out) < most; i-- {
		if e := list[i]; slices.Contains(kinds, e.Kind) && !s.Struck(e.ID) && ofLot(e, l.Name, bins, piles) {
			out = append(out, e)
		}
	}
	return out
}

// ofLot says whether an entry is about a lot, a bed before it was harvested or a pile
// that went in.
func ofLot(e *journal.Entry, lot string, bins map[string]farm.LotSource, piles map[string]bool) bool {
	before := func(names ...string) bool {
		return slices.ContainsFunc(names, func(n string) bool {
			x, ok := bins[n]
			return ok && !e.At.After(x.At)
		})
	}
	switch b := e.Body.(type) {
	case *journal.Assay:
		pile, ok := strings.CutPrefix(b.Subject, "pile ")
		return b.Subject == "lot "+lot || ok && piles[pile]
	case *journal.Microscope:
		return b.Lot == lot
	case *journal.Screen:
		return b.Lot == lot
	case *journal.Cure:
		return b.Lot == lot
	case *journal.Bag:
		return b.Lot == lot
	case *journal.KeptSample:
		return b.Lot == lot
	case *journal.Harvest:
		return b.Lot == lot
	case *journal.Receive:
		return piles[b.Pile]
	case *journal.Tend:
		return piles[b.Pile]
	case *journal.Feed:
		return before(b.Bins...)
	case *journal.Look:
		return before(b.Bins...)
	case *journal.Turn:
		return before(b.Bins...)
	case *journal.Reading:
		return b.WaterFracWet != nil && before(b.Bin) // of moisture
	}
	return false
}

// ShownIn gives what was said at a release of evidence that the journal does not hold by
// itself, by the id of its entry.
func ShownIn(s *farm.State, release string) []journal.Evidence {
	if e, _, ok := s.Entry(release); ok {
		if b, is := e.Body.(*journal.Release); is {
			return b.Shown
		}
	}
	return nil
}
