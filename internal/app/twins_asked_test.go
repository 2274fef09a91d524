package app

import (
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
)

// A day of feeding stays one when the beds that were fed on it are emptied: what
// is asked about it names its day, its hour and its mix.
func TestAskedAboutADayWhoseBedsAreGone(t *testing.T) {
	f, day := forgotten(t)
	gone := []string{"B1", "B2", "B3", "B4"}
	f.write(day.Add(24*time.Hour), "harvest", &journal.Harvest{Bins: gone, How: "whole", EndsBed: true})
	f.write(day.Add(26*time.Hour), "bed", &journal.Bed{Bins: gone, Material: "leaves, loose dry", DepthM: 0.1})
	asked := f.twins.suspects(f.app.State(), f.now)
	if len(asked) == 0 {
		t.Fatal("nothing is asked")
	}
	for bin, a := range asked {
		want := day.In(f.app.State().Zone())
		if a.Day != want.Format(time.DateOnly) || a.Hour != day.Unix()/3600 || a.Mix != "41" {
			t.Errorf("%s: asked about %s, hour %d, mix %q; the farm fed on %s", bin, a.Day, a.Hour, a.Mix, want)
		}
	}
}

// A deep bed that was measured since it was fed is full, and nobody asks whether it was
// fed; one that was found shallow is asked about.
func TestAFullBedIsNotAskedAbout(t *testing.T) {
	f, day := forgotten(t)
	before := f.twins.suspects(f.app.State(), f.now)
	bin, _ := f.app.State().Bin("B6")
	deep := bin.Box.Depth - qty.Metre(f.twins.round.RimM)
	if before["B6"] == nil || before["B5"] == nil || deep <= 0 {
		t.Fatalf("asked about %v, deep is %g m", before, deep)
	}
	f.write(day.Add(10*time.Hour), "depth", &journal.Depth{Bins: []string{"B6"}, DepthM: deep})
	f.write(day.Add(10*time.Hour), "depth", &journal.Depth{Bins: []string{"B5"}, DepthM: deep / 2})
	after := f.twins.suspects(f.app.State(), f.now)
	if after["B6"] != nil || after["B5"] == nil {
		t.Errorf("B6 was measured %g m deep, B5 half of that; asked about %v", deep, after)
	}
}
