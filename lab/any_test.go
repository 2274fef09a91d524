package lab_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wormyard/figure"
	"wormyard/internal/published"
	"wormyard/lab"
)

// Whatever lists of counts, tubes, plates, lots and results are given, a figure
// answers in numbers, with low up to high, or refuses in words.
func TestListsAnswerOrRefuse(t *testing.T) {
	byName := map[string]figure.Figure{}
	for _, f := range lab.Figures(parameters(t)) {
		byName[f.Name] = f
	}
	counts := func(t *rapid.T, most int) []float64 {
		var out []float64
		for range rapid.IntRange(0, 6).Draw(t, "n") {
			out = append(out, float64(rapid.IntRange(0, most).Draw(t, "count")))
		}
		return out
	}
	inputs := map[string]func(t *rapid.T) map[string]any{
		"lab.clumping": func(t *rapid.T) map[string]any { return map[string]any{"fields": counts(t, 2000)} },
		"lab.nested": func(t *rapid.T) map[string]any {
			var subs [][][]float64
			for range rapid.IntRange(0, 3).Draw(t, "subs") {
				var slides [][]float64
				for range rapid.IntRange(0, 3).Draw(t, "slides") {
					slides = append(slides, counts(t, 2000))
				}
				subs = append(subs, slides)
			}
			return map[string]any{"sub_samples": subs}
		},
		"lab.two_people": func(t *rapid.T) map[string]any {
			a := counts(t, 300)
			b := make([]float64, len(a))
			for i := range b {
				b[i] = float64(rapid.IntRange(0, 300).Draw(t, "other"))
			}
			return map[string]any{"first": a, "second": b}
		},
		"lab.chart": func(t *rapid.T) map[string]any {
			var lots []map[string]any
			for _, c := range counts(t, 1000000) {
				lots = append(lots, map[string]any{"count": c, "n": rapid.Float64Range(1e-6, 1e6).Draw(t, "n")})
			}
			return map[string]any{"lots": lots, "method": rapid.SampledFrom([]string{"plain", "clumped"}).Draw(t, "method")}
		},
		"lab.tubes": func(t *rapid.T) map[string]any {
			var levels []map[string]any
			for range rapid.IntRange(0, 4).Draw(t, "levels") {
				n := rapid.IntRange(1, 12).Draw(t, "tubes")
				levels = append(levels, map[string]any{"amount": rapid.Float64Range(1e-12, 1e9).Draw(t, "amount"), "tubes": n, "positive": rapid.IntRange(0, n).Draw(t, "positive")})
			}
			return map[string]any{"levels": levels, "method": rapid.SampledFrom([]string{"likelihood", "observed", "expected"}).Draw(t, "method")}
		},
		"lab.plate_count": func(t *rapid.T) map[string]any {
			var plates []map[string]any
			for _, c := range counts(t, 500) {
				p := map[string]any{"dilution": rapid.SampledFrom([]float64{1, .1, 1e-3, 1e-7}).Draw(t, "dilution")}
				if rapid.Bool().Draw(t, "counted") {
					p["count"] = c
				}
				plates = append(plates, p)
			}
			return map[string]any{"plates": plates}
		},
		"lab.less_than": func(t *rapid.T) map[string]any {
			var results []map[string]any
			for range rapid.IntRange(0, 7).Draw(t, "results") {
				results = append(results, map[string]any{"value": rapid.SampledFrom([]float64{1e-9, .5, 1, 3, 3.1, 100, 1e12}).Draw(t, "value"), "less_than": rapid.Bool().Draw(t, "less")})
			}
			return map[string]any{"results": results, "method": rapid.SampledFrom([]string{"likelihood", "order", "product_limit"}).Draw(t, "method")}
		},
	}
	for name, draw := range inputs {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				in := draw(t)
				out, err := published.ByFigure(byName[name])(in)
				var r *figure.Refusal
				if err != nil {
					if !errors.As(err, &r) {
						text, _ := json.Marshal(in)
						t.Fatalf("%s: %v", text, err)
					}
					return
				}
				low, okLow := out["low"].(float64)
				high, okHigh := out["high"].(float64)
				if okLow && okHigh && !(0 <= low && low <= high) {
					t.Fatalf("%v gives from %g to %g", in, low, high)
				}
			})
		})
	}
}

// The chance by points is the sum it stands for, term by term.
func TestPointChanceIsTheSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := float64(rapid.IntRange(0, 60).Draw(t, "a")), float64(rapid.IntRange(1, 60).Draw(t, "b"))
		over := rapid.Float64Range(.05, 20).Draw(t, "over")
		n, p := a+b, over/(over+1)
		term := func(x float64) float64 {
			l := 1.0
			for i := 1.0; i <= x; i++ {
				l *= (n - x + i) / i
			}
			return l * math.Pow(p, x) * math.Pow(1-p, n-x)
		}
		want := 0.0
		for x := 0.0; x <= n; x++ {
			if term(x) <= term(a)*(1+1e-7) {
				want += term(x)
			}
		}
		got := lab.CompareRates(a, over, b, 1, .95, .05, true).P
		// Ties within a ten-millionth may fall to either side only in made-up
		// cases; the rest is rounding.
		if math.Abs(got-want) > 1e-6 {
			t.Fatalf("%g of %g at %g: %.9f, term by term %.9f", a, n, p, got, want)
		}
	})
}
