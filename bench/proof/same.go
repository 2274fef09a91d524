package proof

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/farm"
	"wormyard/feedstock"
	"wormyard/internal/app"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/internal/weather"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
	"wormyard/worm"
)

// Plan says what farm is wanted.
type Plan struct {
	Bins    int
	Days    int
	Rich    bool // a logger in every other bin, the farm's own weather, nearly all written down
	Counts  bool // of every bin once a quarter
	Loggers int  // in each of the first so many bins of a poor farm that takes no dial along; -1 for none at all, 0 for dials
}

// On a poor farm one feeding in five is not written down and a dial is off by
// 3 F; on a rich one they write nearly all of it down. Common practice, no source.
const (
	unwrittenPoor, unwrittenRich = 0.2, 0.05
	dialSD                       = 3 / 1.8
	loggerSD, loggerOff          = 0.15, 0.3
	stabsEach                    = 5  // on Tuesday and Thursday
	looksEach                    = 12 // most, on a feeding day, of bins that were lifted
)

// How the truth differs from our middle values, in parts of the spread that we
// admit: the farm, and each bin on it. Together a little less than all of it, as a
// member is drawn with.
const (
	farmShare, binShare = 0.85, 0.35
	materialShare       = 0.6
	loadShare           = 0.25
)

const (
	inch     = 0.0254
	side     = 1.2
	boxDepth = 0.6
	crewHour = 18 // UTC, ten in the morning
	same     = "Barn 1"
)

// maker makes an identical twin of a farm.
type maker struct {
	Plan
	f        *Farm
	numbers  nature.Numbers
	eyes     twin.Parameters
	r        *rand.Rand
	probes   *rand.Rand
	begin    time.Time
	boxes    []*box
	goods    []good
	batch    string
	perM3    feedstock.Matter // of the batch, in truth
	late     []journal.Entry
	barn     []climate.Hour
	first    int64 // hour of the first of them
	outside  climate.Series
	dialsOff [2]float64
	film     bool
	fresh    float64 // what is quick in its materials, against the library
	guarded  float64 // and what of its fibre is as good as wood
}

// box is a bin and what truly lives in it.
type box struct {
	name    string
	stack   int
	top     bool
	bed     bed.Box
	numbers bed.Parameters
	run     *bed.Runner
	s       *bed.State
	off     float64 // of the air [C]
	heavy   float64 // of what is spread
	logger  float64 // how far it is off; NaN where there is none
	day     bed.Day
	habit   float64
}

type good struct {
	pile     string
	material feedstock.Material
	m3       float64 // in one batch
	z        map[string]float64
}

// Same makes a farm whose truth is our own bed with other numbers of nature, other
// bins, another barn and people who err. The same seed and plan give the same farm.
func Same(seed uint64, p Plan) (*Farm, error) {
	m := &maker{Plan: p, r: rand.New(rand.NewPCG(seed, 0x70726f6f66)), probes: rand.New(rand.NewPCG(seed, 0x6c6f67)), begin: time.Date(2024, 3, 4, 8, 0, 0, 0, time.UTC)}
	name := "same, poor"
	if p.Rich {
		name = "same, rich"
	}
	if p.Loggers != 0 {
		name = fmt.Sprintf("same, %d watched", max(p.Loggers, 0))
	}
	if p.Counts {
		name += ", counted"
	}
	m.f = &Farm{Name: name, Seed: seed, Answers: map[string]map[int64]Truth{}}
	var err error
	if m.numbers, err = nature.Load(); err != nil {
		return nil, err
	}
	if err = source.Load("twin", &m.eyes); err != nil {
		return nil, err
	}
	if err = m.prepare(); err != nil {
		return nil, err
	}
	for day := range p.Days {
		if err := m.live(day); err != nil {
			return nil, fmt.Errorf("day %d: %w", day, err)
		}
	}
	slices.SortStableFunc(m.f.Entries, func(a, b journal.Entry) int { return a.Recorded.Compare(b.Recorded) })
	return m.f, nil
}

