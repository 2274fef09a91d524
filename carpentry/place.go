package carpentry

import "math"

// A Stick is one piece where it lies in the box. At is its corner that is
// nearest to the left front corner of the outside on the ground, Size how far it
// goes from there: along the length, along the width, up [in].
type Stick struct {
	Piece    string // name of its piece, "long side"
	At, Size [3]float64
}

// Top is the far end of a stick in each direction [in].
func (s Stick) Top() [3]float64 {
	return [3]float64{s.At[0] + s.Size[0], s.At[1] + s.Size[1], s.At[2] + s.Size[2]}
}

// Layout is every stick of a box that was built from x, from the ground up.
// model.md (K9).
func Layout(x Box, b Built) []Stick {
	wall, floor, bearer, skid, post := dressed[x.Wall], dressed[x.Floor], dressed[x.Bearer], dressed[x.Skid], dressed[x.Post]
	var out []Stick
	add := func(piece string, ax, ay, az, sx, sy, sz float64) {
		out = append(out, Stick{Piece: piece, At: [3]float64{ax, ay, az}, Size: [3]float64{sx, sy, sz}})
	}
	for i := range x.Skids {
		add("skid", even(x.Length, skid.Width, x.Skids, i), 0, 0, skid.Width, x.Width, skid.Depth)
	}
	up := skid.Depth
	for i := range x.Bearers {
		add("bearer", 0, even(x.Width, bearer.Width, x.Bearers, i), up, x.Length, bearer.Width, bearer.Depth)
	}
	up += bearer.Depth
	n, gap, last := floorBoards(x.Length, floor.Depth)
	for i := range n {
		wide := floor.Depth
		if i == n-1 {
			wide = last
		}
		add("floor board", float64(i)*(floor.Depth+gap), 0, up, wide, x.Width, floor.Width)
	}
	up += floor.Width
	in := 0.0 // of the boards from the outside
	if !x.PostsInside {
		in = post.Width
	}
	l, w := x.Length-2*in, x.Width-2*in
	for i := range b.Courses {
		z := up + float64(i)*wall.Depth
		for _, y := range []float64{in, in + w - wall.Width} {
			add("long side", in, y, z, l, wall.Width, wall.Depth)
		}
		for _, far := range []float64{in, in + l - wall.Width} {
			add("short side", far, in+wall.Width, z, wall.Width, w-2*wall.Width, wall.Depth)
		}
	}
	for _, right := range []bool{false, true} {
		for _, back := range []bool{false, true} {
			// one corner as if it were the left front one, then mirrored
			for _, s := range cornerPosts(x, wall, post) {
				if right {
					s.At[0] = x.Length - s.At[0] - s.Size[0]
				}
				if back {
					s.At[1] = x.Width - s.At[1] - s.Size[1]
				}
				s.At[2], s.Size[2] = up, b.Inside[2]
				out = append(out, s)
			}
		}
	}
	return out
}

// cornerPosts are the posts of the left front corner, their height left out: one
// inside, or outside an L of two, since no single stick outside touches the
// boards of both sides. Of the L one covers the corner, and the other stands
// against its back.
func cornerPosts(x Box, wall, post Section) []Stick {
	t, d := post.Width, post.Depth
	if x.PostsInside {
		return []Stick{{Piece: "corner post", At: [3]float64{wall.Width, wall.Width, 0}, Size: [3]float64{d, t, 0}}}
	}
	return []Stick{
		{Piece: "corner post", Size: [3]float64{d, t, 0}},
		{Piece: "corner post", At: [3]float64{0, t, 0}, Size: [3]float64{t, d, 0}},
	}
}

// even is where the i-th of n sticks begins that lie evenly over a length, the
// first and the last flush with its ends [in].
func even(length, width float64, n, i int) float64 {
	return float64(i) * (length - width) / float64(n-1)
}

// floorBoards is how many boards cover a length, how far they lie apart, and how
// wide the last is: ripped where a whole one is too wide, and none narrower than
// leastRip.
func floorBoards(length, wide float64) (n int, gap, last float64) {
	n = max(1, int(math.Ceil((length+floorGap)/(wide+floorGap)-1e-9)))
	last = length - float64(n-1)*(wide+floorGap)
	if n > 1 && last < leastRip {
		n--
		return n, (length - float64(n)*wide) / float64(max(1, n-1)), wide
	}
	return n, floorGap, math.Min(last, wide)
}

const (
	// floorGap lets water out between floor boards [in]; common practice, no source.
	floorGap = 0.125
	// leastRip is the narrowest strip worth nailing [in]; our choice. Up to it the
	// gaps are wider.
	leastRip = 1.0
)
