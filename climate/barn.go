package climate

import "math"

// airCapacity is the heat of a cubic metre of air for each kelvin, dry air near
// 20 C at sea level [J/(m3 K)].
const airCapacity = 1207.2

const gravity = 9.80665 // [m/s2]

// Part is a wall, roof or door of a barn.
type Part struct {
	U    float64 // heat transfer [W/(m2 K)]
	Area float64 // [m2]
}

// Barn is one well mixed volume of air around the bins.
type Barn struct {
	Parts        []Part
	SlabWMK      float64 // loss at the edge of the floor for each metre and kelvin [W/(m K)]
	PerimeterM   float64
	VolumeM3     float64
	AirChanges   float64 // outside air let in, volumes each hour
	CapacityJK   float64 // heat held by air, frame, floor and boards [J/K]; 0 takes the usual for the volume
	HeaterW      float64 // greatest heat of the heater; 0 without one [W]
	HeaterSetC   float64 // temperature that the heater keeps [C]
	OpeningM2    float64 // low and high openings, each, for the stack effect; 0 leaves it out
	OpeningRiseM float64 // height between them [m]
}

// Inside is the state of the air in a barn.
type Inside struct {
	TempC    float64 // [C]
	VapourKg float64 // water vapour in the air [kg/m3]
}

// Hour gives the state as air for a bed.
func (i Inside) Hour() Hour {
	return Hour{TempC: i.TempC, RH: max(0, min(1, i.VapourKg/SaturationDensity(i.TempC)))}
}

// BarnFlow is the heat and vapour that moved in a step. What came in less what
// went out is what is stored: HeaterJ + BinsJ - LostJ = StoredJ, and
// EvaporatedKg - CarriedKg - CondensedKg = StoredKg.
type BarnFlow struct {
	HeaterJ, BinsJ, LostJ, StoredJ                 float64
	EvaporatedKg, CarriedKg, CondensedKg, StoredKg float64 // CarriedKg by air, out less in
}

// Add sums flows.
func (f *BarnFlow) Add(o BarnFlow) {
	f.HeaterJ += o.HeaterJ
	f.BinsJ += o.BinsJ
	f.LostJ += o.LostJ
	f.StoredJ += o.StoredJ
	f.EvaporatedKg += o.EvaporatedKg
	f.CarriedKg += o.CarriedKg
	f.CondensedKg += o.CondensedKg
	f.StoredKg += o.StoredKg
}

// Transmission gives the heat lost through walls, roof and floor edge for each
// kelvin [W/K]. model.md (C15)
func (b *Barn) Transmission() float64 {
	ua := b.SlabWMK * b.PerimeterM
	for _, p := range b.Parts {
		ua += p.U * p.Area
	}
	return ua
}

// Infiltration gives the heat lost by outside air let in for each kelvin [W/K].
// model.md (C15)
func (b *Barn) Infiltration() float64 { return airCapacity * b.AirChanges * b.VolumeM3 / 3600 }

// Floating gives the temperature of an unheated barn at rest [C].
// model.md (C15)
func (b *Barn) Floating(outsideC, binsW float64) float64 {
	return outsideC + binsW/(b.Transmission()+b.Infiltration())
}

// StackFlow gives the air that warm inside air draws through a low and a high
// opening of areaM2 each, rise apart [m3/s]; 0 when it is not warmer inside.
// model.md (C16)
func StackFlow(discharge, lowM2, highM2, riseM, insideC, outsideC float64) float64 {
	if !(insideC > outsideC && lowM2 > 0 && highM2 > 0 && riseM > 0) {
		return 0
	}
	a := lowM2 * highM2 / math.Hypot(lowM2, highM2)
	return discharge * a * math.Sqrt(2*gravity*riseM*(insideC-outsideC)/(insideC+zeroKelvin))
}

// StackPressure gives the pressure that drives StackFlow [Pa].
// model.md (C16)
func StackPressure(riseM, insideC, outsideC float64) float64 {
	return StandardPressure / (dryGas * (outsideC + zeroKelvin)) * gravity * riseM * (insideC - outsideC) / (insideC + zeroKelvin)
}

