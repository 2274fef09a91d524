package web

import (
	"context"
	"encoding/json"
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"strings"
	"time"

	"wormyard/internal/people"
	"wormyard/internal/web/words"
)

// visitor is who asks for a page. The zero visitor is somebody on a farm
// without a door, where everyone at the machine may do everything.
type visitor struct {
	people.Who
	Guarded bool // there is an owner, so that one signs in
	Signed  bool
	words   *words.Catalogue
}

// outside says whether somebody still stands before the door.
func (v visitor) outside() bool { return v.Guarded && !v.Signed }

// may says whether a visitor may do what least is needed for.
func (v visitor) may(least people.Role) bool {
	return !v.Guarded || v.Signed && v.Role().May(least) || least == people.Nobody
}

type visitorKey struct{}

func visitorOf(r *http.Request) visitor { return visitorIn(r.Context()) }

func visitorIn(ctx context.Context) visitor {
	v, _ := ctx.Value(visitorKey{}).(visitor)
	return v
}

// at puts a page at its address behind the door.
func (s *Server) at(mux *http.ServeMux, at string, f page, most int64) {
	s.gated = append(s.gated, at)
	mux.Handle(at, s.gate(at, s.handler(f, most)))
}

// gate lets through who may see an address. Who is not signed in is asked to,
// and keeps what they typed; an address that the table of roles lacks is the
// owner's.
func (s *Server) gate(at string, next http.Handler) http.Handler {
	least, known := leastRole(at)
	if !known {
		least = people.Owner
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.Door == nil || at == staticRoute {
			next.ServeHTTP(w, r)
			return
		}
		v, err := s.visit(r)
		if err != nil {
			s.fault(w, r, s.person(r), err)
			return
		}
		r = r.WithContext(context.WithValue(r.Context(), visitorKey{}, v))
		switch {
		case v.may(least) && (v.Guarded || fromHere(r)):
			next.ServeHTTP(w, r)
		case !v.Guarded: // another machine, and nobody to sign in as yet
			s.refused(w, r, http.StatusForbidden, "door.noowner")
		case !v.Signed:
			s.ask(w, r, at, false)
		case v.Session.ByPIN && v.Account.Role.May(least):
			s.ask(w, r, at, true)
		case least == people.Owner:
			s.refused(w, r, http.StatusForbidden, "door.ownersonly")
		default:
			s.refused(w, r, http.StatusForbidden, "door.crewonly")
		}
	})
}

// visit finds out who asks.
func (s *Server) visit(r *http.Request) (v visitor, err error) {
	v.words = s.reader(r)
	if v.Guarded, err = s.Door.HasOwner(r.Context()); err != nil || !v.Guarded {
		return v, err
	}
	v.Who, v.Signed, err = s.Door.Who(r.Context(), doorCookie(r, sessionCookie))
	return v, err
}

// ask answers somebody who is not signed in, or came in by PIN where only the
// password opens.
func (s *Server) ask(w http.ResponseWriter, r *http.Request, at string, byPIN bool) {
	key, status := "door.signinfirst", http.StatusUnauthorized
	if byPIN {
		key, status = "door.bypin", http.StatusForbidden
	}
	if wantsJSON(r) {
		s.refused(w, r, status, key)
		return
	}
	looks := r.Method == http.MethodGet || r.Method == http.MethodHead
	if looks && !byPIN {
		to := "/sign-in"
		if u := r.URL.RequestURI(); u != "/" && u != "/round" {
			to += "?to=" + url.QueryEscape(u)
		}
		seeOther(w, r, to)
		return
	}
	s.handler(func(w http.ResponseWriter, r *http.Request, p person) error {
		sign := signIn{to: r.URL.RequestURI(), expired: !byPIN, byPIN: byPIN}
		switch {
		case looks:
		case carries(at):
			sign.kept = r.PostForm.Encode()
		default:
			sign.to, sign.lost = back(r, "/round"), true
		}
		return s.drawSignIn(w, r, p, sign, status)
	}, mostForm).ServeHTTP(w, r)
}

// refusals are the words for why a page is not shown, by their heading.
var refusals = map[string][2]string{
	"door.noowner":     {"door.noowner.say", "door.noowner.try"},
	"door.hasowner":    {"door.hasowner.say", "door.hasowner.try"},
	"door.bypin":       {"door.bypin.say", "door.bypin.try"},
	"door.ownersonly":  {"door.ownersonly.say", "door.ownersonly.try"},
	"door.crewonly":    {"door.crewonly.say", "door.crewonly.try"},
	"door.signinfirst": {"door.signinfirst.say", "door.signinfirst.try"},
	"door.noinvite":    {"door.noinvite.say", "door.noinvite.try"},
}

