package runners_test

import (
	"testing"

	"wormyard/internal/published/runners"
)

func TestPublished_Units1959(t *testing.T)      { runners.Run(t, "units_1959") }
func TestPublished_PotsAndBuckets(t *testing.T) { runners.Run(t, "pots_and_buckets") }
func TestPublished_Chandler1980(t *testing.T)   { runners.Run(t, "chandler_1980") }
func TestPublished_PileLimits(t *testing.T)     { runners.Run(t, "pile_limits") }
