package bed

import (
	"math"

	"wormyard/worm"
)

// meet gives a layer as worms meet it.
func (r *Runner) meet(l *Layer, i int) worm.Place {
	return worm.Place{TempC: l.TempC, Water: r.u.wet[i], Oxygen: l.Oxygen, AmmoniaMgG: r.u.amm[i], PH: l.PH, SaltDSm: l.Salt / r.u.dry[i]}
}

// meets adds what the worms of each layer meet at one moment, as standing for so
// many hours: half of the step before it and half of the one after. model.md (B33)
func (r *Runner) meets(s *State, hours float64) {
	u := &r.u
	for i := 0; i < u.n; i++ {
		m := &r.met[u.at[i]]
		m.TempC += hours * s.Layers[u.at[i]].TempC
		m.Water += hours * u.wet[i]
		m.AmmoniaMgG += hours * u.amm[i]
	}
	r.metFor += hours
}

// breathed adds the air that the worms of each layer had in a step, and how many of
// them were there. model.md (B33)
func (r *Runner) breathed(s *State, hours float64) {
	u := &r.u
	total := s.Worms.LiveKg() / r.area
	for i := 0; i < u.n; i++ {
		l := &s.Layers[u.at[i]]
		share := l.Worms
		if total > 0 {
			share = u.live[i] / total
		}
		m := &r.met[u.at[i]]
		m.Share += hours * share
		m.Oxygen += hours * l.Oxygen
	}
	r.metLast = hours
}

// reckon steps the stock by all that its worms met since it was stepped last.
func (r *Runner) reckon(s *State) {
	r.meets(s, r.metLast/2) // its water and ammonia as the last step found them
	r.live(s)
	r.met, r.metFor, r.metLast = [MaxLayers]worm.Place{}, 0, 0
}

// has gives a layer as its worms met it since the stock was stepped last.
func (r *Runner) has(l *Layer, i int) worm.Place {
	at, m := r.meet(l, i), &r.met[r.u.at[i]]
	at.Share = l.Worms
	if k := r.metFor; k > momentary && m.Water > 0 {
		at.Share, at.TempC, at.Water, at.Oxygen, at.AmmoniaMgG = m.Share/k, m.TempC/k, m.Water/k, m.Oxygen/k, m.AmmoniaMgG/k
	}
	return at
}

// tasty gives the edible matter of a layer as worms value it [kg/m2].
func (c *Column) tasty(l *Layer) float64 {
	return l.Quick + c.SlowTaste*l.Slow + c.WoodyTaste*l.Woody + c.CastTaste*l.Cast
}

