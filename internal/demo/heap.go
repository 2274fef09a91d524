package demo

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/feedstock"
	"wormyard/qty"
	"wormyard/yard"
)

// good is a feedstock that Heron Slough gets, and how it comes.
type good struct {
	name     string // as its piles are called
	material string // as the delivery is written down
	comes    time.Weekday
	weeks    float64 // of need that should lie in the yard
	load     float64 // one load [yd3]; of mass goods [kg]
	age      int     // days that it should lie before it goes into a mix
	price    float64 // for a load
	byMass   bool
	from, to float64 // part of the year in which it comes; all year when equal
}

var goods = []good{
	{name: "solids", material: "dairy solids, separated", comes: time.Wednesday, weeks: 3, load: 6, age: 12, price: 40},
	{name: "rabbit", material: "rabbit manure with straw", comes: time.Friday, weeks: 3, load: 4, age: 10, price: 30},
	{name: "cardboard", material: "corrugated cardboard", comes: time.Thursday, weeks: 3, load: 8, price: -20},
	{name: "chips", material: "alder chips", comes: time.Monday, weeks: 8, load: 12, price: 60},
	{name: "mushroom", material: "spent mushroom substrate", comes: time.Tuesday, weeks: 5, load: 10, price: 80},
	{name: "pomace", material: "apple pomace", comes: time.Tuesday, weeks: 4, load: 6, price: 0, age: 3, from: 0.755, to: 0.84},
	{name: "leaves", material: "leaves, loose dry", comes: time.Saturday, weeks: 18, load: 20, price: 0, from: 0.84, to: 0.925},
	{name: "lime", material: "lime", comes: time.Monday, weeks: 10, load: 226.796, price: 70, byMass: true},
	{name: "grit", material: "grit", comes: time.Monday, weeks: 10, load: 453.592, price: 35, byMass: true},
}

func goodNamed(name string) good {
	i := slices.IndexFunc(goods, func(g good) bool { return g.name == name })
	return goods[i]
}

// recipes are parts by volume; of lime and grit kilograms for a cubic metre.
var recipes = map[string]map[string]float64{
	"feed":         {"solids": 2.5, "rabbit": 2, "cardboard": 2.5, "chips": 1, "mushroom": 1, "pomace": 0.8, "leaves": 1, "lime": 1, "grit": 2},
	"woody feed":   {"solids": 2, "rabbit": 2, "cardboard": 1, "chips": 3, "leaves": 1.5, "lime": 1, "grit": 2},
	"starting bed": {"solids": 0.6, "cardboard": 4, "mushroom": 2, "chips": 0.7, "leaves": 2, "lime": 1, "grit": 3},
}

// heap is a pile in the yard, as it is and as the ledger has it.
type heap struct {
	name   string
	good   good
	pile   yard.Pile
	loose  float64 // what the loader would dig, loosened [m3]
	ledger float64 // written in less written out [m3], or [kg]
	since  int     // day
	gone   bool
	held   bool
	turned int
	seen   int // day when last measured
}

// batch is a mix that was made.
type batch struct {
	name    string
	purpose string
	heap    yard.Lying
	perM3   feedstock.Matter // of it as it lies, dug loose
	made    float64          // [m3]
	left    float64          // [m3]
	day     int
}

// weekly is about how much mix a week takes [m3].
func (f *truth) weekly() float64 {
	sum := 0.0
	for _, v := range f.use[max(0, len(f.use)-14):] {
		sum += v
	}
	if len(f.use) < 10 {
		return float64(f.bedded()) * 0.05
	}
	return max(sum/2, float64(f.bedded())*0.02)
}

func (f *truth) bedded() (n int) {
	for _, b := range f.bins {
		if b.live != nil {
			n++
		}
	}
	return n
}

// share is the part of a good in what is mixed.
func share(g good) float64 {
	all := 0.0
	for name, v := range recipes["feed"] {
		if !goodNamed(name).byMass {
			all += v
		}
	}
	return recipes["feed"][g.name] / all / 0.9
}

func (f *truth) inSeason(g good, day int) bool {
	at := f.season(day)
	return g.from == g.to || at >= g.from && at <= g.to
}

// lying is how much of a good truly lies in the yard [m3] or [kg].
func (f *truth) lying(name string) float64 {
	v := 0.0
	for _, h := range f.heaps {
		if h.good.name == name && !h.gone && !h.held {
			v += h.amount()
		}
	}
	return v
}

func (h *heap) amount() float64 {
	if h.good.byMass {
		return float64(h.pile.Matter.Wet())
	}
	return h.loose
}

