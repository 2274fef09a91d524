package web

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"wormyard/carpentry"
	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/internal/drawing"
	"wormyard/journal"
	"wormyard/qty"
)

// Workshop works bins out. A *figure.Refusal says what cannot be built.
type Workshop interface {
	Answer(ctx context.Context, in app.BoxRequest) (*app.BoxAnswer, error)
	Grades() []carpentry.Grade
}

// WorkshopPage is a bin: what it is built of, whether it holds, how it is cut.
type WorkshopPage struct {
	Frame
	Problems      []Complaint
	ID            string
	Groups        []BoxGroup
	Beside, Name  Field
	Kept          []Link
	Drop          string // the build that is opened and may be taken off the list
	Say, Sub      string
	NotSeen       string // what was not looked at
	Fails, Holds  []CheckShown
	Held          string // how many hold, and which is nearest to what is allowed
	CostHead      string // with the farm's currency
	Cautions      []string
	Views         []drawing.View
	Cuts          []drawing.View
	CutSay        string
	Air           []string
	Facts         []Fact
	Notes         []string
	Parts         []BoxPartShown
	Total, Priced string
	Versus        *Versus
	SVG, PDF      string
}

// CheckShown is one check with all that it was made from.
type CheckShown struct {
	Head, Say, Source, Alt, Band, Window, At string
	Mend                                     string // what to change, where it fails
	Rows                                     []Fact
}

// BoxPartShown is one thing to buy.
type BoxPartShown struct{ What, Each, Cost string }

// Versus is two builds side by side.
type Versus struct {
	Left, Right string
	Rows        []VersusRow
}

// VersusRow is one line of them.
type VersusRow struct{ What, Left, Right string }

// boxStart is the bin that the boxes begin with: one that was kept, or the one
// that the farm has most of.
func (s *Server) boxStart(name string) (app.BoxRequest, string, error) {
	for _, k := range app.KeptBoxes(s.Farm.State()) {
		if k.Name == name && name != "" {
			return k.Box, k.Name, nil
		}
	}
	in, err := app.FarmBox(s.Farm.State())
	return in, "", err
}

// workshopShow shows a bin as the address has it.
func (s *Server) workshopShow(w http.ResponseWriter, r *http.Request, p person) error {
	page, _, _, err := s.workshopPage(r, p, r.URL.Query())
	if err != nil {
		return err
	}
	return s.draw(w, "workshop", http.StatusOK, page)
}

// workshopPage reads the boxes and works the bin out; the answer is nil where
// something is wrong with it.
func (s *Server) workshopPage(r *http.Request, p person, q map[string][]string) (WorkshopPage, app.BoxRequest, *app.BoxAnswer, error) {
	first := func(name string) string {
		if len(q[name]) == 0 {
			return ""
		}
		return q[name][0]
	}
	page := WorkshopPage{Frame: s.frame(r, p, p.Say("workshop.title"), "more"), ID: s.NewID(p.Now)}
	start, opened, err := s.boxStart(first("open"))
	if err != nil {
		return page, start, nil, err
	}
	form := boxTyped(q, boxFormOf(p, start))
	read := &boxReader{s: s, p: p, f: form}
	in := read.request(start)
	beside, besideName, compare := read.beside(in)
	problems := read.problems
	var a *app.BoxAnswer
	if len(problems) == 0 {
		if a, problems, err = s.workOut(r.Context(), in); err != nil {
			return page, in, nil, err
		}
	}
	for i := range problems {
		problems[i].Field = form.field(problems[i].Field)
	}
	page.Groups = s.boxFields(p, form, in, beside)
	var groups [][]Field
	for _, g := range page.Groups {
		groups = append(groups, g.Fields)
	}
	page.Problems = mark(problems, groups...)
	for i, g := range page.Groups {
		page.Groups[i].Open = g.Open || slices.ContainsFunc(g.Fields, func(f Field) bool { return f.Bad != "" })
	}
	s.boxOffers(p, &page, form, first("name"), opened)
	if a == nil {
		return page, in, nil, nil
	}
	currency := s.Farm.State().Settings.Money.Currency
	if page.CostHead = p.Say("workshop.c.cost"); currency != "" {
		page.CostHead = p.Say("season.head.of", page.CostHead, currency)
	}
	fillBox(p, &page, a)
	page.SVG, page.PDF = "/workshop/drawing.svg?"+form.query(), "/workshop/drawing.pdf?"+form.query()
	if compare {
		other, amiss, err := s.workOut(r.Context(), beside)
		if err != nil {
			return page, in, nil, err
		}
		if other != nil {
			page.Versus = versusOf(p, a, other, besideName, currency)
		}
		for _, x := range amiss {
			page.Notes = append(page.Notes, besideName+": "+p.Told(x.Say)+" "+p.Told(x.Try))
		}
	}
	return page, in, a, nil
}

