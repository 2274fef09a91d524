package web

import (
	"fmt"
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
	Action, ID, Back  string
	Problems, Doubts  []Complaint
	Yes               string
	Fields, Foot      []Field
	Lines             []OrderRow
	Rows              int
	When              []Field
	WhenLabel, Submit string
	WhenOpen          bool
}

// OrderRow is one product of an order with its boxes.
type OrderRow struct {
	Head, Drop string
	Out        string // the value that takes it out; "" where it is the only one
	Fields     []Field
	More       []Field
	MoreOpen   bool
}

// mostLines is how many products an order has at most.
const mostLines = 60

// lineBoxes are the boxes of one product.
var lineBoxes = []string{"what", "amount", "price", "day"}

func (s *Server) orderNew(w http.ResponseWriter, r *http.Request, p person) error {
	return s.drawOrderNew(w, r, p, values{}, 1, nil, http.StatusOK)
}

// orderNewSave adds a row, takes one out, or keeps the order.
func (s *Server) orderNewSave(w http.ResponseWriter, r *http.Request, p person) error {
	v := values{}
	for _, key := range []string{"id", "customer", "due", "ref", "note", "at", "who"} {
		v[key] = typed(r, key)
	}
	n, _ := strconv.Atoi(r.PostForm.Get("rows"))
	n = min(max(n, 1), mostLines)
	for i := range n {
		for _, box := range lineBoxes {
			v[box+"_"+strconv.Itoa(i)] = typed(r, box+"_"+strconv.Itoa(i))
		}
	}
	do := r.PostForm.Get("do")
	if do == "add" {
		return s.drawOrderNew(w, r, p, v, min(n+1, mostLines), nil, http.StatusOK)
	}
	if at, drop := strings.CutPrefix(do, "drop_"); drop {
		out, err := strconv.Atoi(at)
		if err == nil && out >= 0 && out < n && n > 1 {
			for i := out; i < n; i++ {
				for _, box := range lineBoxes {
					v[box+"_"+strconv.Itoa(i)] = v[box+"_"+strconv.Itoa(i+1)]
				}
			}
			n--
		}
		return s.drawOrderNew(w, r, p, v, n, nil, http.StatusOK)
	}
	body, rows, problems := s.orderBody(p, v, n)
	at, ps := moment(p, v["at"])
	problems = append(problems, ps...)
	e := journal.Entry{ID: v["id"], Kind: "order", At: at.UTC(), Who: v["who"], Device: deviceOf(p), Body: body}
	if e.Who == "" {
		e.Who = p.Who
	}
	if at.IsZero() {
		e.At = p.Now.UTC()
	}
	if len(problems) == 0 {
		saved, ps, err := s.writeWith(r, e, nil, r.PostForm.Get("yes"))
		if err != nil {
			return err
		}
		if saved != "" {
			seeOther(w, r, withSaid(orderTo(saved), saved))
			return nil
		}
		for _, x := range ps {
			problems = append(problems, onOrderRow(x, rows))
		}
	}
	return s.drawOrderNew(w, r, p, v, n, problems, http.StatusUnprocessableEntity)
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
		x.Field = "amount_" + strconv.Itoa(i)
	case "what", "price":
		x.Field = field + "_" + strconv.Itoa(i)
	case "due":
		if x.Field = "due"; several {
			x.Field = "day_" + strconv.Itoa(i)
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
		at := "_" + strconv.Itoa(i)
		what, amount, price, day := v["what"+at], v["amount"+at], v["price"+at], v["day"+at]
		if what == "" && amount == "" && price == "" {
			continue
		}
		part := journal.OrderPart{What: what, Due: day}
		if what == "" {
			refuse("what"+at, p.Say("order.nowhat", i+1), p.Say("order.nowhattry"))
		}
		if !s.readAmount(p, amount, &part) {
			refuse("amount"+at, p.Say("order.noamount", amount, what), p.Say("order.noamounttry", pick(p.Units, "2 yd³", "2 m³"), pick(p.Units, "5 lb", "2 kg")))
		}
		if price != "" {
			x, ok := app.Price(price)
			if !ok {
				refuse("price"+at, p.Say("costs.noprice", what, price), p.Say("costs.nopricetry"))
			}
			m := qty.Money(x.InexactFloat64())
			part.Price = &m
		}
		parts, rows = append(parts, part), append(rows, i)
	}
	switch len(parts) {
	case 0:
		refuse("what_0", p.Say("order.nothing"), p.Say("order.nowhattry"))
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

func (s *Server) drawOrderNew(w http.ResponseWriter, r *http.Request, p person, v values, n int, problems []app.Problem, status int) error {
	page := OrderNewPage{Frame: s.frame(r, p, p.Say("orders.new"), "more"), Action: "/orders/new", ID: v["id"], Back: "/orders", Submit: p.Say("form.save"), Rows: n}
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
	page.Fields, page.Foot = []Field{customer, due}, []Field{ref, note}
	var products []string
	for _, x := range state.Settings.Money.Products {
		products = append(products, x.Name)
	}
	groups := [][]Field{page.Fields, page.Foot}
	for i := range n {
		at := "_" + strconv.Itoa(i)
		row := OrderRow{Head: p.Say("order.row", i+1)}
		if n > 1 {
			row.Out, row.Drop = "drop"+at, p.Say("order.drop", i+1)
		}
		what, amount := textField("what"+at, label("what"), v["what"+at]), textField("amount"+at, p.Say("order.howmuch"), v["amount"+at])
		what.List = products
		amount.Short, amount.Help = true, p.Say("order.howmuchhelp", pick(p.Units, "2 yd³", "2 m³"), pick(p.Units, "5 lb", "2 kg"))
		price, day := numberField("price"+at, label("price"), state.Settings.Money.Currency, v["price"+at]), textField("day"+at, p.Say("order.otherday"), v["day"+at])
		price.Help, day.Type = p.Say("order.pricehelp"), "date"
		row.Fields, row.More = []Field{what, amount}, []Field{price, day}
		groups = append(groups, row.Fields, row.More)
		page.Lines = append(page.Lines, row)
	}
	page.When, page.WhenLabel, page.WhenOpen = s.when(p, v["at"], v["who"])
	groups = append(groups, page.When)
	refused, doubtful := split(problems)
	page.Problems, page.Doubts, page.Yes = mark(refused, groups...), mark(doubtful, groups...), digest(doubtful)
	for i := range page.Lines {
		l := &page.Lines[i]
		l.MoreOpen = slices.ContainsFunc(l.More, func(f Field) bool { return f.Value != "" || f.Bad != "" })
	}
	if slices.ContainsFunc(page.When, func(f Field) bool { return f.Bad != "" }) {
		page.WhenOpen = true
	}
	if len(problems) == 0 && status != http.StatusOK {
		return fmt.Errorf("an order was not kept and nothing says why")
	}
	return s.draw(w, "ordernew", status, page)
}
