package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"wormyard/barn"
	"wormyard/farm"
	"wormyard/figure"
	"wormyard/internal/source"
	"wormyard/qty"
	"wormyard/round"
)

// TruckAsk is what the truck is asked for on a day.
type TruckAsk struct {
	Want   []TruckWant
	Same   bool // everything back where it stood; else where it is set down
	Trucks int
	Spots  int // places on the floor of each aisle
	Reach  int // highest level at which a bin on top is worked on where it stands; 0 for any
}

// TruckWant is a bin that is wanted.
type TruckWant struct {
	Bin     string
	Out     bool    // taken out, as for harvest
	Minutes float64 // of the work on it
}

// TruckDay is the lifts of a day, aisle by aisle.
type TruckDay struct {
	Aisles  []TruckAisle
	Trucks  int
	Lifts   int
	Bound   int
	Proved  bool
	Other   int // lifts the other way: as it stood, or left where it is set down; 0 where that cannot be
	Metres  float64
	Saved   float64 // metres, against the list found first
	Least   float64 // no order of them has a shorter way [m]
	Minutes float64 // of the longest truck with its crew
	Loose   []string
	Blocked []Problem // what is in the way, in words
}

// TruckAisle is the lifts of one aisle.
type TruckAisle struct {
	Barn    string
	Rows    []string
	Truck   int // from 0
	Steps   []TruckStep
	Lifts   int
	Bound   int
	Proved  bool
	Other   int
	Metres  float64
	Saved   float64
	Least   float64
	Minutes float64
}

// TruckStep is a lift, or a bin that is worked on with the forks down.
type TruckStep struct {
	Bin      string
	Work     bool
	From, To barn.Slot // of a lift; To is zero for a bin taken out
	Out      bool
	On       string    // the bin that it is set down on, empty for the floor
	At       barn.Slot // of work
}

// FloorName is what a place on the floor of an aisle is called in the journal.
func FloorName(word, barnName, row string, n int) string {
	name := word + " " + barnName + "-" + row
	if n > 0 {
		name += "-" + strconv.Itoa(n+1)
	}
	return name
}

// TruckMoves plans the lifts that reach what is wanted today. looks gives what is
// likely in a bin, nil where nobody knows. words are what a place on the floor is
// called, the reader's language first. The error is a *figure.Refusal for bins that
// are not there or asked for twice, or that of the context; what blocks an aisle is
// told in the day.
func (t *TruckPlans) TruckMoves(ctx context.Context, state *farm.State, looks func(bin string) *Outlook, words []string, in TruckAsk) (*TruckDay, error) {
	par, err := roundNumbers()
	if err != nil {
		return nil, err
	}
	if err := soundWants(state, in.Want); err != nil {
		return nil, err
	}
	out := &TruckDay{Trucks: max(1, in.Trucks), Proved: true}
	want := map[string]TruckWant{}
	for _, w := range in.Want {
		want[w.Bin] = w
	}
	for _, a := range aislesOf(state, words, in) {
		out.Blocked = append(out.Blocked, a.sound(state, want)...)
		y, has := a.yard(state, looks, par, in, want)
		if !has {
			continue
		}
		x, other, err := t.plan(ctx, y)
		var no *figure.Refusal
		for errors.As(err, &no) { // what the plate forbids is left out, and told
			rest, told := without(y, no)
			out.Blocked = append(out.Blocked, told...)
			if len(rest.Want) == len(y.Want) || len(rest.Want) == 0 {
				break
			}
			y = rest
			x, other, err = t.plan(ctx, y)
		}
		if errors.As(err, &no) {
			continue
		}
		if err != nil {
			return nil, err
		}
		day := a.told(y, x, par, want)
		day.Other = other
		out.Aisles = append(out.Aisles, day)
	}
	var minutes []float64
	for _, a := range out.Aisles {
		minutes = append(minutes, a.Minutes)
		out.Lifts, out.Bound, out.Metres, out.Other = out.Lifts+a.Lifts, out.Bound+a.Bound, out.Metres+a.Metres, out.Other+a.Other
		out.Saved, out.Least = out.Saved+a.Saved, out.Least+a.Least
		out.Proved = out.Proved && a.Proved
	}
	var of []int
	of, out.Minutes = barn.Trucks(minutes, out.Trucks)
	for i := range out.Aisles {
		out.Aisles[i].Truck = of[i]
	}
	if out.Trucks > 1 {
		slices.SortStableFunc(out.Aisles, func(a, b TruckAisle) int { return a.Truck - b.Truck })
	}
	for _, w := range in.Want {
		if b, ok := state.Bin(w.Bin); ok && !b.Slot.InRow() && !slices.ContainsFunc(out.Aisles, func(a TruckAisle) bool {
			return slices.ContainsFunc(a.Steps, func(s TruckStep) bool { return s.Bin == w.Bin })
		}) {
			out.Loose = append(out.Loose, w.Bin)
		}
	}
	return out, nil
}

