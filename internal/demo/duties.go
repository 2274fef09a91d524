package demo

import (
	"fmt"
	"math"
	"time"
)

// duty is something that the farm must do by a day, again and again.
type duty struct {
	name, what, who string
	first           int // day of its first time
	every           int
	period          string
	hours, took     string
	before          int // days before the day that it is done
	late            bool
}

// duties are what the owner types of registrations, permits and checks, and when each
// was done; the last check of the screen was forgotten.
func (f *truth) duties(at int) {
	list := []duty{
		{name: "Business registration", what: "registration", who: owner, first: (f.days + 35) % 365, every: 12, period: "months", hours: "1", before: 9},
		{name: "Permit of the yard", what: "permit", who: owner, first: (f.days + 140) % 365, every: 12, period: "months", hours: "5", took: "6", before: 20},
		{name: "Truck looked over by the mechanic", what: "truck check", who: crew1, first: (f.days + 62) % 182, every: 6, period: "months", hours: "4", before: 2},
		{name: "Screen: mesh, bearings and guards", what: "screen check", who: crew2, first: (f.days-3)%28 + 1, every: 4, period: "weeks", hours: "0.5", late: true},
		{name: "Stocktake of feed and castings", what: "stocktake", who: owner, first: 24, every: 3, period: "months", hours: "6", took: "7"},
	}
	for i, d := range list {
		first := f.at(d.first, 720)
		f.writeNow(entry("duty", owner, f.at(0, at+i)).with("duty", d.name).with("what", d.what).with("due", first.Format(time.DateOnly)).with("every", fmt.Sprint(d.every)).with("period", d.period).with("hours", d.hours))
		for n := 0; ; n++ {
			next := first.AddDate(0, d.every*n, 0)
			if d.period == "weeks" {
				next = first.AddDate(0, 0, 7*d.every*n)
			}
			day := d.first + int(math.Round(next.Sub(first).Hours()/24))
			if day >= f.days || d.late && day+7*d.every >= f.days {
				break
			}
			if day -= d.before; day > 0 {
				f.story.later(day, func() {
					f.writeNow(entry("duty done", d.who, f.at(f.day, clockOf(15, 20)+i)).with("duty", d.name).with("hours", d.took))
				})
			}
		}
	}
}
