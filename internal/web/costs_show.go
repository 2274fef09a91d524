package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"wormyard/cost"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// CostsPage is what castings cost, and what they would cost if.
type CostsPage struct {
	Frame
	Say, Of, Tried, None string
	Parts                []ShareShown
	Left                 []Link // what is not in it, with where to say it
	Problems             []Complaint
	Fields               []Field
	Asks                 bool // something is tried
	Assumed              []Fact
	Unknown              []Link
	Lots, MoreLots       []ShareShown
	Months               []ShareShown
	Products             []ShareShown
	LotsHead, MonthsHead string
	MoreSay              string
	Waiting              string
	WormSay              string
}

// openLots is how many lots stand open on the page.
const openLots = 12

// per gives the volume that costs are told for: a cubic yard, or a cubic metre.
func (p person) per() decimal.Decimal {
	if p.Units == qty.US {
		return decimal.NewFromFloat(qty.M3PerCubicYard)
	}
	return decimal.NewFromInt(1)
}

// money prints an amount of money.
func money(d decimal.Decimal) string {
	s := d.StringFixed(2)
	whole, cents, _ := strings.Cut(s, ".")
	minus := strings.HasPrefix(whole, "-")
	whole = strings.TrimPrefix(whole, "-")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if minus {
		whole = "−" + whole
	}
	return whole + "." + cents
}

// coins prints an amount of money without parts of a coin.
func coins(d decimal.Decimal) string { return strings.TrimSuffix(money(d.Round(0)), ".00") }

// span prints money with its range, in whole coins where the range is wide.
func (p person) span(x cost.Span) string {
	if wide := x.High.Sub(x.Low); x.Best.Abs().GreaterThan(decimal.NewFromInt(20)) && wide.GreaterThan(decimal.NewFromInt(2)) {
		return p.Say("costs.range", coins(x.Best), coins(x.Low), coins(x.High))
	}
	if low, high := money(x.Low), money(x.High); low != high {
		return p.Say("costs.range", money(x.Best), low, high)
	}
	return money(x.Best)
}

// triedBoxes are what may be tried, with the key of the words of each.
var triedBoxes = []string{"wage", "truck", "power", "bag", "tote", "haul", "times", "yield"}

// whatIf reads what is tried. A box that stands as the farm has it tries nothing.
func (s *Server) whatIf(p person, r *http.Request) (try app.WhatIf, fields []Field, problems []app.Problem) {
	m := s.Farm.State().Settings.Money
	was := map[string]*qty.Money{"wage": m.Wage, "truck": m.Truck, "power": m.Power, "bag": m.Bag, "tote": m.Tote}
	to := map[string]**decimal.Decimal{"wage": &try.Wage, "truck": &try.Truck, "power": &try.Power, "bag": &try.Bag, "tote": &try.Tote, "haul": &try.Haul, "times": &try.Times}
	hundred := decimal.NewFromInt(100)
	for _, name := range triedBoxes {
		text, given := strings.TrimSpace(r.URL.Query().Get(name)), r.URL.Query().Has(name)
		set := ""
		switch {
		case was[name] != nil:
			set = plainNumber(float64(*was[name]))
		case name == "haul", name == "times":
			set = "100"
		}
		if !given {
			text = set
		}
		f := numberField(name, p.Say("costs.try."+name), m.Currency, text)
		if name == "haul" || name == "times" || name == "yield" {
			f.Unit = "%"
		}
		if name == "yield" {
			f.Help = p.Say("costs.yieldhelp")
		}
		fields = append(fields, f)
		if text == "" || text == set {
			continue
		}
		d, ok := app.Price(text)
		if name == "yield" && ok && d.GreaterThan(hundred) {
			ok = false
		}
		if !ok {
			problem := app.Problem{Field: name, Say: p.Say("costs.noprice", f.Label, text), Try: p.Say("costs.nopricetry")}
			if name == "yield" {
				problem.Try = p.Say("costs.noyieldtry")
			}
			problems = append(problems, problem)
			continue
		}
		switch {
		case name == "yield":
			y, _ := d.Div(hundred).Float64()
			try.Yield = &y
		case f.Unit == "%":
			d = d.Div(hundred)
			*to[name] = &d
		default:
			*to[name] = &d
		}
	}
	return try, fields, problems
}

