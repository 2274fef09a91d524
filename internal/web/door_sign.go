package web

import (
	"net/http"
	"net/url"
	"strings"

	"wormyard/internal/people"
	"wormyard/journal"
)

// mostSignIn is the most that signing in may send: a form that was carried,
// written twice as text.
const mostSignIn = 4 * mostForm

// signIn is what the page of signing in carries along.
type signIn struct {
	to, kept      string
	expired, lost bool
	byPIN         bool
	name          string
	refused       *people.Refusal
}

// doorRoutes are the addresses of the door.
func (s *Server) doorRoutes() []route {
	if s.Door == nil {
		return nil
	}
	return []route{
		{"GET /sign-in", s.signInShow}, {"GET /switch", s.switchShow},
		{"GET /first-owner", s.firstShow}, {"POST /first-owner", s.firstSave}, {"GET /join", s.joinShow}, {"POST /join", s.joinSave},
		{"GET /me", s.meShow}, {"POST /me/password", s.mePassword}, {"POST /me/pin", s.mePIN}, {"POST /me/out", s.meOut}, {"POST /me/everywhere", s.meEverywhere},
		{"GET /people", s.peopleShow}, {"POST /people/invite", s.peopleInvite}, {"POST /people/withdraw", s.peopleWithdraw}, {"POST /people/{id}/{act}", s.peopleAct},
		{"GET /again/{id}", s.againShow}, {"GET /trust", s.trustShow}, {"GET /trust/authority.crt", s.trustFile},
	}
}

func (s *Server) signInShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawSignIn(w, r, p, signIn{to: localPath(r.URL.Query().Get("to"), "/round")}, http.StatusOK)
}

func (s *Server) drawSignIn(w http.ResponseWriter, r *http.Request, p person, sign signIn, status int) error {
	page := s.doorPage(r, p, p.Say("door.signin"))
	switch {
	case sign.byPIN && sign.kept != "":
		page.Told = []string{p.Say("door.bypin.say"), p.Say("door.expiredkept")}
	case sign.byPIN:
		page.Told = []string{p.Say("door.bypin.say"), p.Say("door.bypin.try")}
	case sign.lost:
		page.Told = []string{p.Say("door.expired"), p.Say("door.expiredlost")}
	case sign.expired:
		page.Told = []string{p.Say("door.expired"), p.Say("door.expiredkept")}
	case p.In.Signed:
		page.Told = []string{p.Say("door.signedas", p.In.Account.Name)}
	}
	if !p.In.Guarded {
		page.Under = p.Say("door.noownerhere")
		page.Parts = []DoorPart{{Anchor: "first", Title: p.Say("door.first"), Say: []string{p.Say("door.firstsay")}, Links: []Link{{To: "/first-owner", Name: p.Say("door.first"), Main: true}}}}
		return s.draw(w, "signin", status, page)
	}
	f := DoorForm{Action: "/sign-in", Submit: p.Say("door.signin"), Main: true, Hidden: []Pair{{"to", sign.to}},
		Fields: []DoorField{nameBox(p, "in", sign.name), passwordBox("in", "password", p.Say("door.password"), "current-password"), deviceBox(s, r, p, "in")}}
	if sign.kept != "" {
		f.Hidden = append(f.Hidden, Pair{"kept", sign.kept})
	}
	if sign.refused != nil {
		status = p.complain(w, &f, sign.refused)
	}
	page.Form = &f
	here, err := s.Door.Here(r.Context(), doorCookie(r, deviceCookie))
	if err != nil {
		return err
	}
	if len(here) > 0 && !sign.byPIN {
		pin := switchForm(p, here, "")
		pin.Hidden = f.Hidden
		page.Parts = append(page.Parts, DoorPart{Anchor: "pin", Title: p.Say("door.bypinhere"), Forms: []DoorForm{pin}})
	}
	page.Parts = append(page.Parts, DoorPart{Anchor: "forgotten", Title: p.Say("door.forgotten"), Say: []string{p.Say("door.forgottensay")}})
	if status == http.StatusUnauthorized {
		w.Header().Set("WWW-Authenticate", `Session realm="farm"`)
	}
	return s.draw(w, "signin", status, page)
}