// deliveries lets come what is wanted on this day of the week.
func (f *truth) deliveries() error {
	for _, g := range goods {
		if f.weekday(f.day) != g.comes && f.day > 0 || !f.inSeason(g, f.day) {
			continue
		}
		want := g.weeks * f.weekly() * share(g)
		if g.byMass {
			want = g.weeks * f.weekly() * recipes["feed"][g.name]
		}
		unit := g.load
		if !g.byMass {
			unit *= qty.M3PerCubicYard
		}
		lies := f.lying(g.name)
		if lies >= want {
			continue
		}
		loads := max(1, math.Round((want*1.3-lies)/unit))
		if err := f.deliver(g, loads*g.load, loads*g.price); err != nil {
			return err
		}
	}
	return nil
}

// deliver brings an amount of a good, [yd3] or [kg], and writes it down.
func (f *truth) deliver(g good, amount, price float64) error {
	volume, mass := amount*qty.M3PerCubicYard*f.crew.off(f.h.LoaderSD), 0.0
	if g.byMass {
		volume, mass = 0, amount
	}
	m, err := f.sources[g.name].load(volume, mass, f.h.LoadShare, f.crew)
	if err != nil {
		return err
	}
	at := f.at(f.day, clockOf(8, 2)+f.crew.whole(0, 70)) // early, before anything is mixed
	name := f.pileName(g)
	h := f.heapNamed(name)
	if h == nil {
		h = &heap{name: name, good: g, since: f.day, turned: f.day, seen: f.day}
		f.heaps = append(f.heaps, h)
	}
	var money yard.Budget
	h.pile.Do(&f.heapsOf, f.outside, yard.Event{Hour: max(hourOf(at), h.pile.Hour), Kind: yard.Received, Matter: m}, &money)
	h.loose += volume
	l := entry("receive", f.crew.one(owner, owner, crew1), at).with("pile", name).with("material", g.material)
	if g.byMass {
		h.ledger += amount
		l = l.with("mass_kg_wet", pounds(amount, 10))
	} else {
		h.ledger += amount * qty.M3PerCubicYard
		l = l.with("volume_m3", rounded(amount, 0.5)+" yd3")
	}
	if price != 0 && f.crew.chance(0.8) {
		l = l.with("price", rounded(price, 1))
	}
	switch {
	case g.name == "rabbit" && f.crew.chance(0.6):
		l = l.with("declared", "none")
	case f.crew.chance(0.2):
		l = l.with("note", f.crew.one(deliveryNotes[g.name]...))
	}
	f.write(l)
	return nil
}

// pileName gives the pile that a load goes to: one a month, so that a batch can
// be traced; what comes in bags has one pile.
func (f *truth) pileName(g good) string {
	if g.byMass {
		return g.name
	}
	name := g.name + " " + f.at(f.day, 720).Format("06-01")
	for _, mark := range []string{"", "b", "c", "d", "e"} {
		if h := f.heapNamed(name + mark); h == nil || !h.gone && !h.held {
			return name + mark
		}
	}
	return name + "f"
}

func (f *truth) heapNamed(name string) *heap {
	for _, h := range f.heaps {
		if h.name == name {
			return h
		}
	}
	return nil
}

// take digs an amount of a good out of the oldest piles, [m3] or [kg]. It gives
// what truly came, its warmth times its mass, and how it is written down, pile by
// pile.
func (f *truth) take(name string, want float64) (sum feedstock.Matter, heat float64, _ []string) {
	var said []string
	g := goodNamed(name)
	for _, ripe := range []bool{true, false} { // fresh piles only when the old ones are gone
		for _, h := range f.heaps {
			if h.good.name != name || h.gone || h.held || want <= 1e-9 || (f.day-h.since >= g.age) != ripe {
				continue
			}
			there := h.amount()
			if there <= 0 {
				h.gone = true
				continue
			}
			least := 0.12 // what the loader cannot scrape together goes with the rest
			if g.byMass {
				least = 0
			}
			part, written := want/there*f.crew.off(f.h.LoaderSD), want
			if g.byMass {
				part = want / there
			}
			if part > 1-least || g.byMass && part >= 1 {
				part, written = 1, h.ledger
				want -= there
				h.gone = !g.byMass
			} else {
				written = min(written, h.ledger*0.8)
				want = 0
			}
			dug := h.pile.Matter.Times(part)
			if !g.byMass { // digging loosens what has settled
				dug.Volume = qty.CubicMetre(there * part)
				h.loose -= there * part
			}
			sum, heat = sum.Plus(dug), heat+h.pile.TempC*float64(dug.Wet())
			var money yard.Budget
			h.pile.Do(&f.heapsOf, f.outside, yard.Event{Hour: h.pile.Hour, Kind: yard.Taken, Part: qty.Fraction(part)}, &money)
			if g.byMass {
				text := pounds(written, 5)
				h.ledger -= step(written/qty.KgPerPound, 5) * qty.KgPerPound
				said = append(said, h.name+" "+text)
				continue
			}
			text := yards(written, 0.25)
			if h.gone {
				text = yards(written, 0.001)
			}
			if v := step(written/qty.M3PerCubicYard, 0.25) * qty.M3PerCubicYard; !h.gone {
				h.ledger -= v
			} else {
				h.ledger = 0
			}
			if !strings.HasPrefix(text, "0 ") {
				said = append(said, h.name+" "+text)
			}
		}
	}
	return sum, heat, said
}

