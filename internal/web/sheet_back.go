package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/ids"
	"wormyard/internal/label"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// SheetPage is a ticked sheet of paper, typed back line by line.
type SheetPage struct {
	Frame
	Heading, Under, Empty string
	Days                  []Link
	Of, Began, Yes        string
	Lines                 []SheetLine
	Problems, Doubts      []Complaint
	When                  []Field
	WhenLabel             string
	WhenOpen              bool
	Sure                  bool     // what was typed is looked over before it is sent
	Says                  []string // what will be written down
	Held                  []Field  // what was typed, carried along
}

// SheetLine is one line of the sheet with its boxes.
type SheetLine struct {
	No                      int
	Anchor, Name, Say, Bins string
	Answered                string
	Ways                    []Option
	Boxes                   []Field
	To, ToName              string // the form that a line needs which holds more
	Group                   string
}

// sheetTo is where the code on a sheet leads.
func sheetTo(code string) string { return "/round/sheet?of=" + url.QueryEscape(code) }

// sheetOpen opens the sheet whose code was read.
func (s *Server) sheetOpen(w http.ResponseWriter, r *http.Request, p person) error {
	seeOther(w, r, sheetTo(strings.ToUpper(r.PathValue("code"))))
	return nil
}

// sheetCode gives the code that opens a sheet to be typed back.
func (s *Server) sheetCode(r *http.Request, p person, x app.Sheet) *CodeShown {
	address := label.Loud(s.base(r), "/s/"+x.Code)
	c, err := label.Encode(address)
	if err != nil {
		return nil
	}
	return &CodeShown{Side: c.Side(), Path: c.Path(), Alt: p.Say("print.code", address)}
}

// keepSheet keeps the newest round as it is printed.
func (s *Server) keepSheet(r *http.Request, l round.List) (app.Sheet, bool, error) {
	if s.Rounds == nil {
		return app.Sheet{}, false, nil
	}
	_, mends := parted(l.Lines)
	var keep []app.SheetMend
	for _, m := range mends {
		keep = append(keep, app.SheetMend{Key: m.Key, Bins: m.Bins()})
	}
	return s.Rounds.KeepSheet(r.Context(), keep)
}

// parted gives the lines of the twins and those of remedies.
func parted(lines []round.Line) (twins, mends []round.Line) {
	for _, l := range lines {
		if l.Act == round.Mend || l.Act == round.Helped {
			mends = append(mends, l)
		} else {
			twins = append(twins, l)
		}
	}
	return twins, mends
}

// onPaper gives the lines of a round by their numbers on a printed sheet: those of
// the twins, then those of remedies as they were printed. One that is no longer
// under way keeps its number and is empty.
func (p person) onPaper(lines []round.Line, x app.Sheet) []round.Line {
	out, mends := parted(lines)
	for _, m := range x.Mends {
		l := round.Line{Key: m.Key, Say: p.Say("sheet.over.remedy")}
		if i := slices.IndexFunc(mends, func(l round.Line) bool { return l.Key == m.Key }); i >= 0 {
			now := mends[i]
			items := slices.DeleteFunc(slices.Clone(now.Items), func(i round.Item) bool { return !slices.Contains(m.Bins, i.Bin) })
			if len(items) > 0 {
				now.Items = items
				now.Say = p.mendSay(now)
				l = now
			}
		}
		out = append(out, l)
	}
	return out
}

// sheetOf gives the printed round that is asked for, the newest one otherwise.
func (s *Server) sheetOf(r *http.Request, p person) (app.Sheet, []app.Sheet, round.List, error) {
	var none round.List
	if s.Rounds == nil {
		return app.Sheet{}, nil, none, nil
	}
	list, err := s.Rounds.Sheets(r.Context())
	if err != nil || len(list) == 0 {
		return app.Sheet{}, list, none, err
	}
	at := 0
	if of := strings.ToUpper(r.FormValue("of")); of != "" {
		if at = slices.IndexFunc(list, func(x app.Sheet) bool { return x.Code == of }); at < 0 {
			return app.Sheet{}, list, none, missing{p.Say("sheet.gone", of)}
		}
	}
	l, ok, err := s.Rounds.SheetList(r.Context(), list[at].Code, p.spoken())
	if err == nil && !ok {
		err = missing{p.Say("sheet.gone", list[at].Code)}
	}
	if err != nil {
		return list[at], list, l, err
	}
	printableList(&l)
	p.tellList(&l)
	if l, err = withRemedies(p, s.Farm.State(), l); err == nil {
		l.Lines = p.onPaper(l.Lines, list[at])
	}
	return list[at], list, l, err
}

