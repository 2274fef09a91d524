// Package cost is what a cubic yard of castings costs: what was spent on feedstock,
// haulage, crew, truck, heat and bags, by the lot that it went into and by the
// month in which it was spent.
//
// Money is decimal and never a binary fraction, so that parts add to the whole to
// the last digit. What is only known within a range stays a range; the ends of
// ranges are added as they are, which is wider than chance would have it. What is
// not known at all is named and left out, and never counts as nothing in silence.
//
// It leaves out rent, buildings, machines, interest, office work, selling and tax,
// and does not know the journal: package farm says what was used. The equations are
// in docs/model/cost.md.
package cost

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"wormyard/qty"
)

// Kind says what money goes for.
type Kind string

// The kinds, in the order in which they are told.
const (
	Feedstock Kind = "feedstock"
	Haulage   Kind = "haulage"
	Crew      Kind = "crew"
	Truck     Kind = "truck"
	Heat      Kind = "heat"
	Bags      Kind = "bags"
	Totes     Kind = "totes"
)

// Kinds lists the kinds in the order in which they are told.
func Kinds() []Kind { return []Kind{Feedstock, Haulage, Crew, Truck, Heat, Bags, Totes} }

// Span is an amount with its range: of money in the farm's currency, or of what
// money buys.
type Span struct{ Low, Best, High decimal.Decimal }

// Sure gives an amount without a range.
func Sure(d decimal.Decimal) Span { return Span{d, d, d} }

// Between gives an amount with a range.
func Between(low, best, high float64) Span {
	return Span{decimal.NewFromFloat(low), decimal.NewFromFloat(best), decimal.NewFromFloat(high)}
}

// Plus gives the sum.
func (a Span) Plus(b Span) Span {
	return Span{a.Low.Add(b.Low), a.Best.Add(b.Best), a.High.Add(b.High)}
}

// Minus gives what is left when a part is taken away, end from like end.
func (a Span) Minus(b Span) Span {
	return Span{a.Low.Sub(b.Low), a.Best.Sub(b.Best), a.High.Sub(b.High)}
}

// Times gives the amount so many times.
func (a Span) Times(d decimal.Decimal) Span {
	return Span{a.Low.Mul(d), a.Best.Mul(d), a.High.Mul(d)}
}

// Ranged says whether the ends are apart.
func (a Span) Ranged() bool { return !a.Low.Equal(a.High) }

// Zero says whether it is nothing at all.
func (a Span) Zero() bool { return a.Low.IsZero() && a.Best.IsZero() && a.High.IsZero() }

// places is to how many digits after the point a part of a sum is reckoned: a
// millionth of a coin, so that a million parts are off by less than one.
const places = 8

// Split parts an amount by weights of 0 or more; the parts add to it exactly.
// Without a weight above 0 all of it is in the last part. docs/model.md (J1).
func Split(total Span, weights []float64) []Span {
	out := make([]Span, len(weights))
	sum, last := 0.0, len(weights)-1
	for i, w := range weights {
		if w > 0 {
			sum, last = sum+w, i
		}
	}
	left := total
	for i, w := range weights {
		if w > 0 && i != last {
			d := decimal.NewFromFloat(w / sum)
			x := total.Times(d)
			out[i] = Span{x.Low.Round(places), x.Best.Round(places), x.High.Round(places)}
			left = left.Minus(out[i])
		}
	}
	if last >= 0 {
		out[last] = left
	}
	return out
}

// Book is what was used, written down twice: by the lot and by the month. Both add
// to the same. Taken is what was taken of live worms.
type Book struct {
	Lots, Months []Use
	Taken        []Take
}

// Take is live worms sold out of one bin.
type Take struct {
	Entry string  // of the sale
	Lot   string  // that the bin was harvested into next; "" where it was not yet
	Kg    float64 // live mass [kg]
}

// Use is what was used for one lot, or in one month.
type Use struct {
	Kind   Kind
	What   string // the material that came, where it is not known what was paid
	Lot    string // "" where it is in no lot yet, or of the whole farm
	Worms  bool   // it is the part of the worms that were sold out of the beds of that lot
	Month  string // "2026-05", of a line of Book.Months
	Amount Span   // money for feedstock and haulage, hours of crew and truck, kWh, bags, totes
	Known  bool   // false where it is written that something was used and not how much
	Of     string // which one, where it is not known
	Entry  string // that wrote it, where it is not known and there is one
}

// Rates is what a unit of what is used costs, in the farm's currency; nil where
// nobody said.
type Rates struct {
	Wage  *decimal.Decimal // an hour of one of the crew
	Truck *decimal.Decimal // an hour of loader or forklift
	Power *decimal.Decimal // a kWh
	Bag   *decimal.Decimal // an empty bag
	Tote  *decimal.Decimal // an empty tote
	Haul  *decimal.Decimal // what was paid for haulage so many times; nil is once
}

