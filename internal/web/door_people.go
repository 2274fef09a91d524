package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"wormyard/internal/people"
)

func (s *Server) peopleShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawPeople(w, r, p, "", people.Crew, nil, http.StatusOK)
}

// drawPeople lists everyone with what an owner may do about them. What was
// typed for an invitation, and what was refused, may be carried.
func (s *Server) drawPeople(w http.ResponseWriter, r *http.Request, p person, name string, role people.Role, refused *people.Refusal, status int) error {
	if !p.In.Signed {
		seeOther(w, r, "/first-owner")
		return nil
	}
	list, invites, err := s.Door.People(r.Context())
	if err != nil {
		return err
	}
	page := s.doorPage(r, p, p.Say("people.title"))
	page.Under = p.Say("people.under")
	invite := DoorForm{Action: "/people/invite#invite", Submit: p.Say("people.invitemake"), Main: true, Fields: []DoorField{
		{ID: "invite-name", Name: "name", Label: p.Say("door.name"), Help: p.Say("door.namehelp"), Type: "text", Value: name, Auto: "off", Plain: true},
		{ID: "invite-role", Name: "role", Label: p.Say("people.role"), Options: roleOptions(p, role)}}}
	if refused != nil {
		if refused.Has(people.LastOwner) || refused.Has(people.Gone) {
			for _, x := range refused.Problems {
				page.Told = append(page.Told, p.Say(whys[x.Why]))
			}
		} else {
			status = p.complain(w, &invite, refused)
		}
	}
	if n := r.URL.Query().Get("ended"); n != "" {
		count, _ := strconv.Atoi(n)
		page.Told = append(page.Told, p.Count("people.ended", count))
	}
	page.Parts = append(page.Parts, DoorPart{Anchor: "invite", Title: p.Say("people.invite"), Say: []string{p.Say("people.invitesay", int(people.InviteLasts.Hours()))}, Forms: []DoorForm{invite}})
	if len(invites) > 0 {
		part := DoorPart{Anchor: "invited", Title: p.Say("people.waiting")}
		for _, i := range invites {
			part.Facts = append(part.Facts, Fact{Name: i.Name, Value: p.Say("people.waits", p.role(i.Role), p.Words.Age(i.Ends.Sub(s.doorNow())))})
			part.Acts = append(part.Acts, DoorForm{Action: "/people/withdraw", Submit: p.Say("people.withdraw", i.Name), Hidden: []Pair{{"hash", i.Hash}}})
		}
		page.Parts = append(page.Parts, part)
	}
	for n, x := range list {
		page.Parts = append(page.Parts, s.personPart(p, x, n))
	}
	return s.draw(w, "door", status, page)
}

func roleOptions(p person, on people.Role) []Option {
	var out []Option
	for _, role := range people.Roles {
		out = append(out, Option{Value: string(role), Label: p.role(role), On: role == on})
	}
	return out
}

func (s *Server) personPart(p person, x people.Person, n int) DoorPart {
	id := "p" + strconv.Itoa(n)
	to := "/people/" + url.PathEscape(x.ID) + "/"
	part := DoorPart{Anchor: id, Title: x.Name}
	if x.Shut {
		part.Say = []string{p.Say("people.shut")}
		part.Acts = []DoorForm{{Action: to + "reopen", Submit: p.Say("people.reopen", x.Name)}}
		return part
	}
	if len(x.Sessions) == 0 {
		part.Say = []string{p.Say("people.notin")}
	}
	part.Facts = s.sessionFacts(p, x.Sessions)
	part.Forms = []DoorForm{{Action: to + "role", Submit: p.Say("people.rolechange"), Fields: []DoorField{{ID: id + "-role", Name: "role", Label: p.Say("people.role"), Options: roleOptions(p, x.Role)}}}}
	if len(x.Sessions) > 0 {
		part.Acts = append(part.Acts, DoorForm{Action: to + "end", Submit: p.Say("people.end", x.Name)})
	}
	part.Acts = append(part.Acts, DoorForm{Action: to + "renew", Submit: p.Say("people.renew", x.Name)})
	if x.ID != p.In.Account.ID {
		part.Acts = append(part.Acts, DoorForm{Action: to + "shut", Submit: p.Say("people.shutout", x.Name)})
	}
	return part
}

