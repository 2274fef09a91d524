package web

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// RoundPage is today's list, with one line opened beside it at a desk.
type RoundPage struct {
	Frame
	Heading, Under string
	Warnings       []string
	Job            *JobShown
	Age, Fault     string
	At             string
	Groups         []LineGroup
	Empty, Resting string
	Notes          []string
	Again          bool
	Done           []EntryLine // written down since the list was made
	Opened         *OpenedLine
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

// ShownLine is one line of work.
type ShownLine struct {
	Anchor, Strip, To, Say, Why, Sure, Care string
	Answered                                string // what was done of it already
	Back                                    string
	Open                                    bool
	Glyph                                   Glyph
	Answers                                 []Answer
}

// Answer is a button of a line.
type Answer struct {
	Label, To, ID, Value string
	Post, Main, Quiet    bool
}

// OpenedLine is a line with everything behind it.
type OpenedLine struct {
	Say, BinsTitle, Except string
	Facts                  []Fact
	Bins                   []Link
	Tables                 []TriedTable
	AsGood                 []string
	Working                []string
	Answers                []Answer
	Line                   ShownLine
}

// TriedTable is what else was tried, for one bin.
type TriedTable struct {
	Title, Note string
	Open        bool
	Narrow      bool // few enough columns for a phone
	Heads       []Cell
	Rows        []TriedRow
}

// TriedRow is one alternative.
type TriedRow struct {
	Cells  []Cell
	Chosen bool
}

// Cell is one cell of a table.
type Cell struct {
	Text string
	Num  bool
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
	if i >= 0 {
		page.Opened = s.openLine(p, list.Lines[i])
		for g := range page.Groups {
			for n := range page.Groups[g].Lines {
				page.Groups[g].Lines[n].Open = page.Groups[g].Lines[n].Anchor == anchorOf(list.Lines[i])
			}
		}
	}
	return s.draw(w, "round", http.StatusOK, page)
}

// roundPage fills what the list and its print have in common.
func (s *Server) roundPage(r *http.Request, p person) (RoundPage, round.List, error) {
	page := RoundPage{Frame: s.frame(r, p, p.Say("round.title"), "round"), Heading: sentence(p.Words.Day(p.Now))}
	list, made, err := s.list(r.Context(), p)
	if err != nil {
		return page, list, err
	}
	if s.Work != nil {
		j := s.Work.Progress()
		if j.Running {
			percent := 0
			if j.Total > 0 {
				percent = 100 * j.Done / j.Total
			}
			page.Job = &JobShown{Say: p.Say("round.making", j.Done, j.Total), Percent: percent, Label: p.Say("round.percent", percent)}
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
			page.Job.Say, page.Empty = p.Say("round.makingfirst", s.Work.Progress().Done, s.Work.Progress().Total), ""
		}
		return page, list, nil
	}
	page.Heading = sentence(s.dayOf(p, list.Day))
	lines := p.Count("round.lines", len(list.Lines))
	said := p.spoken()
	page.Under = p.Say("round.under", lines, p.Words.Span(list.Minutes))
	for _, x := range list.Weather {
		if strings.HasPrefix(x.Key, "weather.frost") || strings.HasPrefix(x.Key, "weather.heat") {
			page.Warnings = append(page.Warnings, said.Text(x))
			continue
		}
		page.Under = said.Text(x) + " " + page.Under
	}
	for _, x := range list.Notes {
		page.Notes = append(page.Notes, said.Text(x))
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
	done := s.doneSince(list)
	page.Done = entryLines(p, done[:min(len(done), 12)])
	for _, l := range list.Lines {
		title := s.groupTitle(p, l)
		if n := len(page.Groups); n == 0 || page.Groups[n-1].Title != title {
			page.Groups = append(page.Groups, LineGroup{Title: title})
		}
		g := &page.Groups[len(page.Groups)-1]
		g.Lines = append(g.Lines, s.showLine(p, l, done))
	}
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
	case l.Urgency == round.Now:
		return p.Say("round.first")
	case l.Barn == "" && len(binsIn(l)) == 0:
		return p.Say("round.yard")
	case l.Barn == "":
		return p.Say("round.spots")
	case l.Row == "":
		return p.barn(l.Barn)
	}
	return p.Say("round.row", p.barn(l.Barn), l.Row)
}

// barn gives a barn's name as one says it: "Barn 1" for "1", else the name.
func (p person) barn(name string) string {
	if strings.Trim(name, "0123456789") == "" {
		return p.Say("barn.number", name)
	}
	if strings.Contains(strings.ToLower(name), strings.ToLower(p.Say("barn.word"))) {
		return name
	}
	return p.Say("barn.named", name)
}

func anchorOf(l round.Line) string { return "line-" + strings.Map(anchorRune, l.Key) }

func anchorRune(r rune) rune {
	if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' {
		return r
	}
	return '-'
}

