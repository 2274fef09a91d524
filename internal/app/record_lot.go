package app

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/farm"
	"wormyard/journal"
	lots "wormyard/lot"
	"wormyard/qty"
)

// againstLot asks about harvests, screenings, bags, sales and joinings that do not fit what the
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
	refuse := func(field, say, try string) {
		ps = append(ps, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Refused})
	}
	// goes asks whether a lot may be bagged or sold: a lot on hold only with a reason
	// that is written with it, a lot that is not released too where the farm releases
	// its lots (docs/adr/0056).
	goes := func(name, note string, sold bool) {
		l, ok := s.Lot(name)
		if !ok {
			return
		}
		say, try := s.Unreleased(l, e.At)
		held := s.HeldAt(l, e.At)
		switch {
		case say == "" || !sold && !held:
			return
		case (held || s.Releases()) && strings.TrimSpace(note) == "":
			refuse("note", say, "Release it first, or write in the note why it goes all the same; the reason stays on record.")
		default:
			doubt("lot", say, try)
		}
	}
	ordered := func(id, customer string, line int, what string, size qty.CubicMetre) {
		if id == "" {
			return
		}
		o, ok := s.Order(id)
		if !ok || !o.Is(id) {
			refuse("order", fmt.Sprintf("There is no order %q in the journal.", id), "Open the order on the page Orders and deliver it from there, or leave the box empty.")
			return
		}
		product := o.LineOf(id, line, what, size)
		if product == nil {
			refuse("line", fmt.Sprintf("The order of %s is for %d products, and it is not said which of them this delivers.", o.Customer, len(o.Lines)), fmt.Sprintf("Deliver it from its page under Orders, or give the number of the product, 1 to %d.", len(o.Lines)))
			return
		}
		switch {
		case product.State == farm.OrderCancelled:
			doubt("order", fmt.Sprintf("The order of %s for %s was cancelled: %s.", o.Customer, product.What, strings.TrimSuffix(product.Cancel.Why, ".")), "Leave the order out of the sale, or say yes if it goes all the same.")
		case product.State == farm.OrderDone:
			doubt("order", fmt.Sprintf("The order of %s for %s is delivered already.", o.Customer, product.What), "Look whether this delivery is written already, or say yes if more is given.")
		case customer != "" && !strings.EqualFold(customer, o.Customer):
			doubt("customer", fmt.Sprintf("The order is of %s, and the sale is to %s.", o.Customer, customer), "")
		}
	}
	switch b := e.Body.(type) {
	case *journal.Order:
		ps = append(ps, againstOrder(s, e, b)...)
	case *journal.CancelOrder:
		o, ok := s.Order(b.Order)
		if !ok || !o.Is(b.Order) {
			refuse("order", fmt.Sprintf("There is no order %q in the journal.", b.Order), "Open the order on the page Orders and cancel it there.")
			break
		}
		state, what := o.State, o.What()
		if line := or0(b.Line); line > 0 {
			product := o.LineOf(b.Order, line, "", 0)
			if product == nil {
				refuse("line", fmt.Sprintf("The order of %s has %d products, and product %d of it is cancelled.", o.Customer, len(o.Lines), line), "Open the order on the page Orders and cancel it there.")
				break
			}
			state, what = product.State, product.What
		}
		switch state {
		case farm.OrderDone:
			refuse("order", fmt.Sprintf("The order of %s for %s is delivered already.", o.Customer, what), "Strike its sale if that was not so.")
		case farm.OrderCancelled:
			refuse("order", fmt.Sprintf("The order of %s for %s is cancelled already.", o.Customer, what), "There is nothing left to cancel.")
		}
	case *journal.WormsSold:
		ordered(b.Order, b.Customer, or0(b.Line), b.What, 0)
		each := float64(b.Kg) / float64(max(len(b.Bins), 1))
		for _, name := range b.Bins {
			bin, ok := s.Bin(name)
			if !ok || bin.Bed == nil {
				continue
			}
			if since, until, apart := s.Apart(bin, e.At); apart {
				doubt("bins", fmt.Sprintf("Bin %s holds worms bought on %s and is kept apart until %s.", name, since.In(s.Zone()).Format("2 January"), until.In(s.Zone()).Format("2 January")),
					"Wait until then, so that pests that came along do not spread, or say yes if the bin was looked over and is clean.")
			}
			if have := float64(bin.Bed.Stock.High); have > 0 && each > 3*have {
				doubt("kg", fmt.Sprintf("%s of worms are taken out of bin %s, and at most %s were put into it.", u.Mass(each), name, u.Mass(have)), "If that is right, say yes; else type it again.")
			}
		}
	case *journal.Release:
		ps = append(ps, againstRule(s, e, b)...)
	case *journal.Bag:
		goes(b.Lot, b.Note, false)
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
	case *journal.Harvest:
		var given qty.LiveKg
		for _, w := range b.WormsTo {
			given += w.Kg
		}
		if got := or0(b.WormsKg); b.WormsKg != nil && float64(given) > 1.05*float64(got) { // a hanging scale is good to some hundredths
			doubt("worms_to", fmt.Sprintf("%s of worms went to other bins, and %s were got back.", u.Mass(float64(given)), u.Mass(float64(got))), "Correct one of the two, or say yes if worms from elsewhere were among them.")
		}
	case *journal.Screen:
		l, ok := s.Lot(b.Lot)
		if !ok {
			return nil
		}
		for i, d := range b.Decks {
			if mass := or0(d.ThroughKg) + or0(d.OverKg); mass > 0 {
				if a := s.Amounts(l); a.Sure && a.In > 0 && a.TooMuch(mass) {
					doubt(fmt.Sprintf("decks[%d].through_kg", i), fmt.Sprintf("%s went over the deck, and about %s of lot %s lie there by the journal.", u.Mass(float64(mass)), u.Mass(float64(a.Left())), b.Lot),
						"Enter the harvest that is missing, or say yes.")
				}
			}
		}
	case *journal.Sell:
		l, ok := s.Lot(b.Lot)
		if !ok {
			return nil
		}
		goes(b.Lot, b.Note, true)
		ordered(b.Order, b.Customer, or0(b.Line), b.What, or0(b.SizeM3))
		if b.Bags != nil {
			left := l.BagsLeft(or0(b.SizeM3))
			if old, counts, found := s.Entry(e.Strikes); found && counts {
				if was, ok := old.Body.(*journal.Sell); ok && was.Lot == b.Lot {
					left += or0(was.Bags)
				}
			}
			switch {
			case *b.Bags <= left:
			case b.SizeM3 != nil:
				refuse("bags", fmt.Sprintf("%d bags of %s are sold of lot %s, and %d of it are filled and not sold.", *b.Bags, farm.BagVolume(u, *b.SizeM3), b.Lot, max(left, 0)), "Enter the bagging first, or look whether the sale is written already: a bag is sold once.")
			default:
				refuse("bags", fmt.Sprintf("%d bags are sold of lot %s, and %d of it are filled and not sold.", *b.Bags, b.Lot, max(left, 0)), "Enter the bagging first, or look whether the sale is written already: a bag is sold once.")
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

// againstOrder asks about an order that is there already, is due before it came, or
// is for what the price list does not have.
func againstOrder(s *farm.State, e *journal.Entry, b *journal.Order) (ps []journal.Problem) {
	doubt := func(field, say, try string) {
		ps = append(ps, journal.Problem{Field: field, Say: say, Try: try, Level: journal.Doubtful})
	}
	products := s.Settings.Money.Products
	parts, at := b.Lines, func(i int, field string) string { return fmt.Sprintf("lines[%d].%s", i, field) }
	if len(parts) == 0 {
		parts, at = []journal.OrderPart{{What: b.What, VolumeM3: b.VolumeM3}}, func(_ int, field string) string { return field }
	}
	for i, part := range parts {
		product, listed := s.Settings.Money.Product(part.What)
		if !listed && len(products) > 0 {
			var names []string
			for _, p := range products {
				names = append(names, p.Name)
			}
			doubt(at(i, "what"), fmt.Sprintf("%q is not on the price list.", part.What), "The price list has "+strings.Join(names, ", ")+". Say yes to take the order as it is, without a price.")
		}
		if listed && product.Living() && part.VolumeM3 != nil {
			doubt(at(i, "volume_m3"), fmt.Sprintf("%s is sold by weight or by the piece, and the order has a volume.", product.Name), "Type how many, or the weight of the worms.")
		}
		if due, err := time.ParseInLocation(journal.DayLayout, part.Due, s.Zone()); err == nil && due.AddDate(0, 0, 1).Before(e.At) {
			doubt(at(i, "due"), fmt.Sprintf("It was due on %s, before it was ordered.", due.Format("2 January 2006")), "Look at the year again, or say yes.")
		}
	}
	if due, err := time.ParseInLocation(journal.DayLayout, b.Due, s.Zone()); err == nil && due.AddDate(0, 0, 1).Before(e.At) {
		doubt("due", fmt.Sprintf("It was due on %s, before it was ordered.", due.Format("2 January 2006")), "Look at the year again, or say yes.")
	}
	for _, o := range s.OrderBook() {
		if o.State.Closed() || o.Entry == e.ID || o.Is(e.Strikes) {
			continue
		}
		if b.Ref != "" && strings.EqualFold(o.Ref, b.Ref) && strings.EqualFold(o.Customer, b.Customer) {
			doubt("ref", fmt.Sprintf("Order %s of %s for %s is in the book already.", b.Ref, b.Customer, o.What()), "Leave it out if it is the same one, or say yes if there are two.")
		}
	}
	return ps
}

// againstRule holds a lot against the rule that it is to be released under. A rule
// in the farm's own words is taken as it is: old journals have them, and nobody can
// hold a lot against them.
func againstRule(s *farm.State, e *journal.Entry, b *journal.Release) []journal.Problem {
	one := func(level journal.Level, field, say, try string) []journal.Problem {
		return []journal.Problem{{Field: field, Say: say, Try: try, Level: level}}
	}
	var ps []journal.Problem
	for i, x := range b.Shown {
		for n, id := range x.Entries {
			field := fmt.Sprintf("shown[%d].entries[%d]", i, n)
			switch _, _, found := s.Entry(id); {
			case !found:
				ps = append(ps, journal.Problem{Field: field, Say: fmt.Sprintf("There is no entry %q in the journal.", id), Try: "Leave it out, or give the id of the entry as its page has it.", Level: journal.Refused})
			case s.Struck(id):
				ps = append(ps, journal.Problem{Field: field, Say: fmt.Sprintf("The entry of %q was struck.", x.What), Try: "Choose another that shows it, or say what does.", Level: journal.Refused})
			}
		}
	}
	if len(ps) > 0 {
		return ps
	}
	rule, _, ok, err := RuleNamed(s, b.Rule)
	if err != nil {
		return one(journal.Refused, "rule", "The rules of this farm cannot be read.", "Take the last change of the setting rule/farm_house back on the page Journal.")
	}
	if _, there := s.Lot(b.Lot); !ok || !there {
		return nil
	}
	now := e.At
	if s.Last.After(now) {
		now = s.Last
	}
	j, err := Judged(s, b.Lot, rule, b.Shown, b.By, now)
	if err != nil {
		return one(journal.Refused, "rule", "The rules of this farm cannot be read.", "Take the last change of the setting rule/farm_house back on the page Journal.")
	}
	switch j.State {
	case lots.Blocked, lots.Missing:
		n := 0
		for _, x := range j.Lines {
			if x.State == j.State {
				n++
			}
		}
		if j.State == lots.Blocked {
			return one(journal.Refused, "rule", fmt.Sprintf("Lot %s is not released under %s: %d of what it asks is not kept.", b.Lot, rule.Title, n), "Hold it, or look whether another rule is about it.")
		}
		return one(journal.Refused, "rule", fmt.Sprintf("Lot %s is not released under %s: nothing shows %d of what it asks.", b.Lot, rule.Title, n), "Write down what is missing, or look whether another rule is about it.")
	case lots.IfRecalled:
		return one(journal.Doubtful, "rule", fmt.Sprintf("The text of %s is not surely known: lot %s would be allowed if it is as recalled.", rule.Title, b.Lot), "Read the rule, ask the certifier or the inspector, and say yes if it is so.")
	}
	return nil
}

// or0 gives the value, or nothing where none was written.
func or0[T any](p *T) (v T) {
	if p != nil {
		v = *p
	}
	return v
}
