package season

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"wormyard/chance"
)

// A World is how a year may come, beside what was planned with.
type World struct {
	Pace   []float64 // of what a bin does, in each week
	Growth []float64 // of the worms, in each week
	Yield  float64   // times the castings that were planned with
	Came   []float64 // times the feedstock that was planned with, in each week
}

// A Climate is the year that worlds are drawn about.
type Climate struct {
	BedC  []float64 // usual mean in the beds of each week [°C]
	SDC   float64   // of a week's mean about it [°C]
	Stays float64   // correlation of one week with the next
}

// A Nature is how bins and worms answer to warmth, and how sure that is.
type Nature struct {
	Pace        func(c float64) float64 // of what a bin does, relative
	Warm        float64                 // bed temperature at which the doubling and the weeks until ripe hold [°C]
	Doubling    [3]float64              // of a stock that is well kept: low, middle, high [day]
	YieldSpread float64                 // of the castings of a year, in the logarithm
	CameSpread  float64                 // of what is delivered in a week, in the logarithm
}

// Worlds draws n years, the same for the same seed. Warmth goes from week to week
// as an autoregression of the first order; doubling, yield and deliveries are drawn
// about their middle. model.md (V8).
func Worlds(n int, seed uint64, c Climate, nature Nature) []World {
	out := make([]World, n)
	for i := range out {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		w := World{Yield: math.Exp(nature.YieldSpread * r.NormFloat64())}
		low, mid, high := nature.Doubling[0], nature.Doubling[1], nature.Doubling[2]
		z := r.NormFloat64()
		doubling := mid * math.Exp(z*math.Log(high/mid)/chance.NormalQuantile(0.95))
		if z < 0 {
			doubling = mid * math.Exp(z*math.Log(mid/low)/chance.NormalQuantile(0.95))
		}
		off := c.SDC * r.NormFloat64()
		for k, usual := range c.BedC {
			if k > 0 {
				off = c.Stays*off + c.SDC*math.Sqrt(1-c.Stays*c.Stays)*r.NormFloat64()
			}
			pace := nature.PaceAt(usual + off)
			w.Pace = append(w.Pace, pace)
			w.Growth = append(w.Growth, Grows(doubling, pace))
			w.Came = append(w.Came, math.Exp(nature.CameSpread*r.NormFloat64()))
		}
		out[i] = w
	}
	return out
}

// PaceAt gives how quickly bins work at a bed temperature [°C], 1 where it is as
// warm as the weeks until ripe were told for. model.md (V7).
func (n Nature) PaceAt(c float64) float64 {
	at := n.Pace(n.Warm)
	if at <= 0 {
		return 1
	}
	return math.Max(0, n.Pace(c)/at)
}

// Grows gives by which share a stock grows in a week that doubles in so many days
// at a pace of 1. model.md (V7).
func Grows(doublingDays, pace float64) float64 {
	return math.Exp(7*math.Ln2/doublingDays*pace) - 1
}

// A Kept is what became of a promise.
type Kept struct {
	Product  string  `json:"product"`
	Week     float64 `json:"week"`
	Promised float64 `json:"promised"`
	Often    float64 `json:"kept_frac" doc:"of the years that were drawn"`
}

// A Replay is what a plan came to in years that were drawn.
type Replay struct {
	Worlds int          `json:"years"`
	Kept   []Kept       `json:"kept"`
	Value  [3]float64   `json:"value" doc:"low, middle and high: one year in twenty is below the first, one above the last"`
	Stock  [][3]float64 `json:"stock_m3" unit:"m3" doc:"cured, at the end of each period, likewise"`
	Worms  [][3]float64 `json:"worms_kg" unit:"kg"`
}

// Replayed lives a plan in each of the worlds. What the plan asks for is done as
// far as it can be: bins are harvested when they are ripe, and later where they are
// not yet; begun when one is free; fed with what there is; what was promised is
// given before what could be sold. model.md (V8).
func Replayed(f Farm, p Plan, worlds []World) Replay {
	out, _ := replayed(f, p, worlds, 0, nil, -1)
	return out
}

