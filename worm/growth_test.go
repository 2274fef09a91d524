package worm_test

import (
	"math"
	"testing"

	"wormyard/worm"
)

// one gives a single place with good conditions.
func one(tempC float64) []worm.Place {
	return []worm.Place{{Share: 1, CocoonShare: 1, TempC: tempC, Water: 0.8, Oxygen: 0.2}}
}

// ahead runs a stock fed a share of what it wants, by days of the length given.
func ahead(p *worm.Parameters, s *worm.Stock, places []worm.Place, area, fed, days, step float64, each func(day float64, f worm.Flows)) {
	for d := 0.0; d < days-1e-9; d += step {
		want := p.Wanted(s, places, step)
		f := worm.Step(p, s, worm.Conditions{Places: places, AreaM2: area, Days: step,
			WantedKgWet: want, EatenKgWet: fed * want, EatenKgDry: 0.25 * fed * want})
		if each != nil {
			each(d+step, f)
		}
	}
}

// unbraked leaves out crowding, hunger and death, and sets the times of a life.
func unbraked(p worm.Parameters, incubation, maturity, laying float64) worm.Parameters {
	p.CrowdFrom, p.CrowdFull = 1e12, 2e12
	p.AdultDeath, p.YoungDeath, p.CocoonDeath = 0, 0, 0
	p.HatchDegDays = incubation * (25 - p.HatchColdC)
	p.MaturationDay = maturity
	p.LayingPerDay = laying
	p.TissueYield = 10
	p.MoistMid = -10
	return p
}

// An unbraked stock of the model doubles as Euler's equation says for the same
// times of life. The chains of development spread hatching and maturing, which
// quickens a stock a little against everyone at the mean time.
func TestUnbrakedStockDoublesLikeItsLifeTable(t *testing.T) {
	for _, c := range []struct{ incubation, maturity, laying float64 }{{23, 70, 0.35}, {23, 50, 0.35}} {
		p := unbraked(parameters(t), c.incubation, c.maturity, c.laying)
		s := worm.Stock{AdultKg: 1}
		var at300, at400 float64
		ahead(&p, &s, one(25), 1, 1, 400, 1, func(day float64, _ worm.Flows) {
			if day == 300 {
				at300 = s.LiveKg()
			}
			at400 = s.LiveKg()
		})
		doubling := 100 * math.Ln2 / math.Log(at400/at300)
		r, _ := worm.LifeTable(c.incubation, c.maturity, c.laying*p.HatchFrac*p.YoungPer, 1, 530)
		want := math.Ln2 / r
		t.Logf("incubation %v, maturity %v: model %.2f days, life table %.2f", c.incubation, c.maturity, doubling, want)
		if math.Abs(doubling/want-1) > 0.08 {
			t.Errorf("unbraked stock doubles in %.2f days, life table says %.2f", doubling, want)
		}
	}
}

// With crowding, deaths and a usual ration a bed that starts with adults at 5 kg/m2
// doubles in the 60 to 90 days that trade tells (common practice), not in 20.
func TestBrakedBedDoublesAsTradeSays(t *testing.T) {
	p := parameters(t)
	for _, c := range []struct{ temp, fed float64 }{{20, 1}, {18, 0.7}, {20, 0.7}, {22, 0.7}} {
		s := worm.Stock{AdultKg: 3.5, JuvenileKg: 1.5}
		doubled := 0.0
		ahead(&p, &s, one(c.temp), 1, c.fed, 365, 1, func(day float64, _ worm.Flows) {
			if doubled == 0 && s.LiveKg() >= 10 {
				doubled = day
			}
		})
		t.Logf("%v C fed %v: doubled after %v days; after a year %.1f kg/m2, %.0f adults %.0f young %.0f cocoons, mean adult %.2f g", c.temp, c.fed, doubled, s.LiveKg(), s.Adults, s.Juveniles(), s.Cocoons, s.AdultKg*1e3/s.Adults)
	}
}
