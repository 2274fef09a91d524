package farm

import (
	"cmp"
	"slices"
	"sort"
	"sync"

	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/qty"
	"wormyard/yard"
)

// Heaps follows what lies in heaps on a farm: each pile from its deliveries with
// what people did to it, each batch from its mixing out of piles as they were on
// that day, until it is laid. Amounts stay as people wrote them; what they are
// made of is what time has left. It is safe for use by several goroutines.
type Heaps struct {
	s      *State
	p      *yard.Parameters
	doubt  feedstock.Lying
	air    climate.Series // outside
	mu     sync.Mutex
	piles  map[string][]dug
	heaps  map[string]*heaped
	untold map[untoldKey]lies
}

type untoldKey struct {
	matter feedstock.Matter
	day    int64
}

// lies is matter in a heap at an hour, loose.
type lies struct {
	hour   int64
	matter feedstock.Matter
	lain   feedstock.Lain
	room   float64 // its dry mass over that which came
}

// dug is a pile as it was when some of it was taken for a batch.
type dug struct {
	entry string
	heap  yard.Lying
}

// heaped is a batch in its heap, followed as far as anybody asked.
type heaped struct {
	heap   yard.Lying
	events []heapEvent
	next   int
	untold float64 // share of its dry mass of which nobody wrote down when it came
	days   []lies  // each midnight, and after each mixing
}

type heapEvent struct {
	hour  int64
	rank  int
	blend *blending
	moist qty.WaterOfWet
}

// Heaps gives what follows the farm's heaps in the air outside.
func (s *State) Heaps(p *yard.Parameters, doubt feedstock.Lying, air climate.Series) *Heaps {
	return &Heaps{s: s, p: p, doubt: doubt, air: air, piles: map[string][]dug{}, heaps: map[string]*heaped{}, untold: map[untoldKey]lies{}}
}

// Batch gives a cubic metre of a batch as it lies at an hour, dug loose, what
// lying has left of it, and its room over that of what came to make it. It is
// false of a batch of which nobody wrote down what it is made of.
func (l *Heaps) Batch(name string, hour int64) (perM3 feedstock.Matter, lain feedstock.Lain, room float64, ok bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	x, ok := l.batch(name, hour)
	if !ok || x.matter.Volume <= 0 {
		return perM3, lain, 0, false
	}
	return x.matter.Times(1 / float64(x.matter.Volume)), x.lain, x.room, true
}

