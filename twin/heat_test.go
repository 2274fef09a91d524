package twin_test

import (
	"bytes"
	"math"
	"slices"
	"testing"

	"wormyard/bed"
	"wormyard/twin"
)

// By T22: a bed that was found to keep less heat goes back to what is usual with
// HeatBack for its time, each member to what it was drawn with.
func TestHeatGoesBackToWhatIsUsual(t *testing.T) {
	b := open(t)
	h := b.history(6)
	c := b.crew()
	e := c.Begin(h, b.air())
	if w := e.Warmer(); math.Abs(w) > 1e-12 {
		t.Fatalf("a bed begins %v from what was drawn", w)
	}
	for m := range e.Members {
		e.Members[m].State.HeatLn -= 0.4
	}
	b.to(c, e, h, 35*24) // the ends of five weeks
	if got, want := e.Warmer(), -0.4*math.Exp(-35/b.p.HeatBack); math.Abs(got-want) > 1e-9 {
		t.Errorf("after 35 days it is off by %v, want %v", got, want)
	}
}

// Where less heat than as drawn is usual on a farm, its new beds begin with it and
// its old ones come to it.
func TestBedsTakeTheUsualHeat(t *testing.T) {
	b := open(t)
	h := b.history(6)
	c := b.crew()
	c.Turn([]twin.Epoch{{Numbers: b.draws, HeatLn: -0.3}})
	if w := c.Begin(h, b.air()).Warmer(); math.Abs(w+0.3) > 1e-12 {
		t.Errorf("a new bed begins with %v, usual is -0.3", w)
	}
	at := mondayAfter(h.Start.Hour) + 7*24
	c.Turn([]twin.Epoch{{Numbers: b.draws}, {From: at, Numbers: b.draws, HeatLn: -0.3}})
	e := c.Begin(h, b.air())
	b.to(c, e, h, int(at-h.Start.Hour)+4*7*24)
	if got, want := e.Warmer(), -0.3*(1-math.Exp(-28/b.p.HeatBack)); math.Abs(got-want) > 1e-9 {
		t.Errorf("four weeks after it is known an old bed has %v, want %v", got, want)
	}
	c.Turn([]twin.Epoch{{Numbers: b.draws, HeatLn: 5}})
	e = c.Begin(h, b.air())
	for m := range e.Members {
		if k := math.Exp(e.Members[m].State.HeatLn); !(k < 2) {
			t.Fatalf("a bed keeps %v times its heat", k)
		}
	}
}

// mondayAfter gives the first end of a week after an hour, by the calendar: the first of
// 1970 was a Thursday.
func mondayAfter(hour int64) int64 {
	for hour++; (hour/24+3)%7 != 0 || hour%24 != 0; hour++ {
	}
	return hour
}

// Beds of a week move what is usual by n/(n + HeatBeds) of the way to their mean.
func TestUsualHeat(t *testing.T) {
	p := twin.Parameters{HeatBeds: 2}
	for _, c := range []struct {
		usual float64
		beds  []float64
		want  float64
	}{
		{-0.1, nil, -0.1},
		{0, []float64{-0.3}, -0.1},
		{0.2, []float64{-0.1, 0.1}, 0.1},
		{-0.2, []float64{-0.4, -0.6, -0.5, -0.5, -0.4, -0.6}, -0.2 - 0.3*6/8},
	} {
		if got := p.UsualHeat(c.usual, c.beds); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("from %v by %v: %v, want %v", c.usual, c.beds, got, c.want)
		}
	}
}

// A bed fed as a week ends is fed once, and a run that stops there goes on to the
// same bits.
func TestFedAsAWeekEnds(t *testing.T) {
	b := open(t)
	h := b.history(0)
	at := mondayAfter(h.Start.Hour)
	fed := h
	fed.Acts = slices.Clone(h.Acts)
	laid := b.feed.Times(0.05 * 1.44)
	fed.Acts = append(fed.Acts, bed.Act{Hour: at, Kind: bed.Feed, Matter: laid, DepthM: 0.05, TempC: math.NaN(), Layer: 10})
	until := int(at-h.Start.Hour) + 12
	dry := func(h twin.History) (kg float64) {
		c := b.crew()
		e := c.Begin(h, b.air())
		b.to(c, e, h, until)
		for _, l := range e.Members[0].State.Layers { // the plain one errs in nothing
			kg += l.Dry() * h.Box.Area()
		}
		return kg
	}
	if got, want := dry(fed)-dry(h), float64(laid.Dry); math.Abs(got-want) > 0.1*want {
		t.Errorf("a feeding of %.2f kg dry added %.2f", want, got)
	}
	c := b.crew()
	once, twice := c.Begin(fed, b.air()), c.Begin(fed, b.air())
	b.to(c, once, fed, until)
	b.to(c, twice, fed, int(at-h.Start.Hour))
	b.to(c, twice, fed, until)
	if !bytes.Equal(once.AppendBinary(nil), twice.AppendBinary(nil)) {
		t.Error("stopped as the week ends it goes on to something else")
	}
}
