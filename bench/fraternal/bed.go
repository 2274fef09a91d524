package fraternal

import "math"

// row is what was laid at one time, from wall to wall. Masses are of the whole
// bin; temperature and ice are by column.
type row struct {
	om, ash    float64 // not worked by worms [kg]
	cast, cash float64 // worked: organic and ash [kg]
	water      float64 // liquid [kg]
	nu, late   float64 // of om: shape, and age [days at 25 C]
	castLate   float64 // age of cast
	first      float64 // rate with which om began [1/day]
	settled    float64 // share of its rotters that have settled
	loose      float64 // volume of a kilogram unworked, as laid [m3]
	age        float64 // [day]
	food       float64 // share of om and ash that was laid as feed and not as bedding
	oxygen     float64 // of pore air
	fed        int     // mark of the feeding it came with, less than 0 for bedding
	t          [columns]float64
	ice        [columns]float64 // [kg]
}

func (r *row) dry() float64 { return r.om + r.ash + r.cast + r.cash }

func (r *row) frozen() float64 {
	sum := 0.0
	for _, v := range r.ice {
		sum += v
	}
	return sum
}

// wet is the water of wet mass, ice included.
func (r *row) wet() float64 {
	w := r.water + r.frozen()
	return w / (w + r.dry())
}

// holds is the water that the row keeps against its weight [kg].
func (r *row) holds(n *nature) float64 { return (r.om+r.ash)*n.holds + (r.cast+r.cash)*n.castHolds }

// deep is its depth [m]: feed sinks together within weeks, castings lie at about
// 260 kg of dry matter in a cubic metre.
func (r *row) deep() float64 {
	sunk := 0.70 + 0.30*math.Exp(-r.age/14)
	return ((r.om+r.ash)*r.loose*sunk + (r.cast+r.cash)/260) / area
}

// store is the heat capacity of a column of the row [J/K].
func (r *row) store(x int) float64 {
	return (r.dry()*dryHeat+r.water*waterHeat)/columns + r.ice[x]*iceHeat
}

// mean is its temperature, by columns.
func (r *row) mean() float64 {
	sum := 0.0
	for _, v := range r.t {
		sum += v
	}
	return sum / columns
}

// pour brings water of a temperature into a row [kg, C].
func (r *row) pour(kg, c float64) {
	for x := range r.t {
		s := r.store(x)
		r.t[x] = (s*r.t[x] + kg/columns*waterHeat*c) / (s + kg/columns*waterHeat)
	}
	r.water += kg
}

// quality is the mean rate of what is left against that of fresh feed.
func (r *row) quality() float64 {
	if r.om <= 0 || r.first <= 0 {
		return 0
	}
	return r.nu / r.late / r.first
}

// dull is the rate at 25 C below which nothing feeds a worm [1/day]; wood rots
// more slowly.
const dull = 0.002

// edible is the share of unworked organic matter that can feed a worm: the part
// of the gamma distribution above a rate.
func (r *row) edible() float64 { return above(r.nu, r.late*dull) }

// above is the part of a gamma distribution of shape a, scale 1, above x, by the
// series of the part below (DLMF 8.7.1).
func above(a, x float64) float64 {
	if a <= 0 || x > 30 {
		return 0
	}
	term := 1.0
	sum := term
	for n := 1.0; n < 200 && term > 1e-12*sum; n++ {
		term *= x / (a + n)
		sum += term
	}
	g, _ := math.Lgamma(a + 1)
	return max(0, 1-sum*math.Exp(a*math.Log(x)-x-g))
}

// bin is a box with, or without, a bed.
type bin struct {
	name           string
	row, at, level int
	slot           string
	n              nature
	f              *Farm
	rows           []row // from the top down
	worms          stock
	cover          string
	laid           int     // day
	fed            int     // day of the last feeding, -1 for none
	fedEdible      float64 // what of it could feed a worm [kg]
	feeding        int     // mark of its rows
	fedKg          float64
	seen           int     // day on which somebody last had it before them
	ripe           int     // age at which it is harvested [day]
	said           float64 // worms last said to be put in [kg]
	lifted         int     // day on which it was last set aside, and one
	logger         *logger
	next           []act
	left, right    *bin // in the row
	above, below   *bin
	made           float64 // castings of earlier beds [kg dry]
	worked         float64 // castings of this one [kg dry]
	hotC, refuge   float64
	dayHot         float64
	dayRefuge      float64
	offAir         float64 // its air against that of its place [C]
	edibleNow      []float64
	book           book
}

// book is what went in and out, for the balance.
type book struct {
	dryIn, dryOut, gas         float64 // [kg]
	waterIn, waterOut, ofRot   float64
	heatIn, heatOut, heatOfRot float64 // [J]
}

type act struct {
	hour int64
	do   func()
}

// due does what was to be done by an hour.
func (b *bin) due(f *Farm, t int64) {
	kept := b.next[:0]
	for _, a := range b.next {
		if a.hour <= t {
			a.do()
		} else {
			kept = append(kept, a)
		}
	}
	b.next = kept
}

