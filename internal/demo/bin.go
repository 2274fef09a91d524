package demo

import (
	"math"
	"slices"

	"wormyard/barn"
	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/twin"
	"wormyard/worm"
)

// The boxes: 1.2 x 1.2 x 0.6 m.
const (
	side     = 1.2
	deep     = 0.6
	holesM2  = 0.06
	areaM2   = side * side
	bedDepth = 6 * inch
	inch     = 0.0254
)

// bin is one painted box and what truly lives in it.
type bin struct {
	name   string
	number int
	slot   barn.Slot
	built  bool
	own    bed.Parameters
	runner *bed.Runner
	airOff float64 // of the air at this bin [C]
	heavy  float64 // how much is spread here against what is meant
	eye    dice
	box    bed.Box
	cover  string
	live   *living // nil when empty
	logger *logger
	beds   int     // how many it has held
	marked bool    // part of the story: the crew's habits leave it alone
	fixed  bool    // covers are not changed with the others
	carry  float64 // cocoons kept for the next bed
	helped int     // day when worms were added to it because it had few
}

// living is a bed.
type living struct {
	s      *bed.State
	since  int // day
	fed    int // day of the last feeding, -1 when never
	rest   int // day since when it is not fed because it is to be harvested, -1
	ripe   int // age in days at which the crew thinks of harvesting
	acts   []bed.Act
	last   bed.Day
	heatW  float64 // given to the air through top and sides, mean of the last day [W]
	vapour float64 // given to it over the last day [kg]
	seen   int     // day of the last look
	feeds  int
}

// logger is a probe that reads four times a day.
type logger struct {
	name   string
	depthM float64
	bias   float64
	dice   dice
	stuck  float64 // what it says while it sticks
	sticks bool
	dead   bool
	read   []point
}

type point struct {
	hour  int64
	tempC float64
}

// add puts an act into the day of a bed, in the order of hours.
func (b *bin) add(a bed.Act) {
	l := b.live
	i := len(l.acts)
	for i > 0 && l.acts[i-1].Hour > a.Hour {
		i--
	}
	l.acts = slices.Insert(l.acts, i, a)
}

// run lets the bed live to an hour.
func (b *bin) run(air climate.Series, to int64) error {
	l := b.live
	from := l.s.Hour
	money, err := b.runner.Run(b.box, l.s, air, to, l.acts, func(d bed.Day) {
		l.last = d
		if b.logger != nil && d.Hour%6 == 0 {
			b.logger.read = append(b.logger.read, point{d.Hour, tempAt(l.s, b.logger.depthM)})
		}
	})
	l.acts = l.acts[:0]
	if hours := float64(to - from); hours > 0 {
		l.heatW, l.vapour = (money.TopJ+money.SidesJ)/hours/3600, max(money.EvaporatedKg, 0)
	}
	return err
}

// tempAt gives the temperature at a depth below the surface, straight between
// the middles of the layers.
func tempAt(s *bed.State, depthM float64) float64 {
	at, lastAt, last := 0.0, 0.0, math.NaN()
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		if l.Dry() < 1e-4 {
			continue
		}
		mid := at + l.DepthM/2
		if mid >= depthM {
			if math.IsNaN(last) {
				return l.TempC
			}
			x := (depthM - lastAt) / (mid - lastAt)
			return last + x*(l.TempC-last)
		}
		at, lastAt, last = at+l.DepthM, mid, l.TempC
	}
	return last
}

// depthOf gives the depth of the bed [m].
func depthOf(s *bed.State) float64 {
	d := 0.0
	for i := range s.Layers {
		d += s.Layers[i].DepthM
	}
	return d
}

// wetOf gives the mass of the bed without its worms, whole bin [kg].
func wetOf(s *bed.State) float64 {
	m := 0.0
	for i := range s.Layers {
		l := &s.Layers[i]
		m += l.Dry() + l.Water + l.Ice
	}
	return m * areaM2
}

// signs are what a bed shows to somebody who opens it.
type signs struct {
	water, top, left, kgM2, oxygen, ammonia float64
	worked                                  float64
	deepM, woody                            float64
}

func (b *bin) signs() signs {
	s := b.live.s
	o := signs{oxygen: 0.2095, kgM2: s.Worms.LiveKg() / areaM2, deepM: depthOf(s), left: twin.LeftOfLast(s)}
	var below, water, wet, topWater, topWet, woody, cast, volatile float64
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		w := l.Water + l.Ice
		if below < 2*inch {
			topWater, topWet = topWater+w, topWet+w+l.Dry()
		}
		if below < o.deepM/3 {
			water, wet = water+w, wet+w+l.Dry()
		}
		if below < o.deepM/2 {
			o.oxygen = min(o.oxygen, l.Oxygen)
		}
		woody, cast, volatile = woody+l.Woody, cast+l.Cast, volatile+l.Volatile()
		below += l.DepthM
	}
	if wet > 0 {
		o.water = water / wet
	}
	if topWet > 0 {
		o.top = topWater / topWet
	}
	if volatile > 0 {
		o.woody = woody / volatile
		if eaten := volatile - woody; eaten > 0 {
			o.worked = cast / eaten
		}
	}
	for _, x := range b.runner.Profile(b.box, s) {
		o.ammonia = max(o.ammonia, x.Ammonia)
	}
	return o
}

// laid begins a bed of matter at an hour.
func (b *bin) laid(layers []bed.Laid, air climate.Hour, hour int64, day int) {
	air.TempC += b.airOff
	s := bed.Start(&b.own, b.box, layers, air, hour)
	s.Cover, _ = b.own.Cover(b.cover)
	b.live = &living{s: s, since: day, fed: -1, rest: -1, seen: -1}
	b.beds++
}

// spread lays feed.
func (b *bin) spread(perM3 feedstock.Matter, depthM, tempC float64, hour int64, layer uint64) {
	b.add(bed.Act{Hour: hour, Kind: bed.Feed, Matter: perM3.Times(depthM * areaM2), DepthM: depthM, TempC: tempC, Layer: layer})
}

// stock puts worms in.
func (b *bin) stock(kg, cocoons float64, hour int64) {
	b.add(bed.Act{Hour: hour, Kind: bed.Stock, Worms: worm.Stock{AdultKg: kg * 0.7, JuvenileKg: kg * 0.3, Cocoons: cocoons}})
}

// lay changes the cover.
func (b *bin) lay(cover string, hour int64) {
	b.cover = cover
	if b.live != nil {
		c, _ := b.own.Cover(cover)
		b.add(bed.Act{Hour: hour, Kind: bed.Covered, Cover: c})
	}
}

// stand works out what is under, over and beside every bin.
func (f *truth) stand() {
	at := map[barn.Slot]*bin{}
	for _, b := range f.bins {
		if b.built {
			at[b.slot] = b
		}
	}
	for _, b := range f.bins {
		b.box = bed.Box{LengthM: side, WidthM: side, DepthM: deep, HolesM2: holesM2, Under: bed.UnderFloor}
		if b.slot.Level > 1 {
			b.box.Under = bed.UnderBin
		}
		up := b.slot
		up.Level++
		b.box.Over = at[up] != nil
		for _, d := range []int{-1, 1} {
			by := b.slot
			by.Stack += d
			if at[by] != nil {
				b.box.Hidden += 0.25
			}
		}
	}
}

// top says whether nothing stands on a bin.
func (b *bin) top() bool { return !b.box.Over }
