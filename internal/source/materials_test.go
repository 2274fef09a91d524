package source

import (
	"slices"
	"testing"

	"wormyard/feedstock"
	"wormyard/journal"
)

func TestMaterialsLoad(t *testing.T) {
	l, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	if n := len(l.Names()); n < 50 {
		t.Fatalf("%d materials", n)
	}
	again, err := Materials()
	if err != nil || len(again) != len(l.Materials()) {
		t.Error(len(again), err)
	}
}

// Whatever treatment a delivery may declare in the journal is heard by some
// material.
func TestEveryDeclarationIsHeard(t *testing.T) {
	l, err := Library()
	if err != nil {
		t.Fatal(err)
	}
	heard := 0
	for _, k := range journal.Kinds() {
		for _, f := range k.Fields {
			if f.Key != "declared" {
				continue
			}
			for _, c := range f.Choices {
				if c == feedstock.DeclaredNone {
					continue
				}
				heard++
				if !slices.ContainsFunc(l.Materials(), func(m feedstock.Material) bool {
					return slices.ContainsFunc(m.Hazards, func(h feedstock.Hazard) bool { return h.Declared == c })
				}) {
					t.Errorf("nothing hears %q", c)
				}
			}
		}
	}
	if heard == 0 {
		t.Error("no delivery can declare anything")
	}
}
