package carpentry

import "wormyard/qty"

// Liners are what may stand between wood and bed.
var Liners = []string{"film", "bubble film", "foam board"}

// Loss is what heat a box lets through, by its inside area. U [W/(m2 K)] has the
// films of air on both sides, WK [W/K] is that of the whole side or floor.
type Loss struct {
	WallU, FloorU    float64
	SidesWK, FloorWK float64
}

// WK is the loss of sides and floor together [W/K].
func (l Loss) WK() float64 { return l.SidesWK + l.FloorWK }

// WoodConductivity is that of wood across the grain [W/(m K)] by its specific
// gravity and its moisture [% of dry mass], which stands for up to 25.
// model.md (K15).
func (p Parameters) WoodConductivity(gravity, moisture float64) float64 {
	return gravity*(p.WoodHeatGravity+p.WoodHeatWater*moisture) + p.WoodHeat
}

// Transfer is the heat transfer of a wall of one layer, films of air and a liner
// beside it [W/(m2 K)]: thick in metres, resistances in m2 K/W. model.md (K15).
func Transfer(thickM, conductivity, films, liner float64) float64 {
	return 1 / (films + thickM/conductivity + liner)
}

// linerR is the resistance of the liner of a box [m2 K/W].
func (p Parameters) linerR(x Box) float64 {
	switch {
	case !x.Lined:
		return 0
	case x.Liner == Liners[1]:
		return p.LinerBubble.Best
	case x.Liner == Liners[2]:
		return p.LinerFoam
	}
	return p.LinerFilm
}

// LossOf is what a box loses through its sides and its floor where air is about
// it on all sides. model.md (K15).
func (p Parameters) LossOf(x Box, b Built, g Grade) Loss {
	water := p.WoodWaterBare
	if x.Lined {
		water = p.WoodWaterLined
	}
	k, liner := p.WoodConductivity(g.Gravity, water), p.linerR(x)
	l := Loss{
		WallU:  Transfer(dressed[x.Wall].Width*qty.MetrePerInch, k, 2*p.FilmSide, liner),
		FloorU: Transfer(dressed[x.Floor].Width*qty.MetrePerInch, k, 2*p.FilmDown, liner),
	}
	const m2 = qty.MetrePerInch * qty.MetrePerInch
	l.SidesWK = l.WallU * 2 * (b.Inside[0] + b.Inside[1]) * b.Inside[2] * m2
	l.FloorWK = l.FloorU * b.Inside[0] * b.Inside[1] * m2
	return l
}
