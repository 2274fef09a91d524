package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// Starter sets a farm up from nothing.
type Starter interface {
	FirstMorning(form app.FirstForm) ([]journal.Entry, []app.Problem)
	Begin(ctx context.Context, form app.FirstForm, who string, confirmed bool) (int, []app.Problem, error)
}

// StartPage sets a farm up on its first morning.
type StartPage struct {
	Frame
	ID               string
	Problems, Doubts []Complaint
	Yes              string
	Steps            []StartStep
	Sum              []string
	Already          string
}

// StartStep is one step of it.
type StartStep struct {
	Anchor, Title, Say string
	Fields             []Field
	Parts              []StartPart
	More, MoreLabel    string
}

// StartPart is one of several like things: a barn, a pile.
type StartPart struct {
	Title  string
	Fields []Field
}

// box of the first form: its name, how a bare number is read, and how it is laid out.
type startBox struct {
	name     string
	us, si   string // unit of a bare number
	chips    []string
	area     bool
	material bool
	rare     bool // shown only when it is filled, as a file can
}

var (
	siteBoxes = []startBox{{name: "farm"}, {name: "people", area: true}, {name: "units", chips: []string{"us", "metric"}}, {name: "zone"}, {name: "place"}, {name: "altitude", us: "ft", si: "m", rare: true}, {name: "weather", chips: []string{"normals", "typed", "monthly", "own record"}}, {name: "low_today", us: "F", si: "C"}, {name: "high_today", us: "F", si: "C"}, {name: "month_low", us: "F", si: "C"}, {name: "month_high", us: "F", si: "C"}}
	barnBoxes = []startBox{{name: "name"}, {name: "rows"}, {name: "stacks"}, {name: "high"}, {name: "length", us: "ft", si: "m"}, {name: "width", us: "ft", si: "m"}, {name: "height", us: "ft", si: "m"}}
	binBoxes  = []startBox{{name: "names"}, {name: "length", us: "in", si: "cm"}, {name: "width", us: "in", si: "cm"}, {name: "deep", us: "in", si: "cm"}, {name: "wall", rare: true}, {name: "liner", rare: true}, {name: "holes", rare: true}, {name: "cover", chips: []string{"none", "cloth", "board", "film"}}}
	bedBoxes  = []startBox{{name: "depth", us: "in", si: "cm"}, {name: "material", material: true}, {name: "age"}, {name: "last_fed", us: "days", si: "days"}, {name: "fed_depth", us: "in", si: "cm"}, {name: "stock", us: "lb", si: "kg", chips: []string{"low", "middle", "high"}}, {name: "feed_every", us: "days", si: "days"}, {name: "visit", us: "days", si: "days"}}
	pileBoxes = []startBox{{name: "name"}, {name: "material", material: true}, {name: "amount", us: "yd3", si: "m3"}, {name: "age"}, {name: "declared"}}
	mixBoxes  = []startBox{{name: "name"}, {name: "purpose", chips: []string{"feed", "starting bed", "woody feed"}}, {name: "parts"}}
)

// startForm is what stands in the boxes, by name.
type startForm struct {
	v                   values
	barns, piles, mixes int
}

func (s *Server) startShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.draw(w, "start", http.StatusOK, s.startPage(r, p, emptyStart(p)))
}

// emptyStart is the form before anything is typed, with what is usual chosen.
func emptyStart(p person) startForm {
	return startForm{v: values{"units": pick(p.Units, "us", "metric"), "zone": "America/Los_Angeles", "weather": "normals", "stock": "middle", "cover": "cloth"}, barns: 1, piles: 3, mixes: 1}
}

