package app

import (
	"cmp"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"wormyard/cost"
	"wormyard/farm"
	"wormyard/internal/source"
	"wormyard/journal"
	"wormyard/qty"
)

// WhatIf is what is tried in place of what the farm says; nil leaves it.
type WhatIf struct {
	Wage, Truck, Power, Bag *decimal.Decimal
	Times                   *decimal.Decimal // the selling prices, so many times
	Yield                   *float64         // part of what is harvested that can be sold
}

// CostAnswer is the answer of wormyard costs. Money is text, so that no digit is
// lost; amounts in hours, kWh and bags are too.
type CostAnswer struct {
	Currency string        `json:"currency,omitempty"`
	All      CostSum       `json:"all"`
	Waiting  CostSum       `json:"waiting"` // in no lot yet: in yard and beds, or of the whole farm
	Lots     []CostRow     `json:"lots"`    // the newest first
	Months   []CostRow     `json:"months"`  // the newest first
	Products []ProductRow  `json:"products"`
	Unknown  []CostUnknown `json:"unknown"` // left out, one by one
	NoPrice  []string      `json:"no_price,omitempty"`
}

// CostSpan is an amount with its range, as decimals.
type CostSpan struct {
	Low  string `json:"low"`
	Best string `json:"best"`
	High string `json:"high"`
}

// CostSum is what something cost.
type CostSum struct {
	Total   CostSpan            `json:"total"`
	By      map[string]CostSpan `json:"by"`
	Used    map[string]CostSpan `json:"used"` // hours, kWh, bags
	Without []string            `json:"without,omitempty"`

	Sum cost.Sum `json:"-"`
}

// CostRow is what a lot or a month cost.
type CostRow struct {
	Name string `json:"name"`
	CostSum
	VolumeM3 *float64  `json:"volume_m3"` // null where it is not known
	PerM3    *CostSpan `json:"per_m3"`

	Per   cost.Span `json:"-"`
	Since time.Time `json:"-"`
}

// ProductRow is what was sold of one product.
type ProductRow struct {
	Product  string   `json:"product"` // "bag", "loose by volume", "loose by mass"
	SizeM3   float64  `json:"size_m3,omitempty"`
	Sales    int      `json:"sales"`
	Unpriced int      `json:"sales_without_price"` // left out of the money
	Number   int      `json:"number,omitempty"`
	VolumeM3 float64  `json:"volume_m3"`
	Revenue  string   `json:"revenue"`
	Cost     CostSpan `json:"cost"`
	Margin   CostSpan `json:"margin"`

	Money          decimal.Decimal `json:"-"`
	Costs, Margins cost.Span       `json:"-"`
}

// CostUnknown is something of which nobody wrote what it cost.
type CostUnknown struct {
	Kind string `json:"kind"`
	What string `json:"what"`
	Of   string `json:"of"`
}

// Tempo gives what acts take where nobody wrote it, from the built-in data.
func Tempo() (farm.Tempo, error) {
	t := farm.Tempo{Minutes: map[string]cost.Span{}, Truck: []string{"move", "receive", "blend"}}
	of := map[string]string{"feed_minutes": "feed", "water_minutes": "water", "cover_minutes": "cover", "open_minutes": "turn", "look_minutes": "look", "stab_minutes": "reading", "rule_minutes": "depth",
		"count_minutes": "count", "harvest_minutes": "harvest", "lift_minutes": "move", "blend_minutes_m3": "blend", "receive_minutes": "receive", "screen_minutes_m3": "screen", "bag_minutes": "bag"}
	for _, file := range []string{"round", "cost"} {
		list, err := source.Parameters(file)
		if err != nil {
			return t, err
		}
		for _, p := range list {
			e := p.Estimate()
			switch act := of[p.Name]; {
			case act != "":
				t.Minutes[act] = cost.Between(e.Low, e.Best, e.High)
			case p.Name == "bag_m3":
				t.Bag = qty.CubicMetre(e.Best)
			case p.Name == "heat_duty":
				t.Duty = cost.Between(e.Low, e.Best, e.High)
			}
		}
	}
	return t, nil
}

// Rates gives what things cost the farm, and what is tried in their place.
func Rates(s *farm.State, try WhatIf) cost.Rates {
	m := s.Settings.Money
	of := func(tried *decimal.Decimal, said *qty.Money) *decimal.Decimal {
		if tried != nil || said == nil {
			return tried
		}
		d := decimal.NewFromFloat(float64(*said))
		return &d
	}
	return cost.Rates{Wage: of(try.Wage, m.Wage), Truck: of(try.Truck, m.Truck), Power: of(try.Power, m.Power), Bag: of(try.Bag, m.Bag)}
}

