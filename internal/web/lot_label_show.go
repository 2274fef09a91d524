package web

import (
	"bytes"
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"wormyard/internal/app"
	"wormyard/internal/label"
	papers "wormyard/internal/paper"
	"wormyard/internal/web/words"
	"wormyard/lot"
	"wormyard/qty"
)

// LotLabelPage is where labels of the bags of a lot are fetched.
type LotLabelPage struct {
	Frame
	Heading, Under, BackTo, BackName string
	Cares                            []HazardShown
	Form                             Form
	Facts                            []Fact
}

// mostLabels is how many labels one file holds: five hundred sheets of four.
const mostLabels = 2000

// usualNumber and usualSize are offered where nothing was bagged yet.
const (
	usualNumber   = "4"
	usualSizeUS   = "1 ft3"
	usualSizeSI   = "25 L"
	goodsFigures  = 13
	goodsFiguresN = 12 // as printed in North America, without the zero before it
)

// nutrients are tests of which a number on a label makes it one of a fertiliser.
var nutrients = []string{"nitrogen_frac_dry", "phosphorus_frac_dry", "potassium_frac_dry", "ammonia_n_mg_kg_dry", "nitrate_n_mg_kg_dry"}

func lotLabelsTo(name string) string { return lotTo(name) + "/labels" }

// lotLabelShow offers the labels of a lot with what the journal knows filled in.
func (s *Server) lotLabelShow(w http.ResponseWriter, r *http.Request, p person) error {
	x, ok := app.LotLabelOf(s.Farm.State(), r.PathValue("name"))
	if !ok {
		return missing{p.Say("fault.nolot", r.PathValue("name"))}
	}
	v := values{"number": usualNumber, "from": "1", "size": pick(p.Units, usualSizeUS, usualSizeSI), "paper": pick(p.Units, "letter4", "a4x4"), "product": p.Say("bag.usualname"), "code": "text", "base": s.base(r), "lang": p.Words.Language()}
	if x.Size > 0 {
		v["size"], v["number"] = boxVolume(p.Units, x.Size), strconv.Itoa(x.Number)
	}
	var shown []string
	for _, t := range x.Tests {
		if !slices.Contains(nutrients, t.Analyte) {
			shown = append(shown, t.Analyte)
		}
	}
	v["tests"] = strings.Join(shown, "\n")
	return s.drawLotLabels(w, r, p, x, v, nil, http.StatusOK)
}

// boxVolume writes the volume of a bag as one types it.
func boxVolume(u qty.System, v qty.CubicMetre) string {
	us, metric := lot.NetVolume(v)
	if u == qty.US {
		return strings.NewReplacer("³", "3", "dry qt", "dry quarts").Replace(us)
	}
	return strings.ReplaceAll(metric, "³", "3")
}

func pickLang(all []*words.Catalogue, lang string) *words.Catalogue {
	for _, c := range all {
		if c.Language() == lang {
			return c
		}
	}
	return all[0]
}

