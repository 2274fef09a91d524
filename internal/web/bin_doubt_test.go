package web

import (
	"strings"
	"testing"
	"time"

	"wormyard/farm"
	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/twin"
)

// TestUnbelievedInWords says each cause with its number, day and next act in the
// reader's units and language.
func TestUnbelievedInWords(t *testing.T) {
	now := time.Date(2026, 3, 12, 16, 0, 0, 0, time.UTC)
	read := func(probe, id string, days int, c float64) *farm.Reading {
		temp, depth := qty.Celsius(c), qty.Metre(0.1524)
		return &farm.Reading{Noted: farm.Noted{At: now.AddDate(0, 0, -days)}, Temp: &temp, Depth: &depth, Probe: probe, ProbeID: id}
	}
	dial, logger := read("dial", "", 1, 35), read("logger", "7", 1, 16)
	all := []farm.Unbelieved{
		{Cause: twin.Impossible, N: 3, First: read("logger", "7", 2, -50), Last: read("logger", "7", 1, -50)},
		{Cause: twin.Stuck, N: 90, First: read("logger", "8", 6, 21), Last: read("logger", "8", 1, 21)},
		{Cause: twin.Spike, N: 1, First: read("logger", "9", 1, 35), Last: read("logger", "9", 1, 35)},
		{Cause: twin.OtherUnit, N: 1, First: dial, Last: read("dial", "", 1, -50.0/9), As: 200.0 / 9, Expect: 20},
		{Cause: twin.Apart, N: 1, First: dial, Last: dial, Other: logger, Far: true},
		{Cause: twin.Apart, N: 1, First: logger, Last: logger, Other: dial},
		{Cause: twin.Spike, N: 1, First: read("other", "", 40, 35), Last: read("other", "", 40, 35)}, // long ago
		{Cause: twin.Impossible, Air: true, N: 1, First: read("logger", "5", 1, 85), Last: read("logger", "5", 1, 85)},
	}
	wants := map[string][][]string{
		"en": {{"-58 °F at 6 in", "3 readings", "battery"}, {"logger (8) says 70 °F", "nothing else"}, {"95 °F at 6 in", "back within hours"}, {"22 °F", "72 °F", "68 °F", "If so, strike it and write 22 °C; if 22 °F is right, write it once more and say yes."}, {"A dial", "95 °F", "and a logger (7) said 61 °F", "third thermometer", "nearer to 61 °F"}, {"logger (5) said 185 °F", "air of no barn"}},
		"es": {{"-58 °F a 6 in de hondo", "3 lecturas", "pila"}, {"registrador (8) marca 70 °F"}, {"95 °F", "volvió"}, {"22 °F", "72 °F", "68 °F", "anótela"}, {"Un termómetro de carátula", "95 °F", "y un registrador (7) marcó 61 °F", "tercer termómetro", "cerca de 61 °F"}, {"registrador (5) marcó 185 °F", "granero"}},
	}
	for _, c := range []*words.Catalogue{words.English(), words.Spanish()} {
		p := person{Units: qty.US, Words: c, Zone: time.UTC, Now: now}
		got, want := p.unbelieved(all), wants[c.Language()]
		if len(got) != len(want) {
			t.Fatalf("%s: %d sentences, want %d: %q", c.Language(), len(got), len(want), got)
		}
		for i, pieces := range want {
			plain := strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2212", "-").Replace(got[i])
			for _, piece := range pieces {
				if !strings.Contains(plain, piece) {
					t.Errorf("%s: %q is not in %q", c.Language(), piece, got[i])
				}
			}
			if strings.Contains(got[i], "doubt.") || strings.Contains(got[i], "%!") {
				t.Error(got[i])
			}
		}
	}
}
