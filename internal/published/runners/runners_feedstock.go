package runners

import (
	"errors"
	"fmt"
	"math"

	"wormyard/climate"
	"wormyard/feedstock"
	"wormyard/internal/published"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/yard"
)

// stock computes the checks of units, of tests in pots and of piles.
func stock() []Runner {
	return []Runner{
		{"units_1959", "Q10.1", layer}, {"units_1959", "Q10.2", counted}, {"units_1959", "Q10.3", published.Numbers(resistance)},
		{"units_1959", "Q10.4", density}, {"units_1959", "Q10.5", layer},
		{"units_1959", "Q1.11", temperature}, {"units_1959", "Q7.4", density}, {"units_1959", "Q7.5", yardage},
		{"pots_and_buckets", "Q2.1 to Q2.3", published.Numbers(func(in map[string]float64) map[string]float64 {
			return map[string]float64{"p": feedstock.Fisher(int(in["hurt"]), int(in["test"]), int(in["hurt_control"]), int(in["control"]))}
		})},
		{"pots_and_buckets", "Q2.4", published.Numbers(func(in map[string]float64) map[string]float64 {
			return map[string]float64{"rate": feedstock.NoneDeadBound(int(in["worms"]), in["confidence"])}
		})},
		{"chandler_1980", "3a", published.Numbers(func(in map[string]float64) map[string]float64 {
			return map[string]float64{"degradable_frac": feedstock.Degradable(in["lignin_frac_volatile"])}
		})},
		{"pile_limits", "6j", cooling}, {"pile_limits", "E28", ashBalance},
	}
}

func read(in map[string]any, key string, of qty.Dimension) (float64, error) {
	return qty.Parse(fmt.Sprint(in[key]), of)
}

func unit(name string) qty.Unit {
	u, ok := qty.Named(name)
	if !ok {
		panic("no unit " + name)
	}
	return u
}

// layer spreads a depth over an area or over a length and a width.
func layer(in map[string]any) (map[string]any, error) {
	depth, err := read(in, "depth", qty.Length)
	if err != nil {
		return nil, err
	}
	area, err := read(in, "area", qty.Area)
	if in["area"] == nil {
		var length, width float64
		if length, err = read(in, "length", qty.Length); err == nil {
			width, err = read(in, "width", qty.Length)
		}
		area = length * width
	}
	out := map[string]any{}
	for _, name := range []string{"ft3", "L", "gal", "yd3"} {
		out[name] = unit(name).From(depth * area)
	}
	return out, err
}

func counted(in map[string]any) (map[string]any, error) {
	of, err := read(in, "of", qty.Volume)
	if err != nil {
		return nil, err
	}
	one, err := read(in, "one", qty.Volume)
	return map[string]any{"count": of / one}, err
}

func resistance(in map[string]float64) map[string]float64 {
	si := in["r"] * qty.M2KPerWPerR
	return map[string]float64{"si": si, "u": 1 / si}
}

func density(in map[string]any) (map[string]any, error) {
	v, err := read(in, "density", qty.Density)
	return map[string]any{"kg_m3": v, "lb_yd3": unit("lb/yd3").From(v)}, err
}

func temperature(in map[string]any) (map[string]any, error) {
	v, err := read(in, "temp", qty.Temperature)
	return map[string]any{"c": v}, err
}

// yardage weighs a volume.
func yardage(in map[string]any) (map[string]any, error) {
	volume, err := read(in, "volume", qty.Volume)
	density, no := read(in, "density", qty.Density)
	kg := volume * density
	return map[string]any{"kg": kg, "ton": unit("short ton").From(kg)}, errors.Join(err, no)
}

// cooling lets a pile of nothing but ash cool through a film that gives the loss
// asked for, without shell, settling or air.
func cooling(in map[string]any) (map[string]any, error) {
	var p yard.Parameters
	if err := errors.Join(source.Load("yard", &p.Heap), source.Load("warmth", &p.Warmth)); err != nil {
		return nil, err
	}
	_, _, surface := yard.Shape(1, p.Slope)
	p.ShellPart, p.SettlePart, p.StillAirMS, p.DrawnAirMS = 0, 0, 0, 0
	p.FilmM2KW = surface / in["loss_w_k"].(float64)
	dry := qty.DryKg(in["capacity_j_k"].(float64) / p.DryHeat)
	warm := qty.Celsius(in["from_c"].(float64))
	s, _, err := yard.Follow(&p, climate.Steady(0, 1, climate.Hour{TempC: in["air_c"].(float64), RH: .5}), nil,
		[]yard.Event{{Kind: yard.Received, Matter: feedstock.Matter{Dry: dry, Ash: dry, Volume: 1}, AtC: &warm}}, int64(in["days"].(float64)*24))
	return map[string]any{"core_c": s.TempC}, err
}

// ashBalance lets a pile rot and reckons what is left in both ways: from ash, and
// from what the run says has gone.
func ashBalance(in map[string]any) (map[string]any, error) {
	var p yard.Parameters
	if err := errors.Join(source.Load("yard", &p.Heap), source.Load("warmth", &p.Warmth)); err != nil {
		return nil, err
	}
	const dry = 1000.0
	before := in["ash_frac_dry"].(float64)
	volatile := dry * (1 - before)
	m := feedstock.Matter{
		Dry: dry, Ash: qty.DryKg(dry * before), Water: 2000, Volume: 6, Carbon: qty.CarbonKg(.5 * volatile), Nitrogen: 20,
		Quick: qty.DryKg(.2 * volatile), Slow: qty.DryKg(.4 * volatile), Woody: qty.DryKg(.4 * volatile),
	}
	days := in["days"].(float64)
	s, b, err := yard.Follow(&p, climate.Steady(0, 1, climate.Hour{TempC: 15, RH: .7}), nil,
		[]yard.Event{{Kind: yard.Received, Matter: m}, {Hour: int64(days * 12), Kind: yard.Turned}}, int64(days*24))
	after := float64(s.Matter.Ash) / float64(s.Matter.Dry)
	left := before / after
	lost := 1 - (1-after)*before/((1-before)*after)
	return map[string]any{
		"left_differs": math.Abs(left - (dry-float64(b.DryLost))/dry),
		"lost_differs": math.Abs(lost - float64(b.DryLost)/volatile),
		"rotted":       float64(b.DryLost) > .01*dry,
	}, err
}
