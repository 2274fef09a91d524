package bed

import (
	"math"

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
	ammoniaPK        // ln 10 times the pKa of ammonium
	fumes            // ammonia in air over unionised ammonia in water
	warmths
)

// warmRow is what the answers are at one temperature.
type warmRow [warmths]float64

// tables holds both.
type tables struct {
	warm [warmRows]warmRow
	wet  [wetRows][2]float64 // of decay, of worms
}

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
		row[ammoniaPK] = math.Ln10 * AmmoniaPKa(in)
		row[fumes] = atmosphere / (AmmoniaHenry(in) * gasConstant * (in + zeroKelvin))
	}
	for i := range t.wet {
		w := float64(i) * wetStep
		t.wet[i] = [2]float64{p.Responses.MoistureFactor(w), p.Worm.Moisture(w)}
	}
}

// atTemp reads the table of temperatures into row.
func (t *tables) atTemp(c float64, row *warmRow) {
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
