package app

import (
	"math"
	"testing"

	"wormyard/bed"
	"wormyard/twin"
)

// Told are the last things that moved the twins by something or were not believed,
// worms as those of the bin, the newest first; what is older than two weeks is not.
func TestWhatMovedTheTwinsLast(t *testing.T) {
	const now = int64(10000)
	around := func(v float64) twin.Range { return twin.Range{Low: v - 2, Mid: v, High: v + 2} }
	news := func(hours int64, kind twin.Kind, from, to float64) twin.News {
		return twin.News{Found: twin.Found{Hour: now - hours, Kind: kind, Value: 7}, Before: around(from), After: around(to), Believed: true}
	}
	far := news(20, twin.Temperature, 15, 15)
	far.Believed = false
	var l listener
	for _, n := range []twin.News{
		news(15*24, twin.Temperature, 15, 12),
		news(50, twin.WormsSeen, math.Log(2), math.Log(3)),
		news(40, twin.Temperature, 15, 15.1), // a fortieth of its range
		news(30, twin.Smell, 1, 5),
		far,
		news(10, twin.Temperature, 15, 12),
	} {
		l.hear(n)
	}
	got := l.last(bed.Box{LengthM: 1.2, WidthM: 1.2}, now)
	if len(got) != 3 || got[0].After.Mid != 12 || got[1].Believed || got[2].Kind != twin.WormsSeen {
		t.Fatalf("%+v", got)
	}
	if math.Abs(got[2].Before.Mid-2*1.44) > 1e-9 || math.Abs(got[2].After.Mid-3*1.44) > 1e-9 {
		t.Errorf("2 and 3 kg under a square metre are told as %.3f and %.3f kg in the bin", got[2].Before.Mid, got[2].After.Mid)
	}
}

// What lies far beyond what the members expected is told to count in part; so the
// filter takes it (T6).
func TestFarFetchedIsToldToCountInPart(t *testing.T) {
	const now = int64(10000)
	expected := []float64{10, 12, 14, 16} // a mean of 13 with a spread of 2.6
	for told, want := range map[float64]bool{15: false, 19: false, 31: true, -5: true} {
		var l listener
		l.hear(twin.News{Found: twin.Found{Hour: now, Kind: twin.Temperature, Value: told}, Expected: expected, Told: told, SD: 2,
			Before: twin.Range{Low: 10, Mid: 13, High: 16}, After: twin.Range{Low: 13, Mid: 17, High: 20}, Believed: true})
		if got := l.last(bed.Box{LengthM: 1.2, WidthM: 1.2}, now); len(got) != 1 || got[0].InPart != want {
			t.Errorf("read %g: %+v", told, got)
		}
	}
}
