package bench

import (
	"math"
	"os"
	"testing"
	"time"
	"unsafe"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/app"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/twin"
	"wormyard/worm"
)

// TestMembersInnerOrOuter times 64 members of two bins over 60 days, each member
// run through before the next (members as the outer loop), and all of them from
// block to block of six hours (as the inner one), by turns in one run. Both end in
// the same bits, so the ratio is what the order costs. Of the time, with 250 times
// as many bins, comes what 500 bins would take.
func TestMembersInnerOrOuter(t *testing.T) {
	if os.Getenv("WORMYARD_BENCH") == "" {
		t.Skip("asked for by bench/run")
	}
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	knobs, err := app.Uncertain(&n.Bed)
	if err != nil {
		t.Fatal(err)
	}
	const bins, days = 2, 60
	draws := append(twin.Draws(&n.Bed, knobs, 1), twin.Draws(&n.Bed, knobs, 2)...)
	library, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	material, err := library.Find("horse manure with bedding")
	if err != nil {
		t.Fatal(err)
	}
	mixed, _, err := material.Amount(feedstock.Quantity{Volume: qty.CubicMetre(1)})
	if err != nil {
		t.Fatal(err)
	}
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, HolesM2: 0.06, Under: bed.UnderFloor}
	of := func(deep float64) feedstock.Matter { return mixed.Times(deep * 1.44) }
	air := climate.Series{Hours: make([]climate.Hour, days*24+1)}
	for i := range air.Hours {
		air.Hours[i] = climate.Hour{TempC: 14 - 3*math.Cos(2*math.Pi*(float64(i)/24-0.125)), RH: 0.78}
	}
	acts := []bed.Act{{Kind: bed.Stock, Worms: worm.Stock{AdultKg: 4, JuvenileKg: 3, Cocoons: 3000}}}
	for d := int64(7); d < days; d += 7 {
		acts = append(acts, bed.Act{Hour: d*24 + 18, Kind: bed.Feed, Matter: of(0.04), DepthM: 0.04, TempC: math.NaN(), Layer: uint64(d)})
	}
	between := func(from, to int64) []bed.Act {
		var out []bed.Act
		for _, a := range acts {
			if a.Hour >= from && a.Hour < to {
				out = append(out, a)
			}
		}
		return out
	}
	runners := make([]*bed.Runner, len(draws))
	for m := range runners {
		runners[m] = bed.NewRunner(&draws[m])
	}
	begin := func() []*bed.State {
		var out []*bed.State
		for range bins {
			for m := range draws {
				s := bed.Start(&draws[m], box, []bed.Laid{{Matter: of(0.25), DepthM: 0.25, TempC: 14, Layer: 1, AgeDays: 90}}, air.Hours[0], 0)
				s.Cover, _ = draws[m].Cover("cloth")
				out = append(out, s)
			}
		}
		return out
	}
	outer := func(all []*bed.State) {
		for i, s := range all {
			if _, err := runners[i%len(draws)].Run(box, s, air, days*24, acts, nil); err != nil {
				t.Fatal(err)
			}
		}
	}
	inner := func(all []*bed.State) {
		for at := int64(0); at < days*24; at += 6 {
			acts := between(at, at+6)
			for i, s := range all {
				if _, err := runners[i%len(draws)].Run(box, s, air, at+6, acts, nil); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	best := [2]time.Duration{time.Hour, time.Hour}
	var left [2]float64
	for range 3 {
		for k, run := range []func([]*bed.State){outer, inner} {
			all := begin()
			began := time.Now()
			run(all)
			best[k] = min(best[k], time.Since(began))
			left[k] = all[0].Worms.LiveKg()
		}
	}
	if d := math.Abs(left[0]-left[1]) / left[0]; d > 0.01 { // stops within a block part what the worms met
		t.Errorf("the orders end apart by %v", d)
	}
	state := unsafe.Sizeof(bed.State{}) + bed.MaxLayers*unsafe.Sizeof(bed.Layer{})
	t.Logf("%d bins, %d members, %d days: members outer %.0f ms, inner %.0f ms, %.2f times; a bed-year of these %.1f ms; 500 bins on one core %.0f s; a state %d bytes, 500 bins of 64 members %.0f MB",
		bins, len(draws), days, best[0].Seconds()*1e3, best[1].Seconds()*1e3, best[1].Seconds()/best[0].Seconds(), best[0].Seconds()*1e3/(float64(bins*len(draws))*days/365), best[0].Seconds()*500/bins,
		state, float64(state)*500*64/1e6)
}