func (m *maker) norm(sd float64) float64 { return sd * m.r.NormFloat64() }

// probe is what loggers draw their errors from: where their number is asked for,
// from a stream of their own, so that the truth is the same with any number of them.
func (m *maker) probe() *rand.Rand {
	if m.Loggers != 0 {
		return m.probes
	}
	return m.r
}
func (m *maker) about(sd float64) float64  { return math.Exp(m.norm(sd)) }
func (m *maker) chance(p float64) bool     { return m.r.Float64() < p }
func (m *maker) hourOf(day int) int64      { return (m.begin.Unix()/86400 + int64(day)) * 24 }
func (m *maker) week(day int) time.Weekday { return m.begin.AddDate(0, 0, day).Weekday() }
func some[T any](v T) *T                   { return &v }
func fahrenheit(c float64) *qty.Celsius    { return some(qty.Celsius((math.Round(c*1.8+32) - 32) / 1.8)) }
func inches(metre, step float64) *qty.Metre {
	return some(qty.Metre(math.Round(metre/inch/step) * step * inch))
}

// write records an entry on the evening of its day, now and then a day or two
// late. What other entries rest on is never late.
func (m *maker) write(day int, minute int, kind string, body any) {
	e := journal.Entry{ID: fmt.Sprintf("019a%04x-%04x-7000-8000-%012d", day, minute, len(m.f.Entries)+len(m.late)), Kind: kind, Who: "crew 1", Body: body,
		At: time.Unix((m.hourOf(day)+crewHour)*3600, 0).Add(time.Duration(minute) * time.Minute).UTC()}
	e.Recorded = time.Unix(m.hourOf(day)*3600+23*3600+1800, 0).UTC()
	switch kind {
	case "feed", "water", "look", "reading", "depth":
		if m.chance(0.06) && minute < 240 {
			e.Recorded = e.Recorded.AddDate(0, 0, 1+m.r.IntN(2))
			m.late = append(m.late, e)
			return
		}
	}
	m.f.Entries = append(m.f.Entries, e)
}

// lateOnes puts what comes late among the entries of the day on which it comes.
func (m *maker) lateOnes(day int) {
	left := m.late[:0]
	until := time.Unix(m.hourOf(day+1)*3600, 0)
	for _, e := range m.late {
		if e.Recorded.Before(until) {
			m.f.Entries = append(m.f.Entries, e)
		} else {
			left = append(left, e)
		}
	}
	m.late = left
}

func (m *maker) prepare() error {
	library, err := source.Library()
	if err != nil {
		return err
	}
	for _, g := range []good{{pile: "manure", m3: 4}, {pile: "leaves", m3: 3}, {pile: "chips", m3: 2}} {
		what := map[string]string{"manure": "horse manure with bedding", "leaves": "leaves, loose dry", "chips": "wood chips, hardwood"}[g.pile]
		found, err := library.Find(what)
		if err != nil {
			return err
		}
		g.material, g.z = found.WithCarbon(), map[string]float64{}
		for _, key := range feedstock.Keys() {
			g.z[key] = m.norm(materialShare)
		}
		m.goods = append(m.goods, g)
	}
	knobs, err := app.Uncertain(&m.numbers.Bed)
	if err != nil {
		return err
	}
	m.fresh = within(qty.Estimate{Low: m.eyes.FreshLow, Best: m.eyes.FreshMid, High: m.eyes.FreshHigh}, m.norm(farmShare))
	if i := slices.IndexFunc(knobs, func(k twin.Knob) bool { return k.Name == "fibre_guarded" }); i >= 0 { // of what is laid, and not of a bin
		m.guarded = within(knobs[i].Range, farmShare*rand.New(rand.NewPCG(m.f.Seed, 0x6669627265)).NormFloat64())
		knobs = slices.Delete(knobs, i, i+1)
	}
	z := make([]float64, len(knobs))
	for i := range z {
		z[i] = m.norm(farmShare)
	}
	m.dialsOff = [2]float64{m.norm(0.8), m.norm(0.8)}
	for i := range m.Bins {
		own := make([]float64, len(knobs))
		for k := range own {
			own[k] = z[k] + m.norm(binShare)
		}
		b := &box{name: fmt.Sprintf("B%d", i+1), stack: i / 3, top: i%3 == 2 || i == m.Bins-1, numbers: twin.NumbersAt(&m.numbers.Bed, knobs, [][]float64{own})[0],
			off: m.norm(0.8), heavy: m.about(0.1), logger: math.NaN(), habit: m.about(0.2)}
		b.bed = bed.Box{LengthM: side, WidthM: side, DepthM: boxDepth, HolesM2: 0.06, Under: bed.UnderFloor, Over: !b.top}
		if i%3 > 0 {
			b.bed.Under = bed.UnderBin
		}
		if s := i / 3; s > 0 {
			b.bed.Hidden += 0.25
		}
		if i/3 < (m.Bins-1)/3 {
			b.bed.Hidden += 0.25
		}
		if m.Rich && i%2 == 0 || i < m.Loggers {
			b.logger = loggerOff * m.probe().NormFloat64()
		}
		b.run = bed.NewRunner(&b.numbers)
		b.run.Each = 6
		m.boxes = append(m.boxes, b)
		m.f.Answers[b.name] = map[int64]Truth{}
	}
	if err := m.air(); err != nil {
		return err
	}
	return m.firstDay()
}

