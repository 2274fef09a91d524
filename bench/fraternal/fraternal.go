// Package fraternal is a worm farm whose truth is known and is not ours: beds,
// barns, weather and worms by other laws than those of the twins, written for
// nothing but to be learned about. It shares no process with bed, worm, twin,
// yard or climate; what it has in common with them is the trade: kinds of
// entries, names of materials, a daily weather record.
//
// What differs: a continuum of qualities (gamma-distributed rates, ageing)
// instead of pools; microbes that must settle first; an Arrhenius response that
// breaks down on its hot side; heat in a cross-section, so that sides are colder
// than the middle; water in buckets; worms as cohorts with an energy budget; a
// barn of two nodes. People with bounds of their own see it and write down most of
// what they do, at more or less the right time. docs/adr/0047 says why.
//
// Left out: nitrogen, salts and pH, side feeding (feed lies on the whole top),
// side walls that dry out, piles that age before they are fed.
package fraternal

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"wormyard/journal"
)

// Kind says how well a farm is watched.
type Kind string

// The kinds of farms.
const (
	Rich Kind = "rich" // thirty loggers
	Poor Kind = "poor" // ten dial stabs a week, looks on bins that were lifted
)

// Plan is the size of a farm.
type Plan struct {
	Bins int
	Kind Kind
	Days int       // how far the journal reaches
	From time.Time // day of the first entry; zero takes 5 March 2024
	// Counts are worm counts of every bin in a quarter of a year, 0 for none.
	Counts int
	// Plain farms have no hard second winter.
	Plain bool
}

// Truth is what was true in a bin at an hour.
type Truth struct {
	MidC       float64 // halfway between the surface and the floor of the bed, in the middle of the bin [C]
	WaterOfWet float64 // of the whole bed
	FeedKg     float64 // feed, bedding apart, neither worked nor rotted that can still feed a worm [kg dry]
	WormKg     float64 // live, cocoons apart [kg]
	MadeKg     float64 // castings made since the bed was laid, harvested beds before it included [kg dry]
	HotC       float64 // warmest place of the bed since the truth before [C]
	Refuge     float64 // share of the bed in which worms could stay, the least since the truth before
	DepthM     float64
}

// Policy is who works on a farm: called once on every morning, it looks, acts
// and writes.
type Policy interface{ Work(f *Farm) }

// Farm is one farm as it really is.
type Farm struct {
	Plan
	Seed  uint64
	Crew  Policy
	Zone  *time.Location
	Day   int // of the plan, from 0; that of the next Step
	Tally Tally

	n       nature
	sky     sky
	barn    barn
	bins    []*bin
	batches []*Mix
	answers map[string]map[int64]Truth
	aired   []Aired         // by hour from the first morning on
	entries []journal.Entry // recorded, in that order
	waiting []journal.Entry // not yet typed
	mutes   [][2]int        // days from and to which nothing is typed
	coin    dice            // of the crew
	eye     dice            // of what is seen
	pen     dice            // of what is written
	serial  int
	given   int // entries handed out by Written
}

// Tally is what a farm's work came to.
type Tally struct {
	Minutes    float64 // of work
	FedKg      float64 // [kg dry]
	HeatDays   int     // bin-days on which the bed was over 35 C somewhere and worms had little room below 30 C
	HeatDeadKg float64 // worms that died of heat, live [kg]
	HotDays    int     // bin-days on which the bed was over 35 C anywhere
	WastedKg   float64 // feed thrown out unworked at harvests and taken off [kg dry]
	Feedings   int
	Waterings  int
	Lifts      int
}

// New makes a farm on its first morning.
func New(seed uint64, p Plan) (*Farm, error) {
	if p.Bins < 1 || p.Days < 1 {
		return nil, fmt.Errorf("a farm needs bins and days, not %d and %d", p.Bins, p.Days)
	}
	zone, err := time.LoadLocation("America/Los_Angeles")
	if err != nil {
		return nil, err
	}
	if p.From.IsZero() {
		p.From = time.Date(2024, 3, 5, 0, 0, 0, 0, zone)
	}
	y, m, d := p.From.In(zone).Date()
	p.From = time.Date(y, m, d, 0, 0, 0, 0, zone)
	f := &Farm{Plan: p, Seed: seed, Zone: zone, n: draw(seed), answers: map[string]map[int64]Truth{},
		coin: newDice(seed, "crew"), eye: newDice(seed, "eye"), pen: newDice(seed, "pen")}
	if f.sky, err = newSky(f); err != nil {
		return nil, err
	}
	f.barn = newBarn(f)
	f.Crew = newHabit(f)
	for d := 40 + f.pen.IntN(60); d < p.Days; d += 90 + f.pen.IntN(120) {
		f.mutes = append(f.mutes, [2]int{d, d + 7})
	}
	f.begin()
	return f, nil
}

