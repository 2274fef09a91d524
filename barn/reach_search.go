package barn

import (
	"context"
	"math"
	"slices"
)

// label is what a bin is to a plan: when it is wanted, from 1, or never, in the
// low eight bits, then how high it may be lifted, whether it is wet, whether it is
// taken out. In any order all that are wanted are alike, and all others always,
// but for how high they may stand and on what.
type label uint16

const (
	never label = 255

	topBits = 8 // four bits: the highest level for it
	wetBit  = 1 << 12
	outBit  = 1 << 13
)

// when a bin is wanted.
func (l label) when() label { return l & 255 }

// done is a bin after it was reached.
func (l label) done() label { return l | never }

// top is the highest level at which the truck may lift it.
func (l label) top() int { return int(l >> topBits & 15) }

func (l label) wet() bool { return l&wetBit != 0 }

// reaching is a yard as the search changes it. What its bounds need is kept as
// bins come and go.
type reaching struct {
	yard   Yard
	stacks []stack
	left   int // wanted and not yet reached
	outs   int // of those, to be taken out
	counted
	looked int
	lifts  int              // so far
	list   []step           // so far
	seen   map[uint64]int16 // state: fewest lifts with which it was reached under this limit
	at     []int            // heights, for the bounds to count down
	open   []step           // choices not yet tried, of all depths
	kin    []like           // of the stacks, for the choices
	hashes []uint64         // of the stacks, for kin
}

// stack is bins from the floor up, with the soonest and the hash of each with
// all below it.
type stack struct {
	bins   []label
	least  []label
	hashes []uint64
	seed   uint64 // of the hash: stacks of other heights, and places that are to be free, are not alike
}

func newReaching(y Yard) *reaching {
	n := len(y.Stacks) + y.Spots
	s := &reaching{yard: y, stacks: make([]stack, n), at: make([]int, n), left: len(y.Want)}
	is := map[string]label{}
	for i, bin := range y.Want {
		is[bin] = 1
		if y.Fixed {
			is[bin] = label(i + 1)
		}
		if !y.Back || slices.Contains(y.Out, bin) {
			is[bin] |= outBit
			s.outs++
		}
	}
	for i := range s.stacks {
		most := y.most(i)
		s.stacks[i] = stack{bins: make([]label, 0, most), least: make([]label, 0, most), hashes: make([]uint64, 0, most), seed: uint64(most) << 32}
		if s.spot(i) {
			s.stacks[i].seed++
		}
		for _, bin := range y.startAt(i) {
			l, ok := is[bin]
			if !ok {
				l = never
			}
			l |= label(y.topOf(bin)) << topBits
			if slices.Contains(y.Wet, bin) {
				l |= wetBit
			}
			s.push(i, l)
		}
	}
	return s
}

// spot says that a place is one on the floor that is to be free in the end.
func (s *reaching) spot(i int) bool { return s.yard.Clear && i >= len(s.yard.Stacks) }

// over says that nothing is left to be lifted.
func (s *reaching) over() bool {
	if s.left > 0 {
		return false
	}
	for i := len(s.yard.Stacks); s.yard.Clear && i < len(s.stacks); i++ {
		if len(s.stacks[i].bins) > 0 {
			return false
		}
	}
	return true
}

// carries says that a bin may be set down on the lowest so many bins of a place:
// there is room, the truck may lift it so high, and a wet one stands on the floor or
// on a wet one.
func (s *reaching) carries(i, level int, l label) bool {
	return level < s.yard.most(i) && level < l.top() && (level == 0 || !l.wet() || s.stacks[i].bins[level-1].wet())
}

// loose says that the truck may take the top bin of a stack.
func (x *stack) loose() bool { return len(x.bins) > 0 && len(x.bins) <= x.top().top() }

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
	h := x.seed ^ 14695981039346656037
	if n := len(x.hashes); n > 0 {
		h = x.hashes[n-1]
	}
	h ^= h >> 29
	h *= 0xbf58476d1ce4e5b9
	return h ^ h>>32
}

func (x *stack) top() label { return x.bins[len(x.bins)-1] }

// counted is how many bins of a yard have lifts that are counted, by why.
type counted struct {
	bad  int // in the way: they stand on one wanted, and are lifted before it is reached
	high int // wanted, above reach and in nobody's way
	low  int // in the way, within reach
	down int // in the way, and wanted no sooner than they are lifted
}

func (c *counted) add(o counted, times int) {
	c.bad += times * o.bad
	c.high += times * o.high
	c.low += times * o.low
	c.down += times * o.down
}

