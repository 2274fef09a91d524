package web

import (
	"math"
	"strconv"

	"wormyard/internal/web/words"
	"wormyard/qty"
	"wormyard/twin"
)

// How numbers of the core are said on a page, in the person's units.

// degrees gives a temperature in the person's degrees.
func (p person) degrees(c float64) float64 {
	if p.Units == qty.US {
		return c*1.8 + 32
	}
	return c
}

// temperature gives a temperature without its unit, temperatureUnit with it.
func (p person) temperature(c float64) string { return whole(p.degrees(c)) }

func (p person) temperatureUnit(c float64) string { return p.Units.Temperature(qty.Celsius(c)) }

func whole(v float64) string {
	v = math.Round(v)
	if v < 0 {
		return "−" + strconv.FormatFloat(-v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v+0, 'f', -1, 64)
}

func percentNumber(f float64) string { return whole(100 * f) }

// depthValue gives a depth in inches or centimetres.
func depthValue(p person, m float64) float64 {
	if p.Units == qty.US {
		return m / qty.MetrePerInch
	}
	return m * 100
}

func depthSay(p person, m float64) string { return p.Units.Depth(qty.Metre(m)) }

func depthNumber(p person, m float64) string {
	if p.Units == qty.US {
		return qty.Halves(m / qty.MetrePerInch)
	}
	return whole(m * 100)
}

func pickNumber(sys qty.System, us, metric float64) float64 {
	if sys == qty.US {
		return us
	}
	return metric
}

// rangeSay gives the middle of a range with its ends.
func rangeSay(p person, r twin.Range, say func(float64) string) string {
	if say(r.Low) == say(r.High) {
		return say(r.Mid)
	}
	return p.Say("range.short", say(r.Mid), say(r.Low), say(r.High))
}

func rangeKg(p person, low, mid, high float64) string {
	if low == high || high == 0 {
		return printable(p.Units.Mass(mid))
	}
	unit := pickNumber(p.Units, qty.KgPerPound, 1)
	step := thirdFigure(mid / unit) // the ends as finely as the middle
	n := func(kg float64) string { return qty.Figures(roundTo(kg/unit, step)) }
	return p.Say("range.long", printable(p.Units.Mass(mid)), n(low), n(high))
}

// unknownTimes is from how many times the low end on the high end of a range of
// worms says that nobody knows: the middle of such a range misleads.
const unknownTimes = 50

// vague tells whether a range of worms says no more than that nobody knows.
func vague(r twin.Range) bool { return r.High > someWormsKg && r.High > unknownTimes*r.Low }

// someWormsKg is from where on worms count [kg]: a handful.
const someWormsKg = 0.05

// hardlyWormsKg is below how much nobody would find a worm [kg]: a few of them.
const hardlyWormsKg = 0.005

// wormsSay prints how many worms there are, in kilograms: of a vague range only its
// ends, the upper to two figures.
func wormsSay(p person, r twin.Range) string {
	if r.High < hardlyWormsKg {
		return p.Say("worms.none")
	}
	if !vague(r) {
		return rangeKg(p, r.Low, r.Mid, r.High)
	}
	unit := pickNumber(p.Units, qty.KgPerPound, 1)
	high := r.High / unit
	return p.Say("worms.upto", printable(p.Units.Mass(unit*roundTo(high, 10*thirdFigure(high)))))
}

// thousands prints a whole number with marks.
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

// plainNumber prints a number as a box of a form holds it.
func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func halfOf(v float64) float64 { return math.Round(v*2) / 2 }

// thirdFigure gives the place of a number's third figure: 0.1 for 13.6.
func thirdFigure(v float64) float64 {
	if v == 0 {
		return 1
	}
	return math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-2)
}

func roundTo(v, step float64) float64 { return math.Round(v/step) * step }

// Worms says how many worms an outlook has, in a reader's words.
func Worms(r twin.Range, c *words.Catalogue, units qty.System) string {
	return wormsLook(person{Units: units, Words: c}, r)
}
