package demo

import (
	"fmt"
	"slices"
	"time"

	"wormyard/bed"
)

// The crew works by the round in the last part of the journal: it leaves work with
// a reason, answers what the round asks and begins remedies. It has dice of its
// own, so that what truly happens is the same with a round and without.

// withRound says whether the crew works by the round on a day.
func (f *truth) withRound() bool { return f.day >= f.part(0.82) }

// rules are the habits as the owner types them again when the phones come.
func (f *truth) rules() {
	f.writeNow(entry("setting", owner, f.at(f.day, clockOf(19, 5))).with("key", "habits").with("value", asJSON(map[string]any{
		"feed_depth_m": 0.0381, "feed_every_days": 6, "visit_days": 7, "bedding_depth_m": bedDepth, "water_kg": 9.5, "feed_most_m": 0.0508, "feed_days": []string{"tuesday", "friday"}})))
}

// leave writes down that bins of a row were not reached on their day.
func (f *truth) leave(missed []*bin, who string, at time.Time) {
	if len(missed) == 0 || !f.withRound() || f.day >= f.days-3 {
		return
	}
	why := f.steps.one("the truck does not get there", "the truck is out of service", "a pallet stands in the aisle", "no time, the other barn took longer")
	f.writeNow(entry("left", who, at).with("bins", names(missed)).with("act", "feed").with("how", "could not").with("why", why))
}

// skip writes down a look that was not taken, and a pile that was not turned.
func (f *truth) skip() {
	if !f.withRound() || f.day >= f.days-3 {
		return
	}
	at := f.at(f.day, clockOf(16, 40))
	switch f.weekday(f.day) {
	case time.Wednesday:
		for k := range f.bins {
			if b := f.bins[(k*29+f.day)%len(f.bins)]; b.live != nil && !b.marked && b.top() {
				f.writeNow(entry("left", crew2, at).with("bins", b.name).with("act", "look").with("how", "skipped").with("why", f.steps.one("no time today", "looked on Sunday, nobody wrote it down")))
				return
			}
		}
	case time.Monday:
		for _, h := range f.heaps {
			if !h.gone && !h.good.byMass && f.steps.chance(0.3) {
				f.writeNow(entry("left", crew1, at).with("pile", h.name).with("act", "turn").with("how", "could not").with("why", "the loader is in the shop"))
				return
			}
		}
	}
}

// answered writes down what the owner says on a Saturday when the round asks about
// feedings of the week. What is remembered is not untold any more.
func (f *truth) answered() {
	if !f.withRound() || f.weekday(f.day) != time.Saturday || f.day > f.days-9 {
		return
	}
	now := f.at(f.day, clockOf(12, 30))
	said, told := 0, map[string]bool{}
	for i := 0; i < len(f.untold) && said < 2; i++ {
		first := f.untold[i]
		if first.At.Before(now.AddDate(0, 0, -7)) || !f.steps.chance(0.4) {
			continue
		}
		same := func(u Untold) bool { return u.At.Equal(first.At) && u.Batch == first.Batch }
		var bins []*bin
		for _, u := range f.untold {
			if same(u) {
				bins = append(bins, f.called(u.Bin))
			}
		}
		day := first.At.In(f.zone).Format(time.DateOnly)
		if told[day+names(bins)] {
			continue
		}
		told[day+names(bins)] = true
		word := "fed"
		if f.steps.chance(0.25) {
			word = "not known"
		} else {
			f.writeNow(entry("feed", owner, first.At).with("bins", names(bins)).with("batch", first.Batch).with("depth_m", inches(max(first.DepthM, 0.5*inch), 0.5)).with("note", "asked, was not written down"))
			f.untold = slices.DeleteFunc(f.untold, same)
			i--
		}
		f.writeNow(entry("answer", owner, now.Add(time.Duration(said)*time.Minute)).with("bins", names(bins)).with("day", day).with("said", word))
		said++
	}
	friday := f.day - 1
	for k := range f.bins {
		b := f.bins[(k*41+f.day)%len(f.bins)]
		if b.live == nil || b.marked || !b.top() || b.live.fed >= friday-3 || b.live.since > friday-14 {
			continue
		}
		f.writeNow(entry("answer", owner, now.Add(5*time.Minute)).with("bins", b.name).with("day", f.at(friday, 720).Format(time.DateOnly)).with("said", "not fed"))
		return
	}
}

func (f *truth) called(name string) *bin {
	for _, b := range f.bins {
		if b.name == name {
			return b
		}
	}
	return nil
}

