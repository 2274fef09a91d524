package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"wormyard/carpentry"
)

// Words are what stands on the views of a bin.
type Words struct {
	Inch, Foot string // their short forms

	Plan, Front, Side, Section, Exploded, Corner, Cuts string // titles

	Inside, Forks, Bed, Liner string
	Holes                     string            // format of how many and across, "%d holes of %s"
	Pieces                    map[string]string // names of pieces by the core's
	Many                      string            // format of a count, a name and a stick, "%d %s, %s"
	Fasteners                 string            // at each board and post, ready to print, a line each
	OneBin                    string            // format of how often a stick is bought, "%d × %s of %s"
	Left                      string            // format of what is left over, "left %s"
}

// Bin is a bin to be drawn.
type Bin struct {
	Box   carpentry.Box
	Built carpentry.Built
	Holes carpentry.Pattern
	Cuts  []carpentry.Cut
	Words Words
}

// Views gives all drawings of a bin.
func (b Bin) Views() []View {
	return []View{b.plan(), b.front(), b.side(), b.section(), b.exploded(), b.corner(), b.cuts()}
}

func (b Bin) sticks() []carpentry.Stick { return carpentry.Layout(b.Box, b.Built) }

// flat lays two of the three directions on a view: which runs to the right, which
// upward, and from where at what scale.
type flat struct {
	right, up int
	x, y      float64 // of the origin
	scale     float64
}

func (f flat) rect(s carpentry.Stick) (x, y, w, h float64) {
	w, h = s.Size[f.right]*f.scale, s.Size[f.up]*f.scale
	return f.x + s.At[f.right]*f.scale, f.y - s.At[f.up]*f.scale - h, w, h
}

func fit(wide, high, most, tall float64) float64 { return math.Min(most/wide, tall/high) }

// plan is the bin from above.
func (b Bin) plan() View {
	v := View{Title: b.Words.Plan}
	l, w := b.Box.Length, b.Box.Width
	s := fit(l, w, 290, 290)
	f := flat{0, 1, 40, 0, s}
	f.y = 14 + w*s
	sticks := b.sticks()
	slices.SortStableFunc(sticks, func(a, c carpentry.Stick) int { return cmp.Compare(a.Top()[2], c.Top()[2]) })
	for _, k := range sticks {
		x, y, w, h := f.rect(k)
		switch k.Piece {
		case "floor board":
			v.rect(Thin, Sheet, x, y, w, h)
		case "long side", "short side":
			v.rect(Edge, Wood, x, y, w, h)
		case "corner post":
			v.cut(x, y, w, h)
		}
	}
	for _, k := range sticks {
		if k.Piece == "bearer" {
			x, y, w, h := f.rect(k)
			v.rect(Dashed, Clear, x, y, w, h)
		}
	}
	in := (l - b.Built.Inside[0]) / 2
	inW := (w - b.Built.Inside[1]) / 2
	x1, x2 := f.x+in*s, f.x+(l-in)*s
	words := b.Words.Inside + " " + b.Words.Both(b.Built.Inside[0])
	half := float64(len([]rune(words)))*letter/2 + 3
	y := f.y - (inW+b.Built.Inside[1]*0.3)*s
	v.rect(None, Sheet, (x1+x2)/2-half, y-Letters-4, 2*half, Letters+2)
	v.across(x1, x2, y, y, words)
	ux := f.x + (in+b.Built.Inside[0]*0.12)*s
	v.rect(None, Sheet, ux-Letters-4, f.y-w/2*s-50, Letters+2, 100)
	v.upright(f.y-(w-inW)*s, f.y-inW*s, ux, ux, b.Words.Both(b.Built.Inside[1]))
	v.across(f.x, f.x+l*s, f.y, f.y+22, b.Words.Both(l))
	v.upright(f.y-w*s, f.y, f.x, f.x-20, b.Words.Both(w))
	v.High = f.y + 30
	return v
}

// face draws an upright view of the sticks, the farthest first.
func (b Bin) face(v *View, f flat, depth int) {
	sticks := b.sticks()
	slices.SortStableFunc(sticks, func(a, c carpentry.Stick) int { return cmp.Compare(c.At[depth], a.At[depth]) })
	for _, k := range sticks {
		x, y, w, h := f.rect(k)
		v.rect(Edge, Wood, x, y, w, h)
	}
}

// stackUp gives the heights from the rim down and what each is.
func (b Bin) stackUp(f flat) (places []float64, words []string) {
	size := func(stick string) carpentry.Section { s, _ := carpentry.Dressed(stick); return s }
	at := []float64{b.Built.Inside[2], size(b.Box.Floor).Width, size(b.Box.Bearer).Depth, size(b.Box.Skid).Depth}
	up := 0.0
	for _, h := range at {
		up += h
	}
	places = []float64{f.y - up*f.scale}
	for _, h := range at {
		up -= h
		places = append(places, f.y-up*f.scale)
		words = append(words, b.Words.Both(h))
	}
	return places, words
}

