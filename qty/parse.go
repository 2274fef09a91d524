package qty

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
)

// Dimension is what a typed quantity measures.
type Dimension int

// The dimensions a person types.
const (
	Mass        Dimension = iota // stored in kg
	Volume                       // stored in m3
	Length                       // stored in m
	Temperature                  // stored in C
	Area                         // stored in m2
	Density                      // stored in kg/m3
	Duration                     // stored in hours
	Percent                      // stored as a fraction
)

var dimensionWords = [...]string{"mass", "volume", "length", "temperature", "area", "density", "time", "percentage"}

func (d Dimension) String() string { return dimensionWords[d] }

// Exact factors to kg, m, m3, m2 and hours.
const (
	KgPerPound          = 0.45359237     // 1959 agreement
	MetrePerInch        = 0.0254         // 1959 agreement
	MetrePerFoot        = 0.3048         // 12 in
	M3PerCubicFoot      = 0.028316846592 // 0.3048^3
	M3PerCubicYard      = 0.764554857984 // 27 ft3
	M3PerUSGallon       = 0.003785411784 // 231 in3
	M3PerUSBushel       = 0.03523907016688
	M3PerUSDryQuart     = 0.001101220942715
	M3PerUSLiquidQuart  = 0.000946352946
	M3PerImperialGallon = 0.00454609
	KgPerShortTon       = 907.18474    // 2,000 lb
	KgPerLongTon        = 1016.0469088 // 2,240 lb
	KgPerOunce          = 0.028349523125
	M2PerSquareFoot     = 0.09290304
	JoulePerBtu         = 1055.05585262                                // international table
	M2KPerWPerR         = 3600 * M2PerSquareFoot / (1.8 * JoulePerBtu) // h ft2 F/Btu in m2 K/W
)

// Unit is one way of writing a quantity.
type Unit struct {
	Symbol string // as we print it
	Of     Dimension
	factor float64 // to the stored unit
	offset float64 // added before the factor: (v+offset)*factor
}

// To turns a value in this unit into the stored one.
func (u Unit) To(v float64) float64 { return (v + u.offset) * u.factor }

// From turns a stored value into this unit.
func (u Unit) From(v float64) float64 { return v/u.factor - u.offset }

// A unit is typed in English or in Spanish, with its accents or without.
type spelling struct {
	unit  Unit
	names string // separated by |
}

