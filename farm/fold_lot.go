package farm

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"wormyard/feedstock"
	"wormyard/journal"
	"wormyard/qty"
)

// early is an entry about a lot of which no harvest is folded yet.
type early struct {
	lot string
	e   *journal.Entry
}

// lotOf changes a lot that must be there, or raises a doubt and lays the entry by:
// crews write a harvest in the evening, with that hour, after the screening of the
// afternoon.
func (f *folding) lotOf(e *journal.Entry, name string, change func(*Lot)) {
	l := f.ownLot(name)
	if l == nil {
		f.raise(e, "lot "+name, "unknown", fmt.Sprintf("An entry of %s (%s) is about lot %s, and no harvest before it went into that lot.", f.date(e.At), e.Kind, name),
			"Enter the harvest with its lot, or strike the entry if the name is wrong.")
		if e.Kind != "join" { // its other lots have it already
			f.early = append(f.early, early{name, e})
		}
		return
	}
	change(l)
}

// lotBegun begins a lot, with what was written of it under an earlier hour.
func (f *folding) lotBegun(e *journal.Entry, name string) *Lot {
	l := &Lot{Name: name, Since: noted(e), epoch: f.epoch}
	f.lots[name] = l
	f.settle("lot "+name, "unknown")
	if len(f.early) == 0 {
		return l
	}
	var mine, others []early
	for _, x := range f.early {
		if x.lot == name {
			mine = append(mine, x)
		} else {
			others = append(others, x)
		}
	}
	f.early = others
	for _, x := range mine {
		if b, ok := x.e.Body.(*journal.Hold); ok { // what it holds beside the lot is held already
			f.hold(x.e, &journal.Hold{Lot: b.Lot, Why: b.Why, Note: b.Note})
			continue
		}
		f.fold(x.e)
	}
	return l
}

// lotMade puts a harvest into a lot, which it may begin.
func (f *folding) lotMade(e *journal.Entry, name string, from LotSource) {
	l := f.ownLot(name)
	if l == nil {
		l = f.lotBegun(e, name)
	}
	l.From = append(l.From, from)
}

func (f *folding) screen(e *journal.Entry, b *journal.Screen) {
	f.lotOf(e, b.Lot, func(l *Lot) {
		s := Screening{Noted: noted(e), Water: b.WaterFracWet, OversTo: b.OversTo, Pile: b.OversPile}
		for _, d := range b.Decks {
			deck := Deck{OpeningMM: d.OpeningMM, Through: d.ThroughKg, Over: d.OverKg, Drum: d.Type == "drum"}
			if d.RateFrac != nil {
				deck.Rate = *d.RateFrac
			}
			s.Decks = append(s.Decks, deck)
		}
		l.Screens = append(l.Screens, s)
		if b.OversPile != "" {
			f.overs(e, b, s)
		}
	})
}

// Overs is the material of the library that what a deck keeps back is.
const Overs = "screen overs"

// overs puts what a screening kept back onto a pile, as moist as the lot was.
func (f *folding) overs(e *journal.Entry, b *journal.Screen, s Screening) {
	over, _ := s.over()
	came := arrival{pile: b.OversPile, material: Overs, mass: over, lot: b.Lot}
	if w := b.WaterFracWet; w != nil {
		came.own = []feedstock.Assay{{Key: feedstock.KeyWater, Value: qty.Estimate{Best: float64(*w), Low: float64(*w), High: float64(*w), Known: "measured"}, Ref: "own"}}
	}
	f.arrive(e, came)
}

func (f *folding) bag(e *journal.Entry, b *journal.Bag) {
	f.lotOf(e, b.Lot, func(l *Lot) {
		l.Bags = append(l.Bags, Bagging{noted(e), b.SizeM3, b.Number})
		f.holds(e, l)
	})
}