func (s *Server) startSave(w http.ResponseWriter, r *http.Request, p person) error {
	f := startForm{v: values{}}
	for key := range r.PostForm {
		f.v[strings.TrimSuffix(key, "_other")] = typed(r, strings.TrimSuffix(key, "_other"))
	}
	f.barns, f.piles, f.mixes = counted(f.v, "barns"), counted(f.v, "piles"), counted(f.v, "mixes")
	do := r.PostForm.Get("do")
	if r.PostForm.Has("yes") {
		do = "save"
	}
	switch do {
	case "barn":
		f.barns = min(f.barns+1, 12)
		return s.draw(w, "start", http.StatusOK, s.startPage(r, p, f))
	case "pile":
		f.piles = min(f.piles+2, 60)
		return s.draw(w, "start", http.StatusOK, s.startPage(r, p, f))
	case "mix":
		f.mixes = min(f.mixes+1, 20)
		return s.draw(w, "start", http.StatusOK, s.startPage(r, p, f))
	}
	page := s.startPage(r, p, f)
	page.ID = f.v["id"]
	if s.Start == nil {
		return fmt.Errorf("no starter is set")
	}
	form := f.read()
	if do == "save" {
		if len(s.Farm.State().Bins()) > 0 && s.begun.has(f.v["id"]) { // the button was pressed twice
			seeOther(w, r, "/round")
			return nil
		}
		saved, problems, err := s.Start.Begin(context.WithoutCancel(r.Context()), form, p.Who, false)
		if err != nil {
			return err
		}
		refused, doubtful := split(problems)
		if saved == 0 && len(refused) == 0 && len(doubtful) > 0 && r.PostForm.Get("yes") == digest(doubtful) {
			if saved, problems, err = s.Start.Begin(context.WithoutCancel(r.Context()), form, p.Who, true); err != nil {
				return err
			}
		}
		if saved > 0 {
			s.begun.put(f.v["id"])
			if s.Work != nil {
				s.Work.Make()
			}
			seeOther(w, r, "/round")
			return nil
		}
		s.markStart(&page, problems)
		return s.draw(w, "start", http.StatusUnprocessableEntity, page)
	}
	entries, problems := s.Start.FirstMorning(form)
	s.markStart(&page, problems)
	if entries == nil {
		return s.draw(w, "start", http.StatusUnprocessableEntity, page)
	}
	page.Sum = startSum(p, entries)
	return s.draw(w, "start", http.StatusOK, page)
}

// startSum says what a first morning makes.
func startSum(p person, entries []journal.Entry) []string {
	bins, beds, piles := 0, 0, 0
	for i := range entries {
		switch b := entries[i].Body.(type) {
		case *journal.Build:
			bins += len(b.Bins)
		case *journal.Bed:
			beds += len(b.Bins)
		case *journal.Receive:
			piles++
		}
	}
	return []string{p.Say("start.made", p.Count("barn.bins", bins), beds, p.Count("yard.count", piles), len(entries)), p.Say("start.range")}
}

func (s *Server) markStart(page *StartPage, problems []app.Problem) {
	var groups [][]Field
	for i := range page.Steps {
		groups = append(groups, page.Steps[i].Fields)
		for j := range page.Steps[i].Parts {
			groups = append(groups, page.Steps[i].Parts[j].Fields)
		}
	}
	refused, doubtful := split(problems)
	page.Problems = markExactly(refused, groups)
	page.Doubts, page.Yes = markExactly(doubtful, groups), digest(doubtful)
}

// markExactly marks boxes by their full name, or by the name before the first
// bracket when there is no box of the full name ("except[2]").
func markExactly(problems []app.Problem, groups [][]Field) []Complaint {
	var out []Complaint
	for _, p := range problems {
		c := Complaint{Say: sentence(p.Say), Try: p.Try}
		short, _, _ := strings.Cut(p.Field, "[")
		for _, name := range []string{p.Field, short} {
			for _, g := range groups {
				for i := range g {
					if c.Anchor == "" && g[i].Name == name {
						c.Anchor = g[i].ID
						if g[i].Bad == "" {
							g[i].Bad = c.Say
						}
					}
				}
			}
		}
		out = append(out, c)
	}
	return out
}

