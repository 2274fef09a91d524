package app

import (
	"time"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// Note is what a delivery note rests on: of a sale with all that went out with it, or of
// an order.
type Note struct {
	Entry, Customer, Who string
	At                   time.Time
	Order                bool   // ordered and not sold yet
	Ref                  string // the customer's own number of the order
	Due                  string // of an order, where all of it is due on one day
	Goods                []NoteGoods
	Price                qty.Money // of all of it; 0 where a part has none
	Journal              JournalState
}

// NoteGoods is one thing on a delivery note.
type NoteGoods struct {
	What     string         // the product, "" where nobody wrote it
	Due      string         // of one product of an order
	Number   int            // pieces: bags, totes or kits
	Size     qty.CubicMetre // of one bag, 0 where bags of several sizes were filled
	Volume   qty.CubicMetre // in all, 0 where nobody wrote it
	Mass     qty.WetKg      // in all, 0 where nobody weighed it; of live worms their own
	Price    qty.Money
	Worms    bool     // live worms
	Bins     []string // that the worms are out of
	Lot      LotLabel // of castings sold
	Released time.Time
	By       string // who released it
}

// NoteOf gives the note of a sale or an order by the id of its entry; false when
// there is none that counts. Sales of one delivery have one note.
func NoteOf(s *farm.State, id string) (Note, bool) {
	e, counts, found := s.Entry(id)
	if !found || !counts {
		return Note{}, false
	}
	out := Note{Entry: id, Who: e.Who, At: e.At, Journal: JournalAt(s)}
	switch b := e.Body.(type) {
	case *journal.Order:
		out.Order, out.Customer, out.Ref, out.Due = true, b.Customer, b.Ref, b.Due
		parts := b.Lines
		if len(parts) == 0 {
			parts = []journal.OrderPart{{What: b.What, Number: b.Number, VolumeM3: b.VolumeM3, MassKg: b.MassKg, Price: b.Price}}
		}
		for _, x := range parts {
			out.Goods = append(out.Goods, NoteGoods{What: x.What, Due: x.Due, Number: or0(x.Number), Volume: or0(x.VolumeM3), Mass: qty.WetKg(or0(x.MassKg)), Price: or0(x.Price)})
		}
	case *journal.Sell:
		out.Customer = b.Customer
		out.sold(s, id, b.Delivery, b.Order)
	case *journal.WormsSold:
		out.Customer = b.Customer
		out.sold(s, id, b.Delivery, b.Order)
	default:
		return Note{}, false
	}
	for i, g := range out.Goods {
		if g.Price == 0 || i > 0 && out.Price == 0 {
			out.Price = 0
			break
		}
		out.Price += g.Price
	}
	return out, len(out.Goods) > 0
}

// sold puts on a note what was sold with an entry: all of its delivery, or it alone.
// The number of the note is that of the first.
func (n *Note) sold(s *farm.State, id, delivery, order string) {
	on := func(entry, of string) bool { return entry == id || delivery != "" && of == delivery }
	booked, _ := s.Order(order)
	n.Ref = booked.Ref
	called := func(order string, line int, what string, size qty.CubicMetre) string {
		if l := booked.LineOf(order, line, what, size); order != "" && what == "" && l != nil {
			return l.What
		}
		return what
	}
	for _, l := range s.Lots() {
		for _, x := range l.Sales {
			if !on(x.Entry, x.Delivery) {
				continue
			}
			g := NoteGoods{What: called(x.Order, x.Line, x.What, x.Size), Number: x.Bags, Volume: x.Volume, Mass: x.Mass, Price: x.Price}
			if x.Bags > 0 {
				if g.Size = l.BagSize(x.Size); g.Volume == 0 {
					g.Volume = g.Size * qty.CubicMetre(x.Bags)
				}
			}
			g.Lot, _ = LotLabelOf(s, l.Name)
			if k := len(l.Releases); k > 0 {
				r := l.Releases[k-1]
				if g.Released, g.By = r.At, r.By; g.By == "" {
					g.By = r.Who
				}
			}
			n.Goods, n.Entry = append(n.Goods, g), min(n.Entry, x.Entry)
		}
	}
	for _, x := range s.WormSales() {
		if on(x.Entry, x.Delivery) {
			n.Goods = append(n.Goods, NoteGoods{What: called(x.Order, x.Line, x.What, 0), Number: x.Number, Mass: qty.WetKg(x.Kg), Price: x.Price, Worms: true, Bins: x.Bins})
			n.Entry = min(n.Entry, x.Entry)
		}
	}
}
