package runners_test

import (
	"testing"

	"wormyard/internal/nature"
	"wormyard/internal/published"
	"wormyard/internal/published/runners"
)

// byFigures compares the checks of a file that name a figure.
func byFigures(t *testing.T, file string) {
	t.Helper()
	n, err := nature.Load()
	if err != nil {
		t.Fatal(err)
	}
	published.RunFigures(t, published.Open(t, file), n.Figures())
}

func TestPublished_ASHRAE2017Chapter1(t *testing.T) {
	byFigures(t, "ashrae_2017_chapter1")
	runners.Run(t, "ashrae_2017_chapter1")
}

func TestPublished_IAPWSIF97(t *testing.T) {
	byFigures(t, "iapws_if97")
	runners.Run(t, "iapws_if97")
}

func TestPublished_ReferenceComputedClimate(t *testing.T) {
	byFigures(t, "reference_computed_climate")
	runners.Run(t, "reference_computed_climate")
}

func TestPublished_ReferenceComputedResponses(t *testing.T) {
	byFigures(t, "reference_computed_responses")
	runners.Run(t, "reference_computed_responses")
}

func TestPublished_ReferenceComputedWorms(t *testing.T) {
	byFigures(t, "reference_computed_worms")
	runners.Run(t, "reference_computed_worms")
}

func TestPublished_Tsukamoto1977(t *testing.T) { runners.Run(t, "tsukamoto_1977") }

func TestPublished_Tripathi2004(t *testing.T) { runners.Run(t, "tripathi_2004") }

func TestPublished_Venter1988(t *testing.T) {
	byFigures(t, "venter_1988")
	runners.Run(t, "venter_1988")
}

func TestPublished_CEH2016(t *testing.T) { byFigures(t, "ceh_2016") }

func TestPublished_Reinecke1990(t *testing.T) {
	byFigures(t, "reinecke_1990")
	runners.Run(t, "reinecke_1990")
}

func TestPublished_Reinecke1985(t *testing.T) { runners.Run(t, "reinecke_1985") }

func TestPublished_Zeguerrou2019(t *testing.T) {
	byFigures(t, "zeguerrou_2019")
	runners.Run(t, "zeguerrou_2019")
}

func TestPublished_ReferenceComputedCases(t *testing.T) {
	byFigures(t, "reference_computed_cases")
	runners.Run(t, "reference_computed_cases")
}

func TestPublished_RothamstedCurve(t *testing.T) { byFigures(t, "rothamsted_curve") }
