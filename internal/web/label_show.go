package web

import (
	"bytes"
	"net/http"
	"net/url"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/internal/label"
	"wormyard/qty"
)

// LabelPage is where labels of bins are chosen and fetched.
type LabelPage struct {
	Frame
	Heading, Under, Care string
	Form                 Form
	Facts                []Fact
	Parts                []Link
}

// labelShow offers the labels of all bins, a barn, a row, or those typed.
func (s *Server) labelShow(w http.ResponseWriter, r *http.Request, p person) error {
	v := values{"which": r.URL.Query().Get("which"), "paper": r.URL.Query().Get("paper"), "base": s.base(r)}
	if v["which"] == "" {
		v["which"] = "all"
	}
	return s.drawLabels(w, r, p, v, nil, http.StatusOK)
}

// base gives the address under which this page was asked for.
func (s *Server) base(r *http.Request) string {
	scheme := "http"
	if r.TLS != nil {
		scheme = "https"
	}
	return scheme + "://" + r.Host
}

func (s *Server) drawLabels(w http.ResponseWriter, r *http.Request, p person, v values, problems []app.Problem, status int) error {
	state := s.Farm.State()
	page := LabelPage{Frame: s.frame(r, p, p.Say("label.title"), "more"), Heading: p.Say("label.title"), Under: p.Say("label.under")}
	page.One = true
	if u, err := url.Parse(v["base"]); err == nil && thisMachine(u.Host) {
		page.Care = p.Say("label.loopback", v["base"])
	}
	if v["paper"] == "" {
		v["paper"] = pick(p.Units, "letter", "a4")
	}
	which := textField("which", p.Say("label.which"), v["which"])
	which.Help = p.Say("label.whichhelp")
	var papers []Option
	for _, x := range label.Papers() {
		papers = append(papers, Option{Value: x.Key, Label: p.Say("label.paper." + x.Key)})
	}
	base := textField("base", p.Say("label.base"), v["base"])
	base.Help = p.Say("label.basehelp")
	page.Form = Form{Action: "/labels", Back: "/labels", Submit: p.Say("label.fetch"), Cancel: "/more", Fields: []Field{which, chipsField("paper", p.Say("label.paper"), v["paper"], papers), base}}
	page.Form.Problems = mark(problems, page.Form.Fields)
	if bins := state.Bins(); len(bins) > 0 {
		if code, err := label.Encode(label.Address(v["base"], bins[len(bins)-1].Name, app.FarmMark(state))); err == nil {
			for _, x := range label.Papers() {
				_, _, side := x.Code()
				page.Facts = append(page.Facts, Fact{Name: p.Say("label.paper." + x.Key), Value: p.Say("label.module", short(p, side), small(code.Module(side)))})
			}
		}
	}
	to := func(which string) string { return "/labels?which=" + url.QueryEscape(which) }
	page.Parts = append(page.Parts, Link{To: to("all"), Name: p.Say("label.all")})
	said := ""
	for _, row := range state.Rows() {
		if row.Barn == "" {
			continue
		}
		if row.Barn != said {
			said = row.Barn
			page.Parts = append(page.Parts, Link{To: to("barn " + row.Barn), Name: p.barn(row.Barn)})
		}
		page.Parts = append(page.Parts, Link{To: to("row " + row.Name + " of " + row.Barn), Name: p.Say("round.row", p.barn(row.Barn), row.Name)})
	}
	return s.draw(w, "labels", status, page)
}

// short gives a length on paper.
func short(p person, mm float64) string {
	if p.Units == qty.US {
		return p.Units.Depth(qty.Metre(mm / 1000))
	}
	return p.Say("label.mm", whole(mm))
}

// small gives millimetres with two figures behind the point.
func small(mm float64) string { return plainNumber(float64(int(mm*100+0.5)) / 100) }

// labelPrint gives the labels as a file to print.
func (s *Server) labelPrint(w http.ResponseWriter, r *http.Request, p person) error {
	v := values{"which": typed(r, "which"), "paper": typed(r, "paper"), "base": strings.TrimRight(typed(r, "base"), "/")}
	state := s.Farm.State()
	var problems []app.Problem
	bins, wrong := state.Places().Select(v["which"])
	for _, x := range wrong {
		problems = append(problems, app.Problem{Field: "which", Say: x.Say, Try: x.Try})
	}
	paper, ok := label.PaperNamed(v["paper"])
	if !ok {
		problems = append(problems, app.Problem{Field: "paper", Say: p.Say("label.nopaper"), Try: p.Say("label.nopapertry")})
	}
	u, err := url.Parse(v["base"])
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.RawQuery != "" || u.Fragment != "" {
		problems = append(problems, app.Problem{Field: "base", Say: p.Say("label.badbase", v["base"]), Try: p.Say("label.badbasetry")})
	}
	for _, name := range bins {
		if odd := label.Unprintable(name); odd != "" {
			problems = append(problems, app.Problem{Field: "which", Say: p.Say("label.unprintable", name, odd), Try: p.Say("label.unprintabletry")})
		}
	}
	if len(problems) > 0 {
		return s.drawLabels(w, r, p, v, problems, http.StatusUnprocessableEntity)
	}
	var b bytes.Buffer
	if _, err := label.Print(&b, paper, s.labels(p, state, bins, v["base"]), midnight(p.Now).UTC()); err != nil {
		return s.drawLabels(w, r, p, v, []app.Problem{{Field: "base", Say: p.Say("label.toolong"), Try: p.Say("label.toolongtry")}}, http.StatusUnprocessableEntity)
	}
	return sendPDF(w, p.Say("label.file", paper.Key), b.Bytes())
}

