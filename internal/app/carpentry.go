package app

import (
	"context"
	"fmt"
	"math"
	"slices"

	"wormyard/carpentry"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/program"
	"wormyard/qty"
)

// BoxStock is a length of a stick that can be bought.
type BoxStock struct {
	Stick  string  `json:"stick" doc:"by name, \"2x6\""`
	Length float64 `json:"length_in" unit:"in" low:"1" high:"480"`
	Price  float64 `json:"price" low:"0" high:"100000" default:"0" doc:"each, in the farm's money"`
}

// BoxTruck is the plate of a truck.
type BoxTruck struct {
	Rated  float64 `json:"rated_lb" unit:"lb" low:"1" high:"100000"`
	Center float64 `json:"rated_center_in" unit:"in" low:"1" high:"100" default:"24"`
	Axle   float64 `json:"axle_to_face_in" unit:"in" low:"0" high:"60" default:"0" doc:"front axle to the face of the forks; 0 is the safer"`
	Forks  float64 `json:"forks_in" unit:"in" low:"1" high:"120" default:"24" doc:"middle to middle"`
}

// BoxBuild is what a bin is built of.
type BoxBuild struct {
	Wall        string  `json:"wall" default:"2x6"`
	Floor       string  `json:"floor" default:"2x6"`
	Bearer      string  `json:"bearer" default:"2x4"`
	Skid        string  `json:"skid" default:"4x4"`
	Post        string  `json:"post" default:"2x4"`
	Bearers     int     `json:"bearers" low:"2" high:"12" default:"3"`
	Skids       int     `json:"skids" low:"2" high:"4" default:"3"`
	PostsInside bool    `json:"posts_inside" default:"false" doc:"then the fill pushes the boards off their fasteners"`
	Species     string  `json:"species" default:"spruce-pine-fir"`
	Grade       string  `json:"grade" default:"No 2"`
	Lined       bool    `json:"lined" default:"true"`
	Fastener    string  `json:"fastener" choice:"nail,screw" default:"screw"`
	Diameter    float64 `json:"diameter_in" unit:"in" low:"0.05" high:"0.75" default:"0.19"`
	Point       float64 `json:"point_in" unit:"in" low:"0.1" high:"6" default:"1.5" doc:"that sits in the post"`
	PerJoint    int     `json:"per_joint" low:"1" high:"12" default:"2"`
}

// BoxAir is what the bed needs to breathe, for holes in the walls.
type BoxAir struct {
	OxygenKgS float64 `json:"oxygen_kg_s" unit:"kg/s" low:"0" high:"0.01" doc:"beside what comes through the top; figure bed.oxygen_column tells it"`
	Hole      float64 `json:"hole_in" unit:"in" low:"0.1" high:"6" default:"1"`
	Inside    float64 `json:"inside_kg_m3" unit:"kg/m3" low:"0" high:"0.28" default:"0.14"`
	Vapour    float64 `json:"vapour_kg_m3" unit:"kg/m3" low:"0" high:"0.1" default:"0.01"`
}

// BoxRequest asks for a bin to be worked out, docs/contracts/carpentry.
type BoxRequest struct {
	Length float64    `json:"length_in" unit:"in" doc:"outside"`
	Width  float64    `json:"width_in" unit:"in" doc:"outside, along the forks"`
	Height float64    `json:"height_in" unit:"in" doc:"outside, skids and all"`
	Build  BoxBuild   `json:"build"`
	High   int        `json:"stack_high" low:"1" high:"20" default:"3"`
	Fill   *float64   `json:"fill_lb_ft3" unit:"lb/ft3" low:"5" high:"100" doc:"wet; the design value of castings when left out"`
	Truck  *BoxTruck  `json:"truck"`
	Stock  []BoxStock `json:"stock" doc:"what can be bought; 8, 10, 12 and 16 ft of each without a price when left out"`
	Kerf   float64    `json:"kerf_in" unit:"in" low:"0" high:"0.5" default:"0.125"`
	Bins   int        `json:"bins" low:"1" high:"1000" default:"1" doc:"how many are built"`
	Air    *BoxAir    `json:"air"`
}

