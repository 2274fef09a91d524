package web

import (
	"net/http"
	"slices"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/source"
	"wormyard/journal"
	"wormyard/round"
	"wormyard/trouble"
)

// RemedyDone is one thing that may be said of a cause: that it looks like it, or
// what became of its remedy.
type RemedyDone struct {
	To, ID, Back, Cause, Sighting, Do string
	Say, Label, Facts                 string
	Main                              bool
}

// What may be said of a remedy, in the words of the journal's kind outcome, and
// what begins one.
const (
	remedyBegin = "begin"
	remedyDrop  = "dropped"
)

func (p person) causeWord(name string) string {
	return p.wordOr(name, "trouble.cause."+strings.ReplaceAll(name, " ", "_"))
}

func (p person) stepWord(name string) string {
	return p.wordOr(name, "trouble.do."+strings.ReplaceAll(name, " ", "_"))
}

// stepNow tells a step on the day on which it is to be done.
func (p person) stepNow(name string) string {
	return p.wordOr(p.stepWord(name), "remedy.now."+strings.ReplaceAll(name, " ", "_"))
}

// seenWords tells what a sighting was, its signs in the reader's language.
func (p person) seenWords(x *farm.Sighting) string {
	var said []string
	if x.What != "" && x.What != strings.Join(x.Signs, ", ") {
		said = append(said, x.What)
	}
	for _, sign := range x.Signs {
		said = append(said, p.choice("signs", sign))
	}
	return strings.Join(said, p.Say("list.comma"))
}

// remedyShown fills in what became of a cause's remedy before, and what may be
// said of it now.
func (s *Server) remedyShown(p person, b *farm.Bin, d *app.Diagnosis, c trouble.Cause, tried []app.Remedy, here string, out *CauseShown) {
	name := app.TroubleName(c.Key)
	sighting := ""
	if d.Sighting != nil {
		sighting = d.Sighting.Entry
	}
	var under *app.Remedy
	for i := range tried {
		if x := &tried[i]; x.Cause == name {
			if x.End == nil {
				under = x
			} else if say := triedSay(p, *x); say != "" {
				out.Tried = append(out.Tried, say)
			}
		}
	}
	if n := len(out.Tried); n > 2 {
		out.Tried = out.Tried[n-2:]
	}
	if b.Bed == nil {
		return
	}
	act := func(do, say string, main bool) {
		x := RemedyDone{To: binTo(b.Name) + "/trouble", ID: s.NewID(p.Now), Back: here, Cause: name, Sighting: sighting, Do: do, Say: say, Label: p.Say("trouble.item", say, out.Name), Main: main}
		x.Facts = factsOf(remedyBodies(p, b, c, sighting, do))
		out.Acts = append(out.Acts, x)
	}
	if under == nil {
		act(remedyBegin, p.Say("remedy.begin"), true)
		return
	}
	out.Under = underSay(p, *under)
	for _, said := range app.SaidHelped {
		act(said, p.Say("remedy.said."+said), false)
	}
	act(remedyDrop, p.Say("remedy.drop"), false)
}

// remedyBodies gives the entries that begin a remedy or say what became of it. One
// that stops the feed lets the bin rest until it is fed again.
func remedyBodies(p person, b *farm.Bin, c trouble.Cause, sighting, do string) []app.Fact {
	name, bins := app.TroubleName(c.Key), []string{b.Name}
	switch {
	case do == remedyDrop || slices.Contains(app.SaidHelped, do):
		return []app.Fact{{Body: &journal.Outcome{Bins: bins, Cause: name, Said: do}}}
	case do != remedyBegin || b.Bed == nil:
		return nil
	}
	r := &journal.Remedy{Bins: bins, Cause: name, Sighting: sighting}
	out := []app.Fact{{Body: r}}
	for _, x := range c.Do {
		r.Steps = append(r.Steps, app.TroubleName(x.Key))
		if x.Kind == "rest" && b.Bed.Rest == nil {
			out = append(out, app.Fact{Body: &journal.Hold{Bin: b.Name, Why: p.causeWord(name)}})
		}
	}
	return out
}