func lineTo(l round.Line, rest string) string { return "/round/" + url.PathEscape(l.Key) + rest }

// showLine makes a line ready to print, with what was done of it.
func (s *Server) showLine(p person, l round.Line, done []farm.Line) ShownLine {
	out := ShownLine{Anchor: anchorOf(l), Strip: strip(l.Act, l.Urgency), To: lineTo(l, ""), Say: l.Say, Why: l.Reason, Sure: l.Sure, Care: l.Caution, Glyph: glyph(p, l.Act)}
	out.Back = "/round#" + out.Anchor
	all := false
	out.Answered, all = s.answered(p, l, done)
	if !all {
		out.Answers = s.answers(p, l)
	}
	return out
}

// answerKinds says which entries answer which act.
var answerKinds = map[round.Act][]string{
	round.Feed: {"feed"}, round.Water: {"water"}, round.Cover: {"cover"}, round.Open: {"cover", "harvest", "turn"},
	round.Look: {"look", "reading"}, round.Harvest: {"harvest"}, round.Split: {"stock", "harvest"}, round.Warm: {"heat", "move", "cover"},
	round.Turn: {"tend"}, round.Wet: {"tend"}, round.Measure: {"tend"}, round.Blend: {"blend"},
}

// doneSince gives what was written down since the list was made.
func (s *Server) doneSince(list round.List) []farm.Line {
	lines, _ := s.Farm.State().Search(farm.Search{From: list.Made.Truncate(time.Millisecond), Limit: 2000}, qty.US)
	return lines
}

// answered tells what of a line is done, and whether all of it is.
func (s *Server) answered(p person, l round.Line, done []farm.Line) (string, bool) {
	want := binsIn(l)
	piles := len(want) == 0
	if piles {
		for _, i := range l.Items {
			want = append(want, i.Pile)
		}
	}
	seen := map[string]bool{}
	var last *journal.Entry
	of := "bin "
	if piles {
		of = "pile "
	}
	for _, d := range done { // the newest first
		if !slices.Contains(answerKinds[l.Act], d.Entry.Kind) {
			continue
		}
		for _, subject := range farm.Subjects(d.Entry) {
			n, ok := strings.CutPrefix(subject, of)
			if ok && slices.Contains(want, n) {
				seen[n] = true
				if last == nil {
					last = d.Entry
				}
			}
		}
	}
	if last == nil {
		return "", false
	}
	who := last.Who
	if who == "" {
		who = p.Say("when.nobody")
	}
	if len(seen) == len(want) {
		return p.Say("round.alldone", p.Moment(last.At), who), true
	}
	return p.Say("round.somedone", len(seen), len(want), p.Moment(last.At), who), false
}

