package web

import (
	"fmt"
	"maps"
	"math"
	"net/http"
	"slices"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/season"
)

// seasonCalendar is the plan and the duties as a calendar that other programs read
// (RFC 5545).
func (s *Server) seasonCalendar(w http.ResponseWriter, r *http.Request, p person) error {
	y, duties := s.year(r.Context()), s.Farm.State().Duties()
	if y == nil && len(duties) == 0 {
		return missing{p.Say("season.yet")}
	}
	w.Header().Set("Content-Type", "text/calendar; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="season.ics"`)
	_, err := w.Write(SeasonCalendar(y, duties, p.Words, p.Units, p.Zone, p.Now))
	return err
}

// stepSaid tells one by one what is done in a step but for heating, which lasts longer.
func (p person) stepSaid(s season.Step, day func(float64) time.Time, tell func(kind, say string)) {
	if n := splitIn(s); n > 0.5 {
		tell("split", p.Say("season.splitsay", p.splitsIn(s, day)))
	}
	if n := total(s.Start); n > 0.5 {
		tell("start", p.Count("season.startsay", int(math.Round(n)), p.number(n)))
	}
	if n := total(s.Harvest); n > 0.5 {
		tell("harvest", p.Count("season.harvestsay", int(math.Round(n)), p.number(n)))
	}
	for _, name := range slices.Sorted(maps.Keys(s.Collect)) {
		if v := s.Collect[name]; v > 0.05 {
			tell("collect-"+name, p.Say("season.collectsay", p.material(name), p.cubic(v)))
		}
	}
	for _, name := range slices.Sorted(maps.Keys(s.Sell)) {
		if v := s.Sell[name]; v > 0.05 {
			tell("sell-"+name, p.Say("season.sellsay", p.pieces(name, v)))
		}
	}
}

// SeasonCalendar writes a plan and duties as a calendar: an event for each step in which
// something is begun, taken, collected or sold, and one for each day of the plan's weeks,
// or of a year where there is no plan, on which a duty is due. y may be nil.
func SeasonCalendar(y *app.Year, duties []farm.Duty, c *words.Catalogue, units qty.System, zone *time.Location, now time.Time) []byte {
	p := person{Units: units, Words: c, Zone: zone, Now: now.In(zone)}
	cal := ics.NewCalendarFor("Wormyard")
	cal.SetProductId("-//Wormyard//Season//EN")
	const stamp = "20060102T150405Z"
	made, until := now, now.AddDate(1, 0, 0)
	add := func(id string, from, to time.Time, say, more string) {
		e := cal.AddEvent(id + "@wormyard")
		e.SetDtStampTime(made)
		day := ics.WithValue(string(ics.ValueDataTypeDate))
		e.SetProperty(ics.ComponentPropertyDtStart, from.Format("20060102"), day)
		e.SetProperty(ics.ComponentPropertyDtEnd, to.Format("20060102"), day)
		e.SetSummary(say)
		if more != "" {
			e.SetDescription(more)
		}
	}
	if y != nil {
		made, until = y.Made, y.Began.AddDate(0, 0, 7*y.Weeks)
		for _, s := range y.Plan.Steps {
			from := y.Began.AddDate(0, 0, int(math.Round(s.Week*7))).In(zone)
			p.stepSaid(s, p.dayOf(y), func(kind, say string) {
				add(fmt.Sprintf("%s-%s-%s", y.Made.UTC().Format(stamp), from.Format("20060102"), strings.ReplaceAll(kind, " ", "-")), from, from.AddDate(0, 0, int(7*s.Weeks)), say, "")
			})
		}
	}
	if y != nil && y.Heat != nil {
		for _, x := range y.Plan.Warmed {
			from := p.dayOf(y)(x.Week)
			add(fmt.Sprintf("%s-%s-heat-%s", y.Made.UTC().Format(stamp), from.Format("20060102"), strings.ReplaceAll(x.Barn, " ", "-")), from, from.AddDate(0, 0, int(7*x.Weeks)),
				p.Say("season.heatsay", p.barn(x.Barn), p.temperatureUnit(y.Heat.AtC)), p.Told(season.HeatCaution))
		}
	}
	for _, d := range duties {
		for _, at := range d.Days(until) {
			at = at.In(zone)
			add(fmt.Sprintf("duty-%s-%s", d.Entry, at.Format("20060102")), at, at.AddDate(0, 0, 1), p.Say("duty.calendar", d.Name), strings.Join(p.dutySaid(d.What, d.Every, d.Months, d.Hours), ", "))
		}
	}
	return []byte(cal.Serialize(ics.WithNewLine("\r\n")))
}
