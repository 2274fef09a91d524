package farm

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/source"
	"wormyard/journal"
	"wormyard/qty"
	"wormyard/yard"
)

// heaps follows the heaps of a book in air of 12 C.
func (b *book) heaps() (*Heaps, *yard.Parameters) {
	b.t.Helper()
	var p yard.Parameters
	var doubt feedstock.Lying
	if err := errors.Join(source.Load("yard", &p.Heap), source.Load("warmth", &p.Warmth), source.Load("lying", &doubt)); err != nil {
		b.t.Fatal(err)
	}
	air := climate.Steady(hour(start)-24*200, 24*600, climate.Hour{TempC: 12, RH: 0.8})
	return b.farm.State().Heaps(&p, doubt, air), &p
}

func (b *book) later(days float64) { b.at = b.at.Add(time.Duration(days * 24 * float64(time.Hour))) }

// TestLaidAsItLies holds that a feeding lays what lying has left: the batch of a
// pile that lay six weeks and then two weeks in its own heap, against the yard's
// model of that pile and that heap; the room that was told stays full of the same
// dry mass.
func TestLaidAsItLies(t *testing.T) {
	b := newBook(t)
	b.write("receive", &journal.Receive{Pile: "M", Material: "manure", VolumeM3: ptr(qty.CubicMetre(10))})
	b.later(42)
	mixed := b.at
	b.write("blend", &journal.Blend{Batch: "41", Parts: []journal.BlendPart{{Pile: "M", VolumeM3: ptr(qty.CubicMetre(4))}}})
	b.write("build", &journal.Build{Bins: []string{"B1", "B2"}, LengthM: ptr(qty.Metre(2)), WidthM: ptr(qty.Metre(1)), DepthM: ptr(qty.Metre(0.5))})
	b.write("bed", &journal.Bed{Bins: []string{"B1", "B2"}, Batch: "41", DepthM: 0.15})
	b.later(14)
	fed := b.at
	b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.05))})
	b.write("feed", &journal.Feed{Bins: []string{"B2"}, Batch: "41", MassKgWet: ptr(qty.WetKg(50))})

	heaps, p := b.heaps()
	one, _, _ := heaps.History("B1", nature())
	two, _, _ := heaps.History("B2", nature())
	plain, _, _ := b.farm.State().History("B1", nature())
	b.same("dry mass of the bed", float64(one.Start.Matter.Dry), float64(plain.Start.Matter.Dry))
	b.same("dry mass of the feed", float64(one.Acts[0].Matter.Dry), float64(plain.Acts[0].Matter.Dry))
	b.same("room of the feed", float64(one.Acts[0].Matter.Volume), 0.1)
	b.same("feed by mass", float64(two.Acts[0].Matter.Wet()), 50)

	came := feedstock.Matter{}
	for _, h := range b.farm.State().piles["M"].past[:1] {
		came = h.came
	}
	air := climate.Steady(hour(start)-24, 24*600, climate.Hour{TempC: 12, RH: 0.8})
	pile, _, err := yard.Follow(p, air, nil, []yard.Event{{Hour: hour(start), Kind: yard.Received, Matter: came}}, hour(mixed))
	if err != nil {
		t.Fatal(err)
	}
	ash := func(m feedstock.Matter) float64 { return float64(m.Quick / m.Ash) }
	if got, want := ash(one.Start.Matter), ash(pile.Matter); math.Abs(got-want) > 1e-6*want {
		t.Errorf("quick over ash of the bed is %g, of the pile that it was mixed from %g", got, want)
	}
	// The batch is a heap of half of what was mixed, half as warm above the air as
	// the pile was.
	lies := pile.Matter.Times(2 / (float64(pile.Matter.Dry) / (float64(came.Dry) / 10)))
	lies.Volume = 2
	warm := qty.Celsius(12 + p.TurnKeeps*(pile.TempC-12))
	heap, _, err := yard.Follow(p, air, nil, []yard.Event{{Hour: hour(mixed), Kind: yard.Received, Matter: lies, AtC: &warm}}, hour(fed)/24*24)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := ash(one.Acts[0].Matter), ash(heap.Matter); math.Abs(got-want) > 1e-6*want {
		t.Errorf("quick over ash of the feed is %g, of the heap %g", got, want)
	}
	if got := one.Acts[0].Lain; got.Untold || math.Abs(float64(got.Days)-56) > 1 {
		t.Errorf("lain %+v", got)
	}
	if age := b.bin("B1").Bed.LastFeed.Age; age == nil || math.Abs(float64(*age)-56) > 0.3 {
		t.Errorf("the feeding is %v days old", age)
	}
	if q := one.Acts[0].Lain.Quick; q > 0.5 || q < 1e-6 {
		t.Errorf("%g of the quick is left after eight weeks", q)
	}
}

