package web

import (
	"context"
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// FarmPage is what the owner says of the farm itself.
type FarmPage struct {
	Frame
	Heading, Under string
	Facts          []Fact
	Past           []PastPicture
	Parts          []FarmPart
}

// FarmPart is one part of the page.
type FarmPart struct {
	Anchor, Title, Say string
	Facts              []Fact
	Form               *Form
	Links              []Link
}

func (s *Server) farmShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawFarm(w, r, p, "", nil, nil, http.StatusOK)
}

// drawFarm draws the page; one part may carry what was typed and what is wrong.
func (s *Server) drawFarm(w http.ResponseWriter, r *http.Request, p person, part string, v values, problems []app.Problem, status int) error {
	state := s.Farm.State()
	set := state.Settings
	page := FarmPage{Frame: s.frame(r, p, p.Say("farm.title"), "more"), Heading: set.Name, Under: p.Say("farm.under")}
	page.One = true
	if page.Heading == "" {
		page.Heading = p.Say("farm.title")
	}
	living := len(state.Living())
	page.Facts = []Fact{
		{Name: p.Say("farm.bins"), Value: p.Say("farm.binsay", len(state.Bins()), living)},
		{Name: p.Say("farm.entries"), Value: thousands(state.Entries), Working: "/journal"},
		{Name: p.Say("farm.zone"), Value: state.Zone().String()},
	}
	form := func(name string, fields ...Field) *Form {
		f := &Form{Action: "/farm/" + name + "#" + name, ID: s.NewID(p.Now), Back: "/farm", Submit: p.Say("form.save"), Fields: fields}
		if part == name {
			for i := range f.Fields {
				if typed, ok := v[f.Fields[i].Name]; ok {
					f.Fields[i].Value = typed
					if f.Fields[i].Options != nil {
						f.Fields[i] = choose(f.Fields[i])
					}
				}
			}
			refused, doubtful := split(problems)
			f.Problems, f.Doubts, f.Yes = mark(refused, f.Fields), mark(doubtful, f.Fields), digest(doubtful)
		}
		return f
	}
	units := "us"
	if set.Units == qty.Metric {
		units = "metric"
	}
	page.Parts = append(page.Parts, FarmPart{Anchor: "name", Title: p.Say("farm.nametitle"), Form: form("name",
		textField("farm", p.Say("farm.name"), set.Name),
		chipsField("units", p.Say("farm.units"), units, []Option{{Value: "us", Label: p.Say("more.us")}, {Value: "metric", Label: p.Say("more.metric")}}),
		zoneField(p, set.Zone))})
	people := areaField("people", p.Say("farm.people"), strings.Join(set.People, "\n"))
	people.Help = p.Say("farm.peoplehelp")
	page.Parts = append(page.Parts, FarmPart{Anchor: "people", Title: p.Say("farm.peopletitle"), Say: p.Say("farm.peoplesay"), Form: form("people", people, Field{ID: "f-was", Name: "was", Value: strings.Join(set.People, "\n"), Hidden: true})})
	page.Parts = append(page.Parts, s.doorParts(p)...)
	habits, err := s.habitsPart(r, p, state)
	if err != nil {
		return err
	}
	habits.Form = form("habits", habitFields(p, set.Habits)...)
	page.Parts = append(page.Parts, habits)
	page.Parts = append(page.Parts, FarmPart{Anchor: "worms", Title: p.Say("farm.worms"), Say: p.Say("farm.wormssay"), Form: form("worms", wormsField(p, set.Worms))})
	page.Parts = append(page.Parts, s.weatherPart(p, state))
	page.Parts = append(page.Parts, FarmPart{Anchor: "truck", Title: p.Say("farm.truck"), Say: p.Say("farm.trucksay"), Form: form("truck", truckFields(p, set.Truck)...), Links: []Link{{To: "/moves", Name: p.Say("moves.title")}}})
	prices := FarmPart{Anchor: "money", Title: p.Say("farm.money"), Say: p.Say("farm.moneysay"), Form: form("money", moneyFields(p, set.Money)...), Links: []Link{{To: "/prices", Name: p.Say("prices.title")}, {To: "/costs", Name: p.Say("costs.title")}}}
	minutes, err := s.minuteFields(p, state)
	if err != nil {
		return err
	}
	prices.Form.MoreLabel, prices.Form.More = p.Say("farm.minutes"), minutes
	if part == "money" {
		for i := range minutes {
			if typed, ok := v[minutes[i].Name]; ok {
				minutes[i].Value = typed
			}
		}
		mark(problems, prices.Form.Fields, minutes)
		for _, f := range minutes {
			prices.Form.MoreOpen = prices.Form.MoreOpen || f.Bad != ""
		}
	}
	page.Parts = append(page.Parts, prices)
	barns := FarmPart{Anchor: "barns", Title: p.Say("farm.barns")}
	for _, b := range state.Barns() {
		n := 0
		for _, row := range state.Rows() {
			if row.Barn == b.Name {
				n += len(row.Bins)
			}
		}
		barns.Facts = append(barns.Facts, Fact{Name: p.barn(b.Name), Value: p.Count("barn.bins", n), Working: barnTo(b.Name)})
	}
	barns.Links = []Link{{To: "/start", Name: p.Say("start.title")}, {To: "/enter/build", Name: p.Say("farm.build")}, {To: "/labels", Name: p.Say("label.title")}}
	page.Parts = append(page.Parts, barns)
	if page.Past, err = s.farmPast(r.Context(), p); err != nil {
		return err
	}
	page.Parts = append(page.Parts, FarmPart{Anchor: "backup", Title: p.Say("farm.backup"), Say: p.Say("farm.backupsay")})
	return s.draw(w, "farm", status, page)
}

