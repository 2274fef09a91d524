package farm

import (
	"math"
	"slices"
	"strings"
	"time"

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
	Lot    string // "" for live worms
	Amount float64
	Known  bool // the amount can be told in what the order is counted in
	Price  qty.Money
}

// OrderLine is an order with how far it has come. Amounts are in Count; volumes in m3,
// masses in kg.
type OrderLine struct {
	Order
	Product ProductSetup
	Listed  bool   // the product is on the price list
	Count   string // CountPieces, CountVolume, CountMass; "" where nobody wrote how much
	Wanted  float64
	Got     float64
	Sales   []Delivered
	State   OrderState
}

// enough is the part of an order from which it is delivered: scales and loader buckets
// are good to some hundredths. Common practice, no source.
const enough = 0.97

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

// OrderBook gives every order with how far it has come, in order of entry. An order is
// delivered by sales that name it.
func (s *State) OrderBook() []OrderLine {
	if len(s.orders) == 0 {
		return nil
	}
	type sale struct {
		Sale
		lot *Lot
	}
	sales, worms := map[string][]sale{}, map[string][]WormSale{}
	for _, l := range s.Lots() {
		for _, x := range l.Sales {
			if x.Order != "" {
				sales[x.Order] = append(sales[x.Order], sale{x, l})
			}
		}
	}
	for _, x := range s.worms {
		if x.Order != "" {
			worms[x.Order] = append(worms[x.Order], x)
		}
	}
	var out []OrderLine
	for _, o := range s.Orders() {
		line := OrderLine{Order: o}
		line.Product, line.Listed = s.Settings.Money.Product(o.What)
		switch {
		case o.Number > 0:
			line.Count, line.Wanted = CountPieces, float64(o.Number)
		case o.Volume > 0:
			line.Count, line.Wanted = CountVolume, float64(o.Volume)
		case o.Mass > 0:
			line.Count, line.Wanted = CountMass, o.Mass
		}
		for _, x := range sales[o.Entry] {
			d := Delivered{Noted: x.Noted, Lot: x.lot.Name, Price: x.Price}
			density, _ := s.CastingsDensity(x.lot)
			d.Amount, d.Known = line.amountOf(x.Sale, x.lot.bagSize(x.Size), density)
			line.Sales = append(line.Sales, d)
		}
		for _, x := range worms[o.Entry] {
			d := Delivered{Noted: x.Noted, Price: x.Price, Amount: float64(x.Kg), Known: line.Count == CountMass}
			if line.Count == CountPieces {
				d.Amount, d.Known = float64(x.Number), x.Number > 0
				if !d.Known && line.Product.Mass != nil && *line.Product.Mass > 0 {
					d.Amount, d.Known = float64(x.Kg)/float64(*line.Product.Mass), true
				}
			}
			line.Sales = append(line.Sales, d)
		}
		slices.SortStableFunc(line.Sales, func(a, b Delivered) int { return a.At.Compare(b.At) })
		line.settle()
		out = append(out, line)
	}
	return out
}

func (o *OrderLine) settle() {
	for _, d := range o.Sales {
		if d.Known {
			o.Got += d.Amount
		}
	}
	switch {
	case len(o.Sales) > 0 && (o.Count == "" || o.Got >= enough*o.Wanted):
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

// bagSize gives the size of a bag that was sold of a lot: the one written, else the one
// size that the lot was put into; 0 where that is not known.
func (l *Lot) bagSize(said qty.CubicMetre) qty.CubicMetre {
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
		if sold := l.bagSize(x.Size); size == 0 || sold == 0 || like(sold, size) {
			n -= x.Bags
		}
	}
	return n
}

// like says whether two sizes of bags are one: typed in other units they differ by a
// rounding.
func like(a, b qty.CubicMetre) bool { return math.Abs(float64(a-b)) <= 0.02*float64(max(a, b)) }

// Order finds an order by the id of its entry, or by the customer's number or the end
// of the id where only one order has it.
func (s *State) Order(id string) (OrderLine, bool) {
	var found []OrderLine
	for _, o := range s.OrderBook() {
		if o.Entry == id {
			return o, true
		}
		if id != "" && (strings.EqualFold(o.Ref, id) || len(id) >= 4 && strings.HasSuffix(o.Entry, strings.ToLower(id))) {
			found = append(found, o)
		}
	}
	if len(found) == 1 {
		return found[0], true
	}
	return OrderLine{}, false
}

// DueBy gives the day on which an order is due; false where nobody said.
func (o Order) DueBy(zone *time.Location) (time.Time, bool) {
	t, err := time.ParseInLocation(time.DateOnly, o.Due, zone)
	return t, err == nil
}
