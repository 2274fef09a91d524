package source

import (
	"testing"

	"wormyard/harvest"
	"wormyard/round"
)

// The round stops feeding before a harvest as long as the steps of a harvest say: the
// two files hold one number.
func TestFeedingStopsOnce(t *testing.T) {
	var r round.Parameters
	if err := Load("round", &r); err != nil {
		t.Fatal(err)
	}
	var h harvest.Parameters
	if err := Load("harvest", &h); err != nil {
		t.Fatal(err)
	}
	if r.StopFeedDays != h.StopFeed {
		t.Errorf("the round stops feeding %g days before a harvest, the steps of a harvest %g", r.StopFeedDays, h.StopFeed)
	}
}
