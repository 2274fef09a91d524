package mix

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/qty"
)

// anyPart draws a part with all properties known, by volume or by mass.
func anyPart(t *rapid.T, name string) Part {
	in := func(what string, low, high float64) float64 {
		return rapid.Float64Range(low, high).Draw(t, name+" "+what)
	}
	m := made(name, map[string]float64{
		feedstock.KeyWater: in("water", .02, .95), feedstock.KeyCarbon: in("carbon", .2, .6), feedstock.KeyNitrogen: in("nitrogen", .001, .06),
		feedstock.KeyDensity: in("density", 40, 1200), feedstock.KeyAsh: in("ash", .01, .6), feedstock.KeySalts: in("salts", 0, 8),
		feedstock.KeyAmmonia: in("ammonia", 0, 900), feedstock.KeyLignin: in("lignin", .02, .4),
	})
	m.PH = ranged(in("ph", 4, 6), 6.5, in("ph high", 7, 9))
	p := Part{Name: name, Material: m}
	switch rapid.IntRange(0, 2).Draw(t, name+" given by") {
	case 0:
		p.Amount.Volume = qty.CubicMetre(in("volume", .01, 50))
	case 1:
		p.Amount.Wet = qty.WetKg(in("wet", 1, 20000))
	default:
		p.Amount.Dry = qty.DryKg(in("dry", 1, 20000))
	}
	return p
}

func anyRecipe(t *rapid.T) Recipe {
	r := Recipe{Water: qty.WaterKg(rapid.Float64Range(0, 3000).Draw(t, "water")), Shrink: qty.Exactly(rapid.Float64Range(0, .4).Draw(t, "shrink"))}
	for i := range rapid.IntRange(1, 5).Draw(t, "parts") {
		r.Parts = append(r.Parts, anyPart(t, string(rune('a'+i))))
	}
	return r
}

func alike(t *rapid.T, what string, a, b Numbers, but ...Output) {
	for _, o := range Outputs() {
		skip := false
		for _, x := range but {
			skip = skip || x == o
		}
		if !skip && !(math.Abs(a[o]-b[o]) <= 1e-9*(1+math.Abs(a[o]))) {
			t.Fatalf("%s: %s is %v and %v", what, o.Key(), a[o], b[o])
		}
	}
}

// asPart makes a part of a whole mix, by its own numbers.
func asPart(name string, n Numbers) Part {
	m := made(name, map[string]float64{
		feedstock.KeyWater: n[Water], feedstock.KeyCarbon: n[Carbon], feedstock.KeyNitrogen: n[Nitrogen], feedstock.KeyDensity: n[Density],
		feedstock.KeyAsh: n[Ash], feedstock.KeySalts: n[Salts], feedstock.KeyAmmonia: n[Ammonia], feedstock.KeyLignin: n[Lignin],
	})
	m.PH = ranged(n[PHLow], n[PHLow], n[PHHigh])
	return Part{Name: name, Material: m, Amount: feedstock.Quantity{Wet: qty.WetKg(n[MassWet])}}
}

// Mixing some parts first and the rest later makes what mixing all at once
// makes, when nothing is lost of the volume in between.
func TestMixingIsAssociative(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		r := anyRecipe(t)
		r.Shrink = qty.Exactly(0)
		whole := mustForward(t, p, r)
		cut := rapid.IntRange(1, len(r.Parts)).Draw(t, "cut")
		first := mustForward(t, p, Recipe{Parts: r.Parts[:cut], Water: r.Water})
		later := Recipe{Parts: append([]Part{asPart("first", first.Numbers)}, r.Parts[cut:]...)}
		alike(t, "in two steps", whole.Numbers, mustForward(t, p, later).Numbers)
	})
}

func mustForward(t *rapid.T, p Parameters, r Recipe) Result {
	out, err := Forward(p, r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func TestMassIsConserved(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		r := anyRecipe(t)
		out := mustForward(t, p, r)
		wet, dry, water, volume := float64(r.Water), 0.0, float64(r.Water), 0.0
		for _, x := range out.Parts {
			wet += float64(x.Wet)
			dry += float64(x.Dry)
			water += float64(x.Water)
			volume += float64(x.Volume)
		}
		n := out.Numbers
		for what, pair := range map[string][2]float64{
			"wet": {n[MassWet], wet}, "dry": {n[MassDry], dry}, "water": {n[WaterMass], water}, "wet is dry and water": {n[MassDry] + n[WaterMass], wet},
			"volume": {n[Volume], volume * (1 - r.Shrink.Best)}, "matter": {float64(out.Matter.Wet()), wet}, "matter's volume": {float64(out.Matter.Volume), n[Volume]},
			"carbon": {float64(out.Matter.Carbon), n[Carbon] * dry}, "nitrogen": {float64(out.Matter.TotalNitrogen()), n[Nitrogen] * dry},
			"C:N": {float64(out.Matter.CN()), n[CN]}, "ash": {float64(out.Matter.Ash), n[Ash] * dry}, "density": {float64(out.Matter.Density()), n[Density]},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-9*(1+math.Abs(pair[1])) {
				t.Fatalf("%s: %v against %v", what, pair[0], pair[1])
			}
		}
	})
}

