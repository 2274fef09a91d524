package fraternal

import (
	"math"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// degree is one degree Fahrenheit [C].
const degree = 5.0 / 9

// Stab reads a dial thermometer in a bed: three degrees Fahrenheit off as a rule,
// in part always to the same side, told to the whole degree, deep to the inch.
func (f *Farm) Stab(name, who string, minute int) {
	b := f.bin(name)
	deep := []float64{3, 4, 5, 6, 8}[f.eye.IntN(5)]
	deep = min(deep, math.Floor(b.deep()/inch))
	if deep < 1 {
		return
	}
	bias, dial := 1.4*degree, "dial 1"
	if who == crew2 {
		bias, dial = -1.2*degree, "dial 2"
	}
	t := b.tempAt((deep+f.eye.about(0, 0.35))*inch) + bias + f.eye.about(0, 2.7*degree)
	f.Tally.Minutes++
	f.write("reading", who, f.at(minute), &journal.Reading{Bin: name, TempC: celsius(t), DepthM: ptr(qty.Metre(inches(deep*inch, 1))), Probe: "dial", ProbeID: dial}, how{})
}

// Look opens a bed and writes down what hand and eye find.
func (f *Farm) Look(name, who string, minute int) {
	f.Tally.Minutes += 3
	f.look(f.bin(name), who, minute)
}

// Seen gives what a person would tell of a bed, of everything there is to tell.
func (f *Farm) Seen(name, who string) journal.Look {
	b := f.bin(name)
	word := func(v float64, words []string, bounds ...float64) string {
		i := 0
		for i < len(bounds) && v >= bounds[i] {
			i++
		}
		return words[i]
	}
	var l journal.Look
	lean := hears(who)
	l.Squeeze = word(b.topWet()+lean+f.eye.about(0, 0.03), []string{"dry", "crumbly", "few drops", "drips", "runs"}, 0.57, 0.67, 0.77, 0.83)
	if b.fedKg > 0 {
		l.FeedLeft = word(b.left_()+4*lean+f.eye.about(0, 0.14), []string{"gone", "some", "most"}, 0.25, 0.68)
	}
	l.Worms = word(b.worms.live()/area*(1+4*lean)*f.eye.times(0.35), []string{"few", "usual", "many"}, 2.8, 7.5)
	l.Smell = "earth"
	if o := b.leastOxygen() * f.eye.times(0.4); o < 0.006 {
		l.Smell = "rotten"
	} else if o < 0.015 {
		l.Smell = "sour"
	}
	l.Where = "spread"
	if b.tempAt(1.5*inch) < 4 {
		l.Where = "bottom"
	}
	return l
}

func (b *bin) leastOxygen() float64 {
	least := 1.0
	for i := range b.rows {
		least = min(least, b.rows[i].oxygen)
	}
	return least
}

func (f *Farm) look(b *bin, who string, minute int) {
	all := f.Seen(b.name, who)
	l := &journal.Look{Bins: []string{b.name}, Squeeze: all.Squeeze}
	if f.pen.chance(0.85) {
		l.FeedLeft = all.FeedLeft
	}
	if f.pen.chance(0.7) {
		l.Worms = all.Worms
	}
	if all.Smell != "earth" || f.pen.chance(0.3) {
		l.Smell = all.Smell
	}
	if f.pen.chance(0.3) {
		l.Where = all.Where
	}
	b.seen = f.Day
	f.write("look", who, f.at(minute), l, how{})
}

// counts are worm counts of a square foot, as many of each bin in a quarter as
// the plan says, at its edge of rows where it is reached.
func (f *Farm) counts() {
	if f.Counts <= 0 {
		return
	}
	every := max(1, 91/f.Counts)
	for i, b := range f.bins {
		if b.rows == nil || (f.Day+i*17)%every != 0 {
			continue
		}
		const foot = 0.09290304
		part := foot / area * f.eye.times(0.22)
		var grown, young float64
		for _, c := range b.worms.cohorts {
			if c.g >= grownG && c.lived >= grownAge {
				grown += c.n
			} else {
				young += c.n
			}
		}
		f.Tally.Minutes += 20
		f.write("count", owner, f.at(10*60+10), &journal.Count{Bin: b.name, AreaM2: ptr(qty.SquareMetre(foot)), Adults: ptr(f.eye.count(grown * part * 0.95)), Juveniles: ptr(f.eye.count(young * part * 0.7)),
			Cocoons: ptr(f.eye.count(b.worms.eggs() * part * 0.5)), WormsKg: ptr(qty.LiveKg(max(0.001, math.Round(b.worms.live()*part*0.92*1000)/1000)))}, how{})
	}
}

// Glass writes down lows and highs, outside and in the barn, on days on which
// somebody does, and in the cold what is foretold.
func (f *Farm) Glass() {
	out, in := 0.5, 0.4
	if f.Kind == Rich {
		out, in = 0.9, 0.85
	}
	yesterday := f.at(720).AddDate(0, 0, -1).Format(time.DateOnly)
	low, high := f.sky.day(f, f.Day-1)
	put := func(chance float64, place string, low, high float64) {
		if !f.pen.chance(chance) {
			return
		}
		low += f.eye.about(0, 0.5)
		high = max(low, high+f.eye.about(0.2, 0.5))
		f.write("site", f.pen.one(owner, crew1), f.at(8*60+2), &journal.Site{Place: place, LowC: celsius(low), HighC: celsius(high), Day: yesterday}, how{exact: true})
	}
	put(out, "outside", low, high)
	put(in, "barn "+f.barn.name, f.barn.lowC, f.barn.highC)
	f.barn.lowC, f.barn.highC = math.Inf(1), math.Inf(-1)
	winter := f.at(720).YearDay() < 75 || f.at(720).YearDay() > 300
	if day := f.weekday(); f.Kind == Rich || winter && (day == time.Monday || day == time.Thursday) {
		for k := range 3 {
			low, high := f.sky.day(f, f.Day+k)
			sd := 1.3 + 0.3*float64(k)
			low, high = low+f.eye.about(0, sd), high+f.eye.about(0, sd)
			f.write("site", owner, f.at(7*60+20+k), &journal.Site{Place: "outside", LowC: celsius(min(low, high-1)), HighC: celsius(high), Outlook: true, Day: f.at(720).AddDate(0, 0, k).Format(time.DateOnly)}, how{exact: true})
		}
	}
}

// logger is a probe left in a bed. Each drifts; some stick, some fall silent.
type logger struct {
	name   string
	deep   float64
	bias   float64
	drift  float64 // [C/day]
	sticks [2]int  // days between which it says what it said
	silent [2]int
	last   float64
	dice   dice
}

func newLogger(f *Farm, i int) *logger {
	d := newDice(f.Seed, "logger"+string(rune('a'+i)))
	g := &logger{name: "L" + string(rune('A'+i%26)) + string(rune('a'+i/26)), deep: []float64{4, 6, 8}[i%3] * inch, bias: d.about(0, 0.3), drift: d.about(0, 0.0012), dice: d, sticks: [2]int{-1, -1}, silent: [2]int{-1, -1}}
	if d.chance(0.3) {
		s := d.IntN(max(1, f.Days))
		g.sticks = [2]int{s, s + 3 + d.IntN(20)}
	}
	if d.chance(0.5) {
		s := d.IntN(max(1, f.Days))
		g.silent = [2]int{s, s + 2 + d.IntN(25)}
	}
	return g
}

// read writes down what a logger says, four times a day.
func (g *logger) read(f *Farm, b *bin, t int64) {
	if f.Day >= g.silent[0] && f.Day < g.silent[1] || g.dice.chance(0.004) {
		return
	}
	deep := min(g.deep, b.deep()*0.9)
	if f.Day < g.sticks[0] || f.Day >= g.sticks[1] {
		g.last = b.tempAt(deep) + g.bias + g.drift*float64(f.Day) + g.dice.about(0, 0.15)
	}
	c := g.last
	if g.dice.chance(0.0005) { // a spike
		c += 25
	}
	at := time.Unix(t*3600, 0)
	f.write("reading", owner, at, &journal.Reading{Bin: b.name, TempC: ptr(qty.Celsius(math.Round(c*10) / 10)), DepthM: ptr(qty.Metre(math.Round(deep*100) / 100)), Probe: "logger", ProbeID: g.name}, how{exact: true})
}