// answers gives the buttons of a line.
func (s *Server) answers(p person, l round.Line) []Answer {
	post := func(label string) Answer {
		return Answer{Label: label, To: lineTo(l, "/answer"), ID: s.NewID(p.Now), Value: "done", Post: true, Main: true}
	}
	which := Answer{Label: p.Count("answer.which", len(binsIn(l))), To: lineTo(l, ""), Quiet: true}
	form := func(label, to string, main bool) Answer { return Answer{Label: label, To: to, Main: main} }
	one := len(binsIn(l)) == 1
	switch l.Act {
	case round.Feed, round.Water, round.Open:
		if one {
			return []Answer{post(p.Say("answer.done")), form(p.Say("answer.changed"), lineTo(l, "/except"), false), {Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true}}
		}
		return []Answer{post(p.Say("answer.all")), form(p.Say("answer.except"), lineTo(l, "/except"), false), which}
	case round.Cover:
		if one {
			return []Answer{post(p.Say("answer.done")), form(p.Say("answer.changed"), lineTo(l, "/except"), false), {Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true}}
		}
		return []Answer{post(p.Say("answer.all")), form(p.Say("answer.except"), lineTo(l, "/except"), false), which}
	case round.Look, round.Harvest, round.Split, round.Warm:
		main := form(p.Say("answer."+string(l.Act)), lineTo(l, "/except"), true)
		if one {
			return []Answer{main, {Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true}}
		}
		return []Answer{main, which}
	case round.Turn, round.Wet:
		return []Answer{post(p.Say("answer.done")), {Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true}}
	case round.Blend:
		return []Answer{form(p.Say("answer.blend"), "/mix", true), {Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true}}
	case round.Measure:
		return []Answer{form(p.Say("answer."+string(l.Act)), lineTo(l, "/except"), true), {Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true}}
	}
	return []Answer{{Label: p.Say("answer.why"), To: lineTo(l, ""), Quiet: true}}
}

// openLine shows everything behind a line.
func (s *Server) openLine(p person, l round.Line) *OpenedLine {
	out := &OpenedLine{Say: l.Say, BinsTitle: p.Count("round.bins", len(binsIn(l))), Line: s.showLine(p, l, nil)}
	if len(l.Except) > 0 {
		out.Except = p.Say("round.except", p.Words.List(l.Except))
	}
	for _, i := range l.Items {
		if i.Bin != "" {
			out.Bins = append(out.Bins, Link{To: binTo(i.Bin), Name: placeOr(i)})
		}
	}
	if len(out.Bins) == 0 {
		out.BinsTitle = p.Count("round.piles", len(l.Items))
		for _, i := range l.Items {
			if i.Pile != "" {
				out.Bins = append(out.Bins, Link{To: pileTo(i.Pile), Name: i.Pile})
			}
		}
	}
	out.Facts = append(out.Facts, Fact{Name: p.Say("round.urgency"), Value: p.Say("urgency." + strings.ReplaceAll(string(l.Urgency), " ", ""))},
		Fact{Name: p.Say("round.minutes"), Value: p.Words.Span(l.Minutes)})
	const most = 6
	for n, i := range l.Items {
		for _, w := range chancesSay(p, i) {
			if n < most {
				out.Working = append(out.Working, w)
			}
		}
		if n < most && len(i.Tried) > 0 {
			t := triedTable(p, i)
			t.Open = len(out.Tables) == 0
			out.Tables = append(out.Tables, t)
		}
		for _, o := range i.Others {
			if say := p.Say("round.asgood", placeOr(i), printable(p.spoken().Text(o.Head))); n < most && !slices.Contains(out.AsGood, say) {
				out.AsGood = append(out.AsGood, say)
			}
		}
	}
	for n := range out.Line.Answers {
		if !out.Line.Answers[n].Quiet {
			out.Answers = append(out.Answers, out.Line.Answers[n])
		}
	}
	out.Line.Answers, out.Line.Anchor = out.Answers, "open-"+out.Line.Anchor
	return out
}

// triedTable shows what else was tried for one bin.
func triedTable(p person, i round.Item) TriedTable {
	t := TriedTable{Title: p.Say("tried.title", i.Place)}
	for n, key := range []string{"tried.what", "tried.left", "tried.more", "tried.warm", "tried.sour", "tried.dry", "tried.castings", "tried.value"} {
		t.Heads = append(t.Heads, Cell{Text: p.Say(key), Num: n > 0})
	}
	fewest := math.MaxInt
	for _, x := range i.Tried {
		t.Rows = append(t.Rows, TriedRow{Chosen: x.Chosen, Cells: []Cell{
			{Text: sentence(x.Say)}, {p.Say("tried.percent", percentNumber(x.LeftFrac)), true}, {p.Words.Chance(x.Left), true}, {p.Words.Chance(x.TooWarm), true}, {p.Words.Chance(x.Sour), true},
			{p.Words.Chance(x.Dry), true}, {printable(p.Units.Mass(x.CastingsKg)), true}, {worthSay(x), true}}})
		fewest = min(fewest, x.Members)
	}
	t.Note = p.Say("tried.note", fewest)
	return t
}

