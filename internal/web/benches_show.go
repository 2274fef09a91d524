package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/web/draw"
	"wormyard/qty"
	"wormyard/slide"
)

// BenchesPage is the lots that were counted, side by side.
type BenchesPage struct {
	Frame
	Heading, Under, Empty string
	Lots                  []Link // to their benches
	ChooseOpen            bool
	Groups                []Link
	Head                  string
	Run                   *SeenChart
	Against               []SeenChart
	Cause                 string
	Table                 TriedTable
	Group                 string
	One, Other            Field
	Versus                string
	ReportsHead           string
	Reports               []Fact
}

// SeenChart is a drawing of lots with what it says.
type SeenChart struct {
	Title, Say, Alt string
	Drawing         draw.Dotted
}

// lotsOffered is how many lots a page offers for counting, the newest first.
const lotsOffered = 12

func (s *Server) benchesShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	page := BenchesPage{Frame: s.frame(r, p, p.Say("bench.title"), "more"), Heading: p.Say("bench.title"), Under: p.Say("benches.under"), Cause: p.Say("benches.cause")}
	lots := state.Lots()
	for i := len(lots) - 1; i >= 0 && len(page.Lots) < lotsOffered; i-- {
		page.Lots = append(page.Lots, Link{To: benchTo(lots[i].Name), Name: p.Say("lot.title", lots[i].Name)})
	}
	list, err := app.SeenLots(state)
	if err != nil {
		return err
	}
	if len(lots) == 0 {
		page.Empty = p.Say("castings.empty")
	}
	group := s.chosenGroup(list, r.URL.Query().Get("group"))
	if page.ChooseOpen = group == ""; page.ChooseOpen {
		return s.draw(w, "benches", http.StatusOK, page)
	}
	page.Group = string(group)
	for _, g := range slide.Groups() {
		if countOf(list, g) > 0 {
			page.Groups = append(page.Groups, Link{To: "/bench?group=" + string(g), Name: p.Say("bench.group." + string(g)), Here: g == group})
		}
	}
	page.Head = p.Say("bench.group." + string(group))
	if err := s.benchesCharts(p, &page, list, group); err != nil {
		return err
	}
	if err := s.versus(r, p, &page, list, group); err != nil {
		return err
	}
	for _, x := range list {
		for _, rep := range x.Reports {
			page.Reports = append(page.Reports, p.reportFact(x.Lot, rep))
		}
	}
	if len(page.Reports) > 0 {
		page.ReportsHead = p.Say("benches.reports")
	}
	return s.draw(w, "benches", http.StatusOK, page)
}

// chosenGroup is the one asked for, else the one counted most.
func (s *Server) chosenGroup(list []app.SeenLot, asked string) slide.Group {
	best := slide.Group("")
	for _, g := range slide.Groups() {
		n := countOf(list, g)
		if n > 0 && string(g) == asked {
			return g
		}
		if n > 0 && (best == "" || n > countOf(list, best)) {
			best = g
		}
	}
	return best
}

// countOf is how many lots have something of a group, counted or reported.
func countOf(list []app.SeenLot, g slide.Group) (n int) {
	for _, x := range list {
		if _, ok := x.Of(g); ok {
			n++
		} else if slices.ContainsFunc(x.Reports, func(r app.Reported) bool { return inGroup(r, g) }) {
			n++
		}
	}
	return n
}

// inGroup says whether a report can stand on the scale of a group: the same thing in
// the same unit, wet.
func inGroup(r app.Reported, g slide.Group) bool {
	name, _ := app.ReportedGroup(r.Analyte)
	if g == slide.Threads {
		return name == "fungi" && strings.HasSuffix(r.Analyte, "_m_g_wet")
	}
	return name == string(g) && strings.HasSuffix(r.Analyte, "_per_g_wet")
}

// ways are what counts are held against, and what a lot has of it; false where that
// is not known.
var seenWays = []struct {
	key string
	of  func(app.SeenLot) (float64, bool)
}{
	{"age", func(x app.SeenLot) (float64, bool) { return x.Age, x.Age > 0 }},
	{"screen", func(x app.SeenLot) (float64, bool) { return x.Opening, true }},
	{"storage", func(x app.SeenLot) (float64, bool) { return x.Stored, true }},
}

