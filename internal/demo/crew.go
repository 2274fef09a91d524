package demo

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"wormyard/bed"
	"wormyard/climate"
)

// work is one working day: what the crew sees in the morning, does, and writes.
func (f *truth) work() error {
	if f.day == 0 {
		if err := f.firstMorning(); err != nil {
			return err
		}
	}
	f.use = append(f.use, 0)
	f.stand()
	f.barnGlass()
	f.foretold()
	if err := f.deliveries(); err != nil {
		return err
	}
	if f.day == 0 {
		return nil
	}
	if err := f.mixing(); err != nil {
		return err
	}
	f.tending()
	f.frost()
	f.carpentry()
	day := f.weekday(f.day)
	if day == time.Tuesday || day == time.Thursday {
		f.stabs(5)
	}
	switch day {
	case time.Tuesday, time.Friday:
		if err := f.feeding(day == time.Friday); err != nil {
			return err
		}
	case time.Monday, time.Wednesday, time.Thursday:
		if err := f.harvests(); err != nil {
			return err
		}
	}
	if day == time.Thursday {
		if err := f.splits(); err != nil {
			return err
		}
		f.swaps()
	}
	if day != time.Sunday {
		if err := f.fillEmpty(); err != nil {
			return err
		}
		f.helpPoor()
		f.measures()
		f.sightings()
		f.lotWork()
		f.papers()
	}
	f.slips()
	return f.story.happen(f)
}

// firstMorning is a Sunday at the kitchen table: what the owner types about the
// farm as it stands.
func (f *truth) firstMorning() error {
	typing := clockOf(7, 15)
	next := func(kind string) line {
		typing++
		return entry(kind, owner, f.at(0, typing))
	}
	set := func(key string, value any) { f.write(next("setting").with("key", key).with("value", asJSON(value))) }
	set(keyEdition, Edition)
	set("farm", "Heron Slough")
	set("zone", Zone)
	set("units", "us")
	set("site", map[string]any{"place": "a lowland by the coast, wet and mild in winter", "source": "seattle-daily", "altitude_m": 6})
	set("habits", map[string]any{"feed_depth_m": 0.0381, "feed_every_days": 6, "visit_days": 7, "bedding_depth_m": bedDepth, "water_kg": 9.5})
	for _, who := range []string{owner, crew1, crew2} {
		set("person/"+who, map[string]any{"role": who})
	}
	for i, h := range f.houses {
		var parts []map[string]any
		for k, what := range []string{"walls", "roof"} {
			parts = append(parts, map[string]any{"what": what, "u_w_m2k": h.owners.Parts[k].U, "area_m2": math.Round(h.owners.Parts[k].Area)})
		}
		per := h.owners.PerimeterM / 2
		width := math.Round(math.Sqrt(h.owners.VolumeM3 / 3.8 / 1.8))
		var rows []map[string]any
		for r := range f.rows {
			rows = append(rows, map[string]any{"name": fmt.Sprint(i*f.rows + r + 1), "stacks": f.stacks, "high": stackHigh})
		}
		set("barn/"+h.name, map[string]any{"length_m": math.Round(per - width), "width_m": width, "height_m": 3.8, "parts": parts,
			"slab_w_mk": h.owners.SlabWMK, "volume_m3": math.Round(h.owners.VolumeM3), "air_changes_per_h": h.owners.AirChanges, "doors": "two sliding doors", "rows": rows})
	}
	f.build(f.bins[:min(f.built, len(f.bins))], next("build").at, owner)
	typing += f.built/10 + 1
	f.stand()
	// The beds that were there: typed as the owner remembers them, by the stack.
	group := f.bins[:min(f.first, len(f.bins))]
	source := f.sources["solids"]
	for len(group) > 0 {
		n := min(f.crew.whole(2, 4), len(group))
		at := next("bed").at
		age, fed := f.crew.between(20, 190), f.crew.whole(1, 6)
		if group[0].number == 0 {
			age = 180 // one is about to be harvested
		}
		told := step(age, 10) + 10
		depth := 0.16 + 0.0011*age + f.crew.between(0, 0.05)
		kg := step(f.crew.about(f.worms, 0.35)/0.45359237, 1)
		for _, b := range group[:n] {
			m, err := source.load(areaM2*depth, 0, f.h.LoadShare, f.crew)
			if err != nil {
				return err
			}
			top, err := source.load(areaM2*1.5*inch, 0, f.h.LoadShare, f.crew)
			if err != nil {
				return err
			}
			b.cover = "cloth"
			hour := f.morning(0)
			b.laid([]bed.Laid{
				{Matter: m, DepthM: depth, TempC: math.NaN(), AgeDays: f.crew.about(age, 0.3), Castings: -1, Layer: f.nextLayer()},
				{Matter: top, DepthM: 1.5 * inch, TempC: math.NaN(), AgeDays: float64(fed), Layer: f.nextLayer(), Feed: true},
			}, f.houses[0].now.Hour(), hour, -int(age))
			b.live.fed = -fed
			b.live.ripe = f.crew.whole(115, 195)
			if age > 150 {
				b.live.rest = 0 // it is to be harvested soon
			}
			b.stock(kg*0.45359237*f.crew.off(0.25), kg*250, hour)
		}
		f.write(entry("bed", owner, at).with("bins", names(group[:n])).with("material", "dairy solids, separated").with("depth_m", inches(depth+1.5*inch, 1)).
			with("age_days", rounded(told, 1)).with("age_low_days", rounded(told*0.6, 1)).with("age_high_days", rounded(told*1.6, 1)).
			with("last_feed_days", fmt.Sprint(fed)).with("last_feed_depth_m", "1.5 in"))
		f.write(next("stock").with("bins", names(group[:n])).with("kg", rounded(kg, 1)+" lb").with("kg_low", rounded(kg*0.5, 1)+" lb").with("kg_high", rounded(kg*1.8, 1)+" lb").
			with("note", f.note(0.3, "guess by eye", "as last counted, more or less")))
		group = group[n:]
	}
	return nil
}

