package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/round"
)

// WalkPage is the round one stop at a time.
type WalkPage struct {
	Frame
	Heading, Under     string
	Percent            int
	Progress, Minutes  string
	Paces              []string // how long acts take here
	Live               *Live
	Line               *ShownLine
	StopKey, Act, Bin  string
	Step               string // of a remedy
	Facts              string // what a tick stands for, as a device keeps it
	After              string // where one goes without signal
	LineKey, Subject   string
	ID                 string
	Done               bool   // the stop can be ticked as it is advised
	Changed            string // the form for another amount, or the only way
	ChangedSay         string
	Ways               []WalkWay
	Asks               []Answer // where the stop is a question
	Before, Next       string
	Settled            string
	Offer              *Link
	LeftTitle          string
	Lefts              []string
	Open               string
	Problem, Empty, To string
	Opened             string // which of the ways stands open
	Truck              string // what the truck takes down first
}

// WalkWay is a way to leave a stop, with the reasons most given.
type WalkWay struct {
	How, Title string
	All        bool // every open stop that this visit of the truck reaches
	Open       bool
	Reasons    []string
	BoxID      string
	Facts      string // of a whole visit: the entries, each still without its reason
	Stops      string // that it settles, as a device keeps them
	After      string // where one goes without signal
}

// stop is one thing to do at one place.
type stop struct {
	line    round.Line // with this place alone
	done    string     // what was written down of it
	left    *farm.LeftWork
	settled bool
	next    string // where one goes after it without signal
}

// about names the bin or the pile of a stop.
func (x stop) about() string {
	if i := x.line.Items[0]; i.Bin != "" {
		return i.Bin
	}
	return x.line.Items[0].Pile
}

// key names a stop of the round's day among what a device holds.
func (x stop) key() string {
	return strings.Join([]string{string(x.line.Act), x.about(), x.line.Key}, "|")
}

// stops gives the round place by place: what cannot wait, then row by row,
// stack by stack, from the top down, and the piles last.
func (s *Server) stops(p person, list round.List) []stop {
	done := s.doneSince(list)
	lefts := s.lefts(p)
	var out []stop
	for _, l := range list.Lines {
		for _, i := range l.Items {
			if l.Act != round.Ask && l.Act != round.Helped && !slices.Contains(journal.RoundActs, string(l.Act)) || i.Bin == "" && i.Pile == "" {
				continue
			}
			one := l
			one.Say, one.Reason, one.Sure, one.Caution, one.Minutes = i.Say, i.Reason, i.Sure, i.Caution, i.Minutes
			one.Items, one.Except = []round.Item{i}, nil
			x := stop{line: one}
			x.done, x.settled = s.answered(p, one, done)
			if w, ok := lefts[leftKeyOf(i)]; ok && !x.settled && !w.At.Before(midnight(p.Now)) && !w.At.Before(list.Made.Truncate(time.Millisecond)) {
				x.left, x.settled = &w, true
			}
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b stop) int {
		x, y := a.line.Items[0], b.line.Items[0]
		if m, n := a.line.Urgency == round.Now, b.line.Urgency == round.Now; m != n {
			return pick2(m, -1, 1)
		}
		if m, n := x.Bin == "", y.Bin == ""; m != n {
			return pick2(m, 1, -1)
		}
		if c := barn.Natural(x.Barn, y.Barn); c != 0 {
			return c
		}
		if c := barn.Natural(x.Row, y.Row); c != 0 {
			return c
		}
		if x.Stack != y.Stack {
			return x.Stack - y.Stack
		}
		return y.Level - x.Level
	})
	for n := range out {
		out[n].next = walkAt(n + 1)
	}
	if len(out) > 0 {
		out[len(out)-1].next = "/outbox"
	}
	return out
}

func pick2(yes bool, a, b int) int {
	if yes {
		return a
	}
	return b
}

type leftKey struct{ bin, pile, act, step string }

func leftKeyOf(i round.Item) leftKey {
	return leftKey{i.Bin, i.Pile, string(i.Act), remedyStep(i)}
}

// lefts gives what was left undone since yesterday morning and not done since.
func (s *Server) lefts(p person) map[leftKey]farm.LeftWork {
	state := s.Farm.State()
	return leftsOf(p, state, func(q farm.Search) []farm.Line {
		lines, _ := s.search(state, q, p.Units)
		return lines
	})
}

