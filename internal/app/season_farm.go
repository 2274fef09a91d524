package app

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"
	"time"

	"wormyard/chance"
	"wormyard/farm"
	"wormyard/internal/source"
	"wormyard/internal/weather"
	"wormyard/qty"
	"wormyard/season"
)

// seasonal is what a season is planned with where the journal does not tell.
type seasonal struct {
	Doubling     qty.Estimate `param:"doubling_days" unit:"day"`
	WarmC        float64      `param:"warm_c" unit:"C"`
	BedAboveC    float64      `param:"bed_above_c" unit:"C"`
	YieldSpread  float64      `param:"yield_spread" unit:"-"`
	CameSpread   float64      `param:"came_spread" unit:"-"`
	LittleFeed   float64      `param:"little_feed" unit:"-"` // part of all feed below which a material is taken to be there
	RipeWeeks    float64      `param:"ripe_weeks" unit:"week"`
	CastingsPart float64      `param:"castings_of_box" unit:"-"`
	MustHold     float64      `param:"must_hold" unit:"-"`
	MostHold     float64      `param:"most_hold" unit:"-"`
	StoreTimes   float64      `param:"store_times" unit:"-"`
	Spoils       float64      `param:"spoils_week" unit:"-"`
	Ages         float64      `param:"ages_week" unit:"-"`
	BedMinutes   float64      `param:"bed_minutes" unit:"min"`
	CrewHours    float64      `param:"crew_hours" unit:"h/week"`
	OvertimePart float64      `param:"overtime_part" unit:"-"`
	PenaltyPart  float64      `param:"penalty_part" unit:"-"`
	CureWeeks    float64      `param:"cure_weeks" unit:"week"`
	HeatToC      float64      `param:"heat_to_c" unit:"C"`
	HeatLeastC   float64      `param:"heat_least_c" unit:"C"`
	HeatMostC    float64      `param:"heat_most_c" unit:"C"`
	PumpTimes    float64      `param:"heatpump_times" unit:"-"`
	BurnerPart   float64      `param:"burner_part" unit:"-"`
	PropaneKWhL  float64      `param:"propane_kwh_l" unit:"kWh/L"`
	OilKWhL      float64      `param:"oil_kwh_l" unit:"kWh/L"`
	SplitHours   float64      `param:"split_hours" unit:"h"`
	SplitBack    float64      `param:"split_back" unit:"week"`
}

var seasonNumbers = sync.OnceValues(func() (p seasonal, err error) { return p, source.Load("season", &p) })

// Whence says where a number of a season's plan comes from.
type Whence string

// Where from.
const (
	WhenceTyped   Whence = "typed"   // by the owner
	WhenceJournal Whence = "journal" // from what was written down
	WhenceTwins   Whence = "twins"   // from what the twins believe of the beds
	WhenceAssumed Whence = "assumed"
)

// SeasonFact is one number that a season's plan is made with. Key names it in the
// catalogue of the pages.
type SeasonFact struct {
	Key   string  `json:"key"`
	Of    string  `json:"of,omitempty"` // the feedstock or product it is of
	Value float64 `json:"value"`
	From  Whence  `json:"from"`
	Count int     `json:"count,omitempty"` // of harvests, loads or sales that it rests on
}

// SeasonFarm is a farm as a season is planned for it.
type SeasonFarm struct {
	Farm  season.Farm
	Facts []SeasonFact
	Begin time.Time // of the first week
	Left  []string  // products that were said to be sold and are not on the price list any more
	Heat  *YearHeat // nil where barns are not heated
	Eased []string  // keys of what was given more of than was typed
	bedC  []float64 // usual warmth of the beds in each week [°C]
	sure  season.Nature
}

// seasonWeeks is how long a plan is when nobody says.
const seasonWeeks = 52

// year is how far back the journal is asked [h].
const lastYear = 365 * 24 * time.Hour

