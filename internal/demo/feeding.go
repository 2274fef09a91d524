package demo

import (
	"math"
	"slices"

	"wormyard/bed"
)

// rowsOf gives the bins that stand, row by row, stack by stack from the floor up.
func (f *truth) rowsOf() [][]*bin {
	var list []*bin
	for _, b := range f.bins {
		if b.built {
			list = append(list, b)
		}
	}
	slices.SortFunc(list, func(a, b *bin) int { return a.slot.Compare(b.slot) })
	var out [][]*bin
	for _, b := range list {
		if n := len(out); n == 0 || out[n-1][0].slot.Row != b.slot.Row {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], b)
	}
	return out
}

// deed is what the crew does at one bin on a feeding day.
type deed struct {
	b       *bin
	inches  float64
	gallons float64
	seen    signs
}

// feeding is a Tuesday or a Friday: row by row, stack by stack. The truck opens
// half of the stacks; elsewhere only the top bin is reached.
func (f *truth) feeding(friday bool) error {
	minute := map[string]int{firstBarn: clockOf(8, 20), secondBarn: clockOf(8, 25)}
	for _, row := range f.rowsOf() {
		barn := row[0].slot.Barn
		who := pick(barn == firstBarn, crew1, crew2)
		if f.crew.chance(0.06) {
			who = owner
		}
		var missed []*bin
		for len(row) > 0 {
			stacks := f.crew.whole(1, 2)
			n, first := 0, row[0].slot.Stack
			for n < len(row) && row[n].slot.Stack < first+stacks {
				n++
			}
			var list []deed
			for _, b := range row[:n] {
				turn := (b.slot.Stack%2 == 0) == friday
				opened := turn && f.crew.chance(0.93)
				if b.live == nil || b.marked || !opened && !b.top() {
					if turn && !opened && b.live != nil && !b.marked {
						missed = append(missed, b)
					}
					continue
				}
				list = append(list, f.decide(b, opened))
				if f.crew.chance(pickF(opened && !b.top(), 0.17, 0.05)) {
					f.look([]*bin{b}, who, f.at(f.day, minute[barn]))
				}
				if f.crew.chance(pickF(opened, 0.07, 0.01)) {
					f.write(entry("depth", who, f.at(f.day, minute[barn]+1)).with("bins", b.name).with("depth_m", inches(max(depthOf(b.live.s)+f.eye.norm(0, 0.5*inch), inch), pickF(f.eye.chance(0.5), 1, 0.5))))
				}
				minute[barn] += 2
			}
			if err := f.give(list, who, minute[barn]); err != nil {
				return err
			}
			minute[barn] += 3
			row = row[n:]
		}
		f.leave(missed, who, f.at(f.day, minute[barn]+2))
		minute[barn] += 6
	}
	return nil
}

func pickF(first bool, a, b float64) float64 {
	if first {
		return a
	}
	return b
}

// decide looks at what is left, how warm and how wet the bed is, and settles
// what it gets.
func (f *truth) decide(b *bin, opened bool) deed {
	l, s := b.live, b.signs()
	d := deed{b: b, seen: s}
	left := s.left + f.eye.norm(0, f.h.EyeSD)
	warm := tempAt(l.s, s.deepM/3) + f.eye.norm(0, 1.5)
	age := f.day - l.since
	if ripe := age > l.ripe && s.worked > 0.7 && warm > 8 || s.deepM > f.h.FullM && age > 90; ripe && l.rest < 0 && f.resting() < max(2, f.bedded()/8) {
		l.rest = f.day
	}
	base := 1.5
	switch {
	case warm > 30:
		base = 0
	case warm > 27:
		base = 0.5
	case warm < 8:
		base = 0.5
	case warm < 15:
		base = 1
	}
	if s.kgM2*f.eye.off(0.3) < 2 {
		base *= 0.6
	}
	if !opened || b.top() && l.fed == f.day-3 { // it is reached again in half a week
		base *= 0.65
	}
	switch {
	case left > 0.85 && f.day-l.fed < 11:
		base = 0
	case left > 0.85: // by habit, cold or not
		base = 0.5
	case left > 0.6:
		base /= 2
	}
	if l.rest >= 0 || s.deepM > f.h.FullM || age < 5 || f.crew.chance(0.06) {
		base = 0
	}
	d.inches = step(base, 0.5)
	if room := (deep - s.deepM) / inch; d.inches > room {
		d.inches = math.Floor(room*2) / 2
	}
	if moist := s.top + f.eye.norm(0, f.h.HandSD); moist < 0.66 {
		d.gallons = 2
		if moist < 0.62 {
			d.gallons = 3
		}
	}
	if s.water > 0.76 {
		d.gallons = 0
	}
	return d
}

