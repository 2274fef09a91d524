package web

import (
	"context"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
)

// JournalPage is the journal, searched, with one entry opened beside it.
type JournalPage struct {
	Frame
	At, Under, Query, Empty string
	Narrow                  bool
	Filters                 []Field
	Days                    []DayOfEntries
	Newer, Older            string
	Doubts                  []DoubtShown
	Opened                  *OpenedEntry
}

// DayOfEntries is the entries of one day.
type DayOfEntries struct {
	Title   string
	Entries []EntryLine
}

// DoubtShown is something in the journal that does not fit.
type DoubtShown struct{ Head, Say, Try string }

// OpenedEntry is one entry with everything kept of it.
type OpenedEntry struct {
	BackTo, Say, Struck    string
	Facts, Kept            []Fact
	Pointed                []EntryLine // that a release was said to rest on, where it is more than one at a time
	Strike                 *Form
	Photo                  *ShownPhoto
	StrikeTitle, StrikeHow string
}

const entriesAPage = 40

func (s *Server) journalShow(w http.ResponseWriter, r *http.Request, p person) error {
	page, err := s.journalPage(r, p)
	if err != nil {
		return err
	}
	return s.draw(w, "journal", http.StatusOK, page)
}

func (s *Server) journalPage(r *http.Request, p person) (JournalPage, error) {
	state := s.Farm.State()
	page := JournalPage{Frame: s.frame(r, p, p.Say("journal.title"), "more"), At: "at-list"}
	q := r.URL.Query()
	if n := q.Get("imported"); n != "" {
		if _, err := strconv.Atoi(n); err == nil {
			page.Said = p.Say("import.done", n)
		}
		q.Del("imported")
	}
	find := farm.Search{Text: q.Get("q"), Kind: q.Get("kind"), Subject: q.Get("about"), Struck: true, Limit: entriesAPage}
	if q.Get("struck") == "no" {
		find.Struck = false
	}
	from, _ := time.ParseInLocation(journal.DayLayout, q.Get("from"), p.Zone)
	to, errTo := time.ParseInLocation(journal.DayLayout, q.Get("to"), p.Zone)
	find.From = from
	if errTo == nil {
		find.To = to.AddDate(0, 0, 1)
	}
	n, _ := strconv.Atoi(q.Get("page"))
	n = max(0, min(n, 100000))
	find.Skip = n * entriesAPage
	lines, more := s.search(state, find, p.Units)
	page.Query = find.Text
	page.Narrow = find.Kind != "" || find.Subject != "" || q.Get("from") != "" || q.Get("to") != ""
	page.Under = p.Say("journal.count", thousands(state.Entries))
	page.Filters = s.journalFilters(p, q)
	open := r.PathValue("id")
	last := ""
	for _, l := range lines {
		title := sentence(p.Words.Day(l.Entry.At.In(p.Zone)))
		if y := l.Entry.At.In(p.Zone).Year(); y != p.Now.Year() {
			title += " " + strconv.Itoa(y)
		}
		if title != last {
			page.Days = append(page.Days, DayOfEntries{Title: title})
			last = title
		}
		e := entryLine(p, l)
		e.When = p.Words.Clock(l.Entry.At.In(p.Zone))
		e.Here = l.Entry.ID == open
		if e.To += "?" + q.Encode(); len(q) == 0 {
			e.To = strings.TrimSuffix(e.To, "?")
		}
		d := &page.Days[len(page.Days)-1]
		d.Entries = append(d.Entries, e)
	}
	if len(lines) == 0 {
		page.Empty = p.Say("journal.none")
		if state.Entries == 0 {
			page.Empty, page.Ways = p.Say("journal.blank"), p.begin()
		}
	}
	turn := func(n int) string {
		c := url.Values{}
		for k, v := range q {
			c[k] = v
		}
		c.Set("page", strconv.Itoa(n))
		return "/journal?" + c.Encode()
	}
	if n > 0 {
		page.Newer = turn(n - 1)
	}
	if more {
		page.Older = turn(n + 1)
	}
	if open == "" {
		for i, d := range state.Doubts() {
			if i == 6 {
				break
			}
			page.Doubts = append(page.Doubts, DoubtShown{Head: p.about(d.About) + ".", Say: p.Told(sentence(d.Say)), Try: p.Told(d.Try)})
		}
		return page, nil
	}
	page.At = "at-opened"
	e, counts, found := s.entry(open)
	if !found {
		return page, missing{p.Say("fault.noentry")}
	}
	page.Opened = s.openEntry(p, state, e, counts)
	photo, err := s.showPhoto(p, e.Photo, page.Opened.Say)
	if err != nil {
		return page, err
	}
	page.Opened.Photo = photo
	page.Unseen = page.Opened.Say
	page.Opened.BackTo = "/journal"
	if len(q) > 0 {
		page.Opened.BackTo += "?" + q.Encode()
	}
	return page, nil
}

