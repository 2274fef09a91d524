package web

import (
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"wormyard/internal/app"
	"wormyard/qty"
	"wormyard/round"
)

// ShownLine is one line of work.
type ShownLine struct {
	Anchor, Strip, To, Say, Why, Sure, Care string
	Answered                                string   // what was done of it already
	Left                                    []string // what was left of it, and why
	Back                                    string
	Stops                                   string // that a tick settles, and when the round was made, as a device keeps them
	Since                                   int64
	Open                                    bool
	Glyph                                   Glyph
	Answers                                 []Answer
}

// Answer is a button of a line.
type Answer struct {
	Label, To, ID, Value string
	Post, Main, Quiet    bool
	Facts                string // the entries that it stands for
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
	Stacked     bool // on a phone a row is a block, each cell after its head
	Heads       []Cell
	Rows        []TriedRow
	units       map[int]Block // by column: the name before a number and the unit after it where the table is stacked
}

// TriedRow is one alternative.
type TriedRow struct {
	Cells  []Cell
	Blocks []Block // the same where the table is stacked
	Chosen bool
}

// Block is a cell that says its head before it, "" to be left out on a phone.
type Block struct {
	Cell
	Head, Unit string
}

// Cell is one cell of a table.
type Cell struct {
	Text string
	Num  bool
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
func (s *Server) showLine(p person, l round.Line, done app.Written) ShownLine {
	out := ShownLine{Anchor: anchorOf(l), Strip: strip(l.Act, l.Urgency), To: lineTo(l, ""), Say: l.Say, Why: l.Reason, Sure: l.Sure, Care: l.Caution, Glyph: glyph(p, l.Act)}
	out.Back = "/round#" + out.Anchor
	all := false
	out.Answered, all = s.answered(p, l, done)
	if !all {
		out.Left = s.leftSay(p, l)
	}
	if !all {
		open, _ := done.Open(l)
		out.Answers = s.answers(p, l, open)
		var stops []string
		for i := range open.Items {
			stops = append(stops, stopKey(l, &open.Items[i]))
		}
		out.Stops = strings.Join(stops, "\n")
		if !done.Since.IsZero() {
			out.Since = done.Since.UnixMilli()
		}
	}
	return out
}

// answers gives the buttons of a line; a tick stands for what is still open of it.
func (s *Server) answers(p person, l, open round.Line) []Answer {
	post := func(label string) Answer {
		return Answer{Label: label, To: lineTo(l, "/answer"), ID: s.NewID(p.Now), Value: "done", Post: true, Main: true, Facts: factsOf(app.Answer(open, app.Done, ""))}
	}
	which := Answer{Label: p.Count("answer.which", len(l.Bins())), To: lineTo(l, ""), Quiet: true}
	form := func(label, to string, main bool) Answer { return Answer{Label: label, To: to, Main: main} }
	one := len(l.Bins()) == 1
	switch l.Act {
	case round.Ask:
		return s.askAnswers(p, l, open)
	case round.Mend:
		return s.mendAnswers(p, l, post)
	case round.Helped:
		return s.helpedAnswers(p, l, open)
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
func (s *Server) openLine(p person, l round.Line, done app.Written) *OpenedLine {
	out := &OpenedLine{Say: l.Say, BinsTitle: p.Count("round.bins", len(l.Bins())), Line: s.showLine(p, l, done)}
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
