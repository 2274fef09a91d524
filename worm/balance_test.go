package worm_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wormyard/worm"
)

// Mass with cocoons after a step is that before plus what grew less what shrank,
// left and died, whatever the worms meet; nothing goes below nothing.
func TestStepKeepsMass(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		s := worm.Stock{AdultKg: f("adults", 0, 20), JuvenileKg: f("young", 0, 10), Cocoons: f("cocoons", 0, 50000)}
		s.Settle(&p)
		share := f("share", 0, 1)
		places := []worm.Place{
			{Share: share, CocoonShare: 1 - share, TempC: f("t1", -10, 45), Water: f("w1", 0.2, 1), Oxygen: f("o1", 0, 0.21), AmmoniaMgG: f("a1", 0, 3), PH: f("ph1", 3, 11), SaltDSm: f("s1", 0, 12)},
			{Share: 1 - share, CocoonShare: share, TempC: f("t2", -10, 45), Water: f("w2", 0.2, 1), Oxygen: f("o2", 0, 0.21)},
		}
		for range 40 {
			days := f("days", 0.01, 1)
			want := p.Wanted(&s, places, days)
			eaten := want * f("fed", 0, 1.2)
			before := s.MassKg(&p)
			flow := worm.Step(&p, &s, worm.Conditions{Places: places, AreaM2: 1.44, Days: days, WantedKgWet: want, EatenKgWet: eaten, EatenKgDry: 0.25 * eaten})
			died := flow.CocoonsDied
			for _, v := range flow.Died {
				died += v
				if v < 0 {
					t.Fatalf("%+v", flow)
				}
			}
			if e := math.Abs(before + flow.Grown - flow.Shrunk - flow.Left - died - s.MassKg(&p)); e > 1e-9*(before+flow.Grown+1e-6) {
				t.Fatalf("mass is out by %.3g of %.3g: %+v", e, before, flow)
			}
			if flow.Grown*p.DryFrac > p.TissueYield*0.25*eaten*(1+1e-9)+math.SmallestNonzeroFloat64/1e-12 { // growth of next to nothing has no twelve digits
				t.Fatalf("more tissue than the feed gives: %+v", flow)
			}
			sum, kg := 0.0, 0.0
			for i := range s.Young {
				kg += s.YoungKg[i]
				if s.Young[i] < 0 || s.YoungKg[i] < 0 {
					t.Fatalf("%+v", s)
				}
			}
			for _, n := range s.Cocoon {
				sum += n
				if n < 0 {
					t.Fatalf("%+v", s)
				}
			}
			aged := 0.0
			for _, n := range s.Aged {
				aged += n
				if n < 0 {
					t.Fatalf("%+v", s)
				}
			}
			if math.Abs(aged-s.Adults) > 1e-9*(1+aged) {
				t.Fatalf("%+v", s)
			}
			if math.Abs(kg-s.JuvenileKg) > 1e-9*(1+kg) || math.Abs(sum-s.Cocoons) > 1e-9*(1+sum) || s.AdultKg < 0 || s.Adults < 0 {
				t.Fatalf("%+v", s)
			}
		}
	})
}

// Whatever stock is split and joined again, before or after it was settled and
// lived a while, is the stock it was: every stage in number and mass.
func TestSplittingAndJoiningKeepWorms(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		s := worm.Stock{AdultKg: f("adults", 0, 20), JuvenileKg: f("young", 0, 10), Cocoons: f("cocoons", 0, 50000)}
		s.Settle(&p)
		if rapid.Bool().Draw(t, "lived") {
			ahead(&p, &s, one(f("temp", 2, 34)), 1.44, f("fed", 0, 1), 30, 1, nil)
		}
		worms, cocoons := f("share of worms", 0, 1), f("share of cocoons", 0, 1)
		rest := s.Times(1-worms, 1-cocoons)
		rest.Add(&p, s.Times(worms, cocoons))
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9*(want+1e-9) {
				t.Fatalf("%s: %v of %v", what, got, want)
			}
		}
		near("adults [kg]", rest.AdultKg, s.AdultKg)
		near("adults", rest.Adults, s.Adults)
		near("young [kg]", rest.JuvenileKg, s.JuvenileKg)
		near("young", rest.Juveniles(), s.Juveniles())
		near("cocoons", rest.Cocoons, s.Cocoons)
		near("hunger", rest.Hunger(&p), s.Hunger(&p))
		for i := range s.Aged {
			near("age", rest.Aged[i], s.Aged[i])
		}
	})
}

