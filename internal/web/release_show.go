package web

import (
	"net/url"
	"strings"

	"wormyard/internal/app"
	"wormyard/lot"
	"wormyard/qty"
)

// JudgedShown is what a rule says of a lot, above the form that releases it.
type JudgedShown struct {
	State, Known, Applies, Animal string
	To                            string // where the rule is shown
	Caution                       []string
	Rules                         []Link
	Lines                         []JudgedLine
	Allows, Refuses               []string
	Allowed                       bool
}

// JudgedLine is one thing that a rule asks, opening to where it stands.
type JudgedLine struct {
	State, Asked, Has, Try, Where string
	Entries                       []Link
}

// judged holds a lot against a rule for its page.
func (s *Server) judged(p person, name, key string) (*JudgedShown, string, error) {
	state := s.Farm.State()
	list, err := app.RulesListed(state, p.Now)
	if err != nil {
		return nil, "", err
	}
	rule, _, ok, err := app.RuleNamed(state, key)
	if err != nil {
		return nil, "", err
	}
	if !ok {
		return nil, "", missing{p.Say("fault.norule", key)}
	}
	j, err := app.Judged(state, name, rule, nil, p.Who, p.Now)
	if err != nil {
		return nil, "", err
	}
	out := &JudgedShown{State: p.Say("release.would", p.Say(stateKey(j.State)), p.Told(j.Title)), Applies: p.Told(j.Applies), Animal: sentence(p.Told(j.AnimalWhy)), Allows: j.Allows, Refuses: j.Refuses, Allowed: j.State == lot.Allowed}
	out.Known, out.To = p.Say("release.known."+j.Known, p.Told(j.Citation), p.ruleDay(j.Review)), ruleTo(j.Rule)
	for _, x := range j.Caution {
		out.Caution = append(out.Caution, p.toldDays(x))
	}
	for _, x := range list.Rules {
		note := p.Say("release.known."+x.Known, p.Told(x.Citation), p.ruleDay(x.Review))
		out.Rules = append(out.Rules, Link{To: lotTo(name) + "/release?" + url.Values{"rule": {x.Rule}}.Encode(), Name: p.Told(x.Title), Note: note, Here: x.Rule == rule.Key})
	}
	for _, x := range j.Lines {
		line := JudgedLine{State: p.Say(stateKey(x.State)), Asked: p.asked(x.Line), Has: printable(p.toldDays(x.Has)), Try: p.Told(x.Try), Where: p.Say("release.where."+x.Known, x.Citation, x.Key)}
		if x.Either != "" {
			line.Where += " " + p.Say("release.either")
		}
		for _, e := range x.Entries {
			line.Entries = append(line.Entries, Link{To: "/journal/" + e, Name: p.Say("release.entry")})
		}
		out.Lines = append(out.Lines, line)
	}
	return out, rule.Key, nil
}

func stateKey(s lot.State) string {
	switch s {
	case lot.Allowed:
		return "release.allowed"
	case lot.IfRecalled:
		return "release.recalled"
	case lot.Missing:
		return "release.missing"
	}
	return "release.blocked"
}

// asked says what a rule asks; a limit in the reader's words.
func (p person) asked(x lot.Line) string {
	l := x.Limit
	if l == nil {
		return p.Told(x.Asked)
	}
	name := p.limitAnalyte(l.Analyte)
	if l.Of == "mean" || l.Of == "geometric_mean" {
		name = p.Say("limit."+l.Of, name)
	}
	amount := func(v float64) string {
		return printable(strings.TrimSpace(qty.Figures(v) + " " + strings.TrimSuffix(l.Unit, "-")))
	}
	switch {
	case l.Least != nil && l.Most != nil:
		name = p.Say("limit.between", name, qty.Figures(*l.Least), amount(*l.Most))
	case l.Least != nil:
		name = p.Say("limit.least", name, amount(*l.Least))
	case l.Under != nil:
		name = p.Say("limit.under", name, amount(*l.Under))
	case l.Most != nil:
		name = p.Say("limit.most", name, amount(*l.Most))
	}
	if l.Basis == "dry" || l.Basis == "wet" {
		name = p.Say("limit."+l.Basis, name)
	}
	if l.Within != nil {
		if name = p.Say("limit.within", name, l.Samples); l.Over < l.Samples {
			name = p.Say("limit.over", name, l.Over, qty.Figures(*l.Within))
		}
	}
	return sentence(name)
}

// limitAnalyte names what a limit is about.
func (p person) limitAnalyte(key string) string {
	if k := "limit.analyte." + key; p.Words.Has(k) {
		return p.Say(k)
	}
	name := p.analyte(key)
	if word, _, _ := strings.Cut(name, " "); strings.ToUpper(word) != word && !strings.Contains(word, ".") && key != "salmonella" && key != "listeria" && key != "ph" {
		return strings.ToLower(name[:1]) + name[1:]
	}
	return name
}