// TestLaidOlder holds that the longer a batch lay, the less of it is quick, and
// that what was fed on one day is the same whatever is fed later.
func TestLaidOlder(t *testing.T) {
	b := newBook(t)
	b.yard()
	feed := &journal.Feed{Bins: []string{"B1"}, Batch: "41", DepthM: ptr(qty.Metre(0.01))}
	for range 8 {
		b.later(7)
		b.write("feed", feed)
	}
	heaps, _ := b.heaps()
	h, notes, _ := heaps.History("B1", nature())
	last := 1.0
	for _, a := range h.Acts {
		if a.Matter.Dry == 0 {
			continue
		}
		if q := float64(a.Matter.Quick / a.Matter.Dry); q >= last {
			t.Errorf("quick share %g after %g before", q, last)
		} else {
			last = q
		}
	}
	if len(notes) > 0 {
		t.Errorf("notes %v", notes)
	}
	b.write("feed", &journal.Feed{Bins: []string{"B2"}, Batch: "41", DepthM: ptr(qty.Metre(0.1))})
	later, _ := b.heaps()
	again, _, _ := later.History("B1", nature())
	if !slices.EqualFunc(h.Acts, again.Acts, func(a, b bed.Act) bool { return a.Matter == b.Matter && a.Lain == b.Lain }) {
		t.Error("another bin's feeding changed what was laid before")
	}
}

// TestLaidUntold holds that what nobody wrote down the coming of is taken to have
// lain, and that this is said; a bed whose age was told is left as it came, since
// its age is reckoned in the bed.
func TestLaidUntold(t *testing.T) {
	b := newBook(t)
	b.later(100)
	b.write("build", &journal.Build{Bins: []string{"B1", "B2"}})
	b.write("bed", &journal.Bed{Bins: []string{"B1"}, Material: "manure", DepthM: 0.15})
	b.write("bed", &journal.Bed{Bins: []string{"B2"}, Material: "manure", DepthM: 0.15, AgeDays: ptr(qty.Days(90))})
	b.write("blend", &journal.Blend{Batch: "7", Parts: []journal.BlendPart{{Pile: "manure", VolumeM3: ptr(qty.CubicMetre(2))}}})
	b.write("feed", &journal.Feed{Bins: []string{"B1", "B2"}, Batch: "7", DepthM: ptr(qty.Metre(0.05))})
	b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "no such", DepthM: ptr(qty.Metre(0.05))})
	heaps, _ := b.heaps()
	h, notes, _ := heaps.History("B1", nature())
	old, _, _ := heaps.History("B2", nature())
	if l := h.Start.Lain; !l.Untold || l.Days != 14 || l.Quick >= 1 || l.Quick < 0.02 {
		t.Errorf("bedding of which nobody said when it came: %+v", l)
	}
	if !old.Start.Lain.Fresh() {
		t.Errorf("a bed of a told age has aged before: %+v", old.Start.Lain)
	}
	for i, a := range h.Acts {
		if !a.Lain.Untold || a.Lain.Quick >= 1 {
			t.Errorf("feeding %d: %+v", i, a.Lain)
		}
	}
	if len(h.Acts) != 2 || !strings.Contains(strings.Join(notes, " "), "taken to have lain about two weeks") {
		t.Errorf("%d acts, notes %v", len(h.Acts), notes)
	}
	if age := b.bin("B1").Bed.LastFeed.Age; age != nil {
		t.Errorf("nobody said how old the feed is, told as %g days", float64(*age))
	}
}

// TestLaidTested holds that a measured moisture of a pile, and of a batch, is what
// is laid afterwards.
func TestLaidTested(t *testing.T) {
	b := newBook(t)
	b.write("receive", &journal.Receive{Pile: "M", Material: "manure", VolumeM3: ptr(qty.CubicMetre(10))})
	b.later(20)
	b.write("assay", &journal.Assay{Subject: "pile M", Analyte: "water_frac_wet", Value: 0.5})
	b.write("blend", &journal.Blend{Batch: "1", Parts: []journal.BlendPart{{Pile: "M", VolumeM3: ptr(qty.CubicMetre(2))}}})
	b.write("build", &journal.Build{Bins: []string{"B1"}})
	b.write("bed", &journal.Bed{Bins: []string{"B1"}, Batch: "1", DepthM: 0.1})
	b.later(5)
	b.write("assay", &journal.Assay{Subject: "batch 1", Analyte: "water_frac_wet", Value: 0.8})
	b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "1", DepthM: ptr(qty.Metre(0.05))})
	b.later(2)
	b.write("feed", &journal.Feed{Bins: []string{"B1"}, Batch: "1", DepthM: ptr(qty.Metre(0.05))})
	heaps, _ := b.heaps()
	h, _, _ := heaps.History("B1", nature())
	if w := float64(h.Start.Matter.WaterContent()); math.Abs(w-0.5) > 0.005 { // an hour after
		t.Errorf("moisture of the bed %.3f, measured 0.5", w)
	}
	if w := float64(h.Acts[1].Matter.WaterContent()); math.Abs(w-0.8) > 0.03 { // two days after
		t.Errorf("moisture of the feed %.3f, measured 0.8", w)
	}
}
