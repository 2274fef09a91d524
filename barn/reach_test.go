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
	begin := standing(y)
	most := make([]int, len(begin))
	for i := range begin {
		switch {
		case len(y.High) > 0:
			most[i] = y.High[i]
		case y.Most > 0:
			most[i] = y.Most
		default:
			for _, s := range begin {
				most[i] = max(most[i], len(s)+1)
			}
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
			stacks := unpack(at.stacks)
			if at.done == 1<<len(y.Want)-1 && inTheEnd(y, begin, stacks) {
				return lifts
			}
			for i, from := range stacks {
				if len(from) == 0 {
					continue
				}
				bin := from[len(from)-1]
				top, limited := y.Top[bin]
				out := !y.Back || slices.Contains(y.Out, bin)
				k := slices.Index(y.Want, bin)
				ready := k >= 0 && at.done>>k&1 == 0 && (!y.Fixed || at.done == 1<<k-1)
				put := func(j, cost, done int) {
					next := make([][]string, len(stacks))
					for m := range stacks {
						next[m] = slices.Clone(stacks[m])
					}
					next[i] = next[i][:len(next[i])-1]
					if j >= 0 {
						if n := len(next[j]); n >= most[j] || limited && n >= top || slices.Contains(y.Wet, bin) && n > 0 && !slices.Contains(y.Wet, next[j][n-1]) {
							return
						}
						next[j] = append(next[j], bin)
					}
					levels[lifts+cost] = append(levels[lifts+cost], state{pack(next), done, lifts + cost})
				}
				nears := func() bool { // a near driver leaves stacks alone that do not hold the next bin
					if at.done == 1<<len(y.Want)-1 { // and frees the floor at last
						return true
					}
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
				if ready && !out && len(from) <= y.Reach {
					levels[lifts] = append(levels[lifts], state{at.stacks, at.done | 1<<k, lifts})
				}
				if limited && len(from) > top {
					continue
				}
				for j := range stacks {
					if j != i && (!y.Near || nears()) {
						put(j, 1, at.done)
					}
					if ready && !out && !y.Same {
						put(j, 2, at.done|1<<k)
					}
				}
				if ready && out {
					put(-1, 1, at.done|1<<k)
				}
			}
		}
		if len(levels[lifts+1]) == 0 && len(levels[lifts+2]) == 0 {
			return -1
		}
	}
	return -1
}

// standing is what stands on each stack and each place on the floor.
func standing(y barn.Yard) [][]string {
	out := slices.Concat(y.Stacks, y.Floor)
	for len(out) < len(y.Stacks)+y.Spots {
		out = append(out, nil)
	}
	return out
}

// inTheEnd says whether a yard may be left as it is once all were reached.
func inTheEnd(y barn.Yard, begin, stacks [][]string) bool {
	for i, s := range stacks {
		want := begin[i]
		if y.Same {
			want = slices.DeleteFunc(slices.Clone(want), func(b string) bool { return slices.Contains(y.Out, b) })
		}
		if y.Clear && i >= len(y.Stacks) && len(s) > 0 || y.Same && !slices.Equal(s, want) {
			return false
		}
	}
	return true
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
				if n := len(s); n > 0 && n <= y.Reach && want(s[n-1]) && !slices.Contains(y.Out, s[n-1]) && (!y.Fixed || y.Want[len(reached)] == s[n-1]) {
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
			if top, limited := y.Top[l.Bin]; limited && len(s) > top {
				t.Fatalf("lift %d takes %s from level %d, and the truck lifts it to %d", i, l.Bin, len(s), top)
			}
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
			if top, limited := y.Top[l.Bin]; limited && len(s) >= top {
				t.Fatalf("lift %d sets %s down at level %d, and the truck lifts it to %d", i, l.Bin, len(s)+1, top)
			}
			if n := len(s); n > 0 && slices.Contains(y.Wet, l.Bin) && !slices.Contains(y.Wet, s[n-1]) && !stoodSo(y, l.Bin, s[n-1]) {
				t.Fatalf("lift %d sets %s, which is wet, on %s, which is not", i, l.Bin, s[n-1])
			}
			places[l.To] = append(s, l.Bin)
		}
		still()
	}
	if len(m.Moves) != m.Lifts || held != "" {
		t.Fatalf("%d moves, %d lifts, %q down", len(m.Moves), m.Lifts, held)
	}
	var works []string
	for _, w := range m.Works {
		works = append(works, w.Bin)
	}
	if slices.Sort(works); !slices.Equal(works, slices.Sorted(slices.Values(y.Want))) {
		t.Fatalf("worked on %v, wanted %v", works, y.Want)
	}
	var begin, end [][]string
	for i, s := range y.Stacks {
		begin, end = append(begin, s), append(end, places[fmt.Sprint(i+1)])
	}
	for i := range y.Spots {
		begin, end = append(begin, nil), append(end, places[fmt.Sprintf("spot %d", i+1)])
	}
	if !inTheEnd(y, begin, end) {
		t.Fatalf("in the end %v stand", end)
	}
	ok := len(reached) == len(y.Want)
	if y.Fixed {
		ok = slices.Equal(reached, y.Want)
	}
	if !ok {
		t.Fatalf("reached %v of %v", reached, y.Want)
	}
}