// air makes the weather, with a hard second winter, and the air of a barn that
// leaks more than its owner says.
func (m *maker) air() error {
	m.first = m.hourOf(0) - 240
	a, err := weather.Site{Source: weather.SeattleDaily, ShiftYears: 12}.Air(&m.numbers.Climate, m.first, m.hourOf(m.Days)+48)
	if err != nil {
		return err
	}
	off := m.norm(1)
	hard := m.hourOf(0) + 650*24 // the middle of the second winter
	spell := hard + int64(m.r.IntN(40)-20)*24
	for i := range a.Air.Hours {
		x, t := &a.Air.Hours[i], a.Air.Start+int64(i)
		vapour := x.RH * climate.SaturationPa(x.TempC)
		d := float64(t-hard) / 24
		x.TempC += off - 4*math.Exp(-d*d/(2*35*35))
		if days := float64(t-spell) / 24; days >= 0 && days < 10 {
			x.TempC -= 5
		}
		x.RH = min(1, vapour/climate.SaturationPa(x.TempC))
		off = off*math.Exp(-1.0/72) + m.norm(math.Sqrt(1-math.Exp(-2.0/72)))
	}
	m.outside = a.Air
	house := m.shed()
	for i := range house.Parts {
		house.Parts[i].U *= m.about(0.2)
	}
	house.AirChanges *= 1.2 * m.about(0.25)
	heat := m.about(0.4)
	inside, _ := house.Air(&m.numbers.Climate, m.outside, func(_ int64, in climate.Hour) (float64, float64) {
		n := float64(m.Bins) * min(1, m.numbers.Bed.Speed(in.TempC)/m.numbers.Bed.Speed(20))
		return n * 12 * heat, n * 0.5 / 86400
	})
	m.barn, m.f.Barn = inside.Hours, inside
	return nil
}

// shed is the barn as its owner measured it.
func (m *maker) shed() climate.Barn {
	floor := max(60, float64(m.Bins)*3.4)
	width := math.Round(math.Sqrt(floor / 1.8))
	length := math.Round(floor / width)
	return climate.Barn{Parts: []climate.Part{{U: 1.6, Area: 2 * (length + width) * 3.8}, {U: 2, Area: length * width}}, SlabWMK: 1.2,
		PerimeterM: 2 * (length + width), VolumeM3: length * width * 3.8, AirChanges: 1.2}
}

// around gives the air at a bin.
func (m *maker) around(b *box, from, to int64) climate.Series {
	s := climate.Series{Start: from}
	for t := from; t <= to; t++ {
		x := climate.AtLevel(&m.numbers.Climate, m.barn[t-m.first], b.level())
		x.TempC += b.off
		s.Hours = append(s.Hours, x)
	}
	return s
}

