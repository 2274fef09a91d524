package bed_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"wormyard/bed"
	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/internal/source"
)

func responses(t testing.TB) (r bed.Responses, d bed.Diffusivity) {
	t.Helper()
	if err := errors.Join(source.Load("response", &r), source.Load("diffusivity", &d)); err != nil {
		t.Fatal(err)
	}
	return r, d
}

// Every curve is 0 or more everywhere, and a rate carried to the temperature at
// which it was measured is itself.
func TestCurves(t *testing.T) {
	r, _ := responses(t)
	for _, c := range bed.Curves() {
		for x := -30.0; x <= 100; x += 0.5 {
			if f := r.Factor(c, x); !(f >= 0) || math.IsInf(f, 0) {
				t.Fatalf("%s is %v at %v C", c, f, x)
			}
		}
		for _, x := range []float64{12, 20, 30} {
			if got := r.RateAt(0.03, x, c, x); math.Abs(got-0.03) > 1e-15 {
				t.Errorf("%s carries 0.03 to %v at the same temperature", c, got)
			}
		}
		if colder, warmer := r.Factor(c, 10), r.Factor(c, 25); !(colder < warmer) {
			t.Errorf("%s is not slower at 10 C than at 25 C", c)
		}
	}
	if f := feedstock.Cardinal(30, 0, 30, 45); f != 1 {
		t.Errorf("the curve is %v at its best", f)
	}
	if !math.IsNaN(r.RateAt(0.1, 2, bed.Rosso, 20)) {
		t.Error("a rate measured where nothing decays cannot be carried")
	}
	if r.OxygenFactor(0) != 0 || r.OxygenFactor(-1) != 0 {
		t.Error("without oxygen nothing decays in air")
	}
}

// No model of pores lets gas move quicker than in free air, none moves it without
// air, and Moldrup's is what is printed.
func TestPores(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pores := rapid.Float64Range(0.3, 0.97).Draw(t, "pores")
		air := pores * rapid.Float64Range(0, 1).Draw(t, "share of air")
		for _, m := range []bed.Pores{bed.Moldrup2000, bed.MQ1961, bed.MQ1960, bed.Penman, bed.Marshall, bed.Square} {
			v := m.Relative(air, pores)
			if v < 0 || v > 1 || m.Relative(0, pores) != 0 {
				t.Fatalf("%s gives %v", m, v)
			}
		}
		if a, b := bed.Moldrup2000.Relative(air, pores), math.Pow(air, 2.5)/math.Sqrt(pores); math.Abs(a-b) > 1e-12 {
			t.Fatalf("%v is not %v", a, b)
		}
	})
}

// Oxidation keeps mass: what goes in with oxygen comes out as gas and water.
func TestOxidationKeepsMass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string, low, high int) float64 { return float64(rapid.IntRange(low, high).Draw(t, name)) }
		x := bed.Oxidise(n("c", 1, 300), n("h", 0, 500), n("o", 0, 200), n("n", 0, 30))
		if e := 1 + x.Oxygen - x.CarbonDioxide - x.Water - x.Ammonia; math.Abs(e) > 1e-12*(1+math.Abs(x.Oxygen)) {
			t.Fatalf("out by %v", e)
		}
	})
}

func TestEvaporationTurnsIntoDew(t *testing.T) {
	_, d := responses(t)
	open := bed.Barrier{Convection: 3}.Resistance(&d, 15, 101325)
	if bed.Evaporation(20, 15, 0.7, open) <= 0 || bed.Evaporation(5, 20, 0.9, open) >= 0 || bed.Evaporation(15, 15, 1, open) != 0 {
		t.Error("a warm wet surface dries, a cold one gathers dew, saturated air of the same warmth does neither")
	}
	covered := bed.Barrier{Convection: 3, GapM: 0.02, Covered: true, Permeance: 10 * bed.PermSI}.Resistance(&d, 15, 101325)
	if !(covered > open) || !math.IsInf(bed.Barrier{Convection: 3, Covered: true}.Resistance(&d, 15, 101325), 1) {
		t.Error("a cover resists, a tight one without end")
	}
}

// What a figure cannot mean it refuses in words; the notes of what is unusual
// stand beside the number.
func TestFiguresRefuse(t *testing.T) {
	r, d := responses(t)
	byName := map[string]figure.Figure{}
	for _, f := range bed.ScienceFigures(r, d) {
		byName[f.Name] = f
	}
	run := func(name, in string) ([]string, error) {
		f := byName[name]
		args := f.In()
		if p := contract.Decode([]byte(in), args); p != nil {
			return nil, contract.Refuse(p)
		}
		_, notes, err := f.Run(args)
		return notes, err
	}
	for _, c := range [][2]string{
		{"bed.temperature_response", `{"curve":"kirschbaum","min_c":5,"temp_c":20}`},
		{"bed.temperature_response", `{"curve":"rosso","min_c":5,"best_c":20,"max_c":60,"temp_c":20}`},
		{"bed.temperature_response", `{"curve":"rosso","min_c":5,"best_c":80,"max_c":60,"temp_c":20}`},
		{"bed.temperature_response", `{"curve":"bell","temp_c":20}`},
		{"bed.rate_at", `{"curve":"rosso","rate_per_day":0.1,"measured_at_c":2,"temp_c":20}`},
		{"bed.decay", `{"pools":[{"frac":0.7,"rate_per_day":0.1},{"frac":0.5,"rate_per_day":0.1}],"days":3}`},
		{"bed.decay", `{"pools":[{"frac":0.7,"rate_per_day":-1}],"days":3}`},
		{"bed.oxygen_demand", `{"c":0,"h":0,"o":0}`},
		{"bed.diffusivity", `{"temp_c":20,"air_filled_frac":0.8,"porosity_frac":0.5}`},
		{"bed.evaporation", `{"surface_c":20,"air_c":15,"rh_frac":0.7,"h_w_m2k":3,"cover":{"perm":1,"permeance":2}}`},
		{"bed.moisture_response", `{"water_frac_wet":60}`},
		{"bed.ammonia", `{"temp_c":20}`},
	} {
		_, err := run(c[0], c[1])
		var refusal *figure.Refusal
		if !errors.As(err, &refusal) || len(refusal.Problems) == 0 || refusal.Problems[0].Say == "" {
			t.Errorf("%s %s: %v", c[0], c[1], err)
		}
	}
	for _, c := range [][2]string{
		{"bed.temperature_response", `{"curve":"exponential_pair","temp_c":70}`},
		{"bed.temperature_response", `{"curve":"kirschbaum","temp_c":50}`},
		{"bed.decay", `{"pools":[{"frac":0.7,"rate_per_day":0.1}],"days":3}`},
		{"bed.evaporation", `{"surface_c":5,"air_c":20,"rh_frac":0.9,"h_w_m2k":3}`},
		{"bed.ammonia", `{"temp_c":25,"ph":8,"ammonia_n_mg_l":500}`},
	} {
		notes, err := run(c[0], c[1])
		if err != nil || len(notes) == 0 {
			t.Errorf("%s %s: %v %v", c[0], c[1], notes, err)
		}
	}
}