// mix makes a batch of about a volume [m3] on this day.
func (f *truth) mix(purpose string, volume float64, minutes int) (*batch, error) {
	recipe := recipes[purpose]
	parts := 0.0
	for _, g := range goods {
		if !g.byMass && f.lying(g.name) > 0.2 {
			parts += recipe[g.name]
		}
	}
	if parts <= 0 {
		return nil, fmt.Errorf("nothing lies in the yard for a batch")
	}
	const shrink = 0.1
	loose := volume / (1 - shrink)
	var sum feedstock.Matter
	var said []string
	var heat float64
	for _, g := range goods {
		if recipe[g.name] == 0 || f.lying(g.name) <= 0.2 {
			continue
		}
		want := step(recipe[g.name]/parts*loose, 0.25*qty.M3PerCubicYard)
		if g.byMass {
			want = step(recipe[g.name]*loose, 10*qty.KgPerPound)
		}
		if want <= 0 {
			continue
		}
		m, warm, s := f.take(g.name, want)
		sum, said, heat = sum.Plus(m), append(said, s...), heat+warm
	}
	if sum.Dry <= 0 || len(said) == 0 {
		return nil, fmt.Errorf("nothing was taken for a batch")
	}
	target := f.crew.norm(0.735, 0.015)
	if purpose == "starting bed" {
		target = f.crew.norm(0.755, 0.015)
	}
	heat /= max(float64(sum.Wet()), 1e-9)
	wet, water := float64(sum.Wet()), float64(sum.Water)
	poured := max(0, step((target*wet-water)/(1-target)/3.785411784, 10)*3.785411784)
	sum.Water += qty.WaterKg(poured * f.crew.off(0.05))
	sum.Volume *= qty.CubicMetre(1 - min(max(f.crew.norm(shrink, 0.025), 0.04), 0.2))
	b := f.heapUp(purpose, sum, hourOf(f.at(f.day, minutes)), heat)
	l := entry("blend", f.crew.one(owner, crew1, crew2), f.at(f.day, minutes)).with("batch", b.name).with("purpose", purpose).
		with("parts", strings.Join(said, "; ")).with("shrink_frac", "10 %")
	if poured > 0 {
		l = l.with("water_kg", gallons(poured, 10))
	}
	if f.crew.chance(0.15) {
		l = l.with("note", f.crew.one(blendNotes...))
	}
	f.write(l)
	if f.crew.chance(0.3) { // a panful dried over night
		f.sheets[f.day+1] = append(f.sheets[f.day+1], entry("assay", owner, f.at(f.day+1, clockOf(8, 45))).with("subject", "batch "+b.name).
			with("analyte", "water_frac_wet").with("value", rounded(min(max(float64(sum.WaterContent())+f.eye.norm(0, 0.012), 0.3), 0.9), 0.005)).
			with("method", "pan dried in the oven"))
	}
	return b, nil
}

// heapUp makes a batch of matter that was thrown together at an hour: its heap is
// as warm as mixing leaves it.
func (f *truth) heapUp(purpose string, m feedstock.Matter, hour int64, tempC float64) *batch {
	b := &batch{name: fmt.Sprint(len(f.batches) + 1), purpose: purpose, made: float64(m.Volume), left: float64(m.Volume), day: f.day}
	air := f.outside.At(hour).TempC
	warm := qty.Celsius(air + f.heapsOf.TurnKeeps*(tempC-air))
	b.heap.Receive(&f.heapsOf, f.outside, hour, m, m, float64(hour), &warm)
	b.perM3 = m.Times(1 / float64(m.Volume))
	f.batches = append(f.batches, b)
	return b
}

// age lets a batch lie to an hour as any heap in the yard does: what rots quickly
// goes first, and with it the warmth that would hurt worms. What was fed of it
// since it was looked at last is gone before.
func (f *truth) age(b *batch, to int64) {
	if lies := float64(b.heap.Loose().Volume); lies > 0 {
		b.heap.Take(&f.heapsOf, f.outside, min(max(1-b.left/lies, 0), 0.99))
	}
	b.heap.Lie(&f.heapsOf, f.outside, to)
	m := b.heap.Loose()
	if m.Volume <= 0 {
		return
	}
	b.perM3, b.left = m.Times(1/float64(m.Volume)), min(b.left, float64(m.Volume))
}

