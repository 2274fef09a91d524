package barn

import (
	"context"
	"math"
	"slices"
)

// beamWide is how many yards are kept at each depth of the beam; few on large
// yards, where one step looks at every stack.
func (s *reaching) beamWide() int { return max(4, 4000/(len(s.stacks)+1)) }

// plain is the rule of a driver who plans: the stack with the fewest bins in the
// way of the next one wanted, and what is in the way goes to where it will be in
// nobody's way. model.md (F4).
func (s *reaching) plain() ([]step, bool) {
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
	for !s.over() {
		if len(s.list) > 64*(len(s.yard.Want)+1) {
			return nil, false
		}
		c, ok := s.ruled()
		if !ok {
			return nil, false
		}
		do(c)
	}
	return slices.Clone(s.list), true
}

// ruled is the next step by the plain rule.
func (s *reaching) ruled() (step, bool) {
	next := s.next()
	if c, ok := s.forced(next); ok {
		return c, true
	}
	if s.left == 0 { // places on the floor are freed
		for i := range s.stacks {
			if x := &s.stacks[i]; s.spot(i) && x.loose() {
				to := s.goodFor(i, x.top(), false)
				return step{from: i, to: to, cost: 1}, to >= 0 && !s.spot(to)
			}
		}
		return step{}, false
	}
	at, least := -1, 0
	for i := range s.stacks {
		x := s.stacks[i].bins
		n := 0 // bins above the highest of them
		for n < len(x) && x[len(x)-1-n].when() != next {
			n++
		}
		if n < len(x) && (at < 0 || n < least) && s.stacks[i].loose() {
			at, least = i, n
		}
	}
	if at < 0 {
		return step{}, false
	}
	x := &s.stacks[at]
	c := step{from: at, cost: 1, work: x.top().when() == next}
	if c.work && len(x.bins) <= s.yard.Reach {
		return step{from: at, to: gone, work: true, still: true}, true
	}
	if c.to = -1; c.work {
		c.to = s.lowFor(at)
	}
	if c.to < 0 {
		c.to = s.goodFor(at, x.top(), c.work)
	}
	if c.work { // put back, as out is forced
		c.cost = 2
		if c.to >= 0 && c.to != at && len(s.stacks[c.to].bins) < s.yard.Reach {
			c.cost = 1
		}
	}
	return c, c.to >= 0
}

// lowFor is another stack where the top bin of that stack is worked on as it is set
// down, in nobody's way, the fullest first; -1 for none.
func (s *reaching) lowFor(from int) int {
	best, l := -1, s.stacks[from].top()
	for j := range s.stacks {
		n := len(s.stacks[j].bins)
		if j == from || n >= s.yard.Reach || !s.carries(j, n, l) || s.spot(j) || s.stacks[j].soonest() != never {
			continue
		}
		if best < 0 || n > len(s.stacks[best].bins) {
			best = j
		}
	}
	return best
}

// goodFor is the stack where a bin from that stack is best set down, -1 for
// none: in nobody's way, as snugly as can be, else in the way of what comes last.
func (s *reaching) goodFor(from int, l label, worked bool) int {
	best, worth := -1, 0
	as := l.when()
	if worked {
		as = never
	}
	for j := range s.stacks {
		high := len(s.stacks[j].bins)
		if j == from {
			if !worked {
				continue
			}
			high--
		}
		if !s.carries(j, high, l) {
			continue
		}
		w := fits(s.stacks[j].below(high), as) + s.keeps(worked, high)
		if high > 0 {
			w++ // a free spot is kept for later
		}
		if s.spot(j) {
			w -= 100 // it moves once more
		}
		if best < 0 || w > worth {
			best, worth = j, w
		}
	}
	return best
}

func liftsOf(list []step) int {
	n := 0
	for _, c := range list {
		n += c.cost
	}
	return n
}

// beam keeps the yards of each number of lifts that promise most and goes on
// from them, until one has reached all.
func (s *reaching) beam(ctx context.Context) ([]step, bool) {
	type yard struct {
		stacks [][]label
		list   []step
		lifts  int
		left   int
		outs   int
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
		s.left, s.outs, s.lifts = y.left, y.outs, y.lifts
		s.list = append(s.list[:0], y.list...)
	}
	keep := func(last step) yard {
		y := yard{stacks: make([][]label, len(s.stacks)), list: slices.Clone(s.list), lifts: s.lifts, left: s.left, outs: s.outs, last: last}
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
				s.open = s.open[:0]
				s.steps(next, y.last, math.MaxInt)
				choices = s.open[:min(len(s.open), 8)]
			}
			for _, c := range choices {
				l := s.do(c)
				if h := s.state(); !seen[h] {
					seen[h] = true
					then = append(then, child{of, s.lifts + s.bound(), c})
				}
				s.undo(c, l)
			}
		}
		slices.SortStableFunc(then, func(a, b child) int { return a.bound - b.bound })
		var kept []yard
		for _, c := range then[:min(len(then), wide)] {
			take(now[c.of])
			s.do(c.step)
			if s.over() { // the bound of such a yard is its lifts
				return slices.Clone(s.list), true
			}
			kept = append(kept, keep(c.step))
		}
		now = kept
	}
	return nil, false
}
