package draw

import (
	"math"
	"strconv"
	"testing"
)

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Limits that lie close together, under the title or far up a scale, are written
// apart from each other and from the word over today.
func TestLimitsAreWrittenApart(t *testing.T) {
	for _, high := range []float64{87, 96, 100, 160, 700} {
		s := Series{Days: []float64{0, 7, 14, 21, 28}, Low: []float64{40, 40, 40, 40, 40}, Mid: []float64{50, 50, 50, 50, 50}, High: []float64{60, high, high, 60, 60},
			Today: 14, TodayLabel: "now", Limits: []ValueLimit{{Value: 95, Label: "danger"}, {Value: 86, Label: "refuge"}}}
		f := NewFan(s)
		at := []float64{plotTop - 9}
		for _, l := range f.Limits {
			y := number(t, l.LabelY)
			for _, other := range at {
				if d := y - other; d > -textHigh && d < textHigh {
					t.Errorf("up to %g: %q is written %g from another", high, l.Label, d)
				}
			}
			at = append(at, y)
		}
	}
}

// The rule beside a bed has marks that can be read apart, however deep it is.
func TestMarksOfADeepBed(t *testing.T) {
	for _, deep := range []float64{6, 24, 78, 313} {
		s := NewSection(Bed{Box: 24, DepthBy: 4, Layers: []Layer{{Thick: deep}}})
		for i := 1; i < len(s.DepthTicks); i++ {
			if d := number(t, s.DepthTicks[i].LabelY) - number(t, s.DepthTicks[i-1].LabelY); d < textHigh {
				t.Errorf("%g in deep: marks are %g apart", deep, d)
				break
			}
		}
		if deep > 20 && len(s.DepthTicks) < 4 {
			t.Errorf("%g in deep: %d marks", deep, len(s.DepthTicks))
		}
	}
}

// Worms that are few in each of many layers are drawn as many as they are in all.
func TestFewWormsInManyLayersAreDrawn(t *testing.T) {
	for _, each := range []float64{0, 0.01, 0.3, 0.5, 1.2} {
		b := Bed{Box: 24}
		for range 8 {
			b.Layers = append(b.Layers, Layer{Thick: 2, Worms: each})
		}
		if got, want := len(NewSection(b).Worms), int(math.Round(8*each)); got != want {
			t.Errorf("%g in each of 8 layers: %d are drawn, should be %d", each, got, want)
		}
	}
}