// soundWants refuses bins that are not there and those that are asked for twice.
func soundWants(state *farm.State, list []TruckWant) error {
	var bad figure.Problems
	seen := map[string]bool{}
	for _, w := range list {
		b, ok := state.Bin(w.Bin)
		switch {
		case !ok || b.State == farm.Retired:
			bad.Add("more", fmt.Sprintf("No bin is called %s.", w.Bin), "Type the bin's name as it is painted.")
		case seen[w.Bin]:
			bad.Add("more", fmt.Sprintf("%s is asked for twice.", w.Bin), "Ask for each bin once.")
		}
		seen[w.Bin] = true
	}
	return bad.Refuse()
}

// without leaves out of a yard the bins wanted that a refusal names, and tells what
// it says.
func without(y barn.Yard, no *figure.Refusal) (barn.Yard, []Problem) {
	var told []Problem
	gone := map[string]bool{}
	for _, p := range no.Problems {
		told = append(told, Problem{Say: p.Say, Try: p.Try})
		if at, ok := strings.CutPrefix(p.Field, "want["); ok {
			if i, err := strconv.Atoi(strings.TrimSuffix(at, "]")); err == nil && i < len(y.Want) {
				gone[y.Want[i]] = true
			}
		}
	}
	left := func(list []string) []string {
		return slices.DeleteFunc(slices.Clone(list), func(b string) bool { return gone[b] })
	}
	y.Want, y.Out = left(y.Want), left(y.Out)
	return y, told
}

// farmAisle is the stacks along one aisle.
type farmAisle struct {
	barn   string
	rows   []string
	stacks []barn.Slot // level 0
	high   []int
	spots  []barn.Slot
	at     []float64
}

// stackApart is what a stack takes along its row beside the box inside [m]: walls
// and a hand between. Common practice, no source.
const stackApart = 0.2

// aislesOf gives the aisles of every barn as its rows are laid out and as bins
// stand.
func aislesOf(state *farm.State, words []string, in TruckAsk) (out []farmAisle) {
	wide := 0.0
	names := map[string]bool{}
	stands := map[barn.Slot]int{}
	type rowKey struct{ barn, row string }
	longest := map[rowKey]int{}
	for _, b := range state.Bins() {
		if b.State == farm.Retired || !b.Slot.InRow() {
			continue
		}
		wide = max(wide, float64(b.Box.Width))
		names[b.Slot.Barn] = true
		stands[b.Slot.StackKey()] = max(stands[b.Slot.StackKey()], b.Slot.Level)
		k := rowKey{b.Slot.Barn, b.Slot.Row}
		longest[k] = max(longest[k], b.Slot.Stack)
	}
	var barns []string
	for n := range names {
		barns = append(barns, n)
	}
	slices.SortFunc(barns, barn.Natural)
	for _, name := range barns {
		var rows []farm.BarnRow
		if b, ok := state.Barn(name); ok {
			rows = slices.Clone(b.Setup.Rows)
		}
		var more []string
		for k := range longest {
			if k.barn == name && !slices.ContainsFunc(rows, func(r farm.BarnRow) bool { return r.Name == k.row }) {
				more = append(more, k.row)
			}
		}
		slices.SortFunc(more, barn.Natural)
		for _, r := range more {
			rows = append(rows, farm.BarnRow{Name: r})
		}
		var against []bool
		for _, r := range rows {
			against = append(against, r.Against)
		}
		for _, a := range barn.Aisles(against) {
			x := farmAisle{barn: name}
			highest := 0
			for _, i := range a.Rows {
				r := rows[i]
				x.rows = append(x.rows, r.Name)
				tall := r.High
				for n := 1; n <= longest[rowKey{name, r.Name}]; n++ {
					tall = max(tall, stands[barn.Slot{Barn: name, Row: r.Name, Stack: n}])
				}
				for n := 1; n <= max(r.Stacks, longest[rowKey{name, r.Name}]); n++ {
					s := barn.Slot{Barn: name, Row: r.Name, Stack: n}
					x.stacks, x.high, x.at = append(x.stacks, s), append(x.high, tall), append(x.at, float64(n-1)*(wide+stackApart))
				}
				highest = max(highest, tall)
			}
			x.floor(state, words, in.Spots, highest)
			out = append(out, x)
		}
	}
	return out
}