// sheetBack shows a sheet to be typed back, looks over what was typed, and
// writes it down.
func (s *Server) sheetBack(w http.ResponseWriter, r *http.Request, p person) error {
	x, list, l, err := s.sheetOf(r, p)
	if err != nil {
		return err
	}
	page := SheetPage{Frame: s.frame(r, p, p.Say("sheet.title"), "round"), Heading: p.Say("sheet.title"), Of: x.Code, Began: r.PostFormValue("began")}
	page.One = true
	if x.Code == "" {
		page.Empty, page.Ways = p.Say("sheet.none"), []Link{{To: "/round/print", Name: p.Say("round.print")}}
		return s.draw(w, "sheet_back", http.StatusOK, page)
	}
	page.Under = p.Say("sheet.under", s.dayOf(p, x.Day), p.Words.Clock(x.Made.In(p.Zone)), x.Code)
	for _, y := range list {
		page.Days = append(page.Days, Link{To: sheetTo(y.Code), Name: p.Say("sheet.day", s.dayOf(p, y.Day), p.Words.Clock(y.Made.In(p.Zone))), Here: y.Code == x.Code})
	}
	if page.Began == "" {
		page.Began = p.Now.UTC().Format(time.RFC3339Nano)
	}
	s.sheetLines(p, l, r, &page)
	at, who := r.PostFormValue("at"), typed(r, "who")
	if r.Method != http.MethodPost && x.Day != p.Now.Format(journal.DayLayout) {
		at = x.Day + "T17:00"
	}
	page.When, page.WhenLabel, page.WhenOpen = s.when(p, at, who)
	if r.Method != http.MethodPost || r.PostForm.Get("step") == "change" {
		return s.draw(w, "sheet_back", http.StatusOK, page)
	}
	entries, problems := s.sheetEntries(r, p, x, l, page.Began)
	if len(problems) == 0 && len(entries) == 0 {
		problems = []app.Problem{{Say: p.Say("sheet.nothing"), Try: p.Say("sheet.nothingtry")}}
	}
	if len(problems) > 0 {
		page.Problems = sheetComplaints(problems)
		return s.draw(w, "sheet_back", http.StatusUnprocessableEntity, page)
	}
	page.Sure = true
	if r.PostForm.Get("step") == "write" {
		if _, problems, err = s.writeAll(r, entries, r.PostForm.Get("yes")); err != nil {
			return err
		}
		if len(problems) == 0 {
			seeOther(w, r, withSaid("/round", entries[len(entries)-1].ID))
			return nil
		}
		refused, doubtful := split(problems)
		page.Problems, page.Doubts, page.Yes = mark(refused), mark(doubtful), digest(doubtful)
	}
	for i := range entries {
		page.Says = append(page.Says, printable(p.sentence(&entries[i])))
	}
	for key, list := range r.PostForm {
		for _, v := range list {
			if v != "" && key != "step" && key != "yes" && key != "of" && key != "began" {
				page.Held = append(page.Held, Field{Name: key, Value: v, Hidden: true})
			}
		}
	}
	slices.SortFunc(page.Held, func(a, b Field) int { return strings.Compare(a.Name+"\x00"+a.Value, b.Name+"\x00"+b.Value) })
	status := http.StatusOK
	if len(problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.draw(w, "sheet_back", status, page)
}

// sheetComplaints marks the line that a problem is about.
func sheetComplaints(problems []app.Problem) []Complaint {
	var out []Complaint
	for _, x := range problems {
		out = append(out, Complaint{Anchor: x.Field, Say: x.Say, Try: x.Try})
	}
	return out
}

// The answers to a line of a sheet, in the order of their keys.
const (
	sheetDone  = "done"
	sheetOther = "other"
	sheetNot   = "not"
)

// sheetWays gives the answers that a line takes.
func sheetWays(act round.Act) []string {
	switch act {
	case round.Feed, round.Water, round.Wet:
		return []string{sheetDone, sheetOther, sheetNot}
	case round.Cover, round.Open, round.Turn, round.Look, round.Measure:
		return []string{sheetDone, sheetNot}
	case round.Mend:
		return []string{sheetDone, sheetNot}
	case round.Ask:
		return []string{app.SaidFed, app.SaidNotFed, app.SaidNobody}
	case round.Helped:
		return app.SaidHelped
	case round.Blend, "":
		return nil
	}
	return []string{sheetNot}
}

// other is what bins left out of an answer were: not fed where the others were,
// fed where they were not.
func other(said string) string {
	if said == app.SaidFed {
		return app.SaidNotFed
	}
	return app.SaidFed
}

// sheetForms are where lines are written down that say more than a tick.
var sheetForms = map[round.Act]string{round.Harvest: "harvest", round.Split: "stock", round.Warm: "heat"}

// sheetLines lays out the boxes of all lines.
func (s *Server) sheetLines(p person, l round.List, r *http.Request, page *SheetPage) {
	done := s.doneSince(l)
	said := ""
	for n, x := range l.Lines {
		no := n + 1
		line := SheetLine{No: no, Anchor: fmt.Sprint("l", no), Name: fmt.Sprint("a", no), Say: x.Say, Bins: strings.Join(placesIn(x), p.Say("list.comma"))}
		if title := s.groupTitle(p, x); title != said {
			line.Group, said = title, title
		}
		line.Answered, _ = s.answered(p, x, done)
		now := r.PostFormValue(line.Name)
		for key, way := range sheetWays(x.Act) {
			line.Ways = append(line.Ways, Option{Value: way, Label: p.Say("sheet.way."+strings.ReplaceAll(way, " ", ""), key+1), On: way == now})
		}
		if len(line.Ways) > 0 {
			line.Ways = append(line.Ways, Option{Value: "", Label: p.Say("sheet.way.none"), On: now == ""})
		}
		box := func(name, title string) Field {
			name += fmt.Sprint(no)
			f := textField(name, title, r.PostFormValue(name))
			return f
		}
		switch x.Act {
		case round.Feed:
			f := box("amount", p.Say("blank.feed"))
			f.Unit, f.Short, f.Mode = pick(p.Units, "in", "cm"), true, "decimal"
			line.Boxes = append(line.Boxes, f)
		case round.Water, round.Wet:
			f := box("amount", p.Say("blank.water"))
			f.Unit, f.Short, f.Mode = pick(p.Units, "gal", "L"), true, "decimal"
			line.Boxes = append(line.Boxes, f)
		case round.Look:
			kind, _ := p.kindNamed("look")
			for _, key := range []string{"squeeze", "feed_left", "worms", "smell"} {
				k, _ := kind.Field(key)
				f := box(key, k.Label)
				f.Select, f.Options = true, append([]Option{{Value: "", Label: "—"}}, p.choices(k)...)
				line.Boxes = append(line.Boxes, choose(f))
			}
		case round.Measure:
			f, g := box("temp", p.Say("blank.temp", pick(p.Units, "°F", "°C"))), box("deep", p.Say("blank.deep", pick(p.Units, "in", "cm")))
			f.Short, g.Short, f.Mode, g.Mode = true, true, "decimal", "decimal"
			line.Boxes = append(line.Boxes, f, g)
		}
		if len(x.Bins()) > 1 && len(line.Ways) > 0 {
			line.Boxes = append(line.Boxes, box("but", p.Say("sheet.but")))
		}
		if slices.Contains(sheetWays(x.Act), sheetNot) {
			line.Boxes = append(line.Boxes, box("why", p.Say("blank.not")))
		}
		if form := sheetForms[x.Act]; form != "" {
			line.To, line.ToName = "/enter/"+form+"?"+url.Values{"bins": {strings.Join(x.Bins(), " ")}}.Encode(), p.Say("sheet.form")
		} else if x.Act == round.Blend {
			line.To, line.ToName = "/mix", p.Say("answer.blend")
		}
		page.Lines = append(page.Lines, line)
	}
}

// sheetEntries reads what was typed. All that is wrong is told at once, each with
// the number of its line.
func (s *Server) sheetEntries(r *http.Request, p person, x app.Sheet, l round.List, began string) ([]journal.Entry, []app.Problem) {
	var problems []app.Problem
	at, err := time.Parse(time.RFC3339Nano, began)
	if err != nil || at.After(p.Now) {
		at = p.Now
	}
	if t := r.PostForm.Get("at"); t != "" {
		when, ps := moment(p, t)
		problems = append(problems, ps...)
		at = when
	}
	who := typed(r, "who")
	if who == "" || p.In.Guarded {
		who = p.Who
	}
	var out []journal.Entry
	state := s.Farm.State()
	for n, line := range l.Lines {
		facts, ps := s.sheetFacts(r, p, n+1, line)
		for _, q := range ps {
			q.Field, q.Say = fmt.Sprint("l", n+1), p.Say("sheet.at", n+1, q.Say)
			problems = append(problems, q)
		}
		for _, f := range facts {
			b := f.Body
			raw, err := journal.Encode(b)
			if err != nil {
				problems = append(problems, app.Problem{Say: p.Say("form.unread"), Try: p.Say("form.unreadtry")})
				continue
			}
			at := at
			if !f.At.IsZero() { // on its own day
				at = f.At
			}
			e := journal.Entry{Kind: app.KindOf(b), At: at.UTC().Truncate(time.Millisecond), Who: who, Device: "sheet " + x.Code, Body: b}
			// the same line of a sheet typed twice is the same entry, but for one that was struck
			for again := 0; ; again++ {
				e.ID = ids.FromContent(x.Made, slices.Concat([]byte(fmt.Sprint(x.Code, " ", n, " ", e.Kind, " ")), raw), again)
				if _, counts, found := state.Entry(e.ID); !found || counts {
					break
				}
			}
			out = append(out, e)
		}
	}
	return out, problems
}

// sheetFacts reads one line and gives what its answer stands for.
func (s *Server) sheetFacts(r *http.Request, p person, no int, line round.Line) (out []app.Fact, problems []app.Problem) {
	get := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name + fmt.Sprint(no))) }
	way, why := get("a"), get("why")
	wrong := func(say, try string) {
		problems = append(problems, app.Problem{Say: say, Try: try})
	}
	if !slices.Contains(sheetWays(line.Act), way) {
		if way == "" && get("amount")+get("but")+why != "" {
			wrong(p.Say("sheet.noway"), p.Say("sheet.nowaytry"))
		}
		return nil, problems
	}
	items, left := line.Items, []round.Item(nil)
	if but := get("but"); but != "" {
		names, bad := s.Farm.State().Places().SelectFirst(but, line.Bins())
		for _, e := range bad {
			wrong(e.Say, e.Try)
		}
		for _, name := range names {
			if !slices.Contains(line.Bins(), name) {
				wrong(p.Say("sheet.notin", name), p.Say("sheet.notintry", p.Words.List(placesIn(line)[:min(6, len(line.Items))])))
			}
		}
		items = nil
		for _, i := range line.Items {
			if slices.Contains(names, i.Bin) {
				left = append(left, i)
			} else {
				items = append(items, i)
			}
		}
		if len(items) == 0 && len(bad) == 0 && line.Act != round.Ask {
			wrong(p.Say("sheet.allbut"), p.Say("sheet.allbuttry"))
		}
	}
	if way == sheetNot {
		if why == "" {
			wrong(p.Say("walk.nowhy"), "")
		}
		left, items = items, nil
	}
	kind, field := "feed", "depth_m"
	switch line.Act {
	case round.Water:
		kind, field = "water", "kg"
	case round.Wet:
		kind, field = "tend", "water_kg"
	}
	if way == sheetOther {
		k, _ := p.kindNamed(kind)
		f, _ := k.Field(field)
		text := get("amount")
		if text == "" {
			wrong(p.Say("sheet.noamount"), p.Say("sheet.noamounttry"))
		} else if v, ps := s.number(p, f, text); len(ps) > 0 {
			problems = append(problems, ps...)
		} else {
			items = slices.Clone(items)
			for i := range items {
				if line.Act == round.Feed {
					items[i].DepthM = v
				} else {
					items[i].WaterKg = v
				}
			}
		}
	}
	if len(problems) > 0 {
		return nil, problems
	}
	part := line
	switch part.Items = items; {
	case line.Act == round.Ask: // the bins left out were what the others were not
		out = app.Answer(part, way, "")
		if part.Items = left; way != app.SaidNobody {
			out = append(out, app.Answer(part, other(way), "")...)
		}
		return out, problems
	case line.Act == round.Helped:
		return app.Answer(part, way, ""), problems
	}
	if len(items) > 0 {
		switch line.Act {
		case round.Look:
			b := &journal.Look{Bins: part.Bins(), Squeeze: get("squeeze"), FeedLeft: get("feed_left"), Worms: get("worms"), Smell: get("smell")}
			if b.Squeeze+b.FeedLeft+b.Worms+b.Smell == "" {
				wrong(p.Say("sheet.nolook"), p.Say("sheet.nolooktry"))
			}
			out = append(out, app.Fact{Body: b})
		case round.Measure:
			b, ps := s.sheetMeasure(p, items[0].Pile, get("temp"), get("deep"))
			problems = append(problems, ps...)
			out = append(out, app.Fact{Body: b})
		default:
			out = app.Answer(part, app.Done, "")
		}
	}
	if part.Items = left; why != "" {
		out = append(out, app.Answer(part, "", why)...)
	}
	return out, problems
}

// sheetMeasure reads a thermometer that was written on paper.
func (s *Server) sheetMeasure(p person, pile, temp, deep string) (any, []app.Problem) {
	b := &journal.Tend{Pile: pile, Act: "measured"}
	kind, _ := p.kindNamed("tend")
	if temp == "" {
		return b, []app.Problem{{Say: p.Say("sheet.notemp"), Try: p.Say("sheet.notemptry")}}
	}
	f, _ := kind.Field("temp_c")
	v, problems := s.number(p, f, temp)
	c := qty.Celsius(v)
	b.TempC = &c
	if deep != "" {
		f, _ := kind.Field("depth_m")
		d, ps := s.number(p, f, deep)
		problems = append(problems, ps...)
		m := qty.Metre(d)
		b.DepthM = &m
	}
	return b, problems
}
