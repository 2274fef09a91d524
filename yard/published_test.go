package yard_test

import (
	"testing"

	"pgregory.net/rapid"

	"wormyard/figure"
	"wormyard/internal/published"
	"wormyard/yard"
)

func TestPublished_PilesMeasured(t *testing.T) {
	published.RunFigures(t, published.Open(t, "piles_measured"), yard.Figures(*parameters(t)))
}

func TestPublished_PileLimitsFigures(t *testing.T) {
	published.RunFigures(t, published.Open(t, "pile_limits"), yard.Figures(*parameters(t)))
}

// Whatever pile is described within the ranges, the figure answers in numbers.
func TestPileFigureAnswers(t *testing.T) {
	var pile figure.Figure
	for _, f := range yard.Figures(*parameters(t)) {
		if f.Name == "yard.pile" {
			pile = f
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		quick := draw("quick", 0, 1)
		in := map[string]any{
			"volume_m3": draw("volume", .001, 1000), "density_kg_m3_wet": draw("density", 1, 3000), "water_frac_wet": draw("water", 0, .99),
			"ash_frac_dry": draw("ash", 0, 1), "quick_frac_volatile": quick, "slow_frac_volatile": draw("slow", 0, 1-quick),
			"nitrogen_frac_dry": draw("nitrogen", 0, .2), "ammonia_n_mg_kg_dry": draw("ammonia", 0, 200000), "air_c": draw("air", -40, 50),
			"start_c": draw("start", -40, 95), "days": draw("days", 0, 30), "turned_days": []float64{draw("turned", 0, 30)},
		}
		out, err := published.ByFigure(pile)(in)
		if err != nil {
			t.Fatalf("%v: %v", in, err)
		}
		if e := out["energy_error_frac"].(float64); e > 1e-9 {
			t.Fatalf("%v: heat is off by %g", in, e)
		}
	})
}
