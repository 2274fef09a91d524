package round

import (
	"strings"
	"testing"
	"time"
)

// A feeding is told beside what becomes of the bin without it: hunger where any
// member that tells sees it, else castings, else that it does no harm.
func TestUnfed(t *testing.T) {
	tr := &Trier{P: Parameters{LeastGain: 0.2, HorizonDays: 14}}
	visit := time.Date(2026, 3, 3, 12, 0, 0, 0, time.UTC) // a Tuesday
	c := &Case{Visit: visit.Unix() / 3600, LastFed: visit.Unix()/3600 - 72}
	w := Words{Zone: time.UTC}
	for _, x := range []struct {
		fed, alone verdict
		want       string
	}{
		{verdict{n: 16, castDry: 2, castWet: 8}, verdict{n: 16, hungry: 11.0 / 16, castDry: 1, castWet: 4}, "Left unfed: hungry by Tuesday, 7 in 10."},
		{verdict{n: 16, castDry: 2, castWet: 8}, verdict{n: 16, hungry: 1, castDry: 1, castWet: 4}, "Left unfed: hungry by Tuesday, in all 16 tries."},
		{verdict{n: 16, castDry: 2, castWet: 8}, verdict{n: 16, castDry: 1, castWet: 4}, "of castings less in 14 days."},
		{verdict{n: 16, castDry: 1.1, castWet: 4.4}, verdict{n: 16, castDry: 1, castWet: 4}, "Left unfed: no harm by Tuesday."},
	} {
		if got := w.all(tr.unfed(c, x.fed, x.alone)); !strings.Contains(got, x.want) {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
}
