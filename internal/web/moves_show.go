package web

import (
	"errors"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// MovesPage is the lifts of today, aisle by aisle.
type MovesPage struct {
	Frame
	Heading, Under string
	Say            []string // how many lifts, and the other way
	How            string   // how near that is to the least
	Empty, Loose   string
	Cautions       []string // each once, for the whole list
	Offer          *Link
	Blocked        []Complaint
	Aisles         []MovesAisle
	Problems       []Complaint
	Fields         []Field
	Drive, Print   string
	Places         string
	Sheet          bool // the page is the sheet of paper
}

// MovesAisle is the lifts of one aisle.
type MovesAisle struct {
	Title, Say string
	Open       bool
	OnTop      string       // reached before the first lift
	Tops       []MovesOnTop // those, by what is done at them
	Stacks     []MovesStack
}

// MovesOnTop is bins that are reached without a lift and what is done at them.
type MovesOnTop struct {
	Say  string
	Bins []Link
}

// MovesStack is what is done at one stack before the truck goes on.
type MovesStack struct {
	Title, Say string
	Open       bool
	Steps      []MovesStep
}

// MovesStep is a lift, or a bin that is down.
type MovesStep struct {
	No             int // of a lift
	Say, To        string
	Work           bool
	Lines          []MovesLine
	Tick           bool // it changes where a bin stands, so that it is written down
	ID, Bin        string
	FromAt, ToAt   string
	Facts, Next    string
	Back           string
	bin            string
	line, stackKey string
}

// MovesLine is what the round asks for at a bin that is down.
type MovesLine struct {
	Say, Why string
	Care     []string // beside that of the truck
	Act      *Link
}

// MovesDrivePage is the lifts one at a time, for the driver.
type MovesDrivePage struct {
	Frame
	Heading, Under string
	Progress       string
	Cautions       []string
	Offer          *Link
	Step           *MovesStep
	Over           string
	Before, Next   string
	On             string // where nothing is written down
	List           string
}

// movesAsk is what a reader chose.
type movesAsk struct {
	q     url.Values
	off   map[string]bool // lines of the round that are left out
	more  string
	same  bool
	out   bool
	ask   app.TruckAsk
	made  bool // there is a round
	lines []round.Line
	wants map[string]bool
}

// movesRead reads the choices and what the round wants; what is typed that no bin
// answers to is told.
func (s *Server) movesRead(r *http.Request, p person) (movesAsk, []app.Problem, error) {
	state := s.Farm.State()
	set := state.Settings.Truck
	q := r.URL.Query()
	a := movesAsk{q: url.Values{}, off: map[string]bool{}, wants: map[string]bool{}, more: strings.TrimSpace(q.Get("more")), same: q.Get("back") == "same", out: q.Get("ripe") != "back"}
	number := func(name string, usual, most int) int {
		n, err := strconv.Atoi(q.Get(name))
		if err != nil || n < 1 || n > most {
			return usual
		}
		return n
	}
	a.ask = app.TruckAsk{Same: a.same, Trucks: number("trucks", max(1, set.Trucks), 2), Spots: number("spots", max(1, set.Spots), 4), Reach: number("reach", set.ReachUp, barn.MostHigh)}
	for _, key := range []string{"set", "back", "ripe", "trucks", "spots", "reach", "more"} {
		if v := q.Get(key); v != "" {
			a.q.Set(key, v)
		}
	}
	for _, v := range q["line"] {
		a.q.Add("line", v)
	}
	list, made, err := s.list(r.Context(), p)
	if err != nil {
		return a, nil, err
	}
	a.made = made
	add := func(bin string, out bool, minutes float64) {
		i := slices.IndexFunc(a.ask.Want, func(w app.TruckWant) bool { return w.Bin == bin })
		if i < 0 {
			i, a.ask.Want = len(a.ask.Want), append(a.ask.Want, app.TruckWant{Bin: bin})
		}
		a.ask.Want[i].Out = a.ask.Want[i].Out || out
		a.ask.Want[i].Minutes += minutes
	}
	if made {
		done := s.doneSince(list)
		for _, l := range list.Lines {
			open, _ := done.Open(l)
			if len(open.Bins()) == 0 || l.Act == round.Ask || l.Act == round.Helped {
				continue
			}
			a.lines = append(a.lines, open)
			if q.Get("set") != "" && !slices.Contains(q["line"], l.Key) {
				a.off[l.Key] = true
				continue
			}
			for _, i := range open.Items {
				if i.Bin == "" {
					continue
				}
				minutes := l.Minutes / float64(len(l.Items))
				if i.Minutes > 0 {
					minutes = i.Minutes
				}
				add(i.Bin, a.out && l.Act == round.Harvest, minutes)
			}
		}
	}
	var problems []app.Problem
	if a.more != "" {
		bins, wrong := state.Places().Select(a.more)
		for _, x := range wrong {
			problems = append(problems, app.Problem{Field: "more", Say: p.Told(x.Say), Try: p.Told(x.Try)})
		}
		for _, b := range twice(state, a.more) {
			problems = append(problems, app.Problem{Field: "more", Say: p.Say("moves.twice", b), Try: p.Say("moves.twicetry")})
		}
		for _, b := range bins {
			add(b, false, 0)
		}
	}
	for _, w := range a.ask.Want {
		a.wants[w.Bin] = true
	}
	return a, problems, nil
}

// twice gives the bins that are typed more than once.
func twice(state *farm.State, text string) (out []string) {
	seen := map[string]bool{}
	for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ';' || c == '\n' }) {
		if b, err := state.Places().One(part); err == nil {
			if seen[b] && !slices.Contains(out, b) {
				out = append(out, b)
			}
			seen[b] = true
		}
	}
	return out
}

