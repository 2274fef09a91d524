package twin_test

import (
	"math"
	"slices"
	"testing"

	"wormyard/bed"
	"wormyard/twin"
)

// Percentiles by weights that are whole fourths are those of a list in which each
// value stands as many times as its weight has fourths, but for how far one value
// is from the next.
func TestRangesByWeights(t *testing.T) {
	var v, w, list []float64
	for i := range 32 {
		x := math.Mod(float64(i)*0.618034, 1)
		v, w = append(v, x, 5+x), append(w, 3.0/128, 1.0/128)
		list = append(list, x, x, x, 5+x)
	}
	slices.Sort(list)
	got := twin.RangeBy(slices.Clone(v), w)
	for _, q := range []struct {
		at, got float64
	}{{0.05, got.Low}, {0.5, got.Mid}, {0.95, got.High}} {
		want := list[int(q.at*float64(len(list)))]
		if math.Abs(q.got-want) > 2.0/32+0.02 { // one step of either branch, and the wider ends of few members (T8)
			t.Errorf("%.0f %%: %.3f, the list has %.3f", 100*q.at, q.got, want)
		}
	}
	if !(got.Low < 1 && got.Mid < 1 && got.High > 5) {
		t.Errorf("a fourth lies beyond 5, and the range is %+v", got)
	}
	for i := range w { // one branch alone
		w[i] = float64((i + 1) % 2)
	}
	var one []float64
	for i := 0; i < len(v); i += 2 {
		one = append(one, v[i])
	}
	whole, by := twin.RangeOf(one), twin.RangeBy(slices.Clone(v), w)
	if math.Abs(whole.Mid-by.Mid) > 1e-12 {
		t.Errorf("with one branch of no weight %+v, of the other alone %+v", by, whole)
	}
}

// Two branches side by side are run on as each alone, to the bit: nothing passes
// between them, so that each closes its own balance, and what is in one only is in
// the other's range as nothing.
func TestBranchesStayApart(t *testing.T) {
	b := open(t)
	c := b.crew()
	h := b.history(5)
	from := b.run(c, h, 28)
	fed := h
	at := from.Hour + 12
	feed := bed.Act{Hour: at, Kind: bed.Feed, Matter: b.feed.Times(0.0508 * 1.44), DepthM: 0.0508, TempC: math.NaN(), Layer: 1 << 40}
	i := slices.IndexFunc(h.Acts, func(a bed.Act) bool { return a.Hour > at })
	fed.Acts = slices.Insert(slices.Clone(h.Acts), i, feed)
	now := b.begin + 30*24
	run := func(h twin.History) *twin.Ensemble {
		e := from.Clone()
		if err := c.Advance(e, h, b.air(), now, nil); err != nil {
			t.Fatal(err)
		}
		return e
	}
	none, done := run(h), run(fed)
	both := twin.Either(none, done, 0.25)
	last := make([]float64, 2*twin.Members)
	deep := func(e *twin.Ensemble, out []float64) {
		err := c.Forecast(e, h, b.air(), now+7*24, func(m int, s *bed.State, _ bed.Day) {
			out[m] = 0
			for i := range s.Layers {
				out[m] += s.Layers[i].DepthM + s.Layers[i].TempC
			}
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	deep(both, last)
	alone := make([]float64, 2*twin.Members)
	deep(none, alone[:twin.Members])
	deep(done, alone[twin.Members:])
	if !slices.Equal(last, alone) {
		t.Error("the branches run on differently side by side than alone")
	}
	thick := func(m *twin.Member) float64 {
		var d float64
		for i := range m.State.Layers {
			if l := &m.State.Layers[i]; l.ID == feed.Layer {
				d += l.DepthM
			}
		}
		return d
	}
	d, r := done.Over(thick), both.Over(thick)
	if r.Low != 0 || r.Mid != 0 || r.High < d.Low || r.High > d.High {
		t.Errorf("of nothing and, one in four, %+v the range is %+v", d, r)
	}
	if got := both.Share(func(m *twin.Member) bool { return thick(m) > 0 }); math.Abs(got-0.25) > 1e-12 {
		t.Errorf("there with a chance of %g", got)
	}
	outs, err := c.Try(both, []int{3, 3 + twin.Members}, h, b.air(), twin.Trial{Soon: now + 72, Visit: now + 96, Until: now + 14*24}, nil)
	if err != nil || len(outs) != 2 || outs[1].LeftKg <= outs[0].LeftKg {
		t.Errorf("of the fed branch more is left at the visit: %v, %v", outs, err)
	}
}
