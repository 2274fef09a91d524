package psychrolib

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"wormyard/climate"
	"wormyard/qty"
)

// tolerances by output, absolute. Vapour pressure and what follows from it are
// the same closed forms on both sides. Volume differs by the rounding of the
// ratio of molar masses: the package divides by 0.621945 in one place and
// multiplies by 1.607858 in the other. Wet bulb and dew point are searched for,
// by the package to 0.001 C.
var tolerances = map[string]float64{
	"saturation_pa": 1e-6, "vapour_pa": 1e-6, "humidity_ratio": 1e-9, "enthalpy_kj_kg": 1e-6, "volume_m3_kg": 1e-6,
	"dew_point_c": 0.0015, "wet_bulb_c": 0.0015,
}

// atFreezing are those at 0 C, where the package still takes the curve over
// ice (it changes at 0.01 C, the triple point; ours and the handbook at 0 C).
var atFreezing = map[string]float64{
	"saturation_pa": 0.06, "vapour_pa": 0.06, "humidity_ratio": 5e-7, "enthalpy_kj_kg": 1.2e-3, "volume_m3_kg": 1e-6,
	"dew_point_c": 0.0015, "wet_bulb_c": 0.0015,
}

func TestAgainstPsychrolib(t *testing.T) {
	file := os.Getenv("WORMYARD_PSYCHROLIB")
	if file == "" {
		t.Skip("bench/psychrolib/run gives the numbers; ./check full runs it")
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]float64
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	if len(rows) < 200 {
		t.Fatalf("only %d rows came", len(rows))
	}
	worst := map[string]float64{}
	for _, row := range rows {
		air, err := climate.FromRH(qty.Celsius(row["temp_c"]), qty.Pascal(row["pressure_pa"]), qty.Fraction(row["rh_frac"]))
		if err != nil {
			t.Fatalf("%v: %v", row, err)
		}
		ours := map[string]float64{
			"saturation_pa": float64(air.Saturation), "vapour_pa": float64(air.Vapour), "humidity_ratio": float64(air.Ratio),
			"enthalpy_kj_kg": float64(air.Enthalpy), "volume_m3_kg": float64(air.Volume), "dew_point_c": float64(air.DewPoint), "wet_bulb_c": float64(air.WetBulb),
		}
		limits := tolerances
		if row["temp_c"] == 0 {
			limits = atFreezing
		}
		for key, tolerance := range limits {
			d := math.Abs(ours[key] - row[key])
			worst[key] = max(worst[key], d)
			if !(d <= tolerance) {
				t.Errorf("%g C, %g Pa, %g: %s is %.9g, there %.9g", row["temp_c"], row["pressure_pa"], row["rh_frac"], key, ours[key], row[key])
			}
		}
	}
	t.Logf("%d states; largest differences %v", len(rows), worst)
}
