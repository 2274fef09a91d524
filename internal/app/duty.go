package app

import (
	"fmt"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/journal"
)

// againstDuty asks about duties that are there already, and about what was done of
// duties that are not.
func againstDuty(s *farm.State, e *journal.Entry) (ps []journal.Problem) {
	add := func(level journal.Level, field, say, try string) {
		ps = append(ps, journal.Problem{Field: field, Say: say, Try: try, Level: level})
	}
	day := func(t time.Time) string { return t.In(s.Zone()).Format("2 January 2006") }
	switch b := e.Body.(type) {
	case *journal.Duty:
		if d, ok := s.DutyNamed(b.Duty); ok && d.Entry != e.ID && !d.Over() && b.Due != d.Due.Format(journal.DayLayout) {
			add(journal.Doubtful, "due", fmt.Sprintf("%s is due on %s so far.", d.Name, day(d.Due)), "Say yes if this stands in its place, or give the new one a name of its own.")
		}
	case *journal.DutyDone:
		d, ok := s.DutyNamed(b.Duty)
		switch {
		case !ok:
			var names []string
			for _, d := range s.Duties() {
				names = append(names, d.Name)
			}
			try := "Write down the duty first: when it is due, and how often."
			if len(names) > 0 {
				try = "The duties are " + strings.Join(names, ", ") + "."
			}
			add(journal.Refused, "duty", fmt.Sprintf("There is no duty %q.", b.Duty), try)
		case d.Over() && b.Next == "":
			add(journal.Doubtful, "duty", fmt.Sprintf("%s was done on %s, and it is not due again.", d.Name, day(d.Done[len(d.Done)-1].At)), "Look whether this is written already, or give the day on which it is due next.")
		}
	}
	return ps
}

// DutyList is the answer of wormyard duties.
type DutyList struct {
	Duties []DutyShort `json:"duties"` // by the day that they are due, those that are over last
}

// DutyShort is a duty on the list.
type DutyShort struct {
	Duty    string     `json:"duty"`
	What    string     `json:"what"`
	Due     string     `json:"due,omitempty"` // none when it is over
	Overdue bool       `json:"overdue,omitempty"`
	Every   int        `json:"every,omitempty"`
	Period  string     `json:"period,omitempty"`
	Hours   float64    `json:"hours,omitempty"`
	Last    *time.Time `json:"last_done,omitempty"`
	Note    string     `json:"note,omitempty"`
	Entry   string     `json:"entry"`

	Day time.Time `json:"-"`
}

// Duties gives what the farm must do by a day; with all, what is over too.
func Duties(s *farm.State, now time.Time, all bool) DutyList {
	out := DutyList{Duties: []DutyShort{}}
	for _, d := range s.Duties() {
		if d.Over() && !all {
			continue
		}
		x := DutyShort{Duty: d.Name, What: d.What, Every: d.Every, Hours: d.Hours, Note: d.Note, Entry: d.Entry, Day: d.Due}
		if !d.Over() {
			x.Due, x.Overdue = d.Due.Format(journal.DayLayout), !now.Before(d.Due.AddDate(0, 0, 1))
		}
		if d.Every > 0 {
			x.Period = "weeks"
			if d.Months {
				x.Period = "months"
			}
		}
		if n := len(d.Done); n > 0 {
			x.Last = &d.Done[n-1].At
		}
		out.Duties = append(out.Duties, x)
	}
	return out
}

// soonDays is how many days before it is due a duty stands on the round. Common
// practice, no source.
const soonDays = 7

// DutiesSoon gives the duties that are overdue, or due within a week.
func DutiesSoon(s *farm.State, now time.Time) (out []DutyShort) {
	for _, d := range Duties(s, now, false).Duties {
		if d.Day.Before(now.AddDate(0, 0, soonDays)) {
			out = append(out, d)
		}
	}
	return out
}