// laid gives matter of a batch as it is when it is laid: as much in room, or by
// mass, as was written down of it as mixed. Without a batch, or without a word of
// when it came, it is taken to have lain as long as is assumed.
func (l *Heaps) laid(m feedstock.Matter, batch string, byMass bool, hour int64) (feedstock.Matter, feedstock.Lain) {
	if l == nil || m.Dry <= 0 {
		return m, feedstock.Lain{}
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	x, ok := l.batch(batch, hour)
	if !ok {
		x = l.assumed(m, hour)
	}
	return as(x.matter, m, byMass), x.lain
}

// as gives so much of matter as another amount has room, or mass.
func as(m, like feedstock.Matter, byMass bool) feedstock.Matter {
	if !byMass && like.Volume > 0 && m.Volume > 0 {
		return m.Times(float64(like.Volume / m.Volume))
	}
	if m.Wet() <= 0 {
		return like
	}
	return m.Times(float64(like.Wet() / m.Wet()))
}

// assumed gives matter of which nobody wrote down when it came, after it has lain
// for as long as is assumed in a heap of a usual size.
func (l *Heaps) assumed(m feedstock.Matter, hour int64) lies {
	size := max(float64(m.Volume), 1e-9)
	key := untoldKey{m.Times(1 / size), hour / 24}
	if x, ok := l.untold[key]; ok {
		return x
	}
	from := int64(float64(hour) - l.doubt.UntoldDays*24)
	var heap yard.Lying
	came := m.Times(l.doubt.UntoldM3 / size)
	l.receive(&heap, from, came, came, float64(from), nil)
	l.lie(&heap, hour/24*24)
	x := liesNow(&heap)
	x.lain.Untold, x.lain.Days = true, qty.Days(l.doubt.UntoldDays)
	l.untold[key] = x
	return x
}

func liesNow(heap *yard.Lying) lies {
	x := lies{hour: heap.Hour, matter: heap.Loose(), lain: heap.Lain(), room: 1}
	if heap.Came.Dry > 0 {
		x.room = float64(heap.Matter.Dry / heap.Came.Dry)
	}
	return x
}

// receive and lie keep to hours of which the air is known.
func (l *Heaps) receive(heap *yard.Lying, hour int64, m, came feedstock.Matter, at float64, warm *qty.Celsius) {
	heap.Receive(l.p, l.air, max(hour, l.air.Start), m, came, at, warm)
}

func (l *Heaps) lie(heap *yard.Lying, until int64) {
	until = min(until, l.air.End())
	if heap.Hour < until {
		heap.Lie(l.p, l.air, until)
	}
}

// batch gives a batch as it lay at the midnight before an hour, or when it was
// mixed, whichever is later.
func (l *Heaps) batch(name string, hour int64) (lies, bool) {
	h := l.heaps[name]
	if h == nil {
		b := l.s.batches[name]
		if b == nil || len(b.blends) == 0 || b.Made.Dry <= 0 {
			return lies{}, false
		}
		h = &heaped{events: eventsOf(b)}
		l.heaps[name] = h
	}
	l.follow(h, l.s.batches[name], hour)
	if len(h.days) == 0 {
		return lies{}, false
	}
	i := sort.Search(len(h.days), func(i int) bool { return h.days[i].hour > hour })
	return h.days[max(i-1, 0)], true
}

// eventsOf gives what happened to a batch, in order.
func eventsOf(b *Batch) []heapEvent {
	var out []heapEvent
	for i := range b.blends {
		out = append(out, heapEvent{hour: hour(b.blends[i].At), rank: 0, blend: &b.blends[i]})
	}
	for _, t := range b.Tests {
		if t.Analyte == feedstock.KeyWater && t.Value >= 0 && t.Value < 1 {
			out = append(out, heapEvent{hour: hour(t.At), rank: 1, moist: qty.WaterOfWet(t.Value)})
		}
	}
	slices.SortStableFunc(out, func(a, b heapEvent) int { return cmp.Or(cmp.Compare(a.hour, b.hour), cmp.Compare(a.rank, b.rank)) })
	if i := slices.IndexFunc(out, func(e heapEvent) bool { return e.blend != nil }); i > 0 { // a test before the mixing has the hour wrong
		out[0], out[i] = out[i], out[0]
		out[0].hour = min(out[0].hour, out[i].hour)
	}
	return out
}

// follow brings a batch to an hour.
func (l *Heaps) follow(h *heaped, b *Batch, until int64) {
	keep := func() {
		if h.heap.Matter.Dry > 0 {
			x := liesNow(&h.heap)
			x.lain.Untold = h.untold > mostlyTold
			h.days = append(h.days, x)
		}
	}
	for {
		at := until + 1
		if h.next < len(h.events) {
			at = h.events[h.next].hour
		}
		if len(h.days) == 0 && h.next < len(h.events) { // nothing lies there before its first mixing
			until = max(until, at)
		} else {
			for day := (h.heap.Hour/24 + 1) * 24; day <= min(until, at); day += 24 {
				l.lie(&h.heap, day)
				if h.heap.Hour < day { // beyond the known air
					return
				}
				keep()
			}
		}
		if at > until || h.next >= len(h.events) {
			break
		}
		e := h.events[h.next]
		h.next++
		l.lie(&h.heap, e.hour)
		switch {
		case e.blend != nil:
			l.mix(h, b, e.blend)
			keep()
		default:
			h.heap.Wet(e.moist)
		}
	}
}

// halfDug is how much of a batch lies there on the mean of the days on which it is
// fed from, evenly from all to nothing. It is followed at that size throughout, so
// that what one bin was given says nothing of the feed of others.
const halfDug = 0.5

// mix throws the parts of a blending together as they lie on that day.
func (l *Heaps) mix(h *heaped, b *Batch, x *blending) {
	now := hour(x.At)
	var m, came feedstock.Matter
	var at, warmth, active, untold float64
	for _, part := range b.Parts[x.first:x.end] {
		heap, told := l.dugFor(part, x.Entry, now)
		lies := as(heap.Loose(), part.Matter, part.byMass)
		if heap.Matter.Dry <= 0 { // nobody knows what is in it
			heap.TempC, heap.Active = l.air.At(now).TempC, 1
			lies, heap.Came = part.Matter, part.Matter
		} else {
			heap.Came = heap.Came.Times(float64(lies.Dry / heap.Matter.Dry))
		}
		m, came = m.Plus(lies), came.Plus(heap.Came)
		at += heap.CameAt() * float64(heap.Came.Dry)
		warmth += heap.TempC * float64(lies.Wet())
		active += heap.Active * float64(lies.Dry)
		if !told {
			untold += float64(lies.Dry)
		}
	}
	if m.Dry <= 0 {
		return
	}
	m.Water += x.water
	came.Water += x.water
	m.Volume *= qty.CubicMetre(1 - float64(x.shrink))
	came.Volume *= qty.CubicMetre(1 - float64(x.shrink))
	m, came, untold = m.Times(halfDug), came.Times(halfDug), untold*halfDug
	active *= halfDug
	warmth *= halfDug
	airC := l.air.At(now).TempC
	warm := qty.Celsius(airC + l.p.TurnKeeps*(warmth/float64(m.Wet())-airC))
	before, fresh := float64(h.heap.Matter.Dry), float64(m.Dry)
	h.untold = (h.untold*before + untold) / (before + fresh)
	was := h.heap.Active
	l.receive(&h.heap, now, m, came, at*halfDug/float64(came.Dry), &warm)
	h.heap.Active = (was*before + active) / (before + fresh)
	if w := x.moist; w != nil {
		h.heap.Wet(*w)
	}
}

// dugFor gives the heap that a part of a batch was dug from, as it was then; false
// where nobody wrote down when it came.
func (l *Heaps) dugFor(part BatchPart, entry string, now int64) (yard.Lying, bool) {
	p := l.s.piles[part.Pile]
	if p != nil {
		list, ok := l.piles[part.Pile]
		if !ok {
			list, _ = l.pile(p, l.air.End())
			l.piles[part.Pile] = list
		}
		for i := range list {
			if list[i].entry == entry {
				return list[i].heap, true
			}
		}
	}
	if part.Matter.Dry <= 0 {
		return yard.Lying{}, false
	}
	var heap yard.Lying
	from := int64(float64(now) - l.doubt.UntoldDays*24)
	came := as(part.Matter, feedstock.Matter{Volume: qty.CubicMetre(l.doubt.UntoldM3)}, false)
	l.receive(&heap, from, came, came, float64(from), nil)
	l.lie(&heap, now)
	return heap, false
}

// scraps is the share of a pile that is kept to be followed when by the journal
// all of it went: loads are good to some per cent, and more is dug from it later.
// Common practice, no source.
const scraps = 0.05

// Pile gives a pile as it lies at an hour; false where nothing lies there that
// anybody knows.
func (l *Heaps) Pile(name string, hour int64) (yard.Lying, bool) {
	p := l.s.piles[name]
	if p == nil {
		return yard.Lying{}, false
	}
	_, heap := l.pile(p, hour)
	return heap, heap.Matter.Dry > 0
}

// pile follows a pile to an hour through all that happened to it, and gives it as
// it was at each digging for a batch.
func (l *Heaps) pile(p *Pile, until int64) (out []dug, heap yard.Lying) {
	type event struct {
		hour int64
		rank int
		past *lain
		done *Tending
	}
	var all []event
	for i := range p.past {
		x := &p.past[i]
		r := 0
		if x.took > 0 {
			r = 2
		}
		all = append(all, event{hour: hour(x.At), rank: r, past: x})
	}
	for i := range p.Tended {
		all = append(all, event{hour: hour(p.Tended[i].At), rank: 1, done: &p.Tended[i]})
	}
	slices.SortStableFunc(all, func(a, b event) int { return cmp.Or(cmp.Compare(a.hour, b.hour), cmp.Compare(a.rank, b.rank)) })
	for _, e := range all {
		if e.hour > until {
			break
		}
		l.lie(&heap, e.hour)
		switch {
		case e.done != nil:
			if x, ok := tended(*e.done); ok && heap.Matter.Dry > 0 {
				x.Hour = heap.Hour
				heap.Tend(l.p, l.air, x)
			}
		case e.past.took > 0:
			out = append(out, dug{e.past.Entry, heap})
			heap.Take(l.p, l.air, min(e.past.took, 1-scraps))
		case e.past.known.Dry > 0:
			heap.Known(e.past.known)
			if w := e.past.water; w != nil {
				heap.Wet(*w)
			}
		case e.past.came.Dry > 0:
			l.receive(&heap, e.hour, e.past.came, e.past.came, float64(e.hour), nil)
		}
	}
	l.lie(&heap, until)
	return out, heap
}

// tended gives what was done to a pile as the yard takes it; false for what
// changes nothing there.
func tended(d Tending) (yard.Event, bool) {
	e := yard.Event{Hour: hour(d.At)}
	switch d.Act {
	case "turned":
		e.Kind = yard.Turned
	case "wetted":
		e.Kind = yard.Wetted
		if d.Water != nil {
			e.Water = *d.Water
		}
	case "measured":
		if d.Temp == nil {
			return e, false
		}
		e.Kind, e.TempC = yard.Measured, *d.Temp
	case "covered":
		e.Kind = yard.Covered
	default:
		return e, false
	}
	return e, true
}