// Morning gives the time at which the crew begins on the day of the next Step.
func (f *Farm) Morning() time.Time { return time.Unix(f.hour()*3600, 0).In(f.Zone) }

// hour is that of the morning: 15:00 UTC, seven o'clock in winter.
func (f *Farm) hour() int64 {
	y, m, d := f.From.Date()
	return time.Date(y, m, d+f.Day, 15, 0, 0, 0, time.UTC).Unix() / 3600
}

// Step is one day: the crew's work in the morning, and what comes of it until the
// next.
func (f *Farm) Step() {
	f.Crew.Work(f)
	f.type_()
	from := f.hour()
	for t := from; t < from+24; t++ {
		if t%24 == 0 {
			for _, b := range f.bins {
				if b.rows != nil {
					f.answers[b.name][t] = b.truth()
				}
			}
		}
		f.live(t)
	}
	for _, b := range f.bins {
		if b.rows == nil {
			continue
		}
		b.worms.day(b)
		if b.dayHot > 35 {
			f.Tally.HotDays++
			if b.dayRefuge < 0.3 {
				f.Tally.HeatDays++
			}
		}
		b.dayHot, b.dayRefuge = math.Inf(-1), 1
	}
	f.Day++
}

// Run steps a farm to its last day.
func (f *Farm) Run() {
	for f.Day < f.Days {
		f.Step()
	}
}

// live lets an hour pass.
func (f *Farm) live(t int64) {
	warm, vapour := 0.0, 0.0
	for _, b := range f.bins {
		b.due(f, t)
		if b.rows == nil {
			continue
		}
		if t%step == 0 {
			b.rot(step / 24.0)
			b.seep(f, step/24.0)
			b.tidy()
		}
		w, v := b.heat(f)
		warm, vapour = warm+w, vapour+v
	}
	f.barn.hour(f.sky.at(t), warm, vapour)
	f.aired = append(f.aired, Aired{f.barn.airC, f.barn.vapour / steam(f.barn.airC)})
	for _, b := range f.bins {
		if b.logger != nil && b.rows != nil && t%6 == 0 {
			b.logger.read(f, b, t)
		}
	}
}

// step is how often matter and water are followed [h].
const step = 3

// Bins names the bins in order.
func (f *Farm) Bins() []string {
	out := make([]string, len(f.bins))
	for i, b := range f.bins {
		out[i] = b.name
	}
	return out
}

// Truth gives what is true in a bin now; zero where it has no bed.
func (f *Farm) Truth(name string) Truth {
	b := f.bin(name)
	if b == nil || b.rows == nil {
		return Truth{}
	}
	return b.truth()
}

// Answers gives the truth by bin and hour since 1970-01-01T00Z, at midnight UTC.
func (f *Farm) Answers() map[string]map[int64]Truth { return f.answers }

// Aired is the air of the barn in an hour, at half the height of its stacks.
type Aired struct{ TempC, RH float64 }

// Air gives the air of the barn, which nobody on the farm reads by the hour, from
// the first morning [hours since 1970-01-01T00Z] to now.
func (f *Farm) Air() (first int64, hours []Aired) {
	return f.hour() - int64(len(f.aired)), f.aired
}

// Entries gives what was recorded so far, in that order.
func (f *Farm) Entries() []journal.Entry { return f.entries }

// Written gives what was recorded since it was asked last.
func (f *Farm) Written() []journal.Entry {
	out := f.entries[f.given:]
	f.given = len(f.entries)
	return out
}

func (f *Farm) bin(name string) *bin {
	for _, b := range f.bins {
		if b.name == name {
			return b
		}
	}
	return nil
}

// dice are one stream of chance, so that streams do not hang on each other.
type dice struct{ *rand.Rand }

func newDice(seed uint64, name string) dice {
	h := uint64(0x9e3779b97f4a7c15)
	for _, c := range []byte(name) {
		h = (h ^ uint64(c)) * 0x100000001b3
	}
	return dice{rand.New(rand.NewPCG(seed*0x2545f4914f6cdd1d+1, h))}
}

func (d dice) chance(p float64) bool       { return d.Float64() < p }
func (d dice) about(m, sd float64) float64 { return m + sd*d.NormFloat64() }
func (d dice) times(sd float64) float64    { return math.Exp(sd * d.NormFloat64()) }
func (d dice) one(words ...string) string  { return words[d.IntN(len(words))] }
func (d dice) count(mean float64) int {
	if mean > 50 {
		return max(0, int(math.Round(d.about(mean, math.Sqrt(mean)))))
	}
	n := 0
	for l, p := math.Exp(-mean), d.Float64(); p > l; p *= d.Float64() {
		n++
	}
	return n
}