func (s *Server) drawLotLabels(w http.ResponseWriter, r *http.Request, p person, x app.LotLabel, v values, problems []app.Problem, status int) error {
	page := LotLabelPage{Frame: s.frame(r, p, p.Say("bag.title", x.Lot), "more"), Heading: p.Say("bag.title", x.Lot), Under: p.Say("bag.under"), BackTo: lotTo(x.Lot), BackName: p.Say("lot.title", x.Lot)}
	page.One = true
	if x.Held {
		page.Cares = append(page.Cares, HazardShown{Head: p.Say("bag.heldhead"), Say: p.Say("bag.heldsay")})
	}
	if u, err := url.Parse(v["base"]); err == nil && v["code"] == "page" && thisMachine(u.Host) {
		page.Cares = append(page.Cares, HazardShown{Say: p.Say("label.loopback", v["base"])})
	}
	size := textField("size", p.Say("bag.size"), v["size"])
	size.Help = p.Say("bag.sizehelp")
	mass := textField("mass", p.Say("bag.mass"), v["mass"])
	mass.Help = p.Say("bag.masshelp", printable(p.Units.Density(x.Density)))
	number := numberField("number", p.Say("bag.number"), "", v["number"])
	number.Help = p.Say("bag.numberhelp", thousands(mostLabels))
	from := numberField("from", p.Say("bag.from"), "", v["from"])
	from.Help = p.Say("bag.fromhelp")
	var grids []Option
	for _, g := range label.Grids() {
		grids = append(grids, Option{Value: g.Key, Label: p.Say("bag.paper." + g.Key)})
	}
	product := textField("product", p.Say("bag.product"), v["product"])
	own := areaField("own", p.Say("bag.own"), v["own"])
	own.Help = p.Say("bag.ownhelp")
	fields := []Field{size, number, selectField("paper", p.Say("label.paper"), v["paper"], grids), product, own}
	more := []Field{mass, from}
	if len(x.Tests) > 0 {
		var tests []Option
		for _, t := range x.Tests {
			tests = append(tests, Option{Value: t.Analyte, Label: p.analyte(t.Analyte)})
		}
		f := chipsField("tests", p.Say("bag.tests"), v["tests"], tests)
		f.Many, f.Help = true, p.Say("bag.testshelp")
		fields = append(fields, f)
	}
	goods := textField("goods", p.Say("bag.goods"), v["goods"])
	goods.Help = p.Say("bag.goodshelp")
	base := textField("base", p.Say("label.base"), v["base"])
	base.Help = p.Say("bag.basehelp")
	var langs []Option
	for _, c := range s.words {
		langs = append(langs, Option{Value: c.Language(), Label: c.Say("language.name")})
	}
	more = append(more, chipsField("code", p.Say("bag.code"), v["code"], []Option{{Value: "text", Label: p.Say("bag.codeas.text")}, {Value: "page", Label: p.Say("bag.codeas.page")}}), base, goods, chipsField("lang", p.Say("bag.lang"), v["lang"], langs))
	page.Form = Form{Action: lotLabelsTo(x.Lot), Back: lotTo(x.Lot), Submit: p.Say("label.fetch"), Cancel: lotTo(x.Lot), Fields: fields, More: more, MoreLabel: p.Say("bag.more")}
	refused, doubtful := split(problems)
	page.Form.Problems, page.Form.Doubts, page.Form.Yes = mark(refused, page.Form.Fields, page.Form.More), mark(doubtful, page.Form.Fields, page.Form.More), digest(doubtful)
	for _, f := range page.Form.More {
		page.Form.MoreOpen = page.Form.MoreOpen || f.Bad != ""
	}
	page.Facts = s.lotLabelFacts(p, x)
	return s.draw(w, "lotlabels", status, page)
}

// lotLabelFacts tells what will stand on the labels by the journal.
func (s *Server) lotLabelFacts(p person, x app.LotLabel) []Fact {
	out := []Fact{{Name: p.Say("bag.facts.lot"), Value: x.Lot + " · " + app.LotMark(s.Farm.State(), x.Lot), Note: p.Say("bag.facts.check")}}
	if h := p.harvestedOn(x); h != "" {
		out = append(out, Fact{Name: p.Say("bag.facts.harvest"), Value: h})
	}
	if made := p.madeOf(x); made != "" {
		out = append(out, Fact{Name: p.Say("bag.facts.made"), Value: made})
	}
	return out
}

// harvestedOn gives the day or days of the harvests in a lot.
func (p person) harvestedOn(x app.LotLabel) string {
	if x.From.IsZero() {
		return ""
	}
	a, b := p.Words.Date(x.From.In(p.Zone)), p.Words.Date(x.Until.In(p.Zone))
	if a == b {
		return a
	}
	return p.Say("bag.span", a, b)
}

// leastShare is what is named on a label by itself: below half of a hundredth it
// would be 0 %.
const leastShare = 0.005

// madeOf gives what a lot was made from with shares, the largest first.
func (p person) madeOf(x app.LotLabel) string {
	var list []string
	for _, m := range x.Made {
		name := p.material(m.Name)
		switch {
		case m.Share == nil:
			list = append(list, p.Say("bag.sharenot", name))
		case *m.Share < leastShare:
			list = append(list, p.Say("bag.sharelittle", name, p.hundredths(0.01)))
		case m.Guessed:
			list = append(list, p.Say("bag.shareabout", name, p.hundredths(*m.Share)))
		default:
			list = append(list, p.Say("bag.share", name, p.hundredths(*m.Share)))
		}
	}
	return strings.Join(list, "; ")
}

