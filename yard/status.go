package yard

import (
	"math"

	"wormyard/qty"
)

// Status tells what the pile is now.
func (s *Pile) Status(p *Parameters, b Budget) Status {
	m := s.Matter
	filled := p.AirFilled(m)
	_, height, _ := Shape(float64(m.Volume), p.Slope)
	out := Status{
		AgeDays: float64(s.Hour-s.First) / 24, NewestDay: float64(s.Hour-s.Last) / 24,
		Core: s.core(p), Laid: qty.Celsius(s.Laid(p)), LaidDepth: qty.Metre(p.LaidM), Moisture: m.WaterContent(),
		Oxygen: qty.OxygenOfAir(s.Oxygen), AirFilled: qty.AirOfVolume(filled),
		Volume: m.Volume, Height: qty.Metre(height), HotDays: s.HotHours / 24,
	}
	if came := float64(b.In.Dry - b.Out.Dry); came > 0 {
		out.Left = qty.Fraction(float64(m.Dry) / came)
	}
	if m.Wet() <= 0 {
		out.Use = CoolNo
		return out
	}
	switch {
	case float64(out.Laid) > p.WarmC:
		out.Use = CoolNo
	case float64(out.Laid) > p.CoolC:
		out.Use = CoolNearly
	case s.TempC > p.WarmC: // laid it will stay cool, but it is hot as it lies
		out.Use = CoolNearly
	default:
		out.Use = CoolYes
	}
	out.Hot = s.TempC >= p.HotC
	rested := float64(s.Hour-s.TurnedAt)/24 >= p.TurnDays
	lively := float64(out.Laid) > p.WarmC
	out.Turn = rested && ((out.Hot && s.Oxygen < p.TurnOxygen) || s.TempC > p.TurnC || (lively && !out.Hot && s.WarmHours > 0))
	if m.Dry > 0 && float64(out.Moisture) < p.WetBelow && (out.Hot || lively) {
		out.Wet = true
		out.Water = m.Dry.Wet(qty.WaterOfWet(p.WetTo)).Water(qty.WaterOfWet(p.WetTo)) - m.Water // M5
	}
	return out
}

// core gives the temperature with its central 90 %. docs/model.md (Y12)
func (s *Pile) core(p *Parameters) qty.Estimate {
	free := math.Hypot(p.ModelC, p.ModelPart*max(s.TempC-s.AirC, 0))
	sd := free
	if s.MeasuredAt != 0 {
		keep := math.Exp(-float64(s.Hour-s.MeasuredAt) / 24 / p.ForgetDays)
		sd = math.Sqrt(s.Spread*s.Spread*keep*keep + free*free*(1-keep*keep))
	}
	known := "assumed"
	if s.MeasuredAt != 0 && s.MeasuredAt == s.Hour {
		known = "measured"
	}
	const ninety = 1.6449 // standard normal, central 90 %
	low, high := s.TempC-ninety*sd, s.TempC+ninety*sd
	if s.TempC < p.DecayMaxC { // microbes make no more, and a pile is hardly colder than the air
		high = min(high, max(p.DecayMaxC, s.TempC+ninety*p.ProbeC))
	}
	low = min(max(low, s.AirC-ninety*p.ModelC), s.TempC)
	return qty.Estimate{Best: s.TempC, Low: low, High: high, Known: known}
}

// Laid gives the temperature that a layer of the pile would settle at when laid
// thin on a bed under a cover, with all the air it wants: the least temperature at which what
// it makes and what leaves through half of itself and the cover are equal; DecayMaxC
// when there is none. docs/model.md (Y14)
func (s *Pile) Laid(p *Parameters) float64 {
	volume := float64(s.Matter.Volume)
	if volume <= 0 {
		return p.LaidAirC
	}
	filled := p.AirFilled(s.Matter)
	leak := 1 / (p.FilmM2KW + p.LaidCover + p.LaidM/2/p.ConductWMK) // [W/(m2 K)]
	t := p.LaidAirC
	for range 200 {
		quick, slow, woody := s.wanting(p, t, filled)
		heat := (quick + slow + woody) / daySeconds * p.OxygenNeed * p.OxygenHeat * 1e6 / volume * p.LaidM
		next := p.LaidAirC + heat/leak
		if next >= p.DecayMaxC {
			return p.DecayMaxC
		}
		if math.Abs(next-t) < 1e-6 {
			return next
		}
		t = next
	}
	return t
}
