package demo

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// lot is castings out of the harvests of about two weeks.
type lot struct {
	name     string
	opened   int
	closed   int     // day of screening, -1 while harvests go into it
	kg       float64 // wet, as it lies; after screening what went through
	sold     float64
	screened bool
	tested   bool
	looked   bool
	judged   bool
	released bool
	held     bool
	bags     int // in store
	aside    float64
}

const lotDays = 14

// openLot gives the lot that harvests go into.
func (f *truth) openLot() *lot {
	if n := len(f.lots); n > 0 && f.lots[n-1].closed < 0 && f.day-f.lots[n-1].opened < lotDays {
		return f.lots[n-1]
	}
	for _, l := range f.lots {
		if l.closed < 0 {
			l.closed = f.day
		}
	}
	l := &lot{name: fmt.Sprintf("%s-%s", f.at(f.day, 720).Format("06"), twoDigits(f.lotOfYear())), opened: f.day, closed: -1}
	f.lots = append(f.lots, l)
	return l
}

func twoDigits(n int) string { return fmt.Sprintf("%02d", n) }

func (f *truth) lotOfYear() int {
	year := f.at(f.day, 720).Format("06")
	n := 1
	for _, l := range f.lots {
		if strings.HasPrefix(l.name, year) {
			n++
		}
	}
	return n
}

// harvests takes out the beds that have rested long enough, as many as the day
// allows, and beds the bins anew.
func (f *truth) harvests() error {
	var ready []*bin
	for _, b := range f.bins {
		if b.live != nil && !b.marked && b.live.rest >= 0 && f.day-b.live.rest >= int(f.h.RestDays) {
			ready = append(ready, b)
		}
	}
	slices.SortStableFunc(ready, func(a, b *bin) int { return a.live.rest - b.live.rest })
	most := max(1, f.bedded()/60)
	if at := f.season(f.day); at > 0.87 || at < 0.14 { // in the cold new beds start badly
		most = max(1, most/3)
	}
	if len(ready) > most {
		ready = ready[:most]
	}
	var again []*bin
	var worms []float64
	for k, b := range ready {
		minutes := clockOf(8, 50) + 55*k
		keep := f.harvest(b, minutes, pick(k%2 == 0, crew1, crew2))
		if f.crew.chance(0.12) { // the bin waits for a board or a liner; its worms go to the tubs
			f.surplus += keep
			continue
		}
		again, worms = append(again, b), append(worms, keep)
	}
	if len(again) == 0 {
		return nil
	}
	at := max(clockOf(12, 50), clockOf(9, 30)+55*len(again))
	who := f.crew.one(crew1, crew2)
	if err := f.bedding(again, at, who); err != nil {
		return err
	}
	for k, b := range again {
		b.stock(worms[k], b.carry, hourOf(f.at(f.day, at+15+3*k)))
		f.write(entry("stock", who, f.at(f.day, at+15+3*k)).with("bins", b.name).with("kg", pounds(worms[k]*f.crew.off(0.05), 0.5)).with("note", f.note(0.15, "its own worms back", "looked fat", "many small ones")))
	}
	return nil
}

// looseKgM3 is how heavy castings lie once they are out of the bin, in a bucket, a
// bag or a truck [kg/m3 wet]. It is the demo's own truth: the farm is told another
// and has to find it by its buckets.
const looseKgM3 = 640.0

// harvest empties a bin, writes it down and gives the worms kept for its next bed.
func (f *truth) harvest(b *bin, minutes int, who string) float64 {
	s := b.live.s
	wet, worms := wetOf(s), s.Worms.LiveKg()
	got := worms * min(f.h.WormsFound*f.crew.off(0.05), 0.97)
	castings := wet * f.crew.between(0.84, 0.95) // the unfinished top goes on the next bed
	keep := min(got, f.crew.between(4.4, 6.4))
	if got > keep+1 {
		f.surplus += got - keep
	} else {
		keep = got
	}
	if keep < 2.4 && f.surplus > 1 { // a poor bed is helped out of the tubs
		help := min(f.surplus, 3.5-keep)
		f.surplus -= help
		keep += help
	}
	at := f.at(f.day, minutes)
	into := f.openLot()
	into.kg += castings
	l := entry("harvest", who, at).with("bins", b.name).with("how", f.crew.one("table", "table", "screening", "whole")).
		with("worms_kg", pounds(got*f.crew.off(0.04), 0.5)).with("lot", into.name).with("ends_bed", "yes").with("note", f.note(0.12, harvestNotes...))
	if f.crew.chance(0.25) {
		l = l.with("volume_m3", yards(castings/looseKgM3*f.crew.off(0.06), 0.125))
	} else {
		l = l.with("mass_kg_wet", pounds(castings*f.crew.off(0.02), 5))
		// Now and then they are counted in buckets as well: by these the farm knows how heavy its castings lie.
		if scale := newDice(f.seed, "buckets", f.day*1000+b.number); scale.chance(0.12) {
			l = l.with("volume_m3", yards(castings/looseKgM3*scale.off(0.03), 0.05))
		}
	}
	// Now and then part of the worms goes straight to a bed that has few.
	if f.surplus > 1.5 && f.crew.chance(0.25) {
		if poor := f.poorBed(b); poor != nil {
			kg := step(min(f.surplus, 2)/0.45359237, 0.5) * 0.45359237
			f.surplus -= kg
			poor.stock(kg, 0, hourOf(at))
			l = l.with("worms_to", poor.name+" "+pounds(kg, 0.5))
		}
	}
	f.write(l)
	cocoons := s.Worms.Cocoons * f.h.CocoonsKept
	b.live, b.carry = nil, cocoons
	return keep
}