// eat moves the worms towards where it suits them, lets them eat there, and
// turns what they ate into castings; what they breathe goes with what rots (rot),
// once the oxygen is known. The stock itself is stepped in live. model.md (B26 to B31)
func (r *Runner) eat(s *State, dt float64) {
	p, w, u := &r.p.Column, &r.p.Worm, &r.u
	hours := dt / 3600
	days := dt / 86400
	s.Meal.Hours += hours
	total := s.Worms.LiveKg()
	for i := 0; i < u.n; i++ {
		u.resp[i], u.made[i] = 0, 0
	}
	r.troubled = false
	if total <= 0 {
		return
	}
	hungry := r.hungry(&s.Worms) / total
	var pull, appetite, food, held [MaxLayers]float64
	sum, trouble, most := 0.0, 0.0, 1e-9
	for i := 0; i < u.n; i++ { // what draws worms; woody matter does not
		l := &s.Layers[u.at[i]]
		food[i] = max(0, l.Quick+p.SlowTaste*l.Slow+p.CastTaste*l.Cast) / u.dry[i]
		most = max(most, food[i])
	}
	near := 1.0 // pull of the surface where a layer begins
	for i := u.n - 1; i >= 0; i-- {
		l := &s.Layers[u.at[i]]
		suits := u.likW[i] * w.Oxygen(l.Oxygen)
		appetite[i] = hungry * u.row[i][eats] * suits
		avoid := 0.0
		if u.amm[i] > 0.002 {
			avoid = r.table.avoid(u.amm[i])
		}
		like := u.row[i][likes] * suits * (1 - avoid)
		// They leave first where they could not live.
		danger := max(ramp(u.mid[i], w.LeaveHeatC, w.LeaveHeatAllC), ramp(u.mid[i], w.ColdFromC, w.ColdFullC), ramp(l.Oxygen, p.RefugeOxygen, w.OxygenFrom), ramp(u.wet[i], w.DryFrom, w.DryFull), w.Corrosive(l.PH), ramp(l.Salt/u.dry[i], w.SaltLeave, w.SaltFrom))
		trouble += danger * l.Worms
		stay := 1 - max(avoid, danger)
		like *= stay * stay
		fall := fade(u.dz[i] / (2 * p.PreferDepthM))
		draw := food[i] / most
		deep := u.dz[i]
		if l.Side != Whole { // it lies twice as deep on its half
			deep /= halfOf
		}
		if i == u.n-1 && s.Cover.Name == "none" { // by day they keep out of the light
			deep -= lit * min(deep, p.LightM)
		}
		pull[i] = deep * (1e-6 + like*(p.PreferBase+(1-p.PreferBase)*draw*math.Sqrt(draw))*near*fall)
		near *= fall * fall
		sum += pull[i]
	}
	if r.troubled = trouble > troubled; r.troubled {
		s.Stirred = max(s.Stirred, s.Hour-stirredHours)
	}
	move := share(hours / p.ShiftHours)
	mean := 1 - move*p.ShiftHours/hours // of the way to where they go, over the step
	found := 0.0
	r.draw(s, &pull, sum, days)
	for i := 0; i < u.n; i++ {
		l := &s.Layers[u.at[i]]
		held[i] = l.Worms + (pull[i]-l.Worms)*mean
		l.Worms += (pull[i] - l.Worms) * move
		found += l.Worms
	}
	if found < 0.5 { // newly stocked
		found = 1
		for i := 0; i < u.n; i++ {
			s.Layers[u.at[i]].Worms, held[i] = pull[i], pull[i]
		}
	}
	for i := 0; i < u.n; i++ {
		l := &s.Layers[u.at[i]]
		l.Worms /= found
		u.live[i] = total / r.area * held[i] / found
		if u.live[i] <= 0 {
			continue
		}
		r.graze(s, l, i, appetite[i], days, dt)
	}
	r.carry(s)
}

// lit is the share of a day that it is light, over the year. model.md (B26)
const lit = 0.5

// hungry gives the hunger of a stock; it is worked out anew when the stock has
// changed. model.md (B27, W11)
func (r *Runner) hungry(w *worm.Stock) float64 {
	u := &r.u
	if is := [...]float64{w.AdultKg, w.Adults, w.JuvenileKg, w.Young[0]}; is != u.hungerOf {
		u.hunger, u.hungerOf = w.Hunger(&r.p.Worm), is
	}
	return u.hunger
}

// carry lets worms cast a share of what they ate in a layer in its neighbours,
// by where the worms are. The castings take along the ash, carbon, nitrogen,
// water and warmth that such matter has in its layer. model.md (B70)
func (r *Runner) carry(s *State) {
	u := &r.u
	for i := 0; i < u.n; i++ {
		goes := r.p.CastElsewhere * u.made[i]
		if goes <= traceCast*u.dry[i] {
			continue
		}
		down, up := 0.0, 0.0
		if i > 0 {
			down = u.live[i-1]
		}
		if i+1 < u.n {
			up = u.live[i+1]
		}
		all := u.live[i] + down + up
		if down > 0 {
			r.move(s, i, i-1, goes*down/all)
		}
		if up > 0 {
			r.move(s, i, i+1, goes*up/all)
		}
	}
}

// traceCast is what a layer's worms make, of its dry matter, below which nothing
// is carried.
const traceCast = 1e-7

