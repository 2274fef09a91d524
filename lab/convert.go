package lab

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"wormyard/figure"
	"wormyard/qty"
)

// unit is a unit of a laboratory: what it measures and how much of the first of
// its kind one is.
type unit struct {
	kind   string
	factor float64
	log    bool // the number is a power of ten
}

// Factors follow from the metre and the 1959 pound: a pound in a short ton is
// 500 parts in a million. model.md (L34).
var units = map[string]unit{
	"mg/kg": {"share", 1, false}, "ug/g": {"share", 1, false}, "µg/g": {"share", 1, false}, "ppm": {"share", 1, false}, "g/t": {"share", 1, false},
	"ppb": {"share", 1e-3, false}, "ug/kg": {"share", 1e-3, false}, "ng/g": {"share", 1e-3, false},
	"%": {"share", 1e4, false}, "g/100 g": {"share", 1e4, false}, "g/kg": {"share", 1e3, false}, "mg/g": {"share", 1e3, false},
	"lb/ton": {"share", 500, false}, "lb/short ton": {"share", 500, false},
	"1/g": {"count", 1, false}, "CFU/g": {"count", 1, false}, "MPN/g": {"count", 1, false}, "n/g": {"count", 1, false},
	"MPN/4 g": {"count", 0.25, false}, "MPN/100 g": {"count", 0.01, false}, "CFU/kg": {"count", 1e-3, false}, "CFU/25 g": {"count", 0.04, false}, "CFU/5 g": {"count", 0.2, false},
	"log10 CFU/g": {"count", 1, true}, "log10 MPN/g": {"count", 1, true}, "log CFU/g": {"count", 1, true},
	"dS/m": {"salt", 1, false}, "mS/cm": {"salt", 1, false}, "mmhos/cm": {"salt", 1, false}, "uS/cm": {"salt", 1e-3, false}, "µS/cm": {"salt", 1e-3, false}, "mS/m": {"salt", 1e-2, false},
}

// Units gives the units that are known, in order.
func Units() []string {
	out := make([]string, 0, len(units))
	for u := range units {
		out = append(out, u)
	}
	sort.Strings(out)
	return out
}

func unitOf(name string) (unit, bool) {
	name = strings.TrimSpace(name)
	if u, ok := units[name]; ok {
		return u, true
	}
	for n, u := range units {
		if strings.EqualFold(strings.ReplaceAll(n, " ", ""), strings.ReplaceAll(name, " ", "")) {
			return u, true
		}
	}
	return unit{}, false
}

// oxides are what labels name by the oxide: mass of the oxide for one of the
// element, from atomic masses (P 30.974, K 39.098, O 15.999). model.md (L35).
var oxides = map[string]float64{
	"P2O5": (2*30.974 + 5*15.999) / (2 * 30.974),
	"K2O":  (2*39.098 + 15.999) / (2 * 39.098),
}

// A Conversion is a value of a laboratory, and the unit and basis wanted.
type Conversion struct {
	Value   float64  `json:"value" unit:"as given" low:"-30" high:"1e15"`
	From    string   `json:"from" doc:"unit, as mg/kg or CFU/g"`
	To      string   `json:"to" doc:"unit wanted"`
	Basis   string   `json:"basis" choice:"wet,dry,none" default:"none" doc:"basis as given"`
	ToBasis string   `json:"to_basis" choice:"wet,dry,none" default:"none"`
	DryPart *float64 `json:"dry_frac" unit:"kg/kg wet" low:"0" high:"1" doc:"dry part of the mass as it lies"`
	As      string   `json:"as" choice:"same,element_to_oxide,oxide_to_element" default:"same"`
	Oxide   string   `json:"oxide" choice:"none,P2O5,K2O" default:"none"`
}

type convertOut struct {
	Value float64  `json:"value" unit:"as asked"`
	Steps []string `json:"steps" doc:"the conversion, line by line"`
}

