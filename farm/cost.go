package farm

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"wormyard/cost"
	"wormyard/journal"
	"wormyard/qty"
)

// Tempo is what is reckoned with where the journal does not say how much of crew,
// truck and heat an act took.
type Tempo struct {
	Minutes map[string]cost.Span // of an act: a kind of entry, for each bin, load, bag or m3
	Truck   []string             // the acts that take the loader or the forklift too
	Bag     qty.CubicMetre       // size of a bag that Minutes["bag"] is for; larger ones take as many times more
	Tote    qty.CubicMetre       // size from which a bag is a tote
	Duty    cost.Span            // part of the time that a heater with a set-point is on
}

// spending gathers what was used.
type spending struct {
	*State
	now    time.Time
	tempo  Tempo
	took   map[string][]harvested        // by bin
	into   map[string]map[string]float64 // what became of a lot: the lots it is in now
	counts map[countKey]float64
	lots   map[useKey]cost.Span // by lot
	worms  map[string]float64   // live mass sold out of beds by the lot of their next harvest [kg]
	parts  map[string]float64   // of what the beds of a lot cost, for the worms sold
	months map[useKey]cost.Span
	book   cost.Book

	monthOf   string // of the times from monthFrom to before monthTo
	monthFrom time.Time
	monthTo   time.Time
}

// useKey is what was used of one kind for one lot, or in one month.
type useKey struct {
	kind  cost.Kind
	of    string
	worms bool // of the worms sold out of the beds of that lot
}

type countKey struct {
	kind             cost.Kind
	what, lot, month string
}

type harvested struct {
	at  time.Time
	lot string
}

// Spent gives what was paid and used up to a time, by the lot it went into and by
// the month. docs/model.md (J1).
func (s *State) Spent(now time.Time, tempo Tempo) cost.Book {
	w := &spending{State: s, now: now, tempo: tempo, took: map[string][]harvested{}, into: map[string]map[string]float64{},
		counts: map[countKey]float64{}, lots: map[useKey]cost.Span{}, months: map[useKey]cost.Span{}, worms: map[string]float64{}, parts: map[string]float64{}}
	for _, l := range s.Lots() {
		for _, x := range l.From {
			w.took[x.Bin] = append(w.took[x.Bin], harvested{x.At, l.Name})
		}
	}
	for _, list := range w.took {
		slices.SortStableFunc(list, func(a, b harvested) int { return a.at.Compare(b.at) })
	}
	w.wormsSold()
	w.feedstock()
	w.acts()
	w.hours()
	order := func(a, b useKey) int {
		switch {
		case a.worms != b.worms && b.worms:
			return -1
		case a.worms != b.worms:
			return 1
		}
		return cmp.Or(strings.Compare(a.of, b.of), strings.Compare(string(a.kind), string(b.kind)))
	}
	for _, k := range slices.SortedFunc(maps.Keys(w.lots), order) {
		w.book.Lots = append(w.book.Lots, cost.Use{Kind: k.kind, Lot: k.of, Worms: k.worms, Amount: w.lots[k], Known: true})
	}
	for _, k := range slices.SortedFunc(maps.Keys(w.months), order) {
		w.book.Months = append(w.book.Months, cost.Use{Kind: k.kind, Month: k.of, Amount: w.months[k], Known: true})
	}
	return w.book
}

// month gives the month of a time. Most entries are of the month of the one before.
func (w *spending) month(t time.Time) string {
	if w.monthOf == "" || t.Before(w.monthFrom) || !t.Before(w.monthTo) {
		local := t.In(w.Zone())
		w.monthOf = local.Format(journal.MonthLayout)
		w.monthFrom = time.Date(local.Year(), local.Month(), 1, 0, 0, 0, 0, w.Zone())
		w.monthTo = w.monthFrom.AddDate(0, 1, 0)
	}
	return w.monthOf
}

// used writes down what was used in a month, in the month and in the lots that the
// lot is in now.
func (w *spending) used(k cost.Kind, lot, month string, x cost.Span, ofBed bool) {
	m := useKey{k, month, false}
	w.months[m] = w.months[m].Plus(x)
	if ofBed {
		w.ofBeds(k, lot, x)
		return
	}
	w.spread(k, lot, x)
}