func leftsOf(p person, state *farm.State, search func(farm.Search) []farm.Line) map[leftKey]farm.LeftWork {
	out := map[leftKey]farm.LeftWork{}
	for _, w := range state.LeftSince(midnight(p.Now).AddDate(0, 0, -1)) {
		subject := "bin " + w.Bin
		if w.Pile != "" {
			subject = "pile " + w.Pile
		}
		since := search(farm.Search{Subject: subject, From: w.At, Limit: 50})
		if w.Step != "" || !slices.ContainsFunc(since, func(l farm.Line) bool { return slices.Contains(answerKinds[round.Act(w.Act)], l.Entry.Kind) }) {
			out[leftKey{w.Bin, w.Pile, w.Act, w.Step}] = w
		}
	}
	return out
}

// leftSay tells what of a line was left undone, when and why.
func (s *Server) leftSay(p person, l round.Line) []string {
	if !slices.ContainsFunc(s.Farm.State().LeftSince(midnight(p.Now).AddDate(0, 0, -1)), func(w farm.LeftWork) bool { return w.Act == string(l.Act) }) {
		return nil
	}
	lefts := s.lefts(p)
	var out []string
	for _, i := range l.Items {
		if w, ok := lefts[leftKeyOf(i)]; ok {
			out = append(out, leftLine(p, placeOr(i), w))
		}
	}
	return out
}

// leftAt tells what was left undone at bins since yesterday morning, the last
// first; a bin put off has no line of the round to tell it.
func (s *Server) leftAt(p person, of func(b *farm.Bin) bool) (out []string) {
	state := s.Farm.State()
	work := state.LeftSince(midnight(p.Now).AddDate(0, 0, -1))
	if len(work) == 0 {
		return nil
	}
	open := s.lefts(p)
	for _, w := range work {
		if _, ok := open[leftKey{w.Bin, w.Pile, w.Act, w.Step}]; !ok {
			continue
		}
		if b, ok := state.Bin(w.Bin); ok && of(b) {
			out = append(out, leftLine(p, state.Called(b), w))
		}
	}
	return out
}

func leftLine(p person, place string, w farm.LeftWork) string {
	who := w.Who
	if who == "" {
		who = p.Say("when.nobody")
	}
	return p.Say("walk.leftat", place, p.Moment(w.At), who, w.Why)
}

// walkWays are the ways to leave a stop, with the reasons that a tap gives.
func walkWays(p person, opened string) []WalkWay {
	var out []WalkWay
	for _, x := range []struct {
		how, title string
		reasons    []string
	}{
		{"skipped", "walk.how.skipped", []string{"walk.why.notime", "walk.why.notneeded", "walk.why.other"}},
		{"could not", "walk.how.couldnot", []string{"walk.why.nofeed", "walk.why.noreach", "walk.why.truck", "walk.why.water", "walk.why.unsafe"}},
	} {
		w := WalkWay{How: x.how, Title: p.Say(x.title), Open: opened == x.how, BoxID: "why-" + strings.ReplaceAll(x.how, " ", "-")}
		for _, k := range x.reasons {
			w.Reasons = append(w.Reasons, p.Say(k))
		}
		out = append(out, w)
	}
	return out
}

// openVisit gives the open stops that one visit of the truck reaches: those under
// others in the stack of a stop.
func openVisit(stops []stop, x stop) (out []stop) {
	at := x.line.Items[0]
	if at.Bin == "" || at.Above == 0 {
		return nil
	}
	for _, y := range stops {
		if i := y.line.Items[0]; !y.settled && i.Bin != "" && i.Above > 0 && i.Barn == at.Barn && i.Row == at.Row && i.Stack == at.Stack {
			out = append(out, y)
		}
	}
	return out
}

