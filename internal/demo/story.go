package demo

import (
	"fmt"
	"time"

	"wormyard/bed"
	"wormyard/qty"
)

// story is what happens at Heron Slough beside its habits.
type story struct {
	hot, dry, wet int  // days before the last on which today's three troubles begin
	drilled       bool // a recall was tried out
	bins          map[string]*bin
	due           map[int][]func() // what follows from it, by day
}

// later has something follow on a day to come.
func (s *story) later(day int, do func()) { s.due[day] = append(s.due[day], do) }

// tell settles the story of a plan.
func (f *truth) tell() story {
	return story{hot: f.days - 1, dry: f.days - 160, wet: f.days - 3, bins: map[string]*bin{}, due: map[int][]func(){}}
}

// mixToday says whether a batch is made whatever is left: the day before the
// last, so that there is feed for today.
func (s *story) mixToday(day int) bool { return day == s.hot }

// settled gives a bin of a barn whose bed has been going for a while and whose
// top can be reached; nil when there is none.
func (f *truth) settled(barn string, level int) *bin {
	for _, most := range []int{95, 150, 400} {
		for k := range f.bins {
			b := f.bins[(k*37+11)%len(f.bins)]
			if b.live == nil || b.marked || b.logger != nil || b.slot.Barn != barn || b.live.rest >= 0 || level > 0 && !b.top() {
				continue
			}
			if age := f.day - b.live.since; age >= 35 && age <= most && b.live.s.Worms.LiveKg() > 3 {
				return b
			}
		}
	}
	return nil
}

// under gives a settled bin of a barn with another over it, in the middle of a
// row; the top one where there is none.
func (f *truth) under(barn string) *bin {
	for _, b := range f.bins {
		if b.live == nil || b.marked || b.logger != nil || b.slot.Barn != barn || b.live.rest >= 0 || b.top() || b.box.Hidden < 0.5 || b.slot.Level < 2 {
			continue
		}
		if age := f.day - b.live.since; age >= 35 && age < 220 && b.live.s.Worms.LiveKg() > 3 && depthOf(b.live.s) < 0.4 {
			return b
		}
	}
	return f.settled(barn, 1)
}

// part gives a day of the plan by its part of the whole, so that a short plan
// has the same story.
func (f *truth) part(x float64) int { return int(x * float64(f.days)) }

// happen lets happen what the story has for this day.
func (s *story) happen(f *truth) error {
	for _, do := range s.due[f.day] {
		do()
	}
	switch f.day {
	case f.part(0.24):
		s.flies(f)
	case f.part(0.82):
		f.rules()
	case f.part(0.16):
		return s.heated(f)
	case f.part(0.25):
		s.powerCut(f, 7)
	case f.part(0.3):
		f.doubleStrike()
	case f.part(0.35):
		s.soured(f)
	case f.part(0.42):
		s.retired(f)
	case f.part(0.45):
		s.bought(f)
	case f.part(0.5):
		s.packed(f)
	case f.part(0.55):
		s.driedOut(f)
	case f.part(0.6):
		s.wormer(f)
	case f.part(0.62), f.part(0.78):
		f.wormsSold()
	case f.part(0.68):
		s.powerCut(f, 11)
	case f.part(0.8):
		s.trial(f)
	case f.part(0.87):
		s.halfHarvest(f)
	}
	s.drilled = s.drilled || f.day >= f.days-30 && f.drill()
	s.loggers(f)
	f.openOrders()
	switch f.day {
	case s.dry:
		s.uncovered(f)
	case s.wet:
		s.soaked(f)
	case s.hot:
		f.leftYesterday()
		return s.tooDeep(f)
	case f.days - 8:
		s.airless(f)
	case f.days - 6:
		f.complaint()
	case f.days - 4:
		s.foundDry(f)
		s.mites(f)
	}
	return nil
}

// loggers stick, die and come back.
func (s *story) loggers(f *truth) {
	n := 0
	for _, b := range f.bins {
		g := b.logger
		if g == nil {
			continue
		}
		n++
		switch n {
		case 2:
			g.dead = f.day > f.part(0.33) && f.day < f.part(0.33)+9
		case 3:
			g.sticks = f.day > f.part(0.61) && f.day < f.part(0.61)+24
		case 7:
			g.dead = f.day > f.part(0.12) && f.day < f.part(0.12)+4 || f.day > f.part(0.74) && f.day < f.part(0.74)+16
		case 10:
			g.sticks = f.day > f.part(0.9) && f.day < f.part(0.9)+3
		}
	}
}

