package app

import (
	"context"
	"time"

	"wormyard/barn"
	"wormyard/figure"
	"wormyard/internal/contract"
	"wormyard/qty"
)

// MovesRequest asks for the lifts that reach bins, docs/contracts/moves.
type MovesRequest struct {
	Stacks  [][]string         `json:"stacks" doc:"the bins of each stack, bottom to top"`
	Heights *int               `json:"heights" low:"1" high:"8" doc:"bins in a stack at most; one more than the highest now when left out"`
	Want    []string           `json:"want" doc:"bins to be reached"`
	Order   string             `json:"order" choice:"any,fixed" default:"any" doc:"fixed: in the order of want"`
	Leave   string             `json:"leave" choice:"remove,back,same" default:"back" doc:"remove: taken out; back: worked on and put back on a stack; same: everything back where it stood"`
	Out     []string           `json:"out" doc:"of those wanted, taken out although the others go back"`
	Wet     []string           `json:"wet" doc:"bins that are set down on the floor or on another of these only"`
	Clear   bool               `json:"clear" doc:"the spots are free in the end"`
	Plate   []MovePlate        `json:"plate" doc:"lines of the truck's capacity plate; needs each_m and mass_kg_wet"`
	Centre  float64            `json:"centre_m" unit:"m" low:"0" high:"1.5" default:"0" doc:"load centre of the plate; 0: no derating"`
	Middle  float64            `json:"middle_m" unit:"m" low:"0" high:"2" default:"0" doc:"middle of a bin from the face of the forks"`
	Each    float64            `json:"each_m" unit:"m" low:"0" high:"2" default:"0" doc:"what a bin adds to a stack"`
	Mass    map[string]float64 `json:"mass_kg_wet" unit:"kg" doc:"of bins; one that is left out is not held against the plate"`
	Spots   int                `json:"spots" low:"0" high:"1000" default:"0" doc:"free places on the floor, each good for a stack"`
	At      []float64          `json:"at_m" unit:"m" low:"0" high:"10000" doc:"where each stack, and after them each spot, is along the aisle; of orders with as few lifts one with little way is taken"`
	Reach   int                `json:"reach" low:"0" high:"8" default:"0" doc:"highest level at which a bin on top is worked on where it stands; 0: every bin is taken down"`
}

// MovePlate is a line of a capacity plate.
type MovePlate struct {
	Height float64 `json:"height_m" unit:"m" low:"0" high:"15"`
	Load   float64 `json:"load_kg_wet" unit:"kg" low:"1" high:"20000"`
}

// MoveWork is a bin that is worked on.
type MoveWork struct {
	Bin   string `json:"bin"`
	After int    `json:"after_lifts" doc:"with the forks down after so many lifts"`
	At    string `json:"at" doc:"a stack from 1, a spot, work or out"`
}

// MovesAnswer is the answer of wormyard moves.
type MovesAnswer struct {
	Moves   []barn.Move `json:"moves" doc:"from and to: a stack from 1, a spot, work or out"`
	Works   []MoveWork  `json:"works" doc:"bins that are worked on between lifts, in their order"`
	Lifts   int         `json:"lifts"`
	Bound   int         `json:"bound" doc:"no list has fewer lifts"`
	Proved  bool        `json:"proved" doc:"no list has fewer than this one"`
	Metres  float64     `json:"way_m" unit:"m" doc:"of the truck along the aisle; 0 without at_m"`
	Least   float64     `json:"way_bound_m" unit:"m" doc:"no order of these lifts has a shorter way"`
	Saved   float64     `json:"way_saved_m" unit:"m" doc:"against the list found first"`
	Seconds float64     `json:"seconds" unit:"s"`
	Caution string      `json:"caution"`
}

// movesCaution stands with every list of lifts.
const movesCaution = "Keep to the truck's plate, keep people away from under a raised bin, set wet bins low, and let one truck work in an aisle. Local rules decide."

// Moves reads a yard and finds its lifts. The error is a *figure.Refusal with
// all that is wrong, or that of the context.
func Moves(ctx context.Context, data []byte, now func() time.Time) (*MovesAnswer, error) {
	var in MovesRequest
	if problems := contract.Decode(data, &in); len(problems) > 0 {
		return nil, contract.Refuse(problems)
	}
	y := barn.Yard{Stacks: in.Stacks, Want: in.Want, Fixed: in.Order == "fixed", Back: in.Leave != "remove", Same: in.Leave == "same", Out: in.Out, Wet: in.Wet, Clear: in.Clear || in.Leave == "same", Spots: in.Spots, Reach: in.Reach, At: in.At}
	if len(in.Plate) > 0 {
		plate := barn.Plate{Centre: qty.Metre(in.Centre)}
		for _, l := range in.Plate {
			plate.Lines = append(plate.Lines, barn.PlateLine{Height: qty.Metre(l.Height), Load: qty.WetKg(l.Load)})
		}
		if in.Each <= 0 || len(in.Mass) == 0 {
			return nil, figure.Refuse("plate", "The plate says nothing without what bins weigh and how high each is.", "Give mass_kg_wet and each_m as well.")
		}
		y.Top = map[string]int{}
		for bin, mass := range in.Mass {
			y.Top[bin] = plate.Top(qty.WetKg(mass), qty.Metre(in.Each), qty.Metre(in.Middle))
		}
	}
	if in.Heights != nil {
		y.Most = *in.Heights
	}
	begin := now()
	m, err := barn.PlanLifts(ctx, y)
	if err != nil {
		return nil, err
	}
	out := &MovesAnswer{Moves: m.Moves, Lifts: m.Lifts, Bound: m.Bound, Proved: m.Proved, Metres: m.Metres, Least: m.MetresBound, Saved: m.MetresFound - m.Metres, Seconds: now().Sub(begin).Seconds(), Caution: movesCaution}
	out.Works = []MoveWork{}
	for _, x := range m.Works {
		out.Works = append(out.Works, MoveWork(x))
	}
	if out.Moves == nil {
		out.Moves = []barn.Move{}
	}
	return out, nil
}
