package bed

import (
	"math"

	"wormyard/climate"
	"wormyard/feedstock"
)

// The answers to temperature and to moisture are tabled once for a set of
// parameters and read between the entries in a straight line; a quarter of a
// degree and a quarter of a hundredth of water are fine enough for 1e-3 of each.
const (
	warmFrom = -20.0
	warmTo   = 90.0
	warmStep = 0.25
	warmRows = int((warmTo-warmFrom)/warmStep) + 2
	wetStep  = 0.0025
	wetRows  = int(1/wetStep) + 2
)

// Columns of the table of temperatures.
const (
	decays    = iota // decay, 1 at RateAtC
	nitrifies        // nitrification, 1 at its best
	breathes         // oxygen that live worms use [kg/(kg s)]
	eats             // appetite of worms [1/day], all else at its best
	likes            // how worms like it
	ammoniaPK        // pKa of ammonium
	fumes            // ammonia in air over unionised ammonia in water
	warmths
)

// warmRow is what the answers are at one temperature.
type warmRow [warmths]float64

// tables holds them.
type tables struct {
	warm   [warmRows]warmRow
	wet    [wetRows][2]float64  // of decay, of worms
	vapour [warmRows]float64    // saturated [kg/m3]
	free   [acidRows]float64    // share of ammonia that is unionised, by pH less pKa
	flight [ammoniaRows]float64 // share of worms that avoid ammonia, by octaves in sixteenths
}

// Ammonia is tabled by pH less pKa from acidFrom in steps of 1/32, good to 7e-4
// of it; flight from it between powers of two in sixteenths, good to 2e-3.
const (
	acidFrom    = -10.0
	acidTo      = 6.0
	acidPer     = 32
	acidRows    = int(acidTo-acidFrom)*acidPer + 2
	octaveFrom  = -12 // of mg/g
	octaves     = 24
	perOctave   = 16
	ammoniaRows = octaves*perOctave + 1
)

func (t *tables) fill(p *Parameters) {
	for i := range t.warm {
		c := warmFrom + float64(i)*warmStep
		row := &t.warm[i]
		row[decays] = p.Speed(c)
		if c > 0 {
			row[breathes] = p.Worm.Breath(c)
		}
		row[nitrifies] = feedstock.Cardinal(c, p.NitrifyMinC, p.NitrifyBestC, p.NitrifyMaxC)
		row[eats] = p.Worm.IntakePerDay * p.Worm.Growth(c)
		x := (c - p.Worm.BestC) / p.Worm.LikeWidthC
		row[likes] = math.Exp(-0.5 * x * x)
		in := min(max(c, 0), 50) // the equilibria are known from 0 to 50 C
		row[ammoniaPK] = AmmoniaPKa(in)
		row[fumes] = atmosphere / (AmmoniaHenry(in) * gasConstant * (in + zeroKelvin))
	}
	for i := range t.vapour {
		t.vapour[i] = climate.SaturationDensity(warmFrom + float64(i)*warmStep)
	}
	for i := range t.free {
		t.free[i] = 1 / (1 + math.Exp(-math.Ln10*(acidFrom+float64(i)/acidPer)))
	}
	for i := range t.flight {
		octave, part := i/perOctave, i%perOctave
		t.flight[i] = p.Worm.Avoid(math.Ldexp(1+float64(part)/perOctave, octave+octaveFrom))
	}
	for i := range t.wet {
		w := float64(i) * wetStep
		t.wet[i] = [2]float64{p.Responses.MoistureFactor(w), p.Worm.Moisture(w)}
	}
}

// atTemp reads the table of temperatures into row, and gives by how much decay
// rises there [1/K].
func (t *tables) atTemp(c float64, row *warmRow) (steep float64) {
	x := (c - warmFrom) / warmStep
	if !(x > 0) {
		x = 0
	}
	if x > float64(warmRows-2) {
		x = float64(warmRows - 2)
	}
	i := int(x)
	f := x - float64(i)
	a, b := &t.warm[i], &t.warm[i+1]
	for k := range row {
		row[k] = a[k] + f*(b[k]-a[k])
	}
	if row[decays] > 0 {
		steep = (b[decays] - a[decays]) / (warmStep * row[decays])
	}
	return steep
}

// atWet gives the answers of decay and of worms to water of wet.
func (t *tables) atWet(w float64) (decay, worms float64) {
	x := w / wetStep
	i := int(x)
	if i > wetRows-2 {
		i = wetRows - 2
	}
	f := x - float64(i)
	a, b := &t.wet[i], &t.wet[i+1]
	return a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])
}

// saturated gives the vapour of saturated air [kg/m3], within 4e-5 of it.
func (t *tables) saturated(c float64) float64 {
	x := (c - warmFrom) / warmStep
	if !(x > 0) || x > float64(warmRows-2) {
		return climate.SaturationDensity(c)
	}
	i := int(x)
	return t.vapour[i] + (x-float64(i))*(t.vapour[i+1]-t.vapour[i])
}

// unionised gives the share of ammonia that is unionised. model.md (B56)
func (t *tables) unionised(pHLessPKa float64) float64 {
	x := (pHLessPKa - acidFrom) * acidPer
	if !(x > 0) {
		x = 0
	}
	if x > float64(acidRows-2) {
		x = float64(acidRows - 2)
	}
	i := int(x)
	return t.free[i] + (x-float64(i))*(t.free[i+1]-t.free[i])
}

// avoid gives the share of worms that avoid ammonia [mg/g] above 0.
func (t *tables) avoid(mgG float64) float64 {
	// The exponent of the number is its octave, the head of its fraction the part.
	bits := math.Float64bits(mgG)
	octave := int(bits>>52) - 1023 - octaveFrom
	if octave < 0 {
		return t.flight[0]
	}
	if octave >= octaves {
		return t.flight[ammoniaRows-1]
	}
	const rest = 52 - 4 // bits of the fraction below a sixteenth
	i := octave*perOctave + int(bits>>rest&(perOctave-1))
	f := float64(bits&(1<<rest-1)) / (1 << rest)
	return t.flight[i] + f*(t.flight[i+1]-t.flight[i])
}