// Step carries the air of a barn through a time [s] with outside air, the heat
// of the bins [W] and the water they give off [kg/s]. The step is implicit, so
// that any length is stable, and gives the flows that balance it. The heat of
// evaporation is counted where the water left (the beds); heat set free by
// condensation is left out. model.md (C17)
func (b *Barn) Step(p *Parameters, in *Inside, out Hour, binsW, vapourKgS, seconds float64) BarnFlow {
	var f BarnFlow
	capacity := b.CapacityJK
	if !(capacity > 0) {
		capacity = p.BarnCapacity * b.VolumeM3
	}
	air := b.AirChanges * b.VolumeM3 / 3600 // [m3/s]
	if b.OpeningM2 > 0 {
		air += StackFlow(p.Discharge, b.OpeningM2, b.OpeningM2, b.OpeningRiseM, in.TempC, out.TempC)
	}
	g := b.Transmission() + airCapacity*air
	solve := func(w float64) float64 {
		return (capacity*in.TempC + seconds*(g*out.TempC+w)) / (capacity + seconds*g)
	}
	heater := 0.0
	t := solve(binsW)
	if b.HeaterW > 0 && t < b.HeaterSetC {
		need := (b.HeaterSetC - t) * (capacity + seconds*g) / seconds
		heater = min(b.HeaterW, need)
		t = solve(binsW + heater)
	}
	f.HeaterJ, f.BinsJ = heater*seconds, binsW*seconds
	f.LostJ = g * (t - out.TempC) * seconds
	f.StoredJ = capacity * (t - in.TempC)

	outside := out.RH * SaturationDensity(out.TempC)
	v := (b.VolumeM3*in.VapourKg + seconds*(air*outside+vapourKgS)) / (b.VolumeM3 + seconds*air)
	f.EvaporatedKg = vapourKgS * seconds
	f.CarriedKg = air * (v - outside) * seconds
	if most := SaturationDensity(t); v > most {
		f.CondensedKg = (v - most) * b.VolumeM3
		v = most
	}
	f.StoredKg = b.VolumeM3 * (v - in.VapourKg)
	in.TempC, in.VapourKg = t, v
	return f
}

// Bins is what all bins of a barn give to its air in an hour: heat [W] and water
// [kg/s], for the air they stand in.
type Bins func(hour int64, in Hour) (heatW, vapourKgS float64)

// Air follows the air of a barn through outside weather, hour by hour, and gives
// it as a series with the flows summed. It starts at rest with the first hour
// outside. model.md (C17)
func (b *Barn) Air(p *Parameters, outside Series, bins Bins) (Series, BarnFlow) {
	var sum BarnFlow
	s := Series{Start: outside.Start, Hours: make([]Hour, len(outside.Hours))}
	if len(outside.Hours) == 0 {
		return s, sum
	}
	first := outside.Hours[0]
	in := Inside{first.TempC, first.RH * SaturationDensity(first.TempC)}
	if bins != nil {
		w, _ := bins(outside.Start, first)
		in.TempC = b.Floating(first.TempC, w)
		if b.HeaterW > 0 {
			in.TempC = max(in.TempC, min(b.HeaterSetC, b.Floating(first.TempC, w+b.HeaterW)))
		}
	}
	for i, o := range outside.Hours {
		var w, v float64
		if bins != nil {
			w, v = bins(outside.Start+int64(i), in.Hour())
		}
		sum.Add(b.Step(p, &in, o, w, v, 3600))
		s.Hours[i] = in.Hour()
	}
	return s, sum
}

// AtLevel gives the air at a level of a stack, 1 on the floor: warmer for each
// level up, with the same vapour in it. model.md (C18)
func AtLevel(p *Parameters, h Hour, level int) Hour {
	if level <= 1 {
		return h
	}
	return h.Warmer(p.StackOffsetC * float64(level-1))
}

// Warmer gives the air made warmer by so much [K], colder below 0, with the same
// vapour in it as far as it holds it.
func (h Hour) Warmer(by float64) Hour {
	t := h.TempC + by
	return Hour{TempC: t, RH: max(0, min(1, h.RH*SaturationDensity(h.TempC)/SaturationDensity(t)))}
}
