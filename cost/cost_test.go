package cost_test

import (
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"wormyard/cost"
	"wormyard/qty"
)

func money(s string) decimal.Decimal { return decimal.RequireFromString(s) }

func TestPartsAddToTheWhole(t *testing.T) {
	got := cost.Split(cost.Sure(money("100")), []float64{1, 1, 1})
	for i, want := range []string{"33.33333333", "33.33333333", "33.33333334"} {
		if !got[i].Best.Equal(money(want)) {
			t.Errorf("part %d of 100 by three is %s, want %s", i, got[i].Best, want)
		}
	}
	if got := cost.Split(cost.Sure(money("7")), []float64{0, 0}); !got[1].Best.Equal(money("7")) {
		t.Errorf("without weights the last part is %s, want all of it", got[1].Best)
	}
	rapid.Check(t, func(t *rapid.T) {
		total := cost.Between(rapid.Float64Range(0, 1e3).Draw(t, "low"), rapid.Float64Range(1e3, 1e4).Draw(t, "best"), rapid.Float64Range(1e4, 1e6).Draw(t, "high"))
		sum := cost.Span{}
		for _, x := range cost.Split(total, rapid.SliceOfN(rapid.Float64Range(0, 1e5), 1, 30).Draw(t, "weights")) {
			sum = sum.Plus(x)
		}
		if !sum.Low.Equal(total.Low) || !sum.Best.Equal(total.Best) || !sum.High.Equal(total.High) {
			t.Fatalf("the parts add to %v, want %v", sum, total)
		}
	})
}

// The sums of the lots and those of the months are the farm's, whatever was used.
func TestLotsAndMonthsAddToTheFarm(t *testing.T) {
	wage, power := money("18.37"), money("0.1147")
	rapid.Check(t, func(t *rapid.T) {
		var uses []cost.Use
		for range rapid.IntRange(0, 40).Draw(t, "n") {
			uses = append(uses, cost.Use{Kind: rapid.SampledFrom(cost.Kinds()).Draw(t, "kind"), Lot: rapid.SampledFrom([]string{"", "1", "2"}).Draw(t, "lot"),
				Month: rapid.SampledFrom([]string{"2026-01", "2026-02"}).Draw(t, "month"), Amount: cost.Sure(decimal.New(rapid.Int64Range(-100, 1e6).Draw(t, "amount"), -2)), Known: rapid.Bool().Draw(t, "known")})
		}
		r := cost.Reckon(cost.Book{Lots: uses, Months: uses}, cost.Rates{Wage: &wage, Power: &power})
		for name, rows := range map[string][]cost.Row{"lots": r.Lots, "months": r.Months} {
			sum := decimal.Zero
			for _, x := range rows {
				sum = sum.Add(x.Total.Best)
			}
			if !sum.Equal(r.All.Total.Best) {
				t.Fatalf("the %s add to %s, the farm to %s", name, sum, r.All.Total.Best)
			}
		}
	})
}

func TestUnknownIsNamedAndNotNothing(t *testing.T) {
	r := cost.Reckon(cost.Book{Lots: []cost.Use{
		{Kind: cost.Feedstock, Lot: "1", Month: "2026-01", Amount: cost.Sure(money("40")), Known: true},
		{Kind: cost.Crew, Lot: "1", Month: "2026-01", Amount: cost.Sure(money("3")), Known: true},
		{Kind: cost.Heat, Lot: "1", Month: "2026-01"},
	}}, cost.Rates{})
	if got := r.All.Missing; len(got) != 2 || got[0] != cost.Crew || got[1] != cost.Heat {
		t.Errorf("left out are %v, want the crew, who have no wage, and the heat", got)
	}
	if !r.All.Total.Best.Equal(money("40")) || !r.All.Used[cost.Crew].Best.Equal(money("3")) {
		t.Errorf("known are %s and %s hours, want 40 and 3", r.All.Total.Best, r.All.Used[cost.Crew].Best)
	}
}

func TestPerVolumeAndMargin(t *testing.T) {
	per, ok := cost.PerVolume(cost.Between(10, 30, 60), qty.Exactly(2))
	if !ok || !per.Low.Equal(money("5")) || !per.High.Equal(money("30")) {
		t.Errorf("10 to 60 for 2 m3 is %v to the m3, want 5 to 30", per)
	}
	wide, _ := cost.PerVolume(cost.Between(10, 30, 60), qty.Estimate{Low: 1, Best: 2, High: 4})
	if !wide.Low.Equal(money("2.5")) || !wide.Best.Equal(money("15")) || !wide.High.Equal(money("60")) {
		t.Errorf("10 to 60 for 1 to 4 m3 is %v to the m3, want 2.50, 15 and 60", wide)
	}
	if _, ok := cost.PerVolume(per, qty.Exactly(0)); ok {
		t.Error("nothing has a cost to the m3")
	}
	m := cost.Margin(money("100"), cost.Between(10, 30, 60))
	if !m.Low.Equal(money("40")) || !m.Best.Equal(money("70")) || !m.High.Equal(money("90")) {
		t.Errorf("of 100 %v is left, want 40, 70 and 90", m)
	}
}