func (b *bin) deep() float64 {
	sum := 0.0
	for i := range b.rows {
		sum += b.rows[i].deep()
	}
	return sum
}

// lay brings a volume of a mix on top, of a temperature.
func (b *bin) lay(m *Mix, depthM, c float64) {
	v := depthM * area
	dry, water := m.dry*v, m.water*v
	n := 1
	if depthM > 0.05 {
		n = int(math.Ceil(depthM / 0.05))
	}
	var fresh []row
	b.feeding = b.f.Day + 1
	for range n {
		r := row{om: dry * (1 - m.ash) / float64(n), ash: dry * m.ash / float64(n), water: water / float64(n), nu: m.nu, late: m.late, first: m.nu / m.late,
			castLate: m.late, settled: 0.15, loose: 1 / m.dry, oxygen: 0.2, fed: b.feeding}
		for x := range r.t {
			r.t[x] = c
			b.book.heatIn += r.store(x) * c
		}
		fresh = append(fresh, r)
	}
	b.book.dryIn += dry
	b.book.waterIn += water
	b.rows = append(fresh, b.rows...)
	b.fedKg, b.fedEdible = dry, 0
	for i := range fresh {
		b.fedEdible += fresh[i].om * fresh[i].edible()
	}
	b.f.Tally.FedKg += dry
}

// spread lays feed.
func (b *bin) spread(m *Mix, depthM, c float64) {
	had := len(b.rows)
	b.lay(m, depthM, c)
	for i := range b.rows[:len(b.rows)-had] {
		b.rows[i].food = 1
	}
}

// rot is some days of decay: each row ages by its warmth, moisture and air, and
// its rates with it (Boudreau and Ruddick: rate nu/late, late grows with time
// lived). What is gone becomes heat, water and gas.
func (b *bin) rot(days float64) {
	n := &b.n
	b.breathe(days)
	for i := range b.rows {
		r := &b.rows[i]
		r.age += days
		wet := r.wet()
		f := r.oxygen / (r.oxygen + 0.012)
		if wet < n.slowWet {
			x := max(0, (wet-0.22)/(n.slowWet-0.22))
			f *= x * x * (3 - 2*x)
		}
		var speed [columns]float64
		mean := 0.0
		for x := range r.t {
			speed[x] = n.warmth(r.t[x]) * f
			mean += speed[x] / columns
		}
		if mean <= 0 {
			continue
		}
		r.settled += days * n.settleDay * mean * r.settled * (1 - r.settled)
		r.settled = min(r.settled, 1)
		gone := r.om * -math.Expm1(-r.nu/r.late*mean*r.settled*days)
		calm := r.cast * -math.Expm1(-n.castRate*r.nu/r.castLate*mean*days)
		r.late += days * mean * r.settled
		r.castLate += days * mean
		b.burn(r, gone, calm, &speed, mean)
	}
}

// burn takes organic matter of a row as gas, with the heat of it where it was warm.
func (b *bin) burn(r *row, gone, calm float64, speed *[columns]float64, mean float64) {
	const water = 0.55 // kg of a kg of matter; cellulose gives 0.556
	kg := gone + calm
	heat := kg * b.n.heatKg
	drop := (kg*dryHeat - kg*water*waterHeat) / columns // of the capacity of a column
	for x := range r.t {
		s := r.store(x)
		r.t[x] = (s*r.t[x] + heat/columns*speed[x]/mean) / s
		b.book.heatOut += drop * r.t[x] // what leaves is as warm as it was
	}
	r.om -= gone
	r.cast -= calm
	r.water += kg * water
	b.book.heatOfRot += heat
	b.book.gas += kg
	b.book.ofRot += kg * water
}

// breathe gives the oxygen of every row: what comes through the rows above and
// through the sides against what rot and worms use, steady at every moment.
func (b *bin) breathe(days float64) {
	const air = 0.21
	k := len(b.rows)
	if k == 0 {
		return
	}
	var lo, di, up, rh, g [64]float64
	k = min(k, 64)
	depth := make([]float64, k)
	for i := range k {
		r := &b.rows[i]
		depth[i] = max(r.deep(), 1e-3)
		solid := r.dry() / 1600
		pores := max(0.02, 1-(solid+(r.water+r.frozen())/1000)/(depth[i]*area))
		// Open pores carry gas roughly with the 2.5th power of their share.
		g[i] = 1.9e-5 * b.n.breathe * math.Pow(pores, 2.5)                                               // [m2/s]
		use := r.om*r.nu/r.late*b.n.warmth(r.mean())*r.settled*1.3/86400/1.3 + b.worms.breath/float64(k) // [m3 O2/s] at 1.3 kg/m3
		di[i] = use / (max(r.oxygen, 0.002) + 0.012)
		side := 4 * side * depth[i] * 2e-6 * b.n.breathe // boards with holes [m3/s]
		di[i] += side
		rh[i] = side * air
	}
	lid := area * 6e-5 * b.n.breathe
	if b.cover == "film" {
		lid /= 4
	}
	di[0] += lid
	rh[0] += lid * air
	base := area * 1.2e-5 * b.n.breathe
	di[k-1] += base
	rh[k-1] += base * air
	for i := 0; i+1 < k; i++ {
		c := area / (depth[i]/2/g[i] + depth[i+1]/2/g[i+1])
		di[i] += c
		di[i+1] += c
		up[i], lo[i+1] = -c, -c
	}
	thomas(lo[:k], di[:k], up[:k], rh[:k])
	for i := range k {
		b.rows[i].oxygen = 0.5*b.rows[i].oxygen + 0.5*min(max(rh[i], 0), air)
	}
	_ = days
}

