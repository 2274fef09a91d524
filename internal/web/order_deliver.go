package web

import (
	"errors"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wormyard/farm"
	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// DeliverPage takes what goes out to one customer together: each product of an order
// that is still to come, out of as many lots or bins as it takes.
type DeliverPage struct {
	Frame
	Heading, Under, Action, ID, Order, Back, BackName, Submit, Care string
	Problems, Doubts                                                []Complaint
	Yes                                                             string
	Lines                                                           []DeliverLine
	Foot, When                                                      []Field
	WhenLabel                                                       string
	WhenOpen                                                        bool
}

// DeliverLine is one product of a delivery: a row a lot.
type DeliverLine struct {
	Head   string
	None   string  // why nothing can be loaded
	Fields []Field // its rows, and its price
}

// deliveryKind is what a delivery is called that a device sends: it becomes a sale a lot.
const deliveryKind = "delivery"

// mostLoads is how many lots one product of a delivery is taken of at most.
const mostLoads = 30

// loadsOf names the rows of a product, and rowOf a box of one: "load_2.0.lot" is that of the
// first load of product 2.
func loadsOf(line int) string { return "load_" + strconv.Itoa(line) }

func rowOf(box string, line, load int) string { return setBox(loadsOf(line), load, box) }

// delivering is a delivery as it is typed.
type delivering struct {
	lines    []app.OrderedProduct // that are still to come, or of which something is typed
	v        values
	rows     map[int]int // how many loads of each product
	problems []app.Problem
}

// deliver lays out the delivery of an order, or writes it down: all of it or nothing.
func (s *Server) deliver(w http.ResponseWriter, r *http.Request, p person, o app.OrderShort) error {
	if r.Method != http.MethodPost {
		return s.draw(w, "orderdeliver", http.StatusOK, s.deliverPage(r, p, o, s.planned(p, o)))
	}
	button := r.PostForm.Get(rowButton)
	dropTyped(r.PostForm, button)
	d := s.deliveryIn(r, p, o, r.PathValue("id"))
	if button != "" {
		for _, l := range d.lines {
			if button == "+"+loadsOf(l.Line) {
				d.rows[l.Line] = min(d.rows[l.Line]+1, mostLoads)
			}
		}
		d.problems = nil
		return s.draw(w, "orderdeliver", http.StatusOK, s.deliverPage(r, p, o, d))
	}
	saved, err := s.writeDelivery(r, p, o, &d)
	if err != nil {
		return err
	}
	if saved != "" {
		seeOther(w, r, withSaid(orderTo(o.Entry), saved))
		return nil
	}
	return s.draw(w, "orderdeliver", http.StatusUnprocessableEntity, s.deliverPage(r, p, o, d))
}

// planned lays out what is still to come of an order; of a closed one all of it, empty.
func (s *Server) planned(p person, o app.OrderShort) delivering {
	d := delivering{v: values{}, rows: map[int]int{}}
	for _, l := range o.Lines {
		if !l.Closed() {
			d.lines = append(d.lines, l)
		}
	}
	if len(d.lines) == 0 {
		d.lines = o.Lines
	}
	state := s.Farm.State()
	for _, l := range d.lines {
		plan := app.PlanLoads(state, l.Order)
		plan = plan[:min(len(plan), mostLoads)]
		for k, x := range plan {
			d.v[rowOf("lot", l.Line, k)], d.v[rowOf("amount", l.Line, k)] = x.Lot, p.loadText(l.Order, x.Amount)
		}
		if len(plan) == 0 && len(d.lines) == 1 { // of several, what is typed is what goes
			if left, ok := app.Loaded(l.Order, l.Left); ok && left > 0 {
				d.v[rowOf("amount", l.Line, 0)] = p.loadText(l.Order, left)
				if m := l.Order.Product.Mass; l.Order.Product.Kind() == farm.SoldKits && m != nil {
					d.v[rowOf("kg", l.Line, 0)] = p.pounds(*m * qty.WetKg(left))
				}
			}
		}
		d.rows[l.Line] = max(len(plan), 1)
	}
	return d
}

// deliveryIn reads what was typed for the order of an id, which o may have taken the place
// of since.
func (s *Server) deliveryIn(r *http.Request, p person, o app.OrderShort, id string) delivering {
	d := delivering{v: values{}, rows: map[int]int{}}
	for _, key := range []string{"id", "note", "at", "who"} {
		d.v[key] = typed(r, key)
	}
	for _, l := range o.Lines {
		was := lineThen(o, id, l.Line)
		rows := typedRows(r.PostForm, journal.Field{Key: loadsOf(was)})
		if l.Closed() && len(rows) == 0 {
			continue
		}
		if len(rows) > mostLoads {
			d.problems = append(d.problems, app.Problem{Field: loadsOf(l.Line), Say: p.Say("form.rowsmany", l.What, len(rows), mostLoads), Try: p.Say("form.rowsmanytry")})
			rows = rows[:mostLoads]
		}
		d.lines, d.rows[l.Line] = append(d.lines, l), max(len(rows), 1)
		d.v["price_"+strconv.Itoa(l.Line)] = typed(r, "price_"+strconv.Itoa(was))
		for k, row := range rows {
			for box, text := range row {
				d.v[rowOf(box, l.Line, k)] = text
			}
		}
	}
	return d
}

// writeDelivery writes a delivery down, or puts into it what is wrong.
func (s *Server) writeDelivery(r *http.Request, p person, o app.OrderShort, d *delivering) (saved string, err error) {
	loads, from, prices, problems := s.readLoads(p, d.lines, d.v, d.rows)
	when, ps := moment(p, d.v["at"])
	if d.problems = slices.Concat(d.problems, problems, ps); len(d.problems) > 0 {
		return "", nil
	}
	like := journal.Entry{ID: d.v["id"], At: when, Who: d.v["who"], Device: deviceOf(p)}
	if like.Who == "" || p.In.Guarded {
		like.Who = p.Who
	}
	if when.IsZero() {
		like.At = p.Now
	}
	entries := app.Deliver(like, o.Customer, d.v["note"], loads, prices)
	if known, _, found := s.entry(like.ID); found {
		if known.Kind == entries[0].Kind && sameBody(known.Body, entries[0].Body) {
			return known.ID, nil
		}
		d.problems = []app.Problem{{Say: p.Say("outbox.other"), Try: p.Say("outbox.othertry")}}
		return "", nil
	}
	saved, d.problems, err = s.writeLoads(r, entries, from)
	return saved, err
}

// outboxDelivery writes down a delivery that a device sends.
func (s *Server) outboxDelivery(r *http.Request, p person, out *outboxResult) error {
	id := typed(r, "order")
	o, ok := app.OrderNamed(s.Farm.State(), id, p.Now)
	if !ok {
		out.refuse(p.Say("order.none"), p.Say("deliver.nonetry"))
		return nil
	}
	d := s.deliveryIn(r, p, o, id)
	saved, err := s.writeDelivery(r, p, o, &d)
	if err != nil {
		return err
	}
	if saved != "" {
		out.State = "saved"
		return nil
	}
	page := s.deliverPage(r, p, o, d)
	out.complain(page.Problems, page.Doubts, page.Yes)
	return nil
}

// lineThen gives the number that a product of an order had in the order of an id, which
// this one may have taken the place of since the form was opened; 0 where it was not in it.
func lineThen(o app.OrderShort, id string, line int) int {
	for _, b := range o.Booked.Before {
		if b.Entry != id {
			continue
		}
		for n := range b.Parts {
			if l := o.Booked.LineOf(id, n+1, "", 0); l != nil && l.Line == line {
				return n + 1
			}
		}
		return 0
	}
	return line
}

// writeLoads records the sales of a delivery, all or none, with what is wrong on the
// boxes of its loads.
func (s *Server) writeLoads(r *http.Request, entries []journal.Entry, from []string) (saved string, problems []app.Problem, err error) {
	acks, err := s.Farm.RecordAll(r.Context(), entries, false)
	if err != nil {
		return "", nil, err
	}
	told := func(acks []app.Ack) (out []app.Problem) {
		for i, a := range acks {
			for _, x := range a.Problems {
				switch box := map[string]string{"bags": "amount", "volume_m3": "amount", "mass_kg_wet": "amount", "number": "amount", "lot": "lot", "bins": "bins", "kg": "kg"}[x.Field]; {
				case box != "":
					x.Field = from[i] + box
				case x.Field == "price":
					line, _, _ := strings.Cut(strings.TrimPrefix(from[i], "load_"), ".")
					x.Field = "price_" + line
				}
				if !slices.ContainsFunc(out, func(y app.Problem) bool { return y.Say == x.Say && y.Field == x.Field }) {
					out = append(out, x)
				}
			}
		}
		return out
	}
	problems = told(acks)
	refused, doubtful := split(problems)
	if len(refused) == 0 && len(doubtful) > 0 && r.PostForm.Get("yes") == digest(doubtful) {
		if acks, err = s.Farm.RecordAll(r.Context(), entries, true); err != nil {
			return "", nil, err
		}
		problems = told(acks)
	}
	if len(problems) > 0 {
		return "", problems, nil
	}
	if len(acks) == 0 || !acks[0].Saved {
		return "", nil, errors.New("a delivery was not kept and nothing says why")
	}
	return acks[0].Entry.ID, nil, nil
}

// readLoads reads what was typed: what each lot and bin gives, the beginning of the names of
// its boxes, and the prices by product. A row without lot and amount is left out.
func (s *Server) readLoads(p person, open []app.OrderedProduct, v values, rows map[int]int) (loads []app.Load, from []string, prices map[int]qty.Money, problems []app.Problem) {
	prices = map[int]qty.Money{}
	refuse := func(field, say, try string) {
		problems = append(problems, app.Problem{Field: field, Say: say, Try: try})
	}
	bins := journal.Field{Key: "bins"}
	for _, l := range open {
		if text := v["price_"+strconv.Itoa(l.Line)]; text != "" {
			x, ok := app.Price(text)
			if !ok {
				refuse("price_"+strconv.Itoa(l.Line), p.Say("costs.noprice", l.What, text), p.Say("costs.nopricetry"))
			}
			prices[l.Line] = qty.Money(x.InexactFloat64())
		}
		living := l.Order.Listed && l.Order.Product.Living()
		seen := map[string]bool{}
		for k := range rows[l.Line] {
			box := func(name string) string { return rowOf(name, l.Line, k) }
			lot, amount, where, kg := v[box("lot")], v[box("amount")], v[box("bins")], v[box("kg")]
			if living && where == "" || !living && lot == "" {
				switch {
				case amount == "" && kg == "":
				case living:
					refuse(box("bins"), p.Say("deliver.nobins", l.What), p.Say("deliver.nobinstry"))
				default:
					refuse(box("lot"), p.Say("deliver.nolot", amount, l.What), p.Say("deliver.nolottry"))
				}
				continue
			}
			x := app.Load{Line: l.Order, Lot: lot}
			n, ok := p.readLoad(l.Order, amount)
			if !ok {
				refuse(box("amount"), p.Say("order.noamount", amount, l.What), p.Say("deliver.noamounttry"))
			}
			x.Amount = n
			if living {
				names, ps := s.binNames(bins, where)
				for _, q := range ps {
					q.Field = box("bins")
					problems = append(problems, q)
				}
				x.Bins, _ = names.([]string)
				if x.Kg = qty.LiveKg(n); app.LoadedIn(l.Order) == farm.CountPieces {
					m, err := qty.Parse(bareMass(p, kg), qty.Mass)
					if err != nil || m <= 0 {
						refuse(box("kg"), p.Say("deliver.nokg", l.What), p.Say("deliver.nokgtry"))
					}
					x.Kg = qty.LiveKg(m)
				}
			} else if seen[lot] {
				refuse(box("lot"), p.Say("deliver.twice", lot, l.What), p.Say("deliver.twicetry"))
			}
			seen[lot] = true
			loads, from = append(loads, x), append(from, box(""))
		}
	}
	if len(loads) == 0 && len(problems) == 0 {
		refuse("", p.Say("deliver.nothing"), p.Say("deliver.nothingtry"))
	}
	return loads, from, prices, problems
}

// bareMass gives a mass that is typed without a unit the unit of the person.
func bareMass(p person, text string) string {
	if _, bare := qty.Number(text); bare {
		return text + pick(p.Units, " lb", " kg")
	}
	return text
}

// readLoad reads an amount in what a product is loaded in.
func (p person) readLoad(o farm.OrderLine, text string) (float64, bool) {
	switch app.LoadedIn(o) {
	case farm.CountPieces:
		n, ok := qty.Number(text)
		return n, ok && n >= 1 && n == math.Trunc(n) && n <= 1e6
	case farm.CountMass:
		kg, err := qty.Parse(bareMass(p, text), qty.Mass)
		return kg, err == nil && kg > 0
	}
	if _, bare := qty.Number(text); bare {
		text += pick(p.Units, " yd3", " m3")
	}
	m3, err := qty.Parse(text, qty.Volume)
	return m3, err == nil && m3 > 0
}

// loadText gives an amount as the box of a load holds it.
func (p person) loadText(o farm.OrderLine, amount float64) string {
	switch app.LoadedIn(o) {
	case farm.CountPieces:
		return qty.Figures(math.Round(amount))
	case farm.CountMass:
		return p.pounds(qty.WetKg(amount))
	}
	return p.yards(qty.CubicMetre(amount))
}

// pounds gives a mass as a box with its unit beside it holds it.
func (p person) pounds(m qty.WetKg) string {
	if p.Units == qty.US {
		return qty.Figures(float64(m) / qty.KgPerPound)
	}
	return qty.Figures(float64(m))
}

// deliverPage lays a delivery out.
func (s *Server) deliverPage(r *http.Request, p person, o app.OrderShort, d delivering) DeliverPage {
	state := s.Farm.State()
	to := orderTo(o.Entry)
	page := DeliverPage{Frame: s.frame(r, p, p.Say("order.act.deliver", o.Customer), "more"), Action: to + "/deliver", ID: d.v["id"], Order: o.Entry, Back: to, BackName: p.Say("order.title", o.Customer), Submit: p.Say("deliver.submit"), Care: p.Say("deliver.care")}
	page.One, page.Heading, page.Under = true, page.Title, p.Say("deliver.under")
	if o.Closed() {
		page.Under = p.Say("deliver.closed", lowered(p.Say("order.state."+o.State)))
	}
	if page.ID == "" {
		page.ID = s.NewID(p.Now)
	}
	var groups [][]Field
	for _, l := range d.lines {
		living := l.Order.Listed && l.Order.Product.Living()
		head := p.orderAmount(l.Order, l.Wanted)
		if l.Left != l.Wanted {
			head = p.Say("deliver.line", head, p.orderAmount(l.Order, l.Left))
		}
		line := DeliverLine{Head: head}
		lots := app.LotsFor(state, l.Order)
		if len(lots) == 0 && !living {
			line.None = p.Say("deliver.nolots", l.What)
		} else if has := bagsReleased(lots); !living && l.Count == farm.CountPieces && float64(has) < l.Left {
			line.None = p.Say("deliver.short", has, qty.Figures(l.Left))
		}
		loads := Field{ID: "f-" + loadsOf(l.Line), Name: loadsOf(l.Line), Label: p.Say("deliver.lots")}
		if living {
			loads.Label = p.Say("deliver.bins")
		}
		for k := range d.rows[l.Line] {
			unit := map[string]string{farm.CountVolume: pick(p.Units, "yd3", "m3"), farm.CountMass: pick(p.Units, "lb", "kg")}[app.LoadedIn(l.Order)]
			amount := numberField(rowOf("amount", l.Line, k), p.Say("order.howmuch"), printable(unit), d.v[rowOf("amount", l.Line, k)])
			row := Set{Head: p.Say("form.row", k+1), Drop: "-" + loadsOf(l.Line) + "." + strconv.Itoa(k)}
			if living {
				row.Fields = []Field{textField(rowOf("bins", l.Line, k), p.Say("deliver.bins"), d.v[rowOf("bins", l.Line, k)]), amount}
				if app.LoadedIn(l.Order) == farm.CountPieces {
					row.Fields = append(row.Fields, numberField(rowOf("kg", l.Line, k), p.Say("deliver.kg"), pick(p.Units, "lb", "kg"), d.v[rowOf("kg", l.Line, k)]))
				}
			} else {
				row.Fields = []Field{s.lotField(p, l.Order, lots, rowOf("lot", l.Line, k), d.v[rowOf("lot", l.Line, k)]), amount}
			}
			loads.Sets = append(loads.Sets, row)
		}
		price := numberField("price_"+strconv.Itoa(l.Line), p.Say("deliver.price"), state.Settings.Money.Currency, d.v["price_"+strconv.Itoa(l.Line)])
		if worth, ok := l.Order.Worth(l.Left); ok && l.Left > 0 {
			price.Help = p.Say("deliver.pricehelp", p.coins(float64(worth)))
		}
		line.Fields = []Field{loads, price}
		groups = append(groups, line.Fields)
		page.Lines = append(page.Lines, line)
	}
	page.Foot = []Field{areaField("note", p.Say("deliver.note"), d.v["note"])}
	page.When, page.WhenLabel, page.WhenOpen = s.when(p, d.v["at"], d.v["who"])
	groups = append(groups, page.Foot, page.When)
	refused, doubtful := split(d.problems)
	page.Problems, page.Doubts, page.Yes = mark(refused, groups...), mark(doubtful, groups...), digest(doubtful)
	return page
}

// bagsReleased counts the bags of released lots that an order may be delivered of.
func bagsReleased(lots []app.OrderLot) (has int) {
	for _, l := range lots {
		if l.Released {
			has += l.Bags
		}
	}
	return has
}

// lotField offers the lots that hold something of a product: released ones first.
func (s *Server) lotField(p person, o farm.OrderLine, lots []app.OrderLot, name, value string) Field {
	options := []Option{{Value: "", Label: p.Say("deliver.pick")}}
	known := value == ""
	for _, l := range lots {
		say := p.Say("order.lot", l.Lot, printable(boxVolume(p.Units, l.Loose)))
		if app.LoadedIn(o) == farm.CountPieces {
			say = p.Say("order.lotbags", l.Lot, p.Count("trace.bags", l.Bags))
		}
		switch {
		case l.Held:
			say = p.Say("order.lotheld", say, l.Why)
		case !l.Released:
			say = p.Say("order.lotraw", say)
		}
		options = append(options, Option{Value: l.Lot, Label: say})
		known = known || l.Lot == value
	}
	if !known {
		options = append(options, Option{Value: value, Label: value})
	}
	return selectField(name, p.Say("deliver.lot"), value, options)
}
