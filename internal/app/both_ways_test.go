package app

import (
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/twin"
)

// forgotten makes a farm that has fed all its bins on one day of each week and the
// first stack on another, and on the last such day wrote down none of the third; it
// is two days later.
func forgotten(t *testing.T) (f *small, day time.Time) {
	t.Helper()
	f = smallFarm(t)
	day = f.now.Add(24 * time.Hour)
	for range 9 {
		f.now = day.Add(time.Hour)
		f.feed(day, "B1", "B2", "B3", "B4", "B5", "B6")
		f.now = day.Add(75 * time.Hour)
		f.feed(day.Add(74*time.Hour), "B1", "B2")
		day = day.AddDate(0, 0, 7)
	}
	f.now = day.Add(time.Hour)
	f.feed(day, "B1", "B2", "B3", "B4")
	f.now = day.Add(48 * time.Hour)
	return f, day
}

// A bin that may have been fed with nobody writing it down is followed both ways: its
// ranges reach over both, its chances are of both, a height of the bed tells which,
// and an answer ends it.
func TestAFeedingIsFollowedBothWays(t *testing.T) {
	f, day := forgotten(t)
	made := f.make()
	x := f.outlook("B6")
	if x.Perhaps == nil || x.Members != 2*twin.Members {
		t.Fatalf("%+v of %d members; asked: %+v", x.Perhaps, x.Members, itemOf(t, made, "B6").Asked)
	}
	p := x.Perhaps
	if p.Hour != day.Unix()/3600 || p.Batch != "41" || !(p.Chance > 0.05 && p.Chance < 0.95) {
		t.Errorf("%+v", p)
	}
	if other := f.outlook("B1"); other.Perhaps != nil || other.Members != twin.Members {
		t.Errorf("B1 was written down: %+v of %d", other.Perhaps, other.Members)
	}
	perhaps := 0
	for _, l := range x.Layers {
		if l.Perhaps {
			perhaps++
			if l.Thick.Low != 0 || l.Thick.High <= 0 || l.Batch != "" {
				t.Errorf("a layer that is there or not: %+v", l)
			}
		}
	}
	if perhaps == 0 {
		t.Error("no layer is there perhaps")
	}
	told := false
	for _, why := range itemOf(t, made, "B6").Why {
		told = told || why.Key == "why.perhaps"
	}
	if !told {
		t.Errorf("the round says nothing of it: %+v", itemOf(t, made, "B6").Why)
	}
	// Between the branches and no further: the warmest place now. A percentile of 64
	// members stands between others than that of 32, far out by as much as these lie apart.
	low, high := min(p.Fed.Low, p.Unfed.Low), max(p.Fed.High, p.Unfed.High)
	if slack := 0.1 * (high - low); x.Warmest.Low < low-slack || x.Warmest.High > high+slack {
		t.Errorf("warmest %+v, fed %+v, not fed %+v", x.Warmest, p.Fed, p.Unfed)
	}

	height := func(m float64) float64 {
		f.now = f.now.Add(time.Hour)
		f.write(f.now, "depth", &journal.Depth{Bins: []string{"B6"}, DepthM: qty.Metre(m)})
		if err := f.remake("B6"); err != nil {
			t.Fatal(err)
		}
		if a := f.outlook("B6").Perhaps; a != nil {
			return a.Chance
		}
		return 0
	}
	if higher := height(x.Depth.Mid + 0.02); higher <= p.Chance { // not at the end of the range: a bed that is full is not asked about (R7)
		t.Errorf("a bed as high as one that was fed makes %.2f of %.2f", higher, p.Chance)
	}
	f.write(f.now, "answer", &journal.Answer{Bins: []string{"B5", "B6"}, Day: day.In(f.app.State().Zone()).Format(time.DateOnly), Said: "not fed"})
	if err := f.remake("B6"); err != nil {
		t.Fatal(err)
	}
	if y := f.outlook("B6"); y.Perhaps != nil || y.Members != twin.Members {
		t.Errorf("answered, and still %+v", y.Perhaps)
	}
}
