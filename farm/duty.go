package farm

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"wormyard/journal"
)

// Duty is something that must be done by a day, with how it stands.
type Duty struct {
	Noted               // the entry that says of it what holds
	Name   string       // as it was named
	What   string       // one of journal.Duties
	Every  int          // weeks or months until it is due again; 0 once only
	Months bool         // Every counts months
	Hours  float64      // of work that it takes [h], 0 unknown
	Due    time.Time    // the day it is due next, at midnight of the farm; zero when it is over
	Done   []DutyAnswer // in order
	Note   string

	base  time.Time // the day that its times are counted from
	times int       // how many of them it lies after base
}

// DutyAnswer is one time that a duty was done.
type DutyAnswer struct {
	Noted
	Hours float64 // that it took [h], 0 where nobody wrote it
}

// dutyNote is what one entry says of a duty.
type dutyNote struct {
	Noted
	said *journal.Duty
	done *journal.DutyDone
}

// Over says whether a duty is not due again.
func (d Duty) Over() bool { return d.Due.IsZero() }

// after gives the day some times of a duty after its base. The last of a month stays
// the last of shorter ones.
func (d Duty) after(times int) time.Time {
	if !d.Months {
		return d.base.AddDate(0, 0, 7*d.Every*times)
	}
	first := time.Date(d.base.Year(), d.base.Month()+time.Month(d.Every*times), 1, 0, 0, 0, 0, d.base.Location())
	last := first.AddDate(0, 1, -1).Day()
	return first.AddDate(0, 0, min(d.base.Day(), last)-1)
}

// Days gives the days up to until on which a duty is due, the next one first. A day
// that is past is the first of them however long ago it was.
func (d Duty) Days(until time.Time) (out []time.Time) {
	for n := d.times; !d.Over(); n++ {
		at := d.after(n)
		if at.After(until) {
			break
		}
		if out = append(out, at); d.Every == 0 {
			break
		}
	}
	return out
}

// answered moves a duty on when it was done: to the first of its times after that day,
// and at least to the next. Done when it is farther off than one of its times it was
// done twice for the same, and stays.
func (d *Duty) answered(at time.Time, b *journal.DutyDone) {
	next, given := day(b.Next, d.base.Location())
	switch {
	case b.Over:
		d.Due = time.Time{}
	case given:
		d.base, d.times, d.Due = next, 0, next
	case d.Over():
	case d.Every == 0:
		d.Due = time.Time{}
	case d.after(d.times - 1).After(at):
	default:
		for d.times++; !d.after(d.times).After(at); {
			d.times++
		}
		d.Due = d.after(d.times)
	}
}

func day(text string, zone *time.Location) (time.Time, bool) {
	t, err := time.ParseInLocation(journal.DayLayout, text, zone)
	return t, err == nil
}

// Duties gives the duties of the farm: by the day that they are due, those that are
// over last.
func (s *State) Duties() []Duty {
	var out []*Duty
	byName := map[string]*Duty{}
	for _, n := range s.duties {
		if n.said != nil {
			due, ok := day(n.said.Due, s.Zone())
			if !ok {
				continue
			}
			key := dutyKey(n.said.Duty)
			d := byName[key]
			if d == nil {
				d = &Duty{}
				byName[key], out = d, append(out, d)
			}
			done := d.Done
			*d = Duty{Noted: n.Noted, Name: n.said.Duty, What: n.said.What, Every: or(n.said.Every, 0), Months: n.said.Period == "months", Hours: or(n.said.Hours, 0), Due: due, Done: done, Note: n.said.Note, base: due}
			continue
		}
		if d := byName[dutyKey(n.done.Duty)]; d != nil {
			d.Done = append(slices.Clip(d.Done), DutyAnswer{n.Noted, or(n.done.Hours, 0)})
			d.answered(n.At, n.done)
		}
	}
	list := make([]Duty, len(out))
	for i, d := range out {
		list[i] = *d
	}
	slices.SortStableFunc(list, func(a, b Duty) int {
		if a.Over() != b.Over() {
			if a.Over() {
				return 1
			}
			return -1
		}
		return cmp.Or(a.Due.Compare(b.Due), cmp.Compare(a.Name, b.Name))
	})
	return list
}

// DutyNamed finds a duty, whatever the size of its letters.
func (s *State) DutyNamed(name string) (Duty, bool) {
	for _, d := range s.Duties() {
		if dutyKey(d.Name) == dutyKey(name) {
			return d, true
		}
	}
	return Duty{}, false
}

func dutyKey(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// DutyHours gives the hours that duties take in each of some weeks from now on. What
// is overdue falls into the first, and once however many of its times are past: they
// are done together.
func (s *State) DutyHours(now time.Time, weeks int) []float64 {
	out := make([]float64, weeks)
	for _, d := range s.Duties() {
		if d.Hours == 0 {
			continue
		}
		for i, at := range d.Days(now.AddDate(0, 0, 7*weeks)) {
			if i > 0 && at.Before(now) {
				continue
			}
			if w := max(0, int(at.Sub(now).Hours()/168)); w < weeks {
				out[w] += d.Hours
			}
		}
	}
	return out
}
