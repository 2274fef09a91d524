package proof

import (
	"math"
	"time"

	"wormyard/bed"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// crew is what the people of an identical twin do, see and write on a day.
func (m *maker) crew(day int, at int64, acts [][]bed.Act) {
	switch m.week(day) {
	case time.Tuesday, time.Friday:
		m.feeding(day, at, acts, m.week(day) == time.Friday)
	case time.Wednesday:
		m.harvests(day, at, acts)
	case time.Saturday:
		if m.Counts {
			m.count(day)
		}
	}
	if w := m.week(day); w == time.Tuesday || w == time.Thursday {
		m.stabs(day)
	}
	m.frost(day, at, acts)
}

// feeding opens half of the stacks with the truck; elsewhere nothing is done.
func (m *maker) feeding(day int, at int64, acts [][]bed.Act, friday bool) {
	unwritten, looks := unwrittenPoor, looksEach
	if m.Rich {
		unwritten = unwrittenRich
	}
	minute := 10
	for i, b := range m.boxes {
		if (b.stack%2 == 0) != friday || m.chance(0.05) {
			continue
		}
		minute++
		deep := depthOf(b.s)
		left := twin.LeftOfLast(b.s) + m.norm(0.15)
		want := 1.75 * b.habit
		switch mid := Middle(b.s) + m.norm(2); {
		case mid > 30:
			want = 0
		case mid > 26:
			want = 1
		case mid < 8:
			want *= 0.4
		case mid < 14:
			want *= 0.7
		}
		if left > 0.8 {
			want = 0
		} else if left > 0.5 {
			want *= 0.6
		}
		if want = math.Round(want*2) / 2; deep+want*inch > boxDepth-0.02 {
			want = 0
		}
		if looks > 0 && m.chance(0.25) {
			looks--
			m.look(day, minute, b)
		}
		if m.chance(0.08) {
			m.write(day, minute, "depth", &journal.Depth{Bins: []string{b.name}, DepthM: *inches(max(deep+m.norm(0.5*inch), inch), 1)})
		}
		if want > 0 {
			real := want * inch * b.heavy * m.about(0.15)
			acts[i] = append(acts[i], bed.Act{Hour: at, Kind: bed.Feed, Matter: m.perM3.Times(real * side * side), DepthM: real, TempC: math.NaN(), Layer: uint64(day)<<16 | uint64(i)})
			if !m.chance(unwritten) {
				told := minute
				if m.chance(0.03) { // the hour is wrong
					told += 60 * (m.r.IntN(7) - 3)
				}
				m.write(day, told, "feed", &journal.Feed{Bins: []string{b.name}, Batch: m.batch, DepthM: inches(want*inch, 0.5)})
			}
		}
		if top := twin.TopWater(b.s) + m.norm(0.03); top < 0.66 {
			acts[i] = append(acts[i], bed.Act{Hour: at, Kind: bed.Water, WaterKg: 9.5 * m.about(0.2), TempC: 10})
			if !m.chance(unwritten / 2) {
				m.write(day, minute, "water", &journal.Water{Bins: []string{b.name}, Kg: 9.5})
			}
		}
	}
}

func depthOf(s *bed.State) float64 {
	d := 0.0
	for i := range s.Layers {
		d += s.Layers[i].DepthM
	}
	return d
}

// look is what hand, eye and nose find.
func (m *maker) look(day, minute int, b *box) {
	e := &m.eyes
	l := &journal.Look{Bins: []string{b.name}}
	class := func(v float64, words []string, bounds ...float64) string {
		i := 0
		for i < len(bounds) && v >= bounds[i] {
			i++
		}
		return words[i]
	}
	var deep, w, all float64
	whole := depthOf(b.s)
	for i := len(b.s.Layers) - 1; i >= 0 && deep < whole/3; i-- {
		x := &b.s.Layers[i]
		w, all, deep = w+x.Water+x.Ice, all+x.Water+x.Ice+x.Dry(), deep+x.DepthM
	}
	l.Squeeze = class(w/all+m.norm(0.035), []string{"dry", "crumbly", "few drops", "drips", "runs"}, e.SqueezeDry, e.SqueezeCrumb, e.SqueezeDrops, e.SqueezeDrips)
	if m.chance(0.85) {
		l.FeedLeft = class(twin.LeftOfLast(b.s)+m.norm(0.15), []string{"gone", "some", "most"}, e.FeedGone, e.FeedSome)
	}
	if m.chance(0.7) {
		l.Worms = class(b.s.Worms.LiveKg()/(side*side)*m.about(0.4), []string{"few", "usual", "many"}, e.WormsFew, e.WormsMany)
	}
	m.write(day, minute, "look", l)
}

// harvests take the lowest six inches of beds that are nearly full.
func (m *maker) harvests(day int, at int64, acts [][]bed.Act) {
	minute := 20
	for i, b := range m.boxes {
		if deep := depthOf(b.s); deep > 0.46 {
			const out = 6 * inch
			acts[i] = append(acts[i], bed.Act{Hour: at, Kind: bed.Take, DepthM: out, From: bed.FromBottom})
			told := qty.CubicMetre(out * side * side * m.about(0.08))
			m.write(day, minute, "harvest", &journal.Harvest{Bins: []string{b.name}, VolumeM3: &told, How: "screening"})
			minute++
		}
	}
}

// stabs is a walk with a dial thermometer among the bins that can be reached.
func (m *maker) stabs(day int) {
	who := m.r.IntN(2)
	if m.Loggers != 0 {
		return
	}
	for k := range stabsEach {
		b := m.boxes[m.r.IntN(len(m.boxes))]
		for !b.top && !m.chance(0.3) {
			b = m.boxes[m.r.IntN(len(m.boxes))]
		}
		deep := min([]float64{4, 5, 6, 8}[m.r.IntN(4)], math.Floor(depthOf(b.s)/inch))
		t := twin.TempAt(b.s, deep*inch) + m.dialsOff[who] + m.norm(math.Sqrt(dialSD*dialSD-0.8*0.8))
		m.write(day, 100+4*k, "reading", &journal.Reading{Bin: b.name, TempC: fahrenheit(t), DepthM: inches(deep*inch, 1), Probe: "dial", ProbeID: []string{"dial 1", "dial 2"}[who]})
	}
}

// count takes a square foot of a thirteenth of the bins, so that each has its turn
// once in a quarter.
func (m *maker) count(day int) {
	const foot = 0.09290304
	for i, b := range m.boxes {
		if i%13 != day/7%13 {
			continue
		}
		w := b.s.Worms
		share := foot / (side * side) * m.about(0.25)
		kg := max(w.LiveKg()*share*0.95, 0.001)
		m.write(day, 30+i, "count", &journal.Count{Bin: b.name, AreaM2: some(qty.SquareMetre(foot)), WormsKg: some(qty.LiveKg(math.Round(kg*1000) / 1000))})
	}
}

// frost lays film before a hard frost and takes it off after.
func (m *maker) frost(day int, at int64, acts [][]bed.Act) {
	cold := math.Inf(1)
	for t := at; t < at+40; t++ {
		cold = min(cold, m.outside.At(t).TempC)
	}
	cover := ""
	if !m.film && cold < -4 {
		cover = "film"
	} else if m.film && cold > 0 {
		cover = "cloth"
	}
	if cover == "" {
		return
	}
	m.film = cover == "film"
	var names []string
	for i, b := range m.boxes {
		c, _ := b.numbers.Cover(cover)
		acts[i] = append(acts[i], bed.Act{Hour: at, Kind: bed.Covered, Cover: c})
		names = append(names, b.name)
	}
	m.write(day, 200, "cover", &journal.Cover{Bins: names, Cover: cover})
}

// glass is what is read and foretold of the weather: on a rich farm the low and
// high outside each day and in the barn on most; on a poor one those of the barn
// three times a week, and an outlook of three days now and then in winter.
func (m *maker) glass(day int) {
	lowHigh := func(from int64, air func(int64) float64) (low, high float64) {
		low, high = math.Inf(1), math.Inf(-1)
		for t := from; t < from+24; t++ {
			low, high = min(low, air(t)), max(high, air(t))
		}
		return low, high
	}
	midnight := m.hourOf(day) + 8 // at the farm, standard time
	date := func(d int) string { return m.begin.AddDate(0, 0, d).Format(time.DateOnly) }
	put := func(minute int, s journal.Site, low, high, sd float64) {
		s.LowC, s.HighC = fahrenheit(low+m.norm(sd)), fahrenheit(high+m.norm(sd))
		if *s.HighC < *s.LowC {
			s.LowC, s.HighC = s.HighC, s.LowC
		}
		m.write(day, minute, "site", &s)
	}
	outside := func(t int64) float64 { return m.outside.At(t).TempC }
	if day == 0 {
		return
	}
	if m.Rich {
		low, high := lowHigh(midnight-24, outside)
		put(300, journal.Site{Place: "outside", Day: date(day - 1)}, low, high, 0.4)
	}
	chance := 0.43
	if m.Rich {
		chance = 0.85
	}
	if m.chance(chance) {
		low, high := lowHigh(midnight-24, func(t int64) float64 { return m.barn[t-m.first].TempC })
		put(301, journal.Site{Place: "barn " + same, Day: date(day - 1)}, low, high, 0.4)
	}
	winter := m.begin.AddDate(0, 0, day).YearDay()
	if w := m.week(day); (winter < 75 || winter > 305 || m.Rich) && (w == time.Monday || w == time.Thursday) {
		for k := range 3 {
			low, high := lowHigh(midnight+int64(k)*24, outside)
			put(302+k, journal.Site{Place: "outside", Outlook: true, Day: date(day + k)}, low, high, 1.5*math.Sqrt(0.6+0.4*float64(k)))
		}
	}
}
