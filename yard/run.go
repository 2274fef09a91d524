package yard

import (
	"math"
	"slices"

	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

const (
	daySeconds  = 86400.0
	oxygenOfAir = 0.2095 // dry air by volume, standard atmosphere
	oxygenMass  = 31.998 // [kg/kmol]
	gasConstant = 8314.46
)

// Rain gives what falls in an hour [mm]; nil is none.
type Rain func(hour int64) float64

// Follow gives the pile at an hour from everything that happened to it, in the
// order of the hours, and what went through it. Without a delivery before the
// hour there is no pile: Matter is empty. The error is a *figure.Refusal with
// every event that cannot be.
func Follow(p *Parameters, air climate.Series, rain Rain, events []Event, until int64) (Pile, Budget, error) {
	if err := check(events); err != nil {
		return Pile{}, Budget{}, err
	}
	events = slices.Clone(events)
	slices.SortStableFunc(events, func(a, b Event) int { return int(min(max(a.Hour-b.Hour, -1), 1)) })
	var s Pile
	var b Budget
	for _, e := range events {
		if e.Hour > until {
			break
		}
		s.Run(p, air, rain, e.Hour, &b)
		s.Do(p, air, e, &b)
	}
	s.Run(p, air, rain, until, &b)
	return s, b, nil
}

func check(events []Event) error {
	var wrong []figure.Problem
	bad := func(v float64) bool { return v < 0 || math.IsNaN(v) || math.IsInf(v, 0) }
	tell := func(field, say, try string) { wrong = append(wrong, figure.Problem{Field: field, Say: say, Try: try}) }
	for _, e := range events {
		switch e.Kind {
		case Received:
			if bad(float64(e.Matter.Dry)) || bad(float64(e.Matter.Water)) || bad(float64(e.Matter.Volume)) {
				tell("received", "A delivery has less than nothing in it.", "Give its mass or volume again.")
			}
		case Taken:
			if bad(float64(e.Part)) || bad(float64(e.Volume)) || bad(float64(e.Wet)) || e.Part > 1 {
				tell("taken", "What was taken is less than nothing or more than the pile.", "Give a part from 0 to 1, a volume or a mass.")
			}
		case Wetted:
			if bad(float64(e.Water)) {
				tell("water_kg", "The water added is less than nothing.", "Give the amount that went on.")
			}
		case Measured:
			if !(e.TempC > -60 && e.TempC < 400) {
				tell("temp_c", "The temperature in the pile cannot be.", "Read the thermometer again and check its unit.")
			}
		case Turned, Covered, Uncovered:
		default:
			tell("kind", "\""+string(e.Kind)+"\" is nothing that happens to a pile.", "Use received, taken, turned, wetted, measured, covered or uncovered.")
		}
	}
	if wrong != nil {
		return &figure.Refusal{Problems: wrong}
	}
	return nil
}

// Do lets one event happen to the pile as it is: a delivery or a hose mixes in
// with its own heat, turning lets warmth out and air in. docs/model.md (Y10)
func (s *Pile) Do(p *Parameters, air climate.Series, e Event, b *Budget) {
	switch e.Kind {
	case Received:
		s.receive(p, air.At(e.Hour).TempC, e, b)
	case Taken:
		part := float64(e.Part)
		if e.Volume > 0 && s.Matter.Volume > 0 {
			part = float64(e.Volume) / float64(s.Matter.Volume)
		}
		if e.Wet > 0 && s.Matter.Wet() > 0 {
			part = float64(e.Wet) / float64(s.Matter.Wet())
		}
		part = min(max(part, 0), 1)
		b.Out = b.Out.Plus(s.Matter.Times(part))
		s.Matter = s.Matter.Times(1 - part)
	case Turned:
		was := s.TempC
		s.TempC = s.AirC + (s.TempC-s.AirC)*p.TurnKeeps // Y10
		b.HeatStored += s.capacity(p) * (s.TempC - was)
		b.HeatLost += s.capacity(p) * (was - s.TempC)
		s.TurnedAt, s.Turns = e.Hour, s.Turns+1
		s.Oxygen = oxygenOfAir
		s.settle(p, e.Hour)
	case Wetted:
		before := s.capacity(p)
		s.Matter.Water += e.Water
		b.WaterAdded += e.Water
		if after := s.capacity(p); after > 0 { // the water comes as warm as the air
			s.TempC = (s.TempC*before + s.AirC*(after-before)) / after
		}
		s.WettedAt = e.Hour
		s.drain(p, b)
	case Measured:
		s.measured(p, e)
	case Covered:
		s.Covered = true
	case Uncovered:
		s.Covered = false
	}
}

func (s *Pile) receive(p *Parameters, airC float64, e Event, b *Budget) {
	came := e.Matter
	if came.Volume <= 0 {
		came.Volume = came.Wet().Volume(qty.KgPerM3Wet(p.UnknownKgM3))
	}
	if s.Matter.Wet() <= 0 {
		taught := s.Active
		*s = Pile{Hour: e.Hour, AirC: airC, TempC: airC, Oxygen: oxygenOfAir, Active: 1, First: e.Hour, Last: e.Hour, TurnedAt: e.Hour, Covered: s.Covered, Mean: float64(e.Hour)}
		if taught > 0 {
			s.Active = taught
		}
	}
	warm := airC
	if e.AtC != nil {
		warm = float64(*e.AtC)
	}
	before, add := s.capacity(p), heatOf(p, came)
	if before+add > 0 {
		s.TempC = (s.TempC*before + warm*add) / (before + add)
	}
	old, fresh := float64(s.Matter.Dry), float64(came.Dry)
	if old+fresh > 0 {
		s.Mean = (s.Mean*old + float64(e.Hour)*fresh) / (old + fresh)
		loose := float64(came.Volume)
		if s.looseKgM3 > 0 {
			loose += old / s.looseKgM3
		}
		if loose > 0 {
			s.looseKgM3 = (old + fresh) / loose
		}
	}
	s.Matter = s.Matter.Plus(came)
	if s.Matter.Dry > 0 {
		s.held = float64(s.Matter.Water) / float64(s.Matter.Dry)
	}
	b.In = b.In.Plus(came)
	s.Last = e.Hour
	s.PeakC = max(s.PeakC, s.TempC)
	s.settle(p, e.Hour)
}

// settle gives the volume after so long at rest: a part of the air-filled space
// goes, solids and water do not give. docs/model.md (Y11)
func (s *Pile) settle(p *Parameters, hour int64) {
	if s.looseKgM3 <= 0 || s.Matter.Dry <= 0 {
		return
	}
	loose := s.Matter
	loose.Volume = qty.CubicMetre(float64(loose.Dry) / s.looseKgM3)
	days := float64(hour-s.TurnedAt) / 24
	gone := p.AirFilled(loose) * p.SettlePart * (1 - math.Exp(-days/p.SettleDays))
	s.Matter.Volume = loose.Volume * qty.CubicMetre(1-gone)
}

// drain lets go of water beyond what the material holds, which is never less
// than what it held when it came. docs/model.md (Y7)
func (s *Pile) drain(p *Parameters, b *Budget) {
	if over := s.Matter.Water - qty.WaterKg(max(p.HoldsKgKg, s.held)*float64(s.Matter.Dry)); over > 0 && s.Matter.Dry > 0 {
		s.Matter.Water -= over
		b.Drained += over
	}
}

// measured takes in a long thermometer. docs/model.md (Y12)
func (s *Pile) measured(p *Parameters, e Event) {
	read := float64(e.TempC)
	guess := s.TempC - s.AirC
	if guess > p.ProbeC { // a pile that the model has warm teaches its rates
		ratio := (read - s.AirC) / guess
		ratio = min(max(ratio, 1/p.LearnLimit), p.LearnLimit)
		s.Active = min(max(s.Active*math.Pow(ratio, p.LearnPart), 1/p.ActiveLimit), p.ActiveLimit)
	} else if read-s.AirC > 3*p.ProbeC {
		s.Active = min(s.Active*math.Pow(p.LearnLimit, p.LearnPart), p.ActiveLimit)
	}
	s.TempC, s.MeasuredC, s.MeasuredAt, s.Spread = read, read, e.Hour, p.ProbeC
	s.PeakC = max(s.PeakC, read)
}

func heatOf(p *Parameters, m feedstock.Matter) float64 {
	return float64(m.Dry)*p.DryHeat + float64(m.Water)*p.WaterHeat
}

func (s *Pile) capacity(p *Parameters) float64 { return heatOf(p, s.Matter) }

// Shape gives radius, height [m] and surface open to the air [m2] of a cone of
// this volume [m3]; slope is height over radius. docs/model.md (Y1)
func Shape(volume, slope float64) (radius, height, surface float64) {
	if volume <= 0 {
		return 0, 0, 0
	}
	radius = math.Cbrt(3 * volume / (math.Pi * slope))
	return radius, radius * slope, math.Pi * radius * radius * math.Sqrt(1+slope*slope)
}

// AirFilled gives the part of the volume that is air; the volumes of water,
// organic solids and ash are taken away, as in figure mix.air_filled. 0 when there is no room.
func (p *Parameters) AirFilled(m feedstock.Matter) float64 {
	if m.Volume <= 0 {
		return 0
	}
	full := float64(m.Water)/1000 + float64(m.Dry-m.Ash)/p.OrganicKgM3 + float64(m.Ash)/p.AshKgM3
	return min(max(1-full/float64(m.Volume), 0), 1)
}

// wanting gives the volatile matter that would rot in a day [kg] at tempC with
// air enough, by pool. docs/model.md (Y2)
func (s *Pile) wanting(p *Parameters, tempC, airFilled float64) (quick, slow, woody float64) {
	m := &s.Matter
	f := s.Active * p.Speed(tempC) / (1 + math.Exp(-p.MoistSlope*float64(m.WaterContent())+p.MoistStart)) /
		(1 + math.Exp(-p.AirSlope*airFilled+p.AirStart))
	return f * p.QuickPerDay * float64(m.Quick), f * p.SlowPerDay * float64(m.Slow), f * p.WoodyPerDay * float64(m.Woody)
}

// exchange gives the air that goes through the pile [m3/s]. docs/model.md (Y4)
func (p *Parameters) exchange(surface, airFilled, warmth float64) float64 {
	open := airFilled / p.HalfAir
	return surface * open * open * (p.StillAirMS + p.DrawnAirMS*max(warmth, 0)/p.DrawnAtK)
}

// oxygenLeft gives the oxygen in the pores [m3/m3] at which supply meets use:
// flow G (oa - o) rho = need o/(half + o). Flow [m3/s], need [kg/s] with air
// enough, rho [kg/m3]. docs/model.md (Y5)
func oxygenLeft(flow, need, half, rho float64) float64 {
	if need <= 0 {
		return oxygenOfAir
	}
	if flow <= 0 {
		return 0
	}
	b := oxygenOfAir - half - need/(flow*rho)
	root := math.Sqrt(b*b + 4*oxygenOfAir*half)
	if b < 0 { // the same root without cancellation
		return 2 * oxygenOfAir * half / (root - b)
	}
	return (b + root) / 2
}

// Run lets the pile lie until an hour, hour by hour.
func (s *Pile) Run(p *Parameters, air climate.Series, rain Rain, until int64, b *Budget) {
	if s.Matter.Wet() <= 0 {
		s.Hour = max(s.Hour, until)
		return
	}
	for ; s.Hour < until; s.Hour++ {
		mm := 0.0
		if rain != nil && !s.Covered {
			mm = rain(s.Hour)
		}
		parts := s.parts(p)
		for range parts {
			s.step(p, air.At(s.Hour), mm/float64(parts), 3600/float64(parts), b)
		}
	}
}

// parts says into how many steps an hour is cut, so that no step warms the core
// by much more than half a kelvin: a pile that takes off feeds on its own warmth.
func (s *Pile) parts(p *Parameters) int {
	quick, slow, woody := s.wanting(p, s.TempC, p.AirFilled(s.Matter))
	kelvin := (quick + slow + woody) / 24 * s.Oxygen / (p.HalfOxygen + s.Oxygen) * p.OxygenNeed * p.OxygenHeat * 1e6 / s.capacity(p)
	return int(min(max(math.Ceil(2*kelvin), 1), 8))
}

// step lets the pile lie for dt seconds in air that does not change.
func (s *Pile) step(p *Parameters, out climate.Hour, rainMM, dt float64, b *Budget) {
	m := &s.Matter
	s.AirC -= (out.TempC - s.AirC) * math.Expm1(-dt/daySeconds)
	s.settle(p, s.Hour)
	radius, _, surface := Shape(float64(m.Volume), p.Slope)
	filled := p.AirFilled(*m)
	flow := p.exchange(surface, filled, s.TempC-out.TempC)

	quick, slow, woody := s.wanting(p, s.TempC, filled)
	need := p.OxygenNeed * (quick + slow + woody) / daySeconds
	kelvin := s.TempC + 273.15
	s.Oxygen = oxygenLeft(flow, need, p.HalfOxygen, climate.StandardPressure*oxygenMass/(gasConstant*kelvin))
	breath := s.Oxygen / (p.HalfOxygen + s.Oxygen)
	made := s.rot(p, quick*breath, slow*breath, woody*breath, dt, b)

	water := s.breathe(p, out, flow, dt)
	m.Water -= water
	b.Evaporated += water
	if rainMM > 0 {
		in := qty.WaterKg(rainMM * math.Pi * radius * radius * p.RainTaken)
		m.Water += in
		b.WaterAdded += in
	}
	s.drain(p, b)

	lost := s.cool(p, out, surface, flow, float64(water), made, dt, b)
	b.HeatMade += made
	b.HeatLost += lost
	s.PeakC = max(s.PeakC, s.TempC)
	if s.TempC >= p.SanitiseC {
		s.HotHours += dt / 3600
	}
	if s.TempC >= p.HotC {
		s.WarmHours += dt / 3600
	}
}

// rot takes the volatile matter that rots at these rates [kg/day] and gives the
// heat made [J]. docs/model.md (Y2, Y6 and Y8)
func (s *Pile) rot(p *Parameters, quick, slow, woody, dt float64, b *Budget) float64 {
	m := &s.Matter
	volatile := float64(m.Quick + m.Slow + m.Woody + m.Cast)
	part := func(pool *qty.DryKg, perDay float64) float64 {
		if *pool <= 0 || perDay <= 0 {
			return 0
		}
		gone := float64(*pool) * -math.Expm1(-perDay/float64(*pool)*dt/daySeconds)
		*pool -= qty.DryKg(gone)
		return gone
	}
	guarded := float64(m.Woody + m.Slow)
	wood := m.Woody
	q, sl, w := part(&m.Quick, quick), part(&m.Slow, slow), part(&m.Woody, woody)
	if wood > 0 {
		m.Fibre *= m.Woody / wood
	}
	gone := q + sl + w
	s.ammonia(p, dt, b)
	if gone <= 0 || volatile <= 0 {
		return 0
	}
	if guarded > 0 {
		m.Lignin *= qty.DryKg(1 - w/guarded)
	}
	m.Dry -= qty.DryKg(gone)
	b.DryLost += qty.DryKg(gone)
	carbon := float64(m.Carbon) * gone / volatile
	if m.Nitrogen > 0 && m.Carbon > 0 { // what microbes do not need is set free, as in a bed
		free := carbon * (float64(m.Nitrogen)/float64(m.Carbon) - p.Efficiency/p.MicrobeCN)
		free = min(max(free, -float64(m.Ammonia)), float64(m.Nitrogen))
		m.Nitrogen -= qty.NitrogenKg(free)
		m.Ammonia += qty.NitrogenKg(free)
	}
	m.Carbon -= qty.CarbonKg(carbon)
	b.CarbonLost += qty.CarbonKg(carbon)
	water := qty.WaterKg(p.WaterMade * gone)
	m.Water += water
	b.WaterMade += water
	return gone * p.OxygenNeed * p.OxygenHeat * 1e6
}

// ammonia lets ammoniacal nitrogen go to the air. docs/model.md (Y9)
func (s *Pile) ammonia(p *Parameters, dt float64, b *Budget) {
	m := &s.Matter
	if m.Ammonia <= 0 {
		return
	}
	rate := p.AmmoniaPerDay * math.Pow(p.AmmoniaPerK, s.TempC-p.RateAtC)
	gone := m.Ammonia * qty.NitrogenKg(-math.Expm1(-rate*dt/daySeconds))
	m.Ammonia -= gone
	b.NitrogenLost += gone
}

// breathe gives the water that the air carries out [kg]. docs/model.md (Y7)
func (s *Pile) breathe(p *Parameters, out climate.Hour, flow, dt float64) qty.WaterKg {
	m := &s.Matter
	if m.Water <= 0 || m.Dry <= 0 || s.TempC <= 0 {
		return 0
	}
	damp := min(1, float64(m.Water)/float64(m.Dry)/p.FibreKgKg)
	inside := damp * climate.QuickSaturationPa(min(s.TempC, 95))
	outside := out.RH * climate.QuickSaturationPa(out.TempC)
	gain := climate.HumidityRatioOf(inside, climate.StandardPressure) - climate.HumidityRatioOf(outside, climate.StandardPressure)
	if gain <= 0 {
		return 0
	}
	kg := flow * climate.DryAirDensity(out.TempC, climate.StandardPressure) * gain * dt
	return qty.WaterKg(min(kg, float64(m.Water)*0.5))
}

// cool moves the core's temperature over the step and gives the heat that left
// [J]. The loss through shell and air is linear in the warmth over the step and
// is integrated exactly. docs/model.md (Y6)
func (s *Pile) cool(p *Parameters, out climate.Hour, surface, flow, evaporated, made, dt float64, b *Budget) float64 {
	capacity := s.capacity(p)
	if capacity <= 0 || surface <= 0 {
		s.TempC = out.TempC
		return made
	}
	shell := p.ShellPart * 3 * float64(s.Matter.Volume) / surface
	leak := surface/(p.FilmM2KW+shell/p.ConductWMK) + flow*climate.DryAirDensity(out.TempC, climate.StandardPressure)*1006
	latent := evaporated * climate.LatentHeat(s.TempC) // [J]
	tends := out.TempC + (made-latent)/dt/leak
	was := s.TempC
	fade := -math.Expm1(-leak * dt / capacity)
	s.TempC = was + (tends-was)*fade
	b.HeatStored += capacity * (s.TempC - was)
	warmth := (tends-out.TempC)*dt + (was-tends)*capacity/leak*fade // integral of the warmth over the step [K s]
	return leak*warmth + latent
}

// HeatError gives what is missing between heat made, lost and stored, as a part
// of the larger of made and lost, taken as no less than a kilojoule.
func (b Budget) HeatError() float64 {
	most := max(math.Abs(b.HeatMade), math.Abs(b.HeatLost), 1000)
	return math.Abs(b.HeatMade-b.HeatLost-b.HeatStored) / most
}