// remedySave writes down that a bin looks like a cause, or what became of it.
func (s *Server) remedySave(w http.ResponseWriter, r *http.Request, p person) error {
	_, b, err := s.bin(r, p)
	if err != nil {
		return err
	}
	book, err := source.Trouble()
	if err != nil {
		return err
	}
	to, id := back(r, binTo(b.Name)), r.PostForm.Get("id")
	if _, _, known := s.entry(id); known { // the button was pressed twice
		seeOther(w, r, withSaid(to, id))
		return nil
	}
	sighting := r.PostForm.Get("sighting")
	if !slices.ContainsFunc(b.Sightings, func(x farm.Sighting) bool { return x.Entry == sighting }) {
		sighting = ""
	}
	c, ok := book.Cause(strings.ReplaceAll(r.PostForm.Get("cause"), " ", "_"))
	bodies := remedyBodies(p, b, c, sighting, r.PostForm.Get("do"))
	if !ok || len(bodies) == 0 {
		return missing{p.Say("remedy.none")}
	}
	saved, problems, err := s.put(r, p, id, bodies, true)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return missing{p.Told(problems[0].Say)}
	}
	seeOther(w, r, withSaid(to, saved))
	return nil
}

// triedSay tells how a remedy that ended went; empty where there is nothing to
// learn from it.
func triedSay(p person, r app.Remedy) string {
	if n := len(r.Said); n > 0 {
		return p.Say("remedy.tried."+r.Said[n-1].Said, p.Moment(r.At))
	}
	if r.End != nil && r.End.Said == remedyDrop {
		return p.Say("remedy.tried.dropped", p.Moment(r.At))
	}
	return ""
}

// underSay tells how far a remedy is that is under way.
func underSay(p person, r app.Remedy) string {
	done := 0
	for _, x := range r.Steps {
		if x.Done != nil {
			done++
		}
	}
	say := p.Say("remedy.under", p.Moment(r.At), done, len(r.Steps))
	if n := len(r.Said); n > 0 {
		say = p.Say("remedy.underbetter", p.Moment(r.At), done, len(r.Steps), p.Moment(r.Said[n-1].At))
	}
	return say
}

// remedyLinks tells on a bin's page what is done against its troubles, and how the
// last remedy went.
func remedyLinks(p person, state *farm.State, b *farm.Bin) (out []Link, err error) {
	list, err := app.Remedies(state, b)
	last := ""
	for _, r := range list {
		if r.End == nil {
			out = append(out, Link{To: troubleTo(b.Name, r.Sighting), Name: p.Say("remedy.atbin", p.causeWord(r.Cause), underSay(p, r)), Note: p.Say("remedy.see")})
		} else if say := triedSay(p, r); say != "" {
			last = p.Say("remedy.atbin", p.causeWord(r.Cause), say)
		}
	}
	if last != "" {
		out = append(out, Link{To: troubleTo(b.Name, ""), Name: last, Note: p.Say("remedy.see")})
	}
	return out, err
}

// withRemedies adds to a list the steps of remedies that are due and the questions
// whether they helped. They are read from the journal whenever the list is shown:
// a remedy is decided by people, so no twin has a say in it. What was done since
// the list was made stays in it, as done.
func withRemedies(p person, state *farm.State, l round.List) (round.List, error) {
	limits, err := source.TroubleLimits()
	if err != nil {
		return l, err
	}
	lines := map[string]*round.Line{}
	var order []string
	add := func(key string, it round.Item) {
		if lines[key] == nil {
			lines[key] = &round.Line{Key: key, Act: it.Act, Urgency: round.Today}
			order = append(order, key)
		}
		x := lines[key]
		x.Items = append(x.Items, it)
		x.Minutes += it.Minutes
	}
	for _, b := range state.Living() {
		list, err := app.Remedies(state, b)
		if err != nil {
			return l, err
		}
		for _, r := range list {
			for _, x := range r.Steps {
				shown := r.End == nil && !x.Due.After(p.Now) && !x.Rests
				if x.Done != nil && (x.Rests || x.Done.At.Before(l.Made)) || x.Done == nil && !shown {
					continue
				}
				it := mendItem(p, state, r, round.Mend)
				it.Remedy.Step, it.Remedy.Write, it.Minutes, it.Say = x.Name, x.Write, limits.StepMin, p.stepNow(x.Name)
				if x.Done != nil {
					it.Remedy.Done, it.Remedy.By = x.Done.At, x.Done.Who
				}
				add(app.MendKey(r.Cause, x.Name), it)
			}
			it := mendItem(p, state, r, round.Helped)
			it.Say = p.Say("remedy.ask")
			if r.End != nil || r.Asks.IsZero() || r.Asks.After(p.Now) {
				n := len(r.Said)
				if n == 0 || r.Said[n-1].At.Before(l.Made) {
					continue
				}
				it.Remedy.Done, it.Remedy.By = r.Said[n-1].At, r.Said[n-1].Who
			}
			add(app.HelpedKey(r.Cause), it)
		}
	}
	if len(order) == 0 {
		return l, nil
	}
	l.Lines = slices.Clone(l.Lines)
	for _, key := range order {
		x := lines[key]
		first := x.Items[0]
		x.Reason, x.Caution = first.Reason, first.Caution
		x.Say = p.mendSay(*x)
		l.Lines = append(l.Lines, *x)
		l.Minutes += x.Minutes
	}
	return l, nil
}