// costsShow shows what a cubic yard costs. What is tried moves the figures and is
// kept nowhere.
func (s *Server) costsShow(w http.ResponseWriter, r *http.Request, p person) error {
	state, now := s.Farm.State(), s.Farm.Now()
	page := CostsPage{Frame: s.frame(r, p, p.Say("costs.title"), "more")}
	try, fields, problems := s.whatIf(p, r)
	page.Fields, page.Asks = fields, try.Asks()
	page.Problems = mark(problems, page.Fields)
	x, err := s.costs.Costs(state, now, try)
	if err != nil {
		return err
	}
	currency := state.Settings.Money.Currency
	per := p.per()
	unit := pick(p.Units, "yard", "metre")
	page.LotsHead, page.MonthsHead = p.Say("costs.bylot."+unit), p.Say("costs.bymonth."+unit)
	if x.Mean == nil {
		page.None = p.Say("costs.none")
	} else {
		say := "costs.say."
		if len(x.Mean.Without) > 0 { // what nobody said the price of is not in it
			say = "costs.partof."
		}
		page.Say = strings.TrimSpace(p.Say(say+pick(p.Units, "yard", "metre"), p.span(x.Mean.Per.Times(per)), currency))
		page.Of = p.Say("costs.of", p.Count("costs.lots", x.Mean.Lots), printable(p.Units.Volume(qty.CubicMetre(x.Mean.VolumeM3))))
		page.Parts = p.costParts(x.Mean, per)
	}
	if page.Asks && x.Mean != nil {
		was, err := s.costs.Costs(state, now, app.WhatIf{})
		if err != nil {
			return err
		}
		switch old := was.Mean.Per.Times(per); old.Best.Cmp(x.Mean.Per.Times(per).Best) {
		case 1:
			page.Tried = p.Say("costs.less", money(old.Best), money(old.Best.Sub(x.Mean.Per.Times(per).Best)))
		case -1:
			page.Tried = p.Say("costs.more", money(old.Best), money(x.Mean.Per.Times(per).Best.Sub(old.Best)))
		default:
			page.Tried = p.Say("costs.same", money(old.Best))
		}
	}
	for _, k := range x.NoPrice {
		page.Left = append(page.Left, Link{To: "/farm#money", Name: p.Say("cost.kind." + k), Note: p.Say("costs.used."+k, p.amountOf(x.All.Sum.Used[cost.Kind(k)]))})
	}
	for i, u := range x.Unknown {
		to := "/farm#money"
		if u.Entry != "" {
			to = "/journal/" + u.Entry
		}
		if i < 40 {
			page.Unknown = append(page.Unknown, Link{To: to, Name: p.Say("cost.kind." + u.Kind), Note: p.Words.List([]string{p.material(u.What), u.Of})})
		}
	}
	if page.Assumed, err = s.costAssumed(p); err != nil {
		return err
	}
	page.Waiting = p.Say("costs.waiting", p.span(x.Waiting.Sum.Total), p.span(x.All.Sum.Total))
	lots := p.costRows(x.Lots, per, func(r app.CostRow) (string, string) { return p.Say("lot.title", r.Name), lotTo(r.Name) })
	page.Lots = lots[:min(len(lots), openLots)]
	if page.MoreLots = lots[len(page.Lots):]; len(page.MoreLots) > 0 {
		page.MoreSay = p.Count("trace.more", len(page.MoreLots))
	}
	page.Months = p.costRows(x.Months, per, func(r app.CostRow) (string, string) {
		if t, err := time.Parse(journal.MonthLayout, r.Name); err == nil {
			return p.Say("costs.month", p.Words.Month(t), t.Year()), ""
		}
		return r.Name, ""
	})
	for _, g := range x.Products {
		if g.Product == app.ProductWorms || g.Product == app.ProductKits {
			page.WormSay = p.Say("costs.wormsay")
		}
		page.Products = append(page.Products, p.productRow(g))
	}
	return s.draw(w, "costs", http.StatusOK, page)
}

