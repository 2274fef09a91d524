package carpentry

import (
	"fmt"
	"math"

	"wormyard/figure"
)

// Holes are round holes through a wall, as air comes through them by diffusion.
type Holes struct {
	Count      int
	AreaM2     float64
	OxygenKgS  float64 // that comes in through all of them
	DryingKgS  float64 // of water vapour that leaves through them
	ThroughM2S float64 // conductance of one hole by unit of diffusivity [m]
}

// HoleConductance is the conductance of one round hole by unit of diffusivity
// [m]: its area by its depth and the way in the air before both its ends, a
// quarter of pi of its width in all (Brown and Escombe 1900). model.md (K14).
func HoleConductance(diameterM, depthM float64) float64 {
	area := math.Pi * diameterM * diameterM / 4
	return area / (depthM + math.Pi*diameterM/4)
}

// HolesFor is how many round holes let in that much oxygen [kg/s] where the air
// outside and at the hole's inner end hold that much of it [kg/m3], and what
// water leaves through them by the difference of vapour [kg/m3]. It says no word
// of wind, and of how far the air goes on through the bed. The error is a
// *figure.Refusal. model.md (K14).
func (p Parameters) HolesFor(oxygenKgS, outKgM3, inKgM3, diameterM, depthM, vapourKgM3 float64) (Holes, error) {
	var bad figure.Problems
	if !(oxygenKgS > 0) || math.IsInf(oxygenKgS, 0) {
		bad.Add("oxygen_kg_s", fmt.Sprintf("A bed that needs %g kg of oxygen a second needs no holes.", oxygenKgS), "Give what the bed uses that does not come through its top.")
	}
	if !(outKgM3 > inKgM3 && inKgM3 >= 0) {
		bad.Add("inside_kg_m3", "Oxygen comes in only where there is less of it inside than outside.", "Outside it is about 0.28 kg/m3 at 20 C.")
	}
	if !(diameterM > 0 && diameterM < 0.5) || !(depthM >= 0 && depthM < 1) {
		bad.Add("diameter_m", fmt.Sprintf("A hole %g m wide through %g m of wood cannot be.", diameterM, depthM), "Look at the numbers again.")
	}
	if err := bad.Refuse(); err != nil {
		return Holes{}, err
	}
	one := p.Through(1, diameterM, depthM, outKgM3-inKgM3, vapourKgM3).OxygenKgS
	n := math.Ceil(oxygenKgS/one - 1e-9)
	if n > 1e6 {
		return Holes{}, figure.Refuse("oxygen_kg_s", "That takes more than a million holes.", "Wider holes, or a shallower bed.")
	}
	return p.Through(int(n), diameterM, depthM, outKgM3-inKgM3, vapourKgM3), nil
}

// Through is what goes through so many holes by diffusion where the air at their
// ends differs by so much oxygen and vapour [kg/m3]. model.md (K14).
func (p Parameters) Through(count int, diameterM, depthM, oxygenKgM3, vapourKgM3 float64) Holes {
	n := float64(count)
	h := Holes{Count: count, AreaM2: n * math.Pi * diameterM * diameterM / 4, ThroughM2S: HoleConductance(diameterM, depthM)}
	h.OxygenKgS = n * p.Oxygen * h.ThroughM2S * oxygenKgM3
	h.DryingKgS = n * p.Vapour * h.ThroughM2S * math.Max(0, vapourKgM3)
	return h
}

// A Bore is one hole in a wall: how far from the left end of its side, and how
// far up from the floor boards, to its middle [in].
type Bore struct{ Along, Up float64 }

// Pattern is where the holes of a box are drilled: in the middle of boards, in
// as many rows as keep them three widths apart, clear of the posts.
type Pattern struct {
	PerSide [4]int  // the two long sides and the two short ones
	Rows    int     // in a long side
	Apart   float64 // along a row of it, middle to middle [in]
	Long    []Bore  // of one long side
	Short   []Bore  // of one short side
}

// PatternOf spreads holes over the four sides by their length. The error is a
// *figure.Refusal where they do not fit. model.md (K14).
func PatternOf(x Box, b Built, count int, diameterIn float64) (Pattern, error) {
	wall, post := dressed[x.Wall], dressed[x.Post]
	out := Pattern{}
	if count < 1 {
		return out, nil
	}
	around := b.Inside[0] + b.Inside[1]
	long := int(math.Round(float64(count) / 2 * b.Inside[0] / around))
	short := max(0, (count-2*long+1)/2)
	out.PerSide = [4]int{long, long, short, short}
	var fits, also bool
	out.Long, out.Rows, out.Apart, fits = bores(b.Inside[0]-2*post.Depth, post.Depth, wall.Depth, b.Courses, long, diameterIn)
	out.Short, _, _, also = bores(b.Inside[1]-2*post.Depth, post.Depth, wall.Depth, b.Courses, short, diameterIn)
	if !fits || !also || 3*diameterIn > wall.Depth {
		return out, figure.Refuse("air.hole_in", fmt.Sprintf("%d holes of %.4g in do not fit into the walls.", count, diameterIn), "Wider holes up to a third of a board, or wider boards, or a shallower bed.")
	}
	return out, nil
}

// bores places n holes on a side that is free over a length, begun so far from
// its end: rows in the middle of boards, spread from the floor to the rim.
func bores(free, from, board float64, courses, n int, diameter float64) (out []Bore, rows int, apart float64, fits bool) {
	if n == 0 {
		return nil, 0, 0, true
	}
	most := int(free / (3 * diameter))
	if most < 1 {
		return nil, 0, 0, false
	}
	rows = (n + most - 1) / most
	if rows > courses {
		return nil, rows, 0, false
	}
	apart = free / float64((n+rows-1)/rows)
	for r := range rows {
		in := n/rows + min(1, max(0, n%rows-r)) // the first rows take what is left over
		up := (math.Floor((float64(r)+0.5)*float64(courses)/float64(rows)) + 0.5) * board
		for i := range in {
			out = append(out, Bore{Along: from + (float64(i)+0.5)*free/float64(in), Up: up})
		}
	}
	return out, rows, apart, true
}