// hundredths prints a share so that no line breaks within it.
func (p person) hundredths(share float64) string {
	return together(p.Say("trace.percent", percentNumber(share)))
}

// lotLabelPrint gives the labels of a lot as a file to print.
func (s *Server) lotLabelPrint(w http.ResponseWriter, r *http.Request, p person) error {
	x, ok := app.LotLabelOf(s.Farm.State(), r.PathValue("name"))
	if !ok {
		return missing{p.Say("fault.nolot", r.PathValue("name"))}
	}
	v := values{}
	for _, k := range []string{"size", "mass", "number", "from", "paper", "product", "own", "tests", "code", "base", "goods", "lang"} {
		v[k] = typed(r, k)
	}
	v["base"] = strings.TrimRight(v["base"], "/")
	labels, grid, problems, err := s.lotLabels(p, x, v)
	if err != nil {
		return err
	}
	refused, doubtful := split(problems)
	if len(refused) > 0 || len(doubtful) > 0 && r.PostForm.Get("yes") != digest(doubtful) {
		return s.drawLotLabels(w, r, p, x, v, problems, http.StatusUnprocessableEntity)
	}
	letter, err := app.NetLetter(qty.Metre(grid.Wide/1000), qty.Metre(grid.High/1000))
	if err != nil {
		return err
	}
	var b bytes.Buffer
	_, err = label.PrintLots(&b, grid, labels, float64(letter)*1000, midnight(p.Now).UTC())
	var noRoom *label.NoRoom
	switch {
	case errors.As(err, &noRoom):
		return s.drawLotLabels(w, r, p, x, v, []app.Problem{{Field: "paper", Say: p.Say("bag.noroom"), Try: p.Say("bag.noroomtry")}}, http.StatusUnprocessableEntity)
	case err != nil:
		return s.drawLotLabels(w, r, p, x, v, []app.Problem{{Field: "base", Say: p.Say("label.toolong"), Try: p.Say("bag.toolongtry")}}, http.StatusUnprocessableEntity)
	}
	return sendPDF(w, p.Say("bag.file", fileName(x.Lot)), b.Bytes())
}

// sendPDF sends a file to print.
func sendPDF(w http.ResponseWriter, name string, data []byte) error {
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `attachment; filename="`+name+`.pdf"`)
	if _, err := w.Write(data); err != nil {
		return errGone{err}
	}
	return nil
}

// fileName keeps of a name what every system takes in the name of a file.
func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '.':
			return r
		}
		return '_'
	}, name)
}