// boxOffers lays out what a bin may be compared with, the builds that were kept,
// and the box to keep this one.
func (s *Server) boxOffers(p person, page *WorkshopPage, form boxForm, name, opened string) {
	options := []Option{{Value: "", Label: p.Say("workshop.beside.none")}}
	for _, x := range besides {
		options = append(options, Option{Value: x.key, Label: p.Say("workshop.beside." + x.key)})
	}
	for _, k := range app.KeptBoxes(s.Farm.State()) {
		options = append(options, Option{Value: keptPrefix + k.Name, Label: k.Name})
		page.Kept = append(page.Kept, Link{To: "/workshop?open=" + url.QueryEscape(k.Name), Name: k.Name, Here: k.Name == opened})
	}
	page.Beside = selectField("beside", p.Say("workshop.f.beside"), form["beside"], options)
	if name == "" {
		name = opened
	}
	page.Name = textField("name", p.Say("workshop.f.name"), name)
	page.Name.Help = p.Say("workshop.namehelp")
	page.Drop = opened
}

// workOut asks for a bin. What is refused comes back as problems.
func (s *Server) workOut(ctx context.Context, in app.BoxRequest) (*app.BoxAnswer, []app.Problem, error) {
	if s.Workshop == nil {
		return nil, nil, errors.New("no workshop is set")
	}
	a, err := s.Workshop.Answer(ctx, in)
	var no *figure.Refusal
	if errors.As(err, &no) {
		var problems []app.Problem
		for _, x := range no.Problems {
			problem := app.Problem{Field: x.Field, Say: x.Say, Try: x.Try}
			if !slices.Contains(problems, problem) { // each feeding of a bed tells of its material
				problems = append(problems, problem)
			}
		}
		return nil, problems, nil
	}
	return a, nil, err
}

// workshopSave keeps a build under a name, or takes one off the list.
func (s *Server) workshopSave(w http.ResponseWriter, r *http.Request, p person) error {
	name := strings.TrimSpace(r.PostForm.Get("name"))
	drop := r.PostForm.Get("do") == "drop"
	if drop {
		name = r.PostForm.Get("open")
	}
	page, in, a, err := s.workshopPage(r, p, r.PostForm)
	if err != nil {
		return err
	}
	var problems []app.Problem
	switch {
	case name == "":
		problems = append(problems, app.Problem{Field: "name", Say: p.Say("workshop.noname"), Try: p.Say("workshop.nonametry")})
	case a != nil || drop:
		value := []byte("false")
		if !drop {
			if value, err = json.Marshal(in); err != nil {
				return err
			}
		}
		id := r.PostForm.Get("id")
		if id == "" {
			id = s.NewID(p.Now)
		}
		ack, err := s.write(r, journal.Entry{ID: id, Kind: "setting", At: p.Now.UTC(), Who: p.Who, Device: "page", Body: &journal.Setting{Key: farm.KeyBox + name, Value: value}})
		if err != nil {
			return err
		}
		if ack.Saved {
			to := "/workshop"
			if !drop {
				to += "?open=" + url.QueryEscape(name)
			}
			seeOther(w, r, withSaid(to, ack.Entry.ID))
			return nil
		}
		problems = ack.Problems
		for i := range problems {
			problems[i].Field = "name"
		}
	}
	group := []Field{page.Name}
	page.Problems = append(page.Problems, mark(problems, group)...)
	page.Name = group[0]
	return s.draw(w, "workshop", http.StatusUnprocessableEntity, page)
}

