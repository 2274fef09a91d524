package farm

import (
	"fmt"
	"slices"

	"wormyard/journal"
)

// folding is a state being worked on, with what the fold must know beside it.
type folding struct {
	*State
	trade *Trade
}

// apply folds one entry that counts. What does not fit raises a doubt.
func (f *folding) apply(e *journal.Entry) {
	f.Last, f.LastID = e.At, e.ID
	if e.Kind != "strike" {
		f.Entries++
	}
	f.fold(e)
}

// fold takes what one entry tells.
func (f *folding) fold(e *journal.Entry) {
	switch b := e.Body.(type) {
	case *journal.Reading:
		f.reading(e, b)
	case *journal.Feed:
		f.feed(e, b)
	case *journal.Look:
		f.look(e, b)
	case *journal.Water:
		f.water(e, b)
	case *journal.Depth:
		f.depth(e, b)
	case *journal.Cover:
		f.cover(e, b)
	case *journal.Heat:
		f.heat(e, b)
	case *journal.Turn:
		f.turn(e, b)
	case *journal.Weigh:
		f.weigh(e, b)
	case *journal.Count:
		f.count(e, b)
	case *journal.Move:
		f.move(e, b)
	case *journal.Build:
		f.build(e, b)
	case *journal.Bed:
		f.bed(e, b)
	case *journal.Stock:
		f.stock(e, b)
	case *journal.Harvest:
		f.harvest(e, b)
	case *journal.Sighting:
		f.sighting(e, b)
	case *journal.Remedy:
		f.remedy(e, b)
	case *journal.Outcome:
		f.outcome(e, b)
	case *journal.Receive:
		f.receive(e, b)
	case *journal.Assay:
		f.assay(e, b)
	case *journal.Blend:
		f.blend(e, b)
	case *journal.Tend:
		f.tend(e, b)
	case *journal.Site:
		f.weather(e, b)
	case *journal.Setting:
		f.setting(e, b)
	case *journal.Screen:
		f.screen(e, b)
	case *journal.Cure:
		f.lotOf(e, b.Lot, func(l *Lot) { l.Cures = append(l.Cures, Curing{noted(e), b.Place}) })
	case *journal.Bag:
		f.bag(e, b)
	case *journal.Join:
		f.join(e, b)
	case *journal.Sell:
		f.sell(e, b)
	case *journal.Microscope:
		if b.Lot != "" {
			f.lotOf(e, b.Lot, func(l *Lot) { l.Seen = append(l.Seen, Microscopy{noted(e), b.Group}) })
		}
	case *journal.Release:
		f.released = true
		f.lotOf(e, b.Lot, func(l *Lot) { l.Releases = append(l.Releases, Decision{Noted: noted(e), Rule: b.Rule, By: b.By}) })
	case *journal.Hold:
		f.hold(e, b)
	case *journal.Trial:
		f.trials = append(f.trials, Trial{noted(e), b.Name, b.Question, b.What, b.Sides})
	case *journal.Order:
		f.orders = append(f.orders, OrderIn(e, b))
	case *journal.CancelOrder:
		if f.cancels == nil {
			f.cancels = map[orderAt]*Cancel{}
		}
		f.cancels[orderAt{b.Order, or(b.Line, 0)}] = &Cancel{noted(e), b.Why}
	case *journal.WormsSold:
		f.wormsSold(e, b)
	case *journal.KeptSample:
		f.lotOf(e, b.Lot, func(l *Lot) {
			l.Samples = append(l.Samples, Sample{noted(e), b.Sample, b.Place, b.Until, or(b.MassKgWet, 0)})
		})
	case *journal.Duty:
		f.duties = append(f.duties, dutyNote{Noted: noted(e), said: b})
	case *journal.DutyDone:
		if _, known := f.DutyNamed(b.Duty); !known {
			f.raise(e, "duty "+b.Duty, "unknown", fmt.Sprintf("On %s it was written that %s was done, and no entry before it says when that is due.", f.date(e.At), b.Duty),
				"Enter the duty with the day it is due, or strike what was done if it was another.")
		}
		f.duties = append(f.duties, dutyNote{Noted: noted(e), done: b})
	case *journal.RecallDrill:
		f.drills = append(f.drills, Drill{noted(e), b.Of, b.Seconds, b.Bags, b.Customers, b.Mend})
	case *journal.Complaint:
		f.amiss = append(f.amiss, Complaint{noted(e), b.Lot, b.Bags, b.Customer, b.What, b.Done})
	}
}

// or gives the value, or another where none was written.
func or[T any](p *T, other T) T {
	if p == nil {
		return other
	}
	return *p
}

// once appends a name that is not in the list yet.
func once(list []string, name string) []string {
	if name == "" || slices.Contains(list, name) {
		return list
	}
	return append(list, name)
}

// layer gives the identity of the layer that an entry lays: FNV-1a of its id
// (the 64-bit constants of the algorithm by Fowler, Noll and Vo).
func layer(id string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(id) {
		h = (h ^ uint64(id[i])) * 1099511628211
	}
	return h
}
