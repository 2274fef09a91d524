package source

import (
	"slices"
	"testing"

	"wormyard/journal"
)

func TestTroubleIsWhole(t *testing.T) {
	b, err := Trouble()
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Causes()) < 10 || len(b.Looks()) < 10 {
		t.Errorf("%d causes, %d looks", len(b.Causes()), len(b.Looks()))
	}
	for _, c := range b.Causes() {
		if len(c.Do) == 0 || len(c.Not) == 0 {
			t.Errorf("%s: nothing to do, or nothing to leave", c.Key)
		}
	}
	var signs []string
	for _, l := range b.Looks() {
		for _, a := range l.Answers {
			if a.Sign != "" {
				signs = append(signs, a.Sign)
			}
		}
	}
	if !slices.Equal(signs, journal.Signs) {
		t.Errorf("the signs of the data and those of the journal differ:\n%q\n%q", signs, journal.Signs)
	}
}

func TestLimitsOfTrouble(t *testing.T) {
	l, err := TroubleLimits()
	if err != nil {
		t.Fatal(err)
	}
	if l.ColdC >= l.HotC || l.Dry >= l.Wet || l.Acid >= l.Alkaline || l.FedDays >= l.LongDays {
		t.Errorf("limits cross: %+v", l)
	}
}

func TestTruckItems(t *testing.T) {
	items, err := Truck()
	if err != nil {
		t.Fatal(err)
	}
	var parts []string
	for _, i := range items {
		parts = append(parts, i.Item)
	}
	if !slices.Equal(parts, journal.TruckParts) {
		t.Errorf("the items of the data and the parts of the journal differ:\n%q\n%q", parts, journal.TruckParts)
	}
}
