package demo

import (
	"fmt"
	"math"
	"time"

	"wormyard/bed"
)

// look is what hand, eye and nose find.
func (f *truth) look(bins []*bin, who string, at time.Time) {
	b := bins[0]
	b.live.seen = f.day
	s, e := b.signs(), &f.eyes
	lean := map[string]float64{owner: 0, crew1: 0.012, crew2: -0.015}[who]
	l := entry("look", who, at).with("bins", names(bins))
	told := 0
	say := func(chance float64, key, word string) {
		if f.eye.chance(chance) {
			l = l.with(key, word)
			told++
		}
	}
	class := func(v float64, words []string, bounds ...float64) string {
		i := 0
		for i < len(bounds) && v >= bounds[i] {
			i++
		}
		return words[i]
	}
	say(0.9, "squeeze", class(s.water+lean+f.eye.norm(0, f.h.HandSD), []string{"dry", "crumbly", "few drops", "drips", "runs"}, e.SqueezeDry, e.SqueezeCrumb, e.SqueezeDrops, e.SqueezeDrips))
	if b.live.feeds > 0 {
		say(0.85, "feed_left", class(s.left+f.eye.norm(0, f.h.EyeSD), []string{"gone", "some", "most"}, e.FeedGone, e.FeedSome))
	}
	say(0.7, "worms", class(s.kgM2*f.eye.off(0.4), []string{"few", "usual", "many"}, e.WormsFew, e.WormsMany))
	smell := f.eye.one("earth", "earth", "none")
	switch {
	case s.ammonia > e.AmmoniaPPM*f.eye.off(0.5):
		smell = "ammonia"
	case s.oxygen < e.RottenOxygen*f.eye.off(0.5):
		smell = "rotten"
	case s.oxygen < e.SourOxygen*f.eye.off(0.5):
		smell = "sour"
	}
	say(pickF(smell == "earth" || smell == "none", 0.5, 0.95), "smell", smell)
	where := f.eye.one("spread", "spread", "top")
	if b.live.last.Stress[bed.Airless]+b.live.last.Stress[bed.Sharp] > 0.3 {
		where = f.eye.one("lid", "sides")
	} else if tempAt(b.live.s, 0.03) < 5 {
		where = "bottom"
	}
	say(0.35, "where", where)
	say(0.15, "colour", class(s.worked+f.eye.norm(0, 0.1), []string{"tan", "brown", "dark brown", "black"}, 0.25, 0.5, 0.75))
	say(0.1, "crumb", class(s.worked+f.eye.norm(0, 0.1), []string{"coarse", "fine in places", "fine crumb"}, 0.4, 0.7))
	say(0.12, "chips", class(s.woody+f.eye.norm(0, 0.08), []string{"none", "some", "many"}, 0.25, 0.45))
	if told == 0 {
		l = l.with("worms", "usual")
	}
	f.write(l.with("note", f.note(0.04, lookNotes...)))
}

// stabs is a round with a dial thermometer.
func (f *truth) stabs(n int) {
	var living []*bin
	for _, b := range f.bins {
		if b.live != nil && (b.top() || f.crew.chance(0.15)) {
			living = append(living, b)
		}
	}
	who := f.crew.one(crew1, crew2)
	dial, bias := "dial 1", f.h.DialBias
	if who == crew2 {
		dial, bias = "dial 2", -0.7*f.h.DialBias
	}
	for k := range min(n, len(living)) {
		b := living[f.crew.IntN(len(living))]
		deep := []float64{4, 5, 6, 8}[f.crew.IntN(4)]
		deep = min(deep, math.Floor(depthOf(b.live.s)/inch))
		t := tempAt(b.live.s, deep*inch) + bias + f.eye.norm(0, f.h.DialSD)
		f.write(entry("reading", who, f.at(f.day, clockOf(8, 6)+k*4)).with("bin", b.name).with("temp_c", fahrenheit(t, 1)).with("depth_m", rounded(deep, 1)+" in").
			with("probe", "dial").with("probe_id", dial))
	}
}

