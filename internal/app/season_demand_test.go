package app

import (
	"math"
	"strings"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/qty"
	"wormyard/season"
)

func demandState(products ...farm.ProductSetup) *farm.State {
	s := farm.New(farm.Trade{}).State()
	s.Settings.Money.Products = products
	return s
}

// What is sold is told in pieces of what a plan sells: bags by their size, castings by the
// cubic metre, worms by the kilogram. What cannot be told is asked about.
func TestWhatIsSold(t *testing.T) {
	volume, mass := qty.CubicMetre(0.02), qty.WetKg(0.5)
	s := demandState(farm.ProductSetup{Name: "garden bag", Volume: &volume}, farm.ProductSetup{Name: "starter kit", As: farm.SoldKits, Mass: &mass})
	x := seller{s, 700}
	const foot, yard = 0.028316846592, 0.764554857984
	for _, c := range []struct {
		name, unit, product string
		per                 float64
		ask                 string
	}{
		{"Garden Bag", "", "bag 0.02", 1, ""},
		{"garden bags", "", "bag 0.02", 1, ""},
		{"garden bag", "L", "bag 0.02", 0.05, ""}, // a litre is a twentieth of a bag of 20 L
		{"bags", "", "bag 0.02", 1, ""},           // the price list has one size
		{"bags of 1 cu ft", "", "bag 0.02832", 1, ""},
		{"bags of 1 ft³", "", "bag 0.02832", 1, ""},
		{"bag 0.02832", "", "bag 0.02832", 1, ""},
		{"bolsas de 28 litros", "", "bag 0.028", 1, ""},
		{"castings", "yd3", Loose, yard, ""},
		{"worm castings", "kg", Loose, 1.0 / 700, ""},
		{"", "ft3", Loose, foot, ""},
		{"live worms", "lb", Alive, 0.45359237, ""},
		{"starter kit", "", Alive, 0.5, ""},
		{"castings", "", "", 0, "counted in"},
		{"live worms", "", "", 0, "how heavy"},
		{"jars", "", "", 0, "not on the price list"},
		{"castings", "in", "", 0, "no unit of volume"},
		{"", "", "", 0, "not said what is sold"},
	} {
		p, per, say, try := x.sold(c.name, c.unit)
		if c.ask != "" {
			if !strings.Contains(say, c.ask) || try == "" {
				t.Errorf("%s in %q: %q %q", c.name, c.unit, say, try)
			}
			continue
		}
		if p.Name != c.product || math.Abs(per-c.per) > 1e-9 || say != "" {
			t.Errorf("%s in %q is %s, %g each: %s", c.name, c.unit, p.Name, per, say)
		}
	}
	x.state = demandState(farm.ProductSetup{Name: "small bag", Volume: &volume}, farm.ProductSetup{Name: "large bag", Volume: ptr(qty.CubicMetre(0.04))})
	if _, _, say, _ := x.sold("bags", ""); !strings.Contains(say, "how large") {
		t.Errorf("of two sizes one is taken: %q", say)
	}
}

func ptr[T any](v T) *T { return &v }

func TestAmountsAreRead(t *testing.T) {
	for text, want := range map[string]struct {
		n    float64
		unit string
		ok   bool
	}{"20": {20, "", true}, "2 yd3": {2, "yd3", true}, "2 yards": {2, "yd3", true}, "1/2 yd3": {0.5, "yd3", true}, "5 lbs": {5, "lb", true}, "1,5 kg": {1.5, "kg", true}, "3 in": {0, "", false}, "some": {0, "", false}, "-3": {0, "", false}, "": {0, "", false}} {
		if n, unit, ok := ReadAmount(text); math.Abs(n-want.n) > 1e-12 || unit != want.unit || ok != want.ok {
			t.Errorf("%q is %g %q %v", text, n, unit, ok)
		}
	}
}

// Rows of months and weeks, over the new year too, and rows of a file, which stand in
// place of what is usual in their weeks or come on top, go into the weeks of the plan. A
// row with a penalty is a promise.
func TestDemandGoesIntoItsWeeks(t *testing.T) {
	now := time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)
	money := func(v float64) *qty.Money { m := qty.Money(v); return &m }
	m := &seasonMaker{Twins: &Twins{App: &App{}}, s: demandState(), now: now, p: seasonal{PenaltyPart: 0.5}, out: &SeasonFarm{}}
	m.App.trade.Usual.CastingsDensity.Best = 700
	m.out.Farm.Weeks = 52
	m.setup = farm.SeasonSetup{Selling: []farm.SeasonDemand{
		{Product: "castings", Amount: 7, Unit: "m3", Each: "week", From: 11, Until: 2, Price: money(100)},
		{Product: "live worms", Amount: 31, Unit: "kg", Each: "month", From: 3, Until: 3, Price: money(40)},
		{Product: "jars", Amount: 3, Each: "month"},
	}, Demand: []farm.SeasonDemand{
		{Product: "live worms", Amount: 10, Unit: "kg", Day: "2026-03-04", Price: money(50)},
		{Product: "live worms", Amount: 2, Unit: "kg", Day: "2026-03-17", Price: money(50), Penalty: money(30)},
		{Product: "castings", Amount: 3, Unit: "m3", Day: "2026-12-08", Beside: true},
		{Product: "castings", Amount: 3, Unit: "m3", Day: "2026-03-01", Beside: true}, // past
		{Product: "castings", Amount: 1, Unit: "m3", Day: "2026-03-02", Beside: true}, // this afternoon
	}}
	m.products()
	by := map[string]season.Product{}
	for _, x := range m.out.Farm.Products {
		by[x.Name] = x
	}
	loose, worms := by[Loose], by[Alive]
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-9 }
	if !near(loose.Demand[0], 1) || !near(loose.Demand[36], 7) || !near(loose.Price, 100) { // March, and the second week of November
		t.Errorf("castings: %v at %g", loose.Demand, loose.Price)
	}
	if !near(loose.Demand[40], 10) { // a week of December with a row on top
		t.Errorf("castings in the week of 8 December: %g", loose.Demand[40])
	}
	if !near(worms.Demand[0], 10) || !near(worms.Demand[1], 0) || !near(worms.Demand[2], 2) || !near(worms.Demand[3], 7) {
		t.Errorf("worms: %v", worms.Demand[:5])
	}
	if !near(worms.Promised[2], 2) || !near(worms.Promised[0], 0) || !near(worms.Penalty, 30) || !near(worms.Price, 50) {
		t.Errorf("worms promised %v, penalty %g, price %g", worms.Promised[:4], worms.Penalty, worms.Price)
	}
	if len(m.out.Left) != 1 || m.out.Left[0] != "jars" {
		t.Errorf("left out: %v", m.out.Left)
	}
}
