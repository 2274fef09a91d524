package demo

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// The shop is what becomes of castings once they are out of the bins. It has dice of
// its own, those of each lot and those of who comes and buys, so that what truly
// happens in the beds is the same whatever is sold.

// priceList is what the farm asks at the gate. Invented.
var priceList = []map[string]any{
	{"name": bagged, "as": "bag", "volume_m3": cubicFoot, "price": 20, "steps": []map[string]any{{"from": 10, "price": 18}, {"from": 40, "price": 16.5}}},
	{"name": loosely, "as": "loose", "volume_m3": cubicYard, "price": 245, "steps": []map[string]any{{"from": 3, "price": 225}}},
	{"name": alive, "as": "worms", "mass_kg": pound, "price": 35, "steps": []map[string]any{{"from": 5, "price": 32}}},
}

// The products as the price list calls them.
const (
	bagged  = "bag"
	loosely = "castings, screened"
	alive   = "live worms"
	pound   = 0.45359237
)

// openOrders are those of the last two weeks, due in the weeks to come: nobody has come
// for them yet.
func (f *truth) openOrders() {
	write := func(who string, due int, cells map[string]string) {
		l := entry("order", owner, f.at(f.day, clockOf(16, 20))).named(fmt.Sprintf("open order %d", f.day)).with("customer", who).with("due", f.at(due, 720).Format(time.DateOnly))
		for key, text := range cells {
			l = l.with(key, text)
		}
		f.writeNow(l)
	}
	switch f.days - f.day {
	case 12:
		write(customers[0], f.days+9, map[string]string{"ref": "N-118", "lines": asJSON([]map[string]any{
			{"what": bagged, "number": 60}, {"what": loosely, "volume_m3": 4 * cubicYard}, {"what": alive, "mass_kg": 4 * pound}})})
	case 7:
		write(customers[1], f.days+4, map[string]string{"what": bagged, "number": "24"})
	case 5:
		write(customers[2], f.days+16, map[string]string{"what": loosely, "volume_m3": "3 yd3"})
	case 3:
		write(customers[4], f.days+23, map[string]string{"lines": asJSON([]map[string]any{{"what": bagged, "number": 12}, {"what": alive, "mass_kg": 2 * pound}})})
	case 2:
		write(customers[5], f.days+30, map[string]string{"what": loosely, "volume_m3": "8 yd3"})
	}
}

// customers buy by what they are called at the gate.
var customers = []string{"nursery on the bluff", "garden club up the valley", "berry farm by the ferry", "Saturday market stall", "school garden", "landscaper with the blue truck",
	"seedling growers' co-op", "flower farm on the river road", "orchard at mile nine", "greenhouse past the mill", "hop yard", "walk-in at the gate"}

// steady takes loose castings on the first Tuesday of a month.
const steady = 2

const (
	cubicFoot = 0.0283168
	cubicYard = 0.764554857984
	houseRule = "farm_house"
	farmLab   = "laboratory A"
	otherLab  = "laboratory B"
)

// told puts a line of the shop on the sheet of the day; now and then a phone's line
// waits in a pocket.
func (f *truth) told(l *lot, x line) {
	if x.device != "desk" && l.dice.chance(f.h.Late) {
		day := min(f.day+1, max(f.day, f.days-1))
		f.sheets[day] = append(f.sheets[day], x)
		return
	}
	f.writeNow(x)
}

// lotWork screens, cures, samples, counts, releases or holds the lots, and sells.
func (f *truth) lotWork() {
	for _, l := range slices.Clone(f.lots) { // one may begin another
		if l.closed < 0 && f.day-l.opened >= lotDays {
			l.closed = f.day
		}
		if l.closed >= 0 && !l.gone {
			f.tendLot(l, f.day-l.closed)
		}
	}
	f.joinRests()
	f.sell()
}

