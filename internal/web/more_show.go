package web

import (
	"net/http"

	"wormyard/qty"
)

// ThingsPage is a menu.
type ThingsPage struct {
	Frame
	Heading, Under string
	Jumps          []Link // to the groups, where they are many
	Groups         []ThingGroup
	Choosers       []Chooser
}

// ThingGroup is a part of a menu.
type ThingGroup struct {
	Anchor string
	Title  string
	Things []Link
}

// Chooser is a choice that is kept on the device.
type Chooser struct {
	Title, Help, Back string
	Options           []ChooserOption
}

// ChooserOption is one button of a chooser.
type ChooserOption struct {
	Name, Value, Label string
	On                 bool
}

func (s *Server) moreShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	page := ThingsPage{Frame: s.frame(r, p, p.Say("nav.more"), "more"), Heading: p.Say("nav.more")}
	page.One = true
	page.Groups = []ThingGroup{
		{Things: []Link{
			{To: "/moves", Name: p.Say("moves.title"), Note: p.Say("more.movesnote")},
			{To: "/season", Name: p.Say("season.title"), Note: p.Say("more.seasonnote")},
			{To: "/castings", Name: p.Say("castings.title"), Note: p.Say("more.castingsnote")},
			{To: "/rules", Name: p.Say("rules.title"), Note: p.Say("more.rulesnote")},
			{To: "/bench", Name: p.Say("bench.title"), Note: p.Say("more.benchnote")},
			{To: "/trials", Name: p.Say("trials.title"), Note: p.Say("more.trialsnote")},
			{To: "/orders", Name: p.Say("orders.title"), Note: p.Say("more.ordersnote")},
			{To: "/costs", Name: p.Say("costs.title"), Note: p.Say("more.costsnote")},
			{To: "/workshop", Name: p.Say("workshop.title"), Note: p.Say("more.workshopnote")},
			{To: "/trace", Name: p.Say("trace.title"), Note: p.Say("more.tracenote")},
			{To: "/enter", Name: p.Say("more.enter"), Note: p.Say("more.enternote")},
			{To: "/scan", Name: p.Say("scan.title"), Note: p.Say("more.scannote")},
			{To: "/round/sheet", Name: p.Say("sheet.title"), Note: p.Say("more.sheetnote")},
			{To: "/journal", Name: p.Say("journal.title"), Note: p.Say("more.journalnote")},
			{To: "/farm", Name: p.Say("farm.title"), Note: p.Say("more.farmnote")},
			{To: "/import", Name: p.Say("import.title"), Note: p.Say("more.importnote")},
			{To: "/start", Name: p.Say("start.title"), Note: p.Say("more.startnote")},
			{To: "/score", Name: p.Say("score.title"), Note: p.Say("more.scorenote")},
			{To: "/working", Name: p.Say("working.title"), Note: p.Say("more.workingnote")},
		}},
	}
	page.Groups = append(page.Groups, s.doorThings(r, p)...)
	units := Chooser{Title: p.Say("more.units"), Help: p.Say("more.device"), Back: "/more", Options: []ChooserOption{
		{"units", "us", p.Say("more.us"), p.Units == qty.US}, {"units", "metric", p.Say("more.metric"), p.Units == qty.Metric}}}
	theme := Chooser{Title: p.Say("more.theme"), Back: "/more", Options: []ChooserOption{
		{"theme", "", p.Say("more.themeauto"), p.Theme == ""}, {"theme", "paper", p.Say("more.paper"), p.Theme == "paper"}, {"theme", "soil", p.Say("more.soil"), p.Theme == "soil"}}}
	page.Choosers = []Chooser{s.languages(p), units, theme}
	if people := state.Settings.People; len(people) > 0 && !p.In.Guarded {
		who := Chooser{Title: p.Say("more.who"), Help: p.Say("more.whohelp"), Back: "/more"}
		for _, name := range people {
			who.Options = append(who.Options, ChooserOption{"who", name, name, name == p.Who})
		}
		page.Choosers = append(page.Choosers, who)
	}
	return s.draw(w, "things", http.StatusOK, page)
}

// languages is the choice of a language, each by its own name, so that one who
// cannot read the page finds theirs.
func (s *Server) languages(p person) Chooser {
	out := Chooser{Title: p.Say("more.language"), Help: p.Say("more.device"), Back: "/more"}
	for _, c := range s.words {
		out.Options = append(out.Options, ChooserOption{langCookie, c.Language(), c.Say("language.name"), c.Lang == p.Words.Lang})
	}
	return out
}
