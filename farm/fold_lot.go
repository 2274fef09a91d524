package farm

import (
	"fmt"

	"wormyard/journal"
)

// lotOf changes a lot that must be there, or raises a doubt.
func (f *folding) lotOf(e *journal.Entry, name string, change func(*Lot)) {
	l := f.ownLot(name)
	if l == nil {
		f.raise(e, "lot "+name, "unknown", fmt.Sprintf("An entry of %s (%s) is about lot %s, and no harvest before it went into that lot.", f.date(e.At), e.Kind, name),
			"Enter the harvest with its lot, or strike the entry if the name is wrong.")
		return
	}
	change(l)
}

// lotMade puts a harvest into a lot, which it may begin.
func (f *folding) lotMade(e *journal.Entry, name string, from LotSource) {
	l := f.ownLot(name)
	if l == nil {
		l = &Lot{Name: name, Since: noted(e), epoch: f.epoch}
		f.lots[name] = l
		f.settle("lot "+name, "unknown")
	}
	l.From = append(l.From, from)
}

func (f *folding) screen(e *journal.Entry, b *journal.Screen) {
	f.lotOf(e, b.Lot, func(l *Lot) {
		s := Screening{Noted: noted(e), Water: b.WaterFracWet, OversTo: b.OversTo}
		for _, d := range b.Decks {
			s.Decks = append(s.Decks, Deck{d.OpeningMM, d.ThroughKg, d.OverKg})
		}
		l.Screens = append(l.Screens, s)
	})
}

func (f *folding) sell(e *journal.Entry, b *journal.Sell) {
	f.lotOf(e, b.Lot, func(l *Lot) {
		l.Sales = append(l.Sales, Sale{noted(e), b.Customer, or(b.VolumeM3, 0), or(b.MassKgWet, 0), or(b.Bags, 0), or(b.Price, 0)})
	})
}
