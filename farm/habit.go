package farm

import (
	"slices"
	"time"
)

// Weekdays are the days of the week as a setting names them, from Monday on.
var Weekdays = []string{"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"}

// FeedDays are the days of the week on which a farm feeds, one bit a day; none
// set means any day.
type FeedDays uint8

// NewFeedDays gives the days of a setting. Words that are not of Weekdays are left
// out, and so is a rule that names every day.
func NewFeedDays(names []string) FeedDays {
	var d FeedDays
	for _, n := range names {
		if i := slices.Index(Weekdays, n); i >= 0 {
			d |= 1 << ((i + 1) % 7)
		}
	}
	if d == 1<<7-1 {
		return 0
	}
	return d
}

// On says whether the farm feeds on a day of the week; true where it has no rule.
func (d FeedDays) On(day time.Weekday) bool { return d == 0 || d&(1<<day) != 0 }

// Names gives the days as a setting names them, from Monday on.
func (d FeedDays) Names() []string {
	var out []string
	for i, n := range Weekdays {
		if d != 0 && d.On(time.Weekday((i+1)%7)) {
			out = append(out, n)
		}
	}
	return out
}

// Next gives in how many days after a day of the week the farm feeds next, 1 to 7.
func (d FeedDays) Next(day time.Weekday) int {
	n := 1
	for !d.On((day + time.Weekday(n)) % 7) {
		n++
	}
	return n
}