// workshopFile gives the drawings as a file.
func (s *Server) workshopFile(w http.ResponseWriter, r *http.Request, p person) error {
	page, _, a, err := s.workshopPage(r, p, r.URL.Query())
	if err != nil {
		return err
	}
	if a == nil { // the page says what is wrong
		return s.draw(w, "workshop", http.StatusUnprocessableEntity, page)
	}
	var b bytes.Buffer
	name := p.Say("workshop.file", plainNumber(math.Round(a.Inside[0])), plainNumber(math.Round(a.Inside[1])))
	if strings.HasSuffix(r.URL.Path, ".pdf") {
		if err := BoxPDF(&b, a, p.Words, p.Units, p.Now); err != nil {
			return err
		}
		return sendPDF(w, name, b.Bytes())
	}
	if err := BoxSVG(&b, a, p.Words, p.Units); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`.svg"`)
	if _, err := w.Write(b.Bytes()); err != nil {
		return errGone{err}
	}
	return nil
}

// mendOf names what to change where a check fails, by how the check's name begins.
func mendOf(check string) string {
	for _, x := range []struct{ check, by string }{
		{"floor board", "floor"}, {"bearer on", "onforks"}, {"bearer", "bearer"}, {"fork opening", "opening"}, {"lowest wall", "wall"}, {"wall fasteners", "off"},
		{"corner fasteners", "corner"}, {"corner post", "post"}, {"bearing under", "post"}, {"height of", "stack"}, {"bins in", "stack"}, {"truck", "truck"},
	} {
		if strings.HasPrefix(check, x.check) {
			return x.by
		}
	}
	return ""
}

// boxFails names what does not hold.
func boxFails(p person, a *app.BoxAnswer) (out []string) {
	for _, c := range a.Checks {
		if !c.OK {
			out = append(out, p.Told(c.Name))
		}
	}
	return out
}

// fillBox puts a bin that was worked out on the page.
func fillBox(p person, page *WorkshopPage, a *app.BoxAnswer) {
	page.Say = p.Say("workshop.sayholds")
	if fails := boxFails(p, a); len(fails) > 0 {
		page.Say = p.Say("workshop.sayfails", p.Words.List(fails))
	}
	page.Sub = p.Say("workshop.sub", weightSay(p, a.BoxLb), weightSay(p, a.WoodLb), roomSay(p, a.FillFt3), inchSaid(p, a.Stands), boxSides(p, a.Inside[:]))
	checks := slices.SortedStableFunc(slices.Values(a.Checks), func(a, b carpentry.Check) int { return cmp.Compare(b.Ratio, a.Ratio) })
	for _, c := range checks {
		head := "workshop.share"
		if !c.OK {
			head = "workshop.ofallowed"
		}
		x := CheckShown{Head: p.Say(head, sentence(p.Told(c.Name)), percentNumber(c.Ratio)), Say: p.Told(c.Say), Source: p.Say("workshop.source", p.Told(c.Source))}
		x.Rows = []Fact{{Name: p.Say("workshop.c.has"), Value: boxValue(p, c.Value, c.Unit)}, {Name: p.Say("workshop.c.may"), Value: boxValue(p, c.Allowed, c.Unit)}}
		for _, f := range c.Factors {
			x.Rows = append(x.Rows, Fact{Name: p.Told(f.Name), Value: boxValue(p, f.Value, f.Unit)})
		}
		one, shown := 1.0, math.Min(c.Ratio, 3)
		x.Band, x.Window, x.At = ruler(nil, &one, shown, 0, shown)
		x.Alt = x.Head
		if c.OK {
			page.Holds = append(page.Holds, x)
		} else {
			if by := mendOf(c.Name); by != "" {
				x.Mend = p.Say("workshop.mend." + by)
			}
			page.Fails = append(page.Fails, x)
		}
	}
	if len(page.Holds) > 0 {
		i := slices.IndexFunc(checks, func(c carpentry.Check) bool { return c.OK })
		page.Held = p.Count("workshop.held", len(page.Holds), p.Told(checks[i].Name), percentNumber(checks[i].Ratio))
	}
	if x, _, _ := a.Drawn(); x.TruckLb == 0 {
		page.NotSeen = p.Say("workshop.saynotruck")
	}
	for _, c := range a.Cautions {
		page.Cautions = append(page.Cautions, p.Told(c))
	}
	views := boxViews(p, a)
	page.Views, page.Cuts = views[:len(views)-1], views[len(views)-1:]
	page.CutSay = cutSay(p, a)
	page.Air = holesSay(p, a)
	page.Facts = buildFacts(p, a)
	for _, n := range a.Notes {
		page.Notes = append(page.Notes, p.Told(n))
	}
	var lacking []string
	for _, x := range a.Parts {
		page.Parts = append(page.Parts, BoxPartShown{partSay(p, x), moneySay(x.Each), moneySay(x.Cost)})
		if x.Each == nil {
			lacking = append(lacking, partName(p, x))
		}
	}
	lacking = slices.Compact(lacking)
	page.Total = totalSay(a)
	if len(lacking) > 0 {
		page.Priced = p.Say("workshop.unpriced", p.Words.List(lacking))
	}
}