func (s *Server) journalFilters(p person, q url.Values) []Field {
	kinds := []Option{{Value: "", Label: p.Say("journal.anykind")}}
	for _, k := range p.kinds() {
		kinds = append(kinds, Option{Value: k.Name, Label: k.Words})
	}
	from, to := textField("from", p.Say("journal.from"), q.Get("from")), textField("to", p.Say("journal.to"), q.Get("to"))
	from.Type, to.Type = "date", "date"
	about := textField("about", p.Say("journal.about"), q.Get("about"))
	about.Help = p.Say("journal.abouthelp")
	return []Field{selectField("kind", p.Say("journal.kind"), q.Get("kind"), kinds), about, from, to}
}

func (s *Server) openEntry(p person, state *farm.State, e *journal.Entry, counts bool) *OpenedEntry {
	o := &OpenedEntry{Say: printable(p.sentence(e))}
	for _, f := range entryFacts(p, e) {
		if b, ok := e.Body.(*journal.Release); ok && f.Working == "shown" {
			o.Facts = append(o.Facts, p.shownFacts(state, b)...)
			continue
		}
		f.Working = ""
		o.Facts = append(o.Facts, f)
	}
	kind, _ := p.kindNamed(e.Kind)
	o.Facts = append(o.Facts, Fact{Name: p.Say("journal.kind"), Value: kind.Words}, Fact{Name: p.Say("journal.happened"), Value: p.Say("journal.dateclock", p.Words.Date(e.At.In(p.Zone)), p.Words.Clock(e.At.In(p.Zone)))},
		Fact{Name: p.Say("journal.recorded"), Value: p.Say("journal.dateclock", p.Words.Date(e.Recorded.In(p.Zone)), p.Words.Clock(e.Recorded.In(p.Zone)))}, Fact{Name: p.Say("when.who"), Value: e.Who})
	if _, ok := app.NoteOf(state, e.ID); ok {
		o.Facts = append(o.Facts, Fact{Name: p.Say("note.title"), Value: p.Say("note.print"), Working: "/sale/" + url.PathEscape(e.ID) + "/note.pdf"})
	}
	if len(e.Confirmed) > 0 {
		o.Facts = append(o.Facts, Fact{Name: p.Say("journal.confirmed"), Value: p.Words.List(e.Confirmed)})
	}
	if e.Strikes != "" {
		o.Facts = append(o.Facts, Fact{Name: p.Say("journal.strikes"), Value: p.Say("journal.openstruck"), Working: "/journal/" + url.PathEscape(e.Strikes)})
	}
	o.Pointed = s.pointedAt(p, state, e.ID, 2)
	o.Kept = []Fact{{Name: p.Say("journal.id"), Value: e.ID}, {Name: p.Say("journal.hash"), Value: e.Hash.String()}, {Name: p.Say("journal.before"), Value: e.Prev.String()}, {Name: p.Say("journal.device"), Value: e.Device}, {Name: p.Say("journal.body"), Value: string(rawOf(e))}}
	f := Form{Action: "/journal/" + url.PathEscape(e.ID) + "/strike#strike", ID: s.NewID(p.Now), Back: "/journal/" + url.PathEscape(e.ID)}
	why := areaField("why", p.Say("journal.why"), "")
	f.Fields = []Field{why}
	if counts {
		o.StrikeTitle, o.StrikeHow, f.Submit = p.Say("journal.strike"), p.Say("journal.strikehow"), p.Say("journal.strikedo")
	} else {
		by := s.striker(state, e.ID)
		if by == nil {
			return o
		}
		o.Struck = p.Say("journal.struckby", p.Moment(by.At), by.Who, whyOf(by))
		o.StrikeTitle, o.StrikeHow, f.Submit = p.Say("journal.revive"), p.Say("journal.revivehow"), p.Say("journal.revivedo")
		f.Action = "/journal/" + url.PathEscape(e.ID) + "/revive#strike"
	}
	o.Strike = &f
	return o
}

