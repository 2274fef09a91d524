package barn

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"wormyard/figure"
)

// A Yard is stacks as they stand and who is to be reached in them.
type Yard struct {
	Stacks [][]string // bottom to top
	Most   int        // bins in a stack at most; 0 for one more than the highest now
	Want   []string   // bins to be reached
	Fixed  bool       // in that order; else in any
	Back   bool       // worked on and put back on a stack; else taken out
	Spots  int        // free places on the floor, each good for a stack
	// Reach is the highest level at which a bin on top is worked on where it
	// stands, without a lift; 0 for none. It is of use with Back only.
	Reach int
	// Near moves only what stands on the bin that is reached next, as a driver
	// does who plans no further.
	Near bool
	// Effort is how many states are looked at before the best list found so far
	// is taken; 0 for usualEffort.
	Effort int
}

// A Move is one lift: a bin is taken up and set down. From and To are stacks
// counted from 1, "spot 1" and so on for free places, "work" where a bin is
// worked on, and "out".
type Move struct {
	Bin  string `json:"bin"`
	From string `json:"from"`
	To   string `json:"to"`
}

// Moves are the lifts that reach every bin wanted. No list has fewer lifts than
// Bound; Proved says that none has fewer than this one.
type Moves struct {
	Moves  []Move
	Lifts  int
	Bound  int
	Proved bool
	Looked int // states looked at
}

// Places that are no stack.
const (
	AtWork = "work"
	Out    = "out"
)

// PlanLifts finds the lifts that reach the bins wanted, with as few lifts as can
// be found: exact on small yards (iterative deepening over states in which like
// bins and like stacks are one), and a beam of greedy lists with a lower bound on
// large ones. Every stack keeps to its height. The error is a *figure.Refusal,
// or that of the context. model.md (F1 to F5).
func PlanLifts(ctx context.Context, y Yard) (Moves, error) {
	if err := y.sound(); err != nil {
		return Moves{}, err
	}
	s := newReaching(y)
	bound := s.bound()
	best, ok := s.plain()
	better := func(list []lift, found bool) {
		if found && (!ok || len(list) < len(best)) {
			best, ok = list, true
		}
	}
	search := func(states int) {
		if ok && len(best) <= bound {
			return
		}
		list, low := s.exact(ctx, bound, len(best), ok, states)
		bound = max(bound, low)
		better(list, list != nil)
	}
	effort := cmp.Or(y.Effort, usualEffort)
	search(effort / firstPart)
	if !ok || len(best) > bound {
		better(s.beam(ctx))
	}
	search(effort)
	if err := ctx.Err(); err != nil && !ok {
		return Moves{}, err
	}
	if !ok {
		return Moves{}, stuck(y)
	}
	out := Moves{Moves: y.named(best), Lifts: len(best), Bound: bound, Proved: len(best) == bound, Looked: s.looked}
	return out, nil
}

func stuck(y Yard) error {
	return figure.Refuse("spots", "There is no room to set down what stands on the bins that are wanted.", "Clear a place on the floor, or let stacks be one bin higher if the house rule allows it.")
}

// sound refuses a yard that cannot stand, all of it at once.
func (y *Yard) sound() error {
	var bad figure.Problems
	at := map[string]int{}
	highest := 0
	for i, stack := range y.Stacks {
		highest = max(highest, len(stack))
		for level, bin := range stack {
			switch was, twice := at[bin]; {
			case strings.TrimSpace(bin) == "":
				bad.Add(fmt.Sprintf("stacks[%d]", i), fmt.Sprintf("Stack %d has a hole at level %d: nothing carries the bins above.", i+1, level+1), "List the bins from the floor up without a gap.")
			case twice:
				bad.Add(fmt.Sprintf("stacks[%d]", i), fmt.Sprintf("%s stands in stack %d and in stack %d.", bin, was+1, i+1), "Look where it really stands.")
			default:
				at[bin] = i
			}
		}
	}
	if y.Most == 0 {
		y.Most = highest + 1
	}
	switch {
	case len(y.Stacks)+y.Spots > mostStacks || y.Spots < 0:
		bad.Add("stacks", fmt.Sprintf("%d stacks and %d spots cannot be planned in one go.", len(y.Stacks), y.Spots), fmt.Sprintf("Up to %d together; plan one barn at a time.", mostStacks))
	case y.Most > mostHigh || y.Most < 1:
		bad.Add("heights", fmt.Sprintf("Stacks of %d bins are not planned.", y.Most), fmt.Sprintf("1 to %d; four is the house rule for bins.", mostHigh))
	case highest > y.Most:
		bad.Add("heights", fmt.Sprintf("A stack is %d high already, and %d are allowed.", highest, y.Most), "Take the top bins down first, or allow the height that the house rule allows.")
	}
	seen := map[string]bool{}
	for i, bin := range y.Want {
		switch _, stands := at[bin]; {
		case !stands:
			bad.Add(fmt.Sprintf("want[%d]", i), fmt.Sprintf("%s stands in no stack.", bin), "Look at its name, or where it stands.")
		case seen[bin]:
			bad.Add(fmt.Sprintf("want[%d]", i), fmt.Sprintf("%s is asked for twice.", bin), "Ask for each bin once.")
		}
		seen[bin] = true
	}
	if len(y.Want) > mostWanted && y.Fixed {
		bad.Add("want", fmt.Sprintf("%d bins in a fixed order are too many for one plan.", len(y.Want)), fmt.Sprintf("Up to %d, or let the order be any.", mostWanted))
	}
	return bad.Refuse()
}

// usualEffort is some seconds of search; a part of it is spent before the beam,
// since small yards need no more.
const (
	usualEffort = 400_000
	firstPart   = 20
)

const (
	mostStacks = 1000
	mostHigh   = 12
	mostWanted = 250
)

// lift is a move by indexes: from a stack to a stack, or out. A lift down to
// work is followed by the one that puts back.
type lift struct {
	from, to int
	down     bool // to work, or up from it
}

const gone = -1 // the place "out", and "work"

// named replays lifts on the yard with its names.
func (y Yard) named(list []lift) []Move {
	stacks := make([][]string, len(y.Stacks)+y.Spots)
	for i, s := range y.Stacks {
		stacks[i] = slices.Clone(s)
	}
	place := func(i int) string {
		if i >= len(y.Stacks) {
			return fmt.Sprintf("spot %d", i-len(y.Stacks)+1)
		}
		return fmt.Sprint(i + 1)
	}
	var out []Move
	held := ""
	for _, l := range list {
		switch {
		case l.from == gone:
			out = append(out, Move{Bin: held, From: AtWork, To: place(l.to)})
			stacks[l.to] = append(stacks[l.to], held)
		default:
			n := len(stacks[l.from]) - 1
			bin := stacks[l.from][n]
			stacks[l.from] = stacks[l.from][:n]
			m := Move{Bin: bin, From: place(l.from)}
			switch {
			case l.to != gone:
				m.To = place(l.to)
				stacks[l.to] = append(stacks[l.to], bin)
			case l.down:
				m.To, held = AtWork, bin
			default:
				m.To = Out
			}
			out = append(out, m)
		}
	}
	return out
}
