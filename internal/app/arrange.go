package app

import (
	"cmp"
	"fmt"
	"slices"
	"sync"
	"time"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/internal/source"
)

// Arrangement is where bins could stand instead: changes that are worth their lifts.
type Arrangement struct {
	Weeks   float64 // over which it is reckoned
	Changes []SlotChange
	Lifts   int     // to make them all
	Saves   float64 // lifts a week
}

// SlotChange is bins that change places.
type SlotChange struct {
	Bins   [2]string // that change places; of one stack the lowest that changes and what takes its place
	Slots  [2]barn.Slot
	One    []string   // of a stack ordered anew, as it would stand from the floor up
	Moves  []SlotMove // every bin that stands elsewhere then
	Lifts  int
	Saves  float64 // lifts a week
	Warmer []SlotWarmth
	gain   float64 // lifts over the weeks, with warmth, less those to make it
}

// SlotMove is a bin that stands elsewhere after a change.
type SlotMove struct {
	Bin      string
	From, To barn.Slot
}

// SlotWarmth is a bin that stands better by its warmth.
type SlotWarmth struct {
	Bin string
	K   float64 // warmer; below 0 cooler
}

var slotNumbers = sync.OnceValues(func() (*barn.Parameters, error) {
	var p barn.Parameters
	return &p, source.Load("barn", &p)
})

// Arrange suggests where bins could stand: those worked on soon and often on top,
// cold ones where it is warmer, wet ones low. It goes by how often each bin is fed
// and by its twin; looks gives nil where nobody knows.
func (t *TruckPlans) Arrange(state *farm.State, looks func(bin string) *Outlook, words []string, in TruckAsk, now time.Time) (*Arrangement, error) {
	par, err := slotNumbers()
	if err != nil {
		return nil, err
	}
	rounds, err := roundNumbers()
	if err != nil {
		return nil, err
	}
	numbers, err := numbersOfNature()
	if err != nil {
		return nil, err
	}
	out := &Arrangement{Weeks: par.SlotWeeks}
	for _, a := range aislesOf(state, words, in) {
		a.sound(state, nil)
		yard, _ := a.yard(state, looks, rounds, in, nil)
		y := barn.Standing{Stacks: yard.Stacks, Wet: yard.Wet, Top: yard.Top, Reach: yard.Reach, Stays: map[string]barn.Stay{}, WarmK: numbers.Bed.LevelK}
		for _, bin := range slices.Concat(y.Stacks...) {
			b, _ := state.Bin(bin)
			y.Stays[bin] = stayOf(state, b, looks(bin), par, now)
		}
		for _, c := range t.arrange(y) {
			x := a.change(&y, c, out.Weeks)
			out.Changes, out.Lifts, out.Saves = append(out.Changes, x), out.Lifts+x.Lifts, out.Saves+x.Saves
		}
	}
	bestFirst(out.Changes)
	return out, nil
}

// bestFirst puts the changes that bring most before the others, of all aisles.
func bestFirst(list []SlotChange) {
	slices.SortStableFunc(list, func(a, b SlotChange) int { return cmp.Compare(b.gain, a.gain) })
}

// mostKeptPlaces is how many aisles' changes are kept; then all are found anew.
const mostKeptPlaces = 64

// arrange gives the changes of an aisle, as they were found when nothing differs. The
// warmth up a stack is the same for all.
func (t *TruckPlans) arrange(y barn.Standing) []barn.Change {
	of := y
	of.WarmK = nil
	key := fmt.Sprint(of)
	t.mu.Lock()
	out, ok := t.places[key]
	t.mu.Unlock()
	if ok {
		return out
	}
	out = barn.Arrange(y)
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.places == nil || len(t.places) >= mostKeptPlaces {
		t.places = map[string][]barn.Change{}
	}
	t.places[key] = out
	return out
}

// stayOf is what a bin asks of its place: a visit for each feeding that is to come by
// its habit, and warmth by its twin.
func stayOf(state *farm.State, b *farm.Bin, o *Outlook, par *barn.Parameters, now time.Time) (s barn.Stay) {
	if b.Bed == nil {
		return s
	}
	days := par.SlotWeeks * 7
	if every := state.Habit(b.Name).EveryDays; every >= 1 && b.Bed.Rest == nil {
		next := 0.0
		if f := b.Bed.LastFeed; f != nil {
			next = max(0, every-now.Sub(f.At).Hours()/24)
		}
		if next < days {
			s.Visits = 1 + float64(int((days-next)/every))
		}
	}
	if o != nil && len(o.Ahead) > 0 {
		sum, n := 0.0, 0
		for _, d := range o.Ahead[:min(7, len(o.Ahead))] {
			if d.Mean.High > d.Mean.Low {
				sum, n = sum+d.Mean.Mid, n+1
			}
		}
		if n > 0 {
			s.Warm = par.Warm(sum / float64(n))
		}
	}
	return s
}

// change puts a change into places.
func (x *farmAisle) change(y *barn.Standing, c barn.Change, weeks float64) SlotChange {
	out := SlotChange{Bins: c.Swap, Lifts: c.Lifts, Saves: c.Saves / weeks, gain: c.Gain()}
	at := func(stacks [][]string, bin string) (barn.Slot, int, int) {
		for i, s := range stacks {
			if l := slices.Index(s, bin); l >= 0 {
				slot := x.stacks[c.Stacks[i]]
				slot.Level = l + 1
				return slot, l + 1, len(s)
			}
		}
		return barn.Slot{}, 0, 0
	}
	var was [][]string
	for _, i := range c.Stacks {
		was = append(was, y.Stacks[i])
	}
	if len(c.Stacks) == 1 {
		out.One = c.After[0]
	}
	for i, bin := range c.Swap {
		out.Slots[i], _, _ = at(was, bin)
	}
	for _, bin := range slices.Concat(was...) {
		from, l, levels := at(was, bin)
		to, m, then := at(c.After, bin)
		if from == to {
			continue
		}
		out.Moves = append(out.Moves, SlotMove{bin, from, to})
		if k := y.WarmK(m, then) - y.WarmK(l, levels); k*y.Stays[bin].Warm > 0 {
			out.Warmer = append(out.Warmer, SlotWarmth{bin, k})
		}
	}
	return out
}