// With nothing that kills, as many worms are there after a step as before it and
// hatched in it, however they grow and mature, and as many cocoons as were laid
// and did not hatch.
func TestNumbersAreKept(t *testing.T) {
	p := parameters(t)
	p.AdultDeath, p.YoungDeath, p.CocoonDeath, p.LifeDays, p.HatchFrac = 0, 0, 0, math.Inf(1), 1
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		s := worm.Stock{AdultKg: f("adults", 0, 20), JuvenileKg: f("young", 0, 10), Cocoons: f("cocoons", 0, 50000)}
		s.Settle(&p)
		for range 60 {
			days := f("days", 0.01, 1)
			places := one(f("temp", 2, 29))
			want := p.Wanted(&s, places, days)
			eaten := want * f("fed", 0, 1)
			worms, adults, cocoons := s.Adults+s.Juveniles(), s.Adults, s.Cocoons
			flow := worm.Step(&p, &s, worm.Conditions{Places: places, AreaM2: 1.44, Days: days, WantedKgWet: want, EatenKgWet: eaten, EatenKgDry: 0.25 * eaten})
			for what, d := range map[string][2]float64{
				"worms":   {s.Adults + s.Juveniles(), worms + flow.Hatched},
				"adults":  {s.Adults, adults + flow.Matured},
				"cocoons": {s.Cocoons, cocoons + flow.Laid - flow.Hatched/p.YoungPer},
			} {
				if math.Abs(d[0]-d[1]) > 1e-9*(1+d[1]) {
					t.Fatalf("%s: %v, should be %v: %+v", what, d[0], d[1], flow)
				}
			}
		}
	})
}

// Whatever kills or drives off takes whole worms: as many in a hundred by number as
// by mass of grown ones and of every step of the young, so that those left weigh what
// they did; and no cocoon is lost but those whose mass is told.
func TestDeathTakesWholeWorms(t *testing.T) {
	p := parameters(t)
	p.LifeDays, p.HatchFrac = math.Inf(1), 1
	p.ShrinkPerDay = 0
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		s := worm.Stock{AdultKg: f("adults", 0.1, 20), JuvenileKg: f("young", 0.1, 10), Cocoons: f("cocoons", 1, 50000)}
		s.Settle(&p)
		// So cold that nothing grows, hatches or matures, or a heat in which nothing does.
		temp := f("cold", -3, 4)
		if rapid.Bool().Draw(t, "hot") {
			temp = f("heat", p.GrowthHotC, 41)
		}
		at := worm.Place{Share: 1, CocoonShare: 1, TempC: temp, Water: f("water", 0.3, 0.9), Oxygen: f("oxygen", 0, 0.21), AmmoniaMgG: f("ammonia", 0, 3), PH: f("ph", 4, 10), SaltDSm: f("salts", 0, 10)}
		if temp > p.GrowthHotC { // cocoons would hatch
			at.CocoonShare = 0
			s.Cocoons, s.Cocoon = 0, worm.Stock{}.Cocoon
		}
		for range 5 {
			before := s
			days := f("days", 0.01, 1)
			flow := worm.Step(&p, &s, worm.Conditions{Places: []worm.Place{at}, AreaM2: 1.44, Days: days})
			gone := flow.Left
			for _, kg := range flow.Died {
				gone += kg
			}
			near := func(what string, got, want float64) {
				if math.Abs(got-want) > 1e-9*(math.Abs(want)+1e-12) {
					t.Fatalf("%s: %v, should be %v: %+v", what, got, want, flow)
				}
			}
			near("grown ones, by number and by mass", s.Adults/before.Adults, s.AdultKg/before.AdultKg)
			for i := range s.Young {
				near("young, by number and by mass", s.Young[i]*before.YoungKg[i], before.Young[i]*s.YoungKg[i])
			}
			if got := before.LiveKg() - s.LiveKg(); math.Abs(got-gone) > 1e-9*before.LiveKg() {
				t.Fatalf("%v kg are gone, told are %v", got, gone)
			}
			if got := before.Cocoons - s.Cocoons; math.Abs(got*p.CocoonG*1e-3-flow.CocoonsDied) > 1e-9*(before.Cocoons*p.CocoonG*1e-3+1e-12) {
				t.Fatalf("%v cocoons are gone, told are %v kg", got, flow.CocoonsDied)
			}
			if s.LiveKg() < 1e-9 {
				return
			}
		}
	})
}

