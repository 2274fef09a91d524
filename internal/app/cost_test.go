package app_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"wormyard/internal/app"
	"wormyard/journal"
	"wormyard/qty"
)

// TestCostByHand is a farm small enough to do by hand. A load of 600 kg for 90, and
// 30 for haulage, is a fifth a kilogram. 300 kg of it are mixed dry into a batch: 60.
// Of that batch 60 kg and 40 kg go to two beds whose castings are lots 1 and 2: 12
// and 8, and 40 wait in what is left of the batch, and 60 in the pile. 20 of the 100
// kg of lot 1 are put into lot 2, and take a fifth of its 12: 2.40.
func TestCostByHand(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	now := at.AddDate(0, 3, 0)
	a, store, err := app.OpenFile(t.Context(), filepath.Join(t.TempDir(), "f.wormyard"), func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	kg := func(m float64) *qty.WetKg { v := qty.WetKg(m); return &v }
	money := func(m float64) *qty.Money { v := qty.Money(m); return &v }
	n := func(v int) *int { return &v }
	m3 := qty.CubicMetre(0.2)
	day := 0
	write := func(kind string, body any) {
		t.Helper()
		id, err := a.NewID()
		if err != nil {
			t.Fatal(err)
		}
		e := journal.Entry{ID: id, Kind: kind, At: at.AddDate(0, 0, day), Who: "owner", Body: body}
		day++
		if ack, err := a.Record(t.Context(), e, true); err != nil || !ack.Saved {
			t.Fatalf("%s: %v %v", kind, err, ack.Problems)
		}
	}
	write("build", &journal.Build{Bins: []string{"B1", "B2"}})
	write("bed", &journal.Bed{Bins: []string{"B1", "B2"}, DepthM: 0.1, Material: "leaves, loose dry"})
	write("receive", &journal.Receive{Pile: "hay", Material: "horse manure with bedding", MassKgWet: kg(600), Price: money(90), Haulage: money(30)})
	dry := qty.Fraction(0)
	write("blend", &journal.Blend{Batch: "1", ShrinkFrac: &dry, Parts: []journal.BlendPart{{Pile: "hay", MassKgWet: kg(300)}}})
	write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "1", MassKgWet: kg(60)})
	write("feed", &journal.Feed{Bins: []string{"B2"}, Batch: "1", MassKgWet: kg(40)})
	write("harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: kg(100), VolumeM3: &m3, Lot: "1"})
	write("harvest", &journal.Harvest{Bins: []string{"B2"}, MassKgWet: kg(100), VolumeM3: &m3, Lot: "2"})
	write("join", &journal.Join{Lot: "2", Parts: []journal.JoinPart{{Lot: "1", MassKgWet: kg(20)}}})
	write("bag", &journal.Bag{Lot: "1", SizeM3: 0.01, Number: 10})
	write("sell", &journal.Sell{Lot: "1", Bags: n(4), Price: money(20), Customer: "C-1"})
	write("sell", &journal.Sell{Lot: "1", Bags: n(2), Customer: "C-2"})

	x, err := app.Costs(a.State(), now, app.WhatIf{})
	if err != nil {
		t.Fatal(err)
	}
	of := map[string]app.CostRow{}
	for _, r := range x.Lots {
		of[r.Name] = r
	}
	for _, c := range []struct{ what, got, want string }{
		{"all", x.All.Total.Best, "120.00"},
		{"lot 1", of["1"].Total.Best, "9.60"},
		{"lot 2", of["2"].Total.Best, "10.40"},
		{"what waits", x.Waiting.Total.Best, "100.00"},
		{"haulage of lot 1", of["1"].By["haulage"].Best, "2.40"},
		{"lot 1 to the m3", of["1"].PerM3.Best, "60.00"}, // 80 kg at 500 kg/m3 are 0.16 m3
		{"4 bags of 10 L", x.Products[0].Cost.Best, "2.40"},
		{"their margin", x.Products[0].Margin.Best, "17.60"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %s, want %s", c.what, c.got, c.want)
		}
	}
	months := decimal.Zero
	for _, m := range x.Months {
		months = months.Add(m.Sum.Total.Best)
	}
	if !months.Equal(x.All.Sum.Total.Best) {
		t.Errorf("the months add to %s, want the farm's %s", months, x.All.Total.Best)
	}
	if p := x.Products[0]; p.Sales != 2 || p.Unpriced != 1 {
		t.Errorf("%d sales, %d without a price, want 2 and 1", p.Sales, p.Unpriced)
	}
	for _, k := range []string{"crew", "truck", "bags"} {
		if found := false; true {
			for _, w := range x.All.Without {
				found = found || w == k
			}
			if !found {
				t.Errorf("nobody said what %s costs, and it is not told that it is left out: %v", k, x.All.Without)
			}
		}
	}

	// Ten bags at 0.50 are 5 more on lot 1, and stay there whatever went into lot 2.
	// Half the yield makes 0.06 m3 of 0.16: 50 kg come out, and 20 are in lot 2.
	half := decimal.RequireFromString("0.5")
	y := 0.5
	x, err = app.Costs(a.State(), now, app.WhatIf{Bag: &half, Yield: &y})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range x.Lots {
		if r.Name == "1" && (r.Total.Best != "14.60" || r.VolumeM3 == nil || *r.VolumeM3 < 0.0599 || *r.VolumeM3 > 0.0601) {
			t.Errorf("with bags at 0.50 lot 1 costs %s for %v m3, want 14.60 for 0.06", r.Total.Best, r.VolumeM3)
		}
	}
}