// SeasonFarm gives the farm as of now, from the journal and what the twins believe
// of each bed; what neither tells is assumed, and said.
func (t *Twins) SeasonFarm(ctx context.Context) (*SeasonFarm, error) {
	p, err := seasonNumbers()
	if err != nil {
		return nil, err
	}
	s, now := t.App.State(), t.App.Now()
	m := &seasonMaker{Twins: t, s: s, now: now, p: p, setup: s.Settings.Season, out: &SeasonFarm{Begin: now}}
	for _, b := range s.Living() {
		o, err := t.Outlook(ctx, b.Name)
		if err != nil {
			return nil, err
		}
		m.looks = append(m.looks, o)
	}
	f := &m.out.Farm
	f.Weeks = seasonWeeks
	if m.setup.Weeks > 0 {
		f.Weeks = m.setup.Weeks
	}
	if err := m.warmth(); err != nil {
		return nil, err
	}
	m.bins()
	m.feedstock()
	m.worms()
	m.products()
	if err := m.crew(); err != nil {
		return nil, err
	}
	m.store()
	m.end()
	if err := m.heating(); err != nil {
		return nil, err
	}
	m.splitting()
	m.aim()
	return m.out, nil
}

// seasonMaker puts a farm together.
type seasonMaker struct {
	*Twins
	s     *farm.State
	now   time.Time
	p     seasonal
	setup farm.SeasonSetup
	looks []*Outlook // of the living bins, in their order
	above float64    // by which beds are warmer than their air [K]
	air   *Air       // of the weeks of the plan
	mix   season.Mix
	out   *SeasonFarm
}

func (m *seasonMaker) fact(key, of string, value float64, from Whence, count int) {
	m.out.Facts = append(m.out.Facts, SeasonFact{key, of, value, from, count})
}

// warmth gives the usual warmth of the beds week by week, and the pace that goes with
// it: that of the bins' places, warmer by what the beds are today.
func (m *seasonMaker) warmth() error {
	from := m.now.Unix() / 3600
	air, err := m.Twins.air(m.s, from, from+int64(m.out.Farm.Weeks)*168, m.now)
	if err != nil {
		return err
	}
	type place struct {
		barn  string
		level int
	}
	places := map[place]float64{}
	for _, b := range m.s.Living() {
		places[place{b.Slot.Barn, b.Slot.Level}]++
	}
	week := func(w int) float64 {
		sum, n := 0.0, 0.0
		for at, bins := range places {
			hours := air.At(at.barn, at.level).Hours
			for h := w * 168; h < min((w+1)*168, len(hours)); h++ {
				sum, n = sum+bins*hours[h].TempC, n+bins
			}
		}
		if n == 0 {
			for h := w * 168; h < min((w+1)*168, len(air.Outside.Air.Hours)); h++ {
				sum, n = sum+air.Outside.Air.Hours[h].TempC, n+1
			}
		}
		return sum / math.Max(n, 1)
	}
	above, from0, count := m.p.BedAboveC, WhenceAssumed, 0
	if first := week(0); len(m.looks) > 0 {
		var x []float64
		for _, o := range m.looks {
			if o != nil && len(o.Ahead) > 6 {
				for _, d := range o.Ahead[:7] {
					x = append(x, d.Mean.Mid-first)
				}
			}
		}
		if len(x) > 0 {
			above, from0, count = math.Max(0, chance.Median(x)), WhenceTwins, len(m.looks)
		}
	}
	m.above, m.air = above, air
	m.fact("bedabove", "", above, from0, count)
	kind := m.kind.Load()
	m.out.sure = season.Nature{Pace: kind.bed.Worm.Growth, Warm: m.p.WarmC, Doubling: [3]float64{m.p.Doubling.Low, m.p.Doubling.Best, m.p.Doubling.High}, YieldSpread: m.p.YieldSpread, CameSpread: m.p.CameSpread}
	f := &m.out.Farm
	for w := range f.Weeks {
		c := week(w) + above
		m.out.bedC = append(m.out.bedC, c)
		pace := m.out.sure.PaceAt(c)
		f.Pace = append(f.Pace, pace)
		f.Worms.Growth = append(f.Worms.Growth, season.Grows(m.p.Doubling.Best, pace))
	}
	return nil
}