// Costs gives what castings cost, by lot, by month and by product.
func Costs(s *farm.State, now time.Time, try WhatIf) (CostAnswer, error) {
	tempo, err := Tempo()
	if err != nil {
		return CostAnswer{}, err
	}
	uses := s.Spent(now, tempo)
	rates := Rates(s, try)
	r := cost.Reckon(uses, rates)
	out := CostAnswer{Currency: s.Settings.Money.Currency, All: costSum(r.All), Lots: []CostRow{}, Months: []CostRow{}, Products: []ProductRow{}, Unknown: []CostUnknown{}}
	for _, k := range cost.Kinds() {
		if _, priced := rates.Rate(k); !priced && !r.All.Used[k].Zero() {
			out.NoPrice = append(out.NoPrice, string(k))
		}
	}
	lots := map[string]cost.Sum{}
	for _, x := range r.Lots {
		lots[x.Name] = x.Sum
	}
	out.Waiting = costSum(lots[""])
	monthly := map[string]float64{}
	per := map[string]cost.Span{}
	for _, l := range s.Lots() {
		row := CostRow{Name: l.Name, CostSum: costSum(lots[l.Name]), Since: l.Since.At}
		v := sellable(s, l, try.Yield, monthly)
		row.volume(v)
		if row.PerM3 != nil {
			per[l.Name] = row.Per
		}
		out.Lots = append(out.Lots, row)
	}
	slices.SortStableFunc(out.Lots, func(a, b CostRow) int { return b.Since.Compare(a.Since) })
	for _, x := range r.Months {
		row := CostRow{Name: x.Name, CostSum: costSum(x.Sum)}
		row.volume(qty.CubicMetre(monthly[x.Name]))
		out.Months = append(out.Months, row)
	}
	slices.Reverse(out.Months)
	seen := map[CostUnknown]bool{}
	for _, u := range uses {
		x := CostUnknown{string(u.Kind), u.What, u.Of}
		if !u.Known && !seen[x] {
			seen[x] = true
			out.Unknown = append(out.Unknown, x)
		}
	}
	out.Products = products(s, per, try.Times)
	return out, nil
}

func (r *CostRow) volume(v qty.CubicMetre) {
	if x, ok := cost.PerVolume(r.Sum.Total, v); ok {
		span := costSpan(x)
		r.VolumeM3, r.PerM3, r.Per = numberOf(float64(v)), &span, x
	}
}

func costSpan(s cost.Span) CostSpan {
	return CostSpan{s.Low.StringFixed(2), s.Best.StringFixed(2), s.High.StringFixed(2)}
}

func costSum(s cost.Sum) CostSum {
	out := CostSum{Total: costSpan(s.Total), By: map[string]CostSpan{}, Used: map[string]CostSpan{}, Sum: s}
	for k, v := range s.By {
		out.By[string(k)] = costSpan(v)
	}
	for k, v := range s.Used {
		if k != cost.Feedstock && k != cost.Haulage {
			out.Used[string(k)] = costSpan(v)
		}
	}
	for _, k := range s.Missing {
		out.Without = append(out.Without, string(k))
	}
	return out
}

// sellable gives the volume of a lot that can be sold: what went in less what the
// screen kept back and what went into other lots, or the part that is tried. It
// adds to the volumes harvested by month. docs/model.md (J3).
func sellable(s *farm.State, l *farm.Lot, yield *float64, monthly map[string]float64) qty.CubicMetre {
	a := s.Amounts(l)
	if !a.Sure || a.In <= 0 || a.Density <= 0 {
		return 0
	}
	part := float64(a.In-a.Overs) / float64(a.In)
	if yield != nil {
		part = *yield
	}
	for _, x := range l.From {
		m := float64(x.Mass)
		if m <= 0 {
			m = float64(x.Volume) * float64(a.Density)
		}
		monthly[x.At.In(s.Zone()).Format(journal.MonthLayout)] += m * part / float64(a.Density)
	}
	return qty.CubicMetre(max(float64(a.In)*part-float64(a.Given), 0) / float64(a.Density))
}

// products gives what was sold by product, with what it cost by the cost of its
// lot. docs/model.md (J4).
func products(s *farm.State, per map[string]cost.Span, times *decimal.Decimal) []ProductRow {
	type key struct {
		product string
		size    float64
	}
	rows := map[key]*ProductRow{}
	for _, l := range s.Lots() {
		density, _ := s.CastingsDensity(l)
		size := 0.0
		for i, b := range l.Bags {
			if i > 0 && float64(b.Size) != size {
				size = 0 // nobody wrote of which size a sale was
				break
			}
			size = float64(b.Size)
		}
		for _, x := range l.Sales {
			k, v := key{"loose by volume", 0}, float64(x.Volume)
			switch {
			case x.Bags > 0:
				k, v = key{"bag", size}, size*float64(x.Bags)
			case x.Mass > 0:
				k, v = key{"loose by mass", 0}, float64(x.Mass)/float64(density)
			}
			r := rows[k]
			if r == nil {
				r = &ProductRow{Product: k.product, SizeM3: k.size}
				rows[k] = r
			}
			r.Sales++
			c, known := per[l.Name]
			if x.Price <= 0 || !known || v <= 0 {
				r.Unpriced++
				continue
			}
			price := decimal.NewFromFloat(float64(x.Price))
			if times != nil {
				price = price.Mul(*times)
			}
			r.Number, r.VolumeM3 = r.Number+x.Bags, r.VolumeM3+v
			r.Money = r.Money.Add(price)
			r.Costs = r.Costs.Plus(c.Times(decimal.NewFromFloat(v)))
		}
	}
	out := []ProductRow{}
	for _, r := range rows {
		r.Margins = cost.Margin(r.Money, r.Costs)
		r.Revenue, r.Cost, r.Margin = r.Money.StringFixed(2), costSpan(r.Costs), costSpan(r.Margins)
		out = append(out, *r)
	}
	slices.SortFunc(out, func(a, b ProductRow) int {
		return cmp.Or(cmp.Compare(a.Product, b.Product), cmp.Compare(a.SizeM3, b.SizeM3))
	})
	return out
}

// mostPrice is the greatest price that is read.
const mostPrice = 1e6

// Price reads a price as a person types it; false where it is none of 0 to a million.
func Price(text string) (decimal.Decimal, bool) {
	v, ok := qty.Number(text)
	if !ok || v < 0 || v > mostPrice {
		return decimal.Zero, false
	}
	return decimal.NewFromFloat(v), true
}