// counted gives how many of a repeated part the form had.
func counted(v values, what string) int {
	n := 1
	for key := range v {
		rest, ok := strings.CutPrefix(key, what+"[")
		if !ok {
			continue
		}
		if i, err := strconv.Atoi(rest[:max(0, strings.IndexByte(rest, ']'))]); err == nil && i >= n && i < 60 {
			n = i + 1
		}
	}
	return n
}

// read gives the form as the app takes it, bare numbers with the person's unit.
func (f startForm) read() app.FirstForm {
	metric := f.v["units"] == "metric"
	get := func(boxes []startBox, prefix, name string) string {
		text := f.v[prefix+name]
		for _, b := range boxes {
			if b.name != name || text == "" || !bare(text) || slices.Contains(b.chips, text) {
				continue
			}
			if metric && b.si != "" {
				return text + " " + b.si
			}
			if !metric && b.us != "" {
				return text + " " + b.us
			}
		}
		return text
	}
	lines := func(text string) []string {
		var out []string
		for _, l := range strings.Split(text, "\n") {
			if l = strings.TrimSpace(l); l != "" {
				out = append(out, l)
			}
		}
		return out
	}
	months := func(name string) []string {
		var out []string
		for _, t := range listed(f.v[name], true) {
			if bare(t) {
				t += map[bool]string{true: " C", false: " F"}[metric]
			}
			out = append(out, t)
		}
		return out
	}
	bed := func(name string) string { return get(bedBoxes, "", name) }
	box := func(name string) string { return get(binBoxes, "", name) }
	out := app.FirstForm{Farm: f.v["farm"], Zone: f.v["zone"], Units: f.v["units"], Place: f.v["place"], Weather: f.v["weather"], LowToday: get(siteBoxes, "", "low_today"), HighToday: get(siteBoxes, "", "high_today"),
		MonthLow: months("month_low"), MonthHigh: months("month_high"), Names: box("names"), Length: box("length"), Width: box("width"), Deep: box("deep"), Cover: box("cover"), Wall: box("wall"), Liner: box("liner"), Holes: box("holes"), Altitude: get(siteBoxes, "", "altitude"),
		Depth: bed("depth"), Material: bed("material"), Age: bed("age"), LastFed: bed("last_fed"), LastFedDepth: bed("fed_depth"), Stock: bed("stock"), FeedEvery: bed("feed_every"), Visit: bed("visit"),
		Except: lines(f.v["except"]), People: lines(f.v["people"])}
	for i := range f.barns {
		at := fmt.Sprintf("barns[%d].", i)
		b := app.FirstBarn{Name: f.v[at+"name"], Rows: f.v[at+"rows"], Stacks: f.v[at+"stacks"], High: f.v[at+"high"], Length: get(barnBoxes, at, "length"), Width: get(barnBoxes, at, "width"), Height: get(barnBoxes, at, "height")}
		if b != (app.FirstBarn{}) || i == 0 {
			out.Barns = append(out.Barns, b)
		}
	}
	for i := range f.piles {
		at := fmt.Sprintf("piles[%d].", i)
		x := app.FirstPile{Name: f.v[at+"name"], Material: f.v[at+"material"], Amount: get(pileBoxes, at, "amount"), Age: f.v[at+"age"], Declared: f.v[at+"declared"]}
		if text := f.v[at+"amount"]; text != "" && bare(text) {
			x.Amount = text + map[bool]string{true: " m3", false: " yd3"}[metric]
		}
		if x != (app.FirstPile{}) {
			out.Piles = append(out.Piles, x)
		}
	}
	for i := range f.mixes {
		at := fmt.Sprintf("mixes[%d].", i)
		x := app.FirstMix{Name: f.v[at+"name"], Purpose: f.v[at+"purpose"], Parts: f.v[at+"parts"]}
		if x.Name != "" || x.Parts != "" {
			out.Mixes = append(out.Mixes, x)
		}
	}
	return out
}