// tendLot does what is due with a lot some days after it was closed.
func (f *truth) tendLot(l *lot, age int) {
	when := func(h, m int) time.Time { return f.at(f.day, clockOf(h, m)+l.dice.whole(0, 30)) }
	switch {
	case !l.screened && age >= 2 && f.weekday(f.day) != time.Saturday:
		f.screenLot(l, when(10, 0), when(13, 0))
	case l.screened && !l.looked && age >= 9:
		l.looked = true
		f.bench(l)
	case l.screened && !l.tested && age >= 13: // the sample was sent when it was laid to cure
		l.tested = true
		f.results(l, farmLab, when(15, 0))
	case l.tested && !l.sampled && age >= 15: // beans take as long
		l.sampled = true
		f.beans(l, when(16, 0))
		if why := map[string]string{salty: "salts high in the test, wait for a second sample", germy: "fecal coliforms over 1,000 in the test, cure longer and screen again", hurting: "two of four pots of beans curled, do not sell"}[l.fate]; why != "" {
			l.held = true
			f.told(l, entry("hold", owner, when(16, 30)).with("lot", l.name).with("why", why))
		}
	case l.sampled && !l.released && !l.held && age >= 20:
		f.releaseLot(l, "", when(9, 30))
	case l.held && l.fate == salty && age == 29:
		f.told(l, assay(l, when(15, 0), "ec_ds_m", rounded(l.dice.between(2.4, 3.2), 0.1)).with("laboratory", otherLab).with("sample", l.name+" second"))
	case l.held && l.fate == salty && age >= 31:
		l.fate = ""
		f.releaseLot(l, "the second sample was good", when(9, 30))
	case l.held && l.fate == germy && age >= 42:
		l.gone = true
		next := f.begin(&lot{name: l.name + again, opened: f.day, closed: f.day, kg: l.kg})
		f.told(l, entry("join", crew1, when(11, 0)).with("lot", next.name).with("parts", l.name+" "+pounds(l.kg, 5)).with("note", "cured six weeks more, screened and tested as a lot of its own"))
	}
}

func (f *truth) screenLot(l *lot, at, cured time.Time) {
	l.screened = true
	d := l.dice
	part := d.between(0.68, 0.82)
	if strings.HasSuffix(l.name, again) { // chips are out of it already
		part = d.between(0.93, 0.97)
	}
	through := l.kg * part
	over := (l.kg - through) * 0.97
	decks := []map[string]any{{"opening_mm": 6.35, "through_kg": math.Round(through), "over_kg": math.Round(over)}}
	if d.chance(0.2) { // a coarse deck before it
		coarse := over * d.between(0.25, 0.4)
		decks = []map[string]any{{"opening_mm": 12.7, "through_kg": math.Round(l.kg - coarse), "over_kg": math.Round(coarse)}, {"opening_mm": 6.35, "through_kg": math.Round(through), "over_kg": math.Round(over - coarse)}}
	}
	note := ""
	if d.chance(0.2) {
		note = d.one("screen clogged, too wet", "went well", "a lot of chips")
	}
	f.told(l, entry("screen", crew2, at).with("lot", l.name).with("decks", asJSON(decks)).with("water_frac_wet", percent(d.between(0.46, 0.56), 1)).
		with("overs_to", d.one("starting beds", "chips pile", "feed")).with("note", note))
	f.told(l, entry("cure", crew2, cured).with("lot", l.name).with("place", d.one("bay 1", "bay 2", "bay 3")))
	l.kg = through
}

func assay(l *lot, at time.Time, analyte, value string) line {
	return entry("assay", owner, at).with("subject", "lot "+l.name).with("analyte", analyte).with("value", value)
}

// results are those of a composite of the lot that went to a laboratory: three
// repeats of the germs, whose spread is that of a tube count, and what the laboratory
// could not see as less than what it can.
func (f *truth) results(l *lot, lab string, at time.Time) {
	d := l.dice
	give := func(analyte, value, unit, basis, reads, sample string) {
		f.told(l, assay(l, at, analyte, value).with("unit", unit).with("basis", basis).with("reads", reads).with("laboratory", lab).with("sample", sample))
	}
	ec := d.between(1.4, 3.4)
	if l.fate == salty {
		ec = d.between(4.4, 5.6)
	}
	for _, x := range [][2]string{{"water_frac_wet", rounded(d.between(0.45, 0.55), 0.01)}, {"ec_ds_m", rounded(ec, 0.1)}, {"ph", rounded(d.between(6.6, 7.6), 0.1)}, {"cn", rounded(d.between(11, 17), 0.5)},
		{"nitrogen_frac_dry", rounded(d.between(0.014, 0.023), 0.001)}} {
		give(x[0], x[1], "", "", "", l.name)
	}
	const least = 20.0 // what the laboratory can see, MPN a gram
	for k := range 3 {
		n, reads := step(l.germs*d.off(0.35), 10), ""
		if l.fate == germy {
			n = max(n, 1100)
		}
		if n < least {
			n, reads = least, "less than"
		}
		give("fecal_coliform", rounded(n, 10), "MPN/g", "dry", reads, fmt.Sprintf("%s %c", l.name, 'a'+k))
	}
	give("salmonella", "3", "MPN/4 g", "dry", "less than", l.name)
	f.told(l, entry("kept sample", owner, at.Add(20*time.Minute)).with("lot", l.name).with("sample", l.name).with("place", "shelf in the office").with("mass_kg_wet", "2 lb").
		with("until", f.at(f.day+365, 720).Format(time.DateOnly)))
	if f.day/91 != (f.day-lotDays)/91 { // metals once a quarter
		for _, m := range []struct {
			name      string
			low, high float64
			least     float64
		}{{"arsenic", 1, 5, 1}, {"cadmium", 0.1, 0.5, 0.2}, {"copper", 25, 80, 1}, {"lead", 4, 20, 1}, {"mercury", 0.02, 0.08, 0.1}, {"nickel", 5, 20, 1}, {"selenium", 0.3, 1.4, 1}, {"zinc", 90, 260, 1}} {
			v, reads := d.between(m.low, m.high), ""
			if v < m.least {
				v, reads = m.least, "less than"
			}
			give(m.name, rounded(v, m.least/10), "mg/kg", "dry", reads, l.name)
		}
	}
}

