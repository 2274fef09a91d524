package web

import (
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/people"
	"wormyard/journal"
	"wormyard/lot"
)

// RulesPage is the rules that a lot may be held against, and one of them opened.
type RulesPage struct {
	Frame
	At           string // which column a phone shows
	Rules        []Link
	Opened       *RuleShown
	Under, Decid string
}

// RuleShown is one rule with what it asks and where that stands.
type RuleShown struct {
	Title, Say       string
	Cares            []string
	Facts            []Fact
	Groups           []RuleGroup
	Allows, Refuses  []string
	Change           *Link
	Recent           []EntryLine
	Note, RecentNone string
}

// RuleGroup is what a rule asks: each of it, or one of it.
type RuleGroup struct {
	Head  string
	Lines []RuleLine
}

// RuleLine is one thing that a rule asks.
type RuleLine struct{ Asked, Where string }

func ruleTo(key string) string { return "/rules/" + key }

// rulesShow lists the rules, and opens one.
func (s *Server) rulesShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	all, err := app.Rules(state)
	if err != nil {
		return err
	}
	page := RulesPage{Frame: s.frame(r, p, p.Say("rules.title"), "more"), At: "at-list", Under: p.Say("rules.under"), Decid: p.Told(lot.Decides)}
	open := r.PathValue("key")
	slices.SortStableFunc(all, func(a, b lot.Rule) int { // the farm's own goes first
		return strings.Compare(strings.TrimPrefix(a.Key, app.HouseRule), strings.TrimPrefix(b.Key, app.HouseRule))
	})
	for _, x := range all {
		note := p.Say("rules.note", sentence(p.Told(x.Jurisdiction)), p.knownSay(x))
		if x.Due(p.Now) {
			note += " " + p.Say("rules.due")
		}
		page.Rules = append(page.Rules, Link{To: ruleTo(x.Key), Name: p.Told(x.Title), Note: note, Here: x.Key == open})
		if x.Key == open {
			page.At, page.Opened = "at-opened", s.ruleShown(p, state, x, visitorOf(r).may(people.Owner))
			page.Title = page.Opened.Title
		}
	}
	if open != "" && page.Opened == nil {
		return missing{p.Say("fault.norule", open)}
	}
	return s.draw(w, "rules", http.StatusOK, page)
}

// ruleShown tells all that a rule asks.
func (s *Server) ruleShown(p person, state *farm.State, r lot.Rule, owner bool) *RuleShown {
	out := &RuleShown{Title: p.Told(r.Title), Say: p.Told(r.Applies), Allows: r.Allows, Refuses: r.Refuses, Note: p.Told(r.Note)}
	if r.Due(p.Now) {
		out.Cares = append(out.Cares, p.Say("rules.due"))
	}
	out.Facts = []Fact{{Name: p.Say("rules.jurisdiction"), Value: sentence(p.Told(r.Jurisdiction))}, {Name: p.Say("rules.citation"), Value: p.Told(r.Citation)}, {Name: p.Say("rules.date"), Value: p.ruleDay(r.Date)},
		{Name: p.Say("rules.known"), Value: p.Say("rules.known." + r.How)}, {Name: p.Say("rules.review"), Value: p.ruleDay(r.Review)}}
	each, groups := RuleGroup{}, map[string]*RuleGroup{}
	var order []string
	put := func(either, asked, only, where, how, note string) {
		if only == "animal" {
			asked = p.Say("rules.animal", asked)
		}
		line := RuleLine{Asked: asked, Where: p.Say("rules.where."+how, sentence(p.Told(where)))}
		if note != "" {
			line.Where += " " + sentence(p.Told(note))
		}
		if either == "" {
			each.Lines = append(each.Lines, line)
			return
		}
		g := groups[either]
		if g == nil {
			g = &RuleGroup{Head: p.Say("rules.either")}
			groups[either], order = g, append(order, either)
		}
		g.Lines = append(g.Lines, line)
	}
	for _, l := range r.Limits {
		put(l.Either, p.asked(lot.Line{Limit: &l}), l.OnlyFor, l.Where, l.How, l.Note)
	}
	for _, n := range r.Evidence {
		put(n.Either, p.Told(n.Say), n.OnlyFor, n.Where, n.How, n.Note)
	}
	if len(each.Lines) > 0 {
		each.Head = p.Say("rules.asks")
		out.Groups = append(out.Groups, each)
	}
	for _, k := range order {
		out.Groups = append(out.Groups, *groups[k])
	}
	if r.Key == app.HouseRule {
		if owner {
			out.Change = &Link{To: houseTo, Name: p.Say("house.change")}
		}
		lines, _ := s.search(state, farm.Search{Kind: "setting", Text: app.HouseRuleKey, Limit: 12}, p.Units)
		out.Recent, out.RecentNone = entryLines(p, lines), p.Say("house.asitcame")
	}
	return out
}

// knownSay tells where a rule stands, how surely we have its text, and by when it is
// to be read again.
func (p person) knownSay(r lot.Rule) string {
	return p.Say("release.known."+r.How, p.Told(r.Citation), p.ruleDay(r.Review))
}

// ruleDay prints a day of the core, "2027-12-31", as the farm writes days.
func (p person) ruleDay(text string) string {
	t, err := time.ParseInLocation(journal.DayLayout, text, p.Zone)
	if err != nil {
		return text
	}
	return p.Words.Date(t)
}

var coreDay = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)

// toldDays tells a sentence of the core in which days stand.
func (p person) toldDays(text string) string {
	return coreDay.ReplaceAllStringFunc(p.Told(text), p.ruleDay)
}