func (s *Server) peopleInvite(w http.ResponseWriter, r *http.Request, p person) error {
	name, role := strings.TrimSpace(r.PostForm.Get("name")), people.Role(r.PostForm.Get("role"))
	token, i, err := s.Door.Invite(r.Context(), p.In.Who, name, role)
	refused, err := refusal(err)
	if err != nil {
		return err
	}
	if refused != nil {
		return s.drawPeople(w, r, p, name, role, refused, http.StatusUnprocessableEntity)
	}
	return s.drawLink(w, r, p, token, i)
}

// drawLink shows a link this once. The page answers the form itself and is not
// kept anywhere, since the link is known nowhere else.
func (s *Server) drawLink(w http.ResponseWriter, r *http.Request, p person, token string, i people.Invite) error {
	page := s.doorPage(r, p, p.Say("people.linkfor", i.Name))
	page.Under = p.Say("people.linkunder", int(people.InviteLasts.Hours()))
	base := s.phoneBase(r)
	link := base + "/join?t=" + token
	code, err := qrCode(link, p.Say("people.linkcode", i.Name))
	if err != nil {
		return err
	}
	if s.Trust != nil && s.Trust.Plain != "" {
		trust, err := qrCode(s.Trust.Plain, p.Say("trust.code"))
		if err != nil {
			return err
		}
		page.Parts = append(page.Parts, DoorPart{Anchor: "trust", Title: p.Say("people.firsttrust"), Say: []string{p.Say("people.firsttrustsay")}, Link: s.Trust.Plain, Code: trust})
	}
	part := DoorPart{Anchor: "link", Title: p.Say("people.thenlink"), Say: []string{p.Say("people.linksay", i.Name)}, Link: link, Code: code, Links: []Link{{To: "/people", Name: p.Say("people.title")}}}
	if onlyHere(base) {
		part.Say = append(part.Say, p.Say("people.onlyhere", s.ForPhones))
	}
	page.Parts = append(page.Parts, part)
	return s.draw(w, "door", http.StatusOK, page)
}

// phoneBase gives the address under which phones reach the pages.
func (s *Server) phoneBase(r *http.Request) string {
	if s.Trust != nil && s.Trust.Base != "" {
		return s.Trust.Base
	}
	scheme := "http"
	if r.TLS != nil {
		scheme = "https"
	}
	return scheme + "://" + r.Host
}

// onlyHere says whether an address is of this machine alone.
func onlyHere(base string) bool {
	u, err := url.Parse(base)
	return err == nil && thisMachine(u.Host)
}

func (s *Server) peopleWithdraw(w http.ResponseWriter, r *http.Request, _ person) error {
	if err := s.Door.Withdraw(r.Context(), r.PostForm.Get("hash")); err != nil {
		return err
	}
	seeOther(w, r, "/people")
	return nil
}

// peopleAct does one thing about one person.
func (s *Server) peopleAct(w http.ResponseWriter, r *http.Request, p person) error {
	id, to := r.PathValue("id"), "/people"
	var err error
	switch r.PathValue("act") {
	case "role":
		err = s.Door.SetRole(r.Context(), id, people.Role(r.PostForm.Get("role")))
	case "end":
		var n int
		n, err = s.Door.SignOutEverywhere(r.Context(), id, p.In.Session.Hash)
		to += "?ended=" + strconv.Itoa(n)
	case "shut":
		err = s.Door.Shut(r.Context(), id)
	case "reopen":
		err = s.Door.Reopen(r.Context(), id)
	case "renew":
		token, i, renewed := s.Door.Renew(r.Context(), p.In.Who, id)
		if err = renewed; err == nil {
			return s.drawLink(w, r, p, token, i)
		}
	default:
		return missing{p.Say("fault.nopage")}
	}
	refused, err := refusal(err)
	if err != nil {
		return err
	}
	if refused != nil {
		return s.drawPeople(w, r, p, "", people.Crew, refused, http.StatusUnprocessableEntity)
	}
	seeOther(w, r, to)
	return nil
}
