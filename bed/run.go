package bed

import (
	"fmt"
	"math"

	"wormyard/climate"
	"wormyard/worm"
)

// Run steps the bed from s.Hour to the hour until, through the acts (sorted by
// hour; each is done at the start of its hour, those before s.Hour are passed
// over), and calls out once a day at midnight UTC and at the end. It changes s.
// The error says which act cannot be done; s is then at the hour of that act.
// For many runs with one set of parameters a Runner keeps its tables and memory.
func Run(p *Parameters, box Box, s *State, air climate.Series, until int64, acts []Act, out func(Day)) (Budget, error) {
	return NewRunner(p).Run(box, s, air, until, acts, out)
}

// Runner steps beds with one set of parameters. It is not safe for use by two
// goroutines at once; a State may be passed from one Runner to another.
type Runner struct {
	Each  int64 // hours between outputs; 24 when 0
	Finer int   // divides every step, for tests of accuracy; 1 when 0

	p               Parameters
	table           tables
	warmth          float64 // free diffusivity at 20 C over that at 0 C
	open20          float64 // oxygen of open air at 20 C [kg/m3]
	bite            float64 // free share of ammonia in the trials that the worms' limits come from
	heat            *heatColumn
	gas             *gasColumn
	tick            float64 // shortest step [s]
	warms           float64 // heat of what rots in this bed, against that by the numbers
	frosty          bool    // a layer is near freezing in this step
	troubled        bool    // more of the worms are in danger in this step than troubled
	box             Box
	area            float64 // [m2]
	u               cells
	top             surface
	day             daily
	money           Budget // of the run so far, for each m2 in the flows
	in              flow
	out             flow
	place           [MaxLayers]worm.Place
	met             [MaxLayers]worm.Place // by layer: what worms met since the stock was stepped last, times the hours of it
	metFor, metLast float64               // these, and of the last step [h]
	temps           [MaxLayers]float64
	taken           worm.Stock
	trial           [MaxLayers]float64
	latent          [MaxLayers]float64 // heat of what may freeze or thaw in a step [J/m2]
}

// cells is what a step needs of the layers that have matter, from the floor up.
type cells struct {
	n        int
	at       [MaxLayers]int // index in State.Layers
	dz       [MaxLayers]float64
	dry      [MaxLayers]float64
	eps      [MaxLayers]float64 // air space
	k        [MaxLayers]float64 // heat conductivity [W/(m K)]
	hold     [MaxLayers]float64
	mid      [MaxLayers]float64 // temperature expected at the middle of the step [C]
	wet      [MaxLayers]float64 // water of wet, ice left out
	rots     [MaxLayers]rots    // matter that rots in the step at the temperature expected
	gone     [MaxLayers]float64 // all of that [kg/m2]
	steep    [MaxLayers]float64 // how much faster it rots for each kelvin above that [1/K]
	more     [MaxLayers]float64 // what really rotted over what was expected
	most     [MaxLayers]float64 // the most that this may be
	hunger   float64            // of the stock hungerOf tells of [kg]
	hungerOf [4]float64
	live     [MaxLayers]float64 // worms [kg/m2]
	made     [MaxLayers]float64 // volatile matter eaten in the step [kg/m2]
	resp     [MaxLayers]float64 // matter breathed by worms in the step [kg/m2]
	amm      [MaxLayers]float64 // ammonia as the worms meet it [mg of NH4OH for each g of dry soil of their trials]
	charge   [MaxLayers]float64 // ammoniacal less nitrate nitrogen before the step's turnover [kg/m2]
	free     [MaxLayers]float64 // share of the ammonia that is unionised
	row      [MaxLayers]warmRow // answers to the temperature expected
	damp     [MaxLayers]float64 // answer of decay to water
	likW     [MaxLayers]float64 // answer of worms to water
	cap      [MaxLayers]float64 // heat capacity [J/(m2 K)]
	base     [MaxLayers]float64 // decay factor without oxygen's
	oxy      [MaxLayers]float64 // oxygen's factor, 1 in open air
	way      [MaxLayers]float64 // thickness over diffusivity relative to open air at 20 C, of half a cell [m]
	depM     float64            // depth of the bed [m]
}