// floor adds the places on the floor of the aisle, those first on which something
// stands.
func (x *farmAisle) floor(state *farm.State, words []string, spots, high int) {
	taken := func(s barn.Slot) bool {
		return slices.ContainsFunc(state.Bins(), func(b *farm.Bin) bool { return b.State != farm.Retired && floorOf(b.Slot.Spot) == s.Spot })
	}
	for n := range 9 {
		for _, word := range words {
			if s := (barn.Slot{Spot: FloorName(word, x.barn, x.rows[0], n)}); taken(s) {
				x.spots = append(x.spots, s)
			}
		}
	}
	for n := 0; len(x.spots) < max(1, spots); n++ {
		if s := (barn.Slot{Spot: FloorName(words[0], x.barn, x.rows[0], n)}); !slices.Contains(x.spots, s) {
			x.spots = append(x.spots, s)
		}
	}
	for range x.spots {
		x.high, x.at = append(x.high, high), append(x.at, 0)
	}
}

// A bin on the floor of an aisle that stands on another has its level behind the
// name of the place: "aisle 1-3 #2".
const floorLevel = " #"

func floorOf(spot string) string { name, _, _ := strings.Cut(spot, floorLevel); return name }

func floorAt(spot string, level int) barn.Slot {
	if level > 1 {
		spot += floorLevel + strconv.Itoa(level)
	}
	return barn.Slot{Spot: spot}
}

// sound takes stacks out of the plan that cannot be as the journal has them: with a
// hole, with two bins in one place, higher than is planned. It tells of those that
// hold bins wanted.
func (x *farmAisle) sound(state *farm.State, want map[string]TruckWant) (out []Problem) {
	crowded := state.Places().Crowded()
	var good farmAisle
	for i, s := range x.stacks {
		say, try := "", "Look where they really stand, and write down the move that is missing."
		bins := standing(state, s)
		for l, bin := range bins {
			at := s
			at.Level = l + 1
			if both := crowded[at]; bin == "" {
				say = fmt.Sprintf("Stack %s has a hole at level %d: nothing carries the bins above.", s.Called(1), l+1)
			} else if len(both) > 0 {
				say = fmt.Sprintf("%s stand in one place by the journal: stack %s, level %d.", strings.Join(both, " and "), s.Called(1), l+1)
			}
		}
		if n := len(bins); n > barn.MostHigh {
			say, try = fmt.Sprintf("Stack %s is %d bins high. Stacks of more than %d are not planned.", s.Called(1), n, barn.MostHigh), "Four is the house rule. Look whether it really is so high; if it is, take it down from the top first, by the truck's plate."
		}
		if say == "" {
			good.stacks, good.high, good.at = append(good.stacks, s), append(good.high, x.high[i]), append(good.at, x.at[i])
		} else if slices.ContainsFunc(bins, func(b string) bool { _, wanted := want[b]; return wanted }) {
			out = append(out, Problem{Say: say, Try: try})
		}
	}
	for i := range x.spots {
		n := len(x.stacks) + i
		good.high, good.at = append(good.high, x.high[n]), append(good.at, x.at[n])
	}
	x.stacks, x.high, x.at = good.stacks, good.high, good.at
	for i := range x.high {
		x.high[i] = min(x.high[i], barn.MostHigh)
	}
	return out
}

// standing gives the bins of a place from the floor up.
func standing(state *farm.State, s barn.Slot) (out []string) {
	if s.InRow() {
		top := 0
		for _, bin := range state.Places().Stack(s) {
			at, _ := state.Places().Slot(bin)
			top = max(top, at.Level)
		}
		for s.Level = 1; s.Level <= top; s.Level++ {
			out = append(out, state.Places().At(s))
		}
		return out
	}
	for _, b := range state.Bins() {
		if b.State != farm.Retired && floorOf(b.Slot.Spot) == s.Spot {
			out = append(out, b.Name)
		}
	}
	slices.SortStableFunc(out, func(a, b string) int {
		x, _ := state.Bin(a)
		y, _ := state.Bin(b)
		return cmp.Or(cmp.Compare(len(x.Slot.Spot), len(y.Slot.Spot)), cmp.Compare(x.Slot.Spot, y.Slot.Spot))
	})
	return out
}

