package barn

import (
	"cmp"
	"math/bits"
	"slices"
)

// A Stay is what a bin asks of the place where it stands over the coming weeks.
type Stay struct {
	Visits float64 // times that it will be worked on
	Warm   float64 // lifts that a kelvin more is worth; below 0 for a bin that is to stand cooler
}

// A Standing is an aisle's stacks and what their bins ask for.
type Standing struct {
	Stacks [][]string // bottom to top
	Stays  map[string]Stay
	Wet    []string                        // set down on the floor or on another wet bin only
	Top    map[string]int                  // highest level by the truck's plate
	Reach  int                             // highest level at which a bin on top is worked on where it stands
	WarmK  func(level, levels int) float64 // how much warmer the air is at a level than in the middle of its stack
}

// A Change is bins that change places: the stacks concerned as they would stand.
type Change struct {
	Stacks []int      // one or two, from 0
	After  [][]string // those
	Swap   [2]string  // the bins that change places; of one stack the lowest and the one that takes its place
	Lifts  int        // to make it
	Saves  float64    // lifts over the coming weeks
	Warmth float64    // in lifts
}

// Gain is what a change brings beyond what it costs [lifts].
func (c Change) Gain() float64 { return c.Saves + c.Warmth - float64(c.Lifts) }

// Arrange finds changes that are worth making, no stack in two of them, so that
// what they bring together is most. A change orders one stack anew or lets two bins
// of two stacks change places. Each is worth more than the lifts that it takes now;
// so a yard as it should be has none. Exact for up to mostArranged stacks that could
// be better, else the best first. model.md (F10).
func Arrange(y Standing) []Change {
	var all []Change
	for a := range y.Stacks {
		if c, ok := y.best(y.anew(a)); ok {
			all = append(all, c)
		}
		for b := a + 1; b < len(y.Stacks); b++ {
			if c, ok := y.best(y.across(a, b)); ok {
				all = append(all, c)
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Change) int { return cmp.Compare(b.Gain(), a.Gain()) })
	return together(all)
}

const (
	mostArranged = 16
	worthwhile   = 0.5 // a gain below half a lift is none
)

// cost is what a stack costs over the coming weeks as it stands: lifts of bins above
// those worked on, down and back, and warmth in lifts.
func (y *Standing) cost(stack []string) (lifts, warmth float64) {
	for l, bin := range stack {
		s := y.Stays[bin]
		n := 2 * (len(stack) - 1 - l)
		if l >= y.Reach {
			n += 2
		}
		lifts += s.Visits * float64(n)
		if y.WarmK != nil {
			warmth += s.Warm * y.WarmK(l+1, len(stack))
		}
	}
	return lifts, warmth
}

// stands says whether a stack may be built so, where it differs from what it was.
func (y *Standing) stands(stack, was []string) bool {
	for l, bin := range stack {
		if l < len(was) && was[l] == bin && (l == 0 || was[l-1] == stack[l-1]) {
			continue
		}
		if top, limited := y.Top[bin]; limited && l >= top {
			return false
		}
		if l > 0 && slices.Contains(y.Wet, bin) && !slices.Contains(y.Wet, stack[l-1]) {
			return false
		}
	}
	return true
}

// movable says whether the truck may take down a stack to a level.
func (y *Standing) movable(stack []string, level int) bool {
	for l := level; l < len(stack); l++ {
		if top, limited := y.Top[stack[l]]; limited && l >= top {
			return false
		}
	}
	return true
}

// best is the change that brings most, if one is worth making.
func (y *Standing) best(list []Change) (Change, bool) {
	var out Change
	found := false
	for _, c := range list {
		for i, at := range c.Stacks {
			was, wasWarm := y.cost(y.Stacks[at])
			now, warm := y.cost(c.After[i])
			c.Saves += was - now
			c.Warmth += warm - wasWarm
		}
		if c.Gain() >= worthwhile && (!found || c.Gain() > out.Gain()) {
			out, found = c, true
		}
	}
	return out, found
}

// anew are the ways to order one stack anew: what stands from the lowest bin that
// changes up is taken down and put back.
func (y *Standing) anew(a int) (out []Change) {
	was := y.Stacks[a]
	if len(was) > 6 {
		return nil // no stack of the house rule is
	}
	orders(slices.Clone(was), 0, func(now []string) {
		low := 0
		for low < len(was) && was[low] == now[low] {
			low++
		}
		if low == len(was) || !y.movable(was, low) || !y.stands(now, was) {
			return
		}
		out = append(out, Change{Stacks: []int{a}, After: [][]string{slices.Clone(now)}, Swap: [2]string{was[low], now[low]}, Lifts: 2 * (len(was) - low)})
	})
	return out
}

// orders calls with every order of a list from a place on.
func orders(list []string, from int, call func([]string)) {
	if from >= len(list)-1 {
		call(list)
		return
	}
	for i := from; i < len(list); i++ {
		list[from], list[i] = list[i], list[from]
		orders(list, from+1, call)
		list[from], list[i] = list[i], list[from]
	}
}

// across are the ways to let two bins of two stacks change places: what stands on
// each is taken down and put back, one waits on the floor.
func (y *Standing) across(a, b int) (out []Change) {
	x, z := y.Stacks[a], y.Stacks[b]
	for i := range x {
		for j := range z {
			if !y.movable(x, i) || !y.movable(z, j) {
				continue
			}
			nx, nz := slices.Clone(x), slices.Clone(z)
			nx[i], nz[j] = z[j], x[i]
			if !y.stands(nx, x) || !y.stands(nz, z) {
				continue
			}
			out = append(out, Change{Stacks: []int{a, b}, After: [][]string{nx, nz}, Swap: [2]string{x[i], z[j]}, Lifts: 2*(len(x)-1-i) + 2*(len(z)-1-j) + 3})
		}
	}
	return out
}

// together takes changes so that no stack is in two and they bring most.
func together(all []Change) []Change {
	at := map[int]int{}
	for _, c := range all {
		for _, s := range c.Stacks {
			if _, ok := at[s]; !ok {
				at[s] = len(at)
			}
		}
	}
	var out []Change
	if len(at) > mostArranged {
		used := map[int]bool{}
		for _, c := range all {
			if !slices.ContainsFunc(c.Stacks, func(s int) bool { return used[s] }) {
				out = append(out, c)
				for _, s := range c.Stacks {
					used[s] = true
				}
			}
		}
		return out
	}
	// best[m] is the most that the stacks of m can bring, by whether the first of them
	// changes and with which
	n := len(at)
	best, by := make([]float64, 1<<n), make([]int, 1<<n)
	of := make([][]int, n) // changes by the first of their stacks
	mask := make([]int, len(all))
	for k, c := range all {
		for _, s := range c.Stacks {
			mask[k] |= 1 << at[s]
		}
		of[bits.TrailingZeros(uint(mask[k]))] = append(of[bits.TrailingZeros(uint(mask[k]))], k)
	}
	for m := 1; m < 1<<n; m++ {
		first := bits.TrailingZeros(uint(m))
		best[m], by[m] = best[m&^(1<<first)], -1
		for _, k := range of[first] {
			if mask[k]&m == mask[k] {
				if g := all[k].Gain() + best[m&^mask[k]]; g > best[m] {
					best[m], by[m] = g, k
				}
			}
		}
	}
	for m := 1<<n - 1; m > 0; {
		if k := by[m]; k >= 0 {
			out = append(out, all[k])
			m &^= mask[k]
		} else {
			m &= m - 1
		}
	}
	slices.SortStableFunc(out, func(a, b Change) int { return cmp.Compare(b.Gain(), a.Gain()) })
	return out
}
