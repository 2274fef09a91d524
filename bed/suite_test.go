package bed_test

import (
	"fmt"
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

// configuration is one way of keeping a bed; every one is put through the suite.
type configuration struct {
	name string
	days int
	make func(t testing.TB, p *bed.Parameters) (bed.Box, *bed.State, climate.Series, []bed.Act)
}

func configurations() []configuration {
	usual := func(change func(t testing.TB, p *bed.Parameters, box *bed.Box, s *bed.State, air *climate.Series, acts *[]bed.Act)) func(testing.TB, *bed.Parameters) (bed.Box, *bed.State, climate.Series, []bed.Act) {
		return func(t testing.TB, p *bed.Parameters) (bed.Box, *bed.State, climate.Series, []bed.Act) {
			box, s, air := bin(), bedded(t, p, spring), barnAir(spring, 120)
			acts := append([]bed.Act{stocked(spring)}, fed(spring, 120, func(v float64) feedstock.Matter { return everyday(t, v) }, 0.025, 0, 3)...)
			change(t, p, &box, s, &air, &acts)
			slices.SortStableFunc(acts, func(a, b bed.Act) int { return int(a.Hour - b.Hour) })
			return box, s, air, acts
		}
	}
	steady := func(air *climate.Series, temp float64) {
		for i := range air.Hours {
			air.Hours[i].TempC = temp
		}
	}
	return []configuration{
		{"usual", 120, usual(func(testing.TB, *bed.Parameters, *bed.Box, *bed.State, *climate.Series, *[]bed.Act) {})},
		{"no feed", 120, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			*acts = (*acts)[:1]
		})},
		{"no worms", 120, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			*acts = (*acts)[1:]
		})},
		{"empty", 40, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, s *bed.State, _ *climate.Series, acts *[]bed.Act) {
			s.Layers = s.Layers[:0]
			*acts = (*acts)[:1]
		})},
		{"nothing but water", 40, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, s *bed.State, _ *climate.Series, acts *[]bed.Act) {
			s.Layers = s.Layers[:0]
			*acts = []bed.Act{{Hour: spring*24 + 5, Kind: bed.Feed, Matter: feedstock.Matter{Water: 40, Volume: 0.04}, DepthM: 0.03, TempC: 15, Layer: 7}, stocked(spring + 1)}
		})},
		{"frozen", 90, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, air *climate.Series, _ *[]bed.Act) {
			for i := range air.Hours {
				air.Hours[i].TempC -= 22
				if i > 45*24 {
					air.Hours[i].TempC += 26
				}
			}
		})},
		{"two feet of feed", 60, usual(func(t testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			*acts = []bed.Act{(*acts)[0], {Hour: spring*24 + 33, Kind: bed.Feed, Matter: rich(t, 0.6*plan), DepthM: 0.6, TempC: 15, Layer: 9}}
		})},
		{"flooded", 60, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			for d := int64(3); d < 60; d += 3 {
				*acts = append(*acts, bed.Act{Hour: (spring+d)*24 + 10, Kind: bed.Water, WaterKg: 150, TempC: 10})
			}
		})},
		{"all worms taken out", 60, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			*acts = append(*acts, bed.Act{Hour: (spring+20)*24 + 9, Kind: bed.Out, Worms: worm.Stock{AdultKg: 1e3}})
		})},
		{"one half fed", 90, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			for i := range *acts {
				if a := &(*acts)[i]; a.Kind == bed.Feed {
					a.Side, a.DepthM = bed.Left, 2*a.DepthM
				}
			}
			*acts = append(*acts, bed.Act{Hour: (spring+60)*24 + 9, Kind: bed.Take, Side: bed.Right})
		})},
		{"hot barn, open surface", 90, usual(func(_ testing.TB, p *bed.Parameters, _ *bed.Box, s *bed.State, air *climate.Series, _ *[]bed.Act) {
			steady(air, 34)
			for i := range air.Hours {
				air.Hours[i].RH = 0.3
			}
			s.Cover, _ = p.Cover("none")
		})},
		{"everything that can be done", 120, usual(func(t testing.TB, p *bed.Parameters, box *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			box.Under, box.Over, box.Hidden = bed.UnderBin, true, 0.5
			film, _ := p.Cover("film")
			at := func(d int64) int64 { return (spring+d)*24 + 14 }
			*acts = append(*acts,
				bed.Act{Hour: at(5), Kind: bed.Covered, Cover: film}, bed.Act{Hour: at(9), Kind: bed.Heat, Watts: 60}, bed.Act{Hour: at(20), Kind: bed.Heat},
				bed.Act{Hour: at(25), Kind: bed.Turn, DepthM: 0.2}, bed.Act{Hour: at(33), Kind: bed.Stock, Worms: worm.Stock{JuvenileKg: 1}},
				bed.Act{Hour: at(40), Kind: bed.Feed, Matter: everyday(t, 0.025*plan), DepthM: 0.05, TempC: 15, Layer: 8, Side: bed.Left},
				bed.Act{Hour: at(45), Kind: bed.Feed, Matter: rich(t, 0.0125*plan), DepthM: 0.025, TempC: 15, Layer: 9, Side: bed.Right},
				bed.Act{Hour: at(60), Kind: bed.Take, DepthM: 0.03, Side: bed.Right}, bed.Act{Hour: at(64), Kind: bed.Feed, Matter: everyday(t, 0.025*plan), DepthM: 0.05, TempC: 15, Layer: 10, Side: bed.Left}, bed.Act{Hour: at(76), Kind: bed.Take, Side: bed.Right},
				bed.Act{Hour: at(50), Kind: bed.Take, DepthM: 0.06, From: bed.FromTop}, bed.Act{Hour: at(70), Kind: bed.Take, DepthM: 0.2, From: bed.FromBottom},
				bed.Act{Hour: at(80), Kind: bed.Turn}, bed.Act{Hour: at(100), Kind: bed.Take, DepthM: 5, From: bed.FromTop})
		})},
		{"at the edge of frost", 60, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, air *climate.Series, acts *[]bed.Act) {
			for i := range air.Hours {
				air.Hours[i].TempC -= 13
			}
			*acts = (*acts)[:5]
		})},
		{"watered every other day, open", 60, usual(func(_ testing.TB, p *bed.Parameters, _ *bed.Box, s *bed.State, _ *climate.Series, acts *[]bed.Act) {
			s.Cover, _ = p.Cover("none")
			for d := int64(2); d < 60; d += 2 {
				*acts = append(*acts, bed.Act{Hour: (spring+d)*24 + 15, Kind: bed.Water, WaterKg: 8, TempC: 12})
			}
		})},
		{"fed to the rim in a stack", 90, usual(func(t testing.TB, _ *bed.Parameters, box *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			box.Under, box.Hidden, box.HolesM2 = bed.UnderAir, 0.5, 0.06
			for i := range *acts {
				if a := &(*acts)[i]; a.Kind == bed.Feed {
					a.Matter, a.DepthM = everyday(t, 0.04*plan), 0.04
				}
			}
		})},
		{"dense and seldom fed", 90, usual(func(_ testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			*acts = append((*acts)[:5], bed.Act{Hour: (spring+5)*24 + 9, Kind: bed.Stock, Worms: worm.Stock{AdultKg: 8, JuvenileKg: 6, Cocoons: 9000}})
		})},
		{"warm, some in danger and few lost", 60, usual(func(t testing.TB, p *bed.Parameters, box *bed.Box, s *bed.State, air *climate.Series, acts *[]bed.Act) {
			manure := func(deep float64) feedstock.Matter { return mixed(t, deep*plan, 0, "horse manure with bedding", 1.0) }
			box.HolesM2 = 0.06
			*s = *bed.Start(p, *box, []bed.Laid{{Matter: manure(0.25), DepthM: 0.25, TempC: 14, Layer: 1, AgeDays: 90}}, air.Hours[0], spring*24)
			s.Cover, _ = p.Cover("cloth")
			steady(air, 17)
			*acts = (*acts)[:1]
			for d := int64(7); d < 60; d += 7 {
				*acts = append(*acts, bed.Act{Hour: (spring+d)*24 + 18, Kind: bed.Feed, Matter: manure(0.04), DepthM: 0.04, TempC: math.NaN(), Layer: uint64(d)})
			}
		})},
		{"a trace of matter", 30, usual(func(t testing.TB, _ *bed.Parameters, _ *bed.Box, _ *bed.State, _ *climate.Series, acts *[]bed.Act) {
			*acts = append(*acts, bed.Act{Hour: spring*24 + 30, Kind: bed.Feed, Matter: everyday(t, 1e-6), DepthM: 0.02, TempC: 15, Layer: 3}, bed.Act{Hour: spring*24 + 50, Kind: bed.Feed, Matter: everyday(t, 3e-4), DepthM: 0.02, TempC: 15, Layer: 4})
		})},
	}
}

