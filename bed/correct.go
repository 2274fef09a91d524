package bed

import "math"

// Contents is what a bed holds, for the whole bin: dry matter, water with ice,
// carbon and nitrogen [kg], worms included, and heat of the bed without its worms
// above everything frozen at -50 C [J].
type Contents struct{ Dry, Water, Carbon, Nitrogen, Heat float64 }

// Contents gives what a bed holds.
func (r *Runner) Contents(box Box, s *State) Contents {
	r.area = box.Area()
	sum := r.total(s)
	return Contents{sum.dry * r.area, sum.water * r.area, sum.carbon * r.area, sum.nitrogen * r.area, sum.heat * r.area}
}

// Plus adds contents.
func (c Contents) Plus(o Contents) Contents {
	return Contents{c.Dry + o.Dry, c.Water + o.Water, c.Carbon + o.Carbon, c.Nitrogen + o.Nitrogen, c.Heat + o.Heat}
}

// Less takes contents away.
func (c Contents) Less(o Contents) Contents {
	return c.Plus(Contents{-o.Dry, -o.Water, -o.Carbon, -o.Nitrogen, -o.Heat})
}

// Layer and bed as a measurement may correct them.
const (
	wettest    = 0.95 // of wet
	driest     = 0.02
	correctAir = 0.03 // air that a corrected layer keeps in its pores [m3/m3]
)

// Correct changes what a layer of the bed holds to what a measurement makes of
// it: all its matter and its water by a factor, its depth by another, and then its
// water to a share of wet, the worked share of what worms can eat, and its
// temperature [C]. What has no room, and what would be no bed, is cut off. It is a
// correction of the estimate and no process: what it adds is the caller's to book
// (Contents). docs/model/twin.md (T6).
func (p *Parameters) Correct(l *Layer, matter, deep, wet, worked, tempC float64) {
	if matter != 1 {
		l.add(l, matter-1)
	}
	l.DepthM *= deep
	if dry := l.Dry(); dry > 0 {
		l.DepthM = min(max(l.DepthM, dry/densest), dry/loosest)
		if wet != l.WaterOfWet() {
			wet = min(max(wet, driest), wettest)
			l.Water = max(dry*wet/(1-wet)-l.Ice, 0)
		}
		l.Water = min(l.Water, p.Column.room(l, correctAir))
	}
	if was := l.Worked(); worked != was && was < 1 {
		edible := l.Quick + l.Slow + l.Cast
		worked = min(max(worked, 0), 1)
		f := (1 - worked) / (1 - was)
		l.Quick, l.Slow = l.Quick*f, l.Slow*f
		l.Cast = edible - l.Quick - l.Slow
	}
	if tempC != l.TempC && !math.IsNaN(tempC) {
		l.TempC = min(max(tempC, coldest+1), hottestC)
		if l.Ice > 0 && l.TempC > 0 || l.TempC < 0 {
			p.Column.freeze(l, p.Column.heatCap(l)*l.TempC)
		}
	}
}

// hottestC is the warmest that a bed is corrected to [C].
const hottestC = 85.0

// WaterOfWet gives water and ice of the wet mass [kg/kg].
func (l *Layer) WaterOfWet() float64 {
	if wet := l.Dry() + l.Water + l.Ice; wet > 0 {
		return (l.Water + l.Ice) / wet
	}
	return 0
}
