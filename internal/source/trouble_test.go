package source

import (
	"slices"
	"strings"
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

// An entry names causes and steps as the data does, with spaces.
func TestRemediesOfTheJournal(t *testing.T) {
	b, err := Trouble()
	if err != nil {
		t.Fatal(err)
	}
	var causes, steps []string
	for _, c := range b.Causes() {
		causes = append(causes, strings.ReplaceAll(c.Key, "_", " "))
		if c.AskDays < 1 {
			t.Errorf("%s: asked after %g days", c.Key, c.AskDays)
		}
		for _, d := range c.Do {
			if name := strings.ReplaceAll(d.Key, "_", " "); !slices.Contains(steps, name) {
				steps = append(steps, name)
			}
			if d.AfterDays > c.AskDays {
				t.Errorf("%s: %s comes after the question", c.Key, d.Key)
			}
		}
	}
	if !slices.Equal(causes, journal.Causes) || !slices.Equal(steps, journal.Steps) {
		t.Errorf("the data and the journal differ:\n%q\n%q\n%q\n%q", causes, journal.Causes, steps, journal.Steps)
	}
}