// paceOver is how much bins did in a stretch of the past, in weeks at a pace of 1, by
// the usual year to come: a year ago it was about as warm.
func (m *seasonMaker) paceOver(from, to time.Time) float64 {
	sum := 0.0
	for at := from; at.Before(to); at = at.Add(7 * 24 * time.Hour) {
		w := int(m.now.Sub(at) / (7 * 24 * time.Hour)) // weeks ago
		k := (52*4 - w%52) % 52
		part := math.Min(1, to.Sub(at).Hours()/168)
		sum += part * m.out.Farm.Pace[min(k, len(m.out.Farm.Pace)-1)]
	}
	return sum
}

// bins gives the boxes, what runs in them, and what a bin takes and gives.
func (m *seasonMaker) bins() {
	f := &m.out.Farm
	var ripe, gave, fed []float64
	density := m.usualDensity()
	for _, b := range m.s.Bins() {
		if b.State != farm.Retired {
			f.Bins++
		}
		for _, x := range b.Past {
			if x.Until.Before(m.now.Add(-2*lastYear)) || x.Harvested <= 0 && x.HarvestedM3 <= 0 || x.Feedings == 0 {
				continue
			}
			weeks := m.paceOver(x.Since, x.Until)
			if weeks < 1 {
				continue
			}
			ripe = append(ripe, weeks)
			v := float64(x.HarvestedM3)
			if v <= 0 {
				v = float64(x.Harvested) / density
			}
			gave = append(gave, v)
			fed = append(fed, float64(x.Fed.Volume)/weeks)
		}
	}
	m.fact("bins", "", f.Bins, WhenceJournal, 0)
	from, count := WhenceJournal, len(ripe)
	if count < 3 {
		from, count = WhenceAssumed, 0
		usual := m.App.Usual().Box()
		ripe, gave = []float64{m.p.RipeWeeks}, []float64{m.p.CastingsPart * float64(usual.Volume())}
		fed = []float64{2 * gave[0] / m.p.RipeWeeks}
	}
	m.mix = season.Mix{Name: "usual", RipeWeeks: chance.Median(ripe), CastingsM3: chance.Median(gave), FeedM3Week: chance.Median(fed)}
	var bedding []float64
	for _, b := range m.s.Living() {
		if v := float64(b.Bed.Start.Matter.Volume); v > 0 {
			bedding = append(bedding, v)
		}
	}
	if m.mix.StartM3 = chance.Median(bedding); len(bedding) > 0 {
		m.fact("bedding", "", m.mix.StartM3, WhenceJournal, len(bedding))
	}
	m.fact("ripe", "", m.mix.RipeWeeks, from, count)
	m.fact("gives", "", m.mix.CastingsM3, from, count)
	m.fact("eats", "", m.mix.FeedM3Week, from, count)
	runs := map[int]float64{} // by the week it is ripe in, at a pace of 1
	for i, b := range m.s.Living() {
		left := m.mix.RipeWeeks - m.paceOver(b.Bed.At, m.now)
		if o := m.looks[i]; o != nil {
			if o.Ripe != nil {
				left = f.Pace[0] * o.Ripe.Mid / 7
			} else { // not within the days that were looked ahead
				left = math.Max(left, f.Pace[0]*horizon/7)
			}
		}
		runs[int(math.Round(math.Min(math.Max(left, 0), m.mix.RipeWeeks)))]++
	}
	for left, n := range runs {
		f.Running = append(f.Running, season.Running{Mix: m.mix.Name, Bins: n, RipeIn: float64(left)})
	}
	slices.SortFunc(f.Running, func(a, b season.Running) int { return cmp.Compare(a.RipeIn, b.RipeIn) })
	m.fact("running", "", float64(len(m.s.Living())), WhenceTwins, 0)
}

