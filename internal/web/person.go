package web

import (
	"net/http"
	"net/url"
	"time"

	"wormyard/internal/web/words"
	"wormyard/qty"
)

// person is who reads a page: their units, theme, name, and the farm's now.
// All of it is theirs alone and none of it is a switch of the program.
type person struct {
	Units  qty.System
	Theme  string // "", "paper" or "soil"
	Who    string
	Device string  // what an entry is written on; empty for a page
	In     visitor // who signed in, if anybody did
	Words  *words.Catalogue
	Zone   *time.Location
	Now    time.Time
	Rule   func(key string) string // the name of a rule that lots are released under; nil where none is told
}

// ruleNamed gives the name of a rule by its key.
func (p person) ruleNamed(key string) string {
	if p.Rule == nil {
		return key
	}
	return p.Rule(key)
}

// Say gives a sentence in the person's language.
func (p person) Say(key string, values ...any) string { return p.Words.Say(key, values...) }

// Told gives a sentence or a name of the core in the person's language.
func (p person) Told(s string) string { return p.Words.Told(s) }

// Count gives a sentence about n things.
func (p person) Count(key string, n int, values ...any) string {
	return p.Words.Count(key, n, values...)
}

// Moment gives a time as one says it.
func (p person) Moment(t time.Time) string { return p.Words.Moment(t.In(p.Zone), p.Now) }

// langCookie keeps the language that somebody chose on their device.
const langCookie = "lang"

// reader gives the words of who reads: the language chosen on the device, or
// the one that the browser asks for.
func (s *Server) reader(r *http.Request) *words.Catalogue {
	return words.Choose(s.words, cookie(r, langCookie), r.Header.Get("Accept-Language"))
}

const choiceAge = 365 * 24 * 60 * 60

func (s *Server) person(r *http.Request) person {
	state := s.Farm.State()
	p := person{Units: state.Settings.Units, Words: s.reader(r), Zone: state.Zone(), Now: s.Farm.Now()}
	p.Rule = func(key string) string { return p.ruleSay(state, key) }
	switch cookie(r, "units") {
	case "us":
		p.Units = qty.US
	case "metric":
		p.Units = qty.Metric
	}
	if t := cookie(r, "theme"); t == "paper" || t == "soil" {
		p.Theme = t
	}
	if p.In = visitorOf(r); p.In.Guarded { // no typed name counts once there is an owner
		p.Who = p.In.Account.Name
		return p
	}
	who := cookie(r, "who")
	for _, name := range state.Settings.People {
		if name == who {
			p.Who = who
		}
	}
	if p.Who == "" && len(state.Settings.People) > 0 {
		p.Who = state.Settings.People[0]
	}
	return p
}

func cookie(r *http.Request, name string) string {
	c, err := r.Cookie(name)
	if err != nil {
		return ""
	}
	v, err := url.QueryUnescape(c.Value)
	if err != nil {
		return ""
	}
	return v
}

// choose keeps a person's units, theme, language or name on their device.
func (s *Server) choose(w http.ResponseWriter, r *http.Request, p person) error {
	for _, name := range []string{"units", "theme", langCookie, "who"} {
		if !r.PostForm.Has(name) {
			continue
		}
		http.SetCookie(w, &http.Cookie{Name: name, Value: url.QueryEscape(r.PostFormValue(name)), Path: "/", MaxAge: choiceAge, HttpOnly: true, SameSite: http.SameSiteLaxMode})
	}
	seeOther(w, r, back(r, "/more"))
	return nil
}