// stoodSo says that a bin stood on another from the beginning, where it is put back.
func stoodSo(y barn.Yard, bin, on string) bool {
	return y.Same && slices.ContainsFunc(y.Stacks, func(s []string) bool {
		i := slices.Index(s, bin)
		return i > 0 && (s[i-1] == on || slices.Contains(y.Out, s[i-1]))
	})
}

// With places on the floor that are to be free in the end, bins taken out among
// others put back, wet bins low and a truck that lifts some bins less high, the list
// is as short as by looking at every yard there is.
func TestFewestLiftsUnderRules(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 5))
	none, plate := 0, 0
	for n := range 400 {
		y := drawn(r, 2, 3, 1+r.IntN(3))
		y.Back, y.Clear, y.Spots, y.Reach = true, true, 1, n%4
		all := slices.Concat(y.Stacks...)
		if len(all) > 5 {
			y.Spots, y.Most = 1, 4
		}
		for _, bin := range all {
			switch r.IntN(5) {
			case 0:
				y.Wet = append(y.Wet, bin)
			case 1:
				if y.Top == nil {
					y.Top = map[string]int{}
				}
				y.Top[bin] = r.IntN(4)
			}
		}
		if n%3 == 0 {
			y.Out = y.Want[:1]
		}
		for i := range len(y.Stacks) + y.Spots { // its lifts are set down nearer too
			y.At = append(y.At, float64((7*i+3*n)%5))
		}
		want := breadth(y)
		m, err := barn.PlanLifts(context.Background(), y)
		if want < 0 {
			none++
			var r *figure.Refusal
			if !errors.As(err, &r) {
				t.Errorf("%+v: no way by looking at all, and %+v (%v)", y, m, err)
			} else if strings.Contains(r.Error(), "plate") {
				plate++
			}
			continue
		}
		if err != nil {
			t.Errorf("%+v: %v, and %d lifts do", y, err, want)
			continue
		}
		if m.Lifts != want || !m.Proved {
			t.Errorf("%+v: %d lifts (at least %d, proved %v), and %d do: %+v", y, m.Lifts, m.Bound, m.Proved, want, m.Moves)
		}
		replay(t, y, m)
	}
	if none > 200 || plate == 0 {
		t.Errorf("%d of the yards drawn have no way, %d for the plate: the test says little", none, plate)
	}
}