func (s *Server) signInTry(w http.ResponseWriter, r *http.Request, p person) error {
	if err := r.ParseForm(); err != nil {
		return tooLarge{p.Say("fault.form"), p.Say("fault.formtry")}
	}
	sign := signIn{to: r.PostForm.Get("to"), kept: r.PostForm.Get("kept"), name: strings.TrimSpace(r.PostForm.Get("name"))}
	in, err := s.Door.SignIn(r.Context(), sign.name, r.PostForm.Get("password"), visitOf(r))
	if sign.refused, err = refusal(err); err != nil {
		return err
	}
	if sign.refused != nil {
		return s.drawSignIn(w, r, p, sign, http.StatusUnprocessableEntity)
	}
	s.goIn(w, r, in, sign)
	return nil
}

// goIn hands out the tokens and goes where the person wanted to go.
func (s *Server) goIn(w http.ResponseWriter, r *http.Request, in people.Entered, sign signIn) {
	let(w, r, in)
	to := localPath(sign.to, "/round")
	if sign.kept != "" && to != "/round" {
		to = "/again/" + url.PathEscape(s.kept.put(in.Who.Account.ID, to, sign.kept, s.doorNow()))
	}
	seeOther(w, r, to)
}

// switchForm asks for a person and their PIN.
func switchForm(p person, here []people.Account, chosen string) DoorForm {
	f := DoorForm{Action: "/switch", Submit: p.Say("door.switch")}
	who := DoorField{ID: "pin-account", Name: "account", Label: p.Say("door.whoareyou")}
	for i, a := range here {
		who.Options = append(who.Options, Option{Value: a.ID, Label: a.Name, On: a.ID == chosen || chosen == "" && i == 0 && len(here) == 1})
	}
	f.Fields = []DoorField{who, pinBox(p, "pin")}
	return f
}

func (s *Server) switchShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawSwitch(w, r, p, nil)
}

func (s *Server) drawSwitch(w http.ResponseWriter, r *http.Request, p person, refused *people.Refusal) error {
	page := s.doorPage(r, p, p.Say("door.switchtitle"))
	here, err := s.Door.Here(r.Context(), doorCookie(r, deviceCookie))
	if err != nil {
		return err
	}
	to, kept := r.PostForm.Get("to"), r.PostForm.Get("kept")
	status := http.StatusOK
	if len(here) > 0 {
		f := switchForm(p, here, r.PostForm.Get("account"))
		f.Main = true
		f.Hidden = []Pair{{"to", to}}
		if kept != "" {
			f.Hidden = append(f.Hidden, Pair{"kept", kept})
		}
		if refused != nil {
			status = p.complain(w, &f, refused)
		}
		page.Form = &f
	}
	other := DoorPart{Anchor: "password", Title: p.Say("door.switchother"), Say: []string{p.Say("door.switchsay")}}
	if refused != nil && len(here) == 0 {
		status = http.StatusUnprocessableEntity
	}
	if kept != "" { // what was typed goes along to the page with the password
		f := DoorForm{Action: "/sign-in", Submit: p.Say("door.signin"), Main: len(here) == 0, Hidden: []Pair{{"to", to}, {"kept", kept}},
			Fields: []DoorField{nameBox(p, "in", ""), passwordBox("in", "password", p.Say("door.password"), "current-password")}}
		other.Forms = []DoorForm{f}
	} else {
		other.Links = []Link{{To: "/sign-in", Name: p.Say("door.signin"), Main: len(here) == 0}}
	}
	page.Parts = []DoorPart{other}
	return s.draw(w, "signin", status, page)
}

func (s *Server) switchTry(w http.ResponseWriter, r *http.Request, p person) error {
	if err := r.ParseForm(); err != nil {
		return tooLarge{p.Say("fault.form"), p.Say("fault.formtry")}
	}
	in, err := s.Door.SignInPIN(r.Context(), r.PostForm.Get("account"), r.PostForm.Get("pin"), visitOf(r))
	refused, err := refusal(err)
	if err != nil {
		return err
	}
	if refused != nil {
		return s.drawSwitch(w, r, p, refused)
	}
	s.goIn(w, r, in, signIn{to: r.PostForm.Get("to"), kept: r.PostForm.Get("kept")})
	return nil
}

func (s *Server) firstShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawFirst(w, r, p, "", nil)
}