// Rate gives what a unit of a kind costs; false where nobody said.
func (r Rates) Rate(k Kind) (decimal.Decimal, bool) {
	p := map[Kind]*decimal.Decimal{Crew: r.Wage, Truck: r.Truck, Heat: r.Power, Bags: r.Bag, Totes: r.Tote, Haulage: r.Haul}[k]
	if p == nil && (k == Feedstock || k == Haulage) {
		return decimal.NewFromInt(1), true
	}
	if p == nil {
		return decimal.Zero, false
	}
	return *p, true
}

// Sum is what something cost.
type Sum struct {
	By      map[Kind]Span
	Used    map[Kind]Span // hours, kWh, bags and totes, of which the price may not be known
	Total   Span          // of what is known
	Missing []Kind        // of which something is left out, in the order of Kinds
}

func (s *Sum) add(u Use, r Rates) {
	if s.By == nil {
		s.By, s.Used = map[Kind]Span{}, map[Kind]Span{}
	}
	rate, priced := r.Rate(u.Kind)
	if u.Known {
		s.Used[u.Kind] = s.Used[u.Kind].Plus(u.Amount)
	}
	if !u.Known || !priced {
		if !slices.Contains(s.Missing, u.Kind) {
			s.Missing = append(s.Missing, u.Kind)
			slices.SortFunc(s.Missing, func(a, b Kind) int { return slices.Index(Kinds(), a) - slices.Index(Kinds(), b) })
		}
		return
	}
	x := u.Amount.Times(rate)
	s.By[u.Kind] = s.By[u.Kind].Plus(x)
	s.Total = s.Total.Plus(x)
}

// Plus gives what two things cost together.
func (s Sum) Plus(o Sum) Sum {
	out := Sum{By: map[Kind]Span{}, Used: map[Kind]Span{}, Total: s.Total.Plus(o.Total)}
	for _, k := range Kinds() {
		if x := s.By[k].Plus(o.By[k]); !x.Zero() {
			out.By[k] = x
		}
		if x := s.Used[k].Plus(o.Used[k]); !x.Zero() {
			out.Used[k] = x
		}
		if slices.Contains(s.Missing, k) || slices.Contains(o.Missing, k) {
			out.Missing = append(out.Missing, k)
		}
	}
	return out
}

// Row is what one lot or one month cost.
type Row struct {
	Name string
	Sum
}

// Reckoning is what was spent, parted in two ways.
type Reckoning struct {
	All    Sum
	Lots   []Row // by name; what is in no lot yet has none
	Worms  []Row // of live worms sold, by the lot that their beds were harvested into next
	Months []Row // in order
}

// OfTake gives what a part of the worms sold cost: what all that were taken of the beds
// of a lot cost, by live mass [kg]. docs/model.md (J6).
func OfTake(of Sum, kg, all float64) Span {
	if !(all > 0) {
		return Span{}
	}
	return of.Total.Times(decimal.NewFromFloat(kg / all))
}

// Reckon gives what everything cost. The sums of the lots, with that of what is in
// none yet and that of live worms sold, are the farm's, and so are those of the months. docs/model.md (J2).
func Reckon(b Book, r Rates) Reckoning {
	var out Reckoning
	lots, worms, months := map[string]*Sum{}, map[string]*Sum{}, map[string]*Sum{}
	of := func(m map[string]*Sum, name string) *Sum {
		if m[name] == nil {
			m[name] = &Sum{}
		}
		return m[name]
	}
	for _, u := range b.Lots {
		out.All.add(u, r)
		if u.Worms {
			of(worms, u.Lot).add(u, r)
			continue
		}
		of(lots, u.Lot).add(u, r)
	}
	for _, u := range b.Months {
		of(months, u.Month).add(u, r)
	}
	rows := func(m map[string]*Sum) (list []Row) {
		for name, s := range m {
			list = append(list, Row{name, *s})
		}
		slices.SortFunc(list, func(a, b Row) int { return strings.Compare(a.Name, b.Name) })
		return list
	}
	out.Lots, out.Worms, out.Months = rows(lots), rows(worms), rows(months)
	return out
}

// PerVolume gives what a cubic metre cost of a volume with its range [m3], dearest
// where it is least; false where there is no volume. docs/model.md (J3).
func PerVolume(total Span, v qty.Estimate) (Span, bool) {
	if !(v.Low > 0) {
		return Span{}, false
	}
	over := func(x decimal.Decimal, m3 float64) decimal.Decimal {
		return x.DivRound(decimal.NewFromFloat(m3), places)
	}
	return Span{over(total.Low, v.High), over(total.Best, v.Best), over(total.High, v.Low)}, true
}

// Margin gives what is left of a price when what the goods cost is taken off; its
// low end is where they cost most. docs/model.md (J4).
func Margin(price decimal.Decimal, cost Span) Span {
	return Span{price.Sub(cost.High), price.Sub(cost.Best), price.Sub(cost.Low)}
}