// refused says in words why a page is not shown.
func (s *Server) refused(w http.ResponseWriter, r *http.Request, status int, key string) {
	p := s.person(r)
	say, try := p.Say(refusals[key][0]), p.Say(refusals[key][1])
	if status == http.StatusUnauthorized {
		w.Header().Set("WWW-Authenticate", `Session realm="farm"`)
	}
	if wantsJSON(r) {
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(status)
		_ = json.NewEncoder(w).Encode(map[string]any{"problems": []map[string]string{{"say": say, "try": try}}})
		return
	}
	page := FaultPage{Frame: s.frame(r, p, p.Say(key), ""), Heading: p.Say(key), Say: say, Try: try}
	page.One = true
	if p.In.outside() {
		page.Links = []Link{{To: "/sign-in", Name: p.Say("door.signin")}}
	} else {
		page.Links = []Link{{To: "/round", Name: p.Say("nav.round")}}
	}
	if err := s.draw(w, "fault", status, page); err != nil {
		s.Log.Error("the fault page failed", "error", err.Error())
	}
}

func wantsJSON(r *http.Request) bool {
	return strings.HasPrefix(r.Header.Get("Accept"), "application/json")
}

// waiting says how long to wait, in whole seconds or minutes.
func (p person) waiting(d time.Duration) string {
	if d <= 90*time.Second {
		return p.Count("door.seconds", max(1, int((d+time.Second-1)/time.Second)))
	}
	return p.Count("age.minutes", int((d+time.Minute-1)/time.Minute))
}

// fromHere says whether a request comes from this machine.
func fromHere(r *http.Request) bool {
	at, err := netip.ParseAddrPort(r.RemoteAddr)
	return err == nil && at.Addr().Unmap().IsLoopback()
}

// address gives what tries are counted by: an address, or the network of one
// where a machine has as many addresses as it likes.
func address(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	ip, err := netip.ParseAddr(host)
	if err != nil {
		return host
	}
	if ip = ip.Unmap(); ip.Is6() {
		if n, err := ip.WithZone("").Prefix(64); err == nil {
			return n.String()
		}
	}
	return ip.String()
}

// The cookies of the door. With TLS their names begin with __Host-, which a
// browser takes only from this very host over TLS (RFC 6265bis), so that no
// other site and no plain page can plant one.
const (
	sessionCookie = "wormyard-session"
	deviceCookie  = "wormyard-device"
	deviceAge     = 400 * 24 * 60 * 60 // the longest that browsers keep one
)

func cookieName(r *http.Request, name string) string {
	if r.TLS != nil {
		return "__Host-" + name
	}
	return name
}

func doorCookie(r *http.Request, name string) string {
	c, err := r.Cookie(cookieName(r, name))
	if err != nil {
		return ""
	}
	return c.Value
}

func setDoorCookie(w http.ResponseWriter, r *http.Request, name, value string, age int) {
	http.SetCookie(w, &http.Cookie{Name: cookieName(r, name), Value: value, Path: "/", MaxAge: age, HttpOnly: true, Secure: r.TLS != nil, SameSite: http.SameSiteLaxMode})
}

// let gives the browser the tokens of a session that began.
func let(w http.ResponseWriter, r *http.Request, in people.Entered) {
	age := people.SessionLongest
	if in.Who.Session.ByPIN {
		age = people.PINLongest
	}
	setDoorCookie(w, r, sessionCookie, in.Session, int(age.Seconds()))
	setDoorCookie(w, r, deviceCookie, in.Device, deviceAge)
}

// visitOf gives where somebody comes from.
func visitOf(r *http.Request) people.Visit {
	return people.Visit{Session: doorCookie(r, sessionCookie), Device: doorCookie(r, deviceCookie), Name: strings.TrimSpace(r.PostForm.Get("device")), Address: address(r)}
}

// localPath gives an address of ours, or another where it is none.
func localPath(to, otherwise string) string {
	u, err := url.Parse(to)
	if err != nil || u.Scheme != "" || u.Host != "" || u.User != nil || !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.Contains(to, "\\") {
		return otherwise
	}
	for _, r := range to {
		if r < ' ' || r == 0x7f {
			return otherwise
		}
	}
	for _, own := range []string{"/sign-in", "/switch", "/again/"} {
		if strings.HasPrefix(u.Path, own) {
			return otherwise
		}
	}
	return to
}