const closes = 1e-9 // relative, design of the balance

func balanced(t testing.TB, name string, b bed.Budget) {
	t.Helper()
	for _, x := range []struct {
		what string
		bed.Balance
	}{{"dry matter", b.Dry}, {"water", b.Water}, {"carbon", b.Carbon}, {"nitrogen", b.Nitrogen}, {"energy", b.Energy}} {
		if e := x.Error(); !(e <= closes) {
			t.Errorf("%s: %s is off by %.3g: in %g, out %g, stored %g", name, x.what, e, x.In, x.Out, x.Stored)
		}
	}
}

// unsound tells which numbers of a day cannot be, of a bed that gets no hotter than so
// much [C].
func unsound(d bed.Day, hottest float64) (bad string) {
	in := func(what string, v, low, high float64) {
		if !(v >= low && v <= high) {
			bad += fmt.Sprintf(" %s %g", what, v)
		}
	}
	in("depth", d.DepthM, 0, 2)
	in("mean", d.MeanC, -40, hottest)
	in("max", d.MaxC, d.MinC-1e-9, hottest)
	in("water", d.WaterOfWet, 0, 1)
	in("oxygen", d.OxygenMin, 0, 0.2095+1e-12)
	in("ammonia", d.AmmoniaPPM, 0, 1e6)
	in("feed left", d.FeedLeftKg, 0, 1e4)
	in("dry", d.DryKg, 0, 1e4)
	in("castings", d.CastingsOfDry, 0, 1)
	in("worms", d.WormsKg, -1e-12, 100)
	in("eaten", d.EatenKg, 0, 100)
	if d.DepthM > 0 { // of a day on which all was taken out it is what was there before
		in("refuge", d.RefugeM, 0, d.DepthM+0.1)
	}
	in("frozen", d.FrozenOfWater, 0, 1)
	for i, s := range d.Stress {
		in(bed.Stress(i).String(), s, 0, 1+1e-12)
	}
	return bad
}

