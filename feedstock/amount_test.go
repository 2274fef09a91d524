package feedstock_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

func near(t *testing.T, what string, got, want, rel float64) {
	t.Helper()
	if math.Abs(got-want) > rel*math.Abs(want)+1e-12 {
		t.Errorf("%s is %.9g, want %.9g", what, got, want)
	}
}

// The masses of 3 yd3 of stall manure, by hand: 3 x 1379 lb; 72 % water; 1.6 %
// nitrogen and C:N 30 of dry matter.
func TestAmountByHand(t *testing.T) {
	m, err := library(t).Find("horse manure with bedding")
	if err != nil {
		t.Fatal(err)
	}
	x, missing, err := m.Amount(feedstock.Quantity{Volume: 3 * 0.764554857984})
	if err != nil || len(missing) != 0 {
		t.Fatal(missing, err)
	}
	wet := 3 * 1379 * 0.45359237
	near(t, "wet", float64(x.Wet()), wet, 1e-12)
	near(t, "water", float64(x.Water), .72*wet, 1e-12)
	near(t, "nitrogen", float64(x.TotalNitrogen()), .28*wet*.016, 1e-12)
	near(t, "C:N", float64(x.CN()), 30, 1e-12)
	near(t, "ash", float64(x.Ash), .28*wet*.20, 1e-12)
	near(t, "density", float64(x.Density()), 1379*0.45359237/0.764554857984, 1e-12)
	near(t, "ammonia", float64(x.Ammonia), .28*wet*1500e-6, 1e-12)
}

// Whatever the material and however its amount is given, the parts add to the
// whole and the three ways of giving an amount agree.
func TestAmountAddsUp(t *testing.T) {
	materials := library(t).Materials()
	rapid.Check(t, func(t *rapid.T) {
		m := materials[rapid.IntRange(0, len(materials)-1).Draw(t, "material")]
		if !m.Density.Has() || m.Name == "water" {
			t.Skip("has no density or no dry matter")
		}
		v := qty.CubicMetre(rapid.Float64Range(1e-3, 1e3).Draw(t, "volume"))
		x, _, err := m.Amount(feedstock.Quantity{Volume: v})
		if err != nil {
			t.Fatal(err)
		}
		parts := float64(x.Quick + x.Slow + x.Woody + x.Cast + x.Ash)
		if math.Abs(parts-float64(x.Dry)) > 1e-9*float64(x.Dry) {
			t.Fatalf("%s: parts %g, dry %g", m.Name, parts, x.Dry)
		}
		if x.Lignin > x.Dry || float64(x.Carbon) > float64(x.Dry) || x.TotalNitrogen() > qty.NitrogenKg(x.Dry) || x.Nitrogen < 0 {
			t.Fatalf("%s: more of a part than of the whole: %+v", m.Name, x)
		}
		for _, q := range []feedstock.Quantity{{Wet: x.Wet()}, {Dry: x.Dry}} {
			y, _, err := m.Amount(q)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(float64(y.Volume-x.Volume)) > 1e-9*float64(x.Volume) || math.Abs(float64(y.Carbon-x.Carbon)) > 1e-9*float64(x.Carbon) || math.Abs(float64(y.Dry-x.Dry)) > 1e-9*float64(x.Dry) {
				t.Fatalf("%s: %+v and %+v", m.Name, x, y)
			}
		}
	})
}

func TestWaterIsOnlyWater(t *testing.T) {
	m, _ := library(t).Find("water")
	x, missing, err := m.Amount(feedstock.Quantity{Volume: 1})
	if err != nil || len(missing) != 0 || x.Dry != 0 || x.Water != 1000 {
		t.Errorf("%+v %v %v", x, missing, err)
	}
}

func TestCastingsAreWorkedAlready(t *testing.T) {
	m, _ := library(t).Find("castings")
	x, _, err := m.Amount(feedstock.Quantity{Wet: 100})
	if err != nil || float64(x.Cast) < 0.7*float64(x.Dry-x.Ash) {
		t.Errorf("%+v %v", x, err)
	}
}

