package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/internal/people"
	"wormyard/journal"
)

func personSetting(name string) *journal.Setting {
	return &journal.Setting{Key: farm.KeyPerson + name, Value: json.RawMessage("{}")}
}

// deviceKind guesses what to call a device that nobody named, from what the
// browser says of itself.
func deviceKind(p person, agent string) string {
	for _, x := range []struct{ sign, key string }{
		{"iPhone", "device.iphone"}, {"iPad", "device.ipad"}, {"Android", "device.android"}, {"Windows", "device.windows"}, {"Macintosh", "device.mac"}, {"CrOS", "device.chromebook"}, {"Linux", "device.linux"},
	} {
		if strings.Contains(agent, x.sign) {
			return p.Say(x.key)
		}
	}
	return p.Say("device.other")
}

func (s *Server) meShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawMe(w, r, p, "", nil)
}

// drawMe draws the page of one's own account; one form may carry what is wrong
// with it.
func (s *Server) drawMe(w http.ResponseWriter, r *http.Request, p person, form string, refused *people.Refusal) error {
	if !p.In.Signed {
		seeOther(w, r, "/sign-in")
		return nil
	}
	me := p.In
	page := s.doorPage(r, p, me.Account.Name)
	page.Under = p.Say("me.under", p.role(me.Account.Role), me.Device.Name)
	q := r.URL.Query()
	switch {
	case q.Has("new"):
		page.Told = []string{p.Say("me.welcome", me.Account.Name)}
	case q.Has("password"):
		page.Told = []string{p.Say("me.passwordset")}
	case q.Has("pin"):
		page.Told = []string{p.Say("me.pinset")}
	case q.Has("nopin"):
		page.Told = []string{p.Say("me.pinless")}
	case q.Has("ended"):
		n, _ := strconv.Atoi(q.Get("ended"))
		page.Told = []string{p.Count("me.ended", n)}
	}
	status := http.StatusOK
	wrong := func(f *DoorForm, name string) {
		if form == name && refused != nil {
			status = p.complain(w, f, refused)
		}
	}
	password := DoorForm{Action: "/me/password#password", Submit: p.Say("me.changepassword"), Fields: append([]DoorField{passwordBox("pw", "old", p.Say("door.oldpassword"), "current-password")}, newPasswordBoxes(p, "pw")...)}
	wrong(&password, "password")
	pin := DoorForm{Action: "/me/pin#pin", Submit: p.Say("me.setpin"), Fields: []DoorField{passwordBox("mypin", "old", p.Say("door.oldpassword"), "current-password"), pinBox(p, "mypin")}}
	pin.Fields[1].Help = p.Say("me.pinhelp", people.LeastPIN, people.MostPIN, people.MostPINTries)
	wrong(&pin, "pin")
	pinPart := DoorPart{Anchor: "pin", Title: p.Say("door.pin"), Say: []string{p.Say("me.pinsay")}, Forms: []DoorForm{pin}}
	if me.Account.PIN != "" {
		pinPart.Acts = []DoorForm{{Action: "/me/pin", Submit: p.Say("me.droppin"), Hidden: []Pair{{"drop", "yes"}}}}
	}
	out := DoorPart{Anchor: "out", Title: p.Say("me.devices"), Acts: []DoorForm{{Action: "/me/out", Submit: p.Say("me.out")}, {Action: "/me/everywhere", Submit: p.Say("me.everywhere")}}, Links: []Link{{To: "/switch", Name: p.Say("door.switchtitle")}}}
	list, _, err := s.Door.People(r.Context())
	if err != nil {
		return err
	}
	for _, x := range list {
		if x.ID == me.Account.ID {
			out.Facts = s.sessionFacts(p, x.Sessions)
		}
	}
	page.Parts = []DoorPart{out, pinPart, {Anchor: "password", Title: p.Say("door.password"), Say: []string{p.Say("me.passwordsay")}, Forms: []DoorForm{password}}}
	return s.draw(w, "door", status, page)
}