// sound checks that a day holds numbers that can be.
func sound(t testing.TB, name string, d bed.Day) {
	t.Helper()
	if bad := unsound(d, 80); bad != "" {
		t.Errorf("%s, hour %d:%s", name, d.Hour, bad)
	}
}

// What goes in comes out or is there: dry matter, water, carbon, nitrogen and
// energy, in every configuration; heat and oxygen used agree by construction of
// the one factor, and the heat shown is the heat in the energy.
func TestBalance(t *testing.T) {
	p := parameters(t)
	for _, c := range configurations() {
		box, s, air, acts := c.make(t, p)
		b, err := bed.Run(p, box, s, air, (spring+int64(c.days))*24, acts, func(d bed.Day) { sound(t, c.name, d) })
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		balanced(t, c.name, b)
		if used := b.OxygenKg * p.OxygenHeat * 1e6; math.Abs(used-b.ReleasedJ) > 1e-9*b.ReleasedJ {
			t.Errorf("%s: oxygen used gives %g J, released are %g", c.name, used, b.ReleasedJ)
		}
		for i := range s.Layers {
			l := &s.Layers[i]
			for _, v := range []float64{l.Quick, l.Slow, l.Woody, l.Cast, l.Ash, l.Carbon, l.Nitrogen, l.Ammonia, l.Nitrate, l.Water, l.Ice, l.DepthM, l.Lignin} {
				if !(v >= -1e-12) {
					t.Errorf("%s: layer %d holds %+v", c.name, i, *l)
					break
				}
			}
		}
	}
}