// solidsAlone mixes nothing: fresh solids as a batch of their own.
func (s *story) solidsAlone(f *truth, minutes int, yd float64) (*batch, error) {
	g := goodNamed("solids")
	// The newest load, whatever lies before it.
	volume := yd * 0.764554857984
	m, err := f.sources["solids"].load(volume, 0, f.h.LoadShare, f.crew)
	if err != nil {
		return nil, err
	}
	name := f.pileName(g) + " fresh"
	f.writeNow(entry("receive", crew2, f.at(f.day, minutes-50)).with("pile", name).with("material", g.material).with("volume_m3", rounded(yd, 0.5)+" yd3").with("note", "small load on the trailer, still steaming"))
	at := hourOf(f.at(f.day, minutes-20))
	m.Volume = qty.CubicMetre(volume)
	b := f.heapUp(straight, m, at, f.outside.At(at).TempC)
	f.writeNow(entry("blend", crew2, f.at(f.day, minutes-20)).with("batch", b.name).with("purpose", straight).with("parts", name+" "+rounded(yd, 0.5)+" yd3"))
	return b, nil
}

// heated: solids fed too fresh, long ago; the crew finds it hot and opens it.
func (s *story) heated(f *truth) error {
	b := f.settled(firstBarn, 0)
	if b == nil {
		return nil
	}
	mix, err := s.solidsAlone(f, clockOf(14, 0), 1)
	if err != nil {
		return err
	}
	at := f.at(f.day, clockOf(14, 0))
	f.feed(b, mix, 3.5*inch, hourOf(at), 38)
	f.writeNow(entry("feed", crew2, at).with("bins", b.name).with("batch", mix.name).with("depth_m", "3.5 in"))
	s.later(f.day+2, func() {
		if b.live == nil {
			return
		}
		at := f.at(f.day, clockOf(9, 10))
		f.look([]*bin{b}, crew1, at)
		if tempAt(b.live.s, 3*inch) > 30 {
			f.sighted(b, crew1, at.Add(2*time.Minute), "bed hot", "bad", "hot to the hand; opened it up, cloth off", "heat", "open lid, thin next, read again")
			f.writeNow(entry("cover", crew1, at.Add(6*time.Minute)).with("bins", b.name).with("cover", "none"))
			f.became(b, crew1, at.Add(8*time.Minute), "heat", "done", "open lid")
			b.lay("none", hourOf(at))
			s.later(f.day+7, func() {
				at := f.at(f.day, clockOf(9, 30))
				b.lay("cloth", hourOf(at))
				f.writeNow(entry("cover", crew1, at).with("bins", b.name).with("cover", "cloth").with("note", "cool again"))
				f.became(b, crew1, at.Add(2*time.Minute), "heat", "gone", "")
			})
		}
	})
	return nil
}

// powerCut: a storm takes the power.
func (s *story) powerCut(f *truth, hours int) {
	f.writeNow(entry("site", owner, f.at(f.day, clockOf(17, 45))).with("place", "outside").with("power_lost_hours", fmt.Sprint(hours)).with("note", "wind, line down on the road"))
}

// soured: a bed watered far too much.
func (s *story) soured(f *truth) {
	b := f.settled(firstBarn, 0)
	if b == nil {
		return
	}
	at := f.at(f.day, clockOf(15, 40))
	b.add(bed.Act{Hour: hourOf(at), Kind: bed.Water, WaterKg: 120, TempC: 10})
	f.writeNow(entry("water", crew2, at).with("bins", b.name).with("kg", "30 gal").with("note", "hose slipped in, left running"))
	s.later(f.day+1, func() {
		if b.live != nil {
			f.look([]*bin{b}, crew1, f.at(f.day, clockOf(8, 20)))
		}
	})
}

// retired: a box at the end of its days, mended weeks later.
func (s *story) retired(f *truth) {
	for _, b := range f.bins {
		if b.live == nil && b.built && b.top() {
			f.writeNow(entry("build", crew2, f.at(f.day, clockOf(16, 0))).with("bins", b.name).with("state", "retired").with("note", "two boards rotten through"))
			f.sheets[f.day+1] = append(f.sheets[f.day+1], entry("build", crew2, f.at(f.day+1, clockOf(15, 30))).with("bins", b.name).with("state", "repaired").with("note", "new boards"))
			return
		}
	}
}