// lotLabels puts a lot into words for its labels, or says all that stands in the way.
func (s *Server) lotLabels(p person, x app.LotLabel, v values) ([]label.LotLabel, label.Grid, []app.Problem, error) {
	var problems []app.Problem
	refuse := func(field, say, try string) {
		problems = append(problems, app.Problem{Field: field, Say: say, Try: try})
	}
	size, wrong := s.bagNumber(p, "bag", "size_m3", "size", v["size"])
	problems = append(problems, wrong...)
	mass := 0.0
	if v["mass"] != "" {
		mass, wrong = s.bagNumber(p, "harvest", "mass_kg_wet", "mass", v["mass"])
		problems = append(problems, wrong...)
		if wrong == nil && !(mass > 0) {
			refuse("mass", p.Say("bag.nomass", v["mass"]), p.Say("bag.nomasstry"))
		}
	}
	if len(problems) == 0 && !(size > 0 && size <= 10) {
		refuse("size", p.Say("bag.nosize", v["size"]), p.Say("bag.nosizetry"))
	}
	number, ok := wholeNumber(v["number"])
	switch {
	case !ok || number < 1:
		refuse("number", p.Say("bag.none", v["number"]), p.Say("bag.nonetry"))
	case number > mostLabels:
		refuse("number", p.Say("bag.many", thousands(number), thousands(mostLabels)), p.Say("bag.manytry", thousands(mostLabels), thousands(mostLabels+1)))
	}
	from, ok := wholeNumber(v["from"])
	if v["from"] == "" {
		from, ok = 1, true
	}
	if !ok || from < 1 || from > 1_000_000_000 {
		refuse("from", p.Say("bag.badfrom", v["from"]), p.Say("bag.badfromtry"))
	}
	grid, ok := label.GridNamed(v["paper"])
	if !ok {
		refuse("paper", p.Say("label.nopaper"), p.Say("bag.nopapertry"))
	}
	if v["product"] == "" {
		refuse("product", p.Say("bag.noname"), p.Say("bag.nonametry"))
	}
	for _, f := range []string{"product", "own"} {
		if odd := papers.Lacking(v[f]); odd != "" {
			refuse(f, p.Say("bag.unprintable", odd), p.Say("bag.unprintabletry"))
		}
	}
	if odd := papers.Lacking(s.Farm.State().Settings.Name + x.Lot); odd != "" {
		refuse("", p.Say("bag.unprintable", odd), p.Say("bag.unprintablename"))
	}
	u, err := url.Parse(v["base"])
	if v["code"] == "page" && (err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Host == "" || u.RawQuery != "" || u.Fragment != "") {
		refuse("base", p.Say("label.badbase", v["base"]), p.Say("label.badbasetry"))
	}
	goods, bad := goodsNumber(p, v["goods"])
	problems = append(problems, bad...)
	on := p
	on.Words = pickLang(s.words, v["lang"])
	l := s.lotLabel(on, x, v, qty.CubicMetre(size), qty.WetKg(mass))
	l.Goods = goods
	claims, err := s.lotClaims(p, x, v, l)
	if err != nil {
		return nil, grid, nil, err
	}
	problems = append(problems, claims...)
	if refused, _ := split(problems); len(refused) > 0 {
		return nil, grid, problems, nil
	}
	labels := make([]label.LotLabel, number)
	for i := range labels {
		labels[i] = l
		labels[i].Lines = slices.Concat(l.Lines, []string{on.Say("bag.nth", strconv.Itoa(from+i))})
	}
	return labels, grid, problems, nil
}

// bagNumber reads a quantity as the field of a kind of entry does.
func (s *Server) bagNumber(p person, kind, key, box, text string) (float64, []app.Problem) {
	k, _ := p.kindNamed(kind)
	for _, f := range k.Fields {
		if f.Key == key {
			v, problems := s.number(p, f, text)
			for i := range problems {
				problems[i].Field = box
			}
			return v, problems
		}
	}
	return 0, []app.Problem{{Field: box, Say: p.Say("bag.nosize", text), Try: p.Say("bag.nosizetry")}}
}

func wholeNumber(text string) (int, bool) {
	n, err := strconv.Atoi(strings.NewReplacer(",", "", " ", "").Replace(strings.TrimSpace(text)))
	return n, err == nil
}

// goodsNumber reads a number of goods of twelve or thirteen figures and holds its
// last figure against the others.
func goodsNumber(p person, text string) (string, []app.Problem) {
	digits := strings.NewReplacer(" ", "", "-", "").Replace(text)
	if digits == "" {
		return "", nil
	}
	if len(digits) == goodsFiguresN {
		digits = "0" + digits
	}
	if len(digits) != goodsFigures || strings.Trim(digits, "0123456789") != "" {
		return "", []app.Problem{{Field: "goods", Say: p.Say("bag.badgoods", text), Try: p.Say("bag.badgoodstry")}}
	}
	want, _ := lot.CheckDigit(digits[:goodsFigures-1])
	if digits[goodsFigures-1:] != strconv.Itoa(want) {
		return "", []app.Problem{{Field: "goods", Say: p.Say("bag.wronggoods", text, digits[goodsFigures-1:], want), Try: p.Say("bag.wronggoodstry")}}
	}
	return digits, nil
}

