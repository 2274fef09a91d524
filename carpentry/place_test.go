package carpentry_test

import (
	"math"
	"testing"

	"wormyard/carpentry"
)

// shapes are boxes of every kind of build.
func shapes() map[string]carpentry.Box {
	out := map[string]carpentry.Box{"everyday": everyday()}
	for name, change := range map[string]func(*carpentry.Box){
		"inside":     func(x *carpentry.Box) { x.PostsInside = true },
		"square":     func(x *carpentry.Box) { x.PostsInside, x.Post = true, "4x4" },
		"thin":       func(x *carpentry.Box) { x.Wall, x.Floor = "1x6", "1x4" },
		"oblong":     func(x *carpentry.Box) { x.Length, x.Width, x.Skids, x.Bearers = 71.3, 33, 4, 5 },
		"narrow rip": func(x *carpentry.Box) { x.Length = 45.2 },
		"wide posts": func(x *carpentry.Box) { x.Post, x.Height = "2x6", 60 },
	} {
		x := everyday()
		change(&x)
		out[name] = x
	}
	return out
}

// No two sticks are in one place, all lie within the outside size and reach its
// ends, and there are as many of each, as long, as the list of pieces has.
func TestSticksLieWhereTheyCan(t *testing.T) {
	p := parameters(t)
	for name, x := range shapes() {
		b, err := p.Build(x)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		sticks := carpentry.Layout(x, b)
		high := [3]float64{}
		for i, s := range sticks {
			for d := range 3 {
				if s.At[d] < -1e-9 || s.Size[d] <= 0 {
					t.Errorf("%s: %+v", name, s)
				}
				high[d] = math.Max(high[d], s.Top()[d])
			}
			for _, o := range sticks[:i] {
				share := true
				for d := range 3 {
					share = share && math.Min(s.Top()[d], o.Top()[d])-math.Max(s.At[d], o.At[d]) > 1e-9
				}
				if share {
					t.Errorf("%s: a %s and a %s are in one place: %+v %+v", name, s.Piece, o.Piece, s, o)
				}
			}
		}
		for d, want := range []float64{x.Length, x.Width, b.Stands} {
			if math.Abs(high[d]-want) > 1e-9 {
				t.Errorf("%s: reaches %v, want %g in direction %d", name, high, want, d)
			}
		}
		for _, q := range b.Pieces {
			n := 0
			for _, s := range sticks {
				if s.Piece != q.Name {
					continue
				}
				n++
				long, size := 0.0, 0.0
				for _, v := range s.Size {
					long, size = math.Max(long, v), size+v
				}
				face, _ := carpentry.Dressed(q.Stick)
				if q.Name != "floor board" && math.Abs(size-q.Length-face.Width-face.Depth) > 1e-9 {
					t.Errorf("%s: a %s is %v, and %g in of %s is on the list", name, q.Name, s.Size, q.Length, q.Stick)
				}
				if long+1e-9 < q.Length {
					t.Errorf("%s: a %s is %v, and %g in long on the list", name, q.Name, s.Size, q.Length)
				}
			}
			if n != q.Count {
				t.Errorf("%s: %d of %s lie there, %d are on the list", name, n, q.Name, q.Count)
			}
		}
	}
}

// Every wall board touches a post at each of its ends, over an inch of it or more.
func TestWallBoardsTouchPosts(t *testing.T) {
	p := parameters(t)
	for name, x := range shapes() {
		b, err := p.Build(x)
		if err != nil {
			t.Fatal(err)
		}
		sticks := carpentry.Layout(x, b)
		for _, s := range sticks {
			along := map[string]int{"long side": 0, "short side": 1}
			d, wall := along[s.Piece]
			if !wall {
				continue
			}
			across, touched := 1-d, 0
			for _, o := range sticks {
				if o.Piece != "corner post" {
					continue
				}
				meets := math.Abs(o.Top()[across]-s.At[across]) < 1e-9 || math.Abs(s.Top()[across]-o.At[across]) < 1e-9
				if over := math.Min(s.Top()[d], o.Top()[d]) - math.Max(s.At[d], o.At[d]); meets && over >= 1-1e-9 {
					touched++
				}
			}
			if touched != 2 {
				t.Errorf("%s: a board of the %s touches %d posts, want 2", name, s.Piece, touched)
			}
		}
	}
}

// Holes lie in boards, clear of joints and
// of each other, as many as were wanted.
func TestHolesLieInBoards(t *testing.T) {
	p := parameters(t)
	for name, x := range shapes() {
		b, err := p.Build(x)
		if err != nil {
			t.Fatal(err)
		}
		wall, _ := carpentry.Dressed(x.Wall)
		for _, n := range []int{4, 12, 31, 40} {
			got, err := carpentry.PatternOf(x, b, n, 1)
			if err != nil {
				t.Fatalf("%s: %d holes: %v", name, n, err)
			}
			if sum := got.PerSide[0] + got.PerSide[1] + got.PerSide[2] + got.PerSide[3]; sum < n || sum > n+3 {
				t.Errorf("%s: %d holes for %d", name, sum, n)
			}
			for side, list := range [][]carpentry.Bore{got.Long, got.Short} {
				if len(list) != got.PerSide[2*side] {
					t.Errorf("%s: %d holes are drilled, %d are told", name, len(list), got.PerSide[2*side])
				}
				for i, o := range list {
					if in := math.Mod(o.Up, wall.Depth); in < 1 || in > wall.Depth-1 || o.Up > b.Inside[2] || o.Along < 0.5 || o.Along > b.Inside[side]-0.5 {
						t.Errorf("%s: a hole at %+v", name, o)
					}
					for _, q := range list[:i] {
						if math.Hypot(o.Along-q.Along, o.Up-q.Up) < 3-1e-9 {
							t.Errorf("%s: holes at %+v and %+v", name, o, q)
						}
					}
				}
			}
		}
	}
	x := everyday()
	b, _ := p.Build(x)
	if _, err := carpentry.PatternOf(x, b, 5000, 1); err == nil {
		t.Error("5,000 holes fit")
	}
	if _, err := carpentry.PatternOf(x, b, 4, 3); err == nil {
		t.Error("a hole of 3 in fits into a board of 5.5 in")
	}
}