// BoxAnswer is the answer of wormyard carpentry: inches and pounds, of one bin
// but for what is cut and bought, which is of all.
type BoxAnswer struct {
	OK         bool              `json:"ok" doc:"every check holds"`
	Stands     float64           `json:"height_in" unit:"in" doc:"as built"`
	Inside     [3]float64        `json:"inside_in" unit:"in" doc:"length, width, depth"`
	FillFt3    float64           `json:"fill_ft3" unit:"ft3"`
	FillLb     float64           `json:"fill_lb" unit:"lb"`
	WoodLb     float64           `json:"wood_lb" unit:"lb"`
	BoxLb      float64           `json:"box_lb" unit:"lb"`
	LinerFt2   float64           `json:"liner_ft2" unit:"ft2"`
	Fasteners  int               `json:"fasteners"`
	Life       [2]float64        `json:"life_years" unit:"year" doc:"common practice, no source"`
	Checks     []carpentry.Check `json:"checks"`
	Pieces     []carpentry.Piece `json:"pieces"`
	Cuts       []carpentry.Cut   `json:"cuts"`
	BoughtIn   float64           `json:"bought_in" unit:"in"`
	WasteIn    float64           `json:"waste_in" unit:"in"`
	WasteFrac  float64           `json:"waste_frac"`
	Cost       *float64          `json:"cost" doc:"of the wood; null where nothing has a price"`
	CutsProved bool              `json:"cuts_proved" doc:"no list costs less"`
	Holes      *BoxHoles         `json:"holes"`
	Notes      []string          `json:"notes"`
	Cautions   []string          `json:"cautions"`
}

// BoxHoles is a pattern of holes in the walls.
type BoxHoles struct {
	Count     int     `json:"count"`
	AreaIn2   float64 `json:"area_in2" unit:"in2"`
	PerSide   []int   `json:"per_side" doc:"the two long sides and the two short ones"`
	Rows      int     `json:"rows"`
	ApartIn   float64 `json:"apart_in" unit:"in" doc:"along a row, at the closest"`
	DryingLbD float64 `json:"drying_lb_day" unit:"lb/day"`
}

var boxCautions = []string{
	"Strength values are quoted, not read in the printed table: a licensed engineer and the local code decide.",
	"No treated wood: copper and older salts leach into the bed.",
	"The plate on the truck decides what it lifts; keep people away from under a raised bin, mate the corners, and stack on a level floor.",
	"Wood that rots carries nothing: look over posts and floor each time a bin is empty.",
}