// labels puts bins into words for their labels.
func (s *Server) labels(p person, state *farm.State, bins []string, base string) []label.Label {
	m := app.FarmMark(state)
	name := state.Settings.Name
	if name == "" {
		name = p.Say("farm.unnamed")
	}
	bare := strings.TrimPrefix(strings.TrimPrefix(base, "https://"), "http://")
	var out []label.Label
	for _, bin := range bins {
		l := label.Label{Bin: bin, Farm: name, Printed: p.Say("label.printed", p.Words.Date(p.Now)), Help: p.Say("label.help", bin, bare+"/b"), Address: label.Address(base, bin, m)}
		if b, ok := state.Bin(bin); ok && b.Slot.Known() {
			if l.Place = state.Called(b); b.Slot.InRow() {
				l.Place = p.Say("label.place", p.barn(b.Slot.Barn), state.Called(b))
			}
		}
		out = append(out, l)
	}
	return out
}

// WhichPage asks which bin is meant, after a label that opens none.
type WhichPage struct {
	Frame
	Heading string
	Say     []string
	Links   []Link
	Form    Form
}

func (s *Server) drawWhich(w http.ResponseWriter, r *http.Request, p person, heading string, say []string, links []Link, typed string, problems []app.Problem, status int) error {
	page := WhichPage{Frame: s.frame(r, p, heading, "barn"), Heading: heading, Say: say, Links: links}
	page.One = true
	box := textField("bin", p.Say("which.box"), typed)
	box.Help = p.Say("which.help")
	page.Form = Form{Action: "/b", Back: "/barn", Submit: p.Say("which.open"), Cancel: "/barn", Fields: []Field{box}}
	page.Form.Problems = mark(problems, page.Form.Fields)
	return s.draw(w, "whichbin", status, page)
}

// whichShow asks for the number painted on a bin.
func (s *Server) whichShow(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawWhich(w, r, p, p.Say("which.title"), nil, nil, "", nil, http.StatusOK)
}

// whichOpen opens the bin that was typed: "B17", "b 17", "3-4 top".
func (s *Server) whichOpen(w http.ResponseWriter, r *http.Request, p person) error {
	text := typed(r, "bin")
	name, problems := s.binTyped(p, text)
	if problems != nil {
		return s.drawWhich(w, r, p, p.Say("which.title"), nil, nil, text, problems, http.StatusUnprocessableEntity)
	}
	seeOther(w, r, binTo(name))
	return nil
}

// binTyped finds the one bin that is meant.
func (s *Server) binTyped(p person, text string) (string, []app.Problem) {
	state := s.Farm.State()
	if text == "" {
		return "", []app.Problem{{Field: "bin", Say: p.Say("which.empty"), Try: p.Say("which.help")}}
	}
	name, e := state.BinCalled(text)
	if e != nil {
		return "", []app.Problem{{Field: "bin", Say: e.Say, Try: e.Try}}
	}
	return name, nil
}

// labelOpen opens the bin whose label was read, or says why it does not.
func (s *Server) labelOpen(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	name, tail := r.PathValue("name"), r.PathValue("mark")
	var b *farm.Bin
	called, e := state.BinCalled(name)
	here := e == nil
	if here {
		b, _ = state.Bin(called)
	}
	open := func(main bool) []Link {
		if !here {
			return nil
		}
		return []Link{{To: binTo(b.Name), Name: p.Say("which.this", b.Name), Main: main}}
	}
	if tail != "" {
		switch own := app.FarmMark(state); label.Read(name, tail, own) {
		case label.Other:
			say := []string{p.Say("which.other", name, strings.ToUpper(strings.TrimSpace(tail))[:4], own), p.Say("which.othertry")}
			return s.drawWhich(w, r, p, p.Say("which.othertitle"), say, open(false), "", nil, http.StatusNotFound)
		case label.Garbled:
			return s.drawWhich(w, r, p, p.Say("which.garbledtitle"), []string{p.Say("which.garbled")}, open(false), "", nil, http.StatusNotFound)
		}
	}
	switch {
	case !here:
		say := []string{p.Say("which.gone", name)}
		if near := state.Places().Nearest(name); len(near) > 0 {
			say = append(say, p.Say("fault.nearest", p.Words.List(near)))
		}
		return s.drawWhich(w, r, p, p.Say("which.gonetitle", name), say, []Link{{To: "/enter/build", Name: p.Say("farm.build")}}, "", nil, http.StatusNotFound)
	case b.State == farm.Retired:
		links := append(open(true), Link{To: binTo(b.Name) + "/build", Name: p.Say("which.rebuilt")})
		return s.drawWhich(w, r, p, p.Say("which.retiredtitle", b.Name), []string{p.Say("which.retired", b.Name)}, links, "", nil, http.StatusOK)
	}
	seeOther(w, r, binTo(b.Name))
	return nil
}

// CodeShown is a square code drawn on a page.
type CodeShown struct {
	Side      int
	Path, Alt string
}

// lineCode gives the code that opens a line of the round on a phone.
func (s *Server) lineCode(r *http.Request, p person, key string) *CodeShown {
	address := label.Loud(s.base(r), "/r/"+label.Short(key))
	c, err := label.Encode(address)
	if err != nil {
		return nil // a name too long for a code; the line stands without one
	}
	return &CodeShown{Side: c.Side(), Path: c.Path(), Alt: p.Say("print.code", address)}
}

// lineOpen opens the line of today's round that a code on the sheet names.
func (s *Server) lineOpen(w http.ResponseWriter, r *http.Request, p person) error {
	list, _, err := s.list(r.Context(), p)
	if err != nil {
		return err
	}
	for _, l := range list.Lines {
		if label.Short(l.Key) == strings.ToUpper(r.PathValue("short")) {
			seeOther(w, r, lineTo(l, ""))
			return nil
		}
	}
	return missing{p.Say("round.noline")}
}
