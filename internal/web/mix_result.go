package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"wormyard/feedstock"
	"wormyard/figure"
	"wormyard/internal/app"
	"wormyard/qty"
)

// WindowShown is one property of the mix beside what is wanted of it.
type WindowShown struct {
	Anchor                                      string
	Stands, Range, Wanted, Chance, Working, Alt string
	Mend                                        MendShown
	Band, Window, At                            string
}

// StepShown is one line of a working.
type StepShown struct {
	Anchor, Title, Formula, How, Source, To string
	Rows                                    []Fact
}

// compute asks for a mix. What is refused comes back as problems.
func (s *Server) compute(ctx context.Context, p person, in app.MixRequest) (*app.MixAnswer, []app.Problem, error) {
	if s.Mix == nil {
		return nil, nil, errors.New("no mixer is set")
	}
	out, err := s.Mix.Answer(ctx, in, p.Units)
	var no *figure.Refusal
	if errors.As(err, &no) {
		var problems []app.Problem
		for _, x := range no.Problems {
			problems = append(problems, app.Problem{Field: mixField(x.Field), Say: x.Say, Try: x.Try})
		}
		return nil, problems, nil
	}
	return out, nil, err
}

// fillMix shows what the parts make.
func (s *Server) fillMix(ctx context.Context, p person, f mixForm, in app.MixRequest, out *app.MixAnswer, page *MixPage) error {
	mends, err := s.mends(ctx, p, f, in, out)
	if err != nil {
		return err
	}
	for _, b := range out.Blocked {
		say := p.Say("mix.blockedsay", windowName(p, b.Window), p.Told(b.Needs))
		if b.Best != nil {
			say = p.Say("mix.blockedbest", windowName(p, b.Window), outputSay(p, b.Window, *b.Best), p.Told(b.Needs))
		}
		page.Blocked = append(page.Blocked, say)
	}
	for _, h := range out.Hazards {
		x := HazardShown{Head: p.Say("hazard."+h.Level, p.Told(h.What)), Say: strings.TrimSpace(p.Say("hazard.in", p.Told(h.Material)) + " " + p.Told(sentence(h.Why)) + " " + p.Say("hazard.clears", p.Told(h.Clears)))}
		if h.Level == string(feedstock.LevelWarn) {
			page.Warns = append(page.Warns, x)
			continue
		}
		page.Hazards = append(page.Hazards, x)
	}
	page.ResultTitle = p.Say("mix.result", p.Told(f.Purpose))
	if out.ChanceAll != nil {
		page.Chance = p.Say("mix.all", p.Words.Chance(*out.ChanceAll))
	}
	page.Worst = worstOf(p, out)
	page.Squeeze = s.squeezeSay(p, out)
	for _, win := range out.Windows {
		key := win.Window
		if win.Value == nil {
			page.Missing = append(page.Missing, p.Say("mixat.unknown", windowName(p, key)))
			continue
		}
		v := *win.Value
		x := WindowShown{Anchor: "mix-" + key, Stands: standing(p, win), Mend: mends[key], Wanted: wantedSay(p, key, win.Min, win.Max), Working: "#step-" + key}
		low, high := v, v
		if q, ok := out.Range[key]; ok {
			low, high = q.P05, q.P95
			if outputNumber(p, key, low) != outputNumber(p, key, high) {
				x.Range = p.Say("mix.range", outputNumber(p, key, low), outputSay(p, key, high))
			}
		}
		if c := out.Chance[key]; c != nil {
			x.Chance = p.Say("mix.chance", p.Words.Chance(*c))
		}
		x.Band, x.Window, x.At = ruler(win.Min, win.Max, v, low, high)
		x.Alt = p.Say("mix.alt", windowName(p, key), outputSay(p, key, v), x.Wanted)
		x.Working = "#working"
		if name := figureOf[key]; name != "" {
			x.Working = "/working/figure/" + name
			if i := slices.IndexFunc(out.Working, func(st figure.Step) bool { return st.Figure == name }); i >= 0 {
				x.Working = stepsShown(p, out.Working[i:i+1])[0].To
			}
		}
		page.Windows = append(page.Windows, x)
		page.Banded = page.Banded || x.Range != ""
	}
	add := func(key, value string) {
		page.Facts = append(page.Facts, Fact{Name: p.Say("out." + key), Value: value})
	}
	n := out.Mix
	if n.Volume != nil {
		add("volume_m3", printable(p.Units.Volume(qty.CubicMetre(*n.Volume))))
	}
	if n.MassWet != nil {
		add("mass_kg_wet", printable(p.Units.Mass(*n.MassWet)))
	}
	if out.WaterToAdd != nil && math.Abs(*out.WaterToAdd) > 0.5 {
		add("water_to_add_kg", printable(p.Units.Water(qty.WaterKg(*out.WaterToAdd))))
	}
	for _, x := range []struct {
		key   string
		value *float64
	}{{"density_kg_m3_wet", n.Density}, {"nitrogen_frac_dry", n.Nitrogen}, {"ash_frac_dry", n.Ash}, {"lignin_frac_dry", n.Lignin}} {
		if x.value != nil {
			add(x.key, outputSay(p, x.key, *x.value))
		}
	}
	if out.Cost != nil {
		add("cost", qty.Figures(*out.Cost))
	}
	if out.NextTest != nil && out.NextTest.What != "" {
		page.NextTest = p.Say("mix.nexttest", p.Told(sentence(out.NextTest.What)), p.Told(sentence(out.NextTest.Why)))
	}
	for _, m := range out.Unknown {
		page.Missing = append(page.Missing, p.Told(sentence(m)))
	}
	for _, m := range out.Notes {
		page.Missing = append(page.Missing, p.Told(sentence(m)))
	}
	page.Working = stepsShown(p, out.Working)
	return nil
}