// thomas solves a tridiagonal system in place of its right side.
func thomas(lo, di, up, rh []float64) {
	for i := 1; i < len(di); i++ {
		m := lo[i] / di[i-1]
		di[i] -= m * up[i-1]
		rh[i] -= m * rh[i-1]
	}
	for i := len(di) - 1; i >= 0; i-- {
		if i+1 < len(di) {
			rh[i] -= up[i] * rh[i+1]
		}
		rh[i] /= di[i]
	}
}

// tidy joins rows that have become thin with the one below.
func (b *bin) tidy() {
	for i := 0; i+1 < len(b.rows); i++ {
		if len(b.rows) <= 4 || b.rows[i].deep() > 0.018 && len(b.rows) <= 22 || b.rows[i].age < 5 {
			continue
		}
		b.rows[i+1].join(&b.rows[i])
		b.rows = append(b.rows[:i], b.rows[i+1:]...)
		i--
	}
}

// join takes another row in. Rates are kept, ages follow.
func (r *row) join(o *row) {
	om, cast := r.om+o.om, r.cast+o.cast
	if om > 0 {
		rate := (r.om*r.nu/r.late + o.om*o.nu/o.late) / om
		r.nu = (r.om*r.nu + o.om*o.nu) / om
		r.first = (r.om*r.first + o.om*o.first) / om
		r.settled = (r.om*r.settled + o.om*o.settled) / om
		r.late = r.nu / rate
	}
	if cast > 0 {
		r.castLate = (r.cast*r.castLate + o.cast*o.castLate) / cast
	}
	if un := r.om + r.ash + o.om + o.ash; un > 0 {
		r.loose = ((r.om+r.ash)*r.loose + (o.om+o.ash)*o.loose) / un
		r.age = ((r.om+r.ash)*r.age + (o.om+o.ash)*o.age) / un
		r.food = ((r.om+r.ash)*r.food + (o.om+o.ash)*o.food) / un
	}
	r.oxygen = (r.oxygen + o.oxygen) / 2
	for x := range r.t {
		a, c := r.store(x), o.store(x)
		r.t[x] = (a*r.t[x] + c*o.t[x]) / (a + c)
		r.ice[x] += o.ice[x]
	}
	r.om, r.cast, r.ash, r.cash, r.water = om, cast, r.ash+o.ash, r.cash+o.cash, r.water+o.water
}

// tempAt gives what a probe in the middle of the bin says at a depth below the
// surface [m].
func (b *bin) tempAt(deep float64) float64 {
	at, was, last := 0.0, 0.0, math.NaN()
	for i := range b.rows {
		r := &b.rows[i]
		d := r.deep()
		mid, c := at+d/2, (r.t[columns/2-1]+r.t[columns/2])/2
		if mid >= deep {
			if math.IsNaN(last) {
				return c
			}
			return last + (deep-was)/(mid-was)*(c-last)
		}
		at, was, last = at+d, mid, c
	}
	return last
}

func (b *bin) wet() float64 {
	var w, dry float64
	for i := range b.rows {
		w += b.rows[i].water + b.rows[i].frozen()
		dry += b.rows[i].dry()
	}
	return w / (w + dry)
}

// topWet is the moisture of the upper two inches, which a hand reaches.
func (b *bin) topWet() float64 {
	var w, dry, at float64
	for i := range b.rows {
		r := &b.rows[i]
		w, dry, at = w+r.water+r.frozen(), dry+r.dry(), at+r.deep()
		if at > 2*inch {
			break
		}
	}
	return w / (w + dry)
}

// feed is what is left of feed that can still feed a worm, with its share of ash
// [kg dry]; bedding is none.
func (b *bin) feed() float64 {
	sum := 0.0
	for i := range b.rows {
		r := &b.rows[i]
		sum += (r.om*r.edible() + r.ash) * r.food
	}
	return sum
}

func (b *bin) truth() Truth {
	t := Truth{MidC: b.tempAt(b.deep() / 2), WaterOfWet: b.wet(), FeedKg: b.feed(), WormKg: b.worms.live(), MadeKg: b.made + b.worked,
		HotC: b.hotC, Refuge: b.refuge, DepthM: b.deep()}
	b.hotC, b.refuge = math.Inf(-1), 1
	return t
}
