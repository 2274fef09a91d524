package barn

import (
	"context"
	"slices"
)

// label is what a bin is to a plan: when it is wanted, from 1, or never. In any
// order all that are wanted are alike, and all others are alike always.
type label = uint8

const never label = 255

// reaching is a yard as the search changes it. What its bounds need is kept as
// bins come and go.
type reaching struct {
	yard   Yard
	stacks []stack
	left   int // wanted and not yet reached
	bad    int // bins that stand on one wanted sooner
	high   int // bins wanted that stand above reach and are in nobody's way
	looked int
	list   []lift           // so far
	seen   map[uint64]int16 // state: fewest lifts with which it was reached under this limit
	at     []int            // heights, for the bounds to count down
}

// stack is bins from the floor up, with the soonest and the hash of each with
// all below it.
type stack struct {
	bins   []label
	least  []label
	hashes []uint64
}

func newReaching(y Yard) *reaching {
	n := len(y.Stacks) + y.Spots
	s := &reaching{yard: y, stacks: make([]stack, n), at: make([]int, n), left: len(y.Want)}
	when := map[string]label{}
	for i, bin := range y.Want {
		when[bin] = 1
		if y.Fixed {
			when[bin] = label(i + 1)
		}
	}
	for i := range s.stacks {
		s.stacks[i] = stack{make([]label, 0, y.Most), make([]label, 0, y.Most), make([]uint64, 0, y.Most)}
		if i < len(y.Stacks) {
			for _, bin := range y.Stacks[i] {
				l, ok := when[bin]
				if !ok {
					l = never
				}
				s.push(i, l)
			}
		}
	}
	return s
}

// soonest is the smallest label in a stack, or in its lowest so many bins.
func (x *stack) soonest() label { return x.below(len(x.bins)) }

func (x *stack) below(level int) label {
	if level == 0 {
		return never
	}
	return x.least[level-1]
}

// hash of a stack; those of all stacks are added, so that stacks in another order
// are the same state.
func (x *stack) hash() uint64 {
	h := uint64(14695981039346656037)
	if n := len(x.hashes); n > 0 {
		h = x.hashes[n-1]
	}
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	return h ^ h>>32
}

func (x *stack) top() label { return x.bins[len(x.bins)-1] }

// counts says what a bin adds to bad and high where it stands.
func (s *reaching) counts(x *stack, level int) (bad, high int) {
	l, below := x.bins[level], x.below(level)
	switch {
	case below < l:
		return 1, 0
	case l != never && level >= s.yard.Reach:
		return 0, 1
	}
	return 0, 0
}

func (s *reaching) push(i int, l label) {
	x := &s.stacks[i]
	level := len(x.bins)
	h := uint64(14695981039346656037)
	if level > 0 {
		h = x.hashes[level-1]
	}
	x.least = append(x.least, min(l, x.soonest()))
	x.bins = append(x.bins, l)
	x.hashes = append(x.hashes, (h^uint64(l))*1099511628211)
	bad, high := s.counts(x, level)
	s.bad += bad
	s.high += high
}

func (s *reaching) pop(i int) label {
	x := &s.stacks[i]
	level := len(x.bins) - 1
	l := x.bins[level]
	bad, high := s.counts(x, level)
	s.bad -= bad
	s.high -= high
	x.bins, x.least, x.hashes = x.bins[:level], x.least[:level], x.hashes[:level]
	return l
}

func (s *reaching) state() uint64 {
	sum := uint64(0)
	for i := range s.stacks {
		sum += s.stacks[i].hash()
	}
	return sum
}

// next is the label that is reached next.
func (s *reaching) next() label {
	best := never
	for i := range s.stacks {
		best = min(best, s.stacks[i].soonest())
	}
	return best
}

// bound is how many lifts there must be at least: each bin wanted comes out once,
// or goes down and back, and each bin that stands on one wanted sooner is moved
// once before. A bin low enough to be worked on where it stands may need none.
// Some bins are moved twice. model.md (F2).
func (s *reaching) bound() int {
	n := s.bad
	switch {
	case !s.yard.Back:
		n += s.left
	case s.yard.Reach == 0:
		n += 2 * s.left
	default:
		n += s.high
	}
	more := s.stuck()
	if s.yard.Near && s.yard.Fixed {
		more = max(more, s.again())
	}
	return n + more
}