// A harvest that was only weighed, on a farm that never measured how heavy castings
// are, has a volume within a range: 100 kg at 500 to 960 kg/m3, usually 700, that cost
// 12, are 60.00 to 115.20 a cubic metre, usually 84.00. Sold by mass they cost what
// they cost: 10 of 100 kg are 1.20.
func TestCostOfAVolumeNobodyMeasured(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	now := at.AddDate(0, 3, 0)
	a, store, err := app.OpenFile(t.Context(), filepath.Join(t.TempDir(), "f.wormyard"), func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	kg := func(m float64) *qty.WetKg { v := qty.WetKg(m); return &v }
	money := func(m float64) *qty.Money { v := qty.Money(m); return &v }
	dry := qty.Fraction(0)
	for day, x := range []struct {
		kind string
		body any
	}{
		{"build", &journal.Build{Bins: []string{"B1"}}},
		{"bed", &journal.Bed{Bins: []string{"B1"}, DepthM: 0.1, Material: "leaves, loose dry"}},
		{"receive", &journal.Receive{Pile: "hay", Material: "horse manure with bedding", MassKgWet: kg(600), Price: money(120)}},
		{"blend", &journal.Blend{Batch: "1", ShrinkFrac: &dry, Parts: []journal.BlendPart{{Pile: "hay", MassKgWet: kg(300)}}}},
		{"feed", &journal.Feed{Bins: []string{"B1"}, Batch: "1", MassKgWet: kg(60)}},
		{"harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: kg(100), Lot: "1"}},
		{"sell", &journal.Sell{Lot: "1", MassKgWet: kg(10), Price: money(20), Customer: "C-1"}},
	} {
		id, err := a.NewID()
		if err != nil {
			t.Fatal(err)
		}
		if ack, err := a.Record(t.Context(), journal.Entry{ID: id, Kind: x.kind, At: at.AddDate(0, 0, day), Who: "owner", Body: x.body}, true); err != nil || !ack.Saved {
			t.Fatalf("%s: %v %v", x.kind, err, ack.Problems)
		}
	}
	x, err := app.Costs(a.State(), now, app.WhatIf{})
	if err != nil {
		t.Fatal(err)
	}
	want := app.CostSpan{Low: "60.00", Best: "84.00", High: "115.20"}
	if got := x.Lots[0].PerM3; got == nil || *got != want {
		t.Errorf("a cubic metre of lot 1 costs %v, want %v", got, want)
	}
	if x.Mean == nil || x.Mean.PerM3 != want {
		t.Errorf("in the mean %+v, want %v", x.Mean, want)
	}
	if got, want := x.Products[0].Cost, (app.CostSpan{Low: "1.20", Best: "1.20", High: "1.20"}); got != want {
		t.Errorf("10 of 100 kg cost %v, want %v", got, want)
	}
}

// A load without a price is named where the farm never paid for its material, and
// given the range of what it paid where it did.
func TestLoadWithoutAPrice(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	a, store, err := app.OpenFile(t.Context(), filepath.Join(t.TempDir(), "f.wormyard"), func() time.Time { return at.AddDate(0, 1, 0) })
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	price := func(m float64) *qty.Money { v := qty.Money(m); return &v }
	for i, r := range []journal.Receive{
		{Pile: "a", Material: "horse manure with bedding", Price: price(100)},
		{Pile: "b", Material: "horse manure with bedding", Price: price(300)},
		{Pile: "c", Material: "horse manure with bedding"},
		{Pile: "d", Material: "leaves, loose dry"},
	} {
		m := qty.WetKg(1000)
		r.MassKgWet = &m
		id, err := a.NewID()
		if err != nil {
			t.Fatal(err)
		}
		if ack, err := a.Record(t.Context(), journal.Entry{ID: id, Kind: "receive", At: at.AddDate(0, 0, i), Who: "owner", Body: &r}, true); err != nil || !ack.Saved {
			t.Fatal(err, ack.Problems)
		}
	}
	x, err := app.Costs(a.State(), at.AddDate(0, 1, 0), app.WhatIf{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := x.All.Total, (app.CostSpan{Low: "500.00", Best: "600.00", High: "700.00"}); got != want {
		t.Errorf("400 and a load at 100 to 300 are %v, want %v", got, want)
	}
	if len(x.Unknown) != 1 || x.Unknown[0].Of != "d, 2026-03-04" {
		t.Errorf("without a price and without a range is %v, want the load of leaves alone", x.Unknown)
	}
}

// By hand: 60 kg of feed at a fifth a kilogram are 12 to a bed. 4 kg of worms were sold out
// of it and 96 kg of castings harvested, so 4 in 100 of the 12 are of the worms, 0.48, and
// 11.52 of the castings. Half an hour a kilogram at 20 an hour is 40 more. Two starter kits
// of half a kilogram out of a bed that is not harvested yet cost 10 of time and two times
// 8.50 of bin and bedding.
func TestCostOfWorms(t *testing.T) {
	at := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	now := at.AddDate(0, 3, 0)
	a, store, err := app.OpenFile(t.Context(), filepath.Join(t.TempDir(), "f.wormyard"), func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	kg := func(m float64) *qty.WetKg { v := qty.WetKg(m); return &v }
	money := func(m float64) *qty.Money { v := qty.Money(m); return &v }
	day := 0
	write := func(kind string, body any) {
		t.Helper()
		id, err := a.NewID()
		if err != nil {
			t.Fatal(err)
		}
		day++
		if ack, err := a.Record(t.Context(), journal.Entry{ID: id, Kind: kind, At: at.AddDate(0, 0, day), Who: "owner", Body: body}, true); err != nil || !ack.Saved {
			t.Fatalf("%s: %v %v", kind, err, ack.Problems)
		}
	}
	write("setting", &journal.Setting{Key: "money", Value: []byte(`{"wage_per_hour":20,"minutes":{"receive":0,"blend":0,"feed":0,"harvest":0,"worms":30},"products":[{"name":"live worms","as":"worms","mass_kg":0.5,"price":15},{"name":"kit","as":"kit","mass_kg":0.5,"price":50,"parts":[{"what":"bin","cost":8},{"what":"bedding","cost":0.5}]}]}`)})
	write("build", &journal.Build{Bins: []string{"B1", "B2"}})
	write("bed", &journal.Bed{Bins: []string{"B1", "B2"}, DepthM: 0.1, Material: "leaves, loose dry"})
	write("stock", &journal.Stock{Bins: []string{"B1", "B2"}, Kg: 20})
	write("receive", &journal.Receive{Pile: "hay", Material: "horse manure with bedding", MassKgWet: kg(600), Price: money(120)})
	dry := qty.Fraction(0)
	write("blend", &journal.Blend{Batch: "1", ShrinkFrac: &dry, Parts: []journal.BlendPart{{Pile: "hay", MassKgWet: kg(60)}}})
	write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "1", MassKgWet: kg(60)})
	write("worms sold", &journal.WormsSold{Bins: []string{"B1"}, Kg: 4, What: "live worms", Price: money(120)})
	write("harvest", &journal.Harvest{Bins: []string{"B1"}, MassKgWet: kg(96), Lot: "1"})
	write("worms sold", &journal.WormsSold{Bins: []string{"B2"}, Kg: 1, Number: some(2), What: "kit", Price: money(100)})
	write("worms sold", &journal.WormsSold{Bins: []string{"B2"}, Kg: 1, What: "live worms"})

	x, err := app.Costs(a.State(), now, app.WhatIf{})
	if err != nil {
		t.Fatal(err)
	}
	if len(x.Products) != 2 || x.Products[0].Product != app.ProductWorms || x.Products[1].Product != app.ProductKits {
		t.Fatalf("what was sold is %+v, want worms and kits", x.Products)
	}
	worms, kits := x.Products[0], x.Products[1]
	for _, c := range []struct{ what, got, want string }{
		{"the worms", worms.Cost.Best, "40.48"},
		{"their margin", worms.Margin.Best, "79.52"},
		{"the kits", kits.Cost.Best, "27.00"},
		{"their margin", kits.Margin.Best, "73.00"},
		{"the lot", x.Lots[0].By["feedstock"].Best, "11.52"},
		{"all worms sold", x.Worms.Total.Best, "60.48"}, // 6 kg of them, one without a price
		{"all", x.All.Total.Best, "180.00"},             // 120 paid, 3 hours
	} {
		if c.got != c.want {
			t.Errorf("%s: %s, want %s", c.what, c.got, c.want)
		}
	}
	if worms.Unpriced != 1 || worms.Waits != 0 || kits.Waits != 1 || kits.NoParts != 0 || worms.MassKg != 4 {
		t.Errorf("worms %+v, kits %+v", worms, kits)
	}
	if sum := x.Lots[0].Sum.Total.Plus(x.Waiting.Sum.Total).Plus(x.Worms.Sum.Total); !sum.Best.Equal(x.All.Sum.Total.Best) || !sum.High.Equal(x.All.Sum.Total.High) {
		t.Errorf("lot, what waits and worms are %s together, and all is %s", sum.Best, x.All.Sum.Total.Best)
	}
	dear := decimal.NewFromInt(40)
	if try, err := app.Costs(a.State(), now, app.WhatIf{Wage: &dear}); err != nil || try.Products[0].Cost.Best != "80.48" {
		t.Errorf("at twice the wage the worms cost %+v, %v", try.Products[0].Cost, err)
	}
}
