package round_test

import (
	"testing"

	"wormyard/round"
)

// A farm that never feeds more than half an inch is not told to, and is told what
// that costs only where more would make materially more; the price is what its own
// tries say.
func TestAHabitIsKeptAndPriced(t *testing.T) {
	f := open(t, spring, 40)
	c := f.asked(f.history(34), f.air(14, 3, 0.75))
	free := f.bin(c)
	if free.Act != round.Feed || free.DepthM < 2*0.0127 {
		t.Fatalf("no deep feeding to forbid: %s", spoken(free))
	}
	priced := func(it round.Item) *round.Phrase {
		for i := range it.Why {
			if it.Why[i].Key == "why.habit" {
				return &it.Why[i]
			}
		}
		return nil
	}
	c.MostM = 0.0127
	it := f.bin(c)
	if it.DepthM > c.MostM*1.001 {
		t.Errorf("deeper than the farm ever feeds: %s", spoken(it))
	}
	for _, o := range it.Others {
		if o.DepthM > c.MostM*1.001 {
			t.Errorf("as good, and deeper than the farm ever feeds: %s", spoken(o))
		}
	}
	p := priced(it)
	if p == nil {
		t.Fatalf("materially less (%.2f against %.2f kg) and no price told", it.Value, free.Value)
	}
	if deep, kg := p.Args[1].V, p.Args[2].V; deep <= c.MostM || kg <= 0 {
		t.Errorf("priced at %.1f kg of %.4f m", kg, deep)
	}
	c.MostM = 0.1016 // what is never tried deeper costs nothing
	if it := f.bin(c); it.DepthM != free.DepthM || priced(it) != nil {
		t.Errorf("a habit that forbids nothing: %s", spoken(it))
	}
}
