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
	Heading, Under, Action, ID, Back, BackName, Submit, Care string
	Problems, Doubts                                         []Complaint
	Yes                                                      string
	Lines                                                    []DeliverLine
	Foot, When                                               []Field
	WhenLabel                                                string
	WhenOpen                                                 bool
}

// DeliverLine is one product of a delivery: a row a lot.
type DeliverLine struct {
	Head, Rows string // Rows is the name of the box that holds how many there are
	Count      int
	Loads      []DeliverLoad
	Add, More  string
	None       string // why nothing can be loaded
	Price      []Field
}

// DeliverLoad is what one lot gives.
type DeliverLoad struct {
	Fields    []Field
	Out, Drop string
}

// mostLoads is how many lots one product of a delivery is taken of at most.
const mostLoads = 30

// rowOf names a box of a load: "lot_2_0" is that of the first load of product 2.
func rowOf(box string, line, load int) string {
	return box + "_" + strconv.Itoa(line) + "_" + strconv.Itoa(load)
}

// deliver lays out the delivery of an order, or writes it down: all of it or nothing.
func (s *Server) deliver(w http.ResponseWriter, r *http.Request, p person, o app.OrderShort) error {
	state := s.Farm.State()
	v, rows := values{}, map[int]int{}
	var open []app.OrderedProduct
	for _, l := range o.Lines {
		if !l.Closed() {
			open = append(open, l)
		}
	}
	if len(open) == 0 {
		seeOther(w, r, orderTo(o.Entry))
		return nil
	}
	if r.Method != http.MethodPost {
		for _, l := range open {
			plan := app.PlanLoads(state, l.Order)
			plan = plan[:min(len(plan), mostLoads)]
			for k, x := range plan {
				v[rowOf("lot", l.Line, k)], v[rowOf("amount", l.Line, k)] = x.Lot, p.loadText(l.Order, x.Amount)
			}
			if len(plan) == 0 && len(open) == 1 { // of several, what is typed is what goes
				if left, ok := app.Loaded(l.Order, l.Left); ok && left > 0 {
					v[rowOf("amount", l.Line, 0)] = p.loadText(l.Order, left)
					if m := l.Order.Product.Mass; l.Order.Product.Kind() == farm.SoldKits && m != nil {
						v[rowOf("kg", l.Line, 0)] = p.pounds(*m * qty.WetKg(left))
					}
				}
			}
			rows[l.Line] = max(len(plan), 1)
		}
		return s.drawDeliver(w, r, p, o, open, v, rows, nil, http.StatusOK)
	}
	for _, key := range []string{"id", "note", "at", "who"} {
		v[key] = typed(r, key)
	}
	boxes := []string{"lot", "amount", "bins", "kg"}
	for _, l := range open {
		was := lineThen(o, r.PathValue("id"), l.Line)
		n, _ := strconv.Atoi(r.PostForm.Get("rows_" + strconv.Itoa(was)))
		rows[l.Line] = min(max(n, 1), mostLoads)
		v["price_"+strconv.Itoa(l.Line)] = typed(r, "price_"+strconv.Itoa(was))
		for k := range rows[l.Line] {
			for _, box := range boxes {
				v[rowOf(box, l.Line, k)] = typed(r, rowOf(box, was, k))
			}
		}
	}
	act, at, _ := strings.Cut(r.PostForm.Get("do"), "_")
	lineText, loadText, _ := strings.Cut(at, "_")
	line, _ := strconv.Atoi(lineText)
	switch load, err := strconv.Atoi(loadText); {
	case act == "add" && rows[line] > 0:
		rows[line] = min(rows[line]+1, mostLoads)
		return s.drawDeliver(w, r, p, o, open, v, rows, nil, http.StatusOK)
	case act == "drop" && err == nil && load >= 0 && load < rows[line]:
		for k := load; k < rows[line]; k++ {
			for _, box := range boxes {
				v[rowOf(box, line, k)] = v[rowOf(box, line, k+1)]
			}
		}
		rows[line] = max(rows[line]-1, 1)
		return s.drawDeliver(w, r, p, o, open, v, rows, nil, http.StatusOK)
	}
	loads, from, prices, problems := s.readLoads(p, open, v, rows)
	when, ps := moment(p, v["at"])
	problems = append(problems, ps...)
	if len(problems) == 0 {
		like := journal.Entry{ID: v["id"], At: when, Who: v["who"], Device: deviceOf(p)}
		if like.Who == "" {
			like.Who = p.Who
		}
		if when.IsZero() {
			like.At = p.Now
		}
		saved, ps, err := s.writeLoads(r, app.Deliver(like, o.Customer, v["note"], loads, prices), from)
		if err != nil {
			return err
		}
		if saved != "" {
			seeOther(w, r, withSaid(orderTo(o.Entry), saved))
			return nil
		}
		problems = ps
	}
	return s.drawDeliver(w, r, p, o, open, v, rows, problems, http.StatusUnprocessableEntity)
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
					x.Field = box + from[i]
				case x.Field == "price":
					line, _, _ := strings.Cut(strings.TrimPrefix(from[i], "_"), "_")
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

// readLoads reads what was typed: what each lot and bin gives, the end of the names of
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

func (s *Server) drawDeliver(w http.ResponseWriter, r *http.Request, p person, o app.OrderShort, open []app.OrderedProduct, v values, rows map[int]int, problems []app.Problem, status int) error {
	state := s.Farm.State()
	to := orderTo(o.Entry)
	page := DeliverPage{Frame: s.frame(r, p, p.Say("order.act.deliver", o.Customer), "more"), Action: to + "/deliver", ID: v["id"], Back: to, BackName: p.Say("order.title", o.Customer), Submit: p.Say("deliver.submit"), Care: p.Say("deliver.care")}
	page.One, page.Heading, page.Under = true, page.Title, p.Say("deliver.under")
	if page.ID == "" {
		page.ID = s.NewID(p.Now)
	}
	var groups [][]Field
	for _, l := range open {
		living := l.Order.Listed && l.Order.Product.Living()
		head := p.orderAmount(l.Order, l.Wanted)
		if l.Left != l.Wanted {
			head = p.Say("deliver.line", head, p.orderAmount(l.Order, l.Left))
		}
		line := DeliverLine{Head: head, Rows: "rows_" + strconv.Itoa(l.Line), Count: rows[l.Line], Add: "add_" + strconv.Itoa(l.Line), More: p.Say("deliver.morelots")}
		lots := app.LotsFor(state, l.Order)
		if len(lots) == 0 && !living {
			line.None = p.Say("deliver.nolots", l.What)
		}
		for k := range rows[l.Line] {
			var load DeliverLoad
			unit := map[string]string{farm.CountVolume: pick(p.Units, "yd3", "m3"), farm.CountMass: pick(p.Units, "lb", "kg")}[app.LoadedIn(l.Order)]
			amount := numberField(rowOf("amount", l.Line, k), p.Say("order.howmuch"), printable(unit), v[rowOf("amount", l.Line, k)])
			if living {
				where := textField(rowOf("bins", l.Line, k), p.Say("deliver.bins"), v[rowOf("bins", l.Line, k)])
				load.Fields = []Field{where, amount}
				if app.LoadedIn(l.Order) == farm.CountPieces {
					load.Fields = append(load.Fields, numberField(rowOf("kg", l.Line, k), p.Say("deliver.kg"), pick(p.Units, "lb", "kg"), v[rowOf("kg", l.Line, k)]))
				}
			} else {
				load.Fields = []Field{s.lotField(p, l.Order, lots, rowOf("lot", l.Line, k), v[rowOf("lot", l.Line, k)]), amount}
			}
			if rows[l.Line] > 1 {
				load.Out, load.Drop = "drop_"+strconv.Itoa(l.Line)+"_"+strconv.Itoa(k), p.Say("deliver.drop", k+1)
			}
			groups = append(groups, load.Fields)
			line.Loads = append(line.Loads, load)
		}
		price := numberField("price_"+strconv.Itoa(l.Line), p.Say("deliver.price"), state.Settings.Money.Currency, v["price_"+strconv.Itoa(l.Line)])
		if worth, ok := l.Order.Worth(l.Left); ok {
			price.Help = p.Say("deliver.pricehelp", p.coins(float64(worth)))
		}
		line.Price = []Field{price}
		groups = append(groups, line.Price)
		if living {
			line.More = p.Say("deliver.morebins")
		}
		page.Lines = append(page.Lines, line)
	}
	note := areaField("note", p.Say("deliver.note"), v["note"])
	page.Foot = []Field{note}
	page.When, page.WhenLabel, page.WhenOpen = s.when(p, v["at"], v["who"])
	groups = append(groups, page.Foot, page.When)
	refused, doubtful := split(problems)
	page.Problems, page.Doubts, page.Yes = mark(refused, groups...), mark(doubtful, groups...), digest(doubtful)
	return s.draw(w, "orderdeliver", status, page)
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
