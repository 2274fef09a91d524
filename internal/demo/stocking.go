package demo

import (
	"fmt"
	"time"

	"wormyard/bed"
	"wormyard/climate"
)

// splits takes worms out of rich beds for new ones.
func (f *truth) splits() error {
	done := 0
	for _, b := range f.bins {
		if b.live == nil || b.marked || f.day-b.live.since < 45 || done == 2 {
			continue
		}
		kg := b.live.s.Worms.LiveKg()
		if kg*f.eye.off(0.12) < f.h.SplitKg {
			continue
		}
		to := f.emptyBin()
		if to == nil || f.idle() <= len(f.bins)/22 {
			return nil
		}
		part := f.crew.between(0.35, 0.5)
		taken := kg * part
		at := clockOf(13, 20) + 25*done
		if err := f.bedding([]*bin{to}, at, crew1); err != nil {
			return err
		}
		b.live.s.Worms = b.live.s.Worms.Times(1-part, 1-part*0.2)
		to.stock(taken*0.97, 0, hourOf(f.at(f.day, at+20)))
		f.write(entry("stock", crew1, f.at(f.day, at+20)).with("bins", to.name).with("kg", pounds(taken*f.crew.off(0.06), 0.5)).with("from_bin", b.name).with("note", f.note(0.2, "split", "scooped off the top")))
		done++
	}
	return nil
}

// idle is how many bins stand empty; the crew likes to have some at hand.
func (f *truth) idle() (n int) {
	for _, b := range f.bins {
		if b.built && b.live == nil {
			n++
		}
	}
	return n
}

func (f *truth) emptyBin() *bin {
	for _, b := range f.bins {
		if b.built && b.live == nil && !b.marked {
			return b
		}
	}
	return nil
}

// helpPoor gives worms out of the tubs to beds that have few. What is still left
// over goes to people who buy worms.
func (f *truth) helpPoor() {
	for k := 0; f.surplus > 3 && k < 4; k++ {
		b := f.poorBed(nil)
		if b == nil {
			break
		}
		kg := min(f.surplus, f.crew.between(1.5, 2.5))
		at := f.at(f.day, clockOf(15, 30)+8*k)
		f.surplus -= kg
		b.stock(kg, 0, hourOf(at))
		b.helped = f.day
		f.write(entry("stock", crew1, at).with("bins", b.name).with("kg", pounds(kg*f.crew.off(0.05), 0.5)).with("note", f.note(0.3, "few in it", "out of the tubs")))
	}
	f.surplus = min(f.surplus, 40)
}

// fillEmpty gives a bed to empty bins while there are worms in tubs for it.
func (f *truth) fillEmpty() error {
	for k := 0; f.surplus > 3 && k < 4; k++ {
		to := f.emptyBin()
		if to == nil || f.idle() <= len(f.bins)/22 {
			return nil
		}
		kg := min(f.surplus, f.crew.between(3.4, 4.6))
		at := clockOf(14, 40) + 12*k
		if err := f.bedding([]*bin{to}, at, crew2); err != nil {
			return err
		}
		f.surplus -= kg
		to.stock(kg, 0, hourOf(f.at(f.day, at+15)))
		f.write(entry("stock", crew2, f.at(f.day, at+15)).with("bins", to.name).with("kg", pounds(kg*f.crew.off(0.05), 0.5)).with("note", f.note(0.3, "from the harvest", "out of the tubs")))
	}
	return nil
}

// bedding lays starting beds, all in one line.
func (f *truth) bedding(list []*bin, minutes int, who string) error {
	mix := f.current(true)
	if mix == nil {
		mix = f.current(false)
	}
	if mix == nil {
		return fmt.Errorf("no bedding is left")
	}
	at := f.at(f.day, minutes)
	for _, b := range list {
		depth := bedDepth * f.crew.off(0.06)
		mix.left -= depth * areaM2
		if b.cover != "film" {
			b.cover = "cloth"
		}
		b.laid([]bed.Laid{{Matter: mix.perM3.Times(depth * areaM2), DepthM: depth, TempC: f.heapWarm(mix) - 4, Layer: f.nextLayer()}}, f.airNow(b, hourOf(at)), hourOf(at), f.day)
		b.live.ripe = f.crew.whole(115, 195)
	}
	f.write(entry("bed", who, at).with("bins", names(list)).with("batch", mix.name).with("depth_m", inches(bedDepth, 1)))
	return nil
}

// airNow guesses the air at a bin for the hours of this day, which the barns
// have not lived yet.
func (f *truth) airNow(b *bin, hour int64) climate.Hour {
	return f.airOf(b, hour-1, hour, nil).At(hour - 1)
}

// swaps has the truck bring low bins to the top of some stacks.
func (f *truth) swaps() {
	rows := f.rowsOf()
	done := map[string]bool{}
	for range max(1, f.stacks*2*f.rows/16) {
		row := rows[f.crew.IntN(len(rows))]
		stack := 1 + f.crew.IntN(f.stacks)
		if key := fmt.Sprint(row[0].slot.Row, "/", stack); done[key] {
			continue
		} else {
			done[key] = true
		}
		var low, high *bin
		for _, b := range row {
			if b.slot.Stack != stack {
				continue
			}
			if b.slot.Level == 1 {
				low = b
			}
			if high == nil || b.slot.Level > high.slot.Level {
				high = b
			}
		}
		if low == nil || high == nil || low == high || low.marked || high.marked || low.live == nil {
			continue
		}
		at := f.at(f.day, clockOf(10, 20)+f.crew.whole(0, 120))
		from, to := low.slot.String(), high.slot.String()
		low.slot, high.slot = high.slot, low.slot
		f.stand()
		who := f.crew.one(crew1, crew2)
		f.writeNow(
			entry("move", who, at).with("bin", low.name).with("from", from).with("to", to).with("note", f.note(0.1, "to look at it", "was long at the bottom")),
			entry("move", who, at.Add(time.Minute)).with("bin", high.name).with("from", to).with("to", from))
		if f.crew.chance(0.8) {
			f.look([]*bin{low}, who, at.Add(2*time.Minute))
		}
	}
}
