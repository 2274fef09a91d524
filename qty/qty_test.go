package qty_test

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wormyard/qty"
)

// Conversion factors by their legal definitions (1959 yard and pound; US gallon
// 231 in3, US bushel 2150.42 in3, dry quart 1/32 of it; imperial gallon 4.54609 L
// by the British act of 1985), worked out again here from the inch.
func TestFactorsAreExact(t *testing.T) {
	const inch = 25.4e-3
	in3 := inch * inch * inch
	for name, pair := range map[string][2]float64{
		"foot":         {qty.MetrePerFoot, 12 * inch},
		"cubic foot":   {qty.M3PerCubicFoot, 1728 * in3},
		"cubic yard":   {qty.M3PerCubicYard, 46656 * in3},
		"US gallon":    {qty.M3PerUSGallon, 231 * in3},
		"US bushel":    {qty.M3PerUSBushel, 2150.42 * in3},
		"dry quart":    {qty.M3PerUSDryQuart, 2150.42 / 32 * in3},
		"liquid quart": {qty.M3PerUSLiquidQuart, 231.0 / 4 * in3},
		"short ton":    {qty.KgPerShortTon, 2000 * 0.45359237},
		"long ton":     {qty.KgPerLongTon, 2240 * 0.45359237},
		"ounce":        {qty.KgPerOunce, 0.45359237 / 16},
		"square foot":  {qty.M2PerSquareFoot, 144 * inch * inch},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-14*pair[1] {
			t.Errorf("%s is %.17g, by definition %.17g", name, pair[0], pair[1])
		}
	}
}

func TestParseAsTyped(t *testing.T) {
	const inch = 0.0254
	for _, c := range []struct {
		text string
		of   qty.Dimension
		want float64
	}{
		{"2 yd3", qty.Volume, 2 * 0.764554857984},
		{"1.5 cu ft", qty.Volume, 1.5 * 0.028316846592},
		{"5 gal", qty.Volume, 5 * 0.003785411784},
		{"500 lb", qty.Mass, 500 * 0.45359237},
		{"68 F", qty.Temperature, 20},
		{"-40 °F", qty.Temperature, -40},
		{"0 C", qty.Temperature, 0},
		{"2 in", qty.Length, 2 * inch},
		{`2"`, qty.Length, 2 * inch},
		{"1 1/2 in", qty.Length, 1.5 * inch},
		{"1½ in", qty.Length, 1.5 * inch},
		{"½in", qty.Length, .5 * inch},
		{"3/4 in", qty.Length, .75 * inch},
		{"0.5 bu", qty.Volume, .5 * 0.03523907016688},
		{"12,5 kg", qty.Mass, 12.5},
		{"1,200 lb", qty.Mass, 1200 * 0.45359237},
		{"1.200,5 kg", qty.Mass, 1200.5},
		{"1,234,567 kg", qty.Mass, 1234567},
		{"1.234.567 kg", qty.Mass, 1234567},
		{"-1,234,567.5 kg", qty.Mass, -1234567.5},
		{"0,250 kg", qty.Mass, .25},
		{"1234,567 kg", qty.Mass, 1234.567},
		{"1e3 kg", qty.Mass, 1000},
		{"  7  L ", qty.Volume, .007},
		{"3 yards", qty.Length, 3 * .9144},
		{"3 yards", qty.Volume, 3 * 0.764554857984},
		{"1000 lb/yd3", qty.Density, 1000 * 0.45359237 / 0.764554857984},
		{"30 min", qty.Duration, .5},
		{"2 weeks", qty.Duration, 336},
		{"70 %", qty.Percent, .7},
		{"16 ft2", qty.Area, 16 * 0.09290304},
		{"-5 lb", qty.Mass, -5 * 0.45359237},
	} {
		got, err := qty.Parse(c.text, c.of)
		if err != nil || math.Abs(got-c.want) > 1e-12*max(1e-3, math.Abs(c.want)) {
			t.Errorf("%q as %s: %.12g, %v; want %.12g", c.text, c.of, got, err, c.want)
		}
	}
}

