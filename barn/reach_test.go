package barn_test

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"wormyard/barn"
	"wormyard/figure"
)

// breadth is the fewest lifts by looking at every yard there is, bins by name,
// with a walk of its own that knows nothing of labels, bounds or likeness. It
// gives -1 where there is no way.
func breadth(y barn.Yard) int {
	type state struct {
		stacks string // "a b|c|"
		done   int    // bits of Want
		lifts  int
	}
	pack := func(s [][]string) string {
		var b []string
		for _, x := range s {
			b = append(b, strings.Join(x, " "))
		}
		return strings.Join(b, "|")
	}
	unpack := func(s string) (out [][]string) {
		for _, x := range strings.Split(s, "|") {
			out = append(out, strings.Fields(x))
		}
		return out
	}
	begin := slices.Clone(y.Stacks)
	for range y.Spots {
		begin = append(begin, nil)
	}
	most := y.Most
	if most == 0 {
		for _, s := range begin {
			most = max(most, len(s)+1)
		}
	}
	levels := map[int][]state{0: {{pack(begin), 0, 0}}}
	seen := map[string]bool{}
	for lifts := 0; lifts < 40; lifts++ {
		for n := 0; n < len(levels[lifts]); n++ {
			at := levels[lifts][n]
			key := fmt.Sprint(at.stacks, at.done)
			if seen[key] {
				continue
			}
			seen[key] = true
			if at.done == 1<<len(y.Want)-1 {
				return lifts
			}
			stacks := unpack(at.stacks)
			for i, from := range stacks {
				if len(from) == 0 {
					continue
				}
				bin := from[len(from)-1]
				k := slices.Index(y.Want, bin)
				ready := k >= 0 && at.done>>k&1 == 0 && (!y.Fixed || at.done == 1<<k-1)
				put := func(j, cost, done int) {
					next := make([][]string, len(stacks))
					for m := range stacks {
						next[m] = slices.Clone(stacks[m])
					}
					next[i] = next[i][:len(next[i])-1]
					if j >= 0 {
						if len(next[j]) >= most {
							return
						}
						next[j] = append(next[j], bin)
					}
					levels[lifts+cost] = append(levels[lifts+cost], state{pack(next), done, lifts + cost})
				}
				nears := func() bool { // a near driver leaves stacks alone that do not hold the next bin
					for m, w := range y.Want {
						if at.done>>m&1 == 0 && slices.Contains(from, w) {
							return true
						}
						if y.Fixed && at.done>>m&1 == 0 {
							return false
						}
					}
					return false
				}
				for j := range stacks {
					if j != i && (!y.Near || nears()) {
						put(j, 1, at.done)
					}
					if ready && y.Back {
						put(j, 2, at.done|1<<k)
					}
				}
				if ready && !y.Back {
					put(-1, 1, at.done|1<<k)
				}
				if ready && y.Back && len(from) <= y.Reach {
					put(i, 0, at.done|1<<k)
				}
			}
		}
		if len(levels[lifts+1]) == 0 && len(levels[lifts+2]) == 0 {
			return -1
		}
	}
	return -1
}

// drawn is a yard by chance: as the test draws it, small enough for breadth.
func drawn(r *rand.Rand, stacks, high, want int) barn.Yard {
	y := barn.Yard{Most: high, Spots: r.IntN(2)}
	n := 0
	for range stacks {
		var s []string
		for range 1 + r.IntN(high) {
			n++
			s = append(s, fmt.Sprintf("B%d", n))
		}
		y.Stacks = append(y.Stacks, s)
	}
	for _, k := range r.Perm(n)[:min(n, want)] {
		y.Want = append(y.Want, fmt.Sprintf("B%d", k+1))
	}
	return y
}

