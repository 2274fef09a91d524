package web

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// TestContrast computes the contrast of every pair of text and ground by the
// formula of WCAG 2.2 (relative luminance): 7 to 1 for text, 3 to 1 for
// textures and lines.
func TestContrast(t *testing.T) {
	data, err := staticFiles.ReadFile("static/look.css")
	if err != nil {
		t.Fatal(err)
	}
	css := string(data)
	part := func(from, to string) map[string]float64 {
		i := strings.Index(css, from)
		if i < 0 {
			t.Fatalf("the style sheet has no %q", from)
		}
		j := strings.Index(css[i:], to)
		out := map[string]float64{}
		for _, m := range regexp.MustCompile(`--([a-z-]+):#([0-9a-f]{6})`).FindAllStringSubmatch(css[i:i+j], -1) {
			out[m[1]] = luminance(t, m[2])
		}
		return out
	}
	themes := map[string]map[string]float64{"paper": part(":root{", "color-scheme:light"), "soil": part(":root[data-theme=soil]{", "color-scheme:dark"), "soil by the device": part("@media (prefers-color-scheme:dark)", "}}")}
	for name, c := range themes {
		check := func(front, back string, least float64) {
			t.Helper()
			a, ok1 := c[front]
			b, ok2 := c[back]
			if !ok1 || !ok2 {
				t.Fatalf("%s has no %s or %s", name, front, back)
			}
			if got := (math.Max(a, b) + 0.05) / (math.Min(a, b) + 0.05); got < least {
				t.Errorf("%s: %s on %s is %.2f to 1, wanted %g", name, front, back, got, least)
			}
		}
		for _, back := range []string{"paper", "sheet", "care", "note", "shade", "field"} {
			check("ink", back, 7)
			check("soft", back, 7)
			check("bark", back, 7)
		}
		check("ink", "band", 7)
		for _, line := range []string{"straw", "leaf", "clay", "rain", "edge", "wood", "bark", "worm", "focus"} {
			check(line, "paper", 3)
			check(line, "sheet", 3)
		}
		check("clay", "band", 3)
		check("rain", "wet", 3)
		check("feed", "feed-mark", 3)
		check("bedding", "bedding-mark", 3)
		check("castings", "castings-mark", 3)
	}
	if !mapsEqual(themes["soil"], themes["soil by the device"]) {
		t.Error("the soil of the device and the soil of the choice differ")
	}
}

func mapsEqual(a, b map[string]float64) bool {
	if len(a) != len(b) {
		return false
	}
	for k, v := range a {
		if b[k] != v {
			return false
		}
	}
	return true
}

func luminance(t *testing.T, hex string) float64 {
	weights := []float64{0.2126, 0.7152, 0.0722}
	sum := 0.0
	for i := range 3 {
		n, err := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		v := float64(n) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		sum += weights[i] * v
	}
	return sum
}
