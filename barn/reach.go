package barn

import (
	"cmp"
	"context"
	"fmt"
	"maps"
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
	Out    []string   // of those wanted, taken out although the others go back
	Spots  int        // free places on the floor, each good for a stack
	Floor  [][]string // what stands on the first of them now
	Clear  bool       // the places on the floor are free in the end: they are the aisle
	// High is the most bins of each stack and then of each place on the floor, where
	// they differ; Most for all when empty.
	High []int
	// Same puts every bin back where it stood, but for those taken out; with Back
	// only, and in any order. The places on the floor are free in the end, but for
	// what stands on them now.
	Same bool
	// Wet are bins that are set down on the floor or on another wet bin only.
	Wet []string
	// Top is the highest level at which the truck may lift a bin, by its plate; 0
	// for one that it may not lift at all. A bin that is not in it has no limit.
	Top map[string]int
	// At is where a stack, and after them a place on the floor, is along the aisle
	// [m]; of lists with as few lifts one with little way is taken. May be empty.
	At []float64
	// Reach is the highest level at which a bin on top is worked on where it
	// stands, without a lift; 0 for none. It is of use with Back only.
	Reach int
	// Names are what a crew calls the stacks, for messages; by their numbers when
	// empty.
	Names []string
	// Near moves only what stands on the bin that is reached next, as a driver
	// does who plans no further.
	Near bool
	// Effort is how many states are looked at before the best list found so far
	// is taken; 0 for about a second of search.
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

// A Work is a bin that is worked on, with the forks down: after so many lifts, in
// the place where it is then.
type Work struct {
	Bin   string
	After int
	At    string
}

// Moves are the lifts that reach every bin wanted. No list has fewer lifts than
// Bound; Proved says that none has fewer than this one.
type Moves struct {
	Moves  []Move
	Works  []Work
	Lifts  int
	Bound  int
	Proved bool
	Looked int     // states looked at
	Metres float64 // along the aisle, of the truck; 0 where Yard.At is empty
	// MetresFound is the way of the list found first, with as many lifts; no order of
	// these lifts has less than MetresBound.
	MetresFound, MetresBound float64
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
// or that of the context. model.md (F1 to F6, F9, F11).
func PlanLifts(ctx context.Context, y Yard) (Moves, error) {
	if err := y.sound(); err != nil {
		return Moves{}, err
	}
	if y.Same {
		return y.planSame()
	}
	s := newReaching(y)
	bound := s.bound()
	best, ok := s.plain()
	better := func(list []step, found bool) {
		if found && (!ok || liftsOf(list) < liftsOf(best)) {
			best, ok = list, true
		}
	}
	search := func(states int) {
		if ok && liftsOf(best) <= bound {
			return
		}
		list, low := s.exact(ctx, bound, liftsOf(best), ok, states)
		bound = max(bound, low)
		better(list, list != nil)
	}
	effort := cmp.Or(y.Effort, usualEffort/max(1, len(s.stacks)))
	search(effort / firstPart)
	if !ok || liftsOf(best) > bound {
		better(s.beam(ctx))
	}
	search(effort)
	if err := ctx.Err(); err != nil && !ok {
		return Moves{}, err
	}
	if !ok {
		return Moves{}, y.stuck()
	}
	out := y.named(best)
	out.Bound, out.Proved, out.Looked = bound, out.Lifts == bound, s.looked
	return out, nil
}

// stuck says that there is no way, and what is in it.
func (y *Yard) stuck() error {
	if len(y.Wet) > 0 || len(y.Top) > 0 {
		return figure.Refuse("spots", "There is no place to set down what stands on the bins that are wanted: a wet bin stands on the floor or on a wet one, and none stands higher than the truck's plate allows.", "Clear a place on the floor, or ask for fewer bins at once.")
	}
	return figure.Refuse("spots", "There is no room to set down what stands on the bins that are wanted.", "Clear a place on the floor, or let stacks be one bin higher if the house rule allows it.")
}

// sound refuses a yard that cannot stand, all of it at once.
func (y *Yard) sound() error {
	var bad figure.Problems
	at := map[string]int{}
	highest := 0
	for i, stack := range slices.Concat(y.Stacks, y.Floor) {
		highest = max(highest, len(stack))
		if len(stack) > MostHigh {
			bad.Add(fmt.Sprintf("stacks[%d]", i), fmt.Sprintf("%s is %d bins high. Stacks of more than %d are not planned.", y.called(i), len(stack), MostHigh), "Four is the house rule. Look whether it really is so high; if it is, take it down from the top first, by the truck's plate.")
		}
		for level, bin := range stack {
			switch was, twice := at[bin]; {
			case strings.TrimSpace(bin) == "":
				bad.Add(fmt.Sprintf("stacks[%d]", i), fmt.Sprintf("%s has a hole at level %d: nothing carries the bins above.", y.called(i), level+1), "Look where its bins really stand, and give them from the floor up without a gap.")
			case twice:
				bad.Add(fmt.Sprintf("stacks[%d]", i), fmt.Sprintf("%s stands in %s and in %s.", bin, small(y.called(was)), small(y.called(i))), "Look where it really stands.")
			default:
				at[bin] = i
			}
		}
	}
	if y.Most == 0 {
		y.Most = highest + 1
	}
	places := len(y.Stacks) + y.Spots
	if len(y.Floor) > y.Spots {
		bad.Add("spots", fmt.Sprintf("Bins stand on %d places on the floor, and there are %d.", len(y.Floor), y.Spots), "Count the places that are taken too.")
		return bad.Refuse()
	}
	if len(y.High) > 0 && len(y.High) != places {
		bad.Add("high", fmt.Sprintf("%d stacks and places on the floor have %d heights.", places, len(y.High)), "Give one for each, or none.")
		return bad.Refuse()
	}
	for i, high := range y.High {
		if n := len(y.startAt(i)); high < n || high > MostHigh {
			bad.Add(fmt.Sprintf("high[%d]", i), fmt.Sprintf("A stack is %d high already, and %d are allowed.", n, high), fmt.Sprintf("Take the top bins down first, or allow more, up to %d.", MostHigh))
		}
	}
	switch {
	case len(y.Stacks)+y.Spots > mostStacks || y.Spots < 0:
		bad.Add("stacks", fmt.Sprintf("%d stacks and %d spots cannot be planned in one go.", len(y.Stacks), y.Spots), fmt.Sprintf("Up to %d together; plan one barn at a time.", mostStacks))
	case highest > MostHigh: // said above
	case y.Most > MostHigh && y.Most == highest+1:
		y.Most = highest
	case y.Most > MostHigh || y.Most < 1:
		bad.Add("heights", fmt.Sprintf("Stacks of %d bins are not planned.", y.Most), fmt.Sprintf("1 to %d; four is the house rule for bins.", MostHigh))
	case highest > y.Most:
		bad.Add("heights", fmt.Sprintf("A stack is %d high already, and %d are allowed.", highest, y.Most), "Take the top bins down first, or allow the height that the house rule allows.")
	}
	if y.Same && y.Fixed {
		bad.Add("order", "Bins that are put back as they stood are reached stack by stack, and not in a fixed order.", "Leave the order open, or let bins stay where they are set down.")
	}
	if len(y.At) > 0 && len(y.At) != places {
		bad.Add("at", fmt.Sprintf("%d stacks and places on the floor have %d ways along the aisle.", places, len(y.At)), "Give one for each, or none.")
	}
	named := func(field string, list []string, want bool) {
		for i, bin := range list {
			if _, stands := at[bin]; !stands || want && !slices.Contains(y.Want, bin) {
				bad.Add(fmt.Sprintf("%s[%d]", field, i), fmt.Sprintf("%s is not among the bins.", bin), "Look at its name.")
			}
		}
	}
	named("out", y.Out, true)
	named("wet", y.Wet, false)
	for _, bin := range slices.Sorted(maps.Keys(y.Top)) {
		named("top", []string{bin}, false)
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
	if err := bad.Refuse(); err != nil {
		return err
	}
	return y.liftable()
}

// liftable refuses bins that are reached only by a lift that the truck's plate
// forbids.
func (y *Yard) liftable() error {
	var bad figure.Problems
	for i, bin := range y.Want {
		stack, level := y.find(bin)
		for l := len(stack) - 1; l >= level; l-- {
			on := stack[l]
			if l == level && y.Back && !slices.Contains(y.Out, bin) && level < y.Reach {
				break // worked on where it stands
			}
			switch top := y.topOf(on); {
			case top == 0 && on == bin:
				bad.Add(fmt.Sprintf("want[%d]", i), fmt.Sprintf("%s is heavier than the truck's plate allows.", bin), "Take out of it what can be taken, or use a truck with a greater plate.")
			case l+1 > top && on == bin:
				bad.Add(fmt.Sprintf("want[%d]", i), fmt.Sprintf("%s stands at level %d and is too heavy for the truck's plate at that height.", bin, l+1), "Take out of it what can be taken, or use a truck with a greater plate.")
			case l+1 > top:
				bad.Add(fmt.Sprintf("want[%d]", i), fmt.Sprintf("%s stands on %s at level %d and is too heavy for the truck's plate at that height.", on, bin, l+1), fmt.Sprintf("Leave %s for today, take out of %s what can be taken, or use a truck with a greater plate.", bin, on))
			}
		}
	}
	return bad.Refuse()
}

// startAt is what stands in a place now.
func (y *Yard) startAt(i int) []string {
	switch n := len(y.Stacks); {
	case i < n:
		return y.Stacks[i]
	case i < n+len(y.Floor):
		return y.Floor[i-n]
	}
	return nil
}

// most is how many bins a place takes.
func (y *Yard) most(i int) int {
	if len(y.High) > 0 {
		return y.High[i]
	}
	return y.Most
}

// called is what a place is called in a message.
func (y *Yard) called(i int) string {
	switch {
	case i >= len(y.Stacks):
		return fmt.Sprintf("Place %d on the floor", i-len(y.Stacks)+1)
	case i < len(y.Names):
		return "Stack " + y.Names[i]
	}
	return fmt.Sprintf("Stack %d", i+1)
}

func small(name string) string { return strings.ToLower(name[:1]) + name[1:] }

// find gives the stack that a bin stands in and its level from 0.
func (y *Yard) find(bin string) ([]string, int) {
	for _, stack := range slices.Concat(y.Stacks, y.Floor) {
		if l := slices.Index(stack, bin); l >= 0 {
			return stack, l
		}
	}
	return nil, -1
}

// topOf is the highest level for a bin.
func (y *Yard) topOf(bin string) int {
	if top, limited := y.Top[bin]; limited {
		return max(0, min(top, noTop))
	}
	return noTop
}

// MostHigh is the highest stack that is planned; four is the house rule.
const MostHigh = 8

const noTop = 15 // no limit

// usualEffort is a second or two of search, in states times stacks, since each
// stack is looked at in each state; a part of it is spent before the beam, as
// small yards need no more.
const (
	usualEffort = 1_500_000
	firstPart   = 20
)

const (
	mostStacks = 1000
	mostWanted = 250
)

const gone = -1 // the place "out", and "work"
