package app

import (
	"fmt"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"wormyard/cost"
	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// Load is what one lot, or some bins, give to a delivery of one product of an order.
type Load struct {
	Line   farm.OrderLine
	Lot    string
	Bins   []string   // of live worms
	Amount float64    // in LoadedIn of the line: pieces, m3, kg
	Kg     qty.LiveKg // of live worms
}

// LoadedIn gives what a product of an order is counted in when it is loaded: bags by
// the piece however they were ordered, and what is loose by volume or by mass.
func LoadedIn(o farm.OrderLine) string {
	kind := ""
	if o.Listed {
		kind = o.Product.Kind()
	}
	switch {
	case kind == farm.SoldBags, kind == farm.SoldTotes, kind == farm.SoldKits, kind == "" && o.Count == farm.CountPieces:
		return farm.CountPieces
	case kind == farm.SoldWorms, o.Count == farm.CountMass:
		return farm.CountMass
	}
	return farm.CountVolume
}

// Loaded tells an amount of an order in what its product is loaded in; false where that
// cannot be told.
func Loaded(o farm.OrderLine, amount float64) (float64, bool) {
	switch in := LoadedIn(o); {
	case in == o.Count:
		return amount, true
	case in == farm.CountPieces:
		ones, ok := o.Ones(amount)
		return math.Round(ones), ok
	case in == farm.CountMass && o.Count == farm.CountPieces && o.Product.Mass != nil:
		return amount * float64(*o.Product.Mass), true
	case in == farm.CountVolume:
		v, ok := o.Castings(amount, 0)
		return float64(v), ok
	}
	return 0, false
}

// Ordered tells an amount as loaded in what the order is counted in, as Loaded does the
// other way.
func Ordered(o farm.OrderLine, loaded float64) (float64, bool) {
	one, ok := Loaded(o, 1)
	if LoadedIn(o) == o.Count {
		return loaded, true
	}
	if o.Count != farm.CountPieces { // bags of an order by volume or mass
		switch {
		case o.Count == farm.CountVolume && o.Product.Volume != nil:
			return loaded * float64(*o.Product.Volume), true
		case o.Count == farm.CountMass && o.Product.Mass != nil:
			return loaded * float64(*o.Product.Mass), true
		}
		return 0, false
	}
	return loaded / one, ok && one > 0
}

// leastHeap is the least that is loaded of a heap where it is not all that is wanted [m3]:
// half a loader bucket. Common practice, no source.
const leastHeap = 0.2

// PlanLoads parts what is left of a product over the lots that are released and hold
// something of it, the oldest first, as a crew would load it. What they do not hold is on
// none.
func PlanLoads(s *farm.State, o farm.OrderLine) []Load {
	left, ok := Loaded(o, o.Left())
	if !ok || o.Listed && o.Product.Living() {
		return nil
	}
	lots := LotsFor(s, o)
	slices.Reverse(lots)
	var out []Load
	for _, l := range lots {
		has := float64(l.Loose)
		switch LoadedIn(o) {
		case farm.CountPieces:
			has = float64(l.Bags)
		case farm.CountMass:
			x, _ := s.Lot(l.Lot)
			has = float64(s.Amounts(x).Left())
		}
		if LoadedIn(o) == farm.CountVolume && has < leastHeap && has < left { // a rest that no loader drives to
			continue
		}
		if take := min(left, has); l.Released && take > 0 {
			out = append(out, Load{Line: o, Lot: l.Lot, Amount: take})
			left -= take
		}
	}
	return out
}

// Deliver gives the entries of what goes out together to one customer: a sale for each
// lot, all with the same word in delivery where there are several. Prices are by the
// number of the product and for all of it that goes; what has none there goes by the
// price agreed or the price list.
func Deliver(like journal.Entry, customer, note string, loads []Load, prices map[int]qty.Money) []journal.Entry {
	word := ""
	if len(loads) > 1 {
		word = like.ID
	}
	by := map[int][]int{}
	for i, x := range loads {
		by[x.Line.Line] = append(by[x.Line.Line], i)
	}
	price := make([]*qty.Money, len(loads))
	for line, at := range by {
		whole, weights := 0.0, []float64{}
		for _, i := range at {
			whole += loads[i].Amount
			weights = append(weights, loads[i].Amount)
		}
		worth, priced := prices[line]
		if !priced {
			if amount, ok := Ordered(loads[at[0]].Line, whole); ok {
				worth, priced = loads[at[0]].Line.Worth(amount)
			}
		}
		if !priced {
			continue
		}
		parts := cost.Split(cost.Sure(decimal.NewFromFloat(float64(worth))), weights)
		left := decimal.NewFromFloat(float64(worth))
		for k, i := range at {
			x := parts[k].Best.Round(2)
			if k == len(at)-1 {
				x = left
			}
			left = left.Sub(x)
			m := qty.Money(x.InexactFloat64())
			price[i] = &m
		}
	}
	var facts []Fact
	for i, x := range loads {
		line := x.Line.Line
		what := ""
		if x.Line.Listed {
			what = x.Line.Product.Name
		}
		if x.Line.Listed && x.Line.Product.Living() {
			b := &journal.WormsSold{Bins: x.Bins, Kg: x.Kg, What: what, Customer: customer, Price: price[i], Order: x.Line.Entry, Line: &line, Delivery: word, Note: note}
			if LoadedIn(x.Line) == farm.CountPieces {
				n := int(x.Amount)
				b.Number = &n
			}
			facts = append(facts, Fact{Body: b})
			continue
		}
		b := &journal.Sell{Lot: x.Lot, Customer: customer, Price: price[i], What: what, Order: x.Line.Entry, Line: &line, Delivery: word, Note: note}
		switch LoadedIn(x.Line) {
		case farm.CountPieces:
			n := int(x.Amount)
			b.Bags = &n
			if x.Line.Listed {
				b.SizeM3 = x.Line.Product.Volume
			}
		case farm.CountMass:
			m := qty.WetKg(x.Amount)
			b.MassKgWet = &m
		default:
			v := qty.CubicMetre(x.Amount)
			b.VolumeM3 = &v
		}
		facts = append(facts, Fact{Body: b})
	}
	return Entries(like, facts)
}

// againstTogether holds a sale against those before it that are written down with it:
// each may be right by itself and all of them more than the lot holds.
func againstTogether(s *farm.State, before []journal.Entry, e *journal.Entry) []journal.Problem {
	b, ok := e.Body.(*journal.Sell)
	if !ok {
		return nil
	}
	l, ok := s.Lot(b.Lot)
	if !ok {
		return nil
	}
	u := s.Settings.Units
	density := float64(s.Amounts(l).Density)
	mass := func(x *journal.Sell) qty.WetKg {
		if x.MassKgWet != nil {
			return *x.MassKgWet
		}
		return qty.WetKg(float64(or0(x.VolumeM3)) * density)
	}
	bags, kg, others := or0(b.Bags), mass(b), 0
	for _, x := range before {
		if old, ok := x.Body.(*journal.Sell); ok && old.Lot == b.Lot && (old.Bags != nil) == (b.Bags != nil) && (b.SizeM3 == nil || old.SizeM3 == nil || farm.SameBag(*old.SizeM3, *b.SizeM3)) {
			bags, kg, others = bags+or0(old.Bags), kg+mass(old), others+1
		}
	}
	if others == 0 {
		return nil
	}
	left := max(l.BagsLeft(or0(b.SizeM3)), 0)
	a := s.Amounts(l)
	switch {
	case b.Bags != nil && or0(b.Bags) <= left && bags > left:
		return []journal.Problem{{Field: "bags", Level: journal.Refused, Say: fmt.Sprintf("%d bags are sold of lot %s, and %d of it are filled and not sold.", bags, b.Lot, left), Try: "Enter the bagging first, or look whether the sale is written already: a bag is sold once."}}
	case b.Bags == nil && a.Sure && a.In > 0 && a.TooMuch(kg) && !a.TooMuch(mass(b)):
		return []journal.Problem{{Field: "lot", Level: journal.Doubtful, Say: fmt.Sprintf("%s is taken of lot %s, and about %s of it is left by the journal.", u.Mass(float64(kg)), b.Lot, u.Mass(float64(a.Left()))), Try: "Enter the harvest that is missing, or say yes."}}
	}
	return nil
}
