package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// habitsPart is what the farm does as a habit: what the journal shows, and what
// keeping to its rules costs.
func (s *Server) habitsPart(r *http.Request, p person, state *farm.State) (FarmPart, error) {
	out := FarmPart{Anchor: "habits", Title: p.Say("farm.habits"), Say: p.Say("farm.habitsay")}
	if u := state.FarmHabit(); u.From > 0 {
		out.Facts = append(out.Facts, Fact{Name: p.Say("farm.shows"), Value: p.Say("farm.showssay", depthSay(p, float64(u.Depth)), whole(u.EveryDays), u.From)})
	}
	if s.Rounds != nil {
		if paces := s.paces(p); len(paces) > 0 {
			out.Facts = append(out.Facts, Fact{Name: p.Say("farm.pace"), Value: strings.Join(paces, " ")})
		}
	}
	h := state.Settings.Habits
	if s.Rounds == nil || h.FeedDays == 0 && h.FeedMost == 0 {
		return out, nil
	}
	made, err := s.Rounds.Last(r.Context())
	if err != nil {
		return out, err
	}
	cost := p.Say("farm.costlater")
	if made != nil && made.Priced != nil {
		if said := app.HabitCosts(state, made.Priced); len(said) > 0 {
			var all []string
			for _, x := range said {
				all = append(all, p.spoken().Text(x))
			}
			cost = strings.Join(all, " ") + " " + p.Say("farm.costof", made.Priced.Days.Bins, p.Moment(made.Priced.At))
		}
	}
	out.Facts = append(out.Facts, Fact{Name: p.Say("farm.cost"), Value: cost})
	return out, nil
}

// habitFields are the boxes of the habits.
func habitFields(p person, h farm.Habits) []Field {
	var days []Option
	for i, name := range farm.Weekdays { // 2 September 2024 was a Monday
		days = append(days, Option{Value: name, Label: p.Words.Weekday(time.Date(2024, 9, 2+i, 12, 0, 0, 0, time.UTC))})
	}
	on := chipsField("feed_days", p.Say("farm.feeddays"), strings.Join(h.FeedDays.Names(), "\n"), days)
	on.Many, on.Help = true, p.Say("farm.feeddayshelp")
	most := numberField("feed_most", p.Say("farm.feedmost"), pick(p.Units, "in", "cm"), depthText(p, h.FeedMost))
	most.Help = p.Say("farm.feedmosthelp")
	return []Field{
		on, most,
		numberField("feed_depth", p.Say("farm.feeddepth"), pick(p.Units, "in", "cm"), depthText(p, h.FeedDepth)),
		numberField("feed_every", p.Say("farm.feedevery"), p.Say("unit.days"), someNumber(h.FeedEveryDays)),
		numberField("visit", p.Say("farm.visit"), p.Say("unit.days"), someNumber(h.VisitDays)),
	}
}

// habitsOf reads the boxes of the habits. What has no box stays as it was.
func (s *Server) habitsOf(p person, v values) ([]setting, []app.Problem) {
	was := s.Farm.State().Settings.Habits
	now := farm.HabitSetup{BeddingDepthM: was.Bedding, WaterKg: was.WaterKg}
	var problems []app.Problem
	depth := func(box, label string) qty.Metre {
		if v[box] == "" {
			return 0
		}
		n, ps := s.number(p, journal.Field{Key: box, Label: label, Dim: dimension(qty.Length), Unit: "m"}, v[box])
		problems = append(problems, ps...)
		if ps == nil && (n <= 0 || n > 0.5) {
			problems = append(problems, app.Problem{Field: box, Say: p.Say("farm.baddepth", v[box]), Try: p.Say("farm.baddepthtry")})
		}
		return qty.Metre(n)
	}
	days := func(box string) float64 {
		if v[box] == "" {
			return 0
		}
		n, ok := qty.Number(v[box])
		if !ok || n <= 0 || n > 400 {
			problems = append(problems, app.Problem{Field: box, Say: p.Say("farm.baddays", v[box]), Try: p.Say("farm.baddaystry")})
		}
		return n
	}
	now.FeedDepthM, now.FeedMostM = depth("feed_depth", p.Say("farm.feeddepth")), depth("feed_most", p.Say("farm.feedmost"))
	now.FeedEveryDays, now.VisitDays = days("feed_every"), days("visit")
	for _, d := range listed(v["feed_days"], false) {
		if !slices.Contains(farm.Weekdays, d) {
			problems = append(problems, app.Problem{Field: "feed_days", Say: p.Say("farm.badday", d), Try: p.Say("farm.baddaytry")})
			continue
		}
		now.FeedDays = append(now.FeedDays, d)
	}
	if problems != nil {
		return nil, problems
	}
	if same := (farm.Habits{FeedDepth: now.FeedDepthM, FeedEveryDays: now.FeedEveryDays, VisitDays: now.VisitDays, Bedding: now.BeddingDepthM,
		WaterKg: now.WaterKg, FeedMost: now.FeedMostM, FeedDays: farm.NewFeedDays(now.FeedDays)}); same == was {
		return []setting{}, nil
	}
	return []setting{{farm.KeyHabits, now}}, nil
}