// replayed lives a plan from a period on, from where each world stands then; from the
// beginning where that is nil. It tells of those periods only, the others are empty. The
// second is where each stood when the period mark began.
func replayed(f Farm, p Plan, worlds []World, from int, stand []lived, mark int) (Replay, []lived) {
	out := Replay{Worlds: len(worlds)}
	var marked []lived
	periods := Periods(f.Weeks)
	kept := map[[2]int]int{}
	stock, worms := make([][]float64, len(periods)), make([][]float64, len(periods))
	var values []float64
	for w := range worlds {
		var l lived
		if stand != nil {
			l = stand[w].copied(&f)
		} else {
			l = f.atFirst(worlds[w])
		}
		for t := from; t < len(periods); t++ {
			at := periods[t]
			if t == mark {
				marked = append(marked, l.copied(&f))
			}
			gave := l.period(at, p.Steps[t])
			for i, x := range f.Products {
				if want := at.in(x.Promised, false); want > 0 && gave[i] >= want*0.999 {
					kept[[2]int{i, t}]++
				}
			}
			stock[t] = append(stock[t], l.stock)
			worms[t] = append(worms[t], l.worms)
		}
		values = append(values, l.value)
	}
	for i, x := range f.Products {
		for t := from; t < len(periods); t++ {
			at := periods[t]
			if want := at.in(x.Promised, false); want > 0 {
				out.Kept = append(out.Kept, Kept{x.Name, at.From, want, float64(kept[[2]int{i, t}]) / float64(max(len(worlds), 1))})
			}
		}
	}
	out.Value = spread(values)
	for t := range periods {
		out.Stock, out.Worms = append(out.Stock, spread(stock[t])), append(out.Worms, spread(worms[t]))
	}
	return out, marked
}

// spread gives the twentieth, the middle and the twentieth from above.
func spread(x []float64) [3]float64 {
	if len(x) == 0 {
		return [3]float64{}
	}
	slices.Sort(x)
	at := func(q float64) float64 {
		p := q * float64(len(x)-1)
		i := min(int(p), len(x)-2)
		if i < 0 {
			return x[0]
		}
		return x[i] + (p-float64(i))*(x[i+1]-x[i])
	}
	return [3]float64{at(0.05), at(0.5), at(0.95)}
}

// lived is a farm as it goes through a drawn year.
type lived struct {
	farm  *Farm
	world World
	beds  []beds
	free  float64 // bins
	used  float64 // bins that held a bed at some time of the week
	store map[string]float64
	worms float64
	stock float64
	cures []cure
	late  map[string]float64 // harvests and starts that wait, by what and mix
	value float64
	heat  []*Heat // by which the week is heated
}

// atFirst is a farm before the first week.
func (f *Farm) atFirst(w World) lived {
	l := lived{farm: f, world: w, stock: f.StockM3, store: map[string]float64{}, free: f.Bins, late: map[string]float64{}}
	for _, x := range f.Feedstocks {
		l.store[x.Name] = x.StartM3
	}
	for _, r := range f.Running {
		l.beds = append(l.beds, beds{mix: f.mix(r.Mix), bins: r.Bins, left: r.RipeIn, begun: -1, ripeIn: r.RipeIn})
		l.free -= r.Bins
	}
	return l
}

// copied is the same, for a farm that differs in what is sold at most.
func (l lived) copied(f *Farm) lived {
	l.farm = f
	l.beds, l.cures = slices.Clone(l.beds), slices.Clone(l.cures)
	l.store, l.late = maps.Clone(l.store), maps.Clone(l.late)
	return l
}

type beds struct {
	mix    *Mix
	bins   float64
	left   float64 // until ripe, at a pace of 1 [week]
	begun  float64 // week that the plan begins them in; -1 for those that ran before
	ripeIn float64 // of those
	split  bool
}

type cure struct{ until, m3 float64 }

func (f *Farm) mix(name string) *Mix {
	for i := range f.Mixes {
		if f.Mixes[i].Name == name {
			return &f.Mixes[i]
		}
	}
	return &Mix{Name: name}
}

// of is a list's value in a week; the last counts for later ones.
func of(list []float64, week int, none float64) float64 {
	if len(list) == 0 {
		return none
	}
	return list[min(week, len(list)-1)]
}