func (s *Server) sessionFacts(p person, list []people.Who) []Fact {
	var out []Fact
	now := s.doorNow()
	for _, x := range list {
		f := Fact{Name: x.Device.Name, Value: p.Say("me.seen", p.Words.Age(now.Sub(x.Session.Seen)))}
		if x.Session.Hash == p.In.Session.Hash {
			f.Value = p.Say("me.here")
		}
		if x.Session.ByPIN {
			f.Note = p.Say("me.bypin")
		}
		out = append(out, f)
	}
	return out
}

func (s *Server) mePassword(w http.ResponseWriter, r *http.Request, p person) error {
	return s.meChange(w, r, p, "password", s.Door.ChangePassword(r.Context(), p.In.Who, r.PostForm.Get("old"), r.PostForm.Get("password"), r.PostForm.Get("again")), "/me?password=set")
}

func (s *Server) mePIN(w http.ResponseWriter, r *http.Request, p person) error {
	if r.PostForm.Has("drop") {
		return s.meChange(w, r, p, "pin", s.Door.DropPIN(r.Context(), p.In.Account.ID), "/me?nopin=yes")
	}
	return s.meChange(w, r, p, "pin", s.Door.SetPIN(r.Context(), p.In.Who, r.PostForm.Get("old"), r.PostForm.Get("pin")), "/me?pin=set")
}

// meChange draws what was refused, or goes on.
func (s *Server) meChange(w http.ResponseWriter, r *http.Request, p person, form string, err error, to string) error {
	refused, err := refusal(err)
	if err != nil {
		return err
	}
	if refused != nil {
		return s.drawMe(w, r, p, form, refused)
	}
	seeOther(w, r, to)
	return nil
}

func (s *Server) meOut(w http.ResponseWriter, r *http.Request, p person) error {
	if err := s.Door.SignOut(r.Context(), doorCookie(r, sessionCookie)); err != nil {
		return err
	}
	setDoorCookie(w, r, sessionCookie, "", -1)
	seeOther(w, r, "/sign-in")
	return nil
}

func (s *Server) meEverywhere(w http.ResponseWriter, r *http.Request, p person) error {
	n, err := s.Door.SignOutEverywhere(r.Context(), p.In.Account.ID, p.In.Session.Hash)
	if err != nil {
		return err
	}
	seeOther(w, r, "/me?ended="+url.QueryEscape(strconv.Itoa(n)))
	return nil
}

// doorThings are the ways from the page More to one's account and the people.
func (s *Server) doorThings(r *http.Request, p person) []ThingGroup {
	if s.Door == nil {
		return nil
	}
	g := ThingGroup{Title: p.Say("door.things")}
	switch {
	case !p.In.Guarded:
		g.Things = []Link{{To: "/first-owner", Name: p.Say("door.first"), Note: p.Say("door.firstnote")}}
	default:
		g.Things = []Link{{To: "/me", Name: p.In.Account.Name, Note: p.Say("door.menote", p.In.Device.Name)}, {To: "/switch", Name: p.Say("door.switchtitle"), Note: p.Say("door.switchnote")}}
		if p.In.may(people.Owner) {
			g.Things = append(g.Things, Link{To: "/people", Name: p.Say("people.title"), Note: p.Say("people.note")})
		}
	}
	if s.Trust != nil {
		g.Things = append(g.Things, Link{To: "/trust", Name: p.Say("trust.title"), Note: p.Say("trust.note")})
	}
	return []ThingGroup{g}
}

// doorParts is what the page Farm says of people: who may do what.
func (s *Server) doorParts(p person) []FarmPart {
	if s.Door == nil {
		return nil
	}
	x := FarmPart{Anchor: "roles", Title: p.Say("door.roles"), Say: p.Say("door.rolesay"), Facts: doorFacts(p)}
	switch {
	case !p.In.Guarded:
		x.Say = p.Say("door.rolesopen")
		x.Links = []Link{{To: "/first-owner", Name: p.Say("door.first")}}
	case p.In.may(people.Owner):
		x.Links = []Link{{To: "/people", Name: p.Say("people.title")}}
	}
	return []FarmPart{x}
}
