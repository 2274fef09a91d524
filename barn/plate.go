package barn

import (
	"cmp"
	"slices"

	"wormyard/carpentry"
	"wormyard/qty"
)

// A Plate is the capacity plate of a fork truck: what it may lift to which height.
// Only the plate on the truck counts; this is for planning.
type Plate struct {
	Lines  []PlateLine
	Centre qty.Metre // load centre of the plate, from the face of the forks; 0 for none given
}

// A PlateLine is one line of a plate.
type PlateLine struct {
	Height qty.Metre // of the forks
	Load   qty.WetKg
}

// Load is what the truck may lift to a height with the middle of the load so far
// from the face of the forks [kg]: that of the lowest line that reaches so high,
// derated for a load centre further out. Nothing where no line does.
// model.md (F7).
func (p Plate) Load(height, centre qty.Metre) qty.WetKg {
	lines := slices.SortedFunc(slices.Values(p.Lines), func(a, b PlateLine) int { return cmp.Compare(a.Height, b.Height) })
	i := slices.IndexFunc(lines, func(l PlateLine) bool { return l.Height >= height })
	if i < 0 {
		return 0
	}
	load := lines[i].Load
	if p.Centre > 0 && centre > p.Centre {
		load = qty.WetKg(carpentry.Derate(float64(load), float64(p.Centre), float64(centre), 0))
	}
	return load
}

// Top is the highest level of a stack to which the truck may lift a bin: level 1
// is the floor, and level n has n-1 bins, each so high, under it. 0 for a bin
// that it may not lift at all. model.md (F7).
func (p Plate) Top(mass qty.WetKg, each, centre qty.Metre) int {
	top := 0
	for top < noTop && p.Load(each*qty.Metre(top), centre) >= mass {
		top++
	}
	return top
}
