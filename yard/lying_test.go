package yard_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wormyard/feedstock"
	"wormyard/qty"
	"wormyard/yard"
)

// What lies there and what is gone make what came, for ash and by pool, whatever
// was brought and taken on the way.
func TestLyingKeepsAccount(t *testing.T) {
	p, air := parameters(t), steady(12)
	rapid.Check(t, func(rt *rapid.T) {
		var l yard.Lying
		for hour := int64(0); hour < 24*40; hour += 24 * rapid.Int64Range(1, 12).Draw(rt, "days") {
			l.Lie(p, air, hour)
			m := matter(t, rapid.SampledFrom([]string{"horse manure with bedding", "dairy solids, separated", "leaves, loose dry"}).Draw(rt, "what"), qty.CubicMetre(rapid.Float64Range(0.3, 8).Draw(rt, "m3")))
			l.Receive(p, air, hour, m, m, float64(hour), nil)
			l.Take(p, air, rapid.Float64Range(0, 0.9).Draw(rt, "taken"))
		}
		l.Lie(p, air, 24*50)
		if d := math.Abs(float64(l.Matter.Ash-l.Came.Ash)) / float64(l.Came.Ash); d > 1e-9 {
			rt.Fatalf("ash that lies there is off by %g from ash that came", d)
		}
		x := l.Lain()
		for _, c := range []struct{ is, was, share float64 }{
			{float64(l.Matter.Quick), float64(l.Came.Quick), x.Quick}, {float64(l.Matter.Slow), float64(l.Came.Slow), x.Slow}, {float64(l.Matter.Woody), float64(l.Came.Woody), x.Woody},
		} {
			if math.Abs(c.was*c.share-c.is) > 1e-6*c.was || c.share > 1 {
				rt.Fatalf("of %g kg %g lie there, told as a share of %g", c.was, c.is, c.share)
			}
		}
		if n := float64(l.Matter.TotalNitrogen()); n > float64(l.Came.TotalNitrogen())*(1+1e-9) {
			rt.Fatal("nitrogen came from nowhere")
		}
		if x.Days < 10 || x.Days > 50 {
			rt.Fatalf("it has lain %g days", float64(x.Days))
		}
	})
}

// A heap followed so is the heap that Follow follows: the shares are those of its
// pools.
func TestLyingIsThePile(t *testing.T) {
	p, air := parameters(t), steady(10)
	m := matter(t, "horse manure with bedding", 5)
	for _, days := range []float64{1, 7, 42} {
		s, _ := follow(t, p, air, days, received(m))
		var l yard.Lying
		l.Receive(p, air, 0, m, m, 0, nil)
		l.Lie(p, air, int64(days*24))
		if x := l.Lain(); math.Abs(x.Quick*float64(m.Quick)-float64(s.Matter.Quick)) > 1e-6*float64(m.Quick) || math.Abs(float64(x.Days)-days) > 1e-9 {
			t.Errorf("after %g days %g of the quick is left, and the pile has %g kg of %g", days, x.Quick, s.Matter.Quick, m.Quick)
		}
		// A cubic metre dug loose has the dry mass that one had when it came.
		if a, b := l.Loose(), m; math.Abs(float64(a.Dry)/float64(a.Volume)-float64(b.Dry)/float64(b.Volume)) > 1e-6 {
			t.Errorf("after %g days a loose cubic metre has %g kg dry, it had %g", days, float64(a.Dry)/float64(a.Volume), float64(b.Dry)/float64(b.Volume))
		}
	}
}

// A heap grows calmer with every week it lies, down to where a hand can lay it.
func TestLyingCalms(t *testing.T) {
	p, air := parameters(t), steady(10)
	m := matter(t, "horse manure with bedding", 5)
	var l yard.Lying
	l.Receive(p, air, 0, m, m, 0, nil)
	last, quick := math.Inf(1), 2.0
	for week := range int64(9) {
		l.Lie(p, air, week*7*24)
		if laid := l.Laid(p); laid > last+1e-9 || l.Lain().Quick > quick && week > 0 {
			t.Errorf("in week %d a thin layer would grow %.2f C warm, a week before %.2f", week, laid, last)
		} else {
			last, quick = laid, l.Lain().Quick
		}
	}
	if quick > 0.3 {
		t.Errorf("after eight weeks in a hot heap %.2f of the quick is left", quick)
	}
}

// A test that tells more of what came changes what lies there as much: with twice
// the nitrogen found, twice lies there; a measured moisture is that of the heap.
func TestLyingIsTested(t *testing.T) {
	p, air := parameters(t), steady(10)
	m := matter(t, "dairy solids, separated", 5)
	var l yard.Lying
	l.Receive(p, air, 0, m, m, 0, nil)
	l.Lie(p, air, 24*20)
	before := l.Matter
	more := m
	more.Nitrogen *= 2
	l.Known(more)
	if a, b := float64(l.Matter.Nitrogen), 2*float64(before.Nitrogen); math.Abs(a-b) > 1e-9*b || math.Abs(float64(l.Matter.Quick-before.Quick)) > 1e-9 {
		t.Errorf("%g kg of nitrogen after the test, want %g; quick %g, was %g", a, b, l.Matter.Quick, before.Quick)
	}
	l.Wet(0.6)
	if w := float64(l.Matter.WaterContent()); math.Abs(w-0.6) > 1e-12 {
		t.Errorf("moisture %g after 0.6 was measured", w)
	}
	var none yard.Lying
	none.Known(feedstock.Matter{})
	none.Lie(p, air, 100)
	none.Take(p, air, 1)
}
