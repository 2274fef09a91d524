package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/shopspring/decimal"

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
	if read := p.importedOrders(r); read != "" {
		page.Said = read
	}
	x := app.Orders(state, p.Now, true)
	open, late := 0, 0
	groups := map[string]*OrderGroup{}
	var order []string
	for _, o := range x.Orders {
		row := s.orderRow(p, o)
		if o.Closed() {
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
		} else if due, ok := o.Booked.DueBy(p.Zone); ok {
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
	var wants, left []string
	for _, l := range o.Lines {
		wants = append(wants, p.orderAmount(l.Order, l.Wanted))
		if !l.Closed() {
			left = append(left, p.orderAmount(l.Order, l.Left))
		}
	}
	out := ShareShown{Name: p.Say("orders.row", o.Customer, strings.Join(wants, p.Say("list.comma"))), To: orderTo(o.Entry), Share: p.Say("order.state." + o.State)}
	var notes []string
	if due, ok := o.Booked.DueBy(p.Zone); ok {
		notes = append(notes, p.Say("orders.due", p.Words.Date(due)))
	}
	if o.State == string(farm.OrderPart) {
		notes = append(notes, p.Say("orders.left", strings.Join(left, p.Say("list.comma"))))
		out.Bar = qty.Figures(min(max(100*o.Part(), 0.6), 100))
	}
	if o.Worth != nil && !o.Closed() && *o.Worth > 0 {
		notes = append(notes, strings.TrimSpace(p.coins(*o.Worth)+" "+s.Farm.State().Settings.Money.Currency))
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

func (p person) coins(v float64) string { return money(decimal.NewFromFloat(v)) }

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
	Lines          []OrderPart // of an order of several products
	Sales          []EntryLine
	Notes          []Link // delivery notes
	NoSales        string
}

// OrderPart is one product of an order of several.
type OrderPart struct {
	Head  string
	Facts []Fact
	Acts  []Link
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
	page := OrderPage{Frame: s.frame(r, p, p.Say("order.title", o.Customer), "more")}
	page.One, page.Heading = true, page.Title
	to := orderTo(o.Entry)
	several := len(o.Lines) > 1
	if !o.Closed() {
		page.Acts = append(page.Acts, Link{To: to + "/deliver", Name: p.Say("order.deliver"), Main: true})
	}
	state := lowered(p.Say("order.state." + o.State))
	if several {
		page.Under = p.Say("order.under", p.Count("order.products", len(o.Lines)), state)
		if !o.Closed() {
			page.Acts = append(page.Acts, Link{To: to + "/cancel", Name: p.Say("order.cancelall")})
		}
		for _, l := range o.Lines {
			query := "?line=" + strconv.Itoa(l.Line)
			page.Lines = append(page.Lines, OrderPart{Head: p.Say("order.line", l.Line, p.orderAmount(l.Order, l.Wanted)), Facts: append([]Fact{{Name: p.Say("order.state"), Value: p.Say("order.state." + l.State)}}, s.orderFacts(p, l)...), Acts: p.orderActs(l, to, query)})
		}
	} else {
		page.Under = p.Say("order.under", p.orderAmount(o.Order, o.Wanted), state)
		page.Acts = append(page.Acts, p.orderActs(o.Lines[0], to, "")...)
		page.Facts = append([]Fact{{Name: p.Say("order.wanted"), Value: p.orderAmount(o.Order, o.Wanted)}}, s.orderFacts(p, o.Lines[0])...)
	}
	page.Acts = append(page.Acts, Link{To: "/sale/" + url.PathEscape(o.Entry) + "/note.pdf", Name: p.Say("order.paper")})
	if several && o.Worth != nil && !o.Closed() {
		page.Facts = append(page.Facts, Fact{Name: p.Say("order.leftworth"), Value: strings.TrimSpace(p.coins(*o.Worth) + " " + s.Farm.State().Settings.Money.Currency)})
	}
	if o.Ref != "" {
		page.Facts = append(page.Facts, Fact{Name: p.Say("order.ref"), Value: o.Ref})
	}
	page.Facts = append(page.Facts, Fact{Name: p.Say("order.entered"), Value: p.Moment(o.At), Working: "/journal/" + o.Entry})
	noted := map[string]bool{}
	sold := func(d farm.Delivered, amount string) {
		day := p.Words.Date(d.At.In(p.Zone))
		what := p.Say("order.part", day)
		if amount != "" {
			what = p.Say("order.partof", day, amount)
		}
		if d.Lot != "" {
			what = p.Say("order.ofalot", what, d.Lot)
		}
		page.Sales = append(page.Sales, EntryLine{To: "/journal/" + d.Entry, Say: what})
		if d.Lot == "" && d.Delivery == "" || d.Delivery != "" && noted[d.Delivery] {
			return
		}
		noted[d.Delivery] = true
		page.Notes = append(page.Notes, Link{To: "/sale/" + url.PathEscape(d.Entry) + "/note.pdf", Name: p.Say("order.note", day)})
	}
	for _, l := range o.Lines {
		for _, d := range l.Order.Sales {
			amount := ""
			if d.Known {
				amount = p.orderAmount(l.Order, d.Amount)
			} else if several {
				amount = l.What
			}
			sold(d, amount)
		}
	}
	for _, d := range o.Booked.Other {
		sold(d, p.Say("order.whichproduct"))
	}
	if len(page.Sales) == 0 {
		page.NoSales = p.Say("order.nosales")
	}
	return s.draw(w, "order", http.StatusOK, page)
}

// orderFacts tells how far a product of an order has come.
func (s *Server) orderFacts(p person, l app.OrderedProduct) (out []Fact) {
	add := func(key, value string) {
		if value != "" {
			out = append(out, Fact{Name: p.Say(key), Value: value})
		}
	}
	if l.Delivered > 0 {
		add("order.got", p.orderAmount(l.Order, l.Delivered))
	}
	if l.Left > 0 {
		add("order.left", p.orderAmount(l.Order, l.Left))
	}
	if due, ok := l.Order.DueBy(p.Zone); ok {
		day := p.Words.Date(due)
		if l.Overdue {
			day = p.Say("orders.latesince", day)
		}
		add("order.due", day)
	}
	if worth, ok := l.Order.Worth(l.Wanted); ok {
		key := "order.bylist"
		if l.Order.Priced {
			key = "order.agreed"
		}
		add("order.worth", strings.TrimSpace(p.Say(key, p.coins(float64(worth)), s.Farm.State().Settings.Money.Currency)))
	}
	add("order.why", l.Why)
	return out
}

// orderActs gives what can be done with a product of an order.
func (p person) orderActs(l app.OrderedProduct, to, query string) (out []Link) {
	if l.Closed() {
		return nil
	}
	if !l.Order.Listed { // it may be castings, which are delivered with all the rest, or worms
		out = append(out, Link{To: to + "/worms" + query, Name: p.Say("order.worms")})
	}
	cancel := p.Say("order.cancel")
	if query != "" {
		cancel = p.Say("order.cancelline")
	}
	return append(out, Link{To: to + "/cancel" + query, Name: cancel})
}

// orderAct is a form about an order: its delivery, worms of a product that no price list
// has, or its end. Of an
// order of several products it is about one of them, or it ends all of it.
func (s *Server) orderAct(w http.ResponseWriter, r *http.Request, p person) error {
	o, err := s.orderOf(p, r.PathValue("id"))
	if err != nil {
		return err
	}
	act := r.PathValue("act")
	if act == "deliver" {
		return s.deliver(w, r, p, o)
	}
	to := orderTo(o.Entry) + "/" + act
	sh := slip{back: orderTo(o.Entry), fixed: map[string]string{"order": o.Entry}, preset: map[string]string{}, offer: map[string][]Option{}}
	line, all := o.Lines[0], len(o.Lines) == 1
	if text := r.URL.Query().Get("line"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > len(o.Lines) {
			return missing{p.Say("order.noline", len(o.Lines))}
		}
		line, all = o.Lines[n-1], true
		to += "?line=" + text
		sh.fixed["line"] = text
	}
	if !all && act != "cancel" {
		seeOther(w, r, orderTo(o.Entry))
		return nil
	}
	sh.action = to
	page := EntryPage{BackTo: orderTo(o.Entry), BackName: p.Say("order.title", o.Customer)}
	left := line.Left
	price := ""
	if worth, ok := line.Order.Worth(left); ok && left > 0 {
		price = plainNumber(float64(worth))
	}
	under := p.Say("order.leftsay", p.orderAmount(line.Order, left))
	switch act {
	case "worms":
		sh.kind, sh.open = "worms sold", []string{"bins", "kg", "number", "price"}
		if line.Order.Listed {
			sh.fixed["what"] = line.Order.Product.Name
		}
		sh.fixed["customer"], sh.preset["price"] = o.Customer, price
		if line.Count == farm.CountPieces && left > 0 {
			sh.preset["number"] = qty.Figures(left)
			if m := line.Order.Product.Mass; m != nil {
				sh.preset["kg"] = p.massText(*m * qty.WetKg(left))
			}
		} else if line.Count == farm.CountMass && left > 0 {
			sh.preset["kg"] = p.massText(qty.WetKg(left))
		}
	case "cancel":
		sh.kind = "cancel order"
		sh.open = []string{"why"}
		if !all {
			var still []string
			for _, l := range o.Lines {
				if !l.Closed() {
					still = append(still, p.orderAmount(l.Order, l.Left))
				}
			}
			under = p.Say("order.leftsay", strings.Join(still, p.Say("list.comma")))
			sh.fixed["line"] = ""
		}
	default:
		return missing{p.Say("fault.nopage")}
	}
	kind, _ := p.kindNamed(sh.kind)
	page.Frame, page.Heading, page.Under = s.frame(r, p, kind.Words, "more"), p.Say("order.act."+act, o.Customer), under
	page.One = true
	return s.entryForm(w, r, p, sh, page)
}

// yards gives a volume as the box of a sale holds it.
func (p person) yards(v qty.CubicMetre) string {
	if p.Units == qty.US {
		return qty.Figures(float64(v) / qty.M3PerCubicYard)
	}
	return qty.Figures(float64(v))
}
