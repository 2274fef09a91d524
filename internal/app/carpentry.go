package app

import (
	"context"
	"math"
	"slices"

	"wormyard/carpentry"
	"wormyard/internal/contract"
	"wormyard/program"
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
	Liner       string  `json:"liner" choice:"film,bubble film,foam board" default:"film" doc:"of a lined bin"`
	Fastener    string  `json:"fastener" choice:"nail,screw" default:"screw"`
	Diameter    float64 `json:"diameter_in" unit:"in" low:"0.05" high:"0.75" default:"0.19"`
	Point       float64 `json:"point_in" unit:"in" low:"0.1" high:"6" default:"1.5" doc:"that sits in the post"`
	PerJoint    int     `json:"per_joint" low:"1" high:"12" default:"2"`
}

// BoxAir is what the bed needs to breathe, for holes in the walls.
type BoxAir struct {
	OxygenKgS float64 `json:"oxygen_kg_s" unit:"kg/s" low:"0" high:"0.01" default:"0" doc:"beside what comes through the top; the bed model finds the holes when 0"`
	Hole      float64 `json:"hole_in" unit:"in" low:"0.1" high:"6" default:"1"`
	Inside    float64 `json:"inside_kg_m3" unit:"kg/m3" low:"0" high:"0.28" default:"0.14" doc:"with oxygen_kg_s"`
	Vapour    float64 `json:"vapour_kg_m3" unit:"kg/m3" low:"0" high:"0.1" default:"0.01" doc:"with oxygen_kg_s"`
	Bed       BoxBed  `json:"bed"`
}

// BoxBed is the bed for which the bed model finds the holes: castings, fed for
// three weeks.
type BoxBed struct {
	Material  string  `json:"material" default:"horse manure with bedding"`
	FeedIn    float64 `json:"feed_in" unit:"in" low:"0.25" high:"12" default:"2" doc:"depth of each feeding"`
	EveryDays float64 `json:"every_days" unit:"day" low:"1" high:"60" default:"7"`
	AirC      float64 `json:"air_c" unit:"C" low:"-10" high:"45" default:"20" doc:"of the barn"`
}

// BoxPrices are prices of what is not wood, in the farm's money.
type BoxPrices struct {
	Liner    float64 `json:"liner_ft2" low:"0" high:"1000" default:"0" doc:"a square foot"`
	Fastener float64 `json:"fastener" low:"0" high:"100" default:"0" doc:"each"`
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
	Prices BoxPrices  `json:"prices"`
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
	Cost       *float64          `json:"cost" doc:"of the wood; null where a stick has no price"`
	CutsProved bool              `json:"cuts_proved" doc:"no list costs less"`
	Parts      []BoxPart         `json:"parts" doc:"what is bought, for all bins"`
	CostAll    *float64          `json:"cost_all" doc:"of wood, liner and fasteners together; null where one of them has no price"`
	Warmth     BoxWarmth         `json:"warmth"`
	Holes      *BoxHoles         `json:"holes"`
	Notes      []string          `json:"notes"`
	Cautions   []string          `json:"cautions"`

	box     carpentry.Box
	built   carpentry.Built
	pattern carpentry.Pattern
}

// Drawn is what drawings of the bin are made from.
func (a *BoxAnswer) Drawn() (carpentry.Box, carpentry.Built, carpentry.Pattern) {
	return a.box, a.built, a.pattern
}

// BoxPart is one thing to buy.
type BoxPart struct {
	What   string   `json:"what" doc:"stick, liner or fastener"`
	Stick  string   `json:"stick,omitempty"`
	Length float64  `json:"length_in,omitempty" unit:"in"`
	Count  float64  `json:"count" doc:"sticks, square feet of liner, or fasteners"`
	Each   *float64 `json:"each" doc:"price, null where none was given"`
	Cost   *float64 `json:"cost"`
}

