package barn

import (
	"context"
	"slices"
)

// beamWide is how many yards are kept at each depth of the beam; few on large
// yards, where one step looks at every stack.
func (s *reaching) beamWide() int { return max(4, 4000/(len(s.stacks)+1)) }

// greedy is the best of the plain rule and of a beam over it. It gives false
// where it runs into a yard without room.
func (s *reaching) greedy(ctx context.Context) ([]lift, bool) {
	plain, ok := s.plain()
	if ok && len(plain) <= s.bound() {
		return plain, true
	}
	beam, found := s.beam(ctx)
	if found && (!ok || len(beam) < len(plain)) {
		return beam, true
	}
	return plain, ok
}

// plain is the rule of a driver who plans: the stack with the fewest bins in the
// way of the next one wanted, and what is in the way goes to where it will be in
// nobody's way. model.md (F4).
func (s *reaching) plain() ([]lift, bool) {
	var undone []func()
	defer func() {
		for _, u := range slices.Backward(undone) {
			u()
		}
	}()
	do := func(c step) { undone = append(undone, s.do(c)) }
	for s.left > 0 {
		next := s.next()
		if c, ok := s.forced(next); ok {
			do(c)
			continue
		}
		at, least := -1, 0
		for i, x := range s.stacks {
			n := 0 // bins above the highest of them
			for n < len(x) && x[len(x)-1-n] != next {
				n++
			}
			if n < len(x) && (at < 0 || n < least) {
				at, least = i, n
			}
		}
		x := s.stacks[at]
		c := step{from: at, to: -1, cost: 1, work: x[len(x)-1] == next}
		if c.work { // put back, as out is forced
			c.cost = 2
			c.to = s.goodFor(at, never, true)
			if c.to >= 0 && c.to != at && len(s.stacks[c.to]) < s.yard.Reach {
				c.cost = 1
			}
		} else {
			c.to = s.goodFor(at, x[len(x)-1], false)
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
	for j, y := range s.stacks {
		room := len(y) < s.yard.Most
		if j == from {
			y = y[:len(y)-1]
			room = own
		}
		if !room {
			continue
		}
		w := fits(y, l)
		if len(y) > 0 {
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
		bound  int
	}
	take := func(y yard) {
		for i := range s.stacks {
			s.stacks[i] = append(s.stacks[i][:0], y.stacks[i]...)
			s.rehash(i)
		}
		s.left = y.left
		s.list = append(s.list[:0], y.list...)
	}
	keep := func(last step) yard {
		y := yard{stacks: make([][]label, len(s.stacks)), list: slices.Clone(s.list), left: s.left, last: last, bound: len(s.list) + s.bound()}
		for i, x := range s.stacks {
			y.stacks[i] = slices.Clone(x)
		}
		return y
	}
	begin := keep(step{})
	defer func() { take(begin) }()
	wide := s.beamWide()
	now := []yard{begin}
	for depth := 0; len(now) > 0 && depth < 64*(len(s.yard.Want)+1); depth++ {
		var then []yard
		seen := map[uint64]bool{}
		for _, y := range now {
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
				undo := s.do(c)
				if h := s.state(); !seen[h] {
					seen[h] = true
					then = append(then, keep(c))
				}
				undo()
			}
		}
		slices.SortStableFunc(then, func(a, b yard) int { return a.bound - b.bound })
		done := -1
		for i, y := range then {
			if y.left == 0 && (done < 0 || len(y.list) < len(then[done].list)) {
				done = i
			}
		}
		if done >= 0 {
			return then[done].list, true
		}
		now = then[:min(len(then), wide)]
	}
	return nil, false
}
