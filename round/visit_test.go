package round_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"wormyard/round"
)

var visitDay = time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)

// under is a bin of stack 4 that wants feed and gains so many kg of dry castings
// by it in the horizon; its next visit would be in seven days.
func under(bin string, above int, gain float64) round.Item {
	it := fed(4, 1.5, 10+gain)
	it.Bin, it.Place, it.Level, it.Above, it.Lift = bin, "3-4 "+bin, 4-above, above, above
	it.Visit, it.Seen = visitDay.Add(7*24*time.Hour), visitDay.Unix()/3600-8*24
	it.Tried = append(it.Tried, round.Tried{Option: phrase("rest"), Value: 10})
	return it
}

func visited(t testing.TB, items ...round.Item) (round.List, []string) {
	t.Helper()
	p := limits(t)
	m := made(items...)
	m.At = visitDay
	l := p.Write(m)
	l.Speak(round.Words{Zone: time.UTC})
	var bins []string
	for _, n := range l.Lines {
		for _, it := range n.Items {
			bins = append(bins, it.Bin)
		}
	}
	return l, bins
}

// Two bins down cost 2 lifts x 3 min x 0.3 kg/min = 1.8 kg; half the horizon of
// waiting loses half the gain.
func TestABottomBinIsLeftOrVisitedByItsPrice(t *testing.T) {
	if l, bins := visited(t, under("A", 2, 3.5)); len(bins) != 0 || len(l.Visits) != 0 || l.Resting != 1 {
		t.Errorf("worth 1.75 kg against 1.8 and visited: %v, %+v", bins, l.Visits)
	}
	l, bins := visited(t, under("A", 2, 3.7))
	if len(bins) != 1 || len(l.Visits) != 1 {
		t.Fatalf("worth 1.85 kg against 1.8 and left: %v", bins)
	}
	v := l.Visits[0]
	if v.Lift != 2 || v.Reached != 1 || v.Feed != 1 || v.Minutes != 2*3+4 {
		t.Errorf("%+v", v)
	}
	want := "Take down row 3 stack 4 with the truck: 1 bin reached and 1 to feed, about 10 minutes. Worth it because waiting would cost about 4.1 lb of dry castings, and the lifts cost as much as 4 lb. Next visit by 9 December at the latest."
	if v.Text != want {
		t.Errorf("it says %q", v.Text)
	}
}

func TestABinNobodyHasSeenIsVisited(t *testing.T) {
	it := under("A", 3, 0)
	it.Act, it.Lift, it.Head = round.Rest, 0, phrase("rest")
	it.Seen = visitDay.Unix()/3600 - 13*24
	if _, bins := visited(t, it); len(bins) != 0 {
		t.Errorf("seen 13 days ago and lifted for a look")
	}
	it.Seen -= 24
	l, _ := visited(t, it)
	if len(l.Lines) != 1 || l.Lines[0].Act != round.Look || len(l.Visits) != 1 || l.Visits[0].Look != 1 || l.Lines[0].Caution == "" {
		t.Errorf("not seen for 14 days: %+v", l.Visits)
	}
}

// Each alone is not worth its lift; together they share it.
func TestTwoBinsOfAStackShareALift(t *testing.T) {
	a, b := under("A", 2, 2), under("B", 1, 1.7)
	if _, bins := visited(t, a); len(bins) != 0 {
		t.Error("one kilogram is worth 1.8")
	}
	if _, bins := visited(t, b); len(bins) != 0 {
		t.Error("0.85 kg is worth 0.9")
	}
	l, bins := visited(t, a, b)
	if len(bins) != 2 || len(l.Visits) != 1 || l.Visits[0].Reached != 2 || l.Visits[0].Lift != 2 {
		t.Errorf("%v, %+v", bins, l.Visits)
	}
}

func TestATopBinNeedsNoLift(t *testing.T) {
	if l, bins := visited(t, under("A", 0, 0.1)); len(bins) != 1 || len(l.Visits) != 0 {
		t.Errorf("%v, %+v", bins, l.Visits)
	}
}

// A stack that was visited yesterday by a hair is not put off today by a hair, and
// the other way round; news are judged afresh.
func TestAVisitDoesNotFlip(t *testing.T) {
	of := func(gain float64, was *round.Advice) bool {
		it := under("A", 2, gain)
		it.Was = was
		_, bins := visited(t, it)
		return len(bins) == 1
	}
	went, off := &round.Advice{Act: round.Feed}, &round.Advice{Act: round.Feed, Off: true}
	if !of(3.5, went) || of(3.7, off) {
		t.Error("it flips within a hair of the price")
	}
	if of(2, went) || !of(5, off) {
		t.Error("it holds on against a material gain")
	}
	if !of(3.7, nil) {
		t.Error("nothing was said and it is put off")
	}
}

// What is put off keeps what was advised, so that tomorrow's round knows.
func TestWhatIsPutOffIsKept(t *testing.T) {
	p := limits(t)
	m := made(under("A", 2, 1))
	m.At = visitDay
	a := p.Told(m)["A"]
	if !a.Off || a.Act != round.Feed || math.Abs(a.DepthM-1.5*in) > 1e-9 {
		t.Errorf("%+v", a)
	}
}

// No bin under others is asked for anything without a visit that reaches it.
func TestNoAdviceOutOfReach(t *testing.T) {
	acts := []round.Act{round.Feed, round.Water, round.Look, round.Rest, round.Harvest}
	rapid.Check(t, func(r *rapid.T) {
		var items []round.Item
		for stack := 1; stack <= rapid.IntRange(1, 4).Draw(r, "stacks"); stack++ {
			for above := range rapid.IntRange(1, 4).Draw(r, "high") {
				it := under(string(rune('A'+stack))+string(rune('0'+above)), above, rapid.Float64Range(0, 8).Draw(r, "gain"))
				it.Stack, it.Act = stack, rapid.SampledFrom(acts).Draw(r, "act")
				if it.Act == round.Rest {
					it.Lift = 0
				}
				it.Seen -= int64(rapid.IntRange(0, 240).Draw(r, "unseen"))
				if rapid.Bool().Draw(r, "told") {
					it.Was = &round.Advice{Act: it.Act, Off: rapid.Bool().Draw(r, "off")}
				}
				items = append(items, it)
			}
		}
		l, _ := visited(t, items...)
		for _, n := range l.Lines {
			for _, it := range n.Items {
				if it.Above > 0 && !slices.ContainsFunc(l.Visits, func(v round.Visit) bool { return v.Row == it.Row && v.Stack == it.Stack && v.Lift >= it.Above }) {
					r.Fatalf("%s is asked for %s, and no visit reaches it: %+v", it.Bin, it.Act, l.Visits)
				}
			}
		}
	})
}