// replay carries a list of lifts out with the yard's own rules and fails where
// one breaks them or somebody is not reached.
func replay(t *testing.T, y barn.Yard, m barn.Moves) {
	t.Helper()
	places := map[string][]string{}
	for i, s := range y.Stacks {
		places[fmt.Sprint(i+1)] = slices.Clone(s)
	}
	for i := range y.Spots {
		places[fmt.Sprintf("spot %d", i+1)] = nil
	}
	var reached []string
	want := func(bin string) bool { return slices.Contains(y.Want, bin) && !slices.Contains(reached, bin) }
	still := func() {
		for again := true; again && y.Back; {
			again = false
			for _, s := range places {
				if n := len(s); n > 0 && n <= y.Reach && want(s[n-1]) && (!y.Fixed || y.Want[len(reached)] == s[n-1]) {
					reached = append(reached, s[n-1])
					again = true
				}
			}
		}
	}
	still()
	held := ""
	for i, l := range m.Moves {
		if l.From == barn.AtWork {
			if held != l.Bin {
				t.Fatalf("lift %d puts back %s, and %q is down", i, l.Bin, held)
			}
			held = ""
		} else {
			s := places[l.From]
			if held != "" || len(s) == 0 || s[len(s)-1] != l.Bin {
				t.Fatalf("lift %d takes %s from %s, where %v stand (%q down)", i, l.Bin, l.From, s, held)
			}
			places[l.From] = s[:len(s)-1]
		}
		switch l.To {
		case barn.AtWork:
			held = l.Bin
			reached = append(reached, l.Bin)
		case barn.Out:
			reached = append(reached, l.Bin)
		default:
			s, ok := places[l.To]
			if !ok || len(s) >= y.Most {
				t.Fatalf("lift %d sets %s down on %s, where %v stand", i, l.Bin, l.To, s)
			}
			places[l.To] = append(s, l.Bin)
		}
		still()
	}
	if len(m.Moves) != m.Lifts || held != "" {
		t.Fatalf("%d moves, %d lifts, %q down", len(m.Moves), m.Lifts, held)
	}
	ok := len(reached) == len(y.Want)
	if y.Fixed {
		ok = slices.Equal(reached, y.Want)
	}
	if !ok {
		t.Fatalf("reached %v of %v", reached, y.Want)
	}
}