// beans is the farm's own test with pots: the score of the median pot.
func (f *truth) beans(l *lot, at time.Time) {
	score := float64(l.dice.whole(0, 1))
	if l.fate == hurting {
		score = 3
	}
	f.told(l, assay(l, at, "bioassay", rounded(score, 1)).with("method", "beans, four pots and four without"))
}

func (f *truth) releaseLot(l *lot, note string, at time.Time) {
	l.held, l.released = false, true
	if l == f.lots[0] {
		l.aside = 30
		l.kg -= l.aside
	}
	f.told(l, entry("release", owner, at).with("lot", l.name).with("rule", houseRule).with("by", owner).with("note", note))
	if l.dice.chance(0.15) { // now and then the net contents are looked after as well
		f.told(l, entry("release", owner, at.Add(20*time.Minute)).with("lot", l.name).with("rule", "net_contents").with("by", owner).
			with("shown", asJSON([]map[string]string{{"key": "net_check", "what": "twelve bags tipped out and measured, the least 1 % under"}})))
	}
}

// bench is an evening at the microscope: slides of two or three handfuls by the
// owner, and one slide counted again by somebody else.
func (f *truth) bench(l *lot) {
	d := l.dice
	at := f.at(f.day, clockOf(17, 0))
	rate := struct{ bacteria, threads, flagellates, amoebae, ciliates, nematodes float64 }{18 * d.off(0.35), 0.3 * d.off(0.5), 1.1 * d.off(0.5), 0.5 * d.off(0.5), 0.08 * d.off(0.8), 0.12 * d.off(0.6)}
	thick := func(handful float64) []map[string]any {
		var out []map[string]any
		for range 12 {
			x := map[string]any{"length_um": 0.0, "flagellates": d.poisson(rate.flagellates * handful), "amoebae": d.poisson(rate.amoebae * handful), "ciliates": d.poisson(rate.ciliates * handful), "nematodes_bacteria": d.poisson(rate.nematodes * handful)}
			if d.chance(min(rate.threads*handful, 0.9)) {
				x["length_um"], x["diameter_um"] = float64(d.whole(20, 300)), float64(d.whole(2, 4))
			}
			out = append(out, x)
		}
		return out
	}
	slide := func(who, handful, name, dilution string, fields []map[string]any) {
		f.told(l, entry("microscope", who, at).with("lot", l.name).with("sub_sample", handful).with("slide", name).with("objective_x", "40").
			with("field_number_mm", "20").with("dilution", dilution).with("drop_ml", "0.05").with("cover_mm", "18 x 18").with("fields", asJSON(fields)))
		at = at.Add(14 * time.Minute)
	}
	for h := range d.whole(2, 3) {
		handful, name := d.off(0.25), fmt.Sprint(h+1)
		var thin []map[string]any
		for range 10 {
			thin = append(thin, map[string]any{"bacteria": d.poisson(rate.bacteria * handful * d.off(0.25))})
		}
		slide(owner, name, "thin", "1000", thin)
		slide(owner, name, "thick", "5", thick(handful))
		if h == 0 {
			slide(crew1, name, "thick", "5", thick(handful))
		}
	}
}

// joinRests puts what was set aside of the first lot together with as much of the
// second, once that is screened, for the farm's own pots.
func (f *truth) joinRests() {
	if f.joined || len(f.lots) < 2 || f.lots[0].aside == 0 || !f.lots[1].screened {
		return
	}
	f.joined = true
	part := pounds(f.lots[0].aside, 5)
	f.lots[1].kg -= f.lots[0].aside
	f.writeNow(entry("join", crew1, f.at(f.day, clockOf(16, 30))).with("lot", "pots-1").with("parts", f.lots[0].name+" "+part+"; "+f.lots[1].name+" "+part).with("note", "for our own pots"))
}