// bought: worms from outside, once.
func (s *story) bought(f *truth) {
	b := f.poorBed(nil)
	if b == nil {
		b = f.settled(firstBarn, 0)
	}
	if b == nil {
		return
	}
	at := f.at(f.day, clockOf(15, 50))
	b.stock(4.5*0.9, 0, hourOf(at))
	f.writeNow(entry("stock", owner, at).with("bins", b.name).with("kg", "10 lb").with("bought", "yes").with("note", "weighed with peat, so a little less"))
}

// packed: a bed forked through because it had packed.
func (s *story) packed(f *truth) {
	if b := f.settled(firstBarn, 0); b != nil {
		at := f.at(f.day, clockOf(11, 30))
		f.writeNow(entry("turn", crew1, at).with("bins", b.name).with("what", "forked through, was packed at the bottom"))
		b.add(bed.Act{Hour: hourOf(at), Kind: bed.Turn})
	}
}

// driedOut: a cover blown off in summer.
func (s *story) driedOut(f *truth) {
	b := f.settled(secondBarn, 1)
	if b == nil {
		return
	}
	b.lay("none", hourOf(f.at(f.day, clockOf(15, 0))))
	b.fixed = true
	s.later(f.day+12, func() {
		b.fixed = false
		at := f.at(f.day, clockOf(9, 20))
		if b.live != nil {
			f.look([]*bin{b}, crew2, at)
		}
		b.lay("cloth", hourOf(at))
		f.writeNow(entry("cover", crew2, at.Add(4*time.Minute)).with("bins", b.name).with("cover", "cloth").with("note", "cloth was on the floor behind the stack"))
	})
}

// wormer: a load whose giver tells of a dewormer; it is held and lies there still.
func (s *story) wormer(f *truth) {
	name := "rabbit held " + f.at(f.day, 720).Format("06-01")
	at := f.at(f.day, clockOf(10, 10))
	f.writeNow(entry("receive", owner, at).with("pile", name).with("material", "rabbit manure with straw").with("volume_m3", "4 yd3").with("declared", "dewormer").
		with("dosed_on", f.at(f.day-9, 720).Format(time.DateOnly)).with("note", "told on the telephone after it was tipped"))
	f.writeNow(entry("hold", owner, at.Add(20*time.Minute)).with("pile", name).with("why", "dewormer nine days before; wait and test with beans and worms"))
}

// trial: two covers side by side.
func (s *story) trial(f *truth) {
	var pair [2][]*bin
	for _, b := range f.bins {
		if b.slot.Barn != firstBarn || b.live == nil || b.marked || !b.top() {
			continue
		}
		k := 0
		if len(pair[0]) > len(pair[1]) {
			k = 1
		}
		if len(pair[k]) < 4 {
			pair[k] = append(pair[k], b)
		}
	}
	if len(pair[1]) == 0 {
		return
	}
	at := f.at(f.day, clockOf(16, 15))
	for _, b := range pair[1] {
		b.lay("board", hourOf(at))
		b.fixed = true
	}
	f.writeNow(entry("cover", owner, at).with("bins", names(pair[1])).with("cover", "board"))
	sides := []string{names(pair[0]), names(pair[1])}
	f.writeNow(entry("trial", owner, at.Add(5*time.Minute)).with("name", "covers").with("sides", sides[0]+" | "+sides[1]).
		with("question", "Do boards keep beds warmer in winter than cloth?").with("what", "cloth against half-inch plywood"))
}

// halfHarvest takes the finished bottom of a bed that goes on living.
func (s *story) halfHarvest(f *truth) {
	var b *bin
	for _, x := range f.bins {
		if x.live != nil && !x.marked && x.live.rest < 0 && f.day-x.live.since > 80 && depthOf(x.live.s) > 0.33 {
			b = x
			break
		}
	}
	if b == nil {
		return
	}
	depth := 4 * inch
	kg := wetOf(b.live.s) * depth / depthOf(b.live.s)
	at := f.at(f.day, clockOf(13, 40))
	b.add(bed.Act{Hour: hourOf(at), Kind: bed.Take, DepthM: depth, From: bed.FromBottom})
	into := f.openLot()
	into.kg += kg
	f.writeNow(entry("harvest", crew1, at).with("bins", b.name).with("how", "screening").with("volume_m3", yards(depth*areaM2, 0.05)).with("lot", into.name).with("note", "bottom four inches only, bed goes on"))
}