// move carries castings [kg of volatile matter for each m2] from one cell to
// another, unless frost holds either.
func (r *Runner) move(s *State, from, to int, cast float64) {
	u := &r.u
	a, b := &s.Layers[u.at[from]], &s.Layers[u.at[to]]
	if a.Ice > 0 || b.Ice > 0 || cast > a.Cast {
		return
	}
	// Written out field by field, for this is done some twenty times in a step.
	f := cast / a.Volatile()
	ash, water, salt := f*a.Ash, f*a.Water, f*a.Salt
	carbon, nitrogen, ammonia, nitrate := f*a.Carbon, f*a.Nitrogen, f*a.Ammonia, f*a.Nitrate
	dry := cast + ash
	deep := a.DepthM * dry / a.Dry()
	had, brought := r.p.heatCap(b), dry*r.p.DryHeat+water*waterHeat
	b.TempC += brought * (a.TempC - b.TempC) / (had + brought)
	a.Cast, b.Cast = a.Cast-cast, b.Cast+cast
	a.Ash, b.Ash = a.Ash-ash, b.Ash+ash
	a.Water, b.Water = a.Water-water, b.Water+water
	a.Carbon, b.Carbon = a.Carbon-carbon, b.Carbon+carbon
	a.Nitrogen, b.Nitrogen = a.Nitrogen-nitrogen, b.Nitrogen+nitrogen
	a.Ammonia, b.Ammonia = a.Ammonia-ammonia, b.Ammonia+ammonia
	a.Nitrate, b.Nitrate = a.Nitrate-nitrate, b.Nitrate+nitrate
	a.Salt, b.Salt = a.Salt-salt, b.Salt+salt
	a.DepthM -= deep
	b.DepthM += deep
	u.dry[from] -= dry
	u.dry[to] += dry
	u.charge[from], u.charge[to] = a.Ammonia-a.Nitrate, b.Ammonia-b.Nitrate
}

// fade gives exp(-x); quick, and within 2e-6, for the half of a usual layer.
func fade(x float64) float64 {
	if x > 0.25 {
		return math.Exp(-x)
	}
	even := 1 + x*x/12
	return (even - x/2) / (even + x/2)
}

// graze lets the worms of one layer eat for a step, and says what they would
// breathe of it with air enough. model.md (B27, B29, B30)
func (r *Runner) graze(s *State, l *Layer, i int, appetite, days, dt float64) {
	p, u := &r.p.Column, &r.u
	live := u.live[i]
	wanted := appetite * live * days                             // wet [kg/m2]
	need := u.row[i][breathes] * live * dt / p.OxygenPerVolatile // their own breath; hungry worms burn themselves (live)
	s.Meal.WantedWet += wanted * r.area
	taste := p.tasty(l)
	vol, dry := l.Volatile(), l.Dry()
	if taste > 0 && wanted > 0 && vol > 0 {
		wet := dry + l.Water
		plenty := wanted / wet * vol // volatile, if there were plenty
		scarce := p.FoodHalf * live
		middle := max(0.5, 1-0.5*plenty/(taste+scarce)) // taste that is left at the middle of the step
		part := share(plenty / (taste*middle + scarce)) // of each pool, times its taste
		eaten := taste * part
		quick, slow := l.Quick*part, l.Slow*part*p.SlowTaste
		woody, cast := l.Woody*part*p.WoodyTaste, l.Cast*part*p.CastTaste
		u.resp[i] = min(need+p.GutLoss*(quick+slow), mostBreathed*eaten)
		if l.Woody > 0 {
			l.Lignin -= l.Lignin * woody / l.Woody
		}
		l.Quick -= quick
		l.Slow -= slow
		l.Woody -= woody
		l.Cast += eaten - cast
		u.made[i] = eaten
		eatenDry := eaten * dry / vol
		s.Meal.EatenDry += eatenDry * r.area
		s.Meal.EatenWet += eatenDry * wet / dry * r.area
		s.Meal.Nitrogen += eaten / vol * l.Nitrogen * r.area
		r.day.eaten += eatenDry * wet / dry
	}
}

// mostBreathed is the most of what is eaten that may be breathed at once: a
// bound for the arithmetic, far above what fed worms breathe.
const mostBreathed = 0.5

// live steps the stock: growth out of what was eaten, shrinking, deaths, leaving,
// hatching; and books what that takes from and gives to the layers.
// model.md (B32, B33)
func (r *Runner) live(s *State) {
	p, w, u := &r.p.Column, &r.p.Worm, &r.u
	m := s.Meal
	s.Meal = Meal{}
	before := s.Worms.MassKg(w)
	if before <= 0 || m.Hours <= 0 || u.n == 0 {
		return
	}
	places := r.places(s)
	// Nitrogen bounds what the feed can become.
	eaten := m.EatenDry
	if most := p.NitrogenTaken * m.Nitrogen / (w.NitrogenFrac * w.TissueYield); eaten > most {
		eaten = most
	}
	eaten = min(eaten, r.spare(s)/w.TissueYield)
	c := worm.Conditions{Places: places, AreaM2: r.area, EatenKgWet: m.EatenWet, EatenKgDry: eaten, WantedKgWet: m.WantedWet, Days: m.Hours / 24}
	cocoons := s.Worms.Cocoons
	f := worm.Step(w, &s.Worms, c)
	if f.Laid > 0 { // cocoons stay where they are laid
		new := f.Laid / (cocoons + f.Laid)
		for i := 0; i < u.n; i++ {
			l := &s.Layers[u.at[i]]
			l.Cocoons += (l.Worms - l.Cocoons) * new
		}
	}
	dead := f.CocoonsDied
	for _, d := range f.Died {
		dead += d
	}
	after := s.Worms.MassKg(w)
	grown := after - before + f.Shrunk + f.Left + dead // f.Grown to the last bit
	if f.Left+dead > worrying*before*m.Hours {
		s.Stirred = s.Hour
	}
	r.day.left += f.Left
	r.day.fed += f.Fed * m.Hours
	r.day.fedHours += m.Hours
	r.exchange(s, grown, f.Shrunk, f.Left, dead)
}

