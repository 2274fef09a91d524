package web

import (
	"net/url"
	"strings"

	"wormyard/internal/app"
)

// DutiesShown is the calendar of duties.
type DutiesShown struct {
	Empty string
	List  []ShareShown
	New   string // where one is written down
}

// dutiesShown lists what the farm must do by a day, each with the way to write it done.
func (s *Server) dutiesShown(p person) DutiesShown {
	out := DutiesShown{New: "/enter/duty"}
	for _, d := range app.Duties(s.Farm.State(), p.Now, false).Duties {
		x := ShareShown{Name: d.Duty, To: dutyTo(d.Duty), Share: p.dutyDue(d)}
		said := p.dutySaid(d.What, d.Every, d.Period == "months", d.Hours)
		if d.Last != nil {
			said = append(said, p.Say("duty.last", p.Words.Date(d.Last.In(p.Zone))))
		}
		if d.Note != "" {
			said = append(said, d.Note)
		}
		x.Note = strings.Join(said, p.Say("list.comma"))
		out.List = append(out.List, x)
	}
	if len(out.List) == 0 {
		out.Empty = p.Say("duty.none")
	}
	return out
}

// dutyTo is where a duty is written done.
func dutyTo(name string) string { return "/enter/duty%20done?duty=" + url.QueryEscape(name) }

// dutyDue tells when a duty is due.
func (p person) dutyDue(d app.DutyShort) string {
	switch day := p.Words.Date(d.Day.In(p.Zone)); {
	case d.Overdue:
		return p.Say("duty.overdue", day)
	case !d.Day.After(p.Now):
		return p.Say("duty.today")
	default:
		return p.Say("duty.due", day)
	}
}

// dutySaid tells what a duty is, how often it comes and how long it takes.
func (p person) dutySaid(what string, every int, months bool, hours float64) []string {
	out := []string{p.choice("what", what)}
	switch {
	case every > 0 && months && every%12 == 0:
		out = append(out, p.Count("duty.years", every/12))
	case every > 0 && months:
		out = append(out, p.Count("duty.months", every))
	case every > 0:
		out = append(out, p.Count("duty.weeks", every))
	}
	if hours > 0 {
		out = append(out, p.hours(hours))
	}
	return out
}

// hours prints how long a duty takes, 1 of them as one.
func (p person) hours(n float64) string {
	if text := p.number(n); text != "1" {
		return p.Say("duty.hours", text)
	}
	return p.Say("duty.hour")
}

// mostDuties is how many duties stand on the round; the page of the year has them all.
const mostDuties = 3

// dutiesDue are the duties that the round tells of: overdue, or due within a week.
func (s *Server) dutiesDue(p person) (out []Link) {
	list := app.DutiesSoon(s.Farm.State(), p.Now)
	for i, d := range list {
		if i == mostDuties {
			return append(out, Link{To: "/season#duties", Name: p.Say("duty.all"), Note: p.Count("duty.more", len(list)-i)})
		}
		out = append(out, Link{To: dutyTo(d.Duty), Name: p.Say("duty.done"), Note: p.Say("duty.line", d.Duty, p.dutyDue(d))})
	}
	return out
}
