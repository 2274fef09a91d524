package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/ids"
	"wormyard/journal"
	"wormyard/qty"
)

// The outbox takes entries that a device made, with or without signal at the
// time. They are given as a form was filled in, in the person's own units, and
// go through the same reading and the same use case as the form; ticks of the
// round come as the facts they stand for, since the round may be another one by
// then. An entry that is in the journal already is acknowledged again; nothing
// is acknowledged before it is on the disk.

// OutboxFormat is the newest form of what a device sends; older ones are read.
const OutboxFormat = 1

type outboxSent struct {
	Format    int           `json:"format"`
	DeviceNow int64         `json:"device_now"` // milliseconds since 1970 by the device's clock
	Device    string        `json:"device"`
	Entries   []outboxEntry `json:"entries"`
}

type outboxEntry struct {
	ID      string       `json:"id"`
	Kind    string       `json:"kind"`
	Form    [][2]string  `json:"form"`
	Facts   []outboxFact `json:"facts"`
	Strikes string       `json:"strikes"`
	Made    int64        `json:"made"`
	Units   string       `json:"units"`
	Who     string       `json:"who"`
	Yes     string       `json:"yes"`
	Photo   string       `json:"photo"`
	Stops   []string     `json:"stops"` // of the round that it settles
	Since   int64        `json:"since"` // when that round was made, in milliseconds since 1970
}

type outboxFact struct {
	Kind string          `json:"kind"`
	Body json.RawMessage `json:"body"`
	At   string          `json:"at,omitempty"` // of an earlier day, when it was not just done
}

type outboxAnswer struct {
	Program string         `json:"program"`
	Now     int64          `json:"now"` // of the farm
	Results []outboxResult `json:"results"`
}

type outboxResult struct {
	ID       string          `json:"id"`
	State    string          `json:"state"` // saved, refused, doubtful; trouble and other: to be sent again
	Problems []outboxProblem `json:"problems,omitempty"`
	Yes      string          `json:"yes,omitempty"`  // what confirms the doubts
	Said     string          `json:"said,omitempty"` // what the person should know of a saved entry
	See      string          `json:"see,omitempty"`  // the page to look at next
}

type outboxProblem struct {
	Field string `json:"field"` // id of the box on the form, empty when there is none
	Say   string `json:"say"`
	Try   string `json:"try"`
}

const (
	mostEntries = 200
	// clockSlack is how far a device's clock may be off without anybody minding.
	clockSlack = 2 * time.Minute
)

var deviceName = regexp.MustCompile(`^[0-9a-f]{4,12}$`)

// outboxTake writes down what a device sends, entry by entry in its order. One
// that is refused does not hold up those after it.
func (s *Server) outboxTake(w http.ResponseWriter, r *http.Request, p person) error {
	var sent outboxSent
	d := json.NewDecoder(r.Body)
	if err := d.Decode(&sent); err != nil || len(sent.Entries) > mostEntries {
		return s.json(w, http.StatusBadRequest, map[string]string{"say": p.Say("outbox.unread"), "try": p.Say("outbox.unreadtry")})
	}
	out := outboxAnswer{Program: s.program, Now: p.Now.UnixMilli(), Results: []outboxResult{}}
	clock := clockOf(p, sent)
	for _, e := range sent.Entries {
		x := s.outboxOne(r, p, sent, e, clock)
		x.tell(p)
		out.Results = append(out.Results, x)
	}
	return s.json(w, http.StatusOK, out)
}

func (s *Server) json(w http.ResponseWriter, status int, v any) error {
	raw, err := json.Marshal(v)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	if _, err := w.Write(raw); err != nil {
		return errGone{err}
	}
	return nil
}

// clockOf gives how far the farm's clock is ahead of the device's. It is taken
// when the device sends; an entry made while the clock was another is off by
// what was set in between, which nobody can know.
func clockOf(p person, sent outboxSent) time.Duration {
	if sent.DeviceNow == 0 {
		return 0
	}
	off := p.Now.Sub(time.UnixMilli(sent.DeviceNow))
	if off.Abs() <= clockSlack {
		return 0
	}
	return off
}