// A year of seasons in steps of a day and of half a day: any stage, in number or
// mass, differs by less than one percent at any time.
func TestHalvingTheStepMovesLittle(t *testing.T) {
	p := parameters(t)
	run := func(step float64) (out [][6]float64) {
		s := worm.Stock{AdultKg: 3, JuvenileKg: 1, Cocoons: 2000}
		for day := range 365 {
			temp := 16 + 12*math.Sin(2*math.Pi*float64(day)/365)
			fed := 0.9
			if day%60 >= 50 { // and hungry for ten days of sixty
				fed = 0.05
			}
			ahead(&p, &s, one(temp), 1.44, fed, 1, step, nil)
			out = append(out, [6]float64{s.AdultKg, s.JuvenileKg, s.Cocoons, s.Adults, s.Juveniles(), s.Hunger(&p)})
		}
		return out
	}
	whole, half := run(1), run(0.5)
	worst := 0.0
	for day := range whole {
		for k := range whole[day] {
			worst = max(worst, math.Abs(whole[day][k]/half[day][k]-1))
		}
	}
	t.Logf("worst %.3f %%", 100*worst)
	if worst > 0.01 {
		t.Errorf("half the step moves a stage by %.2f %%", 100*worst)
	}
}

// A grown worm lives as long as the number says, spread as six equal steps
// spread it, warm or cold.
func TestAdultsDieOfAge(t *testing.T) {
	p := parameters(t)
	p.AdultDeath, p.LayingPerDay = 0, 0
	for _, temp := range []float64{10, 25} {
		s := worm.Stock{AdultKg: 0.5, Adults: 1000}
		s.Aged[0] = 1000
		before, sum, squares := 1000.0, 0.0, 0.0
		ahead(&p, &s, one(temp), 0, 1, 4*p.LifeDays, 1, func(day float64, _ worm.Flows) {
			n := before - s.Adults
			before = s.Adults
			sum += n * (day - 0.5)
			squares += n * (day - 0.5) * (day - 0.5)
		})
		mean := sum / 1000
		cv := math.Sqrt(squares/1000-mean*mean) / mean
		if math.Abs(mean/p.LifeDays-1) > 0.01 || math.Abs(cv-1/math.Sqrt(6)) > 0.01 {
			t.Errorf("%v C: they live %.0f days, spread %.2f", temp, mean, cv)
		}
	}
}

// What kills: each limit alone, against the same bed without it.
func TestLimits(t *testing.T) {
	p := parameters(t)
	month := func(at worm.Place, fed float64) (float64, float64) {
		at.Share, at.CocoonShare = 1, 1
		s := worm.Stock{AdultKg: 4, JuvenileKg: 1, Cocoons: 1000}
		ahead(&p, &s, []worm.Place{at}, 1, fed, 30, 1, nil)
		return s.LiveKg(), s.Cocoons
	}
	good := worm.Place{TempC: 20, Water: 0.8, Oxygen: 0.19}
	base, _ := month(good, 0.7)
	for _, c := range []struct {
		name       string
		change     func(*worm.Place)
		fed        float64
		most, rest float64 // at most and at least this share of the good bed
	}{
		{"40 C", func(a *worm.Place) { a.TempC = 40 }, 0.7, 1e-6, 0},
		{"a constant 35 C drives most out over a month but does not kill", func(a *worm.Place) { a.TempC = 35 }, 0.7, 0.2, 0.01},
		{"frozen", func(a *worm.Place) { a.TempC = -3 }, 0.7, 1e-6, 0},
		{"3 C: alive, resting", func(a *worm.Place) { a.TempC = 3 }, 0.7, 0.9, 0.5},
		{"bone dry", func(a *worm.Place) { a.Water = 0.35 }, 0.7, 0.02, 0},
		{"no oxygen: what has hatched since", func(a *worm.Place) { a.Oxygen = 0 }, 0.7, 1e-3, 0},
		{"2 mg/g of ammonia", func(a *worm.Place) { a.AmmoniaMgG = 2 }, 0.7, 0.05, 0},
		{"unfed: thinner, not dead", func(*worm.Place) {}, 0, 0.7, 0.3},
	} {
		at := good
		c.change(&at)
		left, _ := month(at, c.fed)
		if r := left / base; r > c.most || r < c.rest {
			t.Errorf("%s: %.4f of the good bed is left, expected %v to %v", c.name, r, c.rest, c.most)
		}
	}
	frost := good
	frost.TempC = -4
	if worms, cocoons := month(frost, 0.7); worms > 1e-6 || cocoons < 800 {
		t.Errorf("after a month at -4 C %.3g kg of worms and %.0f of 1000 cocoons are left; cocoons stand more", worms, cocoons)
	}
	none := worm.Stock{}
	if f := worm.Step(&p, &none, worm.Conditions{Places: one(20), AreaM2: 1, Days: 1}); f != (worm.Flows{Crowding: 1, Fed: 1}) || none != (worm.Stock{}) {
		t.Errorf("an empty bed stays empty: %+v", f)
	}
}

