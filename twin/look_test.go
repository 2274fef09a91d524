package twin_test

import (
	"math"
	"testing"

	"wormyard/twin"
)

func mean(e *twin.Ensemble, of func(*twin.Member) float64) (mean, sd float64) {
	n := float64(len(e.Members))
	for m := range e.Members {
		mean += of(&e.Members[m]) / n
	}
	for m := range e.Members {
		d := of(&e.Members[m]) - mean
		sd += d * d / (n - 1)
	}
	return mean, math.Sqrt(sd)
}

// A look moves the twins the way it says, and a word and its opposite move them
// apart.
func TestALookMovesTheTwins(t *testing.T) {
	b := open(t)
	c := b.crew()
	at := b.begin + 20*24
	plain := b.run(c, b.history(3), 20)
	signs := func(of func(twin.Signs) float64) func(e *twin.Ensemble) (float64, float64) {
		return func(e *twin.Ensemble) (float64, float64) {
			box := b.history(0).Box
			return mean(e, func(m *twin.Member) float64 { return of(c.SignsOf(m, box)) })
		}
	}
	water := signs(func(s twin.Signs) float64 { return s.Water })
	left := signs(func(s twin.Signs) float64 { return s.Left })
	worms := signs(func(s twin.Signs) float64 { return s.KgM2 })
	for _, x := range []struct {
		what      string
		low, high twin.Look
		of        func(*twin.Ensemble) (float64, float64)
	}{
		{"water", twin.Look{Squeeze: "dry"}, twin.Look{Squeeze: "runs"}, water},
		{"feed left", twin.Look{FeedLeft: "gone"}, twin.Look{FeedLeft: "most"}, left},
		{"worms", twin.Look{Worms: "few"}, twin.Look{Worms: "many"}, worms},
	} {
		t.Run(x.what, func(t *testing.T) {
			before, spread := x.of(plain)
			after := func(l twin.Look) float64 {
				l.Hour = at
				m, sd := x.of(b.run(c, b.history(3, l), 20))
				if sd < spread/5 {
					t.Errorf("after one look the spread is %.4f of %.4f", sd, spread)
				}
				return m
			}
			low, high := after(x.low), after(x.high)
			if !(low < before && before < high) {
				t.Errorf("%.4f, after the one look %.4f, after the other %.4f", before, low, high)
			}
		})
	}
}

// Ten looks on ten days that all say the same never leave a single member.
func TestManyLooksLeaveASpread(t *testing.T) {
	b := open(t)
	c := b.crew()
	var looks []twin.Look
	for d := range int64(10) {
		looks = append(looks, twin.Look{Hour: b.begin + (10+d)*24 + 3, Squeeze: "dry", Worms: "usual", FeedLeft: "some"})
	}
	plain, looked := b.run(c, b.history(3), 20), b.run(c, b.history(3, looks...), 20)
	kg := func(m *twin.Member) float64 { return m.State.Worms.LiveKg() }
	_, before := mean(plain, kg)
	_, after := mean(looked, kg)
	if after < before/20 {
		t.Errorf("worms spread by %.4f kg of %.4f", after, before)
	}
	if looked.Taken != 30 {
		t.Errorf("%d words were taken in", looked.Taken)
	}
}

// Smells follow air and ammonia, the right way round.
func TestSmells(t *testing.T) {
	b := open(t)
	c := b.crew()
	box := b.history(0).Box
	air := func(e *twin.Ensemble) float64 {
		m, _ := mean(e, func(m *twin.Member) float64 { return c.SignsOf(m, box).Oxygen })
		return m
	}
	after := func(l twin.Look) float64 {
		l.Hour = b.begin + 16*24
		var told []twin.News
		c.Watch(func(n twin.News) { told = append(told, n) })
		defer c.Watch(nil)
		e := b.run(c, b.history(3, l), 17) // the air follows in the next step
		if len(told) == 0 {
			t.Errorf("%+v told nothing", l)
		}
		return air(e)
	}
	earth, rotten := after(twin.Look{Smell: "earth"}), after(twin.Look{Smell: "rotten"})
	if rotten > earth+1e-9 {
		t.Errorf("air of a bed that smells rotten %.4f, of earth %.4f", rotten, earth)
	}
}

// A look that finds worms where those of some members died gives these a stock
// again, and the others are moved no less for it.
func TestALookRevivesAStockThatDied(t *testing.T) {
	b := open(t)
	c := b.crew()
	h := b.history(3)
	e := b.run(c, h, 19)
	for m := range 8 {
		e.Members[m].State.Worms = e.Members[m].State.Worms.Times(0, 0)
	}
	h.Looks = []twin.Look{{Hour: e.Hour + 3, Worms: "usual"}, {Hour: e.Hour + 6, Worms: "usual"}, {Hour: e.Hour + 9, Worms: "usual"}}
	if err := c.Advance(e, h, b.air(), e.Hour+12, nil); err != nil {
		t.Fatal(err)
	}
	for m := range e.Members {
		kg := e.Members[m].State.Worms.LiveKg()
		if most := c.P.WormsMany * h.Box.Area(); !(kg > 0.2) || kg > 3*most { // a tenth of few, and three times many: "usual" lies well between
			t.Errorf("member %d holds %.3f kg after three looks that found the usual", m, kg)
		}
	}
}
