package bench

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"

	"wormyard/barn"
	"wormyard/internal/demo"
	"wormyard/journal"
)

// TestLifts plans lifts on yards and tells, in one run, how many the bound, the
// plan and a driver who plans nothing need, on how many yards the plan is proved,
// and the processor time of a plan. Yards: the feeding of a morning of the demo
// farm, farms of 240 bins, six stacks of up to five with room for six, and the
// random yards of the literature from which all is taken out.
func TestLifts(t *testing.T) {
	if os.Getenv("WORMYARD_BENCH") == "" {
		t.Skip("set WORMYARD_BENCH=1 to measure")
	}
	tell := func(what string, yards []barn.Yard) {
		var plan, bound, plain, proved, soon int
		var all, worst time.Duration
		for _, y := range yards {
			began := processor()
			m, err := barn.PlanLifts(context.Background(), y)
			took := processor() - began
			if err != nil {
				t.Fatalf("%s: %v", what, err)
			}
			plan += m.Lifts
			bound += m.Bound
			if m.Proved {
				proved++
				if took < time.Second {
					soon++
				}
			}
			all += took
			worst = max(worst, took)
			n, ok := topFirst(y)
			if !ok || n < m.Lifts {
				t.Errorf("%s: a driver who plans nothing: %d lifts (%v), the plan %d", what, n, ok, m.Lifts)
			}
			plain += n
		}
		n := len(yards)
		t.Logf("%-44s %3d yards: bound %6.1f, plan %6.1f, top first %6.1f (%.2f times); proved %d, within 1 s %d; %8.2f ms, worst %8.1f ms", what, n,
			float64(bound)/float64(n), float64(plan)/float64(n), float64(plain)/float64(n), float64(plain)/float64(plan), proved, soon, all.Seconds()*1e3/float64(n), worst.Seconds()*1e3)
	}
	for _, reach := range []int{0, 2} {
		tell(fmt.Sprintf("demo farm, what one day fed, reach %d", reach), fedYards(t, reach))
	}
	r := rand.New(rand.NewPCG(7, 7))
	for _, c := range []struct {
		want         int
		fixed, back  bool
		reach, yards int
	}{{24, false, true, 0, 10}, {24, false, true, 2, 10}, {80, false, true, 2, 10}, {24, true, true, 0, 10}, {80, false, false, 0, 10}, {240, true, false, 0, 3}} {
		var yards []barn.Yard
		for range c.yards {
			y := stacked(r, 80, 3, 3, 4, c.want)
			y.Spots, y.Fixed, y.Back, y.Reach = 2, c.fixed, c.back, c.reach
			yards = append(yards, y)
		}
		tell(fmt.Sprintf("240 bins, %d wanted, %s, reach %d", c.want, inWords(c.fixed, c.back), c.reach), yards)
	}
	for _, c := range []struct {
		want        int
		fixed, back bool
		reach       int
	}{{8, false, true, 0}, {8, false, true, 2}, {14, false, true, 0}, {14, false, true, 2}, {8, true, true, 0}, {8, true, false, 0}, {14, true, false, 0}, {8, true, true, 2}} {
		var yards []barn.Yard
		for range 20 {
			y := stacked(r, 6, 3, 5, 6, c.want)
			y.Fixed, y.Back, y.Reach = c.fixed, c.back, c.reach
			yards = append(yards, y)
		}
		tell(fmt.Sprintf("6 x 6, %d wanted, %s, reach %d", c.want, inWords(c.fixed, c.back), c.reach), yards)
	}
	for _, n := range []int{4, 5, 6} {
		for _, near := range []bool{true, false} {
			var yards []barn.Yard
			for range 10 {
				y := stacked(r, n, n, n, n+2, n*n)
				y.Fixed, y.Near = true, near
				yards = append(yards, y)
			}
			who := "a free driver"
			if near {
				who = "a near driver"
			}
			tell(fmt.Sprintf("%d stacks of %d, all out in order, %s", n, n, who), yards)
		}
	}
}

func inWords(fixed, back bool) string {
	order, leave := "any order", "out"
	if fixed {
		order = "fixed order"
	}
	if back {
		leave = "put back"
	}
	return order + ", " + leave
}