func (s *Server) benchesCharts(p person, page *BenchesPage, list []app.SeenLot, group slide.Group) error {
	par, err := app.SlideNumbers()
	if err != nil {
		return err
	}
	amount := func(v float64) string { return p.amountIn(group, v) }
	var counted []slide.Known
	var run []draw.Dot
	for _, x := range list {
		if k, ok := x.Of(group); ok {
			counted = append(counted, k)
			run = append(run, draw.Dot{X: float64(len(run)), Value: k.PerGram, Low: k.Low, High: k.High, None: k.None, Label: p.Say("benches.dot", x.Lot, p.perGram(k)), To: benchTo(x.Lot)})
			page.Table.Rows = append(page.Table.Rows, TriedRow{Cells: []Cell{{Text: x.Lot}, {Text: p.perGram(k)}, {Text: p.Say("benches.for." + strings.ReplaceAll(k.SpeaksFor, "-", ""))}, {p.lotAge(x), true}, {Text: p.opening(x.Opening)}, {Text: x.Mix}}})
		}
	}
	page.Table.Heads = []Cell{{Text: p.Say("benches.lot")}, {Text: p.Say("benches.gram")}, {Text: p.Say("benches.speaks")}, {p.Say("benches.age"), true}, {Text: p.Say("benches.screen")}, {Text: p.Say("benches.mix")}}
	if len(counted) > 0 {
		c := par.RunOf(counted)
		d := draw.Dots{Places: run, Up: amount, Center: c.Center, Left: p.Say("benches.order")}
		for i := range c.Limits {
			d.Limits = append(d.Limits, draw.Range{Low: c.Limits[i].Low, High: c.Limits[i].High})
			d.Places[i].Out = slices.Contains(c.Out, i)
		}
		say := p.Say("benches.fewlots", int(par.Enough))
		switch {
		case c.Baseline > 0 && len(c.Out) > 0:
			var out []string
			at := 0
			for _, x := range list {
				if _, ok := x.Of(group); ok {
					if slices.Contains(c.Out, at) {
						out = append(out, x.Lot)
					}
					at++
				}
			}
			say = p.Say("benches.out", p.Words.List(out), c.Baseline)
		case c.Baseline > 0:
			say = p.Say("benches.in", c.Baseline)
		}
		if c.Baseline > 0 && float64(c.Baseline) < par.Lab.Baseline {
			say += " " + p.Say("benches.provisional", int(par.Lab.Baseline))
		}
		page.Run = &SeenChart{Title: p.Say("benches.run"), Say: say, Alt: p.Say("benches.runalt", page.Head), Drawing: draw.NewDots(d)}
	}
	for _, way := range seenWays {
		d := draw.Dots{Up: amount, Left: p.Say("benches.way." + way.key), Across: func(v float64) string { return p.acrossSay(way.key, v) }}
		for _, x := range list {
			if v, ok := way.of(x); ok {
				d.Places = append(d.Places, p.dotsOf(x, group, v)...)
			}
		}
		if len(d.Places) > 1 {
			page.Against = append(page.Against, SeenChart{Title: p.Say("benches.against." + way.key), Alt: p.Say("benches.alt", page.Head, p.Say("benches.way."+way.key)), Drawing: draw.NewDots(d)})
		}
	}
	d := draw.Dots{Up: amount, Left: p.Say("benches.way.mix")}
	for _, x := range list {
		if x.Mix == "" {
			continue
		}
		at := slices.Index(d.Heads, x.Mix)
		if at < 0 {
			at, d.Heads = len(d.Heads), append(d.Heads, x.Mix)
		}
		d.Places = append(d.Places, p.dotsOf(x, group, float64(at))...)
	}
	if len(d.Places) > 1 {
		for i, h := range d.Heads {
			if most := 40 / len(d.Heads); len([]rune(h)) > most {
				d.Heads[i] = string([]rune(h)[:max(1, most-1)]) + "…"
			}
		}
		page.Against = append([]SeenChart{{Title: p.Say("benches.against.mix"), Alt: p.Say("benches.alt", page.Head, p.Say("benches.way.mix")), Drawing: draw.NewDots(d)}}, page.Against...)
	}
	return nil
}