// worthSay gives the objective of an alternative, in brackets when a limit
// forbids it.
func worthSay(x round.Tried) string {
	v := qty.Figures(x.Value)
	if !x.Allowed {
		return "(" + v + ")"
	}
	return v
}

// chancesSay gives the chances of an item with the number of twins they rest on.
func chancesSay(p person, i round.Item) []string {
	var out []string
	for _, c := range i.Chances {
		key := "chanceof." + c.Of
		of := c.Of
		if p.Words.Has(key) {
			of = p.Say(key)
		}
		out = append(out, p.Say("round.chance", placeOr(i), of, p.Words.Chance(c.Frac), c.N))
	}
	return out
}

// binsIn gives the bins of a line, placesIn what they are called.
func binsIn(l round.Line) []string {
	var out []string
	for _, i := range l.Items {
		if i.Bin != "" {
			out = append(out, i.Bin)
		}
	}
	return out
}

func placesIn(l round.Line) []string {
	var out []string
	for _, i := range l.Items {
		if i.Bin != "" {
			out = append(out, placeOr(i))
		}
	}
	return out
}

func placeOr(i round.Item) string {
	switch {
	case i.Place != "":
		return i.Place
	case i.Bin != "":
		return i.Bin
	}
	return i.Pile
}

// printPage is the sheet for the crew.
type printPage struct {
	Frame
	Heading, Under, Empty string
	Warnings              []string
	Groups                []printGroup
}

type printGroup struct {
	Title string
	Lines []printLine
}

type printLine struct {
	Say, Why, Sure, Care string
	Boxes, Blanks        []string
}

// roundPrint shows the list as a sheet to tick with a pen.
func (s *Server) roundPrint(w http.ResponseWriter, r *http.Request, p person) error {
	full, list, err := s.roundPage(r, p)
	if err != nil {
		return err
	}
	page := printPage{Frame: full.Frame, Heading: fmt.Sprintf("%s, %s", full.FarmName, full.Heading), Under: full.Under, Warnings: full.Warnings, Empty: full.Empty}
	page.Refresh, page.One = 0, true
	if page.Empty != "" && len(s.Farm.State().Bins()) == 0 {
		page.Ways = p.begin()
	}
	for _, l := range list.Lines {
		title := s.groupTitle(p, l)
		if n := len(page.Groups); n == 0 || page.Groups[n-1].Title != title {
			page.Groups = append(page.Groups, printGroup{Title: title})
		}
		x := printLine{Say: l.Say, Why: l.Reason, Sure: l.Sure, Care: l.Caution, Boxes: placesIn(l), Blanks: blanks(p, l.Act)}
		if len(x.Boxes) == 0 {
			for _, i := range l.Items {
				x.Boxes = append(x.Boxes, i.Pile)
			}
		}
		g := &page.Groups[len(page.Groups)-1]
		g.Lines = append(g.Lines, x)
	}
	return s.draw(w, "round_print", http.StatusOK, page)
}

// blanks are what a crew writes by hand beside a line.
func blanks(p person, act round.Act) []string {
	switch act {
	case round.Feed:
		return []string{p.Say("blank.feed"), p.Say("blank.not")}
	case round.Water, round.Wet:
		return []string{p.Say("blank.water"), p.Say("blank.not")}
	case round.Look:
		return []string{p.Say("blank.squeeze"), p.Say("blank.left"), p.Say("blank.worms"), p.Say("blank.smell")}
	case round.Measure:
		return []string{p.Say("blank.temp", pick(p.Units, "°F", "°C")), p.Say("blank.deep", pick(p.Units, "in", "cm"))}
	case round.Harvest:
		return []string{p.Say("blank.castings"), p.Say("blank.worms")}
	}
	return []string{p.Say("blank.note")}
}