// stacked is a yard by chance: stacks of low to high bins, so many of them wanted.
func stacked(r *rand.Rand, stacks, low, high, most, want int) barn.Yard {
	y := barn.Yard{Most: most}
	var all []string
	for range stacks {
		var s []string
		for range low + r.IntN(high-low+1) {
			s = append(s, fmt.Sprintf("B%d", len(all)+1))
			all = append(all, s[len(s)-1])
		}
		y.Stacks = append(y.Stacks, s)
	}
	for _, k := range r.Perm(len(all))[:min(want, len(all))] {
		y.Want = append(y.Want, all[k])
	}
	return y
}

// fedYards are the barns of the demo farm as they stand, and the bins that were
// fed on the day of the last four weeks with the most fed.
func fedYards(t *testing.T, reach int) []barn.Yard {
	t.Helper()
	a, store, err := demo.Open(context.Background(), demo.Path(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	state := a.State()
	zone := state.Zone()
	fed := map[string][]string{} // of a day
	from, last := demo.Now().AddDate(0, 0, -28).Format(time.DateOnly), ""
	for _, e := range state.Journal() {
		if b, ok := e.Body.(*journal.Feed); ok {
			day := e.At.In(zone).Format(time.DateOnly)
			fed[day] = append(fed[day], b.Bins...)
			if day >= from && len(fed[day]) > len(fed[last]) {
				last = day
			}
		}
	}
	type place struct {
		barn, row string
		stack     int
	}
	stacks := map[place]map[int]string{}
	for _, b := range state.Bins() {
		if s := b.Slot; s.Barn != "" {
			p := place{s.Barn, s.Row, s.Stack}
			if stacks[p] == nil {
				stacks[p] = map[int]string{}
			}
			stacks[p][s.Level] = b.Name
		}
	}
	yards := map[string]*barn.Yard{}
	for p, levels := range stacks {
		y := yards[p.barn]
		if y == nil {
			y = &barn.Yard{Most: 4, Back: true, Reach: reach, Spots: 1}
			yards[p.barn] = y
		}
		var s []string
		for level := 1; levels[level] != ""; level++ {
			s = append(s, levels[level])
			if slices.Contains(fed[last], levels[level]) {
				y.Want = append(y.Want, levels[level])
			}
		}
		y.Stacks = append(y.Stacks, s)
	}
	var out []barn.Yard
	for name, y := range yards {
		slices.SortFunc(y.Stacks, slices.Compare)
		slices.Sort(y.Want)
		if len(y.Want) > 0 {
			t.Logf("%s on %s: %d bins in %d stacks, %d fed", name, last, len(state.Bins()), len(y.Stacks), len(y.Want))
			out = append(out, *y)
		}
	}
	return out
}

// topFirst is how many lifts a driver needs who plans nothing: bins in the order
// in which they are asked for, what stands on one goes to the nearest stack with
// room, one by one from the top, and the bin goes back where it stood. False
// where nothing has room.
func topFirst(y barn.Yard) (lifts int, ok bool) {
	stacks := make([][]string, len(y.Stacks)+y.Spots)
	for i, s := range y.Stacks {
		stacks[i] = slices.Clone(s)
	}
	for _, bin := range y.Want {
		at := slices.IndexFunc(stacks, func(s []string) bool { return slices.Contains(s, bin) })
		for stacks[at][len(stacks[at])-1] != bin {
			to := -1
			for j := range stacks {
				if j != at && len(stacks[j]) < y.Most && (to < 0 || abs(j-at) < abs(to-at)) {
					to = j
				}
			}
			if to < 0 {
				return 0, false
			}
			top := len(stacks[at]) - 1
			stacks[to] = append(stacks[to], stacks[at][top])
			stacks[at] = stacks[at][:top]
			lifts++
		}
		switch {
		case !y.Back:
			stacks[at] = stacks[at][:len(stacks[at])-1]
			lifts++
		case len(stacks[at]) > y.Reach:
			lifts += 2
		}
	}
	return lifts, true
}

func abs(n int) int { return max(n, -n) }