// measures weighs bins, counts worms and takes tests.
func (f *truth) measures() {
	var living []*bin
	for _, b := range f.bins {
		if b.live != nil {
			living = append(living, b)
		}
	}
	if len(living) == 0 {
		return
	}
	any := func() *bin { return living[f.crew.IntN(len(living))] }
	day := f.weekday(f.day)
	if day == time.Thursday || day == time.Wednesday {
		for k := range f.crew.whole(1, 3) {
			b := any()
			kg := wetOf(b.live.s) + b.live.s.Worms.LiveKg() + f.h.BinEmptyKg
			f.write(entry("weigh", crew1, f.at(f.day, clockOf(10, 40)+9*k)).with("bin", b.name).with("mass_kg", pounds(kg*f.eye.off(0.015), 5)))
		}
	}
	if day == time.Saturday && f.crew.chance(0.8) {
		b := any()
		w := b.live.s.Worms
		const foot = 0.09290304 // a square foot, to the floor
		part := foot / areaM2 * f.eye.off(0.25)
		if w.Adults == 0 && w.AdultKg > 0 {
			w.Adults = w.AdultKg / 0.0006
		}
		young := 0.0
		for _, n := range w.Young {
			young += n
		}
		f.write(entry("count", owner, f.at(f.day, clockOf(10, 10))).with("bin", b.name).with("area_m2", "1 sq ft").
			with("adults", fmt.Sprint(f.eye.poisson(w.Adults*part))).with("juveniles", fmt.Sprint(f.eye.poisson(young*part*0.7))).
			with("cocoons", fmt.Sprint(f.eye.poisson(w.Cocoons*part*0.5))).with("worms_kg", rounded(max(w.LiveKg()*part*0.9, 0.001)*1000, 1)+" g"))
	}
	if day == time.Wednesday && f.crew.chance(0.5) {
		f.testPile()
	}
	if f.crew.chance(0.02) {
		b := any()
		f.write(entry("turn", crew1, f.at(f.day, clockOf(11, 30))).with("bins", b.name).with("what", f.crew.one("loosened the top 4 in", "forked through, was packed", "broke up a mat of cardboard")))
		b.add(bed.Act{Hour: hourOf(f.at(f.day, clockOf(11, 30))), Kind: bed.Turn, DepthM: 0.1})
	}
	if f.crew.chance(0.01) {
		b := any()
		var water, wet float64
		for i := range b.live.s.Layers {
			l := &b.live.s.Layers[i]
			water, wet = water+l.Water+l.Ice, wet+l.Dry()+l.Water+l.Ice
		}
		if wet > 0 {
			f.write(entry("assay", owner, f.at(f.day, clockOf(16, 20))).with("subject", "bin "+b.name).with("analyte", "water_frac_wet").
				with("value", rounded(water/wet+f.eye.norm(0, 0.015), 0.005)).with("method", "pan dried in the oven"))
		}
	}
}

// testPile sends a sample, or dries a panful.
func (f *truth) testPile() {
	var there []*heap
	for _, h := range f.heaps {
		if !h.gone && !h.good.byMass && h.amount() > 1 {
			there = append(there, h)
		}
	}
	if len(there) == 0 {
		return
	}
	h := there[f.crew.IntN(len(there))]
	m := h.pile.Matter
	at := f.at(f.day, clockOf(15, 10))
	l := entry("assay", owner, at).with("subject", "pile "+h.name)
	switch f.crew.IntN(4) {
	case 0:
		all := float64(m.Nitrogen + m.Ammonia + m.Nitrate)
		f.write(l.with("analyte", "cn").with("value", rounded(float64(m.Carbon)/all*f.eye.off(0.05), 0.1)).with("method", "combustion").with("laboratory", "laboratory A"))
		f.write(entry("assay", owner, at).with("subject", "pile "+h.name).with("analyte", "nitrogen_frac_dry").with("value", rounded(all/float64(m.Dry)*f.eye.off(0.04), 0.001)).
			with("method", "combustion").with("laboratory", "laboratory A"))
	case 1:
		f.write(l.with("analyte", "density_kg_m3_wet").with("value", rounded(float64(m.Wet())/float64(m.Volume)*f.eye.off(0.05), 1)).with("method", "full bucket on the scale"))
	default:
		f.write(l.with("analyte", "water_frac_wet").with("value", rounded(min(max(float64(m.WaterContent())+f.eye.norm(0, 0.015), 0.03), 0.92), 0.005)).with("method", "pan dried in the oven"))
	}
}

