package barn

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// carry is one choice carried out between places: a lift, or with work a bin that is
// taken down and set on a stack again.
type carry struct {
	from, to int // to is gone for a bin taken out
	work     bool
}

// job is carries that stay together.
type job []carry

// ends are where the truck goes to first and where it is left [m].
func (n *naming) ends(j job) (begin, end float64) {
	begin = n.at(j[0].from)
	last := j[len(j)-1]
	if last.to < 0 {
		return begin, n.at(last.from)
	}
	return begin, n.at(last.to)
}

// meet says that the order of two jobs matters: they touch one place. Where all is put
// back as it stood a job leaves it as it found it, but for what is taken out.
func (n *naming) meet(a, b job) bool {
	out := func(c carry) bool { return c.to < 0 }
	if n.yard.Same && !slices.ContainsFunc(a, out) && !slices.ContainsFunc(b, out) {
		return false
	}
	return slices.ContainsFunc(a, func(x carry) bool {
		return slices.ContainsFunc(b, func(y carry) bool {
			return x.from == y.from || x.from == y.to || x.to >= 0 && (x.to == y.from || x.to == y.to)
		})
	})
}

const (
	mostInOrder = 64   // jobs whose order is looked for at once
	mostOrders  = 3000 // states kept of each number of jobs done
	manyJobs    = 24   // of more jobs fewer states are kept, so that it is soon done
	fewOrders   = 300
)

// shortest gives the same lifts in the order with the least way of the truck that is
// found. Lifts that touch one place stay in their order, so every stack goes through
// the same states and every rule that held holds. Where all is put back as it stood
// whole stacks change their order; else bins are set down nearer first. The order is
// exact while all states are kept.
// model.md (F11).
func (n *naming) shortest() Moves {
	n.out.Lifts = len(n.out.Moves)
	n.out.MetresFound, n.out.MetresBound = n.out.Metres, n.wayBound()
	if len(n.yard.At) == 0 || n.yard.Fixed || len(n.jobs) == 0 {
		return n.out
	}
	best := n
	if !n.yard.Same {
		best = n.nearer()
	}
	list := slices.Clone(best.jobs)
	for from := 0; from < len(list); from += mostInOrder / 2 {
		to := min(from+mostInOrder, len(list))
		part := list[from:to]
		var before, after *float64
		if from > 0 {
			_, end := n.ends(list[from-1])
			before = &end
		}
		if to < len(list) {
			begin, _ := n.ends(list[to])
			after = &begin
		}
		copy(part, n.ordered(part, before, after))
	}
	again := n.afresh()
	for _, j := range list {
		again.do(j)
	}
	if again.out.Metres < best.out.Metres-1e-9 && len(again.out.Works) == len(n.out.Works) {
		best = again
	}
	best.out.Lifts, best.out.MetresFound, best.out.MetresBound = n.out.Lifts, n.out.MetresFound, best.wayBound()
	return best.out
}

// afresh is the yard before the first lift.
func (n *naming) afresh() *naming {
	out := &naming{yard: n.yard, open: map[string]bool{}, stacks: make([][]string, len(n.stacks))}
	for i := range out.stacks {
		out.stacks[i] = slices.Clone(n.yard.startAt(i))
	}
	for _, bin := range n.yard.Want {
		out.open[bin] = true
	}
	out.still()
	return out
}

// ride is a lift by its bin, so that it is the same lift wherever the bin was set down
// before.
type ride struct {
	bin  string
	to   int
	work bool
}

// mostRides is how many changes of a list of lifts are tried, of each lift to so many
// places that are nearest to where its bin stands.
const (
	mostRides = 2000
	mostNear  = 12
)

// nearer sets bins down elsewhere, one at a time, where the lifts stay as many and keep
// to all rules and the way is shorter, until none is. model.md (F11).
func (n *naming) nearer() *naming {
	best := n
	rides := n.rides()
	tries := mostRides
	for again := true; again && tries > 0; {
		again = false
		for k := range rides {
			if rides[k].to < 0 {
				continue
			}
			for _, to := range n.near(best.jobs[k][0].from) {
				was := rides[k].to
				if to == was || tries <= 0 {
					continue
				}
				tries--
				rides[k].to = to
				if x := n.ridden(rides, best.out.Metres-1e-9); x != nil && len(x.out.Works) == len(n.out.Works) && len(x.out.Moves) == len(n.out.Moves) {
					best, again = x, true
				} else {
					rides[k].to = was
				}
			}
		}
	}
	return best
}

// near are the places nearest to one.
func (n *naming) near(from int) []int {
	out := make([]int, len(n.stacks))
	for i := range out {
		out[i] = i
	}
	slices.SortStableFunc(out, func(a, b int) int {
		return cmp.Compare(math.Abs(n.at(a)-n.at(from)), math.Abs(n.at(b)-n.at(from)))
	})
	return out[:min(len(out), mostNear)]
}

