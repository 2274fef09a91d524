package twin_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

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
		looks = append(looks, twin.Look{Hour: b.begin + (10+d)*24 + 3, Squeeze: "dry", Worms: "few", FeedLeft: "most"})
	}
	plain, looked := b.run(c, b.history(3), 20), b.run(c, b.history(3, looks...), 20)
	kg := func(m *twin.Member) float64 { return m.State.Worms.LiveKg() }
	_, before := mean(plain, kg)
	_, after := mean(looked, kg)
	if after < before/20 {
		t.Errorf("worms spread by %.4f kg of %.4f", after, before)
	}
	distinct, draws := map[float64]bool{}, map[int]bool{}
	for m := range looked.Members {
		distinct[kg(&looked.Members[m])], draws[looked.Members[m].Draw] = true, true
	}
	if len(distinct) < 20 || len(draws) < 4 {
		t.Errorf("%d members differ, in %d sets of nature's numbers", len(distinct), len(draws))
	}
	if looked.Looks != 10 {
		t.Errorf("%d looks were taken in", looked.Looks)
	}
}

// The words of one question are all that can be said of a sign: their chances add
// to one, but for the share of looks that are wrong outright.
func TestTheWordsOfAQuestionAddToOne(t *testing.T) {
	p := open(t).p
	rapid.Check(t, func(t *rapid.T) {
		s := twin.Signs{
			Water: rapid.Float64Range(0.2, 0.95).Draw(t, "water"), Left: rapid.Float64Range(0, 1).Draw(t, "left"),
			KgM2: rapid.Float64Range(0, 30).Draw(t, "worms"), Oxygen: 0.2, Ammonia: 0,
		}
		sum := func(looks ...twin.Look) (all float64) {
			for _, l := range looks {
				all += p.Chance(l, s)
			}
			return all
		}
		for what, got := range map[string]float64{
			"squeeze":   sum(twin.Look{Squeeze: "dry"}, twin.Look{Squeeze: "crumbly"}, twin.Look{Squeeze: "few drops"}, twin.Look{Squeeze: "drips"}, twin.Look{Squeeze: "runs"}),
			"feed left": sum(twin.Look{FeedLeft: "gone"}, twin.Look{FeedLeft: "some"}, twin.Look{FeedLeft: "most"}),
			"worms":     sum(twin.Look{Worms: "few"}, twin.Look{Worms: "usual"}, twin.Look{Worms: "many"}),
		} {
			if math.Abs(got-1) > 1e-5 {
				t.Fatalf("%s: %g", what, got)
			}
		}
		if got := p.Chance(twin.Look{}, s); math.Abs(got-1) > 1e-5 {
			t.Fatalf("a look that says nothing has a chance of %g", got)
		}
	})
}

// Smells follow air and ammonia, the right way round.
func TestSmells(t *testing.T) {
	p := open(t).p
	fresh := twin.Signs{Water: 0.75, Oxygen: 0.2, Ammonia: 0.1, KgM2: 5}
	airless, sharp := fresh, fresh
	airless.Oxygen, sharp.Ammonia = 0.001, 200
	for _, x := range []struct {
		smell         string
		likely, hence twin.Signs
	}{{"earth", fresh, airless}, {"sour", airless, fresh}, {"rotten", airless, fresh}, {"ammonia", sharp, fresh}, {"none", fresh, sharp}} {
		if l := (twin.Look{Smell: x.smell}); p.Chance(l, x.likely) < 3*p.Chance(l, x.hence) {
			t.Errorf("%s: %.3f against %.3f", x.smell, p.Chance(l, x.likely), p.Chance(l, x.hence))
		}
	}
	if lid := (twin.Look{Where: "lid"}); p.Chance(lid, airless) < 2*p.Chance(lid, fresh) {
		t.Error("worms under the lid speak for bad air")
	}
}