// dotsOf are the values of a lot, counted and reported.
func (p person) dotsOf(x app.SeenLot, g slide.Group, at float64) []draw.Dot {
	var out []draw.Dot
	if k, ok := x.Of(g); ok {
		out = append(out, draw.Dot{X: at, Value: k.PerGram, Low: k.Low, High: k.High, None: k.None, Label: p.Say("benches.dot", x.Lot, p.perGram(k)), To: benchTo(x.Lot)})
	}
	for _, r := range x.Reports {
		if inGroup(r, g) && r.Value > 0 {
			out = append(out, draw.Dot{X: at, Value: r.Value, Low: r.Low, High: r.High, Told: true, Label: p.Say("benches.dot", x.Lot, p.Say("benches.told", p.amountIn(g, r.Value))), To: lotTo(x.Lot)})
		}
	}
	return out
}

func (p person) lotAge(x app.SeenLot) string {
	return p.Words.Age(hours(x.Age * 24))
}

// opening tells the hole of a screen [mm].
func (p person) opening(mm float64) string {
	if mm == 0 {
		return p.Say("benches.unscreened")
	}
	return strings.NewReplacer(" (", " (", " ", "\u00a0").Replace(p.Units.Opening(qty.Metre(mm / 1000)))
}

func (p person) acrossSay(way string, v float64) string {
	if way == "screen" {
		return p.opening(v)
	}
	return p.Words.Age(hours(v * 24))
}

// versus holds two lots against each other where two are chosen.
func (s *Server) versus(r *http.Request, p person, page *BenchesPage, list []app.SeenLot, group slide.Group) error {
	var options []Option
	for _, x := range list {
		if _, ok := x.Of(group); ok {
			options = append(options, Option{Value: x.Lot, Label: x.Lot})
		}
	}
	if len(options) < 2 {
		return nil
	}
	one, other := r.URL.Query().Get("one"), r.URL.Query().Get("other")
	if one == "" {
		one, other = options[len(options)-1].Value, options[len(options)-2].Value
		if lot := r.URL.Query().Get("lot"); slices.ContainsFunc(options, func(o Option) bool { return o.Value == lot }) && lot != one {
			one, other = lot, one
		}
	}
	page.One, page.Other = selectField("one", p.Say("benches.one"), one, options), selectField("other", p.Say("benches.other"), other, options)
	find := func(name string) (slide.Known, bool) {
		i := slices.IndexFunc(list, func(x app.SeenLot) bool { return x.Lot == name })
		if i < 0 {
			return slide.Known{}, false
		}
		return list[i].Of(group)
	}
	a, okA := find(one)
	b, okB := find(other)
	switch {
	case !okA || !okB:
		page.Versus = p.Say("benches.missing")
	case one == other:
		page.Versus = p.Say("benches.itself")
	default:
		par, err := app.SlideNumbers()
		if err != nil {
			return err
		}
		v, ok := par.Compare(a, b)
		if page.Versus = p.Say("benches.neither"); ok {
			page.Versus = p.versusSay(p.Say("bench.short."+string(group)), one, other, v)
		}
	}
	return nil
}

// reportFact is one value of a report with the range that its method leaves.
func (p person) reportFact(lot string, r app.Reported) Fact {
	name, _ := app.ReportedGroup(r.Analyte)
	f := Fact{Name: p.Say("benches.reported", lot, p.Say("report.group."+name)), Value: p.reportValue(r), Working: "/journal/" + r.Entry}
	from := r.Laboratory
	if from == "" {
		from = p.Say("bench.somebody")
	}
	f.Note = p.Say("benches.reportnote", from, p.Words.Date(r.At.In(p.Zone)))
	if r.Note != "" {
		f.Note += " " + p.Say("benches.verdict", r.Note)
	}
	return f
}

func (p person) reportValue(r app.Reported) string {
	say := func(v float64) string {
		switch {
		case strings.Contains(r.Analyte, "_ug_g_"):
			return p.micrograms(v)
		case strings.Contains(r.Analyte, "_m_g_"):
			return figures2(v) + "\u00a0m"
		}
		return p.large(v)
	}
	switch {
	case r.Limit > 0 && r.Value == 0:
		return p.Say("bench.none", say(r.Limit))
	case strings.HasSuffix(r.Analyte, "_ratio"):
		return p.Say("report.ratio", figures2(r.Value), figures2(r.Low), figures2(r.High))
	case strings.HasSuffix(r.Analyte, "_dry"):
		return p.Say("report.standsdry", say(r.Value), say(r.Low), say(r.High))
	}
	return p.Say("bench.stands", say(r.Value), say(r.Low), say(r.High))
}

func benchesOf(lot string) string { return "/bench?lot=" + url.QueryEscape(lot) }

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