var spellings = []spelling{
	{Unit{"kg", Mass, 1, 0}, "kg|kgs|kilo|kilos|kilogram|kilograms|kilogramo|kilogramos"},
	{Unit{"g", Mass, 0.001, 0}, "g|gram|grams|gramo|gramos"},
	{Unit{"lb", Mass, KgPerPound, 0}, "lb|lbs|pound|pounds|#|libra|libras"},
	{Unit{"short ton", Mass, KgPerShortTon, 0}, "short ton|short tons|us ton|us tons|tonelada corta|toneladas cortas"},
	{Unit{"long ton", Mass, KgPerLongTon, 0}, "long ton|long tons|tonelada larga|toneladas largas"},
	{Unit{"tonne", Mass, 1000, 0}, "tonne|tonnes|metric ton|metric tons|mt|tonelada métrica|toneladas métricas|tonelada metrica|toneladas metricas"},
	{Unit{"oz", Mass, KgPerOunce, 0}, "oz weight|oz|ounce|ounces|onza|onzas"},
	{Unit{"m3", Volume, 1, 0}, "m3|m^3|m³|cubic metre|cubic metres|cubic meter|cubic meters|cbm|cu m|metro cúbico|metros cúbicos|metro cubico|metros cubicos"},
	{Unit{"L", Volume, 0.001, 0}, "l|litre|litres|liter|liters|litro|litros"},
	{Unit{"mL", Volume, 1e-6, 0}, "ml|millilitre|millilitres|milliliter|milliliters|mililitro|mililitros"},
	{Unit{"yd3", Volume, M3PerCubicYard, 0}, "yd3|yd^3|yd³|cubic yard|cubic yards|cu yd|cu yds|cu. yd.|cy|yards3|yarda cúbica|yardas cúbicas|yarda cubica|yardas cubicas"},
	{Unit{"ft3", Volume, M3PerCubicFoot, 0}, "ft3|ft^3|ft³|cubic foot|cubic feet|cu ft|cu. ft.|cf|pie cúbico|pies cúbicos|pie cubico|pies cubicos"},
	{Unit{"gal", Volume, M3PerUSGallon, 0}, "gal|gals|gallon|gallons|us gal|us gallon|us gallons|galón|galon|galones"},
	{Unit{"imp gal", Volume, M3PerImperialGallon, 0}, "imp gal|imperial gallon|imperial gallons"},
	{Unit{"bu", Volume, M3PerUSBushel, 0}, "bu|bushel|bushels"},
	{Unit{"dry qt", Volume, M3PerUSDryQuart, 0}, "dry qt|dry quart|dry quarts"},
	{Unit{"liquid qt", Volume, M3PerUSLiquidQuart, 0}, "liquid qt|liquid quart|liquid quarts"},
	{Unit{"m", Length, 1, 0}, "m|metre|metres|meter|meters|metro|metros"},
	{Unit{"cm", Length, 0.01, 0}, "cm|centimetre|centimetres|centimeter|centimeters|centímetro|centímetros|centimetro|centimetros"},
	{Unit{"mm", Length, 0.001, 0}, "mm|millimetre|millimetres|millimeter|millimeters|milímetro|milímetros|milimetro|milimetros"},
	{Unit{"in", Length, MetrePerInch, 0}, "in|inch|inches|\"|″|in.|pulgada|pulgadas|pulg"},
	{Unit{"ft", Length, MetrePerFoot, 0}, "ft|foot|feet|'|′|ft.|pie|pies"},
	{Unit{"yd", Length, 0.9144, 0}, "yd|yds"},
	{Unit{"°C", Temperature, 1, 0}, "c|°c|degc|deg c|celsius|degrees c|℃|grados c|grado c|centígrados|centigrados|grados centígrados|grados centigrados"},
	{Unit{"°F", Temperature, 1 / 1.8, -32}, "f|°f|degf|deg f|fahrenheit|degrees f|℉|grados f|grado f|grados fahrenheit"},
	{Unit{"m2", Area, 1, 0}, "m2|m^2|m²|square metre|square metres|square meter|square meters|sq m|metro cuadrado|metros cuadrados"},
	{Unit{"ft2", Area, M2PerSquareFoot, 0}, "ft2|ft^2|ft²|square foot|square feet|sq ft|sf|pie cuadrado|pies cuadrados"},
	{Unit{"kg/m3", Density, 1, 0}, "kg/m3|kg/m^3|kg/m³"},
	{Unit{"lb/yd3", Density, KgPerPound / M3PerCubicYard, 0}, "lb/yd3|lbs/yd3|lb/yd³|lb/cu yd|pounds per cubic yard|libras por yarda cúbica|libras por yarda cubica"},
	{Unit{"lb/ft3", Density, KgPerPound / M3PerCubicFoot, 0}, "lb/ft3|lbs/ft3|lb/ft³|lb/cu ft|pounds per cubic foot|libras por pie cúbico|libras por pie cubico"},
	{Unit{"h", Duration, 1, 0}, "h|hr|hrs|hour|hours|hora|horas"},
	{Unit{"min", Duration, 1.0 / 60, 0}, "min|mins|minute|minutes|minuto|minutos"},
	{Unit{"d", Duration, 24, 0}, "d|day|days|día|días|dia|dias"},
	{Unit{"week", Duration, 168, 0}, "wk|week|weeks|semana|semanas"},
	{Unit{"%", Percent, 0.01, 0}, "%|percent|per cent|pct|por ciento|porciento"},
}

