package round_test

import (
	"math"
	"testing"

	"wormyard/bed"
	"wormyard/round"
)

// What was advised last holds while it is as good: each amount that the round
// itself calls as good as the best is kept when it was the last word, and one that
// it forbids is not.
func TestTheLastAdviceHoldsWhileItIsAsGood(t *testing.T) {
	f := open(t, spring, 40)
	f.p.MostLaid = 1 // what was laid before bounds nothing here
	var c round.Case
	var plain round.Item
	for warm := 13.0; warm <= 19 && len(plain.Others) == 0; warm++ { // where another amount is as good
		c = f.asked(f.history(34), f.air(warm, 3, 0.75))
		plain = f.bin(c)
	}
	if plain.Act != round.Feed || len(plain.Others) == 0 {
		t.Fatalf("no other amount is as good: %s", spoken(plain))
	}
	other := plain.Others[0].Advice()
	c.Was = &other
	if it := f.bin(c); it.Advice().DepthM != other.DepthM || it.Act != round.Feed {
		t.Errorf("last told %.4f m and now %s", other.DepthM, spoken(it))
	}
	c.Was = &round.Advice{Act: round.Feed, Mix: "41", DepthM: 0.1016, Due: true} // deeper than may be
	if it := f.bin(c); math.Abs(it.DepthM-plain.DepthM) > 1e-9 {
		t.Errorf("told four inches before and now %s", spoken(it))
	}
	c.Was = &round.Advice{Act: round.Feed, Mix: "40", DepthM: other.DepthM, Due: true} // none of it is left
	if it := f.bin(c); it.Mix != "41" || math.Abs(it.DepthM-plain.DepthM) > 1e-9 {
		t.Errorf("told another mix before and now %s", spoken(it))
	}
}

// Danger is judged afresh, whatever was advised.
func TestTheLastAdviceHidesNoDanger(t *testing.T) {
	f := open(t, spring, 40)
	h := f.history(36)
	h.Acts = append(h.Acts, bed.Act{Hour: f.now - 30, Kind: bed.Feed, Matter: f.fresh(0.25 * 1.44), DepthM: 0.25, TempC: 25, Layer: 900})
	c := f.asked(h, f.air(20, 3, 0.75))
	c.Was = &round.Advice{Act: round.Rest, Due: true}
	if it := f.bin(c); it.Act != round.Open || it.Urgency != round.Now {
		t.Errorf("asked for %s", spoken(it))
	}
}

// Of a row the bins that were told an amount keep it where it is as good, though
// another would serve more of them; looks and harvests stay where they were.
func TestALineKeepsWhatWasTold(t *testing.T) {
	p := round.Parameters{LookMost: 1, HarvestMost: 1}
	fed := func(bin string, stack int, was *round.Advice, depths ...float64) round.Item {
		it := round.Item{Bin: bin, Barn: "1", Row: "1", Stack: stack, Act: round.Feed, Mix: "41", DepthM: depths[0], Was: was, Urgency: round.Today}
		for _, d := range depths[1:] {
			o := it
			o.DepthM = d
			it.Others = append(it.Others, o)
		}
		return it
	}
	one := &round.Advice{Act: round.Feed, Mix: "41", DepthM: 0.0254}
	items := []round.Item{
		fed("B1", 1, one, 0.0508, 0.0254), fed("B2", 2, nil, 0.0508, 0.0254), fed("B3", 3, nil, 0.0508), fed("B4", 4, nil, 0.0508),
		{Bin: "L1", Barn: "1", Row: "2", Act: round.Rest, Doubt: 0.9, Learn: 1}, {Bin: "L2", Barn: "1", Row: "2", Act: round.Rest, Doubt: 0.4, Learn: 1, Was: &round.Advice{Act: round.Look}},
		{Bin: "H1", Barn: "1", Row: "2", Act: round.Harvest, Value: 0.9}, {Bin: "H2", Barn: "1", Row: "2", Act: round.Harvest, Value: 0.7, Was: &round.Advice{Act: round.Harvest}},
	}
	told := p.Told(round.Made{Items: items})
	if told["B1"].DepthM != 0.0254 || told["B2"].DepthM != 0.0508 {
		t.Errorf("fed %+v and %+v", told["B1"], told["B2"])
	}
	if told["L2"].Act != round.Look || told["L1"].Act != round.Rest {
		t.Errorf("looks: %+v %+v", told["L1"], told["L2"])
	}
	if told["H2"].Act != round.Harvest || told["H1"].Act != round.Rest {
		t.Errorf("harvests: %+v %+v", told["H1"], told["H2"])
	}
	for i := range items {
		items[i].Was = nil
	}
	told = p.Told(round.Made{Items: items})
	if told["B1"].DepthM != 0.0508 || told["L1"].Act != round.Look || told["L2"].Act != round.Rest || told["H1"].Act != round.Harvest || told["H2"].Act != round.Rest {
		t.Errorf("with nothing told before: %+v", told)
	}
}