// loose is what lies of a lot outside of bags [kg].
func (l *lot) loose() float64 { return l.kg - l.bagged - l.bulk }

// sell is who comes on a day: many in spring, some in fall, few in winter.
func (f *truth) sell() {
	at := f.season(f.day)
	bump := func(middle, wide float64) float64 { return math.Exp(-math.Pow((at-middle)/wide, 2)) }
	n := f.shop.poisson(0.2 + bump(0.3, 0.1) + 0.3*bump(0.78, 0.06))
	if f.weekday(f.day) == time.Tuesday && f.at(f.day, 720).Day() <= 7 {
		f.sellLoose(customers[steady], f.shop.between(3, 5), "", f.fetchedAt())
	}
	if f.sold == 0 { // the first bags have their buyer waiting
		n = max(n, 1)
	}
	for range n {
		if who := f.shop.one(customers...); f.shop.chance(0.55) || f.sold == 0 {
			f.sellBags(who, f.shop.whole(6, 40))
		} else {
			f.sellLoose(who, f.shop.between(1, 3.5), "", f.fetchedAt())
		}
	}
}

// forSale gives the oldest released lot of which something lies there.
func (f *truth) forSale(any func(*lot) bool) *lot {
	for _, l := range f.lots {
		if l.released && !l.held && !l.gone && any(l) {
			return l
		}
	}
	return nil
}

// sellBags fills bags where too few stand there, and sells.
func (f *truth) sellBags(who string, n int) {
	heavy := func(l *lot) float64 { return l.bag * looseKgM3 }
	l := f.forSale(func(l *lot) bool { return l.bags > 0 || l.loose() >= heavy(l) })
	if l == nil {
		return
	}
	when := f.at(f.day, clockOf(11, 0)+f.shop.whole(0, 240))
	// bags are filled before anybody comes for them: two may come on a day, in any order
	if more := min(n+f.shop.whole(0, 20)-l.bags, int(l.loose()/heavy(l))); l.bags < n && more > 0 {
		f.writeNow(entry("bag", crew1, f.at(f.day, clockOf(10, 15))).with("lot", l.name).with("size_m3", pick(l.bag < cubicFoot, "0.5 cu ft", "1 cu ft")).with("number", fmt.Sprint(more)))
		l.bags, l.packed = l.bags+more, l.packed+more
		l.bagged += float64(more) * heavy(l)
	}
	if n = min(n, l.bags); l.bags-n < 6 && l.loose() < heavy(l) { // whoever takes nearly all takes the rest
		n = l.bags
	}
	l.bags -= n
	f.sold++
	f.noteSale(l, who)
	f.writeNow(entry("sell", owner, when).with("lot", l.name).with("customer", who).with("bags", fmt.Sprint(n)).with("price", rounded(float64(n)*f.shop.between(17, 22)*l.bag/cubicFoot, 1)))
}

// fetchedAt is when somebody comes with a truck.
func (f *truth) fetchedAt() time.Time { return f.at(f.day, clockOf(10, 0)+f.shop.whole(0, 300)) }

// leastLoose is the least that is sold loose [yd3].
const leastLoose = 0.25

// sellLoose sells by the cubic yard out of one lot, and all of it where little would be
// left. It gives what went [yd3]; 0 where nothing is there. What delivers an order has its
// id as the word that binds the delivery.
func (f *truth) sellLoose(who string, yd float64, order string, when time.Time) float64 {
	l := f.forSale(func(l *lot) bool { return l.loose() > leastLoose*cubicYard*looseKgM3 })
	if l == nil {
		return 0
	}
	volume, there := step(yd, leastLoose)*cubicYard, l.loose()/looseKgM3
	if there-volume < leastLoose*cubicYard {
		volume = there
	}
	l.bulk += volume * looseKgM3
	f.noteSale(l, who)
	f.writeNow(entry("sell", owner, when).with("lot", l.name).with("customer", who).with("volume_m3", yards(volume, 0.05)).with("order", order).with("delivery", order).with("price", rounded(volume/cubicYard*f.shop.between(200, 260), 1)))
	return volume / cubicYard
}

func (f *truth) noteSale(l *lot, who string) {
	l.sales, l.last, l.buyer = l.sales+1, f.day, who
	if l.buyers == nil {
		l.buyers = map[string]bool{}
	}
	l.buyers[who] = true
}

