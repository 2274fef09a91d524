package app

import (
	"time"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// Note is what a delivery note of a sale or an order rests on.
type Note struct {
	Entry, Customer, Who string
	At                   time.Time
	Order                bool   // ordered and not sold yet
	What                 string // of an order, as written
	Due                  string // of an order
	Bags                 int
	Size                 qty.CubicMetre // of one bag, 0 where bags of several sizes were filled
	Volume               qty.CubicMetre // in all, 0 where nobody wrote it
	Mass                 qty.WetKg      // in all, 0 where nobody weighed it
	Price                qty.Money
	Lot                  LotLabel // of a sale
	Released             time.Time
	By                   string // who released it
	Journal              JournalState
}

// NoteOf gives the note of a sale or an order by the id of its entry; false when
// there is none that counts.
func NoteOf(s *farm.State, id string) (Note, bool) {
	e, counts, found := s.Entry(id)
	if !found || !counts {
		return Note{}, false
	}
	out := Note{Entry: id, Who: e.Who, At: e.At, Journal: JournalAt(s)}
	switch b := e.Body.(type) {
	case *journal.Order:
		out.Order, out.Customer, out.What, out.Due = true, b.Customer, b.What, b.Due
		out.Volume, out.Mass = or0(b.VolumeM3), qty.WetKg(or0(b.MassKg))
		return out, true
	case *journal.Sell:
		l, ok := s.Lot(b.Lot)
		if !ok {
			return Note{}, false
		}
		out.Customer, out.Bags, out.Volume, out.Mass, out.Price = b.Customer, or0(b.Bags), or0(b.VolumeM3), or0(b.MassKgWet), or0(b.Price)
		out.Lot, _ = LotLabelOf(s, b.Lot)
		for i, x := range l.Bags {
			if i > 0 && x.Size != out.Size {
				out.Size = 0
				break
			}
			out.Size = x.Size
		}
		if out.Bags > 0 && out.Volume == 0 {
			out.Volume = out.Size * qty.CubicMetre(out.Bags)
		}
		if n := len(l.Releases); n > 0 {
			r := l.Releases[n-1]
			out.Released, out.By = r.At, r.By
			if out.By == "" {
				out.By = r.Who
			}
		}
		return out, true
	}
	return Note{}, false
}