// to gives an address with the choices.
func (a *movesAsk) to(path string, more ...string) string {
	q := url.Values{}
	for k, v := range a.q {
		q[k] = v
	}
	for i := 0; i+1 < len(more); i += 2 {
		q.Set(more[i], more[i+1])
	}
	if len(q) == 0 {
		return path
	}
	return path + "?" + q.Encode()
}

// movesDay plans the day. What nobody can plan is told as problems.
func (s *Server) movesDay(r *http.Request, p person, a movesAsk) (*app.TruckDay, []app.Problem, error) {
	looks, failed := s.looksOf(r)
	day, err := s.trucks.TruckMoves(r.Context(), s.Farm.State(), looks, s.floorWords(p), a.ask)
	var no *figure.Refusal
	if errors.As(err, &no) {
		var problems []app.Problem
		for _, x := range no.Problems {
			problems = append(problems, app.Problem{Field: x.Field, Say: p.Told(x.Say), Try: p.Told(x.Try)})
		}
		return nil, problems, nil
	}
	if err == nil {
		err = *failed
	}
	return day, nil, err
}

// floorWords are what a place on the floor of an aisle is called, the reader's
// language first.
func (s *Server) floorWords(p person) []string {
	words := []string{p.Say("moves.floorname")}
	for _, c := range s.words {
		if w := c.Say("moves.floorname"); !slices.Contains(words, w) {
			words = append(words, w)
		}
	}
	return words
}

// looksOf gives what is likely in bins, and where it keeps what went wrong.
func (s *Server) looksOf(r *http.Request) (func(bin string) *app.Outlook, *error) {
	var failed error
	return func(bin string) *app.Outlook {
		o, err := s.outlook(r.Context(), bin)
		if err != nil {
			failed = err
		}
		return o
	}, &failed
}

// movesShow shows the lifts of today.
func (s *Server) movesShow(w http.ResponseWriter, r *http.Request, p person) error {
	page, _, _, err := s.movesPage(r, p)
	if err != nil {
		return err
	}
	status := http.StatusOK
	if len(page.Problems) > 0 {
		status = http.StatusUnprocessableEntity
	}
	page.Aisles = toldOnce(page.Aisles)
	return s.draw(w, "moves", status, page)
}

// movesPrint shows them as a sheet.
func (s *Server) movesPrint(w http.ResponseWriter, r *http.Request, p person) error {
	page, _, _, err := s.movesPage(r, p)
	if err != nil {
		return err
	}
	page.Sheet, page.Fields, page.One, page.Aisles = true, nil, true, toldOnce(page.Aisles)
	page.Heading = p.Say("moves.at", page.FarmName, page.Heading)
	return s.draw(w, "moves", http.StatusOK, page)
}

