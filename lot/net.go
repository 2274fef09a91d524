package lot

import (
	"math"

	"wormyard/qty"
)

// Panel is how tall the letters of net contents must be on a label, by the area of
// its front. The values are data (internal/source/data/label.json).
type Panel struct {
	Area1   float64 `param:"panel_area_1" unit:"m2"`
	Area2   float64 `param:"panel_area_2" unit:"m2"`
	Area3   float64 `param:"panel_area_3" unit:"m2"`
	Area4   float64 `param:"panel_area_4" unit:"m2"`
	Letter1 float64 `param:"net_letter_1" unit:"m"`
	Letter2 float64 `param:"net_letter_2" unit:"m"`
	Letter3 float64 `param:"net_letter_3" unit:"m"`
	Letter4 float64 `param:"net_letter_4" unit:"m"`
	Letter5 float64 `param:"net_letter_5" unit:"m"`
}

// NetLetter gives the least height of the figures of net contents on a front of an
// area [m2 to m]. model.md (Q15).
func (p Panel) NetLetter(area qty.SquareMetre) qty.Metre {
	a := float64(area)
	switch {
	case a <= p.Area1:
		return qty.Metre(p.Letter1)
	case a <= p.Area2:
		return qty.Metre(p.Letter2)
	case a <= p.Area3:
		return qty.Metre(p.Letter3)
	case a <= p.Area4:
		return qty.Metre(p.Letter4)
	}
	return qty.Metre(p.Letter5)
}

// NetVolume prints the volume of a bag in both systems: "1 ft³", "28.3 L". Neither
// says more than is in it. model.md (Q16).
func NetVolume(v qty.CubicMetre) (us, metric string) {
	const foot, quart = qty.M3PerCubicFoot, qty.M3PerUSDryQuart
	switch m := float64(v); {
	case m >= 0.9*qty.M3PerCubicYard:
		us = qty.Figures(notMore(m/qty.M3PerCubicYard)) + " yd³"
	case m >= 0.2*foot:
		us = qty.Figures(notMore(m/foot)) + " ft³"
	default:
		us = qty.Figures(notMore(m/quart)) + " dry qt"
	}
	if v >= 1 {
		return us, qty.Figures(notMore(float64(v))) + " m³"
	}
	return us, qty.Figures(notMore(float64(v)*1000)) + " L"
}

// NetMass prints a mass in both systems, as NetVolume does. model.md (Q16).
func NetMass(kg qty.WetKg) (us, metric string) {
	return qty.Figures(notMore(float64(kg)/qty.KgPerPound)) + " lb", qty.Figures(notMore(float64(kg))) + " kg"
}

// AboutMass prints a mass that was worked out from a volume, with the two figures that
// such a one is good for. model.md (Q16).
func AboutMass(kg qty.WetKg) (us, metric string) {
	two := func(v float64) float64 {
		if !(v > 0) || math.IsInf(v, 0) {
			return 0
		}
		return qty.Rounded(v, 2)
	}
	return qty.Figures(two(float64(kg)/qty.KgPerPound)) + " lb", qty.Figures(two(float64(kg))) + " kg"
}

// typing is how far the size of a bag may stand off a round number because it was
// typed in another unit or with few figures, part of it.
const typing = 1e-4

// notMore rounds to three figures, and down where rounding would add.
func notMore(v float64) float64 {
	if !(v > 0) || math.IsInf(v, 0) {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(v))-2)
	n := math.Round(v / step)
	if n*step > v*(1+typing) {
		n--
	}
	return n * step
}
