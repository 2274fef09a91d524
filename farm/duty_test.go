package farm

import (
	"testing"
	"time"

	"wormyard/journal"
)

func dutyEntry(id string, at time.Time, body any) *journal.Entry {
	kind := "duty"
	if _, ok := body.(*journal.DutyDone); ok {
		kind = "duty done"
	}
	return &journal.Entry{ID: id, Kind: kind, At: at, Body: body}
}

// A duty moves on when it was done: early or late to its next day in the calendar, a
// second time in the same month not at all, and it never drifts.
func TestDutiesComeAgain(t *testing.T) {
	on := func(text string) time.Time { d, _ := time.Parse(time.DateOnly, text); return d.Add(10 * time.Hour) }
	twelve, one := 12, 1
	for _, x := range []struct {
		name string
		duty journal.Duty
		done []string
		due  string // "" over
	}{
		{"once", journal.Duty{Duty: "a", Due: "2026-03-01"}, []string{"2026-03-04"}, ""},
		{"early", journal.Duty{Duty: "a", Due: "2026-03-01", Every: &twelve, Period: "months"}, []string{"2026-01-10"}, "2027-03-01"},
		{"late", journal.Duty{Duty: "a", Due: "2026-03-01", Every: &twelve, Period: "months"}, []string{"2026-03-20"}, "2027-03-01"},
		{"written twice", journal.Duty{Duty: "a", Due: "2026-03-01", Every: &twelve, Period: "months"}, []string{"2026-01-10", "2026-01-12"}, "2027-03-01"},
		{"months missed", journal.Duty{Duty: "a", Due: "2026-01-31", Every: &one, Period: "months"}, []string{"2026-04-02"}, "2026-04-30"},
		{"the last of the month", journal.Duty{Duty: "a", Due: "2026-01-31", Every: &one, Period: "months"}, []string{"2026-01-30", "2026-02-28"}, "2026-03-31"},
		{"weeks", journal.Duty{Duty: "a", Due: "2026-01-05", Every: &twelve, Period: "weeks"}, []string{"2026-01-05"}, "2026-03-30"},
	} {
		s := New(trade(t)).State()
		s.duties = append(s.duties, dutyNote{said: &x.duty})
		for _, d := range x.done {
			s.duties = append(s.duties, dutyNote{Noted: Noted{At: on(d)}, done: &journal.DutyDone{Duty: "A"}})
		}
		got := ""
		if d := s.Duties()[0]; !d.Over() {
			got = d.Due.Format(time.DateOnly)
		}
		if got != x.due {
			t.Errorf("%s: due %q, wanted %q", x.name, got, x.due)
		}
	}
}

// What an entry says later stands in place of what was said before, and a strike
// brings that back.
func TestDutiesAreSaidAnew(t *testing.T) {
	f := New(trade(t))
	at := time.Date(2026, 2, 1, 9, 0, 0, 0, time.UTC)
	four, hours := 4, 6.0
	add := func(e *journal.Entry) { f.Apply([]journal.Entry{*e}) }
	add(dutyEntry("1", at, &journal.Duty{Duty: "stocktake", What: "stocktake", Due: "2026-02-10", Every: &four, Period: "weeks", Hours: &hours}))
	hoursIn := f.State().DutyHours(at, 10)
	if want := []float64{0, 6, 0, 0, 0, 6, 0, 0, 0, 6}; len(hoursIn) != 10 || hoursIn[1] != want[1] || hoursIn[5] != 6 || hoursIn[9] != 6 || hoursIn[0] != 0 {
		t.Errorf("hours %v, wanted %v", hoursIn, want)
	}
	add(dutyEntry("2", at.Add(time.Hour), &journal.DutyDone{Duty: "Stocktake", Next: "2026-02-20"}))
	if d := f.State().Duties()[0]; d.Due.Format(time.DateOnly) != "2026-02-20" || len(d.Done) != 1 {
		t.Errorf("%+v", d)
	}
	if late := f.State().DutyHours(at.AddDate(0, 0, 40), 4); late[0] != 12 { // the one that is overdue, and its next time
		t.Errorf("overdue: %v", late)
	}
	if late := f.State().DutyHours(at.AddDate(0, 0, 100), 1); late[0] != 12 { // three of its times are past, and the next is in three days
		t.Errorf("overdue three times: %v", late)
	}
	add(&journal.Entry{ID: "3", Kind: "strike", At: at.Add(2 * time.Hour), Strikes: "2", Body: &journal.Strike{Why: "not yet"}})
	if d := f.State().Duties()[0]; d.Due.Format(time.DateOnly) != "2026-02-10" || len(d.Done) != 0 {
		t.Errorf("after the strike: %+v", d)
	}
}