func (f *folding) sell(e *journal.Entry, b *journal.Sell) {
	f.lotOf(e, b.Lot, func(l *Lot) {
		if say, try := f.Unreleased(l, e.At); say != "" && (f.released || l.Held()) && !slices.Contains(e.Confirmed, "lot") {
			f.raise(e, "lot "+l.Name, "sold before release", say, try)
		}
		l.Sales = append(l.Sales, Sale{noted(e), b.Customer, or(b.VolumeM3, 0), or(b.MassKgWet, 0), or(b.Bags, 0), or(b.SizeM3, 0), or(b.Price, 0), b.What, b.Order, or(b.Line, 0), b.Delivery})
		if bagged, sold := l.Bagged(), l.BagsSold(); sold > bagged {
			f.raise(e, "lot "+l.Name, "bags sold twice", fmt.Sprintf("Of lot %s %d bags were sold up to %s, and %d were bagged.", l.Name, sold, f.date(e.At), bagged),
				"Enter the bagging that is missing, or strike the sale that was written twice.")
		}
		f.holds(e, l)
	})
}

func (f *folding) join(e *journal.Entry, b *journal.Join) {
	into := f.ownLot(b.Lot)
	if into == nil {
		into = f.lotBegun(e, b.Lot)
	}
	for _, p := range b.Parts {
		if p.Lot == b.Lot || f.Within(p.Lot, b.Lot) {
			f.raise(e, "lot "+b.Lot, "made of itself", fmt.Sprintf("On %s lot %s went into lot %s, and lot %s was made of that before.", f.date(e.At), p.Lot, b.Lot, p.Lot),
				"Strike the one that was not so, and give what was put together a name of its own.")
		}
		into.Joined = append(into.Joined, LotPart{noted(e), p.Lot, or(p.MassKgWet, 0), or(p.VolumeM3, 0)})
		f.lotOf(e, p.Lot, func(l *Lot) {
			l.Given = append(l.Given, LotPart{noted(e), b.Lot, or(p.MassKgWet, 0), or(p.VolumeM3, 0)})
			f.holds(e, l)
		})
	}
}

// Within says whether a lot holds another, through any number of joinings.
func (s *State) Within(lot, other string) bool {
	seen := map[string]bool{lot: true}
	next := []string{lot}
	for len(next) > 0 {
		l := s.lots[next[len(next)-1]]
		next = next[:len(next)-1]
		if l == nil {
			continue
		}
		for _, p := range l.Joined {
			if p.Lot == other {
				return true
			}
			if !seen[p.Lot] {
				seen[p.Lot] = true
				next = append(next, p.Lot)
			}
		}
	}
	return false
}

// holds asks about a lot of which more was taken than went in.
func (f *folding) holds(e *journal.Entry, l *Lot) {
	a := f.Amounts(l)
	if !a.Sure || a.In <= 0 || !a.TooMuch(0) {
		f.settle("lot "+l.Name, "overtaken")
		return
	}
	u := f.Settings.Units
	f.raise(e, "lot "+l.Name, "overtaken", fmt.Sprintf("%s was taken of lot %s up to %s, and %s went into it by the journal.", u.Mass(float64(a.Taken())), l.Name, f.date(e.At), u.Mass(float64(a.In))),
		"Enter the harvest that is missing, or strike what was written twice.")
}

// Unreleased says in words why a lot may not be sold at a time; empty when it may.
func (s *State) Unreleased(l *Lot, at time.Time) (say, try string) {
	switch held, released := last(l.Holds, at), last(l.Releases, at); {
	case holds(held, released):
		return fmt.Sprintf("Lot %s is on hold since %s: %s.", l.Name, s.date(held.At), strings.TrimSuffix(held.Why, ".")), "Take another lot, or write down first that it is released."
	case released == nil:
		return fmt.Sprintf("Lot %s was not released when it was sold on %s.", l.Name, s.date(at)), "Write down its release with the day, or say yes if it may be sold as it is."
	}
	return "", ""
}

// HeldAt says whether a lot was on hold at a time.
func (s *State) HeldAt(l *Lot, at time.Time) bool {
	held, released := last(l.Holds, at), last(l.Releases, at)
	return holds(held, released)
}

// Releases says whether the farm releases lots at all.
func (s *State) Releases() bool { return s.released }

// last gives the last decision up to a time.
func last(all []Decision, at time.Time) *Decision {
	var out *Decision
	for i := range all {
		if !all[i].At.After(at) {
			out = &all[i]
		}
	}
	return out
}
