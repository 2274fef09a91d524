package barn

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// naming carries a list of steps out on the yard with its names. Stacks that are
// alike to the search may stand for each other, so of them the nearest to the
// truck is taken.
type naming struct {
	yard   *Yard
	s      *reaching // the same yard by labels
	stacks [][]string
	is     []int // the place of a stack of the search
	truck  float64
	moved  bool
	open   map[string]bool // wanted and not reached
	next   int             // of a fixed order
	jobs   []job           // as they were carried out
	out    Moves
}

func (y *Yard) naming() *naming {
	n := &naming{yard: y, s: newReaching(*y), stacks: make([][]string, len(y.Stacks)+y.Spots), open: map[string]bool{}}
	for i := range n.stacks {
		n.is = append(n.is, i)
		n.stacks[i] = slices.Clone(y.startAt(i))
	}
	for _, bin := range y.Want {
		n.open[bin] = true
	}
	return n
}

// named gives the lifts of a list with names, and the works between them.
func (y *Yard) named(list []step) Moves {
	n := y.naming()
	n.still()
	for _, c := range list {
		if c.still {
			n.s.do(c)
			continue // worked on when it came to the top
		}
		from := n.nearest(c.from, -1, n.truck)
		to := c.to
		if to >= 0 && to != c.from {
			to = n.nearest(c.to, c.from, n.at(from))
		} else if to == c.from {
			to = from
		}
		n.s.do(c)
		n.step(c, from, to)
	}
	return n.shortest()
}

// step carries one step out between places.
func (n *naming) step(c step, from, to int) {
	bin := n.stacks[from][len(n.stacks[from])-1]
	x := carry{from: from, to: to, work: c.work && c.cost == 2 && n.open[bin]}
	if to >= 0 && from == to && !x.work {
		n.still() // it was worked on when it came to the top
		return
	}
	n.do(job{x})
}

// do carries a job out and keeps it.
func (n *naming) do(j job) {
	n.jobs = append(n.jobs, j)
	for _, c := range j {
		n.carry(c)
		n.still()
	}
}

// carry moves a bin from place to place.
func (n *naming) carry(c carry) {
	bin := n.stacks[c.from][len(n.stacks[c.from])-1]
	switch {
	case c.to < 0:
		n.lift(c.from, gone, Out)
		n.work(bin, Out)
	case c.work:
		n.lift(c.from, gone, AtWork)
		n.work(bin, AtWork)
		n.drive(c.to)
		n.out.Moves = append(n.out.Moves, Move{Bin: bin, From: AtWork, To: n.place(c.to)})
		n.stacks[c.to] = append(n.stacks[c.to], bin)
	default:
		n.lift(c.from, c.to, n.place(c.to))
	}
}

func (n *naming) place(i int) string {
	if i >= len(n.yard.Stacks) {
		return fmt.Sprintf("spot %d", i-len(n.yard.Stacks)+1)
	}
	return fmt.Sprint(i + 1)
}

func (n *naming) at(i int) float64 {
	if len(n.yard.At) == 0 {
		return 0
	}
	return n.yard.At[i]
}

// drive takes the truck along the aisle.
func (n *naming) drive(to int) {
	if n.moved {
		n.out.Metres += math.Abs(n.at(to) - n.truck)
	}
	n.truck, n.moved = n.at(to), true
}

// lift takes the top bin of a stack to another place.
func (n *naming) lift(from, to int, place string) {
	x := n.stacks[from]
	bin := x[len(x)-1]
	n.drive(from)
	n.out.Moves = append(n.out.Moves, Move{Bin: bin, From: n.place(from), To: place})
	n.stacks[from] = x[:len(x)-1]
	if to >= 0 {
		n.drive(to)
		n.stacks[to] = append(n.stacks[to], bin)
	}
}

func (n *naming) work(bin, at string) {
	if n.open[bin] {
		delete(n.open, bin)
		n.next++
		n.out.Works = append(n.out.Works, Work{Bin: bin, After: len(n.out.Moves), At: at})
	}
}

