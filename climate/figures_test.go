package climate_test

import (
	"errors"
	"testing"

	"wormyard/climate"
	"wormyard/figure"
	"wormyard/internal/contract"
)

func TestFiguresRefuse(t *testing.T) {
	byName := map[string]figure.Figure{}
	for _, f := range climate.Figures(parameters(t)) {
		byName[f.Name] = f
	}
	for _, c := range [][2]string{
		{"air.state", `{"temp_c":20}`},
		{"air.state", `{"temp_c":20,"rh_frac":0.5,"dew_point_c":9}`},
		{"air.state", `{"temp_c":20,"rh_frac":50}`},
		{"air.state", `{"temp_c":20,"dew_point_c":25}`},
		{"air.state", `{"temp_c":120,"rh_frac":0.5}`},
		{"air.pressure", `{"altitude_m":90000}`},
		{"barn.heat", `{"volume_m3":0,"air_changes_per_h":1,"outside_c":5}`},
		{"barn.heat", `{"parts":[{"u_w_m2k":2,"area_m2":-3}],"volume_m3":10,"air_changes_per_h":1,"outside_c":5}`},
	} {
		f := byName[c[0]]
		args := f.In()
		err := contract.Refuse(contract.Decode([]byte(c[1]), args))
		if err == nil {
			_, _, err = f.Run(args)
		}
		var refusal *figure.Refusal
		if !errors.As(err, &refusal) || refusal.Problems[0].Try == "" {
			t.Errorf("%s %s: %v", c[0], c[1], err)
		}
	}
}