func (f *truth) poorBed(not *bin) *bin {
	for _, b := range f.bins {
		if b != not && b.live != nil && !b.marked && b.live.rest < 0 && f.day-b.live.since > 30 && b.live.s.Worms.LiveKg() < 3.5 && f.day-b.helped > 20 {
			return b
		}
	}
	return nil
}

var customers = []string{"C-01", "C-02", "C-03", "C-04", "C-05", "C-06", "C-07", "C-08", "C-09", "C-10", "C-11"}

// lotWork screens, cures, tests, releases, bags and sells.
func (f *truth) lotWork() {
	for _, l := range f.lots {
		if l.closed < 0 && f.day-l.opened >= lotDays {
			l.closed = f.day
		}
		if l.closed < 0 {
			continue
		}
		age := f.day - l.closed
		when := func(minutes int) time.Time { return f.at(f.day, minutes+f.crew.whole(0, 30)) }
		switch {
		case !l.screened && age >= 2 && f.weekday(f.day) != time.Saturday:
			l.screened = true
			through := l.kg * f.crew.between(0.68, 0.82)
			over := (l.kg - through) * 0.97
			decks := []map[string]any{{"opening_mm": 6.35, "through_kg": math.Round(through), "over_kg": math.Round(over)}}
			f.write(entry("screen", crew2, when(clockOf(10, 0))).with("lot", l.name).with("decks", asJSON(decks)).
				with("water_frac_wet", percent(f.crew.between(0.52, 0.62), 1)).with("overs_to", f.crew.one("starting beds", "chips pile", "feed")).with("note", f.note(0.2, "screen clogged, too wet", "went well", "a lot of chips")))
			f.write(entry("cure", crew2, when(clockOf(13, 0))).with("lot", l.name).with("place", f.crew.one("bay 1", "bay 2", "bay 3")))
			l.kg = through
		case l.screened && !l.tested && age >= 12:
			l.tested = true
			at := when(clockOf(15, 0))
			for _, t := range [][3]string{{"water_frac_wet", rounded(f.crew.between(0.45, 0.58), 0.01), ""}, {"ec_ds_m", rounded(f.crew.between(1.4, 3.4), 0.1), "laboratory A"}, {"ph", rounded(f.crew.between(6.6, 7.6), 0.1), "laboratory A"}, {"cn", rounded(f.crew.between(11, 17), 0.5), "laboratory A"}} {
				if f.crew.chance(0.75) {
					f.write(entry("assay", owner, at).with("subject", "lot "+l.name).with("analyte", t[0]).with("value", t[1]).with("laboratory", t[2]))
				}
			}
		case l.screened && !l.looked && age >= 14:
			if l.looked = true; l == f.lots[0] || f.crew.chance(0.5) {
				f.bench(l)
			}
		case l.screened && !l.judged && age >= 20:
			l.judged = true
			if l != f.lots[0] && f.crew.chance(0.07) {
				l.held = true
				f.write(entry("hold", owner, when(clockOf(9, 30))).with("lot", l.name).with("why", f.crew.one("salts high in the test, wait for a second sample", "smells sour, cure longer", "weed seeds came up in the pot test")))
				continue
			}
			l.released = true
			if l == f.lots[0] {
				l.aside = 30
				l.kg -= l.aside
			}
			f.write(entry("release", owner, when(clockOf(9, 30))).with("lot", l.name).with("rule", "house rule: test done, smells of earth, cured three weeks").with("by", owner))
		case l.held && age >= 45:
			l.held, l.released = false, true
			f.write(entry("release", owner, when(clockOf(9, 30))).with("lot", l.name).with("rule", "house rule: second sample was good").with("by", owner))
		case l.released && l.kg-l.sold > 40 && age >= 21:
			f.trade(l)
		}
	}
	f.joinRests()
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
	f.write(entry("join", crew1, f.at(f.day, clockOf(16, 30))).with("lot", "pots-1").with("parts", f.lots[0].name+" "+part+"; "+f.lots[1].name+" "+part).with("note", "for our own pots"))
}