// What can be read two ways is refused with both readings, each with its value,
// and each reading is accepted as offered.
func TestParseTellsBothReadings(t *testing.T) {
	for _, c := range []struct {
		text     string
		of       qty.Dimension
		readings []string
	}{
		{"2 tons", qty.Mass, []string{"2 short ton", "2 tonne"}},
		{"1 ton", qty.Mass, []string{"1 short ton", "1 tonne"}},
		{"3 t", qty.Mass, []string{"3 short ton", "3 tonne"}},
		{"4 qt", qty.Volume, []string{"4 dry qt", "4 liquid qt"}},
		{"1 quart", qty.Volume, []string{"1 dry qt", "1 liquid qt"}},
	} {
		_, err := qty.Parse(c.text, c.of)
		var e *qty.ParseError
		if !errors.As(err, &e) {
			t.Errorf("%q was read: %v", c.text, err)
			continue
		}
		for _, r := range c.readings {
			if !strings.Contains(e.Try, strconv.Quote(r)) {
				t.Errorf("%q: %s does not offer %q", c.text, e.Try, r)
			}
			if _, err := qty.Parse(r, c.of); err != nil {
				t.Errorf("the reading %q is itself refused: %v", r, err)
			}
		}
	}
}

func TestParseRefusesWhatIsNoAmount(t *testing.T) {
	for _, c := range []struct {
		text string
		of   qty.Dimension
	}{
		{"", qty.Mass}, {"lb", qty.Mass}, {"12", qty.Mass}, {"12 parsecs", qty.Length}, {"2 lb", qty.Volume},
		{"1e999 kg", qty.Mass}, {"NaN kg", qty.Mass}, {"Inf kg", qty.Mass}, {"1/0 in", qty.Length}, {"--3 kg", qty.Mass},
		{"1.2.3 kg", qty.Mass}, {"1/ in", qty.Length}, {"2 ton", qty.Volume}, {". kg", qty.Mass}, {"5 5 lb", qty.Mass},
		{"12,34,56 kg", qty.Mass}, {"1,23,4.5 kg", qty.Mass},
	} {
		v, err := qty.Parse(c.text, c.of)
		var e *qty.ParseError
		if !errors.As(err, &e) || e.Say == "" || e.Try == "" {
			t.Errorf("%q as %s: %g, %v", c.text, c.of, v, err)
			continue
		}
		for _, bad := range []string{"invalid", "!", "error"} {
			if strings.Contains(strings.ToLower(e.Error()), bad) {
				t.Errorf("%q: %s", c.text, e)
			}
		}
	}
}

// Whatever is printed with its unit is read back as the same amount.
func TestPrintedIsReadBack(t *testing.T) {
	for d := qty.Mass; d <= qty.Percent; d++ {
		for _, symbol := range qty.UnitsOf(d) {
			u, ok := qty.Named(symbol)
			if !ok {
				t.Errorf("the symbol %q names no unit", symbol)
				continue
			}
			rapid.Check(t, func(t *rapid.T) {
				v := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
				stored, err := qty.Parse(strconv.FormatFloat(v, 'g', -1, 64)+" "+symbol, d)
				if err != nil {
					t.Fatal(err)
				}
				if back := u.From(stored); math.Abs(back-v) > 1e-9*max(1, math.Abs(v)) {
					t.Fatalf("%g %s came back as %g", v, symbol, back)
				}
			})
		}
	}
}

