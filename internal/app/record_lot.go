package app

import (
	"fmt"
	"slices"

	"wormyard/farm"
	"wormyard/journal"
	"wormyard/qty"
)

// againstLot asks about bags, sales and joinings of a lot that do not fit what the
// farm knows of it: more out than in, bags sold twice, a sale before release, and a
// lot that would be made of itself.
func againstLot(s *farm.State, e *journal.Entry) (ps []journal.Problem) {
	u := s.Settings.Units
	doubt := func(field, say, try string) {
		ps = append(ps, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Doubtful})
	}
	// more asks when a lot would give more than lies there.
	more := func(field, lot string, mass qty.WetKg, volume qty.CubicMetre) {
		l, ok := s.Lot(lot)
		if !ok {
			return
		}
		a := s.Amounts(l)
		if mass <= 0 {
			mass = qty.WetKg(float64(volume) * float64(a.Density))
		}
		if a.Sure && a.In > 0 && a.TooMuch(mass) {
			doubt(field, fmt.Sprintf("%s is taken of lot %s, and about %s of it is left by the journal.", u.Mass(float64(mass)), lot, u.Mass(float64(a.Left()))),
				"Enter the harvest that is missing, or say yes.")
		}
	}
	switch b := e.Body.(type) {
	case *journal.Bag:
		more("number", b.Lot, 0, b.SizeM3*qty.CubicMetre(b.Number))
	case *journal.Join:
		for i, p := range b.Parts {
			field := fmt.Sprintf("parts[%d].lot", i)
			if p.Lot != b.Lot && s.Within(p.Lot, b.Lot) {
				ps = append(ps, journal.Problem{Field: field, Level: journal.Refused, Say: fmt.Sprintf("Lot %s was made of lot %s already, so lot %s would be made of itself.", p.Lot, b.Lot, b.Lot),
					Try: "Give what is put together now a name of its own."})
				continue
			}
			more(field, p.Lot, or0(p.MassKgWet), or0(p.VolumeM3))
		}
	case *journal.Sell:
		l, ok := s.Lot(b.Lot)
		if !ok {
			return nil
		}
		if say, try := s.Unreleased(l, e.At); say != "" {
			doubt("lot", say, try)
		}
		if b.Bags != nil {
			if left := l.Bagged() - l.BagsSold(); *b.Bags > left {
				doubt("bags", fmt.Sprintf("%d bags are sold of lot %s, and %d of it are bagged and not sold.", *b.Bags, b.Lot, max(left, 0)), "Enter the bagging first, look whether the sale is written already, or say yes.")
			}
		} else {
			field := "mass_kg_wet"
			if b.VolumeM3 != nil {
				field = "volume_m3"
			}
			more(field, b.Lot, or0(b.MassKgWet), or0(b.VolumeM3))
		}
		customer := b.Customer
		if customer == "" {
			customer = "a customer"
		}
		day := e.At.In(s.Zone()).Format(journal.DayLayout)
		if slices.ContainsFunc(l.Sales, func(x farm.Sale) bool {
			return x.At.In(s.Zone()).Format(journal.DayLayout) == day && x.Customer == b.Customer && x.Bags == or0(b.Bags) && x.Volume == or0(b.VolumeM3) && x.Mass == or0(b.MassKgWet) && x.Entry != e.Strikes
		}) {
			doubt("customer", fmt.Sprintf("The same sale of lot %s to %s is written for that day already.", b.Lot, customer), "Leave it out if it is the same one, or say yes if there were two.")
		}
	}
	return ps
}

// or0 gives the value, or nothing where none was written.
func or0[T any](p *T) (v T) {
	if p != nil {
		v = *p
	}
	return v
}
