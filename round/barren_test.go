package round_test

import (
	"testing"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/round"
	"wormyard/twin"
	"wormyard/worm"
)

// A hot bed whose twins have lost their worms days ago is asked for a look and not
// opened; one that was fed too deep yesterday is opened. Once somebody counted and found none it is
// left, and a look that finds worms ends it.
func TestABedWithoutWormsIsLookedAt(t *testing.T) {
	f := open(t, spring, 40)
	hot := func(gone bool, hours int64, found ...twin.Count) (twin.History, climate.Series) {
		h := f.history(34)
		if gone {
			h.Acts = append(h.Acts, bed.Act{Hour: f.now - 5*24, Kind: bed.Out, Worms: worm.Stock{AdultKg: 1e3}})
		}
		h.Acts = append(h.Acts, bed.Act{Hour: f.now - hours, Kind: bed.Feed, Matter: f.fresh(0.25 * 1.44), DepthM: 0.25, TempC: 25, Layer: 900})
		h.Counts = found
		return h, f.air(20, 3, 0.75)
	}
	if it := f.ask(hot(false, 30)); it.Act != round.Open {
		t.Fatalf("just fed far too deep: %s", spoken(it))
	}
	if it := f.ask(hot(true, 30)); it.Act != round.Open {
		t.Fatalf("what was fed yesterday is a danger of today: %s", spoken(it))
	}
	if it := f.ask(hot(true, 80)); it.Act != round.Look || it.Head.Key != "look.worms" || it.Urgency == round.Now {
		t.Errorf("without worms: %s", spoken(it))
	}
	if it := f.ask(hot(true, 80, twin.Count{Hour: f.now - 24})); it.Act != round.Rest || it.Why[0].Key != "why.barren" {
		t.Errorf("counted, and none found: %s", spoken(it))
	}
	if it := f.ask(hot(true, 80, twin.Count{Hour: f.now - 15*24})); it.Act != round.Look {
		t.Errorf("counted two weeks ago: %s", spoken(it))
	}
	h, air := hot(true, 80)
	h.Looks = []twin.Look{{Hour: f.now - 24, Worms: "many"}}
	if it := f.ask(h, air); it.Act != round.Open {
		t.Errorf("many were seen yesterday: %s", spoken(it))
	}
}