// A place acts on the worms that are in it and no others: where a tenth of them are held
// in a heat that kills, that tenth dies at its rate.
func TestDeathsGoByPlace(t *testing.T) {
	p := parameters(t)
	p.LeavePerDay, p.AdultDeath, p.LifeDays = 0, 0, math.Inf(1)
	hot := worm.Place{Share: 0.1, CocoonShare: 0.1, TempC: 42, Water: 0.8, Oxygen: 0.19}
	cool := worm.Place{Share: 0.9, CocoonShare: 0.9, TempC: 24, Water: 0.8, Oxygen: 0.19}
	s := worm.Stock{AdultKg: 4}
	var died float64
	ahead(&p, &s, []worm.Place{hot, cool}, 1, 0, 1, 1e-3, func(_ float64, f worm.Flows) { died += f.Died[worm.Heat] })
	// In steps of a thousandth of a day in which the shares hold, 0.1 of what lives dies
	// at 3 a day: 1 - exp(-0.3).
	if got, want := died/4, -math.Expm1(-0.1*p.LethalPerDay); math.Abs(got/want-1) > 0.01 {
		t.Errorf("%.4f of the stock died, by algebra %.4f", got, want)
	}
	s = worm.Stock{AdultKg: 4}
	died = 0
	ahead(&p, &s, []worm.Place{hot, cool}, 1, 0, 1, 1, func(_ float64, f worm.Flows) { died += f.Died[worm.Heat] })
	half := -math.Expm1(-p.LethalPerDay / 2)
	if got, want := died/4, 1-math.Pow(1-0.1*half, 2); math.Abs(got/want-1) > 0.01 {
		t.Errorf("in one step %.4f of the stock died, in its two halves by algebra %.4f", got, want)
	}
}

// Colder is not quicker, wetter up to the knee is not slower, more ammonia never
// kinder.
func TestMonotone(t *testing.T) {
	p := parameters(t)
	rise := func(name string, f func(float64) float64, from, to float64) {
		before := math.Inf(-1)
		for i := range 401 {
			x := from + (to-from)*float64(i)/400
			if v := f(x); v < before-1e-12 {
				t.Errorf("%s falls at %v", name, x)
				return
			} else {
				before = v
			}
		}
	}
	rise("growth", p.Growth, -5, 30)
	rise("hatching", p.Hatching, -5, 40)
	rise("laying", p.LayingFactor, -5, 25)
	rise("moisture", p.Moisture, 0.2, 0.88)
	rise("oxygen", p.Oxygen, 0, 0.21)
	rise("spare", p.Spare, 0, 1)
	rise("crowding, turned", func(x float64) float64 { return -p.Crowding(x) }, 0, 30)
	rise("avoiding", p.Avoid, 0, 2)
	rise("death by ammonia, turned", func(x float64) float64 { return -p.SurviveAmmonia(x, 28) }, 0, 4)
	rise("death by ammonia in time, turned", func(d float64) float64 { return -p.SurviveAmmonia(0.9, d) }, 0, 100)
	if p.Growth(25) != 1 || p.Spare(p.Maintenance) != 0 || p.Over(p.Upkeep) != 0 || p.Crowding(5) != 1 || p.Crowding(20) != 0 {
		t.Error("the anchors moved")
	}
}

// Followed until the first of them mature: the spread of hatching does not hang on the length of the step.
func TestHatchingSpreadsAlikeForAnyStep(t *testing.T) {
	p := parameters(t)
	mean := 1 / p.Hatching(20)
	for _, step := range []float64{0.05, 0.25, 1} {
		s := worm.Stock{Cocoons: 1}
		s.Cocoon[0] = 1
		var n, sum, squares float64
		ahead(&p, &s, one(20), 1, 1, 62, step, func(day float64, f worm.Flows) {
			d := day - step/2
			n += f.Hatched
			sum += f.Hatched * d
			squares += f.Hatched * d * d
		})
		m := sum / n
		cv := math.Sqrt(squares/n-m*m) / m
		t.Logf("step %v: mean %.2f days, spread %.3f", step, m, cv)
		if math.Abs(m/mean-1) > 0.03 || math.Abs(cv-p.HatchCV) > 0.03 {
			t.Errorf("step %v: mean %.2f (%.2f), spread %.3f (%.2f)", step, m, mean, cv, p.HatchCV)
		}
	}
}

func BenchmarkStep(b *testing.B) {
	p := parameters(b)
	s := worm.Stock{AdultKg: 3, JuvenileKg: 1, Cocoons: 900}
	places := make([]worm.Place, 12)
	for i := range places {
		places[i] = worm.Place{Share: 1.0 / 12, CocoonShare: 1.0 / 12, TempC: 18, Water: 0.78, Oxygen: 0.18, AmmoniaMgG: 0.01}
	}
	b.ReportAllocs()
	for b.Loop() {
		s2 := s
		worm.Step(&p, &s2, worm.Conditions{Places: places, AreaM2: 1.44, Days: 1, WantedKgWet: 2, EatenKgWet: 1.5, EatenKgDry: 0.3})
	}
}