func (s *Server) movesPage(r *http.Request, p person) (MovesPage, movesAsk, *app.TruckDay, error) {
	page := MovesPage{Frame: s.frame(r, p, p.Say("moves.title"), "round"), Heading: p.Say("moves.title"), Under: p.Say("moves.under", sentence(p.Words.Day(p.Now)))}
	a, problems, err := s.movesRead(r, p)
	if err != nil {
		return page, a, nil, err
	}
	var day *app.TruckDay
	if len(problems) == 0 {
		if day, problems, err = s.movesDay(r, p, a); err != nil {
			return page, a, nil, err
		}
	}
	page.Fields = s.movesFields(p, a)
	page.Problems = mark(problems, page.Fields)
	page.Cautions = s.movesCautions(p)
	page.Drive, page.Print, page.Places = a.to("/moves/drive"), a.to("/moves/print"), "/moves/places"
	if day == nil {
		return page, a, nil, nil
	}
	for _, x := range day.Blocked {
		page.Blocked = append(page.Blocked, Complaint{Say: p.Told(x.Say), Try: p.Told(x.Try)})
	}
	if day.Lifts > 0 {
		page.Offer = s.truckOffer(p)
		page.Say, page.How = s.movesSay(p, a, day)
	} else if len(page.Blocked) == 0 {
		page.Empty = p.Say("moves.none")
		switch {
		case len(a.wants) > 0:
		case !a.made:
			page.Empty = p.Say("moves.notyet")
		case len(a.lines) == 0:
			page.Empty = p.Say("moves.noround")
		}
	}
	page.Aisles = s.movesAisles(p, a, day)
	page.Cautions = append(page.Cautions, s.movesCares(p, a, day)...)
	if len(day.Loose) > 0 {
		page.Loose = p.Say("moves.loose", p.Words.List(day.Loose))
	}
	return page, a, day, nil
}

// movesSay tells how many lifts there are, whether fewer could be, what the other
// way takes, and how long and how far it is; then how near that is to the least.
func (s *Server) movesSay(p person, a movesAsk, day *app.TruckDay) (out []string, how string) {
	out = []string{p.Count("moves.atleast", day.Lifts, day.Bound)}
	if day.Proved {
		out[0] = p.Count("moves.proved", day.Lifts)
	}
	switch {
	case day.Other == 0 || day.Other == day.Lifts:
	case a.same:
		out = append(out, p.Count("moves.otherleft", day.Other))
	default:
		out = append(out, p.Count("moves.othersame", day.Other))
	}
	way := p.Say("moves.way", p.wayOf(day.Metres), p.Words.Span(day.Minutes))
	if day.Trucks > 1 {
		way = p.Say("moves.waytrucks", p.wayOf(day.Metres), p.Words.Span(day.Minutes), day.Trucks)
	}
	if how = p.Say("moves.wayleast"); day.Metres > day.Least+0.5 {
		how = p.Say("moves.waybound", p.wayOf(day.Least))
	}
	if day.Saved >= 1 {
		how += " " + p.Say("moves.waysaved", p.wayOf(day.Saved))
	}
	return append(out, way), how
}

// wayOf prints a way of the truck.
func (p person) wayOf(metres float64) string {
	if p.Units == qty.Metric {
		return strconv.Itoa(int(math.Round(metres))) + " m"
	}
	return strconv.Itoa(int(math.Round(metres/qty.MetrePerInch/12))) + " ft"
}

// movesCautions stand wherever lifts are shown.
func (s *Server) movesCautions(p person) []string {
	out := []string{p.Say("care.truck"), p.Say("moves.care.people"), p.Say("moves.care.aisle"), p.Say("moves.care.wet")}
	if set := s.Farm.State().Settings.Truck; len(set.Plate) == 0 || set.EachM == 0 {
		out = append(out, p.Say("moves.care.plate"))
	}
	return out
}

// movesFields are the choices.
func (s *Server) movesFields(p person, a movesAsk) []Field {
	var lines []Option
	title := ""
	for _, l := range a.lines {
		o := Option{Value: l.Key, Label: l.Say, On: !a.off[l.Key]}
		if t := s.groupTitle(p, l); t != title {
			title, o.Head = t, t
		}
		lines = append(lines, o)
	}
	numbers := func(from, to int) (out []Option) {
		for n := from; n <= to; n++ {
			out = append(out, Option{Value: strconv.Itoa(n), Label: strconv.Itoa(n)})
		}
		return out
	}
	pickOf := func(yes bool, a, b string) string {
		if yes {
			return a
		}
		return b
	}
	more := textField("more", p.Say("moves.more"), a.more)
	more.Help = p.Say("moves.morehelp")
	back := chipsField("back", p.Say("moves.back"), pickOf(a.same, "same", "left"), []Option{{Value: "left", Label: p.Say("moves.back.left")}, {Value: "same", Label: p.Say("moves.back.same")}})
	back.Help = p.Say("moves.backhelp")
	reach := chipsField("reach", p.Say("moves.reach"), strconv.Itoa(a.ask.Reach), append([]Option{{Value: "0", Label: p.Say("moves.reachany")}}, numbers(1, 4)...))
	reach.Help = p.Say("moves.reachhelp")
	spots := chipsField("spots", p.Say("moves.spots"), strconv.Itoa(a.ask.Spots), numbers(1, 4))
	spots.Help = p.Say("moves.spotshelp")
	out := []Field{back,
		chipsField("ripe", p.Say("moves.ripe"), pickOf(a.out, "out", "back"), []Option{{Value: "out", Label: p.Say("moves.ripe.out")}, {Value: "back", Label: p.Say("moves.ripe.back")}}),
		chipsField("trucks", p.Say("moves.trucks"), strconv.Itoa(a.ask.Trucks), numbers(1, 2)),
		reach, spots}
	if len(lines) > 0 {
		out = append(out, Field{ID: "f-line", Name: "line", Label: p.Say("moves.lines"), Rows: true, Options: lines})
	}
	return append(out, more)
}

