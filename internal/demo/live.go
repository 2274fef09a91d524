package demo

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/twin"
	"wormyard/yard"
)

// truth is the farm as it really is, on one morning.
type truth struct {
	plan
	clock
	h       Habits
	eyes    twin.Parameters // where a hand or an eye divides one word from the next
	numbers nature.Numbers  // ours; those of the farm are in the bins and in heapsNature
	heapsOf yard.Parameters
	outside climate.Series
	houses  []*house
	bins    []*bin
	heaps   []*heap
	batches []*batch
	lots    []*lot
	joined  bool // lots, once
	sold    int  // sales of bags
	sources map[string]supplier

	day     int
	layer   uint64
	sheets  map[int][]line // by the day on which they are typed
	logged  []line         // read by loggers since the last time somebody fetched it
	use     []float64      // volume fed each day [m3]
	surplus float64        // worms in tubs, waiting for a bed [kg]
	untold  []Untold       // feedings that nobody wrote down
	crew    dice
	eye     dice
	pen     dice
	steps   dice // of the crew that works by the round
	shop    dice // of who comes and buys
	story   story
}

// house is one barn.
type house struct {
	name   string
	owners climate.Barn // as the owner tells it
	real   climate.Barn
	now    climate.Inside
	levels [][]climate.Hour // air by level, hours from start
	start  int64
	low    float64 // of the last day [C]
	high   float64
	heatW  float64 // of all bins, mean of the last day
	vapour float64 // [kg/s]
}

// levels is how many heights the air of a barn is followed at.
const levels = 4

// prepare makes the farm as it stands before the first morning.
func (p plan) prepare() (*truth, error) {
	f := &truth{plan: p, sheets: map[int][]line{}, sources: map[string]supplier{},
		crew: newDice(p.seed, "crew", 0), eye: newDice(p.seed, "eye", 0), pen: newDice(p.seed, "pen", 0), steps: newDice(p.seed, "round", 0), shop: newDice(p.seed, "shop", 0)}
	var err error
	if f.clock, err = newClock(p.days); err != nil {
		return nil, err
	}
	if err := source.Load("demo", &f.h); err != nil {
		return nil, err
	}
	if f.numbers, err = nature.Load(); err != nil {
		return nil, err
	}
	if err := source.Load("twin", &f.eyes); err != nil {
		return nil, err
	}
	if f.heapsOf, err = heapsOwn(f.numbers.Yard, f.h.TruthShare, newDice(p.seed, "yard", 0)); err != nil {
		return nil, err
	}
	from := f.morning(0) - 240
	if f.outside, err = weatherHere(&f.numbers.Climate, from, f.morning(p.days)+48, f.h, newDice(p.seed, "weather", 0)); err != nil {
		return nil, err
	}
	library, err := source.Library()
	if err != nil {
		return nil, err
	}
	for i, g := range goods {
		m, err := library.Find(g.material)
		if err != nil {
			return nil, err
		}
		f.sources[g.name] = newSupplier(m, f.h.MaterialShare, newDice(p.seed, "supplier", i))
	}
	if err := f.setBins(); err != nil {
		return nil, err
	}
	f.setHouses()
	f.story = f.tell()
	return f, nil
}

func (f *truth) setBins() error {
	list, err := knobs()
	if err != nil {
		return err
	}
	farm := others(f.numbers.Bed, list, f.h.TruthShare, newDice(f.seed, "farm", 0))
	for i, slot := range f.slots() {
		d := newDice(f.seed, "bin", i)
		b := &bin{name: fmt.Sprintf("B%d", i+1), number: i, slot: slot, own: others(farm, list, f.h.BinShare, d),
			airOff: d.norm(0, f.h.BinAirSD), heavy: d.off(f.h.BucketBinSD), eye: newDice(f.seed, "look", i)}
		b.runner = bed.NewRunner(&b.own)
		b.runner.Each = 6
		f.bins = append(f.bins, b)
	}
	// Loggers stand in every so manieth bin of the first barn.
	first := 0
	for _, b := range f.bins {
		if b.slot.Barn == firstBarn {
			first++
		}
	}
	for k := range f.loggers {
		b := f.bins[k*min(first, f.first)/f.loggers]
		d := newDice(f.seed, "logger", k)
		b.logger = &logger{name: fmt.Sprintf("L%02d", k+1), depthM: []float64{0.1, 0.15, 0.15, 0.2, 0.25}[k%5], bias: d.norm(0, f.h.LoggerBias), dice: d}
	}
	return nil
}

