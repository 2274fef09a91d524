package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"wormyard/carpentry"
)

// apart is how far what lies one on another is lifted, and walls are pulled out,
// of the height of the bin and its length.
const (
	liftBy = 0.45
	pullBy = 0.16
)

// exploded shows the bin from above and the front right corner, taken apart.
func (b Bin) exploded() View {
	v := View{Title: b.Words.Exploded}
	lift, pull := liftBy*b.Built.Stands, pullBy*b.Box.Length
	sticks := b.sticks()
	for i := range sticks {
		k := &sticks[i]
		switch k.Piece {
		case "bearer":
			k.At[2] += lift
		case "floor board":
			k.At[2] += 2 * lift
		case "corner post":
			k.At[2] += 3 * lift
		case "long side":
			k.At[2] += 3 * lift
			k.At[1] += math.Copysign(pull, k.At[1]-b.Box.Width/2)
		case "short side":
			k.At[2] += 3 * lift
			k.At[0] += math.Copysign(pull, k.At[0]-b.Box.Length/2)
		}
	}
	// to the right runs the length, to the left the width, both toward the eye
	c, n := math.Cos(math.Pi/6), 0.5
	at := func(x, y, z float64) Point { return Point{(x - y) * c, (x+y)*n - z} }
	low, high := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, k := range sticks {
		t := k.Top()
		for _, x := range []float64{k.At[0], t[0]} {
			for _, y := range []float64{k.At[1], t[1]} {
				for _, z := range []float64{k.At[2], t[2]} {
					p := at(x, y, z)
					low, high = Point{math.Min(low.X, p.X), math.Min(low.Y, p.Y)}, Point{math.Max(high.X, p.X), math.Max(high.Y, p.Y)}
				}
			}
		}
	}
	s := fit(high.X-low.X, high.Y-low.Y, 207, 320)
	place := func(x, y, z float64) Point {
		p := at(x, y, z)
		return Point{4 + (p.X-low.X)*s, 8 + (p.Y-low.Y)*s}
	}
	for _, k := range farFirst(sticks) {
		a, t := k.At, k.Top()
		v.shape(Thin, Sheet, true, place(a[0], a[1], t[2]), place(t[0], a[1], t[2]), place(t[0], t[1], t[2]), place(a[0], t[1], t[2]))
		v.shape(Thin, Shade, true, place(t[0], a[1], t[2]), place(t[0], t[1], t[2]), place(t[0], t[1], a[2]), place(t[0], a[1], a[2]))
		v.shape(Thin, Wood, true, place(a[0], t[1], t[2]), place(t[0], t[1], t[2]), place(t[0], t[1], a[2]), place(a[0], t[1], a[2]))
	}
	v.High = 16 + (high.Y-low.Y)*s
	// what is what, led to a stick of each kind that is seen
	type named struct {
		at    Point
		piece carpentry.Piece
	}
	var list []named
	for _, p := range b.Built.Pieces {
		var best Point
		found := false
		for _, k := range sticks {
			t := k.Top()
			at := place(t[0], (k.At[1]+t[1])/2, (k.At[2]+t[2])/2)
			if p.Name == "long side" { // its end hides behind the short side
				at = place(k.At[0]+0.6*k.Size[0], k.At[1], t[2])
			}
			if k.Piece == p.Name && (!found || at.X-at.Y > best.X-best.Y) {
				best, found = at, true
			}
		}
		if found {
			list = append(list, named{best, p})
		}
	}
	slices.SortStableFunc(list, func(x, y named) int { return cmp.Compare(x.at.Y, y.at.Y) })
	last := -2 * Letters
	for _, n := range list {
		y := math.Max(n.at.Y+4, last+2*Letters+6)
		last = y
		v.line(Measure, n.at, Point{names - 3, y - 4})
		v.text(names, y, Start, fmt.Sprintf(b.Words.Many, n.piece.Count, b.Words.Pieces[n.piece.Name]))
		v.small(names, y+Letters, Start, n.piece.Stick+", "+b.Words.Both(n.piece.Length))
	}
	v.High = math.Max(v.High, last+Letters+8)
	return v
}

// names is where the words of what is what begin.
const names = 217.0

// farFirst orders sticks so that each comes after those it hides. The eye looks
// from where all three directions grow.
func farFirst(sticks []carpentry.Stick) []carpentry.Stick {
	const close = 1e-6
	behind := func(a, b carpentry.Stick) bool {
		t := a.Top()
		return t[0] <= b.At[0]+close || t[1] <= b.At[1]+close || t[2] <= b.At[2]+close
	}
	left := slices.Clone(sticks)
	var out []carpentry.Stick
	for len(left) > 0 {
		next := 0
		for i := range left { // one behind all others, or the first where they go in a ring
			free := true
			for j := range left {
				if i != j && behind(left[j], left[i]) && !behind(left[i], left[j]) {
					free = false
					break
				}
			}
			if free {
				next = i
				break
			}
		}
		out = append(out, left[next])
		left = slices.Delete(left, next, next+1)
	}
	return out
}