// wormsField asks which worms the farm keeps.
func wormsField(p person, species string) Field {
	var kinds []Option
	for _, k := range app.WormKinds {
		kinds = append(kinds, Option{Value: k, Label: p.Say("worms." + k)})
	}
	f := selectField("worms", p.Say("farm.wormskind"), wormsOf(species), kinds)
	f.Help = p.Say("farm.wormshelp")
	return f
}

// wormsOf gives the kind that stands where none was chosen.
func wormsOf(species string) string {
	if slices.Contains(app.WormKinds, species) {
		return species
	}
	return app.WormKinds[0]
}

func someNumber(v float64) string {
	if v == 0 {
		return ""
	}
	return plainNumber(v)
}

// zones are offered first; any other may be typed.
var zones = []string{"America/Los_Angeles", "America/Denver", "America/Chicago", "America/New_York", "America/Halifax", "America/Vancouver", "Europe/London", "Europe/Berlin", "Australia/Sydney", "Pacific/Auckland", "UTC"}

func zoneField(p person, zone string) Field {
	f := textField("zone", p.Say("farm.zone"), zone)
	f.List, f.Help = zones, p.Say("farm.zonehelp")
	return f
}

func (s *Server) weatherPart(p person, state *farm.State) FarmPart {
	set := state.Settings.Site
	x := FarmPart{Anchor: "weather", Title: p.Say("farm.weather")}
	if set.Place != "" {
		x.Facts = append(x.Facts, Fact{Name: p.Say("farm.place"), Value: set.Place})
	}
	source := set.Source
	if source == "" {
		source = "none"
	}
	if key := "site." + strings.ReplaceAll(source, " ", ""); p.Words.Has(key) {
		source = p.Say(key)
	}
	x.Facts = append(x.Facts, Fact{Name: p.Say("farm.source"), Value: source})
	days := state.Weather()
	for i := len(days) - 1; i >= 0 && i >= len(days)-4; i-- {
		d := days[i]
		if d.Low == nil || d.High == nil {
			continue
		}
		name := dayName(p, d.Day)
		if d.Outlook {
			name = p.Say("farm.outlook", dayName(p, d.Day))
		}
		x.Facts = append(x.Facts, Fact{Name: name, Value: p.Say("barn.lowhighsay", p.Units.Temperature(*d.Low), p.Units.Temperature(*d.High)), Working: "/journal/" + d.Entry})
	}
	x.Links = []Link{{To: "/enter/site?place=outside", Name: p.Say("farm.lowhigh"), Main: true}, {To: "/enter/site?place=outside&outlook=yes", Name: p.Say("farm.outlookform")}, {To: "/import", Name: p.Say("farm.record")}}
	return x
}

