package demo

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// lot is castings out of the harvests of about two weeks.
type lot struct {
	name   string
	opened int
	closed int     // the day after which nothing more goes in, -1 while harvests do
	kg     float64 // wet, as it lies; after screening what went through
	bulk   float64 // sold loose [kg]
	bagged float64 // in bags, sold or not [kg]
	bags   int     // in store
	bag    float64 // volume of its bags [m3]
	packed int     // ever
	sales  int
	buyers map[string]bool
	buyer  string // the last
	last   int    // day of the last sale
	aside  float64

	screened, sampled, tested, looked, released, held, gone bool

	fate  string // what is found in it that should not be
	germs float64
	dice  dice
}

// What may be found in a lot.
const (
	salty   = "salty"
	germy   = "germy"
	hurting = "hurting" // beans
)

const lotDays = 14

// openLot gives the lot that harvests go into.
func (f *truth) openLot() *lot {
	for _, l := range f.lots {
		if l.closed < 0 && f.day-l.opened < lotDays {
			return l
		}
		if l.closed < 0 {
			l.closed = f.day
		}
	}
	return f.begin(&lot{name: fmt.Sprintf("%s-%s", f.at(f.day, 720).Format("06"), twoDigits(f.lotOfYear())), opened: f.day, closed: -1})
}

// begin settles what will be found in a lot. The first is as it should be, and so is
// what was cured and screened once more.
func (f *truth) begin(l *lot) *lot {
	l.dice = newDice(f.seed, "lot "+l.name, 0)
	l.germs = 120 * l.dice.off(0.8)
	l.bag = cubicFoot
	if l.dice.chance(0.15) {
		l.bag = cubicFoot / 2
	}
	switch fate := l.dice.Float64(); {
	case len(f.lots) == 0 || strings.HasSuffix(l.name, again):
		l.germs = min(l.germs, 300)
	case f.day >= f.part(0.88) && f.day < f.part(0.88)+lotDays:
		l.fate = hurting
	case fate < 0.07:
		l.fate = salty
	case fate < 0.14:
		l.fate, l.germs = germy, 1900
	}
	l.germs = min(l.germs, 2500)
	if l.fate != germy {
		l.germs = min(l.germs, 450)
	}
	f.lots = append(f.lots, l)
	return l
}

// again ends the name of a lot that was cured longer and screened once more: it is a
// lot of its own, since what was found in the first stays on its record.
const again = "R"

func twoDigits(n int) string { return fmt.Sprintf("%02d", n) }

func (f *truth) lotOfYear() int {
	year := f.at(f.day, 720).Format("06")
	n := 1
	for _, l := range f.lots {
		if strings.HasPrefix(l.name, year) && !strings.HasSuffix(l.name, again) {
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