// counts says what a bin adds to what is counted at a level of a place. On a place
// that is to be free each bin is moved, by what is in its way, by its own work, or at
// last.
func (s *reaching) counts(i, level int, l label) (c counted) {
	below := s.stacks[i].below(level)
	w := l.when()
	own := l&outBit != 0 || s.yard.Reach == 0 // it has lifts of its own, which are counted with left
	switch {
	case below < w || !own && below != never: // one that is worked on before stands there still
		c.bad = 1
		if level < s.yard.Reach {
			c.low = 1
		}
		if w != never && !own && (below < w || level >= s.yard.Reach) {
			c.down = 1
		}
	case s.spot(i) && (w == never || !own):
		c.bad = 1
	case w != never && !own && level >= s.yard.Reach:
		c.high = 1
	}
	return c
}

func (s *reaching) push(i int, l label) {
	x := &s.stacks[i]
	level := len(x.bins)
	h := x.seed ^ 14695981039346656037
	if level > 0 {
		h = x.hashes[level-1]
	}
	x.least = append(x.least, min(l.when(), x.soonest()))
	x.bins = append(x.bins, l)
	x.hashes = append(x.hashes, (h^uint64(l))*1099511628211)
	s.counted.add(s.counts(i, level, l), 1)
}

func (s *reaching) pop(i int) label {
	x := &s.stacks[i]
	level := len(x.bins) - 1
	l := x.bins[level]
	s.counted.add(s.counts(i, level, l), -1)
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

// bound is how many lifts there must be at least.
func (s *reaching) bound() int { return s.once() + s.twice(math.MaxInt) }

// once counts each bin wanted, which comes out once, or goes down and back, and each
// bin that stands on one wanted sooner, which is moved once before. A bin low enough
// to be worked on where it stands may need none. model.md (F2).
func (s *reaching) once() int {
	n := s.bad + s.high + s.outs
	if s.yard.Reach == 0 {
		n += 2 * (s.left - s.outs)
	}
	return n
}

// twice is how many lifts there must be besides, of bins that are moved twice. It
// counts no further than enough. model.md (F2, F3, F5, F9).
func (s *reaching) twice(enough int) int {
	if s.yard.Clear {
		return s.mustPark()
	}
	if s.outs > 0 && s.outs < s.left { // not proved for some out and some back
		return 0
	}
	more, stays := 0, s.stays()
	if stays {
		more = s.crowded()
	}
	if s.yard.Near && s.yard.Fixed && more < enough {
		more = max(more, s.again())
	}
	switch {
	case more >= enough:
	case stays:
		more = max(more, s.stuckBack(enough))
	default:
		more = max(more, s.stuck(enough))
	}
	return more
}

// stays says that every bin is worked on within reach and stays in the yard.
func (s *reaching) stays() bool { return s.yard.Back && s.yard.Reach > 0 && s.outs == 0 }

// mustPark is how many bins in the way find no room on stacks that nobody waits
// for before the first bin wanted is uncovered: each of them is moved once more.
// model.md (F2).
func (s *reaching) mustPark() int {
	if s.left == 0 {
		return 0
	}
	least, room := -1, 0
	for i := range s.stacks {
		x := s.stacks[i].bins
		n := 0
		for n < len(x) && x[len(x)-1-n].when() == never {
			n++
		}
		if n < len(x) {
			if least < 0 || n < least {
				least = n
			}
		} else if !s.spot(i) {
			room += s.yard.most(i) - len(x)
		}
	}
	return max(0, least-room)
}

// crowded is how many bins wanted that must be lifted find no place within reach: each
// that is lifted once takes such a place, but for one that is worked on where it
// stands before, and only lifts from within reach make one, of which those of bins in
// the way are counted. model.md (F9).
func (s *reaching) crowded() int {
	places := s.low
	for i := range s.stacks {
		places += max(0, min(s.yard.Reach, s.yard.most(i))-len(s.stacks[i].bins))
	}
	return max(0, s.high+s.down-places)
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
// It counts no further than enough. model.md (F5).
func (s *reaching) stuck(enough int) int {
	next, most, second, free := never, -1, label(0), label(0) // the stacks with room whose soonest come last
	look := func() label {
		next, most, second, free = never, -1, 0, 0
		for i := range s.stacks {
			least := s.stacks[i].below(s.at[i])
			next = min(next, least)
			if s.at[i] >= s.yard.most(i) {
				continue
			}
			if most < 0 || least > free {
				most, second, free = i, free, least
			} else {
				second = max(second, least)
			}
		}
		return next
	}
	return s.takeAway(enough, look, func(i int, top, below label) bool {
		room := free
		if i == most {
			room = second
		}
		return top == next || below < top && room >= top
	})
}

// takeAway looks at the yard, takes from the top of each stack what goes, and tells
// how often nothing did and all tops were taken away, until nothing is wanted or
// enough was counted. Look gives what is wanted next.
func (s *reaching) takeAway(enough int, look func() label, goes func(stack int, top, below label) bool) int {
	s.heights()
	more := 0
	for more < enough && look() < never {
		taken := false
		for i := range s.stacks {
			x := &s.stacks[i]
			for s.at[i] > 0 && goes(i, x.bins[s.at[i]-1].when(), x.below(s.at[i]-1)) {
				s.at[i]--
				taken = true
			}
		}
		if !taken {
			more++
			s.lower()
		}
	}
	return more
}

// lower takes the top of every stack away.
func (s *reaching) lower() {
	for i := range s.at {
		s.at[i] = max(0, s.at[i]-1)
	}
}

// stuckBack is stuck for a yard in which all bins stay. A bin on top has a lift that is
// counted and leaves none to be counted again where it goes to a stack in which nothing
// is wanted: one in the way to any such, one wanted to a place within reach. One wanted
// next and within reach has none. model.md (F5).
func (s *reaching) stuckBack(enough int) int {
	next, high, low := never, false, false // stacks with room, and with room within reach, in which nothing is wanted
	look := func() label {
		next, high, low = never, false, false
		for i := range s.stacks {
			least := s.stacks[i].below(s.at[i])
			next = min(next, least)
			if least == never && s.at[i] < s.yard.most(i) {
				high, low = true, low || s.at[i] < s.yard.Reach
			}
		}
		return next
	}
	return s.takeAway(enough, look, func(i int, top, below label) bool {
		within := s.at[i] <= s.yard.Reach
		switch {
		case top == next && within:
			return true
		case top == never:
			return below != never && high
		default:
			return (below != never || !within) && low
		}
	})
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
		for s.at[at]--; x.bins[s.at[at]].when() != next; s.at[at]-- {
			if x.bins[s.at[at]].when() > free {
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
	s.list, s.lifts = append(s.list, c), s.lifts+c.cost
	if c.work {
		s.left--
		if l&outBit != 0 {
			s.outs--
		}
	}
	switch {
	case c.still:
		s.push(c.from, l.done())
	case c.to < 0: // out
	case c.work:
		s.push(c.to, l.done())
	default:
		s.push(c.to, l)
	}
	return l
}

func (s *reaching) undo(c step, l label) {
	if c.work {
		s.left++
		if l&outBit != 0 {
			s.outs++
		}
	}
	s.list, s.lifts = s.list[:len(s.list)-1], s.lifts-c.cost
	switch {
	case c.still:
		s.pop(c.from)
	case c.to >= 0:
		s.pop(c.to)
	}
	s.push(c.from, l)
}

// forced is a step that never hurts: a bin wanted now that is on top goes out, or is
// worked on where it stands. A driver who moves only what stands on the next bin is
// left free to move it before, where something wanted is below.
func (s *reaching) forced(next label) (step, bool) {
	if s.left == 0 {
		return step{}, false
	}
	for i := range s.stacks {
		x := &s.stacks[i]
		n := len(x.bins)
		if n == 0 || x.top().when() != next {
			continue
		}
		if x.top()&outBit != 0 {
			if x.loose() {
				return step{from: i, to: gone, work: true, cost: 1}, true
			}
			continue
		}
		if n <= s.yard.Reach && !(s.yard.Near && x.below(n-1) != never) {
			return step{from: i, to: gone, work: true, still: true}, true
		}
	}
	return step{}, false
}

// steps adds the choices of a state to s.open, the likeliest first, but for those
// after which more lifts are counted once than so many to spare. Stacks alike are
// tried once. The bin that was moved last is not moved again at once: it could have
// gone there directly.
func (s *reaching) steps(next label, last step, spare int) {
	begin := len(s.open)
	s.likes()
	add := func(c step) {
		if s.adds(c) <= spare {
			c.worth = s.worth(c)
			s.open = append(s.open, c)
		}
	}
	for i := range s.stacks {
		x := &s.stacks[i]
		n := len(x.bins)
		if n == 0 || s.kin[i].before > 0 {
			continue
		}
		wanted := s.left > 0 && x.top().when() == next && x.top()&outBit == 0
		if wanted && n <= s.yard.Reach {
			add(step{from: i, to: gone, work: true, still: true})
		}
		if s.yard.Near && !wanted && x.soonest() != next {
			continue
		}
		if last.cost == 1 && !last.work && last.to == i || !x.loose() {
			continue
		}
		if wanted && s.carries(i, n-1, x.top()) {
			add(step{from: i, to: i, work: true, cost: 2})
		}
		for j := range s.stacks {
			high := len(s.stacks[j].bins)
			if j == i || !s.carries(j, high, x.top()) || s.kin[j].before > 0 && !(s.kin[j].before == 1 && s.kin[j].first == i) || n == 1 && high == 0 && !wanted && s.spot(i) == s.spot(j) {
				continue
			}
			cost := 1
			if wanted && high >= s.yard.Reach {
				cost = 2
			}
			add(step{from: i, to: j, work: wanted, cost: cost})
		}
	}
	slices.SortStableFunc(s.open[begin:], func(a, b step) int { return b.worth - a.worth })
}

// adds is by how much a step makes the lifts more that are made or counted once.
func (s *reaching) adds(c step) int {
	level := len(s.stacks[c.from].bins) - 1
	l := s.stacks[c.from].bins[level]
	was := s.counts(c.from, level, l)
	n := c.cost - was.bad - was.high
	if c.work {
		switch {
		case l&outBit != 0:
			n--
		case s.yard.Reach == 0:
			n -= 2
		}
		l = l.done()
	}
	to := c.to
	if c.still {
		to = c.from
	}
	if to >= 0 {
		if to != c.from {
			level = len(s.stacks[to].bins)
		}
		then := s.counts(to, level, l)
		n += then.bad + then.high
	}
	return n
}

// like says of a stack how many before it hold the same, and the first of them.
type like struct{ before, first int }

// likes fills s.kin for the yard as it is.
func (s *reaching) likes() {
	s.kin = s.kin[:0]
	s.hashes = s.hashes[:0]
	for i := range s.stacks {
		h := s.stacks[i].hash()
		k := like{0, i}
		for j, other := range s.hashes {
			if other == h {
				if k.before == 0 {
					k.first = j
				}
				k.before++
			}
		}
		s.kin, s.hashes = append(s.kin, k), append(s.hashes, h)
	}
}

// worth orders choices: bins in the way off first, to where they are in nobody's
// way, and there where the next wanted comes soonest after them.
func (s *reaching) worth(c step) int {
	w := 0
	from := &s.stacks[c.from]
	l, below := from.top().when(), from.below(len(from.bins)-1)
	if c.work {
		l = never
		w += 500
	} else if below < l {
		w += 300
	}
	if c.to < 0 {
		return w + 1000
	}
	if s.spot(c.to) {
		w -= 100 // it moves once more
	}
	first, high := s.stacks[c.to].soonest(), len(s.stacks[c.to].bins)
	if c.to == c.from {
		first = below
		high--
	}
	if c.cost == 2 && s.yard.Reach > 0 {
		w -= 400 // another place may do with one lift
	}
	return w + fits(first, l) + s.keeps(c.work, high)
}

// keeps is a little more for a bin that needs no place within reach and takes none.
func (s *reaching) keeps(work bool, high int) int {
	if !work && s.yard.Back && high >= s.yard.Reach {
		return 2
	}
	return 0
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
func (s *reaching) exact(ctx context.Context, low, best int, known bool, states int) ([]step, int) {
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
func (s *reaching) deepen(ctx context.Context, limit int, last step, until int) (found []step, whole bool) {
	spare := limit - s.lifts - s.once()
	if spare < 0 {
		return nil, true
	}
	if s.over() {
		return slices.Clone(s.list), true
	}
	h := s.state()
	if g, ok := s.seen[h]; ok && int(g) <= s.lifts {
		return nil, true
	}
	s.seen[h] = int16(s.lifts)
	if s.twice(spare+1) > spare {
		return nil, true
	}
	s.looked++
	if s.looked > until || s.looked%4096 == 0 && ctx.Err() != nil {
		return nil, false
	}
	next := s.next()
	if c, ok := s.forced(next); ok {
		l := s.do(c)
		found, whole = s.deepen(ctx, limit, c, until)
		s.undo(c, l)
		return found, whole
	}
	begin := len(s.open)
	defer func() { s.open = s.open[:begin] }()
	s.steps(next, last, spare)
	for i, end := begin, len(s.open); i < end; i++ {
		c := s.open[i]
		l := s.do(c)
		found, whole = s.deepen(ctx, limit, c, until)
		s.undo(c, l)
		if found != nil || !whole {
			return found, whole
		}
	}
	return nil, true
}
