package carpentry

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"wormyard/figure"
)

// dressed is the size of a stick by its name [in]: thickness and width. PS 20,
// as course notes on lumber list it; 5/4 boards by trade texts.
var dressed = map[string]Section{
	"1x4": {0.75, 3.5}, "1x6": {0.75, 5.5}, "1x8": {0.75, 7.25}, "5/4x6": {1, 5.5},
	"2x4": {1.5, 3.5}, "2x6": {1.5, 5.5}, "2x8": {1.5, 7.25}, "2x10": {1.5, 9.25}, "2x12": {1.5, 11.25}, "4x4": {3.5, 3.5},
}

// Dressed is the size of a stick by its name; Width is its thickness and Depth
// its face, as it stands on edge.
func Dressed(name string) (Section, bool) {
	s, ok := dressed[name]
	return s, ok
}

// Sticks are the names of those that are known, by thickness and width.
func Sticks() []string {
	out := slices.Collect(maps.Keys(dressed))
	slices.SortFunc(out, func(a, b string) int {
		x, y := dressed[a], dressed[b]
		return cmp.Or(cmp.Compare(x.Width, y.Width), cmp.Compare(x.Depth, y.Depth))
	})
	return out
}

// laid is a stick on its flat.
func laid(s Section) Section { return Section{Width: s.Depth, Depth: s.Width} }

// A Box is a bin to be built: outside size [in] and what it is built of. Skids
// lie below along the width, so that forks go in between them; bearers on edge
// lie on the skids along the length and carry the floor; wall boards lie one on
// another, fastened to a post inside each corner, or to an L of two outside it.
type Box struct {
	Length, Width, Height float64
	Wall, Floor           string // sticks by name
	Bearer, Skid, Post    string
	Bearers, Skids        int
	PostsInside           bool // then the fill pushes boards off their fasteners
	Species, Grade        string
	Lined                 bool
	Liner                 string  // one of Liners; plain film when lined and none is named
	HoleIn                float64 // across the holes in the walls, 0 for none

	FillLbFt3 float64 // wet
	High      int     // boxes in a stack

	Fastener   string // "nail" or "screw"
	DiameterIn float64
	PointIn    float64 // that sits in the post
	PerJoint   int     // of a board at a post

	ForksIn                          float64 // middle to middle
	TruckLb, TruckCenter, AxleToFace float64 // of the plate; 0 for no truck
}

// A Check is one thing that can fail. Value and Allowed are in Unit; over a
// Ratio of 1 it fails.
type Check struct {
	Name    string   `json:"name"`
	Say     string   `json:"say"`
	Value   float64  `json:"value"`
	Allowed float64  `json:"allowed"`
	Unit    string   `json:"unit"`
	Ratio   float64  `json:"ratio"`
	OK      bool     `json:"ok"`
	Source  string   `json:"source"`
	Factors []Factor `json:"factors"`
}

// A Factor is one number that a check was made from, in the order in which it
// comes in.
type Factor struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"` // "" for a factor
}

// Built is a box worked out. Sizes are in inches, weights in pounds.
type Built struct {
	Inside            [3]float64 // length, width, depth
	Stands            float64    // height as built
	Courses           int        // of wall boards
	FillFt3           float64
	FillLb, WoodLb    float64
	BoxLb             float64
	LinerFt2          float64 // sides and floor, a tenth more for folds
	LifeLow, LifeHigh float64 // [year]
	Pieces            []Piece
	Fasteners         int // of boards to posts, posts to posts, floor to bearers, bearers to skids
	Loss              Loss
	Checks            []Check
	Notes             []string
}

// OK says whether every check holds.
func (b Built) OK() bool {
	for _, c := range b.Checks {
		if !c.OK {
			return false
		}
	}
	return true
}