// usualDensity is that of castings [kg wet/m3].
func (m *seasonMaker) usualDensity() float64 { return castingsDensity(m.s, m.App.Usual()) }

// castingsDensity is what castings of a farm weigh [kg wet/m3]: as measured on its first
// lot of which that is known, else as usual.
func castingsDensity(s *farm.State, usual farm.Usual) float64 {
	for _, l := range s.Lots() {
		if d, measured := s.CastingsDensity(l); measured {
			return float64(d)
		}
	}
	return usual.CastingsDensity.Best
}

// feedstock gives what is mixed, how much of it came in each week of the last year,
// what lies there and what it cost.
func (m *seasonMaker) feedstock() {
	f := &m.out.Farm
	since := m.now.Add(-lastYear)
	share := map[string]float64{}
	all := 0.0
	for _, b := range m.s.Batches() {
		if b.At.Before(since) {
			continue
		}
		for _, x := range b.Parts {
			share[x.Material] += float64(x.Matter.Volume)
			all += float64(x.Matter.Volume)
		}
	}
	if all == 0 {
		return // nobody wrote what was mixed: feed is taken to be there
	}
	came, lies, most := map[string][]float64{}, map[string]float64{}, map[string]float64{}
	paid, paidFor, loads := map[string]float64{}, map[string]float64{}, map[string]int{}
	for _, p := range m.s.Piles() {
		if share[p.Material] < m.p.LittleFeed*all {
			continue
		}
		name := p.Material
		lies[name] += float64(p.Left().Volume)
		for _, d := range p.Loads {
			most[name] = math.Max(most[name], float64(d.Onto.Volume+d.Matter.Volume))
			if d.At.Before(since) {
				continue
			}
			if came[name] == nil {
				came[name] = make([]float64, 52)
			}
			came[name][51-min(51, int(m.now.Sub(d.At)/(7*24*time.Hour)))] += float64(d.Matter.Volume)
			loads[name]++
		}
		paid[name], paidFor[name] = paid[name]+float64(p.Paid), paidFor[name]+float64(p.PaidFor)
	}
	for name, v := range share {
		if v < m.p.LittleFeed*all {
			continue
		}
		m.mix.Parts = append(m.mix.Parts, season.Part{Feedstock: name, Share: v})
	}
	slices.SortFunc(m.mix.Parts, func(a, b season.Part) int {
		return cmp.Or(-cmp.Compare(a.Share, b.Share), cmp.Compare(a.Feedstock, b.Feedstock))
	})
	sum := 0.0
	for _, x := range m.mix.Parts {
		sum += x.Share
	}
	for i := range m.mix.Parts {
		x := &m.mix.Parts[i]
		x.Share /= sum
		name := x.Feedstock
		// what came in a month about the same week of the last year can be had again
		arrives := make([]float64, f.Weeks)
		for w := range arrives {
			for d := -2; d <= 1; d++ {
				if list := came[name]; list != nil {
					arrives[w] += list[((w+d)%52+52)%52] / 4
				}
			}
		}
		one := season.Feedstock{Name: name, Arrives: arrives, StartM3: lies[name], StoreM3: m.p.StoreTimes * math.Max(most[name], lies[name]), Spoils: m.p.Spoils}
		from := WhenceAssumed
		if paidFor[name] > 0 {
			one.Cost, from = paid[name]/paidFor[name], WhenceJournal
		}
		m.fact("feedcost", name, one.Cost, from, loads[name])
		from = WhenceAssumed
		for _, said := range m.setup.Feedstocks {
			if said.Name != name {
				continue
			}
			if said.StoreM3 != nil {
				one.StoreM3, from = math.Max(float64(*said.StoreM3), one.StartM3), WhenceTyped
			}
			if said.Times != nil {
				for w := range one.Arrives {
					one.Arrives[w] *= *said.Times
				}
			}
		}
		m.fact("feedstore", name, one.StoreM3, from, 0)
		m.fact("feedcomes", name, total(arrives), WhenceJournal, loads[name])
		f.Feedstocks = append(f.Feedstocks, one)
	}
}

