package web

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io"
	"net/http"
	"runtime/debug"
	"time"
)

// missing says that there is no such page, bin, pile or entry; the words are
// for the reader.
type missing struct{ say string }

func (m missing) Error() string { return m.say }

// tooLarge says that more was sent than is taken.
type tooLarge struct{ say, try string }

func (t tooLarge) Error() string { return t.say }

// FaultPage is shown instead of a page.
type FaultPage struct {
	Frame
	Heading, Say, Try, Reference string
	Links                        []Link
}

// page is a handler that returns its error.
type page func(w http.ResponseWriter, r *http.Request, p person) error

// The most a form may send, and the most a file may hold.
const (
	mostForm   = 1 << 20
	mostFile   = 48 << 20
	mostSwept  = 256 << 20 // read away so that the refusal is seen
	sweepWhile = 20 * time.Second
)

// handler turns a page into an http.Handler: it reads the form, and draws every
// error in one place.
func (s *Server) handler(f page, most int64) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		p := s.person(r)
		err := s.read(w, r, p, most)
		if err == nil {
			err = s.calm(f, w, r, p)
		}
		if err != nil {
			s.fault(w, r, p, err)
		}
	})
}

// read parses a form of bounded size; a page that takes files reads its own.
func (s *Server) read(w http.ResponseWriter, r *http.Request, p person, most int64) error {
	if r.Method != http.MethodPost {
		return nil
	}
	too := tooLarge{p.Say("fault.large", most>>20), p.Say("fault.largetry")}
	if r.ContentLength > most {
		s.sweep(w, r)
		return too
	}
	r.Body = http.MaxBytesReader(w, r.Body, most)
	if most > mostForm {
		return nil
	}
	if err := r.ParseForm(); err != nil {
		var limit *http.MaxBytesError
		if errors.As(err, &limit) {
			return too
		}
		return tooLarge{p.Say("fault.form"), p.Say("fault.formtry")}
	}
	return nil
}

// sweep reads away what was sent, within bounds, since a browser shows the
// answer only when its sending has ended.
func (s *Server) sweep(w http.ResponseWriter, r *http.Request) {
	_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(sweepWhile))
	_, _ = io.CopyN(io.Discard, r.Body, mostSwept)
}

// calm runs a page and turns a panic into an error of ours.
func (s *Server) calm(f page, w http.ResponseWriter, r *http.Request, p person) (err error) {
	defer func() {
		if x := recover(); x != nil {
			if x == http.ErrAbortHandler {
				panic(x)
			}
			s.Log.Error("panic", "path", r.URL.Path, "what", x, "stack", string(debug.Stack()))
			err = errors.New("panic in a page")
		}
	}()
	return f(w, r, p)
}

// fault draws an error: not there, too large, or ours with a short reference
// that finds the details in the log.
func (s *Server) fault(w http.ResponseWriter, r *http.Request, p person, err error) {
	var gone errGone
	if errors.As(err, &gone) || errors.Is(err, r.Context().Err()) && r.Context().Err() != nil {
		return
	}
	page := FaultPage{Frame: s.frame(r, p, p.Say("fault.title"), ""), Links: []Link{{To: "/round", Name: p.Say("nav.round")}, {To: "/more", Name: p.Say("nav.more")}}}
	page.One = true
	if p.In.outside() {
		page.Links = nil
	}
	status := http.StatusInternalServerError
	var none missing
	var large tooLarge
	switch {
	case errors.As(err, &none):
		status = http.StatusNotFound
		page.Heading, page.Say, page.Try = p.Say("fault.none"), none.say, p.Say("fault.nonetry")
	case errors.As(err, &large):
		status = http.StatusRequestEntityTooLarge
		page.Heading, page.Say, page.Try = p.Say("fault.toolarge"), large.say, large.try
	default:
		ref := reference()
		s.Log.Error("a page failed", "path", r.URL.Path, "reference", ref, "error", err.Error())
		page.Heading, page.Say, page.Try, page.Reference = p.Say("fault.ours"), p.Say("fault.oursay"), p.Say("fault.ourtry"), p.Say("fault.reference", ref)
	}
	page.Title = page.Heading
	if err := s.draw(w, "fault", status, page); err != nil && !errors.As(err, &gone) {
		s.Log.Error("the fault page failed", "error", err.Error())
		http.Error(w, p.Say("fault.oursay"), status)
	}
}

func reference() string {
	var b [3]byte
	_, _ = rand.Read(b[:])
	return hex.EncodeToString(b[:])
}
