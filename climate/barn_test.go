package climate_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"wormyard/climate"
)

// Heat and vapour that came in less what went out is what is stored, for any
// step and any barn.
func TestBarnBalance(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		b := climate.Barn{
			Parts: []climate.Part{{U: f("u", 0.1, 8), Area: f("area", 10, 2000)}}, SlabWMK: 1.2, PerimeterM: 70,
			VolumeM3: f("volume", 50, 5000), AirChanges: f("changes", 0, 10), HeaterW: f("heater", 0, 50000), HeaterSetC: f("set", 0, 20),
			OpeningM2: f("opening", 0, 1), OpeningRiseM: 3,
		}
		in := climate.Inside{TempC: f("inside", -10, 35), VapourKg: f("vapour", 0, 0.02)}
		before := in
		flow := b.Step(&p, &in, climate.Hour{TempC: f("outside", -20, 35), RH: f("rh", 0.1, 1)}, f("bins", 0, 20000), f("water", 0, 0.02), f("seconds", 1, 90000))
		scale := math.Abs(flow.LostJ) + math.Abs(flow.BinsJ) + flow.HeaterJ + math.Abs(flow.StoredJ) + 1
		if e := math.Abs(flow.HeaterJ+flow.BinsJ-flow.LostJ-flow.StoredJ) / scale; e > 1e-9 {
			t.Fatalf("heat is out by %.2g", e)
		}
		kg := flow.EvaporatedKg + math.Abs(flow.CarriedKg) + flow.CondensedKg + 1e-3
		if e := math.Abs(flow.EvaporatedKg-flow.CarriedKg-flow.CondensedKg-flow.StoredKg) / kg; e > 1e-9 {
			t.Fatalf("vapour is out by %.2g", e)
		}
		if in.VapourKg < 0 || in.Hour().RH > 1 {
			t.Fatalf("%+v after %+v", in, before)
		}
	})
}

// Left alone for long, an unheated barn comes to its floating temperature, and
// the outside air that carries the bins' water away leaves m = E/(W_in - W_out).
func TestBarnComesToRest(t *testing.T) {
	p := parameters(t)
	b := climate.Barn{Parts: []climate.Part{{U: 2, Area: 800}}, VolumeM3: 1000, AirChanges: 1}
	out := climate.Hour{TempC: 5, RH: 0.8}
	air, flow := b.Air(&p, climate.Steady(0, 24*40, out), func(int64, climate.Hour) (float64, float64) { return 6000, 0.0004 })
	last := air.Hours[len(air.Hours)-1]
	if want := b.Floating(5, 6000); math.Abs(last.TempC-want) > 1e-9 {
		t.Errorf("at rest %.6f C, floating %.6f", last.TempC, want)
	}
	carried := 1.0 / 3600 * 1000 * (last.RH*climate.SaturationDensity(last.TempC) - 0.8*climate.SaturationDensity(5))
	if math.Abs(carried/0.0004-1) > 1e-6 || flow.CondensedKg != 0 {
		t.Errorf("%.6g kg/s carried, 0.0004 given off", carried)
	}
}

// A heater that is strong enough keeps its setting, and what it gives is what
// the barn loses beyond the heat of the bins.
func TestHeaterKeepsItsSetting(t *testing.T) {
	p := parameters(t)
	b := climate.Barn{Parts: []climate.Part{{U: 2, Area: 800}}, VolumeM3: 1000, AirChanges: 1, HeaterW: 1e6, HeaterSetC: 12}
	air, flow := b.Air(&p, climate.Steady(0, 48, climate.Hour{TempC: -5, RH: 0.8}), func(int64, climate.Hour) (float64, float64) { return 5000, 0 })
	for _, h := range air.Hours {
		if math.Abs(h.TempC-12) > 1e-9 {
			t.Fatalf("%.4f C", h.TempC)
		}
	}
	want := ((2*800+1207.2/3.6)*17 - 5000) * 48 * 3600
	if math.Abs(flow.HeaterJ/want-1) > 1e-9 {
		t.Errorf("%.6g J of heat, %.6g wanted", flow.HeaterJ, want)
	}
}

func TestUpperBinsStandWarmer(t *testing.T) {
	p := parameters(t)
	low := climate.Hour{TempC: 10, RH: 0.9}
	top := climate.AtLevel(&p, low, 4)
	if math.Abs(top.TempC-10-3*p.StackOffsetC) > 1e-12 || !(top.RH < low.RH) || climate.AtLevel(&p, low, 1) != low {
		t.Errorf("%+v", top)
	}
}