// costParts gives the parts of what a cubic yard costs, each with a bar.
func (p person) costParts(m *app.CostMean, per decimal.Decimal) (out []ShareShown) {
	for _, k := range cost.Kinds() {
		x, there := m.Parts[k]
		missing := slices.Contains(m.Without, string(k))
		if !there && !missing {
			continue
		}
		row := ShareShown{Name: p.Say("cost.kind." + string(k)), Share: p.span(x.Times(per))}
		if !m.Per.Best.IsZero() {
			part, _ := x.Best.Div(m.Per.Best).Float64()
			row.Bar = qty.Figures(max(100*part, 0.6))
		}
		switch {
		case missing && !there:
			row.Share, row.Bar, row.Note = p.Say("costs.notin"), "", p.Say("costs.notsaid")
		case missing:
			row.Note = p.Say("costs.partly")
		}
		out = append(out, row)
	}
	return out
}

// costRows gives lots or months with what a cubic yard of each cost, and a bar of it.
func (p person) costRows(rows []app.CostRow, per decimal.Decimal, called func(app.CostRow) (name, to string)) []ShareShown {
	most := decimal.Zero
	for _, r := range rows {
		most = decimal.Max(most, r.Per.Best)
	}
	out := []ShareShown{}
	for _, r := range rows {
		line := ShareShown{Share: p.Say("costs.unknown")}
		line.Name, line.To = called(r)
		notes := []string{p.Say("costs.spent", p.span(r.Sum.Total))}
		if r.VolumeM3 != nil {
			line.Share = p.span(r.Per.Times(per))
			notes = append(notes, p.Say("costs.tosell", printable(p.Units.Volume(qty.CubicMetre(*r.VolumeM3)))))
			if most.IsPositive() {
				line.Bar = qty.Figures(max(100*r.Per.Best.Div(most).InexactFloat64(), 0.6))
			}
		}
		var without []string
		for _, k := range r.Without {
			without = append(without, lowered(p.Say("cost.kind."+k)))
		}
		if without != nil {
			notes = append(notes, p.Say("costs.lacks", p.Words.List(without)))
		}
		line.Note = strings.Join(notes, p.Say("list.comma"))
		out = append(out, line)
	}
	return out
}

func (p person) productRow(g app.ProductRow) ShareShown {
	out := ShareShown{Name: p.productName(g), Share: p.span(g.Margins)}
	notes := []string{p.Say("costs.soldfor", money(g.Money)), p.Say("costs.itcost", p.span(g.Costs))}
	if g.MassKg > 0 {
		notes = append(notes, printable(p.Units.Mass(g.MassKg)))
	}
	if g.Number > 0 && g.Product == app.ProductKits {
		notes = append(notes, p.Count("costs.kitcount", g.Number))
	}
	if g.Unpriced > 0 {
		notes = append(notes, p.Count("costs.unpriced", g.Unpriced))
	}
	if g.Waits > 0 {
		notes = append(notes, p.Count("costs.nobed", g.Waits))
	}
	if g.NoParts > 0 {
		notes = append(notes, p.Say("costs.noparts"))
	}
	out.Note = strings.Join(notes, p.Say("list.comma"))
	return out
}

func (p person) productName(g app.ProductRow) string {
	switch g.Product {
	case app.ProductBags:
		if g.SizeM3 > 0 {
			return p.Say("costs.bagof", printable(p.volumeText(qty.CubicMetre(g.SizeM3))))
		}
		return p.Say("costs.bags")
	case app.ProductLooseVolume:
		return p.Say("costs.loosevolume")
	case app.ProductLooseMass:
		return p.Say("costs.loosemass")
	case app.ProductWorms:
		return p.Say("costs.worms")
	case app.ProductKits:
		return p.Say("costs.kits")
	}
	return g.Product
}

// amountOf prints hours, kWh or bags with their range.
func (p person) amountOf(x cost.Span) string {
	show := func(d decimal.Decimal) string { return thousands(int(d.Round(0).IntPart())) }
	if low, high := show(x.Low), show(x.High); low != high {
		return p.Say("costs.range", show(x.Best), low, high)
	}
	return show(x.Best)
}

// costAssumed tells what acts are taken to last, and where to set it.
func (s *Server) costAssumed(p person) ([]Fact, error) {
	t, err := app.Tempo(s.Farm.State())
	if err != nil {
		return nil, err
	}
	var out []Fact
	for _, act := range app.TimedActs() {
		x := t.Minutes[act]
		say := p.Say("costs.minutes", x.Best.String())
		if x.Ranged() {
			say = p.Say("costs.minutesrange", x.Best.String(), x.Low.String(), x.High.String())
		}
		out = append(out, Fact{Name: p.Say("costs.act." + act), Value: say, Working: "/farm#money"})
	}
	return out, nil
}
