package bed_test

import (
	"math"
	"testing"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/nature"
	"wormyard/worm"
)

// Common practice, no source: eight or nine of ten worms gather at fresh feed
// within one to two days, and the top 7 to 10 cm of a bed hold most of them.
func TestWormsGatherAtFreshFeed(t *testing.T) {
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	const hour = 480000
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, HolesM2: 0.006, Under: bed.UnderFloor}
	// For each m3: a moist feed of half edible, half woody matter, and what it
	// becomes in a bed (Aged).
	feed := feedstock.Matter{Dry: 140, Quick: 15, Slow: 45, Woody: 60, Ash: 20, Carbon: 60, Nitrogen: 2, Water: 420, Volume: 1}
	s := bed.Start(&n.Bed, box, []bed.Laid{{Matter: feed.Times(0.3 * 1.44), DepthM: 0.3, TempC: 18, AgeDays: 60, Layer: 1}}, climate.Hour{TempC: 18, RH: 0.8}, hour)
	s.Cover, _ = n.Bed.Cover("cloth")
	s.Worms = worm.Stock{AdultKg: 5, JuvenileKg: 2}
	air := climate.Series{Start: hour, Hours: []climate.Hour{{TempC: 18, RH: 0.8}}}
	acts := []bed.Act{{Hour: hour + 24*14, Kind: bed.Feed, Matter: feed.Times(0.05 * 1.44), DepthM: 0.05, TempC: math.NaN(), Layer: 2}}
	share := func(until int64) (fed, top float64) {
		if _, err := bed.Run(&n.Bed, box, s, air, until, acts, nil); err != nil {
			t.Fatal(err)
		}
		deep := 0.0
		for i := len(s.Layers) - 1; i >= 0; i-- {
			l := &s.Layers[i]
			if l.Feed {
				fed += l.Worms
			}
			if deep < 0.1 {
				top += l.Worms * min(1, (0.1-deep)/l.DepthM)
			}
			deep += l.DepthM
		}
		return fed, top
	}
	for _, days := range []int64{1, 2} {
		if fed, top := share(acts[0].Hour + 24*days); fed < 0.7 || fed > 0.95 || top < 0.75 {
			t.Errorf("after %d days %.2f of the worms are in the fresh feed and %.2f in the top 10 cm", days, fed, top)
		} else {
			t.Logf("after %d days %.2f in the fresh feed, %.2f in the top 10 cm", days, fed, top)
		}
	}
}