func total(x []float64) (sum float64) {
	for _, v := range x {
		sum += v
	}
	return sum
}

// worms gives the stock, what a bin must hold and what it can.
func (m *seasonMaker) worms() {
	f := &m.out.Farm
	var each []float64
	for _, o := range m.looks {
		if o != nil && !math.IsNaN(o.Worms.Mid) {
			each = append(each, o.Worms.Mid)
			f.Worms.StartKg += o.Worms.Mid
		}
	}
	from := WhenceTwins
	mid := chance.Median(each)
	if mid == 0 {
		from = WhenceAssumed
		mid = m.App.Usual().StockMiddle * float64(m.App.Usual().Box().Area())
		f.Worms.StartKg = mid * float64(len(m.s.Living()))
	}
	m.mix.WormsKg = m.p.MustHold * mid
	f.Worms.MostKg = math.Max(m.p.MostHold*mid, 1.05*f.Worms.StartKg/math.Max(float64(len(m.s.Living())), 1))
	m.fact("worms", "", f.Worms.StartKg, from, len(each))
	m.fact("mosthold", "", f.Worms.MostKg, WhenceAssumed, 0)
	f.Mixes = []season.Mix{m.mix}
}

// sold is what went of one product in the last year.
type sold struct {
	name           string
	castings, mass float64 // in each [m3, kg live]
	pieces         [12]float64
	money, priced  float64
	count          int

	typed                   bool // by the owner, with what was said of its price
	typedMoney, typedPriced float64
}

// products gives what was sold in each month of the last year, at its price; what is
// typed goes before it.
func (m *seasonMaker) products() {
	f := &m.out.Farm
	byName := map[string]*sold{}
	get := func(name string, castings, mass float64) *sold {
		if byName[name] == nil {
			byName[name] = &sold{name: name, castings: castings, mass: mass}
		}
		return byName[name]
	}
	since := m.now.Add(-lastYear)
	for _, l := range m.s.Lots() {
		density, _ := m.s.CastingsDensity(l)
		size := 0.0
		if len(l.Bags) > 0 {
			size = float64(l.Bags[len(l.Bags)-1].Size)
		}
		for _, x := range l.Sales {
			if x.At.Before(since) {
				continue
			}
			var p *sold
			n := 0.0
			switch {
			case x.Bags > 0 && size > 0:
				p, n = get(bagName(size), size, 0), float64(x.Bags)
			case x.Volume > 0:
				p, n = get(Loose, 1, 0), float64(x.Volume)
			case x.Mass > 0 && density > 0:
				p, n = get(Loose, 1, 0), float64(x.Mass)/float64(density)
			default:
				continue
			}
			p.pieces[x.At.In(m.s.Zone()).Month()-1] += n
			p.count++
			if x.Price > 0 {
				p.money, p.priced = p.money+float64(x.Price), p.priced+n
			}
		}
	}
	for _, said := range m.setup.Sales {
		p := get(said.Product, float64(said.CastingsM3), float64(said.WormsKg))
		if p.typed = true; len(said.Months) == 12 {
			p.pieces = [12]float64(said.Months)
		}
		if said.Price != nil {
			p.typedMoney, p.typedPriced = float64(*said.Price), 1
		}
	}
	m.selling(get)
	names := make([]string, 0, len(byName))
	for name := range byName {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		p := byName[name]
		x := season.Product{Name: name, CastingsM3: p.castings, WormsKg: p.mass}
		from := WhenceJournal
		if p.priced > 0 {
			x.Price = p.money / p.priced
		}
		if p.typed {
			from = WhenceTyped
		}
		if p.typedPriced > 0 {
			x.Price = p.typedMoney / p.typedPriced
		}
		x.Demand = make([]float64, f.Weeks)
		x.Promised = make([]float64, f.Weeks)
		for w := range f.Weeks {
			day := m.now.AddDate(0, 0, 7*w+3).In(m.s.Zone())
			days := float64(time.Date(day.Year(), day.Month()+1, 0, 0, 0, 0, 0, time.UTC).Day())
			x.Demand[w] = p.pieces[day.Month()-1] * 7 / days
		}
		x.Penalty = m.p.PenaltyPart * x.Price
		f.Products = append(f.Products, x)
		m.fact("price", name, x.Price, from, p.count)
		m.fact("sales", name, total(p.pieces[:]), from, p.count)
	}
	m.imported()
	m.promised()
}

