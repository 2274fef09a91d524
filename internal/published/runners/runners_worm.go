package runners

import (
	"fmt"
	"math"

	"wormyard/internal/nature"
	"wormyard/worm"
)

// pots computes the checks of worms kept in pots, and of the fits that the
// parameters of worms come from.
func pots() []Runner {
	return []Runner{
		{"incubation_times", "fit", fit(func(n *nature.Numbers, tempC float64) float64 { return 1 / n.Worm.Hatching(tempC) })},
		{"maturation_times", "fit", fit(func(n *nature.Numbers, tempC float64) float64 { return n.Worm.Maturation(tempC) })},
		{"growth_times", "fit", fit(func(n *nature.Numbers, tempC float64) float64 { return 1 / n.Worm.Growth(tempC) })},
		{"reference_computed_worms", "laying shape", with(func(n *nature.Numbers, in map[string]float64) map[string]float64 {
			return map[string]float64{"factor": n.Worm.LayingFactor(in["temp_c"])}
		})},
		{"gunadi_2002", "mass", with(pot)},
		{"reinecke_1990", "mass", with(pot)},
		{"neuhauser_1980", "peak", with(peak)},
		{"neuhauser_1980", "course", with(pot)},
		{"phillipson_1976", "rise", with(func(n *nature.Numbers, in map[string]float64) map[string]float64 {
			return map[string]float64{"q10": n.Worm.Breath(in["temp_c"]+10) / n.Worm.Breath(in["temp_c"])}
		})},
		{"phillipson_1976", "oxygen", with(breath)},
		{"johnston_2014", "breath", with(breath)},
		{"johnston_2014", "intake", with(intake)},
		{"ndegwa_2000", "intake", with(intake)},
		{"kaplan_1980", "warmth", with(quickest)},
	}
}

// breath gives the oxygen that live worms use [mg/(g h)].
func breath(n *nature.Numbers, in map[string]float64) map[string]float64 {
	return map[string]float64{"mg_g_h": n.Worm.Breath(in["temp_c"]) * 3600 * 1e3}
}

// intake gives the wet feed that live worms want in moist, airy feed.
func intake(n *nature.Numbers, in map[string]float64) map[string]float64 {
	return map[string]float64{"kg_kg_day": n.Worm.Appetite(worm.Place{TempC: in["temp_c"], Water: 0.8, Oxygen: 0.2095})}
}

// quickest finds the temperature at which single worms grow quickest.
func quickest(n *nature.Numbers, _ map[string]float64) map[string]float64 {
	best := 0.0
	for t := 0.0; t < 45; t += 0.05 {
		if n.Worm.Growth(t) > n.Worm.Growth(best) {
			best = t
		}
	}
	return map[string]float64{"best_c": best}
}

// fit gives the residuals ln(ours/observed) of times at temperatures and their
// root mean square. With studies, each study has a scale of its own, the mean of
// its logarithms.
func fit(time func(n *nature.Numbers, tempC float64) float64) func(map[string]any) (map[string]any, error) {
	return func(in map[string]any) (map[string]any, error) {
		n, err := numbers()
		if err != nil {
			return nil, err
		}
		temps, days := list(in["temp_c"]), list(in["days"])
		if len(temps) != len(days) || len(temps) == 0 {
			return nil, fmt.Errorf("%d temperatures and %d times", len(temps), len(days))
		}
		residuals := make([]float64, len(temps))
		for i, t := range temps {
			residuals[i] = math.Log(time(&n, t) / days[i])
		}
		if studies := list(in["study"]); studies != nil {
			sum, count := map[float64]float64{}, map[float64]float64{}
			for i, s := range studies {
				sum[s] += residuals[i]
				count[s]++
			}
			for i, s := range studies {
				residuals[i] -= sum[s] / count[s]
			}
		}
		squares := 0.0
		out := make([]any, len(residuals))
		for i, r := range residuals {
			squares += r * r
			out[i] = r
		}
		return map[string]any{"rms": math.Sqrt(squares / float64(len(residuals))), "residuals": out}, nil
	}
}

func list(v any) []float64 {
	var out []float64
	all, _ := v.([]any)
	for _, x := range all {
		f, _ := x.(float64)
		out = append(out, f)
	}
	return out
}

// pot keeps worms in a pot, a quarter of a day at a time, and gives their mean
// mass after some days. Nothing dies, leaves or hatches: the pots were shut and
// the first worms were weighed.
func pot(n *nature.Numbers, in map[string]float64) map[string]float64 {
	mass := 0.0
	keep(n, in, func(_, mg float64) { mass = mg })
	return map[string]float64{"mean_mg": mass}
}

// peak gives the greatest mean mass on the way, and that of all worms together.
func peak(n *nature.Numbers, in map[string]float64) map[string]float64 {
	most := 0.0
	keep(n, in, func(_, mg float64) { most = math.Max(most, mg) })
	return map[string]float64{"peak_mg": most, "peak_total_g": most * in["worms"] / 1e3}
}

func keep(n *nature.Numbers, in map[string]float64, tell func(day, meanMg float64)) {
	n.Worm.Keep(worm.Culture{Worms: in["worms"], MassG: in["mass_mg"] * 1e-3, TempC: in["temp_c"], Water: in["water_frac_wet"], AreaM2: in["area_m2"],
		FeedKgWet: in["feed_kg_wet"], MoreKgWet: in["more_kg_wet"], MoreEachDays: in["more_each_days"]},
		in["days"], func(at worm.Point) { tell(at.Day, at.MassG*1e3) })
}