// lotLabel puts one label into the words of the reader of bags.
func (s *Server) lotLabel(p person, x app.LotLabel, v values, size qty.CubicMetre, mass qty.WetKg) label.LotLabel {
	state := s.Farm.State()
	farm := state.Settings.Name
	if farm == "" {
		farm = p.Say("farm.unnamed")
	}
	mark := app.LotMark(state, x.Lot)
	us, metric := lot.NetVolume(size)
	packs := strings.ReplaceAll(us, "³", "3")
	us, metric = together(us), together(metric)
	l := label.LotLabel{Name: v["product"], Farm: farm, Lot: p.Say("lot.title", x.Lot), Net: p.Say("bag.net", us, metric), Under: p.Say("bag.check", mark)}
	about := mass == 0
	if about { // as dense as the farm measured it, or as is usual
		mass = qty.WetKg(float64(size) * float64(x.Density))
	}
	lb, kg := lot.NetMass(mass)
	if about {
		lb, kg = lot.AboutMass(mass)
	}
	lb, kg = together(lb), together(kg)
	if l.Mass = p.Say("bag.weighs", lb, kg); about {
		l.Mass = p.Say("bag.weighsabout", lb, kg)
	}
	packed := ""
	if !x.Packed.IsZero() {
		packed = p.day(x.Packed)
		l.Lines = append(l.Lines, p.Say("bag.packed", packed))
	}
	if !x.From.IsZero() {
		span := p.day(x.From)
		if last := p.day(x.Until); last != span {
			span = p.Say("bag.span", span, last)
		}
		l.Lines = append(l.Lines, p.Say("bag.harvested", span))
	}
	l.Parts = append(l.Parts, label.Part{Key: "caution", Text: p.Say("bag.caution"), Less: p.Say("bag.cautionless"), Must: true})
	if made := p.madeOf(x); made != "" {
		l.Parts = append(l.Parts, label.Part{Key: "made", Head: p.Say("bag.made"), Text: made})
	}
	if v["own"] != "" {
		l.Parts = append(l.Parts, label.Part{Key: "own", Text: v["own"], Must: true})
	}
	var results []string
	for _, t := range x.Tests {
		if slices.Contains(strings.Split(v["tests"], "\n"), t.Analyte) {
			results = append(results, p.tested(t))
		}
	}
	if len(results) > 0 {
		l.Parts = append(l.Parts, label.Part{Key: "tests", Head: p.Say("bag.analysis"), Text: strings.Join(results, "; ")})
	}
	if x.Held {
		l.Banner = p.Say("bag.banner")
	}
	l.Code = strings.Join(slices.DeleteFunc([]string{farm, x.Lot, mark, packed, packs}, func(t string) bool { return t == "" }), "; ")
	if v["code"] == "page" {
		l.Code = label.LotAddress(v["base"], x.Lot, mark)
	}
	return l
}

// together holds a number to its unit where a line breaks.
func together(amount string) string { return strings.ReplaceAll(amount, " ", "\u00a0") }

// lotClaims looks through what stands on a label: claims that are refused, and those
// that somebody must answer for.
func (s *Server) lotClaims(p person, x app.LotLabel, v values, l label.LotLabel) ([]app.Problem, error) {
	text := []string{v["product"], v["own"]}
	for _, part := range l.Parts {
		if part.Key == "made" {
			text = append(text, part.Text)
		}
	}
	cautions, err := app.LabelClaims(strings.Join(text, "\n"), x.Rule)
	if err != nil {
		return nil, err
	}
	var out []app.Problem
	for _, c := range cautions {
		field := "own"
		if strings.Contains(strings.ToLower(v["product"]), strings.ToLower(c.Words)) {
			field = "product"
		}
		out = append(out, app.Problem{Field: field, Say: p.Say("bag.claim", c.Words, p.Told(c.Say)), Try: p.Told(c.Try), Doubt: c.Level != "refused"})
	}
	for _, key := range nutrients {
		if slices.Contains(strings.Split(v["tests"], "\n"), key) {
			out = append(out, app.Problem{Field: "tests", Say: p.Say("bag.nutrient", p.analyte(key)), Try: p.Say("bag.nutrienttry"), Doubt: true})
		}
	}
	return out, nil
}

// lotOpen opens the lot whose label was read, or says why it does not.
func (s *Server) lotOpen(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	name := r.PathValue("name")
	_, here := state.Lot(name)
	switch app.LotMarked(state, name, r.PathValue("mark")) {
	case label.Other:
		return missing{p.Say("bag.other", name)}
	case label.Garbled:
		return missing{p.Say("bag.garbled")}
	}
	if !here {
		return missing{p.Say("fault.nolot", name)}
	}
	seeOther(w, r, lotTo(name))
	return nil
}
