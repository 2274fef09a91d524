package web

import (
	"bytes"
	"html"
	"net/http"
	"slices"

	"wormyard/internal/app"
	"wormyard/internal/ids"
	"wormyard/journal"
)

// answer is what became of a form that was sent.
type answer struct {
	saved string // id of the entry, empty when not saved
	form  Form
}

// keep reads a form, writes the entry, and when it is refused or doubtful gives
// the form back as typed with everything that is wrong marked.
func (s *Server) keep(r *http.Request, p person, sh slip) (answer, error) {
	kind, ok := p.kindNamed(sh.kind)
	if !ok {
		return answer{}, missing{p.Say("fault.nokind", html.UnescapeString(sh.kind))}
	}
	for key, fixed := range sh.fixed {
		r.PostForm.Set(key, fixed)
	}
	body, v, problems := s.bodyOf(r, p, kind)
	at, ps := moment(p, v["at"])
	problems = append(problems, ps...)
	who := v["who"]
	if who == "" {
		who = p.Who
	}
	photo, ps, err := s.photoOf(r, p)
	if err != nil {
		return answer{}, err
	}
	problems = append(problems, ps...)
	var ack app.Ack
	if body != nil {
		e := journal.Entry{ID: v["id"], Kind: kind.Name, At: at.UTC(), Who: who, Device: deviceOf(p), Body: body, Photo: photo}
		if at.IsZero() {
			e.At = p.Now.UTC()
		}
		if len(problems) > 0 { // something could not be read: only ask what else is wrong
			unread := keysOf(problems)
			for _, x := range journal.Check(&e, journal.Known{Units: p.Units, Zone: p.Zone, Now: p.Now}) {
				if told(kind, unread, x.Field) {
					continue
				}
				problems = append(problems, app.Problem{Field: x.Field, Say: x.Say, Try: x.Try, Doubt: x.Level == journal.Doubtful})
			}
		} else {
			if x, sent := s.sentBefore(p, e); sent { // kept by the browser and sent again with something else in it
				if sh.once {
					problems = []app.Problem{{Say: p.Say("outbox.other"), Try: p.Say("outbox.othertry")}}
				} else if r.PostForm.Get("yes") == digest(x) {
					if e.ID, err = s.anotherID(e); err != nil {
						return answer{}, err
					}
					v["id"] = e.ID
				} else {
					problems = x
				}
			}
			if len(problems) == 0 {
				if ack, err = s.write(r, e); err != nil {
					return answer{}, err
				}
				problems = ack.Problems
			}
		}
	}
	if ack.Saved {
		return answer{saved: ack.Entry.ID}, nil
	}
	f, err := s.formOf(p, sh, v)
	if err != nil {
		return answer{}, err
	}
	refused, doubtful := split(problems)
	f.Problems = mark(refused, f.Fields, f.More, f.When)
	f.Doubts = mark(doubtful, f.Fields, f.More, f.When)
	f.Yes = digest(doubtful)
	for _, x := range f.More {
		f.MoreOpen = f.MoreOpen || x.Bad != ""
	}
	for _, x := range f.When {
		f.WhenOpen = f.WhenOpen || x.Bad != ""
	}
	return answer{form: f}, nil
}

// sentBefore asks about a form that was written down already and now says
// something else: a person went back to it in the browser.
func (s *Server) sentBefore(p person, e journal.Entry) ([]app.Problem, bool) {
	known, _, found := s.entry(e.ID)
	if !found || known.Kind == e.Kind && sameBody(known.Body, e.Body) {
		return nil, false
	}
	return []app.Problem{{Doubt: true, Say: p.Say("form.again", printable(p.sentence(known))), Try: p.Say("form.againtry")}}, true
}

// anotherID gives the id of an entry that is written down beside the one whose
// form it came from. It follows from what is in it, so that sending twice makes
// no second one.
func (s *Server) anotherID(e journal.Entry) (string, error) {
	known, _, _ := s.entry(e.ID)
	raw, err := journal.Encode(e.Body)
	return ids.FromContent(known.At, slices.Concat([]byte(e.ID+" "+e.Kind+" "), raw), 0), err
}

// write records an entry. What is only doubtful is kept when the person has
// said yes to exactly these doubts. The same form sent twice is one entry.
func (s *Server) write(r *http.Request, e journal.Entry) (app.Ack, error) {
	if known, _, found := s.entry(e.ID); found && known.Kind == e.Kind && sameBody(known.Body, e.Body) {
		return app.Ack{Saved: true, Entry: *known}, nil
	}
	ack, err := s.Farm.Record(r.Context(), e, false)
	if err != nil || ack.Saved {
		return ack, err
	}
	refused, doubtful := split(ack.Problems)
	if len(refused) == 0 && len(doubtful) > 0 && r.PostForm.Get("yes") == digest(doubtful) {
		return s.Farm.Record(r.Context(), e, true)
	}
	return ack, nil
}

func sameBody(a, b any) bool {
	x, errX := journal.Encode(a)
	y, errY := journal.Encode(b)
	return errX == nil && errY == nil && bytes.Equal(x, y)
}