// wholeVisit is the way to leave all that a visit of the truck reaches, by one
// reason.
func wholeVisit(p person, opened string, visit []stop, after string) WalkWay {
	w := WalkWay{How: "could not", All: true, Title: p.Say("walk.how.visit", len(visit)), Open: opened == "visit", BoxID: "why-visit", After: after}
	var bodies []any
	var keys []string
	for _, x := range visit {
		bodies, keys = append(bodies, leftOf(x, w.How, "")), append(keys, x.key())
	}
	w.Facts, w.Stops = factsOf(bodies), strings.Join(keys, "\n")
	for _, k := range []string{"walk.why.truck", "walk.why.noreach", "walk.why.notime", "walk.why.unsafe"} {
		w.Reasons = append(w.Reasons, p.Say(k))
	}
	return w
}

// afterVisit is where one goes from a stop once its whole visit is left.
func afterVisit(stops []stop, at int, visit []stop) string {
	for n := at + 1; n < len(stops); n++ {
		if !slices.ContainsFunc(visit, func(x stop) bool { return x.key() == stops[n].key() }) {
			return walkAt(n)
		}
	}
	return "/outbox"
}

// leftOf is the entry that a stop was left.
func leftOf(x stop, how, why string) *journal.Left {
	left := &journal.Left{Act: string(x.line.Act), How: how, Why: why}
	if i := x.line.Items[0]; i.Bin != "" {
		left.Bins, left.Step = []string{i.Bin}, remedyStep(i)
	} else {
		left.Pile = i.Pile
	}
	return left
}

// changedAt is where a stop that was done in another way is written down.
func changedAt(x stop) string {
	return "/round/walk/changed?" + url.Values{"line": {x.line.Key}, "about": {x.about()}}.Encode()
}

func walkAt(n int) string { return "/round/walk?at=" + strconv.Itoa(n) }

// walk shows one stop of the round: the one asked for, or the first that is open.
func (s *Server) walk(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawWalk(w, r, p, "", "")
}

func (s *Server) drawWalk(w http.ResponseWriter, r *http.Request, p person, problem, opened string) error {
	list, made, err := s.list(r.Context(), p)
	if err != nil {
		return err
	}
	page := WalkPage{Frame: s.frame(r, p, p.Say("walk.title"), "round"), Heading: p.Say("walk.title"), Problem: problem, Opened: opened}
	page.One = true
	stops := s.stops(p, list)
	if !made || len(stops) == 0 {
		page.Empty = p.Say("walk.none")
		return s.draw(w, "walk", http.StatusOK, page)
	}
	at, err := strconv.Atoi(r.URL.Query().Get("at"))
	if err != nil || at < 0 || at >= len(stops) {
		at = slices.IndexFunc(stops, func(x stop) bool { return !x.settled })
	}
	if problem != "" {
		at = slices.IndexFunc(stops, func(x stop) bool { return x.line.Key == r.FormValue("line") && x.about() == r.FormValue("about") })
	}
	s.walkProgress(p, list, stops, &page)
	if at < 0 {
		page.Heading, page.Under = p.Say("walk.over"), p.Say("walk.oversay")
		return s.draw(w, "walk", http.StatusOK, page)
	}
	x := stops[at]
	i := x.line.Items[0]
	page.Heading = p.Say("walk.pile", i.Pile)
	if i.Bin != "" {
		page.Heading = placeOr(i)
		if i.Place != "" && i.Place != i.Bin {
			page.Heading = p.Say("bin.title", i.Place, i.Bin)
		}
	}
	page.Under = s.groupTitle(p, x.line)
	shown := s.showLine(p, x.line, nil)
	shown.Answers, shown.Answered = nil, x.done
	shown.To = pileTo(i.Pile)
	if i.Bin != "" {
		shown.To = binTo(i.Bin)
	}
	page.Line, page.LineKey, page.Subject, page.ID, page.To = &shown, x.line.Key, x.about(), s.NewID(p.Now), walkAt(at)
	page.Live = &Live{Mark: s.liveMark(), At: walkAt(at)}
	page.StopKey, page.Act, page.Bin, page.After = x.key(), string(x.line.Act), i.Bin, x.next
	if x.left != nil {
		page.Settled = p.Say("walk.settled")
	} else if x.settled {
		page.Settled = x.done
	} else {
		page.Facts = factsOf(doneBodies(p, x.line.Act, x.line.Items))
		page.Done = page.Facts != ""
		if s.exceptSheet(p, x.line).kind != "" {
			page.Changed, page.ChangedSay = changedAt(x), p.Say("answer.changed")
			if !page.Done && x.line.Act != round.Mend {
				page.ChangedSay = p.Say("answer." + string(x.line.Act))
			}
		}
		page.Ways = walkWays(p, opened)
		page.Step = remedyStep(i)
		if x.line.Act == round.Ask || x.line.Act == round.Helped {
			page.Ways, page.ChangedSay = nil, p.Say("ask.other")
			for _, a := range s.answers(p, x.line) {
				if a.Post {
					a.To += "?" + url.Values{"bin": {i.Bin}}.Encode()
					page.Asks = append(page.Asks, a)
				}
			}
		}
		if i.Above > 0 {
			page.Truck = p.Count("walk.truck", i.Above)
		}
		if visit := openVisit(stops, x); len(visit) > 1 {
			page.Ways = append(page.Ways, wholeVisit(p, opened, visit, afterVisit(stops, at, visit)))
		}
		if lifts(s.Farm.State(), binsIn(x.line)) {
			page.Offer = s.truckOffer(p)
		}
	}
	if at > 0 {
		page.Before = walkAt(at - 1)
	}
	if at+1 < len(stops) {
		page.Next = x.next
	}
	status := http.StatusOK
	if problem != "" {
		status = http.StatusUnprocessableEntity
	}
	return s.draw(w, "walk", status, page)
}

