package lot_test

import (
	"testing"

	"wormyard/internal/source"
	"wormyard/lot"
	"wormyard/qty"
)

// Sizes by the definitions of the units (Q10.1, Q10.2): 1 ft³ is 28.316846592 L, so
// 28.3 L; 25 L is 0.882867 ft³, so 0.882 and not 0.883, which would be more than is
// in it; 2 yd³ is 1.529109716 m³, so 1.52; 4 dry quarts is 4.40488377 L.
func TestNetVolume(t *testing.T) {
	for _, c := range []struct {
		m3         float64
		us, metric string
	}{
		{0.028316846592, "1 ft³", "28.3 L"},
		{0.0283, "0.999 ft³", "28.3 L"},
		{0.02831685, "1 ft³", "28.3 L"},
		{0.025, "0.882 ft³", "25 L"},
		{2 * 0.764554857984, "2 yd³", "1.52 m³"},
		{4 * 0.001101220942715, "4 dry qt", "4.4 L"},
		{1.5 * 0.028316846592, "1.5 ft³", "42.4 L"},
	} {
		if us, metric := lot.NetVolume(qty.CubicMetre(c.m3)); us != c.us || metric != c.metric {
			t.Errorf("%g m3 is %s, %s; want %s, %s", c.m3, us, metric, c.us, c.metric)
		}
	}
	// 40 lb is 18.1436948 kg, so 18.1; 20 kg is 44.0925 lb, so 44.
	if us, metric := lot.NetMass(18.1436948); us != "40 lb" || metric != "18.1 kg" {
		t.Errorf("40 lb is %s, %s", us, metric)
	}
	if us, metric := lot.NetMass(20); us != "44 lb" || metric != "20 kg" {
		t.Errorf("20 kg is %s, %s", us, metric)
	}
}

// 14.158 kg is 31.21 lb, 0.0996 kg is 0.2196 lb: two figures of each.
func TestAboutMass(t *testing.T) {
	for _, c := range []struct {
		kg         float64
		us, metric string
	}{{14.158, "31 lb", "14 kg"}, {0.0996, "0.22 lb", "0.1 kg"}, {535, "1,200 lb", "540 kg"}, {0, "0 lb", "0 kg"}} {
		if us, metric := lot.AboutMass(qty.WetKg(c.kg)); us != c.us || metric != c.metric {
			t.Errorf("%g kg is about %s, %s; want %s, %s", c.kg, us, metric, c.us, c.metric)
		}
	}
}

// Letters of a sixteenth, an eighth, three sixteenths, a quarter and a half of an
// inch, at the areas' ends and just above them [in², in].
func TestNetLetter(t *testing.T) {
	var p lot.Panel
	if err := source.Load("label", &p); err != nil {
		t.Fatal(err)
	}
	const inch = 0.0254
	for _, c := range []struct{ area, letter float64 }{{1, 1. / 16}, {5, 1. / 16}, {5.1, 1. / 8}, {25, 1. / 8}, {25.1, 3. / 16}, {100, 3. / 16}, {101, 1. / 4}, {400, 1. / 4}, {401, 1. / 2}} {
		if got := float64(p.NetLetter(qty.SquareMetre(c.area*inch*inch))) / inch; got < c.letter*0.9999 || got > c.letter*1.0001 {
			t.Errorf("%g square inches: letters of %g in, want %g", c.area, got, c.letter)
		}
	}
}