// Build works a box out. The error is a *figure.Refusal with everything that is
// meaningless. model.md (K9 to K13).
func (p Parameters) Build(x Box) (Built, error) {
	g, err := p.sound(x)
	if err != nil {
		return Built{}, err
	}
	wall, floor, bearer, skid, post := dressed[x.Wall], dressed[x.Floor], dressed[x.Bearer], dressed[x.Skid], dressed[x.Post]
	under := skid.Depth + bearer.Depth + floor.Width
	courses := int((x.Height - under + 1e-9) / wall.Depth)
	if courses < 1 {
		return Built{}, figure.Refuse("height_in", fmt.Sprintf("Skids, bearers and floor take %s in of %s in, and no wall board fits on them.", Inches(under), Inches(x.Height)), "Make the bin higher, or its skids and bearers smaller.")
	}
	b := Built{Courses: courses, Stands: under + float64(courses)*wall.Depth}
	b.Inside = [3]float64{x.Length - 2*wall.Width, x.Width - 2*wall.Width, float64(courses) * wall.Depth}
	if !x.PostsInside {
		// posts stand outside the boards, within the outside size
		b.Inside[0] -= 2 * post.Width
		b.Inside[1] -= 2 * post.Width
	}
	if !x.PostsInside && post.Depth-post.Width < 1 { // an L of two holds each side by what one is wider than thick
		return Built{}, figure.Refuse("post", fmt.Sprintf("Two posts of %s outside a corner do not touch the boards of both sides.", x.Post), "Take posts wider than thick, such as 2x4, or set them inside.")
	}
	if math.Min(b.Inside[0], b.Inside[1]) < 6 { // no fork of feed goes in
		return Built{}, figure.Refuse("width_in", "Walls and posts leave no room inside.", "Make the bin larger, or its posts thinner.")
	}
	if left := x.Height - b.Stands; left >= 1.0/32 {
		b.Notes = append(b.Notes, fmt.Sprintf("%d courses of %s make the bin %s in high, %s in less than asked.", courses, x.Wall, Inches(b.Stands), Inches(left)))
	}
	b.Pieces = p.pieces(x, b, floor)
	b.WoodLb = p.weight(b.Pieces, g)
	b.FillFt3 = b.Inside[0] * b.Inside[1] * b.Inside[2] / inches3
	b.FillLb = b.FillFt3 * x.FillLbFt3
	b.BoxLb = b.FillLb + b.WoodLb
	if x.Lined {
		b.LinerFt2 = 1.1 * (b.Inside[0]*b.Inside[1] + 2*b.Inside[2]*(b.Inside[0]+b.Inside[1])) / 144
	}
	b.Fasteners = p.fasteners(x, b, floor)
	b.Loss = p.LossOf(x, b, g)
	p.life(&b, x, g)
	b.Checks = p.checks(x, b, g)
	if n, gap, last := floorBoards(x.Length, floor.Depth); last < floor.Depth-1e-9 {
		b.Notes = append(b.Notes, fmt.Sprintf("The last floor board is ripped to %s in.", Inches(last)))
	} else if n > 1 && gap > floorGap+0.01 {
		b.Notes = append(b.Notes, fmt.Sprintf("Floor boards lie %s in apart.", Inches(gap)))
	}
	if x.PostsInside && x.High > 1 {
		b.Notes = append(b.Notes, "Posts inside stand on the floor boards beside the outer bearers: set a block as wide as a bearer under each, from the floor boards to the skid.")
	}
	if floor.thin() || wall.thin() {
		b.Notes = append(b.Notes, "Boards under 2 in by name are graded by other rules; the values for 2 in and more are used for them, so look for sound boards without large knots.")
	}
	if g.Known != "found" {
		b.Notes = append(b.Notes, "The strength of "+g.Species+" is known here from memory: read it in the printed table.")
	}
	return b, nil
}

