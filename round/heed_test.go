package round_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"wormyard/bed"
	"wormyard/round"
	"wormyard/twin"
)

func (f *farm) bin(c round.Case) round.Item {
	f.t.Helper()
	trier := round.Trier{P: f.p, Crew: f.crew}
	it, err := trier.Bin(c)
	if err != nil {
		f.t.Fatal(err)
	}
	f.t.Log(spoken(it))
	return it
}

// A bin on hold is not fed however hungry it is; what lay there is gone, so
// somebody looks; with its feed still there it rests.
func TestAHoldIsHeeded(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(18, 3, 0.75))
	if it := f.bin(c); it.Act != round.Feed {
		t.Fatalf("without a hold it is not fed: %s", it.Act)
	}
	c.Held = round.Held{Since: f.now - 5*24, Why: "sour smell"}
	it := f.bin(c)
	if it.Act == round.Feed || it.Mix != "" || len(it.Others) > 0 {
		t.Errorf("on hold and fed: %s", spoken(it))
	}
	for _, want := range []string{"no feed since 24 January: sour smell", "until somebody feeds it again"} {
		if !strings.Contains(spoken(it), want) {
			t.Errorf("it does not say %q", want)
		}
	}
	if it.Act != round.Look || !strings.Contains(spoken(it), "may be fed again") { // a quarter of the last feed is left
		t.Errorf("what lay there is nearly gone and it asks for %s", spoken(it))
	}
	f.p.GoneFrac = 0 // so that what is left is never gone
	if it := f.bin(c); it.Act != round.Rest || !strings.Contains(spoken(it), "sour smell") {
		t.Errorf("its feed is there and it asks for %s", spoken(it))
	}
	c.Due, c.Above, c.Waits = true, 2, f.now+48
	if it := f.bin(c); it.Act != round.Rest || !strings.Contains(spoken(it), "sour smell") {
		t.Errorf("under others: %s", spoken(it))
	}
}

// Danger comes before a hold.
func TestAHoldHidesNoDanger(t *testing.T) {
	f := open(t, spring, 40)
	h := f.history(36)
	h.Acts = append(h.Acts, bed.Act{Hour: f.now - 30, Kind: bed.Feed, Matter: f.fresh(0.25 * 1.44), DepthM: 0.25, TempC: 25, Layer: 900})
	c := f.asked(h, f.air(20, 3, 0.75))
	c.Held = round.Held{Since: f.now - 24, Why: "sour smell"}
	if it := f.bin(c); it.Act != round.Open || it.Urgency != round.Now {
		t.Errorf("asked for %s", spoken(it))
	}
}

// Bought worms keep a bed apart: it is fed as ever and says so, and is neither
// harvested nor split.
func TestABedKeptApart(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(13, 3, 0.75))
	apart := round.Apart{Since: f.now - 10*24, Until: f.now + 20*24}
	says := time.Unix(apart.Until*3600, 0).UTC().Format("2 January")
	c.Apart = apart
	it := f.bin(c)
	if it.Act != round.Feed || !strings.Contains(spoken(it), "Until "+says) {
		t.Errorf("%s", spoken(it))
	}
	for _, o := range it.Others {
		if !strings.Contains(spoken(o), "Until "+says) {
			t.Errorf("as good, and it does not say so: %s", spoken(o))
		}
	}
	f.p.SplitKgM2 = 0.1 // so that any stock is crowded
	if it := f.bin(c); it.Act == round.Split || !strings.Contains(spoken(it), "It is crowded, but bought worms") {
		t.Errorf("kept apart: %s", spoken(it))
	}
	c.Apart = round.Apart{}
	if it := f.bin(c); it.Act != round.Split {
		t.Errorf("not kept apart: %s", spoken(it))
	}
	f.p.RipeFrac, f.p.RipeKg = 0, 0                                      // so that any bed is ripe
	c.LastFed, c.History.Box.DepthM, f.p.MinuteKg = f.now-15*24, 0.1, 10 // so that it is deep, and a harvest is all it is worth
	if it := f.bin(c); it.Act != round.Harvest {
		t.Errorf("not kept apart: %s", spoken(it))
	}
	c.Apart = apart
	if it := f.bin(c); it.Act == round.Harvest || !strings.Contains(spoken(it), "It is ripe, but bought worms") {
		t.Errorf("kept apart: %s", spoken(it))
	}
}

