package web

import (
	"fmt"
	"net/http"
	"sync"
	"time"
)

// A page of the round that stands open learns by server-sent events (HTML
// standard, section 9.2) that something was written down or that the round
// under way got further, and that of the year how far its plan is. An event carries nothing but a mark of the farm as it
// is; a page whose own mark is another gets itself anew and changes what
// changed. So there is one way in which a page is drawn.

const (
	liveEvery  = time.Second      // how often a mark is looked at
	liveBeat   = 20 * time.Second // how often a line is sent that keeps the way open
	mostLive   = 6                // pages of one session, or of one address without a door, that listen at once
	liveWrites = 10 * time.Second // how long a write may take
)

// Live is what a page needs to stay as the farm is.
type Live struct {
	Mark string
	At   string // under which the page gets itself anew
}

// listeners counts the pages that listen, by whose they are, and sends them
// home when the farm closes.
type listeners struct {
	mu     sync.Mutex
	of     map[string]int
	closed chan struct{}
	once   sync.Once
}

func newListeners() *listeners { return &listeners{of: map[string]int{}, closed: make(chan struct{})} }

func (l *listeners) join(whose string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.of[whose] >= mostLive {
		return false
	}
	l.of[whose]++
	return true
}

func (l *listeners) leave(whose string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.of[whose]--; l.of[whose] <= 0 {
		delete(l.of, whose)
	}
}

func (l *listeners) close() { l.once.Do(func() { close(l.closed) }) }

// EndLive sends every listening page home, so that a server can shut down.
func (s *Server) EndLive() { s.live.close() }

// liveMark stands for all that a page of the round shows.
func (s *Server) liveMark() string {
	now := s.Farm.State()
	mark := fmt.Sprintf("%d-%s", now.Entries, now.LastID)
	if s.Work == nil {
		return mark
	}
	j := s.Work.Progress()
	return fmt.Sprintf("%s-%t-%d-%t", mark, j.Running, j.Done, j.Failed)
}

// roundEvents tells a page that the farm's mark is another, for as long as the
// page listens and its session lasts.
func (s *Server) roundEvents(w http.ResponseWriter, r *http.Request, _ person) error {
	return s.tellMarks(w, r, s.liveMark)
}

// tellMarks sends a mark whenever it is another.
func (s *Server) tellMarks(w http.ResponseWriter, r *http.Request, mark func() string) error {
	whose := address(r)
	if v := visitorOf(r); v.Signed {
		whose = v.Session.Hash
	}
	if !s.live.join(whose) {
		w.WriteHeader(http.StatusNoContent) // a browser then asks no more
		return nil
	}
	defer s.live.leave(whose)
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("X-Accel-Buffering", "no") // a proxy in between passes it on at once
	out := http.NewResponseController(w)
	say := func(format string, args ...any) error {
		if err := out.SetWriteDeadline(time.Now().Add(liveWrites)); err != nil {
			return err
		}
		if _, err := fmt.Fprintf(w, format, args...); err != nil {
			return errGone{err}
		}
		if err := out.Flush(); err != nil {
			return errGone{err}
		}
		return nil
	}
	last := mark()
	if err := say("retry: 5000\nevent: mark\ndata: %s\n\n", last); err != nil {
		return err
	}
	look, beat := time.NewTicker(s.liveEvery), time.NewTicker(s.liveBeat)
	defer look.Stop()
	defer beat.Stop()
	for {
		select {
		case <-r.Context().Done():
			return nil
		case <-s.live.closed:
			return nil
		case <-beat.C:
			if gone, err := s.sessionOver(r); err != nil || gone {
				return err
			}
			if err := say(": still here\n\n"); err != nil {
				return err
			}
		case <-look.C:
			now := mark()
			if now == last {
				continue
			}
			if gone, err := s.sessionOver(r); err != nil || gone {
				return err
			}
			last = now
			if err := say("event: mark\ndata: %s\n\n", now); err != nil {
				return err
			}
		}
	}
}

// sessionOver says whether somebody who was in when they asked is so no more.
func (s *Server) sessionOver(r *http.Request) (bool, error) {
	if s.Door == nil || !visitorOf(r).Guarded {
		return false, nil
	}
	ok, err := s.Door.Still(r.Context(), doorCookie(r, sessionCookie))
	return !ok, err
}
