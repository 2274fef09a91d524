package farm

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"sync"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// OrderState is how far an order has come.
type OrderState string

// The states of an order.
const (
	OrderOpen      OrderState = "open"
	OrderPart      OrderState = "part"      // delivered in part
	OrderDone      OrderState = "done"      // delivered
	OrderCancelled OrderState = "cancelled" // what is not delivered is not wanted any more
)

// What an order is counted in.
const (
	CountPieces = "pieces" // bags, totes, kits, or what else the price list has as one
	CountVolume = "m3"
	CountMass   = "kg"
)

// Delivered is one sale that an order was delivered by.
type Delivered struct {
	Noted
	Lot      string // "" for live worms
	Amount   float64
	Known    bool // the amount can be told in what the order is counted in
	Price    qty.Money
	Delivery string // what went out together has the same
}

// Booked is an order with how far it has come.
type Booked struct {
	Order
	Lines []OrderLine // one a product
	Other []Delivered // of which nobody said what product they deliver
	State OrderState
}

// OrderLine is one product of an order with how far it has come. Amounts are in Count;
// volumes in m3, masses in kg.
type OrderLine struct {
	Noted
	Customer, Ref string
	Line          int // its number in the order, from 1
	OrderItem
	Product ProductSetup
	Listed  bool   // the product is on the price list
	Count   string // CountPieces, CountVolume, CountMass; "" where nobody wrote how much
	Wanted  float64
	Got     float64
	Sales   []Delivered
	State   OrderState
}

// orderAt is a product of an order by the id of its entry; line 0 is all of it.
type orderAt struct {
	order string
	line  int
}

// OrderIn reads an order, of one product or of several.
func OrderIn(e *journal.Entry, b *journal.Order) Order {
	o := Order{Noted: noted(e), Customer: b.Customer, Ref: b.Ref, Note: b.Note, Strikes: e.Strikes}
	if len(b.Lines) == 0 {
		o.Parts = []OrderItem{{What: b.What, Number: or(b.Number, 0), Volume: or(b.VolumeM3, 0), Mass: or(b.MassKg, 0), Due: b.Due, Price: or(b.Price, 0), Priced: b.Price != nil}}
	}
	for _, p := range b.Lines {
		o.Parts = append(o.Parts, OrderItem{What: p.What, Number: or(p.Number, 0), Volume: or(p.VolumeM3, 0), Mass: or(p.MassKg, 0), Due: cmp.Or(p.Due, b.Due), Price: or(p.Price, 0), Priced: p.Price != nil})
	}
	return o
}

// What names the products of an order.
func (o Order) What() string {
	var names []string
	for _, p := range o.Parts {
		names = append(names, p.What)
	}
	return strings.Join(names, ", ")
}

// enough is the part of an order from which it is delivered: scales and loader buckets
// are good to some hundredths. Bags that are counted are all to come. Common practice,
// no source.
const enough = 0.97

// delivered says whether all of a product is there. Pieces that were told by their
// weight are no whole number, and are as good as a scale is.
func (o *OrderLine) delivered() bool {
	if o.Count == CountPieces && o.Got == math.Trunc(o.Got) {
		return o.Got >= o.Wanted
	}
	return o.Count == "" || o.Got >= enough*o.Wanted
}

// Left gives what is still to be delivered; nothing of an order that is closed.
func (o OrderLine) Left() float64 {
	if o.State == OrderDone || o.State == OrderCancelled {
		return 0
	}
	return max(o.Wanted-o.Got, 0)
}

// Ones gives how many of its product an amount of an order is; false where that
// cannot be told.
func (o OrderLine) Ones(amount float64) (float64, bool) {
	switch {
	case o.Count == CountPieces:
		return amount, true
	case o.Count == CountVolume && o.Product.Volume != nil && *o.Product.Volume > 0:
		return amount / float64(*o.Product.Volume), true
	case o.Count == CountMass && o.Product.Mass != nil && *o.Product.Mass > 0:
		return amount / float64(*o.Product.Mass), true
	}
	return 0, false
}

// Worth gives what an amount of an order brings: its part of the price agreed, else by
// the price list with the step that the whole order reaches; false where neither says.
// docs/model.md (J5).
func (o OrderLine) Worth(amount float64) (qty.Money, bool) {
	if o.Priced {
		if o.Wanted <= 0 {
			return o.Price, true
		}
		return qty.Money(math.Round(float64(o.Price)*amount/o.Wanted*100) / 100), true
	}
	whole, ok := o.Ones(o.Wanted)
	ones, ok2 := o.Ones(amount)
	if !o.Listed || !ok || !ok2 {
		return 0, false
	}
	return qty.Money(math.Round(float64(o.Product.Each(whole))*ones*100) / 100), true
}

