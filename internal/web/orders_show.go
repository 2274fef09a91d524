package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// OrdersPage is the order book and the price list.
type OrdersPage struct {
	Frame
	Under, Empty string
	Groups       []OrderGroup
	Weeks        []Fact
	Stale        []ShareShown
	StaleHead    string
	Closed       []ShareShown
	ClosedHead   string
	Prices       []Fact
	NoPrices     string
}

// OrderGroup is the orders that are due in one week.
type OrderGroup struct {
	Head string
	Rows []ShareShown
}

// shownClosed is how many orders that are closed stand on the page.
const shownClosed = 60

func orderTo(id string) string { return "/order/" + url.PathEscape(id) }

func (s *Server) ordersShow(w http.ResponseWriter, r *http.Request, p person) error {
	state := s.Farm.State()
	page := OrdersPage{Frame: s.frame(r, p, p.Say("orders.title"), "more")}
	page.One = true
	page.Said = p.importedOrders(r)
	x := app.Orders(state, p.Now, true)
	open, late := 0, 0
	groups := map[string]*OrderGroup{}
	var order []string
	for _, o := range x.Orders {
		row := s.orderRow(p, o)
		if o.State == string(farm.OrderDone) || o.State == string(farm.OrderCancelled) {
			page.Closed = append(page.Closed, row)
			continue
		}
		if o.Stale {
			page.Stale = append(page.Stale, row)
			continue
		}
		open++
		key := ""
		if o.Overdue {
			key, late = "late", late+1
		} else if due, ok := o.Line.DueBy(p.Zone); ok {
			key = due.AddDate(0, 0, -(int(due.Weekday())+6)%7).Format(journal.DayLayout)
		}
		if groups[key] == nil {
			groups[key] = &OrderGroup{Head: p.weekHead(key)}
			order = append(order, key)
		}
		groups[key].Rows = append(groups[key].Rows, row)
	}
	for _, key := range order {
		page.Groups = append(page.Groups, *groups[key])
	}
	page.Under = p.Count("orders.open", open)
	if late > 0 {
		page.Under = p.Say("orders.openlate", page.Under, p.Count("orders.late", late))
	}
	if len(x.Orders) == 0 {
		page.Under, page.Empty = "", p.Say("orders.empty")
	}
	if n := len(page.Stale); n > 0 {
		slices.Reverse(page.Stale)
		page.StaleHead = p.Count("orders.stale", n)
		page.Stale = page.Stale[:min(n, shownClosed)]
	}
	slices.Reverse(page.Closed) // the newest due day first
	if n := len(page.Closed); n > 0 {
		page.ClosedHead = p.Count("orders.closed", n)
		page.Closed = page.Closed[:min(n, shownClosed)]
	}
	for _, week := range x.Weeks {
		var parts []string
		for _, g := range week.Products {
			parts = append(parts, p.openProduct(g))
		}
		head := p.weekHead(week.Week)
		if week.Overdue {
			head = p.Say("orders.withlate", head)
		}
		page.Weeks = append(page.Weeks, Fact{Name: head, Value: strings.Join(parts, p.Say("list.semicolon"))})
	}
	for _, g := range state.Settings.Money.Products {
		page.Prices = append(page.Prices, Fact{Name: g.Name, Value: p.priceSay(g, x.Currency)})
	}
	if len(page.Prices) == 0 {
		page.NoPrices = p.Say("orders.noprices")
	}
	return s.draw(w, "orders", http.StatusOK, page)
}

// weekHead calls a week by its Monday.
func (p person) weekHead(key string) string {
	if key == "late" {
		return p.Say("orders.overdue")
	}
	t, err := time.ParseInLocation(journal.DayLayout, key, p.Zone)
	if err != nil {
		return p.Say("orders.noday")
	}
	return p.Say("orders.week", p.Words.Date(t))
}

func (s *Server) orderRow(p person, o app.OrderShort) ShareShown {
	out := ShareShown{Name: p.Say("orders.row", o.Customer, p.orderAmount(o.Line, o.Wanted)), To: orderTo(o.Entry), Share: p.Say("order.state." + o.State)}
	var notes []string
	if due, ok := o.Line.DueBy(p.Zone); ok {
		notes = append(notes, p.Say("orders.due", p.Words.Date(due)))
	}
	if o.State == string(farm.OrderPart) {
		notes = append(notes, p.Say("orders.left", p.orderAmount(o.Line, o.Left)))
		if o.Wanted > 0 {
			out.Bar = qty.Figures(min(max(100*o.Delivered/o.Wanted, 0.6), 100))
		}
	}
	if o.Worth != nil && o.Left > 0 {
		notes = append(notes, p.coins(*o.Worth))
	}
	if o.Why != "" {
		notes = append(notes, o.Why)
	}
	if o.Ref != "" {
		notes = append(notes, o.Ref)
	}
	out.Note = strings.Join(notes, p.Say("list.comma"))
	return out
}

func (p person) coins(v float64) string { return fmt.Sprintf("%.2f", v) }