// setHouses makes the barns: as the owner measured them, and as they are.
func (f *truth) setHouses() {
	for _, name := range []string{firstBarn, secondBarn} {
		n := 0
		for _, b := range f.bins {
			if b.slot.Barn == name {
				n++
			}
		}
		floor := math.Max(60, float64(n)*3.4) // aisles included
		width := math.Round(math.Sqrt(floor / 1.8))
		length := math.Round(floor / width)
		const height = 3.8
		u := climate.Barn{Parts: []climate.Part{{U: 1.6, Area: 2 * (length + width) * height}, {U: 2, Area: length * width}},
			SlabWMK: 1.2, PerimeterM: 2 * (length + width), VolumeM3: length * width * height, AirChanges: 1.2}
		h := &house{name: name, owners: u, real: u, start: f.outside.Start, levels: make([][]climate.Hour, levels)}
		h.real.Parts = slices.Clone(u.Parts)
		for i := range h.real.Parts {
			h.real.Parts[i].U *= f.h.BarnLoss
		}
		h.real.AirChanges *= f.h.BarnChanges
		if name == secondBarn {
			h.real.AirChanges *= 1.15
		}
		first := f.outside.Hours[0]
		h.now = climate.Inside{TempC: first.TempC + 1, VapourKg: first.RH * climate.SaturationDensity(first.TempC)}
		f.houses = append(f.houses, h)
		f.breathe(h, f.outside.Start, f.morning(0))
	}
}

// In warm weather the doors stand open, which the owner does not tell.
const (
	doorsC    = 16.0 // [C]
	doorsOpen = 5.0  // air changes against those with the doors shut
)

// breathe follows the air of a barn from one hour to another, with the heat that
// its bins gave over the day before.
func (f *truth) breathe(h *house, from, to int64) {
	h.low, h.high = math.Inf(1), math.Inf(-1)
	for t := from; t < to; t++ {
		outside, now := f.outside.At(t), h.real
		if outside.TempC > doorsC {
			now.AirChanges *= doorsOpen
		}
		now.Step(&f.numbers.Climate, &h.now, outside, h.heatW, h.vapour, 3600)
		in := h.now.Hour()
		h.low, h.high = min(h.low, in.TempC), max(h.high, in.TempC)
		for l := range h.levels {
			h.levels[l] = append(h.levels[l], climate.AtLevel(&f.numbers.Climate, in, l+1))
		}
	}
}

// airOf gives the air around a bin for a day, in a buffer.
func (f *truth) airOf(b *bin, from, to int64, buffer []climate.Hour) climate.Series {
	h := f.houses[0]
	if b.slot.Barn == secondBarn {
		h = f.houses[1]
	}
	hours := h.levels[min(max(b.slot.Level, 1), levels)-1]
	buffer = buffer[:0]
	for t := from; t < to; t++ {
		x := hours[min(t-h.start, int64(len(hours))-1)]
		x.TempC += b.airOff
		buffer = append(buffer, x)
	}
	return climate.Series{Start: from, Hours: buffer}
}