func (b *box) level() int {
	if b.bed.Under == bed.UnderFloor {
		return 1
	}
	if b.top {
		return 3
	}
	return 2
}

func (m *maker) firstDay() error {
	text := func(v any) json.RawMessage { raw, _ := json.Marshal(v); return raw }
	at := 0
	put := func(kind string, body any) { m.write(0, at, kind, body); at++ }
	set := func(key string, v any) { put("setting", &journal.Setting{Key: key, Value: text(v)}) }
	set("zone", "America/Los_Angeles")
	src := "normals"
	if m.Rich {
		src = "own record"
	}
	set("site", farm.SiteSetup{Source: src})
	set("habits", farm.HabitSetup{FeedDepthM: 1.5 * inch, FeedEveryDays: 7, VisitDays: 7, BeddingDepthM: 6 * inch, WaterKg: 9.5})
	own := m.shed()
	width := math.Round(math.Sqrt(own.VolumeM3 / 3.8 / 1.8))
	setup := farm.BarnSetup{LengthM: own.PerimeterM/2 - width, WidthM: width, HeightM: 3.8, SlabWMK: own.SlabWMK, VolumeM3: own.VolumeM3, AirChanges: own.AirChanges}
	for i, what := range []string{"walls", "roof"} {
		setup.Parts = append(setup.Parts, farm.BarnPart{What: what, UWM2K: own.Parts[i].U, AreaM: own.Parts[i].Area})
	}
	set("barn/"+same, setup)
	for i, b := range m.boxes {
		put("build", &journal.Build{Bins: []string{b.name}, Slots: []string{fmt.Sprintf("%s/1/%d/%d", same, i/3+1, i%3+1)},
			LengthM: some(qty.Metre(side)), WidthM: some(qty.Metre(side)), DepthM: some(qty.Metre(boxDepth)), HolesM2: some(qty.SquareMetre(0.06)), Cover: "cloth"})
	}
	if err := m.mix(0, at); err != nil {
		return err
	}
	at += 10
	for _, b := range m.boxes {
		depth := 6 * inch
		put("bed", &journal.Bed{Bins: []string{b.name}, Batch: m.batch, DepthM: qty.Metre(depth)})
		kg := 3 + 3*m.r.Float64()
		put("stock", &journal.Stock{Bins: []string{b.name}, Kg: qty.LiveKg(math.Round(kg*20) / 20)})
		real := depth * b.heavy * m.about(0.1)
		hour := m.hourOf(0) + crewHour + int64(at)/60
		air := m.around(b, hour, hour).Hours[0]
		left := within(qty.Estimate{Low: m.eyes.HeatedLow, Best: m.eyes.HeatedMid, High: m.eyes.HeatedHigh}, m.norm(1))
		laid := fresher(m.perM3.Times(real*side*side), left)
		laid.Ammonia *= qty.NitrogenKg(left)
		b.s = bed.Start(&b.numbers, b.bed, []bed.Laid{{Matter: laid, DepthM: real, TempC: math.NaN(), Layer: 1}}, air, hour)
		b.s.Cover, _ = b.numbers.Cover("cloth")
		b.s.Worms = mixedAges(&b.numbers, kg*m.about(0.15))
	}
	return nil
}

// mixedAges is a stock as it is bought: two thirds grown by mass, with cocoons.
func mixedAges(p *bed.Parameters, kg float64) worm.Stock {
	return worm.Stock{AdultKg: kg * 2 / 3, JuvenileKg: kg / 3, Cocoons: kg * 2 / 3 / (p.Worm.MatureG * 2e-3) * 1.5}
}

