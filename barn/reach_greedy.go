package barn

import (
	"context"
	"slices"
)

// beamWide is how many yards are kept at each depth of the beam; few on large
// yards, where one step looks at every stack.
func (s *reaching) beamWide() int { return max(4, 4000/(len(s.stacks)+1)) }

// plain is the rule of a driver who plans: the stack with the fewest bins in the
// way of the next one wanted, and what is in the way goes to where it will be in
// nobody's way. model.md (F4).
func (s *reaching) plain() ([]lift, bool) {
	type done struct {
		step
		label
	}
	var all []done
	defer func() {
		for _, d := range slices.Backward(all) {
			s.undo(d.step, d.label)
		}
	}()
	do := func(c step) { all = append(all, done{c, s.do(c)}) }
	for s.left > 0 {
		next := s.next()
		if c, ok := s.forced(next); ok {
			do(c)
			continue
		}
		at, least := -1, 0
		for i := range s.stacks {
			x := s.stacks[i].bins
			n := 0 // bins above the highest of them
			for n < len(x) && x[len(x)-1-n] != next {
				n++
			}
			if n < len(x) && (at < 0 || n < least) {
				at, least = i, n
			}
		}
		top := s.stacks[at].top()
		c := step{from: at, to: -1, cost: 1, work: top == next}
		if c.work { // put back, as out is forced
			c.cost = 2
			c.to = s.goodFor(at, never, true)
			if c.to >= 0 && c.to != at && len(s.stacks[c.to].bins) < s.yard.Reach {
				c.cost = 1
			}
		} else {
			c.to = s.goodFor(at, top, false)
		}
		if c.to < 0 || len(s.list) > 64*(len(s.yard.Want)+1) {
			return nil, false
		}
		do(c)
	}
	return slices.Clone(s.list), true
}

// goodFor is the stack where a bin from that stack is best set down, -1 for
// none: in nobody's way, as snugly as can be, else in the way of what comes last.
func (s *reaching) goodFor(from int, l label, own bool) int {
	best, worth := -1, 0
	for j := range s.stacks {
		high := len(s.stacks[j].bins)
		room := high < s.yard.Most
		if j == from {
			high--
			room = own
		}
		if !room {
			continue
		}
		w := fits(s.stacks[j].below(high), l)
		if high > 0 {
			w++ // a free spot is kept for later
		}
		if best < 0 || w > worth {
			best, worth = j, w
		}
	}
	return best
}

// beam keeps the yards of each number of lifts that promise most and goes on
// from them, until one has reached all.
func (s *reaching) beam(ctx context.Context) ([]lift, bool) {
	type yard struct {
		stacks [][]label
		list   []lift
		left   int
		last   step
	}
	type child struct {
		of, bound int
		step      step
	}
	take := func(y yard) {
		for i := range s.stacks {
			for len(s.stacks[i].bins) > 0 {
				s.pop(i)
			}
			for _, l := range y.stacks[i] {
				s.push(i, l)
			}
		}
		s.left = y.left
		s.list = append(s.list[:0], y.list...)
	}
	keep := func(last step) yard {
		y := yard{stacks: make([][]label, len(s.stacks)), list: slices.Clone(s.list), left: s.left, last: last}
		for i := range s.stacks {
			y.stacks[i] = slices.Clone(s.stacks[i].bins)
		}
		return y
	}
	begin := keep(step{})
	defer func() { take(begin) }()
	wide := s.beamWide()
	now := []yard{begin}
	for depth := 0; len(now) > 0 && depth < 64*(len(s.yard.Want)+1); depth++ {
		var then []child
		seen := map[uint64]bool{}
		for of, y := range now {
			if ctx.Err() != nil {
				return nil, false
			}
			take(y)
			var choices []step
			next := s.next()
			if c, ok := s.forced(next); ok {
				choices = []step{c}
			} else {
				choices = s.steps(next, y.last)
				choices = choices[:min(len(choices), 8)]
			}
			for _, c := range choices {
				l := s.do(c)
				if h := s.state(); !seen[h] {
					seen[h] = true
					then = append(then, child{of, len(s.list) + s.bound(), c})
				}
				s.undo(c, l)
			}
		}
		slices.SortStableFunc(then, func(a, b child) int { return a.bound - b.bound })
		var kept []yard
		for _, c := range then[:min(len(then), wide)] {
			take(now[c.of])
			s.do(c.step)
			if s.left == 0 { // the bound of a yard in which all are reached is its lifts
				return slices.Clone(s.list), true
			}
			kept = append(kept, keep(c.step))
		}
		now = kept
	}
	return nil, false
}