// Loose names castings by the cubic metre.
const Loose = "loose"

// Alive names live worms by the kilogram.
const Alive = "worms"

// promised puts open orders into their weeks: castings in bags of a size that is
// sold, else loose, and live worms. What is overdue is wanted at once, what has no
// day is not promised.
func (m *seasonMaker) promised() {
	f := &m.out.Farm
	n := 0
	for _, week := range OpenOrders(m.s, m.now) {
		due, err := time.ParseInLocation(time.DateOnly, week.Week, m.s.Zone())
		if err != nil {
			continue
		}
		w := max(0, int(math.Round(due.Sub(m.now).Hours()/168)))
		if w >= f.Weeks {
			continue
		}
		for _, o := range week.Products {
			x, amount := season.Product{Name: Loose, CastingsM3: 1}, o.VolumeM3
			switch {
			case o.As == farm.SoldWorms || o.As == farm.SoldKits:
				x, amount = season.Product{Name: Alive, WormsKg: 1}, o.MassKg
			case o.Pieces > 0 && o.VolumeM3 > 0:
				size := o.VolumeM3 / o.Pieces
				if i := slices.IndexFunc(f.Products, func(q season.Product) bool {
					return q.Name != Loose && math.Abs(q.CastingsM3-size) < 0.05*size
				}); i >= 0 {
					x, amount = f.Products[i], o.Pieces
				}
			}
			if amount <= 0 {
				continue
			}
			i := slices.IndexFunc(f.Products, func(q season.Product) bool { return q.Name == x.Name })
			if i < 0 {
				i = len(f.Products)
				x.Demand, x.Promised = make([]float64, f.Weeks), make([]float64, f.Weeks)
				f.Products = append(f.Products, x)
			}
			if q := &f.Products[i]; q.Price == 0 && o.Worth != nil {
				q.Price = *o.Worth / amount
				q.Penalty = m.p.PenaltyPart * q.Price
			}
			f.Products[i].Promised[w] += amount
			n += o.Orders
		}
	}
	m.fact("orders", "", float64(n), WhenceJournal, n)
}

// crew gives the hours and what acts take.
func (m *seasonMaker) crew() error {
	f := &m.out.Farm
	tempo, err := Tempo(m.s)
	if err != nil {
		return err
	}
	minutes := func(act string) float64 { return tempo.Minutes[act].Best.InexactFloat64() }
	every := 7.0
	if u := m.s.FarmHabit(); u.From > 0 && u.EveryDays > 0 {
		every = u.EveryDays
	}
	f.Hours = season.Hours{Start: m.p.BedMinutes / 60, Feed: minutes("feed") / 60 * 7 / every, Harvest: (minutes("harvest") + minutes("screen")*m.mix.CastingsM3) / 60}
	people := math.Max(1, float64(len(m.s.Settings.People)))
	hours, from := people*m.p.CrewHours, WhenceAssumed
	if m.setup.CrewHours != nil {
		hours, from = *m.setup.CrewHours, WhenceTyped
	}
	duty := m.s.DutyHours(m.now, f.Weeks)
	for _, takes := range duty {
		f.Crew = append(f.Crew, math.Max(0, hours-takes))
	}
	f.Overtime = m.p.OvertimePart * hours
	if w := m.s.Settings.Money.Wage; w != nil {
		f.OverPrice = 1.5 * float64(*w)
	}
	m.fact("crew", "", hours, from, 0)
	if takes := total(duty); takes > 0 {
		m.fact("duties", "", takes, WhenceJournal, 0)
	}
	return nil
}

