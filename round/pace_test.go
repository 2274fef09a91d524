package round_test

import (
	"math"
	"testing"

	"wormyard/round"
)

// Ten ticks that reckon with four minutes and ten that took three give three and a
// half; a pause, a tick made later, and work of two acts at once tell nothing of
// the minutes of one.
func TestMinutesAreLearned(t *testing.T) {
	p := round.Parameters{FeedMinutes: 4, WaterMin: 1.5, PaceTicks: 10, PacePause: 4}
	var ticks []round.Tick
	for range 10 {
		ticks = append(ticks, round.Tick{Acts: []round.Act{round.Feed}, Bins: 5, Minutes: 15})
	}
	tells := len(ticks)
	ticks = append(ticks,
		round.Tick{Acts: []round.Act{round.Feed}, Bins: 1, Minutes: 17},             // a pause: over 4 x 4
		round.Tick{Acts: []round.Act{round.Feed}, Bins: 5, Minutes: 0.2},            // made later
		round.Tick{Acts: []round.Act{round.Feed, round.Water}, Bins: 1, Minutes: 9}, // both at once
		round.Tick{Acts: []round.Act{round.Turn}, Bins: 1, Minutes: 3},              // has no minutes
	)
	got := p.Paces(ticks)
	if len(got) != 1 || got[0].Ticks != tells || math.Abs(got[0].Minutes-3.5) > 1e-12 || got[0].Reckoned != 4 {
		t.Fatalf("%+v", got)
	}
	if now := p.Paced(got); math.Abs(now.FeedMinutes-3.5) > 1e-12 || now.WaterMin != 1.5 || p.FeedMinutes != 4 {
		t.Errorf("%+v", now)
	}
	took, reckoned := p.Taken(ticks) // ten times 15 for 20, and 9 for 5.5
	if math.Abs(took-159) > 1e-9 || math.Abs(reckoned-205.5) > 1e-9 {
		t.Errorf("took %g, reckoned %g", took, reckoned)
	}
	if p.Paces(nil) != nil {
		t.Error("nothing tells something")
	}
}