// startPage lays the form out as typed.
func (s *Server) startPage(r *http.Request, p person, f startForm) StartPage {
	page := StartPage{Frame: s.frame(r, p, p.Say("start.title"), "more"), ID: f.v["id"]}
	page.One = true
	if page.ID == "" {
		page.ID = s.NewID(p.Now)
	}
	if n := len(s.Farm.State().Bins()); n > 0 {
		page.Already = p.Count("start.already", n)
	}
	sys := qty.US
	if f.v["units"] == "metric" {
		sys = qty.Metric
	}
	build := func(boxes []startBox, prefix string) []Field {
		var out []Field
		for _, b := range boxes {
			if b.rare && f.v[prefix+b.name] == "" {
				continue
			}
			out = append(out, s.startField(p, sys, b, prefix, f.v[prefix+b.name]))
		}
		return out
	}
	step := func(name string, fields []Field) StartStep {
		return StartStep{Anchor: "step-" + name, Title: p.Say("start." + name), Say: p.Say("start." + name + ".say"), Fields: fields}
	}
	barns := step("barns", nil)
	for i := range f.barns {
		barns.Parts = append(barns.Parts, StartPart{Title: p.Say("start.barn", i+1), Fields: build(barnBoxes, fmt.Sprintf("barns[%d].", i))})
	}
	barns.More, barns.MoreLabel = "barn", p.Say("start.morebarn")
	piles := step("piles", nil)
	for i := range f.piles {
		piles.Parts = append(piles.Parts, StartPart{Title: p.Say("start.pile", i+1), Fields: build(pileBoxes, fmt.Sprintf("piles[%d].", i))})
	}
	piles.More, piles.MoreLabel = "pile", p.Say("start.morepile")
	mixes := step("mixes", nil)
	for i := range f.mixes {
		mixes.Parts = append(mixes.Parts, StartPart{Title: p.Say("start.mix", i+1), Fields: build(mixBoxes, fmt.Sprintf("mixes[%d].", i))})
	}
	mixes.More, mixes.MoreLabel = "mix", p.Say("start.moremix")
	except := areaField("except", p.Say("start.f.except"), f.v["except"])
	except.Help = p.Say("start.h.except")
	page.Steps = []StartStep{barns, step("bins", build(binBoxes, "")), step("beds", build(bedBoxes, "")), step("excepts", []Field{except}), piles, mixes, step("site", build(siteBoxes, ""))}
	return page
}

func (s *Server) startField(p person, sys qty.System, b startBox, prefix, value string) Field {
	name := prefix + b.name
	label, help := "start.f."+b.name, "start.h."+b.name
	if prefix != "" {
		kind, _, _ := strings.Cut(prefix, "[")
		label, help = "start."+kind+"."+b.name, "start."+kind+".h."+b.name
	}
	f := textField(name, p.Say(label), value)
	f.ID = "f-" + strings.NewReplacer("[", "-", "].", "-", "_", "-").Replace(name)
	if p.Words.Has(help) {
		f.Help = p.Say(help)
	}
	if unit := pick(sys, b.us, b.si); unit != "" {
		f.Unit, f.Short = printable(map[string]string{"F": "°F", "C": "°C"}[unit]), true
		if f.Unit == "" {
			f.Unit = printable(unit)
		}
	}
	switch {
	case b.name == "zone":
		f.List = zones
	case b.material:
		f.List = s.Materials
	case b.area:
		f.Area = true
	case b.name == "rows" || b.name == "high":
		f.Short, f.Mode = true, "numeric"
	case b.name == "month_low" || b.name == "month_high":
		f.Short = false
	}
	if b.chips != nil {
		f.Chips = true
		for _, c := range b.chips {
			word := c
			if key := "start.c." + strings.ReplaceAll(c, " ", ""); p.Words.Has(key) {
				word = p.Say(key)
			}
			f.Options = append(f.Options, Option{Value: c, Label: word})
		}
		if b.us != "" {
			f.Other, f.Mode, f.Short = p.Say("form.other"), "decimal", true
			if value != "" && !slices.Contains(b.chips, value) {
				f.OtherValue, f.Value = value, ""
			}
		} else {
			f.Unit = ""
		}
		return choose(f)
	}
	return f
}