// resting is how many beds wait for their harvest.
func (f *truth) resting() (n int) {
	for _, b := range f.bins {
		if b.live != nil && b.live.rest >= 0 {
			n++
		}
	}
	return n
}

// give does the deeds at some stacks and writes them down, alike ones in one line.
func (f *truth) give(list []deed, who string, minutes int) error {
	forgotten := f.pen.chance(f.h.Unwritten * 0.75)
	missed := 1 - (1-f.h.Unwritten)/(1-f.h.Unwritten*0.75) // bins left out of a line
	var wetted []deed
	type alike struct {
		inches float64
		bins   []*bin
	}
	var lines []alike
	for _, d := range list {
		if d.gallons > 0 {
			wetted = append(wetted, d)
		}
		if d.inches <= 0 {
			continue
		}
		i := slices.IndexFunc(lines, func(a alike) bool { return a.inches == d.inches })
		if i < 0 {
			lines = append(lines, alike{inches: d.inches})
			i = len(lines) - 1
		}
		lines[i].bins = append(lines[i].bins, d.b)
	}
	for k, a := range lines {
		mix := f.current(false)
		if mix == nil {
			var err error
			if mix, err = f.mix("feed", step(max(1.5, f.weekly()), 0.5), minutes-10); err != nil {
				return err
			}
		}
		at := f.at(f.day, minutes+k)
		var told []*bin
		meant := 0.0
		for _, b := range a.bins {
			depth := a.inches * inch * b.heavy * f.crew.off(f.h.BucketSD)
			f.feed(b, mix, depth, hourOf(at), f.heapWarm(mix))
			meant += depth
			if !f.pen.chance(missed) {
				told = append(told, b)
			}
			if forgotten || len(told) == 0 || told[len(told)-1] != b {
				f.untold = append(f.untold, Untold{Bin: b.name, At: at, DepthM: depth, Batch: mix.name})
			}
		}
		if forgotten || len(told) == 0 {
			continue
		}
		l := entry("feed", who, at).with("bins", names(told)).with("batch", mix.name)
		if f.pen.chance(0.03) {
			l = l.with("mass_kg_wet", pounds(meant/float64(len(a.bins))*areaM2*float64(mix.perM3.Wet())*f.eye.off(0.05), 5))
		} else {
			l = l.with("depth_m", rounded(a.inches, 0.5)+" in")
		}
		f.write(l.with("note", f.note(0.03, feedNotes...)))
	}
	for k, d := range wetted {
		f.crewWaters(d, who, minutes+k)
	}
	if len(wetted) == 0 {
		return nil
	}
	byGallons := map[float64][]*bin{}
	for _, d := range wetted {
		byGallons[d.gallons] = append(byGallons[d.gallons], d.b)
	}
	for _, g := range []float64{2, 3} {
		if len(byGallons[g]) > 0 && !f.pen.chance(0.15) {
			f.write(entry("water", who, f.at(f.day, minutes+1)).with("bins", names(byGallons[g])).with("kg", rounded(g, 1)+" gal").with("note", f.note(0.02, "top was dry", "dry under the cloth")))
		}
	}
	return nil
}

func (f *truth) crewWaters(d deed, who string, minutes int) {
	d.b.add(bed.Act{Hour: hourOf(f.at(f.day, minutes)), Kind: bed.Water, WaterKg: d.gallons * 3.785 * f.crew.off(0.2), TempC: 10})
}

// feed lays feed in a bin out of a batch.
func (f *truth) feed(b *bin, mix *batch, depth float64, hour int64, tempC float64) {
	volume := depth * areaM2
	mix.left -= volume
	f.use[len(f.use)-1] += volume
	b.spread(mix.perM3, depth, tempC, hour, f.nextLayer())
	b.live.fed = f.day
	b.live.feeds++
}

// heapWarm gives how warm a batch is when it is laid: a fresh heap warms itself.
func (f *truth) heapWarm(mix *batch) float64 {
	mean := 0.0
	for t := range int64(24) {
		mean += f.outside.At(f.morning(f.day)-t).TempC / 24
	}
	age := float64(f.day - mix.day)
	return max(mean, 2) + 14*age/3*math.Exp(1-age/3)*math.Exp(-age/12)
}
