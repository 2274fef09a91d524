package runners_test

import (
	"testing"

	"wormyard/internal/nature"
	"wormyard/internal/published"
	"wormyard/internal/published/runners"
)

func TestPublished_NISTHandbook44AppendixC(t *testing.T) { runners.Run(t, "nist_hb44_appendix_c") }

func TestPublished_BriggsConversionOfFactors(t *testing.T) {
	runners.Run(t, "briggs_conversion_factors")
}
func TestPublished_BarkerDuckLitterAsAMix(t *testing.T) { runners.Run(t, "barker_duck_litter") }
func TestPublished_FidanzaAsAMix(t *testing.T)          { runners.Run(t, "fidanza_mushroom_compost") }
func TestPublished_MixByHandAsAMix(t *testing.T)        { runners.Run(t, "mix_by_hand") }

// Every check of every file is computed by a runner or by a figure of the core,
// and no runner computes a check that is in no file.
func TestEveryCheckIsComputed(t *testing.T) {
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	figures, computed := map[string]bool{}, map[string]bool{}
	for _, f := range n.Figures() {
		figures[f.Name] = true
	}
	for _, r := range runners.All() {
		computed[r.File+" "+r.Check] = true
		f, err := published.Read(r.File)
		if err != nil {
			t.Error(err)
			continue
		}
		if _, ok := f.Check(r.Check); !ok {
			t.Errorf("%s has no check %q", r.File, r.Check)
		}
	}
	for _, name := range published.Names() {
		for _, c := range published.Open(t, name).Checks {
			if !figures[c.Figure] && !computed[name+" "+c.ID] {
				t.Errorf("nothing computes %s %s", name, c.ID)
			}
		}
	}
}
