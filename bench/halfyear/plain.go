package main

import (
	"time"

	"wormyard/bench/fraternal"
)

// The plain customs.
const (
	twoInches = "two inches a week"
	halfWorms = "half the worms a day"
	whenGone  = "when the last is gone"
)

// plain is a way of working that looks at nothing but its own rule. Beds are
// watered when their top feels dry and emptied when they are ripe or full, as by
// custom everywhere. Half of the stacks have Tuesday, half Friday.
type plain string

// Work implements fraternal.Policy.
func (p plain) Work(f *fraternal.Farm) {
	f.Glass()
	f.Frost(true)
	half := -1
	switch f.Morning().Weekday() {
	case time.Monday, time.Wednesday:
		f.Harvests(2)
	case time.Tuesday:
		half = 0
	case time.Friday:
		half = 1
	}
	if half < 0 {
		return
	}
	mix := f.Batch()
	minute := 8*60 + 20
	for _, b := range f.Bins() {
		if f.Half(b) != half {
			continue
		}
		minute += 2
		f.Reach(b)
		if f.Squeeze(b) < 0.65 {
			f.Water(b, 2*gallon, minute)
		}
		depth := 2 * inch
		switch string(p) {
		case halfWorms: // of what was last put in or got back, for seven days
			const area = 1.44
			depth = 0.5 * f.Stocked(b) * 7 / mix.Density() / area
		case whenGone:
			f.Tally.Minutes += 3 // the look
			if left := f.Seen(b, "crew 1").FeedLeft; left != "gone" && left != "" {
				continue
			}
		}
		if !f.Full(b) {
			f.Feed(b, mix, f.Spread(depth), minute)
		}
	}
}
