package bed

import "wormyard/climate"

// Box is the bin that holds a bed, and what is around it.
type Box struct {
	LengthM float64 // inside [m]
	WidthM  float64 // inside [m]
	DepthM  float64 // inside, floor to rim [m]
	WallU   float64 // bed to barn air through a side, films included; 0 for the default [W/(m2 K)]
	Hidden  float64 // share of the sides that stands against another bin and loses no heat [0..1]
	HolesM2 float64 // open area of the holes in the sides, all together [m2]
	Under   Under   // what the base stands on
	Over    bool    // another bin stands on this one; its weight stands on the walls, not on the bed
	AirK    float64 // how much warmer the air about it is than that of the barn [K]
}

// Area gives the plan area [m2].
func (b Box) Area() float64 { return b.LengthM * b.WidthM }

// PerimeterM gives the inside perimeter [m].
func (b Box) PerimeterM() float64 { return 2 * (b.LengthM + b.WidthM) }

// At gives the air about the bin when the air of the barn is a: as moist, and
// warmer by AirK. model.md (B72)
func (b *Box) At(a climate.Hour) climate.Hour {
	if b.AirK == 0 {
		return a
	}
	vapour := a.RH * climate.SaturationDensity(a.TempC)
	a.TempC += b.AirK
	a.RH = min(1, vapour/climate.SaturationDensity(a.TempC))
	return a
}

// LevelK gives how much warmer the air is at a level of a stack, counted from 1
// at the floor, than in the middle of its height. model.md (B72)
func (p *Parameters) LevelK(level, levels int) float64 {
	return p.StackAirK * (float64(level) - float64(levels+1)/2)
}

// Under is what a bin stands on.
type Under string

// What a bin may stand on.
const (
	UnderFloor Under = "floor" // a slab, whose temperature follows the barn slowly
	UnderBin   Under = "bin"   // another bin of the stack
	UnderAir   Under = "air"   // a rack or runners with air below
)

// Cover is what lies on the bed.
type Cover struct {
	Name      string  // "none", "cloth", "board", "film" or "own"
	U         float64 // of the cover alone, without the films of air; 0 when there is none or it adds nothing [W/(m2 K)]
	Permeance float64 // to water vapour; 0 means none lies there and only the film of air resists [kg/(s m2 Pa)]
}

// Cover gives a named cover with the parameters' values; false for a name that is
// none.
func (p *Parameters) Cover(name string) (Cover, bool) {
	switch name {
	case "none":
		return Cover{Name: name}, true
	case "cloth":
		return Cover{name, p.ClothU, p.ClothPermeance}, true
	case "board":
		return Cover{name, p.BoardU, p.BoardPermeance}, true
	case "film":
		return Cover{name, p.FilmU, p.FilmPermeance}, true
	}
	return Cover{}, false
}

// CoverNames are the covers a person may name.
func CoverNames() []string { return []string{"none", "cloth", "board", "film"} }

// Wall gives the heat transfer of a named build of the sides, films of air
// included [W/(m2 K)].
func (p *Parameters) Wall(name string) (float64, bool) {
	switch name {
	case "boards":
		return p.WallU, true
	case "plywood":
		return p.PlywoodU, true
	case "plastic":
		return p.PlasticU, true
	}
	return 0, false
}