// farmSave writes settings down, each as an entry of its own.
func (s *Server) farmSave(w http.ResponseWriter, r *http.Request, p person) error {
	part := r.PathValue("part")
	v := values{}
	for key := range r.PostForm {
		v[key] = typed(r, key)
	}
	settings, problems := s.settingsOf(p, part, v)
	if settings == nil && problems == nil {
		return missing{p.Say("fault.nopage")}
	}
	if len(problems) > 0 {
		return s.drawFarm(w, r, p, part, v, problems, http.StatusUnprocessableEntity)
	}
	if len(settings) == 0 { // all is as it was, or the button was pressed twice
		seeOther(w, r, "/farm#"+part)
		return nil
	}
	entries := make([]journal.Entry, len(settings))
	for i, x := range settings {
		var err error
		if entries[i], err = s.settingEntry(p, x); err != nil {
			return err
		}
	}
	acks, err := s.Farm.RecordAll(r.Context(), entries, false)
	if err != nil {
		return err
	}
	for _, a := range acks {
		if !a.Saved {
			problems = append(problems, a.Problems...)
		}
	}
	if len(problems) > 0 {
		for i := range problems {
			problems[i].Field = boxOf[part]
		}
		return s.drawFarm(w, r, p, part, v, problems, http.StatusUnprocessableEntity)
	}
	if (part == "habits" || part == "worms") && s.Work != nil { // the round keeps to the new ones
		s.Work.Make()
	}
	seeOther(w, r, withSaid("/farm#"+part, acks[len(acks)-1].Entry.ID))
	return nil
}

// boxOf says which box of a part a setting that is refused stands for.
var boxOf = map[string]string{"name": "farm", "people": "people", "habits": "feed_depth", "worms": "worms", "money": "currency", "truck": "load_1"}

type setting struct {
	key   string
	value any
}

// settingEntry gives the entry by which a setting is written down.
func (s *Server) settingEntry(p person, x setting) (journal.Entry, error) {
	raw, err := json.Marshal(x.value)
	return journal.Entry{ID: s.NewID(p.Now), Kind: "setting", At: p.Now.UTC(), Who: p.Who, Device: "page", Body: &journal.Setting{Key: x.key, Value: raw}}, err
}

// keepSetting writes one setting down, with nothing confirmed.
func (s *Server) keepSetting(ctx context.Context, p person, x setting) (app.Ack, error) {
	e, err := s.settingEntry(p, x)
	if err != nil {
		return app.Ack{}, err
	}
	return s.Farm.Record(ctx, e, false)
}

// changed gives the settings of the farm's name, units and clock that are new.
func (s *Server) changed(v values) []setting {
	set := s.Farm.State().Settings
	units := "us"
	if set.Units == qty.Metric {
		units = "metric"
	}
	all := []setting{{farm.KeyFarm, v["farm"]}, {farm.KeyUnits, v["units"]}, {farm.KeyZone, v["zone"]}}
	was := []any{set.Name, units, set.Zone}
	out := []setting{}
	for i, x := range all {
		if x.value != was[i] {
			out = append(out, x)
		}
	}
	return out
}

// peopleOf gives the settings that make a list of people what was typed. Only
// who stood in the box when it was drawn can be taken off by it.
func (s *Server) peopleOf(names, was []string) []setting {
	now := s.Farm.State().Settings.People
	out := []setting{}
	for _, n := range names {
		if !slices.Contains(now, n) {
			out = append(out, setting{farm.KeyPerson + n, farm.PersonSetup{}})
		}
	}
	for _, n := range now {
		if slices.Contains(was, n) && !slices.Contains(names, n) {
			out = append(out, setting{farm.KeyPerson + n, farm.PersonSetup{Gone: true}})
		}
	}
	return out
}

// settingsOf turns a part's boxes into settings.
func (s *Server) settingsOf(p person, part string, v values) ([]setting, []app.Problem) {
	switch part {
	case "name":
		var problems []app.Problem
		if v["farm"] == "" {
			problems = append(problems, app.Problem{Field: "farm", Say: p.Say("farm.noname"), Try: p.Say("farm.nonametry")})
		}
		if _, err := time.LoadLocation(v["zone"]); err != nil || v["zone"] == "" {
			problems = append(problems, app.Problem{Field: "zone", Say: p.Say("farm.nozone", v["zone"]), Try: p.Say("farm.nozonetry")})
		}
		if problems != nil {
			return nil, problems
		}
		return s.changed(v), nil
	case "people":
		var names []string
		for _, n := range strings.Split(v["people"], "\n") {
			if n = strings.TrimSpace(n); n != "" {
				names = append(names, n)
			}
		}
		if names == nil {
			return nil, []app.Problem{{Field: "people", Say: p.Say("farm.nobody"), Try: p.Say("farm.nobodytry")}}
		}
		return s.peopleOf(names, listed(v["was"], false)), nil
	case "habits":
		return s.habitsOf(p, v)
	case "money":
		return s.moneyOf(p, v)
	case "truck":
		return s.truckOf(p, v)
	case "worms":
		if v["worms"] == wormsOf(s.Farm.State().Settings.Worms) {
			return []setting{}, nil
		}
		return []setting{{farm.KeyWorms, v["worms"]}}, nil
	}
	return nil, nil
}
