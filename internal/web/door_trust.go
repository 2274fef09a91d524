package web

import (
	"context"
	"net/http"
	"strings"
)

// Trust is the machine's own certificate authority as phones are told of it.
type Trust struct {
	Certificate []byte // DER
	Name        string // as a phone shows it
	Fingerprint string // SHA-256 in pairs
	Base        string // https address of the pages, as phones reach it
	Plain       string // http address of the page that explains trust
}

// TrustPage explains how a phone learns to trust the farm's certificate.
type TrustPage struct {
	Frame
	Heading                     string
	Why                         []string
	File, FileName              string
	PrintTitle, PrintSay, Print string
	Kinds                       []TrustKind
	Parts                       []DoorPart
}

// TrustKind is how one kind of device does it.
type TrustKind struct {
	Title string
	Steps []string
	Open  bool
}

// trustKinds name the kinds of device, with a sign by which the browser gives
// itself away, and their steps in the catalogue.
var trustKinds = []struct {
	sign, title string
	steps       []string
}{
	{"iPhone", "trust.iphone", []string{"trust.iphone.1", "trust.iphone.2", "trust.iphone.3", "trust.iphone.4"}},
	{"Android", "trust.android", []string{"trust.android.1", "trust.android.2", "trust.android.3", "trust.android.4"}},
	{"Windows", "trust.windows", []string{"trust.windows.1", "trust.windows.2", "trust.windows.3", "trust.windows.4"}},
	{"Macintosh", "trust.mac", []string{"trust.mac.1", "trust.mac.2", "trust.mac.3"}},
	{"X11; Linux", "trust.linux", []string{"trust.linux.1", "trust.linux.2", "trust.linux.3"}},
	{"Firefox", "trust.firefox", []string{"trust.firefox.1", "trust.firefox.2", "trust.firefox.3"}},
}

func (s *Server) trustShow(w http.ResponseWriter, r *http.Request, p person) error {
	if s.Trust == nil {
		return missing{p.Say("trust.none")}
	}
	t := s.Trust
	page := TrustPage{Frame: s.frame(r, p, p.Say("trust.title"), "more"), Heading: p.Say("trust.title"), Why: []string{p.Say("trust.why"), p.Say("trust.bound")},
		File: "/trust/authority.crt", FileName: p.Say("trust.file"), PrintTitle: p.Say("trust.compare"), PrintSay: p.Say("trust.comparesay", t.Name), Print: spaced(t.Fingerprint)}
	page.One = true
	agent := r.UserAgent()
	known := false
	for _, k := range trustKinds {
		x := TrustKind{Title: p.Say(k.title)}
		here := strings.Contains(agent, k.sign) || k.sign == "iPhone" && strings.Contains(agent, "iPad")
		x.Open, known = here && !known, known || here
		for _, key := range k.steps {
			x.Steps = append(x.Steps, p.Say(key))
		}
		page.Kinds = append(page.Kinds, x)
	}
	then := DoorPart{Anchor: "then", Title: p.Say("trust.then"), Say: []string{p.Say("trust.thensay")}, Link: t.Base, Links: []Link{{To: t.Base + "/", Name: p.Say("trust.open"), Main: true}}}
	page.Parts = append(page.Parts, then)
	if r.TLS != nil && t.Plain != "" {
		code, err := qrCode(t.Plain, p.Say("trust.code"))
		if err != nil {
			return err
		}
		page.Parts = append(page.Parts, DoorPart{Anchor: "others", Title: p.Say("trust.others"), Say: []string{p.Say("trust.otherssay")}, Link: t.Plain, Code: code})
	}
	return s.draw(w, "trust", http.StatusOK, page)
}

// spaced parts a fingerprint so that a line breaks between pairs.
func spaced(print string) string { return strings.ReplaceAll(print, ":", " ") }

// trustFile sends the authority's certificate under the name by which phones
// and browsers know that it is one (RFC 5280 leaves it open; x-x509-ca-cert is
// what all of them take).
func (s *Server) trustFile(w http.ResponseWriter, r *http.Request, p person) error {
	if s.Trust == nil {
		return missing{p.Say("trust.none")}
	}
	w.Header().Set("Content-Type", "application/x-x509-ca-cert")
	if _, err := w.Write(s.Trust.Certificate); err != nil {
		return errGone{err}
	}
	return nil
}

// Plain answers on plain http, for trust and nothing else: no farm is shown and
// nothing is written there.
func (s *Server) Plain() http.Handler {
	mux := http.NewServeMux()
	out := func(f page) http.Handler { // everyone is outside here
		next := s.handler(f, mostForm)
		return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), visitorKey{}, visitor{Guarded: true, words: s.reader(r)})))
		})
	}
	mux.Handle("GET /{$}", out(s.trustShow))
	mux.Handle("GET /trust", out(s.trustShow))
	mux.Handle("GET /trust/authority.crt", out(s.trustFile))
	mux.Handle("POST /choose", out(s.choose))
	mux.Handle(staticRoute, out(s.staticFile))
	mux.Handle("/", out(func(_ http.ResponseWriter, _ *http.Request, p person) error { return missing{p.Say("trust.only")} }))
	return s.protect(mux)
}