// wormsSold gathers the live worms that were sold, by the lot that their beds were
// harvested into next, and the part of what those beds cost that is theirs: a kilogram of
// worms bears of its bed what a kilogram of castings does. Where a lot's mass is not known,
// and before the harvest, they bear none of it. docs/model.md (J6).
func (w *spending) wormsSold() {
	for _, x := range w.State.worms {
		if x.At.After(w.now) || len(x.Bins) == 0 {
			continue
		}
		each := float64(x.Kg) / float64(len(x.Bins))
		for _, bin := range x.Bins {
			lot := w.next(bin, x.At)
			w.worms[lot] += each
			w.book.Taken = append(w.book.Taken, cost.Take{Entry: x.Entry, Lot: lot, Kg: each})
		}
	}
	for lot, kg := range w.worms {
		l, ok := w.Lot(lot)
		if !ok {
			continue
		}
		density, _ := w.CastingsDensity(l)
		castings, sure := 0.0, true
		for _, x := range l.From {
			m, known, _ := weigh(density, x.Mass, x.Volume)
			castings, sure = castings+float64(m), sure && known
		}
		if sure && castings > 0 {
			w.parts[lot] = kg / (kg + castings)
		}
	}
}

// ofBeds writes down what the beds of a lot cost: a part of it is of the worms that were
// sold out of them, the rest of the castings.
func (w *spending) ofBeds(k cost.Kind, lot string, x cost.Span) {
	if part := w.parts[lot]; part > 0 {
		split := cost.Split(x, []float64{part, 1 - part})
		at := useKey{k, lot, true}
		w.lots[at], x = w.lots[at].Plus(split[0]), split[1]
	}
	w.spread(k, lot, x)
}

// bedActs are the acts that are done to a bed, for its worms as for its castings.
var bedActs = []string{"feed", "water", "cover", "turn", "look", "depth", "reading", "count", "move"}

// unknown writes down that something was used of which nobody wrote how much.
func (w *spending) unknown(u cost.Use) {
	month := u
	month.Lot, u.Month = "", ""
	w.book.Months = append(w.book.Months, month)
	w.book.Lots = append(w.book.Lots, u)
}

// next gives the lot of the first harvest of a bin from a time on; "" where there
// is none yet.
func (w *spending) next(bin string, at time.Time) string {
	list := w.took[bin]
	i, _ := slices.BinarySearchFunc(list, at, func(h harvested, at time.Time) int { return h.at.Compare(at) })
	if i == len(list) {
		return ""
	}
	return list[i].lot
}

// fate gives the lots that a lot is in now, itself and those it was put into, by
// share of its wet mass.
func (w *spending) fate(lot string) map[string]float64 {
	if got, ok := w.into[lot]; ok {
		return got
	}
	out := map[string]float64{lot: 1}
	w.into[lot] = out // what a lot made of itself comes back to
	l, ok := w.Lot(lot)
	if !ok || len(l.Given) == 0 {
		return out
	}
	a := w.Amounts(l)
	in := math.Max(float64(a.In), float64(a.Given))
	if in <= 0 {
		return out
	}
	stays := 1.0
	shares := map[string]float64{}
	for _, g := range l.Given {
		m, _, _ := weigh(a.Density, g.Mass, g.Volume)
		x := float64(m) / in
		stays -= x
		for to, p := range w.fate(g.Lot) {
			shares[to] += x * p
		}
	}
	shares[lot] += max(stays, 0)
	w.into[lot] = shares
	return shares
}

// spread puts an amount on the lots that a lot is in now.
func (w *spending) spread(k cost.Kind, lot string, x cost.Span) {
	if x.Zero() {
		return
	}
	if lot == "" {
		at := useKey{k, "", false}
		w.lots[at] = w.lots[at].Plus(x)
		return
	}
	fate := w.fate(lot)
	if len(fate) == 1 {
		for name := range fate {
			at := useKey{k, name, false}
			w.lots[at] = w.lots[at].Plus(x)
		}
		return
	}
	names, weights := slices.Sorted(maps.Keys(fate)), []float64{}
	for _, n := range names {
		weights = append(weights, fate[n])
	}
	for i, part := range cost.Split(x, weights) {
		at := useKey{k, names[i], false}
		w.lots[at] = w.lots[at].Plus(part)
	}
}

// paid is what was paid for something that lies somewhere.
type paid struct {
	by      map[cost.Kind]cost.Span
	missing map[string]cost.Use // by the load of which nobody wrote the price
}