// period lives through one, and gives what was sold of each product.
func (l *lived) period(at Period, s Step) []float64 {
	gave := make([]float64, len(l.farm.Products))
	if at.From > 0 {
		l.stock *= math.Pow(1-l.farm.AgesPer, at.Weeks)
	}
	l.heat = nil
	for i := range l.farm.Heat {
		if h := &l.farm.Heat[i]; slices.Contains(s.Heat, h.is()) {
			l.heat = append(l.heat, h)
			l.value -= at.in(h.Cost, true)
		}
	}
	for k := range int(at.Weeks) {
		week := int(at.From) + k
		if week == int(math.Ceil(l.farm.Begins)) {
			l.worms = l.farm.Worms.StartKg
		}
		l.cured(float64(week))
		l.used = 0
		for _, b := range l.beds {
			l.used += b.bins
		}
		l.collect(s, at, week)
		for i := range l.farm.Mixes {
			m := &l.farm.Mixes[i]
			l.late["harvest "+m.Name] += s.Harvest[m.Name] / at.Weeks
			l.harvest(m, float64(week))
			l.late["start "+m.Name] += s.Start[m.Name] / at.Weeks
			l.start(m, at.From)
		}
		for _, x := range s.Splits {
			l.split(x, x.Bins/at.Weeks)
		}
		fed := l.feed(week)
		l.live(week, fed)
		l.cured(float64(week)) // what needs no cure
		l.sell(s, at, gave)
	}
	for i, x := range l.farm.Products {
		l.value -= x.Penalty * math.Max(0, at.in(x.Promised, false)-gave[i])
	}
	l.value -= l.farm.OverPrice * s.Overtime
	return gave
}

func (l *lived) cured(week float64) {
	l.cures = slices.DeleteFunc(l.cures, func(c cure) bool {
		if c.until <= week+1e-9 {
			l.stock += c.m3
			return true
		}
		return false
	})
}

// harvest takes the ripe bins of a mix, as many as are asked for.
func (l *lived) harvest(m *Mix, week float64) {
	for i := range l.beds {
		b := &l.beds[i]
		if b.mix != m || b.left > 1e-9 {
			continue
		}
		n := math.Min(b.bins, l.late["harvest "+m.Name])
		b.bins -= n
		l.free += n
		l.late["harvest "+m.Name] -= n
		if n > 0 {
			l.cures = append(l.cures, cure{week + l.farm.CureWeeks, n * m.CastingsM3 * l.world.Yield})
		}
	}
	l.beds = slices.DeleteFunc(l.beds, func(b beds) bool { return b.bins <= 1e-9 })
}

func (l *lived) start(m *Mix, begun float64) {
	n := math.Max(0, math.Min(l.free, l.late["start "+m.Name]))
	for _, q := range m.Parts {
		if each := m.StartM3 * q.Share; each > 0 {
			n = math.Min(n, l.store[q.Feedstock]/each)
		}
	}
	if n <= 0 {
		return
	}
	for _, q := range m.Parts {
		l.store[q.Feedstock] -= n * m.StartM3 * q.Share
	}
	l.late["start "+m.Name] -= n
	l.free -= n
	l.used += n
	l.beds = append(l.beds, beds{mix: m, bins: n, left: m.RipeWeeks, begun: begun})
	l.value -= n * m.StartCost
}

// split parts bins in two: those that are left are ripe later. What was begun later
// than planned is looked for among all that are not ripe.
func (l *lived) split(x Splitting, n float64) {
	if l.farm.Split == nil {
		return
	}
	for _, any := range []bool{false, true} {
		for i := range l.beds {
			b := &l.beds[i]
			if n <= 1e-9 || b.split || b.mix.Name != x.Mix || b.left <= 1e-9 || !any && (b.begun != x.Begun || b.begun < 0 && b.ripeIn != x.RipeIn) {
				continue
			}
			part := *b
			part.bins = math.Min(n, b.bins)
			part.left += l.farm.Split.Back
			part.split = true
			n -= part.bins
			b.bins -= part.bins
			l.beds = append(l.beds, part)
		}
	}
	l.beds = slices.DeleteFunc(l.beds, func(b beds) bool { return b.bins <= 1e-9 })
}

