package web

import (
	"encoding/json"
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
	Since              int64  // when the round was made
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
	Back               string // to the walk once this stop is settled
	Order              string // the stops and which are settled, for a device without signal
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
	since   int64  // when the round was made, as a device keeps it
	next    string // where one goes after it without signal
	onward  string // and with signal
}

// about names the bin or the pile of a stop.
func (x stop) about() string { return x.line.Items[0].About() }

// key names a stop of the round's day among what a device holds.
func (x stop) key() string { return stopKey(x.line, &x.line.Items[0]) }

func stopKey(l round.Line, i *round.Item) string {
	return app.Stop{Act: l.Act, About: i.About(), Key: l.Key}.String()
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
			x := stop{line: one, since: sinceOf(list)}
			x.done, x.settled = s.answered(p, one, done)
			if w, ok := lefts[app.LeftKeyOf(&i)]; ok && !x.settled && !w.At.Before(midnight(p.Now)) && !w.At.Before(list.Made.Truncate(time.Millisecond)) {
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
	for n := range out {
		out[n].onward = onward(out, n)
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

// lefts gives what was left undone since yesterday morning and not done since.
func (s *Server) lefts(p person) map[app.LeftKey]farm.LeftWork {
	return app.StillLeft(s.Farm.State(), midnight(p.Now).AddDate(0, 0, -1))
}

// leftSay tells what of a line was left undone, when and why.
func (s *Server) leftSay(p person, l round.Line) []string {
	if !slices.ContainsFunc(s.Farm.State().LeftSince(midnight(p.Now).AddDate(0, 0, -1)), func(w farm.LeftWork) bool { return w.Act == string(l.Act) }) {
		return nil
	}
	lefts := s.lefts(p)
	var out []string
	for _, i := range l.Items {
		if w, ok := lefts[app.LeftKeyOf(&i)]; ok {
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
		if _, ok := open[app.LeftKey{Bin: w.Bin, Pile: w.Pile, Act: w.Act, Step: w.Step}]; !ok {
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
		{app.Skipped, "walk.how.skipped", []string{"walk.why.notime", "walk.why.notneeded", "walk.why.other"}},
		{app.CouldNot, "walk.how.couldnot", []string{"walk.why.nofeed", "walk.why.noreach", "walk.why.truck", "walk.why.water", "walk.why.unsafe"}},
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
	w := WalkWay{How: app.CouldNot, All: true, Title: p.Say("walk.how.visit", len(visit)), Open: opened == "visit", BoxID: "why-visit", After: after}
	var facts []app.Fact
	var keys []string
	for _, x := range visit {
		facts, keys = append(facts, app.Answer(x.line, w.How, "")...), append(keys, x.key())
	}
	w.Facts, w.Stops = factsOf(facts), strings.Join(keys, "\n")
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

// changedAt is where a stop that was done in another way is written down.
func changedAt(x stop) string {
	return "/round/walk/changed?" + url.Values{"line": {x.line.Key}, "about": {x.about()}}.Encode()
}

// onward is where the walk goes on after a stop: at the next one that is open, which
// is looked for by its name, since a stop may be gone by then and others move up.
func onward(stops []stop, at int) string {
	for n := at + 1; n < len(stops); n++ {
		if !stops[n].settled {
			return "/round/walk?" + url.Values{"from": {stops[n].key()}}.Encode()
		}
	}
	return "/round/walk"
}

// startAt gives the stop that an address asks for: by its place, or the first open
// one from a stop on, else the first open one; below 0 where none is.
func startAt(r *http.Request, stops []stop) int {
	open := func(x stop) bool { return !x.settled }
	if at, err := strconv.Atoi(r.URL.Query().Get("at")); err == nil && at >= 0 && at < len(stops) {
		return at
	}
	if from := r.URL.Query().Get("from"); from != "" {
		if n := slices.IndexFunc(stops, func(x stop) bool { return x.key() == from }); n >= 0 {
			if m := slices.IndexFunc(stops[n:], open); m >= 0 {
				return n + m
			}
		}
	}
	return slices.IndexFunc(stops, open)
}

// orderOf gives the stops of a walk and which of them are settled, so that a device
// without signal counts those that it settled itself and goes on at the next.
func orderOf(stops []stop) string {
	type one struct {
		Key     string `json:"key"`
		Settled bool   `json:"settled,omitempty"`
	}
	var out []one
	for _, x := range stops {
		out = append(out, one{x.key(), x.settled})
	}
	raw, err := json.Marshal(out)
	if err != nil {
		return "[]"
	}
	return string(raw)
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
	at := startAt(r, stops)
	if problem != "" {
		at = slices.IndexFunc(stops, func(x stop) bool { return x.line.Key == r.FormValue("line") && x.about() == r.FormValue("about") })
	}
	s.walkProgress(p, list, stops, &page)
	page.BarWords, page.Order = wordsFor(p, barWords, walkWords), orderOf(stops)
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
	shown := s.showLine(p, x.line, app.Written{})
	shown.Answers, shown.Answered = nil, x.done
	shown.To = pileTo(i.Pile)
	if i.Bin != "" {
		shown.To = binTo(i.Bin)
	}
	page.Line, page.LineKey, page.Subject, page.ID, page.To = &shown, x.line.Key, x.about(), s.NewID(p.Now), walkAt(at)
	page.Live = &Live{Mark: s.liveMark(), At: walkAt(at)}
	page.Since = x.since
	page.Back = x.onward
	page.StopKey, page.Act, page.Bin, page.After = x.key(), string(x.line.Act), i.Bin, x.next
	if x.left != nil {
		page.Settled = p.Say("walk.settled")
	} else if x.settled {
		page.Settled = x.done
	} else {
		page.Facts = factsOf(app.Answer(x.line, app.Done, ""))
		page.Done = page.Facts != ""
		if s.exceptSheet(p, x.line).kind != "" {
			page.Changed, page.ChangedSay = changedAt(x), p.Say("answer.changed")
			if !page.Done && x.line.Act != round.Mend {
				page.ChangedSay = p.Say("answer." + string(x.line.Act))
			}
		}
		page.Ways = walkWays(p, opened)
		page.Step = i.Step()
		if x.line.Act == round.Ask || x.line.Act == round.Helped {
			page.Ways, page.ChangedSay = nil, p.Say("ask.other")
			for _, a := range s.answers(p, x.line, x.line) {
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
		if lifts(s.Farm.State(), x.line.Bins()) {
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

// walkSave writes down that a stop was done as advised, or left, and why. A stop
// that somebody else settled meanwhile is told, with what was pressed.
func (s *Server) walkSave(w http.ResponseWriter, r *http.Request, p person) error {
	x, err := s.stopOf(r, p)
	if err != nil {
		return err
	}
	id := r.PostForm.Get("id")
	if _, _, known := s.entry(id); known { // pressed twice
		seeOther(w, r, withSaid(back(r, "/round/walk"), id))
		return nil
	}
	how, why := r.PostForm.Get("how"), ""
	for _, x := range r.PostForm["why"] { // the box, and the button that was pressed
		if x = strings.TrimSpace(x); x != "" {
			why = x
		}
	}
	if x.settled {
		say := p.Say("stop.notwritten", x.settledSay(p))
		if why != "" {
			say = p.Say("stop.notwrittenwhy", x.settledSay(p), why)
		}
		return s.drawWalk(w, r, p, say, "")
	}
	facts := app.Answer(x.line, app.Done, "")
	if how != "" {
		whole := r.PostForm.Get("all") == "visit"
		if why == "" {
			if whole {
				how = "visit"
			}
			return s.drawWalk(w, r, p, p.Say("walk.nowhy"), how)
		}
		facts = app.Answer(x.line, how, why)
		if whole {
			if facts, err = s.leaveVisit(r, p, x, how, why); err != nil {
				return err
			}
		}
	}
	if len(facts) == 0 {
		return missing{p.Say("round.noline")}
	}
	saved, problems, err := s.put(r, p, id, facts, false)
	if err != nil {
		return err
	}
	if len(problems) > 0 { // the form shows what is odd about it
		if s.exceptSheet(p, x.line).kind == "" {
			return s.drawWalk(w, r, p, p.Told(problems[0].Say)+" "+p.Told(problems[0].Try), r.PostForm.Get("how"))
		}
		return s.drawChanged(w, r, p, x, problems, nil)
	}
	seeOther(w, r, withSaid(back(r, "/round/walk"), saved))
	return nil
}

// settledSay tells how a stop was settled.
func (x stop) settledSay(p person) string {
	if x.left != nil {
		return leftLine(p, placeOr(x.line.Items[0]), *x.left)
	}
	return x.done
}

// leaveVisit gives the entries that leave every open stop of a visit.
func (s *Server) leaveVisit(r *http.Request, p person, x stop, how, why string) (facts []app.Fact, err error) {
	list, _, err := s.list(r.Context(), p)
	if err != nil {
		return nil, err
	}
	for _, y := range openVisit(s.stops(p, list), x) {
		facts = append(facts, app.Answer(y.line, how, why)...)
	}
	return facts, nil
}

// walkSheet lays out the form of a stop that was done in another way.
func (s *Server) walkSheet(p person, x stop) slip {
	sh := s.exceptSheet(p, x.line)
	sh.action = changedAt(x)
	sh.back, sh.stop, sh.next, sh.since = x.onward, x.key(), x.next, x.since
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
			seeOther(w, r, withSaid(back(r, "/round/walk"), id))
			return nil
		}
	}
	if sh.doubts, err = s.overtaken(p, []string{x.key()}, r.PostForm.Get("id"), x.since); err != nil {
		return err
	}
	carry(r, x.line)
	got, err := s.keep(r, p, sh)
	if err != nil {
		return err
	}
	if got.saved == "" {
		return s.drawChanged(w, r, p, x, nil, &got.form)
	}
	seeOther(w, r, withSaid(back(r, "/round/walk"), got.saved))
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
	f.Fields = append(f.Fields, askFields(x.line)...)
	page := EntryPage{Frame: s.frame(r, p, x.line.Say, "round"), BackTo: "/round/walk", BackName: p.Say("walk.title"), Heading: placeOr(x.line.Items[0]), Under: x.line.Say + ". " + x.line.Reason, Form: f}
	return s.draw(w, "entry", status, page)
}