func newPaid() *paid { return &paid{map[cost.Kind]cost.Span{}, map[string]cost.Use{}} }

// take moves a share of what lies in one thing to another.
func (p *paid) take(to *paid, share float64) {
	for k, v := range p.by {
		x := v
		if share < 1 {
			x = cost.Split(v, []float64{share, 1 - share})[0]
		}
		to.by[k] = to.by[k].Plus(x)
		p.by[k] = v.Minus(x)
	}
	maps.Copy(to.missing, p.missing)
}

// feedstock follows what was paid for loads through piles and batches to the lots.
func (w *spending) feedstock() {
	mean := w.paidFor()
	batches := map[string]*paid{}
	left := newPaid()
	told := map[string]bool{} // loads without a price that a lot has of
	type taken struct {
		batch string
		mass  qty.WetKg
	}
	type spot struct {
		pile  string
		after int // loads
	}
	from, all := map[spot][]taken{}, sorted(w.batches)
	for _, b := range all {
		for _, x := range b.Parts {
			at := spot{x.Pile, x.after}
			from[at] = append(from[at], taken{b.Name, x.Matter.Wet()})
		}
	}
	for _, p := range w.Piles() {
		heap, lies := newPaid(), 0.0
		for i, d := range p.Loads {
			lies += float64(d.Matter.Wet())
			w.load(heap, p, d, mean)
			for _, t := range from[spot{p.Name, i + 1}] {
				if batches[t.batch] == nil {
					batches[t.batch] = newPaid()
				}
				share := 0.0
				if lies > 0 {
					share = min(float64(t.mass)/lies, 1)
				}
				heap.take(batches[t.batch], share)
				lies = max(lies-float64(t.mass), 0)
			}
		}
		heap.take(left, 1)
	}
	laid := w.laidFor()
	for _, b := range all {
		has := batches[b.Name]
		if has == nil {
			continue
		}
		total, names := 0.0, slices.Sorted(maps.Keys(laid[b.Name]))
		for _, lot := range names { // in order, so that the sum has the same bits
			total += laid[b.Name][lot]
		}
		whole := math.Max(float64(b.Made.Wet()), total)
		gone := 0.0
		for _, lot := range names {
			m := laid[b.Name][lot]
			if m <= 0 || whole-gone <= 0 {
				continue
			}
			got := newPaid()
			has.take(got, min(m/(whole-gone), 1))
			gone += m
			w.put(got, lot, told)
		}
		has.take(left, 1)
	}
	maps.DeleteFunc(left.missing, func(load string, _ cost.Use) bool { return told[load] }) // told with the lot that has of it
	w.put(left, "", told)
}

// put writes down what a lot got of what was paid. Its months are told with the loads.
func (w *spending) put(p *paid, lot string, told map[string]bool) {
	for _, k := range []cost.Kind{cost.Feedstock, cost.Haulage} {
		w.ofBeds(k, lot, p.by[k])
	}
	for _, load := range slices.Sorted(maps.Keys(p.missing)) {
		u := p.missing[load]
		u.Lot = lot
		w.book.Lots = append(w.book.Lots, u)
		told[load] = true
	}
}

// load puts what one load cost on what lies in the pile.
func (w *spending) load(heap *paid, p *Pile, d Delivery, mean map[string]cost.Span) {
	e, _, ok := w.Entry(d.Entry)
	if !ok {
		return
	}
	b, ok := e.Body.(*journal.Receive)
	if !ok {
		return
	}
	pay := func(k cost.Kind, x cost.Span) {
		heap.by[k] = heap.by[k].Plus(x)
		m := useKey{k, w.month(d.At), false}
		w.months[m] = w.months[m].Plus(x)
	}
	switch per, known := mean[d.Material]; {
	case b.Price != nil:
		pay(cost.Feedstock, cost.Sure(decimal.NewFromFloat(float64(*b.Price))))
	case known && d.Matter.Wet() > 0:
		pay(cost.Feedstock, per.Times(decimal.NewFromFloat(float64(d.Matter.Wet()))))
	default:
		u := cost.Use{Kind: cost.Feedstock, What: d.Material, Of: fmt.Sprintf("%s, %s", p.Name, d.At.In(w.Zone()).Format(time.DateOnly)), Entry: d.Entry}
		heap.missing[d.Entry] = u
		u.Month = w.month(d.At)
		w.book.Months = append(w.book.Months, u)
	}
	if b.Haulage != nil {
		pay(cost.Haulage, cost.Sure(decimal.NewFromFloat(float64(*b.Haulage))))
	}
}