// movesAisles lays the steps out by aisle and stack.
func (s *Server) movesAisles(p person, a movesAsk, day *app.TruckDay) (out []MovesAisle) {
	n := 0
	for _, x := range day.Aisles {
		if x.Lifts == 0 {
			continue
		}
		aisle := MovesAisle{Title: p.Count("moves.aisle", len(x.Rows), sentence(p.barn(x.Barn)), p.Words.List(x.Rows)), Say: p.Count("moves.lifts", x.Lifts)}
		if day.Trucks > 1 {
			aisle.Title = p.Say("moves.truck", x.Truck+1, aisle.Title)
		}
		if !x.Proved {
			aisle.Say = p.Count("moves.atleast", x.Lifts, x.Bound)
		}
		stack := ""
		steps := x.Steps
		for len(steps) > 0 && steps[0].Work {
			steps = steps[1:]
		}
		if n := len(x.Steps) - len(steps); n > 0 {
			aisle.OnTop, aisle.Tops = p.Count("moves.ontop", n), s.movesOnTop(p, a, x.Steps[:n])
		}
		for _, step := range steps {
			at := step.From
			if step.Work {
				at = step.At
			}
			if t := s.stackOf(p, at); t != stack || len(aisle.Stacks) == 0 {
				stack = t
				aisle.Stacks = append(aisle.Stacks, MovesStack{Title: t})
			}
			n++
			g := &aisle.Stacks[len(aisle.Stacks)-1]
			g.Steps = append(g.Steps, s.movesStep(p, a, step, n))
		}
		out = append(out, aisle)
	}
	no := 0 // lifts are counted, works are not
	for i := range out {
		out[i].Open = i == 0
		for j := range out[i].Stacks {
			g := &out[i].Stacks[j]
			g.Open = i == 0 && j < movesOpen
			lifts, bins := 0, []string(nil)
			for k := range g.Steps {
				if x := &g.Steps[k]; x.Work {
					x.No = 0
					bins = append(bins, x.Bin)
				} else {
					no++
					lifts++
					x.No = no
				}
			}
			if g.Say = p.Count("moves.liftcount", lifts); len(bins) > 0 {
				g.Say = p.Say("moves.liftsto", g.Say, p.Words.List(bins))
			}
		}
	}
	return out
}

// movesOpen is how many stacks stand open where a list begins.
const movesOpen = 2

// movesOnTop puts bins on top together that the same is done at.
func (s *Server) movesOnTop(p person, a movesAsk, works []app.TruckStep) (out []MovesOnTop) {
	for _, w := range works {
		var says []string
		for _, l := range s.movesLines(p, a, w.Bin) {
			says = append(says, strings.TrimRight(l.Say, "."))
		}
		say := strings.Join(says, ". ")
		i := slices.IndexFunc(out, func(t MovesOnTop) bool { return t.Say == say })
		if i < 0 {
			i, out = len(out), append(out, MovesOnTop{Say: say})
		}
		b, _ := s.Farm.State().Bin(w.Bin)
		out[i].Bins = append(out[i].Bins, Link{To: binTo(b.Name), Name: s.Farm.State().Called(b)})
	}
	return out
}