// BoxWarmth is what heat a bin lets through at its sides and floor.
type BoxWarmth struct {
	WallU  float64 `json:"wall_u_w_m2k" unit:"W/(m2 K)" doc:"films of air included"`
	FloorU float64 `json:"floor_u_w_m2k" unit:"W/(m2 K)" doc:"air below"`
	Sides  float64 `json:"sides_w_k" unit:"W/K"`
	Floor  float64 `json:"floor_w_k" unit:"W/K"`
}

// BoxHoles is a pattern of holes in the walls.
type BoxHoles struct {
	Count     int     `json:"count"`
	AreaIn2   float64 `json:"area_in2" unit:"in2"`
	PerSide   []int   `json:"per_side" doc:"the two long sides and the two short ones"`
	Rows      int     `json:"rows"`
	ApartIn   float64 `json:"apart_in" unit:"in" doc:"along a row, at the closest"`
	DryingLbD float64 `json:"drying_lb_day" unit:"lb/day" doc:"that leaves through the holes"`

	Model *BoxHolesModel `json:"model" doc:"what the bed model says; null where the need was given"`
}

// BoxHolesModel is what the bed model says of a bed of three weeks, with and
// without holes.
type BoxHolesModel struct {
	Wanted   float64 `json:"oxygen_wanted_frac" doc:"by volume, lowest of any layer over the last week"`
	Without  float64 `json:"oxygen_without_frac" doc:"with no holes"`
	With     float64 `json:"oxygen_with_frac" doc:"with these"`
	Enough   bool    `json:"enough" doc:"what is wanted is reached"`
	TopLbDay float64 `json:"top_lb_day" unit:"lb/day" doc:"of water that leaves through the top"`
	WarmC    float64 `json:"mean_c" unit:"C" doc:"of the bed over the last week"`
	HotC     float64 `json:"hot_c" unit:"C" doc:"above which worms do not grow"`
}

var boxCautions = []string{
	"Strength values are quoted, not read in the printed table: a licensed engineer and the local code decide.",
	"No treated wood: copper and older salts leach into the bed.",
	"The plate on the truck decides what it lifts; keep people away from under a raised bin, mate the corners, and stack on a level floor.",
	"Wood that rots carries nothing: look over posts and floor each time a bin is empty.",
}

// Workshop works bins out.
type Workshop struct {
	mixer *Mixer
	solve program.Solver
	wood  carpentry.Parameters
	least float64 // oxygen that is wanted everywhere, by volume
	hot   float64 // above which worms do not grow [C]
	air   airKept
}

// NewWorkshop gives a Workshop; the mixer runs the bed for which holes are found.
func NewWorkshop(m *Mixer, solve program.Solver) (*Workshop, error) {
	n, err := numbersOfNature()
	if err != nil {
		return nil, err
	}
	return &Workshop{mixer: m, solve: solve, wood: n.Wood, least: n.Bed.RefugeOxygen, hot: n.Worm.GrowthHotC}, nil
}

// Grades are the woods that a bin may be built of.
func (w *Workshop) Grades() []carpentry.Grade { return w.wood.Grades }

// Read reads what bin is wanted and works it out. The error is a
// *figure.Refusal with all that is wrong, or that of the solver.
func (w *Workshop) Read(ctx context.Context, data []byte) (*BoxAnswer, error) {
	in, err := ReadBox(data)
	if err != nil {
		return nil, err
	}
	return w.Answer(ctx, in)
}

// ReadBox reads what bin is wanted. The error is a *figure.Refusal.
func ReadBox(data []byte) (BoxRequest, error) {
	var in BoxRequest
	if problems := contract.Decode(data, &in); len(problems) > 0 {
		return in, contract.Refuse(problems)
	}
	return in, nil
}

