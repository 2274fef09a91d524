package app

import (
	"context"
	"time"

	"wormyard/barn"
	"wormyard/internal/contract"
)

// MovesRequest asks for the lifts that reach bins, docs/contracts/moves.
type MovesRequest struct {
	Stacks  [][]string `json:"stacks" doc:"the bins of each stack, bottom to top"`
	Heights *int       `json:"heights" low:"1" high:"12" doc:"bins in a stack at most; one more than the highest now when left out"`
	Want    []string   `json:"want" doc:"bins to be reached"`
	Order   string     `json:"order" choice:"any,fixed" default:"any" doc:"fixed: in the order of want"`
	Leave   string     `json:"leave" choice:"remove,back" default:"back" doc:"remove: taken out; back: worked on and put back on a stack"`
	Spots   int        `json:"spots" low:"0" high:"1000" default:"0" doc:"free places on the floor, each good for a stack"`
	Reach   int        `json:"reach" low:"0" high:"12" default:"0" doc:"highest level at which a bin on top is worked on where it stands; 0: every bin is taken down"`
}

// MovesAnswer is the answer of wormyard moves.
type MovesAnswer struct {
	Moves   []barn.Move `json:"moves" doc:"from and to: a stack from 1, a spot, work or out"`
	Lifts   int         `json:"lifts"`
	Bound   int         `json:"bound" doc:"no list has fewer lifts"`
	Proved  bool        `json:"proved" doc:"no list has fewer than this one"`
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
	y := barn.Yard{Stacks: in.Stacks, Want: in.Want, Fixed: in.Order == "fixed", Back: in.Leave == "back", Spots: in.Spots, Reach: in.Reach}
	if in.Heights != nil {
		y.Most = *in.Heights
	}
	begin := now()
	m, err := barn.PlanLifts(ctx, y)
	if err != nil {
		return nil, err
	}
	out := &MovesAnswer{Moves: m.Moves, Lifts: m.Lifts, Bound: m.Bound, Proved: m.Proved, Seconds: now().Sub(begin).Seconds(), Caution: movesCaution}
	if out.Moves == nil {
		out.Moves = []barn.Move{}
	}
	return out, nil
}