// convertFigure is model.md (L34) and (L35).
func convertFigure(in Conversion) (out convertOut, notes []string, err error) {
	var p problems
	from, okFrom := unitOf(in.From)
	to, okTo := unitOf(in.To)
	for _, x := range []struct {
		key, name string
		ok        bool
	}{{"from", in.From, okFrom}, {"to", in.To, okTo}} {
		if !x.ok {
			p.Add(x.key, fmt.Sprintf("The unit %q is not known.", x.name), "Known are "+strings.Join(Units(), ", ")+".")
		}
	}
	if okFrom && okTo && from.kind != to.kind {
		p.Add("to", fmt.Sprintf("%s cannot become %s: they do not measure the same thing.", in.From, in.To), "Look at the units again.")
	}
	if okFrom && !from.log && in.Value < 0 {
		p.Add("value", fmt.Sprintf("The value is %g. It cannot be below 0.", in.Value), "Look at the sheet again.")
	}
	if okFrom && from.log && in.Value > 30 {
		p.Add("value", fmt.Sprintf("A power of ten of %g is more than there are.", in.Value), "Is it the number itself, and not its logarithm?")
	}
	changes := in.Basis != in.ToBasis
	if changes && (in.Basis == "none" || in.ToBasis == "none") {
		p.Add("basis", "From one basis to the other needs both named.", "Give basis and to_basis, wet or dry.")
	}
	if changes && in.DryPart == nil {
		p.Add("dry_frac", "From one basis to the other needs the dry part.", "Give the dry part of the mass as it lies: 0.4 for 60 % moisture.")
	}
	if in.DryPart != nil && !(*in.DryPart > 0 && *in.DryPart <= 1) {
		p.Add("dry_frac", fmt.Sprintf("The dry part is %g.", *in.DryPart), "Give a part of the mass as it lies, over 0 to 1.")
	}
	if (in.As == "same") != (in.Oxide == "none") {
		p.Add("oxide", "Element and oxide are not both named.", "Give as and oxide together, or neither.")
	}
	if okFrom && changes && from.kind == "salt" {
		p.Add("to_basis", "Salts by conductivity are of an extract and have no wet or dry basis.", "Leave the basis out, and keep how the extract was made beside the value.")
	}
	if err := p.Refuse(); err != nil {
		return out, nil, err
	}
	x := in.Value
	step := func(format string, args ...any) { out.Steps = append(out.Steps, fmt.Sprintf(format, args...)) }
	if from.log {
		step("10^%s = %s", qty.Figures(x), qty.Figures(math.Pow(10, x)))
		x = math.Pow(10, x)
	}
	if f := from.factor / to.factor; f != 1 {
		step("%s %s × %s = %s %s", qty.Figures(x), strings.TrimPrefix(in.From, "log10 "), short(f), qty.Figures(x*f), strings.TrimPrefix(in.To, "log10 "))
		x *= f
	}
	switch {
	case changes && in.ToBasis == "dry":
		y := float64(qty.PerGramWet(x).Dry(qty.Fraction(*in.DryPart)))
		step("%s of wet / %s dry part = %s of dry", qty.Figures(x), short(*in.DryPart), qty.Figures(y))
		x = y
	case changes:
		y := float64(qty.PerGramDry(x).Wet(qty.Fraction(*in.DryPart)))
		step("%s of dry × %s dry part = %s of wet", qty.Figures(x), short(*in.DryPart), qty.Figures(y))
		x = y
	}
	switch in.As {
	case "element_to_oxide":
		step("%s × %s = %s as %s", qty.Figures(x), short(oxides[in.Oxide]), qty.Figures(x*oxides[in.Oxide]), in.Oxide)
		x *= oxides[in.Oxide]
	case "oxide_to_element":
		step("%s / %s = %s as the element", qty.Figures(x), short(oxides[in.Oxide]), qty.Figures(x/oxides[in.Oxide]))
		x /= oxides[in.Oxide]
	}
	if to.log {
		if x <= 0 {
			return out, nil, figure.Refuse("value", "0 has no logarithm.", "Give the limit it lies under.")
		}
		step("log10 %s = %s", qty.Figures(x), short(math.Log10(x)))
		x = math.Log10(x)
	}
	if math.IsInf(x, 0) {
		return out, nil, figure.Refuse("value", "That comes to more than can be printed.", "Look at the dry part and the units.")
	}
	if len(out.Steps) == 0 {
		out.Steps = []string{nothingChanges}
	}
	out.Value = x
	if slices.Contains([]string{in.From, in.To}, "ppm") {
		notes = append(notes, "ppm is read as milligrams in a kilogram.")
	}
	return out, notes, nil
}

// Convert brings a value of a laboratory to another unit, basis or name, with the
// steps line by line; there are none where nothing changes. The error is a
// *figure.Refusal. model.md (L34) and (L35).
func Convert(in Conversion) (value float64, steps []string, err error) {
	out, _, err := convertFigure(in)
	if len(out.Steps) == 1 && out.Steps[0] == nothingChanges {
		out.Steps = nil
	}
	return out.Value, out.Steps, err
}

const nothingChanges = "Nothing changes."

func short(x float64) string { return fmt.Sprintf("%.5g", x) }

// InUnit brings a value from one unit to another of the same kind; ok is false
// when either is not known or they do not measure the same thing. Powers of ten
// are taken out. model.md (L34).
func InUnit(value float64, from, to string) (v float64, ok bool) {
	a, okA := unitOf(from)
	b, okB := unitOf(to)
	if !okA || !okB || a.kind != b.kind {
		return 0, false
	}
	if a.log {
		value = math.Pow(10, value)
	}
	value *= a.factor / b.factor
	if b.log {
		value = math.Log10(value)
	}
	return value, true
}

// SameKind tells whether two units measure the same thing.
func SameKind(one, other string) bool {
	a, okA := unitOf(one)
	b, okB := unitOf(other)
	return okA && okB && a.kind == b.kind
}