// rides are the jobs by their bins.
func (n *naming) rides() (out []ride) {
	x := n.afresh()
	for _, j := range n.jobs {
		for _, c := range j {
			s := x.stacks[c.from]
			out = append(out, ride{s[len(s)-1], c.to, c.work})
			x.carry(c)
			x.still()
		}
	}
	return out
}

// ridden carries rides out; nil where one is against the rules, the way is not below a
// limit, or bins stand at last where none may.
func (n *naming) ridden(rides []ride, limit float64) *naming {
	x, y := n.afresh(), n.yard
	for _, r := range rides {
		from := slices.IndexFunc(x.stacks, func(s []string) bool { return len(s) > 0 && s[len(s)-1] == r.bin })
		if from < 0 || len(x.stacks[from]) > y.topOf(r.bin) || r.work && !x.open[r.bin] || !r.work && r.to == from {
			return nil
		}
		if r.to >= 0 {
			below := x.stacks[r.to]
			if r.to == from {
				below = below[:len(below)-1]
			}
			if level := len(below); level >= y.most(r.to) || level >= y.topOf(r.bin) || level > 0 && slices.Contains(y.Wet, r.bin) && !slices.Contains(y.Wet, below[level-1]) {
				return nil
			}
		}
		x.do(job{carry{from, r.to, r.work}})
		if x.out.Metres >= limit {
			return nil
		}
	}
	for i := len(y.Stacks); y.Clear && i < len(x.stacks); i++ {
		if len(x.stacks[i]) > 0 {
			return nil
		}
	}
	return x
}

// ordered gives jobs in the order with the least empty way. before is where the truck
// stands, after where it must go next; nil where that is free.
func (n *naming) ordered(list []job, before, after *float64) []job {
	type state struct {
		done uint64
		last int
	}
	type reached struct {
		state
		way float64
		by  int // of the layer before
	}
	must := make([]uint64, len(list)) // what comes before each
	begin, end := make([]float64, len(list)), make([]float64, len(list))
	for i := range list {
		begin[i], end[i] = n.ends(list[i])
		for k := range i {
			if n.meet(list[k], list[i]) {
				must[i] |= 1 << k
			}
		}
	}
	most := mostOrders
	if len(list) > manyJobs {
		most = fewOrders
	}
	layers := [][]reached{{{state: state{last: -1}}}}
	for range list {
		at := map[state]int{}
		var next []reached
		for by, x := range layers[len(layers)-1] {
			for i := range list {
				if x.done>>i&1 == 1 || must[i]&^x.done != 0 {
					continue
				}
				way := x.way
				switch {
				case x.last >= 0:
					way += math.Abs(begin[i] - end[x.last])
				case before != nil:
					way += math.Abs(begin[i] - *before)
				}
				to := state{x.done | 1<<i, i}
				if k, ok := at[to]; !ok {
					at[to] = len(next)
					next = append(next, reached{to, way, by})
				} else if way < next[k].way-1e-9 {
					next[k].way, next[k].by = way, by
				}
			}
		}
		if len(next) > most {
			slices.SortStableFunc(next, func(a, b reached) int {
				return cmp.Or(cmp.Compare(a.way, b.way), cmp.Compare(bits.Reverse64(b.done), bits.Reverse64(a.done)))
			})
			next = next[:most]
		}
		layers = append(layers, next)
	}
	best, least := 0, math.Inf(1)
	for i, x := range layers[len(list)] {
		if way := x.way + leg(after, end[x.last]); way < least-1e-9 {
			best, least = i, way
		}
	}
	out := make([]job, len(list))
	for k := len(list); k > 0; k-- {
		x := layers[k][best]
		out[k-1], best = list[x.last], x.by
	}
	return out
}

func leg(to *float64, from float64) float64 {
	if to == nil {
		return 0
	}
	return math.Abs(*to - from)
}

// wayBound is the least way in any order of the jobs: the way with a bin on the forks
// and within each job, and across each part of the aisle as many empty ways back as
// loads go one way more than the other, less one, as the truck may end elsewhere; one
// where nothing crosses and there is work on both sides. model.md (F11).
func (n *naming) wayBound() (sum float64) {
	var marks []float64
	var spans [][2]float64
	for _, j := range n.jobs {
		begin, end := n.ends(j)
		spans = append(spans, [2]float64{begin, end})
		marks = append(marks, begin, end)
		at := begin
		for _, c := range j {
			sum += math.Abs(n.at(c.from) - at)
			if at = n.at(c.from); c.to >= 0 {
				sum += math.Abs(n.at(c.to) - at)
				at = n.at(c.to)
			}
		}
	}
	slices.Sort(marks)
	marks = slices.Compact(marks)
	for i := 1; i < len(marks); i++ {
		up, down := 0, 0
		for _, s := range spans {
			switch {
			case s[0] < marks[i] && s[1] >= marks[i]:
				up++
			case s[1] < marks[i] && s[0] >= marks[i]:
				down++
			}
		}
		empty := max(0, max(up, down)-min(up, down)-1)
		if up+down == 0 {
			empty = 1
		}
		sum += float64(empty) * (marks[i] - marks[i-1])
	}
	return sum
}