// Answer works a bin out. The error is a *figure.Refusal with all that is wrong,
// or that of the solver.
func (w *Workshop) Answer(ctx context.Context, in BoxRequest) (*BoxAnswer, error) {
	x := boxOf(in, w.wood)
	b, err := w.wood.Build(x)
	if err != nil {
		return nil, err
	}
	var holes *BoxHoles
	var pattern carpentry.Pattern
	if in.Air != nil {
		if holes, pattern, err = w.holes(ctx, *in.Air, b, x); err != nil {
			return nil, err
		}
		if holes.Count > 0 { // the lowest board is checked with them in it
			x.HoleIn = in.Air.Hole
			if b, err = w.wood.Build(x); err != nil {
				return nil, err
			}
		}
	}
	pieces := slices.Clone(b.Pieces)
	for i := range pieces {
		pieces[i].Count *= in.Bins
	}
	cut, err := carpentry.CutList(ctx, w.solve, pieces, stockOf(in, b.Pieces), in.Kerf)
	if err != nil {
		return nil, err
	}
	out := &BoxAnswer{
		OK: b.OK(), Stands: b.Stands, Inside: b.Inside, FillFt3: b.FillFt3, FillLb: b.FillLb, WoodLb: b.WoodLb, BoxLb: b.BoxLb, LinerFt2: b.LinerFt2, Fasteners: b.Fasteners,
		Life: [2]float64{b.LifeLow, b.LifeHigh}, Checks: b.Checks, Pieces: pieces, Cuts: cut.Cuts, BoughtIn: cut.Bought, WasteIn: cut.Waste, WasteFrac: cut.Waste / cut.Bought, CutsProved: cut.Proved,
		Warmth: BoxWarmth{b.Loss.WallU, b.Loss.FloorU, b.Loss.SidesWK, b.Loss.FloorWK}, Holes: holes, Notes: append([]string{}, b.Notes...), Cautions: boxCautions,
		box: x, built: b, pattern: pattern,
	}
	out.buy(in, b)
	if !slices.ContainsFunc(out.Parts, func(p BoxPart) bool { return p.What == "stick" && p.Cost == nil }) {
		out.Cost = &cut.Price
	}
	return out, nil
}

// buy lists what is bought with its prices.
func (a *BoxAnswer) buy(in BoxRequest, b carpentry.Built) {
	known, sum := true, 0.0
	add := func(p BoxPart, each float64) {
		if each > 0 {
			cost := each * p.Count
			p.Each, p.Cost = &each, &cost
			sum += cost
		} else {
			known = false
		}
		a.Parts = append(a.Parts, p)
	}
	price := func(stick string, length float64) float64 {
		for _, s := range in.Stock {
			if s.Stick == stick && s.Length == length {
				return s.Price
			}
		}
		return 0
	}
	for _, c := range a.Cuts {
		i := slices.IndexFunc(a.Parts, func(p BoxPart) bool { return p.Stick == c.Stick && p.Length == c.Stock })
		if i < 0 {
			i = len(a.Parts)
			a.Parts = append(a.Parts, BoxPart{What: "stick", Stick: c.Stick, Length: c.Stock})
		}
		a.Parts[i].Count += float64(c.Times)
	}
	sticks := a.Parts
	a.Parts = nil
	for _, p := range sticks {
		add(p, price(p.Stick, p.Length))
	}
	if b.LinerFt2 > 0 {
		add(BoxPart{What: "liner", Count: math.Ceil(b.LinerFt2 * float64(in.Bins))}, in.Prices.Liner)
	}
	add(BoxPart{What: "fastener", Count: float64(b.Fasteners * in.Bins)}, in.Prices.Fastener)
	if known {
		a.CostAll = &sum
	}
}

func boxOf(in BoxRequest, p carpentry.Parameters) carpentry.Box {
	x := carpentry.Box{
		Length: in.Length, Width: in.Width, Height: in.Height, Wall: in.Build.Wall, Floor: in.Build.Floor, Bearer: in.Build.Bearer, Skid: in.Build.Skid, Post: in.Build.Post,
		Bearers: in.Build.Bearers, Skids: in.Build.Skids, PostsInside: in.Build.PostsInside, Species: in.Build.Species, Grade: in.Build.Grade, Lined: in.Build.Lined, Liner: in.Build.Liner,
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
