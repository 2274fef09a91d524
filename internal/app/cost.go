package app

import (
	"cmp"
	"maps"
	"slices"
	"sync"
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
	Wage, Truck, Power, Bag, Tote *decimal.Decimal
	Haul                          *decimal.Decimal // what was paid for haulage, so many times
	Times                         *decimal.Decimal // the selling prices, so many times
	Yield                         *float64         // part of what is harvested that can be sold
}

// Asks says whether anything is tried.
func (w WhatIf) Asks() bool { return w != WhatIf{} }

// CostAnswer is the answer of wormyard costs. Money is text, so that no digit is
// lost; amounts in hours, kWh and bags are too.
type CostAnswer struct {
	Currency string        `json:"currency,omitempty"`
	All      CostSum       `json:"all"`
	Waiting  CostSum       `json:"waiting"` // in no lot yet: in yard and beds, or of the whole farm
	Worms    CostSum       `json:"worms"`   // of live worms sold: their taking, and their part of the beds
	Lots     []CostRow     `json:"lots"`    // the newest first
	Months   []CostRow     `json:"months"`  // the newest first
	Products []ProductRow  `json:"products"`
	Mean     *CostMean     `json:"mean"`    // of the lots of the last twelve months; null where none has a volume
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

// CostMean is what a cubic metre cost in the mean of several lots.
type CostMean struct {
	Lots     int                 `json:"lots"`
	VolumeM3 float64             `json:"volume_m3"`
	PerM3    CostSpan            `json:"per_m3"`
	By       map[string]CostSpan `json:"by_per_m3"`
	Without  []string            `json:"without,omitempty"`

	Per   cost.Span               `json:"-"`
	Parts map[cost.Kind]cost.Span `json:"-"`
}

// CostRow is what a lot or a month cost.
type CostRow struct {
	Name string `json:"name"`
	CostSum
	VolumeM3 *float64  `json:"volume_m3"` // null where it is not known
	PerM3    *CostSpan `json:"per_m3"`

	Per    cost.Span    `json:"-"`
	Volume qty.Estimate `json:"-"` // [m3]
	Since  time.Time    `json:"-"`
}

// What was sold, where it is no line of the price list.
const (
	ProductBags        = "bag"
	ProductLooseVolume = "loose by volume"
	ProductLooseMass   = "loose by mass"
	ProductWorms       = "live worms"
	ProductKits        = "starter kits"
)

// ProductRow is what was sold of one product.
type ProductRow struct {
	Product  string   `json:"product"` // "bag", "loose by volume", "loose by mass"
	SizeM3   float64  `json:"size_m3,omitempty"`
	Sales    int      `json:"sales"`
	Unpriced int      `json:"sales_without_price"` // left out of the money
	Number   int      `json:"number,omitempty"`
	VolumeM3 float64  `json:"volume_m3"`
	MassKg   float64  `json:"live_mass_kg,omitempty"`       // of worms
	Waits    int      `json:"sales_without_bed,omitempty"`  // of worms whose bed was not harvested since: its part is not in the cost yet
	NoParts  int      `json:"kits_without_parts,omitempty"` // kits of which the price list does not say what bin and bedding cost
	Revenue  string   `json:"revenue"`
	Cost     CostSpan `json:"cost"`
	Margin   CostSpan `json:"margin"`

	Money          decimal.Decimal `json:"-"`
	Costs, Margins cost.Span       `json:"-"`
}

// CostUnknown is something of which nobody wrote what it cost.
type CostUnknown struct {
	Kind  string `json:"kind"`
	What  string `json:"what"`
	Of    string `json:"of"`
	Entry string `json:"entry,omitempty"` // where it is written that it came
}

// TimedActs lists the acts whose minutes are reckoned, in the order of a farmer's day.
func TimedActs() []string {
	return []string{"receive", "blend", "feed", "water", "cover", "turn", "look", "reading", "depth", "count", "move", "harvest", "screen", "bag", "worms"}
}

// usualTempo gives what acts take by the built-in data, which is read once.
var usualTempo = sync.OnceValues(func() (farm.Tempo, error) {
	t := farm.Tempo{Minutes: map[string]cost.Span{}, Truck: []string{"move", "receive", "blend"}}
	of := map[string]string{"feed_minutes": "feed", "water_minutes": "water", "cover_minutes": "cover", "open_minutes": "turn", "look_minutes": "look", "stab_minutes": "reading", "rule_minutes": "depth",
		"count_minutes": "count", "harvest_minutes": "harvest", "lift_minutes": "move", "blend_minutes_m3": "blend", "receive_minutes": "receive", "screen_minutes_m3": "screen", "bag_minutes": "bag", "worms_minutes_kg": "worms"}
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
			case p.Name == "tote_m3":
				t.Tote = qty.CubicMetre(e.Best)
			case p.Name == "heat_duty":
				t.Duty = cost.Between(e.Low, e.Best, e.High)
			}
		}
	}
	return t, nil
})

