package app

import (
	"fmt"
	"reflect"
	"slices"

	"wormyard/bed"
	"wormyard/internal/calibrate"
	"wormyard/internal/nature"
	"wormyard/internal/source"
	"wormyard/twin"
)

// indoors are the numbers of a barn that nobody measured. Values are data.
type indoors struct {
	BinHeatW      float64 `param:"bin_heat_w" unit:"W"`            // given to the barn by one bin
	BinHeatFullC  float64 `param:"bin_heat_full_c" unit:"C"`       // barn air from which on it gives that much
	BinWaterKgDay float64 `param:"bin_water_kg_day" unit:"kg/day"` // the same, as vapour
	BarnBinM3     float64 `param:"barn_m3_per_bin" unit:"m3"`      // of a barn nobody measured
	BarnDaySD     float64 `param:"barn_day_sd_c" unit:"C"`         // of a day's air of a barn, where others are read
	BarnAirSD     float64 `param:"barn_air_sd_c" unit:"C"`         // of the air of a barn that nobody reads
	BarnAirDays   float64 `param:"barn_air_days" unit:"day"`       // how long a barn is off alike
}

// twinSeed is behind everything drawn for twins; modelMake is raised when the
// code of the bed or of the twins computes something else from the same numbers.
// Both are part of the version of what is stored.
const (
	twinSeed  = 20240303
	modelMake = 16
)

// uncertain are the numbers of nature in which members differ: rates, transport
// and the worms' ways. Limits, reference points and how a bed of unknown age is
// guessed are the same in all.
var uncertain = []string{
	"conductivity_share", "cloth_u_w_m2k", "film_u_w_m2k", "air_u_w_m2k", "floor_u_w_m2k", "under_air_u_w_m2k", "under_bin_u_w_m2k", "over_share", "wall_u_w_m2k",
	"cloth_permeance", "cover_leak_m_s", "air_h_w_m2k", "dry_surface",
	"holds_fibre_kg_kg", "holds_woody_kg_kg", "holds_cast_kg_kg", "spread_kg_m_day", "drain_hours",
	"quick_rate_per_day", "slow_rate_per_day", "woody_rate_per_day", "cast_rate_per_day", "oxygen_heat_mj_kg", "nitrogen_lack", "microbe_efficiency",
	"hole_path_m", "draft_share", "fibre_bulk_kg_m3", "woody_bulk_kg_m3", "cast_bulk_kg_m3", "settle_days", "settle_load_pa",
	"slow_taste", "food_half_kg_kg", "shift_hours", "side_days", "gut_loss",
	"growth_cbrt_g_day", "growth_bend", "grown_g", "maturation_days", "laying_per_day", "intake_kg_kg_day", "maintenance_frac", "upkeep_frac", "tissue_yield", "shrink_per_day",
	"crowd_from_kg_m2", "crowd_full_kg_m2", "hatch_frac", "young_per_cocoon", "adult_death_per_day", "young_death_per_day",
	"heap_pace", "untold_days", "fibre_guarded",
}

// knobs joins the names in uncertain with their ranges and their fields.
func knobs(p *bed.Parameters, species string) ([]twin.Knob, error) {
	ofBed, err := source.Parameters("bed")
	if err != nil {
		return nil, err
	}
	ofWorms, err := nature.WormEntries(species)
	if err != nil {
		return nil, err
	}
	ofLying, err := source.Parameters("lying")
	if err != nil {
		return nil, err
	}
	ofFibre, err := source.Parameters("fibre")
	if err != nil {
		return nil, err
	}
	var out []twin.Knob
	for _, list := range [][]source.Parameter{ofBed, ofWorms, ofLying, ofFibre} {
		for _, e := range list {
			if slices.Contains(uncertain, e.Name) && e.Value != nil && e.Low != nil {
				name := e.Name
				if field(reflect.ValueOf(p).Elem(), name) == nil {
					return nil, fmt.Errorf("the twins vary %s, which a bed does not have", name)
				}
				out = append(out, twin.Knob{Name: name, Range: e.Estimate(), Field: func(p *bed.Parameters) *float64 { return field(reflect.ValueOf(p).Elem(), name) }})
			}
		}
	}
	if err := correlate(out, species); err != nil {
		return nil, err
	}
	if len(out) != len(uncertain) {
		return nil, fmt.Errorf("%d of the %d numbers that the twins vary have a range", len(out), len(uncertain))
	}
	return out, nil
}

// correlate makes numbers that were fitted together differ together. Of other
// species the numbers come from elsewhere.
func correlate(knobs []twin.Knob, species string) error {
	if species != "" && species != nature.Species[0] {
		return nil
	}
	fit, err := calibrate.Kept()
	if err != nil {
		return err
	}
	for i := range knobs {
		k := slices.IndexFunc(fit.Fitted, func(f calibrate.Fitted) bool { return f.Name == knobs[i].Name })
		if k < 0 {
			continue
		}
		knobs[i].With = map[string]float64{}
		for j, f := range fit.Fitted {
			if j != k {
				knobs[i].With[f.Name] = fit.Correlation[k][j]
			}
		}
	}
	return nil
}

// field finds the number of a parameter struct that a tag names, nil when none does.
func field(v reflect.Value, name string) *float64 {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.Tag.Get("param") == name {
			p, _ := v.Field(i).Addr().Interface().(*float64)
			return p
		}
		if f.Type.Kind() == reflect.Struct && f.IsExported() {
			if p := field(v.Field(i), name); p != nil {
				return p
			}
		}
	}
	return nil
}