// outboxOne writes down one entry; what fails on our side is to be sent again.
func (s *Server) outboxOne(r *http.Request, p person, sent outboxSent, e outboxEntry, clock time.Duration) (out outboxResult) {
	defer func() {
		if x := recover(); x != nil {
			s.Log.Error("panic in the outbox", "id", e.ID, "what", x)
			out = outboxResult{ID: e.ID, State: "trouble"}
		}
	}()
	at := time.UnixMilli(e.Made).Add(clock)
	// Never in the time to come. Where the clock stands still, what was just done was done
	// at its only time: by the moments on the way a screening would come before its harvest.
	if e.Made == 0 || at.After(p.Now) || s.Config.Demo && p.Now.Sub(at) < clockSlack {
		at = p.Now
	}
	p.Now, p.Device = at.In(p.Zone), p.Say("outbox.device", "")
	if deviceName.MatchString(sent.Device) {
		p.Device = p.Say("outbox.device", sent.Device)
	}
	said := ""
	if clock != 0 && !s.Config.Demo {
		span := p.Words.Span(clock.Abs().Minutes())
		key, kept := "outbox.clockslow", "outbox.deviceslow"
		if clock < 0 {
			key, kept = "outbox.clockfast", "outbox.devicefast"
		}
		said = p.Say(key, span, p.Words.Clock(p.Now))
		p.Device = p.Say(kept, p.Device, span)
	}
	switch e.Units {
	case "us":
		p.Units = qty.US
	case "metric":
		p.Units = qty.Metric
	}
	out = outboxResult{ID: e.ID}
	switch {
	case p.In.Guarded && e.Who != "" && e.Who != p.Who: // nobody writes in another's name
		out.State = "other"
		return out
	case !p.In.Guarded && slices.Contains(s.Farm.State().Settings.People, e.Who):
		p.Who = e.Who
	}
	var err error
	switch {
	case sent.Format > OutboxFormat:
		out.refuse(p.Say("outbox.newformat"), p.Say("outbox.newformattry"))
	case !journal.IsID(e.ID):
		out.refuse(p.Say("outbox.noid"), p.Say("outbox.noidtry"))
	case e.Strikes != "":
		err = s.outboxStrike(r, p, e, &out)
	case len(e.Facts) > 0:
		err = s.outboxFacts(r, p, e, &out)
	default:
		err = s.outboxForm(r, p, e, &out)
	}
	if err != nil {
		s.Log.Error("an entry of a device was not kept", "id", e.ID, "error", err.Error())
		return outboxResult{ID: e.ID, State: "trouble"}
	}
	if out.State == "saved" {
		out.Said = said
	}
	return out
}

func (o *outboxResult) refuse(say, try string) {
	o.State, o.Problems = "refused", append(o.Problems, outboxProblem{Say: say, Try: try})
}

// complain gives a form back with what is wrong on its boxes; where all of it is only
// doubtful, yes confirms it.
func (o *outboxResult) complain(problems, doubts []Complaint, yes string) {
	for _, c := range slices.Concat(problems, doubts) {
		o.Problems = append(o.Problems, outboxProblem{Field: c.Anchor, Say: c.Say, Try: c.Try})
	}
	o.State = "refused"
	if len(problems) == 0 && len(doubts) > 0 {
		o.State, o.Yes = "doubtful", yes
	}
}

// outboxForm reads an entry as its form would.
func (s *Server) outboxForm(r *http.Request, p person, e outboxEntry, out *outboxResult) error {
	if _, ok := journal.KindNamed(e.Kind); e.Kind != deliveryKind && e.Kind != orderingKind && (!ok || slices.Contains(notByForm, e.Kind) && e.Kind != "blend") {
		out.refuse(p.Say("fault.nokind", e.Kind), p.Say("outbox.noidtry"))
		return nil
	}
	form := url.Values{}
	for _, x := range e.Form {
		form.Add(x[0], x[1])
	}
	form.Set("id", e.ID)
	form.Set("yes", e.Yes)
	form.Set("photo", e.Photo)
	like := r.Clone(r.Context())
	like.PostForm, like.Form = form, form
	switch e.Kind {
	case "blend":
		return s.outboxBlend(like, p, e, out)
	case deliveryKind:
		return s.outboxDelivery(like, p, out)
	case orderingKind:
		return s.outboxOrder(like, p, out)
	}
	doubts, err := s.overtaken(p, e.Stops, e.ID, e.Since)
	if err != nil {
		return err
	}
	got, err := s.keep(like, p, slip{kind: e.Kind, once: true, doubts: doubts})
	if err != nil {
		return err
	}
	if got.saved == "" {
		out.complain(got.form.Problems, got.form.Doubts, got.form.Yes)
		return nil
	}
	out.State = "saved"
	if known, _, found := s.entry(got.saved); found {
		if b, ok := known.Body.(*journal.Sighting); ok && b.Bin != "" {
			out.See = troubleTo(b.Bin, got.saved)
		}
	}
	return nil
}

