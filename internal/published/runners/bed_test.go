package runners_test

import (
	"testing"

	"wormyard/internal/published/runners"
)

func TestPublished_Michel2004(t *testing.T) { runners.Run(t, "michel_2004") }

func TestPublished_Sommer1999(t *testing.T) { runners.Run(t, "sommer_1999") }

func TestPublished_DairyCompostVolume(t *testing.T) { runners.Run(t, "dairy_compost_volume") }

func TestPublished_WormWindrowPlan(t *testing.T) { runners.Run(t, "worm_windrow_plan") }