// What the two systems print for a person is read back to within what was
// rounded off.
func TestSystemsAreReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, s := range []qty.System{qty.US, qty.Metric} {
			kg := rapid.Float64Range(.01, 1e6).Draw(t, "kg")
			read := func(text string, d qty.Dimension) float64 {
				v, err := qty.Parse(strings.ReplaceAll(text, "−", "-"), d)
				if err != nil {
					t.Fatalf("%q: %v", text, err)
				}
				return v
			}
			if got := read(s.Mass(kg), qty.Mass); math.Abs(got-kg) > .0051*kg {
				t.Fatalf("%g kg printed %q, read %g", kg, s.Mass(kg), got)
			}
			v := rapid.Float64Range(1e-3, 1e4).Draw(t, "m3")
			if got := read(s.Volume(qty.CubicMetre(v)), qty.Volume); math.Abs(got-v) > .0051*v {
				t.Fatalf("%g m3 printed %q, read %g", v, s.Volume(qty.CubicMetre(v)), got)
			}
			c := rapid.Float64Range(-40, 90).Draw(t, "C")
			if got := read(s.Temperature(qty.Celsius(c)), qty.Temperature); math.Abs(got-c) > .501 {
				t.Fatalf("%g C printed %q, read %g", c, s.Temperature(qty.Celsius(c)), got)
			}
			d := rapid.Float64Range(0, 2).Draw(t, "m")
			if got := read(s.Depth(qty.Metre(d)), qty.Length); math.Abs(got-d) > .00636 {
				t.Fatalf("%g m printed %q, read %g", d, s.Depth(qty.Metre(d)), got)
			}
		}
	})
}

func TestHalvesAndFigures(t *testing.T) {
	for v, want := range map[float64]string{0: "0", .24: "0", .25: "½", 1.5: "1½", 1.74: "1½", 1.76: "2", -1.5: "−1½", 12: "12"} {
		if got := qty.Halves(v); got != want {
			t.Errorf("Halves(%g) is %q, want %q", v, got, want)
		}
	}
	for v, want := range map[float64]string{0: "0", 1234: "1,230", 12.345: "12.3", .012345: "0.0123", 999.9: "1,000", 100: "100", 1e6: "1,000,000", -1234: "−1,230", 9.999: "10"} {
		if got := qty.Figures(v); got != want {
			t.Errorf("Figures(%g) is %q, want %q", v, got, want)
		}
	}
	for v, want := range map[float64]string{1004: "1,004", 240.5: "240.5", 1000: "1,000", .00251: "0.00251", 1441912.3: "1,441,900"} {
		if got := qty.Reported(v); got != want {
			t.Errorf("Reported(%g) is %q, want %q", v, got, want)
		}
	}
}

// Basis changes by hand: 72 of 100 kg is water; 28 kg dry holds 2.571 kg for
// each kg; 1 m3 of chips at 133 kg/m3 dry and 47 % water weighs 250.94 kg
// (Briggs 1994, Table 7-2: 251).
func TestBasisThereAndBack(t *testing.T) {
	if d := qty.WetKg(100).Dry(.72); math.Abs(float64(d)-28) > 1e-12 {
		t.Error(d)
	}
	if w := qty.WaterOfWet(.72).OfDry(); math.Abs(float64(w)-72.0/28) > 1e-12 {
		t.Error(w)
	}
	if w := qty.WaterOfDry(1.06).OfWet(); math.Abs(float64(w)-1.06/2.06) > 1e-12 {
		t.Error(w)
	}
	if b := qty.KgPerM3Dry(133).Wet(.47); math.Round(float64(b)) != 251 {
		t.Error(b)
	}
	rapid.Check(t, func(t *rapid.T) {
		w := qty.WaterOfWet(rapid.Float64Range(0, .99).Draw(t, "w"))
		m := qty.WetKg(rapid.Float64Range(1e-3, 1e6).Draw(t, "m"))
		if back := w.OfDry().OfWet(); math.Abs(float64(back-w)) > 1e-12 {
			t.Fatalf("%g came back as %g", w, back)
		}
		if sum := m.Dry(w).With(m.Water(w)); math.Abs(float64(sum-m)) > 1e-9*float64(m) {
			t.Fatalf("%g kg came back as %g", m, sum)
		}
		if back := m.Dry(w).Wet(w); math.Abs(float64(back-m)) > 1e-9*float64(m) {
			t.Fatalf("%g kg came back as %g", m, back)
		}
	})
}

// Adding nothing, however small it prints, never turns a plus into a minus.
func TestPrintHasNoMinusZero(t *testing.T) {
	if s := qty.Metric.Temperature(-.3); s != "0 °C" {
		t.Error(s)
	}
}
