package web

import (
	"bytes"
	"html"
	"net/http"
	"slices"
	"strings"

	"wormyard/internal/app"
	"wormyard/internal/ids"
	"wormyard/journal"
	"wormyard/qty"
)

// answer is what became of a form that was sent.
type answer struct {
	saved string // id of the entry, empty when not saved
	form  Form
	rows  bool // only a row of a list was added or taken off
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
	button := r.PostForm.Get(rowButton)
	dropTyped(r.PostForm, button)
	body, v, problems := s.bodyOf(r, p, kind)
	if button != "" {
		v.changeRows(kind, button)
		f, err := s.formOf(p, sh, v)
		return answer{form: f, rows: true}, err
	}
	if b, ok := body.(*journal.Release); ok {
		if err := s.pointAt(p, v["id"], b); err != nil {
			return answer{}, err
		}
	}
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
	var saved string
	agreedTo := false // the doubts about the whole
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
			sh.doubts = append(slices.Clone(sh.doubts), s.lotTaken(r, p, e)...)
			yes, ok := agreed(sh.doubts, r.PostForm.Get("yes"))
			if !ok && len(problems) == 0 {
				problems = sh.doubts
			}
			agreedTo = ok
			if len(problems) == 0 {
				if saved, problems, err = s.writeWith(r, e, alongOf(r).With(&e, p.Zone, p.Now), yes); err != nil {
					return answer{}, err
				}
			}
		}
	}
	if saved != "" {
		return answer{saved: saved}, nil
	}
	f, err := s.formOf(p, sh, v)
	if err != nil {
		return answer{}, err
	}
	refused, doubtful := split(problems)
	f.Problems = mark(onBoxes(kind, refused), f.Fields, f.More, f.When)
	f.Doubts = mark(onBoxes(kind, doubtful), f.Fields, f.More, f.When)
	if f.Yes = digest(doubtful); agreedTo {
		f.Yes = yesTo(sh.doubts, f.Yes)
	}
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

// yesJoin parts the yes to doubts about the whole from the yes to those about what
// is in it.
const yesJoin = "."

// write records an entry by itself.
func (s *Server) write(r *http.Request, e journal.Entry) (app.Ack, error) {
	saved, problems, err := s.writeWith(r, e, nil, r.PostForm.Get("yes"))
	e.ID = saved
	return app.Ack{Saved: saved != "", Entry: e, Problems: problems}, err
}

// writeWith records an entry with what was ticked beside it, all of it or nothing. What
// is only doubtful is kept when the person has said yes to exactly these doubts.
// The same form sent twice is one entry.
func (s *Server) writeWith(r *http.Request, e journal.Entry, along []app.Fact, yes string) (saved string, problems []app.Problem, err error) {
	if known, _, found := s.entry(e.ID); found && known.Kind == e.Kind && sameBody(known.Body, e.Body) {
		return known.ID, nil, nil
	}
	entries := app.Entries(e, append([]app.Fact{{Body: e.Body}}, along...))
	entries[0] = e
	return s.writeAll(r, entries, yes)
}

// writeAll records entries that belong together, and gives the id of the first.
func (s *Server) writeAll(r *http.Request, entries []journal.Entry, yes string) (saved string, problems []app.Problem, err error) {
	acks, err := s.Farm.RecordAll(r.Context(), entries, false)
	if err != nil {
		return "", nil, err
	}
	problems = app.ProblemsOf(acks)
	refused, doubtful := split(problems)
	if len(refused) == 0 && len(doubtful) > 0 && yes == digest(doubtful) {
		if acks, err = s.Farm.RecordAll(r.Context(), entries, true); err != nil {
			return "", nil, err
		}
		problems = app.ProblemsOf(acks)
	}
	if len(problems) > 0 {
		return "", problems, nil
	}
	return acks[0].Entry.ID, nil, nil
}

// agreed takes the yes to doubts about the whole off a yes; false where it is not
// given. Without such doubts the yes is as it came.
func agreed(doubts []app.Problem, yes string) (rest string, ok bool) {
	if len(doubts) == 0 {
		return yes, true
	}
	rest, ok = strings.CutPrefix(yes, digest(doubts))
	return strings.TrimPrefix(rest, yesJoin), ok
}

// yesTo is the yes that a button sends, with the one to doubts about the whole that
// was given before.
func yesTo(doubts []app.Problem, yes string) string {
	if len(doubts) == 0 {
		return yes
	}
	return digest(doubts) + yesJoin + yes
}

// alongOf reads from a form what goes with its entry.
func alongOf(r *http.Request) (a app.Along) {
	also := r.PostForm["also"]
	if kg, ok := qty.Number(r.PostForm.Get("along_water_kg")); ok && slices.Contains(also, "water") {
		a.WaterKg = kg
	}
	if slices.Contains(also, "cover") {
		a.Cover = r.PostForm.Get("along_cover")
	}
	a.Day = r.PostForm.Get("asked_day")
	for _, bin := range strings.Split(r.PostForm.Get("asked_bins"), "\n") {
		if bin = strings.TrimSpace(bin); bin != "" {
			a.Asked = append(a.Asked, bin)
		}
	}
	return a
}

func sameBody(a, b any) bool {
	x, errX := journal.Encode(a)
	y, errY := journal.Encode(b)
	return errX == nil && errY == nil && bytes.Equal(x, y)
}