// Put back as it stood, no list has fewer lifts either.
func TestFewestLiftsPutBackAsTheyStood(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 8))
	refused := 0
	for n := range 60 {
		y := drawn(r, 2, 3, 1+r.IntN(3))
		y.Back, y.Clear, y.Same, y.Spots, y.Reach = true, true, true, 1, 1+n%3
		if n%3 == 0 {
			y.Out = y.Want[:1]
		}
		want := breadth(y)
		m, err := barn.PlanLifts(context.Background(), y)
		if err != nil {
			refused++
			if want >= 0 {
				t.Errorf("%+v: %v, and %d lifts do", y, err, want)
			}
			continue
		}
		if m.Lifts != want || !m.Proved {
			t.Errorf("%+v: %d lifts (at least %d, proved %v), and %d do: %+v", y, m.Lifts, m.Bound, m.Proved, want, m.Moves)
		}
		replay(t, y, m)
	}
	if refused > 20 {
		t.Errorf("%d of the yards drawn were refused: the test says little", refused)
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
		for i := range len(y.Stacks) + y.Spots { // its lifts are set down nearer too
			y.At = append(y.At, float64((7*i+3*n)%5))
		}
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

// A bin on the floor of the aisle that stands under another is reached too where all
// is put back as it stands. By hand: F2 goes down and comes back.
func TestPutBackOnTheFloorToo(t *testing.T) {
	y := barn.Yard{Stacks: [][]string{{"A"}, {"B"}}, Most: 3, Spots: 1, Floor: [][]string{{"F1", "F2"}}, Want: []string{"F1"}, Back: true, Same: true, Clear: true, Reach: 2}
	m, err := barn.PlanLifts(context.Background(), y)
	if err != nil || m.Lifts != 2 || !m.Proved || len(m.Works) != 1 || m.Works[0].Bin != "F1" {
		t.Errorf("%+v %v", m, err)
	}
}

// What is counted of a yard goes as far as the best list there is, by hand, so that no
// state is looked at: a bin on one that is wanted is lifted once whenever it is wanted
// itself, and a place within reach is taken by each that is worked on there.
func TestWhatIsCountedByHand(t *testing.T) {
	for _, c := range []struct {
		stacks, want string
		fixed        bool
		most, lifts  int
	}{
		{"A B|C", "B A", true, 3, 1},     // B is worked on, and lifted for A
		{"A B|C", "A B", true, 3, 1},     // B is lifted for A, and worked on where it is set down
		{"A B|C", "A B", false, 3, 1},    // in any order too
		{"A B C|D", "C B A", true, 4, 2}, // C goes on D, within reach, and B on it once it was reached
		{"A B C|D E", "C A", true, 4, 3}, // no place within reach is free: C goes down and up again
	} {
		y := barn.Yard{Most: c.most, Back: true, Reach: 2, Fixed: c.fixed, Want: strings.Fields(c.want)}
		for _, s := range strings.Split(c.stacks, "|") {
			y.Stacks = append(y.Stacks, strings.Fields(s))
		}
		if n := breadth(y); n != c.lifts {
			t.Errorf("%s for %s: by hand %d lifts, by looking at every yard %d", c.stacks, c.want, c.lifts, n)
		}
		if m, err := barn.PlanLifts(context.Background(), y); err != nil || m.Lifts != c.lifts || !m.Proved || m.Looked > 0 {
			t.Errorf("%s for %s: %d lifts and not %d, at least %d, %d states (%v)", c.stacks, c.want, m.Lifts, c.lifts, m.Bound, m.Looked, err)
		}
	}
}

// Six stacks of three to five bins with room for six, eight wanted in a fixed order and
// put back: every one is proved, of which 14 of 20 were before bins that stay were
// counted so.
func TestYardsInAFixedOrderAreProved(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	for range 10 {
		y := barn.Yard{Most: 6, Back: true, Fixed: true, Reach: 2}
		n := 0
		for range 6 {
			var s []string
			for range 3 + r.IntN(3) {
				n++
				s = append(s, fmt.Sprint(n))
			}
			y.Stacks = append(y.Stacks, s)
		}
		for _, k := range r.Perm(n)[:8] {
			y.Want = append(y.Want, fmt.Sprint(k+1))
		}
		m, err := barn.PlanLifts(context.Background(), y)
		if err != nil || !m.Proved {
			t.Errorf("%+v: %d lifts, at least %d, %d states: %v", y, m.Lifts, m.Bound, m.Looked, err)
			continue
		}
		replay(t, y, m)
	}
}

func TestYardsThatCannotBe(t *testing.T) {
	for want, y := range map[string]barn.Yard{
		"a hole at level 2":        {Stacks: [][]string{{"A", "", "B"}}, Want: []string{"A"}},
		"asked for twice":          {Stacks: [][]string{{"A"}}, Want: []string{"A", "A"}},
		"stands in no stack":       {Stacks: [][]string{{"A"}}, Want: []string{"Z"}},
		"and in stack 2":           {Stacks: [][]string{{"A"}, {"A"}}, Want: []string{"A"}},
		"are allowed":              {Stacks: [][]string{{"A", "B", "C"}}, Most: 2, Want: []string{"A"}},
		"no room to set down":      {Stacks: [][]string{{"A", "B"}, {"C", "D"}}, Most: 2, Want: []string{"A"}},
		"Stack 1 is 10 bins high":  {Stacks: [][]string{strings.Fields("A B C D E F G H I J")}, Want: []string{"A"}},
		"C stands on A at level 3": {Stacks: [][]string{{"A", "B", "C"}}, Want: []string{"A"}, Back: true, Reach: 3, Spots: 1, Top: map[string]int{"C": 2}},
		"A is heavier than":        {Stacks: [][]string{{"A"}}, Want: []string{"A"}, Top: map[string]int{"A": 0}},
		"wet bin stands on":        {Stacks: [][]string{{"A", "W"}, {"C"}}, Want: []string{"A"}, Back: true, Reach: 3, Wet: []string{"W"}},
		"Stacks of 14 bins":        {Stacks: [][]string{{"A"}}, Most: 14, Want: []string{"A"}},
		"cannot be planned in":     {Stacks: make([][]string, 1001)},
		"not in a fixed order":     {Stacks: [][]string{{"A", "B"}, {"C", "D"}}, Want: []string{"C", "A"}, Back: true, Same: true, Fixed: true, Spots: 1, Reach: 1},
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

// aisle is full stacks on both sides of an aisle, and a place on its floor.
func aisle(stacks, high int) barn.Yard {
	y := barn.Yard{Most: high, Spots: 1, Back: true, Clear: true, Reach: high}
	for i := range stacks {
		var s []string
		for l := range high {
			s = append(s, fmt.Sprintf("%d-%d", i+1, l+1))
		}
		y.Stacks, y.At = append(y.Stacks, s), append(y.At, float64(i/2)*1.4)
	}
	y.At = append(y.At, 0)
	return y
}

// In a full aisle the two bins on each low one may go on to the stack that was
// reached last: two lifts for each, and two more in the end, against four each when
// all goes back where it stood. By hand: 8 low bins, 2*8 + 2 and 4*8.
func TestAFullAisleIsReachedFromStackToStack(t *testing.T) {
	y := aisle(20, 3)
	for i := 1; i < 20; i += 2 {
		if len(y.Want) < 8 {
			y.Want = append(y.Want, fmt.Sprintf("%d-1", i))
		}
	}
	m, err := barn.PlanLifts(context.Background(), y)
	if err != nil || m.Lifts != 18 || !m.Proved {
		t.Fatalf("%d lifts, at least %d: %v", m.Lifts, m.Bound, err)
	}
	replay(t, y, m)
	free := m.Metres
	y.Same = true
	if m, err = barn.PlanLifts(context.Background(), y); err != nil || m.Lifts != 32 || !m.Proved {
		t.Fatalf("as they stood: %d lifts, at least %d: %v", m.Lifts, m.Bound, err)
	}
	replay(t, y, m)
	if free <= 0 || m.Metres <= 0 {
		t.Errorf("the truck goes %.1f m and %.1f m", free, m.Metres)
	}
}

// A busy day in a full aisle: rules are kept, and the bound is near.
func TestABusyAisle(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	for n := range 12 {
		y := aisle(20, 3)
		y.Effort = 20_000
		all := slices.Concat(y.Stacks...)
		for _, k := range r.Perm(len(all))[:4+2*n] {
			y.Want = append(y.Want, all[k])
		}
		y.Out = y.Want[:n%3]
		for _, k := range r.Perm(len(all))[:6] {
			y.Wet = append(y.Wet, all[k])
		}
		m, err := barn.PlanLifts(context.Background(), y)
		if err != nil {
			t.Fatal(err)
		}
		replay(t, y, m)
		if m.Bound > m.Lifts || m.Lifts > m.Bound+3+m.Bound/3 {
			t.Errorf("%d wanted: %d lifts, at least %d", len(y.Want), m.Lifts, m.Bound)
		}
		t.Logf("%d wanted: %d lifts, at least %d, %d states, %.0f m, found %.0f m, at least %.0f m", len(y.Want), m.Lifts, m.Bound, m.Looked, m.Metres, m.MetresFound, m.MetresBound)
	}
}