// yard is the aisle as it is planned; false where nothing in it is wanted.
func (x *farmAisle) yard(state *farm.State, looks func(string) *Outlook, par *round.Parameters, in TruckAsk, want map[string]TruckWant) (barn.Yard, bool) {
	set := state.Settings.Truck
	y := barn.Yard{Back: true, Clear: true, Same: in.Same, Spots: len(x.spots), High: x.high, At: x.at, Reach: in.Reach, Effort: truckEffort}
	if y.Reach == 0 {
		y.Reach = slices.Max(x.high)
	}
	plate := barn.Plate{Centre: set.CentreM}
	for _, l := range set.Plate {
		plate.Lines = append(plate.Lines, barn.PlateLine{Height: l.HeightM, Load: l.LoadKg})
	}
	any := false
	add := func(place barn.Slot) []string {
		bins := standing(state, place)
		for _, bin := range bins {
			if w, wanted := want[bin]; wanted {
				y.Want = append(y.Want, bin)
				any = true
				if w.Out {
					y.Out = append(y.Out, bin)
				}
			}
			b, _ := state.Bin(bin)
			if wetBin(b, looks(bin), par) {
				y.Wet = append(y.Wet, bin)
			}
			if mass := massOf(b, set); len(plate.Lines) > 0 && mass > 0 && set.EachM > 0 {
				if y.Top == nil {
					y.Top = map[string]int{}
				}
				y.Top[bin] = plate.Top(mass, set.EachM, b.Box.Width/2)
			}
		}
		return bins
	}
	for _, s := range x.stacks {
		y.Stacks, y.Names = append(y.Stacks, add(s)), append(y.Names, s.Called(1))
	}
	for _, s := range x.spots {
		y.Floor = append(y.Floor, add(s))
	}
	if !in.Same && slices.ContainsFunc(y.Floor, func(s []string) bool { return len(s) > 0 }) {
		any = true // the floor is to be freed
	}
	return y, any
}

// truckEffort is how many states are looked at for an aisle while somebody waits.
const truckEffort = 20_000

// wetBin says that a bin is to stand low: by its twin as wet as it gets no more
// water, or by the last squeeze of a hand.
func wetBin(b *farm.Bin, o *Outlook, par *round.Parameters) bool {
	if b.Bed == nil {
		return false
	}
	if n := len(b.Bed.Looks); n > 0 && b.Bed.Looks[n-1].Squeeze == "runs" {
		return true
	}
	return o != nil && o.Water.Mid >= par.WetBed
}

// massOf is what a bin weighs: as it was last weighed, else as the owner says a full
// one does; 0 where nobody knows.
func massOf(b *farm.Bin, set farm.TruckSetup) qty.WetKg {
	if b.Bed == nil {
		return 0
	}
	mass := set.FullKg
	if n := len(b.Bed.Weighs); n > 0 {
		mass = b.Bed.Weighs[n-1].Mass
	}
	return mass
}

// slot is a place with its level.
func (x *farmAisle) slot(place string, level int) barn.Slot {
	if n, err := strconv.Atoi(place); err == nil {
		s := x.stacks[n-1]
		s.Level = level
		return s
	}
	if n, err := strconv.Atoi(strings.TrimPrefix(place, "spot ")); err == nil {
		return floorAt(x.spots[n-1].Spot, level)
	}
	return barn.Slot{}
}

