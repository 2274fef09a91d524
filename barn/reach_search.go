package barn

import (
	"context"
	"slices"
)

// label is what a bin is to a plan: when it is wanted, from 1, or never. In any
// order all that are wanted are alike, and all others are alike always.
type label = uint8

const never label = 255

// reaching is a yard as the search changes it.
type reaching struct {
	yard   Yard
	stacks [][]label
	left   int // wanted and not yet reached
	looked int
	list   []lift // so far
	hashes []uint64
	seen   map[uint64]int16 // state: fewest lifts with which it was reached under this limit
}

func newReaching(y Yard) *reaching {
	s := &reaching{yard: y, stacks: make([][]label, len(y.Stacks)+y.Spots), hashes: make([]uint64, len(y.Stacks)+y.Spots), left: len(y.Want)}
	when := map[string]label{}
	for i, bin := range y.Want {
		when[bin] = 1
		if y.Fixed {
			when[bin] = label(i + 1)
		}
	}
	for i := range s.stacks {
		s.stacks[i] = make([]label, 0, y.Most)
		if i < len(y.Stacks) {
			for _, bin := range y.Stacks[i] {
				l, ok := when[bin]
				if !ok {
					l = never
				}
				s.stacks[i] = append(s.stacks[i], l)
			}
		}
		s.rehash(i)
	}
	return s
}

// rehash keeps the hash of a stack; those of all stacks are added, so that
// stacks in another order are the same state.
func (s *reaching) rehash(i int) {
	h := uint64(14695981039346656037)
	for _, l := range s.stacks[i] {
		h = (h ^ uint64(l)) * 1099511628211
	}
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	s.hashes[i] = h ^ h>>32
}

func (s *reaching) state() uint64 {
	sum := uint64(0)
	for _, h := range s.hashes {
		sum += h
	}
	return sum
}

// next is the label that is reached next.
func (s *reaching) next() label {
	best := never
	for _, stack := range s.stacks {
		for _, l := range stack {
			best = min(best, l)
		}
	}
	return best
}

// soonest is the smallest label in a stack.
func soonest(stack []label) label {
	best := never
	for _, l := range stack {
		best = min(best, l)
	}
	return best
}

// blockers are the bins of a stack that stand on one wanted sooner.
func blockers(stack []label) int {
	n, least := 0, never
	for _, l := range stack {
		if least < l {
			n++
		}
		least = min(least, l)
	}
	return n
}

// bound is how many lifts there must be at least: each bin wanted comes out once,
// or goes down and back, and each bin that stands on one wanted sooner is moved
// once before. A bin low enough to be worked on where it stands may need none.
// model.md (F2).
func (s *reaching) bound() int {
	n := 0
	for _, stack := range s.stacks {
		n += blockers(stack)
	}
	switch {
	case !s.yard.Back:
		n += s.left
	case s.yard.Reach == 0:
		n += 2 * s.left
	default:
		n += s.tooHigh()
	}
	if s.yard.Near {
		n += s.again()
	}
	return n
}

// tooHigh are the bins wanted that stand above reach and are in nobody's way:
// they are moved once at least.
func (s *reaching) tooHigh() int {
	n := 0
	for _, stack := range s.stacks {
		least := never
		for level, l := range stack {
			if level >= s.yard.Reach && l != never && least >= l {
				n++
			}
			least = min(least, l)
		}
	}
	return n
}

// again is how many blockers must be moved a second time by a driver who moves
// only what stands on the next bin: those for which every other stack holds
// something wanted sooner than they. Stacks lose what was taken and what stood
// on it as the count goes on, which only helps. After Zhu, Qin, Lim and Zhang
// 2012. model.md (F3).
func (s *reaching) again() int {
	if !s.yard.Fixed {
		return 0
	}
	work := make([][]label, len(s.stacks))
	for i, stack := range s.stacks {
		work[i] = slices.Clone(stack)
	}
	n := 0
	for l := s.next(); l != never && int(l) <= len(s.yard.Want); l++ {
		at := slices.IndexFunc(work, func(x []label) bool { return slices.Contains(x, l) })
		if at < 0 {
			continue
		}
		level := slices.Index(work[at], l)
		for _, above := range work[at][level+1:] {
			if above == l {
				continue
			}
			good := false
			for i, x := range work {
				good = good || i != at && soonest(x) >= above
			}
			if !good {
				n++
			}
		}
		work[at] = work[at][:level]
	}
	return n
}

// step is one choice of the search: one lift, or a bin taken down and put back.
type step struct {
	from, to int
	work     bool // wanted now: out, or worked on and set down at to, at cost 1 where that is within reach
	still    bool // worked on where it stands
	cost     int
}

// do makes a step and gives what undoes it.
func (s *reaching) do(c step) (undo func()) {
	from := s.stacks[c.from]
	l := from[len(from)-1]
	n := len(s.list)
	switch {
	case c.still:
		from[len(from)-1] = never
		s.left--
		s.rehash(c.from)
		return func() {
			from[len(from)-1] = l
			s.left++
			s.rehash(c.from)
		}
	case c.work && s.yard.Back && c.cost == 1: // set down where it is worked on
		s.stacks[c.from] = from[:len(from)-1]
		s.stacks[c.to] = append(s.stacks[c.to], never)
		s.list = append(s.list, lift{from: c.from, to: c.to})
		s.left--
	case c.work && s.yard.Back:
		s.stacks[c.from] = from[:len(from)-1]
		s.stacks[c.to] = append(s.stacks[c.to], never)
		s.list = append(s.list, lift{from: c.from, to: gone, down: true}, lift{from: gone, to: c.to})
		s.left--
	case c.work:
		s.stacks[c.from] = from[:len(from)-1]
		s.list = append(s.list, lift{from: c.from, to: gone})
		s.left--
	default:
		s.stacks[c.from] = from[:len(from)-1]
		s.stacks[c.to] = append(s.stacks[c.to], l)
		s.list = append(s.list, lift{from: c.from, to: c.to})
	}
	s.rehash(c.from)
	if c.to >= 0 {
		s.rehash(c.to)
	}
	return func() {
		if c.to >= 0 {
			s.stacks[c.to] = s.stacks[c.to][:len(s.stacks[c.to])-1]
		}
		s.stacks[c.from] = append(s.stacks[c.from][:len(from)-1], l)
		if c.work {
			s.left++
		}
		s.list = s.list[:n]
		s.rehash(c.from)
		if c.to >= 0 {
			s.rehash(c.to)
		}
	}
}

