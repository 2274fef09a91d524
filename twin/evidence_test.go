package twin_test

import (
	"math"
	"testing"

	"wormyard/bed"
	"wormyard/twin"
)

// What one branch of the twins expects speaks for it, and what the other expects
// speaks as much against it; nothing seen says nothing.
func TestEvidenceOfAFeeding(t *testing.T) {
	b := open(t)
	c := b.crew()
	without := b.history(5)
	e := b.run(c, without, 36)
	at := e.Hour + 6
	with := without
	with.Acts = append(append([]bed.Act(nil), without.Acts...), bed.Act{Hour: at, Kind: bed.Feed, Matter: b.feed.Times(0.0508 * 1.44), DepthM: 0.0508, TempC: math.NaN(), Layer: 1 << 40})
	read := at + 48
	expected := func(h twin.History) float64 {
		r, err := c.Expected(e, h, b.air(), read, 0.08)
		if err != nil {
			t.Fatal(err)
		}
		return r.Mid
	}
	ratio := func(temp float64, marks ...twin.Mark) float64 {
		var logs [2]float64
		for i, h := range []twin.History{with, without} {
			if temp != 0 {
				h.Readings = []twin.Reading{{Hour: read, DepthM: 0.08, TempC: temp, Water: math.NaN(), Probe: "dial"}}
			}
			h.Marks = marks
			var err error
			if logs[i], err = c.Evidence(e, h, b.air(), at+1, read); err != nil {
				t.Fatal(err)
			}
		}
		return logs[0] - logs[1]
	}
	fed, not := expected(with), expected(without)
	if fed < not+1 {
		t.Fatalf("a feeding warms the bed from %.1f to %.1f C only", not, fed)
	}
	if warm, cold := ratio(fed+1), ratio(not-1); warm <= 0 || cold >= 0 {
		t.Errorf("as warm as fed speaks %.2f for a feeding, as cold as not %.2f", warm, cold)
	}
	if got := ratio(0); got != 0 {
		t.Errorf("nothing seen says %.3g", got)
	}
	deep := e.Over(func(m *twin.Member) float64 {
		var d float64
		for i := range m.State.Layers {
			d += m.State.Layers[i].DepthM
		}
		return d
	}).Mid
	if higher := ratio(0, twin.Mark{Hour: read, DepthM: deep + 0.06}); higher <= 0 {
		t.Errorf("two inches higher speaks %.2f for a feeding", higher)
	}
	first := with
	first.Weights = []twin.Weight{{Hour: read, Kg: 300}}
	if got, err := c.Evidence(e, first, b.air(), at+1, read); err != nil || got != 0 {
		t.Errorf("the first weighing of a bin tells what it weighs empty, and says %.3g of its feed (%v)", got, err)
	}
}