// still works on what is on top within reach.
func (n *naming) still() {
	if !n.yard.Back {
		return
	}
	for again := true; again; {
		again = false
		for i, x := range n.stacks {
			if len(x) == 0 || len(x) > n.yard.Reach {
				continue
			}
			bin := x[len(x)-1]
			if n.open[bin] && !slices.Contains(n.yard.Out, bin) && (!n.yard.Fixed || n.yard.Want[n.next] == bin) {
				n.work(bin, n.place(i))
				again = true
			}
		}
	}
}

// nearest is the place nearest to the truck among those that are to the search
// what place i is; the two change names.
func (n *naming) nearest(i, but int, from float64) int {
	best, h := i, n.s.stacks[i].hash()
	floor := i >= len(n.yard.Stacks)
	for k := range n.s.stacks {
		if k != but && (k >= len(n.yard.Stacks)) == floor && n.s.stacks[k].hash() == h &&
			math.Abs(n.at(n.is[k])-from) < math.Abs(n.at(n.is[best])-from) {
			best = k
		}
	}
	n.is[i], n.is[best] = n.is[best], n.is[i]
	return n.is[i]
}

// planSame takes down what stands on the bins wanted, stack by stack, and puts it
// back as it stood. Each bin that must move is lifted twice, and once where it is
// taken out, so that none can do it with fewer lifts. model.md (F6).
func (y *Yard) planSame() (Moves, error) {
	y.Reach = max(1, y.Reach) // on the floor a bin is worked on
	n := y.naming()
	n.still()
	bound := 0
	for i := range n.stacks {
		down := y.takenDown(i)
		for _, bin := range down {
			bound += 2
			if slices.Contains(y.Out, bin) {
				bound--
			}
		}
		tries := 20_000
		places, ok := n.parking(i, down, nil, &tries)
		if !ok {
			return Moves{}, y.stuck()
		}
		var all job // of one stack, which stays together
		for _, to := range places {
			all = append(all, carry{from: i, to: to})
		}
		for _, to := range slices.Backward(places) {
			if to >= 0 {
				all = append(all, carry{from: to, to: i})
			}
		}
		if len(all) > 0 {
			n.do(all)
		}
	}
	out := n.shortest()
	out.Bound, out.Proved = bound, out.Lifts == bound
	return out, nil
}

// takenDown are the bins of a stack that must be moved, from the top: all above
// the lowest that is wanted, and it itself where it is too high or taken out.
func (y *Yard) takenDown(i int) (down []string) {
	stack := y.startAt(i)
	lowest := len(stack)
	for l, bin := range stack {
		if !slices.Contains(y.Want, bin) {
			continue
		}
		lowest = l + 1
		if l >= y.Reach || slices.Contains(y.Out, bin) {
			lowest = l
		}
		break
	}
	for l := len(stack) - 1; l >= lowest; l-- {
		down = append(down, stack[l])
	}
	return down
}

// parking finds a place for each bin that is taken down, the nearest first, so
// that rules are kept and what is wanted of them comes within reach; -1 for what
// is taken out.
func (n *naming) parking(from int, down []string, so []int, tries *int) ([]int, bool) {
	if len(so) == len(down) {
		return so, true
	}
	if *tries--; *tries < 0 {
		return nil, false
	}
	bin := down[len(so)]
	if slices.Contains(n.yard.Out, bin) {
		return n.parking(from, down, append(slices.Clip(so), gone), tries)
	}
	var able []int
	for j := range n.stacks {
		if j == from {
			continue
		}
		stack := slices.Clone(n.stacks[j])
		for k, to := range so {
			if to == j {
				stack = append(stack, down[k])
			}
		}
		level := len(stack) + 1
		if level > n.yard.most(j) || level > n.yard.topOf(bin) || n.open[bin] && level > n.yard.Reach && len(n.yard.startAt(from))-len(so) > n.yard.Reach {
			continue
		}
		if slices.Contains(n.yard.Wet, bin) && len(stack) > 0 && !slices.Contains(n.yard.Wet, stack[len(stack)-1]) {
			continue
		}
		able = append(able, j)
	}
	slices.SortStableFunc(able, func(a, b int) int {
		return cmp.Compare(math.Abs(n.at(a)-n.at(from)), math.Abs(n.at(b)-n.at(from)))
	})
	for _, j := range able {
		if out, ok := n.parking(from, down, append(slices.Clip(so), j), tries); ok {
			return out, true
		}
	}
	return nil, false
}