func TestRatiosDoNotDependOnScale(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		r := anyRecipe(t)
		k := rapid.Float64Range(.01, 100).Draw(t, "scale")
		big := r
		big.Water *= qty.WaterKg(k)
		big.Parts = append([]Part(nil), r.Parts...)
		for i := range big.Parts {
			a := &big.Parts[i].Amount
			a.Wet, a.Dry, a.Volume = a.Wet*qty.WetKg(k), a.Dry*qty.DryKg(k), a.Volume*qty.CubicMetre(k)
		}
		alike(t, "scaled", mustForward(t, p, r).Numbers, mustForward(t, p, big).Numbers, MassWet, MassDry, WaterMass, Volume)
	})
}

// A ratio of the mix lies between those of its parts, and water makes it wetter,
// heavier in the same room and poorer in air.
func TestMixLiesBetweenItsParts(t *testing.T) {
	p := parameters(t)
	rapid.Check(t, func(t *rapid.T) {
		r := anyRecipe(t)
		out := mustForward(t, p, r)
		low, high := math.Inf(1), math.Inf(-1)
		for _, x := range out.Parts {
			cn := float64(x.Values.Carbon) / float64(x.Values.Nitrogen)
			low, high = math.Min(low, cn), math.Max(high, cn)
		}
		if cn := out.Numbers[CN]; cn < low*(1-1e-9) || cn > high*(1+1e-9) {
			t.Fatalf("C:N %v outside %v to %v", cn, low, high)
		}
		wetter := r
		wetter.Water += 100
		more := mustForward(t, p, wetter)
		if more.Numbers[Water] <= out.Numbers[Water] || more.Numbers[Density] <= out.Numbers[Density] || more.Numbers[AirFilled] > out.Numbers[AirFilled] || more.Numbers[CN] != out.Numbers[CN] {
			t.Fatalf("%v before, %v after pouring water on", out.Numbers, more.Numbers)
		}
	})
}

// Reference case 22, constructed: by volume, with and without loss of volume.
func TestByVolume(t *testing.T) {
	p := parameters(t)
	const yard, lbyd = qty.M3PerCubicYard, qty.KgPerPound / qty.M3PerCubicYard
	manure := made("horse manure", map[string]float64{feedstock.KeyWater: .72, feedstock.KeyNitrogen: .016, feedstock.KeyCN: 30, feedstock.KeyDensity: 1379 * lbyd, feedstock.KeyAsh: .2})
	leaves := made("leaves", map[string]float64{feedstock.KeyWater: .38, feedstock.KeyNitrogen: .009, feedstock.KeyCN: 54, feedstock.KeyDensity: 200 * lbyd, feedstock.KeyAsh: .2})
	r := Recipe{Parts: []Part{
		{Name: "manure", Material: manure, Amount: feedstock.Quantity{Volume: 3 * yard}},
		{Name: "leaves", Material: leaves, Amount: feedstock.Quantity{Volume: 2 * yard}},
	}}
	for _, c := range []struct{ shrink, lb float64 }{{0, 907.4}, {.1, 1008.2}} {
		r.Shrink = qty.Exactly(c.shrink)
		out, err := Forward(p, r)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "mass in lb", out.Numbers[MassWet]/qty.KgPerPound, 4537, .5)
		near(t, "moisture", out.Numbers[Water], .6900, .00005)
		near(t, "C:N", out.Numbers[CN], 32.58, .005)
		near(t, "density in lb/yd3", out.Numbers[Density]/lbyd, c.lb, .05)
		if c.shrink > 0 {
			near(t, "density", out.Numbers[Density], 598.15, .005)
			near(t, "air by volumes", out.Numbers[AirFilled], .480, .0005)
			if out.Method != Volumes {
				t.Errorf("method %q", out.Method)
			}
			r.Method = Linear
			linear, err := Forward(p, r)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "air from density", linear.Numbers[AirFilled], .462, .0005)
		}
	}
}

