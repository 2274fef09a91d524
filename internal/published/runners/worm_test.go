package runners_test

import (
	"testing"

	"wormyard/internal/published/runners"
)

func TestPublished_IncubationTimes(t *testing.T) {
	byFigures(t, "incubation_times")
	runners.Run(t, "incubation_times")
}

func TestPublished_MaturationTimes(t *testing.T) {
	byFigures(t, "maturation_times")
	runners.Run(t, "maturation_times")
}

func TestPublished_GrowthTimes(t *testing.T) { runners.Run(t, "growth_times") }

func TestPublished_Gunadi2002(t *testing.T) { runners.Run(t, "gunadi_2002") }

func TestPublished_Neuhauser1980(t *testing.T) { runners.Run(t, "neuhauser_1980") }

func TestPublished_Phillipson1976(t *testing.T) { runners.Run(t, "phillipson_1976") }

func TestPublished_WormBedsMeasured(t *testing.T) { runners.Run(t, "worm_beds_measured") }

func TestPublished_Johnston2014(t *testing.T) { runners.Run(t, "johnston_2014") }

func TestPublished_Ndegwa2000(t *testing.T) { runners.Run(t, "ndegwa_2000") }

func TestPublished_Kaplan1980(t *testing.T) { runners.Run(t, "kaplan_1980") }