// drill is a recall tried out on the newest lot that went to several; false while there
// is none.
func (f *truth) drill() bool {
	for i := len(f.lots) - 1; i >= 0; i-- {
		if l := f.lots[i]; l.released && float64(len(l.buyers)) >= pickF(f.day < f.days-12, 2, 1) {
			f.writeNow(entry("recall drill", owner, f.at(f.day, clockOf(16, 40))).with("of", "lot "+l.name).with("seconds", "0.2").with("bags", fmt.Sprint(l.packed)).with("customers", fmt.Sprint(len(l.buyers))).
				with("mend", "one of the buyers has no telephone number beside the name; ask at the next sale"))
			return true
		}
	}
	return false
}

// complaint is a telephone call about bags of a lot, one that is not sold out where there
// is one: what is left of it waits, and all who have some are called.
func (f *truth) complaint() {
	for _, least := range []float64{50, 0} { // loose [kg]
		for i := len(f.lots) - 1; i >= 0; i-- {
			if l := f.lots[i]; l.released && !l.held && l.sales > 0 && l.loose() >= least {
				f.complainOf(l)
				return
			}
		}
	}
}

func (f *truth) complainOf(l *lot) {
	l.held = true
	at := f.at(f.day, clockOf(9, 50))
	f.writeNow(entry("complaint", owner, at.Add(-20*time.Minute)).with("lot", l.name).with("customer", l.buyer).with("bags", "three of them").with("what", "seedlings stand still in it and turn yellow").
		with("done", "told to stop using it, the sample kept back goes into the bean test"), entry("hold", owner, at).with("lot", l.name).with("why", "seedlings stunted, says a buyer of bags; the sample kept back is in the bean test").
		with("note", fmt.Sprintf("traced at once; %d sales, all buyers called before noon", l.sales)))
	f.sheets[f.day+1] = append(f.sheets[f.day+1], assay(l, f.at(f.day+1, clockOf(11, 0)), "ec_ds_m", "2.9").with("method", "own meter, paste").with("sample", "kept back"))
}

// papers are orders. Castings are fetched on the day they are due, out of as many lots as
// it takes; what is not there then, and what nobody comes for, is cancelled.
func (f *truth) papers() {
	if !f.shop.chance(pickF(f.season(f.day) > 0.15 && f.season(f.day) < 0.45, 0.2, 0.08)) {
		return
	}
	who, due := f.shop.one(customers...), f.day+f.shop.whole(5, 45)
	l := entry("order", owner, f.at(f.day, clockOf(16, 0)+f.shop.whole(0, 60))).named(fmt.Sprintf("order %d", f.day)).with("customer", who).with("due", f.at(due, 720).Format(time.DateOnly))
	yd := step(f.shop.between(0.5, 4), 0.5)
	worms := f.shop.chance(0.15)
	if worms {
		f.writeNow(l.with("what", alive).with("mass_kg", rounded(float64(f.shop.whole(2, 10)), 1)+" lb"))
	} else {
		f.writeNow(l.with("what", loosely).with("volume_m3", rounded(yd, 0.5)+" yd3"))
	}
	fetched := !worms && !f.shop.chance(0.1)
	f.story.later(due, func() {
		why := pick(worms, "our beds need theirs", "did not come for it")
		if fetched {
			left, when := yd, f.fetchedAt()
			for left >= leastLoose {
				got := f.sellLoose(who, left, l.id, when)
				if got == 0 {
					break
				}
				left -= got
			}
			if left < 0.03*yd {
				return
			}
			why = pick(left < yd, "the rest was not released in time", "nothing was released in time")
		}
		f.writeNow(entry("cancel order", owner, f.at(f.day, clockOf(16, 45))).with("order", l.id).with("why", why))
	})
}

// wormsSold takes worms out of a rich bed for somebody who keeps some.
func (f *truth) wormsSold() {
	var rich *bin
	for _, b := range f.bins {
		if b.live != nil && !b.marked && b.live.rest < 0 && (rich == nil || b.live.s.Worms.LiveKg() > rich.live.s.Worms.LiveKg()) {
			rich = b
		}
	}
	if rich == nil {
		return
	}
	kg := 5 * pound
	if have := rich.live.s.Worms.LiveKg(); have > 2*kg {
		rich.live.s.Worms = rich.live.s.Worms.Times(1-kg/have, 1)
		f.writeNow(entry("worms sold", owner, f.at(f.day, clockOf(14, 40))).with("bins", rich.name).with("kg", "5 lb").with("customer", f.shop.one(customers...)).with("price", "175"))
	}
}
