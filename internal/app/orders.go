package app

import (
	"cmp"
	"slices"
	"time"

	"wormyard/farm"
	"wormyard/qty"
)

// OrderAnswer is the answer of wormyard orders.
type OrderAnswer struct {
	Currency string       `json:"currency,omitempty"`
	Orders   []OrderShort `json:"orders"` // by due day, those without one last
	Weeks    []OpenWeek   `json:"weeks"`  // what is still to be delivered
}

// OrderShort is an order on the list. What it says of a product is of the whole order:
// of an order of several products the amounts are with each of them.
type OrderShort struct {
	Entry    string    `json:"entry"`
	At       time.Time `json:"at"`
	Customer string    `json:"customer"`
	Ref      string    `json:"ref,omitempty"`
	OrderedProduct
	Lines []OrderedProduct `json:"lines"` // one a product

	Booked farm.Booked `json:"-"`
}

// Part gives how much of an order is delivered, 0 to 1: the mean of its products that
// were not cancelled.
func (o OrderShort) Part() float64 {
	sum, n := 0.0, 0
	for _, l := range o.Lines {
		switch farm.OrderState(l.State) {
		case farm.OrderCancelled:
			continue
		case farm.OrderDone:
			sum++
		case farm.OrderPart:
			if l.Wanted > 0 {
				sum += min(l.Delivered/l.Wanted, 1)
			}
		}
		n++
	}
	return sum / float64(max(n, 1))
}

// OrderedProduct is one product of an order.
type OrderedProduct struct {
	Line      int      `json:"line,omitempty"` // its number in the order, from 1
	What      string   `json:"what"`
	As        string   `json:"as,omitempty"` // how the product is sold, where it is on the price list
	Due       string   `json:"due,omitempty"`
	Overdue   bool     `json:"overdue,omitempty"`
	Stale     bool     `json:"long_overdue,omitempty"` // nobody wrote down what became of it; in no week
	State     string   `json:"state"`                  // open, part, done, cancelled
	Count     string   `json:"counted_in,omitempty"`   // pieces, m3, kg
	Wanted    float64  `json:"wanted"`
	Delivered float64  `json:"delivered"`
	Left      float64  `json:"left"`
	Worth     *float64 `json:"worth"` // of what is left; null where no price says
	Why       string   `json:"cancelled_why,omitempty"`

	Order farm.OrderLine `json:"-"`
}

// Closed says whether nothing is to come any more.
func (o OrderedProduct) Closed() bool { return farm.OrderState(o.State).Closed() }

// OpenWeek is what is due in one week and not delivered yet.
type OpenWeek struct {
	Week     string        `json:"week"` // its Monday; "" of orders without a day
	Overdue  bool          `json:"overdue,omitempty"`
	Products []OpenProduct `json:"products"`
}

// OpenProduct is what is still to be delivered of one product.
type OpenProduct struct {
	Product  string   `json:"product"` // as the price list calls it, else as the orders do
	As       string   `json:"as,omitempty"`
	Orders   int      `json:"orders"`
	Pieces   float64  `json:"pieces,omitempty"`
	VolumeM3 float64  `json:"volume_m3,omitempty"` // castings; of pieces too, where their size is known
	MassKg   float64  `json:"mass_kg,omitempty"`   // live worms, or castings of no known volume
	Worth    *float64 `json:"worth"`               // null where a part has no price
}

// Orders gives the order book: what is open, or all of it, and what is due by week.
func Orders(s *farm.State, now time.Time, all bool) OrderAnswer {
	out := OrderAnswer{Currency: s.Settings.Money.Currency, Orders: []OrderShort{}, Weeks: OpenOrders(s, now)}
	for _, o := range s.OrderBook() {
		if o.State.Closed() && !all {
			continue
		}
		out.Orders = append(out.Orders, orderShort(s, o, now))
	}
	slices.SortStableFunc(out.Orders, func(a, b OrderShort) int {
		return cmp.Or(cmp.Compare(last(a.Due), last(b.Due)), a.At.Compare(b.At))
	})
	return out
}

// last sorts what has no day after all that have one.
func last(day string) string { return cmp.Or(day, "9999") }

func orderShort(s *farm.State, o farm.Booked, now time.Time) OrderShort {
	x := OrderShort{Entry: o.Entry, At: o.At, Customer: o.Customer, Ref: o.Ref, Booked: o}
	for _, l := range o.Lines {
		x.Lines = append(x.Lines, orderedProduct(s, l, now))
	}
	if len(x.Lines) == 1 {
		x.OrderedProduct = x.Lines[0]
		x.Line = 0
		return x
	}
	x.What, x.State, x.Why, x.Worth = o.What(), string(o.State), o.Why(), numberOf(0)
	if due, ok := o.DueBy(s.Zone()); ok {
		x.Due = due.Format(time.DateOnly)
	}
	for _, l := range x.Lines {
		x.Overdue = x.Overdue || l.Overdue
		if l.Left > 0 || !l.Closed() {
			x.Worth = sumOf(x.Worth, l.Worth)
		}
	}
	x.Stale = !x.Closed() && !slices.ContainsFunc(x.Lines, func(l OrderedProduct) bool { return !l.Closed() && !l.Stale })
	return x
}

// sumOf gives the sum of two amounts of money; nil where one is not known.
func sumOf(a, b *float64) *float64 {
	if a == nil || b == nil {
		return nil
	}
	return numberOf(*a + *b)
}

