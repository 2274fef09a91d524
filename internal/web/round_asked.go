package web

import (
	"encoding/json"
	"net/http"
	"slices"
	"time"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// What may be answered when the round asks whether bins were fed; the words of
// the journal's kind answer.
const (
	saidFed    = "fed"
	saidNot    = "not fed"
	saidNobody = "not known"
)

// askedAt gives when bins that are asked about would have been fed.
func askedAt(l round.Line) time.Time { return time.Unix(l.Items[0].Asked.Hour*3600, 0) }

// askAnswers gives the buttons of a line that asks.
func (s *Server) askAnswers(p person, l round.Line) []Answer {
	post := func(label, said string, main bool) Answer {
		return Answer{Label: label, To: lineTo(l, "/answer"), ID: s.NewID(p.Now), Value: said, Post: true, Main: main, Facts: askFacts(l, said)}
	}
	return []Answer{
		post(p.Say("ask.fed", p.Words.Day(askedAt(l).In(p.Zone))), saidFed, true), {Label: p.Say("ask.other"), To: lineTo(l, "/except")},
		post(p.Say("ask.not"), saidNot, false), post(p.Say("ask.nobody"), saidNobody, false), {Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true},
	}
}

// askBodies gives the entries of an answer: the answer itself and, where they were
// fed, the feedings of that day in the farm's usual way.
func askBodies(l round.Line, said string) []any {
	var out []any
	if said == saidFed {
		for _, items := range askedAlike(l) {
			depth := qty.Metre(items[0].Asked.DepthM)
			out = append(out, &journal.Feed{Bins: binsIn(round.Line{Items: items}), Batch: items[0].Asked.Mix, DepthM: &depth})
		}
	}
	return append(out, &journal.Answer{Bins: binsIn(l), Day: l.Items[0].Asked.Day, Said: said})
}

// askedAlike parts the items of a line by what they would have been fed.
func askedAlike(l round.Line) [][]round.Item {
	var out [][]round.Item
	for _, i := range l.Items {
		n := slices.IndexFunc(out, func(g []round.Item) bool { return g[0].Asked.DepthM == i.Asked.DepthM && g[0].Asked.Mix == i.Asked.Mix })
		if n < 0 {
			out = append(out, []round.Item{i})
			continue
		}
		out[n] = append(out[n], i)
	}
	return out
}

// askFacts gives the entries of an answer as a device keeps them: a feeding has
// the time of its own day.
func askFacts(l round.Line, said string) string {
	list := []outboxFact{}
	for _, b := range askBodies(l, said) {
		raw, err := journal.Encode(b)
		if err != nil {
			return ""
		}
		f := outboxFact{Kind: kindOf(b), Body: raw}
		if f.Kind == "feed" {
			f.At = askedAt(l).UTC().Format(time.RFC3339)
		}
		list = append(list, f)
	}
	raw, err := json.Marshal(list)
	if err != nil {
		return ""
	}
	return string(raw)
}

// roundAsked writes an answer down, all of it or nothing.
func (s *Server) roundAsked(w http.ResponseWriter, r *http.Request, p person, l round.Line) error {
	if bin := r.FormValue("bin"); bin != "" { // of a stop of the walk
		l.Items = slices.DeleteFunc(slices.Clone(l.Items), func(i round.Item) bool { return i.Bin != bin })
	}
	said := r.PostForm.Get("answer")
	if len(l.Items) == 0 || !slices.Contains([]string{saidFed, saidNot, saidNobody}, said) {
		return missing{p.Say("round.noline")}
	}
	id := r.PostForm.Get("id")
	var entries []journal.Entry
	for _, b := range askBodies(l, said) {
		e := journal.Entry{ID: id, Kind: kindOf(b), At: p.Now.UTC(), Who: p.Who, Device: "page", Body: b}
		if e.Kind == "feed" {
			e.At = askedAt(l).UTC()
		}
		if len(entries) > 0 {
			e.ID = s.NewID(p.Now)
		}
		entries = append(entries, e)
	}
	acks, err := s.Farm.RecordAll(r.Context(), entries, false)
	if err != nil {
		return err
	}
	var problems []app.Problem
	for _, a := range acks {
		problems = append(problems, a.Problems...)
	}
	if len(problems) > 0 { // the form shows what is odd about it
		return s.exceptForm(w, r, p, l, problems)
	}
	seeOther(w, r, withSaid(back(r, "/round"), acks[0].Entry.ID))
	return nil
}

// askSheet lays out the form of a feeding that was made otherwise than usual.
func (s *Server) askSheet(p person, l round.Line, sh *slip) {
	first := l.Items[0].Asked
	sh.kind, sh.open = "feed", []string{"depth_m", "batch", "bins"}
	sh.offer["depth_m"], sh.preset["depth_m"] = depthChips(p), depthText(p, qty.Metre(first.DepthM))
	sh.offer["batch"], sh.preset["batch"] = s.batchChips(p, first.Mix), first.Mix
}

// askWhen gives what the form of a line that asks says of its time.
func askWhen(p person, l round.Line) values {
	if l.Act != round.Ask {
		return values{}
	}
	return values{"at": askedAt(l).In(p.Zone).Format(momentLayout)}
}

// keepAsked writes the answer down that a feeding typed by form is: fed, for the
// bins that it names on that day, and not fed for the others.
func (s *Server) keepAsked(r *http.Request, p person, l round.Line, saved string) error {
	e, _, found := s.entry(saved)
	if l.Act != round.Ask || !found {
		return nil
	}
	day := l.Items[0].Asked.Day
	var fed, not []string
	b, _ := e.Body.(*journal.Feed)
	for _, bin := range binsIn(l) {
		if b != nil && slices.Contains(b.Bins, bin) && e.At.In(p.Zone).Format(journal.DayLayout) == day {
			fed = append(fed, bin)
		} else {
			not = append(not, bin)
		}
	}
	var entries []journal.Entry
	for _, x := range []struct {
		bins []string
		said string
	}{{fed, saidFed}, {not, saidNot}} {
		if len(x.bins) > 0 {
			entries = append(entries, journal.Entry{ID: s.NewID(p.Now), Kind: "answer", At: p.Now.UTC(), Who: p.Who, Device: "page", Body: &journal.Answer{Bins: x.bins, Day: day, Said: x.said}})
		}
	}
	_, err := s.Farm.RecordAll(r.Context(), entries, false)
	return err
}