// orderAmount tells how much of what: "40 × bag", "2.5 yd³ cubic yard".
func (p person) orderAmount(o farm.OrderLine, amount float64) string {
	what := o.What
	if o.Listed {
		what = o.Product.Name
	}
	switch o.Count {
	case farm.CountPieces:
		return p.Say("orders.pieces", qty.Figures(amount), what)
	case farm.CountVolume:
		return p.Say("orders.of", printable(p.Units.Volume(qty.CubicMetre(amount))), what)
	case farm.CountMass:
		return p.Say("orders.of", printable(p.Units.Mass(amount)), what)
	}
	return what
}

func (p person) openProduct(g app.OpenProduct) string {
	var out string
	switch {
	case g.Pieces > 0:
		out = p.Say("orders.pieces", qty.Figures(g.Pieces), g.Product)
	case g.VolumeM3 > 0:
		out = p.Say("orders.of", printable(p.Units.Volume(qty.CubicMetre(g.VolumeM3))), g.Product)
	case g.MassKg > 0:
		out = p.Say("orders.of", printable(p.Units.Mass(g.MassKg)), g.Product)
	default:
		out = g.Product
	}
	if g.Worth != nil {
		out = p.Say("orders.worth", out, p.coins(*g.Worth))
	}
	return out
}

// priceSay tells a line of the price list.
func (p person) priceSay(g farm.ProductSetup, currency string) string {
	size := ""
	switch {
	case g.Volume != nil:
		size = printable(p.volumeText(*g.Volume))
	case g.Mass != nil:
		size = printable(p.massText(*g.Mass))
	}
	out := strings.TrimSpace(p.coins(float64(g.Price)) + " " + currency)
	if size != "" {
		out = p.Say("orders.each", out, size)
	}
	for _, st := range g.Steps {
		out += p.Say("list.comma") + p.Say("orders.from", st.From, p.coins(float64(st.Price)))
	}
	return out
}

// OrderPage is one order.
type OrderPage struct {
	Frame
	Heading, Under string
	Acts           []Link
	Facts          []Fact
	Sales          []EntryLine
	Notes          []Link // delivery notes
	NoSales        string
}

func (s *Server) orderOf(p person, id string) (app.OrderShort, error) {
	o, ok := app.OrderNamed(s.Farm.State(), id, p.Now)
	if !ok {
		return o, missing{p.Say("order.none")}
	}
	return o, nil
}

func (s *Server) orderShow(w http.ResponseWriter, r *http.Request, p person) error {
	o, err := s.orderOf(p, r.PathValue("id"))
	if err != nil {
		return err
	}
	line := o.Line
	page := OrderPage{Frame: s.frame(r, p, p.Say("order.title", o.Customer), "more")}
	page.One, page.Heading = true, page.Title
	page.Under = p.Say("order.under", p.orderAmount(line, o.Wanted), lowered(p.Say("order.state."+o.State)))
	to := orderTo(o.Entry)
	if o.State == string(farm.OrderOpen) || o.State == string(farm.OrderPart) {
		worms := line.Listed && line.Product.Living()
		if !worms {
			page.Acts = append(page.Acts, Link{To: to + "/deliver", Name: p.Say("order.deliver"), Main: true})
		}
		if worms || !line.Listed {
			page.Acts = append(page.Acts, Link{To: to + "/worms", Name: p.Say("order.worms"), Main: worms})
		}
		page.Acts = append(page.Acts, Link{To: to + "/cancel", Name: p.Say("order.cancel")})
	}
	page.Acts = append(page.Acts, Link{To: "/sale/" + url.PathEscape(o.Entry) + "/note.pdf", Name: p.Say("order.paper")})
	add := func(key, value string) {
		if value != "" {
			page.Facts = append(page.Facts, Fact{Name: p.Say(key), Value: value})
		}
	}
	add("order.wanted", p.orderAmount(line, o.Wanted))
	if o.Delivered > 0 {
		add("order.got", p.orderAmount(line, o.Delivered))
	}
	if o.Left > 0 {
		add("order.left", p.orderAmount(line, o.Left))
	}
	if due, ok := line.DueBy(p.Zone); ok {
		day := p.Words.Date(due)
		if o.Overdue {
			day = p.Say("orders.latesince", day)
		}
		add("order.due", day)
	}
	if worth, ok := line.Worth(o.Wanted); ok {
		key := "order.bylist"
		if line.Priced {
			key = "order.agreed"
		}
		add("order.worth", strings.TrimSpace(p.Say(key, p.coins(float64(worth)), s.Farm.State().Settings.Money.Currency)))
	}
	add("order.ref", o.Ref)
	add("order.why", o.Why)
	page.Facts = append(page.Facts, Fact{Name: p.Say("order.entered"), Value: p.Moment(o.At), Working: "/journal/" + o.Entry})
	for _, d := range line.Sales {
		what := p.Say("order.part", p.Words.Date(d.At.In(p.Zone)))
		if d.Known {
			what = p.Say("order.partof", p.Words.Date(d.At.In(p.Zone)), p.orderAmount(line, d.Amount))
		}
		if d.Lot != "" {
			what = p.Say("order.ofalot", what, d.Lot)
			page.Notes = append(page.Notes, Link{To: "/sale/" + url.PathEscape(d.Entry) + "/note.pdf", Name: p.Say("order.note", p.Words.Date(d.At.In(p.Zone)))})
		}
		page.Sales = append(page.Sales, EntryLine{To: "/journal/" + d.Entry, Say: what})
	}
	if len(page.Sales) == 0 {
		page.NoSales = p.Say("order.nosales")
	}
	return s.draw(w, "order", http.StatusOK, page)
}

