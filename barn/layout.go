package barn

import "slices"

// Extent is how far a row reaches: so many stacks, each so many boxes high.
type Extent struct {
	Row          string
	Stacks, High int
}

// Lack says what a layout has no place for.
type Lack int

// The row is not there, is too short, is too low, or the spot is not there.
const (
	NoRow Lack = iota + 1
	NoStack
	NoLevel
	NoSpot
)

// Stray is bins that stand where a layout has no place for them.
type Stray struct {
	Lack   Lack
	Extent Extent // of the row; zero for a spot
	Spot   string
	Bins   []string // as a crew walks
}

// Strays gives the bins of a barn that its rows would have no place for, and
// those on spots that would go, by row and lack, in the order in which a crew
// walks.
func (p *Places) Strays(barn string, rows []Extent, spotsGone []string) []Stray {
	var out []Stray
	add := func(s Stray, bin string) {
		for i := range out {
			if out[i].Lack == s.Lack && out[i].Extent == s.Extent && out[i].Spot == s.Spot {
				out[i].Bins = append(out[i].Bins, bin)
				return
			}
		}
		s.Bins = []string{bin}
		out = append(out, s)
	}
	for _, bin := range p.Bins() {
		s := p.slots[bin]
		if s.Spot != "" && slices.Contains(spotsGone, s.Spot) {
			add(Stray{Lack: NoSpot, Spot: s.Spot}, bin)
		}
		if s.Barn != barn || !s.InRow() {
			continue
		}
		i := slices.IndexFunc(rows, func(e Extent) bool { return e.Row == s.Row })
		switch {
		case i < 0:
			add(Stray{Lack: NoRow, Extent: Extent{Row: s.Row}}, bin)
		case s.Stack > rows[i].Stacks:
			add(Stray{Lack: NoStack, Extent: rows[i]}, bin)
		case s.Level > rows[i].High:
			add(Stray{Lack: NoLevel, Extent: rows[i]}, bin)
		}
	}
	return out
}
