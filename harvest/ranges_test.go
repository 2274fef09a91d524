package harvest_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"wormyard/harvest"
	"wormyard/mix"
	"wormyard/qty"
)

// sure is the parameters with nothing in doubt.
func sure(p harvest.Parameters) harvest.Parameters {
	for _, e := range []*qty.Estimate{&p.Steepness, &p.CutOff, &p.WetFlat, &p.RateFlat, &p.DrumFactor, &p.FineDeck, &p.FineShare, &p.CocoonWidth, &p.CocoonFree, &p.OpeningSaid, &p.WaterOff, &p.RateSaid, &p.Chips} {
		*e = qty.Exactly(e.Best)
	}
	p.AdultLow, p.AdultHigh = p.AdultHeld, p.AdultHeld
	return p
}

var quarter = harvest.Deck{Opening: 6.35, Water: .45, Rate: 1}

// With nothing in doubt nothing has a range.
func TestNoDoubtNoRange(t *testing.T) {
	c := sure(parameters(t)).CutOf(quarter, qty.Exactly(.15), qty.Exactly(1))
	for _, e := range []qty.Estimate{c.Through, c.Cocoons, c.Worms, c.Threads} {
		if e.High-e.Low > 1e-12 {
			t.Errorf("%+v with nothing in doubt", e)
		}
	}
}

// One doubt alone gives the ends that its own ends give, by hand: what hangs on one
// input alone rises or falls with it, and so do its 5 and 95 of 100.
func TestOneDoubtByHand(t *testing.T) {
	full := parameters(t)
	closed := sure(full)
	at := func(change func(*harvest.Parameters)) harvest.Cut {
		p := closed
		change(&p)
		return p.CutOf(quarter, qty.Exactly(.15), qty.Exactly(1))
	}
	check := func(what string, got, low, high qty.Estimate) {
		t.Helper()
		a, b := min(low.Best, high.Best), max(low.Best, high.Best)
		// 1000 runs stand half a run in 1000 beside the ends.
		if math.Abs(got.Low-a) > 2e-3 || math.Abs(got.High-b) > 2e-3 || b-a < 1e-3 {
			t.Errorf("%s: %.4f to %.4f, by hand %.4f to %.4f", what, got.Low, got.High, a, b)
		}
	}
	for _, x := range []struct {
		what string
		of   func(*harvest.Parameters) *qty.Estimate
		part func(harvest.Cut) qty.Estimate
	}{
		{"through by d50", func(p *harvest.Parameters) *qty.Estimate { return &p.CutOff }, func(c harvest.Cut) qty.Estimate { return c.Through }},
		{"cocoons by those stuck", func(p *harvest.Parameters) *qty.Estimate { return &p.CocoonFree }, func(c harvest.Cut) qty.Estimate { return c.Cocoons }},
	} {
		range_ := *x.of(&full)
		got := at(func(p *harvest.Parameters) { *x.of(p) = range_ })
		low := at(func(p *harvest.Parameters) { *x.of(p) = qty.Exactly(range_.Low) })
		high := at(func(p *harvest.Parameters) { *x.of(p) = qty.Exactly(range_.High) })
		check(x.what, x.part(got), x.part(low), x.part(high))
	}
	p := closed
	p.AdultLow, p.AdultHigh = full.AdultLow, full.AdultHigh
	c := p.CutOf(harvest.Deck{Opening: 6.3, Water: .45, Rate: 1}, qty.Exactly(.15), qty.Exactly(1))
	check("worms at a deck of the table", c.Worms, qty.Exactly(.4), qty.Exactly(.9))
	// A farm that weighed its runs has the range of its own cut, and not that of the assumption.
	own := qty.Estimate{Best: 1.1, Low: 1.05, High: 1.15}
	c = closed.CutOf(quarter, qty.Exactly(.15), own)
	check("through by the farm's own cut", c.Through, closed.CutOf(quarter, qty.Exactly(.15), qty.Exactly(own.Low)).Through, closed.CutOf(quarter, qty.Exactly(.15), qty.Exactly(own.High)).Through)
}