// mendSay tells a line of a remedy.
func (p person) mendSay(l round.Line) string {
	places, first := p.Words.List(placesIn(l)), l.Items[0]
	if l.Act == round.Helped {
		return p.Say("remedy.askline", places, p.causeWord(first.Remedy.Cause))
	}
	return p.Say("remedy.line", places, first.Say)
}

// mendItem gives an item of a remedy without its step.
func mendItem(p person, state *farm.State, r app.Remedy, act round.Act) round.Item {
	b := r.Bin
	it := round.Item{Bin: b.Name, Place: state.Called(b), Barn: b.Slot.Barn, Row: b.Slot.Row, Stack: b.Slot.Stack, Level: b.Slot.Level, Above: len(state.Places().Above(b.Name)),
		Act: act, Urgency: round.Today, Chances: []round.Chance{}, Remedy: &round.Remedy{Cause: r.Cause, Since: r.At}}
	it.Reason = p.Say("remedy.why", p.causeWord(r.Cause), p.Moment(r.At))
	for i := range b.Sightings {
		if x := &b.Sightings[i]; x.Entry == r.Sighting {
			it.Reason = p.Say("remedy.whyseen", p.seenWords(x), p.Moment(x.At), p.causeWord(r.Cause))
		}
	}
	var care []string
	for _, key := range r.Of.Care {
		care = append(care, p.Say("trouble.care."+key))
	}
	if it.Above > 0 {
		it.Lift = it.Above
		care = append(care, p.Say("care.truck"))
	}
	if act == round.Mend {
		it.Caution = strings.Join(care, " ")
	}
	return it
}

// mendForm names the kind of entry that writes a step down with its amounts,
// empty where a tick says all.
func mendForm(i round.Item) string {
	if i.Remedy != nil && slices.Contains([]string{"turn", "look", "water", "cover", "feed"}, i.Remedy.Write) {
		return i.Remedy.Write
	}
	return ""
}

// mendAnswers gives the buttons of a step.
func (s *Server) mendAnswers(p person, l round.Line, post func(string) Answer) []Answer {
	label := p.Say("answer.done")
	if len(l.Items) > 1 {
		label = p.Say("answer.all")
	}
	out := []Answer{post(label)}
	if mendForm(l.Items[0]) != "" {
		out = append(out, Answer{Label: p.Say("trouble.write"), To: lineTo(l, "/except")})
	}
	return append(out, Answer{Label: p.Say("remedy.see"), To: troubleTo(l.Items[0].Bin, ""), Quiet: true})
}

// helpedAnswers gives the buttons of the question whether a remedy helped.
func (s *Server) helpedAnswers(p person, l, open round.Line) []Answer {
	var out []Answer
	for _, said := range app.SaidHelped {
		out = append(out, Answer{Label: p.Say("remedy.said." + said), To: lineTo(l, "/answer"), ID: s.NewID(p.Now), Value: said, Post: true, Facts: factsOf(app.Answer(open, said, ""))})
	}
	return append(out, Answer{Label: p.Say("remedy.see"), To: troubleTo(l.Items[0].Bin, ""), Quiet: true})
}

// remediesFirst shows the remedies before the rows, after what cannot wait.
func remediesFirst(p person, groups []LineGroup) {
	n := len(groups) - 1
	if n < 1 || groups[n].Title != p.Say("remedy.group") {
		return
	}
	at := 0
	if groups[0].Title == p.Say("round.first") {
		at = 1
	}
	last := groups[n]
	copy(groups[at+1:], groups[at:n])
	groups[at] = last
}

// remedySentence tells an entry of a remedy in the reader's language; empty for
// any other.
func (p person) remedySentence(e *journal.Entry) string {
	switch b := e.Body.(type) {
	case *journal.Remedy:
		return p.Say("remedy.entry.begun", p.Words.List(b.Bins), p.causeWord(b.Cause))
	case *journal.Outcome:
		if b.Said != "done" {
			return p.Say("remedy.entry."+b.Said, p.Words.List(b.Bins), p.causeWord(b.Cause))
		}
		var steps []string
		for _, x := range b.Steps {
			steps = append(steps, p.stepWord(x))
		}
		return p.Say("remedy.entry.done", p.Words.List(b.Bins), strings.Join(steps, " "))
	}
	return ""
}