// trade bags and sells a part of a lot; much in spring, little in winter.
func (f *truth) trade(l *lot) {
	at := f.season(f.day)
	keen := 0.12 + 0.35*math.Exp(-math.Pow((at-0.3)/0.09, 2))
	first := l == f.lots[0] && l.sold == 0
	if !f.crew.chance(keen) && !first {
		return
	}
	const bag = 0.0283168 // a cubic foot
	const density = looseKgM3
	left := (l.kg - l.sold) / density
	when := f.at(f.day, clockOf(11, 0)+f.crew.whole(0, 240))
	customer := f.crew.one(customers...)
	if f.crew.chance(0.55) || first {
		n := min(f.crew.whole(6, 40), int(left/bag))
		if n < 1 {
			l.sold = l.kg
			return
		}
		if l.bags < n {
			more := min(n+f.crew.whole(0, 20), int(left/bag)) - l.bags
			if more > 0 {
				f.write(entry("bag", crew1, when.Add(-90*time.Minute)).with("lot", l.name).with("size_m3", "1 cu ft").with("number", fmt.Sprint(more)))
				l.bags += more
			}
		}
		n = min(n, l.bags)
		if n < 1 {
			return
		}
		l.bags -= n
		l.sold += float64(n) * bag * density
		f.write(entry("sell", owner, when).with("lot", l.name).with("customer", customer).with("bags", fmt.Sprint(n)).with("price", rounded(float64(n)*f.crew.between(17, 22), 1)))
		return
	}
	volume := min(step(f.crew.between(0.5, 3), 0.25)*0.764554857984, left)
	l.sold += volume * density
	f.write(entry("sell", owner, when).with("lot", l.name).with("customer", customer).with("volume_m3", yards(volume, 0.05)).with("price", rounded(volume*f.crew.between(260, 340), 1)))
}

// bench is an evening at the microscope.
func (f *truth) bench(l *lot) {
	for _, group := range []string{"bacteria", "fungi"} {
		var fields []map[string]any
		mean := f.crew.between(12, 30)
		for range 10 {
			if group == "fungi" {
				if f.crew.chance(0.3) {
					fields = append(fields, map[string]any{"length_um": float64(f.crew.whole(20, 300)), "diameter_um": float64(f.crew.whole(2, 4))})
				} else {
					fields = append(fields, map[string]any{"count": 0})
				}
				continue
			}
			fields = append(fields, map[string]any{"count": f.crew.poisson(mean * f.crew.off(0.25))})
		}
		f.write(entry("microscope", owner, f.at(f.day, clockOf(17, 0)+pickI(group == "fungi", 40, 0))).with("lot", l.name).with("group", group).with("objective_x", "40").
			with("field_number_mm", "20").with("dilution", pick(group == "fungi", "5", "1000")).with("drop_ml", "0.05").with("cover_mm", "18 x 18").with("fields", asJSON(fields)))
	}
}

func pickI(first bool, a, b int) int {
	if first {
		return a
	}
	return b
}

// papers are orders and what else comes by telephone.
func (f *truth) papers() {
	if !f.crew.chance(pickF(f.season(f.day) > 0.15 && f.season(f.day) < 0.45, 0.2, 0.08)) {
		return
	}
	l := entry("order", owner, f.at(f.day, clockOf(16, 0)+f.crew.whole(0, 60))).with("customer", f.crew.one(customers...)).
		with("due", f.at(f.day+f.crew.whole(5, 60), 720).Format(time.DateOnly))
	if f.crew.chance(0.15) {
		f.write(l.with("what", "live worms").with("mass_kg", rounded(float64(f.crew.whole(2, 10)), 1)+" lb"))
		return
	}
	f.write(l.with("what", "castings, screened").with("volume_m3", rounded(f.crew.between(0.5, 6), 0.5)+" yd3"))
}

// slips are entries that turn out wrong and are struck, with a reason.
func (f *truth) slips() {
	if f.weekday(f.day) != time.Wednesday || f.day < 20 || !f.crew.chance(0.14) {
		return
	}
	var b *bin
	for range 20 {
		if x := f.bins[f.crew.IntN(len(f.bins))]; x.live != nil && !x.marked && f.day-x.live.since > 10 {
			b = x
			break
		}
	}
	mix := f.current(false)
	if b == nil || mix == nil {
		return
	}
	who := f.crew.one(crew1, crew2)
	at := f.at(f.day-1, clockOf(11, 0)+f.crew.whole(0, 200))
	wrong, why := entry("feed", who, at).with("bins", b.name).with("batch", mix.name), ""
	switch f.crew.IntN(3) {
	case 0:
		wrong, why = wrong.with("depth_m", "2 in"), "typed twice"
	case 1:
		wrong, why = wrong.with("depth_m", "5.5 in"), "slip of the thumb, was half an inch and is entered already"
	default:
		wrong, why = wrong.with("depth_m", "1.5 in"), "wrong bin, the neighbour got it"
	}
	wrong = wrong.named(fmt.Sprintf("slip %d", f.day))
	f.writeNow(wrong)
	later := f.day + f.crew.whole(1, 4)
	strike := entry("strike", owner, f.at(later, clockOf(17, 30)))
	strike.strikes = wrong.id
	f.sheets[later] = append(f.sheets[later], strike.with("why", why).named(fmt.Sprintf("strike %d", f.day)))
}
