package web

import (
	"math"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"wormyard/farm"
	"wormyard/internal/web/words"
	"wormyard/journal"
	"wormyard/round"
)

// RoundPage is today's list, with one line opened beside it at a desk.
type RoundPage struct {
	Frame
	Heading, Under string
	Warnings       []string
	Offer          *Link // what to do before the first lift
	Duties         []Link
	Job            *JobShown
	Age, Fault     string
	At             string
	Groups         []LineGroup
	Empty, Resting string
	Notes          []string
	Visits         []string // of the truck, with its caution
	TruckCare      string
	Again          bool
	Done           []EntryLine // written down since the list was made
	Opened         *OpenedLine
	Live           *Live
}

// JobShown is background work under way.
type JobShown struct {
	Say, Label string
	Percent    int
}

// LineGroup is the lines of one place.
type LineGroup struct {
	Title string
	Lines []ShownLine
}

// roundPage shows the list, or the list with one line opened.
func (s *Server) roundShow(w http.ResponseWriter, r *http.Request, p person) error {
	if s.Farm.State().Entries == 0 {
		seeOther(w, r, "/start")
		return nil
	}
	page, list, err := s.roundPage(r, p)
	if err != nil {
		return err
	}
	key := r.PathValue("key")
	page.At = "at-list"
	i := -1
	if key != "" {
		if i = slices.IndexFunc(list.Lines, func(l round.Line) bool { return l.Key == key }); i < 0 {
			return missing{p.Say("round.noline")}
		}
		page.At = "at-opened"
		page.Unseen = list.Lines[i].Say
	} else if len(list.Lines) > 0 {
		i = 0
	}
	page.Live = &Live{Mark: s.liveMark(), At: r.URL.EscapedPath()}
	if i >= 0 {
		page.Opened = s.openLine(p, list.Lines[i], s.doneSince(list))
		for g := range page.Groups {
			for n := range page.Groups[g].Lines {
				page.Groups[g].Lines[n].Open = page.Groups[g].Lines[n].Anchor == anchorOf(list.Lines[i])
			}
		}
	}
	return s.draw(w, "round", http.StatusOK, page)
}

// making says how far a round is that is being made, and what is seen until then:
// the last one, or where there is none that the page follows.
func (p person) making(j Progress, last bool) string {
	until := p.Say("round.making.first")
	if last {
		until = p.Say("round.making.last")
	}
	say := p.Say("round.making.begun")
	switch {
	case j.Total == 0:
	case j.Doing == "weeks":
		say = p.Say("round.making.weeks", j.Done, j.Total)
	default:
		say = p.Say("round.making.bins", j.Done, j.Total)
	}
	return say + " " + until + p.left(j)
}