// overtaken doubts an entry that settles stops of the round which somebody else has
// settled since that round was made: the page that it comes from did not know.
func (s *Server) overtaken(p person, stops []string, id string, since int64) ([]app.Problem, error) {
	if _, _, known := s.entry(id); known || since == 0 {
		return nil, nil
	}
	var out []app.Problem
	state, told := s.Farm.State(), map[string]bool{}
	written := app.WrittenSince(state, time.UnixMilli(since))
	for _, text := range stops {
		x, ok := app.ParseStop(text)
		if !ok {
			continue
		}
		by, err := x.SettledBy(state, written)
		if err != nil {
			return nil, err
		}
		if by == nil || told[by.Entry] {
			continue
		}
		told[by.Entry] = true
		say := p.Say("stop.settled", p.Moment(by.At), whoOf(p, by.Who))
		if e, _, found := s.entry(by.Entry); found {
			say = p.Say("stop.settledby", p.Moment(by.At), whoOf(p, by.Who), printable(p.sentence(e)))
		}
		out = append(out, app.Problem{Say: say, Try: p.Say("stop.settledtry"), Doubt: true})
	}
	return out, nil
}

// outboxFacts writes down what a tick of the round stands for, all or nothing.
func (s *Server) outboxFacts(r *http.Request, p person, e outboxEntry, out *outboxResult) error {
	var facts []app.Fact
	for _, f := range e.Facts {
		if slices.Contains(notByForm, f.Kind) {
			out.refuse(p.Say("fault.nokind", f.Kind), p.Say("outbox.noidtry"))
			return nil
		}
		body, problems := journal.Decode(f.Kind, f.Body)
		for _, x := range problems {
			out.refuse(sentence(x.Say), x.Try)
		}
		fact := app.Fact{Body: body}
		if at, err := time.Parse(time.RFC3339, f.At); err == nil && at.Before(p.Now) {
			fact.At = at
		}
		facts = append(facts, fact)
	}
	if len(out.Problems) > 0 {
		return nil
	}
	entries := app.Entries(journal.Entry{ID: e.ID, At: p.Now, Who: p.Who, Device: p.Device}, facts)
	if known, _, found := s.entry(e.ID); found {
		if known.Kind == entries[0].Kind && sameBody(known.Body, entries[0].Body) {
			out.State = "saved"
			return nil
		}
		out.refuse(p.Say("outbox.other"), p.Say("outbox.othertry"))
		return nil
	}
	doubts, err := s.overtaken(p, e.Stops, e.ID, e.Since)
	if err != nil {
		return err
	}
	yes, ok := agreed(doubts, e.Yes)
	if !ok {
		out.told(nil, doubts)
		return nil
	}
	_, problems, err := s.writeAll(r, entries, yes)
	if err != nil {
		return err
	}
	out.told(split(problems))
	if out.Yes != "" {
		out.Yes = yesTo(doubts, out.Yes)
	}
	return nil
}

// told puts problems into words; none means that all is saved.
func (o *outboxResult) told(refused, doubtful []app.Problem) {
	o.State = "saved"
	if len(doubtful) > 0 {
		o.State, o.Yes = "doubtful", digest(doubtful)
	}
	if len(refused) > 0 {
		o.State, o.Yes = "refused", ""
	}
	for _, x := range append(refused, doubtful...) {
		o.Problems = append(o.Problems, outboxProblem{Say: sentence(x.Say), Try: x.Try})
	}
}

// outboxStrike undoes an entry. One that is struck already is as wanted.
func (s *Server) outboxStrike(r *http.Request, p person, e outboxEntry, out *outboxResult) error {
	problems, err := s.undone(r, p, e.ID, e.Strikes)
	if err != nil {
		return err
	}
	out.told(split(problems))
	return nil
}

