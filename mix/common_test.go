package mix

import (
	"math"
	"testing"

	"wormyard/feedstock"
	"wormyard/internal/highs"
	"wormyard/internal/source"
	"wormyard/qty"
)

var solver = highs.Open(highs.Options{CacheDir: highs.CacheDir()})

func parameters(t testing.TB) Parameters {
	t.Helper()
	var p Parameters
	if err := source.Load("mix", &p); err != nil {
		t.Fatal(err)
	}
	return p
}

func library(t testing.TB) *feedstock.Library {
	t.Helper()
	l, err := source.Library()
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// made is a material of which only the named properties are known.
func made(name string, values map[string]float64) feedstock.Material {
	m := feedstock.Material{Name: name}
	for key, v := range values {
		*m.Property(key) = own(v)
	}
	return m
}

// wetPartOf is a part of the worked cases: kg, moisture, carbon and nitrogen in percent.
func kilos(name string, wet, moisture, carbon, nitrogen float64) Part {
	return Part{Name: name, Amount: feedstock.Quantity{Wet: qty.WetKg(wet)}, Material: made(name, map[string]float64{
		feedstock.KeyWater: moisture / 100, feedstock.KeyCarbon: carbon / 100, feedstock.KeyNitrogen: nitrogen / 100,
	})}
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s is %.8g, want %.8g within %g", what, got, want, within)
	}
}