// Castings gives the castings of an amount of an order [m3]; false for worms, and where
// that cannot be told.
func (o OrderLine) Castings(amount float64, density qty.KgPerM3Wet) (qty.CubicMetre, bool) {
	if o.Listed && o.Product.Living() {
		return 0, false
	}
	switch {
	case o.Count == CountVolume:
		return qty.CubicMetre(amount), true
	case o.Count == CountMass && density > 0:
		return qty.CubicMetre(amount / float64(density)), true
	case o.Count == CountPieces && o.Product.Volume != nil:
		return *o.Product.Volume * qty.CubicMetre(amount), true
	case o.Count == CountPieces && o.Product.Mass != nil && density > 0:
		return qty.CubicMetre(float64(*o.Product.Mass) * amount / float64(density)), true
	}
	return 0, false
}

// ledger is every order with how far it has come, worked out once for a picture: a sheet of
// orders asks for it at each row.
type ledger struct {
	once sync.Once
	of   []Booked
}

// OrderBook gives every order with how far it has come, in order of entry. An order is
// delivered by sales that name it. What it gives must not be changed.
func (s *State) OrderBook() []Booked {
	b := s.book
	if b == nil { // the work itself, which no reader sees
		b = new(ledger)
	}
	b.once.Do(func() { b.of = s.orderBook() })
	return slices.Clip(b.of)
}

func (s *State) orderBook() []Booked {
	if len(s.orders) == 0 {
		return nil
	}
	sales, worms := map[string][]lotSale{}, map[string][]WormSale{}
	for _, l := range s.Lots() {
		for _, x := range l.Sales {
			if x.Order != "" {
				sales[x.Order] = append(sales[x.Order], lotSale{x, l})
			}
		}
	}
	for _, x := range s.worms {
		if x.Order != "" {
			worms[x.Order] = append(worms[x.Order], x)
		}
	}
	var out []Booked
	for _, o := range s.Orders() {
		whole := Booked{Order: o}
		for _, b := range o.Before {
			sales[o.Entry] = append(sales[o.Entry], sales[b.Entry]...)
			worms[o.Entry] = append(worms[o.Entry], worms[b.Entry]...)
		}
		for i, part := range o.Parts {
			line := s.lineOf(o, part, i+1)
			whole.Lines = append(whole.Lines, line)
		}
		for _, x := range sales[o.Entry] {
			d := Delivered{Noted: x.Noted, Lot: x.lot.Name, Price: x.Price, Delivery: x.Delivery}
			line := whole.LineOf(x.Order, x.Line, x.What, x.Size)
			if line == nil {
				whole.Other = append(whole.Other, d)
				continue
			}
			density, _ := s.CastingsDensity(x.lot)
			d.Amount, d.Known = line.amountOf(x.Sale, x.lot.BagSize(x.Size), density)
			line.Sales = append(line.Sales, d)
		}
		for _, x := range worms[o.Entry] {
			d := Delivered{Noted: x.Noted, Price: x.Price, Amount: float64(x.Kg), Delivery: x.Delivery}
			line := whole.LineOf(x.Order, x.Line, x.What, 0)
			if line == nil {
				whole.Other = append(whole.Other, d)
				continue
			}
			d.Known = line.Count == CountMass
			if line.Count == CountPieces {
				d.Amount, d.Known = float64(x.Number), x.Number > 0
				if !d.Known && line.Product.Mass != nil && *line.Product.Mass > 0 {
					d.Amount, d.Known = float64(x.Kg)/float64(*line.Product.Mass), true
				}
			}
			line.Sales = append(line.Sales, d)
		}
		whole.settle()
		out = append(out, whole)
	}
	return out
}

// lineOf gives a product of an order as it is counted.
func (s *State) lineOf(o Order, part OrderItem, n int) OrderLine {
	line := OrderLine{Noted: o.Noted, Customer: o.Customer, Ref: o.Ref, Line: n, OrderItem: part}
	line.Product, line.Listed = s.Settings.Money.Product(part.What)
	switch {
	case part.Number > 0:
		line.Count, line.Wanted = CountPieces, float64(part.Number)
	case part.Volume > 0:
		line.Count, line.Wanted = CountVolume, float64(part.Volume)
	case part.Mass > 0:
		line.Count, line.Wanted = CountMass, part.Mass
	}
	return line
}

// Unbooked gives the products of an order that is not in the book.
func (s *State) Unbooked(o Order) []OrderLine {
	var out []OrderLine
	for i, part := range o.Parts {
		out = append(out, s.lineOf(o, part, i+1))
	}
	return out
}

