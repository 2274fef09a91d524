package runners

import (
	"wormyard/bed"
	"wormyard/climate"
	"wormyard/internal/nature"
)

// science computes the checks of air, weather, closed forms of the bed and
// worms that are no figures.
func science() []Runner {
	grow := with(func(n *nature.Numbers, in map[string]float64) map[string]float64 {
		return map[string]float64{"days": in["scale_days"] / n.Worm.Growth(in["temp_c"])}
	})
	return []Runner{
		{"ashrae_2017_chapter1", "humidity ratio of a vapour pressure", with(func(_ *nature.Numbers, in map[string]float64) map[string]float64 {
			return map[string]float64{"ratio": climate.HumidityRatioOf(in["vapour_pa"], in["pressure_pa"])}
		})},
		{"reference_computed_climate", "stack effect", with(func(_ *nature.Numbers, in map[string]float64) map[string]float64 {
			return map[string]float64{
				"m3_s": climate.StackFlow(in["discharge"], in["low_m2"], in["high_m2"], in["rise_m"], in["inside_c"], in["outside_c"]),
				"pa":   climate.StackPressure(in["rise_m"], in["inside_c"], in["outside_c"]),
			}
		})},
		{"reference_computed_climate", "cooling barn", with(func(n *nature.Numbers, in map[string]float64) map[string]float64 {
			b := climate.Barn{Parts: []climate.Part{{U: in["loss_w_k"], Area: 1}}, CapacityJK: in["capacity_j_k"], VolumeM3: 1}
			air := climate.Inside{TempC: in["from_c"]}
			for range int(in["hours"] * 3600) {
				b.Step(&n.Climate, &air, climate.Hour{TempC: in["outside_c"], RH: 0.5}, 0, 0, 1)
			}
			return map[string]float64{"temp_c": air.TempC}
		})},
		{"reference_computed_responses", "together", with(func(n *nature.Numbers, in map[string]float64) map[string]float64 {
			r := &n.Bed.Responses
			return map[string]float64{"factor": r.ExponentialFactor(in["temp_c"]) * r.MoistureFactor(in["water_frac_wet"]) * r.AirFactor(in["air_filled_frac"]) * r.OxygenFactor(in["oxygen_frac"])}
		})},
		{"reference_computed_responses", "oxygen in air", with(func(_ *nature.Numbers, in map[string]float64) map[string]float64 {
			return map[string]float64{"kg_m3": bed.AtmosphericOxygen(in["temp_c"])}
		})},
		{"tsukamoto_1977", "time to grow", grow},
		{"tripathi_2004", "time to grow", grow},
		{"venter_1988", "spread", with(func(n *nature.Numbers, in map[string]float64) map[string]float64 {
			w := n.Worm
			temp := w.HatchColdC + w.HatchDegDays/in["mean"]
			return map[string]float64{"hatched": w.Hatched(temp, in["day"])}
		})},
		{"reinecke_1985", "moisture", with(func(n *nature.Numbers, in map[string]float64) map[string]float64 {
			return map[string]float64{"mass_mg": in["top_mg"] * n.Worm.Moisture(in["water_frac_wet"])}
		})},
		{"zeguerrou_2019", "half dead", with(func(n *nature.Numbers, in map[string]float64) map[string]float64 {
			return map[string]float64{"mg_g": n.Worm.LethalAmmonia(in["days"])}
		})},
	}
}