// Tempo gives what acts take where nobody wrote it: as the farm set it, else from the
// built-in data, which is what is given without a farm.
func Tempo(s *farm.State) (farm.Tempo, error) {
	t, err := usualTempo()
	if err != nil {
		return t, err
	}
	t.Minutes = maps.Clone(t.Minutes)
	if s == nil {
		return t, nil
	}
	for act, m := range s.Settings.Money.Minutes {
		if _, there := t.Minutes[act]; there {
			t.Minutes[act] = cost.Sure(decimal.NewFromFloat(m))
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
	return cost.Rates{Wage: of(try.Wage, m.Wage), Truck: of(try.Truck, m.Truck), Power: of(try.Power, m.Power), Bag: of(try.Bag, m.Bag), Tote: of(try.Tote, m.Tote), Haul: try.Haul}
}

// CostBook keeps what a farm used, so that a page that is looked at again, or asked
// what if, does not walk the journal again. The zero value is ready; it may be used
// by several goroutines at once.
type CostBook struct {
	mutex sync.Mutex
	state *farm.State
	hour  time.Time
	book  cost.Book
}

// Costs gives what castings cost, as Costs does. What heaters use is as of the hour.
func (c *CostBook) Costs(s *farm.State, now time.Time, try WhatIf) (CostAnswer, error) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	hour := now.Truncate(time.Hour)
	if c.state != s || !c.hour.Equal(hour) {
		tempo, err := Tempo(s)
		if err != nil {
			return CostAnswer{}, err
		}
		c.state, c.hour, c.book = s, hour, s.Spent(now, tempo)
	}
	return costs(s, now, c.book, try), nil
}

// Costs gives what castings cost, by lot, by month and by product.
func Costs(s *farm.State, now time.Time, try WhatIf) (CostAnswer, error) {
	var c CostBook
	return c.Costs(s, now, try)
}

func costs(s *farm.State, now time.Time, book cost.Book, try WhatIf) CostAnswer {
	rates := Rates(s, try)
	r := cost.Reckon(book, rates)
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
	var worms cost.Sum
	for _, x := range r.Worms {
		worms = worms.Plus(x.Sum)
	}
	out.Worms = costSum(worms)
	monthly := map[string]qty.Estimate{}
	per := map[string]lotCost{}
	for _, l := range s.Lots() {
		row := CostRow{Name: l.Name, CostSum: costSum(lots[l.Name]), Since: l.Since.At}
		v, heap := sellable(s, l, try.Yield, monthly)
		row.volume(v)
		if row.PerM3 != nil {
			byMass, _ := cost.PerVolume(row.Sum.Total, heap)
			per[l.Name] = lotCost{row.Per, byMass}
		}
		out.Lots = append(out.Lots, row)
	}
	slices.SortStableFunc(out.Lots, func(a, b CostRow) int { return b.Since.Compare(a.Since) })
	for _, x := range r.Months {
		row := CostRow{Name: x.Name, CostSum: costSum(x.Sum)}
		row.volume(monthly[x.Name])
		out.Months = append(out.Months, row)
	}
	slices.Reverse(out.Months)
	seen := map[CostUnknown]bool{}
	for _, u := range book.Lots {
		x := CostUnknown{string(u.Kind), u.What, u.Of, u.Entry}
		if !u.Known && !seen[x] {
			seen[x] = true
			out.Unknown = append(out.Unknown, x)
		}
	}
	out.Products = append(products(s, per, try.Times), wormProducts(s, book, r.Worms, now, try.Times)...)
	out.Mean = costMean(out.Lots, now.AddDate(-1, 0, 0))
	return out
}

// costMean gives what a cubic metre cost in the mean of the lots begun since a day,
// by their volumes; of all lots where none is as new. docs/model.md (J3).
func costMean(rows []CostRow, since time.Time) *CostMean {
	var sum cost.Sum
	var volume qty.Estimate
	out := CostMean{}
	for _, late := range []bool{true, false} {
		for _, r := range rows {
			if r.VolumeM3 == nil || late && r.Since.Before(since) {
				continue
			}
			out.Lots++
			out.VolumeM3 += *r.VolumeM3
			volume = plus(volume, r.Volume)
			sum = sum.Plus(r.Sum)
		}
		if out.Lots > 0 {
			break
		}
	}
	per, ok := cost.PerVolume(sum.Total, volume)
	if !ok {
		return nil
	}
	out.Per, out.PerM3, out.Parts, out.By = per, costSpan(per), map[cost.Kind]cost.Span{}, map[string]CostSpan{}
	for k, v := range sum.By {
		out.Parts[k], _ = cost.PerVolume(v, volume)
		out.By[string(k)] = costSpan(out.Parts[k])
	}
	for _, k := range sum.Missing {
		out.Without = append(out.Without, string(k))
	}
	return &out
}

func (r *CostRow) volume(v qty.Estimate) {
	if x, ok := cost.PerVolume(r.Sum.Total, v); ok {
		span := costSpan(x)
		r.Volume, r.VolumeM3, r.PerM3, r.Per = v, numberOf(v.Best), &span, x
	}
}

func plus(a, b qty.Estimate) qty.Estimate {
	return qty.Estimate{Low: a.Low + b.Low, Best: a.Best + b.Best, High: a.High + b.High}
}

// lotCost is what a cubic metre of a lot cost: as it is sold by volume, and as what
// weighs as much as one at the best density, for what is sold by mass.
type lotCost struct{ volume, mass cost.Span }

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

// sellable gives the volume of a lot that can be sold [m3]: what went in less what the
// screen kept back and what went into other lots, or the part that is tried. It
// adds to the volumes harvested by month. Where nobody ever measured how heavy
// castings are here, what was weighed has a volume with a range, and what was told by
// volume a mass with one: heap is that mass over the best density. docs/model.md (J3).
func sellable(s *farm.State, l *farm.Lot, yield *float64, monthly map[string]qty.Estimate) (volume, heap qty.Estimate) {
	a, d := s.Amounts(l), s.DensityRange(l)
	if !a.Sure || a.In <= 0 || !(d.Low > 0) {
		return volume, heap
	}
	part := float64(a.In-a.Overs) / float64(a.In)
	if yield != nil {
		part = *yield
	}
	weighed := 0.0
	for _, x := range l.From {
		m, month := float64(x.Mass)*part, x.At.In(s.Zone()).Format(journal.MonthLayout)
		v := qty.Exactly(float64(x.Volume) * part)
		if m > 0 {
			weighed += float64(x.Mass)
			v = qty.Estimate{Low: m / d.High, Best: m / d.Best, High: m / d.Low}
		}
		monthly[month] = plus(monthly[month], v)
	}
	for _, x := range l.Joined {
		weighed += float64(x.Mass)
	}
	v := max(float64(a.In)*part-float64(a.Given), 0) / d.Best
	w := min(1, weighed/float64(a.In))
	volume = qty.Estimate{Low: v * (1 - w + w*d.Best/d.High), Best: v, High: v * (1 - w + w*d.Best/d.Low)}
	heap = qty.Estimate{Low: v * (w + (1-w)*d.Low/d.Best), Best: v, High: v * (w + (1-w)*d.High/d.Best)}
	return volume, heap
}

// products gives what was sold by product, with what it cost by the cost of its
// lot. docs/model.md (J4).
func products(s *farm.State, per map[string]lotCost, times *decimal.Decimal) []ProductRow {
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
			k, v := key{ProductLooseVolume, 0}, float64(x.Volume)
			switch {
			case x.Bags > 0:
				k, v = key{ProductBags, size}, size*float64(x.Bags)
			case x.Mass > 0:
				k, v = key{ProductLooseMass, 0}, float64(x.Mass)/float64(density)
			}
			r := rows[k]
			if r == nil {
				r = &ProductRow{Product: k.product, SizeM3: k.size}
				rows[k] = r
			}
			r.Sales++
			of, known := per[l.Name]
			c := of.volume
			if k.product == ProductLooseMass {
				c = of.mass
			}
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

// wormProducts gives what was sold of live worms, and as starter kits, with what it cost:
// the crew's minutes to take them, their part of the bed, and what goes into a kit.
// docs/model.md (J6).
func wormProducts(s *farm.State, book cost.Book, rows []cost.Row, now time.Time, times *decimal.Decimal) []ProductRow {
	of, all, takes := map[string]cost.Sum{}, map[string]float64{}, map[string][]cost.Take{}
	for _, r := range rows {
		of[r.Name] = r.Sum
	}
	for _, t := range book.Taken {
		all[t.Lot] += t.Kg
		takes[t.Entry] = append(takes[t.Entry], t)
	}
	worms, kits := ProductRow{Product: ProductWorms}, ProductRow{Product: ProductKits}
	for _, x := range s.WormSales() {
		if x.At.After(now) {
			continue
		}
		product, listed := s.Settings.Money.Product(x.What)
		r := &worms
		if listed && product.Kind() == farm.SoldKits || !listed && x.Number > 0 {
			r = &kits
		}
		r.Sales++
		if x.Price <= 0 {
			r.Unpriced++
			continue
		}
		price := decimal.NewFromFloat(float64(x.Price))
		if times != nil {
			price = price.Mul(*times)
		}
		r.Number, r.MassKg, r.Money = r.Number+x.Number, r.MassKg+float64(x.Kg), r.Money.Add(price)
		waits := false
		for _, t := range takes[x.Entry] {
			r.Costs = r.Costs.Plus(cost.OfTake(of[t.Lot], t.Kg, all[t.Lot]))
			waits = waits || t.Lot == ""
		}
		if waits {
			r.Waits++
		}
		if r != &kits {
			continue
		}
		if len(product.Parts) == 0 {
			r.NoParts += x.Number
		}
		for _, part := range product.Parts {
			r.Costs = r.Costs.Plus(cost.Sure(decimal.NewFromFloat(float64(part.Cost)).Mul(decimal.NewFromInt(int64(x.Number)))))
		}
	}
	out := []ProductRow{}
	for _, r := range []ProductRow{worms, kits} {
		if r.Sales > 0 {
			r.Margins = cost.Margin(r.Money, r.Costs)
			r.Revenue, r.Cost, r.Margin = r.Money.StringFixed(2), costSpan(r.Costs), costSpan(r.Margins)
			out = append(out, r)
		}
	}
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
