package web

import (
	"strings"
	"testing"
	"time"

	"wormyard/internal/app"
	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/twin"
)

// TestLearnedInWords says what moved the twins with its number, what they had and
// have, in the reader's units and language. Numbers by hand: 2.78 °C are 5 °F, 15 °C
// are 59 °F, 0.381 m are 15 in, 3 kg are 6.61 lb.
func TestLearnedInWords(t *testing.T) {
	now := time.Date(2026, 3, 12, 16, 0, 0, 0, time.UTC)
	at := func(v float64) twin.Range { return twin.Range{Low: v, Mid: v, High: v} }
	all := []app.Learned{
		{At: now.AddDate(0, 0, -2), Kind: twin.Temperature, Value: 15 - 2.78, DepthM: 0.1524, Before: at(15), After: at(13), Believed: true},
		{At: now.AddDate(0, 0, -2), Kind: twin.Temperature, Value: 40, DepthM: 0.1524, Before: at(15), After: at(15)},
		{At: now.AddDate(0, 0, -3), Kind: twin.Height, Value: 0.381, Before: at(0.3048), After: at(0.33), Believed: true},
		{At: now.AddDate(0, 0, -3), Kind: twin.WormsSeen, Word: "few", Before: at(3), After: at(2.5), Believed: true},
		{At: now.AddDate(0, 0, -3), Kind: twin.Squeezed, Word: "drips", Before: at(0.7), After: at(0.75), Believed: true},
		{At: now, Kind: twin.Temperature, Value: 15 + 17, DepthM: 0.1016, Before: at(13), After: at(17), Believed: true, InPart: true},
		{At: now, Kind: twin.WormsNumber, Value: 14400720, Before: at(1)},
		{At: now, Kind: twin.Smell, Word: "sour", Believed: true}, // of no number
	}
	wants := map[string][][]string{
		"en": {{"6 in was 5 °F colder", "had 59 °F", "have 55 °F"}, {"45 °F warmer", "moved nothing"}, {"15 in high", "12 in", "13 in"}, {"few", "6.61 lb", "5.51 lb"}, {"drips", "70 %", "75 %"}, {"have 63 °F", "counts only in part until it is read once more"}, {"14,400,720 worms", "moved nothing"}},
		"es": {{"6 in de hondo", "5 °F menos", "59 °F", "55 °F"}, {"45 °F más", "no movió nada"}, {"15 in de alto"}, {"pocas", "6.61 lb"}, {"70 %", "75 %"}, {"63 °F", "solo cuenta en parte"}, {"14,400,720", "no movió nada"}},
	}
	for _, c := range []*words.Catalogue{words.English(), words.Spanish()} {
		got, want := Learned(all, c, qty.US, time.UTC, now), wants[c.Language()]
		if len(got) != len(want) {
			t.Fatalf("%s: %d sentences, want %d: %q", c.Language(), len(got), len(want), got)
		}
		for i, pieces := range want {
			plain := strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2212", "-").Replace(got[i])
			for _, piece := range pieces {
				if !strings.Contains(plain, piece) {
					t.Errorf("%s: %q is not in %q", c.Language(), piece, plain)
				}
			}
			if strings.Contains(got[i], "learned.") || strings.Contains(got[i], "%!") {
				t.Error(got[i])
			}
		}
	}
}