// totalSay is what the parts with a price cost together, a dash where none has one.
func totalSay(a *app.BoxAnswer) string {
	if !slices.ContainsFunc(a.Parts, func(x app.BoxPart) bool { return x.Cost != nil }) {
		return moneySay(nil)
	}
	return moneyText(partsCost(a))
}

func partsCost(a *app.BoxAnswer) (sum float64) {
	for _, x := range a.Parts {
		if x.Cost != nil {
			sum += *x.Cost
		}
	}
	return sum
}

func weightSay(p person, lb float64) string { return printable(p.Units.Mass(lb * qty.KgPerPound)) }

func roomSay(p person, ft3 float64) string {
	if p.Units == qty.Metric {
		return printable(qty.Figures(ft3*qty.M3PerCubicFoot*1000) + " L")
	}
	return printable(qty.Figures(ft3) + " ft3")
}

func boxSides(p person, in []float64) string {
	var out []string
	for _, v := range in {
		out = append(out, inchSaid(p, v))
	}
	return strings.Join(out, " × ")
}

// partName is what a thing to buy is called, partSay how much of it.
func partName(p person, x app.BoxPart) string {
	if x.What == "stick" {
		return x.Stick
	}
	return p.Say("workshop.part." + x.What)
}

func partSay(p person, x app.BoxPart) string {
	switch x.What {
	case "stick":
		return p.Say("workshop.stick", plainNumber(x.Count), x.Stick, feetText(x.Length))
	case "liner":
		if p.Units == qty.Metric {
			return p.Say("workshop.partof", qty.Figures(x.Count*0.09290304)+" m²", partName(p, x))
		}
		return p.Say("workshop.partof", plainNumber(x.Count)+" ft²", partName(p, x))
	}
	return p.Say("workshop.partcount", plainNumber(x.Count), partName(p, x))
}

func cutSay(p person, a *app.BoxAnswer) string {
	say := p.Say("workshop.cutsay", lengthBought(p, a.BoughtIn), percentNumber(a.WasteFrac))
	if a.CutsProved {
		return say + " " + p.Say("workshop.cutproved")
	}
	return say + " " + p.Say("workshop.cutopen")
}

func lengthBought(p person, in float64) string {
	if p.Units == qty.Metric {
		return qty.Figures(in*0.0254) + " m"
	}
	return qty.Figures(in/12) + " ft"
}

// warmFor is the difference for which the loss of heat is told [K].
func warmFor(p person) float64 { return pickNumber(p.Units, 20/1.8, 10) }

func warmthSay(p person, a *app.BoxAnswer) string {
	return wattsSay(p, (a.Warmth.Sides+a.Warmth.Floor)*warmFor(p))
}

// wattsSay prints a flow of heat [W] as a farm's heaters have it.
func wattsSay(p person, w float64) string {
	if p.Units == qty.US {
		return printable(qty.Figures(roundTo(w*btuPerKWh/1000, 5)) + " Btu/h")
	}
	return printable(qty.Figures(roundTo(w, 1)) + " W")
}

func lifeSay(p person, a *app.BoxAnswer) string {
	return p.Say("workshop.years", qty.Figures(roundTo(a.Life[0], 0.5)), qty.Figures(roundTo(a.Life[1], 0.5)))
}

// buildFacts are warmth, life and weight of a bin.
func buildFacts(p person, a *app.BoxAnswer) []Fact {
	diff := p.Units.TemperatureStep(warmFor(p))
	return []Fact{
		{Name: p.Say("workshop.warmth"), Value: warmthSay(p, a), Note: p.Say("workshop.warmthnote", diff, wattsSay(p, a.Warmth.Sides*warmFor(p)), wattsSay(p, a.Warmth.Floor*warmFor(p)))},
		{Name: p.Say("workshop.life"), Value: lifeSay(p, a), Note: p.Say("workshop.lifenote")},
		{Name: p.Say("workshop.weight"), Value: weightSay(p, a.BoxLb), Note: p.Say("workshop.weightnote", weightSay(p, a.WoodLb), weightSay(p, a.FillLb))},
		{Name: p.Say("workshop.fasteners"), Value: strconv.Itoa(a.Fasteners), Note: p.Say("workshop.fastenersnote")},
	}
}