// forced is a step that never hurts: a bin wanted now that is on top goes out,
// or is worked on where it stands with nothing wanted below.
func (s *reaching) forced(next label) (step, bool) {
	for i, x := range s.stacks {
		if len(x) == 0 || x[len(x)-1] != next {
			continue
		}
		if !s.yard.Back {
			return step{from: i, to: gone, work: true, cost: 1}, true
		}
		if len(x) <= s.yard.Reach && soonest(x[:len(x)-1]) == never {
			return step{from: i, to: gone, work: true, still: true}, true
		}
	}
	return step{}, false
}

// steps are the choices of a state, the likeliest first. Stacks alike are tried
// once. The bin that was moved last is not moved again at once: it could have
// gone there directly.
func (s *reaching) steps(next label, last step) []step {
	var out []step
	for i, x := range s.stacks {
		if len(x) == 0 || s.alike(i, -1) {
			continue
		}
		top := x[len(x)-1]
		wanted := top == next && s.yard.Back
		if wanted && len(x) <= s.yard.Reach {
			out = append(out, step{from: i, to: gone, work: true, still: true})
		}
		if s.yard.Near && !wanted && soonest(x) != next {
			continue
		}
		if last.cost == 1 && !last.work && last.to == i {
			continue
		}
		if wanted {
			out = append(out, step{from: i, to: i, work: true, cost: 2})
		}
		for j, y := range s.stacks {
			if j == i || len(y) >= s.yard.Most || s.alike(j, i) || len(x) == 1 && len(y) == 0 && !wanted {
				continue
			}
			cost := 1
			if wanted && len(y) >= s.yard.Reach {
				cost = 2
			}
			out = append(out, step{from: i, to: j, work: wanted, cost: cost})
		}
	}
	slices.SortStableFunc(out, func(a, b step) int { return s.worth(b) - s.worth(a) })
	return out
}

// alike says that a stack before this one holds the same.
func (s *reaching) alike(i, but int) bool {
	for k := range i {
		if k != but && s.hashes[k] == s.hashes[i] {
			return true
		}
	}
	return false
}

// worth orders choices: bins in the way off first, to where they are in nobody's
// way, and there where the next wanted comes soonest after them.
func (s *reaching) worth(c step) int {
	w := 0
	from := s.stacks[c.from]
	l := from[len(from)-1]
	if c.work {
		l = never
		w += 500
	} else if soonest(from[:len(from)-1]) < l {
		w += 300
	}
	if c.to < 0 {
		return w + 1000
	}
	to := s.stacks[c.to]
	if c.to == c.from {
		to = from[:len(from)-1]
	}
	return w + fits(to, l)
}

// fits is how good a stack is to set a bin down on: best where it is in nobody's
// way and what is wanted next comes soonest after it, else where it will be in the
// way last.
func fits(stack []label, l label) int {
	first := soonest(stack)
	if first >= l {
		return 600 - int(first)
	}
	return int(first)
}

// exact deepens the search by one lift at a time until a list is found, the
// effort is spent or fewer than the best known cannot be. It gives the list, nil
// when none is better, and how many lifts there must be.
func (s *reaching) exact(ctx context.Context, low, best int, known bool) ([]lift, int) {
	effort := s.yard.Effort
	if effort == 0 {
		effort = 400_000
	}
	most := best - 1
	if !known {
		most = low + 4*(s.left+1)*s.yard.Most // far more than a yard with room needs
	}
	for limit := low; limit <= most; limit++ {
		s.seen = map[uint64]int16{}
		found, whole := s.deepen(ctx, limit, step{}, effort)
		if found != nil {
			return found, limit
		}
		if !whole {
			return nil, limit
		}
		if s.looked > effort || ctx.Err() != nil {
			return nil, limit + 1
		}
	}
	return nil, most + 1
}

// deepen looks for a list of at most limit lifts from here. whole says that every
// way was looked at.
func (s *reaching) deepen(ctx context.Context, limit int, last step, effort int) (found []lift, whole bool) {
	if len(s.list)+s.bound() > limit {
		return nil, true
	}
	if s.left == 0 {
		return slices.Clone(s.list), true
	}
	h := s.state()
	if g, ok := s.seen[h]; ok && int(g) <= len(s.list) {
		return nil, true
	}
	s.looked++
	if s.looked > effort || s.looked%4096 == 0 && ctx.Err() != nil {
		return nil, false
	}
	s.seen[h] = int16(len(s.list))
	next := s.next()
	if c, ok := s.forced(next); ok {
		undo := s.do(c)
		found, whole = s.deepen(ctx, limit, c, effort)
		undo()
		return found, whole
	}
	for _, c := range s.steps(next, last) {
		undo := s.do(c)
		found, whole = s.deepen(ctx, limit, c, effort)
		undo()
		if found != nil || !whole {
			return found, whole
		}
	}
	return nil, true
}