// places gathers the layers into few places for the stock: neighbours are thrown
// together until each holds a fair share of the worms.
func (r *Runner) places(s *State) []worm.Place {
	u := &r.u
	n := 0
	var acc worm.Place
	weight := 0.0
	flush := func() {
		if weight <= 0 {
			return
		}
		acc.TempC /= weight
		acc.Water /= weight
		acc.Oxygen /= weight
		acc.AmmoniaMgG /= weight
		acc.PH /= weight
		acc.SaltDSm /= weight
		r.place[n] = acc
		n++
		acc, weight = worm.Place{}, 0
	}
	// Worms that only dislike the ammonia of a layer leave it for a milder one and
	// not the bed; what kills is met as it is. model.md (B33)
	p, w := &r.p.Column, &r.p.Worm
	mildest := math.Inf(1)
	for i := 0; i < u.n; i++ {
		l := &s.Layers[u.at[i]]
		if p.Refuge(l.TempC, l.Oxygen) && u.amm[i] < mildest {
			mildest = u.amm[i]
		}
	}
	for i := 0; i < u.n; i++ {
		l := &s.Layers[u.at[i]]
		at := r.has(l, i)
		if at.AmmoniaMgG < dislike*w.AmmoniaLC {
			at.AmmoniaMgG = min(at.AmmoniaMgG, mildest)
		}
		x := at.Share + l.Cocoons + 1e-12
		acc.Share += at.Share
		acc.CocoonShare += l.Cocoons
		acc.TempC += x * at.TempC
		acc.Water += x * at.Water
		acc.Oxygen += x * at.Oxygen
		acc.AmmoniaMgG += x * at.AmmoniaMgG
		acc.PH += x * at.PH
		acc.SaltDSm += x * at.SaltDSm
		weight += x
		if weight > fairShare {
			flush()
		}
	}
	flush()
	worms, cocoons := 0.0, 0.0
	for i := 0; i < n; i++ {
		worms += r.place[i].Share
		cocoons += r.place[i].CocoonShare
	}
	for i := 0; i < n; i++ {
		if worms > 0 {
			r.place[i].Share /= worms
		}
		if cocoons > 0 {
			r.place[i].CocoonShare /= cocoons
		} else {
			r.place[i].CocoonShare = r.place[i].Share
		}
	}
	return r.place[:n]
}

// dislike is the share of the deadly ammonia up to which worms are driven and
// not harmed: no effect was found at 0.5 mg/g, with half dead at 0.85
// (Zeguerrou and others 2019).
const dislike = 0.5

// fairShare is of worms and cocoons together, which add to 2.
const fairShare = 0.2

// exchange books live mass grown, shrunk, left and dead [kg, whole bin] against
// the layers, by where the worms are.
func (r *Runner) exchange(s *State, grown, shrunk, left, dead float64) {
	p, u := &r.p.Column, &r.u
	per := 1 / r.area
	gone := r.body(left * per)
	gone.heat = 0
	r.out.plus(gone)
	r.take(s, r.body(grown*per))
	worms, cocoons := 0.0, 0.0
	for i := 0; i < u.n; i++ {
		worms += s.Layers[u.at[i]].Worms
		cocoons += s.Layers[u.at[i]].Cocoons
	}
	for i := 0; i < u.n; i++ {
		l := &s.Layers[u.at[i]]
		here := 1 / float64(u.n)
		if worms > 0 {
			here = l.Worms / worms
		} else if cocoons > 0 {
			here = l.Cocoons / cocoons
		}
		if d := r.body(dead * per * here); d.dry > 0 {
			l.Quick += d.dry
			l.Carbon += d.carbon
			l.Nitrogen += d.nitrogen
			l.Water += d.water
			r.in.heat += d.dry*p.dryContent(l.TempC) + d.water*waterContent(l.TempC)
		}
		if b := r.body(shrunk * per * here); b.dry > 0 {
			// Burnt tissue: matter to gas and water, nitrogen to the layer, heat at once.
			formed := b.dry * p.MetabolicWater
			l.Ammonia += b.nitrogen
			l.Water += b.water + formed
			r.in.water += formed
			r.in.heat += (b.water + formed) * waterContent(l.TempC)
			r.out.dry += b.dry
			r.out.carbon += b.carbon
			q := b.dry * p.OxygenPerVolatile * p.OxygenHeat * 1e6
			l.TempC += q / p.heatCap(l)
			r.in.heat += q
			r.money.ReleasedJ += q
			r.money.OxygenKg += b.dry * p.OxygenPerVolatile
			r.day.released += q
		}
	}
}