// roundPage fills what the list and its print have in common.
func (s *Server) roundPage(r *http.Request, p person) (RoundPage, round.List, error) {
	page := RoundPage{Frame: s.frame(r, p, p.Say("round.title"), "round"), Heading: sentence(p.Words.Day(p.Now))}
	list, made, err := s.list(r.Context(), p)
	if err != nil {
		return page, list, err
	}
	page.Duties = s.dutiesDue(p)
	if s.Work != nil {
		j := s.Work.Progress()
		if j.Running {
			percent := 0
			if j.Total > 0 {
				percent = 100 * j.Done / j.Total
			}
			page.Job = &JobShown{Say: p.making(j, made), Percent: percent, Label: p.Say("round.percent", percent)}
			page.Refresh = 4
		} else {
			page.Again = true
		}
		if j.Failed {
			page.Fault = p.Say("round.fault", p.Moment(j.FailedAt))
		}
	}
	if !made {
		page.Empty = p.Say("round.none")
		if page.Job != nil {
			page.Empty = ""
		}
		return page, list, nil
	}
	page.Heading = sentence(s.dayOf(p, list.Day))
	lines := p.Count("round.lines", len(list.Lines))
	said := p.spoken()
	page.Under = p.Say("round.under", lines, p.Words.Span(list.Minutes))
	if today := list.Due(); today > 0 && today < list.Minutes {
		page.Under = p.Say("round.undertoday", lines, p.Words.Span(today), p.Words.Span(list.Minutes-today))
	}
	for _, x := range list.Weather {
		if strings.HasPrefix(x.Key, "weather.frost") || strings.HasPrefix(x.Key, "weather.heat") {
			page.Warnings = append(page.Warnings, said.Text(x))
			continue
		}
		page.Under = said.Text(x) + " " + page.Under
	}
	for _, x := range list.Notes {
		page.Notes = append(page.Notes, p.Told(said.Text(x)))
	}
	if age := p.Now.Sub(list.Made); age > 2*time.Hour || list.Day != p.Now.Format(journal.DayLayout) {
		page.Age = p.Say("round.age", p.Moment(list.Made), p.Words.Age(age))
	}
	if list.Resting > 0 {
		page.Resting = p.Count("round.resting", list.Resting)
	}
	if len(list.Lines) == 0 {
		page.Empty = p.Say("round.nothing")
	}
	for _, l := range list.Lines {
		if page.Offer == nil && lifts(s.Farm.State(), l.Bins()) {
			page.Offer = s.truckOffer(p)
		}
	}
	lined := map[string]bool{}
	for _, l := range list.Lines {
		for _, b := range l.Bins() {
			lined[b] = true
		}
	}
	for _, v := range list.Visits {
		left := s.leftAt(p, func(b *farm.Bin) bool {
			return b.Slot.Barn == v.Barn && b.Slot.Row == v.Row && b.Slot.Stack == v.Stack && !lined[b.Name]
		})
		page.Visits = append(page.Visits, strings.Join(append([]string{v.Text}, left...), " "))
	}
	if len(page.Visits) > 0 {
		page.TruckCare = p.Say("care.truck")
	}
	done := s.doneSince(list)
	recent, _ := s.search(s.Farm.State(), farm.Search{From: list.Made.Truncate(time.Millisecond), Limit: 12}, p.Units)
	page.Done = entryLines(p, recent)
	for _, l := range list.Lines {
		title := s.groupTitle(p, l)
		if n := len(page.Groups); n == 0 || page.Groups[n-1].Title != title {
			page.Groups = append(page.Groups, LineGroup{Title: title})
		}
		g := &page.Groups[len(page.Groups)-1]
		g.Lines = append(g.Lines, s.showLine(p, l, done))
	}
	remediesFirst(p, page.Groups)
	return page, list, nil
}

// dayOf gives the day of a list in words.
func (s *Server) dayOf(p person, day string) string {
	t, err := time.ParseInLocation(journal.DayLayout, day, p.Zone)
	if err != nil {
		return day
	}
	return p.Words.Day(t)
}

func (s *Server) groupTitle(p person, l round.Line) string {
	switch {
	case l.Act == round.Mend || l.Act == round.Helped:
		return p.Say("remedy.group")
	case l.Urgency == round.Now:
		return p.Say("round.first")
	case l.Barn == "" && len(l.Bins()) == 0:
		return p.Say("round.yard")
	case l.Barn == "":
		return p.Say("round.spots")
	case l.Row == "":
		return p.barn(l.Barn)
	}
	return p.Say("round.row", p.barn(l.Barn), l.Row)
}

// barn gives a barn's name as one says it: "Barn 1" for "1", else the name.
func (p person) barn(name string) string { return barnSaid(p.Words, name) }

// barnWords are the word for a barn in each language.
var barnWords = sync.OnceValue(func() (out []string) {
	for _, l := range words.Languages() {
		out = append(out, strings.ToLower(l.Say("barn.word")))
	}
	return out
})

// barnSaid gives a barn's name as one says it in a language. One that is a number, or the
// word for a barn in any language and a number, is "Granero 1" to one who reads Spanish;
// one with that word in it needs no other.
func barnSaid(c *words.Catalogue, name string) string {
	low := strings.ToLower(strings.TrimSpace(name))
	named := false
	for _, word := range barnWords() {
		named = named || strings.Contains(low, word)
		low = strings.TrimSpace(strings.TrimPrefix(low, word))
	}
	switch {
	case low != "" && strings.Trim(low, "0123456789") == "":
		return c.Say("barn.number", low)
	case named:
		return name
	}
	return c.Say("barn.named", name)
}

// roundMake begins a new round.
func (s *Server) roundMake(w http.ResponseWriter, r *http.Request, p person) error {
	if s.Work != nil {
		s.Work.Make()
	}
	seeOther(w, r, "/round")
	return nil
}

// left says how much longer the round takes to make; empty where nobody knows.
func (p person) left(j Progress) string {
	switch s := j.Left.Seconds(); {
	case !j.LeftKnown:
		return ""
	case s < 90:
		return " " + p.Say("round.leftseconds", int(math.Ceil(s/5)*5))
	default:
		return " " + p.Say("round.leftminutes", int(math.Ceil(s/60)))
	}
}