// striker gives the live entry that strikes another.
func (s *Server) striker(state *farm.State, id string) *journal.Entry {
	for _, e := range state.StrikersOf(id) {
		if _, counts, ok := s.entry(e.ID); ok && counts {
			return e
		}
	}
	return nil
}

func whyOf(e *journal.Entry) string {
	if b, ok := e.Body.(*journal.Strike); ok {
		return b.Why
	}
	return ""
}

// journalStrike strikes an entry; journalRevive strikes its strike.
func (s *Server) journalStrike(w http.ResponseWriter, r *http.Request, p person) error {
	return s.strike(w, r, p, r.PathValue("id"))
}

func (s *Server) journalRevive(w http.ResponseWriter, r *http.Request, p person) error {
	by := s.striker(s.Farm.State(), r.PathValue("id"))
	if by == nil {
		seeOther(w, r, "/journal/"+url.PathEscape(r.PathValue("id")))
		return nil
	}
	return s.strike(w, r, p, by.ID)
}

func (s *Server) strike(w http.ResponseWriter, r *http.Request, p person, target string) error {
	shown := r.PathValue("id")
	if _, _, found := s.entry(target); !found {
		return missing{p.Say("fault.noentry")}
	}
	why := strings.TrimSpace(r.PostForm.Get("why"))
	var problems []app.Problem
	if why == "" {
		problems = []app.Problem{{Field: "why", Say: p.Say("journal.nowhy"), Try: p.Say("journal.nowhytry")}}
	} else {
		ack, err := s.Farm.Strike(context.WithoutCancel(r.Context()), target, p.Who, why)
		if err != nil {
			return err
		}
		if ack.Saved {
			seeOther(w, r, withSaid("/journal/"+url.PathEscape(shown), ack.Entry.ID))
			return nil
		}
		problems = ack.Problems
	}
	page, err := s.journalPage(r, p)
	if err != nil {
		return err
	}
	if f := page.Opened.Strike; f != nil {
		f.Fields[0].Value = why
		f.Problems = mark(problems, f.Fields)
	}
	return s.draw(w, "journal", http.StatusUnprocessableEntity, page)
}