// build puts up bins, some in one line.
func (f *truth) build(list []*bin, at time.Time, who string) {
	for len(list) > 0 {
		n := min(10, len(list))
		slots := make([]string, n)
		for i, b := range list[:n] {
			b.built, b.cover = true, "cloth"
			slots[i] = b.slot.String()
		}
		f.write(entry("build", who, at).with("bins", names(list[:n])).with("length_m", number(side)).with("width_m", number(side)).with("depth_m", number(deep)).
			with("wall", "1 in cedar").with("liner", "landscape cloth").with("holes_m2", number(holesM2)).with("cover", "cloth").with("slots", strings.Join(slots, ", ")))
		at = at.Add(time.Minute)
		list = list[n:]
	}
}

// carpentry adds bins on Saturdays until all stand, and mends some.
func (f *truth) carpentry() {
	if f.weekday(f.day) != time.Saturday {
		return
	}
	var missing []*bin
	standing := 0
	for _, b := range f.bins {
		if b.built {
			standing++
		} else {
			missing = append(missing, b)
		}
	}
	want := f.built + int(float64(len(f.bins)-f.built)*math.Min(1, float64(f.day)/(float64(f.days)*0.75)))
	if n := min(want-standing, len(missing)); n >= 3 || n > 0 && n == len(missing) {
		f.build(missing[:n], f.at(f.day, clockOf(14, 30)), crew2)
		f.stand()
	}
	if f.crew.chance(0.12) {
		b := f.bins[f.crew.IntN(standing)]
		if b.built {
			f.write(entry("build", crew2, f.at(f.day, clockOf(11, 20))).with("bins", b.name).with("state", "repaired").
				with("note", f.crew.one("new corner post", "bottom board was soft, replaced", "liner torn, patched", "screws in one side")))
		}
	}
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

// coldest gives the least true temperature outside over some hours from now on.
func (f *truth) coldest(hours int) float64 {
	low := math.Inf(1)
	for t := range int64(hours) {
		low = min(low, f.outside.At(f.morning(f.day)+t).TempC)
	}
	return low
}

// foretold is the outlook that the owner types: today and the next two days.
func (f *truth) foretold() {
	winter := f.season(f.day) < 0.2 || f.season(f.day) > 0.83
	today := f.day == f.days
	if !today && !(winter && (f.weekday(f.day) == time.Monday || f.weekday(f.day) == time.Thursday)) {
		return
	}
	for k := range 3 {
		from := f.at(f.day+k, 0)
		low, high := math.Inf(1), math.Inf(-1)
		for t := range int64(24) {
			x := f.outside.At(hourOf(from) + t).TempC
			low, high = min(low, x), max(high, x)
		}
		sd := f.h.OutlookSD * math.Sqrt(0.6+0.4*float64(k))
		low, high = low+f.eye.norm(0, sd), high+f.eye.norm(0, sd)
		l := entry("site", owner, f.at(f.day, clockOf(7, 20)+k)).with("place", "outside").with("outlook", "yes").
			with("low_c", fahrenheit(min(low, high-1), 1)).with("high_c", fahrenheit(high, 1)).with("day", from.Format(time.DateOnly))
		f.writeNow(l)
	}
}

// frost covers beds with film before a hard frost and takes it off after.
func (f *truth) frost() {
	cold := f.coldest(40)
	film := false
	for _, b := range f.bins {
		film = film || b.live != nil && b.cover == "film" && !b.fixed
	}
	cover := ""
	if !film && cold+f.eye.norm(0, 1) < -3 {
		cover = "film"
	} else if film && f.coldest(72)+f.eye.norm(0, 1) > -1 {
		cover = "cloth"
	}
	if cover == "" {
		return
	}
	for i, row := range f.rowsOf() {
		var list []*bin
		for _, b := range row {
			if b.live != nil && !b.fixed && b.cover != cover {
				list = append(list, b)
				b.lay(cover, hourOf(f.at(f.day, clockOf(15, 0))))
			}
		}
		if len(list) == 0 || f.pen.chance(0.08) {
			continue
		}
		f.write(entry("cover", pick(i%2 == 0, crew1, crew2), f.at(f.day, clockOf(15, 4)+i*5)).with("bins", names(list)).with("cover", cover).
			with("note", pick(i == 0, pick(cover == "film", "hard frost coming", "frost is over"), "")))
	}
	for i, h := range f.houses {
		if cover == "film" && cold < -4.5 && h.real.HeaterW == 0 {
			h.real.HeaterW, h.real.HeaterSetC = 9000, 4
			f.write(entry("heat", owner, f.at(f.day, clockOf(16, 30)+4*i)).with("barn", h.name).with("watts", "9000").with("set_c", "39 F").with("on", "yes").with("note", "fan heaters by the doors"))
		} else if cover == "cloth" && h.real.HeaterW > 0 {
			h.real.HeaterW = 0
			f.write(entry("heat", owner, f.at(f.day, clockOf(16, 10)+4*i)).with("barn", h.name).with("on", "no"))
		}
	}
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// note gives one of some notes with a chance, else none.
func (f *truth) note(chance float64, words ...string) string {
	if !f.pen.chance(chance) {
		return ""
	}
	return f.pen.one(words...)
}

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
		for len(row) > 0 {
			stacks := f.crew.whole(1, 2)
			n, first := 0, row[0].slot.Stack
			for n < len(row) && row[n].slot.Stack < first+stacks {
				n++
			}
			var list []deed
			for _, b := range row[:n] {
				opened := (b.slot.Stack%2 == 0) == friday && f.crew.chance(0.93)
				if b.live == nil || b.marked || !opened && !b.top() {
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
