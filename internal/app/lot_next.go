package app

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"time"

	"wormyard/farm"
	"wormyard/journal"
)

// OpenLots gives the lots that harvests may still go into, the newest first: those
// that were harvested and not screened yet, at most so many.
func OpenLots(s *farm.State, most int) (out []*farm.Lot) {
	for _, l := range s.Lots() {
		if len(l.From) > 0 && s.Standing(l) == farm.LotRaw {
			out = append(out, l)
		}
	}
	slices.SortStableFunc(out, func(a, b *farm.Lot) int { return b.Since.At.Compare(a.Since.At) })
	return out[:min(len(out), most)]
}

// A name of a lot ends in a number; one with two digits before that counts anew each
// year.
var (
	lotNumber = regexp.MustCompile(`^(.*?)(\d{1,9})$`)
	lotYear   = regexp.MustCompile(`^\d\d[-/. ]$`)
)

// NextLot proposes a name for a lot that is begun on a day, by the way in which the
// farm names them: the number of the newest one further, in a new year from one on
// where the year stands before it ("26-07" after "26-06", "27-01" after that), a day
// where it is called by days. A farm without lots begins with the year and 01.
func NextLot(s *farm.State, day time.Time) string {
	var last *farm.Lot
	for _, l := range s.Lots() {
		if len(l.From) > 0 && (last == nil || l.Since.At.After(last.Since.At)) {
			last = l
		}
	}
	year := day.Format("06")
	head, number, wide := year+"-", 1, 2
	if last != nil {
		if _, err := time.Parse(journal.DayLayout, last.Name); err == nil {
			head, number, wide = day.Format(journal.DayLayout)+" ", 1, 1
			if _, taken := s.Lot(day.Format(journal.DayLayout)); !taken {
				return day.Format(journal.DayLayout)
			}
		} else if m := lotNumber.FindStringSubmatch(last.Name); m != nil {
			n, _ := strconv.Atoi(m[2])
			head, number, wide = m[1], n+1, len(m[2])
			if lotYear.MatchString(head) && head[:2] != year {
				head, number = year+head[2:], 1
			}
		}
	}
	for ; ; number++ {
		name := fmt.Sprintf("%s%0*d", head, wide, number)
		if _, taken := s.Lot(name); !taken {
			return name
		}
	}
}