// mix makes the batch of a week from new loads of every good.
func (m *maker) mix(day, minute int) error {
	m.batch = fmt.Sprint(day/7 + 1)
	var sum feedstock.Matter
	var parts []journal.BlendPart
	for _, g := range m.goods {
		v := g.material.Values(func(key string, p feedstock.Property) float64 { return within(p.Estimate, g.z[key]+m.norm(loadShare)) })
		load, _, err := v.Of(g.material.Name, feedstock.Quantity{Volume: qty.CubicMetre(g.m3 * m.about(0.08))})
		if err != nil {
			return err
		}
		sum = sum.Plus(load)
		pile := g.pile + " " + m.batch
		m.write(day, minute, "receive", &journal.Receive{Pile: pile, Material: g.material.Name, VolumeM3: some(qty.CubicMetre(g.m3))})
		parts = append(parts, journal.BlendPart{Pile: pile, VolumeM3: some(qty.CubicMetre(g.m3))})
	}
	const wet = 0.7 // watered until it feels like this, give or take
	sum.Water = sum.Dry.Wet(wet).Water(qty.WaterOfWet(wet + m.norm(0.02)))
	m.write(day, minute+1, "blend", &journal.Blend{Batch: m.batch, Purpose: "feed", Parts: parts, WaterFracWet: some(qty.WaterOfWet(wet))})
	m.perM3 = fresher(sum.Times(1/float64(sum.Volume)), m.fresh*m.about(0.15)).Opened(m.guarded)
	return nil
}

// fresher gives matter with f times as much that rots within days.
func fresher(m feedstock.Matter, f float64) feedstock.Matter {
	more := min(m.Quick*qty.DryKg(f-1), m.Slow)
	m.Quick, m.Slow = m.Quick+more, m.Slow-more
	return m
}

// within gives a value of an estimate at z of its spread, kept inside it.
func within(e qty.Estimate, z float64) float64 {
	if !e.Spread() {
		return e.Best
	}
	to := e.High
	if z < 0 {
		to, z = e.Low, -z
	}
	return e.Best + min(z/1.645, 1)*(to-e.Best)
}

// live is one day: the beds to the hour of the crew, the crew, the beds to the end.
func (m *maker) live(day int) error {
	at, end := m.hourOf(day)+crewHour, m.hourOf(day+1)
	if day > 0 {
		for _, b := range m.boxes {
			if err := m.run(b, at, nil, day); err != nil {
				return err
			}
		}
		if m.week(day) == time.Monday {
			if err := m.mix(day, 0); err != nil {
				return err
			}
		}
	}
	acts := make([][]bed.Act, len(m.boxes))
	if day > 0 {
		m.crew(day, at, acts)
	}
	m.glass(day)
	for i, b := range m.boxes {
		if err := m.run(b, end, acts[i], day); err != nil {
			return err
		}
		d := b.day
		m.f.Answers[b.name][end] = Truth{MidC: Middle(b.s), Water: d.WaterOfWet, FeedKg: d.FeedLeftKg, WormKg: b.s.Worms.LiveKg()}
	}
	m.lateOnes(day)
	return nil
}

// run lets a bed live to an hour, and its logger read.
func (m *maker) run(b *box, until int64, acts []bed.Act, day int) error {
	if b.s.Hour >= until {
		return nil
	}
	_, err := b.run.Run(b.bed, b.s, m.around(b, b.s.Hour, until), until, acts, func(d bed.Day) {
		b.day = d
		if d.Hour%6 == 0 && !math.IsNaN(b.logger) {
			t := twin.TempAt(b.s, 0.15) + b.logger + loggerSD*m.probe().NormFloat64()
			e := journal.Entry{ID: fmt.Sprintf("019b%04x-%04x-7000-8000-%012d", day, b.stack, len(m.f.Entries)+len(m.late)), Kind: "reading", Who: "loggers", At: time.Unix(d.Hour*3600, 0).UTC(),
				Recorded: time.Unix(d.Hour*3600, 0).UTC(), Body: &journal.Reading{Bin: b.name, TempC: some(qty.Celsius(math.Round(t*10) / 10)), DepthM: some(qty.Metre(0.15)), Probe: "logger", ProbeID: "L" + b.name}}
			m.f.Entries = append(m.f.Entries, e)
		}
	})
	return err
}