// lotSale is a sale with its lot.
type lotSale struct {
	Sale
	lot *Lot
}

// OrderLines gives every product of every order with how far it has come.
func (s *State) OrderLines() []OrderLine {
	var out []OrderLine
	for _, o := range s.OrderBook() {
		out = append(out, o.Lines...)
	}
	return out
}

// Is says whether an id is that of the order or of one that it was written in place of.
func (o Order) Is(entry string) bool {
	return o.Entry == entry || slices.ContainsFunc(o.Before, func(b Order) bool { return b.Entry == entry })
}

// LineOf finds the product of an order that a sale delivers: the one that it names by
// its number, else the only one, else the only one that is called so or is of that size;
// nil where that cannot be told. entry is the order that the sale names: of one that was
// written anew since, the number is that of the product as it stood then.
func (o *Booked) LineOf(entry string, line int, what string, size qty.CubicMetre) *OrderLine {
	at := o.Order
	for _, b := range o.Before {
		if b.Entry == entry {
			at = b
		}
	}
	switch {
	case line > len(at.Parts):
		return nil
	case line == 0 && len(at.Parts) == 1:
		line = 1
	}
	if line > 0 {
		now := o.now(at.Entry, line-1)
		if now < 0 {
			return nil
		}
		return &o.Lines[now]
	}
	only := func(fits func(*OrderLine) bool) (found *OrderLine) {
		for i := range o.Lines {
			if !fits(&o.Lines[i]) {
				continue
			}
			if found != nil {
				return nil
			}
			found = &o.Lines[i]
		}
		return found
	}
	if what != "" {
		return only(func(l *OrderLine) bool { return sameName(l.What, what) })
	}
	if size > 0 {
		return only(func(l *OrderLine) bool { return l.Product.Volume != nil && like(*l.Product.Volume, size) })
	}
	return nil
}

// now gives the place, from 0, of what stood at a place of an order that this one was
// written in place of; -1 where nothing of it is left.
func (o Order) now(entry string, place int) int {
	for i := slices.IndexFunc(o.Before, func(b Order) bool { return b.Entry == entry }); i >= 0 && place >= 0; i-- {
		next := o.Parts
		if i > 0 {
			next = o.Before[i-1].Parts
		}
		place = CarryOrder(o.Before[i].Parts, next)[place]
	}
	return place
}

func sameName(a, b string) bool { return strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(b)) }

// CarryOrder gives for each product of an order its place, from 0, in the order that was
// written in place of it: the same product for the same day, then the same product, then
// one that stands in its place where there are as many as before; -1 where it is gone. Two of one
// product that became one are that one.
func CarryOrder(was, is []OrderItem) []int {
	out, taken := make([]int, len(was)), make([]bool, len(is))
	for i := range out {
		out[i] = -1
	}
	pass := func(fits func(i, k int) bool) {
		for i := range was {
			for k := range is {
				if out[i] < 0 && !taken[k] && fits(i, k) {
					out[i], taken[k] = k, true
				}
			}
		}
	}
	name := func(i, k int) bool { return sameName(was[i].What, is[k].What) }
	day := func(i, k int) bool { return name(i, k) && was[i].Due == is[k].Due }
	pass(func(i, k int) bool { return day(i, k) && was[i].SameAmount(is[k]) })
	pass(day)
	pass(name)
	for i := range was {
		if out[i] < 0 {
			out[i] = slices.IndexFunc(is, func(x OrderItem) bool { return sameName(was[i].What, x.What) })
		}
	}
	if len(was) == len(is) {
		pass(func(i, k int) bool { return i == k })
	}
	return out
}

// SameAmount says whether as much is wanted: volumes and masses typed in other units
// differ by a rounding.
func (o OrderItem) SameAmount(b OrderItem) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) <= 1e-3*max(math.Abs(x), math.Abs(y)) }
	return o.Number == b.Number && near(float64(o.Volume), float64(b.Volume)) && near(o.Mass, b.Mass)
}

// Closed says whether nothing is to come any more.
func (s OrderState) Closed() bool { return s == OrderDone || s == OrderCancelled }

// settle says how far the products have come, and the order with them: it is delivered
// when all that was not cancelled is.
func (o *Booked) settle() {
	count := map[OrderState]int{}
	for i := range o.Lines {
		o.Lines[i].settle()
		count[o.Lines[i].State]++
	}
	closed := count[OrderDone] + count[OrderCancelled]
	switch {
	case closed == len(o.Lines) && count[OrderDone] > 0:
		o.State = OrderDone
	case closed == len(o.Lines):
		o.State = OrderCancelled
	case count[OrderDone]+count[OrderPart] > 0:
		o.State = OrderPart
	default:
		o.State = OrderOpen
	}
}