// paidFor gives the least, mean and greatest price of a kilogram [1/kg wet] that
// was paid for each material.
func (w *spending) paidFor() map[string]cost.Span {
	type sums struct{ low, high, money, kg float64 }
	all := map[string]sums{}
	for _, p := range w.Piles() {
		for _, d := range p.Loads {
			e, _, _ := w.Entry(d.Entry)
			if e == nil {
				continue
			}
			b, ok := e.Body.(*journal.Receive)
			kg := float64(d.Matter.Wet())
			if !ok || b.Price == nil || kg <= 0 {
				continue
			}
			x, seen := all[d.Material]
			per := float64(*b.Price) / kg
			if !seen {
				x.low, x.high = per, per
			}
			all[d.Material] = sums{min(x.low, per), max(x.high, per), x.money + float64(*b.Price), x.kg + kg}
		}
	}
	out := map[string]cost.Span{}
	for m, x := range all {
		out[m] = cost.Between(x.low, x.money/x.kg, x.high)
	}
	return out
}

// laidFor gives by batch and lot what was laid in the beds of the lot since their
// harvest before [kg wet].
func (w *spending) laidFor() map[string]map[string]float64 {
	type took struct {
		lot string
		x   LotSource
	}
	beds := map[string][]took{}
	for _, l := range w.Lots() {
		for _, x := range l.From {
			beds[x.Bed] = append(beds[x.Bed], took{l.Name, x})
		}
	}
	out := map[string]map[string]float64{}
	for _, list := range beds {
		slices.SortStableFunc(list, func(a, b took) int { return a.x.At.Compare(b.x.At) })
		had := map[string]float64{}
		for _, t := range list {
			for _, laid := range t.x.Laid {
				if laid.Batch == "" {
					continue
				}
				if out[laid.Batch] == nil {
					out[laid.Batch] = map[string]float64{}
				}
				out[laid.Batch][t.lot] += max(float64(laid.Mass)-had[laid.Batch], 0)
				had[laid.Batch] = float64(laid.Mass)
			}
		}
	}
	return out
}

// acts counts what the crew did and what the heaters used.
func (w *spending) acts() {
	heaters := map[string]heater{}
	for _, e := range w.Journal() {
		if b, ok := e.Body.(*journal.Reading); ok && (b.Bin == "" || b.Probe == "logger") { // most of a journal; a logger reads by itself
			continue
		}
		if w.Struck(e.ID) || e.At.After(w.now) {
			continue
		}
		count := func(act string, n float64, lot string) {
			w.counts[countKey{cost.Crew, act, lot, w.month(e.At)}] += n
		}
		each := func(act string, bins []string) {
			for _, b := range bins {
				count(act, 1, w.next(b, e.At))
			}
		}
		switch b := e.Body.(type) {
		case *journal.Feed:
			each("feed", b.Bins)
		case *journal.Water:
			each("water", b.Bins)
		case *journal.Cover:
			each("cover", b.Bins)
		case *journal.Turn:
			each("turn", b.Bins)
		case *journal.Look:
			each("look", b.Bins)
		case *journal.Depth:
			each("depth", b.Bins)
		case *journal.Reading:
			each("reading", []string{b.Bin})
		case *journal.Count:
			each("count", []string{b.Bin})
		case *journal.Move:
			each("move", []string{b.Bin})
		case *journal.Harvest:
			count("harvest", float64(len(b.Bins)), b.Lot)
		case *journal.WormsSold:
			for _, bin := range b.Bins {
				count("worms", float64(b.Kg)/float64(len(b.Bins)), w.next(bin, e.At))
			}
		case *journal.Receive:
			count("receive", 1, "")
		case *journal.Blend:
			if x, ok := w.Batch(b.Batch); ok && x.Made.Volume > 0 {
				count("blend", float64(x.Made.Volume)/float64(len(x.blends)), "")
			}
		case *journal.Screen:
			if l, ok := w.Lot(b.Lot); ok {
				a := w.Amounts(l)
				count("screen", float64(a.In)/float64(a.Density), b.Lot)
			}
		case *journal.Bag:
			kind := cost.Bags
			if b.SizeM3 >= w.tempo.Tote {
				kind = cost.Totes
			}
			w.counts[countKey{kind, "bag", b.Lot, w.month(e.At)}] += float64(b.Number)
			count("bag", float64(b.Number)*max(1, float64(b.SizeM3/w.tempo.Bag)), b.Lot)
		case *journal.Heat:
			for _, bin := range b.Bins {
				heaters["bin "+bin] = w.heat("bin "+bin, heaters["bin "+bin], e, b)
			}
			if b.Barn != "" {
				heaters["barn "+b.Barn] = w.heat("barn "+b.Barn, heaters["barn "+b.Barn], e, b)
			}
		}
	}
	for _, n := range slices.Sorted(maps.Keys(heaters)) {
		w.burnt(n, heaters[n], w.now)
	}
}