// sound refuses what cannot be built, all of it at once.
func (p Parameters) sound(x Box) (Grade, error) {
	var bad figure.Problems
	size := func(field, what string, v, low, high float64) {
		if !(v >= low && v <= high) {
			bad.Add(field, fmt.Sprintf("%s of the bin is %.4g in.", what, v), fmt.Sprintf("It must lie from %g to %g in.", low, high))
		}
	}
	size("length_in", "The length", x.Length, 12, 120)
	size("width_in", "The width", x.Width, 12, 120)
	size("height_in", "The height", x.Height, 8, 72)
	for _, s := range []struct{ field, stick string }{{"wall", x.Wall}, {"floor", x.Floor}, {"bearer", x.Bearer}, {"skid", x.Skid}, {"post", x.Post}} {
		if _, ok := dressed[s.stick]; !ok {
			bad.Add(s.field, fmt.Sprintf("%q is no stick that is known here.", s.stick), "Known: 1x4, 1x6, 1x8, 5/4x6, 2x4, 2x6, 2x8, 2x10, 2x12 and 4x4.")
		}
	}
	if x.Bearers < 2 || x.Bearers > 12 {
		bad.Add("bearers", fmt.Sprintf("%d bearers do not carry a floor.", x.Bearers), "Give 2 to 12; 3 is usual.")
	}
	if x.Skids < 2 || x.Skids > 4 {
		bad.Add("skids", fmt.Sprintf("%d skids are not possible.", x.Skids), "Give 2, 3 or 4.")
	}
	if !(x.FillLbFt3 >= 5 && x.FillLbFt3 <= 100) {
		bad.Add("fill_lb_ft3", fmt.Sprintf("A fill of %.4g lb/ft3 is not castings or feed.", x.FillLbFt3), "Wet castings are 40 to 62 lb/ft3.")
	}
	switch {
	case x.High < 1:
		bad.Add("stack_high", fmt.Sprintf("A stack of %d is none.", x.High), "Give how many bins stand one on another, 1 for none.")
	case x.High > int(p.StackMost)*2:
		bad.Add("stack_high", fmt.Sprintf("A stack of %d bins is not worked out.", x.High), fmt.Sprintf("Up to %.0f is the house rule, and the height may be %.0f times the least base.", p.StackMost, p.StackRatio))
	}
	if !(x.ForksIn > 0 && x.ForksIn < x.Length) {
		bad.Add("forks_in", fmt.Sprintf("Forks %.4g in apart do not go under a bin %.4g in long.", x.ForksIn, x.Length), "Give middle to middle; 20 to 27 in is usual.")
	}
	if x.TruckLb < 0 || x.TruckLb > 0 && !(x.TruckCenter > 0) || x.AxleToFace < 0 {
		bad.Add("truck", "The truck's plate is not whole.", "Give the load and the load centre that stand on it.")
	}
	if !(x.DiameterIn > 0.05 && x.DiameterIn < 0.75) || !(x.PointIn > 0) || x.PerJoint < 1 || x.PerJoint > 12 {
		bad.Add("fastener", "The fasteners are not whole.", "Give their diameter, how deep the point sits in the post, and 1 to 12 of them for each board at a post.")
	}
	g, err := p.Lumber(x.Species, x.Grade)
	if r, ok := err.(*figure.Refusal); ok {
		bad = append(bad, r.Problems...)
	}
	return g, bad.Refuse()
}

// pieces is the list of what a box is made of.
func (p Parameters) pieces(x Box, b Built, floor Section) []Piece {
	wall := dressed[x.Wall]
	side := b.Inside[0] + 2*wall.Width
	boards, _, _ := floorBoards(x.Length, floor.Depth)
	return []Piece{
		{Name: "long side", Stick: x.Wall, Length: side, Count: 2 * b.Courses},
		{Name: "short side", Stick: x.Wall, Length: b.Inside[1], Count: 2 * b.Courses},
		{Name: "corner post", Stick: x.Post, Length: b.Inside[2], Count: posts(x)},
		{Name: "floor board", Stick: x.Floor, Length: x.Width, Count: boards},
		{Name: "bearer", Stick: x.Bearer, Length: x.Length, Count: x.Bearers},
		{Name: "skid", Stick: x.Skid, Length: x.Width, Count: x.Skids},
	}
}

// posts is how many there are: one in each corner, or an L of two outside it.
func posts(x Box) int {
	if x.PostsInside {
		return 4
	}
	return 8
}

// fasteners counts what is driven: each wall board at each corner, posts of an L
// to each other as often, two where a floor board or a skid crosses a bearer.
func (p Parameters) fasteners(x Box, b Built, floor Section) int {
	boards, _, _ := floorBoards(x.Length, floor.Depth)
	n := 8*b.Courses*x.PerJoint + 2*x.Bearers*(boards+x.Skids)
	if !x.PostsInside {
		n += 4 * b.Courses * x.PerJoint
	}
	return n
}

// weight is that of the wood in use [lb]. model.md (K9).
func (p Parameters) weight(pieces []Piece, g Grade) float64 {
	volume := 0.0
	for _, x := range pieces {
		volume += dressed[x.Stick].Area() * x.Length * float64(x.Count)
	}
	return volume / inches3 * g.Gravity * p.Water * p.WetWood
}

// life is how long the wood lasts against wet castings. model.md (K13).
func (p Parameters) life(b *Built, x Box, g Grade) {
	e := p.LifePlain
	if g.Resistant {
		e = p.LifeResistant
	}
	b.LifeLow, b.LifeHigh = e.Low, e.High
	if x.Lined {
		b.LifeLow, b.LifeHigh = e.Low*p.LifeLined.Low, e.High*p.LifeLined.High
	}
}