// movesCares gives what to mind at bins beside the truck, each once, with the bins
// where it is for few of them.
func (s *Server) movesCares(p person, a movesAsk, day *app.TruckDay) (out []string) {
	bins := map[string][]string{}
	seen := map[string]bool{}
	var order []string
	for _, x := range day.Aisles {
		for _, step := range x.Steps {
			if seen[step.Bin] || !a.wants[step.Bin] {
				continue
			}
			seen[step.Bin] = true
			for _, l := range s.movesLines(p, a, step.Bin) {
				for _, care := range l.Care {
					if bins[care] == nil {
						order = append(order, care)
					}
					if !slices.Contains(bins[care], step.Bin) {
						bins[care] = append(bins[care], step.Bin)
					}
				}
			}
		}
	}
	for _, care := range order {
		if n := len(bins[care]); n <= fewBins && n < len(seen) {
			care = p.Say("moves.careat", p.Words.List(bins[care]), care)
		}
		out = append(out, care)
	}
	return out
}

// fewBins is how many bins a caution names.
const fewBins = 6

// toldOnce leaves out of the list what a bin before it says as well: cautions, which
// stand on top of it, and the same reason again.
func toldOnce(aisles []MovesAisle) []MovesAisle {
	told := map[string]bool{}
	for i := range aisles {
		for j := range aisles[i].Stacks {
			for k := range aisles[i].Stacks[j].Steps {
				lines := aisles[i].Stacks[j].Steps[k].Lines
				for n := range lines {
					why := lines[n].Why
					if lines[n].Care = nil; told[why] {
						lines[n].Why = ""
					}
					told[why] = true
				}
			}
		}
	}
	return aisles
}

// stackOf names the stack of a place.
func (s *Server) stackOf(p person, at barn.Slot) string {
	if !at.InRow() {
		return p.Say("moves.floor")
	}
	return p.Say("moves.stack", at.Row, at.Stack)
}

// place says that something is in a place, or comes from there, with the word that
// goes before it.
func place(p person, how string, at barn.Slot) string {
	if !at.InRow() {
		return p.Say("moves." + how + ".floor")
	}
	return p.Say("moves."+how+".stack", at.Row, at.Stack)
}

// levelOf says how far up a place is.
func levelOf(p person, at barn.Slot) string {
	return p.Say("moves.level." + strconv.Itoa(max(1, min(barn.MostHigh, at.Level))))
}

// movesStep puts a step into words; at is its place in the list, from 1.
func (s *Server) movesStep(p person, a movesAsk, x app.TruckStep, at int) MovesStep {
	out := MovesStep{No: at, Bin: x.Bin, To: binTo(x.Bin), Work: x.Work, bin: x.Bin}
	if x.Work {
		out.Say = p.Say("moves.work", x.Bin)
		if x.At.InRow() {
			out.Say = p.Say("moves.workat", x.Bin, place(p, "in", x.At), levelOf(p, x.At))
		}
		out.Lines = s.movesLines(p, a, x.Bin)
		return out
	}
	from := place(p, "from", x.From)
	if x.From.InRow() {
		from = p.Say("moves.at", from, levelOf(p, x.From))
	}
	to := x.To
	switch {
	case x.Out:
		out.Say = p.Say("moves.out", x.Bin, from)
		out.Lines = s.movesLines(p, a, x.Bin)
		to = barn.Slot{Spot: p.Say("moves.outname")}
	case !x.To.InRow() && x.On == "":
		out.Say = p.Say("moves.down", x.Bin, from)
	case !x.To.InRow():
		out.Say = p.Say("moves.downon", x.Bin, from, x.On)
	case x.On == "":
		out.Say = p.Say("moves.up", x.Bin, from, place(p, "in", x.To))
	default:
		out.Say = p.Say("moves.upon", x.Bin, from, x.On, place(p, "in", x.To), levelOf(p, x.To))
	}
	if !a.same || x.Out {
		out.Tick, out.ID, out.FromAt, out.ToAt, out.Back = true, s.NewID(p.Now), x.From.String(), to.String(), a.to("/moves")
		out.Facts = factsOf([]app.Fact{{Body: &journal.Move{Bin: x.Bin, From: out.FromAt, To: out.ToAt}}})
		out.Next = "/outbox"
	}
	return out
}

// movesLines is what the round asks for at a bin, with the way to write it down.
func (s *Server) movesLines(p person, a movesAsk, bin string) (out []MovesLine) {
	for _, l := range a.lines {
		if a.off[l.Key] {
			continue
		}
		for _, i := range l.Items {
			if i.Bin != bin {
				continue
			}
			x := MovesLine{Say: i.Say, Why: i.Reason}
			for _, c := range i.Care {
				if c.Key != "care.truck" { // which stands with every lift
					x.Care = append(x.Care, p.spoken().Text(c))
				}
			}
			act := string(l.Act)
			if slices.Contains([]string{"feed", "water", "look", "harvest", "cover"}, act) {
				x.Act = &Link{To: binTo(bin) + "/" + act, Name: p.Say("bin.act." + act)}
			} else {
				x.Act = &Link{To: lineTo(l, ""), Name: p.Say("answer.why")}
			}
			out = append(out, x)
		}
	}
	if len(out) == 0 {
		out = append(out, MovesLine{Say: p.Say("moves.asked"), Act: &Link{To: binTo(bin), Name: p.Say("moves.openbin")}})
	}
	return out
}