// NewRunner gives a Runner for the parameters, which it copies.
func NewRunner(p *Parameters) *Runner {
	r := &Runner{p: *p, warms: 1, heat: newHeatColumn(MaxLayers), gas: newGasColumn(MaxLayers)}
	r.table.fill(p)
	r.warmth = math.Pow((zeroKelvin+20)/zeroKelvin, p.Diffusivity.Exponent)
	r.open20 = AtmosphericOxygen(20)
	r.bite = FreeAmmonia(trialC, p.AmmoniaTestPH)
	return r
}

// trialC is the temperature of the ammonia trials [C].
const trialC = 20

// ticksPerHour is how finely an hour is stepped at most.
const ticksPerHour = 2

// blockTicks is the longest step in ticks; a step never crosses a multiple of
// it, so that a run stopped at a whole block and taken up again gives the same
// bits.
const blockTicks = 12

// Run is the Run of the package. After the first call it allocates nothing.
func (r *Runner) Run(box Box, s *State, air climate.Series, until int64, acts []Act, out func(Day)) (Budget, error) {
	each, finer := r.Each, int64(r.Finer)
	if each <= 0 {
		each = 24
	}
	if finer <= 0 {
		finer = 1
	}
	finer *= ticksPerHour
	r.tick = 3600 / float64(finer)
	r.warms = math.Exp(s.HeatLn)
	r.box, r.area = box, box.Area()
	if box.WallU <= 0 {
		r.box.WallU = r.p.WallU
	}
	if !(r.area > 0) {
		return Budget{}, fmt.Errorf("the bin has no area: its length is %g m and its width %g m", box.LengthM, box.WidthM)
	}
	s.Worms.Settle(&r.p.Worm)
	r.money, r.taken = Budget{}, worm.Stock{}
	r.met, r.metFor, r.metLast = [MaxLayers]worm.Place{}, 0, 0
	r.in, r.out = r.total(s), flow{}
	start := r.in
	r.day.reset()

	next := 0
	for next < len(acts) && acts[next].Hour < s.Hour {
		next++
	}
	for {
		for next < len(acts) && acts[next].Hour == s.Hour {
			if s.Meal.Hours > 0 { // what the worms met until now is theirs before things change
				r.gather(s, 0)
				r.reckon(s)
			}
			if err := r.do(s, &acts[next], r.box.At(air.At(s.Hour))); err != nil {
				return r.close(s, start), err
			}
			s.Stirred = s.Hour
			next++
		}
		if s.Hour >= until {
			break
		}
		if next < len(acts) && acts[next].Hour < s.Hour {
			return r.close(s, start), fmt.Errorf("the acts are not in order of time: act %d is before act %d", next+1, next)
		}
		stop := until
		if next < len(acts) && acts[next].Hour < stop {
			stop = acts[next].Hour
		}
		if edge := (floorDiv(s.Hour, each) + 1) * each; edge < stop {
			stop = edge
		}
		for tick := s.Hour * finer; tick < stop*finer; {
			tick += r.step(s, air, tick, stop*finer-tick, finer)
			s.Hour = floorDiv(tick, finer)
		}
		if stop == until && s.Meal.Hours > 0 && r.metFor > 0 { // nobody else knows what they met
			r.gather(s, 0)
			r.reckon(s)
		}
		if floorDiv(stop, each)*each == stop || stop == until {
			d := r.day.close(r, s)
			if out != nil {
				out(d)
			}
			r.day.reset()
		}
	}
	return r.close(s, start), nil
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// step moves the bed on by some ticks, at most left, and gives how many. The
// order: what the layers are, what the worms eat, how quickly the rest could rot
// at the temperature expected at the middle of the step, the oxygen that allows
// it, what rots; then the heat of all that over the step; then the water
// and the room. model.md (B35)
func (r *Runner) step(s *State, air climate.Series, tick, left, finer int64) int64 {
	n := r.length(s, tick, left)
	dt := float64(n) * r.tick
	hours := dt / 3600
	r.gather(s, hours)
	if r.u.n == 0 {
		r.idle(s, air, tick, n, finer)
		return n
	}
	r.meets(s, (r.metLast+hours)/2)
	r.eat(s, dt)
	r.air(s, air.At(s.Hour).TempC+r.box.AirK, dt)
	r.fume(s, dt)
	r.plan(s, dt)
	r.warm(s, air, tick, n, finer)
	r.rot(s, dt)
	r.soak(s, dt)
	r.settle(s, dt)
	r.watch(s, hours)
	r.breathed(s, hours)
	if (tick+n)%blockTicks == 0 || s.Hour-s.Stirred < lostHours || r.troubled || r.frosty {
		r.reckon(s)
	}
	return n
}

// length chooses how many ticks to step: as many as keep a layer that heats
// itself from running ahead of its heat, the temperatures from swinging far and
// the top from drying out in one step; one near freezing. model.md (B35)
func (r *Runner) length(s *State, tick, left int64) int64 {
	hurry, swing := 0.0, 0.0
	r.frosty = false
	for i := range s.Layers {
		l := &s.Layers[i]
		t := math.Abs(l.Trend)
		if t > swing {
			swing = t
		}
		if h := t * l.Warming; h > hurry {
			hurry = h
		}
		if l.TempC < nearFrost || l.Ice > 0 {
			r.frosty = true
		}
	}
	dries := 0.0 // share of the top's water that goes in an hour
	if n := len(s.Layers); n > 0 && s.Drying > 0 && s.Layers[n-1].Water > 0 {
		dries = s.Drying / s.Layers[n-1].Water
	}
	fits := func(hours float64) bool {
		return hurry*hours < mostHurry && swing*hours < mostSwing && dries*hours < mostDried
	}
	since := s.Hour - s.Stirred
	var n int64
	switch {
	case r.frosty || since < actHours || !fits(1):
		n = 1 // half an hour
	case !fits(2) || since < stirredHours:
		n = 2
	case !fits(3):
		n = 4
	case !fits(6) || since < dangerHours:
		n = 6
	default:
		n = blockTicks
	}
	for n > left || tick%n != 0 {
		switch n {
		case blockTicks:
			n = 6
		case 6:
			n = 4
		case 4:
			n = 2
		default:
			n = 1
		}
	}
	return n
}

const (
	nearFrost = 1.5  // steps are single below, for worms begin to die of cold near it [C]
	mostHurry = 1.4  // of warming by own heat times trend, times the step [K2/h]: what a wrong temperature does to the heat made
	mostSwing = 4.0  // of a layer's temperature in a step [K]
	mostDried = 0.04 // of the top layer's water in a step
	// After an act, and after many worms were lost, steps are half an hour at most for
	// actHours, one for stirredHours and three for dangerHours; where worms are in
	// danger it counts as if stirredHours had gone by. For lostHours the stock is
	// stepped with the bed. [h]
	lostHours, actHours, stirredHours, dangerHours = 1, 3, 9, 15
)

// gather takes in what a step needs of the layers.
func (r *Runner) gather(s *State, hours float64) {
	p, u := &r.p.Column, &r.u
	n := 0
	u.depM = 0
	live := s.Worms.LiveKg() / r.area
	for i := range s.Layers {
		l := &s.Layers[i]
		dry := l.Dry()
		if dry < thinnest {
			continue
		}
		dz := l.DepthM
		phi, eps, water, ice := p.space(l, dry-l.Ash)
		if eps < leastAir {
			eps = leastAir
		}
		u.at[n], u.dz[n], u.dry[n] = i, dz, dry
		u.eps[n] = eps
		u.k[n] = p.conductivity(phi, eps, water, ice)
		u.mid[n] = l.TempC + 0.5*hours*l.Trend
		u.wet[n] = l.Water / (dry + l.Water)
		u.live[n] = live * l.Worms
		u.charge[n] = l.Ammonia - l.Nitrate
		u.steep[n] = r.table.atTemp(u.mid[n], &u.row[n])
		u.damp[n], u.likW[n] = r.table.atWet(u.wet[n])
		u.amm[n], u.free[n] = 0, 0
		if l.Ammonia > traceN*dry && l.Water > bone*dry {
			u.free[n] = r.table.unionised(l.PH - u.row[n][ammoniaPK])
			// In the terms of the trials that the worms' limits come from, by the
			// pore water that a worm meets; model.md (B28).
			u.amm[n] = 1e3 * l.Ammonia / l.Water * r.p.AmmoniaTestWater / nitrogenOfHydroxide * min(1, u.free[n]/r.bite)
		}
		u.depM += dz
		n++
	}
	u.n = n
}

const (
	traceN   = 1e-6  // ammoniacal nitrogen of dry matter below which it neither bites nor leaves
	bone     = 1e-6  // water of dry matter below which nothing is dissolved
	leastAir = 0.01  // air space that diffusion is reckoned with in a soaked layer
	waterK   = 0.59  // heat conductivity of water near 20 C [W/(m K)]; de Vries 1963, between 0.57 at 10 C and 0.60 at 25 C
	organicK = 0.25  // of organic matter [W/(m K)]; de Vries 1963
	airK     = 0.025 // of air [W/(m K)]; de Vries 1963
	iceK     = 2.2   // of ice [W/(m K)], handbook value
)

// total gives everything in the bin, for each m2, worms included.
func (r *Runner) total(s *State) flow {
	var f flow
	for i := range s.Layers {
		f.plus(r.p.of(&s.Layers[i], 1))
	}
	w := r.body(s.Worms.MassKg(&r.p.Worm) / r.area)
	w.heat = 0
	f.plus(w)
	return f
}

// body gives what live mass of worms is made of [for each m2]; its heat content
// is left out.
func (r *Runner) body(live float64) flow {
	w := &r.p.Worm
	dry := live * w.DryFrac
	return flow{dry: dry, water: live - dry, carbon: dry * w.CarbonFrac, nitrogen: dry * w.NitrogenFrac}
}

// close sums the run for the whole bin.
func (r *Runner) close(s *State, start flow) Budget {
	end, a := r.total(s), r.area
	b := r.money
	b.Dry = Balance{start.dry * a, r.in.dry * a, r.out.dry * a, end.dry * a}
	b.Water = Balance{start.water * a, r.in.water * a, r.out.water * a, end.water * a}
	b.Carbon = Balance{start.carbon * a, r.in.carbon * a, r.out.carbon * a, end.carbon * a}
	b.Nitrogen = Balance{start.nitrogen * a, r.in.nitrogen * a, r.out.nitrogen * a, end.nitrogen * a}
	b.Energy = Balance{start.heat * a, r.in.heat * a, r.out.heat * a, end.heat * a}
	for _, v := range []*float64{&b.ReleasedJ, &b.OxygenKg, &b.TopJ, &b.BaseJ, &b.SidesJ, &b.LatentJ, &b.HeaterJ, &b.DrainedKg, &b.EvaporatedKg, &b.AmmoniaKg} {
		*v *= a
	}
	return b
}

// idle passes time in a bin with nothing in it; worms left in it are as in open
// air without water.
func (r *Runner) idle(s *State, air climate.Series, tick, n, finer int64) {
	hours := float64(n) * r.tick / 3600
	h := r.box.At(air.At(floorDiv(tick, finer)))
	r.floor(s, h.TempC, hours*3600)
	s.Meal.Hours += hours
	if s.Worms.MassKg(&r.p.Worm) > 0 && (tick+n)%blockTicks == 0 {
		r.place[0] = worm.Place{Share: 1, CocoonShare: 1, TempC: h.TempC, Oxygen: oxygenOfAir}
		days := s.Meal.Hours / 24
		f := worm.Step(&r.p.Worm, &s.Worms, worm.Conditions{Places: r.place[:1], AreaM2: r.area, Days: days})
		lost := r.body(f.Shrunk/r.area + f.Left/r.area + f.CocoonsDied/r.area + sum(f.Died[:])/r.area)
		lost.heat = 0
		r.out.plus(lost)
		s.Meal = Meal{}
	}
	r.day.hours += hours
	r.day.empty += hours
}

func sum(v []float64) float64 {
	t := 0.0
	for _, x := range v {
		t += x
	}
	return t
}
