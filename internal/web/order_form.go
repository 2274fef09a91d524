package web

import (
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

// OrderNewPage takes an order of one product or of several, a row a product.
type OrderNewPage struct {
	Frame
	Action, Kind, ID, Back string
	Problems, Doubts       []Complaint
	Yes                    string
	Fields, Foot           []Field
	When                   []Field
	WhenLabel, Submit      string
	WhenOpen               bool
}

// mostLines is how many products an order has at most.
const mostLines = 60

// orderingKind is what an order is called that a device sends as its form has it, a row a
// product; the plain form of an order is another one.
const orderingKind = "ordering"

// orderRows is what the list of products is called, and orderBox names a box of one.
const orderRows = "lines"

func orderBox(box string, i int) string { return setBox(orderRows, i, box) }

// lineBoxes are the boxes of one product.
var lineBoxes = []string{"what", "amount", "price", "day"}

// ordering is an order as it is typed.
type ordering struct {
	v        values
	rows     int
	problems []app.Problem
}

func (s *Server) orderNew(w http.ResponseWriter, r *http.Request, p person) error {
	return s.draw(w, "ordernew", http.StatusOK, s.orderPage(r, p, ordering{v: values{}}))
}

// orderNewSave adds a row, takes one out, or keeps the order.
func (s *Server) orderNewSave(w http.ResponseWriter, r *http.Request, p person) error {
	button := r.PostForm.Get(rowButton)
	dropTyped(r.PostForm, button)
	o := orderingIn(r, p, button != "")
	if button != "" {
		if button == "+"+orderRows {
			o.rows = min(max(o.rows, 1)+1, mostLines)
		}
		o.problems = nil
		return s.draw(w, "ordernew", http.StatusOK, s.orderPage(r, p, o))
	}
	saved, err := s.writeOrder(r, p, &o, false)
	if err != nil {
		return err
	}
	if saved != "" {
		seeOther(w, r, withSaid(orderTo(saved), saved))
		return nil
	}
	return s.draw(w, "ordernew", http.StatusUnprocessableEntity, s.orderPage(r, p, o))
}

// orderingIn reads what was typed. Rows keep their places, since a device marks what is
// wrong on the form that it has; closed puts them together where one was taken out.
func orderingIn(r *http.Request, p person, closed bool) ordering {
	o := ordering{v: values{}}
	for _, key := range []string{"id", "customer", "due", "ref", "note", "at", "who"} {
		o.v[key] = typed(r, key)
	}
	var at []int
	for name := range r.PostForm {
		if m := rowBox.FindStringSubmatch(name); m != nil && m[1] == orderRows {
			if i, err := strconv.Atoi(m[2]); err == nil && !slices.Contains(at, i) {
				at = append(at, i)
			}
		}
	}
	slices.Sort(at)
	if n := len(at); n > mostLines {
		o.problems = append(o.problems, app.Problem{Field: orderRows, Say: p.Say("form.rowsmany", p.Say("order.rows"), n, mostLines), Try: p.Say("form.rowsmanytry")})
		at = at[:mostLines]
	}
	if n := len(at); n > 0 && at[n-1] >= mostLines { // so far apart that the form has no such rows
		closed = true
	}
	for k, i := range at {
		if !closed {
			k = i
		}
		for _, box := range lineBoxes {
			o.v[orderBox(box, k)] = typed(r, orderBox(box, i))
		}
		o.rows = k + 1
	}
	return o
}

// writeOrder writes an order down, or puts into it what is wrong. One of a device is
// written once: another order under its id is not asked about.
func (s *Server) writeOrder(r *http.Request, p person, o *ordering, once bool) (saved string, err error) {
	body, rows, problems := s.orderBody(p, o.v, max(o.rows, 1))
	at, ps := moment(p, o.v["at"])
	o.problems = slices.Concat(o.problems, problems, ps)
	if len(o.problems) > 0 {
		return "", nil
	}
	e := journal.Entry{ID: o.v["id"], Kind: "order", At: at.UTC(), Who: o.v["who"], Device: deviceOf(p), Body: body}
	if e.Who == "" || p.In.Guarded {
		e.Who = p.Who
	}
	if at.IsZero() {
		e.At = p.Now.UTC()
	}
	if once {
		if _, other := s.sentBefore(p, e); other {
			o.problems = []app.Problem{{Say: p.Say("outbox.other"), Try: p.Say("outbox.othertry")}}
			return "", nil
		}
	}
	saved, ps, err = s.writeWith(r, e, nil, r.PostForm.Get("yes"))
	for _, x := range ps {
		o.problems = append(o.problems, onOrderRow(x, rows))
	}
	return saved, err
}

// outboxOrder writes down an order that a device sends.
func (s *Server) outboxOrder(r *http.Request, p person, out *outboxResult) error {
	o := orderingIn(r, p, false)
	saved, err := s.writeOrder(r, p, &o, true)
	if err != nil {
		return err
	}
	if saved != "" {
		out.State = "saved"
		return nil
	}
	page := s.orderPage(r, p, o)
	out.complain(page.Problems, page.Doubts, page.Yes)
	return nil
}

// onOrderRow puts a problem of an order on the box of its row.
func onOrderRow(x app.Problem, rows []int) app.Problem {
	i, field := 0, x.Field
	if at, of, cut := strings.Cut(strings.TrimPrefix(x.Field, "lines["), "]."); cut {
		if n, err := strconv.Atoi(at); err == nil && n < len(rows) {
			i, field = rows[n], of
		}
	} else if len(rows) == 1 {
		i = rows[0]
	}
	several := field != x.Field
	switch field {
	case "number", "volume_m3", "mass_kg":
		x.Field = orderBox("amount", i)
	case "what", "price":
		x.Field = orderBox(field, i)
	case "due":
		if x.Field = "due"; several {
			x.Field = orderBox("day", i)
		}
	}
	return x
}

// orderBody reads an order as it was typed, with the row of each of its products. Rows
// with nothing in them are left out.
func (s *Server) orderBody(p person, v values, n int) (*journal.Order, []int, []app.Problem) {
	var problems []app.Problem
	refuse := func(field, say, try string) {
		problems = append(problems, app.Problem{Field: field, Say: say, Try: try})
	}
	body := &journal.Order{Customer: v["customer"], Due: v["due"], Ref: v["ref"], Note: v["note"]}
	if body.Customer == "" {
		refuse("customer", p.Say("order.nocustomer"), p.Say("order.nocustomertry"))
	}
	var parts []journal.OrderPart
	var rows []int
	for i := range n {
		box := func(name string) string { return orderBox(name, i) }
		what, amount, price, day := v[box("what")], v[box("amount")], v[box("price")], v[box("day")]
		if what == "" && amount == "" && price == "" {
			continue
		}
		part := journal.OrderPart{What: what, Due: day}
		if what == "" {
			refuse(box("what"), p.Say("order.nowhat", i+1), p.Say("order.nowhattry"))
		}
		if !s.readAmount(p, amount, &part) {
			refuse(box("amount"), p.Say("order.noamount", amount, what), p.Say("order.noamounttry", pick(p.Units, "2 yd³", "2 m³"), pick(p.Units, "5 lb", "2 kg")))
		}
		if price != "" {
			x, ok := app.Price(price)
			if !ok {
				refuse(box("price"), p.Say("costs.noprice", what, price), p.Say("costs.nopricetry"))
			}
			m := qty.Money(x.InexactFloat64())
			part.Price = &m
		}
		parts, rows = append(parts, part), append(rows, i)
	}
	switch len(parts) {
	case 0:
		refuse(orderBox("what", 0), p.Say("order.nothing"), p.Say("order.nowhattry"))
	case 1:
		x := parts[0]
		body.What, body.Number, body.VolumeM3, body.MassKg, body.Price = x.What, x.Number, x.VolumeM3, x.MassKg, x.Price
		if x.Due != "" {
			body.Due = x.Due
		}
	default:
		body.Lines = parts
	}
	return body, rows, problems
}

// readAmount reads how much of a product is wanted: with a unit a volume or a mass, and
// without one as the product is sold: pieces, volume or weight. An empty one says
// nothing; false where it cannot be read.
func (s *Server) readAmount(p person, text string, part *journal.OrderPart) bool {
	if text == "" {
		return true
	}
	product, listed := s.Farm.State().Settings.Money.Product(part.What)
	number, bare := qty.Number(text)
	unit := ""
	if bare && listed {
		switch kind := product.Kind(); {
		case kind == farm.SoldWorms, kind == farm.SoldLoose && product.Volume == nil && product.Mass != nil:
			unit = pick(p.Units, " lb", " kg")
		case kind == farm.SoldLoose:
			unit = pick(p.Units, " yd3", " m3")
		}
	}
	if bare && unit == "" {
		if number < 1 || number != math.Trunc(number) || number > 1e6 {
			return false
		}
		n := int(number)
		part.Number = &n
		return true
	}
	if m3, err := qty.Parse(text+unit, qty.Volume); err == nil && m3 > 0 {
		v := qty.CubicMetre(m3)
		part.VolumeM3 = &v
		return true
	}
	if kg, err := qty.Parse(text+unit, qty.Mass); err == nil && kg > 0 {
		part.MassKg = &kg
		return true
	}
	return false
}

// orderPage lays the form of an order out.
func (s *Server) orderPage(r *http.Request, p person, o ordering) OrderNewPage {
	v := o.v
	page := OrderNewPage{Frame: s.frame(r, p, p.Say("orders.new"), "more"), Action: "/orders/new", Kind: orderingKind, ID: v["id"], Back: "/orders", Submit: p.Say("form.save")}
	page.One = true
	if page.ID == "" {
		page.ID = s.NewID(p.Now)
	}
	state := s.Farm.State()
	kind, _ := p.kindNamed("order")
	label := func(key string) string { f, _ := kind.Field(key); return f.Label }
	customer, due, ref, note := textField("customer", label("customer"), v["customer"]), textField("due", label("due"), v["due"]), textField("ref", label("ref"), v["ref"]), textField("note", label("note"), v["note"])
	customer.List, due.Type, note.Area = customersOf(state), "date", true
	customer.Must, customer.MustTry = p.Say("form.must", customer.Label), p.Say("form.musttry")
	var products []string
	for _, x := range state.Settings.Money.Products {
		products = append(products, x.Name)
	}
	lines := Field{ID: "f-" + orderRows, Name: orderRows, Label: p.Say("order.rows")}
	for i := range max(o.rows, 1) {
		box := func(name string) (string, string) { return orderBox(name, i), v[orderBox(name, i)] }
		text := func(name, label string) Field { at, value := box(name); return textField(at, label, value) }
		what, amount, day := text("what", label("what")), text("amount", p.Say("order.howmuch")), text("day", p.Say("order.otherday"))
		what.List = products
		amount.Short, amount.Help = true, p.Say("order.howmuchhelp", pick(p.Units, "2 yd³", "2 m³"), pick(p.Units, "5 lb", "2 kg"))
		at, value := box("price")
		price := numberField(at, label("price"), state.Settings.Money.Currency, value)
		price.Help, day.Type = p.Say("order.pricehelp"), "date"
		lines.Sets = append(lines.Sets, Set{Head: p.Say("order.row", i+1), Drop: "-" + orderRows + "." + strconv.Itoa(i), Fields: []Field{what, amount}, More: []Field{price, day}, MoreLabel: p.Say("order.more")})
	}
	page.Fields, page.Foot = []Field{customer, due, lines}, []Field{ref, note}
	page.When, page.WhenLabel, page.WhenOpen = s.when(p, v["at"], v["who"])
	groups := [][]Field{page.Fields, page.Foot, page.When}
	refused, doubtful := split(o.problems)
	page.Problems, page.Doubts, page.Yes = mark(refused, groups...), mark(doubtful, groups...), digest(doubtful)
	if slices.ContainsFunc(page.When, func(f Field) bool { return f.Bad != "" }) {
		page.WhenOpen = true
	}
	return page
}