// worstOf says where a mix stands worst: what must not be used, else the window
// that is least likely met.
func worstOf(p person, out *app.MixAnswer) string {
	for _, h := range out.Hazards {
		if h.Level == string(feedstock.LevelRefuse) {
			return p.Say("hazard."+h.Level, p.Told(h.What))
		}
	}
	var worst *app.MixHeld
	least := 2.0
	for i, w := range out.Windows {
		if c := out.Chance[w.Window]; c != nil && w.Value != nil && *c < least {
			worst, least = &out.Windows[i], *c
		}
	}
	switch {
	case worst == nil:
		return ""
	case worst.Met != nil && !*worst.Met:
		return standing(p, *worst)
	case least >= 0.8:
		return p.Say("mix.inplace")
	}
	return p.Say("mix.leastsure", windowName(p, worst.Window), outputSay(p, worst.Window, *worst.Value), p.Words.Chance(least))
}

// squeezes are the sentences of what a handful does in the hand: as it is
// worked out, and as it is wanted.
var squeezes = map[string][2]string{
	"dry": {"squeeze.is.dry", "squeeze.want.dry"}, "crumbly": {"squeeze.is.crumbly", "squeeze.want.crumbly"}, "few drops": {"squeeze.is.drops", "squeeze.want.drops"},
	"drips": {"squeeze.is.drips", "squeeze.want.drips"}, "runs": {"squeeze.is.runs", "squeeze.want.runs"},
}

// squeezeSay tells how a hand finds out whether the mix came out as computed.
func (s *Server) squeezeSay(p person, out *app.MixAnswer) string {
	if out.Mix.Water == nil {
		return ""
	}
	say := p.Say(squeezes[s.Mix.Squeeze(qty.WaterOfWet(*out.Mix.Water))][0], outputSay(p, "water_frac_wet", *out.Mix.Water))
	for _, w := range out.Windows {
		if w.Window == "water_frac_wet" && w.Min != nil && w.Max != nil {
			say += " " + p.Say(squeezes[s.Mix.Squeeze(qty.WaterOfWet((*w.Min+*w.Max)/2))][1])
		}
	}
	return say
}

// figureOf names the figure that computes an output.
var figureOf = map[string]string{"water_frac_wet": "mix.blend_moisture", "cn": "mix.carbon_to_nitrogen", "air_filled_frac": "mix.air_filled", "density_kg_m3_wet": "mix.blend_density", "ec_ds_m": "mix.dry_mean", "ammonia_n_mg_kg_dry": "mix.dry_mean"}

func windowName(p person, key string) string {
	if p.Words.Has("out." + key) {
		return p.Say("out." + key)
	}
	return strings.ReplaceAll(key, "_", " ")
}

// outputSay gives a property of a mix as people say it.
func outputSay(p person, key string, v float64) string {
	switch {
	case key == "cn":
		return p.Say("matter.cnsay", whole(v))
	case strings.HasSuffix(key, "_frac_dry") && v < 0.1:
		return qty.Figures(100*v) + " %"
	case strings.Contains(key, "_frac"):
		return qty.Percent100(v)
	case key == "density_kg_m3_wet":
		return printable(p.Units.Density(qty.KgPerM3Wet(v)))
	case key == "volume_m3":
		return printable(p.Units.Volume(qty.CubicMetre(v)))
	case strings.HasPrefix(key, "mass_kg"):
		return printable(p.Units.Mass(v))
	case key == "ec_ds_m":
		return p.Say("matter.saltsay", qty.Figures(v))
	case key == "ammonia_n_mg_kg_dry":
		return p.Say("matter.ammoniasay", qty.Figures(v))
	}
	return qty.Figures(v)
}

func outputNumber(p person, key string, v float64) string {
	switch {
	case key == "cn":
		return whole(v)
	case strings.HasSuffix(key, "_frac_dry") && v < 0.1:
		return qty.Figures(100 * v)
	case strings.Contains(key, "_frac"):
		return percentNumber(v)
	case key == "density_kg_m3_wet":
		return qty.Figures(v * pickNumber(p.Units, qty.M3PerCubicYard/qty.KgPerPound, 1))
	}
	return qty.Figures(v)
}

func wantedSay(p person, key string, low, high *float64) string {
	open := low == nil || *low <= 0
	switch {
	case open && high == nil:
		return ""
	case high == nil:
		return p.Say("mix.atleast", outputSay(p, key, *low))
	case open:
		return p.Say("mix.atmost", outputSay(p, key, *high))
	}
	return p.Say("mix.between", outputNumber(p, key, *low), outputSay(p, key, *high))
}

// ruler draws a value, its range and its window on one line of 356.
func ruler(least, most *float64, v, low, high float64) (band, window, at string) {
	from, to := math.Min(low, v), math.Max(high, v)
	wl, wh := math.Min(0, from), 0.0
	if least != nil {
		wl = *least
	}
	if most != nil {
		wh = *most
	} else {
		wh = math.Max(2*wl, 1.15*to)
	}
	from, to = math.Min(from, wl), math.Max(to, wh)
	pad := 0.08 * (to - from)
	if pad == 0 {
		pad = 1
	}
	x := func(v float64) float64 {
		return math.Min(354, math.Max(6, 6+348*(v-from+pad)/(to-from+2*pad)))
	}
	n := func(v float64) string { return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64) }
	band = fmt.Sprintf("M%s 9H%sV19H%sZ", n(x(low)), n(math.Max(x(high), x(low)+1)), n(x(low)))
	window = fmt.Sprintf("M%s 4V24M%s 4V24M%s 14H%s", n(x(wl)), n(x(wh)), n(x(wl)), n(x(wh)))
	return band, window, n(x(v))
}
