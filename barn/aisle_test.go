package barn_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"wormyard/barn"
	"wormyard/qty"
)

func TestAislesPairRowsThatFace(t *testing.T) {
	for _, c := range []struct {
		against []bool
		want    string
	}{
		{nil, "[]"},
		{[]bool{false}, "[{[0]}]"},
		{[]bool{false, false, false, false}, "[{[0 1]} {[2 3]}]"},
		{[]bool{false, false, true, false, true}, "[{[0 1]} {[2 3]} {[4]}]"},
		{[]bool{false, true, false, true}, "[{[0]} {[1 2]} {[3]}]"},
	} {
		if got := fmt.Sprint(barn.Aisles(c.against)); got != c.want {
			t.Errorf("%v: %s, want %s", c.against, got, c.want)
		}
	}
}

// Every aisle has one truck, and the longest day is within 7/6 of the best of
// all ways to share them.
func TestTrucksShareAisles(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 6))
	for range 200 {
		minutes := make([]float64, r.IntN(8))
		for i := range minutes {
			minutes[i] = float64(r.IntN(90))
		}
		of, longest := barn.Trucks(minutes, 2)
		best := math.Inf(1)
		for bits := range 1 << len(minutes) {
			var day [2]float64
			for i, m := range minutes {
				day[bits>>i&1] += m
			}
			best = math.Min(best, math.Max(day[0], day[1]))
		}
		var day [2]float64
		for i, m := range minutes {
			day[of[i]] += m
		}
		if got := math.Max(day[0], day[1]); got != longest || longest > best*7/6+1e-9 || len(of) != len(minutes) {
			t.Errorf("%v: %v, %g told, %g done, %g can be", minutes, of, longest, got, best)
		}
	}
}

// The plate of a truck: 3,000 lb at 24 in to 130 in, 2,400 lb to 160 in. A bin of 48
// in has its middle at 24 in and one of 60 in at 30 in, where 29 CFR 1910.178, appendix
// A, has 2,400 lb of 3,000 (72,000 in lb over 30 in).
func TestPlateDerates(t *testing.T) {
	const in = 0.0254
	p := barn.Plate{Centre: 24 * in, Lines: []barn.PlateLine{{Height: 160 * in, Load: 2400}, {Height: 130 * in, Load: 3000}}}
	for _, c := range []struct {
		height, centre float64
		want           float64
	}{{0, 24, 3000}, {130, 24, 3000}, {131, 24, 2400}, {161, 24, 0}, {100, 30, 2400}, {150, 30, 1920}, {100, 20, 3000}} {
		if got := float64(p.Load(lengthIn(c.height), lengthIn(c.centre))); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("to %g in, middle at %g in: %g, want %g", c.height, c.centre, got, c.want)
		}
	}
	for mass, want := range map[float64]int{2000: 7, 2500: 6, 3100: 0} { // 26 in each: 156 in under level 7, 130 under 6
		if got := p.Top(wetKg(mass), lengthIn(26), lengthIn(24)); got != want {
			t.Errorf("%g: up to level %d, want %d", mass, got, want)
		}
	}
}

func lengthIn(in float64) qty.Metre { return qty.Metre(in * 0.0254) }

func wetKg(v float64) qty.WetKg { return qty.WetKg(v) }
