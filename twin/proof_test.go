package twin_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"wormyard/bed"
	"wormyard/twin"
)

// score is the continuous ranked probability score of members against a truth, by
// its definition as mean distances (Gneiting and Raftery 2007, eq. 20).
func score(v []float64, truth float64) float64 {
	n := float64(len(v))
	var to, apart float64
	for _, x := range v {
		to += math.Abs(x-truth) / n
		for _, y := range v {
			apart += math.Abs(x-y) / (n * n)
		}
	}
	return to - apart/2
}

// Beds whose truth is known and that the twins do not hold: other numbers of nature,
// another start, other errors of what was written down. Two stabs a week with a dial,
// a look a week, a height every other and one count of worms make what is told of the
// temperature three days ahead better than the same twins do who were told nothing, and
// the rest no worse.
func TestFindingsMakeForecastsBetter(t *testing.T) {
	b := open(t)
	c := b.crew()
	const weeks, ahead = 6, 3
	at := func(day int64) int64 { return (b.begin+day*24)/6*6 + 6 }
	issues := []int64{at(18), at(25), at(32), at(39)}
	const dial, height = 1.7, 0.0127 * math.Sqrt2
	temp := func(s *bed.State) float64 { return twin.Through(s, 0.1, func(l *bed.Layer) float64 { return l.TempC }) }
	dialed := func(hour int64, c float64) twin.Reading {
		return twin.Reading{Hour: hour, DepthM: 0.1, TempC: c, Water: math.NaN(), Probe: "dial", TempSD: dial}
	}
	what := []struct {
		name string
		of   func(*twin.Member) float64
		gain float64 // least share of the score that must go: of what looks, heights and a count tell little of, no more may be lost than chance makes of 14 beds
	}{
		{"temperature", func(m *twin.Member) float64 { return temp(&m.State) }, 0.15},
		{"water", func(m *twin.Member) float64 { return twin.Through(&m.State, 0.1, (*bed.Layer).WaterOfWet) }, -0.15},
		{"worms", func(m *twin.Member) float64 { return math.Log(m.State.Worms.LiveKg()) }, -0.15},
		{"feed left", func(m *twin.Member) float64 { return twin.LeftOfLast(&m.State) }, -0.15},
	}
	blind, told := make([]float64, len(what)), make([]float64, len(what))
	inside, asked := make([]int, len(what)), 0
	other := twin.NewCrew(b.p, twin.Draws(&b.n.Bed, b.knobs, 1000), 2000)
	for truth := range uint64(14) {
		r := rand.New(rand.NewPCG(truth, 99))
		h := b.history(weeks)
		h.Bin = "B" + string(rune('a'+truth))
		tr := other.Begin(h, b.air())
		tr.Members = tr.Members[1+truth%31 : 2+truth%31]
		lived := h // of it the truth is a bed: nothing is found that would move it
		to := func(hour int64) *bed.State {
			if err := other.Advance(tr, lived, b.air(), hour, nil); err != nil {
				t.Fatal(err)
			}
			return &tr.Members[0].State
		}
		truths := map[int64][]float64{}
		for d := int64(3); d <= weeks*7; d++ {
			hour := at(d)
			s := to(hour)
			for _, w := range what {
				truths[hour] = append(truths[hour], w.of(&tr.Members[0]))
			}
			if d%7 == 2 || d%7 == 4 {
				h.Readings = append(h.Readings, dialed(hour, temp(s)+math.Hypot(dial, b.p.SpotC)*r.NormFloat64()))
			}
			if d%7 == 3 {
				signs := other.SignsOf(&tr.Members[0], h.Box)
				class := func(v float64, words []string, bounds ...float64) string {
					i := 0
					for i < len(bounds) && v >= bounds[i] {
						i++
					}
					return words[i]
				}
				h.Looks = append(h.Looks, twin.Look{Hour: hour,
					Squeeze:  b.p.Squeeze(signs.Water + b.p.SqueezeSD*r.NormFloat64()),
					FeedLeft: class(signs.Left+b.p.FeedSD*r.NormFloat64(), []string{"gone", "some", "most"}, b.p.FeedGone, b.p.FeedSome),
					Worms:    class(math.Log(signs.KgM2)+b.p.WormsSD*r.NormFloat64(), []string{"few", "usual", "many"}, math.Log(b.p.WormsFew), math.Log(b.p.WormsMany))})
			}
			if d == 24 { // a square foot, dug out and weighed
				h.Counts = append(h.Counts, twin.Count{Hour: hour, KgM2: s.Worms.LiveKg() / h.Box.Area() * math.Exp(b.p.CountSD*r.NormFloat64())})
			}
			if d%14 == 5 {
				deep := 0.0
				for i := range s.Layers {
					deep += s.Layers[i].DepthM
				}
				h.Marks = append(h.Marks, twin.Mark{Hour: hour, DepthM: deep + height*r.NormFloat64()})
			}
		}
		plain, seen := c.Begin(h, b.air()), c.Begin(h, b.air())
		for _, issue := range issues {
			if err := c.Advance(plain, lived, b.air(), issue, nil); err != nil {
				t.Fatal(err)
			}
			if err := c.Advance(seen, h, b.air(), issue, nil); err != nil {
				t.Fatal(err)
			}
			then := func(e *twin.Ensemble) *twin.Ensemble {
				e = e.Clone()
				if err := c.Advance(e, h.Before(issue+1), b.air(), issue+ahead*24, nil); err != nil {
					t.Fatal(err)
				}
				return e
			}
			blindly, knowing := plain.Clone(), then(seen)
			if err := c.Advance(blindly, lived, b.air(), issue+ahead*24, nil); err != nil {
				t.Fatal(err)
			}
			asked++
			for i, w := range what {
				y := truths[issue+ahead*24][i]
				of := func(e *twin.Ensemble) []float64 {
					v := make([]float64, len(e.Members))
					for m := range v {
						v[m] = w.of(&e.Members[m])
					}
					return v
				}
				blind[i] += score(of(blindly), y)
				told[i] += score(of(knowing), y)
				if r := knowing.Over(w.of); y >= r.Low && y <= r.High {
					inside[i]++
				}
			}
		}
	}
	for i, w := range what {
		gain := 1 - told[i]/blind[i]
		t.Logf("%s: score %.4f blind, %.4f told, %.0f %% less; %d of %d in the range of 90 %%", w.name, blind[i]/float64(asked), told[i]/float64(asked), 100*gain, inside[i], asked)
		if gain < w.gain {
			t.Errorf("%s: what was found takes %.0f %% off the score, least %.0f", w.name, 100*gain, 100*w.gain)
		}
		if inside[i] < asked*3/4 { // four issues of one bed tell little more than one: 9 of 12 or fewer, of 0.9, has a chance of one in ten, the bound is a little under it
			t.Errorf("%s: %d of %d in the range of 90 %%", w.name, inside[i], asked)
		}
	}
}
