package bench

import (
	"errors"
	"math"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/worm"
)

// TestBedYear times one bed for a year of hourly air, fed an inch twice a week,
// cut back to a foot every second month. The design asks for 20 ms on one core;
// the best of many runs is taken, as other work on the machine only slows.
func TestBedYear(t *testing.T) {
	p := new(bed.Parameters)
	if err := errors.Join(source.Load("bed", &p.Column), source.Load("warmth", &p.Warmth), source.Load("response", &p.Responses), source.Load("diffusivity", &p.Diffusivity), source.Load("worm", &p.Worm)); err != nil {
		t.Fatal(err)
	}
	library, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	var mixed feedstock.Matter
	for _, part := range []struct {
		name string
		m3   qty.CubicMetre
	}{{"leaves, loose dry", 1}, {"horse manure with bedding", 1}, {"wood chips, hardwood", 0.5}} {
		material, err := library.Find(part.name)
		if err != nil {
			t.Fatal(err)
		}
		a, _, err := material.Amount(feedstock.Quantity{Volume: part.m3})
		if err != nil {
			t.Fatal(err)
		}
		mixed = mixed.Plus(a)
	}
	mixed.Water = mixed.Water * 1.5
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, HolesM2: 0.006, Under: bed.UnderFloor}
	of := func(deep float64) feedstock.Matter { return mixed.Times(deep * 1.44 / float64(mixed.Volume)) }
	air := climate.Series{Hours: make([]climate.Hour, 365*24)}
	for i := range air.Hours {
		d := float64(i) / 24
		air.Hours[i] = climate.Hour{TempC: 12 - 7*math.Cos(2*math.Pi*(d-20)/365) - 3*math.Cos(2*math.Pi*(d-0.125)), RH: 0.78}
	}
	acts := []bed.Act{{Kind: bed.Stock, Worms: worm.Stock{AdultKg: 4, JuvenileKg: 3, Cocoons: 3000}}}
	for d := int64(7); d < 365; d++ {
		switch {
		case d%60 == 59:
			acts = append(acts, bed.Act{Hour: d*24 + 8, Kind: bed.Take, DepthM: 0.2, From: bed.FromBottom})
		case d%7 == 0 || d%7 == 3:
			acts = append(acts, bed.Act{Hour: d*24 + 9, Kind: bed.Feed, Matter: of(0.025), DepthM: 0.025, TempC: math.NaN(), Layer: uint64(d)})
		}
	}
	from := bed.Start(p, box, []bed.Laid{{Matter: of(0.15), DepthM: 0.15, TempC: 12, Layer: 1}}, air.Hours[0], 0)
	from.Cover, _ = p.Cover("cloth")
	s, r := from.Clone(), bed.NewRunner(p)
	best := time.Hour
	for range 40 {
		s.CopyFrom(from)
		began := time.Now()
		if _, err := r.Run(box, s, air, 365*24, acts, nil); err != nil {
			t.Fatal(err)
		}
		best = min(best, time.Since(began))
	}
	t.Logf("one bed-year at hourly air, up to %d layers: %.2f ms (design: 20 ms now, 7 ms with the twin)", bed.MaxLayers, best.Seconds()*1e3)
	if best > 250*time.Millisecond { // only a loss of order is caught here; a busy machine takes several times as long
		t.Errorf("a bed-year takes %v", best)
	}
}