// Why gives the reason of a cancelling.
func (o Booked) Why() string {
	for _, l := range o.Lines {
		if l.Cancel != nil {
			return l.Cancel.Why
		}
	}
	return ""
}

func (o *OrderLine) settle() {
	slices.SortStableFunc(o.Sales, func(a, b Delivered) int { return a.At.Compare(b.At) })
	for _, d := range o.Sales {
		if d.Known {
			o.Got += d.Amount
		}
	}
	switch {
	case len(o.Sales) > 0 && o.delivered():
		o.State = OrderDone
	case o.Cancel != nil:
		o.State = OrderCancelled
	case len(o.Sales) > 0:
		o.State = OrderPart
	default:
		o.State = OrderOpen
	}
}

// amountOf tells a sale in what the order is counted in.
func (o *OrderLine) amountOf(x Sale, size qty.CubicMetre, density qty.KgPerM3Wet) (float64, bool) {
	volume := float64(x.Volume)
	if volume == 0 && x.Bags > 0 {
		volume = float64(size) * float64(x.Bags)
	}
	if volume == 0 && x.Mass > 0 && density > 0 {
		volume = float64(x.Mass) / float64(density)
	}
	switch o.Count {
	case CountPieces:
		if x.Bags > 0 {
			return float64(x.Bags), true
		}
		if x.Mass > 0 && o.Product.Mass != nil && *o.Product.Mass > 0 {
			return float64(x.Mass) / float64(*o.Product.Mass), true
		}
		if o.Product.Volume != nil && *o.Product.Volume > 0 && volume > 0 {
			return volume / float64(*o.Product.Volume), true
		}
	case CountVolume:
		return volume, volume > 0
	case CountMass:
		if x.Mass > 0 {
			return float64(x.Mass), true
		}
		return volume * float64(density), volume > 0 && density > 0
	}
	return 0, false
}

// BagSize gives the size of a bag that was sold of a lot: the one written, else the one
// size that the lot was put into; 0 where that is not known.
func (l *Lot) BagSize(said qty.CubicMetre) qty.CubicMetre {
	if said > 0 || len(l.Bags) == 0 {
		return said
	}
	for _, b := range l.Bags {
		if b.Size != l.Bags[0].Size {
			return 0
		}
	}
	return l.Bags[0].Size
}

// BagsLeft gives the bags of a lot that are filled and not sold, of one size or, where
// the size is 0, of all.
func (l *Lot) BagsLeft(size qty.CubicMetre) (n int) {
	for _, b := range l.Bags {
		if size == 0 || like(b.Size, size) {
			n += b.Number
		}
	}
	for _, x := range l.Sales {
		if sold := l.BagSize(x.Size); size == 0 || sold == 0 || like(sold, size) {
			n -= x.Bags
		}
	}
	return n
}

// SameBag says whether two sizes of bags are one.
func SameBag(a, b qty.CubicMetre) bool { return like(a, b) }

// like says whether two sizes of bags are one: typed in other units they differ by a
// rounding.
func like(a, b qty.CubicMetre) bool { return math.Abs(float64(a-b)) <= 0.02*float64(max(a, b)) }

// Order finds an order by the id of its entry or of one that it was written in place
// of, or by the customer's number or the end
// of the id where only one order has it.
func (s *State) Order(id string) (Booked, bool) {
	var found []Booked
	for _, o := range s.OrderBook() {
		if o.Is(id) {
			return o, true
		}
		if id != "" && (strings.EqualFold(o.Ref, id) || len(id) >= 4 && strings.HasSuffix(o.Entry, strings.ToLower(id))) {
			found = append(found, o)
		}
	}
	if len(found) == 1 {
		return found[0], true
	}
	return Booked{}, false
}

// DueBy gives the day on which the first product that is still to come is due, else the
// last of all; false where nobody said.
func (o Booked) DueBy(zone *time.Location) (time.Time, bool) {
	var first, last time.Time
	for _, l := range o.Lines {
		t, ok := l.DueBy(zone)
		if !ok {
			continue
		}
		if !l.State.Closed() && (first.IsZero() || t.Before(first)) {
			first = t
		}
		if t.After(last) {
			last = t
		}
	}
	if first.IsZero() {
		first = last
	}
	return first, !first.IsZero()
}

// DueBy gives the day on which a product is due; false where nobody said.
func (o OrderItem) DueBy(zone *time.Location) (time.Time, bool) {
	t, err := time.ParseInLocation(time.DateOnly, o.Due, zone)
	return t, err == nil
}