func (s *Server) drawFirst(w http.ResponseWriter, r *http.Request, p person, name string, refused *people.Refusal) error {
	if p.In.Guarded {
		s.refused(w, r, http.StatusForbidden, "door.hasowner")
		return nil
	}
	if name == "" {
		name = p.Who
	}
	page := s.doorPage(r, p, p.Say("door.first"))
	page.Under = p.Say("door.firstunder")
	f := DoorForm{Action: "/first-owner", Submit: p.Say("door.firstmake"), Main: true, Fields: append([]DoorField{nameBox(p, "first", name)}, newPasswordBoxes(p, "first")...)}
	f.Fields[0].Help = p.Say("door.namehelp")
	f.Fields = append(f.Fields, deviceBox(s, r, p, "first"))
	status := http.StatusOK
	if refused != nil {
		status = p.complain(w, &f, refused)
	}
	page.Form = &f
	page.Parts = []DoorPart{{Anchor: "then", Title: p.Say("door.then"), Say: []string{p.Say("door.thensay", s.ForPhones)}}}
	return s.draw(w, "signin", status, page)
}

func (s *Server) firstSave(w http.ResponseWriter, r *http.Request, p person) error {
	if p.In.Guarded {
		s.refused(w, r, http.StatusForbidden, "door.hasowner")
		return nil
	}
	name := strings.TrimSpace(r.PostForm.Get("name"))
	in, err := s.Door.FirstOwner(r.Context(), name, r.PostForm.Get("password"), r.PostForm.Get("again"), visitOf(r))
	refused, err := refusal(err)
	if err != nil {
		return err
	}
	if refused != nil {
		return s.drawFirst(w, r, p, name, refused)
	}
	if err := s.nameOnFarm(r, p, in); err != nil {
		return err
	}
	let(w, r, in)
	seeOther(w, r, "/people")
	return nil
}

// nameOnFarm writes a new person's name into the journal's list of people, and
// nothing else of them.
func (s *Server) nameOnFarm(r *http.Request, p person, in people.Entered) error {
	name := in.Who.Account.Name
	for _, n := range s.Farm.State().Settings.People {
		if n == name {
			return nil
		}
	}
	plain := s.Farm
	if f, ok := plain.(signedFarm); ok {
		plain = f.Farm
	}
	ack, err := plain.Record(r.Context(), journal.Entry{ID: s.NewID(p.Now), Kind: "setting", At: p.Now.UTC(), Who: name, Device: in.Who.Device.Name, Body: personSetting(name)}, true)
	if err == nil && !ack.Saved {
		s.Log.Error("a new person's name was not taken into the journal", "problems", len(ack.Problems))
	}
	return err
}

func (s *Server) joinShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawJoin(w, r, p, r.URL.Query().Get("t"), nil)
}

func (s *Server) drawJoin(w http.ResponseWriter, r *http.Request, p person, token string, refused *people.Refusal) error {
	i, err := s.Door.Invited(r.Context(), token)
	gone, err := refusal(err)
	if err != nil {
		return err
	}
	if gone != nil {
		s.refused(w, r, http.StatusGone, "door.noinvite")
		return nil
	}
	title := p.Say("door.join", i.Name)
	if i.Account != "" {
		title = p.Say("door.renew", i.Name)
	}
	page := s.doorPage(r, p, title)
	page.Under = p.Say("door.joinunder", i.By, p.role(i.Role))
	if p.In.Signed {
		page.Told = []string{p.Say("door.joinends", p.In.Account.Name)}
	}
	f := DoorForm{Action: "/join", Submit: p.Say("door.joinmake"), Main: true, Hidden: []Pair{{"t", token}}}
	name := nameBox(p, "join", i.Name) // for the browser's own keeping of passwords; what it sends is not read
	name.Help = p.Say("door.joinname")
	f.Fields = append([]DoorField{name}, newPasswordBoxes(p, "join")...)
	f.Fields = append(f.Fields, deviceBox(s, r, p, "join"))
	status := http.StatusOK
	if refused != nil {
		status = p.complain(w, &f, refused)
	}
	page.Form = &f
	return s.draw(w, "signin", status, page)
}

func (s *Server) joinSave(w http.ResponseWriter, r *http.Request, p person) error {
	token := r.PostForm.Get("t")
	in, err := s.Door.Accept(r.Context(), token, r.PostForm.Get("password"), r.PostForm.Get("again"), visitOf(r))
	refused, err := refusal(err)
	if err != nil {
		return err
	}
	if refused != nil {
		if refused.Has(people.TakenName) {
			s.refused(w, r, http.StatusGone, "door.noinvite")
			return nil
		}
		return s.drawJoin(w, r, p, token, refused)
	}
	if err := s.nameOnFarm(r, p, in); err != nil {
		return err
	}
	let(w, r, in)
	seeOther(w, r, "/me?new=yes")
	return nil
}
