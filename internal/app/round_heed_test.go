package app

import (
	"testing"
	"time"

	"wormyard/journal"
	"wormyard/qty"
	"wormyard/round"
)

// What is written of a bin reaches its advice: a hold until it is fed again, and
// bought worms until their time apart is over.
func TestTheRoundHeedsHoldsAndBoughtWorms(t *testing.T) {
	f := smallFarm(t)
	f.write(f.now, "hold", &journal.Hold{Bin: "B2", Why: "sour smell"})
	f.write(f.now, "stock", &journal.Stock{Bins: []string{"B4"}, Kg: qty.LiveKg(2), Bought: true})
	of := func(bin string) round.Case {
		s := f.app.State()
		b, ok := s.Bin(bin)
		if !ok {
			t.Fatal(bin)
		}
		air, err := f.twins.airFor(s, f.now)
		if err != nil {
			t.Fatal(err)
		}
		h, _, _ := f.twins.history(s, b, air)
		mixes, _ := f.twins.mixes(s, air, f.now)
		return f.twins.caseOf(s, b, h, nil, air.At("1", 1), f.now, mixes)
	}
	hour := f.now.Unix() / 3600
	if c := of("B2"); c.Held.Since != hour || c.Held.Why != "sour smell" || c.Apart.Until != 0 {
		t.Errorf("on hold: %+v %+v", c.Held, c.Apart)
	}
	if c := of("B4"); c.Held.Since != 0 || c.Apart.Since != hour || c.Apart.Until <= hour {
		t.Errorf("with bought worms: %+v %+v", c.Held, c.Apart)
	}
	if c := of("B6"); c.Held.Since != 0 || c.Apart.Until != 0 {
		t.Errorf("of neither: %+v %+v", c.Held, c.Apart)
	}
	if c := of("B6"); c.MostM != 0 {
		t.Errorf("nobody said how deep is too deep: %g", c.MostM)
	}
	f.write(f.now, "setting", &journal.Setting{Key: "habits", Value: []byte(`{"feed_every_days":4,"feed_most_m":0.0508}`)})
	if c := of("B6"); c.MostM != 0.0508 {
		t.Errorf("never more than two inches: %g m", c.MostM)
	}
	f.feed(f.now, "B2")
	if c := of("B2"); c.Held.Since != 0 {
		t.Errorf("fed and still on hold: %+v", c.Held)
	}
	f.now = f.now.AddDate(1, 0, 0)
	if c := of("B4"); c.Apart.Until != 0 {
		t.Errorf("a year later: %+v", c.Apart)
	}
}

// A dial that has a name is still a dial: what it reads far beyond what is expected
// opens the bin.
func TestADialWithANameIsHeeded(t *testing.T) {
	f := smallFarm(t)
	f.now = midsummer.AddDate(0, 0, 3)
	temp, deep := qty.Celsius(55), qty.Metre(0.1)
	f.write(f.now.Add(-time.Hour), "reading", &journal.Reading{Bin: "B2", TempC: &temp, DepthM: &deep, Probe: "dial", ProbeID: "D1"})
	it := itemOf(t, f.make(), "B2")
	if it.Act != round.Open || it.Urgency != round.Now {
		t.Errorf("a dial that reads 55 C in a mild bed brings %q, %q for %v", it.Act, it.Urgency, it.Why)
	}
}