// All doubts at once, against plain random draws made here, with another generator
// and S4 to S10 written out again.
func TestRangesAgainstPlainDraws(t *testing.T) {
	p := parameters(t)
	for _, d := range []harvest.Deck{quarter, {Opening: 3.18, Water: .52, Rate: 1.5, Drum: true}, {Opening: 9.5, Water: .4, Rate: 1}} {
		source := rand.New(rand.NewChaCha8([32]byte{7}))
		draw := func(e qty.Estimate, fraction bool) float64 { return mix.Draw(e, fraction, source.NormFloat64()) }
		const n = 20000
		var through, cocoons, worms, threads []float64
		for range n {
			opening, w, rate := d.Opening*draw(p.OpeningSaid, false), draw(qty.Estimate{Best: float64(d.Water), Low: float64(d.Water) + p.WaterOff.Low, High: float64(d.Water) + p.WaterOff.High}, true), d.Rate*draw(p.RateSaid, false)
			d50, ep := draw(p.CutOff, false)*opening, draw(p.Steepness, false)*opening
			if k := draw(p.DrumFactor, false); d.Drum {
				ep *= k
			}
			ep *= 1 + min(1, max(0, (w-p.Sticky)/(p.Balls-p.Sticky)))*(draw(p.WetFlat, false)-1)
			ep *= 1 + draw(p.RateFlat, false)*max(0, rate-1)
			over := func(x float64) float64 { return 1 / (1 + math.Exp(-math.Log(3)*(x-d50)/ep)) }
			chips, sum := draw(p.Chips, true), 0.0
			for k := range p.SizeCastings {
				const steps = 20
				for i := range steps {
					x := p.SizeMM[k] + (p.SizeMM[k+1]-p.SizeMM[k])*(float64(i)+.5)/steps
					sum += ((1-chips)*p.SizeCastings[k] + chips*p.SizeChips[k]) * (1 - over(x)) / steps
				}
			}
			through = append(through, sum)
			width, free := draw(p.CocoonWidth, false), draw(p.CocoonFree, true)
			cocoons = append(cocoons, 1-free*math.Erfc(-(opening-width)/p.CocoonSD/math.Sqrt2)/2-(1-free)*(1-over(2*width)))
			z, held := source.NormFloat64(), 0.0
			for k := 1; k < len(p.AdultMM); k++ {
				if opening > p.AdultMM[k-1] && opening <= p.AdultMM[k] {
					at := func(k int) float64 {
						return mix.Draw(qty.Estimate{Best: p.AdultHeld[k], Low: p.AdultLow[k], High: p.AdultHigh[k]}, true, z)
					}
					held = at(k-1) + (at(k)-at(k-1))*(opening-p.AdultMM[k-1])/(p.AdultMM[k]-p.AdultMM[k-1])
				}
			}
			worms = append(worms, held)
			deck, kept := draw(p.FineDeck, false), draw(p.FineShare, true)
			threads = append(threads, 1-(1-kept)*max(0, 1-opening/deck))
		}
		c := p.CutOf(d, p.Chips, qty.Exactly(1))
		for _, x := range []struct {
			what  string
			got   qty.Estimate
			drawn []float64
		}{{"through", c.Through, through}, {"cocoons", c.Cocoons, cocoons}, {"worms", c.Worms, worms}, {"threads", c.Threads, threads}} {
			slices.Sort(x.drawn)
			low, high := min(x.got.Best, x.drawn[n/20]), max(x.got.Best, x.drawn[n-n/20])
			// An end of 1000 runs is off by some 0.7 points of 100 in chance; the ranges are a
			// few tenths wide there.
			if math.Abs(x.got.Low-low) > .015 || math.Abs(x.got.High-high) > .015 {
				t.Errorf("%.3g mm, %s: %.3f to %.3f, by %d plain draws %.3f to %.3f", d.Opening, x.what, x.got.Low, x.got.High, n, low, high)
			}
		}
		t.Logf("%.3g mm: through %.0f (%.0f to %.0f), cocoons kept %.0f (%.0f to %.0f), worms %.0f (%.0f to %.0f), threads %.0f (%.0f to %.0f) of 100", d.Opening, 100*c.Through.Best, 100*c.Through.Low, 100*c.Through.High, 100*c.Cocoons.Best, 100*c.Cocoons.Low, 100*c.Cocoons.High, 100*c.Worms.Best, 100*c.Worms.Low, 100*c.Worms.High, 100*c.Threads.Best, 100*c.Threads.Low, 100*c.Threads.High)
	}
}

// The same question has the same answer, and no part leaves 0 to 1.
func TestRangesHold(t *testing.T) {
	p := parameters(t)
	for _, mm := range []float64{.5, 2, 6.35, 12.7, 50} {
		for _, w := range []qty.WaterOfWet{0, .3, .55, .95} {
			d := harvest.Deck{Opening: mm, Water: w, Rate: 3}
			c := p.CutOf(d, p.Chips, qty.Exactly(1))
			if again := p.CutOf(d, p.Chips, qty.Exactly(1)); again != c {
				t.Errorf("%g mm at %g: %+v, then %+v", mm, float64(w), c, again)
			}
			for _, e := range []qty.Estimate{c.Through, c.Cocoons, c.Worms, c.Threads} {
				if !(e.Low >= 0 && e.Low <= e.Best && e.Best <= e.High && e.High <= 1) {
					t.Errorf("%g mm at %g: %+v", mm, float64(w), e)
				}
			}
		}
	}
}
