package bed_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/qty"
	"wormyard/worm"
)

// A bed may be treated as badly as can be written down: matter of one sort alone or
// of none, drowned, dried out, frozen and boiled, turned and emptied, with no worms
// and with far too many. It stays a bed of numbers.
func TestNothingDoneToABedBreaksIt(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		r := bed.NewRunner(p)
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		of := func(name string, v ...float64) float64 { return rapid.SampledFrom(v).Draw(t, name) }
		some := func() feedstock.Matter {
			var m feedstock.Matter
			part := func(name string) qty.DryKg {
				return qty.DryKg(of(name, 0, 0, 1e-5, 1) * draw(name+" kg", 0, 60))
			}
			m.Quick, m.Slow, m.Woody, m.Cast, m.Ash = part("quick"), part("slow"), part("woody"), part("cast"), part("ash")
			vol := m.Quick + m.Slow + m.Woody + m.Cast
			m.Dry = vol + m.Ash
			m.Water = qty.WaterKg(of("water", 0, 1e-6, 1, 1) * draw("water kg", 0, 400))
			m.Carbon = qty.CarbonKg(0.47 * float64(vol))
			m.Nitrogen = qty.NitrogenKg(float64(m.Carbon) / draw("cn", 6, 400))
			m.Ammonia = qty.NitrogenKg(float64(m.Dry) * of("ammonia", 0, 1e-9, 1e-3, 2e-2))
			m.Volume = qty.CubicMetre(draw("volume", 0, 0.7))
			return m
		}
		hours := 24 * 40
		air := climate.Series{Hours: make([]climate.Hour, hours+48)}
		base, swing, leap := draw("air", -25, 42), draw("swing", 0, 15), draw("leap", -25, 25)
		for i := range air.Hours {
			air.Hours[i] = climate.Hour{TempC: base + swing*math.Sin(2*math.Pi*float64(i)/24), RH: of("rh", 0, 0.5, 1)}
			if i > 15*24 {
				air.Hours[i].TempC += leap
			}
		}
		box := bin()
		box.Under = rapid.SampledFrom([]bed.Under{bed.UnderFloor, bed.UnderBin, bed.UnderAir}).Draw(t, "under")
		s := bed.Start(p, box, []bed.Laid{{Matter: some(), DepthM: draw("depth", 0, 0.6), TempC: draw("bed", -5, 70), Layer: 1, AgeDays: of("age", 0, 30, 3000), Castings: of("castings", 0, 0.5, 1)}}, air.Hours[0], 0)
		s.Cover, _ = p.Cover(rapid.SampledFrom(bed.CoverNames()).Draw(t, "cover"))
		var acts []bed.Act
		for i := range rapid.IntRange(0, 14).Draw(t, "acts") {
			a := bed.Act{Hour: int64(rapid.IntRange(0, hours-1).Draw(t, "hour")), TempC: draw("temp", -10, 80), Layer: uint64(i + 2), Side: rapid.SampledFrom([]bed.Side{bed.Whole, bed.Whole, bed.Left, bed.Right}).Draw(t, "side")}
			a.Kind = rapid.SampledFrom([]bed.Kind{bed.Feed, bed.Feed, bed.Bedding, bed.Water, bed.Take, bed.Take, bed.Turn, bed.Stock, bed.Out, bed.Heat}).Draw(t, "kind")
			switch a.Kind {
			case bed.Feed, bed.Bedding:
				a.Matter, a.DepthM = some(), of("deep", 0, 0.001, 0.02, 0.1, 0.6)
			case bed.Water:
				a.WaterKg = of("poured", 1e-6, 1, 30, 500)
			case bed.Take:
				a.DepthM, a.From = of("taken", 1e-6, 0.01, 0.1, 5), rapid.SampledFrom([]bed.End{bed.FromTop, bed.FromBottom}).Draw(t, "from")
			case bed.Turn:
				a.DepthM, a.Side = of("turned", 0, 0.05, 0.3), bed.Whole
			case bed.Stock:
				a.Worms = worm.Stock{AdultKg: of("adults", 0, 1e-6, 5, 60), JuvenileKg: of("juveniles", 0, 1e-6, 5, 60), Cocoons: of("cocoons", 0, 1, 1e6)}
			case bed.Out:
				a.Worms = worm.Stock{AdultKg: of("out", 1e-6, 1, 1e3)}
			case bed.Heat:
				a.Watts = of("watts", 0, 60, 400)
			}
			acts = append(acts, a)
		}
		slices.SortStableFunc(acts, func(a, b bed.Act) int { return int(a.Hour - b.Hour) })
		b, err := r.Run(box, s, air, int64(hours), acts, func(d bed.Day) {
			for _, v := range []float64{d.MeanC, d.MaxC, d.MinC, d.WaterOfWet, d.WormsKg, d.DepthM, d.OxygenMin} {
				if math.IsNaN(v) && d.DepthM > 0 {
					t.Fatalf("hour %d: %+v", d.Hour, d)
				}
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range []bed.Balance{b.Dry, b.Water, b.Carbon, b.Nitrogen, b.Energy} {
			least := 1.0 // a bed of next to nothing is held to that of a kilogram, or of a litre warmed by 240 K
			if i == 4 {
				least = 1e6
			}
			if off := math.Abs(x.In - x.Out - x.Stored); !(off <= 1e-8*max(least, x.In)) {
				t.Fatalf("%d: %+v is off by %g", i, x, off)
			}
		}
		for i := range s.Layers {
			l := &s.Layers[i]
			for _, v := range []float64{l.Quick, l.Slow, l.Woody, l.Cast, l.Ash, l.Carbon, l.Nitrogen, l.Ammonia, l.Nitrate, l.Water, l.Ice, l.DepthM, l.Lignin} {
				if !(v >= -1e-12) {
					t.Fatalf("layer %d holds %+v", i, *l)
				}
			}
		}
	})
}

// A millimetre-thin bed of wet sand on a mat, in dry air at the freezing point: it dries
// and freezes from above and thaws from below. No layer is ever warmer than the mat can
// make it, its watts over what leaves through the surface, whichever way the ice of a
// layer goes in a step.
func TestIceThatGoesEitherWayMakesNoHeat(t *testing.T) {
	p := parameters(t)
	hottest := 0.0
	for _, airC := range []float64{-0.5, -0.03, 0.3} {
		for _, watts := range []float64{0, 4, 8} {
			for _, deep := range []float64{0.002, 0.005, 0.01} {
				sand := func(share float64) feedstock.Matter {
					dry := 300 * deep * share * plan
					return feedstock.Matter{Dry: qty.DryKg(dry), Ash: qty.DryKg(dry), Water: qty.WaterKg(2 * dry), Volume: qty.CubicMetre(deep * share * plan)}
				}
				air := climate.Hour{TempC: airC, RH: 0.06}
				s := bed.Start(p, bin(), []bed.Laid{{Matter: sand(0.4), DepthM: 0.4 * deep, TempC: 0.25, Layer: 1}, {Matter: sand(0.55), DepthM: 0.55 * deep, TempC: 0.25, Layer: 2}, {Matter: sand(0.05), DepthM: 0.05 * deep, TempC: 0.25, Layer: 3}}, air, 0)
				s.Cover, _ = p.Cover("cloth")
				b, err := bed.Run(p, bin(), s, climate.Steady(0, 24*30, air), 24*29, []bed.Act{{Hour: 1, Kind: bed.Heat, Watts: watts}}, func(d bed.Day) { hottest = max(hottest, d.MaxC-watts/plan/3) })
				if err != nil {
					t.Fatal(err)
				}
				balanced(t, "sand", b)
			}
		}
	}
	t.Logf("at most %.2f C beyond its mat", hottest)
	if hottest > 1 {
		t.Errorf("a layer is %.1f C warmer than its mat can make it", hottest)
	}
}