// told puts a plan into places.
func (x *farmAisle) told(y barn.Yard, m barn.Moves, par *round.Parameters, want map[string]TruckWant) TruckAisle {
	out := TruckAisle{Barn: x.barn, Rows: x.rows, Lifts: m.Lifts, Bound: m.Bound, Proved: m.Proved, Metres: m.Metres, Saved: m.MetresFound - m.Metres, Least: m.MetresBound, Minutes: float64(m.Lifts) * par.LiftMinutes / 2}
	stands := map[string][]string{}
	for i, s := range y.Stacks {
		stands[strconv.Itoa(i+1)] = slices.Clone(s)
	}
	for i, s := range y.Floor {
		stands["spot "+strconv.Itoa(i+1)] = slices.Clone(s)
	}
	works := m.Works
	work := func(lifts int) {
		for len(works) > 0 && works[0].After <= lifts {
			w := works[0]
			works = works[1:]
			out.Minutes += want[w.Bin].Minutes
			if w.At == barn.Out { // worked on where it is taken to
				continue
			}
			out.Steps = append(out.Steps, TruckStep{Bin: w.Bin, Work: true, At: x.slot(w.At, len(stands[w.At]))})
		}
	}
	work(0)
	for i, l := range m.Moves {
		step := TruckStep{Bin: l.Bin, From: x.slot(l.From, len(stands[l.From])), Out: l.To == barn.Out}
		if s := stands[l.From]; len(s) > 0 {
			stands[l.From] = s[:len(s)-1]
		}
		if s := stands[l.To]; len(s) > 0 {
			step.On = s[len(s)-1]
		}
		if l.To != barn.Out {
			stands[l.To] = append(stands[l.To], l.Bin)
			step.To = x.slot(l.To, len(stands[l.To]))
		}
		out.Steps = append(out.Steps, step)
		work(i + 1)
	}
	return out
}

var roundNumbers = sync.OnceValues(func() (*round.Parameters, error) {
	var p round.Parameters
	return &p, source.Load("round", &p)
})

// TruckPlans plans lifts and places and keeps the newest answers, so that a page that
// is opened again or a phone that fetches it does not search anew. The zero value is
// ready.
type TruckPlans struct {
	mu     sync.Mutex
	kept   map[string]keptMoves
	turn   int
	places map[string][]barn.Change // by all that they were found from
}

type keptMoves struct {
	moves, other barn.Moves
	err          error
	turn         int
}

const mostKeptMoves = 64

// plan gives the lifts of a yard, and how many it takes the other way.
func (t *TruckPlans) plan(ctx context.Context, y barn.Yard) (barn.Moves, int, error) {
	key := fmt.Sprint(y)
	t.mu.Lock()
	k, ok := t.kept[key]
	t.mu.Unlock()
	if !ok {
		k.moves, k.err = barn.PlanLifts(ctx, y)
		if ctx.Err() != nil {
			return barn.Moves{}, 0, ctx.Err()
		}
		if k.err == nil {
			y.Same = !y.Same
			if m, err := barn.PlanLifts(ctx, y); err == nil {
				k.other = m
			}
			if ctx.Err() != nil {
				return barn.Moves{}, 0, ctx.Err()
			}
		}
		t.mu.Lock()
		if t.kept == nil {
			t.kept = map[string]keptMoves{}
		}
		t.turn++
		k.turn = t.turn
		t.kept[key] = k
		for x, v := range t.kept {
			if v.turn <= t.turn-mostKeptMoves {
				delete(t.kept, x)
			}
		}
		t.mu.Unlock()
	}
	return k.moves, k.other.Lifts, k.err
}

// truckProblems tells what is wrong with what an owner says of the truck, each with
// what to do.
func truckProblems(v farm.TruckSetup) (out [][2]string) {
	wrong := func(say, try string) { out = append(out, [2]string{say, try}) }
	for _, l := range v.Plate {
		if !(l.HeightM >= 0 && l.HeightM <= 15) || !(l.LoadKg > 0 && l.LoadKg <= 20000) {
			wrong("A line of the plate is not one that a fork truck has.", "Give each load with its height, as the plate on the truck has them.")
		}
	}
	if v.CentreM != 0 && !(v.CentreM >= 0.2 && v.CentreM <= 1.5) {
		wrong("The load centre of the plate is out of range.", "It is 24 in (60 cm) on most plates.")
	}
	if v.EachM != 0 && !(v.EachM >= 0.2 && v.EachM <= 2) {
		wrong("A bin adds a height to its stack that no bin has.", "Measure from the floor to the underside of the second bin.")
	}
	if v.FullKg != 0 && !(v.FullKg >= 20 && v.FullKg <= 5000) {
		wrong("A full bin has a weight that no bin has.", "Weigh a wet one, or take it from the page Workshop.")
	}
	if v.ReachUp < 0 || v.ReachUp > 8 || v.Spots < 0 || v.Spots > 4 || v.Trucks < 0 || v.Trucks > 4 {
		wrong("Levels, places on the floor or trucks are out of range.", "Up to 8 levels, 4 places and 4 trucks.")
	}
	return out
}