// store gives the room for castings, what lies there and how long they cure.
func (m *seasonMaker) store() {
	f := &m.out.Farm
	f.CureWeeks, f.AgesPer = m.p.CureWeeks, m.p.Ages
	from := WhenceAssumed
	if m.setup.CureWeeks != nil {
		f.CureWeeks, from = *m.setup.CureWeeks, WhenceTyped
	}
	m.fact("cure", "", f.CureWeeks, from, 0)
	lies := 0.0
	for _, l := range m.s.Lots() {
		if a := m.s.Amounts(l); a.Sure && a.Density > 0 && m.s.Standing(l) != farm.LotHeld {
			lies += float64(a.Left()) / float64(a.Density)
		}
	}
	f.StockM3 = lies
	m.fact("stock", "", lies, WhenceJournal, 0)
	// room for a month of all bins and what lies there
	f.StoreM3, from = m.p.StoreTimes*(lies+f.Bins*m.mix.CastingsM3*4/m.mix.RipeWeeks+f.Bins*m.mix.CastingsM3/4), WhenceAssumed
	if m.setup.StoreM3 != nil {
		f.StoreM3, from = math.Max(float64(*m.setup.StoreM3), lies), WhenceTyped
		if float64(*m.setup.StoreM3) < lies-1e-9 {
			m.out.Eased = append(m.out.Eased, "lies")
		}
	}
	m.fact("store", "", f.StoreM3, from, 0)
}

// end asks for as many beds at the end as a year of such sales needs, and no more
// than run now: else a plan would live from what is there and leave nothing.
func (m *seasonMaker) end() {
	f := &m.out.Farm
	sales, pace := 0.0, total(f.Pace)/math.Max(1, float64(len(f.Pace)))
	for _, x := range f.Products {
		sales += x.CastingsM3 * total(x.Demand) * 52 / float64(f.Weeks)
	}
	if m.mix.CastingsM3 > 0 && pace > 0 {
		f.EndBins = math.Round(math.Min(float64(len(m.s.Living())), sales/m.mix.CastingsM3*m.mix.RipeWeeks/pace/52))
	}
	m.fact("endbins", "", f.EndBins, WhenceAssumed, 0)
}

// climate gives the years that may come about the usual one: the spread of weekly
// means of the record, the farm's own where there are two years of it.
func (t *Twins) seasonClimate(bedC []float64) (season.Climate, error) {
	days := t.Site.Own
	if len(days) < 2*365 {
		var err error
		if days, err = weather.Daily(0); err != nil {
			return season.Climate{}, err
		}
	}
	usual, err := weather.Normals(days[0].Day, days[len(days)-1].Day+1)
	if err != nil {
		return season.Climate{}, err
	}
	var off []float64
	mean, sum, n := 0.0, 0.0, 0
	for _, d := range days {
		u := usual[d.Day-days[0].Day]
		sum += (d.LowC+d.HighC)/2 - (u.LowC+u.HighC)/2
		if n++; n == 7 {
			off = append(off, sum/7)
			mean += sum / 7
			sum, n = 0, 0
		}
	}
	for i := range off {
		off[i] -= mean / float64(len(off))
	}
	sd, stays := season.FitWeeks(off)
	return season.Climate{BedC: bedC, SDC: sd, Stays: stays}, nil
}
