package fraternal

import (
	"fmt"
	"math"
	"strings"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

const (
	stackHigh  = 3
	owner      = "owner"
	crew1      = "crew 1"
	crew2      = "crew 2"
	beddingM   = 6 * inch
	gallonKg   = 3.785
	fullM      = 0.50 // a bin is called full
	practiceM  = 2 * inch
	batchYards = 6.0
	yard3      = 0.764554857984
)

// habit is a crew that works by custom: half of the bins on Tuesday, half on
// Friday, about two inches.
type habit struct {
	f    *Farm
	hand map[string]float64 // how deep two inches are, by person
}

func newHabit(f *Farm) *habit {
	d := newDice(f.Seed, "people")
	return &habit{f, map[string]float64{owner: 1, crew1: d.about(1.05, 0.06), crew2: d.about(0.92, 0.06)}}
}

// begin builds the farm as it stands on its first morning and has the owner type
// what there is.
func (f *Farm) begin() {
	minute := 7*60 + 10
	tell := func(kind string, body any) {
		minute++
		f.write(kind, owner, f.at(minute), body, how{sure: true})
	}
	set := func(key string, v any) { tell("setting", &journal.Setting{Key: key, Value: asJSON(v)}) }
	set("farm", "Farm of another nature")
	set("zone", f.Zone.String())
	set("units", "us")
	set("site", map[string]any{"place": "a lowland by the coast", "source": "typed", "altitude_m": 10})
	set("habits", map[string]any{"feed_depth_m": practiceM, "feed_every_days": 7, "visit_days": 7, "bedding_depth_m": beddingM, "water_kg": 2 * gallonKg})
	for _, who := range []string{owner, crew1, crew2} {
		set("person/"+who, map[string]any{})
	}
	h := &f.barn
	var rows []map[string]any
	for r := range h.rows {
		rows = append(rows, map[string]any{"name": fmt.Sprint(r + 1), "stacks": h.stacks, "high": stackHigh})
	}
	walls := 2 * (h.length + h.width) * h.height
	set("barn/"+h.name, map[string]any{"length_m": h.length, "width_m": h.width, "height_m": h.height, "air_changes_per_h": 1.5,
		"parts": []map[string]any{{"what": "walls", "u_w_m2k": 3.9, "area_m2": math.Round(walls)}, {"what": "roof", "u_w_m2k": 5.5, "area_m2": math.Round(h.length * h.width)}}, "rows": rows})
	stacks := map[[3]int]*bin{}
	for i := range f.Plan.Bins {
		stack, level := i/stackHigh, i%stackHigh+1
		b := &bin{name: fmt.Sprintf("B%d", i+1), row: stack/h.stacks + 1, at: stack%h.stacks + 1, level: level, f: f, cover: "cloth", fed: -1, seen: -1, dayHot: math.Inf(-1), hotC: math.Inf(-1), refuge: 1, dayRefuge: 1}
		d := newDice(f.Seed, "bin"+b.name)
		b.n = f.n.own(d)
		b.offAir = d.about(0, 0.5)
		b.slot = fmt.Sprintf("%s/%d/%d/%d", h.name, b.row, b.at, b.level)
		f.bins = append(f.bins, b)
		f.answers[b.name] = map[int64]Truth{}
		stacks[[3]int{b.row, b.at, b.level}] = b
	}
	for _, b := range f.bins {
		b.left, b.right = stacks[[3]int{b.row, b.at - 1, b.level}], stacks[[3]int{b.row, b.at + 1, b.level}]
		b.below, b.above = stacks[[3]int{b.row, b.at, b.level - 1}], stacks[[3]int{b.row, b.at, b.level + 1}]
	}
	for i := 0; i < len(f.bins); i += 10 {
		group := f.bins[i:min(i+10, len(f.bins))]
		var slots []string
		for _, b := range group {
			slots = append(slots, b.slot)
		}
		tell("build", &journal.Build{Bins: named(group), LengthM: ptr(qty.Metre(side)), WidthM: ptr(qty.Metre(side)), DepthM: ptr(qty.Metre(high)),
			Wall: "1 in cedar", Liner: "landscape cloth", HolesM2: ptr(qty.SquareMetre(0.06)), Cover: "cloth", Slots: slots})
	}
	for i := 0; i < len(f.bins); i += stackHigh {
		f.oldBeds(f.bins[i:min(i+stackHigh, len(f.bins))], tell)
	}
	if f.Kind == Rich {
		for i := range min(30, len(f.bins)) {
			b := f.bins[i*len(f.bins)/min(30, len(f.bins))]
			b.logger = newLogger(f, i)
		}
	}
	f.newBatch(minute+3, how{sure: true})
}

func named(list []*bin) []string {
	out := make([]string, len(list))
	for i, b := range list {
		out[i] = b.name
	}
	return out
}

// oldBeds are the beds of a stack that were there, and what the owner says of them.
func (f *Farm) oldBeds(list []*bin, tell func(string, any)) {
	age := 20 + 150*f.coin.Float64()
	fed := 1 + f.coin.IntN(6)
	depth := 0.15 + 0.0009*age
	kg := 5.5 * f.coin.times(0.3)
	for _, b := range list {
		m := blend(f.n.dairy, f.n.horse, 2, 1, f.coin)
		parts := int(math.Ceil(depth / 0.05))
		for k := range parts {
			// The deeper, the older and the more worked.
			old := age * (float64(parts-k) / float64(parts))
			worked := min(0.9, 0.25+old/100)
			b.lay(m, depth/float64(parts)/(1-0.35*worked)*1.05, f.barn.airC+3)
			r := &b.rows[0]
			lived := 0.35 * old
			r.late += lived
			gone := r.om * (1 - math.Pow(m.late/r.late, m.nu))
			r.om -= gone
			r.cast, r.cash = r.om*worked, r.ash*worked
			r.om, r.ash = r.om-r.cast, r.ash-r.cash
			r.castLate, r.settled, r.age, r.fed = r.late, 1, old, -1
			r.water = 0.8 * r.holds(&b.n)
		}
		b.spread(m, practiceM, f.barn.airC+3)
		b.fed, b.laid = -fed, -int(age)
		b.rows[0].age, b.rows[0].settled = float64(fed), 0.7
		b.rows[0].late += 0.3 * float64(fed)
		b.ripe = 120 + f.coin.IntN(80)
		b.put(kg * f.coin.times(0.2))
		b.worms.cocoons = []clutch{{n: [3]float64{400, 500, 400}, warm: 100}, {n: [3]float64{400, 500, 400}, warm: 200}}
		b.book = book{}
	}
	said := max(10, 10*math.Round(age/10))
	stated := pounds(kg, 1)
	for _, b := range list {
		b.said = stated
	}
	tell("bed", &journal.Bed{Bins: named(list), Material: f.n.dairy.name, DepthM: qty.Metre(inches(list[0].deep(), 1)), AgeDays: ptr(qty.Days(said)), AgeLowDays: ptr(qty.Days(said * 0.6)), AgeHighDays: ptr(qty.Days(said * 1.6)),
		LastFeedDays: ptr(qty.Days(fed)), LastFeedDepthM: ptr(qty.Metre(practiceM))})
	tell("stock", &journal.Stock{Bins: named(list), Kg: qty.LiveKg(stated), KgLow: ptr(qty.LiveKg(math.Round(stated*60) / 100)), KgHigh: ptr(qty.LiveKg(math.Round(stated*160) / 100))})
	f.Tally = Tally{}
}

// newBatch receives and mixes feed for some weeks.
func (f *Farm) newBatch(minutes int, h how) *Mix {
	share := f.coin.about(0.62, 0.08)
	need := batchYards * max(1, float64(f.Plan.Bins)/20)
	a, c := math.Round(need*share*2)/2, math.Round(need*(1-share)*2)/2
	m := blend(f.n.dairy, f.n.horse, a*yard3*f.coin.times(0.05), c*yard3*f.coin.times(0.05), f.coin)
	m.Batch, m.made = fmt.Sprint(len(f.batches)+1), f.Day
	f.batches = append(f.batches, m)
	at := f.at(minutes)
	one, two := "solids "+m.Batch, "horse "+m.Batch
	in := func(name, material string, yards float64) {
		f.write("receive", crew2, at, &journal.Receive{Pile: name, Material: material, VolumeM3: ptr(qty.CubicMetre(yards * yard3))}, h)
		at = at.Add(time.Minute)
	}
	in(one, f.n.dairy.name, a)
	in(two, f.n.horse.name, c)
	f.write("blend", crew2, at.Add(time.Minute), &journal.Blend{Batch: m.Batch, Purpose: "feed", Parts: []journal.BlendPart{
		{Pile: one, VolumeM3: ptr(qty.CubicMetre(a * yard3))}, {Pile: two, VolumeM3: ptr(qty.CubicMetre(c * yard3))}}}, h)
	return m
}

// Mix gives a batch by its name, nil where there is none.
func (f *Farm) Mix(batch string) *Mix {
	for _, m := range f.batches {
		if m.Batch == batch {
			return m
		}
	}
	return nil
}

// Density gives what a cubic metre of a mix weighs as it lies [kg].
func (m *Mix) Density() float64 { return m.dry + m.water }

// Reach opens what stands on a bin, once a day for each: a lift takes two minutes.
func (f *Farm) Reach(name string) {
	b := f.bin(name)
	for o := b.above; o != nil; o = o.above {
		if o.lifted != f.Day+1 {
			o.lifted = f.Day + 1
			f.Tally.Lifts++
			f.Tally.Minutes += 2
		}
	}
	b.seen = f.Day
}

// Half says to which day of feeding a bin belongs, 0 or 1.
func (f *Farm) Half(name string) int { return f.bin(name).at % 2 }

// Stocked gives the worms that somebody last said were put into a bin [kg].
func (f *Farm) Stocked(name string) float64 { return f.bin(name).said }

// Full says whether a bin is called full.
func (f *Farm) Full(name string) bool { return f.bin(name).deep() > fullM }

// Chance is one throw of the crew's dice.
func (f *Farm) Chance(p float64) bool { return f.coin.chance(p) }

// Spread is a depth as a hand spreads it.
func (f *Farm) Spread(depthM float64) float64 { return depthM * f.coin.times(0.12) }

// Squeeze gives how wet the top feels to a hand.
func (f *Farm) Squeeze(name string) float64 { return f.bin(name).topWet() + f.eye.about(0, 0.03) }

// Stabs is a round with a dial thermometer, at beds that can be reached.
func (f *Farm) Stabs(n int) { f.Habit().stabs(n) }

// Habit is the crew that works by custom.
func (f *Farm) Habit() *habit { return newHabit(f) }

// Batch gives the batch that is fed from now; a new one is mixed when the old is
// nearly gone.
func (f *Farm) Batch() *Mix {
	m := f.batches[len(f.batches)-1]
	if m.left < 0.08*float64(len(f.bins)) || f.Day-m.made > 60 {
		m = f.newBatch(7*60+5, how{sure: true})
		f.Tally.Minutes += 60
	}
	return m
}

// Blend mixes a new batch this morning, which is written down at once.
func (f *Farm) Blend() {
	f.newBatch(7*60+5, how{sure: true, now: true})
	f.Tally.Minutes += 60
	f.typed(f.at(8 * 60))
}

// Measure writes down how deep a bed is, to the inch.
func (f *Farm) Measure(name, who string, minute int) {
	f.Tally.Minutes += 0.5
	f.write("depth", who, f.at(minute), &journal.Depth{Bins: []string{name}, DepthM: qty.Metre(inches(f.bin(name).deep()+f.eye.about(0, 0.4*inch), 1))}, how{})
}

// weekday is that of today.
func (f *Farm) weekday() time.Weekday { return f.at(720).Weekday() }

// Work implements Policy.
func (h *habit) Work(f *Farm) {
	if f.Day == 0 {
		return
	}
	f.Glass()
	f.Frost(true)
	switch f.weekday() {
	case time.Tuesday:
		h.feeding(0)
		h.stabs(5)
	case time.Friday:
		h.feeding(1)
	case time.Thursday:
		h.stabs(5)
	case time.Monday, time.Wednesday:
		f.Harvests(2)
	}
	f.counts()
}

// feeding is half of the stacks, one after the other.
func (h *habit) feeding(half int) {
	f := h.f
	mix := f.Batch()
	minute := 8*60 + 20
	type line struct {
		bins   []string
		inches float64
	}
	for r := 1; r <= f.barn.rows; r++ {
		who := []string{crew1, crew2, crew1, crew2, owner}[f.coin.IntN(5)]
		var lines []line
		var dry []string
		for _, b := range f.bins {
			if b.row != r || b.at%2 != half || b.rows == nil {
				continue
			}
			minute += 2
			lifted := b.above != nil
			f.Reach(b.name)
			if lifted && f.coin.chance(0.2) || !lifted && f.coin.chance(0.05) {
				f.look(b, who, minute)
			}
			if lifted && f.coin.chance(0.15) {
				f.write("depth", who, f.at(minute), &journal.Depth{Bins: []string{b.name}, DepthM: qty.Metre(inches(b.deep()+f.eye.about(0, 0.4*inch), 1))}, how{})
			}
			if b.topWet()+f.eye.about(0, 0.03) < 0.65 {
				f.Water(b.name, 2*gallonKg*f.coin.times(0.15), minute)
				dry = append(dry, b.name)
			}
			deep := 2.0
			warm := b.tempAt(3*inch) + f.eye.about(0, 1.5)
			left := b.left_() + f.eye.about(0, 0.15)
			switch {
			case warm > 30 || b.deep() > fullM || f.Day-b.laid < 4 || left > 1 && f.coin.chance(0.6):
				deep = 0
			case warm < 8 || left > 0.7:
				deep = 1
			}
			if deep == 0 {
				continue
			}
			f.Feed(b.name, mix, deep*inch*h.hand[who]*f.coin.times(0.12), minute)
			if f.coin.chance(0.09) { // forgotten in the line
				continue
			}
			if n := len(lines); n > 0 && lines[n-1].inches == deep {
				lines[n-1].bins = append(lines[n-1].bins, b.name)
			} else {
				lines = append(lines, line{[]string{b.name}, deep})
			}
		}
		for _, l := range lines {
			minute++
			if f.coin.chance(0.12) { // nobody writes it down
				continue
			}
			f.write("feed", who, f.at(minute), &journal.Feed{Bins: l.bins, Batch: mix.Batch, DepthM: ptr(qty.Metre(inches(l.inches*inch, 1)))}, how{})
		}
		if len(dry) > 0 && !f.pen.chance(0.15) {
			f.write("water", who, f.at(minute), &journal.Water{Bins: dry, Kg: qty.WaterKg(2 * gallonKg)}, how{})
		}
	}
}

// left_ is what is left of the last feeding, as a share: what can feed a worm in
// its rows, against what was laid.
func (b *bin) left_() float64 {
	if b.fedEdible <= 0 {
		return 0
	}
	sum := 0.0
	for i := range b.rows {
		r := &b.rows[i]
		if r.fed == b.feeding {
			sum += r.om * r.edible()
		}
	}
	return sum / b.fedEdible
}

// Feed spreads a mix on a bed, at a minute of today. What is there sets the limit.
func (f *Farm) Feed(name string, m *Mix, depthM float64, minutes int) {
	b := f.bin(name)
	depthM = min(depthM, high-b.deep())
	if depthM < 0.003 {
		return
	}
	m.left -= depthM * area
	b.fed = f.Day
	f.Tally.Feedings++
	f.Tally.Minutes += 2.5 + 40*depthM
	b.next = append(b.next, act{f.at(minutes).Unix() / 3600, func() { b.spread(m, depthM, max(3, f.barn.airC+m.warm)) }})
}

// Water sprinkles a bed.
func (f *Farm) Water(name string, kg float64, minutes int) {
	b := f.bin(name)
	f.Tally.Waterings++
	f.Tally.Minutes += 1.5
	b.next = append(b.next, act{f.at(minutes).Unix() / 3600, func() {
		const tap = 11.0
		b.rows[0].pour(kg, tap)
		b.book.waterIn += kg
		b.book.heatIn += kg * waterHeat * tap
	}})
}

// Cover lays a cover on a bin: none, cloth, board or film.
func (f *Farm) Cover(name, cover string) {
	f.bin(name).cover = cover
	f.Tally.Minutes++
}

// Covered says what lies on a bin.
func (f *Farm) Covered(name string) string { return f.bin(name).cover }

// TakeOff takes feed off the top, down to a depth; it is lost.
func (f *Farm) TakeOff(name string, depthM float64) {
	b := f.bin(name)
	f.Tally.Minutes += 6
	for len(b.rows) > 3 && depthM > 0.01 {
		r := &b.rows[0]
		depthM -= r.deep()
		if depthM < -0.02 {
			return
		}
		f.Tally.WastedKg += r.om*r.edible() + r.ash
		b.out(r)
		b.rows = b.rows[1:]
	}
}

// out books a row that leaves.
func (b *bin) out(r *row) {
	b.book.dryOut += r.dry()
	b.book.waterOut += r.water + r.frozen()
	for x := range r.t {
		b.book.heatOut += r.store(x)*r.t[x] - r.ice[x]*melting
	}
}

// Frost covers beds with film before a hard frost and takes it off after, as told
// by an outlook of two days.
func (f *Farm) Frost(written bool) {
	low := math.Inf(1)
	for k := range 2 {
		l, _ := f.sky.day(f, f.Day+k)
		low = min(low, l+f.eye.about(0, 1.2))
	}
	cover, from := "", ""
	switch {
	case low < -4:
		cover, from = "film", "cloth"
	case low > 0:
		cover, from = "cloth", "film"
	default:
		return
	}
	var list []string
	for _, b := range f.bins {
		if b.cover == from {
			b.cover = cover
			list = append(list, b.name)
			f.Tally.Minutes += 0.5
		}
	}
	if len(list) > 0 && written && !f.pen.chance(0.08) {
		f.write("cover", crew1, f.at(15*60+5), &journal.Cover{Bins: list, Cover: cover}, how{})
	}
}

// Harvests empties beds that are ripe or full, at most so many, and beds them
// anew with the worms that were got back. It is always written down.
func (f *Farm) Harvests(most int) {
	minute := 9 * 60
	for _, b := range f.bins {
		if most == 0 || b.rows == nil {
			continue
		}
		age := f.Day - b.laid
		if !(age > b.ripe && f.Day-b.fed >= 7 && b.left_() < 0.9 || b.deep() > fullM && age > 60) {
			continue
		}
		if _, high := f.sky.day(f, f.Day); high < 6 {
			return
		}
		most--
		f.Harvest(b.name, minute)
		minute += 50
	}
}

// Harvest screens a bed: nine worms of ten and half of the cocoons come back into
// a new bed in the same box.
func (f *Farm) Harvest(name string, minute int) {
	b := f.bin(name)
	b.next = nil
	b.made += b.worked
	b.worked = 0
	wet, kept := 0.0, b.worms
	for i := range b.rows {
		r := &b.rows[i]
		wet += r.dry() + r.water + r.frozen()
		f.Tally.WastedKg += r.om * r.edible() * min(1, r.quality()*2)
	}
	back := kept.part(0.90*f.coin.times(0.03), 0.5)
	b.rows, b.worms = nil, stock{}
	b.book = book{}
	f.Tally.Minutes += 45
	kg := back.live()
	f.write("harvest", crew1, f.at(minute), &journal.Harvest{Bins: []string{name}, How: "screening", MassKgWet: ptr(qty.WetKg(pounds(wet*0.8*f.eye.times(0.03), 5))), WormsKg: ptr(qty.LiveKg(pounds(kg*f.eye.times(0.06), 0.5))), EndsBed: true}, how{sure: true})
	mix := f.Batch()
	depth := beddingM * f.coin.times(0.06)
	mix.left -= depth * area
	b.cover = "cloth"
	b.lay(mix, depth, max(3, f.barn.airC+mix.warm/2))
	f.Tally.FedKg -= b.fedKg // bedding is no feed
	b.fedKg, b.fedEdible, b.feeding = 0, 0, 0
	for i := range b.rows { // a new bed is laid of what has lain longest
		b.rows[i].settled = 0.6
		b.rows[i].fed = -1
		b.rows[i].late += 25
		b.rows[i].first = b.rows[i].nu / b.rows[i].late
	}
	b.worms = back
	b.book.dryIn += back.dry()
	b.book.waterIn += back.water()
	b.laid, b.fed, b.ripe = f.Day, f.Day, 120+f.coin.IntN(80)
	b.said = pounds(kg*f.eye.times(0.06), 0.5)
	// It has lain for weeks and no worm has worked in it: there is no other field to say so.
	f.write("bed", crew1, f.at(minute+35), &journal.Bed{Bins: []string{name}, Batch: mix.Batch, DepthM: qty.Metre(beddingM),
		AgeDays: ptr(qty.Days(40)), AgeLowDays: ptr(qty.Days(25)), AgeHighDays: ptr(qty.Days(60)), CastingsFrac: ptr(qty.Fraction(0.01))}, how{sure: true})
	f.write("stock", crew1, f.at(minute+40), &journal.Stock{Bins: []string{name}, Kg: qty.LiveKg(b.said)}, how{sure: true})
}

// stabs is a round with a dial thermometer.
func (h *habit) stabs(n int) {
	f := h.f
	who := f.coin.one(crew1, crew2)
	for k := range n {
		b := f.bins[f.coin.IntN(len(f.bins))]
		if b.rows == nil || b.above != nil && b.seen != f.Day && f.coin.chance(0.5) {
			for b.above != nil {
				b = b.above
			}
			if b.rows == nil {
				continue
			}
		}
		f.Stab(b.name, who, 8*60+4+4*k)
	}
}

// hears is what a name of a person does to the bounds of their words.
func hears(who string) float64 {
	if strings.HasSuffix(who, "1") {
		return 0.012
	} else if strings.HasSuffix(who, "2") {
		return -0.015
	}
	return 0
}