// heater is one heater as it was switched last.
type heater struct {
	on, thermostat, told bool
	watts                float64
	since                time.Time
}

// heat takes up a switching, and counts what was used before it.
func (w *spending) heat(of string, h heater, e *journal.Entry, b *journal.Heat) heater {
	w.burnt(of, h, e.At)
	h.since = e.At
	if b.Watts != nil {
		h.watts, h.told, h.on = float64(*b.Watts), true, *b.Watts > 0
	}
	if b.SetC != nil {
		h.thermostat, h.on = true, true
	}
	if b.On != nil {
		h.on = *b.On
	}
	return h
}

// burnt counts what a heater used up to a time, month by month.
func (w *spending) burnt(of string, h heater, until time.Time) {
	if !h.on || !h.since.Before(until) {
		return
	}
	bin, ofBin := strings.CutPrefix(of, "bin ")
	for from := h.since; from.Before(until); {
		local := from.In(w.Zone())
		to := time.Date(local.Year(), local.Month()+1, 1, 0, 0, 0, 0, w.Zone())
		if to.After(until) {
			to = until
		}
		lot := ""
		if ofBin {
			list := w.took[bin] // a harvest in between parts the heat, too
			if i, _ := slices.BinarySearchFunc(list, from, func(x harvested, at time.Time) int {
				if x.at.After(at) {
					return 1
				}
				return -1
			}); i < len(list) {
				lot = list[i].lot
				if list[i].at.Before(to) {
					to = list[i].at
				}
			}
		}
		if h.told {
			x := cost.Sure(decimal.NewFromFloat(h.watts / 1000 * to.Sub(from).Hours()))
			if h.thermostat {
				x = w.tempo.Duty.Times(x.Best)
			}
			w.used(cost.Heat, lot, w.month(from), x, true)
		} else {
			w.unknown(cost.Use{Kind: cost.Heat, What: "heat", Lot: lot, Month: w.month(from), Of: of})
		}
		from = to
	}
}

// hours makes hours and bags of what was counted.
func (w *spending) hours() {
	keys := slices.SortedFunc(maps.Keys(w.counts), func(a, b countKey) int {
		return cmp.Or(strings.Compare(a.lot, b.lot), strings.Compare(a.month, b.month), strings.Compare(string(a.kind), string(b.kind)), strings.Compare(a.what, b.what))
	})
	sixty := decimal.NewFromInt(60)
	for _, k := range keys {
		n := decimal.NewFromFloat(w.counts[k])
		if k.kind != cost.Crew { // filled of this lot, whatever else of it went elsewhere
			x := cost.Sure(n)
			lot, month := useKey{k.kind, k.lot, false}, useKey{k.kind, k.month, false}
			w.lots[lot], w.months[month] = w.lots[lot].Plus(x), w.months[month].Plus(x)
			continue
		}
		per, known := w.tempo.Minutes[k.what]
		if !known {
			continue
		}
		t := per.Times(n)
		t = cost.Span{Low: t.Low.DivRound(sixty, 8), Best: t.Best.DivRound(sixty, 8), High: t.High.DivRound(sixty, 8)}
		if k.what == "worms" {
			at, m := useKey{cost.Crew, k.lot, true}, useKey{cost.Crew, k.month, false}
			w.lots[at], w.months[m] = w.lots[at].Plus(t), w.months[m].Plus(t)
			continue
		}
		ofBed := slices.Contains(bedActs, k.what)
		w.used(cost.Crew, k.lot, k.month, t, ofBed)
		if slices.Contains(w.tempo.Truck, k.what) {
			w.used(cost.Truck, k.lot, k.month, t, ofBed)
		}
	}
}
