package qty_test

import (
	"math"
	"testing"

	"wormyard/qty"
)

func TestPrint(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{qty.US.Temperature(20), "68 °F"},
		{qty.US.Temperature(-20), "−4 °F"},
		{qty.Metric.Temperature(-0.4), "0 °C"},
		{qty.US.TemperatureStep(5), "9 °F"},
		{qty.US.Depth(0.0381), "1½ in"},
		{qty.US.Depth(0.0127), "½ in"},
		{qty.Metric.Depth(0.05), "5 cm"},
		{qty.US.Opening(0.00635), "1/4 in (6.35 mm)"},
		{qty.US.Opening(0.003175), "1/8 in (3.175 mm)"},
		{qty.US.Opening(0.125 * qty.MetrePerInch), "1/8 in (3.175 mm)"},
		{qty.US.Opening(0.00318), "1/8 in (3.18 mm)"}, // as it was rounded
		{qty.US.Opening(0.0032), "0.126 in (3.2 mm)"}, // another cloth
		{qty.US.Opening(0.006), "0.236 in (6 mm)"},
		{qty.US.Opening(0.0254), "1 in (25.4 mm)"},
		{qty.US.Opening(0.03175), "1 1/4 in (31.75 mm)"},
		{qty.US.Opening(0.00079375), "1/32 in (0.794 mm)"},
		{qty.US.Opening(0), "0 in (0 mm)"},
		{qty.Metric.Opening(0.00635), "6.35 mm"},
		{qty.US.OpeningTyped(0.009525), "3/8"},
		{qty.US.Mass(544.310844), "1,200 lb"},
		{qty.Metric.Mass(1234.5), "1,230 kg"},
		{qty.US.Mass(1e-80), "0 lb"},
		{qty.Metric.Mass(-1e-9), "0 kg"},
		{qty.Metric.Mass(3e-5), "0.00003 kg"},
		{qty.US.Volume(1.529109715968), "2 yd3"},
		{qty.US.Volume(0.01892705892), "5 gal"},
		{qty.Metric.Volume(0.25), "250 L"},
		{qty.US.Water(37.85411784), "10 gal"},
		{qty.US.Density(593.276421), "1,000 lb/yd3"},
		{qty.Percent100(0.724), "72 %"},
		{qty.Halves(-1.5), "−1½"},
		{qty.Figures(0), "0"},
		{qty.Figures(0.012345), "0.0123"},
		{qty.Figures(99.95), "100"},
		{qty.Figures(1234567), "1,230,000"},
		{qty.Figures(-2.64e307), "-2.64e307"},
		{qty.Figures(math.NaN()), "no number"},
		{qty.Halves(1e308), "1.00e308"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

func TestBasis(t *testing.T) {
	wet := qty.WetKg(400)
	w := qty.WaterOfWet(0.75)
	if wet.Dry(w) != 100 || wet.Water(w) != 300 || qty.DryKg(100).Wet(w) != 400 || w.OfDry() != 3 || qty.WaterOfDry(3).OfWet() != 0.75 {
		t.Error("400 kg at three quarters water is 100 kg dry, 300 kg water, 3 parts of water to one dry")
	}
	if d := qty.KgPerM3Dry(150).Wet(0.75); math.Abs(float64(d)-600) > 1e-9 || math.Abs(float64(d.Dry(0.75))-150) > 1e-9 {
		t.Error("150 kg/m3 dry at three quarters water weighs 600 kg/m3")
	}
	if (qty.Celsius(20)).Kelvin() != 293.15 {
		t.Error("20 C is 293.15 K")
	}
}