// Carpentry reads what bin is wanted and works it out. The error is a
// *figure.Refusal with all that is wrong, or that of the solver.
func Carpentry(ctx context.Context, data []byte, solve program.Solver) (*BoxAnswer, error) {
	var in BoxRequest
	if problems := contract.Decode(data, &in); len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	n, err := numbersOfNature()
	if err != nil {
		return nil, err
	}
	x := boxOf(in, n.Wood)
	b, err := n.Wood.Build(x)
	if err != nil {
		return nil, err
	}
	pieces := slices.Clone(b.Pieces)
	for i := range pieces {
		pieces[i].Count *= in.Bins
	}
	cut, err := carpentry.CutList(ctx, solve, pieces, stockOf(in, b.Pieces), in.Kerf)
	if err != nil {
		return nil, err
	}
	out := &BoxAnswer{
		OK: b.OK(), Stands: b.Stands, Inside: b.Inside, FillFt3: b.FillFt3, FillLb: b.FillLb, WoodLb: b.WoodLb, BoxLb: b.BoxLb, LinerFt2: b.LinerFt2, Fasteners: b.Fasteners,
		Life: [2]float64{b.LifeLow, b.LifeHigh}, Checks: b.Checks, Pieces: pieces, Cuts: cut.Cuts, BoughtIn: cut.Bought, WasteIn: cut.Waste, WasteFrac: cut.Waste / cut.Bought, CutsProved: cut.Proved,
		Notes: append([]string{}, b.Notes...), Cautions: boxCautions,
	}
	if cut.Price > 0 {
		out.Cost = &cut.Price
	}
	if in.Air != nil {
		if out.Holes, err = holesOf(*in.Air, b, x, n.Wood); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func boxOf(in BoxRequest, p carpentry.Parameters) carpentry.Box {
	x := carpentry.Box{
		Length: in.Length, Width: in.Width, Height: in.Height, Wall: in.Build.Wall, Floor: in.Build.Floor, Bearer: in.Build.Bearer, Skid: in.Build.Skid, Post: in.Build.Post,
		Bearers: in.Build.Bearers, Skids: in.Build.Skids, PostsInside: in.Build.PostsInside, Species: in.Build.Species, Grade: in.Build.Grade, Lined: in.Build.Lined,
		FillLbFt3: p.Castings.Best, High: in.High, Fastener: in.Build.Fastener, DiameterIn: in.Build.Diameter, PointIn: in.Build.Point, PerJoint: in.Build.PerJoint, ForksIn: math.Min(24, in.Length/2),
	}
	if in.Fill != nil {
		x.FillLbFt3 = *in.Fill
	}
	if t := in.Truck; t != nil {
		x.TruckLb, x.TruckCenter, x.AxleToFace, x.ForksIn = t.Rated, t.Center, t.Axle, t.Forks
	}
	return x
}

// stockOf is what can be bought, or the usual lengths of every stick in use.
func stockOf(in BoxRequest, pieces []carpentry.Piece) (out []carpentry.Stock) {
	for _, s := range in.Stock {
		out = append(out, carpentry.Stock(s))
	}
	if len(out) > 0 {
		return out
	}
	for _, p := range pieces {
		if slices.ContainsFunc(out, func(s carpentry.Stock) bool { return s.Stick == p.Stick }) {
			continue
		}
		for _, feet := range []float64{8, 10, 12, 16} {
			out = append(out, carpentry.Stock{Stick: p.Stick, Length: feet * 12})
		}
	}
	return out
}

// holesOf spreads holes over the four sides by their length, in as many rows as
// keep them three widths apart.
func holesOf(a BoxAir, b carpentry.Built, x carpentry.Box, p carpentry.Parameters) (*BoxHoles, error) {
	wall, _ := carpentry.Dressed(x.Wall)
	h, err := p.HolesFor(a.OxygenKgS, 0.28, a.Inside, a.Hole*qty.MetrePerInch, wall.Width*qty.MetrePerInch, a.Vapour)
	if err != nil {
		return nil, err
	}
	around := 2 * (b.Inside[0] + b.Inside[1])
	out := &BoxHoles{Count: h.Count, AreaIn2: h.AreaM2 / (qty.MetrePerInch * qty.MetrePerInch), DryingLbD: h.DryingKgS * 86400 / qty.KgPerPound}
	long := int(math.Round(float64(h.Count) * b.Inside[0] / around))
	short := max(0, (h.Count-2*long+1)/2)
	out.PerSide = []int{long, long, short, short}
	inRow := math.Max(1, math.Floor(b.Inside[0]/(3*a.Hole)))
	out.Rows = max(1, int(math.Ceil(float64(long)/inRow)))
	out.ApartIn = b.Inside[0] / math.Max(1, math.Ceil(float64(long)/float64(out.Rows)))
	if room := int(b.Inside[2] / (3 * a.Hole)); out.Rows > max(1, room) {
		return nil, figure.Refuse("air.hole_in", fmt.Sprintf("%d holes of %.4g in do not fit into the walls.", h.Count, a.Hole), "Wider holes, or a shallower bed.")
	}
	return out, nil
}