// ambiguous spellings have two readings; each is named so that a person can choose.
var ambiguous = map[string][]string{
	"ton":   {"short ton", "tonne"},
	"tons":  {"short ton", "tonne"},
	"t":     {"short ton", "tonne"},
	"qt":    {"dry qt", "liquid qt"},
	"qts":   {"dry qt", "liquid qt"},
	"quart": {"dry qt", "liquid qt"}, "quarts": {"dry qt", "liquid qt"},
	"yard": {"yd", "yd3"}, "yards": {"yd", "yd3"},
	"tonelada": {"short ton", "tonne"}, "toneladas": {"short ton", "tonne"},
	"yarda": {"yd", "yd3"}, "yardas": {"yd", "yd3"},
}

var bySpelling, bySymbol = index()

func index() (map[string]Unit, map[string]Unit) {
	names, symbols := map[string]Unit{}, map[string]Unit{}
	for _, s := range spellings {
		symbols[s.unit.Symbol] = s.unit
		for _, n := range strings.Split(s.names, "|") {
			names[n] = s.unit
		}
	}
	return names, symbols
}

// Named finds a unit by any of its spellings.
func Named(s string) (Unit, bool) {
	if u, ok := bySymbol[s]; ok {
		return u, true
	}
	u, ok := bySpelling[strings.ToLower(strings.TrimSpace(s))]
	return u, ok
}

// A ParseError tells a person what is wrong with a typed quantity and what to do.
type ParseError struct{ Say, Try string }

func (e *ParseError) Error() string { return e.Say + " " + e.Try }

// Parse reads a quantity as a person types it ("2 yd3", "1.5 cu ft", "68 F",
// "1 1/2 in", "1½ in", "12,5 kg" with decimal comma) and returns it in the
// stored unit of its dimension. A bare number, an unknown unit, a unit of
// another dimension, or a unit with two readings gives a *ParseError.
func Parse(s string, want Dimension) (float64, error) {
	num, rest, ok := leadingNumber(strings.TrimSpace(s))
	if !ok {
		return 0, &ParseError{fmt.Sprintf("%q does not begin with a number.", s), "Type an amount and its unit, such as " + example(want) + "."}
	}
	name := strings.ToLower(strings.Join(strings.Fields(rest), " "))
	if name == "" {
		return 0, &ParseError{fmt.Sprintf("%q has no unit.", s), "Type the unit too, such as " + example(want) + "."}
	}
	if symbols, two := ambiguous[name]; two {
		var fits, said []string
		for _, sym := range symbols {
			if bySymbol[sym].Of == want {
				fits = append(fits, sym)
			}
		}
		if len(fits) == 1 {
			return bySymbol[fits[0]].To(num), nil
		}
		for _, sym := range fits {
			said = append(said, fmt.Sprintf("%q (%s)", trimNumber(num)+" "+sym, storedText(bySymbol[sym].To(num), want)))
		}
		if len(fits) > 1 {
			return 0, &ParseError{fmt.Sprintf("%q can be read two ways.", s), "Type " + strings.Join(said, " or ") + "."}
		}
	}
	u, ok := bySpelling[name]
	if !ok {
		return 0, &ParseError{fmt.Sprintf("%q is not a unit we know.", strings.TrimSpace(rest)), "Use one of " + strings.Join(UnitsOf(want), ", ") + "."}
	}
	if u.Of != want {
		return 0, &ParseError{fmt.Sprintf("%q is a %s; a %s is wanted here.", s, u.Of, want), "Use one of " + strings.Join(UnitsOf(want), ", ") + "."}
	}
	v := u.To(num)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, &ParseError{fmt.Sprintf("%q is too large to be an amount.", s), "Type a smaller number."}
	}
	return v, nil
}

// UnitsOf lists the symbols we accept for a dimension, in a fixed order.
func UnitsOf(d Dimension) []string {
	var out []string
	for _, s := range spellings {
		if s.unit.Of == d {
			out = append(out, s.unit.Symbol)
		}
	}
	sort.Strings(out)
	return out
}

func example(d Dimension) string {
	return [...]string{`"500 lb"`, `"2 yd3"`, `"2 in"`, `"68 F"`, `"16 ft2"`, `"1000 lb/yd3"`, `"30 min"`, `"70 %"`}[d]
}