// bores draws the holes of a side that begins at an inch.
func (b Bin) bores(v *View, f flat, list []carpentry.Bore, from float64) {
	floor := b.Built.Stands - b.Built.Inside[2]
	for _, o := range list {
		v.circle(Edge, Sheet, f.x+(from+o.Along)*f.scale, f.y-(floor+o.Up)*f.scale, math.Max(1.2, b.Box.HoleIn/2*f.scale))
	}
}

// front is the long side, where the forks go in.
func (b Bin) front() View {
	v := View{Title: b.Words.Front}
	s := fit(b.Box.Length, b.Built.Stands, 192, 170)
	f := flat{0, 2, 30, 0, s}
	top := 14.0
	f.y = top + b.Built.Stands*s
	b.face(&v, f, 1)
	b.bores(&v, f, b.Holes.Long, (b.Box.Length-b.Built.Inside[0])/2)
	skid, _ := carpentry.Dressed(b.Box.Skid)
	gap := (b.Box.Length - float64(b.Box.Skids)*skid.Width) / float64(b.Box.Skids-1)
	for i := range b.Box.Skids - 1 {
		x := f.x + (float64(i)*(gap+skid.Width)+skid.Width+gap/2)*s
		v.small(x, f.y-skid.Depth/2*s+Small*0.35, Middle, b.Words.Forks)
	}
	v.across(f.x+skid.Width*s, f.x+(skid.Width+gap)*s, f.y, f.y+20, carpentry.Inches(gap)+" "+b.Words.Inch)
	v.small(f.x+(skid.Width+gap/2)*s, f.y+20+Small+1, Middle, fmt.Sprintf("%.0f mm", gap*25.4))
	v.across(f.x, f.x+b.Box.Length*s, f.y, f.y+54, b.Words.Both(b.Box.Length))
	v.upright(f.y-b.Built.Stands*s, f.y, f.x, f.x-12, b.Words.Both(b.Built.Stands))
	places, words := b.stackUp(f)
	v.chain(places, f.x+b.Box.Length*s, f.x+b.Box.Length*s+14, words)
	v.High = f.y + 62
	if n := len(b.Holes.Long); n > 0 {
		v.small(f.x, v.High+Small, Start, fmt.Sprintf(b.Words.Holes, n, b.Words.Both(b.Box.HoleIn), b.Words.Both(b.Holes.Apart)))
		v.High += Small + 6
	}
	return v
}

// side is the short side.
func (b Bin) side() View {
	v := View{Title: b.Words.Side}
	s := fit(b.Box.Width, b.Built.Stands, 192, 170)
	f := flat{1, 2, 30, 0, s}
	f.y = 14 + b.Built.Stands*s
	b.face(&v, f, 0)
	b.bores(&v, f, b.Holes.Short, (b.Box.Width-b.Built.Inside[1])/2)
	v.across(f.x, f.x+b.Box.Width*s, f.y, f.y+22, b.Words.Both(b.Box.Width))
	v.upright(f.y-b.Built.Stands*s, f.y, f.x, f.x-12, b.Words.Both(b.Built.Stands))
	places, words := b.stackUp(f)
	v.chain(places, f.x+b.Box.Width*s, f.x+b.Box.Width*s+14, words)
	v.High = f.y + 30
	return v
}

// filled is how much of the depth is drawn full.
const filled = 0.85

// section is a cut across the width, between two skids.
func (b Bin) section() View {
	v := View{Title: b.Words.Section}
	s := fit(b.Box.Width, b.Built.Stands, 192, 180)
	f := flat{1, 2, 30, 0, s}
	f.y = 34 + b.Built.Stands*s
	skid, _ := carpentry.Dressed(b.Box.Skid)
	at := skid.Width + (b.Box.Length-float64(b.Box.Skids)*skid.Width)/float64(b.Box.Skids-1)/2
	var through []carpentry.Stick
	for _, k := range b.sticks() {
		switch {
		case k.At[0] <= at && k.Top()[0] >= at && k.Piece != "floor board":
			through = append(through, k)
		case k.At[0] > at || k.Piece == "floor board":
			x, y, w, h := f.rect(k)
			v.rect(Thin, Sheet, x, y, w, h)
		}
	}
	floor := b.Built.Stands - b.Built.Inside[2]
	side := (b.Box.Width - b.Built.Inside[1]) / 2
	x, w := f.x+side*s, b.Built.Inside[1]*s
	h := filled * b.Built.Inside[2] * s
	v.rect(None, Bed, x, f.y-floor*s-h, w, h)
	stipple(&v, x, f.y-floor*s-h, w, h)
	v.rect(None, Sheet, x+w/2-34, f.y-floor*s-h/2-Letters, 68, Letters+5)
	v.text(x+w/2, f.y-floor*s-h/2, Middle, b.Words.Bed)
	for _, k := range through {
		x, y, w, h := f.rect(k)
		v.cut(x, y, w, h)
	}
	boards, _ := carpentry.Dressed(b.Box.Floor)
	v.rect(Heavy, Wood, f.x, f.y-floor*s, b.Box.Width*s, boards.Width*s)
	rim := f.y - b.Built.Stands*s
	if b.Box.Lined {
		v.line(Dashed, Point{x + 2.5, rim}, Point{x + 2.5, f.y - floor*s - 2.5}, Point{x + w - 2.5, f.y - floor*s - 2.5}, Point{x + w - 2.5, rim})
		v.line(Measure, Point{x + w - 2.5, rim + 8}, Point{f.x + b.Box.Width*s + 22, rim - 14})
		v.small(f.x+b.Box.Width*s+24, rim-12, Start, b.Words.Liner)
	}
	v.across(x, x+w, rim, rim-14, b.Words.Both(b.Built.Inside[1]))
	v.across(f.x, f.x+b.Box.Width*s, f.y, f.y+22, b.Words.Both(b.Box.Width))
	v.upright(rim, f.y, f.x, f.x-12, b.Words.Both(b.Built.Stands))
	places, words := b.stackUp(f)
	v.chain(places, f.x+b.Box.Width*s, f.x+b.Box.Width*s+14, words)
	v.High = f.y + 30
	return v
}