// doubleStrike strikes an entry and then the strike.
func (f *truth) doubleStrike() {
	b := f.settled(firstBarn, 0)
	if b == nil {
		return
	}
	at := f.at(f.day, clockOf(15, 55))
	right := entry("depth", crew1, at).with("bins", b.name).with("depth_m", inches(depthOf(b.live.s), 1)).named("double")
	first := entry("strike", crew2, at.Add(40*time.Minute)).with("why", "thought it was another bin").named("double strike")
	first.strikes = right.id
	second := entry("strike", owner, f.at(f.day+1, clockOf(8, 30))).with("why", "it was this bin after all").named("double strike struck")
	second.strikes = first.id
	f.writeNow(right, first)
	f.sheets[f.day+1] = append(f.sheets[f.day+1], second)
}

// Today's troubles.

// uncovered: in the second barn a bed lost its cloth last autumn and was then
// overlooked.
func (s *story) uncovered(f *truth) {
	b := f.settled(secondBarn, 1)
	if b == nil {
		return
	}
	b.marked, b.fixed = true, true
	at := f.at(f.day, clockOf(14, 20))
	b.lay("none", hourOf(at))
	s.bins["dry"] = b
	f.writeNow(entry("cover", crew2, at).with("bins", b.name).with("cover", "none").with("note", "cloth needed for the wash"))
}

func (s *story) foundDry(f *truth) {
	if b := s.bins["dry"]; b != nil {
		f.look([]*bin{b}, crew1, f.at(f.day, clockOf(12, 10)))
	}
}

// soaked: a hose that ran into a bin over the weekend.
func (s *story) soaked(f *truth) {
	b := f.settled(firstBarn, 1)
	if b == nil {
		return
	}
	b.marked = true
	s.bins["wet"] = b
	run := func(from, to int64) {
		for hour := from; hour <= to; hour += 3 {
			b.add(bed.Act{Hour: hour, Kind: bed.Water, WaterKg: 14, TempC: 9})
		}
	}
	at := f.at(f.day, clockOf(13, 5))
	run(hourOf(at), f.morning(f.day+1)-1)
	s.later(f.day+1, func() { run(f.morning(f.day), f.morning(f.day+1)-1) })
	s.later(f.day+2, func() {
		found := f.at(f.day, clockOf(15, 50))
		run(f.morning(f.day), hourOf(found))
		f.look([]*bin{b}, crew1, f.at(f.day, clockOf(8, 10)))
		f.writeNow(entry("water", crew1, found).with("bins", b.name).with("kg", "50 gal").with("note", "hose dripping into it since Saturday, shut off now; a guess"))
	})
}

// tooDeep: yesterday four inches of fresh solids, in a bin under another, where
// the warmth stays.
func (s *story) tooDeep(f *truth) error {
	b := f.under(firstBarn)
	if b == nil {
		return nil
	}
	b.marked = true
	s.bins["hot"] = b
	mix, err := s.solidsAlone(f, clockOf(15, 10), 0.5)
	if err != nil {
		return err
	}
	at := f.at(f.day, clockOf(15, 10))
	f.feed(b, mix, 4*inch, hourOf(at), 47)
	f.writeNow(entry("feed", crew2, at).with("bins", b.name).with("batch", mix.name).with("depth_m", "4 in").with("note", "mix was empty, gave it solids"))
	return nil
}

// lastMorning is today, up to now: the outlook, the glass in the barns, a few stabs.
func (f *truth) lastMorning() {
	f.stand()
	f.barnGlass()
	f.foretold()
	f.pen = newDice(f.seed, "last", 0)
	var kept []line
	for _, l := range f.sheets[f.day] {
		if !l.at.After(Now()) {
			kept = append(kept, l)
		}
	}
	f.sheets[f.day] = kept
	for k, name := range []string{"hot", "", ""} {
		b := f.story.bins[name]
		if b == nil {
			b = f.settled(firstBarn, 1)
		}
		if b == nil {
			continue
		}
		t := tempAt(b.live.s, 4*inch) + f.h.DialBias + f.eye.norm(0, f.h.DialSD)
		f.writeNow(entry("reading", crew1, f.at(f.day, clockOf(7, 24)+k*5)).with("bin", b.name).with("temp_c", fahrenheit(t, 1)).with("depth_m", "4 in").with("probe", "dial").with("probe_id", "dial 1"))
		b.marked = true
	}
}