// bedAge is how many days bedding is left to work before it is laid [day].
const bedAge = 12

// current gives the batch that is fed now: the oldest of which something is left.
func (f *truth) current(bedding bool) *batch {
	for _, b := range f.batches {
		if (b.purpose == "starting bed") == bedding && b.left > 0.03*b.made && f.day-b.day < 60 && b.purpose != straight && (!bedding || f.day-b.day >= bedAge || f.day < bedAge+8) {
			return b
		}
	}
	return nil
}

// straight is the purpose written for solids that were fed as they came.
const straight = "feed, solids only"

func (f *truth) left(bedding bool) float64 {
	v := 0.0
	for _, b := range f.batches {
		if (b.purpose == "starting bed") == bedding && f.day-b.day < 60 && b.purpose != straight && b.left > 0.03*b.made {
			v += b.left
		}
	}
	return v
}

// mixing makes a batch when what is left does not last for the coming feeding.
func (f *truth) mixing() error {
	day := f.weekday(f.day)
	if day == time.Sunday || day == time.Saturday {
		return nil
	}
	if f.left(true) < max(0.6, float64(f.bedded())*0.06) { // bedding for the next weeks, which works before it is laid
		if _, err := f.mix("starting bed", step(max(0.8, float64(f.bedded())*0.03), 0.5*qty.M3PerCubicYard), clockOf(14, 30)); err != nil {
			return err
		}
	}
	need := f.weekly() * 0.6
	if f.left(false) > need && !f.story.mixToday(f.day) {
		return nil
	}
	purpose := "feed"
	if len(f.batches)%9 == 5 && f.lying("chips") > 3 {
		purpose = "woody feed"
	}
	volume := max(0.6, f.weekly()*f.crew.between(1.1, 1.4))
	if f.story.mixToday(f.day) {
		volume = max(0.8, f.weekly()*1.7)
	}
	_, err := f.mix(purpose, step(volume, 0.5*qty.M3PerCubicYard), clockOf(10, 0)+f.crew.whole(-40, 120))
	return err
}

// tending turns, wets, measures and covers piles.
func (f *truth) tending() {
	if f.weekday(f.day) == time.Sunday {
		return
	}
	for i, h := range f.heaps {
		if h.gone || h.good.byMass || h.amount() < 1 {
			continue
		}
		at := f.at(f.day, clockOf(13, 10)+(i*7)%90)
		who := f.crew.one(owner, crew1, crew2)
		manure := h.good.name == "solids" || h.good.name == "rabbit" || h.good.name == "pomace"
		every := 21
		if manure && f.day-h.since < 35 {
			every = 5
		}
		if f.day-h.seen >= every && f.crew.chance(0.35) {
			h.seen = f.day
			f.write(entry("tend", who, at).with("pile", h.name).with("act", "measured").
				with("temp_c", fahrenheit(h.pile.TempC+f.eye.norm(0.5, f.h.DialSD), 1)).with("depth_m", f.crew.one("24 in", "30 in", "36 in")))
		}
		var money yard.Budget
		if manure && f.day-h.turned >= 9 && h.pile.TempC > 40 && f.crew.chance(0.4) {
			h.turned = f.day
			h.pile.Do(&f.heapsOf, f.outside, yard.Event{Hour: h.pile.Hour, Kind: yard.Turned}, &money)
			f.write(entry("tend", who, at.Add(20*time.Minute)).with("pile", h.name).with("act", "turned").with("note", f.note(0.2, "steaming", "smells of ammonia when opened", "dry in the middle")))
		}
		if moist := float64(h.pile.Matter.WaterContent()); h.good.name != "cardboard" && moist < 0.5 && moist > 0 && f.crew.chance(0.05) {
			kg := step(float64(h.pile.Matter.Dry)*0.15/3.785, 20) * 3.785411784
			if kg > 0 {
				h.pile.Do(&f.heapsOf, f.outside, yard.Event{Hour: h.pile.Hour, Kind: yard.Wetted, Water: qty.WaterKg(kg * f.crew.off(0.15))}, &money)
				f.write(entry("tend", who, at.Add(35*time.Minute)).with("pile", h.name).with("act", "wetted").with("water_kg", gallons(kg, 10)))
			}
		}
		if !h.pile.Covered && (f.season(f.day) > 0.78 || f.season(f.day) < 0.2) && f.crew.chance(0.05) {
			h.pile.Covered = true
			f.write(entry("tend", who, at.Add(50*time.Minute)).with("pile", h.name).with("act", "covered").with("note", f.note(0.3, "tarp with tires", "rain coming")))
		}
	}
}