func orderedProduct(s *farm.State, o farm.OrderLine, now time.Time) OrderedProduct {
	x := OrderedProduct{Line: o.Line, What: o.What, Due: o.Due, State: string(o.State), Count: o.Count, Wanted: o.Wanted, Delivered: o.Got, Left: o.Left(), Order: o}
	if o.Listed {
		x.As = o.Product.Kind()
	}
	if due, ok := o.DueBy(s.Zone()); ok && !o.State.Closed() {
		x.Overdue, x.Stale = now.After(due.AddDate(0, 0, 1)), now.After(due.AddDate(0, 0, staleDays))
	}
	if o.Cancel != nil {
		x.Why = o.Cancel.Why
	}
	if worth, ok := o.Worth(x.Left); ok {
		x.Worth = numberOf(float64(worth))
	}
	return x
}

// OrderNamed gives one order by its id, its end or the customer's own number.
func OrderNamed(s *farm.State, id string, now time.Time) (OrderShort, bool) {
	o, ok := s.Order(id)
	if !ok {
		return OrderShort{}, false
	}
	return orderShort(s, o, now), true
}

// OpenOrders gives what is still to be delivered, by the week in which it is due and by
// product. What is overdue is due in the week of now; orders without a day come last, and those
// that are overdue since staleDays are left out: they went out untold, or never will.
// A season's plan takes its demand from it.
func OpenOrders(s *farm.State, now time.Time) []OpenWeek {
	monday := func(t time.Time) time.Time { return mondayOf(t, s.Zone()) }
	this := monday(now)
	weeks := map[string]*OpenWeek{}
	density := qty.KgPerM3Wet(0)
	if lots := s.Lots(); len(lots) > 0 {
		density, _ = s.CastingsDensity(lots[len(lots)-1])
	}
	for _, o := range s.OrderLines() {
		if o.State.Closed() {
			continue
		}
		key, overdue := "", false
		if due, ok := o.DueBy(s.Zone()); ok {
			if now.After(due.AddDate(0, 0, staleDays)) {
				continue
			}
			w := monday(due)
			overdue = now.After(due.AddDate(0, 0, 1))
			if w.Before(this) {
				w = this
			}
			key = w.Format(time.DateOnly)
		}
		w := weeks[key]
		if w == nil {
			w = &OpenWeek{Week: key}
			weeks[key] = w
		}
		w.Overdue = w.Overdue || overdue
		w.add(o, density)
	}
	out := []OpenWeek{}
	for _, w := range weeks {
		slices.SortFunc(w.Products, func(a, b OpenProduct) int { return cmp.Compare(a.Product, b.Product) })
		out = append(out, *w)
	}
	slices.SortFunc(out, func(a, b OpenWeek) int { return cmp.Compare(last(a.Week), last(b.Week)) })
	return out
}

func (w *OpenWeek) add(o farm.OrderLine, density qty.KgPerM3Wet) {
	name, as := o.What, ""
	if o.Listed {
		name, as = o.Product.Name, o.Product.Kind()
	}
	i := slices.IndexFunc(w.Products, func(p OpenProduct) bool { return p.Product == name })
	if i < 0 {
		i = len(w.Products)
		w.Products = append(w.Products, OpenProduct{Product: name, As: as, Worth: numberOf(0)})
	}
	p, left := &w.Products[i], o.Left()
	p.Orders++
	if o.Count == farm.CountPieces {
		p.Pieces += left
	}
	if v, ok := o.Castings(left, density); ok {
		p.VolumeM3 += float64(v)
	} else if o.Count == farm.CountMass {
		p.MassKg += left
	} else if o.Product.Mass != nil {
		p.MassKg += left * float64(*o.Product.Mass)
	}
	if worth, ok := o.Worth(left); ok && p.Worth != nil {
		*p.Worth += float64(worth)
	} else {
		p.Worth = nil
	}
}

// OrderLot is a lot that an order may be delivered of.
type OrderLot struct {
	Lot      string
	Bags     int            // filled and not sold, of the order's size
	Loose    qty.CubicMetre // in no bag
	Released bool
	Held     bool
	Why      string // of the hold
}

// leastLoose is what must lie loose of a lot for it to be offered [m3]: less is what
// masses and volumes do not agree on. Common practice, no source.
const leastLoose = 0.05

// staleDays is how long after its day an order counts as one of which nobody wrote
// down what became of it. Common practice, no source.
const staleDays = 60

// LotsFor gives the lots that hold something for an order: released ones first, then
// those that wait, then those on hold.
func LotsFor(s *farm.State, o farm.OrderLine) []OrderLot {
	var out []OrderLot
	size := qty.CubicMetre(0)
	if o.Listed && o.Product.Volume != nil {
		size = *o.Product.Volume
	}
	for _, l := range s.Lots() {
		a := s.Amounts(l)
		x := OrderLot{Lot: l.Name, Bags: l.BagsLeft(size), Released: len(l.Releases) > 0 && !l.Held(), Held: l.Held()}
		if a.Density > 0 {
			x.Loose = qty.CubicMetre(float64(a.Left()) / float64(a.Density))
		}
		if n := len(l.Holds); x.Held && n > 0 {
			x.Why = l.Holds[n-1].Why
		}
		bagged := o.Listed && (o.Product.Kind() == farm.SoldBags || o.Product.Kind() == farm.SoldTotes) || o.Count == farm.CountPieces
		if bagged && x.Bags > 0 || !bagged && x.Loose >= leastLoose && s.Standing(l) != farm.LotSold {
			out = append(out, x)
		}
	}
	slices.Reverse(out) // the newest first
	rank := func(x OrderLot) int {
		switch {
		case x.Released:
			return 0
		case x.Held:
			return 2
		}
		return 1
	}
	slices.SortStableFunc(out, func(a, b OrderLot) int { return rank(a) - rank(b) })
	return out
}