// enterList offers every kind of entry.
func (s *Server) enterList(w http.ResponseWriter, r *http.Request, p person) error {
	page := ThingsPage{Frame: s.frame(r, p, p.Say("enter.title"), "more"), Heading: p.Say("enter.title"), Under: p.Say("enter.under")}
	page.One = true
	kinds := map[string]journal.Kind{}
	for _, k := range p.kinds() {
		kinds[k.Name] = k
	}
	listed := map[string]bool{}
	add := func(g *ThingGroup, name string) {
		if k, ok := kinds[name]; ok && !listed[name] && !slices.Contains(notByForm, name) {
			listed[name] = true
			g.Things = append(g.Things, Link{To: "/enter/" + k.Name, Name: k.Words, Note: k.Help})
		}
	}
	for _, x := range enterGroups {
		g := ThingGroup{Anchor: x.key, Title: p.Say("enter.group." + x.key)}
		for _, name := range x.kinds {
			add(&g, name)
		}
		page.Groups = append(page.Groups, g)
		page.Jumps = append(page.Jumps, Link{To: "#" + x.key, Name: g.Title})
	}
	rest := &page.Groups[len(page.Groups)-1]
	for _, k := range p.kinds() {
		add(rest, k.Name)
	}
	return s.draw(w, "things", http.StatusOK, page)
}

// enterGroups put the kinds of entries together by where one stands when writing
// them, what is written most comes first; the last takes what has no other place.
var enterGroups = []struct {
	key   string
	kinds []string
}{
	{"beds", []string{"feed", "water", "look", "reading", "sighting", "harvest", "cover", "turn", "depth", "count"}},
	{"bins", []string{"move", "weigh", "stock", "bed", "build", "heat"}},
	{"yard", []string{"receive", "tend", "assay", "site"}},
	{"castings", []string{"screen", "cure", "bag", "sell", "order", "worms sold", "complaint", "recall drill", "kept sample", "microscope", "hold", "release"}},
	{"rest", nil},
}

// notByForm are kinds that have a page of their own.
var notByForm = []string{"strike", "setting", "blend", "cancel order"}

// enter is the form of any kind.
func (s *Server) enter(w http.ResponseWriter, r *http.Request, p person) error {
	name := r.PathValue("kind")
	kind, ok := p.kindNamed(name)
	if !ok || slices.Contains(notByForm, name) {
		return missing{p.Say("fault.nokind", name)}
	}
	sh := slip{kind: name, action: "/enter/" + name, back: "/journal", preset: map[string]string{}, offer: map[string][]Option{}}
	for key, v := range r.URL.Query() {
		if _, known := kind.Field(key); known && len(v) > 0 {
			sh.preset[key] = v[0]
		}
	}
	whole := r.URL.Query().Get("all")
	chosen := whole != "" && s.wholeOf(p, &sh, whole)
	if name == "duty" || name == "duty done" {
		sh.back = "/season#duties"
	}
	if name == "feed" {
		sh.offer["depth_m"], sh.offer["batch"] = depthChips(p), s.batchChips(p, "")
	}
	if name == "site" {
		places := []Option{{Value: "outside", Label: p.Say("site.outside")}}
		for _, b := range s.Farm.State().Barns() {
			places = append(places, Option{Value: "barn " + b.Name, Label: p.barn(b.Name)})
		}
		sh.offer["place"] = places
		if sh.preset["place"] == "" {
			sh.preset["place"] = "outside"
		}
	}
	page := EntryPage{Frame: s.frame(r, p, kind.Words, "more"), BackTo: "/enter", BackName: p.Say("enter.title"), Heading: kind.Words, Under: kind.Help}
	if len(s.Farm.State().Bins()) == 0 && slices.ContainsFunc(kind.Fields, func(f journal.Field) bool { return f.Of == "bin" && f.Required && !f.Makes }) {
		page.Empty, page.Ways = p.Say("enter.nobins"), p.begin()
	} else if name == "feed" {
		page.Empty, page.Ways = s.feedless(p)
	}
	if page.Wholes = s.wholes(p, name, whole); chosen {
		page.Under = p.Count("whole.under", len(sh.offer["bins"]))
	}
	lines, _ := s.search(s.Farm.State(), farm.Search{Kind: name, From: p.Now.Add(-lately), Limit: 6}, p.Units)
	page.Recent = entryLines(p, lines)
	if name == "move" {
		page.Offer = s.truckOffer(p)
	}
	return s.entryForm(w, r, p, sh, page)
}