// pace is what a bin does in a week, heated as it is.
func (l *lived) pace(week int) float64 {
	pace := of(l.world.Pace, week, 1)
	for _, h := range l.heat {
		pace += of(h.Pace, week, 1) - of(l.farm.Pace, week, 1)
	}
	return math.Max(0, pace)
}

// growth is that of the worms in a week, heated as it is.
func (l *lived) growth(week int) float64 {
	grows := of(l.world.Growth, week, 0)
	for _, h := range l.heat {
		if len(h.Growth) > 0 {
			grows += of(h.Growth, week, 0) - of(l.farm.Worms.Growth, week, 0)
		}
	}
	return math.Max(0, grows)
}

func (l *lived) collect(s Step, at Period, week int) {
	for i := range l.farm.Feedstocks {
		x := &l.farm.Feedstocks[i]
		got := s.Collect[x.Name] / at.Weeks * of(l.world.Came, week, 1)
		l.store[x.Name] = l.store[x.Name]*(1-x.Spoils) + got
		l.value -= got * x.Cost
	}
}

// feed gives the bins what there is, and how much of what they would eat that is.
func (l *lived) feed(week int) float64 {
	pace := l.pace(week)
	need := map[string]float64{}
	for _, b := range l.beds {
		for _, q := range b.mix.Parts {
			need[q.Feedstock] += b.bins * math.Min(pace, math.Max(b.left, 0)) * b.mix.FeedM3Week * q.Share
		}
	}
	part := 1.0
	for name, n := range need {
		if n > 0 {
			part = math.Min(part, l.store[name]/n)
		}
	}
	part = math.Max(0, part)
	for name, n := range need {
		l.store[name] -= n * part
	}
	for _, x := range l.farm.Feedstocks {
		l.store[x.Name] = math.Min(l.store[x.Name], x.StoreM3)
	}
	return part
}

// live lets bins and worms go on for a week, fed so much of what they would eat.
func (l *lived) live(week int, fed float64) {
	must := 0.0
	for _, b := range l.beds {
		must += b.bins * b.mix.WormsKg
	}
	work := l.pace(week) * fed
	if must > 0 {
		work *= math.Min(1, l.worms/must)
	}
	for i := range l.beds {
		l.beds[i].left -= work
	}
	l.worms = math.Min(l.worms*(1+l.growth(week)*fed), l.used*l.farm.Worms.MostKg)
}

// sell gives what was promised, then what the plan sells beside it, as far as
// there is of both; what was promised and is not there in its week may be given in
// a later one of its period.
func (l *lived) sell(s Step, at Period, gave []float64) {
	give := func(i int, n float64) {
		x := &l.farm.Products[i]
		if x.CastingsM3 > 0 {
			n = math.Min(n, l.stock/x.CastingsM3)
		}
		if x.WormsKg > 0 {
			n = math.Min(n, l.worms/x.WormsKg)
		}
		n = math.Max(0, n)
		gave[i] += n
		l.stock -= n * x.CastingsM3
		l.worms -= n * x.WormsKg
		l.value += n * x.Price
	}
	for i, x := range l.farm.Products {
		give(i, at.in(x.Promised, false)-gave[i])
	}
	for i, x := range l.farm.Products {
		give(i, math.Min(s.Sell[x.Name]/at.Weeks, math.Max(0, s.Sell[x.Name]-gave[i])))
	}
}

// FitWeeks gives the spread of weekly means about the usual [°C] and the
// correlation of one with the next, of a record of such differences in order; NaN
// marks a week without one. model.md (V8).
func FitWeeks(off []float64) (sd, stays float64) {
	var sq, n, both, before float64
	for i, x := range off {
		if math.IsNaN(x) {
			continue
		}
		sq, n = sq+x*x, n+1
		if i > 0 && !math.IsNaN(off[i-1]) {
			both, before = both+x*off[i-1], before+off[i-1]*off[i-1]
		}
	}
	if n == 0 || before == 0 {
		return 0, 0
	}
	return math.Sqrt(sq / n), math.Min(0.99, math.Max(0, both/before))
}