// walkProgress tells how far the round is, the minutes against those reckoned,
// and what was left with its reason.
func (s *Server) walkProgress(p person, list round.List, stops []stop, page *WalkPage) {
	settled := 0
	for _, x := range stops {
		if x.left != nil {
			page.Lefts = append(page.Lefts, leftLine(p, placeOr(x.line.Items[0])+", "+x.line.Say, *x.left))
		}
		if x.settled {
			settled++
		}
	}
	page.Percent = 100 * settled / len(stops)
	page.Progress = p.Say("walk.progress", settled, len(stops))
	if took, reckoned := s.Rounds.Taken(s.Farm.State(), list.Made.Truncate(time.Millisecond)); reckoned > 0 {
		page.Minutes = p.Say("walk.minutes", p.Words.Span(took), p.Words.Span(reckoned))
	}
	if settled == len(stops) {
		page.Paces = s.paces(p)
	}
	if len(page.Lefts) > 0 {
		page.LeftTitle = p.Say("walk.left")
	}
	if open := len(stops) - settled; open > 0 {
		page.Open = p.Count("walk.open", open)
	}
}

// paces tells how long acts take on this farm.
func (s *Server) paces(p person) (out []string) {
	for _, x := range s.Rounds.Paces(s.Farm.State(), p.Now) {
		act := string(x.Act)
		if x.Act == round.Open {
			act = "turn"
		}
		out = append(out, p.Say("walk.pace", p.Say("bin.act."+act), p.Words.Span(x.Minutes), x.Ticks, p.Words.Span(x.Reckoned)))
	}
	return out
}

// stopOf finds the stop that a form or an address names.
func (s *Server) stopOf(r *http.Request, p person) (stop, error) {
	list, made, err := s.list(r.Context(), p)
	if err != nil {
		return stop{}, err
	}
	if made {
		for _, x := range s.stops(p, list) {
			if x.line.Key == r.FormValue("line") && x.about() == r.FormValue("about") {
				return x, nil
			}
		}
	}
	return stop{}, missing{p.Say("round.noline")}
}