// sighted writes a sighting with its signs and the remedy that is begun for it.
func (f *truth) sighted(b *bin, who string, at time.Time, signs, severity, note, cause, steps string) {
	seen := entry("sighting", who, at).with("bin", b.name).with("signs", signs).with("severity", severity).with("note", note).named("sighted " + cause + b.name + at.Format(time.DateOnly))
	f.writeNow(seen, entry("remedy", who, at.Add(3*time.Minute)).with("bins", b.name).with("cause", cause).with("steps", steps).with("sighting", seen.id))
}

// became writes down what became of a remedy.
func (f *truth) became(b *bin, who string, at time.Time, cause, said, steps string) {
	f.writeNow(entry("outcome", who, at).with("bins", b.name).with("cause", cause).with("said", said).with("steps", steps))
}

// flies: gnats and fruit flies in high summer, which went at the second try.
func (s *story) flies(f *truth) {
	b := f.settled(secondBarn, 1)
	if b == nil {
		return
	}
	const cause = "open feed"
	f.sighted(b, crew2, f.at(f.day, clockOf(10, 35)), "fruit flies, feed open", "some", "cloud of them when the cloth came off", cause, "bury, trap")
	f.became(b, crew2, f.at(f.day, clockOf(10, 50)), cause, "done", "bury, trap")
	s.later(f.day+8, func() {
		at := f.at(f.day, clockOf(11, 5))
		f.became(b, crew2, at, cause, "same", "")
		f.writeNow(entry("remedy", crew2, at.Add(4*time.Minute)).with("bins", b.name).with("cause", cause).with("steps", "bury, dry cover, freeze"))
		f.became(b, crew2, at.Add(30*time.Minute), cause, "done", "bury, dry cover")
	})
	s.later(f.day+17, func() { f.became(b, owner, f.at(f.day, clockOf(17, 20)), cause, "gone", "") })
}

// airless: a bed that packed, eight days ago; today it is asked whether it helped.
func (s *story) airless(f *truth) {
	b := f.settled(firstBarn, 1)
	if b == nil {
		return
	}
	b.marked = true
	s.bins["airless"] = b
	const cause = "no air"
	at := f.at(f.day, clockOf(14, 5))
	f.sighted(b, crew1, at, "sour smell, feed not eaten", "some", "black and slimy two hands down", cause, "stop feed, loosen, dry paper, look again")
	f.writeNow(entry("hold", crew1, at.Add(3*time.Minute)).with("bin", b.name).with("why", "sour and packed, no feed until it has air"))
	f.writeNow(entry("turn", crew1, at.Add(20*time.Minute)).with("bins", b.name).with("what", "loosened the top 4 in by hand"))
	b.add(bed.Act{Hour: hourOf(at), Kind: bed.Turn, DepthM: 0.1})
	f.became(b, crew1, at.Add(22*time.Minute), cause, "done", "dry paper")
	s.later(f.day+2, func() { f.look([]*bin{b}, crew1, f.at(f.day, clockOf(9, 25))) })
}

// mites: white mites on feed that was too much, found last Friday; of the remedy
// one step was done, and the others stand on today's round.
func (s *story) mites(f *truth) {
	b := f.settled(firstBarn, 1)
	if b == nil {
		return
	}
	b.marked = true
	s.bins["mites"] = b
	const cause = "overfed"
	at := f.at(f.day, clockOf(15, 20))
	f.sighted(b, crew2, at, "pale mites, feed not eaten", "some", "white crust of them along the boards", cause, "stop feed, dry paper, lime, bait, look again")
	f.writeNow(entry("hold", crew2, at.Add(3*time.Minute)).with("bin", b.name).with("why", "mites on feed that is not eaten"))
	f.became(b, crew2, at.Add(15*time.Minute), cause, "done", "dry paper")
}

// leftYesterday is what the crew did not get to: ripe beds under others.
func (f *truth) leftYesterday() {
	var list []*bin
	for _, b := range f.bins {
		if b.live != nil && !b.marked && b.live.rest >= 0 {
			list = append(list, b)
		}
	}
	slices.SortStableFunc(list, func(a, b *bin) int { return a.live.rest - b.live.rest })
	for i, b := range list[:min(6, len(list))] {
		why := "the truck was in the yard all afternoon"
		if b.top() {
			why = fmt.Sprint("no time: the screen was full until ", pick(i%2 == 0, "four", "five"))
		}
		f.writeNow(entry("left", pick(b.slot.Barn == firstBarn, crew1, crew2), f.at(f.day, clockOf(16, 31)+i)).with("bins", b.name).with("act", "harvest").with("how", "could not").with("why", why))
	}
}