// orderAct is a form about an order: a delivery of castings or worms, or its end.
func (s *Server) orderAct(w http.ResponseWriter, r *http.Request, p person) error {
	o, err := s.orderOf(p, r.PathValue("id"))
	if err != nil {
		return err
	}
	act := r.PathValue("act")
	sh := slip{action: orderTo(o.Entry) + "/" + act, back: orderTo(o.Entry), fixed: map[string]string{"order": o.Entry}, preset: map[string]string{}, offer: map[string][]Option{}}
	page := EntryPage{BackTo: orderTo(o.Entry), BackName: p.Say("order.title", o.Customer)}
	left := o.Left
	if o.State == string(farm.OrderDone) || o.State == string(farm.OrderCancelled) {
		left = 0
	}
	price := ""
	if worth, ok := o.Line.Worth(left); ok && left > 0 {
		price = plainNumber(float64(worth))
	}
	switch act {
	case "deliver":
		sh.kind, sh.care = "sell", ""
		s.deliverSlip(p, &sh, o.Line, left)
		sh.preset["price"] = price
	case "worms":
		sh.kind, sh.open = "worms sold", []string{"bins", "kg", "number", "price"}
		if o.Line.Listed {
			sh.fixed["what"] = o.Line.Product.Name
		}
		sh.fixed["customer"], sh.preset["price"] = o.Customer, price
		if o.Line.Count == farm.CountPieces && left > 0 {
			sh.preset["number"] = qty.Figures(left)
			if m := o.Line.Product.Mass; m != nil {
				sh.preset["kg"] = p.massText(*m * qty.WetKg(left))
			}
		} else if o.Line.Count == farm.CountMass && left > 0 {
			sh.preset["kg"] = p.massText(qty.WetKg(left))
		}
	case "cancel":
		sh.kind = "cancel order"
	default:
		return missing{p.Say("fault.nopage")}
	}
	kind, _ := p.kindNamed(sh.kind)
	page.Frame, page.Heading, page.Under = s.frame(r, p, kind.Words, "more"), p.Say("order.act."+act, o.Customer), p.Say("order.leftsay", p.orderAmount(o.Line, left))
	page.One = true
	return s.entryForm(w, r, p, sh, page)
}

// deliverSlip lays out the sale that delivers an order: the lots that hold something of
// it to choose from, released ones first, and what is left of the order filled in.
func (s *Server) deliverSlip(p person, sh *slip, o farm.OrderLine, left float64) {
	sh.fixed["customer"] = o.Customer
	if o.Listed {
		sh.fixed["what"] = o.Product.Name
	}
	amount := []string{"volume_m3"}
	switch {
	case o.Listed && (o.Product.Kind() == farm.SoldBags || o.Product.Kind() == farm.SoldTotes):
		amount = []string{"bags"}
		if o.Product.Volume != nil {
			sh.fixed["size_m3"] = p.volumeText(*o.Product.Volume)
		}
		if ones, ok := o.Ones(left); ok && left > 0 {
			sh.preset["bags"] = qty.Figures(float64(int(ones + 0.5)))
		}
	case o.Count == farm.CountMass:
		amount = []string{"mass_kg_wet"}
		if left > 0 {
			sh.preset["mass_kg_wet"] = p.massText(qty.WetKg(left))
		}
	case o.Count == farm.CountPieces && !o.Listed:
		amount = []string{"bags"}
		sh.preset["bags"] = qty.Figures(left)
	default:
		if v, ok := o.Castings(left, 0); ok && left > 0 {
			sh.preset["volume_m3"] = p.yards(v)
		}
	}
	for _, l := range app.LotsFor(s.Farm.State(), o) {
		say := p.Say("order.lot", l.Lot, printable(p.Units.Volume(l.Loose)))
		if amount[0] == "bags" {
			say = p.Say("order.lotbags", l.Lot, p.Count("trace.bags", l.Bags))
		}
		switch {
		case l.Held:
			say = p.Say("order.lotheld", say, l.Why)
		case !l.Released:
			say = p.Say("order.lotraw", say)
		}
		sh.offer["lot"] = append(sh.offer["lot"], Option{Value: l.Lot, Label: say})
	}
	sh.open = slices.Concat([]string{"lot"}, amount, []string{"price", "note"})
}

// yards gives a volume as the box of a sale holds it.
func (p person) yards(v qty.CubicMetre) string {
	if p.Units == qty.US {
		return qty.Figures(float64(v) / qty.M3PerCubicYard)
	}
	return qty.Figures(float64(v))
}