// stipple marks the bed, always at the same places.
func stipple(v *View, x, y, w, h float64) {
	for i := range 48 {
		v.circle(Thin, Clear, x+4+math.Mod(0.5+0.7548777*float64(i), 1)*(w-8), y+4+math.Mod(0.5+0.5698403*float64(i), 1)*(h-8), 0.8)
	}
}

// corner is one corner from above, large.
func (b Bin) corner() View {
	v := View{Title: b.Words.Corner}
	const see = 11.0 // inches from the corner
	const s = 17.0
	f := flat{0, 1, 30, 14 + see*s, s}
	wall, _ := carpentry.Dressed(b.Box.Wall)
	post, _ := carpentry.Dressed(b.Box.Post)
	top := b.Built.Stands - 1
	for _, k := range b.sticks() {
		if k.Top()[2] < top || k.At[0] > see || k.At[1] > see {
			continue
		}
		k.Size[0], k.Size[1] = math.Min(k.Size[0], see-k.At[0]), math.Min(k.Size[1], see-k.At[1])
		x, y, w, h := f.rect(k)
		if k.Piece == "corner post" {
			v.cut(x, y, w, h)
			continue
		}
		v.rect(Edge, Wood, x, y, w, h)
	}
	at := func(x, y float64) Point { return Point{f.x + x*s, f.y - y*s} }
	screw := func(x, y, x2, y2 float64) { // its head first
		a, c := at(x, y), at(x2, y2)
		v.line(Heavy, a, c)
		v.circle(Heavy, Sheet, a.X, a.Y, 3)
	}
	label := func(x, y float64, piece, stick string) {
		p := at(x, y)
		v.line(Measure, p, Point{f.x + see*s + 2, p.Y - 6})
		v.text(f.x+see*s+5, p.Y-2, Start, b.Words.Pieces[piece]+" "+stick)
	}
	in := 0.0
	if !b.Box.PostsInside {
		in = post.Width
		point := wall.Width + b.Box.PointIn
		mid := (post.Width + post.Depth) / 2
		screw(mid, in+wall.Width, mid, in+wall.Width-point)
		deep := in + wall.Width + (post.Width+post.Depth-in-wall.Width)/2
		screw(in+wall.Width, deep, in+wall.Width-point, deep)
		screw(post.Width/2, 0, post.Width/2, post.Width+b.Box.PointIn)
	} else {
		x := wall.Width + post.Depth/2
		screw(x, 0, x, wall.Width+b.Box.PointIn)
		y := wall.Width + post.Width/2
		screw(0, y, wall.Width+b.Box.PointIn, y)
	}
	label(see-2, in+wall.Width/2, "long side", b.Box.Wall)
	label(in+wall.Width/2, see-1, "short side", b.Box.Wall)
	if b.Box.PostsInside {
		label(wall.Width+post.Depth*0.75, wall.Width+post.Width/2, "corner post", b.Box.Post)
	} else {
		label(post.Width*0.7, post.Width+post.Depth*0.7, "corner post", b.Box.Post)
	}
	first := post.Depth
	if b.Box.PostsInside {
		first = wall.Width + post.Depth
	}
	v.across(f.x, f.x+first*s, f.y, f.y+22, b.Words.Both(first))
	v.High = f.y + 44 - Small - 1
	for line := range strings.SplitSeq(b.Words.Fasteners, "\n") {
		v.High += Small + 1
		v.small(f.x, v.High, Start, line)
	}
	v.High += 5
	return v
}
