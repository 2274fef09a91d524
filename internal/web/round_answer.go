package web

import (
	"net/http"
	"net/url"
	"time"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/round"
)

// doneSince gives what was written down since the list was made.
func (s *Server) doneSince(list round.List) app.Written {
	return app.WrittenSince(s.Farm.State(), list.Made.Truncate(time.Millisecond))
}

// sinceOf gives when a round was made, as a device keeps it.
func sinceOf(list round.List) int64 {
	if list.Made.IsZero() {
		return 0
	}
	return list.Made.UnixMilli()
}

// answered tells what of a line is done, and whether all of it is.
func (s *Server) answered(p person, l round.Line, done app.Written) (string, bool) {
	open, last := done.Open(l)
	if last == nil {
		return "", false
	}
	who := whoOf(p, last.Who)
	if len(open.Items) == 0 {
		return p.Say("round.alldone", p.Moment(last.At), who), true
	}
	return p.Say("round.somedone", len(l.Items)-len(open.Items), len(l.Items), p.Moment(last.At), who), false
}

// put writes down what an answer stands for, all of it or nothing, and gives the id
// of the first entry, or what is wrong with any of them.
func (s *Server) put(r *http.Request, p person, id string, facts []app.Fact, sure bool) (string, []app.Problem, error) {
	acks, err := s.Farm.RecordAll(r.Context(), app.Entries(journal.Entry{ID: id, At: p.Now, Who: p.Who, Device: deviceOf(p)}, facts), sure)
	if err != nil {
		return "", nil, err
	}
	return acks[0].Entry.ID, app.ProblemsOf(acks), nil
}

// only makes the buttons of a line speak of one bin or pile of it.
func (l *ShownLine) only(what, name string) {
	for i := range l.Answers {
		if x := &l.Answers[i]; x.Post {
			x.To += "?" + url.Values{what: {name}}.Encode()
		}
	}
}

// ofStop gives the items of a line that an address names: one bin or pile, else all.
func ofStop(r *http.Request, l round.Line) round.Line {
	bin, pile := r.FormValue("bin"), r.FormValue("pile")
	if bin == "" && pile == "" {
		return l
	}
	return l.Only(func(i *round.Item) bool { return i.Bin == bin && i.Pile == pile })
}

// roundAnswer writes down how a line is answered. What others settled since the
// list was made is left out of it.
func (s *Server) roundAnswer(w http.ResponseWriter, r *http.Request, p person) error {
	l, err := s.line(r, p)
	if err != nil {
		return err
	}
	id := r.PostForm.Get("id")
	to := back(r, "/round")
	if _, _, known := s.entry(id); known { // the button was pressed twice
		seeOther(w, r, withSaid(to, id))
		return nil
	}
	how, asks := app.Done, l.Act == round.Ask || l.Act == round.Helped
	if asks {
		how = r.PostForm.Get("answer")
	}
	whole := ofStop(r, l)
	list, _, err := s.list(r.Context(), p)
	if err != nil {
		return err
	}
	open, by := s.doneSince(list).Open(whole)
	facts := app.Answer(open, how, "")
	if len(facts) == 0 {
		switch {
		case by != nil && len(open.Items) == 0:
			if asks { // it may have been answered otherwise
				return missing{p.Say("stop.settled", p.Moment(by.At), whoOf(p, by.Who))}
			}
			if by.Entry != "" { // the list shows it done, with what was written
				to = withSaid(to, by.Entry)
			}
			seeOther(w, r, to)
			return nil
		case asks:
			return missing{p.Say("round.noline")}
		}
		seeOther(w, r, lineTo(l, "/except"))
		return nil
	}
	saved, problems, err := s.put(r, p, id, facts, l.Act == round.Helped)
	if err != nil {
		return err
	}
	if len(problems) > 0 { // the form shows what is odd about it
		if s.exceptSheet(p, l).kind == "" {
			return missing{p.Told(problems[0].Say)}
		}
		return s.exceptForm(w, r, p, l, problems)
	}
	seeOther(w, r, withSaid(to, saved))
	return nil
}

// whoOf names who wrote something down.
func whoOf(p person, who string) string {
	if who == "" {
		return p.Say("when.nobody")
	}
	return who
}
