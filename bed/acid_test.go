package bed_test

import (
	"math"
	"testing"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/worm"
)

// In matter that does not rot, an ammonium that turns to nitrate leaves two
// acids behind and one that leaves as gas leaves one; a buffer of 0.31 mol a
// kilogram takes them up.
func TestNitrifyingSoursByTwoAcidsEach(t *testing.T) {
	p := *parameters(t)
	p.PHDays = 1e12
	m := feedstock.Matter{Dry: 100, Ash: 100, Water: 20, Ammonia: 0.15, Volume: 0.15, PHLow: 8.2, PHHigh: 8.2}
	s := bed.Start(&p, bin(), []bed.Laid{{Matter: m, DepthM: 0.1, TempC: 28, Layer: 1}}, climate.Hour{TempC: 28, RH: 0.9}, 0)
	s.Cover, _ = p.Cover("board")
	if _, err := bed.Run(&p, bin(), s, climate.Steady(0, 240, climate.Hour{TempC: 28, RH: 0.9}), 240, nil, nil); err != nil {
		t.Fatal(err)
	}
	for i := range s.Layers {
		l := &s.Layers[i]
		per := 0.15 / 100 * l.Dry()
		nitrate, gas := l.Nitrate, per-l.Ammonia-l.Nitrate
		acids := (2*nitrate + gas) / 0.0140067 / l.Dry() // [mol/kg]
		if want := 8.2 - acids/0.31; nitrate < 0.2*per || gas < 0 || math.Abs(l.PH-want) > 1e-6 {
			t.Errorf("layer %d: %g of %g kg nitrified, %g gone as gas, pH %g, by count of acids %g", i, nitrate, per, gas, l.PH, want)
		}
	}
}

// Worms that cast a part of their meal a layer up or down make neighbours alike:
// salts of one layer between two spread to them the more, the more.
func TestWormsMixLayers(t *testing.T) {
	apart := func(share float64) float64 {
		p := *parameters(t)
		p.CastElsewhere, p.DrainHours = share, 1e9 // salts go with castings alone
		plain := mixed(t, 0.04*plan, 0, "dairy manure, solid handled", 1.0)
		plain.Salt = 0
		rich := plain
		rich.Salt = 100
		air := climate.Hour{TempC: 20, RH: 0.9}
		s := bed.Start(&p, bin(), []bed.Laid{{Matter: plain, DepthM: 0.04, TempC: 20, Layer: 1}, {Matter: rich, DepthM: 0.04, TempC: 20, Layer: 2}, {Matter: plain, DepthM: 0.04, TempC: 20, Layer: 3}}, air, 0)
		s.Cover, _ = p.Cover("board")
		b, err := bed.Run(&p, bin(), s, climate.Steady(0, 24*60, air), 24*60, []bed.Act{{Kind: bed.Stock, Worms: worm.Stock{AdultKg: 6}}}, nil)
		if err != nil {
			t.Fatal(err)
		}
		balanced(t, "mixing", b)
		salts := 0.0
		for i := range s.Layers {
			if s.Layers[i].ID == 2 {
				salts += s.Layers[i].Salt
			}
		}
		return salts
	}
	last := 69.45
	for _, share := range []float64{0, 0.05, 0.2, 0.5} {
		now := apart(share)
		t.Logf("cast elsewhere %g: %.4g of 69.44 of the salts still there", share, now)
		if now >= last || now < 30 {
			t.Errorf("with %g cast elsewhere %g of the salts are still there, with less %g", share, now, last)
		}
		last = now
	}
}