// walkSave writes down that a stop was done as advised, or left, and why.
func (s *Server) walkSave(w http.ResponseWriter, r *http.Request, p person) error {
	x, err := s.stopOf(r, p)
	if err != nil {
		return err
	}
	id := r.PostForm.Get("id")
	if _, _, known := s.entry(id); known || x.settled { // pressed twice, or somebody else was here
		seeOther(w, r, withSaid("/round/walk", id))
		return nil
	}
	bodies := doneBodies(p, x.line.Act, x.line.Items)
	if how := r.PostForm.Get("how"); how != "" {
		why := ""
		for _, x := range r.PostForm["why"] { // the box, and the button that was pressed
			if x = strings.TrimSpace(x); x != "" {
				why = x
			}
		}
		whole := r.PostForm.Get("all") == "visit"
		if why == "" {
			if whole {
				return s.drawWalk(w, r, p, p.Say("walk.nowhy"), "visit")
			}
			return s.drawWalk(w, r, p, p.Say("walk.nowhy"), how)
		}
		bodies = []any{leftOf(x, how, why)}
		if whole {
			if bodies, err = s.leaveVisit(r, p, x, how, why); err != nil {
				return err
			}
		}
	}
	if len(bodies) == 0 {
		return missing{p.Say("round.noline")}
	}
	var entries []journal.Entry
	for _, b := range bodies {
		e := journal.Entry{ID: id, Kind: kindOf(b), At: p.Now.UTC(), Who: p.Who, Device: "page", Body: b}
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
		if s.exceptSheet(p, x.line).kind == "" {
			return s.drawWalk(w, r, p, p.Told(problems[0].Say)+" "+p.Told(problems[0].Try), r.PostForm.Get("how"))
		}
		return s.drawChanged(w, r, p, x, problems, nil)
	}
	seeOther(w, r, withSaid("/round/walk", acks[0].Entry.ID))
	return nil
}

// leaveVisit gives the entries that leave every open stop of a visit.
func (s *Server) leaveVisit(r *http.Request, p person, x stop, how, why string) (bodies []any, err error) {
	list, _, err := s.list(r.Context(), p)
	if err != nil {
		return nil, err
	}
	for _, y := range openVisit(s.stops(p, list), x) {
		bodies = append(bodies, leftOf(y, how, why))
	}
	return bodies, nil
}

// walkSheet lays out the form of a stop that was done in another way.
func (s *Server) walkSheet(p person, x stop) slip {
	sh := s.exceptSheet(p, x.line)
	sh.action = changedAt(x)
	sh.back, sh.stop, sh.next = "/round/walk", x.key(), x.next
	return sh
}

// walkChanged asks how a stop was done, and writes it down.
func (s *Server) walkChanged(w http.ResponseWriter, r *http.Request, p person) error {
	x, err := s.stopOf(r, p)
	if err != nil {
		return err
	}
	sh := s.walkSheet(p, x)
	if sh.kind == "" {
		return missing{p.Say("round.noline")}
	}
	if r.Method != http.MethodPost {
		return s.drawChanged(w, r, p, x, nil, nil)
	}
	if id := r.PostForm.Get("id"); id != "" {
		if _, _, known := s.entry(id); known {
			seeOther(w, r, withSaid("/round/walk", id))
			return nil
		}
	}
	got, err := s.keep(r, p, sh)
	if err != nil {
		return err
	}
	if got.saved == "" {
		return s.drawChanged(w, r, p, x, nil, &got.form)
	}
	if err := s.keepAlso(r, p, x.line, got.saved); err != nil {
		return err
	}
	if err := s.keepAsked(r, p, x.line, got.saved); err != nil {
		return err
	}
	seeOther(w, r, withSaid("/round/walk", got.saved))
	return nil
}

func (s *Server) drawChanged(w http.ResponseWriter, r *http.Request, p person, x stop, problems []app.Problem, typed *Form) error {
	status := http.StatusOK
	var f Form
	if typed != nil {
		f, status = *typed, http.StatusUnprocessableEntity
	} else {
		var err error
		if f, err = s.formOf(p, s.walkSheet(p, x), askWhen(p, x.line)); err != nil {
			return err
		}
		refused, doubtful := split(problems)
		f.Problems, f.Doubts, f.Yes = mark(refused, f.Fields, f.More), mark(doubtful, f.Fields, f.More), digest(doubtful)
		if len(problems) > 0 {
			status = http.StatusUnprocessableEntity
		}
	}
	if y, offered := also(p, x.line); offered {
		if typed != nil {
			y.Value = strings.Join(r.PostForm["also"], "\n")
			y = choose(y)
		}
		f.Fields = append(f.Fields, y)
		f.Fields = append(f.Fields, along(x.line)...)
	}
	page := EntryPage{Frame: s.frame(r, p, x.line.Say, "round"), BackTo: "/round/walk", BackName: p.Say("walk.title"), Heading: placeOr(x.line.Items[0]), Under: x.line.Say + ". " + x.line.Reason, Form: f}
	return s.draw(w, "entry", status, page)
}
