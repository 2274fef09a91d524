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

// The factors are exact by definition: 1 in = 25.4 mm, 1 lb = 0.45359237 kg,
// 1 gal = 231 in3, 1 bu = 2150.42 in3. The expected values are worked out from
// those four here and not from the table of the package.
func TestParse(t *testing.T) {
	const in, lb = 0.0254, 0.45359237
	cubicInch := in * in * in
	for text, c := range map[string]struct {
		of   qty.Dimension
		want float64
	}{
		"2 yd3":           {qty.Volume, 2 * 46656 * cubicInch},
		"1.5 cu ft":       {qty.Volume, 1.5 * 1728 * cubicInch},
		"5 gal":           {qty.Volume, 5 * 231 * cubicInch},
		"0.5 bu":          {qty.Volume, 0.5 * 2150.42 * cubicInch},
		"2 cu. yd.":       {qty.Volume, 2 * 46656 * cubicInch},
		"500 lb":          {qty.Mass, 500 * lb},
		"500LBS":          {qty.Mass, 500 * lb},
		"1,200 lb":        {qty.Mass, 1200 * lb},
		"2 short ton":     {qty.Mass, 4000 * lb},
		"2 tonnes":        {qty.Mass, 2000},
		"12,5 kg":         {qty.Mass, 12.5},
		"12,5 kilogramos": {qty.Mass, 12.5}, "½ pulgada": {qty.Length, 0.5 * in}, "3 pulgadas": {qty.Length, 3 * in},
		"2 yardas cúbicas": {qty.Volume, 2 * 46656 * cubicInch}, "1 Galón": {qty.Volume, 231 * cubicInch}, "3 yardas": {qty.Length, 108 * in},
		"68 grados F": {qty.Temperature, 20}, "2 días": {qty.Duration, 48}, "70 por ciento": {qty.Percent, 0.7},
		"1.234,5 kg":  {qty.Mass, 1234.5},
		"68 F":        {qty.Temperature, 20},
		"-40 °F":      {qty.Temperature, -40},
		"20 C":        {qty.Temperature, 20},
		"2 in":        {qty.Length, 2 * in},
		"1 1/2 in":    {qty.Length, 1.5 * in},
		"1½ in":       {qty.Length, 1.5 * in},
		"½ in":        {qty.Length, 0.5 * in},
		"3/4\"":       {qty.Length, 0.75 * in},
		"6 ft":        {qty.Length, 72 * in},
		"16 sq ft":    {qty.Area, 16 * 144 * in * in},
		"72 %":        {qty.Percent, 0.72},
		"30 min":      {qty.Duration, 0.5},
		"1e3 kg":      {qty.Mass, 1000},
		"1000 lb/yd3": {qty.Density, 1000 * lb / (46656 * cubicInch)},
		"2 yards":     {qty.Volume, 2 * 46656 * cubicInch},
	} {
		got, err := qty.Parse(text, c.of)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if math.Abs(got-c.want) > 1e-12*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%q is %v, want %v", text, got, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text     string
		of       qty.Dimension
		say, try string
	}{
		{"2 ton", qty.Mass, "two ways", `"2 short ton" (1814 kg) or "2 tonne" (2000 kg)`},
		{"2 toneladas", qty.Mass, "two ways", `"2 short ton" (1814 kg) or "2 tonne" (2000 kg)`},
		{"3 qt", qty.Volume, "two ways", `(0.003304 m3) or "3 liquid qt" (0.002839 m3)`},
		{"12", qty.Mass, "no unit", "500 lb"},
		{"lb", qty.Mass, "begin with a number", "500 lb"},
		{"", qty.Mass, "begin with a number", "500 lb"},
		{"12 stone", qty.Mass, "not a unit we know", "lb"},
		{"12 lb", qty.Volume, "mass", "yd3"},
		{"1e400 kg", qty.Mass, "", ""},
		{"3/0 in", qty.Length, "", ""},
		{"1.2.3 kg", qty.Mass, "", ""},
		{"NaN kg", qty.Mass, "begin with a number", ""},
	} {
		v, err := qty.Parse(c.text, c.of)
		var pe *qty.ParseError
		if !errors.As(err, &pe) {
			t.Errorf("%q was read as %v (%v)", c.text, v, err)
			continue
		}
		if !strings.Contains(pe.Say, c.say) || !strings.Contains(pe.Try, c.try) {
			t.Errorf("%q: %q, %q", c.text, pe.Say, pe.Try)
		}
	}
}

func TestParseReadsWhatUnitsPrint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom([]qty.Dimension{qty.Mass, qty.Volume, qty.Length, qty.Temperature, qty.Area, qty.Density, qty.Duration, qty.Percent}).Draw(t, "dimension")
		symbol := rapid.SampledFrom(qty.UnitsOf(d)).Draw(t, "unit")
		v := rapid.Float64Range(0.001, 1e6).Draw(t, "value")
		u, ok := qty.Named(symbol)
		if !ok {
			t.Fatalf("%q is listed and not found", symbol)
		}
		got, err := qty.Parse(strconv.FormatFloat(v, 'f', -1, 64)+" "+symbol, d)
		if err != nil {
			t.Fatal(err)
		}
		if back := u.From(got); math.Abs(back-v) > 1e-9*v {
			t.Fatalf("%v %s came back as %v", v, symbol, back)
		}
	})
}

func TestParseNeverPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[-+0-9.,/½ e]{0,8} ?[a-z%"°]{0,6}`)).Draw(t, "text")
		for d := qty.Mass; d <= qty.Percent; d++ {
			if v, err := qty.Parse(s, d); err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Fatalf("%q gave %v", s, v)
			}
		}
	})
}

func TestNumber(t *testing.T) {
	for s, want := range map[string]float64{"1,5": 1.5, "1,200": 1200, "0,125": 0.125, "1.200": 1.2, "1,200.5": 1200.5, "1.200,5": 1200.5, "1,234,567": 1234567, " 7 ": 7} {
		if got, ok := qty.Number(s); !ok || got != want {
			t.Errorf("%q is %v %v, want %v", s, got, ok, want)
		}
	}
	for _, s := range []string{"", "x", "NaN", "Inf", "1e999", "1 2"} {
		if got, ok := qty.Number(s); ok {
			t.Errorf("%q was read as %v", s, got)
		}
	}
}
