package runners_test

import (
	"testing"

	"wormyard/internal/published/runners"
)

func TestPublished_NISTHandbook44AppendixC(t *testing.T) { runners.Run(t, "nist_hb44_appendix_c") }

func TestPublished_BriggsConversionOfFactors(t *testing.T) {
	runners.Run(t, "briggs_conversion_factors")
}
func TestPublished_BarkerDuckLitterAsAMix(t *testing.T) { runners.Run(t, "barker_duck_litter") }
func TestPublished_FidanzaAsAMix(t *testing.T)          { runners.Run(t, "fidanza_mushroom_compost") }
func TestPublished_MixByHandAsAMix(t *testing.T)        { runners.Run(t, "mix_by_hand") }
