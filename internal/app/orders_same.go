package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/internal/ids"
	"wormyard/internal/sheet"
	"wormyard/journal"
	"wormyard/qty"
)

// OrderSame is an order of a sheet that is in the book already and says something else.
type OrderSame struct {
	Row      int           `json:"row"` // the first
	Customer string        `json:"customer"`
	Ref      string        `json:"ref,omitempty"` // without one it is known by customer, day and products
	Entry    string        `json:"entry"`         // of the one in the book
	At       time.Time     `json:"at"`
	State    string        `json:"state"` // of the one in the book; a cancelled one cannot be replaced
	Why      string        `json:"cancelled_why,omitempty"`
	Others   int           `json:"others"` // more orders of that number in the book
	Changes  []OrderChange `json:"changes"`
	Do       string        `json:"do"` // OrderReplace, OrderAdd, OrderLeave; "" nobody said
}

// OrderChange is a product that came to an order, went, or is wanted otherwise; or its note.
type OrderChange struct {
	Change    string       `json:"change"` // added, changed, gone, note
	What      string       `json:"what"`
	Was       *OrderAmount `json:"was"`
	Is        *OrderAmount `json:"is"`
	Delivered bool         `json:"delivered"` // some of what is gone went out: it stays, and its rest is cancelled
	Note      [2]string    `json:"note"`      // as it was and as it is

	WasLine, IsLine *farm.OrderLine `json:"-"`
}

// OrderAmount is how much of a product is wanted, by when and for what.
type OrderAmount struct {
	Number   int            `json:"number,omitempty"`
	VolumeM3 qty.CubicMetre `json:"volume_m3,omitempty"`
	MassKg   float64        `json:"mass_kg,omitempty"`
	Due      string         `json:"due,omitempty"`
	Price    *qty.Money     `json:"price,omitempty"` // agreed
}

// The ways in which an order of a sheet differs from the one in the book.
const (
	OrderAdded   = "added"
	OrderChanged = "changed"
	OrderGone    = "gone"
	OrderNote    = "note"
)

// orderBook holds a sheet of orders against the orders of the farm.
type orderBook struct {
	state *farm.State
	by    map[string][]farm.Booked // by what an order is known by
	used  map[string]bool          // ids of orders in the book that one of the sheet is about
	says  map[string]bool          // keys of OrderColumns that the sheet has
}

func newOrderBook(s *farm.State, headings []sheet.Heading) *orderBook {
	b := &orderBook{state: s, by: map[string][]farm.Booked{}, used: map[string]bool{}, says: map[string]bool{}}
	for _, h := range headings {
		b.says[h.Means] = true
	}
	for _, o := range s.OrderBook() {
		key := b.key(o.Order)
		b.by[key] = append(b.by[key], o)
	}
	return b
}

// key is what an order is known by: its customer and their number of it, else the customer,
// the day on which it was ordered and its products.
func (b *orderBook) key(o farm.Order) string {
	low := func(s string) string { return strings.ToLower(strings.TrimSpace(s)) }
	if o.Ref != "" {
		return low(o.Customer) + "\x00" + low(o.Ref)
	}
	var names []string
	for _, p := range o.Parts {
		names = append(names, low(p.What))
	}
	slices.Sort(names)
	return low(o.Customer) + "\x00\x00" + o.At.In(b.state.Zone()).Format(journal.DayLayout) + "\x00" + strings.Join(names, "\x00")
}

func (b *orderBook) order(o sheetOrder) farm.Order {
	e := o.Entry
	return farm.OrderIn(&e, e.Body.(*journal.Order))
}

// has says whether an order is in the book as it is: as one order, or as several that
// were taken in when each row was one. One that was struck and stands in no other is not
// brought back.
func (b *orderBook) has(o sheetOrder) bool {
	is := b.order(o)
	there := b.free(b.by[b.key(is)])
	for _, x := range there {
		if len(b.changes(x, is)) == 0 {
			b.used[x.Entry] = true
			return true
		}
	}
	if len(there) > 1 {
		var all farm.Booked
		for _, x := range there {
			all.Lines, all.Parts = append(all.Lines, x.Lines...), append(all.Parts, x.Parts...)
		}
		if len(b.changes(all, is)) == 0 {
			return true
		}
	}
	_, _, known := b.state.Entry(o.ID)
	return known && len(there) == 0
}

func (b *orderBook) free(list []farm.Booked) []farm.Booked {
	return slices.DeleteFunc(slices.Clone(list), func(o farm.Booked) bool { return b.used[o.Entry] })
}

// same finds the order in the book that one of the sheet is about, the one most like it.
func (b *orderBook) same(o sheetOrder) (OrderSame, bool) {
	is := b.order(o)
	list := b.free(b.by[b.key(is)])
	if len(list) == 0 {
		return OrderSame{}, false
	}
	slices.SortStableFunc(list, func(x, y farm.Booked) int {
		ended := func(o farm.Booked) int {
			if o.State == farm.OrderCancelled {
				return 1
			}
			return 0
		}
		return cmp.Or(ended(x)-ended(y), len(b.changes(x, is))-len(b.changes(y, is)), y.At.Compare(x.At))
	})
	x := list[0]
	b.used[x.Entry] = true
	return OrderSame{Row: o.rows[0], Customer: x.Customer, Ref: x.Ref, Entry: x.Entry, At: x.At, State: string(x.State), Why: x.Why(), Others: len(list) - 1, Changes: b.changes(x, is)}, true
}

