package round_test

import (
	"testing"
	"time"

	"wormyard/round"
	"wormyard/twin"
)

// A bed whose worms leave by some hundredths a day is looked at in the week; one
// that loses a tenth of them in three days is opened now. What the members lose is
// asked of them directly, as their ammonia rises.
func TestWormsThatLeaveSlowlyAreLookedAt(t *testing.T) {
	f := open(t, spring, 40)
	h, air := f.history(38), f.air(8, 2, 0.8)
	slowly, fast := 0, 0
	for _, mgG := range []float64{0.1, 1, 4} {
		c := f.asked(h, air)
		all := make([]int, len(c.Ensemble.Members))
		for i := range c.Ensemble.Members {
			all[i] = i
			s := &c.Ensemble.Members[i].State
			for k := range s.Layers {
				l := &s.Layers[k]
				l.PH, l.Ammonia = 8.5, mgG/1000*l.Dry()
			}
		}
		outs, err := f.crew.Try(c.Ensemble, all, h, air, twin.Trial{Soon: c.Now + int64(f.p.SoonDays*24), Visit: c.Visit, Until: c.Visit}, nil)
		if err != nil {
			t.Fatal(err)
		}
		seep, flee := 0, 0
		for _, o := range outs {
			if o.Flee {
				seep++
			}
			if o.SoonLost >= f.p.FleeLoss {
				flee++
			}
			if o.SoonLost < 0 || o.SoonLost > 1 {
				t.Errorf("%g of the worms leave", o.SoonLost)
			}
		}
		trier := round.Trier{P: f.p, Crew: f.crew}
		it, err := trier.Bin(c)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%g mg/g, of %d members in %d slowly, in %d fast: %s", mgG, len(outs), seep, flee, spoken(it))
		lines := f.p.Write(round.Made{At: time.Unix(f.now*3600, 0), Items: []round.Item{it}}).Lines
		switch {
		case flee == len(outs):
			fast++
			if it.Act != round.Open || it.Urgency != round.Now {
				t.Errorf("a tenth of the worms leaves within days, and it says %s", spoken(it))
			}
		case flee == 0 && seep == len(outs):
			slowly++
			if len(lines) != 1 || lines[0].Act != round.Look || lines[0].Head.Key != "look.seep" || lines[0].Urgency != round.Week {
				t.Errorf("the worms leave slowly, and it says %+v", lines)
			}
		case seep == 0:
			if it.Act != round.Rest || it.Doubt > 0.5 {
				t.Errorf("no worm leaves, and it says %s", spoken(it))
			}
		}
	}
	if slowly != 1 || fast != 1 {
		t.Errorf("%d beds were left slowly and %d fast, one each was meant", slowly, fast)
	}
}

// A thermometer that may have read over what worms bear well, where much less was
// to be expected, opens a bin of which the twins foresee no danger, under others
// too; one that read less asks for a look.
func TestAHotReadingOpens(t *testing.T) {
	f := open(t, spring, 40)
	h, air := f.history(22), f.air(6, 2, 0.8)
	trier := round.Trier{P: f.p, Crew: f.crew}
	limit := f.crew.Best().RefugeC
	for _, x := range []struct {
		read, sd float64
		want     round.Act
	}{{limit + 1, 0, round.Open}, {limit - 1, 1.7, round.Open}, {limit - 1, 0.5, round.Look}} {
		for _, waits := range []int64{0, f.now + 72} {
			c := f.asked(h, air)
			c.Waits, c.Above = waits, 1
			c.History.Readings = []twin.Reading{{Hour: f.now - 1, DepthM: 0.1, TempC: x.read, TempSD: x.sd, Probe: "dial"}}
			it, err := trier.Bin(c)
			if err != nil {
				t.Fatal(err)
			}
			if it.Act != x.want || (it.Urgency == round.Now) != (x.want == round.Open) || it.Lift != 1 {
				t.Errorf("read %.1f C give or take %.1f, the limit is %g: %s", x.read, x.sd, limit, spoken(it))
			}
		}
	}
}
