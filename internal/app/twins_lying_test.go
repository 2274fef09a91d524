package app

import (
	"math"
	"strings"
	"testing"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/yard"
)

// A feeding out of a heap heats a bed less the longer the heap lay; of one of six
// weeks little is left of what the fresh one does.
func TestOldFeedHeatsLess(t *testing.T) {
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	library, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	manure, err := library.Find("horse manure with bedding")
	if err != nil {
		t.Fatal(err)
	}
	m, _, err := manure.Amount(feedstock.Quantity{Volume: 4})
	if err != nil {
		t.Fatal(err)
	}
	air := climate.Steady(0, 24*100, climate.Hour{TempC: 14, RH: 0.8})
	box := bed.Box{LengthM: 1.2, WidthM: 1.2, DepthM: 0.6, Under: bed.UnderFloor}
	warmest := func(fresh feedstock.Matter) float64 {
		under := fresh.Times(0.25 * box.Area() / float64(fresh.Volume))
		s := bed.Start(&n.Bed, box, []bed.Laid{{Matter: under, TempC: math.NaN(), AgeDays: 120, Castings: -1, Layer: 1}}, air.At(0), 0)
		feed := fresh.Times(0.075 * box.Area() / float64(fresh.Volume))
		most := 0.0
		_, err := bed.NewRunner(&n.Bed).Run(box, s, air, 14*24, []bed.Act{{Hour: 24, Kind: bed.Feed, Matter: feed, DepthM: 0.075, TempC: math.NaN(), Layer: 2}}, func(d bed.Day) { most = max(most, d.MaxC) })
		if err != nil {
			t.Fatal(err)
		}
		return most
	}
	var l yard.Lying
	l.Receive(&n.Yard, air, 0, m, m, 0, nil)
	first, last := 0.0, math.Inf(1)
	for week := range int64(7) {
		l.Lie(&n.Yard, air, week*7*24)
		c := warmest(l.Loose())
		if week == 0 {
			first = c
		}
		if c > last {
			t.Errorf("feed of %d weeks heats to %.2f C, of a week less to %.2f", week, c, last)
		}
		last = c
	}
	if first-14 < 2*(last-14) {
		t.Errorf("fresh feed heats to %.1f C and feed of six weeks to %.1f, in air of 14", first, last)
	}
}

// What a round tries, what it was told, and the bed that is begun rest on the feed
// as it lies: the pile of two months ago is not laid as it came.
func TestTwinsLayFeedOfItsAge(t *testing.T) {
	f := smallFarm(t)
	f.now = f.now.AddDate(0, 0, 10)
	f.feed(f.now, "B1")
	mixes, _ := f.mixes()
	s := f.app.State()
	b, ok := s.Batch("41")
	if !ok || len(mixes) != 1 {
		t.Fatal(ok, mixes)
	}
	share := func(m feedstock.Matter) float64 { return float64(m.Quick / m.Dry) }
	if fresh, is := share(b.Made), share(mixes[0].PerM3); is > fresh/3 {
		t.Errorf("of manure two months old a share of %.3f is quick, of fresh %.3f", is, fresh)
	}
	made := float64(b.Made.Dry) / float64(b.Made.Volume)
	if is := float64(mixes[0].PerM3.Dry); math.Abs(is-made) > 0.01*made {
		t.Errorf("a cubic metre of it weighs %.1f kg dry, as mixed %.1f", is, made)
	}
	if left := float64(b.Left().Volume); mixes[0].LeftM3 >= left || mixes[0].LeftM3 < left/2 {
		t.Errorf("%.2f m3 are left of %.2f by the journal", mixes[0].LeftM3, left)
	}
	told, err := f.twins.TellAll()
	if err != nil {
		t.Fatal(err)
	}
	acts := told["B1"].History.Acts
	fed := acts[len(acts)-1]
	if fed.Kind != bed.Feed || math.Abs(share(fed.Matter)-share(mixes[0].PerM3)) > 1e-9 || fed.Lain != mixes[0].Lain {
		t.Errorf("laid %+v, to be tried %+v", fed.Lain, mixes[0].Lain)
	}
	for _, say := range told["B1"].Says {
		if strings.Contains(say, "taken to have lain") {
			t.Errorf("told though everything was written down: %s", say)
		}
	}
}

// Members differ in how far what lay in a heap has aged; the plain one does not
// differ from what the yard reckons.
func TestMembersDifferInAge(t *testing.T) {
	f := smallFarm(t)
	least, most := 1e9, 0.0
	for m := range f.twins.kind.Load().draws {
		p := &f.twins.kind.Load().draws[m]
		least, most = math.Min(least, p.HeapPace), math.Max(most, p.HeapPace)
		if m == 0 && (p.HeapPace != 1 || p.UntoldDays != f.twins.numbers.Bed.UntoldDays) {
			t.Errorf("the plain member ages feed %g times as fast, untold for %g days", p.HeapPace, p.UntoldDays)
		}
	}
	if least > 0.6 || most < 1.6 {
		t.Errorf("the paces of members lie from %.2f to %.2f, told are 0.4 to 2.5", least, most)
	}
}

// Where the air of the heaps begins moves nothing of what a batch is made of, as
// long as it begins before its piles came.
func TestHeapsDoNotAskWhereTheirAirBegins(t *testing.T) {
	f := smallFarm(t)
	s, hour := f.app.State(), f.now.Unix()/3600
	var was feedstock.Matter
	for _, back := range []int64{100, 500} {
		air, err := f.twins.air(s, hour-back*24, hour+24*15, f.now)
		if err != nil {
			t.Fatal(err)
		}
		is, _, _, ok := s.Heaps(&f.twins.numbers.Yard, f.twins.numbers.Bed.Lying, air.Yard).Batch("41", hour+24*9)
		if !ok || was != (feedstock.Matter{}) && is != was {
			t.Errorf("followed from %d days back a cubic metre is %+v, before %+v", back, is, was)
		}
		was = is
	}
}

// What nobody mixed or brought is not followed.
func TestHeapsThatAreNotThere(t *testing.T) {
	f := smallFarm(t)
	s := f.app.State()
	air, err := f.twins.airFor(s, f.now)
	if err != nil {
		t.Fatal(err)
	}
	h := f.twins.heaps(s, air)
	if _, _, _, ok := h.Batch("no such", f.now.Unix()/3600); ok {
		t.Error("a batch that nobody mixed")
	}
	if _, ok := h.Pile("no such", f.now.Unix()/3600); ok {
		t.Error("a pile that never came")
	}
}
