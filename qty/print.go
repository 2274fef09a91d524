package qty

import (
	"math"
	"strconv"
	"strings"
)

// System is the set of units a person reads.
type System int

// The two systems.
const (
	US     System = iota // pounds, cubic yards, inches, degrees Fahrenheit
	Metric               // kilograms, cubic metres, centimetres, degrees Celsius
)

// Temperature prints a temperature to the degree: "68 °F".
func (s System) Temperature(t Celsius) string {
	if s == US {
		return fixed(float64(t)*1.8+32, 0) + " °F"
	}
	return fixed(float64(t), 0) + " °C"
}

// TemperatureStep prints a difference of temperature: "9 °F".
func (s System) TemperatureStep(d float64) string {
	if s == US {
		return fixed(d*1.8, 0) + " °F"
	}
	return fixed(d, 0) + " °C"
}

// Depth prints a depth as it is spread or measured: "1½ in", "4 cm".
func (s System) Depth(d Metre) string {
	if s == US {
		return Halves(float64(d)/MetrePerInch) + " in"
	}
	return fixed(float64(d)*100, 0) + " cm"
}

// Opening prints the hole of a screen: by inches as cloth is sold, with millimetres
// beside, "1/4 in (6.35 mm)", where it is no part of an inch "0.236 in (6 mm)"; else
// "6.35 mm".
func (s System) Opening(m Metre) string {
	mm := Metric.OpeningTyped(m) + " mm"
	if s == US {
		return s.OpeningTyped(m) + " in (" + mm + ")"
	}
	return mm
}

// OpeningTyped prints it as it is typed, bare: "1/4" of an inch, "6.35" of a
// millimetre.
func (s System) OpeningTyped(m Metre) string {
	if s != US {
		return strings.TrimRight(strings.TrimRight(fixed(float64(m)*1000, 3), "0"), ".") // to the thousandth: an eighth is 3.175
	}
	inches := float64(m) / MetrePerInch
	parts := math.Round(inches * finestInch)
	if !(parts >= 1 && parts < 100*finestInch) || math.Abs(parts/finestInch-inches)*MetrePerInch > openingSlackM {
		return Figures(inches)
	}
	whole, top, bottom := int(parts)/finestInch, int(parts)%finestInch, finestInch
	for top%2 == 0 && top > 0 {
		top, bottom = top/2, bottom/2
	}
	switch {
	case top == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return strconv.Itoa(top) + "/" + strconv.Itoa(bottom)
	}
	return strconv.Itoa(whole) + " " + strconv.Itoa(top) + "/" + strconv.Itoa(bottom)
}

// Parts of an inch in which openings are said, and how far from one a hole is still
// called by it [m]: as far as rounding to a hundredth of a millimetre moves it.
const (
	finestInch    = 32
	openingSlackM = 5.1e-6
)

// Mass prints a mass with three figures: "1,200 lb", "12.5 lb"; as 0 what no
// scale of a farm would show.
func (s System) Mass(kg float64) string {
	if math.Abs(kg) < unweighableKg {
		kg = 0
	}
	if s == US {
		return Figures(kg/KgPerPound) + " lb"
	}
	return Figures(kg) + " kg"
}

// unweighableKg is from where on a mass is printed [kg]: a tenth of a small worm.
const unweighableKg = 2e-5

// Volume prints a volume in the unit a yard uses for its size: cubic yards or
// gallons, cubic metres or litres.
func (s System) Volume(v CubicMetre) string {
	if s == US {
		if math.Abs(float64(v)) >= 0.5*M3PerCubicYard {
			return Figures(float64(v)/M3PerCubicYard) + " yd3"
		}
		return Figures(float64(v)/M3PerUSGallon) + " gal"
	}
	if math.Abs(float64(v)) >= 0.5 {
		return Figures(float64(v)) + " m3"
	}
	return Figures(float64(v)*1000) + " L"
}

// Water prints water by the gallon or the litre; 1 kg of water is 1 L.
func (s System) Water(kg WaterKg) string {
	if s == US {
		return Figures(float64(kg)/1000/M3PerUSGallon) + " gal"
	}
	return Figures(float64(kg)) + " L"
}

// Density prints a bulk density: "1,000 lb/yd3".
func (s System) Density(d KgPerM3Wet) string {
	if s == US {
		return Figures(float64(d)*M3PerCubicYard/KgPerPound) + " lb/yd3"
	}
	return Figures(float64(d)) + " kg/m3"
}

// Percent100 prints a fraction in whole per cent: "72 %".
func Percent100(f float64) string { return fixed(f*100, 0) + " %" }

// Halves rounds to the nearest half and prints it as a crew says it: "1½".
func Halves(v float64) string {
	if !(math.Abs(v) < beyondReading) {
		return Figures(v)
	}
	h := math.Round(v * 2)
	sign := ""
	if h < 0 {
		sign, h = "−", -h
	}
	whole := int64(h) / 2
	if int64(h)%2 == 0 {
		return sign + strconv.FormatInt(whole, 10)
	}
	if whole == 0 {
		return sign + "½"
	}
	return sign + strconv.FormatInt(whole, 10) + "½"
}

// Rounded takes a number to so many significant figures; what is none stays as it is.
func Rounded(v float64, figures int) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-float64(figures-1))
	return math.Round(v/step) * step
}

// Figures prints three significant figures, with thousands marks and without
// trailing zeros.
func Figures(v float64) string { return significant(v, 3) }

// Reported prints what a laboratory or a rule says to five significant figures, so that
// 1,004 and a limit of 1,000 are told apart. It is otherwise as Figures.
func Reported(v float64) string { return significant(v, 5) }

func significant(v float64, figures int) string {
	switch a := math.Abs(v); {
	case math.IsNaN(v), math.IsInf(v, 0):
		return "no number"
	case v == 0:
		return "0"
	case a >= beyondReading:
		return strings.Replace(strconv.FormatFloat(v, 'e', 2, 64), "e+", "e", 1)
	}
	places := figures - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if places < 0 {
		p := math.Pow(10, float64(-places))
		return fixed(math.Round(v/p)*p, 0)
	}
	s := fixed(v, places)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// beyondReading is from where on digits are no longer counted by a reader, and
// powers of ten are printed: more than anything on a farm.
const beyondReading = 1e15

func fixed(v float64, places int) string {
	s := strconv.FormatFloat(v, 'f', places, 64)
	neg := strings.HasPrefix(s, "-")
	s = strings.TrimPrefix(s, "-")
	head, tail, point := strings.Cut(s, ".")
	var b strings.Builder
	for i, r := range head {
		if i > 0 && (len(head)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(r)
	}
	out := b.String()
	if point {
		out += "." + tail
	}
	if neg && strings.Trim(out, "0.,") != "" {
		out = "−" + out
	}
	return out
}