// Any bed that can be described balances.
func TestBalanceOfAnyBed(t *testing.T) {
	p := parameters(t)
	r := bed.NewRunner(p)
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		some := func(name string) feedstock.Matter {
			dry := draw(name+" dry", 0, 80)
			vol := dry * draw(name+" volatile", 0, 1)
			q := draw(name+" quick", 0, 1)
			w := draw(name+" woody", 0, 1)
			m := feedstock.Matter{Dry: qty.DryKg(dry), Quick: qty.DryKg(vol * q), Slow: qty.DryKg(vol * (1 - q) * (1 - w)), Woody: qty.DryKg(vol * (1 - q) * w), Ash: qty.DryKg(dry - vol)}
			m.Water = qty.WaterKg(draw(name+" water", 0, 300))
			m.Carbon = qty.CarbonKg(vol * draw(name+" carbon", 0.3, 0.6))
			m.Nitrogen = qty.NitrogenKg(float64(m.Carbon) / draw(name+" cn", 5, 500))
			m.Ammonia = qty.NitrogenKg(dry * draw(name+" ammonia", 0, 0.01))
			m.Volume = qty.CubicMetre(draw(name+" volume", 0.001, 0.5))
			return m
		}
		air := climate.Steady(0, 24*30, climate.Hour{TempC: draw("air", -25, 42), RH: draw("rh", 0, 1)})
		s := bed.Start(p, bin(), []bed.Laid{{Matter: some("bedding"), TempC: draw("bed", -5, 40), Layer: 1}}, air.Hours[0], 0)
		s.Cover, _ = p.Cover(rapid.SampledFrom(bed.CoverNames()).Draw(t, "cover"))
		s.HeatLn = draw("heat that stays", -1, 0.6)
		box := bin()
		box.Under, box.Over, box.Hidden = rapid.SampledFrom([]bed.Under{bed.UnderFloor, bed.UnderBin, bed.UnderAir}).Draw(t, "under"), rapid.Bool().Draw(t, "over"), draw("hidden", 0, 1)
		sides := []bed.Side{bed.Whole, bed.Whole, bed.Left, bed.Right}
		acts := []bed.Act{
			{Hour: 3, Kind: bed.Stock, Worms: worm.Stock{AdultKg: draw("adults", 0, 20), JuvenileKg: draw("juveniles", 0, 20), Cocoons: draw("cocoons", 0, 1e5)}},
			{Hour: 30, Kind: bed.Feed, Matter: some("feed"), TempC: draw("feed temp", -10, 60), Layer: 2, Side: rapid.SampledFrom(sides).Draw(t, "fed side")},
			{Hour: 77, Kind: bed.Water, WaterKg: draw("poured", 0, 200), TempC: draw("poured temp", 0, 60)},
			{Hour: 90, Kind: bed.Heat, Watts: draw("watts", 0, 100)},
			{Hour: 110, Kind: bed.Feed, Matter: some("more feed"), TempC: draw("more temp", -10, 60), Layer: 3, Side: rapid.SampledFrom(sides).Draw(t, "other side")},
			{Hour: 200, Kind: bed.Take, DepthM: draw("taken", 0, 0.6), From: rapid.SampledFrom([]bed.End{bed.FromTop, bed.FromBottom}).Draw(t, "from"), Side: rapid.SampledFrom(sides).Draw(t, "side taken")},
			{Hour: 300, Kind: bed.Turn, DepthM: draw("turned", 0, 0.5)},
			{Hour: 400, Kind: bed.Out, Worms: worm.Stock{AdultKg: draw("worms out", 0, 10)}},
		}
		b, err := r.Run(box, s, air, 24*30, acts, func(d bed.Day) {
			if bad := unsound(d, 100); bad != "" { // nearly twice the heat stays, on a mat
				t.Fatalf("hour %d:%s", d.Hour, bad)
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []bed.Balance{b.Dry, b.Water, b.Carbon, b.Nitrogen, b.Energy} {
			if !(x.Error() <= closes) {
				t.Fatalf("%+v is off by %g", x, x.Error())
			}
		}
	})
}

// Where nothing can happen nothing does, and where it can it does.
func TestLimits(t *testing.T) {
	p := parameters(t)
	run := func(name string) (first, last bed.Day, all []bed.Day, b bed.Budget) {
		for _, c := range configurations() {
			if c.name == name {
				box, s, air, acts := c.make(t, p)
				b, err := bed.Run(p, box, s, air, (spring+int64(c.days))*24, acts, func(d bed.Day) { all = append(all, d) })
				if err != nil {
					t.Fatal(err)
				}
				return all[0], all[len(all)-1], all, b
			}
		}
		t.Fatal(name)
		return
	}
	if _, last, _, b := run("no feed"); last.WormsKg >= 7 || last.Stress[bed.Hungry] < 0.15 || b.Dry.Out < 3 {
		t.Errorf("no feed: %+v", last)
	}
	if _, last, all, _ := run("no worms"); last.WormsKg != 0 || last.CastingsKg > 0.02*last.DryKg || all[60].EatenKg != 0 {
		t.Errorf("no worms: %+v", last)
	}
	if _, last, _, _ := run("empty"); last.WormsKg > 0.1 || last.DepthM != 0 || last.DryKg != 0 {
		t.Errorf("empty: %+v", last)
	}
	if _, last, _, b := run("nothing but water"); last.DryKg != 0 || math.Abs(b.DrainedKg-40) > 8 {
		t.Errorf("nothing but water: %+v, drained %g kg", last, b.DrainedKg)
	}
	_, thawed, all, _ := run("frozen")
	if deep := all[40]; !deep.Noticed[bed.Frozen] || deep.FrozenOfWater < 0.9 || deep.EatenKg != 0 || deep.HeatW > 0.01 || deep.WormsKg > 0.1 {
		t.Errorf("frozen: %+v", deep)
	}
	if thawed.FrozenOfWater != 0 || thawed.HeatW < 5 {
		t.Errorf("thawed: %+v", thawed)
	}
	_, _, all, _ = run("two feet of feed")
	hottest, worst := 0.0, 1.0
	for _, d := range all {
		hottest = max(hottest, d.MaxC)
		worst = min(worst, d.OxygenMin)
	}
	if hottest < 34 || worst > 0.001 || all[20].WormsKg > 2 {
		t.Errorf("two feet of feed: hottest %.1f C, least oxygen %.3f, worms %.2f kg", hottest, worst, all[20].WormsKg)
	}
	if _, last, all, _ := run("all worms taken out"); all[15].EatenKg < 0.5 || all[25].EatenKg > 0.05*all[15].EatenKg || last.Cocoons <= 0 {
		t.Errorf("all worms taken out: eaten %g kg before, %g after, %g cocoons at the end", all[15].EatenKg, all[25].EatenKg, last.Cocoons)
	}
	if _, last, _, b := run("flooded"); b.DrainedKg < 2000 || last.WaterOfWet > 0.9 {
		t.Errorf("flooded: %+v, drained %g kg", last, b.DrainedKg)
	}
}

// Colder is not faster, between the lowest and the best temperature of decay; a
// bed without worms, so that only decay speaks.
func TestColderIsNotFaster(t *testing.T) {
	p := parameters(t)
	lost := func(temp float64) float64 {
		s := bedded(t, p, spring)
		s.Cover, _ = p.Cover("film")
		for i := range s.Layers {
			s.Layers[i].TempC = temp
		}
		s.FloorC = temp
		b, err := bed.Run(p, bin(), s, climate.Steady(spring*24, 24*30, climate.Hour{TempC: temp, RH: 0.95}), (spring+30)*24, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		return b.Dry.Out
	}
	last := -1.0
	for temp := -8.0; temp <= 44; temp += 4 {
		now := lost(temp)
		if now < last-1e-9 {
			t.Errorf("at %g C %g kg are lost, at %g C %g", temp, now, temp-4, last)
		}
		last = now
	}
}

// Wetter is not slower from dry on, in a layer thin enough that air is no limit.
func TestDrierIsNotFaster(t *testing.T) {
	p := parameters(t)
	last := -1.0
	for _, water := range []float64{0.38, 0.45, 0.52, 0.6, 0.68} {
		s := bed.Start(p, bin(), []bed.Laid{{Matter: mixed(t, 0.05*plan, water, "leaves, loose dry", 1.0), DepthM: 0.05, TempC: 20, Layer: 1}}, climate.Hour{TempC: 20, RH: 0.9}, 0)
		s.Cover, _ = p.Cover("film")
		b, err := bed.Run(p, bin(), s, climate.Steady(0, 240, climate.Hour{TempC: 20, RH: 0.9}), 240, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		if b.Dry.Out < last {
			t.Errorf("with %g water %g kg are lost, drier %g", water, b.Dry.Out, last)
		}
		last = b.Dry.Out
	}
}

// Steps eight times finer change temperatures by less than 0.2 C and pools by
// less than 1 %, through everything that is done to a bed.
func TestFinerStepsAgree(t *testing.T) {
	p := parameters(t)
	for _, name := range []string{"usual", "frozen", "two feet of feed", "flooded", "one half fed", "hot barn, open surface", "everything that can be done", "at the edge of frost", "watered every other day, open", "fed to the rim in a stack", "dense and seldom fed", "warm, some in danger and few lost"} {
		for _, c := range configurations() {
			if c.name != name {
				continue
			}
			type look struct {
				bed.Day
				layers []bed.Slice
			}
			days := func(finer int) (out []look) {
				box, s, air, acts := c.make(t, p)
				r := bed.NewRunner(p)
				r.Finer = finer
				if _, err := r.Run(box, s, air, (spring+int64(c.days))*24, acts, func(d bed.Day) { out = append(out, look{d, r.Profile(box, s)}) }); err != nil {
					t.Fatal(err)
				}
				return out
			}
			coarse, fine := days(1), days(8)
			worstC, worst, where, which := 0.0, 0.0, "", ""
			most := map[string]float64{}
			pools := func(d bed.Day) map[string]float64 {
				return map[string]float64{"dry": d.DryKg, "water": d.DryKg * d.WaterOfWet / (1 - d.WaterOfWet + 1e-12), "castings": d.CastingsKg, "worms": d.WormsKg, "feed left": d.FeedLeftKg, "ice": d.FrozenOfWater * d.DryKg * d.WaterOfWet / (1 - d.WaterOfWet + 1e-12)}
			}
			for _, d := range fine {
				for k, v := range pools(d.Day) {
					most[k] = max(most[k], v)
				}
			}
			for k := range most { // a pool that is next to nothing in the bed is measured against a hundredth of it
				most[k] = max(most[k], most["dry"]/100)
				if k == "castings" {
					most[k] = max(most[k], (most["dry"]+most["water"])/100)
				}
			}
			for i := range fine {
				a, b := coarse[i], fine[i]
				if len(a.layers) != len(b.layers) {
					t.Fatalf("%s, day %d: %d layers and %d", name, i, len(a.layers), len(b.layers))
				}
				for j := range a.layers {
					if min(math.Abs(a.layers[j].TempC), math.Abs(b.layers[j].TempC)) < 5 && (a.FrozenOfWater > 0 || b.FrozenOfWater > 0) {
						continue // at the front of the frost, hours late is degrees off; the ice is compared below
					}
					if d := math.Abs(a.layers[j].TempC - b.layers[j].TempC); d > worstC {
						worstC, where = d, fmt.Sprintf("day %d, layer %d from the top: %.2f C and %.2f", i, j, a.layers[j].TempC, b.layers[j].TempC)
					}
				}
				if d := math.Abs(a.MeanC - b.MeanC); d > worstC {
					worstC, where = d, fmt.Sprintf("day %d, mean", i)
				}
				pa := pools(a.Day)
				for k, v := range pools(b.Day) {
					if d := math.Abs(pa[k]-v) / most[k]; d > worst {
						worst, which = d, fmt.Sprintf("%s on day %d: %.4g and %.4g", k, i, pa[k], v)
					}
				}
			}
			t.Logf("%s: %.3f C (%s), %.3f %% of a pool (%s)", name, worstC, where, worst*100, which)
			limitC := 0.2
			switch name {
			case "frozen": // the front of the frost moves by whole layers, and with it the hour
				limitC = 0.25
			case "watered every other day, open", "dense and seldom fed": // a thin top layer over the turn of the day; three hours there would cost a tenth of all time
				limitC = 0.25
			}
			limit := 0.01
			if name == "two feet of feed" { // two months of a small stock under a hot heap: a per cent and a quarter where growth is good to 25
				limit = 0.0125
			}
			if worstC > limitC || worst > limit {
				t.Errorf("%s: steps eight times finer differ by %.3f C (%s) and %.2f %% of a pool (%s)", name, worstC, where, worst*100, which)
			}
		}
	}
}

// A run allocates nothing once its Runner is warm.
func TestRunAllocatesNothing(t *testing.T) {
	p := parameters(t)
	from := bedded(t, p, spring)
	air := barnAir(spring, 30)
	acts := append([]bed.Act{stocked(spring)}, fed(spring, 30, func(v float64) feedstock.Matter { return everyday(t, v) }, 0.025, 0, 3)...)
	s, r := from.Clone(), bed.NewRunner(p)
	out := func(bed.Day) {}
	if n := testing.AllocsPerRun(3, func() {
		s.CopyFrom(from)
		if _, err := r.Run(bin(), s, air, (spring+30)*24, acts, out); err != nil {
			t.Fatal(err)
		}
	}); n != 0 {
		t.Errorf("%g allocations in a run of 30 days", n)
	}
}

// The same run gives the same bits, also when it is stopped at a midnight, stored,
// read back and taken up by another Runner.
func TestStoppedAndTakenUpAgain(t *testing.T) {
	p := parameters(t)
	for _, c := range configurations() {
		box, whole, air, acts := c.make(t, p)
		until := (spring + int64(c.days)) * 24
		if _, err := bed.Run(p, box, whole, air, until, acts, nil); err != nil {
			t.Fatal(err)
		}
		_, parts, _, _ := c.make(t, p)
		for hour := int64(spring * 24); hour < until; hour += 11 * 24 {
			stop := min(hour+11*24, until)
			// Acts of the very hour of the stop are done by the run that ends there.
			todo := slices.DeleteFunc(slices.Clone(acts), func(a bed.Act) bool { return a.Hour == hour && hour != spring*24 })
			if _, err := bed.NewRunner(p).Run(box, parts, air, stop, todo, nil); err != nil {
				t.Fatal(err)
			}
			stored := parts.AppendBinary(nil)
			parts = new(bed.State)
			if err := parts.Decode(stored); err != nil {
				t.Fatal(err)
			}
		}
		if string(whole.AppendBinary(nil)) != string(parts.AppendBinary(nil)) {
			t.Errorf("%s: stopping changed the bits", c.name)
		}
	}
	if err := new(bed.State).Decode([]byte{9, 9}); err == nil {
		t.Error("rubbish was read as a bed")
	}
	_, s, _, _ := configurations()[0].make(t, p)
	if err := new(bed.State).Decode(s.AppendBinary(nil)[:200]); err == nil {
		t.Error("half a bed was read as a bed")
	}
}

// Layers come from the acts alone: beds that differ in everything else keep the
// same ones, as a feeding of nothing does.
func TestLayersComeFromTheActs(t *testing.T) {
	p := parameters(t)
	other := *p
	other.QuickRate *= 3
	other.CastBulk *= 0.7
	names := func(p *bed.Parameters, scale float64) (out []string) {
		s := bedded(t, p, spring)
		acts := append([]bed.Act{stocked(spring)}, fed(spring, 200, func(v float64) feedstock.Matter { return everyday(t, v).Times(scale) }, 0.05, 0, 2, 4)...)
		acts = append(acts, bed.Act{Hour: (spring + 100) * 24, Kind: bed.Take, DepthM: 0.2, From: bed.FromBottom})
		slices.SortStableFunc(acts, func(a, b bed.Act) int { return int(a.Hour - b.Hour) })
		if _, err := bed.Run(p, bin(), s, barnAir(spring, 200), (spring+200)*24, acts, nil); err != nil {
			t.Fatal(err)
		}
		if len(s.Layers) > bed.MaxLayers {
			t.Errorf("%d layers", len(s.Layers))
		}
		for i := range s.Layers {
			out = append(out, fmt.Sprint(s.Layers[i].ID, s.Layers[i].Part, s.Layers[i].Laid, s.Layers[i].Feed))
		}
		return out
	}
	want := names(p, 1)
	if got := names(&other, 0.6); !slices.Equal(got, want) {
		t.Errorf("other numbers, other layers:\n%v\n%v", got, want)
	}
	if got := names(p, 0); !slices.Equal(got, want) {
		t.Errorf("feedings of nothing, other layers:\n%v\n%v", got, want)
	}
}

// An act that a bed does not know, or acts out of order, come back as an error.
func TestActsThatCannotBe(t *testing.T) {
	p := parameters(t)
	s := bedded(t, p, spring)
	if _, err := bed.Run(p, bin(), s, barnAir(spring, 2), (spring+2)*24, []bed.Act{{Hour: spring*24 + 3, Kind: "sing"}}, nil); err == nil {
		t.Error("a bed sang")
	}
	acts := []bed.Act{{Hour: spring*24 + 30, Kind: bed.Water, WaterKg: 1}, {Hour: spring*24 + 20, Kind: bed.Water, WaterKg: 1}}
	if _, err := bed.Run(p, bin(), bedded(t, p, spring), barnAir(spring, 2), (spring+2)*24, acts, nil); err == nil {
		t.Error("acts out of order were taken")
	}
	if _, err := bed.Run(p, bed.Box{}, s, barnAir(spring, 2), (spring+2)*24, nil, nil); err == nil {
		t.Error("a bin without area was run")
	}
}

func BenchmarkYear(b *testing.B) {
	p := parameters(b)
	air := barnAir(winter, 365)
	acts := append([]bed.Act{stocked(winter)}, fed(winter, 365, func(v float64) feedstock.Matter { return everyday(b, v) }, 0.0125, 0, 3)...)
	from := bedded(b, p, winter)
	s, r := from.Clone(), bed.NewRunner(p)
	b.ReportAllocs()
	for b.Loop() {
		s.CopyFrom(from)
		if _, err := r.Run(bin(), s, air, (winter+365)*24, acts, nil); err != nil {
			b.Fatal(err)
		}
	}
}