// undone strikes an entry that was written by mistake and noticed at once, with all
// that was written down together with it.
func (s *Server) undone(r *http.Request, p person, id, target string) ([]app.Problem, error) {
	_, counts, found := s.entry(target)
	if found && !counts {
		return nil, nil
	}
	if !found {
		return []app.Problem{{Say: p.Say("fault.noentry"), Try: p.Say("undo.nonetry")}}, nil
	}
	var strikes []journal.Entry
	for n, e := range app.Together(s.Farm.State(), target) {
		x := journal.Entry{ID: id, Kind: "strike", At: p.Now.UTC(), Who: p.Who, Device: deviceOf(p), Strikes: e.ID, Body: &journal.Strike{Why: p.Say("undo.why")}}
		if n > 0 {
			x.ID = ids.Follower(id, n)
		}
		strikes = append(strikes, x)
	}
	acks, err := s.Farm.RecordAll(r.Context(), strikes, true)
	return app.ProblemsOf(acks), err
}

// journalUndo is the button beside what was just written down.
func (s *Server) journalUndo(w http.ResponseWriter, r *http.Request, p person) error {
	target := r.PathValue("id")
	id := r.PostForm.Get("id")
	problems, err := s.undone(r, p, id, target)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return missing{p.Told(problems[0].Say)}
	}
	to := back(r, "/journal/"+url.PathEscape(target))
	if _, _, found := s.entry(id); found {
		to = withSaid(to, id)
	}
	seeOther(w, r, to)
	return nil
}

// deviceOf names what an entry was written on.
func deviceOf(p person) string {
	if p.Device == "" {
		return "page"
	}
	return p.Device
}

// factsOf gives the entries that a tick stands for, as a device keeps them.
func factsOf(facts []app.Fact) string {
	list := []outboxFact{}
	for _, x := range facts {
		raw, err := journal.Encode(x.Body)
		if err != nil {
			return ""
		}
		f := outboxFact{Kind: app.KindOf(x.Body), Body: raw}
		if !x.At.IsZero() {
			f.At = x.At.Format(time.RFC3339)
		}
		list = append(list, f)
	}
	raw, err := json.Marshal(list)
	if err != nil || len(list) == 0 {
		return ""
	}
	return string(raw)
}

// barWords are the sentences that islands say, as they come with every page.
var barWords = []string{
	"form.wrong", "form.doubt", "form.yes", "walk.nowhy",
	"outbox.wait.one", "outbox.wait.many", "outbox.backone", "outbox.backmany", "outbox.photolost.one", "outbox.photolost.many",
	"outbox.kept", "outbox.came.one", "outbox.came.many", "outbox.heard", "outbox.renew", "outbox.see", "outbox.open", "outbox.signedout", "outbox.notallowed", "outbox.otherperson", "outbox.trouble", "outbox.nearlyfull", "outbox.nostore", "outbox.newer", "outbox.lookat", "outbox.just", "outbox.undone",
	"outbox.full", "outbox.fulltry", "outbox.boxsay", "outbox.mark.waiting", "outbox.mark.sent", "outbox.mark.doubtful", "outbox.mark.refused",
	"undo.do", "photo.take", "photo.alt", "photo.drop", "photo.working", "photo.ready", "photo.unread",
}

// walkWords are what a walk says of the stops that a device settled itself.
var walkWords = []string{"walk.progress"}

// listWords are those of the page of what waits.
var listWords = []string{
	"outbox.list.back", "outbox.list.waiting", "outbox.list.sent", "outbox.none", "outbox.sendnow", "outbox.missing", "outbox.made", "outbox.madeby", "outbox.nottaken", "outbox.asks", "outbox.typed", "outbox.mend", "outbox.again", "outbox.drop", "outbox.dropsure", "outbox.journal", "outbox.forbin",
	"bin.act.feed", "bin.act.water", "bin.act.look", "bin.act.reading", "bin.act.sighting", "bin.act.move",
}

var verb = regexp.MustCompile(`%(?:\[(\d)\])?[sdq]`)

// wordsFor gives sentences by key, their values as {1}, {2} and so on.
func wordsFor(p person, lists ...[]string) string {
	out := map[string]string{}
	for _, list := range lists {
		for _, key := range list {
			n := 0
			out[key] = verb.ReplaceAllStringFunc(p.Say(key), func(v string) string {
				n++
				if m := verb.FindStringSubmatch(v); m[1] != "" {
					return "{" + m[1] + "}"
				}
				return "{" + strconv.Itoa(n) + "}"
			})
		}
	}
	raw, err := json.Marshal(out)
	if err != nil {
		return "{}"
	}
	return string(raw)
}