// What was fed within two weeks is worked before the harvest: till then a ripe bed
// that is deep gets no more, and it says from when on it is harvested. After them it
// still waits while it makes more than the minutes of a harvest are worth. So does a
// bed at the rim; one that is not deep is fed on.
func TestAHarvestWaitsForTheLastFeed(t *testing.T) {
	f := open(t, spring, 40)
	f.p.RipeFrac, f.p.RipeKg, f.p.SplitKgM2 = 0, 0, 1e3
	c := f.asked(f.history(34), f.air(18, 3, 0.75))
	if it := f.bin(c); it.Act != round.Feed {
		t.Errorf("not deep: %s", spoken(it))
	}
	deep := c.Ensemble.Over(func(m *twin.Member) (d float64) {
		for i := range m.State.Layers {
			d += m.State.Layers[i].DepthM
		}
		return d
	})
	c.History.Box.DepthM = 1.1*deep.Mid + f.p.RimM // so that it is deep, and not full
	from := time.Unix((c.LastFed+int64(f.p.StopFeedDays*24))*3600, 0).UTC().Format("2 January")
	if it := f.bin(c); it.Act != round.Rest || !strings.Contains(spoken(it), "a harvest from "+from+" on") {
		t.Errorf("fed %d days ago: %s", (c.Now-c.LastFed)/24, spoken(it))
	}
	full := c
	full.History.Box.DepthM = 0.1 // so that it is full
	if it := f.bin(full); it.Act != round.Rest {
		t.Errorf("full to the rim: %s", spoken(it))
	}
	c.LastFed = c.Now - int64(f.p.StopFeedDays*24)
	if it := f.bin(c); it.Act != round.Rest || !strings.Contains(spoken(it), "gets no more feed") {
		t.Errorf("not fed for two weeks, and still making castings: %s", spoken(it))
	}
	f.p.MinuteKg *= 20 // so that what it makes is not worth the minutes
	if it := f.bin(c); it.Act != round.Harvest {
		t.Errorf("not fed for two weeks: %s", spoken(it))
	}
}

// A deep bed that was measured since it was fed is taken as full by those who work at
// it: it gets no more feed though there are few castings in it, and is harvested once
// it makes too few, ripe or not. One that was measured with its last feeding, found
// shallow, or fed since, is fed on.
func TestAMeasuredBedIsFull(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(18, 3, 0.75))
	f.p.SplitKgM2 = 1e3
	mid := c.Ensemble.Over(func(m *twin.Member) (d float64) {
		for i := range m.State.Layers {
			d += m.State.Layers[i].DepthM
		}
		return d
	}).Mid
	c.History.Box.DepthM = 1.1*mid + f.p.RimM // deep, and not at the rim
	f.p.RipeKg = 1e6
	if it := f.bin(c); it.Act != round.Feed {
		t.Fatalf("not measured: %s", spoken(it))
	}
	mark := func(hours int64, depth float64) round.Case {
		m := c
		m.History.Marks = []twin.Mark{{Hour: c.LastFed + hours, DepthM: depth}}
		return m
	}
	for what, m := range map[string]round.Case{"with its last feeding": mark(1, mid), "shallow": mark(30, mid/2), "before it was fed": mark(-48, mid)} {
		if it := f.bin(m); it.Act != round.Feed {
			t.Errorf("measured %s: %s", what, spoken(it))
		}
	}
	full := mark(30, mid)
	if it := f.bin(full); it.Act != round.Rest || !strings.Contains(spoken(it), "gets no more feed") {
		t.Errorf("measured since: %s", spoken(it))
	}
	f.p.RipeKg, f.p.RipeFrac = 0, 1 // castings for a harvest, and never ripe
	f.p.MinuteKg *= 20              // and what it makes is not worth the minutes
	full.LastFed = c.Now - int64(f.p.StopFeedDays*24)
	full.History.Marks[0].Hour = full.LastFed + 30
	if it := f.bin(full); it.Act != round.Harvest {
		t.Errorf("full and making little: %s", spoken(it))
	}
	full.History.Marks = nil
	if it := f.bin(full); it.Act == round.Harvest {
		t.Errorf("not measured, and not ripe: %s", spoken(it))
	}
}

// More is not laid than the worms of most members eat: of what they were fed in the
// last two weeks and what is tried, to the visit. Without that bound the same bin is
// fed deeper, and one that was not fed in the last two weeks may be. The least step
// is never refused by it.
func TestNoMoreIsLaidThanIsEaten(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(18, 3, 0.75))
	depth := func(of func()) float64 {
		of()
		it := f.bin(c)
		if it.Act != round.Feed {
			t.Fatalf("not fed: %s", spoken(it))
		}
		return it.DepthM
	}
	usual := f.p.MostLaid
	bound, free := depth(func() {}), depth(func() { f.p.MostLaid = 1 })
	none := depth(func() { f.p.MostLaid = 0 })
	if !(none <= bound && bound < free) || math.Abs(none-f.p.DepthStepM) > 1e-9 {
		t.Errorf("%.4f m, without the bound %.4f m, with one that nothing keeps %.4f m", bound, free, none)
	}
	f.p.MostLaid = usual
	kept := c.History.Acts
	c.History.Acts = nil // as if nothing had been laid
	if after := depth(func() {}); after < bound {
		t.Errorf("%.4f m where nothing was laid, %.4f m where much was", after, bound)
	}
	c.History.Acts = kept
}

// A bed that was never fed begins with one step, however hungry it is.
func TestANewBedBeginsWithOneStep(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(18, 3, 0.75))
	c.LastFed, c.LastDepthM = 0, 0
	it := f.bin(c)
	if it.Act != round.Feed || it.DepthM > f.p.DeeperMostM*1.001 {
		t.Errorf("never fed: %s", spoken(it))
	}
	for _, o := range it.Others {
		if o.DepthM > f.p.DeeperMostM*1.001 {
			t.Errorf("never fed, and as good: %s", spoken(o))
		}
	}
}
