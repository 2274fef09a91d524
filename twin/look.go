package twin

import (
	"math"

	"wormyard/bed"
	"wormyard/chance"
)

// Look is what hand, eye and nose found at an hour; an empty word says nothing.
// The words are those of the journal's kind look.
type Look struct {
	Hour     int64
	Squeeze  string
	FeedLeft string
	Worms    string
	Where    string
	Smell    string
}

// Signs are what a member would show to somebody who opens its bin.
type Signs struct {
	Water   float64 // of the upper third, where a hand squeezes [kg/kg wet]
	Left    float64 // of the last feeding, the share that lies unworked
	KgM2    float64 // worms under a square metre [kg live]
	Oxygen  float64 // lowest in the upper half
	Ammonia float64 // [ppm]
}

// SignsOf reads what a member would show to somebody who opens the bin.
// docs/model.md (T4).
func (c *Crew) SignsOf(m *Member, box bed.Box) Signs {
	out := seen(&m.State, box)
	out.Ammonia = c.sharpest(m, box)
	return out
}

// sharpest gives the most ammonia in the pores of a bed [ppm]. docs/model.md (T4).
func (c *Crew) sharpest(m *Member, box bed.Box) float64 {
	most := 0.0
	for _, p := range c.Profile(m, box) {
		most = math.Max(most, p.Ammonia)
	}
	return most
}

// seen gives the signs of a bed without its ammonia, which takes the most reckoning.
func seen(s *bed.State, box bed.Box) Signs {
	out := Signs{Oxygen: 0.2095, KgM2: (s.Worms.AdultKg + s.Worms.JuvenileKg) / box.Area()}
	var deep, wet, water float64
	for i := range s.Layers {
		deep += s.Layers[i].DepthM
	}
	var below float64
	for i := len(s.Layers) - 1; i >= 0; i-- {
		l := &s.Layers[i]
		if below < deep/3 {
			w := l.Water + l.Ice
			water, wet = water+w, wet+w+l.Dry()
		}
		if below < deep/2 {
			out.Oxygen = math.Min(out.Oxygen, l.Oxygen)
		}
		below += l.DepthM
	}
	if wet > 0 {
		out.Water = water / wet
	}
	out.Left = LeftOfLast(s)
	return out
}

// LeftOfLast gives how much of the newest feeding's edible matter is unworked, 0 to 1.
// docs/model.md (T4).
func LeftOfLast(s *bed.State) float64 {
	var newest int64 = math.MinInt64
	for i := range s.Layers {
		if s.Layers[i].Feed && s.Layers[i].Laid > newest {
			newest = s.Layers[i].Laid
		}
	}
	return LeftSince(s, newest)
}

var squeezes = []string{"dry", "crumbly", "few drops", "drips", "runs"}

// squeezeEnds gives the bounds between the words of a squeeze [kg/kg wet].
func (p *Parameters) squeezeEnds() []float64 {
	return []float64{p.SqueezeDry, p.SqueezeCrumb, p.SqueezeDrops, p.SqueezeDrips}
}

// Squeeze says what a handful of a moisture [kg/kg wet] most likely does in the
// hand, in the words of a look.
func (p *Parameters) Squeeze(water float64) string {
	class := 0
	for _, end := range p.squeezeEnds() {
		if water >= end {
			class++
		}
	}
	return squeezes[class]
}

// between gives the chance that a value seen with error sd falls in class i of
// the classes that the bounds part.
func between(v, sd float64, i int, bounds ...float64) float64 {
	low, high := 0.0, 1.0
	if i > 0 {
		low = chance.NormalLower((bounds[i-1] - v) / sd)
	}
	if i < len(bounds) {
		high = chance.NormalLower((bounds[i] - v) / sd)
	}
	return math.Max(high-low, 0)
}