// filled gives the products of an order of the sheet with what the sheet has no column
// for as it stands in the book, and the place of each that the book has in it, -1 where it is
// gone.
func (b *orderBook) filled(was farm.Booked, is farm.Order) (parts []farm.OrderItem, at []int) {
	parts = slices.Clone(is.Parts)
	at = farm.CarryOrder(was.Parts, parts)
	seen := map[int]bool{}
	for i, k := range at {
		if k < 0 {
			continue
		}
		if seen[k] || !strings.EqualFold(strings.TrimSpace(was.Parts[i].What), strings.TrimSpace(parts[k].What)) {
			at[i] = -1
			continue
		}
		seen[k] = true
		if !b.says["due"] {
			parts[k].Due = was.Parts[i].Due
		}
		if !b.says["price"] && was.Parts[i].SameAmount(parts[k]) {
			parts[k].Price, parts[k].Priced = was.Parts[i].Price, was.Parts[i].Priced
		}
	}
	return parts, at
}

// changes tells what an order of the sheet says otherwise than the book. What is cancelled
// there and gone from the sheet is no change.
func (b *orderBook) changes(was farm.Booked, is farm.Order) (out []OrderChange) {
	parts, at := b.filled(was, is)
	is.Parts = parts
	lines := b.state.Unbooked(is)
	old := map[int]bool{}
	for i, k := range at {
		x := was.Lines[i]
		if k < 0 {
			if x.Cancel == nil {
				out = append(out, OrderChange{Change: OrderGone, What: x.What, Was: amountOf(x.OrderItem), WasLine: &x, Delivered: len(x.Sales) > 0})
			}
			continue
		}
		old[k] = true
		if p := parts[k]; !x.SameAmount(p) || x.Due != p.Due || x.Priced != p.Priced || x.Price != p.Price {
			out = append(out, OrderChange{Change: OrderChanged, What: x.What, Was: amountOf(x.OrderItem), Is: amountOf(p), WasLine: &x, IsLine: &lines[k]})
		}
	}
	for k, p := range parts {
		if !old[k] {
			out = append(out, OrderChange{Change: OrderAdded, What: p.What, Is: amountOf(p), IsLine: &lines[k]})
		}
	}
	if b.says["note"] && was.Note != is.Note {
		out = append(out, OrderChange{Change: OrderNote, Note: [2]string{was.Note, is.Note}})
	}
	return out
}

func amountOf(p farm.OrderItem) *OrderAmount {
	out := &OrderAmount{Number: p.Number, VolumeM3: p.Volume, MassKg: p.Mass, Due: p.Due}
	if p.Priced {
		out.Price = &p.Price
	}
	return out
}

// fresh gives an order that is new an id that no entry has.
func (b *orderBook) fresh(o sheetOrder) sheetOrder {
	first := o.ID
	for n := 1; ; n++ {
		if _, _, known := b.state.Entry(o.ID); !known {
			return o
		}
		o.ID = ids.FromContent(o.At, []byte(first), n)
	}
}

// replacing makes an order of the sheet one that takes the place of the one in the book.
// What went out of a product that is gone stays, with its rest cancelled. Where the one in
// the book took the place of another, that is struck by itself, since what struck it is
// struck now.
func (b *orderBook) replacing(o sheetOrder, same *OrderSame, how OrderHow, now time.Time) sheetOrder {
	was, _ := b.state.Order(same.Entry)
	is := b.order(o)
	body := *o.Body.(*journal.Order)
	parts, at := b.filled(was, is)
	like := func(kind, what string) journal.Entry {
		return journal.Entry{ID: ids.FromContent(now, []byte(was.Entry+" "+what), 0), Kind: kind, At: now.UTC(), Who: how.Sheet.Who, Device: o.Device}
	}
	for i, k := range at {
		x := was.Lines[i]
		if k >= 0 || len(x.Sales) == 0 {
			continue
		}
		parts = append(parts, was.Parts[i])
		if !x.State.Closed() {
			e, line := like("cancel order", fmt.Sprint("cancel ", i)), i+1
			e.Body = &journal.CancelOrder{Order: was.Entry, Line: &line, Why: how.Gone}
			o.with = append(o.with, e)
		}
	}
	if len(was.Before) > 0 {
		e := like("strike", "before")
		e.Strikes, e.Body = was.Before[0].Entry, &journal.Strike{Why: how.Anew}
		o.with = append(o.with, e)
	}
	note := body.Note
	if !b.says["note"] {
		note = was.Note
	}
	o.Body = orderBody(body.Customer, body.Ref, note, parts)
	o.ID, o.Strikes = ids.FromContent(o.At, []byte(o.ID+" in place of "+was.Entry), 0), was.Entry
	o.Confirmed = append(o.Confirmed, "ref")
	return o
}

// orderBody writes an order of one product or of several.
func orderBody(customer, ref, note string, parts []farm.OrderItem) *journal.Order {
	out := &journal.Order{Customer: customer, Ref: ref, Note: note}
	due := parts[0].Due
	for _, p := range parts {
		if p.Due != due { // then each has its own
			due = ""
		}
	}
	for _, p := range parts {
		x := journal.OrderPart{What: p.What}
		if p.Number > 0 {
			x.Number = &p.Number
		}
		if p.Volume > 0 {
			x.VolumeM3 = &p.Volume
		}
		if p.Mass > 0 {
			x.MassKg = &p.Mass
		}
		if p.Priced {
			x.Price = &p.Price
		}
		if p.Due != due {
			x.Due = p.Due
		}
		out.Lines = append(out.Lines, x)
	}
	out.Due = due
	if len(out.Lines) == 1 {
		x := out.Lines[0]
		out.What, out.Number, out.VolumeM3, out.MassKg, out.Price, out.Lines = x.What, x.Number, x.VolumeM3, x.MassKg, x.Price, nil
	}
	return out
}
