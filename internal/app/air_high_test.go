package app

import (
	"strings"
	"testing"

	"wormyard/qty"
)

// At 8,000 ft the standard atmosphere has 75.3 kPa (U.S. Standard Atmosphere
// 1976), so vapour spreads 101.3/75.3 times as fast: a third faster.
func TestAFarmHighUpIsToldOf(t *testing.T) {
	got := highUp(2438, qty.US)
	if len(got) != 1 || !strings.Contains(got[0], "8,000 ft") || !strings.Contains(got[0], "35 %") {
		t.Errorf("%q", got)
	}
	if got := highUp(300, qty.US); got != nil {
		t.Errorf("%q", got)
	}
}