// roundMake begins a new round.
func (s *Server) roundMake(w http.ResponseWriter, r *http.Request, p person) error {
	if s.Work != nil {
		s.Work.Make()
	}
	seeOther(w, r, "/round")
	return nil
}

// line finds the line that a request names.
func (s *Server) line(r *http.Request, p person) (round.Line, error) {
	list, made, err := s.list(r.Context(), p)
	if err != nil {
		return round.Line{}, err
	}
	if made {
		for _, l := range list.Lines {
			if l.Key == r.PathValue("key") {
				return l, nil
			}
		}
	}
	return round.Line{}, missing{p.Say("round.noline")}
}

// amounts parts the items of a line by what is to be done, so that each part is
// one set of entries.
func amounts(l round.Line) [][]round.Item {
	var out [][]round.Item
	for _, i := range l.Items {
		n := slices.IndexFunc(out, func(g []round.Item) bool {
			return i.Pile == "" && g[0].DepthM == i.DepthM && g[0].WaterKg == i.WaterKg && g[0].Mix == i.Mix && g[0].Cover == i.Cover
		})
		if n < 0 {
			out = append(out, []round.Item{i})
			continue
		}
		out[n] = append(out[n], i)
	}
	return out
}

// doneBodies gives the entries that say a part of a line was done as advised;
// none when a form must ask for more.
func doneBodies(p person, act round.Act, items []round.Item) []any {
	var bins []string
	for _, i := range items {
		bins = append(bins, i.Bin)
	}
	first := items[0]
	var out []any
	switch act {
	case round.Feed:
		depth := qty.Metre(first.DepthM)
		out = append(out, &journal.Feed{Bins: bins, Batch: first.Mix, DepthM: &depth})
		out = append(out, companions(bins, first)...)
	case round.Water, round.Cover:
		out = companions(bins, first)
	case round.Open:
		if first.DepthM > 0 {
			off := qty.Metre(first.DepthM)
			out = append(out, &journal.Turn{Bins: bins, TakenOffM: &off})
		}
		out = append(out, companions(bins, first)...)
	case round.Turn:
		out = append(out, &journal.Tend{Pile: first.Pile, Act: "turned"})
	case round.Wet:
		if first.WaterKg > 0 {
			kg := qty.WaterKg(first.WaterKg)
			out = append(out, &journal.Tend{Pile: first.Pile, Act: "wetted", WaterKg: &kg})
		}
	}
	return out
}

// companions gives the watering and the cover that go with an item.
func companions(bins []string, i round.Item) []any {
	var out []any
	if i.WaterKg > 0 {
		out = append(out, &journal.Water{Bins: bins, Kg: qty.WaterKg(i.WaterKg)})
	}
	if i.Cover != "" {
		out = append(out, &journal.Cover{Bins: bins, Cover: i.Cover})
	}
	return out
}

// kindOf names the kind of a body that an answer makes.
func kindOf(body any) string {
	switch body.(type) {
	case *journal.Feed:
		return "feed"
	case *journal.Water:
		return "water"
	case *journal.Cover:
		return "cover"
	case *journal.Turn:
		return "turn"
	}
	return "tend"
}

// roundAnswer writes down that a line was done as advised, all of it or nothing.
func (s *Server) roundAnswer(w http.ResponseWriter, r *http.Request, p person) error {
	l, err := s.line(r, p)
	if err != nil {
		return err
	}
	id := r.PostForm.Get("id")
	to := back(r, "/round")
	if _, _, known := s.Farm.State().Entry(id); known { // the button was pressed twice
		seeOther(w, r, withSaid(to, id))
		return nil
	}
	var entries []journal.Entry
	for _, items := range amounts(l) {
		bodies := doneBodies(p, l.Act, items)
		if len(bodies) == 0 {
			seeOther(w, r, lineTo(l, "/except"))
			return nil
		}
		for _, b := range bodies {
			e := journal.Entry{ID: id, Kind: kindOf(b), At: p.Now.UTC(), Who: p.Who, Device: "page", Body: b}
			if len(entries) > 0 {
				e.ID = s.NewID(p.Now)
			}
			entries = append(entries, e)
		}
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
	seeOther(w, r, withSaid(to, acks[0].Entry.ID))
	return nil
}