func storedText(v float64, d Dimension) string {
	return strconv.FormatFloat(v, 'g', 4, 64) + " " + [...]string{"kg", "m3", "m", "°C", "m2", "kg/m3", "h", ""}[d]
}

func trimNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

var vulgar = map[rune]float64{'½': 0.5, '¼': 0.25, '¾': 0.75, '⅓': 1.0 / 3, '⅔': 2.0 / 3, '⅛': 0.125, '⅜': 0.375, '⅝': 0.625, '⅞': 0.875}

// leadingNumber reads "2", "2.5", "2,5", "1,200.5", "1 1/2", "3/4", "1½", "-4".
func leadingNumber(s string) (value float64, rest string, ok bool) {
	i := 0
	for i < len(s) && strings.ContainsRune("+-0123456789.,", rune(s[i])) {
		i++
	}
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') && i > 0 { // 1e3
		j := i + 1
		if j < len(s) && (s[j] == '-' || s[j] == '+') {
			j++
		}
		k := j
		for k < len(s) && s[k] >= '0' && s[k] <= '9' {
			k++
		}
		if k > j {
			i = k
		}
	}
	head, tail := s[:i], s[i:]
	sign := 1.0
	if head != "" {
		v, good := Number(head)
		if !good {
			return 0, s, false
		}
		value, ok = v, true
		if strings.HasPrefix(head, "-") {
			sign = -1
		}
	}
	if strings.HasPrefix(tail, "/") && ok { // 3/4
		if d, after, good := digits(tail[1:]); good && d != 0 {
			return value / d, after, true
		}
		return 0, s, false
	}
	for r, f := range vulgar {
		if after, found := strings.CutPrefix(strings.TrimLeft(tail, " "), string(r)); found {
			return value + sign*f, after, true
		}
	}
	if ok { // 1 1/2
		t := strings.TrimLeft(tail, " ")
		if n, after, good := digits(t); good && len(t) < len(tail) && strings.HasPrefix(after, "/") {
			if d, after2, good2 := digits(after[1:]); good2 && d != 0 {
				return value + sign*n/d, after2, true
			}
		}
	}
	return value, tail, ok
}

func digits(s string) (float64, string, bool) {
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	v, err := strconv.ParseFloat(s[:i], 64)
	return v, s[i:], i > 0 && err == nil
}

// Number reads a number with a decimal point or decimal comma and optional
// thousands marks, which must part groups of three digits. "1,200" is twelve
// hundred and "0,125" an eighth: a single comma is a thousands mark when three
// digits follow a head of one to three that is not zero. A single point is always the decimal
// point.
func Number(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	points, commas := strings.Count(s, "."), strings.Count(s, ",")
	good := true
	switch {
	case points > 0 && commas > 0: // the last mark is the decimal one
		thousands, decimal := ",", "."
		if strings.LastIndex(s, ",") > strings.LastIndex(s, ".") {
			thousands, decimal = ".", ","
		}
		head, tail, _ := strings.Cut(s, decimal)
		head, good = ungroup(head, thousands)
		s = head + "." + tail
	case commas > 1:
		s, good = ungroup(s, ",")
	case points > 1:
		s, good = ungroup(s, ".")
	case commas == 1:
		head, tail, _ := strings.Cut(s, ",")
		if len(tail) == 3 && strings.Trim(head, "+-0") != "" && len(strings.TrimLeft(head, "+-")) <= 3 {
			s = head + tail
		} else {
			s = head + "." + tail
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, good && err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}

// ungroup takes the thousands marks out and says whether they parted groups of
// three.
func ungroup(s, mark string) (string, bool) {
	groups := strings.Split(s, mark)
	for i, g := range groups {
		if i > 0 && len(g) != 3 || i == 0 && (strings.Trim(g, "+-") == "" || len(strings.TrimLeft(g, "+-")) > 3) {
			return s, false
		}
	}
	return strings.Join(groups, ""), true
}