// On small yards the list is held against looking at every yard there is: as few
// lifts, for bins taken out and put back, in a fixed order and in any, with and
// without reach.
func TestFewestLiftsOnSmallYards(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	none := 0
	for n := range 200 {
		y := drawn(r, 2+r.IntN(2), 3, 1+r.IntN(3))
		y.Fixed, y.Back, y.Reach = n%2 == 0, n/2%2 == 0, n/4%3
		want := breadth(y)
		m, err := barn.PlanLifts(context.Background(), y)
		if want < 0 {
			none++
			var r *figure.Refusal
			if !errors.As(err, &r) {
				t.Errorf("%+v: no way by looking at all, and %+v (%v)", y, m, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%+v: %v, and %d lifts do", y, err, want)
			continue
		}
		if m.Lifts != want || !m.Proved || m.Bound != want {
			t.Errorf("%+v: %d lifts (at least %d, proved %v), and %d do", y, m.Lifts, m.Bound, m.Proved, want)
		}
		replay(t, y, m)
	}
	if none > 100 {
		t.Errorf("%d of the yards drawn have no way: the test says little", none)
	}
}

// Every yard of six bins in two stacks and in three, all taken out in a fixed
// order, is held against looking at every yard there is, for a driver who moves
// only what stands on the next bin (the restricted problem of the harbours) and
// for a free one.
func TestEveryYardOfSixBins(t *testing.T) {
	for _, size := range []struct{ high, stacks, most int }{{3, 2, 5}, {2, 3, 3}} {
		yards, sooner := 0, 0
		for y := range everyYard(size.high, size.stacks) {
			y.Most = size.most
			lifts := map[bool]int{}
			for _, near := range []bool{true, false} {
				y.Near = near
				m, err := barn.PlanLifts(context.Background(), y)
				if err != nil {
					t.Fatalf("%+v: %v", y, err)
				}
				if want := breadth(y); m.Lifts != want || !m.Proved {
					t.Fatalf("%+v: %d lifts (proved %v), and %d do", y, m.Lifts, m.Proved, want)
				}
				replay(t, y, m)
				lifts[near] = m.Lifts
			}
			yards++
			if lifts[false] < lifts[true] {
				sooner++
			}
		}
		if yards < 100 {
			t.Errorf("%d yards only", yards)
		}
		t.Logf("%d yards, %d stacks of %d: a free driver needs fewer lifts in %d", yards, size.stacks, size.high, sooner)
	}
}

// everyYard gives the ways to set bins 1 to n in stacks of one height, stacks in
// another order being the same.
func everyYard(high, stacks int) iter.Seq[barn.Yard] {
	return func(yield func(barn.Yard) bool) {
		n := high * stacks
		var place func(order []int) bool
		place = func(order []int) bool {
			if i := len(order); i == n {
				y := barn.Yard{Fixed: true}
				for k := 0; k < n; k += high {
					var s []string
					for _, bin := range order[k : k+high] {
						s = append(s, fmt.Sprint(bin))
					}
					y.Stacks = append(y.Stacks, s)
				}
				for bin := range n {
					y.Want = append(y.Want, fmt.Sprint(bin+1))
				}
				return yield(y)
			}
			for bin := 1; bin <= n; bin++ {
				if i := len(order); slices.Contains(order, bin) || i%high == 0 && i > 0 && bin < order[i-high] {
					continue
				}
				if !place(append(order, bin)) {
					return false
				}
			}
			return true
		}
		place(nil)
	}
}

// On larger yards drawn by chance a free driver never needs more lifts than one
// who moves only what stands on the next bin, and fewer on some.
func TestFreeDriversNeedNoMoreLifts(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	fewer := 0
	for range 30 {
		y := caserta(r, 4, 4)
		y.Effort = 3_000_000
		free, err := barn.PlanLifts(context.Background(), y)
		if err != nil || !free.Proved {
			t.Fatalf("%+v: %+v %v", y, free, err)
		}
		y.Near = true
		near, err := barn.PlanLifts(context.Background(), y)
		if err != nil || !near.Proved {
			t.Fatalf("%+v: %+v %v", y, near, err)
		}
		replay(t, y, free)
		if free.Lifts > near.Lifts {
			t.Errorf("%+v: free %d lifts, near %d", y, free.Lifts, near.Lifts)
		}
		if free.Lifts < near.Lifts {
			fewer++
		}
	}
	if fewer == 0 {
		t.Error("a free driver gained nothing on any yard")
	}
	t.Logf("fewer lifts on %d of 30", fewer)
}

// caserta is a yard after the description of Caserta, Voss and Sniedovich:
// stacks all of one height, one bin of each priority, two more levels allowed.
func caserta(r *rand.Rand, high, stacks int) barn.Yard {
	y := barn.Yard{Most: high + 2, Fixed: true}
	order := r.Perm(high * stacks)
	for i := range stacks {
		var s []string
		for k := range high {
			s = append(s, fmt.Sprint(order[i*high+k]+1))
		}
		y.Stacks = append(y.Stacks, s)
	}
	for i := range order {
		y.Want = append(y.Want, fmt.Sprint(i+1))
	}
	return y
}

// A farm of 240 bins three high: every list keeps the rules, and the bound is
// below it.
func TestLargeYards(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for _, fixed := range []bool{false, true} {
		y := barn.Yard{Most: 4, Spots: 2, Back: true, Fixed: fixed}
		for i := range 80 {
			y.Stacks = append(y.Stacks, []string{fmt.Sprintf("A%d", i), fmt.Sprintf("B%d", i), fmt.Sprintf("C%d", i)})
		}
		for _, k := range r.Perm(240)[:24] {
			y.Want = append(y.Want, y.Stacks[k/3][k%3])
		}
		m, err := barn.PlanLifts(context.Background(), y)
		if err != nil {
			t.Fatal(err)
		}
		replay(t, y, m)
		if m.Bound > m.Lifts || m.Lifts > m.Bound+m.Bound/4 {
			t.Errorf("fixed %v: %d lifts, at least %d", fixed, m.Lifts, m.Bound)
		}
		t.Logf("fixed %v: %d lifts, at least %d, %d states", fixed, m.Lifts, m.Bound, m.Looked)
	}
}

func TestYardsThatCannotBe(t *testing.T) {
	for want, y := range map[string]barn.Yard{
		"a hole at level 2":    {Stacks: [][]string{{"A", "", "B"}}, Want: []string{"A"}},
		"asked for twice":      {Stacks: [][]string{{"A"}}, Want: []string{"A", "A"}},
		"stands in no stack":   {Stacks: [][]string{{"A"}}, Want: []string{"Z"}},
		"and in stack 2":       {Stacks: [][]string{{"A"}, {"A"}}, Want: []string{"A"}},
		"are allowed":          {Stacks: [][]string{{"A", "B", "C"}}, Most: 2, Want: []string{"A"}},
		"no room to set down":  {Stacks: [][]string{{"A", "B"}, {"C", "D"}}, Most: 2, Want: []string{"A"}},
		"Stacks of 14 bins":    {Stacks: [][]string{{"A"}}, Most: 14, Want: []string{"A"}},
		"cannot be planned in": {Stacks: make([][]string, 1001)},
	} {
		_, err := barn.PlanLifts(context.Background(), y)
		var r *figure.Refusal
		if !errors.As(err, &r) || !strings.Contains(r.Error(), want) {
			t.Errorf("want %q, got %v", want, err)
		}
	}
	if m, err := barn.PlanLifts(context.Background(), barn.Yard{Stacks: [][]string{{"A"}}}); err != nil || m.Lifts != 0 || !m.Proved {
		t.Errorf("nothing wanted: %+v %v", m, err)
	}
}