// heights fills s.at with the heights as they are.
func (s *reaching) heights() {
	for i := range s.stacks {
		s.at[i] = len(s.stacks[i].bins)
	}
}

// stuck is how many lifts there must be beyond one for each bin in the way and
// those of the bins wanted. It takes away what is on top and wanted next, and what
// is on top, in the way, and could go where it is in nobody's way. Where nothing
// of either is left, the next lift is one of a bin now on top that is not counted
// yet: one more, and all tops are taken away. What is taken away is on top, so a
// plan for the yard with it is one without it, less its own lifts. After Forster
// and Bortfeldt 2012 and Tanaka and Mizuno 2018, by memory; the proof is our own.
// model.md (F5).
func (s *reaching) stuck() int {
	s.heights()
	more := 0
	for {
		next, most, second, free := never, -1, label(0), label(0) // the stacks with room whose soonest come last
		for i := range s.stacks {
			least := s.stacks[i].below(s.at[i])
			next = min(next, least)
			if s.at[i] >= s.yard.Most {
				continue
			}
			if most < 0 || least > free {
				most, second, free = i, free, least
			} else {
				second = max(second, least)
			}
		}
		if next == never {
			return more
		}
		taken, early := false, false
		for i := range s.stacks {
			x := &s.stacks[i]
			for s.at[i] > 0 {
				top, below := x.bins[s.at[i]-1], x.below(s.at[i]-1)
				room := free
				if i == most {
					room = second
				}
				if top != next && !(below < top && room >= top) {
					early = early || s.yard.Back && s.yard.Reach > 0 && top != never && below >= top && s.at[i] > s.yard.Reach
					break
				}
				s.at[i]--
				taken = true
			}
		}
		switch {
		case taken:
		case early: // lifting a bin wanted later to within reach is counted already
			return more
		default:
			more++
			for i := range s.at {
				s.at[i] = max(0, s.at[i]-1)
			}
		}
	}
}

// again is how many blockers must be moved a second time by a driver who moves
// only what stands on the next bin: those for which every other stack holds
// something wanted sooner than they. Stacks lose what was taken and what stood
// on it as the count goes on, which only helps. After Zhu, Qin, Lim and Zhang
// 2012. model.md (F3).
func (s *reaching) again() int {
	s.heights()
	n := 0
	for {
		at, next, free := -1, never, label(0)
		for i := range s.stacks {
			if least := s.stacks[i].below(s.at[i]); least < next {
				at, next = i, least
			}
		}
		if at < 0 {
			return n
		}
		for i := range s.stacks {
			if i != at {
				free = max(free, s.stacks[i].below(s.at[i]))
			}
		}
		x := &s.stacks[at]
		for s.at[at]--; x.bins[s.at[at]] != next; s.at[at]-- {
			if x.bins[s.at[at]] > free {
				n++
			}
		}
	}
}

// step is one choice of the search: one lift, or a bin taken down and put back.
type step struct {
	from, to int
	work     bool // wanted now: out, or worked on and set down at to, at cost 1 where that is within reach
	still    bool // worked on where it stands
	cost     int
	worth    int
}

// do makes a step and gives the label of its bin, for undo.
func (s *reaching) do(c step) label {
	l := s.pop(c.from)
	if c.work {
		s.left--
	}
	switch {
	case c.still:
		s.push(c.from, never)
	case c.work && !s.yard.Back:
		s.list = append(s.list, lift{from: c.from, to: gone})
	case c.work && c.cost == 2:
		s.push(c.to, never)
		s.list = append(s.list, lift{from: c.from, to: gone, down: true}, lift{from: gone, to: c.to})
	case c.work: // set down where it is worked on
		s.push(c.to, never)
		s.list = append(s.list, lift{from: c.from, to: c.to})
	default:
		s.push(c.to, l)
		s.list = append(s.list, lift{from: c.from, to: c.to})
	}
	return l
}

func (s *reaching) undo(c step, l label) {
	if c.work {
		s.left++
	}
	if !c.still {
		s.list = s.list[:len(s.list)-c.cost]
	}
	switch {
	case c.still:
		s.pop(c.from)
	case c.to >= 0:
		s.pop(c.to)
	}
	s.push(c.from, l)
}