// live lives the plan through. Out takes the sheets of a day as they are read in
// on its evening; the farm as it is on the last morning comes back.
func (p plan) live(ctx context.Context, out func(file) error, progress Progress) (*truth, error) {
	if progress == nil {
		progress = func(string, int, int) {}
	}
	f, err := p.prepare()
	if err != nil {
		return nil, err
	}
	for f.day = 0; f.day <= p.days; f.day++ {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		progress("living two years of Heron Slough", f.day, p.days)
		last := f.day == p.days
		if last {
			f.lastMorning()
		} else if err := f.work(); err != nil {
			return nil, fmt.Errorf("day %d: %w", f.day, err)
		}
		if err := f.hand(out, last); err != nil {
			return nil, err
		}
		if last {
			break
		}
		from, to := f.morning(f.day), f.morning(f.day+1)
		for _, h := range f.houses {
			f.breathe(h, from, to)
		}
		if err := f.night(from, to); err != nil {
			return nil, fmt.Errorf("day %d: %w", f.day, err)
		}
	}
	return f, nil
}

// night lets every bed and every pile live to the next morning.
func (f *truth) night(from, to int64) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	fail := make([]error, len(f.bins))
	for range max(1, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			buffer := make([]climate.Hour, 0, to-from)
			for {
				i := int(next.Add(1)) - 1
				if i >= len(f.bins) {
					return
				}
				if b := f.bins[i]; b.live != nil {
					fail[i] = b.run(f.airOf(b, from, to, buffer), to)
				}
			}
		})
	}
	for _, b := range f.batches {
		if b.left > 0 && f.day-b.day < 90 {
			f.age(b, to)
		}
	}
	for _, h := range f.heaps {
		if !h.gone {
			var money yard.Budget
			was := h.pile.Matter.Dry
			h.pile.Run(&f.heapsOf, f.outside, nil, to, &money)
			if was > 0 && !h.good.byMass { // a cubic metre of it weighs the same dry, whatever has rotted
				h.loose *= float64(h.pile.Matter.Dry / was)
			}
		}
	}
	wg.Wait()
	for i, err := range fail {
		if err != nil {
			return fmt.Errorf("bin %s: %w", f.bins[i].name, err)
		}
	}
	for _, h := range f.houses {
		h.heatW, h.vapour = 0, 0
		for _, b := range f.bins {
			if b.live != nil && b.slot.Barn == h.name {
				h.heatW += b.live.heatW
				h.vapour += b.live.vapour / 86400
			}
		}
	}
	for _, b := range f.bins {
		f.fetch(b)
	}
	return nil
}

// hand gives the sheets that are typed on this day.
func (f *truth) hand(out func(file) error, last bool) error {
	lines := f.sheets[f.day]
	delete(f.sheets, f.day)
	read := f.at(f.day, clockOf(18, 40))
	if last {
		read = Now().In(f.zone).Add(-3 * time.Minute)
	}
	if len(lines) > 0 {
		byTime(lines)
		data, err := table(lines, f.zone)
		if err != nil {
			return err
		}
		if err := out(file{fmt.Sprintf("day-%03d.csv", f.day), read, data}); err != nil {
			return err
		}
	}
	if f.weekday(f.day) == time.Monday && len(f.logged) > 0 && !last {
		data, err := table(f.logged, f.zone)
		if err != nil {
			return err
		}
		f.logged = nil
		return out(file{fmt.Sprintf("loggers-%03d.csv", f.day), f.at(f.day, clockOf(18, 50)), data})
	}
	return nil
}

// write puts a line on the sheet of the day, or of one of the next days when
// somebody forgot it in a pocket. What other lines rest on is there by today.
func (f *truth) write(l line) {
	day := f.day
	if l.device != "desk" && f.pen.chance(f.h.Late) {
		day += f.pen.whole(1, 2)
	}
	switch l.kind {
	case "blend", "receive", "build", "bed", "harvest", "move":
		day = min(day, max(f.day, f.days-1))
	}
	f.sheets[day] = append(f.sheets[day], l)
}

// writeNow puts a line on the sheet of the day itself.
func (f *truth) writeNow(lines ...line) { f.sheets[f.day] = append(f.sheets[f.day], lines...) }

// nextLayer gives the identity of a layer laid.
func (f *truth) nextLayer() uint64 {
	f.layer++
	return f.layer
}