// troubled is the share of the worms in danger above which the stock is stepped with
// the bed, which steps three hours at most.
const troubled = 0.05

// worrying is the share of the worms lost in an hour above which steps are half an
// hour at most [1/h].
const worrying = 0.002

// spare gives the dry worm [kg, whole bin] that a part of what is in the layers
// could become, by whatever is scarcest: a bound that binds only in a bed with
// next to nothing in it.
func (r *Runner) spare(s *State) float64 {
	w := &r.p.Worm
	var dry, carbon, nitrogen, water float64
	for i := 0; i < r.u.n; i++ {
		l := &s.Layers[r.u.at[i]]
		dry += l.Volatile()
		carbon += l.Carbon
		nitrogen += l.Nitrogen
		water += l.Water
	}
	least := min(min(dry, carbon/w.CarbonFrac), min(nitrogen/w.NitrogenFrac, water*w.DryFrac/(1-w.DryFrac)))
	return 0.05 * least * r.area
}

// take moves matter from the layers into worms: dry matter and carbon from the
// volatile matter, nitrogen first organic, then mineral, water from the layer.
// Layers give by their share of worms; what they cannot give the others do.
func (r *Runner) take(s *State, want flow) {
	p, u := &r.p.Column, &r.u
	if want.dry <= 0 {
		return
	}
	for pass := 0; pass < 6 && want.dry > 1e-18; pass++ {
		all := want
		for i := 0; i < u.n; i++ {
			l := &s.Layers[u.at[i]]
			f := l.Worms
			if pass > 0 {
				f = 1
				all = want
			}
			d := flow{dry: all.dry * f, carbon: all.carbon * f, nitrogen: all.nitrogen * f, water: all.water * f}
			vol := l.Volatile()
			mineral := l.Ammonia + l.Nitrate
			if vol <= 0 {
				continue
			}
			// Bound by the scarcest.
			b := 1.0
			for _, x := range [...][2]float64{{d.dry, 0.5 * vol}, {d.carbon, 0.5 * l.Carbon}, {d.nitrogen, 0.5 * (l.Nitrogen + mineral)}, {d.water, 0.5 * l.Water}} {
				if x[0] > 0 && x[0]*b > x[1] {
					b = x[1] / x[0]
				}
			}
			if b <= 0 {
				continue
			}
			d = flow{dry: d.dry * b, carbon: d.carbon * b, nitrogen: d.nitrogen * b, water: d.water * b}
			k := d.dry / vol
			l.Quick -= k * l.Quick
			l.Slow -= k * l.Slow
			l.Woody -= k * l.Woody
			l.Lignin -= k * l.Lignin
			l.Cast -= k * l.Cast
			l.Carbon -= d.carbon
			n := d.nitrogen
			if o := min(n, 0.5*l.Nitrogen); o > 0 {
				l.Nitrogen -= o
				n -= o
			}
			if n > 0 && mineral > 0 {
				l.Ammonia -= n * l.Ammonia / mineral
				l.Nitrate -= n * l.Nitrate / mineral
			}
			l.Water -= d.water
			r.out.heat += d.dry*p.dryContent(l.TempC) + d.water*waterContent(l.TempC)
			want.dry -= d.dry
			want.carbon -= d.carbon
			want.nitrogen -= d.nitrogen
			want.water -= d.water
		}
	}
}

// momentary is for how long what worms meet at the end of a step stands for all of
// it: while things change fast the stock is stepped as often as the bed [h].
const momentary = 1