// What is not known is listed, not guessed: chips with nothing but the numbers
// of a contract.
func TestMissingIsListed(t *testing.T) {
	m, err := library(t).Blank("chips").Override(
		feedstock.Assay{Key: "water_frac_wet", Value: qty.Exactly(.3)},
		feedstock.Assay{Key: "nitrogen_frac_dry", Value: qty.Exactly(.0009)},
		feedstock.Assay{Key: "cn", Value: qty.Exactly(560)},
	)
	if err != nil {
		t.Fatal(err)
	}
	x, missing, err := m.Amount(feedstock.Quantity{Wet: 120})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "carbon", float64(x.Carbon), 120*.7*.0009*560, 1e-12)
	for _, k := range []string{feedstock.KeyDensity, feedstock.KeyAsh, feedstock.KeyLignin, feedstock.KeySalts, feedstock.KeyPH, feedstock.KeyAmmonia} {
		if !slices.Contains(missing, k) {
			t.Errorf("%s is not listed as missing: %v", k, missing)
		}
	}
	for _, k := range []string{feedstock.KeyWater, feedstock.KeyNitrogen, feedstock.KeyCarbon, feedstock.KeySlow} {
		if slices.Contains(missing, k) {
			t.Errorf("%s is listed as missing: %v", k, missing)
		}
	}
}

func TestAmountsThatCannotBe(t *testing.T) {
	l := library(t)
	m, _ := l.Find("sawdust")
	blank := l.Blank("something")
	for _, c := range []struct {
		m    feedstock.Material
		q    feedstock.Quantity
		own  []feedstock.Assay
		tell []string
	}{
		{m, feedstock.Quantity{Wet: -1}, nil, []string{"mass_kg_wet"}},
		{m, feedstock.Quantity{Wet: 1, Volume: 1}, nil, []string{"more than one way"}},
		{m, feedstock.Quantity{Volume: qty.CubicMetre(math.NaN())}, nil, []string{"volume_m3"}},
		{blank, feedstock.Quantity{Volume: 1}, nil, []string{"moisture", "density"}},
		{m, feedstock.Quantity{Wet: 1}, []feedstock.Assay{{Key: "water_frac_wet", Value: qty.Exactly(7.2)}, {Key: "moistness", Value: qty.Exactly(1)}}, []string{"7.2", "moistness"}},
		{m, feedstock.Quantity{Wet: 1}, []feedstock.Assay{{Key: "cn", Value: qty.Exactly(math.NaN())}}, []string{"cn"}},
	} {
		_, _, err := c.m.Amount(c.q, c.own...)
		var r *figure.Refusal
		if !errors.As(err, &r) {
			t.Errorf("%+v was not refused: %v", c.q, err)
			continue
		}
		var all strings.Builder
		for _, p := range r.Problems {
			all.WriteString(p.Field + " " + p.Say + " " + p.Try + " ")
		}
		for _, part := range c.tell {
			if !strings.Contains(all.String(), part) {
				t.Errorf("%s does not tell of %q", all.String(), part)
			}
		}
	}
}

// An own analysis stands in front and the library's values stay behind it.
func TestOverrideKeepsBoth(t *testing.T) {
	l := library(t)
	m, _ := l.Find("dairy solids, separated")
	own, err := m.Override(feedstock.Assay{Key: "nitrogen_frac_dry", Value: qty.Exactly(.021), Ref: "assay 12"})
	if err != nil {
		t.Fatal(err)
	}
	p := own.Nitrogen
	if !p.Own || p.Best != .021 || p.Known != "measured" || p.Claims[0].Ref != "assay 12" || p.Claims[0].How != "measured" {
		t.Errorf("%+v", p)
	}
	if len(p.Claims) != len(m.Nitrogen.Claims)+1 || p.Claims[1] != m.Nitrogen.Claims[0] {
		t.Errorf("the library's claims are lost: %+v", p.Claims)
	}
	if again, _ := l.Find("dairy solids, separated"); again.Nitrogen.Best != m.Nitrogen.Best || len(again.Nitrogen.Claims) != len(m.Nitrogen.Claims) {
		t.Error("the library itself was changed")
	}
	// nitrogen was measured, carbon was not: carbon stays and C:N moves.
	before, after := m.Values(feedstock.Best), own.Values(feedstock.Best)
	if before.Carbon != after.Carbon {
		t.Errorf("carbon moved from %g to %g", before.Carbon, after.Carbon)
	}
}

