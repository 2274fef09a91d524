package climate

import "math"

// Off gives for each hour of consecutive days, from the first midnight of the
// place on, how far the air may lie from what is taken [C, one standard
// deviation]: not at all on a day that was read, the further the longer ago that
// was, up to how far any day lies from its normal, and on a day of an outlook no
// further than outlooks are off. Straight from noon to noon. model.md (C19)
func Off(p *Parameters, days []Day) []float64 {
	noon := make([]float64, len(days))
	most := p.NormalSDC * p.NormalSDC
	v, ahead := most, 0.0
	for i, d := range days {
		v += (most - v) * Forgotten(p, 1)
		switch d.Origin {
		case Measured, Typed:
			v, ahead = 0, 0
		case Outlook:
			told := d.Origin.Spread(p, ahead)
			v = min(v, told*told)
			ahead++
		default:
			ahead = 0
		}
		noon[i] = math.Sqrt(v)
	}
	out := make([]float64, 24*len(days))
	for i := range out {
		d, x := i/24, (float64(i%24)-12)/24
		other := d + 1
		if x < 0 {
			other, x = d-1, -x
		}
		out[i] = noon[d]
		if other >= 0 && other < len(noon) {
			out[i] += x * (noon[other] - noon[d])
		}
	}
	return out
}

// Forgotten gives which share of what is still known of the air goes in so many
// days, as a variance, 0 to 1. model.md (C19)
func Forgotten(p *Parameters, days float64) float64 {
	return -math.Expm1(-2 * days / p.BlendDays)
}
