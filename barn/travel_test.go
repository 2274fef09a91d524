package barn_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"wormyard/barn"
)

// wayOf is the way of the truck through lifts in this order [m], by the page's rule:
// from where it first takes a bin up.
func wayOf(y barn.Yard, list []barn.Move) (sum float64) {
	at, begun := 0.0, false
	drive := func(place string) {
		i := placeIndex(y, place)
		if i < 0 {
			return // out, or worked on beside its stack
		}
		if begun {
			sum += math.Abs(y.At[i] - at)
		}
		at, begun = y.At[i], true
	}
	for _, m := range list {
		drive(m.From)
		drive(m.To)
	}
	return sum
}

func placeIndex(y barn.Yard, place string) int {
	for i := range y.At {
		if name := placeName(y, i); name == place {
			return i
		}
	}
	return -1
}

// leastWay is the least way of any order of lifts in which those that touch one place
// stay in order, by trying all of them. Lifts that go by "work" come in pairs.
func leastWay(y barn.Yard, list []barn.Move) float64 {
	var jobs [][]barn.Move
	for i := 0; i < len(list); i++ {
		if list[i].To == barn.AtWork {
			jobs = append(jobs, list[i:i+2])
			i++
			continue
		}
		jobs = append(jobs, list[i:i+1])
	}
	meet := func(a, b []barn.Move) bool {
		for _, x := range a {
			for _, z := range b {
				for _, p := range []string{x.From, x.To} {
					if placeIndex(y, p) >= 0 && (p == z.From || p == z.To) {
						return true
					}
				}
			}
		}
		return false
	}
	least := math.Inf(1)
	used := make([]bool, len(jobs))
	var so []barn.Move
	var try func(n int)
	try = func(n int) {
		if n == len(jobs) {
			least = min(least, wayOf(y, so))
			return
		}
		for i := range jobs {
			free := !used[i]
			for k := range i {
				free = free && (used[k] || !meet(jobs[k], jobs[i]))
			}
			if !free {
				continue
			}
			used[i] = true
			was := len(so)
			so = append(so, jobs[i]...)
			try(n + 1)
			so = so[:was]
			used[i] = false
		}
	}
	try(0)
	return least
}

// Of the orders that the lifts of a list may have, none has a shorter way than the
// list, and its way is not below the bound; the lifts keep to all rules.
func TestWayAgainstAllOrders(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	shorter, tried, tight := 0, 0, 0
	for range 400 {
		y := drawn(r, 5, 3, 4)
		y.Spots, y.Back, y.Reach = 1, r.IntN(3) > 0, r.IntN(3)
		for range len(y.Stacks) + y.Spots {
			y.At = append(y.At, float64(r.IntN(12)))
		}
		m, err := barn.PlanLifts(context.Background(), y)
		if err != nil || len(m.Moves) > 8 {
			continue
		}
		replay(t, y, m)
		tried++
		least := leastWay(y, m.Moves)
		if w := wayOf(y, m.Moves); math.Abs(w-m.Metres) > 1e-9 || m.Metres > least+1e-9 {
			t.Fatalf("%v: %g m, said %g, and an order has %g", y.Stacks, w, m.Metres, least)
		}
		if m.MetresBound > least+1e-9 || m.MetresFound < m.Metres-1e-9 {
			t.Fatalf("%v at %v: %v %g m, bound %g, found %g, least %g", y.Stacks, y.At, m.Moves, m.Metres, m.MetresBound, m.MetresFound, least)
		}
		if m.Metres < m.MetresFound-1e-9 {
			shorter++
		}
		if m.Metres < m.MetresBound+1e-9 {
			tight++
		}
	}
	if tried < 150 || shorter < 10 || tight < 50 {
		t.Errorf("%d yards, %d shorter than found, %d at their bound", tried, shorter, tight)
	}
	t.Logf("%d yards, %d shorter than found, %d at their bound", tried, shorter, tight)
}

// The same where all is put back as it stood: stacks are taken in another order.
func TestWayPutBackAsTheyStood(t *testing.T) {
	y := barn.Yard{Back: true, Same: true, Clear: true, Most: 3, Spots: 1, Reach: 1, Want: []string{"A1", "B1", "C1", "D1"},
		Stacks: [][]string{{"A1", "A2"}, {"B1", "B2"}, {"C1", "C2"}, {"D1", "D2"}}, At: []float64{1, 9, 2, 10, 0}}
	m, err := barn.PlanLifts(context.Background(), y)
	if err != nil {
		t.Fatal(err)
	}
	replay(t, y, m)
	// each bin goes to the nearest place and back; from stack to stack A, C, B, D is 9 m,
	// and the nearest place with room to each is another stack 1 m away: 2 m each
	if m.Lifts != 8 || math.Abs(m.Metres-17) > 1e-9 || m.MetresFound <= m.Metres {
		t.Errorf("%d lifts, %g m, found first %g m: %v", m.Lifts, m.Metres, m.MetresFound, m.Moves)
	}
	var order []string
	for _, w := range m.Works {
		order = append(order, w.Bin)
	}
	if !slices.Equal(order, []string{"A1", "C1", "B1", "D1"}) && !slices.Equal(order, []string{"D1", "B1", "C1", "A1"}) {
		t.Errorf("worked on in the order %v", order)
	}
}

func placeName(y barn.Yard, i int) string {
	if n := len(y.Stacks); i >= n {
		return "spot " + string(rune('1'+i-n))
	}
	return string(rune('1' + i))
}
