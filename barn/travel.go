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
	begin, end = n.at(j[0].from), n.at(j[0].from)
	if c := j[len(j)-1]; c.to >= 0 {
		end = n.at(c.to)
	} else {
		end = n.at(c.from)
	}
	return begin, end
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
)

// shortest gives the same lifts in the order with the least way of the truck that is
// found. Lifts that touch one place stay in their order, so every stack goes through
// the same states and every rule that held holds. Where all is put back as it stood
// whole stacks change their order. Exact while all states are kept.
// model.md (F11).
func (n *naming) shortest() Moves {
	n.out.Lifts = len(n.out.Moves)
	n.out.MetresFound, n.out.MetresBound = n.out.Metres, n.wayBound()
	if len(n.yard.At) == 0 || n.yard.Fixed || len(n.jobs) < 2 {
		return n.out
	}
	list := slices.Clone(n.jobs)
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
	again := n.yard.naming()
	again.still()
	for _, j := range list {
		for _, c := range j {
			again.carry(c)
			again.still()
		}
	}
	if again.out.Metres >= n.out.Metres-1e-9 || len(again.out.Works) != len(n.out.Works) {
		return n.out
	}
	out := again.out
	out.Lifts, out.MetresFound, out.MetresBound = n.out.Lifts, n.out.MetresFound, n.out.MetresBound
	return out
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
		if len(next) > mostOrders {
			slices.SortStableFunc(next, func(a, b reached) int {
				return cmp.Or(cmp.Compare(a.way, b.way), cmp.Compare(bits.Reverse64(b.done), bits.Reverse64(a.done)))
			})
			next = next[:mostOrders]
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