// steps are all of them, one after the other.
func (m *MovesPage) steps() (out []MovesStep) {
	for _, x := range m.Aisles {
		for _, g := range x.Stacks {
			for _, step := range g.Steps {
				step.line, step.stackKey = x.Title, g.Title
				out = append(out, step)
			}
		}
	}
	return out
}

// movesDrive shows one step, large.
func (s *Server) movesDrive(w http.ResponseWriter, r *http.Request, p person) error {
	list, a, day, err := s.movesPage(r, p)
	if err != nil {
		return err
	}
	page := MovesDrivePage{Frame: s.frame(r, p, p.Say("moves.title"), "round"), Heading: p.Say("moves.title"), Cautions: list.Cautions[:1], Offer: list.Offer, List: a.to("/moves")}
	page.One = true
	if day == nil || day.Lifts == 0 {
		page.Over = p.Say("moves.over")
		return s.draw(w, "moves_drive", http.StatusOK, page)
	}
	steps := list.steps()
	at, err := strconv.Atoi(r.URL.Query().Get("at"))
	if err != nil || at < 0 {
		at = 0
	}
	if at >= len(steps) {
		page.Over = p.Say("moves.over")
		return s.draw(w, "moves_drive", http.StatusOK, page)
	}
	step := steps[at]
	page.Heading, page.Under = sentence(step.stackKey), step.line
	page.Progress = p.Say("moves.step", at+1, len(steps))
	step.Back, step.Next = a.to("/moves/drive"), a.to("/moves/drive", "at", strconv.Itoa(at+1))
	page.Step = &step
	if at > 0 {
		page.Before = a.to("/moves/drive", "at", strconv.Itoa(at-1))
	}
	if page.Next = step.Next; !step.Tick {
		page.Next = ""
		page.On = step.Next
	}
	return s.draw(w, "moves_drive", http.StatusOK, page)
}

// movesSave writes lifts down: where bins stand now. All of them or none.
func (s *Server) movesSave(w http.ResponseWriter, r *http.Request, p person) error {
	id := r.PostForm.Get("id")
	to := back(r, "/moves")
	if _, _, known := s.entry(id); known { // pressed twice
		seeOther(w, r, withSaid(to, id))
		return nil
	}
	bins, from, at := r.PostForm["bin"], r.PostForm["from"], r.PostForm["to"]
	if len(bins) == 0 || len(from) != len(bins) || len(at) != len(bins) {
		return missing{p.Say("fault.nopage")}
	}
	var facts []app.Fact
	for i, bin := range bins {
		b, ok := s.Farm.State().Bin(bin)
		if !ok {
			return missing{p.Say("fault.nobin", bin)}
		}
		if b.Slot.String() != from[i] { // somebody moved it meanwhile
			return s.drawMoved(w, r, p, p.Say("moves.meanwhile", bin, place(p, "in", b.Slot)))
		}
		facts = append(facts, app.Fact{Body: &journal.Move{Bin: bin, From: from[i], To: at[i]}})
	}
	// Where bins only change places among themselves, each place is free in the end.
	swap := len(bins) > 1 && !slices.ContainsFunc(at, func(to string) bool { return !slices.Contains(from, to) })
	saved, problems, err := s.put(r, p, id, facts, swap)
	if err != nil {
		return err
	}
	if len(problems) > 0 {
		return s.drawMoved(w, r, p, p.Told(problems[0].Say)+" "+p.Told(problems[0].Try))
	}
	seeOther(w, r, withSaid(to, saved))
	return nil
}

// drawMoved shows the list anew with why a lift was not written down.
func (s *Server) drawMoved(w http.ResponseWriter, r *http.Request, p person, say string) error {
	page, _, _, err := s.movesPage(r, p)
	if err != nil {
		return err
	}
	page.Problems = append([]Complaint{{Say: say}}, page.Problems...)
	page.Aisles = toldOnce(page.Aisles)
	return s.draw(w, "moves", http.StatusUnprocessableEntity, page)
}