// A measured carbon is never overwritten; else an own C:N, then an own ash
// decides.
func TestCarbonOrder(t *testing.T) {
	m, _ := library(t).Find("leaves, loose dry")
	at := func(own ...feedstock.Assay) float64 {
		x, err := m.Override(own...)
		if err != nil {
			t.Fatal(err)
		}
		return float64(x.Values(feedstock.Best).Carbon)
	}
	carbon := feedstock.Assay{Key: "carbon_frac_dry", Value: qty.Exactly(.41)}
	cn := feedstock.Assay{Key: "cn", Value: qty.Exactly(40)}
	ash := feedstock.Assay{Key: "ash_frac_dry", Value: qty.Exactly(.1)}
	volatile := feedstock.Assay{Key: "volatile_frac_dry", Value: qty.Exactly(.9)}
	near(t, "library", at(), .009*54, 1e-12)
	near(t, "all", at(carbon, cn, ash), .41, 1e-12)
	near(t, "C:N and ash", at(cn, ash), .009*40, 1e-12)
	near(t, "ash", at(ash), .5, 1e-12)
	near(t, "volatile solids", at(volatile), .5, 1e-12)
}

// An own moisture moves the library's density with it: 178 kg/m3 at 38 % is
// 119 x 0.62 of dry matter in the space; wet to 69 % it weighs twice as much.
func TestDensityFollowsMoisture(t *testing.T) {
	m, _ := library(t).Find("leaves, loose dry")
	wet, err := m.Override(feedstock.Assay{Key: "water_frac_wet", Value: qty.Exactly(.69)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "density", wet.Density.Best, m.Density.Best*.62/.31, 1e-12)
	soaked, _ := m.Override(feedstock.Assay{Key: "water_frac_wet", Value: qty.Exactly(.97)})
	if soaked.Density.Best > 1/(.97/1000+.03/1600)*(1+1e-12) {
		t.Errorf("%g kg/m3 is denser than water and leaves without air", soaked.Density.Best)
	}
	both, _ := m.Override(feedstock.Assay{Key: "water_frac_wet", Value: qty.Exactly(.69)}, feedstock.Assay{Key: "density_kg_m3_wet", Value: qty.Exactly(200)})
	near(t, "own density", both.Density.Best, 200, 0)
}

// A wetter, saltier, drier amount is monotone in its own property.
func TestAmountIsMonotone(t *testing.T) {
	m, _ := library(t).Find("cattle manure")
	last := math.Inf(1)
	for w := 0.0; w <= 1; w += .1 {
		x, _, err := m.Amount(feedstock.Quantity{Wet: 1000}, feedstock.Assay{Key: "water_frac_wet", Value: qty.Exactly(w)})
		if err != nil {
			t.Fatal(err)
		}
		if float64(x.Dry) > last {
			t.Errorf("at moisture %g there is more dry matter than when drier", w)
		}
		last = float64(x.Dry)
	}
	before := 2.0
	for l := 0.0; l <= .5; l += .02 {
		if b := feedstock.Degradable(l); b > before || b < .02 || b > .83 {
			t.Errorf("at lignin %g the part that rots is %g", l, b)
		} else {
			before = b
		}
	}
}

func TestOwnLigninDividesAnew(t *testing.T) {
	m, _ := library(t).Find("straw, wheat")
	tough, err := m.Override(feedstock.Assay{Key: "lignin_frac_dry", Value: qty.Exactly(.25)})
	if err != nil {
		t.Fatal(err)
	}
	if tough.Woody.Best <= m.Woody.Best || math.Abs(tough.Quick.Best+tough.Slow.Best+tough.Woody.Best-1) > 1e-5 {
		t.Errorf("woody %g, was %g", tough.Woody.Best, m.Woody.Best)
	}
}