// holesSay tells what air the bed needs, what holes give it, and what they dry.
func holesSay(p person, a *app.BoxAnswer) (out []string) {
	h := a.Holes
	if h == nil {
		return []string{p.Say("workshop.noholes")}
	}
	if m := h.Model; m != nil {
		pct := func(v float64) string { return qty.Figures(roundTo(100*v, 0.1)) + " %" }
		switch {
		case h.Count == 0:
			out = append(out, p.Say("workshop.airnone", pct(m.Without), pct(m.Wanted)))
		case m.Enough:
			out = append(out, p.Say("workshop.airenough", pct(m.Without), h.Count, inchSaid(p, boxHole(a)), pct(m.With), pct(m.Wanted)))
		default:
			out = append(out, p.Say("workshop.airshort", pct(m.Without), h.Count, inchSaid(p, boxHole(a)), pct(m.With), pct(m.Wanted)))
		}
		if h.Count > 0 {
			out = append(out, p.Say("workshop.airdry", waterDay(p, h.DryingLbD), waterDay(p, m.TopLbDay)))
		}
		out = append(out, p.Say("workshop.airhow", p.Units.Temperature(qty.Celsius(m.WarmC))))
		if m.WarmC > m.HotC {
			out = append(out, p.Say("workshop.airhot", p.Units.Temperature(qty.Celsius(m.HotC))))
		}
	}
	if h.Count > 0 {
		out = append(out, p.Say("workshop.pattern", h.PerSide[0], h.PerSide[2], h.Rows, inchSaid(p, h.ApartIn)))
	}
	return out
}

func boxHole(a *app.BoxAnswer) float64 { x, _, _ := a.Drawn(); return x.HoleIn }

func waterDay(p person, lb float64) string {
	shown := lb * pickNumber(p.Units, 1, qty.KgPerPound)
	if shown != 0 { // two figures: by diffusion alone, and of a model
		shown = roundTo(shown, 10*thirdFigure(shown))
	}
	return printable(qty.Figures(shown) + pick(p.Units, " lb", " kg"))
}

// versusOf puts two builds side by side: cost, weight, warmth, life.
func versusOf(p person, a, b *app.BoxAnswer, name, currency string) *Versus {
	cost := func(v float64) string { return strings.TrimSpace(moneyText(v) + " " + currency) }
	v := &Versus{Left: p.Say("workshop.this"), Right: name}
	add := func(key string, say func(*app.BoxAnswer) string) {
		v.Rows = append(v.Rows, VersusRow{p.Say("workshop.v." + key), say(a), say(b)})
	}
	add("holds", func(x *app.BoxAnswer) string {
		if fails := boxFails(p, x); len(fails) > 0 {
			return p.Say("workshop.v.no", p.Words.List(fails))
		}
		return p.Say("workshop.holds")
	})
	add("cost", func(x *app.BoxAnswer) string {
		if x.Cost == nil {
			return p.Say("workshop.v.noprice")
		}
		if x.CostAll == nil {
			return p.Say("workshop.v.some", cost(partsCost(x)))
		}
		return cost(*x.CostAll)
	})
	add("year", func(x *app.BoxAnswer) string {
		if x.CostAll == nil {
			return "–"
		}
		return p.Say("workshop.v.to", moneyText(*x.CostAll/x.Life[1]), cost(*x.CostAll/x.Life[0]))
	})
	add("bought", func(x *app.BoxAnswer) string {
		return p.Say("workshop.v.boughtsay", lengthBought(p, x.BoughtIn), percentNumber(x.WasteFrac))
	})
	add("room", func(x *app.BoxAnswer) string { return roomSay(p, x.FillFt3) })
	add("weight", func(x *app.BoxAnswer) string { return weightSay(p, x.BoxLb) })
	add("warmth", func(x *app.BoxAnswer) string { return warmthSay(p, x) })
	add("life", func(x *app.BoxAnswer) string { return lifeSay(p, x) })
	add("air", func(x *app.BoxAnswer) string {
		if x.Holes == nil {
			return "–"
		}
		return strconv.Itoa(x.Holes.Count)
	})
	return v
}