// A mean of ratios is wrong: reference case 14.
func TestRatiosAreNeverAveraged(t *testing.T) {
	p := parameters(t)
	out, err := Forward(p, Recipe{Parts: []Part{kilos("grass", 2, 77, 45, 2.4), kilos("leaves", 1, 35, 50, .75)}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "C:N", out.Numbers[CN], 33.4, .05)
	if mean := (2*45/2.4 + 50/.75) / 3; math.Abs(out.Numbers[CN]-mean) < 1 {
		t.Errorf("C:N %v is the mean of ratios %v", out.Numbers[CN], mean)
	}
	// Reference case 17 at 3.5 kg of leaves.
	out, err = Forward(p, Recipe{Parts: []Part{kilos("grass", 10, 77, 45, 2.4), kilos("leaves", 3.5, 35, 50, .75)}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "C:N", out.Numbers[CN], 30.06, .005)
	near(t, "moisture", out.Numbers[Water], .661, .0005)
}

// Reference case 12, duck litter: carbon from volatile matter, C:N 16.
func TestCarbonFromAsh(t *testing.T) {
	p := parameters(t)
	m := made("duck litter", map[string]float64{feedstock.KeyWater: .63, feedstock.KeyNitrogen: .0085 / .37, feedstock.KeyAsh: .34})
	out, err := Forward(p, Recipe{Parts: []Part{{Name: "duck litter", Material: m, Amount: feedstock.Quantity{Wet: .17}}}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "carbon", out.Numbers[Carbon], .367, .0005)
	near(t, "C:N", out.Numbers[CN], 16.0, .05)
	// A measured carbon is never overwritten by ash.
	m.Carbon = own(.40)
	out, err = Forward(p, Recipe{Parts: []Part{{Name: "duck litter", Material: m, Amount: feedstock.Quantity{Wet: .17}}}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "carbon", out.Numbers[Carbon], .40, 1e-12)
}

// What is not known of one part is not known of the mix, and says why.
func TestUnknownIsNotGuessed(t *testing.T) {
	p := parameters(t)
	some := made("some", map[string]float64{feedstock.KeyWater: .5, feedstock.KeyNitrogen: .01, feedstock.KeyCarbon: .4, feedstock.KeyDensity: 300, feedstock.KeyAsh: .1, feedstock.KeySalts: 1})
	bare := made("bare", map[string]float64{feedstock.KeyWater: .5, feedstock.KeyCarbon: .4})
	r := Recipe{Parts: []Part{
		{Name: "some", Material: some, Amount: feedstock.Quantity{Wet: 10}},
		{Name: "bare", Material: bare, Amount: feedstock.Quantity{Wet: 1}},
	}}
	out, err := Forward(p, r)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range []Output{MassWet, MassDry, WaterMass, Water, Carbon} {
		if !out.Numbers.Known(o) {
			t.Errorf("%s is not known, though nothing lacks for it", o.Key())
		}
	}
	for o, lacks := range map[Output]string{Nitrogen: "nitrogen_frac_dry", CN: "nitrogen_frac_dry", Ash: "ash_frac_dry", Volume: "density_kg_m3_wet", Density: "density_kg_m3_wet", AirFilled: "density_kg_m3_wet", Salts: "ec_ds_m", PHLow: "ph", Ammonia: "ammonia_n_mg_kg_dry", Lignin: "lignin_frac_dry"} {
		if out.Numbers.Known(o) {
			t.Errorf("%s was guessed as %v", o.Key(), out.Numbers[o])
		}
		said := false
		for _, m := range out.Missing {
			said = said || (m.Output == o && m.Lacks == lacks && strings.Contains(m.String(), "bare"))
		}
		if !said {
			t.Errorf("nothing says that %s lacks %s of bare: %v", o.Key(), lacks, out.Missing)
		}
	}
	// A part that is not in the mix lacks nothing.
	r.Parts[1].Amount = feedstock.Quantity{}
	if out, err = Forward(p, r); err != nil || !out.Numbers.Known(CN) || !out.Numbers.Known(Density) {
		t.Errorf("%v, %v", out.Numbers, err)
	}
	// Nor does water.
	r.Parts[1] = Part{Name: "water", Material: made("water", map[string]float64{feedstock.KeyWater: 1}), Amount: feedstock.Quantity{Wet: 5}}
	if out, err = Forward(p, r); err != nil || !out.Numbers.Known(CN) || !out.Numbers.Known(Density) || !out.Numbers.Known(Salts) {
		t.Errorf("%v, %v", out.Numbers, err)
	}
}

func TestWhatCannotBeIsRefused(t *testing.T) {
	p := parameters(t)
	good := kilos("manure", 100, 72, 48, 1.6)
	with := func(change func(*Recipe)) Recipe {
		r := Recipe{Parts: []Part{good}}
		change(&r)
		return r
	}
	for name, c := range map[string]struct {
		r     Recipe
		field string
	}{
		"nothing":                {Recipe{}, "parts"},
		"only water":             {Recipe{Parts: []Part{{Name: "water", Material: made("water", map[string]float64{feedstock.KeyWater: 1}), Amount: feedstock.Quantity{Wet: 5}}}, Water: 10}, "parts"},
		"no amount":              {with(func(r *Recipe) { r.Parts[0].Amount = feedstock.Quantity{} }), "parts"},
		"negative":               {with(func(r *Recipe) { r.Parts[0].Amount.Wet = -1 }), "parts[0].mass_kg_wet"},
		"NaN":                    {with(func(r *Recipe) { r.Parts[0].Amount.Wet = qty.WetKg(math.NaN()) }), "parts[0].mass_kg_wet"},
		"water poured":           {with(func(r *Recipe) { r.Water = -1 }), "water_kg"},
		"shrink of all":          {with(func(r *Recipe) { r.Shrink = qty.Exactly(1) }), "shrink_frac"},
		"volume without density": {with(func(r *Recipe) { r.Parts[0].Amount = feedstock.Quantity{Volume: 1} }), "parts[0].density_kg_m3_wet"},
		"carbon above all":       {Recipe{Parts: []Part{{Name: "x", Material: made("x", map[string]float64{feedstock.KeyWater: .5, feedstock.KeyNitrogen: .16, feedstock.KeyCN: 30}), Amount: feedstock.Quantity{Wet: 1}}}}, "parts[0].cn"},
		"method":                 {with(func(r *Recipe) { r.Method = "guess" }), "air_filled_method"},
	} {
		_, err := Forward(p, c.r)
		var refusal *figure.Refusal
		if !errors.As(err, &refusal) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		found := false
		for _, x := range refusal.Problems {
			found = found || x.Field == c.field
			if x.Say == "" || x.Try == "" || strings.Contains(x.Say+x.Try, "!") {
				t.Errorf("%s: %+v", name, x)
			}
		}
		if !found {
			t.Errorf("%s: %+v does not name %s", name, refusal.Problems, c.field)
		}
	}
}

// More water than room is told, and the air given is none rather than below none.
func TestDrowned(t *testing.T) {
	p := parameters(t)
	m := made("slurry", map[string]float64{feedstock.KeyWater: .9, feedstock.KeyDensity: 1000, feedstock.KeyAsh: .1})
	out, err := Forward(p, Recipe{Parts: []Part{{Name: "slurry", Material: m, Amount: feedstock.Quantity{Volume: 1}}}, Water: 200})
	if err != nil {
		t.Fatal(err)
	}
	if out.Numbers[AirFilled] != 0 || !strings.Contains(strings.Join(out.Notes, " "), "cannot be") {
		t.Errorf("air %v, notes %v", out.Numbers[AirFilled], out.Notes)
	}
}

// Common practice, no source: one part leaves, one part stall manure with
// bedding and half a part wood chips by volume is an everyday feed, high in
// carbon on purpose; a starting bed has relatively fewer chips. Neither is
// warned about for carbon alone.
func TestEverydayFeedIsNotWarnedAboutForCarbon(t *testing.T) {
	p, l := parameters(t), library(t)
	blend := func(chips float64) Recipe {
		var r Recipe
		for name, v := range map[string]float64{"leaves, loose dry": 1, "horse manure with bedding": 1, "wood chips, hardwood": chips} {
			m, err := l.Find(name)
			if err != nil {
				t.Fatal(err)
			}
			r.Parts = append(r.Parts, Part{Name: name, Material: m, Amount: feedstock.Quantity{Volume: qty.CubicMetre(v)}})
		}
		return r
	}
	for purpose, r := range map[Purpose]Recipe{Feed: blend(.5), StartingBed: blend(.25), WoodyFeed: blend(1.5)} {
		out, err := Forward(p, r)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range p.Windows(purpose) {
			if w.Output == CN && !w.Holds(out.Numbers[CN], p.ExactSlack) {
				t.Errorf("%s: C:N %v is outside %v", purpose, out.Numbers[CN], w)
			}
		}
		if s := strings.Join(out.Notes, " "); strings.Contains(s, "C:N") || strings.Contains(s, "carbon") || strings.Contains(s, "Carbon") {
			t.Errorf("%s: %s", purpose, s)
		}
	}
}

func TestEveryPurposeHasWindows(t *testing.T) {
	p := parameters(t)
	for _, purpose := range Purposes() {
		has := map[Output]bool{}
		for _, w := range p.Windows(purpose) {
			if !(w.Low < w.High) || w.Why == "" || has[w.Output] {
				t.Errorf("%s: %+v", purpose, w)
			}
			has[w.Output] = true
		}
		if !has[Water] || !has[CN] {
			t.Errorf("%s has no window for moisture or C:N", purpose)
		}
	}
	if p.Windows("fodder") != nil {
		t.Error("an unknown purpose has windows")
	}
	for _, w := range p.Windows(WoodyFeed) {
		if w.Output == CN && !math.IsInf(w.High, 1) {
			t.Error("woody feed has an upper end for carbon")
		}
	}
}