// sightings are what people see beside their work.
func (f *truth) sightings() {
	summer := f.season(f.day) > 0.3 && f.season(f.day) < 0.8
	if !f.crew.chance(pickF(summer, 0.5, 0.3)) {
		return
	}
	who, at := f.crew.one(crew1, crew2, owner), f.at(f.day, clockOf(9, 0)+f.crew.whole(0, 420))
	l := entry("sighting", who, at).with("severity", f.crew.one("slight", "slight", "some"))
	switch f.crew.IntN(6) {
	case 0:
		f.write(l.with("place", f.crew.one("yard", "barn 1 door", "barn 2 door")).with("what", f.crew.one("mouse droppings", "swallows nesting over the aisle", "puddle by the door", "raccoon tracks")))
	case 1:
		for _, h := range f.heaps {
			if !h.gone && !h.good.byMass {
				f.write(l.with("pile", h.name).with("what", f.crew.one("fungus threads all through", "flies", "crows at it", "smells sour")))
				return
			}
		}
	default:
		b := f.bins[f.crew.IntN(len(f.bins))]
		if b.live == nil {
			return
		}
		s := b.signs()
		what := f.crew.one("springtails", "white pot worms", "centipede", "fungus threads on top", "fungus gnats")
		switch {
		case s.water > 0.8:
			what = f.crew.one("mites", "white pot worms by the hundred")
		case summer:
			what = f.crew.one("fungus gnats", "fruit flies", "ants", "springtails", "soldier fly grubs")
		case s.oxygen < 0.01:
			what = "sour smell"
		}
		f.write(l.with("bin", b.name).with("what", what))
	}
}

// fetch takes what a logger read over the last day.
func (f *truth) fetch(b *bin) {
	g := b.logger
	if g == nil {
		return
	}
	for _, r := range g.read {
		t := r.tempC + g.bias + g.dice.norm(0, f.h.LoggerSD)
		if g.sticks {
			t = g.stuck
		} else {
			g.stuck = t
		}
		if g.dead || g.dice.chance(0.004) {
			continue
		}
		l := line{at: time.Unix(r.hour*3600, 0).UTC(), kind: "reading", who: owner, device: "loggers", exact: true, cells: map[string]string{}}
		f.logged = append(f.logged, l.with("bin", b.name).with("temp_c", rounded(t, 0.1)).with("depth_m", number(g.depthM)).with("probe", "logger").with("probe_id", g.name))
	}
	g.read = g.read[:0]
}

// barnGlass reads the low and high glass of the barns.
func (f *truth) barnGlass() {
	if f.day == 0 {
		return
	}
	for i, h := range f.houses {
		if f.pen.chance(0.42) {
			continue
		}
		low := h.low + f.eye.norm(0, 0.4)
		high := max(low, h.high+f.eye.norm(0.3, 0.4))
		f.write(entry("site", f.crew.one(owner, crew1), f.at(f.day, clockOf(8, 2)+i*6)).with("place", "barn "+h.name).
			with("low_c", fahrenheit(low, 1)).with("high_c", fahrenheit(high, 1)).
			with("day", f.at(f.day-1, 720).Format(time.DateOnly)))
	}
}