// forced is a step that never hurts: a bin wanted now that is on top goes out,
// or is worked on where it stands with nothing wanted below.
func (s *reaching) forced(next label) (step, bool) {
	for i := range s.stacks {
		x := &s.stacks[i]
		n := len(x.bins)
		if n == 0 || x.top() != next {
			continue
		}
		if !s.yard.Back {
			return step{from: i, to: gone, work: true, cost: 1}, true
		}
		if n <= s.yard.Reach && x.below(n-1) == never {
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
	add := func(c step) {
		c.worth = s.worth(c)
		out = append(out, c)
	}
	for i := range s.stacks {
		x := &s.stacks[i]
		n := len(x.bins)
		if n == 0 || s.alike(i, -1) {
			continue
		}
		wanted := x.top() == next && s.yard.Back
		if wanted && n <= s.yard.Reach {
			add(step{from: i, to: gone, work: true, still: true})
		}
		if s.yard.Near && !wanted && x.soonest() != next {
			continue
		}
		if last.cost == 1 && !last.work && last.to == i {
			continue
		}
		if wanted {
			add(step{from: i, to: i, work: true, cost: 2})
		}
		for j := range s.stacks {
			high := len(s.stacks[j].bins)
			if j == i || high >= s.yard.Most || s.alike(j, i) || n == 1 && high == 0 && !wanted {
				continue
			}
			cost := 1
			if wanted && high >= s.yard.Reach {
				cost = 2
			}
			add(step{from: i, to: j, work: wanted, cost: cost})
		}
	}
	slices.SortStableFunc(out, func(a, b step) int { return b.worth - a.worth })
	return out
}

// alike says that a stack before this one holds the same.
func (s *reaching) alike(i, but int) bool {
	h := s.stacks[i].hash()
	for k := range i {
		if k != but && s.stacks[k].hash() == h {
			return true
		}
	}
	return false
}

// worth orders choices: bins in the way off first, to where they are in nobody's
// way, and there where the next wanted comes soonest after them.
func (s *reaching) worth(c step) int {
	w := 0
	from := &s.stacks[c.from]
	l, below := from.top(), from.below(len(from.bins)-1)
	if c.work {
		l = never
		w += 500
	} else if below < l {
		w += 300
	}
	if c.to < 0 {
		return w + 1000
	}
	first := s.stacks[c.to].soonest()
	if c.to == c.from {
		first = below
	}
	return w + fits(first, l)
}

// fits is how good a stack is to set a bin down on, by the soonest in it: best
// where the bin is in nobody's way and what is wanted next comes soonest after it,
// else where it will be in the way last.
func fits(first, l label) int {
	if first >= l {
		return 600 - int(first)
	}
	return int(first)
}

// exact deepens the search by one lift at a time until a list is found, so many
// states more were looked at or fewer than the best known cannot be. It gives the
// list, nil when none is better, and how many lifts there must be.
func (s *reaching) exact(ctx context.Context, low, best int, known bool, states int) ([]lift, int) {
	until := s.looked + states
	most := best - 1
	if !known {
		most = low + 4*(s.left+1)*s.yard.Most // far more than a yard with room needs
	}
	for limit := low; limit <= most; limit++ {
		s.seen = map[uint64]int16{}
		found, whole := s.deepen(ctx, limit, step{}, until)
		if found != nil {
			return found, limit
		}
		if !whole {
			return nil, limit
		}
		if s.looked > until || ctx.Err() != nil {
			return nil, limit + 1
		}
	}
	return nil, most + 1
}

// deepen looks for a list of at most limit lifts from here. whole says that every
// way was looked at.
func (s *reaching) deepen(ctx context.Context, limit int, last step, until int) (found []lift, whole bool) {
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
	if s.looked > until || s.looked%4096 == 0 && ctx.Err() != nil {
		return nil, false
	}
	s.seen[h] = int16(len(s.list))
	next := s.next()
	if c, ok := s.forced(next); ok {
		l := s.do(c)
		found, whole = s.deepen(ctx, limit, c, until)
		s.undo(c, l)
		return found, whole
	}
	for _, c := range s.steps(next, last) {
		l := s.do(c)
		found, whole = s.deepen(ctx, limit, c, until)
		s.undo(c, l)
		if found != nil || !whole {
			return found, whole
		}
	}
	return nil, true
}
